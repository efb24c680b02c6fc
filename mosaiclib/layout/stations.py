"""Where the joints of one row stand along its guide."""

__all__ = ["ZONES", "Run", "Sampled", "runs_of", "stations", "zones"]

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from mosaiclib.layout.rowspec import Rules, Strip

ZONES = ("leave whole", "wedge", "fan", "seam")
WHOLE, WEDGE, FAN, SEAM = range(4)
VANISHED = 0.04  # speed of an offset under which there is no row
SAFE = 0.9  # share of the slack that is used, so that rounding never leaves the limits
LEAST_SHARE = 0.7  # a piece is not made narrower than this share of its tile to keep its edge near the curve
SHARERS = 4  # pieces at the end of a row that share what is left over


class Sampled(NamedTuple):
    """Even samples of one smooth part of a guide.

    Parameters
    ----------
    s : array, shape (n,)
        Arc length [mm]; may run past the part's ends on its tangents.
    xy, normal : array, shape (n, 2)
        Points [mm] and unit normals to the right.
    curvature : array, shape (n,)
        Above 0 where travel turns left [1/mm].
    """

    s: np.ndarray
    xy: np.ndarray
    normal: np.ndarray
    curvature: np.ndarray


@dataclass(frozen=True)
class Run:
    """A stretch of one row that is laid in one go.

    Parameters
    ----------
    begin, end : int
        First and last sample.
    ring : bool
        Whether it closes on itself.
    """

    begin: int
    end: int
    ring: bool = False


def zones(strip: Strip, curvature: np.ndarray, rules: Rules) -> tuple[np.ndarray, np.ndarray]:
    """Tell for every sample what can be laid there and how many pieces a millimetre takes.

    The wider edge of the row rules: pieces per mm = speed/(width + joint), taken on the centre line where
    tiles stay whole. Where a straight edge would leave the curve too far, pieces are taken narrower.

    Parameters
    ----------
    strip : Strip
        The row.
    curvature : array, shape (n,)
        Of the guide [1/mm].
    rules : Rules
        Joint and limits.

    Returns
    -------
    zone : array of int, shape (n,)
        Index into `ZONES`.
    density : array, shape (n,)
        Pieces per mm of guide.
    """
    left, right = 1 + curvature * strip.left, 1 + curvature * strip.right
    wide, narrow = np.maximum(left, right), np.minimum(left, right)
    width, joint = strip.spec.width, rules.joint
    bent = np.abs(curvature) * strip.spec.height / 2 * (width + joint)
    middle = (wide + narrow) / 2
    whole = (bent <= 2 * SAFE * rules.slack * middle) & (middle > VANISHED)
    # how wide a straight edge may be before its sag eats the slack: w^2/(8 R) <= slack
    with np.errstate(divide="ignore"):
        radius = np.where(curvature != 0, wide / np.abs(curvature), np.inf)
    kept = np.clip(np.sqrt(16 * np.maximum(radius, 0) * max(rules.slack, 0.05)), LEAST_SHARE * width, width)
    kept = np.where(whole, width, kept)
    end = (kept + joint) * narrow / np.maximum(wide, VANISHED) - joint
    zone = np.where(whole, WHOLE, np.where(end >= strip.narrow_end, WEDGE, FAN))
    zone = np.where(wide <= VANISHED, SEAM, zone)
    speed = np.where(whole, middle, wide)
    return zone, np.where(zone == SEAM, 0.0, np.maximum(speed, 0.0) / (kept + joint))


def runs_of(laid: np.ndarray, closed: bool) -> list[Run]:
    """Return the stretches of samples where a row is laid.

    Parameters
    ----------
    laid : array of bool, shape (n,)
        Whether the row is laid at a sample.
    closed : bool
        Whether the last sample meets the first.

    Returns
    -------
    list of Run
        Stretches of two samples or more.

    Examples
    --------
    >>> runs_of(np.array([True, True, False, True, True, True]), False)
    [Run(begin=0, end=1, ring=False), Run(begin=3, end=5, ring=False)]
    """
    if laid.all() and closed:
        return [Run(0, len(laid) - 1, True)]
    steps = np.diff(np.concatenate([[0], laid.astype(np.int8), [0]]))
    begins, ends = np.flatnonzero(steps == 1), np.flatnonzero(steps == -1) - 1
    return [Run(int(b), int(e)) for b, e in zip(begins, ends, strict=True) if e > b]


