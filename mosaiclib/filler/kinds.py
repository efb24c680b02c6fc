"""Kinds of filler with what is known of each, and the classes of the standards that test values meet."""

__all__ = ["FULL_DOSE", "KINDS", "SILENT", "Kind", "kind_of", "meets", "quantities_known", "sand_for"]

from collections.abc import Mapping
from dataclasses import dataclass

import pandas as pd

from mosaiclib import reference
from mosaiclib.errors import choice, instance, number
from mosaiclib.reference import Record

Band = tuple[float, float]
KINDS = (
    "plain cement grout",
    "cement grout with latex",
    "polymer-modified thin-set mortar",
    "two-part epoxy filler",
)
# polymer over cement where none is typed: none, the full dose, and what ready-mixed mortar may hold (an assumption)
USUAL_POLYMER = (0.0, 0.10, 0.05, 0.0)
FULL_DOSE = 0.10  # polymer over cement at which its effects are taken as full
MOST_POLYMER = 0.30


@dataclass(frozen=True)
class Kind:
    """A kind of filler with its ranges.

    Parameters
    ----------
    name : str
        One of `KINDS`.
    polymer : float
        Polymer over cement, by mass.
    shrinkage, modulus : tuple of float
        Least and greatest drying shrinkage at 50 % humidity [1e-6] and modulus [MPa].
    shrinkage_factor : tuple of float
        What polymer may do to the shrinkage, either way.
    bond_factor : float
        Rise of the interface's energy with polymer.
    cement : bool
        Whether it creeps and dries as cement does.
    """

    name: str
    polymer: float
    shrinkage: Band
    modulus: Band
    shrinkage_factor: Band
    bond_factor: float
    cement: bool


def kind_of(name: str, polymer: float | None = None) -> Kind:
    """Return a kind of filler for a polymer/cement ratio.

    The modulus falls from the range of plain mortar to that of latex mortar, and the bond rises by the measured share,
    both in proportion up to the full dose and no further. Whether shrinkage falls or rises the sources do not agree.

    Parameters
    ----------
    name : str
        One of `KINDS`.
    polymer : float, optional
        Polymer over cement by mass, 0 to 0.3; the kind's usual one if left out. Plain grout and epoxy have none.

    Returns
    -------
    Kind
        Ranges.

    Raises
    ------
    MosaicError
        If the kind is unknown, or the ratio out of range.

    Examples
    --------
    >>> kind_of("plain cement grout").modulus, kind_of("cement grout with latex", 0.05).modulus
    ((20000.0, 30000.0), (15000.0, 25000.0))
    """
    at = KINDS.index(choice(name, "kind of filler", KINDS))
    typed = USUAL_POLYMER[at] if polymer is None else polymer
    ratio = number(typed, "polymer over cement", least=0, greatest=MOST_POLYMER)
    known = reference.by_name("mechanics")
    band = lambda what: known[what].band  # noqa: E731
    if name == KINDS[3]:
        return Kind(name, 0.0, band("shrinkage of epoxy filler"), band("modulus of epoxy filler"), (1, 1), 1.0, False)
    ratio = 0.0 if name == KINDS[0] else ratio
    share = min(ratio / FULL_DOSE, 1.0)
    plain, latex = band("modulus of plain mortar"), band("modulus of latex mortar")
    modulus = tuple(a + (b - a) * share for a, b in zip(plain, latex, strict=True))
    low, high = band("shrinkage of polymer-modified over plain")
    factor = (1 + (low - 1) * share, 1 + (high - 1) * share)
    rise = known["rise of bond with polymer"].number
    return Kind(name, ratio, band("drying shrinkage of mortar"), modulus, factor, 1 + rise * share, True)


def sand_for(joint: float) -> str:
    """Return which filler a joint of this width asks for, by the grain of its sand.

    Parameters
    ----------
    joint : float
        Width of the joint [mm].

    Returns
    -------
    str
        "unsanded" under 1/8 in, "sanded" from it on, "heavily sanded" over 3/8 in.

    Raises
    ------
    MosaicError
        If the joint is out of range.

    References
    ----------
    TCNA, FAQ "Grout"; read.

    Examples
    --------
    >>> sand_for(2.0), sand_for(3.175), sand_for(9.525), sand_for(10)
    ('unsanded', 'sanded', 'sanded', 'heavily sanded')
    """
    wide = number(joint, "joint", "mm", above=0, greatest=100)
    if wide < reference.value("filler", "least joint of sanded filler").number:
        return "unsanded"
    heavy = reference.value("filler", "least joint of heavily sanded filler").number
    return "heavily sanded" if wide > heavy else "sanded"


SILENT = (
    "The norm for filler has no test of adhesion: a pass says nothing of its bond to glass. Adhesives are tested on a "
    "porous concrete slab, which glass is not."
)
EXACT = 1e-9


def quantities_known() -> tuple[str, ...]:
    """Return the names of the test values that the classes ask for.

    Returns
    -------
    tuple of str
        Names, with the unit in the table of classes.

    Examples
    --------
    >>> quantities_known()[0]
    'tensile adhesion, initial'
    """
    return tuple(dict.fromkeys(record.note for record in reference.table("classes")))


def meets(values: Mapping[str, float]) -> pd.DataFrame:
    """Tell which classes hold for typed test values.

    Parameters
    ----------
    values : mapping of str to float
        Test values by the names of `quantities_known` [the table's units: N/mm2, psi, mm, mm3, mm/m, g].

    Returns
    -------
    DataFrame
        One line a class: class, verdict (met, not met, not told) and why.

    Raises
    ------
    MosaicError
        If a name is unknown or a value is not a number of at least 0.

    References
    ----------
    EN 12004, EN 13888, ISO 13007-3, ANSI A118.4 and A118.15; each limit with its evidence in data/.

    Examples
    --------
    >>> table = meets({"shear on porcelain": 300}).set_index("class")
    >>> table.loc["ANSI A118.4", "verdict"], table.loc["ANSI A118.15", "verdict"], table.loc["C1", "verdict"]
    ('met', 'not met', 'not told')
    """
    known = quantities_known()
    found = {
        choice(name, "test value", known): number(value, name, least=0, greatest=1e9)
        for name, value in instance(values, Mapping, "test values").items()
    }
    lines = [_line(name, records, found) for name, records in reference.groups("classes").items()]
    return pd.DataFrame(lines, columns=["class", "verdict", "why"])


def _line(name: str, records: tuple[Record, ...], values: Mapping[str, float]) -> tuple[str, str, str]:
    """Judge one class."""
    given = [record for record in records if record.note in values]
    failed = [_said(record) for record in given if not _holds(record, values[record.note])]
    lacking = [record.note for record in records if record.note not in values]
    if failed:
        return name, "not met", "; ".join(failed)
    if lacking:
        return name, "not told", f"still to be tested: {', '.join(lacking)}"
    return name, "met", f"{records[0].source} ({records[0].evidence}); {records[0].condition}"


def _holds(record: Record, value: float) -> bool:
    low = record.least is None or value >= record.least - EXACT
    return low and (record.greatest is None or value <= record.greatest + EXACT)


def _said(record: Record) -> str:
    """Say the limit of a class."""
    parts = [f"at least {record.least:g}"] if record.least is not None else []
    parts += [f"at most {record.greatest:g}"] if record.greatest is not None else []
    return f"{record.note} must be {' and '.join(parts)} {record.unit}"
