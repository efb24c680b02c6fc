"""Rings of equal pieces as layouts, for lesson 02."""

__all__ = ["ring_layout", "side_by_side"]

from collections.abc import Sequence

import numpy as np
import pandas as pd
import shapely

from mosaiclib.layout import Layout, Rows, piece_table
from mosaiclib.layout.wedges import Wedge

COLOURS = np.array(["sea green", "sky blue", "leaf green"], dtype=object)


def ring_layout(
    count: int, radius: float, piece: Rows, joint: float, limits: Sequence[float], cut: Wedge | None
) -> Layout:
    """Return a ring of equal pieces round 0, 0: wedges where they are given, else as bought.

    Parameters
    ----------
    count : int
        Pieces.
    radius : float
        Distance of their inside edges from the centre [mm].
    piece : Rows
        What they are cut from.
    joint : float
        Joint [mm].
    limits : pair of float
        Its limits [mm].
    cut : Wedge or None
        The wedge, None for pieces as bought.

    Returns
    -------
    Layout
        Pieces round the ring; the outline is the ring's frame.
    """
    narrow, wide = (cut.narrow, cut.wide) if cut else (piece.width, piece.width)
    outer = radius + piece.height
    corners = np.array([[-narrow / 2, radius], [narrow / 2, radius], [wide / 2, outer], [-wide / 2, outer]])
    turn = 2 * np.pi * np.arange(count) / count
    c, s = np.cos(turn), np.sin(turn)
    points = np.stack(
        [
            np.outer(c, corners[:, 0]) - np.outer(s, corners[:, 1]),
            np.outer(s, corners[:, 0]) + np.outer(c, corners[:, 1]),
        ],
        axis=-1,
    )
    shapes = shapely.polygons(points)
    colour = COLOURS[np.arange(count) % 2]
    colour[-1] = COLOURS[2] if count % 2 else colour[-1]  # a ring of an odd number needs a third colour
    table = piece_table(
        count,
        band="ring",
        row=2 if cut else 1,
        place=np.arange(1, count + 1),
        kind="wedge" if cut else "whole",
        fraction=piece.fraction,
        tile=f"{piece.tile.side:g} mm",
        colour=colour,
        width=wide,
        height=piece.height,
        area=shapely.area(shapes),
        why=f"wedge: {wide:.1f} to {narrow:.1f} mm" if cut else "whole: left as bought, its joint opens in a V",
    )
    reach = outer + 4
    outline = shapely.Point(0, 0).buffer(reach, quad_segs=32) - shapely.Point(0, 0).buffer(
        max(radius - 4, 0.1), quad_segs=32
    )
    return Layout(outline, shapes, table, joint, *limits, piece.tile)


def side_by_side(left: Layout, right: Layout) -> Layout:
    """Return two layouts in one, the second to the right of the first.

    Parameters
    ----------
    left, right : Layout
        The layouts [mm].

    Returns
    -------
    Layout
        Both, with the limits of the first.
    """
    x0, _, x1, _ = left.outline.bounds
    step = x1 - x0 + 8
    moved = shapely.transform(right.shapes, lambda xy: xy + np.array([step, 0.0]))
    outline = shapely.union(left.outline, shapely.transform(right.outline, lambda xy: xy + np.array([step, 0.0])))
    return Layout(
        outline,
        np.concatenate([left.shapes, moved]),
        pd.concat([left.pieces, right.pieces], ignore_index=True),
        left.joint,
        left.joint_min,
        left.joint_max,
        left.tile,
    )
