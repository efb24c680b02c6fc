"""Every printed value against ours."""

import pytest

from published import CHECKS
from published.records import Check, half_the_last_digit, read


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: f"{c.subject}: {c.what}")
def test_ours_is_what_is_printed(check):
    ours = check.ours()
    assert check.agrees(ours), f"{check.source}, {check.place}: printed {check.printed} {check.unit}, ours {ours}"


def test_a_wrong_value_would_be_found():
    check = Check("joints", "a book", "p. 1", "read", "a joint", "1.95", "mm", lambda: 1.95)
    assert check.tolerance == pytest.approx(0.005)
    assert check.agrees(1.9549) and not check.agrees(1.956) and not check.agrees("wide")
    words = Check("joints", "a book", "p. 1", "read", "a joint", "wide", "", lambda: "wide")
    assert words.agrees("wide") and not words.agrees("narrow") and words.number is None


def test_printed_values_are_read_as_they_stand():
    assert read("3/16") == 0.1875 and read("-79.7751") == -79.7751 and read("sanded") is None
    assert half_the_last_digit("2.0425") == pytest.approx(0.00005) and half_the_last_digit("1/16") == 0


def test_no_check_stands_twice():
    assert len({(c.subject, c.source, c.place, c.what, c.unit) for c in CHECKS}) == len(CHECKS)
