"""A motif: a closed outline filled with rows that follow its edge inwards, until the middle closes."""

__all__ = ["OUTLINED", "blanks_told", "edge_line", "motif", "numbered_within", "rim"]

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np
import pandas as pd
import shapely
from shapely import MultiPolygon, Polygon

from mosaiclib.errors import MosaicError, choice, instance
from mosaiclib.layout.bezier import guide_along
from mosaiclib.layout.field import join, lay_field
from mosaiclib.layout.guide import Guide
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
from mosaiclib.layout.middles import LEAST_WIDTH, MIDDLES, Closer, areas_of, closers, depth_of
from mosaiclib.layout.pieces import keep_apart
from mosaiclib.layout.rows import lay_beneath, lay_rows
from mosaiclib.layout.rowspec import Rows
from mosaiclib.units import mm

OUTLINED = ("none", *FRACTIONS)  # what the tiles of a row outside the outline are cut to
MOST_NIPPED = 0.2  # of its height a row may be lower, so that the middle closes; assumed
CORNER = 25.0  # [degrees] a row's line that turns more than this at once has a corner
FOLLOWED = 0.02  # [mm] within which a row follows the edge
OPEN = 1.5  # greatest joints: what is wider than this is told, not joints that meet askew
BLUNT = 1.3  # times its distance a row outside a sharp tip comes to, before it turns
MOUTH = 0.7  # of a place's half width: rows go round it as if a neck that leads out of it were not there
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
    outlined: str = "none",
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
        One piece in the middle, or a line of them where it is long; pieces that run together in it, where it is round;
        or a small grid.
    outlined : {"none", "whole", "half", "third", "quarter"}
        What the tiles of one more row, outside the outline, are cut to.

    Returns
    -------
    Layout
        Rows are numbered inwards from 1, the row outside the outline among them; the middle is band "middle". The width
        that is left over is shared: joints between rows up to half as much wider as the limits allow, or rows up to a
        fifth lower. Where a neck is too narrow for two rows, one line of pieces goes through it. What cannot be glass is
        a gap.

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
    choice(outlined, "outline row", OUTLINED)
    allowed = JointLimits.read(joint, limits)
    not_too_many(edge.area / stock.side**2 * 4, "This motif")
    row = Rows(stock, fraction)
    pitch = _pitch(edge, row, allowed, MIDDLES[middle])
    rings = _rings(edge, row, pitch, allowed, MIDDLES[middle][0] * stock.side)
    laid = _together(edge, rings, stock, allowed)
    found = _with_field(laid, rings) if middle == "field" and rings else _closed(laid, closers(laid, middle))
    if not len(found):
        depth = mm(round(2 * depth_of(edge), 1))
        raise MosaicError("No piece can be laid in this motif, which is ", depth, " wide. Take smaller tiles.")
    if outlined != "none":
        round_it = rim(edge, Rows(stock, outlined), allowed)
        found = _both(round_it, numbered_within(found))
    return blanks_told(found)


def rim(
    edge: Polygon,
    row: Rows,
    limits: JointLimits,
    face: Polygon | None = None,
    free: Polygon | MultiPolygon | None = None,
) -> Layout:
    """Lay the row outside an outline, a joint away from it, on a face where it is free of what lies on top [mm]."""
    line = mitred(edge, limits.joint - _room(limits) / 2 + row.height / 2, BLUNT)
    guide = _along(Polygon(line.exterior))
    room = mitred(edge, 2 * (row.height + limits.joint), 3) if free is None else free
    return lay_beneath(guide, row, limits, face, only_areas(room - mitred(edge, limits.least, 3)))


def edge_line(edge: Polygon, deep: float = 0.0, limits: JointLimits | None = None) -> Guide:
    """Return the line on which rows of half a width `deep` go along an outline, just inside it [mm]; 0 is the outline itself.

    >>> line = edge_line(shapely.box(0, 0, 100, 80), 10, JointLimits.read(2))
    >>> round(line.length), line.corners
    (278, (0, 1, 2, 3))
    """
    whole = Polygon(edge.exterior)
    found = areas_of(mitred(whole, -deep - _room(limits), 3)) if deep else [whole]
    if not found:
        raise MosaicError("Rows along the edge fill more than the face; take fewer rows, or cut their tiles smaller.")
    return _along(max(found, key=shapely.area))


def numbered_within(laid: Layout) -> Layout:
    """Return a motif whose rows are numbered from 2, as a row goes round it."""
    row = laid.pieces["row"].to_numpy()
    spans = tuple(replace(span, row=span.row + 1) for span in laid.spans)
    return replace(laid, pieces=laid.pieces.assign(row=row + (row > 0)), spans=spans)


def _both(round_it: Layout, laid: Layout) -> Layout:
    """Return the row round a motif and the motif as one layout."""
    areas = shapely.union(round_it.outline, laid.outline)
    outline = shapely.union(areas, mitred(mitred(areas, laid.joint), -laid.joint))
    pieces = pd.concat([round_it.pieces, laid.pieces], ignore_index=True)
    shapes = np.concatenate([round_it.shapes, laid.shapes])
    more = {"gaps": (*round_it.gaps, *laid.gaps), "spans": (*round_it.spans, *laid.spans)}
    return replace(laid, outline=only_areas(outline), shapes=shapes, pieces=pieces, **more)


