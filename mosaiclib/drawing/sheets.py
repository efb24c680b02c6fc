"""Sheets at true scale: heading, bars to check the printer by, crosses where sheets join, and once for all notes, key and map."""

__all__ = ["Subject", "bound", "face_template", "pages", "room_for_words", "template_sheets", "template_subject"]

import math
import textwrap
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely import Polygon

from mosaiclib.drawing.canvas import Drawing, Lines, Polygons, Text, Window, clean, fitted, kept, segments, wrapped
from mosaiclib.drawing.layout_picture import VIEWS, colour_entries, colour_key, key_rows, layout_picture
from mosaiclib.drawing.palette import BODY, EDGE, INK, LETTER, SOFT, WHITE, Look
from mosaiclib.drawing.paper import MARGIN, PAPERS, Place, Sheet, fewest
from mosaiclib.errors import MosaicError, choice, number
from mosaiclib.layout.layout import Layout
from mosaiclib.units import mm, text, told

BARS = ((100.0, "100 mm"), (101.6, "4 in"))  # [mm] 4 x 25.4 exactly
BAR = 4.2  # [mm] a bar with the room above it
FOOT = 0.8  # [mm] under the rule
CAUTION, LINE = 2.2, 2.9  # [mm] text size of what is said on every sheet, and its lines
KEY, NOTE, NOTE_LINE = 3.0, 2.6, 3.7  # [mm] text size of the key and of notes, and their lines
CELL, MAP = 5.0, 14.0  # [mm] least cell of the map, and how large a drawing is on it
LEAST_BESIDE, TWO_COLUMNS = 42.0, 150.0  # [mm] a narrower strip is no place for words, a wider one takes two columns
APART = 4.0  # [mm] between the drawing and the words
OUTER = 24.0  # [mm] from an outer edge to the crosses
CAPTION = 2.8  # [mm] name and size under a face
FOUND = 0.02  # [mm] within which two outlines drawn by chords are one


@dataclass(frozen=True)
class Subject:
    """What goes on paper under one heading: drawings, and the same turned a quarter to the left where they may lie so.

    `up` is what is at the top of the drawing, as in "rim", or empty; `faces` which way the printed side goes, as in "towards the
    glass", or what the sheet does, as in "lies on the table"; `notes` are said once, on the first sheet; `name` and `names`
    are what the map calls the subject and its drawings.
    """

    heading: str
    drawings: tuple[Drawing, ...]
    turned: tuple[Drawing, ...] = ()
    up: str = "top"
    faces: str = ""
    notes: tuple[object, ...] = ()
    name: str = ""
    names: tuple[str, ...] = ()

    def on(self, sheet: Sheet) -> tuple[Drawing, ...]:
        """Return the drawings as they lie on a sheet."""
        return self.turned if sheet.turned else self.drawings


@dataclass(frozen=True)
class _Book:
    """All sheets of a book and what is said on each; `begin` is the number of the first sheet with a drawing."""

    title: str
    subjects: tuple[Subject, ...]
    sheets: tuple[tuple[Sheet, ...], ...]
    unit: str
    notes: tuple[str, ...]
    cautions: str
    key: tuple[tuple[str, Look], ...]
    scaled: bool
    begin: int = 1

    @property
    def count(self) -> int:
        return self.begin - 1 + sum(map(len, self.sheets))

    @property
    def mapped(self) -> bool:
        """Whether it must be told on which sheet a part lies: words are read one sheet after the other."""
        return self.scaled and self.count > 1

    def first(self, subject: int) -> int:
        """Return the number of a subject's first sheet."""
        return self.begin + sum(map(len, self.sheets[:subject]))


