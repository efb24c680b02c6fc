"""What the parts of lesson 02 have in common: handles on a line, marks and colours, the sheets, and drawings that are kept."""

__all__ = [
    "DRAWINGS",
    "FIELD_COLOUR",
    "OWN_POINTS",
    "ROW_COLOURS",
    "SMALL",
    "Ready",
    "between_on",
    "drawing_actions",
    "drawing_in",
    "field_row",
    "gauge_row",
    "glass_controls",
    "handles_on",
    "joint_controls",
    "laid",
    "left_words",
    "magnified",
    "off_joints",
    "only_band",
    "open_rows",
    "opened_points",
    "overlap_words",
    "picture",
    "traced",
    "view_controls",
    "write_sheets",
]

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import shapely

from mosaiclib.cautions import on_paper
from mosaiclib.drawing import SQUARED, Drawing, Polygons, layout_picture, template_sheets, write_pdf
from mosaiclib.drawing import Text as Letters
from mosaiclib.drawing.palette import ACCENT, WARNING
from mosaiclib.errors import MosaicError
from mosaiclib.files import file_set, list_bytes, typed_name
from mosaiclib.job.drawn import BandPart
from mosaiclib.job.lists import cut_list, gauge_list, minded
from mosaiclib.job.shelf import Shelf
from mosaiclib.job.sketch import Sketch
from mosaiclib.layout import (
    NIP,
    Guide,
    Layout,
    Survey,
    SvgDrawing,
    Tile,
    gauge_classes,
    join,
    joints_of,
    lay,
    lay_field,
)
from mosaiclib.layout.lines import READY_MADE
from mosaiclib.lesson.controls import Action, Choice, Length, Range, Switch
from mosaiclib.report import Row
from mosaiclib.units import mm, text

OWN_POINTS = "my own points"
SMALL = "Too small to see"
DRAWINGS = "drawings"  # the folder beside the plans
ROW_COLOURS = ("sea green", "blue", "leaf green", "sky blue", "bottle green", "deep blue")
FIELD_COLOUR = "milk white"
HANDLES = 7  # on a ready-made line
TRACED = 120  # points of a drawn line in the picture
ALONG = (2, 3, 5, 7, 9, 13, 17, 25, 33, 49, 60)  # points that a line which is opened may have
NEAR = 0.25  # [mm] how near to the line a guide through them stays


# --- what is set ------------------------------------------------------------------------------------------


def joint_controls(fold: str) -> tuple[Length | Range, ...]:
    """Return the controls of the joint and of the gauge."""
    return (
        Length("joint", "Joint", 1, 4, 0.1, fold=fold),
        Range("limits", "Joint limits", 0.5, 6, 0.1, fold=fold),
        Length(
            "step", "Gauge step", 0.1, 2, 0.1, fold=fold, help="wedges alike within half of it are cut by one gauge"
        ),
    )


def glass_controls(fold: str) -> tuple[Length, ...]:
    """Return the controls of the glass."""
    return (
        Length("width", "Glass, width", 80, 400, 1, fold=fold),
        Length("height", "Glass, height", 80, 300, 1, fold=fold),
    )


def view_controls(fold: str) -> tuple[Choice | Switch, ...]:
    """Return the controls of what `picture` draws besides the layout."""
    return (
        Choice("squared", "Squared paper", tuple(SQUARED), fold=fold),
        Switch("marked", "Mark joints that are off", fold=fold),
    )


# --- handles on a line -----------------------------------------------------------------------------------


Ends = tuple[float, float]  # where along a line handles begin and end [mm]


def _stations(guide: Guide, count: int, ends: Ends | None) -> np.ndarray:
    return np.linspace(*(ends or (0.0, guide.length * (1 - 1e-9))), count)


def _spread(guide: Guide, count: int, ends: Ends | None = None) -> np.ndarray:
    """Return places evenly along a line, (n, 2) [mm]; a closed one ends before it begins anew."""
    s = _stations(guide, count, ends)
    return guide.at(s[:-1] if guide.closed else s)


