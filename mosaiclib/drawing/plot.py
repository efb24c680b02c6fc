"""Charts in millimetres: lines, bars, bands, and a bar of waits."""

__all__ = ["Plot", "as_img", "chart", "figure_png", "wait_bar"]

import base64
import io
from collections.abc import Mapping, Sequence
from functools import cache
from html import escape
from typing import TYPE_CHECKING, Protocol

import numpy as np
import shapely

from mosaiclib.drawing.canvas import Drawing, Lines, Polygons, Text, clean, segments
from mosaiclib.drawing.mpl import INCH, save
from mosaiclib.drawing.palette import ACCENT, EDGE, FACES, GLASS_COLOURS, INK, PAPER, SOFT
from mosaiclib.errors import MosaicError, number, whole_number

GRID = "#e2ded3"
ABOVE, BELOW, LEFT, RIGHT = 10.0, 16.0, 18.0, 6.0


class Plot:
    """Axes on which bands, lines and dots are laid one over the other.

    Parameters
    ----------
    across, up : tuple of float
        Ends of both axes.
    words : tuple of str
        Words along both axes, units in square brackets.
    ticks : tuple of sequence of float
        Where both axes are marked.
    log : tuple of bool
        Whether an axis goes by powers.
    width, height : float
        Size of the field between the axes [mm].

    Examples
    --------
    >>> plot = Plot((0, 4), (0, 10), ("joint [mm]", "energy [J/m2]"), ([0, 2, 4], [0, 5, 10]))
    >>> plot.line([0, 4], [1, 9], "#2f6690")
    >>> len(plot.drawing("Energy", "It rises.").items) > 5
    True
    """

    def __init__(
        self,
        across: tuple[float, float],
        up: tuple[float, float],
        words: tuple[str, str],
        ticks: tuple[Sequence[float], Sequence[float]],
        *,
        log: tuple[bool, bool] = (False, False),
        width: float = 120.0,
        height: float = 78.0,
    ) -> None:
        self.ends, self.words, self.ticks, self.log = (across, up), words, ticks, log
        self.size = (number(width, "width", "mm", above=0), number(height, "height", "mm", above=0))
        self.items: list = []
        self.over: list = []
        self.keys = 0

    def place(self, values, axis: int) -> np.ndarray:
        """Return where values stand on an axis, held within its ends [mm]."""
        low, high = self.ends[axis]
        held = np.clip(np.asarray(values, dtype=float), low, high)
        if self.log[axis]:
            low, high, held = np.log(low), np.log(high), np.log(held)
        return (LEFT, BELOW)[axis] + (held - low) / (high - low) * self.size[axis]

    def band(self, x, low, high, tone: str) -> None:
        """Fill between two curves, arrays of shape (n,)."""
        across = self.place(x, 0)
        edge = np.concatenate(
            [np.stack([across, self.place(low, 1)], 1), np.stack([across, self.place(high, 1)], 1)[::-1]]
        )
        self.items.append(Polygons([shapely.Polygon(edge)], tone))

    def line(self, x, y, tone: str, *, dash: tuple[float, ...] = (), width: float = 0.7) -> None:
        """Draw a curve, arrays of shape (n,)."""
        path = shapely.linestrings(np.stack([self.place(x, 0), self.place(y, 1)], axis=1))
        self.over.append(Lines([path], tone, width, dash))

    def dots(self, x, y, tone: str, size: float = 0.7) -> None:
        """Draw small squares, arrays of shape (n,)."""
        across, up = self.place(x, 0), self.place(y, 1)
        self.over.append(
            Polygons(shapely.box(across - size / 2, up - size / 2, across + size / 2, up + size / 2), tone)
        )

    def key(self, words: str, tone: str, dash: tuple[float, ...] = ()) -> None:
        """Add a line to the key, inside the upper left corner."""
        y = BELOW + self.size[1] - 4.0 - 4.6 * self.keys
        self.over.append(Lines(segments([[LEFT + 2, y + 1, LEFT + 10, y + 1]]), tone, 1.0, dash))
        self.over.append(Text(LEFT + 12, y, words, 3.2, colour=INK))
        self.keys += 1

    def drawing(self, title: str, description: str) -> Drawing:
        """Return the chart."""
        wide, right, top = self.size[0], LEFT + self.size[0], BELOW + self.size[1]
        lines = [[x, BELOW, x, top] for x in self.place(self.ticks[0], 0)]
        lines += [[LEFT, y, right, y] for y in self.place(self.ticks[1], 1)]
        frame = Lines(segments([[LEFT, BELOW, right, BELOW], [LEFT, BELOW, LEFT, top]]), SOFT, 0.3)
        words = [
            Text(x, BELOW - 5, f"{v:g}", 3.2, "middle", colour=SOFT)
            for x, v in zip(self.place(self.ticks[0], 0), self.ticks[0], strict=True)
        ]
        words += [
            Text(LEFT - 2, y - 1.1, f"{v:g}", 3.2, "end", colour=SOFT)
            for y, v in zip(self.place(self.ticks[1], 1), self.ticks[1], strict=True)
        ]
        words.append(Text(LEFT + wide / 2, 3.5, self.words[0], 3.6, "middle", colour=INK))
        words.append(Text(LEFT - 16, top + 4, self.words[1], 3.6, colour=INK))
        items = (*self.items, Lines(segments(lines), GRID, 0.2), frame, *self.over, *words)
        return Drawing(right + RIGHT, top + ABOVE, title, description, items, PAPER)


