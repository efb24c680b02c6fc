"""The fewest colours that keep touching pieces apart, and the pieces that make it so many."""

__all__ = ["Fewest", "Reason", "fewest", "forced", "with_few"]

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from mosaiclib.colour.exchange import dsatur
from mosaiclib.colour.graph import ConflictGraph, NotFound, Task
from mosaiclib.colour.solve import WORK, search


class Reason(StrEnum):
    """What makes it so many colours."""

    ALONE = "no two pieces touch"
    PAIR = "two pieces touch"
    ODD = "odd cycle"
    CLIQUE = "clique"
    TRIED = "all ways tried"


@dataclass(frozen=True, eq=False)
class Fewest:
    """The chromatic number of a graph, the reason, and the pieces that make it so many: in the order of a cycle."""

    number: int
    reason: Reason
    pieces: np.ndarray


def fewest(graph: ConflictGraph) -> Fewest:
    """Return with how few colours a graph can be coloured, and why not with fewer; `NotFound` where the search ends first.

    2 where every cycle is even; 3 at least where one is odd; as many at least as pieces that all touch each other.

    References
    ----------
    .. [1] D. Koenig, Theorie der endlichen und unendlichen Graphen (1936): two colours do where no cycle is odd, and
       only there (from memory).

    Examples
    --------
    >>> ring = ConflictGraph(5, np.array([[0, 1], [0, 4], [1, 2], [2, 3], [3, 4]]))
    >>> found = fewest(ring)
    >>> found.number, str(found.reason), len(found.pieces)
    (3, 'odd cycle', 5)
    """
    if not len(graph.pairs):
        return Fewest(1, Reason.ALONE, np.arange(min(graph.count, 1)))
    if not graph.odd.any():
        return Fewest(2, Reason.PAIR, np.asarray(graph.pairs[0]))
    clique = max(graph.cliques(), key=len)
    number = max(3, len(clique))
    while not _enough(graph, number):
        number += 1
    if number == len(clique):
        return Fewest(number, Reason.CLIQUE, np.sort(clique))
    if number == 3:
        return Fewest(3, Reason.ODD, graph.odd_cycles()[0])
    return Fewest(number, Reason.TRIED, np.arange(graph.count))


def _enough(graph: ConflictGraph, number: int) -> bool:
    """Tell whether so many colours, with tiles enough of each, keep touching pieces apart."""
    task = _plenty(graph, number)
    found, no_choice = dsatur(task, np.random.default_rng(0))
    if found is not None or no_choice:
        return found is not None
    possible, _ = search(task, stocked=False)
    if possible is None:
        words = f"Whether {number} colours do for {graph.count} pieces was not found in the time allowed."
        raise NotFound(words, graph.count, work=WORK)
    return possible


def _plenty(graph: ConflictGraph, number: int) -> Task:
    """Return the task of arranging from tiles enough of so many colours."""
    return Task.of(graph, {f"colour {k}": graph.count for k in range(number)})


def forced(graph: ConflictGraph, number: int) -> bool:
    """Tell whether every arrangement in so many colours is the same one with its colours exchanged; False proves nothing.

    >>> forced(ConflictGraph(3, np.array([[0, 1], [0, 2], [1, 2]])), 3)
    True
    """
    found, no_choice = dsatur(_plenty(graph, number), np.random.default_rng(0))
    return found is not None and no_choice


def with_few(graph: ConflictGraph, number: int) -> np.ndarray:
    """Return numbers of colours, shape (n,), that are too few perhaps: piece by piece the one that fewest neighbours have.

    >>> with_few(ConflictGraph(3, np.array([[0, 1], [0, 2], [1, 2]])), 2).tolist()
    [0, 1, 0]
    """
    colours = np.full(graph.count, -1)
    for piece, near in enumerate(graph.adjacent):
        beside = colours[near]
        colours[piece] = np.argmin(np.bincount(beside[beside >= 0], minlength=number))
    return colours
