"""Workbook 02: wedge cuts on curves, in two parts of which one is open at a time."""

__all__ = ["parts", "questions"]

from mosaiclib.lessons import w02_ring, w02_rows
from mosaiclib.lessons.w02_questions import QUESTIONS


def parts():
    """Return both parts as they stand in the workbook."""
    from mosaiclib.lesson.page import Parts

    return Parts({"One ring": w02_ring.lesson, "A drawn line": w02_rows.lesson})


def questions():
    """Return the workbook's questions."""
    from mosaiclib.lesson.questions import Questions

    return Questions(QUESTIONS)
