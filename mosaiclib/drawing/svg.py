"""Write a drawing as SVG, by hand: quick enough to follow a slider, and a print file at true scale."""

__all__ = ["to_svg"]

from collections.abc import Iterator, Sequence
from html import escape
from itertools import groupby

import numpy as np
import shapely

from mosaiclib.drawing.canvas import Drawing, Lines, Marks, Polygons, Text, Window, clean
from mosaiclib.drawing.palette import FACES, SCREEN
from mosaiclib.errors import choice
from mosaiclib.units import told

_FONTS = {voice: ", ".join(f"'{f}'" if " " in f else f for f in faces) for voice, faces in FACES.items()}
_PEN = 'stroke-linejoin="round" stroke-linecap="butt"'


def to_svg(drawing: Drawing, *, scale: str = "screen") -> str:
    """Write a drawing as one svg element with title and description; all that a person typed is escaped.

    On the "screen" it is as wide as its place, at "true" scale as many millimetres as the drawing, for print.

    >>> to_svg(Drawing(210, 297, "An empty sheet"), scale="true")[:78]
    '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="'
    """
    choice(scale, "scale", ("screen", "true"))
    wide, high = f"{drawing.width:.7g}", f"{drawing.height:.7g}"
    if scale == "true":
        size = f'width="{wide}mm" height="{high}mm"'
    else:
        wider = drawing.width / drawing.height
        most = f"min(var(--wide,{SCREEN[0]}px),calc(var(--high,{SCREEN[1]}px)*{wider:.4g}))"  # a page sets its own room
        size = f'width="100%" style="display:block;max-width:{most};height:auto"'
    head = f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="0 0 {wide} {high}" role="img">'
    words = (
        f"<title>{_safe(drawing.told(drawing.title))}</title><desc>{_safe(drawing.told(drawing.description))}</desc>"
    )
    back = f'<rect width="{wide}" height="{high}" fill="{drawing.ground}"/>' if drawing.ground else ""
    places = 3 if scale == "true" else 2
    return "".join((head, words, back, *_items(drawing.items, drawing, places), "</svg>"))


def _safe(words: object) -> str:
    """Return words that can stand anywhere in the file."""
    return escape(clean(words), quote=True)


def _all_safe(sentences: Sequence[str]) -> list[str]:
    """Return many sentences as `_safe` does, at once because that is three times as quick."""
    apart = "\ue0ff"  # a sign that stands for nothing; should a person type it, each is done by itself
    found = _safe(apart.join(sentences)).split(apart)
    return found if len(found) == len(sentences) else [_safe(words) for words in sentences]


def _items(items: tuple, of: Drawing, places: int) -> Iterator[str]:
    """Write each item."""
    for item in items:
        yield from _WRITERS[type(item)](item, of, places)


def _runs(shapes: np.ndarray, height: float, places: int, close: str) -> list[str]:
    """Return the path data of each ring or stroke, y turned down."""
    xy, ring = shapely.get_coordinates(shapes, return_index=True)
    xy[:, 1] = height - xy[:, 1]
    form = f"%.{places}f %.{places}f"
    points = [form % (x, y) for x, y in xy.tolist()]
    ends = np.append(np.flatnonzero(np.diff(ring)) + 1, len(ring)).tolist() if len(ring) else []
    drop = 1 if close else 0  # a ring's last point is its first one again
    return [f"M{'L'.join(points[a : b - drop])}{close}" for a, b in zip([0, *ends], ends, strict=False)]


def _outlines(shapes: np.ndarray, height: float, places: int) -> list[str]:
    """Return the path data of each shape, holes and parts included."""
    parts, owner = shapely.get_parts(shapes, return_index=True)
    if shapely.get_num_interior_rings(parts).any():
        parts = shapely.orient_polygons(parts)  # holes run against their outline, so that they stay empty
    rings, part = shapely.get_rings(parts, return_index=True)
    runs = _runs(rings, height, places, "Z")
    if len(runs) == len(shapes):
        return runs
    data = [""] * len(shapes)
    for index, run in zip(owner[part].tolist(), runs, strict=True):
        data[index] += run
    return data


