"""Which shift of the grid, and by choice which turn, leaves the best pieces along the rows and the edge of the glass.

Every shift is judged on a coarse picture of the free area, at once; the best few on the pieces that come of them at last.
Only squares that the edge of the free area goes through are looked at: all others are whole.
"""

__all__ = ["SEARCHES", "Grid", "Laid", "laid", "laid_best", "poor_pieces"]

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from mosaiclib.layout.cells import Cells, Frame, balanced, cut_cells
from mosaiclib.layout.cutting import hollow_edges, least_angles
from mosaiclib.layout.joints import least_widths
from mosaiclib.layout.remains import LEAST_SHARE, mended

SEARCHES = {"none": 0, "few": 1, "full": 3}  # shifts that are tried on the pieces that come of them at last
BITS = 12  # bits of a pitch in the coarse picture, so many shifts each way; even, for a bond of half a tile
LINES = 2  # lines of the picture in a bit
APART = 4  # parts of the free area that are drawn each for itself, since a square may hold pieces of several
AT_ONCE = 40_000  # squares drawn at once, so that a wall stays within memory
THIN_SHARE = 1 / 3  # of the tile: a narrower piece looks poor; common practice, no source
SMALL_SHARE = 0.2  # of a tile's area: a smaller piece looks poor; common practice, no source
SHARP = 30.0  # [degrees] a sharper corner breaks and cuts; common practice, no source
LEVEL = np.cos(np.radians(30))  # an edge leans less than 30 degrees against the grid
WORTH = np.array([1.0, 1.0, 1.0, 0.5])  # of a thin, small, sharp, hollow piece; most hollow ones no shift avoids
GAP = 2.0  # a place left to the filler, in poor pieces
WIDE = 0.5  # a tile's length of joint to a row that is too wide, in poor pieces
LOPSIDED = 0.5  # a grid that lies as unevenly as can be one way, in poor pieces
EMPTY, FULL = 0.002, 0.998  # shares of a square that are none, or all of it


class Grid(NamedTuple):
    """Shift across and down [mm] and turn [degrees] of a grid."""

    across: float
    down: float
    angle: float = 0.0


class Laid(NamedTuple):
    """A grid that was laid in a frame, its pieces, and what was too small for one."""

    frame: Frame
    grid: Grid
    cells: Cells
    lost: np.ndarray


class Coarse(NamedTuple):
    """Of a frame: how poor each shift is and what its joints to the rows add to that, both (BITS, BITS), down and across.

    What is free of a square that begins at each bit, shape (rows, BITS, columns, BITS); shift of the first bits [mm].
    """

    score: np.ndarray
    wide: np.ndarray
    share: np.ndarray
    begin: np.ndarray


def poor_pieces(shapes: np.ndarray, side: float) -> np.ndarray:
    """Tell which pieces are thin, small, sharp or hollow, shape (4, n)."""
    width = least_widths(shapes)
    small = shapely.area(shapes) < SMALL_SHARE * side**2
    return np.stack([width < THIN_SHARE * side, small, least_angles(shapes) < SHARP, hollow_edges(shapes, width)])


def laid_best(frames: Sequence[Frame], search: str, least: float, nip: float, room: float) -> Laid:
    """Lay the grid, in one of some frames, with the shift that leaves the best pieces.

    Least width of a piece, how far a nip may lie off [mm], and by how much a joint to the rows may be wider than wanted [mm].
    """
    tries = SEARCHES[search]
    if not tries:
        return laid(frames[0], balanced(frames[0]), least, nip)
    found = [_coarse(frame, least, room) for frame in frames]
    scores = np.stack([coarse.score for coarse in found])
    best = np.stack(np.unravel_index(np.argsort(scores, axis=None, kind="stable")[:tries], scores.shape), axis=1)
    judged = []
    for k, (frame, coarse) in enumerate(zip(frames, found, strict=True)):
        mine = best[best[:, 0] == k]
        if len(mine):
            judged += _judged(frame, coarse, mine[:, 1:], least, nip)
    return min(judged, key=lambda one: one[0])[1]()


