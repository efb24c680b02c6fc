"""A film of filler that shrinks and is held: stress, energy release rate, and how likely it lets go over the published ranges."""

__all__ = [
    "BASES",
    "CHANNEL",
    "INPUTS",
    "Chance",
    "Draws",
    "Joint",
    "chance",
    "channel_energy",
    "climate_factor",
    "creep",
    "critical_thickness",
    "critical_width",
    "debond_energy",
    "draw",
    "misfit_stress",
    "relaxation",
    "released_length",
    "scaled",
    "shrinkage_share",
    "stored_energy",
    "thermal_strain",
    "tornado",
]

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from mosaiclib import reference
from mosaiclib.errors import MosaicError, choice, number, several, whole_number
from mosaiclib.filler.kinds import Band, Kind, kind_of

CHANNEL = 1.1215**2 * np.pi / 2  # 1.976: half of an edge crack's, because the mean over the depth is half
JOULE = 1000.0  # J/m2 in a MPa mm


def misfit_stress(modulus: float, poisson: float, strain: float) -> float:
    """Return the stress of a film that cannot shrink in either direction: E eps/(1 - nu).

    Parameters
    ----------
    modulus : float
        Young's modulus E [MPa].
    poisson : float
        Poisson's ratio nu, 0 to 0.49 [1].
    strain : float
        Free shrinkage eps [1].

    Returns
    -------
    float
        Stress [MPa].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Notes
    -----
    Elastic, no creep, equal in both directions.

    References
    ----------
    Elasticity; from memory.

    Examples
    --------
    >>> round(misfit_stress(10_000, 0.2, 800e-6), 1)
    10.0
    """
    stiff, nu = _elastic(modulus, poisson)
    return stiff * number(strain, "shrinkage", least=0, greatest=0.1) / (1 - nu)


def _elastic(modulus: float, poisson: float) -> tuple[float, float]:
    """Return checked modulus [MPa] and Poisson's ratio."""
    stiff = number(modulus, "modulus", "MPa", above=0, greatest=1e6)
    return stiff, number(poisson, "Poisson's ratio", least=0, greatest=0.49)


def debond_energy(stress: float, modulus: float, poisson: float, thickness: float) -> float:
    """Return the energy that a straight front of debonding sets free: (1 - nu^2) sigma^2 h/(2 E).

    Parameters
    ----------
    stress : float
        Stress in the film sigma [MPa].
    modulus, poisson : float
        Of the film [MPa, 1].
    thickness : float
        Thickness h, or the length that is released [mm].

    Returns
    -------
    float
        Energy for each area [J/m2].

    Raises
    ------
    MosaicError
        If a number is out of range.

    References
    ----------
    Hutchinson and Suo, Adv. Appl. Mech. 29 (1991), steady debonding in plane strain; read second-hand.

    Examples
    --------
    >>> round(debond_energy(10, 10_000, 0.2, 3), 1)
    14.4
    """
    stiff, nu = _elastic(modulus, poisson)
    return (1 - nu**2) * _pull(stress) ** 2 * _thick(thickness) / (2 * stiff) * JOULE


def channel_energy(stress: float, modulus: float, poisson: float, thickness: float) -> float:
    """Return the energy that a crack channelling through the film sets free: 1.976 sigma^2 h (1 - nu^2)/E.

    Parameters
    ----------
    stress, modulus, poisson, thickness : float
        As for `debond_energy` [MPa, MPa, 1, mm].

    Returns
    -------
    float
        Energy for each area [J/m2].

    Raises
    ------
    MosaicError
        If a number is out of range.

    References
    ----------
    Hutchinson and Suo, Adv. Appl. Mech. 29 (1991), table of Z; read second-hand. No elastic mismatch.

    Examples
    --------
    >>> round(channel_energy(10, 10_000, 0.2, 3), 1)
    56.9
    """
    stiff, nu = _elastic(modulus, poisson)
    return CHANNEL * _pull(stress) ** 2 * _thick(thickness) * (1 - nu**2) / stiff * JOULE


