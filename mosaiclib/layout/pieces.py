"""Pieces of glass cut out of a row or a field: their shapes, rows kept apart where they meet, slivers merged.

| symbol | here | meaning |
|---|---|---|
| d | left, right | offset of the row's edges to the right of the guide [mm] |
| a, j | width, joint | width of a piece along the row, joint [mm] |
"""

__all__ = ["Cut", "Places", "cut_pieces", "half_planes", "keep_apart", "merge_slivers", "polygons"]

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

import numpy as np
import shapely
from shapely import Polygon

from mosaiclib.layout.edges import edges_of
from mosaiclib.layout.joints import narrower
from mosaiclib.layout.layout import JointLimits

TAPER = 0.02  # [mm] less than this is a straight cut
EXACT = 1e-9  # [mm] rounding
FLUSH = 1e-3  # [mm] where a row ends is known so well
LARGE = 0.01  # [mm] more than this is larger than the tile
ROUNDS = 12
FAR = 4.0  # half planes reach this many times as far as the pieces do
CLOSE = 0.012  # [mm] a joint may be under its least by this before a piece is cut back


class Places(NamedTuple):
    """Places of pieces, each between two stations of its row; every array has one entry a piece, n of them.

    Points of the guide at the two stations and half way between, shape (n, 2) [mm], and unit normals to the right
    there; offsets of the row's edges, width of the piece that the row is made of, and least width of a point [mm];
    half a joint at either end, 0 where the row ends flush [mm]; number of the row and the part; place in its run and
    place of the last, -1 in a ring; arc lengths of the stations, shape (n, 2), and width that keeps a straight edge near
    the curve [mm].
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
    row: np.ndarray
    part: np.ndarray
    place: np.ndarray
    last: np.ndarray
    stretch: np.ndarray
    kept: np.ndarray

    @property
    def height(self) -> np.ndarray:
        """Height of each row, shape (n,) [mm]."""
        return self.right - self.left


class Cut(NamedTuple):
    """Cut pieces, one entry each.

    Corners left begin, left end, right end, right begin, shape (n, 4, 2) [mm]; kind, "cut" where only narrower;
    widths of the two ends, and how far the curve bulges from the straight wider edge [mm]; narrowest half gap that a
    whole tile would leave to a joint line, over half the joint [mm]; whether there is a piece at all.
    """

    corners: np.ndarray
    kind: np.ndarray
    wide: np.ndarray
    narrow: np.ndarray
    sag: np.ndarray
    uncut: np.ndarray
    sound: np.ndarray


def _dot(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    return a[..., 0] * b[..., 0] + a[..., 1] * b[..., 1]


def _unit(a: np.ndarray) -> np.ndarray:
    return a / np.maximum(np.hypot(a[..., 0], a[..., 1]), 1e-12)[..., None]


def _right_of(direction: np.ndarray) -> np.ndarray:
    """Return unit directions turned to the right."""
    return direction[..., ::-1] * [1.0, -1.0]


def _edges(pieces: Places, cap: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return both straight edges, left and right: a point and the direction of each, (2, n, 2), and the curve's bulge, (2, n).

    An edge lies half way between the piece's own chord and the curve's crown, and never more than `cap`
    outside the curve on the side of the next row.
    """
    offset, side = np.stack([pieces.left, pieces.right])[..., None], np.array([[-1.0], [1.0]])
    begin = pieces.begin + offset * pieces.begin_normal
    end = pieces.end + offset * pieces.end_normal
    crown = pieces.middle + offset * pieces.middle_normal
    pitch = np.hypot(*np.moveaxis(end - begin, -1, 0))
    along = _unit(end - begin)
    across = side[..., None] * _right_of(along)
    bulge = _dot(crown - (begin + end) / 2, across)
    # the piece is shorter than the chord by its joints, so its ends meet the curve a little above the chord
    share = np.clip(1 - (pieces.begin_inset + pieces.end_inset) / np.maximum(pitch, 1e-9), 0, 1) ** 2
    foot, sag = bulge * (1 - share), bulge * share
    shift = np.where(bulge > 0, foot + np.minimum(sag / 2, cap), np.minimum(foot + sag / 2, cap + bulge))
    return (begin + end) / 2 + shift[..., None] * across, along, bulge


