"""Saw angles of segment rings: woodturner's table, read second-hand."""

import math

import pytest

from mosaiclib.layout.wedges import wedge


@pytest.mark.parametrize(("count", "printed"), [(6, 30), (8, 22.5), (12, 15), (16, 11.25)])
def test_saw_angle(count, printed):
    # a piece just wide enough that this count is the least: outside edge 2 R tan(180/N), no joint
    outside = 100.0
    width = 2 * outside * math.tan(math.pi / count)
    assert wedge(outside - 10, width=width + 1e-6, height=10, joint=0).count == count
    assert wedge(outside - 10, width=width + 1e-6, height=10, joint=0).cut_angle == pytest.approx(printed)
