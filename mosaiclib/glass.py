"""The thing to be covered, measured and unrolled into flat faces: a flat pane or a four-sided vessel."""

__all__ = ["CORNERS", "Corner", "Face", "FourSided", "Pane", "Parallax", "parallax"]

import math
from collections.abc import Sequence
from dataclasses import KW_ONLY, dataclass, field, fields
from functools import cached_property

import shapely
from shapely import Polygon

from mosaiclib.errors import MosaicError, choice, number, several


@dataclass(frozen=True)
class Parallax:
    """What looking through the glass at an angle does to a line on its far side.

    Parameters
    ----------
    tile_shift : float
        How far a tile lands from the line when it is set where the line is seen to meet the near face,
        measured along the glass from the foot of the line [mm].
    line_shift : float
        How far the line looks from where it would be seen without the glass [mm].
    """

    tile_shift: float
    line_shift: float


def parallax(thickness: float, angle: float, index: float = 1.52) -> Parallax:
    """Return how far a guide line seen through the glass at an angle misleads.

    tile shift = t tan(r), line shift = t (tan(angle) - tan(r)), sin(r) = sin(angle)/n.

    Parameters
    ----------
    thickness : float
        Thickness of the glass t [mm].
    angle : float
        Angle of the eye from square-on [degrees].
    index : float
        Refractive index n [1].

    Returns
    -------
    Parallax
        Both shifts [mm].

    Raises
    ------
    MosaicError
        If a number is out of range; the angle must be under 90 degrees.

    References
    ----------
    Snell's law of refraction.

    Examples
    --------
    >>> seen = parallax(8, 30)
    >>> round(seen.tile_shift, 1), round(seen.line_shift, 1)
    (2.8, 1.8)
    """
    depth = number(thickness, "glass thickness", "mm", least=0, greatest=200)
    turn = math.radians(number(angle, "viewing angle", "degrees", least=0, greatest=89))
    inside = math.tan(math.asin(math.sin(turn) / number(index, "refractive index", least=1, greatest=3)))
    return Parallax(depth * inside, depth * (math.tan(turn) - inside))


CORNERS = ("open", "front laps", "each laps the next")
NAMES = ("front", "right", "back", "left")
LEVELS = ("rim", "middle", "base")
OUT_OF_SQUARE = 0.5  # [mm] a difference that a tape can show


@dataclass(frozen=True)
class Face:
    """One flat face, where it lies on the unrolled strip.

    Parameters
    ----------
    name : str
        What the maker calls it.
    x, y : float
        Lower left corner on the strip; y = 0 at the foot of the glass [mm].
    width, height : float
        The part to be covered [mm].
    overhang : float
        How far the face runs past the edge of the glass on its left, below 0 where it stops short [mm].
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
    """Where two faces of a vessel meet, seen from above.

    Parameters
    ----------
    faces : tuple of str
        The two faces.
    over : str
        The face whose tiles cover the edge of the other's, empty where neither does.
    channel : float
        Section of the channel along the corner that is not part of any face, to be filled [mm2].
    words : str
        The same in a sentence.
    """

    faces: tuple[str, str]
    over: str
    channel: float
    words: str


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
    """A flat pane of glass.

    Parameters
    ----------
    width, height : float
        Size of the glass [mm].
    margin : float
        Bare strip along all four edges [mm].
    diagonals : pair of float, optional
        Both diagonals as measured; their difference shows how far the pane is out of square [mm].

    Raises
    ------
    MosaicError
        If a length is out of range or the margins leave nothing.

    Examples
    --------
    >>> Pane(300, 200, margin=10).strip.bounds
    (10.0, 10.0, 290.0, 190.0)
    """

    width: float
    height: float
    _: KW_ONLY
    margin: float = 0.0
    diagonals: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        _check_lengths(self, zero=("margin",))
        if 2 * self.margin >= min(self.width, self.height):
            raise MosaicError(
                f"Margins of {self.margin:g} mm leave nothing of a pane of {self.width:g} x {self.height:g} mm."
            )
        if self.diagonals is not None:
            _shear(self.width, self.diagonals)

    around = 0.0

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
    def out_of_square(self) -> tuple[str, ...]:
        """What the diagonals tell, in sentences."""
        if self.diagonals is None or abs(lean := _shear(self.width, self.diagonals)) < OUT_OF_SQUARE:
            return ()
        return (f"The pane leans by {abs(lean):.1f} mm over its height: line the grid up with one edge only.",)

    def corners(self, thickness: float, joint: float) -> tuple[Corner, ...]:
        """A pane has no corners that tiles go round."""
        number(thickness, "tile thickness", "mm", above=0, greatest=1000)
        number(joint, "joint", "mm", least=0, greatest=1000)
        return ()

    def inside_template(self, face: Face | str = "pane") -> tuple[float, float]:
        """Size of a paper template laid behind the glass, the pane's own (width, height) [mm]."""
        choice(getattr(face, "name", face), "face", ("pane",))
        return self.width, self.height


