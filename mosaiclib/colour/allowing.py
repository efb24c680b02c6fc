"""Arranging colours where some pieces may only have some of them, and small pieces take part of a tile."""

__all__ = ["arrange_allowed"]

from collections.abc import Mapping, Sequence

import numpy as np
from ortools.sat.python import cp_model

from mosaiclib.colour.outcomes import CannotBe, NotFound
from mosaiclib.colour.sharing import read_stock
from mosaiclib.errors import MosaicError

WORK = 20.0  # the solver's own units: a limit that does not depend on the machine
TWELFTHS = 12  # of a tile: halves, thirds and quarters are whole numbers of them


def arrange_allowed(
    pairs: np.ndarray,
    allowed: Sequence[frozenset[str] | None],
    stock: Mapping[str, int],
    parts: np.ndarray,
    seed: int = 0,
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
    count = len(allowed)
    missing = [one for one in allowed if one is not None and not one & set(names)]
    if missing:
        raise MosaicError(
            f"No tile is in stock in any of the colours chosen for a row: {', '.join(sorted(missing[0]))}."
        )
    model, chosen = _model(pairs, allowed, names, amounts, parts)
    rng = np.random.default_rng(seed)
    # a random aim keeps it lively; it need not be reached, so the search stops well before
    model.maximize(sum(int(w) * x for w, x in zip(rng.integers(0, 10, len(chosen)), chosen.values(), strict=True)))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = WORK
    solver.parameters.relative_gap_limit = 0.25
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        raise CannotBe(_why(pairs, allowed), "too few colours")
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        words = f"No arrangement of {count} pieces was found within {WORK:g} units of search; that proves nothing."
        raise NotFound(f"{words} Add a colour, or more tiles.", count, starts=0, rounds=0, work=WORK)
    found = {piece: names[colour] for (piece, colour), x in chosen.items() if solver.value(x)}
    return [found[piece] for piece in range(count)]


def _model(pairs, allowed, names: list[str], amounts: np.ndarray, parts: np.ndarray):
    """Return the model and its choices, keyed by piece and colour."""
    model = cp_model.CpModel()
    chosen = {
        (piece, colour): model.new_bool_var("")
        for piece, only in enumerate(allowed)
        for colour, name in enumerate(names)
        if only is None or name in only
    }
    for piece in range(len(allowed)):
        model.add_exactly_one(chosen[piece, colour] for colour in range(len(names)) if (piece, colour) in chosen)
    for one, two in pairs.tolist():
        for colour in range(len(names)):
            if (one, colour) in chosen and (two, colour) in chosen:
                model.add_at_most_one(chosen[one, colour], chosen[two, colour])
    share = np.round(np.asarray(parts) * TWELFTHS).astype(int)
    for colour, amount in enumerate(amounts.tolist()):
        used = [int(share[piece]) * x for (piece, c), x in chosen.items() if c == colour]
        model.add(sum(used) <= amount * TWELFTHS)
    return model, chosen


def _why(pairs: np.ndarray, allowed: Sequence[frozenset[str] | None]) -> str:
    """Say what stands in the way, plainly where a row has only one colour."""
    for one, two in pairs.tolist():
        first, second = allowed[one], allowed[two]
        if first is not None and first == second and len(first) == 1:
            name = next(iter(first))
            return f"A row may only be {name}, but its pieces touch, so they would be alike: give it a second colour."
    return "With these colours for the rows and this stock there is no arrangement without two alike touching: add a colour."
