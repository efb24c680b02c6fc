"""Joints: edges that face each other across one, neighbours, and the survey of a finished layout."""

__all__ = [
    "PLACES",
    "Survey",
    "beyond_outline",
    "joints_by_place",
    "joints_of",
    "least_widths",
    "length_within",
    "narrower",
    "neighbours",
    "off_the_line",
    "survey",
]

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
import pandas as pd
import shapely

from mosaiclib.errors import MosaicError, instance, number
from mosaiclib.layout.edges import (
    TOUCH,
    Facing,
    close_pairs,
    edges_before,
    edges_each,
    edges_of,
    faced,
    near_pairs,
    turns,
    within,
)
from mosaiclib.layout.guide import Guide
from mosaiclib.layout.layout import LOST, NIP, Layout, read_layout, row_codes
from mosaiclib.layout.openings import HOLE, ROUND, Rim, crossing, gap_radius, rim_of, room_beside
from mosaiclib.layout.rowspec import read_rows, stack
from mosaiclib.layout.seams import View, across, followed, surface
from mosaiclib.units import mm

LEAST_FACING = 1.0  # [mm] a shorter stretch is a meeting of corners, not a joint
PLACES = ("within a row", "row to row", "row to field", "within the field")
NEXT = 0.95  # of a piece's width: edges farther apart have room for another piece between them
BITS = 16  # places along a wide stretch where something may stand between
LINE = 0.98  # of the way across: what comes nearer is an edge of the joint itself
NEARER = 0.7  # of half a wide joint: nearer to its middle lies only what is no edge of it
EVEN = 0.25  # two edges keep a wide joint if it widens by at most this share of its width
ASKEW = 0.1  # [radians] so far a circle in a neck may lie off where it touches both sides, as they are rounded to shrink a piece
NECKS = 20  # widths that are tried to find a neck, up to the greatest circle inside a piece
FINE = 0.5  # [mm] step of the line that edges are measured from


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
    pairs, apart = near_pairs(shapes, np.full(len(shapes), radius))
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


def _facing_pairs(shapes: np.ndarray, pairs: np.ndarray, reach: np.ndarray) -> np.ndarray:
    """Return those pairs whose stretches of joint add up to the least length."""
    met = faced(shapes, edges_of(shapes), pairs, reach)
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
    seen = across(read_layout(layout), near + 2 * layout.tile.side)
    shown, origin = seen.layout, seen.origin
    if reach is not None:
        (pairs,) = seen.met_once(near_pairs(shown.shapes, np.full(len(shown), near))[0])
        met = faced(shown.shapes, edges_of(shown.shapes), _on_one_face(shown, pairs)[0], near)
    else:
        widest = _reach(layout, layout.joint_max)
        met = _looked_at(seen, widest, widest).met
    both = np.sort(np.stack([origin[met.first], origin[met.second]]), axis=0)
    return replace(met, first=both[0], second=both[1])


def _on_one_face(layout: Layout, pairs: np.ndarray, *more: np.ndarray) -> tuple[np.ndarray, ...]:
    """Return the pairs on one and the same face, and what else is known of them."""
    same = layout.face_codes[pairs[:, 0]] == layout.face_codes[pairs[:, 1]]
    return pairs[same], *(one[same] for one in more)


class _Looked(NamedTuple):
    """Joints, pairs of pieces with frames close together, shape (p, 2), the distance of the nearest that are farther apart [mm],
    the rim of n pieces, their least widths, shape (n,) [mm], and for a radius [mm] where on the rim it has room, and where a
    crossing's may.
    """

    met: Facing
    close: np.ndarray
    farther: float
    rim: Rim
    thin: np.ndarray
    room: tuple[float, np.ndarray, np.ndarray]


