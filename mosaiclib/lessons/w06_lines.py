"""Lesson 06, the lines: drawn on the glass, one over another, with the rows along them."""

__all__ = [
    "CONTROLS",
    "DRAG",
    "LIVE",
    "TITLE",
    "Settings",
    "actions",
    "compute",
    "draw",
    "follow",
    "keeper",
    "report",
    "start",
    "summary",
]

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import shapely

from mosaiclib.drawing import Drawing, Lines
from mosaiclib.drawing.palette import ACCENT
from mosaiclib.errors import MosaicError
from mosaiclib.glass import Face
from mosaiclib.job.drawn import DrawnPart
from mosaiclib.job.overview import percent_within, unlaid_lines
from mosaiclib.job.shelf import Shelf
from mosaiclib.job.sketch import Sketch
from mosaiclib.job.work import guide_on
from mosaiclib.layout import Guide
from mosaiclib.layout.snapping import snapped, snapped_angle, symmetric
from mosaiclib.lesson.controls import Action, Drag
from mosaiclib.lessons.w02_shared import DRAWINGS, drawing_in, left_words
from mosaiclib.lessons.w06_controls import (
    FIRST_MOTIF,
    FIRST_ROUND,
    FIRST_SHAPE,
    FROM_DRAWING,
    LINES,
    NO_LINE,
    OWN,
    SIZE,
    faces_of,
    goes_round,
    is_motif,
    line_titles,
    measures_of,
)
from mosaiclib.lessons.w06_controls import LINE_CONTROLS as CONTROLS
from mosaiclib.lessons.w06_follow import SPAN, along_path, face_size, follow, scaled, usual_line
from mosaiclib.lessons.w06_plan import Result, compute, keeper, running, start, view_of
from mosaiclib.lessons.w06_settings import USUAL_ROWS, Settings, plan_of, settings_of
from mosaiclib.report import Row
from mosaiclib.units import mm, text
from mosaiclib.words import Text

TITLE, LIVE = "The lines", False
TRACED = 120  # points of the drawn line in the picture
LEAST_REACH = 2.5  # [mm] from the middle of a drawing to its handle
MOST_OFFERED = 24  # lines of a drawing to choose from
MOST_HANDLES = 60  # as many points as a line of a plan may have


def draw(result: Result) -> Drawing:
    """Draw the piece with the line in the boxes over it."""
    line = _guide(result)
    over = []
    if line is not None:
        at = line.at(np.linspace(0, line.length * (1 - 1e-9), TRACED))
        over = [Lines([shapely.linestrings(np.vstack([at, at[:1]]) if line.closed else at)], ACCENT, 0.35, (2.0, 1.5))]
    still = not result.settings.moving
    return view_of(result, over=over, marks=still, hover=still)


def report(result: Result) -> list[Row]:
    """Tell the rows of every line, and what could not be laid as asked."""
    table = result.layout.pieces
    rows = table[table["band"] != "field"]
    counted = [_row(line or "band 1", row, mine["kind"]) for (line, row), mine in rows.groupby(["line", "row"])]
    return [*counted, *unlaid_lines(result.worked)] or [Row("Bands", "none", "", "press Add a band")]


def _row(line: str, row: int, kinds: pd.Series) -> Row:
    counted = ", ".join(f"{count} {kind}" for kind, count in kinds.value_counts().items())
    return Row(f"{line}, row {row}", len(kinds), "pieces", counted)


def summary(result: Result) -> Text | str:
    """Tell how many pieces stand in rows, and how their joints come out."""
    rows = int((result.layout.pieces["band"] != "field").sum())
    words = f"{rows} in rows, {len(result.layout) - rows} in the field{_placed(result)}"
    if result.worked is None:
        return f"{words}; the rest is counted when you let go."
    shares = [one.share_within for one in result.piece.unlaid]
    within = text(f"; {percent_within(min(shares)):g}% of joints ", mm(*result.settings.limits)) if shares else ""
    return text(words, within, ". ", running(result))


