"""Stretches of a row along its guide: where it lies on the face, what can be laid there, and what the maker is told of it."""

__all__ = [
    "ZONES",
    "Corner",
    "Run",
    "Sampled",
    "Span",
    "Traced",
    "domain",
    "inside",
    "piece_words",
    "runs_of",
    "span_words",
    "spans_of",
    "stations",
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
from shapely import Polygon

from mosaiclib.layout.guide import Guide, Part
from mosaiclib.layout.rowspec import Rules, Strip

ZONES = ("leave whole", "wedge", "fan", "seam")
WHOLE, WEDGE, FAN, SEAM = range(4)
VANISHED = 0.04  # speed of an offset under which there is no row
SAFE = 0.9  # share of the slack that is used, so that rounding never leaves the limits
LEAST_SHARE = 0.7  # a piece is not made narrower than this share of its tile to keep its edge near the curve
SHARERS = 4  # pieces at the end of a row that share what is left over


class Sampled(NamedTuple):
    """Even samples of one smooth part of a guide.

    Parameters
    ----------
    s : array, shape (n,)
        Arc length [mm]; may run past the part's ends on its tangents.
    xy, normal : array, shape (n, 2)
        Points [mm] and unit normals to the right.
    curvature : array, shape (n,)
        Above 0 where travel turns left [1/mm].
    """

    s: np.ndarray
    xy: np.ndarray
    normal: np.ndarray
    curvature: np.ndarray


@dataclass(frozen=True)
class Run:
    """A stretch of one row that is laid in one go.

    Parameters
    ----------
    begin, end : int
        First and last sample.
    ring : bool
        Whether it closes on itself.
    """

    begin: int
    end: int
    ring: bool = False


def zones(strip: Strip, curvature: np.ndarray, rules: Rules) -> tuple[np.ndarray, np.ndarray]:
    """Tell for every sample what can be laid there and how many pieces a millimetre takes.

    The wider edge of the row rules: pieces per mm = speed/(width + joint), taken on the centre line where
    tiles stay whole. Where a straight edge would leave the curve too far, pieces are taken narrower.

    Parameters
    ----------
    strip : Strip
        The row.
    curvature : array, shape (n,)
        Of the guide [1/mm].
    rules : Rules
        Joint and limits.

    Returns
    -------
    zone : array of int, shape (n,)
        Index into `ZONES`.
    density : array, shape (n,)
        Pieces per mm of guide.
    """
    left, right = 1 + curvature * strip.left, 1 + curvature * strip.right
    wide, narrow = np.maximum(left, right), np.minimum(left, right)
    width, joint = strip.spec.width, rules.joint
    bent = np.abs(curvature) * strip.spec.height / 2 * (width + joint)
    middle = (wide + narrow) / 2
    whole = (bent <= 2 * SAFE * rules.slack * middle) & (middle > VANISHED)
    # how wide a straight edge may be before its sag eats the slack: w^2/(8 R) <= slack
    with np.errstate(divide="ignore"):
        radius = np.where(curvature != 0, wide / np.abs(curvature), np.inf)
    kept = np.clip(np.sqrt(16 * np.maximum(radius, 0) * max(rules.slack, 0.05)), LEAST_SHARE * width, width)
    kept = np.where(whole, width, kept)
    end = (kept + joint) * narrow / np.maximum(wide, VANISHED) - joint
    zone = np.where(whole, WHOLE, np.where(end >= strip.narrow_end, WEDGE, FAN))
    zone = np.where(wide <= VANISHED, SEAM, zone)
    speed = np.where(whole, middle, wide)
    return zone, np.where(zone == SEAM, 0.0, np.maximum(speed, 0.0) / (kept + joint))


def runs_of(laid: np.ndarray, closed: bool) -> list[Run]:
    """Return the stretches of samples where a row is laid.

    Parameters
    ----------
    laid : array of bool, shape (n,)
        Whether the row is laid at a sample.
    closed : bool
        Whether the last sample meets the first.

    Returns
    -------
    list of Run
        Stretches of two samples or more.

    Examples
    --------
    >>> runs_of(np.array([True, True, False, True, True, True]), False)
    [Run(begin=0, end=1, ring=False), Run(begin=3, end=5, ring=False)]
    """
    if laid.all() and closed:
        return [Run(0, len(laid) - 1, True)]
    steps = np.diff(np.concatenate([[0], laid.astype(np.int8), [0]]))
    begins, ends = np.flatnonzero(steps == 1), np.flatnonzero(steps == -1) - 1
    return [Run(int(b), int(e)) for b, e in zip(begins, ends, strict=True) if e > b]


def stations(
    strip: Strip,
    s: np.ndarray,
    zone: np.ndarray,
    density: np.ndarray,
    rules: Rules,
    ring: bool,
    stagger: bool,
) -> np.ndarray:
    """Return the arc lengths where the joints of a run stand, its two ends included.

    Parameters
    ----------
    strip : Strip
        The row.
    s, zone, density : array, shape (n,)
        Samples of the run.
    rules : Rules
        Joint and limits.
    ring : bool
        Whether the run closes on itself.
    stagger : bool
        Whether it begins half a piece out of step.

    Returns
    -------
    array, shape (pieces + 1,)
        Arc lengths along the guide [mm], rising; empty where not even a narrow piece fits.
    """
    step = np.diff(s)
    units = np.concatenate([[0.0], np.cumsum((density[1:] + density[:-1]) / 2 * step)])
    pitch = strip.spec.width + rules.joint
    spare = 0.0 if ring else rules.joint / pitch
    total = units[-1] + spare
    if total < (strip.narrow_end + rules.joint) / pitch:
        return np.zeros(0)
    shares = _shares(strip, total, units, zone, rules, ring, stagger)
    marks = np.concatenate([[0.0], np.cumsum(shares)]) * units[-1] / max(shares.sum(), 1e-12)
    if not ring:
        # the first and last piece lack half a joint, which stands outside the run
        marks = np.cumsum(shares)[:-1] - spare / 2
        marks = np.concatenate([[0.0], marks, [units[-1]]])
    elif stagger:
        marks = marks + 0.5 * marks[1]
    return _inverted(marks, units, s, ring)


def _inverted(marks: np.ndarray, units: np.ndarray, s: np.ndarray, ring: bool) -> np.ndarray:
    """Return the arc lengths of piece counts; a ring goes on past its end."""
    if not ring:
        return np.interp(marks, units, s)
    turn = np.floor(marks / units[-1])
    return np.interp(marks - turn * units[-1], units, s) + turn * (s[-1] - s[0])


def _shares(
    strip: Strip, total: float, units: np.ndarray, zone: np.ndarray, rules: Rules, ring: bool, stagger: bool
) -> np.ndarray:
    """Return how much of a full pitch each piece of a run takes, adding up to `total`."""
    pitch = strip.spec.width + rules.joint
    half = (strip.spec.width / 2 + rules.joint) / pitch
    shifted = stagger and not ring and total > 2.5 and strip.spec.width / 2 >= strip.narrow_end
    first = half if shifted else 1.0
    count = max(1, int(np.ceil(total - first - 1e-9)) + 1)
    shares = np.full(count, 1.0)
    shares[0] = first
    over = shares.sum() - total
    if over <= 1e-12:
        return shares
    middles = np.cumsum(shares) - shares / 2
    whole = zone[np.searchsorted(units, np.minimum(middles, units[-1]), side="right").clip(1) - 1] == WHOLE
    whole[0], whole[-1] = whole[0] and ring, whole[-1] and ring
    return _absorbed(shares, over, whole, 2 * SAFE * rules.slack / pitch, ring, pitch, strip)


def _absorbed(shares, over, whole, play, ring, pitch, strip) -> np.ndarray:
    """Take what a run is too long by out of its pieces, never leaving a sliver.

    First the joints between whole tiles give way within their limits, closing or, with one piece fewer,
    opening; then wedges are cut narrower, all alike; then the last few pieces share it.
    """
    count = len(shares)
    if whole.sum() * play >= over:
        return shares - np.where(whole, over / max(whole.sum(), 1), 0.0)
    missing = shares[-1] - over
    if count > 2 and 0 <= missing <= whole[:-1].sum() * play:
        return shares[:-1] + np.where(whole[:-1], missing / whole[:-1].sum(), 0.0)
    cut = ~whole
    cut[0] = cut[0] and (ring or shares[0] == 1.0)
    most = 1 - (strip.narrow_end + (pitch - strip.spec.width)) / pitch
    if cut.sum() >= SHARERS and over / cut.sum() <= 0.5 * most:
        return shares - np.where(cut, over / cut.sum(), 0.0)
    last = np.zeros(count, bool)
    last[max(0, count - SHARERS) :] = True
    if count > 1 and shares[0] < 1:
        last[0] = False
    return shares - np.where(last, over / last.sum(), 0.0)


FINEST = 8.0  # samples to a piece's width
SHARPEST = 150.0  # [degrees] a sharper corner is not mitred; its rows end square
DRAWN = 24  # points along a span's outline
FINER = 26  # places looked at between two samples to find where a row ends


@dataclass(frozen=True)
class Span:
    """A stretch of one row, and what can be laid there.

    Parameters
    ----------
    row : int
        Number of the row, left to right of travel.
    begin, end : float
        Arc lengths along the guide [mm].
    zone : str
        "leave whole", "wedge", "fan" or "seam".
    radius : float
        Least radius of the row's inside edge there, infinite where straight, 0 where it has none [mm].
    why : str
        One sentence for the maker.
    ring : array, shape (n, 2)
        Points round the stretch [mm].
    """

    row: int
    begin: float
    end: float
    zone: str
    radius: float
    why: str
    ring: np.ndarray = field(repr=False, compare=False)

    @cached_property
    def shape(self) -> Polygon:
        """The stretch as an area [mm]; it may cross itself in a seam."""
        return Polygon(self.ring)

    @property
    def reported(self) -> bool:
        """Whether joints may leave their limits here."""
        return self.zone in ("fan", "seam")


class Corner(NamedTuple):
    """A true corner at one end of a part.

    Parameters
    ----------
    s : float
        Arc length [mm].
    point : array, shape (2,)
        Where it is [mm].
    normal : array, shape (2,)
        Unit normal of the bisector, pointing away from the part.
    reach : float
        How far along the part rows may be cut by the bisector [mm].
    """

    s: float
    point: np.ndarray
    normal: np.ndarray
    reach: float


class Traced(NamedTuple):
    """A smooth part with its samples and corners."""

    part: Part
    sampled: Sampled
    corners: tuple[Corner, ...]


def trace(guide: Guide, strips: Sequence[Strip], outline: Polygon | None) -> list[Traced]:
    """Sample every smooth part of a guide.

    Parameters
    ----------
    guide : Guide
        The drawn line.
    strips : sequence of Strip
        The rows.
    outline : Polygon, optional
        The face; a free end on its edge or outside runs on along its tangent [mm].

    Returns
    -------
    list of Traced
        One a part.
    """
    deep = max(max(abs(strip.left), abs(strip.right)) for strip in strips)
    wide = max(strip.spec.width for strip in strips)
    step = min(strip.spec.width for strip in strips) / FINEST
    inner = None if outline is None else shapely.buffer(outline, -1e-6)
    return [_traced(guide, index, part, deep, wide, step, inner) for index, part in enumerate(guide.parts)]


def _traced(guide: Guide, index: int, part: Part, deep: float, wide: float, step: float, inner) -> Traced:
    """Sample one part, with tangents past its ends where rows run on or are mitred."""
    more, corners = [0.0, 0.0], []
    for side, s in enumerate(() if part.closed else (part.s0, part.s1)):
        mitre = _mitre(guide, index, side)
        if mitre is not None:
            point, normal, factor = mitre
            more[side] = factor * deep + wide if factor else 0.0
            if factor:
                corners.append(Corner(s, point, normal, 2 * more[side]))
        elif inner is not None and not inside(inner, part.at(np.array([s])))[0]:
            more[side] = deep + wide
    count = max(9, int((part.s1 - part.s0 + sum(more)) / step) + 2)
    s = np.linspace(part.s0 - more[0], part.s1 + more[1], count)
    return Traced(part, Sampled(s, *part.frame(s)), tuple(corners))


def _mitre(guide: Guide, index: int, side: int):
    """Return point, normal and factor (tangent of half the turning) of the corner at a part's end.

    None for a free end; a factor of 0 where the corner is too sharp to be mitred.
    """
    parts = guide.parts
    other = index + (1 if side else -1)
    if not guide.closed and not 0 <= other < len(parts):
        return None
    before, after = (parts[index], parts[other % len(parts)]) if side else (parts[other % len(parts)], parts[index])
    incoming, outgoing = before.tangent(np.array([before.s1]))[0], after.tangent(np.array([after.s0]))[0]
    turn = np.degrees(np.arccos(np.clip(incoming @ outgoing, -1, 1)))
    point = before.at(np.array([before.s1]))[0]
    if turn > SHARPEST:
        return point, incoming, 0.0
    normal = (incoming + outgoing) / np.linalg.norm(incoming + outgoing) * (1 if side else -1)
    return point, normal, max(float(np.tan(np.radians(turn) / 2)), 1e-6)


def inside(outline: Polygon, points: np.ndarray) -> np.ndarray:
    """Tell which points lie in an outline, quickly where it is an upright rectangle.

    Parameters
    ----------
    outline : Polygon
        The outline [mm].
    points : array, shape (..., 2)
        Points [mm].

    Returns
    -------
    array of bool, shape (...)
        Whether each lies in it.
    """
    x, y = points[..., 0], points[..., 1]
    x0, y0, x1, y1 = outline.bounds
    framed = (x >= x0) & (x <= x1) & (y >= y0) & (y <= y1)
    if abs(outline.area - (x1 - x0) * (y1 - y0)) < 1e-9:
        return framed
    return framed & shapely.contains_xy(outline, x, y)


def domain(traced: Traced, strip: Strip, outline: Polygon | None, rules: Rules) -> np.ndarray:
    """Tell at which samples any of a row's width lies on the face and on its own side of the corners.

    Parameters
    ----------
    traced : Traced
        A part with its samples, n of them.
    strip : Strip
        The row.
    outline : Polygon, optional
        The face [mm].
    rules : Rules
        Joint and limits.

    Returns
    -------
    array of bool, shape (n,)
        Where the row is.
    """
    return _held(traced, strip, outline, rules, traced.sampled.s, traced.sampled.xy, traced.sampled.normal)


def _held(traced: Traced, strip: Strip, outline, rules: Rules, s, xy, normal) -> np.ndarray:
    """Tell at which places along the guide any of a row's width lies where it may."""
    offsets = np.array([strip.left, strip.middle, strip.right])
    points = xy[:, None] + offsets[None, :, None] * normal[:, None]
    held = np.ones(points.shape[:2], bool) if outline is None else inside(outline, points)
    for corner in traced.corners:
        near = np.abs(s - corner.s) < corner.reach
        held &= ~near[:, None] | ((points - corner.point) @ corner.normal <= -rules.joint / 2)
    return held.any(axis=1)


def true_ends(traced: Traced, strip: Strip, outline: Polygon | None, rules: Rules, begin: int, end: int):
    """Return where a run between two samples really begins and ends, a little past its samples.

    Parameters
    ----------
    traced, strip, outline, rules : see `domain`
        As for `domain`.
    begin, end : int
        First and last sample of the run.

    Returns
    -------
    tuple of float
        Arc lengths [mm].
    """
    sampled = traced.sampled
    found = []
    for at, ahead in ((begin, -1), (end, 1)):
        other = at + ahead
        if not 0 <= other < len(sampled.s):
            found.append(float(sampled.s[at]))
            continue
        share = np.linspace(0, 1, FINER)[:, None]
        xy = sampled.xy[at] + share * (sampled.xy[other] - sampled.xy[at])
        normal = sampled.normal[at] + share * (sampled.normal[other] - sampled.normal[at])
        s = sampled.s[at] + share[:, 0] * (sampled.s[other] - sampled.s[at])
        held = _held(traced, strip, outline, rules, s, xy, normal)
        found.append(float(s[np.flatnonzero(held)[-1]]) if held.any() else float(sampled.s[at]))
    return found[0], found[1]


def spans_of(strip: Strip, sampled: Sampled, zone: np.ndarray, laid: np.ndarray, rules: Rules) -> list[Span]:
    """Return the stretches of a row by what can be laid there.

    Parameters
    ----------
    strip : Strip
        The row.
    sampled : Sampled
        Samples of the part, n of them.
    zone : array of int, shape (n,)
        Index into `ZONES`.
    laid : array of bool, shape (n,)
        Where the row is on the face.
    rules : Rules
        Joint and limits.

    Returns
    -------
    list of Span
        In the order of travel.
    """
    coded = np.where(laid, zone, -1)
    edges = np.flatnonzero(np.diff(coded)) + 1
    begins, ends = np.append(0, edges), np.append(edges, len(coded) - 1)
    pairs = zip(begins.tolist(), ends.tolist(), strict=True)
    return [_span(strip, sampled, int(coded[b]), b, e, rules) for b, e in pairs if coded[b] >= 0 and e > b]


def _span(strip: Strip, sampled: Sampled, zone: int, begin: int, end: int, rules: Rules) -> Span:
    kappa = sampled.curvature[begin : end + 1]
    tightest = float(kappa[np.argmax(np.abs(kappa))])
    # a bend to the left has its inside on the left
    away = strip.left if tightest > 0 else -strip.right
    radius = np.inf if abs(tightest) < 1e-9 else max(0.0, 1 / abs(tightest) + away)
    few = np.unique(np.linspace(begin, end, min(DRAWN, end - begin + 1)).astype(int))
    left = sampled.xy[few] + strip.left * sampled.normal[few]
    right = sampled.xy[few] + strip.right * sampled.normal[few]
    ring = np.concatenate([left, right[::-1]])
    stretch = float(sampled.s[begin]), float(sampled.s[end])
    return Span(strip.number, *stretch, ZONES[zone], radius, span_words(ZONES[zone], strip, radius, rules), ring)


CHANGED = {
    "face": "cut: at the edge of the glass",
    "corner": "corner: cut on the bisector of the corner",
    "apart": "cut: back from a row that it would meet",
    "shared": "cut: it shares what is left over, so that no sliver remains",
}


def span_words(zone: str, strip: Strip, radius: float, rules: Rules) -> str:
    """Say what can be laid on a stretch of a row.

    Parameters
    ----------
    zone : str
        One of the zones.
    strip : Strip
        The row.
    radius : float
        Least inside radius [mm].
    rules : Rules
        Joint and limits.

    Returns
    -------
    str
        A sentence.
    """
    bend = "straight" if math.isinf(radius) else f"inside radius {radius:.0f} mm"
    if zone == "leave whole":
        return f"Row {strip.number}, {bend}: tiles stay whole, joints keep {rules.least:g} to {rules.greatest:g} mm."
    if zone == "wedge":
        return f"Row {strip.number}, {bend}: left whole, joints would open in a V; cut wedges."
    if zone == "fan":
        return (
            f"Row {strip.number}, {bend}: a wedge would be narrower than {strip.narrow_end:.1f} mm; "
            "cut a fan of points, or take smaller pieces here."
        )
    return f"Row {strip.number}: the bend is tighter than the row is wide; no row fits, leave it to the hand."


def piece_words(
    kind: list[str],
    touched: np.ndarray,
    wide: np.ndarray,
    narrow: np.ndarray,
    inside: np.ndarray,
    sag: np.ndarray,
) -> list[str]:
    """Say for each piece why it is as it is.

    Parameters
    ----------
    kind : list of str, length n
        Kinds of the pieces.
    touched : array of str, shape (n,)
        What changed it after it was laid, empty for nothing.
    wide, narrow : array, shape (n,)
        Widths of its ends [mm].
    inside : array, shape (n,)
        The narrowest joint if it and its neighbours were left whole [mm].
    sag : array, shape (n,)
        How far its straight edge leaves the curve [mm].

    Returns
    -------
    list of str
        One sentence a piece.
    """
    numbers = zip(kind, touched.tolist(), wide.tolist(), narrow.tolist(), inside.tolist(), sag.tolist(), strict=True)
    return [_words(*numbers_of) for numbers_of in numbers]


def _words(kind: str, touched: str, wide: float, narrow: float, inside: float, sag: float) -> str:
    if touched:
        return CHANGED[touched]
    if kind == "whole":
        return f"whole: its narrowest joint is {inside:.1f} mm"
    if kind == "fan":
        return f"fan: from {wide:.1f} to {narrow:.1f} mm; a wedge would run to a point here"
    if kind == "wedge":
        left = f"{inside:.1f} mm" if inside > 0 else "none at all"
        bow = f"; its edge lies up to {sag:.1f} mm off the curve" if sag >= 0.1 else ""
        return f"wedge: {wide:.1f} to {narrow:.1f} mm; left whole, its inside joint would be {left}{bow}"
    return f"cut: {wide:.1f} mm wide, so that the row comes out even"
