"""Charts in the house style: a figure and its axes, never pyplot, sent to the page as an image with words."""

__all__ = ["as_img", "chart", "figure_png"]

import base64
import io
from functools import cache
from html import escape
from typing import TYPE_CHECKING

from mosaiclib.drawing.canvas import clean
from mosaiclib.drawing.matplotlib_writer import INCH, save
from mosaiclib.drawing.palette import EDGE, FACES, GLASS_COLOURS, INK, PAPER, SOFT
from mosaiclib.errors import MosaicError, number, whole_number

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

GRID = "#e2ded3"
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
            self.tick_params(colors=SOFT, labelsize=9, grid_color=GRID, grid_linewidth=0.7)

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
