"""The background: a grid cut against the rows at an even joint, so that no sliver remains."""

__all__ = ["PATTERNS", "best_grids", "join", "lay_field"]

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pandas as pd
import shapely
from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from mosaiclib.errors import MosaicError, choice, number, several
from mosaiclib.layout.cells import Cells, Frame, Grid, framed, turned
from mosaiclib.layout.cutting import hollow_edges
from mosaiclib.layout.layout import (
    LOST,
    Gap,
    JointLimits,
    Layout,
    Tile,
    lowest_row,
    mitred,
    not_too_many,
    only_areas,
    piece_table,
    read_layout,
    read_outline,
)
from mosaiclib.layout.openings import open_places
from mosaiclib.layout.pieces import CLOSE
from mosaiclib.layout.remains import too_small
from mosaiclib.layout.shifts import SEARCHES, Least, laid, laid_best
from mosaiclib.layout.spans import reasons
from mosaiclib.layout.symmetry import CentreLine
from mosaiclib.units import mm

PATTERNS = ("grid", "running bond")
MOST_ANGLES = 12
LEAST_WIDTH = 3.0  # [mm] a narrower piece is a sliver; common practice, no source
LEAST_PART = 0.6  # of the side of a tile so small that the least width would leave nothing but whole ones; assumed
THIN = 2.6  # greatest joints: rows lower than this are thin
ODD = ("corner", "cut", "fan")
RING = 6.0  # greatest joints: what is free within a smaller ring may be no place for glass
ROOM = 1.2  # greatest joints: the radius of a blank that is told of; a crossing of joints holds 0.7


def lay_field(
    face: object,
    around: Layout,
    tile: Tile | float,
    joint: float,
    *,
    limits: Sequence[float] | None = None,
    pattern: str = "grid",
    angle: float | Sequence[float] = 0.0,
    search: str = "full",
    shift: Sequence[float] | None = None,
    tolerance: float = 0.3,
    least: float | None = None,
    centre_line: Sequence | None = None,
) -> Layout:
    """Fill what the rows leave of a face with a grid, cut against them at an even joint.

    Parameters
    ----------
    face : glass.Face or Polygon
        The face [mm].
    around : Layout
        The rows.
    tile : Tile or float
        The field's tile, or its side [mm].
    joint : float
        Joint within the field and to the rows [mm].
    limits : pair of float, optional
        Least and greatest joint; those of the rows if left out [mm].
    pattern : {"grid", "running bond"}
        Straight, or each second line half a tile out of step.
    angle : float or sequence of float
        Turn of the grid; of several the one that leaves the best pieces [degrees].
    search : {"none", "few", "full"}
        Whether the grid of each region that the rows close off lies balanced in it, or where it leaves the fewest pieces
        that are thin, small, sharp or hollow, places left open and joints to the rows that are too wide, and as balanced
        as that allows; where the region has level edges its joints are stretched within their limits.
    shift : pair of float or what `best_grids` found, optional
        Across and down of one grid through the whole face, where it is known [mm], or the grid of each region that the
        rows close off; nothing is searched then.
    tolerance : float
        How far a straight nip may lie off the even joint [mm]; never so far that the joint leaves its limits.
    least : float, optional
        Least width of a piece [mm]; 3 mm if left out, 0.6 of the side of a tile under 5 mm.
    centre_line : pair of points, optional
        A line through two points [mm] that the grid lies alike on both sides of. Where it is left out, a region that is its
        own mirror image is laid so by itself.

    Returns
    -------
    Layout
        The field alone; `join` makes one layout of rows and field. What is too small is reported as a gap.

    Examples
    --------
    >>> from mosaiclib.layout import lay_rows
    >>> face = shapely.box(0, -50, 120, 50)
    >>> field = lay_field(face, lay_rows([(0, 0), (120, 0)], dict(tile=20), 2, face), 20, 2)
    >>> field.pieces["kind"].isin(["whole", "cut"]).all()
    np.True_
    """
    outline, stock = read_outline(face), _stock(tile, around)
    known = [] if shift is None else _grids(shift)
    angle = known[0].angle if known and known[0].spot else angle
    once = bool(known) or search == "none"
    turns, kept = _read(outline, around, tile, joint, limits, pattern, angle, tolerance, least, centre_line, once)
    choice(search, "search", SEARCHES)
    where_known = (laid(region, _nearest(known, region), kept) for region in turns[0])
    found = list(where_known) if known else laid_best(turns, search, kept)
    turn, centre = found[0].grid.angle if found else 0.0, shapely.centroid(outline)
    cells = _together([one.cells for one in found])
    # points that lie on each other may cross once they are turned
    cells = cells._replace(shapes=shapely.remove_repeated_points(turned(cells.shapes, turn, centre), LOST))
    cells, near = _held_apart(cells, outline, around, stock, kept.joint, kept.width)
    table = _table(cells, stock, turn, centre)
    slivers = turned(np.concatenate([[], *(one.lost for one in found)]), turn, centre)
    gaps = _left_open([*slivers, *near], cells.shapes, outline, joint)
    return Layout(outline, cells.shapes, table, joint, kept.joint.least, kept.joint.greatest, stock, gaps)


