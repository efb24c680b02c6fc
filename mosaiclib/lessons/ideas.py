"""What a workbook shows besides its lesson: the drawings of The idea, and its cautions."""

__all__ = [
    "Cautions",
    "Checked",
    "Idea",
    "Unprinted",
    "bed_idea",
    "corner_idea",
    "cycle_idea",
    "gape_idea",
    "held_idea",
    "joint_idea",
    "meeting_idea",
    "pooled_idea",
    "printed_idea",
    "wedge_idea",
]

import html
import math
from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import TYPE_CHECKING

import numpy as np
import shapely

from mosaiclib.drawing import Drawing, Lines, Polygons, Text, look, segments, to_svg
from mosaiclib.drawing.palette import ACCENT, BAND, CLAY, CURED, FILLER, GLASS, INK, PAPER, SOFT, UNCURED
from mosaiclib.job import spares
from mosaiclib.report import Row, report_table, slug

if TYPE_CHECKING:  # it works out every plan there is to check
    from mosaiclib.evidence import Verdict


class Idea:
    """A drawing that shows itself in a notebook."""

    def __init__(self, drawing: Drawing) -> None:
        self.drawing = drawing

    def _repr_svg_(self) -> str:
        return to_svg(self.drawing)

    def __repr__(self) -> str:
        return f"{self.drawing.title}. {self.drawing.description}"


class Cautions:
    """Hazards with what to do, which show themselves in a notebook as a list."""

    def __init__(self, lines: Sequence[tuple[str, str]]) -> None:
        self.lines = tuple(lines)

    def _repr_html_(self) -> str:
        items = "".join(f"<li><b>{html.escape(head)}.</b> {html.escape(said)}</li>" for head, said in self.lines)
        return f"<ul>{items}</ul>"

    def __repr__(self) -> str:
        return "\n".join(f"{head}. {said}" for head, said in self.lines)


class Checked:
    """Printed values beside ours, which show themselves in a notebook as a table a subject, folded; each has an address of its own."""

    HEADS = ("what", "printed", "ours", "off", "allowed", "verdict", "where", "how we know it")
    BESIDES = "<p>What a figure rests on besides, assumed or common practice, stands at the end of this list.</p>"

    def __init__(self, verdicts: "Sequence[Verdict]") -> None:
        self.verdicts = tuple(verdicts)

    def _repr_html_(self) -> str:
        subjects = groupby(self.verdicts, key=lambda each: each.check.subject)
        return "".join(self._subject(name, tuple(some)) for name, some in subjects)

    def _subject(self, name: str, some: "Sequence[Verdict]") -> str:
        heads = "".join(f"<th>{head}</th>" for head in self.HEADS)
        lines = "".join(
            f"<tr>{''.join(f'<td>{html.escape(cell)}</td>' for cell in _cells(each))}</tr>" for each in some
        )
        return _fold(name, _agreeing(name, some), f"<table><tr>{heads}</tr>{lines}</table>{self.BESIDES}")

    def __repr__(self) -> str:
        subjects = groupby(self.verdicts, key=lambda each: each.check.subject)
        return "\n".join(_agreeing(name, tuple(some)) for name, some in subjects)


class Unprinted:
    """What nobody printed, which shows itself in a notebook as a table for each kind of evidence, folded, with an address of its own."""

    def __init__(self, rows: Mapping[str, Sequence[Row]]) -> None:
        self.rows = rows

    def _repr_html_(self) -> str:
        return "".join(
            _fold(name, words, report_table(rows))
            for (name, rows), words in zip(self.rows.items(), self.words, strict=True)
        )

    @property
    def words(self) -> list[str]:
        """How many figures there are of each kind."""
        return [f"{name}: {len(rows)} figures" for name, rows in self.rows.items()]

    def __repr__(self) -> str:
        return "\n".join(self.words)


def _fold(name: str, words: str, table: str) -> str:
    """Return a folded table under its words, at the address of its name."""
    return f'<details id="{slug(name)}" class="mosaic-checked"><summary>{html.escape(words)}</summary>{table}</details>'


