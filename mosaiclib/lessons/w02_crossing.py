"""Lesson 02, part three: two lines that cross on one face, which lies on top, and what the meeting costs."""

__all__ = [
    "CONTROLS",
    "LINES",
    "TOPS",
    "Crossing",
    "Meeting",
    "Result",
    "Settings",
    "compute",
    "crossing",
    "draw",
    "report",
    "summary",
]

import math
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import shapely

from mosaiclib.drawing import Drawing, Lines, Polygons
from mosaiclib.drawing.palette import ACCENT
from mosaiclib.errors import MosaicError
from mosaiclib.job import quantities
from mosaiclib.job.sketch import Sketch
from mosaiclib.layout import (
    FRACTIONS,
    PATTERNS,
    Grid,
    Guide,
    Layout,
    Rows,
    Survey,
    Tile,
    best_grids,
    joints_of,
    lay,
    survey,
)
from mosaiclib.layout.joints import least_widths, length_within
from mosaiclib.layout.rowspec import narrow_end
from mosaiclib.lesson.controls import Action, Choice, Count, Drag, Length, Number, Points
from mosaiclib.lessons.practice import BED
from mosaiclib.lessons.w02_ring import limit_rows, widened
from mosaiclib.lessons.w02_shared import (
    FIELD_COLOUR,
    OWN_POINTS,
    Ready,
    between_on,
    drawing_actions,
    field_row,
    gauge_row,
    glass_controls,
    handles_on,
    joint_controls,
    laid,
    only_band,
    open_rows,
    opened_points,
    overlap_words,
    picture,
    traced,
    view_controls,
    write_sheets,
)
from mosaiclib.report import Row
from mosaiclib.units import mm, text
from mosaiclib.words import Text as Words

TITLE = "Two lines that cross"
NAMES = ("first line", "second line")
TOPS = {"the first line": ("over", 0), "the second line": ("over", 1), "neither: a shared line": ("shared", 1)}
LINES = (OWN_POINTS, "straight", "bow", "ribbon", "wave")
OVER = 12.0  # [mm] that the outermost handles of a ready-made line may lie beside the glass
BEYOND = 40.0  # [mm] that a ready-made line is longer than the face is across its corners
FLATTEST = 15  # [degrees] at which the slider lets lines cross
NEAR_ENOUGH = 0.5  # [degrees] half a step of the slider: a line that was dragged is left as it is
MOST_ROWS = 4
MOST_HANDLES = 60
TONES = (("sea green", "leaf green"), ("blue", "sky blue"))  # of the rows of each line in turn
LINE, OWN, ROWS, JOINT = "The lines", "Your own points", "The rows", "The joint and the gauge"
GLASS, VIEW = "The glass and the field", "The view"


@dataclass(frozen=True)
class Settings:
    """What the learner can set [mm]."""

    top: str = "the second line"
    angle: float = 60.0
    held: str = NAMES[1]
    fraction: str = "quarter"
    first: str = "ribbon"
    second: str = "straight"
    first_points: tuple[tuple[float, float], ...] = ((-4.0, 60.0), (60.0, 84.0), (140.0, 66.0), (204.0, 96.0))
    second_points: tuple[tuple[float, float], ...] = ((70.0, -4.0), (90.0, 50.0), (104.0, 100.0), (140.0, 154.0))
    count: int = 2
    tile: float = 20.0
    joint: float = 2.0
    limits: tuple[float, float] = (1.7, 2.3)
    rise: float = 40.0
    step: float = 0.5
    width: float = 200.0
    height: float = 150.0
    pattern: str = PATTERNS[0]
    squared: str = "no squared paper"
    marked: bool = True
    moving: bool = False
    shift: tuple[Grid, ...] | None = None


