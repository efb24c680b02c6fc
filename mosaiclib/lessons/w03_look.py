"""Lesson 03, part two: how the glass will look over each backing, and where the bed leaves voids."""

__all__ = ["CONTROLS", "Result", "Settings", "compute", "draw", "report", "summary"]

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from mosaiclib import reference
from mosaiclib.adhesive import cleared, coverage_wanted, difference, passed_by, press, seen
from mosaiclib.adhesive.bed import Pressed
from mosaiclib.adhesive.choose import CLARITIES
from mosaiclib.adhesive.optics import BACKINGS, LIGHTS, Backing, Seen
from mosaiclib.drawing import Drawing, Polygons, layout_picture, look, panels
from mosaiclib.drawing.palette import FILLER, GREY_BED, INK, WHITE_BED
from mosaiclib.job import quantities
from mosaiclib.layout import Layout
from mosaiclib.lesson.controls import Choice, Length, Number, Switch
from mosaiclib.lessons.practice import BED, sample_piece
from mosaiclib.report import Row

TITLE = "How it will look"
THE_BED, GLASS = "The bed", "The glass and the room"
WORDS = {
    "difference that is not seen": "not to be seen",
    "difference that is hardly seen": "hardly seen",
    "difference that is plainly seen": "plainly seen",
}
BED_TONES = {Backing.WHITE: WHITE_BED, Backing.GREY: GREY_BED}  # the bed itself, seen through the base from behind


