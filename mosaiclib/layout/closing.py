"""Lines that go once round a face and close on themselves across its seam, and the field of courses behind them."""

__all__ = ["RoundGuide", "closed_round", "continued", "course_field", "laid_round", "line_on"]

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import pandas as pd
import scipy
import shapely
from shapely import Polygon

from mosaiclib.errors import MosaicError
from mosaiclib.glass import Edge, Face, Seam
from mosaiclib.layout.courses import FLUSH, lay_courses, ring_strip
from mosaiclib.layout.cutting import unhollowed
from mosaiclib.layout.guide import Guide, Part
from mosaiclib.layout.layout import LOST, Gap, JointLimits, Layout, Tile, mitred, only_areas
from mosaiclib.layout.openings import open_places
from mosaiclib.layout.pieces import CLOSE
from mosaiclib.layout.remains import too_small
from mosaiclib.layout.seams import across

STEP = 2.0  # [mm] of a line that is laid onto a cone
MEETS = 1.0  # [mm] so near a line's end comes to its beginning, once round, if it is meant to close
MORE = 0.2  # of a round: how far a line that closes is followed beyond the seam
LEVEL = (
    0.97  # of the strip from their lowest to their highest corner: rows that cover so much of it, with joints, go level
)
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


@dataclass(frozen=True, eq=False)
class RoundPart(Part):
    """A part that goes on across a seam: once round further on, it is the same line moved."""

    seam: Seam

    def rounds(self, s: np.ndarray) -> np.ndarray:
        """Return how far whole rounds have carried stations beyond the seam [mm]."""
        return np.floor((s - self.s0) / self.length) * self.length

    def frame(self, s: float | np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Return positions [mm], unit normals to the right and curvature [1/mm], beyond the ends those across the seam."""
        s = np.asarray(s, dtype=float)
        gone = self.rounds(s)
        times = np.round(gone / self.length)
        xy, right, bend = super().frame(s - gone)
        tip = self.seam.carried(xy + right, times)
        xy = self.seam.carried(xy, times)
        return xy, tip - xy, bend


@dataclass(frozen=True, eq=False)
class RoundGuide(Guide):
    """A line that goes once round a face and closes on itself across its seam; its points are from the seam to the seam."""

    seam: Seam = None

    jitter = 0.0  # what was drawn by hand is laid onto the face before

    @cached_property
    def parts(self) -> tuple[Part, ...]:
        """The one part."""
        whole = self.points
        around = np.concatenate([self.seam.carried(whole[:-1], -1.0), whole, self.seam.carried(whole[1:], 1.0)])
        chord = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(around, axis=0).T))])
        n = len(whole)
        slope = scipy.interpolate.CubicSpline(chord, around)(chord[[n - 1, 2 * n - 2]], 1)
        path = chord[n - 1 : 2 * n - 1] - chord[n - 1]
        return (
            RoundPart(
                scipy.interpolate.CubicSpline(path, whole, bc_type=((1, slope[0]), (1, slope[1]))), 0.0, True, self.seam
            ),
        )

    def _each(self, what: str, s: float | np.ndarray) -> np.ndarray:
        return getattr(self.parts[0], what)(s)


def closing_seam(face: Face) -> Seam:
    """Return the seam of a face with itself."""
    left, right = (face.edge.across(s, 0.0, face.deep) for s in (0.0, face.edge.length))
    return Seam(left, right, ("", ""), True)


def closed_round(face: Face, guide: Guide) -> Guide:
    """Return a line that goes once round a face as one that closes across its seam, and another line as it is."""
    edge = face.edge
    if guide.closed:
        return guide
    s, v = edge.place(guide.at(np.array([0.0, guide.length])))
    if abs(abs(s[1] - s[0]) - edge.length) > MEETS or abs(v[1] - v[0]) > MEETS:
        return guide
    way, up = edge.place(guide.at(np.linspace(0.0, guide.length, max(24, math.ceil(guide.length / STEP)) + 1)))
    share = np.linspace(0.0, 1.0, len(up))  # of what a hand left between its ends
    ahead = math.copysign(edge.length, s[1] - s[0])
    way, up = way - (way[-1] - way[0] - ahead) * share, up - (up[-1] - up[0]) * share
    seam = closing_seam(face)
    return RoundGuide(edge.at(way, up), True, (), seam if ahead > 0 else seam.back)


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
    """Return rows on a face that closes on itself, with the courses behind them."""
    whole = replace(rows, outline=face.outline, seams=(closing_seam(face),), pieces=rows.pieces.assign(face=""))
    if not field:
        return replace(whole, seams=())
    behind = course_field(face, across(whole, 2 * tile.side).layout, tile, limits, **courses)
    shapes, pieces = (
        np.concatenate([whole.shapes, behind.shapes]),
        pd.concat([whole.pieces, behind.pieces], ignore_index=True),
    )
    laid = replace(whole, shapes=shapes, pieces=pieces.assign(face=""), gaps=(*whole.gaps, *behind.gaps))
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


def course_field(face: Face, around: Layout, tile: Tile, limits: JointLimits, **courses: str) -> Layout:
    """Return the courses behind rows on a face that closes on itself, cut back from them; what is too small is a gap.

    Where the rows go level all round, what is left over and under them is laid by itself, so that nothing is cut round them.
    """
    edge, rows = face.edge, mitred(around.shapes, limits.joint)
    _, v = edge.place(shapely.get_coordinates(around.shapes))
    low, high = float(v.min()) - limits.joint, float(v.max()) + limits.joint
    taken = min(high, face.deep) - max(low, 0.0)
    spans = [(0.0, face.deep)]
    strip = ring_strip(edge, max(low, 0.0), min(high, face.deep)) if taken > 0 else Polygon()
    if shapely.area(shapely.union_all(rows) & strip) > LEVEL * strip.area:
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
    places = shapely.intersection(shapely.buffer(np.array(lost, dtype=object), limits.joint / 2), field.outline)
    more = tuple(Gap(only_areas(one), why) for one in places if one.area > LOST)
    return replace(
        field, shapes=shapes[kept], pieces=table.iloc[kept].reset_index(drop=True), gaps=(*field.gaps, *more)
    )
