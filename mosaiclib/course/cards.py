"""Papers that lead a class: what to pack, a card for each session, the card of the steps in a kit, what to buy."""

__all__ = ["buying_sheet", "cutting_card", "packing_list", "session_cards", "steps_card"]

from collections.abc import Iterator, Sequence

from mosaiclib import reference
from mosaiclib.cautions import on_paper
from mosaiclib.course.course import Course, Prepared
from mosaiclib.course.groups import Group
from mosaiclib.course.kits import Portion, Table
from mosaiclib.course.labels import kit_lines, people
from mosaiclib.course.pictures import room_picture
from mosaiclib.course.sessions import Done, Session, usable_at
from mosaiclib.course.shopping import Line
from mosaiclib.course.steps import steps_in_class
from mosaiclib.drawing import Drawing
from mosaiclib.drawing.flow import Block, blank, flowed, headed, pictured, rules, said, tabled, words_width
from mosaiclib.job.bench import group_rows
from mosaiclib.job.days import OPEN
from mosaiclib.units import told

PACKING = (0.07, 0.15, 0.78)  # shares of the width: box, how many, what
BOUGHT = (0.24, 0.09, 0.09, 0.09, 0.1, 0.09, 0.09, 0.13, 0.08)
WORKED = (0.09, 0.26, 0.11, 0.11, 0.43)
ROOM = (120.0, 90.0)  # [mm]
CUTTING = (0.06, 0.09, 0.22, 0.63)
CARD = (0.09, 0.17, 0.26, 0.41, 0.07)
WELL = {  # common practice, no source
    "cut the pieces": "safety glasses on; a piece lies on its outline, within half a joint; shards go into the box",
    "clean and degrease": "water runs off in a film and leaves no drops; from then on held by its edges",
    "print and tape the guide": "the bar on the sheet is 100 mm long; the printed side lies against the glass",
    "lay out": "no two alike touch; joints are even by the spacer; each number has its piece",
    "glue": "the whole back is covered, nothing rises above half of the joint, no wet piece is turned",
    "mask": "what stays bare is covered to its edge",
    "fill": "joints are full and level; filler is wiped within its time, with little water",
}


def amount(number: float, unit: str) -> str:
    """Return an amount as lists write it: grams of a kilogram, tenths of a millilitre, else as it is counted.

    >>> amount(0.41221, "kg"), amount(155.8144, "mL"), amount(24.0, "pair")
    ('0.412', '155.8', '24')
    """
    return f"{round(number, {'kg': 3, 'mL': 1}.get(unit, 2)) + 0.0:.10g}"


# --- what to pack ------------------------------------------------------------------------------------------


def packing_list(course: Prepared) -> list[Drawing]:
    """Return the list to tick: kits, what the house holds ready, and what lies on each table."""
    width = words_width(course.klass.paper)
    widths = [share * width for share in PACKING]
    blocks: list[Block] = []
    for heading, rows in _packed(course):
        blocks += [headed(heading, width), *tabled(("", "how many", "what"), [(OPEN, *row) for row in rows], widths)]
    blocks.append(said("No adhesive and no powder goes into a kit: what is open cures, and dust gets about.", width))
    return flowed(
        blocks, course.klass.paper, title=f"{course.klass.name}: packing list", about="What to pack, to tick off.",
        cautions=[on_paper("sheet")],
    )  # fmt: skip


def _packed(course: Prepared) -> Iterator[tuple[str, list[tuple[str, str]]]]:
    """Yield each heading with its rows: how many, and what."""
    for kit in course.kits:
        count = len(kit.makers)
        heading = f"{count} kit{'s' * (count > 1)}, {kit.group.name}, for {people(kit.makers)}"
        yield heading, [(f"{count} x", one) for one in kit_lines(kit)]
    things = reference.groups("course")
    lines = {line.item: line for line in course.shopping}
    house = [(amount(line.spares, line.unit), f"spare {line.item}") for line in course.shopping if line.spares]
    room = [_thing(one) for one in things["room"]]
    adults = lines["safety glasses"].tables
    yield "The house", [*house, *room, (f"{adults:g} pair", "safety glasses for teacher and helpers")]
    for table in course.tables:
        yield f"Table {table.number}, {people(table.learners)}", _on_table(course, table, things["table"])


