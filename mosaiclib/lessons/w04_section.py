"""Lesson 04, part one: a filled joint in section, with what it shrinks."""

__all__ = ["CONTROLS", "Result", "compute", "draw", "report", "summary"]

from dataclasses import dataclass, replace

import numpy as np
import shapely

from mosaiclib import reference
from mosaiclib.drawing import Drawing, Lines, Polygons, Text, layout_picture, look, panels, segments
from mosaiclib.drawing.palette import ACCENT, CLAY, CLAY_PALE, FILLER, GLASS, INK, PAPER, SOFT
from mosaiclib.filler import Chance, chance_of, climate_factor, shrinkage_share, thermal_strain
from mosaiclib.lessons.w04_shared import FillerSettings as Settings
from mosaiclib.lessons.w04_shared import controls, joint_of, kind_in, line_of, piece_of, uneven
from mosaiclib.report import Row
from mosaiclib.units import mm, text

TITLE = "A filled joint in section"
WARMTH = 30.0  # [K] a window sill in summer against a winter night
MAGNIFIED = 100


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings."""

    settings: Settings
    shrinkage: tuple[float, float]
    found: Chance
    porous: Chance
    needed: np.ndarray
    stress: np.ndarray


def compute(s: Settings) -> Result:
    """Work out what the joint shrinks and what its sides would need to hold.

    >>> found = compute(Settings())
    >>> found.porous.debond < found.found.debond
    True
    """
    kind, joint = kind_in(s), joint_of(s)
    dried = float(climate_factor(joint.humidity) * shrinkage_share(joint.age, joint.depth)) if kind.cement else 1.0
    low, high = (one * factor * dried for one, factor in zip(kind.shrinkage, kind.shrinkage_factor, strict=True))
    found, porous = (chance_of(one, kind, seed=s.seed) for one in (joint, replace(joint, base="porous")))
    needed, stress = (np.percentile(one, [5, 50, 95]) for one in (found.draws.G, found.draws.sigma))
    return Result(s, (low, high), found, porous, needed, stress)


def draw(result: Result) -> Drawing:
    """Draw the joint in section, and the practice piece that has such joints."""
    s = result.settings
    whole = layout_picture(piece_of(s), marks=False, dimensions=False, title="The practice piece")
    both = [_section(result), whole]
    said = text(both[0].description, " Below, the practice piece that has such joints.")
    return panels(both, ["", "the practice piece with such joints"], columns=1, title=both[0].title, description=said)


def _section(result: Result) -> Drawing:
    """Draw the joint in section: shrunk filler between two tiles, its gap magnified a hundred times."""
    s = result.settings
    scale = min(60.0 / s.joint, 48.0 / s.depth)
    wide, deep = s.joint * scale, s.depth * scale
    left, base, side = 34.0, 24.0, 26.0
    middle = sum(result.shrinkage) / 2 * 1e-6 * s.joint  # [mm] that the filler is short of its joint
    gap = min(middle * scale * MAGNIFIED / 2, wide / 3)
    glass = look("sea green").fill if s.base == "glass" else CLAY
    tiles = shapely.box([left - side, left + wide], base, [left, left + wide + side], base + deep)
    bed = shapely.box(left - side, base - 12, left + wide + side, base)
    cracked = result.found.debond > 0.5
    inner = gap if cracked else 0.0
    filler = shapely.box(left + inner, base, left + wide - inner, base + deep * (1 - 0.02 * cracked))
    words = "lets go of its sides" if cracked else "stays on its sides, under tension"
    pull = [[left + inner + 3, y, left + inner + 10, y] for y in base + deep * np.array([0.3, 0.5, 0.7])]
    pull += [[left + wide - inner - 3, y, left + wide - inner - 10, y] for y in base + deep * np.array([0.3, 0.5, 0.7])]
    items = (
        Polygons([bed], GLASS if s.base == "glass" else CLAY_PALE, SOFT),
        Polygons(tiles, glass, INK),
        Polygons([filler], FILLER, INK, 0.15),
        Lines(segments(pull), ACCENT, 0.4),
        Lines(segments([[left, base + deep + 4, left + wide, base + deep + 4]]), SOFT, 0.3),
        Text(left + wide / 2, base + deep + 6, text("joint ", mm(s.joint)), 3.4, "middle", colour=INK),
        Text(left + wide / 2, base - 7, "glass" if s.base == "glass" else "porous base", 3.4, "middle", colour=INK),
        Text(4, 8, f"It shrinks by {middle * 1000:.1f} thousandths of a millimetre; drawn {MAGNIFIED} x.", 3.2),
        Text(4, 3, f"The filler {words} in {_share(result)} of the draws.", 3.2),
    )
    about = text("A joint of ", mm(s.joint), f" between two tiles on {s.base}, filled with {s.kind}; it {words}.")
    return Drawing(max(left + wide + side + 8, 112), base + deep + 16, "A filled joint in section", about, items, PAPER)


def _share(result: Result) -> str:
    share = result.found.debond
    return f"{max(share, 1 - share):.0%}"


def report(result: Result) -> list[Row]:
    """Tell shrinkage, stress, needed and known energy, heat beside drying, and the porous base."""
    s = result.settings
    low, high = result.shrinkage
    needed, stress = result.needed, result.stress
    heat = thermal_strain(*(reference.value("mechanics", n).number for n in HEAT), WARMTH)
    held = joint_of(s).interface
    rows = [
        Row("Drying shrinkage", f"{low:.0f} to {high:.0f}", "millionths", f"of its length, after {s.age:g} days"),
        Row(
            "Gap if one side lets go",
            f"{low * s.joint / 1000:.1f} to {high * s.joint / 1000:.1f}",
            "thousandths of a millimetre",
        ),
        Row(
            "Pull in the filler",
            round(float(stress[1]), 1),
            "MPa",
            f"{stress[0]:.1f} to {stress[2]:.1f}, relaxed by creep",
        ),
        Row(
            "Bond energy needed",
            round(float(needed[1]), 1),
            "J/m2",
            f"{needed[0]:.1f} to {needed[2]:.1f} in 9 draws of 10",
        ),
        Row("Bond energy assumed", f"{held[0]:g} to {held[1]:g}", "J/m2", _known(s)),
        Row("A side lets go", uneven(result.found.debond), "", _band(result.found)),
        Row(
            "The same on a porous base",
            uneven(result.porous.debond),
            "",
            "it is rough, so that filler keys in, and sucks",
        ),
        Row(
            f"Movement from {WARMTH:g} degrees of heat",
            round(heat),
            "millionths",
            f"{heat / ((low + high) / 2 or 1):.0%} of the drying shrinkage",
        ),
    ]
    return [*rows, Row("Note", "", "", "published ranges and one assumption, not a test of your filler")]


HEAT = ("expansion of mortar", "expansion of soda-lime glass")


def _known(s: Settings) -> str:
    if s.base == "porous":
        return "measured on rough stone (Tschegg and others 1995, abstract read)"
    low, high = reference.value("mechanics", "interface energy on rough stone").band
    return f"on smooth glass: AN ASSUMPTION; on rough stone {low:g} to {high:g} were measured, and it falls on smooth faces"


def _band(found: Chance) -> str:
    low, high = found.band
    return f"{found.debond:.0%} of 2,000 draws; {low:.0%} if the bond is at its best, {high:.0%} at its worst"


def summary(result: Result) -> str:
    """Return the one line of quantities."""
    return line_of(result.settings)


CONTROLS = controls("joint", "depth", "kind", "base")