CONTROLS = (
    Choice("top", "On top", tuple(TOPS), help="what lies below is cut back; neither: both stop half way"),
    Number("angle", "They cross at", FLATTEST, 180 - FLATTEST, 1, "degrees", help="it turns the second line"),
    Choice("held", "Handles on", NAMES, help="drag them, or Tab to one and use the arrow keys"),
    Choice("fraction", "Tiles cut to", FRACTIONS),
    Choice("first", "First line", LINES, fold=LINE),
    Choice("second", "Second line", LINES, fold=LINE),
    Length("rise", "Rise", 5, 60, 1, fold=LINE, help="of a bow, a ribbon or a wave"),
    Points("first_points", "First points", fold=OWN, help="across and up, a semicolon after each"),
    Points("second_points", "Second points", fold=OWN),
    Count("count", "Rows of each", 1, MOST_ROWS, fold=ROWS),
    Length("tile", "Tile", 8, 40, 0.5, fold=ROWS, help="of rows and field"),
    *joint_controls(JOINT),
    *glass_controls(GLASS),
    Choice("pattern", "Field", PATTERNS, fold=GLASS),
    *view_controls(VIEW),
)


class Crossing(NamedTuple):
    """Where two lines cross [mm], and by how much the second turns left from the first there, 0 to 180 [degrees]."""

    spot: tuple[float, float]
    angle: float


def crossing(one: Guide, two: Guide, near: tuple[float, float]) -> Crossing | None:
    """Return where two lines cross, the place nearest to a point [mm]; None where they do not.

    >>> from mosaiclib.layout import straight
    >>> met = crossing(straight(100), straight(100, x=10, turned=40), (0, 0))
    >>> [round(float(at), 3) + 0.0 for at in met.spot], round(met.angle, 3)
    ([10.0, 0.0], 40.0)
    """
    lines = [traced(guide, 600) for guide in (one, two)]
    spots = shapely.get_coordinates(shapely.intersection(*lines))
    if not len(spots):
        return None
    spot = spots[np.argmin(np.hypot(*(spots - near).T))]
    (ax, ay), (bx, by) = (
        guide.normal(float(shapely.line_locate_point(line, shapely.Point(spot))))
        for guide, line in zip((one, two), lines, strict=True)
    )
    return Crossing(tuple(spot.tolist()), math.degrees(math.atan2(ax * by - ay * bx, ax * bx + ay * by)) % 180)


Line = dict  # a line as a plan's band holds it: {"points": ...} or {"line": a Ready}


def _line(s: Settings, which: int) -> Line:
    """Return a line before it is turned: the learner's points, or a ready-made one through the middle, the second upright."""
    shape, points = ((s.first, s.first_points), (s.second, s.second_points))[which]
    if shape == OWN_POINTS:
        return {"points": [list(point) for point in points]}
    long = math.hypot(s.width, s.height) + BEYOND
    name, measures = {
        "straight": ("straight", {"length": long}),
        "bow": ("bow", {"width": long, "rise": s.rise}),
        "ribbon": ("s_ribbon", {"width": long, "height": s.rise}),
        "wave": ("wave", {"length": long, "height": s.rise, "waves": 2.0}),
    }[shape]
    return {"line": Ready(name, measures, s.width / 2, s.height / 2, 90.0 * which)}


def _guide(line: Line) -> Guide:
    return line["line"].guide() if "line" in line else Guide(line["points"])