def bound(
    subjects: Sequence[Subject],
    paper: str = "A4",
    *,
    title: str,
    notes: Sequence[object] = (),
    cautions: Sequence[object] = (),
    key: Sequence[tuple[str, Look]] = (),
    overlap: float = 10.0,
    scaled: bool = True,
) -> list[list[Drawing]]:
    """Put subjects on the fewest sheets of a paper of `PAPERS` at true scale, numbered through; return the sheets of each.

    Small drawings go side by side; a large one is split in equal parts that overlap by 5 to 50 mm, so that the sheets can
    be laid over each other by their register marks. `cautions` stand in the foot of every sheet. The subjects' notes,
    `notes`, `key` and, where there are several sheets, a map of them stand once: beside the drawing of the first sheet if
    there is room, else on a sheet of their own, the first of the list, which else is empty. A card of words is not `scaled`:
    it has no bars to measure, and no map.

    >>> wall = Subject("Wall", (Drawing(500, 400, "A wall"),))
    >>> [len(sheets) for sheets in bound([wall], title="Wall")]
    [0, 6]
    """
    choice(paper, "paper", PAPERS)
    lap = number(overlap, "overlap", "mm", least=5, greatest=50)
    unit = subjects[0].drawings[0].unit
    words = subjects[0].drawings[0].told
    said = " ".join(map(words, cautions))
    sheets = tuple(tuple(_sheets(one, paper, lambda wide: _foot_height(said, wide, scaled), lap)) for one in subjects)
    own = [f"{one.name}: {words(note)}" if one.name else words(note) for one in subjects for note in one.notes]
    once = (*own, *map(words, notes))
    book = _Book(clean(title), tuple(subjects), sheets, unit, once, said, tuple(key), scaled)
    return _drawn(*_with_words(book, paper))


def room_for_words(paper: str, cautions: Sequence[object] = ()) -> tuple[float, float]:
    """Return width and height [mm] of what head and foot leave on an upright sheet of a paper of `PAPERS`.

    >>> room_for_words("A4")
    (190.0, 261.2)
    """
    wide, high = PAPERS[choice(paper, "paper", PAPERS)]
    foot = _foot_height(" ".join(map(str, cautions)), wide, False)
    left, low, right, top = Sheet(wide, high, foot, False).room
    return right - left, top - low


def _sheets(subject: Subject, paper: str, foot: Callable[[float], float], overlap: float) -> list[Sheet]:
    sizes = ([(one.width, one.height) for one in some] for some in (subject.drawings, subject.turned))
    return fewest(*sizes, paper, foot, overlap)


def _with_words(book: _Book, paper: str) -> tuple[_Book, list, list[Drawing]]:
    """Find a place for what is said once: return the book, what is drawn beside its first drawing, and a sheet for it."""
    if not (book.mapped or book.notes or book.key):
        return book, [], []
    sheet = book.sheets[0][0]
    (left, low, right, high), taken = sheet.room, sheet.taken
    wide, tall = taken[2] - taken[0], taken[3] - taken[1]
    beside = _said_once(book, left + wide + APART, high, right - left - wide - APART)
    below = _said_once(book, left, high - tall - APART, right - left)
    for (items, depth), room, enough, at in (
        (beside, high - low, right - left - wide - APART >= LEAST_BESIDE, left - taken[0]),
        (below, high - low - tall - APART, True, 0.0),
    ):
        if enough and depth <= room:
            moved = _moved(sheet, at, high - taken[3])
            first = (moved, *book.sheets[0][1:])
            return replace(book, sheets=(first, *book.sheets[1:])), items, []
    book = replace(book, begin=2)
    return book, [], [_cover(book, *PAPERS[paper])]


def _moved(sheet: Sheet, dx: float, dy: float) -> Sheet:
    places = tuple(replace(place, at=(place.at[0] + dx, place.at[1] + dy)) for place in sheet.places)
    return replace(sheet, places=places)


def _cover(book: _Book, width: float, height: float) -> Drawing:
    """Return a sheet with what is said once."""
    top = height - MARGIN
    heading, size = fitted(book.title, width - 2 * MARGIN, 5.5, 3.0)
    items = [
        Text(MARGIN, top - 5.5, heading, size, voice="heading", name="heading"),
        Text(MARGIN, top - 11.5, f"Read this first: sheet 1 of {book.count}", 3.4, colour=SOFT, name="place"),
    ]
    more, depth = _said_once(book, MARGIN, top - 16, width - 2 * MARGIN)
    lines = wrapped(book.cautions, width - 2 * MARGIN, NOTE)
    if depth + NOTE_LINE * len(lines) > top - 20 - MARGIN:
        raise MosaicError("The notes and the key do not go on one sheet; shorten them.")
    items += more + [_note(MARGIN, top - 20 - depth - NOTE_LINE * i, line) for i, line in enumerate(lines)]
    return Drawing(width, height, f"{book.title}: read this first", " ".join(book.notes), tuple(items), unit=book.unit)


