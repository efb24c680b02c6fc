"""A vessel with four flat upright sides, unrolled."""

__all__ = ["CORNERS", "FourSided"]

from collections.abc import Sequence
from dataclasses import KW_ONLY, dataclass, field
from functools import cached_property
from typing import ClassVar

import shapely
from shapely import Polygon

from mosaiclib.errors import MosaicError, choice, number, several
from mosaiclib.glass.face import OUT_OF_SQUARE, Corner, Face, check_lengths
from mosaiclib.units import mm, text
from mosaiclib.words import Text

CORNERS = ("open", "front overlaps", "each overlaps the next")


@dataclass(frozen=True)
class FourSided:
    """A vessel with four flat upright sides, covered on the outside: outside sizes, thickness of sides and floor [mm].

    Bare strips at the rim and at the foot, and the radius of the inner corners, by which a paper template is trimmed [mm].
    `corner`: which face's tiles run past the edge of the glass, by `lap` (the tile's thickness with its bed [mm]), and cover the
    edges of the next face's tiles with `corner_joint` [mm] between; `bed` [mm] stands off the glass the back under which these
    begin. `notes`: what measuring showed.

    >>> planter = FourSided(160, 120, 140, 5, 8, rim_margin=10)
    >>> [(face.name, face.x, face.width, face.height) for face in planter.faces[:2]]
    [('front', 0.0, 160.0, 130.0), ('right', 160.0, 120.0, 130.0)]
    >>> planter.inside_template("front")
    (150.0, 132.0)
    """

    face_names: ClassVar[tuple[str, ...]] = ("front", "right", "back", "left")
    has_inside: ClassVar[bool] = True
    top: ClassVar[str] = "rim"

    width: float
    depth: float
    height: float
    wall: float
    base: float
    _: KW_ONLY
    rim_margin: float = 0.0
    base_margin: float = 0.0
    inner_radius: float = 0.0
    corner: str = "open"
    lap: float = 0.0
    corner_joint: float = 0.0
    bed: float = 0.0
    notes: tuple[Text, ...] = field(default=(), repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "notes", several(self.notes, "notes"))
        check_lengths(self, zero=("rim_margin", "base_margin", "inner_radius", "lap", "corner_joint", "bed"))
        choice(self.corner, "corner", CORNERS)
        if self.rim_margin + self.base_margin >= self.height:
            margins = text(mm(self.rim_margin), " at the rim and ", mm(self.base_margin), " at the base")
            raise MosaicError("Margins of ", margins, " leave nothing of a height of ", mm(self.height), ".")
        if 2 * (self.wall + self.inner_radius) >= min(self.width, self.depth):
            walls = text(mm(self.wall), " with inner corners of ", mm(self.inner_radius))
            size = mm(self.width, self.depth, between=" x ")
            raise MosaicError("Two walls of ", walls, " fill a vessel of ", size, "; measure the wall again.")
        if self.base + self.inner_radius >= self.height:
            high = mm(self.height)
            raise MosaicError("A floor of ", mm(self.base), " fills a vessel ", high, " high; measure it again.")
        if min(face.width for face in self.faces) <= 0:
            raise MosaicError("The corner joint leaves nothing of the narrow faces; make it smaller.")

    @classmethod
    def measured(
        cls,
        widths: Sequence[float],
        depths: Sequence[float],
        heights: Sequence[float],
        wall: float,
        base: float,
        **more,
    ) -> "FourSided":
        """Make a vessel from measures at rim, middle and base and of the height [mm]: the least counts, the rest is reported.

        >>> str(FourSided.measured((161, 160, 159), (120, 120, 120), (140, 140), 5, 8).out_of_square[0])
        'The width is 161 mm at the rim, 160 mm at the middle and 159 mm at the base: 159 mm counts.'
        """
        notes = (*_three("width", widths), *_three("depth", depths), *_uneven(heights))
        return cls(min(widths), min(depths), min(heights), wall, base, notes=notes, **more)

    @property
    def out_of_square(self) -> tuple[Text, ...]:
        """How the measures at rim, middle and base differ, in sentences."""
        return self.notes

    @cached_property
    def faces(self) -> tuple[Face, ...]:
        """Front, right, back and left, side by side on the strip with their corner joints."""
        found, x = [], 0.0
        for name in self.face_names:
            before, after = self._ends(name)
            size = self.width if name in ("front", "back") else self.depth
            tall = self.height - self.rim_margin - self.base_margin
            found.append(Face(name, x, self.base_margin, size + before + after, tall, before))
            x += found[-1].width + (self.corner_joint if self.corner != "open" else 0.0)
        return tuple(found)

    def _ends(self, name: str) -> tuple[float, float]:
        """How far a face runs past the edge of the glass at its left and its right [mm]."""
        # the back that covers stands off the glass by its bed, so the joint is measured from there
        laps, lapped = self.lap, self.bed - self.corner_joint
        if self.corner == "open":
            return 0.0, 0.0
        if self.corner == "front overlaps":
            return (laps, laps) if name in ("front", "back") else (lapped, lapped)
        return lapped, laps

    @property
    def around(self) -> float:
        """Length of the strip once round [mm]."""
        last = self.faces[-1]
        return last.x + last.width + (self.corner_joint if self.corner != "open" else 0.0)

    @property
    def edge_length(self) -> float:
        """Length of rim and foot [mm]."""
        return 2 * self.around

    @staticmethod
    def title(name: str, face: str) -> str:
        """Return the name of the piece with the face's."""
        return f"{name}, {face}"

    def whole_face(self, face: Face) -> Polygon:
        """Return a face from the foot to the rim [mm]."""
        return shapely.box(face.x, 0.0, face.x + face.width, self.height)

    @property
    def strip(self) -> Polygon:
        """The surface to be covered, unrolled, with the joints at its corners [mm]."""
        face = self.faces[0]
        return shapely.box(0.0, face.y, self.around, face.y + face.height)

    def corners(self, thickness: float, joint: float) -> tuple[Corner, ...]:
        """Tell for each upright corner which tiles cover which and what channel is left; front-right first, all in [mm]."""
        ring = zip(self.face_names, (*self.face_names[1:], self.face_names[0]), strict=True)
        return tuple(self._corner(one, two, thickness, joint) for one, two in ring)

    def _corner(self, one: str, two: str, deep: float, joint: float) -> Corner:
        pair = f"{one} and {two}: "
        if self.corner == "open":
            channel = text("a channel of ", mm(deep, deep, between=" x "), " along the edge of the glass is filled.")
            return Corner((one, two), "", deep**2, text(pair, "neither covers the other; ", channel))
        over = one if self.corner == "each overlaps the next" or one in ("front", "back") else two
        covered = f"tiles of the {over} cover the edges of the {two if over == one else one}"
        return Corner((one, two), over, 0.0, text(pair, covered, ", with a joint of ", mm(joint), " between."))

    def inside_template(self, face: Face | str) -> tuple[float, float]:
        """Return width and height of a paper guide that stands inside, against a wall, from the rim down [mm].

        Outside width less two walls, height less the floor, both trimmed by the inner radius.
        """
        name = choice(getattr(face, "name", face), "face", self.face_names)
        size = self.width if name in ("front", "back") else self.depth
        return size - 2 * self.wall - 2 * self.inner_radius, self.height - self.base - self.inner_radius

    def guide_outline(self, face: Face) -> Polygon:
        """Return where the paper guide of a face hangs from the rim, on the strip [mm]."""
        width, height = self.inside_template(face)
        left = face.x + face.overhang + self.wall + self.inner_radius
        return shapely.box(left, self.height - height, left + width, self.height)


def _three(what: str, sizes: Sequence[float]) -> tuple[Text, ...]:
    """Check three measures of one side and tell how they differ."""
    if len(sizes) != 3:
        raise MosaicError(f"Measure the {what} three times: at the rim, the middle and the base.")
    rim, middle, base = (number(size, what, "mm", above=0) for size in sizes)
    if max(sizes) - min(sizes) < OUT_OF_SQUARE:
        return ()
    at = text(mm(rim), " at the rim, ", mm(middle), " at the middle and ", mm(base), " at the base")
    return (text(f"The {what} is ", at, ": ", mm(min(sizes)), " counts."),)


def _uneven(heights: Sequence[float]) -> tuple[Text, ...]:
    """Check the heights and tell how they differ."""
    if not heights:
        raise MosaicError("Measure the height at least once.")
    found = [number(height, "height", "mm", above=0) for height in heights]
    if max(found) - min(found) < OUT_OF_SQUARE:
        return ()
    return (text("The height runs from ", mm(min(found), max(found)), ": ", mm(min(found)), " counts."),)
