"""Sheets at true scale: a drawing over several pages, with crosses and bars to check."""

__all__ = ["PAPERS", "face_template", "pages", "template_sheets"]

import math
import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import shapely

from mosaiclib.drawing.canvas import Drawing, Lines, Polygons, Text, Window, clean, fitted, kept, segments
from mosaiclib.drawing.layout_picture import VIEWS, colour_entries, colour_key, key_rows, layout_picture
from mosaiclib.drawing.palette import BODY, EDGE, INK, LETTER, SOFT, WHITE, Look
from mosaiclib.errors import MosaicError, choice, number
from mosaiclib.layout.layout import Layout
from mosaiclib.units import text

PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}  # [mm] ISO 216; 8 1/2 in by 11 in
MARGIN = 10.0  # [mm] home printers leave a rim blank
SIDE = 5.0  # [mm] room beside the window for the word to which sheet it joins
HEAD = 24.0  # [mm] heading
FOOT = 25.0  # [mm] bars to check the printer by
NOTE = 4.2  # [mm] a line of notes
KEY = 3.0  # [mm] text size of the key
BARS = ((100.0, "100 mm"), (101.6, "4 in"))  # [mm] 4 x 25.4 exactly
OUTER = 24.0  # [mm] from an outer edge to the crosses
MOST_SHEETS = 400


@dataclass(frozen=True)
class _Plan:
    """How a drawing is split: page size, columns and rows, size of each part, overlap, foot [mm]."""

    width: float
    height: float
    columns: int
    rows: int
    wide: float
    high: float
    overlap: float
    foot: float

    @property
    def sheets(self) -> int:
        return self.columns * self.rows

    def part(self, column: int, row: int) -> tuple[float, float]:
        """Return the lower left corner of a part on the drawing; row 0 is the topmost [mm]."""
        return column * (self.wide - self.overlap), (self.rows - 1 - row) * (self.high - self.overlap)

    @property
    def corner(self) -> tuple[float, float]:
        """Lower left corner of the window on the page [mm]: in the middle of the room it has."""
        room = self.height - 2 * MARGIN - HEAD - self.foot
        return (self.width - self.wide) / 2, MARGIN + self.foot + (room - self.high) / 2


@dataclass(frozen=True)
class _Words:
    """What is said on every sheet."""

    heading: str
    up: str
    faces: str
    notes: tuple[str, ...]
    key: tuple[tuple[str, Look], ...]


def pages(
    drawing: Drawing,
    paper: str = "A4",
    *,
    heading: str,
    up: str = "top",
    faces: str = "",
    notes: Sequence[object] = (),
    key: Sequence[tuple[str, Look]] = (),
    overlap: float = 10.0,
) -> list[Drawing]:
    """Put a drawing on sheets of paper, "A4" or "Letter", at true scale: one drawing a page, row by row from the top left.

    Upright or lying sheets are chosen, whichever are fewer. Each part is equally large, and parts overlap by 5 to
    50 mm so that the sheets can be laid over each other by their register marks. `up` is what is at the top of the
    face, as in "rim", or empty; `faces` which way the printed side goes, as in "towards the glass", or what the
    sheet does, as in "lies on the table"; `notes` and `key` stand in the foot of each sheet. Over 400 sheets are
    refused.

    >>> wall = Drawing(500, 400, "A wall")
    >>> sheets = pages(wall, heading="Wall")
    >>> len(sheets), sheets[0].width, sheets[0].height
    (6, 210.0, 297.0)
    """
    short, long = PAPERS[choice(paper, "paper", PAPERS)]
    lap = number(overlap, "overlap", "mm", least=5, greatest=50)
    said = [drawing.told(note) for note in notes]
    lines = {wide: _wrapped(said, wide - 2 * MARGIN) for wide in (short, long)}
    feet = {wide: FOOT + NOTE * len(lines[wide]) + _key_height(key, wide) for wide in (short, long)}
    ways = ((short, long), (long, short))
    upright, lying = (_plan(drawing, wide, high, lap, feet[wide]) for wide, high in ways)
    found = [plan for plan in (upright, lying) if plan is not None]
    if not found:
        raise MosaicError("The notes and the key leave no room for the drawing; shorten them.")
    plan = min(found, key=lambda one: one.sheets)
    if plan.sheets > MOST_SHEETS:
        raise MosaicError(f"This would take {plan.sheets} sheets; print the faces one by one, or a part at a time.")
    words = _Words(clean(heading), clean(up), clean(faces), lines[plan.width], tuple(key))
    return [_page(drawing, plan, words, column, row) for row in range(plan.rows) for column in range(plan.columns)]


