"""The conflict graph of touching pieces: components, their bipartite sides, and the ways in which colours cannot be arranged."""

__all__ = ["CannotBe", "NotFound", "StockShort", "Touching", "read_stock", "targets"]

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components

from mosaiclib.errors import MosaicError, whole_number


@dataclass(frozen=True, eq=False)
class Touching:
    """Pieces 0 to count - 1 and the pairs of them that touch.

    Parameters
    ----------
    count : int
        Number of pieces.
    pairs : array of int, shape (m, 2)
        Pairs i < j, sorted, each once.

    Examples
    --------
    >>> row = Touching(3, np.array([[0, 1], [1, 2]]))
    >>> row.side.tolist(), row.odd.any().item()
    ([0, 1, 0], False)
    >>> Touching(3, np.array([[0, 1], [0, 2], [1, 2]])).odd.tolist()
    [True, True, True]
    """

    count: int
    pairs: np.ndarray

    @cached_property
    def ends(self) -> tuple[np.ndarray, np.ndarray]:
        """First and second piece of each pair, shape (m,) each, in the index type that scipy works in."""
        pairs = np.asarray(self.pairs, dtype=np.int32).reshape(-1, 2)
        return np.ascontiguousarray(pairs[:, 0]), np.ascontiguousarray(pairs[:, 1])

    def islands(self, keep: np.ndarray | None = None) -> tuple[int, np.ndarray]:
        """Return how many islands the kept pairs make, and the island of each piece, shape (n,)."""
        first, second = self.ends
        if keep is not None:
            first, second = first[keep], second[keep]
        # the pairs are sorted by their first piece, so the sparse rows stand ready without sorting again
        rows = np.concatenate([[0], np.cumsum(np.bincount(first, minlength=self.count))]).astype(np.int32)
        links = csr_array((np.ones(len(second), np.float64), second, rows), shape=(self.count,) * 2)
        return connected_components(links, directed=False)

    @cached_property
    def links(self) -> csr_array:
        """Both directions of every pair as a sparse matrix of ones, shape (n, n)."""
        first, second = self.ends
        rows, columns = np.concatenate([first, second]), np.concatenate([second, first])
        return csr_array((np.ones(len(rows), np.int32), (rows, columns)), shape=(self.count,) * 2)

    @cached_property
    def _sides(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Return (side, odd, island): pieces are doubled, each pair joins a piece to the other's double.

        An odd ring is then just what hangs a piece together with its own double.
        """
        first, second = self.ends
        n = self.count
        doubled = csr_array(
            (np.ones(2 * len(first)), (np.concatenate([first, second]), np.concatenate([second, first]) + n)),
            shape=(2 * n, 2 * n),
        )
        _, label = connected_components(doubled, directed=False)
        own, other = label[:n], label[n:]
        return (own > other).astype(int), own == other, np.minimum(own, other)

    @property
    def side(self) -> np.ndarray:
        """Side of each piece on its island, 0 or 1, shape (n,); means nothing where `odd`."""
        return self._sides[0]

    @property
    def odd(self) -> np.ndarray:
        """Whether the island of each piece holds an odd ring, shape (n,)."""
        return self._sides[1]

    @cached_property
    def island(self) -> np.ndarray:
        """Island of each piece, numbered 0 upwards without gaps, shape (n,)."""
        return np.unique(self._sides[2], return_inverse=True)[1]

    @cached_property
    def nearby(self) -> list[list[int]]:
        """Neighbours of each piece as plain lists, for the searches that go piece by piece."""
        flat, rows = self.links.indices.tolist(), self.links.indptr.tolist()
        return [flat[rows[i] : rows[i + 1]] for i in range(self.count)]

    def without(self, dropped: np.ndarray) -> "Touching":
        """Return the pieces that are not dropped, numbered anew, with the pairs among them."""
        number = np.cumsum(~dropped) - 1
        first, second = self.ends
        kept = ~(dropped[first] | dropped[second])
        return Touching(int((~dropped).sum()), number[np.stack([first[kept], second[kept]], axis=1)])

    def cliques(self) -> list[list[int]]:
        """Return sets of pieces that all touch each other, so that every pair lies in at least one.

        Three pieces at a staggered joint (or four at a crossing that counts) say more to a solver as
        one set than as three (or six) pairs.
        """
        near = [set(row) for row in self.nearby]
        done: set[tuple[int, int]] = set()
        found = []
        for a, b in zip(*(end.tolist() for end in self.ends), strict=True):
            if (a, b) in done:
                continue
            clique = [a, b]
            for c in sorted(near[a] & near[b]):
                if all(c in near[d] for d in clique):
                    clique.append(c)
            done.update((min(c, d), max(c, d)) for c in clique for d in clique if c != d)
            found.append(clique)
        return found


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


class StockShort(MosaicError):
    """There are fewer tiles than pieces, whatever the arrangement.

    Parameters
    ----------
    pieces : int
        Pieces in the layout.
    stock : int
        Tiles in hand, all colours together.
    need : int, optional
        Tiles that the pieces take, where some are parts of a tile; as many as pieces if left out.

    Attributes
    ----------
    short : int
        How many tiles are missing.

    Examples
    --------
    >>> str(StockShort(25, 20))
    'The layout has 25 pieces and the stock 20 tiles: 5 short.'
    >>> str(StockShort(25, 20, need=22))
    'The layout has 25 pieces, which take 22 tiles, and the stock 20 tiles: 2 short.'
    """

    def __init__(self, pieces: int, stock: int, *, need: int | None = None) -> None:
        wanted = pieces if need is None else need
        taken = "" if need is None else f", which take {need} tiles,"
        super().__init__(f"The layout has {pieces} pieces{taken} and the stock {stock} tiles: {wanted - stock} short.")
        self.pieces, self.stock, self.short = pieces, stock, wanted - stock


class CannotBe(MosaicError):
    """No arrangement exists, and that is proven.

    Parameters
    ----------
    message : str
        The sentence for the learner.
    reason : str
        "one colour" (one colour has more tiles than the layout can take), "odd ring" (two colours on
        pieces that close an odd ring), "too few colours" or "counts" (these numbers do not fit).
    most : int, optional
        The most pieces of one colour that the layout can take, where that is the reason.
    missing : int, optional
        How many pieces that leaves without a colour, where that is the reason.
    nearest : tuple of int, optional
        Numbers of tiles that would do: of two alternating colours the nearest, in the order of the
        stock; of a forced pattern the only ones, the largest first.

    Examples
    --------
    >>> CannotBe("Two colours cannot alternate round an odd ring.", "odd ring").reason
    'odd ring'
    """

    def __init__(
        self,
        message: str,
        reason: str,
        *,
        most: int | None = None,
        missing: int | None = None,
        nearest: tuple[int, ...] | None = None,
    ) -> None:
        super().__init__(message)
        self.reason, self.most, self.missing, self.nearest = reason, most, missing, nearest


class NotFound(MosaicError):
    """A stated search ended without an answer; that proves nothing.

    Parameters
    ----------
    message : str
        The sentence for the learner.
    pieces : int
        Pieces in the layout.
    starts, rounds : int
        First colourings tried, and rounds of exchanging colours made on them.
    work : float
        Limit of the complete search in the solver's own deterministic units (about a second each);
        0 where the layout was too large for it.

    Examples
    --------
    >>> NotFound("Nothing found.", 25, starts=3, rounds=150, work=0.0).starts
    3
    """

    def __init__(self, message: str, pieces: int, *, starts: int, rounds: int, work: float) -> None:
        super().__init__(message)
        self.pieces, self.starts, self.rounds, self.work = pieces, starts, rounds, work
