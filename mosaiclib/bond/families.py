"""The families of adhesive under their generic names, each property with its source."""

__all__ = ["Family", "families", "family"]

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from mosaiclib import reference
from mosaiclib.errors import choice
from mosaiclib.reference import Record


@dataclass(frozen=True)
class Family:
    """One family of adhesive.

    Parameters
    ----------
    name : str
        Generic name.
    records : mapping of str to Record
        Its properties: tone, cures by, body, water, sun, gap filling, refractive index, working time, gives off,
        clean-up, for, against, cautions. Words stand in the record's note.
    """

    name: str
    records: Mapping[str, Record]

    def word(self, prop: str) -> str:
        """Return what the table says of a property in words."""
        return self.records[choice(prop, "property", self.records)].note

    @cached_property
    def tone(self) -> str:
        """Clear, white or grey."""
        return self.word("tone")

    @cached_property
    def cures_by(self) -> str:
        """What it needs: air moisture, light, mixing, drying, or cement and drying."""
        return self.word("cures by")

    @cached_property
    def working_minutes(self) -> tuple[float, float] | None:
        """Least and greatest usual working time [min]; None where it is as long as one likes."""
        record = self.records["working time"]
        return None if record.least is None else record.band


def families() -> tuple[str, ...]:
    """Return the names of all families, in the order of the table.

    Returns
    -------
    tuple of str
        Generic names.

    Examples
    --------
    >>> families()[0], len(families())
    ('neutral-cure silicone', 8)
    """
    return tuple(reference.groups("adhesives"))


def family(name: str) -> Family:
    """Return one family by its name.

    Parameters
    ----------
    name : str
        One of `families()`.

    Returns
    -------
    Family
        The family.

    Raises
    ------
    MosaicError
        If there is no such family; the sentence says which there are.

    Examples
    --------
    >>> family("UV-curing acrylate").cures_by
    'light'
    """
    groups = reference.groups("adhesives")
    mine = groups[choice(name, "family of adhesive", groups)]
    return Family(name, {record.name.partition(": ")[2]: record for record in mine})
