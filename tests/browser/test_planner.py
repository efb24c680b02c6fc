"""The planner as a maker uses it: a work of one's own from an empty start, kept by itself, found again, printed."""

import json
import re

import pytest
from playwright.sync_api import expect
from pypdf import PdfReader

from driving import _WATCHED as WATCHED
from driving import PATIENCE, no_errors, open_workbook, watch, workbook
from mosaiclib.job import Plan, work_out
from mosaiclib.job.days import days_of, end_words
from mosaiclib.job.plan import SHEETS
from mosaiclib.reference import DATA
from tour import at_rest

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

    def box(self, label):
        """Return the box with this label."""
        named = self.page.locator(f".widget-label:visible:text-matches('^{label}')").first
        line = named.locator(
            "xpath=ancestor::*[.//input[@type='text'] or .//textarea][1]"
        )  # a slider has its box beside it
        return line.locator("input[type=text]:visible, textarea:visible").first

    def type(self, label, words):
        self.touched += 1
        box = self.box(label)
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

    def give(self, name, file):
        """Press a button that lets a file be chosen, and choose this one."""
        self.touched += 1
        with self.page.expect_file_chooser() as chooser:
            self.button(name).click()
        chooser.value.set_files(file)

    def drag(self, handle, across, up):
        """Drag a handle of the picture by so many millimetres of it, with the mouse."""
        self.touched += 1
        grip, svg = self.lesson.locator(".mosaic-handle").nth(handle), self.lesson.locator("svg[role=img]").first
        expect(grip).to_be_visible(timeout=PATIENCE)
        expect(self.page.locator("#working")).to_have_text("", timeout=PATIENCE)  # all of an earlier drag has arrived
        at_rest(self.page)  # a picture that grows under the hand would be dragged by other millimetres
        svg.evaluate("it => it.scrollIntoView({ block: 'center' })")
        step = svg.evaluate("it => it.getBoundingClientRect().width / it.viewBox.baseVal.width")
        box = grip.bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        self.page.mouse.move(x, y)
        self.page.mouse.down()
        before = svg.inner_html()
        for k in range(1, 7):  # as slowly as a hand, so that the picture follows on the way
            self.page.mouse.move(x + step * across * k / 6, y - step * up * k / 6)
            self.page.wait_for_timeout(120)
        self.page.mouse.up()
        self.page.wait_for_function(
            "before => document.querySelector('.mosaic-lesson svg[role=img]').innerHTML !== before",
            arg=before,
            timeout=PATIENCE,
        )
        expect(self.lesson.locator(".mosaic-summary")).not_to_contain_text("when you let go", timeout=PATIENCE)

    def tap(self, piece):
        """Tap on a piece of the picture by its number."""
        self.touched += 1
        self.lesson.locator("svg[role=img] path.piece").nth(piece - 1).click()

    def rest(self):
        """Wait until what was set is kept."""
        self.page.wait_for_timeout(2500)

    def kept(self, file, wanted):
        """Return the plan of a file once it has what is wanted, which on a busy computer takes longer than a rest."""
        for _ in range(40):
            plan = Plan.load(file)
            if wanted(plan):
                break
            self.page.wait_for_timeout(500)
        return plan

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


def told_of(touched, record_testsuite_property, what):
    """Keep how many fields, buttons and handles a piece took, for the report of the run."""
    record_testsuite_property(f"touched for {what}", touched)
    print(f"{what}: {touched} fields, buttons and handles touched")


