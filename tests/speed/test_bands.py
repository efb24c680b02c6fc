"""Several bands in one call against each alone, and how they grow."""

import numpy as np
import shapely

from mosaiclib.layout import lay, straight, wave
from ratios import best, least

ROWS = {"tile": 20, "fraction": "quarter", "count": 3}
LIMITS = (1.7, 2.3)
MOST_FIVE = 1.5


def beside(count):
    """Return a face and bands beside each other on it, a line across every second one [mm]."""
    face = shapely.box(0, 0, 300, 110 * count)
    waves = [wave(320, 30, 2, x=150, y=55 + 110 * k) for k in range(count)]
    across = [straight(180, x=150, y=110 * k, turned=70) for k in range(1, count, 2)]
    return face, [(line, ROWS) for line in (*waves, *across)]


def test_growth_with_bands(told):
    def work(count):
        face, lines = beside(count)
        return lambda: lay(face, lines, 20, 2, limits=LIMITS, search="none")

    work(4)()
    power = least(lambda: np.log(best(work(32), 1) / best(work(4), 4)) / np.log(8), 1.2)
    told("growth from 4 to 32 bands on a face that grows with them, power", power, 1.2)
    assert power <= 1.2


def test_five_bands_against_five_single_ones(told):
    """Five that cross, with their field, and each of them alone on the same face."""
    face = shapely.box(0, 0, 400, 300)
    lines = [(wave(480, 30, 2, x=200, y=150, turned=36 * k), ROWS) for k in range(5)]

    def together():
        lay(face, lines, 20, 2, limits=LIMITS, search="none")

    def alone():
        for line in lines:
            lay(face, [line], 20, 2, limits=LIMITS, search="none")

    together(), alone()
    ratio = least(lambda: best(together, 5) / best(alone, 5), MOST_FIVE)
    told("five bands that cross over five single ones", ratio, MOST_FIVE)
    assert ratio <= MOST_FIVE
