"""Lesson 02, part two: rows that follow a drawn line with an even joint, and the field behind them."""

__all__ = [
    "CONTROLS",
    "CUT",
    "FIELDS",
    "OWN_POINTS",
    "SHAPES",
    "Result",
    "Settings",
    "compute",
    "draw",
    "guide_of",
    "report",
    "summary",
]

from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

import numpy as np
import shapely

from mosaiclib.drawing import SQUARED, Drawing, Lines, look
from mosaiclib.drawing import Text as Letters
from mosaiclib.drawing.palette import ACCENT
from mosaiclib.errors import MosaicError
from mosaiclib.job import quantities
from mosaiclib.job.drawn import LinePart
from mosaiclib.job.sketch import Sketch
from mosaiclib.layout import (
    FRACTIONS,
    PATTERNS,
    Grid,
    Guide,
    Layout,
    Rows,
    Survey,
    Tile,
    best_grids,
    join,
    joints_by_place,
    lay_field,
    lay_rows,
    lined_up,
    off_the_line,
    outlined,
    survey,
)
from mosaiclib.layout.lines import READY_MADE
from mosaiclib.layout.rowspec import CORNERS, narrow_end, read_rows
from mosaiclib.layout.wedges import tightest_radius, uncut_radius
from mosaiclib.lesson.controls import Action, Choice, Count, Drag, Length, Number, Points, Range, Readings, Switch
from mosaiclib.lessons.practice import BED
from mosaiclib.lessons.w02_ring import limit_rows, widened
from mosaiclib.lessons.w02_shared import (
    FIELD_COLOUR,
    OWN_POINTS,
    ROW_COLOURS,
    Ready,
    between_on,
    drawing_actions,
    field_row,
    gauge_row,
    handles_on,
    only_band,
    open_rows,
    opened_points,
    overlap_words,
    picture,
    traced,
    write_sheets,
)
from mosaiclib.report import Row
from mosaiclib.spacing import Judged, judge_readings
from mosaiclib.units import mm, text

TITLE = "Rows along a drawn line"
READY = {  # the shapes: which line they are, and which settings, times how much, are its measures
    "straight": ("straight", {"length": ("length", 1.0)}),
    "arc": ("arc", {"radius": ("length", 0.5), "degrees": 180.0}),
    "ring": ("ring", {"radius": ("length", 0.5)}),
    "ribbon": ("s_ribbon", {"width": ("length", 1.0), "height": ("rise", 1.0)}),
    "wave": ("wave", {"length": ("length", 1.0), "height": ("rise", 1.0), "waves": ("waves", 1.0)}),
    "leaf": ("leaf", {"length": ("length", 1.0), "width": ("rise", 1.0)}),
    "frame": ("rounded_rectangle", {"width": ("length", 1.0), "height": ("rise", 1.0)}),
    "star": ("star", {"width": ("length", 1.0)}),
}
SHAPES = (OWN_POINTS, *READY)
CUT = ("cut to wedges", "as bought")
FIELDS = ("grid", "running bond")
OUTLINES = ("none", *FRACTIONS)
LINE, JOINT, FIELD = "The line", "The joint and the gauge", "The tile and the field"
EDGES, OWN, VIEW = "Corners and outline row", "Your own row", "The view"
MOST_ROWS = 6
MOST_HANDLES = 60  # as many points as a band of a plan may have
RIBBON = ((-4.0, 48.0), (45.0, 62.0), (95.0, 98.0), (145.0, 86.0), (204.0, 52.0))


@dataclass(frozen=True)
class Settings:
    """What the learner can set [mm]."""

    shape: str = OWN_POINTS
    fraction: str = "quarter"
    count: int = 3
    cut: str = CUT[0]
    points: tuple[tuple[float, float], ...] = RIBBON
    length: float = 150.0
    rise: float = 60.0
    waves: int = 1
    joint: float = 2.0
    limits: tuple[float, float] = (1.7, 2.3)
    step: float = 0.5
    corner: str = CORNERS[0]
    outline: str = OUTLINES[0]
    tile: float = 20.0
    field: float = 20.0
    pattern: str = FIELDS[0]
    angle: float = 0.0
    own: tuple[float, ...] = ()
    width: float = 200.0
    height: float = 150.0
    squared: str = "no squared paper"
    marked: bool = True
    moving: bool = False
    shift: tuple[Grid, ...] | None = None


