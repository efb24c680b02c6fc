"""What a row on a guide line is made of, and the rules that its pieces keep."""

__all__ = ["Rows", "Rules", "Strip", "narrow_end", "outlined", "read_rows", "stack"]

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields

from mosaiclib.errors import MosaicError, choice, instance, number, whole_number
from mosaiclib.layout.layout import FRACTIONS, Tile

PARTS = {"whole": (1.0, 1.0), "half": (1.0, 0.5), "third": (1.0, 1 / 3), "quarter": (0.5, 0.5)}
NARROW = 0.35  # share of a piece's width that its narrow end keeps at least, common practice, no source
LEAST_END = 3.0  # [mm] no narrow end under this where the piece itself is wider, common practice, no source


def narrow_end(width: float) -> float:
    """Return the least width to which the narrow end of a wedge is cut.

    A third of the piece or so, never under 3 mm unless the piece itself is hardly wider.

    Parameters
    ----------
    width : float
        Width of the piece [mm].

    Returns
    -------
    float
        Least narrow end [mm].

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> narrow_end(10), narrow_end(5)
    (3.5, 3.0)
    """
    return min(max(NARROW * width, LEAST_END), 0.8 * width)


@dataclass(frozen=True)
class Rows:
    """One row, or several alike side by side.

    Parameters
    ----------
    tile : Tile or float
        Tile, or its side [mm].
    fraction : {"whole", "half", "third", "quarter"}
        What is cut from the tile; halves and thirds lie with the long side along the row.
    turned : bool
        Whether halves and thirds lie with the long side across the row.
    count : int
        How many rows alike.
    nip_loss : float
        How much shorter a nipped side is than its share [mm].

    Raises
    ------
    MosaicError
        If a number is out of range or the fraction is unknown.

    Examples
    --------
    >>> row = Rows(20, "half")
    >>> row.width, row.height
    (20.0, 10.0)
    """

    tile: Tile | float
    fraction: str = "whole"
    turned: bool = False
    count: int = 1
    nip_loss: float = 0.0

    def __post_init__(self) -> None:
        stock = self.tile if isinstance(self.tile, Tile) else Tile(self.tile, 4.0)
        object.__setattr__(self, "tile", stock)
        choice(self.fraction, "fraction", FRACTIONS)
        instance(self.turned, bool, "choice whether tiles are turned")
        object.__setattr__(self, "count", whole_number(self.count, "number of rows", least=1, greatest=500))
        loss = number(self.nip_loss, "nip loss", "mm", least=0, greatest=stock.side / 6)
        object.__setattr__(self, "nip_loss", loss)

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
class Rules:
    """Joint, its limits and the least sizes of pieces [mm].

    Parameters
    ----------
    joint, least, greatest : float
        Joint and its limits [mm].
    """

    joint: float
    least: float
    greatest: float

    @property
    def slack(self) -> float:
        """How far one piece's edge may lie from its place without a joint leaving its limits [mm]."""
        return min(self.joint - self.least, self.greatest - self.joint) / 2


@dataclass(frozen=True)
class Strip:
    """One row's place in the stack, offsets to the right of the guide [mm].

    Parameters
    ----------
    number : int
        From 1, left to right of travel.
    spec : Rows
        What it is made of.
    left, right : float
        Offsets of its edges [mm].
    """

    number: int
    spec: Rows
    left: float
    right: float

    @property
    def middle(self) -> float:
        """Offset of its centre line [mm]."""
        return (self.left + self.right) / 2

    @property
    def narrow_end(self) -> float:
        """Least width of the narrow end of a wedge [mm]."""
        return narrow_end(self.spec.width)

    @property
    def fan_end(self) -> float:
        """Width at which the point of a fan piece is cut off [mm]."""
        return min(0.5 * self.narrow_end, 2.0)


def read_rows(rows: object) -> list[Rows]:
    """Return single rows from what was given.

    Parameters
    ----------
    rows : Rows, mapping, or sequence of them
        Mappings have the fields of `Rows`.

    Returns
    -------
    list of Rows
        Each with a count of 1, left to right of travel.

    Raises
    ------
    MosaicError
        If there is none, or one has an unknown field.

    Examples
    --------
    >>> len(read_rows([dict(tile=20, fraction="quarter", count=3)]))
    3
    """
    given = [rows] if isinstance(rows, Rows | Mapping) else rows
    if not isinstance(given, Sequence) or isinstance(given, str) or not given:
        raise MosaicError("Give at least one row, for example dict(tile=20, fraction='quarter').")
    found = []
    for row in given:
        spec = row if isinstance(row, Rows) else _from_mapping(row)
        single = Rows(spec.tile, spec.fraction, spec.turned, 1, spec.nip_loss)
        found += [single] * spec.count
    return found


def outlined(rows: object, tile: Tile | float, fraction: str = "half") -> list[Rows]:
    """Return rows with one more row of the field's tile on either side, before the grid begins.

    Parameters
    ----------
    rows : Rows, mapping, or sequence of them
        As for `lay_rows`.
    tile : Tile or float
        The field's tile, or its side [mm].
    fraction : str
        What the outline rows are cut to.

    Returns
    -------
    list of Rows
        Two rows more.

    Examples
    --------
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


def stack(rows: Sequence[Rows], joint: float) -> list[Strip]:
    """Return the rows' places: side by side with the joint between, the stack centred on the guide.

    Parameters
    ----------
    rows : sequence of Rows
        Left to right of travel.
    joint : float
        Joint between rows [mm].

    Returns
    -------
    list of Strip
        Offsets to the right of the guide [mm].

    Examples
    --------
    >>> [(strip.left, strip.right) for strip in stack(read_rows([dict(tile=10, count=2)]), 2)]
    [(-11.0, -1.0), (1.0, 11.0)]
    """
    edge = -(sum(row.height for row in rows) + (len(rows) - 1) * joint) / 2
    found = []
    for place, row in enumerate(rows):
        found.append(Strip(place + 1, row, edge, edge + row.height))
        edge += row.height + joint
    return found
