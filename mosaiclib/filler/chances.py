"""How likely a joint lets go or cracks over the published ranges: seeded draws, never a lone number."""

__all__ = ["BASES", "INPUTS", "Chance", "Draws", "Joint", "chance", "draw", "scaled", "tornado"]

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from mosaiclib import reference
from mosaiclib.errors import MosaicError, choice, number, several, whole_number
from mosaiclib.filler.drying import climate_factor, creep, shrinkage_share
from mosaiclib.filler.kinds import Band, Kind, kind_of
from mosaiclib.filler.mechanics import CHANNEL, JOULE, released_length

BASES = ("glass", "porous")
INPUTS = (
    "shrinkage",
    "effect of polymer on it",
    "modulus",
    "creep",
    "ageing of creep",
    "Poisson's ratio",
    "interface",
    "filler itself",
)
ITSELF = (50.0, 110.0)  # [J/m2] around the printed "about 80"; the width is ours
MIDDLE = 0.5


@dataclass(frozen=True)
class Joint:
    """A joint that is filled, and where it dries.

    Parameters
    ----------
    width, depth : float
        Of the joint [mm].
    base : {"glass", "porous"}
        What tiles and base are: smooth glass, or something rough that takes up water.
    age : float
        Days of drying.
    humidity : float
        Of the air, 0.4 to 1.
    glass : tuple of float
        Least and greatest energy of the interface on glass: an assumption [J/m2].
    scale : dict of str to float
        Factors by which the width of a range is changed, keyed by `INPUTS`; for tests of how much rests on it.
    """

    width: float
    depth: float
    base: str = "glass"
    age: float = 28.0
    humidity: float = 0.5
    glass: tuple[float, float] | None = None
    scale: tuple[tuple[str, float], ...] = ()

    def __post_init__(self) -> None:
        released_length(self.width, self.depth), shrinkage_share(self.age, self.depth), climate_factor(self.humidity)
        choice(self.base, "base", BASES)
        if self.glass is not None:
            low, high = (
                number(g, "interface energy on glass", "J/m2", above=0, greatest=1e4)
                for g in several(self.glass, "interface energies", 2)
            )
            if low > high:
                raise MosaicError("The least interface energy on glass must not be over the greatest; swap them.")

    @property
    def interface(self) -> Band:
        """Least and greatest energy of the interface without polymer [J/m2]."""
        if self.base == "porous":
            return reference.value("mechanics", "interface energy on rough stone").band
        return self.glass or reference.value("mechanics", "interface energy on smooth glass").band


@dataclass(frozen=True, eq=False)
class Draws:
    """Seeded draws, n of them.

    Parameters
    ----------
    needed, holds : array of float, shape (n,)
        Energy that the interface would need to hold, and what it has [J/m2].
    crack_needed, itself : array of float, shape (n,)
        Energy that the filler would need not to crack, and what it has [J/m2].
    stress : array of float, shape (n,)
        Stress after relaxation [MPa].
    """

    needed: np.ndarray
    holds: np.ndarray
    crack_needed: np.ndarray
    itself: np.ndarray
    stress: np.ndarray


@dataclass(frozen=True, eq=False)
class Chance:
    """How likely a joint lets go or cracks, with what stands behind it.

    Parameters
    ----------
    debond, crack : float
        Share of draws in which a side lets go, and in which the filler cracks across, 0 to 1.
    band : tuple of float
        The chance of letting go if the interface is taken at its best and at its worst.
    draws : Draws
        All draws.
    """

    debond: float
    crack: float
    band: tuple[float, float]
    draws: Draws


