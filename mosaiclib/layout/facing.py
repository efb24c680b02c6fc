"""Which edges of which pieces face each other, and how far apart: the ground of neighbours and surveys."""

__all__ = ["Facing", "edges_of", "facing", "neighbours"]

from dataclasses import dataclass

import numpy as np
import shapely

from mosaiclib.errors import MosaicError, instance, number
from mosaiclib.layout.tesserae import Layout, read_shapes

LEAST_FACING = 1.0  # [mm] a shorter stretch is a meeting of corners, not a joint
TOUCH = 1e-6  # [mm] rounding of coordinates
OPPOSED = -0.5  # cosine: edges turned more than 60 degrees from opposite do not make a joint
CHUNK = 200_000  # pairs handled at once, so that a wall of tiles stays within memory


@dataclass(frozen=True)
class Facing:
    """Stretches of joint, each between one edge of one piece and one edge of another, shape (m,).

    Parameters
    ----------
    first, second : array of int
        The two pieces, first < second.
    length : array of float
        Length of the stretch along the middle of the joint [mm].
    start_gap, end_gap : array of float
        Joint width at the two ends of the stretch [mm]; negative where the pieces overlap.
    middle : array of float, shape (m, 2)
        Middle of the stretch [mm].
    """

    first: np.ndarray
    second: np.ndarray
    length: np.ndarray
    start_gap: np.ndarray
    end_gap: np.ndarray
    middle: np.ndarray

    @property
    def mean_gap(self) -> np.ndarray:
        """Mean joint width of each stretch [mm]."""
        return (self.start_gap + self.end_gap) / 2


