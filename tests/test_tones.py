"""Tones: what a colour's name tells, what the maker chose, marks that differ, and colours too alike to tell."""

import json
import re

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from mosaiclib.drawing import alike, known_tone, layout_picture, look, looks, template_sheets, to_svg
from mosaiclib.drawing.palette import MARKS, NEUTRAL, colour_word, contrast
from mosaiclib.errors import MosaicError
from mosaiclib.job import Plan, work_out
from mosaiclib.job.colours import joint_tone, looks_of, without_tone
from mosaiclib.layout import lay_grid
from mosaiclib.reference import DATA

PLAIN_WORDS = [
    "white",
    "black",
    "grey",
    "silver",
    "gold",
    "yellow",
    "orange",
    "brown",
    "purple",
    "pink",
    "ruby",
    "blue",
    "green",
    "red",
]


@pytest.mark.parametrize("word", PLAIN_WORDS)
def test_plain_words_are_known_in_any_case(word):
    tone = known_tone(word)
    assert re.fullmatch("#[0-9a-f]{6}", tone)
    assert known_tone(f" {word.upper()} ") == tone == look(word.title()).fill


def test_black_is_dark_and_white_is_light():
    """First principles: contrast with white is 21 for black and 1 for white."""
    assert contrast(look("black").fill, "#ffffff") > 15
    assert contrast(look("white").fill, "#ffffff") < 1.2


def test_an_unknown_word_is_not_given_a_tone():
    assert known_tone("Bernstein hell") is None
    assert look("Bernstein hell").fill == NEUTRAL != look("Bernstein hell", "#cc8833").fill == "#cc8833"


@given(st.text(max_size=12))
def test_case_and_spaces_make_no_difference(name):
    assert colour_word(f"  {name} ") == colour_word(name)


@given(st.integers(0, 0xFFFFFF))
def test_words_can_be_read_on_any_tone(tone):
    one = look("mine", f"#{tone:06x}")
    assert contrast(one.ink, one.fill) >= 4.5


def test_marks_of_a_plan_differ_and_stay_as_the_list_grows():
    names = ["red", *(f"glass {i}" for i in range(120))]
    found = looks(dict.fromkeys(names))
    assert len({one.mark for one in found.values()}) == len(names) and {one.mark for one in found.values()} <= set(
        MARKS
    )
    assert looks(dict.fromkeys(names[:40])) == {name: found[name] for name in names[:40]}


def test_alike_tells_near_pairs_and_no_others():
    tones = {"one": "#3c78af", "its twin": "#3d79b0", "red": "#a8493f", "green": "#3b8251"}
    assert [pair[:2] for pair in alike(tones)] == [("one", "its twin")]
    assert alike({}) == [] and alike({"one": "#3c78af"}) == []


def coloured(**columns):
    return lay_grid(shapely.box(0, 0, 42, 20), 20, 2).coloured(["mine", "blue"])


def test_the_chosen_tone_is_drawn_on_screen_and_lightened_on_sheets():
    chosen = looks({"mine": "#cc2277", "blue": None})
    svg = to_svg(layout_picture(coloured(), looks=chosen, key=True))
    assert "#cc2277" in svg and look("blue").fill in svg
    sheet = to_svg(template_sheets(coloured(), name="front", looks=chosen)[0])
    assert chosen["mine"].lightened().fill in sheet and "#cc2277" not in sheet


def plan(**changes):
    found = Plan.load(DATA / "example_plan.json").model_dump(mode="json")
    found["tile"]["colours"][4] |= changes
    return Plan.made(**found)


def test_a_tone_is_kept_in_the_plan(tmp_path):
    saved = plan(tone="#123456")
    assert Plan.load(saved.save(tmp_path / "one.json")) == saved
    assert looks_of(saved)["blue"].fill == "#123456"


@pytest.mark.parametrize("tone", ["123456", "#12345", "blue", "#12345g", 7])
def test_tones_that_are_none_are_refused(tone):
    with pytest.raises(MosaicError):
        plan(tone=tone)


