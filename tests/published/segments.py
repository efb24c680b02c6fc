"""Segments of circles, as flat tiles on round glass make them: arrow heights, areas, and the sag of a curve."""

import math
from functools import partial

from mosaiclib.glass.facets import gap_under_middle, mean_bed

from .records import Check, listed

LARGE = 1000.0  # [mm] ours for a radius of 1 m, told for a radius of 1


def _height(angle: float) -> float:
    """Return the height of the segment over a central angle [degrees], for radius 1."""
    return float(gap_under_middle(2 * LARGE * math.sin(math.radians(angle / 2)), LARGE)) / LARGE


def _area(angle: float) -> float:
    """Return the area of that segment, for radius 1: what lies between a tile that stands on its edges and the glass."""
    chord = 2 * LARGE * math.sin(math.radians(angle / 2))
    return float(mean_bed(chord, 10.0, LARGE, inside=True)) * chord / LARGE**2


TABLE = {
    10: ("0.00381", "0.00044"),
    20: ("0.01519", "0.00352"),
    30: ("0.03407", "0.01180"),
    45: ("0.07612", "0.03915"),
    60: ("0.13397", "0.09059"),
    90: ("0.29289", "0.28540"),
}
HANDBOOK = listed(
    "segments of circles",
    "Machinery's Handbook",
    "table Segments of Circles for Radius = 1",
    "from memory",
    "",
    [
        row
        for angle, (height, area) in TABLE.items()
        for row in (
            (f"height over a central angle of {angle} degrees", height, partial(_height, angle)),
            (f"area over a central angle of {angle} degrees", area, partial(_area, angle)),
        )
    ],
)
LENS = (
    Check(
        "segments of circles",
        "J. S. Loomis, University of Dayton, course notes EOP 601, 2011",
        "Sags and Edge Thickness: curvatures 0.0104227 and -0.0406946 per mm, half aperture 9 mm, thickness 3.0486 mm",
        "read",
        "edge of a lens: its thickness less the sags of both sides",
        "0.918096",
        "mm",
        lambda: 3.0486 - sum(float(gap_under_middle(18, 1 / curve)) for curve in (0.0104227, 0.0406946)),
        # the curvatures are printed to six digits: half a unit of the last moves the sags by 9^2/2 x 5e-8 mm each
        5e-6,
    ),
)
CHECKS = (*HANDBOOK, *LENS)
