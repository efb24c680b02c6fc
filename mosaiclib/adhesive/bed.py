"""The bed of adhesive: dabs, voids, coverage, and what is squeezed out."""

__all__ = ["Pressed", "bed_volume", "cleared", "coverage_wanted", "press", "squeeze_out", "tubes"]

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely

from mosaiclib import reference
from mosaiclib.adhesive.choose import CLARITIES, PLACES
from mosaiclib.adhesive.cure import read_pieces
from mosaiclib.errors import choice, number, numbers
from mosaiclib.layout.layout import Layout


@dataclass(frozen=True, eq=False)
class Pressed:
    """Dabs pressed under n pieces: backs and where adhesive lies under each, polygons of shape (n,) [mm]; what is pressed
    out at the edges of each, shape (n,) [mm3]."""

    pieces: np.ndarray
    spread: np.ndarray
    ooze: np.ndarray

    @cached_property
    def coverage(self) -> np.ndarray:
        """Share of each back that is covered, shape (n,)."""
        return shapely.area(self.spread) / shapely.area(self.pieces)

    @property
    def voids(self) -> np.ndarray:
        """What is not covered of each back, shape (n,) [mm]."""
        return shapely.difference(self.pieces, self.spread)

    @cached_property
    def share(self) -> float:
        """Share of all backs together that is covered."""
        return float(shapely.area(self.spread).sum() / shapely.area(self.pieces).sum())


def press(pieces, dab, bed: float, *, ridge: float = 0.0) -> Pressed:
    """Press a dab [mm3] in the middle of each of n pieces [mm] down to a bed [mm]; it spreads round until it meets the edges.

    area = dab/(bed + ridge/2): a ridged back takes half its ridge's height [mm] more. `dab` is one volume or n of them.

    >>> done = press(shapely.box(0, 0, 20, 20), 160, 0.8)  # 200 mm2 of 400
    >>> round(done.share, 3), done.ooze.tolist()
    (0.5, [0.0])
    >>> press(shapely.box(0, 0, 20, 20), 400, 0.8).ooze.round(6).tolist()  # 400 - 400 x 0.8
    [80.0]
    """
    shapes = read_pieces(pieces)
    volume = np.broadcast_to(numbers(dab, "dab", "mm3", least=0, greatest=1e6), shapes.shape)
    deep = number(bed, "bed", "mm", above=0, greatest=20) + number(ridge, "ridge", "mm", least=0, greatest=10) / 2
    area = shapely.area(shapes)
    spread, part = shapes.copy(), volume / deep < area * (1 - 1e-9)
    spread[part] = _dab(shapes[part], volume[part] / deep)
    return Pressed(shapes, spread, np.maximum(volume - area * deep, 0.0))


def _dab(shapes: np.ndarray, wanted: np.ndarray) -> np.ndarray:
    """Return the round dab in the middle of each shape that covers the wanted area of it [mm2]."""
    from scipy.optimize.elementwise import find_root  # heavy, and not wanted by every page

    # the middle of a square, a wedge or a triangle; of a hollow piece it may lie outside, and the dab with it
    centre = shapely.centroid(shapes)

    def dab(radius, which):
        return shapely.intersection(shapes[which], shapely.buffer(centre[which], radius))

    def lacking(radius, which):
        return shapely.area(dab(radius, which.astype(int))) - wanted[which.astype(int)]

    # a circle of many corners is a little smaller than a round one
    every, ends = np.arange(len(shapes)), (np.zeros(len(shapes)), 1.01 * shapely.hausdorff_distance(centre, shapes))
    return dab(find_root(lacking, ends, args=(every,), tolerances={"xatol": 1e-6}).x, every)


def coverage_wanted(clarity: str, place: str) -> reference.Record:
    """Return the rule for the share of each back that is to be covered; through glass that light passes every void is seen.

    The 80 and 95 % rules leave glass tile out; they are the nearest that is written.

    >>> [coverage_wanted(*case).number for case in (("opaque", "kitchen"), ("opaque", "outdoors"))]
    [0.8, 0.95]
    >>> coverage_wanted("translucent", "dry shelf").number
    1.0
    """
    choice(place, "place", PLACES)
    if choice(clarity, "clarity of the tesserae", CLARITIES) != "opaque":
        return reference.value("coverage", "back covered, translucent glass")
    if place in ("dry shelf", "sunny window", "kitchen"):
        return reference.value("coverage", "back covered, dry rooms")
    return reference.value("coverage", "back covered, wet rooms and outdoors")


def cleared(layout: Layout, ooze: float, bed: float = 0.0, share: float | None = None) -> float:
    """Return the adhesive that stays in the joints once they are cleared, which the filler need not fill [mL].

    The least of the ooze [mL] and (1 - share) x depth x joint area; `share` of the joints' depth is cleared, about two thirds
    if left out (common practice, no source); the bed [mm] is part of the depth.

    >>> from mosaiclib.layout import Tile, lay_grid
    >>> laid = lay_grid(shapely.box(0, 0, 42, 42), Tile(20, 4), 2)
    >>> round(cleared(laid, 5.0), 4)  # a third of 4 mm on 42^2 - 4 x 20^2 mm2
    0.2186
    """
    usual = reference.value("coverage", "depth to clear").number if share is None else share
    kept = 1 - number(usual, "share of the depth that is cleared", least=0, greatest=1)
    deep = layout.tile.thickness + number(bed, "bed", "mm", least=0, greatest=20)
    return min(number(ooze, "ooze", "mL", least=0, greatest=1e6), kept * deep * layout.filler_area / 1000)


def tubes(volume: float, size: float, lost: float = 0.0) -> int:
    """Return how many tubes [mL] a volume [mL] takes; `lost`, 0 to 2 of it, stays in the nozzle and on the palette.

    >>> tubes(280, 310, 0.15)
    2
    """
    need = number(volume, "volume", "mL", least=0, greatest=1e9) * (1 + number(lost, "share lost", least=0, greatest=2))
    return math.ceil(need / number(size, "content of a tube", "mL", above=0, greatest=1e6) - 1e-9)


def squeeze_out(minutes: float, pieces_a_minute: float, dab: float) -> tuple[int, float]:
    """Return how many pieces one can place in the working time [min], rounded down, and the adhesive for them [mL].

    `dab` is what one piece takes [mm3].

    >>> squeeze_out(10, 3, 320)
    (30, 9.6)
    """
    time = number(minutes, "working time", "minutes", above=0, greatest=1e4)
    count = int(time * number(pieces_a_minute, "pieces a minute", above=0, greatest=60) + 1e-9)
    return count, count * number(dab, "dab", "mm3", least=0, greatest=1e6) / 1000


def bed_volume(area: float, bed: float, *, coverage: float = 1.0, waste: float = 0.0) -> float:
    """Return the adhesive for a bed [mm] under backs of an area [mm2]: area x coverage x bed x (1 + waste) [mL].

    `coverage` over 0 to 1 of the back; `waste`, 0 to 2 of what is used, stays in the nozzle and on the palette.

    >>> bed_volume(40_000, 0.8, waste=0.25)
    40.0
    """
    number(area, "area", "mm2", least=0, greatest=1e11), number(bed, "bed", "mm", above=0, greatest=20)
    number(coverage, "coverage", above=0, greatest=1), number(waste, "waste", least=0, greatest=2)
    return area * coverage * bed * (1 + waste) / 1000
