"""A plan worked out: layouts with their drawn bands, colours, quantities, and what could not be laid as asked."""

__all__ = [
    "MOST_BANDED",
    "Strip",
    "Unlaid",
    "Worked",
    "WorkedPiece",
    "guide_on",
    "lay_all",
    "lay_banded",
    "measure_all",
    "unlaid",
    "within_reach",
    "work_out",
    "worked_piece",
]

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
import pandas as pd
import shapely

from mosaiclib import reference
from mosaiclib.adhesive import bed_volume, choose, family
from mosaiclib.adhesive.choose import VERDICTS
from mosaiclib.drawing.layout_picture import middles
from mosaiclib.errors import MosaicError, choice, instance, whole_number
from mosaiclib.filler import Recipe, bead_volume, joint_volume, kind_of, recipe, sand_for
from mosaiclib.glass import Corner, Face, Glass
from mosaiclib.job.colours import arrange_all, colour_notes, mended_all
from mosaiclib.job.curved import Curved, bend_notes, curved, curved_notes
from mosaiclib.job.cutting import Cutting, cut_up
from mosaiclib.job.drawn import BandPart, DrawnPart, MotifPart, drawn_on
from mosaiclib.job.plan import Colour, GlassPart, PinPart, Plan
from mosaiclib.job.quantities import Quantities
from mosaiclib.layout import (
    Gap,
    Guide,
    Layout,
    Rows,
    Span,
    Tile,
    broken,
    join,
    joints_of,
    lay,
    lay_faces,
    lay_field,
    lay_rows,
)
from mosaiclib.layout.joints import length_within
from mosaiclib.layout.layout import LOST, MOST_PIECES, JointLimits, not_too_many
from mosaiclib.layout.rowspec import stack
from mosaiclib.layout.strokes import crossings
from mosaiclib.units import mm, text
from mosaiclib.words import Text

MOST_BANDED = 250_000  # pieces of a plan with a band: laying it and arranging its colours takes half a minute then


@dataclass(frozen=True)
class Unlaid:
    """What could not be laid as it was asked on a face with a band.

    Places left to the filler; stretches where a row is bent too tightly for wedges, with the row's number as the plan
    lists it, 0 for an outline row; and the share of the joints' length within the limits, 0 to 1.
    """

    face: str
    gaps: tuple[Gap, ...]
    stretches: tuple[tuple[int, Span], ...]
    share_within: float


@dataclass(frozen=True)
class Strip:
    """What is filled beside the joints, by name: its width [mm] and its filler, without waste [mL]."""

    name: str
    width: float
    volume: float


@dataclass(frozen=True)
class WorkedPiece:
    """One piece of glass of a plan, worked out: its pieces with their colours, and how tiles go round its corners.

    Filler in joints and bare margins, in channels at corners and in beads along edges, without waste, and adhesive with
    what is lost [mL]; and the strips of filler beside the joints. What a picture does not wait for is found when it is asked.
    """

    part: GlassPart
    glass: Glass
    layout: Layout
    corners: tuple[Corner, ...]
    joints: float
    channels: float
    beads: float
    adhesive: float
    strips: tuple[Strip, ...] = ()
    curved: tuple[Curved, ...] = ()

    @property
    def name(self) -> str:
        """The name of the piece of glass."""
        return self.part.name

    @cached_property
    def unlaid(self) -> tuple[Unlaid, ...]:
        """What could not be laid as asked, one a face with bands."""
        return unlaid(self.layout, self.part, self.glass.faces)

    @cached_property
    def broken(self) -> tuple[str | Text, ...]:
        """Every rule that its layout breaks."""
        return tuple(broken(self.layout))

    @property
    def filler(self) -> float:
        """All filler of the piece, without waste [mL]."""
        return self.joints + self.channels + self.beads


