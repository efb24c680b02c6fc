"""The planner's parts as views of one plan: what is set on one is there on the others, and what follows from it."""

from dataclasses import replace
from pathlib import Path

import pytest

from mosaiclib.errors import MosaicError
from mosaiclib.lesson.page import Lesson
from mosaiclib.lessons import lessons, show, w06_colours, w06_lines, w06_piece, w06_plan
from mosaiclib.lessons.w06_controls import LET_GO, MEASURES, SHAPES
from mosaiclib.lessons.w06_plan import new_plan, plan_of, quick, settings_of

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
    assert lesson.heads["The vessel's corners"].layout.display == ""
    lesson.fields["glass"].accept("a pane")
    assert shown() == pane and lesson.heads["The vessel's corners"].layout.display == "none"


@pytest.mark.parametrize("shape", [one for one in SHAPES if one != "my own points"])
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
