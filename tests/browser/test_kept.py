"""What a learner set is there again: after a reload, a restart, a closed browser, beside a second page."""

import re

import pytest
from playwright.sync_api import expect

from driving import _WATCHED as WATCHED
from driving import PATIENCE, SET, box, expect_set, no_errors, open_workbook, started, typed, watch, workbook
from mosaiclib.lessons import PARTS
from tour import file_of

JOINTS = "01_space_the_joints.ipynb"


def message(page):
    return workbook(page).locator(".mosaic-message").first


IN_HAND = "document.activeElement.matches('.mosaic-controls :is(.noUi-handle, select)')"


def changed_by_keys(page):
    """Change the first slider or list of the lesson by keys alone; return what was set before and what is set now."""
    before = page.evaluate(SET)
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate(IN_HAND):
            break
    listed = page.evaluate("document.activeElement.selectedIndex ?? -1")  # -1: a slider
    page.keyboard.press("ArrowRight" if listed < 0 else "ArrowUp" if listed else "ArrowDown")
    page.wait_for_function(f"before => ({SET})() !== before", arg=before)
    expect(page.locator(".mosaic-undo").first).to_be_enabled(timeout=PATIENCE)  # all that follows it is there
    return before, page.evaluate(SET)


@pytest.mark.parametrize("number", PARTS)
def test_what_was_set_by_keys_survives_undo_reload_restart_and_another_browser(page, chromium, kernel, number):
    """One visit for all of them, since opening takes longest."""
    open_workbook(page, file_of(number))
    expect(workbook(page).locator(".mosaic-summary p").first).to_be_visible(timeout=PATIENCE)
    page.wait_for_timeout(1200)  # opened is a state at rest of its own
    before, after = changed_by_keys(page)
    page.keyboard.press("Control+z")
    expect_set(page, before)
    expect(page.locator(".mosaic-redo").first).to_be_enabled()
    page.keyboard.press("Control+y")
    expect_set(page, after)
    page.reload()  # within the second after which it is kept
    expect_set(page, after)
    expect(message(page)).to_contain_text("is here again")
    no_errors(page)
    kernel().kill()
    expect(page.locator("#lost")).to_contain_text("What you set is kept", timeout=PATIENCE)
    page.locator("#lost").get_by_role("button", name="Open again").click()
    expect_set(page, after)
    expect(page.locator("#lost")).to_have_count(0)
    other = chromium.new_context()
    second = other.new_page()
    watch(second, WATCHED[page].server)
    open_workbook(second, file_of(number))
    expect_set(second, after)
    expect(message(second)).to_contain_text("open on another page too", timeout=PATIENCE)
    no_errors(second)
    other.close()


def test_the_start_page_tells_what_was_done(page):
    open_workbook(page, file_of("00"))
    expect(workbook(page)).to_contain_text("Nothing yet.")
    open_workbook(page, JOINTS)
    workbook(page).get_by_label("task 2", exact=True).check()
    typed(page, "Span", "333")
    asked = workbook(page).locator(".mosaic-questions")
    asked.get_by_placeholder("your answer").fill(str(int(re.search(r"has (\d+)", asked.inner_text())[1]) - 1))
    asked.locator("select").select_option("joints")
    asked.get_by_role("button", name="Check").click()
    expect(asked.locator(".mosaic-verdict")).to_contain_text("Right.")
    open_workbook(page, file_of("00"))
    told = workbook(page).locator("li", has_text="tried Space the joints")
    expect(told).to_contain_text("1 of 6 tasks done; 1 of 7 questions right", timeout=PATIENCE)
    no_errors(page)


def test_a_browser_closed_and_the_door_shut_lose_nothing(chromium, tmp_path, served_folder):
    door = (["-m", "mosaiclib", "--no-browser", "--workbooks", str(served_folder)], served_folder, tmp_path / "state")
    for last in (False, True):
        with started(*door) as server:
            context = chromium.new_context()
            page = context.new_page()
            watch(page, server)
            open_workbook(page, JOINTS)
            if last:
                expect(box(page, "Span")).to_have_value("321 mm", timeout=PATIENCE)
            else:
                typed(page, "Span", "321")
                page.wait_for_timeout(2000)
            context.close()


def test_enter_checks_the_first_wrong_answer_gets_a_hint_and_the_place_is_kept(page):
    open_workbook(page, JOINTS)
    asked = workbook(page).locator(".mosaic-questions")
    asked.get_by_role("button", name="Next question").click()
    expect(asked.locator(".mosaic-ask")).to_contain_text("2 of")
    answer = asked.get_by_placeholder("your answer")
    if answer.count() == 0:
        asked.get_by_role("button", name="Next question").click()
    answer.fill("99999")
    if asked.locator("select").count():
        asked.locator("select").select_option(index=1)
    answer.press("Enter")
    verdict = asked.locator(".mosaic-verdict")
    expect(verdict).to_contain_text("First take all tiles")
    answer.press("Enter")
    expect(verdict).not_to_contain_text("First take all tiles")
    at = asked.locator(".mosaic-ask").inner_text()
    page.reload()
    expect(workbook(page).locator(".mosaic-ask")).to_have_text(at, timeout=PATIENCE)
    no_errors(page)
