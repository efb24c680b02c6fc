"""Lesson 02, part four: a motif filled with rows from its edge inwards, its middle, and the field round it."""

__all__ = [
    "CONTROLS",
    "OWN_DRAWING",
    "SHAPES",
    "Result",
    "Settings",
    "compute",
    "draw",
    "report",
    "summary",
]

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
import shapely

from mosaiclib.drawing import Drawing, Lines
from mosaiclib.drawing.palette import ACCENT
from mosaiclib.errors import MosaicError
from mosaiclib.job import quantities
from mosaiclib.job.drawn import LinePart
from mosaiclib.job.sketch import Sketch
from mosaiclib.layout import (
    FRACTIONS,
    OUTLINED,
    PATTERNS,
    Grid,
    Layout,
    Rows,
    Survey,
    Tile,
    best_grids,
    lay,
    outline_of,
    survey,
)
from mosaiclib.layout.joints import least_widths
from mosaiclib.layout.rowspec import narrow_end
from mosaiclib.layout.svg_path import Stroke, data_of, frame_of, outline_of_stroke, placed, strokes_of
from mosaiclib.lesson.controls import Action, Choice, Drag, Length, Number
from mosaiclib.lessons.practice import BED
from mosaiclib.lessons.w02_ring import limit_rows, widened
from mosaiclib.lessons.w02_shared import (
    FIELD_COLOUR,
    Ready,
    drawing_actions,
    drawing_in,
    field_row,
    gauge_row,
    glass_controls,
    joint_controls,
    laid,
    left_words,
    open_rows,
    overlap_words,
    picture,
    view_controls,
    write_sheets,
)
from mosaiclib.report import Row
from mosaiclib.units import mm, text

TITLE = "A motif filled from its edge"
OWN_DRAWING = "my drawing"
SHAPES = ("heart", "leaf", "disc", "ellipse", "star", "rounded square", OWN_DRAWING)
MIDDLE = {"one piece or a line of pieces": "piece", "pieces that run together": "fan", "a small grid": "field"}
LEAST, MOST = 30.0, 250.0  # [mm] width of a motif
DRAWN = 100.0  # [mm] width at which a drawing is kept here
WITHIN = 0.05  # [mm] of its outline
ROUND = 0.15  # of its shorter side: how far the corners of the square are rounded
TONES = ("rose", "amber")
MIDDLE_TONE = "red"
NAME = "motif"
STILL = 0.05  # [mm] a handle that lies so near to where it was has not moved
OFF_THE_GLASS = "The motif lies beside the glass"
PLACE, JOINT, GLASS, VIEW = "Its place and height", "The tile and the joint", "The glass and the field", "The view"


@dataclass(frozen=True)
class Settings:
    """What the learner can set [mm]; `path` is a drawing of one's own, 100 mm wide about 0, 0."""

    shape: str = SHAPES[0]
    size: float = 110.0
    fraction: str = "quarter"
    middle: str = next(iter(MIDDLE))
    outline: str = OUTLINED[0]
    high: float = 90.0
    turned: float = 0.0
    x: float = 100.0
    y: float = 75.0
    tile: float = 20.0
    joint: float = 2.0
    limits: tuple[float, float] = (1.7, 2.3)
    step: float = 0.5
    width: float = 200.0
    height: float = 150.0
    pattern: str = PATTERNS[0]
    squared: str = "no squared paper"
    marked: bool = True
    path: str = ""
    moving: bool = False
    shift: tuple[Grid, ...] | None = None


NO_ROOM = ("No piece can be laid in this motif",)
CONTROLS = (
    Choice(
        "shape",
        "Motif",
        SHAPES,
        help="drag it by its middle; the other handle sizes and turns it",
        refuses=("There is no drawing yet",),
    ),
    Length("size", "Width", LEAST, MOST, 1, refuses=NO_ROOM),
    Choice("fraction", "Tiles cut to", FRACTIONS),
    Choice("middle", "Its middle", tuple(MIDDLE)),
    Number(
        "high", "Height", 40, 100, 5, "% of the width", fold=PLACE, refuses=("The height of a heart", "A leaf must")
    ),
    Number("turned", "Turned by", -180, 180, 1, "degrees", fold=PLACE),
    Length("x", "Middle across", 0, 400, 1, fold=PLACE, refuses=(OFF_THE_GLASS,)),
    Length("y", "Middle up", 0, 300, 1, fold=PLACE, refuses=(OFF_THE_GLASS,)),
    Length("tile", "Tile", 8, 40, 0.5, fold=JOINT, refuses=NO_ROOM, help="of motif and field"),
    *joint_controls(JOINT),
    *glass_controls(GLASS),
    Choice("pattern", "Field", PATTERNS, fold=GLASS),
    Choice("outline", "Outline row", OUTLINED, fold=GLASS, help="one more row outside it, of the field's colour"),
    *view_controls(VIEW),
)


