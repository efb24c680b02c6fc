"""The coin, pair of coins or craft stick nearest a joint."""

__all__ = ["SpacerChoice", "nearest_spacer", "spacer_candidates"]

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations_with_replacement

from mosaiclib import reference
from mosaiclib.errors import MosaicError, choice, number
from mosaiclib.layout.rules import EXACT, LEAST_JOINT


@dataclass(frozen=True)
class SpacerChoice:
    """A coin, a stack of two, or a stick, held against a joint.

    Parameters
    ----------
    names : tuple of str
        What is stacked.
    thickness : float
        Of the stack [mm].
    error : float
        Thickness - joint: above 0 the joint comes out wider than wanted [mm].
    evidence : tuple of str
        How the thickness of each is known, in the words of the reference tables, or "measured".
    """

    names: tuple[str, ...]
    thickness: float
    error: float
    evidence: tuple[str, ...]

    @property
    def clears_least_joint(self) -> bool:
        """Whether it holds a joint of at least 1/16 in open, as ANSI A108.02 asks."""
        return self.thickness >= LEAST_JOINT - EXACT

    @property
    def sentence(self) -> str:
        """Say in a sentence what it does to the joint."""
        side = "exactly the joint" if abs(self.error) < 0.005 else f"{abs(self.error):.2f} mm too "
        side += "" if abs(self.error) < 0.005 else ("thick" if self.error > 0 else "thin")
        return f"{' on '.join(self.names)}: {self.thickness:.2f} mm, {side}."


def spacer_candidates(
    joint: float,
    spacers: Mapping[str, float] | None = None,
    *,
    currency: str = "US",
    stick: float | None = None,
    pairs: bool = True,
) -> tuple[SpacerChoice, ...]:
    """List the coins, pairs of coins and the stick by how near they come to a joint.

    error = sum of thicknesses - joint

    Parameters
    ----------
    joint : float
        Wanted joint [mm].
    spacers : mapping of str to float, optional
        Names and thicknesses of one's own, in place of coins [mm].
    currency : {"US", "euro"}
        Whose coins, where no spacers are given.
    stick : float, optional
        Thickness of a craft stick as measured; none has a standard thickness [mm].
    pairs : bool
        Whether two may be stacked, alike or not; the stick is used alone.

    Returns
    -------
    tuple of SpacerChoice
        Nearest first; of equally near ones the single coin first, then the order of the table.

    Raises
    ------
    MosaicError
        If a thickness or the joint is out of range, or nothing is left to choose from.

    Notes
    -----
    Coins are as struck; worn or bent ones differ by some hundredths, and so does a coin's raised rim
    against its middle.

    Examples
    --------
    >>> [choice.names for choice in spacer_candidates(2.0)][:2]
    [('US dollar',), ('US nickel',)]

    References
    ----------
    US Mint, "Coin specifications" (read); Regulation (EU) No 729/2014, Annex I (read second-hand).
    """
    wanted = number(joint, "joint", "mm", above=0, greatest=100)
    known = _coins(currency) if spacers is None else _own(spacers)
    stacks = [(one,) for one in known]
    if stick is not None:
        thick = number(stick, "thickness of the stick", "mm", above=0, greatest=100)
        stacks.append((("craft stick", thick, "measured"),))
    if pairs:
        stacks += combinations_with_replacement(known, 2)
    if not stacks:
        raise MosaicError("There is nothing to space with; name a spacer or measure a stick.")
    found = [_stacked(stack, wanted) for stack in stacks]
    return tuple(sorted(found, key=lambda one: (round(abs(one.error), 6), len(one.names))))


def nearest_spacer(
    joint: float,
    spacers: Mapping[str, float] | None = None,
    *,
    currency: str = "US",
    stick: float | None = None,
    pairs: bool = True,
) -> SpacerChoice:
    """Choose the coin, pair of coins or stick nearest a joint.

    least abs(sum of thicknesses - joint)

    Parameters
    ----------
    joint : float
        Wanted joint [mm].
    spacers, currency, stick, pairs : see `spacer_candidates`
        As for `spacer_candidates` [thicknesses mm].

    Returns
    -------
    SpacerChoice
        The nearest [mm]; of equally near ones the single coin.

    Raises
    ------
    MosaicError
        If a thickness or the joint is out of range, or nothing is left to choose from.

    Examples
    --------
    >>> print(nearest_spacer(3.0).sentence)
    US cent on US cent: 3.04 mm, 0.04 mm too thick.
    >>> nearest_spacer(2.0, currency="euro", pairs=False).names
    ('10 euro cent',)
    """
    return spacer_candidates(joint, spacers, currency=currency, stick=stick, pairs=pairs)[0]


def _coins(currency: str) -> list[tuple[str, float, str]]:
    """Return name, thickness and evidence of the coins of a currency."""
    chosen = choice(currency, "currency", ("US", "euro"))
    rows = (row for row in reference.table("spacers") if row.group == chosen)
    return [(row.name, row.number, row.evidence) for row in rows]


def _own(spacers: Mapping[str, float]) -> list[tuple[str, float, str]]:
    """Return name, thickness and evidence of spacers of one's own."""
    if not isinstance(spacers, Mapping):
        raise MosaicError(f"The spacers must be names with thicknesses, not {spacers!r}.")
    rows = ((str(name), thick) for name, thick in spacers.items())
    return [
        (name, number(thick, f"thickness of {name}", "mm", above=0, greatest=100), "measured") for name, thick in rows
    ]


def _stacked(stack: Iterable[tuple[str, float, str]], joint: float) -> SpacerChoice:
    """Return a stack held against the joint."""
    names, thick, evidence = zip(*stack, strict=True)
    return SpacerChoice(names, sum(thick), sum(thick) - joint, evidence)