if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

GRID_CHARTS = "#e2ded3"
SERIES = ("bottle green", "blue", "amber", "red", "violet", "smoke")
DASHES = ("-", (0, (5, 1.6)), (0, (1.2, 1.2)), (0, (6, 1.4, 1.2, 1.4)), (0, (9, 2)), (0, (3, 3)))


def chart(
    width_mm: float = 160, height_mm: float = 90, *, title: str = "", across: str = "", up: str = ""
) -> tuple["Figure", "Axes"]:
    """Return a figure and its axes in the house style.

    Lines come in the palette's tones and each with dashes of its own, so they can be told apart in grey.

    Parameters
    ----------
    width_mm, height_mm : float
        Size, 20 to 1000 [mm].
    title, across, up : str
        Words above the chart and along its two axes, units in square brackets.

    Returns
    -------
    tuple of Figure and Axes
        Not known to pyplot; keep them, `axes.clear()` and draw again: the style stays.

    Raises
    ------
    MosaicError
        If a size is out of range.

    Examples
    --------
    >>> figure, axes = chart(160, 90, across="time [h]", up="depth [mm]")
    >>> line = axes.plot([0, 1], [0, 1])
    """
    import matplotlib
    from matplotlib.figure import Figure

    wide = number(width_mm, "width of the chart", "mm", least=20, greatest=1000)
    high = number(height_mm, "height of the chart", "mm", least=20, greatest=1000)
    with matplotlib.rc_context(_style()):
        figure = Figure(figsize=(wide / INCH, high / INCH), layout="constrained", facecolor=PAPER)
        axes = figure.add_subplot(axes_class=_house_axes(), xlabel=clean(across), ylabel=clean(up))
        axes.set_title(clean(title), loc="left", fontfamily=FACES["heading"][0], parse_math=False)
    return figure, axes


@cache
def _house_axes() -> type:
    """Return axes that keep the house style when they are cleared: a lesson keeps one and clears it."""
    import matplotlib
    from matplotlib.axes import Axes

    class HouseAxes(Axes):
        def clear(self) -> None:
            with matplotlib.rc_context(_style()):
                super().clear()
            # ticks are made when they are first drawn, outside the house's settings
            self.tick_params(colors=SOFT, labelsize=9, grid_color=GRID_CHARTS, grid_linewidth=0.7)

    return HouseAxes


def _style() -> dict:
    """Return matplotlib settings of the house."""
    from cycler import cycler

    tones = [GLASS_COLOURS[name].fill for name in SERIES]
    return {
        "font.family": FACES["label"][0],
        "font.size": 9,
        "axes.titlesize": 10.5,
        "axes.facecolor": PAPER,
        "axes.edgecolor": EDGE,
        "axes.labelcolor": INK,
        "axes.titlecolor": INK,
        "axes.linewidth": 0.8,
        "axes.spines.top": False,
        "axes.spines.right": False,
        "axes.grid": True,
        "axes.axisbelow": True,
        "axes.prop_cycle": cycler(color=tones) + cycler(linestyle=DASHES),
        "lines.linewidth": 1.8,
    }


def figure_png(figure: "Figure", width_px: int = 1000) -> bytes:
    """Write a figure as a PNG; the same figure gives the same bytes.

    Parameters
    ----------
    figure : Figure
        The figure.
    width_px : int
        Width [pixels], 16 to 20,000.

    Returns
    -------
    bytes
        The file.

    Raises
    ------
    MosaicError
        If the width is out of range.

    Examples
    --------
    >>> figure_png(chart(60, 40)[0], 200)[1:4]
    b'PNG'
    """
    wide = whole_number(width_px, "width of the picture in pixels", least=16, greatest=20_000)
    buffer = io.BytesIO()
    for legend in (axes.get_legend() for axes in figure.axes):
        if legend is not None:  # it is made by the lesson, outside the house's settings
            legend.get_frame().set(facecolor=PAPER, edgecolor="none", alpha=0.9)
    dots = wide / figure.get_size_inches()[0]
    save(figure, buffer, format="png", dpi=dots, metadata={"Software": None})
    return buffer.getvalue()


