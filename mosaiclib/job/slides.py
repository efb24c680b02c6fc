"""The demonstration why plain filler fails on glass: its slides, what to look for on them, and the sheets for it."""

__all__ = [
    "DAYS",
    "SEEN",
    "SPECIMENS",
    "WIDTHS",
    "Specimen",
    "all_signs",
    "joints",
    "slides_drawing",
    "write_record_sheet",
]

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import shapely

from mosaiclib import reference
from mosaiclib.cautions import on_paper
from mosaiclib.drawing import Drawing, Lines, Polygons, Text, look, pages, segments, write_pdf
from mosaiclib.drawing.palette import ACCENT, CLAY, CLAY_PALE, EDGE, FILLER, GLASS, INK, SOFT, WHITE
from mosaiclib.job.sheets import card
from mosaiclib.units import mm, text

WIDTHS = (4.0, 2.0)  # [mm] of the two joints of each: wide fails first
TILE = 20.0  # [mm]
SLIDE = tuple(reference.value("mechanics", name).number for name in ("length of a slide", "width of a slide"))  # [mm]
SEEN = ("not looked", "holds", "bright line", "let go", "cracks across")
DAYS = {  # on glass plain, on glass with latex, on pot: common practice that plain fails on glass; which day is a guess
    1: ("no change: nothing has dried", "no change", "no change"),
    3: ("perhaps the first bright lines along a side, at the wide joint", "no lines", "no change"),
    7: ("bright lines along the sides", "no lines", "fine cracks at most"),
    14: (
        "bits of filler can be pushed out with a wooden stick, in gloves",
        "no lines, or short ones",
        "fine cracks at most; it holds",
    ),
    28: ("most of it loose", "no lines, or short ones; it holds", "fine cracks at most; it holds"),
}


@dataclass(frozen=True)
class Specimen:
    """Three pieces with two joints: a letter, whether its sides are "glass" or "porous", and its kind of filler."""

    letter: str
    sides: str
    filler: str

    def signs(self, day: int) -> str:
        """What to look for on it on a day of `DAYS`."""
        plain, latex, pot = DAYS[day]
        return pot if self.sides == "porous" else plain if self.filler == PLAIN else latex

    @property
    def words(self) -> str:
        """What it is, in words."""
        on = "glass slide" if self.sides == "glass" else "pieces of pot"
        return f"{on}, {'plain' if self.filler == PLAIN else 'with latex'}"


PLAIN, LATEX = "plain cement grout", "cement grout with latex"
LET_GO = "a bright line along a side: there the filler has let go"
SPECIMENS = (
    Specimen("A", "glass", PLAIN),
    Specimen("B", "glass", LATEX),
    Specimen("C", "porous", PLAIN),
    Specimen("D", "porous", LATEX),
)


def all_signs(day: int) -> str:
    """Return what to look for on all of them on a day of `DAYS`.

    >>> all_signs(7)
    'plain on glass: bright lines along the sides; latex on glass: no lines; on pot: fine cracks at most'
    """
    return "; ".join(
        f"{on}: {said}" for on, said in zip(("plain on glass", "latex on glass", "on pot"), DAYS[day], strict=True)
    )


def joints() -> dict[str, tuple[Specimen, float]]:
    """Return every joint by its name, with its specimen and width [mm].

    >>> list(joints())[:3]
    ['A4', 'A2', 'B4']
    """
    return {f"{one.letter}{width:g}": (one, width) for one in SPECIMENS for width in WIDTHS}


