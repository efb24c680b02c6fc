"""How much an arrangement repeats itself: moved by some tiles and laid over itself, how often like falls on like.

| symbol | meaning |
|---|---|
| h | shift, across and up [tiles] |
| p(h) | share of the pieces that fall on a piece of their own colour |
| e(h) | that share by chance, from how many there are of each colour |
| k(h) | kappa of Cohen: (p - e)/(1 - e); 1 repeats, 0 chance, under 0 avoids |
"""

__all__ = ["Repetition", "kappa", "repetition", "words_for"]

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import scipy

FARTHEST = 4.0  # [tiles] of a shift: what repeats at a greater distance is hardly seen as a pattern; assumed
OVERLAP = 0.4  # of the pieces must fall on another one, or a shift tells too little; assumed
NEAR = 0.1  # [tiles] within which a middle falls on another
SHUFFLES = 19  # one arrangement beside them is the strongest by chance once in 20
# [tiles] from a piece to those round it, in a grid or a running bond: across and up
STEPS = ((1.0, 0.0), (0.5, 1.0), (0.5, -1.0), (0.0, 1.0), (1.0, 1.0), (1.0, -1.0), (1.5, 1.0), (1.5, -1.0))
SCALE = ((0.2, "slight"), (0.4, "fair"), (0.6, "moderate"), (0.8, "substantial"), (1.0, "almost perfect"))


def kappa(first: np.ndarray, second: np.ndarray) -> np.ndarray:
    """Return how far two lists of classes, shape (..., n), agree beyond chance: (p - e)/(1 - e), 1 where all are one class.

    References
    ----------
    .. [1] J. Cohen, "A coefficient of agreement for nominal scales", Educational and Psychological Measurement 20
       (1960) 37-46 (from memory).

    Examples
    --------
    >>> float(kappa(np.array([0, 0, 1, 1]), np.array([0, 0, 1, 1]))), float(kappa(np.array([0, 1]), np.array([1, 0])))
    (1.0, -1.0)
    """
    p = (first == second).mean(axis=-1)
    e = sum((first == name).mean(axis=-1) * (second == name).mean(axis=-1) for name in np.unique(first))
    return np.where(e > 1 - 1e-12, 1.0, (p - e) / np.maximum(1 - e, 1e-12))


def words_for(value: float) -> str:
    """Return the words for a kappa: slight to 0.2, fair to 0.4, moderate to 0.6, substantial to 0.8, almost perfect over it.

    Source: J. R. Landis and G. G. Koch, "The measurement of observer agreement for categorical data", Biometrics 33 (1977)
    159-174, table of strength of agreement (read second-hand).

    >>> words_for(0.5), words_for(-0.1)
    ('moderate', 'none')
    """
    return "none" if value < 0 else next(words for most, words in SCALE if value <= most + 1e-9)


@dataclass(frozen=True, eq=False)
class Repetition:
    """Kappa of an arrangement at every shift (across, up) [tiles] of one half turn; the other half is the same.

    `chance` is the strongest of all that the same tiles gave when they were shuffled. Counting like pairs at a distance is
    the join count of Moran (1948) and of Cliff and Ord (1973); comparing with shuffles is the Monte Carlo test of Hope
    (1968); all from memory.
    """

    at: Mapping[tuple[float, float], float]
    chance: float

    @property
    def strongest(self) -> tuple[tuple[float, float], float]:
        """The shift at which most repeats, the shortest of equal ones, and its kappa; no shift and 0 where none can tell."""
        order = sorted(self.at, key=lambda h: (-round(self.at[h], 9), np.hypot(*h)))
        return (order[0], self.at[order[0]]) if order else ((0.0, 0.0), 0.0)

    @property
    def lines(self) -> list[tuple[float, float]]:
        """Steps to a piece near by along which like stands behind like: kappa over 0.6."""
        return [step for step in STEPS if self.at.get(step, 0.0) > 0.6]

    @property
    def kind(self) -> str:
        """What is seen: "lively", "some order", or over 0.6 "stripes", "crossing lines" (a chessboard) or "a repeat".

        Lively is also what repeats no more than the same tiles shuffled. Like pieces in lines of one direction are stripes.
        The limits 0.4 and 0.6 are those of Landis and Koch between fair, moderate and substantial.
        """
        value = self.strongest[1]
        if value <= max(0.4, self.chance):
            return "lively"
        return "some order" if value <= 0.6 else ("a repeat", "stripes", "crossing lines")[min(len(self.lines), 2)]


def repetition(middles: np.ndarray, colours: Sequence[str], pitch: float) -> Repetition:
    """Return how an arrangement repeats: middles of the pieces, shape (n, 2) [mm], their colours, a tile with its joint [mm].

    Shifts are whole tiles up and half tiles across, as rows in running bond are moved by half of one.

    >>> x, y = np.divmod(np.arange(36), 6)
    >>> board = repetition(np.stack([x, y], axis=1), np.where((x + y) % 2, "blue", "white"), 1.0)
    >>> board.kind, board.at[1.0, 0.0], board.strongest
    ('crossing lines', -1.0, ((1.0, -1.0), 1.0))
    """
    at, number = np.asarray(middles, float) / pitch, np.unique(np.asarray(colours).astype(str), return_inverse=True)[1]
    rng, tree = np.random.default_rng(0), scipy.spatial.cKDTree(at)
    every = np.stack([number, *(rng.permutation(number) for _ in range(SHUFFLES))])
    found = {}
    for shift in _shifts():
        distance, other = tree.query(at + np.array(shift), distance_upper_bound=NEAR)
        met = np.isfinite(distance)
        if met.mean() >= OVERLAP:
            found[shift] = kappa(every[:, met], every[:, other[met]])
    chance = max((float(each[1:].max()) for each in found.values()), default=0.0)
    return Repetition({shift: float(each[0]) for shift, each in found.items()}, chance)


def _shifts() -> list[tuple[float, float]]:
    """Return the shifts of one half turn, across and up [tiles]."""
    across, up = np.meshgrid(np.arange(0, FARTHEST + 0.5, 0.5), np.arange(-FARTHEST, FARTHEST + 1))
    return [shift for shift in zip(across.ravel().tolist(), up.ravel().tolist(), strict=True) if shift > (0.0, 0.0)]
