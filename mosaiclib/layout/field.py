"""The background: a grid cut against the rows at an even joint, so that no sliver remains."""

__all__ = ["PATTERNS", "best_shift", "join", "lay_field"]

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pandas as pd
import shapely
from shapely import Polygon

from mosaiclib.errors import MosaicError, choice, instance, number, several
from mosaiclib.layout.layout import Gap, Layout, Tile, lowest_row, not_too_many, piece_table
from mosaiclib.layout.pieces import (
    LOST,
    Cells,
    Frame,
    least_widths,
    left_open,
    open_places,
    too_small,
    without_pinches,
    without_slivers,
)

PATTERNS = ("grid", "half bond")
SEARCHES = {"none": 1, "few": 3, "full": 6}  # shifts tried each way
LEAST_WIDTH = 3.0  # [mm] a narrower piece is a sliver; common practice, no source
LEAST_PART = 0.6  # of the side of a tile so small that the least width would leave nothing but whole ones; assumed
HOLLOW = 0.5  # [mm] an edge more hollow than this is hard to nip; common practice, no source
MOST_CORNERS = 1000  # of one part of the free area
LARGE = 1000  # squares of the grid
SLIVER = 2  # a sliver counts as this many thin pieces: most can be merged or shared
THIN_SHARE = 1 / 3  # of the tile: a narrower piece at the edge of the glass looks poor; common practice, no source
THIN = 2.6  # greatest joints: rows lower than this are thin


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
    pattern : {"grid", "half bond"}
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

    Raises
    ------
    MosaicError
        If a number is out of range, a word unknown, or there would be far too many pieces.

    Examples
    --------
    >>> from mosaiclib.layout.guide import arc
    >>> from mosaiclib.layout.rows import lay_rows
    >>> pane = shapely.box(-60, -60, 60, 60)
    >>> from mosaiclib.layout.guide import straight
    >>> rows = lay_rows(straight(120), [dict(tile=20)], 2, shapely.box(0, -50, 120, 50))
    >>> field = lay_field(shapely.box(0, -50, 120, 50), rows, 20, 2)
    >>> field.pieces["kind"].isin(["whole", "cut"]).all()
    np.True_
    """
    stock = _stock(tile, around)
    frame = _frame(face, around, stock, joint, pattern, angle)
    low, high = _limits(around, joint, limits)
    floor = _floor(stock) if least is None else number(least, "least width", "mm", above=0, greatest=stock.side)
    nip = number(tolerance, "tolerance", "mm", least=0, greatest=5)
    nip = min(nip, 0.9 * max(0.0, min(joint - low, high - joint)))
    chosen = _chosen_shift(frame, search, floor) if shift is None else _read_shift(shift)
    cells = _cells(frame, chosen)
    shapes = cells.shapes.copy()
    cut = np.flatnonzero(~cells.whole)
    shapes[cut] = _straightened(shapes[cut], nip)
    shapes, slivers = without_slivers(cells._replace(shapes=shapes), frame, floor)
    shapes, pinched = without_pinches(shapes, cells.whole, low)
    table, shapes = _table(cells, shapes, stock, frame)
    return Layout(frame.face, shapes, table, joint, low, high, stock, left_open(slivers + pinched, shapes, frame))


def _stock(tile: Tile | float, around: Layout) -> Tile:
    """Return the field's tile, as thick as that of the rows if only its side is given."""
    instance(around, Layout, "layout of the rows")
    return tile if isinstance(tile, Tile) else Tile(tile, around.tile.thickness)


def _floor(tile: Tile) -> float:
    """Return the least width of a piece where none is asked for [mm]."""
    return min(LEAST_WIDTH, LEAST_PART * tile.side)


def _limits(around: Layout, joint: float, limits: Sequence[float] | None) -> tuple[float, float]:
    """Return the limits of the joint [mm], those of the rows if none are given."""
    if limits is None:
        return around.joint_min, around.joint_max
    low, high = several(limits, "limits of the joint", 2)
    return (
        number(low, "least joint", "mm", least=0, greatest=joint),
        number(high, "greatest joint", "mm", least=joint, greatest=200),
    )


