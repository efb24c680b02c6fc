"""The packs that glue, filler and the rest are bought in, and how many of each cost least."""

__all__ = ["PackPart", "Packs", "bought_of", "cheapest_packs", "packs_of"]

import math
from collections.abc import Collection, Sequence
from typing import Annotated, Any

import numpy as np
import scipy
from pydantic import Field, field_validator

from mosaiclib import reference
from mosaiclib.adhesive import families
from mosaiclib.errors import MosaicError, brief, instance, number, several
from mosaiclib.filler import kind_of
from mosaiclib.job.saved import Name, Part


class PackPart(Part):
    """A pack as the maker's shop sells it: of which material, how much of it it holds [the material's unit], its price.

    Left out, the price is not known.
    """

    material: Name
    name: Name
    holds: Annotated[float, Field(gt=0, le=1_000_000)]
    price: Annotated[float, Field(gt=0, le=1_000_000)] | None = None

    @field_validator("material")
    @classmethod
    def _known(cls, material: str) -> str:
        known = (*reference.groups("packs"), *reference.by_name("consumables"), *families())
        if material not in known:
            raise ValueError(f"there is no material called {brief(material)}; choose one of: {', '.join(known)}")
        return material


Packs = Sequence[PackPart]


def bought_of(family: str, kind: str, consumables: Collection[str]) -> dict[str, str]:
    """Return what an adhesive, a kind of filler and these consumables are bought as, each material with its unit.

    >>> bought_of("neutral-cure silicone", "cement grout with latex", ["gloves"])
    {'tube of adhesive': 'mL', 'plain grout': 'kg', 'latex additive': 'mL', 'gloves': 'pair'}
    """
    filler = kind_of(kind)
    materials = [sold_as(family)[0], filler.sold_as, *["latex additive"] * filler.poured, *consumables]
    return {material: unit_of(material) for material in materials}


def sold_as(family: str) -> tuple[str, float]:
    """Return the material that a shop sells an adhesive as, and how much of its unit goes into a mL of adhesive."""
    shop = reference.by_name("shop").get(family)
    return (shop.group, shop.number) if shop else (family, 1.0)


def unit_of(material: str) -> str:
    """Return the unit that the packs of a material are told in; mL for what a maker packs as it likes."""
    return next((pack.unit for pack in packs_of(material)), "mL")


def packs_of(material: str, own: Packs = ()) -> list[reference.Record]:
    """Return the packs that a material is bought in: the maker's own where there are any, else those of the tables."""
    instance(material, str, "material")
    mine = [one for one in own if one.material == material]
    if mine:
        unit = unit_of(material)
        return [_record(one.name, one.holds, unit, "read", price=one.price, source="the plan") for one in mine]
    if material in reference.by_name("consumables"):
        unit = reference.value("consumables", material).unit
        return [_record(unit, 1.0, unit, "common practice")]
    return list(reference.groups("packs").get(material, ()))


def _record(name: str, holds: float, unit: str, evidence: str, *, source: str = "", **more: Any) -> reference.Record:
    return reference.Record("packs", name, holds, unit, "", source, "", evidence, **more)


def known_price(pack: reference.Record) -> float | None:
    """Return the price of a pack, None where it has none or an invented one."""
    return pack.price if pack.price and pack.evidence != "invented" else None


def chosen_packs(amount: float, material: str, own: Packs = ()) -> tuple[dict[str, int], float | None]:
    """Return how many of each pack hold an amount [the material's unit], and what they cost; None where a price is not known.

    A pack with a price goes before one without. Where none has one, the invented prices choose, and say nothing.

    >>> chosen_packs(120, "tube of adhesive")
    ({'cartridge': 1}, None)
    >>> tube = PackPart(material="tube of adhesive", name="tube", holds=100, price=4.5)
    >>> chosen_packs(120, "tube of adhesive", [tube])
    ({'tube': 2}, 9.0)
    """
    packs = packs_of(material, own)
    if not packs:
        return {}, None
    priced = {pack.name: known_price(pack) for pack in packs if known_price(pack)}
    counts = cheapest_packs(amount, [pack for pack in packs if pack.name in priced] or packs)
    if not all(name in priced for name in counts):
        return counts, None
    return counts, round(sum(count * priced[name] for name, count in counts.items()), 2)


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
    if len(packs) == 1:
        return {packs[0].name: math.ceil(need / size[0] - 1e-9)}
    enough = scipy.optimize.LinearConstraint(size[None, :], lb=need - 1e-9)
    counts = _least(price, size, need, [enough])
    # of equal prices the smaller heap is taken
    counts = _least(
        size, size, need, [enough, scipy.optimize.LinearConstraint(price[None, :], ub=price @ counts + 1e-7)]
    )
    return {pack.name: int(count) for pack, count in zip(packs, counts, strict=True) if count}


def _least(
    cost: np.ndarray, size: np.ndarray, need: float, conditions: "list[scipy.optimize.LinearConstraint]"
) -> np.ndarray:
    """Return the whole numbers of packs that cost least under the conditions."""
    found = scipy.optimize.milp(
        cost,
        constraints=conditions,
        integrality=np.ones(len(size)),
        bounds=scipy.optimize.Bounds(0, np.ceil(need / size)),
        options={"mip_rel_gap": 0.0},
    )
    if found.x is None:
        raise MosaicError(f"No packs were found for an amount of {need:g}; check the sizes of the packs.")
    return np.round(found.x).astype(int)
