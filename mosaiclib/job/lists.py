"""The lists that go to the bench and to the shop."""

__all__ = ["buying_list", "cheapest_packs", "colour_counts", "cut_list", "spares"]

import math
from collections.abc import Sequence

import numpy as np
import pandas as pd
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.stats import nbinom

from mosaiclib import reference
from mosaiclib.errors import MosaicError, instance, number, several, whole_number
from mosaiclib.job.plan import Colour, Plan
from mosaiclib.job.work import Worked, tile_parts, work_out
from mosaiclib.layout import Layout


def cut_list(layout: Layout) -> pd.DataFrame:
    """Return one line a piece, numbered as on the sheets.

    Parameters
    ----------
    layout : Layout
        The pieces.

    Returns
    -------
    DataFrame
        Column `number` from 1, then the layout's own; lengths rounded to 0.01 mm.

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


def spares(need: int, break_chance: float, confidence: float = 0.95) -> int:
    """Return how many pieces to have beyond the need, because some break and spares break too.

    The breakages before the last good piece follow the negative binomial law with `need` successes;
    the least number is returned that they stay within at the given confidence.

    Parameters
    ----------
    need : int
        Good pieces needed.
    break_chance : float
        Chance that any one piece is spoilt, 0 to 0.9.
    confidence : float
        How sure to be of having enough, 0.5 to 0.9999.

    Returns
    -------
    int
        Extra pieces.

    Raises
    ------
    MosaicError
        If a number is out of range.

    Examples
    --------
    >>> spares(100, 0.03, 0.95), spares(0, 0.03), spares(100, 0)
    (6, 0, 0)
    """
    wanted = whole_number(need, "number of pieces")
    chance = number(break_chance, "chance of breaking", least=0, greatest=0.9)
    sure = number(confidence, "confidence", least=0.5, greatest=0.9999)
    return int(nbinom.ppf(sure, wanted, 1 - chance)) if wanted and 1 - chance < 1 else 0


def cheapest_packs(amount: float, packs: Sequence[reference.Record]) -> dict[str, int]:
    """Return the cheapest whole packs that hold an amount.

    Parameters
    ----------
    amount : float
        What is needed [the packs' unit].
    packs : sequence of Record
        Packs with their size and price.

    Returns
    -------
    dict
        Number of each pack; packs of which none is needed are left out.

    Raises
    ------
    MosaicError
        If the amount is negative or no pack is known.

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


def colour_counts(worked: Worked) -> pd.DataFrame:
    """Count tiles by colour: placed, to spare, in hand and to buy.

    Parameters
    ----------
    worked : Worked
        A plan worked out.

    Returns
    -------
    DataFrame
        One line a colour with the columns colour, placed (pieces), tiles (that they take), spare, in_hand,
        to_buy, short (spares that are lacking because no more can be bought), packs, cost.
    """
    plan = instance(worked, Worked, "plan").plan
    colour = pd.concat([piece.layout.pieces["colour"] for piece in worked.pieces])
    placed = colour.value_counts()
    share = pd.Series(np.concatenate([tile_parts(piece.layout) for piece in worked.pieces]), colour.to_numpy())
    tiles = share.groupby(level=0).sum()
    return pd.DataFrame(
        [
            _colour_line(plan, one, int(placed.get(one.name, 0)), float(tiles.get(one.name, 0.0)))
            for one in plan.tile.colours
        ],
        columns=["colour", "placed", "tiles", "spare", "in_hand", "to_buy", "short", "packs", "cost"],
    )


def _colour_line(plan: Plan, colour: Colour, placed: int, share: float) -> tuple:
    """Return the line of one colour: its pieces, the tiles they take, spares and what to buy."""
    used = math.ceil(share - 1e-9)
    spare = spares(used, plan.spare.break_chance, plan.spare.confidence)
    buy = max(0, used + spare - colour.in_hand) if colour.more else 0
    packs = math.ceil(buy / plan.tile.pack)
    cost = round(packs * plan.tile.pack * colour.price, 2)
    short = max(0, used + spare - colour.in_hand - buy)
    return colour.name, placed, used, spare, colour.in_hand, buy, short, packs, cost


def buying_list(plan: Plan | Worked) -> pd.DataFrame:
    """Return what to buy for a plan in whole packs, and what it costs.

    Parameters
    ----------
    plan : Plan or Worked
        The plan, or the plan worked out already.

    Returns
    -------
    DataFrame
        Columns item, amount, unit, packs (in words) and cost [the plan's currency]; the last line adds
        the cost up. Prices of adhesive and filler are those of data/, invented until they are edited.

    Raises
    ------
    MosaicError
        If the plan cannot be worked out.
    """
    worked = plan if isinstance(plan, Worked) else work_out(plan)
    size = worked.plan.tile.pack
    lines = []
    for line in colour_counts(worked).itertuples():
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
