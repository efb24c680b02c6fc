"""What must hold of every finished layout, and a sentence for each place where it does not."""

__all__ = ["broken", "oversize"]

import numpy as np
import shapely
from shapely import Polygon

from mosaiclib.layout.joints import beyond_outline
from mosaiclib.layout.layout import LOST, NIP, PARTS, Layout, lowest_row, read_layout
from mosaiclib.layout.openings import gap_radius
from mosaiclib.layout.seams import across
from mosaiclib.units import mm, text
from mosaiclib.words import Text

DIRECTIONS = 12  # edges of a piece along which it is tried against its tile
STEP = 5.0  # [degrees] of the turns in which it is tried besides
EXACT = 1e-9  # [mm] rounding


def broken(layout: Layout) -> list[Text]:
    """Return a sentence for each rule that a layout breaks, saying where; none if all hold.

    No overlap; no joint under the least by over 0.02 mm; no piece larger than its tile; every piece on the face; no
    unreported gap holds a circle of half the least height of a row, or of the greatest joint where rows are so thin that
    crossings of joints are as wide. Joints over the greatest are counted by `survey`.

    >>> from mosaiclib.layout import lay_grid
    >>> broken(lay_grid(shapely.box(0, 0, 42, 20), 20, 2))
    []
    """
    read_layout(layout)
    wrong = [*_too_near(layout), *_too_large(layout), *_off_the_face(layout)]
    gap = gap_radius(layout)
    rows = layout.pieces[layout.pieces["band"] == "rows"]
    room = max((lowest_row(rows) if len(rows) else layout.tile.side) / 2, layout.joint_max)
    if gap > room:
        wrong.append(text("A gap that nobody told of holds a circle of ", mm(round(gap, 1)), " radius."))
    return wrong


def oversize(layout: Layout) -> np.ndarray:
    """Return how far each piece, turned freely, is larger than what its tile gives, below 0 where it fits (n,) [mm].

    Each piece is tried along its own edges and every 5 degrees; what does not fit so, where it lies best.

    >>> from mosaiclib.layout import lay_grid
    >>> oversize(lay_grid(shapely.box(0, 0, 42, 20), 20, 2)).round(9).tolist()
    [0.0, 0.0]
    """
    if not len(layout):
        return np.zeros(0)
    gives = _gives(layout)
    over = _over(layout.shapes, gives)
    large = np.flatnonzero(over > 0)
    over[large] = [_least_over(*one) for one in zip(layout.shapes[large], gives[large], strict=True)]
    return over


def _least_over(shape: Polygon, gives: np.ndarray) -> float:
    """Return how far a piece is larger than the sides of its blank, shape (2,), where it lies best [mm].

    As it turns from one edge to the next the same corners reach farthest, and each size is a concave sine: the greater
    excess is least along an edge, or where both are alike.
    """
    points = shapely.get_coordinates(shapely.convex_hull(shape))
    edge = np.diff(points, axis=0)
    along = np.arctan2(edge[:, 1], edge[:, 0]) % (np.pi / 2)
    turns = np.sort(np.concatenate([along, along + np.pi / 2]))
    place = _along(points, (turns + np.append(turns[1:], turns[0] + np.pi)) / 2)
    (ax, ay), (bx, by) = (points[np.argmax(on, axis=0)].T - points[np.argmin(on, axis=0)].T for on in place)
    x, y = ax - by, ay + bx
    alike = np.arccos(np.clip((gives[0] - gives[1]) / np.maximum(np.hypot(x, y), EXACT), -1, 1))
    tried = np.concatenate([turns, np.arctan2(y, x) + alike, np.arctan2(y, x) - alike])
    return float((np.ptp(_along(points, tried), axis=1) - gives[:, None]).max(axis=0).min())


