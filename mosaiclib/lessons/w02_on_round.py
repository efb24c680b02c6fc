"""Lesson 02, part five: flat tiles on round glass, in section: where they gape, how their joints open, which piece to take."""

__all__ = ["CONTROLS", "Result", "Settings", "compute", "draw", "report", "summary"]

import math
from dataclasses import dataclass

import numpy as np
import shapely

from mosaiclib.drawing import Drawing, Lines, Polygons, Text, Window, look, segments
from mosaiclib.drawing.palette import ACCENT, CURED, FILLER, GLASS, INK, PAPER, SCREEN, SCREEN_TEXT, SOFT
from mosaiclib.glass.facets import (
    SAME,
    Seat,
    across,
    largest_that_sits,
    least_radius_for_bed,
    least_radius_for_joint,
    seat,
)
from mosaiclib.layout import FRACTIONS
from mosaiclib.layout.layout import PARTS
from mosaiclib.lesson.controls import Choice, Length, Number, Range, Switch
from mosaiclib.lessons.practice import BED
from mosaiclib.lessons.w02_shared import SMALL
from mosaiclib.report import Row
from mosaiclib.units import mm, text
from mosaiclib.words import Text as Words

TITLE = "On round glass"
SIDES = ("outside", "inside")
OTHERWISE, JOINT, BEDS = "Turned, or inside", "The joint", "Tile and bed"
PLURAL = {"whole": "whole tiles", "half": "halves", "third": "thirds", "quarter": "quarters"}
WALL = 4.0  # [mm] of glass in the picture
TIMES = (2, 3, 5, 8, 12, 20)  # how many times an edge may be magnified


@dataclass(frozen=True)
class Settings:
    """What the learner can set [mm, degrees]."""

    girth: float = 220.0
    tile: float = 20.0
    fraction: str = "whole"
    bed: float = BED
    turn: float = 0.0
    side: str = "outside"
    thickness: float = 4.0
    thickest: float = 2.0
    joint: float = 2.0
    limits: tuple[float, float] = (1.0, 4.0)
    magnified: bool = False


