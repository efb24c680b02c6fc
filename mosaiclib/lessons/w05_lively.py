"""Lesson 05, part two: lively or patterned, from the box that there is, with pieces coloured by hand."""

__all__ = ["CHARTS", "CONTROLS", "Result", "Settings", "compute", "draw", "repeats", "report", "summary", "tapped"]

from dataclasses import dataclass, replace

import numpy as np
import shapely

from mosaiclib.colour import ConflictGraph, Run, arrange_pinned, worst_off
from mosaiclib.colour.graph import Task
from mosaiclib.colour.repetition import Repetition, repetition, words_for
from mosaiclib.drawing import Drawing, Polygons, Text, layout_picture
from mosaiclib.drawing.palette import ACCENT, INK, PAPER, SECOND, SOFT, mix
from mosaiclib.errors import MosaicError
from mosaiclib.layout import Layout
from mosaiclib.lesson.controls import Again, Choice, Count, Number
from mosaiclib.lessons.w05_shared import BOND, BOX, PATTERNS, PITCH, RING, TILE, laid, touching, widened
from mosaiclib.report import Row

TITLE = "Lively or patterned"
THE_BOX, FIELD, HAND = "The box", "The field, and where it repeats", "By hand"
MADE = BY_LOT, BOARD, STRIPES, GRADIENT = ("by lot", "chessboard", "slanting stripes", "a gradient")
RULED = (BOARD, STRIPES)
NO_BRUSH, LET_GO = "nothing", "let it go"
PLENTY = 120
HALF = "most 30 "  # of 60 pieces can be of one colour


@dataclass(frozen=True)
class Settings:
    """What the learner can set; pins are pieces by number, from 1, with the colours chosen for them."""

    made: str = BY_LOT
    colours: int = 4
    share: float = 0.0
    lot: int = 1
    first: int = PLENTY
    others: int = PLENTY
    pattern: str = PATTERNS[0]
    across: int = 10
    down: int = 6
    brush: str = NO_BRUSH
    pins: tuple[tuple[int, str], ...] = ()


