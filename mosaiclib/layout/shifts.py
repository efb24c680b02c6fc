"""Which shift of the grid, and by choice which turn, leaves the best pieces along the rows and the edge of the glass.

Each region that the rows close off has its own shift, and where its edges are level its own joints within their limits.
Every shift is judged on a coarse picture of the free area, at once; the best few on the pieces that come of them at last.
Only squares that the edge of the free area goes through are looked at: all others are whole.
"""

__all__ = ["SEARCHES", "Laid", "Least", "laid", "laid_best", "poor_pieces"]

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import NamedTuple

import numpy as np
import shapely

from mosaiclib.layout.cells import Cells, Frame, Grid, balanced, cut_cells, rim_of
from mosaiclib.layout.cutting import hollow_edges, least_angles
from mosaiclib.layout.joints import least_widths
from mosaiclib.layout.layout import JointLimits
from mosaiclib.layout.remains import LEAST_SHARE, mended

SEARCHES = {"none": 0, "few": 1, "full": 3}  # shifts that are tried on the pieces that come of them at last
BITS = 12  # bits of a pitch in the coarse picture, so many shifts each way; even, for a bond of half a tile
LINES = 2  # lines of the picture in a bit
DOWN = np.array([1.0, -1.0])
AT_ONCE = 40_000  # squares drawn at once, so that a wall stays within memory
THIN_SHARE = 1 / 3  # of the tile: a narrower piece looks poor; common practice, no source
SMALL_SHARE = 0.2  # of a tile's area: a smaller piece looks poor; common practice, no source
SHARP = 30.0  # [degrees] a sharper corner breaks and cuts; common practice, no source
WORTH = np.array([1.0, 1.0, 1.0, 0.5])  # of a thin, small, sharp, hollow piece; most hollow ones no shift avoids
GAP = 2.0  # a place left to the filler, in poor pieces
WIDE = 1.0  # a tile's length of joint to a row that is too wide, in poor pieces
LOPSIDED = 0.5  # a grid that lies as unevenly as can be one way, in poor pieces
STRETCHES = 6  # joints that are tried within the limits
SAFE = 0.8  # share of the limits that is used, so that rounding never leaves them
NONE = 0.05  # [mm] less of a tile is none
WORTHWHILE = 0.5  # poor pieces that other joints must save
EMPTY, FULL = 0.002, 0.998  # shares of a square that are none, or all of it


class Laid(NamedTuple):
    """A grid that was laid in a region, its pieces, and what was too small for one."""

    grid: Grid
    cells: Cells
    lost: np.ndarray


class Least(NamedTuple):
    """Least width of a piece, how far a nip may lie off, and least, wanted and greatest joint [mm]."""

    width: float
    nip: float
    joint: JointLimits

    @property
    def room(self) -> float:
        """By how much a joint to a row may be wider than wanted [mm]."""
        return self.joint.greatest - self.joint.joint


class Coarse(NamedTuple):
    """Of a region: how poor each shift is, and what its joints to the rows and a lop-sided grid add to that.

    Both (BITS, BITS), down and across; what is free of a square that begins at each bit, (rows, BITS, columns, BITS), None
    where there is no picture.
    """

    score: np.ndarray
    beside: np.ndarray
    share: np.ndarray | None


def poor_pieces(shapes: np.ndarray, side: float) -> np.ndarray:
    """Tell which pieces are thin, small, sharp or hollow, shape (4, n)."""
    width = least_widths(shapes)
    small = shapely.area(shapes) < SMALL_SHARE * side**2
    return np.stack([width < THIN_SHARE * side, small, least_angles(shapes) < SHARP, hollow_edges(shapes, width)])


