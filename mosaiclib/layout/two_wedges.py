"""Two wedges mixed so that a ring of any radius between theirs closes."""

__all__ = ["two_wedge_ring", "two_wedge_whole"]

import math
from collections.abc import Sequence

from mosaiclib.errors import MosaicError, number, several
from mosaiclib.layout.wedges import EXACT, checked_sizes


def _sides(first: Sequence[float], second: Sequence[float], joint: float) -> tuple[float, ...]:
    """Return outer and inner widths of two wedges, each with its joint [mm]."""
    found = []
    for pair, name in ((first, "first wedge"), (second, "second wedge")):
        ends = several(pair, name)
        if len(ends) != 2:
            raise MosaicError(f"The {name} must be two widths: wide and narrow.")
        found += [number(end, f"width of the {name}", "mm", above=0) + joint for end in ends]
    return tuple(found)


def two_wedge_ring(
    outside_diameter: float, height: float, joint: float, first: Sequence[float], second: Sequence[float]
) -> tuple[float, float]:
    """Return how many pieces of two wedges close a ring together.

    N1 A1 + N2 A2 = pi D and N1 B1 + N2 B2 = pi d, with A, B the outer and inner widths with their joint.

    Parameters
    ----------
    outside_diameter, height, joint : float
        Outside diameter D of the ring, height of the row and joint [mm].
    first, second : pair of float
        (wide, narrow) of each wedge [mm].

    Returns
    -------
    tuple of float
        Real numbers of the first and second wedge.

    Raises
    ------
    MosaicError
        If both taper alike, or the ring is tighter or wider than they can make.

    Notes
    -----
    Arc form. An uncut piece is a wedge whose ends are alike.

    References
    ----------
    Kiln-lining practice, read second-hand.

    Examples
    --------
    >>> one, two = two_wedge_ring(200, 10, 2, (10, 8), (10, 10))
    >>> round(one, 2), round(two, 2)
    (31.42, 20.94)
    """
    outer = number(outside_diameter, "outside diameter", "mm", above=0)
    _, tall, gap = checked_sizes(1, height, joint)
    inner = outer - 2 * tall
    if inner <= 0:
        raise MosaicError("The ring's outside diameter must be over twice the height of the row.")
    a1, b1, a2, b2 = _sides(first, second, gap)
    spread = a1 * b2 - b1 * a2
    if abs(spread) < EXACT:
        raise MosaicError("Both wedges taper alike, so they make only one ring; take two that differ.")
    one = math.pi * (outer * b2 - inner * a2) / spread
    two = math.pi * (inner * a1 - outer * b1) / spread
    if min(one, two) < -1e-6:
        raise MosaicError(
            f"These two wedges cannot make a ring of {outer:g} mm across: it is tighter or wider than both."
        )
    return max(one, 0.0), max(two, 0.0)


def two_wedge_whole(
    outside_diameter: float, height: float, joint: float, first: Sequence[float], second: Sequence[float]
) -> tuple[int, int, float]:
    """Return whole numbers of two wedges for a ring, and the joint that then closes it.

    Parameters
    ----------
    outside_diameter, height, joint, first, second : see `two_wedge_ring`
        As for `two_wedge_ring` [mm].

    Returns
    -------
    tuple of int, int, float
        Numbers of the first and second wedge, and the joint at the outside [mm].

    Raises
    ------
    MosaicError
        As for `two_wedge_ring`.

    Examples
    --------
    >>> one, two, gap = two_wedge_whole(200, 10, 2, (10, 8), (10, 10))
    >>> one, two, round(gap, 2)
    (31, 21, 2.08)
    """
    one, two = (round(real) for real in two_wedge_ring(outside_diameter, height, joint, first, second))
    left = math.pi * outside_diameter - one * first[0] - two * second[0]
    return one, two, left / max(one + two, 1)
