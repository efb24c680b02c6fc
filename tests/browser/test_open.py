"""A workbook runs when it is opened, and only a workbook does."""

import json
from urllib.error import HTTPError
from urllib.request import urlopen

import nbformat
import pytest
from playwright.sync_api import expect

from driving import PATIENCE, move_slider, no_errors, notebook, open_notebook, save, slider

TINY = """\
# Two numbers side by side.
import ipywidgets as w
joint, seen = w.IntSlider(value=2, min=1, max=5, description="Joint, mm"), w.HTML()
show = lambda _=None: setattr(seen, "value", f"<b>The joint is {joint.value} mm.</b>")
show(); joint.observe(show, "value"); seen.add_class("seen")
display(w.VBox([joint, seen]))
"""


def write(folder, name, workbook):
    """Write a notebook of one collapsed cell, as a workbook is stored."""
    cell = nbformat.v4.new_code_cell(TINY, metadata={"jupyter": {"source_hidden": True}})
    kernel = {"name": "python3", "display_name": "Python 3", "language": "python"}
    metadata = {"kernelspec": kernel, **({"workbook": workbook} if workbook else {})}
    nbformat.write(nbformat.v4.new_notebook(cells=[cell], metadata=metadata), folder / name)


@pytest.fixture
def marked(served_folder):
    """Return the name of a marked notebook, gone again after the test."""
    write(served_folder, "tiny.ipynb", {"autorun": True})
    yield "tiny.ipynb"
    (served_folder / "tiny.ipynb").unlink()


def test_the_door_answers_only_with_its_token(server):
    assert "token=" in server.address
    with pytest.raises(HTTPError) as refused:
        urlopen(f"{server.origin}/api/contents")
    with refused.value as answer:
        assert answer.code == 403
    token = server.address.partition("token=")[2]
    with urlopen(f"{server.origin}/api/contents?token={token}") as answer:
        assert json.load(answer)["type"] == "directory"


def test_the_address_that_the_door_says_opens_the_start_page(page, server):
    page.goto(server.address)
    if "00_start_here" in server.address:
        expect(notebook(page).locator(".jp-Cell").first).to_be_visible(timeout=PATIENCE)
    else:
        expect(page.locator("#jp-main-dock-panel")).to_be_visible(timeout=PATIENCE)
    no_errors(page)


def test_a_marked_notebook_runs_when_opened_and_answers_to_keys(page, marked):
    open_notebook(page, marked)
    expect(page.locator(".seen")).to_have_text("The joint is 2 mm.")
    expect(notebook(page).locator(".jp-InputArea-editor")).to_be_hidden()
    move_slider(page, "Joint, mm", ["ArrowRight"])
    expect(page.locator(".seen")).to_have_text("The joint is 3 mm.")
    move_slider(page, "Joint, mm", "End")
    expect(page.locator(".seen")).to_have_text("The joint is 5 mm.")
    no_errors(page)


def test_a_saved_notebook_is_live_again_when_reopened(page, marked, served_folder):
    open_notebook(page, marked)
    move_slider(page, "Joint, mm", "Home")
    expect(page.locator(".seen")).to_have_text("The joint is 1 mm.")
    save(page)
    stored = nbformat.read(served_folder / marked, as_version=4)
    assert stored.cells[0].outputs, "nothing was saved, so nothing would be reopened"
    assert "widgets" not in stored.metadata

    open_notebook(page, marked)
    expect(slider(page, "Joint, mm")).to_be_visible()
    move_slider(page, "Joint, mm", "End")
    expect(page.locator(".seen")).to_have_text("The joint is 5 mm.")
    no_errors(page)


@pytest.mark.parametrize("workbook", [None, {"autorun": False}])
def test_an_unmarked_notebook_waits_for_its_reader(page, served_folder, workbook):
    write(served_folder, "unmarked.ipynb", workbook)
    open_notebook(page, "unmarked.ipynb", run=False)
    assert_does_not_run(page)


def test_a_marked_notebook_in_a_folder_inside_does_not_run(page, served_folder):
    inside = served_folder / "from_others"
    inside.mkdir()
    write(inside, "tiny.ipynb", {"autorun": True})
    open_notebook(page, "from_others/tiny.ipynb", run=False)
    assert_does_not_run(page)


def assert_does_not_run(page):
    """Wait longer than a marked one needs once its kernel is idle, then look."""
    page.wait_for_timeout(3_000)
    expect(notebook(page).locator(".jp-OutputArea-output")).to_have_count(0)
    expect(page.locator(".jp-NotebookPanel[data-workbook]")).to_have_count(0)
    no_errors(page)
