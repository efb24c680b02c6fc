"""What a bed holds while it cures, and which step of the work waits for what."""

__all__ = ["STEPS", "Hold", "hold", "share_for", "tile_stress"]

from dataclasses import dataclass

from mosaiclib import reference
from mosaiclib.errors import choice, number

GRAVITY = 9.81  # [m/s2]
STEPS = ("turn", "fill", "handle", "wash")


def share_for(step: str) -> float:
    """Return the share of the slowest bed that should be cured before a step; an assumption that agrees with practice.

    Parameters
    ----------
    step : {"turn", "fill", "handle", "wash"}
        What is to be done.

    Returns
    -------
    float
        Share, over 0 to 1.

    Raises
    ------
    MosaicError
        If the step is unknown.

    Examples
    --------
    >>> share_for("turn"), share_for("wash")
    (0.1, 1.0)
    """
    return reference.value("cure", f"share to {choice(step, 'step', STEPS)}").number


def tile_stress(thickness: float, density: float | None = None) -> float:
    """Return the shear under a tile on an upright face: density x g x thickness, whatever its size.

    Parameters
    ----------
    thickness : float
        Of the tile [mm].
    density : float, optional
        Of the glass [kg/m3]; the table's if left out.

    Returns
    -------
    float
        Stress on a bed that covers the whole back [Pa].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Examples
    --------
    >>> round(tile_stress(4, 2500), 1)  # 2500 x 9.81 x 0.004
    98.1
    """
    thick = number(thickness, "tile thickness", "mm", above=0, greatest=100)
    usual = reference.value("cure", "density of glass").number if density is None else density
    return number(usual, "density", "kg/m3", above=0, greatest=25_000) * GRAVITY * thick / 1000


@dataclass(frozen=True)
class Hold:
    """What a bed can hold against the weight of its tile.

    Parameters
    ----------
    stress, strength : float
        Shear from the weight, and what the bed bears now [Pa].
    """

    stress: float
    strength: float

    @property
    def times(self) -> float:
        """How many times its own weight it holds."""
        return self.strength / self.stress

    @property
    def words(self) -> str:
        """The verdict in words; under twice is called unsure."""
        if self.times < 1:
            return "it slides: prop the tile, or lay the face flat"
        return "unsure: prop the tile" if self.times < 2 else "it holds its tile"


def hold(
    thickness: float,
    cured: float,
    *,
    coverage: float = 1.0,
    fresh: float | None = None,
    strength: float | None = None,
) -> Hold:
    """Return what a bed on an upright face holds: coverage x (fresh yield where uncured + strength where cured).

    Parameters
    ----------
    thickness : float
        Of the tile [mm].
    cured : float
        Share of the bed that is cured, 0 to 1.
    coverage : float
        Share of the back that has adhesive, over 0 to 1.
    fresh, strength : float, optional
        Yield of the fresh paste [Pa] and strength of the cured bed [MPa]; both are assumptions, the table's if left
        out.

    Returns
    -------
    Hold
        Stress and strength.

    Raises
    ------
    MosaicError
        If a number is out of range.

    Examples
    --------
    >>> hold(4, 0.0, fresh=200).words, hold(4, 0.1).times > 100
    ('it holds its tile', True)
    """
    done = number(cured, "cured share", least=0, greatest=1)
    share = number(coverage, "coverage", above=0, greatest=1)
    paste = reference.value("cure", "yield of a fresh bed").number if fresh is None else fresh
    solid = reference.value("cure", "strength of a cured bed").number if strength is None else strength
    soft = number(paste, "yield of the fresh bed", "Pa", least=0, greatest=1e5)
    hard = number(solid, "strength of the cured bed", "MPa", above=0, greatest=100) * 1e6
    return Hold(tile_stress(thickness), share * (soft * (1 - done) + hard * done))
