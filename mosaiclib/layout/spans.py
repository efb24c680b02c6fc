"""Stretches of a row along its guide: where it lies on the face, and what can be laid there.

| symbol | here | meaning |
|---|---|---|
| kappa | curvature | of the guide, above 0 where travel turns left [1/mm] |
| d | left, right | offset to the right of the guide [mm]; 1 + kappa d is the speed of that offset |
| a, h, j | width, height, joint | of a piece along and across the row, and between pieces [mm] |
"""

__all__ = [
    "ZONES",
    "Laying",
    "Run",
    "Span",
    "Traced",
    "domain",
    "reasons",
    "runs_of",
    "spans_of",
    "trace",
    "true_ends",
    "zones",
]

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

import numpy as np
import scipy
import shapely
from shapely import Polygon

from mosaiclib.layout.corners import Bend, End, bends_of
from mosaiclib.layout.guide import Guide, Part
from mosaiclib.layout.layout import JointLimits
from mosaiclib.layout.rowspec import RowPlace
from mosaiclib.units import mm, text
from mosaiclib.words import Text

ZONES = ("leave whole", "wedge", "fan", "seam")
WHOLE, WEDGE, FAN, SEAM = range(4)
VANISHED = 0.04  # speed of an offset under which there is no row
SAFE = 0.9  # share of the slack that is used, so that rounding never leaves the limits
LEAST_SHARE = 0.7  # a piece is not made narrower than this share of its tile to keep its edge near the curve
FINEST = 8.0  # samples to a piece's width
DRAWN = 24  # points along a span's outline
FINER = 26  # places looked at between two samples to find where a row ends, and again between two of these
ACROSS = 7  # lines along a row that are looked at
AT_ONCE = 200_000  # places looked at in one go


@dataclass(frozen=True)
class Span:
    """A stretch of one row from one arc length of the guide to another [mm], and which of `ZONES` it is.

    Radius: the least of the row's inside edge there, infinite where straight, 0 where it has none [mm]; why: one
    sentence for the maker; ring: points round the stretch, shape (n, 2) [mm]; line: which of several it belongs to.
    """

    row: int
    begin: float
    end: float
    zone: str
    radius: float
    why: Text
    ring: np.ndarray = field(repr=False, compare=False)
    line: str = ""

    @cached_property
    def shape(self) -> Polygon:
        """The stretch as an area [mm]; it may cross itself in a seam."""
        return Polygon(self.ring)

    @property
    def reported(self) -> bool:
        """Whether joints may leave their limits here."""
        return self.zone in ("fan", "seam")


class Run(NamedTuple):
    """A stretch of one row that is laid in one go: first and last sample, and whether it closes on itself."""

    begin: int
    end: int
    ring: bool = False


class Traced(NamedTuple):
    """A smooth part of a guide, even samples of it, n of them, its true corners, and what ends its rows there.

    Arc length, which may run past the part's ends on its tangents, and points, shape (n, 2) [mm]; unit normals to the
    right; curvature [1/mm]; normals and curvature are means over a piece of a width [mm].
    """

    part: Part
    s: np.ndarray
    xy: np.ndarray
    normal: np.ndarray
    curvature: np.ndarray
    over: float
    bends: Sequence[Bend | None]
    corners: tuple[End, ...] = ()

    def frame(self, s: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Return points, normals and curvature at arc lengths, shape (n,) [mm]: chords and turning over a piece."""
        return _frame(self.part, s, self.over)


def _frame(part: Part, s: np.ndarray, over: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return points [mm], normals square to the chord of a piece, and how much it turns over its width [1/mm]."""
    xy, right, _ = part.frame(np.stack([s - over / 2, s, s + over / 2]))
    chord = xy[2] - xy[0]
    long = np.hypot(chord[:, 0], chord[:, 1])[:, None]
    normal = np.where(long > over / 2, chord[:, ::-1] * [1, -1] / np.maximum(long, 1e-9), right[1])
    a, b = right[0], right[2]
    turned = np.arctan2(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0], np.einsum("ij,ij->i", a, b))
    return xy[1], normal, turned / over


class Laying(NamedTuple):
    """What can be laid at each of n samples of r rows, shape (r, n).

    Zone, as a place in `ZONES`; pieces that a millimetre of guide takes; share of a pitch by which joints between whole
    tiles may give; width of a piece, narrower where its straight edge would leave the curve [mm].
    """

    zone: np.ndarray
    density: np.ndarray
    play: np.ndarray
    kept: np.ndarray


