"""Lines that go once round a face and close on themselves across its seam, and the field of courses behind them."""

__all__ = ["closed_round", "continued", "course_field", "laid_round", "line_on"]

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import pandas as pd
import shapely
from shapely import Polygon

from mosaiclib.errors import MosaicError
from mosaiclib.glass import Edge, Face, Seam
from mosaiclib.layout.courses import FLUSH, lay_courses, ring_strip
from mosaiclib.layout.cutting import unhollowed
from mosaiclib.layout.guide import Guide
from mosaiclib.layout.joints import open_places
from mosaiclib.layout.layout import LOST, Gap, JointLimits, Layout, Tile, mitred, only_areas
from mosaiclib.layout.pieces import CLOSE
from mosaiclib.layout.remains import too_small
from mosaiclib.layout.seams import across

STEP = 2.0  # [mm] of a line that is laid onto a cone
MEETS = 1.0  # [mm] so near a line's end comes to its beginning, once round, if it is meant to close
MORE = 0.2  # of a round: how far a line that closes is followed beyond the seam
LEVEL = (
    0.97  # of the strip from their lowest to their highest corner: rows that cover so much of it, with joints, go level
)
MADE_WHOLE = 0.02  # of a tile: by how much two halves with their joint may be larger
ACROSS = "whole: it lies across the seam"
LEAST_WIDTH = 3.0  # [mm] a narrower piece is a sliver; common practice, no source


def line_on(face: Face, guide: Guide) -> Guide:
    """Return a line given by the way along a face's foot and the way up from there [mm] as it lies on the strip."""
    s = _stops(guide)
    corners = np.searchsorted(s, [part.s0 for part in guide.parts[1:]]) if guide.corners else []
    points = guide.at(s[:-1] if guide.closed else s)
    return Guide(face.edge.at(*points.T), guide.closed, np.unique(corners).tolist())


def _stops(guide: Guide) -> np.ndarray:
    """Return stations along a line, its corners among them [mm]."""
    even = np.linspace(0.0, guide.length, max(8, math.ceil(guide.length / STEP)) + 1)
    corners = [part.s0 for part in guide.parts[1:]]
    return np.unique(np.concatenate([even, corners]).round(9))


def closed_round(face: Face, guide: Guide, joint: float) -> Guide:
    """Return a line that goes once round a face as one whose rows end half a joint from the seam on both sides [mm].

    Its ends run as if it went on across the seam, so that last and first piece stand a joint apart. Another line stays as it is.
    """
    edge, ends = face.edge, np.array([0.0, guide.length])
    if guide.closed:
        return guide
    s, v = edge.place(guide.at(ends))
    if abs(abs(s[1] - s[0]) - edge.length) > MEETS or abs(v[1] - v[0]) > MEETS:
        return guide
    stops = np.linspace(0.0, guide.length, max(24, math.ceil(guide.length / STEP)) + 1)
    way, up = edge.place(guide.at(stops))
    up = up - (up[-1] - up[0]) * np.linspace(0.0, 1.0, len(up))  # what a hand left between its ends
    turn = way[-1] - way[0]
    more = math.ceil(MORE * len(stops))
    way = np.concatenate([way[-more - 1 : -1] - turn, way, way[1 : more + 1] + turn])
    up = np.concatenate([up[-more - 1 : -1], up, up[1 : more + 1]])
    long = Guide(edge.at(way, up))
    reach = np.linspace(0.0, long.length, 20 * len(way))
    along = edge.place(long.at(reach))[0] * math.copysign(1.0, turn)
    begin, end = np.interp(np.array([0.0, 1.0]) * abs(turn) + way[more] * math.copysign(1.0, turn), along, reach)
    return Guide(long.at(np.linspace(begin + joint / 2, end - joint / 2, len(stops))))


