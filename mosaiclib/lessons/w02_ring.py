"""Lesson 02, part one: one ring, before and after cutting."""

__all__ = [
    "CONTROLS",
    "Result",
    "Settings",
    "compute",
    "draw",
    "gauge_drawing",
    "report",
    "ring_layout",
    "side_by_side",
    "summary",
]

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pandas as pd
import shapely

from mosaiclib.cautions import on_paper
from mosaiclib.drawing import Drawing, Lines, Polygons, Text, layout_picture, look, pages, segments, write_pdf
from mosaiclib.drawing.palette import ACCENT, INK, SCREEN, SCREEN_TEXT, SOFT, WARNING
from mosaiclib.files import file_set, list_bytes, typed_name
from mosaiclib.job import quantities
from mosaiclib.layout import FRACTIONS, NIP, Layout, Rows, Tile, piece_table
from mosaiclib.layout.rowspec import narrow_end
from mosaiclib.layout.wedges import (
    Wedge,
    chord_sag,
    gauge_steps,
    natural_radius,
    tightest_radius,
    uncut_gap,
    uncut_radius,
    wedge,
)
from mosaiclib.lesson.controls import Action, Choice, Length, Range, Switch
from mosaiclib.lessons.practice import BED
from mosaiclib.report import Row
from mosaiclib.units import mm, text
from mosaiclib.words import Text as Words

TITLE = "One ring"
GAUGE, MATERIAL, SMALL = "The gauge", "The material", "Too small to see"


@dataclass(frozen=True)
class Settings:
    """What the learner can set [mm]."""

    radius: float = 40.0
    tile: float = 20.0
    fraction: str = "quarter"
    joint: float = 2.0
    step: float = 0.5
    limits: tuple[float, float] = (1.7, 2.3)
    magnified: bool = False
    thickness: float = 4.0
    bed: float = BED


CONTROLS = (
    Length("radius", "Inside radius", 5, 300, 1, help="from the middle to the inside edge of the row"),
    Length("tile", "Tile", 8, 40, 0.5),
    Choice("fraction", "Tiles cut to", FRACTIONS),
    Length("joint", "Joint", 0.5, 4, 0.1),
    Length("step", "Gauge step", 0.1, 2, 0.1, fold=GAUGE, help="tapers are rounded to it, the next makes up for it"),
    Range("limits", "Joint limits", 0.5, 6, 0.1, fold=GAUGE, help="they tell when pieces may stay whole"),
    Switch("magnified", "Show one joint magnified", fold=SMALL, help="a V of half a millimetre is hard to see"),
    Length("thickness", "Tile thickness", 2, 12, 0.5, fold=MATERIAL),
    Length("bed", "Adhesive bed", 0.2, 3, 0.1, fold=MATERIAL),
)


COLOURS = np.array(["sea green", "sky blue", "leaf green"], dtype=object)


def ring_layout(
    count: int, radius: float, piece: Rows, joint: float, limits: Sequence[float], cut: Wedge | None
) -> Layout:
    """Return a ring of equal pieces round 0, 0, their inside edges at `radius` [mm]: wedges where they are given, else as bought."""
    narrow, wide = (cut.narrow, cut.wide) if cut else (piece.width, piece.width)
    outer = radius + piece.height
    corners = np.array([[-narrow / 2, radius], [narrow / 2, radius], [wide / 2, outer], [-wide / 2, outer]])
    turn = 2 * np.pi * np.arange(count) / count
    c, s = np.cos(turn), np.sin(turn)
    points = np.stack(
        [
            np.outer(c, corners[:, 0]) - np.outer(s, corners[:, 1]),
            np.outer(s, corners[:, 0]) + np.outer(c, corners[:, 1]),
        ],
        axis=-1,
    )
    shapes = shapely.polygons(points)
    colour = COLOURS[np.arange(count) % 2]
    colour[-1] = COLOURS[2] if count % 2 else colour[-1]  # a ring of an odd number needs a third colour
    table = piece_table(
        count,
        band="ring",
        row=2 if cut else 1,
        place=np.arange(1, count + 1),
        kind="wedge" if cut else "whole",
        fraction=piece.fraction,
        tile=piece.tile.side,
        colour=colour,
        width=wide,
        height=piece.height,
        narrow=narrow if cut else 0.0,
        cut_angle=cut.cut_angle if cut else 0.0,
        area=shapely.area(shapes),
        why=text("wedge: ", mm(round(wide, 1), round(narrow, 1)))
        if cut
        else "whole: left as bought, its joint opens in a V",
    )
    reach = outer + 4
    outline = shapely.Point(0, 0).buffer(reach, quad_segs=32) - shapely.Point(0, 0).buffer(
        max(radius - 4, 0.1), quad_segs=32
    )
    return Layout(outline, shapes, table, joint, *limits, piece.tile)


