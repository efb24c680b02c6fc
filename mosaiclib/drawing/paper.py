"""Paper: its sizes, and how drawings go on the fewest sheets, small ones side by side, large ones in parts that overlap."""

__all__ = ["HEAD", "MARGIN", "PAPERS", "Place", "Sheet", "fewest", "paper_sizes", "usual_paper"]

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from mosaiclib import reference
from mosaiclib.drawing.canvas import Box
from mosaiclib.errors import MosaicError
from mosaiclib.units import to_mm

Size = tuple[float, float]


def paper_sizes() -> dict[str, Size]:
    """Return short and long side of every paper of the table [mm].

    >>> paper_sizes()["A4"]
    (210.0, 297.0)
    """
    papers = reference.groups("papers").items()
    return {name: tuple(to_mm(f"{side.number:g} {side.unit}") for side in sides) for name, sides in papers}


def usual_paper(unit: str) -> str:
    """Return the paper of who measures in "mm" or "in": the first of the table whose sides are told so.

    >>> usual_paper("mm"), usual_paper("in")
    ('A4', 'Letter')
    """
    return next(name for name, sides in reference.groups("papers").items() if sides[0].unit == unit)


PAPERS = paper_sizes()
MARGIN = 10.0  # [mm] home printers leave a rim blank
HEAD = 15.0  # [mm] heading
SIDE = 3.5  # [mm] room beside an edge that joins another sheet, for the word to which
MOST_SHEETS = 400
TINY = 1e-6  # [mm]


@dataclass(frozen=True)
class Place:
    """A drawing, or a part of it, on a sheet: which drawing, the box of it that is seen, and where that box's lower left corner lies [mm].

    `column` and `row` of how many `columns` and `rows`, which overlap [mm]; row 0 is the topmost.
    """

    which: int
    box: Box
    at: tuple[float, float]
    column: int = 0
    row: int = 0
    columns: int = 1
    rows: int = 1
    overlap: float = 0.0

    @property
    def size(self) -> Size:
        """Width and height on the sheet [mm]."""
        return self.box[2] - self.box[0], self.box[3] - self.box[1]

    @property
    def parts(self) -> int:
        """On how many sheets the drawing lies."""
        return self.columns * self.rows


@dataclass(frozen=True)
class Sheet:
    """A sheet [mm]: its size, the height of its foot, whether its drawings lie turned, and where they are."""

    width: float
    height: float
    foot: float
    turned: bool
    places: tuple[Place, ...] = ()

    @property
    def room(self) -> Box:
        """What head and foot leave between the margins."""
        return MARGIN, MARGIN + self.foot, self.width - MARGIN, self.height - MARGIN - HEAD

    @property
    def taken(self) -> Box:
        """The box round all that is drawn."""
        lows = [place.at for place in self.places]
        highs = [(x + place.size[0], y + place.size[1]) for (x, y), place in zip(lows, self.places, strict=True)]
        return (*map(min, zip(*lows, strict=True)), *map(max, zip(*highs, strict=True)))

    def centred(self) -> "Sheet":
        """Return the sheet with its drawings in the middle of the room."""
        room, taken = self.room, self.taken
        dx, dy = ((room[k] + room[k + 2] - taken[k] - taken[k + 2]) / 2 for k in (0, 1))
        return replace(self, places=tuple(replace(p, at=(p.at[0] + dx, p.at[1] + dy)) for p in self.places))


