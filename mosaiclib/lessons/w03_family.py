"""Lesson 03, part one: which adhesive suits a piece."""

__all__ = ["CONTROLS", "Result", "Settings", "compute", "draw", "lesson", "report", "summary"]

import math
from dataclasses import dataclass
from functools import lru_cache

import pandas as pd

from mosaiclib.adhesive import bed_volume, choose, coverage_wanted, families, family, seen
from mosaiclib.adhesive.choose import CLARITIES, PLACES, POSITIONS, Family
from mosaiclib.adhesive.optics import BACKINGS, passed_by
from mosaiclib.drawing import Drawing, layout_picture, look
from mosaiclib.filler import joint_volume, mix
from mosaiclib.job.lists import spares
from mosaiclib.layout import Layout
from mosaiclib.lesson.controls import Control
from mosaiclib.lessons.practice import sample_piece
from mosaiclib.report import Row

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
    return layout_picture(
        layout,
        tones=[tones[name] for name in layout.pieces["colour"]],
        view="behind" if s.behind else "front",
        marks=False,
        dimensions=False,
        title=f"The practice piece over {result.family.name}",
    )


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
    Control("clarity", "Tesserae are", "choice", "transparent", options=CLARITIES, help="hold one to the window"),
    Control("place", "It will live", "choice", "dry shelf", options=PLACES),
    Control("position", "Glued lying", "choice", "flat", options=POSITIONS),
    Control("back_seen", "The back is seen", "switch", False, help="through a clear base"),
    Control("base", "Base", "choice", BASES[0], options=BASES, fold=GLASS),
    Control("tessera", "Backs of tiles", "choice", TESSERAE[0], options=TESSERAE, fold=GLASS),
    Control("touched", "Touched by", "choice", TOUCHED[0], options=TOUCHED, fold=GLASS),
    Control("tile", "Tile", "length", 20.0, "mm", 10, 30, 0.5, fold=TILE),
    Control("joint", "Joint", "length", 2.0, "mm", 1, 5, 0.1, fold=TILE),
    Control("thickness", "Tile thickness", "length", 4.0, "mm", 2, 12, 0.5, fold=TILE),
    Control("bed", "Adhesive bed", "length", 0.8, "mm", 0.2, 3, 0.1, fold=TILE),
    Control("shown", "Picture over", "choice", "neutral-cure silicone", options=families(), fold=VIEW),
    Control("room", "Room behind", "number", 30.0, "% bright", 0, 100, 5, fold=VIEW),
    Control("behind", "Seen from behind", "switch", False, fold=VIEW),
)


def lesson():
    """Return this part of the lesson as it stands in the workbook."""
    from mosaiclib.lesson.page import Lesson

    return Lesson(
        "Which adhesive",
        settings=Settings(),
        compute=compute,
        draw=draw,
        report=report,
        summary=summary,
        controls=CONTROLS,
    )