def side_by_side(left: Layout, right: Layout) -> Layout:
    """Return two layouts in one, the second to the right of the first, with the limits of the first."""
    x0, _, x1, _ = left.outline.bounds
    step = x1 - x0 + 8
    moved = shapely.transform(right.shapes, lambda xy: xy + np.array([step, 0.0]))
    outline = shapely.union(left.outline, shapely.transform(right.outline, lambda xy: xy + np.array([step, 0.0])))
    return Layout(
        outline,
        np.concatenate([left.shapes, moved]),
        pd.concat([left.pieces, right.pieces], ignore_index=True),
        left.joint,
        left.joint_min,
        left.joint_max,
        left.tile,
    )


GIVES = {"whole": 1, "half": 2, "third": 3, "quarter": 4}


def widened(limits: tuple[float, float], joint: float) -> tuple[float, float]:
    """Return joint limits that reach the joint [mm]."""
    return min(limits[0], joint), max(limits[1], joint)


def limit_rows(limits: tuple[float, float], joint: float) -> list[Row]:
    """Tell that the limits had to be widened to the joint, if they had to be [mm]."""
    if limits[0] <= joint <= limits[1]:
        return []
    words = text("your joint of ", mm(joint), " is outside your limits of ", mm(*limits), ", which are widened to it")
    return [Row("Joint limits", mm(*widened(limits, joint)), "", words)]


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings."""

    settings: Settings
    piece: Rows
    wedge: Wedge
    uncut: int
    gaps: tuple[float, float]  # of the whole pieces, inside and outside [mm]
    layout: Layout
    cut: Layout
    flat: float
    tight: float
    narrow_min: float

    @property
    def closes(self) -> bool:
        """Whether whole pieces close the ring within the limits."""
        return self.gaps[1] <= self.cut.joint_max + NIP


def compute(s: Settings) -> Result:
    """Work out one ring, with squares left as bought and with wedges.

    >>> found = compute(Settings())
    >>> found.wedge.count, round(found.wedge.taper, 2)
    (27, 2.34)
    """
    piece = Rows(Tile(s.tile, s.thickness), s.fraction)
    sizes = {"width": piece.width, "height": piece.height}
    cut = wedge(s.radius, joint=s.joint, **sizes)
    narrow_min = narrow_end(piece.width)
    limits = widened(s.limits, s.joint)
    # as many squares as leave at least the least joint inside: if these open too far outside, any fewer do
    half = np.arctan2(piece.width, 2 * s.radius) + np.arcsin(limits[0] / np.hypot(piece.width, 2 * s.radius))
    uncut = max(3, int(np.pi / half))
    gaps = [uncut_gap(r, width=piece.width, count=uncut) for r in (s.radius, s.radius + piece.height)]
    wedges = ring_layout(cut.count, s.radius, piece, s.joint, limits, cut)
    squares = ring_layout(uncut, s.radius, piece, s.joint, limits, None)
    return Result(
        settings=s,
        piece=piece,
        wedge=cut,
        uncut=uncut,
        gaps=(gaps[0], gaps[1]),
        layout=side_by_side(squares, wedges),
        cut=wedges,
        flat=uncut_radius(joint_min=limits[0], joint_max=limits[1], **sizes),
        tight=tightest_radius(joint=s.joint, narrow_min=narrow_min, **sizes),
        narrow_min=narrow_min,
    )


def draw(result: Result) -> Drawing:
    """Draw the ring as bought on the left and cut on the right, joints that are off marked, one joint magnified where asked."""
    x0, y0, x1, y1 = result.layout.outline.bounds
    room = 0.7 * (y1 - y0) if result.settings.magnified else 0.0
    drawn = layout_picture(
        result.layout,
        joints=_off(result, (x0 + (y1 - y0) / 2, (y0 + y1) / 2)),
        over=_magnified(result, (x1, y0, x1 + room, y1)) if room else (),
        marks=False,
        dimensions=False,
        title="A ring as bought, left, and cut, right",
    )
    return replace(drawn, width=drawn.width + room)


def _off(result: Result, centre: tuple[float, float]) -> tuple[np.ndarray, list[str]]:
    """Return where joints left as bought are off, as lines with their class; they open evenly from inside to outside [mm]."""
    (inside, outside), r, height = result.gaps, result.settings.radius, result.piece.height
    limits = result.cut.joint_min - NIP, result.cut.joint_max + NIP
    least, greatest = ((limit - inside) / (outside - inside) for limit in limits)
    # of the joint's length at least a third is marked, so that a joint just off is seen
    spans = [("narrow", 0.0, np.clip(least, 1 / 3, 1))] if least > 0 else []
    spans += [("wide", np.clip(greatest, 0, 2 / 3), 1.0)] if greatest < 1 else []
    turn = np.pi / 2 + 2 * np.pi * (np.arange(result.uncut) + 0.5) / result.uncut
    way = np.column_stack([np.cos(turn), np.sin(turn)])
    lines = [np.hstack([centre + (r + height * share) * way for share in span]) for _, *span in spans]
    return np.concatenate([np.empty((0, 4)), *lines]), [name for name, *_ in spans for _ in turn]


def _magnified(result: Result, box: tuple[float, float, float, float]) -> list:
    """Draw one joint as cut above one as bought, outside edge up, so many times as wide as there is room for [mm]."""
    x0, y0, x1, y1 = box
    middle, third, joint = (x0 + x1) / 2, (y1 - y0) / 3, result.settings.joint
    size = SCREEN_TEXT * x1 / SCREEN[0]
    widest = max(*result.gaps, joint)
    times = max((n for n in (1, 2, 5, 10, 20, 50, 100) if n * widest <= 0.6 * (x1 - x0)), default=1)
    head = f"one joint, {times} times as wide" if times > 1 else "one joint"
    items: list = [Text(middle, y1 - size, head, size, "middle", colour=ACCENT)]
    for low, said, (inside, outside) in ((y0 + 1.5 * third, "cut", (joint, joint)), (y0, "as bought", result.gaps)):
        foot, top = low + 1.4 * size, low + third - 1.4 * size
        ends = [(times * max(inside, 0.0) / 2, foot), (times * max(outside, 0.0) / 2, top)]
        corners = [(middle + side * half, y) for side, way in ((-1, 1), (1, -1)) for half, y in ends[::way]]
        words = text(f"{said}: outside ", mm(round(outside, 2))), text("inside ", mm(round(inside, 2)))
        items += [Polygons(shapely.Polygon(corners), WARNING, ACCENT, 0.1 * size, name="magnified")]
        items += [Text(middle, y, each, size, "middle") for y, each in zip((top + 0.4 * size, low), words, strict=True)]
    return items


def report(result: Result) -> list[Row]:
    """Tell the results, rounded once."""
    found, s = result.wedge, result.settings
    inside, outside = result.gaps
    nipped = 1 - (found.narrow + found.wide) / (2 * result.piece.width)
    rows = [
        Row("Pieces in the ring", found.count, "wedges", f"or {result.uncut} left as bought", checked="wedges"),
        Row("Wide end", round(found.wide, 2), "mm", text("of a piece ", mm(result.piece.width), " wide")),
        Row("Narrow end", round(found.narrow, 2), "mm", _narrow_words(result)),
        Row(
            "Taper",
            round(found.taper, 2),
            "mm",
            f"{found.cut_angle:.1f} degrees on each side, {nipped:.0%} of that piece nipped off",
        ),
        Row(
            "Joint if left as bought",
            round(inside, 2),
            "mm",
            text("inside, and ", mm(outside), " outside" if result.closes else " outside: a V"),
        ),
        Row("Whole pieces will do from", round(result.flat), "mm", _whole_words(result), checked="wedges"),
        Row(
            "Wedges will do from",
            round(result.tight, 1),
            "mm",
            text(
                "inside radius, or slightly more, because the number of pieces must be whole; narrow end ",
                mm(round(result.narrow_min, 1)),
            ),
        ),
        Row(
            "Edge off the circle",
            round(chord_sag(found.wide, found.outside_radius), 2),
            "mm",
            "in the middle of the wide end, which is cut straight",
        ),
    ]
    takes = Row("It takes", "", "", str(quantities(result.cut, s.bed)))
    return [*limit_rows(s.limits, s.joint), *rows, *_gauge_rows(result), takes]


def _whole_words(result: Result) -> str:
    if result.closes:
        return "inside radius; this ring is wide enough"
    if result.settings.radius >= result.flat - 1e-6:
        return "inside radius: they will do along a line, but no number of them closes this ring within limits"
    return "inside radius; this ring is tighter, so cut"


def _narrow_words(result: Result) -> str | Words:
    if result.wedge.narrow >= result.narrow_min:
        return "wide enough to cut"
    return text("under ", mm(round(result.narrow_min, 1)), ": it will break; take a smaller piece")


def _gauge_rows(result: Result) -> list[Row]:
    """Tell what the rounded gauge gives."""
    found, step = result.wedge, result.settings.step
    tapers = gauge_steps([found.taper] * found.count, step)
    kinds, counts = np.unique(tapers.round(6), return_counts=True)
    parts = [part for taper, n in zip(kinds, counts, strict=True) for part in (" and ", f"{n} of ", mm(float(taper)))]
    largest = float(kinds.max())
    own = (
        natural_radius(found.wide, found.wide - largest, height=found.height, joint=result.settings.joint)
        if largest
        else 0
    )
    words = (
        text("wedges all of the larger taper would close a ring of ", mm(round(own - found.height)), " inside radius")
        if largest
        else "no taper in this step"
    )
    return [Row("Tapers by the gauge", text(*parts[1:]), "", words)]


def summary(result: Result) -> Words:
    """Return how many wedges the ring takes and their taper, whether they break, and where pieces may stay whole."""
    found = result.wedge
    cut = text(f"{found.count} wedges, each ", mm(round(found.taper, 2)), " narrower inside")
    if found.narrow < result.narrow_min:
        return text(cut, ": their narrow end of ", mm(round(found.narrow, 2)), " will break.")
    if result.closes:
        return text(f"{result.uncut} whole pieces will do here; cut, the ring takes ", cut, ".")
    return text(cut, ". Along a line, pieces may stay whole from an inside radius of ", mm(round(result.flat)), " on.")


def gauge_drawing(result: Result) -> Drawing:
    """Draw the paper gauge for the cutter: the wedge in its piece, and a strip of steps, at true scale."""
    found, piece = result.wedge, result.piece
    wide, tall = piece.width, piece.height
    square = shapely.box(10, 20, 10 + wide, 20 + tall)
    middle = 10 + wide / 2
    ends = [(-found.narrow / 2, 20), (found.narrow / 2, 20), (found.wide / 2, 20 + tall), (-found.wide / 2, 20 + tall)]
    shape = shapely.Polygon([(middle + x, y) for x, y in ends])
    lines = [[40 + wide + 12 * k, 20, 40 + wide + 12 * k + t / 2, 20 + tall] for k, t in enumerate(_steps(result))]
    words = [Text(line[0], 15, f"{2 * (line[2] - line[0]):.1f}", 2.8, "middle") for line in lines]
    upright = [[line[0], 20, line[0], 20 + tall] for line in lines]
    items = (
        Polygons([square], None, SOFT, 0.15, dash=(1, 1)),
        Polygons([shape], look("sea green").lightened().fill, INK, 0.2),
        Text(10, 12, text("wedge ", mm(round(found.wide, 1), round(found.narrow, 1)), ", ", mm(tall), " high"), 2.8),
        Lines(segments(upright), SOFT, 0.15, (1, 1)),
        Lines(segments(lines), INK, 0.25),
        *words,
        Text(40 + wide, 24 + tall, "taper of both sides together, in mm", 2.8),
    )
    about = "The wedge inside the piece that it is cut from, and slanting lines for tapers in steps of the gauge."
    return Drawing(max(130 + wide, 60), tall + 40, "Gauge for the cutter", about, items)


def _steps(result: Result) -> list[float]:
    """Return the tapers on the gauge: steps up to the one that is needed and one more."""
    step = result.settings.step
    most = int(np.ceil(result.wedge.taper / step)) + 1
    return [step * k for k in range(max(1, most - 5), most + 1)]


def _print(s: Settings, name: str, folder: Path) -> str:
    """Write the paper gauge."""
    result, stem = compute(s), typed_name(name)
    said = {"notes": (_note(result),), "cautions": (on_paper("gauge"),)}
    sheets = pages(gauge_drawing(result), heading="Gauge for the cutter", up="wide end", **said)
    steps = gauge_steps([result.wedge.taper] * result.wedge.count, s.step)
    table = pd.DataFrame({"piece": range(len(steps)), "taper_mm": steps})
    with file_set(folder, alone=False) as made:
        write_pdf(sheets, made / f"{stem}-gauge.pdf")
        (made / f"{stem}-tapers.csv").write_bytes(list_bytes(table))
    return f"{folder.name}/{stem}-gauge.pdf and {folder.name}/{stem}-tapers.csv are written."


def _note(result: Result) -> str:
    return f"{result.wedge.count} wedges for an inside radius of {result.settings.radius:g} mm."


def actions(folder: Path) -> tuple[Action, ...]:
    """Return the button that writes the paper gauge."""
    return (Action("print", "Write the paper gauge", lambda s, name: _print(s, name, folder), "Name", "my ring"),)
