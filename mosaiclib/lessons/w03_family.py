"""Lesson 03, part one: which adhesive suits a piece."""

__all__ = ["CONTROLS", "Result", "Settings", "compute", "draw", "report", "summary"]

from dataclasses import dataclass

import pandas as pd

from mosaiclib.adhesive import choose, coverage_wanted, families, family, passed_by, seen
from mosaiclib.adhesive.choose import (
    BASES,
    CLARITIES,
    LAMP,
    NOT_POROUS,
    NOT_SEEN,
    PLACES,
    POSITIONS,
    VERDICTS,
    Family,
)
from mosaiclib.adhesive.optics import BACKING_OF
from mosaiclib.cautions import caution
from mosaiclib.drawing import Drawing, layout_picture, look
from mosaiclib.job import quantities
from mosaiclib.layout import Layout
from mosaiclib.lesson.controls import Choice, Length, Number, Switch
from mosaiclib.lessons.practice import BED, sample_piece
from mosaiclib.report import Row

TITLE = "Which adhesive"
GLASS, TILE, VIEW = "Glass and use", "The tile", "The view"
TESSERAE = ("glass", "unglazed, porous")
LAMP_HELP = (
    "for UV glue: a drop between two pieces of the same glass, under your lamp; from behind, through the base, counts"
)
SETS_HELP = "as the pack says, for what is mixed of two parts; slow kinds 36 h"
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
    lamp: str = LAMP[-1]
    touched: str = TOUCHED[0]
    tile: float = 20.0
    joint: float = 2.0
    thickness: float = 4.0
    bed: float = BED
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
        base=s.base,
        tessera_porous=s.tessera != TESSERAE[0],
        lamp=s.lamp,
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
        Row("Back to be covered", f"{rule.number:.0%}", "", rule.cite, checked="cover of the back"),
        Row(f"Working time of {one.name}", time, "", one.records["working time"].condition),
        Row("It gives off", "", "", one.word("gives off"), checked="what adhesives give off"),
        Row("Clean up", "", "", one.word("clean-up")),
        Row("Cautions", "", "", f"{one.word('cautions')}. {caution('precedence')}"),
    ]
    return [*verdicts, *about, Row("It takes", "", "", str(quantities(result.layout, s.bed)))]


def summary(result: Result) -> str:
    """Return how many families suit the piece, and which are good."""
    count = result.table["verdict"].value_counts()
    verdicts = ", ".join(f"{count.get(verdict, 0)} {verdict}" for verdict in VERDICTS)
    good = ", ".join(result.table.loc[result.table["verdict"] == VERDICTS[0], "family"])
    return f"{verdicts}." + f" Good: {good}." * bool(good)


CONTROLS = (
    Choice("clarity", "Glass is", CLARITIES, refuses=(NOT_POROUS,), help="hold one to the window"),
    Choice("place", "It will stand", PLACES),
    Choice("position", "Position", POSITIONS, help="while it is glued"),
    Switch("back_seen", "The back is seen", refuses=(NOT_SEEN,), help="through a clear base"),
    Choice("base", "Base", BASES, fold=GLASS, refuses=(NOT_SEEN,)),
    Choice("tessera", "Backs of tiles", TESSERAE, fold=GLASS, refuses=(NOT_POROUS,)),
    Choice("lamp", "Lamp's light comes through", LAMP, fold=GLASS, help=LAMP_HELP),
    Choice("touched", "Exposed to", TOUCHED, fold=GLASS),
    Length("tile", "Tile", 10, 30, 0.5, fold=TILE),
    Length("joint", "Joint", 1, 5, 0.1, fold=TILE),
    Length("thickness", "Tile thickness", 2, 12, 0.5, fold=TILE),
    Length("bed", "Adhesive bed", 0.2, 3, 0.1, fold=TILE),
    Choice("shown", "Picture over", families(), fold=VIEW),
    Number("room", "Brightness behind", 0, 100, 5, "% bright", fold=VIEW),
    Switch("behind", "Seen from behind", fold=VIEW),
)
