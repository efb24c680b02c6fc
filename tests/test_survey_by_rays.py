"""The survey against independent measures: rays from every edge, square to it, to the next piece, and circles between them."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from shapely import affinity

from faults import blank
from mosaiclib.layout import (
    Guide,
    Layout,
    Tile,
    join,
    joints_by_place,
    lay_field,
    lay_grid,
    lay_rows,
    piece_table,
    survey,
)
from mosaiclib.layout.lines import leaf, ring, wave

STEP = 0.4  # [mm] between rays
SKEW = -0.5  # cosine: a ray that meets an edge at a slant over 60 degrees does not measure a joint
FACE = shapely.box(-130, -100, 130, 100)
QUARTERS = {"tile": 20, "fraction": "quarter", "count": 3}
FRAME = Guide([(-90, -60), (90, -60), (90, 60), (-90, 60)], closed=True, corners=(0, 1, 2, 3))
LINES = {
    "ring": ring(60),
    "wave": wave(262, 60, 2),
    "leaf": leaf(200, 110),
    "frame": FRAME,
    "slope": Guide([(-140, -60), (0, 10), (140, 40)]),
}


def edges(shapes):
    """Return begin and end of all edges, counter-clockwise, and whose each is."""
    points, owner = shapely.get_coordinates(shapely.orient_polygons(shapes), return_index=True)
    same = owner[1:] == owner[:-1]
    return points[:-1][same], points[1:][same], owner[:-1][same]


def rays(shapes, reach):
    """Return the joints that rays meet: owner, piece met and distance, shape (n,); nothing of the library's own is used."""
    begin, end, owner = edges(shapes)
    length = np.hypot(*(end - begin).T)
    count = np.maximum((length / STEP).astype(int), 1)
    of = np.repeat(np.arange(len(count)), count)
    share = (np.arange(len(of)) - np.repeat(np.cumsum(count) - count, count) + 0.5) / count[of]
    start = begin[of] + share[:, None] * (end - begin)[of]
    along = ((end - begin) / np.maximum(length, 1e-12)[:, None])[of]
    out = np.stack([along[:, 1], -along[:, 0]], axis=1)
    lines = shapely.linestrings(np.stack([start + 1e-7 * out, start + reach * out], axis=1))
    ray, edge = shapely.STRtree(shapely.linestrings(np.stack([begin, end], axis=1))).query(
        lines, predicate="intersects"
    )
    hit = shapely.intersection(lines[ray], shapely.linestrings(np.stack([begin[edge], end[edge]], axis=1)))
    far = shapely.distance(hit, shapely.points(start[ray]))
    order = np.lexsort((far, ray))
    ray, first = np.unique(ray[order], return_index=True)
    edge, far = edge[order][first], far[order][first]
    facing = np.einsum("ij,ij->i", along[ray], (end - begin)[edge] / length[edge][:, None]) < SKEW
    return owner[of[ray]][facing], owner[edge][facing], far[facing]


@pytest.fixture(scope="module", params=LINES)
def drawn(request):
    rows = lay_rows(LINES[request.param], QUARTERS, 2, FACE)
    return join(rows, lay_field(FACE, rows, 20, 2, search="few"))


def test_joints_by_rays(drawn):
    _, _, far = rays(drawn.shapes, 2 * drawn.joint_max + 0.5)
    seen = survey(drawn)
    assert seen.joint_mean == pytest.approx(far.mean(), abs=0.012)
    assert seen.joint_sd == pytest.approx(far.std(), abs=0.07)
    within = np.mean((far > drawn.joint_min - 1e-6) & (far < drawn.joint_max + 1e-6))
    assert seen.share_within == pytest.approx(within, abs=0.008)


def test_shares_by_place_by_rays(drawn):
    one, two, far = rays(drawn.shapes, 2 * drawn.joint_max + 0.5)
    row = np.where(drawn.pieces["band"] == "rows", drawn.pieces["row"], 0)
    a, b = np.minimum(row[one], row[two]), np.maximum(row[one], row[two])
    places = {"within a row": (a == b) & (a > 0), "row to row": (a != b) & (a > 0), "row to field": (a == 0) & (b > 0)}
    places["within the field"] = b == 0
    within = (far > drawn.joint_min - 1e-6) & (far < drawn.joint_max + 1e-6)
    assert survey(drawn).by_place.keys() == {name for name, mine in places.items() if mine.any()}
    for name, share in survey(drawn).by_place.items():
        assert share == pytest.approx(within[places[name]].mean(), abs=0.02), name