HOLLOW = "does not go into a curve"
CONTROLS = (
    Length("girth", "Girth of the glass", 60, 1500, 5, help="a tape once round", refuses=(HOLLOW,)),
    Length("tile", "Tile", 8, 40, 0.5, refuses=(HOLLOW,)),
    Choice("fraction", "Tiles cut to", FRACTIONS, help="the short side goes round the glass"),
    Length("bed", "Thinnest bed", 0.2, 3, 0.1, refuses=("must be over the thinnest",)),
    Number("turn", "Turned by", 0, 90, 1, unit="degrees", fold=OTHERWISE),
    Choice("side", "Side of the glass", SIDES, fold=OTHERWISE, refuses=(HOLLOW,)),
    Length("joint", "Joint at the back", 0.5, 4, 0.1, fold=JOINT),
    Range("limits", "Joint at the face", 0, 8, 0.1, fold=JOINT, help="least and greatest that you accept"),
    Length("thickness", "Tile thickness", 2, 12, 0.5, fold=BEDS),
    Length("thickest", "Thickest bed", 0.5, 6, 0.1, fold=BEDS, refuses=("must be over the thinnest",)),
    Switch("magnified", "Show one edge magnified", fold=SMALL),
)


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings: radius, width round the glass and height of the piece [mm], how it sits, and which piece to take."""

    settings: Settings
    radius: float
    size: tuple[float, float]
    seat: Seat
    best: str
    seats: dict[str, Seat]

    @property
    def inside(self) -> bool:
        """Whether the tiles are inside the curve."""
        return self.settings.side == "inside"

    @property
    def gap(self) -> float:
        """How much thicker than its thinnest the bed is [mm]."""
        return float(self.seat.deepest) - self.settings.bed

    @property
    def straight(self) -> bool:
        """Whether a side of the tile goes straight round the glass."""
        return self.settings.turn in (0.0, 90.0)


def compute(s: Settings) -> Result:
    """Work out how a piece sits on the glass, and which of its tile's pieces is the largest that does within the limits.

    >>> found = compute(Settings())
    >>> found.best, round(found.gap, 1)
    ('half', 1.4)
    """
    radius = s.girth / (2 * math.pi)
    least_radius_for_bed(s.tile, s.bed, s.thickest)  # beds the wrong way round are told of first
    sizes = {name: (s.tile * up, s.tile * round_) for name, (round_, up) in PARTS.items()}
    how = {"turn": s.turn, "inside": s.side == "inside"}
    same = (s.thickness, s.joint, radius, s.bed)
    best = largest_that_sits(sizes, *same, thickest=s.thickest, joints=s.limits, **how)
    room = 2 * (radius - s.bed) if how["inside"] else math.inf
    seats = {name: seat(*size, *same, **how) for name, size in sizes.items() if across(*size, s.turn) < room}
    mine = seats.get(s.fraction) or seat(*sizes[s.fraction], *same, **how)
    return Result(s, radius, sizes[s.fraction], mine, best, seats)


def _bed_holds(found: Seat, s: Settings) -> bool:
    return bool(found.deepest <= s.thickest + SAME)


def _joint_holds(found: Seat, s: Settings) -> bool:
    return bool(s.limits[0] - SAME <= found.face_joint <= s.limits[1] + SAME)


# --- the picture ------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Section:
    """The section to scale, the axis at 0, 0: `way` is 1 outside, where glass is below the tiles, and -1 inside [mm, radians]."""

    R: float
    D: float
    w: float
    t: float
    step: float
    way: int

    def at(self, angle, far):
        """Return points at angles from upright and distances from the axis."""
        return np.stack([far * np.sin(angle), far * np.cos(angle)], axis=-1) * (1, self.way)

    @property
    def wall(self) -> float:
        """Thickness of the glass in the picture."""
        return min(WALL, self.R / 3)

    @property
    def face(self) -> float:
        """Distance of a tile's face from the axis."""
        return self.D + self.way * self.t

    @property
    def outer(self) -> float:
        """Greatest distance from the axis of what is drawn upright over it."""
        return self.face if self.way > 0 else self.R + self.wall

    def tile(self, place: int) -> np.ndarray:
        """Return the corners of a tile, (4, 2): back left and right, face right and left."""
        u, v = np.array([-1, 1, 1, -1]) * self.w / 2, self.D + np.array([0, 0, 1, 1]) * self.way * self.t
        return self.at(np.arctan2(u, v) + place * self.step, np.hypot(u, v))

    def arc(self, start: float, end: float, far: float) -> np.ndarray:
        """Return an arc about the axis as points."""
        return self.at(np.linspace(start, end, max(8, int(abs(end - start) * 60))), far)

    @property
    def half(self) -> float:
        """Angle from the middle of a back to its edge."""
        return math.atan2(self.w / 2, self.D)

    def bed(self, place: int):
        """Return the bed below a tile."""
        turn = place * self.step
        return shapely.Polygon([*self.arc(turn - self.half, turn + self.half, self.R), *self.tile(place)[1::-1]])

    def joint(self, place: int):
        """Return the filler between a tile and the next."""
        one, two, turn = self.tile(place), self.tile(place + 1), place * self.step
        arc = self.arc(turn + self.half, turn + self.step - self.half, self.R)
        return shapely.Polygon([*arc, two[0], two[3], one[2], one[1]])


def _section(result: Result) -> _Section:
    s, inside = result.settings, result.inside
    wide = float(across(*result.size, s.turn))
    D = math.sqrt((result.radius - s.bed) ** 2 - (wide / 2) ** 2) if inside else result.radius + s.bed
    return _Section(result.radius, D, wide, s.thickness, math.radians(float(result.seat.angle)), -1 if inside else 1)


