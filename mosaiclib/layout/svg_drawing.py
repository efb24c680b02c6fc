"""A drawing of one's own: the paths of an SVG file as guide lines and outlines, at the size that they have on the glass.

Paths and plain shapes are read, in groups and with their transforms. Nothing in a file is run, followed or fetched;
what is not read stands in `left_out`, and a file that is not safe or not whole is refused.
"""

__all__ = ["SvgDrawing"]

import math
import os
import re
import stat
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING
from xml.etree.ElementTree import ParseError, TreeBuilder

import numpy as np
from defusedxml import DefusedXmlException
from defusedxml.ElementTree import DefusedXMLParser
from shapely import Polygon

from mosaiclib.errors import MosaicError, brief, number, plain
from mosaiclib.files import path_named
from mosaiclib.layout.guide import Guide
from mosaiclib.layout.svg_path import (
    AFTER,
    FAR,
    MOST_DATA,
    NUMBER,
    SPACE,
    Stroke,
    data_of,
    frame_of,
    guide_of,
    length_of,
    outline_of_stroke,
    placed,
    strokes_of,
)

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

LARGEST_FILE = 3_000_000  # bytes
MOST_PARTS = 10_000
LONGEST_TRANSFORM = 1000  # letters
DEEPEST = 50  # groups in groups
SIZES = ("width", "height", "size")  # of all lines together, the last the greater of the two
LEAST_TOLERANCE = 0.001  # [mm]
UNITS = {"mm": 1.0, "cm": 10.0, "q": 0.25, "in": 25.4, "pt": 25.4 / 72, "pc": 25.4 / 6, "px": 25.4 / 96, "": 25.4 / 96}
SVG = "{http://www.w3.org/2000/svg}"
LABEL = "{http://www.inkscape.org/namespaces/inkscape}label"
GROUPS = ("g", "a", "switch")
UNSEEN = ("title", "desc", "metadata", "style", "defs", "symbol", "clipPath", "mask", "pattern", "marker", "filter")
UNSEEN += ("linearGradient", "radialGradient", "view")
HIDDEN = re.compile(r"display\s*+:\s*+none|visibility\s*+:\s*+hidden")
SIZE = re.compile(rf"{SPACE}({NUMBER}){SPACE}(mm|cm|q|in|pt|pc|px|%|){SPACE}", re.IGNORECASE)
NUMBERS = re.compile(rf"{SPACE}(?>{NUMBER}{AFTER})*+")
TRANSFORM = re.compile(rf"{SPACE},?+{SPACE}(matrix|translate|scale|rotate|skewX|skewY){SPACE}\(([^()]*+)\){SPACE}")
COUNTS = {"matrix": (6,), "translate": (1, 2), "scale": (1, 2), "rotate": (1, 3), "skewX": (1,), "skewY": (1,)}


