"""Several lines and motifs on one face, in an order, and the field behind them: one call for a maker's script."""

__all__ = ["MEETINGS", "lay"]

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
import shapely
from shapely import Polygon

from mosaiclib.errors import MosaicError, brief, choice, instance, several
from mosaiclib.layout.closing import closed_round, continued, laid_round
from mosaiclib.layout.cutting import hollow_edges, unhollowed
from mosaiclib.layout.field import PATTERNS, join, lay_field
from mosaiclib.layout.guide import Guide
from mosaiclib.layout.layout import FRACTIONS, JointLimits, Layout, Tile, mitred, only_areas, read_outline
from mosaiclib.layout.lines import outline_of
from mosaiclib.layout.middles import LEAST_WIDTH, MIDDLES
from mosaiclib.layout.motif import OUTLINED, blanks_told, motif, numbered_within, rim
from mosaiclib.layout.rows import CHANGED, lay_beneath
from mosaiclib.layout.rowspec import CORNERS, Rows, read_rows, stack
from mosaiclib.layout.shifts import SEARCHES
from mosaiclib.layout.strokes import area, halves, strokes
from mosaiclib.layout.symmetry import CentreLine, evened

MEETINGS = ("over", "shared")
STROKES = ("later", "earlier")
BAND = {"guide", "rows", "corner", "name"}
MOTIF = {"outline", "fraction", "middle", "outlined", "name"}
STOPS = 200  # places of a line that are looked at to tell whether it crosses the centre line
COVERED = 0.5  # of a line of which no piece is left: what lies on top is the reason
HOLLOW = "with an inward curve, hard to nip: split it in two, or grind it wet, with eye protection"


@dataclass(frozen=True, eq=False)
class Band:
    """A line that is laid: its name, guide, single rows, and how they go round true corners."""

    name: str
    guide: Guide
    rows: list[Rows]
    corner: str

    def deep(self, joint: float) -> float:
        """Return half the width of its rows [mm]."""
        return stack(self.rows, joint)[-1].right


@dataclass(frozen=True, eq=False)
class Filled:
    """A motif that is laid: its name, outline [mm], what its tiles are cut to, its middle, and the row round it."""

    name: str
    outline: Polygon
    fraction: str
    middle: str
    outlined: str


def lay(
    face: object,
    lines: Sequence,
    tile: Tile | float,
    joint: float,
    *,
    limits: Sequence[float] | None = None,
    rows: object = None,
    meet: str = "over",
    stroke: str = "later",
    corner: str = "mitre",
    field: str | None = "grid",
    angle: float | Sequence[float] = 0.0,
    search: str = "full",
    centre_line: Sequence | None = None,
    courses: Mapping[str, str] | None = None,
) -> Layout:
    """Lay lines and motifs on a face, one on top of the other, and the field behind them.

    Parameters
    ----------
    face : glass.Face or Polygon
        The face [mm].
    lines : sequence
        Lowest first: a Guide, or `(guide, rows)`, or `dict(guide=, rows=, corner=)`; a motif is its outline, a Polygon,
        or `dict(outline=, fraction=, middle=, outlined=)` as `motif` takes them. A dict may have a `name` too.
    tile : Tile or float
        The tile, or its side [mm], of field, motifs and lines without rows of their own.
    joint : float
        Joint, everywhere [mm].
    limits : pair of float, optional
        Least and greatest joint [mm]; 15 % either side of the joint if left out.
    rows : Rows, mapping or sequence of them, optional
        Rows of lines without their own; one row of halves if left out.
    meet : {"over", "shared"}
        Where lines meet: the upper is whole and the lower is cut back from it, or both stop at the line that is as far
        from one as from the other. Motifs are whole above and cut back below either way.
    stroke : {"later", "earlier"}
        Of a line that crosses itself, the stroke on top.
    corner : str
        How rows that do not say so themselves go round true corners, one of `CORNERS`.
    field : {"grid", "running bond"} or None
        The field's pattern; None for no field.
    angle, search
        As `lay_field` takes them.
    centre_line : pair of points, optional
        A line through two points [mm] that lines which cross it, and the field, are laid alike on both sides of.
    courses : mapping, optional
        How the courses go that are the field of a face that closes on itself, as `lay_courses` takes it. A line that goes once
        round such a face closes across its seam.

    Returns
    -------
    Layout
        The column `line` of its table names the line or motif, "band 1" where it has no name; row and place are counted
        within it. What cannot be glass is a gap.

    Examples
    --------
    >>> from mosaiclib.layout.lines import straight
    >>> cross = [straight(120, x=60, y=50), straight(100, x=60, y=50, turned=90)]
    >>> laid = lay(shapely.box(0, 0, 120, 100), cross, 20, 2, search="none")
    >>> laid.pieces.groupby("line").size().to_dict()
    {'': 48, 'band 1': 6, 'band 2': 5}
    """
    closes = getattr(face, "edge", None) is not None
    outline, allowed = continued(face) if closes else read_outline(face), JointLimits.read(joint, limits)
    stock = tile if isinstance(tile, Tile) else Tile(tile, 4.0)
    for value, name, known in ((meet, "meeting", MEETINGS), (stroke, "stroke on top", STROKES)):
        choice(value, name, known)
    choice(corner, "corner", CORNERS)
    choice(search, "search", SEARCHES)
    if field is not None:
        choice(field, "pattern", PATTERNS)
    usual = read_rows(Rows(stock, "half") if rows is None else rows)
    asked = [_read(one, k, usual, corner) for k, one in enumerate(several(lines, "lines"), 1)]
    if not asked:
        raise MosaicError("Give at least one line or motif to be laid.")
    if centre_line is not None:
        asked = [_evened(one, CentreLine.read(centre_line)) for one in asked]
    if closes:
        asked = [_closed(one, face) for one in asked]
    laid = _together(outline, _stacked(outline, asked, stock, allowed, meet, stroke == "later"), stock, allowed)
    if closes:
        return laid_round(face, laid, stock, allowed, field is not None, courses or {})
    if field is None:
        return blanks_told(laid)
    more = {"limits": limits, "pattern": field, "angle": angle, "search": search, "centre_line": centre_line}
    behind = lay_field(outline, laid, stock, allowed.joint, **more)
    return blanks_told(join(laid, behind) if len(behind) else replace(laid, outline=outline))


