"""Filler against geometry and elasticity: volumes of joints, energies of a held film."""

import math

import pytest
import shapely

from mosaiclib.filler import (
    debond_energy,
    grid_volume,
    joint_volume,
    misfit_stress,
    usual_grid_volume,
)
from mosaiclib.layout import Tile, lay_grid
from published.records import turning


@pytest.mark.parametrize(("width", "height", "joint", "depth"), [(20, 20, 2, 4), (25, 10, 1.5, 4.2), (300, 300, 3, 8)])
def test_a_cell_less_a_tile(width, height, joint, depth):
    cell = (width + joint) * (height + joint)
    assert grid_volume(width, height, joint, depth) == pytest.approx((cell - width * height) / cell * depth, rel=1e-12)


def test_the_usual_formula_is_too_high_for_small_tiles():
    # it divides by the tile instead of the cell and forgets the crossings: for squares 2 (L + j)^2/(L (2 L + j))
    ratio = usual_grid_volume(20, 20, 2, 4) / grid_volume(20, 20, 2, 4)
    assert ratio == pytest.approx(2 * 22**2 / (20 * 42), rel=1e-12)


def test_a_layout_of_whole_cells_takes_the_same():
    # half a joint all round each tile: 5 x 4 cells of 22 x 22 are a piece of the endless grid
    outline = shapely.box(0, 0, 5 * 22, 4 * 22)
    laid = lay_grid(outline, Tile(20, 4), 2)
    assert len(laid) == 20
    litres_on_a_square_metre = joint_volume(laid) / outline.area * 1000  # mL/mm2 = 1000 L/m2
    assert litres_on_a_square_metre == pytest.approx(grid_volume(20, 20, 2, 4), rel=1e-9)


def test_sloping_edges_make_each_tile_a_frustum():
    # edges that slope by 5 degrees: the back edge lies 4 tan 5 degrees inside, about 16 % more filler
    back = 20 - 2 * 4 * math.tan(math.radians(5))
    frustum = 4 / 3 * (20**2 + 20 * back + back**2)
    more = (22 * 22 * 4 - frustum) / (22 * 22 * 4 - 20 * 20 * 4) - 1
    assert 100 * more == pytest.approx(16, abs=0.5)
    outline = shapely.box(0, 0, 3 * 22, 3 * 22)
    plain = joint_volume(lay_grid(outline, Tile(20, 4), 2))
    sloping = joint_volume(lay_grid(outline, Tile(20, 4, back_side=back), 2))
    assert sloping / plain - 1 == pytest.approx(more, rel=1e-9)


def test_a_film_worked_by_hand():
    # E 10 GPa, nu 0.2, 800 millionths, 3 mm, made up: sigma = 10 000 x 0.0008/0.8 = 10 MPa
    stress = misfit_stress(10_000, 0.2, 800e-6)
    assert stress == pytest.approx(10_000 * 800e-6 / 0.8, rel=1e-12)
    # (1 - nu^2) sigma^2 h/(2 E) = 0.96 x 100 x 3/20 000 = 0.0144 N/mm
    assert debond_energy(stress, 10_000, 0.2, 3) == pytest.approx(14.4, rel=1e-9)


@pytest.mark.parametrize("nu", [0.0, 0.2, 0.35])
def test_what_a_film_gives_is_what_is_stored_less_what_stays(nu):
    stress, modulus, thick = 7.0, 20_000.0, 2.0
    stored = (1 - nu) * stress**2 * thick / modulus * 1000  # [J/m2] equal stress both ways
    # released across the front only, the stress along it falls to (1 - nu) sigma: uniaxial, sigma^2/(2 E)
    kept = ((1 - nu) * stress) ** 2 * thick / (2 * modulus) * 1000
    assert debond_energy(stress, modulus, nu, thick) == pytest.approx(stored - kept, rel=1e-12)


@pytest.mark.parametrize(("energy", "thick"), [(6, 1.25), (18, 3.75)])
def test_a_film_lets_go_from_the_thickness_on_at_which_it_gives_enough(energy, thick):
    # 2 E Gamma/((1 - nu^2) sigma^2) = 2 x 10 000 x 0.006/(0.96 x 100) mm
    found = turning(lambda h: debond_energy(10, 10_000, 0.2, h) > energy, 0.1, 30)
    assert found == pytest.approx(thick, rel=1e-9)
