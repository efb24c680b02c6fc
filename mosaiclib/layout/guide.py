"""The guide line: a smooth curve through points, its arc length, normals and curvature, and its parts between true corners."""

__all__ = ["Guide", "Part", "Table", "arc", "leaf", "ring", "s_ribbon", "straight", "wave"]

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

import numpy as np
import shapely
from scipy.interpolate import CubicSpline, make_splprep

from mosaiclib.errors import MosaicError, number, several, whole_number

LONGEST = 100_000.0  # [mm]
MOST_POINTS = 10_000
STALLED = 1e-3  # speed along the chord, under which the curve doubles back
LEAST_STEPS = 96  # least entries of an arc-length table
NODES, WEIGHTS = np.polynomial.legendre.leggauss(5)
NODES, WEIGHTS = (1 + NODES) / 2, WEIGHTS / 2


class Table(NamedTuple):
    """Evenly spaced samples of a part: s [mm], xy (n, 2) [mm], normal (n, 2), curvature [1/mm]."""

    s: np.ndarray
    xy: np.ndarray
    normal: np.ndarray
    curvature: np.ndarray


@dataclass(frozen=True, eq=False)
class Part:
    """A smooth part of a guide, and its straight continuation past both ends; `Guide` makes them.

    Parameters
    ----------
    spline : CubicSpline
        Position over a parameter near arc length [mm].
    s0 : float
        Station where it begins [mm].
    closed : bool
        Whether it is a smooth ring; then s wraps round and nothing goes on straight.
    """

    spline: CubicSpline
    s0: float
    closed: bool
    _t: np.ndarray = field(init=False, repr=False)
    _reach: np.ndarray = field(init=False, repr=False)
    _pace: np.ndarray = field(init=False, repr=False)

    def __post_init__(self) -> None:
        knots, spans = self.spline.x, len(self.spline.x) - 1
        fine = max(2, math.ceil(LEAST_STEPS / spans))
        t = np.interp(np.arange(spans * fine + 1) / fine, np.arange(spans + 1), knots)
        pace = self._speed(t)
        slow = int(np.argmin(pace))
        if pace[slow] < STALLED:
            x, y = self.spline(t[slow])
            raise MosaicError(
                f"The guide line doubles back on itself near ({x:.4g}, {y:.4g}) mm; "
                "move a point or make that one a corner."
            )
        each = np.diff(t)
        lengths = self._speed(t[:-1, None] + each[:, None] * NODES) @ WEIGHTS * each
        reach = np.concatenate([[0.0], np.cumsum(lengths)])
        for name, array in (("_t", t), ("_reach", reach), ("_pace", pace)):
            array.flags.writeable = False
            object.__setattr__(self, name, array)

    @property
    def length(self) -> float:
        """Length [mm]."""
        return float(self._reach[-1])

    @property
    def s1(self) -> float:
        """Station where it ends; past the guide's length where a corner guide wraps round [mm]."""
        return self.s0 + self.length

    @cached_property
    def turning(self) -> float:
        """Total turning, left positive [degrees]."""
        tangent = self.spline(self._t, 1)
        turned = np.unwrap(np.arctan2(tangent[:, 1], tangent[:, 0]))
        return float(np.degrees(turned[-1] - turned[0]))

    @cached_property
    def curvature_range(self) -> tuple[float, float]:
        """Least and greatest curvature, from at least 96 samples and all points [1/mm]."""
        bends = self._bend(self._t)
        return float(bends.min()), float(bends.max())

    def at(self, s: float | np.ndarray) -> np.ndarray:
        """Return positions, shape (..., 2) [mm]; s [mm] beyond an end goes on straight."""
        t, beyond = self._parameter(s)
        return self.spline(t) + self._direction(t) * beyond[..., None]

    def tangent(self, s: float | np.ndarray) -> np.ndarray:
        """Return unit tangents along travel, shape (..., 2)."""
        return self._direction(self._parameter(s)[0])

    def normal(self, s: float | np.ndarray) -> np.ndarray:
        """Return unit normals to the right of travel, shape (..., 2)."""
        return to_the_right(self.tangent(s))

    def curvature(self, s: float | np.ndarray) -> float | np.ndarray:
        """Return the curvature, left positive, 0 beyond the ends, shape (...) [1/mm]."""
        t, beyond = self._parameter(s)
        bend = np.where(beyond == 0, self._bend(t), 0.0)
        return bend if bend.ndim else float(bend)

    def frame(self, s: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Return positions [mm], unit normals to the right and curvature [1/mm] at once, which is quicker."""
        t, beyond = self._parameter(s)
        along, bent = self.spline(t, 1), self.spline(t, 2)
        pace = np.hypot(along[..., 0], along[..., 1])
        ahead = along / pace[..., None]
        bend = (along[..., 0] * bent[..., 1] - along[..., 1] * bent[..., 0]) / pace**3
        here = self.spline(t) + ahead * beyond[..., None]
        return here, to_the_right(ahead), np.where(beyond == 0, bend, 0.0)

    def table(self, step: float) -> Table:
        """Return samples from end to end, both included, evenly spaced by at most `step` [mm]."""
        step = number(step, "sampling step", "mm", least=1e-3)
        s = np.linspace(self.s0, self.s1, max(2, math.ceil(self.length / step - 1e-9) + 1))
        t = self._invert(s - self.s0)
        along, bent = self.spline(t, 1), self.spline(t, 2)
        pace = np.hypot(along[:, 0], along[:, 1])
        curvature = (along[:, 0] * bent[:, 1] - along[:, 1] * bent[:, 0]) / pace**3
        return Table(s, self.spline(t), to_the_right(along / pace[:, None]), curvature)

    def _parameter(self, s: float | np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Return the spline's parameter at s, and how far s lies beyond an end [mm]."""
        along = read_stations(s) - self.s0
        inside = np.mod(along, self.length) if self.closed else np.clip(along, 0, self.length)
        beyond = np.zeros_like(along) if self.closed else along - inside
        rounding = 1e-9 * (abs(self.s0) + self.length)
        return self._invert(inside), np.where(np.abs(beyond) < rounding, 0.0, beyond)

    def _invert(self, along: np.ndarray) -> np.ndarray:
        """Invert arc length by the table, cubic between its entries, and two Newton steps."""
        k = np.clip(np.searchsorted(self._reach, along, "right") - 1, 0, len(self._t) - 2)
        t0, span = self._t[k], self._t[k + 1] - self._t[k]
        here, whole = along - self._reach[k], self._reach[k + 1] - self._reach[k]
        u = here / whole
        m0, m1 = whole / self._pace[k], whole / self._pace[k + 1]
        guess = u * (m0 + u * (3 * span - 2 * m0 - m1 + u * (m0 + m1 - 2 * span)))
        for _ in range(2):
            guess = np.clip(guess, 0, span)
            reached = self._speed(t0[..., None] + guess[..., None] * NODES) @ WEIGHTS * guess
            guess = guess + (here - reached) / self._speed(t0 + guess)
        return t0 + np.clip(guess, 0, span)

    def _speed(self, t: np.ndarray) -> np.ndarray:
        along = self.spline(t, 1)
        return np.hypot(along[..., 0], along[..., 1])

    def _direction(self, t: np.ndarray) -> np.ndarray:
        along = self.spline(t, 1)
        return along / np.hypot(along[..., 0], along[..., 1])[..., None]

    def _bend(self, t: np.ndarray) -> np.ndarray:
        along, bent = self.spline(t, 1), self.spline(t, 2)
        cross = along[..., 0] * bent[..., 1] - along[..., 1] * bent[..., 0]
        return cross / np.hypot(along[..., 0], along[..., 1]) ** 3


def to_the_right(tangent: np.ndarray) -> np.ndarray:
    """Return unit normals, a quarter turn clockwise from tangents, shape (..., 2)."""
    return np.stack([tangent[..., 1], -tangent[..., 0]], axis=-1)


def chord_lengths(path: np.ndarray) -> np.ndarray:
    """Return the length along the chords up to each point, shape (n,) [mm]."""
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(path, axis=0).T))])


