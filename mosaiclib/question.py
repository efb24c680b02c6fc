"""Questions to the learner: drawn from a seed, answered by the library, with the usual slips known."""

__all__ = ["Judged", "Question", "Slip", "in_unit"]

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from mosaiclib.control import read_number
from mosaiclib.errors import choice, instance, number, whole_number
from mosaiclib.measures import INCH

LENGTHS = {"mm": 1.0, "cm": 10.0, "in": INCH}
Values = Mapping[str, Any]


@dataclass(frozen=True)
class Slip:
    """A usual mistake.

    Parameters
    ----------
    name : str
        What to call it in tests.
    value : callable
        From the question's values to the wrong answer that the mistake leads to.
    told : str
        What happened, in a sentence.
    """

    name: str
    value: Callable[[Values], float | str]
    told: str


@dataclass(frozen=True)
class Judged:
    """The verdict on an answer.

    Parameters
    ----------
    right : bool
        Whether it is right.
    slip : str
        Name of the slip that was recognised, "unit" for a mistaken unit, empty for none.
    words : str
        What to tell the learner.
    """

    right: bool
    slip: str
    words: str


@dataclass(frozen=True)
class Question:
    """One question with its numbers drawn from a seed.

    Parameters
    ----------
    name : str
        Short name.
    words : str
        The question; fields in braces are filled from the values.
    draw : callable
        From a numpy Generator to the question's values, a dict.
    answer : callable
        From the values to the right answer, by the library.
    unit : str
        Unit of the right answer, empty for none.
    units : tuple of str
        Units to choose from.
    options : tuple of str
        Answers to choose from, where the answer is a word and no number.
    within : float
        How far a number may be off and still be right [unit].
    slips : tuple of Slip
        Usual mistakes.
    because : str
        Why the answer is right; fields in braces are filled from the values and "answer".
    """

    name: str
    words: str
    draw: Callable[[np.random.Generator], dict[str, Any]]
    answer: Callable[[Values], float | str]
    unit: str = ""
    units: tuple[str, ...] = ()
    options: tuple[str, ...] = ()
    within: float = 0.0
    slips: tuple[Slip, ...] = ()
    because: str = ""

    def values(self, seed: int) -> dict[str, Any]:
        """Return the question's numbers for a seed."""
        # the name is mixed in so that two questions of one seed are not drawn alike
        return self.draw(np.random.default_rng([whole_number(seed, "seed", greatest=2**53), *self.name.encode()]))

    def ask(self, values: Values) -> str:
        """Return the question in words."""
        return self.words.format(**values)

    def judge(self, values: Values, typed: object, unit: str = "") -> Judged:
        """Judge an answer.

        Parameters
        ----------
        values : dict
            The question's numbers.
        typed : str or float
            What was typed, or the word that was chosen.
        unit : str
            The unit that was chosen.

        Returns
        -------
        Judged
            Right, a known slip, or wrong.

        Raises
        ------
        MosaicError
            If what was typed is no number, or no known word or unit.
        """
        right = self.answer(values)
        why = self.because.format(**values, answer=_short(right))
        if self.options:
            said: float | str = choice(typed, "answer", self.options)
            if said == right:
                return Judged(True, "", f"Right. {why}")
        else:
            said = read_number(typed, "answer")
            if self.units:
                choice(unit, "unit", self.units)
            if abs(in_unit(said, unit, self.unit) - right) <= self.within + 1e-9:
                return Judged(True, "", f"Right. {why}")
        return self._wrong(values, said, unit, right, why)

    def _wrong(self, values: Values, said: float | str, unit: str, right: float | str, why: str) -> Judged:
        """Look for the slip that leads to a wrong answer."""
        same_unit = not self.units or unit == self.unit
        for slip in self.slips:
            if same_unit and self._like(said, slip.value(values)):
                return Judged(False, slip.name, f"Not quite: {slip.told} {why}")
        if not same_unit and self._like(said, right):
            told = f"The number is right, but it is in {self.unit}, not in {unit}."
            return Judged(False, "unit", told)
        return Judged(False, "", f"Not right. {why}")

    def _like(self, said: float | str, other: float | str) -> bool:
        if isinstance(said, str) or isinstance(other, str):
            return said == other
        return abs(said - other) <= self.within + 1e-9


def _short(value: float | str) -> str:
    return value if isinstance(value, str) else f"{value:.4g}"


def in_unit(value: float, unit: str, wanted: str) -> float:
    """Turn a length into the wanted unit; other units are left as they are and never match.

    Parameters
    ----------
    value : float
        The number.
    unit, wanted : str
        Units; mm, cm and in are turned into each other.

    Returns
    -------
    float
        The number in the wanted unit, infinite where the units do not measure the same thing.

    Examples
    --------
    >>> in_unit(2, "cm", "mm"), in_unit(2, "tiles", "mm")
    (20.0, inf)
    """
    number(value, "answer")
    instance(unit, str, "unit"), instance(wanted, str, "unit")
    if unit == wanted or not unit:
        return value
    if unit in LENGTHS and wanted in LENGTHS:
        return value * LENGTHS[unit] / LENGTHS[wanted]
    return float("inf")
