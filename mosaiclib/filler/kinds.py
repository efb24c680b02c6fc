"""Kinds of filler with what is known of each, and the classes of the standards that test values meet."""

__all__ = ["KINDS", "SANDS", "SILENT", "USUAL", "Band", "Kind", "kind_of", "meets", "quantities_known", "sand_for"]

from collections.abc import Mapping
from dataclasses import dataclass

import pandas as pd

from mosaiclib import reference
from mosaiclib.errors import choice, number
from mosaiclib.reference import Record
from mosaiclib.units import SIGNS

Band = tuple[float, float]
KINDS = tuple(reference.by_name("kinds"))
BINDERS, POWDERS = ("cement", "resin"), ("grout", "mortar", "kit")
SANDS = ("unsanded", "sanded")
MOST_POLYMER = 0.30
USUAL = "ready-fortified cement grout"  # what a headline counts with where nothing else is chosen: it takes water only


@dataclass(frozen=True)
class Kind:
    """A kind of filler as data/ has it, at a ratio of polymer to cement by mass.

    `powder`: grout, whose sand goes by the joint, mortar with a sand of its own, or a kit; `sold_as`: what a shop calls it;
    `bag`: how to know it in the shop; `poured`: whether polymer is poured into it as latex; `for_glass`: whether practice uses
    it on glass, with the words of the verdict; `tone`: of its line in charts, #rrggbb. Least and greatest drying shrinkage at
    50 % humidity [1e-6], modulus and tensile strength [MPa], what polymer may do to the shrinkage, and to the bond.
    """

    name: str
    binder: str
    powder: str
    sold_as: str
    bag: str
    poured: bool
    for_glass: bool
    verdict: str
    tone: str
    polymer: float
    shrinkage: Band
    modulus: Band
    strength: Band
    shrinkage_factor: Band
    bond_factor: float

    def __post_init__(self) -> None:
        choice(self.binder, f"binder of {self.name} in the table of kinds", BINDERS)
        choice(self.powder, f"powder of {self.name} in the table of kinds", POWDERS)
        number(self.polymer, "polymer over cement", least=0, greatest=MOST_POLYMER)

    @property
    def cement(self) -> bool:
        """Whether it creeps and dries as cement does, and is mixed from powder and water."""
        return self.binder == "cement"

    @property
    def mixed_with(self) -> str:
        """What goes into the bag, in a sentence that keeps latex out of a bag that holds polymer already."""
        if not self.cement:
            return "Every part of the kit as its manufacturer says; no other powder and no water in the mix."
        if self.poured:
            return "Latex goes only into a bag without polymer, and only the latex that its manufacturer names."
        if self.polymer:
            return "It is mixed with water only: no latex into a bag that is already modified, unless its manufacturer says so."
        return "It is mixed with water only."


def kind_of(name: str, polymer: float | None = None, sand: str = "unsanded") -> Kind:
    """Return a kind of filler; `polymer` over cement, 0 to 0.3, counts where latex is poured: others keep what they hold.

    The modulus falls from the range of plain mortar to that of latex mortar, and strength and bond rise by the measured
    share, all in proportion up to the full dose and no further. Whether shrinkage falls or rises the sources do not agree.
    `sand` counts in a grout: one without sand holds more cement and shrinks more.

    >>> kind_of("plain cement grout").modulus, kind_of("cement grout with latex", 0.05).modulus
    ((20000.0, 30000.0), (15000.0, 25000.0))
    """
    row, known = reference.value("kinds", choice(name, "kind of filler", KINDS)), reference.by_name("mechanics")
    cells = row.more
    poured = cells["latex"] == "poured"
    ratio = polymer if poured and polymer is not None else row.number
    least = reference.value("filler", "least polymer for glass").number
    share = min(ratio / known["full dose of polymer"].number, 1.0)
    plain, latex = known[cells["modulus"]].band, known[cells["modulus with polymer"]].band
    weak, strong = (
        known["tensile strength of mortar"].band,
        known["tensile strength of polymer-modified over plain"].band,
    )
    shrinks = cells["shrinkage" if choice(sand, "sand", SANDS) == "unsanded" else "shrinkage with sand"]
    return Kind(
        name=name,
        binder=cells["binder"],
        powder=cells["powder"],
        sold_as=cells["sold as"],
        bag=cells["bag"],
        poured=poured,
        for_glass=cells["for glass"] == "yes" and not (poured and ratio < least),
        verdict=row.note,
        tone=cells["tone"],
        polymer=ratio,
        shrinkage=known[shrinks].band,
        modulus=tuple(a + (b - a) * share for a, b in zip(plain, latex, strict=True)),
        strength=tuple(f * (1 + (rise - 1) * share) for f, rise in zip(weak, strong, strict=True)),
        shrinkage_factor=tuple(1 + (f - 1) * share for f in known["shrinkage of polymer-modified over plain"].band),
        bond_factor=1 + known["rise of bond with polymer"].number * share,
    )


