"""Grids: which fit a span and what joint they leave, and a face laid with one.

| symbol | meaning |
|---|---|
| S | span, the length to be filled [mm] |
| a, n | side of the tile [mm], whole tiles in the row |
| j, e | joint, clear strip at each end [mm] |
"""

__all__ = [
    "BORDERS",
    "EDGE_RULES",
    "Border",
    "Fit",
    "balanced_border",
    "best_fit",
    "cells",
    "joint_fits",
    "lay_grid",
]

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import MultiPolygon, Polygon

from mosaiclib.errors import MosaicError, choice, number, several
from mosaiclib.layout.layout import (
    LOST,
    Gap,
    Layout,
    Tile,
    is_rectangle,
    not_too_many,
    piece_table,
    read_outline,
)
from mosaiclib.units import mm, text

EDGE_RULES = ("flush", "equal", "joint")
BORDERS = ("clear", "cut")
EXACT = 1e-9  # [mm] slack for spans that were added up from tiles and joints
LEAST_CUT = 3.0  # [mm] a thinner splinter is left to the filler; common practice, no source


@dataclass(frozen=True)
class Fit:
    """A number of tiles that fits a span, with the joint and the bare margin at each end that it leaves [mm]."""

    count: int
    joint: float
    edge: float


@dataclass(frozen=True)
class Border:
    """Whole tiles between two equal border pieces, 0 mm wide where there are none; "tile" or "joint" on the middle."""

    full: int
    border_width: float
    centred_on: str


def _sizes(span: float, tile: float | Tile, edge: float = 0.0) -> tuple[float, float, float]:
    """Return span, tile side and edge as checked numbers [mm]."""
    side = (tile if isinstance(tile, Tile) else Tile(tile, 4.0)).side
    whole = number(span, "span", "mm", above=0, greatest=100_000)
    strip = number(edge, "bare margin", "mm", least=0, greatest=100_000)
    room = whole - 2 * strip
    if room <= 0:
        raise MosaicError("Bare margins of ", mm(strip), " at both ends leave nothing of ", mm(whole), ".")
    if side > room + EXACT:
        raise MosaicError("A tile of ", mm(side), " does not go into ", mm(room), "; take a smaller tile.")
    return whole, side, strip


def _limits(joint_min: float, joint_max: float) -> tuple[float, float]:
    least = number(joint_min, "least joint", "mm", least=0, greatest=100_000)
    greatest = number(joint_max, "greatest joint", "mm", least=0, greatest=100_000)
    if least > greatest:
        raise MosaicError("The least joint, ", mm(least), ", is over the greatest, ", mm(greatest), "; swap them.")
    return least, greatest


