"""Joints: edges that face each other across one, neighbours, and the survey of a finished layout."""

__all__ = [
    "PLACES",
    "Facing",
    "Survey",
    "edges_of",
    "facing",
    "joints_by_place",
    "joints_of",
    "length_within",
    "neighbours",
    "off_the_line",
    "survey",
]

from dataclasses import dataclass

import numpy as np
import pandas as pd
import shapely

from mosaiclib.errors import MosaicError, instance, number
from mosaiclib.layout.guide import Guide
from mosaiclib.layout.layout import Layout, read_shapes
from mosaiclib.layout.rowspec import read_rows, stack

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


OVERLAP = 1e-6  # [mm2] less is rounding


@dataclass(frozen=True)
class Survey:
    """What a careful eye with a gauge would find on a layout.

    Parameters
    ----------
    pieces : int
        Number of pieces.
    joint_mean, joint_sd, joint_least, joint_greatest : float
        Joint width, weighted by length [mm]; 0 where there is no joint.
    joint_length : float
        Length of all joints between pieces [mm].
    share_within : float
        Share of joint length within the limits, 0 to 1; 1 where there is no joint.
    overlaps : int
        Pairs of pieces that overlap.
    gap_radius : float
        Radius of the largest circle in a gap that the layout does not report [mm].
    least_width : float
        Least width of any piece, turned freely [mm].
    coverage : float
        Share of the outline that is glass, 0 to 1.
    cut_share, wedge_share : float
        Share of pieces that are cut in any way, and that are wedges, 0 to 1.
    outside : int
        Pieces that reach over the outline.
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


def joints_of(layout: Layout, reach: float | None = None) -> Facing:
    """Return all stretches of joint between pieces of the same face.

    Parameters
    ----------
    layout : Layout
        The pieces.
    reach : float, optional
        Widest joint that is looked for [mm]; twice the greatest joint and 0.5 mm if left out, less than a tile, so that
        joints over the limit are seen.

    Returns
    -------
    Facing
        Stretches of joint.

    Examples
    --------
    >>> import shapely
    >>> from mosaiclib.layout import lay_grid
    >>> joints_of(lay_grid(shapely.box(0, 0, 42, 20), 20, 2)).mean_gap.tolist()
    [2.0]
    """
    instance(layout, Layout, "layout")
    usual = _reach(layout, layout.joint_max)
    widest = usual if reach is None else number(reach, "reach", "mm", above=0, greatest=1e6)
    pairs = shapely.STRtree(layout.shapes).query(layout.shapes, predicate="dwithin", distance=widest).T
    face = layout.pieces["face"].astype("category").cat.codes.to_numpy()
    pairs = pairs[(pairs[:, 0] < pairs[:, 1]) & (face[pairs[:, 0]] == face[pairs[:, 1]])]
    return facing(layout.shapes, pairs, widest)


def _reach(layout: Layout, most: float) -> float:
    """Return how far to look for joints [mm]: well over the greatest, but not through a tile at the one behind it."""
    return min(2 * most + 0.5, max(most, 0.95 * layout.tile.side))


def survey(layout: Layout, joint_min: float | None = None, joint_max: float | None = None) -> Survey:
    """Measure a finished layout.

    Parameters
    ----------
    layout : Layout
        The pieces.
    joint_min, joint_max : float, optional
        Limits to judge by [mm]; the layout's own if left out.

    Returns
    -------
    Survey
        The measures.

    Raises
    ------
    MosaicError
        If a limit is not a number of at least 0, or the limits are crossed.

    Examples
    --------
    >>> import shapely
    >>> from mosaiclib.layout import lay_grid
    >>> found = survey(lay_grid(shapely.box(0, 0, 86, 64), 20, 2))
    >>> found.pieces, round(found.joint_mean, 6), found.share_within, found.overlaps
    (12, 2.0, 1.0, 0)
    """
    instance(layout, Layout, "layout")
    least = layout.joint_min if joint_min is None else number(joint_min, "least joint", "mm", least=0, greatest=1e5)
    most = layout.joint_max if joint_max is None else number(joint_max, "greatest joint", "mm", least=0, greatest=1e5)
    if least > most:
        raise MosaicError(f"The least joint, {least:g} mm, is over the greatest, {most:g} mm; swap them.")
    met = joints_of(layout, _reach(layout, max(most, layout.joint_max)))
    kind = layout.pieces["kind"].to_numpy()
    count = max(len(layout), 1)
    return Survey(
        pieces=len(layout),
        **_joint_measures(met, least, most),
        overlaps=_overlaps(layout.shapes),
        gap_radius=_gap_radius(layout),
        least_width=float(_least_width(layout.shapes)),
        coverage=float(layout.areas.sum() / layout.outline.area) if layout.outline.area else 0.0,
        cut_share=float(np.sum(kind != "whole") / count),
        wedge_share=float(np.sum(kind == "wedge") / count),
        outside=int(np.sum(shapely.area(shapely.difference(layout.shapes, layout.outline)) > OVERLAP)),
    )


def _joint_measures(met: Facing, least: float, most: float) -> dict[str, float]:
    """Return the measures of the joints, weighted by length."""
    total = float(met.length.sum())
    if not total:
        return dict.fromkeys(("joint_mean", "joint_sd", "joint_least", "joint_greatest", "joint_length"), 0.0) | {
            "share_within": 1.0
        }
    ends = np.stack([met.start_gap, met.end_gap])
    mean = float(np.average(met.mean_gap, weights=met.length))
    # a joint that widens evenly from a to b has the mean square (a^2 + a b + b^2)/3
    square = np.average((ends[0] ** 2 + ends[0] * ends[1] + ends[1] ** 2) / 3, weights=met.length)
    return {
        "joint_mean": mean,
        "joint_sd": float(np.sqrt(max(square - mean**2, 0.0))),
        "joint_least": float(ends.min()),
        "joint_greatest": float(ends.max()),
        "joint_length": total,
        "share_within": float(length_within(met, least, most).sum() / total),
    }


def length_within(met: Facing, least: float, most: float) -> np.ndarray:
    """Return for each stretch of joint the length whose width lies within limits.

    Parameters
    ----------
    met : Facing
        Stretches of joint, n of them.
    least, most : float
        Limits [mm].

    Returns
    -------
    array, shape (n,)
        Lengths [mm].
    """
    ends = np.stack([met.start_gap, met.end_gap])
    low, high = ends.min(axis=0), ends.max(axis=0)
    inside = np.clip(np.minimum(high, most) - np.maximum(low, least), 0, None)
    even = (low >= least - 1e-9) & (high <= most + 1e-9)
    return met.length * np.where(even, 1.0, inside / np.where(high > low, high - low, 1.0))


def _overlaps(shapes: np.ndarray) -> int:
    """Count the pairs of pieces that overlap by more than rounding."""
    first, second = shapely.STRtree(shapes).query(shapes, predicate="intersects")
    once = first < second
    shared = shapely.area(shapely.intersection(shapes[first[once]], shapes[second[once]]))
    return int(np.sum(shared > OVERLAP))


def _gap_radius(layout: Layout) -> float:
    """Return the radius of the largest circle in an unreported gap [mm].

    Pieces are first grown by what a crossing of joints holds, so that only real gaps are left to look at.
    """
    grow = layout.joint_max / np.sqrt(2)
    grown = shapely.union_all(shapely.buffer(layout.shapes, grow, quad_segs=4)) if len(layout) else shapely.Polygon()
    free = layout.outline.buffer(-grow, join_style="mitre").difference(grown)  # circles stay inside the outline
    if layout.gaps:
        free = free.difference(shapely.union_all([gap.shape.buffer(1e-6) for gap in layout.gaps]))
    parts = [part for part in shapely.get_parts(free) if part.area > OVERLAP]
    radii = [shapely.length(shapely.maximum_inscribed_circle(part, 0.01)) for part in parts]
    return float(max(radii) + grow) if radii else 0.0


def _least_width(shapes: np.ndarray) -> float:
    """Return the least width of any piece between two parallel lines [mm]; one of them lies along an edge."""
    if not len(shapes):
        return 0.0
    begin, end, first, owner = edges_of(shapely.convex_hull(shapes))
    along = end - begin
    count = np.diff(first)[owner]  # corners to be measured from each edge
    edge = np.repeat(np.arange(len(owner)), count)
    starts = np.cumsum(count) - count
    corner = first[owner[edge]] + np.arange(len(edge)) - starts[edge]
    step = begin[corner] - begin[edge]
    off = np.abs(along[edge, 0] * step[:, 1] - along[edge, 1] * step[:, 0]) / np.hypot(*along[edge].T)
    return float(np.maximum.reduceat(off, starts).min())


PLACES = ("within a row", "row to row", "row to field", "within the field")
FINE = 0.5  # [mm] step of the line that edges are measured from


def joints_by_place(layout: Layout) -> pd.DataFrame:
    """Measure the joints of rows and field by where they lie.

    Parameters
    ----------
    layout : Layout
        Rows, with or without field.

    Returns
    -------
    DataFrame
        One line for each of `PLACES` that occurs, with the columns place, length, mean, sd, least, greatest [mm] and
        share_within, 0 to 1; all weighted by length.

    Examples
    --------
    >>> from mosaiclib.layout.guide import straight
    >>> from mosaiclib.layout.rows import lay_rows
    >>> found = joints_by_place(lay_rows(straight(86), [dict(tile=20, count=2)], 2))
    >>> found["place"].tolist(), found["mean"].round(6).tolist()
    (['within a row', 'row to row'], [2.0, 2.0])
    """
    met = joints_of(instance(layout, Layout, "layout"))
    rows = (layout.pieces["band"] == "rows").to_numpy()
    row = np.where(rows, layout.pieces["row"].to_numpy(), -1)
    one, two = row[met.first], row[met.second]
    place = np.where(one == two, 0, np.where((one > 0) & (two > 0), 1, 2))
    place = np.where((one < 0) & (two < 0), 3, place)
    inside = length_within(met, layout.joint_min, layout.joint_max)
    lines = []
    for code, name in enumerate(PLACES):
        mine = place == code
        if not mine.any():
            continue
        weight, gap = met.length[mine], met.mean_gap[mine]
        mean = float(np.average(gap, weights=weight))
        sd = float(np.sqrt(np.average((gap - mean) ** 2, weights=weight)))
        ends = np.stack([met.start_gap[mine], met.end_gap[mine]])
        share = float(inside[mine].sum() / weight.sum())
        lines.append((name, float(weight.sum()), mean, sd, float(ends.min()), float(ends.max()), share))
    return pd.DataFrame(lines, columns=["place", "length", "mean", "sd", "least", "greatest", "share_within"])


def off_the_line(layout: Layout, guide: Guide, rows: object, joint: float) -> float:
    """Return how far the edges of rows leave the drawn line's offsets, sag included.

    Parameters
    ----------
    layout : Layout
        Rows as laid along the guide.
    guide : Guide
        The drawn line.
    rows : Rows, mapping or sequence of them
        As given to `lay_rows`.
    joint : float
        Joint between rows [mm].

    Returns
    -------
    float
        Greatest distance of an edge, at its ends or its middle, from where the row's edge should be [mm]; pieces
        that were cut back are left out.

    Raises
    ------
    MosaicError
        If the rows or the joint cannot be read.

    Examples
    --------
    >>> from mosaiclib.layout.guide import straight
    >>> from mosaiclib.layout.rows import lay_rows
    >>> round(off_the_line(lay_rows(straight(86), [dict(tile=20)], 2), straight(86), [dict(tile=20)], 2), 9)
    0.0
    """
    instance(layout, Layout, "layout")
    instance(guide, Guide, "guide")
    strips = stack(read_rows(rows), number(joint, "joint", "mm", above=0))
    pieces = layout.pieces
    drawn = ((pieces["band"] == "rows") & pieces["kind"].isin(("whole", "wedge"))).to_numpy()
    if not drawn.any():
        return 0.0
    count = max(2, int(guide.length / FINE))
    s = np.linspace(0, guide.length * (1 - 1e-12), count)
    line = shapely.linestrings(guide.at(np.append(s, 0.0) if guide.closed else s))
    corners = np.stack([shapely.get_coordinates(shape)[:4] for shape in layout.shapes[drawn]])
    edge = np.array([[strip.left, strip.right] for strip in strips])[pieces["row"].to_numpy()[drawn] - 1]
    worst = 0.0
    for first, second, wanted in ((0, 1, edge[:, 0]), (3, 2, edge[:, 1])):
        for point in (corners[:, first], (corners[:, first] + corners[:, second]) / 2, corners[:, second]):
            off = np.abs(shapely.distance(shapely.points(point), line) - np.abs(wanted))
            worst = max(worst, float(off.max()))
    return worst
