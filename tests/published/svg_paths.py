"""Points of SVG paths, worked out by hand from the rules of the recommendation, a row or more for each command.

The recommendation prints the rules and few points, so what is typed here is arithmetic on its rules: a Bézier at 1/2
weighs its points 1/8, 3/8, 3/8, 1/8 (cubic) or 1/4, 1/2, 1/4 (quadratic); a half circle's middle is a radius away.
"""

import math

import numpy as np

from mosaiclib.layout.svg_drawing import SvgDrawing
from mosaiclib.layout.svg_path import strokes_of

from .records import Check

SOURCE = "W3C, Scalable Vector Graphics (SVG) 2, chapter Paths"
MOVE, CLOSE, LINE = "9.3.3 moveto commands", "9.3.4 closepath command", "9.3.5 lineto commands"
CUBIC, QUADRATIC, ARC = "9.3.6 cubic Bézier", "9.3.7 quadratic Bézier", "9.3.8 elliptical arc"
RADII = "9.5.1 out-of-range elliptical arc parameters"
D = 5 * math.sqrt(0.5)  # across and up from the centre of a circle with radius 5 at 45 degrees
C1, Q1 = "M 0 0 C 0 8 8 8 8 0 ", "M 0 0 Q 4 8 8 0 "
POINTS = (  # clause, data, share of the way along the last command (of an arc alone: along all), x, y with y downwards
    (MOVE, "M 3 4 L 9 9", 0, 3, 4),
    (MOVE, "m 3 4 L 9 9", 0, 3, 4),
    (MOVE, "M 1 1 l 2 0 m 1 2 L 9 9", 0, 4, 3),
    (MOVE, "M 0 0 3 4 5 6", 1, 5, 6),
    (MOVE, "m 1 1 3 4 5 6", 1, 9, 11),
    (CLOSE, "M 1 2 L 5 2 L 5 6 Z", 1, 1, 2),
    (CLOSE, "M 1 2 L 5 2 L 5 6 z", 0.5, 3, 4),
    (CLOSE, "M 1 2 l 4 0 0 4 z l 1 1", 1, 2, 3),
    (CLOSE, "M 1 2 l 4 0 0 4 z m 1 1 l 1 5", 0, 2, 3),
    (LINE, "M 2 3 L 7 9", 0.5, 4.5, 6),
    (LINE, "M 2 3 l 7 9", 1, 9, 12),
    (LINE, "M 2 3 l 7 9 1 1", 1, 10, 13),
    (LINE, "M 2 3 H 7", 1, 7, 3),
    (LINE, "M 2 3 h 7", 1, 9, 3),
    (LINE, "M 2 3 H 7 11", 1, 11, 3),
    (LINE, "M 2 3 V 7", 1, 2, 7),
    (LINE, "M 2 3 v 7", 1, 2, 10),
    (LINE, "M2-3V.5.25", 1, 2, 0.25),
    (CUBIC, C1, 0.5, 4, 6),
    (CUBIC, C1, 0.25, 1.25, 4.5),
    (CUBIC, "M 10 20 c 0 8 8 8 8 0", 0.5, 14, 26),
    (CUBIC, C1 + "16 -8 24 -8 24 0", 0.5, (8 + 48 + 72 + 24) / 8, -6),
    (CUBIC, C1 + "S 16 -8 16 0", 0.5, 12, -6),
    (CUBIC, C1 + "s 8 -8 8 0", 0.5, 12, -6),
    (CUBIC, C1 + "s 8 -8 8 0 s 8 8 8 0", 0.5, 20, 6),
    (CUBIC, "M 0 0 S 8 8 8 0", 0.5, 4, 3),
    (CUBIC, "M 1 1 l 4 0 s 8 8 8 0", 0.5, 9, 4),
    (QUADRATIC, Q1, 0.5, 4, 4),
    (QUADRATIC, Q1, 0.25, 2, 3),
    (QUADRATIC, "M 10 20 q 4 8 8 0", 0.5, 14, 24),
    (QUADRATIC, Q1 + "T 16 0", 0.5, 12, -4),
    (QUADRATIC, Q1 + "t 8 0", 0.5, 12, -4),
    (QUADRATIC, Q1 + "T 16 0 24 0", 0.5, 20, 4),
    (QUADRATIC, "M 0 0 T 8 0", 0.5, 2, 0),
    (QUADRATIC, "M 1 1 l 4 0 t 8 4", 0.5, 7, 2),
    (ARC, "M 0 0 A 5 5 0 0 1 10 0", 0.5, 5, -5),
    (ARC, "M 0 0 A 5 5 0 0 0 10 0", 0.5, 5, 5),
    (ARC, "M 7 8 a 5 5 0 0 1 10 0", 0.5, 12, 3),
    (ARC, "M0 0a5 5 0 0110 0", 0.5, 5, -5),
    (ARC, "M 0 0 A 5 5 0 0 1 5 5", 0.5, D, 5 - D),
    (ARC, "M 0 0 A 5 5 0 0 0 5 5", 0.5, 5 - D, D),
    (ARC, "M 0 0 A 5 5 0 1 1 5 5", 0.5, 5 + D, -D),
    (ARC, "M 0 0 A 5 5 0 1 0 5 5", 0.5, -D, 5 + D),
    (ARC, "M 1 1 a 5 5 0 1 0 5 5", 0.5, 1 - D, 6 + D),
    (ARC, "M 0 0 A 5 10 0 0 1 10 0", 0.5, 5, -10),
    (ARC, "M 0 0 A 10 5 90 0 1 10 0", 0.5, 5, -10),
    (ARC, "M 0 0 a 25 25 -30 0 1 50 -25", 0.5, 12.5, -37.5),
    (RADII, "M 0 0 A 1 1 0 0 1 10 0", 0.5, 5, -5),
    (RADII, "M 0 0 A 1 2 0 0 0 10 0", 0.5, 5, 10),
    (RADII, "M 0 0 A 0 5 0 0 1 10 4", 0.5, 5, 2),
    (RADII, "M 0 0 L 3 3 A 5 5 0 0 1 3 3 L 9 3", 0.5, 6, 3),
)


