"""Every control of a lesson moved from end to end, for checks."""

__all__ = ["Sweep", "Swept", "sweep"]

from collections.abc import Collection
from dataclasses import replace
from typing import Any, NamedTuple

import ipywidgets as w

from mosaiclib.lesson.page import Lesson


class Swept(NamedTuple):
    """One move of a sweep: which control, to what value, the sentence that was shown, if any, and if it may be."""

    name: str
    value: Any
    words: str
    expected: bool


class Sweep(list[Swept]):
    """The moves of a sweep."""

    @property
    def unexpected(self) -> list[Swept]:
        """Moves that were refused in other words than their control says it may be."""
        return [move for move in self if not move.expected]


def sweep(lesson: Lesson, leave: Collection[str] = ()) -> Sweep:
    """Move every control of a lesson, but those to `leave`, to its least, greatest and a middle value, and back.

    An error that is not for the learner is raised.
    """
    moves = Sweep()
    _silence(lesson)
    for name, field in lesson.fields.items():
        if name in leave:
            continue
        start = field.value
        for value in field.control.ends(start):
            field.accept(value)
            said = str(lesson.said)
            moves.append(Swept(name, value, said, not said or any(words in said for words in field.control.refuses)))
        field.put(start)
        lesson.settings = replace(lesson.settings, **{name: start})
    lesson.refresh()
    return moves


def _silence(widget: w.Widget) -> None:
    """Let a lesson that nobody sees send nothing: so many messages at once would not all reach a reader."""
    for each in (*getattr(widget, "children", ()), getattr(widget, "layout", None), getattr(widget, "style", None)):
        if isinstance(each, w.Widget):
            _silence(each)
    widget.close()