def stored_energy(stress: float, modulus: float, poisson: float, thickness: float) -> float:
    """Return all the energy that the film stores: (1 - nu) sigma^2 h/E; an upper bound, not the straight front's.

    Parameters
    ----------
    stress, modulus, poisson, thickness : float
        As for `debond_energy` [MPa, MPa, 1, mm].

    Returns
    -------
    float
        Energy for each area [J/m2].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Examples
    --------
    >>> round(stored_energy(10, 10_000, 0.2, 3), 1)
    24.0
    """
    stiff, nu = _elastic(modulus, poisson)
    return (1 - nu) * _pull(stress) ** 2 * _thick(thickness) / stiff * JOULE


def critical_thickness(stress: float, modulus: float, poisson: float, energy: float) -> float:
    """Return the thickness from which a film lets go: 2 E Gamma/((1 - nu^2) sigma^2).

    Parameters
    ----------
    stress, modulus, poisson : float
        As for `debond_energy` [MPa, MPa, 1].
    energy : float
        Energy of the interface Gamma [J/m2].

    Returns
    -------
    float
        Thickness [mm].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Examples
    --------
    >>> round(critical_thickness(10, 10_000, 0.2, 6), 2)
    1.25
    """
    stiff, nu = _elastic(modulus, poisson)
    tough = number(energy, "interface energy", "J/m2", above=0, greatest=1e5)
    pull = number(stress, "stress", "MPa", above=0, greatest=1e4)
    return 2 * stiff * tough / JOULE / ((1 - nu**2) * pull**2)


def _pull(stress: float) -> float:
    return number(stress, "stress", "MPa", least=0, greatest=1e4)


def _thick(thickness: float) -> float:
    return number(thickness, "thickness", "mm", above=0, greatest=1000)


def released_length(joint: float, depth: float) -> float:
    """Return the length of filler that a side of the joint sets free when it lets go: d tanh(w/d).

    A narrow, deep joint is released over its whole width; in a wide, shallow one the bed holds what is further off than
    about the depth.

    Parameters
    ----------
    joint : float
        Width of the joint w [mm].
    depth : float
        Depth of the joint d [mm].

    Returns
    -------
    float
        Length [mm].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Notes
    -----
    Our inference by shear lag with a length of transfer equal to the depth; right in both limits, a guess between.

    Examples
    --------
    >>> round(released_length(0.2, 4), 2), round(released_length(100, 4), 2)
    (0.2, 4.0)
    """
    wide = number(joint, "joint", "mm", above=0, greatest=1000)
    deep = number(depth, "depth of the joint", "mm", above=0, greatest=1000)
    return float(deep * np.tanh(wide / deep))


def critical_width(stress: float, modulus: float, poisson: float, energy: float, depth: float) -> float | None:
    """Return the joint width from which a side lets go; None where no width does at this depth.

    d artanh(h/d), h the critical thickness

    Parameters
    ----------
    stress, modulus, poisson, energy : float
        As for `critical_thickness` [MPa, MPa, 1, J/m2].
    depth : float
        Depth of the joint [mm].

    Returns
    -------
    float or None
        Width [mm].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Examples
    --------
    >>> round(critical_width(10, 10_000, 0.2, 6, 4), 2)
    1.29
    >>> critical_width(10, 10_000, 0.2, 80, 4) is None
    True
    """
    thick = critical_thickness(stress, modulus, poisson, energy)
    deep = number(depth, "depth of the joint", "mm", above=0, greatest=1000)
    return float(deep * np.arctanh(thick / deep)) if thick < deep else None


def thermal_strain(first: float, second: float, change: float) -> float:
    """Return the strain between two bodies that are warmed together: abs(a1 - a2) dT.

    Parameters
    ----------
    first, second : float
        Expansion of both [1e-6/K].
    change : float
        Change of temperature, of either sign [K].

    Returns
    -------
    float
        Strain [1e-6].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Examples
    --------
    >>> thermal_strain(11, 9, 30)
    60.0
    """
    one, two = (number(a, "expansion", "1e-6/K", least=0, greatest=1000) for a in (first, second))
    return abs(one - two) * abs(number(change, "change of temperature", "K", least=-200, greatest=200))


