"""Rows along a guide line: whole tiles where the limits allow, wedges and fans where they do not."""

__all__ = ["lay_rows"]

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import shapely
from shapely import MultiPolygon, Polygon

from mosaiclib.errors import MosaicError, instance, number, several
from mosaiclib.layout.guide import Guide
from mosaiclib.layout.layout import Gap, Layout, Tile, not_too_many, piece_table
from mosaiclib.layout.pieces import (
    Between,
    Cut,
    cut_pieces,
    half_planes,
    keep_apart,
    open_places,
    polygons,
    share_slivers,
)
from mosaiclib.layout.rowspec import Rules, Strip, read_rows, stack
from mosaiclib.layout.spans import (
    Run,
    Span,
    Traced,
    domain,
    piece_words,
    runs_of,
    spans_of,
    stations,
    trace,
    true_ends,
    zones,
)

KINDS = np.array(["whole", "wedge", "fan", "cut"], dtype=object)
FLOOR = 0.6  # share of the least narrow end that a piece cut back may keep
LOST = 1e-7  # [mm2] less is rounding
NOTHING = (
    "No piece can be laid along this line: it is too short, off the glass or too tight, or the joint is too wide. "
    "Move the line, or take smaller tiles, fewer rows or a narrower joint."
)


class Laid(NamedTuple):
    """Pieces before they are clipped, one entry each: what `Between` holds, and where they belong."""

    between: Between
    strip: np.ndarray
    part: np.ndarray
    place: np.ndarray
    last: np.ndarray
    stretch: np.ndarray


