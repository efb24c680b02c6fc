"""The questions of workbook 06."""

__all__ = ["QUESTIONS"]

from collections.abc import Mapping
from typing import Any

import numpy as np

from mosaiclib.adhesive import bed_volume
from mosaiclib.filler import grid_volume, usual_grid_volume
from mosaiclib.glass import FourSided, Round, parallax
from mosaiclib.job.quantities import spares
from mosaiclib.layout.courses import joint_round
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


def _jar(rng: np.random.Generator) -> dict[str, Any]:
    return {"girth": int(rng.integers(25, 46)) * 10, "wall": int(rng.choice([3, 4, 5, 6]))}


def _inside_girth(v: Values) -> float:
    return Round(v["girth"], 120, v["wall"], 8).inside_template("side")[0]


def _course(rng: np.random.Generator) -> dict[str, Any]:
    side, count = int(rng.choice([15, 20])), int(rng.integers(12, 19))
    return {"side": side, "count": count, "girth": int(count * (side + float(rng.choice([1.6, 2.0, 2.4]))))}


def _closing(v: Values) -> float:
    return joint_round(v["girth"], 0.0, v["count"], v["side"])


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
    Question(
        "guide inside a jar",
        "A jar has a girth of {girth} mm outside. Its wall is {wall} mm thick. How long must the paper guide inside be, without "
        "its flap?",
        _jar,
        _inside_girth,
        unit="mm",
        units=LENGTH_UNITS,
        within=0.5,
        slips=(
            Slip(
                "outside girth",
                lambda v: v["girth"],
                "the paper lies against the inside, where the way round is shorter.",
            ),
            Slip(
                "two walls",
                lambda v: v["girth"] - 2 * v["wall"],
                "two walls are taken off the width, 6.28 walls off the girth.",
            ),
            Slip("3.14 walls", lambda v: v["girth"] - np.pi * v["wall"], "the width is less by two walls, not by one."),
        ),
        hint="The radius is less by one wall. How much less is a circle round it?",
        because="The girth less 6.28 times the wall is {answer} mm.",
    ),
    Question(
        "joint that closes the round",
        "{count} tiles of {side} mm go once round a jar with a girth of {girth} mm. What joint closes the round?",
        _course,
        _closing,
        unit="mm",
        units=LENGTH_UNITS,
        within=0.03,
        slips=(
            Slip(
                "one joint fewer",
                lambda v: (v["girth"] - v["count"] * v["side"]) / (v["count"] - 1),
                "a row with two ends has one joint fewer than tiles; round a jar the last meets the first.",
            ),
            Slip(
                "a joint at each end",
                lambda v: (v["girth"] - v["count"] * v["side"]) / (v["count"] + 1),
                "round a jar there are no ends.",
            ),
            Slip("all that is left", lambda v: v["girth"] - v["count"] * v["side"], "all joints share it."),
        ),
        hint="How many joints are there in a round of so many tiles?",
        because="What the tiles leave of the girth, divided by as many joints as tiles: {answer} mm.",
    ),
)
