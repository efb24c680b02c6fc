"""Labels with lines to cut along: one for each kit, one for the spares that the class shares."""

__all__ = ["kit_labels", "kit_lines"]

from collections.abc import Iterator, Sequence

import shapely

from mosaiclib import reference
from mosaiclib.course.course import Prepared
from mosaiclib.course.kits import Kit
from mosaiclib.drawing import Drawing, Polygons, Subject, bound
from mosaiclib.drawing.flow import Block, said, stacked
from mosaiclib.drawing.palette import SOFT
from mosaiclib.units import mm, text, told

WIDE, RIM, LETTERS = 95.0, 3.0, 2.7  # [mm] two labels across any paper
CUT = "Cut along the dashed lines. Names are written by hand; no list of them is kept here."


def kit_labels(course: Prepared) -> list[Drawing]:
    """Return a label for each learner's kit, by number, with room for a name, and one for the spares."""
    told_ = [
        (f"Kit of learner {number}", _of_kit(course, kit, number)) for kit in course.kits for number in kit.makers
    ]
    told_.append(("Spares that the class shares", _of_spares(course)))
    blocks = [stacked(*(said(line, WIDE - 2 * RIM, size=LETTERS, after=0.8) for line in lines)) for _, lines in told_]
    heads = [said(title, WIDE - 2 * RIM, size=4.6, voice="heading", after=1.0) for title, _ in told_]
    high = max(head.deep + block.deep for head, block in zip(heads, blocks, strict=True)) + 2 * RIM
    drawn = tuple(
        _label(title, stacked(head, block), high)
        for (title, _), head, block in zip(told_, heads, blocks, strict=True)
    )
    subject = Subject("Labels for kits", drawn, up="", notes=(CUT,), names=tuple(one.title for one in drawn))
    found = bound([subject], course.klass.paper, title=subject.heading, scaled=False, mapped=False)
    return [sheet for some in found for sheet in some]


def _label(title: str, block: Block, high: float) -> Drawing:
    """Draw a label, all of one height [mm], in a frame to cut along."""
    frame = Polygons([shapely.box(0.0, 0.0, WIDE, high)], None, SOFT, 0.2, dash=(2.0, 1.5), name="cut")
    items = (item.placed(False, RIM, high - RIM) for item in block.items)
    return Drawing(WIDE, high, title, "A label to cut out.", (frame, *items))


def _of_kit(course: Prepared, kit: Kit, number: int) -> Iterator[str]:
    table = next(one.number for one in course.tables if number in one.learners)
    yield f"Table {table}, {kit.group.name}"
    yield "Name: ____________________"
    yield from kit_lines(kit)


def kit_lines(kit: Kit) -> Iterator[str]:
    """Yield what is in a kit: glass, what of it is cut, papers and tools, in the unit of its plan."""
    unit = kit.group.plan.unit
    yield f"Glass of {sum(kit.tiles.values())} tiles: {_counted((one[0], count) for one, count in kit.tiles.items())}"
    for (cut, blank, long, short), lines in kit.blanks.groupby(["cut", "blank", "long", "short"], sort=True):
        how = "ready cut to" if cut else "whole," if blank == "whole" else "to be cut to"
        size = told(mm(long, short, between=" x "), unit, both=False)
        yield f"{blank}: {how} {size}: {_counted(zip(lines['colour'], lines['pieces'], strict=True))}"
    yield "; ".join(told(one, unit, both=False) for one in kit.papers)
    things = reference.groups("course")["learner"]
    yield _counted((one.name, f"{one.number:g} x") for one in things)


def _of_spares(course: Prepared) -> Iterator[str]:
    for line in course.shopping:
        if line.spares:
            yield f"{line.spares:g} {line.item}"
    yield "Kept by the teacher. Whoever spoils a piece takes one from here."


def _counted(things) -> str:
    return ", ".join(f"{count} {name}" for name, count in things)
