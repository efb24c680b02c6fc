"""The conflict graph of touching pieces, what is to be coloured from which stock, and the three refusals.

A piece is a vertex and a pair that touches an edge; colours are proper where no edge joins two alike.
"""

__all__ = ["TWELFTHS", "CannotBe", "ConflictGraph", "NotFound", "StockShort", "Task", "read_stock", "targets", "whole"]

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
import scipy

from mosaiclib.errors import MosaicError, whole_number


@dataclass(frozen=True, eq=False)
class ConflictGraph:
    """Pieces 0 to count - 1 and the pairs of them that touch, shape (m, 2), each i < j, sorted, once.

    Examples
    --------
    >>> row = ConflictGraph(3, np.array([[0, 1], [1, 2]]))
    >>> row.side.tolist(), row.odd.any().item()
    ([0, 1, 0], False)
    >>> ConflictGraph(3, np.array([[0, 1], [0, 2], [1, 2]])).odd.tolist()
    [True, True, True]
    """

    count: int
    pairs: np.ndarray

    @cached_property
    def ends(self) -> tuple[np.ndarray, np.ndarray]:
        """First and second piece of each pair, shape (m,) each, in the index type that scipy works in."""
        pairs = np.asarray(self.pairs, dtype=np.int32).reshape(-1, 2)
        return np.ascontiguousarray(pairs[:, 0]), np.ascontiguousarray(pairs[:, 1])

    @cached_property
    def _both_ways(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Every pair from either piece to the other, sorted: from, to and the number of the pair, shape (2m,) each."""
        first, second = self.ends
        begin, end = np.concatenate([first, second]), np.concatenate([second, first])
        order = np.lexsort((end, begin))
        return begin[order], end[order], np.tile(np.arange(len(first)), 2)[order]

    def components(self, keep: np.ndarray) -> tuple[int, np.ndarray]:
        """Return how many components the kept pairs make, and the component of each piece, shape (n,)."""
        begin, end, pair = self._both_ways
        kept = keep[pair]
        # the sparse rows stand ready without sorting again, and with both ways in them nothing has to be turned round
        rows = np.concatenate([[0], np.cumsum(np.bincount(begin[kept], minlength=self.count))]).astype(np.int32)
        found = end[kept]
        links = scipy.sparse.csr_array((np.ones(len(found)), found, rows), shape=(self.count,) * 2)
        return scipy.sparse.csgraph.connected_components(links, connection="strong")

    @cached_property
    def _sides(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Return (side, odd, component): pieces are doubled, each pair joins a piece to the other's double.

        An odd cycle is then just what connects a piece with its own double.
        """
        n = self.count
        _, label = scipy.sparse.csgraph.connected_components(self._doubled, directed=False)
        own, other = label[:n], label[n:]
        return (own > other).astype(int), own == other, np.minimum(own, other)

    @property
    def _doubled(self) -> "scipy.sparse.csr_array":
        """Every piece twice, n apart, each pair joining one to the other's double, shape (2n, 2n)."""
        (first, second), n = self.ends, self.count
        ends = np.concatenate([first, second]), np.concatenate([second, first]) + n
        return scipy.sparse.csr_array((np.ones(2 * len(first)), ends), shape=(2 * n, 2 * n))

    @property
    def side(self) -> np.ndarray:
        """Bipartite side of each piece in its component, 0 or 1, shape (n,); means nothing where `odd`."""
        return self._sides[0]

    @property
    def odd(self) -> np.ndarray:
        """Whether the component of each piece holds an odd cycle, shape (n,)."""
        return self._sides[1]

    @cached_property
    def component(self) -> np.ndarray:
        """Component of each piece, numbered 0 upwards without gaps, shape (n,)."""
        return np.unique(self._sides[2], return_inverse=True)[1]

    @cached_property
    def adjacent(self) -> list[list[int]]:
        """Neighbours of each piece as plain lists, for the searches that go piece by piece."""
        first, second = self.ends
        rows, columns = np.concatenate([first, second]), np.concatenate([second, first])
        links = scipy.sparse.csr_array((np.ones(len(rows), np.int32), (rows, columns)), shape=(self.count,) * 2)
        flat, begins = links.indices.tolist(), links.indptr.tolist()
        return [flat[begins[i] : begins[i + 1]] for i in range(self.count)]

    def odd_cycles(self) -> list[np.ndarray]:
        """Return odd cycles without a piece in common, short ones first; of k pieces at most (k - 1)/2 can be of one colour.

        The shortest odd closed walk through a piece is the shortest way to its double.

        >>> [len(cycle) for cycle in ConflictGraph(5, np.array([[0, 1], [0, 4], [1, 2], [2, 3], [3, 4]])).odd_cycles()]
        [5]
        """
        n, used, found = self.count, np.zeros(self.count, bool), []
        length, before = scipy.sparse.csgraph.shortest_path(
            self._doubled, directed=False, unweighted=True, indices=np.arange(n), return_predecessors=True
        )
        own = length[np.arange(n), n + np.arange(n)]
        for v in np.argsort(own, kind="stable")[: np.isfinite(own).sum()].tolist():
            walk, at = [], n + v
            while at != v:
                walk.append(at % n)
                at = before[v, at]
            cycle = np.array(walk)
            if not used[cycle].any() and len(np.unique(cycle)) == len(cycle):
                used[cycle] = True
                found.append(cycle)
        return found

    def part(self, keep: np.ndarray) -> "ConflictGraph":
        """Return the kept pieces, shape (n,) of bool, numbered anew, with the pairs among them."""
        number = np.cumsum(keep) - 1
        first, second = self.ends
        both = keep[first] & keep[second]
        return ConflictGraph(int(keep.sum()), number[np.stack([first[both], second[both]], axis=1)])

    def cliques(self) -> list[list[int]]:
        """Return sets of pieces that all touch each other, so that every pair lies in at least one.

        Three pieces at a staggered joint (or four at a crossing that counts) say more to a solver as
        one set than as three (or six) pairs.
        """
        near = [set(row) for row in self.adjacent]
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


TWELFTHS = 12  # of a tile: halves, thirds and quarters are whole numbers of them


@dataclass(frozen=True, eq=False)
class Task:
    """Pieces to be coloured from a stock; amounts count in units of a tile, or of its twelfth where pieces are cut.

    `allowed` holds the colours that each piece may have, None for any; `rows` what a sentence calls the row of each
    piece, empty where it is in none; `shares` the part of all pieces, 0 to 1, that must be of a colour, within one piece.
    """

    graph: ConflictGraph
    names: list[str]
    stock: np.ndarray
    weights: np.ndarray
    unit: int
    allowed: Sequence[frozenset[str] | None]
    rows: Sequence[str]
    shares: Mapping[str, float] = field(default_factory=dict)

    @classmethod
    def of(
        cls,
        graph: ConflictGraph,
        stock: Mapping[str, int],
        allowed: Sequence[frozenset[str] | None] | None = None,
        tiles: np.ndarray | None = None,
        rows: Sequence[str] | None = None,
        shares: Mapping[str, float] | None = None,
    ) -> "Task":
        """Return the task of a graph with its stock [tiles], allowed colours, and share of a tile that each piece takes."""
        names, amounts = read_stock(stock)
        only = [None] * graph.count if allowed is None else allowed
        share = np.ones(graph.count) if tiles is None else np.asarray(tiles)
        unit = 1 if (share == 1).all() else TWELFTHS
        called = [_unnamed(one) for one in only] if rows is None else rows
        weights = np.round(share * unit).astype(int)
        task = cls(graph, names, amounts * unit, weights, unit, only, called, shares or {})
        none = {called[piece]: only[piece] for piece in np.flatnonzero(~task.may.any(axis=1))}
        if none:
            each = "; for ".join(f"{name}: {', '.join(sorted(wanted))}" for name, wanted in none.items())
            raise CannotBe(f"There is no tile in any of the colours chosen for {each}.", "counts")
        if task.stock.sum() < task.weights.sum():
            need = math.ceil(task.weights.sum() / unit)
            raise StockShort(graph.count, int(amounts.sum()), need=None if unit == 1 else need)
        return task

    @cached_property
    def may(self) -> np.ndarray:
        """Whether each piece may have each colour, shape (n, q)."""
        rows = {one: [one is None or name in one for name in self.names] for one in set(self.allowed)}
        return np.array([rows[one] for one in self.allowed], bool).reshape(-1, len(self.names))

    @cached_property
    def free(self) -> bool:
        """Whether any piece may have any colour."""
        return bool(self.may.all())

    @cached_property
    def bounds(self) -> tuple[np.ndarray, np.ndarray]:
        """Least and most pieces of each colour by its share, within one piece, shape (q,) each; 0 and all without one."""
        n, shared = self.graph.count, np.array([self.shares.get(name, np.nan) for name in self.names])
        none = np.isnan(shared)
        least = np.where(none, 0, np.maximum(np.ceil(shared * n - 1 - 1e-9), 0))
        return least.astype(int), np.where(none, n, np.floor(shared * n + 1 + 1e-9)).astype(int)

    @property
    def led(self) -> np.ndarray:
        """What amounts are led by, for each piece, shape (n,): its part of a tile, or 1 where shares of pieces are asked."""
        return np.ones(self.graph.count, int) if self.shares else self.weights

    def over(self, colours: np.ndarray) -> int:
        """Return how much of an arrangement is beyond the stock, and beyond or short of the shares; 0 if it will do."""
        q, (least, most) = len(self.names), self.bounds
        used, count = np.bincount(colours, self.weights, q).astype(int), np.bincount(colours, minlength=q)
        beyond = np.maximum(count - most, 0) + np.maximum(least - count, 0) if self.shares else 0
        return int((np.maximum(used - self.stock, 0) + beyond).sum())

    def only(self, pieces: np.ndarray, colours: np.ndarray) -> "Task":
        """Return the task in which some pieces have the colours that they are given by number, whatever their rows say."""
        allowed = list(self.allowed)
        for piece, colour in zip(pieces.tolist(), colours.tolist(), strict=True):
            allowed[piece] = frozenset({self.names[colour]})
        return replace(self, allowed=allowed)

    @property
    def tiles(self) -> list[int]:
        """Whole tiles of each colour in stock."""
        return (self.stock // self.unit).tolist()

    def colours_of(self, pieces: np.ndarray) -> list[str]:
        """Return the colours in stock that some of these pieces may have."""
        return [name for name, may in zip(self.names, self.may[pieces].any(axis=0), strict=True) if may]

    def part(self, keep: np.ndarray) -> "Task":
        """Return the task of the kept pieces alone, shape (n,) of bool."""
        kept = np.flatnonzero(keep)
        allowed, rows = [self.allowed[i] for i in kept], [self.rows[i] for i in kept]
        return Task(self.graph.part(keep), self.names, self.stock, self.weights[keep], self.unit, allowed, rows)


def _unnamed(only: Iterable[str] | None) -> str:
    return "" if only is None else f"what may only be {' or '.join(sorted(only))}"


LIVELY = 0.8  # part of the most of one colour that is asked for while other colours are in stock


def read_stock(stock: object) -> tuple[list[str], np.ndarray]:
    """Return the colours of which there are any, in the order given, and the tiles of each, shape (q,).

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


def targets(pieces: int, stock: np.ndarray, most: int) -> np.ndarray:
    """Share the pieces among the colours in proportion to the stock, short of turning regular; shape (q,).

    share = left x stock / (stock of the colours below their cap), cap = 0.8 most while the others suffice

    The stock holds together at least as many as the pieces; `most` is a number that surely can be of one colour.

    Examples
    --------
    >>> targets(25, np.array([20, 20, 10]), 13).tolist()
    [10, 10, 5]
    >>> targets(25, np.array([900, 50, 50]), 13).tolist(), targets(25, np.array([900, 6, 6]), 13).tolist()
    ([10, 8, 7], [13, 6, 6])
    """
    hard = np.minimum(stock, most)
    soft = np.minimum(stock, max(int(LIVELY * most), 1))
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
            return whole(share, cap, pieces)
        share[over], open_colours = cap[over], open_colours & ~over


def whole(share: np.ndarray, cap: np.ndarray, pieces: int) -> np.ndarray:
    """Round shares to whole numbers that add up to `pieces`, largest remainders first, within caps."""
    whole = np.minimum(np.floor(share + 1e-9), cap).astype(np.int64)
    while (left := pieces - int(whole.sum())) > 0:
        order = np.argsort(-(share - whole), kind="stable")
        room = order[whole[order] < cap[order]][:left]
        whole[room] += 1
    return whole


class StockShort(MosaicError):
    """There are fewer tiles than the pieces take, whatever the arrangement; `short` is how many are missing.

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

    `reason` is "one colour" (of one there are more tiles than the layout can take: at most `most`, which leaves
    `missing` pieces without), "odd cycle" (two colours cannot alternate), "too few colours", "counts" (these numbers
    do not fit), "share" (no arrangement has these shares) or "pinned" (pieces chosen by hand touch and are alike).
    `nearest` are numbers that would do: of two alternating colours the nearest, in the order of the stock; of a
    forced pattern the only ones, the largest first.
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

    `starts` first arrangements were led through `rounds` rounds of exchanges; `work` limited the complete search in
    the solver's own deterministic units (about a second each), 0 where the layout was too large for it.
    """

    def __init__(self, message: str, pieces: int, *, starts: int = 0, rounds: int = 0, work: float = 0.0) -> None:
        super().__init__(message)
        self.pieces, self.starts, self.rounds, self.work = pieces, starts, rounds, work
