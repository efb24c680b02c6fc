"""The grid's squares, cut to what the rows leave of a face; everything in the grid's own axes."""

__all__ = ["Cells", "Frame", "Grid", "balanced", "cut_cells", "framed", "rim_of", "turned"]

import math
from typing import NamedTuple

import numpy as np
import shapely
from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from mosaiclib.errors import MosaicError
from mosaiclib.layout.layout import LOST, Layout, mitred
from mosaiclib.layout.symmetry import CentreLine

COLUMN, BROAD, FINE = 36.0, 12.0, 2.0  # [pitches] steps of the windows through which the free area is cut
REACH = 1.6  # [pitches] two squares together reach no farther from their middle
STROKES = 12  # in a pitch of an edge that is followed
LEVEL = math.cos(math.radians(30))  # a level edge leans less than 30 degrees
EDGE = 1e-6  # [mm] within which an area reaches the edge of its face
MIRRORED = 0.02  # share of a region, and of a tile, that its mirror image may miss
LEANING = 1e-3  # a centre line leans less against the grid
REGION = 1.0  # tiles: what the rows close off has a grid of its own if it is so large; the rest has one together
MOST_REGIONS = 60  # the largest, so that a wall of many small ones is laid within reason


class Grid(NamedTuple):
    """A grid's shift across and down from the face's left and top [mm], its turn [degrees], its joints [mm], and where it lies.

    Joints across and down are those of the field where none are given; the spot is a point of the region that it fills.
    """

    across: float
    down: float
    angle: float = 0.0
    joints: tuple[float, float] | None = None
    spot: tuple[float, float] | None = None


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
        if len(self.parts) == 1:
            return np.repeat(self.parts, len(shapes))
        middle = shapely.get_coordinates(shapely.centroid(shapes))
        at = np.clip(((middle - self.begin) / self.step).astype(int), 0, np.array(self.count) - 1)
        return self.parts[at[:, 1] * self.count[0] + at[:, 0]]


class Level(NamedTuple):
    """Edges of a region that lie about square to an axis of its grid, in short strokes, one entry each.

    Place along the axis from the region's left or top, whether the region begins there, length [mm], whether a row is there.
    """

    place: np.ndarray
    begins: np.ndarray
    long: np.ndarray
    rows: np.ndarray


class Frame(NamedTuple):
    """A region of a face where a grid goes, turned so that the grid stands straight.

    Face, bounds of the region, and free area, whole and in parts that hold all there is round two squares, or one; its level
    edges, across and down, whether it is laid alike on both sides these ways, and about which middle from its left and top;
    tile side, joints across and down, shape (2,) [mm], pattern, turn [degrees] and the point that is turned about.
    """

    face: Polygon
    bounds: tuple[float, float, float, float]
    free: BaseGeometry
    broad: Windows
    fine: Windows
    level: tuple[Level, Level]
    mirrored: tuple[bool, bool]
    middle: np.ndarray
    side: float
    joints: np.ndarray
    pattern: str
    angle: float
    centre: Point

    @property
    def pitch(self) -> np.ndarray:
        """From one tile to the next, across and down, shape (2,) [mm]."""
        return self.side + self.joints

    @property
    def size(self) -> tuple[int, int]:
        """Columns and rows of squares that cover the region with any shift."""
        x0, y0, x1, y1 = self.bounds
        wide, high = self.pitch.tolist()
        return math.ceil((x1 - x0) / wide) + 2, math.ceil((y1 - y0) / high) + 2

    @property
    def balanced(self) -> np.ndarray:
        """The shift that puts a tile in the middle, shape (2,) [mm]."""
        return balanced(self.middle, self.side, self.pitch)

    @property
    def offset(self) -> np.ndarray:
        """How far the region's left and top lie inside those of the face, shape (2,) [mm]."""
        x0, _, _, y1 = self.face.bounds
        return np.array([self.bounds[0] - x0, y1 - self.bounds[3]])

    def grid(self, shift: np.ndarray) -> Grid:
        """Return the grid with a shift from the region's own left and top, shape (2,) [mm]."""
        spot = turned(shapely.point_on_surface(self.free), self.angle, self.centre)
        across, down = self._moved(shift, self.offset).tolist()
        return Grid(across, down, self.angle, tuple(self.joints.tolist()), (spot.x, spot.y))

    def shift(self, grid: Grid) -> np.ndarray:
        """Return a grid's shift from the region's own left and top, shape (2,) [mm]."""
        return self._moved(np.array(grid[:2]), -self.offset)

    def _moved(self, shift: np.ndarray, by: np.ndarray) -> np.ndarray:
        """Return a shift from another left and top [mm]; in a bond the lines between count."""
        across, down = shift + by
        if self.pattern == "running bond":
            across += down // self.pitch[1] % 2 * self.pitch[0] / 2
        return np.array([across, down]) % self.pitch