def _cross(point: np.ndarray, along: np.ndarray, other: np.ndarray, direction: np.ndarray) -> np.ndarray:
    """Return where lines cross, shape (..., 2) [mm]; parallel ones give points far away."""
    turn = along[..., 0] * direction[..., 1] - along[..., 1] * direction[..., 0]
    turn = np.where(np.abs(turn) < 1e-9, 1e-9, turn)
    step = other - point
    reach = (step[..., 0] * direction[..., 1] - step[..., 1] * direction[..., 0]) / turn
    return point + reach[..., None] * along


def cut_pieces(pieces: Places, limits: JointLimits, bought: bool = False) -> Cut:
    """Cut all pieces: whole where the limits allow, or as `bought`, else to the joint lines, points trimmed.

    Joint lines are normals of the guide, each moved in by half a joint, so that joints between cut pieces
    are parallel and as wide as wanted. A whole tile stands square in the middle; its joints are wedges.
    """
    cap = (limits.joint - limits.least) / 2
    edge, along, bulge = _edges(pieces, cap)
    # the direction of travel lies a quarter turn to the left of the normal
    from_line = pieces.begin - pieces.begin_inset[:, None] * _right_of(pieces.begin_normal)
    to_line = pieces.end + pieces.end_inset[:, None] * _right_of(pieces.end_normal)
    first = _cross(edge, along, from_line, pieces.begin_normal)
    last = _cross(edge, along, to_line, pieces.end_normal)
    corners = np.stack([first[0], last[0], last[1], first[1]], axis=1)
    ahead = _unit(along[0] + along[1])
    corners = _not_too_wide(corners, along, ahead, pieces.width)
    corners = _not_too_tall(corners, ahead, pieces.height)
    ends = _dot(np.stack([corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 3]]), along)
    corners, ends, fan = _trimmed(corners, ends, pieces.fan_end)
    square, play = _square(pieces, bulge)
    whole = _stays_whole(pieces, play, limits, bulge.max(axis=0)) | bought
    corners = np.where(whole[:, None, None], square, corners)
    wide, narrow = ends.max(axis=0), ends.min(axis=0)
    kind = np.where(whole, "whole", np.where(fan, "fan", np.where(wide - narrow > TAPER, "wedge", "cut")))
    wide, narrow = (np.where(whole, pieces.width, end) for end in (wide, narrow))
    sag = np.abs(bulge).max(axis=0)
    fits = _fits_tile(corners, ahead, pieces.width, pieces.height)
    sound = whole | ((wide >= pieces.fan_end) & _convex(corners) & fits)
    return Cut(corners, kind, wide, narrow, sag, play.min(axis=1), sound)


def _fits_tile(corners: np.ndarray, ahead: np.ndarray, width: np.ndarray, height: np.ndarray) -> np.ndarray:
    """Tell which pieces are no larger than their tile; askew points in a savage bend may be."""
    sizes = [np.ptp(np.einsum("ijk,ik->ij", corners, axis), axis=1) for axis in (ahead, _right_of(ahead))]
    return (sizes[0] <= width + LARGE) & (sizes[1] <= height + LARGE)


def _convex(corners: np.ndarray) -> np.ndarray:
    """Tell which quadrilaterals turn the same way at every corner; where a guide bends wildly some cross themselves."""
    edge = corners[:, [1, 2, 3, 0]] - corners
    after = edge[:, [1, 2, 3, 0]]
    turn = edge[..., 0] * after[..., 1] - edge[..., 1] * after[..., 0]
    return (turn < 0).all(axis=1)