@dataclass(frozen=True)
class Settings:
    """What the learner can set [mm]."""

    light: str = "front"
    behind: bool = False
    cover: float = 70.0
    thickness: float = 4.0
    clarity: str = "transparent"
    room: float = 30.0
    tile: float = 20.0
    joint: float = 2.0
    bed: float = BED
    ridge: float = 0.0
    clear: float = 67.0


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings."""

    settings: Settings
    layout: Layout
    pressed: Pressed
    colours: Mapping[tuple[str, str], Seen]
    left: float


def compute(s: Settings) -> Result:
    """Press the same dab under every piece and work out the colours over each backing.

    >>> 0.6 < compute(Settings()).pressed.share < 0.8
    True
    """
    layout, pressed = _pressed(s.tile, s.joint, s.thickness, s.cover, s.bed, s.ridge)
    how = {"light": s.light, "room": s.room / 100, "clarity": s.clarity}
    glass = {name: passed_by(look(name).fill) for name in sorted(layout.pieces["colour"].unique())}
    colours = {(name, b): seen(passed, s.thickness, b, **how) for name, passed in glass.items() for b in Backing}
    ooze = float(pressed.ooze.sum()) / 1000
    return Result(s, layout, pressed, colours, cleared(layout, ooze, s.bed, s.clear / 100))


@lru_cache(32)
def _pressed(tile: float, joint: float, thickness: float, cover: float, bed: float, ridge: float):
    """Return the practice piece and its pressed dabs; each would cover `cover` % of its piece if the back were smooth."""
    layout = sample_piece(tile, joint, thickness)
    return layout, press(layout.shapes, cover / 100 * bed * layout.areas, bed, ridge=ridge)


def draw(result: Result) -> Drawing:
    """Draw the piece four times: over a white, a grey and a clear bed, and over air alone."""
    shown = [_over(result, backing) for backing in BACKINGS]
    side = "behind" if result.settings.behind else "the front"
    lamp = "in front" if result.settings.light == "front" else "behind"
    beds = ", ".join((Backing.WHITE, Backing.GREY, Backing.CLEAR))
    words = (
        f"The same pieces over {beds}, and with air behind them; the lamp is {lamp}, seen from "
        f"{side}. {result.pressed.share:.0%} of the backs is covered."
    )
    return panels(
        shown,
        [f"{one}, seen from {side}" for one in BACKINGS],
        title="How it looks over each backing",
        description=words,
    )


def _over(result: Result, backing: str) -> Drawing:
    """Draw the piece over one backing: the bed where it reaches, air where it does not."""
    names, behind = result.layout.pieces["colour"], result.settings.behind
    wet = [result.colours[name, backing].tone for name in names]
    if behind and backing in BED_TONES:
        wet = [BED_TONES[backing]] * len(names)
    bed = Polygons(result.pressed.spread, tuple(wet), None, 0.0, name="bed")
    picture = layout_picture(
        result.layout,
        view="behind" if behind else "front",
        marks=False,
        dimensions=False,
        tones=[result.colours[name, Backing.AIR].tone for name in names],
        # filler lets no light through: before a lamp or a window the joints turn black
        base=INK if result.settings.light == "behind" and not behind else FILLER,
        over=[] if backing == Backing.AIR else [bed],
    )
    # the side is told above the panel, large enough to read
    return replace(picture, items=tuple(one for one in picture.items if one.name != "view"))


def report(result: Result) -> list[Row]:
    """Tell how much each colour changes, what is covered and what oozes."""
    s, pressed = result.settings, result.pressed
    rule = coverage_wanted(s.clarity, "dry shelf")
    lines = [_colour_row(result, name) for name in sorted(result.layout.pieces["colour"].unique())]
    least = float(pressed.coverage.min())
    met = "met" if pressed.share >= rule.number - 1e-6 else "not met"
    others = " and ".join(
        f"{reference.value('coverage', name).number:.0%} ({name.removeprefix('back covered, ')})"
        for name in ("back covered, dry rooms", "back covered, wet rooms and outdoors")
    )
    ooze = float(pressed.ooze.sum()) / 1000
    return [
        *lines,
        Row("Backs covered", round(100 * pressed.share), "%", f"the least of any piece {least:.0%}"),
        Row(
            "Wanted for such glass",
            f"{rule.number:.0%}",
            "",
            f"{met}; {rule.cite}; for other tile: {others}",
            checked="cover of the back",
        ),
        Row("Oozes into joints", round(ooze, 2), "mL", _ooze_words(result, ooze)),
        Row("At open edges", "", "", _creep(least, s.clarity)),
        Row("It takes", "", "", str(quantities(result.layout, s.bed, coverage=s.cover / 100, kept=result.left))),
        Row("Note", "", "", "shares of beds and scattered light are assumptions; try your own glass on a card first"),
    ]


def _colour_row(result: Result, name: str) -> Row:
    """Tell how far a colour over the other backings is from that over white."""
    white = result.colours[name, Backing.WHITE].lab
    far = {backing: difference(white, result.colours[name, backing].lab) for backing in (Backing.GREY, Backing.CLEAR)}
    told = "; ".join(f"on a {backing} {_far_words(value)} ({value:.0f})" for backing, value in far.items())
    return Row(
        f"{name} on white",
        f"{white[0]:.0f}",
        "of 100 light",
        f"{told}; a difference of about 1 is just seen",
        checked="difference of colours",
    )


def _far_words(value: float) -> str:
    known = reference.by_name("optics")
    return next((words for name, words in WORDS.items() if value <= known[name].number), "another colour")


def _ooze_words(result: Result, ooze: float) -> str:
    if ooze < 0.005:
        return "nothing; the bed ends inside the edges"
    return f"clear the joints before filling: {result.left:.2f} mL stays in them and is taken off the filler"


def _creep(least: float, clarity: str) -> str:
    if clarity == "opaque":
        return "opaque glass hides it, but filler that creeps under an open edge loosens the tile in time"
    if least >= 1 - 1e-6:
        return "every back is covered to its edges: no filler can creep under"
    return "filler creeps under where the bed stops short of the edge, and is seen through the glass for good"


def summary(result: Result) -> str:
    """Return how much of the backs is covered, and how much is wanted."""
    wanted = coverage_wanted(result.settings.clarity, "dry shelf").number
    return f"{result.pressed.share:.0%} of the backs is covered; such glass wants {wanted:.0%}."


CONTROLS = (
    Choice("light", "Lamp", LIGHTS),
    Switch("behind", "Seen from behind"),
    Number("cover", "One dab covers", 5, 120, 5, "%", help="of each back, if it is smooth; over 100 % it oozes out"),
    Length("thickness", "Tile thickness", 2, 12, 0.5),
    Choice("clarity", "Glass is", CLARITIES, fold=GLASS),
    Number("room", "Brightness behind", 0, 100, 5, "% bright", fold=GLASS),
    Length("tile", "Tile", 10, 30, 0.5, fold=GLASS),
    Length("joint", "Joint", 1, 5, 0.1, fold=GLASS),
    Length("bed", "Adhesive bed", 0.2, 3, 0.1, fold=THE_BED),
    Length("ridge", "Ridges of the back", 0, 2, 0.1, fold=THE_BED, help="their height; 0 if smooth"),
    Number("clear", "Joints cleared", 0, 100, 1, "% of depth", fold=THE_BED),
)
