"""Who touches whom: the pairs of neighbours with what a colouring asks of them.

An island is a set of pieces that hang together; its pieces fall into two sides that alternate like a
chessboard, unless the island holds a ring of an odd number of pieces.
"""

__all__ = ["Touching"]

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components


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
