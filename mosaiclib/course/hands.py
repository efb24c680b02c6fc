"""How far the hands of a class lie apart: the time of a share of them, read off the band of the work.

| symbol | here | meaning |
|---|---|---|
| a, c, b | least, usual, most | ends and peak of the triangular law [min] |
| q | share | of hands that are quicker |
"""

__all__ = ["least_adults", "quick", "slow", "time_of"]

import math

from mosaiclib import reference
from mosaiclib.errors import number
from mosaiclib.job.worktime import Effort


def time_of(share: float, work: Effort) -> float:
    """Return the time [min] within which a share of hands, 0 to 1, has done some work, by the triangular law of its band.

    a + sqrt(q (b - a)(c - a)) up to the peak, b - sqrt((1 - q)(b - a)(b - c)) beyond it. That hands spread so is our choice. Who is
    slow at one task is taken to be slow at all, so that times of one share add up.

    >>> time_of(0.5, Effort(0.0, 1.0, 2.0)), round(time_of(5 / 6, Effort(0.4, 0.6, 1.0)), 3)
    (1.0, 0.8)
    """
    q, (a, c, b) = number(share, "share of hands", least=0, greatest=1), work.band
    if q * (b - a) <= c - a:
        return a + math.sqrt(q * (b - a) * (c - a))
    return b - math.sqrt((1 - q) * (b - a) * (b - c))


def slow(work: Effort) -> float:
    """Return the time of the middle of the slowest third [min]."""
    return time_of(reference.value("course", "slowest third").number, work)


def quick(work: Effort) -> float:
    """Return the time of the middle of the quickest third [min]."""
    return time_of(reference.value("course", "quickest third").number, work)


def least_adults(learners: int, children: bool) -> int:
    """Return how many adults watch so many learners.

    >>> least_adults(12, children=False), least_adults(12, children=True)
    (2, 3)
    """
    each = reference.value("course", "children to one adult" if children else "learners to one adult").number
    return math.ceil(learners / each)
