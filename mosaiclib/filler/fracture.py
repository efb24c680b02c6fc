"""A film of filler that shrinks and is held: stress, energy release rate, and how likely it lets go over published ranges.

=========  ===========================================================  ======
symbol     meaning                                                      unit
=========  ===========================================================  ======
w, d       width and depth of the joint                                 mm
h          thickness of the film, or the length that is set free        mm
eps        drying shrinkage, if nothing held it                         1
E, nu      modulus and Poisson's ratio of the filler                    MPa, 1
sigma      stress in the filler, as it may not shrink                   MPa
G          energy release rate: what a side or the filler needs to hold J/m2
Gamma      fracture energy: what it has                                 J/m2
t          days of drying                                               day
RH         relative humidity of the air                                 1
phi, chi   creep coefficient, ageing coefficient                        1
=========  ===========================================================  ======

The formulas take numbers or arrays.
"""

__all__ = [
    "BASES",
    "CHANNEL",
    "Chance",
    "Draws",
    "Joint",
    "chance",
    "chance_of",
    "channel_energy",
    "climate_factor",
    "creep",
    "critical_thickness",
    "critical_width",
    "debond_energy",
    "energies",
    "misfit_stress",
    "ranges",
    "relaxation",
    "released_length",
    "released_width",
    "sample",
    "shrinkage_share",
    "stored_energy",
    "thermal_strain",
    "tornado",
    "values_at",
]

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from mosaiclib import reference
from mosaiclib.errors import MosaicError, choice, number, numbers, several, whole_number
from mosaiclib.filler.kinds import Band, Kind, kind_of

CHANNEL = 1.1215**2 * np.pi / 2  # 1.976: half of an edge crack's, because the mean over the depth is half
JOULE = 1000.0  # J/m2 in a MPa mm
SOURCE_DEPTH = 38.0  # [mm] volume over surface of the source's concrete
LIMITS = {
    "E": ("modulus", "MPa", {"above": 0, "greatest": 1e6}),
    "nu": ("Poisson's ratio", "", {"least": 0, "greatest": 0.49}),
    "eps": ("shrinkage", "", {"least": 0, "greatest": 0.1}),
    "sigma": ("stress", "MPa", {"least": 0, "greatest": 1e4}),
    "h": ("thickness", "mm", {"least": 0, "greatest": 1000}),
    "Gamma": ("fracture energy", "J/m2", {"above": 0, "greatest": 1e5}),
    "w": ("joint", "mm", {"least": 0, "greatest": 1000}),
    "d": ("depth of the joint", "mm", {"above": 0, "greatest": 1000}),
    "t": ("age", "days", {"least": 0, "greatest": 36_500}),
    "RH": ("humidity", "", {"least": 0.4, "greatest": 1}),
}


def _check(**symbols) -> None:
    """Raise unless each symbol's number or array is inside its limits."""
    for symbol, values in symbols.items():
        name, unit, limits = LIMITS[symbol]
        numbers(values, name, unit, **limits)


def misfit_stress(E, nu, eps):
    """Return the stress of a film that cannot shrink in either direction: E eps/(1 - nu) [MPa].

    Elastic, no creep, equal in both directions. Source: elasticity; from memory.

    >>> round(misfit_stress(10_000, 0.2, 800e-6), 1)
    10.0
    """
    _check(E=E, nu=nu, eps=eps)
    return E * eps / (1 - nu)


def debond_energy(sigma, E, nu, h):
    """Return the energy release rate of a straight front of debonding: (1 - nu^2) sigma^2 h/(2 E) [J/m2].

    Source: Hutchinson and Suo, Adv. Appl. Mech. 29 (1991), steady debonding in plane strain; read second-hand.

    >>> round(debond_energy(10, 10_000, 0.2, 3), 1)
    14.4
    """
    _check(sigma=sigma, E=E, nu=nu, h=h)
    return (1 - nu**2) * sigma**2 * h / (2 * E) * JOULE


