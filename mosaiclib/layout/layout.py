"""The tile stock, a piece and a Layout: the value that every later room reads."""

__all__ = [
    "COLUMNS",
    "FRACTIONS",
    "KINDS",
    "LOST",
    "MOST_PIECES",
    "NIP",
    "PARTS",
    "Gap",
    "JointLimits",
    "Layout",
    "Tile",
    "is_rectangle",
    "lowest_row",
    "not_too_many",
    "only_areas",
    "piece_table",
    "read_layout",
    "read_outline",
    "read_shapes",
    "row_codes",
]

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from numbers import Real
from typing import NamedTuple

import numpy as np
import pandas as pd
import shapely
from shapely import MultiPolygon, Polygon

from mosaiclib.errors import MosaicError, brief, instance, number, several, whole_number
from mosaiclib.glass.seam import Seam
from mosaiclib.units import mm
from mosaiclib.words import Text

LEAST_SIDE = 0.5  # [mm] smaller is glass sand; keeps what may be laid on a wall within a computer's reach
MOST_PIECES = 2_000_000  # what a computer of today lays before its memory is full
NIP = 0.02  # [mm] what a nip cannot be held to anyway: a joint or a piece is off only by more than this
LOST = 1e-6  # [mm2] a smaller area is rounding
PLAY = 0.15  # of the joint: its limits where none are given; assumed
KINDS = ("whole", "wedge", "fan", "corner", "cut")
# what a tile gives: sides of a piece along and across the row, as shares of the tile's side
PARTS = {"whole": (1.0, 1.0), "half": (1.0, 0.5), "third": (1.0, 1 / 3), "quarter": (0.5, 0.5)}
FRACTIONS = tuple(PARTS)
COLUMNS = {
    "face": "",
    "line": "",
    "band": "",
    "row": 0,
    "place": 0,
    "kind": "whole",
    "fraction": "whole",
    "tile": 0.0,
    "colour": "",
    "width": 0.0,
    "height": 0.0,
    "narrow": 0.0,
    "cut_angle": 0.0,
    "hollow": False,
    "area": 0.0,
    "why": "",
}


@dataclass(frozen=True)
class Tile:
    """A small square tile as bought: side of the face that is seen, and thickness [mm].

    `back_side` is smaller where the edges slope, so that the joint is wider at the back [mm].

    >>> Tile(20, 4).volume
    1600.0
    >>> round(Tile(20, 4, back_side=19.3).volume, 1)
    1544.7
    """

    side: float
    thickness: float
    back_side: float | None = field(default=None, kw_only=True)
    colour: str | None = field(default=None, kw_only=True)

    def __post_init__(self) -> None:
        side = number(self.side, "tile side", "mm", least=LEAST_SIDE, greatest=1000)
        object.__setattr__(self, "side", side)
        object.__setattr__(self, "thickness", number(self.thickness, "tile thickness", "mm", above=0, greatest=100))
        if self.back_side is not None:
            back = number(self.back_side, "side of the tile's back", "mm", above=0, greatest=self.side)
            object.__setattr__(self, "back_side", back)
        if self.colour is not None:
            instance(self.colour, str, "colour of the tile")

    @property
    def slope(self) -> float:
        """How far each edge of the back lies inside the edge of the face [mm]."""
        return 0.0 if self.back_side is None else (self.side - self.back_side) / 2

    @property
    def volume(self) -> float:
        """Volume of the whole tile, a frustum where the edges slope [mm3]."""
        face, back = self.side**2, (self.side - 2 * self.slope) ** 2
        return self.thickness * (face + back + math.sqrt(face * back)) / 3


class JointLimits(NamedTuple):
    """Wanted joint, and the least and greatest that are allowed [mm]."""

    joint: float
    least: float
    greatest: float

    @classmethod
    def read(cls, joint: float, limits: Sequence[float] | None = None) -> "JointLimits":
        """Return a joint and its limits [mm], checked; 15 % either side of it where none are given.

        >>> JointLimits.read(2)
        JointLimits(joint=2.0, least=1.7, greatest=2.3)
        """
        wanted = number(joint, "joint", "mm", above=0, greatest=100)
        if limits is None:
            return cls(wanted, (1 - PLAY) * wanted, (1 + PLAY) * wanted)
        ends = ("least joint", "greatest joint")
        asked = zip(several(limits, "limits of the joint", 2), ends, strict=True)
        least, greatest = (number(end, name, "mm", least=0, greatest=200) for end, name in asked)
        if not least <= wanted <= greatest:
            raise MosaicError("The joint, ", mm(wanted), ", must lie within its limits, ", mm(least, greatest), ".")
        return cls(wanted, least, greatest)

    @property
    def slack(self) -> float:
        """How far one piece's edge may lie from its place without a joint leaving its limits [mm]."""
        return min(self.joint - self.least, self.greatest - self.joint) / 2


