"""Workbook 03: adhesive for glass on glass, in three parts of which one is open at a time."""

__all__ = ["parts", "questions"]

from mosaiclib.lessons import w03_cure, w03_family, w03_look
from mosaiclib.lessons.w03_questions import QUESTIONS


def parts():
    """Return the three parts as they stand in the workbook."""
    from mosaiclib.lesson.page import Parts

    return Parts(
        {
            "Which one": w03_family.lesson,
            "How it will look": w03_look.lesson,
            "How long to wait": w03_cure.lesson,
        }
    )


def questions():
    """Return the workbook's questions."""
    from mosaiclib.lesson.questions import Questions

    return Questions(QUESTIONS)
