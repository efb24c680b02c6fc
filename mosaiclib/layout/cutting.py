"""What the hand cuts: the blank of each piece, its straight cuts, and wedges grouped by the gauge that is set for them."""

__all__ = ["blanks", "ends", "gauge_classes", "hollow_edges", "least_angles", "measured", "straight_cuts", "unhollowed"]

import numpy as np
import pandas as pd
import shapely

from mosaiclib.errors import number
from mosaiclib.layout.edges import edges_of
from mosaiclib.layout.joints import least_widths
from mosaiclib.layout.layout import LOST, NIP, PARTS, Layout, read_layout
from mosaiclib.layout.pieces import half_planes

TAPERED = ("wedge", "fan")
HOLLOW = 0.5  # [mm] an edge more hollow than this is hard to nip; common practice, no source
MOST_CUTS = 4  # one after the other, into which a hollow piece is cut; the rest stays as it is
KEPT = 0.7  # of a hollow piece at least is left where it is cut in two; assumed
SQUARE = np.sin(np.radians(1.0))  # edges within a degree of the piece's frame are its sides
STRAIGHT = 0.1  # [mm] corners nearer to the line between their neighbours are none


def blanks(layout: Layout) -> np.ndarray:
    """Return the sides of the blank that each piece comes from, the longer first, shape (n, 2) [mm]."""
    pieces = read_layout(layout).pieces
    side = pieces["tile"].to_numpy()
    parts = np.array([sorted(PARTS[name], reverse=True) for name in pieces["fraction"]]).reshape(-1, 2)
    return np.where(side > 0, side, layout.tile.side)[:, None] * parts


def straight_cuts(layout: Layout) -> np.ndarray:
    """Return how many straight cuts each piece takes out of its blank, shape (n,).

    One for each edge that leans against the piece's frame, and one for each way in which the frame is smaller than the
    blank and ends in an edge along it on both sides; an edge that curves counts as its straight pieces.

    >>> from mosaiclib.layout import lay_grid
    >>> straight_cuts(lay_grid(shapely.box(0, 0, 50, 42), 20, 2, border="cut")).tolist()
    [1, 0, 1, 1, 0, 1]
    """
    size, cuts = blanks(layout), np.zeros(len(layout), dtype=int)
    cut = np.flatnonzero(layout.areas < size.prod(axis=1) - LOST)
    shapes = shapely.simplify(layout.shapes[cut], STRAIGHT)
    cuts[cut] = [_cuts(*one) for one in zip(shapes, size[cut], strict=True)]
    return cuts


def _cuts(shape: shapely.Polygon, blank: np.ndarray) -> int:
    frame = shapely.get_coordinates(shapely.minimum_rotated_rectangle(shape))
    if len(frame) < 5:
        return 0
    axes = frame[1:3] - frame[:2]
    sides = np.hypot(*axes.T)
    axes = axes / sides[:, None]
    ring = shapely.get_coordinates(shape.exterior)
    edge = np.diff(ring, axis=0)
    along = np.abs(edge @ axes.T) / np.hypot(*edge.T)[:, None]  # cosine to each axis
    leaning = int(np.sum(along.max(axis=1) < np.sqrt(1 - SQUARE**2)))
    order = np.argsort(-sides)
    short = 0
    for axis, whole in zip(order, blank, strict=True):
        across = along[:, 1 - axis] > np.sqrt(1 - SQUARE**2)  # edges that end this way
        place = ((ring[:-1] + ring[1:]) / 2 - frame[0])[across] @ axes[axis]
        ends = len(place) > 0 and place.min() < STRAIGHT and place.max() > sides[axis] - STRAIGHT
        short += bool(ends and sides[axis] < whole - NIP)
    return leaning + short


def ends(layout: Layout) -> np.ndarray:
    """Return wide and narrow end [mm] and the greater lean of the two sides from square [degrees], shape (n, 3).

    Measured on the pieces as they are at last; the ends are the two edges that are more nearly parallel. All 0 where a piece
    has not four corners.

    >>> from mosaiclib.layout import lay_grid
    >>> ends(lay_grid(shapely.box(0, 0, 42, 20), 20, 2)).tolist()
    [[20.0, 20.0, 0.0], [20.0, 20.0, 0.0]]
    """
    found = np.zeros((len(read_layout(layout)), 3))
    shapes = shapely.simplify(layout.shapes, NIP)
    four = np.flatnonzero((shapely.get_type_id(shapes) == 3) & (shapely.get_num_coordinates(shapes) == 5))
    edge = np.diff(shapely.get_coordinates(shapes[four]).reshape(-1, 5, 2), axis=1)
    long = np.hypot(edge[..., 0], edge[..., 1])
    unit = edge / long[..., None]
    across = unit[:, :2, 0] * unit[:, 2:, 1] - unit[:, :2, 1] * unit[:, 2:, 0]  # sine between opposite edges
    pair, ahead = np.argmin(np.abs(across).round(6) - 1e-9 * long[:, :2], axis=1), np.arange(len(four))
    one, two = long[ahead, pair], long[ahead, pair + 2]
    sides = unit[ahead[:, None], np.stack([pair + 1, (pair + 3) % 4], axis=1)]
    axis = unit[ahead, pair] - unit[ahead, pair + 2]
    axis /= np.hypot(*axis.T)[:, None]
    lean = np.degrees(np.arcsin(np.clip(np.abs(np.einsum("ijk,ik->ij", sides, axis)), 0, 1))).max(axis=1, initial=0.0)
    found[four] = np.stack([np.maximum(one, two), np.minimum(one, two), lean], axis=1)
    return found


