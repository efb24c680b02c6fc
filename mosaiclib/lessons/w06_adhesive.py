"""Lesson 06, the adhesive: whether it suits the piece, and how long each step waits for it."""

__all__ = ["CONTROLS", "LIVE", "TITLE", "Settings", "compute", "draw", "follow", "keeper", "report", "start", "summary"]

import math

from mosaiclib.adhesive import STEPS
from mosaiclib.adhesive.choose import VERDICTS
from mosaiclib.drawing import Drawing
from mosaiclib.drawing.plot import wait_bar
from mosaiclib.job.overview import adhesive_lines, caution_lines, duration, material_lines, plan_waits, warning_lines
from mosaiclib.lessons.w06_controls import ADHESIVE_CONTROLS as CONTROLS
from mosaiclib.lessons.w06_follow import follow
from mosaiclib.lessons.w06_plan import Result, compute, keeper, running, start, view_of
from mosaiclib.lessons.w06_settings import Settings
from mosaiclib.report import Row

TITLE, LIVE = "The adhesive", False


def draw(result: Result) -> Drawing:
    """Draw the piece from behind, where the adhesive is, and the bar of waits under it."""
    piece = view_of(result, view="behind", key=False, dimensions=False)
    if result.worked.judged[0] == VERDICTS[-1]:
        return piece
    waits = {STEPS[step]: found for step, found in plan_waits(result.worked).items() if math.isfinite(found.most)}
    words = "The piece seen from behind. A bar below shows when each step can follow."
    return wait_bar(piece, waits, 0.0, key={}, title="How long each step waits", description=words)


def report(result: Result) -> list[Row]:
    """Tell the verdict with its reasons, the waits, and how much it takes."""
    worked = result.worked
    return [*warning_lines(worked), *adhesive_lines(worked), material_lines(worked)[0], *caution_lines(worked)]


def summary(result: Result) -> str:
    """Tell the verdict, and when the joints may be filled."""
    worked = result.worked
    verdict = worked.judged[0]
    if verdict == VERDICTS[-1]:
        return f"{worked.plan.adhesive.family}: {verdict}. {running(result)}"
    fill = duration(plan_waits(worked)["fill"].usual)
    return f"{worked.plan.adhesive.family}: {verdict}; fill after {fill}; {worked.adhesive:.0f} mL. {running(result)}"