def best_grids(
    face: object, around: Layout, tile: Tile | float, joint: float, *, search: str = "full", **more: object
) -> tuple[Grid, ...]:
    """Return the grids that `lay_field`, asked alike, would choose: one for each region that the rows close off."""
    turns, kept = _read(face, around, tile, joint, **more)
    choice(search, "search", SEARCHES)
    return tuple(one.grid for one in laid_best(turns, search, kept))


def _grids(shift: Sequence) -> list[Grid]:
    """Return the grids that are known: one through the whole face by its shift [mm], or those that `best_grids` found."""
    if isinstance(shift, Sequence) and len(shift) and all(isinstance(one, Grid) for one in shift):
        return list(shift)
    return [Grid(*(number(one, "shift", "mm") for one in several(shift, "shift of the grid", 2)))]


def _nearest(grids: Sequence[Grid], region: Frame) -> Grid:
    """Return the grid that fills a region, or the one that lies nearest to it."""
    if len(grids) == 1:
        return grids[0]._replace(angle=region.angle)
    spots = turned(shapely.points([one.spot for one in grids]), -region.angle, region.centre)
    return grids[int(np.argmin(shapely.distance(region.free, spots)))]


def _together(parts: Sequence[Cells]) -> Cells:
    """Return the pieces of all regions, rows from the top."""
    if not parts:
        return Cells(np.empty(0, dtype=object), *(np.empty(0, dtype=int) for _ in range(3)))
    cells = Cells(*(np.concatenate(column) for column in zip(*parts, strict=True)))
    order = np.lexsort((cells.column, cells.row))
    return Cells(*(column[order] for column in cells))


def _read(
    face,
    around,
    tile,
    joint,
    limits=None,
    pattern="grid",
    angle=0.0,
    tolerance=0.3,
    least=None,
    centre_line=None,
    once: bool = False,
) -> tuple[list[list[Frame]], Least]:
    """Check what was given; the regions for each turn, and what they must keep [mm]."""
    outline, stock = read_outline(face), _stock(tile, around)
    wide = number(joint, "joint", "mm", above=0, greatest=100)
    choice(pattern, "pattern", PATTERNS)
    turns = several(angle, "turns of the grid") if isinstance(angle, Sequence | np.ndarray) else [angle]
    if not 0 < len(turns) <= MOST_ANGLES:
        raise MosaicError(f"The turns of the grid must be from 1 to {MOST_ANGLES}; there are {len(turns)}.")
    turns = [number(one, "angle", "degrees", least=-360, greatest=360) for one in turns]
    x0, y0, x1, y1 = outline.bounds
    pitch = stock.side + wide
    not_too_many(math.ceil((x1 - x0) / pitch) * math.ceil((y1 - y0) / pitch), "The field")
    allowed = JointLimits.read(joint, (around.joint_min, around.joint_max) if limits is None else limits)
    usual = min(LEAST_WIDTH, LEAST_PART * stock.side)
    floor = usual if least is None else number(least, "least width", "mm", above=0, greatest=stock.side)
    nip = min(number(tolerance, "tolerance", "mm", least=0, greatest=5), 0.9 * max(0.0, 2 * allowed.slack))
    line = None if centre_line is None else CentreLine.read(centre_line)
    regions = [framed(outline, around, stock.side, wide, pattern, turn, not once, line) for turn in turns]
    return regions, Least(floor, nip, allowed)


