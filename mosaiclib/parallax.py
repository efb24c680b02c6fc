"""What looking through thick glass at an angle does to a guide line."""

__all__ = ["Parallax", "parallax"]

import math
from dataclasses import dataclass

from mosaiclib.errors import number


@dataclass(frozen=True)
class Parallax:
    """What looking through the glass at an angle does to a line on its far side.

    Parameters
    ----------
    tile_shift : float
        How far a tile lands from the line when it is set where the line is seen to meet the near face,
        measured along the glass from the foot of the line [mm].
    line_shift : float
        How far the line looks from where it would be seen without the glass [mm].
    """

    tile_shift: float
    line_shift: float


def parallax(thickness: float, angle: float, index: float = 1.52) -> Parallax:
    """Return how far a guide line seen through the glass at an angle misleads.

    tile shift = t tan(r), line shift = t (tan(angle) - tan(r)), sin(r) = sin(angle)/n.

    Parameters
    ----------
    thickness : float
        Thickness of the glass t [mm].
    angle : float
        Angle of the eye from square-on [degrees].
    index : float
        Refractive index n [1].

    Returns
    -------
    Parallax
        Both shifts [mm].

    Raises
    ------
    MosaicError
        If a number is out of range; the angle must be under 90 degrees.

    References
    ----------
    Snell's law of refraction.

    Examples
    --------
    >>> seen = parallax(8, 30)
    >>> round(seen.tile_shift, 1), round(seen.line_shift, 1)
    (2.8, 1.8)
    """
    depth = number(thickness, "glass thickness", "mm", least=0, greatest=200)
    turn = math.radians(number(angle, "viewing angle", "degrees", least=0, greatest=89))
    inside = math.tan(math.asin(math.sin(turn) / number(index, "refractive index", least=1, greatest=3)))
    return Parallax(depth * inside, depth * (math.tan(turn) - inside))
