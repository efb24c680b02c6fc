"""True corners of a guide: where rows end there, and the pieces that close them.

| symbol | here | meaning |
|---|---|---|
| phi | turn | turning at the corner, left positive [rad] |
| d | inner, outer | offsets of a row's edges away from the inside of the corner [mm] |
| a, h, j | width, height, joint | of a piece along and across the row, and between pieces [mm] |
| u | deep | how far behind the tip of a row, along the corner's axis [mm] |
"""

__all__ = ["Bend", "Closing", "End", "bends_of", "closed_at"]

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from mosaiclib.layout.guide import Guide
from mosaiclib.layout.rowspec import RowPlace

POINTED = np.radians(120.0)  # of a sharper corner both sides of a row share the last pieces
SHARPEST = np.radians(150.0)  # round the outside of a sharper one rows turn as a fan
GENTLE = np.radians(30.0)  # a corner that turns by less is always mitred
STEEPEST = 25.0  # a bisector is followed so many times as far back as rows lie beside it
THIN = 0.75  # of its least narrow end: a point that would be thinner at its wide end is left out
BLUNT = 0.1  # [mm] width of a point, which is a corner of glass
SHARES = (1.0, 0.9, 0.8, 0.7)  # of a row's height, where both sides of a tip become one
FINE = 400  # places looked at behind a tip


class Bend(NamedTuple):
    """A true corner as one part meets it: point [mm], unit tangent out of that part, turning, and which end it is.

    The turning is that from this part into the other, left positive [rad]; side 0 is the part's beginning, 1 its end.
    """

    point: np.ndarray
    ahead: np.ndarray
    turn: float
    side: int

    @property
    def factor(self) -> float:
        """How far a mitre runs on beyond the corner at an offset of 1."""
        return min(float(np.tan(abs(self.turn) / 2)), STEEPEST)

    @property
    def bisector(self) -> np.ndarray:
        """Unit normal of the bisector, out of the part."""
        return _turned(self.ahead, self.turn / 2)

    @property
    def axis(self) -> np.ndarray:
        """Unit direction of the bisector, out of the corner."""
        return _turned(self.bisector, -np.copysign(np.pi / 2, self.turn))

    def beyond(self, deep: float) -> float:
        """Return how far rows up to an offset run on [mm]."""
        return 0.0 if abs(self.turn) > SHARPEST else self.factor * deep

    def edges(self, row: RowPlace) -> tuple[float, float]:
        """Return inner and outer offset of a row."""
        left = (self.turn > 0) == bool(self.side)  # in the order of travel
        return (row.left, row.right) if left else (-row.right, -row.left)

    def tip(self, offset: float) -> np.ndarray:
        """Return where offsets of both sides meet [mm]."""
        return self.point + offset / max(np.cos(self.turn / 2), 1 / STEEPEST) * self.axis


class End(NamedTuple):
    """What ends rows at one end of a part: arc length [mm], and the direction out of the part in which it runs, 1 or -1.

    Lines that each of r rows stays behind, k of them: points [mm] and outward unit normals, shape (r, k, 2), and how far
    back along the part each counts, shape (r, k) [mm].
    """

    s: float
    ahead: int
    at: np.ndarray
    outward: np.ndarray
    reach: np.ndarray

    def behind(self, points: np.ndarray, s: np.ndarray, which: np.ndarray) -> np.ndarray:
        """Tell which points, shape (m, n, 2), of rows by place in the stack, shape (m,), lie behind their lines.

        At arc lengths s, shape (m or 1, n) [mm].
        """
        behind = np.ones(points.shape[:-1], bool)
        past = (s - self.s) * self.ahead
        for k in range(self.at.shape[1]):
            at, outward, reach = self.at[which, k], self.outward[which, k], self.reach[which, k]
            off = np.einsum("mnk,mk->mn", points, outward) - np.einsum("mk,mk->m", at, outward)[:, None]
            behind &= (off <= 0) | (past <= -reach[:, None])
        return behind

    def near(self, s: np.ndarray) -> np.ndarray:
        """Tell which arc lengths may be cut by any of the lines."""
        return (s - self.s) * self.ahead > -self.reach.max()


