"""Lines that cross: where one crosses itself and is parted into strokes, and the line that two bands share."""

__all__ = ["area", "crossings", "halves", "strokes"]

import itertools
import math
from collections.abc import Sequence

import numpy as np
import shapely
from shapely import Polygon

from mosaiclib.layout.guide import Guide

CRUMB = 9.0  # [mm2] a part no larger is left to the other band
STEP = 1.0  # [mm] of the points that stand for a line; more of a line over 2 m
MOST_STEPS = 2000
APART = 4.0  # half widths of a band along the line: what is nearer is no crossing but a bend
ALIKE = 0.2  # [mm] nearer points of two lines count as one
SMOOTH = 0.25  # of a millimetre: how far the line that two bands share may be moved to be smooth


def strokes(guide: Guide, deep: float) -> list[Guide]:
    """Part a guide whose band, of half a width [mm], lies on itself into strokes that do not, in the order of travel.

    >>> from mosaiclib.layout.lines import polyline
    >>> eight = polyline([(0, 0), (100, 100), (100, 0), (0, 100)])
    >>> [round(stroke.length) for stroke in strokes(eight, 5)]
    [191, 191]
    """
    met = crossings(guide, deep)
    if not len(met):
        return [guide]
    events = np.sort(np.concatenate([met.ravel(), _corners(guide)]))
    begin = 0.0
    if guide.closed:
        begin = _widest(events, met[0, 0], met[0, 1])
        events = np.sort((events - begin) % guide.length)
        met = np.sort((met - begin) % guide.length, axis=1)
    cuts: list[float] = []
    for low, high in met[np.argsort(met[:, 1])]:
        if not cuts or cuts[-1] <= low:
            cuts.append(_widest(events, low, high))
    ends = [0.0, *cuts, guide.length]
    return [_stretch(guide, begin + a, begin + b) for a, b in itertools.pairwise(ends)]


def crossings(guide: Guide, deep: float) -> np.ndarray:
    """Return the two stations of each place where a line crosses itself, or ends on itself, shape (k, 2) [mm]."""
    s, xy = _sampled(guide)
    sides = shapely.linestrings(np.stack([xy[:-1], xy[1:]], axis=1))
    one, two = shapely.STRtree(sides).query(sides, predicate="intersects")
    far = s[two] - s[one]
    pair = (far > 2 * deep) & ((guide.length - far > 2 * deep) | (not guide.closed))
    found = np.stack([s[one[pair]], s[two[pair]]], axis=1)
    if not guide.closed:
        found = np.concatenate([found, *(_ends_on(s, xy, end, deep) for end in (0, -1))])
    return found[np.lexsort((found[:, 0], found[:, 1]))]


def _ends_on(s: np.ndarray, xy: np.ndarray, end: int, deep: float) -> np.ndarray:
    """Return the stations of an end of a line and of the place where it lies on the line's own band, shape (0 or 1, 2)."""
    away = np.hypot(*(xy - xy[end]).T)
    near = np.flatnonzero((away < deep) & (np.abs(s - s[end]) > APART * deep))
    return np.sort([[s[end], s[i]] for i in near[np.argsort(away[near])][:1]]).reshape(-1, 2)


def _widest(events: np.ndarray, low: float, high: float) -> float:
    """Return the middle of the widest stretch between two stations that holds no crossing and no corner [mm]."""
    inside = np.concatenate([[low], events[(events > low) & (events < high)], [high]])
    k = int(np.argmax(np.diff(inside)))
    return float(inside[k] + inside[k + 1]) / 2


def _corners(guide: Guide) -> np.ndarray:
    """Return the stations of true corners [mm]."""
    return np.array([part.s0 for part in guide.parts[0 if guide.closed else 1 :] if guide.corners]) % guide.length


def _stations(guide: Guide, begin: float, end: float) -> tuple[np.ndarray, np.ndarray]:
    """Return stations of a stretch, its corners among them, and the numbers of these [mm]."""
    count = max(4, min(MOST_STEPS, math.ceil((end - begin) / STEP)))
    s, turn = np.linspace(begin, end, count + 1), guide.length
    corners = np.unique(np.concatenate([_corners(guide) + k * turn for k in ((0, 1) if guide.closed else (0,))]))
    corners = corners[(corners > begin + 1e-6) & (corners < end - 1e-6)]
    if len(corners):
        near = np.abs(s[1:-1, None] - corners).min(axis=1) < (s[1] - s[0]) / 3
        s = np.sort(np.concatenate([s[[0, -1]], s[1:-1][~near], corners]))
    return s, np.searchsorted(s, corners)


def _sampled(guide: Guide) -> tuple[np.ndarray, np.ndarray]:
    s, _ = _stations(guide, 0.0, guide.length)
    return s, guide.at(s)


def _stretch(guide: Guide, begin: float, end: float) -> Guide:
    """Return a stretch of a guide as a guide of its own [mm]."""
    s, corners = _stations(guide, begin, end)
    return Guide(guide.at(s), corners=corners.tolist())


def area(guide: Guide, deep: float) -> Polygon:
    """Return the area of a band of half a width beside its line [mm]."""
    return shapely.buffer(shapely.LineString(_sampled(guide)[1]), deep, cap_style="flat", join_style="mitre")


def halves(guides: Sequence[Guide], deep: Sequence[float]) -> list[shapely.Geometry]:
    """Return what of each band, of half a width [mm], lies nearer to its own line than to any other that it meets.

    >>> from mosaiclib.layout.lines import straight
    >>> [round(half.area) for half in halves([straight(100), straight(100, turned=90)], [5, 5])]
    [950, 950]
    """
    bands = [area(guide, d) for guide, d in zip(guides, deep, strict=True)]
    meets = [
        shapely.union_all([band & other for k, other in enumerate(bands) if k != i]) for i, band in enumerate(bands)
    ]
    spots, owner = [], []
    for i, (guide, d) in enumerate(zip(guides, deep, strict=True)):
        xy = _sampled(guide)[1]
        near = shapely.dwithin(shapely.points(xy), shapely.union_all(meets), 2 * d)
        spots, owner = [*spots, xy[near]], [*owner, np.full(int(near.sum()), i)]
    xy, owner = np.concatenate(spots), np.concatenate(owner)
    if not len(xy):
        return bands
    _, first = np.unique(np.round(xy / ALIKE), axis=0, return_index=True)  # points that lie on each other have no cells
    cells = shapely.voronoi_polygons(shapely.MultiPoint(xy[first]), ordered=True, extend_to=shapely.union_all(bands))
    cells, owner = shapely.make_valid(shapely.get_parts(cells)), owner[first]
    own = [shapely.union_all(cells[owner == i], grid_size=1e-3) for i in range(len(bands))]
    own = [shapely.make_valid(shapely.simplify(cell, SMOOTH)) for cell in own]
    found = [(band - met) | (met & cell) for band, met, cell in zip(bands, meets, own, strict=True)]
    return [shapely.union_all([part for part in shapely.get_parts(one) if part.area > CRUMB]) for one in found]
