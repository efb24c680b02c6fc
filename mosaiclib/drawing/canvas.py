"""A drawing in millimetres, y upwards: shapes, strokes, words, marks and windows that two writers know."""

__all__ = [
    "Drawing",
    "Lines",
    "Marks",
    "Polygons",
    "Text",
    "Window",
    "clean",
    "fitted",
    "kept",
    "segments",
    "wrapped",
]

import re
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import shapely

from mosaiclib.drawing.palette import BODY, EDGE, INK, LETTER, MARKS
from mosaiclib.errors import MosaicError, number
from mosaiclib.units import told

Box = tuple[float, float, float, float]  # left, low, right and high edge [mm]
LARGEST = 200_000.0  # [mm] a wall of 100 m with room for its dimension lines
NEAR = 1.0  # [mm] what lies this close outside a window may still reach into it by its line width
_NOT_PRINTABLE = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def clean(words: object) -> str:
    """Return words on one line without signs that no picture file may hold.

    >>> clean("sea\\x00 green \\n glass")
    'sea green glass'
    """
    return " ".join(_NOT_PRINTABLE.sub("", str(words)).split())


def fitted(words: object, width: float, size: float, least: float = 2.0) -> tuple[str, float]:
    """Return words and a text size [mm] that fit a width [mm]: first smaller, then cut short.

    >>> fitted("front", 100, 5)
    ('front', 5)
    >>> fitted("front of the planter", 12, 5)
    ('front of…', 2.0)
    """
    words = clean(words)
    wanted = width / (LETTER * max(len(words), 1))
    if wanted >= least:
        return words, min(size, wanted)
    return words[: max(int(width / (LETTER * least)) - 1, 1)].rstrip() + "…", least


def wrapped(words: object, width: float, size: float) -> list[str]:
    """Return words as lines of a text size [mm] that fit a width [mm].

    >>> wrapped("lay cross on cross", 20, 3)
    ['lay cross', 'on cross']
    """
    return textwrap.wrap(clean(words), max(int(width / (LETTER * 0.95 * size)), 1))


def segments(ends: object) -> np.ndarray:
    """Return straight lines, shape (n,), from their ends x0, y0, x1, y1, shape (n, 4) [mm].

    >>> segments([[0, 0, 10, 0]])[0].wkt
    'LINESTRING (0 0, 10 0)'
    """
    return shapely.linestrings(np.asarray(ends, dtype=float).reshape(-1, 2, 2))


def _placed(shapes: np.ndarray, flip: bool, dx: float, dy: float) -> np.ndarray:
    """Return shapes moved, mirrored left to right first where asked."""
    return shapely.transform(shapes, lambda xy: xy * (-1.0 if flip else 1.0, 1.0) + (dx, dy))


def _sized(shapes: np.ndarray, by: float) -> np.ndarray:
    """Return shapes made larger or smaller about 0, 0."""
    return shapely.transform(shapes, lambda xy: xy * by)


def _near(shapes: np.ndarray, box: Box) -> np.ndarray:
    """Say of each shape whether its bounds reach into the box."""
    x0, y0, x1, y1 = shapely.bounds(shapes).reshape(-1, 4).T
    left, low, right, high = box
    return (x1 >= left - NEAR) & (x0 <= right + NEAR) & (y1 >= low - NEAR) & (y0 <= high + NEAR)


def _chosen(values: object, keep: np.ndarray) -> object:
    """Return the values to keep where there is one for each shape, else the one value."""
    if values is None or isinstance(values, str) or not len(values):
        return values
    return tuple(value for value, kept in zip(values, keep, strict=True) if kept)


@dataclass(frozen=True, eq=False)
class Polygons:
    """Filled shapes, (n,) polygons of one or more parts [mm]; lengths of line and dash [mm].

    `fill` is one tone for all, or one each, or None; `hover` has a sentence for each shape, shown under the
    mouse and read aloud, or none; `name` is the class of the shapes in an SVG.
    """

    shapes: np.ndarray
    fill: str | Sequence[str] | None = None
    edge: str | None = None
    line: float = 0.2
    hover: Sequence[object] = ()
    name: str = ""
    dash: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "shapes", np.atleast_1d(np.asarray(self.shapes, dtype=object)))
        fills = () if self.fill is None or isinstance(self.fill, str) else self.fill
        for values, what in ((fills, "fills"), (self.hover, "sentences")):
            if len(values) not in (0, len(self.shapes)):
                raise MosaicError(f"{len(self.shapes)} shapes have {len(values)} {what}; give one each.")

    def placed(self, flip: bool, dx: float, dy: float) -> "Polygons":
        """Return the item moved, mirrored left to right first where asked [mm]."""
        return replace(self, shapes=_placed(self.shapes, flip, dx, dy))

    def scaled(self, by: float) -> "Polygons":
        """Return the item made larger or smaller about 0, 0, its lines with it."""
        return replace(self, shapes=_sized(self.shapes, by), line=self.line * by, dash=tuple(by * d for d in self.dash))

    def within(self, box: Box) -> "Polygons":
        """Return the shapes that reach into the box, uncut: a cut would add edges."""
        keep = _near(self.shapes, box)
        fill, hover = _chosen(self.fill, keep), _chosen(self.hover, keep)
        return replace(self, shapes=self.shapes[keep], fill=fill, hover=hover)