def laid(frame: Frame, shift: Sequence[float], least: float, nip: float) -> Laid:
    """Lay a grid with a shift across and down [mm]."""
    cells, lost, _ = mended(cut_cells(frame, np.array([shift])), frame, least, nip)
    return Laid(frame, Grid(float(shift[0]), float(shift[1]), frame.angle), cells, lost)


def _judged(
    frame: Frame, coarse: Coarse, bits: np.ndarray, least: float, nip: float
) -> Iterator[tuple[float, Callable]]:
    """Yield for some shifts, bits down and across, shape (k, 2), how poor their final pieces are, and what lays them."""
    shifts = coarse.begin + bits[:, ::-1] * frame.pitch / BITS
    there = coarse.share[:, bits[:, 0], :, bits[:, 1]]
    looked = _beside((there > EMPTY) & (there < FULL))  # even where next to nothing is free, it may be a tip of glass
    cells, lost, owner = mended(cut_cells(frame, shifts, _squares_of(looked)), frame, least, nip)
    cut = np.flatnonzero(shapely.area(cells.shapes) < frame.side**2 * FULL)
    worth = WORTH @ poor_pieces(cells.shapes[cut], frame.side)
    score = np.bincount(cells.shift[cut], worth, len(shifts)) + GAP * np.bincount(owner, minlength=len(shifts))
    score += coarse.wide[bits[:, 0], bits[:, 1]]

    def lay(k: int) -> Laid:
        """Lay what was not looked at too."""
        rest, more, _ = mended(cut_cells(frame, shifts[[k]], _squares_of(~looked[[k]])), frame, least, nip)
        mine = [column[cells.shift == k] for column in cells]
        every = Cells(*(np.concatenate(both) for both in zip(mine, rest, strict=True)))
        order = np.lexsort((every.column, every.row))
        across, down = shifts[k].tolist()
        kept = Cells(*(column[order] for column in every))
        return Laid(frame, Grid(across, down, frame.angle), kept, np.concatenate([lost[owner == k], more]))

    for k in range(len(shifts)):
        yield round(float(score[k]), 6), partial(lay, k)


def _squares_of(marked: np.ndarray) -> np.ndarray:
    """Return shift, column and row of the marked squares, shape (n, 3), from (shift, row, column)."""
    return np.stack(np.nonzero(marked), axis=1)[:, [0, 2, 1]]


def _beside(marked: np.ndarray) -> np.ndarray:
    """Return the marked squares, shape (k, rows, columns), and those beside them."""
    found = marked.copy()
    found[:, 1:] |= marked[:, :-1]
    found[:, :-1] |= marked[:, 1:]
    found[..., 1:] |= marked[..., :-1]
    found[..., :-1] |= marked[..., 1:]
    return found


# --- the coarse picture ------------------------------------------------------------------------------------


