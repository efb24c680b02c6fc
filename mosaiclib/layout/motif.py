"""A motif: a closed outline filled with rows that follow its edge inwards, until the middle closes."""

__all__ = ["LEAST_WIDTH", "LEFT", "MIDDLES", "OPEN", "motif"]

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np
import pandas as pd
import shapely
from shapely import Polygon
from shapely.affinity import rotate

from mosaiclib.errors import MosaicError, choice, instance
from mosaiclib.layout.bezier import guide_along
from mosaiclib.layout.field import join, lay_field
from mosaiclib.layout.guide import Guide
from mosaiclib.layout.joints import least_widths, open_places
from mosaiclib.layout.layout import (
    FRACTIONS,
    LOST,
    Gap,
    JointLimits,
    Layout,
    Tile,
    mitred,
    not_too_many,
    only_areas,
    piece_table,
    read_outline,
)
from mosaiclib.layout.lines import outline_of
from mosaiclib.layout.pieces import keep_apart
from mosaiclib.layout.rows import lay_rows
from mosaiclib.layout.rowspec import Rows
from mosaiclib.units import mm

MIDDLES = {"piece": (0.25, 0.46), "fan": (0.45, 0.95), "field": (0.8, 1.6)}  # its half width over the tile's side
LEAST_WIDTH = 3.0  # [mm] a narrower piece is a sliver, as in a field
MOST_NIPPED = 0.2  # of its height a row may be lower, so that the middle closes; assumed
CORNER = 25.0  # [degrees] a row's line that turns more than this at once has a corner
FOLLOWED = 0.02  # [mm] within which a row follows the edge
OPEN = 1.5  # greatest joints: what is wider than this is told, not joints that meet askew
LEFT = "the rows meet here; what is left is too small for glass"


class Pitch(NamedTuple):
    """How rows share the width from the edge to the middle: height of a row, and joint to the next [mm]."""

    height: float
    joint: float


def motif(
    outline: object,
    tile: Tile | float,
    joint: float,
    *,
    fraction: str = "half",
    limits: Sequence[float] | None = None,
    middle: str = "piece",
) -> Layout:
    """Fill a closed outline with rows inwards from its edge until the middle closes.

    Parameters
    ----------
    outline : Polygon or closed Guide
        The motif's edge, without holes [mm].
    tile : Tile or float
        The tile, or its side [mm].
    joint : float
        Joint between pieces and between rows [mm].
    fraction : {"whole", "half", "third", "quarter"}
        What the rows' tiles are cut to.
    limits : pair of float, optional
        Least and greatest joint [mm]; 15 % either side of the joint if left out.
    middle : {"piece", "fan", "field"}
        One piece in the middle, or a line of them where it is long; pieces that run together in it; or a small grid.

    Returns
    -------
    Layout
        Rows are numbered inwards from 1; the middle is band "middle". The width that is left over is shared: joints
        between rows up to half as much wider as the limits allow, or rows up to a fifth lower. What cannot be glass is a gap.

    Examples
    --------
    >>> disc = motif(shapely.Point(0, 0).buffer(60, quad_segs=64), 20, 2)
    >>> disc.pieces.groupby("band").size().to_dict()["middle"], int(disc.pieces["row"].max())
    (1, 5)
    """
    edge = _read(outline)
    stock = instance(tile, Tile, "tile") if isinstance(tile, Tile) else Tile(tile, 4.0)
    choice(fraction, "fraction", FRACTIONS)
    choice(middle, "middle", MIDDLES)
    allowed = JointLimits.read(joint, limits)
    not_too_many(edge.area / stock.side**2 * 4, "This motif")
    row = Rows(stock, fraction)
    pitch = _pitch(edge, row, allowed, MIDDLES[middle])
    rings = _rings(edge, row, pitch, allowed, MIDDLES[middle][0] * stock.side)
    laid = _together(edge, rings, stock, allowed)
    if middle == "field" and rings:
        return _with_field(laid, rings)
    return _closed(laid, _middles(laid, middle, stock))


def _read(outline: object) -> Polygon:
    edge = outline_of(outline) if isinstance(outline, Guide) else read_outline(outline)
    if edge.interiors:
        raise MosaicError("The outline of a motif must not have holes.")
    return edge


def _depth(area: Polygon) -> float:
    """Return the radius of the largest circle in an area [mm]."""
    return shapely.maximum_inscribed_circle(area, tolerance=0.01).length


def _room(limits: JointLimits) -> float:
    """Return how far a straight edge may lie outside the curve that its row follows [mm]."""
    return (limits.joint - limits.least) / 2 + 2 * FOLLOWED


