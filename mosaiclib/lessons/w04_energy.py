"""Lesson 04, part two: the energy that a joint would need to hold, by its width, beside what is known."""

__all__ = ["CONTROLS", "Result", "compute", "draw", "report", "summary"]

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from mosaiclib import reference
from mosaiclib.drawing import Drawing, Plot
from mosaiclib.drawing.palette import ACCENT, BAND, BAND_CHOSEN, BAND_STONE
from mosaiclib.filler import KINDS, released_length, sample
from mosaiclib.filler.fracture import released_width
from mosaiclib.filler.kinds import Kind
from mosaiclib.lessons.w04_shared import FillerSettings as Settings
from mosaiclib.lessons.w04_shared import controls, joint_of, kind_in, line_of
from mosaiclib.report import Row
from mosaiclib.units import mm, text
from mosaiclib.words import Text

TITLE = "Needed and known"
WIDTHS = np.geomspace(0.5, 12, 24)
TICKS = ([0.5, 1, 2, 4, 8, 12], [0.1, 1, 10, 100])


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings: for each kind low, middle and high needed energy by width, shape (3, 24) [J/m2], and the
    width from which it lets go [mm], infinite where none does."""

    settings: Settings
    kinds: Mapping[str, Kind]
    needed: Mapping[str, np.ndarray]
    critical: Mapping[str, float]


def compute(s: Settings) -> Result:
    """Work out the needed energy of every kind over the widths of a joint.

    >>> found = compute(Settings())
    >>> bool((found.needed["plain cement grout"][1] > found.needed["cement grout with latex"][1]).all())
    True
    """
    joint, kinds = joint_of(s), _unlike(s)
    lengths = released_length(WIDTHS, s.depth)
    needed, critical = {}, {}
    for name, kind in kinds.items():
        # G goes with the released length, so that one set of draws serves every width
        G = np.percentile(sample(joint, kind, seed=s.seed).G, [5, 50, 95]) / released_length(s.joint, s.depth)
        needed[name] = G[:, None] * lengths
        Gamma = float(np.sqrt(joint.interface[0] * joint.interface[1])) * kind.bond_factor
        critical[name] = float(released_width(Gamma / float(G[1]), s.depth))
    return Result(s, kinds, needed, critical)


def _unlike(s: Settings) -> dict[str, Kind]:
    """Return the kinds that the model can tell apart, the chosen one and otherwise the first of those that are alike."""
    found: dict[tuple, Kind] = {}
    for kind in (kind_in(s), *(kind_in(s, name) for name in KINDS)):
        found.setdefault((kind.cement, kind.poured, kind.polymer), kind)
    named = {kind.name: kind for kind in found.values()}
    return {name: named[name] for name in KINDS if name in named}


def draw(result: Result) -> Drawing:
    """Draw needed energy against joint width for each kind, with what is known as bands."""
    s = result.settings
    plot = Plot((0.5, 12), (0.1, 100), ("joint width [mm]", "energy to hold the sides [J/m2]"), TICKS, log=(True, True))
    stone = reference.value("mechanics", "interface energy on rough stone").band
    ends = [WIDTHS[0], WIDTHS[-1]]
    plot.band(ends, [stone[0]] * 2, [stone[1]] * 2, BAND_STONE)
    glass = joint_of(s).interface
    plot.band(ends, [glass[0]] * 2, [glass[1]] * 2, BAND)
    chosen = result.needed[s.kind]
    plot.band(WIDTHS, chosen[0], chosen[2], BAND_CHOSEN)
    for name, three in result.needed.items():
        tone = result.kinds[name].tone
        plot.line(WIDTHS, three[1], tone, dash=() if name == s.kind else (2.0, 1.2))
        plot.key(name, tone, () if name == s.kind else (2.0, 1.2))
        if 0.5 < result.critical[name] < 12:
            plot.dots([result.critical[name]], [np.interp(result.critical[name], WIDTHS, three[1])], tone, 2.4)
    plot.line([s.joint, s.joint], [0.1, 100], ACCENT, dash=(1, 1), width=0.4)
    plot.key("measured on rough stone", BAND_STONE)
    plot.key("assumed here" if s.base == "glass" else "as on rough stone", BAND)
    words = (
        "The wider the joint, the more its sides would need to hold; plain filler needs most. A square marks the width "
        "from which each kind lets go, at the middle of what is assumed to hold."
    )
    return plot.drawing("Needed and known energy by joint width", words)


def report(result: Result) -> list[Row]:
    """Tell needed energy and critical width of each kind at this joint."""
    s = result.settings
    stone = reference.value("mechanics", "interface energy on rough stone").band
    rise = reference.value("mechanics", "rise of bond with polymer").number
    place = [float(np.interp(s.joint, WIDTHS, row)) for row in result.needed[s.kind]]
    rows = [
        Row(
            name,
            round(float(np.interp(s.joint, WIDTHS, three[1])), 1),
            "J/m2",
            text("needed at ", mm(s.joint), "; ", _width_words(result.critical[name])),
        )
        for name, three in result.needed.items()
    ]
    return [
        *rows,
        Row("Band of the chosen one", f"{place[0]:.1f} to {place[2]:.1f}", "J/m2", "in 9 draws of 10"),
        Row(
            "Measured on rough stone",
            f"{stone[0]:g} to {stone[1]:g}",
            "J/m2",
            "Tschegg and others 1995, abstract read; it falls on smooth faces",
        ),
        Row("On smooth glass", f"{s.low:g} to {s.high:g}", "J/m2", "AN ASSUMPTION: type your own"),
        Row(
            "With polymer",
            f"{rise:.0%}".replace("%", " %"),
            "more",
            "bond measured on glazed tile; taken for the energy too, up to 10 % polymer",
        ),
        Row(
            "Shrinkage and polymer",
            "",
            "",
            "sources disagree whether it falls or rises: what helps is softer filler and better bond",
        ),
        Row("Note", "", "", "epoxy: no energy was read for it either; the same assumption is used"),
    ]


def _width_words(width: float) -> Text | str:
    if np.isinf(width):
        return "no width of this depth lets go"
    return text("lets go from ", mm(float(f"{width:.2g}")), " on")


def summary(result: Result) -> str:
    """Return the one line of quantities."""
    return line_of(result.settings)


CONTROLS = controls("joint", "depth", "kind", "low")