def _drawn(book: _Book, beside: Sequence, cover: list[Drawing]) -> list[list[Drawing]]:
    """Draw all sheets."""
    found = [cover]
    for which, (subject, sheets) in enumerate(zip(book.subjects, book.sheets, strict=True)):
        begin = book.first(which)
        found.append([_page(book, subject, sheet, begin + i) for i, sheet in enumerate(sheets)])
    if beside:
        first = found[1][0]
        found[1][0] = replace(first, items=(*first.items, *beside))
    return found


def pages(
    drawing: Drawing,
    paper: str = "A4",
    *,
    heading: str,
    up: str = "top",
    faces: str = "",
    notes: Sequence[object] = (),
    cautions: Sequence[object] = (),
    key: Sequence[tuple[str, Look]] = (),
    overlap: float = 10.0,
    scaled: bool = True,
) -> list[Drawing]:
    """Put one drawing on sheets of paper at true scale: one drawing a page; see `Subject` and `bound`.

    >>> sheets = pages(Drawing(500, 400, "A wall"), heading="Wall")
    >>> len(sheets), sheets[1].width, sheets[1].height
    (6, 210.0, 297.0)
    """
    subject = Subject(clean(heading), (drawing,), (), clean(up), clean(faces))
    more = {"notes": notes, "cautions": cautions, "key": key, "overlap": overlap, "scaled": scaled}
    return [sheet for sheets in bound([subject], paper, title=heading, **more) for sheet in sheets]


# --- what is said once -------------------------------------------------------------------------------------


def _said_once(book: _Book, left: float, top: float, width: float) -> tuple[list, float]:
    """Return notes, key and map in a strip [mm], and how deep they reach under `top`; side by side where it is wide."""
    if width < LEAST_BESIDE:
        return [], math.inf
    half = (width - APART) / 2 if book.mapped and width >= TWO_COLUMNS else width
    items, depth = _notes_and_key(book, left, top, half)
    if not book.mapped:
        return items, depth
    if half < width:
        more, deep = _map(book, left + half + APART, top, half)
        return items + more, max(depth, deep)
    more, deep = _map(book, left, top - depth - 2.0 * (depth > 0), width)
    return items + more, depth + 2.0 * (depth > 0) + deep


def _notes_and_key(book: _Book, left: float, top: float, width: float) -> tuple[list, float]:
    lines = [line for note in book.notes for line in wrapped(note, width, NOTE)]
    items = [_note(left, top - NOTE_LINE * (i + 0.8), line) for i, line in enumerate(lines)]
    depth = NOTE_LINE * len(lines)
    if book.key:
        depth += 2.0 if depth else 0.0
        items += colour_key(book.key, left, top - depth, width, KEY)
        depth += 1.9 * KEY * key_rows([words for words, _ in book.key], width, KEY)[1]
    return items, depth


def _note(x: float, y: float, words: str) -> Text:
    return Text(x, y, words, NOTE, colour=INK, name="note")


def _map(book: _Book, left: float, top: float, width: float) -> tuple[list, float]:
    """Return a map that tells on which sheet each part of each drawing lies, a group a subject, and its depth [mm]."""
    longest = max(max(one.width, one.height) for subject in book.subjects for one in subject.drawings)
    items: list = [_note(left, top - 0.8 * NOTE_LINE, "Where each sheet lies:")]
    x, y, row = left, top - NOTE_LINE, 0.0
    for which in range(len(book.subjects)):
        more, wide, high = _group(book, which, longest, width)
        if x > left and x + wide > left + width:
            x, y, row = left, y - row, 0.0
        items += [item.placed(False, x, y) for item in more]
        x, row = x + wide + APART, max(row, high)
    return items, top - y + row


