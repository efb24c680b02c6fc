"""Areas and perimeters of outlines of flat glass, as handbooks print them."""

import math

from mosaiclib.glass import Flat, arch, circle, ellipse

from .records import Check, listed

LARGE = 10_000.0  # [mm] ours are so large that straight strokes within 0.005 mm do not show


def _segment(angle: float):
    """Return the segment over a central angle [degrees], for a radius of LARGE: an arch that is nothing but its head."""
    half = math.radians(angle / 2)
    rise = LARGE * (1 - math.cos(half))
    return arch(2 * LARGE * math.sin(half), rise, rise)


CIRCLES = listed(
    "outlines",
    "Machinery's Handbook",
    "table Areas and Circumferences of Circles, diameter 10",
    "from memory",
    "",
    [
        ("area of a circle of the diameter 10", "78.540", lambda: 100 * circle(LARGE).area / LARGE**2),
        ("its circumference", "31.416", lambda: 10 * circle(LARGE).length / LARGE),
        (
            "area of a circle of the diameter 10 as the parallel at 1 inside one of 12",
            "78.540",
            lambda: 100 * Flat(circle(1.2 * LARGE), margin=0.1 * LARGE).strip.area / LARGE**2,
        ),
    ],
)
SEGMENTS = listed(
    "outlines",
    "Machinery's Handbook",
    "table Segments of Circles for Radius = 1",
    "from memory",
    "",
    [
        ("area of a round head over 60 degrees", "0.09059", lambda: _segment(60).area / LARGE**2),
        ("area of a round head over 90 degrees", "0.28540", lambda: _segment(90).area / LARGE**2),
        ("area of a round head over 180 degrees", "1.57080", lambda: _segment(180).area / LARGE**2),
        (
            "length of the arc over 90 degrees",
            "1.57080",
            lambda: _segment(90).length / LARGE - math.sqrt(2),
        ),
    ],
)
ELLIPSES = (
    Check(
        "outlines",
        "SciPy documentation, scipy.special.ellipe",
        "example: ellipse with semi-axes 3.5 and 2.1",
        "read",
        "perimeter of an ellipse, ours 1000 times as large (of straight strokes, so within 1e-5)",
        "17.868899204378693",
        "",
        lambda: ellipse(7000, 4200).length / 1000,
        1e-5,
    ),
    Check(
        "outlines",
        "Machinery's Handbook",
        "areas of plane figures, example of an ellipse with axes of 200 and 150 mm",
        "from memory",
        "area of an ellipse (of straight strokes, so within 2)",
        "23562",
        "mm2",
        lambda: ellipse(200, 150).area,
        2.0,
    ),
)
POINTED = listed(
    "outlines",
    "Weisstein, MathWorld",
    "article Vesica Piscis: area of two arcs through each other's centre, radius 1, of which a pointed head is half",
    "from memory",
    "",
    [
        (
            "twice the area of a pointed head whose arcs begin at each other's centre",
            "1.22837",
            lambda: 2 * arch(LARGE, LARGE * math.sqrt(0.75), LARGE * math.sqrt(0.75), "pointed").area / LARGE**2,
        )
    ],
)
POLYGONS = listed(
    "outlines",
    "CRC Standard Mathematical Tables",
    "table of regular polygons of side 1",
    "from memory",
    "",
    [
        (
            f"area of the regular polygon of {n} sides",
            printed,
            lambda n=n: circle(100 / math.sin(math.pi / n), n).area / 1e4,
        )
        for n, printed in ((3, "0.43301"), (5, "1.72048"), (6, "2.59808"), (8, "4.82843"), (12, "11.19615"))
    ],
)

CHECKS = (*CIRCLES, *SEGMENTS, *ELLIPSES, *POINTED, *POLYGONS)