def _placed(result: Result) -> str:
    """Tell what of the line in the boxes lies in the middle of its face or alike on both sides, empty where nothing does."""
    s, face = result.settings, _face(result)
    if s.line == NO_LINE or not (s.shape == OWN or s.shape in LINES):
        return ""
    if s.shape == OWN:
        count = int(symmetric(s.band_points, face.span).sum())
        return f"; {count} points symmetric" * (count > 0)
    off = np.abs([s.m_x - face.span[0] / 2, s.m_y - face.span[1] / 2])
    ways = " and ".join(way for way, one in zip(("across", "up"), off, strict=True) if one < 1e-6)
    return f"; {s.shape} in the middle {ways}" * bool(ways)


# --- handles -----------------------------------------------------------------------------------------------


def _face(result: Result) -> Face:
    """Return the face that the line in the boxes is on, as it lies on the strip."""
    plan, part = result.plan, result.plan.glass[result.at]
    glass = part.glass(plan.tile.tile, plan.adhesive.bed, plan.joint.wanted)
    return next((face for face in glass.faces if face.name == result.settings.band_face), glass.faces[0])


def _band(result: Result) -> DrawnPart | None:
    """Return the band or motif in the boxes as the plan has it; none where there is none."""
    part = result.plan.glass[result.at]
    drawn = dict(zip(line_titles(part.bands, part.motifs), (*part.bands, *part.motifs), strict=True))
    return drawn.get(result.settings.line)


def _guide(result: Result) -> Guide | None:
    band, plan = _band(result), result.plan
    return guide_on(_face(result), band, plan.tile.tile, plan.joint.limits) if band else None


def _on_strip(result: Result, points: Any) -> list[tuple[float, float]]:
    """Return points of a face where they lie on the strip, seen from the front [mm]."""
    face, found = _face(result), np.array(points, dtype=float).reshape(-1, 2)
    if result.settings.band_behind:
        found = found * [-1, 1] + [face.span[0], 0]
    return [(round(float(x), 1), round(float(y), 1)) for x, y in face.on_strip(found)]


def _on_face(result: Result, points: Any) -> np.ndarray:
    """Return points of the strip where they lie on the face, as drawn [mm]."""
    face = _face(result)
    found = face.as_drawn(np.array(points, dtype=float).reshape(-1, 2))
    return found * [-1, 1] + [face.span[0], 0] if result.settings.band_behind else found


def handles(result: Result) -> list[tuple[float, float]]:
    """Return the handles: the maker's own points; of a ready-made line its middle, its right end and its top."""
    s = result.settings
    if s.line == NO_LINE or _band(result) is None:
        return []
    if s.shape == OWN:
        return _on_strip(result, s.band_points)
    return _on_strip(result, [(s.m_x, s.m_y), *_ends(s)]) if s.shape in (*LINES, FROM_DRAWING) else []


def _ends(s: Settings) -> np.ndarray:
    """Return the places of the handles that set the measures of a ready-made line, from its lower left corner [mm]."""
    wide, high = _reaches(s)
    a = np.radians(s.m_turned)
    across, up = np.array([np.cos(a), np.sin(a)]), np.array([-np.sin(a), np.cos(a)])
    far = [wide * across] if high is None else [wide * across, high * up]
    return np.array([s.m_x, s.m_y]) + np.array(far)


ACROSS, UP = ("width", "length", "radius"), ("height", "rise", "width")


def _measured(s: Settings) -> tuple[str, str]:
    """Return which measure the handle on the right sets, and which the one on top; empty where none."""
    names = list(measures_of(s.shape))
    right = next(name for name in ("length", "width", "radius") if name in names)
    top = next((name for name in UP if name in names and name != right), "")
    return right, top


def _reaches(s: Settings) -> tuple[float, float | None]:
    """Return how far a ready-made line reaches from its middle to the right and up [mm]; a drawing, scaled as one, to the right."""
    if s.shape == FROM_DRAWING:
        return max(s.m_width, s.m_height) / 2, None
    right, top = _measured(s)
    half = 1.0 if right == "radius" else 0.5
    return getattr(s, f"m_{right}") * half, getattr(s, f"m_{top}") / 2 if top else None


