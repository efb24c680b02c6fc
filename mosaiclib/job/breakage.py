"""Glass that is spoilt at the bench: the chance by kind of cut, and the exact law of what a whole job spoils."""

__all__ = ["CUTS", "HANDS", "Spoilt", "spoilt", "spoilt_chances", "usual_chance"]

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from mosaiclib import reference
from mosaiclib.errors import MosaicError, choice, number, numbers
from mosaiclib.job.negative_binomial import enough, share_of

CUTS = ("straight", "wedge", "hollow", "thin")  # kinds of cut, the easiest first
HANDS = ("beginner", "practised")
PART = 12  # of a tile: halves, thirds and quarters are whole numbers of twelfths
TAIL = 1e-12  # what may lie beyond the ends of a law
MOST_CHANCE = 0.9  # of spoiling a cut; above it hardly a piece comes of a box of tiles


def usual_chance(cut: str, hand: str) -> float:
    """Return the chance that a hand spoils one cut of a kind, from the table.

    >>> usual_chance("straight", "practised") < usual_chance("hollow", "practised") < usual_chance("hollow", "beginner")
    True
    """
    kind, who = choice(cut, "kind of cut", CUTS), choice(hand, "hand", HANDS)
    return reference.value("cutting", f"{kind} cut, {who}").number


def spoilt_chances(cuts: Mapping[str, np.ndarray], chances: Mapping[str, float], whole: float = 0.0) -> np.ndarray:
    """Return the chance that each of n pieces is spoilt: 1 - (1 - whole) (1 - p)^cuts for every kind of cut, shape (n,).

    `cuts`: how many of each kind of `CUTS` a piece takes, shape (n,); `chances`: p, the chance of spoiling one of them; `whole`:
    the chance of spoiling a piece that is not cut at all.

    >>> spoilt_chances({"straight": np.array([0, 1, 2])}, {"straight": 0.1}).round(4).tolist()
    [0.0, 0.1, 0.19]
    """
    good = 1 - number(whole, "chance of breaking", least=0, greatest=MOST_CHANCE)
    for kind, count in cuts.items():
        if kind not in chances:
            raise MosaicError(f"There is no chance of spoiling a {kind} cut.")
        p = number(chances[kind], f"chance of spoiling a {kind} cut", least=0, greatest=MOST_CHANCE)
        good = good * (1 - p) ** numbers(count, "number of cuts", least=0, greatest=1000)
    return 1 - good


@dataclass(frozen=True, eq=False)
class Spoilt:
    """The law of the glass that is spoilt before the last good piece: the chance of each number of twelfths of a tile, shape (m,)."""

    law: np.ndarray

    @property
    def mean(self) -> float:
        """Spoilt on the mean [tiles]."""
        return float(self.law @ np.arange(len(self.law))) / PART

    def within(self, confidence: float) -> float:
        """Return what is spoilt at most, at a confidence of 0.5 to 0.9999 [tiles]."""
        sure = number(confidence, "confidence", least=0.5, greatest=0.9999)
        return int(np.searchsorted(np.cumsum(self.law), sure - TAIL)) / PART


def spoilt(shares: np.ndarray, chances: np.ndarray) -> Spoilt:
    """Return the law of the glass that n pieces spoil, each of a share of a tile and with a chance, both of shape (n,).

    Each piece is tried until it is good, so what pieces alike spoil follows the negative binomial law, and what they
    all spoil the convolution of these:

        P(k) = C(k + n - 1, k) p^k (1 - p)^n

    The sum is formed by Fourier transforms, in twelfths of a tile, exact but for the tails beyond 1e-12.

    Source: W. Feller, An Introduction to Probability Theory and Its Applications, volume 1, chapter VI.8 (from memory).

    >>> one = spoilt(np.full(100, 1.0), np.full(100, 0.03))
    >>> one.within(0.95), round(one.mean, 4)  # 100 x 0.03/0.97
    (6.0, 3.0928)
    """
    share = numbers(shares, "share of a tile", above=0, greatest=1)
    p = numbers(chances, "chance of being spoilt", least=0, greatest=1 - 1e-6)
    alike, count = np.unique(np.column_stack([np.round(share * PART), p]), axis=0, return_counts=True)
    laws = [_law(int(step), chance, int(n)) for (step, chance), n in zip(alike, count, strict=True)]
    length = 1 + sum(len(one) - 1 for one in laws)
    product = np.prod([np.fft.rfft(one, length) for one in laws], axis=0) if laws else np.fft.rfft([1.0])
    return Spoilt(np.clip(np.fft.irfft(product, length), 0.0, None))


def _law(step: int, p: float, n: int) -> np.ndarray:
    """Return the law of what n pieces of so many twelfths spoil."""
    most = enough(TAIL, n, p) if p > 0 else 0
    found = np.zeros(most * step + 1)
    found[::step] = share_of(np.arange(most + 1), n, p) if p > 0 else 1.0
    return found
