"""What stands around and on the pieces: dimension lines, squared paper, keys, joints, marks and numbers."""

__all__ = [
    "colour_key",
    "dimension_lines",
    "joint_lines",
    "marks_and_numbers",
    "squared_paper",
]

import math
from collections.abc import Sequence

import numpy as np
import shapely

from mosaiclib.drawing.canvas import Lines, Marks, Polygons, Text, clean, fitted, segments
from mosaiclib.drawing.palette import (
    ACCENT,
    BODY,
    DIGIT,
    EDGE,
    INK,
    LETTER,
    SECOND,
    SOFT,
    SQUARES,
    Look,
)
from mosaiclib.errors import MosaicError, choice

Box = tuple[float, float, float, float]
BESIDE = 0.42  # where words stand that must not lie on a seam, as a share of the length
LEAST_NUMBER = 1.8  # [mm] about 5 points: smaller print is hard to read at the bench; common practice, no source
SQUARE_SIZES = {5.0: 10, 6.35: 4}  # [mm] side of a square -> squares from one heavier line to the next
# words, tone, width and dashes as shares of the text size; they can be told apart in grey too
JOINT_STYLES = {
    "fine": ("joint in range", EDGE, 0.07, ()),
    "narrow": ("too narrow", ACCENT, 0.17, (0.3, 0.22)),
    "wide": ("too wide", SECOND, 0.3, ()),
}


def dimension_lines(box: Box, size: float, width: str, height: str, seams: float = math.inf) -> list:
    """Return the dimension lines under and to the left of a box.

    Parameters
    ----------
    box : tuple of float
        Left, low, right and high edge [mm].
    size : float
        Text size [mm].
    width, height : str
        What they say.
    seams : float
        A longer line has its words beside its middle [mm], because the middle of a picture on two sheets
        is where they join.

    Returns
    -------
    list
        Items.

    Examples
    --------
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
    across, along = (a + (b - a) * (BESIDE if b - a > seams else 0.5) for a, b in ((x0, x1), (y0, y1)))
    return [
        Lines(segments(ends), SOFT, 0.05 * size, name="dimension"),
        Text(across, low - 1.0 * size, width, size, "middle", colour=INK, middle=True, name="dimension"),
        Text(left - 0.9 * size, along, height, size, "middle", 90, colour=INK, middle=True, name="dimension"),
    ]


def squared_paper(box: Box, square: float, line: float, opacity: float = 1.0) -> list[Lines]:
    """Return squared paper over a box, counted from its lower left corner.

    Parameters
    ----------
    box : tuple of float
        Left, low, right and high edge [mm].
    square : {5.0, 6.35}
        Side of a square [mm].
    line : float
        Line width [mm]; every tenth line of 5 mm, or fourth of 1/4 in, is heavier.
    opacity : float
        From 0, not seen, to 1.

    Returns
    -------
    list of Lines
        The light lines and the heavier ones.

    Raises
    ------
    MosaicError
        If the side is neither.

    Examples
    --------
    >>> [len(lines.paths) for lines in squared_paper((0, 0, 100, 50), 5.0, 0.1)]
    [27, 5]
    """
    if square not in SQUARE_SIZES:
        raise MosaicError(f"Squared paper has squares of 5 mm or 6.35 mm (1/4 in), not {square!r}.")
    x0, y0, x1, y1 = box
    across, up = (np.arange(0, side + 1e-6, square) for side in (x1 - x0, y1 - y0))
    posts = np.column_stack([x0 + across, np.full(len(across), y0), x0 + across, np.full(len(across), y1)])
    bars = np.column_stack([np.full(len(up), x0), y0 + up, np.full(len(up), x1), y0 + up])
    ends = np.concatenate([posts, bars])
    heavy = np.concatenate([np.arange(len(across)), np.arange(len(up))]) % SQUARE_SIZES[square] == 0
    return [
        Lines(segments(ends[~heavy]), SQUARES, line, opacity=opacity, name="squared"),
        Lines(segments(ends[heavy]), SQUARES, 2.2 * line, opacity=opacity, name="squared"),
    ]


def joint_lines(stretches: object, widths: Sequence[str], size: float) -> list[Lines]:
    """Return joints as strokes: thickness and dashes differ by class, so they can be told apart in grey.

    Parameters
    ----------
    stretches : array, shape (m, 4)
        Ends of the middle of each stretch as x0, y0, x1, y1 [mm].
    widths : sequence of str, length m
        Class of each: "fine", "narrow" or "wide".
    size : float
        Text size [mm], which the strokes follow.

    Returns
    -------
    list of Lines
        One for each class that occurs; the finest first, so that the others lie on top.

    Raises
    ------
    MosaicError
        If a class is unknown or the numbers differ.

    Examples
    --------
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
    """Return the mark and the number of each piece; with both, the number stands above its mark.

    Parameters
    ----------
    shapes : array of Polygon, shape (n,)
        The pieces [mm].
    looks : sequence of Look, length n
        Their looks.
    names : sequence of str, length n
        Their numbers; empty for none.
    marks : bool
        Whether marks are wanted.
    most : float
        Largest text size of a number [mm].

    Returns
    -------
    list of Marks and Text
        Marks by tone, then numbers.

    Examples
    --------
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
    """Return a key: swatch with its mark, and words, in as many columns as fit.

    Parameters
    ----------
    entries : sequence of (str, Look)
        Words and look of each entry.
    left, top, width : float
        Where it stands [mm].
    size : float
        Text size [mm].

    Returns
    -------
    list
        Items.

    Examples
    --------
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