def trace(guide: Guide, rows: Sequence[RowPlace], outline: Polygon | None) -> list[Traced]:
    """Sample every smooth part of a guide; a free end on the face's edge or outside runs on along its tangent [mm]."""
    deep = max(max(abs(row.left), abs(row.right)) for row in rows)
    wide, step = max(row.width for row in rows), min(row.width for row in rows) / FINEST
    inner = None if outline is None else shapely.buffer(outline, -1e-6)
    parts = zip(guide.parts, bends_of(guide), strict=True)
    return [_traced(part, bends, deep, wide, step, inner) for part, bends in parts]


def _traced(
    part: Part, bends: Sequence[Bend | None], deep: float, wide: float, step: float, inner: Polygon | None
) -> Traced:
    """Sample one part, with tangents past its ends where rows run on or are mitred."""
    more = np.zeros(2)
    if not part.closed and inner is not None:
        more[~_inside(inner, part.at(np.array([part.s0, part.s1])))] = deep + wide
    for side, bend in enumerate(bends):
        if bend is not None:
            more[side] = bend.beyond(deep) + wide
    count = max(9, int((part.s1 - part.s0 + more.sum()) / step) + 2)
    s = np.linspace(part.s0 - more[0], part.s1 + more[1], count)
    over = FINEST * step
    return Traced(part, s, *_frame(part, s, over), over, bends)


def zones(rows: Sequence[RowPlace], traced: Traced, limits: JointLimits) -> Laying:
    """Tell for every sample of a part which zone of each row it is, and how many pieces a millimetre of guide takes.

    The wider edge of the row rules: pieces per mm = speed/(a + j), taken on the centre line where
    tiles stay whole. Where a straight edge would leave the curve too far, pieces are taken narrower.
    """
    bend, j = np.abs(traced.curvature), limits.joint
    sizes = [(row.left, row.right, row.width, row.spec.height, row.narrow_end) for row in rows]
    left, right, a, high, least = np.array(sizes).T[..., None]
    left, right = 1 + traced.curvature * left, 1 + traced.curvature * right
    wide, narrow = np.maximum(left, right), np.minimum(left, right)
    middle = (wide + narrow) / 2
    bent = bend * high / 2 * (a + j)
    whole = (bent <= 2 * SAFE * limits.slack * middle) & (middle > VANISHED)
    # how wide a straight edge may be before its sag eats the slack: w^2/(8 R) <= slack
    with np.errstate(divide="ignore"):
        radius = np.where(bend > 0, wide / bend, np.inf)
    kept = np.clip(np.sqrt(16 * np.maximum(radius, 0) * max(limits.slack, 0.05)), LEAST_SHARE * a, a)
    kept = np.where(whole, a, kept)
    end = (kept + j) * narrow / np.maximum(wide, VANISHED) - j
    zone = np.where(wide <= VANISHED, SEAM, np.where(whole, WHOLE, np.where(end >= least, WEDGE, FAN)))
    density = np.where(zone == SEAM, 0.0, np.maximum(np.where(whole, middle, wide), 0.0) / (kept + j))
    play = np.where(whole, np.maximum(2 * SAFE * limits.slack - bent / np.maximum(middle, VANISHED), 0.0), 0.0)
    # a piece stays whole only where all of it, and the joints beside it, lie in a bend that is gentle enough
    beside = 2 * np.ceil((a[:, 0] + j) / (traced.s[1] - traced.s[0])).astype(int) + 1
    for size in np.unique(beside):
        mode = "wrap" if traced.part.closed else "nearest"
        play[beside == size] = scipy.ndimage.minimum_filter1d(play[beside == size], size, axis=1, mode=mode)
    return Laying(zone, density, play / (a + j), kept)


def _inside(outline: Polygon, points: np.ndarray) -> np.ndarray:
    """Tell which points, shape (..., 2), lie in an outline [mm], quickly where it is an upright rectangle."""
    x, y = points[..., 0], points[..., 1]
    x0, y0, x1, y1 = outline.bounds
    framed = (x >= x0) & (x <= x1) & (y >= y0) & (y <= y1)
    if abs(outline.area - (x1 - x0) * (y1 - y0)) < 1e-9:
        return framed
    return framed & shapely.contains_xy(outline, x, y)


