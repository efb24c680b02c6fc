"""The background: a grid cut against the rows at an even joint, so that no sliver remains."""

__all__ = ["PATTERNS", "best_shift", "join", "lay_field"]

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np
import pandas as pd
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from mosaiclib.errors import choice, number, several
from mosaiclib.layout.joints import least_widths, open_places
from mosaiclib.layout.layout import (
    LOST,
    Gap,
    JointLimits,
    Layout,
    Tile,
    lowest_row,
    not_too_many,
    only_areas,
    piece_table,
    read_outline,
)
from mosaiclib.layout.pieces import CLOSE, merge_slivers

PATTERNS = ("grid", "running bond")
SEARCHES = {"none": 1, "few": 3, "full": 6}  # shifts tried each way
LEAST_WIDTH = 3.0  # [mm] a narrower piece is a sliver; common practice, no source
LEAST_PART = 0.6  # of the side of a tile so small that the least width would leave nothing but whole ones; assumed
LEAST_SHARE = 0.05  # of a tile's area; common practice, no source
HOLLOW = 0.5  # [mm] an edge more hollow than this is hard to nip; common practice, no source
MOST_CORNERS = 1000  # of one part of the free area
LARGE = 1000  # squares of the grid
SLIVER = 2  # a sliver counts as this many thin pieces: most can be merged or shared
THIN_SHARE = 1 / 3  # of the tile: a narrower piece at the edge of the glass looks poor; common practice, no source
THIN = 2.6  # greatest joints: rows lower than this are thin


class Cells(NamedTuple):
    """Pieces of the field, one entry each: shape [mm], column and row of its square, whether it is all of it."""

    shapes: np.ndarray
    column: np.ndarray
    row: np.ndarray
    whole: np.ndarray


class Frame(NamedTuple):
    """Where the field goes: face, free area whole and in overlapping parts, tile side and joint [mm], pattern, turn."""

    face: Polygon
    free: BaseGeometry
    parts: np.ndarray
    begin: float
    step: float
    side: float
    joint: float
    pattern: str
    angle: float

    def near(self, shapes: np.ndarray) -> np.ndarray:
        """Return for each shape a part of the free area that holds all of it, for cutting along a long wall."""
        x = shapely.get_x(shapely.centroid(shapes))
        return self.parts[np.clip(((x - self.begin) / self.step).astype(int), 0, len(self.parts) - 1)]

    @property
    def pitch(self) -> float:
        """From one tile to the next [mm]."""
        return self.side + self.joint


