"""A layout as a picture: glass, joints, pieces, numbers, squared paper and dimension lines."""

__all__ = ["layout_picture"]

import math
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd
import shapely

from mosaiclib.drawing import annotations as notes
from mosaiclib.drawing.canvas import Drawing, Polygons, Text, clean, fitted
from mosaiclib.drawing.palette import (
    EDGE,
    FILLER,
    GLASS,
    INK,
    PAPER,
    SCREEN,
    SCREEN_TEXT,
    SOFT,
    WHITE,
    Look,
    look,
)
from mosaiclib.errors import MosaicError, choice, number
from mosaiclib.layout.tesserae import Layout
from mosaiclib.measures import UNITS, show

SEAMS = 130.0  # [mm] a longer face may not go on one sheet
KEY = 0.85  # text size of keys and remarks, as a share of the picture's
VIEWS = {"front": "seen from the front", "behind": "seen from behind"}


@dataclass(frozen=True)
class _Style:
    """What is asked of a picture; see `layout_picture`."""

    view: str
    numbers: bool
    marks: bool
    squared: float | None
    dimensions: bool
    joints: tuple | None
    key: bool
    filled: bool
    light: bool
    hover: bool
    unit: str
    text_size: float | None


@dataclass(frozen=True)
class _Frame:
    """Where things stand: text size, outline's box, left edge of keys, picture's size, way of the layout."""

    size: float
    box: tuple[float, float, float, float]
    left: float
    width: float
    height: float
    move: Callable


def layout_picture(
    layout: Layout,
    *,
    view: str = "front",
    numbers: bool = False,
    marks: bool = True,
    squared: float | None = None,
    dimensions: bool = True,
    joints: tuple | None = None,
    key: bool = False,
    filled: bool = True,
    light: bool = False,
    hover: bool = True,
    unit: str = "mm",
    text_size: float | None = None,
    title: str = "",
    description: str = "",
) -> Drawing:
    """Draw a layout.

    Parameters
    ----------
    layout : Layout
        The pieces; none are drawn as a bare face.
    view : {"front", "behind"}
        From which side; from behind left and right change places, words stay readable.
    numbers : bool
        Whether each piece bears its number: its row label in the table of pieces + 1, so that the pieces
        of one face keep the numbers that they have on the whole.
    marks : bool
        Whether each piece bears its colour's mark.
    squared : {5.0, 6.35}, optional
        Side of the squares of squared paper behind and, faintly, over the pieces [mm].
    dimensions : bool
        Whether width and height of the outline are shown.
    joints : (array of shape (m, 4), sequence of str), optional
        Stretches of joint as x0, y0, x1, y1 [mm] and the class of each: "fine", "narrow" or "wide".
    key : bool
        Whether the colours are listed below with their numbers of pieces.
    filled : bool
        Whether joints have the filler's tone; otherwise the bare glass is seen.
    light : bool
        Whether it is for print: tones are lightened and joints left white, to save ink, and the view is not
        written, because the sheet's heading says it.
    hover : bool
        Whether each piece says in a sentence what it is.
    unit : {"mm", "in"}
        Unit of the lengths that are written.
    text_size : float, optional
        Text size [mm]; left out, it suits the screen.
    title, description : str
        For readers that cannot see the picture; made from the layout if left out.

    Returns
    -------
    Drawing
        The picture [mm].

    Raises
    ------
    MosaicError
        If there is no outline or one that is not finite, or a choice is unknown.

    Examples
    --------
    >>> from mosaiclib.layout import lay_grid
    >>> import shapely
    >>> picture = layout_picture(lay_grid(shapely.box(0, 0, 108, 64), 20, 2))
    >>> print(picture.description)
    15 pieces: 15 without a colour. The face is 108 mm wide and 64 mm high, seen from the front.
    """
    choice(view, "view", VIEWS)
    choice(unit, "unit", UNITS)
    style = _Style(view, numbers, marks, squared, dimensions, joints, key, filled, light, hover, unit, text_size)
    _check(layout)
    colours = _colours(layout)
    counted = _counted(colours)
    frame = _frame(layout, style, [_entry(*pair) for pair in _by_name(counted)])
    items = [
        *_base(layout, style, frame),
        *_pieces(layout, style, frame, colours),
        Polygons(shapely.transform(layout.outline, frame.move), None, EDGE, 0.09 * frame.size, name="outline"),
        *_around(layout, style, frame),
    ]
    said = description or _description(layout, style, counted)
    ground = None if light else PAPER
    return Drawing(frame.width, frame.height, title or "Layout of the pieces", said, tuple(items), ground)


def _check(layout: Layout) -> None:
    """Refuse what cannot be drawn."""
    bounds = np.array(layout.outline.bounds)
    if layout.outline.is_empty or not np.isfinite(bounds).all() or layout.outline.area <= 0:
        raise MosaicError("There is nothing to draw: the face has no width or no height.")
    if len(layout) and not np.isfinite(shapely.bounds(layout.shapes)).all():
        raise MosaicError("A piece has no shape or one that is not finite, so the layout cannot be drawn.")