def slides_drawing(seen: Mapping[str, str] | None = None, tile: float = TILE) -> Drawing:
    """Draw the four specimens of square pieces [mm] at true scale, each joint as it was last seen, by its name, one of `SEEN`.

    >>> slides_drawing().width
    176.0
    """
    items: list = []
    for at, one in enumerate(SPECIMENS):
        items += _specimen(one, 8.0 + 84.0 * (at % 2), 59.0 - 44.0 * (at // 2), tile, seen or {})
    items += [*_joint(8.0, 0.5, WIDTHS[0], 6.0, SEEN[2]), Text(14.0, 2.0, LET_GO, 4.2, colour=INK)]
    told = "; ".join(f"{name}: {how}" for name, how in (seen or {}).items()) or "nothing seen yet"
    wide = text("on each three pieces with joints of ", mm(*WIDTHS, between=" and "), f". {told}.")
    about = text("Two glass slides above, two strips of pot below; ", wide)
    return Drawing(176.0, 101.0, "Two slides and two strips of pot", about, tuple(items))


def _specimen(one: Specimen, x: float, y: float, tile: float, seen: Mapping[str, str]) -> list:
    """Return the items of one specimen whose base begins at x, y [mm]."""
    wide, high = SLIDE
    begin = x + (wide - 3 * tile - sum(WIDTHS)) / 2
    foot = y + (high - tile) / 2
    glass = one.sides == "glass"
    tone = look("sea green").fill if glass else CLAY
    items = [
        Text(x, y + high + 2.5, f"{one.letter}: {one.words}", 4.2, colour=INK),
        Polygons([shapely.box(x, y, x + wide, y + high)], GLASS if glass else CLAY_PALE, SOFT, 0.15),
    ]
    left = begin
    for width in (*WIDTHS, 0.0):
        items.append(Polygons([shapely.box(left, foot, left + tile, foot + tile)], tone, EDGE, 0.2))
        if width:
            name = f"{one.letter}{width:g}"
            items += _joint(left + tile, foot, width, tile, seen.get(name, SEEN[0]))
            items.append(Text(left + tile + width / 2, y - 4.5, name, 4.2, "middle", colour=INK))
        left += tile + width
    return items


def _joint(x: float, y: float, width: float, tile: float, how: str) -> list:
    """Return the filler of one joint as it was seen: open at its side, gone, or with cracks."""
    gone = how == "let go"
    items: list = [Polygons([shapely.box(x, y, x + width, y + tile)], WHITE if gone else FILLER, EDGE, 0.1)]
    if how == SEEN[2] or gone:
        items.append(Lines(segments([x + 0.25, y, x + 0.25, y + tile]), ACCENT, 0.5))
    if how == "cracks across":
        marks = [[x, y + tile * share, x + width, y + tile * share + 0.6] for share in (0.25, 0.5, 0.75)]
        items.append(Lines(segments(marks), ACCENT, 0.3))
    return items


def write_record_sheet(path: Path, paper: str = "A4", tile: float = TILE) -> Path:
    """Write the demonstration as a PDF on a paper of `PAPERS`: the places of pieces [mm] at true scale, a card for each specimen."""
    how = text(
        "Lay each slide on its outline and glue on three pieces of ",
        mm(tile),
        ", at the joints drawn. C and D: pieces and a strip of unglazed pot or terracotta tile, with rough edges.",
    )
    places = pages(
        slides_drawing(tile=tile),
        paper,
        heading="Two slides and two strips of pot",
        up="",
        faces="lies under the slides",
        notes=(how,),
        cautions=(on_paper("slides"),),
    )
    cards = [sheet for one in SPECIMENS for sheet in _record(one, paper)]
    write_pdf([*places, *cards], path)
    return path


def _record(one: Specimen, paper: str) -> list[Drawing]:
    """Return the card of one specimen, with room to write."""
    lines = [
        ("Filled on", "____________  by ____________________"),
        ("Room", "______ degrees, humidity ______ %"),
        ("Powder, latex, water", "________ g    ________ g    ________ g"),
    ]
    for when, words in (("When filled", "after wiping"), *((f"Day {day}", one.signs(day)) for day in DAYS)):
        when = f"{when}: ____________"
        lines.append((when, f"look for: {words}"))
        lines.append(tuple(f"{one.letter}{width:g}: let go ______ mm, seen _________" for width in WIDTHS))
    drawing = card(f"{one.letter}: {one.words}", lines)
    heading = f"Record {SPECIMENS.index(one) + 1} of {len(SPECIMENS)}"
    return pages(drawing, paper, heading=heading, up="", cautions=(on_paper("slides"),), scaled=False)
