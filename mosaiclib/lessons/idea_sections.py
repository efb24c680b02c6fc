"""The drawings in section that explain lessons 03 and 04."""

__all__ = ["bed_idea"]

import numpy as np
import shapely

from mosaiclib.drawing import Drawing, Lines, Polygons, Text, look, segments
from mosaiclib.drawing.palette import GLASS, INK, PAPER, SOFT

CURED, SOFT_BED = "#9cc3ae", "#d7a05a"


def bed_idea() -> Drawing:
    """Draw two tiles on glass in section: the bed is cured from the joints inwards, its middle still soft."""
    left, wide, joint, tall, bed = 16.0, 62.0, 10.0, 17.0, 7.0
    base, top = 22.0, 36.0
    starts = left + np.array([0.0, wide + joint])
    front = 16.0
    items = [
        Polygons([shapely.box(left - 8, base, left + 2 * wide + joint + 8, top)], GLASS, SOFT),
        Polygons(shapely.box(starts, top, starts + wide, top + bed), CURED, INK, 0.15),
        Polygons(shapely.box(starts + front, top, starts + wide - front, top + bed), SOFT_BED, INK, 0.15),
        Polygons(shapely.box(starts, top + bed, starts + wide, top + bed + tall), look("sea green").fill, INK),
        *[
            Lines(
                segments([[x, top + bed + tall + 9, x, top + bed / 2], [x, top + bed / 2, x + step, top + bed / 2]]),
                INK,
                0.4,
            )
            for x, step in (
                (starts[0] + wide + joint / 2 - 1.5, -front * 0.7),
                (starts[0] + wide + joint / 2 + 1.5, front * 0.7),
            )
        ],
        Text(starts[0] + wide + joint / 2, top + bed + tall + 11, "moisture", 3.6, "middle"),
        Text(starts[0] + wide / 2, top + bed + tall / 2, "tile", 3.6, "middle", middle=True),
        Text(starts[1] + wide / 2, top + bed + tall / 2, "tile", 3.6, "middle", middle=True),
        Text(starts[0] + wide / 2, top + bed / 2, "still soft", 3.0, "middle", middle=True),
        Text(starts[1] + wide / 2, top + bed / 2, "still soft", 3.0, "middle", middle=True),
        Text(
            left + wide + joint / 2, (base + top) / 2, "base glass: no air comes through it", 3.4, "middle", middle=True
        ),
        *_depth(starts[0] + wide - front, starts[0] + wide, base - 4, "depth z"),
        *_depth(starts[1], starts[1] + wide, base - 12, "side a: the middle is a/2 away"),
    ]
    words = (
        "Two tiles on a sheet of glass in section. Moisture comes down the joint and into the bed from both sides; the bed "
        "is cured along the joint, its middle is still soft."
    )
    return Drawing(2 * left + 2 * wide + joint, 80, "Where the moisture comes in", words, tuple(items), PAPER)


def _depth(x0: float, x1: float, y: float, words: str) -> list:
    """Return a level dimension line with its words under it [mm]."""
    ticks = [[x, y - 1.2, x, y + 3.0] for x in (x0, x1)]
    return [Lines(segments([[x0, y, x1, y], *ticks]), SOFT, 0.25), Text((x0 + x1) / 2, y - 4.2, words, 3.2, "middle")]
