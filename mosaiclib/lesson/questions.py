"""Questions with numbers drawn from a seed, and their usual slips."""

__all__ = ["Judged", "Question", "Slip"]

import math
import string
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from mosaiclib.errors import MosaicError, brief, choice, whole_number
from mosaiclib.lesson.controls import read_number
from mosaiclib.units import convert, in_thirty_seconds, in_unit, quantity, same_dimension

Values = Mapping[str, Any]


@dataclass(frozen=True)
class Slip:
    """A usual mistake: the wrong answer that it leads to, from the question's values, and what happened in a sentence."""

    name: str
    value: Callable[[Values], float | str]
    told: str


@dataclass(frozen=True)
class Judged:
    """The verdict on an answer: the slip that was recognised ("unit" for a mistaken unit), what to tell, and the way."""

    right: bool
    slip: str
    told: str
    way: str = ""

    @property
    def words(self) -> str:
        """The verdict with the way to the answer."""
        return f"{self.told} {self.way}".strip()


@dataclass(frozen=True)
class Question:
    """One question with its numbers drawn from a seed; `words` and `because` are filled from the values by braces.

    The right answer is a number in `unit`, and right `within` so much of it, or one of the words in `options`.
    """

    name: str
    words: str
    draw: Callable[[np.random.Generator], dict[str, Any]]
    answer: Callable[[Values], float | str]
    unit: str = ""
    units: tuple[str, ...] = ()  # to choose from
    options: tuple[str, ...] = ()
    within: float = 0.0
    slips: tuple[Slip, ...] = ()
    because: str = ""  # may name {answer} too
    hint: str = "Try once more."

    def values(self, seed: int) -> dict[str, Any]:
        """Return the question's numbers for a seed."""
        # the name is mixed in so that two questions of one seed are not drawn alike
        return self.draw(np.random.default_rng([whole_number(seed, "seed", greatest=2**53), *self.name.encode()]))

    def ask(self, values: Values) -> str:
        """Return the question in words."""
        return self.words.format(**values)

    def way(self, values: Values) -> str:
        """Return the way to the answer in words, empty where none is told."""
        right = self.answer(values)
        return self.because.format(**values, answer=right if isinstance(right, str) else f"{right:.4g}")

    @property
    def lettered(self) -> dict[str, str]:
        """A letter for each option, in an order that tells nothing."""
        return dict(zip(sorted(self.options), string.ascii_lowercase, strict=False))

    def key(self, values: Values) -> str:
        """Return the right answer as a key on paper has it: the letter of an option, or a number with its unit."""
        right = self.answer(values)
        return self.lettered[right] if isinstance(right, str) else f"{right:.4g} {self.unit}".rstrip()

    def judge(self, values: Values, typed: object, unit: str = "") -> Judged:
        """Judge an answer, a word or a number in the unit that was chosen: right, a known slip, or wrong."""
        right, why = self.answer(values), self.way(values)
        if self.options:
            said: float | str = choice(typed, "answer", self.options)
            met = said == right
        else:
            said, unit = self._read(typed, unit)
            met = self._met(said, unit, right)
        return Judged(True, "", "Right.", why) if met else self._wrong(values, said, unit, right, why)

    def offered(self, seed: int) -> list[str]:
        """Return the options in an order drawn from the seed, so that the right one has no place of its own."""
        order = np.random.default_rng([whole_number(seed, "seed", greatest=2**53), *self.name.encode(), 1])
        return [self.options[place] for place in order.permutation(len(self.options))]

    def _read(self, typed: object, unit: str) -> tuple[float, str]:
        """Return the number that was typed and its unit, typed after it or chosen."""
        found = quantity(str(typed))
        own = found[1] if found else ""
        if not self.units or found is None:
            return read_number(typed, "answer", self.unit if own else ""), self.unit
        if not (unit or own):
            raise MosaicError("Choose the unit of your answer from the list, or type it after the number.")
        chosen = unit or next((one for one in self.units if in_unit(1.0, own, one) == 1.0), self.unit)
        choice(chosen, "unit", self.units)
        if unit and own and in_unit(1.0, own, unit) != 1.0:
            raise MosaicError(f"Your answer says {brief(own)} and the list says {unit}; make them agree.")
        return read_number(typed, "answer", chosen), chosen

    def _met(self, said: float, unit: str, right: float | str) -> bool:
        """Tell whether a number in a unit is right: within what is allowed, or the right one to three figures in that unit.

        Inches also where they are the nearest 1/32, as pages write them.
        """
        if self.units and unit != self.unit and not same_dimension(unit, self.unit):
            return False
        told = convert(right, self.unit, unit)
        if self._alike(convert(said, unit, self.unit), right):
            return True
        if unit != self.unit and math.isclose(said, float(f"{told:.3g}")):
            return True
        parts = in_thirty_seconds(said) if unit == "in" else None
        return bool(parts) and parts == round(told * 32)  # 0 in is no length

    def _wrong(self, values: Values, said: float | str, unit: str, right: float | str, why: str) -> Judged:
        """Look for the slip that leads to a wrong answer."""
        same_unit = not self.units or unit == self.unit
        for slip in self.slips:
            if same_unit and self._alike(said, slip.value(values)):
                return Judged(False, slip.name, f"Not quite: {slip.told}", why)
        if not same_unit and self._alike(said, right):
            return Judged(False, "unit", f"The number is right, but it is in {self.unit}, not in {unit}.")
        return Judged(False, "", "Not right.", why)

    def _alike(self, said: float | str, other: float | str) -> bool:
        if isinstance(said, str) or isinstance(other, str):
            return said == other
        return abs(said - other) <= self.within + 1e-9
