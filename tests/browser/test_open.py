"""The front door: workbooks open as plain pages that nothing pressed can harm, and as notebooks on request."""

import json
import re
import shutil
from urllib.error import HTTPError
from urllib.parse import urlsplit
from urllib.request import Request, urlopen

import nbformat
import pytest
from playwright.sync_api import expect

from driving import PATIENCE, move_slider, no_errors, open_in_lab, open_workbook, run_all, started, workbook
from mosaiclib.launch import WORKBOOKS
from mosaiclib.lessons import PARTS

BOOKS = sorted(path.name for path in WORKBOOKS.glob("0*.ipynb"))
LESSON = ".mosaic-lesson"

each_book = pytest.mark.parametrize("name", BOOKS)


def kernels(server):
    """Return the kernels that run."""
    with urlopen(f"{server.origin}/api/kernels?token={server.token}") as answer:
        return {kernel["id"] for kernel in json.load(answer)}


def test_the_door_answers_only_with_its_token(server):
    with pytest.raises(HTTPError) as refused:
        urlopen(f"{server.origin}/api/contents")
    with refused.value as answer:
        assert answer.code == 403
    with urlopen(f"{server.origin}/voila/render/00_start_here.ipynb") as answer:
        assert urlsplit(answer.url).path == "/login"
    with urlopen(f"{server.origin}/api/contents?token={server.token}") as answer:
        assert json.load(answer)["type"] == "directory"


def test_the_address_that_the_door_says_opens_the_start_page(page, server):
    page.goto(server.address)
    expect(page.locator(LESSON)).to_be_visible(timeout=PATIENCE)
    expect(page).to_have_title(re.compile("start", re.IGNORECASE))
    no_errors(page)


@pytest.mark.parametrize("number", PARTS)
def test_a_page_holds_no_code_and_no_check_cell(toured, number):
    opened = toured(number).opened
    assert opened["code"] == 0 and "Run All Cells" not in opened["words"]


@pytest.mark.parametrize("number", PARTS)
def test_nothing_pressed_changes_lesson_or_file(toured, number):
    assert toured(number).changed == []  # that the lesson stays is seen on the visit


def test_formulas_are_set_by_what_is_installed_here(page):
    open_workbook(page, "01_space_the_joints.ipynb")
    page.get_by_text("The same in symbols").click()
    expect(page.locator("mjx-container").first).to_be_visible(timeout=PATIENCE)
    assert "$$" not in workbook(page).inner_text()
    no_errors(page)


def test_a_page_leads_to_the_next_and_to_the_notebook(page):
    open_workbook(page, "00_start_here.ipynb")
    page.get_by_role("link", name="01 Space the joints").first.click()
    expect(page.locator(LESSON).first).to_be_visible(timeout=PATIENCE)
    page.get_by_role("link", name="Open as a notebook").click()
    expect(page.locator(".jp-NotebookPanel .jp-Cell").first).to_be_visible(timeout=PATIENCE)
    assert page.url.split("?")[0].endswith("/lab/tree/01_space_the_joints.ipynb")
    no_errors(page)


def test_a_page_that_is_left_stops_its_kernel(page, server):
    before = kernels(server)
    open_workbook(page, "00_start_here.ipynb")
    started = kernels(server) - before
    assert len(started) == 1
    page.goto("about:blank")
    for _ in range(100):
        if not kernels(server) & started:
            return
        page.wait_for_timeout(100)
    pytest.fail("The kernel of a page that was left still runs after 10 s.")


@pytest.fixture
def guest(served_folder):
    """Return the name of a notebook from elsewhere that writes a file when it runs; gone again after the test."""
    cell = nbformat.v4.new_code_cell("open('it_ran.txt', 'w').close()", metadata={"jupyter": {"source_hidden": True}})
    kernel = {"name": "python3", "display_name": "Python 3", "language": "python"}
    book = nbformat.v4.new_notebook(cells=[cell], metadata={"kernelspec": kernel, "workbook": {"autorun": True}})
    nbformat.write(book, served_folder / "guest.ipynb")
    yield "guest.ipynb"
    for name in ("guest.ipynb", "it_ran.txt"):
        (served_folder / name).unlink(missing_ok=True)


def test_a_notebook_from_elsewhere_is_no_page(page, server, served_folder, guest):
    page.goto(server.page(guest))
    expect(page.locator("body")).to_contain_text("This notebook is from elsewhere")
    page.wait_for_timeout(1_000)
    assert not (served_folder / "it_ran.txt").exists()


def test_a_notebook_from_elsewhere_does_not_run_in_jupyterlab(page, served_folder, guest):
    open_in_lab(page, guest)
    page.wait_for_timeout(3_000)  # longer than a cell takes once the kernel is idle
    assert not (served_folder / "it_ran.txt").exists()


def test_a_notebook_under_the_name_of_a_workbook_is_no_page(page, server, served_folder, guest):
    name = "01_space_the_joints.ipynb"
    kept = (served_folder / name).read_bytes()
    shutil.copy(served_folder / guest, served_folder / name)
    try:
        page.goto(server.page(name))
        expect(page.locator("body")).to_contain_text("no longer as it was shipped")
        page.wait_for_timeout(1_000)
        assert not (served_folder / "it_ran.txt").exists()
    finally:
        (served_folder / name).write_bytes(kept)


