"""Lesson 07, to buy: whole packs over the class, what is left over, and what a place costs."""

__all__ = ["CONTROLS", "LIVE", "TITLE", "Settings", "compute", "draw", "report", "start", "summary"]

from mosaiclib.course.pictures import tiles_picture
from mosaiclib.course.shopping import Line
from mosaiclib.drawing import Drawing
from mosaiclib.lessons.w07_controls import BUY_CONTROLS as CONTROLS
from mosaiclib.lessons.w07_shared import Result, Settings, compute, counted, start
from mosaiclib.report import Row

TITLE, LIVE = "To buy", False


def draw(result: Result) -> Drawing:
    """Draw for each colour what is in kits, spare and left over."""
    return tiles_picture(result.ready)


def report(result: Result) -> list[Row]:
    """Tell every line with where it goes, then the fee with its rule."""
    ready, money = result.ready, result.ready.klass.currency
    rows = [Row(line.item, line.packs or "none to buy", "", _told(line, money)) for line in ready.shopping]
    fee = ready.fee
    lacking = f"; without {', '.join(fee.lacking)}: not priced" if fee.lacking else ""
    each = f"{fee.materials / ready.klass.learners:.2f}"
    rows.append(Row("Materials", f"{fee.materials:.2f}", money, f"{each} a learner{lacking}"))
    hours = f"{fee.present:g} hours of sessions, {fee.ready:.1f} of getting ready: cutting ahead, packing kits"
    rows += [Row("Room", f"{fee.room:.2f}", money, ""), Row("Pay", f"{fee.pay:.2f}", money, hours)]
    return [*rows, Row("A place costs", f"{fee.each:.2f}", money, fee.rule)]


def _told(line: Line, money: str) -> str:
    """Tell where a line goes: kits, tables, spares, left over; what was there; what it costs."""
    parts = (
        ("in kits", line.kits), ("on tables or in the room", line.tables), ("to spare", line.spares), ("left over", line.left),
        ("in the house already", line.owned),
    )  # fmt: skip
    said = [f"{amount:.4g} {words}" for words, amount in parts if amount > 1e-9]
    cost = "not priced" if line.cost is None else f"costs {line.cost:.2f} {money}".strip() if line.bought else ""
    unit = "" if line.unit in line.item else line.unit
    return "; ".join(filter(None, (f"{', '.join(said)}" + f" ({unit})" * bool(unit), cost)))


def summary(result: Result) -> str:
    """Tell how many things are to be bought, and what a place costs."""
    bought = sum(line.bought > 0 for line in result.ready.shopping)
    return f"{bought} things to buy. {counted(result)}."
