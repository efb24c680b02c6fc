"""Courses: level rows of tiles round a face that closes on itself, each with a whole count.

| symbol | meaning |
|---|---|
| C, R | way round at an edge of a course, and its distance from the apex of the unrolled cone [mm] |
| n, phi | tiles in a course; angle from one joint to the next, on the unrolled face [rad] |
| w, h, j | width and height of a piece, joint [mm] |

On a cylinder phi is 0, and all that follows is a plain grid whose joint closes the round: j = C/n - w.
"""

__all__ = ["EASES", "FLUSH", "Run", "joint_round", "lay_courses", "ring_strip", "runs_of_courses", "width_round"]

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

import numpy as np
import pandas as pd
import shapely
from shapely import Polygon

from mosaiclib.errors import MosaicError, choice, instance, number, several
from mosaiclib.glass.seam import SAG, Edge
from mosaiclib.layout.grid import BORDERS, EDGE_RULES, Fit, best_fit, cells, joint_fits
from mosaiclib.layout.layout import (
    FRACTIONS,
    LOST,
    PARTS,
    Gap,
    JointLimits,
    Layout,
    Tile,
    not_too_many,
    only_areas,
    piece_table,
    read_outline,
)
from mosaiclib.units import mm

EASES = ("back", "spread", "seam")
FLUSH = "flush if it fits"  # an edge rule where the glass goes on with another face
EXACT = 1e-9  # [mm] rounding
NARROWEST = 0.6  # of a tile: the mean width of a wedge, below which a tile drops out; assumed
THINNEST = 3.0  # [mm] narrow end of a wedge; common practice, no source
GOLDEN = (math.sqrt(5) - 1) / 2  # shares of a round that follow each other by it never fall on one another


def joint_round(way: float, angle: float, count: float, width: float) -> float:
    """Return the joint at an edge of a course of straight tiles: 2 R sin(phi/2) - w cos(phi/2), phi = angle/n [mm].

    `way` is the way round at that edge C [mm], `angle` that of the unrolled face [rad]; R = C/angle.

    >>> round(joint_round(300, 0, 13, 20), 3), round(joint_round(300, 3.0, 13, 20), 3)
    (3.077, 3.159)
    """
    phi = angle / count
    return _chord(way, phi, count) - width * math.cos(phi / 2)


def _chord(way: float, phi: float, count: float) -> float:
    """Return the chord of one place of a course, 2 R sin(phi/2) with R = C/(n phi), which is C/n on a cylinder [mm]."""
    return way / count * (math.sin(phi / 2) / (phi / 2) if phi else 1.0)


def width_round(way: float, angle: float, count: float, joint: float) -> float:
    """Return how wide a wedge is at an edge of its course: 2 R tan(phi/2) - j/cos(phi/2), phi = angle/n [mm].

    >>> round(width_round(300, 0, 13, 2), 3)
    21.077
    """
    phi = angle / count
    return (_chord(way, phi, count) - joint) / math.cos(phi / 2)


def _nothing_closes(way: float, tile: float, least: float, most: float) -> MosaicError:
    """Say which joints the counts on either side of the limits would leave."""
    n = max(1, math.floor(way / (tile + least)))
    told = [(f", {k} tiles leave ", mm(round(way / k - tile, 2))) for k in (n + 1, n) if way / k > tile]
    words = [part for pair in told for part in pair]
    start = "No whole number of ", mm(tile), " tiles closes a round of ", mm(round(way, 2)), " with a joint of "
    advice = ". Widen the joint limits to include one of these, or take another size of tile."
    return MosaicError(*start, mm(least, most), *words, advice)


@dataclass(frozen=True)
class Course:
    """A course by where it begins on the face and its height [mm], with the way round at its narrow and its wide edge [mm].

    Counts that keep its joints within limits with whole tiles, and with wedges; those are empty where there are none.
    """

    low: float
    height: float
    narrow: float
    wide: float
    whole: range
    wedged: range


