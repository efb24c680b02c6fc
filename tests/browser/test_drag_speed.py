"""From the hand to the picture in a real browser: rows and field against bare polygons through the same widget."""

import shutil
import statistics

import nbformat
import pytest
from playwright.sync_api import expect

from driving import PATIENCE, open_workbook, started, watch, workbook
from mosaiclib.launch import WORKBOOKS
from ratios import least

# on a page, which adds little of its own, bare polygons take some 20 ms and rows with their field some 43
LIMIT = 3.0  # 1.7 to 2.3 measured; 1.5 is wanted
BARE = """\
# Bare polygons, as many as the lesson has pieces, through the same picture with handles.
import sys
sys.path.insert(0, ".")
from bare_polygons import bare
bare()
"""
OPEN = """\
import json, sys
from pathlib import Path
from mosaiclib import launch, pages

folder = Path(sys.argv[1])
bare = json.loads((folder / "bare.ipynb").read_text())
launch.open_workbooks(folder, browser=False, shipped={**pages.SHIPPED, "bare.ipynb": pages.fingerprint(bare)})
"""
MODULE = """\
import numpy as np
import shapely

from mosaiclib.drawing import layout_picture, to_svg
from mosaiclib.lesson.handles import Handles
from mosaiclib.lessons import w02_rows as line


def bare():
    start = line.compute(line.Settings())
    corners = np.array([shapely.get_coordinates(shape)[:4] for shape in start.layout.shapes])
    made = Handles().add_class("bare")

    def show(_=None):
        moved = corners + np.array(made.points[2] if made.points else [0.0, 0.0]) / 1000
        shapes = shapely.polygons(moved)
        picture = layout_picture(line.replace(start.layout, shapes=shapes), marks=False, title="Bare polygons")
        made.height = picture.height
        made.left, made.low = picture.origin
        made.picture = to_svg(picture)

    made.points = [[float(x), float(y)] for x, y in start.settings.points]
    made.observe(show, ["points"])
    show()
    return made
"""
WATCH = """frame => {
  const held = { times: [], since: null };
  window.held = held;
  document.addEventListener('pointermove', () => { if (held.since === null) held.since = performance.now(); }, true);
  new MutationObserver(() => {
    if (held.since !== null) { held.times.push(performance.now() - held.since); held.since = null; }
  }).observe(frame, { childList: true, subtree: true });
}"""


@pytest.fixture
def bare_server(tmp_path):
    """Open a folder with the lesson and a notebook of bare polygons, which counts as shipped here."""
    folder = tmp_path / "workbooks"
    shutil.copytree(WORKBOOKS, folder)
    (folder / "bare_polygons.py").write_text(MODULE, encoding="utf-8")
    kernel = {"name": "python3", "display_name": "Python 3", "language": "python"}
    book = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(BARE)], metadata={"kernelspec": kernel})
    nbformat.write(book, folder / "bare.ipynb")
    with started(["-c", OPEN, str(folder)], folder, tmp_path) as server:
        yield server


def drag_times(page, where):
    """Drag the middle handle step by step and return how long each picture took [ms]."""
    handle = where.locator(".mosaic-handle").nth(2)
    expect(handle).to_be_visible(timeout=PATIENCE)
    handle.scroll_into_view_if_needed()
    page.evaluate(WATCH, where.locator("svg[role=img]").first.locator("..").element_handle())
    box = handle.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    for step in range(1, 31):
        page.mouse.move(x + step / 2, y + 1.5 * step)
        page.wait_for_timeout(150)
    page.mouse.up()
    return page.evaluate("window.held.times")[3:]


@pytest.mark.alone
def test_drag_to_picture_against_bare_polygons(chromium, bare_server, record_property, capsys):
    page = chromium.new_page(viewport={"width": 1400, "height": 1000})
    watch(page, bare_server)

    def measure():
        open_workbook(page, "bare.ipynb")
        bare = drag_times(page, workbook(page))
        open_workbook(page, "02_cut_wedges_on_curves.ipynb")
        workbook(page).get_by_role("button", name="A drawn line").click()
        ours = drag_times(page, workbook(page).locator(".mosaic-lesson"))
        assert min(len(bare), len(ours)) >= 15
        return statistics.median(ours) / statistics.median(bare)

    ratio = least(measure, LIMIT)
    record_property("drag to picture over bare polygons", ratio)
    with capsys.disabled():
        print(f"\n  drag to picture over bare polygons: {ratio:.2f} (at most {LIMIT})")
    assert ratio <= LIMIT