def _agreeing(name: str, some: "Sequence[Verdict]") -> str:
    return f"{name}: {sum(each.agrees for each in some)} of {len(some)} agree"


def _cells(each: "Verdict") -> tuple[str, ...]:
    """Return a check as the cells of its line: as printed, ours to six figures."""
    from mosaiclib.evidence import EXACT

    check, off = each.check, each.difference
    ours = each.ours if off is None else f"{each.ours:.6g}"
    gap = "" if off is None else "0" if abs(off) <= EXACT else f"{off:.2g}"
    verdict, where = "agrees" if each.agrees else "DOES NOT AGREE", f"{check.source}, {check.place}"
    return (
        check.what,
        f"{check.printed} {check.unit}".strip(),
        str(ours),
        gap,
        f"{check.tolerance:.2g}" if check.tolerance > EXACT else "0",
        verdict,
        where,
        check.evidence,
    )


def measure(x0: float, x1: float, y: float, words: str, drop: float = 3.0, size: float = 3.4) -> list:
    """Return a level dimension line with its ticks and its words under it [mm]."""
    ticks = [[x, y - 1.2, x, y + drop] for x in (x0, x1)]
    lines = Lines(segments([[x0, y, x1, y], *ticks]), SOFT, 0.25)
    return [lines, Text((x0 + x1) / 2, y - 4.2, words, size, "middle")]


def joint_idea() -> Drawing:
    """Draw a row of tiles with the names of its lengths."""
    tile, joint, edge, n = 24.0, 5.0, 7.0, 4
    start = 12.0 + edge + np.arange(n) * (tile + joint)
    span = 2 * edge + n * tile + (n - 1) * joint
    glass = Polygons([shapely.box(12, 26, 12 + span, 26 + tile + 8)], FILLER, SOFT)
    tiles = Polygons(shapely.box(start, 30, start + tile, 30 + tile), look("sea green").fill, INK)
    items = [
        glass,
        tiles,
        *measure(12, start[0], 20, "edge e"),
        *measure(start[1], start[1] + tile, 20, "tile a"),
        *measure(start[1] + tile, start[2], 20, "joint j", 9),
        *measure(12, 12 + span, 8, "span S", 15),
        Text(12, 63, "n = 4 tiles have n - 1 = 3 joints between them", 3.8),
    ]
    words = "Four tiles in a row on the glass, three joints between them and a bare margin at both ends."
    return Drawing(span + 24, 70, "A row of tiles and its lengths", words, tuple(items), PAPER)


def corner_idea() -> Drawing:
    """Draw an upright corner of a vessel from above: walls, tiles, paper guide inside."""
    wall, deep = 14.0, 10.0
    x0, y0, long = 40.0, 26.0, 62.0
    walls = shapely.box(x0, y0, x0 + long, y0 + long) - shapely.box(x0 + wall, y0 + wall, x0 + long, y0 + long)
    front = shapely.box(x0 + np.array([0.0, 31.0]), y0 - deep, x0 + np.array([28.0, 59.0]), y0)
    side = shapely.box(x0 - deep, y0 + np.array([0.0, 31.0]), x0, y0 + np.array([28.0, 59.0]))
    channel = shapely.box(x0 - deep, y0 - deep, x0, y0)
    guide = segments([[x0 + wall + 1.5, y0 + wall + 1.5, x0 + long, y0 + wall + 1.5]])
    items = [
        Polygons([walls], GLASS, SOFT),
        Polygons(front, look("sea green").fill, INK),
        Polygons(side, look("sky blue").fill, INK),
        Polygons([channel], FILLER, INK, dash=(1, 1)),
        Lines(guide, INK, 0.7),
        Lines(segments([[x0 - deep / 2, y0 - deep / 2, 22, 10]]), SOFT, 0.25),
        Text(20, 5, "corner channel: filled", 3.4, "start"),
        Text(x0 + 30, y0 + wall / 2, "wall", 3.4, "middle", middle=True),
        Text(x0 + 34, y0 + wall + 4, "paper guide", 3.4, "middle"),
        Text(x0 + 44, y0 - deep - 5, "front tiles", 3.4, "middle"),
        Text(x0 - deep - 4, y0 + 40, "side tiles", 3.4, "middle", 90),
    ]
    words = (
        "Two walls meet; tiles stand outside on both, a square channel stays open at the corner, "
        "a paper guide lies inside."
    )
    return Drawing(x0 + long + 14, y0 + long + 6, "An open corner from above", words, tuple(items), PAPER)