def as_img(png: bytes, alt: str) -> str:
    """Return a PNG as an img element that holds the picture itself.

    Parameters
    ----------
    png : bytes
        The file.
    alt : str
        What there is to see, in words; escaped.

    Returns
    -------
    str
        The element.

    Raises
    ------
    MosaicError
        If there are no words.

    Examples
    --------
    >>> as_img(b"", "Joint <b> by count")
    '<img alt="Joint &lt;b&gt; by count" style="max-width:100%;height:auto" src="data:image/png;base64,">'
    """
    words = clean(alt)
    if not words:
        raise MosaicError("A picture needs words that say what there is to see.")
    data = base64.b64encode(png).decode("ascii")
    return f'<img alt="{escape(words)}" style="max-width:100%;height:auto" src="data:image/png;base64,{data}">'


BAND, MIDDLE = "#bcd6c8", "#2f6f55"
TICKS = ((1, "1 h"), (6, "6 h"), (24, "1 day"), (72, "3 days"), (168, "7 days"), (336, "14 days"), (720, "30 days"))


class Spread(Protocol):
    """A time with its band [h]."""

    least: float
    usual: float
    most: float


def wait_bar(
    picture: Drawing, steps: Mapping[str, Spread], now: float, *, key: Mapping[str, str], title: str, description: str
) -> Drawing:
    """Set a bar of waits under a picture; time runs with its square root, as the cure does.

    Parameters
    ----------
    picture : Drawing
        What stands above.
    steps : mapping of str to Wait
        Words and times of each step [h].
    now : float
        Time that has passed [h].
    key : mapping of str to str
        Words and tones of what the picture shows.
    title, description : str
        For readers that cannot see it.

    Returns
    -------
    Drawing
        One picture [mm].

    Examples
    --------
    >>> from mosaiclib.adhesive.cure import Wait
    >>> both = wait_bar(Drawing(100, 60, "a"), {"Can turn": Wait(0.5, 1, 2)}, 24, key={}, title="Waits", description="")
    >>> both.height > 60
    True
    """
    bar = _Bar(picture, steps, now)
    items = [*picture.shifted(0.0, bar.foot).items, *bar.scale(), *bar.steps_drawn(), *bar.now_drawn(), *bar.key(key)]
    return Drawing(picture.width, picture.height + bar.foot + 0.6 * bar.size, title, description, tuple(items), PAPER)


class _Bar:
    """Where the parts of the bar stand [mm]."""

    def __init__(self, picture: Drawing, steps: Mapping[str, Spread], now: float) -> None:
        self.steps, self.now, self.size = steps, now, picture.width / 45
        self.left, self.right = 9.5 * self.size, picture.width - 2 * self.size
        self.longest = max([720.0, now, *(min(one.most, 2000.0) for one in steps.values())])
        self.tall = 2.0 * self.size
        self.foot = (len(steps) + 2.6) * self.tall

    def x(self, hours: float) -> float:
        """Return where a time stands: with its square root, as the cure goes."""
        return self.left + (self.right - self.left) * min(max(hours, 0.0) / self.longest, 1.0) ** 0.5

    def scale(self) -> list:
        """Return the lines and words of the scale."""
        size, ticks = self.size, [(hours, words) for hours, words in TICKS if hours <= self.longest]
        top, low = self.foot - 1.6 * size, 2 * self.tall
        lines = segments([[self.x(h), low, self.x(h), top] for h, _ in ticks])
        words = [Text(self.x(h), low - 1.1 * size, said, 0.8 * size, "middle", colour=SOFT) for h, said in ticks]
        return [Lines(lines, "#ddd8cb", 0.06 * size), *words]

    def steps_drawn(self) -> list:
        """Return the band and the middle of each step."""
        size, items = self.size, []
        for row, (words, one) in enumerate(self.steps.items()):
            y = self.foot - (row + 1.6) * self.tall
            first, middle, last = (self.x(hours) for hours in (one.least, one.usual, one.most))
            items += [
                Text(self.left - 0.8 * size, y + 0.2 * size, words, size, "end", colour=INK),
                Polygons([shapely.box(first, y, max(last, first + 0.1), y + size)], BAND),
                Lines(segments([[middle, y - 0.1 * size, middle, y + 1.1 * size]]), MIDDLE, 0.25 * size),
            ]
        return items

    def now_drawn(self) -> list:
        """Return the mark of the time that has passed."""
        at, top = self.x(self.now), self.foot - 1.2 * self.size
        line = Lines(segments([[at, 1.9 * self.tall, at, top]]), ACCENT, 0.12 * self.size)
        words = Text(at, top + 0.15 * self.size, f"now: {self.now:g} h", 0.8 * self.size, "middle", colour=ACCENT)
        return [line, words]

    def key(self, tones: Mapping[str, str]) -> list:
        """Return the key of the picture's tones."""
        size, items = self.size, []
        for place, (words, tone) in enumerate(tones.items()):
            x, y = self.left + place * 9 * size, 0.4 * self.tall
            items.append(Polygons([shapely.box(x, y, x + size, y + size)], tone, INK, 0.03 * size))
            items.append(Text(x + 1.5 * size, y + 0.2 * size, words, 0.8 * size, colour=SOFT))
        return items
