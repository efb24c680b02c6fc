"""Lesson 06: what can be set of cutting, of the days and of the price."""

__all__ = ["CUTTING_CONTROLS", "DAYS_CONTROLS", "MONEY_CONTROLS", "bench_settings", "put_bench"]

from collections.abc import Mapping, Sequence
from typing import Any

from mosaiclib.errors import MosaicError
from mosaiclib.job.breakage import CUTS, HANDS
from mosaiclib.job.plan import BASES, CutPart, DaysPart
from mosaiclib.job.sittings import WEEKDAYS
from mosaiclib.job.worktime import ACTIONS
from mosaiclib.lesson.controls import Choice, Count, Length, Number, Switch, Table, Words, read_number

PAIRS, CHANCES, CLOCKS, TIMES, TICKS = (
    "Two from one tile",
    "Spoilt cuts",
    "Holidays and clocks",
    "How fast you are",
    "What is done",
)
PRICE = "What to ask for it"

HAND = Choice("hand", "Who works", HANDS, path="cut.hand", help="for what is spoilt, and how long each task takes")

CUTTING_CONTROLS = (
    HAND,
    Switch("paired", "Cut two from one tile", path="cut.paired", help="where they fit; the buying then counts with it"),
    Length("loss", "Lost at a cut", 0, 3, 0.1, path="cut.loss", fold=PAIRS, help="between the two"),
    Switch("both_faces", "May be turned over", path="cut.both_faces", fold=PAIRS, refuses=("edges slope",),
           help="where both faces of the glass may show"),
    Table("own_chances", "Own chances", ("cut", "%"), len(CUTS), fold=CHANCES,
          help=f"of spoiling one cut: {', '.join(CUTS)}; what is not named is the table's"),
)  # fmt: skip

DAYS_CONTROLS = (
    Words("days_start", "First day", path="days.start",
          help="as 2027-03-02: what is left is planned from it or from the last tick; empty: weeks are counted"),
    Table("days_hours", "Hours", ("weekday", "from", "to"), 20, help="of each week, as Saturday, 09:00, 12:00"),
    Count("days_hands", "How many work", 1, 12, path="days.hands", help="tasks that can be done at once"),
    HAND,
    Words("days_off", "Holidays", fold=CLOCKS, help="days, or 2026-12-24 to 2027-01-06; a comma between"),
    Words("days_zone", "Zone of clocks", path="days.zone", fold=CLOCKS,
          help="as Europe/Paris, where clocks change in spring and autumn; empty: they do not"),
    Table("days_rates", "Own times", ("action", "minutes"), len(ACTIONS), fold=TIMES,
          help=f"of {', '.join(ACTIONS)}; clean: a dm2; tape, mask, haze: a face; what is not named is the table's"),
    Table("days_done", "Done", ("task", "when"), 500, fold=TICKS, help="a task as the list names it, and a day with or without a time"),
)  # fmt: skip

MONEY_CONTROLS = (
    Number("rate", "An hour is worth", 0, 200, 1, path="money.rate", fold=PRICE, help="in your currency; 0: hours are not priced"),
    Number("tools", "Tools' share", 0, 200, 1, path="money.tools", fold=PRICE, help="of this work, in your currency; 0: not priced"),
    Number("margin", "Margin", 0, 200, 5, "%", percent=True, path="money.margin", fold=PRICE, help="on materials, tools and hours"),
    Choice("basis", "Materials by", BASES, path="money.basis", fold=PRICE,
           help="whole packs: all that you pay; what is used: the rest of a pack serves another piece"),
)  # fmt: skip


def bench_settings(cut: CutPart, days: DaysPart) -> dict[str, Any]:
    """Return what the boxes without a path show of cutting and of the days."""
    return {
        "own_chances": tuple((kind, f"{100 * chance:g}") for kind, chance in cut.spoilt.items()),
        "days_hours": tuple((one.day, one.begin, one.end) for one in days.sittings),
        "days_off": ", ".join(days.holidays),
        "days_rates": tuple((action, f"{minutes:g}") for action, minutes in days.rates.items()),
        "days_done": tuple((one.task, one.at) for one in days.done),
    }


def put_bench(record: dict[str, Any], s: Any) -> None:
    """Write the same boxes into a plan's record."""
    record["cut"]["spoilt"] = {kind: value / 100 for kind, value in _named(s.own_chances, "cut", CUTS, "%").items()}
    days: dict[str, Any] = record["days"]
    days["sittings"] = [_sitting(line) for line in s.days_hours]
    days["holidays"] = [one.strip() for one in s.days_off.split(",") if one.strip()]
    days["rates"] = _named(s.days_rates, "action", ACTIONS, "minutes")
    days["done"] = [{"task": task.strip(), "at": at.strip()} for task, at in (_cells(line, 2) for line in s.days_done)]


def _cells(line: Sequence[str], count: int) -> Sequence[str]:
    return (*line, *[""] * count)[:count]


def _sitting(line: Sequence[str]) -> dict[str, str]:
    day, begin, end = (cell.strip() for cell in _cells(line, 3))
    known: Mapping[str, str] = {one[:3].lower(): one for one in WEEKDAYS}
    return {"day": known.get(day[:3].lower(), day), "begin": begin, "end": end}


def _named(lines: Sequence[Sequence[str]], what: str, known: Sequence[str], unit: str) -> dict[str, float]:
    """Read lines of a name and a number [unit]."""
    found: dict[str, float] = {}
    for name, typed in (_cells(line, 2) for line in lines):
        word = name.strip().lower()
        if word not in known:
            raise MosaicError(f"There is no {what} called {name.strip() or 'nothing'}; there are: {', '.join(known)}.")
        found[word] = read_number(typed, f"{word}, {unit}", unit)
    return found
