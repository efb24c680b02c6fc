"""A drawing that a hand meant to be alike on both sides of a centre line, made so: the mean of it and its mirror image."""

__all__ = ["CentreLine", "evened"]

import itertools
import math
from typing import NamedTuple

import numpy as np

from mosaiclib.errors import MosaicError, number, several
from mosaiclib.layout.guide import Guide
from mosaiclib.units import mm

NEAR = 0.3  # of a piece's width: a line that must be moved by more was not meant to be alike on both sides; assumed
FINE = 4  # points to a piece


class CentreLine(NamedTuple):
    """A line that a drawing is laid alike on both sides of: a point of it [mm] and its unit direction, both (2,)."""

    point: np.ndarray
    along: np.ndarray

    @classmethod
    def read(cls, given: object) -> "CentreLine":
        """Return the line through two points, shape (2, 2) [mm].

        >>> CentreLine.read([(0, 0), (0, 5)]).mirror(np.array([[3.0, 1.0]])).tolist()
        [[-3.0, 1.0]]
        """
        name = "point of the centre line"
        ends = [several(end, name, 2) for end in several(given, "points of the centre line", 2)]
        first, second = np.array([[number(one, name, "mm") for one in end] for end in ends])
        long = np.hypot(*(second - first))
        if long < 1e-6:
            raise MosaicError("The two points of the centre line are the same; give two that lie apart.")
        return cls(first, (second - first) / long)

    @property
    def across(self) -> np.ndarray:
        """Unit normal to the right, shape (2,)."""
        return np.array([self.along[1], -self.along[0]])

    def off(self, points: np.ndarray) -> np.ndarray:
        """Return how far points, shape (..., 2), lie to the right of the line [mm]."""
        return (points - self.point) @ self.across

    def mirror(self, points: np.ndarray) -> np.ndarray:
        """Return the mirror images of points, shape (..., 2) [mm]."""
        return points - 2 * self.off(points)[..., None] * self.across


def evened(guide: Guide, line: CentreLine, piece: float) -> Guide:
    """Return the mean of a guide and its mirror image; a closed one begins on the centre line.

    Refused where it does not cross the centre line as a drawing alike on both sides does, or would be moved by more than
    0.3 of a piece [mm].

    >>> wry = Guide([(-50, 0), (0, 31), (52, 0)])
    >>> even = evened(wry, CentreLine.read([(0, 0), (0, 1)]), 20)
    >>> even.points[[0, -1], 0].round(6).tolist()
    [-51.0, 51.0]
    """
    found, tip = _crossings(guide, line, piece)
    if len(found) != (2 if guide.closed else 1):
        words = f"The line crosses the centre line {len(found)} times; one that is alike on both sides crosses it "
        raise MosaicError(words, "twice." if guide.closed else "once, in its middle.", " Move the centre line.")
    far, low = (found[1], found[1] - guide.length) if guide.closed else (guide.length, 0.0)
    there, back = _stops(guide, found[0], far), _stops(guide, found[0], low)
    if len(there) != len(back):
        raise MosaicError(
            "The line has a corner on one side of the centre line that the other side lacks. Move either."
        )
    half, corners = _mean(guide, line, there, back, piece)
    other, last = line.mirror(half[::-1]), len(half) - 1
    if guide.closed:
        corners = [*(k for k, at in zip((0, last), tip, strict=True) if at), *corners, *(2 * last - k for k in corners)]
        return Guide(np.concatenate([half, other[1:-1]]), True, corners)
    corners = [*([last] if tip[0] else []), *(last + k for k in corners), *(last - k for k in corners)]
    return Guide(np.concatenate([other, half[1:]]), False, corners)


def _corners(guide: Guide) -> np.ndarray:
    """Return the stations of true corners [mm]."""
    return np.array([part.s0 for part in guide.parts[0 if guide.closed else 1 :] if guide.corners]) % guide.length


def _crossings(guide: Guide, line: CentreLine, piece: float) -> tuple[np.ndarray, list[bool]]:
    """Return where a guide crosses the centre line, rising [mm], and whether a true corner stands there, or within a piece."""
    count = max(64, math.ceil(4 * FINE * guide.length / piece))
    s = np.linspace(0, guide.length, count + 1)[: count if guide.closed else count + 1]
    off = line.off(guide.at(s))
    after, ahead = (np.roll(off, -1), np.append(s[1:], guide.length)) if guide.closed else (off[1:], s[1:])
    k = np.flatnonzero((off[: len(after)] >= 0) != (after >= 0))
    found = s[k] + (ahead[k] - s[k]) * off[k] / (off[k] - after[k])
    corners = _corners(guide)
    away = np.abs(found[:, None] - corners)
    away = np.minimum(away, guide.length - away) if guide.closed else away
    tip = away.min(axis=1, initial=np.inf) <= piece
    found[tip] = corners[np.argmin(away, axis=1)[tip]] if tip.any() else found[tip]
    # a wry tip may cross to and fro
    found, first, often = np.unique(found, return_index=True, return_counts=True)
    return found[often % 2 == 1], tip[first][often % 2 == 1].tolist()


def _stops(guide: Guide, begin: float, end: float) -> np.ndarray:
    """Return two stations and the corners between them, in order from the first; a closed guide runs on past its end [mm]."""
    corners = np.concatenate([_corners(guide) - guide.length, _corners(guide)]) if guide.closed else _corners(guide)
    low, high = sorted([begin, end])
    inner = np.sort(corners[(corners > low + 1e-6) & (corners < high - 1e-6)])
    return np.array([begin, *(inner if end > begin else inner[::-1]), end])


def _mean(guide: Guide, line: CentreLine, there, back, piece: float) -> tuple[np.ndarray, list[int]]:
    """Return half of the mean line, from the centre line on, and its corners.

    From stations on one side and on the other, corners between both ends, shape (n,) [mm].
    """
    stations, corners = [np.stack([there[:1], back[:1]])], []
    for a, b in itertools.pairwise(np.stack([there, back], axis=1)):
        count = max(2, math.ceil(FINE * np.abs(b - a).max() / piece))
        stations.append(a[:, None] + (b - a)[:, None] * np.arange(1, count + 1) / count)
        corners.append(count)
    s = np.concatenate(stations, axis=1)
    s = np.mod(s, guide.length) if guide.closed else np.clip(s, 0, guide.length)
    one, two = guide.at(s[0]), line.mirror(guide.at(s[1]))
    moved = np.hypot(*(one - two).T) / 2
    if moved.max() > NEAR * piece:
        x, y = one[np.argmax(moved)].round().tolist()
        words = "The drawing is not alike on both sides of the centre line: near ", mm(x, y, between=", "), " it lies "
        raise MosaicError(*words, mm(round(2 * moved.max(), 1)), " off its mirror image. Move either.")
    half = (one + two) / 2
    ends = [0, -1] if guide.closed else [0]
    half[ends] -= line.off(half[ends])[:, None] * line.across
    return half, np.cumsum(corners)[:-1].tolist()
