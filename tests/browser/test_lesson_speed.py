"""From the key to the picture in a real browser: each lesson against its computing and drawing behind a bare slider."""

import re
import shutil
from contextlib import suppress
from dataclasses import replace
from functools import cache
from itertools import pairwise

import nbformat
import pytest
from playwright.sync_api import expect

from driving import PATIENCE, started, watch, workbook
from mosaiclib.drawing import to_svg
from mosaiclib.errors import MosaicError
from mosaiclib.launch import WORKBOOKS
from mosaiclib.lesson.controls import Range, Slider
from mosaiclib.lessons import PARTS, lessons
from ratios import least
from test_drag_speed import OPEN
from tour import file_of

LIMIT = 1.3
KEYS = 6
BARE = """\
# What each lesson computes and draws, behind one slider, in one picture, with one line of words.
import sys
sys.path.insert(0, ".")
from bare_lessons import bare
bare({moved!r})
"""
MODULE = """\
from dataclasses import replace

import ipywidgets as w

from mosaiclib.drawing import to_svg
from mosaiclib.lessons import lessons


def bare(moved):
    # One below the other, as one sees only the part that is open of a workbook: here one scrolls.
    return w.VBox([part(lessons(number)[words], name) for number, words, name in moved])


def part(module, name):
    (control,) = (one for one in module.CONTROLS if one.name == name)
    settings = getattr(module, "start", module.Settings)()
    ends = {"min": control.to_steps(control.low), "max": control.to_steps(control.high)}
    start, live = control.to_steps(getattr(settings, name)), getattr(module, "LIVE", True)
    slider = w.IntSlider(**ends, value=start, description=control.label, continuous_update=live, readout=False)
    picture, words = w.HTML().add_class("bare"), w.HTML()

    def show(change):
        now = replace(settings, **{name: control.from_steps(change["new"])})
        picture.value = to_svg(module.draw(module.compute(getattr(module, "follow", lambda _, new: new)(settings, now))))
        words.value = f"{control.label}: {change['new']}"

    slider.observe(show, "value")
    show({"new": start})
    return w.VBox([slider, picture, words])
"""
WATCH = """frame => {
  const held = { times: [], since: null };
  window.held = held;
  document.addEventListener('keydown', () => { held.since = performance.now(); }, true);
  new MutationObserver(() => {
    if (held.since !== null) { held.times.push(performance.now() - held.since); held.since = null; }
  }).observe(frame, { childList: true, subtree: true });
}"""


@cache
def moved(number):
    """Return each part of a workbook with a slider whose every step changes its picture; an open one where there is one.

    Left out are the parts without one: those that show the same piece whatever is set there, or what can only be ticked.
    """
    found = []
    for words, module in lessons(number).items():
        start = getattr(module, "start", module.Settings)()
        fit = [c for c in module.CONTROLS if isinstance(c, Slider) and not isinstance(c, Range)]
        fit = [c for c in fit if c.to_steps(c.high) - c.to_steps(getattr(start, c.name)) >= KEYS]
        shown = sorted((c for c in fit if c.when is None or c.when(start)), key=lambda control: control.fold != "")
        first = next((control for control in shown if changes(module, start, control)), None)
        found += [(number, words, first)] if first else []
    return found


def changes(module, start, control):
    """Tell whether each step of a slider, as many as are taken, makes another picture."""
    follow, first = getattr(module, "follow", lambda _, after: after), control.to_steps(getattr(start, control.name))
    steps = (replace(start, **{control.name: control.from_steps(first + step)}) for step in range(1, KEYS + 1))
    pictures = (to_svg(module.draw(module.compute(s))) for s in (start, *(follow(start, s) for s in steps)))
    with suppress(MosaicError):  # a step that is refused
        return all(one != other for one, other in pairwise(pictures))
    return False


