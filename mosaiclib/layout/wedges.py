"""One wedge and one ring: what a person with a gauge needs at the bench.

| symbol | meaning |
|---|---|
| R | distance of the row's inside edge from the centre [mm] |
| h, a | height of the row, width of the piece along it [mm] |
| j | joint [mm] |
| N, theta | pieces in a full ring; angle from one joint to the next, 2 pi/N [radians] |
"""

__all__ = [
    "Wedge",
    "chord_sag",
    "gauge_steps",
    "natural_radius",
    "tightest_radius",
    "uncut_gap",
    "uncut_radius",
    "wedge",
]

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from mosaiclib.errors import MosaicError, number, several, whole_number
from mosaiclib.units import mm

MOST = 100_000  # pieces in a ring
EXACT = 1e-9  # [mm] rounding


@dataclass(frozen=True)
class Wedge:
    """The wedge of a full ring of `count` equal pieces with straight edges.

    Distances of the narrow and the wide edge from the centre, their widths and difference [mm]; angle between
    neighbouring joints, and of each side from square: half of it [degrees].
    """

    count: int
    inside_radius: float
    outside_radius: float
    angle: float
    cut_angle: float
    wide: float
    narrow: float
    taper: float

    @property
    def height(self) -> float:
        """Height of the wedge [mm]."""
        return self.outside_radius - self.inside_radius


def _sizes(width: float, height: float, joint: float) -> tuple[float, float, float]:
    """Return a, h and j, checked [mm]."""
    return (
        number(width, "width", "mm", above=0, greatest=1000),
        number(height, "height", "mm", above=0, greatest=1000),
        number(joint, "joint", "mm", least=0, greatest=100),
    )


def wedge(inside_radius: float, *, width: float, height: float, joint: float) -> Wedge:
    """Return the wedge of a full ring, cut from pieces of a given width.

    w = 2 r tan(theta/2) - j/cos(theta/2) at both edges, r = R and R + h; N is the least count whose wide edge is no
    wider than the piece.

    Parameters
    ----------
    inside_radius : float
        Distance R of the inside edge from the centre [mm].
    width, height : float
        Size a, h of the piece along and across the row [mm].
    joint : float
        Joint j, everywhere alike [mm].

    Returns
    -------
    Wedge
        Count, angle and widths; refused where the narrow edge would vanish.

    References
    ----------
    Plane geometry; the joint is parallel because each side lies half a joint beside a radius.

    Examples
    --------
    >>> found = wedge(45, width=10, height=10, joint=1)
    >>> found.count, round(found.wide, 3), round(found.narrow, 3), round(found.taper, 3)
    (32, 9.829, 7.859, 1.97)
    """
    a, h, j = _sizes(width, height, joint)
    R = number(inside_radius, "inside radius", "mm", above=0, greatest=100_000)

    def w(r: float, N: int) -> float:
        return 2 * r * math.tan(math.pi / N) - j / math.cos(math.pi / N)

    N = max(3, math.floor(2 * math.pi * (R + h) / (a + j)) - 1)
    while w(R + h, N) > a + EXACT:
        N += 1
        if N > MOST:
            raise MosaicError(f"A ring of over {MOST} pieces is too large.")
    narrow, wide = w(R, N), w(R + h, N)
    if narrow <= 0:
        raise MosaicError(
            *("At an inside radius of ", mm(R), " the narrow end of a piece of ", mm(a), " vanishes; "),
            "take smaller pieces or a larger radius.",
        )
    return Wedge(N, R, R + h, 360 / N, 180 / N, wide, narrow, wide - narrow)


def natural_radius(wide: float, narrow: float, *, height: float, joint: float) -> float:
    """Return the outside radius of the circle that a wedge makes by itself: (wide + j) h/(wide - narrow) [mm].

    Arc form, as kiln linings are reckoned: widths are taken along the circle.

    >>> natural_radius(103, 82, height=200, joint=2)
    1000.0
    """
    a, h, j = _sizes(wide, height, joint)
    end = number(narrow, "narrow end", "mm", least=0)
    if end >= a:
        raise MosaicError("The narrow end must be narrower than the wide one; a square piece makes no circle.")
    return (a + j) * h / (a - end)


