"""Pieces of the field that are too small: merged, shared with a neighbour, or left to the filler."""

__all__ = ["LOST", "Cells", "Frame", "left_open", "too_small", "without_pinches", "without_slivers"]

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from mosaiclib.layout.apart import CLOSE, half_planes, least_widths, only_areas
from mosaiclib.layout.tesserae import Gap

LEAST_SHARE = 0.05  # of a tile's area; common practice, no source
LOST = 1e-6  # [mm2] less is rounding


class Cells(NamedTuple):
    """Pieces of the field; one entry each."""

    shapes: np.ndarray
    column: np.ndarray
    row: np.ndarray
    whole: np.ndarray


class Frame(NamedTuple):
    """Where the field goes: face, free area whole and in overlapping parts, tile side, joint, pattern and turn."""

    face: Polygon
    free: BaseGeometry
    parts: np.ndarray
    begin: float
    step: float
    side: float
    joint: float
    pattern: str
    angle: float

    def near(self, shapes: np.ndarray) -> np.ndarray:
        """Return for each shape a part of the free area that holds all of it, for cutting along a long wall."""
        x = shapely.get_x(shapely.centroid(shapes))
        return self.parts[np.clip(((x - self.begin) / self.step).astype(int), 0, len(self.parts) - 1)]


def too_small(shapes: np.ndarray, side: float, least: float) -> np.ndarray:
    """Tell which pieces are slivers.

    Parameters
    ----------
    shapes : array of Polygon, shape (n,)
        The pieces [mm].
    side, least : float
        Side of the tile and least width of a piece [mm].

    Returns
    -------
    array of bool, shape (n,)
        Whether each is too narrow or too small.
    """
    return (least_widths(shapes) < least) | (shapely.area(shapes) < LEAST_SHARE * side**2)


def without_slivers(cells: Cells, frame: Frame, least: float) -> tuple[np.ndarray, list]:
    """Merge slivers with a neighbour or share both out; else leave them to the filler.

    Parameters
    ----------
    cells : Cells
        The pieces of the grid, n of them.
    frame : Frame
        Where the field goes.
    least : float
        Least width of a piece [mm].

    Returns
    -------
    shapes : array of Polygon, shape (n,)
        The pieces, empty where one was merged or left out.
    slivers : list of Polygon
        What is left to the filler.
    """
    shapes, gaps = cells.shapes.copy(), []
    place = {}
    for i, key in enumerate(zip(cells.column.tolist(), cells.row.tolist(), strict=True)):
        place.setdefault(key, []).append(i)
    for i in np.flatnonzero(too_small(shapes, frame.side, least)):
        beside = [(0, 1), (0, -1), (1, 0), (-1, 0)]
        keys = [(int(cells.column[i]) + dx, int(cells.row[i]) + dy) for dx, dy in beside]
        others = [j for key in keys for j in place.get(key, ()) if not shapes[j].is_empty]
        spots = [(int(cells.column[i]) + dx, int(cells.row[i]) + dy) for dx in range(-2, 3) for dy in range(-2, 3)]
        near = [j for key in spots for j in place.get(key, ()) if j != i and not shapes[j].is_empty]
        settled = _settled(shapes, i, others, near, frame, least)
        if settled is None:
            gaps.append(shapes[i])
            shapes[i] = Polygon()
        else:
            shapes[settled[0]], shapes[i] = settled[1]
    return shapes, gaps


def without_pinches(shapes: np.ndarray, whole: np.ndarray, least: float) -> tuple[np.ndarray, list]:
    """Leave out the smaller of two parts of a square that nearly meet where a row pinches it in two.

    Parameters
    ----------
    shapes : array of Polygon, shape (n,)
        The pieces [mm].
    whole : array of bool, shape (n,)
        Which are whole tiles.
    least : float
        Least joint [mm].

    Returns
    -------
    shapes : array of Polygon, shape (n,)
        The pieces, empty where one was left out.
    slivers : list of Polygon
        What is left to the filler.
    """
    cut = np.flatnonzero(~whole & ~shapely.is_empty(shapes))
    tree = shapely.STRtree(shapes[cut])
    one, two = tree.query(shapes[cut], predicate="dwithin", distance=least - CLOSE)
    pair = one < two
    one, two = cut[one[pair]], cut[two[pair]]
    found, gone = shapes.copy(), np.unique(np.where(shapely.area(shapes[one]) < shapely.area(shapes[two]), one, two))
    found[gone] = Polygon()
    return found, shapes[gone].tolist()


