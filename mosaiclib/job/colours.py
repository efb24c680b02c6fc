"""The colours of a plan: which a piece may have, arranged from one stock of tiles, and mended where a hand changed one."""

__all__ = [
    "Wanted",
    "allowed_colours",
    "arrange_all",
    "colour_notes",
    "joint_tone",
    "looks_of",
    "mended_all",
    "row_names",
    "without_tone",
]

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from mosaiclib.adhesive import family
from mosaiclib.adhesive.optics import BACKING_OF, passed_by, seen
from mosaiclib.colour import CannotBe, ConflictGraph, NotFound, Run, arrange_pinned, as_asked, mend_pinned, worst_off
from mosaiclib.colour.blend import shares_asked
from mosaiclib.colour.graph import Task
from mosaiclib.drawing.palette import FILLER, INK, Look, alike, colour_word, known_tone, looks
from mosaiclib.job.drawn import BandPart, DrawnPart, drawn_on
from mosaiclib.job.plan import GlassPart, Plan
from mosaiclib.job.quantities import tile_parts
from mosaiclib.layout import Layout, neighbours

# --- what is asked of each piece -------------------------------------------------------------------------


def allowed_colours(
    layout: Layout, part: GlassPart, named: Mapping[str, str] | None = None
) -> list[frozenset[str] | None]:
    """Return for each piece the colours that its row, its motif or the background may have, None where any will do.

    `named` holds the names as the list of colours writes them (`Plan.named`).
    """
    behind = _allowed(part.background.colours, named) if part.background else None

    def allowed(_: str, one: DrawnPart, band: str, row: int) -> frozenset[str] | None:
        if band != "rows" and isinstance(one, BandPart):
            return behind
        outline = band == "rows" and not one.listed(row)
        return _allowed(one.colours_of(band, row), named) or (behind if outline else None)

    return _of_drawn(layout, part, allowed, behind)


def _allowed(colours: Sequence[str], named: Mapping[str, str] | None) -> frozenset[str]:
    return frozenset((named or {}).get(colour_word(name), name) for name in colours)


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
    columns = (layout.pieces[name].to_numpy(dtype=object).tolist() for name in ("face", "line", "band", "row"))
    places = list(zip(*columns, strict=True))
    told = {
        (face, line, band, row): tell(line, named[face, line], band, row) if (face, line) in named else other
        for face, line, band, row in set(places)
    }
    return [told[place] for place in places]


def runs_of(layout: Layout, part: GlassPart, plan: Plan, begin: int = 0) -> list[Run]:
    """Return the pieces of a piece of glass that share their colours in a stated way, counted from `begin`."""
    if not _blends(part):
        return []
    table, names, found = layout.pieces, np.array(row_names(layout, part), dtype=object), []
    for line, band in ((name, one) for name, one in drawn_on(part) if isinstance(one, BandPart)):
        for number, row in enumerate(band.laid_rows, 1):
            if row.blend == "free" or not band.listed(number):
                continue
            mine = (table["band"] == "rows") & (table["face"] == band.face) & (table["row"] == number)
            here = np.flatnonzero(mine & (table["line"] == line))
            here = here[np.argsort(table["place"].to_numpy()[here], kind="stable")]
            if len(here):
                found.append(_run(here, np.linspace(0, 1, len(here)), row, plan, begin, names[here[0]]))
    back = part.background
    if back is not None and back.blend != "free":
        here = np.flatnonzero([not name or name.startswith("the outline row") for name in names])
        found += [_run(*_over_faces(layout, here, back.way), back, plan, begin, f"the background of {part.name}")]
    return [run for run in found if len(run.pieces)]


def _run(here: np.ndarray, places: np.ndarray, asked: Any, plan: Plan, begin: int, name: str) -> Run:
    return Run(here + begin, places, [plan.named[colour_word(one)] for one in asked.colours], asked.blend, name)


