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
from mosaiclib.errors import choice, instance, number, several
from mosaiclib.layout.layout import Layout

HALVINGS = 24


@dataclass(frozen=True, eq=False)
class Pressed:
    """Dabs pressed under pieces, n of them.

    Parameters
    ----------
    pieces : array of Polygon, shape (n,)
        Backs of the pieces [mm].
    spread : array of Polygon, shape (n,)
        Where adhesive lies under each [mm].
    ooze : array of float, shape (n,)
        What is pressed out at the edges of each [mm3].
    """

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
    """Press one dab in the middle of each piece down to a bed; it spreads as a circle until it meets the edges.

    area = dab/(bed + ridge/2): a ridged back takes half its ridge's height more.

    Parameters
    ----------
    pieces : Polygon or array of Polygon, shape (n,)
        Backs of the pieces [mm].
    dab : float or array of float, shape (n,)
        Volume of each dab [mm3].
    bed : float
        Thickness of the pressed bed [mm].
    ridge : float
        Height of the ridges of the back, 0 for a smooth one [mm].

    Returns
    -------
    Pressed
        Spread, coverage, voids and ooze.

    Raises
    ------
    MosaicError
        If a number is out of range, or something is no polygon.

    Examples
    --------
    >>> done = press(shapely.box(0, 0, 20, 20), 160, 0.8)  # 200 mm2 of 400
    >>> round(done.share, 3), done.ooze.tolist()
    (0.5, [0.0])
    >>> press(shapely.box(0, 0, 20, 20), 400, 0.8).ooze.round(6).tolist()  # 400 - 400 x 0.8
    [80.0]
    """
    shapes = read_pieces(pieces)
    volume = _dabs(dab, len(shapes))
    deep = number(bed, "bed", "mm", above=0, greatest=20) + number(ridge, "ridge", "mm", least=0, greatest=10) / 2
    area = shapely.area(shapes)
    wanted = np.minimum(volume / deep, area)
    # the middle of a square, a wedge or a triangle; of a hollow piece it may lie outside, and the dab with it
    centre = shapely.centroid(shapes)
    low, high = np.zeros(len(shapes)), shapely.hausdorff_distance(centre, shapes)
    for _ in range(HALVINGS):
        radius = (low + high) / 2
        enough = shapely.area(shapely.intersection(shapes, shapely.buffer(centre, radius))) >= wanted
        low, high = np.where(enough, low, radius), np.where(enough, radius, high)
    spread = shapely.intersection(shapes, shapely.buffer(centre, high))
    full = wanted >= area * (1 - 1e-9)
    return Pressed(shapes, np.where(full, shapes, spread), np.maximum(volume - area * deep, 0.0))


def _dabs(dab, count: int) -> np.ndarray:
    """Return the volume of each dab, shape (count,) [mm3]."""
    if np.ndim(dab) == 0:
        return np.full(count, number(dab, "dab", "mm3", least=0, greatest=1e6))
    listed = several(np.asarray(dab).tolist(), "dabs", count)
    return np.array([number(one, "dab", "mm3", least=0, greatest=1e6) for one in listed])


def coverage_wanted(clarity: str, place: str) -> reference.Record:
    """Return the rule for the share of each back that is to be covered.

    Parameters
    ----------
    clarity : {"opaque", "translucent", "transparent"}
        Of the tesserae; through glass that light passes every void is seen.
    place : str
        Where the piece will live.

    Returns
    -------
    Record
        Share with its source.

    Raises
    ------
    MosaicError
        If an answer is unknown.

    Notes
    -----
    The 80 and 95 % rules leave glass tile out; they are the nearest that is written.

    Examples
    --------
    >>> [coverage_wanted(*case).number for case in (("opaque", "kitchen"), ("opaque", "outdoors"))]
    [0.8, 0.95]
    >>> coverage_wanted("translucent", "dry shelf").number
    1.0
    """
    choice(place, "place", PLACES)
    if choice(clarity, "clarity of the tesserae", CLARITIES) != "opaque":
        return reference.value("coverage", "back covered, translucent glass")
    dry = place in ("dry shelf", "kitchen")
    return reference.value("coverage", f"back covered, {'dry rooms' if dry else 'wet rooms and outdoors'}")


