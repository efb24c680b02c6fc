"""Sizes of real tiles: what a handful of calliper readings says of the lot."""

__all__ = ["TileSizes", "expected_range_factor", "lengths"]

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from mosaiclib.errors import MosaicError, number, whole_number


def lengths(values: Iterable[float], name: str, fewest: int = 1, *, above: float | None = None) -> np.ndarray:
    """Return readings as a checked array [mm], or say in a sentence which of them cannot be used.

    Parameters
    ----------
    values : iterable of float
        What was measured [mm].
    name : str
        What one of them is called.
    fewest : int
        How many there must be.
    above : float, optional
        A limit that is not allowed itself [mm]; without it 0 is the least.

    Returns
    -------
    ndarray of float, shape (n,)
        The readings [mm].

    Raises
    ------
    MosaicError
        If they are no list of numbers, too few or out of range.

    Examples
    --------
    >>> lengths([2, 2.1], "joint")
    array([2. , 2.1])
    """
    if isinstance(values, str | bytes) or not isinstance(values, Iterable):
        raise MosaicError(f"The readings of the {name} must be a list of numbers, not {values!r}.")
    limits = {"greatest": 1000} | ({"least": 0} if above is None else {"above": above})
    found = [number(one, f"{name}, reading {place},", "mm", **limits) for place, one in enumerate(values, 1)]
    if len(found) < fewest:
        least = f"{fewest} reading{'s' * (fewest > 1)}"
        raise MosaicError(f"At least {least} of the {name} must be given; there are {len(found)}.")
    return np.array(found)


@lru_cache(maxsize=256)
def _range_factor(count: int) -> float:
    """Integrate the expected range; the trapezium rule is all but exact for so smooth a bell."""
    x = np.linspace(-9.0, 9.0, 721)
    below = np.array([math.erfc(-one / math.sqrt(2)) / 2 for one in x])
    return float(np.sum(1 - below**count - below[::-1] ** count) * (x[1] - x[0]))


def expected_range_factor(count: int) -> float:
    """Return the expected range of normal readings, in standard deviations.

    d2 = integral of 1 - P(x)^n - (1 - P(x))^n over all x, P the normal distribution function

    Parameters
    ----------
    count : int
        How many are measured, 2 to 10,000 [1].

    Returns
    -------
    float
        Expected greatest minus least, over the standard deviation [1].

    Raises
    ------
    MosaicError
        If the count is out of range.

    Notes
    -----
    It grows with the count: a larger sample shows a larger range of the same tiles.

    Examples
    --------
    >>> round(expected_range_factor(10), 3)
    3.078

    References
    ----------
    ASTM control-chart tables, d2 (read); the integral is computed.
    """
    return _range_factor(whole_number(count, "number of readings", least=2, greatest=10_000))


@dataclass(frozen=True)
class TileSizes:
    """Sizes of the tiles of one lot, taken as normal.

    Parameters
    ----------
    mean, sd : float
        Mean side and its standard deviation, at most a sixth of the mean [mm].
    count : int
        How many tiles were measured; 0 where mean and sd are assumed [1].
    least, greatest : float, optional
        Smallest and largest of the measured tiles [mm].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Notes
    -----
    Real lots are often not normal (two batches in one bag), and the spread of the calliper's own
    readings is counted as the tiles'.

    Examples
    --------
    >>> sizes = TileSizes.measured([19.8, 20.0, 20.1, 20.3])
    >>> round(sizes.mean, 2), round(sizes.sd, 2), sizes.count, round(sizes.variation, 2)
    (20.05, 0.21, 4, 0.5)
    """

    mean: float
    sd: float
    count: int = 0
    least: float | None = None
    greatest: float | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "mean", number(self.mean, "mean tile size", "mm", above=0, greatest=1000))
        sd = number(self.sd, "standard deviation of the tile size", "mm", least=0)
        if sd > self.mean / 6:
            raise MosaicError(
                f"A standard deviation of {sd:.3g} mm on a mean of {self.mean:.4g} mm is more than a sixth: "
                "look for a slip in a reading."
            )
        object.__setattr__(self, "sd", sd)
        object.__setattr__(self, "count", whole_number(self.count, "number of tiles measured"))
        if self.least is not None and self.greatest is not None:
            least = number(self.least, "smallest tile", "mm", above=0, greatest=self.mean)
            greatest = number(self.greatest, "largest tile", "mm", least=self.mean, greatest=1000)
            object.__setattr__(self, "least", least)
            object.__setattr__(self, "greatest", greatest)

    @classmethod
    def measured(cls, readings: Iterable[float]) -> "TileSizes":
        """Return the sizes from calliper readings, two or more, one a tile [mm]; sd with n - 1."""
        found = lengths(readings, "tile size", 2, above=0)
        return cls(float(found.mean()), float(found.std(ddof=1)), len(found), float(found.min()), float(found.max()))

    @property
    def variation(self) -> float:
        """Largest minus smallest of the measured tiles [mm]; a MosaicError if none were measured."""
        if self.least is None or self.greatest is None:
            raise MosaicError("These sizes were not measured, so they have no variation; see expected_range.")
        return self.greatest - self.least

    def expected_range(self, count: int = 10) -> float:
        """Return the variation to expect among `count` tiles, d2 sd [mm]."""
        return expected_range_factor(count) * self.sd

    @property
    def sd_error(self) -> float:
        """Standard error of sd, nearly: sd/sqrt(2 (n - 1)) [mm]; 0 where it is assumed."""
        return self.sd / math.sqrt(2 * (self.count - 1)) if self.count > 1 else 0.0

    @property
    def sentence(self) -> str:
        """Say in a sentence what is known of the tiles."""
        known = f"mean {self.mean:.2f} mm, standard deviation {self.sd:.2f} mm"
        if self.count < 2 or self.least is None:
            return f"Assumed, not measured: {known}."
        return (
            f"{self.count} tiles measured: {known}, from {self.least:.2f} to {self.greatest:.2f} mm, "
            f"a variation of {self.variation:.2f} mm."
        )