@dataclass(frozen=True, eq=False)
class SvgDrawing:
    """The lines of an SVG file by their names, y upwards [mm], and sentences on what was left out.

    A line is called by its label or id, one without is "path 1"; those of a path with several are "name 1", "name 2".

    Examples
    --------
    >>> leaf = SvgDrawing.of_text('<svg><path id="leaf" d="M0 0 A 5 5 0 0 0 8 0 A 5 5 0 0 0 0 0 z"/></svg>', length=120)
    >>> list(leaf.lines), [round(side) for side in leaf.outline().bounds]
    (['leaf'], [-60, -30, 60, 30])
    """

    lines: Mapping[str, Stroke]
    left_out: tuple[str, ...] = ()

    @classmethod
    def read(cls, file: str | os.PathLike, **placed) -> "SvgDrawing":
        """Read an SVG file, which is never changed; placed as `of_text` says."""
        path = path_named(file, "drawing")
        return cls.of_text(_bytes_of(path), plain(path.name), **placed)

    @classmethod
    def of_text(
        cls,
        text: str | bytes,
        name: str = "The drawing",
        *,
        length: float | None = None,
        of: str = "width",
        x: float = 0.0,
        y: float = 0.0,
        turned: float = 0.0,
    ) -> "SvgDrawing":
        """Return the drawing of an SVG text with the middle of its frame at x, y [mm], turned left [degrees].

        It gets the size at which `length` [mm] is the "width" or "height" of all lines together, the greater of the two
        ("size"), or the length along the line that is named; without one the size that the file itself gives, 96 units an
        inch if it gives none.
        """
        root = _root(text, name)
        try:
            lines, left_out = _lines(root)
            if not lines:
                raise MosaicError("It holds no path that could be read.", *(f" {one}" for one in left_out))
            lines = {each: Stroke(one.path * [1, -1], one.closed) for each, one in lines.items()}
            scale = _unit(root) if length is None else _scale(lines, number(length, "length", "mm", above=0), of)
        except MosaicError as told:
            raise MosaicError(f"{plain(name)} cannot be used. ", *told.parts) from None
        return cls(MappingProxyType(_placed(lines, scale, x, y, turned)), tuple(left_out))

    def guide(self, name: str | None = None, tolerance: float = 0.05) -> Guide:
        """Return the guide within `tolerance` [mm] of a line; a closed one turns left, its outside on its right."""
        return self._made(guide_of, name, tolerance)

    def outline(self, name: str | None = None, tolerance: float = 0.05) -> Polygon:
        """Return the outline that a closed line goes round, within `tolerance` [mm]."""
        return self._made(outline_of_stroke, name, tolerance)

    def data(self, name: str | None = None) -> str:
        """Return a line as the path data that a plan holds, y upwards [mm], to 0.0001 mm."""
        return data_of(self.lines[self._named(name)])

    def by_size(self, *, closed: bool = False) -> list[str]:
        """Return the names of the lines, the largest frame first; of the `closed` ones, if only they are wanted."""
        sizes = {name: math.hypot(*_size_of(one)) for name, one in self.lines.items() if one.closed or not closed}
        return sorted(sizes, key=sizes.get, reverse=True)

    def fitted(self, name: str, wide: float, high: float = math.inf) -> "SvgDrawing":
        """Return the drawing so large that the frame of one of its lines just fits a width and height [mm], that line's middle at 0, 0."""
        one = self.lines[self._named(name)]
        scale = min((most / size for most, size in zip((wide, high), _size_of(one), strict=True) if size), default=0.0)
        if not 0 < scale < math.inf:
            raise MosaicError(
                f"The line {brief(name)} cannot be used. It has no size, so nothing says how large it becomes."
            )
        middle = sum(frame_of(one.path)) / 2
        lines = {each: placed(line, scale, 0.0, (0.0, 0.0), middle) for each, line in self.lines.items()}
        return replace(self, lines=MappingProxyType(lines))

    def _made(self, what, name: str | None, tolerance: float):
        tolerance = number(tolerance, "tolerance", "mm", least=LEAST_TOLERANCE)
        name = self._named(name)
        try:
            return what(self.lines[name], tolerance)
        except MosaicError as told:
            raise MosaicError(f"The line {brief(name)} cannot be used. ", *told.parts) from None

    def _named(self, name: str | None) -> str:
        if name is None and len(self.lines) == 1:
            return next(iter(self.lines))
        if not isinstance(name, str) or name not in self.lines:
            known = plain(", ".join(self.lines), 400)
            raise MosaicError(f"The drawing has no line {brief(name)}; choose one of: {known}.")
        return name


def _bytes_of(file: Path) -> bytes:
    """Return what a file holds, with a sentence where it cannot be a drawing."""
    name = plain(file.name)
    try:
        about = file.stat()
        if not stat.S_ISREG(about.st_mode):
            raise MosaicError(f"{name} is not a plain file; give the SVG file of a drawing.")
        if about.st_size > LARGEST_FILE:
            _refuse_size(name)
        return file.read_bytes()
    except FileNotFoundError:
        raise MosaicError(f"There is no file called {name} here.") from None
    except (OSError, ValueError) as wrong:
        if isinstance(wrong, MosaicError):
            raise
        raise MosaicError(f"{name} cannot be opened: {getattr(wrong, 'strerror', None) or wrong}.") from None


