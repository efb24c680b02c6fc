"""What a class takes, has and buys, line by line: kits + tables + spares + left over = in the house + bought; and what a place costs."""

__all__ = ["Fee", "Line", "fee_of", "shopping_of"]

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from mosaiclib import reference
from mosaiclib.course.class_file import Class, FeePart
from mosaiclib.course.groups import Group
from mosaiclib.course.kits import Kit, Portion, Table, held_by, spares_of
from mosaiclib.course.sessions import hours_of
from mosaiclib.errors import MosaicError, brief
from mosaiclib.filler import bought
from mosaiclib.job.days import HOUR
from mosaiclib.job.packs import chosen_packs, packs_of, sold_as, unit_of


@dataclass(frozen=True)
class Line:
    """One thing [unit]: what of it lies in kits, on tables and in the room, as spare, is in the house, and is bought in whole packs.

    `cost` is None where a price is not known; `kept`: a tool that the house keeps.
    """

    item: str
    unit: str
    kits: float = 0.0
    tables: float = 0.0
    spares: float = 0.0
    owned: float = 0.0
    bought: float = 0.0
    packs: str = ""
    cost: float | None = None
    kept: bool = False

    @property
    def needed(self) -> float:
        """All that the class takes."""
        return self.kits + self.tables + self.spares

    @property
    def left(self) -> float:
        """What is left over."""
        return self.owned + self.bought - self.needed


def shopping_of(
    klass: Class, groups: Sequence[Group], kits: Sequence[Kit], tables: Sequence[Table], portions: Sequence[Portion]
) -> tuple[Line, ...]:
    """Return all lines: tiles, adhesive, filler, then tools and what is used up."""
    lines = [
        *_tiles(klass, groups, kits),
        *_adhesives(klass, groups, tables),
        *_fillers(klass, groups, portions),
        *_things(klass, groups, len(tables)),
    ]
    unknown = next((name for name in (*klass.owns, *klass.prices) if name not in {line.item for line in lines}), None)
    if unknown is not None:
        there = ", ".join(line.item for line in lines)
        raise MosaicError(f"The class takes nothing called {brief(unknown)}; its lines are: {there}.")
    return tuple(lines)


def _tiles(klass: Class, groups: Sequence[Group], kits: Sequence[Kit]) -> Iterator[Line]:
    """Yield a line for each colour and size of tile."""
    spare, in_kits, stock = spares_of(groups, klass.confidence), {}, {}
    for kit in kits:
        for tile, count in kit.tiles.items():
            in_kits[tile] = in_kits.get(tile, 0) + count * len(kit.makers)
            stock.setdefault(tile, kit.group.plan.tile)
    sizes = {tile[1:] for tile in in_kits}
    for tile, count in in_kits.items():
        part = stock[tile]
        price = next(one.price for one in part.colours if one.name == tile[0])
        name = f"tiles, {tile[0]}" + f", {tile[1]:g} x {tile[1]:g} x {tile[2]:g} mm" * (len(sizes) > 1)
        owned = klass.owns.get(name, 0.0)
        packs = math.ceil(max(count + spare[tile] - owned, 0.0) / part.pack - 1e-9)
        amount = packs * part.pack
        price = klass.prices.get(name, price)
        cost = round(amount * price, 2) if price or not amount else None
        yield Line(
            name, "tiles", count, 0, spare[tile], owned, amount, f"{packs} x pack of {part.pack}" if packs else "", cost
        )


def _adhesives(klass: Class, groups: Sequence[Group], tables: Sequence[Table]) -> Iterator[Line]:
    """Yield a line for each adhesive: whole packs on every table; what the house has serves whole tables first."""
    own = {group.plan.adhesive.family: group.plan.packs for group in groups}
    for family in dict.fromkeys(name for table in tables for name in table.adhesive):
        material = sold_as(family)[0]
        owned = there = klass.owns.get(family, 0.0)
        counts: dict[str, int] = {}
        for table in tables:
            amount = table.adhesive.get(family, 0.0)
            if amount <= there + 1e-9:
                there -= amount
            else:
                for name, count in table.packs[family].items():
                    counts[name] = counts.get(name, 0) + count
        used = sum(table.adhesive.get(family, 0.0) for table in tables)
        yield _packed(family, material, used, owned, counts, own[family], klass)


