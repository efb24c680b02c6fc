"""Filler that shrinks and is held: the stretch asked of it against what it can give, and the energy its sides would need.

=========  ===========================================================  ======
symbol     meaning                                                      unit
=========  ===========================================================  ======
w, d       width and depth of the joint                                 mm
h          length of filler that is set free                            mm
eps        drying shrinkage, if nothing held it                         1
E, nu      modulus and Poisson's ratio of the filler                    MPa, 1
f          tensile strength of the filler, or of its bond to the side   MPa
sigma      stress in the filler, if nothing gave before                 MPa
G          energy release rate: what a side would need to hold          J/m2
Gamma      fracture energy of the interface: what it has                J/m2
t          days of drying                                               day
RH         relative humidity of the air                                 1
phi, chi   creep coefficient, ageing coefficient                        1
=========  ===========================================================  ======

The formulas take numbers or arrays.
"""

__all__ = [
    "SIDES",
    "Chance",
    "Draws",
    "Joint",
    "Stretch",
    "chance",
    "chance_of",
    "climate_factor",
    "creep",
    "debond_energy",
    "hardened",
    "misfit_stress",
    "order",
    "ranges",
    "relaxation",
    "released_length",
    "sample",
    "shrinkage_share",
    "stretch",
    "stretch_at_failure",
    "thermal_strain",
    "tornado",
]

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from mosaiclib import reference
from mosaiclib.errors import MosaicError, choice, number, numbers, several, whole_number
from mosaiclib.filler.kinds import Band, Kind, kind_of