def _refuse_size(name: str) -> None:
    raise MosaicError(f"{name} is larger than 3 MB; take pictures out of it and save it anew as a plain SVG.")


class _TooMany(Exception):
    """More parts than a drawing may have."""


class _Tree(TreeBuilder):
    """Stops at more parts than a drawing may have, before a computer's time and memory go."""

    parts = 0

    def start(self, *element):
        self.parts += 1
        if self.parts > MOST_PARTS:
            raise _TooMany
        return super().start(*element)


class _Parser(DefusedXMLParser):
    """Lets a plain DOCTYPE pass, which many programs write, but no declarations in it: they can multiply a text."""

    def defused_start_doctype_decl(self, name, sysid, pubid, has_internal_subset):
        if has_internal_subset:
            super().defused_start_doctype_decl(name, sysid, pubid, has_internal_subset)


def _root(text: str | bytes, name: str) -> "Element":
    """Return the root of an SVG text, or say why it is none; entities are neither read nor followed."""
    if not isinstance(text, str | bytes):
        raise MosaicError(f"The drawing must be the text of an SVG file, not {brief(text)}.")
    if len(text) > LARGEST_FILE:
        _refuse_size(plain(name))
    try:
        parser = _Parser(target=_Tree(), forbid_dtd=True)
        parser.feed(text)
        root = parser.close()
    except _TooMany:
        raise MosaicError(
            f"{plain(name)} has over {MOST_PARTS} parts; take out what is not wanted and save it anew as a plain SVG."
        ) from None
    except DefusedXmlException:
        raise MosaicError(
            f"{plain(name)} declares entities or the like, which a drawing does not need; save it anew as a plain SVG."
        ) from None
    except (ParseError, ValueError, LookupError, RecursionError):  # broken, cut off, or letters that are no text
        raise MosaicError(f"{plain(name)} is not a whole SVG file; save it anew as a plain SVG.") from None
    if _tag(root) != "svg":
        raise MosaicError(f"{plain(name)} is not a drawing in SVG; it begins with {brief(root.tag)}.")
    return root


def _tag(element: "Element") -> str:
    """Return the name of a part of SVG, "" of anything else."""
    tag = element.tag if isinstance(element.tag, str) else ""
    tag = tag.removeprefix(SVG)
    return "" if "{" in tag else tag


def _lines(root: "Element") -> tuple[dict[str, Stroke], list[str]]:
    """Return the strokes by name as drawn, y downwards, and what was left out."""
    lines: dict[str, Stroke] = {}
    missed: Counter[str] = Counter()
    letters = 0
    for count, (element, matrix) in enumerate(_shown(root, missed), 1):
        data = _data(element)
        letters += len(data)
        if letters > MOST_DATA:
            raise MosaicError(f"Its paths are over {MOST_DATA} letters long. Draw with fewer points.")
        name = plain(element.get(LABEL) or element.get("id") or f"path {count}")
        try:
            strokes = [Stroke(one.path @ matrix[:2, :2].T + matrix[:2, 2], one.closed) for one in strokes_of(data)]
        except MosaicError as told:
            raise MosaicError(f"The path {brief(name)}: ", *told.parts) from None
        for i, stroke in enumerate(strokes, 1):
            lines[_free(f"{name} {i}" if len(strokes) > 1 else name, lines)] = stroke
    return lines, [f"Left out: {what} ({times})." for what, times in missed.items()]


def _free(name: str, taken: Mapping[str, Stroke]) -> str:
    """Return a name that is not taken."""
    if name not in taken:
        return name
    return next(free for i in range(2, len(taken) + 3) if (free := f"{name} ({i})") not in taken)


def _shown(root: "Element", missed: Counter[str]) -> Iterator[tuple["Element", np.ndarray]]:
    """Return paths and shapes in the order of drawing, each with its matrix, (3, 3); count what is left out."""
    waiting = [(root, np.eye(3), 0)]
    while waiting:
        element, matrix, depth = waiting.pop()
        tag = _tag(element)
        if depth > DEEPEST:
            raise MosaicError(f"Its groups lie over {DEEPEST} deep in each other. Ungroup them.")
        if not tag or tag in UNSEEN:
            continue
        if element.get("display") == "none" or HIDDEN.search(element.get("style", "")):
            missed["hidden part"] += 1
        elif tag in GROUPS or element is root:
            if tag == "a":
                missed["link"] += 1
            inside = _times(matrix, element)
            waiting += [(child, inside, depth + 1) for child in reversed(element)]
        elif tag in SHAPES or tag == "path":
            yield element, _times(matrix, element)
        else:
            missed[plain(tag, 20)] += 1


