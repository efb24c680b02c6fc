"""Move every control of a lesson from end to end, as each workbook's last cell and the tests do."""

__all__ = ["Swept", "sweep"]

from dataclasses import replace
from typing import Any, NamedTuple

from mosaiclib.lesson import Lesson


class Swept(NamedTuple):
    """One move of a sweep: which control, to what value, and the sentence that was shown, if any."""

    name: str
    value: Any
    words: str


def sweep(lesson: Lesson) -> list[Swept]:
    """Move every control of a lesson to its least, greatest and a middle value, and back.

    Parameters
    ----------
    lesson : Lesson
        A lesson that is not shown.

    Returns
    -------
    list of Swept
        One a move. An error that is not for the learner is raised.
    """
    moves = []
    for name, field in lesson.fields.items():
        start = field.value
        for value in field.control.ends:
            field.accept(value)
            moves.append(Swept(name, value, lesson.message.value))
        field.put(start)
        lesson.settings = replace(lesson.settings, **{name: start})
    lesson.refresh()
    return moves