def lay_courses(
    face: object,
    tile: Tile | float,
    joint: float,
    limits: Sequence[float] | None = None,
    *,
    edge_rule: str = "equal",
    border: str = "clear",
    fraction: str = "whole",
    ease: str = "back",
    between: tuple[float, float] | None = None,
) -> Layout:
    """Lay courses round a face that closes on itself: whole counts, the same through as many courses as the limits allow.

    Parameters
    ----------
    face : glass.Face
        A face with an `edge`.
    tile : Tile or float
        The tile, or its side [mm].
    joint : float
        The wanted joint [mm].
    limits : pair, optional
        Least and greatest joint [mm]; 15 % either side of it if left out.
    edge_rule, border : str
        What happens at foot and rim, as for `lay_faces`; where the glass goes on there, "flush if it fits".
    fraction : str
        What a tile is cut to, one of `FRACTIONS`; its short side goes round.
    ease : {"back", "spread", "seam"}
        Where the steps go when a tile drops out: joints stay in line opposite the seam, so that the steps are at the back; the
        line goes elsewhere each time, so that no steps stand over each other; or joints are in line at the seam.
    between : pair, optional
        From where to where up the face [mm]; all of it if left out.

    Returns
    -------
    Layout
        Tiles stay whole where their joint, which is narrower at one edge of the course, keeps its limits at both; else all of a
        course are wedges with an even joint.

    Examples
    --------
    >>> from mosaiclib.glass import Round
    >>> laid = lay_courses(Round(300, 90, 4, 6).faces[0], 20, 2.5, (1, 4))
    >>> laid.pieces.groupby("row").size().tolist()
    [13, 13, 13, 13]
    """
    outline, edge = (
        read_outline(face),
        instance(getattr(face, "edge", None), Edge, "edge of a face that closes on itself"),
    )
    stock = tile if isinstance(tile, Tile) else Tile(tile, 4.0)
    allowed = JointLimits.read(joint, limits)
    for value, name, known in (
        (edge_rule, "edge rule", (*EDGE_RULES, FLUSH)),
        (border, "border", BORDERS),
        (ease, "ease", EASES),
    ):
        choice(value, name, known)
    short, long = sorted(PARTS[choice(fraction, "fraction", FRACTIONS)])
    size = short * stock.side, long * stock.side
    low, high = (0.0, face.deep) if between is None else _height(between, face.deep)
    found = _courses(edge, (low, high), size, allowed, edge_rule, border)
    counts = _held(found, allowed, size[0], _angle(edge))
    not_too_many(sum(counts), "This grid")
    shapes, columns = _pieces(edge, found, counts, size[0], allowed, ease)
    table = _table(shapes, columns, found, counts, face.name, stock, fraction)
    gaps = _bare(edge, outline, (low, high), found)
    return Layout(outline, shapes, table, allowed.joint, allowed.least, allowed.greatest, stock, gaps)


def _height(between: object, deep: float) -> tuple[float, float]:
    """Return from where to where up a face so deep courses are laid, checked [mm]."""
    low, high = several(between, "heights up the face", 2)
    low = number(low, "height up the face", "mm", least=0, greatest=deep)
    return low, number(high, "height up the face", "mm", above=low, greatest=deep + SAG)


def _angle(edge: Edge) -> float:
    """Return the angle of the unrolled face, without its sign [rad]."""
    return abs(edge.curvature) * edge.length


def _way(edge: Edge, v: float) -> float:
    """Return the way round at a distance up the face [mm]."""
    return edge.length * (1 - edge.curvature * v)


def _bulge(edge: Edge, between: tuple[float, float], width: float) -> float:
    """Return by how much the corners of a straight piece reach over the arc that its middle touches, where that bends most [mm]."""
    if not _angle(edge):
        return 0.0
    least = min(_way(edge, v) for v in between) / _angle(edge)
    return (width / 2) ** 2 / (math.hypot(least, width / 2) + least)


def _courses(edge: Edge, between, size, limits: JointLimits, edge_rule: str, border: str) -> list[Course]:
    """Return the courses, from the foot up, with the counts that each allows."""
    (w, h), bulge = size, _bulge(edge, between, size[0])
    if w > limits.joint + _way(edge, min(between, key=lambda v: _way(edge, v))) / 3:
        raise MosaicError("A tile ", mm(w), " wide does not go round this glass; take a smaller one, or a part of it.")
    most = limits.greatest - 2 * bulge
    if most < limits.least:
        reach = (
            "Round this taper the corners of pieces ",
            mm(w),
            " wide reach ",
            mm(round(bulge, 2)),
            " over their course: ",
        )
        limit = "joints between courses cannot keep to ", mm(limits.least, limits.greatest)
        raise MosaicError(*reach, *limit, ". Take narrower pieces, or widen the limits.")
    wanted = min(max(limits.joint - bulge, limits.least), most)
    slack = 2 * SAG if edge.curvature else 0.0  # the face's outline is drawn by chords
    span, tall = between[1] - between[0] - 2 * slack, h + bulge
    if border == "cut" and span <= tall:
        begins, heights = np.zeros(1), np.array([span])
    elif border == "cut":
        begins, heights = cells(span, tall, wanted, border, None)
    else:
        fit = _fit(span, tall, (wanted, limits.least, most), edge_rule)
        begins, heights = fit.edge + np.arange(fit.count) * (tall + fit.joint), np.full(fit.count, tall)
    # corners reach over the greater arc: the lower one where the glass narrows upwards
    lift = bulge if edge.curvature > 0 else 0.0
    return [
        _course(edge, between[0] + slack + begin + lift, height - bulge, w, limits)
        for begin, height in zip(begins.tolist(), heights.tolist(), strict=True)
    ]