def wedge_idea() -> Drawing:
    """Draw two tiles on a bend as bought, and two wedges on the same bend."""
    centre, inner, tall, wide, joint = np.array([48.0, -32.0]), 54.0, 26.0, 24.0, 4.0
    half = np.arctan((wide + joint) / (2 * (inner + tall)))  # the wide end is as wide as the tile
    narrow = 2 * inner * np.tan(half) - joint / np.cos(half)
    loose = np.arctan((wide + 1.2) / (2 * inner))  # whole tiles leave a little inside
    items: list = []
    for step, turn, end, name in (
        (0.0, loose, wide, "as bought: the joint opens in a V"),
        (100.0, half, narrow, "cut: the joint is even"),
    ):
        shapes = [_on_bend(centre + np.array([step, 0.0]), side * turn, inner, tall, end, wide) for side in (-1, 1)]
        items.append(Polygons(np.array(shapes), look("sea green" if end < wide else "sky blue").fill, INK))
        items.append(Text(centre[0] + step, 62, name, 3.6, "middle"))
    items.append(Text(centre[0] + 100, 12, "narrow end, inside the bend", 3.2, "middle"))
    items.append(Text(centre[0] + 100, 53, "wide end", 3.2, "middle"))
    words = "Two whole tiles on a bend touch inside and stand apart outside; two wedges leave the same joint all along."
    return Drawing(196, 72, "A joint on a bend", words, tuple(items), PAPER)


def gape_idea() -> Drawing:
    """Draw flat tiles outside a round glass and inside one, in section: where they touch it, and where they gape."""
    items: list = []
    for x, way, name in (
        (52.0, 1, "outside: it touches in the middle, its edges gape"),
        (164.0, -1, "inside: its edges touch, the middle gapes"),
    ):
        centre = np.array([x, 34.0 - way * 30.0 + (0 if way > 0 else 2.0)])
        items += _gaping(centre, way)
        items.append(Text(x, 2, name, 3.4, "middle"))
    words = (
        "Flat tiles on round glass in section. Outside the curve a tile touches the glass in its middle and the joint opens towards "
        "the face. Inside the curve it stands on its edges and the joint closes."
    )
    return Drawing(216, 70, "Why flat tiles gape on round glass", words, tuple(items), PAPER)


def _gaping(centre: np.ndarray, way: int) -> list:
    """Return a glass in section, two tiles on it, and their bed; `way` is 1 outside, -1 inside [mm]."""
    R, wide, thick, wall = 42.0, 28.0, 8.0, 6.0
    back = R if way > 0 else np.sqrt(R**2 - wide**2 / 4)
    half = np.arctan(wide / 2 / back) + (0.035 if way > 0 else 0.13)
    arc, angles = np.linspace(-0.95, 0.95, 60), (-half, half)

    def at(turn, far):
        return centre + np.stack([far * np.sin(turn), way * far * np.cos(turn)], axis=-1)

    glass = shapely.Polygon([*at(arc, R), *at(arc[::-1], R - way * wall)])
    u, v = np.array([-1, 1, 1, -1]) * wide / 2, back + np.array([0, 0, 1, 1]) * way * thick
    tiles = [at(np.arctan2(u, v) + turn, np.hypot(u, v)) for turn in angles]
    edge = np.arctan2(wide / 2, back)
    beds = [
        [*at(np.linspace(turn - edge, turn + edge, 24), R), *tile[1::-1]]
        for turn, tile in zip(angles, tiles, strict=True)
    ]
    return [
        Polygons([glass], GLASS, SOFT),
        Polygons([shapely.Polygon(bed) for bed in beds], CURED, INK, 0.15),
        Polygons([shapely.Polygon(tile) for tile in tiles], look("sea green").fill, INK),
    ]


