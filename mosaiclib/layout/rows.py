"""Rows along a guide line: whole tiles where the limits allow, wedges and fans where they do not."""

__all__ = ["CHANGED", "lay_beneath", "lay_rows"]

import math
from collections.abc import Sequence

import numpy as np
import shapely
from shapely import MultiPolygon, Polygon

from mosaiclib.errors import MosaicError, choice, instance, number
from mosaiclib.layout.corners import Closing, closed_at
from mosaiclib.layout.cutting import unhollowed
from mosaiclib.layout.guide import JITTER, Guide
from mosaiclib.layout.joints import narrower
from mosaiclib.layout.layout import (
    LOST,
    Gap,
    JointLimits,
    Layout,
    mitred,
    not_too_many,
    only_areas,
    piece_table,
    read_outline,
)
from mosaiclib.layout.openings import open_places
from mosaiclib.layout.pieces import Cut, Places, cut_pieces, half_planes, keep_apart, merge_slivers, polygons
from mosaiclib.layout.refused import nothing_laid
from mosaiclib.layout.rowspec import CORNERS, RowPlace, read_rows, stack
from mosaiclib.layout.spans import (
    Laying,
    Run,
    Span,
    Traced,
    domain,
    reasons,
    runs_of,
    spans_of,
    trace,
    true_ends,
    zones,
)
from mosaiclib.layout.stations import Stretch, mirror_station, stations
from mosaiclib.layout.symmetry import CentreLine, evened
from mosaiclib.units import mm

RUBBLE = 0.65  # share of the rows that bends too tightly, above which a jittery line is refused
ROUNDING = 1e-6  # [mm]
FLOOR = 0.6  # share of the least narrow end that a piece cut back may keep
CHANGED = {  # what was done to a piece after it was laid
    "face": "cut: at the edge of the glass",
    "corner": "corner: cut on the bisector of the corner",
    "square": "corner: one piece, square to both sides",
    "fan": "fan: it turns round the outside of the corner",
    "point": "corner: both sides share it, up to the tip",
    "apart": "cut: back from a row that it would meet",
    "under": "cut: back from the line on top of it",
    "shared": "cut: it shares what is left over, so that no sliver remains",
}


def lay_rows(
    guide: Guide | Sequence,
    rows: object,
    joint: float,
    face: object = None,
    *,
    limits: Sequence[float] | None = None,
    bought: bool = False,
    smooth: float | None = None,
    corner: str = "mitre",
    centre_line: Sequence | None = None,
) -> Layout:
    """Lay rows of tiles along a guide line.

    Parameters
    ----------
    guide : Guide, or its points, shape (n, 2)
        The drawn line [mm]; the stack of rows is centred on it.
    rows : Rows, mapping or sequence of them
        Left to right of travel.
    joint : float
        Joint between pieces and between rows [mm].
    face : glass.Face or Polygon, optional
        Rows that come to its edge are cut to it; those that end inside end square.
    limits : pair of float, optional
        Least and greatest joint [mm]; 15 % either side of the joint if left out.
    bought : bool
        Whether every piece is left as bought, to show what cutting is good for; joints then open in a V
        and pieces may overlap.
    smooth : float, optional
        How far a line drawn by a jittery hand may be moved to smooth it, a tenth of a piece if left out [mm]; 0 leaves
        it as it is. The layout tells how far it was.
    corner : str
        How rows that do not say so themselves go round true corners, one of `CORNERS`: mitred on the bisector, with one
        square piece where it fits its tile, or as a fan. Tips end in pieces that both sides share.
    centre_line : pair of points, optional
        A line through two points [mm] that the drawing is meant to be alike on both sides of: it is made so, moved by at most
        0.3 of a piece, and laid alike. Where it is left out, a drawing that is its own mirror image is laid so by itself.

    Returns
    -------
    Layout
        Its outline is the band that the rows cover; `spans` tells what can be laid where. Refused where no piece can
        be laid at all, or there would be far too many.

    Examples
    --------
    >>> from mosaiclib.layout.lines import ring
    >>> laid = lay_rows(ring(60), [dict(tile=20, fraction="quarter")], 2)
    >>> len(laid), laid.pieces["kind"].unique().tolist()
    (35, ['wedge'])
    """
    allowed = JointLimits.read(joint, limits)
    outline = None if face is None else read_outline(face)
    more = {"bought": bought, "smooth": smooth, "corner": corner, "centre_line": centre_line}
    return lay_beneath(guide, rows, allowed, outline, outline, **more)


