"""A closer look at rows: joints by where they lie, and how far the rows leave the drawn line."""

__all__ = ["PLACES", "joints_by_place", "off_the_line"]

import numpy as np
import pandas as pd
import shapely

from mosaiclib.errors import instance, number
from mosaiclib.layout.curve import Guide
from mosaiclib.layout.rowspec import read_rows, stack
from mosaiclib.layout.surveying import joints_of, length_within
from mosaiclib.layout.tesserae import Layout

PLACES = ("within a row", "row to row", "row to field", "within the field")
FINE = 0.5  # [mm] step of the line that edges are measured from


def joints_by_place(layout: Layout) -> pd.DataFrame:
    """Measure the joints of rows and field by where they lie.

    Parameters
    ----------
    layout : Layout
        Rows, with or without field.

    Returns
    -------
    DataFrame
        One line for each of `PLACES` that occurs, with the columns place, length, mean, sd, least, greatest [mm] and
        share_within, 0 to 1; all weighted by length.

    Examples
    --------
    >>> from mosaiclib.layout.curve import straight
    >>> from mosaiclib.layout.rows import lay_rows
    >>> found = joints_by_place(lay_rows(straight(86), [dict(tile=20, count=2)], 2))
    >>> found["place"].tolist(), found["mean"].round(6).tolist()
    (['within a row', 'row to row'], [2.0, 2.0])
    """
    met = joints_of(instance(layout, Layout, "layout"))
    rows = (layout.pieces["band"] == "rows").to_numpy()
    row = np.where(rows, layout.pieces["row"].to_numpy(), -1)
    one, two = row[met.first], row[met.second]
    place = np.where(one == two, 0, np.where((one > 0) & (two > 0), 1, 2))
    place = np.where((one < 0) & (two < 0), 3, place)
    inside = length_within(met, layout.joint_min, layout.joint_max)
    lines = []
    for code, name in enumerate(PLACES):
        mine = place == code
        if not mine.any():
            continue
        weight, gap = met.length[mine], met.mean_gap[mine]
        mean = float(np.average(gap, weights=weight))
        sd = float(np.sqrt(np.average((gap - mean) ** 2, weights=weight)))
        ends = np.stack([met.start_gap[mine], met.end_gap[mine]])
        share = float(inside[mine].sum() / weight.sum())
        lines.append((name, float(weight.sum()), mean, sd, float(ends.min()), float(ends.max()), share))
    return pd.DataFrame(lines, columns=["place", "length", "mean", "sd", "least", "greatest", "share_within"])


def off_the_line(layout: Layout, guide: Guide, rows: object, joint: float) -> float:
    """Return how far the edges of rows leave the drawn line's offsets, sag included.

    Parameters
    ----------
    layout : Layout
        Rows as laid along the guide.
    guide : Guide
        The drawn line.
    rows : Rows, mapping or sequence of them
        As given to `lay_rows`.
    joint : float
        Joint between rows [mm].

    Returns
    -------
    float
        Greatest distance of an edge, at its ends or its middle, from where the row's edge should be [mm]; pieces
        that were cut back are left out.

    Raises
    ------
    MosaicError
        If the rows or the joint cannot be read.

    Examples
    --------
    >>> from mosaiclib.layout.curve import straight
    >>> from mosaiclib.layout.rows import lay_rows
    >>> round(off_the_line(lay_rows(straight(86), [dict(tile=20)], 2), straight(86), [dict(tile=20)], 2), 9)
    0.0
    """
    instance(layout, Layout, "layout")
    instance(guide, Guide, "guide")
    strips = stack(read_rows(rows), number(joint, "joint", "mm", above=0))
    pieces = layout.pieces
    drawn = ((pieces["band"] == "rows") & pieces["kind"].isin(("whole", "wedge"))).to_numpy()
    if not drawn.any():
        return 0.0
    count = max(2, int(guide.length / FINE))
    s = np.linspace(0, guide.length * (1 - 1e-12), count)
    line = shapely.linestrings(guide.at(np.append(s, 0.0) if guide.closed else s))
    corners = np.stack([shapely.get_coordinates(shape)[:4] for shape in layout.shapes[drawn]])
    edge = np.array([[strip.left, strip.right] for strip in strips])[pieces["row"].to_numpy()[drawn] - 1]
    worst = 0.0
    for first, second, wanted in ((0, 1, edge[:, 0]), (3, 2, edge[:, 1])):
        for point in (corners[:, first], (corners[:, first] + corners[:, second]) / 2, corners[:, second]):
            off = np.abs(shapely.distance(shapely.points(point), line) - np.abs(wanted))
            worst = max(worst, float(off.max()))
    return worst