def continued(face: Face) -> Polygon:
    """Return a face that closes on itself with what lies behind its seam on both sides, a fifth of the way round each [mm]."""
    edge = face.edge
    begin = Edge(
        *edge.at(-MORE * edge.length).tolist(), float(edge.heading_at(-MORE * edge.length)), edge.curvature, 0.0
    )
    long = Edge(begin.x, begin.y, begin.heading, edge.curvature, (1 + 2 * MORE) * edge.length)
    return ring_strip(long, 0.0, face.deep)


def laid_round(
    face: Face, rows: Layout, tile: Tile, limits: JointLimits, field: bool, courses: Mapping[str, str]
) -> Layout:
    """Return rows on a face that closes on itself, halves at its seam made whole, with the courses behind them."""
    closing = [
        Seam(face.edge.across(0.0, 0.0, face.deep), face.edge.across(face.edge.length, 0.0, face.deep), ("", ""), True)
    ]
    whole = _made_whole(replace(rows, outline=face.outline), closing[0])
    if not field:
        return whole
    around = across(replace(whole, seams=closing, pieces=whole.pieces.assign(face="")), 2 * tile.side).layout
    behind = course_field(face, around, tile, limits, **courses)
    shapes, pieces = (
        np.concatenate([whole.shapes, behind.shapes]),
        pd.concat([whole.pieces, behind.pieces], ignore_index=True),
    )
    laid = replace(whole, shapes=shapes, pieces=pieces.assign(face=""), gaps=(*whole.gaps, *behind.gaps), seams=closing)
    return replace(laid, gaps=(*laid.gaps, *_untold(laid)), seams=())


def _untold(laid: Layout) -> list[Gap]:
    """Return the places between rows and courses that are wider than a joint and were not told of."""
    shown = across(laid, 2 * laid.tile.side).layout.shapes
    told = shapely.union_all([gap.shape for gap in laid.gaps])
    places = [only_areas(place - told) for _, place in open_places(laid.outline, shown, laid.joint_max)]
    wide = [
        one for one in places if not one.is_empty and shapely.maximum_inscribed_circle(one).length > laid.joint_max / 2
    ]
    return [Gap(place, "what is left here is too small for a piece of glass") for place in wide]


def _made_whole(rows: Layout, seam: Seam) -> Layout:
    """Return rows with two cut pieces that meet at the seam made one, where one tile gives them both."""
    table, shapes, gone = rows.pieces.copy(), rows.shapes.copy(), []
    for _, mine in table.groupby(["line", "row"]).groups.items():
        ends = [table.index.get_loc(mine[0]), table.index.get_loc(mine[-1])]
        if len(mine) < 3 or set(table["kind"].iloc[ends]) != {"cut"}:
            continue
        near, far = sorted(ends, key=lambda k: seam.one.line.distance(shapes[k]))
        both = shapely.convex_hull(shapely.union(seam.moved(shapes[[near]])[0], shapes[far]))
        most = float(shapely.area(shapes[table.index.get_indexer(mine[1:-1])]).max())
        if both.area <= most * (1 + MADE_WHOLE):
            shapes[far], gone = both, [*gone, near]
            table.iloc[far, [table.columns.get_loc(name) for name in ("kind", "area", "why")]] = (
                "whole",
                both.area,
                ACROSS,
            )
            table.iloc[far, table.columns.get_loc("width")] = float(
                table["width"].iloc[table.index.get_indexer(mine[1:-1])].max()
            )
    kept = np.setdiff1d(np.arange(len(shapes)), gone)
    return replace(rows, shapes=shapes[kept], pieces=table.iloc[kept].reset_index(drop=True))


