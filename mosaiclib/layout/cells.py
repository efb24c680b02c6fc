"""The grid's squares, cut to what the rows leave of a face; everything in the grid's own axes."""

__all__ = ["Cells", "Frame", "balanced", "cut_cells", "framed", "turned"]

import math
from typing import NamedTuple

import numpy as np
import shapely
from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from mosaiclib.layout.layout import LOST, Layout, mitred

COLUMN, BROAD, FINE = 36.0, 12.0, 2.0  # [pitches] steps of the windows through which the free area is cut
REACH = 1.6  # [pitches] two squares together reach no farther from their middle


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


class Windows(NamedTuple):
    """Parts of an area, as seen through windows that lie over each other; cutting costs as much as what is cut has corners.

    Where the first begins, and the step to the next [mm]; their number across and up, and the parts, row by row.
    """

    begin: np.ndarray
    step: float
    count: tuple[int, int]
    parts: np.ndarray

    def near(self, shapes: np.ndarray) -> np.ndarray:
        """Return for each shape the part that holds all there is of the area about it."""
        middle = shapely.get_coordinates(shapely.centroid(shapes))
        at = np.clip(((middle - self.begin) / self.step).astype(int), 0, np.array(self.count) - 1)
        return self.parts[at[:, 1] * self.count[0] + at[:, 0]]


class Frame(NamedTuple):
    """Where the field goes, turned so that the grid stands straight.

    Face, its bounds, and free area, whole and in parts that hold all there is round two squares, or one; tile side and joint
    [mm], pattern, turn [degrees] and the point that is turned about.
    """

    face: Polygon
    bounds: tuple[float, float, float, float]
    free: BaseGeometry
    broad: Windows
    fine: Windows
    side: float
    joint: float
    pattern: str
    angle: float
    centre: Point

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


def framed(
    face: Polygon, around: Layout, side: float, joint: float, pattern: str, angle: float, often: bool = True
) -> Frame:
    """Return the area that is free for a grid, a joint away from the rows [mm, degrees]; whether it is cut `often`."""
    kept = mitred(around.outline, joint)
    centre = shapely.centroid(face)
    free, straight = (turned(area, -angle, centre) for area in (shapely.difference(face, kept), face))
    bounds = straight.bounds
    shapely.prepare(free)
    pitch = side + joint
    columns = _windows(free, None, bounds, COLUMN * pitch, BROAD * pitch, high=True)
    broad = _windows(free, columns, bounds, BROAD * pitch, REACH * pitch)
    fine = _windows(free, broad, bounds, FINE * pitch, pitch / 2) if often else broad
    return Frame(straight, bounds, free, broad, fine, side, joint, pattern, angle, centre)


def _windows(
    free: BaseGeometry, wider: Windows | None, bounds, step: float, over: float, high: bool = False
) -> Windows:
    """Cut an area to windows of a step and so much more all round [mm], as high as the bounds or square."""
    x0, y0, x1, y1 = bounds
    count = max(1, math.ceil((x1 - x0) / step)), 1 if high else max(1, math.ceil((y1 - y0) / step))
    if count == (1, 1):
        return Windows(np.array([x0, y0]), step, count, np.array([free]))
    row, column = np.divmod(np.arange(count[0] * count[1]), count[0])
    left, low = x0 + column * step, y0 + row * step
    top = y1 if high else low + step
    windows = shapely.box(left - over, low - over, left + step + over, top + over)
    edge = np.flatnonzero(shapely.intersects(free, windows) & ~shapely.covers(free, windows))
    parts = windows.copy()  # inside the area, and where there is none of it, nothing is cut
    parts[edge] = shapely.intersection(windows[edge], free if wider is None else wider.near(windows[edge]))
    return Windows(np.array([x0, y0]), step, count, parts)


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
    parts, owner = shapely.get_parts(shapely.intersection(boxes[cut], frame.fine.near(boxes[cut])), return_index=True)
    solid = (shapely.get_type_id(parts) == 3) & (shapely.area(parts) > LOST)
    source = np.concatenate([near[inner], cut[owner[solid]]])
    shapes = np.concatenate([boxes[near[inner]], parts[solid]])
    order = np.lexsort((column[source], row[source], shift[source]))
    return Cells(shapes[order], *squares[source[order]].T)