def along(data: str, share: float) -> np.ndarray:
    """Return the point of the last stroke after a share of its last cubic, of an arc alone of all its cubics."""
    path = strokes_of(data)[-1].path
    last = len(path) if "a" in data.lower() and "l" not in data.lower() else 1
    which, t = divmod(share * last, 1)
    a, b, c, d = path[-last + int(which)] if which < last else path[-1][[3, 3, 3, 3]]
    return (1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t**2 * c + t**3 * d


def nested() -> np.ndarray:
    """Return where the recommendation's three nested transforms put 0, 0; a frame of 1000 tells where the page lies."""
    groups = ("translate(50,90)", "rotate(-45)", "translate(130,160)")
    text = "".join(f'<g transform="{one}">' for one in groups) + '<path id="a" d="M0 0 h1 v1"/>' + "</g>" * 3
    lines = SvgDrawing.of_text(f'<svg>{text}<rect id="page" width="1000" height="1000"/></svg>', length=1000).lines
    return (lines["a"].path[0, 0] - lines["page"].path[0, 0]) * [1, -1]


CHECKS = tuple(
    Check(
        "SVG paths",
        SOURCE,
        clause,
        "from memory",
        f"{data.strip()} after {share} of its end, {axis}",
        f"{value:.6f}",
        "",
        lambda data=data, share=share, i=i: float(along(data, share)[i]),
        1e-6,
    )
    for clause, data, share, x, y in POINTS
    for i, (axis, value) in enumerate((("x", x), ("y", y)))
)
CHECKS += tuple(
    Check(
        "SVG paths",
        "W3C, Scalable Vector Graphics (SVG) 1.1, chapter Coordinate systems",
        "7.5 nested transformations: the matrix",
        "from memory",
        f"translate(50,90), rotate(-45), translate(130,160) of 0, 0, {axis} (printed with sines of three digits)",
        printed,
        "",
        lambda i=i: float(nested()[i]),
        0.04,
    )
    for i, (axis, printed) in enumerate((("x", "255.03"), ("y", "111.21")))
)