@dataclass(frozen=True)
class FourSided:
    """A vessel with four flat upright sides, covered on the outside.

    Parameters
    ----------
    width, depth, height : float
        Outside sizes of the glass [mm].
    wall, base : float
        Thickness of the sides and of the floor [mm].
    rim_margin, base_margin : float
        Bare strips at the top and at the foot [mm].
    inner_radius : float
        Radius of the inner corners, by which a paper template is trimmed [mm].
    corner : {"open", "front laps", "each laps the next"}
        Which face's tiles run past the edge of the glass and cover the edges of the next face's tiles.
    lap : float
        How far they run: the tile's thickness with its bed [mm].
    corner_joint : float
        Joint between them [mm].
    notes : tuple of str
        What measuring showed, in sentences.

    Raises
    ------
    MosaicError
        If a length is out of range, the walls fill the vessel or the margins leave nothing.

    Examples
    --------
    >>> planter = FourSided(160, 120, 140, 5, 8, rim_margin=10)
    >>> [(face.name, face.x, face.width, face.height) for face in planter.faces[:2]]
    [('front', 0.0, 160.0, 130.0), ('right', 160.0, 120.0, 130.0)]
    >>> planter.inside_template("front")
    (150.0, 132.0)
    """

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
    notes: tuple[str, ...] = field(default=(), repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "notes", several(self.notes, "notes"))
        _check_lengths(self, zero=("rim_margin", "base_margin", "inner_radius", "lap", "corner_joint"))
        choice(self.corner, "corner", CORNERS)
        if self.rim_margin + self.base_margin >= self.height:
            raise MosaicError(
                f"Margins of {self.rim_margin:g} mm at the rim and {self.base_margin:g} mm at the base leave "
                f"nothing of a height of {self.height:g} mm."
            )
        if 2 * (self.wall + self.inner_radius) >= min(self.width, self.depth):
            raise MosaicError(
                f"Two walls of {self.wall:g} mm with inner corners of {self.inner_radius:g} mm fill a vessel of "
                f"{self.width:g} x {self.depth:g} mm; measure the wall again."
            )
        if self.base + self.inner_radius >= self.height:
            raise MosaicError(f"A floor of {self.base:g} mm fills a vessel {self.height:g} mm high; measure it again.")
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
        """Make a vessel from measures at rim, middle and base: the least counts, the rest is reported.

        Parameters
        ----------
        widths, depths : sequence of float
            Outside width and depth at rim, middle and base [mm].
        heights : sequence of float
            Outside height, at one corner or more [mm].
        wall, base : float
            Thickness of the sides and of the floor [mm].
        **more
            As for `FourSided`.

        Returns
        -------
        FourSided
            With `out_of_square` telling how the measures differ.

        Raises
        ------
        MosaicError
            If widths or depths are not three lengths.

        Examples
        --------
        >>> FourSided.measured((161, 160, 159), (120, 120, 120), (140, 140), 5, 8).out_of_square
        ('The width is 161 mm at the rim, 160 mm at the middle and 159 mm at the base: 159 mm counts.',)
        """
        widths, depths, heights = (
            several(widths, "widths"),
            several(depths, "depths"),
            several(heights, "heights"),
        )
        notes = (*_three("width", widths), *_three("depth", depths), *_uneven(heights))
        return cls(min(widths), min(depths), min(heights), wall, base, notes=notes, **more)

    @property
    def out_of_square(self) -> tuple[str, ...]:
        """How the measures at rim, middle and base differ, in sentences."""
        return self.notes

    @cached_property
    def faces(self) -> tuple[Face, ...]:
        """Front, right, back and left, side by side on the strip with their corner joints."""
        found, x = [], 0.0
        for name in NAMES:
            before, after = self._ends(name)
            size = self.width if name in ("front", "back") else self.depth
            tall = self.height - self.rim_margin - self.base_margin
            found.append(Face(name, x, self.base_margin, size + before + after, tall, before))
            x += found[-1].width + (self.corner_joint if self.corner != "open" else 0.0)
        return tuple(found)

    def _ends(self, name: str) -> tuple[float, float]:
        """How far a face runs past the edge of the glass at its left and its right [mm]."""
        laps, lapped = self.lap, -self.corner_joint
        if self.corner == "open":
            return 0.0, 0.0
        if self.corner == "front laps":
            return (laps, laps) if name in ("front", "back") else (lapped, lapped)
        return lapped, laps

    @property
    def around(self) -> float:
        """Length of the strip once round [mm]."""
        last = self.faces[-1]
        return last.x + last.width + (self.corner_joint if self.corner != "open" else 0.0)

    @property
    def strip(self) -> Polygon:
        """The surface to be covered, unrolled, with the joints at its corners [mm]."""
        face = self.faces[0]
        return shapely.box(0.0, face.y, self.around, face.y + face.height)

    def corners(self, thickness: float, joint: float) -> tuple[Corner, ...]:
        """Tell for each upright corner which tile edge covers which and the channel that is left.

        Parameters
        ----------
        thickness : float
            Tile with its bed [mm].
        joint : float
            Joint [mm].

        Returns
        -------
        tuple of Corner
            In the order front-right, right-back, back-left, left-front.
        """
        deep = number(thickness, "tile thickness", "mm", above=0, greatest=1000)
        wide = number(joint, "joint", "mm", least=0, greatest=1000)
        return tuple(self._corner(NAMES[i], NAMES[(i + 1) % 4], deep, wide) for i in range(4))

    def _corner(self, one: str, two: str, deep: float, wide: float) -> Corner:
        if self.corner == "open":
            words = (
                f"{one} and {two}: neither covers the other; a channel of {deep:g} x {deep:g} mm along the edge of "
                "the glass is filled."
            )
            return Corner((one, two), "", deep**2, words)
        over = one if self.corner == "each laps the next" or one in ("front", "back") else two
        under = two if over == one else one
        covered = f"tiles of the {over} cover the edges of the {under}"
        words = f"{one} and {two}: {covered}, with a joint of {wide:g} mm between."
        return Corner((one, two), over, 0.0, words)

    def inside_template(self, face: Face | str) -> tuple[float, float]:
        """Return the size of a paper guide that stands inside, against a wall, from the rim down.

        Parameters
        ----------
        face : Face or str
            The face, or its name.

        Returns
        -------
        tuple of float
            Outside width less two walls, height less the floor, both trimmed by the inner radius [mm].

        Raises
        ------
        MosaicError
            If there is no such face.
        """
        name = choice(getattr(face, "name", face), "face", NAMES)
        size = self.width if name in ("front", "back") else self.depth
        return size - 2 * self.wall - 2 * self.inner_radius, self.height - self.base - self.inner_radius


def _three(what: str, sizes: Sequence[float]) -> tuple[str, ...]:
    """Check three measures of one side and tell how they differ."""
    if len(sizes) != 3:
        raise MosaicError(f"Measure the {what} three times: at the rim, the middle and the base.")
    found = [number(size, what, "mm", above=0) for size in sizes]
    if max(found) - min(found) < OUT_OF_SQUARE:
        return ()
    parts = [f"{size:g} mm at the {level}" for size, level in zip(found, LEVELS, strict=True)]
    return (f"The {what} is {', '.join(parts[:-1])} and {parts[-1]}: {min(found):g} mm counts.",)


def _uneven(heights: Sequence[float]) -> tuple[str, ...]:
    """Check the heights and tell how they differ."""
    if not heights:
        raise MosaicError("Measure the height at least once.")
    found = [number(height, "height", "mm", above=0) for height in heights]
    if max(found) - min(found) < OUT_OF_SQUARE:
        return ()
    return (f"The height runs from {min(found):g} to {max(found):g} mm: {min(found):g} mm counts.",)
