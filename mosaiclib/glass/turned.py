"""What all glass has in common that is round about an axis: a stack of frusta, unrolled, closed by a seam."""

__all__ = ["Turned", "girth_of_oval", "girth_read", "rolled"]

import math
from collections.abc import Sequence
from functools import cached_property
from typing import ClassVar

import numpy as np
import shapely
from shapely import MultiPolygon, Polygon

from mosaiclib import reference
from mosaiclib.errors import MosaicError, choice, number, several
from mosaiclib.glass.face import OUT_OF_SQUARE, Corner, Face
from mosaiclib.glass.frustum import Frustum
from mosaiclib.glass.seam import Seam
from mosaiclib.units import mm, text
from mosaiclib.words import Text

APART = 20.0  # [mm] between two unrolled frusta on the strip; assumed
EXACT = 1e-9  # [mm] rounding


class Turned:
    """A vessel round about its axis: `profile` gives girths and heights [mm], low ones first; the rest are its fields."""

    has_inside: ClassVar[bool] = True
    top: ClassVar[str] = "rim"
    hazards: ClassVar[tuple[str, ...]] = ("round",)
    ring_joint: float = 0.0

    @property
    def profile(self) -> tuple[tuple[float, float], ...]:
        """Girths and their heights over the foot, low ones first [mm]."""
        raise NotImplementedError

    @cached_property
    def frusta(self) -> tuple[Frustum, ...]:
        """The frusta, unrolled one over the other on the strip, the lowest at its foot."""
        parts = [Frustum(c0, c1, z0, z1) for (c0, z0), (c1, z1) in zip(self.profile, self.profile[1:], strict=False)]
        boxes = [part.sector().bounds for part in parts]
        middle, y, found = max(x1 - x0 for x0, _, x1, _ in boxes) / 2, 0.0, []
        for part, (_, low, _, high) in zip(parts, boxes, strict=True):
            found.append(Frustum(part.foot, part.top, part.low, part.high, middle, y - low))
            y += high - low + APART
        return tuple(found)

    @cached_property
    def _covered(self) -> tuple[tuple[float, float], ...]:
        """From where to where each frustum is covered, up along the glass [mm]: margins and half a joint to the next are left."""
        n, half = len(self.frusta), self.ring_joint / 2
        return tuple(
            (self.base_margin if k == 0 else half, one.slant - (self.rim_margin if k == n - 1 else half))
            for k, one in enumerate(self.frusta)
        )

    @cached_property
    def faces(self) -> tuple[Face, ...]:
        """One face a frustum, the lowest first."""
        return tuple(map(self._face, self.face_names, self.frusta, self._covered))

    @staticmethod
    def _face(name: str, one: Frustum, covered: tuple[float, float]) -> Face:
        shape = one.sector(*covered)
        x0, y0, x1, y1 = shape.bounds
        own = None if one.foot == one.top else shape
        return Face(
            name,
            x0,
            y0,
            x1 - x0,
            y1 - y0,
            shape=own,
            edge=one.edge.beside(covered[0]),
            deep=covered[1] - covered[0],
            lean=one.lean,
        )

    @property
    def strip(self) -> Polygon | MultiPolygon:
        """The surface to be covered, unrolled [mm]."""
        return shapely.union_all([face.outline for face in self.faces])

    @property
    def around(self) -> float:
        """The greatest girth [mm]."""
        return max(girth for girth, _ in self.profile)

    @cached_property
    def seams(self) -> tuple[Seam, ...]:
        """Each frustum's with itself, then each one's upper edge with the foot of the next."""
        closing = [
            Seam(one.edge.across(0.0, 0.0, one.slant), one.edge.across(one.foot, 0.0, one.slant), (name, name), True)
            for name, one in zip(self.face_names, self.frusta, strict=False)
        ]
        pairs = zip(self.faces, self.faces[1:], self.frusta, self.frusta[1:], strict=False)
        rings = [Seam(a.edge.beside(a.slant), b.edge, (one.name, two.name), True) for one, two, a, b in pairs]
        return (*closing, *rings)

    @property
    def edge_length(self) -> float:
        """Length of rim and foot of what is covered [mm]."""
        first, last = self.frusta[0], self.frusta[-1]
        return first.girth(self._covered[0][0]) + last.girth(self._covered[-1][1])

    @property
    def out_of_square(self) -> tuple[Text, ...]:
        """What measuring showed, and what the shape asks for, in sentences."""
        return (*self.notes, *self._through_the_neck())

    def _through_the_neck(self) -> tuple[Text, ...]:
        """Say so where the opening is narrower than the rolled guides need."""
        needs = max(rolled(self._inner(face)[0].sector().bounds) for face in self.faces)
        if self.opening >= needs:
            return ()
        do = "Cut it into strips that go in one by one, or mark the outside with a wrap."
        words = " across, rolled up; the opening is "
        return (text("The inside guide needs ", mm(round(needs)), words, mm(round(self.opening, 1)), f". {do}"),)

    @property
    def opening(self) -> float:
        """Least width inside at or over the foot, the neck where one is given [mm]."""
        inner = min(min(one.inside(self.wall).foot, one.inside(self.wall).top) for one in self.frusta) / math.pi
        return min(self.neck, inner) if self.neck else inner

    def _which(self, face: Face | str) -> int:
        names = [one.name for one in self.faces]
        return names.index(choice(getattr(face, "name", face), "face", names))

    def whole_face(self, face: Face) -> Polygon:
        """Return a face with its bare margins [mm]."""
        return self.frusta[self._which(face)].sector()

    def corners(self, thickness: float, joint: float) -> tuple[Corner, ...]:
        """Return nothing: round glass has no upright corners."""
        return ()

    def _inner(self, face: Face | str) -> tuple[Frustum, float]:
        """Return the inside of a face's frustum, and from where up along the glass the floor leaves it free [mm]."""
        which = self._which(face)
        one = self.frusta[which].inside(self.wall)
        floor = max(self.base - (one.low - self.frusta[0].low), 0.0) * one.slant / (one.high - one.low)
        return one, floor if which == 0 else 0.0

    def inside_template(self, face: Face | str) -> tuple[float, float]:
        """Return width and height of the paper for a face's inside guide, its flap left out [mm]."""
        x0, y0, x1, y1 = self.guide_outline(face).bounds
        return x1 - x0, y1 - y0

    def guide_outline(self, face: Face | str) -> Polygon:
        """Return the inside of a face unrolled: the inside girth, from the floor up [mm]."""
        one, floor = self._inner(face)
        return one.sector(floor)

    def on_guide(self, face: Face, points: np.ndarray) -> np.ndarray:
        """Return where points of the strip lie on the inside guide: at the same share of the way round, as high up [mm]."""
        outer, (inner, _) = self.frusta[self._which(face)], self._inner(face)
        s, v = outer.edge.place(points)
        return inner.edge.at(s * inner.foot / outer.foot, v)

    def flap(self, face: Face, inside: bool) -> Polygon:
        """Return the flap that goes under the other edge of the guide, at its right [mm]."""
        one, low = self._inner(face) if inside else (self.frusta[self._which(face)], 0.0)
        wide = reference.value("allowances", "flap of a round guide").number
        return one.sector(low, begin=1.0, end=1.0 + wide / max(one.foot, one.top))

    def in_space(self, points: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Return points of the strip in space, the middle of a strip whose seam is at the back towards -y, and normals outwards [mm]."""
        flat = np.reshape(np.asarray(points, dtype=float), (-1, 2))
        spots, normals, nearest = np.zeros((len(flat), 3)), np.zeros((len(flat), 3)), np.full(len(flat), np.inf)
        for one in self.frusta:
            s, v = one.edge.place(flat)
            sides = ((s, one.foot), (v, one.slant))
            off = sum(np.maximum(np.abs(at - whole / 2) - whole / 2, 0) for at, whole in sides)
            mine = off < nearest
            spots[mine], normals[mine] = one.in_space(s[mine], v[mine], self.seam / self.around)
            nearest[mine] = off[mine]
        return spots, normals

    def _check_turned(self) -> None:
        """Refuse what no round glass can be."""
        object.__setattr__(self, "notes", several(self.notes, "notes"))
        least = min(girth for girth, _ in self.profile)
        for one in self.frusta:
            if min(one.inside(self.wall).foot, one.inside(self.wall).top) <= 0:
                raise MosaicError(
                    "A wall of ",
                    mm(self.wall),
                    " fills glass ",
                    mm(round(least / math.pi, 1)),
                    " across; measure it again.",
                )
        open_ = self.frusta[-1].inside(self.wall).top / math.pi
        if self.neck > open_ + EXACT:
            glass = " wide is wider than the glass inside at its rim, "
            raise MosaicError("A neck ", mm(self.neck), glass, mm(round(open_, 1)), "; measure both again.")
        self._check_heights()

    def _check_heights(self) -> None:
        low, high = self.profile[0][1], self.profile[-1][1]
        if self.base >= self.profile[1][1] - low:
            raise MosaicError(
                "A floor of ",
                mm(self.base),
                " fills the lowest ",
                mm(self.profile[1][1] - low),
                " of the vessel; measure it again.",
            )
        for begin, end in self._covered:
            if begin >= end:
                margins = text(mm(self.rim_margin), " at the rim and ", mm(self.base_margin), " at the base")
                raise MosaicError("Margins of ", margins, " leave nothing of a height of ", mm(high - low), ".")
        if not 0 <= self.seam < self.around:
            raise MosaicError(
                "The seam must lie from 0 to less than the girth, ", mm(self.around), ", round from the back."
            )


def rolled(bounds: Sequence[float]) -> float:
    """Return how wide a paper is once it is rolled up along its shorter side [mm]: its section in a coil that fills half its circle."""
    x0, y0, x1, y1 = bounds
    thick, core = (
        reference.value("allowances", name).number for name in ("paper of a guide", "tightest roll of paper")
    )
    return math.sqrt(core**2 + 4 * 2 * thick * max(x1 - x0, y1 - y0) / math.pi)


def girth_of_oval(one: float, other: float) -> float:
    """Return the girth of an oval by its two diameters [mm], as an ellipse (Ramanujan's second formula, off by under 1e-5).

    >>> round(girth_of_oval(100, 100) / 100, 9), round(girth_of_oval(200, 100), 3)
    (3.141592654, 484.422)
    """
    a, b = one / 2, other / 2
    h = ((a - b) / (a + b)) ** 2
    return math.pi * (a + b) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h)))


def girth_read(girths: Sequence[float], diameters: Sequence[float]) -> tuple[float, tuple[Text, ...]]:
    """Return the girth that counts, from girths and from diameters taken two ways or more [mm], and what they tell."""
    around = [number(one, "girth", "mm", above=0, greatest=100_000) for one in several(girths, "girths")]
    across = [number(one, "diameter", "mm", above=0, greatest=100_000) for one in several(diameters, "diameters")]
    if not around and not across:
        raise MosaicError("Measure the girth, or the diameter two ways.")
    found, notes = list(around), []
    if across:
        least, most = min(across), max(across)
        by_width = girth_of_oval(least, most)
        if most - least >= OUT_OF_SQUARE:
            turn = " Turn it so that the flatter side does not come where tiles are large."
            notes.append(text("The glass is oval: ", mm(least), " across one way and ", mm(most), f" the other.{turn}"))
        if around and abs(by_width - min(around)) >= math.pi * OUT_OF_SQUARE:
            notes.append(
                text(
                    "The girth is ",
                    mm(min(around)),
                    "; the diameters would give ",
                    mm(round(by_width, 1)),
                    ": the girth counts.",
                )
            )
        found = around or [by_width]
    if max(found) - min(found) >= OUT_OF_SQUARE:
        notes.append(text("The girth runs from ", mm(min(found), max(found)), ": ", mm(min(found)), " counts."))
    return min(found), tuple(notes)
