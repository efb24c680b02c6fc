"""Sizes of tiles and spacers by arithmetic."""

import math

import pytest

from mosaiclib.spacing import expected_range_factor, least_joint, spacer_candidates
from mosaiclib.units import INCH


def test_range_of_two_readings():
    # the difference of two has standard deviation sqrt 2, and a normal's mean distance from 0 is sqrt(2/pi)
    assert expected_range_factor(2) == pytest.approx(2 / math.sqrt(math.pi), abs=1e-12)


def test_range_of_three_readings():
    # 3/sqrt(pi): half the sum of the three distances, each 2/sqrt(pi), is the range
    assert expected_range_factor(3) == pytest.approx(3 / math.sqrt(math.pi), abs=1e-9)


def test_a_cent_is_thinner_than_a_sixteenth_of_an_inch_and_a_nickel_is_not():
    coins = {one.names[0]: one for one in spacer_candidates(1.6, pairs=False)}
    assert coins["US cent"].thickness < INCH / 16 < coins["US nickel"].thickness
    assert coins["US cent"].thickness < least_joint() < coins["US nickel"].thickness
