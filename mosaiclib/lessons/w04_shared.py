"""What can be set in lesson 04, and what its parts share."""

__all__ = [
    "ASSUMED",
    "LATEX",
    "PLAIN",
    "FillerSettings",
    "controls",
    "filler_of",
    "headline",
    "joint_of",
    "kind_in",
    "piece_of",
]

from dataclasses import dataclass, replace

from mosaiclib import reference
from mosaiclib.filler import KINDS, SANDS, Joint, Recipe, joint_volume, kind_of, recipe
from mosaiclib.filler.fracture import SIDES
from mosaiclib.filler.kinds import Kind
from mosaiclib.job.slides import LATEX, PLAIN
from mosaiclib.layout import Layout
from mosaiclib.lesson.controls import Choice, Control, Length, Number
from mosaiclib.lessons.practice import BED, FILLER_LOST, sample_piece

AIR, ASSUMED, MIX = "The air and the days", "The one assumption", "The mix"
DOSE = reference.value("mechanics", "full dose of polymer").number
HOLDS = reference.value("mechanics", "interface energy on smooth glass").band  # [J/m2]


@dataclass(frozen=True)
class FillerSettings:
    """What the learner can set [mm]."""

    joint: float = 2.0
    depth: float = 4.8
    kind: str = PLAIN
    sides: str = "glass"
    base: str = "glass"
    sand: str = "unsanded"
    polymer: float = 100 * DOSE
    age: float = 28.0
    humidity: float = 50.0
    low: float = HOLDS[0]
    high: float = HOLDS[1]
    tile: float = 20.0
    bed: float = BED


def joint_of(s: FillerSettings) -> Joint:
    """Return the joint that the settings stand for."""
    return Joint(s.joint, s.depth, s.sides, s.age, s.humidity / 100, (s.low, s.high))


def kind_in(s: FillerSettings, name: str | None = None) -> Kind:
    """Return a kind of filler, the settings' if left out, with the sand, and the latex where it is poured, that are set."""
    return kind_of(name or s.kind, s.polymer / 100, s.sand)


def piece_of(s: FillerSettings) -> Layout:
    """Return the practice piece with this joint; its tiles are as thick as the joint is deep, less the bed."""
    return sample_piece(s.tile, s.joint, s.depth - s.bed)


def filler_of(s: FillerSettings, **more) -> Recipe:
    """Return what the filler of the practice piece is mixed from; `more` as for `recipe`."""
    volume = joint_volume(piece_of(s), s.bed)
    return recipe(volume, s.kind, s.joint, polymer=s.polymer / 100, waste=FILLER_LOST, **more)


def headline(s: FillerSettings) -> str:
    """Return what practice says of the filler that is set, before what can be proved.

    >>> headline(FillerSettings(kind=LATEX))[:49]
    'With latex it holds in practice; published data a'
    """
    latex = "With latex it holds in practice; published data alone cannot prove it."
    unfit = recipe(1.0, s.kind, s.joint, polymer=s.polymer / 100).unfit
    if unfit and s.sides == "glass":
        return f"{unfit}. {latex}"
    if not kind_in(s).cement:
        return "Epoxy holds in practice; no figure for it on glass was read."
    return f"{latex} Plain grout is NOT FOR GLASS." + (" Between rough sides it holds." if s.sides == "porous" else "")


EVERY = (
    Length("joint", "Joint", 0.5, 8, 0.1, fold=MIX),
    Length("depth", "Joint depth", 1, 12, 0.1, fold=MIX),
    Choice("kind", "Filler", KINDS, fold=MIX),
    Choice("sides", "Tiles", SIDES, fold=AIR, help="the sides of the joint; porous: rough, and takes up water"),
    Choice("base", "Base", SIDES, fold=AIR, help="glass tiles on a pot: a porous base, and glass sides"),
    Choice("sand", "Sand in it", SANDS, fold=MIX, help="narrow joints take unsanded grout"),
    Number("polymer", "Latex additive", 0, 30, 1, "%", fold=MIX, help="of the cement; for cement grout with latex"),
    Number("age", "Filled for", 0, 365, 1, "days", fold=AIR, help="kept moist on the first day"),
    Number("humidity", "Humidity", 40, 95, 5, "%", fold=AIR),
    Number(
        "low",
        "Glass holds from",
        0.1,
        20,
        0.1,
        "J/m2",
        fold=ASSUMED,
        refuses=("Glass cannot hold",),
        help="an assumption: nobody measured cement on smooth glass in what we read; type your own",
    ),
    Number("high", "Glass holds to", 0.1, 40, 0.1, "J/m2", fold=ASSUMED, refuses=("Glass cannot hold",)),
)


def controls(*open_now: str, leave: tuple[str, ...] = ()) -> tuple[Control, ...]:
    """Return the controls of the lesson but for those left out; the named ones, at most four, are open."""
    return tuple(replace(each, fold="") if each.name in open_now else each for each in EVERY if each.name not in leave)