def _packed(item: str, material: str, used: float, owned: float, counts: Mapping[str, int], own, klass: Class) -> Line:
    """Return the line of what goes onto tables and is bought in these packs."""
    held = held_by(counts, material, own) if counts else 0.0
    return Line(
        item, unit_of(material), 0, used, 0, owned, held, _told(counts), _cost(item, held, counts, material, own, klass)
    )


def _told(counts: Mapping[str, int]) -> str:
    return ", ".join(f"{count} x {name}" for name, count in counts.items())


def _cost(item: str, held: float, counts: Mapping[str, int], material: str, own, klass: Class) -> float | None:
    """Return what packs cost: by a price of the class for each unit, or by the packs' own prices; None where one is not known."""
    if not counts:
        return 0.0
    if item in klass.prices:
        return round(held * klass.prices[item], 2)
    prices = {pack.name: pack.price for pack in packs_of(material, own) if pack.price and pack.evidence != "invented"}
    return round(sum(n * prices[name] for name, n in counts.items()), 2) if set(counts) <= set(prices) else None


def _fillers(klass: Class, groups: Sequence[Group], portions: Sequence[Portion]) -> Iterator[Line]:
    """Yield a line for each thing that fillers are mixed from, as it is weighed for the tables."""
    own = [pack for group in groups for pack in group.plan.packs]
    for one in bought([portion.recipe for portion in portions]):
        amount, item = one.amount * one.each, one.name.lower()
        owned = klass.owns.get(item, 0.0)
        counts = chosen_packs(max(amount - owned, 0.0), one.packs, own)[0]
        yield _packed(item, one.packs, amount, owned, counts, own, klass)


def _things(klass: Class, groups: Sequence[Group], tables: int) -> Iterator[Line]:
    """Yield tools and what is used up: a learner's in the kits, the rest on tables and in the room."""
    adults = 1 + klass.helpers
    for place, count in (("learner", klass.learners), ("table", tables), ("room", 1)):
        for one in reference.groups("course")[place]:
            more = adults * one.number if one.name == "safety glasses" else 0.0  # of teacher and helpers
            need, owned = count * one.number, klass.owns.get(one.name, 0.0)
            amount = math.ceil(max(need + more - owned, 0.0) - 1e-9)
            price = klass.prices.get(one.name)
            cost = 0.0 if not amount else None if price is None else round(amount * price, 2)
            kits, room = (need, more) if place == "learner" else (0.0, need)
            packs = f"{amount} x {one.unit}" if amount else ""
            yield Line(one.name, one.unit, kits, room, 0, owned, amount, packs, cost, one.more["kept"] == "yes")


class Fee(NamedTuple):
    """What a place costs, by a rule that is shown: (materials + room + pay) x (1 + margin) / those who share it.

    `present` and `ready` are the hours in the sessions and those of getting ready [h].
    """

    materials: float
    room: float
    pay: float
    part: FeePart
    shared_by: int
    lacking: tuple[str, ...]
    present: float
    ready: float

    @property
    def each(self) -> float:
        """The fee of one learner [the class's currency]."""
        return (self.materials + self.room + self.pay) * (1 + self.part.margin) / self.shared_by

    @property
    def rule(self) -> str:
        """The rule with its numbers."""
        return (
            f"({self.materials:.2f} materials + {self.room:.2f} room + {self.pay:.2f} pay) x (1 + {self.part.margin:.0%}) / "
            f"{self.shared_by} who share it"
        )


def fee_of(klass: Class, groups: Sequence[Group], lines: Sequence[Line]) -> Fee:
    """Return the fee; the teacher's hours count those of getting ready, cutting ahead and packing kits."""
    hours, part = hours_of(klass), klass.fee
    present = sum(end - begin for begin, end in hours) / HOUR
    kits = klass.learners * reference.value("course", "packing a kit").number
    ready = (sum(group.house_cutting.usual for group in groups) + kits) / HOUR
    pay = part.teacher * (present + ready) + part.helper * klass.helpers * present
    lacking = tuple(line.item for line in lines if line.cost is None)
    materials = sum(line.cost or 0.0 for line in lines)
    return Fee(materials, part.room * len(hours), pay, part, part.shared_by or klass.learners, lacking, present, ready)