@dataclass(frozen=True)
class Worked:
    """A plan worked out, one piece a piece of glass, and what the maker should know, in sentences."""

    plan: Plan
    pieces: tuple[WorkedPiece, ...]
    notes: tuple[str | Text, ...]

    @property
    def count(self) -> int:
        """Pieces of tile in the whole plan."""
        return sum(len(piece.layout) for piece in self.pieces)

    @property
    def adhesive(self) -> float:
        """Adhesive of the whole plan with what is lost [mL]."""
        return sum(piece.adhesive for piece in self.pieces)

    @cached_property
    def fillers(self) -> tuple[Recipe, ...]:
        """What the filler of the whole plan is mixed from, with what is lost: all from one bag, or joints and strips apart.

        A grout whose strips ask for coarser sand than its joints is two recipes, as sand does not go into narrow joints.
        """
        part, joint = self.plan.filler, max(self.plan.joint.wanted, 0.1)
        more = {"polymer": part.polymer, "solids": part.solids, "waste": part.waste}
        volume, strips = sum(piece.filler for piece in self.pieces), self.wide_strips
        if not strips:
            return (recipe(volume, part.family, joint, **more),)
        wide = sum(strip.volume for strip in strips)
        one = recipe(volume - wide, part.family, joint, **more)
        two = recipe(wide, part.family, max(strip.width for strip in strips), **more)
        return replace(one, where="joints"), replace(two, where="strips")

    @property
    def wide_strips(self) -> list[Strip]:
        """The strips that ask for coarser sand than the joints; none where the filler's sand does not go by the width."""
        part = self.plan.filler
        if kind_of(part.family, part.polymer).powder != "grout":
            return []
        return [strip for piece in self.pieces for strip in _coarser(piece, self.plan.joint.wanted)]

    @cached_property
    def judged(self) -> tuple[str, str]:
        """The verdict on the plan's adhesive, and its reasons."""
        glue = self.plan.adhesive
        more = {"food": glue.touched == "food or drink", "candle": glue.touched == "candle heat"}
        more |= {"position": "turned while wet" if self.upright else "flat", "lamp": glue.lamp}
        table = choose(self.plan.tile.clarity, glue.place, **more).set_index("family")
        return table.loc[glue.family, "verdict"], table.loc[glue.family, "reasons"]

    def pinned(self, glass: str, piece: int, colour: str) -> "Worked":
        """Return the plan with the colour of a piece changed by hand, by the number that the picture shows, and mended round it."""
        part = choice(glass, "piece of glass", [one.name for one in self.pieces])
        layout = next(one.layout for one in self.pieces if one.name == part)
        number = whole_number(piece, "number of the piece", least=1, greatest=len(layout))
        (at,), _ = middles(layout.shapes[number - 1 : number])
        pin = PinPart(glass=part, x=round(float(at[0]), 2), y=round(float(at[1]), 2), colour=colour)
        plan = Plan.made(**self.plan.with_pins([*self.plan.colour.pins, pin]).model_dump(mode="json"))
        return self._coloured(plan, mended_all(plan, self._layouts))

    def released(self, glass: str, piece: int) -> "Worked":
        """Return the plan with a piece whose colour was changed by hand left to chance again."""
        layout = next(one.layout for one in self.pieces if one.name == glass)
        shape = layout.shapes[piece - 1]
        kept = [
            pin
            for pin in self.plan.colour.pins
            if pin.glass != glass or not shape.intersects(shapely.Point(pin.x, pin.y))
        ]
        plan = self.plan.with_pins(kept)
        return self._coloured(plan, arrange_all(plan, self._layouts))

    def arranged(self, seed: int) -> "Worked":
        """Return the plan in another arrangement, that of a seed; going back is asking for the seed that it had."""
        plan = self.plan.model_copy(update={"colour": self.plan.colour.model_copy(update={"seed": seed})})
        return self._coloured(plan, arrange_all(plan, self._layouts))

    @property
    def _layouts(self) -> list[Layout]:
        return [piece.layout for piece in self.pieces]

    def _coloured(self, plan: Plan, layouts: Sequence[Layout]) -> "Worked":
        """Return the plan with other colours on the same layouts."""
        pieces = tuple(replace(piece, layout=layout) for piece, layout in zip(self.pieces, layouts, strict=True))
        return Worked(plan, pieces, tuple(_notes(plan, pieces)))

    @property
    def upright(self) -> bool:
        """Whether a piece is turned while its adhesive is wet, as a vessel is."""
        return any(piece.glass.has_inside for piece in self.pieces)

    @property
    def glue_warning(self) -> str:
        """What must be said wherever the adhesive is named, empty where it suits."""
        name = self.plan.adhesive.family
        if self.judged[0] == VERDICTS[-1]:
            return f"ADHESIVE RULED OUT: {name} does not suit this piece; the reasons stand in the overview"
        if self.upright and family(name).word("body") == "runny":
            return f"RUNS ON UPRIGHT FACES: {name}; hold each tile until it is hard, or choose one that does not run"
        return ""

    @property
    def warnings(self) -> tuple[str, ...]:
        """What must be said in the headline and on every card and list."""
        return tuple(words for words in (self.glue_warning, self.fillers[0].warning) if words)

    @cached_property
    def cutting(self) -> Cutting:
        """How all pieces are cut."""
        return cut_up(self.pieces, self.plan.cut, self.plan.spare)

    @cached_property
    def colours(self) -> pd.DataFrame:
        """One line a colour with the columns colour, placed (pieces), tiles (that they take), spare, in_hand, to_buy,
        short (spares that are lacking because no more can be bought), packs, cost.
        """
        taken = self.cutting.taken().to_dict("index")
        lines = [_colour_line(self.plan, one, **taken.get(one.name, {})) for one in self.plan.tile.colours]
        columns = ["colour", "placed", "tiles", "spare", "in_hand", "to_buy", "short", "packs", "cost"]
        return pd.DataFrame(lines, columns=columns)

    @property
    def quantities(self) -> Quantities:
        """The one line of quantities."""
        tiles = self.colours[["tiles", "to_buy"]].sum()
        return Quantities(
            self.count, int(tiles["tiles"]), self.adhesive, self.fillers, int(tiles["to_buy"]), self.warnings
        )