def _over_faces(layout: Layout, here: np.ndarray, way: str) -> tuple[np.ndarray, np.ndarray]:
    """Return pieces in the order of their places up or across their faces, and the places, 0 to 1."""
    middle = shapely.get_coordinates(shapely.centroid(layout.shapes[here]))
    face = layout.pieces["face"].to_numpy()[here]
    along, beside = (middle[:, 1], middle[:, 0]) if way == "up" else (middle[:, 0], middle[:, 1])
    t = np.zeros(len(here))
    for name in set(face):
        mine = face == name
        low, high = along[mine].min(), along[mine].max()
        t[mine] = (along[mine] - low) / max(high - low, 1e-9)
    order = np.lexsort([beside, np.round(t, 6)])
    return here[order], t[order]


@dataclass(frozen=True, eq=False)
class Wanted:
    """What a plan asks of the colours of all its pieces, those of all glass one after the other.

    `begins` tells where each piece of glass begins, shape (g + 1,); `pins` the pieces that were changed by hand with their
    colours, in that order.
    """

    plan: Plan
    layouts: tuple[Layout, ...]
    begins: np.ndarray
    graph: ConflictGraph
    allowed: list[frozenset[str] | None]
    rows: list[str]
    tiles: np.ndarray
    runs: list[Run]
    pins: list[tuple[int, str]]

    @classmethod
    def of(cls, plan: Plan, layouts: Sequence[Layout]) -> "Wanted":
        """Return what a plan asks of its layouts, one a piece of glass; pieces of different glass are no neighbours."""
        begins = np.cumsum([0, *(len(layout) for layout in layouts)])
        pairs = [
            neighbours(layout, plan.colour.corners) + begin for layout, begin in zip(layouts, begins, strict=False)
        ]
        each = list(zip(plan.glass, layouts, begins.tolist(), strict=False))
        allowed = [allowed_colours(layout, part, plan.named) for part, layout, _ in each]
        pins = [pin for part, layout, begin in each for pin in _pinned(plan, part, layout, begin)]
        return cls(
            plan,
            tuple(layouts),
            begins,
            ConflictGraph(int(begins[-1]), np.concatenate(pairs)),
            [one for each_ in allowed for one in each_],
            [name for part, layout, _ in each for name in row_names(layout, part)],
            np.concatenate([tile_parts(layout) for layout in layouts]),
            [run for part, layout, begin in each for run in runs_of(layout, part, plan, begin)],
            [(piece, colour) for _, piece, colour in sorted(pins) if piece >= 0],
        )

    def called(self, piece: int) -> str:
        """Return what a sentence calls a piece: its number and its glass."""
        glass = int(np.searchsorted(self.begins, piece, side="right")) - 1
        return f"piece {piece - int(self.begins[glass]) + 1} of {self.plan.glass[glass].name}"

    def task(self, stock: Mapping[str, int]) -> Task:
        """Return the task of arranging from a stock of tiles."""
        shares = {colour.name: colour.share for colour in self.plan.tile.colours if colour.share}
        return Task.of(self.graph, stock, self.allowed, self.tiles, self.rows, shares)

    def parted(self, colours: np.ndarray) -> list[Layout]:
        """Return the layouts with their colours by name, shape (n,)."""
        parts = np.split(colours, self.begins[1:-1])
        return [layout.coloured(part) for layout, part in zip(self.layouts, parts, strict=True)]


def _pinned(plan: Plan, part: GlassPart, layout: Layout, begin: int) -> Iterator[tuple[int, int, str]]:
    """Yield the pins of a piece of glass: their place in the plan's list, the piece, -1 where none is there, the colour."""
    pins = [(order, pin) for order, pin in enumerate(plan.colour.pins) if pin.glass == part.name]
    if not pins:
        return
    points = shapely.points([(pin.x, pin.y) for _, pin in pins])
    asked, pieces = shapely.STRtree(layout.shapes).query(points, predicate="intersects")
    piece = dict(zip(asked[::-1].tolist(), pieces[::-1].tolist(), strict=True))
    for k, (order, pin) in enumerate(pins):
        yield order, piece[k] + begin if k in piece else -1, plan.named[colour_word(pin.colour)]