def test_a_tray_in_inches_from_an_empty_start(page, maker, served_folder, record_testsuite_property):
    """10 x 14 in, tiles of 3/4 in with joints of 1/16 in, three colours."""
    maker.touched += 1
    maker.lesson.get_by_role("button", name="in", exact=True).click()
    begin(maker, "Serving tray")
    maker.type("Width", "10")
    maker.type("Height", "14")
    maker.turn("The tiles")
    maker.type("Tile", "3/4")
    maker.type("Wanted joint", "1/16")
    maker.turn("The colours")
    for line, name in enumerate(("navy", "white", "ruby"), 1):
        maker.cell("colour", line, name)
    maker.headline("4 colours, no two alike touch")
    table = maker.lesson.locator(".widget-gridbox").last
    assert table.evaluate("table => table.scrollWidth <= table.clientWidth + 1")  # all columns are shown
    maker.turn("Print")
    maker.headline("on Letter")
    maker.press("Write sheets and lists")
    maker.says("files are in my_plans/Serving-tray")
    assert (served_folder / "my_plans" / "Serving-tray" / "cut_list.csv").is_file()
    told_of(maker.touched, record_testsuite_property, "the tray in inches")
    assert maker.touched - 3 <= 15  # beyond a line for each colour
    maker.rest()
    plan = maker.kept(served_folder / "my_plans" / "Serving-tray.json", lambda plan: plan.unit == "in")
    assert (plan.unit, plan.paper, plan.glass[0].width, plan.tile.side) == ("in", "Letter", 254.0, 19.05)
    maker.turn("The piece")
    maker.type("Name", "Serving tray")
    maker.press("Begin a new work")
    maker.says("A work called Serving tray is kept already")
    maker.type("Name", "Serving try")
    maker.press("Load a plan")
    maker.says("There is no file called Serving-try.json here. There are:")
    maker.says("Serving-tray")
    maker.headline("Serving tray: 10 x 14 in")
    no_errors(page)


VASE = {"clear": 131, "milk white": 120, "sky blue": 120, "amber": 110, "ruby": 110}  # tiles in hand, 591 of them


def test_a_tall_vase_on_tight_stock_from_an_empty_start(page, maker, served_folder, record_testsuite_property):
    """90 x 90 x 260 mm in tiles of 10 mm of which no more can be bought, until a wave over the front takes more than there are."""
    begin(maker, "Tall vase")
    maker.choose("It is", "a four-sided vessel")
    maker.type("Width outside", "90")
    maker.type("Depth outside", "90")
    maker.type("Height", "260")
    maker.turn("The tiles")
    maker.type("Tile", "10")
    maker.turn("The colours")
    for line, (name, tiles) in enumerate(VASE.items(), 1):
        maker.cell("colour", line, name)
        maker.cell("in hand", line, str(tiles))
        maker.cell("more?", line, "no")
    maker.headline(f"5 colours, no two alike touch. In all {4 * 7 * 21} pieces, 0 tiles to buy")
    maker.turn("The lines")
    maker.press("Add a band")
    maker.choose("It is", "wave")
    maker.says("and the stock 591 tiles: ")  # so many are short
    expect(maker.lesson.locator(".mosaic-picture")).not_to_have_class(re.compile("mosaic-stale"))
    maker.drag(0, 0, 60)
    maker.says("and the stock 591 tiles: ")
    maker.turn("The colours")
    maker.cell("more?", 1, "yes")
    maker.headline("5 colours, no two alike touch")
    assert tiles_to_buy(maker) > 0
    maker.turn("Print")
    maker.press("Write sheets and lists")
    maker.says("files are in my_plans/Tall-vase")
    told_of(maker.touched, record_testsuite_property, "the tall vase")
    assert maker.touched - 3 * len(VASE) <= 15  # beyond a line of three boxes for each colour
    heads = [sheet.extract_text() for sheet in PdfReader(served_folder / "my_plans/Tall-vase/Tall-vase.pdf").pages]
    for kind in SHEETS:
        assert 1 <= sum(f"Tall vase: {kind}, " in head for head in heads) <= 8, kind
    no_errors(page)


@pytest.fixture
def panel(maker):
    """Make a panel of 220 x 180 mm: a rounded rectangle of two rows, a heart dragged out of its middle, a piece by hand."""
    begin(maker, "Heart panel")
    maker.type("Width", "220")
    maker.type("Height", "180")
    maker.turn("The lines")
    maker.press("Add a band")
    maker.choose("It is", "rounded rectangle")
    maker.open("Its measures")
    maker.type("Width", "170")
    maker.type("Height", "130")
    maker.open("Its rows")
    maker.cell("tiles cut to", 3, "")
    maker.press("Add a motif")
    maker.says("Motif 1 is new")
    maker.drag(1, -24, 0)
    maker.drag(0, 12, 6)
    maker.turn("The colours")
    maker.headline("no two alike touch")
    maker.choose("A tap gives", "amber")
    maker.tap(3)
    maker.says("Piece 3 stays amber.")
    expect(maker.lesson.locator(".mosaic-told")).to_contain_text(
        "amber"
    )  # the line under the picture tells the new colour
    maker.rest()
    return maker


