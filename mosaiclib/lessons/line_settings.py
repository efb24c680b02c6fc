"""What can be set in lesson 02, part two: rows along a drawn line."""

__all__ = ["CONTROLS", "CUT", "FIELDS", "OWN_POINTS", "SHAPES", "SQUARES", "Settings", "guide_of"]

from dataclasses import dataclass

import numpy as np

from mosaiclib.control import Control
from mosaiclib.layout import FRACTIONS, Guide
from mosaiclib.layout.curve import arc, leaf, ring, s_ribbon, straight, wave

OWN_POINTS = "my own points"
SHAPES = (OWN_POINTS, "straight", "arc", "ring", "ribbon", "wave", "leaf")
CUT = ("cut to wedges", "as bought")
FIELDS = ("grid", "half bond", "outline row, then grid")
SQUARES = {"no squared paper": None, "5 mm squares": 5.0, "1/4 in squares": 6.35}
LINE, JOINT, FIELD, OWN, VIEW = "The line", "The joint", "The tile and the field", "Your practice row", "The view"
RIBBON = ((-4.0, 48.0), (45.0, 62.0), (95.0, 98.0), (145.0, 86.0), (204.0, 52.0))


@dataclass(frozen=True)
class Settings:
    """What the learner can set [mm]."""

    shape: str = OWN_POINTS
    fraction: str = "quarter"
    count: int = 3
    cut: str = CUT[0]
    points: tuple[tuple[float, float], ...] = RIBBON
    length: float = 150.0
    rise: float = 60.0
    waves: int = 1
    joint: float = 2.0
    limits: tuple[float, float] = (1.7, 2.3)
    tile: float = 20.0
    field: float = 20.0
    pattern: str = FIELDS[0]
    angle: float = 0.0
    own: tuple[float, ...] = ()
    width: float = 200.0
    height: float = 150.0
    squared: str = "no squared paper"
    marked: bool = True
    moving: bool = False
    shift: tuple[float, float] | None = None


CONTROLS = (
    Control(
        "shape",
        "Line",
        "choice",
        OWN_POINTS,
        options=SHAPES,
        help="drag the handles, or Tab to one and use the arrow keys",
    ),
    Control("fraction", "Tiles cut to", "choice", "quarter", options=FRACTIONS),
    Control("count", "Rows", "count", 3, "", 1, 6, 1),
    Control("cut", "Pieces", "choice", CUT[0], options=CUT, help="see what the joints do if nothing is cut"),
    Control("points", "Points", "points", RIBBON, "mm", fold=LINE, help="across and up, a semicolon after each"),
    Control("length", "Length", "length", 150.0, "mm", 40, 300, 1, fold=LINE, help="of a ready-made line"),
    Control(
        "rise",
        "Rise",
        "length",
        60.0,
        "mm",
        5,
        150,
        1,
        fold=LINE,
        help="its height; the radius of arc and ring is half the length",
    ),
    Control("waves", "Waves", "count", 1, "", 1, 4, 1, fold=LINE),
    Control("joint", "Joint", "length", 2.0, "mm", 1, 4, 0.1, fold=JOINT),
    Control("limits", "Joint limits", "range", (1.7, 2.3), "mm", 0.5, 6, 0.1, fold=JOINT),
    Control("tile", "Row tile", "length", 20.0, "mm", 8, 40, 0.5, fold=FIELD),
    Control("field", "Field tile", "length", 20.0, "mm", 8, 40, 0.5, fold=FIELD),
    Control("pattern", "Field", "choice", FIELDS[0], options=FIELDS, fold=FIELD),
    Control("angle", "Field turned by", "number", 0.0, "degrees", 0, 90, 5, fold=FIELD),
    Control(
        "own",
        "Joints",
        "readings",
        (),
        "mm",
        fold=OWN,
        help="ten joints of a practice row of your own, with spaces between",
    ),
    Control("width", "Glass, width", "length", 200.0, "mm", 80, 400, 1, fold=VIEW),
    Control("height", "Glass, height", "length", 150.0, "mm", 80, 300, 1, fold=VIEW),
    Control("squared", "Squared paper", "choice", "no squared paper", options=tuple(SQUARES), fold=VIEW),
    Control("marked", "Mark joints that are off", "switch", True, fold=VIEW),
)


def guide_of(s: Settings) -> Guide:
    """Return the line that the settings stand for.

    Parameters
    ----------
    s : Settings
        What the learner set.

    Returns
    -------
    Guide
        In the middle of the glass, or through the learner's own points.

    Raises
    ------
    MosaicError
        If there are too few points, or two are the same.
    """
    if s.shape == OWN_POINTS:
        return Guide(s.points)
    made = {
        "straight": lambda: straight(s.length),
        "arc": lambda: arc(s.length / 2, 180),
        "ring": lambda: ring(s.length / 2),
        "ribbon": lambda: s_ribbon(s.length, s.rise),
        "wave": lambda: wave(s.length, s.rise, s.waves),
        "leaf": lambda: leaf(s.length, s.rise),
    }[s.shape]()
    return _centred(made, s.width / 2, s.height / 2)


def _centred(guide: Guide, x: float, y: float) -> Guide:
    """Return the line with the middle of its frame at a point."""
    points = np.array(guide.points)
    seen = guide.at(np.linspace(0, guide.length * (1 - 1e-9), 200))
    middle = (seen.min(axis=0) + seen.max(axis=0)) / 2
    return Guide(points + np.array([x, y]) - middle, closed=guide.closed, corners=guide.corners)
