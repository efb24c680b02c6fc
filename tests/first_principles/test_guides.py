"""Guides through points of circles."""

import numpy as np
import pytest

from mosaiclib.layout import Guide


def circle(radius, degrees, count, closed=False):
    angle = np.radians(np.linspace(0, degrees, count, endpoint=not closed))
    return Guide(radius * np.stack([np.cos(angle), np.sin(angle)], axis=1), closed=closed)


def test_a_ring_is_as_long_as_its_circle():
    assert circle(60, 360, 96, closed=True).length == pytest.approx(2 * np.pi * 60, rel=1e-6)


def test_a_bow_turns_by_its_angle():
    bow = circle(50, 120, 49)
    assert bow.turning == pytest.approx(120, abs=0.01)
    s = np.linspace(0.1, 0.9, 9) * bow.length
    assert bow.curvature(s) == pytest.approx(1 / 50, rel=1e-3)


@pytest.mark.parametrize("d", [-15.0, 5.0, 30.0])
def test_a_line_beside_a_bow_is_a_bow(d):
    bow = circle(50, 120, 49)
    s = np.linspace(0, bow.length, 5000)
    beside = bow.at(s) + d * bow.normal(s)
    length = np.hypot(*np.diff(beside, axis=0).T).sum()
    assert length == pytest.approx((50 + d) * np.radians(120), rel=1e-4)
