"""Words, pictures and tables one under another, flowing over sheets in the order in which they are read."""

__all__ = [
    "INDENT",
    "Block",
    "blank",
    "flowed",
    "headed",
    "pictured",
    "rules",
    "said",
    "stacked",
    "tabled",
    "words_width",
]

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from mosaiclib.drawing.canvas import Drawing, Lines, Text, Window, fitted, segments, wrapped
from mosaiclib.drawing.palette import BODY, INK, LETTER, SOFT
from mosaiclib.drawing.paper import MARGIN, PAPERS
from mosaiclib.drawing.sheets import Subject, bound, room_for_words
from mosaiclib.errors import MosaicError, choice

SIZE, LEAD = 3.2, 1.45  # [mm] letters; from line to line in letters
HEAD = 4.4  # [mm] letters of a heading
CELL = 2.6  # [mm] letters of a table
INDENT = 6.0  # [mm] room for a number or a box before words
WRITING = 8.0  # [mm] from line to line where somebody writes
AFTER = 2.0  # [mm] under a block


@dataclass(frozen=True)
class Block:
    """What stays together on a sheet: items below 0, 0, how deep they reach [mm], and whether it leads what follows, as a heading does."""

    items: tuple
    deep: float
    leads: bool = False


def words_width(paper: str) -> float:
    """Return how wide words run on an upright sheet of a paper of `PAPERS` [mm].

    >>> words_width("A4")
    190.0
    """
    return PAPERS[choice(paper, "paper", PAPERS)][0] - 2 * MARGIN


def said(
    words: object,
    width: float,
    *,
    mark: str = "",
    size: float = SIZE,
    voice: str = "label",
    colour: str = INK,
    after: float = AFTER,
) -> Block:
    """Return words wrapped to a width [mm]; a mark, such as a number, stands before them, an empty place `after` [mm] under them.

    >>> said("Lay cross on cross.", 100).deep
    6.64
    """
    left = INDENT if mark else 0.0
    lines = wrapped(words, width - left, size)
    items = [Text(0.0, -size, mark, size, colour=colour, voice=voice)] if mark else []
    items += [
        Text(left, -size - LEAD * size * i, line, size, colour=colour, voice=voice) for i, line in enumerate(lines)
    ]
    return Block(tuple(items), LEAD * size * len(lines) + after)


def headed(words: object, width: float, size: float = HEAD) -> Block:
    """Return a heading, which stays with what follows it."""
    found = said(words, width, size=size, voice="heading")
    above = tuple(item.placed(False, 0.0, -AFTER) for item in found.items)
    return Block(above, found.deep + AFTER, leads=True)


def pictured(drawing: Drawing, width: float, high: float) -> Block:
    """Return a drawing as large as goes into a width and a height [mm], its lengths in its own unit."""
    small = drawing.scaled(min(width / drawing.width, high / drawing.height))
    seen = Window(small.items, (0.0, 0.0, small.width, small.height)).placed(False, 0.0, -small.height)
    return Block((_told(seen, drawing),), small.height + AFTER)


def _told(item: object, drawing: Drawing) -> object:
    """Return an item with its lengths as its own drawing writes them."""
    if isinstance(item, Window):
        return replace(item, items=tuple(_told(one, drawing) for one in item.items))
    return replace(item, words=drawing.told(item.words, label=True)) if isinstance(item, Text) else item


def rules(width: float, count: int, left: float = 0.0) -> Block:
    """Return lines to write on, from `left` to a width [mm].

    >>> rules(100, 2).deep
    18.0
    """
    ends = [[left, -WRITING * (i + 1), width, -WRITING * (i + 1)] for i in range(count)]
    return Block((Lines(segments(ends), SOFT, 0.15, name="rule"),), WRITING * count + AFTER)


def blank(words: str, width: float, size: float = SIZE, left: float = 0.0) -> Block:
    """Return words from `left` on with a line after them to write on, up to a width [mm].

    >>> blank("Name", 100).deep
    8.0
    """
    begin = left + LETTER * size * (len(words) + 2)
    line = Lines(segments([begin, 1.0 - WRITING, width, 1.0 - WRITING]), SOFT, 0.15, name="rule")
    return Block((Text(left, 1.5 - WRITING, f"{words}:", size, colour=INK), line), WRITING)


def stacked(*blocks: Block) -> Block:
    """Return blocks under each other as one, which no sheet parts."""
    tops = [0.0, *accumulate(block.deep for block in blocks)]
    items = (item.placed(False, 0.0, -top) for block, top in zip(blocks, tops, strict=False) for item in block.items)
    return Block(tuple(items), tops[-1])


def tabled(
    heads: Sequence[object], rows: Sequence[Sequence[object]], widths: Sequence[float], size: float = CELL
) -> list[Block]:
    """Return a table as blocks, its heads and then a block a row, columns of these widths [mm], words wrapped inside them."""
    lefts = [0.0, *accumulate(widths)]
    found = [_row(heads, lefts, size, "heading"), *(_row(row, lefts, size, "label") for row in rows)]
    found[0] = replace(found[0], leads=True)
    return [*found[:-1], replace(found[-1], deep=found[-1].deep + AFTER)]


def _row(cells: Sequence[object], lefts: Sequence[float], size: float, voice: str) -> Block:
    """Return a row of a table with a line under it; a word too long for its column is set smaller."""
    items, most = [], 1
    for cell, left, right in zip(cells, lefts, lefts[1:], strict=False):
        lines = wrapped(cell, right - left - 1.5, size)
        most = max(most, len(lines))
        for i, line in enumerate(lines):
            words, small = fitted(line, right - left - 1.0, size, 1.6)
            items.append(Text(left, -size - LEAD * size * i, words, small, colour=INK, voice=voice))
    deep = LEAD * size * most + 0.6
    items.append(Lines(segments([0.0, -deep, lefts[-1], -deep]), SOFT, 0.15))
    return Block(tuple(items), deep + size * (1 - BODY))


def flowed(
    blocks: Sequence[Block], paper: str, *, title: str, about: str = "", cautions: Sequence[object] = ()
) -> list[Drawing]:
    """Return blocks on as many upright sheets of a paper of `PAPERS` as they take, numbered through, in their order.

    `about` tells readers that cannot see the sheets what is on them; `cautions` stand in the foot of every sheet.

    >>> [page.title for page in flowed([said("Lay cross on cross.", 190)], "A4", title="How")]
    ['How: sheet 1 of 1']
    """
    width, height = room_for_words(paper, cautions)
    columns = tuple(
        Drawing(width, height, title, about, _under(height - AFTER, some)) for some in _parted(blocks, height - AFTER)
    )
    subject = Subject(title, columns, up="")
    return bound([subject], paper, title=title, cautions=cautions, scaled=False)[1]


def _under(top: float, blocks: Sequence[Block]) -> tuple:
    return tuple(item.placed(False, 0.0, top) for item in stacked(*blocks).items)


def _parted(blocks: Sequence[Block], height: float) -> Iterator[list[Block]]:
    """Yield the blocks of each sheet; what leads goes with what follows it."""
    sheet: list[Block] = []
    for group in _led(blocks):
        deep = sum(block.deep for block in group)
        if deep > height:
            raise MosaicError("A paragraph or picture is larger than a sheet; shorten it.")
        if sheet and sum(block.deep for block in sheet) + deep > height:
            yield sheet
            sheet = []
        sheet += group
    if sheet:
        yield sheet


def _led(blocks: Sequence[Block]) -> Iterator[list[Block]]:
    group: list[Block] = []
    for block in blocks:
        group.append(block)
        if not block.leads:
            yield group
            group = []
    if group:
        yield group
