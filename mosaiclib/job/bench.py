"""What the bench is told: groups in their order, what pairs save, what is spoilt and kept, and how long it takes."""

__all__ = ["bench_rows", "cutting_minutes", "group_rows", "pictured", "tile_rows"]

from collections.abc import Iterator
from typing import NamedTuple

import pandas as pd
import shapely

from mosaiclib.job.cutting import ADVICE, Cutting, bench_order, offcuts
from mosaiclib.job.overview import duration
from mosaiclib.job.pairs import place_one, place_pair
from mosaiclib.job.work import Worked
from mosaiclib.job.worktime import Effort, cutting_effort
from mosaiclib.report import Row
from mosaiclib.units import mm, text

MOST_OFFCUTS = 8  # lines of the page; the file has all


def cutting_minutes(worked: Worked) -> Effort:
    """Return how long all cutting takes [min]."""
    cut, plan = worked.cutting, worked.plan
    return cutting_effort(cut.cuts, cut.chances, cut.times_set, plan.cut.hand, plan.days.rates)


def bench_rows(worked: Worked) -> list[Row]:
    """Tell the groups in the order of the bench, then tiles, time and offcuts."""
    return [*group_rows(worked.cutting), *tile_rows(worked), *_offcut_rows(worked.cutting)]


def group_rows(cut: Cutting) -> list[Row]:
    """Tell each group: its blank, what is set, how many of which colour, and what to do."""
    rows = []
    for number, lines in bench_order(cut).groupby("group"):
        first = next(lines.itertuples())
        colours = ", ".join(f"{line.pieces} {line.colour}".strip() for line in lines.itertuples())
        blank = mm(first.blank_long, first.blank_short, between=" x ")
        most, count = int(lines["cuts"].max()), int(lines["pieces"].sum())
        cuts = f"; {'up to ' * (most > 1)}{most} straight cut{'s' * (most > 1)} each" if most else ""
        words = text("blank ", blank, *_set(lines), f"; {ADVICE[first.way]}{cuts}: {colours}")
        rows.append(Row(f"{number}. {first.blank}, {first.way}", count, f"piece{'s' * (count > 1)}", words))
    return rows


def _set(lines: pd.DataFrame) -> Iterator[object]:
    """Yield what is set for a group, with its letters on the glass."""
    first = next(lines.itertuples())
    if first.way == "gauge":
        letters = ", ".join(sorted({one for each in lines["gauge"] for one in each.split(", ")}))
        yield from (f"; gauge {letters}: ", mm(first.wide), " wide, ", mm(first.narrow), " narrow, ", mm(first.height))
        yield f" high, sides {lines['cut_angle'].max():g} degrees off square at most"
    elif first.wide:
        yield from ("; cut to ", mm(first.wide, first.height, between=" x "))


def tile_rows(worked: Worked) -> list[Row]:
    """Tell the tiles before and after pairing, what is spoilt on the mean, and the work."""
    cut, sure = worked.cutting, worked.plan.spare.confidence
    alone, both = (cut.taken(paired) for paired in (False, True))
    work = cutting_minutes(worked)
    least, usual, most = (duration(minutes / 60) for minutes in work.band)
    counted = "the buying counts with it" if cut.part.paired else "the buying does not count with it"
    return [
        Row("Tiles, each piece from its own blank", int((alone["tiles"] + alone["spare"]).sum()), "tiles", _sure(alone, sure)),
        Row("Tiles, two from one where they fit", int((both["tiles"] + both["spare"]).sum()), "tiles",
            f"{len(cut.pairs)} pairs; {counted}; {_sure(both, sure)}"),
        Row("Time to cut", usual, "", f"{least} to {most}, {worked.plan.cut.hand}, with what is spoilt"),
    ]  # fmt: skip


def _sure(taken: pd.DataFrame, sure: float) -> str:
    used, spare, spoilt = taken[["tiles", "spare", "spoilt"]].sum()
    return f"{used:.0f} and {spare:.0f} to spare, enough of each colour {sure:.0%} sure; {spoilt:.1f} are spoilt on average"


def _offcut_rows(cut: Cutting) -> list[Row]:
    kept = offcuts(cut)
    lines = [
        Row(f"Offcut to keep: {line.colour}", line.count, "", text(mm(line.long, line.short, between=" x ")))
        for line in kept.head(MOST_OFFCUTS).itertuples(name="Offcut")
    ]
    rest = int(kept["count"].sum() - kept["count"].head(MOST_OFFCUTS).sum())
    return [
        *lines,
        *([Row("Smaller offcuts to keep", rest, "", "each is listed in the file offcuts.csv")] if rest else []),
    ]


class Pictured(NamedTuple):
    """One blank of the picture: its sides [mm], the pieces in it, and the words under it."""

    blank: tuple[float, float]
    pieces: tuple[shapely.Polygon, ...]
    words: tuple[str, str]


def pictured(cut: Cutting, pairs: int = 6) -> Iterator[Pictured]:
    """Yield one blank for each group, with the first of its pieces in it, then the first pairs; the last tells how many more."""
    at = {(one.glass, one.number): place for place, one in enumerate(cut.table.itertuples())}
    for number, lines in bench_order(cut).groupby("group"):
        first = next(lines.itertuples())
        named = first.numbers.split("; ")[0].rpartition(": ")
        place = at[named[0] or cut.pieces[0].name, int(named[2].split()[0])]
        size = cut.blanks[place]
        piece = shapely.box(0, 0, *size) if first.way == "as it is" else place_one(cut.shapes[place], size)
        way = f"gauge {first.gauge.rpartition(' ')[2]}" if first.way == "gauge" else first.way
        yield Pictured(tuple(size), (piece,), (f"{number}. {int(lines['pieces'].sum())} x", way))
    more = len(cut.pairs) - pairs
    for shown, (one, two) in enumerate(cut.pairs[:pairs], 1):
        laid = place_pair(
            cut.shapes[one], cut.shapes[two], cut.blanks[one], cut.part.loss, both_faces=cut.part.both_faces
        )
        names = cut.table.loc[[one, two], "number"].tolist()
        rest = f", {more} more" * (shown == pairs and more > 0)
        yield Pictured(tuple(cut.blanks[one]), laid[:2], ("two from one", f"{names[0]} and {names[1]}{rest}"))