def cycle_idea() -> Drawing:
    """Draw three tiles that all touch, four round a crossing, and a ring of five with two alike side by side."""
    side, joint, foot = 20.0, 2.0, 20.0
    step = side + joint
    places = (([0, 0], [step, 0], [step / 2, step]), ([70, 0], [70 + step, 0], [70, step], [70 + step, step]))
    tones = (("deep blue", "amber", "sea green"), ("deep blue", "amber", "amber", "deep blue"))
    items: list = []
    for at, names in zip(places, tones, strict=True):
        x, y = np.array(at, float).T + np.array([[8.0], [foot]])
        items.append(Polygons(shapely.box(x, y, x + side, y + side), tuple(look(name).fill for name in names), INK))
    ring = _ring(168.0, foot + 21, 22.0, 9.0, 5)
    five = ("deep blue", "amber", "deep blue", "amber", "deep blue")
    items += [
        Polygons(ring, tuple(look(name).fill for name in five), INK),
        Lines(segments([[78 + side - 2, foot + side - 2, 80 + side + 2, foot + side + joint + 2]]), ACCENT, 1.2),
        Text(8 + side + 1, 10, "three all touch: three colours", 3.6, "middle"),
        Text(78 + side + 1, 10, "like meets like at the crossing", 3.6, "middle"),
        Text(168, 10, "five in a ring: the last meets the first", 3.6, "middle"),
    ]
    words = (
        "Three tiles in running bond that all touch, in three colours. Four tiles round a crossing in two colours, like opposite "
        "like. A ring of five in two colours, where two alike stand side by side."
    )
    return Drawing(208, 72, "Where two alike come to touch", words, tuple(items), PAPER)


def _on_bend(centre: np.ndarray, turn: float, inner: float, tall: float, narrow: float, wide: float):
    """Return a piece on a bend, turned about the centre of the bend [mm, radians]."""
    corners = np.array([[-narrow / 2, inner], [narrow / 2, inner], [wide / 2, inner + tall], [-wide / 2, inner + tall]])
    c, s = np.cos(turn), np.sin(turn)
    return shapely.Polygon(corners @ np.array([[c, -s], [s, c]]) + centre)


def meeting_idea() -> Drawing:
    """Draw a line that lies on top of another, two that stop half way, and the rows of a motif up to its middle."""
    items: list = []
    for x, seam, name in (
        (40.0, False, "one on top: the other is cut back"),
        (130.0, True, "neither: both stop half way"),
    ):
        below, above = _crossed(x, 42.0, seam)
        items += [Polygons(below, look("leaf green").fill, INK), Polygons(above, look("sky blue").fill, INK)]
        items.append(Text(x, 2, name, 3.4, "middle"))
    x, y, far, rings = 218.0, 42.0, 31.0, ((31.0, 22.0, 16), (20.0, 11.0, 10))
    for outer, inner, count in rings:
        items.append(Polygons(_ring(x, y, outer, inner, count), look("rose").fill, INK))
    items.append(Polygons([shapely.Point(x, y).buffer(9.0)], look("amber").fill, INK))
    items += measure(x, x + far, y + 36, "half the width", drop=-36.0)[:1]
    items += [
        Text(x + far / 2, y + 38, "half the width", 3.4, "middle"),
        Text(x, 2, "rows, joints, middle", 3.4, "middle"),
    ]
    words = (
        "Two lines that cross: one lies on top and is whole, or both stop at the line half way between. Beside them a motif: "
        "two rows with their joints, and a piece in the middle, share half of its width."
    )
    return Drawing(256, 86, "Where lines meet, and how a motif closes", words, tuple(items), PAPER)


