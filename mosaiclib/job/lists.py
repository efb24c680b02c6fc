"""The lists that go to the bench and to the shop."""

__all__ = ["buying_list", "cheapest_packs", "cut_list", "gauge_list", "minded", "spares"]

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import pandas as pd
from scipy.optimize import Bounds, LinearConstraint, milp

from mosaiclib import reference
from mosaiclib.errors import MosaicError, instance, number, several
from mosaiclib.filler import bought
from mosaiclib.job.plan import Plan, TilePart
from mosaiclib.job.quantities import spares
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


def cheapest_packs(amount: float, packs: Sequence[reference.Record]) -> dict[str, int]:
    """Return the number of each pack, so that whole packs hold an amount [the packs' unit] for the least cost.

    Packs of which none is needed are left out; an amount that is negative, or no packs at all, are refused.

    Examples
    --------
    >>> cheapest_packs(400, packs_of("tube of adhesive"))
    {'small tube': 1, 'cartridge': 1}
    """
    need = number(amount, "amount", least=0, greatest=1e9)
    packs = [instance(pack, reference.Record, "pack") for pack in several(packs, "packs")]
    if not packs:
        raise MosaicError("No pack of this material is known; add one to the table of packs.")
    if not need:
        return {}
    size = np.array([number(pack.number, f"size of {pack.name}", above=0) for pack in packs])
    price = np.array([number(pack.price or 0.0, f"price of {pack.name}", least=0) for pack in packs])
    enough = LinearConstraint(size[None, :], lb=need - 1e-9)
    counts = _least(price, size, need, [enough])
    # of equal prices the smaller heap is taken
    counts = _least(size, size, need, [enough, LinearConstraint(price[None, :], ub=price @ counts + 1e-7)])
    return {pack.name: int(count) for pack, count in zip(packs, counts, strict=True) if count}


def _least(cost: np.ndarray, size: np.ndarray, need: float, conditions: list[LinearConstraint]) -> np.ndarray:
    """Return the whole numbers of packs that cost least under the conditions."""
    found = milp(
        cost,
        constraints=conditions,
        integrality=np.ones(len(size)),
        bounds=Bounds(0, np.ceil(need / size)),
        options={"mip_rel_gap": 0.0},
    )
    if found.x is None:
        raise MosaicError(f"No packs were found for an amount of {need:g}; check the sizes of the packs.")
    return np.round(found.x).astype(int)


def packs_of(group: str) -> list[reference.Record]:
    """Return the packs that one material is sold in, from data/."""
    instance(group, str, "material")
    return [record for record in reference.table("packs") if record.group == group]


def buying_list(plan: Plan | Worked) -> pd.DataFrame:
    """Return what to buy for a plan in whole packs, what it costs, and what must be said of it.

    Columns item, amount, unit, packs (in words), cost [the plan's currency] and note. What has no price, or an invented one,
    is "not priced": it has no cost, and the last line, which adds the cost up, says how many such things there are.
    """
    worked = plan if isinstance(plan, Worked) else work_out(plan)
    lines = [_tiles(line, worked.plan.tile) for line in worked.colours.itertuples()]
    lines.append(_adhesive(worked))
    lines += [
        _material(one.name.lower(), one.amount * one.each, one.packs, worked.fillers[0].warning * (place == 0))
        for place, one in enumerate(bought(worked.fillers))
    ]
    lines += [_consumable(reference.value("consumables", name)) for name in dict.fromkeys(worked.plan.consumables)]
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


def _adhesive(worked: Worked) -> Line:
    """Return the line of the adhesive, by the pack that a shop sells its family in."""
    name = worked.plan.adhesive.family
    sold = reference.by_name("shop").get(name)
    if sold is None:
        note = "; ".join(filter(None, (worked.glue_warning, NOT_PRICED)))
        return name, round(worked.adhesive), "mL", "as its maker packs it", math.nan, note
    return _material(name, worked.adhesive * sold.number, sold.group, worked.glue_warning)


def _material(item: str, amount: float, group: str, warning: str = "") -> Line:
    """Return the line of one material, in the unit that its packs are sold in; invented prices only choose the packs."""
    packs = packs_of(group)
    unit = packs[0].unit
    chosen = cheapest_packs(amount, packs)
    known = {pack.name: pack.price for pack in packs if pack.price and pack.evidence != "invented"}
    words = ", ".join(f"{count} x {name}" for name, count in chosen.items())
    priced = all(name in known for name in chosen)
    cost = round(sum(count * known[name] for name, count in chosen.items()), 2) if priced else math.nan
    note = "; ".join(filter(None, (warning, "" if priced else NOT_PRICED)))
    return item, round(amount, 3 if unit == "kg" else 0), unit, words or "none", cost, note


def _consumable(record: reference.Record) -> Line:
    """Return the line of something that beginners forget."""
    words = f"{NOT_PRICED}; {record.condition}"
    return record.name, record.number, record.unit, f"{record.number:g} x {record.unit}", math.nan, words
