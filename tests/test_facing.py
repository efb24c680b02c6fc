"""Neighbours and facing edges against a plain double loop, round a vessel, and what must be refused."""

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity

from mosaiclib.errors import MosaicError
from mosaiclib.glass import FourSided, Seam
from mosaiclib.layout import Layout, Tile, facing, lay_faces, lay_grid, neighbours, piece_table
from mosaiclib.layout.edges import edges_of

SLOW = settings(deadline=None, max_examples=30)
STEP = 0.01  # [mm] of the brute force's ruler


def layout(shapes, joint_min=1.0, joint_max=3.0, faces="field", **more):
    """Pieces as they are, in one layout."""
    outline = shapely.union_all(list(shapes)).envelope.buffer(50)
    return Layout(
        outline,
        shapes,
        piece_table(len(shapes), face=faces),
        joint_min,
        joint_min,
        joint_max,
        Tile(20, 4),
        **more,
    )


# --- brute force -------------------------------------------------------------------------------------


def walk(shape):
    """The edges of a piece, its inside on their left, as pairs of points."""
    ring = list(shapely.geometry.polygon.orient(shape).exterior.coords)
    return list(pairwise(ring))


def height_over(axis, edge, at):
    """How high an edge stands over a line of this direction, at places along it (nan beyond its ends)."""
    along, over = np.array(axis), np.array([axis[1], -axis[0]])
    places, heights = np.array(edge) @ along, np.array(edge) @ over
    if places[0] > places[1]:
        places, heights = places[::-1], heights[::-1]
    return np.interp(at, places, heights, left=np.nan, right=np.nan)


def ruled_length(one, two, reach):
    """Length along which two separate pieces face each other across at most `reach`, by a fine ruler."""
    total = 0.0
    for e in walk(one):
        for f in walk(two):
            u, v = (np.subtract(edge[1], edge[0]) / math.dist(*edge) for edge in (e, f))
            if u @ v >= -0.5:
                continue
            axis = (u - v) / np.linalg.norm(u - v)
            places = [np.dot(point, axis) for point in (*e, *f)]
            at = np.arange(min(places), max(places), STEP)
            gap = height_over(axis, f, at) - height_over(axis, e, at)
            total += STEP * np.sum((gap >= -1e-6) & (gap <= reach + 1e-6))
    return total


def by_double_loop(shapes, reach):
    """Pairs that face each other along 1 mm, and pairs so near that limit that the ruler cannot tell."""
    sure, unsure = set(), set()
    for i in range(len(shapes)):
        for j in range(i + 1, len(shapes)):
            if shapes[i].distance(shapes[j]) > reach + 1e-6:
                continue
            length = ruled_length(shapes[i], shapes[j], reach)
            if abs(length - 1) < 0.1:
                unsure.add((i, j))
            elif length > 1:
                sure.add((i, j))
    return sure, unsure


def agrees(shapes, joint_max=3.0):
    found = {tuple(pair) for pair in neighbours(layout(shapes, 0, joint_max)).tolist()}
    sure, unsure = by_double_loop(shapes, joint_max)
    assert found - unsure == sure
    return len(sure)


@st.composite
def jittered(draw, turned):
    """Twelve pieces on a rough lattice, each in a cell of its own; turned ones may still overlap."""
    shapes = []
    for column in range(4):
        for row in range(3):
            size = st.floats(5, 11.9 if turned else 21)
            wide = draw(size)
            high = wide if turned else draw(size)
            room_x, room_y = (5.0, 5.0) if turned else (22 - wide, 22 - high)
            x = column * 22 + draw(st.floats(0, 1)) * room_x
            y = row * 22 + draw(st.floats(0, 1)) * room_y
            piece = shapely.box(x, y, x + wide, y + high)
            shapes.append(affinity.rotate(piece, draw(st.floats(0, 90))) if turned else piece)
    return shapes


@given(jittered(turned=False), st.floats(0.5, 8))
@SLOW
def test_random_rectangles_against_a_double_loop(shapes, joint_max):
    agrees(shapes, joint_max)


@given(jittered(turned=True), st.floats(3, 15))
@SLOW
def test_random_turned_squares_against_a_double_loop(shapes, joint_max):
    apart = [one for i, one in enumerate(shapes) if not any(one.intersects(other) for other in shapes[:i])]
    agrees(apart, joint_max)


