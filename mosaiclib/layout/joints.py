"""Joints: edges that face each other across one, neighbours, and the survey of a finished layout."""

__all__ = [
    "PLACES",
    "Facing",
    "Survey",
    "beyond_outline",
    "edges_of",
    "facing",
    "gap_radius",
    "joints_by_place",
    "joints_of",
    "least_widths",
    "length_within",
    "narrower",
    "neighbours",
    "off_the_line",
    "open_places",
    "survey",
]

from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
import shapely
from shapely import MultiPolygon, Polygon

from mosaiclib.errors import MosaicError, brief, instance, number, numbers
from mosaiclib.layout.guide import Guide
from mosaiclib.layout.layout import LOST, NIP, Layout, mitred, only_areas, read_layout, read_shapes, row_codes
from mosaiclib.layout.rowspec import read_rows, stack
from mosaiclib.layout.seams import across, followed, surface
from mosaiclib.units import mm

LEAST_FACING = 1.0  # [mm] a shorter stretch is a meeting of corners, not a joint
TOUCH = 1e-6  # [mm] rounding of coordinates
OPPOSED = -0.5  # cosine: edges turned more than 60 degrees from opposite do not make a joint
CHUNK = 200_000  # pairs handled at once, so that a wall of tiles stays within memory
GROWN = 0.55  # pieces grown by this share of the greatest joint cover all joints and their crossings
HOLE = 0.05  # [mm2] a smaller hole is a crossing of joints
PLACES = ("within a row", "row to row", "row to field", "within the field")
NEXT = 0.95  # of a piece's width: edges farther apart have room for another piece between them
BITS = 16  # places along a wide stretch where something may stand between
LINE = 0.98  # of the way across: what comes nearer is an edge of the joint itself
NEARER = 0.7  # of half a wide joint: nearer to its middle lies only what is no edge of it
EVEN = 0.25  # two edges keep a wide joint if it widens by at most this share of its width
NECKS = 20  # widths that are tried to find a neck, up to the greatest circle inside a piece
FINE = 0.5  # [mm] step of the line that edges are measured from


@dataclass(frozen=True)
class Facing:
    """Stretches of joint, shape (m,), each between one edge of one piece and one edge of another.

    Numbers of the two pieces, first < second; length along the middle of the joint; joint width at both ends of the
    stretch, negative where the pieces overlap; middle, shape (m, 2) [mm]; unit direction from start to end, shape (m, 2).
    """

    first: np.ndarray
    second: np.ndarray
    length: np.ndarray
    start_gap: np.ndarray
    end_gap: np.ndarray
    middle: np.ndarray
    along: np.ndarray

    @property
    def mean_gap(self) -> np.ndarray:
        """Mean joint width of each stretch [mm]."""
        return (self.start_gap + self.end_gap) / 2


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
    return _facing(shapes, edges_of(shapes), pairs, reach)


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


def _facing(shapes: np.ndarray, edges: tuple[np.ndarray, ...], pairs: np.ndarray, reach: np.ndarray | float) -> Facing:
    begin, end, first, _ = edges
    reach = np.broadcast_to(reach, len(pairs))
    parts = [
        _stretches(begin, end, first, pairs[i : i + CHUNK], reach[i : i + CHUNK])
        for i in range(0, max(len(pairs), 1), CHUNK)
    ]
    return _in_front(shapes, Facing(*(np.concatenate(column) for column in zip(*parts, strict=True))))


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
    return Facing(*(getattr(met, name)[kept] for name in met.__dataclass_fields__))


