"""Where the joints of a row stand: good ends and corners first, then symmetry, then out of step with the row before.

| symbol | here | meaning |
|---|---|---|
| a, j | width, joint | of a piece along the row, and between pieces [mm] |
| t | units | place along a run, counted in full pitches a + j |
| x | stretch | pitches that a run is laid longer, by closing joints or narrower wedges; below 0 by opening joints |
"""

__all__ = ["Stretch", "mirror_station", "stations"]

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from mosaiclib.layout.layout import JointLimits
from mosaiclib.layout.rowspec import RowPlace

PHASES = 16  # first pieces that are tried, from a sixteenth to a whole one
STRETCHES = 5  # ways to close or open the joints that are tried, within their limits
NARROWER = 0.15  # share of its width that a wedge, cut anyway, may lose to bring a run out even
LONG = 4.0  # pitches of a run so long that cut pieces may stand beside those at its corners
HALF = 0.5  # share of a piece that a cut leaves at least where it can (ANSI A108.02)
STEP = 0.025  # ends that differ by less are as good as each other
STACKED = 0.5  # share of joints on a joint of the row before above which ends that are alike matter less
COMPARED = 64  # joints of a run that are compared with the row before
NEAR = 1e-3  # differences that do not count, so that mirror images are treated alike
ALIKE = 0.02  # shares of a curve that is its own mirror image differ by no more


class Stretch(NamedTuple):
    """A run of a row to be shared out, n samples of it.

    Arc length [mm]; pieces that a millimetre takes; share of a pitch by which joints there may close or open, 0 where
    pieces are cut; share of the row's width that may be laid; whether it is a ring; whether it begins and ends in the
    bisector of a corner.
    """

    s: np.ndarray
    density: np.ndarray
    play: np.ndarray
    held: np.ndarray
    ring: bool
    corner: tuple[bool, bool] = (False, False)


class _Ways(NamedTuple):
    """Ways to share out a run, m of them: the stretch x, by number and in pitches, first and last share of a pitch,
    shares cut in the middle, and beside the first and the last piece, shape (m, 2); 0 where none is cut there."""

    k: np.ndarray
    x: np.ndarray
    first: np.ndarray
    last: np.ndarray
    middle: np.ndarray
    beside: np.ndarray


class _Room(NamedTuple):
    """Places t along an open run, n samples, and the pitches it can be laid longer, and shorter, up to each."""

    t: np.ndarray
    longer: np.ndarray
    shorter: np.ndarray

    def scale(self, x: np.ndarray) -> "_Scale":
        """Return the places t of a run that is laid each of some lengths longer [pitches]."""
        give = np.where(x[:, None] > 0, self.longer, self.shorter)
        apart = self.t[-1] + 10.0
        t = self.t + x[:, None] * give / np.maximum(give[:, -1:], 1e-300)
        return _Scale(t, apart, (t + apart * np.arange(len(x))[:, None]).ravel())


class _Scale(NamedTuple):
    """Places t along a run for each way to stretch it, shape (ways, n); so far apart on one line that all are read at once."""

    t: np.ndarray
    apart: float
    line: np.ndarray

    def read(self, k: np.ndarray, place: np.ndarray, values: np.ndarray) -> np.ndarray:
        """Return values, shape (n,), at places of stretches by number."""
        return np.interp(place + self.apart * k, self.line, np.tile(values, len(self.t)))


def stations(
    row: RowPlace, run: Stretch, limits: JointLimits, before: np.ndarray | None = None, axis: float | None = None
) -> np.ndarray:
    """Return the arc lengths where the joints of a run stand, its two ends included, shape (pieces + 1,) [mm].

    Joints of the row `before` [mm] are avoided; a ring is laid alike either way from `axis` [mm]. Empty where not even
    a narrow piece fits.
    """
    units = _running(run.density, run.s)
    pitch = row.width + limits.joint
    spare = 0.0 if run.ring else limits.joint / pitch
    if units[-1] + spare < (row.narrow_end + limits.joint) / pitch:
        return np.zeros(0)
    if run.ring:
        return _round(run, units, before, axis, limits.joint)
    room = _room(run, units, spare)
    x = _stretches(room)
    ways, scale = _ways(run, room.t[-1], x), room.scale(x)
    fitness = _fitness(ways, run.corner, scale, _running(run.held, room.t), row.width / pitch)
    best = np.flatnonzero(fitness >= fitness.max() - 1e-9)
    ways = _Ways(*(part[best] for part in ways))
    joints = _joints(ways, room.t[-1] + ways.x)
    chosen = _chosen(ways, joints, run, scale, before, limits.joint)
    inner = joints[chosen][~np.isnan(joints[chosen])]
    return np.concatenate([run.s[:1], scale.read(ways.k[chosen], inner, run.s), run.s[-1:]])


