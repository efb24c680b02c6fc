"""Spare pieces: the negative binomial law against its definition, and small cases by hand."""

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import nbinom

from mosaiclib.job import spares
from mosaiclib.job.negative_binomial import enough, share_of

QUICK = settings(deadline=None, max_examples=80)


def summed(need, chance, sure):
    """Add the law up from its definition, in exact fractions.

    k pieces are spoilt before the last good one with chance C(need + k - 1, k) (1 - p)^need p^k.
    """
    p, total, k = Fraction(chance).limit_denominator(1000), Fraction(0), 0
    while True:
        total += math.comb(need + k - 1, k) * (1 - p) ** need * p**k
        if total >= Fraction(sure).limit_denominator(10_000):
            return k
        k += 1


def test_by_hand():
    # Two good pieces needed, one in ten is spoilt.
    # None spoilt: 0.9^2 = 0.81. Up to one: 0.81 (1 + 2 x 0.1) = 0.972.
    # Up to two: 0.972 + 3 x 0.01 x 0.81 = 0.9963.
    assert spares(2, 0.1, 0.80) == 0
    assert spares(2, 0.1, 0.82) == 1
    assert spares(2, 0.1, 0.97) == 1
    assert spares(2, 0.1, 0.98) == 2
    assert spares(2, 0.1, 0.997) == 3
    # One piece, one in two: 1/2, 3/4, 7/8, 15/16
    assert [spares(1, 0.5, sure) for sure in (0.5 - 0.0, 0.74, 0.76, 0.88, 0.93)] == [0, 1, 2, 3, 3]


@given(
    st.integers(1, 60),
    st.sampled_from([0.01, 0.03, 0.05, 0.1, 0.25, 0.5]),
    st.sampled_from([0.55, 0.8, 0.9, 0.951, 0.99, 0.999]),
)
@QUICK
def test_against_the_definition(need, chance, sure):
    assert spares(need, chance, sure) == summed(need, chance, sure)


@given(st.integers(0, 3000), st.floats(0, 0.8), st.floats(0.5, 0.999), st.integers(0, 500), st.floats(0, 0.09))
@QUICK
def test_more_of_anything_never_takes_fewer(need, chance, sure, more, riskier):
    found = spares(need, chance, sure)
    assert spares(need + more, chance, sure) >= found
    assert spares(need, chance + riskier, sure) >= found
    assert spares(need, chance, min(0.9999, sure + 0.1)) >= found


def test_nothing_to_spare():
    assert spares(0, 0.5) == spares(100, 0) == spares(100, 1e-300) == spares(100, 1e-17) == 0


@pytest.mark.parametrize("n", [1, 2, 17, 400, 100_000])
@pytest.mark.parametrize("p", [1e-9, 0.003, 0.2, 0.9])
def test_the_law_against_a_general_library(n, p):
    """SciPy's own negative binomial law, which counts by the chance of success."""
    law = nbinom(n, 1 - p)
    k = np.arange(int(law.mean() + 8 * law.std()) + 3)
    assert share_of(k, n, p) == pytest.approx(law.pmf(k), rel=1e-7, abs=1e-300)
    for tail in (0.5, 0.05, 1e-4, 1e-12):
        least = enough(tail, n, p)
        assert law.sf(least) <= tail * (1 + 1e-9) and (least == 0 or law.sf(least - 1) > tail * (1 - 1e-9))