def _stock(tile: Tile | float, around: Layout) -> Tile:
    """Return the field's tile, as thick as that of the rows if only its side is given."""
    return tile if isinstance(tile, Tile) else Tile(tile, read_layout(around, "layout of the rows").tile.thickness)


def _held_apart(cells: Cells, face, around: Layout, tile: Tile, limits: JointLimits, floor: float):
    """Cut back what would reach over the face or come too near a row or another piece, or leave it out.

    The cells, and what was left out.
    """
    shapes = cells.shapes.copy()
    shapely.prepare(face)
    cut = np.flatnonzero(shapely.area(shapes) < tile.side**2 - LOST)
    over = cut[~shapely.covers(face, shapes[cut])]
    shapes[over] = shapely.intersection(shapes[over], face)
    near = limits.least - CLOSE
    one, row = shapely.STRtree(around.shapes).query(shapes, predicate="dwithin", distance=near)
    lost = []
    for i in np.unique(one).tolist():
        kept = mitred(around.shapes[row[one == i]], limits.joint)
        lost.append(shapes[i])
        parts = shapely.get_parts(shapely.difference(shapes[i], shapely.union_all(kept)))
        shapes[i] = max((part for part in parts if isinstance(part, Polygon)), key=lambda p: p.area, default=Polygon())
    changed = np.unique(np.concatenate([over, one]).astype(int))
    small = ~shapely.is_empty(shapes[changed]) & too_small(shapes[changed], tile.side, floor)
    odd = shapely.get_num_interior_rings(shapes[changed]) > 0
    one, two = shapely.STRtree(shapes[cut]).query(shapes[cut], predicate="dwithin", distance=near)
    one, two = cut[one[one < two]], cut[two[one < two]]
    gone = np.where(shapely.area(shapes[one]) < shapely.area(shapes[two]), one, two)
    gone = np.unique(np.concatenate([changed[small | odd], gone]).astype(int))
    lost += shapes[gone].tolist()
    shapes[gone] = Polygon()
    kept = (shapely.get_type_id(shapes) == 3) & (shapely.area(shapes) > LOST)
    return Cells(shapes[kept], *(column[kept] for column in cells[1:])), lost


def _table(cells: Cells, tile: Tile, turn: float, centre: Point) -> pd.DataFrame:
    """Return the field's table; pieces are measured along the grid, which is turned about a point [degrees]."""
    area = shapely.area(cells.shapes)
    # a tile that gave room to a sliver is whole no more
    whole = area > tile.side**2 - LOST
    bounds = shapely.bounds(turned(cells.shapes, -turn, centre))
    hollow = ~whole
    hollow[hollow] = hollow_edges(cells.shapes[hollow])
    why = np.where(whole, "whole: in the field", "cut: against a row or the edge of the glass")
    why[hollow] = "cut: with an inward curve, hard to nip: split it in two, or grind it wet, with eye protection"
    return piece_table(
        len(area),
        band="field",
        row=cells.row,
        place=cells.column,
        kind=np.where(whole, "whole", "cut").astype(object),
        tile=tile.side,
        width=bounds[:, 2] - bounds[:, 0],
        height=bounds[:, 3] - bounds[:, 1],
        hollow=hollow,
        area=area,
        why=why.astype(object),
    )


def _left_open(slivers: list, shapes: np.ndarray, face: Polygon, joint: float) -> tuple[Gap, ...]:
    """Return what is left to the filler: what was too small for glass, with the joints round it."""
    tree, gaps = shapely.STRtree(shapes), []
    for place in shapely.intersection(shapely.buffer(np.array(slivers, dtype=object), joint), face):
        near = shapes[tree.query(place)]
        open_ = only_areas(shapely.difference(place, shapely.union_all(near)))
        if not open_.is_empty:  # a neighbour may have been grown over all of it
            gaps.append(Gap(open_, "too small for a piece of glass, left to the filler"))
    return tuple(gaps)


