"""What a page prints: a part as it is set, the questions with the numbers of a class, and their key for the teacher."""

__all__ = ["Paper", "part_on_paper", "questions_on_paper"]

import html
import string
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

import ipywidgets as w

from mosaiclib.lesson.fields import plain_button, plain_words
from mosaiclib.lesson.questions import Question

LETTERS = string.ascii_uppercase
NUMBERS = "Your number in the class says which line of the table on this sheet is yours."


class Paper(w.VBox):
    """A handout that is made when the page asks for it; never seen on the screen, in a notebook neither."""

    def __init__(self, made: Callable[[], str]) -> None:
        self.sheet, self.times = plain_words(), 0
        ask = plain_button("Make the handout", tabbable=False)
        ask.on_click(lambda _: self.make(made))
        super().__init__([ask, self.sheet])
        self.add_class("mosaic-paper")

    def make(self, made: Callable[[], str]) -> None:
        """Make the handout anew; its number tells the page that it is no old one."""
        self.times += 1
        self.sheet.value = f'<div class="mosaic-sheet" data-times="{self.times}">{made()}</div>'


def part_on_paper(title: str, settings: Iterable[tuple[str, str]], parts: Iterable[str]) -> str:
    """Return a part of a workbook as HTML: its title, what is set, and pictures, sentences and tables that are HTML."""
    told = (f"{html.escape(label)}: <b>{html.escape(value)}</b>" for label, value in settings if value)
    return (
        f'<section><h3>{html.escape(title)}</h3><p class="mosaic-set">{" · ".join(told)}</p>{"".join(parts)}</section>'
    )


def questions_on_paper(questions: Sequence[Question], seeds: Mapping[int, int]) -> str:
    """Return the questions with letters for their numbers, the numbers of a class (number to seed), and the key."""
    values = [[question.values(seed) for seed in seeds.values()] for question in questions]
    drawn = [_drawn(*each) for each in zip(questions, values, strict=True)]
    asked = "".join(map(_asked, questions, values, drawn))
    heads = [f"{i + 1}{LETTERS[k]}" for i, names in enumerate(drawn) for k in range(len(names))]
    cells = [
        [format(values[i][row][name], spec) for i, names in enumerate(drawn) for name, spec in names]
        for row in range(len(seeds))
    ]
    answers = [[one.key(each[row]) for one, each in zip(questions, values, strict=True)] for row in range(len(seeds))]
    return (
        f"<section><p>{NUMBERS} Name: ________________ Number: ______</p><ol>{asked}</ol>"
        f"<h4>Numbers for the questions</h4>{_table(heads, seeds, cells)}</section>"
        f'<section class="for-teacher"><h4>Key to the questions</h4>'
        f"{_table(range(1, len(questions) + 1), seeds, answers)}</section>"
    )


def _fields(question: Question) -> list[tuple[str, str]]:
    """Return the values that a question's words name, each with the way it is written."""
    found = string.Formatter().parse(question.words)
    return list(dict.fromkeys((name, spec or "") for _, name, spec, _ in found if name))


def _drawn(question: Question, values: Sequence[Mapping[str, Any]]) -> list[tuple[str, str]]:
    """Return those of them that differ from learner to learner."""
    return [(name, spec) for name, spec in _fields(question) if len({str(each[name]) for each in values}) > 1]


def _asked(question: Question, values: Sequence[Mapping[str, Any]], drawn: Sequence[tuple[str, str]]) -> str:
    """Return a question in words, letters where the table has the numbers, and room for the answer."""
    letters = {field: f"<b>[{LETTERS[i]}]</b>" for i, field in enumerate(drawn)}
    words = ""
    for before, name, spec, _ in string.Formatter().parse(question.words):
        words += html.escape(before)
        if name:
            words += letters.get((name, spec or "")) or html.escape(format(values[0][name], spec or ""))
    offered = "".join(f"<br>{letter}) {html.escape(option)}" for option, letter in question.lettered.items())
    return f"<li>{words}{offered}<br>Answer: ________________</li>"


def _table(heads: Iterable[Any], numbers: Iterable[int], rows: Iterable[Sequence[str]]) -> str:
    """Return a table with the numbers of a class before its rows."""
    top = "".join(f"<th>{head}</th>" for head in heads)
    lines = (
        f"<tr><th>{number}</th>{''.join(f'<td>{html.escape(cell)}</td>' for cell in row)}</tr>"
        for number, row in zip(numbers, rows, strict=True)
    )
    return f"<table><tr><th>number</th>{top}</tr>{''.join(lines)}</table>"
