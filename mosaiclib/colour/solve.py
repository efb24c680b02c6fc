"""The exact solver: colours under a tight stock, the proof that there is no way, and which row stands in it."""

__all__ = [
    "alternate",
    "independence_number",
    "independent_at_least",
    "independent_at_most",
    "listed",
    "search",
    "solver_for",
    "why",
]

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import scipy

from mosaiclib.colour.graph import CannotBe, ConflictGraph, NotFound, Task

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

SEARCH_SIZE = 10_000  # pieces times colours; larger models cost more than a learner would wait for
WORK = 4.0  # the solver's own units, about a second each, so that every machine stops at the same place
CYCLES_WITHIN = 2_000  # pieces in which odd cycles are looked for: the work grows with their square
WORK_EXPLAINING = 2.0  # for each question about a row or two, which are small


def independent_at_least(graph: ConflictGraph, rng: np.random.Generator) -> int:
    """Return quickly a lower bound of `independence_number`.

    The larger side of every bipartite component; elsewhere pieces picked at random, and the neighbours of each ruled out.

    Examples
    --------
    >>> independent_at_least(ConflictGraph(3, np.array([[0, 1], [1, 2]])), np.random.default_rng(0))
    2
    """
    even = ~graph.odd
    halves = np.bincount(graph.component[even], graph.side[even]), np.bincount(graph.component[even])
    total = int(np.maximum(halves[0], halves[1] - halves[0]).sum())
    first, second = graph.ends
    undecided = graph.odd.copy()
    while undecided.any():
        order, beaten = rng.permutation(graph.count), ~undecided
        open_pair = undecided[first] & undecided[second]
        a, b = first[open_pair], second[open_pair]
        beaten[np.where(order[a] < order[b], a, b)] = True
        total += int((~beaten).sum())
        undecided &= beaten
        undecided[b[~beaten[a]]] = False
        undecided[a[~beaten[b]]] = False
    return total


def independence_number(graph: ConflictGraph, work: float = 6 * WORK) -> int:
    """Return the greatest number of pieces of which no two touch, exact, or `NotFound` if the search ends without proof.

    number = pieces - maximum matching   where every component is bipartite (Koenig)

    `work` limits the complete search on components with odd cycles, in the solver's own units.

    References
    ----------
    .. [1] D. Koenig, 1931: in a bipartite graph a maximum matching is as large as the least set of vertices
       that meets every edge (from memory).

    Examples
    --------
    >>> independence_number(ConflictGraph(5, np.array([[0, 1], [0, 4], [1, 2], [2, 3], [3, 4]])))
    2
    """
    total = 0
    if (~graph.odd).any():
        total += _by_matching(graph.part(~graph.odd))
    if graph.odd.any():
        total += _by_search(graph.part(graph.odd), work)
    return total


def _by_matching(graph: ConflictGraph) -> int:
    first, second = graph.ends
    near = np.where(graph.side[first] == 0, first, second)
    far = np.where(graph.side[first] == 0, second, first)
    across = scipy.sparse.csr_array((np.ones(len(near)), (near, far)), shape=(graph.count,) * 2)
    return graph.count - int((scipy.sparse.csgraph.maximum_bipartite_matching(across, perm_type="column") >= 0).sum())


def _by_search(graph: ConflictGraph, work: float) -> int:
    from ortools.sat.python import cp_model  # heavy, and seldom wanted

    model = cp_model.CpModel()
    taken = [model.new_bool_var("") for _ in range(graph.count)]
    for clique in graph.cliques():
        model.add_at_most_one(taken[v] for v in clique)
    model.add(sum(taken) <= independent_at_most(graph))
    model.maximize(sum(taken))
    solver = solver_for(0, work)
    if solver.solve(model) != cp_model.OPTIMAL:
        raise NotFound(
            f"The most pieces of one colour was not found for certain in the time allowed on "
            f"{graph.count} pieces: it is from {round(solver.objective_value)} to "
            f"{int(solver.best_objective_bound + 1e-6)}.",
            graph.count,
            work=work,
        )
    return round(solver.objective_value)