def spline_through(path: np.ndarray, smooth: bool) -> CubicSpline:
    """Return the spline through points, shape (n, 2) [mm], periodic where it is a smooth ring."""
    return CubicSpline(chord_lengths(path), path, bc_type="periodic" if smooth else "not-a-knot")


def read_stations(s: object) -> np.ndarray:
    """Return checked stations, shape (...) [mm]."""
    found = np.asarray(s)
    if found.dtype.kind not in "iuf" or not np.isfinite(found).all():
        raise MosaicError("A station along the guide line must be a finite number of mm.")
    return found.astype(float)


def too_long(length: float) -> str:
    """Return the sentence on a guide line that is too long [mm]."""
    return f"A guide line may be up to 100 m long; this one is {length / 1000:.4g} m. Check the units."


def read_points(points: object, closed: bool) -> np.ndarray:
    """Return checked points as a closed-to-writing array, shape (n, 2) [mm]."""
    listed = points if isinstance(points, np.ndarray) else several(points, "points of the guide line")
    try:
        found = np.asarray(listed)
    except ValueError:  # rows of unequal length
        found = np.empty(1)
    if found.size and (found.ndim != 2 or found.shape[1] != 2 or found.dtype.kind not in "iuf"):
        raise MosaicError("Each point of the guide line must be two numbers, x and y [mm].")
    least, kind = (3, "closed") if closed else (2, "open")
    if not least <= len(found) <= MOST_POINTS:
        raise MosaicError(f"A guide line that is {kind} needs {least} to {MOST_POINTS} points, not {len(found)}.")
    found = found.astype(float)
    if not np.isfinite(found).all():
        raise MosaicError("Each point of the guide line must be finite.")
    if np.abs(found).max() > 1e6:
        raise MosaicError("Each point of the guide line must lie within 1 km of the origin. Check the units.")
    steps = np.hypot(*np.diff(np.vstack([found, found[:1]]) if closed else found, axis=0).T)
    if (total := steps.sum()) > LONGEST:
        raise MosaicError(too_long(total))
    if steps.min() <= 1e-6:
        first = int(np.argmin(steps))
        raise MosaicError(f"Points {first} and {(first + 1) % len(found)} of the guide line are the same; drop one.")
    found.flags.writeable = False
    return found