def sand_for(joint: float) -> str:
    """Return which filler a joint [mm] asks for by the grain of its sand: unsanded, sanded or heavily sanded.

    Unsanded under 1/8 in, sanded from it on, heavily sanded over 3/8 in. Source: TCNA, FAQ "Grout"; read.

    >>> sand_for(2.0), sand_for(3.175), sand_for(9.525), sand_for(10)
    ('unsanded', 'sanded', 'sanded', 'heavily sanded')
    """
    number(joint, "joint", "mm", above=0, greatest=100)
    if joint < reference.value("filler", "least joint of sanded filler").number:
        return "unsanded"
    return (
        "heavily sanded"
        if joint > reference.value("filler", "least joint of heavily sanded filler").number
        else "sanded"
    )


SILENT = (
    "The grout standard does not test adhesion, so a pass tells you nothing about how it sticks to glass. Adhesives are "
    "tested on a porous concrete slab, which glass is not."
)
EXACT = 1e-9


def quantities_known() -> dict[str, str]:
    """Return the names of the test values that the classes ask for, each with its unit.

    >>> quantities_known()["tensile adhesion, initial"]
    'N/mm2'
    """
    return {record.note: record.unit for record in reference.table("classes")}


def meets(values: Mapping[str, float]) -> pd.DataFrame:
    """Tell which classes hold for test values by the names of `quantities_known` [N/mm2, psi, mm, mm3, mm/m, g].

    One line a class: class, verdict (met, limit met, not met, not told) and why. A class is met only where all that it asks
    for is told; until then its limits are. Source: EN 12004, EN 13888-1, ISO 13007-3, ANSI A118.4 and A118.15; each limit
    with its evidence in data/.

    >>> table = meets({"shear on porcelain": 300}).set_index("class")
    >>> table.loc["ANSI A118.4", "verdict"], table.loc["ANSI A118.15", "verdict"], table.loc["C1", "verdict"]
    ('limit met', 'not met', 'not told')
    """
    for name, value in values.items():
        number(value, choice(name, "test value", quantities_known()), least=0, greatest=1e9)
    lines = [_line(name, records, values) for name, records in reference.groups("classes").items()]
    return pd.DataFrame(lines, columns=["class", "verdict", "why"])


def _line(name: str, records: tuple[Record, ...], values: Mapping[str, float]) -> tuple[str, str, str]:
    """Judge one class."""
    given = [record for record in records if record.note in values]
    failed = [_limit(record) for record in given if not _holds(record, values[record.note])]
    asked = [record.note for record in records if record.note not in values]
    asked += [records[0].more["also asks"]] * bool(records[0].more["also asks"])
    more = f"the class also asks for {'; '.join(asked)}"
    if failed:
        return name, "not met", "; ".join(failed)
    if not given:
        return name, "not told", more.replace("also ", "")
    if asked:
        limits = f"this limit is met ({_limit(given[0])})" if len(given) == 1 else "these limits are met"
        return name, "limit met", f"{limits}; {more}"
    return name, "met", f"{records[0].cite}; {records[0].condition}"


def _holds(record: Record, value: float) -> bool:
    low = record.least is None or value >= record.least - EXACT
    below = -EXACT if record.more["ends"] == "below" else EXACT
    return low and (record.greatest is None or value <= record.greatest + below)


def _limit(record: Record) -> str:
    """Say the limit of a class."""
    parts = [f"at least {record.least:g}"] if record.least is not None else []
    end = "below" if record.more["ends"] == "below" else "at most"
    parts += [f"{end} {record.greatest:g}"] if record.greatest is not None else []
    return f"{record.note} must be {' and '.join(parts)} {record.unit.translate(SIGNS)}"
