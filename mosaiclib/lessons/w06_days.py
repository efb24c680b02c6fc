"""Lesson 06, the days: what is done when, what waits for what, and what a day that slips moves."""

__all__ = [
    "CONTROLS",
    "LIVE",
    "TITLE",
    "Settings",
    "actions",
    "compute",
    "draw",
    "follow",
    "keeper",
    "report",
    "start",
    "summary",
]

from dataclasses import replace
from datetime import datetime
from pathlib import Path

from mosaiclib.drawing import Drawing
from mosaiclib.drawing.gantt import gantt
from mosaiclib.errors import MosaicError
from mosaiclib.job import work_out
from mosaiclib.job.days import Days, bars_of, day_rows, days_of, end_words
from mosaiclib.job.overview import caution_lines
from mosaiclib.job.sittings import read_moment
from mosaiclib.lesson.controls import Action
from mosaiclib.lessons.w06_controls import DAYS_CONTROLS as CONTROLS
from mosaiclib.lessons.w06_follow import follow
from mosaiclib.lessons.w06_plan import Result, compute, keeper, running, start
from mosaiclib.lessons.w06_plan import view_of as piece_picture
from mosaiclib.lessons.w06_settings import Settings, plan_of
from mosaiclib.report import Row

TITLE, LIVE = "The days", False


def draw(result: Result) -> Drawing:
    """Draw the tasks over the days, work dark and waits pale; the piece alone where the hours cannot hold them."""
    if isinstance(result.days, MosaicError):
        return piece_picture(result, key=False, dimensions=False)
    bars, ticks = bars_of(result.days)
    words = "A row for each task: dark where hands work, pale while it waits, with a thin line as far as the longest wait may reach."
    return gantt(bars, ticks, title="The days", description=words)


def report(result: Result) -> list[Row]:
    """Tell each task with its day, its waits and what to look for."""
    if isinstance(result.days, MosaicError):
        return [Row("No days", "", "", f"{result.days}")]
    return [*day_rows(result.days), *caution_lines(result.worked)]


def summary(result: Result) -> str:
    """Tell when the piece is done, or why the hours cannot hold it."""
    days = result.days
    told = f"Done {end_words(days)}" if isinstance(days, Days) else f"{days}".rstrip(".")
    return f"{told}. {running(result)}"


def _tick(s: Settings, when: str) -> tuple[Settings, str]:
    """Tick the task that comes next."""
    if not s.days_start.strip():
        raise MosaicError("Type the first day, then what is done can be ticked.")
    days = days_of(work_out(plan_of(s)))
    at = read_moment(when) if when.strip() else datetime.now()
    ahead = [one.task for one in days.runs() if one.task not in days.done]
    if not ahead:
        raise MosaicError("All tasks are ticked already.")
    told = f"{at:%Y-%m-%d %H:%M}"
    return replace(
        s, days_done=(*s.days_done, (ahead[0], told))
    ), f"{ahead[0]} is done, {told}; the rest follows from that."


def _untick(s: Settings) -> tuple[Settings, str]:
    """Take the last tick away."""
    if not s.days_done:
        raise MosaicError("Nothing is ticked.")
    return replace(s, days_done=s.days_done[:-1]), f"{s.days_done[-1][0]} is not done."


def actions(folder: Path) -> tuple[Action, ...]:
    """Return the buttons that tick a task and take the last tick away."""
    box = ("Done on (empty: now)", "")
    return (
        Action("tick", "Tick the next task", _tick, *box),
        Action("untick", "Take the last tick away", lambda s, _: _untick(s), *box),
    )
