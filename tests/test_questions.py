"""Questions in general: right answers, slips, a mistaken unit, wrong answers, what cannot be read."""

import math
from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mosaiclib.errors import MosaicError
from mosaiclib.layout import NIP, gauge_classes
from mosaiclib.lesson.questions import Question, Slip
from mosaiclib.lessons import PARTS, asked, w02_ring
from mosaiclib.units import show

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
    ["", "x", "1e3", "nan", "inf", None, True, [140], {}, math.nan, math.inf, "9" * 400, b"140"],
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


# --- as people type ---------------------------------------------------------------------------------------

SHARE = Question("share", "What share?", draw, lambda v: 100.0, unit="%", within=0.5)
WAIT = Question("wait", "How long?", draw, lambda v: 312.0, unit="hours", units=("hours", "days", "mm"), within=1.0)


@pytest.mark.parametrize(
    ("question", "typed", "unit", "right"),
    [
        (SHARE, "100%", "", True),
        (SHARE, "100 %", "", True),
        (SHARE, "90%", "", False),
        (WAIT, "13 days", "", True),
        (WAIT, "13 days", "days", True),
        (WAIT, "312 h", "", True),
        (WAIT, "13 h", "", False),
        (WAIT, "2 weeks", "", False),
        (LENGTH, "140 mm", "mm", True),
        (LENGTH, "14 cm", "", True),
        (LENGTH, "5 1/2 in", "", True),  # 139.7 mm, as the page writes 140 mm
        (LENGTH, "5 1/2", "in", True),
        (LENGTH, '5 1/2"', "", True),
        (LENGTH, "5 17/32 in", "", False),
        (LENGTH, "5.51", "in", True),
        (LENGTH, "5.45", "in", False),
        (LENGTH, "140000 um", "", True),
        (SHARE, "100 percent", "", True),
        (WAIT, "312 hrs", "", True),
    ],
)
def test_a_unit_may_be_typed_after_the_number(question, typed, unit, right):
    assert question.judge(VALUES, typed, unit).right == right


@pytest.mark.parametrize(
    ("question", "typed", "unit", "words"),
    [
        (WAIT, "13 days", "hours", "days.*hours"),
        (WAIT, "13", "", "unit of your answer"),
        (WAIT, "13 parsecs", "", "parsecs"),
        (SHARE, "100 mm", "", "mm"),
        (LENGTH, "1,400 mm", "", "two ways"),  # a slip of a thousand
        (LENGTH, "1 400 mm", "", "not a number"),
    ],
)
def test_units_that_contradict_or_are_unknown_are_told(question, typed, unit, words):
    with pytest.raises(MosaicError, match=words):
        question.judge(VALUES, typed, unit)


ALL = [(number, one) for number in PARTS for one in asked(number)]


@pytest.mark.parametrize(("number", "question"), ALL, ids=lambda x: getattr(x, "name", x))
def test_right_answers_are_right_in_every_unit_that_is_offered(number, question):
    """1 L = 1000 mL = 1e6 mm3, 1 in = 25.4 mm, 1 day = 24 hours; typed to six digits, or as the page writes inches."""
    in_first = {
        "mm": 1,
        "cm": 10,
        "in": 25.4,
        "thousandths of a mm": 0.001,
        "mL": 1,
        "L": 1000,
        "mm3": 0.001,
        "hours": 1,
        "days": 24,
        "MPa": 1,
    }
    kinds = (("mm", "cm", "in", "thousandths of a mm"), ("mL", "L", "mm3"), ("hours", "days"))
    for seed in range(1, 51):
        values = question.values(seed)
        right = question.answer(values)
        if question.options:
            assert [one for one in question.options if question.judge(values, one).right] == [right]
            continue
        for unit in question.units or [""]:
            alike = any({unit, question.unit} <= set(kind) for kind in kinds)
            if unit not in ("", question.unit) and not alike:
                continue
            told = right * in_first[question.unit] / in_first[unit] if alike else right
            assert question.judge(values, f"{told:.6g}", unit).right, (seed, unit)
            assert question.judge(values, f"{told:.6g} {unit or question.unit}").right, (seed, unit)
            figures = f"{float(f'{told:.3g}'):g}"  # as one writes it down
            assert question.judge(values, figures, unit).right, (seed, unit, figures)
            if unit == "in":
                assert question.judge(values, show(right, "in").partition(" in")[0], "in").right, seed


@pytest.mark.parametrize(("number", "question"), ALL, ids=lambda x: getattr(x, "name", x))
def test_no_slip_is_right_or_like_another(number, question):
    for seed in range(1, 51):
        values = question.values(seed)
        for slip in question.slips:
            judged = question.judge(values, slip.value(values), question.unit if question.units else "")
            assert (judged.right, judged.slip) == (False, slip.name), seed


