"""The hours there are: sittings by weekday, holidays, and clocks that change in the night. Times are minutes since 1970, UTC."""

__all__ = [
    "WEEKDAYS",
    "checked_sitting",
    "day_of",
    "instant",
    "local",
    "read_holidays",
    "read_moment",
    "read_zone",
    "sittings",
]

from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from zoneinfo import ZoneInfo

from mosaiclib.errors import MosaicError, brief, choice, whole_number

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
LONGEST = 3660  # days: ten years of holidays


def day_of(words: object) -> date:
    """Read a day.

    >>> day_of("2027-03-06")
    datetime.date(2027, 3, 6)
    """
    try:
        return date.fromisoformat(str(words).strip())
    except ValueError:
        raise MosaicError(f"{brief(words)} is not a day; write year, month and day, for example 2027-03-06.") from None


def _clock(words: object) -> time:
    try:
        found = time.fromisoformat(str(words).strip().zfill(5))
    except ValueError:
        raise MosaicError(f"{brief(words)} is not a time of day; write for example 18:30.") from None
    return found.replace(second=0, microsecond=0, tzinfo=None)


def read_moment(words: object) -> datetime:
    """Read a day and a time of day, as a clock on the wall shows them; midday where no time is told.

    >>> read_moment("2027-03-06 11:45"), read_moment("2027-03-06").hour
    (datetime.datetime(2027, 3, 6, 11, 45), 12)
    """
    day, _, clock = str(words).strip().replace("T", " ").partition(" ")
    return datetime.combine(day_of(day), _clock(clock) if clock.strip() else time(12))


def read_zone(name: str) -> tzinfo:
    """Return the zone of clocks by its name, as in "Europe/Paris"; without a name clocks never change."""
    if not name:
        return UTC
    try:
        return ZoneInfo(name)
    except (KeyError, OSError, ValueError):
        raise MosaicError(
            f"There is no zone of clocks called {brief(name)}; write for example Europe/Paris, or nothing."
        ) from None


def read_holidays(lines: Iterable[str]) -> set[date]:
    """Read days off, one by one or "first to last".

    >>> len(read_holidays(["2026-12-24 to 2027-01-06", "2027-03-26"]))
    15
    """
    found: set[date] = set()
    for line in lines:
        first, _, last = (part.strip() for part in str(line).partition(" to "))
        begin, end = day_of(first), day_of(last or first)
        if not 0 <= (end - begin).days < LONGEST:
            raise MosaicError(f"The holiday {brief(line)} must end after it begins, within ten years.")
        found |= {begin + timedelta(days=more) for more in range((end - begin).days + 1)}
    return found


def instant(wall: datetime, zone: tzinfo) -> int:
    """Return when a clock on the wall shows a time [min since 1970].

    >>> instant(datetime(1970, 1, 2, 0, 30), UTC)
    1470
    """
    return int(wall.replace(tzinfo=zone).timestamp() // 60)


def local(minutes: int, zone: tzinfo) -> datetime:
    """Return what a clock on the wall shows then, without its zone.

    >>> local(1470, UTC)
    datetime.datetime(1970, 1, 2, 0, 30)
    """
    return datetime.fromtimestamp(minutes * 60, zone).replace(tzinfo=None)


def sittings(
    weekly: Sequence[tuple[str, str, str]], start: date, days: int, holidays: Iterable[date] = (), zone: tzinfo = UTC
) -> list[tuple[int, int]]:
    """Return begin and end of every sitting from a day on, for so many days [min since 1970].

    `weekly`: weekday, begin and end of each, as on the clock; a sitting in a night in which clocks change is as long as it
    really is. What overlaps is one sitting.

    Examples
    --------
    >>> found = sittings([("Tuesday", "18:30", "20:30")], date(2027, 3, 1), 14)
    >>> [local(begin, UTC).isoformat(" ") for begin, _ in found]
    ['2027-03-02 18:30:00', '2027-03-09 18:30:00']
    """
    off = set(holidays)
    read = [checked_sitting(*one) for one in weekly]
    whole_number(days, "number of days", least=1, greatest=LONGEST)
    every = sorted(_spans(read, start, days, off, zone))
    if not read:
        raise MosaicError(
            "There are no hours to work in: name at least one sitting, such as Saturday from 9:00 to 12:00."
        )
    if not every:
        raise MosaicError("The holidays leave no sitting at all; take some of them out, or name other hours.")
    found = every[:1]
    for begin, end in every[1:]:
        if begin <= found[-1][1]:
            found[-1] = found[-1][0], max(end, found[-1][1])
        else:
            found.append((begin, end))
    return found


def checked_sitting(day: str, begin: str, end: str) -> tuple[int, time, time]:
    """Return the number of the weekday, Monday 0, and begin and end of a sitting on it."""
    weekday = WEEKDAYS.index(choice(day, "weekday", WEEKDAYS))
    first, last = _clock(begin), _clock(end)
    if first >= last:
        raise MosaicError(
            f"The sitting on {day} must end after it begins; one that goes past midnight is two sittings."
        )
    return weekday, first, last


def _spans(
    weekly: Sequence[tuple[int, time, time]], start: date, days: int, off: set[date], zone: tzinfo
) -> Iterator[tuple[int, int]]:
    for day in (start + timedelta(days=more) for more in range(days)):
        for weekday, first, last in weekly if day not in off else ():
            span = tuple(instant(datetime.combine(day, clock), zone) for clock in (first, last))
            if day.weekday() == weekday and span[0] < span[1]:
                yield span
