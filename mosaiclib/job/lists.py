"""The lists that go to the bench and to the shop."""

__all__ = ["buying_list", "cheapest_packs", "cut_list", "spares"]

from collections.abc import Sequence

import numpy as np
import pandas as pd
from scipy.optimize import Bounds, LinearConstraint, milp

from mosaiclib import reference
from mosaiclib.errors import MosaicError, instance, number, several
from mosaiclib.job.plan import Plan
from mosaiclib.job.quantities import spares
from mosaiclib.job.work import Worked, work_out
from mosaiclib.layout import Layout


def cut_list(layout: Layout) -> pd.DataFrame:
    """Return one line a piece: `number` from 1 as on the sheets, then the layout's columns, lengths to 0.01 mm.

    Examples
    --------
    >>> import shapely
    >>> from mosaiclib.layout import lay_grid
    >>> cut_list(lay_grid(shapely.box(0, 0, 42, 20), 20, 2))["number"].tolist()
    [1, 2]
    """
    table = instance(layout, Layout, "layout").pieces.round(
        dict.fromkeys(("width", "height", "narrow", "cut_angle", "area"), 2)
    )
    return table.assign(number=np.arange(1, len(table) + 1))[["number", *table.columns]]


def cheapest_packs(amount: float, packs: Sequence[reference.Record]) -> dict[str, int]:
    """Return the number of each pack, so that whole packs hold an amount [the packs' unit] for the least cost.

    Packs of which none is needed are left out; an amount that is negative, or no packs at all, are refused.

    Examples
    --------
    >>> cheapest_packs(400, packs_of("adhesive"))
    {'adhesive, small tube': 1, 'adhesive, tube': 1}
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
    """Return what to buy for a plan in whole packs, and what it costs.

    Columns item, amount, unit, packs (in words) and cost [the plan's currency]; the last line adds the cost up. Prices
    of adhesive and filler are those of data/, invented until they are edited.
    """
    worked = plan if isinstance(plan, Worked) else work_out(plan)
    size = worked.plan.tile.pack
    lines = []
    for line in worked.colours.itertuples():
        packs = f"{line.packs} of {size}" if line.packs else "none"
        lines.append((f"tiles, {line.colour}", line.to_buy, "tiles", packs, line.cost))
    lines.append(_material("adhesive", worked.adhesive, "adhesive"))
    bought = [one for one in worked.filler.ingredients if one.packs]
    lines += [_material(one.name.lower(), one.amount * one.each, one.packs) for one in bought]
    total = round(sum(line[-1] for line in lines), 2)
    lines.append(("all together", len(lines), "items", "", total))
    return pd.DataFrame(lines, columns=["item", "amount", "unit", "packs", "cost"])


def _material(item: str, amount: float, group: str) -> tuple[str, float, str, str, float]:
    """Return the line of one material, in the unit that its packs are sold in."""
    packs = packs_of(group)
    unit = packs[0].unit
    chosen = cheapest_packs(amount, packs)
    price = {pack.name: pack.price or 0.0 for pack in packs}
    words = ", ".join(f"{count} x {name.removeprefix(f'{group}, ')}" for name, count in chosen.items())
    cost = sum(count * price[name] for name, count in chosen.items())
    return (item, round(amount, 2 if unit == "kg" else 0), unit, words or "none", round(cost, 2))
