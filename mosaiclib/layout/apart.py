"""Keep pieces apart: where rows meet, the later is cut back; what is too small is shared or left out."""

__all__ = ["half_planes", "keep_apart", "least_widths", "only_areas", "open_places", "share_slivers"]

import numpy as np
import shapely
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from mosaiclib.layout.facing import edges_of

ROUNDS = 12
FAR = 4.0  # half planes reach this many times as far as the pieces do
GROWN = 0.55  # pieces grown by this share of the greatest joint cover all joints and their crossings
HOLE = 0.05  # [mm2] a smaller hole is a crossing of joints
CLOSE = 0.012  # [mm] a joint may be under its least by this before a piece is cut back


def half_planes(point: np.ndarray, outward: np.ndarray, size: float) -> np.ndarray:
    """Return large squares that begin at a line and lie on the side its normal points to.

    Parameters
    ----------
    point, outward : array, shape (n, 2)
        A point of each line [mm] and the unit normal.
    size : float
        Half side of the squares [mm].

    Returns
    -------
    array of Polygon, shape (n,)
        The squares.

    Examples
    --------
    >>> half_planes(np.array([[0.0, 0.0]]), np.array([[1.0, 0.0]]), 5)[0].bounds
    (0.0, -5.0, 10.0, 5.0)
    """
    along = np.stack([-outward[:, 1], outward[:, 0]], axis=1) * size
    deep = outward * 2 * size
    corners = np.stack([point - along, point - along + deep, point + along + deep, point + along], axis=1)
    return shapely.polygons(corners)


def least_widths(shapes: np.ndarray) -> np.ndarray:
    """Return the least width of each piece, twice the radius that can be taken off nearly all round.

    Parameters
    ----------
    shapes : array of Polygon, shape (n,)
        The pieces [mm].

    Returns
    -------
    array of float, shape (n,)
        Short side of the narrowest frame, 0 for an empty piece [mm].

    Examples
    --------
    >>> least_widths(np.array([shapely.box(0, 0, 5, 2)])).tolist()
    [2.0]
    """
    found = np.zeros(len(shapes))
    frames = shapely.oriented_envelope(shapes)
    solid = (shapely.get_type_id(frames) == 3) & ~shapely.is_empty(frames)
    if solid.any():
        points = shapely.get_coordinates(frames[solid]).reshape(int(solid.sum()), -1, 2)
        found[solid] = np.hypot(*np.moveaxis(np.diff(points[:, :3], axis=1), 2, 0)).min(axis=1)
    return found


def only_areas(shape: BaseGeometry) -> Polygon | MultiPolygon:
    """Return the areas of a shape without the lines and points that cutting may leave.

    Parameters
    ----------
    shape : geometry
        Any shape [mm].

    Returns
    -------
    Polygon or MultiPolygon
        Its areas, empty where there are none.

    Examples
    --------
    >>> only_areas(shapely.GeometryCollection([shapely.Point(0, 0), shapely.box(0, 0, 1, 1)])).area
    1.0
    """
    parts = [part for part in shapely.get_parts(shape) if isinstance(part, Polygon)]
    return shapely.union_all(parts) if parts else Polygon()  # joining nothing gives a collection


def open_places(outline: BaseGeometry, shapes: np.ndarray, widest: float) -> list[tuple[Polygon, BaseGeometry]]:
    """Return the places between pieces that are wider than joints and their crossings.

    Parameters
    ----------
    outline : Polygon or MultiPolygon
        What is looked at [mm].
    shapes : array of Polygon, shape (n,)
        The pieces [mm].
    widest : float
        Greatest joint [mm].

    Returns
    -------
    list of (Polygon, Polygon or MultiPolygon)
        The inmost part of each place, and the whole of it up to the pieces.

    Examples
    --------
    >>> four = shapely.box([0, 12, 0], [0, 0, 12], [10, 22, 10], [10, 10, 22])
    >>> [round(place.area) for _, place in open_places(shapely.box(0, 0, 22, 22), four, 2)]
    [144]
    """
    grow = GROWN * widest
    grown = shapely.buffer(shapes, grow, join_style="mitre", mitre_limit=3.0)
    inmost = shapely.get_parts(shapely.difference(outline, shapely.union_all(grown)))
    inmost = inmost[shapely.area(inmost) > HOLE]
    wide = shapely.intersection(shapely.buffer(inmost, grow), outline)
    tree = shapely.STRtree(shapes)
    near = [shapely.union_all(shapes[tree.query(place)]) for place in wide]
    return [(one, only_areas(shapely.difference(p, n))) for one, p, n in zip(inmost, wide, near, strict=True)]