def _coarse(frame: Frame, least: float, room: float) -> Coarse:
    """Judge all shifts at once, by the area and the thickness of what is free of each square."""
    wide, high = frame.size
    bit = frame.pitch / BITS
    begin = balanced(frame) % bit
    corner = np.array([frame.bounds[0] - frame.pitch + begin[0], frame.bounds[3] + frame.pitch - begin[1]])
    share, score = np.zeros((high, BITS, wide, BITS), dtype=np.float32), np.zeros((BITS, BITS))
    for part in _parts(frame.free):
        x0, y0, x1, y1 = part.bounds
        first = max(0, int((x0 - corner[0]) / frame.pitch) - 2)
        last = min(wide, int((x1 - corner[0]) / frame.pitch) + 2)
        top = max(0, int((corner[1] - y1) / frame.pitch) - 2)
        low = min(high, int((corner[1] - y0) / frame.pitch) + 2)
        lines = max(1, AT_ONCE // (BITS * BITS * (last - first)))
        edges = _edges(part, corner + np.array([first, 0]) * frame.pitch, bit)
        for row in range(top, low, lines):
            rows = min(lines, low - row)
            drawn = _drawn(edges, row * BITS, (rows + 1) * BITS, (last - first + 1) * BITS)
            area, thick = _squares(drawn, frame, row)
            share[row : row + rows, :, first:last] += area
            score += _poor(area, thick, least / frame.side).sum(axis=(0, 2))
    wider = _wider(frame, corner, room)
    return Coarse(score + wider + _lopsided(frame, begin), wider + _lopsided(frame, begin), share, begin)


def _parts(free: BaseGeometry) -> list[BaseGeometry]:
    """Return the largest parts of the free area, and all others as one."""
    parts = shapely.get_parts(free)
    parts = parts[shapely.get_type_id(parts) == 3]
    parts = parts[np.argsort(-shapely.area(parts))]
    rest = shapely.multipolygons(parts[APART:]) if len(parts) > APART else None
    return [part for part in (*parts[:APART], rest) if part is not None and not part.is_empty]


def _edges(part: BaseGeometry, corner: np.ndarray, bit: float) -> np.ndarray:
    """Return the edges of an area, glass on their left, shape (m, 2, 2), in bits across and down from a corner."""
    rings = shapely.get_rings(shapely.orient_polygons(shapely.get_parts(part)))
    points, ring = shapely.get_coordinates(rings, return_index=True)
    points = (points - corner) / bit * np.array([1.0, -1.0])
    return np.stack([points[:-1], points[1:]], axis=1)[ring[1:] == ring[:-1]]


def _drawn(edges: np.ndarray, top: int, high: int, wide: int) -> np.ndarray:
    """Return how much of each bit an area covers, 0 to 1, shape (high, wide), from a line of bits downwards."""
    at = (edges[..., 1] - top) * LINES - 0.5  # in lines of the picture
    begin, end = np.ceil(at.min(axis=1)).astype(int), np.ceil(at.max(axis=1)).astype(int)
    begin, end = np.clip(begin, 0, high * LINES), np.clip(end, 0, high * LINES)
    count = end - begin
    edge = np.repeat(np.arange(len(edges)), count)
    line = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count) + begin[edge]
    share = (line - at[edge, 0]) / (at[edge, 1] - at[edge, 0])
    x = edges[edge, 0, 0] + share * (edges[edge, 1, 0] - edges[edge, 0, 0])
    # the area lies to the right of an edge that leads down
    sign = np.where(at[edge, 1] > at[edge, 0], 1.0, -1.0) / LINES
    x = np.clip(x, 0, wide - 1.001)
    bit = np.floor(x).astype(int)
    flat, part = line // LINES * (wide + 1) + bit, x - bit
    filled = np.bincount(flat, sign * (1 - part), high * (wide + 1)) + np.bincount(
        flat + 1, sign * part, high * (wide + 1)
    )
    return np.cumsum(filled.reshape(high, wide + 1), axis=1)[:, :wide]


