"""Lesson 06: what the boxes show of a plan: from the plan's file to settings, and back."""

__all__ = [
    "USUAL",
    "USUAL_ROWS",
    "Settings",
    "bought_with",
    "left_out",
    "packs_told",
    "packs_typed",
    "part_drawn",
    "plan_of",
    "settings_of",
    "view_kept",
    "without_line",
]

from collections.abc import Mapping, Sequence
from dataclasses import make_dataclass
from typing import Any

from mosaiclib.colour import BLENDS
from mosaiclib.drawing import SQUARED
from mosaiclib.drawing.palette import NEUTRAL, WHITE, known_tone
from mosaiclib.drawing.vessel import TILT
from mosaiclib.errors import MosaicError, choice
from mosaiclib.job import Plan
from mosaiclib.job.packs import Packs, bought_of, known_price, packs_of, unit_of
from mosaiclib.job.plan import CONSUMABLES, SHEETS, Colour, PanePart, RoundPart, TaperedPart, VesselPart
from mosaiclib.job.shaped import FlatPart, with_measures
from mosaiclib.layout import FRACTIONS, MIDDLES
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
    is_motif,
    line_titles,
    measures_of,
    switch_of,
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
        packs=packs_told(plan.packs, bought_of(plan.adhesive.family, plan.filler.family, plan.consumables)),
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


def packs_told(own: Packs, bought: Mapping[str, str]) -> tuple[tuple[str, ...], ...]:
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


def view_kept(s: Settings) -> dict[str, Any]:
    """Return how the settings look at the picture, for others that look at it alike."""
    return {name: getattr(s, name) for name in VIEWED}


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
    record["packs"] = packs_typed(s)
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
            drawn[place] = part_drawn(s, drawn[place])
        found[name] = [one for one in drawn if one["face"] in faces_of(s)]
    return found


def part_drawn(s: Settings, kept: dict[str, Any]) -> dict[str, Any]:
    """Return the band or motif in the boxes as the plan's file has it; what they do not show is kept from the plan."""
    rest = without_line(kept)
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


def without_line(drawn: dict[str, Any]) -> dict[str, Any]:
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


def bought_with(s: Settings) -> dict[str, str]:
    """Return what is bought for the plan in packs, each material with its unit."""
    return bought_of(s.family, s.filler_kind, [name for name in CONSUMABLES if getattr(s, switch_of(name))])


def packs_typed(s: Settings) -> list[dict[str, Any]]:
    """Return the packs that the maker has typed, and those of materials that the table does not show."""
    bought = bought_with(s)
    shown = dict.fromkeys((*bought, *(line[0] for line in s.packs)))
    kept = [pack.model_dump(mode="json") for pack in s.base.packs if pack.material not in shown]
    for material in shown:
        lines = [line for line in s.packs if line[0] == material]
        if lines != [*packs_told((), {material: unit_of(material)})]:
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