@pytest.fixture(params=PARTS)
def bare(request, tmp_path):
    """Open a folder with the workbooks and a notebook of one workbook's bare lessons; give its number and the server."""
    number, folder = request.param, tmp_path / "workbooks"
    shutil.copytree(WORKBOOKS, folder)
    (folder / "bare_lessons.py").write_text(MODULE, encoding="utf-8")
    kernel = {"name": "python3", "display_name": "Python 3", "language": "python"}
    code = nbformat.v4.new_code_cell(BARE.format(moved=[(*part, control.name) for *part, control in moved(number)]))
    nbformat.write(nbformat.v4.new_notebook(cells=[code], metadata={"kernelspec": kernel}), folder / "bare.ipynb")
    with started(["-c", OPEN, str(folder)], folder, tmp_path) as server:
        yield number, server


def quickest(page, handle, picture, key):
    """Press a key on a slider some times and return the shortest time until another picture stood there [ms]."""
    page.bring_to_front()
    handle.scroll_into_view_if_needed()
    handle.focus()
    page.evaluate(WATCH, picture.element_handle())
    for turn in range(KEYS):
        page.keyboard.press(key)
        page.wait_for_function("n => window.held.times.length > n", arg=turn, timeout=PATIENCE)
        page.wait_for_timeout(500)  # what follows the picture must not stand in the way of the next
    return min(page.evaluate("window.held.times"))


def bare_part(page, at):
    """Return the handle and the picture of one of the bare lessons."""
    frame = workbook(page).locator(".bare").nth(at)
    expect(frame).to_be_visible(timeout=PATIENCE)
    return workbook(page).locator(".noUi-handle").nth(at), frame


def part_of(page, number, words, control):
    """Open a part of a workbook; return the handle of its slider and its picture."""
    lesson = workbook(page).locator(".mosaic-lesson")
    if len(PARTS[number].parts) > 1:
        page.locator("#sections").get_by_role("button", name=words, exact=True).click(timeout=PATIENCE)
    expect(lesson.locator("h3")).to_have_text(lessons(number)[words].TITLE, timeout=PATIENCE)
    if control.fold:
        lesson.locator(".mosaic-fold", has_text=re.compile(rf"^\s*{re.escape(control.fold)}\s*$")).click()
    named = re.compile(rf"^\s*{re.escape(control.label)}( \[.*\])?\s*$")
    mine = lesson.locator(".widget-slider", has=page.locator(".widget-label", has_text=named))
    return mine.locator(".noUi-handle"), lesson.locator(".mosaic-picture")


@pytest.mark.slow  # minutes; ratios near their limit need a quiet computer
def test_a_lessons_picture_against_its_computing_and_drawing_in_one_bare_widget(
    chromium, bare, record_property, capsys
):
    number, server = bare
    plain, ours = (chromium.new_page(viewport={"width": 1280, "height": 800}) for _ in range(2))
    for page, name in ((plain, "bare.ipynb"), (ours, file_of(number))):
        watch(page, server)
        page.goto(server.page(name))
    over, found = {}, moved(number)
    with capsys.disabled():
        left_out = ", ".join(lessons(number).keys() - {words for _, words, _ in found})
        print(f"\n  {number}: no slider changes the picture of {left_out}" if left_out else "", end="")
    for at, (_, words, control) in enumerate(found):
        mine, floor, told = part_of(ours, number, words, control), bare_part(plain, at), []

        def measure(mine=mine, floor=floor, told=told):
            key = ("ArrowRight", "ArrowLeft")[len(told) % 2]
            told.append((quickest(ours, *mine, key), quickest(plain, *floor, key)))
            return told[-1][0] / told[-1][1]

        over[words] = least(measure, LIMIT)
        record_property(f"picture of {words} over its floor", over[words])
        with capsys.disabled():
            times = ", ".join(f"{lesson:.0f} ms over {least_possible:.0f} ms" for lesson, least_possible in told)
            print(f"\n  {number} {words}, {control.called}: {over[words]:.2f} (at most {LIMIT}); {times}", end="")
    assert max(over.values()) <= LIMIT, over
