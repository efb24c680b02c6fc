"""Lengths as people type them: every spelling, every refusal, and what is shown back."""

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from mosaiclib.errors import MosaicError
from mosaiclib.units import INCH, LONGEST, show, to_mm

QUICK = settings(deadline=None, max_examples=100)


def _label(typed):
    """A short name for a test, as some of what is typed is thousands of letters long."""
    if len(repr(typed)) > 300:
        return f"{type(typed).__name__} {repr(typed)[:4]} to {repr(typed)[-4:]}, {len(repr(typed))} letters"
    return f"{type(typed).__name__} {repr(typed)[:22]}"


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("20 mm", 20.0),
        ("20mm", 20.0),
        ("20 MM", 20.0),
        ("  20   mm ", 20.0),
        ("19", 19.0),
        ("19,5 mm", 19.5),
        ("19.5", 19.5),
        (",5", 0.5),
        (".5", 0.5),
        ("15 cm", 150.0),
        ("0.15 m", 150.0),
        ("3/4 in", 3 / 4 * 25.4),
        ("0.75in", 0.75 * 25.4),
        ("0,75 in", 0.75 * 25.4),
        ("1 1/2 in", 1.5 * 25.4),
        ("1\u00a01/2\u00a0in", 1.5 * 25.4),  # fixed spaces, as copied from a page
        ("1\t1/2 in", 1.5 * 25.4),
        ("1½ in", 1.5 * 25.4),
        ("½ in", 0.5 * 25.4),
        ("1 ½ in", 1.5 * 25.4),
        ("1⁄2 in", 0.5 * 25.4),  # fraction slash
        ("⅐ in", 25.4 / 7),
        ("⅒ in", 25.4 / 10),
        ("⅝ inches", 5 / 8 * 25.4),
        ('6"', 6 * 25.4),
        ("6”", 6 * 25.4),
        ("6“", 6 * 25.4),
        ("6″", 6 * 25.4),
        ("6''", 6 * 25.4),
        ('6 1/4"', 6.25 * 25.4),
        ("1 ft", 12 * 25.4),
        ("1'", 12 * 25.4),
        ("1’", 12 * 25.4),
        ("1 ft 6 in", 18 * 25.4),
        ("1'6\"", 18 * 25.4),
        ("1′ 6″", 18 * 25.4),
        ("5' 6 1/2''", 66.5 * 25.4),
        ("1 foot 2 inches", 14 * 25.4),
        ("100 m", 100_000.0),
        (20, 20.0),
        (20.5, 20.5),
        (np.float64(2.5), 2.5),
        (np.int64(3), 3.0),
        (Fraction(3, 4), 0.75),
    ],
)
def test_read(typed, expected):
    assert to_mm(typed) == pytest.approx(expected, abs=1e-8)


def test_fraction_numerator_one_sign_is_no_whole_number():
    # "⅟8" is one eighth; it must not be read as 18
    assert to_mm("⅟8 in") == pytest.approx(25.4 / 8, abs=1e-8)


@pytest.mark.parametrize(
    ("typed", "inches"), [("1", 1), ("1/2", 0.5), ("1 1/2", 1.5), (2, 2), ("19 mm", 19 / 25.4)], ids=_label
)
def test_default_unit_only_for_bare_numbers(typed, inches):
    assert to_mm(typed, "in") == pytest.approx(inches * 25.4, abs=1e-8)


@pytest.mark.parametrize(
    "typed",
    [
        "",
        " ",
        "a bit",
        "mm",
        "in 3",
        "3/4/5 in",
        "1/0 in",
        "1 1/0",
        "0/1 in",
        "--5",
        "+-5",
        "5-",
        "-5 mm",
        "−5 mm",
        "- 5",
        "0",
        "0 mm",
        "-0",
        "1e3",
        "nan",
        "inf",
        "infinity mm",
        "1.2.3",
        "1,2,3",
        "1,234.5 mm",
        "5 parsec",
        "5 kg",
        "5 seconds",
        "5 mm2",
        "5 xyz",
        "5 delta_degC",
        "10 20 mm",  # not 30 mm
        "5 3 in",  # not 5 mm and 3 in
        "6 ft 3",
        "3 in 4",
        "6 ft -3 in",
        "100.01 m",
        "101 m",
        "9" * 400,
        "9" * 5000 + "/1 in",
        "1/" + "9" * 5000,
        "1 " + "9" * 5000 + "/1",
        "\x00",
        "20 mm\x00",
        "🟦",
        "<b>20</b>",
        "²",
        "{}",
        "5 __import__",
        None,
        True,
        False,
        b"20 mm",
        [20],
        (20,),
        {"mm": 20},
        20j,
        0,
        -1,
        0.0,
        -0.0,
        math.nan,
        math.inf,
        -math.inf,
        1e300,
        10**400,
        -(10**400),
        LONGEST + 1e-6,
        np.float64("nan"),
        np.array(2.0),
        np.array([2.0]),
        np.bool_(True),
        object(),
        float,
    ],
    ids=_label,
)
@pytest.mark.parametrize("unit", ["mm", "in"])
def test_refused_with_a_sentence_that_quotes_it(typed, unit):
    with pytest.raises(MosaicError) as told:
        to_mm(typed, unit)
    words = str(told.value)
    quote = repr(typed)
    assert words.endswith(".") and len(words) < 300
    assert quote in words or len(quote) > 80 or isinstance(typed, int | np.ndarray) or not quote.isprintable()


