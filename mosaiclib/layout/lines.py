"""Ready-made lines and outlines, each by the measures a maker would give.

All are made about 0, 0, the middle of their frame (of ring, arc and spiral: their centre), then turned left about it by
`turned` [degrees] and moved to `x`, `y` [mm]. A closed one turns left, so that its outside is on the right of travel.
"""

__all__ = [
    "READY_MADE",
    "arc",
    "bow",
    "ellipse",
    "heart",
    "leaf",
    "outline_of",
    "polyline",
    "ring",
    "rounded_rectangle",
    "s_ribbon",
    "spiral",
    "star",
    "straight",
    "wave",
]

import math
from collections.abc import Sequence

import numpy as np
import shapely

from mosaiclib.errors import MosaicError, instance, number, several, whole_number
from mosaiclib.layout.bezier import elliptic_arc, guide_along, segment
from mosaiclib.layout.guide import Guide
from mosaiclib.units import mm

LEAST_ANGLE = 0.1  # [degrees] of an arc
LEAST_TOLERANCE = 1e-5  # [mm] of an outline
FLATTEST = 100.0  # an ellipse at most so many times as long as wide
SLIMMEST = 2.0  # a heart at most so many times as high as wide
SQUATTEST = 0.6


def straight(length: float, *, x: float = 0.0, y: float = 0.0, turned: float = 0.0) -> Guide:
    """Return a straight guide of a length [mm], from left to right."""
    half = _length(length, "length") / 2
    return _placed(Guide([(-half, 0.0), (half, 0.0)]), x, y, turned)


def arc(radius: float, degrees: float, *, x: float = 0.0, y: float = 0.0, turned: float = 0.0) -> Guide:
    """Return an arc about its centre that begins on its right [mm]: up to 350 degrees either way, above 0 to the left.

    A point every half degree keeps the curvature within 1e-4 of 1/radius.
    """
    radius = _length(radius, "radius")
    degrees = number(degrees, "angle of the arc", "degrees", least=-350, greatest=350)
    if abs(degrees) < LEAST_ANGLE:
        raise MosaicError(f"An arc needs an angle of at least 0.1 degrees either way, not {degrees:g}.")
    angles = np.linspace(0, math.radians(degrees), max(6, math.ceil(2 * abs(degrees))) + 1)
    return _placed(Guide(_circle(radius, angles)), x, y, turned)


def bow(width: float, rise: float, *, x: float = 0.0, y: float = 0.0, turned: float = 0.0) -> Guide:
    """Return an arc from left to right by its width between the ends and its rise [mm]; radius (w^2/4 + r^2)/(2 r).

    The rise is at most half the width, a half ring, and 0.05 % of the width or more. Curvature within 1e-4.
    """
    width, rise = _length(width, "width of the bow"), _length(rise, "rise of the bow")
    if not width / 2000 <= rise <= width / 2:
        limits = mm(width / 2000, width / 2)
        raise MosaicError("The rise of a bow ", mm(width), " wide must be from ", limits, "; it is ", mm(rise), ".")
    radius, half = (width**2 / 4 + rise**2) / (2 * rise), 2 * math.atan(2 * rise / width)
    points = _circle(radius, math.pi / 2 + np.linspace(half, -half, max(6, math.ceil(math.degrees(4 * half))) + 1))
    return _placed(Guide(points + np.array([0, rise / 2 - radius])), x, y, turned)


def ring(radius: float, *, x: float = 0.0, y: float = 0.0, turned: float = 0.0) -> Guide:
    """Return a closed ring of a radius [mm] about its centre, which begins on its right; curvature within 1e-4."""
    angles = np.linspace(0, 2 * math.pi, 360, endpoint=False)
    return _placed(Guide(_circle(_length(radius, "radius"), angles), closed=True), x, y, turned)


def ellipse(width: float, height: float, *, x: float = 0.0, y: float = 0.0, turned: float = 0.0) -> Guide:
    """Return a closed ellipse of a width and a height [mm], one at most 100 times the other; begins on its right.

    The guide stays within 1e-5 of the longer from the true ellipse: 0.01 mm up to 1 m.
    """
    a, b = _length(width, "width of the ellipse") / 2, _length(height, "height of the ellipse") / 2
    if max(a, b) > FLATTEST * min(a, b):
        raise MosaicError(
            "An ellipse may be up to 100 times as long as wide; ", mm(2 * a, 2 * b, between=" by "), " is more."
        )
    angles = np.linspace(0, 2 * math.pi, 720, endpoint=False)
    return _placed(Guide(_circle(1.0, angles) * [a, b], closed=True), x, y, turned)