def _times(matrix: np.ndarray, element: "Element") -> np.ndarray:
    """Return the matrix inside an element that may have a transform of its own."""
    words = element.get("transform", "").strip()
    if len(words) > LONGEST_TRANSFORM:
        raise MosaicError(f"One of its transforms is over {LONGEST_TRANSFORM} letters long.")
    at = 0
    while at < len(words):
        found = TRANSFORM.match(words, at)
        values = _numbers(found[2], "transform") if found else []
        if not found or len(values) not in COUNTS[found[1]]:
            raise MosaicError(f"The transform {brief(words[at : at + 40])} cannot be read.")
        matrix, at = matrix @ _matrix(found[1], *values), found.end()
    if not np.abs(matrix).max() < FAR or not abs(np.linalg.det(matrix)) > FAR**-2:
        raise MosaicError("Its transforms shrink or stretch it beyond measure.")
    return matrix


def _matrix(what: str, *v: float) -> np.ndarray:
    """Return the matrix of one transform, (3, 3), as the recommendation has it."""
    if what == "matrix":
        return np.array([[v[0], v[2], v[4]], [v[1], v[3], v[5]], [0, 0, 1]])
    if what == "translate":
        return np.array([[1, 0, v[0]], [0, 1, v[1] if len(v) > 1 else 0], [0, 0, 1]])
    if what == "scale":
        return np.diag([v[0], v[-1], 1.0])
    angle = math.radians(v[0])
    if what == "rotate":
        about = np.array([[1, 0, v[1]], [0, 1, v[2]], [0, 0, 1]]) if len(v) > 1 else np.eye(3)
        cos, sin = math.cos(angle), math.sin(angle)
        return about @ np.array([[cos, -sin, 0], [sin, cos, 0], [0, 0, 1]]) @ np.linalg.inv(about)
    skew = np.eye(3)
    skew[(0, 1) if what == "skewX" else (1, 0)] = math.tan(angle)
    return skew


def _numbers(words: str, what: str) -> list[float]:
    """Return numbers with spaces or commas between them, all finite and within reach."""
    if not NUMBERS.fullmatch(words):
        raise MosaicError(f"The {what} {brief(words)} cannot be read.")
    found = [float(one) for one in re.findall(NUMBER, words)]
    if any(abs(one) > FAR for one in found):
        raise MosaicError(f"The {what} {brief(words)} holds a number over {FAR:g}.")
    return found


def _size(element: "Element", name: str, usual: str = "0") -> tuple[float, str]:
    """Return a length of an element as written, and its unit."""
    words = element.get(name, usual)
    found = SIZE.fullmatch(words) if len(words) < 100 else None
    if not found or abs(float(found[1])) > FAR:
        raise MosaicError(f"Its {name} {brief(words)} cannot be read.")
    return float(found[1]), found[2].lower()


def _units(element: "Element", *names: str) -> list[float]:
    """Return lengths of a shape in units of the drawing."""
    found = []
    for name in names:
        value, unit = _size(element, name)
        if unit == "%":
            raise MosaicError(f"The {name} of a {_tag(element)} is given in per cent, which is not read.")
        found.append(value * UNITS[unit] / UNITS["px"])
    return found


def _data(element: "Element") -> str:
    """Return the path data of a path or a plain shape; "" where nothing is drawn."""
    tag = _tag(element)
    return element.get("d", "M0 0").strip() or "M0 0" if tag == "path" else SHAPES[tag](element) or "M0 0"


