"""What can be set in lesson 04, and what its parts share."""

__all__ = [
    "AIR",
    "ASSUMED",
    "KIND_TONES",
    "TILE",
    "FillerSettings",
    "controls",
    "joint_of",
    "kind_in",
    "line_of",
    "uneven",
]

import math
from dataclasses import dataclass, replace
from functools import lru_cache

from mosaiclib.adhesive import bed_volume
from mosaiclib.errors import MosaicError
from mosaiclib.filler import KINDS, Joint, joint_volume, kind_of, recipe
from mosaiclib.filler.kinds import Kind
from mosaiclib.job.lists import spares
from mosaiclib.layout import Layout
from mosaiclib.lesson.controls import Again, Choice, Control, Length, Number
from mosaiclib.lessons.practice import sample_piece

AIR, ASSUMED, TILE = "The air and the days", "The one assumption", "The tile and the lot"
KIND_TONES = dict(zip(KINDS, ("#a5492a", "#2f6f55", "#d9a350", "#7a6b95"), strict=True))


@dataclass(frozen=True)
class FillerSettings:
    """What the learner can set [mm]."""

    joint: float = 2.0
    depth: float = 4.8
    kind: str = KINDS[0]
    base: str = "glass"
    polymer: float = 10.0
    age: float = 28.0
    humidity: float = 50.0
    low: float = 0.5
    high: float = 6.0
    tile: float = 20.0
    bed: float = 0.8
    seed: int = 1


def joint_of(s: FillerSettings, width: float | None = None) -> Joint:
    """Return the joint that the settings stand for.

    Parameters
    ----------
    s : FillerSettings
        What the learner set.
    width : float, optional
        Another width of the joint [mm].

    Returns
    -------
    Joint
        The joint.
    """
    if s.low > s.high:
        raise MosaicError(
            f"Glass cannot hold from {s.low:g} to {s.high:g} J/m2: the first number must not be above the second."
        )
    return Joint(width or s.joint, s.depth, s.base, s.age, s.humidity / 100, (s.low, s.high))


def kind_in(s: FillerSettings, name: str | None = None) -> Kind:
    """Return a kind of filler; the latex that is set goes into cement grout, mortar keeps what it holds.

    Parameters
    ----------
    s : FillerSettings
        What the learner set.
    name : str, optional
        Kind of filler; the settings' if left out.

    Returns
    -------
    Kind
        Ranges.
    """
    wanted = name or s.kind
    return kind_of(wanted, s.polymer / 100 if wanted == KINDS[1] else None)


def line_of(s: FillerSettings, kind: str | None = None, waste: float = 0.15) -> str:
    """Return the one line of quantities of the practice piece with this joint.

    Parameters
    ----------
    s : FillerSettings
        What the learner set.
    kind : str, optional
        Kind of filler; the settings' if left out.
    waste : float
        Filler that is lost, as a share.

    Returns
    -------
    str
        Pieces, adhesive, filler and tiles.
    """
    wanted = kind or s.kind
    return _line(s.tile, s.joint, s.depth, s.bed, wanted, s.polymer / 100 if wanted == KINDS[1] else None, waste)


@lru_cache(64)
def _line(tile: float, joint: float, depth: float, bed: float, kind: str, polymer: float | None, waste: float) -> str:
    """Write the line of quantities; kept, since the assumption and the air do not change it."""
    layout = sample_piece(tile, joint, max(depth - bed, 1.0))
    made = recipe(volume_of(layout, bed), kind, joint, polymer=polymer, waste=waste)
    tiles, spare = _tiles(layout)
    return (
        f"{len(layout)} pieces, {bed_volume(float(layout.areas.sum()), bed, waste=0.15):.1f} mL adhesive, "
        f"{made.bought}, {tiles + spare} tiles to buy with spares"
    )


@lru_cache(64)
def _tiles(layout: Layout) -> tuple[int, int]:
    """Return the tiles that the practice piece takes, and spares."""
    need = math.ceil(float(layout.areas.sum()) / layout.tile.side**2)
    return need, spares(need, 0.05)


@lru_cache(64)
def volume_of(layout: Layout, bed: float) -> float:
    """Return the filler of the practice piece, kept because the piece moves seldom.

    Parameters
    ----------
    layout : Layout
        The practice piece.
    bed : float
        Thickness of the adhesive [mm].

    Returns
    -------
    float
        Volume [mL].
    """
    return joint_volume(layout, bed)


def uneven(share: float) -> str:
    """Return how likely something is, in words.

    Parameters
    ----------
    share : float
        Share of draws, 0 to 1.

    Returns
    -------
    str
        Words.

    Examples
    --------
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
    Number("polymer", "Latex: polymer", 0, 30, 1, "% of cement", fold=ASSUMED, help="for cement grout with latex"),
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
    Again("seed", "Another lot", fold=TILE),
)


def controls(*open_now: str) -> tuple[Control, ...]:
    """Return the controls of the lesson, in the order of the house; the named ones, at most four, are open."""
    return tuple(replace(each, fold="") if each.name in open_now else each for each in EVERY)
