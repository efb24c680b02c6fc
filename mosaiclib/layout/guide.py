"""The guide line: a smooth curve through points, its arc length, normals and curvature, and its parts between true corners."""

__all__ = ["Guide", "Part"]

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
import scipy
import shapely

from mosaiclib.errors import MosaicError, instance, number, several, whole_number
from mosaiclib.units import mm

LONGEST = 100_000.0  # [mm]
CLOSES = "choice whether the line closes"
MOST_POINTS = 10_000
STALLED = 1e-3  # speed along the chord, under which the curve doubles back
LEAST_POINTS = 12  # fewer tell nothing of jitter
JITTER = 0.03  # [mm] less is not seen in a row
LEAST_STEPS = 2000  # least entries of a part's arc-length table: read straight between them it is good to 1e-4 mm


@dataclass(frozen=True, eq=False)
class Part:
    """A smooth part of a guide from arc length s0 on [mm], and its straight continuation past both ends.

    `spline` is the position over a parameter near arc length. In a closed part, a smooth ring, s wraps round instead.
    """

    spline: "scipy.interpolate.CubicSpline"
    s0: float
    closed: bool
    _t: np.ndarray = field(init=False, repr=False)
    _reach: np.ndarray = field(init=False, repr=False)

    def __post_init__(self) -> None:
        knots, spans = self.spline.x, len(self.spline.x) - 1
        fine = max(8, math.ceil(LEAST_STEPS / spans))
        t = np.interp(np.arange(spans * fine + 1) / fine, np.arange(spans + 1), knots)
        half = np.sort(np.concatenate([t, (t[1:] + t[:-1]) / 2]))
        pace = np.hypot(*self.spline(half, 1).T)
        slow = int(np.argmin(pace))
        if pace[slow] < STALLED:
            x, y = self.spline(half[slow])
            near = mm(round(x, 1), round(y, 1), between=", ")
            raise MosaicError(
                "The guide line doubles back on itself near ", near, "; move a point or make that one a corner."
            )
        lengths = np.diff(t) * (pace[:-2:2] + 4 * pace[1::2] + pace[2::2]) / 6  # Simpson's rule
        object.__setattr__(self, "_t", t)
        object.__setattr__(self, "_reach", np.concatenate([[0.0], np.cumsum(lengths)]))

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

    def rounds(self, s: np.ndarray) -> np.ndarray:
        """Return how far whole rounds have carried stations away from here, which a ring's do not [mm]."""
        return np.zeros_like(s)

    def at(self, s: float | np.ndarray) -> np.ndarray:
        """Return positions, shape (..., 2) [mm]; s [mm] beyond an end goes on straight."""
        return self.frame(s)[0]

    def tangent(self, s: float | np.ndarray) -> np.ndarray:
        """Return unit tangents along travel, shape (..., 2)."""
        return self.normal(s)[..., ::-1] * [-1, 1]

    def normal(self, s: float | np.ndarray) -> np.ndarray:
        """Return unit normals to the right of travel, shape (..., 2)."""
        return self.frame(s)[1]

    def curvature(self, s: float | np.ndarray) -> np.ndarray:
        """Return the curvature, left positive, 0 beyond the ends, shape (...) [1/mm]."""
        return self.frame(s)[2]

    def frame(self, s: float | np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Return positions [mm], unit normals to the right and curvature [1/mm] at once, which is quicker."""
        t, beyond = self._parameter(s)
        along, bent = self.spline(t, 1), self.spline(t, 2)
        pace = np.hypot(along[..., 0], along[..., 1])
        ahead = along / pace[..., None]
        bend = (along[..., 0] * bent[..., 1] - along[..., 1] * bent[..., 0]) / pace**3
        right = ahead[..., ::-1] * [1, -1]
        return self.spline(t) + ahead * beyond[..., None], right, np.where(beyond == 0, bend, 0.0)

    def _parameter(self, s: float | np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Return the spline's parameter at s, and how far s lies beyond an end [mm]."""
        along = _read_stations(s) - self.s0
        inside = np.mod(along, self.length) if self.closed else np.clip(along, 0, self.length)
        beyond = np.zeros_like(along) if self.closed else along - inside
        rounding = 1e-9 * (abs(self.s0) + self.length)
        return np.interp(inside, self._reach, self._t), np.where(np.abs(beyond) < rounding, 0.0, beyond)


def _chords(path: np.ndarray) -> np.ndarray:
    """Return the length along the chords up to each point, shape (n,) [mm]."""
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(path, axis=0).T))])


