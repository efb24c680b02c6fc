"""Lesson 06: the plan on the page, which all its parts show: from the plan's file to settings, and back."""

__all__ = [
    "Result",
    "Settings",
    "along_path",
    "compute",
    "face_size",
    "follow",
    "in_the_round",
    "keeper",
    "left_out",
    "new_plan",
    "plan_of",
    "quick",
    "repinned",
    "running",
    "scaled",
    "settings_of",
    "shelf_in",
    "start",
    "usual_line",
    "view_of",
]

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, make_dataclass, replace
from functools import cached_property, lru_cache
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from mosaiclib import reference
from mosaiclib.colour import BLENDS
from mosaiclib.drawing import SQUARED, Drawing, View, beside, layout_picture, to_svg, vessel_picture
from mosaiclib.drawing.palette import NEUTRAL, SCREEN, SCREEN_TEXT, WHITE, colour_word, known_tone
from mosaiclib.drawing.paper import usual_paper
from mosaiclib.drawing.vessel import TILT
from mosaiclib.errors import MosaicError, choice
from mosaiclib.glass import Face
from mosaiclib.job import Plan, Worked, WorkedPiece, buying_list, work_out
from mosaiclib.job.colours import joint_tone, looks_of
from mosaiclib.job.days import Days, days_of
from mosaiclib.job.drawn import BandPart, MotifPart
from mosaiclib.job.packs import PackPart, Packs, bought_of, known_price, packs_of, unit_of
from mosaiclib.job.plan import CONSUMABLES, SHEETS, Colour, PanePart, RoundPart, TaperedPart, VesselPart
from mosaiclib.job.shaped import FlatPart, with_measures
from mosaiclib.job.shelf import Shelf
from mosaiclib.job.work import guide_on, lay_all
from mosaiclib.layout import FRACTIONS, MIDDLES, Layout
from mosaiclib.layout.svg_path import Stroke, data_of, frame_of, length_of, placed, strokes_of
from mosaiclib.lesson.controls import put_into, read_number, values_in
from mosaiclib.lessons.w06_bench_controls import bench_settings, put_bench
from mosaiclib.lessons.w06_controls import (
    ALL,
    BLENDED,
    EDGE,
    FIRST_SHAPE,
    FROM_DRAWING,
    GLASS,
    LINES,
    MEASURES,
    MOST_COLOURS,
    MOST_ROWS,
    NO_BRUSH,
    NO_LINE,
    OUTSIDE,
    OWN,
    faces_of,
    goes_round,
    has_inside,
    is_motif,
    line_titles,
    measures_of,
    switch_of,
    tapers,
)
from mosaiclib.units import mm

COMMAND = "Plan it with: python -m mosaiclib plan FILE --out FOLDER"

# what the maker can set [mm], a field a control; what the page does not show is kept in the plan `base`;
# `names` are those that the plan knows its colours by, while it cannot know those in the table; `drawing` is the lines, by
# name, of the file that the line in the boxes was taken from, while they can still be chosen
Settings = make_dataclass(
    "Settings",
    [
        ("base", Plan),
        *(control.name for control in ALL),
        ("moving", bool, False),
        ("names", tuple, ()),
        ("drawing", tuple, ()),
    ],
    frozen=True,
    namespace={"__module__": __name__},
)

