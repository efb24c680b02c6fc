"""Pictures of a class: the tables from above, one kit blank by blank, the steps over the sessions, tiles of each colour."""

__all__ = ["kit_picture", "room_picture", "sessions_picture", "tiles_picture"]

import math
from collections.abc import Sequence

import numpy as np
import shapely

from mosaiclib.course.course import Course, Prepared
from mosaiclib.course.groups import Group
from mosaiclib.course.kits import Kit
from mosaiclib.course.steps import steps_in_class
from mosaiclib.drawing import Drawing, Plot, Polygons, Text, round_steps
from mosaiclib.drawing.canvas import Marks
from mosaiclib.drawing.gantt import Bar, gantt
from mosaiclib.drawing.palette import EDGE, FILLER, GLASS_COLOURS, PAPER, SOFT, WHITE
from mosaiclib.job.colours import looks_of
from mosaiclib.job.days import HOUR
from mosaiclib.job.sittings import local, read_zone

SEAT, GAP, LETTERS = 14.0, 5.0, 4.0  # [mm] of the picture of the room
TONES = tuple(GLASS_COLOURS[name] for name in ("sea green", "amber", "sky blue", "rose", "violet", "leaf green"))
OPEN_SHARE = 0.72  # how much of a session's column is the session; the rest stands for the days until the next


# --- the room ------------------------------------------------------------------------------------------------


def room_picture(ready: Prepared) -> Drawing:
    """Draw the tables from above, a numbered square for each learner, its tone and mark those of the piece that they make."""
    seats = max(len(table.learners) for table in ready.tables)
    wide, high = math.ceil(seats / 2) * (SEAT + GAP) + GAP, 4 * SEAT
    across = min(len(ready.tables), 3 if wide < 4 * SEAT else 2)
    down = math.ceil(len(ready.tables) / across)
    step = np.array([wide + 2 * GAP, high + 2 * GAP])
    key = 2 * LETTERS * len(ready.groups) + 2 * GAP
    items = list(_key(ready.groups))
    for place, table in enumerate(ready.tables):
        row, column = divmod(place, across)
        low = np.array([GAP, key]) + step * [column, down - 1 - row]
        items += _table(ready, table.learners, f"table {table.number}", low, wide)
    words = f"{len(ready.tables)} tables with {ready.klass.learners} learners, each in the tone and with the mark of their piece."
    return Drawing(across * step[0] + GAP, key + down * step[1], "The class at its tables", words, tuple(items), PAPER)


def _key(groups: Sequence[Group]) -> list:
    """Draw which tone and mark stand for which piece."""
    items = []
    for place, group in enumerate(groups):
        y = GAP + 2 * LETTERS * (len(groups) - 1 - place)
        items += _square(TONES[place], np.array([GAP, y]), 1.5 * LETTERS)
        items.append(
            Text(GAP + 2.2 * LETTERS, y + 0.75 * LETTERS, f"{group.name} ({len(group.makers)})", LETTERS, middle=True)
        )
    return items


def _square(look, low: np.ndarray, size: float) -> list:
    """Draw a square in a look, with its mark."""
    shape = Polygons([shapely.box(*low, *(low + size))], look.fill, EDGE, 0.2)
    return [shape, Marks((low + 0.75 * size)[None], np.array([size * 0.15]), [look.mark], look.ink)]


def _table(ready: Prepared, learners: Sequence[int], name: str, low: np.ndarray, wide: float) -> list:
    """Draw one table with its learners on two sides."""
    top = low + np.array([0, SEAT + GAP / 2])
    board = Polygons([shapely.box(*top, top[0] + wide, top[1] + 2 * SEAT - GAP)], FILLER, EDGE, 0.3)
    items = [board, Text(top[0] + wide / 2, top[1] + SEAT - GAP / 2, name, LETTERS, "middle", middle=True)]
    first = math.ceil(len(learners) / 2)
    for place, learner in enumerate(learners):
        side, along = (1, place) if place < first else (0, place - first)
        at = low + np.array([GAP + along * (SEAT + GAP), side * (3 * SEAT)])
        look = TONES[ready.groups.index(ready.group_of(learner))]
        items += _square(look, at, SEAT)
        items.append(Text(*(at + 0.4 * SEAT), f"{learner}", LETTERS, "middle", colour=look.ink, middle=True))
    return items


# --- one kit -------------------------------------------------------------------------------------------------


