"""The questions of lesson 01."""

__all__ = ["QUESTIONS"]

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from mosaiclib.layout import balanced_border
from mosaiclib.lesson.questions import Question, Slip
from mosaiclib.spacing import joint_rule_a108_02, nearest_spacer, spacer_candidates

Values = Mapping[str, Any]
LENGTH_UNITS = ("mm", "cm", "in")


def _row(rng: np.random.Generator) -> dict[str, Any]:
    return {"tiles": int(rng.integers(5, 16)), "tile": float(rng.choice([15, 19, 20, 25]))}


def _span(rng: np.random.Generator) -> dict[str, Any]:
    values = _row(rng)
    joint = float(rng.choice([1.5, 1.75, 2.0, 2.25, 2.5, 3.0]))
    span = values["tiles"] * values["tile"] + (values["tiles"] - 1) * joint
    return values | {"span": round(span, 2), "joint": joint}


def _left(v: Values) -> float:
    return v["span"] - v["tiles"] * v["tile"]


def _coin_values(rng: np.random.Generator) -> dict[str, Any]:
    # wanted joints near one coin and clear of half way to the next, so that the answer is not a toss-up
    while True:
        joint = round(float(rng.uniform(1.3, 2.05)), 2)
        near = spacer_candidates(joint, currency="US", pairs=False)
        if abs(near[1].error) - abs(near[0].error) > 0.06:
            return {"joint": joint}


def _nearest_coin(v: Values) -> str:
    return nearest_spacer(v["joint"], currency="US", pairs=False).names[0]


def _thin_coin(v: Values) -> str:
    found = spacer_candidates(v["joint"], currency="US", pairs=False)
    return max(found, key=lambda coin: abs(coin.error)).names[0]


def _spread(rng: np.random.Generator) -> dict[str, Any]:
    return {
        "least": round(20 - float(rng.uniform(0.3, 0.6)), 1),
        "greatest": round(20 + float(rng.uniform(0.3, 0.6)), 1),
    }


def _variation(v: Values) -> float:
    return round(v["greatest"] - v["least"], 3)


def _border(rng: np.random.Generator) -> dict[str, Any]:
    tile, joint = 20.0, 2.0
    sliver, full = int(rng.integers(2, 9)), int(rng.integers(5, 12))
    return {"tile": tile, "joint": joint, "sliver": sliver, "span": full * tile + full * joint + sliver}


def _drifts(rng: np.random.Generator) -> dict[str, Any]:
    return {"sd": round(float(rng.uniform(0.15, 0.3)), 2), "tiles": int(rng.choice([16, 25, 36, 49]))}


TIMES = {"twice": 2, "three times": 3, "four times": 4, "five times": 5}


def _grows(rng: np.random.Generator) -> dict[str, Any]:
    return _drifts(rng) | {"times": str(rng.choice(list(TIMES)))}


COINS = sorted(spacer_candidates(2.0, pairs=False), key=lambda coin: coin.thickness)
COIN_NAMES = tuple(coin.names[0] for coin in COINS)
THICK = ", ".join(f"{coin.names[0]} {coin.thickness:.2f} mm" for coin in COINS)

