"""Where between pieces there is room for a circle larger than a crossing of joints holds."""

__all__ = ["HOLE", "ROUND", "Rim", "crossing", "gap_radius", "open_places", "rim_of", "room_beside"]

from typing import NamedTuple

import numpy as np
import shapely
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from mosaiclib.layout.edges import TOUCH, Facing, close_pairs, edges_before, edges_of, faced, stretches, turns
from mosaiclib.layout.layout import Layout, mitred, only_areas
from mosaiclib.layout.seams import across

GROWN = 0.55  # pieces grown by this share of the greatest joint cover all joints and their crossings
HOLE = 0.05  # [mm2] a smaller hole is a crossing of joints
HAIR = np.sqrt(HOLE / np.pi)  # [mm] radius of the smallest circle that is asked for where pieces lie without joints
ROUND = 0.99  # of its radius: so much of a circle lies within the polygon that stands for it
FINE = 1e-9  # [mm] corners are put on a net as fine, without which what is left of a place may cross itself
LARGER = 1.05  # times as large a circle is tried where there is room for one


def open_places(outline: Polygon, shapes: np.ndarray, widest: float) -> list[tuple[Polygon, Polygon | MultiPolygon]]:
    """Return the places in an outline that are wider than joints of the greatest width and their crossings [mm].

    The inmost part of each, and the whole of it up to the pieces.

    >>> four = shapely.box([0, 12, 0], [0, 0, 12], [10, 22, 10], [10, 10, 22])
    >>> [round(place.area) for _, place in open_places(shapely.box(0, 0, 22, 22), four, 2)]
    [144]
    """
    grow = GROWN * widest
    inmost = shapely.get_parts(shapely.difference(outline, shapely.union_all(mitred(shapes, grow, 3))))
    inmost = inmost[shapely.area(inmost) > HOLE]
    return list(zip(inmost, _up_to_the_pieces(outline, shapely.STRtree(shapes), inmost, grow), strict=True))


def _up_to_the_pieces(outline, tree: shapely.STRtree, inmost: np.ndarray, grow: float) -> list[Polygon | MultiPolygon]:
    """Return the places that are open round inmost parts, shape (k,), grown so far [mm]."""
    wide = [only_areas(place) for place in shapely.intersection(shapely.buffer(inmost, grow), outline)]
    return _without(wide, tree)


def _without(places: list[Polygon | MultiPolygon], tree: shapely.STRtree) -> list[Polygon | MultiPolygon]:
    """Return what the shapes of a tree leave of each place."""
    near = [shapely.union_all(tree.geometries[tree.query(place)]) for place in places]
    return [only_areas(shapely.difference(*both, grid_size=FINE)) for both in zip(places, near, strict=True)]


def crossing(widest: float) -> float:
    """Return the radius of the circle that a square crossing of joints of a width holds [mm]."""
    return widest / np.sqrt(2)


def gap_radius(layout: Layout, rim: "Rim | None" = None, begin: tuple | None = None) -> float:
    """Return the radius of the largest circle in an unreported gap, 0 where only joints and crossings are open [mm].

    What is known: the `rim` of the layout, and for a radius [mm] to begin with where it has room, and where a crossing's may.
    """
    least = max(crossing(layout.joint_max), HAIR)
    if rim is None:
        layout = across(layout, 2 * layout.tile.side, own_face=True).layout
        tree, edges = shapely.STRtree(layout.shapes), edges_of(layout.shapes)
        met = faced(layout.shapes, edges, close_pairs(tree, np.full(len(layout), 2 * least)), 2 * least)
        rim = rim_of(tree, layout.outline, edges, met, 2 * least)
    shapely.prepare(layout.outline)
    inside = shapely.intersects(layout.outline, layout.shapes)  # beyond a seam nothing faces the last that are shown
    radius, room, among = begin or (least, room_beside(rim, ROUND * least), True)
    mine = np.repeat(inside[rim.owner], 2)
    tried = [(radius, room := room & mine)]
    x0, y0, x1, y1 = layout.outline.bounds
    while room.any() and 2 * radius < min(x1 - x0, y1 - y0):  # the less is left, the sooner it is looked at
        radius *= LARGER
        tried.append((radius, room := room_beside(rim, ROUND * radius, room)))
    found = (_widest(layout, rim.tree, max(radius, least), rim.pieces(room) & inside) for radius, room in tried[::-1])
    if widest := next(filter(None, found), 0.0):
        return widest
    beside = rim.pieces(room_beside(rim, ROUND * least, among & mine)) & inside
    return _widest(layout, rim.tree, least, beside)


