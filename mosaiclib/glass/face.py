"""What every kind of glass tells: its flat faces, side by side on an unrolled strip, and how they meet."""

__all__ = ["OUT_OF_SQUARE", "Corner", "Face", "Glass", "check_lengths"]

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import ClassVar, Protocol

import shapely
from shapely import Polygon

from mosaiclib.errors import number
from mosaiclib.words import Text

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


def check_lengths(thing, zero: Sequence[str] = ()) -> None:
    """Refuse a field that is not a length, with the field's own name in the sentence."""
    for each in fields(thing):
        value = getattr(thing, each.name)
        if each.type in (float, "float"):
            above = None if each.name in zero else 0
            value = number(value, each.name.replace("_", " "), "mm", least=0, above=above, greatest=100_000)
            object.__setattr__(thing, each.name, value)
