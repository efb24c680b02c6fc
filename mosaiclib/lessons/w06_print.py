"""Lesson 06, print: sheets at true scale, lists, and where they are."""

__all__ = [
    "CONTROLS",
    "LIVE",
    "TITLE",
    "Settings",
    "actions",
    "compute",
    "draw",
    "follow",
    "keeper",
    "report",
    "start",
    "summary",
]

from collections.abc import Iterator
from pathlib import Path

from mosaiclib.job import command, work_out
from mosaiclib.job.sheets import piece_sheets
from mosaiclib.job.shelf import Shelf
from mosaiclib.lesson.controls import Action, Written
from mosaiclib.lessons.w06_controls import PRINT_CONTROLS as CONTROLS
from mosaiclib.lessons.w06_follow import follow
from mosaiclib.lessons.w06_plan import Result, compute, keeper, running, shelf_in, start
from mosaiclib.lessons.w06_plan import view_of as draw
from mosaiclib.lessons.w06_settings import Settings, plan_of
from mosaiclib.report import Row

TITLE, LIVE = "Print", False


def report(result: Result) -> list[Row]:
    """Tell the sheets of every face."""
    return [
        Row(
            sheets.piece,
            len(sheets.all),
            "pages",
            f"{len(sheets.template)} of the template, {len(sheets.dry_lay)} of the dry lay",
        )
        for sheets in piece_sheets(result.worked)
    ]


def summary(result: Result) -> str:
    """Tell the paper."""
    return f"Sheets at true scale on {result.plan.paper}. {running(result)}"


def _print(s: Settings, shelf: Shelf) -> Iterator[str | Written]:
    plan = plan_of(s)
    out = shelf.place(plan.name)
    written = yield from command.writing(work_out(plan), out)
    place = f"{shelf.folder.name}/{out.name}"
    sheets = tuple(f"{place}/{path.name}" for path in written if path.suffix in (".pdf", ".zip"))
    words = f"{len(written)} files are in {place}: tables, and a PDF of all sheets for each piece; {command.PACKED} holds them all."
    yield Written(words, sheets)


def actions(folder: Path) -> tuple[Action, ...]:
    """Return the button that writes everything down."""
    shelf = shelf_in(folder)
    return (Action("print", "Write sheets and lists", lambda s, _: _print(s, shelf)),)
