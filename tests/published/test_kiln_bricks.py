"""Kiln-lining and arch bricks: trade tables."""

import math

import pytest

from mosaiclib.layout.wedges import natural_radius


@pytest.mark.parametrize(("wide", "narrow", "diameter"), [(103, 82.0, 2000.0), (103, 89.0, 3000.0)])
def test_natural_diameter_of_kiln_bricks(wide, narrow, diameter):
    """Shapes 220 and 320, 200 mm high, 2 mm joint: kiln-lining trade dimension table, read."""
    assert 2 * natural_radius(wide, narrow, height=200, joint=2) == pytest.approx(diameter, abs=0.1)


@pytest.mark.parametrize(("narrow", "span", "printed"), [(59, 910, 21), (64, 1360, 29)])
def test_bricks_in_a_semicircle(narrow, span, printed):
    """AR1.1 and AR1.3, 102 mm high, wide end 75 mm, 10 mm joint: brick-trade table of special shapes (BS 4729
    AR shapes), read second-hand; 20 or 21 and 28 or 29 bricks."""
    count = math.pi * (span / 2 + 102) / (75 + 10)
    assert printed - 1 <= count <= printed
    # the brick's own circle, by our function, is the arch's outer radius to within a tenth
    own = natural_radius(75, narrow, height=102, joint=10)
    assert own == pytest.approx(span / 2 + 102, rel=0.12)