JOULE = 1000.0  # J/m2 in a MPa mm
SOURCE_DEPTH = 38.0  # [mm] volume over surface of the source's concrete
SIDES = ("glass", "porous")
MONTH = 28.0  # [day] the age that strength and stiffness are told for
# [day] of drying at which energies are worked out; between them they are read off a straight line
DAYS = np.concatenate([[0.0], np.geomspace(0.02, 36_500, 60)])
LIMITS = {
    "E": ("modulus", "MPa", {"above": 0, "greatest": 1e6}),
    "nu": ("Poisson's ratio", "", {"least": 0, "greatest": 0.49}),
    "eps": ("shrinkage", "", {"least": 0, "greatest": 0.1}),
    "f": ("strength", "MPa", {"least": 0, "greatest": 1e4}),
    "sigma": ("stress", "MPa", {"least": 0, "greatest": 1e4}),
    "h": ("thickness", "mm", {"least": 0, "greatest": 1000}),
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


def _known(name: str) -> reference.Record:
    return reference.value("mechanics", name)


# --- formulas -------------------------------------------------------------------------------------------


def stretch_at_failure(f, E, phi, chi):
    """Return the slow stretch at which filler tears, or its bond lets go: f/E (1 + chi phi) [1].

    Elastic strain at the strength, eased by creep. Source: tensile strain capacity from strength and modulus, Tasdemir, Lydon
    and Barr, Mag. Concrete Res. 48 (1996), abstract read, authors and journal from memory; age-adjusted effective modulus,
    textbooks, from memory.

    >>> round(stretch_at_failure(3, 25_000, 1.0, 0.8) * 1e6)
    216
    """
    _check(f=f, E=E)
    return f / E * (1 + chi * phi)


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


def released_length(w, d):
    """Return the length of filler that a side of the joint sets free when it lets go: d tanh(w/d) [mm].

    A narrow, deep joint is released over its whole width; in a wide, shallow one the bed holds what is further off than about
    the depth. Our inference (shear lag, with a length of transfer equal to the depth): right in both limits, a guess between.

    >>> round(float(released_length(0.2, 4)), 2), round(float(released_length(100, 4)), 2)
    (0.2, 4.0)
    """
    _check(w=w, d=d)
    return d * np.tanh(w / d)


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
    half = _known("half time of drying, 38 mm deep").number * (d / SOURCE_DEPTH) ** 2
    return t / (half + t)


def hardened(t):
    """Return the modulus at an age over that at 28 days: sqrt(t/(4 + 0.85 t)).

    Source: ACI 209R, strength in moist cure, whose root the modulus follows; from memory. For concrete.

    >>> round(hardened(1), 2), round(hardened(28), 2)
    (0.45, 1.0)
    """
    _check(t=t)
    return (t / (_known("hardening with age").number + 0.85 * t)) ** 0.5


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


# --- asked and given ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Stretch:
    """What is asked of a filler in service and what it can give before it tears, or its side lets go: least, middle and
    greatest [1e-6]. Their ratio does not depend on the joint's width."""

    asked: tuple[float, float, float]
    gives: tuple[float, float, float]

    @property
    def ratio(self) -> tuple[float, float, float]:
        """Asked over given: least, at the middle of every range, and greatest."""
        (a, b, c), (low, middle, high) = self.asked, self.gives
        return a / high, b / middle, c / low


def stretch(kind: Kind, sides: str = "glass", humidity: float = 0.5) -> Stretch:
    """Return asked and given of a cement filler between sides of glass or of something rough that takes up water.

    Porous sides hold, so that the filler's own strength counts; on glass the strength of the bond takes its place, an
    assumption, spread by its logarithm. Strength and stiffness are those of 28 days, creep that of 28 days of load.

    >>> made = stretch(kind_of("plain cement grout"))
    >>> [round(one) for one in made.asked], [round(one, 1) for one in made.gives]
    ([1200, 2100, 3000], [4.4, 23.6, 129.3])
    """
    _needs_cement(kind)
    dry = float(climate_factor(humidity))
    factor = kind.shrinkage_factor
    asked = [dry * eps * f for eps, f in zip(_spread(kind.shrinkage), _spread(factor), strict=True)]
    bond = tuple(one * kind.bond_factor for one in _known("bond strength on smooth glass").band)
    f = (
        _spread(kind.strength)
        if choice(sides, "sides", SIDES) == "porous"
        else (bond[0], (bond[0] * bond[1]) ** 0.5, bond[1])
    )
    E = _spread(kind.modulus)[::-1]  # the stiffest gives least
    phi = [creep(MONTH, ultimate) for ultimate in _spread(_known("ultimate creep of mortar").band)]
    chi = _spread(_known("ageing of creep").band)
    gives = [1e6 * stretch_at_failure(*each) for each in zip(f, E, phi, chi, strict=True)]
    return Stretch(tuple(asked), tuple(gives))


def _spread(band: Band) -> tuple[float, float, float]:
    """Return the least, the middle and the greatest of a range."""
    return band[0], (band[0] + band[1]) / 2, band[1]


def _needs_cement(kind: Kind) -> None:
    if not kind.cement:
        raise MosaicError(f"For {kind.name} no figure on glass was read: no stretch and no chance can be told.")


# --- the chance -----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Joint:
    """A joint that is filled, its width and depth [mm], days since it was filled, and the humidity it dries in, 0.4 to 1.

    `sides`: smooth glass, or something rough that takes up water; `glass`: least and greatest fracture energy of the
    interface on glass, an assumption, the table's if left out [J/m2].
    """

    width: float
    depth: float
    sides: str = "glass"
    age: float = MONTH
    humidity: float = 0.5
    glass: Band | None = None

    def __post_init__(self) -> None:
        number(self.width, "joint", "mm", above=0, greatest=1000)
        shrinkage_share(self.age, self.depth), climate_factor(self.humidity), choice(self.sides, "sides", SIDES)
        if self.glass is not None:
            low, high = several(self.glass, "interface energies", 2)
            for energy in (low, high):
                number(energy, "interface energy on glass", "J/m²", above=0, greatest=1e4)
            if low > high:
                held = f"from {low:g} to {high:g} J/m²"
                raise MosaicError(f"Glass cannot hold {held}: the first number must not be above the second.")

    @property
    def interface(self) -> Band:
        """Least and greatest fracture energy of the interface without polymer [J/m2]."""
        if self.sides == "porous":
            return _known("interface energy on rough stone").band
        return self.glass or _known("interface energy on smooth glass").band


@dataclass(frozen=True, eq=False)
class Draws:
    """n draws, arrays of shape (n,), each the greatest up to the age, as damage does not heal: energy release rate G [J/m2]
    and stress sigma [MPa], both if nothing gave before; and what the interface, Gamma [J/m2], and the filler, f [MPa], hold."""

    G: np.ndarray
    Gamma: np.ndarray
    sigma: np.ndarray
    f: np.ndarray

    @property
    def lets_go(self) -> np.ndarray:
        """Whether a side lets go."""
        return self.Gamma < self.G

    @property
    def tears(self) -> np.ndarray:
        """Whether the filler tears inside where its sides hold."""
        return self.f < self.sigma


def ranges(joint: Joint, kind: Kind) -> dict[str, Band]:
    """Return the range of every input, by its name."""
    _needs_cement(kind)
    return {
        "shrinkage": kind.shrinkage,
        "effect of polymer on it": kind.shrinkage_factor,
        "modulus": kind.modulus,
        "creep": _known("ultimate creep of mortar").band,
        "ageing of creep": _known("ageing of creep").band,
        "Poisson's ratio": _known("Poisson's ratio of mortar").band,
        "interface": joint.interface,
        "strength": kind.strength,
    }


def values_at(bands: Mapping[str, Band], places) -> dict[str, np.ndarray]:
    """Return values at places from 0 to 1 in their ranges, a row of places for each range, shape (8, n).

    The interface is spread evenly by its logarithm, as suits what is known by its order of size only.
    """
    values = {name: low + (high - low) * at for (name, (low, high)), at in zip(bands.items(), places, strict=True)}
    low, high = bands["interface"]
    return values | {"interface": low * (high / low) ** places[list(bands).index("interface")]}


def energies(joint: Joint, kind: Kind, values: Mapping[str, np.ndarray]) -> Draws:
    """Return what a joint needs and has for values of every input of `ranges`, arrays of shape (n,).

    It is kept moist for its first days, and dries then; shrinkage, stiffness and creep are those of each day.
    """
    moist = _known("moist cure of polymer-modified mortar").band[0]
    t, nu = DAYS[:, None], values["Poisson's ratio"]
    E = values["modulus"] * hardened(np.minimum(t + moist, DAYS[-1]))
    eps = values["shrinkage"] * values["effect of polymer on it"] * 1e-6 * climate_factor(joint.humidity)
    left = relaxation(t, values["creep"], values["ageing of creep"])
    sigma = misfit_stress(E, nu, eps * shrinkage_share(t, joint.depth)) * left
    G = debond_energy(sigma, E, nu, released_length(joint.width, joint.depth))
    G, sigma = (_greatest_until(joint.age - moist, each) for each in (G, sigma))
    return Draws(G, values["interface"] * kind.bond_factor, sigma, values["strength"])


def _greatest_until(days: float, values: np.ndarray) -> np.ndarray:
    """Return the greatest of values at DAYS, shape (61, n), up to so many days of drying, shape (n,): it never falls."""
    at = np.interp(max(days, 0.0), DAYS, np.arange(len(DAYS)))
    row = min(int(at), len(DAYS) - 2)
    worst = np.maximum.accumulate(values, axis=0)
    return worst[row] + (at - row) * (worst[row + 1] - worst[row])


def sample(joint: Joint, kind: Kind, draws: int = 2000, seed: int = 0) -> Draws:
    """Draw a joint over the published ranges; one seed draws the same places for every kind: kinds compare in pairs."""
    count = whole_number(draws, "number of draws", least=1, greatest=1_000_000)
    bands = ranges(joint, kind)
    places = np.random.default_rng(whole_number(seed, "seed", greatest=2**53)).random((len(bands), count))
    return energies(joint, kind, values_at(bands, places))


@dataclass(frozen=True, eq=False)
class Chance:
    """The share of draws in which a side lets go, and in which the filler would tear inside if its sides held, 0 to 1; the
    band of letting go if the interface is taken at its best and at its worst; and all draws."""

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
    sand: str = "unsanded",
    draws: int = 2000,
    seed: int = 0,
    sides: str = "glass",
    age: float = MONTH,
    humidity: float = 0.5,
    glass: Band | None = None,
) -> Chance:
    """Return how likely a joint [mm] has let go of its sides by an age [days]: `chance_of` a `Joint` and a kind of filler.

    >>> plain, latex = (chance(2, 4.8, kind) for kind in ("plain cement grout", "cement grout with latex"))
    >>> plain.debond > latex.debond, plain.band[0] <= plain.debond <= plain.band[1]
    (True, True)
    """
    return chance_of(Joint(width, depth, sides, age, humidity, glass), kind_of(kind, polymer, sand), draws, seed)


