"""What must hold of every finished layout, and a sentence for each place where it does not."""

__all__ = ["broken", "oversize", "reported_share", "within_outside_spans"]

import numpy as np
import shapely

from mosaiclib.errors import instance
from mosaiclib.layout.joints import joints_of, survey
from mosaiclib.layout.layout import Layout, lowest_row
from mosaiclib.layout.rowspec import PARTS

ALLOWED = 0.02  # [mm] what a nip cannot be held to anyway
SPAN_REACH = 1.2  # joints: a joint this near to a reported span belongs to it
DIRECTIONS = 12  # edges of a piece along which it is tried against its tile


def oversize(layout: Layout) -> np.ndarray:
    """Return how far each piece, turned freely, is larger than what its tile gives.

    Parameters
    ----------
    layout : Layout
        The pieces; fraction and tile are read from its table.

    Returns
    -------
    array, shape (n,)
        Excess of width or height [mm]; below 0 where it fits.

    Notes
    -----
    Each piece is tried along its own edges and every 5 degrees.

    Examples
    --------
    >>> from mosaiclib.layout import lay_grid
    >>> oversize(lay_grid(shapely.box(0, 0, 42, 20), 20, 2)).round(9).tolist()
    [0.0, 0.0]
    """
    if not len(layout):
        return np.zeros(0)
    points, owner = shapely.get_coordinates(layout.shapes, return_index=True)
    start = np.searchsorted(owner, np.arange(len(layout)))
    count = np.diff(np.append(start, len(points)))
    room = _room(layout)
    angles = [np.full(len(layout), angle) for angle in np.radians(np.arange(0.0, 90.0, 5.0))]
    for k in range(min(int(count.max()) - 1, DIRECTIONS)):
        at = np.minimum(start + k, start + count - 2)
        edge = points[at + 1] - points[at]
        angles.append(np.arctan2(edge[:, 1], edge[:, 0]))
    best = np.full(len(layout), np.inf)
    for angle in angles:
        c, s = np.cos(angle)[owner], np.sin(angle)[owner]
        turned = points[:, 0] * c + points[:, 1] * s, points[:, 1] * c - points[:, 0] * s
        sizes = [np.maximum.reduceat(u, start) - np.minimum.reduceat(u, start) for u in turned]
        best = np.minimum(best, (np.sort(np.stack(sizes, axis=1), axis=1) - room).max(axis=1))
    return best


def _room(layout: Layout) -> np.ndarray:
    """Return short and long side of what each piece is cut from [mm]."""
    sides = {name: float(name.split()[0]) for name in set(layout.pieces["tile"]) if name}
    side = np.array([sides.get(name, layout.tile.side) for name in layout.pieces["tile"]])
    share = np.array([sorted(PARTS[fraction]) for fraction in layout.pieces["fraction"]])
    return side[:, None] * share


def reported_share(layout: Layout) -> tuple[float, float]:
    """Return the length of row stretches that are reported as fan or seam, and of all stretches.

    Parameters
    ----------
    layout : Layout
        Rows, with or without field.

    Returns
    -------
    tuple of float
        Reported and whole length, along the guide [mm].

    Examples
    --------
    >>> from mosaiclib.layout import lay_grid
    >>> reported_share(lay_grid(shapely.box(0, 0, 42, 20), 20, 2))
    (0.0, 0.0)
    """
    lengths = [(span.end - span.begin, span.reported) for span in layout.spans]
    return float(sum(one for one, reported in lengths if reported)), float(sum(one for one, _ in lengths))


