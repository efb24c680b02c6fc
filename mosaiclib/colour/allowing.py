"""Arranging colours where some pieces may only have some of them, and small pieces take part of a tile."""

__all__ = ["arrange_allowed"]

from collections.abc import Mapping, Sequence

import numpy as np
from ortools.sat.python import cp_model

from mosaiclib.colour.deciding import SEARCH_SIZE, solver_for
from mosaiclib.colour.exchanging import exchange
from mosaiclib.colour.explaining import rows_in_the_way, why
from mosaiclib.colour.limited import TWELFTHS, Task, modelled
from mosaiclib.colour.outcomes import CannotBe, NotFound
from mosaiclib.colour.sharing import read_stock, targets
from mosaiclib.colour.starting import most_hemmed_in_first
from mosaiclib.colour.touching import Touching
from mosaiclib.errors import several

STARTS = 3  # first colourings that are led to the stock before the solver is asked
LIVELY = 1.0  # the solver's own units, about a second each, so that every machine stops at the same place
WORK = 8.0  # where nothing was found with a random aim, the search for any arrangement at all


def arrange_allowed(
    pairs: np.ndarray,
    allowed: Sequence[frozenset[str] | None],
    stock: Mapping[str, int],
    parts: np.ndarray,
    seed: int = 0,
    *,
    rows: Sequence[str] | None = None,
) -> list[str]:
    """Arrange colours so that no pair is alike, each piece has a colour it may have, and the stock is enough.

    Parameters
    ----------
    pairs : array of int, shape (m, 2)
        Pieces that touch.
    allowed : sequence of frozenset or None, length n
        Colours that each piece may have; None for any.
    stock : mapping of str to int
        Tiles of each colour.
    parts : array of float, shape (n,)
        Share of a tile that each piece takes: 1, 1/2, 1/3 or 1/4.
    seed : int
        The same seed gives the same arrangement.
    rows : sequence of str, length n, optional
        What a refusal calls the row of each piece, such as "row 2"; empty where it is in none.

    Returns
    -------
    list of str
        A colour for each piece.

    Raises
    ------
    MosaicError
        If the stock cannot be read; `CannotBe` if it is proven that there is no way, `NotFound` if none was found
        within a stated search.

    Examples
    --------
    >>> row = np.array([[0, 1], [1, 2]])
    >>> only = frozenset({"blue", "sky blue"})
    >>> found = arrange_allowed(row, [only, only, None], {"blue": 1, "sky blue": 1, "green": 1}, np.full(3, 0.25))
    >>> found[0] != found[1] and found[1] != found[2] and set(found[:2]) == only
    True
    """
    names, amounts = read_stock(stock)
    called = several(rows, "names of the rows", len(allowed)) if rows is not None else _numbered(allowed)
    task = Task(np.asarray(pairs, dtype=int).reshape(-1, 2), allowed, called, names, amounts, np.asarray(parts))
    _refuse_what_is_not_there(task)
    rng = np.random.default_rng(seed)
    quick = _exchanged(task, rng)
    if quick is not None:
        return quick
    if len(allowed) * len(names) > SEARCH_SIZE:
        raise rows_in_the_way(task) or _not_found(len(allowed), 0.0)
    model, chosen = modelled(task)
    # a random aim keeps it lively; it need not be reached, so the search stops well before
    model.maximize(sum(int(w) * x for w, x in zip(rng.integers(0, 10, len(chosen)), chosen.values(), strict=True)))
    solver = solver_for(seed, LIVELY)
    solver.parameters.relative_gap_limit = 0.25
    status = solver.solve(model)
    if status == cp_model.UNKNOWN:
        model.clear_objective()
        solver = solver_for(seed, WORK)
        status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        raise why(task)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        raise _not_found(len(allowed), WORK)
    found = {piece: names[colour] for (piece, colour), x in chosen.items() if solver.value(x)}
    return [found[piece] for piece in range(len(allowed))]


def _exchanged(task: Task, rng: np.random.Generator) -> list[str] | None:
    """Return an arrangement that begins with the most hemmed in pieces and is led to the stock by exchanges, if one is."""
    may = np.array([[only is None or name in only for name in task.names] for only in task.allowed])
    touching = Touching(len(task.allowed), np.unique(np.sort(task.pairs, axis=1), axis=0))
    parts = np.round(np.asarray(task.parts) * TWELFTHS).astype(int)
    stock, whole = task.amounts * TWELFTHS, int(parts.sum())
    if stock.sum() < whole:
        return None
    target = targets(whole, stock, whole // 2)
    for _ in range(STARTS):
        start, _ = most_hemmed_in_first(touching, len(task.names), rng, may)
        if start is None:
            continue
        colours, over, _ = exchange(start, touching, target, stock, rng, may, parts)
        if not over:
            return [task.names[c] for c in colours]
    return None


def _not_found(count: int, work: float) -> NotFound:
    """Return what is told when the search ended without an answer; `work` is 0 where it was too large to begin."""
    searched = (
        f"within {work:g} units of search" if work else f"in {STARTS} starts, and it is too large to try them all"
    )
    return NotFound(
        f"No arrangement of {count} pieces was found {searched}; that proves nothing. Add a colour, or more tiles.",
        count,
        starts=STARTS,
        rounds=0,
        work=work,
    )


def _numbered(allowed: Sequence[frozenset[str] | None]) -> list[str]:
    """Return a name for what is in no named row but may only have some colours."""
    return ["" if only is None else f"what may only be {' or '.join(sorted(only))}" for only in allowed]


def _refuse_what_is_not_there(task: Task) -> None:
    """Refuse a row of whose colours there is no tile at all."""
    for only, row in zip(task.allowed, task.rows, strict=True):
        if only is not None and not only & set(task.names):
            raise CannotBe(
                f"There is no tile in any of the colours chosen for {row}: {', '.join(sorted(only))}.", "counts"
            )