# what the page shows of a kind of glass that this piece is not yet
USUAL = {
    "pane": PanePart(kind="pane", name="pane", width=200.0, height=150.0),
    "flat": FlatPart(kind="shaped pane", name="pane", shape="circle", diameters=[300.0]),
    "vessel": VesselPart(
        kind="four-sided vessel",
        name="vessel",
        widths=[160.0] * 3,
        depths=[120.0] * 3,
        heights=[140.0],
        wall=5.0,
        base=8.0,
    ),
    "round": RoundPart(kind="round vessel", name="vessel", girths=[310.0], heights=[120.0], wall=4.0, base=6.0),
    "tapered": TaperedPart(
        kind="tapered vessel", name="vessel", girths=[240.0, 300.0], heights=[0.0, 140.0], wall=4.0, base=6.0
    ),
}
TURNED = ("wall", "base", "rim_margin", "base_margin", "seam", "neck", "fraction", "ease")  # alike on all round vessels
USUAL_MEASURES = {  # of a shaped pane, whatever its shape
    "width": 240.0,
    "height": 300.0,
    "rise": 120.0,
    "head": "round",
    "points": [
        [40.0, 0.0],
        [200.0, 0.0],
        [240.0, 40.0],
        [240.0, 260.0],
        [200.0, 300.0],
        [40.0, 300.0],
        [0.0, 260.0],
        [0.0, 40.0],
    ],
    "corner_radius": 0.0,
    "path": "M0,0 L240,0 L240,180 L120,300 L0,180 Z",
}
MEASURED_UP = {  # the heights of round glass: how many there must be, and what is said where there are fewer
    "a round vessel": ("round_heights", 1, "Measure the height at least once."),
    "a tapered vessel": (
        *("taper_heights", 2),
        "Measure the girth at two heights at least, such as the foot and the rim, and type both heights.",
    ),
}
USUAL_ROWS = [{"fraction": "quarter", "colours": []}] * 3
WHERE_IT_GOES = ("points", "line", "path", "turned", "edge", "closed", "corners")  # of a band or motif in a plan's file
ONCE_ROUND = ("straight", "wave")  # lines that close round a vessel
SPAN = 0.6  # how much of its face a ready-made line spans at first
VIEWED = {  # how the picture is looked at, and what a tap does; no plan keeps it
    "numbers": False,
    "squared": next(iter(SQUARED)),
    "behind": False,
    "lit": False,
    "brush": NO_BRUSH,
    "vessel_turned": 0.0,
    "vessel_tilt": TILT,
    "snap": 3.0,  # [mm]
}


def start() -> Settings:
    """Return the settings for the example plan."""
    return settings_of(Plan.load(reference.DATA / "example_plan.json"))


def new_plan(name: str, unit: str = "mm") -> Plan:
    """Return a plan of one pane of the same name, with nothing of the example in it; its paper is the usual one of "mm" or "in"."""
    colours = [{"name": name} for name in ("clear", "milk white", "sky blue", "amber")]
    glass = [USUAL["pane"].model_dump() | {"name": name}]
    tile = {"side": 20.0, "thickness": 4.0, "colours": colours}
    joint = {"wanted": 2.0, "least": 1.5, "greatest": 2.5}
    return Plan.made(name=name, unit=unit, paper=usual_paper(unit), glass=glass, tile=tile, joint=joint)


def quick() -> Settings:
    """Return the settings for a small pane with a band, and a small vessel: quick to work out, to try every control."""
    record = new_plan("quick").model_dump(mode="json")
    line = {"name": "bow", "measures": {"width": 60.0, "rise": 15.0}, "x": 45.0, "y": 45.0}
    band = {"face": "pane", "line": line, "rows": [{"fraction": "half"}]}
    pane = USUAL["pane"].model_dump(mode="json") | {"width": 90.0, "height": 90.0, "bands": [band]}
    vessel = USUAL["vessel"].model_dump(mode="json") | {"widths": [46.0] * 3, "depths": [46.0] * 3, "heights": [46.0]}
    colours = [{"name": name, "in_hand": 200} for name in ("clear", "milk white", "blue", "amber")]
    return settings_of(Plan.made(**record | {"glass": [pane, vessel], "tile": record["tile"] | {"colours": colours}}))


@lru_cache(8)
def shelf_in(folder: Path) -> Shelf:
    """Return the shelf of a folder, one for all parts of the page: it remembers which plan is open."""
    return Shelf(folder)


def keeper(folder: Path) -> Callable[["Result", "Settings | None"], str]:
    """Return what keeps a plan under its own name after a change."""

    def keep(result: Result, before: Settings | None) -> str:
        return shelf_in(folder).keep(result.plan, to_svg(view_of(result)), before.base.name if before else "")

    return keep


# --- from a plan to the page -----------------------------------------------------------------------------


