"""Room on the page: a large picture that stays in sight, a bar that leads everywhere, nothing cut, nothing that hops."""

import pytest
from playwright.sync_api import expect

from driving import PATIENCE, move_slider, no_errors, open_in_lab, open_workbook, run_all, workbook
from mosaiclib.lessons import PARTS
from tour import MEASURED, SIZES, at_rest, file_of, to_lesson, unfold

FIRST_SHARE = 0.6  # of the picture, on opening, before anything is scrolled
TWO_LINES = 2  # of a headline
EACH = pytest.mark.parametrize("number", PARTS)


@EACH
def test_the_picture_has_half_the_window_on_one_screen_with_headline_and_open_controls(toured, number):
    for words, part in toured(number).parts.items():
        for (width, height), found in part.measured.items():
            told = words, width, found
            assert found["wide"] >= width / 2, told
            assert found["bar"] <= found["top"] and found["bottom"] <= height + 1, told
            assert found["over"] <= 0, told
            assert found["lines"] <= TWO_LINES and found["spare"] >= -1, told
            if width > height:
                assert found["aside"] and found["steps"] <= height, told


@EACH
def test_a_picture_that_fills_the_window_keeps_room_for_two_lines_of_headline(toured, number):
    """So that it stays where it is when one line becomes two."""
    for words, part in toured(number).parts.items():
        for (width, height), found in part.filling.items():
            told = words, width, found
            assert found["lines"] <= TWO_LINES and found["spare"] >= -1, told
            assert found["bottom"] <= height + 1 and found["wide"] >= width / 2, told
            assert found["wide"] >= 0.95 * part.measured[width, height]["wide"], told


@pytest.mark.parametrize("number", [number for number in PARTS if PARTS[number].questions])
def test_purpose_and_lesson_are_on_the_first_screen_and_the_tasks_follow(toured, number):
    found = toured(number).opened
    assert found["lines"] <= TWO_LINES and found["steps"] <= 800 and found["shown"] >= FIRST_SHARE, found
    heads = found["heads"]
    assert heads[1] == "Try it" and heads.index("Tasks") < heads.index("The idea") < heads.index("Questions"), heads


@EACH
def test_labels_boxes_and_choices_are_not_cut(toured, number):
    for words, part in toured(number).parts.items():
        assert part.cut == {size: [] for size in part.cut}, words


HIDDEN = """async () => {
  const seen = (one) => document.querySelector(`.mosaic-lesson ${one}`).getBoundingClientRect();
  const all = [...document.querySelectorAll('.mosaic-controls :is(input, select, textarea, button)')].filter((one) => one.offsetParent);
  const out = [];
  for (const [block, controls] of [['nearest', all], ['nearest', all.toReversed()], ['end', [all.at(-1)]]]) {
    for (const one of controls) {
      one.scrollIntoView({ block, behavior: 'instant' });
      await new Promise(requestAnimationFrame);
      const [picture, line, box] = [seen('.mosaic-picture svg'), seen('.mosaic-summary p'), one.getBoundingClientRect()];
      const covered = picture.bottom > box.top + 1 && picture.top < box.bottom && picture.right > box.left + 1 && picture.left < box.right;
      if (covered || line.top < 0 || picture.bottom > innerHeight + 1 || box.bottom > innerHeight + 1 || box.top < line.top - 1)
        out.push([block, one.title || one.textContent, box.top, picture.top, picture.bottom]);
    }
  }
  return [all.length, out];
}"""


@pytest.mark.parametrize(("width", "height"), SIZES[:3])
def test_the_picture_stays_in_sight_and_covers_none_whichever_control_is_used(standing, width, height):
    """All folds open, which is longer than any window, as the keyboard goes through them down and up again."""
    page = standing("06")
    page.set_viewport_size({"width": width, "height": height})
    unfold(page)
    to_lesson(page)
    at_rest(page)
    count, hidden = page.evaluate(HIDDEN)
    assert count > 20 and hidden == []
    expect(page.locator(".mosaic-bar")).to_be_in_viewport(ratio=1)


def test_the_picture_stays_in_sight_in_jupyterlab_too(page):
    page.set_viewport_size({"width": 1280, "height": 800})
    open_in_lab(page, "01_space_the_joints.ipynb")
    run_all(page)
    expect(workbook(page).locator(".mosaic-picture svg").first).to_be_visible(timeout=PATIENCE)
    fold = workbook(page).get_by_role("button", name="Real tiles")
    fold.click()
    page.wait_for_timeout(1000)
    last = workbook(page).locator(".mosaic-controls .mosaic-fold").last
    last.evaluate("it => it.scrollIntoView({ block: 'nearest' })")
    page.wait_for_timeout(1000)
    expect(last).to_be_in_viewport()
    for shown in (".mosaic-picture svg", ".mosaic-summary p"):
        expect(workbook(page).locator(shown).first).to_be_in_viewport(ratio=0.98)
    no_errors(page)