def course_field(face: Face, around: Layout, tile: Tile, limits: JointLimits, **courses: str) -> Layout:
    """Return the courses behind rows on a face that closes on itself, cut back from them; what is too small is a gap.

    Where the rows go level all round, what is left over and under them is laid by itself, so that nothing is cut round them.
    """
    edge, rows = face.edge, mitred(around.shapes, limits.joint)
    _, v = edge.place(shapely.get_coordinates(around.shapes))
    low, high = float(v.min()) - limits.joint, float(v.max()) + limits.joint
    taken = min(high, face.deep) - max(low, 0.0)
    spans = [(0.0, face.deep)]
    if (
        float(shapely.area(rows).sum()) > LEVEL * ring_strip(edge, max(low, 0.0), min(high, face.deep)).area
        and taken > 0
    ):
        spans = [span for span in ((0.0, low), (high, face.deep)) if span[1] - span[0] > LEAST_WIDTH]
    parts = [_filled(face, tile, limits, span, courses) for span in spans]
    if not parts:
        return Layout(face.outline, [], around.pieces.iloc[:0], *limits, tile)
    field = join_courses(parts)
    return field if len(spans) == 2 else _cut_back(field, around, limits)


def _filled(face: Face, tile: Tile, limits: JointLimits, between: tuple[float, float], courses: dict) -> Layout:
    """Return courses that fill a part of a face, of whole height where they fit it, else with low ones at both ends."""
    asked = face, tile, limits.joint, limits[1:]
    try:
        laid = lay_courses(*asked, edge_rule=FLUSH, between=between, **courses)
    except MosaicError:
        return lay_courses(*asked, border="cut", between=between, **courses)
    return lay_courses(*asked, border="cut", between=between, **courses) if laid.gaps else laid


def join_courses(parts: Sequence[Layout]) -> Layout:
    """Return parts of one face, the lowest first, as one layout, rows counted from the top."""
    rows, tables = 0, []
    for one in parts[::-1]:
        tables.append(one.pieces.assign(row=one.pieces["row"] + rows))
        rows += int(one.pieces["row"].max())
    shapes, pieces = np.concatenate([one.shapes for one in parts[::-1]]), pd.concat(tables, ignore_index=True)
    return replace(parts[0], shapes=shapes, pieces=pieces, gaps=tuple(gap for one in parts for gap in one.gaps))


def _cut_back(field: Layout, around: Layout, limits: JointLimits) -> Layout:
    """Return courses cut back from rows, a joint away; the largest part of each piece is kept, and what is too small is left out."""
    tree, shapes = shapely.STRtree(around.shapes), field.shapes.copy()
    one, row = tree.query(shapes, predicate="dwithin", distance=limits.least - CLOSE)
    small = min(LEAST_WIDTH, 0.6 * field.tile.side)
    lost: list = []
    for i in np.unique(one).tolist():
        kept = shapely.union_all(mitred(around.shapes[row[one == i]], limits.joint))
        parts = unhollowed(only_areas(shapes[i] - kept), limits.joint, small)
        best = max(parts, key=lambda part: part.area, default=Polygon())
        lost += [
            part
            for part in shapely.get_parts(only_areas(shapes[i] - kept - shapely.buffer(best, 1e-6)))
            if part.area > LOST
        ]
        if best.is_empty or too_small(np.array([best]), field.tile.side, small)[0]:
            lost, best = [*lost, shapes[i] - kept], Polygon()
        shapes[i] = best
    changed = np.unique(one)
    table = field.pieces.copy()
    table.loc[changed, ["kind", "narrow", "cut_angle", "why"]] = "cut", 0.0, 0.0, "cut: against a row"
    table["area"] = shapely.area(shapes)
    kept = np.flatnonzero(table["area"] > LOST)
    why = "too small for a piece of glass, left to the filler"
    gaps = [Gap(only_areas(one), why) for one in shapely.buffer(lost, limits.joint / 2) if one.area > LOST]
    inside = [Gap(only_areas(gap.shape & field.outline), why) for gap in gaps]
    more = tuple(gap for gap in inside if gap.shape.area > LOST)
    return replace(
        field, shapes=shapes[kept], pieces=table.iloc[kept].reset_index(drop=True), gaps=(*field.gaps, *more)
    )