def _group(book: _Book, which: int, longest: float, width: float) -> tuple[list, float, float]:
    """Return one subject on the map, under 0, 0, and its width and height [mm]."""
    subject, begin, sheets = book.subjects[which], book.first(which), book.sheets[which]
    end = begin + len(sheets) - 1
    where = f"sheet {begin}" if begin == end else f"sheets {begin} to {end}"
    name, size = fitted(f"{subject.name}: {where}" if subject.name else where, width, NOTE)
    items, most = [Text(0.0, -0.8 * NOTE_LINE, name, size, name="map")], LETTER * size * len(name)
    x, y, row = 0.0, -NOTE_LINE - 1.0, 0.0
    for one in range(len(subject.drawings)):
        places = ((sheet, place, begin + i) for i, sheet in enumerate(sheets) for place in sheet.places)
        more, wide, high = _figure(subject, one, [place for place in places if place[1].which == one], longest, width)
        if x > 0 and x + wide > width:
            x, y, row = 0.0, y - row, 0.0
        items += [item.placed(False, x, y) for item in more]
        x, row = x + wide + 2.0, max(row, high)
        most = max(most, x - 2.0)
    return items, most, row - y


def _figure(
    subject: Subject, which: int, cells: Sequence[tuple[Sheet, Place, int]], longest: float, width: float
) -> tuple[list, float, float]:
    """Return a drawing on the map with the number of the sheet in each part, under 0, 0, and its width and height [mm]."""
    sheet, place, _ = cells[0]
    one = subject.on(sheet)[which]
    scale = max(MAP / longest, CELL * place.columns / one.width, CELL * place.rows / one.height)
    scale = min(scale, width / one.width)
    w, h = one.width * scale / place.columns, one.height * scale / place.rows
    boxes, words = [], []
    for _, part, number_ in cells:
        x, y = part.column * w, -(part.row + 1) * h
        boxes.append(shapely.box(x, y, x + w, y + h))
        size = min(2.6, 0.6 * h, 1.4 * w / len(str(number_)))
        words.append(Text(x + w / 2, y + h / 2, str(number_), size, "middle", middle=True, name="map"))
    wide, high = w * place.columns, h * place.rows
    name = subject.names[which] if len(subject.names) > 1 else ""
    if name:
        wide = max(wide, LETTER * 2.2 * len(name))
        words.append(Text(0.0, -high - 2.6, name, 2.2, colour=SOFT, name="map"))
    return [Polygons(boxes, WHITE, EDGE, 0.2, name="map"), *words], wide, high + (4.0 if name else 1.5)


# --- a sheet -----------------------------------------------------------------------------------------------


def _page(book: _Book, subject: Subject, sheet: Sheet, number_: int) -> Drawing:
    """Return one sheet."""
    drawings = subject.on(sheet)
    seen = []
    for place in sheet.places:
        dx, dy = place.at[0] - place.box[0], place.at[1] - place.box[1]
        seen.append(Window(kept(drawings[place.which].items, place.box), place.box).placed(False, dx, dy))
    numbered = f"sheet {number_} of {book.count}"
    items = [*_head(subject, sheet, numbered), *seen, *_foot(book, sheet)]  # in the order in which they are read
    if sheet.places[0].parts > 1:
        items += _register(sheet, number_)
    about = [drawings[place.which].description for place in sheet.places]
    said = text(f"{numbered}{', true scale' * book.scaled}. ", *about)
    return Drawing(sheet.width, sheet.height, f"{subject.heading}: {numbered}", said, tuple(items), unit=book.unit)


def _head(subject: Subject, sheet: Sheet, numbered: str) -> list:
    """Return the heading: what is drawn, which sheet, which way is up, which side faces the glass."""
    top, right, first = sheet.height - MARGIN, sheet.width - MARGIN, sheet.places[0]
    parted = first.parts > 1
    aside = right - (22 if parted else 0) - (34 if subject.up else 0)
    heading, size = fitted(subject.heading, aside - MARGIN, 4.6, 2.6)
    names = ", ".join(subject.names[place.which] for place in sheet.places if len(subject.names) > 1)
    place = f"{numbered}{': ' * bool(names)}{names}"
    if parted:
        at = f"row {first.row + 1} of {first.rows}, column {first.column + 1} of {first.columns}"
        place = f"{numbered}: {at}{' of ' * bool(names)}{names}; lay cross on cross"
    said, small = fitted(place, aside - MARGIN, 2.8, 2.0)
    return [
        Text(MARGIN, top - 4.4, heading, size, voice="heading", name="heading"),
        Text(MARGIN, top - 8.4, said, small, colour=SOFT, name="place"),
        *_side(subject.faces, top, aside - MARGIN),
        Lines(segments([MARGIN, top - 14.6, right, top - 14.6]), EDGE, 0.15),
        *(_arrow(right - (24 if parted else 0), top, subject.up, sheet.turned) if subject.up else ()),
        *(_small_map(first, right, top) if parted else ()),
    ]