def _read(line: object, k: int, usual: list[Rows], corner: str) -> Band | Filled:
    """Return the line or motif that is asked for, the k-th."""
    if isinstance(line, Guide):
        line = {"guide": line}
    elif isinstance(line, Polygon):
        line = {"outline": line}
    elif isinstance(line, Sequence) and len(line) == 2 and isinstance(line[0], Guide):
        line = dict(zip(("guide", "rows"), line, strict=True))
    if not isinstance(line, Mapping) or not ("guide" in line) ^ ("outline" in line):
        words = f"Line {k} must be a Guide, (guide, rows), a motif's outline or dict(outline=...), not {brief(line)}."
        raise MosaicError(words)
    known = BAND if "guide" in line else MOTIF
    if unknown := sorted(set(map(str, line)) - known):
        raise MosaicError(f"Line {k} has no field {brief(unknown[0])}; it has {', '.join(sorted(known))}.")
    name = instance(line.get("name", f"{'band' if known is BAND else 'motif'} {k}"), str, f"name of line {k}")
    if known is MOTIF:
        return _read_motif(line, name)
    guide = instance(line["guide"], Guide, f"guide of line {k}")
    choice(line.get("corner", corner), "corner", CORNERS)
    return Band(name, guide, read_rows(line["rows"]) if "rows" in line else usual, line.get("corner", corner))


def _read_motif(line: Mapping, name: str) -> Filled:
    found = line["outline"]
    edge = outline_of(found) if isinstance(found, Guide) else read_outline(found)
    if edge.interiors:
        raise MosaicError("The outline of a motif must not have holes.")
    usual = {"fraction": ("half", FRACTIONS), "middle": ("piece", MIDDLES), "outlined": ("none", OUTLINED)}
    asked = [choice(line.get(key, value), key, known) for key, (value, known) in usual.items()]
    return Filled(name, edge, *asked)


def _closed(one: Band | Filled, face: object) -> Band | Filled:
    """Return a line that goes once round a face as one that closes across its seam, and all else as it is."""
    return one if isinstance(one, Filled) else replace(one, guide=closed_round(face, one.guide))


def _evened(one: Band | Filled, line: CentreLine) -> Band | Filled:
    """Return a line that crosses the centre line made alike on both sides of it, and all else as it is."""
    if isinstance(one, Filled):
        return one
    piece = min(row.width for row in one.rows)
    drawn, _ = one.guide.smoothed(piece, piece / 10)
    sides = np.sign(line.off(drawn.at(np.linspace(0, drawn.length, STOPS))))
    return replace(one, guide=evened(drawn, line, piece)) if len(np.unique(sides)) > 1 else one


def _parted(band: Band, limits: JointLimits, later: bool) -> list[Band]:
    """Return the strokes of a line that crosses itself, the one on top last."""
    piece = min(row.width for row in band.rows)
    line, _ = band.guide.smoothed(piece, piece / 10)
    found = strokes(line, band.deep(limits.joint))
    if len(found) == 1:
        return [band]
    return [replace(band, guide=one) for one in (found if later else found[::-1])]


def _stacked(face: Polygon, asked, stock: Tile, limits: JointLimits, meet: str, later: bool) -> list[tuple]:
    """Return name and layout of all that can be laid, lowest first, each as free of those above as it must be."""
    each = [[one] if isinstance(one, Filled) else _parted(one, limits, later) for one in asked]
    single = [part for parts in each for part in parts]
    yields = _yields(single, limits) if meet == "shared" else [Polygon()] * len(single)
    taken, laid, told = Polygon(), [], {}
    for one, given in zip(single[::-1], yields[::-1], strict=True):
        free = face if taken.is_empty and given.is_empty else face - shapely.union(taken, given)
        try:
            found = _one(one, face, only_areas(free) if free is not face else face, stock, limits)
        except MosaicError as why:
            told[one.name] = taken, limits, why
            continue
        laid.append((one.name, found))
        taken = shapely.union(taken, mitred(found.outline, limits.joint))
    for one in single:
        if one.name not in {name for name, _ in laid}:
            raise _none(one, face, *told[one.name])
    return laid[::-1]