def settings_of(plan: Plan, piece: str = "", line: str | None = None, **view: Any) -> Settings:
    """Return the page's settings for a plan, with one of its pieces of glass and one of its lines in the boxes.

    `plan_of` gives the plan back.
    """
    _check_shown(plan)
    part = next((part for part in plan.glass if part.name == piece), plan.glass[0])
    kind = next(words for words, kind in GLASS.items() if kind == part.kind)
    drawn = dict(zip(line_titles(part.bands, part.motifs), (*part.bands, *part.motifs), strict=True))
    line = next(iter(drawn), NO_LINE) if line not in (*drawn, NO_LINE) else line
    record = _record(plan, part)
    one = drawn[line].model_dump(mode="json") if line in drawn else {}
    back = part.background
    return Settings(
        base=plan,
        piece=part.name,
        glass=kind,
        glass_name=part.name,
        line=line,
        meet=part.meet,
        back_side=plan.tile.back_side or 0.0,
        flat_holes=tuple((hole.x, hole.y, hole.diameter) for hole in getattr(part, "holes", ())),
        colours=tuple(_told(colour) for colour in plan.tile.colours),
        packs=_packs_told(plan.packs, bought_of(plan.adhesive.family, plan.filler.family, plan.consumables)),
        back_colours=", ".join(back.colours) if back else "",
        back_blend=next(words for words, name in BLENDED.items() if name == (back.blend if back else "free")),
        back_way=back.way if back else "up",
        **bench_settings(plan.cut, plan.days),
        **_line_settings(one, part),
        traced="",
        **{switch_of(name): name in (*plan.sheets, *plan.consumables) for name in (*SHEETS, *CONSUMABLES)},
        **values_in(record, ALL),
        **VIEWED | view,
    )


def _check_shown(plan: Plan) -> None:
    """Refuse a plan of which the page cannot show all, and would lose some."""
    strange = next((part.kind for part in plan.glass if part.kind not in GLASS.values()), None)
    if strange:
        raise MosaicError(f"{plan.name} covers glass of the kind {strange}, which this page does not show. {COMMAND}")
    rows = max((len(band.rows) for part in plan.glass for band in part.bands), default=0)
    for count, most, what in ((len(plan.tile.colours), MOST_COLOURS, "colours"), (rows, MOST_ROWS, "rows in a band")):
        if count > most:
            raise MosaicError(f"{plan.name} has {count} {what}; this page shows at most {most}. {COMMAND}")


def _record(plan: Plan, part: Any) -> dict[str, Any]:
    """Return a plan as its file has it, with the piece of glass that the boxes mean under the name of its kind."""
    record = plan.model_dump(mode="json")
    shown = {name: usual.model_dump(mode="json") for name, usual in USUAL.items()}
    shown["flat"] |= USUAL_MEASURES
    mine = _box_of(part.kind)
    shown[mine] |= part.model_dump(mode="json")
    alike = shown[mine if mine == "tapered" else "round"]
    return record | shown | {"turned": {name: alike[name] for name in TURNED}}


def _box_of(kind: str) -> str:
    """Return under which name the boxes mean a kind of glass."""
    return next(name for name, usual in USUAL.items() if usual.kind == kind)


def _told(colour: Colour) -> tuple[str, ...]:
    """Return a colour's line of the table."""
    price, share = (f"{round(each, 6):g}" if each else "" for each in (colour.price, 100 * (colour.share or 0)))
    more = "yes" if colour.more else "no"
    return colour.name, colour.tone or known_tone(colour.name) or NEUTRAL, f"{colour.in_hand}", price, more, share


def _packs_told(own: Packs, bought: Mapping[str, str]) -> tuple[tuple[str, ...], ...]:
    """Return the lines of the table of packs, for what is bought with its units; invented prices are left out.

    What the column beside says already is left out of a pack's name.
    """
    return tuple(
        (
            material,
            pack.name.removesuffix(f" of {material}"),
            f"{pack.number:g} {unit}",
            f"{known_price(pack):g}" if known_price(pack) else "",
        )
        for material, unit in bought.items()
        for pack in packs_of(material, own)
    )


def _line_settings(one: dict[str, Any], part: Any) -> dict[str, Any]:
    """Return what the boxes show of a band or a motif; the usual where there is none."""
    made = one.get("line") or {}
    ready = next((words for words, name in LINES.items() if name == made.get("name")), None)
    measures = {f"m_{name}": control.low for name, control in MEASURES.items()}
    measures |= {f"m_{name}": MEASURES[name].taken(value) for name, value in made.get("measures", {}).items()}
    rows = tuple(
        (row["fraction"], ", ".join(row["colours"]), row.get("blend", "free")) for row in one.get("rows", USUAL_ROWS)
    )
    found = measures | {
        "shape": ready or _shape_of(one),
        "m_x": made.get("x", 0.0),
        "m_y": made.get("y", 0.0),
        "m_turned": made.get("turned", 0.0),
        "band_points": tuple(map(tuple, one.get("points", ()))),
        "closed": one.get("closed", False),
        "band_rows": rows,
        "motif_fraction": one.get("fraction", "half"),
        "motif_middle": one.get("middle", next(iter(MIDDLES))),
        "motif_colours": ", ".join(one.get("colours", ())),
        "band_face": one.get("face", part.covers.face_names[0]),
        "band_outline": one.get("outline", "none"),
        "band_corner": one.get("corner", "mitre"),
        "band_behind": one.get("behind", False),
    }
    return found | _path_settings(one) if one.get("path") else found


