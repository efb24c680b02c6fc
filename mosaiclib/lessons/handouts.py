"""Handouts for a class: a sheet of each lesson for learners, its questions with each learner's own numbers, and a sheet for the teacher."""

__all__ = ["LESSONS", "handouts", "learners_sheet", "questions_sheet", "teachers_sheet", "writing_class"]

import math
import os
from collections.abc import Callable, Generator, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from mosaiclib.cautions import on_paper
from mosaiclib.course import Course
from mosaiclib.course.papers import writing_all
from mosaiclib.drawing import Drawing
from mosaiclib.drawing.flow import (
    INDENT,
    Block,
    blank,
    flowed,
    headed,
    pictured,
    rules,
    said,
    stacked,
    tabled,
    words_width,
)
from mosaiclib.lesson.questions import Question
from mosaiclib.lessons import asked, lessons
from mosaiclib.lessons.written import WORKBOOKS, Written, written

LESSONS = ("01", "02", "03", "04", "05")  # what is taught; 06 plans, 08 doubts
IDEA, PICTURE = (130.0, 70.0), (125.0, 88.0)  # [mm] room for a drawing
SYMBOLS = (0.16, 0.66, 0.18)  # shares of the width
SMALL, CLOSE = 2.9, 0.6  # [mm] letters and space where much is told in little room
TOGETHER, ACROSS = 20, 9  # learners and questions in a part of the key
NUMBER = 16.0  # [mm] column of the learners' numbers in a key

Made = Callable[[], list[Drawing]]


def handouts(
    learners: int, paper: str = "A4", unit: str = "mm", numbers: Sequence[str] = LESSONS, folder: Path = WORKBOOKS
) -> dict[str, Made]:
    """Return what makes the sheets of each handout, by the name of its file, for learners numbered from 1 and workbooks by number.

    `..._learners` is printed once for each learner, `..._questions` once in all, `..._teacher` once.
    """
    found: dict[str, Made] = {}
    for number in numbers:
        said_ = written(number, folder)
        found[f"{number}_learners"] = lambda number=number, said_=said_: learners_sheet(number, said_, paper, unit)
        found[f"{number}_questions"] = lambda number=number, said_=said_: questions_sheet(
            said_.title, asked(number), learners, paper
        )
        found[f"{number}_teacher"] = lambda number=number, said_=said_: teachers_sheet(
            said_, asked(number), learners, paper
        )
    return found


def writing_class(course: Course, folder: str | os.PathLike) -> Generator[str, None, list[Path]]:
    """Write all papers of a class with the handouts of its lessons, giving the name of each file and the number of each sheet."""
    klass = course.klass
    books = handouts(klass.learners, klass.paper, course.groups[0].plan.unit)
    return (yield from writing_all(course, folder, books))


def learners_sheet(number: str, said_: Written, paper: str = "A4", unit: str = "mm") -> list[Drawing]:
    """Return the handout of a lesson for learners: its idea, its pictures, symbols, and tasks with room to write."""
    width = words_width(paper)
    blocks = [blank("Name", width), blank("Your number in the class", width / 2), headed("The idea", width)]
    blocks += [pictured(replace(idea, unit=unit), *IDEA) for idea in said_.ideas]
    if said_.symbols:
        widths = [share * width for share in SYMBOLS]
        blocks += tabled(("symbol", "meaning", "unit"), said_.symbols, widths)
    for words, drawing in _pictures(number):
        blocks += [headed(words, width), pictured(replace(drawing, unit=unit), *PICTURE)]
    blocks.append(headed("Tasks", width))
    for task in said_.tasks:
        asked_ = said(task.asked, width, mark=" ")
        blocks.append(
            stacked(
                said(task.name, width, mark=f"{task.number}.", voice="heading", after=CLOSE), asked_, _room(width, 2)
            )
        )
    about = f"Pictures, symbols and {len(said_.tasks)} tasks, with room to write."
    return flowed(blocks, paper, title=f"{said_.title}: for learners", about=about, cautions=[on_paper("sheet")])