def read_corners(corners: object, count: int, closed: bool) -> tuple[int, ...]:
    """Return checked numbers of corner points, in order."""
    least, greatest = (0, count - 1) if closed else (1, count - 2)
    if listed := several(corners, "corners of the guide line"):
        if least > greatest:
            raise MosaicError("A guide line of two points has no corner.")
        listed = [whole_number(c, "number of a corner point", least=least, greatest=greatest) for c in listed]
    return tuple(sorted(set(listed)))


@dataclass(frozen=True, eq=False)
class Guide:
    """A line that pieces follow: a cubic spline over chord length, exactly through its points.

    Parameters
    ----------
    points : array, shape (n, 2)
        At least 2 points, 3 of a closed guide, which returns to its first one by itself [mm].
    closed : bool
        Whether it closes on itself.
    corners : sequence of int
        Numbers of the points, from 0, that are true corners: the line is split there.

    Raises
    ------
    MosaicError
        If there are too few points, one is not finite or the same as its neighbour, a corner is no inner
        point, or the line doubles back or is longer than 100 m.

    Notes
    -----
    Two points make a straight line, three a parabola; longer parts have not-a-knot ends. s of a closed guide
    wraps round; s outside an open one is refused. At a corner, values are those of the part that begins
    there. Arc length is good to 1e-8 of itself or better.

    Examples
    --------
    >>> bend = Guide([(0, 0), (100, 0), (100, 100)], corners=[1])
    >>> round(bend.length, 9), bend.turning, [round(s, 9) for s in bend.corner_stations]
    (200.0, 90.0, [100.0])
    >>> bend.at(150).round(9).tolist(), (bend.normal(150).round(9) + 0.0).tolist()
    ([100.0, 50.0], [1.0, 0.0])
    """

    points: np.ndarray
    closed: bool = False
    corners: Sequence[int] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "closed", bool(self.closed))
        object.__setattr__(self, "points", read_points(self.points, self.closed))
        object.__setattr__(self, "corners", read_corners(self.corners, len(self.points), self.closed))
        if self.length > LONGEST:
            raise MosaicError(too_long(self.length))

    @classmethod
    def fit(cls, points: Sequence, tolerance: float, *, closed: bool = False) -> "Guide":
        """Return a smooth guide within `tolerance` [mm] of all points, (n, 2) [mm], such as a hand's path.

        Of smoothing splines, stiffest first, the first that stays within; the exact one if none does.
        """
        tolerance = number(tolerance, "fitting tolerance", "mm", above=0)
        given = read_points(points, closed)
        path = np.vstack([given, given[:1]]) if closed else given
        chord = chord_lengths(path)
        for halvings in range(12 if len(path) > 4 else 0):
            found = cls(_smoothed(path, chord, len(path) * (tolerance / 2**halvings) ** 2, closed), closed)
            near = shapely.LineString(found.at(np.linspace(0, found.length, 8 * len(path) + 200)))
            if shapely.distance(near, shapely.points(given)).max() <= tolerance:
                return found
        return cls(given, closed)

    @cached_property
    def parts(self) -> tuple[Part, ...]:
        """Smooth parts between corners, in the order of travel."""
        count, cuts = len(self.points), self.corners
        if self.closed:
            ends = [(a, b) for a, b in zip(cuts, [*cuts[1:], *(c + count for c in cuts[:1])], strict=True)]
            ends = ends or [(0, count)]
        else:
            ends = list(zip([0, *cuts], [*cuts, count - 1], strict=True))
        smooth = self.closed and not cuts
        splines = [spline_through(self.points[np.arange(a, b + 1) % count], smooth) for a, b in ends]
        parts: list[Part] = []
        for spline in splines:
            parts.append(Part(spline, parts[-1].s1 if parts else 0.0, smooth))
        ahead = self._before_first_corner(parts[-1])
        return tuple(Part(p.spline, p.s0 + ahead, p.closed) for p in parts) if ahead else tuple(parts)

    def _before_first_corner(self, last: Part) -> float:
        """Return the length from point 0 to the first corner, which the last part brings along [mm]."""
        first = self.corners[0] if self.closed and self.corners else 0
        if not first:
            return 0.0
        return last.length - float(np.interp(last.spline.x[-1 - first], last._t, last._reach))

    @cached_property
    def length(self) -> float:
        """Length [mm]."""
        return sum(part.length for part in self.parts)

    @cached_property
    def corner_stations(self) -> tuple[float, ...]:
        """Arc length at each corner, in the order of travel [mm]."""
        return tuple(part.s0 for part in self.parts[-len(self.corners) :]) if self.corners else ()

    @cached_property
    def corner_turnings(self) -> tuple[float, ...]:
        """Turning at each corner, left positive, -180 to 180 [degrees]."""
        turnings = []
        for after in range(len(self.parts) - len(self.corners), len(self.parts)):
            before = self.parts[after - 1]
            (a, b), (c, d) = before.tangent(before.s1), self.parts[after].tangent(self.parts[after].s0)
            turnings.append(math.degrees(math.atan2(a * d - b * c, a * c + b * d)))
        return tuple(turnings)

    @cached_property
    def turning(self) -> float:
        """Total turning, corners included, left positive [degrees]."""
        return sum(part.turning for part in self.parts) + sum(self.corner_turnings)

    @cached_property
    def curvature_range(self) -> tuple[float, float]:
        """Least and greatest curvature, corners left out [1/mm]."""
        least, greatest = zip(*(part.curvature_range for part in self.parts), strict=True)
        return min(least), max(greatest)

    def at(self, s: float | np.ndarray) -> np.ndarray:
        """Return positions, shape (..., 2) [mm]."""
        return self._each("at", s)

    def tangent(self, s: float | np.ndarray) -> np.ndarray:
        """Return unit tangents along travel, shape (..., 2)."""
        return self._each("tangent", s)

    def normal(self, s: float | np.ndarray) -> np.ndarray:
        """Return unit normals to the right of travel, shape (..., 2)."""
        return self._each("normal", s)

    def curvature(self, s: float | np.ndarray) -> float | np.ndarray:
        """Return the curvature, left positive, shape (...) [1/mm]."""
        return self._each("curvature", s)

    def offset_length(self, d: float) -> float:
        """Return the length at distance d [mm] to the right: length + d x turning in radians [mm].

        A corner's outside counts as rounded. Refused where 1 + curvature x d falls to 0, or inside a corner.
        """
        d = number(d, "offset", "mm", least=-LONGEST, greatest=LONGEST)
        if 1 + min(k * d for k in self.curvature_range) <= 0:
            tight = max(self.curvature_range, key=lambda k: -k * d)
            raise MosaicError(
                f"The guide line bends with a radius of {1 / abs(tight):.4g} mm; "
                f"no regular line runs {abs(d):.4g} mm inside that bend."
            )
        if any(corner * d < -1e-9 for corner in self.corner_turnings):
            raise MosaicError("No regular line runs inside a corner; ask the smooth parts one by one.")
        return self.length + d * math.radians(self.turning)

    def _each(self, what: str, s: float | np.ndarray) -> float | np.ndarray:
        """Ask the part that each station lies on."""
        s, first = read_stations(s), self.parts[0].s0
        slack = 1e-9 * self.length
        if self.closed:
            s = first + np.mod(s - first, self.length)
        elif s.size and (s.min() < -slack or s.max() > self.length + slack):
            raise MosaicError(f"A station must lie on the guide line, from 0 to {self.length:.6g} mm.")
        else:
            s = np.clip(s, 0, self.length)
        if len(self.parts) == 1:
            return getattr(self.parts[0], what)(s)
        starts = np.array([part.s0 for part in self.parts])
        which = np.clip(np.searchsorted(starts, s, "right") - 1, 0, None)
        found = np.empty(s.shape if what == "curvature" else (*s.shape, 2))
        for i, part in enumerate(self.parts):
            if (here := which == i).any():
                found[here] = getattr(part, what)(s[here])
        return found if found.ndim else float(found)