def hollow_edges(shapes: np.ndarray, width: np.ndarray | None = None) -> np.ndarray:
    """Tell which pieces, shape (n,), have an edge so hollow that it is hard to nip: by over 0.5 mm on the mean.

    Their least widths, where they are known [mm].

    >>> hollow_edges(np.array([shapely.box(0, 0, 20, 20), shapely.box(0, 0, 20, 20) - shapely.Point(10, 20).buffer(4)]))
    array([False,  True])
    """
    bay = shapely.area(shapely.convex_hull(shapes)) - shapely.area(shapes)
    hollow = bay > LOST
    hollow[hollow] = bay[hollow] > HOLLOW * (least_widths(shapes[hollow]) if width is None else width[hollow]) / 2
    return hollow


def unhollowed(area: shapely.Geometry, joint: float, least: float) -> list[shapely.Polygon]:
    """Return the parts of an area as pieces, the largest first, those that are hollow or have a hole cut in two.

    They are cut straight on from an edge, or across, with the joint between, where that leaves pieces of a least width
    [mm] and loses little.

    >>> bent = shapely.Polygon([(0, 0), (20, 0), (20, 8), (8, 8), (8, 20), (0, 20)])
    >>> [piece.bounds for piece in unhollowed(bent, 2, 3)]
    [(0.0, 0.0, 8.0, 20.0), (10.0, 0.0, 20.0, 8.0)]
    """
    found, waiting = [], [(part, 0) for part in shapely.get_parts(area) if isinstance(part, shapely.Polygon)]
    while waiting:
        part, cuts = waiting.pop()
        if least_widths(np.array([part]))[0] < least:
            continue
        odd = bool(part.interiors) or hollow_edges(np.array([part]))[0]
        best = _in_two(part, joint, least) if odd and cuts < MOST_CUTS else []
        if sum(one.area for one in best) > (0.5 if part.interiors else KEPT) * part.area:
            waiting += [(one, cuts + 1) for one in best]
        elif not part.interiors:
            found.append(part)
    return sorted(found, key=lambda part: -part.area)


def _in_two(part: shapely.Polygon, joint: float, least: float) -> list[shapely.Polygon]:
    """Return what a straight cut along an edge beside an inward corner, or across there, leaves, the way that loses least [mm]."""
    points = shapely.get_coordinates(shapely.orient_polygons(part).exterior)[:-1]
    edge = np.roll(points, -1, axis=0) - points
    before = np.roll(edge, 1, axis=0)
    inward = np.flatnonzero(before[:, 0] * edge[:, 1] - before[:, 1] * edge[:, 0] < 0)
    if part.interiors:
        holes = shapely.get_coordinates(shapely.get_rings(part)[1:])
        at, along = np.repeat(holes, 2, axis=0), np.tile(np.eye(2), (len(holes), 1))
    else:
        edge, before = (one[inward] / np.hypot(*one[inward].T)[:, None] for one in (edge, before))
        across = np.stack([-(edge + before)[:, 1], (edge + before)[:, 0]], axis=1)
        at, along = np.tile(points[inward], (3, 1)), np.concatenate([edge, before, across])
    along = along / np.hypot(*along.T)[:, None]
    normal = np.stack([along[:, 1], -along[:, 0]], axis=1)
    ways = []
    for turned in (normal, -normal):
        near, far = (
            half_planes(at + gap * turned, side * turned, 2 * part.length) for gap, side in ((0, -1), (joint, 1))
        )
        cut = shapely.intersection(part, np.stack([near, far], axis=1))
        ways += [[one for one in shapely.get_parts(two) if isinstance(one, shapely.Polygon)] for two in cut]
    ways = [[one for one in way if least_widths(np.array([one]))[0] >= least] for way in ways]
    ways = [way for way in ways if way and not any(hollow_edges(np.array(way)))] or ways
    return max(ways, key=lambda way: sum(one.area for one in way), default=[])


