"""Lesson 06, to buy: whole packs of everything, and what they cost."""

__all__ = ["CONTROLS", "LIVE", "TITLE", "Settings", "compute", "draw", "follow", "keeper", "report", "start", "summary"]

import math

from mosaiclib.drawing import Drawing, Plot, round_steps
from mosaiclib.drawing.palette import INK
from mosaiclib.job.colours import looks_of
from mosaiclib.job.money import money_rows
from mosaiclib.lessons.w06_controls import BUY_CONTROLS as CONTROLS
from mosaiclib.lessons.w06_follow import follow
from mosaiclib.lessons.w06_plan import Result, compute, keeper, running, start
from mosaiclib.lessons.w06_settings import Settings
from mosaiclib.report import Row

TITLE, LIVE = "To buy", False


def draw(result: Result) -> Drawing:
    """Draw for each colour the tiles that it takes with spares, and a line where those in hand end."""
    table = result.worked.colours
    most = max(int((table["tiles"] + table["spare"]).max()), int(table["in_hand"].max()), 1)
    steps, shown = round_steps(0, most), looks_of(result.plan)
    plot = Plot((0, steps[-1]), (len(table), 0), ("tiles with spares; the line: in hand", ""), (steps, {}))
    for line in table.itertuples():
        row = plot.bar(line.colour, 0, line.tiles + line.spare, shown[line.colour].fill)
        plot.line([line.in_hand] * 2, [row + 0.15, row + 0.85], INK, width=0.9)
    return plot.drawing(
        "Tiles to buy", "For each colour a bar of the tiles it takes with spares, and a line at those in hand."
    )


def report(result: Result) -> list[Row]:
    """Tell what to buy, in whole packs, what it costs, and what to ask for the work."""
    *lines, total = result.bought.itertuples()
    money = result.plan.currency
    bought = [line for line in lines if line.packs != "none"]
    rows = [Row(line.item, line.packs, "", _cost(line.cost, line.note, money)) for line in bought]
    rows.append(Row(f"Cost of {total.item}", f"{total.cost:.2f}", money, total.note or "at the prices typed here"))
    return [*rows, *money_rows(result.worked)]


def _cost(cost: float, note: str, money: str) -> str:
    """Tell what a line costs, where that is known, and what must be said of it."""
    return "; ".join(filter(None, ("" if math.isnan(cost) else f"{cost:.2f} {money}".strip(), note)))


def summary(result: Result) -> str:
    """Tell how many things are to be bought."""
    *lines, _ = result.bought.itertuples()
    return f"{sum(line.packs != 'none' for line in lines)} things to buy. {running(result)}"
