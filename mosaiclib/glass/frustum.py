"""One frustum of a round vessel unrolled: a sector of a ring, or a rectangle where both its girths are alike.

| symbol | meaning |
|---|---|
| C0, C1 | girth at its foot and at its top [mm] |
| z0, z1 | how high these are over the foot of the vessel [mm] |
| l | slant, the way from foot to top along the glass [mm] |
| k | curvature of the unrolled foot, (C0 - C1)/(C0 l) [1/mm] |
"""

__all__ = ["Frustum"]

import math
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import shapely
from shapely import Polygon

from mosaiclib.glass.seam import Edge


@dataclass(frozen=True)
class Frustum:
    """A frustum by its girths and heights at foot and top [mm]; unrolled its middle stands upright, `x`, `y` is its foot's middle.

    The sector's angle is C0 - C1 over l, that is 360 r/slant of the whole cone in degrees.

    >>> cone = Frustum(200, 100, 0, 40)
    >>> round(cone.angle * cone.apex, 9), round(Frustum(200, 200, 0, 40).angle, 9)
    (200.0, 0.0)
    """

    foot: float
    top: float
    low: float
    high: float
    x: float = 0.0
    y: float = 0.0

    @property
    def slant(self) -> float:
        """Way from foot to top along the glass [mm]."""
        return math.hypot(self.high - self.low, (self.top - self.foot) / math.tau)

    @property
    def angle(self) -> float:
        """Angle of the unrolled sector, above 0 where it narrows upwards [rad]."""
        return (self.foot - self.top) / self.slant

    @property
    def apex(self) -> float:
        """Distance from the foot to the cone's apex along the glass, below 0 where that lies under it [mm]; infinite for a cylinder."""
        return self.foot / self.angle if self.foot != self.top else math.inf

    @property
    def lean(self) -> float:
        """How far the wall leans outwards from upright [degrees]."""
        return math.degrees(math.atan2(self.top - self.foot, math.tau * (self.high - self.low)))

    @cached_property
    def edge(self) -> Edge:
        """Its foot, unrolled from seam to seam [mm]."""
        k = self.angle / self.foot
        half = Edge(self.x, self.y, 0.0, k, self.foot)
        x, y = half.at(-self.foot / 2).tolist()
        return Edge(x, y, -k * self.foot / 2, k, self.foot)

    def girth(self, v: np.ndarray | float) -> np.ndarray | float:
        """Return the girth at a way v up the glass [mm]."""
        return self.foot - self.angle * v

    def sector(self, low: float = 0.0, high: float | None = None, begin: float = 0.0, end: float = 1.0) -> Polygon:
        """Return the part between two ways up the glass [mm] and two shares of the way round.

        Its chords leave the arcs a little to both sides, so that its area is that of the glass.
        """
        high = self.slant if high is None else high
        if self.foot == self.top:
            (x0, y0), (x1, y1) = self.edge.at(begin * self.foot, low), self.edge.at(end * self.foot, high)
            return shapely.box(x0, y0, x1, y1)
        s = begin * self.foot + self.edge.stops((end - begin) * self.foot, low if self.apex > 0 else high)
        step = self.angle / self.foot * (s[1] - s[0])
        grown = -math.expm1(math.log(step / math.sin(step)) / 2)
        arcs = [self.edge.at(s, v + (self.apex - v) * grown) for v in (low, high)]
        return shapely.polygons(np.concatenate([arcs[0], arcs[1][::-1]]))

    def inside(self, wall: float) -> "Frustum":
        """Return the inner face of a wall [mm], between the same heights."""
        off = math.tau * wall * self.slant / (self.high - self.low)
        return replace(self, foot=self.foot - off, top=self.top - off)

    def in_space(self, s: np.ndarray, v: np.ndarray, seam: float) -> tuple[np.ndarray, np.ndarray]:
        """Return points s along the foot and v up the glass, shape (n,), in space and normals outwards, both (n, 3) [mm].

        The axis is z; s runs to the right seen from outside; the seam lies that share of the way round to the right from the back, +y.
        """
        turn = math.tau * (s / self.foot + seam) + math.pi / 2
        radius, rise = self.girth(v) / math.tau, (self.high - self.low) / self.slant
        out = np.stack([np.cos(turn), np.sin(turn)], axis=1)
        level = (self.top - self.foot) / (math.tau * self.slant)
        spots = np.column_stack([radius[:, None] * out, self.low + v * rise])
        return spots, np.column_stack([rise * out, np.full(len(out), -level)])