class Closing(NamedTuple):
    """Pieces that close a row at a corner: row, style, arc length of the guide there [mm].

    Corners left begin, left end, right end, right begin as the row travels, shape (n, 4, 2) [mm].
    """

    row: RowPlace
    style: str
    s: float
    corners: np.ndarray


def _turned(direction: np.ndarray, angle: float) -> np.ndarray:
    """Return a direction turned to the left by an angle [rad]."""
    c, s = np.cos(angle), np.sin(angle)
    return np.array([c * direction[0] - s * direction[1], s * direction[0] + c * direction[1]])


def bends_of(guide: Guide) -> list[list[Bend | None]]:
    """Return the corners at the beginning and at the end of each part; None at a free end, and of a smooth ring."""
    parts = guide.parts
    found: list[list[Bend | None]] = [[None, None] for _ in parts]
    for index in range(len(parts) if guide.closed else len(parts) - 1):
        after = (index + 1) % len(parts)
        this, that = parts[index], parts[after]
        if this.closed:
            continue
        (end, right, _), (begin, right_after, _) = this.frame(this.s1), that.frame(that.s0)
        ahead, on = right[::-1] * [-1, 1], right_after[::-1] * [-1, 1]
        turn = float(np.arctan2(ahead[0] * on[1] - ahead[1] * on[0], ahead @ on))
        found[index][1], found[after][0] = Bend(end, ahead, turn, 1), Bend(begin, -on, -turn, 0)
    return found


def closed_at(traced: Sequence, rows: Sequence[RowPlace], joint: float, style: str) -> tuple[list, list[Closing]]:
    """Return the traced parts with what ends their rows, and the pieces that close the rows, at every true corner.

    `style` holds for rows that do not say otherwise.
    """
    ends: list[list[End]] = [[] for _ in traced]
    closings = []
    for index in range(len(traced)):
        after = (index + 1) % len(traced)
        came, went = traced[index].bends[1], traced[after].bends[0]
        if came is None:
            continue
        styles = [_style(came, row, row.spec.corner or style) for row in rows]
        pivot = _pivot(came, rows, styles)
        tips = [
            _closing(came, *one, traced[index], traced[after], joint, pivot) for one in zip(rows, styles, strict=True)
        ]
        closings += [closing for _, _, closing in tips if closing is not None]
        for at, bend in ((index, came), (after, went)):
            ends[at].append(_end(traced[at], bend, rows, [tip[:2] for tip in tips], joint, pivot))
    return [part._replace(corners=tuple(end)) for part, end in zip(traced, ends, strict=True)], closings


def _end(
    traced, bend: Bend, rows: Sequence[RowPlace], tips: Sequence[tuple[str, float]], joint: float, pivot: float
) -> End:
    """Return the lines that end rows, which are closed each in a style, and of a point how deep behind the tip [mm]."""
    bisector = bend.point - joint / 2 * bend.bisector, bend.bisector, _bisected(traced, bend, rows)
    lines = []
    for row, (style, deep) in zip(rows, tips, strict=True):
        (inner, outer), wide = bend.edges(row), 2 * (row.width + row.spec.height)
        if style == "square":
            line = bend.point + (inner * bend.factor - joint) * bend.ahead, bend.ahead, wide + abs(inner * bend.factor)
        elif style == "fan":
            line = bend.tip(pivot) - joint / 2 * bend.ahead, bend.ahead, wide + abs(pivot * bend.factor)
        elif style == "point":
            begin = bend.tip(outer) - (deep + joint) * bend.axis
            line = begin, bend.axis, wide + 1.2 * abs((begin - bend.point) @ bend.axis)
        else:
            line = bisector
        lines.append((line, line if style == "square" else bisector))
    if all(one is other for one, other in lines):
        lines = [pair[:1] for pair in lines]
    at, outward, reach = (np.array([[line[k] for line in pair] for pair in lines]) for k in range(3))
    s = traced.part.s1 if bend.side else traced.part.s0
    return End(s, 1 if bend.side else -1, at, outward, reach)