def _looked_at(seen: View, reach: float, near: float) -> _Looked:
    """Look for joints up to a reach and all wider ones, and for all pieces that are so near each other [mm]."""
    layout, shapes, edges = seen.layout, seen.layout.shapes, edges_of(seen.layout.shapes)
    tree = shapely.STRtree(shapes)
    (close,) = seen.met(close_pairs(tree, np.full(len(shapes), near)))
    met = faced(shapes, edges, _on_one_face(layout, close)[0], reach)
    # with nothing between their edges two pieces farther apart have room beside them
    rim, radius = rim_of(tree, layout.outline, edges, met, reach), NEARER * reach / 2
    some = room_beside(rim, min(radius, ROUND * crossing(layout.joint_max)), sampled=False)
    room = room_beside(rim, radius, some)
    beside = rim.pieces(room)
    met = _in_sight(tree, met, np.maximum(met.start_gap, met.end_gap) > layout.joint_max + NIP, LINE, 0.0)
    thin = _widths(edges)
    thin[rim.hollow] = least_widths(shapes[rim.hollow])
    far, off_far = near_pairs(shapes[beside], np.maximum(NEXT * thin[beside], reach))
    far, off_far = _on_one_face(layout, *seen.met(np.flatnonzero(beside)[far], off_far))
    wide = _wide_joints(layout, edges, far[off_far > reach - TOUCH], reach, thin)
    # farther off, edges also see each other through the joint between two pieces: there both its sides are near
    met = _together(met, _in_sight(tree, wide, wide.length > 0, 0.1, NEARER))
    met = met.chosen(seen.once_only(met.first, met.second))
    farther = off_far[seen.once_only(*far.T)].min(initial=np.inf)
    return _Looked(met, close[seen.once_only(*close.T)], float(farther), rim, thin, (radius, room, some))


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
    shown, found = seen.layout, _looked_at(seen, reach, max(reach, least))
    met, thin = found.met, found.thin.min(initial=np.inf)
    narrowest = np.minimum(met.start_gap, met.end_gap).min(initial=max(reach, least))
    pairs, apart = within(shown.shapes, found.close, max(narrowest, 0.0))
    overlaps = _overlaps(shown.shapes, pairs[apart == 0])
    nearest = float(_on_one_face(shown, pairs, apart)[1].min(initial=found.farther))
    kind = layout.pieces["kind"].to_numpy()
    count = max(len(layout), 1)
    return Survey(
        pieces=len(layout),
        **_joint_measures(met, least, most, reach, nearest, bool(overlaps)),
        overlaps=overlaps,
        gap_radius=gap_radius(shown, found.rim, found.room),
        least_width=float(min((*found.thin, *_necks(shown.shapes[found.rim.hollow], thin)), default=0.0)),
        coverage=float(layout.areas.sum() / layout.outline.area) if layout.outline.area else 0.0,
        cut_share=float(np.sum(kind != "whole") / count),
        wedge_share=float(np.sum(kind == "wedge") / count),
        outside=int(np.sum(beyond_outline(layout) > LOST)),
        by_place=_shares(met, _place_codes(shown, met), length_within(met, least, most)),
    )


def _together(one: Facing, other: Facing) -> Facing:
    return Facing(*(np.concatenate([getattr(one, name), getattr(other, name)]) for name in one.__dataclass_fields__))


def _wide_joints(layout: Layout, edges: tuple, pairs: np.ndarray, reach: float, thin: np.ndarray) -> Facing:
    """Return the joints wider than `reach` but narrower than a piece, with nothing between their edges [mm].

    `thin`: least width of each piece, shape (n,) [mm]. Edges that open in a V make none: beyond their reach it is a gap.
    """
    met = faced(layout.shapes, edges, pairs, NEXT * thin[pairs].max(axis=1, initial=0.0))
    least, most = np.minimum(met.start_gap, met.end_gap), np.maximum(met.start_gap, met.end_gap)
    clear = (least >= reach - TOUCH) & (most - least <= EVEN * least) & (met.length >= LEAST_FACING)
    met = met.chosen(clear)
    told = np.zeros(len(met.first), bool)
    gaps = shapely.STRtree([gap.shape for gap in layout.gaps])
    told[gaps.query(shapely.points(met.middle), predicate="intersects")[0]] = True
    return met.chosen(~told)


def _in_sight(tree: shapely.STRtree, met: Facing, wide: np.ndarray, line: float, round_: float) -> Facing:
    """Shorten wide stretches, shape (m,), to where nothing stands between their edges.

    That is, no piece meets the line across the joint, nor lies near its middle; shares of half the joint's width.
    """
    wide = np.flatnonzero(wide)
    near = round_ * np.maximum(met.start_gap, met.end_gap)[wide] / 2
    stretch, piece = tree.query(_between(met.chosen(wide), line), predicate="dwithin", distance=near)
    asked = np.zeros(len(met.first), bool)
    asked[wide[stretch]] = True  # nothing stands in most
    stretch = np.cumsum(asked)[wide[stretch]] - 1
    met, rest = met.chosen(asked), met.chosen(~asked)
    share = (np.arange(BITS) + 0.5) / BITS
    half = np.clip(met.start_gap[:, None] + (met.end_gap - met.start_gap)[:, None] * share, 0, None) / 2
    spots = met.middle[:, None] + ((share - 0.5) * met.length[:, None])[..., None] * met.along[:, None]
    across = line * half[..., None] * np.stack([met.along[:, 1], -met.along[:, 0]], axis=1)[:, None]
    lines, clear = shapely.linestrings(np.stack([spots - across, spots + across], axis=2)), np.ones(half.shape, bool)
    meets = shapely.dwithin(lines[stretch], tree.geometries[piece][:, None], round_ * half[stretch])
    np.logical_and.at(clear, stretch, ~meets)
    begin, end = clear.argmax(axis=1) / BITS, 1 - clear[:, ::-1].argmax(axis=1) / BITS
    return _together(rest, _part(met, begin, end).chosen(clear.any(axis=1)))


