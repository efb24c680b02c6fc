"""A plan worked out: layouts, colours, quantities."""

__all__ = [
    "MOST_BANDED",
    "Worked",
    "WorkedPiece",
    "arrange_all",
    "lay_all",
    "measure_all",
    "tile_parts",
    "within_reach",
    "work_out",
]

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from mosaiclib.adhesive import bed_volume
from mosaiclib.colour import CannotBe, NotFound, StockShort, arrange, arrange_allowed
from mosaiclib.colour.arrangement import find_colours
from mosaiclib.colour.graph import Touching, read_stock
from mosaiclib.errors import MosaicError, instance
from mosaiclib.filler import Recipe, bead_volume, joint_volume, kind_of, recipe
from mosaiclib.glass import Corner, FourSided, Pane
from mosaiclib.job.bands import Unlaid, allowed_colours, lay_banded, row_names, unlaid
from mosaiclib.job.plan import PanePart, Plan, VesselPart
from mosaiclib.layout import Layout, lay_faces, neighbours
from mosaiclib.layout.layout import MOST_PIECES, not_too_many

MOST_BANDED = 250_000  # pieces of a plan with a band: laying it and arranging its colours takes half a minute then


def measure_all(plan: Plan) -> list[Pane | FourSided]:
    """Measure every piece of glass of a plan.

    Parameters
    ----------
    plan : Plan
        A checked plan.

    Returns
    -------
    list of glass
        In the order of the plan.

    Raises
    ------
    MosaicError
        If the glass is impossible; the sentence names the piece.
    """
    found = []
    for part in plan.glass:
        try:
            found.append(part.glass(plan.tile.tile, plan.adhesive.bed, plan.joint.wanted))
        except MosaicError as wrong:
            raise MosaicError(f"{part.name}: {wrong}") from None
    return found


def within_reach(plan: Plan, measured: Sequence[Pane | FourSided]) -> None:
    """Refuse a plan of far too many pieces, counted as plain grids, before any of them is laid.

    Parameters
    ----------
    plan : Plan
        A checked plan.
    measured : sequence of glass
        Its pieces of glass.

    Raises
    ------
    MosaicError
        If there would be over two million pieces, or over 250,000 where a band is drawn.
    """
    pitch = plan.tile.side + plan.joint.wanted
    count = sum(math.ceil(f.width / pitch) * math.ceil(f.height / pitch) for glass in measured for f in glass.faces)
    banded = any(part.bands for part in plan.glass)
    what = "This plan with its drawn band" if banded else "This plan"
    not_too_many(count, what, MOST_BANDED if banded else MOST_PIECES)


TILE_PARTS = {"whole": 1.0, "half": 1 / 2, "third": 1 / 3, "quarter": 1 / 4}


@dataclass(frozen=True)
class WorkedPiece:
    """One piece of glass of a plan, worked out.

    Parameters
    ----------
    name : str
        The maker's name for it.
    glass : Pane or FourSided
        The measured glass.
    layout : Layout
        Its pieces with their colours.
    corners : tuple of Corner
        How tiles go round its corners.
    joints, channels, beads : float
        Filler in joints and clear edges, in channels at corners and in beads along edges [mL].
    adhesive : float
        Adhesive with what is lost [mL].
    unlaid : tuple of Unlaid
        What could not be laid as asked, one a drawn band.
    """

    name: str
    glass: Pane | FourSided
    layout: Layout
    corners: tuple[Corner, ...]
    joints: float
    channels: float
    beads: float
    adhesive: float
    unlaid: tuple[Unlaid, ...] = ()

    @property
    def filler(self) -> float:
        """All filler of the piece, without waste [mL]."""
        return self.joints + self.channels + self.beads


@dataclass(frozen=True)
class Worked:
    """A plan worked out.

    Parameters
    ----------
    plan : Plan
        What was asked.
    pieces : tuple of WorkedPiece
        One a piece of glass.
    notes : tuple of str
        What the maker should know, in sentences.
    """

    plan: Plan
    pieces: tuple[WorkedPiece, ...]
    notes: tuple[str, ...]

    @property
    def count(self) -> int:
        """Pieces of tile in the whole plan."""
        return sum(len(piece.layout) for piece in self.pieces)

    @property
    def adhesive(self) -> float:
        """Adhesive of the whole plan with what is lost [mL]."""
        return sum(piece.adhesive for piece in self.pieces)

    @property
    def filler(self) -> Recipe:
        """What the filler of the whole plan is mixed from, with what is lost."""
        part, volume = self.plan.filler, sum(piece.filler for piece in self.pieces)
        joint = max(self.plan.joint.wanted, 0.1)
        return recipe(volume, part.family, joint, polymer=part.polymer, waste=part.waste)