def independent_at_most(graph: ConflictGraph) -> int:
    """Return an upper bound of `independence_number` by linear programming, which is proof enough.

    greatest sum of x_v, 0 <= x_v <= 1, with the sum at most 1 over a clique and (k - 1)/2 over an odd cycle of k pieces

    References
    ----------
    .. [1] M. Groetschel, L. Lovasz and A. Schrijver, Geometric Algorithms and Combinatorial Optimization (1988),
       chapter 9: clique and odd cycle inequalities of stable sets (from memory).

    Examples
    --------
    >>> independent_at_most(ConflictGraph(5, np.array([[0, 1], [0, 4], [1, 2], [2, 3], [3, 4]])))
    2
    """
    sets = graph.cliques()
    most = [1] * len(sets)
    if graph.odd.any() and graph.count <= CYCLES_WITHIN:
        cycles = [cycle.tolist() for cycle in graph.odd_cycles() if len(cycle) > 3]
        sets, most = [*sets, *cycles], [*most, *(len(cycle) // 2 for cycle in cycles)]
    if not sets:
        return graph.count
    columns, begins = np.concatenate(sets), np.cumsum([0, *map(len, sets)])
    rows = scipy.sparse.csr_array((np.ones(len(columns)), columns, begins), shape=(len(sets), graph.count))
    found = scipy.optimize.linprog(-np.ones(graph.count), rows, most, bounds=(0, 1), method="highs")
    return int(-found.fun + 1e-6) if found.status == 0 else graph.count


def solver_for(seed: int, work: float) -> "cp_model.CpSolver":
    """Return a solver whose answer depends on nothing but its model and the seed."""
    from ortools.sat.python import cp_model  # heavy, and seldom wanted

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = work
    # else it takes Ctrl-C for itself and never gives it back: the next one would end Python without a word
    solver.parameters.catch_sigint_signal = False
    return solver


def search(
    task: Task, seed: int = 0, *, stocked: bool = True, work: float = WORK
) -> tuple[bool | None, np.ndarray | None]:
    """Search all arrangements: whether there is one, None where the limit came first, and its colours, shape (n,).

    `stocked` says whether stock and shares count; otherwise there is enough of every colour.

    Examples
    --------
    >>> ring = ConflictGraph(5, np.array([[0, 1], [0, 4], [1, 2], [2, 3], [3, 4]]))
    >>> search(Task.of(ring, {"red": 5, "blue": 5}))
    (False, None)
    >>> possible, colours = search(Task.of(ring, {"red": 2, "blue": 2, "green": 1}))
    >>> np.bincount(colours).tolist()
    [2, 2, 1]
    """
    from ortools.sat.python import cp_model  # heavy, and seldom wanted

    model, q = cp_model.CpModel(), range(len(task.names))
    x = [{c: model.new_bool_var("") for c in q if may[c]} for may in task.may]
    for choices in x:
        model.add_exactly_one(choices.values())
    for clique in task.graph.cliques():
        for c in q:
            model.add_at_most_one(x[v][c] for v in clique if c in x[v])
    weights = task.weights.tolist()
    for c in q if stocked else ():
        if task.stock[c] < sum(weights):
            used = sum(weight * choices[c] for weight, choices in zip(weights, x, strict=True) if c in choices)
            model.add(used <= int(task.stock[c]))
    for c, (least, most) in enumerate(zip(*task.bounds, strict=True)) if stocked and task.shares else ():
        model.add_linear_constraint(sum(choices[c] for choices in x if c in choices), int(least), int(most))
    solver = solver_for(seed, work)
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return (False if status == cp_model.INFEASIBLE else None), None
    return True, np.array([next(c for c, var in choices.items() if solver.boolean_value(var)) for choices in x])


def alternate(task: Task, target: np.ndarray, rng: np.random.Generator) -> tuple[np.ndarray | None, tuple[int, int]]:
    """Arrange two colours, which can only alternate in each bipartite component, as near to the target as sides allow.

    The colours, shape (n,), are None where no choice of the components' sides keeps to the stock, which is a proof;
    then the two amounts are the nearest possible ones.

    Examples
    --------
    >>> row = ConflictGraph(3, np.array([[0, 1], [1, 2]]))
    >>> task = Task.of(row, {"red": 1, "blue": 2})
    >>> alternate(task, task.stock, np.random.default_rng(0))[0].tolist()
    [1, 0, 1]
    >>> task = Task.of(row, {"red": 1, "blue": 5})
    >>> alternate(task, np.array([0, 3]), np.random.default_rng(0))[1]
    (1, 2)
    """
    from ortools.sat.python import cp_model  # heavy, and seldom wanted

    component, side, total = task.graph.component, task.graph.side, int(task.weights.sum())
    whole = np.bincount(component, task.weights).astype(int)
    upper = np.bincount(component, side * task.weights).astype(int)
    lean, least = np.abs(whole - 2 * upper), int(np.minimum(upper, whole - upper).sum())
    sizes, counts = np.unique(lean[lean > 0], return_counts=True)
    model = cp_model.CpModel()
    # components that lean alike are alike: how many of them give colour 0 their larger side
    larger = [model.new_int_var(0, count, "") for count in counts.tolist()]
    first = least + sum(size * number for size, number in zip(sizes.tolist(), larger, strict=True))
    over, off = (model.new_int_var(0, total, "") for _ in range(2))
    model.add(over >= first - int(task.stock[0]))
    model.add(over >= total - first - int(task.stock[1]))
    model.add(off >= first - int(target[0]))
    model.add(off >= int(target[0]) - first)
    model.minimize((total + 1) * over + off)
    solver = solver_for(0, WORK)
    solver.solve(model)
    amount = least + sum(size * solver.value(number) for size, number in zip(sizes.tolist(), larger, strict=True))
    if amount > task.stock[0] or total - amount > task.stock[1]:
        return None, (amount, total - amount)
    larger_first = (lean == 0) & (rng.random(len(lean)) < 0.5)
    for size, number in zip(sizes, larger, strict=True):
        larger_first[rng.choice(np.flatnonzero(lean == size), solver.value(number), replace=False)] = True
    # colour 0 on side 1 where side 1 is the larger and takes colour 0, or the smaller and does not
    on_upper = larger_first == (2 * upper > whole)
    return np.where(on_upper[component], 1 - side, side), (amount, total - amount)


def why(task: Task, *, proven: bool = True, apart: bool = False) -> CannotBe | None:
    """Return the refusal of an impossible task, as plain as it can be said, with all rows that stand in the way.

    Each row alone is looked at first, then two side by side, all rows, all pieces, and last stock and shares. Where the
    task is not `proven` impossible, only rows that are on their own are told; None if they are not. `apart` tells that
    the colours would do if there were enough of each.

    Examples
    --------
    >>> blue = frozenset({"blue"})
    >>> task = Task.of(ConflictGraph(2, np.array([[0, 1]])), {"blue": 5, "red": 5}, [blue] * 2, None, ["row 1"] * 2)
    >>> print(why(task))
    Row 1 may only be blue, but its pieces touch, so they would be alike: give it a second colour.
    """
    rows = np.array([] if task.free else task.rows, dtype=object)
    each = [rows == name for name in dict.fromkeys(rows) if name]
    words = [] if apart else list(_too_few(task, each))
    if words:
        return CannotBe(" ".join(words), "too few colours")
    if proven and not apart and _impossible(task, np.ones(task.graph.count, bool), stocked=False):
        words = f"{len(task.names)} colours are too few to keep touching pieces apart here. Add a colour."
        return CannotBe(words, "too few colours")
    short = [_row_short(task, keep) for keep in each if _impossible(task, keep, stocked=True)]
    if short:
        return CannotBe(" ".join(short), "counts")
    if not proven:
        return None
    if task.shares and search(replace(task, shares={}), work=WORK_EXPLAINING)[0]:
        asked = listed([f"{share:.0%} {name}" for name, share in task.shares.items()], "and")
        words = f"No arrangement has {asked} within one piece; without these shares there is one. Change a share."
        return CannotBe(words, "share")
    return CannotBe(_stock_short(task), "counts")


def _impossible(task: Task, keep: np.ndarray, *, stocked: bool) -> bool:
    """Tell whether some of the pieces are proven impossible on their own; of very many nothing is proven."""
    if not stocked and len(task.colours_of(keep)) == 2 and task.may[keep].sum() == 2 * keep.sum():
        return bool(task.graph.part(keep).odd.any())  # two colours can only alternate
    if keep.sum() * len(task.names) > SEARCH_SIZE:
        return False
    return search(task.part(keep), stocked=stocked, work=WORK_EXPLAINING)[0] is False


def _too_few(task: Task, each: list[np.ndarray]) -> Iterator[str]:
    """Say of rows that stand in the way, whatever the stock: one alone, two side by side, all together."""
    wrong = [_impossible(task, keep, stocked=False) for keep in each]
    yield from _each_alone(task, [keep for keep, bad in zip(each, wrong, strict=True) if bad])
    each, told = [keep for keep, bad in zip(each, wrong, strict=True) if not bad], any(wrong)
    first, second = task.graph.ends
    for place, one in enumerate(each):
        for two in each[place + 1 :]:
            touch = ((one[first] & two[second]) | (two[first] & one[second])).any()
            if touch and _impossible(task, one | two, stocked=False):
                told = True
                yield _together(task, one, two)
    if each and not told and _impossible(task, np.any(each, axis=0), stocked=False):
        yield "The colours chosen for the rows are too few to keep touching pieces apart: give some row another one."


def _name(task: Task, row: np.ndarray) -> str:
    return task.rows[int(np.argmax(row))]


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]


def listed(names: list[str], last: str = "or") -> str:
    """Write names with commas and a last word between."""
    return f" {last} ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


def _in_stock(task: Task, names: list[str]) -> str:
    amounts = dict(zip(task.names, task.tiles, strict=True))
    return listed([f"{amounts[name]} {name}" for name in names], "and")


def _each_alone(task: Task, rows: list[np.ndarray]) -> Iterator[str]:
    """Say why rows cannot be, those that close odd rings in two colours in one sentence."""
    rings = [row for row in rows if len(task.colours_of(row)) == 2]
    yield from (_alone(task, row) for row in rows if len(task.colours_of(row)) != 2 or len(rings) == 1)
    if len(rings) > 1:
        named = listed([f"{_name(task, row)} ({listed(task.colours_of(row))})" for row in rings], "and")
        yield (
            f"{_sentence(named)} each close a ring of odd number with some of their pieces, so that two colours cannot "
            "alternate: give each of them a third colour."
        )


def _alone(task: Task, row: np.ndarray) -> str:
    """Say why one row cannot be."""
    left = task.colours_of(row)
    lost = sorted(set(task.allowed[int(np.argmax(row))] or ()) - set(left))
    gone = f" (there is no tile of {listed(lost)})" if lost else ""
    begin = f"{_sentence(_name(task, row))} may only be {listed(left)}{gone}, but "
    if len(left) == 1:
        return f"{begin}its pieces touch, so they would be alike: give it a second colour."
    if len(left) == 2:
        return (
            f"{begin}some of its pieces close a ring of odd number, so they cannot alternate: give it a third colour."
        )
    return f"{begin}these are too few for the way its pieces touch: give it one more colour."


def _together(task: Task, one: np.ndarray, two: np.ndarray) -> str:
    """Say why two rows side by side cannot be."""
    return (
        f"{_sentence(_name(task, one))} and {_name(task, two)} lie side by side, and "
        f"{listed(task.colours_of(one | two), 'and')} alone cannot keep their touching "
        f"pieces apart: give one of them another colour."
    )


def _row_short(task: Task, row: np.ndarray) -> str:
    """Say that a row takes more tiles than there are."""
    return (
        f"{_sentence(_name(task, row))} takes {np.ceil(task.weights[row].sum() / task.unit):.0f} tiles, and "
        f"{_in_stock(task, task.colours_of(row))} do not go round without "
        f"two alike touching: add tiles of these colours, or give the row another one."
    )


def _stock_short(task: Task) -> str:
    """Say that all together take more tiles than there are."""
    more = "Try other numbers, or one more colour."
    if not task.free:
        more = "Add tiles of the colours that rows ask for, or give a row another colour."
    stock = _in_stock(task, task.names)
    return f"The colours could be arranged if there were enough of each; {stock} do not go round. {more}"