SOURCE_DEPTH = 38.0  # [mm] volume over surface of the source's concrete
MOST_DAYS = 36_500.0


def shrinkage_share(age: float, depth: float) -> float:
    """Return the share of its drying shrinkage that a joint has reached: t/(t0 (d/38)^2 + t).

    Parameters
    ----------
    age : float
        Days of drying t.
    depth : float
        Depth of the joint d, dried from its face [mm].

    Returns
    -------
    float
        Share, 0 to 1.

    Raises
    ------
    MosaicError
        If a number is out of range.

    References
    ----------
    ACI 209R, t0 = 35 days for moist-cured concrete, from memory; the square of the depth is diffusion.

    Examples
    --------
    >>> shrinkage_share(35, 38), shrinkage_share(28, 4) > 0.98
    (0.5, True)
    """
    days = number(age, "age", "days", least=0, greatest=MOST_DAYS)
    deep = number(depth, "depth of the joint", "mm", above=0, greatest=1000)
    half = reference.value("mechanics", "half time of drying, 38 mm deep").number * (deep / SOURCE_DEPTH) ** 2
    return days / (half + days)


def climate_factor(humidity: float) -> float:
    """Return shrinkage in a climate over that at 50 % humidity: (1.40 - 0.010 RH)/0.90, from 80 % on (3.00 - 0.030 RH)/0.90.

    Parameters
    ----------
    humidity : float
        Relative humidity, 0.4 to 1.

    Returns
    -------
    float
        Factor [1].

    Raises
    ------
    MosaicError
        If the humidity is out of range.

    References
    ----------
    ACI 209R; from memory.

    Examples
    --------
    >>> round(climate_factor(0.5), 3), round(climate_factor(0.8), 3), climate_factor(1.0)
    (1.0, 0.667, 0.0)
    """
    damp = 100 * number(humidity, "humidity", least=0.4, greatest=1)
    return (1.40 - 0.010 * damp if damp < 80 else 3.00 - 0.030 * damp) / 0.90


def creep(age, ultimate):
    """Return the creep coefficient after some days of load: phi_u t^0.6/(10 + t^0.6).

    Parameters
    ----------
    age : float
        Days t.
    ultimate : float or array of float
        Ultimate coefficient phi_u [1].

    Returns
    -------
    float or array of float
        Creep strain over elastic strain [1].

    Raises
    ------
    MosaicError
        If the age is out of range.

    References
    ----------
    ACI 209R; from memory. For concrete.

    Examples
    --------
    >>> round(float(creep(28, 2.35)), 2)
    1.0
    """
    days = number(age, "age", "days", least=0, greatest=MOST_DAYS)
    return np.asarray(ultimate) * days**0.6 / (10 + days**0.6)


def relaxation(age, ultimate, ageing):
    """Return the share of the elastic stress that is left where shrinkage builds up slowly: 1/(1 + chi phi).

    Parameters
    ----------
    age : float
        Days.
    ultimate, ageing : float or array of float
        Ultimate creep coefficient phi_u and ageing coefficient chi [1].

    Returns
    -------
    float or array of float
        Share, over 0 to 1.

    Raises
    ------
    MosaicError
        If the age is out of range.

    References
    ----------
    Age-adjusted effective modulus; textbooks, from memory.

    Examples
    --------
    >>> float(relaxation(0, 2.35, 0.8)), round(float(relaxation(28, 2.35, 0.8)), 2)
    (1.0, 0.56)
    """
    return 1 / (1 + np.asarray(ageing) * creep(age, ultimate))


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
    stress, density = pulled or _pull_chances(tuple(bands[:6]), *climate, lot)
    side = released_length(joint.width, joint.depth)
    across = released_length(joint.depth, joint.width / 2)  # the sides hold a crack across a narrow joint
    return Draws(
        needed=density * (side / 2),
        holds=_log(bands[6], lot[6]) * kind.bond_factor,
        crack_needed=density * (CHANNEL * across),
        itself=bands[7][0] + (bands[7][1] - bands[7][0]) * lot[7],
        stress=stress,
    )


def _pull_chances(
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
    return _pull_chances(bands, depth, age, humidity, cement, _lot(seed, count))


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