def joint_fits(
    span: float, tile: float | Tile, joint_min: float, joint_max: float, edge: float | str = 0.0
) -> list[Fit]:
    """List the numbers of whole tiles whose joint comes out within limits, fewest first; empty if none.

    j = (S - 2 e - n a)/(n - 1); with one joint of bare margin, j = (S - n a)/(n + 1).

    Parameters
    ----------
    span : float
        Length S to be filled [mm].
    tile : float or Tile
        Tile, or its side a [mm].
    joint_min, joint_max : float
        Limits of the joint [mm].
    edge : float or "joint"
        Clear strip e at each end [mm], or one joint of bare margin.

    Returns
    -------
    list of Fit
        Count, joint and edge.

    Examples
    --------
    >>> joint_fits(300, 20, 1, 3)
    [Fit(count=14, joint=1.5384615384615385, edge=0.0)]
    >>> joint_fits(300, 20, 0.5, 1.5, edge="joint")
    [Fit(count=14, joint=1.3333333333333333, edge=1.3333333333333333)]
    """
    least, greatest = _limits(joint_min, joint_max)
    open_ended = isinstance(edge, str) and edge == "joint"
    S, a, e = _sizes(span, tile, 0.0 if open_ended else edge)
    fits = []
    for n in range(1, int((S + EXACT) // a) + 1):
        spaces = n + 1 if open_ended else n - 1
        if spaces and (j := (S - 2 * e - n * a) / spaces) >= least - EXACT and j <= greatest + EXACT:
            j = max(j, 0.0)
            fits.append(Fit(n, j, j if open_ended else e))
    return fits


def best_fit(
    span: float,
    tile: float | Tile,
    joint: float,
    joint_min: float,
    joint_max: float,
    edge_rule: str = "equal",
) -> Fit:
    """Choose the number of tiles for a span under an edge rule: the fit whose joint is nearest the wanted one [mm].

    "flush" with the edge; "equal", the wanted joint and an equal bare margin at both ends; or one "joint" of clear
    edge. Where nothing fits the sentence says which joints would.

    >>> best_fit(200, 20, 2, 1, 3, "equal")
    Fit(count=9, joint=2.0, edge=2.0)
    >>> best_fit(200, 20, 2, 1, 2, "flush")
    Traceback (most recent call last):
    mosaiclib.errors.MosaicError: No whole number of 20 mm tiles fills 200 mm with a joint of 1 to 2 mm: \
10 tiles leave 0 mm, 9 tiles leave 2.5 mm. Widen the joint limits to include one of these, or choose another edge rule.
    """
    rule = choice(edge_rule, "edge rule", EDGE_RULES)
    least, greatest = _limits(joint_min, joint_max)
    wanted = number(joint, "joint", "mm", least=least, greatest=greatest)
    whole, side, _ = _sizes(span, tile)
    if rule == "equal":
        count = int((whole + wanted + EXACT) // (side + wanted))
        return Fit(count, wanted, max(0.0, (whole + wanted - count * (side + wanted)) / 2))
    fits = joint_fits(whole, side, least, greatest, "joint" if rule == "joint" else 0.0)
    if fits:
        return min(fits, key=lambda fit: abs(fit.joint - wanted))
    if rule == "flush" and abs(whole - side) <= EXACT:
        return Fit(1, wanted, 0.0)
    raise _nothing_fits(whole, side, least, greatest, rule)


def _nothing_fits(span: float, side: float, least: float, greatest: float, rule: str) -> MosaicError:
    """Say which joints the counts on either side of the limits would leave."""
    every = joint_fits(span, side, 0, span, "joint" if rule == "joint" else 0.0)
    # rounded outwards, so that a limit typed as the sentence says it lets the tiles in
    tight = [(fit.count, math.floor(fit.joint * 100 + EXACT)) for fit in every if fit.joint < least][:1]
    wide = [(fit.count, math.ceil(fit.joint * 100 - EXACT)) for fit in every if fit.joint > greatest][-1:]
    words = [
        text(", " * (k > 0), f"{n} tile{'s' * (n > 1)} leave{'s' * (n == 1)} ", mm(joint / 100))
        for k, (n, joint) in enumerate(tight + wide)
    ]
    return MosaicError(
        *("No whole number of ", mm(side), " tiles fills ", mm(span), " with a joint of ", mm(least, greatest), ": "),
        *(words or ["one tile leaves no joint at all"]),
        ". Widen the joint limits to include one of these, or choose another edge rule.",
    )


def balanced_border(span: float, tile: float | Tile, joint: float) -> Border:
    """Share a span between whole tiles and two equal border pieces, none under half a tile.

    With n whole tiles the border is (S - n a - (n + 1) j)/2. A tile or a joint on the
    middle of the span gives two such n, one apart; the larger border is kept. Where only a border as
    wide as a tile, or wider by less than a joint, would do, the row is of whole tiles.

    Parameters
    ----------
    span : float
        Length S to be filled [mm].
    tile : float or Tile
        Tile, or its side a [mm].
    joint : float
        Joint j [mm].

    Returns
    -------
    Border
        Whole tiles, width of each border piece [mm] and what the row is centred on.

    References
    ----------
    No cut under half a tile, centred and balanced: ANSI A108.02 clauses 4.3.1 and 4.3.2, read
    second-hand.

    Examples
    --------
    >>> balanced_border(200, 20, 2)
    Border(full=8, border_width=11.0, centred_on='joint')
    """
    S, a, _ = _sizes(span, tile)
    j = number(joint, "joint", "mm", least=0, greatest=100_000)
    most = int((S + j + EXACT) // (a + j))
    for n in range(max(most - 2, 0), most + 1):  # fewest whole tiles first: the widest border
        border = (S - n * a - (n + 1) * j) / 2
        if a / 2 - EXACT <= border <= a - EXACT:
            return Border(n, border, "tile" if n % 2 else "joint")
    return Border(most, 0.0, "tile" if most % 2 else "joint")


def lay_grid(
    face,
    tile: float | Tile,
    joint: float | Sequence[float],
    *,
    border: str = "clear",
    limits: Sequence[float] | None = None,
    edge: Sequence[float] | None = None,
) -> Layout:
    """Lay a straight grid of tiles on a face: pieces in rows from the top, each from the left.

    Parameters
    ----------
    face : glass.Face or Polygon
        The face to be covered [mm].
    tile : Tile or float
        Tile, or its side [mm]; a bare side is taken as 4 mm thick.
    joint : float or pair
        Joint, or (across, down) [mm].
    border : {"clear", "cut"}
        What is left over is an equal bare margin, or balanced border pieces are cut.
    limits : pair, optional
        Least and greatest joint [mm]; the joint itself if left out.
    edge : pair, optional
        Clear edge at the sides, and at top and bottom, where the fit is known [mm].

    Returns
    -------
    Layout
        What no whole tile fits is told as a gap.

    Examples
    --------
    >>> len(lay_grid(shapely.box(0, 0, 300, 200), 20, 2))
    117
    >>> lay_grid(shapely.box(0, 0, 300, 200), 20, 2, border="cut").pieces["kind"].value_counts().to_dict()
    {'whole': 96, 'cut': 44}
    """
    choice(border, "border", BORDERS)
    outline = read_outline(face)
    stock = tile if isinstance(tile, Tile) else Tile(tile, 4.0)
    across, down = _read_joint(joint)
    least, greatest = _grid_limits(limits, across, down)
    sides, ends = (None, None) if edge is None else several(edge, "bare margin", 2)
    if border == "cut" and edge is not None:
        raise MosaicError("Balanced border pieces reach the edge; leave out the bare margin, or the cuts.")
    x0, y0, x1, y1 = outline.bounds
    left, width = cells(x1 - x0, stock.side, across, border, sides)
    low, height = cells(y1 - y0, stock.side, down, border, ends)
    not_too_many(len(left) * len(low), "This grid")
    boxes, column, row = _boxes(x0 + left, width, y0 + low, height)
    shapes, kept = _inside(boxes, outline, border)
    table = _grid_table(shapes, kept, column, row, getattr(face, "name", "face"), stock, (across, down))
    gaps = _clear_edge(outline, shapes, max(across, down))
    return Layout(outline, shapes, table, across, least, greatest, stock, gaps)


def _read_joint(joint: float | Sequence[float]) -> tuple[float, float]:
    """Return the joint (across, down) from one number or a pair [mm]."""
    pair = several(joint, "joint") if np.ndim(joint) else (joint, joint)
    if len(pair) != 2:
        raise MosaicError("The joint must be one number, or two: across and down.")
    across, down = (number(j, "joint", "mm", least=0, greatest=100) for j in pair)
    return across, down


def _grid_limits(limits: Sequence[float] | None, across: float, down: float) -> tuple[float, float]:
    """Return the limits of the joint [mm], which the joints of the grid must keep."""
    if limits is None:
        return min(across, down), max(across, down)
    least, greatest = _limits(*several(limits, "limits of the joint", 2))
    if min(across, down) < least - EXACT or max(across, down) > greatest + EXACT:
        joints, limits = (mm(across), " across and ", mm(down), " down"), mm(least, greatest, between=" and ")
        raise MosaicError("The joint, ", *joints, ", must lie between ", limits, ".")
    return least, greatest


def cells(span: float, side: float, joint: float, border: str, edge: float | None) -> tuple[np.ndarray, np.ndarray]:
    """Return where the cells of one direction begin and how wide they are [mm]."""
    whole, _, strip = _sizes(span, side, 0.0 if edge is None else edge)
    plan = balanced_border(whole, side, joint) if border == "cut" else Border(0, 0.0, "")
    if plan.border_width:
        widths = np.array([plan.border_width, *[side] * plan.full, plan.border_width])
        return np.concatenate([[0], np.cumsum(widths[:-1] + joint)]), widths
    count = math.floor((whole - 2 * strip + joint + EXACT) / (side + joint))
    start = (whole + joint - count * (side + joint)) / 2
    return start + np.arange(count) * (side + joint), np.full(count, side)


def _boxes(left, width, low, height):
    """Return all boxes of the grid, with the column and row of each, rows from the top."""
    column, row = np.meshgrid(np.arange(len(left)), np.arange(len(low)))
    column, row = column.ravel(), row.ravel()
    up = len(low) - 1 - row
    corner = left[column], low[up], left[column] + width[column], low[up] + height[up]
    return shapely.box(*corner), column, row


def _inside(boxes: np.ndarray, outline: Polygon, border: str) -> tuple[np.ndarray, np.ndarray]:
    """Return the boxes kept on the face, cut to it where cuts are allowed, and which were kept."""
    if is_rectangle(outline):
        return boxes, np.arange(len(boxes))
    if border == "clear":
        room = outline.buffer(EXACT, join_style="mitre")
        shapely.prepare(room)
        kept = np.flatnonzero(shapely.covers(room, boxes))
        shapes = boxes[kept]
    else:  # a cell on a bay of the outline falls into several pieces
        cut, which = shapely.get_parts(shapely.intersection(boxes, outline), return_index=True)
        sound = (shapely.get_type_id(cut) == 3) & ~shapely.is_empty(shapely.buffer(cut, -LEAST_CUT / 2))
        shapes, kept = cut[sound], which[sound]
    if not len(kept):
        raise MosaicError("No tile fits inside this outline; take a smaller tile.")
    return shapes, kept


def _grid_table(shapes, kept, column, row, name, tile, joints):
    """Return the table of a grid's pieces, with one sentence a piece."""
    bounds = shapely.bounds(shapes)
    width, height = bounds[:, 2] - bounds[:, 0], bounds[:, 3] - bounds[:, 1]
    area = shapely.area(shapes)
    whole = area > tile.side**2 - LOST
    why = np.where(whole, f"whole: joints of {joints[0]:.2f} mm across and {joints[1]:.2f} mm down", "")
    why = why.astype(object)
    for i in np.flatnonzero(~whole):
        why[i] = f"cut: a border piece, {width[i]:.1f} x {height[i]:.1f} mm, so that both sides are alike"
    return piece_table(
        len(shapes),
        face=name,
        band="field",
        row=row[kept] + 1,
        place=column[kept] + 1,
        kind=np.where(whole, "whole", "cut"),
        tile=tile.side,
        width=width,
        height=height,
        area=area,
        why=why,
    )


def _clear_edge(outline: Polygon, shapes: np.ndarray, joint: float) -> tuple[Gap, ...]:
    """Return the strip round the tiles that stays without glass, where it is wider than nothing."""
    strip = outline.difference(shapely.box(*shapely.total_bounds(shapes)))
    if not is_rectangle(outline):
        strip = outline.difference(_grown_rows(shapes, joint))
    if strip.area < LOST:
        return ()
    return (Gap(strip, "bare margin: no whole tile fits here"),)


def _grown_rows(shapes: np.ndarray, joint: float) -> Polygon | MultiPolygon:
    """Return what whole tiles in rows cover with their joints, each run of them as one box [mm]."""
    if not (shapely.get_num_coordinates(shapes) == 5).all():  # pieces that were cut to the outline
        return shapely.union_all(shapely.buffer(shapes, joint, join_style="mitre"))
    bounds = shapely.bounds(shapes)
    bounds = bounds[np.lexsort((bounds[:, 0], bounds[:, 1].round(6)))]
    begins = np.append(True, (np.diff(bounds[:, 1]) > EXACT) | (bounds[1:, 0] - bounds[:-1, 2] > 2 * joint + EXACT))
    first = np.flatnonzero(begins)
    runs = np.column_stack([bounds[first, :2], np.maximum.reduceat(bounds[:, 2], first), bounds[first, 3]])
    return shapely.union_all(shapely.box(*(runs + joint * np.array([-1, -1, 1, 1])).T))
