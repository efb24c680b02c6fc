"""What a cut leaves that is no good as glass: rings are split, slivers merged or shared, the rest is left to the filler."""

__all__ = ["LEAST_SHARE", "mended", "too_small"]

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
import shapely
from shapely import Polygon

from mosaiclib.layout.cells import Cells, Frame
from mosaiclib.layout.joints import least_widths, narrower
from mosaiclib.layout.layout import LOST, mitred

LEAST_SHARE = 0.05  # of a tile's area; common practice, no source
GIVES = 0.5  # of a tile's area: no neighbour of a sliver gives up more of itself, so that it stays a piece; assumed
ROUNDS = 6
EXACT = 1e-9  # [mm] rounding


class Way(NamedTuple):
    """A way to be rid of a sliver: numbers of both pieces, what covers both, what the keeper and the sliver become, merit."""

    sliver: int
    keeper: int
    hull: Polygon
    pieces: tuple[Polygon, Polygon]
    merit: float


def too_small(shapes: np.ndarray, side: float, least: float) -> np.ndarray:
    """Tell which pieces, shape (n,), are slivers: narrower than the least width or too small [mm]."""
    return narrower(shapes, least) | (shapely.area(shapes) < LEAST_SHARE * side**2)


def mended(cells: Cells, frame: Frame, least: float, nip: float) -> tuple[Cells, np.ndarray, np.ndarray]:
    """Straighten cuts by a nip's play, split rings of glass, merge or share slivers under a least width [mm].

    The pieces, none of them empty; what is left to the filler, and the number of the shift it comes from.
    """
    cells = _without_holes(_straight(cells, frame, nip), frame)
    shapes, lost = _without_slivers(cells, frame, least)
    kept = ~shapely.is_empty(shapes)
    return Cells(shapes[kept], *(column[kept] for column in cells[1:])), cells.shapes[lost], cells.shift[lost]


def _straight(cells: Cells, frame: Frame, nip: float) -> Cells:
    """Replace the many short cuts along a row by straight nips, except where a piece would reach over the face."""
    cut = np.flatnonzero(shapely.get_num_coordinates(cells.shapes) != 5)
    if not nip or not len(cut):
        return cells
    straight = shapely.simplify(cells.shapes[cut], nip)
    sound = shapely.is_valid(straight) & (shapely.get_type_id(straight) == 3) & ~shapely.is_empty(straight)
    sound &= shapely.covers(mitred(frame.face, LOST), straight)
    shapes = cells.shapes.copy()
    shapes[cut[sound]] = straight[sound]
    return cells._replace(shapes=shapes)


def _without_holes(cells: Cells, frame: Frame) -> Cells:
    """Split a piece that goes round a stray piece of a row in two, through the middle of the hole."""
    ringed = np.flatnonzero(shapely.get_num_interior_rings(cells.shapes) > 0)
    if not len(ringed):
        return cells
    parts = [(part, i) for i in ringed.tolist() for part in _split(cells.shapes[i], frame.joints[0])]
    order = np.concatenate(
        [np.delete(np.arange(len(cells.shapes)), ringed), np.array([i for _, i in parts], dtype=int)]
    )
    more = np.array([part for part, _ in parts], dtype=object)
    shapes = np.concatenate([np.delete(cells.shapes, ringed), more])
    return Cells(shapes, *(column[order] for column in cells[1:]))


def _split(piece: Polygon, joint: float) -> Iterator[Polygon]:
    """Cut a piece with holes by joints across it, until none is left."""
    if not piece.interiors:
        if piece.area > LOST:
            yield piece
        return
    x0, y0, x1, y1 = piece.bounds
    x = Polygon(piece.interiors[0]).centroid.x
    for side in (
        shapely.box(x0 - 1, y0 - 1, x - joint / 2, y1 + 1),
        shapely.box(x + joint / 2, y0 - 1, x1 + 1, y1 + 1),
    ):
        for part in shapely.get_parts(shapely.intersection(piece, side)):
            if isinstance(part, Polygon):
                yield from _split(part, joint)


# --- slivers -----------------------------------------------------------------------------------------------


def _without_slivers(cells: Cells, frame: Frame, least: float) -> tuple[np.ndarray, list[int]]:
    """Merge slivers with a neighbour where one tile covers both, or share both out; the numbers of those that are lost."""
    shapes, lost = cells.shapes.copy(), []
    left = np.flatnonzero(too_small(shapes, frame.side, least)).tolist()
    cells = cells._replace(shapes=shapes)
    for _ in range(ROUNDS):
        if not left:
            break
        ways = _ways(cells, np.array(left), frame, least)
        touching, waits, keepers, touched = _touching(cells, ways, frame), [], set(), set()
        for i in left:
            mine = [way for way in ways.get(i, ()) if (i, way.keeper) not in touched]
            if mine:
                way = max(mine, key=lambda way: way.merit)
                shapes[way.keeper], shapes[i] = way.pieces
                keepers.add(way.keeper)
                touched |= touching[i, way.keeper]
            elif i not in keepers:  # else another sliver made it large enough
                (waits if i in ways else lost).append(i)
        shapes[lost], left = Polygon(), waits
    shapes[left] = Polygon()
    return shapes, lost + left


def _touching(cells: Cells, ways: dict[int, list[Way]], frame: Frame) -> dict[tuple[int, int], set[tuple[int, int]]]:
    """Return for each way, by its sliver and keeper, those that it leaves no room for."""
    listed = [way for mine in ways.values() for way in mine]
    hulls, keeper = np.array([way.hull for way in listed], dtype=object), [way.keeper for way in listed]
    one, two = shapely.STRtree(hulls).query(hulls, predicate="dwithin", distance=frame.joints.min() - 1e-6)
    same = cells.shift[keeper][one] == cells.shift[keeper][two]
    name = [(way.sliver, way.keeper) for way in listed]
    found: dict[tuple[int, int], set[tuple[int, int]]] = {way: set() for way in name}
    for a, b in zip(one[same].tolist(), two[same].tolist(), strict=True):
        found[name[a]].add(name[b])
    return found


