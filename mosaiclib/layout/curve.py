"""A guide line: arc length, exact normals and curvature, and its parts between true corners.

Travel runs along s. The x axis points right and the y axis up; the normal points to the right of travel,
curvature above 0 turns left, so the line at distance d to the right runs at speed 1 + curvature x d.
"""

__all__ = ["Guide", "Part", "Table", "arc", "leaf", "ring", "s_ribbon", "straight", "wave"]

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from scipy.interpolate import make_splprep

from mosaiclib.errors import MosaicError, number, whole_number
from mosaiclib.layout.smooth import (
    LONGEST,
    Part,
    Table,
    chord_lengths,
    read_corners,
    read_points,
    read_stations,
    spline_through,
    too_long,
)


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
