"""What each workbook shows and asks, by its number; a module is loaded when it is wanted, widgets when they are shown.

Pages, checks and tests all read PARTS, so that what stands there is shown, swept and asked, and nothing else can be.
"""

__all__ = [
    "PARTS",
    "Workbook",
    "asked",
    "cautions",
    "done_tasks",
    "every_check",
    "lessons",
    "nowhere_printed",
    "questions",
    "remembered",
    "show",
    "sweep",
]

import gc
import importlib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import Any, NamedTuple

ELSEWHERE = "This workbook is open on another page too. What is set last is what is kept; close one of them."
SETTLED = 4.0  # [s] by then the page that was here before a reload has gone


class Workbook(NamedTuple):
    """The parts of a workbook, from the words on a part's button to its module, the module of its questions, and how many tasks."""

    parts: Mapping[str, str]
    questions: str = ""
    tasks: int = 0


PARTS = {
    "00": Workbook({"Type a length": "w00_start"}),
    "01": Workbook({"Space the joints": "w01_joints"}, "w01_questions", 6),
    "02": Workbook(
        {
            "One ring": "w02_ring",
            "A drawn line": "w02_rows",
            "Lines that cross": "w02_crossing",
            "A motif": "w02_motif",
            "On round glass": "w02_on_round",
        },
        "w02_questions",
        14,
    ),
    "03": Workbook(
        {"Which one": "w03_family", "How it will look": "w03_look", "How long to wait": "w03_cure"},
        "w03_questions",
        9,
    ),
    "04": Workbook(
        {
            "Asked and given": "w04_asked",
            "The mechanics": "w04_energy",
            "The demonstration": "w04_slides",
            "Mix it for a piece": "w04_piece",
        },
        "w04_questions",
        8,
    ),
    "05": Workbook(
        {
            "How many colours": "w05_fewest",
            "Lively or patterned": "w05_lively",
            "Other eyes, other light": "w05_eyes",
        },
        "w05_questions",
        9,
    ),
    "06": Workbook(
        {
            "The piece": "w06_piece",
            "The tiles": "w06_tiles",
            "The lines": "w06_lines",
            "The colours": "w06_colours",
            "The adhesive": "w06_adhesive",
            "The filler": "w06_filler",
            "Cutting": "w06_cutting",
            "The days": "w06_days",
            "To buy": "w06_buy",
            "Print": "w06_print",
        },
        "w06_questions",
        10,
    ),
    "07": Workbook(
        {
            "The class": "w07_class",
            "Kits": "w07_kits",
            "The sessions": "w07_sessions",
            "To buy": "w07_buy",
            "Print": "w07_print",
        },
        "w07_questions",
        8,
    ),
    "08": Workbook(
        {
            "What was printed": "w08_printed",
            "What nobody printed": "w08_unprinted",
            "How a number gets its band": "w08_band",
            "A check that guards nothing": "w08_guard",
            "What a pass says": "w08_pass",
        },
        "w08_questions",
        6,
    ),
}


def _module(name: str) -> ModuleType:
    return importlib.import_module(f"{__name__}.{name}")


def lessons(number: str) -> dict[str, ModuleType]:
    """Return the modules of a workbook's parts by the words on their buttons."""
    return {words: _module(name) for words, name in PARTS[number].parts.items()}


def asked(number: str) -> tuple[Any, ...]:
    """Return the questions of a workbook, none if it has none."""
    name = PARTS[number].questions
    return _module(name).QUESTIONS if name else ()


def show(number: str, folder: Path | None = None) -> Any:
    """Return the lesson of a workbook, or its parts of which one is open at a time; plans are kept in `folder`."""
    from mosaiclib.lesson.kept import Kept, after, open_elsewhere
    from mosaiclib.lesson.page import Lesson, Parts

    made = {
        words: lambda beside, module=module: Lesson.again(module, folder, beside)
        for words, module in lessons(number).items()
    }
    _leave_to_itself()
    shown = Parts(made, Kept.of(number)) if len(made) > 1 else next(iter(made.values()))(None)
    elsewhere = open_elsewhere(number)
    after(SETTLED, lambda: shown.say(ELSEWHERE) if elsewhere() else None)
    return shown


@cache
def _leave_to_itself() -> None:
    """Look for no garbage in what is loaded, which stays: it takes 60 ms, now and then in the middle of a picture."""
    gc.freeze()


def cautions(number: str) -> Any:
    """Return what can hurt at the bench of a workbook, as a list that shows itself."""
    from mosaiclib.cautions import cautions_on
    from mosaiclib.lessons.ideas import Cautions

    return Cautions(cautions_on(number))


def every_check() -> Any:
    """Return every printed value beside ours, as a list that shows itself."""
    from mosaiclib.evidence import verdicts
    from mosaiclib.lessons.ideas import Checked

    return Checked(verdicts())


def nowhere_printed() -> Any:
    """Return every figure of data/ that nobody printed, as a list that shows itself."""
    from mosaiclib.evidence import NOWHERE_PRINTED, rows_resting_on
    from mosaiclib.lessons.ideas import Unprinted
    from mosaiclib.lessons.w08_unprinted import row_of

    return Unprinted({evidence: [row_of(row) for row in rows_resting_on(evidence)] for evidence in NOWHERE_PRINTED})


def questions(number: str) -> Any:
    """Return the questions of a workbook, one open at a time."""
    from mosaiclib.lesson.asking import Questions
    from mosaiclib.lesson.kept import Kept

    return Questions(asked(number), kept=Kept.of(f"{number}_questions"))


def done_tasks(number: str) -> Any:
    """Return boxes to mark the tasks of a workbook that are done."""
    from mosaiclib.lesson.done import Tasks
    from mosaiclib.lesson.kept import Kept

    return Tasks(PARTS[number].tasks, Kept.of(f"{number}_tasks"))


def remembered() -> Any:
    """Return what was done in each workbook, as lines that show themselves."""
    from mosaiclib.lesson.done import Account, told

    return Account(
        [
            (number, told(book.parts, (f"{number}_questions", len(asked(number))), (f"{number}_tasks", book.tasks)))
            for number, book in PARTS.items()
            if book.tasks
        ]
    )


def sweep(number: str, start: Any = None, **changes: Any) -> Any:
    """Move every control of every part from end to end and return the moves; some settings changed, or all as in `start`."""
    from mosaiclib.lesson import page, sweeping

    moves = sweeping.Sweep()
    for module in lessons(number).values():
        lesson = page.Lesson.of(module, **changes) if start is None else page.Lesson(module, start, Path())
        moves += sweeping.sweep(lesson, leave=[move.name for move in moves] if start is not None else ())
    return moves