def _shape_of(one: dict[str, Any]) -> str:
    """Return what the page calls a line that is not ready-made."""
    if one.get("path") or one.get("edge"):
        return FROM_DRAWING if one.get("path") else EDGE
    return OWN if one else FIRST_SHAPE


def _path_settings(one: Mapping[str, Any]) -> dict[str, float]:
    """Return what the boxes show of a band or motif along the path of a drawing.

    Its middle, its width and height as they were before it was turned, the length along it [mm], and how far it was turned.
    """
    (stroke,), turned = strokes_of(one["path"]), one.get("turned", 0.0)
    low, high = frame_of(placed(stroke, 1, -turned, (0, 0)).path)
    middle = placed(Stroke((low + high) / 2, False), 1, turned, (0, 0)).path
    found = dict(zip(("m_x", "m_y", "m_width", "m_height"), (*middle, *high - low), strict=True))
    found |= {"m_length": length_of(stroke.path), "m_turned": turned}
    return {name: round(float(value), 3) for name, value in found.items()}


def follow(before: Settings, after: Settings) -> Settings:
    """Return what else follows from a change: the boxes turn to another piece or line, and a ready-made line gets its measures."""
    view = _view(after)
    if after.piece != before.piece:
        return settings_of(plan_of(before), after.piece, **view)
    if after.glass_name != before.glass_name:
        return settings_of(plan_of(after), after.glass_name.strip(), after.line, **view)
    if after.line != before.line:
        return settings_of(plan_of(before), before.glass_name.strip(), after.line, **view)
    if after.shape != before.shape and after.line != NO_LINE:
        return _reshaped(before, after)
    if after.shape == FROM_DRAWING and after.traced != before.traced:
        fresh = along_path(before, dict(after.drawing)[after.traced])
        return replace(fresh, m_x=before.m_x, m_y=before.m_y, drawing=after.drawing, traced=after.traced)
    if after.shape == FROM_DRAWING:
        return _in_proportion(before, after)
    if _bought(after) != _bought(before):
        base = after.base.model_copy(update={"packs": [PackPart(**pack) for pack in _packs(before)]})
        return replace(after, base=base, packs=_packs_told(base.packs, _bought(after)))
    return _recoloured(before, after) if after.colours != before.colours else after


def _in_proportion(before: Settings, after: Settings) -> Settings:
    """Return the settings with all measures of a drawing in the proportion in which one of them was changed."""
    names = (f"m_{name}" for name in measures_of(FROM_DRAWING))
    name = next((name for name in names if getattr(before, name) != getattr(after, name)), None)
    if name and not getattr(before, name):
        raise MosaicError(f"The {name[2:]} of the drawing is 0, so a length says nothing about its size.")
    return scaled(before, getattr(after, name) / getattr(before, name)) if name else after


def scaled(s: Settings, ratio: float) -> Settings:
    """Return the settings with all measures of a drawing so many times as large."""
    return replace(s, **{f"m_{name}": round(ratio * getattr(s, f"m_{name}"), 3) for name in measures_of(FROM_DRAWING)})


def along_path(s: Settings, path: str) -> Settings:
    """Return the settings with the path of a drawing in place of the line in the boxes."""
    record, name = plan_of(s).model_dump(mode="json"), s.glass_name.strip()
    part = next(part for part in record["glass"] if part["name"] == name)
    listed, place = part["motifs" if is_motif(s.line) else "bands"], int(s.line.split()[1]) - 1
    listed[place] = _without_line(listed[place]) | {"path": path}
    return settings_of(Plan.made(**record), name, s.line, **_view(s))


def _view(s: Settings) -> dict[str, Any]:
    return {name: getattr(s, name) for name in VIEWED}


