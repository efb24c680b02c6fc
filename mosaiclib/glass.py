"""The thing to be covered, measured and unrolled into flat faces: a flat pane or a four-sided vessel."""

__all__ = ["CORNERS", "Corner", "Face", "FourSided", "Glass", "Pane", "Parallax", "parallax"]

import math
from collections.abc import Sequence
from dataclasses import KW_ONLY, dataclass, field, fields
from functools import cached_property
from typing import ClassVar, Protocol

import shapely
from shapely import Polygon

from mosaiclib.errors import MosaicError, choice, number, several
from mosaiclib.units import mm, text
from mosaiclib.words import Text


@dataclass(frozen=True)
class Parallax:
    """What looking through the glass at an angle does to a line on its far side.

    `tile_shift` [mm]: how far a tile lands from the line when it is set where the line is seen to meet the near face, along the
    glass from the foot of the line. `line_shift` [mm]: how far the line looks from where it would be seen without the glass.
    """

    tile_shift: float
    line_shift: float


def parallax(thickness: float, angle: float, index: float = 1.52) -> Parallax:
    """Return how far a guide line seen through glass of a thickness t [mm] at an angle from square-on [degrees] misleads.

    Snell's law: sin(r) = sin(angle)/n, tile shift = t tan(r), line shift = t (tan(angle) - tan(r)); n is the refractive index.

    >>> seen = parallax(8, 30)
    >>> round(seen.tile_shift, 1), round(seen.line_shift, 1)
    (2.8, 1.8)
    """
    t = number(thickness, "glass thickness", "mm", least=0, greatest=200)
    outside = math.radians(number(angle, "viewing angle", "degrees", least=0, greatest=89))
    r = math.asin(math.sin(outside) / number(index, "refractive index", least=1, greatest=3))
    return Parallax(t * math.tan(r), t * (math.tan(outside) - math.tan(r)))


CORNERS = ("open", "front overlaps", "each overlaps the next")
OUT_OF_SQUARE = 0.5  # [mm] a difference that a tape can show


@dataclass(frozen=True)
class Face:
    """One flat face, where it lies on the unrolled strip: lower left corner, y = 0 at the foot, and the part to be covered [mm].

    `overhang` [mm]: how far the face runs past the edge of the glass on its left, below 0 where it stops short.
    """

    name: str
    x: float
    y: float
    width: float
    height: float
    overhang: float = 0.0

    @property
    def outline(self) -> Polygon:
        """The face as a polygon on the strip [mm]."""
        return shapely.box(self.x, self.y, self.x + self.width, self.y + self.height)


@dataclass(frozen=True)
class Corner:
    """Where two faces of a vessel meet, seen from above, in a sentence too.

    `over`: the face whose tiles cover the edge of the other's, empty where neither does. `channel` [mm2]: section of the channel
    along the corner that is part of no face and is filled.
    """

    faces: tuple[str, str]
    over: str
    channel: float
    words: Text


class Glass(Protocol):
    """What every kind of glass tells; nobody outside this module asks which kind it is."""

    face_names: ClassVar[tuple[str, ...]]
    has_inside: ClassVar[bool]  # a paper guide can stand inside; else it lies behind
    top: ClassVar[str]  # what the upper edge is called

    @property
    def faces(self) -> tuple[Face, ...]:
        """The flat faces, side by side on the strip."""

    @property
    def strip(self) -> Polygon:
        """The surface to be covered, unrolled, with the joints at its corners [mm]."""

    @property
    def around(self) -> float:
        """Length of the strip once round, 0 where it does not close [mm]."""

    @property
    def edge_length(self) -> float:
        """Length of the edges that end on bare glass or at a rim [mm]."""

    @property
    def out_of_square(self) -> tuple[Text, ...]:
        """What measuring showed, in sentences."""

    @staticmethod
    def title(name: str, face: str) -> str:
        """Return what a face is called in lists, by the maker's name of the piece."""

    def whole_face(self, face: Face) -> Polygon:
        """Return a face with its bare margins; its upper edge is the edge of the glass [mm]."""

    def corners(self, thickness: float, joint: float) -> tuple[Corner, ...]:
        """Tell for each upright corner which tiles cover which; `thickness` is the tile's with its bed [mm]."""

    def inside_template(self, face: Face | str) -> tuple[float, float]:
        """Return width and height of a paper guide for a face, behind or inside the glass [mm]."""

    def guide_outline(self, face: Face) -> Polygon:
        """Return where that guide lies on the strip [mm]."""


def _check_lengths(thing, zero: Sequence[str] = ()) -> None:
    """Refuse a field that is not a length, with the field's own name in the sentence."""
    for each in fields(thing):
        value = getattr(thing, each.name)
        if each.type in (float, "float"):
            above = None if each.name in zero else 0
            value = number(value, each.name.replace("_", " "), "mm", least=0, above=above, greatest=100_000)
            object.__setattr__(thing, each.name, value)


def _shear(width: float, diagonals: Sequence[float]) -> float:
    """Return how far a four-sided face leans, from its two diagonals [mm]: (d1^2 - d2^2)/(4 width)."""
    pair = several(diagonals, "diagonals")
    if len(pair) != 2:
        raise MosaicError("Measure both diagonals of the face: two lengths.")
    one, two = (number(d, "diagonal", "mm", above=width, greatest=200_000) for d in pair)
    return (one**2 - two**2) / (4 * width)


@dataclass(frozen=True)
class Pane:
    """A flat pane of glass: its size, a bare strip along all four edges, and both diagonals if they were measured [mm].

    >>> Pane(300, 200, margin=10).strip.bounds
    (10.0, 10.0, 290.0, 190.0)
    """

    face_names: ClassVar[tuple[str, ...]] = ("pane",)
    has_inside: ClassVar[bool] = False
    top: ClassVar[str] = "top"
    around: ClassVar[float] = 0.0

    width: float
    height: float
    _: KW_ONLY
    margin: float = 0.0
    diagonals: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        _check_lengths(self, zero=("margin",))
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

    @staticmethod
    def title(name: str, face: str) -> str:
        """Return the name of the piece: it has one face."""
        return name

    def whole_face(self, face: Face) -> Polygon:
        """Return the pane with its margins [mm]."""
        return shapely.box(0.0, 0.0, self.width, self.height)

    def corners(self, thickness: float, joint: float) -> tuple[Corner, ...]:
        """Return nothing: a pane has no corners that tiles go round."""
        return ()

    def inside_template(self, face: Face | str = "pane") -> tuple[float, float]:
        """Return width and height of a paper template laid behind the glass, the pane's own [mm]."""
        choice(getattr(face, "name", face), "face", self.face_names)
        return self.width, self.height

    def guide_outline(self, face: Face) -> Polygon:
        """Return the pane itself [mm]."""
        return self.whole_face(face)


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
        _check_lengths(self, zero=("rim_margin", "base_margin", "inner_radius", "lap", "corner_joint", "bed"))
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
