"""What is done in which session, fitted to its hours and to the waits between; where that cannot be, why, and the nearest that can."""

__all__ = ["Between", "Done", "Session", "between_of", "hours_of", "sessions_of", "usable_at"]

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta, tzinfo

from mosaiclib import reference
from mosaiclib.course.class_file import AHEAD, Class
from mosaiclib.course.groups import Group, children_in
from mosaiclib.course.hands import quick, slow
from mosaiclib.course.steps import CUT, HOME, steps_in_class, tasks_of
from mosaiclib.errors import MosaicError
from mosaiclib.job.days import FILL, HAZE, HOUR, Step, hardens
from mosaiclib.job.overview import plan_waits
from mosaiclib.job.schedule import Schedule, schedule
from mosaiclib.job.sittings import day_of, instant, local, read_holidays, read_zone, sittings

MOST_DAYS = 800  # within which a class must meet
NOTHING_NEAR = " No near plan works: warm the room, or choose another adhesive or a smaller piece."
# how far the nearest plan is looked for: sessions, minutes, helpers; a piece under 0.3 of this one is another
MORE_SESSIONS, LONGER, LONGEST, MORE_HELPERS, FEWEST = 12, 15, 180, 8, 0.3
EARLY = (  # what those who are done first do, by the step that they are waiting at
    (CUT, "sort offcuts by colour, cut spare wedges by the same gauge, read a neighbour's gauge with them"),
    (": lay out", "look for two alike that touch and exchange them; take a picture of the dry lay"),
    (
        ": glue",
        "look at the tiles from both sides for voids, wipe what was squeezed out; nothing that is wet is turned",
    ),
    (f": {FILL}", "wipe once more with a damp sponge, clean bowls in the rinse bucket, never in the sink"),
    ("", "answer the questions of the workbook with their own number, and help at the next table without taking over"),
)


@dataclass(frozen=True)
class Done:
    """Work of one piece in a session: the step, from when to when the slowest third is at it [min since 1970], what it takes
    them and the quickest [min], and whether it ends here."""

    piece: str
    step: str
    begin: int
    end: int
    slow: int
    quick: int
    ends: bool


@dataclass(frozen=True)
class Session:
    """A session: its number from 1, begin and end, when work opens and closes in it [min since 1970], and what is done by whom."""

    number: int
    begin: int
    end: int
    opens: int
    closes: int
    work: tuple[Done, ...]

    @property
    def minutes(self) -> int:
        """Time for work [min]."""
        return self.closes - self.opens

    def taken(self, piece: str) -> tuple[int, int]:
        """Return what the work of one piece takes the slowest third and the quickest [min]."""
        mine = [one for one in self.work if one.piece == piece]
        return sum(one.slow for one in mine), sum(one.quick for one in mine)

    def early(self, piece: str) -> tuple[int, str]:
        """Return how long the quickest third is done before the end with one piece [min], and what they do then."""
        mine = [one for one in self.work if one.piece == piece]
        free, going = self.minutes - self.taken(piece)[1], next((one for one in mine if not one.ends), None)
        if going:  # nobody waits for the slower ones in the middle of a step
            return free, f"go on with '{going.step.rpartition(': ')[2]}'"
        last = mine[-1].step if mine else HOME
        return free, next(words for name, words in EARLY if name in last)


@dataclass(frozen=True)
class Between:
    """What the teacher does between two sessions, after that of a number (0: before the first), by when [min since 1970], and why."""

    after: int
    by: int
    what: str


# --- the hours ---------------------------------------------------------------------------------------------


