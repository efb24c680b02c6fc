"""Follow a guide with its rows: samples, corners, where a row lies on the face, and what can be laid there."""

__all__ = ["Corner", "Span", "Traced", "domain", "inside", "spans_of", "trace", "true_ends"]

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

import numpy as np
import shapely
from shapely import Polygon

from mosaiclib.layout.curve import Guide, Part
from mosaiclib.layout.described import span_words
from mosaiclib.layout.rowspec import Rules, Strip
from mosaiclib.layout.stations import ZONES, Sampled

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