HOSTILE_PLAN = '{"version": 1, "name": "<img src=x onerror=window.ran=1>", "glass": [{"kind": "pane", "width": NaN}]}'
HOSTILE_SVG = """<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa">]><svg onload="window.ran=1"><script>window.ran=1</script>
<path id="&a;" d="M0 0 L 9 9"/></svg>"""


def test_a_panel_with_a_band_and_a_motif_is_kept_through_all_that_may_happen(
    page, panel, chromium, kernel, served_folder, tmp_path, record_testsuite_property
):
    """One visit for all of it, since opening takes longest."""
    told_of(panel.touched, record_testsuite_property, "the panel with a band and a motif")
    assert panel.touched <= 15
    file = served_folder / "my_plans" / "Heart-panel.json"
    plan = panel.kept(file, lambda plan: plan.colour.pins)
    kept = file.read_text(encoding="utf-8")
    band, motif = plan.glass[0].bands[0], plan.glass[0].motifs[0]
    assert (band.line.name, band.line.measures["width"], len(band.rows)) == ("rounded_rectangle", 170.0, 2)
    assert (motif.line.x, motif.line.y) == pytest.approx((122, 96), abs=1)  # the middle of the pane, and the drag
    assert motif.line.measures["width"] == pytest.approx(108 - 2 * 24, abs=2)
    assert [pin.colour for pin in plan.colour.pins] == ["amber"]

    panel.turn("The piece")
    told = panel.lesson.locator(".mosaic-summary").inner_text()
    for name, content, words in (
        ("hostile.json", HOSTILE_PLAN, "hostile.json cannot be used"),
        ("deep.json", '{"version": 1, "note": ' + "[" * 100_000, "deep.json is not a whole plan file"),
        ("large.json", " " * 11_000_000, "large.json is larger than 10 MB"),
        ("<img src=x onerror=window.ran=1>.json", "[]", "has no version number"),
    ):
        (tmp_path / name).write_text(content)
        panel.give("Import", tmp_path / name)
        panel.says(words)
        expect(panel.lesson.locator(".mosaic-summary")).to_have_text(told)
    panel.turn("The lines")
    before = panel.lesson.locator("svg[role=img]").first.inner_html()
    (tmp_path / "hostile.svg").write_text(HOSTILE_SVG)
    panel.give("Take an SVG drawing", tmp_path / "hostile.svg")
    panel.says("hostile.svg declares entities")
    assert panel.lesson.locator("svg[role=img]").first.inner_html() == before
    panel.rest()
    assert file.read_text(encoding="utf-8") == kept and page.evaluate("window.ran === undefined")

    page.reload()
    panel.says("is here again")
    kernel().kill()
    page.locator("#lost").get_by_role("button", name="Open again").click(timeout=PATIENCE)
    panel.says("is here again")
    panel.turn("The piece")
    expect(panel.lesson.locator(".mosaic-summary")).to_have_text(told, timeout=PATIENCE)
    assert file.read_text(encoding="utf-8") == kept
    other = chromium.new_context()
    second = other.new_page()
    watch(second, WATCHED[page].server)
    beside = Maker(second)
    beside.headline("Heart panel: 220 x 180 mm")
    beside.says("This workbook is open on another page too")
    other.close()
    no_errors(page)


def test_a_work_goes_out_and_comes_in_and_an_own_drawing_is_its_line(page, maker, served_folder, tmp_path):
    begin(maker, "Stem")
    maker.turn("The lines")
    maker.press("Add a band")
    (tmp_path / "mine.svg").write_text('<svg><path id="stem" d="M0 0 L 60 0 C 80 0 80 40 100 40"/></svg>')
    maker.give("Take an SVG drawing", tmp_path / "mine.svg")
    maker.says("stem of mine.svg is band 1 now")
    maker.drag(1, -20, 0)  # it reaches 60 mm to the right
    maker.drag(0, 10, 5)
    maker.open("Its measures")
    expect(maker.box("Width")).to_have_value("80 mm", timeout=PATIENCE)
    maker.turn("The piece")
    maker.press("Export")
    maker.says("Stem is kept as my_plans/Stem.json")
    with page.expect_download() as taken:
        maker.lesson.locator(".mosaic-message a").click()
    assert taken.value.suggested_filename == "Stem.json"
    plan = Plan.load(taken.value.path())
    assert plan.glass[0].bands[0].path.startswith("M")
    maker.type("Name", "Twig")
    maker.press("Rename it")
    maker.says("called Twig now")
    maker.press("Undo")
    maker.headline("Stem: 200 x 150 mm")
    maker.rest()
    assert not (served_folder / "my_plans" / "Twig.json").exists()
    Plan.made(**plan.model_dump(mode="json") | {"currency": "EUR"}).save(tmp_path / "Stem.json")
    maker.give("Import", tmp_path / "Stem.json")
    maker.says("Stem 2 is here from Stem.json. Another work is called Stem.")
    assert Plan.load(served_folder / "my_plans" / "Stem.json") == plan
    no_errors(page)