QUESTIONS = (
    Question(
        "joints in a row",
        "A row has {tiles} tiles and runs from edge to edge with no joint at its ends. How many joints are there?",
        _row,
        lambda v: v["tiles"] - 1,
        unit="joints",
        units=("joints", "tiles", "mm"),
        slips=(
            Slip(
                "as many as tiles",
                lambda v: v["tiles"],
                "you counted a joint for every tile, but the last has none after it.",
            ),
            Slip("one more", lambda v: v["tiles"] + 1, "you counted a joint at both ends too."),
        ),
        hint="Draw three tiles in a row and count the spaces between them.",
        because="{tiles} tiles have {answer} spaces between them.",
    ),
    Question(
        "joint for a span",
        "{tiles} tiles of {tile:g} mm are to fill {span:g} mm, flush at both ends. How wide is each joint?",
        _span,
        lambda v: _left(v) / (v["tiles"] - 1),
        unit="mm",
        units=LENGTH_UNITS,
        within=0.03,
        slips=(
            Slip(
                "shared by tiles",
                lambda v: _left(v) / v["tiles"],
                "you divided the gap by the number of tiles; divide it by the number of joints, which is one less.",
            ),
            Slip(
                "shared by ends too",
                lambda v: _left(v) / (v["tiles"] + 1),
                "you left a joint at each end too.",
            ),
            Slip("not shared", _left, "that is all that is left over; share it over the joints."),
        ),
        hint="First take all tiles off the span; what is left is shared by the joints, one fewer than the tiles.",
        because="What the tiles leave, shared over one joint fewer than tiles, is {answer} mm.",
    ),
    Question(
        "nearest coin",
        f"You want a joint of {{joint}} mm. Which US coin comes nearest? As struck: {THICK}.",
        _coin_values,
        _nearest_coin,
        options=COIN_NAMES,
        slips=(Slip("farthest coin", _thin_coin, "that coin is the farthest off."),),
        hint="Go through the list: which thickness is off by least?",
        because="The {answer} is nearest.",
    ),
    Question(
        "spread to least joint",
        "Ten tiles measure from {least} to {greatest} mm. The rule asks for a joint of three times the variation (largest less "
        "smallest), and never under 1/16 in. What is the least joint?",
        _spread,
        lambda v: joint_rule_a108_02(_variation(v)),
        unit="mm",
        units=LENGTH_UNITS,
        within=0.02,
        slips=(
            Slip(
                "variation itself",
                _variation,
                "that is the variation; the rule asks for three times as much.",
            ),
            Slip(
                "half the variation",
                lambda v: 1.5 * _variation(v),
                "you took how far tiles are off the middle; the variation is from smallest to largest.",
            ),
            Slip(
                "floor",
                lambda v: 25.4 / 16,
                "1/16 in is only the floor; three times the variation is more here.",
            ),
        ),
        hint="Largest less smallest first, then three times that.",
        because="Three times the variation is {answer} mm.",
    ),
    Question(
        "balanced border",
        "Laid from one side, whole {tile:g} mm tiles with {joint:g} mm joints fill a span of {span:g} mm but "
        "for a sliver of {sliver} mm. You balance the border. How wide is the border piece on each side?",
        _border,
        lambda v: balanced_border(v["span"], v["tile"], v["joint"]).border_width,
        unit="mm",
        units=LENGTH_UNITS,
        within=0.05,
        slips=(
            Slip(
                "half a sliver",
                lambda v: v["sliver"] / 2,
                "you halved the sliver; take one whole tile out first, then share both.",
            ),
            Slip("sliver kept", lambda v: v["sliver"], "that leaves the sliver on one side."),
        ),
        hint="Take one whole tile out of the row: what is then left over is shared by two sides.",
        because="Take one whole tile out: tile and sliver shared by two sides are {answer} mm each.",
    ),
    Question(
        "what drifts further",
        "The tiles have a standard deviation of {sd} mm, and a spacer is used tile by tile. After how many tiles does "
        "the end of the row usually drift {times} as far as after the first?",
        _grows,
        lambda v: TIMES[v["times"]] ** 2,
        unit="tiles",
        units=("tiles", "joints", "mm"),
        slips=(
            Slip(
                "straight",
                lambda v: TIMES[v["times"]],
                "some tiles are too large and others too small, so errors partly cancel: it takes more tiles than that.",
            ),
        ),
        hint="Four tiles drift twice as far as one, for 2 times 2 is 4. Go on like that.",
        because="{answer} tiles drift {times} as far: drift grows with the square root of the number.",
    ),
    Question(
        "end of the row",
        "The tiles have a standard deviation of {sd} mm, and a spacer is used tile by tile over {tiles} tiles. What is the "
        "standard deviation of the row's end?",
        _drifts,
        lambda v: v["sd"] * math.sqrt(v["tiles"]),
        unit="mm",
        units=LENGTH_UNITS,
        within=0.02,
        slips=(
            Slip(
                "added up",
                lambda v: v["sd"] * v["tiles"],
                "you added all errors one way; some tiles are too large, others too small.",
            ),
            Slip("one tile", lambda v: v["sd"], "that is the error of a single tile."),
        ),
        hint="Four tiles drift twice as far as one, nine tiles three times. Which number, times itself, gives the number of tiles?",
        because="The error of one tile times the square root of the number of tiles is {answer} mm.",
    ),
)