def channel_energy(sigma, E, nu, h):
    """Return the energy release rate of a crack channelling through the film: 1.976 (1 - nu^2) sigma^2 h/E [J/m2].

    Source: Hutchinson and Suo, Adv. Appl. Mech. 29 (1991), table of Z; read second-hand. No elastic mismatch.

    >>> round(channel_energy(10, 10_000, 0.2, 3), 1)
    56.9
    """
    _check(sigma=sigma, E=E, nu=nu, h=h)
    return CHANNEL * (1 - nu**2) * sigma**2 * h / E * JOULE


def stored_energy(sigma, E, nu, h):
    """Return all the energy that the film stores: (1 - nu) sigma^2 h/E [J/m2]; an upper bound, not the straight front's.

    >>> round(stored_energy(10, 10_000, 0.2, 3), 1)
    24.0
    """
    _check(sigma=sigma, E=E, nu=nu, h=h)
    return (1 - nu) * sigma**2 * h / E * JOULE


def critical_thickness(sigma, E, nu, Gamma):
    """Return the thickness from which a film lets go: 2 E Gamma/((1 - nu^2) sigma^2) [mm].

    >>> round(critical_thickness(10, 10_000, 0.2, 6), 2)
    1.25
    """
    _check(E=E, nu=nu, Gamma=Gamma), numbers(sigma, "stress", "MPa", above=0, greatest=1e4)
    return 2 * E * Gamma / ((1 - nu**2) * sigma**2) / JOULE


def released_length(w, d):
    """Return the length of filler that a side of the joint sets free when it lets go: d tanh(w/d) [mm].

    A narrow, deep joint is released over its whole width; in a wide, shallow one the bed holds what is further off than about
    the depth. Our inference (shear lag, with a length of transfer equal to the depth): right in both limits, a guess between.

    >>> round(float(released_length(0.2, 4)), 2), round(float(released_length(100, 4)), 2)
    (0.2, 4.0)
    """
    _check(w=w, d=d)
    return d * np.tanh(w / d)


def released_width(h, d):
    """Return the width of the joint at which the length h is released: d artanh(h/d) [mm]; infinite where no width does.

    >>> round(float(released_width(3.0, 4)), 2), float(released_width(5.0, 4))
    (3.89, inf)
    """
    _check(d=d), numbers(h, "released length", "mm", least=0)
    part = np.minimum(np.divide(h, d), 1.0)
    with np.errstate(divide="ignore"):
        return d * np.arctanh(part)


def critical_width(sigma, E, nu, Gamma, d):
    """Return the joint width from which a side lets go [mm]; infinite where no width does at this depth.

    >>> round(float(critical_width(10, 10_000, 0.2, 6, 4)), 2), float(critical_width(10, 10_000, 0.2, 80, 4))
    (1.29, inf)
    """
    return released_width(critical_thickness(sigma, E, nu, Gamma), d)


def thermal_strain(a1, a2, change):
    """Return the strain between two bodies of expansion a1 and a2 [1e-6/K] that are warmed together by a change [K].

    abs((a1 - a2) change) [1e-6]

    >>> float(thermal_strain(11, 9, 30))
    60.0
    """
    numbers(change, "change of temperature", "K", least=-200, greatest=200)
    return np.abs((a1 - a2) * change)


def shrinkage_share(t, d):
    """Return the share of its drying shrinkage that a joint, dried from its face, has reached: t/(t0 (d/38)^2 + t).

    Source: ACI 209R, t0 = 35 days for moist-cured concrete, from memory; the square of the depth is diffusion.

    >>> shrinkage_share(35, 38), shrinkage_share(28, 4) > 0.98
    (0.5, True)
    """
    _check(t=t, d=d)
    half = reference.value("mechanics", "half time of drying, 38 mm deep").number * (d / SOURCE_DEPTH) ** 2
    return t / (half + t)


def climate_factor(RH):
    """Return shrinkage in a climate over that at 50 % humidity: (1.40 - RH)/0.90, from 0.8 on (3.00 - 3 RH)/0.90.

    Source: ACI 209R; from memory. RH 0.4 to 1.

    >>> climate_factor(np.array([0.5, 0.8, 1.0])).round(3).tolist()
    [1.0, 0.667, 0.0]
    """
    _check(RH=RH)
    return np.where(np.less(RH, 0.8), 1.40 - RH, 3.00 - np.multiply(3, RH)) / 0.90