def test_the_double_loop_finds_some():
    rng = np.random.default_rng(5)
    shapes = []
    for column in range(5):
        for row in range(4):
            corner = np.array([column, row]) * 22 + rng.uniform(0, 2, 2)
            shapes.append(affinity.rotate(shapely.box(*corner, *(corner + 19)), rng.uniform(-4, 4)))
    assert agrees(shapes, 6.0) > 20


def ring(count, inside, height, joint):
    """A ring of equal wedges with parallel joints, by turning one wedge round the middle."""
    half = math.pi / count
    low, high = inside, inside + height
    # straight sides stand half a joint off the ray at +/- half: x = r tan(half) - joint/(2 cos(half))
    off = joint / (2 * math.cos(half))
    corners = [
        (x, y) for y, s in ((low, -1), (low, 1), (high, 1), (high, -1)) for x in [s * (y * math.tan(half) - off)]
    ]
    wedge = shapely.Polygon(corners)
    return [affinity.rotate(wedge, -360 * i / count, origin=(0, 0)) for i in range(count)]


@pytest.mark.parametrize(("count", "inside"), [(12, 40), (20, 60), (7, 25)])
def test_wedges_on_a_ring_meet_the_next_and_the_last_meets_the_first(count, inside):
    shapes = ring(count, inside, 20, 2.0)
    expected = sorted((min(i, j), max(i, j)) for i in range(count) for j in [(i + 1) % count])
    assert [tuple(p) for p in neighbours(layout(shapes)).tolist()] == expected
    met = facing(np.array(shapes), np.array(expected), 3)
    assert met.mean_gap == pytest.approx(np.full(count, 2.0)) and met.start_gap == pytest.approx(met.end_gap)
    # the joint is as long as the straight side: height/cos(pi/n)
    assert met.length == pytest.approx(np.full(count, 20 / math.cos(math.pi / count)))
    agrees(shapes)


def test_two_rings_against_a_double_loop():
    assert agrees(ring(12, 40, 20, 2.0) + ring(17, 62, 20, 2.0)) > 29


# --- what counts as facing ---------------------------------------------------------------------------


@pytest.mark.parametrize(("lap", "counted"), [(0.9, False), (0.999, False), (1.0, True), (1.1, True), (20, True)])
def test_at_least_one_millimetre(lap, counted):
    shapes = [shapely.box(0, 0, 20, 20), shapely.box(22, 20 - lap, 42, 40 - lap)]
    assert (len(neighbours(layout(shapes))) == 1) is counted


@pytest.mark.parametrize(("gap", "counted"), [(0, True), (2.9, True), (3.0, True), (3.01, False), (30, False)])
def test_across_a_joint_up_to_the_greatest(gap, counted):
    shapes = [shapely.box(0, 0, 20, 20), shapely.box(20 + gap, 0, 40 + gap, 20)]
    assert (len(neighbours(layout(shapes))) == 1) is counted


def test_only_the_part_within_reach_counts():
    # a joint that opens from 1 to 5 mm over 20 mm is up to 3 mm wide along half of it
    half = [
        shapely.Polygon([(-20, 0), (-0.5, 0), (-2.5, 20), (-20, 20)]),
        shapely.Polygon([(20, 0), (20, 20), (2.5, 20), (0.5, 0)]),
    ]
    met = facing(np.array(half), np.array([[0, 1]]), 3)
    assert met.length == pytest.approx([10])
    assert sorted([met.start_gap[0], met.end_gap[0]]) == pytest.approx([1, 3], abs=1e-5)
    assert met.middle[0] == pytest.approx([0, 5], abs=1e-5)


def test_edges_far_from_opposite_make_no_joint():
    turned = affinity.rotate(shapely.box(22, 0, 42, 20), 45, origin=(22, 10))
    assert len(neighbours(layout([shapely.box(0, 0, 20, 20), turned]))) == 1  # 45 degrees off still is one
    triangle = shapely.Polygon([(21, 10), (41, 2), (41, 18)])  # its sides turn more than 60 degrees away
    assert len(neighbours(layout([shapely.box(0, 0, 20, 20), triangle]))) == 0