def work_out(plan: Plan) -> Worked:
    """Work a plan out: grids, colours, adhesive and filler of every piece of glass.

    Parameters
    ----------
    plan : Plan
        A checked plan.

    Returns
    -------
    Worked
        All results.

    Raises
    ------
    MosaicError
        If a face takes no grid, the glass is impossible, or colours cannot be arranged.

    Examples
    --------
    >>> from mosaiclib.reference import DATA
    >>> done = work_out(Plan.load(DATA / "example_plan.json"))
    >>> done.count == sum(len(piece.layout) for piece in done.pieces)
    True
    """
    laid = lay_all(instance(plan, Plan, "plan"))
    coloured = arrange_all(plan, [layout for _, layout in laid])
    pieces = tuple(
        _quantities(plan, part, glass, layout)
        for part, (glass, _), layout in zip(plan.glass, laid, coloured, strict=True)
    )
    return Worked(plan, pieces, _notes(plan, pieces))


def lay_all(plan: Plan) -> list[tuple[Pane | FourSided, Layout]]:
    """Measure and lay every piece of glass of a plan, still without colours.

    Parameters
    ----------
    plan : Plan
        A checked plan.

    Returns
    -------
    list of (glass, Layout)
        In the order of the plan.

    Raises
    ------
    MosaicError
        If the glass is impossible or a face takes no grid; the sentence names the piece.
    """
    tile, joint = plan.tile.tile, plan.joint
    rule = "equal" if joint.edge == "cut" else joint.edge
    border = "cut" if joint.edge == "cut" else "clear"
    found = []
    measured = measure_all(plan)
    within_reach(plan, measured)
    for part, glass in zip(plan.glass, measured, strict=True):
        try:
            limits = (joint.least, joint.greatest)
            by_name = {face.name: face for face in glass.faces}
            ready = {band.face: lay_banded(by_name[band.face], band, tile, joint.wanted, limits) for band in part.bands}
            how = {"edge_rule": rule, "border": border, "ready": ready}
            found.append((glass, lay_faces(glass, tile, joint.wanted, limits, **how)))
        except MosaicError as wrong:
            raise MosaicError(f"{part.name}: {wrong}") from None
    return found


def arrange_all(plan: Plan, layouts: Sequence[Layout]) -> list[Layout]:
    """Arrange colours on every layout of a plan, all from one stock.

    Each layout in turn gets its fair share of what is left of every colour, rounded up. Where that leads
    nowhere all are arranged at once, so that what is told as impossible is so for the whole plan.

    Parameters
    ----------
    plan : Plan
        Whose stock is used.
    layouts : sequence of Layout
        One a piece of glass.

    Returns
    -------
    list of Layout
        The same layouts with their colours.

    Raises
    ------
    MosaicError
        If the stock is short, or colours cannot be arranged.
    """
    if any(part.bands for part in plan.glass):
        return _with_bands(plan, layouts)
    need = sum(len(layout) for layout in layouts)
    stock = _stock(plan, need)
    if sum(stock.values()) < need:
        raise StockShort(need, sum(stock.values()))
    try:
        return _in_turn(plan, layouts, stock)
    except (CannotBe, NotFound):
        if len(layouts) == 1:
            raise
        return _at_once(plan, layouts, stock)