def _smoothed(path: np.ndarray, chord: np.ndarray, loose: float, closed: bool) -> np.ndarray:
    """Return the points at the knots, and two between, of a smoothing spline."""
    curve, _ = make_splprep(path.T, u=chord, s=loose, bc_type="periodic" if closed else None)
    knots = np.unique(np.clip(curve.t, 0, chord[-1]))
    fine = np.interp(np.arange(3 * len(knots) - 2) / 3, np.arange(len(knots)), knots)
    return curve(fine[:-1] if closed else fine).T


def straight(length: float) -> Guide:
    """Return a straight guide from the origin along x.

    Parameters
    ----------
    length : float
        Length [mm].

    Returns
    -------
    Guide
        Two points.
    """
    return Guide(np.array([(0.0, 0.0), (number(length, "length", "mm", above=0), 0.0)]))


def arc(radius: float, degrees: float) -> Guide:
    """Return an arc about the origin that begins at (radius, 0).

    Parameters
    ----------
    radius : float
        Radius [mm].
    degrees : float
        Angle up to 350 either way; above 0 it turns left [degrees].

    Returns
    -------
    Guide
        A point every half degree, which keeps the curvature within 1e-4 of 1/radius.
    """
    radius = number(radius, "radius", "mm", above=0)
    degrees = number(degrees, "angle of the arc", "degrees", least=-350, greatest=350)
    if abs(degrees) < 0.1:
        raise MosaicError(f"An arc needs an angle of at least 0.1 degrees either way, not {degrees:g}.")
    return Guide(_circle(radius, np.linspace(0, math.radians(degrees), max(6, math.ceil(2 * abs(degrees))) + 1)))


