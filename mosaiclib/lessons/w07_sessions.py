"""Lesson 07, the sessions: what is done in which, what waits between, and what the teacher does meanwhile."""

__all__ = ["CONTROLS", "LIVE", "TITLE", "Settings", "compute", "draw", "report", "start", "summary"]

from collections.abc import Iterator

from mosaiclib.course.pictures import room_picture, sessions_picture
from mosaiclib.course.sessions import Session
from mosaiclib.drawing import Drawing
from mosaiclib.job.days import HOUR
from mosaiclib.lessons.w07_controls import SESSION_CONTROLS as CONTROLS
from mosaiclib.lessons.w07_shared import Result, Settings, compute, refused, start
from mosaiclib.report import Row

TITLE, LIVE = "The sessions", False


def draw(result: Result) -> Drawing:
    """Draw the steps of one piece over the sessions; the class alone where they cannot hold it."""
    if result.course is None:
        return room_picture(result.ready)
    return sessions_picture(result.course, result.shown)


def report(result: Result) -> list[Row]:
    """Tell each session, and what the teacher does between; or why the sessions cannot hold the class."""
    if result.course is None:
        return [Row("No sessions", "", "", f"{result.amiss}")]
    rows = _between(result, 0)
    for session in result.course.sessions:
        rows += [*_rows(result, session), *_between(result, session.number)]
    return rows


def _between(result: Result, after: int) -> list[Row]:
    """Tell what the teacher does after a session, and by when."""
    course, last = result.course, len(result.course.sessions)
    words = (
        "Teacher, before"
        if not after
        else "Teacher, afterwards"
        if after == last
        else f"Teacher, after session {after}"
    )
    mine = [one for one in course.between if one.after == after]
    return [Row(words, "" if after == last else f"by {course.words(one.by)}", "", one.what) for one in mine]


def _rows(result: Result, session: Session) -> Iterator[Row]:
    """Yield a line for each piece in a session."""
    course = result.course
    yield Row(f"Session {session.number}", course.words(session.begin), "", f"{session.minutes} minutes for work")
    for group in course.groups:
        slow, _ = session.taken(group.name)
        steps = ", ".join(_step(one) for one in session.work if one.piece == group.name) or "nothing left to do"
        free, then = session.early(group.name)
        yield Row(
            f"{session.number}: {group.name}",
            f"{slow} of {session.minutes}",
            "min",
            f"{steps}. The quickest third has {free} min left: {then}",
        )


def _step(one) -> str:
    name = one.step.rpartition(": ")[2]
    return name if one.ends else f"{name} (goes on)"


def summary(result: Result) -> str:
    """Tell from when to when it goes, and how much time the slowest third has left in the fullest session."""
    if result.course is None:
        return refused(result).strip()
    course, name = result.course, result.shown.name
    spare = min(one.minutes - one.taken(name)[0] for one in course.sessions)
    first, last = (course.words(at, clock=False) for at in (course.sessions[0].begin, course.sessions[-1].begin))
    hours = sum(one.end - one.begin for one in course.sessions) / HOUR
    count = len(course.sessions)
    return f"{count} sessions, {hours:g} hours, {first} to {last}; the slowest third has at least {spare} min to spare."
