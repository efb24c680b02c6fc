"""The picture of a layout: pieces, marks, numbers, dimensions, keys, and what is drawn over it in its own coordinates."""

__all__ = [
    "SQUARED",
    "colour_entries",
    "colour_key",
    "dimension_lines",
    "joint_lines",
    "layout_picture",
    "marks_and_numbers",
    "panels",
    "squared_paper",
]

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
import pandas as pd
import shapely

from mosaiclib.drawing.canvas import Box, Drawing, Lines, Marks, Polygons, Text, clean, fitted, segments
from mosaiclib.drawing.palette import (
    ACCENT,
    BODY,
    DIGIT,
    EDGE,
    FILLER,
    INK,
    LETTER,
    PAPER,
    SCREEN,
    SCREEN_TEXT,
    SECOND,
    SOFT,
    SQUARES,
    WHITE,
    Look,
    look,
)
from mosaiclib.errors import MosaicError, choice, number, several, whole_number
from mosaiclib.layout.layout import Layout
from mosaiclib.units import mm, text

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
    light: bool
    hover: bool
    text_size: float | None
    tones: Sequence[str] | None
    looks: Mapping[str, Look]
    base: str
    over: Sequence


@dataclass(frozen=True)
class _Frame:
    """Where things stand [mm]: text size, box of the outline, left edge of keys, picture's size, way of the layout."""

    size: float
    box: Box
    left: float
    width: float
    height: float
    behind: bool
    origin: tuple[float, float]


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
    light: bool = False,
    hover: bool = True,
    text_size: float | None = None,
    tones: Sequence[str] | None = None,
    looks: Mapping[str, Look] | None = None,
    base: str = FILLER,
    over: Sequence = (),
    title: object = "",
    description: object = "",
) -> Drawing:
    """Draw a layout [mm]; one without pieces is drawn as a bare face.

    Parameters
    ----------
    layout : Layout
        The pieces.
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
    light : bool
        Whether it is for print: tones are lightened and joints left white, to save ink, and the view is not
        written, because the sheet's heading says it.
    hover : bool
        Whether each piece says in a sentence what it is.
    text_size : float, optional
        Text size [mm]; left out, it suits the screen.
    tones : sequence of str, length n, optional
        A tone for each piece, in place of that of its colour.
    looks : mapping of str to Look, optional
        How colours are drawn by name, as `palette.looks` gives it; others as their names are known.
    base : str
        Tone of what lies between the pieces: filler, or the bare glass.
    over : sequence of items
        What is drawn over the pieces and under their numbers, in the layout's own coordinates.
    title, description : str or units.Text
        For readers that cannot see the picture; made from the layout if left out.

    Returns
    -------
    Drawing
        The picture; its `at` tells where points of the layout lie in it.

    Examples
    --------
    >>> from mosaiclib.layout import lay_grid
    >>> import shapely
    >>> picture = layout_picture(lay_grid(shapely.box(0, 0, 108, 64), 20, 2), view="behind")
    >>> print(picture.description)
    15 pieces: 15 without a colour. The face is 108 mm wide and 64 mm high, seen from behind.
    >>> (picture.at([0, 0]) - picture.at([108, 0])).round(6).tolist()
    [108.0, 0.0]
    """
    choice(view, "view", VIEWS)
    options = (
        squared,
        dimensions,
        joints,
        key,
        light,
        hover,
        text_size,
        tones,
        looks or {},
        WHITE if light else base,
        over,
    )
    style = _Style(view, numbers, marks, *options)
    _check(layout)
    frame = _frame(layout, style)
    move = (frame.behind, *frame.origin)
    outline = Polygons(layout.outline, None, EDGE, 0.09 * frame.size, name="outline")
    items = [
        *(item.placed(*move) for item in _base(layout, style, frame)),
        *_squared(style, frame),
        *_pieces(layout, style, frame),
        outline.placed(*move),
        *_around(layout, style, frame),
    ]
    about = {"ground": None if light else PAPER, "origin": frame.origin, "behind": frame.behind}
    said = description or _description(layout, style)
    return Drawing(frame.width, frame.height, title or "Layout of the pieces", said, tuple(items), **about)


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