def _plan(drawing: Drawing, width: float, height: float, overlap: float, foot: float) -> _Plan | None:
    """Split the drawing for one way of holding the paper; None where the notes leave no room."""
    room_wide, room_high = width - 2 * (MARGIN + SIDE), height - 2 * MARGIN - HEAD - foot
    if room_high < 3 * overlap:
        return None
    columns, wide = _split(drawing.width, room_wide, overlap)
    rows, high = _split(drawing.height, room_high, overlap)
    return _Plan(width, height, columns, rows, wide, high, overlap, foot)


def _split(length: float, room: float, overlap: float) -> tuple[int, float]:
    """Return in how many equal parts a length goes, and how long each is with its overlap [mm]."""
    count = max(1, math.ceil((length - overlap) / (room - overlap) - 1e-9))
    return count, (length + (count - 1) * overlap) / count


def _key_height(key: Sequence[tuple[str, Look]], width: float) -> float:
    """Return the height that a key takes on a sheet of this width [mm]."""
    rows = key_rows([words for words, _ in key], width - 2 * MARGIN, KEY)[1] if key else 0
    return 1.9 * KEY * rows + (1.5 if rows else 0)


def _wrapped(notes: Sequence[str], width: float) -> tuple[str, ...]:
    """Return notes as lines that fit a width."""
    most = int(width / (LETTER * 0.95 * 3.0))
    return tuple(line for note in notes for line in textwrap.wrap(note, most))


def _page(drawing: Drawing, plan: _Plan, words: _Words, column: int, row: int) -> Drawing:
    """Return one sheet."""
    x, y = plan.part(column, row)
    left, low = plan.corner
    box = (x, y, x + plan.wide, y + plan.high)
    seen = Window(kept(drawing.items, box), box).placed(False, left - x, low - y)
    number_ = row * plan.columns + column + 1
    place = f"sheet {number_} of {plan.sheets}"
    items = [seen, *_head(plan, words, place, column, row), *_foot(plan, words)]
    if plan.sheets > 1:
        items += _register(plan, column, row)
    said = text(f"{place}, true scale. ", drawing.description)
    return Drawing(plan.width, plan.height, f"{words.heading}: {place}", said, tuple(items), unit=drawing.unit)


def _head(plan: _Plan, words: _Words, place: str, column: int, row: int) -> list:
    """Return the heading: what is drawn, which sheet, which way is up, which side faces the glass."""
    top, right = plan.height - MARGIN, plan.width - MARGIN
    heading, size = fitted(words.heading, right - MARGIN - 62, 5.5, 3.0)
    if plan.sheets > 1:
        place += f": row {row + 1} of {plan.rows}, column {column + 1} of {plan.columns}; lay cross on cross"
    return [
        Text(MARGIN, top - 5.5, heading, size, voice="heading", name="heading"),
        Text(MARGIN, top - 11.0, place, 3.4, colour=SOFT, name="place"),
        *_side(words.faces, top, right - MARGIN - 62),
        Lines(segments([MARGIN, top - 20, right, top - 20]), EDGE, 0.15),
        *(_arrow(right - 26 if plan.sheets > 1 else right, top, words.up) if words.up else ()),
        *(_small_map(plan, right, top, column, row) if plan.sheets > 1 else ()),
    ]