def _read(outline: object) -> Polygon:
    edge = outline_of(outline) if isinstance(outline, Guide) else read_outline(outline)
    if edge.interiors:
        raise MosaicError("The outline of a motif must not have holes.")
    return edge


def _room(limits: JointLimits) -> float:
    """Return how far a straight edge may lie outside the curve that its row follows [mm]."""
    return (limits.joint - limits.least) / 2 + 2 * FOLLOWED


def _pitch(edge: Polygon, row: Rows, limits: JointLimits, wanted: tuple[float, float]) -> Pitch:
    """Return the rows' height and joint with which the middle gets the width that is wanted, with the least change."""
    depth, side = depth_of(edge) - _room(limits), row.tile.side
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
    number, waiting = 0, areas_of(mitred(edge, -room, 3))
    spec = replace(row, nip_loss=row.height - pitch.height)
    while waiting:
        number, inside = number + 1, []
        for area in [part for one in waiting for part in _without_necks(one, spec.height + pitch.joint / 2)]:
            if depth_of(area) < sum(pitch) + least - 1e-6:
                continue
            for line in areas_of(mitred(area, -spec.height / 2, 3)):
                face = mitred(area, room, 3) & edge
                rings += _ring(face, line, spec, limits, number)
            inside += areas_of(mitred(area, -spec.height - pitch.joint, 3))
        waiting = inside
    return rings


def _without_necks(area: Polygon, half: float) -> list[Polygon]:
    """Return the places of an area that necks under a half width [mm] join, in which two rows do not go beside each other.

    A hand lays one line of whole pieces through a neck, and closes the rows on either side of it.
    """
    wide = areas_of(_opened(area, half) & area)
    narrow = areas_of(area - shapely.union_all(wide)) if len(wide) > 1 else []
    necks = [part for part in narrow if np.count_nonzero(shapely.distance(part, wide) < FOLLOWED) > 1]
    if not necks:
        return [area]
    neck, found = shapely.union_all(necks), []
    for place in areas_of(area - neck):
        mouths = [
            one for one in areas_of(place - _opened(place, MOUTH * depth_of(place))) if one.distance(neck) < FOLLOWED
        ]
        found += areas_of(place - shapely.union_all(mouths))
    return found


def _opened(area: Polygon, radius: float) -> shapely.Geometry:
    """Return what circles of a radius inside an area cover [mm]."""
    return shapely.buffer(shapely.buffer(area, -radius), radius)


def _along(line: Polygon) -> Guide:
    """Return the guide along the edge of an area."""
    points = np.array(shapely.remove_repeated_points(shapely.orient_polygons(line).exterior, 0.01).coords)
    thirds = np.linspace(0, 1, 4)[None, :, None]
    path = points[:-1, None] * (1 - thirds) + points[1:, None] * thirds
    return guide_along(path, closed=True, tolerance=FOLLOWED, corner=CORNER)


def _ring(area: Polygon, line: Polygon, spec: Rows, limits: JointLimits, number: int) -> list[Layout]:
    """Return the row along a line, numbered, or nothing where none can be laid."""
    try:
        laid = lay_rows(_along(line), spec, limits.joint, area, limits=(limits.least, limits.greatest))
    except MosaicError:  # so short a line that no piece goes on it: what is left is for the middle
        return []
    spans = tuple(replace(span, row=number) for span in laid.spans)
    return [replace(laid, pieces=laid.pieces.assign(row=number), spans=spans)]


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


def _with_field(laid: Layout, rings: Sequence[Layout]) -> Layout:
    """Return the rows with a small grid in the middle, and wherever else a piece of it goes."""
    covered = shapely.union_all([shapely.make_valid(ring.outline) for ring in rings])
    field = lay_field(laid.outline, replace(laid, outline=only_areas(covered)), laid.tile, laid.joint)
    return join(laid, field)


def _closed(laid: Layout, found: Sequence[Closer]) -> Layout:
    """Return the rows with the pieces in the middle."""
    shapes = np.array([one.shape for one in found], dtype=object)
    bounds = shapely.bounds(shapes).reshape(-1, 4)
    table = piece_table(
        len(found),
        band="middle",
        place=np.arange(1, len(found) + 1),
        kind=[one.kind for one in found],
        tile=laid.tile.side,
        width=bounds[:, 2] - bounds[:, 0],
        height=bounds[:, 3] - bounds[:, 1],
        area=shapely.area(shapes),
        why=[one.why for one in found],
    )
    pieces = pd.concat([laid.pieces, table], ignore_index=True)
    return replace(laid, shapes=np.concatenate([laid.shapes, shapes]), pieces=pieces)


def blanks_told(laid: Layout) -> Layout:
    """Tell of each place that holds a circle wider than joints that meet askew, and that nobody told of yet."""
    radius = OPEN * laid.joint_max / 2
    kept = shapely.union_all(shapely.buffer(laid.shapes, radius, quad_segs=4))
    told = shapely.union_all([gap.shape for gap in laid.gaps])
    middles = shapely.get_parts(shapely.difference(shapely.buffer(laid.outline, -radius), kept))
    tree, more = shapely.STRtree(laid.shapes), []
    for place in shapely.intersection(shapely.buffer(middles, radius), laid.outline):
        near = laid.shapes[tree.query(place)]
        open_ = only_areas(shapely.difference(place, shapely.union_all([*near, told])))
        if open_.area > radius**2 / 10:
            more.append(Gap(open_, LEFT))
    return replace(laid, gaps=(*laid.gaps, *more))