@each_book
def test_a_notebook_works_in_jupyterlab_after_run_all(page, server, name):
    open_in_lab(page, name)
    assert "Run All Cells" in workbook(page).locator(".jp-Cell").first.inner_text()
    before = kernels(server)
    run_all(page)
    lesson = page.locator(f"{LESSON} .widget-slider, {LESSON} .widget-dropdown").first
    expect(lesson).to_be_visible(timeout=PATIENCE)
    no_errors(page)
    for kernel in before:
        urlopen(Request(f"{server.origin}/api/kernels/{kernel}?token={server.token}", method="DELETE")).close()


def test_a_notebook_is_saved_without_the_state_of_its_controls(page, served_folder):
    file = served_folder / "00_start_here.ipynb"
    kept = file.read_bytes()
    open_in_lab(page, file.name)
    run_all(page)
    expect(page.locator(f"{LESSON} .widget-slider").first).to_be_visible(timeout=PATIENCE)
    page.keyboard.press("Control+s")
    expect(page.locator(".lm-TabBar-tab.lm-mod-current.jp-mod-dirty")).to_have_count(0)
    saved = nbformat.read(file, as_version=4)
    file.write_bytes(kept)
    assert "widgets" not in saved.metadata
    assert saved.cells[0].id == "as-notebook"


def test_the_token_stands_in_no_file_that_others_can_read(server, state_folder):
    assert server.token
    for path in [state_folder, *state_folder.rglob("*")]:
        open_to_others = path.stat().st_mode & 0o077 and path.parent.stat().st_mode & 0o077
        assert not (path.is_file() and open_to_others and server.token in path.read_text(errors="ignore")), path
        assert not (path.is_dir() and path.parent == state_folder and path.stat().st_mode & 0o077), path
    assert state_folder.stat().st_mode & 0o077 == 0


def test_sliders_answer_on_a_page(page):
    open_workbook(page, "01_space_the_joints.ipynb")
    before = page.locator(f"{LESSON} .mosaic-picture svg").first.inner_html()
    move_slider(page, "Span [mm]", ["ArrowRight"] * 3)
    page.wait_for_function(
        "before => document.querySelector('.mosaic-lesson .mosaic-picture svg').innerHTML !== before", arg=before
    )
    no_errors(page)


def test_what_lies_beside_the_workbooks_does_not_run(page, served_folder):
    """A module named like one that the workbooks import must not be taken for it."""
    for name in ("ipywidgets", "anywidget", "random"):
        (served_folder / f"{name}.py").write_text("open('it_ran.txt', 'w').close()\n", encoding="utf-8")
    try:
        open_workbook(page, "00_start_here.ipynb")
        expect(page.locator(LESSON)).to_be_visible(timeout=PATIENCE)
        assert not (served_folder / "it_ran.txt").exists()
    finally:
        for name in ("ipywidgets.py", "anywidget.py", "random.py", "it_ran.txt"):
            (served_folder / name).unlink(missing_ok=True)


@pytest.mark.parametrize(
    "place", ["my_plans/sheet.svg", "pictures/..%2fmy_plans%2fsheet.svg", "pictures%2f..%2fmy_plans/sheet.svg"]
)
def test_written_sheets_are_not_given_away(server, served_folder, place):
    sheet = served_folder / "my_plans" / "sheet.svg"
    sheet.parent.mkdir(exist_ok=True)
    sheet.write_text("<svg>secret</svg>", encoding="utf-8")
    try:
        with pytest.raises(HTTPError):
            urlopen(f"{server.origin}/voila/files/{place}").close()
    finally:
        sheet.unlink()


def test_another_page_cannot_start_a_workbook(page, server):
    """With the reader's cookie, but asked for from elsewhere, as the browser itself says in a header."""
    open_workbook(page, "00_start_here.ipynb")
    before = kernels(server)
    cookie = "; ".join(f"{one['name']}={one['value']}" for one in page.context.cookies())
    for site in ("cross-site", "same-site"):
        asked = Request(
            f"{server.origin}/voila/render/00_start_here.ipynb", headers={"Cookie": cookie, "Sec-Fetch-Site": site}
        )
        with pytest.raises(HTTPError) as refused:
            urlopen(asked)
        with refused.value as answer:
            assert answer.code == 403
    assert kernels(server) <= before


def test_settings_in_the_folder_one_stands_in_are_not_read(tmp_path, served_folder, guest):
    """A voila.json among one's downloads could otherwise let every notebook run and every file be fetched."""
    (tmp_path / "voila.json").write_text('{"VoilaConfiguration": {"file_allowlist": [".*"], "prelaunch_hook": null}}')
    (tmp_path / "voila.py").write_text("open('it_ran.txt', 'w').close()")
    command = ["-m", "mosaiclib", "--no-browser", "--workbooks", str(served_folder)]
    with started(command, served_folder, tmp_path / "state", here=tmp_path) as other:
        with pytest.raises(HTTPError) as refused:
            urlopen(other.page(guest))
        refused.value.close()
    assert not (served_folder / "it_ran.txt").exists() and not (tmp_path / "it_ran.txt").exists()
