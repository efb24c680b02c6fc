"""A layout followed across the seams of its strip: pieces by one edge shown again beside the other."""

__all__ = ["Followed", "View", "across", "followed", "surface"]

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely import MultiPolygon, Polygon

from mosaiclib.glass.seam import Seam
from mosaiclib.layout.layout import Layout, only_areas


@dataclass(frozen=True)
class Followed:
    """The n pieces of a layout and, behind them, those that are shown again across some seams: m in all.

    Shapes; the number of the piece that each is; name of the face beside whose pieces it lies; number of the seam that it was
    carried across, -1 for none; all of shape (m,).
    """

    seams: tuple[Seam, ...]
    shapes: np.ndarray
    origin: np.ndarray
    plane: np.ndarray
    via: np.ndarray

    def meeting(self, pairs: np.ndarray) -> np.ndarray:
        """Tell which pairs, shape (p, 2), first < second, meet on the glass and not only on the plane where it lies unrolled.

        What is shown again lies beside the pieces of one face only, and there beside those on the far side of its seam.
        """
        first, second = pairs.T
        real = (self.via[second] < 0) | (self.plane[first] == self.plane[second])
        for k, seam in enumerate(self.seams):
            mine = np.flatnonzero(real & (self.via[second] == k) & (self.via[first] < 0))
            if seam.faces[0] == seam.faces[1]:
                real[mine] = _nearer(self.shapes[first[mine]], seam.back)
        return real


def _nearer(shapes: np.ndarray, seam: Seam) -> np.ndarray:
    """Tell which shapes, (n,), lie as near to the one edge of a seam as to the other, or nearer."""
    return shapely.distance(shapes, seam.one.line) <= shapely.distance(shapes, seam.two.line)


def followed(layout: Layout, reach: float, seams: Sequence[Seam]) -> Followed:
    """Return the pieces of a layout with those within `reach` of a seam shown again across it [mm].

    Seams that come later carry what earlier ones have shown, too.
    """
    shapes, origin, plane = layout.shapes, np.arange(len(layout)), layout.pieces["face"].to_numpy(dtype=object)
    via = np.full(len(layout), -1)
    for k, seam in enumerate(seams):
        mine = np.flatnonzero(plane == seam.faces[0])
        near = mine[seam.near(shapes[mine], reach)]
        if seam.faces[0] == seam.faces[1]:  # on a flat cone its two edges lie near each other
            near = near[_nearer(shapes[near], seam)]
        shapes, origin = np.concatenate([shapes, seam.moved(shapes[near])]), np.concatenate([origin, origin[near]])
        plane = np.concatenate([plane, np.full(len(near), seam.faces[1], dtype=object)])
        via = np.concatenate([via, np.full(len(near), k)])
    return Followed(tuple(seams), shapes, origin, plane, via)


@dataclass(frozen=True)
class View:
    """A layout with pieces by its smooth seams shown again across them, and the number of the piece that each is, shape (m,).

    First the layout's own, n of them; a pair is met once where one is among these and the other among the first `once`.
    """

    layout: Layout
    seen: Followed | None
    own: int
    once: int

    @property
    def origin(self) -> np.ndarray:
        """The number of the piece that each is, shape (m,)."""
        return np.arange(self.own) if self.seen is None else self.seen.origin

    def met_once(self, pairs: np.ndarray, *more: np.ndarray) -> tuple[np.ndarray, ...]:
        """Return the pairs, shape (p, 2), first < second, that meet on the glass, each once."""
        if self.seen is None:
            return pairs, *more
        once = self.once_only(*pairs.T)
        return self.met(pairs[once], *(one[once] for one in more))

    def met(self, pairs: np.ndarray, *more: np.ndarray) -> tuple[np.ndarray, ...]:
        """Return the pairs, shape (p, 2), first < second, that meet on the glass, as often as they are shown."""
        if self.seen is None:
            return pairs, *more
        kept = self.seen.meeting(pairs)
        return pairs[kept], *(one[kept] for one in more)

    def once_only(self, first: np.ndarray, second: np.ndarray) -> np.ndarray:
        """Tell which pairs, first < second, (p,) each, are those that count where the same meet twice."""
        return (np.minimum(first, second) < self.own) & (np.maximum(first, second) < self.once)


def across(layout: Layout, reach: float, *, own_face: bool = False) -> View:
    """Return a layout with pieces within `reach` of a smooth seam shown again across it [mm].

    Those of a face that closes on itself on both its sides; with `own_face` no others.
    """
    seams = [one for one in layout.seams if one.smooth and not (own_face and one.faces[0] != one.faces[1])]
    count = len(layout)
    if not seams or not count:
        return View(layout, None, count, count)
    ahead = followed(layout, reach, seams)
    back = followed(layout, reach, [one.back for one in seams if one.faces[0] == one.faces[1]])
    back = replace(back, via=np.where(back.via < 0, -1, back.via + len(seams)))
    names = ("shapes", "origin", "plane", "via")
    columns = (np.concatenate([getattr(ahead, name), getattr(back, name)[count:]]) for name in names)
    seen = Followed((*ahead.seams, *back.seams), *columns)
    pieces = layout.pieces.iloc[seen.origin].assign(face=seen.plane)
    return View(replace(layout, shapes=seen.shapes, pieces=pieces, seams=()), seen, count, len(ahead.shapes))


def surface(layout: Layout) -> Polygon | MultiPolygon:
    """Return the outline with what lies behind its seams on both sides, where a face closes on itself [mm]."""
    rigid = [one for one in layout.seams if one.smooth and one.rigid and one.faces[0] == one.faces[1]]
    parts = shapely.get_parts(layout.outline)
    near = [(one, parts[one.near(parts, 1e-6)]) for seam in rigid for one in (seam, seam.back)]
    moved = [shape for seam, mine in near for shape in seam.moved(mine)]
    # two edges that are one leave a hairline of rounding between them
    grown = shapely.buffer([*parts, *moved], 1e-7, join_style="mitre") if moved else parts
    return only_areas(shapely.union_all(grown)) if moved else layout.outline
