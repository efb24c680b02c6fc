"""The lessons as a learner meets them: in a real browser, by keyboard and by typing."""

import pytest
from playwright.sync_api import expect

from driving import PATIENCE, move_slider, no_errors, open_workbook, workbook
from mosaiclib.lessons import PARTS, lessons


def lesson(page):
    return workbook(page).locator(".mosaic-lesson")


def picture(page):
    return lesson(page).locator(".mosaic-picture")


@pytest.mark.parametrize("number", PARTS)
def test_a_workbook_shows_every_part_and_asks_its_questions(toured, number):
    tour = toured(number)
    assert tour.parts.keys() == lessons(number).keys()
    assert all(all(part.told) for part in tour.parts.values())
    assert tour.opened["asked"] == bool(PARTS[number].questions)


def test_a_key_on_the_slider_changes_picture_and_number(standing):
    page = standing("01")
    summary = lesson(page).locator(".mosaic-summary")
    expect(summary).to_contain_text("13 tiles across and 6 down")
    before = picture(page).locator("svg").inner_html()
    move_slider(page, "Span [mm]", ["ArrowRight"] * 22)
    expect(summary).to_contain_text("14 tiles across and 6 down")  # one tile and its joint wider: 14 x 6
    assert picture(page).locator("svg").inner_html() != before
    no_errors(page)


def test_a_bad_value_is_told_in_a_sentence_and_the_picture_stays(standing):
    page = standing("01")
    before = picture(page).locator("svg").inner_html()
    box = lesson(page).locator(".widget-text input").first
    box.fill("a bit")
    box.press("Enter")
    expect(lesson(page).locator(".mosaic-message")).to_contain_text("'a bit' is not a length.")
    assert picture(page).locator("svg").inner_html() == before
    box.fill("13 in")
    box.press("Enter")
    expect(lesson(page).locator(".mosaic-message")).to_be_empty()
    expect(box).to_have_value("330.2 mm")
    no_errors(page)


def test_real_tiles_unfold_with_their_chart(standing):
    page = standing("01")
    lesson(page).get_by_text("Real tiles", exact=True).click()
    chart = lesson(page).locator("svg", has_text="Drift against tile number")
    expect(chart).to_be_visible(timeout=PATIENCE)
    first = chart.get_attribute("src")
    lesson(page).get_by_role("button", name="Another box of tiles").click()
    expect(chart).not_to_have_attribute("src", first)
    no_errors(page)


def test_a_question_is_judged(standing):
    page = standing("01")
    asked = workbook(page).locator(".mosaic-questions")
    answer = asked.get_by_placeholder("your answer")
    tiles = int(asked.locator(".mosaic-ask").text_content().split("has ")[1].split()[0])
    answer.fill(str(tiles))
    answer.press("Tab")
    asked.locator("select").select_option("joints")
    asked.get_by_role("button", name="Check").click()
    expect(asked.locator(".mosaic-verdict")).to_contain_text("you counted a joint for every tile")
    answer.fill(str(tiles - 1))
    answer.press("Tab")
    asked.get_by_role("button", name="Check").click()
    expect(asked.locator(".mosaic-verdict")).to_contain_text("Right.")
    no_errors(page)


def part_of_02(standing, name):
    """Return a page with a part of lesson 02 that has handles."""
    page = standing("02", name)
    expect(lesson(page).locator(".mosaic-handle").first).to_be_visible(timeout=PATIENCE)
    return page


def test_a_dragged_handle_redraws_while_it_moves_and_counts_follow(standing):
    page = part_of_02(standing, "A drawn line")
    summary, handle = lesson(page).locator(".mosaic-summary"), lesson(page).locator(".mosaic-handle").nth(2)
    first = summary.inner_text()
    handle.scroll_into_view_if_needed()
    box = handle.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    pictures = set()
    page.mouse.move(x, y)
    page.mouse.down()
    for step in range(1, 13):
        page.mouse.move(x + 2 * step, y + 5 * step)
        page.wait_for_timeout(120)
        pictures.add(picture(page).locator("svg[role=img]").inner_html())
    assert len(pictures) >= 4, "the picture must change while the handle moves"
    page.mouse.up()
    expect(summary).not_to_have_text(first)
    expect(lesson(page).locator(".mosaic-message")).to_be_empty()
    moved = handle.bounding_box()
    assert abs(moved["y"] + moved["height"] / 2 - (y + 60)) < 4
    no_errors(page)