def _ready(s: Settings) -> Ready:
    """Return the motif's edge as a ready-made line."""
    wide, tall = s.size, s.size * s.high / 100
    name, measures = {
        "heart": ("heart", {"width": wide, "height": tall}),
        "leaf": ("leaf", {"length": wide, "width": tall}),
        "disc": ("ring", {"radius": wide / 2}),
        "ellipse": ("ellipse", {"width": wide, "height": tall}),
        "star": ("star", {"width": wide}),
        "rounded square": ("rounded_rectangle", {"width": wide, "height": tall, "radius": ROUND * tall}),
    }[s.shape]
    return Ready(name, measures, s.x, s.y, s.turned)


def _own(s: Settings) -> Stroke:
    """Return the motif's edge as it was drawn, in its place [mm]."""
    if not s.path:
        raise MosaicError("There is no drawing yet. Press 'Take an SVG drawing' and choose a file.")
    return placed(*strokes_of(s.path), s.size / DRAWN, s.turned, (s.x, s.y))


def _about_its_middle(stroke: Stroke) -> tuple[str, dict[str, float]]:
    """Return a drawing 100 mm wide about 0, 0 as a path, and the settings that put it where it was."""
    low, high = frame_of(stroke.path)
    middle, size = (low + high) / 2, float(high[0] - low[0])
    if not LEAST <= size <= MOST:
        raise MosaicError("A motif may be ", mm(LEAST, MOST), " wide; this one is ", mm(round(size, 1)), ".")
    path = data_of(placed(stroke, DRAWN / size, 0.0, (0.0, 0.0), middle))
    return path, {"size": size, "x": float(middle[0]), "y": float(middle[1]), "turned": 0.0}


def edge_of(s: Settings) -> shapely.Polygon:
    """Return the motif's edge on the face [mm]."""
    return outline_of_stroke(_own(s), WITHIN) if s.shape == OWN_DRAWING else outline_of(_ready(s).guide())


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings; measures are not taken while a handle moves."""

    settings: Settings
    edge: shapely.Polygon
    piece: Rows
    layout: Layout

    @cached_property
    def pieces(self) -> np.ndarray:
        """Numbers of the motif's pieces."""
        return np.flatnonzero((self.layout.pieces["line"] == NAME).to_numpy())

    @cached_property
    def survey(self) -> Survey:
        """Measures of all joints."""
        return survey(self.layout)

    @cached_property
    def shift(self) -> tuple[Grid, ...]:
        """Where the field's grids lie."""
        s = self.settings
        face, *asked = _asked(s, self.edge, self.piece)
        alone = lay(face, *asked, field=None, limits=widened(s.limits, s.joint))
        return best_grids(face, alone, *asked[1:], pattern=s.pattern)


def _asked(s: Settings, edge: shapely.Polygon, piece: Rows) -> tuple:
    """Return face, motif, tile and joint, as they are laid."""
    filled = {"outline": edge, "fraction": s.fraction, "middle": MIDDLE[s.middle], "name": NAME, "outlined": s.outline}
    return shapely.box(0, 0, s.width, s.height), [filled], piece.tile, s.joint


def compute(s: Settings) -> Result:
    """Fill the motif and lay the field round it.

    >>> found = compute(Settings())
    >>> found.survey.overlaps, len(found.pieces) > 50
    (0, True)
    """
    edge, piece = edge_of(s), Rows(Tile(s.tile, 4.0), s.fraction)
    if not edge.intersects(shapely.box(0, 0, s.width, s.height)):
        raise MosaicError(f"{OFF_THE_GLASS}. Move its middle, or take a larger glass.")
    shift = s.shift if s.moving else None
    layout = laid(*_asked(s, edge, piece), shift, pattern=s.pattern, limits=widened(s.limits, s.joint))
    return Result(s, edge, piece, _coloured(layout, s.outline != OUTLINED[0]))


