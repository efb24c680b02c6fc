"""What closes the middle of a motif: one piece, a line of them, or pieces that run together."""

__all__ = ["LEAST_WIDTH", "MIDDLES", "Closer", "areas_of", "closers", "depth_of"]

import math
from typing import NamedTuple

import numpy as np
import shapely
from shapely import Polygon
from shapely.affinity import rotate

from mosaiclib.layout.cutting import unhollowed
from mosaiclib.layout.joints import least_widths
from mosaiclib.layout.layout import Layout, mitred

MIDDLES = {"piece": (0.25, 0.46), "fan": (0.45, 0.95), "field": (0.8, 1.6)}  # its half width over the tile's side
LEAST_WIDTH = 3.0  # [mm] a narrower piece is a sliver, as in a field
PIECE = 0.015  # of a tile's area: so much glass more is worth a piece more; assumed
NARROW, ODD = 0.35, 4.0  # of a tile's side: so narrow a piece costs as much as so many others; assumed
BEVEL = 1.5  # joints: no further does a sharp tip keep others away
POINTED = 6  # more pieces of a fan have points so sharp that they break: these are cut off
BLUNT = 1.0  # [mm] half the width of such a point that is cut off


class Closer(NamedTuple):
    """A piece in the middle: its shape [mm], its kind, and why it is so."""

    shape: Polygon
    kind: str
    why: str


def areas_of(shape: shapely.Geometry) -> list[Polygon]:
    """Return the parts of a shape that are larger than a sliver [mm]."""
    return [part for part in shapely.get_parts(shape) if isinstance(part, Polygon) and part.area > LEAST_WIDTH**2]


def depth_of(area: Polygon) -> float:
    """Return the radius of the largest circle in an area [mm]."""
    return shapely.maximum_inscribed_circle(area, tolerance=0.01).length


def closers(laid: Layout, middle: str) -> list[Closer]:
    """Return pieces for what the rows of a motif leave open, each as wide as glass must be at least."""
    grown = shapely.union_all(mitred(laid.shapes, laid.joint, BEVEL))
    left = shapely.difference(laid.outline, grown)
    wide = shapely.buffer(shapely.buffer(left, -LEAST_WIDTH / 2), LEAST_WIDTH / 2, join_style="mitre")
    found = []
    for area in areas_of(shapely.intersection(wide, left)):
        smooth = shapely.simplify(area, 0.1) & laid.outline
        found += (_fan(smooth, laid) if middle == "fan" else []) or _lined(smooth, laid)
    return found


def _sound(parts: list[Polygon]) -> bool:
    return bool(len(parts)) and bool((least_widths(np.array(parts)) >= LEAST_WIDTH - 1e-6).all())


def _lined(area: Polygon, laid: Layout) -> list[Closer]:
    """Return an area in pieces cut square to its long sides: the way that leaves least open with fewest pieces."""
    parts = _equal(area, laid)
    if len(parts) != 1:
        arms = [part for arm in unhollowed(area, laid.joint, LEAST_WIDTH) for part in _equal(arm, laid)]
        parts = max(arms, parts, key=lambda way: _merit(way, laid))
        parts = [one for part in parts for one in unhollowed(part, laid.joint, LEAST_WIDTH)]
    why = "cut: one piece closes the middle" if len(parts) == 1 else "cut: one of a line that closes the middle"
    return [Closer(part, "cut", why) for part in parts]


def _equal(area: Polygon, laid: Layout) -> list[Polygon]:
    """Return an area in equal cells no larger than a tile, in the best of the ways that they may lie."""
    return max((_gridded(area, angle, laid) for angle in _angles(area)), key=lambda way: _merit(way, laid))


def _merit(parts: list[Polygon], laid: Layout) -> float:
    """Return what pieces cover with half a joint round each, less what they cost [mm2]."""
    if not parts:
        return 0.0
    covered = shapely.area(parts) + shapely.length(parts) * laid.joint / 2
    cost = np.where(least_widths(np.array(parts)) < NARROW * laid.tile.side, ODD, 1.0)
    return float(covered.sum() - PIECE * laid.tile.side**2 * cost.sum())


def _angles(area: Polygon) -> list[float]:
    """Return the ways a grid may lie: along the frame round an area, and along its longest edges [degrees]."""
    frame = np.diff(shapely.get_coordinates(shapely.minimum_rotated_rectangle(area))[:3], axis=0)
    edges = np.diff(shapely.get_coordinates(area), axis=0)
    long = edges[np.argsort(-np.hypot(*edges.T))[:3]]
    sides = np.vstack([frame[[int(np.argmax(np.hypot(*frame.T)))]], long])
    return np.degrees(np.arctan2(sides[:, 1], sides[:, 0])).tolist()


def _gridded(area: Polygon, angle: float, laid: Layout) -> list[Polygon]:
    """Return what equal cells turned by an angle [degrees] make of an area, slivers left out."""
    level = rotate(area, -angle, origin=(0, 0))
    low, high = np.array(level.bounds).reshape(2, 2)
    counts = np.maximum(np.ceil((high - low + laid.joint) / (laid.tile.side + laid.joint) - 1e-9), 1)
    step = (high - low + laid.joint) / counts
    i, j = (one.ravel() for one in np.meshgrid(*map(np.arange, counts)))
    x, y = low[0] + i * step[0], low[1] + j * step[1]
    cells = shapely.box(x, y, x + step[0] - laid.joint, y + step[1] - laid.joint)
    parts = np.array([part for cell in shapely.intersection(cells, level) for part in areas_of(cell)], dtype=object)
    sound = parts[least_widths(parts) >= LEAST_WIDTH] if len(parts) else parts
    return [rotate(part, angle, origin=(0, 0)) for part in sound]


def _fan(area: Polygon, laid: Layout) -> list[Closer]:
    """Return pieces that run together in the middle of a round area; none where it is long, or too small or large."""
    spot = shapely.centroid(area)
    reach = max(spot.hausdorff_distance(area), 1e-9)
    if reach > 1.5 * depth_of(area) or reach > laid.tile.side:
        return []
    count = max(5, math.ceil(2 * math.pi * reach / (laid.tile.side / 2 + laid.joint)))
    opened = math.pi / count
    tip = laid.joint / 2 / math.sin(opened)  # where the joints of two neighbours meet
    near = tip + (BLUNT / math.tan(opened) if count > POINTED else 0.0)
    d = np.array([near, 2 * reach, 2 * reach, near])
    s = (d - tip) * math.tan(opened) * [-1, -1, 1, 1]
    turn = 2 * math.pi * (np.arange(count) + 0.5)[:, None] / count
    across, up = d * np.cos(turn) - s * np.sin(turn), d * np.sin(turn) + s * np.cos(turn)
    slices = shapely.make_valid(shapely.polygons(np.stack([across + spot.x, up + spot.y], axis=-1)))
    parts = [part for one in shapely.intersection(slices, area) for part in areas_of(one)]
    fans = [Closer(part, "fan", "fan: they run together in the middle") for part in parts]
    if count > POINTED and 2 * (near - laid.joint) >= LEAST_WIDTH:
        corners = 2 * math.pi * np.arange(count) / count
        round_ = np.stack([np.cos(corners), np.sin(corners)], axis=1) * (near - laid.joint) / math.cos(opened)
        fans.append(
            Closer(
                Polygon(round_ + shapely.get_coordinates(spot)), "cut", "cut: one piece closes the middle of the fan"
            )
        )
    return fans if _sound([one.shape for one in fans]) else []
