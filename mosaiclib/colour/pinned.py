"""One piece's colour changed by hand in an arrangement that stands: the rest is mended round it by Kempe chains."""

__all__ = ["arrange_pinned", "mend_pinned", "mended"]

from collections.abc import Callable, Iterator, Sequence
from itertools import permutations

import numpy as np

from mosaiclib.colour.arrangement import find
from mosaiclib.colour.blend import Run
from mosaiclib.colour.exchange import one_round
from mosaiclib.colour.graph import CannotBe, NotFound, Task

MENDING_ROUNDS = 12  # of exchange, under a third of what a new arrangement makes


def arrange_pinned(
    task: Task,
    seed: int,
    runs: Sequence[Run] = (),
    pins: Sequence[tuple[int, str]] = (),
    called: Callable[[int], str] = "piece {}".format,
) -> np.ndarray:
    """Return the name of a colour for each piece, shape (n,): arranged by lot, then mended round one pin after the other.

    Pins are pieces with the colours chosen for them, whatever their rows say; of two on a piece the later holds. `called`
    gives what a sentence calls a piece. Refuses as `arrange` does.
    """
    held = _held(task, pins, called)
    try:
        colours = find(task, seed, runs)
    except (CannotBe, NotFound):
        if not pins:
            raise
        return _named(task, find(held, seed, runs))  # a piece in another colour may open the way
    for last in range(len(pins)):
        colours = _next(task, colours, seed, runs, pins[: last + 1], called)
    return _named(task, colours)


def mend_pinned(
    task: Task,
    names: np.ndarray,
    seed: int,
    runs: Sequence[Run],
    pins: Sequence[tuple[int, str]],
    called: Callable[[int], str] = "piece {}".format,
) -> np.ndarray:
    """Return an arrangement by name, shape (n,), mended round the last of the pins; see `arrange_pinned`."""
    _held(task, pins, called)
    number = {name: c for c, name in enumerate(task.names)}
    if not all(name in number for name in names):
        return arrange_pinned(task, seed, runs, pins, called)
    return _named(task, _next(task, np.array([number[name] for name in names]), seed, runs, pins, called))


def _next(
    task: Task,
    colours: np.ndarray,
    seed: int,
    runs: Sequence[Run],
    pins: Sequence[tuple[int, str]],
    called: Callable[[int], str],
) -> np.ndarray:
    """Return an arrangement mended round the last pin, or arranged anew where that cannot be done."""
    held, (piece, name) = _held(task, pins, called), pins[-1]
    found = mended(held, colours, piece, np.random.default_rng([seed, len(pins)]))
    if found is not None:
        return found
    begin = f"{called(piece)[:1].upper()}{called(piece)[1:]}"
    try:
        return find(held, seed, runs)
    except CannotBe:
        raise CannotBe(
            f"{begin} cannot be {name}: the pieces round it could not be kept apart in the colours and tiles that there "
            "are for them. Choose another colour, or give the rows beside it more colours.",
            "pinned",
        ) from None
    except NotFound as ended:
        words = f"{begin} in {name}: no arrangement of the others was found, and there may still be one. Try another colour."
        raise NotFound(words, ended.pieces, starts=ended.starts, rounds=ended.rounds, work=ended.work) from None


def _named(task: Task, colours: np.ndarray) -> np.ndarray:
    return np.array(task.names, dtype=object)[colours]


def _held(task: Task, pins: Sequence[tuple[int, str]], called: Callable[[int], str] = "piece {}".format) -> Task:
    """Return the task with its pins held, or refuse those of which there is no tile, and those that touch and are alike."""
    chosen = dict(pins)
    told = [
        f"{called(piece)} was made {name} by hand, and there is no tile of it"
        for piece, name in chosen.items()
        if name not in task.names
    ]
    told += [
        f"{called(a)} and {called(b)} touch, and both were made {chosen[a]} by hand: change one of them"
        for a, b in zip(*(end.tolist() for end in task.graph.ends), strict=True)
        if a in chosen and chosen[a] == chosen.get(b)
    ]
    if told:
        raise CannotBe("".join(f"{words[:1].upper()}{words[1:]}. " for words in told).strip(), "pinned")
    pieces, names = np.array(list(chosen), int), [task.names.index(name) for name in chosen.values()]
    return task.only(pieces, np.array(names, int))


def mended(task: Task, colours: np.ndarray, piece: int, rng: np.random.Generator) -> np.ndarray | None:
    """Return an arrangement, shape (n,), with a piece in the one colour that the task leaves it, or None.

    `colours` is an arrangement of the task but for that piece, which may be alike with those beside it. Tried in order:
    the pieces beside it that are alike take another colour, alone or with a Kempe chain; the chain of the piece itself is
    exchanged. What is then over stock or off the shares is put right by one more chain anywhere, else by a few rounds of
    exchange. None proves nothing.

    Examples
    --------
    >>> from mosaiclib.colour.graph import ConflictGraph
    >>> row = Task.of(ConflictGraph(4, np.array([[0, 1], [1, 2], [2, 3]])), {"red": 2, "blue": 2, "green": 1})
    >>> held = row.only(np.array([0]), np.array([1]))
    >>> mended(held, np.array([0, 1, 0, 1]), 0, np.random.default_rng(0)).tolist()
    [1, 2, 0, 1]
    """
    to = int(np.argmax(task.may[piece]))
    found = None
    for found in (colours,) if colours[piece] == to else _near(task, colours, piece, to):
        right = found if not task.over(found) else _with_one_chain(task, found)
        if right is not None:
            return right
    for _ in range(MENDING_ROUNDS if found is not None else 0):
        amount = np.bincount(found, task.led, len(task.names)).astype(int)
        found = one_round(found, task, np.minimum(amount, task.stock) if task.unit == 1 else amount, rng)
        if not task.over(found):
            return found
    return None