def stations(
    strip: Strip,
    s: np.ndarray,
    zone: np.ndarray,
    density: np.ndarray,
    rules: Rules,
    ring: bool,
    stagger: bool,
) -> np.ndarray:
    """Return the arc lengths where the joints of a run stand, its two ends included.

    Parameters
    ----------
    strip : Strip
        The row.
    s, zone, density : array, shape (n,)
        Samples of the run.
    rules : Rules
        Joint and limits.
    ring : bool
        Whether the run closes on itself.
    stagger : bool
        Whether it begins half a piece out of step.

    Returns
    -------
    array, shape (pieces + 1,)
        Arc lengths along the guide [mm], rising; empty where not even a narrow piece fits.
    """
    step = np.diff(s)
    units = np.concatenate([[0.0], np.cumsum((density[1:] + density[:-1]) / 2 * step)])
    pitch = strip.spec.width + rules.joint
    spare = 0.0 if ring else rules.joint / pitch
    total = units[-1] + spare
    if total < (strip.narrow_end + rules.joint) / pitch:
        return np.zeros(0)
    shares = _shares(strip, total, units, zone, rules, ring, stagger)
    marks = np.concatenate([[0.0], np.cumsum(shares)]) * units[-1] / max(shares.sum(), 1e-12)
    if not ring:
        # the first and last piece lack half a joint, which stands outside the run
        marks = np.cumsum(shares)[:-1] - spare / 2
        marks = np.concatenate([[0.0], marks, [units[-1]]])
    elif stagger:
        marks = marks + 0.5 * marks[1]
    return _inverted(marks, units, s, ring)


def _inverted(marks: np.ndarray, units: np.ndarray, s: np.ndarray, ring: bool) -> np.ndarray:
    """Return the arc lengths of piece counts; a ring goes on past its end."""
    if not ring:
        return np.interp(marks, units, s)
    turn = np.floor(marks / units[-1])
    return np.interp(marks - turn * units[-1], units, s) + turn * (s[-1] - s[0])


def _shares(
    strip: Strip, total: float, units: np.ndarray, zone: np.ndarray, rules: Rules, ring: bool, stagger: bool
) -> np.ndarray:
    """Return how much of a full pitch each piece of a run takes, adding up to `total`."""
    pitch = strip.spec.width + rules.joint
    half = (strip.spec.width / 2 + rules.joint) / pitch
    shifted = stagger and not ring and total > 2.5 and strip.spec.width / 2 >= strip.narrow_end
    first = half if shifted else 1.0
    count = max(1, int(np.ceil(total - first - 1e-9)) + 1)
    shares = np.full(count, 1.0)
    shares[0] = first
    over = shares.sum() - total
    if over <= 1e-12:
        return shares
    middles = np.cumsum(shares) - shares / 2
    whole = zone[np.searchsorted(units, np.minimum(middles, units[-1]), side="right").clip(1) - 1] == WHOLE
    whole[0], whole[-1] = whole[0] and ring, whole[-1] and ring
    return _absorbed(shares, over, whole, 2 * SAFE * rules.slack / pitch, ring, pitch, strip)


def _absorbed(shares, over, whole, play, ring, pitch, strip) -> np.ndarray:
    """Take what a run is too long by out of its pieces, never leaving a sliver.

    First the joints between whole tiles give way within their limits, closing or, with one piece fewer,
    opening; then wedges are cut narrower, all alike; then the last few pieces share it.
    """
    count = len(shares)
    if whole.sum() * play >= over:
        return shares - np.where(whole, over / max(whole.sum(), 1), 0.0)
    missing = shares[-1] - over
    if count > 2 and 0 <= missing <= whole[:-1].sum() * play:
        return shares[:-1] + np.where(whole[:-1], missing / whole[:-1].sum(), 0.0)
    cut = ~whole
    cut[0] = cut[0] and (ring or shares[0] == 1.0)
    most = 1 - (strip.narrow_end + (pitch - strip.spec.width)) / pitch
    if cut.sum() >= SHARERS and over / cut.sum() <= 0.5 * most:
        return shares - np.where(cut, over / cut.sum(), 0.0)
    last = np.zeros(count, bool)
    last[max(0, count - SHARERS) :] = True
    if count > 1 and shares[0] < 1:
        last[0] = False
    return shares - np.where(last, over / last.sum(), 0.0)