def _side(faces: str, top: float, room: float) -> list[Text]:
    """Return the words which side faces the glass: one line, or two smaller ones."""
    begin = "Printed side" if faces.startswith(("towards", "away")) else "This sheet"
    said = f"{begin} {faces}." if faces else ""
    if len(said) * LETTER * 3.4 <= room:
        return [Text(MARGIN, top - 16.4, said, 3.4, name="side")]
    lines = textwrap.wrap(said, max(int(room / (LETTER * 2.7)), math.ceil(len(said) / 2) + 8))
    fits = [fitted(line, room, 2.7, 1.8) for line in lines]
    return [Text(MARGIN, top - 14.8 - 3.2 * i, *fit, name="side") for i, fit in enumerate(fits)]


def _arrow(right: float, top: float, up: str) -> list:
    """Return the arrow that points to the top, with its words to the left of it."""
    x, high, low = right - 3, top - 1, top - 16
    head = shapely.Polygon([(x, high), (x - 2.4, high - 5), (x + 2.4, high - 5)])
    items = [Lines(segments([x, low, x, high - 5]), INK, 0.6), Polygons(head, INK)]
    items.append(Text(x - 4.5, top - 7.5, "top", 4.2, "end", voice="heading", name="top"))
    if up != "top":
        said, size = fitted(up, 26, 3.2, 2.0)
        items.append(Text(x - 4.5, top - 12.5, said, size, "end", colour=SOFT, name="up"))
    return items


def _small_map(plan: _Plan, right: float, top: float, column: int, row: int) -> list:
    """Return a small map of all sheets with this one dark."""
    wide, high = plan.columns * plan.wide, plan.rows * plan.high
    scale = min(22 / wide, 15 / high)
    cells, tones = [], []
    for i in range(plan.sheets):
        c, r = i % plan.columns, i // plan.columns
        x, y = right - wide * scale + c * plan.wide * scale, top - 1 - (r + 1) * plan.high * scale
        cells.append(shapely.box(x, y, x + plan.wide * scale, y + plan.high * scale))
        tones.append(SOFT if (c, r) == (column, row) else WHITE)
    return [Polygons(cells, tuple(tones), EDGE, 0.2, name="map")]


def _foot(plan: _Plan, words: _Words) -> list:
    """Return the key, the bars to check the printer by, what to do with them, and the notes."""
    top = MARGIN + plan.foot - 4
    items = [Lines(segments([MARGIN, top, plan.width - MARGIN, top]), EDGE, 0.15)]
    items += colour_key(words.key, MARGIN, top - 2.5, plan.width - 2 * MARGIN, KEY)
    top -= _key_height(words.key, plan.width)
    for i, (length, name) in enumerate(BARS):
        y, x0, x1 = top - 5 - 6.3 * i, MARGIN, MARGIN + length
        items.append(Lines(segments([x0, y, x1, y]), INK, 0.35, name="bar"))
        items.append(Lines(segments([[x0, y - 1.6, x0, y + 1.6], [x1, y - 1.6, x1, y + 1.6]]), INK, 0.15))
        items.append(Text(x1 + 3, y, f"Measure this bar: {name}", 3.2, middle=True, name="bar"))
    advice = "If a bar is longer or shorter, print again at 100 % (“actual size”), not “fit to page”."
    said = ((advice, SOFT), *((line, INK) for line in words.notes))
    for i, (line, tone) in enumerate(said):
        items.append(Text(MARGIN, top - 17.8 - NOTE * i, line, 3.0, colour=tone, name="note"))
    return items