def draw(joint: Joint, kind: Kind, draws: int = 2000, seed: int = 0) -> Draws:
    """Draw joints over the published ranges; the same seed gives the same lot to every kind, so that kinds compare in pairs.

    Parameters
    ----------
    joint : Joint
        The joint.
    kind : Kind
        The filler.
    draws : int
        How many, 1 to 1,000,000.
    seed : int
        Seed.

    Returns
    -------
    Draws
        Energies and stresses.

    Raises
    ------
    MosaicError
        If a number is out of range.
    """
    count = whole_number(draws, "number of draws", least=1, greatest=1_000_000)
    start = whole_number(seed, "seed", greatest=2**53)
    bands = tuple(_bands(joint, kind)[:6])
    kept = _kept_pull(bands, joint.depth, joint.age, joint.humidity, kind.cement, start, count)
    return _drawn(joint, kind, _lot(start, count), kept)


@lru_cache(16)
def _lot(seed: int, count: int) -> np.ndarray:
    """Return numbers from 0 to 1 for each input, shape (8, count)."""
    found = np.random.default_rng(seed).random((len(INPUTS), count))
    found.flags.writeable = False
    return found


def _drawn(joint: Joint, kind: Kind, lot: np.ndarray, pulled: tuple[np.ndarray, np.ndarray] | None = None) -> Draws:
    """Turn numbers from 0 to 1, shape (8, n), into energies."""
    bands = _bands(joint, kind)
    climate = joint.depth, joint.age, joint.humidity, kind.cement
    stress, density = pulled or _pull(tuple(bands[:6]), *climate, lot)
    side = released_length(joint.width, joint.depth)
    across = released_length(joint.depth, joint.width / 2)  # the sides hold a crack across a narrow joint
    return Draws(
        needed=density * (side / 2),
        holds=_log(bands[6], lot[6]) * kind.bond_factor,
        crack_needed=density * (CHANNEL * across),
        itself=bands[7][0] + (bands[7][1] - bands[7][0]) * lot[7],
        stress=stress,
    )