@dataclass(frozen=True, eq=False)
class Lines:
    """Strokes, (n,) lines of two or more points (`segments` makes straight ones); width and dashes [mm]."""

    paths: np.ndarray
    colour: str = INK
    line: float = 0.2
    dash: tuple[float, ...] = ()
    opacity: float = 1.0
    name: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "paths", np.atleast_1d(np.asarray(self.paths, dtype=object)))

    def placed(self, flip: bool, dx: float, dy: float) -> "Lines":
        """Return the item moved, mirrored left to right first where asked [mm]."""
        return replace(self, paths=_placed(self.paths, flip, dx, dy))

    def scaled(self, by: float) -> "Lines":
        """Return the strokes made larger or smaller about 0, 0, as wide as that makes them."""
        return replace(self, paths=_sized(self.paths, by), line=self.line * by, dash=tuple(by * d for d in self.dash))

    def within(self, box: Box) -> "Lines":
        """Return the strokes cut exactly at the box, so that lengths on a sheet are true."""
        cut = shapely.get_parts(shapely.clip_by_rect(self.paths[_near(self.paths, box)], *box))
        return replace(self, paths=cut[shapely.length(cut) > 0])


@dataclass(frozen=True)
class Text:
    """Words on one line, anchored at their "start", "middle" or "end" at x, y [mm]; size [mm], turn to the left [degrees].

    `voice` is "label", or "heading" with serifs; with `middle`, y is the middle of the letters, not their foot.
    """

    x: float
    y: float
    words: object
    size: float = 3.5
    anchor: str = "start"
    turn: float = 0.0
    colour: str = INK
    voice: str = "label"
    middle: bool = False
    name: str = ""

    def placed(self, flip: bool, dx: float, dy: float) -> "Text":
        """Return the words moved; mirrored they change sides but can still be read."""
        if not flip:
            return replace(self, x=self.x + dx, y=self.y + dy)
        upright = abs(abs(self.turn) - 90) < 1e-9  # its ends stay where they are; only the side changes
        anchor = self.anchor if upright else {"start": "end", "end": "start"}.get(self.anchor, "middle")
        return replace(self, x=dx - self.x, y=self.y + dy, anchor=anchor, turn=self.turn if upright else -self.turn)

    def scaled(self, by: float) -> "Text":
        """Return the words larger or smaller."""
        return replace(self, x=self.x * by, y=self.y * by, size=self.size * by)

    def within(self, box: Box) -> "Text | None":
        """Return the words if any of them may lie in the box, else None."""
        reach = self.size * max(1.0, LETTER * 1.2 * len(str(self.words)))
        across = -reach < self.x - box[0] and self.x - box[2] < reach
        return self if across and -reach < self.y - box[1] and self.y - box[3] < reach else None

    @property
    def foot(self) -> float:
        """How far the foot of the letters lies below the anchor [mm]."""
        return self.size * BODY / 2 if self.middle else 0.0


@dataclass(frozen=True, eq=False)
class Marks:
    """Small signs that tell colours apart without colour: middles (n, 2), half widths (n,) and line [mm]; keys of `MARKS`."""

    at: np.ndarray
    sizes: np.ndarray
    kinds: Sequence[str]
    colour: str = EDGE
    line: float = 0.25

    def placed(self, flip: bool, dx: float, dy: float) -> "Marks":
        """Return the marks moved; mirrored they change sides but keep their form, as words do."""
        return replace(self, at=np.asarray(self.at) * (-1.0 if flip else 1.0, 1.0) + (dx, dy))

    def scaled(self, by: float) -> "Marks":
        """Return the marks larger or smaller."""
        return replace(self, at=np.asarray(self.at) * by, sizes=np.asarray(self.sizes) * by, line=self.line * by)

    def within(self, box: Box) -> "Marks":
        """Return the marks that may lie in the box."""
        at, reach = np.asarray(self.at).reshape(-1, 2), np.asarray(self.sizes)[:, None] + NEAR
        keep = np.all((at > np.array(box[:2]) - reach) & (at < np.array(box[2:]) + reach), axis=1)
        kinds = tuple(np.asarray(self.kinds, dtype=object)[keep])
        return replace(self, at=at[keep], sizes=np.asarray(self.sizes)[keep], kinds=kinds)

    @cached_property
    def drawn(self) -> tuple[Lines, Polygons]:
        """The marks as strokes and filled shapes."""
        at, sizes = np.asarray(self.at, dtype=float).reshape(-1, 2), np.asarray(self.sizes, dtype=float)
        kinds = np.asarray(self.kinds, dtype=object)
        strokes, spots = [np.array([], object)], [np.array([], object)]
        for kind in sorted(set(self.kinds)):
            here = kinds == kind
            for store, forms, make in zip(
                (strokes, spots), MARKS[kind], (shapely.linestrings, shapely.polygons), strict=True
            ):
                for form in forms:
                    store.append(make(at[here, None] + sizes[here, None, None] * np.array(form, dtype=float)))
        return Lines(np.concatenate(strokes), self.colour, self.line), Polygons(np.concatenate(spots), self.colour)


