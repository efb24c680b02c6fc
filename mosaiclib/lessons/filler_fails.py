"""Workbook 04: why plain filler fails on glass, in four parts of which one is open at a time."""

__all__ = ["QUESTIONS", "parts", "questions"]

from mosaiclib.lessons import fill_the_piece, joint_section, needed_energy, polymer_chance
from mosaiclib.lessons.filler_questions import QUESTIONS


def parts():
    """Return the four parts as they stand in the workbook."""
    from mosaiclib.lesson import Parts

    return Parts(
        {
            "The joint in section": joint_section.lesson,
            "Needed and known": needed_energy.lesson,
            "The chance": polymer_chance.lesson,
            "Fill the piece": fill_the_piece.lesson,
        }
    )


def questions():
    """Return the workbook's questions."""
    from mosaiclib.lesson import Questions

    return Questions(QUESTIONS)
