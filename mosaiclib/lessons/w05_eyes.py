"""Lesson 05, part three: the same pieces seen by other eyes, in other light, and against their filler."""

__all__ = ["CONTROLS", "Result", "Settings", "compute", "draw", "report", "summary", "told_of_joints"]

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations

from mosaiclib import reference
from mosaiclib.adhesive.choose import CLARITIES
from mosaiclib.adhesive.optics import BACKINGS, LIGHTS, lightness, passed_by, seen
from mosaiclib.colour import arrange_pieces
from mosaiclib.drawing import GLASS_COLOURS, Drawing, Look, alike, layout_picture, look, panels
from mosaiclib.drawing.eyes import EYES, seen_by
from mosaiclib.drawing.palette import INK, apart, contrast, grey
from mosaiclib.errors import MosaicError
from mosaiclib.layout import Layout
from mosaiclib.lesson.controls import Choice, Length, Number, Switch
from mosaiclib.lessons.w05_shared import laid, touching
from mosaiclib.report import Row

TITLE = "Other eyes, other light"
COLOURS, GLASS, VIEW = "Your four colours", "The glass and its bed", "The view"
ACROSS, DOWN = 5, 6
TWICE = "more than once"
STANDS_OUT = reference.value("contrast", "parts of a picture").number
TOO_ALIKE = reference.value("colours", "two colours").number
QUIET = reference.value("contrast", "hardly apart").number


@dataclass(frozen=True)
class Settings:
    """What the learner can set [mm]."""

    eyes: str = "eyes weak in red"
    missing: float = 100.0
    light: str = "front"
    filler: float = 85.0
    one: str = "rose"
    two: str = "smoke"
    three: str = "leaf green"
    four: str = "amber"
    thickness: float = 4.0
    clarity: str = "transparent"
    backing: str = BACKINGS[0]
    marks: bool = False

    @property
    def names(self) -> tuple[str, ...]:
        """The four colours."""
        return self.one, self.two, self.three, self.four