def _stroke(colour: str | None, line: float, dash: tuple[float, ...]) -> str:
    """Return the attributes of a stroke."""
    if colour is None:
        return 'stroke="none"'
    dashes = f' stroke-dasharray="{" ".join(f"{length:.4g}" for length in dash)}"' if dash else ""
    return f'stroke="{colour}" stroke-width="{line:.4g}"{dashes} {_PEN}'


def _polygons(item: Polygons, of: Drawing, places: int) -> Iterator[str]:
    """Write shapes, those of one tone in a row together."""
    if not len(item.shapes):
        return
    data = _outlines(item.shapes, of.height, places)
    fills = [item.fill or "none"] * len(data) if item.fill is None or isinstance(item.fill, str) else item.fill
    name = f' class="{_safe(item.name)}"' if item.name else ""
    yield f"<g {_stroke(item.edge, item.line, item.dash)}>"
    if len(item.hover):
        for path, fill, said in zip(data, fills, _all_safe([told(one, of.unit) for one in item.hover]), strict=True):
            yield f'<path{name} fill="{fill}" d="{path}"><title>{said}</title></path>'
    else:
        for fill, group in groupby(zip(fills, data, strict=True), key=lambda pair: pair[0]):
            yield f'<path{name} fill="{fill}" d="{"".join(path for _, path in group)}"/>'
    yield "</g>"


def _lines(item: Lines, of: Drawing, places: int) -> Iterator[str]:
    """Write strokes as one path."""
    if len(item.paths):
        name = f' class="{_safe(item.name)}"' if item.name else ""
        faint = f' opacity="{item.opacity:.3g}"' if item.opacity < 1 else ""
        data = "".join(_runs(item.paths, of.height, places, ""))
        yield f'<path{name} fill="none" {_stroke(item.colour, item.line, item.dash)}{faint} d="{data}"/>'


def _marks(item: Marks, of: Drawing, places: int) -> Iterator[str]:
    """Write marks; they are not for the mouse."""
    lines, spots = item.drawn
    yield '<g pointer-events="none">'
    yield from _lines(lines, of, places)
    yield from _polygons(spots, of, places)
    yield "</g>"


def _text(item: Text, of: Drawing, places: int) -> Iterator[str]:
    """Write words; they let the mouse through to the piece below."""
    x, y = f"{item.x:.{places}f}", f"{of.height - item.y:.{places}f}"
    name = f' class="{_safe(item.name)}"' if item.name else ""
    turn = f' transform="rotate({-item.turn:.6g} {x} {y})"' if item.turn else ""
    drop = f' dy="{item.foot:.4g}"' if item.middle else ""
    anchor = f' text-anchor="{item.anchor}"' if item.anchor != "start" else ""
    yield (
        f'<text{name} x="{x}" y="{y}"{drop}{anchor}{turn} font-family="{_FONTS[item.voice]}"'
        f' font-size="{item.size:.4g}" fill="{item.colour}" pointer-events="none">{_safe(of.told(item.words, label=True))}</text>'
    )


def _window(item: Window, of: Drawing, places: int) -> Iterator[str]:
    """Write a window as an inner picture: it cuts exactly and, unlike a clip path, needs no id."""
    x0, y0, x1, y1 = item.box
    if x1 <= x0 or y1 <= y0:
        return
    at = " ".join(f"{value:.{places}f}" for value in (x0, of.height - y1, x1 - x0, y1 - y0))
    x, y, wide, high = at.split()
    yield f'<svg x="{x}" y="{y}" width="{wide}" height="{high}" viewBox="{at}" overflow="hidden">'
    yield from _items(item.items, of, places)
    yield "</svg>"


_WRITERS = {Polygons: _polygons, Lines: _lines, Text: _text, Marks: _marks, Window: _window}
