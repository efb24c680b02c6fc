"""Cutting a whole plan: what each piece takes, in what order at the bench, two from one tile, what breaks, what is left over."""

__all__ = ["ADVICE", "WAYS", "Cutting", "bench_order", "cut_up", "offcuts"]

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np
import pandas as pd

from mosaiclib import reference
from mosaiclib.job.breakage import CUTS, spoilt, spoilt_chances
from mosaiclib.job.pairs import largest_offcuts, pair_cuts
from mosaiclib.job.plan import CutPart, SparePart
from mosaiclib.job.quantities import tile_parts
from mosaiclib.layout import FRACTIONS, Layout
from mosaiclib.layout.cutting import TAPERED, blanks, ends, gauge_classes, hollow_edges, straight_cuts
from mosaiclib.layout.joints import least_widths
from mosaiclib.layout.layout import LOST, NIP

BLANK_CUTS = {
    "whole": 0,
    "half": 1,
    "third": 2,
    "quarter": 2,
}  # straight ones that a blank goes through before it is one
BLANK_NAMES = {"whole": "wholes", "half": "halves", "third": "thirds", "quarter": "quarters"}
ADVICE = {  # what is done with each kind of group, in the order of the bench
    "as it is": "lay it as it is",
    "gauge": "set the gauge once, then cut them all",
    "to size": "set the stop once, then cut them all",
    "by the template": "mark each from the template; the number is its place",
    "thin": "hard: cut it off the edge of a larger piece, held with pliers and never with the fingers; when the hand is warm",
    "hollow": "hard: nip the hollow out in small bites from its middle, or cut the piece in two along a joint",
}
WAYS = tuple(ADVICE)


class Laid(Protocol):
    """A piece of glass with its name and layout."""

    name: str
    layout: Layout


@dataclass(frozen=True, eq=False)
class Cutting:
    """All pieces of a plan as they are cut, n of them, with the choices they are cut by.

    `table` has one line a piece: glass, number (from 1 on its glass), colour, fraction, share (of a tile), own (cuts out of the
    blank), kind (of these, one of `CUTS`), whether it is cut at all; `shapes` and `blanks` are the pieces and the sides of what
    each is cut from, shape (n, 2) [mm].
    """

    pieces: tuple[Laid, ...]
    table: pd.DataFrame
    shapes: np.ndarray
    blanks: np.ndarray
    part: CutPart
    spare: SparePart

    @cached_property
    def pairs(self) -> np.ndarray:
        """Which pieces come two out of one blank, shape (m, 2); matched whether or not the plan counts with it."""
        at = np.flatnonzero(self.table["cut"])
        colours = self.table["colour"].to_numpy()[at]
        found = pair_cuts(self.shapes[at], self.blanks[at], colours, self.part.loss, both_faces=self.part.both_faces)
        return at[found]

    @cached_property
    def cuts(self) -> dict[str, np.ndarray]:
        """How many cuts of each kind a piece takes, with those that its blank went through, shape (n,)."""
        kind, own = self.table["kind"].to_numpy(), self.table["own"].to_numpy()
        # of a hollow or a thin piece one cut is the hard one
        cuts = {name: np.where(kind == name, own if name == "wedge" else 1, 0) for name in CUTS[1:]}
        rest = np.maximum(own - sum(cuts.values()), 0)
        return {"straight": rest + self.table["fraction"].map(BLANK_CUTS).to_numpy()} | cuts

    @cached_property
    def chances(self) -> np.ndarray:
        """The chance that each piece is spoilt, shape (n,)."""
        return spoilt_chances(self.cuts, self.part.chances, self.spare.break_chance)

    @cached_property
    def settings(self) -> pd.DataFrame:
        """By what each piece is cut, and what is set for it: way, gauge, wide, narrow, height [mm], cut_angle [degrees]."""
        return _settings(self)

    @property
    def times_set(self) -> int:
        """How often a gauge or a stop is set."""
        wide = self.settings["wide"] > 0
        return len(
            self.settings.loc[wide, ["wide", "narrow", "height"]].assign(blank=self.table["fraction"]).drop_duplicates()
        )

    def shares(self, paired: bool | None = None) -> np.ndarray:
        """Return the share of a tile that each piece takes, shape (n,), paired as the plan says if left out."""
        found = self.table["share"].to_numpy(dtype=float, copy=True)
        if self.part.paired if paired is None else paired:
            found[self.pairs[:, 1]] = 0.0
        return found

    def taken(self, paired: bool | None = None) -> pd.DataFrame:
        """Return what each colour takes, paired as the plan says if left out: pieces, tiles, spoilt on the mean, spare; by colour."""
        whole = self.table.assign(share=self.shares(paired), chance=self.chances)
        lines = {colour: _taken(self, whole.loc[mine], mine) for colour, mine in whole.groupby("colour").groups.items()}
        return pd.DataFrame.from_dict(lines, orient="index", columns=["pieces", "tiles", "spoilt", "spare"])


