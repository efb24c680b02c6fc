"""Deciding for certain: the most pieces of one colour, two alternating colours, and the complete search."""

__all__ = ["POSSIBLE", "alternate", "at_least_of_one", "complete_search", "greatest_apart", "solver_for"]

from itertools import groupby

import numpy as np
from ortools.sat.python import cp_model
from scipy.sparse import csr_array
from scipy.sparse.csgraph import maximum_bipartite_matching

from mosaiclib.colour.outcomes import NotFound
from mosaiclib.colour.touching import Touching

MOST_SIZE = 2_500  # pieces in odd rings, of which the most of one colour is worked out in passing
SEARCH_SIZE = 10_000  # pieces times colours; larger models cost more than a learner would wait for
WORK = 8.0  # the solver's own units, about a second each, so that every machine stops at the same place
POSSIBLE = {cp_model.OPTIMAL: True, cp_model.FEASIBLE: True, cp_model.INFEASIBLE: False}


def at_least_of_one(touching: Touching, rng: np.random.Generator) -> int:
    """Return quickly a number of pieces that surely can be of one colour.

    The larger side of every island that alternates; elsewhere pieces picked by lot, and the neighbours
    of each ruled out.

    Parameters
    ----------
    touching : Touching
        The pieces.
    rng : Generator
        Draws the lots.

    Returns
    -------
    int
        A lower bound of `greatest_apart`.

    Examples
    --------
    >>> at_least_of_one(Touching(3, np.array([[0, 1], [1, 2]])), np.random.default_rng(0))
    2
    """
    even = ~touching.odd
    halves = np.bincount(touching.island[even], touching.side[even]), np.bincount(touching.island[even])
    total = int(np.maximum(halves[0], halves[1] - halves[0]).sum())
    first, second = touching.ends
    undecided = touching.odd.copy()
    while undecided.any():
        lot, beaten = rng.permutation(touching.count), ~undecided
        open_pair = undecided[first] & undecided[second]
        a, b = first[open_pair], second[open_pair]
        beaten[np.where(lot[a] < lot[b], a, b)] = True
        total += int((~beaten).sum())
        undecided &= beaten
        undecided[b[~beaten[a]]] = False
        undecided[a[~beaten[b]]] = False
    return total


def greatest_apart(touching: Touching, work: float = 3 * WORK) -> int:
    """Return the greatest number of pieces of which no two touch.

    most = pieces - greatest matching   where every island alternates (Koenig)

    Parameters
    ----------
    touching : Touching
        The pieces.
    work : float
        Limit of the complete search on islands with odd rings, in the solver's own units.

    Returns
    -------
    int
        The number, exact.

    Raises
    ------
    NotFound
        If the complete search ended without proof.

    References
    ----------
    .. [1] D. Koenig, 1931: in a graph with two sides the greatest matching is as large as the least set
       of pieces that meets every pair (from memory).

    Examples
    --------
    >>> greatest_apart(Touching(5, np.array([[0, 1], [0, 4], [1, 2], [2, 3], [3, 4]])))
    2
    """
    total = 0
    if (~touching.odd).any():
        total += _by_matching(touching.without(touching.odd))
    if touching.odd.any():
        total += _by_search(touching.without(~touching.odd), work)
    return total


def _by_matching(touching: Touching) -> int:
    """Return the greatest number apart where all islands alternate."""
    first, second = touching.ends
    near = np.where(touching.side[first] == 0, first, second)
    far = np.where(touching.side[first] == 0, second, first)
    across = csr_array((np.ones(len(near)), (near, far)), shape=(touching.count,) * 2)
    return touching.count - int((maximum_bipartite_matching(across, perm_type="column") >= 0).sum())


def _by_search(touching: Touching, work: float) -> int:
    """Return the greatest number apart by the complete search."""
    model = cp_model.CpModel()
    taken = [model.new_bool_var("") for _ in range(touching.count)]
    for clique in touching.cliques():
        model.add_at_most_one(taken[v] for v in clique)
    model.maximize(sum(taken))
    solver = solver_for(0, work)
    if solver.solve(model) != cp_model.OPTIMAL:
        raise NotFound(
            f"The most pieces of one colour was not found for certain within {work:g} units of search on "
            f"{touching.count} pieces: it is from {round(solver.objective_value)} to "
            f"{int(solver.best_objective_bound + 1e-6)}.",
            touching.count,
            starts=0,
            rounds=0,
            work=work,
        )
    return round(solver.objective_value)


def solver_for(seed: int, work: float) -> cp_model.CpSolver:
    """Return a solver whose answer depends on nothing but its model and the seed.

    Parameters
    ----------
    seed : int
        The seed.
    work : float
        Limit in the solver's own units, about a second each.

    Returns
    -------
    CpSolver
        One worker.
    """
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = work
    # else it takes Ctrl-C for itself and never gives it back: the next one would end Python without a word
    solver.parameters.catch_sigint_signal = False
    return solver