def lay_beneath(
    guide: Guide | Sequence,
    rows: object,
    allowed: JointLimits,
    face: Polygon | None,
    free: Polygon | MultiPolygon | None,
    *,
    bought: bool = False,
    smooth: float | None = None,
    corner: str = "mitre",
    centre_line: Sequence | None = None,
) -> Layout:
    """Lay rows as `lay_rows` does where a face is `free` of what lies on top, joints to it left out of it [mm]."""
    stacked = stack(read_rows(rows), allowed.joint)
    instance(bought, bool, "choice whether pieces are left as bought")
    piece = min(row.width for row in stacked)
    most = piece / 10 if smooth is None else number(smooth, "smoothing", "mm", least=0, greatest=1e3)
    drawn = guide if isinstance(guide, Guide) else Guide(guide)
    line, moved = drawn.smoothed(piece, most)
    if centre_line is not None:
        line = evened(line, CentreLine.read(centre_line), piece)
    not_too_many(sum(math.ceil(line.length / (row.width + allowed.joint)) for row in stacked), "These rows")
    choice(corner, "corner", CORNERS)
    if free is not None:
        shapely.prepare(free)
    # rows run on where a line ends at the face's edge, not where it ends beneath what lies on top
    traced, closings = closed_at(trace(line, stacked, face), stacked, allowed.joint, corner)
    places, spans = _lay_parts(traced, stacked, allowed, free, centre_line is not None)
    _not_rubble(drawn, piece, spans, most)
    cut, touched = cut_pieces(places, allowed, bought), np.full(len(places.row), "", dtype=object)
    if closings and not bought:
        places, cut, touched = _closed(places, cut, closings, allowed.joint)
    shapes = polygons(cut.corners)
    shapes[~cut.sound] = Polygon()
    if not bought:
        if free is not face:
            shapes, places, cut, touched = _parted(shapes, places, cut, touched, stacked, free, allowed)
            # what was cut straighter is not cut again
            free = shapely.buffer(free, allowed.slack / 2 + ROUNDING, join_style="mitre")
        shapes = _fitted(shapes, places, cut, stacked, traced, allowed, (face, free), touched)
    if not (shapely.area(shapes) > LOST).any():
        raise _nothing(traced, stacked, allowed, free)
    return _assembled(shapes, places, cut, touched, stacked, spans, allowed, free, moved)


def _parted(shapes, places: Places, cut: Cut, touched, rows, free, limits: JointLimits) -> tuple:
    """Return shapes, places, pieces and what was done to them, with a piece more for each one that is cut in two."""
    over = np.flatnonzero(~shapely.covers(free, shapes) & ~shapely.is_empty(shapes))
    floor = FLOOR * np.array([0.0, *(row.narrow_end for row in rows)])[places.row]
    found = shapely.simplify(shapely.intersection(shapes[over], free), limits.slack / 2)
    parts = [unhollowed(only_areas(one), limits.joint, least) for one, least in zip(found, floor[over], strict=True)]
    owner = np.repeat(over, [len(some) for some in parts])
    shapes, touched = shapes.copy(), touched.copy()
    shapes[over], touched[over] = Polygon(), "under"
    first = np.append(True, owner[1:] != owner[:-1])[: len(owner)]
    listed = np.array([part for some in parts for part in some], dtype=object)
    shapes[owner[first]] = listed[first]
    again = np.concatenate([np.arange(len(shapes)), owner[~first]])
    places, cut = (type(one)(*(column[again] for column in one)) for one in (places, cut))
    places.last[len(shapes) :] = places.place[len(shapes) :] = 0  # they have no neighbour to share with
    return np.concatenate([shapes, listed[~first]]), places, cut, touched[again]


