"""Labels with lines to cut along: one for each kit, one for the spares that the class shares."""

__all__ = ["INSIDE", "cut_out", "kit_labels", "kit_lines", "people"]

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

import shapely

from mosaiclib import reference
from mosaiclib.course.course import Prepared
from mosaiclib.course.kits import Kit
from mosaiclib.drawing import Drawing, Polygons, Subject, bound
from mosaiclib.drawing.flow import Block, blank, said, stacked
from mosaiclib.drawing.palette import SOFT
from mosaiclib.units import mm, told

WIDE, RIM = 95.0, 3.0  # [mm] two labels across any paper
LETTERS, HEAD = 2.6, 3.8  # [mm]
INSIDE = WIDE - 2 * RIM


def people(numbers: Sequence[int]) -> str:
    """Return learners by their numbers, a run of them as its ends.

    >>> people([7]), people(range(1, 10))
    ('learner 7', 'learners 1 to 9')
    """
    if len(numbers) == 1:
        return f"learner {numbers[0]}"
    run = numbers[-1] - numbers[0] == len(numbers) - 1
    return f"learners {numbers[0]} to {numbers[-1]}" if run else f"learners {', '.join(map(str, numbers))}"


def cut_out(
    heading: str, labels: Sequence[tuple[str, Block]], paper: str, cautions: Sequence[str] = ()
) -> list[Drawing]:
    """Return labels, each with its name, side by side in frames of one size to cut along, in their order."""
    high = max(block.deep for _, block in labels) + 2 * RIM
    drawn = tuple(_framed(name, block, high) for name, block in labels)
    subject = Subject(f"{heading}: cut along the dashed lines", drawn, up="", names=tuple(name for name, _ in labels))
    found = bound([subject], paper, title=heading, cautions=cautions, scaled=False)
    return [sheet for some in found for sheet in some]


def _framed(name: str, block: Block, high: float) -> Drawing:
    frame = Polygons([shapely.box(0.0, 0.0, WIDE, high)], None, SOFT, 0.2, dash=(2.0, 1.5), name="cut")
    items = (item.placed(False, RIM, high - RIM) for item in block.items)
    return Drawing(WIDE, high, name, "A label to cut out.", (frame, *items))


def kit_labels(course: Prepared) -> list[Drawing]:
    """Return a label for each learner's kit, by number, with room for a name, and one for the spares."""
    labels = [(f"{number}", _of_kit(course, kit, number)) for kit in course.kits for number in kit.makers]
    head = said("Spares that the class shares", INSIDE, size=HEAD)
    labels.append(("spares", stacked(head, *_small(_spares(course)))))
    return cut_out("Labels for kits", labels, course.klass.paper)


def _small(lines: Iterable[str]) -> Iterator[Block]:
    yield from (said(line, INSIDE, size=LETTERS, after=0.4) for line in lines)


def _of_kit(course: Prepared, kit: Kit, number: int) -> Block:
    table = next(one.number for one in course.tables if number in one.learners)
    first = f"Table {table}, {kit.group.name}"
    return stacked(blank(f"Kit of learner {number}, name", INSIDE, HEAD), *_small([first, *kit_lines(kit)]))


def kit_lines(kit: Kit) -> Iterator[str]:
    """Yield what is in a kit: glass, what of it is cut, papers and tools, in the unit of its plan."""
    unit = kit.group.plan.unit
    yield f"Glass of {sum(kit.tiles.values())} tiles: {_counted((count, one[0]) for one, count in kit.tiles.items())}"
    for (cut, kind, long, short), lines in kit.blanks.groupby(["cut", "blank", "long", "short"], sort=True):
        how = "whole" if kind == "whole" and not cut else f"{kind}, {'cut ahead' if cut else 'to be cut'}"
        size = told(mm(long, short, between=" x "), unit, both=False)
        yield f"{size}, {how}: {_counted(zip(lines['pieces'], lines['colour'], strict=True))}"
    yield "; ".join(told(one, unit, both=False) for one in kit.papers)
    yield _counted((f"{one.number:g} x", one.name) for one in reference.groups("course")["learner"])


def _spares(course: Prepared) -> Iterator[str]:
    for line in course.shopping:
        if line.spares:
            yield f"{line.spares:g} {line.item}"
    yield "Kept by the teacher. Whoever spoils a piece takes one from here."


def _counted(things: Iterable[tuple[Any, str]]) -> str:
    return ", ".join(f"{count} {name}" for count, name in things)
