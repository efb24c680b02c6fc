"""Lesson 04, part two: the energy that a joint would need to hold, by its width, beside what is known."""

__all__ = ["CONTROLS", "Result", "compute", "draw", "report", "summary"]

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from mosaiclib import reference
from mosaiclib.drawing import Drawing, Plot
from mosaiclib.filler import KINDS, Joint, kind_of, released_length
from mosaiclib.filler import draw as drawn
from mosaiclib.filler.kinds import Kind
from mosaiclib.lessons.w04_shared import KIND_TONES, controls, joint_of, kind_in, line_of
from mosaiclib.lessons.w04_shared import FillerSettings as Settings
from mosaiclib.report import Row

TITLE = "Needed and known"
WIDTHS = np.geomspace(0.5, 12, 24)
TICKS = ([0.5, 1, 2, 4, 8, 12], [0.1, 1, 10, 100])


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings: for each kind low, middle and high needed energy by width, shape (3, 24) [J/m2]."""

    settings: Settings
    kinds: Mapping[str, Kind]
    needed: Mapping[str, np.ndarray]
    critical: Mapping[str, float | None]


def compute(s: Settings) -> Result:
    """Work out the needed energy of every kind over the widths of a joint.

    Parameters
    ----------
    s : Settings
        What the learner set.

    Returns
    -------
    Result
        Needed energies and critical widths.

    Raises
    ------
    MosaicError
        If the joint or the air is out of range.

    Examples
    --------
    >>> found = compute(Settings())
    >>> bool((found.needed[KINDS[0]][1] > found.needed[KINDS[1]][1]).all())
    True
    """
    kinds = {name: kind_in(s, name) for name in KINDS}
    joint = joint_of(s)
    length = np.array([released_length(width, s.depth) for width in WIDTHS])
    needed, critical = {}, {}
    for name, kind in kinds.items():
        alone = _alone(name, kind.polymer, s.depth, s.age, s.humidity, s.seed)
        needed[name] = alone[:, None] * length
        held = float(np.sqrt(joint.interface[0] * joint.interface[1])) * kind.bond_factor
        critical[name] = _critical(held / float(alone[1]), s.depth)
    return Result(s, kinds, needed, critical)


@lru_cache(256)
def _alone(name: str, polymer: float, depth: float, age: float, humidity: float, seed: int) -> np.ndarray:
    """Return low, middle and high needed energy of a millimetre of released length, shape (3,) [J/m3 x 1e-3].

    All of it goes with that length, so that one lot of draws serves every width, and is kept while the width moves.
    """
    joint = Joint(1.0, depth, "glass", age, humidity / 100)
    found = drawn(joint, kind_of(name, polymer or None), seed=seed).needed
    return np.percentile(found, [5, 50, 95]) / released_length(1.0, depth)


def _critical(length: float, depth: float) -> float | None:
    """Return the width at which the released length is reached; None where none does [mm]."""
    return float(depth * np.arctanh(length / depth)) if length < depth else None


def draw(result: Result) -> Drawing:
    """Draw needed energy against joint width for each kind, with what is known as bands."""
    s = result.settings
    plot = Plot((0.5, 12), (0.1, 100), ("joint width [mm]", "energy to hold the sides [J/m2]"), TICKS, log=(True, True))
    stone = reference.value("mechanics", "interface energy on rough stone").band
    ends = [WIDTHS[0], WIDTHS[-1]]
    plot.band(ends, [stone[0]] * 2, [stone[1]] * 2, "#ead9cd")
    glass = joint_of(s).interface
    plot.band(ends, [glass[0]] * 2, [glass[1]] * 2, "#dbe9e6")
    chosen = result.needed[s.kind]
    plot.band(WIDTHS, chosen[0], chosen[2], "#d9d2c2")
    for name, three in result.needed.items():
        tone = KIND_TONES[name]
        plot.line(WIDTHS, three[1], tone, dash=() if name == s.kind else (2.0, 1.2))
        plot.key(name, tone, () if name == s.kind else (2.0, 1.2))
        if result.critical[name] is not None and 0.5 < result.critical[name] < 12:
            plot.dots([result.critical[name]], [np.interp(result.critical[name], WIDTHS, three[1])], tone, 2.4)
    plot.line([s.joint, s.joint], [0.1, 100], "#a5492a", dash=(1, 1), width=0.4)
    plot.key("measured on rough stone", "#ead9cd")
    plot.key("assumed here" if s.base == "glass" else "as on rough stone", "#dbe9e6")
    words = (
        "The wider the joint, the more its sides would need to hold; plain filler needs most. A square marks the width "
        "from which each kind lets go, at the middle of what is assumed to hold."
    )
    return plot.drawing("Needed and known energy by joint width", words)


def report(result: Result) -> list[Row]:
    """Tell needed energy and critical width of each kind at this joint."""
    s = result.settings
    place = [float(np.interp(s.joint, WIDTHS, row)) for row in result.needed[s.kind]]
    rows = [
        Row(
            name,
            round(float(np.interp(s.joint, WIDTHS, three[1])), 1),
            "J/m2",
            f"needed at {s.joint:g} mm; {_width_words(result.critical[name])}",
        )
        for name, three in result.needed.items()
    ]
    return [
        *rows,
        Row("Band of the chosen one", f"{place[0]:.1f} to {place[2]:.1f}", "J/m2", "in 9 draws of 10"),
        Row(
            "Measured on rough stone",
            "6 to 18",
            "J/m2",
            "Tschegg and others 1995, abstract read; it falls on smooth faces",
        ),
        Row("On smooth glass", f"{s.low:g} to {s.high:g}", "J/m2", "AN ASSUMPTION: type your own"),
        Row(
            "With polymer", "40 %", "more", "bond measured on glazed tile; taken for the energy too, up to 10 % polymer"
        ),
        Row(
            "Shrinkage and polymer",
            "",
            "",
            "sources disagree whether it falls or rises: what helps is softer filler and better bond",
        ),
        Row("Mind", "", "", "epoxy: no energy was read for it either; the same assumption is used"),
    ]


def _width_words(width: float | None) -> str:
    return f"lets go from {width:.2g} mm on" if width is not None else "no width of this depth lets go"


def summary(result: Result) -> str:
    """Return the one line of quantities."""
    return line_of(result.settings)


CONTROLS = controls("joint", "depth", "kind", "low")
