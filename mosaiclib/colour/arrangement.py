"""Colours for the pieces of a layout, no two alike touching: which way is tried when."""

__all__ = ["arrange", "arrange_pieces", "find"]

from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from mosaiclib.colour.blend import Run, as_asked, blended
from mosaiclib.colour.exchange import alternating, dsatur, exchange, filled
from mosaiclib.colour.graph import CannotBe, ConflictGraph, NotFound, Task, read_stock, targets, whole
from mosaiclib.colour.solve import (
    SEARCH_SIZE,
    WORK,
    alternate,
    independence_number,
    independent_at_least,
    independent_at_most,
    listed,
    search,
    why,
)
from mosaiclib.errors import whole_number
from mosaiclib.layout.joints import neighbours
from mosaiclib.layout.layout import Layout

STARTS = 8  # first arrangements tried where the pieces do not simply alternate
MOST_ODD = 2_500  # pieces in components with odd cycles, of which the most of one colour is worked out in passing


def arrange(layout: Layout, stock: Mapping[str, int], seed: int = 0, corners: bool = False) -> Layout:
    """Colour the pieces so that no two neighbours are alike and no colour is used beyond its stock.

    The shares of the colours follow the stock, except that one colour is kept below four fifths of the
    most that the layout can take while the others suffice; where they fall is random.

    Parameters
    ----------
    layout : Layout
        The pieces, each of which takes one tile.
    stock : mapping of str to int
        Number of tiles of each colour; may be more than needed.
    seed : int
        Same seed, same arrangement, 0 to 2147483647.
    corners : bool
        Whether pieces that meet only at a crossing of joints must differ too.

    Returns
    -------
    Layout
        The same layout with `colour` filled.

    Raises
    ------
    StockShort
        If there are fewer tiles than pieces.
    CannotBe
        If it is proven that no arrangement exists.
    NotFound
        If the search ended without an answer; that proves nothing.

    Notes
    -----
    Two colours are decided exactly on any layout. With three or more, a first arrangement is shuffled by
    exchanging two colours along Kempe chains; where that keeps to no stock, and pieces times colours are at
    most 10,000, a complete search of stated length decides. All arrangements are possible outcomes only
    as far as chains reach; they are not equally likely.

    With three colours on staggered rows the pattern is forced: only which colour is which is free.

    Examples
    --------
    >>> import shapely
    >>> from mosaiclib.layout import lay_grid
    >>> grid = lay_grid(shapely.box(0, 0, 108, 108), 20, 2)
    >>> coloured = arrange(grid, {"white": 10, "blue": 10, "green": 5})
    >>> sorted(coloured.pieces["colour"].value_counts().items())
    [('blue', 10), ('green', 5), ('white', 10)]
    >>> arrange(grid, {"white": 24, "blue": 1})
    Traceback (most recent call last):
    mosaiclib.colour.graph.CannotBe: At most 13 of the 25 pieces can be of one colour, so this stock \
leaves 11 without one. Add at least 11 tiles of the scarce colours, or of another colour.
    """
    read_stock(stock)
    seed = whole_number(seed, "seed", greatest=2**31 - 1)
    if len(layout) == 0:
        return layout
    graph = ConflictGraph(len(layout), neighbours(layout, corners))
    return layout.coloured(arrange_pieces(graph, stock, seed))


