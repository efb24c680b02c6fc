"""Which classes of the standards some typed test values meet, and where the standards are silent."""

__all__ = ["SILENT", "meets", "quantities_known"]

from collections.abc import Mapping

import pandas as pd

from mosaiclib import reference
from mosaiclib.errors import choice, instance, number
from mosaiclib.reference import Record

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
