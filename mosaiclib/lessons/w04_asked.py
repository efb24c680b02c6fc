"""Lesson 04, part one: how far a filler is asked to stretch, how far it can, and what gives."""

__all__ = ["CONTROLS", "Result", "compute", "draw", "report", "summary"]

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import shapely

from mosaiclib.drawing import Drawing, Lines, Polygons, Text, look, segments
from mosaiclib.drawing.palette import ACCENT, BAND, CLAY, CLAY_PALE, FILLER, GLASS, GRID, INK, PAPER, SOFT
from mosaiclib.filler import KINDS, Stretch, stretch
from mosaiclib.lessons.w04_shared import FillerSettings as Settings
from mosaiclib.lessons.w04_shared import controls, headline, kind_in
from mosaiclib.report import Row
from mosaiclib.units import mm, text

TITLE = "Asked and given"
WIDE, HIGH = 132.0, 93.0  # [mm] of the picture; 20 px of words at 680 x 480 px are 3.9 mm
SIZE = 3.9  # [mm] of every word in it
MAGNIFIED = 100
ENDS = (0.3, 1000.0)  # of the bars


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings: what is asked of each kind that can be told and what it gives; and how much the chosen one
    would shorten across the joint, left free, least, middle and greatest [mm], nothing for one without a figure."""

    settings: Settings
    kinds: Mapping[str, Stretch]
    short: tuple[float, ...]

    @property
    def chosen(self) -> Stretch | None:
        """Asked and given of the chosen kind, None for one without a figure."""
        return self.kinds.get(self.settings.kind)

    @property
    def fails(self) -> bool:
        """Whether practice says that this filler lets go of these sides or this base."""
        s = self.settings
        return not kind_in(s).for_glass and "glass" in (s.sides, s.base)


def compute(s: Settings) -> Result:
    """Work out what is asked of every cement filler between these sides, and what it can give.

    >>> found = compute(Settings())
    >>> found.kinds["plain cement grout"].ratio[1] > found.kinds["cement grout with latex"].ratio[1] > 1
    True
    """
    every = (kind_in(s, name) for name in KINDS)
    kinds = {kind.name: stretch(kind, s.sides, s.humidity / 100) for kind in every if kind.cement}
    asked = kinds[s.kind].asked if s.kind in kinds else ()
    return Result(s, kinds, tuple(one * 1e-6 * s.joint for one in asked))


def draw(result: Result) -> Drawing:
    """Draw the joint in section with its pull, and a bar of asked over given for each kind."""
    s = result.settings
    items = (*_section(result), *_bars(result))
    about = text(
        "A joint of ", mm(s.joint), f" filled with {s.kind}, tiles {s.sides}, base {s.base}: ", what_gives(result)
    )
    return Drawing(WIDE, HIGH, "What is asked of a filler, and what it can give", about, items, PAPER)


def _section(result: Result) -> list:
    """Draw the joint between two tiles on its base, true to scale; what it lacks is magnified a hundred times."""
    s, middle = result.settings, 27.0
    scale = min(4.6, 38.0 / s.depth)
    half, deep, base = s.joint * scale / 2, s.depth * scale, 40.0
    lack = result.short[1] * scale * MAGNIFIED / 2 if result.short else 0.0
    gap, under = (min(lack, half / 2) if result.fails and face == "glass" else 0.0 for face in (s.sides, s.base))
    sides = shapely.box([3.0, middle + half], base, [middle - half, 51.0], base + deep)
    filler = shapely.box(middle - half + gap, base + min(under, 1.0), middle + half - gap, base + deep)
    tile, stone = look("sea green").fill if s.sides == "glass" else CLAY, GLASS if s.base == "glass" else CLAY_PALE
    words = what_gives(result).split("; ")
    return [
        Polygons([shapely.box(3, base - 9, 51, base)], stone, SOFT),
        Polygons(sides, tile, INK),
        Polygons([filler], FILLER, INK, 0.15),
        *_cracks(result, filler.bounds),
        *_pull(filler.bounds),
        Lines(segments([[middle - half, base + deep + 3, middle + half, base + deep + 3]]), INK, 0.4),
        Text(middle, base + deep + 5, text("joint ", mm(s.joint)), SIZE, "middle"),
        Text(middle, base + deep + 10.5, "it pulls inwards", SIZE, "middle", colour=ACCENT),
        Text(middle, base - 6, f"{s.base} base", SIZE, "middle"),
        *(Text(3, 24 - 5.6 * row, line, SIZE) for row, line in enumerate(words)),
    ]


def _pull(box: tuple[float, float, float, float]) -> list:
    """Draw arrows with heads from both sides inwards: the filler wants to be shorter."""
    x0, y0, x1, y1 = box
    long, y = max(min((x1 - x0) / 2 - 0.6, 9.0), 1.0), y0 + (y1 - y0) * np.array([0.25, 0.5, 0.75])
    head, arrows, tips = min(long, 2.2), [], []
    for x, way in ((x0, 1), (x1, -1)):
        neck, tip = x + way * (long - head), x + way * long
        arrows += [[x, up, neck, up] for up in y]
        tips += [shapely.Polygon([(neck, up + 1), (tip, up), (neck, up - 1)]) for up in y]
    return [Lines(segments(arrows), ACCENT, 0.7), Polygons(tips, ACCENT)]


def _cracks(result: Result, box: tuple[float, float, float, float]) -> list:
    """Draw fine cracks where porous sides hold a plain filler that is asked for more than it can give."""
    s, (x0, y0, x1, y1) = result.settings, box
    if s.sides == "glass" or kind_in(s).for_glass or result.chosen is None:
        return []
    at = np.linspace(x0, x1, 2 + max(int(s.joint * 2), 2))[1:-1]
    zigzag = [[(x + 0.35 * (-1) ** k, y0 + (y1 - y0) * (1 - k / 8)) for k in range(6)] for x in at]
    return [Lines(np.array([shapely.LineString(one) for one in zigzag]), INK, 0.18)]


def what_gives(result: Result) -> str:
    """Return what gives in this joint, practice first, in two short parts.

    >>> what_gives(compute(Settings(sides="porous", base="porous")))
    'The sides hold.; It tears inside, finely.'
    """
    s = result.settings
    if kind_in(s).for_glass:
        what = "With latex" if kind_in(s).poured else "With polymer in it" if kind_in(s).cement else "Epoxy"
        return f"{what}:; in practice it holds."
    if s.sides == "glass":
        return "On glass the side is; weakest: it lets go."
    return (
        "The sides hold.; It tears inside, finely." if s.base == "porous" else "The sides hold; it lets go of the base."
    )


def _bars(result: Result) -> list:
    """Draw asked over given as a bar for each grout and the chosen kind, on an axis by powers; epoxy stands apart."""
    left, wide, top = 59.0, 66.0, HIGH - 13.0
    x = lambda value: left + wide * np.log(value / ENDS[0]) / np.log(ENDS[1] / ENDS[0])  # noqa: E731
    names = [n for n in result.kinds if n.endswith("grout") or n in ("cement grout with latex", result.settings.kind)]
    low = top - 13.6 * len(names)
    ticks, rows = {1: "1", 10: "10", 100: "100"}, top - 13.6 * np.arange(len(names))
    items: list = [
        Text(left, HIGH - 5.5, "asked : can give", SIZE, voice="heading"),
        Lines(segments([[x(t), y - 12.6, x(t), y - 5.2] for t in ticks for y in rows]), GRID, 0.3),
        Lines(segments([[x(1), y - 12.6, x(1), y - 5.2] for y in rows]), ACCENT, 0.8),
        *(Text(x(t), low - 5, said, SIZE, "middle") for t, said in ticks.items()),
        Text(x(1), low - 10.5, "over 1: something gives", SIZE, colour=ACCENT),
        Text(left, low - 16, "latex: over 1, yet it holds", SIZE),
        Text(left, low - 21.5, "epoxy: no figure was read", SIZE, colour=SOFT),
    ]
    for row, name in enumerate(names):
        ratio, y = result.kinds[name].ratio, top - 13.6 * row
        ends = np.clip(ratio, *ENDS)
        tone = kind_in(result.settings, name).tone
        items += [
            Text(left, y - 4.6, name, SIZE if len(name) < 30 else 3.2, colour=INK),
            Polygons(
                [shapely.box(x(ends[0]), y - 11.5, x(ends[2]), y - 6.2)],
                tone if name == result.settings.kind else BAND,
                tone,
                0.5,
            ),
            Lines(segments([[x(ends[1]), y - 12.2, x(ends[1]), y - 5.6]]), INK, 1.0),
        ]
    return items


def report(result: Result) -> list[Row]:
    """Tell asked and given for a metre of filler, what gives, what latex changes, and what is not known."""
    gives = Row("What gives", "", "", what_gives(result).replace(";", ""))
    if result.chosen is None:
        return [gives, Row("Epoxy", "", "", "no figure on glass was read: no bar and no chance"), *_known()]
    rows = [gives, *_stretch_rows(result.settings, result.chosen), _short_row(result.short)]
    if kind_in(result.settings).for_glass and result.chosen.ratio[1] > 1:
        words = "this bar is over 1 too: the published figures do not show why fortified filler holds"
        rows.append(Row("Honestly", "", "", words))
    elif result.settings.sides == "porous" and result.chosen.ratio[1] > 1:
        rows.append(
            Row("Honestly", "", "", "over 1 between rough sides too: it tears in fine cracks and holds all the same")
        )
    return [*rows, *_known()]


def _stretch_rows(s: Settings, made: Stretch) -> list[Row]:
    """Tell what is asked, what can be given, and one over the other."""
    (least, _, most), (weak, usual, strong), (low, middle, high) = made.asked, made.gives, made.ratio
    what = "it tears" if s.sides == "porous" else "the side lets go: ASSUMED, nobody's figure for glass was found"
    over = "over 1 even at its best" if low > 1 else "over 1 at the middle" if middle > 1 else "under 1 at the middle"
    asked, gives = f"{least / 1000:.1f} to {most / 1000:.1f}", f"{weak / 1000:.2g} to {strong / 1000:.2g}"
    return [
        Row("Asked, in a metre", asked, "mm", "so much a metre of it would shrink, left free", checked="shrinkage"),
        Row(
            "Can give, in a metre",
            gives,
            "mm",
            f"middle {usual / 1000:.2f} mm, before {what}",
            checked="assumed" if s.sides == "glass" else "stiffness and strength",
        ),
        Row(
            "Asked over can give",
            f"{low:.2g} to {high:.3g}",
            "times",
            f"middle {middle:.2g}; {over}; it is the same at every width",
        ),
    ]


def _short_row(short: tuple[float, ...]) -> Row:
    """Tell what the width does."""
    words = (
        f"once free; drawn {MAGNIFIED} times. Too thin to see as a gap: on glass it is a bright line, as the air in it "
        "throws light back. A joint twice as wide stores twice as much pull behind each side"
    )
    much = f"{1000 * short[0]:.1f} to {1000 * short[2]:.1f}"
    return Row("This joint would shorten by", much, "thousandths of a mm", words)


def _known() -> list[Row]:
    return [
        Row(
            "Latex: softer",
            "",
            "",
            "10 to 20 with latex, plain 20 to 30 (GPa: higher is stiffer; textbooks, from memory)",
        ),
        Row(
            "Latex: stronger",
            "",
            "",
            "8 with it, 3 plain (MPa in bending; Ohama 1998, read second-hand), so perhaps it stretches further: that was not found",
        ),
        Row(
            "Latex: bonds better",
            "",
            "",
            "almost 40 % stronger on glazed tile (abstract read); on smooth glass nobody's figure was found",
        ),
        Row(
            "Latex: shrinks less?", "", "", "sources disagree (Ohama; Frondistou-Yannas and Shah 1972, abstracts read)"
        ),
    ]


def summary(result: Result) -> str:
    """Return what practice says, and what cannot be proved."""
    return headline(result.settings)


CONTROLS = controls("joint", "kind", "sides", "base", leave=("age", "low", "high"))