def test_narrow_pieces_do_not_face_each_other_through_their_bodies():
    # 3 mm pieces, joint 1 mm, looked at with a reach of 8.5 mm: the outer edges lie 7 mm behind each other
    narrow = np.array([shapely.box(0, 0, 3, 20), shapely.box(4, 0, 7, 20)])
    met = facing(narrow, np.array([[0, 1]]), 8.5)
    assert met.length.tolist() == [20] and met.mean_gap == pytest.approx([1])


def test_an_overlap_is_a_joint_below_zero():
    over = np.array([shapely.box(0, 0, 20, 20), shapely.box(19.5, 0, 39.5, 20)])
    met = facing(over, np.array([[0, 1]]), 3)
    assert met.length.tolist() == [20] and met.mean_gap == pytest.approx([-0.5])


def test_direction_of_drawing_does_not_matter():
    shapes = [shapely.box(0, 0, 20, 20), shapely.box(22, 0, 42, 20)]
    turned = [shape.reverse() for shape in shapes]
    assert neighbours(layout(turned)).tolist() == neighbours(layout(shapes)).tolist() == [[0, 1]]
    begin, end, first, owner = edges_of(turned)
    assert first.tolist() == [0, 4, 8] and owner.tolist() == [0] * 4 + [1] * 4
    step = end - begin
    # the inside lies on the left of every edge: areas by the shoelace formula are positive
    assert sum(begin[:4, 0] * step[:4, 1] - begin[:4, 1] * step[:4, 0]) / 2 == pytest.approx(400)


# --- grids and crossings -----------------------------------------------------------------------------


@pytest.mark.parametrize(("columns", "rows"), [(1, 1), (1, 5), (4, 3), (7, 6)])
def test_a_grid_has_the_neighbours_of_a_chessboard(columns, rows):
    laid = lay_grid(shapely.box(0, 0, 22 * columns - 2, 22 * rows - 2), 20, 2, limits=(1, 3))
    straight = columns * (rows - 1) + rows * (columns - 1)
    assert len(neighbours(laid)) == straight
    assert len(neighbours(laid, corners=True)) == straight + 2 * (columns - 1) * (rows - 1)


@given(jittered(turned=False), st.floats(0.5, 8))
@SLOW
def test_crossings_against_a_double_loop(shapes, joint_max):
    laid = layout(shapes, 0, joint_max)
    reach = joint_max * math.sqrt(2)
    expected = [[i, j] for i in range(12) for j in range(i + 1, 12) if shapes[i].distance(shapes[j]) <= reach]
    assert neighbours(laid, corners=True).tolist() == expected
    assert {tuple(p) for p in neighbours(laid).tolist()} <= {tuple(p) for p in expected}


def test_pairs_are_sorted_and_stand_once():
    laid = lay_grid(shapely.box(0, 0, 300, 200), 20, 2)
    for corners in (False, True):
        pairs = neighbours(laid, corners)
        assert pairs.dtype.kind == "i" and (pairs[:, 0] < pairs[:, 1]).all()
        assert np.array_equal(pairs, np.unique(pairs, axis=0))


# --- round a vessel ----------------------------------------------------------------------------------


@pytest.mark.parametrize("corner", ["open", "front overlaps", "each overlaps the next"])
def test_faces_meet_round_all_four_corners(corner):
    lap = {"lap": 4.8, "corner_joint": 2.0} if corner != "open" else {}
    glass = FourSided(160, 120, 140, 5, 8, corner=corner, **lap)
    laid = lay_faces(glass, Tile(20, 4), 2, (1, 3), border="clear" if corner == "open" else "cut")
    face = laid.pieces["face"].to_numpy()
    row = laid.pieces["row"].to_numpy()
    pairs = neighbours(laid)
    across = [(a, b) for a, b in pairs if face[a] != face[b]]
    names = ["front", "right", "back", "left"]
    tall = row.max()
    for one, two in zip(names, names[1:] + names[:1], strict=True):
        met = [(a, b) for a, b in across if {face[a], face[b]} == {one, two}]
        assert len(met) == tall and all(row[a] == row[b] for a, b in met)
        # the last column of one face meets the first of the next
        for a, b in met:
            last, first = (a, b) if face[a] == one else (b, a)
            place = laid.pieces["place"].to_numpy()
            assert place[first] == 1 and place[last] == place[face == one].max()
    assert len(across) == 4 * tall