def _fit(span: float, tall: float, joints: tuple[float, float, float], edge_rule: str) -> Fit:
    """Return the courses that fit a span; where the glass goes on beyond it without bare margins, if there is such a fit [mm]."""
    if edge_rule != FLUSH:
        return best_fit(span, tall, *joints, edge_rule)
    fits = joint_fits(span, tall, *joints[1:])
    return min(fits, key=lambda fit: abs(fit.joint - joints[0])) if fits else best_fit(span, tall, *joints)


def _course(edge: Edge, low: float, height: float, width: float, limits: JointLimits) -> Course:
    """Return a course with the counts that it allows."""
    (narrow, wide), angle = sorted((_way(edge, low), _way(edge, low + height))), _angle(edge)

    def joint(way: float, n: int) -> float:
        return joint_round(way, angle, n, width)

    def wedge(way: float, n: int) -> float:
        return width_round(way, angle, n, limits.joint)

    begin = _least_count(lambda n: joint(wide, n) <= limits.greatest + EXACT, wide / (width + limits.greatest))
    end = _least_count(lambda n: joint(narrow, n) < limits.least - EXACT, narrow / (width + limits.least))
    first = _least_count(lambda n: wedge(wide, n) <= width + EXACT, wide / (width + limits.joint))
    middle, point = (narrow + wide) / 2, min(THINNEST, width / 2)
    slim = _least_count(lambda n: wedge(middle, n) < NARROWEST * width, middle / (NARROWEST * width + limits.joint))
    pointed = _least_count(lambda n: wedge(narrow, n) < point, narrow / (point + limits.joint))
    return Course(low, height, narrow, wide, range(begin, end), range(first, min(max(slim, first + 1), pointed)))


def _least_count(holds: Callable[[int], bool], about: float) -> int:
    """Return the least count for which something holds that holds for all greater ones, near a guess."""
    n = max(1, math.floor(about) - 2)
    while not holds(n):
        n += 1
    return n


