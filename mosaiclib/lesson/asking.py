"""The questions of a workbook on the page, one open at a time."""

__all__ = ["Questions"]

import html
from collections.abc import Sequence
from contextlib import suppress
from typing import Any

import ipywidgets as w
import traitlets

from mosaiclib.errors import MosaicError
from mosaiclib.lesson.fields import plain_words
from mosaiclib.lesson.handout import Paper, questions_on_paper
from mosaiclib.lesson.kept import Kept
from mosaiclib.lesson.page import NOT_KEPT, with_forms
from mosaiclib.lesson.questions import Question
from mosaiclib.lesson.style import STYLE
from mosaiclib.report import paragraph

MOST_NUMBER = 9999
CLASS = 24  # numbers on one sheet of questions


class Questions(w.VBox):
    """The questions of a workbook, one at a time, with numbers from the learner's own number; a class counts off.

    The first wrong answer gets a hint, the second the way to the right one; after the last question the score is told,
    and the next set has other numbers.
    """

    def __init__(self, questions: Sequence[Question], seed: int = 1, kept: Kept = NOT_KEPT) -> None:
        self.questions, self.kept = list(questions), kept
        self.at, self.round, self.tries = 0, 0, {}  # tries: how many a question took, 0 where the way was shown
        self.best = 0  # most right answers in one set
        style = {"description_width": "initial"}
        self.seed = w.BoundedIntText(
            value=seed, min=1, max=MOST_NUMBER, description="Your number in the class", style=style
        )
        self.ask = plain_words("", "mosaic-ask")
        self.place, self.verdict = w.HBox(), plain_words("", "mosaic-verdict")
        check = w.Button(description="Check", button_style="primary")
        self.after = w.Button(description="Next question")
        check.on_click(lambda _: self.check())
        self.after.on_click(lambda _: self.go(self.at + 1))
        self._take_up(kept.read())
        self.seed.observe(lambda _: self.begin(0), "value")
        buttons = w.HBox([check, self.after])
        shown = [plain_words(STYLE), self.seed, self.ask, self.place, buttons, self.verdict]
        super().__init__([*shown, Paper(self.on_paper)])
        self.add_class("mosaic-questions")
        self.go(self.at)

    def _take_up(self, found: tuple[Any, str] | None) -> None:
        """Go on where the learner was; what cannot be read is left."""
        with suppress(AttributeError, KeyError, TypeError, ValueError, traitlets.TraitError):
            stored = found[0]
            self.seed.value, self.round, self.at = stored["number"], abs(int(stored["set"])), int(stored["at"])
            self.tries = {int(at): int(tries) for at, tries in stored["tries"].items()}
            self.best = int(stored.get("best", 0))

    @property
    def question(self) -> Question:
        """The question that is open."""
        return self.questions[self.at]

    @property
    def number(self) -> int:
        """The seed of the questions: the learner's number, another one in every set."""
        return self.seed.value + self.round * (MOST_NUMBER + 1)

    def begin(self, number_of_set: int) -> None:
        """Begin a set of questions."""
        self.round, self.tries = number_of_set, {}
        self.go(0)

    def go(self, at: int) -> None:
        """Open a question; after the last one, begin the next set where all were answered."""
        if at >= len(self.questions) and len(self.tries) == len(self.questions):
            self.begin(self.round + 1)
            return
        self.at, self.wrong = at % len(self.questions), 0
        question = self.question
        self.values = question.values(self.number)
        asked = html.escape(question.ask(self.values))
        self.ask.value = f"<p><b>{self.at + 1} of {len(self.questions)}.</b> {asked}</p>"
        self.place.children = self._boxes(question)
        self.after.description = "Next question"
        self.verdict.value = ""
        self._keep()

    def _boxes(self, question: Question) -> list[w.Widget]:
        """Return what the answer is given with."""
        if question.options:
            offered = question.offered(self.number)
            self.answer = w.RadioButtons(options=offered, value=None, layout=w.Layout(width="auto"))
        else:
            self.answer = w.Text(placeholder="your answer", layout=w.Layout(width="140px"), tooltip="Your answer")
            self.answer.on_msg(lambda _, said, __: said.get("event") == "submit" and self.check())  # the Enter key
        offered = [("unit?", ""), *((unit, unit) for unit in question.units)]
        self.units = w.Dropdown(options=offered, value="", layout=w.Layout(width="90px"), tooltip="Unit of your answer")
        return [self.answer, self.units] if question.units else [self.answer]

    def check(self) -> None:
        """Judge the answer and show the verdict."""
        try:
            if self.answer.value in (None, ""):
                raise MosaicError("Give an answer first.")
            found = self.question.judge(self.values, self.answer.value, self.units.value)
        except MosaicError as wrong:
            self.verdict.value = paragraph(str(wrong), "no")
            return
        self.wrong += not found.right
        told = f"{found.told} {self.question.hint}" if not found.right and self.wrong == 1 else found.words
        if found.right or self.wrong > 1:
            self.tries.setdefault(self.at, self.wrong + 1 if found.right and self.wrong < 2 else 0)
            told += self._score()
        self.verdict.value = paragraph(told, "yes" if found.right else "no")
        self._keep()

    def _score(self) -> str:
        """Say how many were right, once all are answered."""
        if len(self.tries) < len(self.questions):
            return ""
        self.after.description = "Next set"
        right, first = (sum(tries in wanted for tries in self.tries.values()) for wanted in ((1, 2), (1,)))
        return f" That was the last one: {right} of {len(self.questions)} right, {first} at the first try."

    def on_paper(self) -> str:
        """Return the questions with the numbers of a class, the learner's among them, and the key for the teacher."""
        first = (self.seed.value - 1) // CLASS * CLASS + 1
        numbers = range(first, min(first + CLASS, MOST_NUMBER + 1))
        return questions_on_paper(self.questions, {n: n + self.round * (MOST_NUMBER + 1) for n in numbers})

    def _keep(self) -> None:
        self.best = max(self.best, sum(tries > 0 for tries in self.tries.values()))
        place = {"number": self.seed.value, "set": self.round, "at": self.at}
        self.kept.write({**place, "tries": self.tries, "best": self.best})

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        """Add the questions in words."""
        asked = [f"{i + 1}. {q.ask(q.values(self.number))}" for i, q in enumerate(self.questions)]
        return with_forms(super()._repr_mimebundle_(**kwargs), {"text/plain": "\n".join(asked)})