def chance_of(joint: Joint, kind: Kind, draws: int = 2000, seed: int = 0) -> Chance:
    """Return how likely a joint has let go of its sides, over the published ranges and one assumption.

    No energy of cement on smooth glass was found in print: its range is an assumption, and the band shows what rests on it.
    """
    drawn = sample(joint, kind, draws, seed)
    least, greatest = (energy * kind.bond_factor for energy in joint.interface)
    band = float(np.mean(greatest < drawn.G)), float(np.mean(least < drawn.G))
    return Chance(float(drawn.lets_go.mean()), float(drawn.tears.mean()), band, drawn)


def order(joint: Joint, worse: Kind, better: Kind, draws: int = 2000, seed: int = 0) -> tuple[float, float]:
    """Return in what share of draws the worse filler needs more of what it has than the better, G/Gamma: with the inputs of
    both drawn together, at the same places of their ranges, and drawn apart.

    >>> together, apart = order(Joint(2, 4.8), kind_of("plain cement grout"), kind_of("cement grout with latex"))
    >>> together > apart > 0.5
    True
    """
    first, same, other = (sample(joint, k, draws, n) for k, n in ((worse, seed), (better, seed), (better, seed + 1)))
    return tuple(float(np.mean(first.G / first.Gamma > one.G / one.Gamma)) for one in (same, other))


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
    return sorted((bar for bar in bars if bar[0] != "strength"), key=lambda bar: bar[1] / bar[2])
