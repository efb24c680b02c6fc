"""Workbook 03: adhesive for glass on glass, in three parts of which one is open at a time."""

__all__ = ["QUESTIONS", "parts", "questions"]

from mosaiclib.lessons import look_through, wait_for_adhesive, which_adhesive
from mosaiclib.lessons.adhesive_questions import QUESTIONS


def parts():
    """Return the three parts as they stand in the workbook."""
    from mosaiclib.lesson import Parts

    return Parts(
        {
            "Which one": which_adhesive.lesson,
            "How it will look": look_through.lesson,
            "How long to wait": wait_for_adhesive.lesson,
        }
    )


def questions():
    """Return the workbook's questions."""
    from mosaiclib.lesson import Questions

    return Questions(QUESTIONS)