def test_the_keyboard_moves_a_handle_too(standing):
    page = part_of_02(standing, "A drawn line")
    handle = lesson(page).locator(".mosaic-handle").nth(2)
    before = picture(page).locator("svg[role=img]").inner_html()
    told = handle.get_attribute("aria-valuetext")
    handle.focus()
    for _ in range(2):
        page.keyboard.press("Shift+ArrowDown")
    expect(handle).not_to_have_attribute("aria-valuetext", told)
    page.wait_for_function(
        "before => document.querySelector('.mosaic-lesson svg[role=img]').innerHTML !== before", arg=before
    )
    expect(handle).to_be_focused()
    no_errors(page)


def test_a_crossing_is_turned_dragged_kept_and_opened_again(standing, served_folder):
    page = part_of_02(standing, "Lines that cross")
    summary, said = lesson(page).locator(".mosaic-summary"), lesson(page).locator(".mosaic-message")
    expect(summary).to_contain_text("cross at 60 degrees")
    move_slider(page, "They cross at [degrees]", ["ArrowRight"] * 5)
    expect(summary).to_contain_text("cross at 65 degrees")
    handle = lesson(page).locator(".mosaic-handle").nth(1)
    handle.focus()
    page.keyboard.press("Shift+ArrowRight")
    lesson(page).get_by_role("button", name="The lines").click()
    expect(lesson(page).get_by_label("Second line", exact=True)).to_have_value("my own points")
    expect(summary).not_to_contain_text("cross at 65 degrees")
    bent = summary.inner_text()
    lesson(page).get_by_role("button", name="Keep the drawing").click()
    expect(said).to_contain_text("Saved as drawings/my-crossing.json.")
    assert (served_folder / "my_plans" / "drawings" / "my-crossing.json").is_file()
    lesson(page).get_by_role("button", name="Start afresh").click()
    expect(summary).to_contain_text("cross at 60 degrees")
    lesson(page).get_by_role("button", name="Open a drawing").click()
    expect(summary).to_have_text(bent)
    no_errors(page)


def test_a_drawing_of_one_s_own_fills_as_a_motif(standing, tmp_path):
    drawing = tmp_path / "lens.svg"
    drawing.write_text('<svg><path id="lens" d="M0 0 A 5 5 0 0 0 8 0 A 5 5 0 0 0 0 0 z"/></svg>')
    (tmp_path / "torn.svg").write_text("<svg><path")
    page = part_of_02(standing, "A motif")
    said, before = lesson(page).locator(".mosaic-message"), picture(page).locator("svg[role=img]").inner_html()
    for name, words in (
        ("torn.svg", "is not a whole SVG file"),
        ("lens.svg", "lens of lens.svg is taken as the motif"),
    ):
        with page.expect_file_chooser() as chooser:
            lesson(page).get_by_role("button", name="Take an SVG drawing").click()
        chooser.value.set_files(tmp_path / name)
        expect(said).to_contain_text(words)
    assert picture(page).locator("svg[role=img]").inner_html() != before
    no_errors(page)


def test_a_tapped_piece_tells_why(standing):
    page = part_of_02(standing, "A drawn line")
    piece = picture(page).locator("svg[role=img] path:has(> title)").first
    piece.dispatch_event("click")
    expect(lesson(page).locator(".mosaic-told")).not_to_be_empty()
    no_errors(page)


def test_folds_open_by_keyboard_alone(standing):
    page = standing("01")
    fold = lesson(page).get_by_role("button", name="Real tiles")
    spread = lesson(page).get_by_text("standard deviation: two tiles in three are off by less", exact=True)
    expect(spread).to_be_hidden()
    lesson(page).locator(".widget-text input").nth(2).focus()
    for _ in range(8):
        page.keyboard.press("Tab")
        if fold.evaluate("button => button === document.activeElement"):
            break
    expect(fold).to_be_focused()
    page.keyboard.press("Enter")
    expect(spread).to_be_visible()
    page.keyboard.press("Enter")
    expect(spread).to_be_hidden()
    no_errors(page)


def report(page):
    return lesson(page).locator(".mosaic-report")


def choose_from(page, label, word):
    """Choose a word from the list with this label, opening nothing."""
    row = lesson(page).locator(".widget-dropdown", has_text=label).first
    row.locator("select").select_option(word)


def test_adhesive_verdicts_follow_the_answers(standing):
    page = standing("03", "Which one")
    grey = report(page).locator("tr", has_text="grey polymer-modified cement adhesive")
    expect(grey).to_contain_text("ruled out")
    choose_from(page, "Glass is", "opaque")
    expect(grey).to_contain_text("works with care")
    lesson(page).get_by_text("Glass and use", exact=True).click()
    choose_from(page, "Exposed to", "candle heat")
    expect(report(page).locator("tr", has_text="neutral-cure silicone").first).to_contain_text(
        "candle heat cracks glass"
    )
    expect(report(page)).to_contain_text("safety data sheet")
    no_errors(page)