def _read_stations(s: object) -> np.ndarray:
    """Return checked stations, shape (...) [mm]."""
    found = np.asarray(s)
    if found.dtype.kind not in "iuf" or not np.isfinite(found).all():
        raise MosaicError("A station along the guide line must be a finite number of mm.")
    return found.astype(float)


def _not_too_long(length: float) -> None:
    if length > LONGEST:
        raise MosaicError(f"A guide line may be up to 100 m long; this one is {length / 1000:.4g} m. Check the units.")


def _read_points(points: object, closed: bool) -> np.ndarray:
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
    _not_too_long(steps.sum())
    if steps.min() <= 1e-6:
        first = int(np.argmin(steps))
        raise MosaicError(f"Points {first} and {(first + 1) % len(found)} of the guide line are the same; drop one.")
    found.flags.writeable = False
    return found


def _read_corners(corners: object, count: int, closed: bool) -> tuple[int, ...]:
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

    Notes
    -----
    Two points make a straight line, three a parabola; longer parts have not-a-knot ends. s of a closed guide
    wraps round; s outside an open one is refused, as is a line that doubles back or is longer than 100 m. At a
    corner, values are those of the part that begins there.

    Examples
    --------
    >>> bend = Guide([(0, 0), (100, 0), (100, 100)], corners=[1])
    >>> round(bend.length, 9), bend.turning
    (200.0, 90.0)
    >>> bend.at(150).round(9).tolist(), (bend.normal(150).round(9) + 0.0).tolist()
    ([100.0, 50.0], [1.0, 0.0])
    """

    points: np.ndarray
    closed: bool = False
    corners: Sequence[int] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "closed", bool(instance(self.closed, (bool, np.bool_), CLOSES)))
        object.__setattr__(self, "points", _read_points(self.points, self.closed))
        object.__setattr__(self, "corners", _read_corners(self.corners, len(self.points), self.closed))
        _not_too_long(self.length)

    @classmethod
    def fit(cls, points: Sequence, tolerance: float, *, closed: bool = False) -> "Guide":
        """Return a smooth guide within `tolerance` [mm] of all points, (n, 2) [mm], such as a hand's path.

        Of smoothing splines, stiffest first, the first that stays within; the exact one if none does.
        """
        tolerance = number(tolerance, "fitting tolerance", "mm", above=0)
        instance(closed, (bool, np.bool_), CLOSES)
        given = _read_points(points, closed)
        path = np.vstack([given, given[:1]]) if closed else given
        for halvings in range(12 if len(path) > 4 else 0):
            found = cls(_smoothed(path, len(path) * (tolerance / 2**halvings) ** 2, closed), closed)
            if found.strays(given) <= tolerance:
                return found
        return cls(given, closed)

    @cached_property
    def jitter(self) -> float:
        """How far points stray from a smooth line through their neighbours, as a standard deviation [mm].

        From sixth differences, whose variance is 924 times that of the points (12 over 6); even a wave of ten points a
        turn has nearly none.
        """
        points = np.vstack([self.points, self.points[:6]]) if self.closed else self.points
        if self.corners or len(points) < LEAST_POINTS:
            return 0.0
        return float(np.sqrt(np.mean(np.sum(np.diff(points, 6, axis=0) ** 2, axis=1)) / 2 / 924))

    def smoothed(self, piece: float, most: float) -> tuple["Guide", float]:
        """Return the line without the jitter of a hand, and how far a point was moved, at most `most` [mm].

        Only where points lie nearer than three quarters of a piece [mm]: farther apart jitter does little harm.
        """
        apart = self.length / max(len(self.points) - (not self.closed), 1)
        if not most or self.jitter < JITTER or apart > 0.75 * piece:
            return self, 0.0
        clean = Guide.fit(self.points, min(most, 4 * self.jitter), closed=self.closed)
        return clean, clean.strays(self.points)

    def strays(self, points: np.ndarray) -> float:
        """Return how far the farthest of points, shape (n, 2), lies from the line [mm]."""
        line = self.at(np.linspace(0, self.length, 8 * len(points) + 200))
        tree = shapely.STRtree(shapely.linestrings(np.stack([line[:-1], line[1:]], axis=1)))
        _, far = tree.query_nearest(shapely.points(points), return_distance=True, all_matches=False)
        return float(far.max())

    @cached_property
    def parts(self) -> tuple[Part, ...]:
        """Smooth parts between corners, in the order of travel."""
        count, cuts = len(self.points), self.corners
        if self.closed:
            ends = list(zip(cuts, [*cuts[1:], *(c + count for c in cuts[:1])], strict=True)) or [(0, count)]
        else:
            ends = list(zip([0, *cuts], [*cuts, count - 1], strict=True))
        smooth = self.closed and not cuts
        parts: list[Part] = []
        for a, b in ends:
            path = self.points[np.arange(a, b + 1) % count]
            spline = scipy.interpolate.CubicSpline(_chords(path), path, bc_type="periodic" if smooth else "not-a-knot")
            parts.append(Part(spline, parts[-1].s1 if parts else 0.0, smooth))
        ahead = self._before_first_corner(parts[-1])
        return tuple(Part(p.spline, p.s0 + ahead, p.closed) for p in parts) if ahead else tuple(parts)

    def _before_first_corner(self, last: Part) -> float:
        """Return the length from point 0 to the first corner, which the last part brings along [mm]."""
        first = self.corners[0] if self.closed and self.corners else 0
        return last.length - float(np.interp(last.spline.x[-1 - first], last._t, last._reach)) if first else 0.0

    @cached_property
    def length(self) -> float:
        """Length [mm]."""
        return sum(part.length for part in self.parts)

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

    def at(self, s: float | np.ndarray) -> np.ndarray:
        """Return positions, shape (..., 2) [mm]."""
        return self._each("at", s)

    def normal(self, s: float | np.ndarray) -> np.ndarray:
        """Return unit normals to the right of travel, shape (..., 2)."""
        return self._each("normal", s)

    def curvature(self, s: float | np.ndarray) -> np.ndarray:
        """Return the curvature, left positive, shape (...) [1/mm]."""
        return self._each("curvature", s)

    def _each(self, what: str, s: float | np.ndarray) -> np.ndarray:
        """Ask the part that each station lies on."""
        s, first = _read_stations(s), self.parts[0].s0
        slack = 1e-9 * self.length
        if self.closed:
            s = first + np.mod(s - first, self.length)
        elif s.size and (s.min() < -slack or s.max() > self.length + slack):
            raise MosaicError("A station must lie on the guide line, from ", mm(0, self.length), ".")
        else:
            s = np.clip(s, 0, self.length)
        starts = np.array([part.s0 for part in self.parts])
        which = np.clip(np.searchsorted(starts, s, "right") - 1, 0, None)
        found = np.empty(s.shape if what == "curvature" else (*s.shape, 2))
        for i, part in enumerate(self.parts):
            found[which == i] = getattr(part, what)(s[which == i])
        return found


def _smoothed(path: np.ndarray, loose: float, closed: bool) -> np.ndarray:
    """Return the points at the knots, and two between, of a smoothing spline."""
    chord = _chords(path)
    (curve, _), *_ = scipy.interpolate.splprep(path.T, u=chord, s=loose, per=closed, full_output=1)
    knots = np.unique(np.clip(curve[0], 0, chord[-1]))
    fine = np.interp(np.arange(3 * len(knots) - 2) / 3, np.arange(len(knots)), knots)
    return np.stack(scipy.interpolate.splev(fine[:-1] if closed else fine, curve), axis=1)