def test_an_unknown_colour_without_a_tone_is_asked_for():
    renamed = plan().renamed_colours({"deep blue": "Bernstein hell"})
    assert without_tone(renamed) == []  # it kept its tone
    bare = renamed.model_dump(mode="json")
    bare["tile"]["colours"] = [one | {"tone": None} for one in bare["tile"]["colours"]]
    worked = work_out(Plan.made(**bare))
    assert without_tone(worked.plan) == ["Bernstein hell"]
    assert any("Choose a tone for Bernstein hell" in str(note) for note in worked.notes)


def test_colours_too_alike_are_told():
    notes = [str(note) for note in work_out(plan(tone="#2b5086")).notes]  # deep blue is #2a4f85
    assert any("blue and deep blue look too alike" in note for note in notes)


def test_joints_take_the_shade_of_the_filler_and_are_dark_before_a_window():
    found = plan().model_dump(mode="json")
    found["filler"]["shade"] = "#554433"
    shaded = Plan.made(**found)
    assert joint_tone(shaded) == "#554433"
    assert contrast(joint_tone(shaded, "behind"), "#ffffff") > 10
    front, behind = looks_of(shaded), looks_of(shaded, "behind")
    assert {name: one.mark for name, one in front.items()} == {name: one.mark for name, one in behind.items()}
    # one way through the glass instead of two: every tone is lighter than on its bed (first principles)
    assert all(
        contrast(behind[name].fill, "#000000") > contrast(front[name].fill, "#000000") for name in ("blue", "deep blue")
    )


class TestNames:
    def test_blue_and_capital_blue_are_one_colour(self):
        with pytest.raises(MosaicError, match="twice"):
            plan(name="DEEP  blue")

    def test_rows_may_write_them_either_way(self):
        found = plan().model_dump(mode="json")
        found["glass"][0]["bands"][0]["rows"][0]["colours"] = ["BLUE", "Deep Blue"]
        worked = work_out(Plan.made(**found))
        assert set(worked.pieces[0].layout.pieces["colour"]) <= {one.name for one in worked.plan.tile.colours}

    def test_an_older_file_that_held_them_apart_is_put_together(self, tmp_path):
        found = plan().model_dump(mode="json")
        twin = found["tile"]["colours"][4] | {"name": "Blue", "in_hand": 5}
        found["tile"]["colours"].append(twin)
        path = tmp_path / "old.json"
        path.write_text(json.dumps(found))
        before = {one.name: one.in_hand for one in plan().tile.colours}
        assert {one.name: one.in_hand for one in Plan.load(path).tile.colours} == before | {"blue": before["blue"] + 5}

    def test_renaming_renames_it_everywhere(self):
        found = plan().model_dump(mode="json")
        found["colour"]["pins"] = [{"glass": "window panel", "x": 10.0, "y": 10.0, "colour": "blue"}]
        found["glass"][1]["background"] = {"colours": ["blue", "sky blue", "pale blue"]}
        renamed = Plan.made(**found).renamed_colours({" BLUE": "sea at night"})
        assert '"blue"' not in renamed.text() and renamed.text().count('"sea at night"') >= 4
        assert renamed.renamed_colours({"sea at night": "blue"}).tile.colours[4].name == "blue"

    def test_renaming_to_a_colour_that_is_there_or_from_none(self):
        with pytest.raises(MosaicError, match="twice"):
            plan().renamed_colours({"blue": "deep blue"})
        with pytest.raises(MosaicError, match="no colour called"):
            plan().renamed_colours({"ruby": "red"})


def test_sixty_colours_and_twenty_rows_are_taken():
    found = plan().model_dump(mode="json")
    found["tile"]["colours"] += [{"name": f"glass {i}", "tone": f"#{i * 4001 + 999:06x}"} for i in range(60)]
    found["glass"][0]["bands"][0]["rows"] *= 7
    taken = Plan.made(**found)
    assert len(taken.tile.colours) == 67 and len(taken.glass[0].bands[0].rows) >= 20
    found["glass"][0]["bands"][0]["rows"] *= 50
    with pytest.raises(MosaicError, match="take too long to lay"):
        Plan.made(**found)