def _colours(layout: Layout) -> list[str]:
    """Return the colour of each piece, empty where there is none."""
    return [name if isinstance(name, str) else "" for name in layout.pieces["colour"].tolist()]


def _counted(colours: Sequence[str]) -> Counter:
    """Return how many pieces each colour has, by its name as it is written."""
    counted = Counter()
    for name, count in Counter(colours).items():
        counted[clean(name)] += count
    return counted


def colour_entries(layout: Layout, light: bool = False) -> list[tuple[str, Look]]:
    """Return what a key of the layout's colours lists: words and look, most pieces first.

    Parameters
    ----------
    layout : Layout
        The pieces.
    light : bool
        Whether tones are lightened for print.

    Returns
    -------
    list of (str, Look)
        One entry a colour.

    Examples
    --------
    >>> from mosaiclib.layout import lay_grid
    >>> import shapely
    >>> pair = lay_grid(shapely.box(0, 0, 42, 20), 20, 2).coloured(["red", "blue"])
    >>> [words for words, _ in colour_entries(pair)]
    ['blue: 1', 'red: 1']
    """
    looked = Look.lightened if light else lambda one: one
    return [(_entry(name, count), looked(look(name))) for name, count in _by_name(_counted(_colours(layout)))]


def _entry(name: str, count: int) -> str:
    """Return what a key says of a colour."""
    return f"{name or 'no colour'}: {count}"


def _by_name(counted: Counter) -> list[tuple[str, int]]:
    """Return colours and counts, most pieces first; equal ones by name."""
    return sorted(counted.items(), key=lambda pair: (-pair[1], pair[0]))


def _frame(layout: Layout, style: _Style, entries: Sequence[str]) -> _Frame:
    """Find the text size and the room for what stands around the outline."""
    x0, y0, x1, y1 = layout.outline.bounds
    wide, high = x1 - x0, y1 - y0
    left, right = (3.6 if style.dimensions else 1.2), 1.2
    above = (0.8 if style.light else 2.6) + (1.7 if _faces(layout) else 0)
    below = (3.5 if style.dimensions else 1.2) + (2.1 if style.joints else 0)
    rows = 2 if style.key else 0  # a first guess of the key's rows is good enough for the text size
    across, along = (SCREEN_TEXT * share for share in (left + right, above + below + 1.9 * rows))
    size = max(SCREEN_TEXT * wide / (SCREEN[0] - across), SCREEN_TEXT * high / (SCREEN[1] - along))
    if style.text_size is not None:
        size = number(style.text_size, "text size", "mm", above=0, greatest=1000)
    width = max(wide + (left + right) * size, 15 * size)
    if style.key:
        below += 0.6 + 1.9 * KEY * notes.key_rows(entries, width - (left + right) * size, KEY * size)[1]
    at = left * size + max(0.0, (width - wide - (left + right) * size) / 2)
    foot = below * size
    turn, dx, dy = (-1.0, at + x1, foot - y0) if style.view == "behind" else (1.0, at - x0, foot - y0)
    box = (at, foot, at + wide, foot + high)
    return _Frame(size, box, left * size, width, foot + high + above * size, lambda xy: xy * (turn, 1.0) + (dx, dy))


def _base(layout: Layout, style: _Style, frame: _Frame) -> list:
    """Return the glass or filler behind the pieces, gaps left on purpose, and the squared paper."""
    tone = WHITE if style.light else FILLER if style.filled else GLASS
    outline = shapely.transform(layout.outline, frame.move)
    items = [Polygons(outline, tone, name="base")]
    if layout.gaps:
        gaps = shapely.transform(np.array([gap.shape for gap in layout.gaps], dtype=object), frame.move)
        said = tuple(clean(gap.why) for gap in layout.gaps) if style.hover else ()
        dash = (0.35 * frame.size, 0.25 * frame.size)
        edge = SOFT if shapely.area(gaps).sum() > 0 else None
        items.append(Polygons(gaps, None, edge, 0.04 * frame.size, said, "gap", dash))
    if style.squared is not None:
        items += notes.squared_paper(frame.box, style.squared, 0.03 * frame.size)
    return items


def _pieces(layout: Layout, style: _Style, frame: _Frame, colours: Sequence[str]) -> list:
    """Return the pieces, squared paper faintly over them, joints, marks and numbers."""
    if not len(layout):
        return []
    shapes = shapely.transform(layout.shapes, frame.move)
    known = {name: _looked(name, style) for name in set(colours)}
    looks = [known[name] for name in colours]
    said = sentences(layout.pieces, style.unit) if style.hover else ()
    line = min(0.05 * frame.size, 0.02 * float(np.sqrt(np.median(shapely.area(shapes)))))
    items = [Polygons(shapes, tuple(one.fill for one in looks), EDGE, line, said, "piece")]
    if style.squared is not None:
        items += notes.squared_paper(frame.box, style.squared, 0.03 * frame.size, 0.45)
    if style.joints is not None:
        ends = np.asarray(style.joints[0], dtype=float).reshape(-1, 2)
        items += notes.joint_lines(frame.move(ends), style.joints[1], frame.size)
    names = [str(number_) for number_ in numbers_of(layout.pieces)] if style.numbers else ()
    if style.marks or style.numbers:
        items += notes.marks_and_numbers(shapes, looks, names, style.marks, 1.4 * frame.size)
    return items


