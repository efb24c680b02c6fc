"""A first arrangement of colours (DSATUR), and exchange along Kempe chains towards the stock."""

__all__ = ["alternating", "dsatur", "exchange", "filled", "one_round"]

import heapq
from itertools import permutations

import numpy as np

from mosaiclib.colour.graph import ConflictGraph, Task

LEAST_ROUNDS = 24  # after 15 a colour keeps to one side of the chessboard it began on no more than after 60 (measured, 4 to 7 colours)
MOST_ROUNDS = 160
SETTLED = 20  # rounds in which nothing came nearer to the target: it cannot always be hit, as by halves of tiles an odd number


def exchange(
    colours: np.ndarray, task: Task, target: np.ndarray, rng: np.random.Generator
) -> tuple[np.ndarray, int, int]:
    """Exchange colours along Kempe chains at random, with the amounts led towards the target, shape (q,).

    Returns the arrangement that came nearest (least over stock, then least off the target, then latest), how much of
    it is over stock, and the rounds made. Each round pairs all colours at random and exchanges the chains of every
    pair at once; after the first rounds one colour of each pair is led to just its target. Within the stock it ends once
    the target is hit, or once nothing has come nearer for a while. How evenly the possible arrangements are reached is
    not known for few colours on touching rows.

    References
    ----------
    .. [1] J.-S. Wang, R. H. Swendsen and R. Kotecky, "Antiferromagnetic Potts models", Physical Review
       Letters 63 (1989): exchanging two colours on chains chosen at random (from memory).

    Examples
    --------
    >>> row = Task.of(ConflictGraph(4, np.array([[0, 1], [1, 2], [2, 3]])), {"red": 2, "blue": 1, "green": 1})
    >>> new, over, _ = exchange(np.array([0, 1, 0, 1]), row, row.stock, np.random.default_rng(1))
    >>> np.bincount(new).tolist(), over
    ([2, 1, 1], 0)
    """
    best, score = colours, _off(colours, task, target)
    rounds = nearer = 0
    while rounds < LEAST_ROUNDS or (rounds < MOST_ROUNDS and (score[0] or (score[1] and rounds - nearer < SETTLED))):
        colours = one_round(colours, task, target, rng, exact=rounds >= LEAST_ROUNDS)
        now = _off(colours, task, target)
        rounds += 1
        nearer = rounds if now < score else nearer
        if now <= score:
            best, score = colours, now
    return best, score[0], rounds


def _off(colours: np.ndarray, task: Task, target: np.ndarray) -> tuple[int, int]:
    """Return how much is over stock or off the shares, and how much off the target."""
    return task.over(colours), int(np.abs(np.bincount(colours, task.led, len(target)) - target).sum())