def draw(result: Result) -> Drawing:
    """Draw the glass in section with its tiles, the bed in its wedge and the joints that open; an edge magnified where asked."""
    s, cut = result.settings, _section(result)
    half = min(1.75 * (cut.w + s.joint), cut.outer + 2.0)
    room = 1.7 * half if s.magnified else 0.0
    size = SCREEN_TEXT / SCREEN[0] * (2 * half + room)
    low, top = _ends(cut, half, size)
    low = min(low, top - 0.9 * room)
    seen = Window(tuple(_items(result, cut, half, size)), (-half, low, half, top))
    items = [seen, *_labels(result, cut, size, (-half, low, half, top))]
    if s.magnified:
        items += _magnified(result, cut, half, (half + size, low + size, half + room - size, top - 3 * size), size)
    placed = tuple(item.placed(False, half, -low) for item in items)
    words = text(
        "Glass in section, ", mm(round(result.radius, 1)), " in radius, with flat tiles on it. ", summary(result)
    )
    return Drawing(2 * half + room, top - low, "Flat tiles on round glass, in section", words, placed, PAPER)


def _ends(cut: _Section, half: float, size: float) -> tuple[float, float]:
    """Return from where to where upright the section is seen, with room for what is written below and above it [mm]."""
    least = min(cut.R, cut.D, cut.R - cut.wall if cut.way > 0 else cut.face)
    aside = math.sqrt(max(least**2 - half**2, 0.0))  # where the curve leaves the picture at its sides
    under, over = 3.2 * size, 2.6 * size
    if cut.way > 0:
        return min(max(aside, -2.0), cut.R - cut.wall - 2 * size) - under, cut.outer + over
    return -cut.outer - under, max(-aside, -cut.face + 2 * size) + over


def _items(result: Result, cut: _Section, reach: float, size: float) -> list:
    """Draw glass, beds, joints and tiles as far as they are seen."""
    turn = math.pi if reach > cut.R else math.asin(min(1.0, (reach + cut.w) / (cut.R + cut.t)))
    most = min(int(turn / cut.step) + 1, int(math.pi / cut.step)) if result.straight and cut.step > 0 else 0
    places = range(-most, most + 1)
    back = cut.R - cut.way * cut.wall
    end = math.pi if turn > 1.2 else turn + cut.step
    wall = shapely.Polygon([*cut.arc(-end, end, cut.R), *cut.arc(end, -end, max(back, 0.01))])
    tiles = shapely.polygons(np.array([cut.tile(place) for place in places]))
    beds = [cut.bed(place) for place in places]
    deep = [_too_deep(result, cut, place) for place in places] if not _bed_holds(result.seat, result.settings) else []
    joints = [cut.joint(place) for place in places[:-1]]
    items = [
        Polygons([wall], GLASS, SOFT, 0.07 * size),
        Polygons(beds, CURED, None, name="bed"),
        Polygons(np.array([one for one in deep if not one.is_empty], object), ACCENT, None, name="too deep"),
        Polygons(np.array(joints, object), FILLER, None, name="joint"),
        Polygons(tiles, look("sky blue").fill, INK, 0.1 * size, name="tile"),
    ]
    return [item for item in items if len(item.shapes)]


def _too_deep(result: Result, cut: _Section, place: int):
    """Return the part of a bed that is over its thickest."""
    far = cut.R + cut.way * result.settings.thickest
    turn = place * cut.step
    disc = shapely.Polygon([*cut.arc(turn - cut.half, turn + cut.half, far), (0.0, 0.0)])
    return cut.bed(place).difference(disc) if cut.way > 0 else cut.bed(place).intersection(disc)