def _looked(name: str, style: _Style) -> Look:
    """Return a colour's look, lightened for prints."""
    return look(name).lightened() if style.light else look(name)


def _around(layout: Layout, style: _Style, frame: _Frame) -> list:
    """Return the words and lines around the outline."""
    x0, y0, x1, y1 = frame.box
    size = frame.size
    names = _face_names(layout, frame)
    top = y1 + (2.5 if names else 0.8) * size
    items = list(names)
    if not style.light:
        items.append(Text(x0, top, VIEWS[style.view], KEY * size, colour=SOFT, name="view"))
    low = y0 - 1.4 * size
    if style.dimensions:
        said = show(x1 - x0, style.unit), show(y1 - y0, style.unit)
        items += notes.dimension_lines(frame.box, size, *said, SEAMS if style.light else math.inf)
        low -= 2.4 * size
    if style.joints is not None:
        items += notes.joint_key(list(style.joints[1]), frame.left, low, KEY * size)
        low -= 2.1 * size
    if style.key:
        entries = colour_entries(layout, style.light)
        items += notes.colour_key(entries, frame.left, low, frame.width - frame.left - 1.2 * size, KEY * size)
    return items


def _faces(layout: Layout) -> list[str]:
    """Return the names of the faces of a vessel, in the order of the pieces; a single face needs no name."""
    names = [name for name in pd.unique(layout.pieces["face"]) if isinstance(name, str) and clean(name)]
    return names if len(names) > 1 else []


def _face_names(layout: Layout, frame: _Frame) -> list[Text]:
    """Return the name of each face above its pieces."""
    labels = layout.pieces["face"].to_numpy(dtype=object)
    items = []
    for name in _faces(layout):
        bounds = shapely.total_bounds(layout.shapes[labels == name])
        ends = frame.move(bounds.reshape(2, 2))[:, 0]
        words, size = fitted(name, abs(ends[1] - ends[0]), frame.size, 0.5 * frame.size)
        y = frame.box[3] + 0.7 * frame.size
        items.append(Text(float(ends.mean()), y, words, size, "middle", 0, INK, "heading", name="face"))
    return items


def numbers_of(pieces: pd.DataFrame) -> list[int]:
    """Return the number of each piece: row label + 1, or its place where the labels are no whole numbers.

    Examples
    --------
    >>> from mosaiclib.layout import piece_table
    >>> numbers_of(piece_table(4).iloc[2:])
    [3, 4]
    """
    labels = pieces.index if pd.api.types.is_integer_dtype(pieces.index) else range(len(pieces))
    return [int(label) + 1 for label in labels]


def sentences(pieces: pd.DataFrame, unit: str = "mm") -> tuple[str, ...]:
    """Return what each piece says of itself: number, colour, kind, size and why.

    Parameters
    ----------
    pieces : DataFrame
        The layout's table.
    unit : {"mm", "in"}
        Unit of the lengths.

    Returns
    -------
    tuple of str
        One sentence or two a piece.

    Examples
    --------
    >>> from mosaiclib.layout import piece_table
    >>> sentences(piece_table(1, colour="amber", kind="wedge", width=20, height=19.5, why="It fits."))
    ('Piece 1: amber, wedge, 20 mm by 19.5 mm. It fits.',)
    """
    columns = ("colour", "kind", "fraction", "width", "height", "why")
    written = {}  # the same few lengths come again and again

    def length(value: float) -> str:
        at = round(value, 2)
        if at not in written:
            written[at] = show(at, unit) if np.isfinite(at) else "size not known"
        return written[at]

    rows = zip(*(pieces[name].tolist() for name in columns), strict=True)
    found = []
    for i, (colour, kind, fraction, width, height, why) in zip(numbers_of(pieces), rows, strict=True):
        what = kind if fraction in ("whole", "", kind) else f"{kind} from a {fraction}"
        name = colour if isinstance(colour, str) and colour else "no colour yet"
        tail = f" {why}" if isinstance(why, str) and why else ""
        found.append(f"Piece {i}: {name}, {what}, {length(width)} by {length(height)}.{tail}")
    return tuple(found)


def _description(layout: Layout, style: _Style, counted: Counter) -> str:
    """Say in words what there is to see."""
    x0, y0, x1, y1 = layout.outline.bounds
    face = f"The face is {show(x1 - x0, style.unit)} wide and {show(y1 - y0, style.unit)} high"
    colours = ", ".join(f"{count} {name or 'without a colour'}" for name, count in _by_name(counted))
    pieces = f"{len(layout)} piece{'' if len(layout) == 1 else 's'}" + (f": {colours}" if counted else "")
    wrong = Counter(style.joints[1]) if style.joints is not None else Counter()
    faults = [
        f" Joints that are too {name}: {wrong[name]} stretch{'' if wrong[name] == 1 else 'es'}."
        for name in ("narrow", "wide")
        if wrong[name]
    ]
    return f"{pieces}. {face}, {VIEWS[style.view]}." + "".join(faults)