def tiles_to_buy(maker):
    return int(re.search(r"(\d+) tiles to buy", maker.lesson.locator(".mosaic-summary").inner_text())[1])


def test_two_from_one_tile_are_bought_as_one(page, maker):
    maker.turn("Cutting")
    maker.headline(" groups, ")
    before = tiles_to_buy(maker)
    told = maker.lesson.locator(".mosaic-summary").inner_text()
    maker.lesson.locator(".widget-checkbox", has_text="Cut two from one tile").locator("input").check()
    expect(maker.lesson.locator(".mosaic-summary")).not_to_have_text(told, timeout=PATIENCE)
    assert tiles_to_buy(maker) < before
    maker.open("Two from one tile")
    expect(maker.lesson.locator("table")).to_contain_text("two from one where they fit", ignore_case=True)
    no_errors(page)


def test_a_day_ticked_late_moves_the_rest(page, maker):
    maker.turn("The days")
    maker.headline("Done week")
    maker.type("First day", "2027-03-02")
    maker.headline("2027")
    expect(maker.box("Done on")).to_have_value("")
    planned = maker.lesson.locator(".mosaic-summary").inner_text()
    maker.type("Done on", "2027-04-24 11:00")
    maker.press("Tick the next task")
    maker.says("cut the pieces is done, 2027-04-24 11:00")
    expect(maker.lesson.locator(".mosaic-summary")).not_to_have_text(planned, timeout=PATIENCE)
    record = Plan.load(DATA / "example_plan.json").model_dump(mode="json")
    record["days"] |= {"start": "2027-03-02", "done": [{"task": "cut the pieces", "at": "2027-04-24 11:00"}]}
    maker.headline(f"Done {end_words(days_of(work_out(Plan.made(**record))))}")
    maker.press("Take the last tick away")
    expect(maker.lesson.locator(".mosaic-summary")).to_have_text(planned, timeout=PATIENCE)
    maker.type("First day", "soon")
    maker.says("is not a day")
    no_errors(page)


def test_a_round_pane_with_a_ring_along_its_edge_from_an_empty_start(page, maker, served_folder):
    begin(maker, "Full moon")
    maker.choose("It is", "a shaped pane")
    maker.type("Diameter", "262 260 261")
    maker.headline("Full moon: 260 x 260 mm")
    expect(maker.lesson.locator("table")).to_contain_text("260 mm counts", timeout=PATIENCE)
    maker.turn("The tiles")
    maker.choose("Edge rule", "cut border pieces")
    maker.turn("The lines")
    maker.press("Add a band")
    maker.choose("It is", "along the edge")
    maker.headline("in rows")
    maker.open("Its rows")
    for line in (2, 3):
        maker.cell("tiles cut to", line, "")
    maker.turn("The colours")
    maker.headline("no two alike touch")
    maker.turn("Print")
    maker.press("Write sheets and lists")
    maker.says("files are in my_plans/Full-moon")
    assert (served_folder / "my_plans" / "Full-moon" / "Full-moon.pdf").is_file()
    maker.rest()
    plan = maker.kept(served_folder / "my_plans" / "Full-moon.json", lambda plan: plan.glass[0].bands)
    assert (plan.glass[0].shape, plan.glass[0].diameters) == ("circle", [262.0, 260.0, 261.0])
    assert plan.glass[0].bands[0].edge and len(plan.glass[0].bands[0].rows) == 1
    no_errors(page)