def _side(faces: str, top: float, room: float) -> list[Text]:
    """Return the words which side faces the glass: one line, or two smaller ones."""
    begin = "Printed side" if faces.startswith(("towards", "away")) else "This sheet"
    said = f"{begin} {faces}." if faces else ""
    if len(said) * LETTER * 2.6 <= room:
        return [Text(MARGIN, top - 12.4, said, 2.6, name="side")]
    lines = textwrap.wrap(said, max(int(room / (LETTER * 2.2)), math.ceil(len(said) / 2) + 8))
    fits = [fitted(line, room, 2.2, 1.8) for line in lines]
    return [Text(MARGIN, top - 11.2 - 2.6 * i, *fit, name="side") for i, fit in enumerate(fits)]


def _arrow(right: float, top: float, up: str, turned: bool) -> list:
    """Return the arrow that points to the top of the drawing, to the left where that lies turned, with its words to the left of it."""
    if turned:
        x, tip, foot, wings = right - 14, (right - 12, top - 4.5), (right, top - 4.5), (right - 7.5, top - 4.5, 0, 2.2)
    else:
        x, tip, foot, wings = right - 7.5, (right - 3, top - 1), (right - 3, top - 13), (right - 3, top - 5.5, 2.2, 0)
    neck, aside = np.array(wings[:2]), np.array(wings[2:])
    head = shapely.Polygon([tip, neck - aside, neck + aside])
    items = [Lines(segments([*foot, *neck]), INK, 0.6), Polygons(head, INK)]
    items.append(Text(x, top - 5.6, "top", 3.8, "end", voice="heading", name="top"))
    if up != "top":
        said, size = fitted(up, 26, 3.0, 2.0)
        items.append(Text(x, top - 10.2, said, size, "end", colour=SOFT, name="up"))
    return items


def _small_map(place: Place, right: float, top: float) -> list:
    """Return a small map of the sheets of a drawing with this one dark."""
    wide, high = place.columns * place.size[0], place.rows * place.size[1]
    scale = min(20 / wide, 12 / high)
    w, h = place.size[0] * scale, place.size[1] * scale
    rows, columns = np.divmod(np.arange(place.parts), place.columns)
    x, y = right - wide * scale + columns * w, top - 1 - (rows + 1) * h
    tones = [SOFT if at == (place.row, place.column) else WHITE for at in zip(rows, columns, strict=True)]
    return [Polygons(shapely.box(x, y, x + w, y + h), tuple(tones), EDGE, 0.2, name="map")]


def _foot_height(cautions: str, width: float, scaled: bool) -> float:
    """Return how high the foot is on a sheet of this width [mm]."""
    return FOOT + BAR * len(BARS) * scaled + LINE * len(wrapped(cautions, width - 2 * MARGIN, CAUTION))


def _foot(book: _Book, sheet: Sheet) -> list:
    """Return the bars to check the printer by, what to do with them, and the cautions."""
    top, right = MARGIN + sheet.foot - 0.2, sheet.width - MARGIN
    items: list = [Lines(segments([MARGIN, top, right, top]), EDGE, 0.15)]
    if book.scaled:
        items += _bars(top, right)
        top -= BAR * len(BARS)
    lines = wrapped(book.cautions, right - MARGIN, CAUTION)
    return items + [
        Text(MARGIN, top - LINE * (i + 0.9), line, CAUTION, colour=INK, name="caution") for i, line in enumerate(lines)
    ]