def _rectangle(element: "Element") -> str:
    x, y, w, h, rx, ry = _units(element, "x", "y", "width", "height", "rx", "ry")
    rx, ry = (rx if element.get("rx") else ry), (ry if element.get("ry") else rx)
    rx, ry = min(abs(rx), w / 2), min(abs(ry), h / 2)
    if w <= 0 or h <= 0:
        return ""
    if not rx or not ry:
        return f"M{x} {y} h{w} v{h} h{-w} z"
    turn = f"a{rx} {ry} 0 0 1"
    across, down = w - 2 * rx, h - 2 * ry
    return (
        f"M{x + rx} {y} h{across} {turn} {rx} {ry} v{down} {turn} {-rx} {ry} h{-across} {turn} {-rx} {-ry} v{-down} "
        f"{turn} {rx} {-ry} z"
    )


def _oval(element: "Element") -> str:
    cx, cy, *r = _units(element, "cx", "cy", *(("r",) if _tag(element) == "circle" else ("rx", "ry")))
    rx, ry = r[0], r[-1]
    return f"M{cx + rx} {cy} a{rx} {ry} 0 0 1 {-2 * rx} 0 a{rx} {ry} 0 0 1 {2 * rx} 0 z" if min(rx, ry) > 0 else ""


def _straight(element: "Element") -> str:
    x1, y1, x2, y2 = _units(element, "x1", "y1", "x2", "y2")
    return f"M{x1} {y1} L{x2} {y2}"


def _polygon(element: "Element") -> str:
    words = element.get("points", "").strip()
    return f"M{words}{'z' if _tag(element) == 'polygon' else ''}" if words else ""


SHAPES = {
    "rect": _rectangle,
    "circle": _oval,
    "ellipse": _oval,
    "line": _straight,
    "polyline": _polygon,
    "polygon": _polygon,
}


def _unit(root: "Element") -> float:
    """Return how long a unit of the drawing is by its own width, height and viewBox [mm]."""
    box = root.get("viewBox")
    if box is None:
        return UNITS["px"]
    seen = _numbers(box.strip(), "viewBox")
    if len(seen) != 4 or min(seen[2:]) <= 0:
        raise MosaicError(f"Its viewBox {brief(box)} must be four numbers, the last two greater than 0.")
    sizes = [_size(root, name, "100%") for name in ("width", "height")]
    scales = [value * UNITS[unit] / side for (value, unit), side in zip(sizes, seen[2:], strict=True) if unit != "%"]
    if any(scale <= 0 for scale in scales):
        raise MosaicError("Its width and height must be greater than 0.")
    return min(scales, default=UNITS["px"])  # the whole box is shown, whichever side is short


def _scale(lines: Mapping[str, Stroke], length: float, of: str) -> float:
    """Return how long a unit must be for a width, a height or a line to have a length [mm]."""
    least, greatest = _frame(lines)
    wide, high = greatest - least
    measured = dict(zip(SIZES, (wide, high, max(wide, high)), strict=True))
    measured |= {name: 0.0 for name in lines if name not in measured}
    if not isinstance(of, str) or of not in measured:
        known = plain(", ".join(measured), 400)
        raise MosaicError(f"It has no {brief(of)} that a length could be given of; choose one of: {known}.")
    found = measured[of] if of in SIZES else length_of(lines[of].path)
    if found <= 0:
        raise MosaicError(f"The {brief(of)} of the drawing is 0, so a length says nothing about its size.")
    return length / found


def _size_of(stroke: Stroke) -> np.ndarray:
    low, high = frame_of(stroke.path)
    return high - low


def _frame(lines: Mapping[str, Stroke]) -> tuple[np.ndarray, np.ndarray]:
    return frame_of(np.concatenate([one.path for one in lines.values()]))


def _placed(lines: Mapping[str, Stroke], scale: float, x: float, y: float, turned: float) -> dict[str, Stroke]:
    """Return the lines scaled about the middle of their frame, turned left [degrees], and moved [mm]."""
    spot, angle = (number(x, "x", "mm"), number(y, "y", "mm")), number(turned, "angle turned by", "degrees")
    middle = sum(_frame(lines)) / 2
    return {name: placed(one, scale, angle, spot, middle) for name, one in lines.items()}
