"""Charts in millimetres: bands, bars, lines and dots on two axes, and a bar of waits under a picture."""

__all__ = ["Plot", "round_steps", "wait_bar"]

from collections.abc import Mapping, Sequence
from typing import Protocol

import numpy as np
import shapely

from mosaiclib.drawing.canvas import Drawing, Lines, Polygons, Text, Window, segments
from mosaiclib.drawing.palette import ACCENT, BAND_WAIT, GLASS_COLOURS, GRID, INK, LETTER, PAPER, SOFT
from mosaiclib.errors import number

SIZE = 3.2  # [mm] text size; all around the field follows it
ABOVE, BELOW, LEFT, RIGHT = (length / SIZE for length in (10.0, 16.0, 18.0, 6.0))  # room round the field, in text sizes
ROW = 4.6 / SIZE  # from one line of the key to the next


def round_steps(low: float, high: float, most: int = 7) -> np.ndarray:
    """Return round numbers, evenly apart, from at or below `low` to at or above `high`; about `most` of them.

    >>> round_steps(-0.31, 1.7).tolist()
    [-0.5, 0.0, 0.5, 1.0, 1.5, 2.0]
    """
    least = max(high - low, 1e-9) / (most - 1)
    power = 10.0 ** np.floor(np.log10(least))
    step = next(share * power for share in (1, 2, 5, 10) if share * power >= least - 1e-12)
    return np.arange(np.floor(low / step + 1e-9), np.ceil(high / step - 1e-9) + 1) * step


class Plot:
    """Two axes on which bands, bars, lines and dots are laid, on a field of width by height [mm].

    `across` and `up` are the ends of the axes, `words` stand along them with units in square brackets, `ticks` are
    where they are marked: numbers, or numbers with the words for them; `log` says which axis goes by powers. What
    reaches out of the field is cut off; dots outside are counted in the key.

    >>> plot = Plot((0, 4), (0, 10), ("joint [mm]", "energy [J/m2]"), ([0, 2, 4], [0, 5, 10]))
    >>> plot.line([0, 4], [1, 9], "#2f6690")
    >>> len(plot.drawing("Energy", "It rises.").items) > 5
    True
    """

    def __init__(
        self,
        across: tuple[float, float],
        up: tuple[float, float],
        words: tuple[object, object],
        ticks: tuple[Sequence[float] | Mapping[float, str], Sequence[float] | Mapping[float, str]],
        *,
        log: tuple[bool, bool] = (False, False),
        width: float = 120.0,
        height: float = 78.0,
        size: float = SIZE,
    ) -> None:
        self.ends, self.words, self.log, self.size = (across, up), words, log, size
        self.ticks = [each if isinstance(each, Mapping) else {at: f"{at:.10g}" for at in each} for each in ticks]
        self.field = (number(width, "width", "mm", above=0), number(height, "height", "mm", above=0))
        self.behind, self.over, self.beside = [], [], []  # under the grid, over it, and not cut off at the field
        self.keys, self.names, self.outside = 0, [], 0

    def place(self, values: object, axis: int) -> np.ndarray:
        """Return where values stand on an axis, from the lower left corner of the field [mm]."""
        low, high = self.ends[axis]
        at = np.asarray(values, dtype=float)
        if self.log[axis]:  # 0 has no place on an axis of powers: it lies far below
            low, high, at = np.log(low), np.log(high), np.log(np.maximum(at, 1e-12))
        return (at - low) / (high - low) * self.field[axis]

    def band(self, x: object, low: object, high: object, tone: str) -> None:
        """Fill between two curves, arrays of shape (n,)."""
        x, low, high = self.place(x, 0), self.place(low, 1), self.place(high, 1)
        edge = np.concatenate([np.stack([x, low], 1), np.stack([x, high], 1)[::-1]])
        self.behind.append(Polygons([shapely.Polygon(edge)], tone))

    def bar(self, words: str, low: float, high: float, tone: str) -> int:
        """Draw a level bar, its words left of the field, and return its number; each takes 1 of the axis up."""
        row = len(self.names)
        self.names.append(words)
        self.span(row, low, high, tone)
        y0, y1 = self.place([row + 0.25, row + 0.75], 1)
        self.beside.append(Text(-0.6 * self.size, (y0 + y1) / 2, words, self.size, "end", colour=INK, middle=True))
        return row

    def span(self, row: int, low: float, high: float, tone: str, *, least: float = 0.1, thick: float = 0.5) -> None:
        """Draw a level stretch on the row of a bar, `least` wide [mm], its thickness a share of the row."""
        (x0, x1), (y0, y1) = self.place([low, high], 0), self.place([row + 0.5 - thick / 2, row + 0.5 + thick / 2], 1)
        self.over.append(Polygons([shapely.box(x0, min(y0, y1), max(x1, x0 + least), max(y0, y1))], tone))

    def line(
        self, x: object, y: object, tone: str, *, dash: tuple[float, ...] = (), width: float = 0.7, opacity: float = 1.0
    ) -> None:
        """Draw a curve, y of shape (n,), or several, (m, n), over the same x."""
        up = np.atleast_2d(self.place(y, 1))
        paths = shapely.linestrings(np.stack([np.broadcast_to(self.place(x, 0), up.shape), up], axis=-1))
        self.over.append(Lines(paths, tone, width, dash, opacity))

    def dots(self, x: object, y: object, tone: str, size: float = 0.7) -> None:
        """Draw small squares, arrays of shape (n,)."""
        at, half = np.stack([self.place(x, 0), self.place(y, 1)]), size / 2
        inside = ((at >= 0) & (at <= np.array(self.field)[:, None])).all(axis=0)
        self.outside += int((~inside).sum())
        across, up = at[:, inside]
        self.over.append(Polygons(shapely.box(across - half, up - half, across + half, up + half), tone))

    def mark(self, x: float, words: object, tone: str, width: float = 0.4) -> None:
        """Draw an upright line through the field with words above it."""
        self.line([x, x], self.ends[1], tone, width=width)
        at = float(self.place(x, 0))
        self.beside.append(Text(at, self.field[1] + 0.4 * self.size, words, self.size, "middle", colour=tone))

    def key(self, words: object, tone: str, dash: tuple[float, ...] = ()) -> None:
        """Add a line to the key, inside the upper left corner."""
        size, y = self.size, self.field[1] - 4.0 / SIZE * self.size - ROW * self.size * self.keys
        stroke = np.array([2, 1, 10, 1]) / SIZE * size + [0, y, 0, y]
        self.beside += [Lines(segments(stroke), tone, 1.0, dash), Text(12 / SIZE * size, y, words, size, colour=INK)]
        self.keys += 1

    def drawing(self, title: str, description: object) -> Drawing:
        """Return the chart."""
        (wide, high), size = self.field, self.size
        left = max(LEFT, LETTER * max(map(len, self.names), default=0) + 1.2) * size
        foot, top = (BELOW if self.words[0] else 2.2) * size, (ABOVE if self.words[1] else 2.0) * size
        last = max(self.ticks[0], default=0.0)  # its words may reach further than the field
        reach = float(self.place(last, 0)) - wide + LETTER * len(self.ticks[0].get(last, "")) / 2 * size
        if self.outside:
            self.key(f"{self.outside} dots lie outside", PAPER)
            self.outside = 0
        seen = [Window(tuple(items), (0.0, 0.0, wide, high)) for items in (self.behind, self.over)]
        frame = Lines(segments([[0, 0, wide, 0], [0, 0, 0, high]]), SOFT, 0.3)
        items = (seen[0], *self._scale(), frame, seen[1], *self.beside)
        words = (
            Text(left + wide / 2, 3.5 / SIZE * size, self.words[0], 1.125 * size, "middle", colour=INK),
            Text(left - 5 * size, foot + high + 1.25 * size, self.words[1], 1.125 * size, colour=INK),
        )
        placed = [item.placed(False, left, foot) for item in items] + [each for each in words if each.words]
        return Drawing(left + wide + max(RIGHT * size, reach), foot + high + top, title, description, placed, PAPER)

    def _scale(self) -> list:
        """Return the lines of the grid and the words at the ticks."""
        (wide, high), size = self.field, self.size
        across, up = (self.place(list(ticks), axis) for axis, ticks in enumerate(self.ticks))
        lines = segments([[x, 0, x, high] for x in across] + [[0, y, wide, y] for y in up])
        grid = Lines(lines, GRID, 0.2)
        under = [
            Text(x, -5 / SIZE * size, said, size, "middle", colour=SOFT)
            for x, said in zip(across, self.ticks[0].values(), strict=True)
        ]
        beside = [
            Text(-2 / SIZE * size, y - 1.1 / SIZE * size, said, size, "end", colour=SOFT)
            for y, said in zip(up, self.ticks[1].values(), strict=True)
        ]
        return [grid, *under, *beside]


