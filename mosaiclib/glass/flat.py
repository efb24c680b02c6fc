"""Flat glass of any outline, with holes."""

__all__ = ["Flat"]

from collections.abc import Sequence
from dataclasses import KW_ONLY, dataclass, field
from functools import cached_property

import shapely
from shapely import MultiPolygon, Polygon

from mosaiclib.errors import MosaicError, choice, number, several
from mosaiclib.glass.face import OUT_OF_SQUARE, Face, check_lengths
from mosaiclib.glass.lying import Lying
from mosaiclib.glass.outlines import circle, cornered, pierced, read_outline
from mosaiclib.units import mm, text
from mosaiclib.words import Text

ROUND = 64  # strokes in a quarter of the arc that a margin makes round a corner that points inwards

LEAST = 1.0  # [mm2] a smaller part is nothing


@dataclass(frozen=True)
class Flat(Lying):
    """Flat glass of any outline, a Polygon with its holes or its corners, and a bare strip along all its edges [mm].

    The glass lies with its lower left at 0, 0. What is covered is bounded by the true parallel curve at the margin.
    `notes`: what measuring showed.

    >>> Flat([(10, 0), (310, 0), (310, 200), (10, 200)], margin=10).strip.bounds
    (10.0, 10.0, 290.0, 190.0)
    """

    outline: Polygon
    _: KW_ONLY
    margin: float = 0.0
    notes: tuple[Text, ...] = field(default=(), repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "notes", several(self.notes, "notes"))
        check_lengths(self, zero=("margin",))
        object.__setattr__(self, "outline", cornered(read_outline(self.outline)))
        if not self._parts:
            size = mm(*self.inside_template(), between=" x ")
            raise MosaicError("Margins of ", mm(self.margin), " leave nothing of glass of ", size, ".")

    @classmethod
    def round(cls, diameters: Sequence[float], holes: Sequence[Polygon] = (), **more) -> "Flat":
        """Make a round pane from its diameter, measured once or more ways across [mm]: the least counts, the rest is reported.

        Holes are counted from the lower left of the square round it.

        >>> str(Flat.round([301, 300, 300]).out_of_square[0])
        'The diameter runs from 300 to 301 mm: it is not quite round, and 300 mm counts. Lay the circle on it and turn it until it fits.'
        """
        found = [number(one, "diameter", "mm", above=0) for one in several(diameters, "diameters")]
        if not found:
            raise MosaicError("Measure the diameter at least once; three times, each another way across, is better.")
        least, most = min(found), max(found)
        uneven = text(
            "The diameter runs from ", mm(least, most), ": it is not quite round, and ", mm(least), " counts."
        )
        advice = " Lay the circle on it and turn it until it fits."
        notes = (text(uneven, advice),) if most - least >= OUT_OF_SQUARE else ()
        return cls(pierced(circle(least), holes), notes=notes, **more)

    @cached_property
    def _parts(self) -> list[Polygon]:
        """The parts that the margin leaves, the largest first."""
        left = self.outline
        if self.margin:
            left = shapely.buffer(left, -self.margin, quad_segs=ROUND)
        parts = list(left.geoms) if isinstance(left, MultiPolygon) else [left]
        return sorted((part for part in parts if part.area > LEAST), key=lambda part: -part.area)

    @property
    def strip(self) -> Polygon:
        """The surface to be covered [mm]."""
        return self._parts[0]

    @property
    def faces(self) -> tuple[Face, ...]:
        """The one face."""
        x0, y0, x1, y1 = self.strip.bounds
        return (Face("pane", x0, y0, x1 - x0, y1 - y0, shape=self.strip),)

    @property
    def edge_length(self) -> float:
        """Length of the edges of the covered part, those of holes too [mm]."""
        return self.strip.length

    @property
    def out_of_square(self) -> tuple[Text, ...]:
        """What measuring and the margin showed, in sentences."""
        if len(self._parts) == 1:
            return self.notes
        words = f" parts the face in {len(self._parts)}; only the largest is covered. Make it smaller to cover all."
        return (*self.notes, text("The bare margin of ", mm(self.margin), words))

    def whole_face(self, face: Face) -> Polygon:
        """Return the glass with its margins [mm]."""
        return self.outline

    def inside_template(self, face: Face | str = "pane") -> tuple[float, float]:
        """Return width and height of a paper template laid behind the glass, which is cut to the outline itself [mm]."""
        choice(getattr(face, "name", face), "face", self.face_names)
        return self.outline.bounds[2], self.outline.bounds[3]