def test_no_length_is_0_inches():
    """A drift of 0.3 mm is nearest to 0/32 in, which is no answer."""
    question = next(one for _, one in ALL if one.name == "end of the row")
    for seed in range(1, 51):
        assert not question.judge(question.values(seed), "0", "in").right


def test_an_angle_in_radians_does_for_its_tangent():
    """Height times the angle, or twice the height times the tangent of half of it: 0.03 mm apart at the most."""
    question = next(one for _, one in ALL if one.name == "taper from the angle")
    for seed in range(1, 51):
        values = question.values(seed)
        assert question.judge(values, f"{values['height'] * math.radians(values['angle']):.2f}", "mm").right, values


@pytest.mark.parametrize(
    ("number", "question"), [(n, q) for n, q in ALL if q.options], ids=lambda x: getattr(x, "name", x)
)
def test_the_place_of_the_right_choice_is_drawn(number, question):
    places = set()
    for seed in range(1, 60):
        offered = question.offered(seed)
        assert sorted(offered) == sorted(question.options) and offered == question.offered(seed)
        places.add(offered.index(question.answer(question.values(seed))))
    assert places == set(range(len(question.options)))


def test_a_rule_of_the_page_and_a_question_about_it_do_not_contradict():
    """Workbook 02: the page calls a narrow end too weak by one rule; the question follows the same one."""
    question = next(one for _, one in ALL if one.name == "which fraction")
    pieces = {"whole tiles": "whole", "halves, laid lengthwise": "half", "thirds, laid lengthwise": "third"}
    answers = set()
    for seed in range(1, 80):
        values = question.values(seed)
        answers.add(question.answer(values))
        fits = [
            name
            for name, fraction in pieces.items()
            if (r := w02_ring.compute(w02_ring.Settings(radius=float(values["radius"]), joint=2.0, fraction=fraction)))
            and r.wedge.narrow >= r.narrow_min
        ]
        assert question.answer(values) == (fits or ["none of these"])[0], values
        assert values["radius"] >= 5  # as the page can be set
    assert answers == set(question.options)


@pytest.mark.parametrize(
    ("name", "rule"),
    [
        ("whole on a bend", lambda v: v["side"] * (v["side"] + v["low"]) / (v["high"] - v["low"])),
        ("taper from the angle", lambda v: v["height"] * v["angle"] / 57),
        ("taper from the radius", lambda v: v["side"] * 360 / v["count"] / 57),
    ],
)
def test_the_rules_in_words_of_workbook_02_are_good_enough_for_its_questions(name, rule):
    """One degree is 1/57.3 of the radius; what The idea says in words must not be judged wrong."""
    question = next(one for _, one in ALL if one.name == name)
    for seed in range(1, 200):
        values = question.values(seed)
        assert question.judge(values, f"{rule(values):.2f}", "mm").right, values


def test_a_ring_takes_whole_pieces_where_any_number_of_them_keeps_the_limits():
    """Brute force over all numbers of pieces that do not overlap: how far the near corners of two neighbours are apart."""
    closing, apart = [], np.exp(2j * np.pi / np.arange(3, 400))
    for radius in range(150, 301):
        found = w02_ring.compute(w02_ring.Settings(radius=float(radius)))
        turn = apart[np.angle(apart) > 2 * np.arctan(5 / radius)]  # quarters of 20 mm
        inside, outside = (np.abs((r - 5j) * turn - (r + 5j)) for r in (radius, radius + 10))
        assert found.closes == bool(((inside >= 1.7) & (outside <= 2.3 + NIP)).any()), radius
        closing.append(found.closes)
    assert any(closing) and not all(closing)


def test_six_or_seven_more_in_the_next_row_are_both_right():
    """2 pi is 6.28; a whole number of pieces makes it six, or seven now and then."""
    question = next(one for _, one in ALL if one.name == "next row outward")
    assert question.judge(question.values(1), "6", "pieces").right
    assert question.judge(question.values(1), "7", "pieces").right
    assert not question.judge(question.values(1), "5", "pieces").right


def test_gauges_that_are_asked_for_are_those_that_the_lesson_counts():
    """Workbook 02: wedges with narrow ends all over the range fall into as many gauges as the question says."""
    question = next(one for _, one in ALL if one.name == "how many gauges")
    ring = w02_ring.compute(w02_ring.Settings()).cut
    for seed in range(1, 40):
        values = question.values(seed)
        ends = np.linspace(values["low"], values["high"], len(ring) * 3)
        every = pd.concat([ring.pieces] * 3, ignore_index=True).assign(width=float(values["wide"]), narrow=ends)
        laid = replace(ring, shapes=np.tile(ring.shapes, 3), pieces=every)
        assert len(gauge_classes(laid, values["step"])) == question.answer(values), values