def arrange_pieces(
    graph: ConflictGraph,
    stock: Mapping[str, int],
    seed: int = 0,
    *,
    allowed: Sequence[frozenset[str] | None] | None = None,
    tiles: np.ndarray | None = None,
    rows: Sequence[str] | None = None,
    shares: Mapping[str, float] | None = None,
    runs: Sequence[Run] = (),
) -> np.ndarray:
    """Return a colour for each piece, shape (n,), so that no pair is alike and the stock of tiles is enough.

    `allowed` holds the colours that each piece may have, None for any; `tiles` the share of a tile that each takes (1,
    1/2, 1/3 or 1/4), shape (n,); `rows` what a refusal calls the row of each piece, empty where it is in none; `shares`
    the part of all pieces, 0 to 1, that must be of a colour, met within one piece; `runs` pieces that share colours
    evenly or as a gradient. Refuses as `arrange` does.

    Examples
    --------
    >>> row = ConflictGraph(3, np.array([[0, 1], [1, 2]]))
    >>> only = frozenset({"blue", "sky blue"})
    >>> found = arrange_pieces(
    ...     row, {"blue": 1, "sky blue": 1, "green": 1}, allowed=[only, only, None], tiles=np.full(3, 0.25)
    ... )
    >>> found[0] != found[1] and found[1] != found[2] and set(found[:2]) == only
    True
    """
    task = Task.of(graph, stock, allowed, tiles, rows, shares)
    return np.array(task.names, dtype=object)[find(task, seed, runs)]


def find(task: Task, seed: int, runs: Sequence[Run] = ()) -> np.ndarray:
    """Return the number of a colour for each piece, shape (n,), or one of the honest refusals."""
    if not runs:
        return _find(task, seed)
    rng = np.random.default_rng(seed)
    for _ in range(STARTS):
        colours = _round_runs(task, runs, rng)
        if colours is not None:
            return colours
    without = _find(task, seed)  # refuses where there is no way even without the blends
    narrow = task.may.sum(axis=1) < len(task.names)  # rows with few colours cannot give way: they come first
    narrow[np.concatenate([run.pieces for run in runs])] = False
    colours = _round_runs(task.only(np.flatnonzero(narrow), without[narrow]), runs, rng)
    if colours is not None:
        return colours
    named = listed(list(dict.fromkeys(run.name for run in runs if run.name)), "and") or "the blends"
    raise NotFound(
        f"The colours can be arranged, but no way was found in {STARTS} tries in which {named} are blended as asked. "
        "Add tiles of their colours, give them one more colour, or leave them to chance.",
        task.graph.count,
        starts=STARTS,
    )