def _crossed(x: float, y: float, seam: bool) -> tuple[np.ndarray, np.ndarray]:
    """Return the pieces of a level and of an upright line about a place, cut where they meet [mm]."""
    at, piece, half = np.arange(-30.0, 30.0, 9.0), 7.5, 3.75
    level = shapely.box(x + at, y - half, x + at + piece, y + half)
    upright = shapely.box(x - half, y + at, x + half, y + at + piece)
    if not seam:
        return shapely.difference(level, shapely.box(x - half - 1.5, y - 40, x + half + 1.5, y + 40)), upright
    quarters = [shapely.Polygon([(x, y), (x - s * 40, y - 40), (x - s * 40, y + 40)]) for s in (-1, 1)]
    beside = shapely.union_all(quarters)
    return shapely.intersection(level, beside.buffer(-0.75)), shapely.difference(upright, beside.buffer(0.75))


def _ring(x: float, y: float, outer: float, inner: float, count: int) -> np.ndarray:
    """Return wedges that close a ring about a place, a joint of 2 between them [mm]."""
    wide, narrow = (far * np.tan(np.pi / count) - 1.0 for far in (outer, inner))
    piece = np.array([[-narrow, inner], [narrow, inner], [wide, outer], [-wide, outer]])
    turns = 2 * np.pi * np.arange(count) / count
    spun = [piece @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]]) for turn in turns]
    return shapely.polygons(np.array(spun) + np.array([x, y]))


def bed_idea() -> Drawing:
    """Draw two tiles on glass in section: the bed is cured from the joints inwards, its middle still soft."""
    left, wide, joint, tall, bed = 16.0, 62.0, 10.0, 17.0, 7.0
    base, top = 22.0, 36.0
    starts = left + np.array([0.0, wide + joint])
    front, between, inside = 16.0, left + wide + joint / 2, top + bed / 2
    items = [
        Polygons([shapely.box(left - 8, base, left + 2 * wide + joint + 8, top)], GLASS, SOFT),
        Polygons(shapely.box(starts, top, starts + wide, top + bed), CURED, INK, 0.15),
        Polygons(shapely.box(starts + front, top, starts + wide - front, top + bed), UNCURED, INK, 0.15),
        Polygons(shapely.box(starts, top + bed, starts + wide, top + bed + tall), look("sea green").fill, INK),
        *[
            Lines(segments([[x, top + bed + tall + 9, x, inside], [x, inside, x + step, inside]]), INK, 0.4)
            for x, step in ((between - 1.5, -front * 0.7), (between + 1.5, front * 0.7))
        ],
        Text(between, top + bed + tall + 11, "moisture", 3.6, "middle"),
        *[Text(x + wide / 2, top + bed + tall / 2, "tile", 3.6, "middle", middle=True) for x in starts],
        *[Text(x + wide / 2, inside, "still soft", 3.0, "middle", middle=True) for x in starts],
        Text(between, (base + top) / 2, "base glass: no air comes through it", 3.4, "middle", middle=True),
        *measure(starts[0] + wide - front, starts[0] + wide, base - 4, "depth z", size=3.2),
        *measure(starts[1], starts[1] + wide, base - 12, "side a: the middle is a/2 away", size=3.2),
    ]
    words = (
        "Two tiles on a sheet of glass in section. Moisture comes down the joint and into the bed from both sides; the bed "
        "is cured along the joint, its middle is still soft."
    )
    return Drawing(2 * left + 2 * wide + joint, 80, "Where the moisture comes in", words, tuple(items), PAPER)