def _coloured(layout: Layout, outlined: bool) -> Layout:
    """Give the rows of the motif their tones in turn, and its middle another; an outline row is as the field."""
    tones = {"rows": TONES, "middle": (MIDDLE_TONE,)}
    lines = zip(layout.pieces["line"], layout.pieces["band"], layout.pieces["row"], strict=True)
    rows = ((line and not (outlined and row == 1 and band == "rows"), band, row) for line, band, row in lines)
    found = ((tones.get(band, (MIDDLE_TONE,)), row) if own else ((FIELD_COLOUR,), 0) for own, band, row in rows)
    return layout.coloured([of[(row - 1) % len(of)] for of, row in found])


def draw(result: Result) -> Drawing:
    """Draw motif and field, the motif's edge over them."""
    over = [Lines([result.edge.exterior], ACCENT, 0.35, (2.0, 1.5))]
    return picture(result.layout, result.settings, over, "A motif filled from its edge")


def _rows_and_middle(result: Result) -> tuple[int, int]:
    """Return how many rows the motif has and how many pieces its middle."""
    pieces = result.layout.pieces.iloc[result.pieces]
    rows = pieces["band"] == "rows"
    outside = result.settings.outline != OUTLINED[0]
    return int(pieces.loc[rows, "row"].max()) - outside if rows.any() else 0, int((~rows).sum())


def report(result: Result) -> list[Row]:
    """Tell the results, rounded once."""
    s, found = result.settings, result.survey
    limits = mm(result.layout.joint_min, result.layout.joint_max)
    return [
        *limit_rows(s.limits, s.joint),
        *_row_rows(result),
        _thin_row(result),
        Row("Joints within limits", round(100 * found.share_within, 1), "%", text("of their length is ", limits)),
        Row("Pieces on each other", found.overlaps, "pairs", overlap_words(found)),
        gauge_row(result.layout, s.step),
        field_row(result.layout),
        Row("It takes", "", "", str(quantities(result.layout, BED))),
        *open_rows(result.layout),
    ]


def _row_rows(result: Result) -> list[Row]:
    """Tell half the motif's width, what a row takes of it, and the pieces of each row and the middle."""
    half = shapely.maximum_inscribed_circle(result.edge, tolerance=0.01).length
    each = mm(round(result.piece.height + result.settings.joint, 2))
    lines = [Row("Half its width", round(half, 1), "mm", text("where it is widest; a row with its joint takes ", each))]
    pieces = result.layout.pieces.iloc[result.pieces]
    for number, row in pieces[pieces["band"] == "rows"].groupby("row"):
        kinds = ", ".join(f"{count} {kind}" for kind, count in row["kind"].value_counts().items())
        place = number - (result.settings.outline != OUTLINED[0])
        lines.append(Row(f"Row {place} from the edge" if place else "Outline row", len(row), "pieces", kinds))
    middle = pieces[pieces["band"] != "rows"]
    words = "the rows close by themselves" if middle.empty else middle["why"].iloc[0]
    return [*lines, Row("In the middle", len(middle), "pieces", words)]


def _thin_row(result: Result) -> Row:
    """Tell how many pieces of the motif are too thin to nip well."""
    least = narrow_end(min(result.piece.width, result.piece.height))
    count = int((least_widths(result.layout.shapes[result.pieces]) < least).sum())
    words = text("of the motif are narrower than ", mm(round(least, 1)), ", where glass breaks")
    return Row("Thin ones", count, "pieces", words)


def summary(result: Result) -> str:
    """Return how the motif closes, and how the joints come out, which is not measured while a handle moves."""
    rows, middle = _rows_and_middle(result)
    words = f"{rows} row{'s' * (rows != 1)} from the edge and {middle} piece{'s' * (middle != 1)} in the middle"
    if result.settings.moving:
        return f"{words}; joints are measured when you let go."
    left = len(result.layout.gaps)
    words += f"; {left or 'no'} place{'s' * (left != 1)} left open"
    return f"{words}; {result.survey.share_within:.1%} of the joints within limits."


# --- handles ---------------------------------------------------------------------------------------------


def handles(result: Result) -> list[tuple[float, float]]:
    """Return the handles: the motif's middle, and where its width ends [mm]."""
    s = result.settings
    turn = math.radians(s.turned)
    return [(s.x, s.y), (s.x + s.size / 2 * math.cos(turn), s.y + s.size / 2 * math.sin(turn))]


