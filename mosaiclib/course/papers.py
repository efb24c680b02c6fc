"""Everything of a class written into a folder: papers for the room, the tables, the kits and the shop, all new or all old."""

__all__ = ["papers_of", "write_all", "writing_all"]

import os
from collections.abc import Callable, Generator, Iterator, Mapping
from dataclasses import replace
from functools import partial
from pathlib import Path

from mosaiclib.course.calendar import calendar_bytes
from mosaiclib.course.cards import buying_sheet, cutting_card, packing_list, session_cards, steps_card
from mosaiclib.course.course import Course
from mosaiclib.course.groups import Group
from mosaiclib.course.labels import kit_labels
from mosaiclib.course.lists import kit_list, session_list, shopping_list, table_list
from mosaiclib.course.safety import health_form, powder_labels, safety_sheet
from mosaiclib.drawing import Drawing, writing_pdf
from mosaiclib.errors import instance
from mosaiclib.files import PACKED, WRITTEN, file_set, list_bytes, name_key, pack, safe_name, unused_name
from mosaiclib.job.papers import gauge_sheet
from mosaiclib.job.sheets import not_too_many_sheets, piece_sheets

Made = Callable[[], list[Drawing]]
Tell = Callable[[str], object]


def papers_of(course: Course) -> dict[str, Made]:
    """Return what makes the sheets of each PDF of a class, by the name of its file; what is in each kit is one file a piece."""
    paper = course.klass.paper
    books: dict[str, Made] = {
        "safety": partial(safety_sheet, paper),
        "allergies_and_asthma": partial(health_form, paper),
        "sessions": partial(session_cards, course),
        "packing_list": partial(packing_list, course),
        "kit_labels": partial(kit_labels, course),
        "powder_labels": partial(powder_labels, course.portions, paper),
        "what_to_buy": partial(buying_sheet, course),
    }
    used = {name_key(name) for name in books}
    for group in course.groups:
        books[unused_name(f"kit_{safe_name(group.name, 60)}", used)] = partial(_in_kit, course, group)
    return books


def _in_kit(course: Course, group: Group) -> list[Drawing]:
    """Return the papers of a kit: what is done when, what is cut in which order, sheets at true scale, gauges."""
    plan = group.plan.model_copy(update={"paper": course.klass.paper})
    worked = replace(group.worked, plan=plan)
    true_scale = [sheet for piece in piece_sheets(worked) for sheet in piece.all]
    gauges = gauge_sheet(worked) if group.own_cutting.usual else []
    return [*steps_card(course, group), *cutting_card(course, group), *true_scale, *gauges]


def write_all(
    course: Course, folder: str | os.PathLike, tell: Tell = lambda words: None, more: Mapping[str, Made] | None = None
) -> list[Path]:
    """Write all papers of a class into a folder; return the files. `tell` gets a word for each file and sheet as it is made.

    `more`: other PDFs that belong to the class, such as the handouts of its lessons, by name what makes their sheets.
    """
    steps = writing_all(course, folder, more)
    try:
        while True:
            tell(next(steps))
    except StopIteration as end:
        return end.value


def writing_all(
    course: Course, folder: str | os.PathLike, more: Mapping[str, Made] | None = None
) -> Generator[str, None, list[Path]]:
    """Do as `write_all`, giving the name of each file as it is made and the number of each sheet; all stand there at the end."""
    instance(course, Course, "class")
    for group in course.groups:
        not_too_many_sheets(group.plan)
    names = []
    with file_set(folder) as made:
        for path in _lists(course, made):
            names.append(path.name)
            yield path.name
        for name, sheets_of in {**papers_of(course), **(more or {})}.items():
            sheets = sheets_of()
            if sheets:
                path = made / f"{name}.pdf"
                for number in writing_pdf(sheets, path):
                    yield f"{path.name}: sheet {number} of {len(sheets)}"
                names.append(path.name)
        pack(made)
        names.append(PACKED)
        yield PACKED
    return [Path(folder) / name for name in (*names, WRITTEN)]


def _lists(course: Course, folder: Path) -> Iterator[Path]:
    """Write what is no PDF: the lists, the calendar, the class itself."""
    tables = {
        "what_to_buy": shopping_list(course),
        "kits": kit_list(course),
        "tables": table_list(course),
        "sessions": session_list(course),
    }
    for name, table in tables.items():
        path = folder / f"{name}.csv"
        path.write_bytes(list_bytes(table))
        yield path
    path = folder / "sessions.ics"
    path.write_bytes(calendar_bytes(course))
    yield path
    yield course.klass.save(folder / "class_as_read.json")