def domain(traced: Traced, rows: Sequence[RowPlace], outline: Polygon | None) -> np.ndarray:
    """Return at each sample, shape (rows, n), the share of a row's width on the face and on its own side of corners."""
    return _held(traced, rows, np.arange(len(rows)), outline, traced.s[None], traced.xy[None], traced.normal[None])


def _held(
    traced: Traced, rows, which: np.ndarray, outline, s: np.ndarray, xy: np.ndarray, normal, lines: int = ACROSS
) -> np.ndarray:
    """Return the share of width that lies where it may, of rows by their place in the stack, `which`, shape (m,).

    At places s, shape (m or 1, n), of which points and normals are given; so many lines along a row are looked at.
    """
    edges = np.array([(row.left, row.right) for row in rows])[which]
    size = len(which), s.shape[1]
    held = np.zeros(size)
    for shares in np.array_split(np.linspace(0, 1, lines), min(lines, 1 + held.size * lines // AT_ONCE)):
        offset = edges[:, :1] + shares * (edges[:, 1:] - edges[:, :1])
        points = xy[:, :, None] + offset[:, None, :, None] * normal[:, :, None]
        points, along = points.reshape(len(which), -1, 2), np.repeat(s, len(shares), axis=1)
        inside = np.ones(points.shape[:2], bool) if outline is None else _inside(outline, points)
        for corner in traced.corners:
            inside &= corner.behind(points, along, which)
        held += inside.reshape(*size, -1).sum(axis=2)
    return held / lines


def true_ends(
    traced: Traced, rows: Sequence[RowPlace], outline: Polygon | None, joint: float, runs: Sequence[tuple[int, Run]]
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return where runs, each of the row at a place in the stack, really begin and end; three arrays, shape (m, 2).

    Arc lengths [mm], the share of the row's width there, and whether a corner ends it.
    """
    which = np.repeat([index for index, _ in runs], 2)
    at = np.array([(run.begin, run.end) for _, run in runs]).ravel()
    other = at + np.tile([-1, 1], len(runs))
    goes_on = (other >= 0) & (other < len(traced.s))
    other = np.where(goes_on, other, at)
    low, high = np.zeros(len(at)), np.ones(len(at))
    for _ in range(3 if traced.corners else 1):  # the face cuts its pieces anyway
        part = low[:, None] + (high - low)[:, None] * np.linspace(0, 1, FINER)
        s = traced.s[at, None] + part * (traced.s[other] - traced.s[at])[:, None]
        xy, normal = (u[at, None] + part[..., None] * (u[other] - u[at])[:, None] for u in (traced.xy, traced.normal))
        held = _held(traced, rows, which, outline, s, xy, normal, 4 * ACROSS if traced.corners else ACROSS)
        last = np.max(np.where(held > 0, np.arange(FINER), 0), axis=1)
        here = np.arange(len(at)), last
        low, high = part[here], part[here[0], np.minimum(last + 1, FINER - 1)]
    corner = _at_corner(traced, rows, which, outline, joint, s[here])
    share = np.where(goes_on, held[here], 1.0)
    return s[here].reshape(-1, 2), share.reshape(-1, 2), corner.reshape(-1, 2)


def _at_corner(traced: Traced, rows, which: np.ndarray, outline: Polygon | None, joint: float, s: np.ndarray):
    """Tell whether rows that end at s, shape (m,) [mm], are ended by a corner, not by the face."""
    near = np.zeros(len(s), bool)
    for corner in traced.corners:
        near |= corner.near(s)
    if outline is None or not near.any():
        return near
    beyond = s + np.sign(s - (traced.part.s0 + traced.part.s1) / 2) * joint / 4
    xy, normal, _ = traced.frame(beyond)
    free = traced._replace(corners=())
    return near & (_held(free, rows, which, outline, beyond[:, None], xy[:, None], normal[:, None])[:, 0] > 0)


def runs_of(laid: np.ndarray, closed: bool) -> list[Run]:
    """Return the stretches of two samples or more where a row is laid; closed, the last sample meets the first.

    >>> [tuple(run) for run in runs_of(np.array([True, True, False, True, True, True]), False)]
    [(0, 1, False), (3, 5, False)]
    """
    if laid.all() and closed:
        return [Run(0, len(laid) - 1, True)]
    steps = np.diff(np.concatenate([[0], laid.astype(np.int8), [0]]))
    begins, ends = np.flatnonzero(steps == 1), np.flatnonzero(steps == -1) - 1
    return [Run(int(b), int(e)) for b, e in zip(begins, ends, strict=True) if e > b]


def spans_of(rows: Sequence[RowPlace], traced: Traced, zone: np.ndarray, laid: np.ndarray, limits) -> list[Span]:
    """Return the stretches of rows by zone, in the order of travel, from which samples are laid, shape (rows, n)."""
    n = len(traced.s)
    zone = np.where(laid, zone, -1)
    row, edges = np.nonzero(zone[:, 1:] != zone[:, :-1])
    begins = np.sort(np.concatenate([np.arange(len(rows)) * n, row * n + edges + 1]))
    row, begin = np.divmod(begins, n)
    end = np.where(np.append(row[1:] == row[:-1], False), np.append(begin[1:], 0), n - 1)
    kept = (zone[row, begin] >= 0) & (end > begin)
    row, begin, end = row[kept], begin[kept], end[kept]
    if not len(row):
        return []
    few = np.linspace(begin, end, DRAWN).astype(int).T
    sides = np.array([(one.left, one.right) for one in rows])[row]
    left, right = (traced.xy[few] + sides[:, k, None, None] * traced.normal[few] for k in (0, 1))
    rings = np.concatenate([left, right[:, ::-1]], axis=1)
    bends = _tightest(traced.curvature, begin, end).tolist()
    radii = [_radius(rows[r], bend) for r, bend in zip(row.tolist(), bends, strict=True)]
    stretches = traced.s[begin].tolist(), traced.s[end].tolist(), [ZONES[code] for code in zone[row, begin]]
    return [
        Span(rows[r].number, b, e, name, radius, _span_words(name, rows[r], radius, limits), ring)
        for r, b, e, name, radius, ring in zip(row.tolist(), *stretches, radii, rings, strict=True)
    ]


def reasons(spans: Sequence[Span], places: Sequence[shapely.Geometry], near: float) -> list[Text | None]:
    """Return for each place why the first reported span nearer than a distance [mm] cannot be laid, None without one."""
    told, places = [span for span in spans if span.reported], np.array(places, dtype=object)
    if not told or not len(places):
        return [None] * len(places)
    shapes = np.array([span.shape for span in told], dtype=object)
    around = shapely.bounds(places).reshape(-1, 4) + near * np.array([-1, -1, 1, 1])
    which, span = shapely.STRtree(shapes).query(shapely.box(*around.T))
    close = shapely.distance(places[which], shapes[span]) < near
    first = np.full(len(places), len(told))
    np.minimum.at(first, which[close], span[close])
    return [told[k].why if k < len(told) else None for k in first.tolist()]


def _tightest(curvature: np.ndarray, begin: np.ndarray, end: np.ndarray) -> np.ndarray:
    """Return the curvature where a guide bends most, from one sample to another, shape (m,) [1/mm]."""
    parts = np.stack([begin, end + 1], axis=1).ravel()
    low, high = (most.reduceat(np.append(curvature, 0.0), parts)[::2] for most in (np.minimum, np.maximum))
    return np.where(-low > high, low, high)


def _radius(row: RowPlace, bend: float) -> float:
    """Return the radius of a row's inside edge in a bend of the guide [1/mm]; to the left it is on the left [mm]."""
    return math.inf if abs(bend) < 1e-9 else max(0.0, 1 / abs(bend) + (row.left if bend > 0 else -row.right))


def _span_words(zone: str, row: RowPlace, radius: float, limits: JointLimits) -> Text:
    """Say what can be laid on a stretch of a row."""
    bend = "straight" if math.isinf(radius) else text("inside radius ", mm(round(radius)))
    row_bend = text(f"Row {row.number}, ", bend)
    if zone == "leave whole":
        return text(row_bend, ": tiles stay whole, joints keep ", mm(limits.least, limits.greatest), ".")
    if zone == "wedge":
        return text(row_bend, ": left whole, joints would open in a V; cut wedges.")
    if zone == "fan":
        least = mm(round(row.narrow_end, 1))
        return text(
            row_bend,
            *(": a wedge would be narrower than ", least, "; cut a fan of points, or take smaller pieces here."),
        )
    return text(f"Row {row.number}: the bend is tighter than the row is wide; no row fits, leave it to the hand.")