def traced(guide: Guide, count: int = TRACED) -> shapely.LineString:
    """Return a line as so many points along it [mm]."""
    return shapely.linestrings(guide.at(np.linspace(0, guide.length * (1 - 1e-9), count)))


def handles_on(
    guide: Guide, points: Sequence[Sequence[float]] = (), ends: Ends | None = None
) -> list[tuple[float, float]]:
    """Return the learner's own points, or handles along a ready-made line, from end to end or between `ends` [mm]."""
    return [tuple(point) for point in points or _spread(guide, HANDLES, ends).round(1).tolist()]


def between_on(
    guide: Guide, points: Sequence[Sequence[float]] = (), ends: Ends | None = None
) -> list[tuple[float, float]]:
    """Return a place on the line between each handle and the next, where another one changes it least [mm]."""
    if points:
        t = guide.parts[0].spline.x
        found = guide.parts[0].spline((t[1:] + t[:-1]) / 2)
    else:
        s = _stations(guide, HANDLES, ends)
        found = guide.at((s[1:] + s[:-1]) / 2)[: len(handles_on(guide)) - 1]
    return [(float(x), float(y)) for x, y in found.round(1)]


class Ready(NamedTuple):
    """A ready-made line by its name and measures, and where it is put, as a plan's line has them [mm, degrees]."""

    name: str
    measures: Mapping[str, float]
    x: float = 0.0
    y: float = 0.0
    turned: float = 0.0

    def guide(self) -> Guide:
        """Return the line on its face [mm]."""
        return READY_MADE[self.name](**self.measures, x=self.x, y=self.y, turned=self.turned)

    def kept(self) -> dict[str, Any]:
        """Return it as a record of a plan's band."""
        return {
            name: value if isinstance(value, str | dict) else float(value) for name, value in self._asdict().items()
        }


# --- the picture and what is told of it ------------------------------------------------------------------


def laid(
    face: shapely.Polygon,
    lines: Sequence,
    tile: Tile,
    joint: float,
    shift: Sequence[float] | None = None,
    *,
    pattern: str,
    **how: Any,
) -> Layout:
    """Lay lines or a motif as `layout.lay` does; where the grid's shift is known, as while a handle moves, it stays there."""
    if shift is None:
        return lay(face, lines, tile, joint, field=pattern, **how)
    alone = lay(face, lines, tile, joint, field=None, **how)
    return join(alone, lay_field(face, alone, tile, joint, shift=shift, pattern=pattern))


def picture(layout: Layout, s: Any, over: Sequence, title: str) -> Drawing:
    """Draw a layout by what is set of the view; while a handle is held nothing is marked or said, so that the picture follows."""
    joints = off_joints(layout) if s.marked and not s.moving else None
    how = {"squared": SQUARED[s.squared], "joints": joints, "hover": not s.moving, "marks": False}
    return layout_picture(layout, over=over, title=title, **how)


def off_joints(layout: Layout) -> tuple[np.ndarray, list[str]]:
    """Return the joints within and between rows that are off, as lines, (m, 4) [mm], with their class."""
    met = joints_of(layout)
    rows = (layout.pieces["band"] != "field").to_numpy()
    ends = np.stack([met.start_gap, met.end_gap])
    narrow, wide = ends.min(axis=0) < layout.joint_min - NIP, ends.max(axis=0) > layout.joint_max + NIP
    off = np.flatnonzero((narrow | wide) & rows[met.first])
    along = _along(layout.shapes, met.first[off], met.second[off])
    half = met.length[off, None] / 2 * along
    lines = np.concatenate([met.middle[off] - half, met.middle[off] + half], axis=1)
    return lines, np.where(narrow[off], "narrow", "wide").tolist()


