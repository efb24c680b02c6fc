"""The shape of every piece of a row: whole rectangle, wedge or trimmed fan, between two joint lines."""

__all__ = ["FAN", "PLAIN", "WEDGE", "WHOLE", "Between", "Cut", "cut_pieces"]

from typing import NamedTuple

import numpy as np
import shapely

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
