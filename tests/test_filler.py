"""Filler and adhesive amounts: arithmetic, integrals and refusals."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from mosaiclib.adhesive import bed_volume
from mosaiclib.errors import MosaicError
from mosaiclib.filler import KINDS, bead_volume, grid_volume, joint_volume, kind_of, recipe, usual_grid_volume
from mosaiclib.layout import Tile, lay_grid

QUICK = settings(deadline=None, max_examples=60)
BAD = [math.nan, math.inf, -1, 1e300]
SIZE = st.floats(1, 300)


@given(SIZE, SIZE, st.floats(0, 20), st.floats(0.5, 20))
@QUICK
def test_grid_volume_is_cell_less_tile(width, height, joint, depth):
    cell = (width + joint) * (height + joint)
    assert grid_volume(width, height, joint, depth) == pytest.approx((cell - width * height) * depth / cell, abs=1e-9)
    assert usual_grid_volume(width, height, joint, depth) >= grid_volume(width, height, joint, depth) - 1e-12


def test_no_joint_no_filler():
    assert grid_volume(20, 20, 0, 4) == usual_grid_volume(20, 20, 0, 4) == 0


@given(
    st.floats(30, 200),
    st.floats(30, 200),
    st.floats(5, 25),
    st.floats(0, 4),
    st.floats(1, 8),
    st.floats(0, 3),
)
@QUICK
def test_joint_volume_is_outline_less_pieces_times_depth(width, height, side, joint, thick, bed):
    for border in ("clear", "cut"):
        laid = lay_grid(shapely.box(0, 0, width, height), Tile(side, thick), joint, border=border)
        bare = width * height - sum(piece.area for piece in laid.shapes)
        assert joint_volume(laid, bed) == pytest.approx(bare * (thick + bed) / 1000, abs=1e-6)


@given(st.floats(10, 30), st.floats(0.6, 1), st.floats(1, 8))
@QUICK
def test_sloping_pieces_against_slices(side, share, thick):
    # Slices of a rectangle whose edges draw in evenly towards the back, whole tiles and cut ones.
    tile = Tile(side, thick, back_side=side * share)
    laid = lay_grid(shapely.box(0, 0, 3.4 * side, 2.7 * side), tile, 1.0, border="cut")
    inset = (side - side * share) / 2 * (np.arange(2000) + 0.5) / 2000
    box = shapely.bounds(laid.shapes)
    wide, high = (box[:, 2] - box[:, 0])[:, None], (box[:, 3] - box[:, 1])[:, None]
    slices = (wide - 2 * inset) * (high - 2 * inset)
    assert laid.glass_volume == pytest.approx(slices.mean(axis=1).sum() * thick, rel=1e-5)
    assert tile.volume == pytest.approx(thick / 3 * side**2 * (1 + share + share**2))  # frustum


def test_beads_and_beds():
    assert bead_volume(1000, 4, 3) == pytest.approx(1000 * (4 * 3 / 2) / 1000)  # a triangle's section
    assert bead_volume(0, 4, 4) == bead_volume(10, 0, 4) == 0
    # 50 x 400 mm2 of backs, 80 % covered, 0.8 mm thick, a fifth lost on top
    assert bed_volume(50 * 400, 0.8, coverage=0.8, waste=0.2) == pytest.approx(20000 * 0.8 * 0.8 * 1.2 / 1000)
    assert bed_volume(0, 0.8) == 0


CEMENT, SAND, POLYMER = (
    3.15,
    2.65,
    1.05,
)  # [g/mL] grains of cement, quartz and limestone, and polymer: textbooks, from memory


@pytest.mark.parametrize("joint", [2.0, 4.0, 12.0])
@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind_of(kind).cement])
def test_the_masses_fill_the_volume(kind, joint):
    """Volumes add up without air: what is poured together is as much as the joints take, waste with it."""
    made = recipe(100, kind, joint, waste=0.5)
    solids = made.kind.polymer * made.cement if made.latex else 0.0
    water = made.water + made.latex_water
    volume = made.cement / CEMENT + (made.powder - made.cement) / SAND + water + solids / POLYMER
    assert volume == pytest.approx(150) == made.volume
    # trade custom, from memory: 1.6 to 1.8 kg of powder a litre; polymer takes room of its own
    assert 1.44 <= made.powder / made.volume <= 1.85
    assert recipe(0, kind, joint).powder == 0


@pytest.mark.parametrize("solids", [0.02, 0.1, 0.2, 0.3, 0.47, 1.0])
def test_latex_of_any_strength_gets_a_recipe(solids):
    """Weak latex is used neat: it brings all the water that the mix may have, and less polymer than was asked for."""
    made = recipe(100, "cement grout with latex", 2.0, polymer=0.2, solids=solids, water_ratio=0.4)
    assert made.water + made.latex_water == pytest.approx(0.4 * made.cement)
    assert made.latex * solids == pytest.approx(made.kind.polymer * made.cement) and made.water >= 0
    neat = 0.4 * solids / (1 - solids) < 0.2 if solids < 1 else False
    words = made.ingredients[1].words
    assert ("used neat" in words) == neat == (made.kind.polymer < 0.2) and (made.water == 0) == neat
    # Ohama 1995, read second-hand: usual 5 to 20 % of the cement
    assert bool(made.warning) == (made.kind.polymer < 0.05)


def test_the_smallest_batch_is_said():
    """Assumed: 60 mL, about 100 g of powder, with scales that show 1 g."""
    assert recipe(100, "plain cement grout", 2.0).smallest == "60 mL"
    assert "take 2.0 times of everything" in recipe(30, "plain cement grout", 2.0).smallest
    assert "manufacturer" in recipe(30, "epoxy grout", 2.0).smallest


CALLS = {
    "grid_volume": (grid_volume, [20, 20, 2, 4]),
    "usual_grid_volume": (usual_grid_volume, [20, 20, 2, 4]),
    "joint_volume": (lambda bed: joint_volume(lay_grid(shapely.box(0, 0, 42, 42), 20, 2), bed), [1]),
    "bead_volume": (bead_volume, [10, 2, 2]),
    "recipe": (lambda volume, waste: recipe(volume, KINDS[0], 2.0, waste=waste), [100, 0.1]),
    "bed_volume": (bed_volume, [100, 1]),
}


@pytest.mark.parametrize("bad", range(len(BAD)))
@pytest.mark.parametrize(("name", "place"), [(name, i) for name, (_, good) in CALLS.items() for i in range(len(good))])
def test_refused(name, place, bad):
    call, good = CALLS[name]
    with pytest.raises(MosaicError) as told:
        call(*good[:place], BAD[bad], *good[place + 1 :])
    assert str(told.value).endswith(".")


@pytest.mark.parametrize("more", [{"coverage": 0}, {"coverage": 1.1}, {"waste": -0.1}, {"waste": 3}], ids=str)
def test_bed_shares_refused(more):
    with pytest.raises(MosaicError):
        bed_volume(100, 1, **more)


@pytest.mark.parametrize("name", ["grid_volume", "usual_grid_volume"])
@pytest.mark.parametrize("place", [0, 1, 3])
def test_zero_sizes_refused(name, place):
    call, good = CALLS[name]
    with pytest.raises(MosaicError, match="greater than 0"):
        call(*good[:place], 0, *good[place + 1 :])
