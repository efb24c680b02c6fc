"""Arranging the colours of a layout so that no two touching pieces are alike."""

__all__ = ["arrange", "clashes", "most_of_one"]

from collections.abc import Mapping

import numpy as np

from mosaiclib.colour.deciding import (
    SEARCH_SIZE,
    WORK,
    alternate,
    at_least_of_one,
    complete_search,
    greatest_apart,
)
from mosaiclib.colour.exchanging import exchange
from mosaiclib.colour.outcomes import CannotBe, NotFound, StockShort
from mosaiclib.colour.starting import alternating, most_hemmed_in_first
from mosaiclib.colour.touching import Touching
from mosaiclib.errors import MosaicError, whole_number
from mosaiclib.layout.facing import neighbours
from mosaiclib.layout.tesserae import Layout

LIVELY = 0.8  # part of the most of one colour that is asked for while other colours are in stock
STARTS = 8  # first colourings tried where the pieces do not simply alternate


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
    most 30,000, a complete search of stated length decides. All arrangements are possible outcomes only
    as far as chains reach; they are not equally likely.

    With three colours on staggered rows the pattern is forced: only which colour is which is free.

    Examples
    --------
    >>> import shapely
    >>> from mosaiclib.layout import lay_grid
    >>> grid = lay_grid(shapely.box(0, 0, 108, 108), 20, 2)
    >>> coloured = arrange(grid, {"white": 10, "blue": 10, "green": 5})
    >>> coloured.pieces["colour"].value_counts().to_dict()
    {'white': 10, 'blue': 10, 'green': 5}
    >>> len(clashes(coloured))
    0
    >>> arrange(grid, {"white": 24, "blue": 1})
    Traceback (most recent call last):
    mosaiclib.colour.outcomes.CannotBe: At most 13 of the 25 pieces can be of one colour, ...
    """
    names, amounts = _read_stock(stock)
    seed = whole_number(seed, "seed", greatest=2**31 - 1)
    if len(layout) == 0:
        return layout
    if amounts.sum() < len(layout):
        raise StockShort(len(layout), int(amounts.sum()))
    touching = Touching(len(layout), neighbours(layout, corners))
    colours = _arranged(touching, names, amounts, seed)
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


def _read_stock(stock: object) -> tuple[list[str], np.ndarray]:
    """Return the colours in stock and how many of each, or say what is wrong with them."""
    if not isinstance(stock, Mapping):
        raise MosaicError("The stock must give a number for each colour's name, as in {'white': 60, 'blue': 40}.")
    if not stock:
        raise MosaicError("The stock is empty; it needs at least one colour.")
    for name in stock:
        if not isinstance(name, str) or not name.strip():
            raise MosaicError(f"A colour's name must be text and not empty; it is {name!r}.")
    amounts = {name: whole_number(count, f"number of {name} tiles") for name, count in stock.items()}
    kept = {name: count for name, count in amounts.items() if count}
    if not kept:
        raise MosaicError("The stock holds no tiles: every colour's number is 0.")
    return list(kept), np.array(list(kept.values()), dtype=np.int64)


def _arranged(touching: Touching, names: list[str], stock: np.ndarray, seed: int) -> np.ndarray:
    """Return a colour number for each piece by the quickest way that fits, or one of the honest refusals."""
    rng = np.random.default_rng(seed)
    if len(stock) == 2 and touching.odd.any():
        ring = int(touching.odd.sum())
        raise CannotBe(
            f"Two colours cannot alternate here: {ring} pieces hang together in rings of odd number. "
            "Add a third colour.",
            "odd ring",
        )
    room = at_least_of_one(touching, rng)
    _check_room(touching, stock, room)
    target = _targets(touching.count, stock, room)
    if len(stock) == 2:
        return _alternated(touching, names, stock, target, rng)
    starts, rounds = 0, 0
    for start in _starts(touching, target, rng):
        starts += 1
        if start is None:
            continue
        colours, over, made = exchange(start, touching, target, stock, rng)
        rounds += made
        if not over:
            return colours
    return _searched(touching, stock, target, seed, rng, (starts, rounds))


def _starts(touching: Touching, target: np.ndarray, rng: np.random.Generator):
    """Yield first colourings: the one that alternates, or several grown piece by piece."""
    if not touching.odd.any():
        yield alternating(touching, target)
        return
    for _ in range(STARTS):
        yield most_hemmed_in_first(touching, len(target), rng)


def _check_room(touching: Touching, stock: np.ndarray, room: int) -> None:
    """Refuse a stock whose colours, each cut to the most that the layout takes of one, cannot cover it."""
    n = touching.count
    if np.minimum(stock, room).sum() >= n or (touching.odd.any() and n > SEARCH_SIZE):
        return
    try:
        most = greatest_apart(touching, WORK)
    except NotFound:  # the later search has its own limit and its own sentence
        return
    missing = n - int(np.minimum(stock, most).sum())
    if missing > 0:
        raise CannotBe(
            f"At most {most} of the {n} pieces can be of one colour, so this stock leaves {missing} without one. "
            f"Add at least {missing} tiles of the scarce colours, or of another colour.",
            "one colour",
            most=most,
            missing=missing,
        )


def _targets(pieces: int, stock: np.ndarray, room: int) -> np.ndarray:
    """Share the pieces among the colours in proportion to the stock, below caps that keep it lively."""
    hard = np.minimum(stock, room)
    soft = np.minimum(stock, max(int(LIVELY * room), 1))
    steps = [soft, hard, stock]
    low, high = next((a, b) for a, b in zip([soft, *steps], steps, strict=False) if b.sum() >= pieces)
    missing = pieces - low.sum()
    part = missing / (high - low).sum() if missing > 0 else 0.0
    cap = np.minimum(low + np.ceil((high - low) * part).astype(np.int64), high)
    share, open_colours = np.zeros(len(stock)), np.ones(len(stock), bool)
    while True:
        left = pieces - share[~open_colours].sum()
        share[open_colours] = left * stock[open_colours] / max(stock[open_colours].sum(), 1)
        over = open_colours & (share > cap)
        if not over.any():
            return _whole(share, cap, pieces)
        share[over], open_colours = cap[over], open_colours & ~over


def _whole(share: np.ndarray, cap: np.ndarray, pieces: int) -> np.ndarray:
    """Round shares to whole numbers that add up to `pieces`, the largest remainders upwards, never over a cap."""
    whole = np.minimum(np.floor(share + 1e-9), cap).astype(np.int64)
    while (left := pieces - int(whole.sum())) > 0:
        order = np.argsort(-(share - whole), kind="stable")
        room = order[whole[order] < cap[order]][:left]
        whole[room] += 1
    return whole


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
        f"No arrangement was found in {tried[0]} starts and {tried[1]} rounds of exchanging colours, {search}. "
        "That proves nothing; one more colour, or more tiles of the scarce colours, will help.",
        touching.count,
        starts=tried[0],
        rounds=tried[1],
        work=work,
    )


def _proven(touching: Touching, stock: np.ndarray, seed: int, tried: tuple[int, int]) -> CannotBe:
    """Return the refusal after a search to the end, and say whether the colours or their numbers are to blame."""
    enough = tried[1] > 0 or complete_search(touching, np.full_like(stock, touching.count), seed)[0]
    q = len(stock)
    if enough:
        return CannotBe(
            f"A complete search shows that {q} colours in these numbers cannot keep touching pieces apart. "
            "Other numbers or one more colour will do.",
            "counts",
        )
    return CannotBe(
        f"A complete search shows that {q} colours are too few to keep touching pieces apart. Add a colour.",
        "too few colours",
    )
