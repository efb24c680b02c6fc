"""Where the unrolled strip goes on elsewhere: edges of even curvature, and the rigid motion from beside one to beside another.

| symbol | meaning |
|---|---|
| s, v | length along an edge, distance to its left [mm] |
| k | curvature, above 0 where the edge turns left [1/mm] |
| u, w | a point seen from the edge's middle, ahead and to its left [mm] |
"""

__all__ = ["Edge", "Seam"]

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from shapely import LineString

STRAIGHT = 1e-12  # [1/mm] less curvature is none: a metre leaves the line by a millionth of a mm
SAG = 0.005  # [mm] how far the chords that draw an arc leave it; assumed, a fortieth of a pencil line


@dataclass(frozen=True)
class Edge:
    """A straight line or an arc: where it begins [mm], heading there [rad], curvature [1/mm] and length [mm].

    >>> quarter = Edge(0, 0, 0, 1 / 100, 50 * np.pi)
    >>> quarter.at(50 * np.pi).round(9).tolist()
    [100.0, 100.0]
    """

    x: float
    y: float
    heading: float
    curvature: float
    length: float

    def heading_at(self, s: np.ndarray | float) -> np.ndarray:
        """Return the heading at lengths along the edge [rad]."""
        return self.heading + self.curvature * np.asarray(s, dtype=float)

    def at(self, s: np.ndarray | float, v: np.ndarray | float = 0.0) -> np.ndarray:
        """Return the points at lengths s along the edge and distances v to its left, shape (..., 2) [mm]."""
        s = np.asarray(s, dtype=float)
        chord, middle, end = s * np.sinc(self.curvature * s / math.tau), self.heading_at(s / 2), self.heading_at(s)
        return np.stack(
            [self.x + chord * np.cos(middle) - v * np.sin(end), self.y + chord * np.sin(middle) + v * np.cos(end)],
            axis=-1,
        )

    def place(self, points: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Return s along the edge and v to its left of points, shape (..., 2) [mm]; the inverse of `at` near it.

        >>> s, v = Edge(0, 0, 0, 1 / 100, 600).place(np.array([100.0, 90.0]))
        >>> round(float(s / np.pi), 1), round(float(v), 9)
        (46.8, -0.498756211)
        """
        # from its middle, so that all of a sector is found, whatever its angle
        half, k = self.length / 2, self.curvature
        (x, y), turn = self.at(half), float(self.heading_at(half))
        px, py = np.moveaxis(np.asarray(points, dtype=float), -1, 0)
        u = (px - x) * math.cos(turn) + (py - y) * math.sin(turn)
        w = (py - y) * math.cos(turn) - (px - x) * math.sin(turn)
        along = np.arctan2(k * u, 1 - k * w) / k if abs(k) > STRAIGHT else u
        return half + along, (2 * w - k * (u**2 + w**2)) / (1 + np.hypot(k * u, 1 - k * w))

    def stops(self, length: float | None = None, off: float = 0.0) -> np.ndarray:
        """Return lengths along the edge, shape (n,), whose chords draw it, or the arc a distance to its left [mm]."""
        span = self.length if length is None else length
        radius = abs(1 / self.curvature - off) if self.curvature else math.inf
        turn = 2 * math.acos(max(1 - SAG / radius, 0.0)) if radius > 0 else math.tau
        return np.linspace(0.0, span, max(2, math.ceil(abs(self.curvature * span) / max(turn, 1e-6)) + 1))

    def beside(self, off: float) -> "Edge":
        """Return the parallel edge a distance to its left [mm]."""
        x, y = self.at(0.0, off).tolist()
        share = 1 - self.curvature * off
        return Edge(x, y, self.heading, self.curvature / share, self.length * share)

    def across(self, s: float, low: float, high: float) -> "Edge":
        """Return the straight edge that crosses it at s, from one distance to its left to another [mm]."""
        x, y = self.at(s, low).tolist()
        return Edge(x, y, float(self.heading_at(s)) + math.pi / 2, 0.0, high - low)

    @cached_property
    def line(self) -> LineString:
        """The edge as a line [mm]."""
        return shapely.linestrings(self.at(self.stops()))


@dataclass(frozen=True)
class Seam:
    """Two edges that are one on the glass: what lies by `one` shows beside `two` once it is moved.

    `faces`: names of the faces that they belong to; `smooth`: whether the surface goes on, so that a joint across it is one like
    all others. Each point moves as the frame of edge `one` at its place moves onto that of edge `two`: a shift for a
    cylinder, a turn about the apex for a cone, and from cone to cone each piece by its own place round the vessel.
    """

    one: Edge
    two: Edge
    faces: tuple[str, str]
    smooth: bool = False

    @classmethod
    def shift(cls, length: float, height: float, faces: tuple[str, str] = ("", ""), *, smooth: bool = False) -> "Seam":
        """Return the seam of an upright strip that closes on itself after a length, from y = 0 to a height [mm]."""
        begin, end = (Edge(x, 0.0, math.pi / 2, 0.0, height) for x in (0.0, length))
        return cls(begin, end, faces, smooth)

    @property
    def back(self) -> "Seam":
        """The same seam, crossed the other way."""
        return Seam(self.two, self.one, self.faces[::-1], self.smooth)

    @property
    def still(self) -> bool:
        """Whether the two lie in one place on the strip, so that nothing has to move."""
        return self.one == self.two

    @property
    def rigid(self) -> bool:
        """Whether one motion moves all pieces alike."""
        return math.isclose(self.one.curvature, self.two.curvature, rel_tol=1e-12, abs_tol=1e-15)

    def moved(self, shapes: np.ndarray) -> np.ndarray:
        """Return shapes by edge `one`, shape (n,), each moved as a whole to where it shows beside edge `two` [mm]."""
        points, owner = shapely.get_coordinates(shapes, return_index=True)
        spots = shapely.get_coordinates(shapely.centroid(shapes))
        s = np.zeros(len(shapes)) if self.rigid else self.one.place(spots)[0]
        there = s * self.two.length / self.one.length  # the same share of the way
        turn = (self.two.heading_at(there) - self.one.heading_at(s))[owner]
        step, to = points - self.one.at(s)[owner], self.two.at(there)[owner]
        c, n = np.cos(turn), np.sin(turn)
        found = to + np.stack([c * step[:, 0] - n * step[:, 1], n * step[:, 0] + c * step[:, 1]], axis=1)
        return shapely.set_coordinates(np.array(shapes, dtype=object), found)

    def carried(self, points: np.ndarray, times: np.ndarray) -> np.ndarray:
        """Return points, shape (..., 2), moved so many times from `one` to `two`, shape (...), back where below 0 [mm].

        Of a rigid seam: a turn by an angle about a point, or a shift.
        """
        turn = self.two.heading - self.one.heading
        begin, end = complex(self.one.x, self.one.y), complex(self.two.x, self.two.y)
        z = points[..., 0] + 1j * points[..., 1]
        if abs(turn) < 1e-12:
            z = z + times * (end - begin)
        else:
            centre = (end - begin * np.exp(1j * turn)) / (1 - np.exp(1j * turn))
            z = centre + (z - centre) * np.exp(1j * turn * times)
        return np.stack([z.real, z.imag], axis=-1)

    def near(self, shapes: np.ndarray, reach: float) -> np.ndarray:
        """Return the numbers of the shapes within a distance of edge `one`, shape (m,) [mm]."""
        return np.flatnonzero(shapely.dwithin(shapes, self.one.line, reach))