def _round_runs(task: Task, runs: Sequence[Run], rng: np.random.Generator) -> np.ndarray | None:
    """Blend the runs, then arrange the rest round them; None where one of both does not come out."""
    fixed = blended(task, runs, rng)
    if fixed is None:
        return None
    held = np.flatnonzero(fixed >= 0)
    narrowed, names = task.only(held, fixed[held]), np.array(task.names, dtype=object)
    colours = _tried(narrowed, _target(narrowed, int(task.led.sum()) // 2), rng).colours
    near = colours is not None and all(as_asked(run, names[colours[run.pieces]]) for run in runs)
    return colours if near else None


def _find(task: Task, seed: int) -> np.ndarray:
    """Return the number of a colour for each piece by the quickest way that fits, or one of the honest refusals."""
    rng, two = np.random.default_rng(seed), task.free and len(task.names) == 2
    if two and task.graph.odd.any():
        words = "Two colours cannot alternate here: some pieces close a ring of odd number. Add a third colour."
        raise CannotBe(words, "odd cycle")
    most = _most_of_one(task, rng)
    if not task.graph.odd.any():
        _check_most(task, most)
    _check_shares(task, rng)
    target = _target(task, most)
    if two and (task.unit == 1 or not task.shares):
        return _alternated(task, target, rng)
    tried = _tried(task, target, rng)
    if tried.colours is not None:
        return tried.colours
    if tried.forced and not task.shares:
        return _renamed(task, tried.start, rng)
    _check_most(task, most)
    return _searched(task, target, seed, rng, tried)


class _Tried(NamedTuple):
    """What exchanging colours came to, None where it keeps to no stock; starts and rounds made.

    `start` is a first arrangement, None if there was none; `forced` tells that there is no other.
    """

    colours: np.ndarray | None
    starts: int
    rounds: int
    start: np.ndarray | None
    forced: bool


def _tried(task: Task, target: np.ndarray, rng: np.random.Generator) -> _Tried:
    """Exchange colours from several first arrangements, until one keeps to stock and shares."""
    starts, rounds, known = 0, 0, None
    for start, forced in _starts(task, target, rng):
        starts += 1
        if start is not None:
            known = start
            colours, over, made = exchange(start, task, target, rng)
            rounds += made
            if not over:
                return _Tried(colours, starts, rounds, start, forced)
        if forced:
            return _Tried(None, starts, rounds, start, True)
    return _Tried(None, starts, rounds, known, False)


def _target(task: Task, most_of_one: int) -> np.ndarray:
    """Return the amounts to be led towards, shape (q,): the shares that are asked, else in proportion to the stock."""
    if not task.shares:
        return targets(int(task.weights.sum()), task.stock, most_of_one)
    n = task.graph.count
    asked = n * np.array([task.shares.get(name, 0.0) for name in task.names])
    shared = asked > 0
    if shared.all():
        return whole(asked, task.bounds[1], n)
    stock = np.ceil(task.stock * (n / task.weights.sum())).astype(int)  # as pieces of mean size
    found, (least, most) = np.round(asked).astype(int), task.bounds
    rest = min(max(n - int(found.sum()), 0), int(stock[~shared].sum()))
    found[~shared] = targets(rest, stock[~shared], most_of_one)
    for c in np.flatnonzero(shared):  # rounding, and what the others have no tiles for
        found[c] += np.clip(n - found.sum(), least[c] - found[c], most[c] - found[c])
    found[int(np.argmax(found))] += n - int(found.sum())
    return found


def _check_shares(task: Task, rng: np.random.Generator) -> None:
    """Refuse a share that its tiles, or the pieces that may have the colour, cannot give, with the most that can be."""
    told = [
        f"{share:.0%} are to be {name}, but there is no tile of it."
        for name, share in task.shares.items()
        if name not in task.names
    ]
    told += [words for c in range(len(task.names)) if task.bounds[0][c] and (words := _share_refused(task, c, rng))]
    if told:
        raise CannotBe(" ".join(told), "share")


def _share_refused(task: Task, c: int, rng: np.random.Generator) -> str:
    """Say why a colour cannot have its share; empty where nothing speaks against it."""
    least, may = int(task.bounds[0][c]), task.may[:, c]
    asked = f"{task.shares[task.names[c]]:.0%} of {task.graph.count} pieces are to be {task.names[c]}"
    afford = int(np.searchsorted(np.cumsum(np.sort(task.weights[may])), task.stock[c], side="right"))
    if afford < least:
        why = f"its {task.tiles[c]} tiles do" if task.weights[may].sum() > task.stock[c] else "its rows allow"
        return f"{asked}, but {why} for {afford} at most."
    part = task.graph.part(may)
    if independent_at_least(part, rng) >= least or part.odd.sum() > MOST_ODD:
        return ""
    most = independent_at_most(part)
    share = 100 * most // task.graph.count
    return "" if most >= least else f"{asked}, but at most {most} can be, as no two alike may touch: that is {share}%."


def _equal(task: Task) -> bool:
    """Tell whether pieces differ in nothing: then it can be counted how many may be of one colour."""
    return task.free and task.unit == 1


def _most_of_one(task: Task, rng: np.random.Generator) -> int:
    """Return an amount that surely can be of one colour, or where pieces differ half of all as a likely one."""
    return independent_at_least(task.graph, rng) if _equal(task) else int(task.led.sum()) // 2


def _check_most(task: Task, least: int) -> None:
    """Refuse a stock whose colours, each cut to the most that the layout takes of one, cannot cover it."""
    n = task.graph.count
    if not _equal(task) or np.minimum(task.stock, least).sum() >= n or task.graph.odd.sum() > MOST_ODD:
        return
    most = independent_at_most(task.graph)
    if n * len(task.names) <= SEARCH_SIZE:
        with suppress(NotFound):  # the bound is proof enough
            most = independence_number(task.graph, WORK / 4)
    missing = n - int(np.minimum(task.stock, most).sum())
    if missing > 0:
        tiles = "1 tile" if missing == 1 else f"{missing} tiles"
        raise CannotBe(
            f"At most {most} of the {n} pieces can be of one colour, so this stock leaves {missing} "
            f"without one. Add at least {tiles} of the scarce colours, or of another colour.",
            "one colour",
            most=most,
            missing=missing,
        )


def _alternated(task: Task, target: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """Return the arrangement of two colours, or refuse with the nearest numbers that are possible."""
    if task.shares:  # what one may have at most, the other must have at least
        least, most = task.bounds
        caps = np.minimum(task.stock, np.minimum(most, task.graph.count - least[::-1]))
        task = replace(task, stock=caps)
    colours, amounts = alternate(task, target, rng)
    if colours is None:
        (one, two), (first, second) = task.names, task.tiles
        if task.shares:
            raise CannotBe(
                f"Two colours can only alternate here: the shares that come nearest are {amounts[0]} {one} and "
                f"{amounts[1]} {two} of {task.graph.count} pieces. Change the shares, or add a third colour.",
                "share",
                nearest=amounts,
            )
        nearest = tuple(-(-amount // task.unit) for amount in amounts)
        raise CannotBe(
            f"Two colours can only alternate here, and no choice of sides fits {first} {one} and "
            f"{second} {two}; the nearest is {nearest[0]} {one} and {nearest[1]} {two}. "
            "Change the numbers, or add a third colour.",
            "counts",
            nearest=nearest,
        )
    return colours


def _starts(task: Task, target: np.ndarray, rng: np.random.Generator) -> Iterator[tuple[np.ndarray | None, bool]]:
    """Yield first arrangements, and whether no other exists."""
    if _equal(task) and not task.graph.odd.any():
        yield alternating(task.graph, target), False
        yield filled(task.graph, target, rng), False
        return
    for _ in range(STARTS):
        start, forced = dsatur(task, rng)
        yield start, forced and task.free


def _renamed(task: Task, start: np.ndarray | None, rng: np.random.Generator) -> np.ndarray:
    """Return the one pattern there is, its largest part in the most plentiful colour, or refuse."""
    q = len(task.names)
    if start is None:
        few = "One colour is" if q == 1 else f"{q} colours are"
        raise CannotBe(f"{few} too few to keep touching pieces apart here. Add a colour.", "too few colours")
    amount = np.bincount(start, task.weights, q).astype(int)
    by_amount, by_stock = np.lexsort([rng.random(q), -amount]), np.argsort(-task.stock, kind="stable")
    if (amount[by_amount] > task.stock[by_stock]).any():
        needed = (-(-amount[by_amount] // task.unit)).tolist()
        raise CannotBe(
            f"With {q} colours the pattern of these pieces is forced, and it needs at least "
            f"{', '.join(map(str, needed))} tiles. Change the numbers, or add a colour.",
            "counts",
            nearest=tuple(needed),
        )
    name = np.empty(q, int)
    name[by_amount] = by_stock
    return name[start]


def _searched(task: Task, target: np.ndarray, seed: int, rng: np.random.Generator, tried: _Tried) -> np.ndarray:
    """Return what the complete search finds, shuffled as far as the stock allows, or the refusal."""
    n, q = task.graph.count, len(task.names)
    possible, work = None, WORK if n * q <= SEARCH_SIZE else 0.0
    if work:
        possible, colours = search(task, seed, work=work)
    if possible:
        return exchange(colours, task, target, rng)[0]
    refusal = why(task, proven=possible is False, apart=tried.start is not None)
    if refusal:
        raise refusal
    ended = (
        f"a complete search of {work:g} units" if work else f"{n} pieces in {q} colours are too many to try them all"
    )
    raise NotFound(
        f"No arrangement of {n} pieces was found in {tried.starts} starts and {tried.rounds} rounds of exchanging colours, "
        f"and {ended}. There may still be a way. Add a colour, or more tiles of the scarce colours.",
        n,
        starts=tried.starts,
        rounds=tried.rounds,
        work=work,
    )