@dataclass(frozen=True)
class Window:
    """Items seen through a box [mm]: what reaches over its edge is cut off in the picture."""

    items: tuple
    box: Box

    def placed(self, flip: bool, dx: float, dy: float) -> "Window":
        """Return the window and what is seen in it moved, mirrored first where asked [mm]."""
        x0, y0, x1, y1 = self.box
        left, right = (-x1, -x0) if flip else (x0, x1)
        box = (left + dx, y0 + dy, right + dx, y1 + dy)
        return Window(tuple(item.placed(flip, dx, dy) for item in self.items), box)

    def scaled(self, by: float) -> "Window":
        """Return the window and what is seen in it larger or smaller."""
        return Window(tuple(item.scaled(by) for item in self.items), tuple(by * edge for edge in self.box))

    def within(self, box: Box) -> "Window":
        """Return the part of the window that lies in the box."""
        least, most = np.maximum(self.box[:2], box[:2]), np.minimum(self.box[2:], box[2:])
        both = (*least.tolist(), *np.maximum(least, most).tolist())
        return Window(kept(self.items, both), both)


def kept(items: Sequence, box: Box) -> tuple:
    """Return the items with what lies outside the box [mm] left out."""
    return tuple(item for item in (item.within(box) for item in items) if item is not None)


@dataclass(frozen=True)
class Drawing:
    """A picture, width by height [mm] with 0, 0 at its lower left corner; items, the lowest first.

    Title and description tell readers that cannot see it what there is; `ground` is the tone of the paper, None
    leaves it as it is. Lengths in its words are written in `unit`, "mm" or "in". `origin` is where 0, 0 of the
    layout that is shown lies [mm], `behind` whether it is seen from behind.

    >>> Drawing(40, 30, "A line", "", (Lines(segments([0, 0, 40, 30])),)).mirrored().items[0].paths[0].wkt
    'LINESTRING (40 0, 0 30)'
    """

    width: float
    height: float
    title: str
    description: object = ""
    items: tuple = ()
    ground: str | None = None
    unit: str = "mm"
    origin: tuple[float, float] = (0.0, 0.0)
    behind: bool = False

    def __post_init__(self) -> None:
        for name in ("width", "height"):
            size = number(getattr(self, name), f"{name} of the picture", "mm", above=0, greatest=LARGEST)
            object.__setattr__(self, name, size)
        object.__setattr__(self, "items", tuple(self.items))

    def at(self, xy: object) -> np.ndarray:
        """Return where points of the layout, shape (..., 2), lie in the picture [mm].

        >>> Drawing(40, 30, "A face", origin=(5, 5), behind=True).mirrored().at([[1, 2]]).tolist()
        [[36.0, 7.0]]
        """
        return np.asarray(xy, dtype=float) * (-1.0 if self.behind else 1.0, 1.0) + self.origin

    def shifted(self, dx: float, dy: float) -> "Drawing":
        """Return the picture with its items moved by dx and dy [mm]; its size stays."""
        return self._placed(False, dx, dy)

    def scaled(self, by: float) -> "Drawing":
        """Return the picture larger or smaller, its lines and words with it.

        >>> Drawing(40, 30, "A line").scaled(0.5).width
        20.0
        """
        items, x, y = tuple(item.scaled(by) for item in self.items), *self.origin
        return replace(self, width=self.width * by, height=self.height * by, items=items, origin=(x * by, y * by))

    def mirrored(self) -> "Drawing":
        """Return the picture as seen from behind; words and marks change sides and stay readable."""
        return self._placed(True, self.width, 0.0)

    def _placed(self, flip: bool, dx: float, dy: float) -> "Drawing":
        items = tuple(item.placed(flip, dx, dy) for item in self.items)
        x, y = self.origin
        return replace(self, items=items, origin=((-x if flip else x) + dx, y + dy), behind=self.behind != flip)

    def told(self, words: object, *, label: bool = False) -> str:
        """Return words as they are written in the picture's unit; on a label without the millimetres in brackets."""
        return clean(told(words, self.unit, both=not label))