CONTROLS = (
    Choice("made", "Arranged", MADE, help="by lot: as chance has it, but no two alike touch"),
    Count("colours", "Colours", 2, 6),
    Number("share", f"Share of {BOX[0]}", 0, 60, 5, "%", refuses=(HALF,), help="0: as chance has it; only for by lot"),
    Again("lot", "Arrange again"),
    Count("first", f"Tiles of {BOX[0]}", 0, PLENTY, unit="tiles", fold=THE_BOX),
    Count("others", "Of each other colour", 5, PLENTY, unit="tiles", fold=THE_BOX, refuses=(HALF,)),
    Choice("pattern", "Pieces laid as", tuple(one for one in PATTERNS if one != RING), fold=FIELD),
    Count("across", "Pieces in a row", 4, 14, fold=FIELD),
    Count("down", "Rows", 4, 8, fold=FIELD),
    Choice("brush", "A tap makes it", (NO_BRUSH, LET_GO, *BOX), fold=HAND, help="then tap a piece of the picture"),
)


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings: the pieces in their colours, how they repeat, and how far a gradient is off, 0 to 1."""

    settings: Settings
    graph: ConflictGraph
    layout: Layout
    names: np.ndarray
    repeats: Repetition
    off: float | None


def compute(s: Settings) -> Result:
    """Arrange the pieces, and measure how much they repeat.

    >>> compute(Settings()).repeats.kind, compute(Settings(made="chessboard")).repeats.kind
    ('lively', 'crossing lines')
    """
    graph, bare = touching(s.pattern, s.across, s.down), laid(s.pattern, s.across, s.down)
    middles = shapely.get_coordinates(shapely.centroid(bare.shapes))
    run = _gradient(s, middles) if s.made == GRADIENT else None
    names = _ruled(s, bare) if s.made in RULED else _by_lot(s, graph, [run] if run else [])
    off = worst_off(run, names[run.pieces]) if run else None
    return Result(s, graph, bare.coloured(names), names, repetition(middles, names, PITCH), off)


def _by_lot(s: Settings, graph: ConflictGraph, runs: list[Run]) -> np.ndarray:
    """Return colours by lot, within the box, round the pieces that were coloured by hand."""
    used = list(BOX[: s.colours])
    stock = dict.fromkeys(used, s.others) | {used[0]: s.first}
    shares = {used[0]: s.share / 100} if s.share and not runs else None
    pins = [(number - 1, name) for number, name in s.pins if number <= graph.count and name in used]
    task = Task.of(graph, {name: count for name, count in stock.items() if count}, shares=shares)
    return arrange_pinned(task, s.lot, runs, pins, lambda piece: f"piece {piece + 1}")


def _gradient(s: Settings, middles: np.ndarray) -> Run:
    """Return all pieces from left to right, to go from the first colour to the last."""
    if s.colours < 3:
        raise MosaicError(
            "A gradient needs three colours or more: of two, each piece has only its neighbours' other one."
        )
    order = np.lexsort([middles[:, 1], np.round(middles[:, 0], 6)])
    x = middles[order, 0]
    return Run(order, (x - x[0]) / (x[-1] - x[0]), BOX[: s.colours], "gradient", "the field")


def _ruled(s: Settings, bare: Layout) -> np.ndarray:
    """Return colours by a rule of row and place, whatever the box holds: a chessboard, or stripes that slant."""
    row, place = (bare.pieces[name].to_numpy() - 1 for name in ("row", "place"))
    count = 2 if s.made == BOARD else s.colours
    if s.pattern == BOND and count < 3:
        raise MosaicError(
            "Running bond needs three colours: at each joint end three pieces touch, so two cannot go in turns."
        )
    step = row + (row + 1) // 2 if s.pattern == BOND else row  # on a bond half a tile more with each row
    return np.array(BOX, dtype=object)[(place + step) % count]


def tapped(result: Result, number: int) -> tuple[Result, MosaicError | str]:
    """Give a piece the colour of the brush, and mend the others round it; or let it go."""
    s = result.settings
    if s.brush == NO_BRUSH:
        return result, f"Piece {number} is {result.names[number - 1]}. Choose a colour under {HAND} to change it."
    if s.made in RULED:
        return result, f"Colours by hand go with pieces arranged {BY_LOT}; {s.made} follow a rule."
    if s.brush != LET_GO and s.brush not in BOX[: s.colours]:
        return result, f"{s.brush.capitalize()} is not among the {s.colours} colours; use more of them."
    kept = tuple(pin for pin in s.pins if pin[0] != number)
    pins = kept if s.brush == LET_GO else (*kept, (number, s.brush))
    said = f"Piece {number} is left to chance again." if s.brush == LET_GO else f"Piece {number} stays {s.brush}."
    return compute(replace(s, pins=pins)), said


def draw(result: Result) -> Drawing:
    """Draw the field in its colours, pieces coloured by hand with a strong edge."""
    s = result.settings
    held = [number - 1 for number, name in s.pins if number <= len(result.names) and name in BOX[: s.colours]]
    ruled = s.made in RULED
    over = [] if ruled or not held else [Polygons(result.layout.shapes[held], None, INK, 0.08 * TILE, name="held")]
    drawn = layout_picture(result.layout, dimensions=False, over=over, title=TITLE, description=summary(result))
    return widened(drawn)


def repeats(result: Result) -> Drawing:
    """Draw how much falls on its like at each shift: warm where more than by chance, cold where less."""
    at = result.repeats.at | {(-x, -y): value for (x, y), value in result.repeats.at.items()}
    cell, size, far = 10.0, 3.4, 4
    half = {x for x, _ in at if x % 1}
    shifts = [h for h in at if max(map(abs, h)) <= far and (half or not h[0] % 1)]
    wide = cell / 2 if half else cell
    x, y = np.array(shifts or [(0.0, 0.0)]).T * cell + 6 * cell
    boxes = shapely.box(x - wide / 2, y - cell / 2, x + wide / 2, y + cell / 2)
    tones = tuple(mix(PAPER, ACCENT if at[h] > 0 else SECOND, min(abs(at[h]), 1.0)) for h in shifts) or (PAPER,)
    middle = Text(6 * cell, 6 * cell, "0", size, "middle", colour=INK, middle=True)
    items = [
        Polygons(boxes, tones, SOFT, 0.15),
        middle,
        Text(6 * cell, 0.35 * cell, "moved across [tiles]: 4 to the left, 4 to the right", size, "middle"),
        Text(0.5 * cell, 11.4 * cell, "moved up or down [tiles]", size),
        Text(6 * cell, 10.8 * cell, "red: like falls on like; blue: it avoids it", size, "middle", colour=INK),
    ]
    return Drawing(12 * cell, 12 * cell, "Where it repeats", summary(result), tuple(items), PAPER)


def report(result: Result) -> list[Row]:
    """Tell the measure, the lines of one colour, and the pieces of each colour."""
    s, n = result.settings, len(result.names)
    (across, up), value = result.repeats.strongest
    where = f"{words_for(value)}, moved {across:g} across and {abs(up):g} {'down' if up < 0 else 'up'}"
    lines = dict.fromkeys(_way(*step) for step in result.repeats.lines)
    rows = [
        Row("Repetition", round(value, 2), "", f"{where}; 1: all of it repeats, 0: as by chance", "agreement"),
        Row(
            "Same tiles shuffled",
            round(result.repeats.chance, 2),
            "",
            "the most in 19 shuffles: so much comes by chance",
        ),
        Row("Like in lines", ", ".join(lines) or "none", "", "like pieces one behind the other"),
    ]
    if result.off is not None:
        rows.append(
            Row("Gradient off by", round(100 * result.off), "% of the pieces", "at worst, counted from the left")
        )
    counts = ((name, int((result.names == name).sum())) for name in BOX[: s.colours])
    stock = dict.fromkeys(BOX, s.others) | {BOX[0]: s.first}
    ruled = s.made in RULED
    for name, count in counts:
        box = "whatever the box holds" if ruled else f"{stock[name]} in the box"
        rows.append(Row(name, count, f"of {n}", f"{count / n:.0%}; {box}"))
    return rows


def _way(across: float, up: float) -> str:
    """Return what a line that goes so far across and up is called."""
    if not up:
        return "along the rows"
    return "upright" if not across else "slanting up" if up > 0 else "slanting down"


SEEN = {
    "lively": "Lively",
    "some order": "Some order",
    "stripes": "Patterned, in stripes",
    "crossing lines": "Patterned, in lines that cross as on a chessboard",
    "a repeat": "Patterned, it repeats",
}


def summary(result: Result) -> str:
    """Return what is seen, and the measure."""
    return f"{SEEN[result.repeats.kind]}: repetition {round(result.repeats.strongest[1], 2):g}."


CHARTS = {FIELD: repeats}
