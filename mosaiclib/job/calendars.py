"""Calendar files (iCalendar): stretches of time with what is done in them, on the clocks of a zone."""

__all__ = ["Entry", "calendar_file"]

import hashlib
from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import NamedTuple

import icalendar

from mosaiclib.job.sittings import local, read_zone


class Entry(NamedTuple):
    """A stretch of time [min since 1970]: its key among all of its work, what it is called and says, and whether it takes the time."""

    key: str
    summary: str
    begin: int
    end: int
    said: str
    busy: bool = True


def calendar_file(name: str, entries: Sequence[Entry], made: date, zone: str = "") -> bytes:
    """Return the calendar file of a work by its name; without a zone the clock on the wall counts. The same work, the same file."""
    found = icalendar.Calendar()
    found.add("prodid", "-//mosaic workbooks//plan//EN")
    found.add("version", "2.0")
    for entry in entries:
        found.add_component(_event(name, entry, made, zone))
    if zone and entries:
        ends = [local(at, read_zone(zone)).date() for one in entries for at in (one.begin, one.end)]
        found.add_missing_timezones(min(ends), max(ends) + timedelta(days=1))
    return found.to_ical()


def _event(name: str, entry: Entry, made: date, zone: str) -> icalendar.Event:
    event = icalendar.Event()
    mark = hashlib.sha256(f"{name}\n{entry.key}".encode()).hexdigest()[:24]
    event.add("uid", f"{mark}@mosaic")
    event.add("dtstamp", datetime.combine(made, datetime.min.time(), read_zone("")))
    for part, minutes in (("dtstart", entry.begin), ("dtend", entry.end)):
        event.add(part, local(minutes, read_zone(zone)).replace(tzinfo=read_zone(zone) if zone else None))
    event.add("summary", f"{name}: {entry.summary}")
    event.add("description", entry.said)
    event.add("transp", "OPAQUE" if entry.busy else "TRANSPARENT")
    return event
