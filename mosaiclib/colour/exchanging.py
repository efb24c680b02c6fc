"""Shuffling a finished arrangement by exchanging two colours along chains, while the counts go to their aim.

A chain is an island of pieces of two colours. Exchanging the two colours on a whole chain never makes
a clash, so every arrangement on the way is a good one; a chain of one piece is a plain change of colour.
"""

__all__ = ["exchange"]

import numpy as np

from mosaiclib.colour.touching import Touching

LEAST_ROUNDS = 40  # after 20 nothing is left of the chessboard it began with, four colours or more (measured)
MOST_ROUNDS = 160


def exchange(
    colours: np.ndarray,
    touching: Touching,
    target: np.ndarray,
    stock: np.ndarray,
    rng: np.random.Generator,
    may: np.ndarray | None = None,
    parts: np.ndarray | None = None,
) -> tuple[np.ndarray, int, int]:
    """Exchange colours along chains at random, with the counts led towards the target.

    Parameters
    ----------
    colours : array of int, shape (n,)
        An arrangement without clashes.
    touching : Touching
        The pieces.
    target, stock : array of int, shape (q,)
        Wanted and greatest number of pieces of each colour, or sum of their parts.
    rng : Generator
        Makes the choices.
    may : array of bool, shape (n, q), optional
        Whether each piece may have each colour; any may have any if left out.
    parts : array of int, shape (n,), optional
        What each piece takes of its colour; 1 if left out.

    Returns
    -------
    colours : array of int, shape (n,)
        The arrangement that came nearest: least over stock, then least off the target, then latest.
    over : int
        Pieces, or parts, over stock in it.
    rounds : int
        Rounds made.

    Notes
    -----
    Each round puts all colours into pairs by lot and exchanges the chains of every pair at once. How
    evenly the possible arrangements are reached is not known for few colours on touching rows.

    References
    ----------
    .. [1] J.-S. Wang, R. H. Swendsen and R. Kotecky, "Antiferromagnetic Potts models", Physical Review
       Letters 63 (1989): exchanging two colours on chains chosen by lot (from memory).

    Examples
    --------
    >>> row = Touching(4, np.array([[0, 1], [1, 2], [2, 3]]))
    >>> aim = np.array([2, 1, 1])
    >>> new, over, _ = exchange(np.array([0, 1, 0, 1]), row, aim, aim, np.random.default_rng(1))
    >>> np.bincount(new).tolist(), over
    ([2, 1, 1], 0)
    """
    each = np.ones(touching.count, int) if parts is None else parts
    best, score = colours, _off(colours, target, stock, each)
    rounds = 0
    while rounds < LEAST_ROUNDS or (rounds < MOST_ROUNDS and score != (0, 0)):
        colours = _one_round(colours, touching, target, rng, may, each)
        now = _off(colours, target, stock, each)
        if now <= score:
            best, score = colours, now
        rounds += 1
    return best, score[0], rounds


def _off(colours: np.ndarray, target: np.ndarray, stock: np.ndarray, parts: np.ndarray) -> tuple[int, int]:
    """Return how many pieces, or parts, are over stock, and how many are off the target."""
    count = np.bincount(colours, parts, len(target)).astype(int)
    return int(np.maximum(count - stock, 0).sum()), int(np.abs(count - target).sum())


def _one_round(colours: np.ndarray, touching: Touching, target: np.ndarray, rng, may, parts: np.ndarray) -> np.ndarray:
    """Pair the colours by lot, choose chains of each pair, exchange them."""
    q = len(target)
    one, two = rng.permutation(q)[: q // 2 * 2].reshape(2, -1)
    partner, pair, gain = np.full(q, -1), np.full(q, -1), np.zeros(q)
    partner[one], partner[two] = two, one
    pair[one] = pair[two] = np.arange(len(one))
    gain[one], gain[two] = -1, 1
    first, second = touching.ends
    chains, chain = touching.islands(partner[colours][first] == colours[second])
    gains = np.bincount(chain, gain[colours] * parts, chains).astype(int)
    owner = np.empty(chains, int)
    owner[chain] = pair[colours]
    if may is not None:  # a chain with a piece that may not have the other colour stays as it is
        owner[chain[~may[np.arange(len(colours)), partner[colours]]]] = -1
    count, chosen = np.bincount(colours, parts, q).astype(int), np.zeros(chains, bool)
    for k, (c, d) in enumerate(zip(one, two, strict=True)):
        mine = np.flatnonzero(owner == k)
        aim = _share(count[c] + count[d], target[c], target[d], rng)
        chosen[mine] = _choose(gains[mine], aim - count[c], rng)
    return np.where(chosen[chain], partner[colours], colours)


def _share(total: int, one: int, two: int, rng: np.random.Generator) -> int:
    """Return the first colour's part of `total`, in proportion to the targets, rounded by lot."""
    if one + two == 0:
        one = two = 1
    whole, rest = divmod(int(total) * int(one), int(one + two))
    return whole + int(rng.random() * (one + two) < rest)


def _choose(gain: np.ndarray, wanted: int, rng: np.random.Generator) -> np.ndarray:
    """Choose chains by lot so that their gains add up to `wanted`, as nearly as a few passes can."""
    drawn = rng.random(len(gain)) < 0.5
    bold, left = _settle(gain, drawn.copy(), wanted, rng)
    if not left:
        return bold
    # a large chain drawn by lot may upset the counts for good: compare with leaving such chains alone
    calm, still = _settle(gain, drawn & (gain == 0), wanted, rng)
    return bold if abs(left) <= abs(still) else calm


def _settle(gain: np.ndarray, chosen: np.ndarray, wanted: int, rng: np.random.Generator) -> tuple[np.ndarray, int]:
    """Change single choices, in the order of a lot, until the gains add up; return also what is left over."""
    left = int(wanted - gain[chosen].sum())
    while left:
        step = np.where(chosen, -gain, gain) * np.sign(left)
        fit = np.flatnonzero((step > 0) & (step <= abs(left)))
        if not len(fit):
            break
        fit = rng.permutation(fit)
        taken = fit[np.cumsum(step[fit]) <= abs(left)]
        chosen[taken] ^= True
        left -= int(np.sign(left) * step[taken].sum())
    return chosen, left
