"""Measures of a finished layout: joints, overlaps, gaps, smallest piece, coverage."""

__all__ = ["Survey", "joints_of", "length_within", "survey"]

from dataclasses import dataclass

import numpy as np
import shapely

from mosaiclib.errors import MosaicError, instance, number
from mosaiclib.layout.facing import Facing, edges_of, facing
from mosaiclib.layout.tesserae import Layout

OVERLAP = 1e-6  # [mm2] less is rounding


@dataclass(frozen=True)
class Survey:
    """What a careful eye with a gauge would find on a layout.

    Parameters
    ----------
    pieces : int
        Number of pieces.
    joint_mean, joint_sd, joint_least, joint_greatest : float
        Joint width, weighted by length [mm]; 0 where there is no joint.
    joint_length : float
        Length of all joints between pieces [mm].
    share_within : float
        Share of joint length within the limits, 0 to 1; 1 where there is no joint.
    overlaps : int
        Pairs of pieces that overlap.
    gap_radius : float
        Radius of the largest circle in a gap that the layout does not report [mm].
    least_width : float
        Least width of any piece, turned freely [mm].
    coverage : float
        Share of the outline that is glass, 0 to 1.
    cut_share, wedge_share : float
        Share of pieces that are cut in any way, and that are wedges, 0 to 1.
    outside : int
        Pieces that reach over the outline.
    """

    pieces: int
    joint_mean: float
    joint_sd: float
    joint_least: float
    joint_greatest: float
    joint_length: float
    share_within: float
    overlaps: int
    gap_radius: float
    least_width: float
    coverage: float
    cut_share: float
    wedge_share: float
    outside: int


def joints_of(layout: Layout, reach: float | None = None) -> Facing:
    """Return all stretches of joint between pieces of the same face.

    Parameters
    ----------
    layout : Layout
        The pieces.
    reach : float, optional
        Widest joint that is looked for [mm]; twice the greatest joint and 0.5 mm if left out, less than a tile, so that
        joints over the limit are seen.

    Returns
    -------
    Facing
        Stretches of joint.

    Examples
    --------
    >>> import shapely
    >>> from mosaiclib.layout import lay_grid
    >>> joints_of(lay_grid(shapely.box(0, 0, 42, 20), 20, 2)).mean_gap.tolist()
    [2.0]
    """
    instance(layout, Layout, "layout")
    usual = _reach(layout, layout.joint_max)
    widest = usual if reach is None else number(reach, "reach", "mm", above=0, greatest=1e6)
    pairs = shapely.STRtree(layout.shapes).query(layout.shapes, predicate="dwithin", distance=widest).T
    face = layout.pieces["face"].astype("category").cat.codes.to_numpy()
    pairs = pairs[(pairs[:, 0] < pairs[:, 1]) & (face[pairs[:, 0]] == face[pairs[:, 1]])]
    return facing(layout.shapes, pairs, widest)


def _reach(layout: Layout, most: float) -> float:
    """Return how far to look for joints [mm]: well over the greatest, but not through a tile at the one behind it."""
    return min(2 * most + 0.5, max(most, 0.95 * layout.tile.side))


def survey(layout: Layout, joint_min: float | None = None, joint_max: float | None = None) -> Survey:
    """Measure a finished layout.

    Parameters
    ----------
    layout : Layout
        The pieces.
    joint_min, joint_max : float, optional
        Limits to judge by [mm]; the layout's own if left out.

    Returns
    -------
    Survey
        The measures.

    Raises
    ------
    MosaicError
        If a limit is not a number of at least 0, or the limits are crossed.

    Examples
    --------
    >>> import shapely
    >>> from mosaiclib.layout import lay_grid
    >>> found = survey(lay_grid(shapely.box(0, 0, 86, 64), 20, 2))
    >>> found.pieces, round(found.joint_mean, 6), found.share_within, found.overlaps
    (12, 2.0, 1.0, 0)
    """
    instance(layout, Layout, "layout")
    least = layout.joint_min if joint_min is None else number(joint_min, "least joint", "mm", least=0, greatest=1e5)
    most = layout.joint_max if joint_max is None else number(joint_max, "greatest joint", "mm", least=0, greatest=1e5)
    if least > most:
        raise MosaicError(f"The least joint, {least:g} mm, is over the greatest, {most:g} mm; swap them.")
    met = joints_of(layout, _reach(layout, max(most, layout.joint_max)))
    kind = layout.pieces["kind"].to_numpy()
    count = max(len(layout), 1)
    return Survey(
        pieces=len(layout),
        **_joint_measures(met, least, most),
        overlaps=_overlaps(layout.shapes),
        gap_radius=_gap_radius(layout),
        least_width=float(_least_width(layout.shapes)),
        coverage=float(layout.areas.sum() / layout.outline.area) if layout.outline.area else 0.0,
        cut_share=float(np.sum(kind != "whole") / count),
        wedge_share=float(np.sum(kind == "wedge") / count),
        outside=int(np.sum(shapely.area(shapely.difference(layout.shapes, layout.outline)) > OVERLAP)),
    )