CONTROLS = (
    Choice(
        "shape",
        "Line",
        SHAPES,
        help="drag the handles, or Tab to one and use the arrow keys; frame, star and leaf have corners",
    ),
    Choice("fraction", "Tiles cut to", FRACTIONS),
    Count("count", "Rows", 1, MOST_ROWS),
    Choice("cut", "Pieces", CUT, help="see what the joints do if nothing is cut"),
    Points("points", "Points", fold=LINE, help="across and up, a semicolon after each"),
    Length("length", "Length", 40, 300, 1, fold=LINE, help="of a ready-made line"),
    Length("rise", "Rise", 5, 150, 1, fold=LINE, help="its height; the radius of arc and ring is half the length"),
    Count("waves", "Waves", 1, 4, fold=LINE),
    Length("joint", "Joint", 1, 4, 0.1, fold=JOINT),
    Range("limits", "Joint limits", 0.5, 6, 0.1, fold=JOINT),
    Length("step", "Gauge step", 0.1, 2, 0.1, fold=JOINT, help="wedges alike within half of it are cut by one gauge"),
    Choice("corner", "Corners", CORNERS, fold=EDGES, help="how rows go round a corner of the line"),
    Choice("outline", "Outline row", OUTLINES, fold=EDGES, help="of the field's tile, on either side of the rows"),
    Length("tile", "Row tile", 8, 40, 0.5, fold=FIELD),
    Length("field", "Field tile", 8, 40, 0.5, fold=FIELD),
    Choice("pattern", "Field", FIELDS, fold=FIELD),
    Number("angle", "Field turned by", 0, 90, 5, "degrees", fold=FIELD),
    Readings("own", "Joints", fold=OWN, help="of your own row, with spaces between"),
    Length("width", "Glass, width", 80, 400, 1, fold=VIEW),
    Length("height", "Glass, height", 80, 300, 1, fold=VIEW),
    Choice("squared", "Squared paper", tuple(SQUARED), fold=VIEW),
    Switch("marked", "Mark joints that are off", fold=VIEW),
)


def ready_made(s: Settings) -> Ready:
    """Return the ready-made line that the settings stand for, the middle of its frame in the middle of the glass."""
    name, asked = READY[s.shape]
    measures = {one: of if isinstance(of, float) else of[1] * getattr(s, of[0]) for one, of in asked.items()}
    off = np.array([s.width, s.height]) / 2 - _middle(READY_MADE[name](**measures))
    return Ready(name, measures, *off)


def _shown(s: Settings, line: LinePart) -> Settings | None:
    """Return the settings for which a ready-made line is made, moved to the middle of the glass; None if there are none."""
    for shape, (name, asked) in READY.items():
        if name == line.name and asked.keys() == line.measures.keys() and not line.turned:
            of = {to[0]: line.measures[one] / to[1] for one, to in asked.items() if isinstance(to, tuple)}
            found = replace(s, shape=shape, **{one: type(getattr(s, one))(value) for one, value in of.items()})
            if ready_made(found).measures == line.measures:
                return found
    return None


def guide_of(s: Settings) -> Guide:
    """Return the line that the settings stand for, in the middle of the glass or through the learner's own points."""
    return Guide(s.points) if s.shape == OWN_POINTS else ready_made(s).guide()


def _middle(guide: Guide) -> np.ndarray:
    """Return the middle of a line's frame, (2,) [mm]."""
    points = np.array(guide.points)
    seen = np.vstack([guide.at(np.linspace(0, guide.length * (1 - 1e-9), 200)), points[list(guide.corners)]])
    return (seen.min(axis=0) + seen.max(axis=0)) / 2


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings."""

    settings: Settings
    guide: Guide
    spec: list[Rows]
    rows: Layout
    layout: Layout
    shift: tuple[Grid, ...]
    own: Judged | None

    @cached_property
    def survey(self) -> Survey:
        """Measures of rows and field; not taken while a handle moves."""
        return survey(self.layout)


def compute(s: Settings) -> Result:
    """Lay rows along the line and the field behind them.

    >>> found = compute(Settings())
    >>> found.survey.overlaps, found.survey.share_within > 0.95
    (0, True)
    """
    face = shapely.box(0, 0, s.width, s.height)
    limits = widened(s.limits, s.joint)
    row = {"tile": Tile(s.tile, 4.0), "fraction": s.fraction, "count": s.count}
    guide = guide_of(s)
    tile, grid = Tile(s.field, 4.0), {"pattern": PATTERNS[s.pattern == FIELDS[1]], "angle": s.angle}
    spec = read_rows(row) if s.outline == OUTLINES[0] else outlined(row, tile, s.outline)
    rows = lay_rows(guide, spec, s.joint, face, limits=limits, bought=s.cut == CUT[1], corner=s.corner)
    # while a handle moves the grids stay where they were; when it is let go the best are searched anew
    shift = s.shift if s.moving and s.shift else best_grids(face, rows, tile, s.joint, **grid)
    field = lay_field(face, rows, tile, s.joint, shift=shift, **grid)
    layout = _coloured(join(rows, field), s.outline != OUTLINES[0])
    own = judge_readings(s.own, *limits) if s.own else None
    return Result(s, guide, spec, rows, layout, shift, own)


def _coloured(layout: Layout, outline: bool) -> Layout:
    """Give each row its colour; an outline row has the field's."""
    names = np.array([FIELD_COLOUR, *ROW_COLOURS], dtype=object)
    rows = (layout.pieces["band"] == "rows").to_numpy()
    number = layout.pieces["row"].to_numpy() - outline
    rows = rows & (number > 0) & (number <= layout.pieces["row"].to_numpy()[rows].max() - 2 * outline)
    return layout.coloured(names[np.where(rows, (number - 1) % len(ROW_COLOURS) + 1, 0)].tolist())


