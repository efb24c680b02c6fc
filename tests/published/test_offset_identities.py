"""Offsets of convex curves: length L + 2 pi d, area A + L d + pi d^2 (course notes with proof, read)."""

import numpy as np
import pytest
import shapely

from mosaiclib.layout.guide import Guide, arc, ring

OVAL = Guide([(60, 0), (40, 30), (0, 42), (-40, 30), (-60, 0), (-40, -30), (0, -42), (40, -30)], closed=True)


def offset_length(guide, d, n=20_000):
    """The length of the line at a distance to the right: the integral of 1 + curvature x d, by its samples."""
    s = (np.arange(n) + 0.5) / n * guide.length
    return guide.length * np.mean(1 + guide.curvature(s) * d)


def offset(guide, d, n=20_000):
    s = np.linspace(0, guide.length, n, endpoint=False)
    return guide.at(s) + d * guide.normal(s)


@pytest.mark.parametrize("d", [1.0, 10.0, 25.0])
def test_outside_offset_of_a_convex_guide(d):
    # the oval is drawn turning left, so its outside lies on the right
    assert min(OVAL.curvature(np.linspace(0, OVAL.length, 500, endpoint=False))) > 0
    assert offset_length(OVAL, d) == pytest.approx(OVAL.length + 2 * np.pi * d, rel=1e-6)
    inner, outer = (shapely.Polygon(offset(OVAL, one)) for one in (0.0, d))
    assert outer.length == pytest.approx(inner.length + 2 * np.pi * d, rel=1e-6)
    assert outer.area == pytest.approx(inner.area + inner.length * d + np.pi * d**2, rel=1e-6)


@pytest.mark.parametrize("d", [-15.0, 5.0, 30.0])
def test_open_guides_gain_their_turning(d):
    """L + d x turning: from memory, the same identity on a part of the curve."""
    bow = arc(50, 120)
    assert bow.turning == pytest.approx(120, abs=0.01)
    assert offset_length(bow, d) == pytest.approx((50 + d) * np.radians(120), rel=1e-4)


def test_a_ring():
    assert ring(60).length == pytest.approx(2 * np.pi * 60, rel=1e-6)
    assert offset_length(ring(60), 12) == pytest.approx(2 * np.pi * 72, rel=1e-6)