def complete_search(
    touching: Touching, stock: np.ndarray, seed: int, work: float = WORK
) -> tuple[bool | None, np.ndarray | None]:
    """Search all arrangements within the stock, to the end or to a stated limit.

    Parameters
    ----------
    touching : Touching
        The pieces.
    stock : array of int, shape (q,)
        Greatest number of pieces of each colour.
    seed : int
        Of the solver.
    work : float
        Limit in the solver's own units.

    Returns
    -------
    possible : bool or None
        None where the limit came first.
    colours : array of int, shape (n,), or None
        An arrangement, if there is one.

    Examples
    --------
    >>> ring = Touching(5, np.array([[0, 1], [0, 4], [1, 2], [2, 3], [3, 4]]))
    >>> complete_search(ring, np.array([5, 5]), 0)
    (False, None)
    >>> possible, colours = complete_search(ring, np.array([2, 2, 1]), 0)
    >>> np.bincount(colours).tolist()
    [2, 2, 1]
    """
    n, q = touching.count, len(stock)
    model = cp_model.CpModel()
    is_of = [[model.new_bool_var("") for _ in range(q)] for _ in range(n)]
    for row in is_of:
        model.add_exactly_one(row)
    for clique in touching.cliques():
        for c in range(q):
            model.add_at_most_one(is_of[v][c] for v in clique)
    for c in range(q):
        if stock[c] < n:
            model.add(sum(row[c] for row in is_of) <= int(stock[c]))
    solver = solver_for(seed, work)
    possible = POSSIBLE.get(solver.solve(model))
    if not possible:
        return possible, None
    return True, np.array([next(c for c in range(q) if solver.boolean_value(row[c])) for row in is_of])


def alternate(
    touching: Touching, stock: np.ndarray, target: np.ndarray, rng: np.random.Generator
) -> tuple[np.ndarray | None, tuple[int, int]]:
    """Arrange two colours, which can only alternate on each island, as near to the target as the sides allow.

    Parameters
    ----------
    touching : Touching
        Pieces without odd rings.
    stock, target : array of int, shape (2,)
        Greatest and wanted number of pieces of each colour.
    rng : Generator
        Chooses among equals.

    Returns
    -------
    colours : array of int, shape (n,), or None
        None where no choice of the islands' sides keeps to the stock; that is a proof.
    counts : tuple of int
        The numbers of the two colours, the nearest possible ones where `colours` is None.

    Examples
    --------
    >>> row = Touching(3, np.array([[0, 1], [1, 2]]))
    >>> alternate(row, np.array([1, 2]), np.array([1, 2]), np.random.default_rng(0))[0].tolist()
    [1, 0, 1]
    >>> alternate(row, np.array([3, 0]), np.array([3, 0]), np.random.default_rng(0))
    (None, (2, 1))
    """
    island, side, n = touching.island, touching.side, touching.count
    total, upper = np.bincount(island), np.bincount(island, side).astype(int)
    lean, base = np.abs(total - 2 * upper), int(np.minimum(upper, total - upper).sum())
    items, reach = _reachable(lean)
    sums = base + np.flatnonzero(np.frombuffer(bin(reach[-1])[:1:-1].encode(), np.uint8) == ord("1"))
    excess = np.maximum(sums - stock[0], 0) + np.maximum(n - sums - stock[1], 0)
    first = int(sums[np.lexsort([np.abs(sums - target[0]), excess])[0]])
    if first > stock[0] or n - first > stock[1]:
        return None, (first, n - first)
    larger_first = _retrace(lean, items, reach, first - base, rng)
    # colour 0 on side 1 where side 1 is the larger and takes colour 0, or the smaller and does not
    on_upper = larger_first == (2 * upper > total)
    return np.where(on_upper[island], 1 - side, side), (first, n - first)


def _reachable(lean: np.ndarray) -> tuple[list[tuple[int, int]], list[int]]:
    """Return items (lean, islands at once) and, after each, the reachable sums as bits of a number."""
    items, reach = [], [1]
    for size, group in groupby(np.sort(lean[lean > 0]).tolist()):
        left, lot = len(list(group)), 1
        while left:
            lot = min(lot, left)
            items.append((size, lot))
            reach.append(reach[-1] | reach[-1] << size * lot)
            left, lot = left - lot, 2 * lot
    return items, reach


def _retrace(
    lean: np.ndarray, items: list[tuple[int, int]], reach: list[int], wanted: int, rng: np.random.Generator
) -> np.ndarray:
    """Choose islands whose leans add up to `wanted`, going back through the sums; shape (islands,)."""
    number: dict[int, int] = {}
    for (size, lot), before in zip(reversed(items), reversed(reach[:-1]), strict=True):
        rest = wanted - size * lot
        can_take, can_leave = rest >= 0 and before >> rest & 1, before >> wanted & 1
        if can_take and (not can_leave or rng.random() < 0.5):
            number[size], wanted = number.get(size, 0) + lot, rest
    chosen = (lean == 0) & (rng.random(len(lean)) < 0.5)
    for size, count in number.items():
        chosen[rng.choice(np.flatnonzero(lean == size), count, replace=False)] = True
    return chosen