def one_round(
    colours: np.ndarray, task: Task, target: np.ndarray, rng: np.random.Generator, exact: bool = False
) -> np.ndarray:
    """Pair the colours at random, choose chains of each pair, exchange them.

    The two of a pair are led to share what they have in proportion to the target; where it is `exact`, one of them to its target.
    """
    q = len(target)
    one, two = rng.permutation(q)[: q // 2 * 2].reshape(2, -1)
    partner, pair, gain = np.full(q, -1), np.full(q, -1), np.zeros(q)
    partner[one], partner[two] = two, one
    pair[one] = pair[two] = np.arange(len(one))
    gain[one], gain[two] = -1, 1
    first, second = task.graph.ends
    chains, chain = task.graph.components(partner[colours][first] == colours[second])
    gains = np.bincount(chain, gain[colours] * task.led, chains).astype(int)
    owner = np.empty(chains, int)
    owner[chain] = pair[colours]
    if not task.free:  # a chain with a piece that may not have the other colour stays as it is
        owner[chain[~task.may[np.arange(len(colours)), partner[colours]]]] = -1
    count, chosen = np.bincount(colours, task.led, q).astype(int), np.zeros(chains, bool)
    for k, (c, d) in enumerate(zip(one, two, strict=True)):
        mine = np.flatnonzero(owner == k)
        aim = _part(count[c] + count[d], target[c], target[d], rng, exact)
        chosen[mine] = _choose(gains[mine], aim - count[c], rng)
    return np.where(chosen[chain], partner[colours], colours)


def _part(total: int, one: int, two: int, rng: np.random.Generator, exact: bool) -> int:
    """Return the first colour's part of `total`: in proportion to the targets, rounded at random, or where `exact` the target of one."""
    if exact:  # in proportion all share what is over, so that of three hardly ever the one left out has just what it is to have
        return min(int(one), total) if rng.random() < 0.5 else total - min(int(two), total)
    if one + two == 0:
        one = two = 1
    whole, rest = divmod(int(total) * int(one), int(one + two))
    return whole + int(rng.random() * (one + two) < rest)


def _choose(gain: np.ndarray, wanted: int, rng: np.random.Generator) -> np.ndarray:
    """Choose chains at random so that their gains add up to `wanted`, as nearly as a few passes can."""
    drawn = rng.random(len(gain)) < 0.5
    bold, left = _settle(gain, drawn.copy(), wanted, rng)
    if not left:
        return bold
    # a large chain drawn at random may upset the counts for good: compare with leaving such chains alone
    calm, still = _settle(gain, drawn & (gain == 0), wanted, rng)
    return bold if abs(left) <= abs(still) else calm


def _settle(gain: np.ndarray, chosen: np.ndarray, wanted: int, rng: np.random.Generator) -> tuple[np.ndarray, int]:
    """Change single choices, in random order, until the gains add up; return also what is left over."""
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


def alternating(graph: ConflictGraph, target: np.ndarray) -> np.ndarray:
    """Colour the two sides of every bipartite component with the two most wanted colours, the larger side first; (n,).

    Examples
    --------
    >>> alternating(ConflictGraph(3, np.array([[0, 1], [1, 2]])), np.array([0, 1, 2])).tolist()
    [2, 1, 2]
    """
    order = np.argsort(-target, kind="stable")
    return order[np.minimum(_smaller_side(graph), len(order) - 1)]


def _smaller_side(graph: ConflictGraph) -> np.ndarray:
    """Return 1 for the pieces on the smaller side of their component, else 0, shape (n,)."""
    lean = np.bincount(graph.component, 1 - 2 * graph.side)
    return graph.side ^ (lean[graph.component] < 0)


def filled(graph: ConflictGraph, target: np.ndarray, rng: np.random.Generator) -> np.ndarray | None:
    """Fill the two sides with colours in exactly the wanted numbers of pieces, for stocks with little to spare.

    Every colour keeps to one side, but for one that may have to be shared: it takes the first places of one side and
    the last of the other, which seldom touch. None if the shared colour touches itself.

    Examples
    --------
    >>> row = ConflictGraph(6, np.array([[i, i + 1] for i in range(5)]))
    >>> filled(row, np.array([2, 2, 2]), np.random.default_rng(0)).tolist()
    [2, 1, 0, 1, 0, 2]
    """
    sides = [np.flatnonzero(_smaller_side(graph) == side) for side in (0, 1)]
    left, parts = [len(side) for side in sides], np.zeros((2, len(target)), int)
    for c in np.argsort(-target, kind="stable"):
        roomy = int(left[1] > left[0])
        parts[roomy, c] = min(target[c], left[roomy])
        parts[1 - roomy, c] = target[c] - parts[roomy, c]
        left = [left[side] - parts[side, c] for side in (0, 1)]
    shared = int(np.argmax(parts.min(axis=0)))
    colours = np.empty(graph.count, int)
    for side, places in enumerate(sides):
        own = np.repeat(np.arange(len(target)), np.where(np.arange(len(target)) == shared, 0, parts[side]))
        with_shared = [np.full(parts[side, shared], shared), rng.permutation(own)]
        colours[places] = np.concatenate(with_shared if side == 0 else with_shared[::-1])
    first, second = graph.ends
    return None if (colours[first] == colours[second]).any() else colours


def dsatur(task: Task, rng: np.random.Generator) -> tuple[np.ndarray | None, bool]:
    """Colour piece by piece, always one of greatest saturation (most colours beside it already), whatever the stock.

    A piece that sees every colour is freed by exchanging one Kempe chain, if one does. Returns the colours, shape (n,),
    or None if a piece stayed stuck; and whether no piece had a real choice: then every arrangement in these colours is
    this one with the colours renamed, or there is none. That means nothing unless any piece may have any colour.

    References
    ----------
    .. [1] D. Brelaz, "New methods to color the vertices of a graph", Communications of the ACM 22
       (1979): saturation degree (from memory). Freeing by chains is Kempe's, 1879 (from memory).

    Examples
    --------
    >>> ring = ConflictGraph(5, np.array([[0, 1], [0, 4], [1, 2], [2, 3], [3, 4]]))
    >>> found, forced = dsatur(Task.of(ring, {"red": 5, "blue": 5, "green": 5}), np.random.default_rng(0))
    >>> sorted(set(found.tolist())), forced
    ([0, 1, 2], False)
    >>> dsatur(Task.of(ring, {"red": 5, "blue": 5}), np.random.default_rng(0))
    (None, True)
    """
    count, near = task.graph.count, task.graph.adjacent
    tie, colour, every = rng.permutation(count).tolist(), [-1] * count, (1 << len(task.names)) - 1
    barred = [0] * count if task.free else [_bits(~row) for row in task.may]
    seen = barred.copy()
    queue = [(-seen[v].bit_count(), tie[v], v) for v in range(count)]
    heapq.heapify(queue)
    used, forced = 0, True
    while queue:
        saturation, _, v = heapq.heappop(queue)
        if colour[v] >= 0 or -saturation != seen[v].bit_count():
            continue
        free = every & ~seen[v]
        if not free:
            chain = None if forced and task.free else _exchange_chain(v, len(task.names), colour, near, barred)
            if chain is None:
                return None, forced
            for w in _look_again([*chain, v], colour, seen, near, barred):
                heapq.heappush(queue, (-seen[w].bit_count(), tie[w], w))
            # colour it at once: another stuck piece could take the freed colour away, and so on for ever
            free = every & ~seen[v]
        # a choice among colours not used before is only one of names
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
