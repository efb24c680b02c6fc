"""What a page prints: every part as it is set, and questions whose key is the answers that the page accepts."""

import re

import pytest

from mosaiclib.lesson.asking import Questions
from mosaiclib.lesson.handout import Paper
from mosaiclib.lesson.page import Lesson, Parts
from mosaiclib.lessons import PARTS, asked, lessons

ASKED = [number for number in PARTS if PARTS[number].questions]


def tables(sheet):
    """Return the tables of a sheet as rows of cells."""
    return [
        [re.findall(r"<t[dh]>(.*?)</t[dh]>", row) for row in re.findall(r"<tr>(.*?)</tr>", table)]
        for table in re.findall(r"<table>(.*?)</table>", sheet)
    ]


def test_a_part_prints_what_is_open_and_what_was_changed():
    (module,) = lessons("01").values()
    lesson = Lesson.of(module)
    assert "Span: <b>290 mm</b>" in lesson.on_paper() and "Breakage" not in lesson.on_paper()
    lesson.unit_switch.value = "in"
    folded = next(field for field in lesson.fields.values() if field.control.fold)
    assert f"{folded.control.label}: " not in lesson.on_paper()
    folded.accept(next(end for end in folded.control.ends(folded.value) if end != folded.value))
    sheet = lesson.on_paper()
    assert f"{folded.control.label}: " in sheet and "11 13/32 in" in sheet
    assert "<svg" in sheet and "<h3>Space the joints</h3>" in sheet and "<table>" in sheet


def test_a_workbook_prints_every_part_also_those_not_opened():
    made = {words: lambda _, module=module: Lesson.of(module) for words, module in lessons("03").items()}
    parts = Parts(made)
    assert len(parts.made) == 1
    sheet = parts.on_paper()
    assert [f"<h3>{module.TITLE}</h3>" in sheet for module in lessons("03").values()] == [True] * 3
    assert parts.shown is parts.made["Which one"]


@pytest.mark.parametrize("number", ASKED)
def test_the_key_is_what_the_page_accepts(number):
    page = Questions(asked(number), seed=30)
    learners, _, key = page.on_paper().partition('<section class="for-teacher">')
    (numbers,), (answers,) = tables(learners), tables(key)
    assert [row[0] for row in numbers[1:]] == [row[0] for row in answers[1:]] == [str(n) for n in range(25, 49)]
    assert learners.count("<li>") == len(page.questions) and "{" not in learners
    for row in answers[1:]:
        for question, cell in zip(page.questions, row[1:], strict=True):
            words = sorted(question.options)["abcdefgh".index(cell)] if question.options else cell.split()[0]
            assert question.judge(question.values(int(row[0])), words, question.unit).right, (question.name, cell)


@pytest.mark.parametrize("number", ASKED)
def test_the_table_holds_the_numbers_that_a_learner_is_asked(number):
    page = Questions(asked(number), seed=7)
    (rows,) = tables(page.on_paper().partition('<section class="for-teacher">')[0])
    mine = dict(zip(rows[0], rows[7], strict=True))
    for at, question in enumerate(page.questions):
        words = question.ask(question.values(7))
        assert all(cell in words for head, cell in mine.items() if head.rstrip("ABCDEFGH") == str(at + 1))


def test_each_sheet_is_told_from_the_one_before():
    paper = Paper(lambda: "<p>sheet</p>")
    button = paper.children[0]
    button.click()
    first = paper.sheet.value
    button.click()
    assert paper.sheet.value != first and 'data-times="2"' in paper.sheet.value
