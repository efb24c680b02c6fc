"""What can be set in lesson 02, part one: one ring."""

__all__ = ["CONTROLS", "Settings"]

from dataclasses import dataclass

from mosaiclib.control import Control
from mosaiclib.layout import FRACTIONS

GAUGE, MATERIAL = "The gauge", "The material"


@dataclass(frozen=True)
class Settings:
    """What the learner can set [mm]."""

    radius: float = 40.0
    tile: float = 20.0
    fraction: str = "quarter"
    joint: float = 2.0
    step: float = 0.5
    limits: tuple[float, float] = (1.7, 2.3)
    thickness: float = 4.0
    bed: float = 0.8


CONTROLS = (
    Control(
        "radius", "Inside radius", "length", 40.0, "mm", 5, 200, 1, help="from the middle to the inside edge of the row"
    ),
    Control("tile", "Tile", "length", 20.0, "mm", 8, 40, 0.5),
    Control("fraction", "Tiles cut to", "choice", "quarter", options=FRACTIONS),
    Control("joint", "Joint", "length", 2.0, "mm", 0.5, 4, 0.1),
    Control(
        "step",
        "Gauge step",
        "length",
        0.5,
        "mm",
        0.1,
        2,
        0.1,
        fold=GAUGE,
        help="tapers are rounded to it, the rest is carried on",
    ),
    Control(
        "limits",
        "Joint limits",
        "range",
        (1.7, 2.3),
        "mm",
        0.5,
        6,
        0.1,
        fold=GAUGE,
        help="they tell when tiles may stay whole",
    ),
    Control("thickness", "Tile thickness", "length", 4.0, "mm", 2, 12, 0.5, fold=MATERIAL),
    Control("bed", "Adhesive bed", "length", 0.8, "mm", 0.2, 3, 0.1, fold=MATERIAL),
)
