"""The law of how many pieces are spoilt on the way to n good ones, where each may be spoilt, spare ones too.

    P(k) = C(k + n - 1, k) p^k (1 - p)^n        P(more than k) = I_p(k + 1, n)

I is the regularised incomplete beta function. Written out here, since the library's own law brings along all that it has of
statistics, 40 MB that each learner of a class would hold.

Source: W. Feller, An Introduction to Probability Theory and Its Applications, volume 1, chapter VI.8 (from memory).
"""

__all__ = ["enough", "share_of"]

import numpy as np
import scipy


def share_of(k: np.ndarray, n: int, p: float) -> np.ndarray:
    """Return how likely it is that k pieces are spoilt, shape of k; p above 0."""
    ways = scipy.special.gammaln(k + n) - scipy.special.gammaln(k + 1) - scipy.special.gammaln(n)
    return np.exp(ways + k * np.log(p) + n * np.log1p(-p))


def enough(tail: float, n: int, p: float) -> int:
    """Return the least k of which more are spoilt with a chance of at most `tail`; p above 0.

    >>> enough(0.05, 100, 0.03)
    6
    """
    most = 1
    while scipy.special.betainc(most + 1, n, p) > tail:
        most *= 2
    return int(np.argmax(scipy.special.betainc(np.arange(most + 1) + 1, n, p) <= tail))