def cleared(layout: Layout, ooze: float, bed: float = 0.0, share: float | None = None) -> float:
    """Return the adhesive that stays in the joints once they are cleared, which the filler need not fill.

    least of the ooze and (1 - share) x depth x joint area

    Parameters
    ----------
    layout : Layout
        The pieces.
    ooze : float
        All that was pressed out [mL].
    bed : float
        Thickness of the bed [mm].
    share : float, optional
        Share of the joints' depth that is cleared; about two thirds if left out (common practice, no source).

    Returns
    -------
    float
        Volume [mL].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Examples
    --------
    >>> from mosaiclib.layout import Tile, lay_grid
    >>> laid = lay_grid(shapely.box(0, 0, 42, 42), Tile(20, 4), 2)
    >>> round(cleared(laid, 5.0), 4)  # a third of 4 mm on 42^2 - 4 x 20^2 mm2
    0.2186
    """
    instance(layout, Layout, "layout")
    usual = reference.value("coverage", "depth to clear").number if share is None else share
    kept = 1 - number(usual, "share of the depth that is cleared", least=0, greatest=1)
    out = number(ooze, "ooze", "mL", least=0, greatest=1e6)
    deep = layout.tile.thickness + number(bed, "bed", "mm", least=0, greatest=20)
    return min(out, kept * deep * layout.filler_area / 1000)


def tubes(volume: float, size: float, lost: float = 0.0) -> int:
    """Return how many tubes a volume takes, with what stays in the nozzle and on the palette.

    Parameters
    ----------
    volume : float
        Adhesive under the pieces [mL].
    size : float
        Content of a tube [mL].
    lost : float
        Share lost, 0 to 2 of the volume.

    Returns
    -------
    int
        Whole tubes.

    Raises
    ------
    MosaicError
        If a number is out of range.

    Examples
    --------
    >>> tubes(280, 310, 0.15)
    2
    """
    need = number(volume, "volume", "mL", least=0, greatest=1e9) * (1 + number(lost, "share lost", least=0, greatest=2))
    return math.ceil(need / number(size, "content of a tube", "mL", above=0, greatest=1e6) - 1e-9)


def squeeze_out(minutes: float, pieces_a_minute: float, dab: float) -> tuple[int, float]:
    """Return how many pieces one can place before the adhesive skins over, and what to squeeze out for them.

    Parameters
    ----------
    minutes : float
        Working time [min].
    pieces_a_minute : float
        Speed of the hand [1/min].
    dab : float
        Adhesive for one piece [mm3].

    Returns
    -------
    pieces : int
        Pieces, rounded down.
    volume : float
        Adhesive for them [mL].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Examples
    --------
    >>> squeeze_out(10, 3, 320)
    (30, 9.6)
    """
    time = number(minutes, "working time", "minutes", above=0, greatest=1e4)
    speed = number(pieces_a_minute, "pieces a minute", above=0, greatest=60)
    count = int(time * speed + 1e-9)
    return count, count * number(dab, "dab", "mm3", least=0, greatest=1e6) / 1000


def bed_volume(area: float, bed: float, *, coverage: float = 1.0, waste: float = 0.0) -> float:
    """Return the adhesive for a bed: area x coverage x bed thickness, and what is lost.

    Parameters
    ----------
    area : float
        Backs of all pieces [mm2].
    bed : float
        Thickness of the pressed bed [mm].
    coverage : float
        Share of the back that is covered, over 0 to 1.
    waste : float
        Share that stays in the nozzle and on the palette, 0 to 1 of what is used.

    Returns
    -------
    float
        Volume [mL].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Examples
    --------
    >>> bed_volume(40_000, 0.8, waste=0.25)
    40.0
    """
    backs = number(area, "area", "mm2", least=0, greatest=1e11)
    thick = number(bed, "bed", "mm", above=0, greatest=20)
    share = number(coverage, "coverage", above=0, greatest=1)
    lost = number(waste, "waste", least=0, greatest=2)
    return backs * share * thick * (1 + lost) / 1000
