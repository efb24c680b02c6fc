"""Lesson 06, the colours: the box of tiles, and how no two alike come to touch."""

__all__ = [
    "CONTROLS",
    "LIVE",
    "TITLE",
    "Settings",
    "compute",
    "draw",
    "follow",
    "keeper",
    "report",
    "start",
    "summary",
    "tapped",
]

from typing import Any

import numpy as np
import shapely

from mosaiclib.drawing import Drawing, Polygons
from mosaiclib.drawing.palette import INK
from mosaiclib.errors import MosaicError
from mosaiclib.job.overview import note_lines
from mosaiclib.lessons.w06_controls import COLOUR_CONTROLS as CONTROLS
from mosaiclib.lessons.w06_controls import LET_GO, NO_BRUSH
from mosaiclib.lessons.w06_follow import follow
from mosaiclib.lessons.w06_plan import Result, compute, in_the_round, keeper, repinned, running, start, view_of
from mosaiclib.lessons.w06_settings import Settings
from mosaiclib.report import Row

TITLE, LIVE = "The colours", False


def draw(result: Result) -> Drawing:
    """Draw the piece in its colours, those that were chosen by hand with a strong edge; a vessel as it stands too."""
    return in_the_round(result, _flat)


def _flat(result: Result, **more: Any) -> Drawing:
    pins = [(pin.x, pin.y) for pin in result.plan.colour.pins if pin.glass == result.plan.glass[result.at].name]
    if not pins:
        return view_of(result, **more)
    _, held = shapely.STRtree(result.layout.shapes).query(shapely.points(pins), predicate="intersects")
    edge = 0.04 * float(np.sqrt(np.median(result.layout.areas)))
    return view_of(result, over=[Polygons(result.layout.shapes[np.unique(held)], None, INK, edge, name="held")], **more)


def tapped(result: Result, number: int) -> tuple[Result, MosaicError | str]:
    """Give a piece the colour of the brush, and arrange the rest again round it; a second tap lets it go."""
    brush, glass = result.settings.brush, result.plan.glass[result.at].name
    if brush == NO_BRUSH or result.worked is None or result.amiss:
        return result, result.amiss
    if brush == LET_GO:
        return repinned(result, result.worked.released(glass, number)), f"Piece {number} is left to chance again."
    return repinned(result, result.worked.pinned(glass, number, brush)), f"Piece {number} stays {brush}."


def report(result: Result) -> list[Row]:
    """Tell the pieces of each colour, the tiles they take and what is missing."""
    rows = []
    for line in result.worked.colours.itertuples():
        words = f"{line.tiles} tiles, {line.spare} to spare, {line.in_hand} in hand, buy {line.to_buy}"
        lack = f"; {line.short} spare{'s' * (line.short > 1)} lacking" if line.short else ""
        rows.append(Row(line.colour, int(line.placed), "placed", words + lack))
    return [*rows, *note_lines(result.worked)]


def summary(result: Result) -> str:
    """Tell whether no two alike touch, and in how many colours."""
    if result.amiss:
        return f"Without colours for now. {running(result)}"
    used = int((result.worked.colours["placed"] > 0).sum())
    held = len(result.plan.colour.pins)
    words = f"; {held} piece{'s' * (held > 1)} by hand" * bool(held)
    return f"{used} colours, no two alike touch{words}. {running(result)}"
