"""Stretches of a row along its guide: where it lies on the face, and what can be laid there.

| symbol | here | meaning |
|---|---|---|
| kappa | curvature | of the guide, above 0 where travel turns left [1/mm] |
| d | left, right | offset to the right of the guide [mm]; 1 + kappa d is the speed of that offset |
| a, h, j | width, height, joint | of a piece along and across the row, and between pieces [mm] |
"""

__all__ = [
    "CORNERS",
    "ZONES",
    "Laying",
    "Run",
    "Span",
    "Traced",
    "domain",
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
import shapely
from scipy.ndimage import minimum_filter1d
from shapely import Polygon

from mosaiclib.layout.guide import Guide, Part
from mosaiclib.layout.layout import JointLimits
from mosaiclib.layout.rowspec import RowPlace
from mosaiclib.units import mm, text
from mosaiclib.words import Text

CORNERS = ("mitre", "square", "fan")
ZONES = ("leave whole", "wedge", "fan", "seam")
VANISHED = 0.04  # speed of an offset under which there is no row
SAFE = 0.9  # share of the slack that is used, so that rounding never leaves the limits
LEAST_SHARE = 0.7  # a piece is not made narrower than this share of its tile to keep its edge near the curve
FINEST = 8.0  # samples to a piece's width
SHARPEST = 150.0  # [degrees] a sharper corner is not mitred; its rows end square
DRAWN = 24  # points along a span's outline
FINER = 26  # places looked at between two samples to find where a row ends, and again between two of these
ACROSS = 7  # lines along a row that are looked at


@dataclass(frozen=True)
class Span:
    """A stretch of one row from one arc length of the guide to another [mm], and which of `ZONES` it is.

    Radius: the least of the row's inside edge there, infinite where straight, 0 where it has none [mm]; why: one
    sentence for the maker; ring: points round the stretch, shape (n, 2) [mm].
    """

    row: int
    begin: float
    end: float
    zone: str
    radius: float
    why: Text
    ring: np.ndarray = field(repr=False, compare=False)

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


class Corner(NamedTuple):
    """A true corner at one end of a part, at an arc length and a point [mm].

    Unit normal of the bisector, pointing away from the part; how far along the part it may cut rows [mm].
    """

    s: float
    point: np.ndarray
    normal: np.ndarray
    reach: float


class Traced(NamedTuple):
    """A smooth part of a guide, even samples of it, n of them, and its corners.

    Arc length, which may run past the part's ends on its tangents, and points, shape (n, 2) [mm]; unit normals to the
    right; curvature [1/mm]; normals and curvature are means over a piece of a width [mm].
    """

    part: Part
    s: np.ndarray
    xy: np.ndarray
    normal: np.ndarray
    curvature: np.ndarray
    corners: tuple[Corner, ...]
    over: float

    def frame(self, s: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Return points, normals and curvature at arc lengths, shape (n,) [mm]: chords and turning over a piece."""
        return _frame(self.part, s, self.over)


def _frame(part: Part, s: np.ndarray, over: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return points [mm], normals square to the chord of a piece, and how much it turns over its width [1/mm]."""
    xy, right, _ = part.frame(np.stack([s - over / 2, s, s + over / 2]))
    chord = xy[2] - xy[0]
    long = np.hypot(chord[:, 0], chord[:, 1])[:, None]
    normal = np.where(long > over / 2, np.stack([chord[:, 1], -chord[:, 0]], axis=1) / np.maximum(long, 1e-9), right[1])
    a, b = right[0], right[2]
    turned = np.arctan2(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0], np.einsum("ij,ij->i", a, b))
    return xy[1], normal, turned / over


class Laying(NamedTuple):
    """What can be laid at each of n samples of a row.

    Zone; pieces that a millimetre of guide takes; share of a pitch by which joints between whole tiles may give; width
    of a piece, narrower where its straight edge would leave the curve [mm].
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
    return [_traced(guide, index, deep, wide, step, inner) for index in range(len(guide.parts))]


def _traced(guide: Guide, index: int, deep: float, wide: float, step: float, inner: Polygon | None) -> Traced:
    """Sample one part, with tangents past its ends where rows run on or are mitred."""
    part, more, corners = guide.parts[index], [0.0, 0.0], []
    for side, s in enumerate(() if part.closed else (part.s0, part.s1)):
        mitre = _mitre(guide, index, side)
        if mitre is not None:
            point, normal, factor = mitre
            more[side] = factor * deep + wide if factor else 0.0
            if factor:
                corners.append(Corner(s, point, normal, 2 * more[side]))
        elif inner is not None and not _inside(inner, part.at(np.array([s])))[0]:
            more[side] = deep + wide
    count = max(9, int((part.s1 - part.s0 + sum(more)) / step) + 2)
    s = np.linspace(part.s0 - more[0], part.s1 + more[1], count)
    over = FINEST * step
    return Traced(part, s, *_frame(part, s, over), tuple(corners), over)


def _mitre(guide: Guide, index: int, side: int):
    """Return point, normal and factor (tangent of half the turning) of the corner at a part's end.

    None for a free end; a factor of 0 where the corner is too sharp to be mitred.
    """
    parts = guide.parts
    other = index + (1 if side else -1)
    if not guide.closed and not 0 <= other < len(parts):
        return None
    before, after = (parts[index], parts[other % len(parts)]) if side else (parts[other % len(parts)], parts[index])
    incoming, outgoing = before.tangent(before.s1), after.tangent(after.s0)
    turn = np.degrees(np.arccos(np.clip(incoming @ outgoing, -1, 1)))
    point = before.at(before.s1)
    if turn > SHARPEST:
        return point, incoming, 0.0
    normal = (incoming + outgoing) / np.linalg.norm(incoming + outgoing) * (1 if side else -1)
    return point, normal, max(float(np.tan(np.radians(turn) / 2)), 1e-6)


def zones(row: RowPlace, traced: Traced, limits: JointLimits) -> Laying:
    """Tell for every sample of a part which zone of a row it is, and how many pieces a millimetre of guide takes.

    The wider edge of the row rules: pieces per mm = speed/(a + j), taken on the centre line where
    tiles stay whole. Where a straight edge would leave the curve too far, pieces are taken narrower.
    """
    curvature = traced.curvature
    left, right = 1 + curvature * row.left, 1 + curvature * row.right
    wide, narrow = np.maximum(left, right), np.minimum(left, right)
    a, j = row.width, limits.joint
    bent = np.abs(curvature) * row.spec.height / 2 * (a + j)
    middle = (wide + narrow) / 2
    whole = (bent <= 2 * SAFE * limits.slack * middle) & (middle > VANISHED)
    # how wide a straight edge may be before its sag eats the slack: w^2/(8 R) <= slack
    with np.errstate(divide="ignore"):
        radius = np.where(curvature != 0, wide / np.abs(curvature), np.inf)
    kept = np.clip(np.sqrt(16 * np.maximum(radius, 0) * max(limits.slack, 0.05)), LEAST_SHARE * a, a)
    kept = np.where(whole, a, kept)
    end = (kept + j) * narrow / np.maximum(wide, VANISHED) - j
    zone = np.select([wide <= VANISHED, whole, end >= row.narrow_end], ["seam", "leave whole", "wedge"], "fan")
    speed = np.where(whole, middle, wide)
    density = np.where(zone == "seam", 0.0, np.maximum(speed, 0.0) / (kept + j))
    play = 2 * SAFE * limits.slack - bent / np.maximum(middle, VANISHED)
    # a piece stays whole only where all of it, and the joints beside it, lie in a bend that is gentle enough
    beside = 2 * math.ceil((a + j) / (traced.s[1] - traced.s[0])) + 1
    play = minimum_filter1d(
        np.where(whole, np.maximum(play, 0.0), 0.0), beside, mode="wrap" if traced.part.closed else "nearest"
    )
    return Laying(zone, density, play / (a + j), kept)


def _inside(outline: Polygon, points: np.ndarray) -> np.ndarray:
    """Tell which points, shape (..., 2), lie in an outline [mm], quickly where it is an upright rectangle."""
    x, y = points[..., 0], points[..., 1]
    x0, y0, x1, y1 = outline.bounds
    framed = (x >= x0) & (x <= x1) & (y >= y0) & (y <= y1)
    if abs(outline.area - (x1 - x0) * (y1 - y0)) < 1e-9:
        return framed
    return framed & shapely.contains_xy(outline, x, y)


def domain(traced: Traced, row: RowPlace, outline: Polygon | None, joint: float) -> np.ndarray:
    """Return at each sample, shape (n,), the share of a row's width on the face and on its own side of the corners."""
    return _held(traced, row, outline, joint, traced.s, traced.xy, traced.normal)


def _held(traced: Traced, row: RowPlace, outline, joint: float, s, xy, normal) -> np.ndarray:
    """Return the share of a row's width that lies where it may at places along the guide."""
    offsets = np.linspace(row.left, row.right, ACROSS)
    points = xy[:, None] + offsets[None, :, None] * normal[:, None]
    held = np.ones(points.shape[:2], bool) if outline is None else _inside(outline, points)
    for corner in traced.corners:
        near = np.abs(s - corner.s) < corner.reach
        held &= ~near[:, None] | ((points - corner.point) @ corner.normal <= -joint / 2)
    return held.mean(axis=1)


def true_ends(
    traced: Traced, row: RowPlace, outline: Polygon | None, joint: float, run: Run
) -> list[tuple[float, float, bool]]:
    """Return the arc lengths where a run really begins and ends [mm], the share of its width there, and whether a
    corner ends it."""
    ends = []
    for at, ahead in ((run.begin, -1), (run.end, 1)):
        other, end, share = at + ahead, float(traced.s[at]), 1.0
        if 0 <= other < len(traced.s):
            between = 0.0, 1.0
            for _ in range(2 if traced.corners else 1):  # the face cuts its pieces anyway
                part = np.linspace(*between, FINER)[:, None]
                xy, normal, s = (
                    u[at] + part * (u[other] - u[at]) for u in (traced.xy, traced.normal, traced.s[:, None])
                )
                held = _held(traced, row, outline, joint, s[:, 0], xy, normal)
                last = int(np.flatnonzero(held > 0)[-1]) if (held > 0).any() else 0
                between = float(part[last, 0]), float(part[min(last + 1, FINER - 1), 0])
            end, share = float(s[last, 0]), float(held[last])
        ends.append((end, share, _at_corner(traced, row, outline, joint, end)))
    return ends


def _at_corner(traced: Traced, row: RowPlace, outline: Polygon | None, joint: float, s: float) -> bool:
    """Tell whether a row that ends at s [mm] is ended by a corner, not by the face."""
    near = any(abs(s - corner.s) < corner.reach for corner in traced.corners)
    if not near or outline is None:
        return near
    s = np.array([s])
    free = traced._replace(corners=())
    beyond = s + np.sign(s - (traced.part.s0 + traced.part.s1) / 2) * joint / 4
    return bool(_held(free, row, outline, joint, beyond, *traced.frame(beyond)[:2])[0] > 0)


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


def spans_of(row: RowPlace, traced: Traced, zone: np.ndarray, laid: np.ndarray, limits: JointLimits) -> list[Span]:
    """Return the stretches of a row by zone, in the order of travel, from which samples are laid, shape (n,)."""
    zone = np.where(laid, zone, "")
    edges = np.flatnonzero(zone[1:] != zone[:-1]) + 1
    begins, ends = np.append(0, edges), np.append(edges, len(zone) - 1)
    pairs = zip(begins.tolist(), ends.tolist(), strict=True)
    return [_span(row, traced, str(zone[b]), b, e, limits) for b, e in pairs if zone[b] and e > b]


def _span(row: RowPlace, traced: Traced, zone: str, begin: int, end: int, limits: JointLimits) -> Span:
    kappa = traced.curvature[begin : end + 1]
    tightest = float(kappa[np.argmax(np.abs(kappa))])
    # a bend to the left has its inside on the left
    away = row.left if tightest > 0 else -row.right
    radius = math.inf if abs(tightest) < 1e-9 else max(0.0, 1 / abs(tightest) + away)
    few = np.unique(np.linspace(begin, end, min(DRAWN, end - begin + 1)).astype(int))
    left = traced.xy[few] + row.left * traced.normal[few]
    right = traced.xy[few] + row.right * traced.normal[few]
    stretch = float(traced.s[begin]), float(traced.s[end])
    why = _span_words(zone, row, radius, limits)
    return Span(row.number, *stretch, zone, radius, why, np.concatenate([left, right[::-1]]))


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
