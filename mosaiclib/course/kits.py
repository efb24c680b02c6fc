"""What lies ready: a kit a learner, things a table, spares that the class shares, and powder that the teacher has weighed."""

__all__ = [
    "Kit",
    "Portion",
    "Table",
    "alone_of",
    "held_by",
    "kits_of",
    "portions_of",
    "seated",
    "spares_of",
]

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import pandas as pd

from mosaiclib import reference
from mosaiclib.course.class_file import Class
from mosaiclib.course.groups import Group, Tile
from mosaiclib.filler import Recipe, batches, recipe
from mosaiclib.job.breakage import Spoilt
from mosaiclib.job.packs import chosen_packs, packs_of, sold_as
from mosaiclib.units import mm, text
from mosaiclib.words import Text


@dataclass(frozen=True)
class Table:
    """A table: its number, the learners at it, the adhesive that goes on it [mL], and its whole packs by name."""

    number: int
    learners: tuple[int, ...]
    adhesive: Mapping[str, float]
    packs: Mapping[str, Mapping[str, int]]


@dataclass(frozen=True, eq=False)
class Kit:
    """What each maker of a piece gets: tiles by colour, blanks, and what lies with them.

    `blanks` has one line a colour and blank with the columns colour, blank, long, short [mm], pieces, cut (whether the house
    has cut them to that blank) and to_cut (how many the learner cuts to their shape).
    """

    group: Group
    tiles: Mapping[Tile, int]
    blanks: pd.DataFrame
    papers: tuple[str | Text, ...]

    @property
    def makers(self) -> tuple[int, ...]:
        """The learners who get one, by number."""
        return self.group.makers


@dataclass(frozen=True)
class Portion:
    """Filler that is weighed for one table and one piece: its learners, the recipe, and into how many batches it goes."""

    table: int
    piece: str
    learners: tuple[int, ...]
    recipe: Recipe
    batches: int


def kits_of(groups: Sequence[Group]) -> tuple[Kit, ...]:
    """Return the kit of each group; nothing in it cures in air."""
    return tuple(Kit(group, group.tiles, _blanks(group), tuple(_papers(group))) for group in groups)


def _blanks(group: Group) -> pd.DataFrame:
    cut = group.worked.cutting
    table = cut.table.assign(long=cut.blanks[:, 0], short=cut.blanks[:, 1], blank=cut.table["fraction"])
    own = sum(group.own_cuts.values())
    table["to_cut"] = (own > 0).astype(int)
    table["cut"] = sum(group.house_cuts.values()) > 0
    alike = table.groupby(["colour", "blank", "long", "short"], sort=True)
    return alike.agg(pieces=("number", "size"), cut=("cut", "any"), to_cut=("to_cut", "sum")).reset_index()


def _papers(group: Group) -> Iterator[str | Text]:
    """Yield what lies in a kit besides glass."""
    plan, joint = group.plan, group.plan.joint.wanted
    yield text("spacers for a joint of ", mm(joint)) if joint else "no spacers: the pieces touch"
    inside = any(piece.glass.has_inside for piece in group.worked.pieces)
    yield f"template{',' if inside else ' and'} dry-lay sheet{' and inside guide' * inside} at true scale"
    letters = sorted({*group.worked.cutting.settings["gauge"]} - {""})
    if letters and group.own_cutting.usual:
        yield f"gauges {', '.join(letters)}"
    yield f"card of the steps, {plan.name}"


def seated(klass: Class, groups: Sequence[Group]) -> tuple[Table, ...]:
    """Return the tables, as even as can be, makers of one piece side by side; none is left without learners.

    Each table gets its own whole packs of adhesive, for what is open is not carried about.
    """
    glue = {maker: (group, group.worked.adhesive) for group in groups for maker in group.makers}
    parts = np.array_split(np.array(sorted(glue)), min(klass.tables, len(glue)))
    return tuple(_table(number, tuple(map(int, part)), glue) for number, part in enumerate(parts, 1))


def _table(number: int, learners: tuple[int, ...], glue: Mapping[int, tuple[Group, float]]) -> Table:
    amounts: dict[str, float] = {}
    packs: dict[str, dict[str, int]] = {}
    for learner in learners:
        group, amount = glue[learner]
        family = group.plan.adhesive.family
        amounts[family] = amounts.get(family, 0.0) + amount * sold_as(family)[1]
    for family, amount in amounts.items():
        own = next(group.plan.packs for group, _ in glue.values() if group.plan.adhesive.family == family)
        packs[family] = chosen_packs(amount, sold_as(family)[0], own)[0]
    return Table(number, learners, amounts, packs)


def held_by(packs: Mapping[str, int], material: str, own: Any) -> float:
    """Return how much whole packs hold [the material's unit]."""
    holds = {pack.name: pack.number for pack in packs_of(material, own)}
    return sum(count * holds[name] for name, count in packs.items())


def spares_of(groups: Sequence[Group], confidence: float) -> dict[Tile, int]:
    """Return the tiles beyond the kits that the class shares, so that each colour is enough at a confidence.

    What all makers spoil follows one law, the sum of their negative binomial ones, which lies closer about its mean than
    twelve laws apart: a class needs far fewer spares than each learner alone, times their number.
    """
    laws: dict[Tile, np.ndarray] = {}
    for group in groups:
        for tile in group.tiles:
            law = group.spoilt_of(tile[0]).law
            laws[tile] = np.convolve(laws[tile], law) if tile in laws else law
    return {tile: math.ceil(Spoilt(law).within(confidence) - 1e-9) for tile, law in laws.items()}


def alone_of(groups: Sequence[Group], confidence: float) -> dict[Tile, int]:
    """Return the spares that it would take if each learner had their own."""
    found: dict[Tile, int] = {}
    for group in groups:
        for tile in group.tiles:
            each = math.ceil(group.spoilt_of(tile[0], 1).within(confidence) - 1e-9)
            found[tile] = found.get(tile, 0) + each * len(group.makers)
    return found


def portions_of(tables: Sequence[Table], groups: Sequence[Group]) -> tuple[Portion, ...]:
    """Return what the teacher weighs for each table: never less than the smallest batch that can be mixed."""
    return tuple(
        portion
        for table in tables
        for group in groups
        if (mine := tuple(one for one in table.learners if one in group.makers))
        for portion in _portions(table.number, group, mine)
    )


def _portions(table: int, group: Group, learners: tuple[int, ...]) -> Iterator[Portion]:
    part, least = group.plan.filler, reference.value("filler", "smallest batch").number
    speed = reference.value("filler", "placing by one pair of hands").number * len(learners)
    for one in group.worked.fillers:
        volume = one.volume * len(learners)
        if one.powder:
            volume = max(volume, least)
        joint = _joint(group, one)
        made = recipe(volume, part.family, joint, polymer=part.polymer, solids=part.solids)
        count = batches(volume, rate=speed)[0] if one.powder else 1
        yield Portion(table, group.name, learners, replace(made, where=one.where), count)


def _joint(group: Group, one: Recipe) -> float:
    """Return the joint that a recipe of a plan is made for [mm]."""
    if one.where == "strips":
        return max(strip.width for strip in group.worked.wide_strips)
    return max(group.plan.joint.wanted, 0.1)
