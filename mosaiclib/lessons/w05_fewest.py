"""Lesson 05, part one: how many colours it takes so that no two alike touch, and why."""

__all__ = ["CONTROLS", "Result", "Settings", "compute", "draw", "report", "summary"]

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely

from mosaiclib.colour import ConflictGraph, arrange_pieces
from mosaiclib.colour.fewest import Fewest, Reason, fewest, forced, with_few
from mosaiclib.colour.solve import independence_number
from mosaiclib.drawing import Drawing, Lines, layout_picture
from mosaiclib.drawing.palette import ACCENT, INK
from mosaiclib.layout import Layout
from mosaiclib.lesson.controls import Again, Choice, Count, Switch
from mosaiclib.lessons.w05_shared import BOX, PATTERNS, RING, TILE, laid, touching, widened
from mosaiclib.report import Row

TITLE = "How many colours it takes"
TOUCHING, LOT = "What counts as touching", "By lot"


@dataclass(frozen=True)
class Settings:
    """What the learner can set."""

    pattern: str = RING
    across: int = 7
    down: int = 5
    colours: int = 2
    corners: bool = False
    lot: int = 1


CONTROLS = (
    Choice("pattern", "Pieces laid as", PATTERNS),
    Count("across", "Pieces in a row", 3, 14, help="in a ring: all round it"),
    Count("down", "Rows", 1, 8, when=lambda s: s.pattern != RING),
    Count("colours", "Colours you use", 2, 5),
    Switch(
        "corners", "Meeting at a corner counts too", fold=TOUCHING, help="the eye joins two alike across a crossing"
    ),
    Again("lot", "Arrange again", fold=LOT),
)


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings: the pieces in their colours, the fewest colours, and the pairs that touch and are alike."""

    settings: Settings
    graph: ConflictGraph
    layout: Layout
    fewest: Fewest
    most_of_one: int
    alike: np.ndarray


def compute(s: Settings) -> Result:
    """Find the fewest colours, and arrange the pieces in those that are used, as well as these can.

    >>> found = compute(Settings())
    >>> found.fewest.number, len(found.alike)
    (3, 1)
    """
    rows = 1 if s.pattern == RING else s.down
    graph = touching(s.pattern, s.across, rows, s.corners)
    least, most = _known(graph)
    if s.colours >= least.number:
        names = arrange_pieces(graph, dict.fromkeys(BOX[: s.colours], graph.count), s.lot)
    else:
        names = np.array(BOX, dtype=object)[with_few(graph, s.colours)]
    first, second = graph.ends
    alike = np.stack([first, second], axis=1)[names[first] == names[second]]
    layout = laid(s.pattern, s.across, rows).coloured(names)
    return Result(s, graph, layout, least, most, alike)


@lru_cache(64)
def _known(graph: ConflictGraph) -> tuple[Fewest, int]:
    """Return the fewest colours of a practice piece, and the most pieces of one colour."""
    return fewest(graph), independence_number(graph)


def draw(result: Result) -> Drawing:
    """Draw the pieces, those that make it so many colours held together by a line, and a bar where two alike touch."""
    over = [*_witness(result), *_bars(result)]
    words = f"{summary(result)} {_why(result)}"
    return widened(layout_picture(result.layout, dimensions=False, over=over, title=TITLE, description=words))


def _middles(result: Result) -> np.ndarray:
    return shapely.get_coordinates(shapely.centroid(result.layout.shapes))


def _witness(result: Result) -> list[Lines]:
    """Draw a closed line through the middles of the odd cycle, or of the pieces that all touch each other."""
    least = result.fewest
    if least.reason not in (Reason.ODD, Reason.CLIQUE):
        return []
    at = _middles(result)[least.pieces]
    if least.reason is Reason.CLIQUE:  # round their common middle, so that the line does not cross itself
        at = at[np.argsort(np.arctan2(*(at - at.mean(axis=0)).T))]
    return [Lines(np.array([shapely.LinearRing(at)]), INK, 0.06 * TILE, (0.15 * TILE, 0.1 * TILE))]


def _bars(result: Result) -> list[Lines]:
    """Draw a bar over the joint of each two that touch and are alike."""
    if not len(result.alike):
        return []
    one, two = (_middles(result)[end] for end in result.alike.T)
    return [
        Lines(
            shapely.linestrings(np.stack([one + 0.3 * (two - one), one + 0.7 * (two - one)], axis=1)),
            ACCENT,
            0.14 * TILE,
        )
    ]


def _why(result: Result) -> str:
    """Say why it takes so many colours."""
    least = result.fewest
    if least.reason is Reason.ODD:
        return (
            f"{len(least.pieces)} pieces close a ring (dashed line). Two colours go in turns, and after an odd number the "
            "last is like the first."
        )
    return {
        Reason.ALONE: "No two pieces touch.",
        Reason.PAIR: "Two colours go in turns, and every ring of pieces here has an even number.",
        Reason.CLIQUE: f"{len(least.pieces)} pieces all touch each other (dashed line), so each needs a colour of its own.",
        Reason.TRIED: f"All ways were tried with {least.number - 1}: none keeps them apart.",
    }[least.reason]


def report(result: Result) -> list[Row]:
    """Tell the fewest colours and why, what two alike meet, and how much of one colour there can be."""
    s, least, n = result.settings, result.fewest, result.graph.count
    met = len(result.alike)
    told = "marked by a red bar" if met else "no two alike touch"
    free = (
        "every other way is this one with its colours exchanged"
        if forced(result.graph, s.colours)
        else "there is a choice"
    )
    rows = [
        Row("Fewest colours", least.number, "", _why(result), checked="colours"),
        Row("Alike and touching", met, "pair" if met == 1 else "pairs", told),
        Row("Pieces", n, "", f"{len(result.graph.pairs)} pairs of them touch", "colourings"),
        Row(
            "Most of one colour", result.most_of_one, f"of {n}", "so many can have one colour and not touch", "colours"
        ),
    ]
    if s.colours < least.number:
        return [*rows, Row("What to do", "", "", f"take {least.number} colours, or lay the pieces another way")]
    return [*rows, Row(f"With {s.colours} colours", "", "", free)]


def summary(result: Result) -> str:
    """Return the fewest colours, and whether those that are used are enough."""
    used, least = result.settings.colours, result.fewest.number
    does = "are enough" if used >= least else "are too few"
    return f"These pieces take {least} colours; {used} {does}."