def moved(result: Result, points: Sequence, held: bool) -> Settings:
    """Return the settings after a handle was moved."""
    s, found, face = result.settings, _on_face(result, points), _face(result)
    reach = s.snap if held or s.moving else 0.0  # a key goes as far as it says
    if s.shape == OWN:
        return replace(s, moving=held, band_points=_own_points(s, found, face.span, reach))
    before = np.array([(s.m_x, s.m_y), *_ends(s)])
    which = int(np.argmax(np.hypot(*(found[: len(before)] - before).T)))
    if which == 0:
        x, y = snapped(found[0].round(1), face.span, reach).tolist()
        return replace(s, moving=held, m_x=x, m_y=y)
    arm = found[which] - before[0]
    radius = float(np.hypot(*arm))
    angle = float(round(snapped_angle(np.degrees(np.arctan2(arm[1], arm[0])), radius, reach)))
    if s.shape == FROM_DRAWING:
        return replace(scaled(s, max(radius, LEAST_REACH) / _reaches(s)[0]), moving=held, m_turned=angle)
    name = _measured(s)[which - 1]
    size = radius * (1 if name == "radius" else 2)
    turned = {"m_turned": angle} if which == 1 else {}
    return replace(s, moving=held, **{f"m_{name}": max(_tidy(size), 5.0)}, **turned)


def _own_points(
    s: Settings, found: np.ndarray, size: tuple[float, float], reach: float
) -> tuple[tuple[float, float], ...]:
    """Return the maker's own points after one was moved, which snaps, or after one came or went; others stay as typed [mm]."""
    if len(found) != len(s.band_points):
        return tuple(map(tuple, found.round(1).tolist()))
    before = np.array(s.band_points)
    which = int(np.argmax(np.hypot(*(found - before).T)))
    before[which] = snapped(found[which].round(1), size, reach, np.delete(before, which, axis=0))
    return tuple(map(tuple, before.tolist()))


def _tidy(length: float) -> float:
    return round(float(length), 1)


def between(result: Result) -> list[tuple[float, float]]:
    """Return a place on the line between each of the maker's own points and the next."""
    if result.settings.shape != OWN or _band(result) is None:
        return []
    part = _guide(result).parts[0]
    t = part.spline.x
    return [(float(x), float(y)) for x, y in part.spline((t[1:] + t[:-1]) / 2).round(1)]


DRAG = Drag(handles, moved, between, MOST_HANDLES)


# --- more bands and motifs ---------------------------------------------------------------------------------


def _changed(s: Settings, change: Callable[[list, list], str]) -> Settings:
    """Return the settings for the piece with its bands and motifs changed; `change` returns which one comes into the boxes."""
    plan = plan_of(s)
    record = plan.model_dump(mode="json")
    part = next(part for part in record["glass"] if part["name"] == s.glass_name.strip())
    part.setdefault("motifs", [])
    line = change(part["bands"], part["motifs"])
    return settings_of(plan.made(**record), part["name"], line)


def _face_meant(s: Settings) -> str:
    """Return the face in the boxes, or the first one where the piece has become another kind of glass, without that face."""
    faces = faces_of(s)
    return s.band_face if s.band_face in faces else faces[0]


def _add(s: Settings, motif: bool) -> tuple[Settings, str]:
    """Draw another band or motif over those that are there."""
    shape = FIRST_MOTIF if motif else FIRST_ROUND if goes_round(s) else FIRST_SHAPE
    fresh = usual_line(replace(s, shape=shape))
    measures = {name: getattr(fresh, f"m_{name}") for name, needed in measures_of(shape).items() if needed}
    line = {"name": LINES[shape], "measures": measures, "x": fresh.m_x, "y": fresh.m_y}
    drawn = {"face": _face_meant(s), "line": line}

    def change(bands: list, motifs: list) -> str:
        (motifs if motif else bands).append(drawn if motif else drawn | {"rows": USUAL_ROWS})
        return line_titles((), motifs)[-1] if motif else line_titles(bands, ())[-1]

    found = _changed(s, change)
    closes = " It closes round the glass while it is as long as the girth at the foot." * (goes_round(s) and not motif)
    return found, f"{found.line.capitalize()} is new.{closes} Drag its handles, or choose what it is."


