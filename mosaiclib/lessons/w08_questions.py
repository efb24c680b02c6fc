"""The questions of workbook 08."""

__all__ = ["QUESTIONS"]

from collections.abc import Mapping
from typing import Any

import numpy as np
import shapely

from mosaiclib.adhesive import hours_to_cure
from mosaiclib.lesson.questions import Question, Slip
from mosaiclib.lessons.w08_guard import along_the_bend, straight

Values = Mapping[str, Any]
MOVES = {"the joint": "joint", "the depth": "depth", "what is lost": "lost"}
AGREE, NOT = "it agrees", "it does not agree"
FEW, MANY, BOTH = "the ring of few pieces", "the ring of many pieces", "both alike"
NOTHING, HOLDS, PASSED = "nothing", "that it holds on glass", "that it was pulled off glass and passed"


def _printed(rng: np.random.Generator) -> dict[str, Any]:
    digits = int(rng.integers(1, 3))
    return {"printed": f"{rng.uniform(8, 30):.{digits}f}", "digit": 10.0**-digits}


def _beside(rng: np.random.Generator) -> dict[str, Any]:
    printed = float(rng.integers(80, 300)) / 10
    off = float(rng.choice([0.01, 0.02, 0.04, 0.06, 0.08])) * int(rng.choice([-1, 1]))
    return {"printed": f"{printed:.1f}", "ours": f"{printed + off:.2f}", "off": abs(off)}


def _front(rng: np.random.Generator) -> dict[str, Any]:
    least = float(rng.choice([1.5, 1.8, 2.0, 2.2]))
    return {
        "least": least,
        "greatest": least + float(rng.choice([0.6, 1.0, 1.2])),
        "tile": int(rng.choice([12, 16, 20, 24])),
    }


def _days(v: Values, front: str = "least", share: float = 1.0) -> float:
    side = v["tile"] * share
    return hours_to_cure(shapely.box(0, 0, side, side), k=v[front]) / 24


def _rings(rng: np.random.Generator) -> dict[str, Any]:
    few, radius = int(rng.integers(6, 13)), int(rng.choice([60, 80, 100]))
    same = [many for many in range(60, 121) if not _apart({"radius": radius, "many": many}, "many")]
    return {"few": few, "many": int(rng.choice(same)), "radius": radius}


def _apart(v: Values, count: str) -> bool:
    """Tell whether the two widths of a ring are printed as different tenths."""
    return round(straight(v["radius"], v[count]), 1) != round(along_the_bend(v["radius"], v[count]), 1)


def _scatter(rng: np.random.Generator) -> dict[str, Any]:
    return {"sd": int(rng.integers(10, 31)), "n": int(rng.choice([4, 9, 16, 25]))}


def _class(rng: np.random.Generator) -> dict[str, Any]:
    return {"name": str(rng.choice(["CG1", "CG2"])), "piece": str(rng.choice(["vase", "panel", "tray", "lamp"]))}


def _swing(rng: np.random.Generator) -> dict[str, Any]:
    return dict(zip(MOVES.values(), rng.permutation([5, 15, 25, 40])[:3].tolist(), strict=True))


QUESTIONS = (
    Question(
        "half the last digit",
        "A table prints {printed} mm. By how much may ours be off, either way, and still be what was printed?",
        _printed,
        lambda v: v["digit"] / 2,
        unit="mm",
        within=1e-9,
        slips=(
            Slip(
                "a whole digit",
                lambda v: v["digit"],
                "that is a whole step of the last digit: it was rounded to the nearer one.",
            ),
            Slip(
                "no digit", lambda v: v["digit"] * 5, "look at the last digit that is printed, not the one before it."
            ),
        ),
        hint="It was rounded to its last digit: what is half a step of it?",
        because="What lies within half a step of the last printed digit rounds to it: {answer} mm.",
    ),
    Question(
        "does it agree",
        "A table prints {printed} mm; ours is {ours} mm. What is the verdict?",
        _beside,
        lambda v: AGREE if v["off"] < 0.05 else NOT,
        options=(AGREE, NOT),
        slips=(
            Slip(
                "the other",
                lambda v: NOT if v["off"] < 0.05 else AGREE,
                "round ours to one digit after the point and look again.",
            ),
        ),
        hint="Round ours to one digit after the point.",
        because="Ours is off by {off:g} mm and may be off by 0.05 mm: {answer}.",
    ),
    Question(
        "the longer end",
        "A bed cures {least:g} to {greatest:g} mm deep in the first day. After how many days is the middle of a tile of {tile} mm "
        "cured for sure?",
        _front,
        _days,
        unit="days",
        units=("days", "hours"),
        within=0.1,
        slips=(
            Slip(
                "the quick end", lambda v: _days(v, "greatest"), "that is the shorter wait: for sure is the longer one."
            ),
            Slip("the whole side", lambda v: _days(v, "least", 2.0), "the middle is half a side from the joint."),
        ),
        hint="Half the side, over the smaller depth, squared.",
        because="Half the side over the least depth, squared: {answer} days. The slow end is the one to wait for.",
    ),
    Question(
        "which row guards",
        "A table prints the wide end of a piece for rings of {few} and of {many} pieces, in tenths of a millimetre, at {radius} mm "
        "outside. Which row can tell the straight width from the width along the bend?",
        _rings,
        lambda v: {(True, False): FEW, (False, True): MANY}[_apart(v, "few"), _apart(v, "many")],
        options=(FEW, MANY, BOTH),
        slips=(
            Slip(
                "many",
                lambda v: MANY,
                "with many pieces each bends so little that both formulas round to the same tenth.",
            ),
            Slip("both", lambda v: BOTH, "work out both widths for the ring of many: they round to the same tenth."),
        ),
        hint="On which ring does a piece bend more?",
        because="{answer}: there the two widths round to different tenths.",
    ),
    Question(
        "scatter of a mean",
        "Single joints scatter by {sd} %. By how much does the mean of {n} of them scatter?",
        _scatter,
        lambda v: v["sd"] / v["n"] ** 0.5,
        unit="%",
        within=0.05,
        slips=(
            Slip("not less", lambda v: v["sd"], "a mean scatters less than what it is taken from."),
            Slip("over the number", lambda v: v["sd"] / v["n"], "divide by the root of the number."),
        ),
        hint="It goes with one over the root of the number.",
        because="{sd} % over the root of {n} is {answer} %. So a mean passes where single joints do not.",
    ),
    Question(
        "a class of filler",
        "A bag says {name}, a class of the standard for fillers. What does that say of its hold on the glass of your {piece}?",
        _class,
        lambda v: NOTHING,
        options=(NOTHING, HOLDS, PASSED),
        slips=(
            Slip(
                "holds",
                lambda v: HOLDS,
                "its tests are of wear, bending, crushing, shrinking and water; none pulls it off anything.",
            ),
            Slip("pulled", lambda v: PASSED, "nothing is pulled off glass in it."),
        ),
        hint="What is pulled off what in its tests?",
        because="The class holds no test of adhesion: {answer}.",
    ),
    Question(
        "which to measure",
        "An answer moves by {joint} % as the joint goes from its least to its greatest, by {depth} % with the depth, by {lost} % with "
        "what is lost. Which one do you measure first on your own piece?",
        _swing,
        lambda v: max(MOVES, key=lambda name: v[MOVES[name]]),
        options=tuple(MOVES),
        slips=(
            Slip(
                "the least", lambda v: min(MOVES, key=lambda name: v[MOVES[name]]), "that one hardly moves the answer."
            ),
        ),
        hint="The longest bar.",
        because="It is {answer}: that moves it most, so measuring that takes most doubt away.",
    ),
)