@dataclass(frozen=True)
class Gap:
    """A place in the outline that is left to the filler or to the hand on purpose [mm], and why, in a sentence."""

    shape: Polygon | MultiPolygon
    why: str | Text

    def __post_init__(self) -> None:
        if not isinstance(self.shape, Polygon | MultiPolygon):
            raise MosaicError(f"A gap must be an area, a Polygon or MultiPolygon, not {brief(self.shape)}.")
        instance(self.why, (str, Text), "reason for the gap")


@dataclass(frozen=True, eq=False)
class Layout:
    """Where each piece of glass goes: a frozen value, one row of `pieces` for each polygon in `shapes`.

    Parameters
    ----------
    outline : Polygon or MultiPolygon
        The surface to be covered, margins left out [mm].
    shapes : array of Polygon, shape (n,)
        The pieces seen from the front [mm].
    pieces : DataFrame
        One row a piece with the columns of `COLUMNS`: the line that it belongs to where there are several, tile side,
        width, height and narrow end of a wedge [mm], cut angle of its sides from square [degrees], area [mm2], whether
        an edge is hollow.
    joint, joint_min, joint_max : float
        The wanted joint and its limits [mm].
    tile : Tile
        The tile that the pieces are made of.
    gaps : tuple of Gap
        Places left without pieces on purpose.
    corner_gap : float
        Widest clear distance round a corner from one face's pieces to the next one's [mm]; pieces that
        face each other across it count as neighbours.
    seams : tuple of glass.Seam
        Where the strip goes on elsewhere, such as at its other end where it closes on itself.
    spans : tuple of Span
        What can be laid where along rows on a guide line.
    smoothed : float
        How far a jittery line was moved to smooth it [mm].
    """

    outline: Polygon | MultiPolygon
    shapes: np.ndarray
    pieces: pd.DataFrame
    joint: float
    joint_min: float
    joint_max: float
    tile: Tile
    gaps: tuple[Gap, ...] = ()
    corner_gap: float = 0.0
    seams: tuple[Seam, ...] = ()
    spans: tuple = ()
    smoothed: float = 0.0

    def __post_init__(self) -> None:
        instance(self.outline, (Polygon, MultiPolygon), "outline")
        instance(self.pieces, pd.DataFrame, "table of pieces")
        instance(self.tile, Tile, "tile")
        gaps = several(self.gaps, "gaps")
        object.__setattr__(self, "gaps", tuple(instance(gap, Gap, "gap") for gap in gaps))
        seams = several(self.seams, "seams")
        object.__setattr__(self, "seams", tuple(instance(seam, Seam, "seam") for seam in seams))
        shapes = read_shapes(self.shapes, parts=True)
        shapes.flags.writeable = False
        object.__setattr__(self, "shapes", shapes)
        for name in ("joint", "joint_min", "joint_max", "corner_gap"):
            checked = number(getattr(self, name), name.replace("_", " "), "mm", least=0, greatest=1e6)
            object.__setattr__(self, name, checked)
        if len(shapes) != len(self.pieces):
            raise MosaicError(f"A layout has {len(shapes)} shapes and {len(self.pieces)} rows; it needs one row each.")
        if self.joint_min > self.joint_max:
            low, high = mm(self.joint_min), mm(self.joint_max)
            raise MosaicError("The least joint, ", low, ", must not be over the greatest, ", high, ".")

    def __len__(self) -> int:
        return len(self.shapes)

    @cached_property
    def areas(self) -> np.ndarray:
        """Face area of each piece, shape (n,) [mm2]."""
        return shapely.area(self.shapes)

    @cached_property
    def face_codes(self) -> np.ndarray:
        """Number of each piece's face, shape (n,)."""
        return self.pieces["face"].astype("category").cat.codes.to_numpy()

    @property
    def filler_area(self) -> float:
        """Outline less pieces: joints, bare margins and gaps [mm2]."""
        return self.outline.area - float(self.areas.sum())

    @cached_property
    def glass_volume(self) -> float:
        """Volume of all pieces over the tile's thickness [mm3].

        Sloping edges are counted on every edge: area - perimeter s/2 + 4 s^2/3 on the mean of the
        thickness, which is exact for rectangles; s is how far the back's edge lies inside the face's.
        """
        slope = self.tile.slope
        lost = shapely.length(self.shapes) * slope / 2 - 4 * slope**2 / 3 if slope else 0.0
        return float(np.sum(self.areas - lost)) * self.tile.thickness

    def coloured(self, colours: Sequence[str]) -> "Layout":
        """Return the same layout with these colours, one name a piece, shape (n,)."""
        names = several(colours, "colours", len(self))
        return replace(self, pieces=self.pieces.assign(colour=list(names)))