def _colour_line(
    plan: Plan, colour: Colour, pieces: int = 0, tiles: int = 0, spoilt: float = 0.0, spare: int = 0
) -> tuple:
    """Return the line of one colour: its pieces, the tiles they take, spares and what to buy."""
    lacking = max(0, tiles + spare - colour.in_hand)
    buy = lacking if colour.more else 0
    packs = math.ceil(buy / plan.tile.pack)
    cost = round(packs * plan.tile.pack * colour.price, 2)
    return colour.name, pieces, tiles, spare, colour.in_hand, buy, lacking - buy, packs, cost


def work_out(plan: Plan, *, colours: bool = True) -> Worked:
    """Work a plan out: grids, colours if they are wanted, adhesive and filler of every piece of glass.

    Examples
    --------
    >>> from mosaiclib.reference import DATA
    >>> done = work_out(Plan.load(DATA / "example_plan.json"))
    >>> done.count == sum(len(piece.layout) for piece in done.pieces)
    True
    """
    laid = lay_all(instance(plan, Plan, "plan"))
    layouts = [layout for _, layout in laid]
    coloured = arrange_all(plan, layouts) if colours else layouts
    pieces = tuple(
        worked_piece(plan, part, glass, layout)
        for part, (glass, _), layout in zip(plan.glass, laid, coloured, strict=True)
    )
    return Worked(plan, pieces, tuple(_notes(plan, pieces)))


def _named(plan: Plan, act: Callable, each: Iterable) -> Iterator:
    """Do something for every piece of glass; a refusal names the piece."""
    for part, one in zip(plan.glass, each, strict=True):
        try:
            yield act(part, one)
        except MosaicError as wrong:
            raise MosaicError(part.name, ": ", wrong) from None


# --- laying ----------------------------------------------------------------------------------------------


def measure_all(plan: Plan) -> list[Glass]:
    """Measure every piece of glass of a plan, in its order; a refusal names the piece."""
    tile, bed, joint = plan.tile.tile, plan.adhesive.bed, plan.joint.wanted
    return list(_named(plan, lambda part, _: part.glass(tile, bed, joint), plan.glass))


def within_reach(plan: Plan, measured: Sequence[Glass], most: int = MOST_PIECES) -> None:
    """Refuse a plan of far too many pieces, counted as plain grids, before any of them is laid."""
    pitch = plan.tile.side + plan.joint.wanted
    count = sum(math.ceil(f.width / pitch) * math.ceil(f.height / pitch) for glass in measured for f in glass.faces)
    banded = any(part.bands or part.motifs for part in plan.glass)
    what = "This plan with its drawn band" if banded else "This plan"
    not_too_many(count, what, min(most, MOST_BANDED) if banded else most)


def lay_all(plan: Plan) -> list[tuple[Glass, Layout]]:
    """Measure and lay every piece of glass of a plan, in its order, still without colours; a refusal names the piece."""
    tile, joint = plan.tile.tile, plan.joint
    limits, cut = (joint.least, joint.greatest), joint.edge == "cut"
    edges = {"edge_rule": "equal" if cut else joint.edge, "border": "cut" if cut else "clear"}

    def laid(part: GlassPart, glass: Glass) -> tuple[Glass, Layout]:
        faces = {face.name: face for face in glass.faces}
        drawn, asked = drawn_on(part), (tile, joint.wanted, limits, part.meet)
        on = {face: [(name, one) for name, one in drawn if one.face == face] for face in faces}
        ready = {face: lay_banded(faces[face], each, *asked, part.courses) for face, each in on.items() if each}
        return glass, lay_faces(glass, tile, joint.wanted, limits, ready=ready, **edges, **part.courses)

    measured = measure_all(plan)
    within_reach(plan, measured)
    return list(_named(plan, laid, measured))