def test_glass_changes_over_its_bed_and_by_the_lamp(standing):
    page = standing("03", "How it will look")
    for words in ("white bed", "grey bed", "clear bed", "air alone"):
        expect(picture(page).locator("svg")).to_contain_text(words, timeout=PATIENCE)
    before = picture(page).locator("svg").inner_html()
    choose_from(page, "Lamp", "behind")
    expect(picture(page).locator("svg > desc")).to_contain_text("the lamp is behind")
    assert picture(page).locator("svg").inner_html() != before
    lesson(page).get_by_text("Seen from behind", exact=True).click()
    expect(picture(page).locator("svg > desc")).to_contain_text("seen from behind")
    no_errors(page)


def test_cores_shrink_as_hours_pass(standing):
    page = standing("03", "How long to wait")
    expect(report(page)).to_contain_text("52 %", timeout=PATIENCE)
    expect(report(page).locator("tr", has_text="Cured through")).to_contain_text("16 days")
    move_slider(page, "Since gluing [h]", ["End"])
    expect(report(page).locator("tr", has_text="Cured now")).to_contain_text("100 %")
    expect(picture(page).locator("svg > desc")).to_contain_text("After 720 hours 100% of the bed is cured")
    no_errors(page)


def test_filler_lets_go_of_glass_and_tears_finely_between_rough_sides(standing, served_folder):
    page = standing("04", "Asked and given")
    row = report(page).locator("tr", has_text="What gives")
    expect(row).to_contain_text("On glass the side is weakest", timeout=PATIENCE)
    choose_from(page, "Base", "porous")
    expect(row).to_contain_text("On glass the side is weakest")  # glass tiles have glass sides on a pot too
    choose_from(page, "Tiles", "porous")
    expect(row).to_contain_text("It tears inside")
    workbook(page).get_by_role("button", name="The mechanics").click()
    expect(report(page)).to_contain_text("where the sum says otherwise, practice comes first", timeout=PATIENCE)
    expect(lesson(page)).to_contain_text("published data alone cannot prove it")
    lesson(page).get_by_text("The one assumption", exact=True).click()
    expect(lesson(page).locator("svg", has_text="What moves the verdict")).to_be_visible(timeout=PATIENCE)
    workbook(page).get_by_role("button", name="Mix it for a piece").click()
    expect(report(page)).to_contain_text("wet cement burns", ignore_case=True, timeout=PATIENCE)
    before = picture(page).locator("svg").inner_html()
    choose_from(page, "Filler", "cement grout with latex")
    expect(report(page).locator("tr", has_text="g each").nth(1)).to_contain_text("Latex")
    assert picture(page).locator("svg").inner_html() != before
    lesson(page).get_by_role("button", name="Write the batch card").click()
    expect(lesson(page).locator(".mosaic-message")).to_contain_text("my-batch-batch.pdf is written")
    assert (served_folder / "my_plans" / "my-batch-batch.pdf").is_file()
    no_errors(page)


def test_a_figure_leads_to_the_printed_values_it_is_checked_against(page):
    book = open_workbook(page, "02_cut_wedges_on_curves.ipynb")
    with page.context.expect_page(timeout=PATIENCE) as opened:
        book.get_by_role("link", name="how we know").first.click()
    proof = opened.value
    shown = proof.locator("details#wedges")
    expect(shown).to_contain_text("12 of 12 agree", timeout=PATIENCE)
    expect(shown.locator("td", has_text="ring of 12")).to_be_in_viewport(timeout=PATIENCE)
    no_errors(page)


def test_a_ring_of_odd_number_takes_a_third_colour_and_a_tapped_piece_keeps_its_own(page):
    open_workbook(page, "05_arrange_the_colours.ipynb")
    summary = lesson(page).locator(".mosaic-summary")
    expect(summary).to_contain_text("take 3 colours; 2 are too few", timeout=PATIENCE)
    move_slider(page, "Pieces in a row", "ArrowRight")
    expect(summary).to_contain_text("take 2 colours; 2 are enough")
    workbook(page).get_by_role("button", name="Lively or patterned", exact=True).click()
    expect(summary).to_contain_text("Lively", timeout=PATIENCE)
    lesson(page).get_by_role("button", name="By hand").click()
    choose_from(page, "A tap makes it", "rose")
    picture(page).locator("svg[role=img] path.piece").nth(12).dispatch_event("click")
    expect(lesson(page).locator(".mosaic-message")).to_contain_text("Piece 13 stays rose.")
    choose_from(page, "Arranged", "chessboard")
    expect(summary).to_contain_text("lines that cross")
    no_errors(page)
