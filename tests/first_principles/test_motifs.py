"""Motifs against closed formulas, counting and symmetry."""

import math

import numpy as np
import pytest
import shapely
from shapely.affinity import rotate

from mosaiclib.layout import ellipse, heart, lay, leaf, motif, outline_of, ring, rounded_rectangle, star, wedge

PERIMETER = 20 * 17.868899204378693  # of an ellipse 140 by 84 [mm]; SciPy documentation, scipy.special.ellipe, example
PHI = (1 + math.sqrt(5)) / 2


def rows_of(laid):
    """Yield number, table and shapes of each row of a motif."""
    for row, table in laid.pieces[laid.pieces["band"] == "rows"].groupby("row"):
        yield row, table, laid.shapes[table.index]


@pytest.mark.parametrize("radius", [46.0, 60.0, 75.0, 96.0])
@pytest.mark.parametrize("fraction", ["half", "quarter"])
def test_rings_of_a_disc_are_the_closed_rings_of_wedges(radius, fraction):
    """Of n wedges alike round a circle each takes 1/n of the turn: its straight edges are 2 r tan(pi/n), joints taken off.

    No ring has fewer pieces than the published table's rule, which takes the widest wedge that a tile gives.
    """
    for _, table, shapes in rows_of(motif(ring(radius), 20, 2, fraction=fraction)):
        n, opened = len(table), math.pi / len(table)
        if set(table["kind"]) != {"wedge"}:  # fans, whose points are cut off
            continue
        corners = np.sort(np.hypot(*shapely.get_coordinates(shapes).reshape(n, 5, 2)[:, :4].transpose(2, 0, 1)), axis=1)
        gap = np.array([shapely.distance(one, np.delete(shapes, k)).min() for k, one in enumerate(shapes)]).mean()
        assert 1.7 - 0.02 <= gap <= 2.3
        for edge, far in ((table["narrow"], corners[:, :2].mean()), (table["width"], corners[:, 2:].mean())):
            middle = math.sqrt(far**2 - (edge.mean() / 2) ** 2)
            closed = 2 * middle * math.tan(opened) - gap / math.cos(opened)
            assert edge.to_numpy() == pytest.approx(closed, abs=0.1)
        whole = {"half": 20.0, "quarter": 10.0}[fraction]
        inside = shapely.distance(shapes, shapely.Point(0, 0)).mean()
        assert n >= wedge(inside, width=whole, height=table["height"].mean(), joint=2).count


AREAS = {  # closed formulas
    "disc": (ring(60), math.pi * 60**2),
    "ellipse": (ellipse(140, 84), math.pi * 70 * 42),
    "leaf": (leaf(100 * math.sqrt(3), 100), 100**2 * (2 * math.pi / 3 - math.sqrt(3) / 2)),
    "plate": (rounded_rectangle(180, 120, 30), 180 * 120 - (4 - math.pi) * 30**2),
    "star": (star(240), 5 / 2 * 120**2 / PHI**2 * math.sin(math.pi / 5) * 2),  # ten triangles from its middle
}


@pytest.mark.parametrize("name", AREAS)
def test_glass_joints_and_what_is_left_make_up_the_outline(name):
    line, area = AREAS[name]
    laid = motif(line, 15, 2, fraction="quarter")
    assert outline_of(line).area == pytest.approx(area, rel=1e-4)
    assert laid.areas.sum() + laid.filler_area == pytest.approx(area, rel=1e-4)
    # of a place of 7.5 by 7.5 mm with a joint of 2 mm the glass is (7.5/9.5)^2; wedges and wider joints take some of it
    assert 0.8 * (7.5 / 9.5) ** 2 < laid.areas.sum() / area < 1.1 * (7.5 / 9.5) ** 2


def test_petals_of_a_rosette_are_alike():
    """Six petals that do not touch, a sixth of a turn apart: each is the first one turned."""
    spots = [(85 * math.cos(k * math.pi / 3), 85 * math.sin(k * math.pi / 3)) for k in range(6)]
    petals = [leaf(90, 60, x=x, y=y, turned=60 * k) for k, (x, y) in enumerate(spots)]
    lines = [{"outline": outline_of(one), "fraction": "quarter", "name": f"petal {k}"} for k, one in enumerate(petals)]
    laid = lay(shapely.box(-150, -150, 150, 150), lines, 20, 2, field=None)
    each = [shapely.union_all(laid.shapes[(laid.pieces["line"] == f"petal {k}").to_numpy()]) for k in range(6)]
    angles = np.degrees([math.atan2(one.centroid.y, one.centroid.x) for one in each])
    assert np.diff(np.append(angles, angles[0])) % 360 == pytest.approx(60, abs=0.2)
    for k, one in enumerate(each[1:], 1):
        back = rotate(one, -60 * k, origin=(0, 0))
        assert back.area == pytest.approx(each[0].area, rel=0.01)
        assert back.symmetric_difference(each[0]).area < 0.05 * each[0].area


def test_a_star_has_five_arms_alike():
    """A row inwards from a star has as much glass in each fifth of a turn, and as many pieces but one."""
    _, table, shapes = next(iter(rows_of(motif(star(240, inner=120), 20, 2, fraction="quarter"))))
    spots = shapely.get_coordinates(shapely.centroid(shapes))
    arm = np.floor((np.degrees(np.arctan2(spots[:, 1], spots[:, 0])) - 54) % 360 / 72).astype(int)
    glass, count = (np.bincount(arm, one, minlength=5) for one in (shapely.area(shapes), None))
    assert np.ptp(glass) < 0.05 * glass.mean() and np.ptp(count) <= 1 and len(table) == count.sum()


@pytest.mark.parametrize(("line", "length"), [(ring(60), 120 * math.pi), (ellipse(140, 84), PERIMETER)])
@pytest.mark.parametrize("fraction", ["half", "quarter"])
def test_rows_beside_a_convex_outline_are_as_long_as_their_offset(line, length, fraction):
    """A line at a distance d inside a convex one is 2 pi d shorter (Steiner), outside longer, while it has no corner.

    So are a row's pieces with their joints along their middle.
    """
    laid = motif(line, 20, 2, fraction=fraction, outlined=fraction)
    edge = shapely.boundary(outline_of(line))
    for row, table, shapes in rows_of(laid):
        far = shapely.distance(shapely.centroid(shapes), edge).mean() * (1 if row == 1 else -1)
        if row > 2:  # further in, the ellipse's offsets have corners
            continue
        along = table["area"] / table["height"] + 2
        assert along.sum() == pytest.approx(length + 2 * math.pi * far, rel=0.02)


def test_a_heart_is_a_square_and_two_half_discs():
    """As high as wide by (2 + 3 sqrt 2/2)/(2 + sqrt 2): its sides then run on into the tip at a right angle."""
    r = 100 / (2 + math.sqrt(2))
    side, high = 2 * r, r * (1 + 3 / math.sqrt(2))
    assert outline_of(heart(100, high)).area == pytest.approx(side**2 + math.pi * r**2, rel=1e-3)