def _along(shapes: np.ndarray, first: np.ndarray, second: np.ndarray) -> np.ndarray:
    """Return the directions of the joints between pairs of pieces, square to the line between their middles."""
    middles = [shapely.get_coordinates(shapely.centroid(shapes[which])) for which in (first, second)]
    step = middles[1] - middles[0]
    turned = np.stack([-step[:, 1], step[:, 0]], axis=1)
    return turned / np.maximum(np.hypot(turned[:, 0], turned[:, 1]), 1e-9)[:, None]


def magnified(
    box: tuple[float, float, float, float], size: float, head: str, joints: Mapping[str, tuple[float, float]]
) -> list:
    """Draw joints one above the other by their names, from their gaps inside and outside, as many times as wide as there is room for.

    The box is left, low, right and high edge, `size` the text's [mm].
    """
    x0, y0, x1, y1 = box
    middle, part = (x0 + x1) / 2, (y1 - y0) / (len(joints) + 1)
    widest = max(gap for gaps in joints.values() for gap in gaps)
    times = max((n for n in (1, 2, 5, 10, 20, 50, 100) if n * widest <= 0.6 * (x1 - x0)), default=1)
    said = f"{head}, {times} times as wide" if times > 1 else head
    items: list = [Letters(middle, y1 - size, said, size, "middle", colour=ACCENT)]
    for place, (name, (inside, outside)) in enumerate(reversed(joints.items())):
        low = y0 + 1.5 * part * place
        foot, top = low + 1.4 * size, low + part - 1.4 * size
        ends = [(times * max(inside, 0.0) / 2, foot), (times * max(outside, 0.0) / 2, top)]
        corners = [(middle + side * half, y) for side, way in ((-1, 1), (1, -1)) for half, y in ends[::way]]
        under = (
            text("inside ", mm(round(inside, 2)))
            if inside >= 0
            else text("inside they overlap by ", mm(round(-inside, 2)))
        )
        words = text(f"{name}: outside ", mm(round(outside, 2))), under
        items += [Polygons(shapely.Polygon(corners), WARNING, ACCENT, 0.1 * size, name="magnified")]
        at = zip((top + 0.4 * size, low), words, strict=True)
        items += [Letters(middle, y, each, size, "middle") for y, each in at]
    return items


def open_rows(layout: Layout) -> list[Row]:
    """Tell the first places that are left open."""
    return [Row("Left open", "", "", gap.why) for gap in layout.gaps[:3]]


def overlap_words(found: Survey) -> str:
    """Say how many pieces overlap."""
    return f"{found.overlaps} pieces overlap: they cannot be laid like this" if found.overlaps else "no pieces overlap"


def field_row(layout: Layout) -> Row:
    """Tell the pieces of the field, and how many are cut or hollow."""
    field = layout.pieces[layout.pieces["band"] == "field"]
    hollow, cut = int(field["hollow"].sum()), int((field["kind"] == "cut").sum())
    words = f"{cut} of them cut, {hollow} with an edge that curves inwards; places left open: {len(layout.gaps)}"
    return Row("Pieces in the field", len(field), "pieces", words)


def gauge_row(layout: Layout, step: float) -> Row:
    """Tell how many wedges there are and how many gauges they are cut by, and the one that is used most."""
    found = gauge_classes(layout, step)
    if found.empty:
        return Row("Gauges", 0, "gauges", "no piece of the rows is a wedge")
    most, fans = found.iloc[0], " and fan pieces" * bool((layout.pieces["kind"] == "fan").any())
    words = text(
        f"for {found['pieces'].sum()} wedges{fans}, at a step of ",
        mm(step),
        ": ends are off by at most ",
        mm(round(step / 2, 3)),
        f"; the most frequent cuts {most.pieces}, from ",
        mm(round(float(most.wide), 2), round(float(most.narrow), 2)),
    )
    return Row("Gauges", len(found), "gauges", words)


# --- what is written, kept and opened --------------------------------------------------------------------