def test_the_greatest_joint_is_one_that_a_ray_meets(drawn):
    """A ray from either side of the widest joint that is told meets the other side as far away."""
    _, _, far = rays(drawn.shapes, 20)
    assert np.abs(far - survey(drawn).joint_greatest).min() < 0.2
    assert joints_by_place(drawn)["greatest"].max() == pytest.approx(survey(drawn).joint_greatest)


def test_nothing_is_measured_through_the_crack_between_two_pieces(drawn):
    """What is told as wide has nothing between its edges: no joint is as wide as a row and its two joints."""
    assert survey(drawn).joint_greatest < 10 + 2 * drawn.joint_min


def test_the_least_distance_is_that_of_the_nearest_two_pieces(drawn):
    gaps = shapely.distance(drawn.shapes[:, None], drawn.shapes[None])[~np.eye(len(drawn), dtype=bool)]
    assert survey(drawn).joint_least == pytest.approx(gaps.min(), abs=1e-9)


@pytest.mark.parametrize("apart", [5.2, 9, 15])
def test_wide_joints_of_a_grid_by_rays(apart):
    wall = lay_grid(shapely.box(0, 0, 4 * 20 + 3 * apart, 4 * 20 + 3 * 2), 20, (apart, 2), limits=(1.7, 20))
    _, _, far = rays(wall.shapes, 19)
    seen = survey(wall, 1.7, 2.3)
    assert seen.joint_mean == pytest.approx(far.mean(), abs=0.012)
    assert seen.share_within == pytest.approx(np.mean(far < 2.3)) == pytest.approx(0.5)


def gap_by_circles(layout):
    """Assert that the survey finds the largest circle between the pieces, if a crossing of joints does not hold it."""
    least, found = layout.joint_max / np.sqrt(2), survey(layout).gap_radius
    wanted = blank(layout, layout.outline, least)
    # circles are measured to 0.02 mm, those that shrink an area have 32 sides
    assert max(found, least) == pytest.approx(max(wanted, least), abs=0.03 + 0.005 * least)
    return found > 0


@pytest.mark.parametrize("lost", [0, 1, 5])
def test_the_largest_gap_is_the_largest_circle_between_the_pieces(drawn, lost):
    kept = np.ones(len(drawn), bool)
    kept[np.random.default_rng(lost).choice(len(drawn), lost, replace=False)] = False
    gap_by_circles(replace(drawn, shapes=drawn.shapes[kept], pieces=drawn.pieces[kept]))


def test_gaps_between_pieces_that_lie_anyhow():
    """Squares, triangles and hollow pieces, turned and moved by chance, in an outline with a hole; some lie over each other."""
    bent = shapely.Polygon([(0, 0), (20, 0), (20, 20), (12, 20), (12, 9), (0, 9)])
    kinds = shapely.box(0, 0, 20, 20), shapely.Polygon([(0, 0), (20, 0), (9, 17)]), bent
    outline = shapely.box(0, 0, 130, 110) - shapely.Point(70, 60).buffer(12)
    gaps = 0
    for seed in range(40):
        rng = np.random.default_rng(seed)
        spread, turn = rng.uniform(0, 3), rng.uniform(0, 40)
        shapes = [
            affinity.rotate(
                affinity.translate(kinds[rng.integers(len(kinds))], *(22 * np.array(spot) + rng.normal(0, spread, 2))),
                rng.normal(0, turn),
            )
            for spot in np.ndindex(6, 5)
            if rng.random() > 0.1
        ]
        limits = 2.0, rng.uniform(0.1, 2), rng.uniform(2, 12)
        gaps += gap_by_circles(Layout(outline, shapes, piece_table(len(shapes)), *limits, Tile(20, 4)))
    assert 10 < gaps <= 40