def _chosen(ways: _Ways, joints: np.ndarray, run: Stretch, scale: _Scale, before, near: float) -> int:
    """Return the number of the way, all being as fit, that is alike at both ends, unless rows would stand joint on
    joint; then the one least in line with the row before, then that with the fewest cuts."""
    askew = (np.abs(ways.first - ways.last) > 1e-6) & _mirrored(run)
    odd = (ways.first < 1 - 1e-9).astype(int) + (ways.last < 1 - 1e-9) + (ways.middle > 0)
    odd += (ways.beside > 0).sum(axis=1)
    lined = np.zeros(len(ways.x))
    if before is not None and joints.shape[1]:
        lined = _lined_up(scale.read(ways.k[:, None], joints[:, _some(joints.shape[1])], run.s), before, near)
    return int(np.lexsort((np.abs(ways.x), odd, lined, askew, lined > STACKED))[0])


def _running(density: np.ndarray, s: np.ndarray) -> np.ndarray:
    """Return the integral of a density over s from its beginning, shape (n,)."""
    total = np.zeros(len(s))
    np.cumsum((density[1:] + density[:-1]) / 2 * (s[1:] - s[:-1]), out=total[1:])
    return total


def _room(run: Stretch, units: np.ndarray, spare: float) -> _Room:
    """Return the room in an open run; its first and last piece lack half a joint, which stands outside the run."""
    t = units + spare / 2
    t[0], t[-1] = 0.0, units[-1] + spare
    # the first and last piece end flush, so that only one of their joints gives
    play = np.where((t < 1) | (t > t[-1] - 1), 0.5, 1.0) * run.play
    return _Room(t, _running(np.where(play > 0, play, NARROWER), t), _running(play, t))


def _stretches(room: _Room) -> np.ndarray:
    """Return the pitches by which a run may be laid longer: within its room, evenly, and to a whole number of pieces."""
    total, longer, shorter = (float(part[-1]) for part in room)
    if total <= 1:
        return np.zeros(1)
    longer, shorter = min(1.0, longer), min(1.0, shorter)
    steps = (k * (longer + shorter) / (STRETCHES - 1) - shorter for k in range(STRETCHES))
    x = 0.0, *steps, math.ceil(total - 1e-9) - total, math.floor(total + 1e-9) - total
    return np.array(sorted({round(one, 12) for one in x if -shorter - 1e-12 <= one <= longer + 1e-12}))


def _ways(run: Stretch, total: float, x: np.ndarray) -> _Ways:
    """Return the ways to share out an open run."""
    length, k = total + x, np.arange(len(x))
    rest = length - np.ceil(length - 1 - 1e-9)  # above 0 up to 1: what a run leaves that begins with whole pieces
    if total <= 1:
        return _Ways(k, x, length, length, 0 * x, np.zeros((len(x), 2)))
    if any(run.corner):
        return _from_corners(run.corner, x, length, rest)
    first = np.empty((len(x), PHASES + 2))
    first[:, :PHASES] = np.arange(1, PHASES + 1) / PHASES
    first[:, -2], first[:, -1] = (1 + rest) / 2, rest / 2  # both ends alike
    last = length[:, None] - first
    last = last - np.ceil(last - 1 - 1e-9)
    none = np.zeros((first.size, 2))
    return _Ways(*(np.repeat(part, PHASES + 2) for part in (k, x)), first.ravel(), last.ravel(), none[:, 0], none)


