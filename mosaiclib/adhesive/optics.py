"""Light through glass: what its faces throw back, what it takes away, and the colour seen over a bed."""

__all__ = [
    "BACKINGS",
    "LIGHTS",
    "Seen",
    "difference",
    "lightness",
    "passed_by",
    "reflectance",
    "seen",
    "seen_all",
    "silicone_index",
    "slab_transmittance",
    "soda_lime_index",
]

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from coloraide import Color

from mosaiclib import reference
from mosaiclib.adhesive.choose import CLARITIES
from mosaiclib.errors import MosaicError, choice, instance, number, several


def reflectance(n1: float, n2: float) -> float:
    """Return the share of light thrown back where two clear bodies meet, square on: ((n1 - n2)/(n1 + n2))^2.

    Parameters
    ----------
    n1, n2 : float
        Refractive indices [1].

    Returns
    -------
    float
        Share, 0 to 1.

    Raises
    ------
    MosaicError
        If an index is not from 1 to 5.

    References
    ----------
    Fresnel's equations at normal incidence; physics textbooks, read second-hand.

    Examples
    --------
    >>> round(reflectance(1.0, 1.52), 4)
    0.0426
    """
    first, second = (number(n, "refractive index", least=1, greatest=5) for n in (n1, n2))
    return ((first - second) / (first + second)) ** 2


def slab_transmittance(index: float) -> float:
    """Return what a clear pane in air lets through, all bounces counted: 2n/(1 + n^2).

    Parameters
    ----------
    index : float
        Refractive index n [1].

    Returns
    -------
    float
        Share, 0 to 1.

    Raises
    ------
    MosaicError
        If the index is out of range.

    Examples
    --------
    >>> round(slab_transmittance(1.52), 4)
    0.9183
    """
    n = number(index, "refractive index", least=1, greatest=5)
    return 2 * n / (1 + n**2)


def soda_lime_index(wavelength: float) -> float:
    """Return the refractive index of clear soda-lime glass: a + b L^2 + c/L^2.

    Parameters
    ----------
    wavelength : float
        Wavelength L, 0.31 to 4.6 [um].

    Returns
    -------
    float
        Index [1].

    Raises
    ------
    MosaicError
        If the wavelength is out of range.

    References
    ----------
    Rubin 1985, in the open refractive-index database (CC0), soda-lime clear; read.

    Examples
    --------
    >>> round(soda_lime_index(0.5893), 4)
    1.5233
    """
    wave = number(wavelength, "wavelength", "um", least=0.31, greatest=4.6)
    a, b, c = (
        reference.value("optics", f"soda-lime glass, {term} term").number
        for term in ("constant", "square", "inverse square")
    )
    return a + b * wave**2 + c / wave**2


def silicone_index(wavelength: float) -> float:
    """Return the refractive index of silicone rubber: n^2 = 1 + a L^2/(L^2 - b).

    Parameters
    ----------
    wavelength : float
        Wavelength L, 0.35 to 0.70 [um].

    Returns
    -------
    float
        Index [1].

    Raises
    ------
    MosaicError
        If the wavelength is out of range.

    References
    ----------
    Schneider et al., Sensors and Actuators A 151 (2009) 95-99, in the open refractive-index database; read.

    Examples
    --------
    >>> round(silicone_index(0.5893), 4)
    1.4302
    """
    square = number(wavelength, "wavelength", "um", least=0.35, greatest=0.70) ** 2
    a, b = (reference.value("optics", f"silicone, {term}").number for term in ("strength", "resonance"))
    return (1 + a * square / (square - b)) ** 0.5


BACKINGS = ("white bed", "grey bed", "clear bed", "air alone")
LIGHTS = ("front", "behind")
LEAST_PASSED = 1e-4  # of a channel by a millimetre: darker is black


@dataclass(frozen=True, eq=False)
class Seen:
    """What the eye gets from a tessera.

    Parameters
    ----------
    light : array of float, shape (3,)
        Red, green and blue in linear values, 1 for a perfect white in the same light.
    """

    light: np.ndarray

    @cached_property
    def tone(self) -> str:
        """The tone as #rrggbb; brighter than the screen's white is shown as white."""
        linear = np.clip(self.light, 0, 1)
        # the screen's own curve (IEC 61966-2-1); the colour library does the same, slower, and the tests compare
        curved = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)
        return "#" + "".join(f"{round(channel):02x}" for channel in (255 * curved).tolist())

    @cached_property
    def lab(self) -> tuple[float, float, float]:
        """CIELAB under daylight D65: L*, a*, b*."""
        return tuple(self._colour.coords())

    @cached_property
    def _colour(self) -> Color:
        return _colour(self.light).convert("lab-d65")

    def differs(self, other: "Seen") -> float:
        """Return how different another tessera looks: CIEDE2000, as `difference`."""
        return float(self._colour.delta_e(other._colour, method="2000"))


