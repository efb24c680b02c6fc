"""Lesson 07, print: everything that the class needs on paper, in one go."""

__all__ = ["CONTROLS", "LIVE", "TITLE", "Settings", "actions", "compute", "draw", "report", "start", "summary"]

from collections.abc import Iterator
from pathlib import Path

from mosaiclib.course import Course, plan_class
from mosaiclib.course.calendar import work_lines
from mosaiclib.course.pictures import room_picture
from mosaiclib.drawing import Drawing
from mosaiclib.files import safe_name
from mosaiclib.lesson.controls import Action, Written
from mosaiclib.lessons.w07_class import CLASSES
from mosaiclib.lessons.w07_controls import PRINT_CONTROLS as CONTROLS
from mosaiclib.lessons.w07_shared import Result, Settings, class_of, compute, counted, refused, start
from mosaiclib.report import Row

TITLE, LIVE = "Print", False


def draw(result: Result) -> Drawing:
    """Draw the room, as it stands on the first sheet."""
    return room_picture(result.ready)


def report(result: Result) -> list[Row]:
    """Tell what each session's card will say."""
    if result.course is None:
        return [Row("Nothing to print", "", "", f"{result.amiss}")]
    return [
        Row(f"Session {one.number}", result.course.words(one.begin), "", "; ".join(work_lines(result.course, one)))
        for one in result.course.sessions
    ]


def summary(result: Result) -> str:
    """Tell the paper."""
    return f"{refused(result)}On {result.ready.klass.paper}: {counted(result)}."


def _written(course: Course, folder: Path) -> Iterator[str | Written]:
    """Write everything, telling each file as it is made."""
    from mosaiclib.lessons.handouts import writing_class

    written = yield from writing_class(course, folder)
    place = f"{folder.parent.name}/{folder.name}"
    sheets = tuple(f"{place}/{path.name}" for path in written if path.suffix in (".pdf", ".zip", ".ics"))
    yield Written(f"{len(written)} files are in {place}.", sheets)


def _print(s: Settings, folder: Path) -> Iterator[str | Written]:
    klass = class_of(s)
    yield from _written(plan_class(klass), folder / safe_name(klass.name, 60))


def actions(folder: Path) -> tuple[Action, ...]:
    """Return the button that writes everything down."""
    return (Action("print", "Write everything for the class", lambda s, _: _print(s, folder.parent / CLASSES)),)