def _labels(result: Result, cut: _Section, size: float, box: tuple[float, float, float, float]) -> list:
    """Write the beds below the glass, with lines to where they are, and the joint over its face, within the box [mm]."""
    s, (left, low, right, top) = result.settings, box
    beds = [mm(round(s.bed, 2)), mm(round(float(result.seat.deepest), 2))]
    tones = [INK, INK if _bed_holds(result.seat, s) else ACCENT]
    middle, edge = (0, 1) if cut.way > 0 else (1, 0)
    corner, foot, wide = cut.tile(0)[0], low + 2.2 * size, 12.5 * size
    items = [
        Text(
            max(corner[0] - wide, left + 0.4 * size),
            low + size,
            text("bed at the edge ", beds[edge]),
            size,
            colour=tones[edge],
        ),
        Text(0.0, low + size, text("in the middle ", beds[middle]), size, colour=tones[middle]),
        Lines(segments([[*corner, corner[0], foot], [0.0, cut.way * cut.D, 0.0, foot]]), SOFT, 0.07 * size),
    ]
    if result.straight:
        joint, tone = mm(round(float(result.seat.face_joint), 2)), INK if _joint_holds(result.seat, s) else ACCENT
        x, y = cut.at(cut.step / 2, np.hypot(cut.w / 2, cut.face))
        said = text("joint at the face ", joint) if result.seat.face_joint >= 0 else "the faces meet"
        items.append(Text(min(x, right - 0.55 * wide), top - 1.3 * size, said, size, "middle", colour=tone))
        items += [Lines(segments([[x, y, x, top - 1.6 * size]]), SOFT, 0.07 * size)] if x < right else []
    return items


def _magnified(result: Result, cut: _Section, half: float, box: tuple[float, float, float, float], size: float) -> list:
    """Draw the place where the bed is thickest again, as many times as large as there is room for [mm]."""
    left, low, right, top = box
    corner, deepest = (
        (cut.tile(0)[1], float(result.seat.deepest))
        if cut.way > 0
        else (cut.at(0.0, cut.D), result.gap + result.settings.bed)
    )
    times = max((n for n in TIMES if 2.5 * n * max(deepest, result.settings.joint) <= top - low), default=TIMES[0])
    middle = np.array([(left + right) / 2, (low + top) / 2])
    down = corner / np.hypot(*corner) * -cut.way * deepest if cut.way > 0 else np.array([0.0, -deepest])

    def moved(item):
        shapes = shapely.transform(item.shapes, lambda xy: (xy - corner) * times + middle)
        return Polygons(shapes, item.fill, item.edge, item.line, name=item.name)

    seen = Window(tuple(moved(item) for item in _items(result, cut, half, size)), box)
    end = middle + down * times
    where = "the edge" if cut.way > 0 else "the middle"
    return [
        seen,
        Lines([shapely.box(*box).exterior], SOFT, 0.07 * size),
        Lines(segments([[*middle, *end]]), ACCENT, 0.15 * size),
        Text(
            end[0],
            max(end[1] - 1.3 * size, low + 0.4 * size),
            text("bed ", mm(round(deepest, 2))),
            size,
            "middle",
            colour=ACCENT,
        ),
        Text(middle[0], top + 0.7 * size, f"{where}, {times} times as large", size, "middle", colour=ACCENT),
    ]


# --- what is told -----------------------------------------------------------------------------------------


def report(result: Result) -> list[Row]:
    """Tell the results, rounded once."""
    s, found = result.settings, result.seat
    where, thin = ("under the middle", "edges") if result.inside else ("under the edges", "middle")
    w, h = result.size
    goes = across(w, h, s.turn)
    rows = [
        Row(
            "Radius",
            round(result.radius, 1),
            "mm",
            text("the girth divided by 6.28; the piece is ", mm(round(float(goes), 1)), " across"),
        ),
        Row(
            "Gap",
            round(result.gap, 2),
            "mm",
            text(where, ", where the bed is ", mm(round(float(found.deepest), 2)), f"; under the {thin} ", mm(s.bed)),
            "segments of circles",
        ),
        Row(
            "Mean bed",
            round(float(found.mean), 2),
            "mm",
            text(f"{float(found.extra) * 100:.0f} mL more for 100 pieces than ", mm(s.bed), " everywhere"),
        ),
        Row("Joint at the face", round(max(float(found.face_joint), 0.0), 2), "mm", _joint_words(result)),
        Row(
            "Filler beside a piece",
            round(float(found.joint_volume) * 100, 1),
            "mL",
            f"for 100 joints; on flat glass {s.joint * (s.thickness + s.bed) * h / 10:.1f} mL",
        ),
    ]
    return [*rows, *_round_rows(result), *_piece_rows(result)]


