"""Edges of pieces that face each other across a joint."""

__all__ = [
    "TOUCH",
    "Facing",
    "close_pairs",
    "edges_before",
    "edges_each",
    "edges_of",
    "faced",
    "facing",
    "near_pairs",
    "stretches",
    "turns",
    "within",
]

from dataclasses import dataclass

import numpy as np
import shapely

from mosaiclib.errors import MosaicError, brief, numbers
from mosaiclib.layout.layout import read_shapes

TOUCH = 1e-6  # [mm] rounding of coordinates
OPPOSED = -0.5  # cosine: edges turned more than 60 degrees from opposite do not make a joint
CHUNK = 10_000  # pairs handled at once, so that what is worked out of them stays within the processor's own memory


@dataclass(frozen=True)
class Facing:
    """Stretches of joint, shape (m,), each between one edge of one piece and one edge of another.

    Numbers of the two pieces, first < second; length along the middle of the joint; joint width at both ends of the
    stretch, negative where the pieces overlap; middle, shape (m, 2) [mm]; unit direction from start to end, shape (m, 2);
    numbers of the two edges.
    """

    first: np.ndarray
    second: np.ndarray
    length: np.ndarray
    start_gap: np.ndarray
    end_gap: np.ndarray
    middle: np.ndarray
    along: np.ndarray
    first_edge: np.ndarray
    second_edge: np.ndarray

    @property
    def mean_gap(self) -> np.ndarray:
        """Mean joint width of each stretch [mm]."""
        return (self.start_gap + self.end_gap) / 2

    def chosen(self, kept: np.ndarray) -> "Facing":
        """Return some of the stretches, by their numbers or marks of shape (m,)."""
        return Facing(*(getattr(self, name)[kept] for name in self.__dataclass_fields__))

    def ends(self, side: int) -> np.ndarray:
        """Return the ends of the edges on the second piece's side, 1, or the first's, -1, shape (2, m, 2) [mm]."""
        out = np.stack([self.along[:, 1], -self.along[:, 0]], axis=1)
        half = (self.length / 2)[:, None] * self.along
        one, two = ((side * gap / 2)[:, None] * out for gap in (self.start_gap, self.end_gap))
        return np.stack([self.middle - half + one, self.middle + half + two])


