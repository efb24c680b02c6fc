"""Arranging the colours of a layout so that no two touching pieces are alike."""

__all__ = ["arrange", "clashes", "most_of_one"]

from collections.abc import Mapping

import numpy as np

from mosaiclib.colour.deciding import greatest_apart
from mosaiclib.colour.finding import find_colours
from mosaiclib.colour.outcomes import StockShort
from mosaiclib.colour.sharing import read_stock
from mosaiclib.colour.touching import Touching
from mosaiclib.errors import whole_number
from mosaiclib.layout.facing import neighbours
from mosaiclib.layout.tesserae import Layout


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
    mosaiclib.colour.outcomes.CannotBe: At most 13 of the 25 pieces can be of one colour, so this stock \
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
