"""The questions of lesson 03."""

__all__ = ["QUESTIONS"]

from collections.abc import Mapping
from typing import Any

import numpy as np
import shapely

from mosaiclib import reference
from mosaiclib.adhesive import choose, coverage_wanted, difference, hours_to_cure, passed_by, seen
from mosaiclib.drawing import look
from mosaiclib.lesson.questions import Question, Slip

Values = Mapping[str, Any]
DULL, BRIGHT, SAME = "it turns darker and duller", "it turns brighter", "nothing that the eye can see"
OFFERED = ("neutral-cure silicone", "white polyvinyl acetate", "two-part clear epoxy", "UV-curing acrylate")
GLASS_NAMES = ("amber", "sea green", "sky blue", "rose")


def _tile(rng: np.random.Generator) -> dict[str, Any]:
    return {"side": int(rng.choice([12, 15, 16, 18, 20, 24, 25])), "k": float(rng.choice([2.0, 2.5, 3.0]))}


def _days(v: Values, side: float | None = None) -> float:
    square = shapely.box(0, 0, side or v["side"], side or v["side"])
    return hours_to_cure(square, k=v["k"]) / 24


def _known(rng: np.random.Generator) -> dict[str, Any]:
    values = _tile(rng) | {"k": 2.5}
    return values | {"days": round(_days(values), 1), "half": values["side"] / 2}


def _room(rng: np.random.Generator) -> dict[str, Any]:
    return {"damp": int(rng.choice([60, 70, 80])), "parts": int(rng.choice([2, 3])), "days": int(rng.integers(4, 12))}


def _dry(v: Values) -> float:
    """Return the wait in the drier room: time goes with 1 over the humidity [days]."""
    square = shapely.box(0, 0, 20, 20)
    damp = v["damp"] / 100
    return v["days"] * hours_to_cure(square, humidity=damp / v["parts"]) / hours_to_cure(square, humidity=damp)


def _glass(rng: np.random.Generator) -> dict[str, Any]:
    return {"glass": str(rng.choice(GLASS_NAMES)), "thick": int(rng.integers(3, 7))}


def _over_grey(v: Values) -> str:
    passed = passed_by(look(v["glass"]).fill)
    white, grey = (seen(passed, v["thick"], bed) for bed in ("white bed", "grey bed"))
    if difference(white.lab, grey.lab) < reference.value("optics", "difference that is not seen").number:
        return SAME
    return DULL if grey.lab[0] < white.lab[0] else BRIGHT


def _place(rng: np.random.Generator) -> dict[str, Any]:
    place = str(rng.choice(["dry shelf", "kitchen", "bathroom", "outdoors"]))
    return {"place": place, "side": int(rng.choice([10, 12, 15, 18, 20, 24, 25]))}


def _slowest(v: Values) -> str:
    """Return which of the four offered has only the joints to lose its water by."""
    table = choose("transparent", v["place"]).set_index("family")
    return next(name for name in OFFERED if table.loc[name, "slow"])


def _dab(rng: np.random.Generator) -> dict[str, Any]:
    return {"side": int(rng.choice([12, 15, 18, 20, 25])), "bed": float(rng.choice([0.5, 0.6, 0.8, 1.2]))}


