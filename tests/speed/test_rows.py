"""Rows and field against bare polygons in one run, and how they grow; the search for the best shift apart."""

import numpy as np
import pytest
import shapely

from drawings import drawing
from mosaiclib.layout import Guide, best_grids, join, lay_field, lay_rows
from ratios import best, least

POINTS = [(-4, 48), (45, 62), (95, 98), (145, 86), (204, 52)]
LIMITS = (1.7, 2.3)
# rows laid from ends and corners cost more than rows by phase (2.5 before, 2.8 to 3.1 since): three rows are mostly overhead
MOST = 4
MOST_SEARCH = (
    6  # each region that rows close off is searched for itself: 2.7 to 5.2 measured (1 region 2.1 to 4.0 before)
)


def rows_of(count):
    return [{"tile": 20, "fraction": "quarter", "count": count}]


def whole(points, count, face, shift):
    rows = lay_rows(Guide(points), rows_of(count), 2.0, face, limits=LIMITS)
    return join(rows, lay_field(face, rows, 20, 2.0, shift=shift))


def bare(layout, face):
    """Return a function that makes, trims and clips as many polygons by shapely's array functions alone."""
    rows = (layout.pieces["band"] == "rows").to_numpy()
    corners = np.array(
        [shapely.get_coordinates(shape)[:4] for shape in layout.shapes[rows] if len(shape.exterior.coords) >= 5]
    )
    corners = np.concatenate([corners, corners[: rows.sum() - len(corners)]])
    bounds = shapely.bounds(layout.shapes[~rows])
    low = (bounds[:, :2] + bounds[:, 2:]) / 2 - 10

    def work():
        made = shapely.polygons(corners)
        trimmed = shapely.buffer(made, -1.0, join_style="mitre")
        clipped = shapely.intersection(trimmed, face)
        kept = shapely.union_all(shapely.buffer(made, 2.0, join_style="mitre"))
        cells = shapely.box(low[:, 0], low[:, 1], low[:, 0] + 20, low[:, 1] + 20)
        return clipped, shapely.intersection(shapely.difference(cells, kept), face)

    return work


@pytest.mark.parametrize("count", [3, 6])
def test_rows_and_field_against_bare_polygons(told, count):
    face = shapely.box(0, 0, 200, 150)
    shift = best_grids(face, lay_rows(Guide(POINTS), rows_of(count), 2.0, face, limits=LIMITS), 20, 2.0)
    layout = whole(POINTS, count, face, shift)
    work = bare(layout, face)
    work()
    ratio = least(lambda: best(lambda: whole(POINTS, count, face, shift), 15) / best(work, 15), MOST)
    told(f"{count} rows and field, {len(layout)} pieces, over bare polygons", ratio, MOST)
    assert ratio <= MOST


@pytest.mark.parametrize("name", ["medallion", "ellipse", "leaf", "spiral", "star"])
def test_the_full_search_against_none(told, name):
    face, guide, spec = drawing(name)
    rows = lay_rows(guide, spec, 2.0, face, limits=LIMITS)

    def work(search):
        return lambda: lay_field(face, rows, 20, 2.0, search=search)

    work("full")()
    ratio = least(lambda: best(work("full"), 7) / best(work("none"), 7), MOST_SEARCH)
    told(f"{name}: the field with the full search over that with none", ratio, MOST_SEARCH)
    assert ratio <= MOST_SEARCH


def test_growth_from_200_to_20_000_pieces(told):
    def work(waves):
        x = np.arange(0, 4 * waves + 1) * 50.0
        points = np.stack([x, 75 + 25 * np.sin(x * 2 * np.pi / 200)], axis=1)
        face = shapely.box(0, 0, 200.0 * waves, 150)
        return lambda: whole(points, 3, face, (5.0, 5.0))

    small, large = work(2), work(160)
    counts = len(small()), len(large())
    assert 180 < counts[0] < 320
    assert counts[1] > 18_000
    power = least(lambda: np.log(best(large, 1) / best(small, 8)) / np.log(counts[1] / counts[0]), 1.2)
    told(f"growth from {counts[0]} to {counts[1]} pieces, power", power, 1.2)
    assert power <= 1.2