def _near(task: Task, colours: np.ndarray, piece: int, to: int) -> Iterator[np.ndarray]:
    """Yield arrangements that differ from one near a piece only, which takes a colour."""
    moved = _others_moved(task, colours, piece, to)
    if moved is not None:
        yield moved
    chain = _chain(task, colours, piece, to)
    if chain:
        yield _exchanged(colours, chain, (int(colours[piece]), to))


def _others_moved(task: Task, colours: np.ndarray, piece: int, to: int) -> np.ndarray | None:
    """Give each piece beside one that is alike another colour: one that is free, else along the shortest chain that spares the piece."""
    near, found = task.graph.adjacent, colours.copy()
    found[piece] = to
    for w in near[piece]:
        if found[w] != to:
            continue
        beside, wanted = {int(found[u]) for u in near[w]}, np.flatnonzero(task.may[w]).tolist()
        free = [c for c in wanted if c not in beside]
        if free:
            room = task.stock - np.bincount(found, task.weights, len(task.names))
            found[w] = max(free, key=lambda c: room[c])
            continue
        chains = [(chain, (to, c)) for c in wanted if c != to and (chain := _chain(task, found, w, c, spared=piece))]
        if not chains:
            return None
        found = _exchanged(found, *min(chains, key=lambda one: len(one[0])))
    return found


def _chain(task: Task, colours: np.ndarray, start: int, other: int, spared: int = -1) -> list[int]:
    """Return the Kempe chain of a piece in its colour and another, empty where one of its pieces is `spared` or may not change."""
    near, both = task.graph.adjacent, (int(colours[start]), other)
    chain, front = {start}, [start]
    while front:
        u = front.pop()
        if u == spared or not task.may[u, both[0] + both[1] - colours[u]]:
            return []
        more = [w for w in near[u] if colours[w] in both and w not in chain]
        chain.update(more)
        front.extend(more)
    return sorted(chain)


def _exchanged(colours: np.ndarray, chain: np.ndarray | list[int], pair: tuple[int, int]) -> np.ndarray:
    """Exchange the two colours of a chain."""
    found = colours.copy()
    found[chain] = sum(pair) - colours[chain]
    return found


def _with_one_chain(task: Task, colours: np.ndarray) -> np.ndarray | None:
    """Exchange the shortest chain of any two colours with which stock and shares are kept again; None if there is none."""
    best, least = None, len(colours) + 1
    for c, d in permutations(range(len(task.names)), 2):
        both = np.flatnonzero((colours == c) | (colours == d))
        if c > d or not _concern(task, colours, c, d):
            continue
        first, second = task.graph.ends
        inside = np.isin(colours[first], (c, d)) & np.isin(colours[second], (c, d))
        chains, label = task.graph.components(inside)
        barred = np.zeros(chains, bool)
        barred[label[both[~task.may[both, c + d - colours[both]]]]] = True
        size = np.bincount(label[both], minlength=chains)
        size[barred | (size == 0)] = least
        right = _right_after(task, colours, (c, d), label[both], both, chains) & (size < least)
        if right.any():
            chosen = int(np.argmin(np.where(right, size, least)))
            best, least = _exchanged(colours, both[label[both] == chosen], (c, d)), int(size[chosen])
    return best


def _concern(task: Task, colours: np.ndarray, c: int, d: int) -> bool:
    """Tell whether all that is over stock or off the shares lies in two colours, so that they alone can put it right."""
    kept = np.isin(colours, (c, d))
    used = np.bincount(colours[~kept], task.weights[~kept], len(task.names))
    count, (low, high) = np.bincount(colours[~kept], minlength=len(task.names)), task.bounds
    wrong = (used > task.stock) | (count < low) | (count > high)
    wrong[[c, d]] = False
    return not wrong.any()


def _right_after(
    task: Task, colours: np.ndarray, pair: tuple[int, int], label: np.ndarray, both: np.ndarray, chains: int
) -> np.ndarray:
    """Tell for each chain of a pair of colours whether both keep to stock and shares once it is exchanged, shape (chains,)."""
    (c, d), (low, high) = pair, task.bounds
    right = np.ones(chains, bool)
    gain = np.where(colours[both] == d, 1, -1)  # of colour c
    for weights, least, most in ((task.weights[both], 0 * low, task.stock), (np.ones(len(both)), low, high)):
        more = np.bincount(label, gain * weights, chains)
        for one, sign in ((c, 1), (d, -1)):
            amount = weights[colours[both] == one].sum() + sign * more
            right &= (amount <= most[one]) & (amount >= least[one])
    return right
