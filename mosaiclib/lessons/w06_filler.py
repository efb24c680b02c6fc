"""Lesson 06, the filler: its kind, how much, and what it is mixed from."""

__all__ = ["CONTROLS", "LIVE", "TITLE", "Settings", "compute", "draw", "follow", "keeper", "report", "start", "summary"]

from mosaiclib.filler import bought
from mosaiclib.job.overview import caution_lines, material_lines, warning_lines
from mosaiclib.lessons.w06_controls import FILLER_CONTROLS as CONTROLS
from mosaiclib.lessons.w06_follow import follow
from mosaiclib.lessons.w06_plan import Result, compute, keeper, running, start
from mosaiclib.lessons.w06_plan import view_of as draw
from mosaiclib.lessons.w06_settings import Settings
from mosaiclib.report import Row

TITLE, LIVE = "The filler", False


def report(result: Result) -> list[Row]:
    """Tell the filler and all that it is mixed from."""
    worked = result.worked
    return [*warning_lines(worked), *material_lines(worked)[1:], *caution_lines(worked)]


def summary(result: Result) -> str:
    """Tell the kind of filler and how much of each part it takes."""
    worked = result.worked
    parts = ", ".join(one.told for one in bought(worked.fillers))
    return f"{parts}. {running(result)}"  # their names tell the kind
