"""A film that shrinks and is held: its stress, and the energy that its bond or its own body would need to hold it."""

__all__ = [
    "CHANNEL",
    "channel_energy",
    "critical_thickness",
    "critical_width",
    "debond_energy",
    "misfit_stress",
    "released_length",
    "stored_energy",
    "thermal_strain",
]

import numpy as np

from mosaiclib.errors import number

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
