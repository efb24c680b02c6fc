"""From plan to finished piece: every task with its work and its waits, on the days that there are."""

__all__ = [
    "LOOK",
    "Days",
    "Step",
    "bars_of",
    "calendar_bytes",
    "day_rows",
    "days_of",
    "end_words",
    "hardens",
    "steps_of",
]

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, tzinfo
from functools import cached_property

import numpy as np

from mosaiclib import reference
from mosaiclib.adhesive.choose import VERDICTS
from mosaiclib.adhesive.cure import Wait
from mosaiclib.drawing.gantt import Bar
from mosaiclib.errors import MosaicError
from mosaiclib.filler import wipe_minutes
from mosaiclib.job.bench import cutting_minutes
from mosaiclib.job.calendars import Entry, calendar_file
from mosaiclib.job.overview import duration, plan_waits
from mosaiclib.job.schedule import Placed, Schedule, Task, schedule, slack
from mosaiclib.job.sittings import day_of, instant, local, read_holidays, read_moment, read_zone, sittings
from mosaiclib.job.work import Worked, WorkedPiece
from mosaiclib.job.worktime import Effort, effort, placed_before_skin
from mosaiclib.report import Row

HOUR = 60  # [min]
COUNTED_FROM = date(2001, 1, 1)  # a Monday: weeks are counted from it where no first day is told
MOST_DAYS = 800  # within which a plan must come to its end
FILL, HAZE, USE = "fill and wipe", "polish off the haze", "first use"
LOOK = {  # what to look for when a wait is over: the eye stands above the clock
    "turn": "a tile pressed sideways with a finger does not move",
    "fill": "no tile moves or rocks, and no smell comes from the joints",
    "haze": "a corner rubs off as dust and leaves the joints as they are; the same day where you can: old haze is hard to rub off",
    "moist": "the joints are hard to the nail; kept under film, damp, until then",
    "wash": "no smell, and no tile sounds hollow when it is tapped",
}
NONE = Wait(0.0, 0.0, 0.0)
DONE, OPEN = "\u2611", "\u2610"  # a box with a tick, and one without


@dataclass(frozen=True)
class Step:
    """A task with the band of its work, the waits after those before it [h] by their name, and what each looks for."""

    name: str
    work: Effort
    after: Mapping[str, Wait] = field(default_factory=dict)
    looks: str = ""
    whole: bool = True

    def task(self, end: int) -> Task:
        """Return it with the least, usual or most of its work and waits, `end` 0, 1 or 2 [min]."""
        work = math.ceil(self.work.band[end] - 1e-9)
        longest = reference.value("worktime", "part of a task").number
        waits = {before: math.ceil(HOUR * wait.band[end] - 1e-9) for before, wait in self.after.items()}
        return Task(self.name, work, waits, 1 if self.whole else max(1, math.ceil(work / longest)))


def steps_of(worked: Worked) -> list[Step]:
    """Return all tasks of a plan, in the order in which they are told."""
    glue = worked.plan.adhesive
    if worked.judged[0] == VERDICTS[-1]:
        raise MosaicError(f"{glue.family} is ruled out for this piece, so no day can be told; choose another adhesive.")
    waits = plan_waits(worked)
    never = next((step for step in ("turn", "fill", "wash") if not math.isfinite(waits[step].usual)), None)
    if never:
        raise MosaicError(
            f"{glue.family} never comes to the step {never!r} in this room, so no day can be told: {waits[never].why}."
        )
    cuts = any(count.any() for count in worked.cutting.cuts.values())
    found = [Step("cut the pieces", cutting_minutes(worked), whole=False)] if cuts else []
    for piece in worked.pieces:
        found += _of_glass(worked, piece, waits, [one.name for one in found[:1]])
    return found