def lay_banded(
    face: Face,
    drawn: BandPart | Sequence[tuple[str, DrawnPart]],
    tile: Tile,
    joint: float,
    limits: Sequence[float],
    meet: str = "over",
    courses: Mapping[str, str] | None = None,
) -> Layout:
    """Lay what is drawn on a face, as `drawn_on` lists it, and the field behind it, joint and its limits in [mm].

    Rows come first, those of a band numbered from 1 left to right of travel seen from the front, those of a motif inwards,
    outline rows among them, then the field. Where there is more than one band the column `line` tells which.

    Examples
    --------
    >>> from mosaiclib.job.drawn import RowPart
    >>> line = BandPart(face="pane", points=[[0.0, 50.0], [200.0, 50.0]], rows=[RowPart()])
    >>> laid = lay_banded(Face("pane", 0, 0, 200, 100), line, Tile(20, 4), 2, (1.7, 2.3))
    >>> laid.pieces["face"].unique().tolist(), int((laid.pieces["band"] == "rows").sum())
    (['pane'], 17)
    """
    listed = [("", drawn)] if isinstance(drawn, BandPart) else list(drawn)
    allowed = JointLimits.read(joint, limits)
    lines = [_line(name, one, face, tile, allowed) for name, one in listed]
    first = lines[0]
    if face.edge is not None or len(lines) > 1 or "rows" not in first or _crosses_itself(first, joint):
        whole = lay(face, lines, tile, joint, limits=limits, meet=meet, courses=courses)
    else:
        rows = lay_rows(first["guide"], first["rows"], joint, face, limits=limits, corner=first["corner"])
        whole = join(rows, lay_field(face, rows, tile, joint, limits=limits))
    return replace(whole, pieces=whole.pieces.assign(face=face.name))


def _line(name: str, one: DrawnPart, face: Face, tile: Tile, limits: JointLimits) -> dict[str, Any]:
    """Return a band or a motif as `lay` takes it."""
    guide = guide_on(face, one, tile, limits)
    if isinstance(one, MotifPart):
        return {"name": name, "outline": guide, "fraction": one.fraction, "middle": one.middle, "outlined": one.outline}
    return {"name": name, "guide": guide, "rows": _rows(one, tile), "corner": one.corner}


def guide_on(face: Face, one: DrawnPart, tile: Tile, limits: JointLimits) -> Guide:
    """Return the line of a band or a motif on the strip; rows that follow an edge lie just inside it [mm]."""
    deep = 0.0 if isinstance(one, MotifPart) else stack(_rows(one, tile), limits.joint)[-1].right
    return one.guide(face, deep, limits)


def _rows(band: BandPart, tile: Tile) -> list[Rows]:
    return [Rows(tile, row.fraction, row.turned) for row in band.laid_rows]


def _crosses_itself(line: Mapping[str, Any], joint: float) -> bool:
    return bool(len(crossings(line["guide"], sum(row.height + joint for row in line["rows"]) / 2)))


def unlaid(layout: Layout, part: GlassPart, faces: Sequence[Face]) -> tuple[Unlaid, ...]:
    """Return what could not be laid as asked on the faces of a piece of glass: on each that something is drawn on.

    And on each that is no rectangle, where places are left open.
    """
    named = {(one.face, name): one for name, one in drawn_on(part)}
    looked = [face.name for face in faces if layout.gaps and not face.rectangular]
    looked = dict.fromkeys([*(face for face, _ in named), *looked])
    if not looked:
        return ()
    met, face_of_piece = joints_of(layout), layout.pieces["face"].to_numpy()
    within = length_within(met, layout.joint_min, layout.joint_max)
    # a row lies on the face that its outline comes nearest to
    places = [shapely.MultiPoint(span.ring) for span in layout.spans]
    home = [min(faces, key=lambda face: face.outline.distance(place)).name for place in places]
    found = []
    for on in looked:
        outline = next(face.outline for face in faces if face.name == on)
        mine = face_of_piece[met.first] == on
        spans = [span for span, name in zip(layout.spans, home, strict=True) if name == on and span.reported]
        found.append(
            Unlaid(
                on,
                tuple(gap for gap in layout.gaps if gap.shape.intersects(outline)),
                tuple((named[on, span.line].listed(span.row), span) for span in spans),
                float(within[mine].sum() / max(met.length[mine].sum(), 1e-9)) if mine.any() else 1.0,
            )
        )
    return tuple(found)