def write_sheets(layout: Layout, name: str, step: float, folder: Path) -> str:
    """Write the template, the cut list and the gauges of a layout, and say where they are."""
    stem = typed_name(name)
    with file_set(folder, alone=False) as made:
        write_pdf(template_sheets(layout, name=name, up="top"), made / f"{stem}-template.pdf")
        lists = {"cut-list": cut_list(layout, step), "gauges": gauge_list(layout, step)}
        for what, table in lists.items():
            (made / f"{stem}-{what}.csv").write_bytes(list_bytes(minded(table, on_paper("sheet"))))
    names = (f"{folder.name}/{stem}-{what}" for what in ("template.pdf", "cut-list.csv", "gauges.csv"))
    return "{}, {} and {} are written.".format(*names)


def drawing_actions(
    folder: Path,
    start: str,
    write: Callable[[Any, str, Path], str],
    keep: Callable[[Any, str], Sketch],
    opened: Callable[[Any, Sketch], Any],
) -> tuple[Action, ...]:
    """Return the buttons that write the sheets, and keep and open a drawing by its name; `start` stands in their box."""
    shelf, box = Shelf(folder / DRAWINGS, Sketch), ("Name", start)

    def load(s: Any, name: str) -> tuple[Any, str]:
        found = shelf.load(name)
        return opened(s, found), f"{found.name} is open."

    return (
        Action("print", "Write template, cut list and gauges", lambda s, name: write(s, name, folder), *box),
        Action("save", "Keep the drawing", lambda s, name: shelf.save(keep(s, name), name), *box),
        Action("load", "Open a drawing", load, *box, fresh=True),
    )


def drawing_in(file: Mapping[str, Any], *, closed: bool) -> tuple[SvgDrawing, list[str]]:
    """Return the drawing in an SVG file that was chosen, and those of its lines that can be used, the largest first."""
    name = str(file["name"])
    drawing = SvgDrawing.of_text(bytes(file["content"]), name, length=100, of="size")
    names = drawing.by_size(closed=closed)
    if not names:
        raise MosaicError(f"{name} has no line that closes on itself; only such a line can be filled.")
    return drawing, names


def left_words(more: int, drawing: SvgDrawing) -> list[str]:
    """Say that so many lines of a drawing are not taken, and what else of it was left out."""
    lines = f"Its {more} other line{'s are' if more > 1 else ' is'} left out."
    return [*[lines] * bool(more), *drawing.left_out]


def only_band(sketch: Sketch, count: int = 1) -> list[BandPart]:
    """Return the lines of a drawing that a part can show, which are so many, each with rows of one kind."""
    if sketch.middle is not None:
        raise MosaicError(f"{sketch.name} is a motif. Open it on the part 'A motif'.")
    if len(sketch.bands) > count:
        part = "Lines that cross" if len(sketch.bands) == 2 else "workbook 06"
        raise MosaicError(f"{sketch.name} holds {len(sketch.bands)} lines. Open it on the part {part!r}.")
    for band in sketch.bands:
        if len({(row.fraction, row.turned) for row in band.rows}) > 1 or band.rows[0].turned:
            raise MosaicError(f"{sketch.name} has rows of several kinds; this part lays rows of one kind.")
    return sketch.bands


def opened_points(guide: Guide, points: Sequence = ()) -> tuple[tuple[float, float], ...]:
    """Return the points that a line was drawn through, or so many along it that the line through them is the same within 0.25 mm."""
    if guide.closed or guide.corners:
        raise MosaicError("A line that closes on itself, or has corners, cannot be shown by handles.")
    if points:
        return tuple((float(x), float(y)) for x, y in points)
    seen = shapely.points(guide.at(np.linspace(0, guide.length * (1 - 1e-9), 4 * TRACED)))
    tried = (_spread(guide, count).round(2) for count in ALONG)
    near = (one for one in tried if shapely.distance(seen, traced(Guide(one), 4 * TRACED)).max() <= NEAR)
    found = next(near, None)
    if found is None:
        raise MosaicError(f"This line winds more than {ALONG[-1]} handles can show.")
    return tuple(map(tuple, found.tolist()))