def _widest(layout: Layout, tree: shapely.STRtree, least: float, beside: np.ndarray) -> float:
    """Return the radius of the largest circle over a least in an unreported gap with certain pieces round it, (n,); else 0 [mm]."""
    shapes, outline = layout.shapes, layout.outline
    free = shapely.get_parts(shapely.difference(outline, shapely.union_all(shapely.buffer(shapes[beside], least))))
    # the joints of all other pieces lie in one part, or several
    inner = shapely.point_on_surface(free)
    filled, _ = tree.query(inner, predicate="dwithin", distance=ROUND * least)
    places = _up_to_the_pieces(outline, tree, np.delete(free, filled), least)
    if layout.gaps:
        places = _without(places, shapely.STRtree(shapely.buffer([gap.shape for gap in layout.gaps], 1e-6)))
    parts = [part for part in shapely.get_parts(places) if part.area > np.pi * least**2]  # others hold no such circle
    widest = max((shapely.length(shapely.maximum_inscribed_circle(part, 0.01)) for part in parts), default=0.0)
    return float(widest) if widest > least else 0.0


# --- beside which pieces -----------------------------------------------------------------------------------


class Rim(NamedTuple):
    """Round n pieces, end to end on a line: each edge, then the arc about the corner at its end by which the next edge turns.

    A tree of the pieces; which are hollow, and which have holes, parts or an edge without length, so that their edges do not
    tell all, shape (n,); begin and direction of each edge, shape (m, 2), the edge before it, its piece, its length [mm] and the
    turn at its end [radians]; where each edge and each arc starts on the line, and where the last ends, shape (2 m + 1,); what
    faces edges: number of the edge, and how far its ends, of shape (2, k), lie along the edge and out from it [mm].
    """

    tree: shapely.STRtree
    hollow: np.ndarray
    odd: np.ndarray
    begin: np.ndarray
    along: np.ndarray
    before: np.ndarray
    owner: np.ndarray
    long: np.ndarray
    turn: np.ndarray
    starts: np.ndarray
    edge: np.ndarray
    x: np.ndarray
    y: np.ndarray

    def pieces(self, marked: np.ndarray) -> np.ndarray:
        """Tell which pieces have an edge or arc that is marked, shape (2 m,), or more than their edges tell, shape (n,)."""
        found = self.odd.copy()
        found[self.owner[np.flatnonzero(marked) // 2]] = True
        return found


def rim_of(tree: shapely.STRtree, outline: BaseGeometry, edges: tuple, met: Facing, reach: float) -> Rim:
    """Return the rim of n pieces in an outline, whose edges and stretches of joint are known, the outline so near faced too [mm]."""
    begin, end, first, owner = edges
    long = np.hypot(*(end - begin).T)
    along = (end - begin) / np.where(long > 0, long, 1.0)[:, None]
    turn = turns(along, first)
    odd = np.diff(first) != shapely.get_num_coordinates(tree.geometries) - 1
    odd[owner[long == 0]] = True
    hollow = odd.copy()
    hollow[owner[turn < 0]] = True
    starts = np.append(0.0, np.cumsum(np.stack([long, np.maximum(turn, 0.0)], axis=1)))
    edge_of = _beside_outline(tree, outline, edges, reach)
    sides = (met.first_edge, met.ends(1)), (met.second_edge, met.ends(-1)), (edge_of.first_edge, edge_of.ends(1))
    edge, points = np.concatenate([one for one, _ in sides]), np.concatenate([ends for _, ends in sides], axis=1)
    (u, v), (x, y) = along.T.take(edge, axis=1), np.moveaxis(points - begin[edge], -1, 0)
    before, x, y = edges_before(first), x * u + y * v, x * v - y * u
    return Rim(tree, hollow, odd, begin, along, before, owner, long, turn, starts, edge, x, y)


def _beside_outline(tree: shapely.STRtree, outline: BaseGeometry, edges: tuple, reach: float) -> Facing:
    """Return the stretches between pieces and the outline, as if each of its edges were a piece outside."""
    begin, end, first, _ = edges
    rings = shapely.get_rings(shapely.orient_polygons(shapely.get_parts(outline)))
    points, ring = shapely.get_coordinates(rings, return_index=True)
    same = ring[1:] == ring[:-1]
    here, there = points[1:][same], points[:-1][same]
    frames = shapely.box(*(np.minimum(here, there) - reach).T, *(np.maximum(here, there) + reach).T)
    edge, piece = tree.query(frames)
    more = first[-1] + np.arange(1, len(here) + 1)
    every = np.concatenate([begin, here]), np.concatenate([end, there]), np.concatenate([first, more]), None
    return stretches(every, np.stack([piece, len(tree) + edge], axis=1), reach)


def room_beside(rim: Rim, radius: float, among: np.ndarray | None = None, sampled: bool = True) -> np.ndarray:
    """Tell on which edges and arcs a circle of a radius may lie that touches no other piece, shape (2 m,), among those marked [mm].

    Where it says no there is none: its middle would lie so far from an edge, or about a corner, and all such places are
    less far from other pieces or from the outline; where it is not `sampled`, from what faces the piece.

    >>> row = shapely.box([0, 12, 24], 0, [10, 22, 34], 10)
    >>> edges = edges_of(row)
    >>> met = faced(row, edges, np.array([[0, 1], [1, 2]]), 3)
    >>> outlines, tree = shapely.box(0, 0, [36, 37], 10), shapely.STRtree(row)
    >>> rims = [rim_of(tree, outline, edges, met, 3) for outline in outlines]
    >>> [rim.pieces(room_beside(rim, 1.4)).tolist() for rim in rims]
    [[False, False, False], [False, False, True]]
    """
    room = np.zeros(2 * len(rim.owner), bool)
    among = ~room if among is None else among
    if among.any():
        holes = _uncovered(rim, radius, among)
        room[_far_from_all(rim, radius, *holes) if sampled else holes[0]] = True
    return room


def _uncovered(rim: Rim, radius: float, among: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return which of the marked edges and arcs have places where what faces them leaves room, and from where to where."""
    faced_ = np.flatnonzero(among[2 * rim.edge])
    edge = rim.edge[faced_]
    covered = [(2 * edge, *_along_edge(rim.x[:, faced_], rim.y[:, faced_], radius), rim.long[edge])]
    for corner, end in ((rim.edge, True), (rim.before[rim.edge], False)):
        faced_ = np.flatnonzero(among[2 * corner + 1])
        corner, edge, x, y = corner[faced_], rim.edge[faced_], rim.x[:, faced_], rim.y[:, faced_]
        u, v = (np.where((x[0] < x[1]) == end, one[1], one[0]) for one in (x, y))
        middle, half = _about_corner(u - rim.long[edge] if end else u, v, radius)
        middle = middle if end else middle + rim.turn[corner]
        covered.append((2 * corner + 1, middle - half, middle + half, rim.turn[corner]))
    segment, low, high, long = (np.concatenate(column) for column in zip(*covered, strict=True))
    low, high = np.maximum(low, 0.0), np.minimum(high, long)
    some = high > low
    looked = rim.starts[np.append(among, False) | np.append(False, among)]
    begin = np.concatenate([looked, (rim.starts[segment] + low)[some]])
    order = np.argsort(begin)
    reached = np.maximum.accumulate(np.concatenate([looked, (rim.starts[segment] + high)[some]])[order])
    low, high = reached[:-1], begin[order][1:]
    hole = high > low + TOUCH
    segment = np.searchsorted(rim.starts, low[hole], side="right") - 1
    mine = among[segment]
    return segment[mine], (low[hole] - rim.starts[segment])[mine], (high[hole] - rim.starts[segment])[mine]


def _along_edge(x: np.ndarray, y: np.ndarray, radius: float) -> tuple[np.ndarray, np.ndarray]:
    """Return from where to where, (k,), circles that touch an edge cannot lie for what faces it from end to end [mm]."""
    near = (y >= -TOUCH) & (y <= 2 * radius)
    over = np.where(near, np.sqrt(np.maximum(y * (2 * radius - y), 0.0)), -np.inf)
    return np.minimum(*(x - over)), np.maximum(*(x + over))


def _about_corner(x: np.ndarray, y: np.ndarray, radius: float) -> tuple[np.ndarray, np.ndarray]:
    """Return round which turn off an edge's normal, and how far, circles about its end cannot lie for a point [radians]."""
    far = np.hypot(x, y)
    return np.where(far > TOUCH, np.arctan2(x, y), 0.0), np.arccos(np.minimum(far / max(2 * radius, TOUCH), 1.0))


def _far_from_all(rim: Rim, radius: float, segment: np.ndarray, low: np.ndarray, high: np.ndarray) -> np.ndarray:
    """Return on which edges and arcs there are places where a circle touches no other piece, as far as samples tell."""
    edge, arc = segment // 2, segment % 2 == 1
    count = np.ceil((high - low) * np.where(arc, radius, 1.0) / (radius / 2)).astype(int)
    hole = np.repeat(np.arange(len(segment)), count)
    step = ((high - low) / count)[hole]
    place = low[hole] + step * (np.arange(len(hole)) - np.repeat(np.cumsum(count) - count, count) + 0.5)
    edge, arc = edge[hole], arc[hole]
    along, turn, half = rim.along[edge], np.where(arc, place, 0.0)[:, None], step * np.where(arc, radius, 1.0) / 2
    out = np.cos(turn) * np.stack([along[:, 1], -along[:, 0]], axis=1) + np.sin(turn) * along
    spots = rim.begin[edge] + np.where(arc, rim.long[edge], place)[:, None] * along + radius * out
    near, _ = rim.tree.query(shapely.points(spots), predicate="dwithin", distance=radius - half)
    return np.delete(segment[hole], near)
