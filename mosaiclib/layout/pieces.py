"""Pieces of glass cut out of a row or a field: shapes, rows kept apart where they meet, and slivers merged or left out."""

__all__ = [
    "FAN",
    "LOST",
    "PLAIN",
    "WEDGE",
    "WHOLE",
    "Between",
    "Cells",
    "Cut",
    "Frame",
    "cut_pieces",
    "half_planes",
    "keep_apart",
    "least_widths",
    "left_open",
    "only_areas",
    "open_places",
    "share_slivers",
    "too_small",
    "without_pinches",
    "without_slivers",
]

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import shapely
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from mosaiclib.layout.joints import edges_of
from mosaiclib.layout.layout import Gap
from mosaiclib.layout.rowspec import Rules

WHOLE, WEDGE, FAN, PLAIN = range(4)
TAPER = 0.02  # [mm] less than this is a straight cut
EXACT = 1e-9
LARGE = 0.01  # [mm] more than this is larger than the tile


class Between(NamedTuple):
    """Pieces, each between two stations of its row; every array has one entry a piece.

    Parameters
    ----------
    begin, end, middle : array, shape (n, 2)
        Points of the guide at the two stations and half way between [mm].
    begin_normal, end_normal, middle_normal : array, shape (n, 2)
        Unit normals to the right there.
    left, right : array, shape (n,)
        Offsets of the row's edges [mm].
    width : array, shape (n,)
        Width of the piece that the row is made of [mm].
    fan_end : array, shape (n,)
        Least width of a point [mm].
    begin_inset, end_inset : array, shape (n,)
        Half a joint, 0 where the row ends flush [mm].
    """

    begin: np.ndarray
    end: np.ndarray
    middle: np.ndarray
    begin_normal: np.ndarray
    end_normal: np.ndarray
    middle_normal: np.ndarray
    left: np.ndarray
    right: np.ndarray
    width: np.ndarray
    fan_end: np.ndarray
    begin_inset: np.ndarray
    end_inset: np.ndarray


class Cut(NamedTuple):
    """Cut pieces, one entry each.

    Parameters
    ----------
    corners : array, shape (n, 4, 2)
        Left begin, left end, right end, right begin [mm].
    kind : array of int, shape (n,)
        WHOLE, WEDGE, FAN or PLAIN (a rectangle cut narrower).
    wide, narrow : array, shape (n,)
        Widths of the two ends [mm].
    sag : array, shape (n,)
        How far the curve bulges from the straight wider edge [mm].
    uncut : array, shape (n,)
        Narrowest half gap that a whole tile would leave to a joint line [mm], over half the joint.
    sound : array of bool, shape (n,)
        Whether there is a piece at all.
    """

    corners: np.ndarray
    kind: np.ndarray
    wide: np.ndarray
    narrow: np.ndarray
    sag: np.ndarray
    uncut: np.ndarray
    sound: np.ndarray