def _none(one: Band | Filled, face: Polygon, taken, limits: JointLimits, why: MosaicError) -> MosaicError:
    """Return the refusal of a line of which nothing can be laid."""
    place = one.outline if isinstance(one, Filled) else area(one.guide, one.deep(limits.joint))
    name, room = f"{one.name[:1].upper()}{one.name[1:]}", shapely.intersection(place, face)
    if room.is_empty or shapely.intersection(room, taken).area < COVERED * room.area:
        return MosaicError(name, ": ", *why.parts)
    words = " is covered by what lies on top: no piece of it is left. Move it, lay it higher, or leave it out."
    return MosaicError(name, words)


def _yields(single: Sequence[Band | Filled], limits: JointLimits) -> list:
    """Return for each line what it leaves to lower ones, with half the joint [mm]."""
    bands = [k for k, one in enumerate(single) if isinstance(one, Band)]
    deep = [single[k].deep(limits.joint) + limits.joint / 2 for k in bands]  # so near that the joint would not fit
    own = halves([single[k].guide for k in bands], deep) if bands else []
    halved = dict(zip(bands, own, strict=True))
    left: list = []
    below = Polygon()
    for k in range(len(single)):
        left.append(mitred(below, limits.joint / 2) if k in halved and not below.is_empty else Polygon())
        below = shapely.union(below, halved.get(k, Polygon()))
    return left


def _one(one: Band | Filled, face: Polygon, free, stock: Tile, limits: JointLimits) -> Layout:
    """Lay one line or motif where a face is free."""
    if isinstance(one, Band):
        return lay_beneath(one.guide, one.rows, limits, face, free, corner=one.corner)
    parts = [part for part in shapely.get_parts(one.outline & free) if isinstance(part, Polygon)]
    found, told = [], MosaicError("No piece can be laid in this motif: what lies on top covers it.")
    for part in parts:
        try:
            found.append(_filled(one, part, stock, limits))
        except MosaicError as why:
            told = why
    if not found:
        raise told
    if one.outlined != "none":
        around = rim(one.outline, Rows(stock, one.outlined), limits, face, free)
        found = [around, *map(numbered_within, found)]
    return _together(face, [(one.name, part) for part in found], stock, limits)


def _filled(one: Filled, place: Polygon, stock: Tile, limits: JointLimits) -> Layout:
    """Fill a part of a motif with rows that follow its edge; where something lies in its middle they are cut back."""
    more = {"fraction": one.fraction, "limits": (limits.least, limits.greatest), "middle": one.middle}
    laid = motif(Polygon(place.exterior), stock, limits.joint, **more)
    if not place.interiors:
        return laid
    over = ~shapely.covers(place, laid.shapes)
    cut = [unhollowed(only_areas(one & place), limits.joint, LEAST_WIDTH) for one in laid.shapes[over]]
    again = np.concatenate([np.flatnonzero(~over), np.repeat(np.flatnonzero(over), [len(some) for some in cut])])
    shapes = np.concatenate([laid.shapes[~over], np.array([part for some in cut for part in some], dtype=object)])
    pieces = laid.pieces.iloc[again].assign(area=shapely.area(shapes)).reset_index(drop=True)
    pieces.loc[(~over).sum() :, ["kind", "why"]] = "cut", CHANGED["under"]
    order = np.argsort(again, kind="stable")
    return replace(laid, outline=place, shapes=shapes[order], pieces=pieces.iloc[order], gaps=())


def _together(face: Polygon, laid: Sequence[tuple[str, Layout]], stock: Tile, limits: JointLimits) -> Layout:
    """Return all lines as one layout, places counted along each row of a line."""
    shapes = np.concatenate([one.shapes for _, one in laid])
    pieces = pd.concat([one.pieces.assign(line=name) for name, one in laid], ignore_index=True)
    pieces["place"] = pieces.groupby(["line", "band", "row"]).cumcount() + 1
    cut = np.flatnonzero((pieces["why"] == CHANGED["under"]).to_numpy())
    hollow = cut[hollow_edges(shapes[cut])] if len(cut) else cut
    pieces.loc[hollow, "hollow"] = True
    pieces.loc[hollow, "why"] = f"{CHANGED['under']}, {HOLLOW}"
    outline = only_areas(shapely.union_all([one.outline for _, one in laid]))
    tile = max((one.tile for _, one in laid), key=lambda t: t.side, default=stock)
    gaps = tuple(gap for _, one in laid for gap in one.gaps)
    spans = tuple(replace(span, line=name) for name, one in laid for span in one.spans)
    moved = max(one.smoothed for _, one in laid)
    edge = limits.joint, limits.least, limits.greatest
    return Layout(outline, shapes, pieces, *edge, tile, gaps, spans=spans, smoothed=moved)