def test_the_picture_fills_the_window_or_stands_alone_and_escape_goes_back(page):
    page.set_viewport_size({"width": 1280, "height": 800})
    open_workbook(page, "02_cut_wedges_on_curves.ipynb")
    lesson = workbook(page).locator(".mosaic-lesson")
    large, alone = (page.get_by_role("button", name=name) for name in ("Fill the window", "Picture alone"))
    before = page.evaluate(MEASURED)["wide"]  # not by the picture itself, which is another one after each answer
    large.click()
    expect(large).to_have_attribute("aria-pressed", "true")
    assert lesson.bounding_box() == {"x": 0, "y": 0, "width": 1280, "height": 800}
    summary = lesson.locator(".mosaic-summary").inner_text()
    move_slider(page, "Inside radius [mm]", ["ArrowRight"] * 3)
    expect(lesson.locator(".mosaic-summary")).not_to_have_text(summary)
    alone.click()
    expect(lesson.locator(".mosaic-controls")).to_be_hidden()
    found = page.evaluate(MEASURED)
    assert found["wide"] > before and found["bottom"] <= 801
    page.keyboard.press("Escape")
    expect(lesson.locator(".mosaic-controls")).to_be_visible()
    expect(alone).to_have_attribute("aria-pressed", "false")
    no_errors(page)


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_the_bar_leads_to_all_workbooks_parts_and_sections(page, width, height):
    page.set_viewport_size({"width": width, "height": height})
    open_workbook(page, file_of("04"))
    bar = page.locator(".mosaic-bar")
    for number in PARTS:
        expect(bar.get_by_role("link", name=f"{number} ")).to_be_in_viewport(ratio=1)
    expect(bar.locator("[aria-current=page]")).to_have_attribute("aria-label", "04 see why plain filler fails")
    bar.get_by_role("button", name="Mix it for a piece").click()
    expect(workbook(page).locator(".mosaic-lesson h3")).to_have_text("Mix it for a piece", timeout=PATIENCE)
    expect(bar.get_by_role("button", name="Mix it for a piece")).to_have_attribute("aria-current", "true")
    if bar.get_by_text("Sections").is_visible():
        bar.get_by_text("Sections").click()
    bar.get_by_role("link", name="Questions").locator("visible=true").click()
    expect(page.get_by_role("heading", name="Questions")).to_be_in_viewport()
    expect(bar).to_be_in_viewport(ratio=1)
    assert page.get_by_role("heading", name="Questions").bounding_box()["y"] >= bar.bounding_box()["height"] - 1


@EACH
def test_a_page_opens_at_its_top_and_ends_where_its_text_ends(toured, number):
    opened = toured(number).opened
    assert opened["scrolled"] == 0 and opened["rest"] < 60


def test_nothing_hops_when_a_sentence_comes_or_a_fold_closes_another(page):
    page.set_viewport_size({"width": 1280, "height": 800})
    open_workbook(page, "01_space_the_joints.ipynb")
    to_lesson(page)
    lesson = workbook(page).locator(".mosaic-lesson")
    places = """() => ['.mosaic-controls', '.mosaic-picture svg', '.mosaic-report', '.mosaic-fold']
        .map((name) => document.querySelector(name).getBoundingClientRect().top)"""
    before = page.evaluate(places)
    box = lesson.locator(".widget-text input").first
    box.fill("300 mm")
    box.press("Enter")
    expect(lesson.locator(".mosaic-message p")).to_be_visible()
    expect(lesson.locator(".mosaic-report.mosaic-stale")).to_be_visible()
    assert page.evaluate(places) == before
    lesson.get_by_role("button", name="Real tiles").click()
    fold = lesson.get_by_role("button", name="The view")
    page.wait_for_timeout(1000)
    fold.scroll_into_view_if_needed()
    top = fold.bounding_box()["y"]
    fold.click()
    expect(lesson.get_by_role("button", name="Real tiles")).to_have_attribute("aria-expanded", "false")
    page.wait_for_timeout(500)
    assert abs(fold.bounding_box()["y"] - top) < 3
