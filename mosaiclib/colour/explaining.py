"""Why colours chosen for rows cannot be: the row or rows that stand in the way, in a sentence."""

__all__ = ["rows_in_the_way", "why"]

import numpy as np

from mosaiclib.colour.deciding import SEARCH_SIZE
from mosaiclib.colour.limited import Task, decide
from mosaiclib.colour.outcomes import CannotBe

WORK = 2.0  # the solver's own units for each question: a row or two are small


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
    return decide(task.part_of(keep), stocked=stocked, work=WORK) is False


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