def ring(radius: float) -> Guide:
    """Return a closed ring about the origin that begins at (radius, 0) and turns left.

    Parameters
    ----------
    radius : float
        Radius [mm].

    Returns
    -------
    Guide
        360 points; the curvature is within 1e-4 of 1/radius.
    """
    angles = np.linspace(0, 2 * math.pi, 360, endpoint=False)
    return Guide(_circle(number(radius, "radius", "mm", above=0), angles), closed=True)


def s_ribbon(width: float, height: float) -> Guide:
    """Return an S about the origin, from below on the left to above on the right, level at both ends.

    Parameters
    ----------
    width, height : float
        Extent across and up [mm].

    Returns
    -------
    Guide
        9 points of half a sine wave.
    """
    x, y = number(width, "width", "mm", above=0), number(height, "height", "mm", above=0)
    u = np.linspace(-0.5, 0.5, 9)
    return Guide(np.stack([x * u, y / 2 * np.sin(np.pi * u)], axis=1))


def wave(length: float, height: float, waves: int) -> Guide:
    """Return sine waves that begin at the origin, upwards, and run along x.

    Parameters
    ----------
    length, height : float
        Extent along x, and from trough to crest [mm].
    waves : int
        Number of full waves, 1 to 100.

    Returns
    -------
    Guide
        8 points a wave, crests and troughs among them.
    """
    x, y = number(length, "length", "mm", above=0), number(height, "height", "mm", above=0)
    waves = whole_number(waves, "number of waves", least=1, greatest=100)
    u = np.linspace(0, 1, 8 * waves + 1)
    return Guide(np.stack([x * u, y / 2 * np.sin(2 * np.pi * waves * u)], axis=1))


def leaf(length: float, width: float) -> Guide:
    """Return a closed leaf of two arcs about the origin, its tips left and right true corners.

    Parameters
    ----------
    length, width : float
        Tip to tip, and across; longer than wide [mm].

    Returns
    -------
    Guide
        Begins at the left tip with the lower side and turns left; 9 points a side.
    """
    length = number(length, "length of the leaf", "mm", above=0)
    width = number(width, "width of the leaf", "mm", above=0)
    if width >= length:
        raise MosaicError(f"A leaf must be longer than wide; {length:g} by {width:g} mm is not.")
    radius, half = (length**2 + width**2) / (4 * width), 2 * math.atan(width / length)
    lower = _circle(radius, np.linspace(-half, half, 10)[:-1] - math.pi / 2)
    lower[:, 1] += radius - width / 2
    return Guide(np.vstack([lower, -lower]), closed=True, corners=[0, 9])


def _circle(radius: float, angles: np.ndarray) -> np.ndarray:
    return radius * np.stack([np.cos(angles), np.sin(angles)], axis=1)
