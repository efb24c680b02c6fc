"""Several colours that share a run of pieces in a stated way: evenly, or as a gradient from the first to the last.

Symbols: t, place of a piece along its run, 0 to 1; s_c(t), share asked of colour c at t; D, how far off at worst.
"""

__all__ = ["BLENDS", "Run", "as_asked", "blended", "shares_asked", "worst_off"]

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from mosaiclib.colour.graph import Task

BLENDS = ("free", "even", "gradient")
NEAR_ENOUGH = 0.1  # D of a run that is as asked: a tenth of its pieces, or two of a short one; assumed, what we chose


@dataclass(frozen=True, eq=False)
class Run:
    """Pieces that share colours in a stated way, in the order of their places t (m,), 0 to 1; `name` is for sentences."""

    pieces: np.ndarray
    places: np.ndarray
    colours: Sequence[str]
    blend: str
    name: str = ""


def shares_asked(run: Run) -> np.ndarray:
    """Return the share asked of each colour at each piece of a run, shape (m, k); each line adds up to 1.

    even: s_c = 1/k.  gradient: at t the run is between two pairs of neighbouring colours, (j, j+1) and (j+1, j+2), and

    s_j = (1 - f)/2, s_j+1 = 1/2, s_j+2 = f/2,   j + f = t (k - 2), f from 0 to 1

    No share is over a half, as no two alike may touch; with three colours that of the last grows from 0 to a half.

    >>> run = Run(np.arange(3), np.array([0.0, 0.5, 1.0]), ["blue", "sky blue", "white"], "gradient")
    >>> shares_asked(run).tolist()
    [[0.5, 0.5, 0.0], [0.25, 0.5, 0.25], [0.0, 0.5, 0.5]]
    """
    k, t = len(run.colours), np.asarray(run.places, dtype=float)
    if run.blend != "gradient":
        return np.full((len(t), k), 1 / k)
    u = t * (k - 2)
    j = np.minimum(u.astype(int), k - 3)
    f, line, asked = u - j, np.arange(len(t)), np.zeros((len(t), k))
    asked[line, j], asked[line, j + 1], asked[line, j + 2] = (1 - f) / 2, 0.5, f / 2
    return asked


def worst_off(run: Run, names: Sequence[str]) -> float:
    """Return D, how far the colours of a run's pieces, shape (m,), are from what was asked, as a share of the run, 0 to 1.

    D = max over places and colours of |pieces of the colour so far - asked so far| / m

    so over no stretch from the beginning are there more than D m pieces too many or too few of one colour. This is the
    statistic of Kolmogorov and Smirnov, taken for each colour.

    >>> run = Run(np.arange(4), np.linspace(0, 1, 4), ["a", "b"], "even")
    >>> worst_off(run, ["a", "b", "a", "b"]), worst_off(run, ["a", "a", "b", "b"])
    (0.125, 0.25)
    """
    if not len(names):
        return 0.0
    is_ = np.asarray(names, dtype=object)[:, None] == np.asarray(run.colours, dtype=object)[None, :]
    return float(np.abs(np.cumsum(is_ - shares_asked(run), axis=0)).max() / len(names))


def as_asked(run: Run, names: Sequence[str]) -> bool:
    """Tell whether the colours of a run's pieces, shape (m,), are near enough to what was asked.

    >>> as_asked(Run(np.arange(40), np.linspace(0, 1, 40), ["a", "b", "c"], "even"), ["a", "b"] * 20)
    False
    """
    return worst_off(run, names) * len(names) <= max(2.0, NEAR_ENOUGH * len(names)) + 1e-9


def blended(task: Task, runs: Sequence[Run], rng: np.random.Generator) -> np.ndarray | None:
    """Return the number of a colour for the pieces of all runs, -1 elsewhere, shape (n,); None where one is stuck.

    Each run is gone along once: a piece takes the colour, of those asked for at its place that no neighbour has yet, that
    lags most behind what was asked so far; what is not met is carried on, as in error diffusion.

    References
    ----------
    .. [1] R. W. Floyd and L. Steinberg, "An adaptive algorithm for spatial greyscale", Proceedings of the Society of
       Information Display 17 (1976): what one dot cannot show is carried on to the next (from memory).

    Examples
    --------
    >>> from mosaiclib.colour.graph import ConflictGraph
    >>> row = ConflictGraph(4, np.array([[0, 1], [1, 2], [2, 3]]))
    >>> run = Run(np.arange(4), np.linspace(0, 1, 4), ["a", "b", "c"], "gradient")
    >>> found = blended(Task.of(row, {"a": 9, "b": 9, "c": 9}), [run], np.random.default_rng(0))
    >>> found.tolist() in ([0, 1, 2, 1], [1, 0, 1, 2], [0, 1, 0, 2])
    True
    """
    colours, near = np.full(task.graph.count, -1), task.graph.adjacent
    only = task.may.sum(axis=1) == 1  # pinned: the others go round them
    colours[only] = np.argmax(task.may[only], axis=1)
    left = task.stock - np.bincount(colours[only], task.weights[only], len(task.names)).astype(int)
    number = {name: c for c, name in enumerate(task.names)}
    for run in runs:
        own = [number.get(name, -1) for name in run.colours]
        lag, steps = np.zeros(len(own)), np.arange(len(own))
        for v, asked in zip(run.pieces.tolist(), shares_asked(run), strict=True):
            lag += asked
            if colours[v] < 0:
                beside = {colours[w] for w in near[v]}
                free = [k for k, c in enumerate(own) if c >= 0 and c not in beside and task.may[v, c]]
                free = [k for k in free if left[own[k]] >= task.weights[v]]
                if not free:
                    return None
                # one that is not asked for here, only where it must be, and then the next in order
                away = np.abs(steps[:, None] - np.flatnonzero(asked)[None, :]).min(axis=1)
                best = min(free, key=lambda k: (away[k], -lag[k] - 0.2 * rng.random()))  # so that seeds differ
                colours[v] = own[best]
                left[own[best]] -= task.weights[v]
            lag[np.array(own) == colours[v]] -= 1
    blended_pieces = np.concatenate([run.pieces for run in runs])
    found = np.full(task.graph.count, -1)
    found[blended_pieces] = colours[blended_pieces]
    return found