def _turned(line: Line, spot: tuple[float, float], degrees: float) -> Line:
    """Return a line turned left about a spot [mm]."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))

    def about(xy: Any) -> np.ndarray:
        return (np.asarray(xy) - spot) @ np.array([[c, s], [-s, c]]) + spot

    if "points" in line:
        return {"points": about(line["points"]).tolist()}
    old = line["line"]
    x, y = about((old.x, old.y))
    return {"line": old._replace(x=x, y=y, turned=old.turned + degrees)}


def _reached(angle: float) -> bool:
    """Tell whether the slider reaches an angle [degrees]."""
    return FLATTEST - NEAR_ENOUGH <= angle <= 180 - FLATTEST + NEAR_ENOUGH


def lines_of(s: Settings) -> tuple[list[Line], Crossing | None]:
    """Return both lines, the second turned about their crossing as the slider says, and where they cross."""
    lines, middle = [_line(s, 0), _line(s, 1)], (s.width / 2, s.height / 2)
    met = crossing(*map(_guide, lines), middle)
    if met and _reached(met.angle) and abs(s.angle - met.angle) > NEAR_ENOUGH:
        lines[1] = _turned(lines[1], met.spot, s.angle - met.angle)
        met = met._replace(angle=s.angle)
    return lines, met


@dataclass(frozen=True, eq=False)
class Meeting:
    """The pieces that are cut where lines meet, those of them that are thin, what is left of them, and the joints there.

    `kept` is the share of their glass as whole pieces of a row, `within` that of the joints between the lines that keep
    their limits; both 0 to 1, 1 where there is nothing.
    """

    cut: np.ndarray
    thin: np.ndarray
    kept: float
    within: float


def _meeting(layout: Layout, piece: Rows) -> Meeting:
    """Measure where lines meet: pieces that are cut and lie within two joints of a piece of another line."""
    line = layout.pieces["line"].to_numpy()
    near = np.zeros(len(layout), bool)
    for name in NAMES:
        others = shapely.union_all(layout.shapes[(line != name) & (line != "")])
        near |= (line == name) & shapely.dwithin(layout.shapes, others, 2 * layout.joint_max)
    cut = np.flatnonzero(near & (layout.pieces["kind"] == "cut").to_numpy())
    thin = cut[least_widths(layout.shapes[cut]) < narrow_end(min(piece.width, piece.height))]
    met = joints_of(layout)
    across = (line[met.first] != line[met.second]) & (line[met.first] != "") & (line[met.second] != "")
    length = met.length[across].sum()
    inside = length_within(met, layout.joint_min, layout.joint_max)[across].sum()
    whole = len(cut) * piece.width * piece.height
    kept = float(layout.areas[cut].sum()) / whole if len(cut) else 1.0
    return Meeting(cut, thin, kept, float(inside / length) if length else 1.0)


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings; measures are not taken while a handle moves."""

    settings: Settings
    lines: list[Line]
    guides: list[Guide]
    met: Crossing | None
    piece: Rows
    layout: Layout

    @cached_property
    def meeting(self) -> Meeting:
        """What the meeting costs."""
        return _meeting(self.layout, self.piece)

    @cached_property
    def survey(self) -> Survey:
        """Measures of all joints."""
        return survey(self.layout)

    @cached_property
    def shift(self) -> tuple[Grid, ...]:
        """Where the field's grids lie."""
        s = self.settings
        face, *asked = _asked(s, self.guides, self.piece)
        alone = lay(face, *asked, field=None, **_how(s))
        return best_grids(face, alone, *asked[1:], pattern=s.pattern)


def _asked(s: Settings, guides: list[Guide], piece: Rows) -> tuple:
    """Return face, lines from the lowest, tile and joint, as they are laid."""
    lines = [
        {"guide": guide, "rows": [piece] * s.count, "name": name} for guide, name in zip(guides, NAMES, strict=True)
    ]
    _, above = TOPS[s.top]
    return shapely.box(0, 0, s.width, s.height), [lines[1 - above], lines[above]], piece.tile, s.joint


def _how(s: Settings) -> dict:
    return {"meet": TOPS[s.top][0], "limits": widened(s.limits, s.joint)}


def compute(s: Settings) -> Result:
    """Lay both lines and the field behind them.

    >>> found = compute(Settings())
    >>> found.met.angle, len(found.meeting.cut) > 3, found.survey.overlaps
    (60.0, True, 0)
    """
    lines, met = lines_of(s)
    guides, piece = [_guide(line) for line in lines], Rows(Tile(s.tile, 4.0), s.fraction)
    layout = laid(*_asked(s, guides, piece), s.shift if s.moving else None, pattern=s.pattern, **_how(s))
    return Result(s, lines, guides, met, piece, _coloured(layout))