def within_outside_spans(layout: Layout) -> tuple[float, float]:
    """Return the joint length outside reported spans that is at or under the greatest joint, and all of it.

    Parameters
    ----------
    layout : Layout
        Rows, with or without field.

    Returns
    -------
    tuple of float
        Length within, and all length, outside reported spans [mm].

    Examples
    --------
    >>> from mosaiclib.layout import lay_grid
    >>> within_outside_spans(lay_grid(shapely.box(0, 0, 42, 20), 20, 2))
    (20.0, 20.0)
    """
    met = joints_of(layout)
    outside = np.ones(len(met.length), bool)
    areas = [span.shape.buffer(SPAN_REACH * layout.joint) for span in layout.spans if span.reported]
    if areas:
        hit = shapely.STRtree(areas).query(shapely.points(met.middle), predicate="intersects")
        outside[hit[0]] = False
    fine = np.maximum(met.start_gap, met.end_gap) <= layout.joint_max + 1e-6
    return float(met.length[outside & fine].sum()), float(met.length[outside].sum())


def broken(layout: Layout) -> list[str]:
    """Check a layout and say in a sentence what is wrong and where.

    Parameters
    ----------
    layout : Layout
        Any layout.

    Returns
    -------
    list of str
        One sentence for each rule that is broken; empty if all hold.

    Notes
    -----
    No overlap; no joint under the least by over 0.02 mm; no piece larger than its tile; every piece on the
    face; pieces, joints and gaps add up to the face; no unreported gap holds a circle of half the least
    height of a row. Joints over the greatest are counted by `within_outside_spans`.

    Examples
    --------
    >>> from mosaiclib.layout import lay_grid
    >>> broken(lay_grid(shapely.box(0, 0, 42, 20), 20, 2))
    []
    """
    instance(layout, Layout, "layout")
    found = [*_too_near(layout), *_too_large(layout), *_off_the_face(layout)]
    gap = survey(layout).gap_radius
    rows = layout.pieces[layout.pieces["band"] == "rows"]
    room = (lowest_row(rows) if len(rows) else layout.tile.side) / 2
    if gap > room:
        found.append(f"A gap that nobody told of holds a circle of {gap:.1f} mm radius.")
    return found


def _where(shape) -> str:
    x, y = shape.centroid.coords[0]
    return f"near {x:.0f}, {y:.0f} mm"


def _too_near(layout: Layout) -> list[str]:
    """Tell of the pair of pieces that lie nearest, where they are too near."""
    shapes = layout.shapes
    tree = shapely.STRtree(shapes)
    one, two = tree.query(shapes, predicate="dwithin", distance=max(layout.joint_min - ALLOWED, 1e-9))
    face = layout.pieces["face"].to_numpy()
    pair = (one < two) & (face[one] == face[two])
    if not pair.any():
        return []
    one, two = one[pair], two[pair]
    gap = shapely.distance(shapes[one], shapes[two])
    shared = shapely.area(shapely.intersection(shapes[one], shapes[two]))
    if gap.min() >= layout.joint_min - 1e-9 and shared.max() <= 1e-6:
        return []  # tiles that may touch lie edge to edge
    worst = int(np.argmin(gap))
    a, b = one[worst], two[worst]
    names = f"Pieces {a + 1} and {b + 1} {_where(shapes[a])}"
    if shapely.area(shapely.intersection(shapes[one], shapes[two])).max() > 1e-6:
        return [f"{names} overlap."]
    return [f"{names} are {gap[worst]:.2f} mm apart; the least joint is {layout.joint_min:g} mm."]


def _too_large(layout: Layout) -> list[str]:
    over = oversize(layout)
    if not len(over) or over.max() <= ALLOWED:
        return []
    worst = int(np.argmax(over))
    return [f"Piece {worst + 1} {_where(layout.shapes[worst])} is {over[worst]:.2f} mm larger than its tile."]


def _off_the_face(layout: Layout) -> list[str]:
    lost = shapely.area(shapely.difference(layout.shapes, layout.outline))
    if not len(lost) or lost.max() <= 1e-5:
        return []
    worst = int(np.argmax(lost))
    return [f"Piece {worst + 1} {_where(layout.shapes[worst])} reaches over the edge of the face."]
