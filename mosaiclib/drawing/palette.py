"""The one palette and house style: every tone of pictures and pages, named glass colours, and a mark for each so
that nothing rests on colour alone. Tones are written #rrggbb."""

__all__ = [
    "GLASS_COLOURS",
    "MARKS",
    "Look",
    "alike",
    "apart",
    "colour_word",
    "contrast",
    "grey",
    "known_tone",
    "look",
    "looks",
    "mix",
]

import hashlib
import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations, cycle

import numpy as np
from coloraide import Color
from coloraide.css.color_names import name2val_map as CSS_NAMES

from mosaiclib import reference
from mosaiclib.adhesive.optics import difference

INK = "#2a2e31"  # words and lines
SOFT = "#6c7174"  # second words, dimension lines
PAPER = "#fbfaf6"  # ground of a picture on the screen, and of a lesson
WHITE = "#ffffff"
BLACK = "#000000"
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
SEEN = 4.5  # contrast that small words need (WCAG 2.1, 1.4.3); black or white always has it
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
# marks of colours that the house does not know bear small dots in one corner or two, so that they differ from all that it knows
_CORNERS = {"": (-0.95, -0.95), " right": (0.95, -0.95), " above": (-0.95, 0.95), " far": (0.95, 0.95)}
_OWN = {
    f"dotted {mark}{' and'.join(dots)}": (strokes, (*spots, *_spots(*(_CORNERS[dot] for dot in dots), radius=0.24)))
    for dots in (*combinations(_CORNERS, 1), *combinations(_CORNERS, 2))
    for mark, (strokes, spots) in MARKS.items()
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
        """The tone of marks and numbers on it: dark or light, whichever is seen better; black where neither is seen enough."""
        seen = max((INK, WHITE), key=lambda tone: contrast(tone, self.fill))
        return seen if contrast(seen, self.fill) >= SEEN else BLACK

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


def colour_word(name: object) -> str:
    """Return a colour's name as it is compared: "Blue" and " blue " are one colour.

    >>> colour_word(" Bottle  Green")
    'bottle green'
    """
    return " ".join(name.casefold().split()) if isinstance(name, str) else ""


def known_tone(name: object) -> str | None:
    """Return the tone of a colour by its name, None where no list knows it: glass of the house, then two published lists.

    These are the named colours of the CSS Color Module (level 4, section 6.1), by coloraide, and of the colour survey of
    2010 that matplotlib brings (public domain, 949 names).

    >>> known_tone("Gold"), known_tone("light grey"), known_tone("ruby"), known_tone("grandmother's plate")
    ('#ffd700', '#d3d3d3', '#ca0147', None)
    """
    word = colour_word(name)
    joined = word.replace(" ", "").replace("-", "")
    if word in GLASS_COLOURS:
        return GLASS_COLOURS[word].fill
    if joined in CSS_NAMES and joined != "transparent":
        return _hex(Color(joined))
    from matplotlib.colors import XKCD_COLORS  # heavy, and seldom wanted

    return XKCD_COLORS.get(f"xkcd:{word}") if word else None


def look(colour: object, tone: str | None = None) -> Look:
    """Return how a glass colour is drawn: in the tone given, or in that which its name is known by.

    A colour with neither is drawn as a piece without a colour is, with a mark of its own: its tone must be asked for.
    Capital letters and spaces at the ends make no difference.

    >>> look("Bottle green ") == look("bottle green")
    True
    >>> look("grandmother's plate").fill == look("").fill, look("grandmother's plate", "#336699").fill
    (True, '#336699')
    >>> look("").mark
    'none'
    """
    word = colour_word(colour)
    if not word:
        return _NO_COLOUR
    mark = GLASS_COLOURS[word].mark if word in GLASS_COLOURS else _own_mark(word)
    return Look(tone or known_tone(word) or NEUTRAL, mark)


def _own_mark(word: str) -> str:
    """Return a mark drawn from the name; Python's own hash differs from run to run."""
    return list(_OWN)[hashlib.sha256(word.encode("utf-8", "replace")).digest()[0] % len(_OWN)]


def looks(tones: Mapping[str, str | None]) -> dict[str, Look]:
    """Return how the colours of one piece of work are drawn, each with a mark of its own as long as the marks last.

    `tones` holds the tone chosen for each name, None where the name must tell.

    >>> both = looks({"red": None, "my red": "#aa2222", "your red": "#cc2222"})
    >>> both["red"].mark, both["my red"].mark, both["your red"].mark
    ('peak', 'dotted bar', 'dotted post')
    """
    free = cycle(_OWN)
    found = {}
    for name, tone in tones.items():
        one = look(name, tone)
        found[name] = one if colour_word(name) in GLASS_COLOURS else Look(one.fill, next(free))
    return found


def apart(tone: str, other: str) -> float:
    """Return how different two tones look (CIEDE2000); about 1 is just seen.

    >>> apart("#777777", "#777777")
    0.0
    """
    return difference(*(Color(each).convert("lab-d65").coords() for each in (tone, other)))


FARTHEST = (
    40.0  # [CIELAB] farther apart no two tones of a screen are under 5 by CIEDE2000 (all in steps of 17 tried: 30)
)


def alike(tones: Mapping[str, str]) -> list[tuple[str, str, float]]:
    """Return the pairs of colours that are too alike to tell, with their difference (CIEDE2000), the nearest first.

    The limit is a row of data/; on it see the source there.

    >>> [(one, two) for one, two, _ in alike({"one": "#3c78af", "two": "#3d79b0", "three": "#a8493f"})]
    [('one', 'two')]
    """
    names, limit = list(tones), reference.value("colours", "two colours").number
    if len(names) < 2:
        return []
    labs = np.array([Color(tone).convert("lab-d65").coords() for tone in tones.values()])
    first, second = np.triu_indices(len(names), 1)
    near = np.linalg.norm(labs[first] - labs[second], axis=1) < FARTHEST
    found = [(names[i], names[j], difference(labs[i], labs[j])) for i, j in zip(first[near], second[near], strict=True)]
    return sorted((one for one in found if one[2] < limit), key=lambda pair: pair[2])


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
