"""Lesson 06, cutting: in what order, what comes two from one tile, what is spoilt, and what is worth keeping."""

__all__ = ["CONTROLS", "LIVE", "TITLE", "Settings", "compute", "draw", "follow", "keeper", "report", "start", "summary"]

import shapely
from shapely import affinity

from mosaiclib.cautions import on_paper
from mosaiclib.drawing import Drawing, Polygons, Text
from mosaiclib.drawing.palette import EDGE, INK, NEUTRAL, PAPER, SOFT, WHITE
from mosaiclib.job.bench import bench_rows, cutting_minutes, group_rows, pictured
from mosaiclib.job.overview import duration
from mosaiclib.lessons.w06_controls import CUTTING_CONTROLS as CONTROLS
from mosaiclib.lessons.w06_follow import follow
from mosaiclib.lessons.w06_plan import Result, compute, keeper, running, start
from mosaiclib.lessons.w06_settings import Settings
from mosaiclib.report import Row

TITLE, LIVE = "Cutting", False
ACROSS, APART = 6, 0.45  # blanks in a row, and the room between them as a share of the tile


def draw(result: Result) -> Drawing:
    """Draw a blank for each group of the bench with a piece in it, and some of the pairs."""
    cells = list(pictured(result.worked.cutting))
    side = max(cell.blank[0] for cell in cells)
    step, tall, size = side * (1 + APART), side * (1.25 + APART), side * 0.14
    rows = -(-len(cells) // ACROSS)
    high, items = rows * tall + side * APART, []
    for place, cell in enumerate(cells):
        down, along = divmod(place, ACROSS)
        x, y = side * APART + along * step, high - (down + 1) * tall + side * 0.25
        blank = shapely.box(x, y, x + cell.blank[0], y + cell.blank[1])
        laid = [affinity.translate(piece, x, y) for piece in cell.pieces]
        items += [Polygons([blank], WHITE, SOFT, 0.01 * side), Polygons(laid, NEUTRAL, EDGE, 0.015 * side)]
        items += [Text(x, y - (line + 1.1) * size, words, size, colour=INK) for line, words in enumerate(cell.words)]
    words = "In the order of the bench: for each group the blank that it is cut from, and a piece in it; then tiles that give two pieces."
    return Drawing(side * APART + ACROSS * step, high, "Cutting, in the order of the bench", words, tuple(items), PAPER)


def report(result: Result) -> list[Row]:
    """Tell the groups, the tiles before and after pairing, the time, and what to beware of."""
    return [*bench_rows(result.worked), Row("Cautions", "", "", on_paper("gauge"))]


def summary(result: Result) -> str:
    """Tell how many times something is set, and how long cutting takes."""
    groups, pairs = group_rows(result.worked.cutting), len(result.worked.cutting.pairs)
    least, _, most = (duration(minutes / 60) for minutes in cutting_minutes(result.worked).band)
    told = f"{len(groups)} groups, {least} to {most} of cutting; {pairs} tiles can give two"
    return f"{told}. {running(result)}"