def _joint_words(result: Result) -> Words:
    s, least, most = result.settings, *result.settings.limits
    way = "closes" if result.inside else "opens"
    words = text(f"it {way} by ", mm(round(abs(float(result.seat.face_joint) - s.joint), 2)), " from the back")
    if result.seat.face_joint < 0:
        return text(words, ", so the faces would run into each other")
    verdict = "within" if _joint_holds(result.seat, s) else "outside"
    return text(words, f", {verdict} your ", mm(least, most))


def _round_rows(result: Result) -> list[Row]:
    """Tell the least girths for this piece, and how many go round."""
    s, (w, h) = result.settings, result.size
    wide, girth = float(across(w, h, s.turn)), 2 * math.pi
    by_bed = girth * max(float(least_radius_for_bed(wide, s.bed, s.thickest, inside=result.inside)), 0.0)
    rows = [Row("Least girth for this bed", math.ceil(by_bed), "mm", text("with a bed of at most ", mm(s.thickest)))]
    limit = s.limits[0 if result.inside else 1]
    if result.straight:
        side = w if s.turn == 0 else h
        if (limit < s.joint) == result.inside and limit != s.joint:
            by_joint = girth * float(
                least_radius_for_joint(side, s.thickness, s.joint, limit, s.bed, inside=result.inside)
            )
            rows.append(
                Row(
                    "Least girth for this joint",
                    math.ceil(by_joint),
                    "mm",
                    text("with a joint of ", mm(limit), " at the face"),
                )
            )
        count = int(360 / float(result.seat.angle) + SAME)
        D, half = _section(result).D, math.pi / count
        closes = 2 * D * math.sin(half) - side * math.cos(half)
        rows.append(
            Row("Once round", count, "pieces", text("with joints of ", mm(round(closes, 2)), " at the back they close"))
        )
    return rows


def _piece_rows(result: Result) -> list[Row]:
    """Tell how every piece of the tile would sit."""
    s, rows = result.settings, []
    for name in FRACTIONS:
        found = result.seats.get(name)
        label = PLURAL[name].capitalize()
        if found is None:
            rows.append(Row(label, "", "", "do not go into this curve"))
            continue
        wrong = ["the bed"] * (not _bed_holds(found, s)) + ["the joint"] * (not _joint_holds(found, s))
        verdict = f"{' and '.join(wrong)} outside your limits" if wrong else "will do"
        said = text(
            "bed up to ",
            mm(round(float(found.deepest), 2)),
            ", joint ",
            mm(round(max(float(found.face_joint), 0.0), 2)),
        )
        rows.append(Row(label, said, "", verdict + ", the largest that will" * (name == result.best)))
    return rows


def summary(result: Result) -> Words:
    """Return how big the gap is, whether the bed bears it, and which piece to take."""
    s, found = result.settings, result.seat
    where = "under the middle" if result.inside else "under the edges"
    bears = "within" if _bed_holds(found, s) else "over"
    told = text(
        "Gap ",
        where,
        " ",
        mm(round(result.gap, 2)),
        ": a bed of ",
        mm(round(float(found.deepest), 2)),
        f", {bears} your ",
        mm(s.thickest),
    )
    if _bed_holds(found, s) and not _joint_holds(found, s):
        told = text(told, ", but the joint is ", mm(round(max(float(found.face_joint), 0.0), 2)), " at the face")
    return text(told, ". ", _advice(result))


def _advice(result: Result) -> str:
    if not result.best:
        return "No piece of this tile will do: take smaller tiles."
    if result.best == result.settings.fraction:
        return f"{PLURAL[result.best].capitalize()} will do."
    mine_larger = FRACTIONS.index(result.settings.fraction) < FRACTIONS.index(result.best)
    return f"Take {PLURAL[result.best]}." if mine_larger else f"{PLURAL[result.best].capitalize()} would do too."