def _not_rubble(drawn: Guide, piece: float, spans: Sequence[Span], most: float) -> None:
    """Refuse a jittery line most of which bends too tightly for any wedge."""
    length = sum(span.end - span.begin for span in spans)
    tight = sum(span.end - span.begin for span in spans if span.reported)
    if drawn.jitter > JITTER and len(drawn.points) * piece > drawn.length and tight > RUBBLE * length:
        jitter, allowed = mm(round(drawn.jitter, 1)), mm(round(most, 1))
        raise MosaicError(
            "The line is too rough for these pieces: its points stray by about ",
            jitter,
            " and most of it bends too tightly. Draw it with fewer points, let it be smoothed by more than ",
            allowed,
            ", or take smaller pieces.",
        )


def _nothing(traced: Sequence[Traced], rows: Sequence[RowPlace], limits: JointLimits, outline) -> MosaicError:
    return nothing_laid(traced, rows, limits.joint, outline, FLOOR * min(row.narrow_end for row in rows))


def _lay_parts(
    traced: Sequence[Traced], rows: Sequence[RowPlace], limits: JointLimits, outline: Polygon | None, evened: bool
) -> tuple[Places, tuple[Span, ...]]:
    """Lay every row on every part; one that was evened begins on its axis."""
    columns, spans = [], []
    for index, part in enumerate(traced):
        laying, held = zones(rows, part, limits), domain(part, rows, outline)
        spans += spans_of(rows, part, laying.zone, held > 0, limits)
        runs = _in_step(_stretches(part, rows, outline, limits, laying, held), part, limits, evened)
        if runs:
            columns.append(_entries(index, part, runs, limits.joint))
    if not columns:
        raise _nothing(traced, rows, limits, outline)
    return Places(*(np.concatenate(column) for column in zip(*columns, strict=True))), tuple(spans)


def _stretches(traced: Traced, rows, outline, limits: JointLimits, laying: Laying, held: np.ndarray) -> list[tuple]:
    """Return row, run and width of its pieces [mm] for all that can be laid on one part; runs end where the face or the
    corner really is."""
    laid = (held > 0) & (laying.density > 0)
    runs = [(index, run) for index in range(len(rows)) for run in runs_of(laid[index], traced.part.closed)]
    if not runs:
        return []
    values = np.stack([laying.density, laying.play, held, laying.kept])
    ends = zip(*true_ends(traced, rows, outline, limits.joint, runs), strict=True)
    return [
        (rows[index], *_stretch(traced, values[:, index], run, *end))
        for (index, run), end in zip(runs, ends, strict=True)
    ]


def _stretch(traced: Traced, values: np.ndarray, run: Run, ends, shares, corner) -> tuple:
    s, values = (u[..., run.begin : run.end + 1] for u in (traced.s, values))
    if run.ring:
        density, play, share, kept = values
        return Stretch(s, density, play, share, True), kept
    s = np.concatenate([ends[:1], s, ends[1:]])
    density, play, share, kept = np.concatenate([values[:, :1], values, values[:, -1:]], axis=1)
    share[[0, -1]] = shares
    return Stretch(s, density, play, share, False, tuple(corner.tolist())), kept


def _in_step(runs: Sequence[tuple], traced: Traced, limits: JointLimits, evened: bool) -> list[tuple]:
    """Return row, run and joints of each run that can be laid; from the middle of the stack outwards each row keeps
    out of step with the one inside it."""
    axis = None
    if traced.part.closed:
        axis = traced.s[0] if evened else mirror_station(traced.s, traced.curvature, traced.xy)
    laid, joints = [], {}
    for row, run, kept in sorted(runs, key=lambda run: (round(abs(run[0].middle), 6), run[0].number)):
        inner = row.number + (1 if row.middle < 0 else -1)
        s = stations(row, run, limits, joints.get(inner), axis)
        if len(s) > 1:
            laid.append((row, run.ring, s, np.interp((s[1:] + s[:-1]) / 2, run.s, kept)))
            joints[row.number] = np.sort(np.concatenate([joints.get(row.number, s[:0]), s[run.ring :]]))
    return sorted(laid, key=lambda run: run[0].number)


