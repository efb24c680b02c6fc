"""Workbook 02: wedge cuts on curves, in two parts of which one is open at a time."""

__all__ = ["QUESTIONS", "parts", "questions"]

from mosaiclib.lessons import cut_a_ring, follow_a_line
from mosaiclib.lessons.wedge_questions import QUESTIONS


def parts():
    """Return both parts as they stand in the workbook."""
    from mosaiclib.lesson import Parts

    return Parts({"One ring": cut_a_ring.lesson, "A drawn line": follow_a_line.lesson})


def questions():
    """Return the workbook's questions."""
    from mosaiclib.lesson import Questions

    return Questions(QUESTIONS)