def draw(result: Result) -> Drawing:
    """Draw rows, field and the line, joints that are off marked."""
    over = [Lines([traced(result.guide)], ACCENT, 0.35, (2.0, 1.5)), *_row_numbers(result.rows)]
    return picture(result.layout, result.settings, over, "Rows along a drawn line")


def _row_numbers(rows: Layout) -> list:
    """Return each row's number as its words name it, on the second piece: a handle may lie on the first."""
    row, place, colour, height = (rows.pieces[name].to_numpy() for name in ("row", "place", "colour", "height"))
    order = np.lexsort((place, row))
    first = np.flatnonzero(np.diff(row[order], prepend=-1))
    second = order[np.minimum(first + 1, np.append(first[1:], len(row)) - 1)]
    middles = shapely.get_coordinates(shapely.centroid(rows.shapes[second]))
    size, each = 0.5 * np.median(height), zip(middles.tolist(), row[second], colour[second], strict=True)
    return [
        Letters(x, y, f"{row}", size, "middle", colour=look(name).ink, middle=True, name="row")
        for (x, y), row, name in each
    ]


def report(result: Result) -> list[Row]:
    """Tell the results, rounded once."""
    s, found, rows = result.settings, result.survey, survey(result.rows)
    limits = mm(result.layout.joint_min, result.layout.joint_max)
    kinds = result.rows.pieces["kind"].value_counts()
    counted = ", ".join(f"{count} {kind}" for kind, count in kinds.items())
    lines = [
        *limit_rows(s.limits, s.joint),
        Row("Joints within limits", round(100 * found.share_within, 1), "%", text("of all joint length is ", limits)),
        Row("Joints of the rows alone", round(100 * rows.share_within, 1), "%", overlap_words(found)),
        Row("Joint", round(found.joint_mean, 2), "mm", text("from ", mm(found.joint_least, found.joint_greatest))),
        Row("Pieces in the rows", len(result.rows), "pieces", counted),
        gauge_row(result.rows, s.step),
        field_row(result.layout),
        *_places(result),
        Row(
            "Tile edges stray from the drawn line",
            round(off_the_line(result.rows, result.guide, result.spec, s.joint), 2),
            "mm",
            "at most",
        ),
        *_lined_up(result),
        *_radii(result),
        *_spans(result),
    ]
    if result.own is not None:
        lines.append(
            Row(
                OWN,
                round(100 * result.own.share_within),
                "% within",
                text(result.own.sentences[0], " ", result.own.sentences[1]),
            )
        )
    lines.append(Row("It takes", "", "", str(quantities(result.layout, BED))))
    return lines + open_rows(result.layout)


def _places(result: Result) -> list[Row]:
    """Tell the joints by where they lie."""
    lines = []
    for line in joints_by_place(result.layout).itertuples():
        words = text("mean, from ", mm(line.least, line.greatest), f", {line.share_within:.0%} within limits")
        lines.append(Row(f"Joints {line.place}", round(line.mean, 2), "mm", words))
    return lines


def _lined_up(result: Result) -> list[Row]:
    """Tell how often joints line up with those of the next row, where there is one."""
    found = lined_up(result.rows)
    words = f"of {found.joints}, within one joint's width; by chance it would be {found.chance:.0%}"
    return [Row("Joints in line with the next row's", round(100 * found.share), "%", words)] if found.joints else []