def _entries(index: int, traced: Traced, runs: Sequence[tuple], joint: float) -> tuple:
    """Return the entries of `Places` for all runs of one part, whose guide is asked only once."""
    rows, rings, stations_, kept = zip(*runs, strict=True)
    stretch = np.concatenate([np.stack([s[:-1], s[1:]], axis=1) for s in stations_])
    count = np.array([len(s) - 1 for s in stations_])
    first, run = np.cumsum(count) - count, np.repeat(np.arange(len(runs)), count)
    middle = stretch.mean(axis=1)
    here = np.stack([*stretch.T, middle]) - traced.part.rounds(middle)
    xy, normal, _ = (u.reshape(*here.shape, -1) for u in traced.frame(here.ravel()))
    sizes = np.array([(row.left, row.right, row.width, row.fan_end) for row in rows])[run].T
    inset = np.full((2, len(run)), joint / 2)
    for side, end in enumerate((first, first + count - 1)):
        # a row that was parted on a closed line meets itself where that begins
        met = traced.part.closed & (np.abs(stretch[end, side] - (traced.part.s0, traced.part.s1)[side]) <= ROUNDING)
        inset[side, end[~(met | rings)]] = 0.0
    place, last = np.arange(len(run)) - first[run], np.where(rings, -1, count - 1)[run]
    number_ = np.array([row.number for row in rows])[run]
    belongs = number_, np.full(len(run), index), place, last, stretch, np.concatenate(kept)
    return (*xy, *normal, *sizes, *inset, *belongs)


def _closed(places: Places, cut: Cut, closings: Sequence[Closing], joint: float) -> tuple[Places, Cut, np.ndarray]:
    """Return places, cut pieces and what was done to them, with those that close corners at the end."""
    corners = np.concatenate([closing.corners for closing in closings])
    count = [len(closing.corners) for closing in closings]
    n, each = len(corners), np.repeat(np.arange(len(closings)), count)
    row, s = [closing.row for closing in closings], np.array([closing.s for closing in closings])[each]
    place, one = np.concatenate([np.arange(size) for size in count]), np.ones(n)
    begin, end = (corners[:, 0] + corners[:, 3]) / 2, (corners[:, 1] + corners[:, 2]) / 2
    ahead = (end - begin) / np.hypot(*(end - begin).T)[:, None]
    normal = np.stack([ahead[:, 1], -ahead[:, 0]], axis=1)
    left, right, width, fan_end, number = (
        np.array([getattr(one, name) for one in row])[each] for name in ("left", "right", "width", "fan_end", "number")
    )
    belongs = number, np.full(n, -1), place, np.array(count)[each] - 1, np.stack([s, s], axis=1), width
    points = begin, end, (begin + end) / 2, normal, normal, normal
    more = Places(*points, left, right, width, fan_end, joint / 2 * one, joint / 2 * one, *belongs)
    sides = np.hypot(*np.moveaxis(corners[:, [1, 2]] - corners[:, [0, 3]], -1, 0))
    style = np.array([closing.style for closing in closings], dtype=object)[each]
    kind = np.where(style == "fan", "fan", "corner")
    added = Cut(corners, kind, sides.max(axis=1), sides.min(axis=1), 0 * one, 0 * one, one > 0)
    both = (type(old)(*map(np.concatenate, zip(old, new, strict=True))) for old, new in ((places, more), (cut, added)))
    return *both, np.concatenate([np.full(len(places.row), "", dtype=object), style])


def _fitted(shapes, places: Places, cut: Cut, rows, traced, limits: JointLimits, areas, touched) -> np.ndarray:
    """Cut pieces to the corners' bisectors and the face, share out slivers and keep pieces apart."""
    floor = FLOOR * np.array([0.0, *(row.narrow_end for row in rows)])[places.row]
    shapes = _mitred(shapes, places, cut, traced, touched)
    shapes = _to_areas(shapes, areas, touched)
    shapes[_stray(shapes, places, limits)] = Polygon()
    slivers = np.flatnonzero(~shapely.is_empty(shapes) & narrower(shapes, floor))
    partner, size = _partners(places), np.stack([places.width, places.height], axis=1)
    travel = np.stack([-places.middle_normal[:, 1], places.middle_normal[:, 0]], axis=1)
    shapes = shapes.copy()
    changed, _ = merge_slivers(
        shapes,
        slivers.tolist(),
        lambda i: [partner[i]] if partner[i] >= 0 else [],
        lambda j: (travel[j], size[j]),
        limits.joint,
        lambda pieces, i: not narrower(np.array(pieces), floor[i]).any(),
    )
    touched[changed] = "shared"
    if changed.any():
        shapes = _to_areas(shapes, areas, touched)
        shapes[changed & narrower(shapes, floor)] = Polygon()
    rank = np.round(np.abs(places.left + places.right), 6)
    shapes, changed = keep_apart(shapes, rank, limits.joint, limits.least, floor)
    touched[changed] = "apart"
    return shapes