def _settled(shapes, sliver: int, others: Sequence[int], near: Sequence[int], frame: Frame, least: float):
    """Return the neighbour that a sliver is merged or shared with and what becomes of both; None if neither does.

    One piece where one tile covers both; else two, cut apart half way.
    """
    for share in (False, True):
        for other in others:
            whole = shapely.union(shapes[sliver], shapes[other]).convex_hull
            piece = shapely.intersection(whole, frame.near(np.array([whole]))[0])
            # what lies between others must keep its joint to them
            apart = shapely.distance(piece, shapes[[j for j in near if j != other]]).min(initial=frame.joint)
            enough = piece.area > shapes[sliver].area + shapes[other].area - LOST
            if not isinstance(piece, Polygon) or not enough or apart < frame.joint - 1e-6:
                continue
            pair = _halves(piece, shapes[other], shapes[sliver], frame) if share else (piece, Polygon())
            if _sound(pair, frame, least):
                return other, pair
    return None


def _halves(piece: Polygon, keeper: Polygon, sliver: Polygon, frame: Frame) -> tuple:
    """Cut a piece in two, half way along the grid line that its two parts lie on."""
    turn = math.radians(frame.angle)
    axes = np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]])
    step = shapely.get_coordinates(sliver.centroid)[0] - shapely.get_coordinates(keeper.centroid)[0]
    axis = axes[int(abs(axes[1] @ step) > abs(axes[0] @ step))]
    ahead = axis if axis @ step > 0 else -axis
    along = shapely.get_coordinates(piece) @ ahead
    middle = shapely.get_coordinates(piece.centroid)[0]
    on_line = middle + ((along.min() + along.max()) / 2 - middle @ ahead) * ahead
    lines = np.array([on_line - frame.joint / 2 * ahead, on_line + frame.joint / 2 * ahead])
    planes = half_planes(lines, np.array([-ahead, ahead]), 4 * piece.length)
    return tuple(shapely.intersection(piece, planes))


def _sound(pair: tuple, frame: Frame, least: float) -> bool:
    """Tell whether pieces are whole, no slivers and no larger than their tile."""
    made = np.array([one for one in pair if not one.is_empty], dtype=object)
    if not len(made) or (shapely.get_type_id(made) != 3).any() or too_small(made, frame.side, least).any():
        return False
    square = [shapely.affinity.rotate(one, -frame.angle, (0, 0)) for one in made] if frame.angle else made
    bounds = shapely.bounds(square)
    return bool(((bounds[:, 2:] - bounds[:, :2]) <= frame.side + 1e-9).all())


def left_open(slivers: list, shapes: np.ndarray, frame: Frame) -> tuple[Gap, ...]:
    """Return what is left to the filler: what was too small for glass, with the joints round it.

    Parameters
    ----------
    slivers : list of Polygon
        What was left out [mm].
    shapes : array of Polygon, shape (n,)
        The pieces that are left [mm].
    frame : Frame
        Where the field goes.

    Returns
    -------
    tuple of Gap
        One a sliver.
    """
    if not slivers:
        return ()
    wide = shapely.intersection(shapely.buffer(np.array(slivers), frame.joint), frame.face)
    tree = shapely.STRtree(shapes)
    found = []
    for place in wide:
        near = shapes[tree.query(place)]
        open_ = only_areas(shapely.difference(place, shapely.union_all(near)))
        if not open_.is_empty:  # a neighbour may have been grown over all of it
            found.append(Gap(open_, "too small for a piece of glass, left to the filler"))
    return tuple(found)
