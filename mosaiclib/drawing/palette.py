"""The one palette and house style: tones, named glass colours, and a mark for each so that nothing rests on
colour alone."""

__all__ = ["GLASS_COLOURS", "MARKS", "Look", "contrast", "look", "mix"]

import colorsys
import hashlib
import math
from dataclasses import dataclass
from functools import lru_cache

INK = "#2a2e31"  # words and lines
SOFT = "#6c7174"  # second words, dimension lines
PAPER = "#fbfaf6"  # ground of a picture on the screen
WHITE = "#ffffff"
FILLER = "#d8d2c5"  # joints when filled
GLASS = "#e2eceb"  # bare base glass
NEUTRAL = "#c4d5d1"  # a piece without a colour
EDGE = "#566464"  # outline of a piece
SQUARES = "#8fb0cc"  # squared paper
ACCENT = "#a5492a"  # what needs the eye: too narrow
SECOND = "#2f6690"  # its opposite: too wide

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
    """How a glass colour is drawn.

    Parameters
    ----------
    fill : str
        Its tone, as #rrggbb.
    mark : str
        Name of its mark, a key of `MARKS`.

    Examples
    --------
    >>> look("sea green").mark
    'bar'
    """

    fill: str
    mark: str

    @property
    def ink(self) -> str:
        """The tone of marks and numbers on it: dark or light, whichever is seen better."""
        return _ink(self.fill)

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
    the ends make no difference.

    Parameters
    ----------
    colour : str
        Name of the colour as typed; empty or missing for a piece without a colour.

    Returns
    -------
    Look
        Fill and mark.

    Examples
    --------
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


@lru_cache(4096)
def _ink(fill: str) -> str:
    """Return the dark or light tone, whichever is seen better on a fill."""
    return max((INK, WHITE), key=lambda tone: contrast(tone, fill))


def _own_look(name: str) -> Look:
    """Return a calm tone and a mark drawn from the name; Python's own hash differs from run to run."""
    first, second, third, fourth = hashlib.sha256(name.encode("utf-8", "replace")).digest()[:4]
    tone = colorsys.hls_to_rgb(first / 256, 0.7 + 0.12 * second / 255, 0.24 + 0.16 * third / 255)
    return Look(_hex(tone), list(_OWN)[fourth % len(_OWN)])


def _rgb(tone: str) -> tuple[float, float, float]:
    """Return #rrggbb as three shares."""
    return tuple(int(tone[i : i + 2], 16) / 255 for i in (1, 3, 5))


def _hex(shares: tuple[float, ...]) -> str:
    """Return three shares as #rrggbb."""
    return "#" + "".join(f"{round(255 * share):02x}" for share in shares)


def mix(tone: str, other: str, share: float) -> str:
    """Return a tone mixed with another.

    Parameters
    ----------
    tone, other : str
        Tones as #rrggbb.
    share : float
        Share of the other, 0 to 1.

    Returns
    -------
    str
        The mixed tone as #rrggbb.

    Examples
    --------
    >>> mix("#000000", "#ffffff", 0.5)
    '#808080'
    """
    return _hex(tuple(a + (b - a) * share for a, b in zip(_rgb(tone), _rgb(other), strict=True)))


def contrast(tone: str, other: str) -> float:
    """Return the contrast of two tones, 1 for equal ones and 21 for black on white.

    (lighter + 0.05)/(darker + 0.05) of their relative luminances.

    Parameters
    ----------
    tone, other : str
        Tones as #rrggbb.

    Returns
    -------
    float
        The contrast.

    Examples
    --------
    >>> round(contrast("#000000", "#ffffff"), 1)
    21.0

    References
    ----------
    Web Content Accessibility Guidelines 2.1, "contrast ratio" and "relative luminance"; from memory.
    """
    bright, dark = sorted((_luminance(tone), _luminance(other)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def _luminance(tone: str) -> float:
    """Return the relative luminance of a tone, 0 to 1."""
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in _rgb(tone)]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
