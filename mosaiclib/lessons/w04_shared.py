"""What can be set in lesson 04, and what its parts share."""

__all__ = [
    "ASSUMED",
    "LATEX",
    "PLAIN",
    "FillerSettings",
    "controls",
    "filler_of",
    "joint_of",
    "kind_in",
    "line_of",
    "piece_of",
    "uneven",
]

from dataclasses import dataclass, replace

from mosaiclib.filler import KINDS, Joint, Recipe, joint_volume, kind_of, recipe
from mosaiclib.filler.kinds import Kind
from mosaiclib.layout import Layout
from mosaiclib.lesson.controls import Again, Choice, Control, Length, Number
from mosaiclib.lessons.practice import LOST, quantities, sample_piece

AIR, ASSUMED, TILE = "The air and the days", "The one assumption", "The tile and the lot"
PLAIN, LATEX = "plain cement grout", "cement grout with latex"


@dataclass(frozen=True)
class FillerSettings:
    """What the learner can set [mm]."""

    joint: float = 2.0
    depth: float = 4.8
    kind: str = PLAIN
    base: str = "glass"
    polymer: float = 10.0
    age: float = 28.0
    humidity: float = 50.0
    low: float = 0.5
    high: float = 6.0
    tile: float = 20.0
    bed: float = 0.8
    seed: int = 1


def joint_of(s: FillerSettings) -> Joint:
    """Return the joint that the settings stand for."""
    return Joint(s.joint, s.depth, s.base, s.age, s.humidity / 100, (s.low, s.high))


def kind_in(s: FillerSettings, name: str | None = None) -> Kind:
    """Return a kind of filler, the settings' if left out, with the latex that is set where latex is poured."""
    return kind_of(name or s.kind, s.polymer / 100)


def piece_of(s: FillerSettings) -> Layout:
    """Return the practice piece with this joint; its tiles are as thick as the joint is deep, less the bed."""
    return sample_piece(s.tile, s.joint, s.depth - s.bed)


def filler_of(s: FillerSettings, kind: str | None = None, **more) -> Recipe:
    """Return what the filler of the practice piece is mixed from; `more` as for `recipe`."""
    volume = joint_volume(piece_of(s), s.bed)
    return recipe(volume, kind or s.kind, s.joint, polymer=s.polymer / 100, waste=LOST, **more)


def line_of(s: FillerSettings, kind: str | None = None) -> str:
    """Return the one line of quantities of the practice piece with this joint and a kind of filler, the settings' if left out."""
    return quantities(piece_of(s), s.bed, filler_of(s, kind).bought)


def uneven(share: float) -> str:
    """Return in words how likely something is that happens in a share of the draws.

    >>> uneven(0.99), uneven(0.5), uneven(0.01)
    ('nearly always', 'as likely as not', 'hardly ever')
    """
    words = ((0.05, "hardly ever"), (0.35, "now and then"), (0.65, "as likely as not"), (0.95, "mostly"))
    return next((said for limit, said in words if share <= limit), "nearly always")


EVERY = (
    Length("joint", "Joint", 0.5, 12, 0.1, fold=TILE),
    Length("depth", "Joint depth", 1, 15, 0.1, fold=TILE),
    Choice("kind", "Filler", KINDS, fold=TILE),
    Choice(
        "base",
        "Base and tiles",
        ("glass", "porous"),
        fold=AIR,
        help="porous: rough, and takes up water, like terracotta",
    ),
    Number("polymer", "Latex additive", 0, 30, 1, "% of cement", fold=ASSUMED, help="for cement grout with latex"),
    Number("age", "Drying for", 1, 365, 1, "days", fold=AIR),
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
    Again("seed", "Draw again", fold=TILE),
)


def controls(*open_now: str) -> tuple[Control, ...]:
    """Return the controls of the lesson, in the order of the house; the named ones, at most four, are open."""
    return tuple(replace(each, fold="") if each.name in open_now else each for each in EVERY)