def _ways(cells: Cells, slivers: np.ndarray, frame: Frame, least: float) -> dict[int, list[Way]]:
    """Return for each sliver the ways to merge it, else to share it; none where there is no entry."""
    sliver, keeper = _pairs(cells, slivers)
    hull = shapely.convex_hull(shapely.multipolygons(np.stack([cells.shapes[sliver], cells.shapes[keeper]], axis=1)))
    over = ~shapely.covers(frame.free, hull)
    hull[over] = shapely.intersection(hull[over], frame.broad.near(hull[over]))
    both = shapely.area(cells.shapes[sliver]) + shapely.area(cells.shapes[keeper])
    sound = _solid(hull) & (shapely.area(hull) > both - LOST)
    sound[sound] = _clear(cells, hull[sound], sliver[sound], keeper[sound], frame.joints.min())
    sliver, keeper, hull = sliver[sound], keeper[sound], hull[sound]
    found: dict[int, list[Way]] = {}
    fits = _fits(hull, frame.side) & ~too_small(hull, frame.side, least)
    for i, j, one in zip(sliver[fits].tolist(), keeper[fits].tolist(), hull[fits], strict=True):
        found.setdefault(i, []).append(Way(i, j, one, (one, Polygon()), one.area))
    rest = ~np.isin(sliver, list(found))
    if not rest.any():
        return found
    sliver, keeper, hull = sliver[rest], keeper[rest], hull[rest]
    halves = _halves(cells, sliver, keeper, hull, frame)
    width = least_widths(halves.ravel()).reshape(halves.shape).min(axis=0)
    given = shapely.area(cells.shapes[keeper]) - shapely.area(halves[0])
    area = shapely.area(halves).min(axis=0)
    fits = (_solid(halves) & _fits(halves, frame.side)).all(axis=0) & (given <= GIVES * frame.side**2)
    fits &= (width >= least) & (area >= LEAST_SHARE * frame.side**2)
    for k in np.flatnonzero(fits).tolist():
        way = Way(int(sliver[k]), int(keeper[k]), hull[k], tuple(halves[:, k]), float(width[k]))
        found.setdefault(way.sliver, []).append(way)
    return found


def _pairs(cells: Cells, slivers: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return each sliver with each piece of the four squares round it."""
    code = cells.code()
    order = np.argsort(code, kind="stable")
    wanted = np.concatenate([cells.code(dx, dy)[slivers] for dx, dy in ((0, 1), (0, -1), (1, 0), (-1, 0))])
    begin, end = (np.searchsorted(code[order], wanted, side) for side in ("left", "right"))
    count = end - begin
    at = np.repeat(begin, count) + np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)
    sliver, keeper = np.repeat(np.tile(slivers, 4), count), order[at]
    there = ~shapely.is_empty(cells.shapes[keeper])
    return sliver[there], keeper[there]


def _solid(shapes: np.ndarray) -> np.ndarray:
    return (
        (shapely.get_type_id(shapes) == 3) & ~shapely.is_empty(shapes) & (shapely.get_num_interior_rings(shapes) == 0)
    )


def _fits(shapes: np.ndarray, side: float) -> np.ndarray:
    """Tell which pieces are no larger than a tile that lies straight."""
    x0, y0, x1, y1 = np.moveaxis(shapely.bounds(shapes), -1, 0)
    return (x1 - x0 <= side + EXACT) & (y1 - y0 <= side + EXACT)


def _clear(cells: Cells, hulls: np.ndarray, sliver: np.ndarray, keeper: np.ndarray, joint: float) -> np.ndarray:
    """Tell which hulls keep the joint to all pieces but the two that they are made of."""
    clear = np.ones(len(hulls), bool)
    # the grids of several shifts lie over each other: each is looked at apart
    for shift in np.unique(cells.shift[sliver]):
        mine, asked = np.flatnonzero(cells.shift == shift), np.flatnonzero(cells.shift[sliver] == shift)
        at, other = shapely.STRtree(cells.shapes[mine]).query(hulls[asked], predicate="dwithin", distance=joint - 1e-6)
        at, other = asked[at], mine[other]
        clear[at[(other != sliver[at]) & (other != keeper[at])]] = False
    return clear


def _halves(cells: Cells, sliver: np.ndarray, keeper: np.ndarray, hull: np.ndarray, frame: Frame) -> np.ndarray:
    """Return hulls cut in two half way by a joint, the keeper's part and the sliver's, shape (2, n)."""
    middles = [shapely.get_coordinates(shapely.centroid(cells.shapes[which])) for which in (sliver, keeper)]
    step = middles[0] - middles[1]
    across = np.abs(step[:, 0]) >= np.abs(step[:, 1])
    x0, y0, x1, y1 = shapely.bounds(hull).T
    half, tall = frame.joints / 2
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    low = shapely.box(x0 - 1, y0 - 1, np.where(across, x - half, x1 + 1), np.where(across, y1 + 1, y - tall))
    high = shapely.box(np.where(across, x + half, x0 - 1), np.where(across, y0 - 1, y + tall), x1 + 1, y1 + 1)
    forward = np.where(across, step[:, 0], step[:, 1]) > 0
    return shapely.intersection(hull, np.stack([np.where(forward, low, high), np.where(forward, high, low)]))
