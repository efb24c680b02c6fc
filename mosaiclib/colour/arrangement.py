"""Colours for the pieces of a layout, no two alike touching: which way is tried when."""

__all__ = ["arrange", "arrange_allowed", "clashes", "find_colours", "most_of_one"]

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from ortools.sat.python import cp_model

from mosaiclib.colour.exchange import alternating, exchange, filled, most_hemmed_in_first
from mosaiclib.colour.graph import CannotBe, NotFound, StockShort, Touching, read_stock, targets
from mosaiclib.colour.solve import (
    MOST_SIZE,
    SEARCH_SIZE,
    TWELFTHS,
    WORK,
    Task,
    alternate,
    at_least_of_one,
    complete_search,
    greatest_apart,
    modelled,
    rows_in_the_way,
    solver_for,
    why,
)
from mosaiclib.errors import several, whole_number
from mosaiclib.layout.joints import neighbours
from mosaiclib.layout.layout import Layout


def arrange(layout: Layout, stock: Mapping[str, int], seed: int = 0, corners: bool = False) -> Layout:
    """Colour the pieces so that no two neighbours are alike and no colour is used beyond its stock.

    The shares of the colours follow the stock, except that one colour is kept below four fifths of the
    most that the layout can take while the others suffice; where they fall is left to the lot.

    Parameters
    ----------
    layout : Layout
        The pieces.
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
    MosaicError
        If the stock cannot be read.
    StockShort
        If there are fewer tiles than pieces.
    CannotBe
        If it is proven that no arrangement exists.
    NotFound
        If the search ended without an answer; that proves nothing.

    Notes
    -----
    Two colours are decided exactly on any layout. With three or more, a first arrangement is shuffled by
    exchanging two colours along chains; where that keeps to no stock, and pieces times colours are at
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
    >>> len(clashes(coloured))
    0
    >>> arrange(grid, {"white": 24, "blue": 1})
    Traceback (most recent call last):
    mosaiclib.colour.graph.CannotBe: At most 13 of the 25 pieces can be of one colour, so this stock \
leaves 11 without one. Add at least 11 tiles of the scarce colours, or of another colour.
    """
    names, amounts = read_stock(stock)
    seed = whole_number(seed, "seed", greatest=2**31 - 1)
    if len(layout) == 0:
        return layout
    if amounts.sum() < len(layout):
        raise StockShort(len(layout), int(amounts.sum()))
    touching = Touching(len(layout), neighbours(layout, corners))
    colours = find_colours(touching, names, amounts, seed)
    return layout.coloured(np.array(names, dtype=object)[colours])


def clashes(layout: Layout, corners: bool = False) -> np.ndarray:
    """Return the pairs of neighbours that are alike; pieces without a colour are like nothing.

    Parameters
    ----------
    layout : Layout
        A coloured layout.
    corners : bool
        Whether pairs that meet only at a crossing of joints count too.

    Returns
    -------
    array of int, shape (k, 2)
        Pairs i < j, sorted; empty where the colours are well arranged.

    Examples
    --------
    >>> import shapely
    >>> from mosaiclib.layout import lay_grid
    >>> four = lay_grid(shapely.box(0, 0, 42, 42), 20, 2)
    >>> clashes(four.coloured(["red", "red", "blue", "red"])).tolist()
    [[0, 1], [1, 3]]
    """
    if len(layout) == 0:
        return np.zeros((0, 2), int)
    pairs = neighbours(layout, corners)
    colour = layout.pieces["colour"].to_numpy(dtype=object)
    first = colour[pairs[:, 0]]
    return pairs[(first == colour[pairs[:, 1]]) & (first != "")]


def most_of_one(layout: Layout, corners: bool = False) -> int:
    """Return the most pieces of this layout that can be of one colour.

    Parameters
    ----------
    layout : Layout
        The pieces.
    corners : bool
        Whether pairs that meet only at a crossing of joints count too.

    Returns
    -------
    int
        The greatest number of pieces of which no two are neighbours, exact.

    Raises
    ------
    NotFound
        If the pieces close odd rings and the complete search ended without proof.

    Notes
    -----
    Exact and quick by matching where the pieces alternate like a chessboard; elsewhere by a complete
    search, which may need long on layouts of several thousand pieces.

    Examples
    --------
    >>> import shapely
    >>> from mosaiclib.layout import lay_grid
    >>> grid = lay_grid(shapely.box(0, 0, 108, 108), 20, 2)
    >>> most_of_one(grid), most_of_one(grid, corners=True)
    (13, 9)
    """
    if len(layout) == 0:
        return 0
    return greatest_apart(Touching(len(layout), neighbours(layout, corners)))


