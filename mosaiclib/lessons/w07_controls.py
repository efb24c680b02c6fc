"""Lesson 07: what can be set of a class, part by part."""

__all__ = ["ALL", "BUY_CONTROLS", "CLASS_CONTROLS", "KIT_CONTROLS", "PRINT_CONTROLS", "SESSION_CONTROLS"]

from collections.abc import Sequence
from typing import Any

from mosaiclib.course.class_file import AHEAD, MOST_SESSIONS, MOST_TABLES
from mosaiclib.drawing import PAPERS
from mosaiclib.job.breakage import HANDS
from mosaiclib.lesson.controls import Choice, Chosen, Count, Number, Table, Temperature, Words

PEOPLE, ROOM, CLOCKS, PRICES, FEE = "People", "The room's air", "Holidays and clocks", "Prices", "The fee"
# what sessions may refuse, whatever is set
NO_ROOM = ("no place in", "in one go", "leave none for work")


def _pieces(s: Any) -> Sequence[str]:
    """Return the pieces that somebody makes."""
    return [line[0] for line in s.makers if len(line) > 1 and line[1] not in ("", "0")]


SHOWN = Chosen("shown", "Piece shown", _pieces)
PIECE = Table("makers", "Pieces", ("piece", "makers"), 6, help="how many learners make each; 0: nobody this time")
WORK_AHEAD = Choice(
    "ahead",
    "Cut ahead",
    AHEAD,
    path="ahead",
    refuses=NO_ROOM,
    help="by the house, before the class; blanks are halves, thirds and quarters, not yet cut to their shape",
)

CLASS_CONTROLS = (
    PIECE,
    Count("tables", "Tables", 1, MOST_TABLES, path="tables"),
    Count("helpers", "Helpers", 0, 12, path="helpers", help="besides the teacher"),
    WORK_AHEAD,
    Count("youngest", "Youngest", 4, 99, unit="years", path="youngest", fold=PEOPLE, refuses=NO_ROOM,
          help="no other age and no name is kept; for children all pieces are cut ahead"),
    Choice("hand", "Hands", HANDS, path="hand", fold=PEOPLE, help="for what is spoilt, and for how long it takes"),
    Temperature("temperature", "Temperature", 5, 40, path="temperature", fold=ROOM, refuses=NO_ROOM),
    Number("humidity", "Humidity", 1, 99, 1, "%", percent=True, path="humidity", fold=ROOM, refuses=NO_ROOM),
)  # fmt: skip

KIT_CONTROLS = (
    SHOWN,
    Number("confidence", "How sure of enough", 50, 99.9, 0.1, "%", percent=True, path="confidence",
           help="of each colour, for the whole class"),
    WORK_AHEAD,
)  # fmt: skip

SESSION_CONTROLS = (
    SHOWN,
    Words("first", "First day", path="sessions.start", help="year, month, day, as 2027-01-12"),
    Table("hours", "Hours", ("weekday", "from", "to"), 7, help="of each week, as Tuesday, 18:30, 21:15"),
    Count("count", "Sessions", 1, MOST_SESSIONS, path="sessions.count", refuses=NO_ROOM),
    Words("cancelled", "Cancelled", fold=CLOCKS, help="days that are lost, with a comma between"),
    Words("off", "Holidays", fold=CLOCKS, help="days, or 2026-12-24 to 2027-01-06: sessions move behind them"),
    Words("zone", "Zone of clocks", path="sessions.zone", fold=CLOCKS, help="as Europe/Paris; empty: clocks never change"),
)  # fmt: skip

BUY_CONTROLS = (
    Table("owned", "In the house", ("in the house", "how many"), 60, help="by its name in the list below, in its unit"),
    Words("currency", "Currency", path="currency"),
    Table("prices", "Prices", ("thing", "price"), 60, fold=PRICES, help="of one of its unit; what has no price is not priced"),
    Number("fee_room", "Room", 0, 500, 5, path="fee.room", fold=FEE, help="rent of a session"),
    Number("fee_teacher", "Teacher", 0, 200, 1, path="fee.teacher", fold=FEE, help="an hour, getting ready counted"),
    Count("fee_shared", "Shared by", 0, 60, path="fee.shared_by", fold=FEE, help="how many must pay for it all; 0: all who come"),
    Number("fee_margin", "Margin", 0, 200, 5, "%", percent=True, path="fee.margin", fold=FEE),
)  # fmt: skip

PRINT_CONTROLS = (
    Words("called", "Class", path="name", help="the name that stands on every sheet"),
    Choice("paper", "Paper", tuple(PAPERS), path="paper"),
)

ALL = tuple(dict.fromkeys((*CLASS_CONTROLS, *KIT_CONTROLS, *SESSION_CONTROLS, *BUY_CONTROLS, *PRINT_CONTROLS)))
