"""Pieces of which some may only have some colours: the task, and deciding it by a complete search."""

__all__ = ["TWELFTHS", "Task", "decide", "modelled"]

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from ortools.sat.python import cp_model

from mosaiclib.colour.deciding import POSSIBLE, solver_for

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