STARTS = 3  # first colourings that are led to the stock before the solver is asked
LIVELY = 1.0  # the solver's own units, about a second each, so that every machine stops at the same place
WORK_ALLOWING = 8.0  # where nothing was found with a random aim, the search for any arrangement at all


def arrange_allowed(
    pairs: np.ndarray,
    allowed: Sequence[frozenset[str] | None],
    stock: Mapping[str, int],
    parts: np.ndarray,
    seed: int = 0,
    *,
    rows: Sequence[str] | None = None,
) -> list[str]:
    """Arrange colours so that no pair is alike, each piece has a colour it may have, and the stock is enough.

    Parameters
    ----------
    pairs : array of int, shape (m, 2)
        Pieces that touch.
    allowed : sequence of frozenset or None, length n
        Colours that each piece may have; None for any.
    stock : mapping of str to int
        Tiles of each colour.
    parts : array of float, shape (n,)
        Share of a tile that each piece takes: 1, 1/2, 1/3 or 1/4.
    seed : int
        The same seed gives the same arrangement.
    rows : sequence of str, length n, optional
        What a refusal calls the row of each piece, such as "row 2"; empty where it is in none.

    Returns
    -------
    list of str
        A colour for each piece.

    Raises
    ------
    MosaicError
        If the stock cannot be read; `CannotBe` if it is proven that there is no way, `NotFound` if none was found
        within a stated search.

    Examples
    --------
    >>> row = np.array([[0, 1], [1, 2]])
    >>> only = frozenset({"blue", "sky blue"})
    >>> found = arrange_allowed(row, [only, only, None], {"blue": 1, "sky blue": 1, "green": 1}, np.full(3, 0.25))
    >>> found[0] != found[1] and found[1] != found[2] and set(found[:2]) == only
    True
    """
    names, amounts = read_stock(stock)
    called = several(rows, "names of the rows", len(allowed)) if rows is not None else _numbered(allowed)
    task = Task(np.asarray(pairs, dtype=int).reshape(-1, 2), allowed, called, names, amounts, np.asarray(parts))
    _refuse_what_is_not_there(task)
    rng = np.random.default_rng(seed)
    quick = _exchanged(task, rng)
    if quick is not None:
        return quick
    if len(allowed) * len(names) > SEARCH_SIZE:
        raise rows_in_the_way(task) or _not_found(len(allowed), 0.0)
    model, chosen = modelled(task)
    # a random aim keeps it lively; it need not be reached, so the search stops well before
    model.maximize(sum(int(w) * x for w, x in zip(rng.integers(0, 10, len(chosen)), chosen.values(), strict=True)))
    solver = solver_for(seed, LIVELY)
    solver.parameters.relative_gap_limit = 0.25
    status = solver.solve(model)
    if status == cp_model.UNKNOWN:
        model.clear_objective()
        solver = solver_for(seed, WORK_ALLOWING)
        status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        raise why(task)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        raise _not_found(len(allowed), WORK_ALLOWING)
    found = {piece: names[colour] for (piece, colour), x in chosen.items() if solver.value(x)}
    return [found[piece] for piece in range(len(allowed))]