def _dot(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    return np.einsum("ij,ij->i", a, b)


def _unit(a: np.ndarray) -> np.ndarray:
    return a / np.maximum(np.hypot(a[:, 0], a[:, 1]), 1e-12)[:, None]


def _right_of(direction: np.ndarray) -> np.ndarray:
    """Return unit directions turned to the right."""
    return np.stack([direction[:, 1], -direction[:, 0]], axis=1)


def _edge(pieces: Between, offset: np.ndarray, cap: float, side: float) -> tuple[np.ndarray, ...]:
    """Return a straight edge along an offset of the guide: a point, its direction, and the curve's bulge.

    The edge lies half way between the piece's own chord and the curve's crown, and never more than `cap`
    outside the curve on the side of the next row.
    """
    begin = pieces.begin + offset[:, None] * pieces.begin_normal
    end = pieces.end + offset[:, None] * pieces.end_normal
    crown = pieces.middle + offset[:, None] * pieces.middle_normal
    step = end - begin
    pitch = np.hypot(step[:, 0], step[:, 1])
    along = _unit(step)
    across = _right_of(along)
    bulge = side * _dot(crown - (begin + end) / 2, across)
    # the piece is shorter than the chord by its joints, so its ends meet the curve a little above the chord
    share = np.clip(1 - (pieces.begin_inset + pieces.end_inset) / np.maximum(pitch, 1e-9), 0, 1) ** 2
    foot, sag = bulge * (1 - share), bulge * share
    shift = np.where(bulge > 0, foot + np.minimum(sag / 2, cap), np.minimum(foot + sag / 2, cap + bulge))
    return (begin + end) / 2 + (side * shift)[:, None] * across, along, bulge


def _cross(point: np.ndarray, along: np.ndarray, other: np.ndarray, direction: np.ndarray) -> np.ndarray:
    """Return where lines cross [mm]; parallel ones give points far away."""
    turn = along[:, 0] * direction[:, 1] - along[:, 1] * direction[:, 0]
    turn = np.where(np.abs(turn) < 1e-9, 1e-9, turn)
    step = other - point
    reach = (step[:, 0] * direction[:, 1] - step[:, 1] * direction[:, 0]) / turn
    return point + reach[:, None] * along


def _travel(normal: np.ndarray) -> np.ndarray:
    """Return the direction of travel for a normal to the right."""
    return np.stack([-normal[:, 1], normal[:, 0]], axis=1)


def cut_pieces(pieces: Between, rules: Rules, bought: bool = False) -> Cut:
    """Cut all pieces: whole where the limits allow, else to the joint lines, points trimmed.

    Parameters
    ----------
    pieces : Between
        The pieces.
    rules : Rules
        Joint and limits.
    bought : bool
        Whether every piece is left as bought, whatever becomes of the joints.

    Returns
    -------
    Cut
        Their shapes.

    Notes
    -----
    Joint lines are normals of the guide, each moved in by half a joint, so that joints between cut pieces
    are parallel and as wide as wanted. A whole tile stands square in the middle; its joints are wedges.
    """
    cap = (rules.joint - rules.least) / 2
    left, left_along, left_bulge = _edge(pieces, pieces.left, cap, -1.0)
    right, right_along, right_bulge = _edge(pieces, pieces.right, cap, 1.0)
    from_line = pieces.begin + pieces.begin_inset[:, None] * _travel(pieces.begin_normal)
    to_line = pieces.end - pieces.end_inset[:, None] * _travel(pieces.end_normal)
    corners = np.stack(
        [
            _cross(left, left_along, from_line, pieces.begin_normal),
            _cross(left, left_along, to_line, pieces.end_normal),
            _cross(right, right_along, to_line, pieces.end_normal),
            _cross(right, right_along, from_line, pieces.begin_normal),
        ],
        axis=1,
    )
    corners = _not_too_wide(corners, left_along, right_along, pieces.width)
    corners = _not_too_tall(corners, left_along + right_along, pieces.right - pieces.left)
    ends = np.stack([_dot(corners[:, 1] - corners[:, 0], left_along), _dot(corners[:, 2] - corners[:, 3], right_along)])
    corners, ends, fan = _trimmed(corners, ends, pieces.fan_end)
    square, play = _square(pieces, left_bulge, right_bulge)
    whole = _stays_whole(pieces, square, play, rules, np.maximum(left_bulge, right_bulge)) | bought
    corners = np.where(whole[:, None, None], square, corners)
    wide, narrow = ends.max(axis=0), ends.min(axis=0)
    kind = np.where(fan, FAN, np.where(wide - narrow > TAPER, WEDGE, PLAIN))
    kind = np.where(whole, WHOLE, kind)
    wide, narrow = (np.where(whole, pieces.width, end) for end in (wide, narrow))
    sag = np.maximum(np.abs(left_bulge), np.abs(right_bulge))
    fits = _fits(corners, left_along + right_along, pieces.width, pieces.right - pieces.left)
    sound = whole | ((wide >= pieces.fan_end) & _convex(corners) & fits)
    return Cut(corners, kind, wide, narrow, sag, play.min(axis=1), sound)


def _fits(corners: np.ndarray, along: np.ndarray, width: np.ndarray, height: np.ndarray) -> np.ndarray:
    """Tell which pieces are no larger than their tile; askew points in a savage bend may be."""
    ahead = _unit(along)
    sizes = [np.ptp(np.einsum("ijk,ik->ij", corners, axis), axis=1) for axis in (ahead, _right_of(ahead))]
    return (sizes[0] <= width + LARGE) & (sizes[1] <= height + LARGE)


def _convex(corners: np.ndarray) -> np.ndarray:
    """Tell which quadrilaterals turn the same way at every corner; where a guide bends wildly some cross themselves."""
    edge = np.roll(corners, -1, axis=1) - corners
    after = np.roll(edge, -1, axis=1)
    turn = edge[..., 0] * after[..., 1] - edge[..., 1] * after[..., 0]
    return (turn < 0).all(axis=1)


def _not_too_wide(corners, left_along, right_along, width) -> np.ndarray:
    """Take off both sides alike what a piece is wider than its tile."""
    along = _unit(left_along + right_along)
    place = np.einsum("ijk,ik->ij", corners, along)
    over = np.maximum(place[:, 1:3].max(axis=1) - place[:, [0, 3]].min(axis=1) - width, 0.0) / 2
    over = np.where(over > EXACT, over + EXACT, 0.0)
    moved = corners.copy()
    moved[:, 0] += over[:, None] * left_along
    moved[:, 1] -= over[:, None] * left_along
    moved[:, 2] -= over[:, None] * right_along
    moved[:, 3] += over[:, None] * right_along
    return moved


def _not_too_tall(corners: np.ndarray, along: np.ndarray, height: np.ndarray) -> np.ndarray:
    """Take off both edges alike what a piece, askew where the bend changes fast, is taller than its tile."""
    across = _right_of(_unit(along))
    place = np.einsum("ijk,ik->ij", corners, across)
    over = np.maximum(place.max(axis=1) - place.min(axis=1) - height, 0.0) / 2
    over = np.where(over > EXACT, over + EXACT, 0.0)[:, None]
    left_side, right_side = corners[:, 3] - corners[:, 0], corners[:, 2] - corners[:, 1]
    moved = corners.copy()
    for one, other, side in ((0, 3, left_side), (1, 2, right_side)):
        step = over * side / np.maximum(np.abs(_dot(side, across)), 1e-9)[:, None]
        moved[:, one] += step
        moved[:, other] -= step
    return moved


def _trimmed(corners: np.ndarray, ends: np.ndarray, least: np.ndarray):
    """Cut the points off pieces whose narrow end is under the least width."""
    fan = ends.min(axis=0) < least
    slope = np.abs(ends[0] - ends[1])
    share = np.clip((ends.max(axis=0) - least) / np.maximum(slope, 1e-12), 0.0, 1.0)
    share = np.where(fan, share, 1.0)[:, None]
    left_wide = (ends[0] >= ends[1])[:, None]
    to_right = (
        [corners[:, 0] + share * (corners[:, 3] - corners[:, 0])],
        [corners[:, 1] + share * (corners[:, 2] - corners[:, 1])],
    )
    to_left = (
        [corners[:, 3] + share * (corners[:, 0] - corners[:, 3])],
        [corners[:, 2] + share * (corners[:, 1] - corners[:, 2])],
    )
    cut = corners.copy()
    cut[:, 3] = np.where(left_wide, to_right[0][0], corners[:, 3])
    cut[:, 2] = np.where(left_wide, to_right[1][0], corners[:, 2])
    cut[:, 0] = np.where(left_wide, corners[:, 0], to_left[0][0])
    cut[:, 1] = np.where(left_wide, corners[:, 1], to_left[1][0])
    kept = np.where(fan & (ends == ends.min(axis=0)), np.minimum(least, ends.max(axis=0)), ends)
    return cut, kept, fan


def _square(pieces: Between, left_bulge: np.ndarray, right_bulge: np.ndarray):
    """Return whole tiles in the middle of their places, and how far their sides are from the joint lines.

    The distances, shape (n, 4), are less the inset: 0 where the half joint is just as wanted.
    """
    offset = ((pieces.left + pieces.right) / 2)[:, None]
    begin = pieces.begin + offset * pieces.begin_normal
    end = pieces.end + offset * pieces.end_normal
    along = _unit(end - begin)
    across = _right_of(along)
    centre = (begin + end) / 2 + ((right_bulge - left_bulge) / 4)[:, None] * across
    centre = centre + ((pieces.begin_inset - pieces.end_inset) / 2)[:, None] * along
    half, tall = pieces.width[:, None] / 2 * along, ((pieces.right - pieces.left) / 2)[:, None] * across
    square = np.stack([centre - half - tall, centre + half - tall, centre + half + tall, centre - half + tall], axis=1)
    ahead, behind = _travel(pieces.begin_normal), _travel(pieces.end_normal)
    play = np.stack(
        [
            _dot(square[:, 0] - pieces.begin, ahead) - pieces.begin_inset,
            _dot(pieces.end - square[:, 1], behind) - pieces.end_inset,
            _dot(pieces.end - square[:, 2], behind) - pieces.end_inset,
            _dot(square[:, 3] - pieces.begin, ahead) - pieces.begin_inset,
        ],
        axis=1,
    )
    return square, play


def _stays_whole(pieces, square, play, rules, bulge) -> np.ndarray:
    """Tell where whole tiles keep every joint within its limits."""
    closes, opens = (rules.joint - rules.least) / 2, (rules.greatest - rules.joint) / 2
    flush = np.stack([pieces.begin_inset, pieces.end_inset, pieces.end_inset, pieces.begin_inset], axis=1) == 0
    low = np.where(flush, -EXACT, -closes - EXACT)
    return ((play >= low) & (play <= opens + EXACT)).all(axis=1) & (np.abs(bulge) / 2 <= closes + EXACT)


def polygons(corners: np.ndarray) -> np.ndarray:
    """Return quadrilaterals as polygons.

    Parameters
    ----------
    corners : array, shape (n, 4, 2)
        Corners in order [mm].

    Returns
    -------
    array of Polygon, shape (n,)
        The polygons.
    """
    closed = np.concatenate([corners, corners[:, :1]], axis=1)
    return shapely.polygons(closed) if len(closed) else np.zeros(0, dtype=object)


ROUNDS = 12
FAR = 4.0  # half planes reach this many times as far as the pieces do
GROWN = 0.55  # pieces grown by this share of the greatest joint cover all joints and their crossings
HOLE = 0.05  # [mm2] a smaller hole is a crossing of joints
CLOSE = 0.012  # [mm] a joint may be under its least by this before a piece is cut back


def half_planes(point: np.ndarray, outward: np.ndarray, size: float) -> np.ndarray:
    """Return large squares that begin at a line and lie on the side its normal points to.

    Parameters
    ----------
    point, outward : array, shape (n, 2)
        A point of each line [mm] and the unit normal.
    size : float
        Half side of the squares [mm].

    Returns
    -------
    array of Polygon, shape (n,)
        The squares.

    Examples
    --------
    >>> half_planes(np.array([[0.0, 0.0]]), np.array([[1.0, 0.0]]), 5)[0].bounds
    (0.0, -5.0, 10.0, 5.0)
    """
    along = np.stack([-outward[:, 1], outward[:, 0]], axis=1) * size
    deep = outward * 2 * size
    corners = np.stack([point - along, point - along + deep, point + along + deep, point + along], axis=1)
    return shapely.polygons(corners)


def least_widths(shapes: np.ndarray) -> np.ndarray:
    """Return the least width of each piece, twice the radius that can be taken off nearly all round.

    Parameters
    ----------
    shapes : array of Polygon, shape (n,)
        The pieces [mm].

    Returns
    -------
    array of float, shape (n,)
        Short side of the narrowest frame, 0 for an empty piece [mm].

    Examples
    --------
    >>> least_widths(np.array([shapely.box(0, 0, 5, 2)])).tolist()
    [2.0]
    """
    found = np.zeros(len(shapes))
    frames = shapely.oriented_envelope(shapes)
    solid = (shapely.get_type_id(frames) == 3) & ~shapely.is_empty(frames)
    if solid.any():
        points = shapely.get_coordinates(frames[solid]).reshape(int(solid.sum()), -1, 2)
        found[solid] = np.hypot(*np.moveaxis(np.diff(points[:, :3], axis=1), 2, 0)).min(axis=1)
    return found


def only_areas(shape: BaseGeometry) -> Polygon | MultiPolygon:
    """Return the areas of a shape without the lines and points that cutting may leave.

    Parameters
    ----------
    shape : geometry
        Any shape [mm].

    Returns
    -------
    Polygon or MultiPolygon
        Its areas, empty where there are none.

    Examples
    --------
    >>> only_areas(shapely.GeometryCollection([shapely.Point(0, 0), shapely.box(0, 0, 1, 1)])).area
    1.0
    """
    parts = [part for part in shapely.get_parts(shape) if isinstance(part, Polygon)]
    return shapely.union_all(parts) if parts else Polygon()  # joining nothing gives a collection


def open_places(outline: BaseGeometry, shapes: np.ndarray, widest: float) -> list[tuple[Polygon, BaseGeometry]]:
    """Return the places between pieces that are wider than joints and their crossings.

    Parameters
    ----------
    outline : Polygon or MultiPolygon
        What is looked at [mm].
    shapes : array of Polygon, shape (n,)
        The pieces [mm].
    widest : float
        Greatest joint [mm].

    Returns
    -------
    list of (Polygon, Polygon or MultiPolygon)
        The inmost part of each place, and the whole of it up to the pieces.

    Examples
    --------
    >>> four = shapely.box([0, 12, 0], [0, 0, 12], [10, 22, 10], [10, 10, 22])
    >>> [round(place.area) for _, place in open_places(shapely.box(0, 0, 22, 22), four, 2)]
    [144]
    """
    grow = GROWN * widest
    grown = shapely.buffer(shapes, grow, join_style="mitre", mitre_limit=3.0)
    inmost = shapely.get_parts(shapely.difference(outline, shapely.union_all(grown)))
    inmost = inmost[shapely.area(inmost) > HOLE]
    wide = shapely.intersection(shapely.buffer(inmost, grow), outline)
    tree = shapely.STRtree(shapes)
    near = [shapely.union_all(shapes[tree.query(place)]) for place in wide]
    return [(one, only_areas(shapely.difference(p, n))) for one, p, n in zip(inmost, wide, near, strict=True)]


def keep_apart(
    shapes: np.ndarray, rank: np.ndarray, joint: float, least: float, floor: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Cut back pieces that lie over or too near to pieces of lower rank.

    A piece loses what lies within the joint of one edge of the other, the edge that leaves it the most;
    so cuts stay straight. It is left out where less than `floor` is left of its width.

    Parameters
    ----------
    shapes : array of Polygon, shape (n,)
        The pieces, convex [mm].
    rank : array, shape (n,)
        Lower goes first.
    joint, least : float
        Joint that is cut, and nearer than which pieces must not lie [mm].
    floor : array, shape (n,)
        Least width of a piece [mm].

    Returns
    -------
    shapes : array of Polygon, shape (n,)
        The pieces; empty where one was left out.
    touched : array of bool, shape (n,)
        Which were cut or left out.

    Examples
    --------
    >>> pair = np.array([shapely.box(0, 0, 10, 10), shapely.box(9, 0, 19, 10)])
    >>> cut, touched = keep_apart(pair, np.array([0, 1]), 2, 1.7, np.array([3, 3]))
    >>> cut[1].bounds, touched.tolist()
    ((12.0, 0.0, 19.0, 10.0), [False, True])
    """
    found = shapes.copy()
    touched = np.zeros(len(found), bool)
    moved = np.ones(len(found), bool)
    for _ in range(ROUNDS):
        winner, loser = _conflicts(found, rank, least - CLOSE, moved)
        if not len(loser):
            return found, touched
        cut = _cut_back(found, winner, loser, joint)
        small = least_widths(cut) < floor[loser]
        cut[small] = shapely.Polygon()
        found[loser], touched[loser] = cut, True
        moved = np.zeros(len(found), bool)
        moved[loser] = True
    _, loser = _conflicts(found, rank, least - CLOSE, np.ones(len(found), bool))
    found[loser], touched[loser] = shapely.Polygon(), True
    return found, touched


def _conflicts(shapes, rank, near, moved) -> tuple[np.ndarray, np.ndarray]:
    """Return for each piece that must give way the nearest piece that it gives way to."""
    alive = np.flatnonzero(~shapely.is_empty(shapes))
    tree = shapely.STRtree(shapes[alive])
    asked = alive[moved[alive]]
    one, two = tree.query(shapes[asked], predicate="dwithin", distance=near)
    one, two = asked[one], alive[two]
    one, two = one[one != two], two[one != two]
    swap = (rank[one] > rank[two]) | ((rank[one] == rank[two]) & (one > two))
    winner, loser = np.where(swap, two, one), np.where(swap, one, two)
    if not len(loser):
        return winner, loser
    # a piece is cut by one other at a time, the one of lowest rank first
    order = np.lexsort((winner, rank[winner], loser))
    winner, loser = winner[order], loser[order]
    first = np.concatenate([[True], loser[1:] != loser[:-1]])
    return winner[first], loser[first]


def _cut_back(shapes: np.ndarray, winner: np.ndarray, loser: np.ndarray, joint: float) -> np.ndarray:
    """Return the losers, each cut along the edge of its winner that leaves the most of it."""
    begin, end, first, _ = edges_of(shapes[winner])
    owner = np.repeat(np.arange(len(winner)), np.diff(first))
    along = end - begin
    length = np.hypot(along[:, 0], along[:, 1])
    outward = np.stack([along[:, 1], -along[:, 0]], axis=1) / np.maximum(length, 1e-12)[:, None]
    bounds = shapely.bounds(shapes[np.concatenate([winner, loser])])
    size = FAR * float(np.nanmax(bounds[:, 2:] - bounds[:, :2]) + joint)
    planes = half_planes(begin + along / 2 + joint * outward, outward, size)
    left = shapely.intersection(shapes[loser][owner], planes)
    area = shapely.area(left)
    # the largest of each owner's pieces
    order = np.lexsort((-area, owner))
    best = order[np.concatenate([[True], owner[order][1:] != owner[order][:-1]])]
    found = left[best]
    return np.where(shapely.get_type_id(found) == 3, found, shapely.Polygon())


def share_slivers(
    shapes: np.ndarray,
    partner: np.ndarray,
    axis: np.ndarray,
    size: np.ndarray,
    floor: np.ndarray,
    joint: float,
) -> tuple[np.ndarray, np.ndarray]:
    """Merge what is too small with its neighbour in the row, or share both out alike; never leave a sliver.

    Parameters
    ----------
    shapes : array of Polygon, shape (n,)
        The pieces, convex [mm].
    partner : array of int, shape (n,)
        The neighbour towards the middle of the row, -1 for none.
    axis : array, shape (n, 2)
        Direction of the row at each piece.
    size : array, shape (n, 2)
        Width and height of the piece that the row is made of [mm].
    floor : array, shape (n,)
        Least width of a piece [mm].
    joint : float
        Joint [mm].

    Returns
    -------
    shapes : array of Polygon, shape (n,)
        The pieces; empty where one was merged into another or left out.
    touched : array of bool, shape (n,)
        Which were changed.

    Examples
    --------
    >>> row = np.array([shapely.box(0, 0, 10, 10), shapely.box(12, 0, 13, 10)])
    >>> ahead = np.array([[1.0, 0.0], [1.0, 0.0]])
    >>> shared, _ = share_slivers(row, np.array([-1, 0]), ahead, np.full((2, 2), 10), np.array([3, 3]), 2)
    >>> [piece.bounds[0::2] for piece in shared]
    [(0.0, 5.5), (7.5, 13.0)]
    """
    found = shapes.copy()
    touched = np.zeros(len(found), bool)
    small = np.flatnonzero(~shapely.is_empty(found) & (least_widths(found) < floor))
    for i in small:
        j, touched[i] = partner[i], True
        known = j >= 0 and not found[j].is_empty
        merged = _shared(found[j], found[i], axis[j], size[j], joint) if known else []
        if not merged or min(least_widths(np.array(merged))) < floor[i]:
            found[i] = shapely.Polygon()
            continue
        found[j], touched[j] = merged[0], True
        found[i] = merged[1] if len(merged) > 1 else shapely.Polygon()
    return found, touched


def _shared(keeper, sliver, axis: np.ndarray, size: np.ndarray, joint: float) -> list:
    """Return one piece for both where it fits the tile, else two of the same width; none where neither fits."""
    hull = shapely.union(keeper, sliver).convex_hull
    points = shapely.get_coordinates(hull)
    low, high = (points @ axis).min(), (points @ axis).max()
    if _fits_apart(hull, axis, size):
        return [hull]
    middle = (low + high) / 2
    centre = np.array(hull.centroid.coords[0])
    ahead = axis if (np.array(sliver.centroid.coords[0]) - centre) @ axis > 0 else -axis
    on_line = centre + (middle - centre @ axis) * axis
    lines = np.array([on_line - joint / 2 * ahead, on_line + joint / 2 * ahead])
    planes = half_planes(lines, np.array([-ahead, ahead]), FAR * hull.length)
    pair = shapely.intersection(np.array([hull, hull]), planes)
    return list(pair) if all(_fits_apart(one, axis, size) for one in pair) else []


def _fits_apart(piece, axis: np.ndarray, size: np.ndarray) -> bool:
    """Tell whether a piece is no larger than its tile, along the row and across."""
    if piece.is_empty or piece.geom_type != "Polygon":
        return False
    points = shapely.get_coordinates(piece)
    across = np.array([axis[1], -axis[0]])
    return bool(np.ptp(points @ axis) <= size[0] + 1e-9 and np.ptp(points @ across) <= size[1] + 1e-9)


LEAST_SHARE = 0.05  # of a tile's area; common practice, no source
LOST = 1e-6  # [mm2] less is rounding


class Cells(NamedTuple):
    """Pieces of the field; one entry each."""

    shapes: np.ndarray
    column: np.ndarray
    row: np.ndarray
    whole: np.ndarray


class Frame(NamedTuple):
    """Where the field goes: face, free area whole and in overlapping parts, tile side, joint, pattern and turn."""

    face: Polygon
    free: BaseGeometry
    parts: np.ndarray
    begin: float
    step: float
    side: float
    joint: float
    pattern: str
    angle: float

    def near(self, shapes: np.ndarray) -> np.ndarray:
        """Return for each shape a part of the free area that holds all of it, for cutting along a long wall."""
        x = shapely.get_x(shapely.centroid(shapes))
        return self.parts[np.clip(((x - self.begin) / self.step).astype(int), 0, len(self.parts) - 1)]


def too_small(shapes: np.ndarray, side: float, least: float) -> np.ndarray:
    """Tell which pieces are slivers.

    Parameters
    ----------
    shapes : array of Polygon, shape (n,)
        The pieces [mm].
    side, least : float
        Side of the tile and least width of a piece [mm].

    Returns
    -------
    array of bool, shape (n,)
        Whether each is too narrow or too small.
    """
    return (least_widths(shapes) < least) | (shapely.area(shapes) < LEAST_SHARE * side**2)


def without_slivers(cells: Cells, frame: Frame, least: float) -> tuple[np.ndarray, list]:
    """Merge slivers with a neighbour or share both out; else leave them to the filler.

    Parameters
    ----------
    cells : Cells
        The pieces of the grid, n of them.
    frame : Frame
        Where the field goes.
    least : float
        Least width of a piece [mm].

    Returns
    -------
    shapes : array of Polygon, shape (n,)
        The pieces, empty where one was merged or left out.
    slivers : list of Polygon
        What is left to the filler.
    """
    shapes, gaps = cells.shapes.copy(), []
    place = {}
    for i, key in enumerate(zip(cells.column.tolist(), cells.row.tolist(), strict=True)):
        place.setdefault(key, []).append(i)
    for i in np.flatnonzero(too_small(shapes, frame.side, least)):
        beside = [(0, 1), (0, -1), (1, 0), (-1, 0)]
        keys = [(int(cells.column[i]) + dx, int(cells.row[i]) + dy) for dx, dy in beside]
        others = [j for key in keys for j in place.get(key, ()) if not shapes[j].is_empty]
        spots = [(int(cells.column[i]) + dx, int(cells.row[i]) + dy) for dx in range(-2, 3) for dy in range(-2, 3)]
        near = [j for key in spots for j in place.get(key, ()) if j != i and not shapes[j].is_empty]
        settled = _settled(shapes, i, others, near, frame, least)
        if settled is None:
            gaps.append(shapes[i])
            shapes[i] = Polygon()
        else:
            shapes[settled[0]], shapes[i] = settled[1]
    return shapes, gaps


def without_pinches(shapes: np.ndarray, whole: np.ndarray, least: float) -> tuple[np.ndarray, list]:
    """Leave out the smaller of two parts of a square that nearly meet where a row pinches it in two.

    Parameters
    ----------
    shapes : array of Polygon, shape (n,)
        The pieces [mm].
    whole : array of bool, shape (n,)
        Which are whole tiles.
    least : float
        Least joint [mm].

    Returns
    -------
    shapes : array of Polygon, shape (n,)
        The pieces, empty where one was left out.
    slivers : list of Polygon
        What is left to the filler.
    """
    cut = np.flatnonzero(~whole & ~shapely.is_empty(shapes))
    tree = shapely.STRtree(shapes[cut])
    one, two = tree.query(shapes[cut], predicate="dwithin", distance=least - CLOSE)
    pair = one < two
    one, two = cut[one[pair]], cut[two[pair]]
    found, gone = shapes.copy(), np.unique(np.where(shapely.area(shapes[one]) < shapely.area(shapes[two]), one, two))
    found[gone] = Polygon()
    return found, shapes[gone].tolist()


def _settled(shapes, sliver: int, others: Sequence[int], near: Sequence[int], frame: Frame, least: float):
    """Return the neighbour that a sliver is merged or shared with and what becomes of both; None if neither does.

    One piece where one tile covers both; else two, cut apart half way.
    """
    for share in (False, True):
        for other in others:
            whole = shapely.union(shapes[sliver], shapes[other]).convex_hull
            piece = shapely.intersection(whole, frame.near(np.array([whole]))[0])
            # what lies between others must keep its joint to them
            apart = shapely.distance(piece, shapes[[j for j in near if j != other]]).min(initial=frame.joint)
            enough = piece.area > shapes[sliver].area + shapes[other].area - LOST
            if not isinstance(piece, Polygon) or not enough or apart < frame.joint - 1e-6:
                continue
            pair = _halves(piece, shapes[other], shapes[sliver], frame) if share else (piece, Polygon())
            if _sound(pair, frame, least):
                return other, pair
    return None


def _halves(piece: Polygon, keeper: Polygon, sliver: Polygon, frame: Frame) -> tuple:
    """Cut a piece in two, half way along the grid line that its two parts lie on."""
    turn = math.radians(frame.angle)
    axes = np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]])
    step = shapely.get_coordinates(sliver.centroid)[0] - shapely.get_coordinates(keeper.centroid)[0]
    axis = axes[int(abs(axes[1] @ step) > abs(axes[0] @ step))]
    ahead = axis if axis @ step > 0 else -axis
    along = shapely.get_coordinates(piece) @ ahead
    middle = shapely.get_coordinates(piece.centroid)[0]
    on_line = middle + ((along.min() + along.max()) / 2 - middle @ ahead) * ahead
    lines = np.array([on_line - frame.joint / 2 * ahead, on_line + frame.joint / 2 * ahead])
    planes = half_planes(lines, np.array([-ahead, ahead]), 4 * piece.length)
    return tuple(shapely.intersection(piece, planes))


def _sound(pair: tuple, frame: Frame, least: float) -> bool:
    """Tell whether pieces are whole, no slivers and no larger than their tile."""
    made = np.array([one for one in pair if not one.is_empty], dtype=object)
    if not len(made) or (shapely.get_type_id(made) != 3).any() or too_small(made, frame.side, least).any():
        return False
    square = [shapely.affinity.rotate(one, -frame.angle, (0, 0)) for one in made] if frame.angle else made
    bounds = shapely.bounds(square)
    return bool(((bounds[:, 2:] - bounds[:, :2]) <= frame.side + 1e-9).all())


def left_open(slivers: list, shapes: np.ndarray, frame: Frame) -> tuple[Gap, ...]:
    """Return what is left to the filler: what was too small for glass, with the joints round it.

    Parameters
    ----------
    slivers : list of Polygon
        What was left out [mm].
    shapes : array of Polygon, shape (n,)
        The pieces that are left [mm].
    frame : Frame
        Where the field goes.

    Returns
    -------
    tuple of Gap
        One a sliver.
    """
    if not slivers:
        return ()
    wide = shapely.intersection(shapely.buffer(np.array(slivers), frame.joint), frame.face)
    tree = shapely.STRtree(shapes)
    found = []
    for place in wide:
        near = shapes[tree.query(place)]
        open_ = only_areas(shapely.difference(place, shapely.union_all(near)))
        if not open_.is_empty:  # a neighbour may have been grown over all of it
            found.append(Gap(open_, "too small for a piece of glass, left to the filler"))
    return tuple(found)