def laid_best(turns: Sequence[Sequence[Frame]], search: str, least: Least) -> list[Laid]:
    """Lay the grid of each region with the shift that leaves the best pieces, turned as is best for all of them.

    The regions for each turn.
    """
    tries = SEARCHES[search]
    if not tries:
        return [laid(frame, frame.grid(frame.balanced), least) for frame in turns[0]]
    pictured = search != "full" or len(turns) > tries
    found = [[_coarse(*_stretched(frame, least), least, pictured) for frame in frames] for frames in turns]
    scores = [sum(float(coarse.score.min()) for _, coarse in each) for each in found]
    few = np.argsort(scores, kind="stable")[:tries].tolist()
    judged = [[_judged_best(region, tries, least) for region in found[k]] for k in few]
    best = min(judged, key=lambda regions: round(sum(score for score, _ in regions), 6))
    return [lay() for _, lay in best]


def laid(frame: Frame, grid: Grid, least: Least) -> Laid:
    """Lay a grid that is known."""
    frame = frame if grid.joints is None else frame._replace(joints=np.array(grid.joints))
    cells, lost, _ = mended(cut_cells(frame, frame.shift(grid)[None]), frame, least.width, least.nip)
    return Laid(grid, _numbered(cells, frame), lost)


def _numbered(cells: Cells, frame: Frame) -> Cells:
    """Return cells with columns and rows counted about as on the whole face."""
    column, row = np.round(frame.offset / frame.pitch).astype(int).tolist()
    return cells._replace(column=cells.column + column, row=cells.row + row)


def _judged_best(region: tuple[Frame, Coarse], tries: int, least: Least) -> tuple[float, Callable[[], Laid]]:
    """Return how poor the final pieces of a region are with the best of some shifts, and what lays them."""
    frame, coarse = region
    tries = tries if coarse.share is not None else int(np.isfinite(coarse.score).sum())
    best = np.unravel_index(np.argsort(coarse.score, axis=None, kind="stable")[:tries], coarse.score.shape)
    return min(_judged(frame, coarse, np.stack(best, axis=1), least), key=lambda one: one[0])


def _judged(frame: Frame, coarse: Coarse, bits: np.ndarray, least: Least) -> Iterator[tuple[float, Callable[[], Laid]]]:
    """Yield for some shifts, bits down and across, shape (k, 2), how poor their final pieces are, and what lays them."""
    shifts = _begin(frame) + bits[:, ::-1] * frame.pitch / BITS
    looked = np.ones((len(shifts), *frame.size[::-1]), bool)
    if coarse.share is not None:
        looked = _beside(_some(coarse.share[:, bits[:, 0], :, bits[:, 1]]))
    cells, lost, owner = mended(cut_cells(frame, shifts, _squares_of(looked)), frame, least.width, least.nip)
    cut = np.flatnonzero(shapely.area(cells.shapes) < frame.side**2 * FULL)
    worth = WORTH @ poor_pieces(cells.shapes[cut], frame.side)
    score = np.bincount(cells.shift[cut], worth, len(shifts)) + GAP * np.bincount(owner, minlength=len(shifts))
    score += coarse.beside[bits[:, 0], bits[:, 1]]

    def lay(k: int) -> Laid:
        """Lay what was not looked at too."""
        rest, more, _ = mended(cut_cells(frame, shifts[[k]], _squares_of(~looked[[k]])), frame, least.width, least.nip)
        mine = [column[cells.shift == k] for column in cells]
        every = Cells(*(np.concatenate(both) for both in zip(mine, rest, strict=True)))
        order = np.lexsort((every.column, every.row))
        kept = _numbered(Cells(*(column[order] for column in every)), frame)
        return Laid(frame.grid(shifts[k]), kept, np.concatenate([lost[owner == k], more]))

    for k in range(len(shifts)):
        yield round(float(score[k]), 6), partial(lay, k)


def _some(share: np.ndarray) -> np.ndarray:
    """Tell which shares of a square are some of it, but not all."""
    return (share > EMPTY) & (share < FULL)