def _coloured(layout: Layout) -> Layout:
    """Give the rows of each line their tones in turn."""
    tones = dict(zip(NAMES, TONES, strict=True))
    pairs = zip(layout.pieces["line"], layout.pieces["row"], strict=True)
    return layout.coloured([tones[line][(row - 1) % 2] if line else FIELD_COLOUR for line, row in pairs])


def draw(result: Result) -> Drawing:
    """Draw both lines and the field; pieces that are cut where they meet have a strong edge."""
    s = result.settings
    over = [Lines([traced(guide) for guide in result.guides], ACCENT, 0.35, (2.0, 1.5))]
    if not s.moving:
        over.insert(0, Polygons(result.layout.shapes[result.meeting.cut], None, ACCENT, 0.6))
    return picture(result.layout, s, over, "Two lines that cross")


def report(result: Result) -> list[Row]:
    """Tell the results, rounded once."""
    s, found, met = result.settings, result.survey, result.meeting
    limits = mm(result.layout.joint_min, result.layout.joint_max)
    return [
        *limit_rows(s.limits, s.joint),
        _angle_row(result),
        Row("Cut where they meet", len(met.cut), "pieces", _cut_words(result)),
        _thin_row(result),
        Row("Joints where they meet", round(100 * met.within, 1), "%", text("of their length is ", limits)),
        Row("All joints", round(100 * found.share_within, 1), "%", text("of their length is ", limits)),
        Row("Pieces on each other", found.overlaps, "pairs", overlap_words(found)),
        *_line_rows(result),
        gauge_row(result.layout, s.step),
        field_row(result.layout),
        Row("It takes", "", "", str(quantities(result.layout, BED))),
        *open_rows(result.layout),
    ]


def _angle_row(result: Result) -> Row:
    """Tell the angle at which the lines cross."""
    if result.met is None:
        return Row("They cross at", "nowhere", "", "the lines do not meet on the drawn stretch; drag one of them")
    angle = result.met.angle
    words = "90 is square; the flatter, the longer the meeting"
    if not _reached(angle):
        words = "as they were drawn; the slider turns them only where they cross more steeply: drag one of them"
    return Row("They cross at", round(angle), "degrees", words)


def _cut_words(result: Result) -> Words | str:
    """Tell which line is cut and how much glass is left of a piece."""
    meet, above = TOPS[result.settings.top]
    of = "of both lines" if meet == "shared" else f"of the {NAMES[1 - above]}; the {NAMES[above]} stays whole"
    return f"{of}; {result.meeting.kept:.0%} of a piece is left on average" if len(result.meeting.cut) else of


def _thin_row(result: Result) -> Row:
    """Tell how many of the cut pieces are too thin to nip well."""
    least = mm(round(narrow_end(min(result.piece.width, result.piece.height)), 1))
    words = text("are narrower than ", least, ": join each to its neighbour, or let the filler take the place")
    return Row("Thin ones among them", len(result.meeting.thin), "pieces", words)


def _line_rows(result: Result) -> list[Row]:
    """Tell the pieces of each line by their kinds."""
    found = []
    for name in NAMES:
        kinds = result.layout.pieces.loc[result.layout.pieces["line"] == name, "kind"].value_counts()
        words = ", ".join(f"{count} {kind}" for kind, count in kinds.items())
        found.append(Row(f"The {name}", int(kinds.sum()), "pieces", words))
    return found


def summary(result: Result) -> str:
    """Return what the meeting costs, which is not measured while a handle moves."""
    if result.met is None:
        return "The lines do not cross."
    words = f"The lines cross at {result.met.angle:.0f} degrees"
    if result.settings.moving:
        return f"{words}; what the meeting costs is measured when you let go."
    cut, thin = len(result.meeting.cut), len(result.meeting.thin)
    pieces = "1 piece is" if cut == 1 else f"{cut or 'no'} pieces are"
    told = f"{pieces} cut where they meet, {thin or 'none'} of them thin"
    return f"{words}: {told}; {result.meeting.within:.0%} of the joints there within limits."


# --- handles ---------------------------------------------------------------------------------------------


