"""The questions of lesson 04."""

__all__ = ["QUESTIONS"]

from collections.abc import Mapping
from typing import Any

import numpy as np

from mosaiclib.filler import stretch_at_failure, thermal_strain
from mosaiclib.lesson.questions import Question, Slip

Values = Mapping[str, Any]
LACKS = "pores to suck and rough faces to key into"
BOND = "whether it bonds to glass"


def _short(rng: np.random.Generator) -> dict[str, Any]:
    return {"metre": float(rng.integers(4, 13)) / 4, "joint": int(rng.choice([2, 3, 4, 5]))}


def _asked(rng: np.random.Generator) -> dict[str, Any]:
    return {
        "asked": int(rng.integers(6, 16)) * 100,
        "strength": int(rng.choice([2, 3, 4])),
        "modulus": int(rng.choice([20, 25])),
    }


def _gives(v: Values, eased: float = 2.0) -> float:
    return 1e6 * stretch_at_failure(v["strength"], v["modulus"] * 1000, eased - 1, 1.0)


def _latex(rng: np.random.Generator) -> dict[str, Any]:
    return {
        "cement": int(rng.integers(4, 15)) * 50,
        "ratio": int(rng.choice([8, 10, 12, 15])),
        "solids": int(rng.choice([40, 45, 50])),
    }


def _latex_mass(v: Values) -> float:
    return v["cement"] * v["ratio"] / 100 / (v["solids"] / 100)


def _piece(rng: np.random.Generator) -> dict[str, Any]:
    return {
        "joint": float(rng.choice([1.5, 2.0, 2.5, 3.0, 4.0])),
        "what": str(rng.choice(["vase", "panel", "bowl stand", "tray"])),
    }


def _heat(rng: np.random.Generator) -> dict[str, Any]:
    return {"warm": int(rng.choice([20, 25, 30, 35, 40])), "dry": int(rng.integers(6, 13)) * 100}


QUESTIONS = (
    Question(
        "wide joints first",
        "Left free, a filler would shrink by {metre:g} mm in a metre. By how many thousandths of a millimetre would it shorten "
        "across a joint of {joint} mm?",
        _short,
        lambda v: v["metre"] * v["joint"],
        unit="thousandths of a mm",
        units=("thousandths of a mm", "mm"),
        within=0.05,
        slips=(
            Slip("the metre", lambda v: v["metre"], "that is in a metre: a joint is so much of it as it is wide."),
            Slip("divided", lambda v: v["metre"] / v["joint"], "a wider joint shortens more, not less."),
        ),
        hint="A metre is a thousand millimetres: what does one millimetre shorten by?",
        because="{metre:g} thousandths for each millimetre of its width: {answer}. This is why wide joints fail first.",
    ),
    Question(
        "asked and given",
        "A filler would shrink by {asked} millionths. It tears at {strength} MPa, its stiffness is {modulus} GPa, and creep "
        "doubles the stretch. How many times is it asked for more than it can give?",
        _asked,
        lambda v: v["asked"] / _gives(v),
        unit="times",
        units=("times", "millionths"),
        within=0.1,
        slips=(
            Slip("no creep", lambda v: v["asked"] / _gives(v, 1.0), "creep lets it stretch twice as far."),
            Slip("turned round", lambda v: _gives(v) / v["asked"], "that is given over asked: turn it round."),
        ),
        hint="Strength over stiffness is a stretch: MPa over GPa gives thousandths. Creep doubles it. Then divide.",
        because="It can give strength over stiffness, twice, in millionths; asked over that is {answer} times.",
    ),
    Question(
        "what glass lacks",
        "A {what} of rough terracotta pieces with joints of {joint:g} mm keeps its plain filler, with fine cracks in it. One of "
        "glass pieces loses it. What do the sides of glass lack?",
        _piece,
        lambda v: LACKS,
        options=(LACKS, "weight", "warmth", "joints that are wide enough"),
        slips=(
            Slip(
                "warmth", lambda v: "warmth", "heat moves filler and glass nearly alike; drying is ten times as much."
            ),
            Slip("width", lambda v: "joints that are wide enough", "wider joints pull harder."),
        ),
        hint="Think of what wet filler can creep into on one side and not on the other.",
        because="Bond to dense, smooth faces is weak: glass lacks {answer}.",
    ),
    Question(
        "how much latex",
        "A batch has {cement} g of cement. You want {ratio} % polymer over cement, and the latex has {solids} % solids. How "
        "many grams of latex do you pour?",
        _latex,
        _latex_mass,
        unit="g",
        units=("g", "mL"),
        within=0.5,
        slips=(
            Slip(
                "solids forgotten",
                lambda v: v["cement"] * v["ratio"] / 100,
                "that is the polymer; the latex holds water too.",
            ),
            Slip(
                "solids times",
                lambda v: v["cement"] * v["ratio"] / 100 * v["solids"] / 100,
                "divide by the share of solids: you need more latex than polymer.",
            ),
        ),
        hint="First the polymer you want, in grams; the latex is only partly polymer.",
        because="Polymer over solids: {answer} g; its water is left out of what you add.",
    ),
    Question(
        "what the standard does not say",
        "A bag of filler for joints of {joint:g} mm passes the grout standard. Which of these does the standard not test, so that "
        "your {what} may still fail?",
        _piece,
        lambda v: BOND,
        options=(BOND, "its strength", "its shrinkage", "how much water it takes up"),
        slips=(
            Slip("strength", lambda v: "its strength", "strength in bending and in pressing is tested."),
            Slip("shrinkage", lambda v: "its shrinkage", "shrinkage is tested."),
        ),
        hint="The standard tests the filler alone. What needs a tile beside it?",
        because="The standard does not test adhesion: it does not say {answer}.",
    ),
    Question(
        "heat or drying",
        "Filler expands by 11 and glass by 9 millionths for each degree. By how many millionths do they part when both are "
        "warmed by {warm} degrees? (It dries by {dry}.)",
        _heat,
        lambda v: thermal_strain(11, 9, v["warm"]),
        unit="millionths",
        units=("millionths", "mm"),
        within=0.5,
        slips=(
            Slip("filler alone", lambda v: 11 * v["warm"], "the glass expands too: only the difference counts."),
            Slip("added", lambda v: 20 * v["warm"], "both expand the same way: take one from the other."),
        ),
        hint="They part by the difference of the two for each degree.",
        because="The difference of 2 millionths for each degree: {answer}. Drying, {dry}, matters far more.",
    ),
)