# --- quantities and remarks ------------------------------------------------------------------------------


def worked_piece(plan: Plan, part: GlassPart, glass: Glass, layout: Layout) -> WorkedPiece:
    """Work out the adhesive and filler of one piece of glass."""
    glue = plan.adhesive
    deep = layout.tile.thickness + glue.bed
    corners = glass.corners(deep, layout.joint)
    round_ = tuple(curved(layout, face, glue.bed, glue.coverage) for face in glass.faces if face.edge is not None)
    more = sum(one.adhesive for one in round_) * (1 + glue.waste)
    return WorkedPiece(
        part=part,
        glass=glass,
        layout=layout,
        corners=corners,
        joints=joint_volume(layout, glue.bed) + sum(one.filler for one in round_),
        channels=sum(corner.channel for corner in corners) * glass.faces[0].height / 1000,
        beads=bead_volume(glass.edge_length, plan.filler.bead, deep),
        adhesive=bed_volume(float(layout.areas.sum()), glue.bed, coverage=glue.coverage, waste=glue.waste) + more,
        strips=tuple(_strips(glass, layout, corners, deep)),
        curved=round_,
    )


def _strips(glass: Glass, layout: Layout, corners: Sequence[Corner], deep: float) -> Iterator[Strip]:
    """Yield the bare margins of every face, those at its sides and those at top and foot, and the open corners.

    An open corner is one strip of filler, `deep` [mm], with the margins on both its sides.
    """
    margins = {face.name: _margins(face, layout) for face in glass.faces}
    open_, deepest, volume = [corner for corner in corners if corner.channel], 0.0, 0.0
    for corner in open_:
        one, two = (margins.get(name, np.zeros(4)) for name in corner.faces)
        width, one[1], two[0] = one[1] + two[0], 0.0, 0.0
        deepest = max(deepest, deep + width)
        volume += (corner.channel + width * deep) * glass.faces[0].height / 1000
    if open_:
        yield Strip("open corner with the margins beside it", float(deepest), float(volume))
    for face in glass.faces:
        left, right, low, high = margins[face.name].tolist()
        if not face.rectangular:
            yield from _open(face, layout, deep)
        for name, pair, length in (
            ("at its sides", (left, right), face.height),
            ("at top and foot", (low, high), face.width - left - right),
        ):
            if max(pair) > 0:
                yield Strip(f"bare margin of {face.name} {name}", max(pair), sum(pair) * length * deep / 1000)


def _open(face: Face, layout: Layout, deep: float) -> Iterator[Strip]:
    """Yield the places that no piece fits on a face that is no rectangle, as one strip, as wide as the widest, `deep` [mm]."""
    places = [one for gap in layout.gaps for one in shapely.get_parts(gap.shape & face.outline) if one.area > LOST]
    if places:
        width = 2 * max(shapely.length(shapely.maximum_inscribed_circle(places, tolerance=0.01)))
        yield Strip(f"widest open place of {face.name}", float(width), float(sum(shapely.area(places)) * deep / 1000))


def _margins(face: Face, layout: Layout) -> np.ndarray:
    """Return the widths of a face's bare margins, left, right, foot and top, shape (4,) [mm].

    None where it is empty, and where it is no rectangle: what is open there follows its outline.
    """
    boxes = shapely.bounds(layout.shapes[layout.pieces["face"].to_numpy() == face.name])
    if not len(boxes) or not face.rectangular:
        return np.zeros(4)
    low, high = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
    sides = (
        (low[0] - face.x, face.x + face.width - high[0]) if face.edge is None else (0.0, 0.0)
    )  # else a joint closes it
    widths = (*sides, low[1] - face.y, face.y + face.height - high[1])
    return np.maximum(np.round(widths, 9), 0.0)


def _coarser(piece: WorkedPiece, joint: float) -> list[Strip]:
    """Return the strips of a piece that ask for coarser sand than a joint [mm]."""
    fine = sand_for(max(joint, 0.1))
    return [strip for strip in piece.strips if strip.width > joint and sand_for(max(strip.width, 0.1)) != fine]