def _half_over(size: np.ndarray, wanted: np.ndarray) -> np.ndarray:
    """Return half of what a size is too large by, and a hair more [mm]."""
    over = np.maximum(size - wanted, 0.0) / 2
    return np.where(over > EXACT, over + EXACT, 0.0)[:, None]


def _not_too_wide(corners: np.ndarray, along: np.ndarray, ahead: np.ndarray, width: np.ndarray) -> np.ndarray:
    """Take off both sides alike what a piece is wider than its tile."""
    place = np.einsum("ijk,ik->ij", corners, ahead)
    over = _half_over(place[:, 1:3].max(axis=1) - place[:, [0, 3]].min(axis=1), width)
    left, right = over * along
    return corners + np.stack([left, -left, -right, right], axis=1)


def _not_too_tall(corners: np.ndarray, ahead: np.ndarray, height: np.ndarray) -> np.ndarray:
    """Take off both edges alike what a piece, askew where the bend changes fast, is taller than its tile."""
    across = _right_of(ahead)
    place = np.einsum("ijk,ik->ij", corners, across)
    over = _half_over(np.ptp(place, axis=1), height)
    first, last = (
        over * side / np.maximum(np.abs(_dot(side, across)), 1e-9)[:, None]
        for side in (corners[:, 3] - corners[:, 0], corners[:, 2] - corners[:, 1])
    )
    return corners + np.stack([first, last, -last, -first], axis=1)


def _trimmed(corners: np.ndarray, ends: np.ndarray, least: np.ndarray):
    """Cut the points off pieces whose narrow end is under the least width; ends, shape (2, n), left and right [mm]."""
    fan = ends.min(axis=0) < least
    slope = np.abs(ends[0] - ends[1])
    share = np.clip((ends.max(axis=0) - least) / np.maximum(slope, 1e-12), 0.0, 1.0)[:, None, None]
    left_wide = (ends[0] >= ends[1])[:, None, None]
    left, right = corners[:, :2], corners[:, [3, 2]]
    wide, narrow = np.where(left_wide, left, right), np.where(left_wide, right, left)
    narrow = np.where(fan[:, None, None], wide + share * (narrow - wide), narrow)
    left, right = np.where(left_wide, wide, narrow), np.where(left_wide, narrow, wide)
    kept = np.where(fan & (ends == ends.min(axis=0)), np.minimum(least, ends.max(axis=0)), ends)
    return np.concatenate([left, right[:, ::-1]], axis=1), kept, fan