def _taken(cut: Cutting, whole: pd.DataFrame, mine: Sequence[int]) -> tuple[int, int, float, int]:
    need = whole["share"].sum()
    law = spoilt(cut.table.loc[mine, "share"].to_numpy(), whole["chance"].to_numpy())
    tiles = math.ceil(need - 1e-9)
    return len(whole), tiles, law.mean, math.ceil(need + law.within(cut.spare.confidence) - 1e-9) - tiles


def cut_up(pieces: Sequence[Laid], part: CutPart, spare: SparePart) -> Cutting:
    """Return how the pieces of a plan's glass are cut."""
    table = pd.concat([_lines(one, part) for one in pieces], ignore_index=True)
    shapes = np.concatenate([one.layout.shapes for one in pieces])
    return Cutting(tuple(pieces), table, shapes, np.concatenate([blanks(one.layout) for one in pieces]), part, spare)


def _lines(one: Laid, part: CutPart) -> pd.DataFrame:
    """Return the lines of one piece of glass; only what is cut is measured, as a wall has very many whole tiles."""
    layout, size, own = one.layout, blanks(one.layout), straight_cuts(one.layout)
    cut = layout.areas < size.prod(axis=1) - LOST
    hollow, thin = np.zeros(len(layout), bool), np.zeros(len(layout), bool)
    hollow[cut] = hollow_edges(layout.shapes[cut])
    side = np.where(layout.pieces["tile"] > 0, layout.pieces["tile"], layout.tile.side)
    thin[cut] = least_widths(layout.shapes[cut]) < side[cut] * _thin() - NIP
    tapered = layout.pieces["kind"].isin(TAPERED).to_numpy()
    return pd.DataFrame(
        {
            "glass": one.name,
            "number": np.arange(1, len(layout) + 1),
            "colour": layout.pieces["colour"].to_numpy(),
            "fraction": layout.pieces["fraction"].to_numpy(),
            "share": tile_parts(layout),
            "own": own,
            "kind": np.select([hollow, thin, tapered], ["hollow", "thin", "wedge"], "straight"),
            "cut": cut & ((own > 0) | hollow),
        }
    )


def _thin() -> float:
    return reference.value("cutting", "thin piece").number


SET = ["order", "blank", "blank_long", "blank_short", "way", "count", "wide", "narrow", "height"]


