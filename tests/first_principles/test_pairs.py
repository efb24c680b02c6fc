"""Two pieces out of one blank: by arithmetic, by pushing every turn into every corner, and by other ways of matching."""

from itertools import combinations, pairwise, product

import networkx
import numpy as np
import pytest
import shapely
from shapely import affinity, box

from mosaiclib.errors import MosaicError
from mosaiclib.job.pairs import _fits, _matched, largest_offcuts, pair_cuts, place_pair

SQUARE = np.array([20.0, 20.0])


def trapezia(count, seed):
    """Quadrilaterals with a slanting top, as a field's edge along a line has."""
    draw = np.random.default_rng(seed)
    wide, left, right = draw.uniform(4, 20, (3, count))
    zero = np.zeros(count)
    corners = [(zero, zero), (wide, zero), (wide, right), (zero, left)]
    return shapely.polygons(np.stack([np.stack(corner, axis=1) for corner in corners], axis=1))


def turns(piece, mirrored):
    """A piece with each edge along each side of the blank, its lower left corner at 0, 0."""
    for flipped in (False, True) if mirrored else (False,):
        one = affinity.scale(piece, -1, 1, origin=(0, 0)) if flipped else piece
        points = shapely.get_coordinates(one)
        for (x0, y0), (x1, y1) in pairwise(points):
            along = np.degrees(np.arctan2(y1 - y0, x1 - x0))
            for quarter in range(4):
                laid = affinity.rotate(one, 90 * quarter - along, origin=(0, 0))
                yield affinity.translate(laid, -laid.bounds[0], -laid.bounds[1])


def room_between(one, two, blank, mirrored):
    """The greatest distance of two pieces in opposite corners of a blank, over all turns: what brute force finds."""
    wide, high = blank
    best = -1.0
    for a, b in product(list(turns(one, mirrored)), list(turns(two, mirrored))):
        if (
            a.bounds[2] > wide + 1e-9
            or a.bounds[3] > high + 1e-9
            or b.bounds[2] > wide + 1e-9
            or b.bounds[3] > high + 1e-9
        ):
            continue
        up = high - b.bounds[3]
        for first, second in (
            (a, affinity.translate(b, wide - b.bounds[2], up)),
            (affinity.translate(a, wide - a.bounds[2], 0), affinity.translate(b, 0, up)),
        ):
            best = max(best, first.distance(second) if not first.intersects(second) else -1.0)
    return best


def test_strips_by_arithmetic():
    # 9 + 10.5 + 0.5 = 20 just fits; 9 + 10.6 + 0.5 does not
    for second, fits in ((10.5, True), (10.6, False)):
        pieces = np.array([box(0, 0, 20, 9), box(0, 0, second, 20)])
        assert len(pair_cuts(pieces, np.tile(SQUARE, (2, 1)), np.array(["a", "a"]), 0.5)) == fits


def test_two_triangles_make_the_square_they_were_cut_from():
    half = shapely.Polygon([(0, 0), (20, 0), (0, 20)])
    pieces, blanks, alike = np.array([half, half]), np.tile(SQUARE, (2, 1)), np.array(["a", "a"])
    assert len(pair_cuts(pieces, blanks, alike, 0.0)) == 1
    assert len(pair_cuts(pieces, blanks, alike, 0.1)) == 0


def test_other_colours_and_other_blanks_are_not_paired():
    pieces = np.array([box(0, 0, 20, 5)] * 4)
    blanks = np.array([[20.0, 20.0], [20.0, 20.0], [20.0, 20.0], [20.0, 10.0]])
    found = pair_cuts(pieces, blanks, np.array(["a", "b", "a", "a"]), 0.5)
    assert found.tolist() == [[0, 2]]


