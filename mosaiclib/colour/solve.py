"""The exact solver: colours under a tight stock, the proof that there is no way, and which row stands in it."""

__all__ = [
    "POSSIBLE",
    "TWELFTHS",
    "Task",
    "alternate",
    "at_least_of_one",
    "complete_search",
    "decide",
    "greatest_apart",
    "modelled",
    "rows_in_the_way",
    "solver_for",
    "why",
]

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np
from ortools.sat.python import cp_model
from scipy.sparse import csr_array
from scipy.sparse.csgraph import maximum_bipartite_matching

from mosaiclib.colour.graph import CannotBe, NotFound, Touching

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


TWELFTHS = 12  # of a tile: halves, thirds and quarters are whole numbers of them


@dataclass(frozen=True, eq=False)
class Task:
    """What is to be coloured, and from which stock.

    Parameters
    ----------
    pairs : array of int, shape (m, 2)
        Pieces that touch.
    allowed : sequence of frozenset or None, length n
        Colours that each piece may have; None for any.
    rows : sequence of str, length n
        What the sentences call the row of each piece; empty where it is in none.
    names : list of str, length q
        Colours in stock.
    amounts : array of int, shape (q,)
        Tiles of each.
    parts : array of float, shape (n,)
        Share of a tile that each piece takes.
    """

    pairs: np.ndarray
    allowed: Sequence[frozenset[str] | None]
    rows: Sequence[str]
    names: list[str]
    amounts: np.ndarray
    parts: np.ndarray

    def usable(self, piece: int) -> list[str]:
        """Return the colours in stock that a piece may have."""
        only = self.allowed[piece]
        return [name for name in self.names if only is None or name in only]

    def part_of(self, keep: np.ndarray) -> "Task":
        """Return the task of some of the pieces alone, shape (n,) of bool."""
        number = np.cumsum(keep) - 1
        both = keep[self.pairs].all(axis=1)
        kept = np.flatnonzero(keep)
        allowed, rows = [self.allowed[i] for i in kept], [self.rows[i] for i in kept]
        return Task(number[self.pairs[both]], allowed, rows, self.names, self.amounts, np.asarray(self.parts)[kept])


def modelled(task: Task, *, stocked: bool = True) -> tuple[cp_model.CpModel, dict]:
    """Return the solver's model of a task and its choices, keyed by piece and colour.

    Parameters
    ----------
    task : Task
        The task.
    stocked : bool
        Whether the stock counts; otherwise there is enough of every colour.

    Returns
    -------
    model : CpModel
        The model, without an aim.
    chosen : dict
        A yes or no for each (piece, colour) that may be.
    """
    model, colours = cp_model.CpModel(), range(len(task.names))
    chosen = {
        (piece, colour): model.new_bool_var("")
        for piece, only in enumerate(task.allowed)
        for colour, name in enumerate(task.names)
        if only is None or name in only
    }
    for piece in range(len(task.allowed)):
        model.add_exactly_one(chosen[piece, colour] for colour in colours if (piece, colour) in chosen)
    for one, two in task.pairs.tolist():
        for colour in colours:
            if (one, colour) in chosen and (two, colour) in chosen:
                model.add_at_most_one(chosen[one, colour], chosen[two, colour])
    share = np.round(np.asarray(task.parts) * TWELFTHS).astype(int)
    for colour, amount in enumerate(task.amounts.tolist() if stocked else ()):
        used = [int(share[piece]) * x for (piece, c), x in chosen.items() if c == colour]
        model.add(sum(used) <= amount * TWELFTHS)
    return model, chosen


def decide(task: Task, *, stocked: bool, work: float) -> bool | None:
    """Return whether a task can be done at all; None where the search ended without an answer.

    Parameters
    ----------
    task : Task
        The task.
    stocked : bool
        Whether the stock counts.
    work : float
        Limit in the solver's own units.

    Returns
    -------
    bool or None
        The answer.

    Examples
    --------
    >>> blue = frozenset({"blue"})
    >>> two = Task(np.array([[0, 1]]), [blue, blue], ["", ""], ["blue", "red"], np.array([5, 5]), np.ones(2))
    >>> decide(two, stocked=False, work=1.0)
    False
    """
    return POSSIBLE.get(solver_for(0, work).solve(modelled(task, stocked=stocked)[0]))


WORK_EXPLAINING = 2.0  # the solver's own units for each question: a row or two are small


