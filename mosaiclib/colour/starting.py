"""A first arrangement without clashes, regular and heedless of stock; `exchanging` then makes it lively."""

__all__ = ["alternating", "filled", "most_hemmed_in_first"]

import heapq
from itertools import permutations

import numpy as np

from mosaiclib.colour.touching import Touching


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
