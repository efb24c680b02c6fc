"""A flat pane of glass with square corners."""

__all__ = ["Pane"]

from collections.abc import Sequence
from dataclasses import KW_ONLY, dataclass

import shapely
from shapely import Polygon

from mosaiclib.errors import MosaicError, choice, number, several
from mosaiclib.glass.face import OUT_OF_SQUARE, Face, check_lengths
from mosaiclib.glass.lying import Lying
from mosaiclib.units import mm, text
from mosaiclib.words import Text


def _shear(width: float, diagonals: Sequence[float]) -> float:
    """Return how far a four-sided face leans, from its two diagonals [mm]: (d1^2 - d2^2)/(4 width)."""
    pair = several(diagonals, "diagonals")
    if len(pair) != 2:
        raise MosaicError("Measure both diagonals of the face: two lengths.")
    one, two = (number(d, "diagonal", "mm", above=width, greatest=200_000) for d in pair)
    return (one**2 - two**2) / (4 * width)


@dataclass(frozen=True)
class Pane(Lying):
    """A flat pane of glass: its size, a bare strip along all four edges, and both diagonals if they were measured [mm].

    >>> Pane(300, 200, margin=10).strip.bounds
    (10.0, 10.0, 290.0, 190.0)
    """

    width: float
    height: float
    _: KW_ONLY
    margin: float = 0.0
    diagonals: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        check_lengths(self, zero=("margin",))
        if 2 * self.margin >= min(self.width, self.height):
            size = mm(self.width, self.height, between=" x ")
            raise MosaicError("Margins of ", mm(self.margin), " leave nothing of a pane of ", size, ".")
        if self.diagonals is not None:
            _shear(self.width, self.diagonals)

    @property
    def faces(self) -> tuple[Face, ...]:
        """The one face."""
        size = self.width - 2 * self.margin, self.height - 2 * self.margin
        return (Face("pane", self.margin, self.margin, *size),)

    @property
    def strip(self) -> Polygon:
        """The surface to be covered [mm]."""
        return self.faces[0].outline

    @property
    def edge_length(self) -> float:
        """Length of the edges of the covered part [mm]."""
        return self.strip.length

    @property
    def out_of_square(self) -> tuple[Text, ...]:
        """What the diagonals tell, in sentences."""
        if self.diagonals is None or abs(lean := _shear(self.width, self.diagonals)) < OUT_OF_SQUARE:
            return ()
        lean = mm(round(abs(lean), 1))
        return (text("The pane leans by ", lean, " over its height: line the grid up with one edge only."),)

    def whole_face(self, face: Face) -> Polygon:
        """Return the pane with its margins [mm]."""
        return shapely.box(0.0, 0.0, self.width, self.height)

    def inside_template(self, face: Face | str = "pane") -> tuple[float, float]:
        """Return width and height of a paper template laid behind the glass, the pane's own [mm]."""
        choice(getattr(face, "name", face), "face", self.face_names)
        return self.width, self.height
