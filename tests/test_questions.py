"""Questions in general: right answers, slips, a mistaken unit, wrong answers, what cannot be read."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mosaiclib.errors import MosaicError
from mosaiclib.lesson.questions import Question, Slip

QUICK = settings(deadline=None, max_examples=60)


def draw(rng):
    return {"tiles": int(rng.integers(5, 50)), "tile": float(rng.integers(15, 30))}


# The length of a row without joints: 7 tiles of 20 mm are 140 mm.
LENGTH = Question(
    "length",
    "How long are {tiles} tiles of {tile:g} mm without joints?",
    draw,
    lambda v: v["tiles"] * v["tile"],
    unit="mm",
    units=("mm", "cm", "in", "tiles"),
    within=0.05,
    slips=(
        Slip("one less", lambda v: (v["tiles"] - 1) * v["tile"], "One tile was left out."),
        Slip("added", lambda v: v["tiles"] + v["tile"], "The numbers were added."),
    ),
    because="{tiles} x {tile:g} = {answer} mm.",
)
COUNT = Question(
    "joints",
    "How many joints have {tiles} tiles?",
    draw,
    lambda v: v["tiles"] - 1,
    slips=(Slip("as many as tiles", lambda v: v["tiles"], "The last tile has no joint after it."),),
    because="{answer}.",
)
WORD = Question(
    "word",
    "Which drifts further?",
    lambda rng: {},
    lambda v: "stick",
    options=("stick", "marks", "neither"),
    slips=(Slip("the other", lambda v: "marks", "Marks stop the drift."),),
    because="A {answer} adds every error up.",
)
VALUES = {"tiles": 7, "tile": 20.0}


@pytest.mark.parametrize(
    ("typed", "unit"),
    [
        ("140", "mm"),
        ("140,0", "mm"),
        (140.0, "mm"),
        ("14", "cm"),
        ("140.05", "mm"),
        ("139.95", "mm"),
        (140 / 25.4, "in"),
    ],
)
def test_right_in_any_unit(typed, unit):
    judged = LENGTH.judge(VALUES, typed, unit)
    assert (judged.right, judged.slip) == (True, "") and judged.words == "Right. 7 x 20 = 140 mm."


@pytest.mark.parametrize(
    ("typed", "unit", "slip", "words"),
    [
        ("120", "mm", "one less", "One tile was left out"),
        ("27", "mm", "added", "The numbers were added"),
        ("140", "cm", "unit", "in mm, not in cm"),
        ("140", "in", "unit", "in mm, not in in"),
        ("140", "tiles", "unit", "in mm, not in tiles"),
        ("120", "cm", "", "Not right"),  # the slip's number, in another unit
        ("140.06", "mm", "", "Not right"),
        ("139.94", "mm", "", "Not right"),
        ("-140", "mm", "", "Not right"),
        ("0", "mm", "", "Not right"),
    ],
)
def test_slips_and_wrong_answers(typed, unit, slip, words):
    judged = LENGTH.judge(VALUES, typed, unit)
    assert (judged.right, judged.slip) == (False, slip) and words in judged.words


def test_numbers_without_a_unit():
    assert COUNT.judge(VALUES, "6").right
    assert COUNT.judge(VALUES, "7").slip == "as many as tiles"
    assert COUNT.judge(VALUES, "8") == COUNT.judge(VALUES, "8,0")
    assert COUNT.judge(VALUES, "5.9999").right is False


def test_words():
    assert WORD.judge({}, "stick").words == "Right. A stick adds every error up."
    assert WORD.judge({}, "marks").slip == "the other"
    wrong = WORD.judge({}, "neither")
    assert (wrong.right, wrong.slip) == (False, "") and "A stick adds" in wrong.words


@pytest.mark.parametrize(
    "typed",
    ["", "x", "1e3", "nan", "inf", None, True, [140], {}, math.nan, math.inf, "9" * 400, "140 mm", b"140"],
    ids=lambda t: repr(t)[:9],
)
def test_answers_that_cannot_be_read(typed):
    with pytest.raises(MosaicError, match="answer"):
        LENGTH.judge(VALUES, typed, "mm")
    with pytest.raises(MosaicError, match="answer"):
        WORD.judge({}, typed)


@pytest.mark.parametrize("unit", ["", "km", None, 3, ["mm"]])
def test_units_that_are_not_on_the_list(unit):
    with pytest.raises(MosaicError, match="unit"):
        LENGTH.judge(VALUES, "140", unit)


@given(st.integers(0, 2**31))
@QUICK
def test_a_seed_gives_the_same_numbers_and_its_slips_are_told_apart(seed):
    values = LENGTH.values(seed)
    assert values == LENGTH.values(seed)
    assert LENGTH.ask(values) == f"How long are {values['tiles']} tiles of {values['tile']:g} mm without joints?"
    right = values["tiles"] * values["tile"]
    assert LENGTH.judge(values, right, "mm").right
    assert LENGTH.judge(values, right - values["tile"], "mm").slip == "one less"
    assert LENGTH.judge(values, right, "cm").slip == "unit"


def test_seeds_and_names_change_the_numbers():
    assert len({str(LENGTH.values(seed)) for seed in range(50)}) > 40
    assert any(LENGTH.values(seed) != COUNT.values(seed) for seed in range(5))


@pytest.mark.parametrize("seed", [None, -1, 1.5, "1", math.nan, True, [1], 10**400], ids=lambda s: str(s)[:6])
def test_seeds_refused(seed):
    with pytest.raises(MosaicError, match="seed"):
        LENGTH.values(seed)


def test_every_unit_of_the_same_dimension_is_converted_and_no_other():
    wait = Question("wait", "How long?", draw, lambda v: 48.0, unit="hours", units=("hours", "days", "mm"), within=0.1)
    assert wait.judge(VALUES, 2, "days").right and wait.judge(VALUES, 48, "hours").right
    assert wait.judge(VALUES, 48, "days").slip == wait.judge(VALUES, 48, "mm").slip == "unit"
