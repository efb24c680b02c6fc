"""One smooth part of a guide line, and what is checked before a line is drawn through points."""

__all__ = ["Part", "Table"]

import math
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

import numpy as np
from scipy.interpolate import CubicSpline

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