def moved(result: Result, points: list, held: bool) -> Settings:
    """Return the settings after a handle was moved: the first moves the motif, the second sizes and turns it."""
    s, before = result.settings, handles(result)
    place, tip = (np.array(point, dtype=float) for point in points)
    s = replace(s, moving=held, shift=(s.shift or result.shift) if held else None)
    if np.hypot(*(place - before[0])) > STILL:
        x, y = np.clip(place.round(1), 0, [s.width, s.height]).tolist()
        return replace(s, x=x, y=y)
    if np.hypot(*(tip - before[1])) <= STILL:
        return s
    across, up = tip - place
    size = float(np.clip(round(2 * math.hypot(across, up), 1), LEAST, MOST))
    return replace(s, size=size, turned=round(math.degrees(math.atan2(up, across)), 1))


DRAG = Drag(handles, moved)


# --- what is written, kept and opened ---------------------------------------------------------------------


def _write(s: Settings, name: str, folder: Path) -> str:
    return write_sheets(compute(replace(s, moving=False)).layout, name, s.step, folder)


def sketch(s: Settings, name: str) -> Sketch:
    """Return the motif as a drawing to be kept: its edge with what the tiles are cut to, and its middle."""
    line = {"path": data_of(_own(s))} if s.shape == OWN_DRAWING else {"line": _ready(s).kept()}
    band = {"face": "pane", "rows": [{"fraction": s.fraction}]} | line
    return Sketch.made(name=name, bands=[band], middle=MIDDLE[s.middle])


def opened(s: Settings, kept: Sketch) -> Settings:
    """Return the settings that show a kept drawing, a motif or any line that closes on itself."""
    band = kept.bands[0]
    if len(kept.bands) > 1 or not kept.guides()[0].closed:
        raise MosaicError(
            f"{kept.name} does not close on itself. Open it on the part 'A drawn line' or 'Lines that cross'."
        )
    middle = next((words for words, name in MIDDLE.items() if name == kept.middle), s.middle)
    s = replace(s, fraction=band.rows[0].fraction, middle=middle, moving=False, shift=None)
    return (_shown(s, band.line) if band.line else None) or _as_drawn(s, kept)


def _shown(s: Settings, line: LinePart) -> Settings | None:
    """Return the settings for which a ready-made line is made; None if there are none."""
    wide, tall = (line.measures.get(one, 0.0) for one in ("width", "height"))
    if line.name == "ring":
        wide, tall = 2 * line.measures["radius"], 0.0
    if line.name == "leaf":
        wide, tall = line.measures["length"], wide
    more = {"size": wide, "x": line.x, "y": line.y, "turned": line.turned}
    for shape in SHAPES[:-1]:
        found = replace(s, shape=shape, **more, high=round(100 * tall / wide, 6) if tall else s.high)
        if LEAST <= wide <= MOST and _alike(found, line):
            return found
    return None


def _alike(s: Settings, line: LinePart) -> bool:
    """Tell whether the settings make a ready-made line."""
    made = _ready(s)
    same = made.name == line.name and made.measures.keys() == line.measures.keys()
    return same and all(math.isclose(made.measures[one], line.measures[one], rel_tol=1e-6) for one in made.measures)


def _as_drawn(s: Settings, kept: Sketch) -> Settings:
    """Return the settings that show the edge of a drawing as a path."""
    path = kept.bands[0].path
    stroke = strokes_of(path)[0] if path else _stroke_of(kept.guides()[0])
    path, placed = _about_its_middle(stroke)
    return replace(s, shape=OWN_DRAWING, path=path, **placed)


def _stroke_of(guide: Any) -> Stroke:
    """Return a closed guide as straight strokes, near enough that none is seen [mm]."""
    points = np.array(outline_of(guide, WITHIN).exterior.coords)
    thirds = np.linspace(0, 1, 4)[None, :, None]
    return Stroke(points[:-1, None] * (1 - thirds) + points[1:, None] * thirds, True)


def _take(s: Settings, file: Mapping[str, Any]) -> tuple[Settings, str]:
    """Take the largest closed line of an SVG file as the motif, at the width that is set."""
    drawing, (largest, *_) = drawing_in(file, closed=True)
    drawing = drawing.fitted(largest, DRAWN)
    drawing.outline(largest, WITHIN)
    words = f"{largest} of {file['name']} is taken as the motif; Width says how wide it is."
    left = left_words(len(drawing.lines) - 1, drawing)
    return replace(s, shape=OWN_DRAWING, path=drawing.data(largest)), " ".join([words, *left])


def actions(folder: Path) -> tuple[Action, ...]:
    """Return the buttons that write the sheets, keep and open the drawing, and take one from a file."""
    take = Action("take", "Take an SVG drawing", _take, accept=".svg", fresh=True)
    return *drawing_actions(folder, "my motif", _write, sketch, opened), take
