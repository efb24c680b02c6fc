"""The learners who make the same piece: its plan in this room and for these hands, worked out, and what is cut for them ahead."""

__all__ = ["Group", "Tile", "children_in", "groups_of"]

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np
import pandas as pd

from mosaiclib import reference
from mosaiclib.course.class_file import AHEAD, Class
from mosaiclib.job.breakage import Spoilt, spoilt, spoilt_chances, usual_chance
from mosaiclib.job.cutting import BLANK_CUTS
from mosaiclib.job.plan import Plan
from mosaiclib.job.work import Worked, work_out
from mosaiclib.job.worktime import Effort, cutting_effort

Cuts = Mapping[str, np.ndarray]
Tile = tuple[str, float, float]  # colour, side and thickness [mm]: what is alike on the shelf


@dataclass(frozen=True, eq=False)
class Group:
    """The makers of one piece by their numbers in the class, the piece worked out, and what the house cuts (one of `AHEAD`)."""

    makers: tuple[int, ...]
    worked: Worked
    ahead: str

    @property
    def plan(self) -> Plan:
        """The plan, in this room and for these hands."""
        return self.worked.plan

    @property
    def name(self) -> str:
        """What the piece is called."""
        return self.plan.name

    @cached_property
    def house_cuts(self) -> Cuts:
        """How many cuts of each kind the house makes for a piece of tile, shape (n,)."""
        cut = self.worked.cutting
        none = {kind: np.zeros(len(cut.table), dtype=int) for kind in cut.cuts}
        blanks = none | {"straight": cut.table["fraction"].map(BLANK_CUTS).to_numpy()}
        return dict(zip(AHEAD, (none, blanks, cut.cuts), strict=True))[self.ahead]

    @cached_property
    def own_cuts(self) -> Cuts:
        """How many cuts of each kind are left to the maker, shape (n,)."""
        return {kind: count - self.house_cuts[kind] for kind, count in self.worked.cutting.cuts.items()}

    @cached_property
    def chances(self) -> np.ndarray:
        """The chance that each piece of tile is spoilt, by whoever cuts it, shape (n,)."""
        practised = {kind: usual_chance(kind, "practised") for kind in self.house_cuts}
        house = spoilt_chances(self.house_cuts, practised)
        own = spoilt_chances(self.own_cuts, self.plan.cut.chances, self.plan.spare.break_chance)
        return 1 - (1 - house) * (1 - own)

    @cached_property
    def own_cutting(self) -> Effort:
        """What a maker's cutting takes [min]; nothing where all is cut ahead."""
        cut, part = self.worked.cutting, self.plan.cut
        if not any(count.any() for count in self.own_cuts.values()):
            return Effort()
        return cutting_effort(self.own_cuts, self.chances, cut.times_set, part.hand, self.plan.days.rates)

    @cached_property
    def house_cutting(self) -> Effort:
        """What cutting ahead takes the house for all makers [min], each stop set once."""
        if not any(count.any() for count in self.house_cuts.values()):
            return Effort()
        each = cutting_effort(self.house_cuts, self.chances, 0, "practised")
        sets = cutting_effort({}, self.chances, self.worked.cutting.times_set, "practised")
        return each.times(len(self.makers)) + sets

    @cached_property
    def tiles(self) -> dict[Tile, int]:
        """The tiles that one maker's pieces take, whole ones of each colour, by what is alike on the shelf."""
        tile, cut = self.plan.tile, self.worked.cutting
        need = pd.Series(cut.shares()).groupby(cut.table["colour"].to_numpy()).sum()
        return {(colour, tile.side, tile.thickness): math.ceil(share - 1e-9) for colour, share in need.items()}

    def spoilt_of(self, colour: str, makers: int | None = None) -> Spoilt:
        """Return the law of the tiles of a colour that so many makers spoil together, all of them if left out."""
        mine = (self.worked.cutting.table["colour"] == colour).to_numpy()
        shares, chances = self.worked.cutting.table["share"].to_numpy()[mine], self.chances[mine]
        count = len(self.makers) if makers is None else makers
        return spoilt(np.tile(shares, count), np.tile(chances, count))


def groups_of(klass: Class) -> tuple[Group, ...]:
    """Return the groups of a class, its learners numbered from 1 in the order of the file.

    >>> from mosaiclib.reference import DATA
    >>> [len(group.makers) for group in groups_of(Class.load(DATA / "example_class.json"))]
    [9, 3]
    """
    found, first = [], 1
    ahead = AHEAD[-1] if children_in(klass) else klass.ahead
    for variant in klass.variants:
        if variant.makers:
            makers = tuple(range(first, first + variant.makers))
            found.append(Group(makers, _in_class(klass, _worked(variant.plan.text())), ahead))
            first += variant.makers
    return tuple(found)


def children_in(klass: Class) -> bool:
    """Whether somebody is too young to nip, mix and glue alone: an adult does it then, and all pieces are cut ahead."""
    return klass.youngest < reference.value("course", "youngest who cuts").number


@lru_cache(16)
def _worked(plan: str) -> Worked:
    """Return a plan worked out, by its text: half a second for a panel with rows."""
    return work_out(Plan.read(plan.encode("utf-8"), "the plan of a piece"))


def _in_class(klass: Class, worked: Worked) -> Worked:
    """Return a plan in the room of the class and for its hands; where its pieces lie stays as it is."""
    plan = worked.plan
    glue = plan.adhesive.model_copy(update={"temperature": klass.temperature, "humidity": klass.humidity})
    cut = plan.cut.model_copy(update={"hand": klass.hand})
    spare = plan.spare.model_copy(update={"confidence": klass.confidence})
    return replace(worked, plan=plan.model_copy(update={"adhesive": glue, "cut": cut, "spare": spare}))
