"""The questions of workbook 06."""

__all__ = ["QUESTIONS"]

from collections.abc import Mapping
from typing import Any

import numpy as np

from mosaiclib.adhesive import bed_volume
from mosaiclib.filler import grid_volume, usual_grid_volume
from mosaiclib.glass import FourSided, parallax
from mosaiclib.job.quantities import spares
from mosaiclib.lesson.questions import Question, Slip

Values = Mapping[str, Any]
LENGTH_UNITS = ("mm", "cm", "in")


def _vessel(rng: np.random.Generator) -> dict[str, Any]:
    rim = int(rng.integers(120, 200))
    return {
        "rim": rim,
        "middle": rim - int(rng.integers(1, 3)),
        "base": rim - int(rng.integers(3, 6)),
        "wall": int(rng.integers(6, 11)),
    }


def _guide(v: Values) -> float:
    glass = FourSided(min(v["rim"], v["middle"], v["base"]), 120, 140, v["wall"], 8)
    return glass.inside_template("front")[0]


def _area(rng: np.random.Generator) -> dict[str, Any]:
    return {
        "pieces": int(rng.integers(60, 200)),
        "side": int(rng.choice([15, 20, 25])),
        "bed": float(rng.choice([0.5, 0.8, 1.0])),
    }


def _joint(rng: np.random.Generator) -> dict[str, Any]:
    return {
        "side": int(rng.choice([10, 15, 20])),
        "joint": float(rng.choice([1.5, 2.0, 3.0])),
        "depth": float(rng.choice([4.0, 5.0])),
    }


def _breaking(rng: np.random.Generator) -> dict[str, Any]:
    return {"need": int(rng.integers(80, 300)), "percent": int(rng.integers(4, 12))}


def _thick(rng: np.random.Generator) -> dict[str, Any]:
    return {"glass": int(rng.integers(5, 13)), "angle": int(rng.choice([20, 30, 40]))}


QUESTIONS = (
    Question(
        "inside guide",
        "A four-sided vessel measures {rim} mm across at the rim, {middle} mm at the middle and {base} "
        "mm at the base. Its walls are "
        "{wall} mm thick. How wide is the paper guide that stands inside against the front?",
        _vessel,
        _guide,
        unit="mm",
        units=LENGTH_UNITS,
        within=0.1,
        slips=(
            Slip(
                "one wall",
                lambda v: v["base"] - v["wall"],
                "you took off one wall; there is one on either side.",
            ),
            Slip(
                "rim",
                lambda v: v["rim"] - 2 * v["wall"],
                "you started from the rim; the least of the three measures counts.",
            ),
            Slip("outside", lambda v: v["base"], "that is the outside; the paper stands inside the walls."),
        ),
        hint="The narrowest place rules, and there is a wall on both sides.",
        because="The least width less two walls is {answer} mm.",
    ),
    Question(
        "adhesive",
        "{pieces} tiles of {side} mm lie on a bed of {bed} mm, covered all over. How much adhesive is "
        "under them, in mL?",
        _area,
        lambda v: bed_volume(v["pieces"] * v["side"] ** 2, v["bed"]),
        unit="mL",
        units=("mL", "L", "g"),
        within=0.6,
        slips=(
            Slip(
                "thousand too many",
                lambda v: v["pieces"] * v["side"] ** 2 * v["bed"],
                "that is in cubic millimetres; a thousand of them are a millilitre.",
            ),
            Slip(
                "one side only",
                lambda v: v["pieces"] * v["side"] * v["bed"] / 1000,
                "you multiplied by the side once; an area needs it twice.",
            ),
        ),
        hint="Area of all the backs times the bed; a thousand mm3 are a millilitre.",
        because="Backs times bed is {answer} mL.",
    ),
    Question(
        "filler",
        "Tiles of {side} mm stand {joint} mm apart on a straight grid, joints {depth:g} mm deep. How "
        "much filler does a square metre take, in litres?",
        _joint,
        lambda v: grid_volume(v["side"], v["side"], v["joint"], v["depth"]),
        unit="L",
        units=("L", "mL", "kg"),
        within=0.011,
        slips=(
            Slip(
                "usual estimate",
                lambda v: usual_grid_volume(v["side"], v["side"], v["joint"], v["depth"]),
                "you divided by the tile's own area; with small tiles divide by the cell, tile and joint together.",
            ),
            Slip(
                "joints one way",
                lambda v: v["depth"] * v["joint"] / (v["side"] + v["joint"]),
                "you counted the joints that run one way only.",
            ),
        ),
        hint="Of one cell, tile and joint, which share is not tile? That share of the square metre, as deep as the joint.",
        because="The share of the cell that is not tile, times the depth, is {answer} L.",
    ),
    Question(
        "spares",
        "You need {need} good tiles and spoil {percent} in a hundred. What is the least number of extra tiles that makes you 95 % sure?",
        _breaking,
        lambda v: spares(v["need"], v["percent"] / 100, 0.95),
        unit="tiles",
        units=("tiles", "%", "packs"),
        slips=(
            Slip(
                "mean only",
                lambda v: round(v["need"] * v["percent"] / 100),
                "that is what breaks on the whole: every second time it is not enough, and spares break too.",
            ),
        ),
        hint="Expect the spoilt share first, then add some for bad luck, and spares can break too: try it on the page above.",
        because="Counting that spares break too, {answer} extra tiles are enough 95 times in a hundred.",
    ),
    Question(
        "looking askew",
        "A guide line lies behind glass {glass} mm thick (index 1.52). You look at it {angle} degrees "
        "from square-on and set a tile where "
        "you see it meet the front. How far is the tile from the line?",
        _thick,
        lambda v: parallax(v["glass"], v["angle"]).tile_shift,
        unit="mm",
        units=LENGTH_UNITS,
        within=0.06,
        slips=(
            Slip(
                "no bending",
                lambda v: v["glass"] * np.tan(np.radians(v["angle"])),
                "you left out that light bends in the glass.",
            ),
            Slip(
                "line instead of tile",
                lambda v: parallax(v["glass"], v["angle"]).line_shift,
                "that is how far the line itself seems to move.",
            ),
        ),
        hint="Light bends in the glass: sin of the angle over 1.52 is the sin of the bent one.",
        because="Thickness times the tangent of the bent angle is {answer} mm: look square on.",
    ),
)