CONTROLS = (
    Choice("light", "Lamp", LIGHTS),
    Choice("eyes", "Seen by", EYES),
    Number("missing", "Sense that is missing", 0, 100, 10, "%", help="0: usual eyes; 100: it is missing"),
    Number("filler", "Shade of the filler", 15, 95, 5, "of 100 light", help="15 is black, 95 is white"),
    *(
        Choice(name, label, tuple(GLASS_COLOURS), fold=COLOURS, refuses=(TWICE,))
        for name, label in (("one", "First"), ("two", "Second"), ("three", "Third"), ("four", "Fourth"))
    ),
    Length("thickness", "Tile thickness", 2, 12, 0.5, fold=GLASS),
    Choice("clarity", "Glass is", CLARITIES, fold=GLASS),
    Choice("backing", "Behind the glass", BACKINGS, fold=GLASS),
    Switch("marks", "Show the marks", fold=VIEW, help="what tells colours apart without seeing them"),
)


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings: the piece, and the tones of colours and filler as usual and as the other eyes see them."""

    settings: Settings
    layout: Layout
    usual: Mapping[str, str]
    other: Mapping[str, str]
    filler: tuple[str, str]


def compute(s: Settings) -> Result:
    """Work out the tones in that light, and what the eyes make of them.

    >>> [(one, two) for one, two, _ in alike(compute(Settings()).other)]
    [('rose', 'smoke'), ('leaf green', 'amber')]
    """
    if len(set(s.names)) < len(s.names):
        raise MosaicError(f"A colour stands {TWICE} among the four; choose four that differ.")
    graph, how = touching("grid", ACROSS, DOWN), {"light": s.light, "clarity": s.clarity}
    names = arrange_pieces(graph, dict.fromkeys(s.names, graph.count), 1)
    usual = {name: seen(passed_by(look(name).fill), s.thickness, s.backing, **how).tone for name in s.names}
    # filler lets no light through: before a lamp or a window the joints turn black
    filler = INK if s.light == "behind" else grey(s.filler)
    eyes = {tone: seen_by(tone, s.eyes, s.missing / 100) for tone in (*usual.values(), filler)}
    other = {name: eyes[tone] for name, tone in usual.items()}
    return Result(s, laid("grid", ACROSS, DOWN).coloured(names), usual, other, (filler, eyes[filler]))


def draw(result: Result) -> Drawing:
    """Draw the same piece as usual eyes see it, and as the chosen eyes do."""
    s = result.settings
    both = (("usual eyes", result.usual), (s.eyes, result.other))
    shown = [_seen(result, tones, base) for (_, tones), base in zip(both, result.filler, strict=True)]
    words = f"The same pieces as usual eyes and as {s.eyes} see them; lamp {_lamp(s)}. {summary(result)}"
    return panels(shown, [name for name, _ in both], size=7.0, title=TITLE, description=words)


def _lamp(s: Settings) -> str:
    return "in front" if s.light == "front" else "behind"


def _seen(result: Result, tones: Mapping[str, str], base: str) -> Drawing:
    looks = {name: Look(tone, look(name).mark) for name, tone in tones.items()}
    return layout_picture(result.layout, dimensions=False, marks=result.settings.marks, looks=looks, base=base)


def report(result: Result) -> list[Row]:
    """Tell for each pair how different it looks to both eyes, and for each colour how it stands against the filler."""
    near = [(one, two) for one, two, _ in alike(result.other)]
    lost = "; ".join(f"{one} and {two}" for one, two in near) or "none"
    unit = "pair" if len(near) == 1 else "pairs"
    rows = [
        Row("Too alike for these eyes", len(near), unit, f"under {TOO_ALIKE:g} apart: {lost}", checked="other eyes")
    ]
    rows += [_pair(result, *pair) for pair in _pairs(result)[:3]]
    rows += [_against(result, name) for name in result.settings.names]
    return [
        *rows,
        Row("Note", "", "", "a model of the eye, not anyone's own: where it matters, ask the person"),
    ]


def _pairs(result: Result) -> list[tuple[str, str]]:
    """Return the pairs of colours, the most alike for the other eyes first."""
    return sorted(combinations(result.other, 2), key=lambda pair: apart(*(result.other[name] for name in pair)))


def _pair(result: Result, one: str, two: str) -> Row:
    usual, other = (apart(tones[one], tones[two]) for tones in (result.usual, result.other))
    step = abs(lightness(result.other[one]) - lightness(result.other[two]))
    words = f"{usual:.0f} for usual eyes; in lightness alone {step:.0f} of 100"
    return Row(f"{one} and {two}", round(other, 1), "apart", words, checked="difference of colours")


def told_of_joints(ratio: float) -> str:
    """Return how joints show beside glass by their contrast, 1 to 21.

    >>> told_of_joints(1.2), told_of_joints(2.0), told_of_joints(4.0)
    ('joints are quiet', 'joints show', 'joints stand out')
    """
    return "joints stand out" if ratio >= STANDS_OUT else "joints are quiet" if ratio <= QUIET else "joints show"


def _against(result: Result, name: str) -> Row:
    """Tell how the joints show beside a colour, for usual eyes."""
    tone, filler = result.usual[name], result.filler[0]
    ratio, darker = contrast(tone, filler), lightness(filler) < lightness(tone)
    words = f"{told_of_joints(ratio)}; the filler is {'darker' if darker else 'lighter'}"
    return Row(f"{name} and its filler", round(ratio, 1), "to 1 in light", words, checked="contrast")


def summary(result: Result) -> str:
    """Return which colours these eyes do not tell apart."""
    near = alike(result.other)
    if not near:
        return "These eyes tell all four colours apart."
    pairs = " and ".join(f"{one} from {two}" for one, two, _ in near[:2])
    return f"These eyes hardly tell {pairs}."
