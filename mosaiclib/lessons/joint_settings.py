"""What can be set in lesson 01."""

__all__ = ["CONTROLS", "EDGES", "REAL", "SQUARES", "Settings"]

from dataclasses import dataclass

from mosaiclib.control import Control
from mosaiclib.layout import WAYS

REAL, HAND, OWN, VIEW, MATERIAL = "Real tiles", "The hand", "Your own row", "The view", "The material"
EDGES = {
    "tiles flush with the edge": "flush",
    "an equal clear edge": "equal",
    "one joint of clear edge": "joint",
}
SQUARES = {"no squared paper": None, "5 mm squares": 5.0, "1/4 in squares": 6.35}
COINS = ("US", "euro")


@dataclass(frozen=True)
class Settings:
    """What the learner can set [mm]."""

    span: float = 290.0
    tile: float = 20.0
    limits: tuple[float, float] = (1.5, 2.5)
    edge: str = "one joint of clear edge"
    sd: float = 0.2
    readings: tuple[float, ...] = ()
    way: str = "spacer stick"
    box: int = 1
    eye_sd: float = 0.4
    every: int = 5
    coins: str = "US"
    stick: float = 2.0
    own: tuple[float, ...] = ()
    height: float = 135.0
    thickness: float = 4.0
    bed: float = 0.8
    squared: str = "no squared paper"
    behind: bool = False
    wall: float = 8.0
    eye: float = 30.0


CONTROLS = (
    Control("span", "Span", "length", 290.0, "mm", 40, 600, 1, help="the width of glass to be covered"),
    Control("tile", "Tile", "length", 20.0, "mm", 5, 50, 0.5, help="the side it is sold under"),
    Control(
        "limits",
        "Joint limits",
        "range",
        (1.5, 2.5),
        "mm",
        0,
        10,
        0.1,
        help="the narrowest and widest you accept",
    ),
    Control("edge", "Edge", "choice", "one joint of clear edge", options=tuple(EDGES)),
    Control(
        "sd",
        "Spread",
        "length",
        0.2,
        "mm",
        0,
        0.8,
        0.05,
        fold=REAL,
        help="standard deviation of the tiles' sides",
    ),
    Control(
        "readings",
        "Readings",
        "readings",
        (),
        "mm",
        fold=REAL,
        help="ten tiles or so by callipers, with spaces between; they replace the spread",
    ),
    Control("way", "Spacing", "choice", "spacer stick", options=WAYS, fold=REAL),
    Control("box", "Another box of tiles", "again", 1, fold=REAL),
    Control(
        "eye_sd",
        "Error by eye",
        "length",
        0.4,
        "mm",
        0,
        2,
        0.1,
        fold=HAND,
        help="standard deviation of a joint set by eye",
    ),
    Control("every", "Marks every", "count", 5, "tiles", 1, 20, 1, fold=HAND),
    Control("coins", "Coins in reach", "choice", "US", options=COINS, fold=HAND),
    Control(
        "stick",
        "Craft stick",
        "length",
        2.0,
        "mm",
        0.5,
        5,
        0.1,
        fold=HAND,
        help="measure it: no standard thickness was found",
    ),
    Control(
        "own",
        "Joints",
        "readings",
        (),
        "mm",
        fold=OWN,
        help="ten joints of your own row, with spaces between",
    ),
    Control("height", "Height", "length", 135.0, "mm", 30, 400, 1, fold=MATERIAL),
    Control("thickness", "Tile thickness", "length", 4.0, "mm", 2, 12, 0.5, fold=MATERIAL),
    Control("bed", "Adhesive bed", "length", 0.8, "mm", 0.2, 3, 0.1, fold=MATERIAL),
    Control("squared", "Squared paper", "choice", "no squared paper", options=tuple(SQUARES), fold=VIEW),
    Control("behind", "Seen from behind", "switch", False, fold=VIEW),
    Control(
        "wall", "Glass between", "length", 8.0, "mm", 0, 30, 0.5, fold=VIEW, help="that a guide line is seen through"
    ),
    Control("eye", "Looking aslant", "number", 30.0, "degrees", 0, 80, 5, fold=VIEW, help="0 is square on"),
)