def held_idea() -> Drawing:
    """Draw the filler of a joint three times: left free, held by rough sides, held by glass."""
    wide, tall, foot, side = 26.0, 30.0, 24.0, 14.0
    shrunk = 5.0  # far more than in truth, as the drawing says
    panels = ((6.0, None, "left free: it shortens"), (74.0, CLAY, "rough sides hold"), (142.0, GLASS, "glass does not"))
    items: list = []
    for x, tone, words in panels:
        left, right = x + side, x + side + wide
        gap = shrunk if tone is None else 2.0 if tone == GLASS else 0.0
        ends = (left + gap / 2, right - gap / 2) if tone is None else (left, right - gap)
        if tone:
            sides = shapely.box([x, right], foot, [left, right + side], foot + tall)
            items.append(Polygons(sides, tone, INK, 0.2))
        else:
            items.append(Polygons([shapely.box(left, foot, right, foot + tall)], None, SOFT, 0.2, dash=(1, 1)))
        items.append(Polygons([shapely.box(ends[0], foot, ends[1], foot + tall)], FILLER, INK, 0.2))
        if tone == CLAY:
            cracks = [[left + step, foot, left + step + 0.8, foot + tall] for step in (4.5, 9.0, 13.5, 18.0, 22.5)]
            items.append(Lines(segments(cracks), ACCENT, 0.35))
        if tone == GLASS:
            items.append(Lines(segments([right - gap / 2, foot, right - gap / 2, foot + tall]), ACCENT, 0.7))
        items.append(Text(x + side + wide / 2, foot + tall + 5, words, 4.6, "middle"))
    items += [
        Text(101.0, 14, "many fine cracks", 4.2, "middle"),
        Text(169.0, 14, "it lets go at a side", 4.2, "middle"),
        Text(105.0, 4, "drawn far larger than in truth", 4.2, "middle", colour=SOFT),
    ]
    words = (
        "Filler three times. Left free it becomes shorter. Between rough sides it keeps its length and has many fine cracks. "
        "Between glass it has let go along one side."
    )
    return Drawing(210, 66, "Filler shrinks, and it is held", words, tuple(items), PAPER)


def printed_idea() -> Drawing:
    """Draw a printed value with what rounds to it, and two of ours: one within, one outside."""
    items: list = [
        Lines(segments([[12, 34, 188, 34]]), INK, 0.4),
        Polygons([shapely.box(75, 31, 125, 37)], BAND, SOFT),
        Lines(segments([[x, 32, x, 36] for x in (50, 100, 150)]), INK, 0.5),
        *(Text(x, 24, said, 3.6, "middle") for x, said in ((50, "13.0"), (100, "13.1 printed"), (150, "13.2"))),
        *measure(75, 125, 12, "all this is printed as 13.1", 18.0, 3.6),
        Polygons([shapely.Point(91, 34).buffer(1.8)], ACCENT),
        Text(91, 44, "ours, 13.08: agrees", 3.6, "middle"),
        Polygons([shapely.box(137, 32.4, 140.2, 35.6)], ACCENT),
        Text(139, 50, "ours, 13.18: does not", 3.6, "middle"),
        Lines(segments([[91, 36, 91, 42], [138.6, 36, 138.6, 48]]), SOFT, 0.25),
    ]
    words = "A line of lengths: what lies within half a step of the printed 13.1 is printed as 13.1; one of ours lies in it, one outside."
    return Drawing(200, 60, "What a printed value tells", words, tuple(items), PAPER)


def pooled_idea() -> Drawing:
    """Draw the spares of twelve kits side by side, and the one heap that a class of twelve shares."""
    need, chance, learners, size = 20, 0.1, 12, 5.0
    alone, shared = spares(need, chance), spares(need * learners, chance)
    step, foot, high = size + 1.2, 22.0, alone
    x, y = (place.ravel() for place in np.meshgrid(np.arange(learners) * (step + 3), np.arange(alone) * step))
    right = 12 + learners * (step + 3) + 16
    column, row = np.divmod(np.arange(shared), high)
    heaps = (
        (
            12 + x,
            foot + y,
            "sky blue",
            12.0,
            f"{learners} kits, each with {alone} spares of its own: {learners * alone}",
        ),
        (right + column * step, foot + row * step, "amber", right, f"one heap for all: {shared}"),
    )
    items: list = []
    for left, low, tone, at, words in heaps:
        items.append(Polygons(shapely.box(left, low, left + size, low + size), look(tone).fill, INK))
        items.append(Text(at, foot - 8, words, 3.6))
    items.append(
        Text(12, foot - 15, f"{need} tiles a learner, 1 in 10 spoilt, enough 95 times in a hundred", 3.2, colour=SOFT)
    )
    words = f"Twelve kits with {alone} spares each, {learners * alone} in all, beside one heap of {shared} that is as sure for the class."
    width = right + (math.ceil(shared / high)) * step + 34
    return Drawing(width, foot + high * step + 6, "Spares alone and shared", words, tuple(items), PAPER)
