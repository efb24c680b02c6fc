"""Wedge-shaped pieces of other trades: kiln bricks, arch bricks, mitred pipe, segment rings, paving."""

import math
from functools import partial

from mosaiclib.layout.wedges import natural_radius, uncut_radius, wedge

from .records import Check, listed

KILN = listed(
    "wedges",
    "kiln-lining brick trade, dimension table of rotary-kiln bricks",
    "shapes 220 and 320",
    "read",
    "mm",
    [
        (f"diameter that a brick of {wide} and {narrow} mm, 200 mm high, closes with 2 mm joints", printed, ours)
        for wide, narrow, printed, ours in (
            (103, 82, "2000.0", lambda: 2 * natural_radius(103, 82, height=200, joint=2)),
            (103, 89, "3000.0", lambda: 2 * natural_radius(103, 89, height=200, joint=2)),
        )
    ],
)


def _half_ring(span: float) -> float:
    """Return the bricks of a semicircle: 75 mm wide outside, 102 mm high, 10 mm joint."""
    return wedge(span / 2, width=75, height=102, joint=10).count / 2


ARCHES = listed(
    "wedges",
    "brick-trade table of special shapes to BS 4729",
    "AR1.1 and AR1.3, bricks in a semicircle",
    "read second-hand",
    "bricks",
    [
        ("span 910 mm (printed 20 or 21)", "21", partial(_half_ring, 910)),
        ("span 1360 mm (printed 28 or 29)", "29", partial(_half_ring, 1360)),
    ],
)


def _bend():
    """Return a piece of the bend: the ring's wide edge lies on the bend's centre line."""
    return wedge(381 - 10, width=152, height=10, joint=0)


PIPE = listed(
    "wedges",
    "pipe fabrication, a worked 90 degree bend",
    "radius 381 mm, outside diameter 273 mm",
    "read second-hand",
    "mm",
    [
        ("centre piece on the centre line", "151.6", lambda: _bend().wide),
        ("end piece on the centre line", "75.8", lambda: _bend().wide / 2),
        ("cut-back of one side", "27.15", lambda: 273 / 2 * math.tan(math.radians(_bend().cut_angle))),
    ],
)


def _saw_angle(count: int) -> float:
    """Return the cut angle of a ring [degrees] for which this count is the least: 2 R tan(180/N) just goes in."""
    width = 2 * 100.0 * math.tan(math.pi / count) + 1e-6
    ring = wedge(90.0, width=width, height=10, joint=0)
    return ring.cut_angle if ring.count == count else math.nan


SEGMENTS = listed(
    "wedges",
    "woodturners' table of segment rings",
    "saw angle",
    "read second-hand",
    "degrees",
    [
        (f"ring of {count}", printed, partial(_saw_angle, count))
        for count, printed in ((6, "30"), (8, "22.5"), (12, "15"), (16, "11.25"))
    ],
    within=1e-9,
)
PAVING = (
    Check(
        "wedges",
        "block-paving trade guidance on laying to curves",
        "blocks 200 x 100 mm, joints open to 10 mm",
        "read second-hand",
        "outside radius down to which blocks may stay uncut",
        "2.1",
        "m",
        lambda: (uncut_radius(width=200, height=100, joint_min=0, joint_max=10) + 100) / 1000,
    ),
)
CHECKS = (*KILN, *ARCHES, *PIPE, *SEGMENTS, *PAVING)
