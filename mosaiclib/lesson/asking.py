"""The lesson's questions on the page, one at a time."""

__all__ = ["Questions"]

import html
from collections.abc import Sequence
from typing import Any

import ipywidgets as w

from mosaiclib.errors import MosaicError
from mosaiclib.page import STYLE, paragraph
from mosaiclib.question import Question


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