def _on_table(course: Prepared, table: Table, things: Sequence[reference.Record]) -> list[tuple[str, str]]:
    """Return the rows of a table: things, whole packs of adhesive, portions of filler."""
    rows = [(f"{len(table.learners)}", "kits")]
    rows += [_thing(one) for one in things]
    rows += [
        (f"{count} x {name}", f"{family}, opened at the table; {amount(table.adhesive[family], 'mL')} mL are used")
        for family, packs in table.packs.items()
        for name, count in packs.items()
    ]
    return rows + [row for one in course.portions if one.table == table.number for row in _portion(one)]


def _portion(portion: Portion) -> Iterator[tuple[str, str]]:
    for one in portion.recipe.ingredients:
        batches = f", in {portion.batches} batches" * (portion.batches > 1)
        yield f"{one.amount:.0f} {one.unit}", f"{one.name.lower()} for {portion.piece}{batches}; {one.words}"


def _thing(one: reference.Record) -> tuple[str, str]:
    """Return how many there are of a thing, and what it is."""
    unit = "" if one.unit in one.name else f" {one.unit}"
    return f"{one.number:g}{unit}", f"{one.name}: {one.condition}" if one.condition else one.name


# --- what to buy -------------------------------------------------------------------------------------------


def buying_sheet(course: Prepared) -> list[Drawing]:
    """Return the buying list of the class with its sums, the fee and the rule it comes from."""
    klass, fee = course.klass, course.fee
    width = words_width(klass.paper)
    heads = ("what", "in kits", "on tables", "spare", "left over", "in house", "bought", "packs", "cost")
    table = tabled(heads, [_bought(line) for line in course.shopping], [share * width for share in BOUGHT], 2.3)
    lacking = f" Without {', '.join(fee.lacking)}, whose price is not known." if fee.lacking else ""
    blocks = [
        said("Of each thing: in kits + on tables + spare + left over = in the house + bought.", width),
        *table,
        headed("What a place costs", width),
        said(f"{fee.each:.2f} {klass.currency} = {fee.rule}.{lacking}".replace("  ", " "), width),
        *(said(note, width, mark="–") for note in course.notes),
    ]
    return flowed(blocks, klass.paper, title=f"{klass.name}: what to buy", about="What to buy, and what a place costs.")


def _bought(line: Line) -> tuple[str, ...]:
    numbers = (line.kits, line.tables, line.spares, line.left, line.owned, line.bought)
    cost = "not priced" if line.cost is None else f"{line.cost:.2f}"
    return (f"{line.item} [{line.unit}]", *(amount(one, line.unit) for one in numbers), line.packs, cost)


# --- a card for each session -------------------------------------------------------------------------------


def session_cards(course: Course) -> list[Drawing]:
    """Return the room with what the teacher does before the class, and a card for each session."""
    paper = course.klass.paper
    width, cautions = words_width(paper), [on_paper("plan", "powder")]
    before = [
        headed("The room", width),
        pictured(room_picture(course), *ROOM),
        headed("Before the first session", width),
        *_between(course, 0, width),
        *(said(note, width, mark="–") for note in course.notes),
    ]
    sheets = flowed(before, paper, title=f"{course.klass.name}: before", cautions=cautions)
    for session in course.sessions:
        title = f"Session {session.number} of {len(course.sessions)}, {course.words(session.begin, clock=False)}"
        sheets += flowed(list(_session(course, session, width)), paper, title=title, about=title, cautions=cautions)
    return sheets