def _take(s: Settings, sketch: Sketch) -> tuple[Settings, str]:
    """Lay a drawing that was kept in lesson 02 over what is there, where it was drawn."""
    drawn = [band.model_dump(mode="json") | {"face": _face_meant(s)} for band in sketch.bands]

    def change(bands: list, motifs: list) -> str:
        if sketch.middle is None:
            bands += drawn
            return line_titles(bands, ())[-1]
        rows = drawn[0].pop("rows")
        edge = {
            name: drawn[0][name] for name in ("face", "points", "line", "path", "turned", "corners") if name in drawn[0]
        }
        motifs.append(edge | {"fraction": rows[0]["fraction"], "middle": sketch.middle})
        return line_titles((), motifs)[-1]

    found = _changed(s, change)
    return found, f"{sketch.name} lies on the glass as {found.line}, where it was drawn."


def _trace(s: Settings, file: Mapping[str, Any]) -> tuple[Settings, str]:
    """Put the largest line of an SVG file that fits in place of the band or motif in the boxes, in the middle of its face."""
    if s.line == NO_LINE:
        raise MosaicError("Add a band or a motif first, or choose one; a drawing takes the place of its line.")
    drawing, names = drawing_in(file, closed=is_motif(s.line))
    wide, high = face_size(s)
    drawing = drawing.fitted(names[0], SPAN * wide, SPAN * high)
    offered = tuple((name, drawing.data(name)) for name in names[:MOST_OFFERED])
    fresh = along_path(s, offered[0][1])
    found = replace(fresh, m_x=_tidy(wide / 2), m_y=_tidy(high / 2), drawing=offered, traced=names[0])
    compute(found)  # nothing is changed for a line that cannot be laid
    more = f" 'Line of the drawing' under {SIZE!r} offers {len(offered)} of its lines." * (len(offered) > 1)
    words = f"{names[0]} of {file['name']} is {s.line} now; its handles, or a length under {SIZE!r}, say how large it is.{more}"
    return found, " ".join([words, *left_words(len(drawing.lines) - len(offered), drawing)])


def _listed(s: Settings, bands: list, motifs: list) -> tuple[list, int]:
    """Return the list that the band or motif in the boxes stands in, and its place there."""
    if s.line == NO_LINE:
        raise MosaicError("There is no band or motif in the boxes; choose one first.")
    place = int(s.line.split()[1]) - 1
    return (motifs if is_motif(s.line) else bands), place


def _remove(s: Settings) -> tuple[Settings, str]:
    """Take the band or motif in the boxes away."""

    def change(bands: list, motifs: list) -> str:
        listed, place = _listed(s, bands, motifs)
        del listed[place]
        return next(iter(line_titles(bands, motifs)), NO_LINE)

    return _changed(s, change), f"{s.line.capitalize()} is taken away. Undo brings it back."


def _lift(s: Settings) -> tuple[Settings, str]:
    """Lay the band or motif in the boxes over all others of its kind."""

    def change(bands: list, motifs: list) -> str:
        listed, place = _listed(s, bands, motifs)
        listed.append(listed.pop(place))
        return line_titles((), motifs)[-1] if is_motif(s.line) else line_titles(bands, ())[-1]

    return _changed(s, change), "It lies on top now, and is the last of its kind in the list."


def actions(folder: Path) -> tuple[Action, ...]:
    """Return the buttons for more and fewer bands and motifs, and for a drawing that was kept in lesson 02."""
    sketches, box = Shelf(folder / DRAWINGS, Sketch), ("Kept drawing", "my ribbon")
    return (
        Action("add", "Add a band", lambda s, _: _add(s, False)),
        Action("motif", "Add a motif", lambda s, _: _add(s, True)),
        Action("lift", "Lay it on top", lambda s, _: _lift(s)),
        Action("remove", "Take the line away", lambda s, _: _remove(s)),
        Action("take", "Take a kept drawing", lambda s, name: _take(s, sketches.load(name)), *box),
        Action("trace", "Take an SVG drawing", _trace, accept=".svg"),
    )