def _colour(light: Sequence[float]) -> Color:
    return Color("srgb-linear", [float(channel) for channel in light])


def difference(first: Sequence[float], second: Sequence[float]) -> float:
    """Return how different two colours look: CIEDE2000, by the colour library; about 1 is just seen.

    Parameters
    ----------
    first, second : sequence of float, length 3
        CIELAB values L*, a*, b*.

    Returns
    -------
    float
        Difference [1].

    Raises
    ------
    MosaicError
        If it is not three numbers each.

    References
    ----------
    CIE 142-2001; test pairs of Sharma, Wu and Dalal 2005 in tests/published.

    Examples
    --------
    >>> round(difference((50, 2.6772, -79.7751), (50, 0, -82.7485)), 4)
    2.0425
    """
    both = []
    for lab in (first, second):
        three = [number(one, "colour value", least=-1000, greatest=1000) for one in several(lab, "colour values", 3)]
        both.append(Color("lab-d65", three))
    return float(both[0].delta_e(both[1], method="2000"))


def lightness(tone: str) -> float:
    """Return the lightness L* of a tone.

    Parameters
    ----------
    tone : str
        As #rrggbb.

    Returns
    -------
    float
        0 for black to 100 for white.

    Raises
    ------
    MosaicError
        If the tone cannot be read.

    Examples
    --------
    >>> round(lightness("#777777"))
    50
    """
    return float(_read(tone).convert("lab-d65")["lightness"])


def _read(tone: str) -> Color:
    instance(tone, str, "tone")
    try:
        return Color(tone)
    except ValueError:
        raise MosaicError(f"{tone!r} is not a tone; write it as #rrggbb.") from None


def passed_by(tone: str) -> np.ndarray:
    """Return what a millimetre of glass lets through, from the tone that it has on a white bed.

    The tone is what comes back from `thickness` of glass twice passed over the table's white bed, so
    passed = (tone/white)^(1/(2 x thickness)).

    Parameters
    ----------
    tone : str
        Tone of the house's palette, as #rrggbb.

    Returns
    -------
    array of float, shape (3,)
        Share of red, green and blue, over 0 to 1.

    Raises
    ------
    MosaicError
        If the tone cannot be read.

    Examples
    --------
    >>> bool((passed_by("#ffffff") == 1).all()), bool((passed_by("#336699") < 1).all())
    (True, True)
    """
    white = reference.value("backings", "white bed, reflected").number
    thick = reference.value("backings", "thickness at which the palette's tones hold").number
    return _passed(tone, white, thick).copy()


@lru_cache(256)
def _passed(tone: str, white: float, thick: float) -> np.ndarray:
    """Return what a millimetre lets through, shape (3,)."""
    linear = np.array(_read(tone).convert("srgb-linear").coords())
    return np.clip(linear / white, LEAST_PASSED, 1.0) ** (1 / (2 * thick))


def seen(
    passed: Sequence[float],
    thickness: float,
    backing: str,
    *,
    light: str = "front",
    room: float = 0.2,
    clarity: str = "transparent",
    body: Sequence[float] | None = None,
) -> Seen:
    """Return the colour seen at the front of a tessera.

    Light in linear values: what the front throws back, and what passes the glass, meets the backing and passes the
    glass again, with all bounces between front and backing. Translucent glass sends back a share of its own.

    Parameters
    ----------
    passed : sequence of float, length 3
        What a millimetre lets through of red, green and blue, over 0 to 1.
    thickness : float
        Of the tessera [mm].
    backing : {"white bed", "grey bed", "clear bed", "air alone"}
        What is behind it; behind the last two is the base glass with the room.
    light : {"front", "behind"}
        Where the lamp is; from behind it shines with 1 through base and bed.
    room : float
        Brightness of the room behind, lit from the front, 0 to 1.
    clarity : {"opaque", "translucent", "transparent"}
        Of the tessera.
    body : sequence of float, length 3, optional
        What the glass itself sends back, needed where it is not transparent; its colour over white if left out.

    Returns
    -------
    Seen
        The colour.

    Raises
    ------
    MosaicError
        If a number is out of range or a choice is unknown.

    Notes
    -----
    Square on, smooth faces, index 1.52; a diffuse bed is taken as sending light back square on. Shares of beds and
    of scattered light are assumptions of data/.

    Examples
    --------
    >>> amber = passed_by("#d9a350")
    >>> white, grey = (seen(amber, 4, backing) for backing in ("white bed", "grey bed"))
    >>> difference(white.lab, grey.lab) > 20
    True
    """
    glass = np.array([number(p, "share passed", above=0, greatest=1) for p in several(passed, "shares passed", 3)])
    return seen_all(glass[None], thickness, backing, light=light, room=room, clarity=clarity, body=body)[0]