def _from_corners(corner: Sequence[bool], x: np.ndarray, length: np.ndarray, rest: np.ndarray) -> _Ways:
    """Return the ways to share out a run of some lengths from its corners, each with the rest that it leaves [pitches].

    Whole pieces first, cut ones in the middle of a side or at its free end; or one beside the piece at each corner as well,
    so that those between are out of step with a row that begins whole.
    """
    k, pair, whole = np.arange(len(x)), (1 + rest) / 2, np.ones_like(x)
    if all(corner):
        # one cut piece stands in the middle of an even number of whole ones, else a pair of them
        single = (rest >= HALF) & (np.round(length - rest).astype(int) % 2 == 0)
        middle = np.where(rest > 1 - 1e-9, 0.0, np.where(single, rest, pair))
        # a side too short for that is two pieces or three, all alike
        few = np.where(length <= 2, 2, 3)
        short = (length <= 2) | ((length < 3) & (rest < HALF))
        first = last = np.where(short, length / few, 1.0)
        middle = np.where(short, (few - 2) * length / few, middle)
    else:
        (first, last), middle = (whole, rest) if corner[0] else (rest, whole), 0 * x
    ways = _Ways(k, x, first, last, middle, np.zeros((len(x), 2)))
    more = np.flatnonzero((length >= LONG) & (rest < 1 - 1e-9))
    share = pair[more, None]
    if not all(corner):  # what is left may be shared unevenly with the free end
        some = np.linspace(1, HALF, PHASES // 2, endpoint=False)
        share = np.concatenate([share, np.tile(some, (len(more), 1))], axis=1)
    more, share = np.repeat(more, share.shape[1]), share.ravel()
    free = 1 + rest[more] - share
    ends = np.where(corner, 1.0, (free - np.ceil(free - 1 - 1e-9))[:, None])
    aside = _Ways(k[more], x[more], *ends.T, 0 * share, np.where(corner, share[:, None], 0.0))
    return _Ways(*(np.concatenate(both) for both in zip(ways, aside, strict=True)))


def _fitness(ways: _Ways, corner: Sequence[bool], scale: _Scale, laid: np.ndarray, share: float) -> np.ndarray:
    """Rate the ways by their smallest end piece, up to half a piece; a piece is a `share` of its pitch.

    Pitches that are `laid`, by how much of the row's width may be, up to each sample.
    """
    ends = scale.read(ways.k, np.stack([ways.first, scale.t[ways.k, -1] - ways.last]), laid)
    ends[1] = laid[-1] - ends[1]
    ends[list(corner)] = 1.0  # what a corner leaves of its pieces is not to be chosen
    cut = np.concatenate([ways.middle[:, None], ways.beside], axis=1)
    least = np.minimum(ends.min(axis=0), np.where(cut > 0, cut, 1.0).min(axis=1))
    return np.floor(np.minimum(HALF, (least - 1) / share + 1) / STEP + NEAR)


def _mirrored(run: Stretch) -> bool:
    """Tell whether a run is as curved, and as free, from its one end as from the other."""
    back = run.s[0] + run.s[-1] - run.s
    turned = [np.interp(back, run.s, values) for values in (run.density, run.held)]
    scale = max(float(np.abs(run.density).max()), 1e-12)
    off = np.abs(turned[0] - run.density).mean() / scale, np.abs(turned[1] - run.held).mean()
    return bool(max(off) < ALIKE)


def _joints(ways: _Ways, total: np.ndarray) -> np.ndarray:
    """Return the places of the joints within runs of `total` pitches, shape (ways, most), not a number where fewer."""
    if ways.middle.any() or ways.beside.any():
        columns = zip(total, ways.first, ways.last, ways.middle, ways.beside, strict=True)
        listed = [_about_the_middle(*one) for one in columns]
        most = max(len(one) for one in listed)
        return np.array([np.pad(one, (0, most - len(one)), constant_values=np.nan) for one in listed])
    count = np.where(total - ways.first <= 1e-9, 0, np.round(total - ways.first - ways.last).astype(int) + 1)
    place = np.arange(count.max())
    return np.where(place < count[:, None], ways.first[:, None] + place, np.nan)


def _about_the_middle(total: float, first: float, last: float, middle: float, beside: np.ndarray) -> np.ndarray:
    """Return the joints of a side that is laid from its ends, cut pieces in its middle, or beside its first and last."""
    rest = total - first - last
    if beside.any():
        whole = first + beside[0] + np.arange(round(rest - beside.sum()) + 1)
        return np.sort(np.concatenate([np.array([first, total - last])[beside > 0], whole]))
    if not middle:
        return first + np.arange(round(rest) + 1)
    cut = 1 if abs(rest - middle - round(rest - middle)) < 1e-6 else 2
    side = np.arange(round(rest - cut * middle) // 2 + 1)
    left, right = first + side, total - last - side[::-1]
    if cut == 1:
        return np.concatenate([left, right])
    # a pair that has an odd number of whole pieces beside it takes one of them between
    between = [total / 2] if round(rest - 2 * middle) % 2 == 0 else [left[-1] + middle, right[0] - middle]
    return np.concatenate([left, between, right])


def _lined_up(joints: np.ndarray, before: np.ndarray, near: float) -> np.ndarray:
    """Return the share of the joints of each way, shape (ways, n), that stand within a joint of one of the row before,
    in steps of a tenth; both [mm]."""
    if not len(before):
        return np.zeros(len(joints))
    there = ~np.isnan(joints)
    met = there & (_nearest(np.where(there, joints, 0.0), before) < near - NEAR)
    return np.round(met.sum(axis=1) / np.maximum(there.sum(axis=1), 1), 1)


def _some(count: int) -> np.ndarray:
    """Return which of so many joints are compared with the row before, evenly chosen."""
    return np.linspace(0, count - 1, min(count, COMPARED)).astype(int)


def _nearest(joints: np.ndarray, before: np.ndarray) -> np.ndarray:
    """Return the distance from each joint to the nearest of those before, which are sorted [mm]."""
    at = np.searchsorted(before, joints).clip(1, max(len(before) - 1, 1))
    return np.minimum(np.abs(joints - before[at - 1]), np.abs(joints - before[np.minimum(at, len(before) - 1)]))


def _round(run: Stretch, units: np.ndarray, before, axis: float | None, near: float) -> np.ndarray:
    """Return the joints of a ring: a whole number of pieces, alike either way from its axis."""
    total, length = units[-1], run.s[-1] - run.s[0]
    give = float(_running(run.play, units)[-1])
    up, down = np.ceil(total - 1e-9) - total, total - np.floor(total + 1e-9)
    if up <= give or down > give or total < 2:
        weight, x = run.play if up <= give else np.where(run.play > 0, run.play, 1.0), up
    else:
        weight, x = run.play, -down
    give = _running(weight, units)
    v = units + x * give / give[-1] if give[-1] > 0 else units
    count = max(1, round(v[-1]))
    v = v * count / v[-1]
    start = 0.0 if axis is None else float(np.interp(axis, run.s, v))
    phases = np.array([0.0, 0.5]) if axis is not None else np.arange(PHASES) / PHASES
    marks = start + phases[:, None] + np.arange(count + 1)
    turn = np.floor(marks / count + 1e-12)
    found = np.interp(marks - turn * count, v, run.s) + turn * length
    if before is None:
        return found[0]
    around = np.sort(np.concatenate([before, before + length, before - length]))
    lined = _lined_up(run.s[0] + np.mod(found[:, _some(count)] - run.s[0], length), around, near)
    return found[int(np.argmin(lined))]


def mirror_station(s: np.ndarray, curvature: np.ndarray, xy: np.ndarray) -> float | None:
    """Return where a mirror axis crosses a closed line, from even samples, shape (n,) and (n, 2) [mm]; None without one.

    Of several axes the most upright one counts, and on it the lower crossing; a circle has every axis.
    """
    bend, n = curvature[:-1], len(curvature) - 1
    if np.ptp(bend) <= 1e-3 * np.abs(bend).max():
        low = int(np.argmin(xy[:-1, 1]))
        return float(s[0] + (low + _vertex(*xy[[low - 1, low, low + 1], 1])) * (s[1] - s[0]))
    at = _turning_points(bend)
    ends = [
        np.stack([np.interp(np.mod(k, n), np.arange(n + 1), xy[:, i]) for i in (0, 1)], axis=1)
        for k in (at, at + n / 2)
    ]
    if not len(at):
        return None
    lean = np.abs(ends[0][:, 0] - ends[1][:, 0]) / np.maximum(np.hypot(*(ends[0] - ends[1]).T), 1e-9)
    best = np.lexsort((ends[0][:, 1], lean.round(2)))[0]
    return float(s[0] + np.mod(at[best], n) * (s[-1] - s[0]) / n)


def _turning_points(bend: np.ndarray) -> np.ndarray:
    """Return the places, counted in samples, from which a ring's curvature, shape (n,), is alike either way."""
    n, power = len(bend), float(np.sum(bend**2))
    # turned round about k/2 a sample i comes to lie on k - i: the sum of squared differences, by convolution
    off = 2 * (power - np.fft.irfft(np.fft.rfft(bend) ** 2, n)) / power
    before, after = np.roll(off, 1), np.roll(off, -1)
    at = _vertex(before, off, after)
    least = off - (before - after) * at / 4  # of the parabola: an axis need not pass through a sample
    k = np.flatnonzero((least < ALIKE**2) & (off <= before) & (off <= after))
    half = (k + at[k]) / 2
    return np.concatenate([half, half + n / 2])


def _vertex(before: np.ndarray, least: np.ndarray, after: np.ndarray) -> np.ndarray:
    """Return how many samples beside the least of three the parabola through them has its vertex."""
    bow = np.maximum(before - 2 * least + after, 1e-300)
    return np.clip((before - after) / (2 * bow), -0.5, 0.5)