def _pull(
    bands: tuple[Band, ...], depth: float, age: float, humidity: float, cement: bool, lot: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Return stress [MPa] and the energy that a millimetre of released length gives, twice over [J/m2], shape (n,)."""
    strain, factor, modulus, ultimate, ageing, nu = (
        low + (high - low) * u for (low, high), u in zip(bands, lot[:6], strict=True)
    )
    dried = climate_factor(humidity) * shrinkage_share(age, depth) if cement else 1.0
    left = 1 / (1 + ageing * creep(age, ultimate)) if cement else 1.0
    stress = modulus * strain * factor * 1e-6 * dried * left / (1 - nu)
    return stress, (1 - nu**2) * stress**2 / modulus * JOULE


@lru_cache(64)
def _kept_pull(
    bands: tuple[Band, ...], depth: float, age: float, humidity: float, cement: bool, seed: int, count: int
) -> tuple[np.ndarray, np.ndarray]:
    """Return the pull of a seeded lot, kept because it rests neither on the joint's width nor on the interface."""
    return _pull(bands, depth, age, humidity, cement, _lot(seed, count))


def _log(band: Band, lot: np.ndarray) -> np.ndarray:
    """Return values spread evenly by their logarithm, as suits what is known by its order of size only."""
    return band[0] * (band[1] / band[0]) ** lot


def _bands(joint: Joint, kind: Kind) -> list[Band]:
    """Return the range of each input, in the order of `INPUTS`."""
    known = reference.by_name("mechanics")
    band = lambda name: known[name].band  # noqa: E731
    plain = [
        kind.shrinkage,
        kind.shrinkage_factor,
        kind.modulus,
        band("ultimate creep of mortar"),
        band("ageing of creep"),
        band("Poisson's ratio of mortar"),
        joint.interface,
        ITSELF,
    ]
    scale = dict(joint.scale)
    for name in scale:
        choice(name, "input", INPUTS)
    return [
        _scaled(one, scale.get(name, 1.0), log=name == "interface") for name, one in zip(INPUTS, plain, strict=True)
    ]


def _scaled(band: Band, factor: float, *, log: bool) -> Band:
    """Return a range made wider or narrower about its middle; never below a tenth of its least."""
    if factor == 1.0:
        return band
    low, high = np.log(band) if log else band
    middle, half = (low + high) / 2, (high - low) / 2 * factor
    ends = np.array([middle - half, middle + half])
    return tuple(np.exp(ends)) if log else (max(ends[0], band[0] / 10), ends[1])


def chance(
    joint: float | Joint,
    depth: float | None = None,
    kind: str | Kind = "plain cement grout",
    *,
    polymer: float | None = None,
    draws: int = 2000,
    seed: int = 0,
    base: str = "glass",
    age: float = 28.0,
    humidity: float = 0.5,
    glass: Sequence[float] | None = None,
) -> Chance:
    """Return how likely a joint lets go of its sides, or cracks, over the published ranges and one assumption.

    Parameters
    ----------
    joint : float or Joint
        Width of the joint [mm], or the joint itself.
    depth : float
        Depth of the joint [mm].
    kind : str or Kind
        Kind of filler.
    polymer : float, optional
        Polymer over cement, 0 to 0.3.
    draws, seed : int
        Number of draws and seed.
    base : {"glass", "porous"}
        Of tiles and base.
    age, humidity : float
        Days of drying; humidity of the air, 0.4 to 1.
    glass : pair of float, optional
        Least and greatest interface energy on glass, an assumption that may be typed over [J/m2].

    Returns
    -------
    Chance
        Shares with their band and the draws.

    Raises
    ------
    MosaicError
        If a number is out of range or the kind unknown.

    Notes
    -----
    No energy of cement on smooth glass was found in print: its range is an assumption, and the band shows what rests on it.

    Examples
    --------
    >>> plain, latex = (chance(2, 4.8, kind) for kind in ("plain cement grout", "cement grout with latex"))
    >>> plain.debond > latex.debond, plain.band[0] < plain.debond <= plain.band[1]
    (True, True)
    """
    band = tuple(glass) if glass is not None else None
    held = joint if isinstance(joint, Joint) else Joint(joint, depth, base, age, humidity, band)
    filler = kind if isinstance(kind, Kind) else kind_of(kind, polymer)
    found = draw(held, filler, draws, seed)
    low, high = (end * filler.bond_factor for end in held.interface)
    ends = float(np.mean(found.needed > high)), float(np.mean(found.needed > low))
    lets_go, cracks = found.needed > found.holds, found.crack_needed > found.itself
    return Chance(float(lets_go.mean()), float(cracks.mean()), ends, found)


def tornado(joint: Joint, kind: Kind) -> list[tuple[str, float, float]]:
    """Return how far each input alone moves the verdict: needed over held energy, at its least and greatest.

    Parameters
    ----------
    joint : Joint
        The joint.
    kind : Kind
        The filler.

    Returns
    -------
    list of (str, float, float)
        Input and the two ratios, all others at the middle of their range; the widest first.

    Examples
    --------
    >>> tornado(Joint(2, 4.8), kind_of("plain cement grout"))[0][0]
    'interface'
    """
    found = []
    for place, name in enumerate(INPUTS[:7]):
        lot = np.full((len(INPUTS), 2), MIDDLE)
        lot[place] = [0.0, 1.0]
        done = _drawn(joint, kind, lot)
        low, high = sorted((done.needed / done.holds).tolist())
        found.append((name, low, high))
    return sorted(found, key=lambda one: one[1] / one[2])


def scaled(joint: Joint, name: str, factor: float) -> Joint:
    """Return the joint with the range of one input made wider or narrower by a factor.

    Parameters
    ----------
    joint : Joint
        The joint.
    name : str
        One of `INPUTS`.
    factor : float
        Factor on the width of the range.

    Returns
    -------
    Joint
        The same joint otherwise.

    Raises
    ------
    MosaicError
        If the input is unknown or the factor out of range.
    """
    known = choice(name, "input", INPUTS)
    return replace(joint, scale=((known, number(factor, "factor", above=0, greatest=10)),))