@pytest.mark.parametrize("unit", ["cm", "", None, 1, "MM", ["mm"]])
def test_default_unit_is_mm_or_in(unit):
    with pytest.raises(MosaicError, match=r"unit .* is not known"):
        to_mm("2", unit)
    with pytest.raises(MosaicError, match=r"unit .* is not known"):
        show(2, unit)


@pytest.mark.parametrize("typed", ["0", "0 mm", "0 in", 0, 0.0, "0/4 in"], ids=_label)
def test_zero_where_allowed(typed):
    assert to_mm(typed, zero=True) == 0
    with pytest.raises(MosaicError, match="greater than 0"):
        to_mm(typed)
    with pytest.raises(MosaicError, match="0 or more"):
        to_mm("-1 mm", zero=True)


@given(st.text(max_size=30) | st.text("0123456789 /.,'\"½⅓⅟-mincf\u00a0\t", max_size=20))
@example("1\u00a01/2")
@example("٣ mm")  # digits of other scripts
@example("٣/٤")
@example("१ १/२ in")
@QUICK
def test_any_text_gives_a_length_or_a_sentence(typed):
    for unit in ("mm", "in"):
        try:
            found = to_mm(typed, unit, zero=True)
        except MosaicError as told:
            assert str(told).endswith(".")
        else:
            assert 0 <= found <= LONGEST


@given(st.integers(0, 40), st.integers(1, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
@QUICK
def test_mixed_fractions(whole, top, bottom):
    expected = (whole + top / bottom) * 25.4
    assert to_mm(f"{whole} {top}/{bottom} in") == pytest.approx(expected, abs=1e-8)
    assert to_mm(f'{whole} {top}/{bottom}"') == pytest.approx(expected, abs=1e-8)


# --- shown -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("length", "unit", "words"),
    [
        (20, "in", "25/32 in (-0.16 mm)"),  # 25/32 x 25.4 = 19.84
        (19.05, "in", "3/4 in"),
        (38.1, "in", "1 1/2 in"),
        (25.4, "in", "1 in"),
        (0, "in", "0 in"),
        (0.1, "in", "0 in (-0.10 mm)"),
        (-38.1, "in", "-1 1/2 in"),
        (20, "mm", "20 mm"),
        (100, "mm", "100 mm"),
        (1.539, "mm", "1.54 mm"),
        (1.5, "mm", "1.5 mm"),
        (0, "mm", "0 mm"),
        (-0.001, "mm", "0 mm"),
        (-2.5, "mm", "-2.5 mm"),
    ],
)
def test_shown(length, unit, words):
    assert show(length, unit) == words


@given(st.floats(0.01, 50_000))
@QUICK
def test_shown_inches_are_the_nearest_thirty_second_and_say_the_error(length):
    words = show(length, "in")
    inches, _, error = words.partition(" in")
    shown = sum(Fraction(part) for part in inches.split())
    assert shown.denominator in (1, 2, 4, 8, 16, 32)
    true_error = float(shown) * 25.4 - length
    assert abs(true_error) <= INCH / 64 + 1e-9
    told = float(error.strip(" ()m")) if error else 0.0
    assert told == pytest.approx(true_error, abs=0.005 + 1e-9)


@given(st.floats(0.01, 50_000))
@QUICK
def test_what_is_shown_in_mm_can_be_typed_again(length):
    assert to_mm(show(length, "mm")) == pytest.approx(length, abs=0.005 + 1e-9)


@pytest.mark.parametrize("length", [None, True, "2", math.nan, math.inf, 10**400, [2], np.array([2.0])])
def test_what_cannot_be_shown(length):
    with pytest.raises(MosaicError):
        show(length)