def spiral(
    width: float, turns: float, *, inner: float = 0.0, x: float = 0.0, y: float = 0.0, turned: float = 0.0
) -> Guide:
    """Return an even spiral (of Archimedes) about its centre, 0.1 to 40 turns to the left and outwards.

    Its distance from the centre grows evenly from inner/2 to width/2 [mm], so neighbouring turns lie
    (width - inner)/(2 turns) apart. It begins on the right. Within 1e-5 of the width from the true spiral.
    """
    width, turns = _length(width, "width of the spiral"), number(turns, "number of turns", least=0.1, greatest=40)
    inner = number(inner, "inner width of the spiral", "mm", least=0)
    if inner >= width:
        raise MosaicError(
            "The inner width of a spiral must be less than its width; ", mm(inner, width, between=" and "), " are not."
        )
    u = np.linspace(0, 1, max(12, math.ceil(180 * turns)) + 1)
    points = _circle(1.0, 2 * math.pi * turns * u) * (inner + (width - inner) * u)[:, None] / 2
    return _placed(Guide(points), x, y, turned)


def s_ribbon(width: float, height: float, *, x: float = 0.0, y: float = 0.0, turned: float = 0.0) -> Guide:
    """Return an S [mm], half a sine wave from below on the left to above on the right, level at both ends."""
    w, h = _length(width, "width"), _length(height, "height")
    u = np.linspace(-0.5, 0.5, 33)
    return _placed(Guide(np.stack([w * u, h / 2 * np.sin(np.pi * u)], axis=1)), x, y, turned)


def wave(length: float, height: float, waves: int, *, x: float = 0.0, y: float = 0.0, turned: float = 0.0) -> Guide:
    """Return 1 to 100 sine waves from left to right that begin upwards; whole length, trough to crest [mm].

    Within 1e-4 of the height from the true sine, at its crests and troughs exact.
    """
    w, h = _length(length, "length"), _length(height, "height")
    waves = whole_number(waves, "number of waves", least=1, greatest=100)
    u = np.linspace(0, 1, 32 * waves + 1)
    return _placed(Guide(np.stack([w * (u - 0.5), h / 2 * np.sin(2 * np.pi * waves * u)], axis=1)), x, y, turned)


def leaf(length: float, width: float, *, x: float = 0.0, y: float = 0.0, turned: float = 0.0) -> Guide:
    """Return a closed leaf of two arcs, its tips left and right true corners; longer than wide [mm].

    It begins at the left tip with the lower side. Radius of its sides (l^2 + w^2)/(4 w), curvature within 1e-4.
    """
    length, width = _length(length, "length of the leaf"), _length(width, "width of the leaf")
    if width >= length:
        raise MosaicError("A leaf must be longer than wide; ", mm(length, width, between=" by "), " is not.")
    radius, half = (length**2 + width**2) / (4 * width), 2 * math.atan(width / length)
    count = max(9, math.ceil(math.degrees(4 * half)))
    lower = _circle(radius, np.linspace(-half, half, count + 1)[:-1] - math.pi / 2)
    lower[:, 1] += radius - width / 2
    return _placed(Guide(np.vstack([lower, -lower]), closed=True, corners=[0, count]), x, y, turned)


def heart(width: float, height: float, *, x: float = 0.0, y: float = 0.0, turned: float = 0.0) -> Guide:
    """Return a closed heart [mm]: an arc over each half, straight on to the tip; height 0.6 to 2 times the width.

    The arcs have the radius r = w/(2 + sqrt 2), as over a square on its tip, and meet in the notch r(1 - 1/sqrt 2) below
    the top. Tip and notch are true corners; it begins at the tip with the right side. Within 0.005 mm.
    """
    w, h = _length(width, "width of the heart"), _length(height, "height of the heart")
    if not SQUATTEST * w <= h <= SLIMMEST * w:
        limits = mm(SQUATTEST * w, SLIMMEST * w)
        raise MosaicError("The height of a heart ", mm(w), " wide must be from ", limits, "; it is ", mm(h), ".")
    r = w / (2 + math.sqrt(2))
    c, middle, tip = w / 2 - r, h / 2 - r, -h / 2  # of the arcs: across and up
    far = math.hypot(c, middle - tip)
    touch = math.atan2(tip - middle, -c) + math.acos(r / far) + 2 * math.pi  # where the straight meets the arc
    over = elliptic_arc((c, middle), (r, r), 0.0, touch, 2 * math.pi + 3 * math.pi / 4 - touch)
    right = np.vstack([segment((0.0, tip), over[0, 0]), over])
    left = right[::-1, ::-1] * [-1, 1]
    left[0, 0] = right[-1, 3] = (0.0, middle + c)
    return _placed(guide_along(np.vstack([right, left]), closed=True), x, y, turned)


