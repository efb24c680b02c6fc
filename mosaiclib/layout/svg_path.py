"""SVG path data as cubic Béziers, every command of the W3C recommendation, and back into data.

A stroke is what the pen draws without being lifted: cubics, (n, 4, 2), each beginning where the one before ends.
"""

__all__ = ["Stroke", "data_of", "frame_of", "guide_of", "length_of", "outline_of_stroke", "placed", "strokes_of"]

import math
import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
import shapely
from svg.path import Arc, Close, CubicBezier, Move, QuadraticBezier, parse_path

from mosaiclib.errors import MosaicError, brief
from mosaiclib.layout.bezier import elliptic_arc, flattened, guide_along, quadratic, segment
from mosaiclib.layout.guide import Guide

NUMBER = r"[-+]?(?>[0-9]++(?:\.[0-9]*+)?+|\.[0-9]++)(?>[eE][-+]?[0-9]++)?+"  # atomic: time grows with length alone
SPACE = r"[ \t\r\n\f]*+"
AFTER = rf"{SPACE},?+{SPACE}"
ARGUMENTS = {
    "MLT": NUMBER + AFTER + NUMBER,
    "HV": NUMBER,
    "C": AFTER.join([NUMBER] * 6),
    "SQ": AFTER.join([NUMBER] * 4),
}
ARGUMENTS["A"] = AFTER.join([f"(?!-){NUMBER}"] * 2 + [NUMBER, "[01]", "[01]", NUMBER, NUMBER])
COMMANDS = [f"[{c}{c.lower()}]{SPACE}(?>(?:{numbers}){AFTER})++" for c, numbers in ARGUMENTS.items()]
DATA = re.compile(rf"{SPACE}(?>(?:{'|'.join(COMMANDS)}|[Zz]{SPACE}))*+")
MOST_DATA = 300_000  # letters: half a second
FAR = 1e7  # greatest number of units
CLOSES = 1e-4  # of its size: an end so near to the beginning closes the stroke
GAUSS = np.polynomial.legendre.leggauss(24)


class Stroke(NamedTuple):
    """Cubics, (n, 4, 2), and whether they close on themselves."""

    path: np.ndarray
    closed: bool


def strokes_of(data: str) -> list[Stroke]:
    """Return the strokes of path data in its own units, y as it is given.

    >>> [(len(path), closed) for path, closed in strokes_of("M 0 0 H 10 v 5 z m 20 0 q 5 5 10 0")]
    [(3, True), (1, False)]
    """
    found: list[Stroke] = []
    run: list[np.ndarray] = []
    for part in [*_parsed(data), Move(0)]:
        if isinstance(part, Move):
            found += _stroke(run, closed=False)
            run = []
        else:
            run += _cubics(part)
        if isinstance(part, Close):
            found += _stroke(run, closed=True)
            run = []
    if any(np.abs(one.path).max() > FAR for one in found):
        raise MosaicError(f"It reaches further than {FAR:g} units.")
    return found


def _parsed(data: str) -> Sequence:
    """Return the commands, or say where data goes wrong; what the library would pass over in silence is refused here."""
    if len(data) > MOST_DATA:
        raise MosaicError(
            f"Its data is {len(data)} letters long; at most {MOST_DATA} are read. Draw with fewer points."
        )
    if rest := data[DATA.match(data).end() :]:
        raise MosaicError(f"Its data cannot be read from {brief(rest[:20])} on.")
    if data.strip()[:1] not in ("M", "m"):
        raise MosaicError(f"Its data must begin with M, where the pen is set down, not with {brief(data[:20])}.")
    if max((abs(float(one)) for one in re.findall(NUMBER, data)), default=0) > FAR:
        raise MosaicError(f"Its data holds a number over {FAR:g}.")
    try:
        return list(parse_path(data))
    except (ValueError, ArithmeticError):  # an arc with a radius such as 1e-200
        raise MosaicError("Its data holds an arc whose radius is far too small.") from None


def _cubics(part: object) -> Iterator[np.ndarray]:
    """Return the cubics of one command."""
    a, b = _xy(part.start), _xy(part.end)
    if isinstance(part, CubicBezier):
        yield np.array([[a, _xy(part.control1), _xy(part.control2), b]])
    elif isinstance(part, QuadraticBezier):
        yield quadratic(a, _xy(part.control), b)
    elif isinstance(part, Arc) and part.start != part.end and part.radius.real and part.radius.imag:
        turns = (math.radians(angle) for angle in (part.rotation, part.theta, part.delta))
        arc = elliptic_arc(_xy(part.center), _xy(part.radius * part.radius_scale), *turns)
        arc[0, 0], arc[-1, 3] = a, b
        yield arc
    elif part.start != part.end:  # also an arc without a radius, which the recommendation draws straight
        yield segment(a, b)


