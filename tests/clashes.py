"""What no layout may have, measured from the bare shapes: neighbours of one colour, overlaps, narrow joints, blanks."""

from typing import NamedTuple

import numpy as np
import shapely

from mosaiclib.layout import neighbours

ROUNDING = 0.05  # [mm] how far a widest blank may be measured too wide
TOLD = 0.01  # [mm] a gap that is told may touch what is not


def clashes(layout, corners=False):
    """Pairs of neighbours of one colour, shape (k, 2); pieces without a colour are like nothing."""
    if not len(layout):
        return np.zeros((0, 2), int)
    pairs = neighbours(layout, corners)
    first, second = layout.pieces["colour"].to_numpy(dtype=object)[pairs.T]
    return pairs[(first == second) & (first != "")]


class Measured(NamedTuple):
    """Least distance of two pieces [mm], greatest overlap and area outside [mm2], pieces with holes or in parts, width of
    the widest blank that nobody told of [mm], and the shares of the outline that are glass and told blanks.
    """

    near: float
    over: float
    outside: float
    odd: int
    blank: float
    glass: float
    told: float


def measured(layout, outline):
    """Measure a layout on its outline with shapely and numpy alone."""
    shapes, far = layout.shapes, 5 + layout.joint_max
    one, two = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=far)
    one, two = shapes[one[one < two]], shapes[two[one < two]]
    told = [gap.shape for gap in layout.gaps]
    blank = shapely.difference(outline, shapely.union_all([*shapes, *shapely.buffer(told, TOLD)]))
    circles = [shapely.maximum_inscribed_circle(part, tolerance=0.02) for part in shapely.get_parts(blank)]
    return Measured(
        float(shapely.distance(one, two).min(initial=far)),
        float(shapely.area(shapely.intersection(one, two)).max(initial=0.0)),
        float(shapely.area(shapely.difference(shapes, outline)).max(initial=0.0)),
        int(((shapely.get_type_id(shapes) != 3) | (shapely.get_num_interior_rings(shapes) > 0)).sum()),
        2 * max((circle.length for circle in circles), default=0.0),
        float(shapely.area(shapes).sum()) / outline.area,
        shapely.union_all(told).area / outline.area,
    )


def holds(layout, outline):
    """Measure a layout and say no where pieces overlap, a joint is under the least, or a blank is not told."""
    found = measured(layout, outline)
    assert found.over < 1e-6 and found.outside < 1e-4 and not found.odd
    assert found.near >= layout.joint_min - 0.02
    assert found.blank <= 1.5 * layout.joint_max + ROUNDING
    return found
