"""Round glass that tapers or bulges: a cone, a bowl or a bottle as a stack of frusta, each unrolled into a sector of a ring."""

__all__ = ["MOST_RINGS", "Tapered", "frusta_needed"]

import math
from collections.abc import Sequence
from dataclasses import KW_ONLY, dataclass, field
from itertools import pairwise

from mosaiclib.errors import MosaicError, number, several
from mosaiclib.glass.face import check_lengths
from mosaiclib.glass.turned import Turned, girth_of_oval
from mosaiclib.units import mm, text
from mosaiclib.words import Text

MOST_RINGS = 12
FLATTEST = 80.0  # [degrees] a wall that leans more is a plate, to be planned as flat glass; assumed
LEAST_GIRTH = 10.0  # [mm] a smaller girth is a point: no tile goes round it; assumed


@dataclass(frozen=True)
class Tapered(Turned):
    """Round glass by its girths at two or more heights over the foot, low ones first, covered on the outside [mm].

    Thickness of wall and floor; bare strips at rim and foot, measured along the glass; `ring_joint`: joint left where two frusta
    meet; `seam` and `neck` as for `Round`, the neck measured inside where it is narrower than the girths tell [mm].

    >>> bowl = Tapered([200, 330, 400], [0, 40, 100], 4, 6)
    >>> [face.name for face in bowl.faces], round(bowl.around)
    (['ring 1', 'ring 2'], 400)
    """

    face_names = tuple(f"ring {k + 1}" for k in range(MOST_RINGS))

    girths: tuple[float, ...]
    heights: tuple[float, ...]
    wall: float
    base: float
    _: KW_ONLY
    rim_margin: float = 0.0
    base_margin: float = 0.0
    ring_joint: float = 0.0
    seam: float = 0.0
    neck: float = 0.0
    notes: tuple[Text, ...] = field(default=(), repr=False)

    def __post_init__(self) -> None:
        check_lengths(self, zero=("rim_margin", "base_margin", "ring_joint", "seam", "neck"))
        object.__setattr__(self, "girths", _lengths(self.girths, "girth"))
        object.__setattr__(self, "heights", _lengths(self.heights, "height"))
        _check_profile(self.girths, self.heights)
        self._check_turned()

    @property
    def profile(self) -> tuple[tuple[float, float], ...]:
        """Girths with their heights, low ones first [mm]."""
        return tuple(zip(self.girths, self.heights, strict=True))

    @classmethod
    def measured(
        cls,
        girths: Sequence[float],
        heights: Sequence[float],
        wall: float,
        base: float,
        *,
        diameters: Sequence = (),
        **more,
    ) -> "Tapered":
        """Make it from girths, or from diameters, at each height [mm]; a diameter taken two ways is a pair.

        >>> [round(girth, 1) for girth in Tapered.measured([], [0, 80], 3, 5, diameters=[60, (100, 96)]).girths]
        [188.5, 307.9]
        """
        if bool(len(several(girths, "girths"))) == bool(len(several(diameters, "diameters"))):
            raise MosaicError("Give girths or diameters, one at each height, not both.")
        if girths:
            return cls(girths, heights, wall, base, **more)
        pairs = [
            (one, one) if isinstance(one, int | float) else several(one, "diameters of one height", 2)
            for one in diameters
        ]
        for pair in pairs:
            _lengths(pair, "diameter")
        oval = tuple(
            text("At a height of ", mm(at), " the glass is oval: ", mm(*sorted(pair)), " across.")
            for pair, at in zip(pairs, heights, strict=False)
            if max(pair) - min(pair) >= 0.5
        )
        return cls([girth_of_oval(*pair) for pair in pairs], heights, wall, base, notes=oval, **more)

    @staticmethod
    def title(name: str, face: str) -> str:
        """Return the name of the piece with the ring's."""
        return f"{name}, {face}"


def _lengths(values: Sequence[float], name: str) -> tuple[float, ...]:
    above = 0 if name != "height" else None
    return tuple(number(one, name, "mm", least=0, above=above, greatest=100_000) for one in several(values, f"{name}s"))


def _check_profile(girths: Sequence[float], heights: Sequence[float]) -> None:
    """Refuse girths and heights that are no stack of frusta."""
    if len(girths) != len(heights):
        raise MosaicError(f"Each girth needs its height: there are {len(girths)} girths and {len(heights)} heights.")
    if not 2 <= len(girths) <= MOST_RINGS + 1:
        raise MosaicError(f"Measure the girth at 2 to {MOST_RINGS + 1} heights; there are {len(girths)}.")
    for one, two in pairwise(heights):
        if one >= two:
            advice = "Give each girth the height where it was measured."
            raise MosaicError(
                "The heights must rise from the foot up: ", mm(one), " comes before ", mm(two), f". {advice}"
            )
    if (least := min(girths)) < LEAST_GIRTH:
        raise MosaicError("A girth of ", mm(least), " closes the taper; end it where tiles can still go round.")
    for (c0, c1), (z0, z1) in zip(pairwise(girths), pairwise(heights), strict=True):
        lean = math.degrees(math.atan2(abs(c1 - c0), math.tau * (z1 - z0)))
        if lean > FLATTEST:
            flat = f" the wall leans by {lean:.0f} degrees: it is nearly flat"
            advice = "Measure the girths again, or plan that part as flat glass."
            raise MosaicError("Between the heights ", mm(z0), " and ", mm(z1), f"{flat}. {advice}")


def frusta_needed(radius: float, height: float, error: float) -> int:
    """Return how many frusta follow a wall curved with a radius over a height without leaving it by more than an error [mm].

    Each takes an equal share of the wall's turn; its chord leaves the arc by R (1 - cos(turn/2)).

    >>> frusta_needed(80, 80, 1), frusta_needed(80, 80, 3)
    (5, 3)
    """
    R = number(radius, "radius of the wall's curve", "mm", above=0, greatest=100_000)
    h = number(height, "height", "mm", above=0, greatest=2 * R)
    most = number(error, "error", "mm", above=0, greatest=R)
    turn = math.asin(h / R) if h <= R else math.pi - math.asin(max(2 - h / R, 0.0))
    return max(1, math.ceil(turn / (2 * math.acos(1 - most / R)) - 1e-9))
