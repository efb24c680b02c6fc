"""Write a drawing through matplotlib, for PNG and PDF: the same shapes and tones as the SVG."""

__all__ = ["to_figure", "to_png"]

import io
from collections.abc import Sequence
from itertools import groupby
from typing import TYPE_CHECKING

import numpy as np
import shapely

from mosaiclib.drawing.canvas import Drawing, Lines, Marks, Polygons, Text, Window
from mosaiclib.drawing.palette import WHITE
from mosaiclib.errors import whole_number
from mosaiclib.units import INCH

if TYPE_CHECKING:  # matplotlib is loaded when a figure is first asked for: pictures on the screen do without
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

POINT = 72 / INCH  # [points/mm]
# What a person's own matplotlib settings must not change: size, letters, dashes.
SETTINGS = {
    "savefig.bbox": "standard",
    "savefig.facecolor": "auto",
    "savefig.edgecolor": "auto",
    "savefig.transparent": False,
    "pdf.fonttype": 42,
    "pdf.use14corefonts": False,
    "pdf.compression": 6,
    "lines.scale_dashes": True,
    "text.usetex": False,
    "path.snap": False,
    "path.effects": [],
    "path.sketch": None,
}


def to_figure(drawing: Drawing) -> "Figure":
    """Make a matplotlib figure of exactly the drawing's size, not known to pyplot: one axes with limits in mm.

    >>> (to_figure(Drawing(254, 127, "")).get_size_inches() * 25.4).round(6).tolist()
    [254.0, 127.0]
    """
    import matplotlib
    from matplotlib.figure import Figure

    with matplotlib.rc_context(SETTINGS):
        size = (drawing.width / INCH, drawing.height / INCH)
        figure = Figure(figsize=size, facecolor=drawing.ground or WHITE, dpi=100)
        axes = figure.add_axes((0, 0, 1, 1), xlim=(0, drawing.width), ylim=(0, drawing.height))
        axes.set_axis_off()
        _add(axes, drawing.items, drawing, None)
    return figure


def to_png(drawing: Drawing, width_px: int = 1200) -> bytes:
    """Write a drawing as a PNG, 16 to 20,000 pixels wide; the same drawing gives the same bytes.

    >>> to_png(Drawing(40, 30, ""), 400)[1:4]
    b'PNG'
    """
    wide = whole_number(width_px, "width of the picture in pixels", least=16, greatest=20_000)
    buffer = io.BytesIO()
    dots = wide / (drawing.width / INCH)
    save(to_figure(drawing), buffer, format="png", dpi=dots, metadata={"Software": None})
    return buffer.getvalue()


def save(figure: "Figure", target: object, **how: object) -> None:
    """Save a figure with the house's settings; letters that no font has come out as boxes, unremarked."""
    import warnings

    import matplotlib

    with matplotlib.rc_context(SETTINGS), warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph .* missing from")
        figure.savefig(target, **how)


def _add(axes: "Axes", items: tuple, of: Drawing, clip: object) -> None:
    """Add items, each above the one before."""
    for kind, run in groupby(items, type):
        if kind is Text:
            _texts(axes, list(run), of, clip)
        else:
            for item in run:
                _WRITERS[kind](axes, item, of, clip)


def _placed(axes: "Axes", artist: object, clip: object) -> None:
    """Add one artist on top, cut to the window if there is one."""
    artist.set_zorder(1)  # equal ones are drawn in the order in which they were added
    axes.add_artist(artist)
    if clip is None:
        artist.set_clip_on(False)
    else:
        artist.set_clip_box(clip)


def _broken(dash: tuple[float, ...], line: float) -> object:
    """Return a dash pattern; matplotlib counts it in line widths."""
    return (0, tuple(length / line for length in dash)) if dash and line > 0 else "solid"


def _path(shape: object) -> object:
    """Return one shape with holes and parts as a path."""
    from matplotlib.path import Path

    rings = shapely.get_rings(shapely.get_parts(shapely.orient_polygons(shape)))
    return Path.make_compound_path(*(Path(shapely.get_coordinates(ring), closed=True) for ring in rings))


def _polygons(axes: "Axes", item: Polygons, of: Drawing, clip: object) -> None:
    """Add shapes: plain ones as a whole, those with holes or parts as paths."""
    from matplotlib.collections import PathCollection, PolyCollection

    if not len(item.shapes):
        return
    holed = shapely.get_num_interior_rings(item.shapes).any() or shapely.get_num_geometries(item.shapes).max() > 1
    fill = "none" if item.fill is None else item.fill
    style = {
        "facecolors": fill if isinstance(fill, str) else list(fill),
        "edgecolors": item.edge or "none",
        "linewidths": item.line * POINT if item.edge else 0,
        "linestyles": [_broken(item.dash, item.line)],
        "joinstyle": "round",
        "capstyle": "butt",
    }
    if holed:
        found = PathCollection([_path(shape) for shape in item.shapes], **style)
    else:
        plain = shapely.get_geometry(item.shapes, 0)
        found = PolyCollection(_split(shapely.get_exterior_ring(plain)), closed=False, **style)
    found.set_transform(axes.transData)
    _placed(axes, found, clip)


def _split(paths: np.ndarray) -> list[np.ndarray]:
    """Return the points of each ring or stroke."""
    xy, owner = shapely.get_coordinates(paths, return_index=True)
    return np.split(xy, np.flatnonzero(np.diff(owner)) + 1) if len(xy) else []


def _lines(axes: "Axes", item: Lines, of: Drawing, clip: object) -> None:
    """Add strokes as one path of many parts, which is far quicker than a path each."""
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    if not len(item.paths):
        return
    xy, owner = shapely.get_coordinates(item.paths, return_index=True)
    begins = np.append(True, np.diff(owner) > 0)
    found = PathPatch(
        Path(xy, np.where(begins, Path.MOVETO, Path.LINETO)),
        fill=False,
        edgecolor=item.colour,
        linewidth=item.line * POINT,
        linestyle=_broken(item.dash, item.line),
        alpha=item.opacity if item.opacity < 1 else None,
        capstyle="butt",
        joinstyle="round",
    )
    found.set_transform(axes.transData)
    _placed(axes, found, clip)


def _marks(axes: "Axes", item: Marks, of: Drawing, clip: object) -> None:
    """Add marks."""
    lines, spots = item.drawn
    _lines(axes, lines, of, clip)
    _polygons(axes, spots, of, clip)


def _texts(axes: "Axes", items: Sequence[Text], of: Drawing, clip: object) -> None:
    """Add words that follow each other, as typed: a dollar sign is a dollar sign."""
    from mosaiclib.drawing.mpl_words import WordsArtist

    _placed(axes, WordsArtist(items, [of.told(item.words, label=True) for item in items], POINT), clip)


def _window(axes: "Axes", item: Window, of: Drawing, clip: object) -> None:
    """Add a window: a clip box in the drawing's own units."""
    from matplotlib.transforms import Bbox, TransformedBbox

    x0, y0, x1, y1 = item.box
    if x1 > x0 and y1 > y0:
        _add(axes, item.items, of, TransformedBbox(Bbox.from_extents(x0, y0, x1, y1), axes.transData))


_WRITERS = {Polygons: _polygons, Lines: _lines, Marks: _marks, Window: _window}