# --- arranging -------------------------------------------------------------------------------------------


def arrange_all(plan: Plan, layouts: Sequence[Layout]) -> list[Layout]:
    """Arrange colours on the layouts of a plan, all at once from one stock, rows in the colours chosen for them.

    Pieces of different glass are no neighbours; a piece takes its part of a tile. What was changed by hand is mended piece
    by piece in the order in which it was changed, so that the same seed and pins give the same arrangement again.
    """
    wanted = Wanted.of(plan, layouts)

    def arranged(stock: Mapping[str, int]) -> np.ndarray:
        return arrange_pinned(wanted.task(stock), plan.colour.seed, wanted.runs, wanted.pins, wanted.called)

    stock = _stock(wanted)
    try:
        colours = arranged(stock)
    except (CannotBe, NotFound):  # what is in hand does for all together, but perhaps not for the rows
        more = _bought_for_rows(wanted, stock)
        if more == stock:
            raise
        colours = arranged(more)
    return wanted.parted(colours)


def mended_all(plan: Plan, layouts: Sequence[Layout]) -> list[Layout]:
    """Return coloured layouts with the last pin of the plan heeded: the rest is mended round that piece.

    It comes out as `arrange_all` would have it, if the layouts are what that gave before the pin was set.
    """
    wanted = Wanted.of(plan, layouts)
    names = np.concatenate([layout.pieces["colour"].to_numpy(dtype=object) for layout in layouts])
    stock = _stock(wanted)
    try:
        task = wanted.task(stock)
        colours = mend_pinned(task, names, plan.colour.seed, wanted.runs, wanted.pins, wanted.called)
    except (CannotBe, NotFound):
        more = _bought_for_rows(wanted, stock)
        if more == stock:
            raise
        return arrange_all(plan, layouts)
    return wanted.parted(colours)


def _bought_for_rows(wanted: Wanted, stock: Mapping[str, int]) -> dict[str, int]:
    """Return a stock in which every colour of a row that can be bought does for half of its rows' pieces.

    Half is the most that one colour can take where pieces alternate; a tile more leaves room for odd numbers.
    """
    half = {colour.name: 0.0 for colour in wanted.plan.tile.colours if colour.more}
    for only, part in zip(wanted.allowed, wanted.tiles, strict=True):
        for name in (only or frozenset()) & half.keys():
            half[name] += part / 2
    return dict(stock) | {name: max(stock[name], math.ceil(need) + 1) for name, need in half.items() if need}


def _stock(wanted: Wanted) -> dict[str, int]:
    """Return what may be used of each colour: what is in hand, and what is bought where it falls short.

    Missing tiles are shared out so that the colours which may be bought come out as even as they can; of a colour with a
    share of its own, chosen by hand or in a blend, as many are bought as that takes.
    """
    tiles, colours = wanted.tiles, wanted.plan.tile.colours
    stock = {colour.name: colour.in_hand for colour in colours}
    more = [colour.name for colour in colours if colour.more]
    asked = _asked_for(wanted)
    stock |= {name: max(stock[name], math.ceil(asked[name])) for name in more}
    # of a tile that is cut into parts, the rest may be of use to no other piece
    need = math.ceil(tiles.sum() + (len(stock) if (tiles < 1).any() else 0))
    if sum(stock.values()) < need and more:
        fixed = sum(count for name, count in stock.items() if name not in more)
        level = _level(sorted(stock[name] for name in more), need - fixed)
        stock |= {name: max(stock[name], level) for name in more}
    return stock


def _asked_for(wanted: Wanted) -> dict[str, float]:
    """Return the tiles of each colour that its share, or else the blends and the pieces chosen by hand, take."""
    tiles, found = wanted.tiles, dict.fromkeys(wanted.plan.named.values(), 0.0)
    for piece, name in dict(wanted.pins).items():
        found[name] += tiles[piece]
    for run in wanted.runs:
        for name, need in zip(run.colours, shares_asked(run).T @ tiles[run.pieces], strict=True):
            found[name] += need + 1
    for colour in wanted.plan.tile.colours:
        if colour.share and len(tiles):
            found[colour.name] = max(found[colour.name], (len(tiles) * colour.share + 1) * tiles.max())
    return found