def _recoloured(before: Settings, after: Settings) -> Settings:
    """Return the settings after the table of colours was changed: colours that were renamed are so everywhere.

    They wait while the table cannot be used, as when two lines have one name on the way.
    """
    after = _toned(after, before)
    was, now = (tuple(line[0] for line in s.colours) for s in (before, after))
    was = before.names or was
    if len(was) != len(now):
        return replace(after, names=())
    renamed = {old: new for old, new in zip(was, now, strict=True) if old != new}
    if len({*map(colour_word, now)}) < len(now) or not all(now):
        return replace(after, names=was)
    try:
        base = _known(after.base, was)
        base = base.renamed_colours({old: new for old, new in renamed.items() if colour_word(old) in base.named})
    except MosaicError:  # a colour was taken out that something still names; `compute` says so
        return replace(after, names=was)
    rows = tuple((*row[:1], _swapped(row[1], renamed), *row[2:]) for row in after.band_rows)
    words = {name: _swapped(getattr(after, name), renamed) for name in ("motif_colours", "back_colours")}
    return replace(after, base=base, band_rows=rows, names=(), **words)


def _known(plan: Plan, names: Sequence[str]) -> Plan:
    """Return a plan whose list of colours has only those of these names; it is not checked."""
    words = {*map(colour_word, names)}
    listed = [colour for colour in plan.tile.colours if colour_word(colour.name) in words]
    return plan.model_copy(update={"tile": plan.tile.model_copy(update={"colours": listed})})


def _swapped(words: str, renamed: Mapping[str, str]) -> str:
    """Return a list of colours with some renamed."""
    known = {colour_word(old): new for old, new in renamed.items()}
    listed = (one.strip() for one in words.split(","))
    return ", ".join(known.get(colour_word(one), one) for one in listed if one)


def _toned(after: Settings, before: Settings) -> Settings:
    """Return the settings with the tone that a colour is known by where its name is new and no tone was chosen."""
    was = {line[0]: line[1] for line in before.colours}
    lines = tuple(
        (name, known_tone(name) or tone, *rest)
        if name not in was and tone in (*was.values(), WHITE)
        else (name, tone, *rest)
        for name, tone, *rest in after.colours
    )
    return replace(after, colours=lines)


def _reshaped(before: Settings, after: Settings) -> Settings:
    """Return the settings for a line that has become another: its own points along the line before, or the usual measures."""
    if after.shape == OWN:
        return replace(after, band_points=_points_along(before))
    return usual_line(after, placed=before.shape in (*LINES, FROM_DRAWING))


def usual_line(s: Settings, placed: bool = False) -> Settings:
    """Return the settings with the measures that a ready-made line has at first, by its face; one that is `placed` stays there."""
    wide, high = (SPAN * side for side in face_size(s))
    least = min(wide, high)
    usual = {"width": wide, "length": wide, "height": least / 2, "rise": min(high, wide / 2) / 2, "radius": least / 2}
    usual |= {"degrees": 180.0, "turns": 2.0, "waves": 2, "points": 5, "inner": 0.0}
    usual |= {
        "leaf": {"width": wide / 2.5},
        "heart": {"width": least, "height": least},
        "rounded rectangle": {"height": high, "radius": least / 6},
    }.get(s.shape, {})
    if goes_round(s) and s.shape in ONCE_ROUND:
        usual["length"] = wide / SPAN
    fresh = {f"m_{name}": _round(usual[name]) for name in measures_of(s.shape)}
    place = {} if placed else {"m_x": _round(wide / SPAN / 2), "m_y": _round(high / SPAN / 2), "m_turned": 0.0}
    return replace(s, **fresh, **place)


def _round(value: Any) -> Any:
    return round(value) if isinstance(value, int) else float(round(value))


def face_size(s: Settings) -> tuple[float, float]:
    """Return how wide and high the face is that the line in the boxes is on [mm]."""
    face = _face_in(
        plan_of(replace(s, line=NO_LINE)), s
    )  # the glass as it is typed, whatever its line is just becoming
    return face.span


def _face_in(plan: Plan, s: Settings) -> Face:
    part = next(part for part in plan.glass if part.name == s.glass_name.strip())
    glass = part.glass(plan.tile.tile, plan.adhesive.bed, plan.joint.wanted)
    return next((face for face in glass.faces if face.name == s.band_face), glass.faces[0])


def _points_along(s: Settings) -> tuple[tuple[float, float], ...]:
    """Return points along the line as it was, so that it can be drawn on by hand."""
    part = next(part for part in s.base.glass if part.name == s.piece)
    drawn = [one.model_dump(mode="json") for one in (*part.bands, *part.motifs)]
    kept = dict(zip(line_titles(part.bands, part.motifs), drawn, strict=True))
    made = MotifPart if is_motif(s.line) else BandPart
    one, plan = made.model_validate(_drawn(s, kept.get(s.line, {}))), plan_of(replace(s, line=NO_LINE))
    face = _face_in(plan, s)
    guide = guide_on(face, one, plan.tile.tile, plan.joint.limits)
    at = np.linspace(0, guide.length * (1 - 1e-9), 9)[: -1 if guide.closed else None]
    points = face.as_drawn(guide.at(at))
    points = points * [-1, 1] + [face.span[0], 0] if one.behind else points
    return tuple((round(float(x), 1), round(float(y), 1)) for x, y in points)