def read_shapes(shapes: Sequence[Polygon], *, parts: bool = False) -> np.ndarray:
    """Return pieces as a new array of polygons, shape (n,) [mm]; with `parts` a window may have cut one apart.

    >>> len(read_shapes([shapely.box(0, 0, 20, 20)]))
    1
    """
    found = np.empty(len(listed := several(shapes, "pieces")), dtype=object)
    found[:] = listed
    if shapely.is_geometry(found).all():
        kind = shapely.get_type_id(found)
        if ((kind == 3) | (parts & (kind == 6))).all():
            return found
    raise MosaicError("Every piece of a layout must be a polygon.")


def read_layout(found: object, name: str = "layout") -> Layout:
    """Return what is a layout, or say where layouts come from."""
    if not isinstance(found, Layout):
        raise MosaicError(f"The {name} must be what lay_rows, lay_field or lay_grid return, not {brief(found)}.")
    return found


def read_outline(face: object) -> Polygon:
    """Return the outline of a glass face, or of a polygon in its place [mm]."""
    outline = getattr(face, "outline", face)
    if not isinstance(outline, Polygon) or outline.is_empty or not outline.is_valid:
        raise MosaicError("The face must be a glass face or a simple closed outline that does not cross itself.")
    return outline


def is_rectangle(outline: Polygon) -> bool:
    """Tell whether an outline is an upright rectangle, but for rounding.

    >>> is_rectangle(shapely.box(0, 0, 3, 2)), is_rectangle(shapely.box(0, 0, 3, 2) - shapely.box(1, 1, 2, 3))
    (True, False)
    """
    return shapely.box(*outline.bounds).area - outline.area < LOST


def mitred(shapes: shapely.Geometry | np.ndarray, by: float, limit: float = 2.0):
    """Return shapes grown, or shrunk, by a distance [mm] with mitred corners, cut off at `limit` times the distance.

    >>> mitred(shapely.box(0, 0, 2, 1), 1).area
    12.0
    """
    with np.errstate(invalid="ignore", divide="ignore"):  # GEOS divides where edges are parallel, and finds out
        return shapely.buffer(shapes, by, join_style="mitre", mitre_limit=limit)


def only_areas(shape: shapely.Geometry) -> Polygon | MultiPolygon:
    """Return the areas of a shape without the lines and points that cutting may leave [mm].

    >>> only_areas(shapely.GeometryCollection([shapely.Point(0, 0), shapely.box(0, 0, 1, 1)])).area
    1.0
    """
    parts = [part for part in shapely.get_parts(shape) if isinstance(part, Polygon)]
    return shapely.union_all(parts) if parts else Polygon()  # joining nothing gives a collection


def lowest_row(pieces: pd.DataFrame) -> float:
    """Return the height of the lowest row of a table of rows [mm]; pieces that were cut are lower than their row.

    >>> lowest_row(piece_table(3, row=[1, 1, 2], height=[10.0, 4.0, 7.0]))
    7.0
    """
    row = row_codes(pieces)
    tallest = np.zeros(row.max() + 1)
    np.maximum.at(tallest, row, pieces["height"].to_numpy())
    return float(tallest[np.unique(row)].min())


def row_codes(pieces: pd.DataFrame) -> np.ndarray:
    """Return a number for each piece's row, shape (n,): of one line its own number, of further ones higher numbers.

    No two rows of several lines have the same number, nor numbers that follow each other.

    >>> row_codes(piece_table(3, line=["band 1", "band 2", "band 2"], row=[1, 1, 2])).tolist()
    [1, 5, 6]
    """
    row, line = pieces["row"].to_numpy(), pd.factorize(pieces["line"].to_numpy())[0]
    return row + line * (row.max(initial=0) + 2)


def not_too_many(count: int, what: str, most: int = MOST_PIECES) -> None:
    """Refuse what ("This grid") would have far too many pieces, before any of them is laid.

    >>> not_too_many(3_000_000, "This grid")
    Traceback (most recent call last):
    mosaiclib.errors.MosaicError: This grid would have 3,000,000 pieces, over 2,000,000; lay it part by part, or take \
larger tiles.
    """
    if count > most:
        raise MosaicError(
            f"{what} would have {count:,} pieces, over {most:,}; lay it part by part, or take larger tiles."
        )


def piece_table(count: int, **columns: object) -> pd.DataFrame:
    """Make the table of a layout: `count` rows with the columns of `COLUMNS`, those that are not given at their default.

    >>> piece_table(2, face="front", place=[1, 2])[["face", "place", "kind"]].values.tolist()
    [['front', 1, 'whole'], ['front', 2, 'whole']]
    """
    rows = whole_number(count, "number of pieces", least=0)
    unknown = set(columns) - set(COLUMNS)
    if unknown:
        raise MosaicError(f"A piece has no column {sorted(unknown)[0]!r}.")
    for name, value in columns.items():
        if np.shape(value) != (rows,) and not isinstance(value, str | Real | Text | None):
            several(value, f"column {name}")
            raise MosaicError(f"The column {name!r} must have one value for each of {rows} pieces.")
    return pd.DataFrame(COLUMNS | columns, index=pd.RangeIndex(rows), copy=False)