def hours_of(klass: Class, longer: int = 0, more: int = 0) -> list[tuple[int, int]]:
    """Return begin and end of each session [min since 1970], each `longer` by minutes, with `more` of them at the end."""
    part = klass.sessions
    weekly = [(one.day, one.begin, one.end) for one in part.sittings]
    start, zone = day_of(part.start), read_zone(part.zone)
    found = sittings(weekly, start, MOST_DAYS, read_holidays(part.holidays), zone)
    if len(found) < part.count + more:
        raise MosaicError(
            f"There are only {len(found)} sittings in {MOST_DAYS} days; name more of them, or fewer sessions."
        )
    lost = {day_of(words) for words in part.cancelled}
    kept = [one for one in found[: part.count + more] if local(one[0], zone).date() not in lost]
    if not kept:
        raise MosaicError("Every session is cancelled; take a day out of that list.")
    return [(begin, end + longer) for begin, end in kept]


def _windows(hours: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """Return when work opens and closes in each session: talk, setting up and showing come before, clearing up after [min]."""
    before = _minutes("setting up") + _minutes("showing the step")
    found = [(begin + before, end - _minutes("clearing up")) for begin, end in hours]
    found[0] = (found[0][0] + _minutes("safety talk"), found[0][1])
    short = next((at for at, (opens, closes) in enumerate(found) if closes <= opens), None)
    if short is not None:
        begin, end = hours[short]
        raise MosaicError(
            f"Session {short + 1} has {end - begin} minutes: talk, setting up, showing and clearing up leave none for work. "
            "Make it longer."
        )
    return found


def _minutes(name: str) -> int:
    return int(reference.value("course", name).number)


# --- what is done when -------------------------------------------------------------------------------------


def sessions_of(klass: Class, groups: Sequence[Group]) -> tuple[Session, ...]:
    """Return all sessions with their work; what the hours cannot hold is refused with the reason and the nearest plan that works."""
    hours = hours_of(klass)
    windows = _windows(hours)
    steps = {group.name: steps_in_class(klass, group) for group in groups}
    planned = {group.name: _planned(klass, group, steps[group.name], windows) for group in groups}
    work: list[list[Done]] = [[] for _ in windows]
    for name, plan in planned.items():
        for at, done in _dealt(name, steps[name], plan, windows):
            work[at].append(done)
    return tuple(
        Session(at + 1, *hours[at], *windows[at], tuple(sorted(work[at], key=lambda one: one.begin)))
        for at in range(len(windows))
    )


def _planned(klass: Class, group: Group, steps: Sequence[Step], windows: Sequence[tuple[int, int]]) -> Schedule:
    """Return the steps of one piece in the hours there are, or refuse them."""
    try:
        return _placed(steps, windows)
    except MosaicError as wrong:
        why = _reason(steps, windows) or str(wrong)
        ways = list(_ways(klass, group))
        nearest = (
            f" Any one of these works: {'; '.join(ways)}."
            if ways
            else " No near plan works: warm the room, or choose another adhesive or a smaller piece."
        )
        raise MosaicError(f"{group.name}: {why}{nearest}") from None


def _placed(steps: Sequence[Step], windows: Sequence[tuple[int, int]], share: float = 1.0) -> Schedule:
    return schedule(tasks_of(steps, share), windows, begin=windows[0][0], search=False)


def _reason(steps: Sequence[Step], windows: Sequence[tuple[int, int]]) -> str:
    """Say which step has no place, and what would happen if it were done all the same."""
    longest = max(closes - opens for opens, closes in windows)
    for step in steps:
        if step.whole and slow(step.work) > longest:
            what = "the filler would be left unwiped" if step.name.endswith(FILL) else "it would be left half done"
            return f"{_bare(step)} takes {slow(step.work):.0f} minutes in one go and a session has {longest} for work, so {what}."
    last = next((step for at, step in enumerate(steps) if not _fits(steps[: at + 1], windows)), None)
    if last is None:
        return ""
    spoils = (
        (": glue", "the hours end before the gluing does, or a side would be turned while its adhesive is wet"),
        (
            f": {FILL}",
            "the adhesive is not ready by then; filled earlier, tiles would move and the bed stay soft",
        ),
        (f": {HAZE}", "the piece would be filled in the last session, and its haze left on"),
        (f": {HOME}", "the piece could not be carried home yet: adhesive or filler would be too fresh"),
    )
    why = next((said for name, said in spoils if name in last.name), "the slowest third would not come to its end")
    return f"'{_bare(last)}' finds no place in {len(windows)} session{'s' * (len(windows) > 1)}: {why}."


def _bare(step: Step) -> str:
    return step.name.rpartition(": ")[2]


def _fits(steps: Sequence[Step], windows: Sequence[tuple[int, int]], share: float = 1.0) -> bool:
    try:
        _placed(steps, windows, share)
    except MosaicError:
        return False
    return True


def _ways(klass: Class, group: Group) -> Iterator[str]:
    """Yield the nearest plans that work, each changing one thing."""
    steps, now = steps_in_class(klass, group), klass.sessions.count - len(klass.sessions.cancelled)

    def works(longer: int = 0, more: int = 0) -> bool:
        try:
            return _fits(steps, _windows(hours_of(klass, longer, more)))
        except MosaicError:  # no room even for the talk
            return False

    more = next((n for n in range(1, MORE_SESSIONS + 1) if works(more=n)), 0)
    if more:
        yield f"{now + more} sessions as long as these"
    longer = next((n for n in range(LONGER, LONGEST + 1, LONGER) if works(longer=n)), 0)
    if longer:
        yield f"each session {longer} minutes longer"
    later = AHEAD[AHEAD.index(group.ahead) + 1 :]
    ahead = next((one for one in later if _works_ahead(klass, group, one)), "")
    if ahead:
        yield f"{ahead} cut ahead by the house"
    helped = (n for n in range(1, MORE_HELPERS + 1) if _works_helped(klass, group, klass.helpers + n))
    helpers = next(helped, 0) if children_in(klass) else 0
    if helpers:
        count = klass.helpers + helpers
        who = "1 helper, who glues and fills" if count == 1 else f"{count} helpers, who glue and fill"
        yield f"{who} with the teacher"
    pieces = _most_pieces(klass, group, steps)
    if pieces:
        yield f"a piece of about {pieces} tiles instead of {group.worked.count}"


def _works_ahead(klass: Class, group: Group, ahead: str) -> bool:
    other = Group(group.makers, group.worked, ahead)
    try:
        return _fits(steps_in_class(klass, other), _windows(hours_of(klass)))
    except MosaicError:
        return False


def _works_helped(klass: Class, group: Group, helpers: int) -> bool:
    return _fits(steps_in_class(klass.model_copy(update={"helpers": helpers}), group), _windows(hours_of(klass)))


def _most_pieces(klass: Class, group: Group, steps: Sequence[Step]) -> int:
    """Return about how many pieces of tile the hours hold, 0 where a much smaller piece does not help."""
    try:
        windows = _windows(hours_of(klass))
    except MosaicError:
        return 0
    shares = (at / 20 for at in range(19, int(20 * FEWEST) - 1, -1))
    return next((math.floor(share * group.worked.count) for share in shares if _fits(steps, windows, share)), 0)


def _dealt(
    name: str, steps: Sequence[Step], plan: Schedule, windows: Sequence[tuple[int, int]]
) -> Iterator[tuple[int, Done]]:
    """Yield for each session what is done in it of each step, in the order of the steps."""
    for step in steps:
        parts = [one for one in plan.placed if one.task == step.name and one.end > one.begin]
        whole, end = sum(one.end - one.begin for one in parts), plan.end_of(step.name)
        for at, (opens, closes) in enumerate(windows):
            mine = [one for one in parts if opens <= one.begin < closes]
            minutes = sum(one.end - one.begin for one in mine)
            if minutes:
                fast = math.floor(minutes / whole * quick(step.work))
                yield at, Done(name, step.name, mine[0].begin, mine[-1].end, minutes, fast, mine[-1].end == end)


# --- between the sessions ------------------------------------------------------------------------------------


def usable_at(group: Group, sessions: Sequence[Session]) -> int:
    """Return when the piece of a group may first be used, at the latest [min since 1970]."""
    glue, fill = (_closing(sessions, group.name, name) for name in (": glue", f": {FILL}"))
    wet, hard = plan_waits(group.worked)["wash"].most, hardens(group.worked).most
    return max(glue + math.ceil(HOUR * wet), fill + math.ceil(HOUR * hard))


def _last_with(sessions: Sequence[Session], piece: str, name: str) -> Session:
    return [one for one in sessions if any(done.piece == piece and name in done.step for done in one.work)][-1]


def _closing(sessions: Sequence[Session], piece: str, name: str) -> int:
    return _last_with(sessions, piece, name).closes


def between_of(klass: Class, groups: Sequence[Group], sessions: Sequence[Session]) -> tuple[Between, ...]:
    """Return what the teacher does before, between and after the sessions, in the order of the days."""
    found = [*_before(klass, groups, sessions)]
    for group in groups:
        found += _around(klass, group, sessions)
    return tuple(sorted(dict.fromkeys(found), key=lambda one: (one.by, one.after)))


def _before(klass: Class, groups: Sequence[Group], sessions: Sequence[Session]) -> Iterator[Between]:
    """Yield what is done before the first session."""
    zone, first = read_zone(klass.sessions.zone), sessions[0].begin
    days = int(reference.value("mechanics", "days until plain filler has let go").number)
    ahead = instant(local(first, zone) - timedelta(days=days), zone)
    yield Between(0, ahead, f"Fill the slides of workbook 04: they need about {days} days until the plain one lets go.")
    yield Between(
        0,
        first,
        "Ask about allergies and asthma on the blank paper form; keep the answers on paper only, and bring them.",
    )
    work = sum(group.house_cutting.usual for group in groups)
    if work:
        what = " and ".join(dict.fromkeys(group.ahead for group in groups))
        yield Between(
            0, first, f"Cut {what} ahead: about {work / HOUR:.1f} hours for a practised hand, with safety glasses."
        )
    kits = klass.learners * reference.value("course", "packing a kit").number
    yield Between(
        0, first, f"Pack {klass.learners} kits: about {kits / HOUR:.1f} hours. No adhesive, no powder goes into them."
    )
    if children_in(klass):
        yield Between(0, first, "Adults cut all pieces, glue and fill; children lay out, choose, mask and polish.")


def _around(klass: Class, group: Group, sessions: Sequence[Session]) -> Iterator[Between]:
    """Yield what is done between the sessions for the pieces of a group."""
    zone = read_zone(klass.sessions.zone)
    glue, fill = (_last_with(sessions, group.name, name) for name in (": glue", f": {FILL}"))
    wait = plan_waits(group.worked)["fill"].most
    yield Between(
        glue.number, fill.begin,
        f"{group.name}: leave the pieces flat and aired, and press a tile of each sideways before filling; none may move. "
        f"The longest wait of {group.plan.adhesive.family} counts: {wait:.0f} hours.",
    )  # fmt: skip
    recipe = group.worked.fillers[0]
    if recipe.powder:
        yield Between(
            fill.number - 1, fill.begin,
            f"{group.name}: weigh the powder for each table with a dust mask on, window open, and close each bag; its label "
            "says what is in it, its hazards and the date.",
        )  # fmt: skip
    hard = hardens(group.worked)
    until = fill.end + math.ceil(HOUR * hard.most)
    kept = "keep the filled pieces damp under film" if recipe.powder else "leave the filled pieces alone"
    yield Between(fill.number, until, f"{group.name}: {kept} until {_words(until, zone)}.")
    use = usable_at(group, sessions)
    yield Between(
        len(sessions),
        use,
        f"{group.name}: no water and no use before {_day(use + 24 * HOUR, zone)}; it stands on the card.",
    )


def _words(minutes: int, zone: tzinfo) -> str:
    return f"{_day(minutes, zone)}, {local(minutes, zone):%H:%M}"


def _day(minutes: int, zone: tzinfo) -> str:
    when = local(minutes, zone)
    return f"{when:%a} {when.day} {when:%b %Y}"