def turned(shapes: object, angle: float, centre: Point) -> object:
    """Return shapes turned about a point [degrees, mm]."""
    if not angle:
        return shapes
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    middle = np.array([centre.x, centre.y])
    return shapely.transform(shapes, lambda xy: (xy - middle) @ np.array([[c, s], [-s, c]]) + middle)


def framed(
    face: Polygon,
    around: Layout,
    side: float,
    joint: float,
    pattern: str,
    angle: float,
    often: bool = True,
    line: CentreLine | None = None,
) -> list[Frame]:
    """Return each region that the rows leave for a grid, a joint away from them [mm, degrees], the largest first.

    Whether they are cut `often`, and the line that they are laid alike on both sides of. What is smaller than a tile is one
    region together.
    """
    centre = shapely.centroid(face)
    free, straight = (
        turned(area, -angle, centre) for area in (shapely.difference(face, mitred(around.outline, joint)), face)
    )
    joints = np.array([joint, joint])
    found = []
    for region in _regions(free, straight, side):
        broad, fine = _seen(region, side + joint, often)
        level = _level(region, straight, (side + joint) / STROKES) if often else ()
        alike = _mirrored(region, side) if often else (False, False)
        alike, middle = _about(line, alike, region.bounds, angle, centre)
        known = region.bounds, region, broad, fine, level, alike, middle
        found.append(Frame(straight, *known, side, joints, pattern, angle, centre))
    return found


def _about(line: CentreLine | None, alike: tuple[bool, bool], bounds, angle: float, centre: Point) -> tuple:
    """Tell whether a region is laid alike left to right, and up and down, and about which middle, shape (2,) [mm].

    It is where it is so by itself, and where a centre line goes through it.
    """
    x0, y0, x1, y1 = bounds
    middle = np.array([x1 - x0, y1 - y0]) / 2
    if line is None:
        return alike, middle
    ends = turned(shapely.linestrings([line.point, line.point + line.along]), -angle, centre)
    (x, y), (u, v) = np.array(ends.coords[0]), np.diff(ends.coords, axis=0)[0]
    if min(abs(u), abs(v)) > LEANING:
        turn = round(angle + math.degrees(math.atan2(v, u))) % 90
        raise MosaicError(
            "The grid lies askew to the centre line, so that it cannot be alike on both sides. "
            f"Lay it turned by {turn} degrees."
        )
    if abs(u) < abs(v):
        return ((True, alike[1]), np.array([x - x0, middle[1]])) if x0 < x < x1 else (alike, middle)
    return ((alike[0], True), np.array([middle[0], y1 - y])) if y0 < y < y1 else (alike, middle)


def _mirrored(region: BaseGeometry, side: float) -> tuple[bool, bool]:
    """Tell whether a region is its own mirror image left to right, and up and down, but for less than a tile's side [mm]."""
    area = shapely.simplify(region, MIRRORED * side)
    middle = np.array(region.bounds).reshape(2, 2).mean(axis=0)
    turned = [shapely.transform(area, lambda xy, way=way: middle + (xy - middle) * way) for way in ((-1, 1), (1, -1))]
    across, down = shapely.area(shapely.intersection(area, turned)) > (1 - MIRRORED) * area.area
    return bool(across), bool(down)


def _level(region: BaseGeometry, face: Polygon, stroke: float) -> tuple[Level, Level]:
    """Return the level edges of a region, in strokes up to a length [mm]."""
    edges, rim = rim_of(region), shapely.boundary(face)
    shapely.prepare(rim)
    rows = ~shapely.dwithin(rim, shapely.points(edges.mean(axis=1)), EDGE)
    points, edge = shapely.get_coordinates(shapely.segmentize(shapely.linestrings(edges), stroke), return_index=True)
    same = edge[1:] == edge[:-1]
    step, middle, rows = np.diff(points, axis=0)[same], ((points[1:] + points[:-1]) / 2)[same], rows[edge[1:][same]]
    long = np.hypot(*step.T)
    place = np.abs(middle - np.array([region.bounds[0], region.bounds[3]]))
    found = []
    for axis, begins in ((0, step[:, 1] < 0), (1, step[:, 0] < 0)):  # the region lies to the left of its edges
        level = np.abs(step[:, 1 - axis]) > LEVEL * long
        found.append(Level(place[level, axis], begins[level], long[level], rows[level]))
    return tuple(found)