def _session(course: Course, session: Session, width: float) -> Iterator[Block]:
    yield said(_hours(course, session), width)
    for group in course.groups:
        mine = [one for one in session.work if one.piece == group.name]
        slow, quick = session.taken(group.name)
        yield headed(f"{group.name}, {people(group.makers)}", width)
        looks = _looks(course, group)
        rows = [(_clock(course, one.begin), _named(one), one.slow, one.quick, looks.get(one.step, "")) for one in mine]
        heads = ("from", "what is done", "min, slowest third", "min, quickest", "look for")
        if rows:
            yield from tabled(heads, [*rows, ("", "in all", slow, quick, "")], [share * width for share in WORKED])
        else:
            yield said("Nothing is left to do on this piece.", width)
        minutes, words = session.early(group.name)
        yield said(f"The quickest third is done {minutes} minutes early: {words}.", width)
    after = _between(course, session.number, width)
    if after:
        last = session.number == len(course.sessions)
        yield headed("After the class" if last else "After this session, before the next", width)
        yield from after
    yield headed("What I saw, and what to change", width)
    yield rules(width, 2)


def _hours(course: Course, session: Session) -> str:
    """Tell the session's hours: begin, work, clearing up, end."""
    talk = "safety talk, " if session.number == 1 else ""
    return (
        f"{_clock(course, session.begin)} {talk}setting up, the step is shown. {_clock(course, session.opens)} to "
        f"{_clock(course, session.closes)} work, {session.minutes} minutes. Then clearing up until {_clock(course, session.end)}."
    )


def _clock(course: Course, minutes: int) -> str:
    return course.words(minutes).rpartition(", ")[2]


def _step(name: str) -> str:
    return name.rpartition(": ")[2]


def _named(done: Done) -> str:
    return _step(done.step) + ("" if done.ends else ", goes on next time")


def _looks(course: Prepared, group: Group) -> dict[str, str]:
    """Return what to look for at each step: how it is done well, or when its wait is over."""
    return {
        step.name: "; ".join(filter(None, (step.looks, _well(step.name))))
        for step in steps_in_class(course.klass, group)
    }


def _well(step: str) -> str:
    """Return what a step looks like when it is done well, by common practice; empty where its wait tells."""
    return next((words for name, words in WELL.items() if _step(step).startswith(name)), "")


def _between(course: Course, after: int, width: float) -> list[Block]:
    """Return what the teacher does after a session, and by when; what stands after the last has its day in its words."""
    mine = [one for one in course.between if one.after == after]
    by = "" if after == len(course.sessions) else "By {}: "
    return [said(by.format(course.words(one.by)) + one.what, width, mark=OPEN) for one in mine]


def steps_card(course: Course, group: Group) -> list[Drawing]:
    """Return the card of the steps that lies in each kit of a group: what is done when, what to look for, when it may be used."""
    paper, looks = course.klass.paper, _looks(course, group)
    width = words_width(paper)
    rows = [
        (session.number, course.words(session.begin, clock=False), _named(one), looks.get(one.step, ""), OPEN)
        for session in course.sessions
        for one in session.work
        if one.piece == group.name
    ]
    widths = [share * width for share in CARD]
    use = course.words(usable_at(group, course.sessions))
    blocks = [
        blank("Name, and number in the class", width),
        *tabled(("session", "day", "what you do", "look for", "done"), rows, widths),
        said(
            f"No water on it and no use before {use}. The eye stands above the clock, the manufacturer's sheet above both.",
            width,
        ),
    ]
    return flowed(
        blocks,
        paper,
        title=f"{group.name}: card of the steps",
        about="The steps of a piece.",
        cautions=[on_paper("plan", "powder")],
    )


def cutting_card(course: Prepared, group: Group) -> list[Drawing]:
    """Return what a maker cuts, in the order of the bench, with a box to tick for each setting; none where all is cut ahead."""
    if not group.own_cutting.usual:
        return []
    paper, unit = course.klass.paper, group.plan.unit
    width = words_width(paper)
    rows = [
        (OPEN, row.value, told(row.label, unit), told(row.verdict, unit, both=False))
        for row in group_rows(group.worked.cutting)
    ]
    blocks = [
        *tabled(("", "pieces", "group", "how"), rows, [share * width for share in CUTTING]),
        said("Whoever spoils a piece takes another from the spares of the class.", width),
    ]
    title = f"{group.name}: cut in this order"
    return flowed(
        blocks, paper, title=title, about="The cuts of a piece.", cautions=[*group.worked.warnings, on_paper("gauge")]
    )