def _exchanged(task: Task, rng: np.random.Generator) -> list[str] | None:
    """Return an arrangement that begins with the most hemmed in pieces and is led to the stock by exchanges, if one is."""
    may = np.array([[only is None or name in only for name in task.names] for only in task.allowed])
    touching = Touching(len(task.allowed), np.unique(np.sort(task.pairs, axis=1), axis=0))
    parts = np.round(np.asarray(task.parts) * TWELFTHS).astype(int)
    stock, whole = task.amounts * TWELFTHS, int(parts.sum())
    if stock.sum() < whole:
        return None
    target = targets(whole, stock, whole // 2)
    for _ in range(STARTS):
        start, _ = most_hemmed_in_first(touching, len(task.names), rng, may)
        if start is None:
            continue
        colours, over, _ = exchange(start, touching, target, stock, rng, may, parts)
        if not over:
            return [task.names[c] for c in colours]
    return None


def _not_found(count: int, work: float) -> NotFound:
    """Return what is told when the search ended without an answer; `work` is 0 where it was too large to begin."""
    searched = (
        f"within {work:g} units of search" if work else f"in {STARTS} starts, and it is too large to try them all"
    )
    return NotFound(
        f"No arrangement of {count} pieces was found {searched}; that proves nothing. Add a colour, or more tiles.",
        count,
        starts=STARTS,
        rounds=0,
        work=work,
    )


def _numbered(allowed: Sequence[frozenset[str] | None]) -> list[str]:
    """Return a name for what is in no named row but may only have some colours."""
    return ["" if only is None else f"what may only be {' or '.join(sorted(only))}" for only in allowed]


def _refuse_what_is_not_there(task: Task) -> None:
    """Refuse a row of whose colours there is no tile at all."""
    for only, row in zip(task.allowed, task.rows, strict=True):
        if only is not None and not only & set(task.names):
            raise CannotBe(
                f"There is no tile in any of the colours chosen for {row}: {', '.join(sorted(only))}.", "counts"
            )


STARTS_FINDING = 8  # first colourings tried where the pieces do not simply alternate


def find_colours(touching: Touching, names: list[str], stock: np.ndarray, seed: int) -> np.ndarray:
    """Return a colour for each piece by the quickest way that fits, or one of the honest refusals.

    Parameters
    ----------
    touching : Touching
        The pieces.
    names : list of str, length q
        Colours, for the sentences.
    stock : array of int, shape (q,)
        Tiles of each, all above 0, together at least as many as pieces.
    seed : int
        Same seed, same answer.

    Returns
    -------
    array of int, shape (n,)
        Colour of each piece.

    Raises
    ------
    CannotBe
        If it is proven that no arrangement exists.
    NotFound
        If the search ended without an answer.

    Examples
    --------
    >>> ring = Touching(5, np.array([[0, 1], [0, 4], [1, 2], [2, 3], [3, 4]]))
    >>> np.bincount(find_colours(ring, ["red", "blue", "green"], np.array([2, 2, 1]), 0)).tolist()
    [2, 2, 1]
    >>> find_colours(ring, ["red", "blue"], np.array([9, 9]), 0)
    Traceback (most recent call last):
    mosaiclib.colour.graph.CannotBe: Two colours cannot alternate here: some pieces close a ring of odd \
number. Add a third colour.
    """
    rng = np.random.default_rng(seed)
    if len(stock) == 2 and touching.odd.any():
        raise CannotBe(
            "Two colours cannot alternate here: some pieces close a ring of odd number. Add a third colour.",
            "odd ring",
        )
    room = at_least_of_one(touching, rng)
    if not touching.odd.any():
        _check_room(touching, stock, room)
    target = targets(touching.count, stock, room)
    if len(stock) == 2:
        return _alternated(touching, names, stock, target, rng)
    starts, rounds = 0, 0
    for start, forced in _starts(touching, target, rng):
        starts += 1
        if start is not None:
            colours, over, made = exchange(start, touching, target, stock, rng)
            rounds += made
            if not over:
                return colours
        if forced:
            return _renamed(start, stock, rng)
    _check_room(touching, stock, room)
    return _searched(touching, stock, target, seed, rng, (starts, rounds))


def _starts(
    touching: Touching, target: np.ndarray, rng: np.random.Generator
) -> Iterator[tuple[np.ndarray | None, bool]]:
    """Yield first colourings, and whether no other exists: two that alternate, or several grown."""
    if not touching.odd.any():
        yield alternating(touching, target), False
        yield filled(touching, target, rng), False
        return
    for _ in range(STARTS_FINDING):
        yield most_hemmed_in_first(touching, len(target), rng)


def _renamed(start: np.ndarray | None, stock: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """Return the one pattern there is, its largest part in the most plentiful colour, or refuse."""
    q = len(stock)
    if start is None:
        few = "One colour is" if q == 1 else f"{q} colours are"
        raise CannotBe(f"{few} too few to keep touching pieces apart here. Add a colour.", "too few colours")
    count = np.bincount(start, minlength=q)
    by_count, by_stock = np.lexsort([rng.random(q), -count]), np.argsort(-stock, kind="stable")
    if (count[by_count] > stock[by_stock]).any():
        needed = ", ".join(str(number) for number in count[by_count])
        raise CannotBe(
            f"With {q} colours the pattern of these pieces is forced, and it needs at least {needed} tiles. "
            "Change the numbers, or add a colour.",
            "counts",
            nearest=tuple(count[by_count].tolist()),
        )
    name = np.empty(q, int)
    name[by_count] = by_stock
    return name[start]


def _check_room(touching: Touching, stock: np.ndarray, room: int) -> None:
    """Refuse a stock whose colours, each cut to the most that the layout takes of one, cannot cover it."""
    n = touching.count
    if np.minimum(stock, room).sum() >= n or touching.odd.sum() > MOST_SIZE:
        return
    try:
        most = greatest_apart(touching, WORK)
    except NotFound:  # the later search has its own limit and its own sentence
        return
    missing = n - int(np.minimum(stock, most).sum())
    if missing > 0:
        tiles = "1 tile" if missing == 1 else f"{missing} tiles"
        raise CannotBe(
            f"At most {most} of the {n} pieces can be of one colour, so this stock leaves {missing} "
            f"without one. Add at least {tiles} of the scarce colours, or of another colour.",
            "one colour",
            most=most,
            missing=missing,
        )


def _alternated(
    touching: Touching, names: list[str], stock: np.ndarray, target: np.ndarray, rng: np.random.Generator
) -> np.ndarray:
    """Return the arrangement of two colours, or refuse with the nearest numbers that are possible."""
    colours, counts = alternate(touching, stock, target, rng)
    if colours is None:
        raise CannotBe(
            f"Two colours can only alternate here, and no choice of sides fits {stock[0]} {names[0]} and "
            f"{stock[1]} {names[1]}; the nearest is {counts[0]} {names[0]} and {counts[1]} {names[1]}. "
            "Change the numbers, or add a third colour.",
            "counts",
            nearest=counts,
        )
    return colours


def _searched(
    touching: Touching,
    stock: np.ndarray,
    target: np.ndarray,
    seed: int,
    rng: np.random.Generator,
    tried: tuple[int, int],
) -> np.ndarray:
    """Return what the complete search finds, shuffled as far as the stock allows, or its refusal."""
    possible, colours, work = None, None, 0.0
    if touching.count * len(stock) <= SEARCH_SIZE:
        possible, colours = complete_search(touching, stock, seed)
        work = WORK
    if possible:
        return exchange(colours, touching, target, stock, rng)[0]
    if possible is False:
        raise _proven(touching, stock, seed, tried)
    search = (
        f"and a complete search of {work:g} units"
        if work
        else f"and {touching.count} pieces in {len(stock)} colours are too many for a complete search"
    )
    raise NotFound(
        f"No arrangement was found in {tried[0]} starts and {tried[1]} rounds of exchanging colours, "
        f"{search}. That proves nothing; one more colour, or more tiles of the scarce colours, may help.",
        touching.count,
        starts=tried[0],
        rounds=tried[1],
        work=work,
    )


def _proven(touching: Touching, stock: np.ndarray, seed: int, tried: tuple[int, int]) -> CannotBe:
    """Return the refusal after a search to the end: the colours or their numbers are to blame."""
    q = len(stock)
    if tried[1] or complete_search(touching, np.full_like(stock, touching.count), seed)[0] is not False:
        return CannotBe(
            f"A complete search shows that {q} colours in these numbers cannot keep touching pieces apart. "
            "Try other numbers or one more colour.",
            "counts",
        )
    return CannotBe(
        f"A complete search shows that {q} colours are too few to keep touching pieces apart. Add a colour.",
        "too few colours",
    )
