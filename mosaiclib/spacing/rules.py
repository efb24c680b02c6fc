"""Published rules for joints and tiles, and the thing at hand that comes nearest to a joint."""

__all__ = [
    "LEAST_JOINT",
    "Judged",
    "SpacerChoice",
    "Uniformity",
    "joint_rule_a108_02",
    "judge_readings",
    "nearest_spacer",
    "spacer_candidates",
    "tile_joint_means",
    "uniformity_a137_1",
]

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations_with_replacement

import numpy as np

from mosaiclib import reference
from mosaiclib.errors import MosaicError, choice, number
from mosaiclib.spacing.tile_sizes import lengths
from mosaiclib.units import INCH

LEAST_JOINT = INCH / 16  # [mm] ANSI A108.02 cl. 4.3.8
OVER_VARIATION = 3  # same clause
ALONG, BETWEEN = 0.30, 0.25  # shares of the mean joint, ANSI A137.1 Table 6
EXACT = 1e-9  # [mm] rounding of the arithmetic; a reading on a limit must not fall off it


def joint_rule_a108_02(variation: float) -> float:
    """Return the least joint for tiles whose sizes vary.

    least joint = max(3 variation, 1/16 in)

    Parameters
    ----------
    variation : float
        Largest minus smallest face size of the tiles as supplied [mm].

    Returns
    -------
    float
        Least joint [mm].

    Raises
    ------
    MosaicError
        If the variation is not a number of 0 to 100 mm.

    Notes
    -----
    Written for floor and wall tile. The variation grows with the number of tiles measured, so say how
    many that was.

    Examples
    --------
    >>> round(joint_rule_a108_02(25.4 / 16), 4)
    4.7625
    >>> joint_rule_a108_02(0.5)
    1.5875

    References
    ----------
    ANSI A108.02-2017 cl. 4.3.8, quoted in the TCNA Handbook 2018 p. 37 (read second-hand).
    """
    varied = number(variation, "variation of the tile size", "mm", least=0, greatest=100)
    return max(OVER_VARIATION * varied, LEAST_JOINT)


@dataclass(frozen=True)
class Uniformity:
    """Verdict on how even the joints of a sheet are.

    Parameters
    ----------
    mean : float
        Mean joint of the sheet [mm].
    range_share : float
        Greatest range along one joint, over the mean joint [1].
    tile_share : float or None
        Greatest distance of a tile's mean joint from the mean joint, over it [1]; None if not given.
    even_along, even_between : bool, bool or None
        Whether the one and the other pass.
    sentence : str
        The verdict in words and numbers.
    """

    mean: float
    range_share: float
    tile_share: float | None
    even_along: bool
    even_between: bool | None
    sentence: str

    @property
    def passes(self) -> bool:
        """Whether all that was judged passes."""
        return self.even_along and self.even_between is not False


def uniformity_a137_1(
    joint_readings: Iterable[Iterable[float]], tile_means: Iterable[float] | None = None
) -> Uniformity:
    """Judge the joints of a sheet: even along each joint, and from tile to tile.

    greatest - least along a joint < 0.30 mean; abs(mean joint of a tile - mean) <= 0.25 mean

    Parameters
    ----------
    joint_readings : iterable of iterables of float
        For each joint its readings from end to end, two or more [mm]; joints may have unequal numbers.
    tile_means : iterable of float, optional
        For each tile the mean of the joints round it [mm]; see `tile_joint_means`.

    Returns
    -------
    Uniformity
        The verdict; `mean` is the mean over joints, each counted once [mm].

    Raises
    ------
    MosaicError
        If a reading is no length, a joint has fewer than two, or all joints are closed.

    Notes
    -----
    The standard's table asks for less than 30 %, its text for no more; the stricter is used. A row that
    was simulated has one width a joint: judge its long joints, `rows.joints.T`, each running across all
    rows. That is harder than the standard, which looks along the edge of one tile.

    Examples
    --------
    >>> print(uniformity_a137_1([[2.0, 2.2], [1.9, 2.0]], [2.0, 2.05]).sentence)
    Mean joint 2.02 mm: along one joint it varies by up to 9.9 % (under 30 % wanted: passes); a tile's \
mean joint is up to 1.2 % off (25 % allowed: passes).

    References
    ----------
    ANSI A137.1 Table 6, quoted in a trade magazine's answer (read second-hand).
    """
    readings = _rows_of_readings(joint_readings)
    mean = float(np.mean([joint.mean() for joint in readings]))
    if mean <= 0:
        raise MosaicError("All joints are closed, so there is no mean joint to judge against.")
    along = max(float(np.ptp(joint)) for joint in readings) / mean
    even_along = along < ALONG - EXACT
    words = f"Mean joint {mean:.2f} mm: along one joint it varies by up to {_percent(along, ALONG)} "
    words += f"(under 30 % wanted: {'passes' if even_along else 'fails'})"
    if tile_means is None:
        return Uniformity(mean, along, None, even_along, None, words + ".")
    off = float(np.abs(lengths(tile_means, "mean joint of a tile") - mean).max()) / mean
    even = off <= BETWEEN + EXACT
    words += f"; a tile's mean joint is up to {_percent(off, BETWEEN)} off "
    words += f"(25 % allowed: {'passes' if even else 'fails'})."
    return Uniformity(mean, along, off, even_along, even, words)