def _bars(top: float, right: float) -> list:
    """Return the bars, and what to do with them."""
    items: list = []
    advice = ("If one is off, print again at 100 %", "(“actual size”), not “fit to page”.")
    for i, ((length, name), words) in enumerate(zip(BARS, advice, strict=True)):
        y, x0, x1 = top - BAR * (i + 0.6), MARGIN, MARGIN + length
        items.append(Lines(segments([x0, y, x1, y]), INK, 0.35, name="bar"))
        items.append(Lines(segments([[x0, y - 1.4, x0, y + 1.4], [x1, y - 1.4, x1, y + 1.4]]), INK, 0.15))
        items.append(Text(MARGIN + 104, y, f"Measure this bar: {name}", 2.6, middle=True, name="bar"))
        items.append(Text(right, y, words, 2.2, "end", colour=SOFT, middle=True, name="bar"))
    return items


def _register(sheet: Sheet, number_: int) -> list:
    """Return crosses that lie on the same points of neighbouring sheets, and the words which sheets join.

    They stand in the middle of the overlap, so a cross laid on its twin brings the drawing together.
    """
    place, (left, low, right, high) = sheet.places[0], sheet.taken
    half, rim = place.overlap / 2, min(OUTER, place.size[1] / 4)
    xs = [(left + half, place.column > 0), (right - half, place.column < place.columns - 1)]
    # at an outer edge they stand further in, clear of the words there
    below, above = place.row < place.rows - 1, place.row > 0
    ys = [(low + (half if below else rim), below), (high - (half if above else rim), above)]
    at = [(x, y) for x, beside in xs for y, over in ys if beside or over]
    ends = [end for x, y in at for end in ([x - 4, y, x + 4, y], [x, y - 4, x, y + 4])]
    rings = [shapely.Point(x, y).buffer(1.8).exterior for x, y in at]
    return [
        Lines([shapely.box(left, low, right, high).exterior], SOFT, 0.12, (1.5, 1.5), name="edge"),
        Lines(segments(ends), WHITE, 0.5),
        Lines(segments(ends), INK, 0.15, name="register"),
        Lines(rings, INK, 0.15, name="register"),
        *_joins(sheet, number_),
    ]


def _joins(sheet: Sheet, number_: int) -> list[Text]:
    """Return the words at each edge that has a neighbour."""
    place, (left, low, right, high) = sheet.places[0], sheet.taken
    across, along, off = (left + right) / 2, (low + high) / 2, 0.8 + 2.4 * BODY / 2
    edges = (
        (place.column > 0, left - off, along, 90, number_ - 1),
        (place.column < place.columns - 1, right + off, along, 90, number_ + 1),
        (place.row > 0, across, high + off, 0, number_ - place.columns),
        (place.row < place.rows - 1, across, low - off, 0, number_ + place.columns),
    )
    return [
        Text(x, y, f"sheet {other} joins here", 2.4, "middle", turn, SOFT, middle=True, name="joins")
        for there, x, y, turn, other in edges
        if there
    ]


# --- the template of a face --------------------------------------------------------------------------------


def face_template(
    layout: Layout,
    *,
    name: str,
    view: str = "front",
    turned: bool = False,
    unit: str = "mm",
    looks: Mapping[str, Look] | None = None,
    flap: Polygon | None = None,
) -> Drawing:
    """Draw a face for print, seen from the "front" or "behind": outlines, numbers, pale tones and marks save ink.

    Name and size stand under it, in `unit`. If `turned`, its top lies at the left; words and marks stay upright. `looks`: how
    colours are drawn, as for `layout_picture`. `flap`: what the paper has besides, to go under its other edge when it is rolled [mm].

    >>> from mosaiclib.layout import lay_grid
    >>> import shapely
    >>> face_template(lay_grid(shapely.box(0, 0, 108, 64), 20, 2), name="front").title
    'front: template'
    """
    over = [] if flap is None or flap.is_empty else _flap_marks(layout, flap)
    paper = replace(layout, outline=shapely.union(layout.outline, flap, grid_size=1e-4)) if over else layout
    lies, angle = paper, 90 if view == "front" else -90
    if turned:
        lies, over = _turned(paper, angle), [replace(one, paths=_turn(one.paths, angle)) for one in over]
    printed = {"numbers": True, "light": True, "hover": False, "dimensions": False, "text_size": 3.4, "over": over}
    picture = layout_picture(lies, view=view, title=f"{clean(name)}: template", looks=looks, **printed)
    x0, y0, x1, y1 = layout.outline.bounds
    size = told(mm(x1 - x0, y1 - y0, between=" x "), unit, both=False)
    corners = picture.at(np.reshape(lies.outline.bounds, (2, 2)))
    left, low = corners.min(axis=0)
    words, letters = fitted(f"{clean(name)}: {size}", picture.width - left, CAPTION, 1.8)
    caption = Text(left, low - 3.2, words, letters, colour=INK, name="caption")
    return replace(picture, items=(*picture.items, caption), unit=unit)


