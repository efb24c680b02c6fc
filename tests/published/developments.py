"""Round glass unrolled: surfaces of cylinders and cones, the volume that a surface in space encloses, girths of ovals."""

import math

import numpy as np

from mosaiclib.glass import Frustum, Round, Tapered, girth_of_oval

from .records import listed

INCH = 25.4


def _area(girths: tuple[float, float], height: float, unit: float) -> float:
    """Return the area of an unrolled frustum in square units of a length [mm]."""
    return Frustum(*(girth * unit for girth in girths), 0.0, height * unit).sector().area / unit**2


def _enclosed(glass: Tapered) -> float:
    """Return the volume that the glass encloses [mm3], by the divergence theorem on its faces put back in space."""
    volume = 0.0
    for one in glass.frusta:
        s, v = (np.stack(np.meshgrid(*((np.arange(400) + 0.5) / 400,) * 2)).reshape(2, -1).T * [one.foot, one.slant]).T
        spots, normals = glass.in_space(one.edge.at(s, v))
        cell = one.girth(v) / 400 * one.slant / 400
        volume += float((np.einsum("ij,ij->i", spots, normals) * cell).sum()) / 3
    top, high = glass.profile[-1]
    return volume + top**2 / (4 * math.pi) * high / 3  # the foot lies at z = 0 and adds nothing


def _frustum_volume() -> float:
    """Return the volume of a frustum of 8 and 4 cm diameter, 5 cm high [cm3]."""
    return _enclosed(Tapered([math.pi * 80, math.pi * 40], [0, 50], 1, 1)) / 1000


HANDBOOK = listed(
    "developments",
    "Machinery's Handbook (Industrial Press), mathematics",
    "volumes of solids: cylinder, cone, frustum of cone, worked examples",
    "from memory",
    "square units, or cubic ones",
    [
        (
            "surface of a cylinder 2.5 in across, 20 in high",
            "157.08",
            lambda: Round(2.5 * math.pi * INCH, 20 * INCH, 1, 1).strip.area / INCH**2,
        ),
        ("surface of a cone 6 in across, 4 in high", "47.124", lambda: _area((6 * math.pi, 1e-6), 4, INCH)),
        ("volume of a frustum 8 and 4 cm across, 5 cm high", "146.61", _frustum_volume),
    ],
)

OVALS = listed(
    "developments",
    "Abramowitz and Stegun, Handbook of Mathematical Functions (1964)",
    "table 17.1, complete elliptic integral E(m); a quarter of an ellipse over its longer half axis",
    "from memory",
    "",
    [
        ("m = 0.75, axes 2 to 1", "1.21106", lambda: girth_of_oval(2, 1) / 4),
        ("m = 0, a circle", "1.57080", lambda: girth_of_oval(2, 2) / 4),
    ],
)

CHECKS = (*HANDBOOK, *OVALS)