def _squares_of(marked: np.ndarray) -> np.ndarray:
    """Return shift, column and row of the marked squares, shape (n, 3), from (shift, row, column)."""
    return np.stack(np.nonzero(marked), axis=1)[:, [0, 2, 1]]


def _beside(marked: np.ndarray) -> np.ndarray:
    """Return the marked squares, shape (k, rows, columns), and the eight round each: in a bond corners are neighbours too."""
    high = marked.copy()
    high[:, 1:] |= marked[:, :-1]
    high[:, :-1] |= marked[:, 1:]
    found = high.copy()
    found[..., 1:] |= high[..., :-1]
    found[..., :-1] |= high[..., 1:]
    return found


def _begin(frame: Frame) -> np.ndarray:
    """Return the first of the shifts that are tried, shape (2,) [mm]."""
    return frame.balanced % (frame.pitch / BITS)


# --- the coarse picture ------------------------------------------------------------------------------------


def _coarse(frame: Frame, beside: np.ndarray, least: Least, pictured: bool) -> tuple[Frame, Coarse]:
    """Judge all shifts of a region at once, by the area and the thickness of what is free of each square.

    Where a region is alike both ways only four shifts are, and all of them are tried: they need no picture.
    """
    if all(frame.mirrored) and not pictured:
        return frame, Coarse(beside, beside, None)
    wide, high = frame.size
    bit = frame.pitch / BITS
    corner = np.array([frame.bounds[0], frame.bounds[3]]) + (_begin(frame) - frame.pitch) * DOWN
    share, score = np.zeros((high, BITS, wide, BITS), dtype=np.float32), np.zeros((BITS, BITS))
    edges = (rim_of(frame.free) - corner) / bit * DOWN
    lines = max(1, AT_ONCE // (BITS * BITS * wide))
    for row in range(0, high - 1, lines):
        rows = min(lines, high - 1 - row)
        drawn = _drawn(edges, row * BITS, (rows + 1) * BITS, wide * BITS)
        area, thick = _squares(drawn, frame, row)
        share[row : row + rows, :, :-1] = area
        score += _poor(area, thick, least.width / frame.side).sum(axis=(0, 2))
    return frame, Coarse(score + beside, beside, share)


def _drawn(edges: np.ndarray, top: int, high: int, wide: int) -> np.ndarray:
    """Return how much of each bit an area covers, 0 to 1, shape (high, wide), from a line of bits downwards.

    From its edges in bits, across and down, shape (m, 2, 2).
    """
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
    bit = frame.pitch / BITS
    across, down = frame.side / bit
    high, wide = drawn.shape[0] // BITS - 1, drawn.shape[1] // BITS - 1
    v, u = np.arange(drawn.shape[0])[:, None] + 0.5, np.arange(drawn.shape[1]) + 0.5
    a, x, xx = _boxed(np.stack([drawn, drawn * u, drawn * u**2]), across, 2)
    area = _boxed(a[None], down, 1)[0]
    found = np.stack([area / (across * down), np.ones(area.shape)])
    some = (found[0] > EMPTY) & (found[0] < FULL)
    a, (x, xx, y, yy, xy) = area[some], _boxed(np.stack([x, xx, a * v, a * v**2, x * v]), down, 1, some)
    xx, yy, xy = xx / a - (x / a) ** 2 + 1 / 12, yy / a - (y / a) ** 2 + 1 / 12, xy / a - x * y / a**2
    xx, yy, xy = xx * bit[0] ** 2, yy * bit[1] ** 2, xy * bit[0] * bit[1]
    least = (xx + yy) / 2 - np.hypot((xx - yy) / 2, xy)
    found[1, some] = np.sqrt(12 * np.maximum(least, 0)) / frame.side
    found = found.reshape(2, high, BITS, wide * BITS)
    if frame.pattern == "running bond":  # each second row lies half a square to the left
        odd = slice(1 - row % 2, None, 2)
        found[:, odd] = np.roll(found[:, odd], BITS // 2, axis=-1)
    return tuple(found.reshape(2, high, BITS, wide, BITS))


def _boxed(a: np.ndarray, long: float, axis: int, some: np.ndarray | slice = slice(None)) -> np.ndarray:
    """Return the sums over so many bits from each one on, but for the last BITS; only from some of them, if given."""
    n, whole = a.shape[axis] - BITS, int(long)
    total = np.zeros(tuple(size + (k == axis) for k, size in enumerate(a.shape)))
    np.cumsum(a, axis=axis, out=total[(slice(None),) * axis + (slice(1, None),)])

    def at(k: int) -> np.ndarray:
        return total[(slice(None),) * axis + (slice(k, k + n),)][..., some]

    part = long - whole
    return (1 - part) * at(whole) + part * at(whole + 1) - at(0)


def _poor(area: np.ndarray, thick: np.ndarray, least: float) -> np.ndarray:
    """Return how poor what is left of each square is; a sliver may be shared, so it counts as one poor piece."""
    there = (area > EMPTY) & (area < FULL)
    sliver = (area < LEAST_SHARE) | (thick < least)
    return there * np.where(sliver, 1.0, 1.0 * (thick < THIN_SHARE) + (area < SMALL_SHARE))


def _stretched(frame: Frame, least: Least) -> tuple[Frame, np.ndarray]:
    """Return a region with the joints within their limits that leave least that is poor along its level edges.

    And for each of its shifts what joints to the rows that are too wide, and a lop-sided grid, add to it, (BITS, BITS).
    """
    wanted, narrow, wide = least.joint.joint, least.joint.least, least.joint.greatest
    tried = np.array(
        [wanted, *np.linspace(wanted - SAFE * (wanted - narrow), wanted + SAFE * (wide - wanted), STRETCHES)]
    )
    cost = [_along(frame, axis, frame.side + tried, least.room) for axis in (0, 1)]
    changed = np.where(tried == wanted, 0.0, WORTHWHILE)
    best = [int(np.argmin(one.sum(axis=0).min(axis=1) + changed)) for one in cost]
    across, down = (one[1:, k].sum(axis=0) for one, k in zip(cost, best, strict=True))
    return frame._replace(joints=tried[best]), down[:, None] + across


def _along(frame: Frame, axis: int, pitch: np.ndarray, room: float) -> np.ndarray:
    """Return how poor a grid is across or down, for each of p pitches [mm] and each shift, shape (3, p, BITS).

    In poor pieces: thin ones along level edges; joints to rows that are too wide, where a level edge runs along within the
    grid's joint, so that the tile ends before it; and how lop-sided the grid is. Infinite where the region is alike on both
    sides and the grid is not.
    """
    place, begins, long, rows = frame.level[axis]
    pitch = pitch[:, None]
    even, bit = balanced(frame.middle[axis], frame.side, pitch), pitch / BITS
    shift = even % bit + np.arange(BITS) * bit
    off = 2 * (shift - even) / pitch
    off = np.abs(off - np.round(off))
    fits = (off <= 1e-6) | (not frame.mirrored[axis])
    shift, pitch = shift[fits][:, None], np.broadcast_to(pitch, shift.shape)[fits][:, None]
    rest = (place - shift) % pitch
    left = np.where(begins, frame.side - rest, rest)
    left = np.where(left < 0, left + pitch, left)
    bond = axis == 0 and frame.pattern == "running bond"
    thin, wide = np.zeros((2, len(left)))
    for one in (left, (left + pitch / 2) % pitch) if bond else (left,):
        thin += (one < THIN_SHARE * frame.side) @ (long / frame.side)
        wide += ((one > frame.side + room) | (one < NONE)) @ (WIDE * long * rows / frame.side)
    found = np.full((3, *fits.shape), np.inf)
    found[:, fits] = thin / (1 + bond), wide / (1 + bond), LOPSIDED * 2 * off[fits]
    return found