def keep_apart(
    shapes: np.ndarray, rank: np.ndarray, joint: float, least: float, floor: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Cut back pieces that lie over or too near to pieces of lower rank.

    A piece loses what lies within the joint of one edge of the other, the edge that leaves it the most;
    so cuts stay straight. It is left out where less than `floor` is left of its width.

    Parameters
    ----------
    shapes : array of Polygon, shape (n,)
        The pieces, convex [mm].
    rank : array, shape (n,)
        Lower goes first.
    joint, least : float
        Joint that is cut, and nearer than which pieces must not lie [mm].
    floor : array, shape (n,)
        Least width of a piece [mm].

    Returns
    -------
    shapes : array of Polygon, shape (n,)
        The pieces; empty where one was left out.
    touched : array of bool, shape (n,)
        Which were cut or left out.

    Examples
    --------
    >>> pair = np.array([shapely.box(0, 0, 10, 10), shapely.box(9, 0, 19, 10)])
    >>> cut, touched = keep_apart(pair, np.array([0, 1]), 2, 1.7, np.array([3, 3]))
    >>> cut[1].bounds, touched.tolist()
    ((12.0, 0.0, 19.0, 10.0), [False, True])
    """
    found = shapes.copy()
    touched = np.zeros(len(found), bool)
    moved = np.ones(len(found), bool)
    for _ in range(ROUNDS):
        winner, loser = _conflicts(found, rank, least - CLOSE, moved)
        if not len(loser):
            return found, touched
        cut = _cut_back(found, winner, loser, joint)
        small = least_widths(cut) < floor[loser]
        cut[small] = shapely.Polygon()
        found[loser], touched[loser] = cut, True
        moved = np.zeros(len(found), bool)
        moved[loser] = True
    _, loser = _conflicts(found, rank, least - CLOSE, np.ones(len(found), bool))
    found[loser], touched[loser] = shapely.Polygon(), True
    return found, touched


def _conflicts(shapes, rank, near, moved) -> tuple[np.ndarray, np.ndarray]:
    """Return for each piece that must give way the nearest piece that it gives way to."""
    alive = np.flatnonzero(~shapely.is_empty(shapes))
    tree = shapely.STRtree(shapes[alive])
    asked = alive[moved[alive]]
    one, two = tree.query(shapes[asked], predicate="dwithin", distance=near)
    one, two = asked[one], alive[two]
    one, two = one[one != two], two[one != two]
    swap = (rank[one] > rank[two]) | ((rank[one] == rank[two]) & (one > two))
    winner, loser = np.where(swap, two, one), np.where(swap, one, two)
    if not len(loser):
        return winner, loser
    # a piece is cut by one other at a time, the one of lowest rank first
    order = np.lexsort((winner, rank[winner], loser))
    winner, loser = winner[order], loser[order]
    first = np.concatenate([[True], loser[1:] != loser[:-1]])
    return winner[first], loser[first]


def _cut_back(shapes: np.ndarray, winner: np.ndarray, loser: np.ndarray, joint: float) -> np.ndarray:
    """Return the losers, each cut along the edge of its winner that leaves the most of it."""
    begin, end, first, _ = edges_of(shapes[winner])
    owner = np.repeat(np.arange(len(winner)), np.diff(first))
    along = end - begin
    length = np.hypot(along[:, 0], along[:, 1])
    outward = np.stack([along[:, 1], -along[:, 0]], axis=1) / np.maximum(length, 1e-12)[:, None]
    bounds = shapely.bounds(shapes[np.concatenate([winner, loser])])
    size = FAR * float(np.nanmax(bounds[:, 2:] - bounds[:, :2]) + joint)
    planes = half_planes(begin + along / 2 + joint * outward, outward, size)
    left = shapely.intersection(shapes[loser][owner], planes)
    area = shapely.area(left)
    # the largest of each owner's pieces
    order = np.lexsort((-area, owner))
    best = order[np.concatenate([[True], owner[order][1:] != owner[order][:-1]])]
    found = left[best]
    return np.where(shapely.get_type_id(found) == 3, found, shapely.Polygon())


def share_slivers(
    shapes: np.ndarray,
    partner: np.ndarray,
    axis: np.ndarray,
    size: np.ndarray,
    floor: np.ndarray,
    joint: float,
) -> tuple[np.ndarray, np.ndarray]:
    """Merge what is too small with its neighbour in the row, or share both out alike; never leave a sliver.

    Parameters
    ----------
    shapes : array of Polygon, shape (n,)
        The pieces, convex [mm].
    partner : array of int, shape (n,)
        The neighbour towards the middle of the row, -1 for none.
    axis : array, shape (n, 2)
        Direction of the row at each piece.
    size : array, shape (n, 2)
        Width and height of the piece that the row is made of [mm].
    floor : array, shape (n,)
        Least width of a piece [mm].
    joint : float
        Joint [mm].

    Returns
    -------
    shapes : array of Polygon, shape (n,)
        The pieces; empty where one was merged into another or left out.
    touched : array of bool, shape (n,)
        Which were changed.

    Examples
    --------
    >>> row = np.array([shapely.box(0, 0, 10, 10), shapely.box(12, 0, 13, 10)])
    >>> ahead = np.array([[1.0, 0.0], [1.0, 0.0]])
    >>> shared, _ = share_slivers(row, np.array([-1, 0]), ahead, np.full((2, 2), 10), np.array([3, 3]), 2)
    >>> [piece.bounds[0::2] for piece in shared]
    [(0.0, 5.5), (7.5, 13.0)]
    """
    found = shapes.copy()
    touched = np.zeros(len(found), bool)
    small = np.flatnonzero(~shapely.is_empty(found) & (least_widths(found) < floor))
    for i in small:
        j, touched[i] = partner[i], True
        known = j >= 0 and not found[j].is_empty
        merged = _shared(found[j], found[i], axis[j], size[j], joint) if known else []
        if not merged or min(least_widths(np.array(merged))) < floor[i]:
            found[i] = shapely.Polygon()
            continue
        found[j], touched[j] = merged[0], True
        found[i] = merged[1] if len(merged) > 1 else shapely.Polygon()
    return found, touched


def _shared(keeper, sliver, axis: np.ndarray, size: np.ndarray, joint: float) -> list:
    """Return one piece for both where it fits the tile, else two of the same width; none where neither fits."""
    hull = shapely.union(keeper, sliver).convex_hull
    points = shapely.get_coordinates(hull)
    low, high = (points @ axis).min(), (points @ axis).max()
    if _fits(hull, axis, size):
        return [hull]
    middle = (low + high) / 2
    centre = np.array(hull.centroid.coords[0])
    ahead = axis if (np.array(sliver.centroid.coords[0]) - centre) @ axis > 0 else -axis
    on_line = centre + (middle - centre @ axis) * axis
    lines = np.array([on_line - joint / 2 * ahead, on_line + joint / 2 * ahead])
    planes = half_planes(lines, np.array([-ahead, ahead]), FAR * hull.length)
    pair = shapely.intersection(np.array([hull, hull]), planes)
    return list(pair) if all(_fits(one, axis, size) for one in pair) else []


def _fits(piece, axis: np.ndarray, size: np.ndarray) -> bool:
    """Tell whether a piece is no larger than its tile, along the row and across."""
    if piece.is_empty or piece.geom_type != "Polygon":
        return False
    points = shapely.get_coordinates(piece)
    across = np.array([axis[1], -axis[0]])
    return bool(np.ptp(points @ axis) <= size[0] + 1e-9 and np.ptp(points @ across) <= size[1] + 1e-9)
