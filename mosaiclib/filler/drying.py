"""How filler shrinks as it dries, and how its stress relaxes while it does."""

__all__ = ["climate_factor", "creep", "relaxation", "shrinkage_share"]

import numpy as np

from mosaiclib import reference
from mosaiclib.errors import number

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
