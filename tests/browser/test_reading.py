"""Reading: an accessibility check of every page, names and values for who hears it, and the keyboard."""

import pytest
from playwright.sync_api import expect

from driving import PATIENCE, move_slider, no_errors, open_workbook, slider, workbook
from mosaiclib.lessons import PARTS
from tour import file_of

SERIOUS = {"serious", "critical"}


@pytest.mark.parametrize("number", PARTS)
def test_axe_finds_nothing_serious(toured, number):
    for words, part in toured(number).parts.items():
        found = [each for each in part.violations if each["impact"] in SERIOUS]
        assert not found, (words, [(each["id"], [node["html"][:200] for node in each["nodes"][:3]]) for each in found])


def test_a_slider_tells_its_name_and_its_value_in_the_unit_of_the_page(page):
    open_workbook(page, "01_space_the_joints.ipynb")
    tile = slider(page, "Tile [mm]").get_by_role("slider")
    expect(tile).to_have_attribute("aria-label", "Tile")
    expect(tile).to_have_attribute("aria-valuetext", "20 mm")
    move_slider(page, "Tile [mm]", "ArrowRight")
    expect(tile).to_have_attribute("aria-valuetext", "20.5 mm")
    ends = slider(page, "Joint limits [mm]").get_by_role("slider")
    expect(ends.nth(0)).to_have_attribute("aria-valuetext", "1.5 mm")
    expect(ends.nth(1)).to_have_attribute("aria-valuetext", "2.5 mm")
    expect(ends.nth(1)).to_have_attribute("aria-label", "Joint limits, most")
    workbook(page).get_by_role("button", name="in", exact=True).click()
    expect(slider(page, "Tile [in]").get_by_role("slider")).to_have_attribute("aria-valuetext", "13/16 in")
    no_errors(page)


@pytest.mark.parametrize("number", PARTS)
def test_all_that_can_be_used_has_a_name_and_no_tooltip_is_empty(toured, number):
    for words, part in toured(number).parts.items():
        assert (part.nameless, part.empty) == ([], []), words


def test_what_is_pressed_and_open_is_told(page):
    open_workbook(page, "02_cut_wedges_on_curves.ipynb")
    fold = workbook(page).locator(".mosaic-fold").first
    expect(fold).to_have_attribute("aria-expanded", "false")
    fold.focus()
    page.keyboard.press("Enter")
    expect(fold).to_have_attribute("aria-expanded", "true")
    inches = workbook(page).get_by_role("button", name="in", exact=True)
    expect(inches).to_have_attribute("aria-pressed", "false")
    inches.click()
    expect(inches).to_have_attribute("aria-pressed", "true")
    expect(workbook(page).get_by_role("group", name="Lengths in")).to_be_visible()
    no_errors(page)


def test_the_keyboard_alone_finds_a_part_the_slider_and_the_large_picture(page):
    open_workbook(page, file_of("02"))
    for _ in range(20):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.textContent") == "A drawn line":
            break
    ring = page.evaluate(
        "getComputedStyle(document.activeElement).outlineStyle + getComputedStyle(document.activeElement).outlineWidth"
    )
    assert ring == "solid3px"
    page.keyboard.press("Enter")
    expect(workbook(page).locator(".mosaic-lesson h3")).to_have_text("Rows along a drawn line", timeout=PATIENCE)
    page.get_by_role("button", name="Fill the window").focus()
    page.keyboard.press("Enter")
    expect(workbook(page).locator(".mosaic-large")).to_be_visible()
    page.keyboard.press("Escape")
    expect(workbook(page).locator(".mosaic-large")).to_have_count(0)
    no_errors(page)


def test_who_wants_no_motion_gets_none(page):
    page.emulate_media(reduced_motion="reduce")
    open_workbook(page, file_of("00"))
    moving = """() => [...document.querySelectorAll('*')].map((one) => getComputedStyle(one))
        .filter((style) => style.transitionProperty !== 'none' && parseFloat(style.transitionDuration) > 0).length"""
    assert page.evaluate(moving) == 0
