"""The questions of lesson 05."""

__all__ = ["QUESTIONS"]

from collections.abc import Mapping
from typing import Any

import numpy as np

from mosaiclib.colour.fewest import fewest
from mosaiclib.colour.solve import independence_number
from mosaiclib.lesson.questions import Question, Slip
from mosaiclib.lessons.w05_shared import BOND, GRID, RING, touching

Values = Mapping[str, Any]
MEET = "three pieces all touch each other"
LIGHTNESS = "one of the two is much lighter"
LET = 0.05  # of light that stray light adds to both, by the rule for contrast


def _ring(rng: np.random.Generator) -> dict[str, Any]:
    return {"n": int(rng.integers(5, 15))}


def _odd_ring(rng: np.random.Generator) -> dict[str, Any]:
    return {"n": 2 * int(rng.integers(3, 15)) + 1}


def _field(rng: np.random.Generator) -> dict[str, Any]:
    return {"down": int(rng.integers(3, 8)), "across": int(rng.integers(4, 12))}


def _odd_field(rng: np.random.Generator) -> dict[str, Any]:
    return {"down": 2 * int(rng.integers(1, 4)) + 1, "across": 2 * int(rng.integers(2, 6)) + 1}


def _board(v: Values) -> int:
    """Return the most pieces of one colour in a grid of odd by odd."""
    return independence_number(touching(GRID, v["across"], v["down"]))


def _short(rng: np.random.Generator) -> dict[str, Any]:
    values = _odd_field(rng)
    most, n = _board(values), values["across"] * values["down"]
    lack = int(rng.integers(3, 7))
    return values | {"n": n, "white": most + int(rng.integers(1, lack)), "rest": n - most - lack}


def _missing(v: Values) -> int:
    return v["n"] - _board(v) - v["rest"]


def _counted(rng: np.random.Generator) -> dict[str, Any]:
    pairs, chance = int(rng.choice([40, 50, 60, 80])), int(rng.choice([20, 25, 30]))
    return {"pairs": pairs, "chance": chance, "alike": int(pairs * rng.choice([0.65, 0.7, 0.75, 0.8, 0.85, 0.9]))}


def _share(v: Values) -> float:
    return v["alike"] / v["pairs"]


def _light(rng: np.random.Generator) -> dict[str, Any]:
    return {"glass": int(rng.integers(8, 20)) / 100, "filler": int(rng.integers(45, 80)) / 100}


def _ratio(v: Values, stray: float = LET) -> float:
    return (v["filler"] + stray) / (v["glass"] + stray)


def _pair(rng: np.random.Generator) -> dict[str, Any]:
    pairs = ("rose and smoke", "leaf green and amber", "red and green", "sea green and smoke", "violet and blue")
    return {"pair": str(rng.choice(pairs)), "what": str(rng.choice(["house number", "border", "map", "game board"]))}


