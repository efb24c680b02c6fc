"""How a list of points is typed and written."""

__all__ = ["read_points", "write_points"]

import re
from collections.abc import Iterable, Sequence

from mosaiclib.errors import MosaicError, brief, choice, number, several
from mosaiclib.measures import INCH

MOST_POINTS = 60
FARTHEST = 10_000.0  # [mm]
FACTORS = {"mm": 1.0, "in": INCH}


def read_points(text: object, unit: str = "mm") -> tuple[tuple[float, float], ...]:
    """Read points typed as pairs with semicolons or new lines between them.

    Parameters
    ----------
    text : str or sequence of pairs
        Such as "0 40; 60 72,5": across and up from the lower left corner.
    unit : {"mm", "in"}
        Unit of the numbers.

    Returns
    -------
    tuple of (x, y)
        The points [mm].

    Raises
    ------
    MosaicError
        If a pair is not two numbers, or there are over 60 points; the sentence quotes what was typed.

    Examples
    --------
    >>> read_points("0 40; 60 72,5")
    ((0.0, 40.0), (60.0, 72.5))
    """
    if isinstance(text, str):
        pairs = [_pair(part) for part in re.split(r"[;\n]+", text) if part.strip()]
        factor = FACTORS[choice(unit, "unit", FACTORS)]
    else:
        pairs, factor = several(text, "points"), 1.0
    if len(pairs) > MOST_POINTS:
        raise MosaicError(f"{len(pairs)} points are more than the {MOST_POINTS} that a line can have.")
    return tuple(_checked(pair, factor) for pair in pairs)


def _pair(part: str) -> Sequence[float]:
    """Return the two numbers of one pair, with decimal comma or point."""
    numbers = re.findall(r"[+-]?\d+(?:[.,]\d+)?", part.replace("−", "-"))
    rest = re.sub(r"[+-]?\d+(?:[.,]\d+)?", "", part.replace("−", "-"))
    if len(numbers) != 2 or rest.strip(" \t()"):
        raise MosaicError(
            f"{brief(part.strip())} is not a point; type across and up, for example 60 72, then a semicolon."
        )
    return [float(found.replace(",", ".")) for found in numbers]


def _checked(pair: object, factor: float) -> tuple[float, float]:
    if not isinstance(pair, list | tuple) or len(pair) != 2:
        raise MosaicError(f"{brief(pair)} is not a point; a point is across and up.")
    x, y = (number(one, "point", "mm", least=-FARTHEST, greatest=FARTHEST) * factor for one in pair)
    return x, y


def write_points(points: Iterable[Sequence[float]], unit: str = "mm") -> str:
    """Write points as they are typed.

    Parameters
    ----------
    points : iterable of (x, y)
        The points [mm].
    unit : {"mm", "in"}
        Unit to write them in.

    Returns
    -------
    str
        The text.

    Examples
    --------
    >>> write_points([(0, 40), (60, 72.5)])
    '0 40; 60 72.5'
    """
    return "; ".join(" ".join(f"{one / FACTORS[unit]:.5g}" for one in point) for point in points)
