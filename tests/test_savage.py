"""Rows and field on savage lines break nothing that must hold, or are refused in a sentence."""

import numpy as np
import pytest
import shapely

from faults import faults, too_large
from guides import KINDS, savage
from mosaiclib.errors import MosaicError
from mosaiclib.layout import Layout, Tile, broken, join, lay_field, lay_rows, piece_table, survey
from mosaiclib.layout.check import oversize


def refused(kind, seed):
    """Lay a savage line and assert what must hold; tell whether it is refused."""
    made, rows, joint, limits, face, tile, pattern, angle = savage(kind, seed)
    search = "full" if seed % 7 == 3 else "none"
    try:
        band = lay_rows(made(), rows, joint, face, limits=limits)
        field = lay_field(face, band, tile, joint, pattern=pattern, angle=angle, search=search)
        whole = join(band, field)
    except MosaicError as why:
        assert len(str(why)) > 20
        return True
    assert len(whole)
    assert faults(whole, face, rows, limits, tile) == {}, f"{kind} {seed}"
    assert survey(whole).overlaps == len(broken(whole)) == 0, f"{kind} {seed}"
    return False


@pytest.mark.parametrize("kind", KINDS)
def test_a_savage_line_of_each_kind(kind):
    assert sum(refused(kind, seed) for seed in range(3, 5)) < 2


@pytest.mark.parametrize(("kind", "seed"), [("fitted", 5), ("star", 13)])
def test_what_lies_askew_in_its_tile_or_along_an_edge_is_measured_as_it_is(kind, seed):
    """A wedge of a half fits it only within half a degree; a piece ends all but on the edge of the face."""
    assert not refused(kind, seed)


@pytest.mark.parametrize("seed", range(6))
def test_a_piece_with_a_corner_on_each_side_of_its_tile_fits_it(seed):
    """It lies in its tile, whichever way that is turned; larger by a twentieth some lie in it no way."""
    rng = np.random.default_rng(seed)
    side, turn = 10 ** rng.uniform(0.5, 2.5), rng.uniform(0, 2 * np.pi)
    x, y = rng.uniform(0.02, 0.98, (2, 2, 60)) * side
    on = [(x[0], 0.0), (side, y[0]), (x[1], side), (0.0, y[1])]
    corners = np.array([np.broadcast_arrays(*spot) for spot in on]).transpose(2, 0, 1)
    corners = corners @ [[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]]
    fitting, large = (shapely.polygons(share * corners) for share in (1.0, 1.05))
    found = [measured_over(shapes, side) for shapes in (fitting, large)]
    assert np.max(found[0]) < 1e-6
    assert found[1][0] == pytest.approx(found[1][1], abs=1e-6 * side) and found[1][0].max() > 0.01 * side


def measured_over(shapes, side):
    """Return how far pieces are larger than a tile, 0 where they fit, by the package and by the tests' own measure [mm]."""
    layout = Layout(
        shapely.box(*shapely.total_bounds(shapes)), shapes, piece_table(len(shapes)), 2, 2, 2, Tile(side, 4)
    )
    return np.maximum([oversize(layout), [too_large(shape, side, side) for shape in shapes]], 0.0)


@pytest.mark.slow
@pytest.mark.parametrize("kind", KINDS)
def test_savage_lines_by_the_dozen(kind):
    assert sum(refused(kind, seed) for seed in range(60)) <= 12