def uncut_radius(*, width: float, height: float, joint_min: float, joint_max: float) -> float:
    """Return the least inside radius at which pieces may stay whole: R = h (a + j_min)/(j_max - j_min) [mm].

    The joint opens from its least inside to its greatest outside. On the safe side by 0.01 to 0.17 %: the exact
    value has a cos(theta/2) at the width.

    >>> uncut_radius(width=10, height=10, joint_min=1, joint_max=1.5)
    220.0
    """
    a, h, low = _sizes(width, height, joint_min)
    high = number(joint_max, "greatest joint", "mm", greatest=100)
    if high <= low:
        raise MosaicError("The greatest joint must be over the least; otherwise every bend needs wedges.")
    return h * (a + low) / (high - low)


def tightest_radius(*, width: float, height: float, joint: float, narrow_min: float) -> float:
    """Return the least inside radius at which a wedge keeps its narrow end.

    The angle at which the wide end is as wide as the piece gives the narrow one: narrow = a - 2 h tan(theta/2). So
    tan(theta/2) = (a - narrow)/(2 h), and R = (narrow + j/cos(theta/2))/(2 tan(theta/2)).

    Parameters
    ----------
    width, height, joint : float
        Size a, h of the piece and joint j [mm].
    narrow_min : float
        Narrowest end that is cut, under the width [mm].

    Returns
    -------
    float
        Inside radius R with straight edges [mm].

    Notes
    -----
    For an arc of any angle. A closed ring needs a whole count, so its true least radius is a little
    larger: see what `wedge` gives. The arc rule h q/(1 - q) is 0.3 to 3.5 % smaller, not on the safe side.

    Examples
    --------
    >>> round(tightest_radius(width=10, height=10, joint=1, narrow_min=4), 2)
    8.41
    """
    a, h, j = _sizes(width, height, joint)
    narrow = number(narrow_min, "narrow end", "mm", least=0)
    if narrow >= a:
        raise MosaicError("The narrow end must be narrower than the piece.")
    tan = (a - narrow) / (2 * h)
    return (narrow + j * math.hypot(1, tan)) / (2 * tan)


def uncut_gap(radius: float, *, width: float, count: int) -> float:
    """Return the gap between uncut pieces of a ring at radius r, below 0 where they overlap [mm].

    g = 2 r sin(theta/2) - a cos(theta/2), corner to corner.

    >>> round(uncut_gap(45, width=10, count=25), 3), round(uncut_gap(55, width=10, count=25), 3)
    (1.359, 3.866)
    """
    r, a = number(radius, "radius", "mm", above=0), number(width, "width", "mm", above=0)
    half = math.pi / whole_number(count, "number of pieces", least=3, greatest=MOST)
    return 2 * r * math.sin(half) - a * math.cos(half)


def chord_sag(width: float, radius: float) -> float:
    """Return how far a straight edge lies off its circle in the middle: s = r - sqrt(r^2 - a^2/4) [mm].

    >>> round(chord_sag(10, 45), 3)
    0.279
    """
    a, r = number(width, "width", "mm", least=0), number(radius, "radius", "mm", above=0)
    if a > 2 * r:
        raise MosaicError("The edge is longer than the circle is wide.")
    return r - math.sqrt(r**2 - a**2 / 4)


def gauge_steps(tapers: Sequence[float], step: float) -> np.ndarray:
    """Round tapers, shape (n,), to the steps of a gauge and carry the rest on, so that the turning still closes [mm].

    Their running sum is never off by over half a step.

    >>> gauge_steps([0.7, 0.7, 0.7, 0.7], 0.5).tolist()
    [0.5, 1.0, 0.5, 1.0]
    """
    wanted = np.array([number(taper, "taper", "mm", least=-1000, greatest=1000) for taper in several(tapers, "tapers")])
    unit = number(step, "gauge step", "mm", above=0, greatest=100)
    return np.diff(np.round(np.cumsum(wanted) / unit + EXACT), prepend=0.0) * unit
