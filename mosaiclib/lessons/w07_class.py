"""Lesson 07, the class: who comes, at which table, and what each makes."""

__all__ = ["CONTROLS", "LIVE", "TITLE", "Settings", "actions", "compute", "draw", "lists", "report", "start", "summary"]

from collections.abc import Sequence
from pathlib import Path

from mosaiclib.course import Class
from mosaiclib.course.pictures import room_picture
from mosaiclib.drawing import Drawing
from mosaiclib.job import Plan
from mosaiclib.job.packs import sold_as, unit_of
from mosaiclib.job.shelf import Shelf, Work
from mosaiclib.lesson.controls import Action, Listed, Shown
from mosaiclib.lessons.w07_controls import CLASS_CONTROLS as CONTROLS
from mosaiclib.lessons.w07_shared import (
    Result,
    Settings,
    class_of,
    compute,
    counted,
    refused,
    settings_of,
    start,
    with_piece,
)
from mosaiclib.report import Row

TITLE, LIVE = "The class", False
CLASSES = "my_classes"  # beside the folder of plans


def draw(result: Result) -> Drawing:
    """Draw the tables from above, a square for each learner in the tone of the piece that they make."""
    return room_picture(result.ready)


def report(result: Result) -> list[Row]:
    """Tell each piece with its makers, each table, the adults, and what the teacher should know."""
    ready = result.ready
    rows = [
        Row(
            group.name,
            len(group.makers),
            "makers",
            f"learners {_span(group.makers)}; {group.worked.count} pieces of glass each",
        )
        for group in ready.groups
    ]
    for table in ready.tables:
        packs = ", ".join(f"{count} x {name}" for each in table.packs.values() for name, count in each.items())
        glue = ", ".join(f"{amount:.0f} {unit_of(sold_as(name)[0])} {name}" for name, amount in table.adhesive.items())
        rows.append(Row(f"Table {table.number}", len(table.learners), "learners", f"{glue} ({packs or 'none to buy'})"))
    adults = 1 + ready.klass.helpers
    rows.append(Row("Adults", adults, "", "the teacher and who helps" if adults > 1 else "the teacher alone"))
    return [*rows, *(Row("Mind", "", "", note) for note in ready.notes)]


def _span(numbers: Sequence[int]) -> str:
    return f"{numbers[0]} to {numbers[-1]}" if len(numbers) > 1 else f"{numbers[0]}"


def summary(result: Result) -> str:
    """Tell how many learners there are, what a place costs, and whether the sessions hold them."""
    holds = "" if result.amiss else f" {len(result.course.sessions)} sessions are enough."
    return f"{refused(result)}{counted(result)}.{holds}"


def _save(s: Settings, name: str, shelf: Shelf) -> tuple[Settings, str]:
    klass = class_of(s).model_copy(update={"name": name.strip() or s.base.name})
    return settings_of(klass, s.shown), shelf.save(klass, klass.name)


def _open(name: str, shelf: Shelf) -> tuple[Settings, str]:
    return settings_of(shelf.load(name)), f"{name} is open."


def actions(folder: Path) -> tuple[Action, ...]:
    """Return the buttons that save and open a class under a name."""
    shelf = Shelf(folder.parent / CLASSES, Class)
    box = ("Class", "my class")
    return (
        Action("save", "Save", lambda s, name: _save(s, name, shelf), *box),
        Action("open", "Open", lambda s, name: _open(name, shelf), *box, fresh=True),
    )


def lists(folder: Path) -> tuple[Listed, ...]:
    """Return the works kept in workbook 06, each of which can be a piece of the class."""
    shelf = Shelf(folder)

    def add(s: Settings, work: Work) -> tuple[Settings, str]:
        plan = Plan.load(work.path)
        return with_piece(s, plan), f"{plan.name} is a piece of this class now; one learner makes it."

    def works(_: Settings) -> list[Shown]:
        return [Shown(f"{work.name}, {work.when}", work.picture, work) for work in shelf.works()]

    none = "No work is kept yet: plan one in workbook 06, and it stands here."
    return (Listed("Add a piece planned in 06", none, works, add),)
