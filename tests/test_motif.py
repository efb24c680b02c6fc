"""Motifs: rows inwards from a closed outline; what must hold is measured here from the bare shapes."""

import math

import numpy as np
import pytest
import shapely

from mosaiclib import layout
from mosaiclib.errors import MosaicError
from mosaiclib.layout import MIDDLES, broken, motif, outline_of

SHAPES = {
    "disc": layout.ring(60),
    "ellipse": layout.ellipse(200, 120),
    "leaf": layout.leaf(220, 110),
    "heart": layout.heart(180, 170),
    "star": layout.star(240, inner=110),
    "petal": layout.ellipse(140, 60, turned=30),
    "plate": layout.rounded_rectangle(180, 120, 30),
}
GLASS = 0.6  # of an outline at least, by tiles of 20 mm and joints of 2 mm: a grid of quarters has (10/12)^2 = 0.69


def measured(laid, edge):
    """Return least distance of two pieces, greatest overlap and area outside, and the widest blank that is not told."""
    one, two = shapely.STRtree(laid.shapes).query(laid.shapes, predicate="dwithin", distance=5)
    pair = one < two
    one, two = laid.shapes[one[pair]], laid.shapes[two[pair]]
    near = shapely.distance(one, two).min(initial=math.inf)
    over = shapely.area(shapely.intersection(one, two)).max(initial=0.0)
    outside = shapely.area(shapely.difference(laid.shapes, edge)).max()
    told = [gap.shape.buffer(0.01) for gap in laid.gaps]
    blank = shapely.difference(edge, shapely.union_all([*laid.shapes, *told]))
    parts = [part for part in shapely.get_parts(blank) if part.area > 1]
    return near, over, outside, 2 * max(shapely.maximum_inscribed_circle(part, tolerance=0.05).length for part in parts)


def holds(laid, edge):
    near, over, outside, blank = measured(laid, edge)
    assert over < 1e-6 and outside < 1e-4
    assert near >= laid.joint_min - 0.02
    assert blank <= max(laid.tile.side / 2, 2 * laid.joint_max)
    assert not broken(laid)
    assert laid.areas.sum() + shapely.area(shapely.difference(edge, shapely.union_all(laid.shapes))) == pytest.approx(
        edge.area
    )


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize("fraction", ["half", "quarter"])
@pytest.mark.parametrize("middle", MIDDLES)
def test_motifs_hold_and_are_glass(name, fraction, middle):
    edge = outline_of(SHAPES[name])
    laid = motif(SHAPES[name], 20, 2, fraction=fraction, middle=middle)
    holds(laid, edge)
    assert laid.areas.sum() / edge.area > GLASS
    rows = laid.pieces[laid.pieces["band"] == "rows"]
    assert sorted(rows["row"].unique()) == list(range(1, rows["row"].max() + 1))
    assert (laid.pieces["why"] != "").all()


def test_a_disc_has_rings_like_those_of_the_wedges_and_one_piece_in_the_middle():
    laid = motif(layout.ring(60), 20, 2, fraction="quarter")
    table = laid.pieces
    centre = table[table["band"] == "middle"]
    assert len(centre) == 1 and laid.shapes[centre.index[0]].centroid.distance(shapely.Point(0, 0)) < 0.3
    for row, pieces in table[table["band"] == "rows"].groupby("row"):
        spots = shapely.get_coordinates(shapely.centroid(laid.shapes[pieces.index]))
        radius = np.hypot(*spots.T)
        assert np.ptp(radius) < 0.6, row  # a ring
        steps = np.diff(np.sort(np.arctan2(spots[:, 1], spots[:, 0])))
        assert np.ptp(steps) < 0.2 * steps.mean()  # even
        wide = pieces["width"].mean() + 2
        outside = radius.mean() + pieces["height"].mean() / 2
        assert len(pieces) == pytest.approx(2 * math.pi * outside / wide, abs=1.0)


def test_what_is_left_over_is_shared():
    """The middle of a disc is between a quarter and a half of the tile in radius, whatever the disc of three rows and more."""
    for radius in np.linspace(46, 96, 14):
        laid = motif(layout.ring(radius), 20, 2)
        centre = laid.shapes[(laid.pieces["band"] == "middle").to_numpy()]
        assert len(centre) == 1, radius
        assert 4.5 <= math.sqrt(centre[0].area / math.pi) <= 10.2, radius
        heights = laid.pieces.loc[(laid.pieces["band"] == "rows") & (laid.pieces["kind"] == "wedge"), "height"]
        assert heights.min() >= 0.8 * 10 - 0.2 and heights.max() <= 10.001


def blob(rng):
    """Return a seeded outline: smooth, with corners, or with a neck."""
    kind = rng.integers(3)
    if kind == 2:
        far, r, s = rng.uniform(90, 140), *rng.uniform(35, 60, 2)
        neck = shapely.LineString([(0, 0), (far, 0)]).buffer(rng.uniform(8, 25))
        discs = [shapely.Point(0, 0).buffer(r, 64), shapely.Point(far, 0).buffer(s, 64)]
        return shapely.union_all([neck, *discs]), "neck"
    n = int(rng.integers(4, 8))
    angle = np.linspace(0, 2 * np.pi, n, endpoint=False)
    radius = rng.uniform(60, 120, n)
    points = np.stack([radius * np.cos(angle), radius * np.sin(angle)], axis=1)
    corners = range(n) if kind else ()
    return outline_of(layout.Guide(points, closed=True, corners=corners)), "corners" if kind else "smooth"


@pytest.mark.parametrize("seed", range(40))
def test_seeded_motifs_hold(seed):
    rng = np.random.default_rng([13, seed])
    edge, _ = blob(rng)
    tile, joint = float(rng.choice([12, 15, 20])), float(rng.choice([1.5, 2.0]))
    fraction, middle = str(rng.choice(["half", "quarter", "whole"])), str(rng.choice(list(MIDDLES)))
    laid = motif(edge, tile, joint, fraction=fraction, middle=middle)
    holds(laid, edge)
    assert laid.areas.sum() / edge.area > 0.5


@pytest.mark.parametrize(
    ("ask", "words"),
    [
        (lambda: motif(layout.straight(50), 20, 2), "closes on itself"),
        (lambda: motif(shapely.Point(0, 0).buffer(50) - shapely.Point(0, 0).buffer(9), 20, 2), "must not have holes"),
        (lambda: motif(layout.ring(60), 20, 2, middle="hole"), "middle 'hole'"),
        (lambda: motif(layout.ring(1), 20, 2), "No piece can be laid in this motif"),
    ],
)
def test_what_cannot_be_is_told(ask, words):
    with pytest.raises(MosaicError, match=words):
        ask()