def lay_rows(
    guide: Guide | Sequence,
    rows: object,
    joint: float,
    face: object = None,
    *,
    limits: Sequence[float] | None = None,
    bought: bool = False,
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

    Returns
    -------
    Layout
        Its outline is the band that the rows cover; `spans` tells what can be laid where.

    Raises
    ------
    MosaicError
        If a number is out of range, no piece can be laid at all, or there would be far too many.

    Examples
    --------
    >>> from mosaiclib.layout.guide import ring
    >>> laid = lay_rows(ring(60), [dict(tile=20, fraction="quarter")], 2)
    >>> len(laid), laid.pieces["kind"].unique().tolist()
    (35, ['wedge'])
    """
    rules = _rules(joint, limits)
    strips = stack(read_rows(rows), rules.joint)
    outline = _outline(face)
    instance(bought, bool, "choice whether pieces are left as bought")
    line = guide if isinstance(guide, Guide) else Guide(guide)
    not_too_many(sum(math.ceil(line.length / (one.spec.width + rules.joint)) for one in strips), "These rows")
    traced = trace(line, strips, outline)
    laid, spans = _lay_parts(traced, strips, rules, outline)
    if laid is None:
        raise MosaicError(NOTHING)
    cut = cut_pieces(laid.between, rules, bought)
    shapes = polygons(cut.corners)
    shapes[~cut.sound] = Polygon()
    touched = np.full(len(shapes), "", dtype=object)
    if not bought:
        shapes = _fitted(shapes, laid, strips, traced, rules, outline, touched)
    return _assembled(shapes, laid, cut, touched, strips, spans, rules, outline)


def _rules(joint: float, limits: Sequence[float] | None) -> Rules:
    """Return the joint and its limits, checked."""
    wanted = number(joint, "joint", "mm", above=0, greatest=100)
    low, high = (0.85 * wanted, 1.15 * wanted) if limits is None else several(limits, "limits of the joint", 2)
    least = number(low, "least joint", "mm", least=0, greatest=wanted)
    return Rules(wanted, least, number(high, "greatest joint", "mm", least=wanted, greatest=200))


def _outline(face: object) -> Polygon | None:
    """Return the face's outline, checked; None where there is no face."""
    if face is None:
        return None
    outline = getattr(face, "outline", face)
    if not isinstance(outline, Polygon) or outline.is_empty or not outline.is_valid:
        raise MosaicError("The face must be a glass face or a simple closed outline that does not cross itself.")
    shapely.prepare(outline)
    return outline


def _lay_parts(traced: Sequence[Traced], strips: Sequence[Strip], rules: Rules, outline: Polygon | None):
    """Lay every row on every part; return the pieces, None if there are none, and the spans."""
    found, spans = [], []
    for index, one in enumerate(traced):
        runs = []
        for strip in strips:
            zone, density = zones(strip, one.sampled.curvature, rules)
            held = domain(one, strip, outline, rules)
            spans += spans_of(strip, one.sampled, zone, held, rules)
            for run in runs_of(held & (density > 0), one.part.closed):
                s = _run_stations(one, strip, outline, rules, run, zone, density)
                if len(s) > 1:
                    runs.append((strip, run.ring, s))
        if runs:
            found += _columns(index, one, runs, rules)
    if not found:
        return None, tuple(spans)
    columns = [np.concatenate(column) for column in zip(*found, strict=True)]
    inside = len(Between._fields)
    return Laid(Between(*columns[:inside]), *columns[inside:]), tuple(spans)


def _run_stations(one: Traced, strip: Strip, outline, rules: Rules, run: Run, zone, density) -> np.ndarray:
    """Return the joints' arc lengths of one run, which ends where the face or the corner really is."""
    cut = slice(run.begin, run.end + 1)
    s, zone, density = one.sampled.s[cut], zone[cut], density[cut]
    if not run.ring:
        begin, end = true_ends(one, strip, outline, rules, run.begin, run.end)
        s = np.concatenate([[begin], s, [end]])
        zone, density = np.pad(zone, 1, "edge"), np.pad(density, 1, "edge")
    return stations(strip, s, zone, density, rules, run.ring, strip.number % 2 == 0)


def _columns(index: int, traced: Traced, runs: Sequence[tuple], rules: Rules) -> list[tuple]:
    """Return the entries of `Laid` for the runs of one part, whose guide is asked only once."""
    every = [np.concatenate([s, (s[1:] + s[:-1]) / 2]) for _, _, s in runs]
    xy, normal, _ = traced.part.frame(np.concatenate(every))
    cuts = np.cumsum([len(one) for one in every])[:-1]
    places = zip(runs, np.split(xy, cuts), np.split(normal, cuts), strict=True)
    return [_entries(index, *run, points, normals, rules) for run, points, normals in places]


def _entries(index: int, strip: Strip, ring: bool, s: np.ndarray, xy, normal, rules: Rules) -> tuple:
    """Return the entries of `Laid` for one run."""
    n = len(s) - 1
    inset = np.full(n + 1, rules.joint / 2)
    if not ring:
        inset[[0, -1]] = 0.0
    sizes = [np.full(n, v) for v in (strip.left, strip.right, strip.spec.width, strip.fan_end)]
    points = xy[:n], xy[1 : n + 1], xy[n + 1 :], normal[:n], normal[1 : n + 1], normal[n + 1 :]
    last = np.full(n, -1 if ring else n - 1)
    belongs = np.full(n, strip.number), np.full(n, index), np.arange(n), last
    return (*points, *sizes, inset[:-1], inset[1:], *belongs, np.stack([s[:-1], s[1:]], axis=1))


def _fitted(shapes, laid: Laid, strips, traced, rules: Rules, outline, touched) -> np.ndarray:
    """Cut pieces to the corners' bisectors and the face, share out slivers and keep pieces apart."""
    narrow = np.array([0.0, *(strip.narrow_end for strip in strips)])
    floor = FLOOR * narrow[laid.strip]
    shapes = _mitred(shapes, laid, traced, rules, touched)
    shapes = _to_face(shapes, outline, touched)
    partner, axis = _partners(laid)
    size = np.stack([laid.between.width, laid.between.right - laid.between.left], axis=1)
    shapes, changed = share_slivers(shapes, partner, axis, size, floor, rules.joint)
    touched[changed] = "shared"
    shapes = _to_face(shapes, outline if changed.any() else None, touched)
    rank = np.round(np.abs(laid.between.left + laid.between.right), 6)
    shapes, changed = keep_apart(shapes, rank, rules.joint, rules.least, floor)
    touched[changed] = "apart"
    return shapes


def _partners(laid: Laid) -> tuple[np.ndarray, np.ndarray]:
    """Return each piece's neighbour towards the middle of its run, and the row's direction there."""
    index = np.arange(len(laid.place))
    inward = np.where(laid.place * 2 < laid.last, index + 1, index - 1)
    normal = laid.between.middle_normal
    return np.where(laid.last <= 0, -1, inward), np.stack([-normal[:, 1], normal[:, 0]], axis=1)


def _mitred(shapes, laid: Laid, traced: Sequence[Traced], rules: Rules, touched) -> np.ndarray:
    """Cut the pieces near a corner to its bisector."""
    found = shapes
    middle = laid.stretch.mean(axis=1)
    for index, one in enumerate(traced):
        for corner in one.corners:
            near = np.flatnonzero((laid.part == index) & (np.abs(middle - corner.s) < corner.reach))
            line = corner.point - rules.joint / 2 * corner.normal
            plane = half_planes(line[None], -corner.normal[None], 4 * corner.reach + 100)[0]
            found = _cut_to(found, near, plane, "corner", touched)
    return found


def _to_face(shapes: np.ndarray, outline: Polygon | None, touched: np.ndarray) -> np.ndarray:
    """Cut the pieces that reach over the face's edge."""
    if outline is None:
        return shapes
    x0, y0, x1, y1 = outline.bounds
    bounds = shapely.bounds(shapes)
    framed = abs(outline.area - (x1 - x0) * (y1 - y0)) < 1e-9
    with np.errstate(invalid="ignore"):
        within = (bounds[:, 0] >= x0) & (bounds[:, 1] >= y0) & (bounds[:, 2] <= x1) & (bounds[:, 3] <= y1)
    over = np.flatnonzero(~within if framed else ~shapely.covers(outline, shapes))
    return _cut_to(shapes, over[~shapely.is_empty(shapes[over])], outline, "face", touched)


def _cut_to(shapes: np.ndarray, which: np.ndarray, area: Polygon, word: str, touched: np.ndarray) -> np.ndarray:
    """Cut some pieces to an area; of several parts the largest stays."""
    if not len(which):
        return shapes
    cut = shapely.intersection(shapes[which], area)
    odd = shapely.get_type_id(cut) != 3
    cut[odd] = [_largest(piece) for piece in cut[odd]]
    touched[which[shapely.area(shapes[which]) - shapely.area(cut) > LOST]] = word
    found = shapes.copy()
    found[which] = cut
    return found


def _largest(shape) -> Polygon:
    parts = [part for part in shapely.get_parts(shape) if isinstance(part, Polygon)]
    return max(parts, key=lambda part: part.area, default=Polygon())


def _assembled(shapes, laid: Laid, cut: Cut, touched, strips, spans: Sequence[Span], rules: Rules, outline) -> Layout:
    """Return the layout of the pieces that are left, rows in order, places along the guide."""
    kept = np.flatnonzero(shapely.area(shapes) > LOST)
    if not len(kept):
        raise MosaicError(NOTHING)
    order = kept[np.lexsort((laid.stretch[kept, 0], laid.strip[kept]))]
    strip = laid.strip[order]
    kind = np.where(touched[order] == "", KINDS[cut.kind[order]], "cut")
    kind = np.where(touched[order] == "corner", "corner", kind)
    inside = rules.joint + 2 * cut.uncut[order]
    words = piece_words(kind.tolist(), touched[order], cut.wide[order], cut.narrow[order], inside, cut.sag[order])
    final = shapes[order]
    width, height = _sizes(final, laid, order, cut, touched)
    place = np.arange(len(order)) - np.searchsorted(strip, strip) + 1
    spec = {one.number: one.spec for one in strips}
    table = piece_table(
        len(order),
        band="rows",
        row=strip,
        place=place,
        kind=kind,
        fraction=np.array([spec[n].fraction for n in strip.tolist()], dtype=object),
        tile=np.array([f"{spec[n].tile.side:g} mm" for n in strip.tolist()], dtype=object),
        width=width,
        height=height,
        area=shapely.area(final),
        why=words,
    )
    tile: Tile = max((one.spec.tile for one in strips), key=lambda t: t.side)
    odd = bool((touched == "apart").any() or (~cut.sound).any() or (kind == "fan").any())
    whole = final if odd else np.concatenate([_strips(laid, cut), final[touched[order] != ""]])
    band = _band(whole, rules, outline)
    gaps = _left_open(band, final, spans, rules) if odd or any(span.reported for span in spans) else ()
    return Layout(band, final, table, rules.joint, rules.least, rules.greatest, tile, gaps, spans=tuple(spans))


def _sizes(shapes, laid: Laid, order: np.ndarray, cut: Cut, touched) -> tuple[np.ndarray, np.ndarray]:
    """Return width along the row and height across it of the pieces as they are after the last cut."""
    width, height = cut.wide[order], (laid.between.right - laid.between.left)[order]
    changed = np.flatnonzero(touched[order] != "")
    if len(changed):
        points, owner = shapely.get_coordinates(shapes[changed], return_index=True)
        x, y = laid.between.middle_normal[order[changed]][owner].T
        first = np.searchsorted(owner, np.arange(len(changed)))
        along, across = points[:, 1] * x - points[:, 0] * y, points[:, 0] * x + points[:, 1] * y
        for size, place in ((width, along), (height, across)):
            size[changed] = np.maximum.reduceat(place, first) - np.minimum.reduceat(place, first)
    return width, height


def _strips(laid: Laid, cut: Cut) -> np.ndarray:
    """Return each run as one strip, joints included; quicker than joining its pieces."""
    begins = np.flatnonzero(laid.place == 0)
    runs = zip(begins, np.append(begins[1:], len(laid.place)), strict=True)
    found = []
    for begin, end in runs:
        corners = cut.corners[begin:end]
        left, right = corners[:, :2].reshape(-1, 2), corners[:, [3, 2]].reshape(-1, 2)
        # one piece cannot go round: its two points a side are no ring
        ring = laid.last[begin] < 0 and end - begin > 1
        found.append(
            Polygon(left).symmetric_difference(Polygon(right)) if ring else Polygon(np.concatenate([left, right[::-1]]))
        )
    return np.array(found, dtype=object)


def _band(shapes: np.ndarray, rules: Rules, outline: Polygon | None) -> Polygon | MultiPolygon:
    """Return the area that rows cover, joints included and holes wider than joints left out."""
    whole = np.all(shapely.is_valid(shapes))
    grown = shapely.buffer(
        shapes if whole else shapely.make_valid(shapes), rules.joint, join_style="mitre", mitre_limit=2.0
    )
    band = shapely.buffer(shapely.union_all(grown), -rules.joint, join_style="mitre", mitre_limit=2.0)
    return band if outline is None else shapely.intersection(band, outline)


def _left_open(band, shapes: np.ndarray, spans: Sequence[Span], rules: Rules) -> tuple[Gap, ...]:
    """Return the holes in the band that are wider than its joints, each with what is the matter there."""
    found = []
    for inmost, place in open_places(band, shapes, rules.greatest):
        near = (span.why for span in spans if span.reported and span.shape.distance(inmost) < rules.greatest)
        found.append(Gap(place, next(near, "rows meet here; what is left is too small for glass")))
    return tuple(found)
