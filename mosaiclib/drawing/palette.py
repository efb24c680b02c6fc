"""The one palette and house style: every tone of pictures and pages, named glass colours, and a mark for each so
that nothing rests on colour alone. Tones are written #rrggbb."""

__all__ = ["GLASS_COLOURS", "MARKS", "Look", "contrast", "grey", "look", "mix"]

import hashlib
import math
from dataclasses import dataclass
from functools import cached_property

from coloraide import Color

INK = "#2a2e31"  # words and lines
SOFT = "#6c7174"  # second words, dimension lines
PAPER = "#fbfaf6"  # ground of a picture on the screen, and of a lesson
WHITE = "#ffffff"
FILLER = "#d8d2c5"  # joints when filled; the frame of a lesson
GLASS = "#e2eceb"  # bare base glass
NEUTRAL = "#c4d5d1"  # a piece without a colour
EDGE = "#566464"  # outline of a piece
SQUARES = "#8fb0cc"  # squared paper
ACCENT = "#a5492a"  # what needs the eye: too narrow, let go, not right
SECOND = "#2f6690"  # its opposite: too wide; a link
GRID = "#e2ded3"  # lines behind a chart, between rows of a table
GOOD, WARNING = "#eaf1ec", "#fff1d6"  # grounds of what is told: a result, a warning
CURED, UNCURED = "#9cc3ae", "#d7a05a"  # the bed in a map of the cure
CLAY, CLAY_PALE = "#b9805d", "#c99a7b"  # a porous base
BAND_STONE, BAND, BAND_CHOSEN = "#ead9cd", "#dbe9e6", "#d9d2c2"  # bands of a chart: what was measured, assumed, chosen
BAND_WAIT = "#bcd6c8"  # band of a wait
WHITE_BED, GREY_BED = "#eceae4", "#82807b"  # the bed itself, seen through the base

# The bundled face of matplotlib comes first in both, so that screen and print agree where it is installed.
FACES = {"label": ("DejaVu Sans", "Verdana", "sans-serif"), "heading": ("DejaVu Serif", "Georgia", "serif")}
DIGIT = 0.64  # width of a digit, as a share of the text size
LETTER = 0.6  # mean width of a letter
BODY = 0.73  # height of a digit or capital letter

SCREEN = (680, 480)  # [px] the largest picture beside its controls
SCREEN_TEXT = 13  # [px] text at that size
LIGHTEN = 0.68  # how far prints are mixed with white to save ink


def _circle(radius: float, corners: int = 20) -> tuple[tuple[float, float], ...]:
    """Return a closed ring of points around 0, 0."""
    angles = [2 * math.pi * i / corners for i in range(corners)]
    ring = [(radius * math.cos(a), radius * math.sin(a)) for a in angles]
    return (*ring, ring[0])


def _spots(*centres: tuple[float, float], radius: float = 0.27) -> tuple:
    """Return a filled dot around each centre."""
    return tuple(tuple((x + cx, y + cy) for x, y in _circle(radius, 12)) for cx, cy in centres)


# name -> (strokes, filled shapes), both polylines in a square from -1 to 1
MARKS = {
    "none": ((), ()),
    "bar": ((((-1, 0), (1, 0)),), ()),
    "post": ((((0, -1), (0, 1)),), ()),
    "slash": ((((-0.8, -0.8), (0.8, 0.8)),), ()),
    "back-slash": ((((-0.8, 0.8), (0.8, -0.8)),), ()),
    "cross": ((((-1, 0), (1, 0)), ((0, -1), (0, 1))), ()),
    "crossed": ((((-0.8, -0.8), (0.8, 0.8)), ((-0.8, 0.8), (0.8, -0.8))), ()),
    "dot": ((), _spots((0, 0), radius=0.4)),
    "two dots": ((), _spots((-0.5, 0), (0.5, 0))),
    "three dots": ((), _spots((-0.55, -0.4), (0.55, -0.4), (0, 0.55))),
    "ring": ((_circle(0.75),), ()),
    "square": ((((-0.7, -0.7), (0.7, -0.7), (0.7, 0.7), (-0.7, 0.7), (-0.7, -0.7)),), ()),
    "triangle": ((((-0.85, -0.65), (0.85, -0.65), (0, 0.85), (-0.85, -0.65)),), ()),
    "diamond": ((((0, -1), (0.7, 0), (0, 1), (-0.7, 0), (0, -1)),), ()),
    "two bars": ((((-1, 0.4), (1, 0.4)), ((-1, -0.4), (1, -0.4))), ()),
    "peak": ((((-1, -0.4), (0, 0.5), (1, -0.4)),), ()),
    "wave": ((((-1, -0.3), (-0.5, 0.3), (0, -0.3), (0.5, 0.3), (1, -0.3)),), ()),
}
# marks of colours that the house does not know bear a small dot, so that they differ from all that it knows
_OWN = {
    f"dotted {name}": (strokes, (*spots, *_spots((-0.95, -0.95), radius=0.24)))
    for name, (strokes, spots) in MARKS.items()
    if strokes
}
MARKS |= _OWN


