"""Lesson 03, part one: which adhesive suits a piece."""

__all__ = ["CONTROLS", "Result", "Settings", "compute", "draw", "lesson", "report", "summary"]

from dataclasses import dataclass

import pandas as pd

from mosaiclib.adhesive import choose, coverage_wanted, families, family, passed_by, seen
from mosaiclib.adhesive.choose import CLARITIES, PLACES, POSITIONS, TONES, Family
from mosaiclib.adhesive.optics import Backing
from mosaiclib.drawing import Drawing, layout_picture, look
from mosaiclib.filler import joint_volume, mix
from mosaiclib.layout import Layout
from mosaiclib.lesson.controls import Control
from mosaiclib.lessons.practice import LOST, quantities, sample_piece
from mosaiclib.report import Row

GLASS, TILE, VIEW = "Glass and use", "The tile", "The view"
BACKING_OF = dict(zip(TONES, (Backing.CLEAR, Backing.WHITE, Backing.GREY), strict=True))
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

    >>> compute(Settings()).table["family"].tolist()[0]
    'neutral-cure silicone'
    """
    table = choose(
        s.clarity,
        s.place,
        position=s.position,
        back_seen=s.back_seen,
        base_porous=s.base != BASES[0],
        tessera_porous=s.tessera != TESSERAE[0],
        food=s.touched == TOUCHED[1],
        candle=s.touched == TOUCHED[2],
    )
    return Result(s, table, sample_piece(s.tile, s.joint, s.thickness), family(s.shown))


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
    layout, bed = result.layout, result.settings.bed
    return quantities(layout, bed, powder(layout, bed))


def powder(layout: Layout, bed: float, left: float = 0.0) -> str:
    """Return the filler powder of the practice piece; adhesive left in its joints takes the filler's place [mm, mL]."""
    free = max(joint_volume(layout, bed) - left, 0.0)  # all of a joint that is not cleared; the rest is rounding
    return f"{mix(free, LOST).powder[1]:.0f} g filler powder"


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

    how = {"compute": compute, "draw": draw, "report": report, "summary": summary}
    return Lesson("Which adhesive", settings=Settings(), controls=CONTROLS, **how)
