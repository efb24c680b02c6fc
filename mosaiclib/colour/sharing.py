"""Reading the stock, and sharing the pieces of a layout among its colours."""

__all__ = ["read_stock", "targets"]

from collections.abc import Mapping

import numpy as np

from mosaiclib.errors import MosaicError, whole_number

LIVELY = 0.8  # part of the most of one colour that is asked for while other colours are in stock


def read_stock(stock: object) -> tuple[list[str], np.ndarray]:
    """Return the colours in stock and how many of each, or say what is wrong with them.

    Parameters
    ----------
    stock : mapping of str to int
        Tiles of each colour; colours with 0 are left out.

    Returns
    -------
    names : list of str
        Colours of which there are any, in the order given.
    amounts : array of int, shape (q,)
        Tiles of each.

    Raises
    ------
    MosaicError
        If it is no mapping, holds nothing, or a name or number cannot be used.

    Examples
    --------
    >>> read_stock({"white": 60, "red": 0, "blue": 40.0})[0]
    ['white', 'blue']
    >>> read_stock({"white": 2.5})
    Traceback (most recent call last):
    mosaiclib.errors.MosaicError: The number of white tiles must be a whole number; it is 2.5.
    """
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


def targets(pieces: int, stock: np.ndarray, room: int) -> np.ndarray:
    """Share the pieces among the colours in proportion to the stock, short of turning regular.

    share = left x stock / (stock of the colours below their cap), cap = 0.8 room while the others suffice

    Parameters
    ----------
    pieces : int
        Number of pieces.
    stock : array of int, shape (q,)
        Tiles of each colour, together at least as many.
    room : int
        A number of pieces that surely can be of one colour.

    Returns
    -------
    array of int, shape (q,)
        Pieces of each colour, none over its stock, together all pieces.

    Examples
    --------
    >>> targets(25, np.array([20, 20, 10]), 13).tolist()
    [10, 10, 5]
    >>> targets(25, np.array([900, 50, 50]), 13).tolist(), targets(25, np.array([900, 6, 6]), 13).tolist()
    ([10, 8, 7], [13, 6, 6])
    """
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
    """Round shares to whole numbers that add up to `pieces`, largest remainders first, within caps."""
    whole = np.minimum(np.floor(share + 1e-9), cap).astype(np.int64)
    while (left := pieces - int(whole.sum())) > 0:
        order = np.argsort(-(share - whole), kind="stable")
        room = order[whole[order] < cap[order]][:left]
        whole[room] += 1
    return whole
