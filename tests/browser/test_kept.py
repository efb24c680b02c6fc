"""What a learner set is there again: after a reload, a restart, a closed browser, beside a second page."""

import psutil
import pytest
from playwright.sync_api import expect

from driving import _WATCHED as WATCHED
from driving import PATIENCE, no_errors, open_workbook, started, watch, workbook

JOINTS, ROWS = "01_space_the_joints.ipynb", "02_cut_wedges_on_curves.ipynb"


def box(page, label):
    """Return the box of a slider by its tooltip, which is the label."""
    return workbook(page).locator(f'input[type=text][title^="{label}"], .widget-text[title^="{label}"] input').first


def typed(page, label, words):
    box(page, label).fill(words)
    box(page, label).press("Enter")


def press(page, name):
    workbook(page).get_by_role("button", name=name).first.click()


def message(page):
    return workbook(page).locator(".mosaic-message").first


def test_what_was_set_is_there_after_a_reload_and_can_be_undone(page):
    open_workbook(page, JOINTS)
    was, told = box(page, "Span").input_value(), workbook(page).locator(".mosaic-report").first.inner_text()
    typed(page, "Span", "333")
    expect(workbook(page).locator(".mosaic-report").first).not_to_have_text(told)
    page.reload()  # within the second after which it is kept
    expect(box(page, "Span")).to_have_value("333 mm", timeout=PATIENCE)
    expect(message(page)).to_contain_text("is here again")
    press(page, "Start afresh")
    expect(box(page, "Span")).to_have_value(was)
    page.wait_for_timeout(1500)
    press(page, "Undo")
    expect(box(page, "Span")).to_have_value("333 mm")
    workbook(page).locator("h3").first.click()
    page.keyboard.press("Control+y")
    expect(box(page, "Span")).to_have_value(was)
    page.keyboard.press("Control+z")
    expect(box(page, "Span")).to_have_value("333 mm")
    no_errors(page)


@pytest.fixture
def kernel(served_folder):
    """Return a function that finds the kernel of the page that was opened last."""

    def found():
        ours = [
            each
            for each in psutil.Process().children(recursive=True)
            if "ipykernel_launcher" in " ".join(each.cmdline())
        ]
        return max(ours, key=lambda each: each.create_time())

    return found


def test_a_killed_kernel_is_told_and_nothing_is_lost(page, kernel):
    open_workbook(page, ROWS)
    workbook(page).get_by_role("button", name="A drawn line").click()
    expect(workbook(page).locator(".mosaic-handle").first).to_be_visible(timeout=PATIENCE)
    cut = workbook(page).locator(".widget-dropdown", has_text="Tiles cut to").locator("select")
    cut.select_option("half")
    page.wait_for_timeout(2000)
    kernel().kill()
    lost = page.locator("#lost")
    expect(lost).to_contain_text("What you set is kept", timeout=PATIENCE)
    lost.get_by_role("button", name="Open again").click()
    expect(cut).to_have_value("half", timeout=PATIENCE)
    expect(page.locator("#lost")).to_have_count(0)


def test_a_second_page_of_the_same_workbook_is_told(page):
    open_workbook(page, JOINTS)
    page.wait_for_timeout(5000)
    expect(message(page)).not_to_contain_text("another page")
    second = page.context.new_page()
    watch(second, WATCHED[page].server)
    open_workbook(second, JOINTS)
    expect(message(second)).to_contain_text("open on another page too", timeout=PATIENCE)
    second.close()


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
