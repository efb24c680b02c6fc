"""Outlines of flat glass: circle, ellipse, arch, polygon with rounded corners, and holes in them; straight strokes follow a curve."""

__all__ = ["HEADS", "STROKE", "arch", "circle", "cornered", "ellipse", "pierced", "polygon", "read_outline"]

import math
from collections.abc import Sequence

import numpy as np
import shapely
from shapely import Polygon

from mosaiclib.errors import MosaicError, brief, choice, number, several, whole_number
from mosaiclib.units import mm

STROKE = 0.005  # [mm] the farthest that a straight stroke lies inside its curve; a nip cannot be held to that
MOST_POINTS = 20_000  # of an outline
LARGEST = 100_000  # [mm]
HEADS = ("round", "pointed")


def _length(value: object, name: str, zero: bool = False) -> float:
    return number(value, name, "mm", least=0, above=None if zero else 0, greatest=LARGEST)


def _arc(radius: float, begin: float, end: float) -> np.ndarray:
    """Return points along an arc about 0, 0 from an angle to another [radians], shape (n, 2) [mm]: r (1 - cos(step/2)) = STROKE."""
    step = 2 * math.acos(max(1 - STROKE / radius, 0.0))
    count = 2 * math.ceil(abs(end - begin) / step / 2)  # even, so that a point lies in the middle
    angles = np.linspace(begin, end, count + 1)
    return radius * np.column_stack([np.cos(angles), np.sin(angles)])


def circle(diameter: float, sides: int | None = None) -> Polygon:
    """Return a circle of a diameter [mm], its lower left at 0, 0; with `sides` the regular polygon whose corners lie on it.

    >>> round(circle(200).area / 100, 1), round(circle(200, 4).area, 6)
    (314.1, 20000.0)
    """
    return ellipse(diameter, diameter, sides)


def ellipse(width: float, height: float, sides: int | None = None) -> Polygon:
    """Return an ellipse of a width and height [mm], its lower left at 0, 0.

    >>> [round(side, 2) for side in ellipse(300, 200).bounds]
    [0.0, 0.0, 300.0, 200.0]
    """
    half = np.array([_length(width, "width"), _length(height, "height")]) / 2
    if sides is None:  # a multiple of four, so that it is as wide and as high as it says
        sides = 4 * (len(_arc(half.max() ** 2 / half.min(), 0, math.pi / 2)) - 1)
    count = whole_number(sides, "number of sides", least=3, greatest=MOST_POINTS)
    angles = 2 * math.pi * np.arange(count) / count
    return Polygon(half * (1 + np.column_stack([np.cos(angles), np.sin(angles)])).round(15))


def arch(width: float, height: float, rise: float, head: str = "round") -> Polygon:
    """Return a rectangle with a head on it: width w, height in all, and of that the rise h of the head [mm].

    A round head is one arc over the width, R = (w^2/4 + h^2)/(2 h), at most half a circle; a pointed one is two arcs that are
    upright where they begin, R = (w^2/4 + h^2)/w, higher than half the width.

    >>> arch(200, 300, 100).bounds, round(arch(200, 300, 100).area)
    ((0.0, 0.0, 200.0, 300.0), 55707)
    """
    w, high, h = _length(width, "width"), _length(height, "height"), _length(rise, "rise")
    if h > high:
        raise MosaicError("A head that rises ", mm(h), " does not go on glass ", mm(high), " high; make it lower.")
    if choice(head, "head of the arch", HEADS) == "round" and h > w / 2 + STROKE:
        raise MosaicError(
            *("A round head over ", mm(w), " rises at most half of that, ", mm(w / 2), ", not ", mm(h), "."),
            " Make it lower, or take a pointed head.",
        )
    if head == "pointed" and h <= w / 2:
        raise MosaicError(
            *("A pointed head over ", mm(w), " rises more than half of that, ", mm(w / 2), ", not ", mm(h), "."),
            " Make it higher, or take a round head.",
        )
    curve = _round_head(w, min(h, w / 2)) if head == "round" else _pointed_head(w, h)
    feet = [(0.0, 0.0), (w, 0.0)] if high > h else []
    return Polygon([*feet, *(curve + np.array([0.0, high - h]))])


def _round_head(w: float, h: float) -> np.ndarray:
    """Return the points of a round head from right to left, over 0, 0 to w, 0 [mm]."""
    R = (w**2 / 4 + h**2) / (2 * h)
    half = math.atan2(w / 2, R - h)
    points = _arc(R, math.pi / 2 - half, math.pi / 2 + half) + np.array([w / 2, h - R])
    points[[0, -1]] = (w, 0.0), (0.0, 0.0)
    return points


def _pointed_head(w: float, h: float) -> np.ndarray:
    """Return the points of a pointed head from right to left [mm]."""
    R = (w**2 / 4 + h**2) / w
    right = _arc(R, 0.0, math.atan2(h, R - w / 2)) + np.array([w - R, 0.0])
    right[-1] = w / 2, h
    return np.vstack([right, (right * [-1, 1] + np.array([w, 0.0]))[-2::-1]])