def _in_turn(plan: Plan, layouts: Sequence[Layout], stock: Mapping[str, int]) -> list[Layout]:
    """Arrange one layout after the other, each with its share of what is left."""
    left, waiting, done = dict(stock), sum(len(layout) for layout in layouts), []
    for layout in layouts:
        share = {name: min(count, -(-count * len(layout) // max(waiting, 1))) for name, count in left.items()}
        done.append(arrange(layout, share, seed=plan.colour.seed + len(done), corners=plan.colour.corners))
        used = done[-1].pieces["colour"].value_counts()
        left = {name: count - int(used.get(name, 0)) for name, count in left.items()}
        waiting -= len(layout)
    return done


def _at_once(plan: Plan, layouts: Sequence[Layout], stock: Mapping[str, int]) -> list[Layout]:
    """Arrange all layouts as one heap of pieces, of which those of different glass are no neighbours."""
    begins = np.cumsum([0, *(len(layout) for layout in layouts)])
    pairs = [neighbours(layout, plan.colour.corners) + begin for layout, begin in zip(layouts, begins, strict=False)]
    names, amounts = read_stock(stock)
    found = find_colours(Touching(int(begins[-1]), np.concatenate(pairs)), names, amounts, plan.colour.seed)
    colours = np.array(names, dtype=object)[found]
    return [layout.coloured(colours[begins[i] : begins[i + 1]]) for i, layout in enumerate(layouts)]


def _with_bands(plan: Plan, layouts: Sequence[Layout]) -> list[Layout]:
    """Arrange all layouts at once, rows in the colours chosen for them, small pieces as parts of a tile."""
    begins = np.cumsum([0, *(len(layout) for layout in layouts)])
    pairs = [neighbours(layout, plan.colour.corners) + begin for layout, begin in zip(layouts, begins, strict=False)]
    both = list(zip(plan.glass, layouts, strict=True))
    allowed = [one for part, layout in both for one in allowed_colours(layout, part.bands)]
    rows = [one for part, layout in both for one in row_names(layout, part.bands, part.name)]
    parts = np.concatenate([tile_parts(layout) for layout in layouts])
    stock = _stock(plan, math.ceil(parts.sum() + len(plan.tile.colours)))
    if sum(stock.values()) < parts.sum():
        raise StockShort(len(parts), sum(stock.values()), need=math.ceil(parts.sum()))

    def arranged(tiles: Mapping[str, int]) -> list[str]:
        return arrange_allowed(np.concatenate(pairs), allowed, tiles, parts, plan.colour.seed, rows=rows)

    try:
        colours = arranged(stock)
    except (CannotBe, NotFound):  # what is in hand does for all together, but perhaps not for the rows
        more = _bought_for_rows(plan, stock, allowed, parts)
        if more == stock:
            raise
        colours = arranged(more)
    return [layout.coloured(colours[begins[i] : begins[i + 1]]) for i, layout in enumerate(layouts)]


def _bought_for_rows(
    plan: Plan, stock: Mapping[str, int], allowed: Sequence[frozenset[str] | None], parts: np.ndarray
) -> dict[str, int]:
    """Return a stock in which every colour of a row that can be bought does for half of its rows' pieces.

    Half is the most that one colour can take where pieces alternate; a tile more leaves room for odd numbers.
    """
    half = {colour.name: 0.0 for colour in plan.tile.colours if colour.more}
    for only, part in zip(allowed, parts, strict=True):
        for name in (only or frozenset()) & half.keys():
            half[name] += part / 2
    return dict(stock) | {name: max(stock[name], math.ceil(need) + 1) for name, need in half.items() if need}


def tile_parts(layout: Layout) -> np.ndarray:
    """Return the share of a tile that each piece takes.

    Parameters
    ----------
    layout : Layout
        The pieces, n of them.

    Returns
    -------
    array of float, shape (n,)
        1, 1/2, 1/3 or 1/4; a piece cut smaller still takes its whole share.

    Examples
    --------
    >>> import shapely
    >>> from mosaiclib.layout import lay_grid
    >>> tile_parts(lay_grid(shapely.box(0, 0, 42, 20), 20, 2)).tolist()
    [1.0, 1.0]
    """
    return layout.pieces["fraction"].map(TILE_PARTS).to_numpy(dtype=float)


def _stock(plan: Plan, need: int) -> dict[str, int]:
    """Return what may be used of each colour: what is in hand, and what is bought where it falls short.

    Missing tiles are shared out so that the colours which may be bought come out as even as they can.
    """
    stock = {colour.name: colour.in_hand for colour in plan.tile.colours}
    open_ended = [colour.name for colour in plan.tile.colours if colour.more]
    missing = need - sum(stock.values())
    if missing > 0 and open_ended:
        fixed = sum(count for name, count in stock.items() if name not in open_ended)
        level = _level(sorted(stock[name] for name in open_ended), need - fixed)
        stock |= {name: max(stock[name], level) for name in open_ended}
    return stock


def _level(counts: Sequence[int], wanted: int) -> int:
    """Return the least level to which the lower counts must be raised so that all add up to `wanted`."""
    levels = np.arange(counts[0], wanted + 1)
    raised = np.maximum(np.asarray(counts)[:, None], levels).sum(axis=0)
    return int(levels[np.argmax(raised >= wanted)]) if len(levels) else counts[0]


def _quantities(plan: Plan, part: PanePart | VesselPart, glass: Pane | FourSided, layout: Layout) -> WorkedPiece:
    """Work out the adhesive and filler of one piece of glass."""
    glue, tile = plan.adhesive, layout.tile
    deep = tile.thickness + glue.bed
    corners = glass.corners(deep, layout.joint)
    tall = glass.faces[0].height
    backs = float(layout.areas.sum())
    return WorkedPiece(
        name=part.name,
        glass=glass,
        layout=layout,
        corners=corners,
        joints=joint_volume(layout, glue.bed),
        channels=sum(corner.channel for corner in corners) * tall / 1000,
        beads=bead_volume(_edge_length(glass), plan.filler.bead, deep),
        adhesive=bed_volume(backs, glue.bed, coverage=glue.coverage, waste=glue.waste),
        unlaid=unlaid(layout, part.bands, glass.faces) if part.bands else (),
    )


def _edge_length(glass: Pane | FourSided) -> float:
    """Return the length of the edges that end on bare glass or at a rim [mm]."""
    return 2 * glass.around if glass.around else glass.strip.length


def _notes(plan: Plan, pieces: Sequence[WorkedPiece]) -> tuple[str, ...]:
    """Gather what the maker should know."""
    notes = [f"{piece.name}: {note}" for piece in pieces for note in piece.glass.out_of_square]
    for piece in pieces:
        notes += [f"{piece.name}: corner of {corner.words}" for corner in piece.corners]
    if not kind_of(plan.filler.family).for_glass:
        notes.append(
            "Plain cement grout is not a mix for glass: unfortified filler cracks and lets go of it. Take one with latex, "
            "or a polymer-modified mortar."
        )
    low = plan.joint.least
    if low and low < plan.tile.side * 0.03:
        notes.append(f"A joint of {low:g} mm is hard to fill: check the maker's sheet of the filler.")
    return tuple(notes)