def _rows_of_readings(joints: Iterable[Iterable[float]]) -> list[np.ndarray]:
    """Return the readings of each joint, two or more."""
    if isinstance(joints, str | bytes) or not isinstance(joints, Iterable):
        raise MosaicError(f"The joints must be a list of lists of readings, not {joints!r}.")
    found = [lengths(joint, f"joint {place}", 2) for place, joint in enumerate(joints, 1)]
    if not found:
        raise MosaicError("At least one joint with two readings is needed.")
    return found


def _percent(share: float, limit: float) -> str:
    """Show a share in percent, with enough digits to tell it from its limit."""
    digits = 1 if abs(share - limit) < EXACT or abs(share - limit) >= 0.0005 else 4
    return f"{100 * share:.{digits}f} %"


def tile_joint_means(joints: Iterable[Iterable[float]]) -> np.ndarray:
    """Return the mean joint beside each tile of rows laid side by side.

    inner tile (left + right)/2; first and last tile their only joint

    Parameters
    ----------
    joints : array of float, shape (rows, n - 1)
        Joint widths along each row [mm].

    Returns
    -------
    ndarray of float, shape (rows, n)
        Mean joint at each tile [mm].

    Raises
    ------
    MosaicError
        If the joints are no such array, with at least one joint a row.

    Notes
    -----
    Joints above and below a tile are left out.

    Examples
    --------
    >>> tile_joint_means([[2.0, 1.0]]).tolist()
    [[2.0, 1.5, 1.0]]
    """
    try:
        found = np.asarray(joints, dtype=float)
    except (TypeError, ValueError) as problem:
        raise MosaicError("The joints must be rows of numbers, all of one length.") from problem
    if found.ndim != 2 or not found.size or not np.isfinite(found).all():
        raise MosaicError("The joints must be rows of finite numbers, all of one length, at least one a row.")
    padded = np.concatenate([found[:, :1], found, found[:, -1:]], axis=1)
    return (padded[:, :-1] + padded[:, 1:]) / 2


@dataclass(frozen=True)
class Judged:
    """One's own joints against limits.

    Parameters
    ----------
    mean, sd, least, greatest : float
        Of the readings; sd with n - 1 [mm].
    share_within : float
        Share of the readings from joint_min to joint_max, both included, 0 to 1.
    sentences : tuple of str
        The judgement in words and numbers.
    """

    mean: float
    sd: float
    least: float
    greatest: float
    share_within: float
    sentences: tuple[str, ...]


def judge_readings(readings: Iterable[float], joint_min: float, joint_max: float) -> Judged:
    """Judge the joints of one's own piece.

    share within = readings from joint_min to joint_max / all readings

    Parameters
    ----------
    readings : iterable of float
        Joint widths as measured, two or more [mm].
    joint_min, joint_max : float
        Limits [mm].

    Returns
    -------
    Judged
        Figures [mm] and sentences.

    Raises
    ------
    MosaicError
        If a number is out of range, there are fewer than two readings or the limits are crossed.

    Notes
    -----
    A few readings say little of the joints that were not measured.

    Examples
    --------
    >>> found = judge_readings([1.4, 2.0, 2.0, 2.2], 1.5, 2.5)
    >>> found.share_within
    0.75
    >>> print(*found.sentences, sep="\\n")
    4 joints measured: mean 1.90 mm, standard deviation 0.35 mm, from 1.40 to 2.20 mm.
    3 of 4 lie from 1.5 to 2.5 mm; 1 too narrow, 0 too wide.
    """
    found = lengths(readings, "joint", 2)
    low = number(joint_min, "least joint", "mm", least=0, greatest=1000)
    high = number(joint_max, "greatest joint", "mm", least=0, greatest=1000)
    if low > high:
        raise MosaicError(f"The least joint, {low:g} mm, is over the greatest, {high:g} mm; swap them.")
    narrow, wide = int((found < low - EXACT).sum()), int((found > high + EXACT).sum())
    inside, count = len(found) - narrow - wide, len(found)
    mean, sd, least, greatest = (float(one) for one in (found.mean(), found.std(ddof=1), found.min(), found.max()))
    first = f"{count} joints measured: mean {mean:.2f} mm, standard deviation {sd:.2f} mm, "
    second = f"{inside} of {count} lie from {low:g} to {high:g} mm; {narrow} too narrow, {wide} too wide."
    return Judged(mean, sd, least, greatest, inside / count, (f"{first}from {least:.2f} to {greatest:.2f} mm.", second))


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
