"""What is typed into a control: read, refused in a sentence, shown and swept."""

import copy
import math
from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mosaiclib.errors import MosaicError
from mosaiclib.lesson import controls
from mosaiclib.lesson.controls import (
    Again,
    Choice,
    Chosen,
    Control,
    Count,
    Length,
    Number,
    Points,
    Range,
    Readings,
    Slider,
    Switch,
    Table,
    Temperature,
    Words,
    put_into,
    read_number,
    read_readings,
    values_in,
)
from mosaiclib.report import Row, words_of

QUICK = settings(deadline=None, max_examples=60)
CONTROLS = {
    "length": Length("tile", "Tile", 5, 50, 0.5),
    "margin": Length("margin", "Margin", 0, 50, 0.5),
    "range": Range("joint", "Joint", 0, 10, 0.1),
    "number": Number("spread", "Spread", 0, 2, 0.05),
    "temperature": Temperature("room", "Room", 5, 40),
    "count": Count("tiles", "Tiles", 2, 200, unit="tiles"),
    "choice": Choice("edge", "Edge", ("equal", "flush")),
    "chosen": Chosen("piece", "Piece", lambda settings: ("pane", "bowl")),
    "switch": Switch("numbers", "Numbers"),
    "text": Words("name", "Name"),
    "readings": Readings("own", "Own joints"),
    "points": Points("line", "Line"),
    "table": Table("colours", "Colours", ("colour", "in hand"), 3),
    "again": Again("box", "Another box"),
}
START = {
    "length": 20.0,
    "margin": 0.0,
    "range": (1.5, 2.5),
    "number": 0.2,
    "temperature": 23.0,
    "count": 10,
    "choice": "equal",
    "chosen": "pane",
    "switch": False,
    "text": "pane",
    "readings": (1.5, 2.0),
    "points": ((0.0, 40.0), (60.0, 72.5)),
    "table": (("blue", "3"),),
    "again": 1,
}


def test_every_kind_of_control_is_tried_here():
    made = {each for each in vars(controls).values() if isinstance(each, type) and issubclass(each, Control)}
    assert made - {Control, Slider} == {type(control) for control in CONTROLS.values()}


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
    found = CONTROLS[kind].read(typed, unit)
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
        CONTROLS[kind].read(BAD[bad])
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
        CONTROLS[kind].read(typed)
    words = str(told.value)
    assert words.endswith(".") and len(words) < 300


def test_the_range_is_named_in_the_unit_of_the_page():
    with pytest.raises(MosaicError, match="The tile must be from 5 to 50 mm; 60 mm is outside"):
        CONTROLS["length"].read("60")
    with pytest.raises(MosaicError) as told:
        CONTROLS["length"].read("3", "in")
    assert told.value.told("in") == "The tile must be from 0.197 to 1 31/32 in (5 to 50 mm); 3 in is outside."
    with pytest.raises(MosaicError, match="The tiles must be from 2 to 200 tiles; 1 tiles is outside"):
        CONTROLS["count"].read("1")


# --- what is shown can be typed again ----------------------------------------------------------------


@pytest.mark.parametrize("kind", ["length", "margin", "range", "number", "count", "readings", "points", "text"])
def test_what_is_shown_comes_back(kind):
    assert CONTROLS[kind].read(CONTROLS[kind].shown(START[kind])) == START[kind]


@given(st.integers(50, 500).map(lambda n: n / 10))
@QUICK
def test_lengths_come_back_in_either_unit(value):
    control = Length("tile", "Tile", 1, 100, 0.1)
    assert control.read(control.shown(value)) == pytest.approx(value, abs=0.005)
    inches = control.shown(value, "in").split(" (")[0]
    assert control.read(inches, "in") == pytest.approx(value, abs=25.4 / 64 + 1e-9)


def test_shown():
    assert CONTROLS["range"].shown((25.4, 50.8), "in") == "1 in to 2 in"
    assert CONTROLS["readings"].shown((25.4, 12.7), "in") == "1; 1/2"
    assert CONTROLS["length"].shown(31.0, "in") == "1 7/32 in"  # the error of 0.04 mm would not fit the box
    assert CONTROLS["table"].shown((("blue", "3"), ("green", "4"))) == "blue, 3; green, 4"


# --- sliders -----------------------------------------------------------------------------------------