def creep(t, ultimate):
    """Return the creep coefficient phi after t days of load, from the ultimate one: phi_u t^0.6/(10 + t^0.6).

    Source: ACI 209R; from memory. For concrete.

    >>> round(creep(28, 2.35), 2)
    1.0
    """
    _check(t=t)
    return ultimate * t**0.6 / (10 + t**0.6)


def relaxation(t, ultimate, chi):
    """Return the share of the elastic stress that is left where shrinkage builds up slowly: 1/(1 + chi phi).

    Source: age-adjusted effective modulus; textbooks, from memory.

    >>> relaxation(0, 2.35, 0.8), round(relaxation(28, 2.35, 0.8), 2)
    (1.0, 0.56)
    """
    return 1 / (1 + chi * creep(t, ultimate))


BASES = ("glass", "porous")


@dataclass(frozen=True)
class Joint:
    """A joint that is filled, its width and depth [mm], and where it dries: days, humidity 0.4 to 1.

    `base`: smooth glass, or something rough that takes up water; `glass`: least and greatest fracture energy of the
    interface on glass, an assumption, the table's if left out [J/m2].
    """

    width: float
    depth: float
    base: str = "glass"
    age: float = 28.0
    humidity: float = 0.5
    glass: Band | None = None

    def __post_init__(self) -> None:
        number(self.width, "joint", "mm", above=0, greatest=1000)
        shrinkage_share(self.age, self.depth), climate_factor(self.humidity), choice(self.base, "base", BASES)
        if self.glass is not None:
            low, high = several(self.glass, "interface energies", 2)
            for energy in (low, high):
                number(energy, "interface energy on glass", "J/m2", above=0, greatest=1e4)
            if low > high:
                held = f"from {low:g} to {high:g} J/m2"
                raise MosaicError(f"Glass cannot hold {held}: the first number must not be above the second.")

    @property
    def interface(self) -> Band:
        """Least and greatest fracture energy of the interface without polymer [J/m2]."""
        if self.base == "porous":
            return reference.value("mechanics", "interface energy on rough stone").band
        return self.glass or reference.value("mechanics", "interface energy on smooth glass").band


@dataclass(frozen=True, eq=False)
class Draws:
    """n draws, arrays of shape (n,): energy release rates G and fracture energies Gamma of the interface and of a crack
    across the filler [J/m2], and the stress after relaxation sigma [MPa]."""

    G: np.ndarray
    Gamma: np.ndarray
    G_crack: np.ndarray
    Gamma_filler: np.ndarray
    sigma: np.ndarray

    @property
    def lets_go(self) -> np.ndarray:
        """Whether a side lets go."""
        return self.Gamma < self.G

    @property
    def cracks(self) -> np.ndarray:
        """Whether the filler cracks across."""
        return self.G_crack > self.Gamma_filler


def ranges(joint: Joint, kind: Kind) -> dict[str, Band]:
    """Return the range of every input, by its name."""
    band = {name: record.band for name, record in reference.by_name("mechanics").items() if record.least is not None}
    return {
        "shrinkage": kind.shrinkage,
        "effect of polymer on it": kind.shrinkage_factor,
        "modulus": kind.modulus,
        "creep": band["ultimate creep of mortar"],
        "ageing of creep": band["ageing of creep"],
        "Poisson's ratio": band["Poisson's ratio of mortar"],
        "interface": joint.interface,
        "filler itself": band["fracture energy of the cement itself"],
    }


def values_at(bands: Mapping[str, Band], places) -> dict[str, np.ndarray]:
    """Return values at places from 0 to 1 in their ranges, a row of places for each range, shape (8, n).

    The interface is spread evenly by its logarithm, as suits what is known by its order of size only.
    """
    values = {name: low + (high - low) * at for (name, (low, high)), at in zip(bands.items(), places, strict=True)}
    low, high = bands["interface"]
    return values | {"interface": low * (high / low) ** places[list(bands).index("interface")]}