def _counted(layout: Layout) -> list[tuple[str, int]]:
    """Return colours, by name as it is written, and counts: most pieces first, equal ones by name."""
    counted = Counter()
    for name, count in Counter(_colours(layout)).items():
        counted[clean(name)] += count
    return sorted(counted.items(), key=lambda pair: (-pair[1], pair[0]))


def colour_entries(
    layout: Layout, light: bool = False, looks: Mapping[str, Look] | None = None
) -> list[tuple[str, Look]]:
    """Return what a key of the layout's colours lists: words and look, lightened for print, most pieces first.

    >>> from mosaiclib.layout import lay_grid
    >>> import shapely
    >>> pair = lay_grid(shapely.box(0, 0, 42, 20), 20, 2).coloured(["red", "blue"])
    >>> [words for words, _ in colour_entries(pair)]
    ['blue: 1', 'red: 1']
    """
    known = {clean(name): one for name, one in (looks or {}).items()}
    return [(f"{name or 'no colour'}: {count}", _looked(name, light, known)) for name, count in _counted(layout)]


def _looked(name: str, light: bool, looks: Mapping[str, Look]) -> Look:
    """Return a colour's look, lightened for prints."""
    one = looks.get(name) or look(name)
    return one.lightened() if light else one


def _frame(layout: Layout, style: _Style) -> _Frame:
    """Find the text size and the room for what stands around the outline."""
    x0, y0, x1, y1 = layout.outline.bounds
    wide, high = x1 - x0, y1 - y0
    right = 0.5 if style.light else 1.2  # paper is dear
    left = 3.6 if style.dimensions else right
    above = (0.5 if style.light else 2.6) + (1.7 if _faces(layout) else 0)
    below = (3.5 if style.dimensions else 1.2) + (2.1 if style.joints else 0)
    rows = 2 if style.key else 0  # a first guess of the key's rows is good enough for the text size
    across, along = (SCREEN_TEXT * share for share in (left + right, above + below + 1.9 * rows))
    size = max(SCREEN_TEXT * wide / (SCREEN[0] - across), SCREEN_TEXT * high / (SCREEN[1] - along))
    if style.text_size is not None:
        size = number(style.text_size, "text size", "mm", above=0, greatest=1000)
    width = max(wide + (left + right) * size, 15 * size)
    if style.key:
        entries = [words for words, _ in colour_entries(layout)]
        below += 0.6 + 1.9 * KEY * key_rows(entries, width - (left + right) * size, KEY * size)[1]
    at = left * size + max(0.0, (width - wide - (left + right) * size) / 2)
    foot = below * size
    behind = style.view == "behind"
    origin = (at + x1 if behind else at - x0, foot - y0)
    return _Frame(
        size, (at, foot, at + wide, foot + high), left * size, width, foot + high + above * size, behind, origin
    )


def _base(layout: Layout, style: _Style, frame: _Frame) -> list[Polygons]:
    """Return what lies behind the pieces, and gaps left on purpose, in the layout's coordinates."""
    items = [Polygons(layout.outline, style.base, name="base")]
    if layout.gaps:
        gaps = np.array([gap.shape for gap in layout.gaps], dtype=object)
        said = tuple(gap.why for gap in layout.gaps) if style.hover else ()
        dash = (0.35 * frame.size, 0.25 * frame.size)
        edge = SOFT if shapely.area(gaps).sum() > 0 else None
        items.append(Polygons(gaps, None, edge, 0.04 * frame.size, said, "gap", dash))
    return items


def _squared(style: _Style, frame: _Frame, opacity: float = 1.0) -> list[Lines]:
    """Return the squared paper, if it is asked for."""
    return [] if style.squared is None else squared_paper(frame.box, style.squared, 0.03 * frame.size, opacity)