@given(st.integers(-1000, 1000), st.sampled_from([0.01, 0.02, 0.05, 0.1, 0.5, 1.0, 2.5]))
@QUICK
def test_steps_there_and_back(steps, step):
    control, both = (kind("a", "A", -1e4, 1e4, step) for kind in (Number, Range))
    value = control.from_steps(steps)
    assert value == pytest.approx(steps * step, abs=1e-9) and len(repr(value)) <= 9  # no 0.49999999999999994
    assert control.to_steps(value) == steps
    assert both.to_steps(both.from_steps((steps, steps))) == (steps, steps)


@pytest.mark.parametrize("kind", CONTROLS)
def test_ends_can_be_read(kind):
    control, ends = CONTROLS[kind], CONTROLS[kind].ends(START[kind])
    assert ends and all(control.read(value) == value for value in ends)
    if kind in ("length", "number", "count"):
        least, greatest, middle = ends
        assert (least, greatest) == (control.low, control.high) and least < middle < greatest
    if kind == "range":
        assert ends == ((0.0, 5.0), (5.0, 10.0))
    if kind == "switch":
        assert set(ends) == {True, False}
    if kind == "choice":
        assert ends == control.options
    if kind == "again":
        assert ends == (START[kind] + 1,)


# --- what a nested record keeps ----------------------------------------------------------------------


@dataclass(frozen=True)
class Kept:
    edge: str = "clear edge"
    waste: float = 15.0
    limits: tuple = (1.5, 2.5)
    widths: tuple = (160.0, 161.0)
    line: tuple = ((0.0, 1.0), (2.0, 3.0))
    seen: bool = True


def test_a_nested_record_is_shown_and_written_by_paths():
    paths = (
        Choice("edge", "Edge", {"flush": "flush", "clear edge": "equal"}, path="joint.edge"),
        Number("waste", "Lost", 0, 100, 5, "%", percent=True, path="waste"),
        Range("limits", "Limits", 0, 10, 0.1, path="joint.least joint.greatest"),
        Readings("widths", "Widths", path="glass.vessel.widths"),
        Points("line", "Line", path="line"),
        Switch("seen", "Seen"),  # without a path: the record knows nothing of it
    )
    record = {
        "joint": {"edge": "equal", "least": 1.5, "greatest": 2.5, "wanted": 2.0},
        "waste": 0.15,
        "glass": {"vessel": {"widths": [160.0, 161.0], "wall": 5.0}},
        "line": [[0.0, 1.0], [2.0, 3.0]],
    }
    before = copy.deepcopy(record)
    assert values_in(record, paths) == {k: v for k, v in vars(Kept()).items() if k != "seen"}
    put_into(record, paths, Kept())
    assert record == before
    put_into(record, paths, Kept(edge="flush", waste=7.0, limits=(1.0, 3.0), widths=(1.0,), line=((5, 6),)))
    assert record["joint"] == {"edge": "flush", "least": 1.0, "greatest": 3.0, "wanted": 2.0}
    assert record["waste"] == pytest.approx(0.07) and record["line"] == [[5.0, 6.0]]
    assert record["glass"]["vessel"] == {"widths": [1.0], "wall": 5.0}


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


@pytest.mark.parametrize(
    ("typed", "unit", "value"),
    [
        ("100%", "%", 100),
        ("10 %", "% of cement", 10),
        ("24 h", "hours", 24),
        ("2 days", "hours", 48),
        ("75 F", "C", 23.8889),
        ("20 °C", "C", 20),
        ("45 min", "minutes", 45),
        ("45 min", "min", 45),
        ("0.6 N/mm2", "N/mm2", 0.6),
        ("145.038 psi", "N/mm2", 1.0),
        ("15 mL/min", "mL/min", 15),
        ("1 L", "mL", 1000),
        ("53 g", "g", 53),
        ("2 1/2 in", "mm", 63.5),
    ],
)
def test_a_number_box_takes_its_unit_too(typed, unit, value):
    assert read_number(typed, "wait", unit) == pytest.approx(value, rel=1e-4)


@pytest.mark.parametrize(("typed", "unit"), [("24 h", "C"), ("5 mm", "%"), ("5 mm", ""), ("5 apples", "g")])
def test_a_unit_of_another_kind_is_refused_by_name(typed, unit):
    with pytest.raises(MosaicError, match=typed.split()[1]):
        read_number(typed, "wait", unit)
