"""What a row on a guide line is made of, and its place beside the line."""

__all__ = ["CORNERS", "RowPlace", "Rows", "narrow_end", "outlined", "read_rows", "stack"]

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace

from mosaiclib.errors import MosaicError, choice, instance, number, whole_number
from mosaiclib.layout.layout import FRACTIONS, PARTS, Tile

CORNERS = ("mitre", "square", "fan")  # how rows go round a true corner
NARROW = 0.35  # share of a piece's width that its narrow end keeps at least, common practice, no source
LEAST_END = 3.0  # [mm] no narrow end under this where the piece itself is wider, common practice, no source


def narrow_end(width: float) -> float:
    """Return the least width to which the narrow end of a wedge is cut from a piece of a width [mm].

    A third of the piece or so, never under 3 mm unless the piece itself is hardly wider; common practice, no source.

    >>> narrow_end(10), narrow_end(5)
    (3.5, 3.0)
    """
    return min(max(NARROW * width, LEAST_END), 0.8 * width)


@dataclass(frozen=True)
class Rows:
    """One row, or `count` alike side by side, of a tile, or of tiles of a side [mm], or of what is cut from them.

    Halves and thirds lie with the long side along the row, across it where `turned`; a nipped side is shorter than
    its share by the nip loss [mm]. A true corner may be closed in one of `CORNERS`, else as all rows are.

    >>> row = Rows(20, "half")
    >>> row.width, row.height
    (20.0, 10.0)
    """

    tile: Tile | float
    fraction: str = "whole"
    turned: bool = False
    count: int = 1
    nip_loss: float = 0.0
    corner: str | None = None

    def __post_init__(self) -> None:
        stock = self.tile if isinstance(self.tile, Tile) else Tile(self.tile, 4.0)
        object.__setattr__(self, "tile", stock)
        choice(self.fraction, "fraction", FRACTIONS)
        instance(self.turned, bool, "choice whether tiles are turned")
        object.__setattr__(self, "count", whole_number(self.count, "number of rows", least=1, greatest=500))
        loss = number(self.nip_loss, "nip loss", "mm", least=0, greatest=stock.side / 6)
        object.__setattr__(self, "nip_loss", loss)
        if self.corner is not None:
            choice(self.corner, "corner", CORNERS)

    @property
    def _sides(self) -> tuple[float, float]:
        side = self.tile.side
        along, across = (side * share - self.nip_loss * (share < 1) for share in PARTS[self.fraction])
        return (across, along) if self.turned else (along, across)

    @property
    def width(self) -> float:
        """Width of a piece along the row [mm]."""
        return self._sides[0]

    @property
    def height(self) -> float:
        """Height of the row, across it [mm]."""
        return self._sides[1]


@dataclass(frozen=True)
class RowPlace:
    """One row's place in the stack: number from 1, left to right of travel; edges to the right of the guide [mm]."""

    number: int
    spec: Rows
    left: float
    right: float

    @property
    def middle(self) -> float:
        """Offset of its centre line [mm]."""
        return (self.left + self.right) / 2

    @property
    def width(self) -> float:
        """Width of a piece along the row [mm]."""
        return self.spec.width

    @property
    def narrow_end(self) -> float:
        """Least width of the narrow end of a wedge [mm]."""
        return narrow_end(self.spec.width)

    @property
    def fan_end(self) -> float:
        """Width at which the point of a fan piece is cut off [mm]."""
        return min(0.5 * self.narrow_end, 2.0)


def read_rows(rows: object) -> list[Rows]:
    """Return single rows, left to right of travel, from Rows, a mapping with its fields, or a sequence of them.

    >>> len(read_rows([dict(tile=20, fraction="quarter", count=3)]))
    3
    """
    given = [rows] if isinstance(rows, Rows | Mapping) else rows
    if not isinstance(given, Sequence) or isinstance(given, str) or not given:
        raise MosaicError("Give at least one row, for example dict(tile=20, fraction='quarter').")
    specs = [row if isinstance(row, Rows) else _from_mapping(row) for row in given]
    return [replace(spec, count=1) for spec in specs for _ in range(spec.count)]


def outlined(rows: object, tile: Tile | float, fraction: str = "half") -> list[Rows]:
    """Return rows with one more row of the field's tile [mm] on either side, before the grid begins.

    >>> [row.fraction for row in outlined(dict(tile=20, fraction="quarter"), 20)]
    ['half', 'quarter', 'half']
    """
    edge = Rows(tile, fraction)
    return [edge, *read_rows(rows), edge]


def _from_mapping(row: object) -> Rows:
    known = {field.name for field in fields(Rows)}
    if not isinstance(row, Mapping):
        raise MosaicError(f"A row must be Rows or a mapping with its fields, not {row!r}.")
    unknown = sorted(set(map(str, row)) - known)
    if unknown:
        raise MosaicError(f"A row has no field {unknown[0]!r}; it has {', '.join(sorted(known))}.")
    if "tile" not in row:
        raise MosaicError("A row needs its tile, for example dict(tile=20).")
    return Rows(**row)


def stack(rows: Sequence[Rows], joint: float) -> list[RowPlace]:
    """Return the rows' places: side by side with the joint [mm] between, the stack centred on the guide.

    >>> [(row.left, row.right) for row in stack(read_rows([dict(tile=10, count=2)]), 2)]
    [(-11.0, -1.0), (1.0, 11.0)]
    """
    edge = -(sum(row.height for row in rows) + (len(rows) - 1) * joint) / 2
    places = []
    for number_, row in enumerate(rows, 1):
        places.append(RowPlace(number_, row, edge, edge + row.height))
        edge += row.height + joint
    return places