def _square(pieces: Places, bulge: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return whole tiles in the middle of their places, and how far their sides are from the joint lines.

    The distances, shape (n, 4), are less the inset: 0 where the half joint is just as wanted.
    """
    offset = ((pieces.left + pieces.right) / 2)[:, None]
    begin = pieces.begin + offset * pieces.begin_normal
    end = pieces.end + offset * pieces.end_normal
    along = _unit(end - begin)
    across = _right_of(along)
    centre = (begin + end) / 2 + ((bulge[1] - bulge[0]) / 4)[:, None] * across
    short = np.maximum(pieces.width + pieces.begin_inset + pieces.end_inset - np.hypot(*(end - begin).T), 0.0)
    flush = (pieces.end_inset == 0).astype(int) - (pieces.begin_inset == 0)  # where a row ends it gives no joint
    centre = centre + ((pieces.begin_inset - pieces.end_inset - flush * short) / 2)[:, None] * along
    half, tall = pieces.width[:, None] / 2 * along, (pieces.height / 2)[:, None] * across
    square = np.stack([centre - half - tall, centre + half - tall, centre + half + tall, centre - half + tall], axis=1)
    behind, ahead = _right_of(pieces.end_normal)[:, None], -_right_of(pieces.begin_normal)[:, None]
    first = _dot(square[:, [0, 3]] - pieces.begin[:, None], ahead) - pieces.begin_inset[:, None]
    last = _dot(square[:, 1:3] - pieces.end[:, None], behind) - pieces.end_inset[:, None]
    return square, np.concatenate([first[:, :1], last, first[:, 1:]], axis=1)


def _stays_whole(pieces: Places, play: np.ndarray, limits: JointLimits, bulge: np.ndarray) -> np.ndarray:
    """Tell where whole tiles keep every joint within its limits."""
    closes, opens = (limits.joint - limits.least) / 2, (limits.greatest - limits.joint) / 2
    flush = np.stack([pieces.begin_inset, pieces.end_inset, pieces.end_inset, pieces.begin_inset], axis=1) == 0
    low = np.where(flush, -FLUSH, -closes - EXACT)
    return ((play >= low) & (play <= opens + EXACT)).all(axis=1) & (np.abs(bulge) / 2 <= closes + EXACT)


def polygons(corners: np.ndarray) -> np.ndarray:
    """Return quadrilaterals, corners in order, shape (n, 4, 2), as polygons, shape (n,) [mm]."""
    closed = np.concatenate([corners, corners[:, :1]], axis=1)
    return shapely.polygons(closed) if len(closed) else np.zeros(0, dtype=object)


def half_planes(point: np.ndarray, outward: np.ndarray, size: float) -> np.ndarray:
    """Return squares, shape (n,), of half a side [mm] that begin at lines and lie where their normals point.

    A point of each line and its unit normal, shape (n, 2) [mm].

    >>> half_planes(np.array([[0.0, 0.0]]), np.array([[1.0, 0.0]]), 5)[0].bounds
    (0.0, -5.0, 10.0, 5.0)
    """
    along, deep = -_right_of(outward) * size, outward * 2 * size
    return polygons(np.stack([point - along, point - along + deep, point + along + deep, point + along], axis=1))


def keep_apart(
    shapes: np.ndarray, rank: np.ndarray, joint: float, least: float, floor: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Cut back convex pieces that lie over or nearer than `least` to pieces of lower rank, shape (n,) [mm].

    A piece loses what lies within the joint of one edge of the other, the edge that leaves it the most;
    so cuts stay straight. It is left out, empty, where less than `floor` is left of its width. The pieces, and which
    were changed.

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
        cut[narrower(cut, floor[loser])] = Polygon()
        found[loser], touched[loser] = cut, True
        moved = np.zeros(len(found), bool)
        moved[loser] = True
    _, loser = _conflicts(found, rank, least - CLOSE, np.ones(len(found), bool))
    found[loser], touched[loser] = Polygon(), True
    return found, touched


def _conflicts(shapes, rank, near, moved) -> tuple[np.ndarray, np.ndarray]:
    """Return for each piece that must give way the nearest piece that it gives way to."""
    alive = np.flatnonzero(~shapely.is_empty(shapes))
    asked = alive[moved[alive]]
    around = shapely.bounds(shapes[asked]) + near * np.array([-1, -1, 1, 1])
    one, two = shapely.STRtree(shapes[alive]).query(shapely.box(*around.T))
    one, two = asked[one], alive[two]
    once = (one < two) | ((one > two) & ~moved[two])
    one, two = one[once], two[once]
    close = shapely.dwithin(shapes[one], shapes[two], near)
    one, two = one[close], two[close]
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
    begin, end, _, owner = edges_of(shapes[winner])
    outward = _right_of(_unit(end - begin))
    bounds = shapely.bounds(shapes[np.concatenate([winner, loser])])
    size = FAR * float(np.nanmax(bounds[:, 2:] - bounds[:, :2]) + joint)
    planes = half_planes((begin + end) / 2 + joint * outward, outward, size)
    left = shapely.intersection(shapes[loser][owner], planes)
    # the largest of each owner's pieces
    order = np.lexsort((-shapely.area(left), owner))
    best = left[order[np.concatenate([[True], owner[order][1:] != owner[order][:-1]])]]
    return np.where(shapely.get_type_id(best) == 3, best, Polygon())


def merge_slivers(
    shapes: np.ndarray,
    slivers: Sequence[int],
    beside: Callable[[int], Sequence[int]],
    along: Callable[[int], tuple[np.ndarray, np.ndarray]],
    joint: float,
    sound: Callable[[list[Polygon], int], bool],
    trim: Callable[[Polygon, int, int], Polygon | None] = lambda hull, sliver, keeper: hull,
) -> tuple[np.ndarray, list[Polygon]]:
    """Merge each sliver with a piece beside it where one tile covers both, or share both out alike; else leave it out.

    The pieces, shape (n,), are changed in place, empty where one is no more; joint [mm]. By number of a piece, which
    lie `beside` it, and `along` which unit direction of the row its tile of which width and height lies; `sound` tells
    whether new pieces will do, `trim` cuts their hull to where it may lie, None where it may not. Returned are which
    were changed, and what was left out.

    >>> row = np.array([shapely.box(0, 0, 10, 10), shapely.box(12, 0, 13, 10)])
    >>> ten, wide = (np.array([1.0, 0.0]), np.array([10, 10])), lambda pieces, i: not narrower(np.array(pieces), 3).any()
    >>> _ = merge_slivers(row, [1], lambda i: [0], lambda i: ten, 2, wide)
    >>> [piece.bounds[0::2] for piece in row]
    [(0.0, 5.5), (7.5, 13.0)]
    """
    touched, lost = np.zeros(len(shapes), bool), []
    for i in slivers:
        ways = _ways(shapes, i, [j for j in beside(i) if not shapes[j].is_empty], along, joint, trim)
        j, pieces = next(((j, pieces) for j, pieces in ways if sound(pieces, i)), (i, []))
        touched[[i, j]] = True
        if not pieces:
            lost.append(shapes[i])
        shapes[i] = Polygon()
        for at, piece in zip((j, i), pieces, strict=False):
            shapes[at] = piece
    return touched, lost


def _ways(shapes, sliver: int, beside: Sequence[int], along, joint: float, trim) -> Iterator[tuple[int, list]]:
    """Return who a sliver may be merged with, and after that shared with, and the pieces that come of it."""
    for halves in (False, True):
        for keeper in beside:
            hull = trim(shapely.union(shapes[keeper], shapes[sliver]).convex_hull, sliver, keeper)
            if hull is None:
                continue
            axis, size = along(keeper)
            step = (
                shapely.get_coordinates(shapes[sliver].centroid)[0]
                - shapely.get_coordinates(shapes[keeper].centroid)[0]
            )
            pieces = _halves(hull, axis, step, joint) if halves else [hull]
            if all(_fits(piece, axis, size) for piece in pieces):
                yield keeper, pieces


def _halves(hull: Polygon, axis: np.ndarray, step: np.ndarray, joint: float) -> list:
    """Cut a piece in two half way, across whichever of the row's directions the step from one to the other follows."""
    across = np.array([-axis[1], axis[0]])
    axis = across if abs(across @ step) > abs(axis @ step) else axis
    ahead = axis if axis @ step > 0 else -axis
    place = shapely.get_coordinates(hull) @ ahead
    centre = shapely.get_coordinates(hull.centroid)[0]
    middle = centre + ((place.min() + place.max()) / 2 - centre @ ahead) * ahead
    lines = np.array([middle - joint / 2 * ahead, middle + joint / 2 * ahead])
    planes = half_planes(lines, np.array([-ahead, ahead]), FAR * hull.length)
    return list(shapely.intersection(hull, planes))


def _fits(piece: Polygon, axis: np.ndarray, size: np.ndarray) -> bool:
    """Tell whether a piece is one, and no larger than its tile along the row and across."""
    if piece.is_empty or piece.geom_type != "Polygon":
        return False
    points = shapely.get_coordinates(piece)
    sizes = np.ptp(points @ axis), np.ptp(points @ np.array([axis[1], -axis[0]]))
    return bool(sizes[0] <= size[0] + EXACT and sizes[1] <= size[1] + EXACT)