def _xy(place: complex) -> tuple[float, float]:
    return place.real, place.imag


def _stroke(run: list[np.ndarray], closed: bool) -> list[Stroke]:
    if not run:
        return []
    path = np.concatenate(run)
    if not np.isfinite(path).all():
        raise MosaicError("Its data holds an arc whose radius is far too small.")
    apart = np.abs(path[-1, 3] - path[0, 0]).max()
    return [Stroke(path, closed or bool(len(path) > 1 and apart <= CLOSES * np.ptp(path.reshape(-1, 2), axis=0).max()))]


def data_of(stroke: Stroke) -> str:
    """Return a stroke as path data, to 0.0001 unit.

    >>> data_of(*strokes_of("m 1 2 h 3"))
    'M1,2 C2,2 3,2 4,2'
    """
    pairs = [",".join(f"{round(float(v), 4) + 0.0:.10g}" for v in point) for point in stroke.path[:, 1:].reshape(-1, 2)]
    first = ",".join(f"{round(float(v), 4) + 0.0:.10g}" for v in stroke.path[0, 0])
    return f"M{first} C{' '.join(pairs)}{' Z' if stroke.closed else ''}"


def frame_of(path: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return the least and greatest x, y of cubics, (2,) each: at their ends or where their derivative is 0."""
    p0, p1, p2, p3 = (path[:, i] for i in range(4))
    a, b, c = p3 - 3 * p2 + 3 * p1 - p0, 2 * (p2 - 2 * p1 + p0), p1 - p0
    with np.errstate(all="ignore"):  # where there is no root, what comes out is left out
        q = -(b + np.copysign(np.sqrt(b * b - 4 * a * c), b)) / 2
        roots = np.stack([q / a, c / q])
    t = np.where((roots > 0) & (roots < 1), roots, 0.0)
    turns = (1 - t) ** 3 * p0 + 3 * (1 - t) ** 2 * t * p1 + 3 * (1 - t) * t**2 * p2 + t**3 * p3
    seen = np.concatenate([path[:, [0, 3]].reshape(-1, 2), turns.reshape(-1, 2)])
    return seen.min(axis=0), seen.max(axis=0)


def placed(
    stroke: Stroke, scale: float, turned: float, place: Sequence[float], about: Sequence[float] = (0.0, 0.0)
) -> Stroke:
    """Return a stroke scaled about a point, turned left [degrees], with that point put in a place.

    >>> data_of(placed(*strokes_of("m 1 0 h 3"), 2, 90, (10, 0)))
    'M10,2 C10,4 10,6 10,8'
    """
    c, d = (scale * of(math.radians(turned)) for of in (math.cos, math.sin))
    return Stroke((stroke.path - np.array(about)) @ np.array([[c, d], [-d, c]]) + np.array(place), stroke.closed)


def length_of(path: np.ndarray) -> float:
    """Return the length along cubics, by Gauss's rule."""
    t = (1 + GAUSS[0])[:, None, None] / 2
    d = 3 * np.diff(path, axis=1)
    pace = np.linalg.norm((1 - t) ** 2 * d[:, 0] + 2 * t * (1 - t) * d[:, 1] + t**2 * d[:, 2], axis=2)
    return float((GAUSS[1] @ pace).sum() / 2)


def guide_of(stroke: Stroke, tolerance: float) -> Guide:
    """Return the guide that stays within `tolerance` of a stroke [mm]; a closed one is made to turn left."""
    path = stroke.path
    if stroke.closed:
        path = _joined(path)
        ring = flattened(path, max(tolerance, 1e-3))
        if not shapely.LinearRing(ring).is_ccw:
            path = path[::-1, ::-1]
    return guide_along(path, stroke.closed, tolerance)


def outline_of_stroke(stroke: Stroke, tolerance: float) -> shapely.Polygon:
    """Return the outline that a closed stroke goes round, its straight edges within `tolerance` [mm]."""
    if not stroke.closed:
        raise MosaicError("It is open; only a line that closes on itself is an outline.")
    found = shapely.Polygon(flattened(_joined(stroke.path), tolerance))
    if not found.is_valid or found.area <= tolerance**2:
        raise MosaicError("It crosses or touches itself, or holds nothing, so it is no outline.")
    return found


def _joined(path: np.ndarray) -> np.ndarray:
    """Return a closed path whose end is exactly its beginning."""
    path = path.copy()
    path[-1, 3] = path[0, 0]
    return path
