"""True corners of a guide: where rows end there, and the pieces that close them.

| symbol | here | meaning |
|---|---|---|
| phi | turn | turning at the corner, left positive [rad] |
| d | inner, outer | offsets of a row's edges away from the inside of the corner [mm] |
"""

__all__ = ["Bend", "End", "bend_at", "ends_of"]

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from mosaiclib.layout.guide import Guide
from mosaiclib.layout.rowspec import RowPlace

SHARPEST = np.radians(150.0)  # outside a sharper corner rows are not mitred
STEEPEST = 25.0  # a bisector is followed so many times as far back as rows lie beside it


class Bend(NamedTuple):
    """A true corner as one part meets it: point [mm], unit tangent out of that part, turning [rad].

    The turning is that from this part into the other, left positive.
    """

    point: np.ndarray
    ahead: np.ndarray
    turn: float

    @property
    def factor(self) -> float:
        """How far a mitre runs on beyond the corner at an offset of 1."""
        return min(float(np.tan(abs(self.turn) / 2)), STEEPEST)

    @property
    def bisector(self) -> np.ndarray:
        """Unit normal of the bisector, out of the part."""
        return _turned(self.ahead, self.turn / 2)

    def beyond(self, deep: float) -> float:
        """Return how far rows up to an offset run on [mm]."""
        return 0.0 if abs(self.turn) > SHARPEST else self.factor * deep


class End(NamedTuple):
    """What ends rows at one end of a part: arc length, and how far along the part it counts [mm].

    Points [mm] and outward unit normals of lines that each of r rows stays behind, shape (r, k, 2).
    """

    s: float
    reach: float
    at: np.ndarray
    outward: np.ndarray

    def behind(self, points: np.ndarray, which: np.ndarray) -> np.ndarray:
        """Tell which points, shape (m, n, 2) [mm], of rows by place in the stack, shape (m,), lie behind their lines."""
        behind = np.ones(points.shape[:-1], bool)
        for k in range(self.at.shape[1]):
            at, outward = self.at[which, k], self.outward[which, k]
            off = np.einsum("mnk,mk->mn", points, outward) - np.einsum("mk,mk->m", at, outward)[:, None]
            behind &= off <= 0
        return behind


def _turned(direction: np.ndarray, angle: float) -> np.ndarray:
    """Return a direction turned to the left by an angle [rad]."""
    c, s = np.cos(angle), np.sin(angle)
    return np.array([c * direction[0] - s * direction[1], s * direction[0] + c * direction[1]])


def bend_at(guide: Guide, index: int, side: int) -> Bend | None:
    """Return the corner at the beginning, side 0, or the end, side 1, of a part; None at a free end."""
    parts = guide.parts
    other = index + (1 if side else -1)
    if not guide.closed and not 0 <= other < len(parts):
        return None
    this, that = parts[index], parts[other % len(parts)]
    if side:
        ahead, on = this.tangent(this.s1), that.tangent(that.s0)
    else:
        ahead, on = -this.tangent(this.s0), -that.tangent(that.s1)
    turn = float(np.arctan2(ahead[0] * on[1] - ahead[1] * on[0], ahead @ on))
    return Bend(this.at(this.s1 if side else this.s0), ahead, turn)


def ends_of(guide: Guide, index: int, rows: Sequence[RowPlace], joint: float) -> tuple[End, ...]:
    """Return what ends rows at the corners of a part."""
    part = guide.parts[index]
    bends = [] if part.closed else [(s, bend_at(guide, index, side)) for side, s in enumerate((part.s0, part.s1))]
    return tuple(_end(s, bend, rows, joint) for s, bend in bends if bend is not None)


def _end(s: float, bend: Bend, rows: Sequence[RowPlace], joint: float) -> End:
    deep, wide = max(max(-row.left, row.right) for row in rows), max(row.width for row in rows)
    lines = [(bend.point - joint / 2 * bend.bisector, bend.bisector)]
    at, outward = (np.array([[line[k] for line in lines] for _ in rows]) for k in (0, 1))
    return End(s, 2 * (bend.factor * deep + wide), at, outward)