def join(rows: Layout, field: Layout) -> Layout:
    """Make one layout of rows and the field behind them, laid on the same face, rows first.

    Every gap wider than a joint has its reason.
    """
    _apart(read_layout(rows, "layout of the rows"), read_layout(field, "layout of the field"))
    shapes = np.concatenate([rows.shapes, field.shapes])
    pieces = pd.concat([rows.pieces, field.pieces], ignore_index=True)
    gaps = (*rows.gaps, *_reasoned(field.gaps, rows))
    if lowest_row(rows.pieces) < THIN * rows.joint_max:
        # beside rows so thin even a skew crossing of joints counts as a hole
        places = open_places(field.outline, shapes, rows.joint_max)
        gaps = _reasoned([Gap(place, "joints meet askew here") for _, place in places], rows)
    else:
        gaps = (*gaps, *_blanks(rows, field, shapes, gaps))
    return replace(field, shapes=shapes, pieces=pieces, spans=rows.spans, gaps=gaps)


def _blanks(rows: Layout, field: Layout, shapes: np.ndarray, told: Sequence[Gap]) -> tuple[Gap, ...]:
    """Return the places larger than a crossing of joints that nobody told of.

    They are looked for where a row was not laid as drawn, at corners and meetings, and where rows close to a ring.
    """
    most = rows.joint_max
    odd = rows.shapes[np.isin(rows.pieces["kind"].to_numpy(), ODD)]
    odd = odd[~shapely.dwithin(odd, shapely.boundary(field.outline), most)]  # what is free at the edge is the field's
    rings = shapely.polygons(shapely.get_rings(shapely.get_parts(rows.outline)))
    where = np.concatenate([odd, rings[shapely.area(rings) < (RING * most) ** 2]])
    if not _middles(where, 2 * ROOM * most, field.outline, shapes, ROOM * most):
        return ()
    # what is found may be the edge of a larger blank
    middles = shapely.get_parts(_middles(where, field.tile.side, field.outline, shapes, ROOM * most))
    known = shapely.union_all([gap.shape for gap in told])
    blanks = shapely.intersection(shapely.buffer(middles, ROOM * most), field.outline)
    near = np.unique(shapely.STRtree(shapes).query(blanks)[1])
    blanks = shapely.difference(shapely.difference(blanks, known), shapely.union_all(shapes[near]))
    untold = (shapely.area(blanks) > most**2) & ~shapely.covers(known, middles)
    words = "what is left here is too small for a piece of glass"
    return _reasoned([Gap(only_areas(blank), words) for blank in blanks[untold]], rows)


def _middles(where: np.ndarray, more: float, outline, shapes: np.ndarray, radius: float) -> BaseGeometry | None:
    """Return the middles of circles of a radius that hold no piece, so near to some shapes [mm]; None if there are none."""
    if not len(where):
        return None
    windows = shapely.box(*(shapely.bounds(where) + more * np.array([-1, -1, 1, 1])).T)
    near = np.unique(shapely.STRtree(shapes).query(windows, predicate="dwithin", distance=radius)[1])
    wide = shapely.union_all(shapely.buffer(shapes[near], radius, quad_segs=1))
    found = shapely.difference(shapely.intersection(shapely.union_all(windows), outline), wide)
    return None if found.area < LOST else found


def _apart(rows: Layout, field: Layout) -> None:
    """Refuse to join layouts that lie in each other."""
    one, two = shapely.STRtree(field.shapes).query(rows.shapes, predicate="intersects")
    shared = shapely.intersection(rows.shapes[one], field.shapes[two])
    worst = shapely.area(shared).argmax() if len(one) else 0
    if len(one) and shared[worst].area > LOST:
        spot = shared[worst].centroid
        raise MosaicError(
            *(
                "The two layouts overlap near ",
                mm(round(spot.x), round(spot.y), between=", "),
                "; lay the field round ",
            ),
            "the rows with lay_field, or move one of them.",
        )


def _reasoned(gaps: Sequence[Gap], rows: Layout) -> tuple[Gap, ...]:
    """Say what is the matter at gaps; a reported stretch of a row tells more than the field knows."""
    spots = [shapely.centroid(gap.shape) for gap in gaps]
    why = reasons(rows.spans, spots, rows.joint_max)
    return tuple(Gap(gap.shape, said or gap.why) for gap, said in zip(gaps, why, strict=True))