def rim_of(area: BaseGeometry) -> np.ndarray:
    """Return the edges of an area, glass on their left, shape (m, 2, 2) [mm]."""
    rings = shapely.get_rings(shapely.orient_polygons(shapely.get_parts(shapely.remove_repeated_points(area))))
    points, ring = shapely.get_coordinates(rings, return_index=True)
    return np.stack([points[:-1], points[1:]], axis=1)[ring[1:] == ring[:-1]]


def _regions(free: BaseGeometry, face: Polygon, side: float) -> list[BaseGeometry]:
    """Return the parts of a free area that rows enclose and that are larger than a tile [mm], and all others as one, the largest first.

    What reaches the face's edge is one region, so that the grid goes on behind a band.
    """
    parts = shapely.get_parts(free)
    parts = parts[(shapely.get_type_id(parts) == 3) & (shapely.area(parts) > LOST)]
    parts = parts[np.argsort(-shapely.area(parts), kind="stable")]
    enclosed = (shapely.area(parts) > REGION * side**2) & ~shapely.dwithin(parts, shapely.boundary(face), EDGE)
    enclosed &= np.cumsum(enclosed) < MOST_REGIONS
    rest = parts[~enclosed]
    found = [*parts[enclosed], *([rest[0] if len(rest) == 1 else shapely.multipolygons(rest)] if len(rest) else [])]
    return sorted(found, key=shapely.area, reverse=True)


def _seen(free: BaseGeometry, pitch: float, often: bool) -> tuple[Windows, Windows]:
    """Return a free area through broad windows and, if it is to be cut `often`, through fine ones."""
    shapely.prepare(free)
    columns = _windows(free, None, free.bounds, COLUMN * pitch, BROAD * pitch, high=True)
    broad = _windows(free, columns, free.bounds, BROAD * pitch, REACH * pitch)
    return broad, _windows(free, broad, free.bounds, FINE * pitch, pitch / 2) if often else broad


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


def balanced(middle: float | np.ndarray, side: float, pitch: float | np.ndarray) -> float | np.ndarray:
    """Return the shift that puts the middle of a tile of a side at a place [mm]."""
    return (middle - side / 2) % pitch


def cut_cells(frame: Frame, shifts: np.ndarray, squares: np.ndarray | None = None) -> Cells:
    """Return the pieces of a grid with each of some shifts, shape (k, 2) [mm], cut to the free area, rows from the top.

    Shifts count from the region's own left and top. Only those of some squares, if given: number of the shift, column and
    row, shape (n, 3). A square may give several.
    """
    squares = _every_square(frame, len(shifts)) if squares is None else squares
    boxes = _drawn_squares(frame, shifts, squares)
    near = np.flatnonzero(shapely.intersects(frame.free, boxes))
    inner = shapely.covers(frame.free, boxes[near])
    cut = near[~inner]
    parts, owner = shapely.get_parts(shapely.intersection(boxes[cut], frame.fine.near(boxes[cut])), return_index=True)
    solid = (shapely.get_type_id(parts) == 3) & (shapely.area(parts) > LOST)
    source = np.concatenate([near[inner], cut[owner[solid]]])
    shapes = np.concatenate([boxes[near[inner]], parts[solid]])
    shift, column, row = squares[source].T
    order = np.lexsort((column, row, shift))
    return Cells(shapes[order], *squares[source[order]].T)


def _every_square(frame: Frame, count: int) -> np.ndarray:
    """Return number of the shift, column and row of all squares for so many shifts, shape (n, 3)."""
    wide, high = frame.size
    return np.stack(np.unravel_index(np.arange(count * high * wide), (count, high, wide)), axis=1)[:, [0, 2, 1]]


def _drawn_squares(frame: Frame, shifts: np.ndarray, squares: np.ndarray) -> np.ndarray:
    """Return some squares as `cut_cells` has them as polygons, shape (n,) [mm]."""
    shift, column, row = squares.T
    offset = (np.asarray(shifts, dtype=float) % frame.pitch)[shift]
    wide, high = frame.pitch
    step = (row % 2) * wide / 2 if frame.pattern == "running bond" else 0.0
    left = frame.bounds[0] - wide + offset[:, 0] + column * wide - step
    top = frame.bounds[3] + high - offset[:, 1] - row * high
    return shapely.box(left, top - frame.side, left + frame.side, top)
