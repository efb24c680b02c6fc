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

from pathlib import Path

from mosaiclib.job import command, work_out
from mosaiclib.job.sheets import piece_sheets
from mosaiclib.job.shelf import Shelf
from mosaiclib.lesson.controls import Action
from mosaiclib.lessons.w06_controls import PRINT_CONTROLS as CONTROLS
from mosaiclib.lessons.w06_plan import Result, Settings, compute, follow, keeper, plan_of, running, shelf_in, start
from mosaiclib.lessons.w06_plan import view_of as draw
from mosaiclib.report import Row

TITLE, LIVE = "Print", False


def report(result: Result) -> list[Row]:
    """Tell the sheets of every face."""
    return [
        Row(f"{sheets.piece}, {sheets.face}", len(sheets.all), "pages", f"{len(sheets.template)} of the template")
        for sheets in piece_sheets(result.worked)
    ]


def summary(result: Result) -> str:
    """Tell the paper."""
    return f"Sheets at true scale on {result.plan.paper}. {running(result)}"


def _print(s: Settings, name: str, shelf: Shelf) -> str:
    out = shelf.place(name)
    written = command.write(work_out(plan_of(s)), out)
    return f"{len(written)} files are in {shelf.folder.name}/{out.name}: tables, and a PDF of sheets for each face."


def actions(folder: Path) -> tuple[Action, ...]:
    """Return the button that writes everything down."""
    shelf = shelf_in(folder)
    return (Action("print", "Write sheets and lists", lambda s, name: _print(s, name, shelf), "Name", "my piece"),)