def _held(result: Result) -> tuple[Guide, list, tuple[float, float]]:
    """Return the line with the handles, its own points if it has any, and where along it the glass begins and ends [mm]."""
    s, which = result.settings, NAMES.index(result.settings.held)
    guide = result.guides[which]
    at = np.linspace(0, guide.length * (1 - 1e-9), 600)
    glass = shapely.box(-OVER, -OVER, s.width + OVER, s.height + OVER)
    on = at[shapely.contains_xy(glass, *guide.at(at).T)]
    on = on if len(on) else at
    return guide, result.lines[which].get("points", []), (on[0], on[-1])


def handles(result: Result) -> list[tuple[float, float]]:
    """Return the handles of the line that has them [mm]."""
    return handles_on(*_held(result))


def between(result: Result) -> list[tuple[float, float]]:
    """Return a place on that line between each handle and the next [mm]."""
    return between_on(*_held(result))


def moved(result: Result, points: list, held: bool) -> Settings:
    """Return the settings after a handle was moved: both lines as they lie now, and the angle at which they cross."""
    s, which = result.settings, NAMES.index(result.settings.held)
    new = {"points": [[float(x), float(y)] for x, y in points]}
    lines = [new if k == which else line for k, line in enumerate(result.lines)]
    met = crossing(*map(_guide, lines), (s.width / 2, s.height / 2))
    angle = float(round(met.angle)) if met and _reached(met.angle) else s.angle
    s = replace(s, angle=angle, moving=held, shift=(s.shift or result.shift) if held else None)
    return _with_points(s, lines)


def _with_points(s: Settings, lines: list[Line]) -> Settings:
    """Return the settings that hold those lines that go through points."""
    for name, line in zip(("first", "second"), lines, strict=True):
        if "points" in line:
            s = replace(s, **{name: OWN_POINTS, f"{name}_points": tuple(map(tuple, line["points"]))})
    return s


DRAG = Drag(handles, moved, between, MOST_HANDLES)


# --- what is written, kept and opened ---------------------------------------------------------------------


def _write(s: Settings, name: str, folder: Path) -> str:
    return write_sheets(compute(replace(s, moving=False)).layout, name, s.step, folder)


def sketch(s: Settings, name: str) -> Sketch:
    """Return both lines with their rows as a drawing to be kept, lowest first."""
    meet, above = TOPS[s.top]
    lines, _ = lines_of(s)
    kept = [{"line": line["line"].kept()} if "line" in line else line for line in lines]
    bands = [{"face": "pane", "rows": [{"fraction": s.fraction}] * s.count} | line for line in kept]
    return Sketch.made(name=name, bands=[bands[1 - above], bands[above]], meet=meet)


def opened(s: Settings, kept: Sketch) -> Settings:
    """Return the settings that show a kept drawing; a single line comes in place of the one that has the handles."""
    bands, guides = only_band(kept, 2), kept.guides()
    lines = [{"points": opened_points(*one)} for one in zip(guides, (band.points for band in bands), strict=True)]
    rows = bands[0].rows
    if len(rows) > MOST_ROWS:
        raise MosaicError(f"{kept.name} has {len(rows)} rows; this part lays at most {MOST_ROWS} along a line.")
    s = replace(s, fraction=rows[0].fraction, count=len(rows), moving=False, shift=None)
    if len(lines) == 1:
        both = lines_of(s)[0]
        both[NAMES.index(s.held)] = lines[0]
    else:
        both = lines
        s = replace(s, top=next(name for name, how in TOPS.items() if how == (kept.meet, 1)))
    met = crossing(*map(_guide, both), (s.width / 2, s.height / 2))
    angle = float(round(met.angle)) if met and _reached(met.angle) else s.angle
    return _with_points(replace(s, angle=angle), both)


def actions(folder: Path) -> tuple[Action, ...]:
    """Return the buttons that write the sheets, and keep and open the drawing."""
    return drawing_actions(folder, "my crossing", _write, sketch, opened)
