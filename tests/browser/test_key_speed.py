"""From a key to the picture in a real browser: the planner with a band against the line lesson with the same layout."""

import statistics

import pytest
from playwright.sync_api import expect

from driving import PATIENCE, open_workbook, workbook
from mosaiclib.job import Plan
from mosaiclib.lessons import w02_rows
from mosaiclib.lessons.w06_plan import new_plan
from ratios import least
from test_drag_speed import WATCH

KEYS, REST = 15, 1800  # [ms] until the report is told and the work is kept
LIMIT = 1.5  # the planner arranges the colours of all pieces too; computing and drawing alone take 1.32 times as long


def ribbon():
    """Return the plan of a pane with the band that the line lesson begins with, and tiles for every piece."""
    s = w02_rows.Settings()
    record = new_plan("Ribbon").model_dump(mode="json")
    record["glass"][0] |= {"width": s.width, "height": s.height}
    rows = [{"fraction": s.fraction}] * s.count
    record["glass"][0]["bands"] = [{"face": "pane", "points": list(map(list, s.points)), "rows": rows}]
    record["tile"]["side"] = s.tile
    record["joint"] = {"wanted": s.joint, "least": s.limits[0], "greatest": s.limits[1]}
    return Plan.made(**record)


def key_times(page, lesson):
    """Move the middle handle up and down by keys and return how long each picture took [ms]."""
    handle = lesson.locator(".mosaic-handle").nth(2)
    expect(handle).to_be_visible(timeout=PATIENCE)
    handle.focus()
    frame = lesson.locator("svg[role=img]").first.locator("..").element_handle()
    page.evaluate(WATCH.replace("pointermove", "keydown"), frame)
    for step in range(KEYS):
        page.keyboard.press("ArrowDown" if step % 2 else "ArrowUp")
        page.wait_for_function(f"window.held.times.length > {step}", timeout=PATIENCE)
        page.wait_for_timeout(REST)
    return page.evaluate("window.held.times")[3:]


@pytest.mark.alone
def test_key_to_picture_in_the_planner_against_the_line_lesson(page, served_folder, record_property, capsys):
    plan = ribbon()
    folder = served_folder / "my_plans"
    folder.mkdir(exist_ok=True)
    plan.save(folder / "Ribbon.json")

    def measure():
        open_workbook(page, "02_cut_wedges_on_curves.ipynb")
        workbook(page).get_by_role("button", name="A drawn line").click()
        there = key_times(page, workbook(page).locator(".mosaic-lesson:visible"))
        open_workbook(page, "06_plan_a_piece.ipynb")
        parts, lesson = workbook(page).locator(".mosaic-parts"), workbook(page).locator(".mosaic-lesson:visible")
        parts.get_by_role("button", name="The piece", exact=True).click()
        lesson.get_by_role("button", name="Kept works").click()
        lesson.get_by_role("button", name="Ribbon, ").first.click()
        expect(lesson.locator(".mosaic-message")).to_contain_text("Ribbon is here as it was kept", timeout=PATIENCE)
        parts.get_by_role("button", name="The lines", exact=True).click()
        here = key_times(page, lesson)
        with capsys.disabled():
            print(f"\n  {statistics.median(here):.0f} ms against {statistics.median(there):.0f} ms", end="")
        return statistics.median(here) / statistics.median(there)

    ratio = least(measure, LIMIT)
    record_property("key to picture, planner over line lesson", ratio)
    with capsys.disabled():
        print(f"\n  key to picture, planner over line lesson: {ratio:.2f} (at most {LIMIT})")
    assert ratio <= LIMIT