def _bisected(traced, bend: Bend, rows: Sequence[RowPlace]) -> float:
    """Return how far back along a part the bisector of its corner counts: not past where the guide crosses it [mm]."""
    wide, far = max(row.width for row in rows), max(max(-row.left, row.right) for row in rows)
    s, xy = (traced.s, traced.xy) if bend.side == 0 else (traced.s[::-1], traced.xy[::-1])
    back = np.abs(s - (traced.part.s1 if bend.side else traced.part.s0))
    over = ((xy - bend.point) @ bend.bisector > 0) & (back > wide) & (s > traced.part.s0) & (s < traced.part.s1)
    crossed = back[np.argmax(over)] if over.any() else np.inf
    return float(min(2 * (bend.factor * far + wide), 0.8 * crossed))


def _style(bend: Bend, row: RowPlace, wanted: str) -> str:
    """Return how a row is closed at a corner: as wanted, or where that does not do as a point or mitred."""
    outer, phi = bend.edges(row)[1], abs(bend.turn)
    if outer > 0 and (phi > SHARPEST or (wanted == "fan" and phi > GENTLE)):
        return "fan"
    if phi > POINTED:
        return "point"
    return "square" if wanted == "square" and _square_fits(row, phi) else "mitre"


def _pivot(bend: Bend, rows: Sequence[RowPlace], styles: Sequence[str]) -> float:
    """Return the offset at which the middle of the fans lies: of the innermost row, or the guide at a tip [mm]."""
    inner = [bend.edges(row)[0] for row, style in zip(rows, styles, strict=True) if style == "fan"]
    return 0.0 if not inner or abs(bend.turn) > SHARPEST else min(inner)


def _closing(
    bend: Bend, row: RowPlace, style: str, before, after, joint: float, pivot: float
) -> tuple[str, float, Closing | None]:
    """Return how a row is closed, how deep behind its tip a shared point begins [mm], and the pieces, if there are any."""
    inner, outer = bend.edges(row)
    deep, corners = 0.0, np.zeros((0, 4, 2))
    if style == "fan":
        corners = _fan(bend, row, inner - pivot, outer - pivot, bend.tip(pivot), joint)
    elif style == "point":
        deep, corners = _point(bend, row, outer, before, after, joint)
        style = style if deep else "mitre"
    elif style == "square":
        corners = _square(bend, inner, outer)[None]
    return style, deep, Closing(row, style, before.part.s1, corners) if len(corners) else None


def _square_fits(row: RowPlace, phi: float) -> bool:
    """Tell whether a corner piece, square to both sides, is no larger than its tile and no sliver."""
    high = row.spec.height
    return phi > GENTLE and high * max(np.tan(phi / 2), np.sin(phi)) <= row.width + 1e-6 and phi <= np.pi / 2 + 1e-6


def _square(bend: Bend, inner: float, outer: float) -> np.ndarray:
    """Return the corner piece between lines square to both sides, shape (4, 2)."""
    out = _turned(bend.ahead, -np.copysign(np.pi / 2, bend.turn))
    on = _turned(out, bend.turn)
    start = bend.tip(inner)
    corners = start, start + (outer - inner) * out, bend.tip(outer), start + (outer - inner) * on
    return _clockwise(np.array(corners))


def _clockwise(corners: np.ndarray) -> np.ndarray:
    """Return four corners so that they run clockwise, from the same first one."""
    x, y = (corners - corners[0]).T
    return corners if np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)) < 0 else corners[[0, 3, 2, 1]]


def _fan(bend: Bend, row: RowPlace, inner: float, outer: float, centre: np.ndarray, joint: float) -> np.ndarray:
    """Return wedges round the outside of a corner, their points cut off, shape (n, 4, 2); none where too narrow."""
    phi, count = abs(bend.turn), 0
    while True:
        count += 1
        half = phi / count / 2
        far = outer * (1 + np.cos(half)) / 2  # between chord and crown
        wide = 2 * far * np.tan(half) - joint / np.cos(half)
        if wide <= row.width and half < np.pi / 4:
            break
    near = max(inner * (1 + np.cos(half)) / 2, (row.fan_end / 2 + joint / 2 / np.cos(half)) / np.tan(half))
    if wide < THIN * row.narrow_end or far - near < THIN * row.narrow_end:
        return np.zeros((0, 4, 2))
    angles = (2 * np.arange(count) + 1) * half
    out = np.array([_turned(bend.ahead, np.sign(bend.turn) * (angle - np.pi / 2)) for angle in angles])
    along = np.array([_turned(bend.ahead, np.sign(bend.turn) * angle) for angle in angles])
    ends = [x * np.tan(half) - joint / 2 / np.cos(half) for x in (near, far)]
    low, high = (
        [centre + x * out + side * end * along for side in (-1, 1)] for x, end in zip((near, far), ends, strict=True)
    )
    # outside is on the right where the corner turns left
    left, right = (low, high) if bend.turn > 0 else (high, low)
    return np.stack([left[0], left[1], right[1], right[0]], axis=1)