def _level(counts: Sequence[int], wanted: int) -> int:
    """Return the least level to which the lower counts, in rising order, must be raised so that all add up to `wanted`."""
    for lower in range(1, len(counts) + 1):
        level = -(-(wanted - sum(counts[lower:])) // lower)
        if lower == len(counts) or level <= counts[lower]:
            return level
    return 0


# --- how it looks, and what is told ----------------------------------------------------------------------


def without_tone(plan: Plan) -> list[str]:
    """Return the colours whose tone must be asked for: none was chosen, and no list knows the name."""
    return [colour.name for colour in plan.tile.colours if not (colour.tone or known_tone(colour.name))]


def looks_of(plan: Plan, lit: str = "front") -> dict[str, Look]:
    """Return how the colours of a plan are drawn: as its maker sees them, or lit from "behind" as before a window by day.

    From behind, light comes through base, bed and glass once; the bed is that of the plan's adhesive.

    >>> from mosaiclib.reference import DATA
    >>> plan = Plan.load(DATA / "example_plan.json")
    >>> looks_of(plan)["blue"].mark == looks_of(plan, "behind")["blue"].mark
    True
    """
    shown = looks({colour.name: colour.tone for colour in plan.tile.colours})
    if lit == "front":
        return shown
    backing = BACKING_OF[family(plan.adhesive.family).tone]
    how = {"light": lit, "clarity": plan.tile.clarity}
    thick = plan.tile.thickness
    return {name: Look(seen(passed_by(one.fill), thick, backing, **how).tone, one.mark) for name, one in shown.items()}


def joint_tone(plan: Plan, lit: str = "front") -> str:
    """Return the tone of filled joints: the shade of the filler; dark when lit from behind, as it lets no light through."""
    return INK if lit == "behind" else plan.filler.shade or FILLER


def colour_notes(plan: Plan, layouts: Sequence[Layout]) -> Iterator[str]:
    """Say what the maker should know of the colours: tones to choose, colours too alike, blends, and pins that are lost."""
    unknown = without_tone(plan)
    if unknown:
        yield f"Choose a tone for {', '.join(unknown)}: no list of colours knows the name, so the picture shows none."
    tones = {colour.name: colour.tone or known_tone(colour.name) for colour in plan.tile.colours}
    for one, two, off in alike({name: tone for name, tone in tones.items() if tone}):
        yield f"{one} and {two} look too alike to tell side by side (CIEDE2000 {off:.1f}): choose other tones, or mark the boxes."
    for part, layout in zip(plan.glass, layouts, strict=True):
        names = layout.pieces["colour"].to_numpy(dtype=object)
        yield from (_blend_note(run, names[run.pieces]) for run in runs_of(layout, part, plan))
    both = zip(plan.glass, layouts, strict=True)
    lost = sum(piece < 0 for part, layout in both for _, piece, _ in _pinned(plan, part, layout, 0))
    if lost:
        yield f"{lost} of the places that were coloured by hand hold no piece any more, so they are left out."


def _blend_note(run: Run, names: np.ndarray) -> str:
    """Say how near a run came to what was asked."""
    near = "as asked" if as_asked(run, names) else "not as asked: give it more colours or tiles"
    return (
        f"{run.name[:1].upper()}{run.name[1:]}: {run.blend}, {near}; counted from its beginning it is never more than "
        f"{worst_off(run, names):.0%} of its pieces off."
    )


def _blends(part: GlassPart) -> bool:
    """Tell whether anything on a piece of glass is blended."""
    back = part.background
    return any(row.blend != "free" for band in part.bands for row in band.rows) or bool(back and back.blend != "free")