def _of_glass(worked: Worked, piece: WorkedPiece, waits: Mapping[str, Wait], cut: Sequence[str]) -> Iterator[Step]:
    """Yield the tasks of one piece of glass, with the waits of its adhesive [h]."""
    plan = worked.plan

    def takes(action: str, count: float = 1.0) -> Effort:
        return effort(action, plan.cut.hand, plan.days.rates).times(count)

    def called(what: str) -> str:
        return f"{piece.name}: {what}"

    faces, counts = np.unique(piece.layout.pieces["face"].to_numpy(dtype=str), return_counts=True)
    pieces = dict(zip(faces.tolist(), counts.tolist(), strict=True))
    faces = [face for face in piece.glass.faces if face.name in pieces]
    clean, tape = called("clean and degrease"), called("print and tape the guide")
    yield Step(clean, takes("clean", sum(face.outline.area for face in faces) / 10_000))
    yield Step(tape, takes("tape", len(faces)), {clean: NONE}, whole=False)
    before: dict[str, Wait] = {tape: NONE}
    for face in faces:
        of_face = f" {face.name}" if len(faces) > 1 else ""
        lay, glue = called(f"lay out{of_face}"), called(f"glue{of_face}")
        yield Step(lay, takes("lay", pieces[face.name]), dict.fromkeys(cut, NONE), whole=False)
        looks = LOOK["turn"] if any(wait.usual for wait in before.values()) else ""
        yield Step(glue, takes("glue", pieces[face.name]), before | {lay: NONE}, looks, whole=False)
        before = {glue: waits["turn"]} if piece.glass.has_inside else {glue: NONE}
    yield from _filled(worked, piece, waits, glue, takes, called)


def _filled(
    worked: Worked,
    piece: WorkedPiece,
    waits: Mapping[str, Wait],
    glue: str,
    takes: Callable[..., Effort],
    called: Callable[[str], str],
) -> Iterator[Step]:
    """Yield the tasks from the mask on; the filling is done in one go, its wiping with it."""
    faces, volume = piece.layout.pieces["face"].nunique(), piece.filler * (1 + worked.plan.filler.waste)
    mask, fill, haze = called("mask what stays bare"), called(FILL), called(HAZE)
    yield Step(mask, takes("mask", faces), {glue: waits["turn"]}, LOOK["turn"], whole=False)
    rate = reference.value("filler", "placing by one pair of hands")
    placing = Effort(*(volume / each for each in (rate.band[1], rate.number, rate.band[0])))
    wipe = wipe_minutes(worked.plan.adhesive.temperature)
    yield Step(fill, takes("mix") + placing + Effort(wipe, wipe, wipe), {glue: waits["fill"], mask: NONE}, LOOK["fill"])
    dry = reference.value("worktime", "wait before the haze")
    yield Step(
        haze, takes("haze", faces), {fill: Wait(dry.band[0], dry.number, dry.band[1])}, LOOK["haze"], whole=False
    )
    after = {fill: hardens(worked), glue: waits["wash"], haze: NONE}
    yield Step(called(USE), Effort(), after, f"{LOOK['moist']}; {LOOK['wash']}")


def hardens(worked: Worked) -> Wait:
    """Return how long the filler is left alone, kept moist where it is mixed with cement, before the piece is used [h]."""
    if worked.fillers[0].powder:
        low, high = reference.value("mechanics", "moist cure of polymer-modified mortar").band
        return Wait(24 * low, 12 * (low + high), 24 * high)
    days = reference.value("cure", "a two-part resin is cured through after")
    return Wait(24 * days.band[0], 24 * days.number, 24 * days.band[1])