def why(task: Task) -> CannotBe:
    """Return the refusal of a task that is proven impossible, as plain as it can be said.

    One row alone is looked at first, then two side by side, all rows, all pieces, and last the stock.

    Parameters
    ----------
    task : Task
        The impossible task.

    Returns
    -------
    CannotBe
        To be raised.

    Examples
    --------
    >>> blue = frozenset({"blue"})
    >>> task = Task(np.array([[0, 1]]), [blue] * 2, ["row 1"] * 2, ["blue", "red"], np.array([5, 5]), np.ones(2))
    >>> print(why(task))
    Row 1 may only be blue, but its pieces touch, so they would be alike: give it a second colour.
    """
    found = rows_in_the_way(task)
    if found is not None and found.reason == "too few colours":
        return found
    if _impossible(task, np.ones(len(task.rows), bool), stocked=False):
        words = f"{len(task.names)} colours are too few to keep touching pieces apart here. Add a colour."
        return CannotBe(words, "too few colours")
    return found or CannotBe(_short(task), "counts")


def rows_in_the_way(task: Task) -> CannotBe | None:
    """Return the refusal of a task whose rows alone are proven impossible, whatever the other pieces do.

    Parameters
    ----------
    task : Task
        The task.

    Returns
    -------
    CannotBe or None
        To be raised; None where the rows are not proven to stand in the way.
    """
    rows = np.array(task.rows, dtype=object)
    each = [rows == name for name in dict.fromkeys(task.rows) if name]
    for keep in each:
        if _impossible(task, keep, stocked=False):
            return CannotBe(_alone(task.part_of(keep)), "too few colours")
    for one, two in _side_by_side(task, each):
        if _impossible(task, one | two, stocked=False):
            return CannotBe(_together(task, one, two), "too few colours")
    if _impossible(task, rows != "", stocked=False):
        words = "The colours chosen for the rows are too few to keep touching pieces apart: give some row another one."
        return CannotBe(words, "too few colours")
    short = next((keep for keep in each if _impossible(task, keep, stocked=True)), None)
    return None if short is None else CannotBe(_row_short(task, task.part_of(short)), "counts")


def _impossible(task: Task, keep: np.ndarray, *, stocked: bool) -> bool:
    """Tell whether some of the pieces are proven impossible on their own; of very many nothing is proven."""
    if keep.sum() * len(task.names) > SEARCH_SIZE:
        return False
    return decide(task.part_of(keep), stocked=stocked, work=WORK_EXPLAINING) is False


def _said(words: str) -> str:
    """Begin a sentence."""
    return words[:1].upper() + words[1:]


def _listed(names: list[str], last: str = "or") -> str:
    """Write names with commas and a last word between."""
    return f" {last} ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


def _alone(row: Task) -> str:
    """Say why one row cannot be."""
    only, left = row.allowed[0], row.usable(0)
    lost = sorted(set(only or ()) - set(left))
    gone = f" (there is no tile of {_listed(lost)})" if lost else ""
    begin = f"{_said(row.rows[0])} may only be {_listed(left)}{gone}, but "
    if len(left) == 1:
        return f"{begin}its pieces touch, so they would be alike: give it a second colour."
    if len(left) == 2:
        return (
            f"{begin}some of its pieces close a ring of odd number, so they cannot alternate: give it a third colour."
        )
    return f"{begin}these are too few for the way its pieces touch: give it one more colour."


def _side_by_side(task: Task, each: list[np.ndarray]) -> list[tuple[np.ndarray, np.ndarray]]:
    """Return the pairs of rows that touch."""
    first, second = task.pairs.T
    return [
        (one, two)
        for place, one in enumerate(each)
        for two in each[place + 1 :]
        if ((one[first] & two[second]) | (two[first] & one[second])).any()
    ]


def _together(task: Task, one: np.ndarray, two: np.ndarray) -> str:
    """Say why two rows side by side cannot be."""
    places = [int(np.flatnonzero(keep)[0]) for keep in (one, two)]
    first, second = (task.rows[place] for place in places)
    colours = [name for name in task.names if any(name in task.usable(place) for place in places)]
    return (
        f"{_said(first)} and {second} lie side by side, and {_listed(colours, 'and')} alone cannot keep their touching "
        f"pieces apart: give one of them another colour."
    )


def _row_short(task: Task, row: Task) -> str:
    """Say that a row takes more tiles than there are."""
    have = dict(zip(task.names, task.amounts.tolist(), strict=True))
    stock = _listed([f"{have[name]} {name}" for name in row.usable(0)], "and")
    return (
        f"{_said(row.rows[0])} takes {np.ceil(row.parts.sum()):.0f} tiles, and {stock} do not go round without "
        f"two alike touching: add tiles of these colours, or give the row another one."
    )


def _short(task: Task) -> str:
    """Say that all together take more tiles than there are."""
    have = dict(zip(task.names, task.amounts.tolist(), strict=True))
    stock = _listed([f"{count} {name}" for name, count in have.items()], "and")
    return (
        f"The colours could be arranged if there were enough of each; {stock} do not go round. Add tiles of the colours "
        f"that rows ask for, or give a row another colour."
    )