def edges_of(shapes: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Return the edges of many polygons, each turned so that the outside lies on its right.

    Parameters
    ----------
    shapes : array of Polygon, shape (n,)
        The pieces [mm].

    Returns
    -------
    begin, end : array, shape (m, 2)
        End points of the edges [mm].
    first : array of int, shape (n + 1,)
        Edges of piece i are first[i] to first[i + 1].
    owner : array of int, shape (m,)
        The piece of each edge.

    Examples
    --------
    >>> begin, end, first, owner = edges_of([shapely.box(0, 0, 2, 1)])
    >>> len(begin), first.tolist()
    (4, [0, 4])
    """
    rings = shapely.get_exterior_ring(shapely.orient_polygons(read_shapes(shapes)))
    points, ring = shapely.get_coordinates(rings, return_index=True)
    same = ring[1:] == ring[:-1]
    begin, end, owner = points[:-1][same], points[1:][same], ring[:-1][same]
    first = np.searchsorted(owner, np.arange(len(rings) + 1))
    return begin, end, first, owner


def facing(shapes: np.ndarray, pairs: np.ndarray, reach: np.ndarray | float) -> Facing:
    """Find the stretches of joint between given pairs of pieces.

    Two edges make a joint where they look at each other; both are measured from the line half way
    between their directions, and the stretch ends where the joint gets wider than `reach`.

    Parameters
    ----------
    shapes : array of Polygon, shape (n,)
        The pieces [mm].
    pairs : array of int, shape (p, 2)
        Candidate pairs.
    reach : float or array, shape (p,)
        Widest joint that still counts [mm].

    Returns
    -------
    Facing
        All stretches longer than 0.

    Raises
    ------
    MosaicError
        If a piece is no polygon or a pair names a piece that is not there.

    Examples
    --------
    >>> two = [shapely.box(0, 0, 10, 10), shapely.box(12, 0, 22, 10)]
    >>> found = facing(two, np.array([[0, 1]]), 3)
    >>> found.length.tolist(), found.mean_gap.tolist()
    ([10.0], [2.0])
    """
    begin, end, first, _ = edges_of(shapes)
    pairs = _read_pairs(pairs, len(first) - 1)
    reach = _read_reach(reach, len(pairs))
    parts = [
        _stretches(begin, end, first, pairs[i : i + CHUNK], reach[i : i + CHUNK])
        for i in range(0, max(len(pairs), 1), CHUNK)
    ]
    return _in_front(shapes, Facing(*(np.concatenate(column) for column in zip(*parts, strict=True))))


def _read_pairs(pairs: np.ndarray, count: int) -> np.ndarray:
    """Return pairs as an array, or say in a sentence that they are none."""
    try:
        found = np.asarray(pairs).reshape(-1, 2)
    except (TypeError, ValueError):
        found = np.full((1, 2), np.nan)
    if len(found) and (found.dtype.kind not in "iu" or found.min() < 0 or found.max() >= count):
        raise MosaicError(f"The pairs must be two columns of whole numbers from 0 to {count - 1}.")
    return found.astype(np.int64)


def _read_reach(reach: np.ndarray | float, count: int) -> np.ndarray:
    """Return the widest joint of each pair [mm]."""
    if not isinstance(reach, np.ndarray) or not reach.ndim:
        return np.full(count, number(reach, "reach", "mm", least=0, greatest=1e6))
    if reach.shape != (count,) or reach.dtype.kind not in "fiu" or not np.all(np.isfinite(reach)):
        raise MosaicError(f"The reach must be one number, or {count} finite numbers: one a pair.")
    return reach.astype(float)


def _in_front(shapes: np.ndarray, met: Facing) -> Facing:
    """Leave out edges that look at each other through the bodies of their own pieces.

    Where pieces are narrow these lie no farther apart than a wide joint, but behind each other; where pieces
    overlap the middle of the stretch lies in both.
    """
    behind = np.flatnonzero(np.maximum(met.start_gap, met.end_gap) < -TOUCH)
    if not len(behind):
        return met
    pieces = np.asarray(shapes, dtype=object)
    x, y = met.middle[behind].T
    both = [shapely.intersects_xy(pieces[side[behind]], x, y) for side in (met.first, met.second)]
    kept = np.ones(len(met.first), bool)
    kept[behind] = both[0] & both[1]
    return Facing(*(getattr(met, name)[kept] for name in met.__dataclass_fields__))


def _edge_pairs(first: np.ndarray, pairs: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return every (pair, edge of its first piece, edge of its second piece)."""
    count = np.diff(first)
    one, two = count[pairs[:, 0]], count[pairs[:, 1]]
    which = np.repeat(np.arange(len(pairs)), one * two)
    before = np.concatenate([[0], np.cumsum(one * two)[:-1]]) if len(pairs) else np.zeros(0, int)
    inner = np.arange(len(which)) - before[which]
    return which, first[pairs[which, 0]] + inner // two[which], first[pairs[which, 1]] + inner % two[which]


def _stretches(
    begin: np.ndarray, end: np.ndarray, first: np.ndarray, pairs: np.ndarray, reach: np.ndarray
) -> tuple[np.ndarray, ...]:
    """Measure the stretches of joint of some pairs; the columns of `Facing`."""
    along = end - begin
    length = np.hypot(along[:, 0], along[:, 1])
    along = along / np.where(length > 0, length, 1)[:, None]
    which, e, f = _edge_pairs(first, pairs)
    keep = (np.einsum("ij,ij->i", along[e], along[f]) < OPPOSED) & (length[e] > 0) & (length[f] > 0)
    which, e, f = which[keep], e[keep], f[keep]
    axis = along[e] - along[f]
    axis /= np.hypot(axis[:, 0], axis[:, 1])[:, None]
    out = np.stack([axis[:, 1], -axis[:, 0]], axis=1)
    origin = begin[e]

    def place(point: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        step = point - origin
        return np.einsum("ij,ij->i", step, axis), np.einsum("ij,ij->i", step, out)

    e_from, e_to = place(begin[e]), place(end[e])
    f_from, f_to = place(end[f]), place(begin[f])
    low, high = np.maximum(e_from[0], f_from[0]), np.minimum(e_to[0], f_to[0])
    slope_e = (e_to[1] - e_from[1]) / np.maximum(e_to[0] - e_from[0], 1e-12)
    slope_f = (f_to[1] - f_from[1]) / np.maximum(f_to[0] - f_from[0], 1e-12)

    def gap(x: np.ndarray) -> np.ndarray:
        return f_from[1] + slope_f * (x - f_from[0]) - e_from[1] - slope_e * (x - e_from[0])

    low, high = _within(low, high, gap, slope_f - slope_e, reach[which] + TOUCH)
    start, stop = gap(low), gap(high)
    # edges that look at each other through the body of their own pieces lie far behind each other
    real = (high - low > TOUCH) & (np.maximum(start, stop) > -reach[which] - TOUCH)
    centre = (low + high) / 2
    across = (e_from[1] + slope_e * (centre - e_from[0])) + gap(centre) / 2
    middle = origin + centre[:, None] * axis + across[:, None] * out
    columns = (pairs[which, 0], pairs[which, 1], high - low, start, stop, middle)
    return tuple(column[real] for column in columns)


def _within(low, high, gap, slope, reach):
    """Shorten the stretches low to high to where the gap is at most `reach`."""
    start, stop = gap(low), gap(high)
    with np.errstate(divide="ignore", invalid="ignore"):
        crossing = low + (reach - start) / slope
    low, high = (
        np.where((start > reach) & (stop <= reach), crossing, low),
        np.where((stop > reach) & (start <= reach), crossing, high),
    )
    return low, np.where((start > reach) & (stop > reach), low, high)


def neighbours(layout: Layout, corners: bool = False) -> np.ndarray:
    """Return the pairs of pieces that touch across a joint.

    Two pieces are neighbours when they face each other along at least 1 mm across a joint up to
    `joint_max`, or round a corner of the glass across up to `corner_gap`.

    Parameters
    ----------
    layout : Layout
        The pieces; a strip that closes on itself is followed round.
    corners : bool
        Whether pairs that meet only at a crossing of joints count too.

    Returns
    -------
    array of int, shape (m, 2)
        Pairs i < j, sorted, each once.

    Examples
    --------
    >>> from mosaiclib.layout import lay_grid
    >>> four = lay_grid(shapely.box(0, 0, 42, 42), 20, 2)
    >>> neighbours(four).tolist(), len(neighbours(four, corners=True))
    ([[0, 1], [0, 2], [1, 3], [2, 3]], 6)
    """
    if not len(instance(layout, Layout, "layout")):
        return np.zeros((0, 2), int)
    instance(corners, bool, "choice of corners")
    shapes, origin = _followed_round(layout)
    widest = max(layout.joint_max, layout.corner_gap)
    radius = widest * (np.sqrt(2) if corners else 1) + 2 * TOUCH
    pairs = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=radius).T
    pairs = pairs[pairs[:, 0] < pairs[:, 1]]
    face = layout.pieces["face"].astype("category").cat.codes.to_numpy()[origin]
    same = face[pairs[:, 0]] == face[pairs[:, 1]]
    reach = np.where(same, layout.joint_max, widest)
    if corners:
        near = shapely.distance(shapes[pairs[:, 0]], shapes[pairs[:, 1]]) <= reach * np.sqrt(2) + TOUCH
        found = pairs[near]
    else:
        found = _facing_pairs(shapes, pairs, reach)
    found = np.sort(origin[found], axis=1)
    found = found[found[:, 0] != found[:, 1]]
    return np.unique(found, axis=0).astype(int)


def _facing_pairs(shapes: np.ndarray, pairs: np.ndarray, reach: np.ndarray) -> np.ndarray:
    """Return those pairs whose stretches of joint add up to the least length."""
    met = facing(shapes, pairs, reach)
    key = met.first.astype(np.int64) * len(shapes) + met.second
    keys, where = np.unique(key, return_inverse=True)
    keys = keys[np.bincount(where, met.length, len(keys)) >= LEAST_FACING - TOUCH]
    return np.stack([keys // len(shapes), keys % len(shapes)], axis=1)


def _followed_round(layout: Layout) -> tuple[np.ndarray, np.ndarray]:
    """Return the shapes, with those at the strip's beginning again behind its end, and whose each is."""
    origin = np.arange(len(layout))
    if not layout.around:
        return layout.shapes, origin
    left = shapely.bounds(layout.shapes)[:, 0]
    again = origin[left <= left.min() + layout.tile.side]
    moved = shapely.transform(layout.shapes[again], lambda xy: xy + np.array([layout.around, 0]))
    return np.concatenate([layout.shapes, moved]), np.concatenate([origin, again])
