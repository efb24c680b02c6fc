"""Lesson 06, the colours: the box of tiles, and how no two alike come to touch."""

__all__ = ["CONTROLS", "LIVE", "TITLE", "Settings", "compute", "draw", "follow", "keeper", "report", "start", "summary"]

from mosaiclib.lessons.w06_controls import COLOUR_CONTROLS as CONTROLS
from mosaiclib.lessons.w06_plan import Result, Settings, compute, follow, keeper, running, start
from mosaiclib.lessons.w06_plan import view_of as draw
from mosaiclib.report import Row

TITLE, LIVE = "The colours", False


def report(result: Result) -> list[Row]:
    """Tell the pieces of each colour, the tiles they take and what is missing."""
    rows = []
    for line in result.worked.colours.itertuples():
        words = f"{line.tiles} tiles, {line.spare} to spare, {line.in_hand} in hand, buy {line.to_buy}"
        lack = f"; {line.short} spare{'s' * (line.short > 1)} lacking" if line.short else ""
        rows.append(Row(line.colour, int(line.placed), "placed", words + lack))
    return rows


def summary(result: Result) -> str:
    """Tell whether no two alike touch, and in how many colours."""
    if result.amiss:
        return f"Without colours for now. {running(result)}"
    used = int((result.worked.colours["placed"] > 0).sum())
    return f"{used} colours, no two alike touch. {running(result)}"
