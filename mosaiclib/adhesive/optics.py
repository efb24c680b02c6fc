"""Light through glass: what its faces throw back, what it takes away, and the colour seen over a bed."""

__all__ = [
    "BACKINGS",
    "BACKING_OF",
    "LIGHTS",
    "Backing",
    "Seen",
    "difference",
    "lightness",
    "passed_by",
    "reflectance",
    "seen",
]

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from coloraide import Color

from mosaiclib import reference
from mosaiclib.adhesive.choose import CLARITIES, TONES
from mosaiclib.errors import MosaicError, choice, number, numbers, several


def reflectance(n1, n2):
    """Return the share of light thrown back where two clear bodies meet, square on: ((n1 - n2)/(n1 + n2))^2.

    n1 and n2 are refractive indices, numbers or arrays, 1 to 5. Source: Fresnel's equations at normal incidence; physics
    textbooks, read second-hand.

    >>> round(reflectance(1.0, 1.52), 4)
    0.0426
    """
    numbers(n1, "refractive index", least=1, greatest=5), numbers(n2, "refractive index", least=1, greatest=5)
    return ((n1 - n2) / (n1 + n2)) ** 2


class Backing(StrEnum):
    """What is behind a tessera; behind the last two is the base glass with the room."""

    WHITE = "white bed"
    GREY = "grey bed"
    CLEAR = "clear bed"
    AIR = "air alone"


BACKINGS = tuple(str(one) for one in Backing)
BACKING_OF = dict(zip(TONES, (Backing.CLEAR, Backing.WHITE, Backing.GREY), strict=True))  # by the tone of an adhesive
LIGHTS = ("front", "behind")
LEAST_PASSED = 1e-4  # of a channel by a millimetre: darker is black


@dataclass(frozen=True, eq=False)
class Seen:
    """What the eye gets from a tessera: red, green and blue in linear values, shape (3,), 1 for a perfect white in the same
    light."""

    light: np.ndarray

    @property
    def tone(self) -> str:
        """The tone as #rrggbb; brighter than the screen's white is shown as white."""
        return Color("srgb-linear", np.clip(self.light, 0, 1).tolist()).convert("srgb").to_string(hex=True)

    @property
    def lab(self) -> tuple[float, float, float]:
        """CIELAB under daylight D65: L*, a*, b*."""
        return tuple(Color("srgb-linear", self.light.tolist()).convert("lab-d65").coords())


def difference(first: Sequence[float], second: Sequence[float]) -> float:
    """Return how different two CIELAB colours (L*, a*, b*) look: CIEDE2000, by the colour library; about 1 is just seen.

    Source: CIE 142-2001; test pairs of Sharma, Wu and Dalal 2005 in tests/published.

    >>> round(difference((50, 2.6772, -79.7751), (50, 0, -82.7485)), 4)
    2.0425
    """
    one, two = (Color("lab-d65", list(several(lab, "colour values", 3))) for lab in (first, second))
    return float(one.delta_e(two, method="2000"))


def lightness(tone: str) -> float:
    """Return the lightness L* of a tone, #rrggbb: 0 for black to 100 for white.

    >>> round(lightness("#777777"))
    50
    """
    return float(_read(tone).convert("lab-d65")["lightness"])


def _read(tone: str) -> Color:
    try:
        return Color(tone)
    except ValueError:
        raise MosaicError(f"{tone!r} is not a tone; write it as #rrggbb.") from None


def passed_by(tone: str) -> np.ndarray:
    """Return what a millimetre of glass lets through of red, green and blue, shape (3,), from its tone on a white bed.

    The tone is what comes back from some millimetres of glass (the table says how many), twice passed, over the table's white
    bed, so passed = (tone/white)^(1/(2 x thickness)).

    >>> bool((passed_by("#ffffff") == 1).all()), bool((passed_by("#336699") < 1).all())
    (True, True)
    """
    linear = np.array(_read(tone).convert("srgb-linear").coords())
    white, thick = _known("white bed, reflected"), _known("thickness at which the palette's tones hold")
    return np.clip(linear / white, LEAST_PASSED, 1.0) ** (1 / (2 * thick))


def _known(name: str) -> float:
    return reference.value("backings", name).number


def seen(
    passed: Sequence[float],
    thickness: float,
    backing: str,
    *,
    light: str = "front",
    room: float = 0.2,
    clarity: str = "transparent",
) -> Seen:
    """Return the colour seen at the front of a tessera of a thickness [mm].

    `passed` is what a millimetre lets through of red, green and blue, over 0 to 1; `light` where the lamp is, from behind it
    shines with 1 through base and bed; `room` the brightness of the room behind, lit from the front, 0 to 1.

    Light in linear values: what the front throws back, and what passes the glass, meets the backing and passes the glass
    again, with all bounces between front and backing. Translucent glass sends back a share of its own. Square on, smooth
    faces, index of window glass; a diffuse bed is taken as sending light back square on. Shares of beds and of scattered
    light are assumptions of data/.

    >>> amber = passed_by("#d9a350")
    >>> white, grey = (seen(amber, 4, backing) for backing in ("white bed", "grey bed"))
    >>> difference(white.lab, grey.lab) > 20
    True
    """
    glass = numbers(list(several(passed, "shares passed", 3)), "share passed", above=0, greatest=1)
    through = glass ** number(thickness, "thickness", "mm", above=0, greatest=100)
    choice(backing, "backing", BACKINGS), choice(light, "side of the lamp", LIGHTS)
    number(room, "brightness of the room", least=0, greatest=1)
    stack = _lit_behind(through, backing) if light == "behind" else _lit_front(through, backing, room)
    if choice(clarity, "clarity of the tessera", CLARITIES) == "transparent":
        return Seen(stack)
    own = _lit_front(through, Backing.WHITE, 0.0)  # its own light is its colour over white
    if clarity == "opaque":
        return Seen(own if light == "front" else 0.0 * own)
    share, lit = _known("light scattered in translucent glass"), 1.0
    if light == "behind":
        lit = _known("room in front while the lamp is behind")
    return Seen(share * lit * own + (1 - share) * stack)


REFLECTED = {Backing.WHITE: "white bed, reflected", Backing.GREY: "grey bed, reflected"}
PASSED = {Backing.WHITE: "white bed, passed", Backing.GREY: "grey bed, passed"}


def _face() -> float:
    return reflectance(1.0, reference.value("optics", "window glass, index").number)


def _film(backing: str) -> float:
    """Return what an air film behind the tessera lets through: its two faces with all bounces; 1 for a clear bed."""
    face = _face()
    return (1 - face) / (1 + face) if backing == Backing.AIR else 1.0


def _lit_front(through: np.ndarray, backing: str, room: float) -> np.ndarray:
    """Return what comes to an eye in front from a lamp in front: the bed, or the room behind the base glass."""
    face = _face()
    if backing in REFLECTED:
        round_trip = through**2 * _known(REFLECTED[backing])
        return face + (1 - face) ** 2 * round_trip / (1 - face * round_trip)
    film = _film(backing)
    # thrown back by the film (if any) and by the far face of the base; one bounce each, the rest is under 0.2 %
    thrown = through**2 * ((1 - film) + film**2 * face) * (1 - face) ** 2
    return face + thrown + (1 - face) ** 2 * through * film * room


def _lit_behind(through: np.ndarray, backing: str) -> np.ndarray:
    """Return what comes to an eye in front from a lamp of brightness 1 behind the base."""
    let = _known(PASSED[backing]) if backing in PASSED else _film(backing)
    return (1 - _face()) ** 2 * through * let