def _pitch(edge: Polygon, row: Rows, limits: JointLimits, wanted: tuple[float, float]) -> Pitch:
    """Return the rows' height and joint with which the middle gets the width that is wanted, with the least change."""
    depth, side = _depth(edge) - _room(limits), row.tile.side
    nipped = MOST_NIPPED if row.fraction != "whole" else 0.0
    least = Pitch((1 - nipped) * row.height, limits.joint)
    most = Pitch(row.height, (limits.joint + limits.greatest) / 2)
    usual = row.height + limits.joint
    low, high = (share * side for share in wanted)
    found = []
    for count in range(1, math.ceil(depth / sum(least)) + 1):
        each = min(max(usual, (depth - high) / count), (depth - low) / count)
        if sum(least) - 1e-9 <= each <= sum(most) + 1e-9:
            found.append((abs(each - usual), -count, each))
    each = min(found)[2] if found else usual
    between = min(max(each - row.height, least.joint), most.joint)
    return Pitch(min(row.height, each - between), between)


def _rings(edge: Polygon, row: Rows, pitch: Pitch, limits: JointLimits, least: float) -> list[Layout]:
    """Return the rows, one layout each, from the edge inwards; a row goes where a middle fits inside it."""
    rings: list[Layout] = []
    room = _room(limits)
    number, waiting = 0, _polygons(mitred(edge, -room, 3))
    spec = replace(row, nip_loss=row.height - pitch.height)
    while waiting:
        number, inside = number + 1, []
        for area in waiting:
            if _depth(area) < sum(pitch) + least - 1e-6:
                continue
            for line in _polygons(mitred(area, -spec.height / 2, 3)):
                face = mitred(area, room, 3) & edge
                rings += _ring(face, line, spec, limits, number)
            inside += _polygons(mitred(area, -spec.height - pitch.joint, 3))
        waiting = inside
    return rings


def _ring(area: Polygon, line: Polygon, spec: Rows, limits: JointLimits, number: int) -> list[Layout]:
    """Return the row along a line, numbered, or nothing where none can be laid."""
    points = np.array(shapely.remove_repeated_points(shapely.orient_polygons(line).exterior, 0.01).coords)
    thirds = np.linspace(0, 1, 4)[None, :, None]
    path = points[:-1, None] * (1 - thirds) + points[1:, None] * thirds
    try:
        guide = guide_along(path, closed=True, tolerance=FOLLOWED, corner=CORNER)
        laid = lay_rows(guide, spec, limits.joint, area, limits=(limits.least, limits.greatest))
    except MosaicError:  # so short a line that no piece goes on it: what is left is for the middle
        return []
    return [replace(laid, pieces=laid.pieces.assign(row=number))]


def _polygons(shape) -> list[Polygon]:
    return [part for part in shapely.get_parts(shape) if isinstance(part, Polygon) and part.area > LEAST_WIDTH**2]


def _together(edge: Polygon, rings: Sequence[Layout], stock: Tile, limits: JointLimits) -> Layout:
    """Return all rows as one layout, pieces of inner rows cut back from those of outer ones where they meet."""
    pieces = pd.concat([ring.pieces for ring in rings], ignore_index=True) if rings else piece_table(0)
    shapes = np.concatenate([ring.shapes for ring in rings]) if rings else np.empty(0, dtype=object)
    floor = np.full(len(shapes), LEAST_WIDTH)
    shapes, cut = keep_apart(shapes, pieces["row"].to_numpy(), limits.joint, limits.least, floor)
    pieces.loc[cut, ["kind", "why"]] = "cut", "cut: back from the row outside it"
    pieces["area"] = shapely.area(shapes)
    kept = shapely.area(shapes) > LOST
    pieces = pieces[kept].reset_index(drop=True)
    pieces["place"] = pieces.groupby("row").cumcount() + 1
    spans = tuple(span for ring in rings for span in ring.spans)
    return Layout(edge, shapes[kept], pieces, limits.joint, limits.least, limits.greatest, stock, spans=spans)


def _middles(laid: Layout, middle: str, stock: Tile) -> list[tuple[Polygon, str, str]]:
    """Return pieces for what the rows leave open: shape [mm], kind and why."""
    grown = shapely.union_all(mitred(laid.shapes, laid.joint, 3))
    left = shapely.difference(laid.outline, grown)
    wide = shapely.buffer(shapely.buffer(left, -LEAST_WIDTH / 2), LEAST_WIDTH / 2, join_style="mitre")
    found = []
    for area in _polygons(shapely.intersection(wide, left)):
        fill = _fan if middle == "fan" and _depth(area) > LEAST_WIDTH else _lined
        found += fill(shapely.simplify(area, 0.1), laid, stock)
    return [(part, *words) for shape, *words in found for part in _polygons(shape & laid.outline)]


