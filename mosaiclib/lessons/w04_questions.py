"""The questions of lesson 04."""

__all__ = ["QUESTIONS"]

from collections.abc import Mapping
from typing import Any

import numpy as np

from mosaiclib.filler import debond_energy, thermal_strain
from mosaiclib.lesson.questions import Question, Slip

Values = Mapping[str, Any]
LACKS = "pores to suck and rough faces to key into"
BOND = "whether it bonds to glass"


def _wide(rng: np.random.Generator) -> dict[str, Any]:
    return {"energy": float(rng.integers(3, 9)), "times": int(rng.choice([3, 4, 5]))}


def _relaxed(rng: np.random.Generator) -> dict[str, Any]:
    return {
        "stress": int(rng.integers(8, 20)),
        "modulus": int(rng.choice([15, 20, 25])) * 1000,
        "width": int(rng.integers(2, 5)),
    }


def _energy(v: Values, share: float = 1.0) -> float:
    return debond_energy(v["stress"] * share, v["modulus"], 0.2, v["width"])


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
        "In a narrow, deep joint the sides of a filler would need to hold {energy:g} J/m2. What would they need to hold in "
        "a joint {times} times as wide, still narrow against its depth?",
        _wide,
        lambda v: v["energy"] * v["times"],
        unit="J/m2",
        units=("J/m2", "MPa"),
        within=0.05,
        slips=(
            Slip("the same", lambda v: v["energy"], "more filler pulls on each side: all of the width is set free."),
            Slip(
                "squared",
                lambda v: v["energy"] * v["times"] ** 2,
                "it goes with the stress squared, but with the width as it is.",
            ),
        ),
        because="A side that lets go sets free the whole width: {answer} J/m2. This is why wide joints fail first.",
    ),
    Question(
        "half the stress",
        "Filler pulls with {stress} MPa (modulus {modulus} MPa, Poisson's ratio 0.2) over {width} mm. Creep halves the "
        "pull. What must the sides hold then?",
        _relaxed,
        lambda v: _energy(v, 0.5),
        unit="J/m2",
        units=("J/m2", "MPa"),
        within=0.02,
        slips=(
            Slip(
                "half",
                lambda v: _energy(v) / 2,
                "half the stress leaves a quarter of the energy: it goes with the square.",
            ),
            Slip("not relaxed", _energy, "that is before the creep."),
        ),
        because="(1 - 0.2 squared) x stress squared x width/(2 x modulus), with half the stress: {answer} J/m2.",
    ),
    Question(
        "what glass lacks",
        "Plain filler holds a terracotta {what} with joints of {joint:g} mm for years and lets go of a glass one. What does "
        "glass lack?",
        _piece,
        lambda v: LACKS,
        options=(LACKS, "weight", "warmth", "joints that are wide enough"),
        slips=(
            Slip(
                "warmth", lambda v: "warmth", "heat moves filler and glass nearly alike; drying is ten times as much."
            ),
            Slip("width", lambda v: "joints that are wide enough", "wider joints pull harder."),
        ),
        because="Bond to dense, smooth faces is weak: glass lacks {answer}.",
    ),
    Question(
        "how much latex",
        "A batch has {cement} g of cement. You want {ratio} % polymer over cement, and the latex has {solids} % solids. How "
        "much latex do you pour?",
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
        because="The difference of 2 millionths for each degree: {answer}. Drying, {dry}, matters far more.",
    ),
)
