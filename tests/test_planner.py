"""The planner's parts as views of one plan: what is set on one is there on the others, and what follows from it."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from mosaiclib.errors import MosaicError
from mosaiclib.lesson.page import Lesson
from mosaiclib.lessons import lessons, show, w06_colours, w06_lines, w06_piece, w06_plan
from mosaiclib.lessons.w06_controls import EDGE, LET_GO, MEASURES, OWN, SHAPES
from mosaiclib.lessons.w06_plan import new_plan, quick
from mosaiclib.lessons.w06_settings import plan_of, settings_of

PARTS = list(lessons("06"))


def part(module, settings=None, folder=Path("unused")):
    return Lesson(module, settings or quick(), folder)


def colours_of(result):
    return result.layout.pieces["colour"].tolist()


def test_what_is_set_on_one_part_is_there_on_all(tmp_path):
    parts = show("06", tmp_path)
    for name in PARTS:
        parts.switch.value = name
        assert parts.shown.settings == parts.made[PARTS[0]].settings
    parts.switch.value = "The tiles"
    parts.shown.fields["tile"].accept(15.0)
    parts.switch.value = "The piece"
    assert parts.shown.settings.tile == 15.0 and "15" in str(parts.shown.result.plan.tile.side)
    assert parts.shown.history is parts.made["The tiles"].history
    parts.shown.step(-1)
    parts.switch.value = "The tiles"
    assert parts.shown.fields["tile"].value == 20.0
    parts.shown.unit_switch.value = "in"
    parts.switch.value = "Print"
    assert parts.shown.unit == "in"


def test_only_what_means_something_is_shown():
    lesson = part(w06_piece)
    shown = lambda: {name for name, field in lesson.fields.items() if not field.hidden}  # noqa: E731
    pane = shown()
    lesson.fields["glass"].accept("a four-sided vessel")
    assert {"pane_width", "pane_height"} <= pane - shown() and {"widths", "corner"} <= shown() - pane
    assert lesson.heads["The vessel's corners"].layout.display != "none"
    lesson.fields["glass"].accept("a pane")
    assert shown() == pane and lesson.heads["The vessel's corners"].layout.display == "none"


@pytest.mark.parametrize("shape", [one for one in SHAPES if one not in (OWN, EDGE)])
def test_each_ready_made_line_begins_with_measures_that_can_be_laid(shape):
    lesson = part(w06_lines, settings_of(new_plan("lines")))
    lesson.buttons["add"].click()
    lesson.fields["shape"].accept(shape)
    assert lesson.result.settings is lesson.settings and not lesson.wrong
    assert lesson.said == lesson.result.amiss, lesson.said
    own = {name for name in MEASURES if not lesson.fields[f"m_{name}"].hidden}
    assert own and own >= set(lesson.result.plan.glass[0].bands[0].line.measures)
    across, up = lesson.picture.points[0]
    assert (across, up) == (lesson.settings.m_x, lesson.settings.m_y) == (100.0, 75.0)


def test_a_new_line_lies_in_the_middle_of_the_glass_as_it_is_typed(tmp_path):
    parts = show("06", tmp_path)
    parts.shown.set(settings_of(new_plan("wide")))
    parts.shown.fields["pane_width"].accept(260.0)
    parts.switch.value = "The lines"
    parts.shown.buttons["add"].click()
    assert parts.shown.picture.points[0] == [130.0, 75.0]


def test_a_pane_that_became_a_vessel_takes_a_band_on_its_first_face():
    lesson = part(w06_lines, replace(settings_of(new_plan("vase")), glass="a four-sided vessel"))
    lesson.buttons["add"].click()
    assert [band.face for band in lesson.result.plan.glass[0].bands] == ["front"]


def test_turning_to_another_part_ends_a_drag_of_which_the_end_was_not_told_yet(tmp_path):
    parts = show("06", tmp_path)
    parts.switch.value = "The lines"
    lines = parts.shown
    lines.buttons["add"].click()
    with lines.picture.hold_sync():
        middle, *others = lines.picture.points
        lines.picture.moving = True
        lines.picture.points = [[middle[0] + 10, middle[1]], *others]
    assert lines.held and lines.result.worked is None
    parts.switch.value = "The colours"
    assert parts.shown.title == "The colours" and parts.shown.result.worked is not None
    assert not parts.shown.settings.moving and parts.shown.settings.m_x == middle[0] + 10


def test_a_drag_that_ends_where_nothing_can_be_laid_is_told_on_other_parts_too(tmp_path):
    parts = show("06", tmp_path)
    parts.switch.value = "The lines"
    lines = parts.shown
    lines.buttons["motif"].click()
    middle, _, top = lines.picture.points
    lines.picture.moving = True
    with lines.picture.hold_trait_notifications():
        lines.picture.points, lines.picture.moving = [middle, [middle[0] + 10, middle[1]], top], False  # far too narrow
    assert "height of a heart" in str(lines.said)
    parts.switch.value = "The colours"
    assert "height of a heart" in str(parts.shown.said) and "mosaic-stale" in parts.shown.line._dom_classes


def test_a_row_is_taken_out_by_emptying_what_it_is_cut_to(lines):
    lines.fields["band_rows"].accept([("half", "", "free"), ("", "", "free"), ("quarter", "", "even"), ("", "", "")])
    assert "needs at least 2 colours" in str(lines.said)
    lines.fields["band_rows"].accept([("half", "", "free"), ("", "", "free"), ("quarter", "", "")])
    assert [row.fraction for row in lines.result.plan.glass[0].bands[0].rows] == ["half", "quarter"] and not lines.said


def test_a_dragged_handle_of_a_ready_made_line_moves_turns_and_widens_it():
    lesson = part(w06_lines, settings_of(new_plan("lines")))
    lesson.buttons["add"].click()
    lesson.fields["shape"].accept("ellipse")
    middle, right, top = lesson.picture.points
    lesson.picture.points = [[middle[0] + 10, middle[1]], right, top]
    assert lesson.settings.m_x == 110.0
    middle, right, top = lesson.picture.points
    lesson.picture.points = [middle, [middle[0], middle[1] + 50.0], top]
    assert (lesson.settings.m_width, lesson.settings.m_turned) == (100.0, 90.0)
    lesson.fields["shape"].accept("my own points")
    assert len(lesson.settings.band_points) == 8 and lesson.result.settings is lesson.settings


def test_a_new_line_whose_colours_fail_is_drawn_without_them():
    plan = new_plan("two").model_dump(mode="json")
    plan["tile"]["colours"] = plan["tile"]["colours"][:2]
    lesson = part(w06_lines, settings_of(w06_plan.Plan.made(**plan)))
    lesson.buttons["add"].click()
    lesson.fields["shape"].accept("ring")
    assert lesson.result.amiss and lesson.said == lesson.result.amiss
    assert "mosaic-stale" not in lesson.picture._dom_classes and "mosaic-stale" in lesson.line._dom_classes
    assert (lesson.result.layout.pieces["band"] == "rows").sum() > 20


def test_a_tap_gives_a_piece_the_colour_of_the_brush_and_lets_it_go_again():
    lesson = part(w06_colours, replace(quick(), brush="amber"))
    before = colours_of(lesson.result)
    number = before.index("blue") + 1
    lesson.picture.tapped = [number, 1]
    after = colours_of(lesson.result)
    assert after[number - 1] == "amber" and lesson.said == f"Piece {number} stays amber."
    assert sum(one != other for one, other in zip(before, after, strict=True)) < len(before) / 3  # only round it
    assert 'class="held"' in lesson.picture.value
    again = w06_colours.compute(lesson.settings)
    assert colours_of(again) == after  # the plan alone gives the same arrangement
    lesson.fields["brush"].accept(LET_GO)
    lesson.picture.tapped = [number, 2]
    assert colours_of(lesson.result) == before and not lesson.result.plan.colour.pins
    lesson.step(-1)
    assert colours_of(lesson.result) == after


def test_a_clash_names_both_pieces():
    lesson = part(w06_colours, replace(quick(), brush="amber"))
    from mosaiclib.layout import neighbours

    first, second = (int(each) + 1 for each in neighbours(lesson.result.layout)[0])
    lesson.picture.tapped = [first, 1]
    held = lesson.settings
    lesson.picture.tapped = [second, 2]
    assert f"piece {first}" in str(lesson.said).lower() and f"piece {second}" in str(lesson.said).lower()
    assert lesson.settings == held


def test_a_colour_renamed_is_renamed_everywhere_in_its_tone():
    settings = w06_plan.start()
    lesson = part(w06_colours, settings)
    lines = list(settings.colours)
    at = next(at for at, line in enumerate(lines) if line[0] == "blue")
    lines[at] = ("sea at night", *lines[at][1:])
    lesson.fields["colours"].accept(lines)
    plan = plan_of(lesson.settings)
    assert plan.glass[0].bands[0].rows[0].colours == ["sea at night", "deep blue"]
    assert next(one.tone for one in plan.tile.colours if one.name == "sea at night") == "#3c78af"
    assert "blue" not in [one.name for one in plan.tile.colours]


def test_tones_shares_and_a_background_reach_the_plan():
    lines = [("ruby", "#aa1122", "20", "0.3", "yes", "40"), *quick().colours[1:]]
    settings = replace(quick(), colours=tuple(lines), back_colours="clear, blue, amber", back_blend="evenly mixed")
    with pytest.raises(MosaicError, match="background colour 'clear' is not in the list"):
        plan_of(settings)
    plan = plan_of(replace(settings, back_colours="ruby, blue, amber"))
    ruby = plan.tile.colours[0]
    assert (ruby.name, ruby.tone, ruby.share) == ("ruby", "#aa1122", 0.4)
    assert (plan.glass[0].background.blend, plan.glass[0].background.colours) == ("even", ["ruby", "blue", "amber"])
    assert plan_of(settings_of(plan)) == plan
    known = plan_of(replace(settings, back_colours="", colours=(("ruby", "#ca0147", *lines[0][2:]), *lines[1:])))
    assert known.tile.colours[0].tone is None  # the tone that the name tells need not be kept


def test_a_new_work_has_nothing_of_the_example():
    plan = new_plan("Sun ring")
    assert (
        plan.note == "" and not plan.glass[0].bands and not any(one.in_hand or one.price for one in plan.tile.colours)
    )
    assert plan_of(settings_of(plan)) == plan


def test_a_work_begun_in_inches_is_printed_in_inches_on_letter_paper(tmp_path):
    lesson = part(w06_piece, settings_of(new_plan("Tray")), tmp_path / "my_plans")
    assert (lesson.result.plan.unit, lesson.result.plan.paper) == ("mm", "A4")
    lesson.unit_switch.value = "in"
    assert lesson.result.plan.paper == "A4"  # what is there stays as it is
    lesson.box.value = "Serving tray"
    lesson.buttons["new"].click()
    assert (lesson.result.plan.unit, lesson.result.plan.paper) == ("in", "Letter")


# --- a drawing of one's own -------------------------------------------------------------------------------

SVG = (
    '<svg><path id="stem" d="M0 0 L 60 0 C 80 0 80 40 100 40"/>'
    '<path id="lens" d="M0 0 A 50 50 0 0 0 80 0 A 50 50 0 0 0 0 0 z"/><circle id="dot" r="10"/></svg>'
)


def traced(lesson, content=SVG, name="mine.svg"):
    """Choose a file with a drawing on the part *The lines*."""
    action = next(one for one in w06_lines.actions(Path("unused")) if one.name == "trace")
    lesson._run(action, {"name": name, "content": content.encode()})
    return str(lesson.said)


@pytest.fixture
def lines():
    """Return the part *The lines* with a band in its boxes."""
    lesson = part(w06_lines, settings_of(new_plan("lines")))
    lesson.buttons["add"].click()
    return lesson


def size_of(lesson, kind="bands"):
    """Return what the plan itself says of its line: middle, width, height and length [mm], the length by its fine points."""
    guide = getattr(lesson.result.plan.glass[0], kind)[0].drawn()
    points = np.vstack([guide.points, guide.points[: int(guide.closed)]])
    low, high = points.min(axis=0), points.max(axis=0)
    return (*(low + high) / 2, *(high - low), float(np.hypot(*np.diff(points, axis=0).T).sum()))


def test_a_drawing_becomes_the_line_of_a_band_and_is_scaled_by_any_length_on_it(lines):
    said = traced(lines)
    assert said.startswith("stem of mine.svg is band 1 now") and "offers 3 of its lines" in said
    assert size_of(lines)[:3] == pytest.approx(
        (100, 75, 120), abs=0.1
    )  # the middle of a pane of 200 x 150 mm, 0.6 of it
    for name, at in (("m_width", 2), ("m_height", 3), ("m_length", 4)):
        before = size_of(lines)
        lines.fields[name].accept(1.25 * lines.settings.m_width if name == "m_width" else 60.0)
        now = size_of(lines)
        ratio = now[at] / before[at]
        assert lines.fields[name].value == pytest.approx(now[at], abs=0.2)
        assert now[2:] == pytest.approx([ratio * each for each in before[2:]], rel=2e-3)
        assert now[:2] == pytest.approx(before[:2], abs=0.1)
    assert plan_of(settings_of(lines.result.plan)) == lines.result.plan
    assert lines.result.layout.pieces["band"].eq("rows").sum() > 5


def test_another_line_of_the_drawing_takes_its_place_and_closed_ones_fill_a_motif(lines):
    traced(lines)
    lines.fields["m_x"].accept(30.0)
    lines.fields["m_y"].accept(120.0)
    lines.fields["traced"].accept("dot")
    x, y, wide, high, length = size_of(lines)
    assert (x, y) == pytest.approx((30, 120), abs=0.1)
    assert (wide, high, length) == pytest.approx((24, 24, 24 * np.pi), rel=5e-3)  # 20 of the 100 that are 120 mm
    lines.buttons["motif"].click()
    assert traced(lines).startswith("lens of mine.svg is motif 1 now") and "Its 1 other line is left out" in str(
        lines.said
    )
    assert (lines.result.layout.pieces["line"] == "motif 1").sum() > 10
    assert "path" in lines.result.plan.model_dump(mode="json")["glass"][0]["bands"][0]


def test_the_handles_of_a_drawing_move_turn_and_scale_it(lines):
    traced(lines)
    middle, right = lines.picture.points
    assert (middle, right) == ([100.0, 75.0], [160.0, 75.0])
    lines.picture.points = [[110.0, 75.0], [170.0, 75.0]]
    assert size_of(lines)[:2] == pytest.approx((110, 75), abs=0.1)
    lines.picture.points = [[110.0, 75.0], [110.0, 75.0 + 45.0]]
    assert lines.settings.m_turned == 90.0 and lines.settings.m_width == pytest.approx(90, abs=0.01)
    assert size_of(lines)[3] == pytest.approx(90, abs=0.1)  # upright now
    opened = settings_of(lines.result.plan)
    for name in ("m_turned", "m_width", "m_height", "m_length", "m_x", "m_y"):
        assert getattr(opened, name) == pytest.approx(getattr(lines.settings, name), abs=0.01), name
    assert plan_of(opened) == lines.result.plan
    lines.set(opened)
    lines.fields["m_turned"].accept(30.0)
    lines.fields["m_turned"].accept(90.0)
    again = lines.result.plan.glass[0].bands[0]
    assert again.turned == 90.0
    assert np.allclose(again.drawn().at([0.0, 50.0]), opened.base.glass[0].bands[0].drawn().at([0.0, 50.0]), atol=0.01)
    lines.fields["shape"].accept("my own points")
    assert len(lines.settings.band_points) == 9 and lines.result.settings is lines.settings


BOMB = '<!DOCTYPE svg [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]><svg><path d="M0 0 L 9 9" id="&b;"/></svg>'
HOSTILE = {
    "torn": ("<svg><path", "is not a whole SVG file"),
    "entities": (BOMB, "declares entities"),
    "a page": ("<html><script>alert(1)</script></html>", "is not a drawing in SVG"),
    "script alone": ("<svg onload='alert(1)'><script>alert(1)</script></svg>", "no path that could be read"),
    "no number": ('<svg><path d="M0 0 L NaN 5"/></svg>', "cannot be read from"),
    "huge": ('<svg><path d="M0 0 L 1e300 5"/></svg>', "number over"),
    "deep": ("<svg>" + "<g>" * 60 + '<path d="M0 0 L 9 9"/>' + "</g>" * 60 + "</svg>", "deep in each other"),
    "parts": ("<svg>" + "<g/>" * 10_001 + "</svg>", "over 10000 parts"),
    "too large": ("<svg>" + " " * 3_000_000 + "</svg>", "larger than 3 MB"),
    "a long path": (
        f'<svg><path d="M0 0 {" ".join(f"L {k} {k % 2}" for k in range(4000))}"/></svg>',
        "at most 100000",
    ),
    "no length": ('<svg><path d="M5 5 L 5 5"/></svg>', "no path that could be read"),
}


@pytest.mark.parametrize("what", HOSTILE)
def test_a_hostile_drawing_is_refused_in_a_sentence_and_nothing_is_changed(what, lines):
    content, words = HOSTILE[what]
    before, picture = lines.settings, lines.picture.value
    said = traced(lines, content, "<b>x</b>.svg")
    assert words in said and len(said) < 400, said
    assert lines.settings is before and lines.picture.value == picture and "<b>" not in lines.message.value


def test_a_motif_needs_a_drawing_that_closes_and_a_drawing_something_that_takes_it(lines):
    lines.fields["line"].accept("nothing")
    assert traced(lines).startswith("Add a band or a motif first")
    lines.buttons["motif"].click()
    assert "has no line that closes on itself" in traced(lines, '<svg><path d="M0 0 L 9 9"/></svg>')
    assert "crosses or touches itself" in traced(lines, '<svg><path d="M0 0 L 9 9 L 9 0 L 0 9 z"/></svg>')
    assert lines.settings.shape == "heart"


def test_an_inked_name_of_a_line_stays_words(lines):
    traced(lines, SVG.replace('"stem"', '"&lt;img src=x onerror=alert(1)&gt;"'))
    assert lines.settings.traced == "<img src=x onerror=alert(1)>"
    assert "<img" not in lines.message.value + lines.table.value + lines.picture.value


def with_lines(lesson, **cells):
    """Type into the table of colours, as `line1="red"`: a name in its line."""
    for place, name in cells.items():
        lines = list(lesson.fields["colours"].lines())
        lines[int(place.removeprefix("line")) - 1][0] = name
        lesson.fields["colours"].accept(lines)


def test_colours_that_change_names_with_each_other_are_renamed_everywhere():
    plan = new_plan("swap").model_dump(mode="json")
    plan["glass"][0]["background"] = {"colours": ["milk white", "amber", "clear"], "blend": "even"}
    lesson = part(w06_colours, settings_of(w06_plan.Plan.made(**plan)))
    with_lines(lesson, line2="amber")  # the fourth is called so still
    assert "twice, 'amber'" in str(lesson.said) and lesson.fields["colours"].lines()[1][0] == "amber"
    with_lines(lesson, line4="milk white")
    assert not lesson.said and lesson.result.settings is lesson.settings
    after = plan_of(lesson.settings)
    assert [colour.name for colour in after.tile.colours] == ["clear", "amber", "sky blue", "milk white"]
    assert after.glass[0].background.colours == ["amber", "milk white", "clear"]


def test_a_line_of_the_table_that_lost_its_name_is_renamed_by_the_next():
    lesson = part(w06_colours, settings_of(new_plan("blank")))
    with_lines(lesson, line1="")
    assert "needs the colour's name" in str(lesson.said)
    with_lines(lesson, line1="ruby")
    assert not lesson.said and plan_of(lesson.settings).tile.colours[0].name == "ruby"


def test_a_name_that_a_colour_had_before_it_was_taken_out_can_be_given_again():
    lesson = part(w06_colours, settings_of(new_plan("again")))
    lesson.fields["colours"].accept(lesson.fields["colours"].lines()[:3])
    with_lines(lesson, line1="amber")
    assert not lesson.said and plan_of(lesson.settings).tile.colours[0].name == "amber"


def test_what_a_part_cannot_show_is_said_on_the_others_too_and_kept(tmp_path):
    parts = show("06", tmp_path)
    for name in ("The piece", "The tiles"):
        parts.switch.value = name
    parts.shown.fields["joint"].accept(9.0)
    said = str(parts.shown.said)
    assert "not within the joint limits" in said
    for name in ("The piece", "The filler"):  # one that was open before, and a new one
        parts.switch.value = name
        assert str(parts.shown.said) == said and parts.shown.settings.joint == 9.0
        assert "mosaic-stale" in parts.shown.line._dom_classes
    parts.switch.value = "The tiles"
    parts.shown.fields["joint"].accept(2.0)
    parts.switch.value = "The piece"
    assert not parts.shown.said and "mosaic-stale" not in parts.shown.line._dom_classes


def test_one_reading_stands_for_all_three():
    lesson = part(w06_piece, settings_of(new_plan("Vase")))
    lesson.fields["glass"].accept("a four-sided vessel")
    lesson.fields["widths"].accept("90")
    assert lesson.result.plan.glass[0].widths == [90.0] * 3 and lesson.fields["widths"].box.value == "90 90 90"
    lesson.fields["widths"].box.value = "90 91"
    assert "takes 3 readings" in str(lesson.said) and lesson.fields["widths"].box.value == "90 91"


def test_a_tap_on_a_piece_without_colour_says_why_there_is_none():
    lesson = part(w06_colours, replace(quick(), brush="amber"))
    lesson.fields["colours"].accept([(*line[:2], "1", "", "no", "") for line in quick().colours])
    why = lesson.said
    assert lesson.result.amiss and why == lesson.result.amiss
    lesson.picture.tapped = [1, 1]
    assert lesson.said == why


def test_a_price_is_told_where_there_is_one():
    settings = settings_of(new_plan("Free"))
    assert "cost" not in w06_plan.running(w06_plan.compute(settings))
    first, *rest = settings.colours
    priced = replace(settings, colours=((*first[:3], "0.5", *first[4:]), *rest))
    assert " of what is priced" in w06_plan.running(w06_plan.compute(priced))


def test_the_glass_of_a_work_is_called_as_the_work_is(tmp_path):
    lesson = part(w06_piece, settings_of(new_plan("Vase")), tmp_path / "my_plans")
    lesson.box.value = "Tall vase"
    lesson.buttons["rename"].click()
    assert (lesson.result.plan.name, lesson.result.plan.glass[0].name) == ("Tall vase", "Tall vase")
    lesson.buttons["add"].click()
    assert [one.name for one in lesson.result.plan.glass] == ["Tall vase", "pane"]


def test_a_new_line_begins_in_the_middle_of_the_glass_as_it_is_typed_now():
    lesson = part(w06_piece, settings_of(new_plan("square")))
    lesson.fields["pane_height"].accept(200.0)  # it was 150 mm
    lines = part(w06_lines, lesson.settings)
    lines.buttons["add"].click()
    assert (lines.settings.m_x, lines.settings.m_y) == (100.0, 100.0)
    lines.fields["shape"].accept("ring")
    assert lines.settings.m_y == 100.0 and lines.settings.m_radius == 60.0
