"""Workbook 04: why plain filler fails on glass, in four parts of which one is open at a time."""

__all__ = ["parts", "questions"]

from mosaiclib.lessons import w04_chance, w04_energy, w04_piece, w04_section
from mosaiclib.lessons.w04_questions import QUESTIONS


def parts():
    """Return the four parts as they stand in the workbook."""
    from mosaiclib.lesson.page import Parts

    return Parts(
        {
            "The joint in section": w04_section.lesson,
            "Needed and known": w04_energy.lesson,
            "The chance": w04_chance.lesson,
            "Fill the piece": w04_piece.lesson,
        }
    )


def questions():
    """Return the workbook's questions."""
    from mosaiclib.lesson.questions import Questions

    return Questions(QUESTIONS)
