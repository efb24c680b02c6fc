"""Published rules for joints and tiles, and the thing at hand that comes nearest to a joint.

The figures of the rules stand in data/joints_ansi-a108-a137_2017.csv, the coins in data/spacers_*.csv.
"""

__all__ = [
    "Judged",
    "SpacerChoice",
    "Uniformity",
    "joint_rule_a108_02",
    "judge_readings",
    "least_joint",
    "nearest_spacer",
    "spacer_candidates",
    "tile_joint_means",
    "uniformity_a137_1",
]

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations_with_replacement

import numpy as np

from mosaiclib import reference
from mosaiclib.errors import MosaicError, choice, number
from mosaiclib.spacing.tile_sizes import lengths
from mosaiclib.units import mm, text
from mosaiclib.words import Text

EXACT = 1e-9  # [mm] rounding of the arithmetic; a reading on a limit must not fall off it


def _figure(name: str) -> float:
    """Return a figure of the joint rules [its own unit]."""
    return reference.value("joints", name).number


def least_joint() -> float:
    """Return the least joint of any tile, 1/16 in [mm]: ANSI A108.02 cl. 4.3.8 (read second-hand)."""
    return _figure("least joint")


def joint_rule_a108_02(variation: float) -> float:
    """Return the least joint for tiles whose sizes vary: max(3 variation, 1/16 in).

    Parameters
    ----------
    variation : float
        Largest minus smallest face size of the tiles as supplied, 0 to 100 [mm].

    Returns
    -------
    float
        Least joint [mm].

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
    return max(_figure("joint over size variation") * varied, least_joint())


@dataclass(frozen=True)
class Uniformity:
    """How even the joints of a sheet are.

    Mean joint [mm]; over it, the greatest range along one joint and the greatest distance of a tile's mean joint from
    it, None if not given; whether each passes, and the verdict in words and numbers.
    """

    mean: float
    range_share: float
    tile_share: float | None
    even_along: bool
    even_between: bool | None
    sentence: Text

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
    most, wide = _figure("range along one joint"), _figure("mean joint of a tile")
    along = max(float(np.ptp(joint)) for joint in readings) / mean
    even_along = along < most - EXACT
    words = text(
        *("Mean joint ", mm(mean), f": along one joint it varies by up to {_percent(along, most)} "),
        f"(under {100 * most:g} % wanted: {'passes' if even_along else 'fails'})",
    )
    if tile_means is None:
        return Uniformity(mean, along, None, even_along, None, text(words, "."))
    off = float(np.abs(lengths(tile_means, "mean joint of a tile") - mean).max()) / mean
    even = off <= wide + EXACT
    between = f"({100 * wide:g} % allowed: {'passes' if even else 'fails'})."
    words = text(words, f"; a tile's mean joint is up to {_percent(off, wide)} off {between}")
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
    """Return the mean joint beside each tile, (rows, n), from the joints along rows laid side by side, (rows, n - 1) [mm].

    Inner tile (left + right)/2; first and last tile their only joint. Joints above and below a tile are left out.

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
    """One's own joints against limits: figures [mm], sd with n - 1, the share within, 0 to 1, and sentences."""

    mean: float
    sd: float
    least: float
    greatest: float
    share_within: float
    sentences: tuple[Text, ...]