def _edges_each(first: np.ndarray, pieces: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return every edge of some pieces, shape (p,), one after the other: the place of its piece among them, and its number."""
    count = np.diff(first)[pieces]
    which = np.repeat(np.arange(len(pieces)), count)
    return which, np.arange(len(which)) + np.repeat(first[pieces] - np.cumsum(count) + count, count)


def _edge_pairs(first: np.ndarray, pairs: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return every (pair, edge of its first piece, edge of its second piece)."""
    which, e = _edges_each(first, pairs[:, 0])
    each, f = _edges_each(first, pairs[which, 1])
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
    columns = (pairs[which, 0], pairs[which, 1], high - low, start, stop, middle, axis)
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


def neighbours(layout: Layout, corners: bool = False) -> np.ndarray:
    """Return the pairs of pieces that touch across a joint, shape (m, 2): i < j, sorted, each once.

    Two pieces are neighbours when they face each other along at least 1 mm across a joint up to
    `joint_max`, or round a corner of the glass across up to `corner_gap`; a strip that closes on itself is followed
    round. `corners` adds pairs that meet only at a crossing of joints.

    >>> from mosaiclib.layout import lay_grid
    >>> four = lay_grid(shapely.box(0, 0, 42, 42), 20, 2)
    >>> neighbours(four).tolist(), len(neighbours(four, corners=True))
    ([[0, 1], [0, 2], [1, 3], [2, 3]], 6)
    """
    instance(corners, bool, "choice whether corners count")
    if not len(read_layout(layout)):
        return np.zeros((0, 2), int)
    widest = max(layout.joint_max, layout.corner_gap)
    radius = widest * (np.sqrt(2) if corners else 1) + 2 * TOUCH
    seen = followed(layout, radius + layout.tile.side, [seam for seam in layout.seams if not seam.still])
    shapes, origin = seen.shapes, seen.origin
    pairs, apart = _near(shapes, np.full(len(shapes), radius))
    if len(shapes) > len(layout):
        real = seen.meeting(pairs)
        pairs, apart = pairs[real], apart[real]
    face = layout.face_codes[origin]
    same = face[pairs[:, 0]] == face[pairs[:, 1]]
    reach = np.where(same, layout.joint_max, widest)
    met = apart <= reach * np.sqrt(2) + TOUCH
    found = pairs[met] if corners else _facing_pairs(shapes, pairs, reach)
    found = np.sort(origin[found], axis=1)
    found = found[found[:, 0] != found[:, 1]]
    return np.unique(found, axis=0).astype(int)


def _near(shapes: np.ndarray, reach: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return the pairs of n pieces within the reach of either, shape (n,), i < j, (p, 2), and how far apart [mm]."""
    boxes = shapely.bounds(shapes) + reach[:, None] * np.array([-1, -1, 1, 1])
    pairs = shapely.STRtree(shapes).query(shapely.box(*boxes.T)).T
    first, second = pairs.min(axis=1).astype(np.int64), pairs.max(axis=1)
    keys = np.unique((first * len(shapes) + second)[first < second])  # quicker than asking the tree for distances
    pairs = np.stack([keys // max(len(shapes), 1), keys % max(len(shapes), 1)], axis=1)
    apart = shapely.distance(shapes[pairs[:, 0]], shapes[pairs[:, 1]])
    near = apart <= reach[pairs].max(axis=1, initial=0.0)
    return pairs[near], apart[near]


def _facing_pairs(shapes: np.ndarray, pairs: np.ndarray, reach: np.ndarray) -> np.ndarray:
    """Return those pairs whose stretches of joint add up to the least length."""
    met = _facing(shapes, edges_of(shapes), pairs, reach)
    key = met.first.astype(np.int64) * len(shapes) + met.second
    keys, where = np.unique(key, return_inverse=True)
    keys = keys[np.bincount(where, met.length, len(keys)) >= LEAST_FACING - TOUCH]
    return np.stack([keys // len(shapes), keys % len(shapes)], axis=1)


@dataclass(frozen=True)
class Survey:
    """What a careful eye with a gauge would find on a layout.

    Joint widths and their sd, weighted by length, 0 where there is no joint, and the length of all joints [mm]; two edges
    that look at each other across less than a piece make a joint, and two corners too close the least one; the greatest
    is one that keeps its width, not the mouth of a V that opens for ever. Share of that length within the limits, in all
    and by `PLACES`, 0 to 1, and 1 where there is none; pairs of pieces that overlap; radius of the largest circle in a gap
    that the layout does not report, and least width of any piece, turned freely, or of its narrowest neck [mm]; shares of
    the outline that is glass, and of the pieces that are cut in any way or wedges, 0 to 1; pieces that reach over the
    outline.
    """

    pieces: int
    joint_mean: float
    joint_sd: float
    joint_least: float
    joint_greatest: float
    joint_length: float
    share_within: float
    overlaps: int
    gap_radius: float
    least_width: float
    coverage: float
    cut_share: float
    wedge_share: float
    outside: int
    by_place: dict[str, float]


def joints_of(layout: Layout, reach: float | None = None) -> Facing:
    """Return all stretches of joint between pieces of the same face, up to a width [mm].

    Left out, that is twice the greatest joint and 0.5 mm, but less than a tile; and all that is wider and keeps its width,
    up to a piece, so that joints over the limit are seen.

    >>> import shapely
    >>> from mosaiclib.layout import lay_grid
    >>> joints_of(lay_grid(shapely.box(0, 0, 42, 20), 20, 2)).mean_gap.tolist()
    [2.0]
    """
    near = 0.0 if reach is None else number(reach, "reach", "mm", least=0, greatest=1e5)
    near = 0.0 if reach is None else number(reach, "reach", "mm", least=0, greatest=1e5)
    seen = across(read_layout(layout), near + 2 * layout.tile.side)
    shown, origin = seen.layout, seen.origin
    if reach is not None:
        (pairs,) = seen.met_once(_near(shown.shapes, np.full(len(shown), near))[0])
        met = _facing(shown.shapes, edges_of(shown.shapes), _on_one_face(shown, pairs)[0], near)
    else:
        widest, thin = _reach(layout, layout.joint_max), least_widths(shown.shapes)
        near = seen.met_once(*_near(shown.shapes, np.maximum(NEXT * thin, widest)))
        met = _all_joints(shown, *near, widest, thin)
    both = np.sort(np.stack([origin[met.first], origin[met.second]]), axis=0)
    return replace(met, first=both[0], second=both[1])


def _on_one_face(layout: Layout, pairs: np.ndarray, *more: np.ndarray) -> tuple[np.ndarray, ...]:
    """Return the pairs on one and the same face, and what else is known of them."""
    same = layout.face_codes[pairs[:, 0]] == layout.face_codes[pairs[:, 1]]
    return pairs[same], *(one[same] for one in more)


def _all_joints(layout: Layout, pairs: np.ndarray, apart: np.ndarray, reach: float, thin: np.ndarray) -> Facing:
    """Return the joints up to a reach and all wider ones between pairs that lie so far apart [mm]."""
    pairs, apart = _on_one_face(layout, pairs, apart)
    edges = edges_of(layout.shapes)
    near = _facing(layout.shapes, edges, pairs[apart <= reach], reach)
    near = _in_sight(layout.shapes, near, np.maximum(near.start_gap, near.end_gap) > layout.joint_max + NIP, LINE, 0.0)
    wide = _wide_joints(layout, edges, pairs[apart > reach - TOUCH], reach, thin)
    # farther off, edges also see each other through the joint between two pieces: there both its sides are near
    return _together(near, _in_sight(layout.shapes, wide, wide.length > 0, 0.1, NEARER))


def _reach(layout: Layout, most: float) -> float:
    """Return how far to look for joints [mm]: well over the greatest, but not through a tile at the one behind it."""
    return min(2 * most + 0.5, max(most, 0.95 * layout.tile.side))


def survey(layout: Layout, joint_min: float | None = None, joint_max: float | None = None) -> Survey:
    """Measure a finished layout, judged by limits of the joint [mm], its own if left out.

    >>> import shapely
    >>> from mosaiclib.layout import lay_grid
    >>> found = survey(lay_grid(shapely.box(0, 0, 86, 64), 20, 2))
    >>> found.pieces, round(found.joint_mean, 6), found.share_within, found.overlaps
    (12, 2.0, 1.0, 0)
    """
    read_layout(layout)
    least = layout.joint_min if joint_min is None else number(joint_min, "least joint", "mm", least=0, greatest=1e5)
    most = layout.joint_max if joint_max is None else number(joint_max, "greatest joint", "mm", least=0, greatest=1e5)
    if least > most:
        raise MosaicError("The least joint, ", mm(least), ", is over the greatest, ", mm(most), "; swap them.")
    reach = _reach(layout, max(most, layout.joint_max))
    seen = across(layout, max(reach, least) + 2 * layout.tile.side)
    view = seen.layout
    hulls = shapely.convex_hull(view.shapes)
    thin = _widths(hulls)
    pairs, apart = seen.met_once(*_near(view.shapes, np.maximum(NEXT * thin, max(reach, least))))
    met = _all_joints(view, pairs, apart, reach, thin)
    overlaps = _overlaps(view.shapes, pairs[apart == 0])
    pairs, apart = _on_one_face(view, pairs, apart)
    nearest = apart.min(initial=np.inf)
    kind = layout.pieces["kind"].to_numpy()
    count = max(len(layout), 1)
    return Survey(
        pieces=len(layout),
        **_joint_measures(met, least, most, reach, float(nearest), bool(overlaps)),
        overlaps=overlaps,
        gap_radius=gap_radius(view, _amid(view.shapes, met, layout.joint_max)),
        least_width=float(min((*thin, *_necks(view.shapes, hulls, thin.min(initial=np.inf))), default=0.0)),
        coverage=float(layout.areas.sum() / layout.outline.area) if layout.outline.area else 0.0,
        cut_share=float(np.sum(kind != "whole") / count),
        wedge_share=float(np.sum(kind == "wedge") / count),
        outside=int(np.sum(beyond_outline(layout) > LOST)),
        by_place=_shares(met, _place_codes(view, met), length_within(met, least, most)),
    )


def _together(one: Facing, other: Facing) -> Facing:
    return Facing(*(np.concatenate([getattr(one, name), getattr(other, name)]) for name in one.__dataclass_fields__))


def _wide_joints(layout: Layout, edges: tuple, pairs: np.ndarray, reach: float, thin: np.ndarray) -> Facing:
    """Return the joints wider than `reach` but narrower than a piece, with nothing between their edges [mm].

    `thin`: least width of each piece, shape (n,) [mm]. Edges that open in a V make none: beyond their reach it is a gap.
    """
    met = _facing(layout.shapes, edges, pairs, NEXT * thin[pairs].max(axis=1, initial=0.0))
    least, most = np.minimum(met.start_gap, met.end_gap), np.maximum(met.start_gap, met.end_gap)
    clear = (least >= reach - TOUCH) & (most - least <= EVEN * least) & (met.length >= LEAST_FACING)
    met = _chosen(met, clear)
    told = np.zeros(len(met.first), bool)
    gaps = shapely.STRtree([gap.shape for gap in layout.gaps])
    told[gaps.query(shapely.points(met.middle), predicate="intersects")[0]] = True
    return _chosen(met, ~told)


def _in_sight(shapes: np.ndarray, met: Facing, wide: np.ndarray, line: float, round_: float) -> Facing:
    """Shorten wide stretches, shape (m,), to where nothing stands between their edges.

    That is, no piece meets the line across the joint, nor lies near its middle; shares of half the joint's width.
    """
    met, rest = _chosen(met, wide), _chosen(met, ~wide)
    share = (np.arange(BITS) + 0.5) / BITS
    half = np.clip(met.start_gap[:, None] + (met.end_gap - met.start_gap)[:, None] * share, 0, None) / 2
    spots = met.middle[:, None] + ((share - 0.5) * met.length[:, None])[..., None] * met.along[:, None]
    across = line * half[..., None] * np.stack([met.along[:, 1], -met.along[:, 0]], axis=1)[:, None]
    tree, hidden = shapely.STRtree(shapes), np.zeros(half.size, bool)
    hidden[tree.query(shapely.points(spots.reshape(-1, 2)), predicate="intersects")[0]] = True  # most, and quickly
    seen = np.flatnonzero(~hidden)
    lines = shapely.linestrings(np.stack([spots - across, spots + across], axis=2).reshape(-1, 2, 2)[seen])
    hidden[seen[tree.query(lines, predicate="dwithin", distance=round_ * half.ravel()[seen])[0]]] = True
    clear = ~hidden.reshape(half.shape)
    begin, end = clear.argmax(axis=1) / BITS, 1 - clear[:, ::-1].argmax(axis=1) / BITS
    return _together(rest, _chosen(_part(met, begin, end), clear.any(axis=1)))


def _part(met: Facing, begin: np.ndarray, end: np.ndarray) -> Facing:
    """Return the part of each stretch between two shares of its length, 0 to 1, shape (m,)."""
    widens = met.end_gap - met.start_gap
    middle = met.middle + (((begin + end) / 2 - 0.5) * met.length)[:, None] * met.along
    gaps = met.start_gap + begin * widens, met.start_gap + end * widens
    return Facing(met.first, met.second, (end - begin) * met.length, *gaps, middle, met.along)


def _chosen(met: Facing, kept: np.ndarray) -> Facing:
    return Facing(*(getattr(met, name)[kept] for name in met.__dataclass_fields__))


def _necks(shapes: np.ndarray, hulls: np.ndarray, most: float) -> np.ndarray:
    """Return the narrowest neck of each piece that has one up to a width [mm]: shrunk by half of it, the piece falls apart.

    It is sought in steps of a twentieth of the width of the greatest circle inside the piece, then by halves: a neck goes
    unseen only where all that lies on one side of it is wider than it by less than one step, and is no neck to the eye.
    """
    bent = shapes[shapely.area(hulls) - shapely.area(shapes) > HOLE]
    step = shapely.length(shapely.maximum_inscribed_circle(bent)) / NECKS
    tried = step[:, None] * np.arange(1, NECKS + 1)
    piece, which = np.nonzero(tried - step[:, None] < most / 2)
    apart = np.zeros(tried.shape, bool)
    apart[piece, which] = shapely.get_num_geometries(shapely.buffer(bent[piece], -tried[piece, which])) > 1
    necked = apart.any(axis=1)
    bent, high = bent[necked], tried[necked, apart.argmax(axis=1)[necked]]
    low = high - step[necked]
    for _ in range(12):
        half = (low + high) / 2
        parted = shapely.get_num_geometries(shapely.buffer(bent, -half)) > 1
        low, high = np.where(parted, low, half), np.where(parted, half, high)
    return 2 * high


def _joint_measures(
    met: Facing, least: float, most: float, reach: float, nearest: float, overlap: bool
) -> dict[str, float]:
    """Return the measures of the joints, weighted by length."""
    total = float(met.length.sum())
    if not total:
        return dict.fromkeys(("joint_mean", "joint_sd", "joint_least", "joint_greatest", "joint_length"), 0.0) | {
            "share_within": 0.0 if overlap else 1.0
        }
    ends = np.stack([met.start_gap, met.end_gap])
    mean = float(np.average(met.mean_gap, weights=met.length))
    # a joint that widens evenly from a to b has the mean square (a^2 + a b + b^2)/3
    square = np.average((ends[0] ** 2 + ends[0] * ends[1] + ends[1] ** 2) / 3, weights=met.length)
    return {
        "joint_mean": mean,
        "joint_sd": float(np.sqrt(max(square - mean**2, 0.0))),
        "joint_least": min(float(ends.min()), nearest),
        "joint_greatest": _greatest(met, reach),
        "joint_length": total,
        "share_within": float(length_within(met, least, most).sum() / total),
    }


def _greatest(met: Facing, reach: float) -> float:
    """Return the greatest width of some joints [mm]; a V cut off at the reach of the search counts by its middle."""
    ends = np.stack([met.start_gap, met.end_gap])
    return float(np.where(np.abs(ends - reach) <= 2 * TOUCH, met.mean_gap, ends).max())


def length_within(met: Facing, least: float, most: float) -> np.ndarray:
    """Return for each of n stretches of joint the length whose width lies within limits, shape (n,) [mm]."""
    ends = np.stack([met.start_gap, met.end_gap])
    low, high = ends.min(axis=0), ends.max(axis=0)
    inside = np.clip(np.minimum(high, most) - np.maximum(low, least), 0, None)
    even = (low >= least - 1e-9) & (high <= most + 1e-9)
    return met.length * np.where(even, 1.0, inside / np.where(high > low, high - low, 1.0))


def _overlaps(shapes: np.ndarray, pairs: np.ndarray) -> int:
    """Count the pairs of pieces that overlap by more than rounding."""
    shared = shapely.area(shapely.intersection(shapes[pairs[:, 0]], shapes[pairs[:, 1]]))
    return int(np.sum(shared > LOST))


def beyond_outline(layout: Layout) -> np.ndarray:
    """Return the area of each piece that reaches over the outline, shape (n,) [mm2]; across a smooth seam it goes on."""
    shapely.prepare(layout.outline)
    over = np.flatnonzero(~shapely.covers(layout.outline, layout.shapes))
    area = np.zeros(len(layout))
    if len(over):
        area[over] = shapely.area(shapely.difference(layout.shapes[over], surface(layout)))
    return area


def open_places(
    outline: Polygon, shapes: np.ndarray, widest: float, amid: np.ndarray | None = None
) -> list[tuple[Polygon, Polygon | MultiPolygon]]:
    """Return the places in an outline that are wider than joints of the greatest width and their crossings [mm].

    The inmost part of each, and the whole of it up to the pieces. Pieces known to lie `amid` others, shape (n,), have no
    such place beside them: they need not be looked at.

    >>> four = shapely.box([0, 12, 0], [0, 0, 12], [10, 22, 10], [10, 10, 22])
    >>> [round(place.area) for _, place in open_places(shapely.box(0, 0, 22, 22), four, 2)]
    [144]
    """
    grow = GROWN * widest
    amid = np.zeros(len(shapes), bool) if amid is None else amid
    grown = mitred(shapes[~amid], grow, 3)
    inmost = shapely.get_parts(shapely.difference(outline, shapely.union_all(grown)))
    filled, _ = shapely.STRtree(shapes[amid]).query(inmost, predicate="intersects")
    inmost = np.delete(inmost, filled)
    inmost = inmost[shapely.area(inmost) > HOLE]
    wide = shapely.intersection(shapely.buffer(inmost, grow), outline)
    tree = shapely.STRtree(shapes)
    near = [shapely.union_all(shapes[tree.query(place)]) for place in wide]
    return [(one, only_areas(shapely.difference(p, n))) for one, p, n in zip(inmost, wide, near, strict=True)]


def _amid(shapes: np.ndarray, met: Facing, widest: float) -> np.ndarray:
    """Tell which of n pieces are faced all round across joints up to a width [mm], and so are all that they face."""
    met = _chosen(
        met, (np.minimum(met.start_gap, met.end_gap) > 0) & (np.maximum(met.start_gap, met.end_gap) <= widest)
    )
    faced = sum(np.bincount(side, met.length, len(shapes)) for side in (met.first, met.second))
    round_ = np.abs(faced - shapely.length(shapes)) < LOST
    found = round_.copy()
    for one, other in ((met.first, met.second), (met.second, met.first)):
        found[one[~round_[other]]] = False
    return found


def gap_radius(layout: Layout, amid: np.ndarray | None = None) -> float:
    """Return the radius of the largest circle in an unreported gap, 0 where only joints and crossings are open [mm].

    Pieces `amid` others as in `open_places`.
    """
    layout = across(layout, 2 * layout.tile.side, own_face=True).layout
    places = [place for _, place in open_places(layout.outline, layout.shapes, layout.joint_max, amid)]
    if layout.gaps:
        told = shapely.buffer([gap.shape for gap in layout.gaps], 1e-6)
        tree = shapely.STRtree(told)
        near = [shapely.union_all(told[tree.query(place)]) for place in places]
        places = [only_areas(shapely.difference(*both)) for both in zip(places, near, strict=True)]
    least = layout.joint_max / np.sqrt(2)
    parts = [part for part in shapely.get_parts(places) if part.area > np.pi * least**2]  # others hold no such circle
    widest = max((shapely.length(shapely.maximum_inscribed_circle(part, 0.01)) for part in parts), default=0.0)
    return float(widest) if widest > least else 0.0


def least_widths(shapes: np.ndarray) -> np.ndarray:
    """Return the least width of each piece between two parallel lines, shape (n,), 0 for an empty one [mm].

    One of the lines lies along an edge of the piece's convex hull (rotating calipers).

    >>> least_widths(np.array([shapely.Polygon([(0, 0), (30, 0), (30, 40)])])).tolist()
    [24.0]
    """
    return _widths(shapely.convex_hull(shapes))


def _widths(hulls: np.ndarray) -> np.ndarray:
    widths = np.zeros(len(hulls))
    solid = (shapely.get_type_id(hulls) == 3) & ~shapely.is_empty(hulls)
    if not solid.any():
        return widths
    begin, end, first, owner = edges_of(hulls[solid])
    edge, corner = _edges_each(first, owner)  # the corners of its piece are measured from each edge
    step = begin.T.take(corner, axis=1) - begin.T.take(edge, axis=1)
    x, y = (end - begin).T
    off = np.abs(x[edge] * step[1] - y[edge] * step[0]) / np.hypot(x, y)[edge]
    starts = np.flatnonzero(np.diff(edge, prepend=-1))
    widths[solid] = np.minimum.reduceat(np.maximum.reduceat(off, starts), first[:-1])
    return widths


def narrower(shapes: np.ndarray, least: np.ndarray | float) -> np.ndarray:
    """Tell which pieces, shape (n,), are narrower than a least width of all or of each [mm]; empty ones are.

    >>> narrower(np.array([shapely.box(0, 0, 20, 2), shapely.box(0, 0, 20, 3)]), 3).tolist()
    [True, False]
    """
    bounds, least = shapely.bounds(shapes), np.broadcast_to(least, len(shapes))
    # a piece holds no more than its least width times its length
    found = ~(shapely.area(shapes) >= least * np.hypot(*(bounds[:, 2:] - bounds[:, :2]).T))
    found[found] = least_widths(shapes[found]) < least[found]
    return found


def joints_by_place(layout: Layout) -> pd.DataFrame:
    """Measure the joints of rows and field by where they lie: one line for each of `PLACES` that occurs.

    Columns place, length, mean, sd, least, greatest [mm] and share_within, 0 to 1; all weighted by length.

    >>> from mosaiclib.layout.lines import straight
    >>> from mosaiclib.layout.rows import lay_rows
    >>> found = joints_by_place(lay_rows(straight(86), [dict(tile=20, count=2)], 2))
    >>> found["place"].tolist(), found["mean"].round(6).tolist()
    (['within a row', 'row to row'], [2.0, 2.0])
    """
    met, reach = joints_of(layout), _reach(layout, read_layout(layout).joint_max)
    place = _place_codes(layout, met)
    inside = length_within(met, layout.joint_min, layout.joint_max)
    lines = []
    for code, name in enumerate(PLACES):
        mine = place == code
        if not mine.any():
            continue
        weight, gap = met.length[mine], met.mean_gap[mine]
        mean = float(np.average(gap, weights=weight))
        sd = float(np.sqrt(np.average((gap - mean) ** 2, weights=weight)))
        least = float(np.minimum(met.start_gap, met.end_gap)[mine].min())
        share = float(inside[mine].sum() / weight.sum())
        lines.append((name, float(weight.sum()), mean, sd, least, _greatest(_chosen(met, mine), reach), share))
    return pd.DataFrame(lines, columns=["place", "length", "mean", "sd", "least", "greatest", "share_within"])


def _place_codes(layout: Layout, met: Facing) -> np.ndarray:
    """Return for each stretch of joint, shape (m,), its number in `PLACES`."""
    rows = (layout.pieces["band"] == "rows").to_numpy()
    row = np.where(rows, row_codes(layout.pieces), -1)
    one, two = row[met.first], row[met.second]
    place = np.where(one == two, 0, np.where((one >= 0) & (two >= 0), 1, 2))
    return np.where((one < 0) & (two < 0), 3, place)


def _shares(met: Facing, place: np.ndarray, inside: np.ndarray) -> dict[str, float]:
    """Return the share of the joints' length that is within limits for each of `PLACES` that occurs."""
    length, within = (np.bincount(place, weights, len(PLACES)) for weights in (met.length, inside))
    return {name: float(within[i] / length[i]) for i, name in enumerate(PLACES) if length[i] > 0}


def off_the_line(layout: Layout, guide: Guide, rows: object, joint: float) -> float:
    """Return how far the edges of rows, as given to `lay_rows`, leave the drawn line's offsets, sag included [mm].

    The greatest distance of an edge, at its ends or its middle, from where the row's edge should be; pieces that were
    cut back are left out.

    >>> from mosaiclib.layout.lines import straight
    >>> from mosaiclib.layout.rows import lay_rows
    >>> round(off_the_line(lay_rows(straight(86), [dict(tile=20)], 2), straight(86), [dict(tile=20)], 2), 9)
    0.0
    """
    places = stack(read_rows(rows), number(joint, "joint", "mm", above=0, greatest=100))
    pieces = read_layout(layout).pieces
    guide = guide if isinstance(guide, Guide) else Guide(guide)
    drawn = ((pieces["band"] == "rows") & pieces["kind"].isin(("whole", "wedge"))).to_numpy()
    if not drawn.any():
        return 0.0
    if pieces["row"].to_numpy()[drawn].max() > len(places):
        raise MosaicError(f"The layout has more rows than the {len(places)} that were given.")
    count = max(2, int(guide.length / FINE))
    s = np.linspace(0, guide.length * (1 - 1e-12), count)
    line = shapely.linestrings(guide.at(np.append(s, 0.0) if guide.closed else s))
    corners = np.stack([shapely.get_coordinates(shape)[:4] for shape in layout.shapes[drawn]])
    edge = np.array([[row.left, row.right] for row in places])[pieces["row"].to_numpy()[drawn] - 1]
    worst = 0.0
    for first, second, wanted in ((0, 1, edge[:, 0]), (3, 2, edge[:, 1])):
        for point in (corners[:, first], (corners[:, first] + corners[:, second]) / 2, corners[:, second]):
            off = np.abs(shapely.distance(shapely.points(point), line) - np.abs(wanted))
            worst = max(worst, float(off.max()))
    return worst