def _pieces(layout: Layout, style: _Style, frame: _Frame) -> list:
    """Return the pieces, squared paper faintly over them, joints, what is to be drawn over them, marks and numbers."""
    move = (frame.behind, *frame.origin)
    over = [item.placed(*move) for item in style.over]
    if not len(layout):
        return over
    looks = _looks(layout, style)
    said = sentences(layout.pieces) if style.hover else ()
    line = min(0.05 * frame.size, 0.02 * float(np.sqrt(np.median(layout.areas))))
    pieces = Polygons(layout.shapes, tuple(one.fill for one in looks), EDGE, line, said, "piece").placed(*move)
    joints = joint_lines(*style.joints, frame.size) if style.joints is not None else ()
    items = [pieces, *_squared(style, frame, 0.45), *(item.placed(*move) for item in joints), *over]
    names = [str(number_) for number_ in numbers_of(layout.pieces)] if style.numbers else ()
    if style.marks or style.numbers:
        items += marks_and_numbers(pieces.shapes, looks, names, style.marks, 1.4 * frame.size)
    return items


def _looks(layout: Layout, style: _Style) -> list[Look]:
    """Return the look of each piece: that of its colour, in the tone that is asked for."""
    known = cache(lambda name: _looked(name, style.light, style.looks))
    if style.tones is None:
        return [known(name) for name in _colours(layout)]
    toned = cache(lambda name, tone: Look(tone, known(name).mark))
    return [toned(*one) for one in zip(_colours(layout), several(style.tones, "tones", len(layout)), strict=True)]


def _around(layout: Layout, style: _Style, frame: _Frame) -> list:
    """Return the words and lines around the outline."""
    x0, y0, x1, y1 = frame.box
    size = frame.size
    items = _face_names(layout, frame)
    top = y1 + (2.5 if items else 0.8) * size
    if not style.light:
        items.append(Text(x0, top, VIEWS[style.view], KEY * size, colour=SOFT, name="view"))
    low = y0 - 1.4 * size
    if style.dimensions:
        items += dimension_lines(frame.box, size, mm(x1 - x0), mm(y1 - y0))
        low -= 2.4 * size
    if style.joints is not None:
        items += joint_key(list(style.joints[1]), frame.left, low, KEY * size)
        low -= 2.1 * size
    if style.key:
        entries = colour_entries(layout, style.light, style.looks)
        items += colour_key(entries, frame.left, low, frame.width - frame.left - 1.2 * size, KEY * size)
    return items


def _faces(layout: Layout) -> list[str]:
    """Return the names of the faces of a vessel, in the order of the pieces; a single face needs no name."""
    names = [name for name in pd.unique(layout.pieces["face"]) if isinstance(name, str) and clean(name)]
    return names if len(names) > 1 else []