def _pictures(number: str) -> Iterator[tuple[str, Drawing]]:
    """Yield the picture of each part of a workbook as it begins, each once, with the words on the part's button."""
    seen = set()
    for words, part in lessons(number).items():
        drawing = part.draw(part.compute(getattr(part, "start", part.Settings)()))
        if drawing.title not in seen:
            seen.add(drawing.title)
            yield words, drawing


def _room(width: float, count: int) -> Block:
    """Return lines to reckon and to answer on, below words that have a number before them."""
    return rules(width, count, left=INDENT)


def questions_sheet(title: str, questions: Sequence[Question], learners: int, paper: str = "A4") -> list[Drawing]:
    """Return the questions of a lesson, each learner's on sheets of their own, with the numbers that the page asks that learner first."""
    width = words_width(paper)
    sheets = []
    for number in range(1, learners + 1):
        blocks = [blank("Name", width)]
        blocks += [_question(at, one, number, width) for at, one in enumerate(questions, 1)]
        heading = f"{title}: questions of learner {number}"
        sheets += flowed(blocks, paper, title=heading, about="Questions, with room to reckon and to answer.")
    return sheets


def _question(at: int, question: Question, number: int, width: float) -> Block:
    """Return a question with a learner's numbers, its options, and room for the answer."""
    parts = [said(question.ask(question.values(number)), width, mark=f"{at}.")]
    parts += [said(f"{letter}) {one}", width, mark=" ", after=CLOSE) for one, letter in question.lettered.items()]
    last = "Answer" if question.options or not question.unit else f"Answer, in {question.unit}"
    return stacked(
        *parts, *[_room(width, 1)] * (not question.options), blank(last, width / 2, left=INDENT), said("", width)
    )


def teachers_sheet(said_: Written, questions: Sequence[Question], learners: int, paper: str = "A4") -> list[Drawing]:
    """Return the handout of a lesson for the teacher: minutes and usual slips, answers to the tasks, the way to each answer, the key."""
    width = words_width(paper)
    blocks = [
        headed("Minutes, slips, and what to have ready", width),
        *(said(line, width, mark="–") for line in said_.notes),
    ]
    blocks.append(headed("Answers to the tasks", width))
    blocks += [said(f"{one.name} {one.answer}", width, mark=f"{one.number}.") for one in said_.tasks]
    blocks.append(headed("Key to the questions, by the learner's number", width))
    blocks += _key(questions, learners, width)
    blocks.append(headed("The questions, with the numbers of learner 1", width))
    for at, question in enumerate(questions, 1):
        blocks.append(_told(at, question, width))
    about = "Minutes, usual slips, answers, and a key for every learner."
    return flowed(blocks, paper, title=f"{said_.title}: for the teacher", about=about)


def _key(questions: Sequence[Question], learners: int, width: float) -> Iterator[Block]:
    """Yield the right answers, a row a learner and a column a question, so many at a time that no sheet parts them and none touch."""
    columns = math.ceil(len(questions) / math.ceil(len(questions) / ACROSS))
    widths = [NUMBER, *[(width - NUMBER) / columns] * columns]
    asked = list(enumerate(questions, 1))
    for at in range(0, len(asked), columns):
        part = asked[at : at + columns]
        for first in range(1, learners + 1, TOGETHER):
            numbers = range(first, min(first + TOGETHER, learners + 1))
            rows = [[number, *(one.key(one.values(number)) for _, one in part)] for number in numbers]
            heads = ["learner", *(number for number, _ in part)]
            yield stacked(*tabled(heads, rows, widths[: len(heads)]), said("", width))


def _told(at: int, question: Question, width: float) -> Block:
    """Return a question as learner 1 has it, its answer with the way to it, its hint and its usual slips."""
    values, right = question.values(1), question.answer(question.values(1))
    answer = right if question.options else f"{right:.4g} {question.unit}".strip()
    slips = " – ".join(slip.told for slip in question.slips)
    lines = (
        f"Answer: {answer}. {question.way(values)}",
        f"Hint: {question.hint}",
        f"Usual slips: {slips}" if slips else "",
    )
    first = said(question.ask(values), width, mark=f"{at}.", voice="heading", after=CLOSE)
    return stacked(
        first, *(said(line, width, mark=" ", size=SMALL, after=CLOSE) for line in lines if line), said("", width)
    )