def seen_all(
    passed: np.ndarray,
    thickness: float,
    backing: str,
    *,
    light: str = "front",
    room: float = 0.2,
    clarity: str = "transparent",
    body: Sequence[float] | None = None,
) -> list[Seen]:
    """Return the colours of several tesserae of one thickness over one backing, as `seen` does for one.

    Parameters
    ----------
    passed : array of float, shape (n, 3)
        What a millimetre of each lets through, over 0 to 1.
    thickness, backing, light, room, clarity, body
        As for `seen` [mm, -, -, share, -, share].

    Returns
    -------
    list of Seen, length n
        The colours.

    Raises
    ------
    MosaicError
        If a number is out of range or a choice is unknown.

    Examples
    --------
    >>> [len(one.light) for one in seen_all(np.array([passed_by("#d9a350"), passed_by("#6aae98")]), 4, "white bed")]
    [3, 3]
    """
    through = _shares(passed) ** number(thickness, "thickness", "mm", above=0, greatest=100)
    choice(backing, "backing", BACKINGS), choice(light, "side of the lamp", LIGHTS)
    behind = number(room, "brightness of the room", least=0, greatest=1)
    stack = _lit_behind(through, backing) if light == "behind" else _lit_front(through, backing, behind)
    share = _scattered(clarity)
    if not share:
        return [Seen(one) for one in stack]
    own = (
        _lit_front(through, "white bed", 0.0)
        if body is None
        else np.array(
            [number(one, "light of the glass itself", least=0, greatest=1) for one in several(body, "body", 3)]
        )
    )
    front = reference.value("backings", "room in front while the lamp is behind").number
    lit = own if light == "front" else own * (front if clarity == "translucent" else 0.0)
    return [Seen(one) for one in share * lit + (1 - share) * stack]


def _shares(passed) -> np.ndarray:
    """Return checked shares of red, green and blue, shape (n, 3)."""
    try:
        found = np.asarray(passed, dtype=float)
    except (TypeError, ValueError):
        found = np.empty(0)
    if found.ndim != 2 or found.shape[1] != 3 or not ((found > 0) & (found <= 1)).all():
        raise MosaicError("What glass passes must be three shares over 0 to 1 for each tessera.")
    return found


def _scattered(clarity: str) -> float:
    """Return the share of what is seen that the glass itself sends back."""
    if choice(clarity, "clarity of the tessera", CLARITIES) == "translucent":
        return reference.value("backings", "light scattered in translucent glass").number
    return float(clarity == "opaque")


def _face() -> float:
    return reflectance(1.0, reference.value("optics", "window glass, index").number)


def _back(backing: str) -> float:
    """Return the share that a diffuse bed sends back; 0 where it is clear."""
    names = {"white bed": "white bed, reflected", "grey bed": "grey bed, reflected"}
    return reference.value("backings", names[backing]).number if backing in names else 0.0


def _film(backing: str) -> float:
    """Return what an air film behind the tessera lets through: its two faces with all bounces; 1 for a clear bed."""
    face = _face()
    return (1 - face) / (1 + face) if backing == BACKINGS[3] else 1.0


def _lit_front(through: np.ndarray, backing: str, room: float) -> np.ndarray:
    """Return what comes to an eye in front from a lamp in front: the bed, or the room behind the base glass."""
    face = _face()
    if backing in BACKINGS[:2]:
        round_trip = through**2 * _back(backing)
        return face + (1 - face) ** 2 * round_trip / (1 - face * round_trip)
    film = _film(backing)
    # thrown back by the film (if any) and by the far face of the base; one bounce each, the rest is under 0.2 %
    thrown = through**2 * ((1 - film) + film**2 * face) * (1 - face) ** 2
    return face + thrown + (1 - face) ** 2 * through * film * room


def _lit_behind(through: np.ndarray, backing: str) -> np.ndarray:
    """Return what comes to an eye in front from a lamp of brightness 1 behind the base."""
    face, names = _face(), {"white bed": "white bed, passed", "grey bed": "grey bed, passed"}
    let = reference.value("backings", names[backing]).number if backing in names else _film(backing)
    return (1 - face) ** 2 * through * let
