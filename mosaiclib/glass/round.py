"""Round glass with an upright wall: a cylinder, unrolled into a rectangle that closes on itself."""

__all__ = ["Round"]

from collections.abc import Sequence
from dataclasses import KW_ONLY, dataclass, field
from typing import ClassVar

from mosaiclib.errors import MosaicError, number
from mosaiclib.glass.face import OUT_OF_SQUARE, check_lengths
from mosaiclib.glass.turned import Turned, girth_read
from mosaiclib.units import mm, text
from mosaiclib.words import Text


@dataclass(frozen=True)
class Round(Turned):
    """A cylinder, covered on the outside: its girth and height outside, thickness of wall and floor [mm].

    Bare strips at the rim and at the foot; `seam`: how far round from the back, to the right seen from outside, the strip begins
    and ends; `neck`: width of the opening where it is narrower than the inside, 0 where it is not [mm]. `notes`: what measuring showed.

    >>> jar = Round(300, 120, 4, 6, rim_margin=10)
    >>> jar.strip.bounds, round(jar.inside_template("side")[0], 1)
    ((0.0, 0.0, 300.0, 110.0), 274.9)
    """

    face_names: ClassVar[tuple[str, ...]] = ("side",)

    girth: float
    height: float
    wall: float
    base: float
    _: KW_ONLY
    rim_margin: float = 0.0
    base_margin: float = 0.0
    seam: float = 0.0
    neck: float = 0.0
    notes: tuple[Text, ...] = field(default=(), repr=False)

    def __post_init__(self) -> None:
        check_lengths(self, zero=("rim_margin", "base_margin", "seam", "neck"))
        self._check_turned()

    @property
    def profile(self) -> tuple[tuple[float, float], ...]:
        """The girth at the foot and at the rim [mm]."""
        return (self.girth, 0.0), (self.girth, self.height)

    @classmethod
    def measured(
        cls,
        girths: Sequence[float],
        heights: Sequence[float],
        wall: float,
        base: float,
        *,
        diameters: Sequence[float] = (),
        **more,
    ) -> "Round":
        """Make a cylinder from girths, or diameters taken two ways, and heights [mm]: the least counts, the rest is reported.

        >>> str(Round.measured([300, 302], [120], 4, 6).out_of_square[0])
        'The girth runs from 300 to 302 mm: 300 mm counts.'
        """
        girth, notes = girth_read(girths, diameters)
        tall = [number(one, "height", "mm", above=0, greatest=100_000) for one in heights]
        if not tall:
            raise MosaicError("Measure the height at least once.")
        if max(tall) - min(tall) >= OUT_OF_SQUARE:
            notes += (text("The height runs from ", mm(min(tall), max(tall)), ": ", mm(min(tall)), " counts."),)
        return cls(girth, min(tall), wall, base, notes=notes, **more)

    @staticmethod
    def title(name: str, face: str) -> str:
        """Return the name of the piece: it has one face."""
        return name