def _point(bend: Bend, row: RowPlace, outer: float, before, after, joint: float) -> tuple[float, np.ndarray]:
    """Return how deep behind its tip both sides of a row are as wide as one row, and the pieces from there to the tip.

    They are square to the corner's axis, shape (n, 4, 2); 0 and none where the sides do not meet so.
    """
    tip, axis = bend.tip(outer), bend.axis
    across = _turned(axis, np.pi / 2)
    sides = list(_behind(bend, row, before, after, tip, axis, across))
    if sides[0][1][-1] < sides[1][1][-1]:
        sides.reverse()
    u = np.linspace(max(side[0][0] for side in sides), min(side[0][-1] for side in sides), FINE)
    left, right = (np.interp(u, *side) for side in sides)
    for share in SHARES:  # where the sides curve, a piece leans and must begin nearer to the tip to fit its tile
        marks = _slices(u, left - right, share * row.spec.height, row, joint)
        ends = [np.interp(marks, u, side) for side in (left, right)]
        if not len(marks) or (ends[0].max(axis=1) - ends[1].min(axis=1)).max() <= row.spec.height + BLUNT / 10:
            break
    else:
        marks = marks[:0]
    if not len(marks):
        return 0.0, np.zeros((0, 4, 2))
    corners = [tip - marks[:, k, None] * axis + end[:, k, None] * across for end in ends for k in (0, 1)]
    return float(marks[0, 0]), np.stack([corners[k] for k in (0, 1, 3, 2)], axis=1)


def _slices(u: np.ndarray, wide: np.ndarray, high: float, row: RowPlace, joint: float) -> np.ndarray:
    """Return begin and end of pieces, all alike, from where a tip is so `high` to its point, shape (n, 2) [mm].

    From how wide it is at depths u, both shape (n,) [mm]; a point that would be too thin is left out.
    """
    if u[-1] <= u[0] or wide[0] > BLUNT or not (wide >= high).any():
        return np.zeros((0, 2))
    begin = int(np.argmax(wide >= high))
    first = begin - 1 - int(np.argmax(wide[:begin][::-1] <= BLUNT))
    point, deep = np.interp([BLUNT, high], wide[first : begin + 1], u[first : begin + 1])
    count = max(1, int(np.ceil((deep - point + joint) / (row.width + joint) - 1e-9)))
    pitch = (deep - point + joint) / count
    start = deep - np.arange(count) * pitch
    marks = np.stack([start, start - pitch + joint], axis=1)
    return marks if np.interp(marks[-1, 0], u, wide) >= THIN * row.narrow_end else marks[:-1]


def _behind(bend: Bend, row: RowPlace, before, after, tip, axis, across) -> Iterator[tuple[np.ndarray, np.ndarray]]:
    """Give for the outer edge on both sides how deep behind the tip it is, rising, and how far beside the axis [mm]."""
    far = 2 * (bend.factor * max(abs(row.left), abs(row.right)) + row.width)
    left = bend.turn > 0
    for traced, s, ahead in ((before, before.part.s1, -1), (after, after.part.s0, 1)):
        near = np.flatnonzero(np.abs(traced.s - s) < far)[::ahead]
        edge = traced.xy[near] + (row.right if left else row.left) * traced.normal[near]
        u, v = (tip - edge) @ axis, (edge - tip) @ across
        rises = np.concatenate([[True], np.diff(u) > 0])
        stop = len(rises) if rises.all() else int(np.argmin(rises))
        yield u[:stop], v[:stop]
