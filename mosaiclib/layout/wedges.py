"""One wedge and one ring: what a person with a gauge needs at the bench."""

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

MOST = 100_000  # pieces in a ring
EXACT = 1e-9


@dataclass(frozen=True)
class Wedge:
    """The wedge of a full ring of equal pieces with straight edges.

    Parameters
    ----------
    count : int
        Pieces in the ring.
    inside_radius, outside_radius : float
        Distance of the narrow and the wide edge from the centre [mm].
    angle, cut_angle : float
        Between neighbouring joints, and of each side from square: half of it [degrees].
    wide, narrow, taper : float
        Widths of the two edges, and their difference [mm].
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

    @property
    def waste(self) -> float:
        """Share of the wide rectangle that is nipped off, 0 to 1: 1 - (narrow + wide)/(2 wide)."""
        return 1 - (self.narrow + self.wide) / (2 * self.wide)


def checked_sizes(width: float, height: float, joint: float) -> tuple[float, float, float]:
    """Return width, height and joint as checked numbers [mm]."""
    return (
        number(width, "width", "mm", above=0, greatest=1000),
        number(height, "height", "mm", above=0, greatest=1000),
        number(joint, "joint", "mm", least=0, greatest=100),
    )


def _edge(radius: float, count: float, joint: float) -> float:
    """Return the straight-edge width at a distance from the centre: 2 r tan(t/2) - j/cos(t/2) [mm]."""
    half = math.pi / count
    return 2 * radius * math.tan(half) - joint / math.cos(half)


def wedge(inside_radius: float, *, width: float, height: float, joint: float) -> Wedge:
    """Return the wedge of a full ring, cut from pieces of a given width.

    w = 2 r tan(theta/2) - j/cos(theta/2) at both edges, theta = 360/N; N is the least count whose wide
    edge is no wider than the piece.

    Parameters
    ----------
    inside_radius : float
        Distance of the inside edge from the centre [mm].
    width, height : float
        Size of the piece along and across the row [mm].
    joint : float
        Joint, everywhere alike [mm].

    Returns
    -------
    Wedge
        Count, angle and widths.

    Raises
    ------
    MosaicError
        If a number is out of range, or the narrow edge would vanish.

    References
    ----------
    Plane geometry; the joint is parallel because each side lies half a joint beside a radius.

    Examples
    --------
    >>> found = wedge(45, width=10, height=10, joint=1)
    >>> found.count, round(found.wide, 3), round(found.narrow, 3), round(found.taper, 3)
    (32, 9.829, 7.859, 1.97)
    """
    across, tall, gap = checked_sizes(width, height, joint)
    inner = number(inside_radius, "inside radius", "mm", above=0, greatest=100_000)
    outer = inner + tall
    count = max(3, math.floor(2 * math.pi * outer / (across + gap)) - 1)
    while _edge(outer, count, gap) > across + EXACT:
        count += 1
        if count > MOST:
            raise MosaicError(f"A ring of over {MOST} pieces is too large.")
    narrow, wide = _edge(inner, count, gap), _edge(outer, count, gap)
    if narrow <= 0:
        raise MosaicError(
            f"At an inside radius of {inner:g} mm the narrow end of a {across:g} mm piece vanishes; "
            "take smaller pieces or a larger radius."
        )
    angle = 360 / count
    return Wedge(count, inner, outer, angle, angle / 2, wide, narrow, wide - narrow)


def natural_radius(wide: float, narrow: float, *, height: float, joint: float) -> float:
    """Return the outside radius of the circle that a wedge makes by itself.

    R = (wide + joint) height/(wide - narrow).

    Parameters
    ----------
    wide, narrow : float
        Widths of its ends [mm].
    height, joint : float
        Height of the wedge and joint [mm].

    Returns
    -------
    float
        Outside radius [mm].

    Raises
    ------
    MosaicError
        If the wedge does not taper, or a number is out of range.

    Notes
    -----
    Arc form, as kiln linings are reckoned: widths are taken along the circle.

    Examples
    --------
    >>> natural_radius(103, 82, height=200, joint=2)
    1000.0
    """
    _, tall, gap = checked_sizes(wide, height, joint)
    end = number(narrow, "narrow end", "mm", least=0)
    if end >= wide:
        raise MosaicError("The narrow end must be narrower than the wide one; a square piece makes no circle.")
    return (wide + gap) * tall / (wide - end)


def uncut_radius(*, width: float, height: float, joint_min: float, joint_max: float) -> float:
    """Return the least inside radius at which pieces may stay whole.

    R = h (a + j_min)/(j_max - j_min): the joint opens from its least inside to its greatest outside.

    Parameters
    ----------
    width, height : float
        Size of the piece [mm].
    joint_min, joint_max : float
        Limits of the joint [mm].

    Returns
    -------
    float
        Inside radius [mm].

    Raises
    ------
    MosaicError
        If a number is out of range or the limits leave no play.

    Notes
    -----
    On the safe side by 0.01 to 0.17 %: the exact value has a cos(theta/2) at the width.

    Examples
    --------
    >>> uncut_radius(width=10, height=10, joint_min=1, joint_max=1.5)
    220.0
    """
    across, tall, low = checked_sizes(width, height, joint_min)
    high = number(joint_max, "greatest joint", "mm", greatest=100)
    if high <= low:
        raise MosaicError("The greatest joint must be over the least; otherwise every bend needs wedges.")
    return tall * (across + low) / (high - low)


def tightest_radius(*, width: float, height: float, joint: float, narrow_min: float) -> float:
    """Return the least inside radius at which a wedge keeps its narrow end.

    The angle t at which the wide end is as wide as the piece gives the narrow one:
    narrow = width - 2 h tan(t/2). So tan(t/2) = (width - narrow)/(2 h), and
    R = (narrow + j/cos(t/2))/(2 tan(t/2)).

    Parameters
    ----------
    width, height, joint : float
        Size of the piece and joint [mm].
    narrow_min : float
        Narrowest end that is cut [mm].

    Returns
    -------
    float
        Inside radius with straight edges [mm].

    Raises
    ------
    MosaicError
        If the narrow end is not narrower than the piece, or a number is out of range.

    Notes
    -----
    For an arc of any angle. A closed ring needs a whole count, so its true least radius is a little
    larger: see what `wedge` gives. The arc rule h q/(1 - q) is 0.3 to 3.5 % smaller, not on the safe side.

    Examples
    --------
    >>> round(tightest_radius(width=10, height=10, joint=1, narrow_min=4), 2)
    8.41
    """
    across, tall, gap = checked_sizes(width, height, joint)
    end = number(narrow_min, "narrow end", "mm", least=0)
    if end >= across:
        raise MosaicError("The narrow end must be narrower than the piece.")
    tangent = (across - end) / (2 * tall)
    return (end + gap * math.hypot(1, tangent)) / (2 * tangent)


def uncut_gap(radius: float, *, width: float, count: int) -> float:
    """Return the gap between neighbouring uncut pieces of a ring at a distance from the centre.

    g = 2 r sin(theta/2) - a cos(theta/2), corner to corner.

    Parameters
    ----------
    radius : float
        Distance of the pieces' edge line [mm].
    width : float
        Width of the piece [mm].
    count : int
        Pieces in the ring.

    Returns
    -------
    float
        Gap, below 0 where they overlap [mm].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Examples
    --------
    >>> round(uncut_gap(45, width=10, count=25), 3), round(uncut_gap(55, width=10, count=25), 3)
    (1.359, 3.866)
    """
    r = number(radius, "radius", "mm", above=0)
    half = math.pi / whole_number(count, "number of pieces", least=3, greatest=MOST)
    return 2 * r * math.sin(half) - number(width, "width", "mm", above=0) * math.cos(half)


def chord_sag(width: float, radius: float) -> float:
    """Return how far a straight edge lies off its circle in the middle.

    s = R - sqrt(R^2 - w^2/4).

    Parameters
    ----------
    width, radius : float
        Width of the edge and radius of the circle [mm].

    Returns
    -------
    float
        Sag [mm].

    Raises
    ------
    MosaicError
        If the edge is longer than the circle is wide, or a number is out of range.

    Examples
    --------
    >>> round(chord_sag(10, 45), 3)
    0.279
    """
    across, r = number(width, "width", "mm", least=0), number(radius, "radius", "mm", above=0)
    if across > 2 * r:
        raise MosaicError("The edge is longer than the circle is wide.")
    return r - math.sqrt(r**2 - across**2 / 4)


def gauge_steps(tapers: Sequence[float], step: float) -> np.ndarray:
    """Round tapers to the steps of a gauge and carry what is rounded on, so that the turning still closes.

    Parameters
    ----------
    tapers : sequence of float, shape (n,)
        Wanted tapers in the order of the row [mm].
    step : float
        Step of the gauge [mm].

    Returns
    -------
    array, shape (n,)
        Tapers in whole steps; their running sum is never off by over half a step [mm].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Examples
    --------
    >>> gauge_steps([0.7, 0.7, 0.7, 0.7], 0.5).tolist()
    [0.5, 1.0, 0.5, 1.0]
    """
    wanted = np.array([number(taper, "taper", "mm", least=-1000, greatest=1000) for taper in several(tapers, "tapers")])
    unit = number(step, "gauge step", "mm", above=0, greatest=100)
    return np.diff(np.round(np.cumsum(wanted) / unit + EXACT), prepend=0.0) * unit