def _radii(result: Result) -> list[Row]:
    """Tell the two radii that bound what can be laid."""
    s, strip = result.settings, result.rows
    spec = Rows(s.tile, s.fraction)
    height, width = spec.height, spec.width
    flat = uncut_radius(width=width, height=height, joint_min=strip.joint_min, joint_max=strip.joint_max)
    least = narrow_end(width)
    tight = tightest_radius(width=width, height=height, joint=s.joint, narrow_min=least)
    return [
        Row("Whole pieces will do from", round(flat), "mm", "inside radius", checked="wedges"),
        Row(
            "Wedges will do from",
            round(tight, 1),
            "mm",
            text(
                "inside radius at best: pieces are taken narrower on tight bends, and under ",
                mm(round(least, 1)),
                " they break",
            ),
        ),
    ]


def _spans(result: Result) -> list[Row]:
    """Tell for each row how long its stretches of each kind are."""
    lines = []
    for number in sorted({span.row for span in result.rows.spans}):
        mine = [span for span in result.rows.spans if span.row == number]
        shown = sorted(mine, key=lambda span: not span.reported)[:6]  # what needs the hand first
        parts = [part for span in shown for part in (", ", f"{span.zone} ", mm(round(span.begin), round(span.end)))]
        tightest = min(span.radius for span in mine)
        bend = "straight" if np.isinf(tightest) else text("tightest inside radius ", mm(round(tightest)))
        count = int((result.rows.pieces["row"] == number).sum())
        lines.append(Row(f"Row {number}", count, "pieces", text(bend, "; along the line: ", *parts[1:])))
    return lines


def summary(result: Result) -> str:
    """Return the pieces of rows and field, and how the joints come out, which is not measured while a handle moves."""
    tight = len({span.row for span in result.layout.spans if span.reported})
    words = f"{len(result.rows)} pieces in rows, {len(result.layout) - len(result.rows)} in the field"
    words += f"; fan or seam in {tight} row{'s' * (tight > 1)}" * bool(tight)
    if result.settings.moving:
        return f"{words}; joints are measured when you let go."
    return f"{words}; {result.survey.share_within:.1%} of the joints within limits."


def moved(result: Result, points: list, held: bool) -> Settings:
    """Return the settings after a handle was moved."""
    line = tuple((float(x), float(y)) for x, y in points)
    return replace(result.settings, shape=OWN_POINTS, points=line, moving=held, shift=result.shift if held else None)


def handles(result: Result) -> list[tuple[float, float]]:
    """Return the handles: the learner's own points, or points along a ready-made line."""
    return handles_on(result.guide, _own(result.settings))


def between(result: Result) -> list[tuple[float, float]]:
    """Return a place on the line between each handle and the next."""
    return between_on(result.guide, _own(result.settings))


def _own(s: Settings) -> tuple[tuple[float, float], ...]:
    return s.points if s.shape == OWN_POINTS else ()


DRAG = Drag(handles, moved, between, MOST_HANDLES)


def _write(s: Settings, name: str, folder: Path) -> str:
    return write_sheets(compute(replace(s, moving=False)).layout, name, s.step, folder)


def sketch(s: Settings, name: str) -> Sketch:
    """Return the line and its rows as a drawing to be kept."""
    line = {"points": [list(point) for point in s.points]} if s.shape == OWN_POINTS else {"line": ready_made(s).kept()}
    outline, rows = s.outline, [{"fraction": s.fraction}] * s.count
    band = {"face": "pane", "rows": rows, "outline": outline, "corner": s.corner} | line
    return Sketch.made(name=name, bands=[band])


def opened(s: Settings, kept: Sketch) -> Settings:
    """Return the settings that show a kept drawing: its own points, or a ready-made line in the middle of the glass."""
    (band,) = only_band(kept)
    rows = {"fraction": band.rows[0].fraction, "count": len(band.rows)}
    if rows["count"] > MOST_ROWS:
        raise MosaicError(f"{kept.name} has {rows['count']} rows; this part lays at most {MOST_ROWS}.")
    s = replace(s, **rows, outline=band.outline, corner=band.corner, moving=False, shift=None)
    found = _shown(s, band.line) if band.line else None
    return found or replace(s, shape=OWN_POINTS, points=opened_points(*kept.guides(), band.points))


def actions(folder: Path) -> tuple[Action, ...]:
    """Return the buttons that write the sheets, and keep and open the drawing."""
    return drawing_actions(folder, "my ribbon", _write, sketch, opened)