QUESTIONS = (
    Question(
        "a ring",
        "A ring is closed by {n} pieces, each touching the one before and the one after. How many colours does it take at least?",
        _ring,
        lambda v: fewest(touching(RING, v["n"])).number,
        unit="colours",
        units=("colours", "pieces"),
        slips=(
            Slip(
                "odd and even",
                lambda v: 5 - fewest(touching(RING, v["n"])).number,
                "two colours go in turns round an even number, and only there: count the pieces again.",
            ),
            Slip("one each", lambda v: v["n"], "a colour may come back, only not beside itself."),
        ),
        hint="Go round in turns, blue, white, blue, white: what does the last piece meet?",
        because="With {n} pieces it takes {answer}.",
    ),
    Question(
        "most in a ring",
        "A ring is closed by {n} pieces. How many of them can be amber at most, if no two amber pieces touch?",
        _odd_ring,
        lambda v: independence_number(touching(RING, v["n"])),
        unit="pieces",
        units=("pieces", "colours"),
        slips=(
            Slip("rounded up", lambda v: (v["n"] + 1) / 2, "then the last amber piece would touch the first."),
            Slip("half", lambda v: v["n"] / 2, "half a piece cannot be: does the half count, or not?"),
        ),
        hint="Every amber piece needs another piece after it.",
        because="Each amber piece has another after it, so {answer} is the most.",
    ),
    Question(
        "corners count",
        "A grid has {down} rows of {across} tiles. Two alike shall not even meet at a corner. How many colours does it take at least?",
        _field,
        lambda v: fewest(touching(GRID, v["across"], v["down"], corners=True)).number,
        unit="colours",
        units=("colours", "tiles"),
        slips=(
            Slip("sides only", lambda v: 2, "that is enough for sides; across corners a chessboard has like by like."),
            Slip("three", lambda v: 3, "look at four tiles round one crossing: which two of them may be alike?"),
        ),
        hint="Look at one crossing of joints and the tiles round it.",
        because="The four tiles round a crossing all meet, so it takes {answer}; and so many are enough.",
    ),
    Question(
        "why a bond takes more",
        "{down} rows of {across} tiles are laid in running bond, each row moved by half a tile. Two colours cannot be kept apart. Why?",
        _field,
        lambda v: MEET if fewest(touching(BOND, v["across"], v["down"])).number == 3 else "",
        options=(MEET, "the number of tiles is odd", "the rows are too long", "its joints are narrower"),
        slips=(
            Slip("odd number", lambda v: "the number of tiles is odd", "an even number does not help here: try it."),
            Slip("long rows", lambda v: "the rows are too long", "two tiles on one are enough to see it."),
        ),
        hint="Look at the end of one upright joint: which pieces meet there?",
        because="At the end of each upright joint {answer}: each needs a colour of its own.",
    ),
    Question(
        "most on a board",
        "A grid has {down} rows of {across} tiles. How many can be white at most, if no two white tiles lie side by side?",
        _odd_field,
        _board,
        unit="tiles",
        units=("tiles", "colours"),
        slips=(
            Slip("half", lambda v: v["down"] * v["across"] / 2, "half a tile cannot be: begin with white in a corner."),
            Slip(
                "began with the other",
                lambda v: (v["down"] * v["across"] - 1) / 2,
                "begin with white in a corner: all four corners are then white, and there is one more.",
            ),
        ),
        hint="Draw a chessboard with white corners.",
        because="A chessboard with white corners has one more white tile than the others: {answer}.",
    ),
    Question(
        "short of the others",
        "A grid of {down} rows of {across} tiles takes {n}. The box has {white} white ones and {rest} of other colours. No two alike "
        "may lie side by side. How many more tiles of other colours are needed at least?",
        _short,
        _missing,
        unit="tiles",
        units=("tiles", "colours"),
        slips=(
            Slip(
                "all white used",
                lambda v: v["n"] - v["white"] - v["rest"],
                "not all the white ones can be used: how many can be white at most?",
            ),
            Slip(
                "white left out",
                lambda v: v["n"] - v["rest"],
                "the white ones fill places too, as many as can be white.",
            ),
        ),
        hint="How many can be white at most, as on a chessboard? The rest must have other colours.",
        because="At most one more than half can be white. The other places, less the tiles there are for them: {answer}.",
    ),
    Question(
        "repetition",
        "A drawing of the arrangement is moved two tiles and laid over the first. {alike} of {pairs} pieces fall on their own "
        "colour; by chance {chance} % would. What is the repetition (kappa)?",
        _counted,
        lambda v: (_share(v) - v["chance"] / 100) / (1 - v["chance"] / 100),
        within=0.015,
        slips=(
            Slip("the share", _share, "that is the share alike; take off what chance gives, from it and from 1."),
            Slip(
                "not divided",
                lambda v: _share(v) - v["chance"] / 100,
                "divide by what was left to reach: 1 less the share by chance.",
            ),
        ),
        hint="Take the share by chance from the share alike, and from 1; then divide the first by the second.",
        because="What lies beyond chance, divided by the most that can: {answer}.",
    ),
    Question(
        "glass and filler",
        "A glass sends back {glass} of the light, its filler {filler}. The contrast is the lighter over the darker, 0.05 added to each "
        "for stray light. What is it?",
        _light,
        _ratio,
        within=0.05,
        slips=(
            Slip("no stray light", lambda v: _ratio(v, 0.0), "add 0.05 to each of the two first."),
            Slip("turned round", lambda v: 1 / _ratio(v), "the lighter stands above: it is never under 1."),
        ),
        hint="Add 0.05 to both, then divide the larger by the smaller.",
        because="Lighter over darker, with 0.05 on each: {answer} to 1. From 3 on joints stand out.",
    ),
    Question(
        "what every eye sees",
        "The colours {pair} shall tell the parts of a {what} apart, for every eye. What do you make sure of?",
        _pair,
        lambda v: LIGHTNESS,
        options=(LIGHTNESS, "both are strong colours", "one is warm and one is cold", "both shine alike"),
        slips=(
            Slip("warm and cold", lambda v: "one is warm and one is cold", "some eyes miss just that difference."),
            Slip(
                "strong",
                lambda v: "both are strong colours",
                "red and green of one lightness are strong and alike to some.",
            ),
        ),
        hint="Which difference is left in a grey photograph?",
        because="Lightness is what every kind of eye has: make sure that {answer}.",
    ),
)