def _register(plan: _Plan, column: int, row: int) -> list:
    """Return crosses that lie on the same points of neighbouring sheets, and the words which sheets join.

    They stand in the middle of the overlap, so a cross laid on its twin brings the drawing together.
    """
    (left, low), half = plan.corner, plan.overlap / 2
    across = ((left + half, column > 0), (left + plan.wide - half, column < plan.columns - 1))
    rim = min(OUTER, plan.high / 4)  # at an outer edge they stand further in, clear of the words there
    below, above = row < plan.rows - 1, row > 0
    along = (
        (low + (half if below else rim), below),
        (low + plan.high - (half if above else rim), above),
    )
    at = [(x, y) for x, beside in across for y, over in along if beside or over]
    ends = [end for x, y in at for end in ([x - 4, y, x + 4, y], [x, y - 4, x, y + 4])]
    rings = [shapely.Point(x, y).buffer(1.8).exterior for x, y in at]
    frame = shapely.box(left, low, left + plan.wide, low + plan.high).exterior
    return [
        Lines([frame], SOFT, 0.12, (1.5, 1.5), name="edge"),
        Lines(segments(ends), WHITE, 0.5),
        Lines(segments(ends), INK, 0.15, name="register"),
        Lines(rings, INK, 0.15, name="register"),
        *_joins(plan, column, row),
    ]


def _joins(plan: _Plan, column: int, row: int) -> list[Text]:
    """Return the words at each edge that has a neighbour."""
    (left, low), this = plan.corner, row * plan.columns + column + 1
    across, along, off = left + plan.wide / 2, low + plan.high / 2, 1.0 + 2.4 * BODY / 2
    edges = (
        (column > 0, left - off, along, 90, this - 1),
        (column < plan.columns - 1, left + plan.wide + off, along, 90, this + 1),
        (row > 0, across, low + plan.high + off, 0, this - plan.columns),
        (row < plan.rows - 1, across, low - off, 0, this + plan.columns),
    )
    return [
        Text(x, y, f"sheet {other} joins here", 2.4, "middle", turn, SOFT, middle=True, name="joins")
        for there, x, y, turn, other in edges
        if there
    ]


def face_template(
    layout: Layout,
    *,
    name: str,
    view: str = "front",
    dry_lay: bool = False,
    looks: Mapping[str, Look] | None = None,
) -> Drawing:
    """Draw a face for print, seen from the "front" or "behind": outlines, numbers, pale tones and marks save ink.

    For a dry lay the colours are listed below. `looks`: how colours are drawn, as for `layout_picture`.

    >>> from mosaiclib.layout import lay_grid
    >>> import shapely
    >>> face_template(lay_grid(shapely.box(0, 0, 108, 64), 20, 2), name="front").title
    'front: template'
    """
    printed = {"numbers": True, "light": True, "hover": False, "text_size": 3.4}
    return layout_picture(layout, view=view, key=dry_lay, title=_title(name, dry_lay), looks=looks, **printed)


def template_sheets(
    layout: Layout,
    paper: str = "A4",
    *,
    name: str,
    view: str = "front",
    dry_lay: bool = False,
    up: str = "rim",
    faces: str = "towards the glass",
    notes: Sequence[object] = (),
    unit: str = "mm",
    looks: Mapping[str, Look] | None = None,
) -> list[Drawing]:
    """Draw a face's template, or its dry-lay sheet, at true scale; see `face_template` and `pages`.

    The colours are listed in the foot of each sheet; lengths are written in `unit`, "mm" or "in".

    >>> from mosaiclib.layout import lay_grid
    >>> import shapely
    >>> [page.title for page in template_sheets(lay_grid(shapely.box(0, 0, 108, 64), 20, 2), name="front")]
    ['front: template, seen from the front: sheet 1 of 1']
    """
    drawing = replace(
        face_template(layout, name=name, view=view, looks=looks), unit=unit
    )  # the key goes into each sheet's foot
    heading = f"{_title(name, dry_lay)}, {VIEWS[view]}"
    key = colour_entries(layout, light=True, looks=looks)
    return pages(drawing, paper, heading=heading, up=up, faces=faces, notes=notes, key=key)


def _title(name: str, dry_lay: bool) -> str:
    """Return the name of the face and of the sheet."""
    return f"{clean(name)}: {'dry lay' if dry_lay else 'template'}"
