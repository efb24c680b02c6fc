"""Drawn curves as cubic Béziers, and the guide that follows them: corners where the tangent breaks, a spline between.

A cubic is an array of four points, (4, 2) [mm]; a path is (n, 4, 2), each cubic beginning where the one before ends.
"""

__all__ = ["ELLIPSE_STEP", "elliptic_arc", "flattened", "guide_along", "quadratic", "segment"]

import math

import numpy as np
import scipy
import shapely

from mosaiclib.errors import MosaicError
from mosaiclib.layout.guide import Guide
from mosaiclib.units import mm

ELLIPSE_STEP = math.pi / 8  # a cubic over this angle leaves its circle by 7e-8 of the radius
MOST_FLAT = 200_000  # points of a path drawn with straight strokes
MOST_CURVES = 3000  # of a line that a guide follows, and its corners: a second
MOST_CORNERS = 300
MOST_KNOTS = 4096  # of one smooth run
SAME = 1e-7  # [mm] nearer points are one
STALL = 0.01  # share of a cubic's greatest speed under which it halts: a cusp
GENTLE = math.radians(5)  # a knot at least as often as this much turning


def segment(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Return the straight cubic from a to b, shape (1, 4, 2)."""
    return np.asarray(a) + np.linspace(0, 1, 4)[None, :, None] * (np.asarray(b) - np.asarray(a))


def quadratic(a: np.ndarray, control: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Return the quadratic Bézier as a cubic, shape (1, 4, 2): the same curve."""
    a, control, b = (np.asarray(p, float) for p in (a, control, b))
    return np.array([[a, a + 2 / 3 * (control - a), b + 2 / 3 * (control - b), b]])


def elliptic_arc(
    centre: tuple[float, float], radii: tuple[float, float], turned: float, start: float, sweep: float
) -> np.ndarray:
    """Return cubics along an arc of an ellipse, shape (n, 4, 2), within 7e-8 of the greater radius.

    `turned` is the angle of its first axis, `start` and `sweep` are angles before it is stretched [radians].
    """
    count = max(1, math.ceil(abs(sweep) / ELLIPSE_STEP - 1e-9))
    step = sweep / count
    k = 4 / 3 * math.tan(step / 4)
    a = start + step * np.arange(count)
    on = np.stack([_round(a), _round(a) + k * _ahead(a), _round(a + step) - k * _ahead(a + step), _round(a + step)], 1)
    cos, sin = math.cos(turned), math.sin(turned)
    return on * radii @ np.array([[cos, sin], [-sin, cos]]) + centre


def _round(angle: np.ndarray) -> np.ndarray:
    return np.stack([np.cos(angle), np.sin(angle)], axis=-1)


def _ahead(angle: np.ndarray) -> np.ndarray:
    return np.stack([-np.sin(angle), np.cos(angle)], axis=-1)


def flattened(path: np.ndarray, tolerance: float) -> np.ndarray:
    """Return points along a path, shape (m, 2), whose straight strokes leave it by at most `tolerance` [mm]."""
    return _places(path, *_steps(path, tolerance))


def _steps(path: np.ndarray, tolerance: float, least: int = 1) -> tuple[np.ndarray, np.ndarray]:
    """Return the cubic and the parameter, 0 to 1, of points close enough for straight strokes, shapes (m,).

    A stroke over a step h of t leaves the curve by at most h^2/8 max|B''|, and |B''| is greatest at an end.
    """
    second = np.linalg.norm(6 * np.diff(path, n=2, axis=1), axis=2).max(axis=1)
    counts = np.maximum(np.ceil(np.sqrt(second / (8 * tolerance))), np.where(second > SAME, least, 1))
    if not counts.sum() < MOST_FLAT:
        raise MosaicError(f"It is too long or too finely bent: it would need over {MOST_FLAT} points.")
    counts = counts.astype(int)
    which = np.repeat(np.arange(len(path)), counts)
    t = (np.arange(len(which)) - np.repeat(np.cumsum(counts) - counts, counts)) / counts[which]
    return np.append(which, len(path) - 1), np.append(t, 1.0)


def _places(path: np.ndarray, which: np.ndarray, t: np.ndarray) -> np.ndarray:
    t = t[:, None]
    a, b, c, d = (path[which, i] for i in range(4))
    return (1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t**2 * c + t**3 * d


def guide_along(path: np.ndarray, closed: bool, tolerance: float = 0.005, corner: float = 5.0) -> Guide:
    """Return the guide that stays within `tolerance` [mm] of a path, (n, 4, 2) [mm].

    Corners are where the tangent turns at once by more than `corner` [degrees]; a closed guide begins at one.
    """
    path = path[np.ptp(path, axis=1).max(axis=1) > SAME]
    if not 0 < len(path) <= MOST_CURVES:
        why = f"It has {len(path)} curves; a line may have {MOST_CURVES}. Draw with fewer points."
        raise MosaicError(why if len(path) else "It is a single point.")
    path = _halted(path)
    breaks = _breaks(path, closed, math.radians(corner))
    if len(breaks) > MOST_CORNERS:
        raise MosaicError(f"It has {len(breaks)} corners; a line may have {MOST_CORNERS}. Draw with fewer points.")
    if closed and len(breaks):
        path, breaks = np.roll(path, -breaks[0], axis=0), breaks - breaks[0]
    smooth = closed and not len(breaks)
    runs = np.split(path, breaks[breaks > 0])
    knots = [_knots(run, smooth, tolerance)[:-1] for run in runs]
    ends = np.cumsum([0, *(len(k) for k in knots)])
    points = np.vstack(knots if closed else [*knots, path[-1:, 3]])
    corners = () if smooth else ends[:-1] if closed else ends[1:-1]
    return Guide(points, closed, [int(c) for c in corners])


def _halted(path: np.ndarray) -> np.ndarray:
    """Return the path with cubics cut where they halt: a cusp, or a straight one that runs back."""
    hodograph = 3 * np.diff(path, axis=1)
    t = np.linspace(0, 1, 33)[:, None, None]
    along = (1 - t) ** 2 * hodograph[:, 0] + 2 * t * (1 - t) * hodograph[:, 1] + t**2 * hodograph[:, 2]
    pace = np.linalg.norm(along, axis=2)
    slow = np.flatnonzero(pace[1:-1].min(axis=0) < 0.2 * pace.max(axis=0))
    cut = {i: _cut(path[i], _halts(hodograph[i], pace[:, i].max())) for i in slow}
    return np.vstack([cut.get(i, path[i : i + 1]) for i in range(len(path))]) if cut else path


def _halts(hodograph: np.ndarray, fastest: float) -> list[float]:
    """Return the parameters inside a cubic where its speed is least and next to nothing."""
    a, b, c = hodograph[0] - 2 * hodograph[1] + hodograph[2], 2 * (hodograph[1] - hodograph[0]), hodograph[0]
    squared = sum(np.convolve(p, p) for p in np.stack([a, b, c]).T)
    roots = np.roots(np.polyder(squared))
    times = sorted(r.real for r in roots if abs(r.imag) < 1e-6 and 1e-3 < r.real < 1 - 1e-3)
    return [t for t in times if math.sqrt(max(0.0, np.polyval(squared, t))) < STALL * fastest]


def _cut(cubic: np.ndarray, times: list[float]) -> np.ndarray:
    """Return the cubics between the parameters given, by de Casteljau's rule."""
    found, done = [], 0.0
    for time in times:
        t = (time - done) / (1 - done)
        levels = [cubic]
        while len(levels[-1]) > 1:
            levels.append((1 - t) * levels[-1][:-1] + t * levels[-1][1:])
        found.append(np.array([level[0] for level in levels]))
        cubic, done = np.array([level[-1] for level in reversed(levels)]), time
    return np.array([*found, cubic])


def _breaks(path: np.ndarray, closed: bool, corner: float) -> np.ndarray:
    """Return the numbers of the cubics that begin at a corner; 0 only of a closed path."""
    starts, ends = _leaving(path), -_leaving(path[:, ::-1])
    before = np.roll(ends, 1, axis=0)
    cross = before[:, 0] * starts[:, 1] - before[:, 1] * starts[:, 0]
    found = np.abs(np.arctan2(cross, (before * starts).sum(axis=1))) > corner
    found[0] &= closed
    return np.flatnonzero(found)


def _leaving(path: np.ndarray) -> np.ndarray:
    """Return the directions in which cubics leave their first points: to the next control point that is elsewhere."""
    away = path[:, 1:] - path[:, :1]
    far = np.linalg.norm(away, axis=2)
    first = np.argmax(far > 1e-6 * far.max(axis=1, keepdims=True), axis=1)
    return away[np.arange(len(path)), first]


def _knots(run: np.ndarray, smooth: bool, tolerance: float) -> np.ndarray:
    """Return points along a smooth run, its two ends among them, whose spline stays within the tolerance."""
    turning = _turning(run)
    if turning < 1e-9 and not smooth:
        return run[[0, -1], [0, 3]]
    which, t = _steps(run, tolerance / 10, least=8)
    flat = _places(run, which, t)
    reach = _reach(flat)
    count = max(8, math.ceil(turning / GENTLE))
    while count <= MOST_KNOTS:
        at = np.interp(np.linspace(0, 1, count + 1), reach, which + t)
        on = np.minimum(at.astype(int), len(run) - 1)
        points = _places(run, on, at - on)
        if smooth:
            points[-1] = points[0]
        if _farthest(_spline_points(points, smooth), flat, tolerance) <= 0.8 * tolerance:
            return points
        count *= 2
    raise MosaicError("It bends too sharply, or too often, to be followed within ", mm(tolerance), ".")


def _reach(flat: np.ndarray) -> np.ndarray:
    """Return how much of a line of points lies before each, 0 to 1: half of it by length, half by turning."""
    steps = np.diff(flat, axis=0)
    long = np.hypot(*steps.T)
    cross = steps[:-1, 0] * steps[1:, 1] - steps[:-1, 1] * steps[1:, 0]
    turned = np.abs(np.arctan2(cross, (steps[:-1] * steps[1:]).sum(axis=1)))
    bent = np.pad(turned, (0, 1)) + np.pad(turned, (1, 0))
    share = long / long.sum() + bent / max(bent.sum(), 1e-9)
    return np.concatenate([[0.0], np.cumsum(share) / share.sum()])


def _turning(run: np.ndarray) -> float:
    """Return how far the control polygon of a run turns, left and right added up [radians]."""
    steps = np.diff(np.vstack([run[:1, 0], run[:, 1:].reshape(-1, 2)]), axis=0)
    steps = steps[np.hypot(*steps.T) > SAME]
    cross = steps[:-1, 0] * steps[1:, 1] - steps[:-1, 1] * steps[1:, 0]
    return float(np.abs(np.arctan2(cross, (steps[:-1] * steps[1:]).sum(axis=1))).sum())


def _spline_points(points: np.ndarray, smooth: bool) -> np.ndarray:
    """Return eight points to each stretch of the spline that a guide lays through points."""
    chord = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    fine = np.interp(np.arange(8 * len(points) - 7) / 8, np.arange(len(points)), chord)
    return scipy.interpolate.CubicSpline(chord, points, bc_type="periodic" if smooth else "not-a-knot")(fine)


def _farthest(one: np.ndarray, other: np.ndarray, enough: float) -> float:
    """Return how far two lines of points lie apart where they do most, or the first such that is over enough [mm]."""
    found = 0.0
    for points, line in ((one, other), (other, one)):
        tree = shapely.STRtree(shapely.linestrings(np.stack([line[:-1], line[1:]], axis=1)))
        _, apart = tree.query_nearest(shapely.points(points), return_distance=True, all_matches=False)
        found = max(found, float(apart.max()))
        if found > enough:
            break
    return found
