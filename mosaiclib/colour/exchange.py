"""A first arrangement of colours (DSATUR), and exchange along Kempe chains towards the stock."""

__all__ = ["alternating", "exchange", "filled", "most_hemmed_in_first"]

import heapq
from itertools import permutations

import numpy as np

from mosaiclib.colour.graph import Touching

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


def alternating(touching: Touching, target: np.ndarray) -> np.ndarray:
    """Colour the two sides of every island with the two most wanted colours, the larger side first.

    Parameters
    ----------
    touching : Touching
        Pieces without odd rings.
    target : array of int, shape (q,)
        Wanted number of pieces of each colour.

    Returns
    -------
    array of int, shape (n,)
        Colour of each piece.

    Examples
    --------
    >>> alternating(Touching(3, np.array([[0, 1], [1, 2]])), np.array([0, 1, 2])).tolist()
    [2, 1, 2]
    """
    order = np.argsort(-target, kind="stable")
    return order[np.minimum(_lesser(touching), len(order) - 1)]


def _lesser(touching: Touching) -> np.ndarray:
    """Return 1 for the pieces on the smaller side of their island, else 0, shape (n,)."""
    lean = np.bincount(touching.island, 1 - 2 * touching.side)
    return touching.side ^ (lean[touching.island] < 0)


def filled(touching: Touching, target: np.ndarray, rng: np.random.Generator) -> np.ndarray | None:
    """Fill the two sides with colours in exactly the wanted numbers, for stocks with little to spare.

    Every colour keeps to one side, but for one that may have to be shared: it takes the first places of
    one side and the last of the other, which seldom touch.

    Parameters
    ----------
    touching : Touching
        Pieces without odd rings.
    target : array of int, shape (q,)
        Wanted number of pieces of each colour, together all pieces.
    rng : Generator
        Scatters the colours that keep to one side.

    Returns
    -------
    array of int, shape (n,), or None
        Colour of each piece; None if the shared colour touches itself.

    Examples
    --------
    >>> row = Touching(6, np.array([[i, i + 1] for i in range(5)]))
    >>> filled(row, np.array([2, 2, 2]), np.random.default_rng(0)).tolist()
    [2, 1, 0, 1, 0, 2]
    """
    sides = [np.flatnonzero(_lesser(touching) == side) for side in (0, 1)]
    room, parts = [len(side) for side in sides], np.zeros((2, len(target)), int)
    for c in np.argsort(-target, kind="stable"):
        roomy = int(room[1] > room[0])
        parts[roomy, c] = min(target[c], room[roomy])
        parts[1 - roomy, c] = target[c] - parts[roomy, c]
        room = [room[side] - parts[side, c] for side in (0, 1)]
    shared = int(np.argmax(parts.min(axis=0)))
    colours = np.empty(touching.count, int)
    for side, places in enumerate(sides):
        own = np.repeat(np.arange(len(target)), np.where(np.arange(len(target)) == shared, 0, parts[side]))
        with_shared = [np.full(parts[side, shared], shared), rng.permutation(own)]
        colours[places] = np.concatenate(with_shared if side == 0 else with_shared[::-1])
    first, second = touching.ends
    return None if (colours[first] == colours[second]).any() else colours


def most_hemmed_in_first(
    touching: Touching, colours: int, rng: np.random.Generator, may: np.ndarray | None = None
) -> tuple[np.ndarray | None, bool]:
    """Colour piece by piece, always one that has the most colours round it already.

    A piece that sees every colour is freed by exchanging two colours along a chain, if one chain does.

    Parameters
    ----------
    touching : Touching
        The pieces.
    colours : int
        Number of colours.
    rng : Generator
        Settles ties.
    may : array of bool, shape (n, q), optional
        Whether each piece may have each colour; any may have any if left out.

    Returns
    -------
    found : array of int, shape (n,), or None
        Colour of each piece; None if a piece stayed stuck.
    forced : bool
        Whether no piece had a real choice: then every arrangement in these colours is this one with the
        colours renamed, or there is none where `found` is None. A choice among colours not used before
        is only one of names. It means nothing where `may` is given.

    References
    ----------
    .. [1] D. Brelaz, "New methods to color the vertices of a graph", Communications of the ACM 22
       (1979): saturation degree (from memory). Freeing by chains is Kempe's, 1879 (from memory).

    Examples
    --------
    >>> ring = Touching(5, np.array([[0, 1], [0, 4], [1, 2], [2, 3], [3, 4]]))
    >>> found, forced = most_hemmed_in_first(ring, 3, np.random.default_rng(0))
    >>> sorted(set(found.tolist())), forced
    ([0, 1, 2], False)
    >>> most_hemmed_in_first(ring, 2, np.random.default_rng(0))
    (None, True)
    """
    near, tie = touching.nearby, rng.permutation(touching.count).tolist()
    colour, every = [-1] * touching.count, (1 << colours) - 1
    barred = [0] * touching.count if may is None else [_bits(~row) for row in may]
    seen = barred.copy()
    queue = [(-seen[v].bit_count(), tie[v], v) for v in range(touching.count)]
    heapq.heapify(queue)
    used, forced = 0, True
    while queue:
        sight, _, v = heapq.heappop(queue)
        if colour[v] >= 0 or -sight != seen[v].bit_count():
            continue
        free = every & ~seen[v]
        if not free:
            touched = None if forced and may is None else _exchange_chain(v, colours, colour, near, barred)
            if touched is None:
                return None, forced
            for w in _look_again([*touched, v], colour, seen, near, barred):
                heapq.heappush(queue, (-seen[w].bit_count(), tie[w], w))
            # colour it at once: another stuck piece could take the freed colour away, and so on for ever
            free = every & ~seen[v]
        forced = forced and (free & (free - 1) == 0 or not free & used)
        used |= free & -free
        colour[v] = (free & -free).bit_length() - 1
        for w in near[v]:
            if colour[w] < 0 and not seen[w] >> colour[v] & 1:
                seen[w] |= 1 << colour[v]
                heapq.heappush(queue, (-seen[w].bit_count(), tie[w], w))
    return np.array(colour), forced


def _bits(row: np.ndarray) -> int:
    """Return a row of yes and no as the bits of a number, the first one lowest."""
    return sum(1 << int(c) for c in np.flatnonzero(row))


def _exchange_chain(
    v: int, colours: int, colour: list[int], near: list[list[int]], barred: list[int]
) -> list[int] | None:
    """Exchange two colours along a chain so that piece v no longer sees one; None if no chain does."""
    for c, d in permutations(range(colours), 2):
        if barred[v] >> c & 1:
            continue
        chain = {w for w in near[v] if colour[w] == c}
        front = list(chain)
        while front:
            u = front.pop()
            more = [w for w in near[u] if colour[w] in (c, d) and w not in chain]
            chain.update(more)
            front.extend(more)
        closed = any(colour[w] == d and w in chain for w in near[v])
        if not closed and not any(barred[u] >> (c + d - colour[u]) & 1 for u in chain):
            for u in chain:
                colour[u] = c + d - colour[u]
            return list(chain)
    return None


def _look_again(
    changed: list[int], colour: list[int], seen: list[int], near: list[list[int]], barred: list[int]
) -> list[int]:
    """Renew the colours seen by the uncoloured pieces beside changed ones; return those pieces."""
    open_pieces = {w for u in changed for w in [u, *near[u]] if colour[w] < 0}
    for w in open_pieces:
        seen[w] = barred[w]
        for u in near[w]:
            if colour[u] >= 0:
                seen[w] |= 1 << colour[u]
    return sorted(open_pieces)