QUESTIONS = (
    Question(
        "middle of the tile",
        "A silicone bed lies under a square tile of {side} mm between two sheets of glass. Moisture comes in {k:g} mm on "
        "the first day. After how many days is the middle cured?",
        _tile,
        _days,
        unit="days",
        units=("days", "hours"),
        within=0.06,
        slips=(
            Slip(
                "whole side",
                lambda v: (v["side"] / v["k"]) ** 2,
                "moisture comes from both sides: half the tile counts.",
            ),
            Slip(
                "steady",
                lambda v: v["side"] / 2 / v["k"],
                "it does not go in steadily: the depth goes with the square root of time.",
            ),
        ),
        hint="How far is the middle from the nearest joint? And the depth goes with the square root of the days.",
        because="The middle is half the side away from the nearest joint: ({side}/2/{k:g}) squared is {answer} days.",
    ),
    Question(
        "half the tile",
        "Under a tile of {side} mm the bed needs {days} days to cure through. How many days does it need under one of "
        "{half:g} mm?",
        _known,
        lambda v: v["days"] / 4,
        unit="days",
        units=("days", "hours"),
        within=0.06,
        slips=(
            Slip("half", lambda v: v["days"] / 2, "half the way takes a quarter of the time, not half."),
            Slip("the same", lambda v: v["days"], "the middle is nearer to the joints now."),
        ),
        hint="The way to the middle is half as long; time goes with the square of the way.",
        because="Half the way takes a quarter of the time: {answer} days.",
    ),
    Question(
        "dry room",
        "In a room of {damp} % humidity the bed takes {days} days. How many days does it take where the humidity is "
        "{parts} times lower and all else is the same?",
        _room,
        _dry,
        unit="days",
        units=("days", "hours"),
        within=0.05,
        slips=(
            Slip(
                "root",
                lambda v: v["days"] * v["parts"] ** 0.5,
                "that is how much less deep it goes in a given time; the wait goes with its square.",
            ),
            Slip("quicker", lambda v: v["days"] / v["parts"], "dry air is slower: the cure lives on moisture."),
        ),
        hint="The depth goes with the square root of the humidity, so the time goes with one over the humidity.",
        because="Half the humidity doubles the wait, a third makes it three times as long: {answer} days.",
    ),
    Question(
        "grey under clear glass",
        "A clear {glass} tile {thick} mm thick is set in a grey bed instead of a white one. What becomes of its colour?",
        _glass,
        _over_grey,
        options=(DULL, BRIGHT, SAME),
        slips=(
            Slip("brighter", lambda v: BRIGHT, "a bed can only send back the light that it does not swallow."),
            Slip("the same", lambda v: SAME, "light passes the glass, meets the bed, and passes the glass again."),
        ),
        hint="Light that you see has gone through the glass twice and come back from the bed.",
        because="Light goes through the glass to the bed and back, and a grey bed swallows most of it: {answer}.",
    ),
    Question(
        "which must dry",
        "Glass tiles of {side} mm go on clear glass; the place: {place}. Which of these hardens only by losing its water, "
        "and so takes weeks to months there?",
        _place,
        _slowest,
        options=OFFERED,
        slips=(
            Slip(
                "silicone",
                lambda v: "neutral-cure silicone",
                "it does not dry: moisture from the air cures it, slowly, by way of the joints.",
            ),
            Slip("epoxy", lambda v: "two-part clear epoxy", "its two parts harden each other without air."),
        ),
        hint="Which of these is mixed with water and has no other way to harden?",
        because="What must give up water has only the joints to lose it by between two sheets of glass: {answer}.",
    ),
    Question(
        "how much covered",
        "Translucent tiles of {side} mm are set on clear glass; the place: {place}. What share of each back must have adhesive?",
        _place,
        lambda v: 100 * coverage_wanted("translucent", v["place"]).number,
        unit="%",
        within=0.5,
        slips=(
            Slip("dry rooms", lambda v: 80, "that rule is for opaque tile in dry rooms."),
            Slip("wet rooms", lambda v: 95, "that rule is for opaque tile in wet rooms and outdoors."),
        ),
        hint="What do you see through the glass wherever nothing is behind it?",
        because="Every empty place is seen through the glass: {answer} %.",
    ),
    Question(
        "one dab",
        "How large a dab covers the whole back of a square tile of {side} mm with a bed of {bed:g} mm?",
        _dab,
        lambda v: v["side"] ** 2 * v["bed"],
        unit="mm3",
        units=("mm3", "mL", "mm2"),
        within=0.5,
        slips=(
            Slip("bed forgotten", lambda v: v["side"] ** 2, "that is the area; times the bed it is a volume."),
            Slip("one side", lambda v: v["side"] * v["bed"], "the back has two sides: side times side times bed."),
        ),
        hint="Area of the back times the bed, in mm3; a thousand mm3 are a millilitre.",
        because="Side times side times bed: {answer} mm3, and 1,000 mm3 are a millilitre.",
    ),
)