# --- from the page to a plan -----------------------------------------------------------------------------


def plan_of(s: Settings) -> Plan:
    """Return the checked plan that the page's settings stand for."""
    _check_sizes(s)
    at = next(at for at, part in enumerate(s.base.glass) if part.name == s.piece)
    record = _record(s.base, s.base.glass[at])
    put_into(record, ALL, s)
    put_bench(record, s)
    record["tile"] |= {"back_side": s.back_side or None, "colours": [_colour(line) for line in s.colours]}
    for part, names in (("sheets", SHEETS), ("consumables", CONSUMABLES)):
        record[part] = [name for name in names if getattr(s, switch_of(name))]
    record["packs"] = _packs(s)
    record["flat"]["holes"] = [dict(zip(("x", "y", "diameter"), hole, strict=True)) for hole in s.flat_holes]
    shown, alike = {name: record.pop(name) for name in USUAL}, record.pop("turned")
    for name in ("round", "tapered"):
        shown[name] |= alike
    mine = with_measures(shown[_box_of(GLASS[s.glass])])
    mine |= {"name": s.glass_name.strip(), "meet": s.meet, "background": _background(s)} | _on_glass(
        s, s.base.glass[at]
    )
    record["glass"][at] = mine
    return Plan.made(**record)


def _on_glass(s: Settings, part: Any) -> dict[str, list[dict[str, Any]]]:
    """Return the bands and motifs of the piece that the boxes mean; those on faces that it has not are left out."""
    found = {}
    for name, titles in (("bands", line_titles(part.bands, ())), ("motifs", line_titles((), part.motifs))):
        drawn = [one.model_dump(mode="json") for one in getattr(part, name)]
        if s.line in titles:
            place = titles.index(s.line)
            drawn[place] = _drawn(s, drawn[place])
        found[name] = [one for one in drawn if one["face"] in faces_of(s)]
    return found


def _drawn(s: Settings, kept: dict[str, Any]) -> dict[str, Any]:
    """Return the band or motif in the boxes as the plan's file has it; what they do not show is kept from the plan."""
    rest = _without_line(kept)
    if s.shape == OWN:
        corners = [corner for corner in kept.get("corners", []) if corner < len(s.band_points)]
        drawn = {"points": list(map(list, s.band_points)), "corners": corners}
        drawn |= {} if is_motif(s.line) else {"closed": s.closed}
    elif s.shape == EDGE:
        drawn = {"edge": True}
    elif s.shape == FROM_DRAWING:
        drawn = {"path": _path(s, kept), "turned": s.m_turned}
    else:
        measures = {name: (float(getattr(s, f"m_{name}")), needed) for name, needed in measures_of(s.shape).items()}
        given = {name: value for name, (value, needed) in measures.items() if value or needed}
        drawn = {"line": {"name": LINES[s.shape], "measures": given, "x": s.m_x, "y": s.m_y, "turned": s.m_turned}}
    where = {"face": s.band_face, "outline": s.band_outline, "behind": s.band_behind}
    if is_motif(s.line):
        filled = {"fraction": s.motif_fraction, "middle": s.motif_middle, "colours": _names(s, s.motif_colours)}
    else:
        filled = {"rows": _rows(s, kept.get("rows", [])), "corner": s.band_corner}
    return rest | drawn | where | filled


def _without_line(drawn: dict[str, Any]) -> dict[str, Any]:
    """Return a band or motif of a plan's record without what says where its line goes."""
    return {name: value for name, value in drawn.items() if name not in WHERE_IT_GOES}


def _path(s: Settings, kept: Mapping[str, Any]) -> str:
    """Return the path of a drawing, as the plan has it, with the size and in the place that the boxes say."""
    was = _path_settings(kept)
    if all(getattr(s, name) == value for name, value in was.items()):
        return kept["path"]
    (stroke,) = strokes_of(kept["path"])
    scale, turned = s.m_length / was["m_length"], s.m_turned - was["m_turned"]
    return data_of(placed(stroke, scale, turned, (s.m_x, s.m_y), (was["m_x"], was["m_y"])))


