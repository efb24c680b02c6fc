"""What is typed into a control: read, refused in a sentence, shown and swept."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mosaiclib.errors import MosaicError
from mosaiclib.lesson.controls import KINDS, Control, read, read_number, read_readings, shown
from mosaiclib.report import Row, words_of

QUICK = settings(deadline=None, max_examples=60)
CONTROLS = {
    "length": Control("tile", "Tile", "length", 20.0, "mm", 5, 50, 0.5),
    "margin": Control("margin", "Margin", "length", 0.0, "mm", 0, 50, 0.5, zero=True),
    "range": Control("joint", "Joint", "range", (1.5, 2.5), "mm", 0, 10, 0.1),
    "number": Control("spread", "Spread", "number", 0.2, "", 0, 2, 0.05),
    "count": Control("tiles", "Tiles", "count", 10, "tiles", 2, 200, 1),
    "choice": Control("edge", "Edge", "choice", "equal", options=("equal", "flush")),
    "switch": Control("numbers", "Numbers", "switch", False),
    "text": Control("name", "Name", "text", "pane"),
    "readings": Control("own", "Own joints", "readings", ()),
    "points": Control("line", "Line", "points", ()),
    "table": Control("colours", "Colours", "table", (), options=("colour", "in hand"), rows=3),
    "again": Control("box", "Another box", "again", 1),
}


@pytest.mark.parametrize(
    ("kind", "typed", "unit", "value"),
    [
        ("length", "3/4 in", "mm", 0.75 * 25.4),
        ("length", "1", "in", 25.4),
        ("length", "20", "mm", 20),
        ("length", 20.0, "mm", 20),
        ("length", "5 mm", "in", 5),
        ("length", "50", "mm", 50),
        ("margin", "0", "mm", 0),
        ("range", "1.5 to 2.5", "mm", (1.5, 2.5)),
        ("range", "2,5 mm; 1,5 mm", "mm", (1.5, 2.5)),
        ("range", "1.5 mm – 2.5 mm", "mm", (1.5, 2.5)),
        ("range", "1/16 to 1/8", "in", (25.4 / 16, 25.4 / 8)),
        ("range", (2.5, 1.5), "mm", (1.5, 2.5)),
        ("range", [0, 3], "mm", (0, 3)),
        ("number", "0,25", "mm", 0.25),
        ("number", 0.25, "in", 0.25),
        ("count", "12", "mm", 12),
        ("count", 12.0, "mm", 12),
        ("choice", "flush", "mm", "flush"),
        ("switch", True, "mm", True),
        ("text", "", "mm", ""),
        ("readings", "1.8, 2.1; 1,9\n2", "mm", (1.8, 2.1, 1.9, 2)),
        ("readings", [1.8, 2], "mm", (1.8, 2)),
        ("readings", "", "mm", ()),
        ("table", [["blue", 3], ["green", "4"]], "mm", (("blue", "3"), ("green", "4"))),
        ("again", 2, "mm", 2),
    ],
)
def test_read(kind, typed, unit, value):
    found = read(CONTROLS[kind], typed, unit)
    assert found == (pytest.approx(value, abs=1e-8) if kind in ("length", "range", "readings") else value)
    assert type(found) is not np.ndarray
    if kind == "count":
        assert type(found) is int


BAD = [
    None,
    b"20",
    object(),
    math.nan,
    math.inf,
    -1,
    10**400,
    2j,
    {},
    {2, 3},
    np.array(2.0),
    np.array([[1.0]]),
]


@pytest.mark.parametrize("bad", range(len(BAD)))
@pytest.mark.parametrize("kind", CONTROLS)
def test_wrong_kinds_refused(kind, bad):
    if kind == "table" and isinstance(BAD[bad], np.ndarray) and BAD[bad].ndim == 2:
        return  # a table indeed
    with pytest.raises(MosaicError) as told:
        read(CONTROLS[kind], BAD[bad])
    assert str(told.value).endswith(".") and len(str(told.value)) < 300


@pytest.mark.parametrize(
    ("kind", "typed"),
    [
        ("length", "4.9"),
        ("length", "50.1"),
        ("length", "3 in"),
        ("length", "twenty"),
        ("length", ""),
        ("length", True),
        ("length", "0"),
        ("range", "2"),
        ("range", "1 to 2 to 3"),
        ("range", "1 to 11"),
        ("range", "-1 to 2"),
        ("range", "to"),
        ("range", (1, 2, 3)),
        ("range", (1,)),
        ("range", (1, None)),
        ("range", (True, 2)),
        ("number", "1/0"),
        ("number", "2.1"),
        ("number", "1e0"),
        ("number", ""),
        ("number", True),
        ("number", "9" * 400),
        ("count", "1"),
        ("count", "201"),
        ("count", "2.5"),
        ("count", 2.5),
        ("choice", "Flush"),
        ("choice", ""),
        ("switch", "yes"),
        ("switch", 1),
        ("text", 3),
        ("readings", "1,2,3"),
        ("readings", "1,234.5"),
        ("readings", "2 two"),
        ("readings", "2 -1"),
        ("readings", "1 " * 1001),
        ("readings", [1, "x"]),
        ("table", "blue"),
        ("table", ["blue"]),
        ("table", [3]),
        ("again", 1.5),
        ("again", "1"),
    ],
    ids=lambda value: repr(value)[:20],
)
def test_refused(kind, typed):
    with pytest.raises(MosaicError) as told:
        read(CONTROLS[kind], typed)
    words = str(told.value)
    assert words.endswith(".") and len(words) < 300


def test_the_range_is_named_in_the_unit_of_the_page():
    with pytest.raises(MosaicError, match="The tile must be from 5 mm to 50 mm; 60 mm is outside"):
        read(CONTROLS["length"], "60")
    with pytest.raises(MosaicError, match=r"The tile must be from 3/16 in .* to 1 31/32 in .*; 3 in is outside"):
        read(CONTROLS["length"], "3", "in")
    with pytest.raises(MosaicError, match="The tiles must be from 2 to 200 tiles; 1 tiles is outside"):
        read(CONTROLS["count"], "1")


@pytest.mark.parametrize("unit", ["cm", "", None, 1, ["mm"]])
@pytest.mark.parametrize("kind", CONTROLS)
def test_units_refused(kind, unit):
    with pytest.raises(MosaicError, match="unit"):
        read(CONTROLS[kind], CONTROLS[kind].default, unit)


@pytest.mark.parametrize("control", [None, "length", 3, {}])
def test_only_controls_are_read(control):
    with pytest.raises(MosaicError, match="control"):
        read(control, "20")


@pytest.mark.parametrize("kind", ["slider", "", None, 3, "Length"])
def test_kinds_of_control(kind):
    with pytest.raises(MosaicError, match="kind of control"):
        Control("a", "A", kind, 1)
    assert {control.kind for control in CONTROLS.values()} == set(KINDS)  # every kind is tried here


# --- what is shown can be typed again ----------------------------------------------------------------


@pytest.mark.parametrize("kind", ["length", "margin", "range", "number", "count", "readings"])
def test_defaults_come_back(kind):
    control = CONTROLS[kind]
    assert read(control, shown(control, control.default)) == control.default


@given(st.integers(50, 500).map(lambda n: n / 10))
@QUICK
def test_lengths_come_back_in_either_unit(value):
    control = Control("tile", "Tile", "length", 20.0, "mm", 1, 100, 0.1)
    assert read(control, shown(control, value)) == pytest.approx(value, abs=0.005)
    inches = shown(control, value, "in").split(" (")[0]
    assert read(control, inches, "in") == pytest.approx(value, abs=25.4 / 64 + 1e-9)


def test_shown():
    assert shown(CONTROLS["range"], (25.4, 50.8), "in") == "1 in to 2 in"
    assert shown(CONTROLS["readings"], (25.4, 12.7), "in") == "1; 1/2"
    assert shown(CONTROLS["length"], 31.0, "in") == "1 7/32 in"  # the error of 0.04 mm would not fit the box
    assert shown(CONTROLS["table"], (("blue", "3"), ("green", "4"))) == "blue, 3; green, 4"


# --- sliders -----------------------------------------------------------------------------------------


@given(st.integers(-1000, 1000), st.sampled_from([0.01, 0.02, 0.05, 0.1, 0.5, 1.0, 2.5]))
@QUICK
def test_steps_there_and_back(steps, step):
    control = Control("a", "A", "number", 0.0, low=-1e4, high=1e4, step=step)
    value = control.from_steps(steps)
    assert value == pytest.approx(steps * step, abs=1e-9) and len(repr(value)) <= 9  # no 0.49999999999999994
    assert control.to_steps(value) == steps
    assert control.to_steps(control.from_steps((steps, steps))) == (steps, steps)


@pytest.mark.parametrize("kind", CONTROLS)
def test_ends_can_be_read(kind):
    control = CONTROLS[kind]
    assert len(control.ends) >= 1
    for value in control.ends:
        assert read(control, value) == value
    if control.kind in ("length", "number", "count"):
        least, greatest, middle = control.ends
        assert (least, greatest) == (control.low, control.high) and least < middle < greatest
    if control.kind == "switch":
        assert set(control.ends) == {True, False}
    if control.kind == "choice":
        assert set(control.ends) == set(control.options)


# --- numbers, readings, words ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "value"),
    [("1,5", 1.5), (" 1.5 ", 1.5), ("-2", -2), ("−2", -2), ("+3", 3), (".5", 0.5), ("5.", 5), (7, 7)],
)
def test_numbers(typed, value):
    assert read_number(typed, "spread") == value


@pytest.mark.parametrize(
    "typed",
    [
        "",
        " ",
        "x",
        "1 2",
        "1e3",
        "nan",
        "inf",
        "1.2.3",
        "1,2,3",
        "0x10",
        "1_000",
        None,
        True,
        [1],
        math.nan,
        math.inf,
        "9" * 400,
        "1\x00",
        b"1",
    ],
    ids=lambda t: repr(t)[:9],
)
def test_numbers_refused(typed):
    with pytest.raises(MosaicError) as told:
        read_number(typed, "spread")
    assert "spread" in str(told.value) and len(str(told.value)) < 200


@given(st.text(max_size=30))
@QUICK
def test_any_text_is_a_number_or_a_sentence(typed):
    try:
        assert math.isfinite(read_number(typed, "spread"))
    except MosaicError as told:
        assert str(told).endswith(".")
    try:
        assert all(0 <= one <= 100_000 for one in read_readings(typed))
    except MosaicError as told:
        assert str(told).endswith(".")


@given(
    st.lists(st.integers(0, 900).map(lambda n: n / 100), max_size=20),
    st.sampled_from([" ", "; ", "\n", ", ", "  ;"]),
)
@QUICK
def test_readings_typed_in_any_fashion(values, between):
    assert read_readings(between.join(f"{value:.2f}" for value in values)) == pytest.approx(tuple(values))
    assert read_readings(values) == pytest.approx(tuple(values))


def test_readings_in_inches():
    assert read_readings("1/16 0.0625", "in") == pytest.approx((25.4 / 16, 25.4 / 16))


@pytest.mark.parametrize(
    ("row", "unit", "words"),
    [
        (Row("Joint", 19.05, "mm"), "in", "3/4 in"),
        (Row("Joint", 1.54, "mm"), "mm", "1.54 mm"),
        (Row("Pieces", 1200, "pieces"), "mm", "1,200 pieces"),
        (Row("Chance", 12.5, "%"), "mm", "12.5 %"),
        (Row("Spacer", "US nickel"), "mm", "US nickel"),
        (Row("Cost", 1234.5, ""), "mm", "1,234.5"),
    ],
)
def test_words_of_a_row(row, unit, words):
    assert words_of(row, unit) == words


@pytest.mark.parametrize(
    ("typed", "unit", "wanted"),
    [
        ("7 1/8", "in", (7.125 * 25.4,)),
        ("3 1/2; 3 1/2; 3 1/2", "in", (88.9, 88.9, 88.9)),
        ("90 mm; 90 mm", "mm", (90, 90)),
        ("9 cm, 9 cm", "mm", (90, 90)),
        ("3/4 in 3/4 in", "mm", (19.05, 19.05)),
        ("3\u00bd 7", "in", (88.9, 177.8)),
        ("162 161.5 161", "mm", (162, 161.5, 161)),
    ],
)
def test_lists_keep_fractions_and_units(typed, unit, wanted):
    assert read_readings(typed, unit) == pytest.approx(wanted)


@pytest.mark.parametrize("typed", ["-3 4", "3 # 4", "2 mm 3 kg", "1/2/3"])
def test_odd_lists_are_refused(typed):
    with pytest.raises(MosaicError):
        read_readings(typed)


def test_answers_may_be_fractions():
    assert read_number("1 1/2", "answer") == 1.5 and read_number("3/4", "answer") == 0.75
    assert read_number("1,5", "answer") == 1.5
