"""The planner as a maker uses it: a work of one's own from an empty start, kept by itself, found again, printed."""

import json
import re

import pytest
from playwright.sync_api import expect

from driving import PATIENCE, no_errors, open_workbook, workbook

PLANNER = "06_plan_a_piece.ipynb"


class Maker:
    """Somebody at the planner: turns to a part, types, chooses, presses; counts what was touched."""

    def __init__(self, page):
        self.page, self.touched = page, 0
        open_workbook(page, PLANNER)

    @property
    def lesson(self):
        return workbook(self.page).locator(".mosaic-lesson:visible")

    def turn(self, part):
        workbook(self.page).locator(".mosaic-parts").get_by_role("button", name=part, exact=True).click()
        expect(self.lesson.locator("h3")).to_have_text(part, timeout=PATIENCE)

    def button(self, words):
        """Return the button of these words; its name may begin with the sign of its icon."""
        return self.lesson.get_by_role("button", name=re.compile(rf"(^|\W){re.escape(words)}$"))

    def open(self, fold):
        self.button(fold).click()

    def type(self, label, words):
        self.touched += 1
        named = self.page.locator(f".widget-label:visible:text-matches('^{label}')").first
        line = named.locator(
            "xpath=ancestor::*[.//input[@type='text'] or .//textarea][1]"
        )  # a slider has its box beside it
        box = line.locator("input[type=text]:visible, textarea:visible").first
        box.fill(words)
        box.press("Enter" if box.evaluate("it => it.tagName") == "INPUT" else "Tab")

    def cell(self, head, line, words):
        self.touched += 1
        box = self.lesson.locator(f"[title='{head}, line {line}'] input, input[title='{head}, line {line}']").first
        box.fill(words)
        box.press("Enter")

    def choose(self, label, word):
        self.touched += 1
        row = self.lesson.locator(".widget-dropdown:visible", has=self.page.get_by_text(label, exact=True)).first
        row.locator("select").select_option(word)

    def press(self, name):
        self.touched += 1
        self.button(name).click()

    def says(self, words):
        expect(self.lesson.locator(".mosaic-message")).to_contain_text(words, timeout=PATIENCE)

    def headline(self, words):
        expect(self.lesson.locator(".mosaic-summary")).to_contain_text(words, timeout=PATIENCE)


@pytest.fixture
def maker(page):
    return Maker(page)


def begin(maker, name):
    maker.turn("The piece")
    maker.type("Name", name)
    maker.press("Begin a new work")
    maker.says(f"{name} is new")


def sun_ring(maker):
    """A pane of 180 x 240 mm with a ring of three rows, tiles of 15 mm, four colours."""
    begin(maker, "Sun ring")
    maker.type("Width", "180")
    maker.type("Height", "240")
    maker.turn("The tiles")
    maker.type("Tile", "15")
    maker.turn("The lines")
    maker.press("Add a band")
    maker.choose("It is", "ring")
    maker.headline("in rows")
    maker.turn("The colours")
    for line, name in enumerate(("amber", "red", "milk white", "clear"), 1):
        maker.cell("colour", line, name)
        maker.cell("in hand", line, "90")


def test_a_suncatcher_from_an_empty_start_is_kept_by_itself_and_found_again(page, maker, served_folder):
    sun_ring(maker)
    maker.headline("no two alike touch")
    file = served_folder / "my_plans" / "Sun-ring.json"
    page.wait_for_timeout(2500)
    told = maker.lesson.locator(".mosaic-summary").inner_text()
    kept = json.loads(file.read_text(encoding="utf-8"))
    assert (kept["name"], kept["tile"]["side"], kept["glass"][0]["bands"][0]["line"]["name"]) == (
        "Sun ring",
        15.0,
        "ring",
    )
    assert "example" not in file.read_text(encoding="utf-8") and kept["note"] == ""
    assert maker.touched - 2 * 4 <= 8  # beyond a line of two boxes for each colour
    page.reload()
    expect(maker.lesson.locator(".mosaic-summary")).to_have_text(told, timeout=PATIENCE)
    maker.turn("The piece")
    maker.press("The example")
    maker.headline("window panel")
    maker.open("Kept works")
    maker.lesson.get_by_role("button", name=re.compile("^Sun ring, ")).click()
    maker.says("Sun ring is here as it was kept")
    maker.press("Undo")
    maker.headline("window panel")
    no_errors(page)


