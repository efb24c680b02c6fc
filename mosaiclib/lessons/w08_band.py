"""Workbook 08, part three: a figure with a band goes in, and an answer with another band comes out."""

__all__ = ["CONTROLS", "Result", "Settings", "compute", "draw", "report", "summary"]

from dataclasses import dataclass

import numpy as np
import shapely

from mosaiclib import reference
from mosaiclib.adhesive import hours_to_cure
from mosaiclib.drawing import Drawing, Plot
from mosaiclib.drawing.palette import ACCENT, BAND, SECOND, SOFT
from mosaiclib.lesson.controls import Length, Number
from mosaiclib.report import Row
from mosaiclib.units import mm, text

TITLE = "How a number gets its band"
FRONT = reference.value("cure", "front of a moisture cure")
MOST = 84.0  # [days] of the chart


@dataclass(frozen=True)
class Settings:
    """What the reader can set: the tile [mm], and how far the depth of the first day lies below and above its middle [%]."""

    tile: float = 20.0
    off: float = 20.0


@dataclass(frozen=True, eq=False)
class Result:
    """Least, usual and greatest depth of the first day [mm] and the days that each gives, the shortest wait last."""

    settings: Settings
    fronts: tuple[float, float, float]
    days: tuple[float, float, float]


def compute(s: Settings) -> Result:
    """Work out the answer at the middle and at both ends.

    >>> [round(one, 1) for one in compute(Settings()).days]
    [25.0, 16.0, 11.1]
    """
    fronts = tuple(FRONT.number * (1 + side * s.off / 100) for side in (-1, 0, 1))
    tile = shapely.box(0, 0, s.tile, s.tile)
    return Result(s, fronts, tuple(hours_to_cure(tile, k=front) / 24 for front in fronts))


def draw(result: Result) -> Drawing:
    """Draw days against the depth of the first day, with the band that goes in and the band that comes out."""
    s, (least, usual, greatest), (longest, middle, shortest) = result.settings, result.fronts, result.days
    k = np.linspace(1.2, 4.0, 57)
    across, up = (1.2, 4.0), (0.0, MOST)
    words = ("depth after the first day [mm]", "days until the middle is cured")
    plot = Plot(
        across, up, words, ([1.5, 2, 2.5, 3, 3.5, 4], [0, 10, 20, 30, 40, 50, 60]), width=104, height=62, size=4.2
    )
    plot.band([least, greatest], [0, 0], [MOST, MOST], BAND)
    plot.line(k, (s.tile / 2 / k) ** 2, SECOND, width=1.0)
    for front, days in ((least, longest), (greatest, shortest)):
        plot.line([across[0], front], [days, days], ACCENT, dash=(1.5, 1.5))
    plot.line([across[0], usual], [middle, middle], SOFT)
    plot.key("in", BAND)
    plot.key("out: both ends", ACCENT, (1.5, 1.5))
    about = text("A band of ", mm(least, greatest), f" becomes one of {shortest:.0f} to {longest:.0f} days.")
    return plot.drawing("A band goes in, another comes out", about)


def report(result: Result) -> list[Row]:
    """Tell both bands, and how far each end lies from the middle."""
    (least, usual, greatest), (longest, middle, shortest) = result.fronts, result.days
    low, high = (100 * (one / middle - 1) for one in (shortest, longest))
    return [
        Row("In", mm(least, greatest), "", text("middle ", mm(usual), f"; {FRONT.cite}")),
        Row("Out", f"{shortest:.3g} to {longest:.3g}", "days", f"middle {middle:.3g} days"),
        Row("In, as a share", f"{result.settings.off:g}", "%", "below and above alike"),
        Row(
            "Out, as a share", f"{low:+.0f} and {high:+.0f}", "%", "not alike: the answer goes with one over its square"
        ),
        Row(
            "Which end to heed", "", "", "the longer wait: a tile that waits too long is late, one that does not slides"
        ),
    ]


def summary(result: Result) -> str:
    """Return the band of the answer, and what it came from."""
    longest, middle, shortest = result.days
    late = f"{100 * (longest / middle - 1):.0f} % too long"
    return f"{shortest:.0f} to {longest:.0f} days: {result.settings.off:g} % of doubt goes in, up to {late} comes out"


CONTROLS = (
    Length("tile", "Tile", 8, 30, 0.5, help="its middle is cured last"),
    Number("off", "Doubt", 0, 40, 1, "%", help="how far the depth of the first day may be off, either way"),
)