def _stray(shapes: np.ndarray, places: Places, limits: JointLimits) -> np.ndarray:
    """Return the numbers of pieces meant to close a row at a corner where no other piece of the row stands beside them."""
    closing = np.flatnonzero(places.part < 0)
    alone = np.ones(len(closing), bool)
    if len(closing):
        near = 2 * limits.greatest
        one, two = shapely.STRtree(shapes).query(shapes[closing], predicate="dwithin", distance=near)
        beside = (places.row[closing[one]] == places.row[two]) & (closing[one] != two)
        alone[one[beside]] = False
    return closing[alone]


def _partners(places: Places) -> np.ndarray:
    """Return the number of each piece's neighbour towards the middle of its run, -1 for none."""
    index = np.arange(len(places.place))
    inward = np.where(places.place * 2 < places.last, index + 1, index - 1)
    return np.where(places.last <= 0, -1, inward)


def _mitred(shapes, places: Places, cut: Cut, traced: Sequence[Traced], touched) -> np.ndarray:
    """Cut the pieces near a corner to the lines that end their rows there."""
    middle = places.stretch.mean(axis=1)
    for index, part in enumerate(traced):
        for corner in part.corners:
            near = np.flatnonzero((places.part == index) & corner.near(middle))
            row = places.row[near] - 1
            for k in range(corner.at.shape[1]):
                at, outward = corner.at[row, k], corner.outward[row, k]
                over = np.einsum("ijk,ik->ij", cut.corners[near] - at[:, None], outward).max(axis=1) > 1e-9
                over &= (middle[near] - corner.s) * corner.ahead > -corner.reach[row, k]
                over &= (k == 0) | (at != corner.at[row, 0]).any(axis=1)  # the same line cuts once
                if not over.any():
                    continue
                size = 4 * float(np.ptp(cut.corners[near], axis=(0, 1)).max()) + 100
                planes = half_planes(at[over], -outward[over], size)
                shapes = _cut_to(shapes, near[over], planes, "corner", touched)
    return shapes


def _to_areas(shapes: np.ndarray, areas: tuple, touched: np.ndarray) -> np.ndarray:
    """Cut the pieces that reach over the edge of the face, or beneath what lies on top of them."""
    face, free = areas
    shapes = _to_face(shapes, face, touched, "face")
    return shapes if free is face else _to_face(shapes, free, touched, "under")


def _to_face(shapes: np.ndarray, outline: Polygon | MultiPolygon | None, touched: np.ndarray, word: str) -> np.ndarray:
    """Cut the pieces that reach over an area's edge."""
    if outline is None:
        return shapes
    shapely.prepare(outline)
    x0, y0, x1, y1 = outline.bounds
    bounds = shapely.bounds(shapes)
    framed = abs(outline.area - (x1 - x0) * (y1 - y0)) < 1e-9
    with np.errstate(invalid="ignore", divide="ignore"):
        within = (bounds[:, 0] >= x0) & (bounds[:, 1] >= y0) & (bounds[:, 2] <= x1) & (bounds[:, 3] <= y1)
    over = np.flatnonzero(~within if framed else ~shapely.covers(outline, shapes))
    return _cut_to(shapes, over[~shapely.is_empty(shapes[over])], outline, word, touched)