def _lined(area: Polygon, laid: Layout, stock: Tile) -> list[tuple[Polygon, str, str]]:
    """Return an area in as few pieces as tiles give, cut square to its long side."""
    frame = np.array(shapely.minimum_rotated_rectangle(area).exterior.coords)
    sides = np.diff(frame[:3], axis=0)
    along = sides[int(np.argmax(np.hypot(*sides.T)))]
    angle = math.degrees(math.atan2(along[1], along[0]))
    level = rotate(area, -angle, origin=(0, 0))
    x0, y0, x1, y1 = level.bounds
    counts = [max(1, math.ceil((far + laid.joint) / (stock.side + laid.joint) - 1e-9)) for far in (x1 - x0, y1 - y0)]
    cells = shapely.box(*_cells(x0, y0, x1, y1, counts, laid.joint))
    parts = [part for cell in shapely.intersection(cells, level) for part in _polygons(cell)]
    why = "whole: one piece closes the middle" if len(parts) == 1 else "cut: one of a line that closes the middle"
    return [(rotate(part, angle, origin=(0, 0)), "cut", why.replace("whole", "cut")) for part in parts]


def _cells(x0: float, y0: float, x1: float, y1: float, counts: Sequence[int], joint: float) -> tuple[np.ndarray, ...]:
    """Return the sides of equal cells with a joint between: left, lower, right and upper, (n,) each [mm]."""
    wide, high = ((far + joint) / n for far, n in zip((x1 - x0, y1 - y0), counts, strict=True))
    i, j = (one.ravel() for one in np.meshgrid(np.arange(counts[0]), np.arange(counts[1])))
    return x0 + i * wide, y0 + j * high, x0 + (i + 1) * wide - joint, y0 + (j + 1) * high - joint


def _fan(area: Polygon, laid: Layout, stock: Tile) -> list[tuple[Polygon, str, str]]:
    """Return pieces that run together in the middle of a round area; a long one is filled with a line of pieces."""
    x0, y0, x1, y1 = area.bounds
    spot = shapely.centroid(area)
    reach = max(spot.hausdorff_distance(area), 1e-9)
    if max(x1 - x0, y1 - y0) > 1.5 * 2 * _depth(area) or reach > stock.side:
        return _lined(area, laid, stock)
    count = max(5, math.ceil(2 * math.pi * reach / (stock.side / 2 + laid.joint)))
    turns = 2 * math.pi * (np.arange(count) + 0.5) / count
    half = laid.joint / 2
    found = []
    for turn in turns:
        ahead, left = np.array([math.cos(turn), math.sin(turn)]), np.array([-math.sin(turn), math.cos(turn)])
        opened = math.pi / count
        tip = half / math.sin(opened)  # where two neighbours' joint lines meet
        blunt = tip + 1.0 / math.tan(opened)  # the point is cut off where it is 2 mm wide
        far = 2 * reach
        ends = [
            (d, side * ((d - tip) * math.tan(opened))) for d, side in ((blunt, -1), (far, -1), (far, 1), (blunt, 1))
        ]
        slice_ = Polygon([(spot.x, spot.y) + d * ahead + s * left for d, s in ends])
        found += [(part, "fan", "fan: they run together in the middle") for part in _polygons(area & slice_)]
    return found


def _with_field(laid: Layout, rings: Sequence[Layout]) -> Layout:
    """Return the rows with a small grid in the middle, and wherever else a piece of it goes."""
    covered = shapely.union_all([shapely.make_valid(ring.outline) for ring in rings])
    field = lay_field(laid.outline, replace(laid, outline=only_areas(covered)), laid.tile, laid.joint)
    return join(laid, field)


def _closed(laid: Layout, middles: Sequence[tuple[Polygon, str, str]]) -> Layout:
    """Return the rows with the pieces in the middle, and what is left open told."""
    found = np.empty(len(middles), dtype=object)
    found[:] = [shape for shape, _, _ in middles]
    sound = least_widths(found) >= LEAST_WIDTH - 1e-6 if len(found) else np.zeros(0, bool)
    found, told = found[sound], [one for one, fit in zip(middles, sound, strict=True) if fit]
    bounds = shapely.bounds(found).reshape(-1, 4)
    table = piece_table(
        len(found),
        band="middle",
        place=np.arange(1, len(found) + 1),
        kind=[kind for _, kind, _ in told],
        tile=laid.tile.side,
        width=bounds[:, 2] - bounds[:, 0],
        height=bounds[:, 3] - bounds[:, 1],
        area=shapely.area(found),
        why=[why for _, _, why in told],
    )
    shapes = np.concatenate([laid.shapes, found])
    if not len(shapes):
        depth = mm(round(2 * _depth(laid.outline), 1))
        raise MosaicError("No piece can be laid in this motif, which is ", depth, " wide. Take smaller tiles.")
    pieces = pd.concat([laid.pieces, table], ignore_index=True)
    places = [only_areas(place) for _, place in open_places(laid.outline, shapes, laid.joint_max)]
    told = [place for place in places if _widest(place) > OPEN * laid.joint_max]
    return replace(laid, shapes=shapes, pieces=pieces, gaps=tuple(Gap(place, LEFT) for place in told))


def _widest(place: shapely.Geometry) -> float:
    """Return the width of an open place at its widest [mm]."""
    return 2 * max((_depth(part) for part in shapely.get_parts(place)), default=0.0)