def test_a_name_that_is_taken_is_not_begun_anew(page, maker):
    begin(maker, "Tray")
    maker.type("Width", "254")
    page.wait_for_timeout(2500)
    maker.type("Name", "Tray")
    maker.press("Begin a new work")
    maker.says("A work called Tray is kept already")
    maker.headline("254")
    no_errors(page)


def test_a_band_is_dragged_and_what_its_colours_refuse_is_still_drawn(page, maker):
    maker.turn("The lines")
    maker.press("Add a band")
    maker.says("Band 2 is new")
    handle = maker.lesson.locator(".mosaic-handle").first
    expect(handle).to_be_visible(timeout=PATIENCE)
    before = maker.lesson.locator(".mosaic-summary").inner_text()
    handle.focus()
    page.keyboard.press("Shift+ArrowUp")
    expect(maker.lesson.locator(".mosaic-summary")).not_to_have_text(before, timeout=PATIENCE)
    maker.open("Its rows")
    maker.cell("colours", 1, "blue")  # alone it would touch itself
    maker.says("give it a second colour")
    expect(maker.lesson.locator(".mosaic-picture")).not_to_have_class(re.compile("mosaic-stale"))
    no_errors(page)


def test_pieces_of_glass_are_added_copied_and_taken_out(page, maker):
    begin(maker, "Three")
    maker.press("Copy this piece")
    maker.says("Three 2 is a piece of its own now")
    maker.choose("It is", "a four-sided vessel")
    maker.headline("Three 2: 560 x 140 mm")
    expect(maker.button("The vessel's corners")).to_be_visible()
    maker.choose("Piece of glass", "Three")
    maker.headline("Three: 200 x 150 mm")
    expect(maker.button("The vessel's corners")).to_be_hidden()
    maker.press("Take this piece out")
    maker.headline("Three 2: 560 x 140 mm")
    no_errors(page)


def test_sheets_and_lists_are_written(page, maker, served_folder):
    begin(maker, "Small")
    maker.turn("Print")
    maker.press("Write sheets and lists")
    maker.says("files are in my_plans/Small")
    assert (served_folder / "my_plans" / "Small" / "cut_list.csv").is_file()
    no_errors(page)


NOTE_WORDS = """lesson => {
  window.said = [];
  const note = () => { const p = lesson.querySelector('.mosaic-message p'); if (p) window.said.push(p.textContent); };
  new MutationObserver(note).observe(lesson, { childList: true, subtree: true, characterData: true });
}"""


def test_each_sheet_is_counted_while_it_is_written(page, maker):
    begin(maker, "Counted")
    maker.turn("Print")
    page.evaluate(NOTE_WORDS, maker.lesson.element_handle())
    maker.press("Write sheets and lists")
    maker.says("files are in my_plans/Counted")
    found = [re.fullmatch(r"Counted\.pdf: sheet (\d+) of (\d+)", words) for words in page.evaluate("window.said")]
    counted = list(dict.fromkeys((int(one[1]), int(one[2])) for one in found if one))
    most = counted[-1][1]
    assert most >= 2 and counted == [(number, most) for number in range(1, most + 1)]
    no_errors(page)


def test_the_colour_table_shows_all_its_columns(page, maker):
    maker.turn("The colours")
    heads = maker.lesson.locator(".widget-gridbox").last
    expect(heads).to_be_visible(timeout=PATIENCE)
    assert heads.evaluate("table => table.scrollWidth <= table.clientWidth + 1")
    no_errors(page)


def test_a_vase_is_told_what_is_the_matter_on_every_part_until_it_is_mended(page, maker):
    begin(maker, "Vase")
    maker.choose("It is", "a four-sided vessel")
    maker.type("Width outside", "90")
    maker.type("Depth outside", "90")
    maker.type("Height", "260")
    maker.headline("Vase: 360 x 260 mm")
    maker.turn("The tiles")
    maker.type("Wanted joint", "9")
    maker.says("not within the joint limits")
    maker.turn("The filler")
    maker.says("not within the joint limits")
    maker.turn("The tiles")
    maker.type("Wanted joint", "2")
    maker.headline("Joints of 2 mm")
    no_errors(page)
