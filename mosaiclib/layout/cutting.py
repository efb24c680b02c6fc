"""What the hand cuts: the blank of each piece, its straight cuts, and wedges grouped by the gauge that is set for them."""

__all__ = ["blanks", "ends", "gauge_classes", "hollow", "straight_cuts"]

import numpy as np
import pandas as pd
import shapely

from mosaiclib.errors import number
from mosaiclib.layout.field import HOLLOW
from mosaiclib.layout.joints import least_widths
from mosaiclib.layout.layout import LOST, NIP, PARTS, Layout, read_layout

TAPERED = ("wedge", "fan")
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


def hollow(layout: Layout) -> np.ndarray:
    """Tell which pieces, shape (n,), have an edge so hollow that it is hard to nip: by over 0.5 mm on the mean."""
    bay = shapely.area(shapely.convex_hull(layout.shapes)) - layout.areas
    return bay > HOLLOW * least_widths(layout.shapes) / 2


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
