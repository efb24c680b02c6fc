"""Expected range of n normal readings, over their standard deviation: d2 of the control-chart tables."""

import math

import pytest

from mosaiclib.spacing.tile_sizes import TileSizes, expected_range_factor, simulate_face

# ASTM control-chart tables, d2: read. d3, the standard deviation of the range: from memory, used
# only for the standard error of the simulated mean.
TABLE = [(2, "1.128", 0.853), (5, "2.326", 0.864), (10, "3.078", 0.797)]
ROWS = 40_000


@pytest.mark.parametrize(("count", "printed", "_"), TABLE)
def test_computed_factor_as_printed(count, printed, _):
    assert expected_range_factor(count) == pytest.approx(float(printed), abs=0.0005)


@pytest.mark.parametrize(("count", "printed", "d3"), TABLE)
def test_simulated_tiles_have_the_printed_range(count, printed, d3):
    sd = 0.2
    sizes = TileSizes(20, sd)
    rows = simulate_face(count, ROWS, "spacer stick", nominal=20, sizes=sizes, joint=2, seed=7697).across
    ranges = (rows.sizes.max(axis=1) - rows.sizes.min(axis=1)) / sd
    within = 4 * d3 / math.sqrt(ROWS) + 0.0005  # four standard errors, and half the last printed digit
    assert ranges.mean() == pytest.approx(float(printed), abs=within)
    assert abs(ranges.mean() - float(printed)) < 0.02  # so that neighbours, 2.059 and 2.534 say, would fail


@pytest.mark.parametrize(("count", "computed"), [(2, 1.128379), (5, 2.325929), (10, 3.077505)])
def test_longer_figures_computed_elsewhere(count, computed):
    # The project's geometry notes, section 6: computed, not read.
    assert expected_range_factor(count) == pytest.approx(computed, abs=5e-7)


def test_two_readings_by_first_principles():
    # The difference of two has standard deviation sqrt 2, and a normal's mean distance from 0 is sqrt(2/pi).
    assert expected_range_factor(2) == pytest.approx(2 / math.sqrt(math.pi), abs=1e-12)