def kit_picture(kit: Kit) -> Drawing:
    """Draw the blanks of one kit in their sizes, a row for each colour and blank; a corner cut off marks what is still to cut."""
    plan, side = kit.group.plan, kit.group.plan.tile.side
    shown, gap, letters = looks_of(plan), 0.25 * side, 0.42 * side
    left, height = 15 * letters, 0.0
    items, widest = [], left
    for line in reversed(list(kit.blanks.itertuples())):
        look, deep = shown[line.colour], max(line.short, 1.6 * letters)
        for place in range(line.pieces):
            x = left + place * (line.long + gap)
            shape = _blank(x, height + gap, line.long, line.short, place < line.to_cut)
            items.append(Polygons([shape], look.fill, EDGE, 0.25))
        items.append(
            Text(
                left - gap,
                height + gap + line.short / 2,
                f"{line.pieces} {line.colour}, {line.blank}",
                letters,
                "end",
                middle=True,
            )
        )
        widest, height = max(widest, left + line.pieces * (line.long + gap)), height + deep + gap
    words = f"{kit.blanks['pieces'].sum()} blanks; a corner is cut off where one is still to be cut to its shape."
    return Drawing(widest + gap, height + 2 * gap, f"A kit for {plan.name}", words, tuple(items), PAPER)


def _blank(x: float, y: float, long: float, short: float, to_cut: bool) -> shapely.Polygon:
    """Return a blank with its lower left corner at x, y, without its upper right corner where it is still to cut [mm]."""
    off = 0.3 * short if to_cut else 0.0
    right, top = x + long, y + short
    return shapely.Polygon([(x, y), (right, y), (right, top - off), (right - off, top), (x, top)])


# --- the sessions --------------------------------------------------------------------------------------------


def sessions_picture(course: Course, group: Group) -> Drawing:
    """Draw the steps of one piece: a column for each session, a narrow one for the days between, waits pale across it."""
    zone = read_zone(course.klass.sessions.zone)
    knots = [
        (at, x)
        for number, one in enumerate(course.sessions)
        for at, x in ((one.begin, number), (one.end, number + OPEN_SHARE))
    ]
    times, places = map(np.array, zip(*knots, strict=True))

    def at(minutes: float) -> float:
        return float(np.interp(minutes, times, places, right=len(course.sessions)))

    done = [one for session in course.sessions for one in session.work if one.piece == group.name]
    ends = {one.step: one.end for one in done}
    bars = []
    for step in steps_in_class(course.klass, group):
        mine = [(at(one.begin), at(one.end)) for one in done if one.step == step.name]
        waits = [
            (at(ends[before]), at(ends[before] + HOUR * wait.usual), at(ends[before] + HOUR * wait.most))
            for before, wait in step.after.items()
            if wait.usual and before in ends
        ]
        bars.append(Bar(step.name.rpartition(": ")[2], mine, waits))
    ticks = {}
    for number, one in enumerate(course.sessions):
        when = local(one.begin, zone)
        ticks |= {number: f"{when.day} {when:%b}", number + OPEN_SHARE: ""}
    words = "A row for each step: dark where the slowest third works, pale while it waits, with a thin line as far as it may reach."
    key = "dark: the slowest third at work; pale: a wait; thin line: the wait at its longest"
    return gantt(bars, ticks, title=f"{group.name} over the sessions", description=words, key=key)


# --- tiles ---------------------------------------------------------------------------------------------------


def tiles_picture(ready: Prepared) -> Drawing:
    """Draw for each colour the tiles in kits, then the spares hatched white, then what is left over of what was bought."""
    lines = [line for line in ready.shopping if line.unit == "tiles"]
    most = max(line.needed + line.left for line in lines)
    steps = round_steps(0, most)
    plot = Plot(
        (0, steps[-1]), (len(lines), 0), ("tiles: in kits, then spare (white), then left over (grey)", ""), (steps, {})
    )
    shown = {name: one for group in ready.groups for name, one in looks_of(group.plan).items()}
    for line in lines:
        name = line.item.removeprefix("tiles, ").partition(", ")[0]
        row = plot.bar(line.item.removeprefix("tiles, "), 0, line.kits, shown[name].fill)
        plot.span(row, line.kits, line.needed, EDGE)
        plot.span(row, line.kits + 0.002 * most, line.needed - 0.002 * most, WHITE, thick=0.42)
        plot.span(row, line.needed, line.needed + line.left, SOFT, thick=0.2)
    return plot.drawing(
        "Tiles of the class",
        "For each colour a bar of the tiles in kits, the spares of the class, and what is left over.",
    )
