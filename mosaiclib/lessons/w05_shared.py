"""The practice pieces of lesson 05, grids, running bonds and rings, and the colours of its box."""

__all__ = ["BOX", "JOINT", "PATTERNS", "PITCH", "TILE", "laid", "touching", "widened"]

from dataclasses import replace
from functools import lru_cache

import numpy as np
import shapely

from mosaiclib.colour import ConflictGraph
from mosaiclib.drawing import Drawing
from mosaiclib.layout import Layout, Tile, neighbours, piece_table

TILE, JOINT = 20.0, 2.0  # [mm]
PITCH = TILE + JOINT
LIMITS = (1.0, 3.0)  # [mm] of the joint
PATTERNS = GRID, BOND, RING = ("grid", "running bond", "ring")
BOX = ("deep blue", "amber", "sea green", "rose", "milk white", "sky blue")


@lru_cache(64)
def laid(pattern: str, across: int, down: int = 1) -> Layout:
    """Return a practice piece without colours: rows of whole tiles from below, or a ring of `across` pieces.

    >>> len(laid("grid", 4, 3)), len(laid("ring", 7))
    (12, 7)
    """
    if pattern == RING:
        return _ring(across)
    row, place = np.divmod(np.arange(across * down), across)
    left, low = place * PITCH + (PITCH / 2 if pattern == BOND else 0.0) * (row % 2), row * PITCH
    shapes = shapely.box(left, low, left + TILE, low + TILE)
    outline = shapely.box(-JOINT, -JOINT, left.max() + PITCH, low.max() + PITCH)
    return _layout(outline, shapes, row + 1, place + 1, pattern)


def _ring(count: int) -> Layout:
    """Return a ring of pieces as long as a tile at their middle, or longer where they are few."""
    middle = max(count * PITCH / (2 * np.pi), 0.9 * TILE)
    inner, outer = (shapely.Point(0, 0).buffer(middle + step, quad_segs=32) for step in (-TILE / 2, TILE / 2))
    turns = np.pi / 2 - 2 * np.pi * np.arange(count) / count
    far = 2 * (middle + TILE) * np.stack([np.cos(turns), np.sin(turns)], axis=1)
    rays = shapely.buffer(shapely.linestrings([[(0, 0), end] for end in far]), JOINT / 2, cap_style="flat")
    shapes = np.array(shapely.get_parts(outer - inner - shapely.union_all(rays)))
    x, y = shapely.get_coordinates(shapely.centroid(shapes)).T
    shapes = shapes[np.argsort(np.arctan2(-x, -y))]
    edge = shapely.Point(0, 0).buffer(middle + TILE / 2 + JOINT) - shapely.Point(0, 0).buffer(middle - TILE / 2 - JOINT)
    return _layout(edge, shapes, 1, np.arange(count) + 1, RING)


def _layout(outline: shapely.Geometry, shapes: np.ndarray, row: object, place: object, pattern: str) -> Layout:
    area = shapely.area(shapes)
    kind = "cut" if pattern == RING else "whole"
    table = piece_table(
        len(shapes),
        face=pattern,
        band="field",
        row=row,
        place=place,
        kind=kind,
        tile=TILE,
        width=np.round(area / TILE, 1),
        height=TILE,
        area=area,
    )
    return Layout(outline, shapes, table, JOINT, *LIMITS, Tile(TILE, 4.0))


@lru_cache(128)
def touching(pattern: str, across: int, down: int = 1, corners: bool = False) -> ConflictGraph:
    """Return which pieces of a practice piece touch: side by side, or at their corners too.

    >>> len(touching("grid", 2, 2).pairs), len(touching("grid", 2, 2, corners=True).pairs)
    (4, 6)
    """
    layout = laid(pattern, across, down)
    return ConflictGraph(len(layout), neighbours(layout, corners))


ASPECT = 1.3  # times as wide as high, so that a round picture has half the window beside its controls


def widened(drawing: Drawing) -> Drawing:
    """Return a drawing with room on both sides, where it is high."""
    more = max(ASPECT * drawing.height - drawing.width, 0.0)
    return replace(drawing.shifted(more / 2, 0.0), width=drawing.width + more)
