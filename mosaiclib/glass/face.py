"""What every kind of glass tells: its flat faces, side by side on an unrolled strip, and how they meet."""

__all__ = ["OUT_OF_SQUARE", "Corner", "Face", "Glass", "check_lengths", "lying"]

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import ClassVar, Protocol

import numpy as np
import shapely
from shapely import Polygon

from mosaiclib.errors import number
from mosaiclib.glass.seam import Edge, Seam
from mosaiclib.words import Text

OUT_OF_SQUARE = 0.5  # [mm] a difference that a tape can show
SAME = 1e-6  # [mm2] a smaller area is rounding


@dataclass(frozen=True)
class Face:
    """One flat face, where it lies on the unrolled strip: lower left corner, y = 0 at the foot, and the part to be covered [mm].

    `overhang` [mm]: how far the face runs past the edge of the glass on its left, below 0 where it stops short. `shape`: its
    outline on the strip where that is not the upright rectangle. `edge`: the foot of a face that goes round the glass and
    closes on itself, from seam to seam; level rows lie along it, up to `deep` [mm] over it. `lean`: how far its
    wall leans outwards from upright [degrees].
    """

    name: str
    x: float
    y: float
    width: float
    height: float
    overhang: float = 0.0
    shape: Polygon | None = None
    edge: Edge | None = None
    deep: float = 0.0
    lean: float = 0.0

    @property
    def span(self) -> tuple[float, float]:
        """How wide and high it is to those who draw on it; where it goes round, the way along its foot and up from there [mm]."""
        return (self.width, self.height) if self.edge is None else (self.edge.length, self.deep)

    def on_strip(self, points: np.ndarray) -> np.ndarray:
        """Return where points, shape (n, 2), as drawn on the face from its lower left corner, lie on the strip [mm]."""
        return points + np.array([self.x, self.y]) if self.edge is None else self.edge.at(*np.transpose(points))

    def as_drawn(self, points: np.ndarray) -> np.ndarray:
        """Return where points of the strip, shape (n, 2), lie on the face as it is drawn on; the inverse of `on_strip` [mm]."""
        return points - np.array([self.x, self.y]) if self.edge is None else np.stack(self.edge.place(points), axis=-1)

    @property
    def outline(self) -> Polygon:
        """The face as a polygon on the strip [mm]."""
        return self.box if self.shape is None else self.shape

    @property
    def rectangular(self) -> bool:
        """Whether the face is its upright rectangle."""
        return self.shape is None or self.box.area - self.shape.area < SAME

    @property
    def box(self) -> Polygon:
        """The upright rectangle round the face on the strip [mm]."""
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
    hazards: ClassVar[tuple[str, ...]]  # papers of `cautions` that it needs besides those of any glass

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
    def seams(self) -> tuple[Seam, ...]:
        """Where the strip goes on elsewhere, and where two faces meet; seams of a face with itself come first."""

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
        """Return where that guide lies on the strip [mm], its flap left out."""

    def on_guide(self, face: Face, points: np.ndarray) -> np.ndarray:
        """Return where points of the strip lie on a face's guide, shape (n, 2) [mm]."""

    def flap(self, face: Face, inside: bool) -> Polygon:
        """Return the strip of paper on which a guide, inside or outside the glass, overlaps itself; empty where it does not [mm]."""

    def in_space(self, points: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Return points of the strip, shape (n, 2), in space and the unit normals away from the glass, both (n, 3); z is up [mm]."""


def lying(points: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return points of flat glass, shape (n, 2), in the plane z = 0, and normals straight up, both (n, 3) [mm]."""
    flat = np.reshape(np.asarray(points, dtype=float), (-1, 2))
    zero = np.zeros((len(flat), 1))
    return np.hstack([flat, zero]), np.hstack([0 * flat, zero + 1])


def check_lengths(thing, zero: Sequence[str] = ()) -> None:
    """Refuse a field that is not a length, with the field's own name in the sentence."""
    for each in fields(thing):
        value = getattr(thing, each.name)
        if each.type in (float, "float"):
            above = None if each.name in zero else 0
            value = number(value, each.name.replace("_", " "), "mm", least=0, above=above, greatest=100_000)
            object.__setattr__(thing, each.name, value)
