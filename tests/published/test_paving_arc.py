"""Uncut paving blocks on an arc: trade guidance."""

import math

import pytest

from mosaiclib.layout.wedges import uncut_gap, uncut_radius


def test_largest_joint_at_2_1_m():
    """Blocks 200 x 100 mm round an outside radius of 2.1 m open to 10 mm: block-paving trade guidance, read
    second-hand; that 2.1 m is the outside radius is our reading. Blocks touch inside."""
    inside, width = 2000.0, 200.0
    # blocks that just touch inside: 62.9 of them would close the circle, so 63 is nearest
    count = math.pi / math.atan(width / (2 * inside))
    opened = uncut_gap(2100, width=width, count=round(count)) - uncut_gap(inside, width=width, count=round(count))
    assert opened == pytest.approx(10, abs=0.1)


def test_the_rule_for_leaving_them_whole_agrees():
    """The same case read from the other side: joint 0 to 10 mm is allowed from 2.0 m inside."""
    assert uncut_radius(width=200, height=100, joint_min=0, joint_max=10) == pytest.approx(2000)