def _flap_marks(layout: Layout, flap: Polygon) -> list[Lines]:
    """Return the line by the flap that the paper's other edge meets when it is rolled, and dashes that mark the flap [mm]."""
    shared = shapely.boundary(flap) & shapely.buffer(shapely.boundary(layout.outline), FOUND)
    x, y = shapely.get_coordinates(shared).T
    ends = np.argmin(y), np.argmax(y)
    seam = shapely.linestrings(np.column_stack([x[list(ends)], y[list(ends)]]))
    middle = shapely.linestrings(shapely.get_coordinates(seam) * 0.5 + np.array(flap.centroid.coords[0]) * 0.5)
    return [Lines([seam], INK, 0.3, name="seam"), Lines([middle], SOFT, 0.2, (2.0, 2.0), name="flap")]


def _turn(shapes: object, angle: float) -> object:
    """Return shapes turned to the left by 90 or -90 [degrees]."""
    along = round(math.sin(math.radians(angle)))
    return shapely.transform(shapes, lambda xy: np.column_stack([-along * xy[:, 1], along * xy[:, 0]]))


def _turned(layout: Layout, angle: float) -> Layout:
    """Return a layout turned to the left by 90 or -90 [degrees]."""
    gaps = tuple(replace(gap, shape=_turn(gap.shape, angle)) for gap in layout.gaps)
    return replace(layout, outline=_turn(layout.outline, angle), shapes=_turn(layout.shapes, angle), gaps=gaps)


def template_subject(
    layouts: Sequence[Layout],
    names: Sequence[str],
    *,
    heading: str,
    name: str = "",
    view: str = "front",
    up: str = "rim",
    faces: str = "towards the glass",
    notes: Sequence[object] = (),
    unit: str = "mm",
    looks: Mapping[str, Look] | None = None,
    flaps: Sequence[Polygon | None] = (),
) -> Subject:
    """Return the templates of faces, each with its name and its flap, as one subject; see `face_template` and `Subject`."""
    drawn = [
        tuple(
            face_template(one, name=each, view=view, turned=lies, unit=unit, looks=looks, flap=flap)
            for one, each, flap in zip(layouts, names, flaps or [None] * len(names), strict=True)
        )
        for lies in (False, True)
    ]
    return Subject(clean(heading), *drawn, clean(up), clean(faces), tuple(notes), name, tuple(map(clean, names)))


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
    cautions: Sequence[object] = (),
    unit: str = "mm",
    looks: Mapping[str, Look] | None = None,
) -> list[Drawing]:
    """Draw a face's template, or its dry-lay sheet, at true scale with a key of its colours; lengths are written in `unit`, "mm" or "in".

    >>> from mosaiclib.layout import lay_grid
    >>> import shapely
    >>> [page.title for page in template_sheets(lay_grid(shapely.box(0, 0, 108, 64), 20, 2), name="front")]
    ['front: template, seen from the front: sheet 1 of 1']
    """
    heading = f"{clean(name)}: {'dry lay' if dry_lay else 'template'}, {VIEWS[choice(view, 'view', VIEWS)]}"
    said = {"heading": heading, "up": up, "faces": faces, "notes": notes}
    one = template_subject([layout], [name], view=view, unit=unit, looks=looks, **said)
    key = colour_entries(layout, light=True, looks=looks)
    return [sheet for sheets in bound([one], paper, title=name, cautions=cautions, key=key) for sheet in sheets]