def _cut_to(
    shapes: np.ndarray, which: np.ndarray, area: Polygon | np.ndarray, word: str, touched: np.ndarray
) -> np.ndarray:
    """Cut some pieces to an area, or each to its own; of several parts the largest stays."""
    if not len(which):
        return shapes
    cut = shapely.intersection(shapes[which], area)
    odd = shapely.get_type_id(cut) != 3
    cut[odd] = [_largest(piece) for piece in cut[odd]]
    touched[which[shapely.area(shapes[which]) - shapely.area(cut) > LOST]] = word
    shapes = shapes.copy()
    shapes[which] = cut
    return shapes


def _largest(shape) -> Polygon:
    parts = [part for part in shapely.get_parts(shape) if isinstance(part, Polygon)]
    return max(parts, key=lambda part: part.area, default=Polygon())


def _assembled(
    shapes, places: Places, cut: Cut, touched, rows, spans: Sequence[Span], limits: JointLimits, outline, smoothed
) -> Layout:
    """Return the layout of the pieces that are left, rows in order, places along the guide."""
    kept = np.flatnonzero(shapely.area(shapes) > LOST)
    order = kept[np.lexsort((places.stretch[kept, 0], places.row[kept]))]
    laid, changed = shapes[order], touched[order]
    cornered = (changed == "corner") | (changed == "square") | (changed == "point")
    kind = np.where((changed == "") | (changed == "fan"), cut.kind[order], np.where(cornered, "corner", "cut"))
    table = _table(laid, places, cut, kind, changed, order, rows, limits.joint)
    odd = bool((touched == "apart").any() or (~cut.sound).any() or (kind == "fan").any())
    blocks = np.concatenate([_blocks(places, cut, cut.sound & (touched == ""), limits.greatest), laid[changed != ""]])
    band = _band(blocks, limits.joint, outline)
    told = odd or any(span.reported for span in spans)
    gaps = _left_open(band, blocks, spans, limits.greatest) if told else ()
    tile = max((row.spec.tile for row in rows), key=lambda t: t.side)
    return Layout(band, laid, table, *limits, tile, gaps, spans=tuple(spans), smoothed=smoothed)


def _table(laid, places: Places, cut: Cut, kind, changed, order: np.ndarray, rows: Sequence[RowPlace], joint: float):
    """Return the table of the pieces that are left."""
    number = places.row[order]
    spec = {row.number: row.spec for row in rows}
    width, height = _sizes(laid, places, order, cut, changed)
    tapered = (kind == "wedge") | (kind == "fan")
    wide, narrow = cut.wide[order], cut.narrow[order]
    a, b = places.begin_normal[order], places.end_normal[order]
    turn = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]  # the sides lie along the guide's normals
    lean = np.degrees(np.arcsin(np.clip(np.abs(turn), 0, 1))) / 2
    lean = np.where(changed == "fan", np.degrees(np.arctan2((wide - narrow) / 2, height)), lean)
    inside = joint + 2 * cut.uncut[order]
    columns = (kind, changed, wide, narrow, inside, cut.sag[order], places.kept[order] < places.width[order] - 0.05)
    return piece_table(
        len(order),
        band="rows",
        row=number,
        place=np.arange(len(order)) - np.searchsorted(number, number) + 1,
        kind=kind.astype(object),
        fraction=np.array([spec[n].fraction for n in number.tolist()], dtype=object),
        tile=np.array([spec[n].tile.side for n in number.tolist()]),
        width=width,
        height=height,
        narrow=np.where(tapered, narrow, 0.0),
        cut_angle=np.where(tapered, lean, 0.0),
        area=shapely.area(laid),
        why=[_words(*facts) for facts in zip(*(column.tolist() for column in columns), strict=True)],
    )


def _words(kind: str, changed: str, wide: float, narrow: float, inside: float, sag: float, bowed: bool) -> str:
    """Say why a piece is as it is."""
    if changed:
        return CHANGED[changed]
    if kind == "whole":
        return f"whole: its narrowest joint is {inside:.1f} mm"
    if kind == "fan":
        return f"fan: from {wide:.1f} to {narrow:.1f} mm; a wedge would run to a point here"
    if kind == "wedge":
        left = f"{inside:.1f} mm" if inside > 0 else "none at all"
        bow = f"; its edge lies up to {sag:.1f} mm off the curve" if sag >= 0.1 else ""
        less = "; cut narrower, so that its straight edge stays near the curve" if bowed else ""
        return f"wedge: {wide:.1f} to {narrow:.1f} mm; left whole, its inside joint would be {left}{bow}{less}"
    return f"cut: {wide:.1f} mm wide, so that the row comes out even"