def polygon(points: Sequence, radius: float = 0.0) -> Polygon:
    """Return the outline through its corners, shape (n, 2), each rounded by a radius [mm].

    An arc touches both sides t = r/tan(a/2) from a corner of the angle a.

    >>> round(polygon([(0, 0), (100, 0), (100, 50), (0, 50)], 10).area)
    4914
    """
    corners = _read_points(points)
    r = _length(radius, "corner radius", zero=True)
    outline = _valid(Polygon(corners))
    if not r:
        return outline
    ring = np.array(shapely.orient_polygons(outline).exterior.coords)[:-1]
    before, after = np.roll(ring, 1, axis=0) - ring, np.roll(ring, -1, axis=0) - ring
    long = np.hypot(*after.T)
    u, v = before / np.roll(long, 1)[:, None], after / long[:, None]
    turn = np.arctan2(u[:, 1] * v[:, 0] - u[:, 0] * v[:, 1], -(u * v).sum(axis=1))  # exterior angle, left above 0
    t = r * np.tan(np.abs(turn) / 2)
    over = t + np.roll(t, -1) - long
    if (worst := int(np.argmax(over))) >= 0 and over[worst] > 1e-9:
        raise MosaicError(
            *("Corners of a radius of ", mm(r), " do not both go on the side of ", mm(round(long[worst], 1))),
            f" after point {worst + 1}; make the radius smaller.",
        )
    parts = [_rounded(*one, r) for one in zip(ring, u, v, t, turn, strict=True)]
    return _valid(Polygon(np.vstack(parts)))


def _rounded(corner, u, v, t: float, turn: float, r: float) -> np.ndarray:
    """Return the points of a corner's arc, from the side before along u to the side after along v."""
    if abs(turn) < 1e-9:
        return corner[None]
    begin, inward = corner + t * u, np.sign(turn) * np.array([u[1], -u[0]])
    centre = begin + r * inward
    start = math.atan2(*(begin - centre)[::-1])
    points = _arc(r, start, start + turn) + centre
    points[[0, -1]] = begin, corner + t * v
    return points


def _read_points(points: Sequence) -> np.ndarray:
    found = [several(point, "corner of the outline", 2) for point in several(points, "corners of the outline")]
    if not 3 <= len(found) <= MOST_POINTS:
        raise MosaicError(f"An outline has from 3 to {MOST_POINTS:,} corners; this one has {len(found)}.")
    return np.array([[number(one, "corner", "mm", least=-LARGEST, greatest=LARGEST) for one in each] for each in found])


def _valid(outline: Polygon) -> Polygon:
    if outline.is_empty or not outline.is_valid or outline.area < STROKE:
        raise MosaicError(
            "The outline of the glass crosses or touches itself, or holds nothing; move one of its points."
        )
    return outline


def pierced(outline: Polygon, holes: Sequence[Polygon]) -> Polygon:
    """Return an outline with holes, none of which may touch the edge or another [mm].

    >>> round(pierced(circle(100), [shapely.Point(50, 50).buffer(10)]).length)
    377
    """
    whole, cut = read_outline(outline), [_valid(Polygon(hole.exterior)) for hole in several(holes, "holes")]
    within = Polygon(whole.exterior)
    for k, hole in enumerate(cut, 1):
        if hole.area >= within.area:
            raise MosaicError(f"Hole {k} is larger than the glass; make it smaller.")
        if not within.contains_properly(hole):
            raise MosaicError(
                f"Hole {k} reaches the edge of the glass, or lies outside it; move it, or make it smaller."
            )
        if (other := next((n for n, one in enumerate(cut[: k - 1], 1) if one.intersects(hole)), 0)) > 0:
            raise MosaicError(f"Holes {other} and {k} touch each other; move one of them.")
    return Polygon(whole.exterior, [*whole.interiors, *(hole.exterior for hole in cut)]) if cut else whole


def cornered(outline: Polygon) -> Polygon:
    """Return an outline moved so that its lower left lies at 0, 0 [mm].

    >>> cornered(shapely.box(5, 5, 15, 10)).bounds
    (0.0, 0.0, 10.0, 5.0)
    """
    x, y = outline.bounds[:2]
    return shapely.transform(outline, lambda xy: xy - [x, y]) if x or y else outline


def read_outline(given: object) -> Polygon:
    """Return an outline as a Polygon, from one or from its points, with holes that stay clear of its edge [mm]."""
    if not isinstance(given, Polygon):
        if not isinstance(given, Sequence | np.ndarray) or isinstance(given, str):
            raise MosaicError(f"The outline of the glass must be a Polygon or its points, not {brief(given)}.")
        return polygon(given)
    if len(given.exterior.coords) > MOST_POINTS or not np.isfinite(given.bounds).all():
        raise MosaicError(f"An outline must have at most {MOST_POINTS:,} corners, each at a place that can be told.")
    if not given.interiors:
        return _valid(given)
    return pierced(_valid(Polygon(given.exterior)), [Polygon(ring) for ring in given.interiors])