def _along(points: np.ndarray, turns: np.ndarray) -> np.ndarray:
    """Return the places of points along axes with some turns, and square to them, shape (2, points, turns) [mm]."""
    c, s = np.cos(turns), np.sin(turns)
    return np.stack([points @ np.stack([c, s]), points @ np.stack([-s, c])])


def _over(shapes: np.ndarray, gives: np.ndarray) -> np.ndarray:
    """Return how far pieces are larger than short and long side of their blank, shape (n, 2), every few degrees [mm]."""
    points, owner = shapely.get_coordinates(shapes, return_index=True)
    start = np.searchsorted(owner, np.arange(len(shapes)))
    count = np.diff(np.append(start, len(points)))
    angles = [np.full(len(shapes), angle) for angle in np.radians(np.arange(0.0, 90.0, STEP))]
    for k in range(min(int(count.max()) - 1, DIRECTIONS)):
        at = np.minimum(start + k, start + count - 2)
        edge = points[at + 1] - points[at]
        angles.append(np.arctan2(edge[:, 1], edge[:, 0]))
    best = np.full(len(shapes), np.inf)
    for angle in angles:
        c, s = np.cos(angle)[owner], np.sin(angle)[owner]
        turned = points[:, 0] * c + points[:, 1] * s, points[:, 1] * c - points[:, 0] * s
        sizes = [np.maximum.reduceat(u, start) - np.minimum.reduceat(u, start) for u in turned]
        best = np.minimum(best, (np.sort(np.stack(sizes, axis=1), axis=1) - gives).max(axis=1))
    return best


def _gives(layout: Layout) -> np.ndarray:
    """Return short and long side of what each piece is cut from, shape (n, 2) [mm]."""
    side = layout.pieces["tile"].to_numpy()
    side = np.where(side > 0, side, layout.tile.side)
    return side[:, None] * np.array([sorted(PARTS[fraction]) for fraction in layout.pieces["fraction"]])


def _where(shape) -> Text:
    x, y = shape.centroid.coords[0]
    return text("near ", mm(round(x), round(y), between=", "))


def _too_near(layout: Layout) -> list[Text]:
    """Tell of the pair of pieces that lie nearest, where they are too near."""
    seen = across(layout, layout.joint_min + 2 * layout.tile.side)
    shapes, face, origin = seen.layout.shapes, seen.layout.face_codes, seen.origin
    near = max(layout.joint_min - NIP, 1e-9)
    pairs = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=near).T
    (pairs,) = seen.met_once(pairs[(pairs[:, 0] < pairs[:, 1]) & (face[pairs[:, 0]] == face[pairs[:, 1]])])
    if not len(pairs):
        return []
    one, two = pairs.T
    gap = shapely.distance(shapes[one], shapes[two])
    shared = shapely.area(shapely.intersection(shapes[one], shapes[two]))
    if gap.min() >= layout.joint_min - 1e-9 and shared.max() <= LOST:
        return []  # tiles that may touch lie edge to edge
    worst = int(np.argmin(gap))
    a, b = one[worst], two[worst]
    names = text(f"Pieces {origin[a] + 1} and {origin[b] + 1} ", _where(shapes[a]))
    if shared.max() > LOST:
        return [text(names, " overlap.")]
    return [text(names, " are ", mm(gap[worst]), " apart; the least joint is ", mm(layout.joint_min), ".")]


def _too_large(layout: Layout) -> list[Text]:
    over = oversize(layout)
    if not len(over) or over.max() <= NIP:
        return []
    worst = int(np.argmax(over))
    return [
        text(f"Piece {worst + 1} ", _where(layout.shapes[worst]), " is ", mm(over[worst]), " larger than its tile.")
    ]


def _off_the_face(layout: Layout) -> list[Text]:
    lost = beyond_outline(layout)
    if not len(lost) or lost.max() <= 10 * LOST:
        return []
    worst = int(np.argmax(lost))
    return [text(f"Piece {worst + 1} ", _where(layout.shapes[worst]), " reaches over the edge of the face.")]