def bench_order(cut: Cutting) -> pd.DataFrame:
    """Return the order at the bench: one line for each blank, setting and colour, so that a gauge is set once.

    Columns group (from 1), blank, blank_long and blank_short [mm], way (one of `WAYS`), wide and narrow end, height [mm],
    colour, gauge (its letter on each piece of glass), cut_angle [degrees], cuts (each, the most), pieces, and the numbers of
    the pieces. Ends and sizes are rounded to the plan's gauge step.
    """
    table = cut.table.assign(blank_long=cut.blanks[:, 0], blank_short=cut.blanks[:, 1], **dict(cut.settings))
    table["blank"] = table["fraction"].map(BLANK_NAMES)
    table["order"] = table["fraction"].map(FRACTIONS.index) * len(WAYS) + table["way"].map(WAYS.index)
    alike = [one for one in SET if one != "count"]
    table["count"] = -table.groupby(alike)["number"].transform("size")
    before = len(cut.pieces) > 1
    table["numbers"] = table["number"].astype(str)
    table["gauge"] = np.where(table["gauge"] == "", "", (table["glass"] + " " if before else "") + table["gauge"])
    lines = table.groupby([*SET, "colour", "glass"], sort=True)
    per_glass = lines.agg(
        gauge=("gauge", "first"), cut_angle=("cut_angle", "max"), cuts=("own", "max"), pieces=("number", "size"),
        numbers=("numbers", " ".join),
    ).reset_index()  # fmt: skip
    if before:
        per_glass["numbers"] = per_glass["glass"] + ": " + per_glass["numbers"]
    found = per_glass.groupby([*SET, "colour"], sort=True).agg(
        gauge=("gauge", lambda each: ", ".join(sorted({one for one in each if one}))),
        cut_angle=("cut_angle", "max"), cuts=("cuts", "max"), pieces=("pieces", "sum"), numbers=("numbers", "; ".join),
    ).reset_index()  # fmt: skip
    found.insert(0, "group", found.groupby(SET, sort=True).ngroup() + 1)
    return found.drop(columns=["order", "count"])


def _settings(cut: Cutting) -> pd.DataFrame:
    """Return by what each piece is cut, and what is set for it [mm, degrees]."""
    size, step = np.zeros((len(cut.table), 3)), cut.part.gauge_step
    measured = np.concatenate([ends(one.layout) for one in cut.pieces])
    along = np.concatenate([one.layout.pieces[["width", "height"]].to_numpy(dtype=float) for one in cut.pieces])
    gauge, begin = np.full(len(cut.table), "", dtype=object), 0
    for one in cut.pieces:
        for each in gauge_classes(one.layout, step).itertuples():
            members = begin + np.array(each.members)
            gauge[members], size[members] = each.gauge, (each.wide, each.narrow, each.height)
        begin += len(one.layout)
    kind, tapered = cut.table["kind"].to_numpy(), gauge != ""
    square = (measured[:, 0] > 0) & (measured[:, 2] < 1) & (measured[:, 0] - measured[:, 1] < step / 2) & ~tapered
    size[square] = (np.round(along[square] / step) * step)[:, [0, 0, 1]]
    hard = np.isin(kind, ("thin", "hollow"))
    ways = ["as it is", kind, "gauge", "to size"]
    way = np.select([~cut.table["cut"], hard, tapered, square], ways, "by the template")
    size[np.isin(way, ("as it is", "by the template", "thin", "hollow"))] = 0.0
    by_gauge = way == "gauge"
    found = dict(zip(("wide", "narrow", "height"), size.round(2).T, strict=True))
    angle = np.where(by_gauge, measured[:, 2].round(1), 0.0)
    return pd.DataFrame({"way": way, "gauge": np.where(by_gauge, gauge, "")} | found | {"cut_angle": angle})


def offcuts(cut: Cutting) -> pd.DataFrame:
    """Return what is left of tiles and worth keeping for a next small piece: colour, long and short side [mm], count; largest first.

    Of each piece that is cut alone, the largest rectangle beside it, in whole millimetres.
    """
    alone = cut.table["cut"].to_numpy().copy()
    if cut.part.paired:
        alone[cut.pairs.ravel()] = False
    sides = np.floor(largest_offcuts(cut.shapes[alone], cut.blanks[alone], cut.part.loss) + 1e-9)
    found = pd.DataFrame(
        {"colour": cut.table.loc[alone, "colour"].to_numpy(), "long": sides[:, 0], "short": sides[:, 1]}
    )
    found = found[found["short"] >= reference.value("cutting", "least offcut worth keeping").number]
    counted = found.groupby(["colour", "long", "short"], sort=True).size().rename("count").reset_index()
    return counted.sort_values(["short", "long", "colour"], ascending=[False, False, True], ignore_index=True)