def energies(joint: Joint, kind: Kind, values: Mapping[str, np.ndarray]) -> Draws:
    """Return what a joint needs and has for values of every input of `ranges`, arrays of shape (n,)."""
    E, nu = values["modulus"], values["Poisson's ratio"]
    eps, left = values["shrinkage"] * values["effect of polymer on it"] * 1e-6, 1.0
    if kind.cement:
        eps = eps * climate_factor(joint.humidity) * shrinkage_share(joint.age, joint.depth)
        left = relaxation(joint.age, values["creep"], values["ageing of creep"])
    sigma = misfit_stress(E, nu, eps) * left
    return Draws(
        G=debond_energy(sigma, E, nu, released_length(joint.width, joint.depth)),
        Gamma=values["interface"] * kind.bond_factor,
        # the sides hold a crack across a narrow joint
        G_crack=channel_energy(sigma, E, nu, released_length(joint.depth, joint.width / 2)),
        Gamma_filler=values["filler itself"],
        sigma=sigma,
    )


def sample(joint: Joint, kind: Kind, draws: int = 2000, seed: int = 0) -> Draws:
    """Draw a joint over the published ranges; one seed draws the same places for every kind: kinds compare in pairs."""
    count = whole_number(draws, "number of draws", least=1, greatest=1_000_000)
    bands = ranges(joint, kind)
    places = np.random.default_rng(whole_number(seed, "seed", greatest=2**53)).random((len(bands), count))
    return energies(joint, kind, values_at(bands, places))


@dataclass(frozen=True, eq=False)
class Chance:
    """The share of draws in which a side lets go, and in which the filler cracks across, 0 to 1; the band of letting go if
    the interface is taken at its best and at its worst; and all draws."""

    debond: float
    crack: float
    band: Band
    draws: Draws


def chance(
    width: float,
    depth: float,
    kind: str = "plain cement grout",
    *,
    polymer: float | None = None,
    draws: int = 2000,
    seed: int = 0,
    base: str = "glass",
    age: float = 28.0,
    humidity: float = 0.5,
    glass: Band | None = None,
) -> Chance:
    """Return how likely a joint [mm] lets go of its sides, or cracks: `chance_of` a `Joint` and a kind of filler.

    >>> plain, latex = (chance(2, 4.8, kind) for kind in ("plain cement grout", "cement grout with latex"))
    >>> plain.debond > latex.debond, plain.band[0] < plain.debond <= plain.band[1]
    (True, True)
    """
    return chance_of(Joint(width, depth, base, age, humidity, glass), kind_of(kind, polymer), draws, seed)


def chance_of(joint: Joint, kind: Kind, draws: int = 2000, seed: int = 0) -> Chance:
    """Return how likely a joint lets go of its sides, or cracks, over the published ranges and one assumption.

    No energy of cement on smooth glass was found in print: its range is an assumption, and the band shows what rests on it.
    """
    drawn = sample(joint, kind, draws, seed)
    least, greatest = (energy * kind.bond_factor for energy in joint.interface)
    band = float(np.mean(greatest < drawn.G)), float(np.mean(least < drawn.G))
    return Chance(float(drawn.lets_go.mean()), float(drawn.cracks.mean()), band, drawn)


def tornado(joint: Joint, kind: Kind) -> list[tuple[str, float, float]]:
    """Return how far each input alone moves the verdict: G/Gamma at its least and greatest, the widest first.

    All others stand in the middle of their range.

    >>> tornado(Joint(2, 4.8), kind_of("plain cement grout"))[0][0]
    'interface'
    """
    bands, bars = ranges(joint, kind), []
    for row, name in enumerate(bands):
        places = np.full((len(bands), 2), 0.5)
        places[row] = 0.0, 1.0
        drawn = energies(joint, kind, values_at(bands, places))
        low, high = sorted((drawn.G / drawn.Gamma).tolist())
        bars.append((name, low, high))
    return sorted((bar for bar in bars if bar[0] != "filler itself"), key=lambda bar: bar[1] / bar[2])