def least_angles(shapes: np.ndarray) -> np.ndarray:
    """Return the sharpest corner of each piece, shape (n,) [degrees].

    >>> least_angles(np.array([shapely.box(0, 0, 3, 1), shapely.Polygon([(0, 0), (1, 0), (0, 1)])])).round(6).tolist()
    [90.0, 45.0]
    """
    begin, end, first, owner = edges_of(shapely.remove_repeated_points(shapes, LOST))
    if not len(owner):
        return np.zeros(len(shapes))
    along = (end - begin) / np.maximum(np.hypot(*(end - begin).T), 1e-12)[:, None]
    before = np.arange(len(owner)) - 1
    before[first[owner] == np.arange(len(owner))] = first[1:][np.diff(first) > 0] - 1
    cosine = -np.einsum("ij,ij->i", along, along[before])
    found, there = np.zeros(len(shapes)), np.diff(first) > 0
    found[there] = np.degrees(np.arccos(np.clip(np.maximum.reduceat(cosine, first[:-1][there]), -1, 1)))
    return found


def measured(layout: Layout) -> pd.DataFrame:
    """Measure every piece as it is at last, one line a piece; lengths [mm] to 0.01, areas [mm2], angles [degrees].

    Its least width between two parallel lines and its greatest square to them, whichever way it lies; width along its row
    and height across; wide and narrow end and cut angle where it has four corners, else 0; how many straight cuts it takes
    out of its blank; whether an edge is hollow; area; and the sides of the blank.

    >>> from mosaiclib.layout import lay_grid
    >>> measured(lay_grid(shapely.box(0, 0, 50, 42), 20, 2, border="cut"))[["greatest_width", "cuts"]].values.tolist()[:2]
    [[20.0, 1.0], [20.0, 0.0]]
    """
    wide, narrow, lean = ends(layout).T
    least, greatest = _frames(layout.shapes)
    blank = blanks(layout)
    found = {
        "least_width": least,
        "greatest_width": greatest,
        "width": layout.pieces["width"].to_numpy(),
        "height": layout.pieces["height"].to_numpy(),
        "wide": wide,
        "narrow": narrow,
        "cut_angle": lean + 0.0,
        "cuts": straight_cuts(layout),
        "hollow": hollow_edges(layout.shapes, least),
        "area": layout.areas,
        "blank_long": blank[:, 0],
        "blank_short": blank[:, 1],
    }
    return pd.DataFrame(found, index=layout.pieces.index).round(2)


def _frames(shapes: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return the least width of each piece and its size square to it, each of shape (n,) [mm]."""
    least, greatest = least_widths(shapes), np.zeros(len(shapes))
    for i, hull in enumerate(shapely.convex_hull(shapes)):
        points = shapely.get_coordinates(hull)
        edge = np.diff(points, axis=0)
        edge = edge[np.hypot(*edge.T) > LOST]
        if len(edge) > 2:
            unit = edge / np.hypot(*edge.T)[:, None]
            deep = np.ptp(points @ np.stack([-unit[:, 1], unit[:, 0]]), axis=0)
            level = np.flatnonzero(deep < deep.min() + LOST)
            greatest[i] = np.ptp(points @ unit[level].T, axis=0).min()
    return least, greatest


def gauge_classes(layout: Layout, step: float) -> pd.DataFrame:
    """Group the wedges and fans of a layout by what a gauge is set to, in steps [mm]; the most frequent first.

    One line a class: gauge ("A", "B", ...), pieces, fraction, tile, height, wide and narrow end [mm], and `members`, the
    numbers of its pieces from 0. Ends are rounded to the step, so that a piece is off by at most half of it.

    >>> from mosaiclib.layout import lay_rows
    >>> from mosaiclib.layout.lines import ring
    >>> laid = lay_rows(ring(60), [dict(tile=20, fraction="quarter")], 2)
    >>> gauge_classes(laid, 0.5)[["gauge", "pieces", "wide", "narrow"]].values.tolist()
    [['A', 35, 9.5, 8.0]]
    """
    unit = number(step, "gauge step", "mm", above=0, greatest=100)
    pieces = read_layout(layout).pieces.reset_index(drop=True)
    table = pieces[pieces["kind"].isin(TAPERED)]
    rounded = {
        "fraction": table["fraction"],
        "tile": table["tile"],
        "height": table["height"].round(1),
        "wide": (table["width"] / unit).round() * unit,
        "narrow": (table["narrow"] / unit).round() * unit,
    }
    grouped = pd.DataFrame(rounded).groupby(list(rounded), sort=True).groups
    lines = [(len(members), *key, tuple(members)) for key, members in grouped.items()]
    lines.sort(key=lambda line: -line[0])
    named = [(_letter(place), *line) for place, line in enumerate(lines)]
    return pd.DataFrame(named, columns=["gauge", "pieces", *rounded, "members"])


def _letter(place: int) -> str:
    """Return A to Z, then AA, AB and so on."""
    before, last = divmod(place, 26)
    return (_letter(before - 1) if before else "") + chr(ord("A") + last)