@dataclass(frozen=True, eq=False)
class Days:
    """A plan on its days: steps, the schedule of usual works and waits, and its end with the least and the most of all."""

    worked: Worked
    steps: tuple[Step, ...]
    usual: Schedule
    hours: tuple[tuple[int, int], ...]
    ends: tuple[int | None, int | None]

    @property
    def zone(self) -> tzinfo:
        """Where the clocks are."""
        return read_zone(self.worked.plan.days.zone)

    @cached_property
    def slack(self) -> dict[str, int]:
        """How much later than planned each task could begin without moving the end, with hands enough [min]."""
        done = {name: self.usual.end_of(name) for name in self.done}
        return slack([step.task(1) for step in self.steps], self.hours, planned=self.usual, done=done)

    def at(self, minutes: int) -> datetime:
        """Return what the clock shows then."""
        return local(minutes, self.zone)

    def words(self, minutes: int, clock: bool = True) -> str:
        """Tell a time: a date, or a week's number and a weekday where no first day is told."""
        when = self.at(minutes)
        if self.worked.plan.days.start:
            day = f"{when:%a} {when.day} {when:%b %Y}"
        else:
            day = f"week {(when.date() - COUNTED_FROM).days // 7 + 1}, {when:%a}"
        return f"{day}, {when:%H:%M}" if clock else day

    @property
    def done(self) -> set[str]:
        """What is ticked."""
        return {one.task for one in self.worked.plan.days.done}

    def runs(self) -> list[Placed]:
        """Return the schedule with parts of a task that follow each other in one sitting put together."""
        found: list[Placed] = []
        for one in sorted(self.usual.placed, key=lambda each: (each.task, each.part)):
            last = found[-1] if found else None
            if last and last.task == one.task and last.end == one.begin and one.end > one.begin:
                found[-1] = Placed(last.task, last.part, last.begin, one.end)
            else:
                found.append(one)
        order = {step.name: at for at, step in enumerate(self.steps)}
        return sorted(found, key=lambda one: (one.begin, order[one.task]))


def days_of(worked: Worked) -> Days:
    """Put a plan on its days; what the hours cannot hold is refused with the reason."""
    part, steps = worked.plan.days, steps_of(worked)
    zone, first = read_zone(part.zone), day_of(part.start) if part.start else COUNTED_FROM
    weekly = [(one.day, one.begin, one.end) for one in part.sittings]
    hours = sittings(weekly, first, MOST_DAYS, read_holidays(part.holidays), zone)
    done = {one.task: instant(read_moment(one.at), zone) for one in part.done}
    # what is left is still to be done once the last of what is ticked is over
    begin = max(instant(datetime.combine(first, datetime.min.time()), zone), *done.values(), 0)

    def ends(end: int, search: bool) -> Schedule:
        tasks = [step.task(end) for step in steps]
        return schedule(tasks, hours, hands=part.hands, begin=begin, done=done, search=search)

    usual = ends(1, True)
    return Days(worked, tuple(steps), usual, tuple(hours), tuple(_end(ends, each) for each in (0, 2)))


def _end(ends: Callable[[int, bool], Schedule], each: int) -> int | None:
    """Return the end with the least or the most of all; None where the hours cannot hold that."""
    try:
        return ends(each, False).end
    except MosaicError:
        return None


def day_rows(days: Days) -> list[Row]:
    """Tell each task: when, how long, what it waits for and looks for, and how much later it could be."""
    rows = []
    for step in days.steps:
        begin, end = days.usual.begin_of(step.name), days.usual.end_of(step.name)
        begin = end if step.name in days.done else begin  # of what is ticked only the end is known
        when = days.words(begin) if end == begin or days.at(begin).date() == days.at(end).date() else (
            f"{days.words(begin)} to {days.words(end)}"
        )  # fmt: skip
        rows.append(Row(_ticked(step.name, days), when, "", "; ".join(_said(step, days))))
    return [*rows, *_advice(days)]


def _ticked(name: str, days: Days) -> str:
    return f"{DONE if name in days.done else OPEN} {name}"


def _said(step: Step, days: Days) -> Iterator[str]:
    if step.name in days.done:
        yield "done"
        return
    least, usual, most = (duration(minutes / HOUR) for minutes in step.work.band)
    if step.work.usual:
        yield f"work {usual}" + f" ({least} to {most})" * (least != most)
        yield "in one go" if step.whole else "can be stopped on the way"
    for before, wait in step.after.items():
        if wait.usual:
            band = f" ({duration(wait.least)} to {duration(wait.most)})" * (wait.least < wait.most)
            yield f"not before {duration(wait.usual)}{band} after {before}"
    if step.looks:
        yield f"look: {step.looks}"
    spare = days.slack[step.name]
    yield f"may wait up to {duration(spare / HOUR)}" if spare >= 2 else "whatever delays it delays the end"


