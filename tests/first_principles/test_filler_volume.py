"""Filler of a straight grid, by geometry."""

import math

import pytest
import shapely

from mosaiclib.filler import grid_volume, joint_volume, usual_grid_volume
from mosaiclib.layout import Tile, lay_grid


def test_exact_volume_as_stated():
    # 20 x 20 x 4 mm, joint 2 mm: 0.694 L/m2
    assert grid_volume(20, 20, 2, 4) == pytest.approx(0.694, abs=0.0005)
    # the same as arithmetic: a cell of 22 x 22 less a tile of 20 x 20, times 4 mm deep
    assert grid_volume(20, 20, 2, 4) == pytest.approx((22 * 22 - 20 * 20) / (22 * 22) * 4, rel=1e-12)


def test_usual_volume_as_stated():
    # 0.800 L/m2 = 4 x 2 x (20 + 20)/(20 x 20)
    assert usual_grid_volume(20, 20, 2, 4) == pytest.approx(0.800, abs=0.0005)


def test_usual_is_too_high_for_small_tiles():
    # 15.2 % high; usual/exact = 2 (L + j)^2/(L (2 L + j)) for squares
    ratio = usual_grid_volume(20, 20, 2, 4) / grid_volume(20, 20, 2, 4)
    assert 100 * (ratio - 1) == pytest.approx(15.2, abs=0.05)
    assert ratio == pytest.approx(2 * 22**2 / (20 * 42), rel=1e-12)


@pytest.mark.parametrize(("width", "height", "joint", "depth"), [(20, 20, 2, 4), (25, 10, 1.5, 4.2), (300, 300, 3, 8)])
def test_two_forms_agree(width, height, joint, depth):
    cell = (width + joint) * (height + joint)
    first = (1 - width * height / cell) * depth
    second = depth * joint * (width + height + joint) / cell
    assert first == pytest.approx(second, rel=1e-12)
    assert grid_volume(width, height, joint, depth) == pytest.approx(first, rel=1e-12)


def test_layout_on_an_endless_grid_cell_takes_the_same():
    # Half a joint all round each tile: 5 x 4 cells of 22 x 22 are a piece of the endless grid.
    outline = shapely.box(0, 0, 5 * 22, 4 * 22)
    laid = lay_grid(outline, Tile(20, 4), 2)
    assert len(laid) == 20
    litres_on_a_square_metre = joint_volume(laid) / outline.area * 1000  # mL/mm2 = 1000 L/m2
    assert litres_on_a_square_metre == pytest.approx(0.694, abs=0.0005)
    assert litres_on_a_square_metre == pytest.approx(grid_volume(20, 20, 2, 4), rel=1e-9)


def test_sloping_edges_take_about_sixteen_percent_more():
    # Edges sloping by 5 degrees add about 16 % on 20 x 20 x 4 mm at 2 mm.
    # First principles: each back edge lies 4 tan 5 degrees inside; the tile is a frustum of height 4.
    back = 20 - 2 * 4 * math.tan(math.radians(5))
    frustum = 4 / 3 * (20**2 + 20 * back + back**2)
    upright = 22 * 22 * 4 - 20 * 20 * 4
    more = (22 * 22 * 4 - frustum) / upright - 1
    assert 100 * more == pytest.approx(16, abs=0.5)
    outline = shapely.box(0, 0, 3 * 22, 3 * 22)
    plain = joint_volume(lay_grid(outline, Tile(20, 4), 2))
    sloping = joint_volume(lay_grid(outline, Tile(20, 4, back_side=back), 2))
    assert sloping / plain - 1 == pytest.approx(more, rel=1e-9)