TICKS = ((6, "6 h"), (24, "1 day"), (72, "3 days"), (168, "7 days"), (336, "14 days"), (720, "30 days"))
LONGEST = (720.0, 2000.0)  # [h] the scale reaches at least and, for waits alone, at most so far


class Spread(Protocol):
    """A time with its band [h]."""

    least: float
    usual: float
    most: float


def wait_bar(
    picture: Drawing,
    steps: Mapping[str, Spread],
    now: float,
    *,
    key: Mapping[str, str],
    title: str,
    description: object,
) -> Drawing:
    """Set a bar of waits [h] under a picture, with a key of the picture's tones; time runs with its root, as the cure does.

    >>> from mosaiclib.adhesive.cure import Wait
    >>> both = wait_bar(Drawing(100, 60, "a"), {"Can turn": Wait(0.5, 1, 2)}, 24, key={}, title="Waits", description="")
    >>> both.height > 60
    True
    """
    size = picture.width / 40
    longest = max([LONGEST[0], now, *(min(one.most, LONGEST[1]) for one in steps.values())])
    ticks = {hours**0.5: said for hours, said in TICKS if hours <= longest}
    field = {"width": 0.77 * picture.width, "height": 2 * size * max(len(steps), 1), "size": size}
    plot = Plot((0.0, longest**0.5), (max(len(steps), 1), 0), ("", ""), (ticks, ()), **field)
    for words, one in steps.items():
        row = plot.bar(words, one.least**0.5, one.most**0.5, BAND_WAIT)
        plot.line([one.usual**0.5] * 2, [row + 0.2, row + 0.8], GLASS_COLOURS["bottle green"].fill, width=0.25 * size)
    plot.mark(now**0.5, f"now: {now:g} h", ACCENT, 0.12 * size)
    bars, foot = plot.drawing("", ""), 1.6 * size
    width = max(picture.width, bars.width)
    middle = (width - picture.width) / 2
    items = [*picture.shifted(middle, bars.height + foot).items, *bars.shifted(0.0, foot).items]
    for place, (words, tone) in enumerate(key.items()):
        x, y = 9.5 * size + place * 10 * size, 0.4 * size
        items += [
            Polygons([shapely.box(x, y, x + size, y + size)], tone, INK, 0.03 * size),
            Text(x + 1.5 * size, y + 0.2 * size, words, 0.9 * size, colour=SOFT),
        ]
    return Drawing(width, picture.height + bars.height + foot, title, description, tuple(items), PAPER)