@dataclass(frozen=True)
class _Way:
    """One way to hold the paper: an empty sheet, and the sizes of the drawings as they lie on it."""

    sheet: Sheet
    sizes: tuple[Size, ...]

    @property
    def room(self) -> Size:
        left, low, right, high = self.sheet.room
        return right - left, high - low

    def whole(self, group: Sequence[int]) -> Sheet | None:
        """Set drawings side by side in rows from the top left; None where they do not all go on the sheet."""
        left, _, _, top = self.sheet.room
        wide, high = self.room
        x = y = row = 0.0
        places = []
        for which in group:
            w, h = self.sizes[which]
            if x + w > wide + TINY:
                x, y, row = 0.0, y + row, 0.0
            if w > wide + TINY or y + h > high + TINY:
                return None
            places.append(Place(which, (0.0, 0.0, w, h), (left + x, top - y - h)))
            x, row = x + w, max(row, h)
        return replace(self.sheet, places=tuple(places))

    def split(self, which: int, overlap: float) -> tuple[int, int]:
        """Return in how many columns and rows a drawing goes; none where there is no room for an overlap."""
        if min(self.room) - 2 * SIDE < 3 * overlap:
            return 0, 0
        across, along = (_parts(s, room, overlap) for s, room in zip(self.sizes[which], self.room, strict=True))
        return across, along

    def parted(self, which: int, overlap: float) -> list[Sheet]:
        """Split a drawing into equal parts that overlap, row by row from the top left."""
        columns, rows = self.split(which, overlap)
        sizes = zip(self.sizes[which], (columns, rows), strict=True)
        w, h = ((length + (count - 1) * overlap) / count for length, count in sizes)
        left, _, _, high = self.sheet.room
        found = []
        for row in range(rows):
            for column in range(columns):
                x, y = column * (w - overlap), (rows - 1 - row) * (h - overlap)
                at = (left + SIDE * (columns > 1), high - SIDE * (rows > 1) - h)
                place = Place(which, (x, y, x + w, y + h), at, column, row, columns, rows, overlap)
                found.append(replace(self.sheet, places=(place,)))
        return found


def _parts(length: float, room: float, overlap: float) -> int:
    """Return in how many equal parts a length goes, with room for the words beside them [mm]."""
    if length <= room + TINY:
        return 1
    return max(2, math.ceil((length - overlap) / (room - 2 * SIDE - overlap) - 1e-9))


def fewest(
    upright: Sequence[Size],
    turned: Sequence[Size],
    paper: str,
    foot: Callable[[float], float],
    overlap: float,
) -> list[Sheet]:
    """Put drawings of these sizes on the fewest sheets of a paper of `PAPERS`, in their order.

    Sheets are held upright or lying, drawings stand upright or, where `turned` has their sizes, lie turned. Several go on one sheet where
    all are whole on it. `foot` gives the height of the foot for a width of paper; all in [mm].

    >>> len(fewest([(121, 150)] * 2 + [(200, 280)], (), "A4", lambda width: 15, 10))
    3
    """
    short, long = PAPERS[paper]
    ways = [
        _Way(Sheet(wide, high, foot(wide), lies), tuple(sizes))
        for lies, sizes in ((False, upright), (True, turned))
        for wide, high in ((short, long), (long, short))
        if sizes
    ]
    groups: list[list[int]] = []
    for which in range(len(upright)):
        home = next((group for group in groups if _together(ways, [*group, which])), None)
        if home is None:
            groups.append([which])
        else:
            home.append(which)
    found = []
    for group in groups:
        sheet = _together(ways, group)
        found += [sheet] if sheet else _apart(ways, group[0], overlap)
    return [sheet.centred() for sheet in found]


def _together(ways: Sequence[_Way], group: Sequence[int]) -> Sheet | None:
    """Return one sheet with all these drawings whole, in the first way that takes them."""
    return next((sheet for sheet in (way.whole(group) for way in ways) if sheet), None)


def _apart(ways: Sequence[_Way], which: int, overlap: float) -> list[Sheet]:
    """Split a drawing in the way that takes the fewest sheets."""
    counts = {way: math.prod(way.split(which, overlap)) for way in ways}
    able = [way for way, count in counts.items() if count]
    if not able:
        raise MosaicError("What must be said on every sheet leaves no room for the drawing; shorten it.")
    best = min(able, key=counts.get)
    if counts[best] > MOST_SHEETS:
        raise MosaicError(f"This would take {counts[best]} sheets; print the faces one by one, or a part at a time.")
    return best.parted(which, overlap)
