"""Lesson 03, part one: which adhesive suits a piece."""

__all__ = ["CONTROLS", "Result", "Settings", "compute", "draw", "report", "summary"]

import math
from dataclasses import dataclass
from functools import lru_cache

import pandas as pd

from mosaiclib.adhesive import bed_volume, choose, coverage_wanted, families, family, seen
from mosaiclib.adhesive.choose import CLARITIES, PLACES, POSITIONS, Family
from mosaiclib.adhesive.optics import BACKINGS, passed_by
from mosaiclib.drawing import Drawing, layout_picture, look, toned
from mosaiclib.filler import joint_volume, mix
from mosaiclib.job.lists import spares
from mosaiclib.layout import Layout
from mosaiclib.lesson.controls import Choice, Length, Number, Switch
from mosaiclib.lessons.practice import sample_piece
from mosaiclib.report import Row

TITLE = "Which adhesive"
GLASS, TILE, VIEW = "Glass and use", "The tile", "The view"
BACKING_OF = {"clear": BACKINGS[2], "white": BACKINGS[0], "grey": BACKINGS[1]}
BASES = ("glass", "terracotta or wood")
TESSERAE = ("glass", "unglazed, porous")
TOUCHED = ("nothing", "food or drink", "candle heat")


@dataclass(frozen=True)
class Settings:
    """What the learner can set [mm]."""

    clarity: str = "transparent"
    place: str = "dry shelf"
    position: str = "flat"
    back_seen: bool = False
    base: str = BASES[0]
    tessera: str = TESSERAE[0]
    touched: str = TOUCHED[0]
    tile: float = 20.0
    joint: float = 2.0
    thickness: float = 4.0
    bed: float = 0.8
    shown: str = "neutral-cure silicone"
    room: float = 30.0
    behind: bool = False


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings."""

    settings: Settings
    table: pd.DataFrame
    layout: Layout
    family: Family


def compute(s: Settings) -> Result:
    """Judge every family for the piece, and lay the practice piece that shows it.

    Parameters
    ----------
    s : Settings
        What the learner set.

    Returns
    -------
    Result
        Verdicts and layout.

    Raises
    ------
    MosaicError
        If the tile cannot be laid.

    Examples
    --------
    >>> compute(Settings()).table["family"].tolist()[0]
    'neutral-cure silicone'
    """
    porous = s.base != BASES[0], s.tessera != TESSERAE[0]
    table = _judged(s.clarity, s.place, s.position, s.back_seen, porous, s.touched)
    return Result(s, table, sample_piece(s.tile, s.joint, s.thickness), family(s.shown))


@lru_cache(256)
def _judged(clarity: str, place: str, position: str, back_seen: bool, porous: tuple[bool, bool], touched: str):
    """Return the verdicts, kept because other controls move far more often."""
    use = {"food": touched == TOUCHED[1], "candle": touched == TOUCHED[2]}
    base, tessera = porous
    return choose(
        clarity, place, position=position, back_seen=back_seen, base_porous=base, tessera_porous=tessera, **use
    )


def draw(result: Result) -> Drawing:
    """Draw the practice piece in the colours that it has over the bed of the family shown."""
    s, layout = result.settings, result.layout
    backing = BACKING_OF[result.family.tone]
    tones = {
        name: seen(passed_by(look(name).fill), s.thickness, backing, room=s.room / 100, clarity=s.clarity).tone
        for name in layout.pieces["colour"].unique()
    }
    picture = layout_picture(
        layout,
        view="behind" if s.behind else "front",
        marks=False,
        dimensions=False,
        title=f"The practice piece over {result.family.name}",
    )
    return toned(picture, [tones[name] for name in layout.pieces["colour"]])


def report(result: Result) -> list[Row]:
    """Tell the verdicts with their reasons, and what the family shown asks for."""
    s, one = result.settings, result.family
    rule = coverage_wanted(s.clarity, s.place)
    verdicts = [Row(line.family, line.verdict, "", line.reasons) for line in result.table.itertuples()]
    work = one.working_minutes
    time = f"{work[0]:g} to {work[1]:g} minutes" if work else "as long as you like"
    about = [
        Row("Back to be covered", f"{rule.number:.0%}", "", rule.cite),
        Row(f"Shown: {one.name}", time, "", f"to work with; {one.records['working time'].condition}"),
        Row("It gives off", "", "", one.word("gives off")),
        Row("Clean up", "", "", one.word("clean-up")),
        Row("Cautions", "", "", f"{one.word('cautions')}. The maker's sheet and local rules stand above this page."),
    ]
    return [*verdicts, *about]


def summary(result: Result) -> str:
    """Return the one line of quantities."""
    return quantities(result.layout, result.settings.bed)


@lru_cache(64)
def quantities(layout: Layout, bed: float, coverage: float = 1.0, left: float = 0.0) -> str:
    """Return the one line of quantities of the practice piece.

    Parameters
    ----------
    layout : Layout
        The practice piece.
    bed : float
        Thickness of the adhesive [mm].
    coverage : float
        What is squeezed out, as a share of a full bed; more than 1 oozes out.
    left : float
        Adhesive that stays in the joints and takes the filler's place [mL].

    Returns
    -------
    str
        Pieces, adhesive, filler and tiles.
    """
    glue = coverage * bed_volume(float(layout.areas.sum()), bed, waste=0.15)
    powder = mix(max(joint_volume(layout, bed) - left, 0.0), 0.15).powder[1]
    tiles = math.ceil(float(layout.areas.sum()) / layout.tile.side**2)
    return (
        f"{len(layout)} pieces, {glue:.1f} mL adhesive, {powder:.0f} g filler powder, "
        f"{tiles + spares(tiles, 0.05)} tiles to buy with spares"
    )


CONTROLS = (
    Choice("clarity", "Tesserae are", CLARITIES, help="hold one to the window"),
    Choice("place", "It will live", PLACES),
    Choice("position", "Glued lying", POSITIONS),
    Switch("back_seen", "The back is seen", help="through a clear base"),
    Choice("base", "Base", BASES, fold=GLASS),
    Choice("tessera", "Backs of tiles", TESSERAE, fold=GLASS),
    Choice("touched", "Touched by", TOUCHED, fold=GLASS),
    Length("tile", "Tile", 10, 30, 0.5, fold=TILE),
    Length("joint", "Joint", 1, 5, 0.1, fold=TILE),
    Length("thickness", "Tile thickness", 2, 12, 0.5, fold=TILE),
    Length("bed", "Adhesive bed", 0.2, 3, 0.1, fold=TILE),
    Choice("shown", "Picture over", families(), fold=VIEW),
    Number("room", "Room behind", 0, 100, 5, "% bright", fold=VIEW),
    Switch("behind", "Seen from behind", fold=VIEW),
)