def star(
    width: float, points: int = 5, *, inner: float | None = None, x: float = 0.0, y: float = 0.0, turned: float = 0.0
) -> Guide:
    """Return a closed star of 3 to 60 points, all its corners true ones, that begins at the tip on top.

    `width` and `inner` are the diameters of the circles through its tips and its inward corners [mm]. Without `inner`
    each side runs on straight in the next but one, which needs five points or more: cos(2 pi/n)/cos(pi/n) of the width.
    """
    width, n = _length(width, "width of the star"), whole_number(points, "number of points", least=3, greatest=60)
    if inner is None and n < 5:
        raise MosaicError(f"A star of {n} points needs the inner width as well.")
    inner = (
        width * math.cos(2 * math.pi / n) / math.cos(math.pi / n) if inner is None else _length(inner, "inner width")
    )
    if inner >= width * math.cos(math.pi / n):
        most = mm(width * math.cos(math.pi / n))
        raise MosaicError("The inner width of this star must be less than ", most, "; it is ", mm(inner), ".")
    found = _circle(0.5, math.pi / 2 + math.pi / n * np.arange(2 * n)) * np.tile([width, inner], n)[:, None]
    return _placed(Guide(found, closed=True, corners=range(2 * n)), x, y, turned)


def rounded_rectangle(
    width: float, height: float, radius: float = 0.0, *, x: float = 0.0, y: float = 0.0, turned: float = 0.0
) -> Guide:
    """Return a closed rectangle [mm] with corners rounded by a radius from 0, true corners, to half its shorter side.

    It begins at the lower left corner, or after it, with the lower side. Within 0.005 mm.
    """
    w, h = _length(width, "width of the rectangle"), _length(height, "height of the rectangle")
    r = number(radius, "corner radius", "mm", least=0, greatest=min(w, h) / 2)
    spots = np.array(
        [(-w / 2 + r, -h / 2 + r), (w / 2 - r, -h / 2 + r), (w / 2 - r, h / 2 - r), (-w / 2 + r, h / 2 - r)]
    )
    if r == 0:
        return _placed(Guide(spots, closed=True, corners=range(4)), x, y, turned)
    turns = [elliptic_arc(tuple(spot), (r, r), 0.0, (i + 2) * math.pi / 2, math.pi / 2) for i, spot in enumerate(spots)]
    sides = [segment(turns[i - 1][-1, 3], turns[i][0, 0]) for i in range(4)]
    path = np.vstack([cubics for i in (1, 2, 3, 4) for cubics in (sides[i % 4], turns[i % 4])])
    return _placed(guide_along(path, closed=True), x, y, turned)


def polyline(points: Sequence, *, closed: bool = False, x: float = 0.0, y: float = 0.0, turned: float = 0.0) -> Guide:
    """Return straight strokes from point to point, (n, 2) [mm], with a true corner at each; made about their own 0, 0."""
    found = Guide(points if isinstance(points, np.ndarray) else several(points, "points"), closed)
    corners = range(len(found.points)) if found.closed else range(1, len(found.points) - 1)
    return _placed(Guide(found.points, found.closed, corners), x, y, turned)


def outline_of(guide: Guide, tolerance: float = 0.01) -> shapely.Polygon:
    """Return the outline that a closed guide goes round, (n, 2) [mm], its straight strokes within `tolerance` [mm].

    >>> outline_of(star(100)).area < outline_of(ring(50)).area
    True
    """
    tolerance = number(tolerance, "tolerance", "mm", least=LEAST_TOLERANCE)
    if not instance(guide, Guide, "line round an outline").closed:
        raise MosaicError("Only a line that closes on itself is an outline; this one is open.")
    found = shapely.Polygon(np.vstack([_strokes(part.spline, tolerance) for part in guide.parts]))
    if not found.is_valid or found.area <= tolerance**2:
        raise MosaicError("This line crosses or touches itself, or holds nothing, so it is no outline.")
    return found


def _strokes(spline, tolerance: float) -> np.ndarray:
    """Return points along a spline but its last [mm]; a stroke over h leaves it by at most h^2/8 max|p''|."""
    h = np.diff(spline.x)
    bent = np.hypot(*spline(spline.x, 2).T)
    counts = np.maximum(1, np.ceil(h * np.sqrt(np.maximum(bent[:-1], bent[1:]) / (8 * tolerance)))).astype(int)
    which = np.repeat(np.arange(len(h)), counts)
    share = (np.arange(len(which)) - np.repeat(np.cumsum(counts) - counts, counts)) / counts[which]
    return spline(spline.x[which] + h[which] * share)


def _length(value: object, name: str) -> float:
    return number(value, name, "mm", above=0)


def _placed(made: Guide, x: float, y: float, turned: float) -> Guide:
    """Return a guide turned left about the origin [degrees], then moved [mm]."""
    spot = np.array([number(x, "x", "mm"), number(y, "y", "mm")])
    angle = math.radians(number(turned, "angle turned by", "degrees"))
    if not angle and not spot.any():
        return made
    cos, sin = math.cos(angle), math.sin(angle)
    return Guide(made.points @ np.array([[cos, sin], [-sin, cos]]) + spot, made.closed, made.corners)


def _circle(radius: float, angles: np.ndarray) -> np.ndarray:
    return radius * np.stack([np.cos(angles), np.sin(angles)], axis=1)


READY_MADE = {  # by name, as a plan file calls them; a polyline has points instead of measures
    line.__name__: line
    for line in (arc, bow, ellipse, heart, leaf, ring, rounded_rectangle, s_ribbon, spiral, star, straight, wave)
}