def test_a_piece_turned_over_only_where_both_faces_may_show():
    # two leaning pieces of a long blank: the cut between them leans the one way or the other
    lean = shapely.Polygon([(0, 0), (14, 0), (10, 10), (0, 10)])
    other = affinity.scale(lean, -1, 1, origin=(0, 0))
    blanks, alike = np.tile([24.5, 10.0], (2, 1)), np.array(["a", "a"])
    assert len(pair_cuts(np.array([lean, lean]), blanks, alike, 0.3)) == 1
    assert len(pair_cuts(np.array([lean, other]), blanks, alike, 0.3)) == 0
    assert len(pair_cuts(np.array([lean, other]), blanks, alike, 0.3, both_faces=True)) == 1


@pytest.mark.parametrize("blank", [(20.0, 20.0), (20.0, 14.0)])
@pytest.mark.parametrize("mirrored", [False, True])
def test_against_every_turn_in_every_corner(blank, mirrored):
    pieces = trapezia(9, 5)
    found = _fits(pieces, np.array(blank), 0.5, mirrored)
    seen = set()
    for one, two in combinations(range(9), 2):
        room = room_between(pieces[one], pieces[two], blank, mirrored)
        if abs(room - 0.5) > 0.25:  # a cut leans by whole degrees
            assert found[one, two] == (room > 0.5), (one, two, room)
            seen.add(bool(found[one, two]))
    assert seen == {True, False}


@pytest.mark.parametrize("mirrored", [False, True])
def test_where_two_pieces_are_said_to_lie_they_do(mirrored):
    pieces = trapezia(30, 8)
    found = np.argwhere(_fits(pieces, SQUARE, 0.5, mirrored))
    assert len(found) > 20
    for one, two in found:
        placed = place_pair(pieces[one], pieces[two], SQUARE, 0.5, both_faces=mirrored)
        assert placed.first.distance(placed.second) > 0.5 - 1e-6
        for at, piece in zip(placed[:2], (pieces[one], pieces[two]), strict=True):
            assert box(*(-1e-6,) * 2, *(SQUARE + 1e-6)).covers(at) and at.area == pytest.approx(piece.area)
        assert mirrored or placed.mirrored == (False, False)


def most_pairs(edges):
    """The size of a maximum matching, by trying all."""
    if not edges:
        return 0
    (one, two), *rest = edges
    return max(most_pairs(rest), 1 + most_pairs([edge for edge in rest if not {one, two} & set(edge)]))


@pytest.mark.parametrize("seed", range(8))
def test_matching_against_trying_all(seed):
    draw = np.random.default_rng(seed)
    fits = np.triu(draw.random((7, 7)) < 0.4, 1)
    found = _matched(fits)
    assert len(found) == most_pairs([tuple(edge) for edge in np.argwhere(fits).tolist()])
    assert fits[tuple(found.T)].all() and len(set(found.ravel().tolist())) == found.size


@pytest.mark.parametrize("seed", range(3))
def test_matching_against_a_second_library(seed):
    pieces = trapezia(120, seed)
    fits = _fits(pieces, SQUARE, 0.5, False)
    other = networkx.max_weight_matching(networkx.from_edgelist(np.argwhere(fits).tolist()), maxcardinality=True)
    assert len(_matched(fits)) == len(other) > 10


def test_offcuts_by_arithmetic():
    # 20 x 9 leaves 20 x (20 - 9 - 0.5); 15 x 12 leaves 20 x 7.5 above, 20 x 4.5 beside
    found = largest_offcuts(np.array([box(0, 0, 20, 9), box(3, 3, 18, 15)]), np.tile(SQUARE, (2, 1)), 0.5)
    assert found.round(6).tolist() == [[20.0, 10.5], [20.0, 7.5]]


def test_nothing_to_pair_and_nonsense():
    none = np.zeros(0, dtype=object)
    assert pair_cuts(none, np.zeros((0, 2)), np.zeros(0), 0.5).shape == (0, 2)
    with pytest.raises(MosaicError, match="loss of a cut"):
        pair_cuts(none, np.zeros((0, 2)), np.zeros(0), -1)
    with pytest.raises(MosaicError, match="do not come out of one blank"):
        place_pair(box(0, 0, 15, 15), box(0, 0, 15, 15), SQUARE, 0.5)
