"""Cure against geometry: inscribed circles, and a front that goes with the root of time."""

import numpy as np
import pytest
import shapely

from mosaiclib.adhesive import cure_depth, hours_to_cure, reach

TILE = shapely.box(0, 0, 19, 19)


@pytest.mark.parametrize(
    ("shape", "radius"),
    [
        (shapely.box(0, 0, 20, 20), 10.0),
        (shapely.box(0, 0, 20, 7), 3.5),
        # 3-4-5 triangle: r = area/half the perimeter = 6/6
        (shapely.Polygon([(0, 0), (4, 0), (0, 3)]), 1.0),
        # wedge of 20 and 12 mm ends, 20 mm high: the sides lean by 4 mm in 20; the circle touches the wide end and both
        # sides: r = (w/2) tan(base angle/2), base angle = atan(20/4)
        (shapely.Polygon([(0, 0), (20, 0), (16, 20), (4, 20)]), 10 * np.tan(np.arctan(5) / 2)),
    ],
)
def test_inscribed_circle(shape, radius):
    assert reach(shape)[0] == pytest.approx(radius, abs=0.011)
    # the general geometry library agrees: drawn in by the radius nothing is left, by a little less something is
    assert shapely.buffer(shape, -radius - 0.02).is_empty and not shapely.buffer(shape, -radius + 0.05).is_empty


def test_four_times_the_time_for_twice_the_depth():
    # the law itself: Comyn, Int. J. Adhes. Adhes. 18 (1998) 247, from memory
    assert cure_depth(4 * 24.0) == pytest.approx(2 * cure_depth(24.0))


def test_a_tile_is_through_when_the_front_has_gone_half_its_side():
    # t = (d/k)^2 with k = 2.5 mm per root of a day (common practice, no source: 2 to 3)
    assert hours_to_cure(TILE) / 24 == pytest.approx((9.5 / 2.5) ** 2, rel=0.003)