def _face_names(layout: Layout, frame: _Frame) -> list:
    """Return the name of each face above its part of the outline."""
    labels = layout.pieces["face"].to_numpy(dtype=object)
    items, parts = [], shapely.get_parts(layout.outline)
    for name in _faces(layout):
        mine = layout.shapes[labels == name]
        x0, _, x1, _ = shapely.total_bounds(mine)
        top = shapely.total_bounds(parts[shapely.intersects(parts, mine[len(mine) // 2])])[3]
        middle = (x0 + x1) / 2 * (-1 if frame.behind else 1) + frame.origin[0]
        words, size = fitted(name, x1 - x0, frame.size, 0.5 * frame.size)
        y = float(top) + frame.origin[1] + 0.7 * frame.size
        items.append(Text(float(middle), y, words, size, "middle", 0, INK, "heading", name="face"))
    return items


def numbers_of(pieces: pd.DataFrame) -> list[int]:
    """Return the number of each piece: row label + 1, or its place where the labels are no whole numbers.

    >>> from mosaiclib.layout import piece_table
    >>> numbers_of(piece_table(4).iloc[2:])
    [3, 4]
    """
    labels = pieces.index if pd.api.types.is_integer_dtype(pieces.index) else range(len(pieces))
    return [int(label) + 1 for label in labels]


def sentences(pieces: pd.DataFrame) -> tuple:
    """Return what each piece of a layout's table says of itself: number, colour, kind, size and why.

    >>> from mosaiclib.layout import piece_table
    >>> print(*sentences(piece_table(1, colour="amber", kind="wedge", width=20, height=19.5, why="It fits.")))
    Piece 1: amber, wedge, 20 mm by 19.5 mm. It fits.
    """
    columns = ("colour", "kind", "fraction", "width", "height", "why")
    rows = zip(*(pieces[name].tolist() for name in columns), strict=True)
    length = cache(lambda value: mm(round(value, 2)) if math.isfinite(value) else "size not known")  # few come often
    found = []
    for i, (colour, kind, fraction, width, height, why) in zip(numbers_of(pieces), rows, strict=True):
        what = kind if fraction in ("whole", "", kind) else f"{kind} from a {fraction}"
        name = colour if isinstance(colour, str) and colour else "no colour yet"
        tail = () if not why or isinstance(why, float) else (" ", why)
        found.append(text(f"Piece {i}: {name}, {what}, ", length(width), " by ", length(height), ".", *tail))
    return tuple(found)


def _description(layout: Layout, style: _Style) -> object:
    """Say in words what there is to see."""
    x0, y0, x1, y1 = layout.outline.bounds
    counted = _counted(layout)
    colours = ", ".join(f"{count} {name or 'without a colour'}" for name, count in counted)
    pieces = f"{len(layout)} piece{'' if len(layout) == 1 else 's'}" + (f": {colours}" if counted else "")
    wrong = Counter(style.joints[1]) if style.joints is not None else Counter()
    faults = [
        f" Joints that are too {name}: {wrong[name]} stretch{'' if wrong[name] == 1 else 'es'}."
        for name in ("narrow", "wide")
        if wrong[name]
    ]
    size = (mm(x1 - x0), " wide and ", mm(y1 - y0), " high")
    return text(f"{pieces}. The face is ", *size, f", {VIEWS[style.view]}.", *faults)


LEAST_NUMBER = 1.8  # [mm] about 5 points: smaller print is hard to read at the bench; common practice, no source
SQUARED = {"no squared paper": None, "5 mm squares": 5.0, "1/4 in squares": 6.35}  # [mm] side of a square
HEAVY = {5.0: 10, 6.35: 4}  # squares from one heavier line to the next
# words, tone, width and dashes as shares of the text size; they can be told apart in grey too
JOINT_STYLES = {
    "fine": ("joint in range", EDGE, 0.07, ()),
    "narrow": ("too narrow", ACCENT, 0.17, (0.3, 0.22)),
    "wide": ("too wide", SECOND, 0.3, ()),
}


def dimension_lines(box: Box, size: float, width: object, height: object) -> list:
    """Return the dimension lines under and to the left of a box [mm], with the words for its width and height.

    >>> [item.words for item in dimension_lines((0, 0, 300, 200), 4, "300 mm", "200 mm")[1:]]
    ['300 mm', '200 mm']
    """
    x0, y0, x1, y1 = box
    low, left, tick, over = y0 - 1.5 * size, x0 - 1.5 * size, 0.3 * size, 0.45 * size
    ends = [[x0, low, x1, low], [left, y0, left, y1]]
    for x in (x0, x1):
        ends += [[x, y0 - 0.5 * size, x, low - over], [x - tick, low - tick, x + tick, low + tick]]
    for y in (y0, y1):
        ends += [[x0 - 0.5 * size, y, left - over, y], [left - tick, y - tick, left + tick, y + tick]]
    return [
        Lines(segments(ends), SOFT, 0.05 * size, name="dimension"),
        Text((x0 + x1) / 2, low - 1.0 * size, width, size, "middle", colour=INK, middle=True, name="dimension"),
        Text(left - 0.9 * size, (y0 + y1) / 2, height, size, "middle", 90, colour=INK, middle=True, name="dimension"),
    ]


def squared_paper(box: Box, square: float, line: float, opacity: float = 1.0) -> list[Lines]:
    """Return squared paper of 5 or 6.35 mm over a box [mm], counted from its lower left corner: light lines, heavier ones.

    >>> [len(lines.paths) for lines in squared_paper((0, 0, 100, 50), 5.0, 0.1)]
    [27, 5]
    """
    if square not in HEAVY:
        raise MosaicError(f"Squared paper has squares of 5 mm or 6.35 mm (1/4 in), not {square!r}.")
    x0, y0, x1, y1 = box
    across, up = (np.arange(0, side + 1e-6, square) for side in (x1 - x0, y1 - y0))
    posts = np.column_stack([x0 + across, np.full(len(across), y0), x0 + across, np.full(len(across), y1)])
    bars = np.column_stack([np.full(len(up), x0), y0 + up, np.full(len(up), x1), y0 + up])
    ends = np.concatenate([posts, bars])
    heavy = np.concatenate([np.arange(len(across)), np.arange(len(up))]) % HEAVY[square] == 0
    return [
        Lines(segments(ends[~heavy]), SQUARES, line, opacity=opacity, name="squared"),
        Lines(segments(ends[heavy]), SQUARES, 2.2 * line, opacity=opacity, name="squared"),
    ]


def joint_lines(stretches: object, widths: Sequence[str], size: float) -> list[Lines]:
    """Return joints as strokes, one item for each class that occurs, the finest first so that others lie on top.

    Stretches are the middles of joints as x0, y0, x1, y1, shape (m, 4), each "fine", "narrow" or "wide"; the text size,
    which the strokes follow [mm]. Thickness and dashes differ by class, so they can be told apart in grey.

    >>> [lines.name for lines in joint_lines([[0, 0, 9, 0], [0, 5, 9, 5]], ["wide", "fine"], 4)]
    ['joint fine', 'joint wide']
    """
    ends, classes = np.asarray(stretches, dtype=float).reshape(-1, 4), np.asarray(widths, dtype=object)
    if len(ends) != len(classes):
        raise MosaicError(f"{len(ends)} stretches of joint have {len(classes)} classes; give one each.")
    for word in set(classes):
        choice(word, "class of a joint", JOINT_STYLES)
    found = []
    for name, (_, colour, share, dash) in JOINT_STYLES.items():
        if (here := classes == name).any():
            dashes = tuple(length * size for length in dash)
            found.append(Lines(segments(ends[here]), colour, share * size, dashes, name=f"joint {name}"))
    return found


def middles(shapes: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return a point well inside each piece, shape (n, 2), and its distance from the edge (n,) [mm]."""
    centre, edge = shapely.centroid(shapes), shapely.boundary(shapes)
    outside = ~shapely.contains_xy(shapes, *shapely.get_coordinates(centre).T)
    if outside.any():  # a crescent's centroid lies beside it
        centre[outside] = shapely.point_on_surface(shapes[outside])
    return shapely.get_coordinates(centre), shapely.distance(centre, edge)


def marks_and_numbers(
    shapes: np.ndarray, looks: Sequence[Look], names: Sequence[str], marks: bool, most: float = math.inf
) -> list[Marks | Text]:
    """Return the mark and the number of each piece, shape (n,); with both, the number stands above its mark.

    `names` are the numbers, empty for none; `most` is the largest text size of a number [mm].

    >>> from mosaiclib.drawing.palette import look
    >>> marks_and_numbers([shapely.box(0, 0, 9, 9)], [look("amber")], ["7"], marks=True)[-1].words
    '7'
    """
    at, reach = middles(np.asarray(shapes, dtype=object))
    items = _marks(at, reach, looks, bool(len(names))) if marks else []
    if not len(names):
        return items
    marked = [marks and one.mark != "none" for one in looks]
    for (x, y), room, name, one, both in zip(at.tolist(), reach.tolist(), names, looks, marked, strict=True):
        fits = min(0.7 * room, 1.7 * room / (DIGIT * max(len(name), 1)))
        size = min(most, max(fits, min(LEAST_NUMBER, 2 * fits)))  # on a splinter it may reach into the joint
        foot = y + (0.27 * room + 0.36 * max(size - fits, 0) if both else 0)
        items.append(Text(x, foot, name, size, "middle", 0, one.ink, middle=True, name="number"))
    return items


def _marks(at: np.ndarray, reach: np.ndarray, looks: Sequence[Look], numbered: bool) -> list[Marks]:
    """Return the marks, one item for each tone; under a number they are small."""
    kinds = np.array([one.mark for one in looks], dtype=object)
    inks = np.array([one.ink for one in looks], dtype=object)
    drop, share = (0.5, 0.24) if numbered else (0.0, 0.36)
    line = 0.055 * float(np.median(reach)) * (0.7 if numbered else 1.0) if len(reach) else 0.1
    items = []
    for ink in sorted(set(inks)):
        here = (inks == ink) & (kinds != "none")
        if here.any():
            lowered = at[here] - np.column_stack([np.zeros(here.sum()), drop * reach[here]])
            items.append(Marks(lowered, share * reach[here], tuple(kinds[here]), ink, line))
    return items


def key_rows(entries: Sequence[str], width: float, size: float) -> tuple[int, int]:
    """Return in how many columns and rows a key of these entries fits a width."""
    longest = max((len(clean(entry)) for entry in entries), default=1)
    columns = max(1, int(width / ((LETTER * longest + 3.4) * size)))
    return columns, math.ceil(len(entries) / columns)


def colour_key(entries: Sequence[tuple[str, Look]], left: float, top: float, width: float, size: float) -> list:
    """Return a key, left, top and width [mm]: swatch with its mark, and words, in as many columns as fit.

    >>> from mosaiclib.drawing.palette import look
    >>> colour_key([("amber: 12", look("amber"))], 0, 50, 100, 4)[-1].words
    'amber: 12'
    """
    columns, _ = key_rows([words for words, _ in entries], width, size)
    items = []
    for i, (words, one) in enumerate(entries):
        x, y = left + (i % columns) * width / columns, top - (i // columns) * 1.9 * size
        swatch = shapely.box(x, y - 1.4 * size, x + 1.4 * size, y)
        shown, fit = fitted(words, width / columns - 2.2 * size, size, 0.6 * size)
        items += [
            Polygons(swatch, one.fill, EDGE, 0.04 * size, name="swatch"),
            *marks_and_numbers([swatch], [one], (), marks=True),
            Text(x + 2 * size, y - 0.7 * size, shown, fit, colour=INK, middle=True, name="key"),
        ]
    return items


def joint_key(names: Sequence[str], left: float, top: float, size: float) -> list:
    """Return a key of the joint classes in one line: a stroke of each, and its words."""
    items, x = [], left
    for name in (name for name in JOINT_STYLES if name in names):
        words, colour, share, dash = JOINT_STYLES[name]
        y, dashes = top - 0.5 * BODY * size, tuple(length * size for length in dash)
        items.append(Lines(segments([x, y, x + 2.2 * size, y]), colour, share * size, dashes, name="joint key"))
        items.append(Text(x + 2.8 * size, y, words, size, colour=INK, middle=True, name="key"))
        x += (4.6 + LETTER * len(words)) * size
    return items


def panels(
    drawings: Sequence[Drawing],
    captions: Sequence[str],
    *,
    columns: int = 2,
    size: float | None = None,
    title: str,
    description: str,
) -> Drawing:
    """Set pictures of one size side by side in rows, each under its caption of a size [mm], 1/22 of its width if left out.

    >>> both = panels([Drawing(40, 30, "a"), Drawing(40, 30, "b")], ["first", "second"], title="Two", description="")
    >>> both.width, len(both.items)
    (80.0, 2)
    """
    shown = several(drawings, "pictures")
    words = several(captions, "captions", len(shown))
    if not shown:
        raise MosaicError("There is no picture to show.")
    across = min(whole_number(columns, "columns", least=1, greatest=12), len(shown))
    down = -(-len(shown) // across)
    wide, high = max(one.width for one in shown), max(one.height for one in shown)
    size = wide / 22 if size is None else size
    items: list = []
    for place, (drawing, caption) in enumerate(zip(shown, words, strict=True)):
        row, column = divmod(place, across)
        x, y = column * wide, (down - 1 - row) * (high + 1.6 * size)
        shown_here = (
            item for item in drawing.shifted(x, y).items if getattr(item, "name", "") != "view"
        )  # too small here
        items += [*shown_here, Text(x + 0.8 * size, y + high + 0.4 * size, caption, size, colour=INK)]
    return Drawing(across * wide, down * (high + 1.6 * size), title, description, tuple(items), PAPER)
