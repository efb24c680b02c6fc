"""A plan worked out: layouts with their drawn bands, colours, quantities, and what could not be laid as asked."""

__all__ = [
    "MOST_BANDED",
    "Strip",
    "Unlaid",
    "Worked",
    "WorkedPiece",
    "allowed_colours",
    "arrange_all",
    "drawn_on",
    "lay_all",
    "lay_banded",
    "measure_all",
    "row_names",
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
from mosaiclib.colour import CannotBe, ConflictGraph, NotFound, arrange_pieces
from mosaiclib.errors import MosaicError, instance
from mosaiclib.filler import Recipe, bead_volume, joint_volume, kind_of, recipe, sand_for
from mosaiclib.glass import Corner, Face, Glass
from mosaiclib.job.plan import BandPart, Colour, DrawnPart, GlassPart, MotifPart, Plan
from mosaiclib.job.quantities import Quantities, spares, tile_parts
from mosaiclib.layout import (
    Gap,
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
    neighbours,
)
from mosaiclib.layout.joints import length_within
from mosaiclib.layout.layout import MOST_PIECES, not_too_many
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
    what is lost [mL]; what could not be laid as asked, one a face with bands; every rule that its layout breaks; and the strips
    of filler beside the joints.
    """

    name: str
    glass: Glass
    layout: Layout
    corners: tuple[Corner, ...]
    joints: float
    channels: float
    beads: float
    adhesive: float
    unlaid: tuple[Unlaid, ...] = ()
    broken: tuple[str | Text, ...] = ()
    strips: tuple[Strip, ...] = ()

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
    def colours(self) -> pd.DataFrame:
        """One line a colour with the columns colour, placed (pieces), tiles (that they take), spare, in_hand, to_buy,
        short (spares that are lacking because no more can be bought), packs, cost.
        """
        names = pd.concat([piece.layout.pieces["colour"] for piece in self.pieces]).to_numpy()
        parts = pd.Series(np.concatenate([tile_parts(piece.layout) for piece in self.pieces]))
        found = parts.groupby(names).agg(["size", "sum"])
        lines = [_colour_line(self.plan, one, *found.T.get(one.name, (0, 0.0))) for one in self.plan.tile.colours]
        columns = ["colour", "placed", "tiles", "spare", "in_hand", "to_buy", "short", "packs", "cost"]
        return pd.DataFrame(lines, columns=columns)

    @property
    def quantities(self) -> Quantities:
        """The one line of quantities."""
        tiles = self.colours[["tiles", "to_buy"]].sum()
        return Quantities(
            self.count, int(tiles["tiles"]), self.adhesive, self.fillers, int(tiles["to_buy"]), self.warnings
        )


def _colour_line(plan: Plan, colour: Colour, placed: float, share: float) -> tuple:
    """Return the line of one colour: its pieces, the tiles they take, spares and what to buy."""
    used = math.ceil(share - 1e-9)
    spare = spares(used, plan.spare.break_chance, plan.spare.confidence)
    lacking = max(0, used + spare - colour.in_hand)
    buy = lacking if colour.more else 0
    packs = math.ceil(buy / plan.tile.pack)
    cost = round(packs * plan.tile.pack * colour.price, 2)
    return colour.name, int(placed), used, spare, colour.in_hand, buy, lacking - buy, packs, cost


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


def within_reach(plan: Plan, measured: Sequence[Glass]) -> None:
    """Refuse a plan of far too many pieces, counted as plain grids, before any of them is laid."""
    pitch = plan.tile.side + plan.joint.wanted
    count = sum(math.ceil(f.width / pitch) * math.ceil(f.height / pitch) for glass in measured for f in glass.faces)
    banded = any(part.bands or part.motifs for part in plan.glass)
    what = "This plan with its drawn band" if banded else "This plan"
    not_too_many(count, what, MOST_BANDED if banded else MOST_PIECES)


def lay_all(plan: Plan) -> list[tuple[Glass, Layout]]:
    """Measure and lay every piece of glass of a plan, in its order, still without colours; a refusal names the piece."""
    tile, joint = plan.tile.tile, plan.joint
    limits, cut = (joint.least, joint.greatest), joint.edge == "cut"
    edges = {"edge_rule": "equal" if cut else joint.edge, "border": "cut" if cut else "clear"}

    def laid(part: GlassPart, glass: Glass) -> tuple[Glass, Layout]:
        faces = {face.name: face for face in glass.faces}
        drawn, asked = drawn_on(part), (tile, joint.wanted, limits, part.meet)
        on = {face: [(name, one) for name, one in drawn if one.face == face] for face in faces}
        ready = {face: lay_banded(faces[face], each, *asked) for face, each in on.items() if each}
        return glass, lay_faces(glass, tile, joint.wanted, limits, ready=ready, **edges)

    measured = measure_all(plan)
    within_reach(plan, measured)
    return list(_named(plan, laid, measured))


def drawn_on(part: GlassPart) -> list[tuple[str, DrawnPart]]:
    """Return what is drawn on a piece of glass, face by face the lowest first, with what the table calls it.

    "band 2" is the second band of its face as listed, "motif 1" its first motif; an only band has no name.
    """
    found = []
    for face in {one.face: None for one in (*part.bands, *part.motifs)}:
        bands, motifs = ([one for one in some if one.face == face] for some in (part.bands, part.motifs))
        alone = len(bands) == 1 and not motifs
        named = [(k, 0, k, "" if alone else f"band {k}", one) for k, one in enumerate(bands, 1)]
        over = [len(bands) if one.over is None else one.over for one in motifs]
        named += [(beneath, 1, k, f"motif {k}", motifs[k - 1]) for k, beneath in enumerate(over, 1)]
        found += [(name, one) for *_, name, one in sorted(named, key=lambda place: place[:3])]
    return found


def lay_banded(
    face: Face,
    drawn: BandPart | Sequence[tuple[str, DrawnPart]],
    tile: Tile,
    joint: float,
    limits: Sequence[float],
    meet: str = "over",
) -> Layout:
    """Lay what is drawn on a face, as `drawn_on` lists it, and the field behind it, joint and its limits in [mm].

    Rows come first, those of a band numbered from 1 left to right of travel seen from the front, those of a motif inwards,
    outline rows among them, then the field. Where there is more than one band the column `line` tells which.

    Examples
    --------
    >>> from mosaiclib.job.plan import RowPart
    >>> line = BandPart(face="pane", points=[[0.0, 50.0], [200.0, 50.0]], rows=[RowPart()])
    >>> laid = lay_banded(Face("pane", 0, 0, 200, 100), line, Tile(20, 4), 2, (1.7, 2.3))
    >>> laid.pieces["face"].unique().tolist(), int((laid.pieces["band"] == "rows").sum())
    (['pane'], 17)
    """
    listed = [("", drawn)] if isinstance(drawn, BandPart) else list(drawn)
    lines = [_line(name, one, face, tile) for name, one in listed]
    first = lines[0]
    if len(lines) > 1 or "rows" not in first or _crosses_itself(first, joint):
        whole = lay(face, lines, tile, joint, limits=limits, meet=meet)
    else:
        rows = lay_rows(first["guide"], first["rows"], joint, face, limits=limits, corner=first["corner"])
        whole = join(rows, lay_field(face, rows, tile, joint, limits=limits))
    return replace(whole, pieces=whole.pieces.assign(face=face.name))


def _line(name: str, one: DrawnPart, face: Face, tile: Tile) -> dict[str, Any]:
    """Return a band or a motif as `lay` takes it."""
    if isinstance(one, MotifPart):
        shape = {"fraction": one.fraction, "middle": one.middle, "outlined": one.outline}
        return {"name": name, "outline": one.guide(face)} | shape
    rows = [Rows(tile, row.fraction, row.turned) for row in one.laid_rows]
    return {"name": name, "guide": one.guide(face), "rows": rows, "corner": one.corner}


def _crosses_itself(line: Mapping[str, Any], joint: float) -> bool:
    return bool(len(crossings(line["guide"], sum(row.height + joint for row in line["rows"]) / 2)))


def unlaid(layout: Layout, part: GlassPart, faces: Sequence[Face]) -> tuple[Unlaid, ...]:
    """Return what could not be laid as asked on the faces of a piece of glass, one a face that something is drawn on."""
    named = {(one.face, name): one for name, one in drawn_on(part)}
    if not named:
        return ()
    met, face_of_piece = joints_of(layout), layout.pieces["face"].to_numpy()
    within = length_within(met, layout.joint_min, layout.joint_max)
    # a row lies on the face that its outline comes nearest to
    places = [shapely.MultiPoint(span.ring) for span in layout.spans]
    home = [min(faces, key=lambda face: face.outline.distance(place)).name for place in places]
    found = []
    for on in {face: None for face, _ in named}:
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


# --- colours ---------------------------------------------------------------------------------------------


def allowed_colours(layout: Layout, part: GlassPart) -> list[frozenset[str] | None]:
    """Return for each piece of a layout the colours that its row or motif may have, None where any will do."""
    return _of_drawn(layout, part, lambda _, one, band, row: frozenset(one.colours_of(band, row)) or None, None)


def row_names(layout: Layout, part: GlassPart) -> list[str]:
    """Return for each piece what a sentence calls its row, counted as the plan lists them; empty where it is in none."""

    def called(name: str, one: DrawnPart, band: str, row: int) -> str:
        if band != "rows" and isinstance(one, BandPart):
            return ""
        return f"{one.called(row)} of {name or 'the band'} on {part.covers.title(part.name, one.face)}"

    return _of_drawn(layout, part, called, "")


def _of_drawn(layout: Layout, part: GlassPart, tell: Callable, other: Any) -> list:
    """Return for each piece what is told of the band or motif that it belongs to, and something else where it does to none."""
    named = {(one.face, name): one for name, one in drawn_on(part)}
    places = list(layout.pieces[["face", "line", "band", "row"]].itertuples(index=False, name=None))
    told = {
        (face, line, band, row): tell(line, named[face, line], band, row) if (face, line) in named else other
        for face, line, band, row in set(places)
    }
    return [told[place] for place in places]


def arrange_all(plan: Plan, layouts: Sequence[Layout]) -> list[Layout]:
    """Arrange colours on the layouts of a plan, all at once from one stock, rows in the colours chosen for them.

    Pieces of different glass are no neighbours; a piece takes its part of a tile.
    """
    begins = np.cumsum([0, *(len(layout) for layout in layouts)])
    pairs = [neighbours(layout, plan.colour.corners) + begin for layout, begin in zip(layouts, begins, strict=False)]
    graph = ConflictGraph(int(begins[-1]), np.concatenate(pairs))
    both = list(zip(plan.glass, layouts, strict=True))
    allowed = [one for part, layout in both for one in allowed_colours(layout, part)]
    rows = [one for part, layout in both for one in row_names(layout, part)]
    tiles = np.concatenate([tile_parts(layout) for layout in layouts])
    stock = _stock(plan, tiles)

    def arranged(tiles_of: Mapping[str, int]) -> np.ndarray:
        return arrange_pieces(graph, tiles_of, plan.colour.seed, allowed=allowed, tiles=tiles, rows=rows)

    try:
        colours = arranged(stock)
    except (CannotBe, NotFound):  # what is in hand does for all together, but perhaps not for the rows
        more = _bought_for_rows(plan, stock, allowed, tiles)
        if more == stock:
            raise
        colours = arranged(more)
    return [layout.coloured(part) for layout, part in zip(layouts, np.split(colours, begins[1:-1]), strict=True)]


def _bought_for_rows(
    plan: Plan, stock: Mapping[str, int], allowed: Sequence[frozenset[str] | None], tiles: np.ndarray
) -> dict[str, int]:
    """Return a stock in which every colour of a row that can be bought does for half of its rows' pieces.

    Half is the most that one colour can take where pieces alternate; a tile more leaves room for odd numbers.
    """
    half = {colour.name: 0.0 for colour in plan.tile.colours if colour.more}
    for only, part in zip(allowed, tiles, strict=True):
        for name in (only or frozenset()) & half.keys():
            half[name] += part / 2
    return dict(stock) | {name: max(stock[name], math.ceil(need) + 1) for name, need in half.items() if need}


def _stock(plan: Plan, tiles: np.ndarray) -> dict[str, int]:
    """Return what may be used of each colour: what is in hand, and what is bought where it falls short.

    Missing tiles are shared out so that the colours which may be bought come out as even as they can.
    """
    stock = {colour.name: colour.in_hand for colour in plan.tile.colours}
    more = [colour.name for colour in plan.tile.colours if colour.more]
    # of a tile that is cut into parts, the rest may be of use to no other piece
    need = math.ceil(tiles.sum() + (len(stock) if (tiles < 1).any() else 0))
    if sum(stock.values()) < need and more:
        fixed = sum(count for name, count in stock.items() if name not in more)
        level = _level(sorted(stock[name] for name in more), need - fixed)
        stock |= {name: max(stock[name], level) for name in more}
    return stock


def _level(counts: Sequence[int], wanted: int) -> int:
    """Return the least level to which the lower counts, in rising order, must be raised so that all add up to `wanted`."""
    for lower in range(1, len(counts) + 1):
        level = -(-(wanted - sum(counts[lower:])) // lower)
        if lower == len(counts) or level <= counts[lower]:
            return level
    return 0


# --- quantities and remarks ------------------------------------------------------------------------------


def worked_piece(plan: Plan, part: GlassPart, glass: Glass, layout: Layout) -> WorkedPiece:
    """Work out the adhesive and filler of one piece of glass, and check its layout."""
    glue = plan.adhesive
    deep = layout.tile.thickness + glue.bed
    corners = glass.corners(deep, layout.joint)
    return WorkedPiece(
        name=part.name,
        glass=glass,
        layout=layout,
        corners=corners,
        joints=joint_volume(layout, glue.bed),
        channels=sum(corner.channel for corner in corners) * glass.faces[0].height / 1000,
        beads=bead_volume(glass.edge_length, plan.filler.bead, deep),
        adhesive=bed_volume(float(layout.areas.sum()), glue.bed, coverage=glue.coverage, waste=glue.waste),
        unlaid=unlaid(layout, part, glass.faces),
        broken=tuple(broken(layout)),
        strips=tuple(_strips(glass, layout, corners, deep)),
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
        for name, pair, length in (
            ("at its sides", (left, right), face.height),
            ("at top and foot", (low, high), face.width - left - right),
        ):
            if max(pair) > 0:
                yield Strip(f"bare margin of {face.name} {name}", max(pair), sum(pair) * length * deep / 1000)


def _margins(face: Face, layout: Layout) -> np.ndarray:
    """Return the widths of a face's bare margins, left, right, foot and top, shape (4,) [mm]; none where it is empty."""
    boxes = shapely.bounds(layout.shapes[layout.pieces["face"].to_numpy() == face.name])
    if not len(boxes):
        return np.zeros(4)
    low, high = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
    widths = (low[0] - face.x, face.x + face.width - high[0], low[1] - face.y, face.y + face.height - high[1])
    return np.maximum(np.round(widths, 9), 0.0)


def _coarser(piece: WorkedPiece, joint: float) -> list[Strip]:
    """Return the strips of a piece that ask for coarser sand than a joint [mm]."""
    fine = sand_for(max(joint, 0.1))
    return [strip for strip in piece.strips if strip.width > joint and sand_for(max(strip.width, 0.1)) != fine]


def _notes(plan: Plan, pieces: Sequence[WorkedPiece]) -> Iterator[str | Text]:
    """Gather what the maker should know."""
    # what must not be overlooked stands in `warnings`
    yield from (text(piece.name, ": ", note) for piece in pieces for note in piece.glass.out_of_square)
    yield from (text(piece.name, ": corner of ", corner.words) for piece in pieces for corner in piece.corners)
    yield from _edges_cut(plan, pieces)
    yield from _wide(plan, pieces)
    low = plan.joint.least
    if low and low < plan.tile.side * reference.value("allowances", "joint that is hard to fill").number:
        yield text("A joint of ", mm(low), " is hard to fill: check the manufacturer's instructions of the filler.")


def _edges_cut(plan: Plan, pieces: Sequence[WorkedPiece]) -> Iterator[Text]:
    """Say where the rule for the edge cannot hold, since the grid goes round a band."""
    rule = plan.joint.edge
    for part, piece in zip(plan.glass, pieces, strict=True):
        for face in {one.face: None for _, one in drawn_on(part)} if rule != "cut" else ():
            table, edge = piece.layout.pieces, shapely.boundary(_outline(piece.glass, face))
            mine = ((table["face"] == face) & (table["band"] == "field") & (table["kind"] == "cut")).to_numpy()
            count = int((shapely.distance(piece.layout.shapes[mine], edge) < plan.joint.greatest).sum())
            if count:
                yield text(
                    part.covers.title(part.name, face),
                    f": the edge rule {rule!r} cannot hold round a drawn band; {count} pieces of the field are cut at the edge.",
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
        do = "Better close them: another edge rule, cut border pieces, or corners where one side overlaps the other."
        if kind.powder != "grout":
            yield text(
                piece.name, ": wide strips are filled: ", *named, ". Ask whether the filler may be so wide. ", do
            )
            continue
        sand = (f" ask for {sand_for(max(one.width for one in wide))} grout, joints of ", mm(joint))
        rest = f" for {sand_for(max(joint, 0.1))}: two bags and two mixes. Fill the strips first, then the joints. "
        yield text(piece.name, ": ", *named, *sand, rest, "Try on scrap: sand can scratch glass. ", do)