def _read_shift(shift: Sequence[float]) -> tuple[float, float]:
    """Return the shift of the grid across and down, checked [mm]."""
    across, down = (number(one, "shift", "mm") for one in several(shift, "shift of the grid", 2))
    return across, down


def _frame(face: object, around: Layout, tile: Tile, joint: float, pattern: str, angle: float) -> Frame:
    """Check what was given and work out the free area."""
    outline = getattr(face, "outline", face)
    if not isinstance(outline, Polygon) or outline.is_empty or not outline.is_valid:
        raise MosaicError("The face must be a glass face or a simple closed outline that does not cross itself.")
    wide = number(joint, "joint", "mm", above=0, greatest=100)
    choice(pattern, "pattern", PATTERNS)
    turn = number(angle, "angle", "degrees", least=-360, greatest=360)
    x0, y0, x1, y1 = outline.bounds
    not_too_many(math.ceil((x1 - x0) / (tile.side + wide)) * math.ceil((y1 - y0) / (tile.side + wide)), "The field")
    kept = shapely.buffer(around.outline, wide, join_style="mitre", mitre_limit=2.0)
    free = shapely.difference(outline, kept)
    shapely.prepare(free)
    # cutting costs as much as the area has corners, so each square is cut by the part it lies in
    count = max(1, int(shapely.get_num_coordinates(free) // MOST_CORNERS))
    step, over = (x1 - x0) / count, 3 * (tile.side + wide)
    left = x0 + np.arange(count) * step
    parts = (
        shapely.intersection(free, shapely.box(left - over, y0, left + step + over, y1))
        if count > 1
        else np.array([free])
    )
    return Frame(outline, free, parts, x0, step, tile.side, wide, pattern, turn)


def _boxes(frame: Frame, shift: Sequence[float], rim: np.ndarray | None = None) -> tuple[np.ndarray, ...]:
    """Return the squares of the shifted and turned grid over the face, with column and row, rows from the top.

    Only those near the points of `rim`, shape (n, 2) [mm], where it is given.
    """
    pitch = frame.side + frame.joint
    middle = shapely.centroid(frame.face)
    turned = shapely.affinity.rotate(frame.face, -frame.angle, middle)
    x0, y0, x1, y1 = turned.bounds
    left, top = x0 - pitch + shift[0] % pitch, y1 + pitch - shift[1] % pitch
    size = math.ceil((x1 - x0) / pitch) + 2, math.ceil((y1 - y0) / pitch) + 2
    if rim is None:
        row, column = np.divmod(np.arange(size[0] * size[1]), size[0])
    else:
        place = _turn(rim, -frame.angle, np.array([middle.x, middle.y]))
        column, row = _beside((place[:, 0] - left) / pitch, (top - place[:, 1]) / pitch, size)
    step = (row % 2) * pitch / 2 if frame.pattern == "half bond" else 0.0
    left, top = left + column * pitch - step, top - row * pitch
    boxes = shapely.box(left, top - frame.side, left + frame.side, top)
    if frame.angle:
        boxes = shapely.transform(boxes, lambda xy: _turn(xy, frame.angle, np.array([middle.x, middle.y])))
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
    area = shapely.area(shapes)
    order = np.lexsort((column[source], row[source]))
    whole = area > frame.side**2 - LOST
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
    """Return the shift of the field's grid with the fewest slivers, then the least cutting.

    Parameters
    ----------
    face, around, tile, joint, search, pattern, angle : see `lay_field`
        As for `lay_field`.

    Returns
    -------
    tuple of float
        Shift across and down, for `lay_field` [mm].

    Raises
    ------
    MosaicError
        As for `lay_field`.
    """
    stock = _stock(tile, around)
    return _chosen_shift(_frame(face, around, stock, joint, pattern, angle), search, _floor(stock))


def _chosen_shift(frame: Frame, search: str, least: float) -> tuple[float, float]:
    """Return the shift with the fewest slivers and thin pieces, then least cutting; the balanced grid goes first."""
    steps = SEARCHES[choice(search, "search", SEARCHES)]
    pitch = frame.side + frame.joint
    x0, y0, x1, y1 = frame.face.bounds
    balanced = tuple((size - frame.side) / 2 % pitch for size in (x1 - x0, y1 - y0))
    step = pitch / steps
    tried = [(balanced[0] + i * step, balanced[1] + j * step) for i in range(steps) for j in range(steps)]
    if len(tried) == 1:
        return tried[0]
    scores = []
    # only what is cut counts, and that lies at the edge of the free area; looking there alone pays on large faces
    large = frame.face.area > LARGE * pitch**2
    rim = shapely.get_coordinates(shapely.segmentize(shapely.boundary(frame.free), pitch / 4)) if large else None
    for shift in tried:
        cells = _cells(frame, shift, rim)
        cut = cells.shapes[~cells.whole]
        thin = int((least_widths(cut) < THIN_SHARE * frame.side).sum())
        slivers = int(too_small(cut, frame.side, least).sum())
        scores.append((SLIVER * slivers + thin, round(float(shapely.length(cut).sum()), 6)))
    return tried[min(range(len(tried)), key=scores.__getitem__)]


def _straightened(shapes: np.ndarray, nip: float) -> np.ndarray:
    """Replace the many short cuts along a row by straight nips."""
    if not nip or not len(shapes):
        return shapes
    straight = shapely.simplify(shapes, nip)
    sound = shapely.is_valid(straight) & (shapely.get_type_id(straight) == 3) & ~shapely.is_empty(straight)
    return np.where(sound, straight, shapes)


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
    hollow = shapely.area(shapely.convex_hull(final)) - area > HOLLOW * np.minimum(width, height) / 2
    why = np.where(whole, "whole: in the field", "cut: against a row or the edge of the glass")
    why = np.where(hollow & ~whole, "cut: with a hollow edge, hard to nip; grind it or split it in two", why)
    table = piece_table(
        len(kept),
        band="field",
        row=cells.row[kept],
        place=cells.column[kept],
        kind=np.where(whole, "whole", "cut"),
        tile=f"{tile.side:g} mm",
        width=width,
        height=height,
        area=area,
        why=why.astype(object),
    )
    return table, final


def join(rows: Layout, field: Layout) -> Layout:
    """Make one layout of rows and the field behind them; what stays open is reported.

    Parameters
    ----------
    rows, field : Layout
        As laid by `lay_rows` and `lay_field` on the same face.

    Returns
    -------
    Layout
        Rows first, then the field; every gap wider than a joint has its reason.
    """
    instance(rows, Layout, "rows")
    instance(field, Layout, "field")
    shapes = np.concatenate([rows.shapes, field.shapes])
    pieces = pd.concat([rows.pieces, field.pieces], ignore_index=True)
    gaps = (*rows.gaps, *(Gap(gap.shape, _reason(gap, rows)) for gap in field.gaps))
    if lowest_row(rows.pieces) < THIN * rows.joint_max:
        # beside rows so thin even a skew crossing of joints counts as a hole
        gaps = tuple(
            Gap(place, "joints meet askew here") for _, place in open_places(field.outline, shapes, rows.joint_max)
        )
        gaps = tuple(Gap(gap.shape, _reason(gap, rows)) for gap in gaps)
    return replace(field, shapes=shapes, pieces=pieces, spans=rows.spans, gaps=gaps)


def _reason(gap: Gap, rows: Layout) -> str:
    """Say what is the matter at a gap; a reported stretch of a row tells more than the field knows."""
    spot = shapely.centroid(gap.shape)
    for span in rows.spans:
        if span.reported and span.shape.distance(spot) < rows.joint_max:
            return span.why
    return gap.why
