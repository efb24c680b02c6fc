"""The class as a calendar file: its sessions, and what the teacher does between them."""

__all__ = ["calendar_bytes", "work_lines"]

from collections.abc import Iterator

from mosaiclib.course.course import Course
from mosaiclib.course.sessions import Session
from mosaiclib.job.calendars import Entry, calendar_file
from mosaiclib.job.sittings import day_of


def calendar_bytes(course: Course) -> bytes:
    """Return the iCalendar file of a class: an event for each session, and a quarter of an hour at each deadline between."""
    part = course.klass.sessions
    entries = [
        Entry(f"session {one.number}", f"session {one.number}", one.begin, one.end, "\n".join(work_lines(course, one)))
        for one in course.sessions
    ]
    for at, one in enumerate(course.between):
        entries.append(
            Entry(f"between {at}", one.what.partition(":")[0][:60], one.by - 15, one.by, one.what, busy=False)
        )
    return calendar_file(course.klass.name, entries, day_of(part.start), part.zone)


def work_lines(course: Course, session: Session) -> Iterator[str]:
    """Yield a line for each piece: its steps in a session, and what they take the slowest third."""
    for group in course.groups:
        steps = [one.step.rpartition(": ")[2] for one in session.work if one.piece == group.name]
        slow, _ = session.taken(group.name)
        if steps:
            yield f"{group.name}: {', '.join(steps)} ({slow} of {session.minutes} minutes for the slowest third)"
        else:
            yield f"{group.name}: nothing left to do; questions, and a hand for others"
