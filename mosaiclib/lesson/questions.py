"""Questions with numbers drawn from a seed, their usual slips, and the widget that asks them."""

__all__ = ["Judged", "Question", "Questions", "Slip", "in_unit"]

import html
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import ipywidgets as w
import numpy as np

from mosaiclib.errors import MosaicError, choice, instance, number, whole_number
from mosaiclib.lesson.controls import read_number
from mosaiclib.lesson.style import STYLE
from mosaiclib.report import paragraph
from mosaiclib.units import INCH

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


class Questions(w.VBox):
    """The lesson's questions, one at a time, with numbers from the learner's own number.

    Parameters
    ----------
    questions : sequence of Question
        In the order of the lesson.
    seed : int
        Number of the learner; a class counts off.
    """

    def __init__(self, questions: Sequence[Question], seed: int = 1) -> None:
        self.questions, self.at = list(questions), 0
        style = {"description_width": "initial"}
        self.seed = w.BoundedIntText(value=seed, min=1, max=9999, description="Your number in the class", style=style)
        self.ask = w.HTML().add_class("mosaic-ask")
        self.place, self.verdict = w.HBox(), w.HTML().add_class("mosaic-verdict")
        check, after = (
            w.Button(description="Check", button_style="primary"),
            w.Button(description="Next question"),
        )
        check.on_click(lambda _: self.check())
        after.on_click(lambda _: self.go(self.at + 1))
        self.seed.observe(lambda _: self.go(self.at), "value")
        buttons = w.HBox([check, after])
        super().__init__([w.HTML(STYLE), self.seed, self.ask, self.place, buttons, self.verdict])
        self.add_class("mosaic-questions")
        self.go(0)

    @property
    def question(self) -> Question:
        """The question that is open."""
        return self.questions[self.at]

    def go(self, at: int) -> None:
        """Open a question."""
        self.at = at % len(self.questions)
        question = self.question
        self.values = question.values(self.seed.value)
        asked = html.escape(question.ask(self.values))
        self.ask.value = f"<p><b>{self.at + 1} of {len(self.questions)}.</b> {asked}</p>"
        if question.options:
            self.answer = w.RadioButtons(options=question.options, value=None, layout=w.Layout(width="auto"))
        else:
            self.answer = w.Text(placeholder="your answer", layout=w.Layout(width="140px"), tooltip="Your answer")
        units = [("unit?", ""), *((unit, unit) for unit in question.units)]
        self.units = w.Dropdown(options=units, value="", layout=w.Layout(width="90px"), tooltip="Unit of your answer")
        self.place.children = [self.answer, self.units] if question.units else [self.answer]
        self.verdict.value = ""

    def check(self) -> None:
        """Judge the answer and show the verdict."""
        try:
            if self.question.units and not self.units.value:
                raise MosaicError("Choose the unit of your answer from the list.")
            if self.answer.value in (None, ""):
                raise MosaicError("Give an answer first.")
            found = self.question.judge(self.values, self.answer.value, self.units.value)
            self.verdict.value = paragraph(found.words, "yes" if found.right else "no")
        except MosaicError as wrong:
            self.verdict.value = paragraph(str(wrong), "no")

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        """Add the questions in words."""
        found = super()._repr_mimebundle_(**kwargs)
        bundle = found[0] if isinstance(found, tuple) else found
        asked = [f"{i + 1}. {q.ask(q.values(self.seed.value))}" for i, q in enumerate(self.questions)]
        bundle["text/plain"] = "\n".join(asked)
        return found