def test_an_arched_pane_with_a_hole_from_an_empty_start(page, maker, served_folder, tmp_path):
    begin(maker, "Chapel")
    maker.choose("It is", "a shaped pane")
    maker.choose("Its outline", "an arch")
    maker.type("Width", "220")
    maker.type("Height", "340")
    maker.open("Its head")
    maker.type("Its rise", "150")
    maker.says("A round head over 220 mm rises at most half of that, 110 mm, not 150 mm.")
    maker.type("Its rise", "110")
    maker.open("Its holes")
    maker.type("Holes", "110 330 40")
    maker.says("Hole 1 reaches the edge of the glass")
    maker.type("Holes", "110 230 40")
    maker.turn("The tiles")
    maker.choose("Edge rule", "cut border pieces")
    maker.headline("Joints of 2 mm")
    maker.turn("Print")
    maker.press("Write sheets and lists")
    maker.says("files are in my_plans/Chapel")
    assert (served_folder / "my_plans" / "Chapel" / "Chapel.pdf").is_file()
    maker.turn("The piece")
    (tmp_path / "kite.svg").write_text('<svg><path id="kite" d="M0 0 L 60 0 L 80 50 L 30 90 Z"/></svg>')
    maker.give("Take an SVG outline", tmp_path / "kite.svg")
    maker.says("kite of kite.svg is the outline of Chapel now")
    maker.headline("Chapel: 220 x 247.5 mm")
    no_errors(page)


def turned(maker, degrees=60):
    """Turn the vessel by its slider's box until its picture is another one."""
    picture = maker.lesson.locator("svg[role=img]").first
    standing = picture.locator("path.standing")
    expect(standing.first).to_be_attached(timeout=PATIENCE)
    was = standing.first.get_attribute("d")
    maker.open("Turn the vessel")
    maker.type("Turned right by", f"{degrees}")
    expect(standing.first).not_to_have_attribute("d", was, timeout=PATIENCE)
    expect(picture.locator("desc")).to_contain_text(f"Turned to the right by {degrees} degrees", timeout=PATIENCE)


def printed(maker, served_folder, name):
    """Write the sheets and return the plan as it is kept."""
    maker.turn("Print")
    maker.press("Write sheets and lists")
    maker.says(f"files are in my_plans/{name}")
    assert (served_folder / "my_plans" / name / f"{name}.pdf").is_file()
    return Plan.load(served_folder / "my_plans" / f"{name}.json")


def test_a_jar_from_an_empty_start_is_turned_and_printed(page, maker, served_folder):
    """A cylinder: girth taken at two heights, a neck, tiles whose whole number closes the round."""
    begin(maker, "Jar")
    maker.choose("It is", "a round vessel")
    maker.type("Girth", "311 310")
    maker.headline("Jar: 310 mm round, 120 mm up the glass, 70 pieces")
    expect(maker.lesson.locator("table")).to_contain_text("310 mm counts", timeout=PATIENCE)
    maker.type("Girth", "300")
    maker.says("No whole number of 20 mm tiles closes a round of 300 mm")
    maker.type("Girth", "310")
    maker.headline("70 pieces")
    turned(maker)
    maker.turn("The colours")
    turned(maker, -30)
    plan = printed(maker, served_folder, "Jar")
    assert (plan.glass[0].kind, plan.glass[0].girths) == ("round vessel", [310.0])
    no_errors(page)


def test_a_cone_from_an_empty_start_is_turned_and_printed(page, maker, served_folder):
    begin(maker, "Cone")
    maker.choose("It is", "a tapered vessel")
    maker.type("Girths", "320 240")
    maker.type("At heights", "150 0")
    maker.says("The heights must rise from the foot up")
    maker.type("At heights", "0 150")
    maker.headline("Cone: 320 mm round, 150.5 mm up the glass")
    turned(maker)
    plan = printed(maker, served_folder, "Cone")
    assert (plan.glass[0].girths, plan.glass[0].heights) == ([320.0, 240.0], [0.0, 150.0])
    no_errors(page)


def test_a_bowl_of_three_rings_from_an_empty_start_is_turned_and_printed(page, maker, served_folder):
    begin(maker, "Bowl")
    maker.turn("The tiles")
    maker.type("Joint limits", "1 to 4")
    maker.turn("The piece")
    maker.choose("It is", "a tapered vessel")
    maker.type("Girths", "200 320 400 430")
    maker.says("Each girth needs its height")
    maker.type("At heights", "0 40 90 140")
    maker.headline("Bowl: 430 mm round")
    maker.open("Round the vessel")
    maker.choose("Tiles cut to", "half")
    maker.headline("171 pieces")
    turned(maker)
    plan = printed(maker, served_folder, "Bowl")
    assert len(plan.glass[0].covers.face_names) >= 3 and plan.glass[0].fraction == "half"
    assert plan.glass[0].heights == [0.0, 40.0, 90.0, 140.0]
    no_errors(page)
