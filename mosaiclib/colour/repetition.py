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
from scipy.spatial import cKDTree

FARTHEST = 4.0  # [tiles] of a shift: what repeats at a greater distance is hardly seen as a pattern; assumed
OVERLAP = 0.4  # of the pieces must fall on another one, or a shift tells too little; assumed
NEAR = 0.1  # [tiles] within which a middle falls on another
# [tiles] from a piece to those round it, in a grid or a running bond: across and up
STEPS = ((1.0, 0.0), (0.5, 1.0), (0.5, -1.0), (0.0, 1.0), (1.0, 1.0), (1.0, -1.0), (1.5, 1.0), (1.5, -1.0))
SCALE = ((0.2, "slight"), (0.4, "fair"), (0.6, "moderate"), (0.8, "substantial"), (1.0, "almost perfect"))


def kappa(first: Sequence[object], second: Sequence[object]) -> float:
    """Return how far two lists of names, shape (n,), agree beyond chance: (p - e)/(1 - e), 1 where all agree.

    References
    ----------
    .. [1] J. Cohen, "A coefficient of agreement for nominal scales", Educational and Psychological Measurement 20
       (1960) 37-46 (from memory).

    Examples
    --------
    >>> kappa(list("aabb"), list("aabb")), kappa(list("abab"), list("baba"))
    (1.0, -1.0)
    """
    names, number = np.unique(np.concatenate([np.asarray(first), np.asarray(second)]).astype(str), return_inverse=True)
    one, two = number[: len(first)], number[len(first) :]
    shares = [np.bincount(part, minlength=len(names)) / len(part) for part in (one, two)]
    p, e = float((one == two).mean()), float(shares[0] @ shares[1])
    return 1.0 if e > 1 - 1e-12 else (p - e) / (1 - e)


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

    Counting like neighbours at a distance is the join count of Moran (1948) and of Cliff and Ord (1973), from memory.
    """

    at: Mapping[tuple[float, float], float]

    @property
    def strongest(self) -> tuple[tuple[float, float], float]:
        """The shift at which most repeats, the shortest of equal ones, and its kappa; no shift and 0 where none can tell."""
        order = sorted(self.at, key=lambda h: (-round(self.at[h], 9), np.hypot(*h)))
        return (order[0], self.at[order[0]]) if order else ((0.0, 0.0), 0.0)

    @property
    def lines(self) -> dict[tuple[float, float], float]:
        """Mean kappa over one, two and more of each step to a piece near by: near 1 where like stands behind like in a line."""
        found = {}
        for across, up in STEPS:
            there = [self.at[h] for k in range(1, 9) if (h := (k * across, k * up)) in self.at]
            if len(there) > 1:
                found[across, up] = float(np.mean(there))
        return found

    @property
    def kind(self) -> str:
        """What is seen: "lively", "some order", or over 0.6 "stripes", "crossing lines" (a chessboard) or "a repeat".

        Like pieces in lines of one direction are stripes; the limits 0.4 and 0.6 are those of Landis and Koch between fair,
        moderate and substantial.
        """
        value = self.strongest[1]
        if value <= 0.6:
            return "lively" if value <= 0.4 else "some order"
        lines = sum(mean > 0.6 for mean in self.lines.values())
        return ("a repeat", "stripes", "crossing lines")[min(lines, 2)]


def repetition(middles: np.ndarray, colours: Sequence[str], pitch: float) -> Repetition:
    """Return how an arrangement repeats: middles of the pieces, shape (n, 2) [mm], their colours, a tile with its joint [mm].

    Shifts are whole tiles up and half tiles across, as rows in running bond are moved by half of one.

    >>> x, y = np.divmod(np.arange(36), 6)
    >>> board = repetition(np.stack([x, y], axis=1), np.where((x + y) % 2, "blue", "white"), 1.0)
    >>> board.kind, board.at[1.0, 0.0], board.strongest
    ('crossing lines', -1.0, ((1.0, -1.0), 1.0))
    """
    at, names = np.asarray(middles, float) / pitch, np.asarray(colours).astype(str)
    tree, found = cKDTree(at), {}
    far = int(FARTHEST)
    for up in range(-far, far + 1):
        for across in np.arange(0, FARTHEST + 0.5, 0.5):
            if (across, up) <= (0, 0):
                continue
            distance, other = tree.query(at + np.array([across, up]), distance_upper_bound=NEAR)
            met = np.isfinite(distance)
            if met.mean() >= OVERLAP:
                found[float(across), float(up)] = kappa(names[met], names[other[met]])
    return Repetition(found)