def _between(met: Facing, share: float) -> np.ndarray:
    """Return a share of what lies between the two sides of each stretch, as polygons, shape (m,)."""
    one, two = met.ends(-1), met.ends(1)
    middle, half = (one + two) / 2, share * (two - one) / 2
    sides = middle - half, (middle + half)[::-1]
    return shapely.polygons(np.concatenate(sides).transpose(1, 0, 2))


def _part(met: Facing, begin: np.ndarray, end: np.ndarray) -> Facing:
    """Return the part of each stretch between two shares of its length, 0 to 1, shape (m,)."""
    widens = met.end_gap - met.start_gap
    middle = met.middle + (((begin + end) / 2 - 0.5) * met.length)[:, None] * met.along
    gaps = met.start_gap + begin * widens, met.start_gap + end * widens
    length = (end - begin) * met.length
    return replace(met, length=length, start_gap=gaps[0], end_gap=gaps[1], middle=middle)


def _necks(shapes: np.ndarray, most: float) -> np.ndarray:
    """Return the narrowest neck of each piece that has one up to a width [mm]: shrunk by half of it, the piece falls apart.

    It is sought in steps of a twentieth of the width of the greatest circle inside the piece, then by halves: a neck goes
    unseen only where all that lies on one side of it is wider than it by less than one step, and is no neck to the eye.
    """
    bent = shapes[_narrowings(shapes) < most]
    bent = bent[shapely.area(shapely.convex_hull(bent)) - shapely.area(bent) > HOLE]
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


def _narrowings(shapes: np.ndarray) -> np.ndarray:
    """Return for each piece how far an inward corner lies from the edge, or inward corner, across a neck, inf if none does [mm].

    A circle that touches both at the ends of its diameter has room there: from a corner it lies between the normals of both its
    edges. No neck is narrower.
    """
    begin, end, first, owner = edges_of(shapes)
    along = end - begin
    turn, before = turns(along, first), edges_before(first)
    inward = np.flatnonzero(turn < 0)  # the corner at the edge's end
    which, edge = edges_each(first, owner[inward])
    corner = inward[which]
    x, y = (begin[edge] - end[corner]).T
    u, v = along[edge].T
    share = np.clip(-(x * u + y * v) / np.maximum(u * u + v * v, TOUCH**2), 0.0, 1.0)
    x, y = x + share * u, y + share * v
    a, b = along[corner].T
    off = np.abs(np.arctan2(a * y - b * x, a * x + b * y) - (np.pi + turn[corner]) / 2)
    outward = ((share == 0) & (turn[before[edge]] >= 0)) | ((share == 1) & (turn[edge] >= 0))
    narrow = (off < ASKEW - turn[corner] / 2) & ~outward & (edge != corner) & (before[edge] != corner)
    found = np.full(len(shapes), np.inf)
    found[shapely.get_num_interior_rings(shapes) > 0] = 0.0
    np.minimum.at(found, owner[corner][narrow], np.hypot(x, y)[narrow])
    return found


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


def least_widths(shapes: np.ndarray) -> np.ndarray:
    """Return the least width of each piece between two parallel lines, shape (n,), 0 for an empty one [mm].

    One of the lines lies along an edge of the piece's convex hull (rotating calipers).

    >>> least_widths(np.array([shapely.Polygon([(0, 0), (30, 0), (30, 40)])])).tolist()
    [24.0]
    """
    return _widths(edges_of(shapely.convex_hull(shapes)))


def _widths(edges: tuple[np.ndarray, ...]) -> np.ndarray:
    """Return the least width of each piece whose edges are those of its convex hull, shape (n,) [mm]."""
    begin, end, first, owner = edges
    edge, corner = edges_each(first, owner)  # the corners of its piece are measured from each edge
    step = begin.T.take(corner, axis=1) - begin.T.take(edge, axis=1)
    x, y = (end - begin).T
    long = np.hypot(x, y)
    off = np.abs(x[edge] * step[1] - y[edge] * step[0]) / np.where(long > 0, long, 1.0)[edge]
    widths, there = np.zeros(len(first) - 1), np.diff(first) > 0
    starts = np.flatnonzero(np.diff(edge, prepend=-1))
    widths[there] = np.minimum.reduceat(np.maximum.reduceat(off, starts), first[:-1][there])
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
        lines.append((name, float(weight.sum()), mean, sd, least, _greatest(met.chosen(mine), reach), share))
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