def _notes(plan: Plan, pieces: Sequence[WorkedPiece]) -> Iterator[str | Text]:
    """Gather what the maker should know."""
    # what must not be overlooked stands in `warnings`
    yield from colour_notes(plan, [piece.layout for piece in pieces])
    yield from (text(piece.name, ": ", note) for piece in pieces for note in piece.glass.out_of_square)
    yield from (text(piece.name, ": corner of ", corner.words) for piece in pieces for corner in piece.corners)
    yield from _round(plan, pieces)
    yield from _edges_cut(plan, pieces)
    yield from _edges_stepped(plan, pieces)
    yield from _wide(plan, pieces)
    low = plan.joint.least
    if low and low < plan.tile.side * reference.value("allowances", "joint that is hard to fill").number:
        yield text("A joint of ", mm(low), " is hard to fill: check the manufacturer's instructions of the filler.")


def _round(plan: Plan, pieces: Sequence[WorkedPiece]) -> Iterator[Text]:
    """Say what flat tiles do on round glass."""
    glue = plan.adhesive
    for part, piece in zip(plan.glass, pieces, strict=True):
        faces = {face.name: face for face in piece.glass.faces}
        yield from (
            text(piece.name, ": ", note) for note in bend_notes(piece.glass, piece.layout, glue.bed) if piece.curved
        )
        for one in piece.curved:
            for note in curved_notes(one, faces[one.face], piece.layout, glue):
                yield text(part.covers.title(part.name, one.face), ": ", note)


def _edges_cut(plan: Plan, pieces: Sequence[WorkedPiece]) -> Iterator[Text]:
    """Say where the rule for the edge cannot hold, since the grid goes round a band."""
    for part, piece in zip(plan.glass, pieces, strict=True):
        for face in {one.face: None for _, one in drawn_on(part)} if plan.joint.edge != "cut" else ():
            table, edge = piece.layout.pieces, shapely.boundary(_outline(piece.glass, face))
            mine = ((table["face"] == face) & (table["band"] == "field") & (table["kind"] == "cut")).to_numpy()
            count = int((shapely.distance(piece.layout.shapes[mine], edge) < plan.joint.greatest).sum())
            if count:
                yield text(
                    part.covers.title(part.name, face),
                    f": round a drawn band the field runs to the edge, whatever the edge rule; {count} of its pieces are cut there.",
                )


def _edges_stepped(plan: Plan, pieces: Sequence[WorkedPiece]) -> Iterator[Text]:
    """Say where whole tiles end in steps, as the rule for the edge holds across the widest part of a face only."""
    for part, piece in zip(plan.glass, pieces, strict=True):
        drawn = {one.face for _, one in drawn_on(part)}
        stepped = [
            face for face in piece.glass.faces if not face.rectangular and face.edge is None and face.name not in drawn
        ]
        for face in stepped if plan.joint.edge != "cut" else ():
            wide = max((one.width for one in _open(face, piece.layout, 1.0)), default=0.0)
            yield text(
                part.covers.title(part.name, face.name),
                ": its edge is not a rectangle, so the edge rule holds across its widest part only; whole tiles end in steps, ",
                "with open places up to ",
                mm(round(wide, 1)),
                " wide. Choose cut border pieces, or lay a band along the edge.",
            )


def _outline(glass: Glass, face: str) -> shapely.Polygon:
    return next(one.outline for one in glass.faces if one.name == face)


def _wide(plan: Plan, pieces: Sequence[WorkedPiece]) -> Iterator[Text]:
    """Name the strips that ask for coarser sand than the joints, with what to do."""
    kind, joint = kind_of(plan.filler.family, plan.filler.polymer), plan.joint.wanted
    for piece in pieces:
        wide = _coarser(piece, joint)
        if not wide:
            continue
        named = [part for one in wide for part in (", ", one.name, " ", mm(round(one.width, 2)))][1:]
        corners = ", or corners where one side overlaps the other" * bool(piece.corners)
        do = f"Better close them: another edge rule, as cut border pieces{corners}."
        if kind.powder != "grout":
            yield text(
                piece.name, ": wide strips are filled: ", *named, ". Ask whether the filler may be so wide. ", do
            )
            continue
        sand = (
            f" ask{'s' * (len(wide) == 1)} for {sand_for(max(one.width for one in wide))} grout, joints of ",
            mm(joint),
        )
        rest = f" for {sand_for(max(joint, 0.1))}: two bags and two mixes. Fill the strips first, then the joints. "
        yield text(piece.name, ": ", *named, *sand, rest, "Try on scrap: sand can scratch glass. ", do)
