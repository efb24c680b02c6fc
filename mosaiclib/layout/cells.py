"""The grid's squares, cut to what the rows leave of a face; everything in the grid's own axes."""

__all__ = ["Cells", "Frame", "balanced", "cut_cells", "framed", "turned"]

import math
from typing import NamedTuple

import numpy as np
import shapely
from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from mosaiclib.layout.layout import LOST, Layout

MOST_CORNERS = 1000  # of one part of the free area


class Cells(NamedTuple):
    """Pieces of the field, one entry each: shape [mm], number of the shift it is laid with, column and row of its square."""

    shapes: np.ndarray
    shift: np.ndarray
    column: np.ndarray
    row: np.ndarray

    def code(self, across: int = 0, down: int = 0) -> np.ndarray:
        """Return a number for each square, or for the one so many columns and rows off; no two are alike."""
        wide, high = self.column.max(initial=0) + 8, self.row.max(initial=0) + 8
        return (self.shift * high + self.row + down + 3) * wide + self.column + across + 3


class Frame(NamedTuple):
    """Where the field goes, turned so that the grid stands straight.

    Face, its bounds, and free area, whole and in overlapping parts, tile side and joint [mm], pattern, turn [degrees] and
    the point that is turned about.
    """

    face: Polygon
    bounds: tuple[float, float, float, float]
    free: BaseGeometry
    parts: np.ndarray
    begin: float
    step: float
    side: float
    joint: float
    pattern: str
    angle: float
    centre: Point

    def near(self, shapes: np.ndarray) -> np.ndarray:
        """Return for each shape a part of the free area that holds all of it, for cutting along a long wall."""
        x = shapely.get_x(shapely.centroid(shapes))
        return self.parts[np.clip(((x - self.begin) / self.step).astype(int), 0, len(self.parts) - 1)]

    @property
    def pitch(self) -> float:
        """From one tile to the next [mm]."""
        return self.side + self.joint

    @property
    def size(self) -> tuple[int, int]:
        """Columns and rows of squares that cover the face with any shift."""
        x0, y0, x1, y1 = self.bounds
        return math.ceil((x1 - x0) / self.pitch) + 2, math.ceil((y1 - y0) / self.pitch) + 2


def turned(shapes: object, angle: float, centre: Point) -> object:
    """Return shapes turned about a point [degrees, mm]."""
    if not angle:
        return shapes
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    middle = np.array([centre.x, centre.y])
    return shapely.transform(shapes, lambda xy: (xy - middle) @ np.array([[c, s], [-s, c]]) + middle)


def framed(face: Polygon, around: Layout, side: float, joint: float, pattern: str, angle: float) -> Frame:
    """Return the area that is free for a grid, a joint away from the rows [mm, degrees]."""
    kept = shapely.buffer(around.outline, joint, join_style="mitre", mitre_limit=2.0)
    centre = shapely.centroid(face)
    free, straight = (turned(area, -angle, centre) for area in (shapely.difference(face, kept), face))
    bounds = straight.bounds
    shapely.prepare(free)
    # cutting costs as much as the area has corners, so each square is cut by the part it lies in
    count = max(1, int(shapely.get_num_coordinates(free) // MOST_CORNERS))
    step, over = (bounds[2] - bounds[0]) / count, 3 * (side + joint)
    left = bounds[0] + np.arange(count) * step
    windows = shapely.box(left - over, bounds[1], left + step + over, bounds[3])
    parts = shapely.intersection(free, windows) if count > 1 else np.array([free])
    return Frame(straight, bounds, free, parts, bounds[0], step, side, joint, pattern, angle, centre)


def balanced(frame: Frame) -> np.ndarray:
    """Return the shift across and down that puts a tile in the middle of the face, shape (2,) [mm]."""
    x0, y0, x1, y1 = frame.bounds
    return np.array([x1 - x0 - frame.side, y1 - y0 - frame.side]) / 2 % frame.pitch


def cut_cells(frame: Frame, shifts: np.ndarray, squares: np.ndarray | None = None) -> Cells:
    """Return the pieces of a grid with each of some shifts, shape (k, 2) [mm], cut to the free area, rows from the top.

    Only those of some squares, if given: number of the shift, column and row, shape (n, 3). A square may give several.
    """
    if squares is None:
        wide, high = frame.size
        squares = np.stack(np.unravel_index(np.arange(len(shifts) * high * wide), (len(shifts), high, wide)), axis=1)
        squares = squares[:, [0, 2, 1]]
    shift, column, row = squares.T
    offset = np.asarray(shifts, dtype=float)[shift] % frame.pitch
    step = (row % 2) * frame.pitch / 2 if frame.pattern == "running bond" else 0.0
    left = frame.bounds[0] - frame.pitch + offset[:, 0] + column * frame.pitch - step
    top = frame.bounds[3] + frame.pitch - offset[:, 1] - row * frame.pitch
    boxes = shapely.box(left, top - frame.side, left + frame.side, top)
    near = np.flatnonzero(shapely.intersects(frame.free, boxes))
    inner = shapely.covers(frame.free, boxes[near])
    cut = near[~inner]
    parts, owner = shapely.get_parts(shapely.intersection(boxes[cut], frame.near(boxes[cut])), return_index=True)
    solid = (shapely.get_type_id(parts) == 3) & (shapely.area(parts) > LOST)
    source = np.concatenate([near[inner], cut[owner[solid]]])
    shapes = np.concatenate([boxes[near[inner]], parts[solid]])
    order = np.lexsort((column[source], row[source], shift[source]))
    return Cells(shapes[order], *squares[source[order]].T)
