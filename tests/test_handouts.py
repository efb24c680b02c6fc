"""Handouts of the lessons as PDFs, read back: what workbooks and questions say, for learners and for the teacher."""

import io
import re

import numpy as np
import pdfplumber
import pytest

from mosaiclib.drawing import write_pdf
from mosaiclib.errors import MosaicError
from mosaiclib.lesson.asking import Questions
from mosaiclib.lessons import PARTS, asked, lessons
from mosaiclib.lessons.handouts import LESSONS, handouts, teachers_sheet
from mosaiclib.lessons.written import written

POINT = 72 / 25.4  # [points/mm]
LEARNERS = 3
DOTS = 200  # an inch, to look at a page
SIZES = {"A4": (210, 297), "Letter": (8.5 * 25.4, 11 * 25.4)}  # ISO 216; ASME Y14.1, size A


def pages_of(sheets):
    buffer = io.BytesIO()
    write_pdf(sheets, buffer)
    return pdfplumber.open(buffer).pages


def words_on(pages):
    return " ".join(" ".join(page.extract_text().split()) for page in pages)


@pytest.fixture(scope="module")
def made():
    """The pages of every handout of three lessons, by file."""
    return {name: pages_of(sheets()) for name, sheets in handouts(LEARNERS, numbers=("01", "03", "05")).items()}


@pytest.mark.parametrize("number", [number for number in PARTS if PARTS[number].tasks])
def test_all_tasks_of_a_workbook_are_found_with_their_answers(number):
    found = written(number)
    assert [task.number for task in found.tasks] == list(range(1, len(found.tasks) + 1))
    assert len(found.tasks) >= PARTS[number].tasks and found.title.startswith(number)
    for words in (words for task in found.tasks for words in (task.name, task.asked, task.answer)):
        assert words and not re.search(r"[*`<>$]|\]\(", words), words
    assert any(note.startswith("Minutes:") for note in found.notes)
    assert any(note.startswith("Common slips:") for note in found.notes) and found.ideas


def test_learners_get_pictures_symbols_and_tasks_but_no_answer(made):
    for number in ("01", "03", "05"):
        pages, found = made[f"{number}_learners"], written(number)
        said = words_on(pages)
        at = [said.index(f"{task.number}. {task.name}") for task in found.tasks]
        assert at == sorted(at)
        for task in found.tasks:
            assert all(word in said for word in task.asked.split()) and task.answer not in said
        for meaning in (symbol[1] for symbol in found.symbols):
            assert meaning in said
        for words in lessons(number):
            assert words in said
        assert sum(len(page.curves) + len(page.rects) for page in pages) > 50  # there are pictures


def test_each_learner_gets_the_numbers_that_the_page_asks(made):
    for number in ("01", "03", "05"):
        pages = made[f"{number}_questions"]
        for learner in range(1, LEARNERS + 1):
            mine = words_on([page for page in pages if f"questions of learner {learner} " in words_on([page])])
            assert "Name:" in mine
            for question in Questions(asked(number), seed=learner).questions:
                assert question.ask(question.values(learner)) in re.sub(r"\s+", " ", mine)
                assert all(f"{letter}) {option}" in mine for option, letter in question.lettered.items())


def test_the_key_is_what_the_page_accepts(made):
    for number in ("01", "03", "05"):
        said = made[f"{number}_teacher"]
        text = "\n".join(page.extract_text() for page in said)
        for learner in range(1, LEARNERS + 1):
            line = next(
                one for one in text.splitlines() if re.match(rf"{learner} (?!\.)", one) and "learner" not in one
            )
            for question in asked(number):
                values = question.values(learner)
                shown = question.key(values)
                assert shown in line
                answer = {v: k for k, v in question.lettered.items()}[shown] if question.options else shown.split()[0]
                assert question.judge(values, answer, question.unit).right


def test_no_two_answers_of_a_long_key_touch():
    """Sixteen questions do not go side by side on the narrower paper."""
    questions = asked("02")
    pages = pages_of(teachers_sheet(written("02"), questions, LEARNERS, "Letter"))
    told = [word["text"] for page in pages for word in page.extract_words()]
    answers = [question.key(question.values(1)).split()[0] for question in questions]
    assert set(answers) <= set(told)
    assert not [word for word in told if re.search(r"mm[\da-d]", word)]


def test_the_teacher_gets_minutes_answers_slips_and_hints(made):
    for number in ("01", "03", "05"):
        said, found = words_on(made[f"{number}_teacher"]), written(number)
        for task in found.tasks:
            assert task.answer in said
        assert all(note in said for note in found.notes)
        for question in asked(number):
            assert f"Hint: {question.hint}" in said and all(slip.told in said for slip in question.slips)
            assert question.way(question.values(1)) in said


@pytest.mark.parametrize("paper", SIZES)
def test_pages_have_their_size_and_keep_their_margins(paper):
    for name, sheets in handouts(1, paper, "in" if paper == "Letter" else "mm", ("02",)).items():
        for page in pages_of(sheets()):
            assert [float(page.width) / POINT, float(page.height) / POINT] == pytest.approx(SIZES[paper], abs=0.01)
            assert max(sign["x1"] for sign in page.chars) / POINT <= SIZES[paper][0] - 10 + 0.3, name


def luminance(grey):
    """Relative luminance of a grey from 0 to 255 (WCAG 2.1, definition of relative luminance)."""
    share = grey / 255
    return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4


def test_every_word_is_read_in_grey(made):
    """Printed in grey, each word stands out from its ground by 4.5 to 1 (WCAG 2.1, 1.4.3)."""
    for name in ("01_learners", "05_learners"):
        for page in made[name]:
            grey = np.asarray(page.to_image(resolution=DOTS).original.convert("L"), dtype=float)
            for word in page.extract_words():
                left, top, right, low = (round(word[edge] * DOTS / 72) for edge in ("x0", "top", "x1", "bottom"))
                seen = grey[max(top, 0) : low, max(left, 0) : right]
                if word["text"].strip("-–.,") and seen.size:
                    contrast = (luminance(seen.max()) + 0.05) / (luminance(seen.min()) + 0.05)
                    assert contrast >= 4.5, (name, page.page_number, word["text"], contrast)


def test_a_workbook_that_is_not_there_is_a_sentence(tmp_path):
    with pytest.raises(MosaicError, match="no workbook 01"):
        written("01", tmp_path)
    (tmp_path / "01_x.ipynb").write_text("{", encoding="utf-8")
    with pytest.raises(MosaicError, match="cannot be read"):
        written("01", tmp_path)


def test_all_lessons_have_three_handouts():
    assert len(handouts(12)) == 3 * len(LESSONS)