def _held(courses: Sequence[Course], limits: JointLimits, width: float, angle: float) -> list[int]:
    """Return the count of each course, the same for as many in turn as allow it, the joint in the middle near the wanted."""
    found: list[int] = []
    while len(found) < len(courses):
        first = courses[len(found)]
        kind = "whole" if len(first.whole) else "wedged"
        if not len(shared := getattr(first, kind)) or (kind == "wedged" and not angle):
            raise _refused(first, width, limits, angle)
        group = 0
        for one in courses[len(found) :]:
            mine = getattr(one, kind)
            both = range(max(shared.start, mine.start), min(shared.stop, mine.stop))
            if not len(both) or (kind == "wedged" and len(one.whole)):
                break
            shared, group = both, group + 1
        middle = courses[len(found) + (group - 1) // 2]
        way = (middle.narrow + middle.wide) / 2
        found += [min(shared, key=lambda n, way=way: abs(joint_round(way, angle, n, width) - limits.joint))] * group
    return found


def _refused(course: Course, width: float, limits: JointLimits, angle: float) -> MosaicError:
    """Say why a course has no count."""
    if not angle:
        return _nothing_closes(course.wide, width, limits.least, limits.greatest)
    advice = " wide would come to a point on this taper; take smaller pieces."
    return MosaicError("A wedge cut from a piece ", mm(width), advice)


def _pieces(edge: Edge, courses, counts, width: float, limits: JointLimits, ease: str) -> tuple[np.ndarray, dict]:
    """Return the pieces of all courses, and what each is: course, place, whether a wedge, widths at narrow and wide edge."""
    angle, steps = _angle(edge), np.cumsum([0] + [one != two for one, two in pairwise(counts)])
    line = {"back": 0.5, "seam": 0.0}.get(ease, 0.0) if steps[-1] else 0.0
    lines = line + (steps * GOLDEN if ease == "spread" else 0.0) + 0.0 * steps
    which = np.repeat(np.arange(len(counts))[::-1], counts[::-1])  # from the top, as all rows are
    place = np.concatenate([np.arange(n) for n in counts[::-1]])
    n, wedged = np.array(counts)[which], np.array([not len(one.whole) for one in courses])[which]
    share = (np.sort(((place + 0.5) / n + lines[which]) % 1.0 - which)) + which
    widths = np.array(
        [_widths(one, count, width, limits.joint, angle) for one, count in zip(courses, counts, strict=True)]
    )[which]
    low, height = (np.array([getattr(one, name) for one in courses])[which] for name in ("low", "height"))
    ends = widths if edge.curvature <= 0 else widths[:, ::-1]
    s = share * edge.length
    ahead = np.stack([np.cos(edge.heading_at(s)), np.sin(edge.heading_at(s))], axis=1)
    corners = [
        edge.at(s, low + up * height) + (side / 2 * ends[:, up])[:, None] * ahead
        for up, side in ((0, -1), (0, 1), (1, 1), (1, -1))
    ]
    shapes = shapely.polygons(np.stack(corners, axis=1))
    return shapes, {
        "course": which,
        "place": place,
        "wedged": wedged,
        "widths": widths,
        "turn": np.degrees(angle / n / 2),
    }


def _widths(course: Course, count: int, width: float, joint: float, angle: float) -> tuple[float, float]:
    """Return the widths of a course's pieces at the narrow and the wide edge [mm]."""
    if len(course.whole):
        return width, width
    return width_round(course.narrow, angle, count, joint), width_round(course.wide, angle, count, joint)


def _table(shapes, columns: dict, courses, counts, name: str, tile: Tile, fraction: str):
    """Return the table of pieces, courses numbered from the top, with one sentence a piece."""
    which, wedged, widths = columns["course"], columns["wedged"], columns["widths"]
    said = (_why(one, n, widths[which == k][0, 1]) for k, (one, n) in enumerate(zip(courses, counts, strict=True)))
    why = np.array(list(said), dtype=object)
    height = np.array([one.height for one in courses])[which]
    tall = max(PARTS[fraction]) * tile.side
    whole = ~wedged & (height > tall - LOST)
    return piece_table(
        len(shapes),
        face=name,
        band="field",
        row=len(courses) - which,
        place=columns["place"] + 1,
        kind=np.select([wedged, whole], ["wedge", "whole"], "cut").astype(object),
        fraction=fraction,
        tile=tile.side,
        width=widths[:, 1],
        height=height,
        narrow=np.where(wedged, widths[:, 0], 0.0),
        cut_angle=np.where(wedged, columns["turn"], 0.0),
        area=shapely.area(shapes),
        why=why[which],
    )


def _why(course: Course, count: int, width: float) -> str:
    angle = (course.wide - course.narrow) / course.height
    joints = [joint_round(way, angle, count, width) for way in (course.narrow, course.wide)]
    if len(course.whole):
        return f"whole: {count} round, joints of {joints[0]:.2f} to {joints[1]:.2f} mm between them"
    return f"wedge: {count} round, left whole its joints would run from {joints[0]:.2f} to {joints[1]:.2f} mm"


def _bare(edge: Edge, outline: Polygon, between: tuple[float, float], courses: Sequence[Course]) -> tuple[Gap, ...]:
    """Return the strips at foot and rim that stay without glass."""
    ends = (between[0], courses[0].low), (courses[-1].low + courses[-1].height, between[1])
    strips = [ring_strip(edge, *pair) & outline for pair in ends if pair[1] - pair[0] > 0.1]
    return tuple(
        Gap(only_areas(strip), "bare margin: no whole tile fits here") for strip in strips if strip.area > LOST
    )


def ring_strip(edge: Edge, low: float, high: float) -> Polygon:
    """Return the strip along an edge between two distances to its left [mm]."""
    s = edge.stops()
    return shapely.polygons(np.concatenate([edge.at(s, low), edge.at(s, high)[::-1]]))


class Run(NamedTuple):
    """Courses in turn with one count: how many there are, tiles in each, their kind, and wide and narrow end of wedges [mm]."""

    courses: int
    count: int
    kind: str
    wide: float
    narrow: float


def runs_of_courses(pieces: pd.DataFrame) -> list[Run]:
    """Return the courses of one face's pieces from the foot up, those alike in turn together.

    >>> from mosaiclib.glass import Tapered
    >>> cone = Tapered([240, 340], [0, 110], 4, 6).faces[0]
    >>> [run[:3] for run in runs_of_courses(lay_courses(cone, 10, 2, (1, 3)).pieces)]
    [(4, 22, 'whole'), (3, 25, 'whole'), (2, 27, 'whole')]
    """
    told = {
        "count": ("place", "size"),
        "kind": ("kind", "first"),
        "wide": ("width", "first"),
        "narrow": ("narrow", "first"),
    }
    rows = pieces.groupby("row").agg(**told)
    runs: list[Run] = []
    for row in rows.sort_index(ascending=False).itertuples(index=False):
        last = runs[-1] if runs else None
        if last is None or (last.count, last.kind) != tuple(row[:2]):
            runs.append(Run(1, *row))
        else:
            runs[-1] = Run(last.courses + 1, *last[1:3], max(last.wide, row[2]), min(last.narrow, row[3]))
    return runs
