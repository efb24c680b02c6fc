"""Finding a colour for each piece: which way is tried when, and what is said where none fits."""

__all__ = ["find_colours"]

from collections.abc import Iterator

import numpy as np

from mosaiclib.colour.deciding import (
    MOST_SIZE,
    SEARCH_SIZE,
    WORK,
    alternate,
    at_least_of_one,
    complete_search,
    greatest_apart,
)
from mosaiclib.colour.exchanging import exchange
from mosaiclib.colour.outcomes import CannotBe, NotFound
from mosaiclib.colour.sharing import targets
from mosaiclib.colour.starting import alternating, filled, most_hemmed_in_first
from mosaiclib.colour.touching import Touching

STARTS = 8  # first colourings tried where the pieces do not simply alternate


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
    mosaiclib.colour.outcomes.CannotBe: Two colours cannot alternate here: some pieces close a ring of odd \
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
    for _ in range(STARTS):
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