def edges_of(shapes: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Return the edges of n polygons, each turned so that the outside lies on its right.

    Begin and end, shape (m, 2) [mm]; edges of piece i are first[i] to first[i + 1]; the piece that owns each edge.

    >>> begin, end, first, owner = edges_of([shapely.box(0, 0, 2, 1)])
    >>> len(begin), first.tolist()
    (4, [0, 4])
    """
    rings = shapely.get_exterior_ring(shapely.orient_polygons(shapes))
    points, ring = shapely.get_coordinates(rings, return_index=True)
    same = ring[1:] == ring[:-1]
    begin, end, owner = points[:-1][same], points[1:][same], ring[:-1][same]
    first = np.searchsorted(owner, np.arange(len(rings) + 1))
    return begin, end, first, owner


def edges_before(first: np.ndarray) -> np.ndarray:
    """Return the number of the edge before each on its piece, shape (m,), from the first edge of each piece."""
    before, there = np.arange(first[-1]) - 1, np.diff(first) > 0
    before[first[:-1][there]] = first[1:][there] - 1
    return before


def turns(along: np.ndarray, first: np.ndarray) -> np.ndarray:
    """Return by how much the next edge of its piece turns to the left at each edge's end, shape (m,) [radians].

    Direction of each edge, shape (m, 2), and the first edge of each piece.

    >>> begin, end, first, _ = edges_of([shapely.box(0, 0, 2, 1)])
    >>> np.degrees(turns(end - begin, first)).tolist()
    [90.0, 90.0, 90.0, 90.0]
    """
    before, turn = edges_before(first), np.zeros(len(along))
    (x, y), (u, v) = along[before].T, along.T
    turn[before] = np.arctan2(x * v - y * u, x * u + y * v)
    return turn


def facing(shapes: np.ndarray, pairs: np.ndarray, reach: np.ndarray | float) -> Facing:
    """Find the stretches of joint longer than 0 between pairs of n pieces, shape (p, 2), up to a width [mm] of all or each.

    Two edges make a joint where they look at each other; both are measured from the line half way
    between their directions, and the stretch ends where the joint gets wider than `reach`.

    >>> two = [shapely.box(0, 0, 10, 10), shapely.box(12, 0, 22, 10)]
    >>> found = facing(two, np.array([[0, 1]]), 3)
    >>> found.length.tolist(), found.mean_gap.tolist()
    ([10.0], [2.0])
    """
    shapes = read_shapes(shapes)
    pairs = _read_pairs(pairs, len(shapes))
    reach = np.asarray(numbers(reach, "reach", "mm", least=0))
    if reach.shape not in ((), (len(pairs),)):
        raise MosaicError(f"The reach must be one number, or one for each of {len(pairs)} pairs.")
    return faced(shapes, edges_of(shapes), pairs, reach)


def _read_pairs(pairs: object, count: int) -> np.ndarray:
    """Return pairs of numbers of `count` pieces, shape (p, 2), checked."""
    try:
        found = np.asarray(pairs)
    except ValueError:  # rows of unequal length
        found = np.zeros(1)
    fits = found.ndim == 2 and found.shape[1] == 2 and found.dtype.kind in "iu"
    if not fits or (found.size and not 0 <= found.min() <= found.max() < count):
        raise MosaicError(f"Each pair must be two numbers of pieces from 0 to {count - 1}, not {brief(pairs)}.")
    return found


def faced(shapes: np.ndarray, edges: tuple[np.ndarray, ...], pairs: np.ndarray, reach: np.ndarray | float) -> Facing:
    """Find what `facing` does, the `edges_of` the pieces known."""
    return _in_front(shapes, stretches(edges, pairs, reach))


def stretches(edges: tuple[np.ndarray, ...], pairs: np.ndarray, reach: np.ndarray | float) -> Facing:
    """Find what `faced` does, and edges that look at each other through the bodies of their own pieces."""
    begin, end, first, _ = edges
    reach = np.broadcast_to(reach, len(pairs))
    parts = [
        _stretches(begin, end, first, pairs[i : i + CHUNK], reach[i : i + CHUNK])
        for i in range(0, max(len(pairs), 1), CHUNK)
    ]
    return Facing(*(np.concatenate(column) for column in zip(*parts, strict=True)))


def _in_front(shapes: np.ndarray, met: Facing) -> Facing:
    """Leave out edges that look at each other through the bodies of their own pieces.

    Where pieces are narrow these lie no farther apart than a wide joint, but behind each other; where pieces
    overlap the middle of the stretch lies in both.
    """
    behind = np.flatnonzero(np.maximum(met.start_gap, met.end_gap) < -TOUCH)
    if not len(behind):
        return met
    x, y = met.middle[behind].T
    both = [shapely.intersects_xy(shapes[side[behind]], x, y) for side in (met.first, met.second)]
    kept = np.ones(len(met.first), bool)
    kept[behind] = both[0] & both[1]
    return met.chosen(kept)


def edges_each(first: np.ndarray, pieces: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return every edge of some pieces, shape (p,), one after the other: the place of its piece among them, and its number."""
    count = np.diff(first)[pieces]
    which = np.repeat(np.arange(len(pieces)), count)
    return which, np.arange(len(which)) + np.repeat(first[pieces] - np.cumsum(count) + count, count)


def _edge_pairs(first: np.ndarray, pairs: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return every (pair, edge of its first piece, edge of its second piece)."""
    which, e = edges_each(first, pairs[:, 0])
    each, f = edges_each(first, pairs[which, 1])
    return which[each], e[each], f


def _stretches(
    begin: np.ndarray, end: np.ndarray, first: np.ndarray, pairs: np.ndarray, reach: np.ndarray
) -> tuple[np.ndarray, ...]:
    """Measure the stretches of joint of some pairs; the columns of `Facing`."""
    begin, end = begin.T.copy(), end.T.copy()  # quicker to pick from
    along = end - begin
    length = np.hypot(*along)
    along /= np.where(length > 0, length, 1)
    which, e, f = _edge_pairs(first, pairs)
    x, y = along
    keep = np.flatnonzero(x[e] * x[f] + y[e] * y[f] < OPPOSED)
    which, e, f = which[keep], e[keep], f[keep]
    axis = along.take(e, axis=1) - along.take(f, axis=1)
    axis /= np.hypot(*axis)
    out = np.stack([axis[1], -axis[0]])
    origin = begin.take(e, axis=1)

    def place(points: np.ndarray, edge: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        step = points.take(edge, axis=1) - origin
        return (step * axis).sum(axis=0), (step * out).sum(axis=0)

    e_to, f_from, f_to = place(end, e), place(end, f), place(begin, f)
    low, high = np.maximum(0.0, f_from[0]), np.minimum(e_to[0], f_to[0])
    slope_e = e_to[1] / np.maximum(e_to[0], 1e-12)
    slope_f = (f_to[1] - f_from[1]) / np.maximum(f_to[0] - f_from[0], 1e-12)

    def gap(x: np.ndarray) -> np.ndarray:
        return f_from[1] + slope_f * (x - f_from[0]) - slope_e * x

    low, high = _within(low, high, gap, slope_f - slope_e, reach[which] + TOUCH)
    start, stop = gap(low), gap(high)
    # edges that look at each other through the body of their own pieces lie far behind each other
    real = np.flatnonzero((high - low > TOUCH) & (np.maximum(start, stop) > -reach[which] - TOUCH))
    centre = (low + high) / 2
    across = slope_e * centre + gap(centre) / 2
    middle = origin + centre * axis + across * out
    columns = (pairs[which, 0], pairs[which, 1], high - low, start, stop, middle, axis, e, f)
    return tuple(column.take(real, axis=-1).T for column in columns)


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


def close_pairs(tree: shapely.STRtree, reach: np.ndarray) -> np.ndarray:
    """Return the pairs of a tree's n pieces whose upright frames lie within the reach of either, shape (n,), i < j, (p, 2) [mm]."""
    n, boxes = len(tree), shapely.bounds(tree.geometries) + reach[:, None] * np.array([-1, -1, 1, 1])
    first, second = tree.query(shapely.box(*boxes.T))
    keys = np.sort((np.minimum(first, second) * n + np.maximum(first, second))[first != second])
    keys = keys[np.diff(keys, prepend=-1) > 0]  # quicker than np.unique
    return np.stack(np.divmod(keys, max(n, 1)), axis=1)


def near_pairs(shapes: np.ndarray, reach: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return the pairs of n pieces within the reach of either, shape (n,), i < j, (p, 2), and how far apart [mm]."""
    pairs = close_pairs(shapely.STRtree(shapes), reach)
    return within(shapes, pairs, reach[pairs].max(axis=1, initial=0.0))


def within(shapes: np.ndarray, pairs: np.ndarray, reach: np.ndarray | float) -> tuple[np.ndarray, np.ndarray]:
    """Return which of some pairs of pieces, shape (p, 2), lie within a reach of all or each, and how far apart [mm]."""
    low, high = np.split(shapely.bounds(shapes), 2, axis=1)
    i, j = pairs.T
    # quicker than asking a tree for distances
    close = np.maximum(low[i] - high[j], low[j] - high[i]).max(axis=1) <= reach
    apart = np.full(len(pairs), np.inf)
    apart[close] = shapely.distance(shapes[i[close]], shapes[j[close]])
    near = apart <= reach
    return pairs[near], apart[near]