def _advice(days: Days) -> Iterator[Row]:
    """Tell how much to squeeze out at a time, and how sure the end is."""
    plan = days.worked.plan
    each = effort("glue", plan.cut.hand, plan.days.rates)
    least, usual = placed_before_skin(each, plan.adhesive.temperature, plan.adhesive.humidity)
    words = "what can be placed before a skin forms on it; touch it: if it does not stick to the finger, take it off and lay new"
    yield Row("Squeeze out adhesive for", f"{least} to {usual}" if least < usual else usual, "pieces", words)
    apart = days.usual.end - days.usual.bound
    if apart >= HOUR:
        words = f"the search stopped: another order of the tasks might end up to {duration(apart / HOUR)} earlier"
        yield Row("Order of the tasks", "the best so far", "", words)


def end_words(days: Days) -> str:
    """Tell when the piece is done, with its band."""
    least, most = (
        days.words(end, clock=False) if end is not None else "later than the hours reach" for end in days.ends
    )
    return f"{days.words(days.usual.end, clock=False)}; at the earliest {least}, at the latest {most}"


# --- the calendar's file --------------------------------------------------------------------------------------


def calendar_bytes(days: Days) -> bytes:
    """Return the days as an iCalendar file: one event for each stretch of work, one for each wait that ends."""
    plan = days.worked.plan
    if not plan.days.start:
        raise MosaicError("Type the first day, then the calendar can be written.")
    by_name, entries = {step.name: step for step in days.steps}, []
    for at, one in enumerate(days.runs()):
        if one.end > one.begin and one.task not in days.done:
            said = "; ".join(_said(by_name[one.task], days))
            entries.append(Entry(f"work {at}", one.task, one.begin, one.end, said))
    for step, before, over in _waits(days):
        said = f"Not before now, after {before}. Look: {step.looks}. The eye stands above the clock."
        entries.append(
            Entry(f"wait {step.name} {before}", f"Wait over: {step.name}", over, over + 15, said, busy=False)
        )
    return calendar_file(plan.name, entries, day_of(plan.days.start), plan.days.zone)


def _waits(days: Days) -> list[tuple[Step, str, int]]:
    """Return each wait that is told: the step after it, the task before it, and when it is over [min]."""
    ahead = (step for step in days.steps if step.name not in days.done)
    return [
        (step, before, days.usual.end_of(before) + math.ceil(HOUR * wait.usual))
        for step in ahead
        for before, wait in step.after.items()
        if wait.usual
    ]


# --- the picture of the days -----------------------------------------------------------------------------------

MOST_TICKS = 9


def bars_of(days: Days) -> tuple[list[Bar], dict[float, str]]:
    """Return a row for each step and where the days are marked, in days from midnight of the first."""
    first = min(one.begin for one in days.usual.placed)
    midnight = first - (days.at(first).hour * HOUR + days.at(first).minute)

    def at(minutes: float) -> float:
        return (minutes - midnight) / (24 * HOUR)

    runs = days.runs()
    bars = [
        Bar(
            step.name,
            [(at(one.begin), at(one.end)) for one in runs if one.task == step.name],
            [(at(end), at(end + HOUR * wait.usual), at(end + HOUR * wait.most)) for end, wait in _pauses(days, step)],
            step.name in days.done,
        )
        for step in days.steps
    ]
    last = math.ceil(max(span[-1] for bar in bars for span in (*bar.work, *bar.waits)))
    each = max(1, math.ceil(last / MOST_TICKS))
    ticks = {float(day): _day_words(days, midnight + day * 24 * HOUR) for day in range(0, last + 1, each)}
    return bars, ticks


def _pauses(days: Days, step: Step) -> list[tuple[int, Wait]]:
    return [(days.usual.end_of(before), wait) for before, wait in step.after.items() if wait.usual]


def _day_words(days: Days, minutes: int) -> str:
    when = days.at(minutes)
    return f"{when.day} {when:%b}" if days.worked.plan.days.start else f"day {(when.date() - COUNTED_FROM).days + 1}"