def judge_readings(readings: Iterable[float], joint_min: float, joint_max: float) -> Judged:
    """Judge the joints of one's own piece, two readings or more, against limits that are allowed themselves [mm].

    A few readings say little of the joints that were not measured.

    >>> found = judge_readings([1.4, 2.0, 2.0, 2.2], 1.5, 2.5)
    >>> found.share_within
    0.75
    >>> print(*found.sentences, sep="\\n")
    4 joints measured: mean 1.9 mm, standard deviation 0.35 mm, from 1.4 to 2.2 mm.
    3 of 4 lie from 1.5 to 2.5 mm; 1 too narrow, 0 too wide.
    """
    found = lengths(readings, "joint", 2)
    low = number(joint_min, "least joint", "mm", least=0, greatest=1000)
    high = number(joint_max, "greatest joint", "mm", least=0, greatest=1000)
    if low > high:
        raise MosaicError("The least joint, ", mm(low), ", is over the greatest, ", mm(high), "; swap them.")
    narrow, wide = int((found < low - EXACT).sum()), int((found > high + EXACT).sum())
    inside, count = len(found) - narrow - wide, len(found)
    mean, sd, least, greatest = (float(one) for one in (found.mean(), found.std(ddof=1), found.min(), found.max()))
    spread = "mean ", mm(mean), ", standard deviation ", mm(sd), ", from ", mm(least, greatest), "."
    within = mm(low, high), f"; {narrow} too narrow, {wide} too wide."
    sentences = text(f"{count} joints measured: ", *spread), text(f"{inside} of {count} lie from ", *within)
    return Judged(mean, sd, least, greatest, inside / count, sentences)


@dataclass(frozen=True)
class SpacerChoice:
    """A coin, a stack of two, or a stick, held against a joint.

    Thickness of the stack and what it is over the joint, below 0 where under it [mm]; the evidence for each part in
    the words of the reference tables, or "measured".
    """

    names: tuple[str, ...]
    thickness: float
    error: float
    evidence: tuple[str, ...]

    @property
    def sentence(self) -> Text:
        """What it does to the joint, in a sentence."""
        off = mm(abs(self.error)), " too thick" if self.error > 0 else " too thin"
        off = ("exactly the joint",) if abs(self.error) < 0.005 else off
        return text(" on ".join(self.names), ": ", mm(self.thickness), ", ", *off, ".")


def spacer_candidates(
    joint: float, *, currency: str = "US", stick: float | None = None, pairs: bool = True
) -> tuple[SpacerChoice, ...]:
    """List coins, pairs of coins and the stick by how near they come to a joint [mm], nearest first.

    The coins are those of "US" or "euro"; the stick is as thick as measured [mm] and used alone. Of equally near ones
    the single coin goes first, then the order of the
    table. Coins are as struck; worn or bent ones differ by some hundredths, and so does a raised rim against the
    middle.

    Examples
    --------
    >>> [choice.names for choice in spacer_candidates(2.0)][:2]
    [('US nickel',), ('US quarter',)]
    >>> print(nearest_spacer(3.0).sentence)
    US cent on US cent: 3.04 mm, 0.04 mm too thick.

    References
    ----------
    US Mint, "Coin specifications" (read); Regulation (EU) No 729/2014, Annex I (read second-hand).
    """
    wanted = number(joint, "joint", "mm", above=0, greatest=100)
    known = _coins(currency)
    stacks = [(one,) for one in known]
    if stick is not None:
        thick = number(stick, "thickness of the stick", "mm", above=0, greatest=100)
        stacks.append(((reference.value("spacers", "craft stick").name, thick, "measured"),))
    if pairs:
        stacks += combinations_with_replacement(known, 2)
    found = [_stacked(stack, wanted) for stack in stacks]
    return tuple(sorted(found, key=lambda one: (round(abs(one.error), 6), len(one.names))))


def nearest_spacer(joint: float, **choices: object) -> SpacerChoice:
    """Choose the coin, pair of coins or stick nearest a joint [mm]; asked as `spacer_candidates`."""
    return spacer_candidates(joint, **choices)[0]


def _coins(currency: str) -> list[tuple[str, float, str]]:
    """Return name, thickness and evidence of the coins of a currency that are often in a pocket."""
    chosen = choice(currency, "currency", ("US", "euro"))
    rows = (row for row in reference.table("spacers") if row.group == chosen)
    return [(row.name, row.number, row.evidence) for row in rows if row.more.get("in a pocket") != "seldom"]


def _stacked(stack: Iterable[tuple[str, float, str]], joint: float) -> SpacerChoice:
    """Return a stack held against the joint."""
    names, thick, evidence = zip(*stack, strict=True)
    return SpacerChoice(names, sum(thick), sum(thick) - joint, evidence)