def test_crossings_round_the_corner():
    laid = lay_faces(FourSided(160, 120, 140, 5, 8), Tile(20, 4), 2, (1, 3))
    face, row = laid.pieces["face"].to_numpy(), laid.pieces["row"].to_numpy()
    pairs = neighbours(laid, corners=True)
    seam = [(a, b) for a, b in pairs if {face[a], face[b]} == {"front", "left"}]
    tall = row.max()
    assert len(seam) == tall + 2 * (tall - 1)  # straight across and both ways crosswise


def test_a_round_strip_is_followed_round():
    # ten 20 mm tiles with 2 mm joints on a circumference of 220 mm: the last meets the first
    shapes = [shapely.box(22 * i, 0, 22 * i + 20, 20) for i in range(10)]
    closed = neighbours(layout(shapes, seams=[Seam.shift(220, 20, ("field", "field"))])).tolist()
    assert [0, 9] in closed and len(closed) == 10
    assert len(neighbours(layout(shapes))) == 9
    # on 224 mm the gap is 6 mm, over the greatest joint
    assert len(neighbours(layout(shapes, seams=[Seam.shift(224, 20, ("field", "field"))]))) == 9
    two = [shapely.box(0, 0, 20, 20), shapely.box(22, 0, 42, 20)]
    assert neighbours(layout(two, seams=[Seam.shift(44, 20, ("field", "field"))])).tolist() == [
        [0, 1]
    ]  # met on both sides, counted once
    assert (
        neighbours(layout(two[:1], seams=[Seam.shift(22, 20, ("field", "field"))])).tolist() == []
    )  # a piece is not its own neighbour


def test_two_faces_only_meet_across_the_corner_gap():
    shapes = [shapely.box(0, 0, 20, 20), shapely.box(30, 0, 50, 20), shapely.box(60, 0, 80, 20)]
    faces = ["one", "two", "two"]
    assert neighbours(layout(shapes, faces=faces, corner_gap=10.0)).tolist() == [[0, 1]]
    assert neighbours(layout(shapes, faces=faces)).tolist() == []


# --- refusals ----------------------------------------------------------------------------------------

BOXES = np.array([shapely.box(0, 0, 20, 20), shapely.box(22, 0, 42, 20)])


def test_nothing_at_all():
    assert neighbours(layout(BOXES)).shape == (1, 2)
    empty = Layout(shapely.box(0, 0, 9, 9), [], piece_table(0), 2, 1, 3, Tile(20, 4))
    assert neighbours(empty).shape == neighbours(empty, corners=True).shape == (0, 2)
    assert len(facing(BOXES, np.zeros((0, 2), int), 3).first) == 0


GOOD = {
    "outline": shapely.box(0, 0, 42, 20),
    "shapes": BOXES,
    "pieces": piece_table(2),
    "joint": 2,
    "joint_min": 1,
    "joint_max": 3,
    "tile": Tile(20, 4),
    "gaps": (),
    "corner_gap": 0,
    "seams": (),
}


@pytest.mark.parametrize("name", GOOD)
@pytest.mark.parametrize("bad", [None, "2", True, math.nan, -1, [-1], 10**400, object()], ids=lambda b: str(b)[:8])
def test_layouts_refuse(name, bad):
    with pytest.raises(MosaicError):
        Layout(**GOOD | {name: bad})


def test_layouts_refuse_what_does_not_go_together():
    for change in ({"joint_min": 4}, {"pieces": piece_table(3)}, {"shapes": BOXES[:1]}):
        with pytest.raises(MosaicError):
            Layout(**GOOD | change)
    for colours in (["red"], "rb", None, ["a", "b", "c"]):
        with pytest.raises(MosaicError):
            Layout(**GOOD).coloured(colours)
    for columns in ({"no": 1}, {"place": [1]}, {"place": np.zeros((3, 2))}):
        with pytest.raises(MosaicError):
            piece_table(2, **columns)


def test_a_layout_is_frozen():
    laid = Layout(**GOOD)
    with pytest.raises(ValueError, match="read-only"):
        laid.shapes[0] = BOXES[1]
    assert laid.coloured(["red", "blue"]).pieces["colour"].tolist() == ["red", "blue"]
    assert laid.pieces["colour"].tolist() == ["", ""]