def _squares(drawn: np.ndarray, frame: Frame, row: int) -> tuple[np.ndarray, np.ndarray]:
    """Return area and thickness of what is drawn of a square that begins at each bit, shape (rows, BITS, columns, BITS).

    As shares of the tile's and of its side; the thickness of a bar with the same moments.
    """
    long = frame.side / frame.pitch * BITS
    high, wide = drawn.shape[0] // BITS - 1, drawn.shape[1] // BITS - 1
    v, u = np.arange(drawn.shape[0])[:, None] + 0.5, np.arange(drawn.shape[1]) + 0.5
    a, x, xx = _boxed(np.stack([drawn, drawn * u, drawn * u**2]), long, 2)
    boxed = _boxed(np.stack([a, x, xx, a * v, a * v**2, x * v]), long, 1).reshape(6, high, BITS, wide * BITS)
    if frame.pattern == "running bond":  # each second row lies half a square to the left
        odd = slice(1 - row % 2, None, 2)
        boxed[:, odd] = np.roll(boxed[:, odd], BITS // 2, axis=-1)
    boxed = boxed.reshape(6, high, BITS, wide, BITS)
    area = boxed[0]
    thick = np.ones(area.shape)
    some = (area > EMPTY * long**2) & (area < FULL * long**2)
    a, x, xx, y, yy, xy = boxed[:, some]
    xx, yy, xy = xx / a - (x / a) ** 2 + 1 / 12, yy / a - (y / a) ** 2 + 1 / 12, xy / a - x * y / a**2
    least = (xx + yy) / 2 - np.hypot((xx - yy) / 2, xy)
    thick[some] = np.sqrt(12 * np.maximum(least, 0)) / long
    return area / long**2, thick


def _boxed(a: np.ndarray, long: float, axis: int) -> np.ndarray:
    """Return the sums over so many bits from each one on, but for the last BITS."""
    n, whole = a.shape[axis] - BITS, int(long)
    total = np.zeros(tuple(size + (k == axis) for k, size in enumerate(a.shape)))
    np.cumsum(a, axis=axis, out=total[(slice(None),) * axis + (slice(1, None),)])

    def at(k: int) -> np.ndarray:
        return total[(slice(None),) * axis + (slice(k, k + n),)]

    part = long - whole
    return (1 - part) * at(whole) + part * at(whole + 1) - at(0)


def _poor(area: np.ndarray, thick: np.ndarray, least: float) -> np.ndarray:
    """Return how poor what is left of each square is; a sliver may be shared, so it counts as one poor piece."""
    there = (area > EMPTY) & (area < FULL)
    sliver = (area < LEAST_SHARE) | (thick < least)
    return there * np.where(sliver, 1.0, 1.0 * (thick < THIN_SHARE) + (area < SMALL_SHARE))


def _wider(frame: Frame, corner: np.ndarray, room: float) -> np.ndarray:
    """Return for each shift the length, in tiles, along which the joint to a row is too wide, shape (BITS, BITS).

    It is where the edge of the free area runs along within the grid's joint, so that the tile ends before it.
    """
    line = shapely.segmentize(shapely.boundary(frame.free), frame.pitch / (2 * BITS))
    points, part = shapely.get_coordinates(shapely.get_parts(line), return_index=True)
    same = part[1:] == part[:-1]
    step, middle = np.diff(points, axis=0)[same], ((points[1:] + points[:-1]) / 2)[same]
    beside = shapely.distance(shapely.points(middle), shapely.boundary(frame.face)) > 1e-6
    step, middle = step[beside], middle[beside]
    long = np.hypot(*step.T)
    place = np.abs(middle - corner) / frame.pitch * BITS
    ends, found = (frame.side + room) / frame.pitch * BITS, []
    for axis in (0, 1):
        level = np.abs(step[:, 1 - axis]) > LEVEL * long
        rest = (place[level, axis] - np.arange(BITS)[:, None]) % BITS
        half = (rest + BITS / 2) % BITS if axis == 0 and frame.pattern == "running bond" else rest
        found.append(((rest > ends) * 0.5 + (half > ends) * 0.5) @ long[level])
    return WIDE * (found[1][:, None] + found[0]) / frame.side


def _lopsided(frame: Frame, begin: np.ndarray) -> np.ndarray:
    """Return how far each shift is from one that is alike on both sides of the face, shape (BITS, BITS)."""
    shift = begin[:, None] + np.arange(BITS) * frame.pitch / BITS
    off = 2 * (shift - balanced(frame)[:, None]) / frame.pitch
    across, down = LOPSIDED * 2 * np.abs(off - np.round(off))
    return down[:, None] + across
