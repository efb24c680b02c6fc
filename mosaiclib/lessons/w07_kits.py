"""Lesson 07, kits: what each maker of a piece gets, and the spares that the class shares."""

__all__ = ["CONTROLS", "LIVE", "TITLE", "Settings", "compute", "draw", "report", "start", "summary"]

from mosaiclib.course.kits import alone_of, spares_of
from mosaiclib.course.pictures import kit_picture
from mosaiclib.drawing import Drawing
from mosaiclib.job.overview import duration
from mosaiclib.lessons.w07_controls import KIT_CONTROLS as CONTROLS
from mosaiclib.lessons.w07_shared import Result, Settings, compute, start
from mosaiclib.report import Row
from mosaiclib.units import mm, text

TITLE, LIVE = "Kits", False


def draw(result: Result) -> Drawing:
    """Draw the blanks of one kit, colour by colour, in their sizes."""
    return kit_picture(result.ready.kit_of(result.shown.makers[0]))


def report(result: Result) -> list[Row]:
    """Tell what lies in one kit, the spares of the class beside those of learners alone, and what the teacher weighs."""
    ready, group = result.ready, result.shown
    kit, klass = ready.kit_of(group.makers[0]), ready.klass
    rows = [
        Row(
            f"In each kit: {one.colour}",
            one.pieces,
            one.blank,
            text(mm(one.long, one.short, between=" x "), _cutting(one)),
        )
        for one in kit.blanks.itertuples()
    ]
    rows.append(Row("In each kit besides", "", "", text(*_between("; ", kit.papers))))
    shared, alone = spares_of(ready.groups, klass.confidence), alone_of(ready.groups, klass.confidence)
    rows += [
        Row(
            "Spares that the class shares",
            sum(shared.values()),
            "tiles",
            f"each colour is enough in {100 * klass.confidence:g} of 100 such classes",
        ),
        Row("If each learner had their own", sum(alone.values()), "tiles", "each as sure of enough"),
    ]
    for one in ready.portions:
        told = f"{one.piece}; {one.recipe.water:.0f} g water; {one.batches} batch{'es' * (one.batches > 1)}"
        rows.append(Row(f"Weighed for table {one.table}", one.recipe.bought, "", told))
    house = sum(each.house_cutting.usual for each in ready.groups)
    return [*rows, Row("Cutting by the house", duration(house / 60), "", "a practised hand, before the class")]


def _cutting(one) -> str:
    """Tell what is done with a blank already, and what is left."""
    done = "; cut by the house" if one.cut else ""
    left = f"; {one.to_cut} to cut to their shape" if one.to_cut else "; laid as they are"
    return done + left


def _between(mark: str, parts: tuple) -> list:
    return [each for part in parts for each in (mark, part)][1:]


def summary(result: Result) -> str:
    """Tell how many tiles a kit holds, and how few spares the class needs."""
    ready, group = result.ready, result.shown
    klass = ready.klass
    shared, alone = (sum(of(ready.groups, klass.confidence).values()) for of in (spares_of, alone_of))
    tiles = sum(group.tiles.values())
    return f"{tiles} tiles in each kit of {group.name}; the class shares {shared} spares, where {klass.learners} alone would need {alone}."