def lay_field(
    face: object,
    around: Layout,
    tile: Tile | float,
    joint: float,
    *,
    limits: Sequence[float] | None = None,
    pattern: str = "grid",
    angle: float = 0.0,
    search: str = "full",
    shift: Sequence[float] | None = None,
    tolerance: float = 0.3,
    least: float | None = None,
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
    angle : float
        Turn of the grid [degrees].
    search : {"none", "few", "full"}
        How many shifts of the grid are tried for the fewest slivers, then the least cutting.
    shift : pair of float, optional
        The grid's shift, where it is known; nothing is searched then [mm].
    tolerance : float
        How far a straight nip may lie off the even joint [mm]; never so far that the joint leaves its limits.
    least : float, optional
        Least width of a piece [mm]; 3 mm if left out, 0.6 of the side of a tile under 5 mm.

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
    stock = _stock(tile, around)
    frame = _frame(face, around, stock, joint, pattern, angle)
    asked = (joint, around.joint_min, around.joint_max)
    allowed = JointLimits(*asked) if limits is None else JointLimits.read(joint, limits)
    floor = _floor(stock) if least is None else number(least, "least width", "mm", above=0, greatest=stock.side)
    nip = number(tolerance, "tolerance", "mm", least=0, greatest=5)
    nip = min(nip, 0.9 * max(0.0, 2 * allowed.slack))
    chosen = _chosen_shift(frame, search, floor) if shift is None else several(shift, "shift of the grid", 2)
    cells = _cells(frame, [number(one, "shift", "mm") for one in chosen])
    cut = np.flatnonzero(~cells.whole)
    cells.shapes[cut] = _straightened(cells.shapes[cut], nip)
    shapes, slivers = _without_slivers(cells, frame, floor)
    shapes, pinched = _without_pinches(shapes, cells.whole, allowed.least)
    table, shapes = _table(cells, shapes, stock, frame)
    gaps = _left_open(slivers + pinched, shapes, frame)
    return Layout(frame.face, shapes, table, joint, allowed.least, allowed.greatest, stock, gaps)


def _stock(tile: Tile | float, around: Layout) -> Tile:
    """Return the field's tile, as thick as that of the rows if only its side is given."""
    return tile if isinstance(tile, Tile) else Tile(tile, around.tile.thickness)


def _floor(tile: Tile) -> float:
    """Return the least width of a piece where none is asked for [mm]."""
    return min(LEAST_WIDTH, LEAST_PART * tile.side)


def _frame(face: object, around: Layout, tile: Tile, joint: float, pattern: str, angle: float) -> Frame:
    """Check what was given and work out the free area."""
    outline = read_outline(face)
    wide = number(joint, "joint", "mm", above=0, greatest=100)
    choice(pattern, "pattern", PATTERNS)
    turn = number(angle, "angle", "degrees", least=-360, greatest=360)
    x0, y0, x1, y1 = outline.bounds
    pitch = tile.side + wide
    not_too_many(math.ceil((x1 - x0) / pitch) * math.ceil((y1 - y0) / pitch), "The field")
    kept = shapely.buffer(around.outline, wide, join_style="mitre", mitre_limit=2.0)
    free = shapely.difference(outline, kept)
    shapely.prepare(free)
    # cutting costs as much as the area has corners, so each square is cut by the part it lies in
    count = max(1, int(shapely.get_num_coordinates(free) // MOST_CORNERS))
    step, over = (x1 - x0) / count, 3 * pitch
    left = x0 + np.arange(count) * step
    windows = shapely.box(left - over, y0, left + step + over, y1)
    parts = shapely.intersection(free, windows) if count > 1 else np.array([free])
    return Frame(outline, free, parts, x0, step, tile.side, wide, pattern, turn)


def _boxes(frame: Frame, shift: Sequence[float], rim: np.ndarray | None = None) -> tuple[np.ndarray, ...]:
    """Return the squares of the shifted and turned grid over the face, with column and row, rows from the top.

    Only those near the points of `rim`, shape (n, 2) [mm], where it is given.
    """
    pitch, centre = frame.pitch, shapely.centroid(frame.face)
    middle = np.array([centre.x, centre.y])
    x0, y0, x1, y1 = shapely.affinity.rotate(frame.face, -frame.angle, centre).bounds
    left, top = x0 - pitch + shift[0] % pitch, y1 + pitch - shift[1] % pitch
    size = math.ceil((x1 - x0) / pitch) + 2, math.ceil((y1 - y0) / pitch) + 2
    if rim is None:
        row, column = np.divmod(np.arange(size[0] * size[1]), size[0])
    else:
        place = _turn(rim, -frame.angle, middle)
        column, row = _beside((place[:, 0] - left) / pitch, (top - place[:, 1]) / pitch, size)
    step = (row % 2) * pitch / 2 if frame.pattern == "running bond" else 0.0
    left, top = left + column * pitch - step, top - row * pitch
    boxes = shapely.box(left, top - frame.side, left + frame.side, top)
    if frame.angle:
        boxes = shapely.transform(boxes, lambda xy: _turn(xy, frame.angle, middle))
    return boxes, column, row


def _beside(across: np.ndarray, down: np.ndarray, size: tuple[int, int]) -> tuple[np.ndarray, np.ndarray]:
    """Return column and row of the squares round places counted in squares, half a square out of step or not."""
    here = np.floor(np.stack([across, down], axis=1)).astype(int)
    near = np.stack(np.meshgrid(np.arange(-1, 3), np.arange(-1, 2)), axis=-1).reshape(-1, 2)
    spots = np.unique((np.unique(here, axis=0)[:, None] + near).reshape(-1, 2), axis=0)
    column, row = spots[((spots >= 0) & (spots < size)).all(axis=1)].T
    return column, row


def _turn(xy: np.ndarray, angle: float, middle: np.ndarray) -> np.ndarray:
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    return (xy - middle) @ np.array([[c, s], [-s, c]]) + middle


def _cells(frame: Frame, shift: Sequence[float], rim: np.ndarray | None = None) -> Cells:
    """Return the pieces of the grid that lie in the free area, cut to it; a square may give several."""
    boxes, column, row = _boxes(frame, shift, rim)
    near = np.flatnonzero(shapely.intersects(frame.free, boxes))
    inner = shapely.covers(frame.free, boxes[near])
    cut = near[~inner]
    parts, owner = shapely.get_parts(shapely.intersection(boxes[cut], frame.near(boxes[cut])), return_index=True)
    solid = (shapely.get_type_id(parts) == 3) & (shapely.area(parts) > LOST)
    source = np.concatenate([near[inner], cut[owner[solid]]])
    shapes = np.concatenate([boxes[near[inner]], parts[solid]])
    order = np.lexsort((column[source], row[source]))
    whole = shapely.area(shapes) > frame.side**2 - LOST
    return Cells(shapes[order], column[source][order], row[source][order], whole[order])


def best_shift(
    face: object,
    around: Layout,
    tile: Tile | float,
    joint: float,
    *,
    search: str = "full",
    pattern: str = "grid",
    angle: float = 0.0,
) -> tuple[float, float]:
    """Return the shift across and down, for `lay_field`, with the fewest slivers, then the least cutting [mm]."""
    stock = _stock(tile, around)
    return _chosen_shift(_frame(face, around, stock, joint, pattern, angle), search, _floor(stock))


def _chosen_shift(frame: Frame, search: str, least: float) -> tuple[float, float]:
    """Return the shift with the fewest slivers and thin pieces, then least cutting; the balanced grid goes first."""
    steps = SEARCHES[choice(search, "search", SEARCHES)]
    pitch = frame.pitch
    x0, y0, x1, y1 = frame.face.bounds
    across, down = ((size - frame.side) / 2 % pitch for size in (x1 - x0, y1 - y0))
    step = pitch / steps
    tried = [(across + i * step, down + j * step) for i in range(steps) for j in range(steps)]
    if len(tried) == 1:
        return tried[0]
    # only what is cut counts, and that lies at the edge of the free area; looking there alone pays on large faces
    large = frame.face.area > LARGE * pitch**2
    rim = shapely.get_coordinates(shapely.segmentize(shapely.boundary(frame.free), pitch / 4)) if large else None
    return min(tried, key=lambda shift: _score(_cells(frame, shift, rim), frame, least))


def _score(cells: Cells, frame: Frame, least: float) -> tuple[float, float]:
    """Return how poor the cut pieces of a grid are: slivers and thin ones, then the length of cutting [mm]."""
    cut = cells.shapes[~cells.whole]
    width = least_widths(cut)
    slivers = ((width < least) | (shapely.area(cut) < LEAST_SHARE * frame.side**2)).sum()
    thin = (width < THIN_SHARE * frame.side).sum()
    return int(SLIVER * slivers + thin), round(float(shapely.length(cut).sum()), 6)


def _straightened(shapes: np.ndarray, nip: float) -> np.ndarray:
    """Replace the many short cuts along a row by straight nips."""
    if not nip or not len(shapes):
        return shapes
    straight = shapely.simplify(shapes, nip)
    sound = shapely.is_valid(straight) & (shapely.get_type_id(straight) == 3) & ~shapely.is_empty(straight)
    return np.where(sound, straight, shapes)


def _too_small(shapes: np.ndarray, side: float, least: float) -> np.ndarray:
    """Tell which pieces, shape (n,), are slivers: narrower than the least width or too small [mm]."""
    return (least_widths(shapes) < least) | (shapely.area(shapes) < LEAST_SHARE * side**2)


def _without_slivers(cells: Cells, frame: Frame, least: float) -> tuple[np.ndarray, list]:
    """Merge slivers with a neighbour or share both out; else leave them to the filler."""
    place: dict[tuple[int, int], list[int]] = {}
    keys = list(zip(cells.column.tolist(), cells.row.tolist(), strict=True))
    for i, key in enumerate(keys):
        place.setdefault(key, []).append(i)

    def round_about(i: int, steps: Sequence[tuple[int, int]]) -> list[int]:
        x, y = keys[i]
        return [j for dx, dy in steps for j in place.get((x + dx, y + dy), ())]

    def trim(hull: Polygon, i: int, j: int) -> Polygon | None:
        """Cut to the free area; refused where it would lose glass or come too near to others."""
        piece = shapely.intersection(hull, frame.near(np.array([hull]))[0])
        others = shapes[[k for k in round_about(i, near) if k not in (i, j) and not shapes[k].is_empty]]
        apart = shapely.distance(piece, others).min(initial=frame.joint)
        enough = piece.area > shapes[i].area + shapes[j].area - LOST
        return piece if isinstance(piece, Polygon) and enough and apart >= frame.joint - 1e-6 else None

    near = [(dx, dy) for dx in range(-2, 3) for dy in range(-2, 3)]
    turn, side = math.radians(frame.angle), np.array([frame.side, frame.side])
    axis = np.array([math.cos(turn), math.sin(turn)])
    shapes = cells.shapes.copy()
    _, lost = merge_slivers(
        shapes,
        np.flatnonzero(_too_small(shapes, frame.side, least)).tolist(),
        lambda i: round_about(i, [(0, 1), (0, -1), (1, 0), (-1, 0)]),
        lambda j: (axis, side),
        frame.joint,
        lambda pieces, i: not _too_small(np.array(pieces), frame.side, least).any(),
        trim,
    )
    return shapes, lost


def _without_pinches(shapes: np.ndarray, whole: np.ndarray, least: float) -> tuple[np.ndarray, list]:
    """Leave out the smaller of two parts of a square that nearly meet where a row pinches it in two."""
    cut = np.flatnonzero(~whole & ~shapely.is_empty(shapes))
    one, two = shapely.STRtree(shapes[cut]).query(shapes[cut], predicate="dwithin", distance=least - CLOSE)
    pair = one < two
    one, two = cut[one[pair]], cut[two[pair]]
    gone = np.unique(np.where(shapely.area(shapes[one]) < shapely.area(shapes[two]), one, two))
    lost = shapes[gone].tolist()
    shapes[gone] = Polygon()
    return shapes, lost


def _table(cells: Cells, shapes: np.ndarray, tile: Tile, frame: Frame) -> tuple[pd.DataFrame, np.ndarray]:
    """Return the field's table and the pieces that are left."""
    kept = np.flatnonzero(shapely.area(shapes) > LOST)
    final = shapes[kept]
    area = shapely.area(final)
    # a tile that gave room to a sliver is whole no more
    whole = area > frame.side**2 - LOST
    along = shapely.transform(final, lambda xy: _turn(xy, -frame.angle, np.zeros(2))) if frame.angle else final
    bounds = shapely.bounds(along)
    width, height = bounds[:, 2] - bounds[:, 0], bounds[:, 3] - bounds[:, 1]
    hollow = ~whole & (shapely.area(shapely.convex_hull(final)) - area > HOLLOW * np.minimum(width, height) / 2)
    why = np.where(whole, "whole: in the field", "cut: against a row or the edge of the glass")
    why = np.where(
        hollow, "cut: with an inward curve, hard to nip: split it in two, or grind it wet, with eye protection", why
    )
    table = piece_table(
        len(kept),
        band="field",
        row=cells.row[kept],
        place=cells.column[kept],
        kind=np.where(whole, "whole", "cut"),
        tile=tile.side,
        width=width,
        height=height,
        hollow=hollow,
        area=area,
        why=why.astype(object),
    )
    return table, final


def _left_open(slivers: list, shapes: np.ndarray, frame: Frame) -> tuple[Gap, ...]:
    """Return what is left to the filler: what was too small for glass, with the joints round it."""
    tree, gaps = shapely.STRtree(shapes), []
    for place in shapely.intersection(shapely.buffer(np.array(slivers, dtype=object), frame.joint), frame.face):
        near = shapes[tree.query(place)]
        open_ = only_areas(shapely.difference(place, shapely.union_all(near)))
        if not open_.is_empty:  # a neighbour may have been grown over all of it
            gaps.append(Gap(open_, "too small for a piece of glass, left to the filler"))
    return tuple(gaps)


def join(rows: Layout, field: Layout) -> Layout:
    """Make one layout of rows and the field behind them, laid on the same face, rows first.

    Every gap wider than a joint has its reason.
    """
    shapes = np.concatenate([rows.shapes, field.shapes])
    pieces = pd.concat([rows.pieces, field.pieces], ignore_index=True)
    gaps = (*rows.gaps, *(_reasoned(gap, rows) for gap in field.gaps))
    if lowest_row(rows.pieces) < THIN * rows.joint_max:
        # beside rows so thin even a skew crossing of joints counts as a hole
        places = open_places(field.outline, shapes, rows.joint_max)
        gaps = tuple(_reasoned(Gap(place, "joints meet askew here"), rows) for _, place in places)
    return replace(field, shapes=shapes, pieces=pieces, spans=rows.spans, gaps=gaps)


def _reasoned(gap: Gap, rows: Layout) -> Gap:
    """Say what is the matter at a gap; a reported stretch of a row tells more than the field knows."""
    spot = shapely.centroid(gap.shape)
    near = (span.why for span in rows.spans if span.reported and span.shape.distance(spot) < rows.joint_max)
    return Gap(gap.shape, next(near, gap.why))
