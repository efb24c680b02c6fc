"""Workbook 00: a first try of typing lengths."""

__all__ = ["CONTROLS", "Settings", "compute", "draw", "report", "summary"]

from dataclasses import dataclass

import shapely

from mosaiclib import units
from mosaiclib.drawing import Drawing, layout_picture
from mosaiclib.layout import Layout, lay_grid
from mosaiclib.lesson.controls import Length
from mosaiclib.report import Row

TITLE = "Type a length"


@dataclass(frozen=True)
class Settings:
    """What the learner can set [mm]."""

    width: float = 108.0
    tile: float = 20.0


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings."""

    settings: Settings
    layout: Layout


def compute(settings: Settings) -> Result:
    """Lay as many tiles as fit on a strip of glass, 2 mm apart.

    >>> len(compute(Settings()).layout)
    5
    """
    strip = shapely.box(0, 0, settings.width, settings.tile + 4)
    return Result(settings, lay_grid(strip, settings.tile, 2))


def draw(result: Result) -> Drawing:
    """Draw the strip."""
    return layout_picture(result.layout, title="A strip of glass with tiles")


def report(result: Result) -> list[Row]:
    """Tell both lengths in millimetres and in inches."""
    sizes = (("Strip", result.settings.width), ("Tile", result.settings.tile))
    return [Row(name, round(size, 2), "mm", f"in inches: {units.show(size, 'in')}") for name, size in sizes]


def summary(result: Result) -> str:
    """Return the line of quantities."""
    return f"{len(result.layout)} tiles go on this strip, 2 mm apart"


CONTROLS = (
    Length("width", "Strip", 30, 600, 1, help="slide it, or type for example 4 1/2 in"),
    Length("tile", "Tile", 5, 50, 0.5, help="type for example 3/4 in"),
)
