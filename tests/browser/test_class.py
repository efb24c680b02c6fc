"""A class in a real browser: learners who do not disturb each other, a killed kernel, the board, a page without internet."""

import re

import psutil
import pytest
from playwright.sync_api import expect

from driving import PATIENCE, SET, expect_set, no_errors, typed, watch, workbook
from visiting import opened

JOINTS = "01_space_the_joints.ipynb"


@pytest.fixture(scope="module")
def state(tmp_path_factory):
    """Return the folder for what the class remembers."""
    return tmp_path_factory.mktemp("class")


@pytest.fixture(scope="module")
def classroom(state):
    """Open a class on this computer."""
    with opened(state) as server:
        yield server


@pytest.fixture
def come_in(chromium, classroom):
    """Return a function that gives the page of somebody new, who came in by the code on the board."""
    contexts = []

    def came(address=classroom.address):
        contexts.append(chromium.new_context(viewport={"width": 1280, "height": 800}))
        page = contexts[-1].new_page()
        watch(page, classroom)
        page.goto(address)
        return page

    yield came
    for context in contexts:
        context.close()


def turn_to(page, name):
    """Follow the bar to a workbook, and wait until its lesson answers."""
    page.locator(f'.mosaic-bar a[href="{name}"]').click(timeout=PATIENCE)
    page.wait_for_url(f"**/{name}")
    expect(page.locator(".mosaic-picture svg").first).to_be_visible(timeout=PATIENCE)


def kernel_of(page):
    """Return the process that runs a page's kernel."""
    kernel = page.evaluate("JSON.parse(document.getElementById('jupyter-config-data').textContent).kernelId")
    named = [
        each for each in psutil.process_iter(["cmdline"]) if f"kernel-{kernel}" in " ".join(each.info["cmdline"] or [])
    ]
    assert len(named) == 1
    return named[0]


def test_two_learners_do_not_disturb_each_other_and_each_finds_what_was_set(come_in):
    first, second = come_in(), come_in()
    for page in (first, second):
        turn_to(page, JOINTS)
        page.wait_for_timeout(1200)
    untouched = second.evaluate(SET)
    typed(first, "Span", "321")
    expect(first.locator(".mosaic-undo")).to_be_enabled(timeout=PATIENCE)
    first.wait_for_timeout(1500)
    mine = first.evaluate(SET)
    assert "321 mm" in mine
    assert second.evaluate(SET) == untouched
    second.reload()
    expect_set(second, untouched)
    expect(workbook(second)).not_to_contain_text("is here again")
    expect(workbook(second)).not_to_contain_text("open on another page")
    first.reload()
    expect_set(first, mine)
    names = [page.locator("#learner").inner_text() for page in (first, second)]
    assert len(set(names)) == 2 and all(re.fullmatch(r"learner \d\d", name) for name in names)
    for page in (first, second):
        no_errors(page)


def test_a_killed_kernel_says_what_to_do_and_what_was_set_comes_back(come_in):
    page, other = come_in(), come_in()
    for each in (page, other):
        turn_to(each, JOINTS)
    typed(page, "Span", "345")
    page.wait_for_timeout(2500)
    kept = page.evaluate(SET)
    kernel_of(page).kill()
    expect(page.locator("#lost")).to_contain_text(
        "What you set is kept. If it does not open, tell your teacher", timeout=PATIENCE
    )
    assert other.locator("#lost").count() == 0
    page.get_by_role("button", name="Open again").click()
    expect_set(page, kept)
    typed(page, "Span", "346")
    expect(workbook(page).locator(".mosaic-summary").first).to_be_visible()
    no_errors(other)


def test_a_page_has_no_way_to_files_and_takes_none(come_in, state):
    page = come_in()
    turn_to(page, "02_cut_wedges_on_curves.ipynb")
    expect(page.get_by_role("link", name="Open as a notebook")).to_have_count(0)
    page.locator("#sections").get_by_role("button", name="A motif", exact=True).click()
    expect(page.locator(".mosaic-lesson h3").first).to_contain_text("motif", timeout=PATIENCE)
    expect(page.locator("input[type=file], .widget-upload")).to_have_count(0)
    page.locator("#sections").get_by_role("button", name="One ring", exact=True).click()
    page.get_by_role("button", name="Write the paper gauge").click(timeout=PATIENCE)
    expect(page.locator(".mosaic-message").first).to_contain_text("written", timeout=PATIENCE)
    learner = page.locator("#learner").inner_text().replace(" ", "-")
    assert (state / "class" / learner / "my_plans" / "my-ring-gauge.pdf").is_file()
    no_errors(page)


def test_a_teachers_workbook_says_that_it_is_the_teachers(come_in, classroom):
    page = come_in()
    page.wait_for_url("**/00_start_here.ipynb")
    expect(workbook(page).get_by_role("link", name="06 Plan a piece").first).to_be_visible(timeout=PATIENCE)
    expect(page.locator("a[href^='07_']:visible, a[href^='08_']:visible")).to_have_count(0)
    page.goto(f"{classroom.origin}/voila/render/08_check_the_numbers.ipynb")
    expect(page.locator("body")).to_contain_text("are the teacher's")


def test_the_code_on_the_board_leads_a_tablet_in(come_in, classroom, tmp_path):
    """Read back by a library that had no part in drawing it."""
    zxingcpp = pytest.importorskip("zxingcpp", reason="Without zxing-cpp nothing here can read the code.")
    from PIL import Image

    board = come_in(classroom.board)
    board.wait_for_url("**/board")
    expect(board.locator(".word")).to_have_text(classroom.token)
    board.locator("svg").screenshot(path=tmp_path / "code.png")
    (code,) = zxingcpp.read_barcodes(Image.open(tmp_path / "code.png"))
    assert code.text == classroom.address
    tablet = come_in(code.text)
    tablet.wait_for_url("**/00_start_here.ipynb")
    board.goto(f"{classroom.origin}/board")
    expect(board.locator("body")).to_contain_text("here now", timeout=PATIENCE)


def test_the_word_typed_at_the_door_opens_and_a_wrong_one_does_not(come_in, classroom):
    page = come_in(f"{classroom.origin}/")
    for word in ("wrong", f" {classroom.token.upper()} "):
        page.get_by_label("The word").fill(word)
        page.get_by_role("button", name="Open").click()
        if word == "wrong":
            expect(page.locator("body")).to_contain_text("not the word of this class")
    page.wait_for_url("**/00_start_here.ipynb")


def test_a_page_that_is_left_ends_its_kernel(come_in):
    page = come_in()
    page.wait_for_url("**/00_start_here.ipynb")
    expect(page.locator(".mosaic-lesson").first).to_be_visible(timeout=PATIENCE)
    kernel = kernel_of(page)
    page.goto("about:blank")
    kernel.wait(timeout=20)