def _sizes(laid, places: Places, order: np.ndarray, cut: Cut, changed) -> tuple[np.ndarray, np.ndarray]:
    """Return width along the row and height across it of the pieces as they are after the last cut."""
    width, height = cut.wide[order], places.height[order]
    again = np.flatnonzero(changed != "")
    if len(again):
        points, owner = shapely.get_coordinates(laid[again], return_index=True)
        x, y = places.middle_normal[order[again]][owner].T
        first = np.searchsorted(owner, np.arange(len(again)))
        along, across = points[:, 1] * x - points[:, 0] * y, points[:, 0] * x + points[:, 1] * y
        for size, place in ((width, along), (height, across)):
            size[again] = np.maximum.reduceat(place, first) - np.minimum.reduceat(place, first)
    return width, height


def _blocks(places: Places, cut: Cut, fine: np.ndarray, widest: float) -> np.ndarray:
    """Return stretches of fine pieces with joints up to the widest [mm] as one area each, which is quicker than to join
    pieces; a ring all of whose pieces are fine is one."""
    left, right = cut.corners[:, :2], cut.corners[:, [3, 2]]
    apart = np.maximum(*(np.hypot(*(side[1:, 0] - side[:-1, 1]).T) for side in (left, right)))
    parted = (places.place[1:] == 0) | ~fine[1:] | ~fine[:-1] | (apart > widest)
    begins = np.concatenate([[0], np.flatnonzero(parted) + 1])
    ends = np.append(begins[1:], len(fine))
    blocks = []
    for begin, end in zip(begins[fine[begins]], ends[fine[begins]], strict=True):
        sides = left[begin:end].reshape(-1, 2), right[begin:end].reshape(-1, 2)
        # one piece cannot go round: its two points a side are no ring
        meets = np.hypot(*(left[end - 1, 1] - left[begin, 0])) <= 4 * widest  # not where a line closes across a seam
        if end - begin > 1 and places.last[begin] < 0 and places.place[begin] == 0 and _meets(places, end) and meets:
            # tiles left as bought may lie over each other, so that the ring's sides cross themselves
            block = shapely.symmetric_difference(*shapely.make_valid(shapely.polygons(np.stack(sides))))
        else:
            block = shapely.polygons(np.concatenate([sides[0], sides[1][::-1]]))
        # a stretch that crosses itself is left in pieces
        blocks += [block] if block.is_valid else list(polygons(cut.corners[begin:end]))
    return np.array(blocks, dtype=object)


def _meets(places: Places, end: int) -> bool:
    """Tell whether the piece before a place is the last of its run."""
    return end == len(places.place) or places.place[end] == 0


def _band(shapes: np.ndarray, joint: float, outline: Polygon | None) -> Polygon | MultiPolygon:
    """Return the area that rows cover, joints included and holes wider than joints left out."""
    sound = shapes if np.all(shapely.is_valid(shapes)) else shapely.make_valid(shapes)
    grown = mitred(sound, joint)
    band = mitred(shapely.union_all(grown), -joint)
    # a mitre reaches farther than a joint, so that a sharp notch may eat into pieces
    eaten = sound[~shapely.covers(shapely.buffer(band, ROUNDING, join_style="mitre"), sound)]
    band = shapely.union_all([band, *eaten]) if len(eaten) else band
    return band if outline is None else only_areas(shapely.intersection(band, outline))


def _left_open(band, shapes: np.ndarray, spans: Sequence[Span], widest: float) -> tuple[Gap, ...]:
    """Return the holes in the band that are wider than its joints, each with what is the matter there."""
    found = open_places(band, shapes, widest)
    why = reasons(spans, [inmost for inmost, _ in found], widest)
    words = "rows meet here; what is left is too small for glass"
    return tuple(Gap(place, said or words) for (_, place), said in zip(found, why, strict=True))
