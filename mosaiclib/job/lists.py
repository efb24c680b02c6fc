"""The lists that go to the bench and to the shop."""

__all__ = ["Need", "buying_list", "cut_list", "gauge_list", "minded", "needs"]

import math
from collections.abc import Iterator
from typing import Any, NamedTuple

import numpy as np
import pandas as pd

from mosaiclib import reference
from mosaiclib.filler import bought
from mosaiclib.job.packs import Packs, chosen_packs, packs_of, sold_as, unit_of
from mosaiclib.job.plan import Plan, TilePart
from mosaiclib.job.work import Worked, work_out
from mosaiclib.layout import Layout
from mosaiclib.layout.cutting import gauge_classes, measured


def cut_list(layout: Layout, step: float | None = None) -> pd.DataFrame:
    """Return one line a piece: `number` from 1 as on the sheets, then the layout's columns, lengths to 0.01 mm.

    Then what the hand needs, measured on the piece as it is at last: its wide end, with narrow end and cut angle where it has
    four corners, the blank's sides and its least width [mm], how many straight cuts it takes out of its blank, and for wedges
    the gauge, in steps [mm], those of the table if left out.

    Examples
    --------
    >>> import shapely
    >>> from mosaiclib.layout import lay_grid
    >>> cut_list(lay_grid(shapely.box(0, 0, 42, 20), 20, 2))["number"].tolist()
    [1, 2]
    """
    found = measured(layout)
    gauge = np.full(len(layout), "", dtype=object)
    for one in _gauges(layout, step).itertuples():
        gauge[list(one.members)] = one.gauge
    same = [name for name in found if name in layout.pieces]
    table = layout.pieces.assign(**found[same])
    more = dict(found.drop(columns=same)) | {"gauge": gauge}
    return table.assign(number=np.arange(1, len(table) + 1), **more)[["number", *table.columns, *more]]


def gauge_list(layout: Layout, step: float | None = None) -> pd.DataFrame:
    """Return one line a gauge, so that it is set once: what it is set to [mm], how many pieces, and their numbers.

    Wedges alike within half a step [mm], the table's if left out, are cut by one gauge.
    """
    found = _gauges(layout, step)
    numbers = [" ".join(str(member + 1) for member in members) for members in found["members"]]
    return found.drop(columns="members").assign(numbers=numbers)


def _gauges(layout: Layout, step: float | None) -> pd.DataFrame:
    usual = reference.value("allowances", "gauge step").number
    return gauge_classes(layout, usual if step is None else step)


def minded(table: pd.DataFrame, *said: str) -> pd.DataFrame:
    """Return a list with a last column `mind`, in whose first line stands what must not be overlooked at the bench."""
    return table.assign(mind=([" ".join(said)] + [""] * len(table))[: len(table)])


def buying_list(plan: Plan | Worked) -> pd.DataFrame:
    """Return what to buy for a plan in whole packs, what it costs, and what must be said of it.

    Columns item, amount, unit, packs (in words), cost [the plan's currency] and note. What has no price, or an invented one,
    is "not priced": it has no cost, and the last line, which adds the cost up, says how many such things there are.
    """
    worked = plan if isinstance(plan, Worked) else work_out(plan)
    lines = [_tiles(line, worked.plan.tile) for line in worked.colours.itertuples()]
    lines += [_material(need, worked.plan.packs) for need in needs(worked)]
    priced = [line[4] for line in lines if not math.isnan(line[4])]
    total = round(sum(priced), 2)
    lacking = len(lines) - len(priced)
    note = f"without {lacking} things that are not priced" if lacking else ""
    lines.append(("all that is priced" if lacking else "all together", math.nan, "", "", total, note))
    return pd.DataFrame(lines, columns=["item", "amount", "unit", "packs", "cost", "note"])


NOT_PRICED = "not priced"
Line = tuple[str, float, str, str, float, str]


def _tiles(line: Any, tile: TilePart) -> Line:
    """Return the line of one colour; a price of nothing is no price."""
    packs = f"{line.packs} of {tile.pack}" if line.packs else "none"
    unpriced = line.packs and not line.cost
    cost, note = (math.nan, NOT_PRICED) if unpriced else (line.cost, "")
    return f"tiles, {line.colour}", line.to_buy, "tiles", packs, cost, note


class Need(NamedTuple):
    """What a plan takes of a material [the unit that its packs are sold in], and what must be said of it."""

    item: str
    amount: float
    material: str
    warning: str = ""
    words: str = ""


def needs(worked: Worked) -> Iterator[Need]:
    """Yield what a plan takes besides tiles: adhesive, all parts of the filler, and what beginners forget."""
    family = worked.plan.adhesive.family
    material, each = sold_as(family)
    yield Need(family, worked.adhesive * each, material, worked.glue_warning)
    for place, one in enumerate(bought(worked.fillers)):
        yield Need(one.name.lower(), one.amount * one.each, one.packs, worked.fillers[0].warning * (place == 0))
    for one in map(reference.by_name("consumables").get, dict.fromkeys(worked.plan.consumables)):
        yield Need(one.name, one.number, one.name, words=one.condition)


def _material(need: Need, own: Packs) -> Line:
    """Return the line of one material, in the unit that its packs are sold in."""
    unit, (counts, cost) = unit_of(need.material), chosen_packs(need.amount, need.material, own)
    packs = ", ".join(f"{count} x {name}" for name, count in counts.items())
    packs = packs or ("none" if packs_of(need.material, own) else "as its maker packs it")
    note = "; ".join(filter(None, (need.warning, NOT_PRICED if cost is None else "", need.words)))
    amount = round(need.amount, 3 if unit == "kg" else 0)
    return need.item, amount, unit, packs, math.nan if cost is None else cost, note
