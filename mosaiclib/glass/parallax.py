"""What looking through glass at an angle does to a guide line."""

__all__ = ["Parallax", "parallax"]

import math
from dataclasses import dataclass

from mosaiclib.errors import number


@dataclass(frozen=True)
class Parallax:
    """What looking through the glass at an angle does to a line on its far side.

    `tile_shift` [mm]: how far a tile lands from the line when it is set where the line is seen to meet the near face, along the
    glass from the foot of the line. `line_shift` [mm]: how far the line looks from where it would be seen without the glass.
    """

    tile_shift: float
    line_shift: float


def parallax(thickness: float, angle: float, index: float = 1.52) -> Parallax:
    """Return how far a guide line seen through glass of a thickness t [mm] at an angle from square-on [degrees] misleads.

    Snell's law: sin(r) = sin(angle)/n, tile shift = t tan(r), line shift = t (tan(angle) - tan(r)); n is the refractive index.

    >>> seen = parallax(8, 30)
    >>> round(seen.tile_shift, 1), round(seen.line_shift, 1)
    (2.8, 1.8)
    """
    t = number(thickness, "glass thickness", "mm", least=0, greatest=200)
    outside = math.radians(number(angle, "viewing angle", "degrees", least=0, greatest=89))
    r = math.asin(math.sin(outside) / number(index, "refractive index", least=1, greatest=3))
    return Parallax(t * math.tan(r), t * (math.tan(outside) - math.tan(r)))