def _background(s: Settings) -> dict[str, Any] | None:
    """Return the colours of the background as the plan's file has them, none where any will do."""
    names = _names(s, s.back_colours)
    return {"colours": names, "blend": BLENDED[s.back_blend], "way": s.back_way} if names else None


def _check_sizes(s: Settings) -> None:
    """Refuse sizes that do not go together, in the words of the page."""
    if not s.limits[0] <= s.joint <= s.limits[1]:
        raise MosaicError(
            "The wanted joint of ", mm(s.joint), f" {OUTSIDE} of ", mm(*s.limits),
            ". Change the limits, or the wanted joint.",
        )  # fmt: skip
    if s.glass in MEASURED_UP and len(getattr(s, MEASURED_UP[s.glass][0])) < MEASURED_UP[s.glass][1]:
        raise MosaicError(MEASURED_UP[s.glass][2])
    if s.back_side > s.tile:
        raise MosaicError(
            "The back of ", mm(s.back_side), " is larger than the tile of ", mm(s.tile),
            ". Type the side of the back, or 0 where it is as large as the face.",
        )  # fmt: skip


def _rows(s: Settings, kept: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return the rows of a line; what the page does not show of them is kept from the plan they came from."""
    rows = []
    for place, line in enumerate(s.band_rows):
        fraction, colours, blend = (*line, "", "", "")[:3]
        if not (fraction.strip() or colours.strip()):
            continue  # a row is taken out without emptying its blend
        shown = {"fraction": choice(fraction.strip().lower(), "fraction", FRACTIONS), "colours": _names(s, colours)}
        shown["blend"] = choice(blend.strip().lower() or "free", "blend", BLENDS)
        rows.append((kept[place] if place < len(kept) else {}) | shown)
    return rows


def _names(s: Settings, words: str) -> list[str]:
    """Return typed colours as the table of colours writes them."""
    known = {line[0].strip().lower(): line[0].strip() for line in s.colours if line}
    return [known.get(name.strip().lower(), name.strip()) for name in words.split(",") if name.strip()]


def _colour(line: Sequence[str]) -> dict[str, Any]:
    """Read one line of the table of colours."""
    name, tone, in_hand, price, more, share = (*line, *[""] * 6)[:6]
    if not name:
        raise MosaicError(
            "Each line of the table of colours needs the colour's name; empty all of a line to take it out."
        )
    count = read_number(in_hand or "0", f"number of {name} in hand")
    if count != int(count):
        raise MosaicError(f"The number of {name} in hand must be a whole number; it is {count:g}.")
    word = choice(more.strip().lower() or "yes", f"answer whether more {name} can be bought", ("yes", "no"))
    known = known_tone(name)
    return {
        "name": name,
        "tone": None if tone.lower() in ((known or NEUTRAL).lower(), WHITE) else tone.lower(),
        "in_hand": int(count),
        "price": read_number(price or "0", f"price of {name}"),
        "more": word == "yes",
        "share": read_number(share, f"share of {name}", "%") / 100 if share else None,
    }


def _bought(s: Settings) -> dict[str, str]:
    """Return what is bought for the plan in packs, each material with its unit."""
    return bought_of(s.family, s.filler_kind, [name for name in CONSUMABLES if getattr(s, switch_of(name))])


def _packs(s: Settings) -> list[dict[str, Any]]:
    """Return the packs that the maker has typed, and those of materials that the table does not show."""
    bought = _bought(s)
    shown = dict.fromkeys((*bought, *(line[0] for line in s.packs)))
    kept = [pack.model_dump(mode="json") for pack in s.base.packs if pack.material not in shown]
    for material in shown:
        lines = [line for line in s.packs if line[0] == material]
        if lines != [*_packs_told((), {material: unit_of(material)})]:
            kept += map(_pack, lines)
    return kept


def _pack(line: Sequence[str]) -> dict[str, Any]:
    """Read one line of the table of packs."""
    material, name, holds, price = (*line, *[""] * 4)[:4]
    if not all((material, name, holds)):
        raise MosaicError("Each line of the table of packs needs a material, a pack and how much it holds.")
    return {
        "material": material,
        "name": name,
        "holds": read_number(holds, f"size of the {name}", unit_of(material)),
        "price": (read_number(price, f"price of the {name}") or None) if price else None,
    }


def left_out(s: Settings) -> str:
    """Return what of the settings cannot be part of the plan, in a sentence; empty where nothing is lost."""
    part = next(part for part in s.base.glass if part.name == s.piece)
    lost = [one.face for one in (*part.bands, *part.motifs) if one.face not in faces_of(s)]
    if not lost:
        return ""
    return f"The drawn line on the {lost[0]} has no place on {s.glass}: it is left out of sheets and plan."


# --- worked out ------------------------------------------------------------------------------------------


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings; `amiss` says why there are no colours, where there are none.

    While a handle is held there is the layout alone, of the piece in the picture.
    """

    settings: Settings
    plan: Plan
    worked: Worked | None
    layout: Layout
    amiss: MosaicError | str = ""

    @cached_property
    def bought(self) -> pd.DataFrame:
        """The list of what is bought."""
        return buying_list(self.worked)

    @property
    def piece(self) -> WorkedPiece:
        """The piece of glass in the picture, worked out."""
        return self.worked.pieces[self.at]

    @cached_property
    def days(self) -> Days | MosaicError:
        """The plan on its days, or the sentence that says why the hours cannot hold it."""
        try:
            return days_of(self.worked)
        except MosaicError as wrong:
            return wrong

    @property
    def at(self) -> int:
        """Which piece of glass is in the picture."""
        return next(at for at, part in enumerate(self.settings.base.glass) if part.name == self.settings.piece)


def compute(s: Settings) -> Result:
    """Work the plan out; where its colours cannot be arranged, all but them."""
    plan = plan_of(s)
    at = next(at for at, part in enumerate(s.base.glass) if part.name == s.piece)
    if s.moving:
        ((_, layout),) = lay_all(plan.model_copy(update={"glass": [plan.glass[at]]}))
        return Result(s, plan, None, layout)
    amiss = ""
    try:
        worked = work_out(plan)
    except MosaicError as wrong:
        worked, amiss = work_out(plan, colours=False), wrong
    return Result(s, plan, worked, worked.pieces[at].layout, amiss)


def repinned(result: Result, worked: Worked) -> Result:
    """Return the result with other pieces coloured by hand."""
    s = result.settings
    settings = settings_of(worked.plan, s.glass_name.strip(), s.line, **_view(s))
    return Result(settings, worked.plan, worked, worked.pieces[result.at].layout)


def view_of(result: Result, **more: Any) -> Drawing:
    """Draw the piece of glass that was chosen, in its colours."""
    s = result.settings
    how = {"view": "behind" if s.behind else "front", "numbers": s.numbers, "squared": SQUARED[s.squared], "key": True}
    lit = "behind" if s.lit else "front"
    how |= {"looks": looks_of(result.plan, lit), "base": joint_tone(result.plan, lit)}
    how["dimensions"] = not tapers(s)  # how large its unrolled paper is says nothing of the glass
    return layout_picture(result.layout, title=f"{s.glass_name}: the plan in colours", **how | more)


def in_the_round(result: Result, draw: Callable[..., Drawing] = view_of) -> Drawing:
    """Draw the piece of glass as `draw` does; beside it, if it is a vessel, as it stands, turned as the sliders say."""
    s, flat = result.settings, draw(result)
    if result.worked is None or not has_inside(s):
        return flat
    view, lit = View(s.vessel_turned, s.vessel_tilt), "behind" if s.lit else "front"
    tones = {"looks": looks_of(result.plan, lit), "base": joint_tone(result.plan, lit)}
    how = {"bed": result.plan.adhesive.bed, "title": f"{s.glass_name}: as it stands"} | tones
    stands = vessel_picture(result.layout, result.piece.glass, view, **how)
    both = beside(flat, stands)
    size = SCREEN_TEXT * max(both.width / SCREEN[0], both.height / SCREEN[1])
    return beside(draw(result, text_size=size), stands)


def running(result: Result) -> str:
    """Return what is always in sight: what must not be overlooked, pieces, what is short, what it costs."""
    worked = result.worked
    if worked is None:
        return "Counted when you let go."
    said = [*worked.warnings, f"In all {worked.count} pieces"]
    if result.amiss:
        return f"{'. '.join(said)}; the rest is counted once they have their colours."
    short = int(worked.colours["short"].sum())
    lacking = [f"{short} spare{'s' * (short > 1)} lacking"] if short else []
    total = result.bought.iloc[-1]
    cost = [f"cost {total.cost:.2f} {worked.plan.currency}".rstrip() + " of what is priced"] if total.cost else []
    tiles = f"{int(worked.colours['to_buy'].sum())} tiles to buy"
    return f"{', '.join(['. '.join(said), tiles, *lacking, *cost])}."
