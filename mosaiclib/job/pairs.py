"""Two pieces out of one blank: which fit together beside a straight cut, matched so that most blanks are saved.

| symbol | here | meaning |
|---|---|---|
| a, b | least, greatest | sides of the blank [mm] |
| u | directions | unit normals of the cut that parts the two |
| c(u) | reaches | how far a piece in the blank's corner reaches along u, turned so that it is least [mm] |
| g | loss | what the cut takes away [mm] |
"""

__all__ = ["Placed", "largest_offcuts", "pair_cuts", "place_one", "place_pair"]

from typing import NamedTuple

import numpy as np
import rustworkx
import shapely

from mosaiclib.errors import MosaicError, number
from mosaiclib.layout.layout import LOST, read_shapes

DIRECTIONS = 91  # of the cut, a degree apart: a pair that fits by less than 0.2 mm in 20 may be missed, none is wrong
QUARTERS = np.stack([np.array([[c, -s], [s, c]]) for c, s in ((1, 0), (0, 1), (-1, 0), (0, -1))])
EXACT = 1e-9  # [mm] rounding
# pieces of one colour and blank matched at once, as the work grows faster than their square: 466 pairs of 1,000 in a third of
# the time that 467 take
MOST_TOGETHER = 500
CHUNK = 250


def pair_cuts(
    shapes: np.ndarray, blanks: np.ndarray, colours: np.ndarray, loss: float, *, both_faces: bool = False
) -> np.ndarray:
    """Return which of n pieces [mm] come two by two out of one blank of their colour, shape (m, 2), as many as can be.

    `blanks`: sides of each piece's blank, shape (n, 2) [mm]; `loss`: what the cut between them takes [mm]; `both_faces`: a piece
    may be turned over. Each lies with an edge along an edge of the blank, in opposite corners, and a straight cut parts
    them. Of very many alike, 500 are matched at a time.

    Two convex pieces a straight cut apart can be pushed into opposite corners, so they fit exactly where for some u

        c1(u) + c2(u) + g <= u . (a, b)

    Examples
    --------
    >>> strips = np.array([shapely.box(0, 0, 20, 9), shapely.box(0, 0, 9, 20), shapely.box(0, 0, 12, 20)])
    >>> pair_cuts(strips, np.full((3, 2), 20.0), np.array(["blue"] * 3), 0.5).tolist()
    [[0, 1]]
    """
    pieces = read_shapes(shapes)
    lost = number(loss, "loss of a cut", "mm", least=0, greatest=50)
    blank = np.asarray(blanks, dtype=float).reshape(-1, 2)
    if not len(pieces) == len(blank) == len(colours):
        raise MosaicError("There must be as many blanks and colours as pieces.")
    cut = np.flatnonzero(shapely.area(pieces) < blank.prod(axis=1) - LOST)
    kinds = [(*np.round(blank[i], 3), str(colours[i])) for i in cut]
    found = []
    for kind in sorted(set(kinds)):
        alike = cut[[one == kind for one in kinds]]
        for part in range(-(-len(alike) // MOST_TOGETHER)):
            mine = alike[part :: -(-len(alike) // MOST_TOGETHER)]
            found.append(mine[_matched(_fits(pieces[mine], blank[mine[0]], lost, both_faces))])
    return np.concatenate([np.zeros((0, 2), dtype=int), *found])


def _directions() -> np.ndarray:
    angle = np.linspace(0, np.pi / 2, DIRECTIONS)
    return np.stack([np.cos(angle), np.sin(angle)])


def _fits(shapes: np.ndarray, blank: np.ndarray, loss: float, both_faces: bool) -> np.ndarray:
    """Tell which two of n pieces fit into a blank, shape (n, n)."""
    front, back = (_reaches(_corners(shapes, mirrored), blank)[0] for mirrored in (False, True))
    # the blank's other diagonal is its mirror image, in which both pieces are turned over
    ways = [np.minimum(front, back)] if both_faces else [front, back]
    room = blank @ _directions() - loss + EXACT
    fits = np.zeros((len(shapes),) * 2, dtype=bool)
    for reach in ways:
        for along, wide in zip(reach.T, room, strict=True):
            fits |= along[:, None] + along[None, :] <= wide
    return np.triu(fits, 1)


def _corners(shapes: np.ndarray, mirrored: bool) -> np.ndarray:
    """Return the corners of the hulls of n pieces, anticlockwise, shape (n, k, 2) [mm]; the last is repeated where there are fewer."""
    hulls = shapely.orient_polygons(shapely.convex_hull(shapes))
    points, owner = shapely.get_coordinates(hulls, return_index=True)
    count = np.bincount(owner, minlength=len(shapes))
    at = np.minimum(np.arange(count.max())[None, :], count[:, None] - 1) + (np.cumsum(count) - count)[:, None]
    return points[at] * np.array([-1.0 if mirrored else 1.0, 1.0])


def _turns(corners: np.ndarray) -> np.ndarray:
    """Return the turns that bring each edge of n pieces along each side of the blank, shape (n, m, 2, 2)."""
    edge = np.diff(corners, axis=1)
    long = np.hypot(edge[..., 0], edge[..., 1])
    along = np.where((long > LOST)[..., None], edge / np.maximum(long, LOST)[..., None], np.array([1.0, 0.0]))
    flat = np.stack([along, np.stack([-along[..., 1], along[..., 0]], axis=-1)], axis=-2)  # rows: along and across
    return np.einsum("tij,nmjl->nmtil", QUARTERS, flat).reshape(len(corners), -1, 2, 2)


def _turned(corners: np.ndarray) -> np.ndarray:
    """Return n pieces so turned, in the blank's corner, shape (n, m, k, 2) [mm]."""
    laid = np.einsum("nmij,nkj->nmki", _turns(corners), corners)
    return laid - laid.min(axis=2, keepdims=True)


def _laid(piece: shapely.Polygon, mirrored: bool, turn: int) -> shapely.Polygon:
    """Return a piece with one of its turns, in the blank's corner [mm]."""
    hull = _corners(np.array([piece]), mirrored)
    matrix = _turns(hull)[0, turn] * np.array([-1.0 if mirrored else 1.0, 1.0])
    moved = shapely.transform(piece, lambda at: at @ matrix.T)
    return shapely.transform(moved, lambda at: at - shapely.bounds(moved)[:2])


def _reaches(corners: np.ndarray, blank: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return how far n pieces reach along each direction, least over their turns, shape (n, u) [mm], and with which turn.

    Endless where a piece does not fit into the blank.
    """
    reach, turn = [], []
    for at in range(0, len(corners), CHUNK):
        laid = _turned(corners[at : at + CHUNK])
        fits = (laid.max(axis=2) <= blank + EXACT).all(axis=-1)
        far = np.where(fits[..., None], (laid @ _directions()).max(axis=2), np.inf)
        reach.append(far.min(axis=1))
        turn.append(far.argmin(axis=1))
    return np.concatenate(reach), np.concatenate(turn)


def _matched(fits: np.ndarray) -> np.ndarray:
    """Return a maximum matching of a graph given by the upper half of its matrix, shape (m, 2)."""
    graph = rustworkx.PyGraph(multigraph=False)
    graph.add_nodes_from(range(len(fits)))
    graph.add_edges_from_no_data(list(zip(*(end.tolist() for end in np.nonzero(fits)), strict=True)))
    found = rustworkx.max_weight_matching(graph, max_cardinality=True)
    return np.array(sorted(tuple(sorted(pair)) for pair in found), dtype=int).reshape(-1, 2)


class Placed(NamedTuple):
    """Two pieces in their blank, whose lower left corner is at 0, 0 [mm], and whether each is turned over."""

    first: shapely.Polygon
    second: shapely.Polygon
    mirrored: tuple[bool, bool]


def place_pair(
    one: shapely.Polygon, two: shapely.Polygon, blank: np.ndarray, loss: float, *, both_faces: bool = False
) -> Placed:
    """Return where two pieces lie in a blank [mm], with most room between them; as for `pair_cuts`.

    Examples
    --------
    >>> placed = place_pair(shapely.box(0, 0, 20, 9), shapely.box(0, 0, 9, 20), np.array([20.0, 20.0]), 0.5)
    >>> round(placed.first.distance(placed.second), 6)
    2.0
    """
    size, pair = np.asarray(blank, dtype=float), np.array([one, two])
    every = [_reaches(_corners(pair, mirrored), size) for mirrored in (False, True)]
    ways = [(0, 0), (1, 1)] + [(0, 1), (1, 0)] * both_faces
    room = [size @ _directions() - every[a][0][0] - every[b][0][1] for a, b in ways]
    way = int(np.argmax([each.max() for each in room]))
    best, (a, b) = int(room[way].argmax()), ways[way]
    if room[way][best] < loss - EXACT:
        raise MosaicError("These two pieces do not come out of one blank.")
    lower = _laid(one, bool(a), every[a][1][0, best])
    upper = shapely.transform(_laid(two, bool(b), every[b][1][1, best]), lambda at: size - at)
    flip = a == b == 1 and not both_faces
    if flip:  # the blank's other diagonal
        lower, upper = (shapely.transform(each, lambda at: at * [-1, 1] + [size[0], 0]) for each in (lower, upper))
    return Placed(lower, upper, (bool(a) and not flip, bool(b) and not flip))


def place_one(piece: shapely.Polygon, blank: np.ndarray) -> shapely.Polygon:
    """Return where a piece lies in the lower left corner of a blank [mm], turned so that it takes least room.

    >>> place_one(shapely.box(5, 5, 14, 25), np.array([20.0, 10.0])).bounds
    (0.0, 0.0, 20.0, 9.0)
    """
    laid = _turned(_corners(np.array([piece]), False))[0]
    box = laid.max(axis=1)
    fits = (box <= np.asarray(blank) + EXACT).all(axis=1)
    return _laid(piece, False, int(np.argmin(np.where(fits, box.prod(axis=1), np.inf))))


def largest_offcuts(shapes: np.ndarray, blanks: np.ndarray, loss: float) -> np.ndarray:
    """Return the sides of the largest rectangle that one straight cut [mm] leaves beside each piece, the longer first, shape (n, 2) [mm].

    >>> largest_offcuts(np.array([shapely.box(0, 0, 20, 9)]), np.array([[20.0, 20.0]]), 0.5).tolist()
    [[20.0, 10.5]]
    """
    pieces, blank = read_shapes(shapes), np.asarray(blanks, dtype=float).reshape(-1, 2)
    if not len(pieces):
        return np.zeros((0, 2))
    box = _turned(_corners(pieces, False)).max(axis=2)
    fits = (box <= blank[:, None] + EXACT).all(axis=-1)
    left = np.maximum(blank[:, None] - box - loss, 0.0) * fits[..., None]
    # beside the piece, or above it
    strips = np.concatenate([_strips(left[..., side], blank[:, 1 - side]) for side in (0, 1)], axis=1)
    best = strips[np.arange(len(pieces)), strips.prod(axis=-1).argmax(axis=1)]
    return -np.sort(-best, axis=1)


def _strips(left: np.ndarray, side: np.ndarray) -> np.ndarray:
    return np.stack([left, np.broadcast_to(side[:, None], left.shape)], axis=-1)
