"""The handout: printed from the page, every part, no controls, the teacher's pages apart."""

import io

import pdfplumber
import pytest

from driving import PATIENCE, no_errors, open_workbook
from mosaiclib.lessons import lessons
from tour import file_of


@pytest.fixture
def printed(page):
    """Return a function that prints the open workbook for somebody and gives the text of the sheets and their number."""
    page.add_init_script("window.times = 0; window.print = () => { window.times += 1; }")

    def pressed(name):
        before = page.evaluate("window.times")
        page.locator(".mosaic-bar").get_by_text("Print", exact=True).click()
        page.get_by_role("button", name=name).click()
        page.wait_for_function("before => window.times > before", arg=before, timeout=PATIENCE)
        with pdfplumber.open(io.BytesIO(page.pdf())) as sheets:
            text = "\n".join(sheet.extract_text() for sheet in sheets.pages)
            pictures = sum(len(sheet.curves) + len(sheet.rects) for sheet in sheets.pages)
        page.evaluate("dispatchEvent(new Event('focus'))")
        return text, pictures

    return pressed


@pytest.mark.parametrize("number", ["01", "03"])
def test_a_handout_holds_every_part_and_the_teachers_holds_the_answers(page, printed, number):
    open_workbook(page, file_of(number))
    page.wait_for_timeout(1500)
    text, drawn = printed("For learners")
    assert all(module.TITLE in text for module in lessons(number).values()) and drawn > 100
    assert "Numbers for the questions" in text
    for kept_back in (
        "Key to the questions",
        "Teacher's notes",
        "Undo",
        "show(",
        "Fill the window",
        "$$",
    ):
        assert kept_back not in text
    teachers, _ = printed("For the teacher")
    for told in (
        "Key to the questions",
        "Teacher's notes",
        "Answer",
        *(module.TITLE for module in lessons(number).values()),
    ):
        assert told in teachers
    assert page.evaluate("document.querySelectorAll('details[open]').length") == 0
    no_errors(page)


def test_a_handout_prints_what_is_on_the_screen(page, printed):
    open_workbook(page, file_of("01"))
    box = page.locator(".mosaic-lesson .widget-text input").first
    box.fill("333 mm")
    box.press("Enter")
    page.wait_for_timeout(500)
    text, _ = printed("For learners")
    assert "Span: 333 mm" in text
    page.keyboard.press("Control+p")
    page.wait_for_function("window.times === 2", timeout=PATIENCE)
    no_errors(page)