def _joint_measures(met: Facing, least: float, most: float) -> dict[str, float]:
    """Return the measures of the joints, weighted by length."""
    total = float(met.length.sum())
    if not total:
        return dict.fromkeys(("joint_mean", "joint_sd", "joint_least", "joint_greatest", "joint_length"), 0.0) | {
            "share_within": 1.0
        }
    ends = np.stack([met.start_gap, met.end_gap])
    mean = float(np.average(met.mean_gap, weights=met.length))
    # a joint that widens evenly from a to b has the mean square (a^2 + a b + b^2)/3
    square = np.average((ends[0] ** 2 + ends[0] * ends[1] + ends[1] ** 2) / 3, weights=met.length)
    return {
        "joint_mean": mean,
        "joint_sd": float(np.sqrt(max(square - mean**2, 0.0))),
        "joint_least": float(ends.min()),
        "joint_greatest": float(ends.max()),
        "joint_length": total,
        "share_within": float(length_within(met, least, most).sum() / total),
    }


def length_within(met: Facing, least: float, most: float) -> np.ndarray:
    """Return for each stretch of joint the length whose width lies within limits.

    Parameters
    ----------
    met : Facing
        Stretches of joint, n of them.
    least, most : float
        Limits [mm].

    Returns
    -------
    array, shape (n,)
        Lengths [mm].
    """
    ends = np.stack([met.start_gap, met.end_gap])
    low, high = ends.min(axis=0), ends.max(axis=0)
    inside = np.clip(np.minimum(high, most) - np.maximum(low, least), 0, None)
    even = (low >= least - 1e-9) & (high <= most + 1e-9)
    return met.length * np.where(even, 1.0, inside / np.where(high > low, high - low, 1.0))


def _overlaps(shapes: np.ndarray) -> int:
    """Count the pairs of pieces that overlap by more than rounding."""
    first, second = shapely.STRtree(shapes).query(shapes, predicate="intersects")
    once = first < second
    shared = shapely.area(shapely.intersection(shapes[first[once]], shapes[second[once]]))
    return int(np.sum(shared > OVERLAP))


def _gap_radius(layout: Layout) -> float:
    """Return the radius of the largest circle in an unreported gap [mm].

    Pieces are first grown by what a crossing of joints holds, so that only real gaps are left to look at.
    """
    grow = layout.joint_max / np.sqrt(2)
    grown = shapely.union_all(shapely.buffer(layout.shapes, grow, quad_segs=4)) if len(layout) else shapely.Polygon()
    free = layout.outline.buffer(-grow, join_style="mitre").difference(grown)  # circles stay inside the outline
    if layout.gaps:
        free = free.difference(shapely.union_all([gap.shape.buffer(1e-6) for gap in layout.gaps]))
    parts = [part for part in shapely.get_parts(free) if part.area > OVERLAP]
    radii = [shapely.length(shapely.maximum_inscribed_circle(part, 0.01)) for part in parts]
    return float(max(radii) + grow) if radii else 0.0


def _least_width(shapes: np.ndarray) -> float:
    """Return the least width of any piece between two parallel lines [mm]; one of them lies along an edge."""
    if not len(shapes):
        return 0.0
    begin, end, first, owner = edges_of(shapely.convex_hull(shapes))
    along = end - begin
    count = np.diff(first)[owner]  # corners to be measured from each edge
    edge = np.repeat(np.arange(len(owner)), count)
    starts = np.cumsum(count) - count
    corner = first[owner[edge]] + np.arange(len(edge)) - starts[edge]
    step = begin[corner] - begin[edge]
    off = np.abs(along[edge, 0] * step[:, 1] - along[edge, 1] * step[:, 0]) / np.hypot(*along[edge].T)
    return float(np.maximum.reduceat(off, starts).min())