@dataclass(frozen=True)
class Look:
    """How a glass colour is drawn: its tone and a key of `MARKS`."""

    fill: str
    mark: str

    @cached_property
    def ink(self) -> str:
        """The tone of marks and numbers on it: dark or light, whichever is seen better."""
        return max((INK, WHITE), key=lambda tone: contrast(tone, self.fill))

    def lightened(self) -> "Look":
        """Return the look for prints, mixed with white so that a home printer saves ink."""
        return Look(mix(self.fill, WHITE, LIGHTEN), self.mark)


GLASS_COLOURS = {
    "clear": Look("#d9e6e6", "none"),
    "sea green": Look("#6aae98", "bar"),
    "bottle green": Look("#2f6f55", "cross"),
    "leaf green": Look("#86ad5f", "slash"),
    "pale green": Look("#bcd8b4", "dot"),
    "green": Look("#3b8251", "post"),
    "turquoise": Look("#4aa7ae", "ring"),
    "pale blue": Look("#b4d2e2", "two dots"),
    "sky blue": Look("#7aaed3", "back-slash"),
    "blue": Look("#3c78af", "square"),
    "deep blue": Look("#2a4f85", "crossed"),
    "violet": Look("#7a6b95", "triangle"),
    "amber": Look("#d9a350", "diamond"),
    "rose": Look("#d09aa0", "two bars"),
    "red": Look("#a8493f", "peak"),
    "smoke": Look("#979c9d", "three dots"),
    "milk white": Look("#f1eee5", "wave"),
}
_NO_COLOUR = Look(NEUTRAL, "none")


def look(colour: object) -> Look:
    """Return how a glass colour is drawn; a name the house does not know gets a look of its own.

    The same name always gets the same look, on every machine and day. Capital letters and spaces at
    the ends make no difference; an empty or missing name is a piece without a colour.

    >>> look("Bottle green ") == look("bottle green")
    True
    >>> look("grandmother's plate") == look("grandmother's plate")
    True
    >>> look("").mark
    'none'
    """
    name = " ".join(str(colour).lower().split()) if isinstance(colour, str) else ""
    if not name:
        return _NO_COLOUR
    return GLASS_COLOURS.get(name) or _own_look(name)


def _own_look(name: str) -> Look:
    """Return a calm tone and a mark drawn from the name; Python's own hash differs from run to run."""
    first, second, third, fourth = hashlib.sha256(name.encode("utf-8", "replace")).digest()[:4]
    tone = Color("hsl", [360 * first / 256, 0.24 + 0.16 * third / 255, 0.7 + 0.12 * second / 255])
    return Look(_hex(tone), list(_OWN)[fourth % len(_OWN)])


def _hex(colour: Color) -> str:
    """Return a colour as #rrggbb."""
    return colour.convert("srgb").to_string(hex=True)


def mix(tone: str, other: str, share: float) -> str:
    """Return a tone mixed with a share of another, 0 to 1.

    >>> mix("#000000", "#ffffff", 0.5)
    '#808080'
    """
    return _hex(Color(tone).mix(other, share, space="srgb"))


def contrast(tone: str, other: str) -> float:
    """Return the contrast of two tones, 1 for equal ones and 21 for black on white (WCAG 2.1, "contrast ratio").

    >>> round(contrast("#000000", "#ffffff"), 1)
    21.0
    """
    return Color(tone).contrast(other, method="wcag21")


def grey(lightness: float) -> str:
    """Return the warm grey of filler of a CIELAB lightness, 0 black to 100 white.

    >>> grey(80)
    '#c8c7bf'
    """
    return _hex(Color("lab-d65", [lightness, -1.0, 4.0]).fit("srgb"))
