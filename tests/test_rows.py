"""Rows on seeded guide lines keep what must hold; a quick number in the suite, all by a marker."""

import numpy as np
import pytest
import shapely

from guides import seeded
from mosaiclib.errors import MosaicError
from mosaiclib.layout import broken, join, joints_of, lay_field, lay_rows, neighbours, survey, wedge
from mosaiclib.layout.guide import Guide
from mosaiclib.layout.lines import arc, ring, straight, wave

ALL, QUICK = range(200), range(0, 200, 8)


def laid(seed):
    guide, rows, joint, limits, face, tile = seeded(seed)
    band = lay_rows(guide, rows, joint, face, limits=limits)
    return join(band, lay_field(face, band, tile, joint, search="none"))


SPAN_REACH = 1.2  # joints: a joint this near to a reported span belongs to it


def reported_share(layout):
    """Return the length of row stretches that are reported as fan or seam, and of all stretches [mm]."""
    lengths = [(span.end - span.begin, span.reported) for span in layout.spans]
    return sum(length for length, reported in lengths if reported), sum(length for length, _ in lengths)


def within(layout):
    """Return the joint length outside reported spans that is at or under the greatest joint, and all of it [mm]."""
    met = joints_of(layout)
    outside = np.ones(len(met.length), bool)
    areas = [span.shape.buffer(SPAN_REACH * layout.joint) for span in layout.spans if span.reported]
    if areas:
        hit = shapely.STRtree(areas).query(shapely.points(met.middle), predicate="intersects")
        outside[hit[0]] = False
    fine = np.maximum(met.start_gap, met.end_gap) <= layout.joint_max + 1e-6
    return met.length[outside & fine].sum(), met.length[outside].sum()


def check(seeds):
    """Lay every guide and return shares over all of them: reported rows, joints within."""
    rows, joints = np.zeros(2), np.zeros(2)
    for seed in seeds:
        layout = laid(seed)
        assert broken(layout) == [], f"seed {seed}"
        rows += reported_share(layout)
        joints += within(layout)
        for span in layout.spans:
            assert str(span.why).endswith(".") and span.row, f"seed {seed}"
        assert all(layout.pieces["why"].str.len() > 8), f"seed {seed}"
        assert all(gap.why for gap in layout.gaps)
    return rows[0] / rows[1], joints[0] / joints[1]


def test_a_quick_number_of_guides():
    reported, joints = check(QUICK)
    assert reported <= 0.15
    assert joints >= 0.95


@pytest.mark.slow
def test_all_two_hundred_guides():
    reported, joints = check(ALL)
    print(f"\n  reported {reported:.1%} of row length, {joints:.1%} of joint length at or under the greatest")
    assert reported <= 0.15
    assert joints >= 0.95


def sharpest(guide):
    """Return the greatest curvature either way [1/mm]."""
    return np.abs(guide.curvature(np.linspace(0, guide.length, 4001)[:-1])).max()


def test_the_seeds_hold_every_kind_of_guide():
    guides = [seeded(seed)[0] for seed in ALL]
    assert sum(guide.closed for guide in guides) > 40
    assert sum(bool(guide.corners) for guide in guides) > 30
    bends = [sharpest(guide) for guide in guides]
    assert min(bends) < 1 / 150 and max(bends) > 1 / 5
    crossing = [not shapely.LineString(g.at(np.linspace(0, g.length * 0.999, 400))).is_simple for g in guides]
    assert any(crossing)


def benchmark(bought=False, search="full"):
    """Return the benchmark ribbon: least radius 45 mm, quarters of 20, joint 2.0, limits 1.7 to 2.3."""
    low, high = 5.0, 80.0
    for _ in range(60):
        middle = (low + high) / 2
        guide = ribbon(middle)
        tight = 1 / sharpest(guide) < 45
        low, high = (low, middle) if tight else (middle, high)
    face = shapely.box(0, 0, 260, 200)
    three = [{"tile": 20, "fraction": "quarter", "count": 3}]
    rows = lay_rows(ribbon(low), three, 2.0, face, limits=(1.7, 2.3), bought=bought)
    return join(rows, lay_field(face, rows, 20, 2.0, search=search))


def ribbon(rise):
    x = np.linspace(-30, 290, 25)
    return Guide(np.stack([x, 100 + rise * np.sin(2 * np.pi * x / 260)], axis=1))


def test_benchmark_ribbon(capsys):
    cut, bought = survey(benchmark()), survey(benchmark(bought=True))
    words = f"{cut.share_within:.1%} within limits after cutting, {bought.share_within:.1%} as bought"
    with capsys.disabled():
        print(f"\n  benchmark ribbon, rows and field: {words}")
    assert cut.share_within >= 0.98
    assert bought.share_within < cut.share_within
    assert cut.overlaps == 0 and bought.overlaps > 0


def test_a_straight_row_is_left_whole():
    row = lay_rows(straight(218), [{"tile": 20}], 2)
    assert row.pieces["kind"].tolist() == ["whole"] * 10
    assert joints_of(row).mean_gap == pytest.approx(np.full(9, 2.0))


def test_a_gentle_bend_stays_whole_and_a_tight_one_does_not():
    # 20 mm squares, joint 1.7 to 2.3: whole from an inside radius of 20 x 21.7/0.6 = 723 mm (wedge-geometry, computed)
    gentle = lay_rows(ring(1000), [{"tile": 20}], 2, limits=(1.7, 2.3))
    assert (gentle.pieces["kind"] == "whole").all()
    tight = lay_rows(ring(300), [{"tile": 20}], 2, limits=(1.7, 2.3))
    assert (tight.pieces["kind"] == "wedge").all()


def test_a_ring_as_bought_covers_its_pieces_though_they_lie_over_each_other():
    t = np.linspace(0, 2 * np.pi, 48, endpoint=False)
    egg = Guide(np.stack([105 * np.cos(t), 70 * np.sin(t)], axis=1), closed=True)
    laid = lay_rows(egg, [{"tile": 20, "fraction": "quarter", "count": 3}], 2, bought=True)
    assert survey(laid).overlaps > 0
    assert shapely.area(shapely.difference(shapely.union_all(laid.shapes), laid.outline)) < 1e-6


def test_a_ring_closes_with_even_joints():
    layout = lay_rows(ring(60), [{"tile": 20, "fraction": "quarter", "count": 3}], 2, limits=(1.7, 2.3))
    along = joints_of(layout)
    rows = layout.pieces["row"].to_numpy()
    same = rows[along.first] == rows[along.second]
    assert along.mean_gap[same] == pytest.approx(np.full(same.sum(), 2.0), abs=1e-6)
    # each ring outward takes 2 pi (h + j)/(a + j) more pieces, 6.28 for squares, before rounding
    counts = layout.pieces.groupby("row").size().to_numpy()
    assert np.all(np.abs(np.abs(np.diff(counts)) - 2 * np.pi) < 1.01)


def test_wedge_angles_add_up_to_the_turning():
    layout = lay_rows(ring(60), [{"tile": 20, "fraction": "quarter"}], 2)
    ends = [shapely.get_coordinates(shape)[:4] for shape in layout.shapes]
    angles = [np.degrees(angle_between(p[3] - p[0], p[2] - p[1])) for p in ends]
    assert sum(angles) == pytest.approx(360, abs=0.01)


def test_the_table_tells_narrow_end_cut_angle_and_tile_in_numbers():
    layout = lay_rows(ring(60), [{"tile": 20, "fraction": "quarter"}], 2)
    pieces = layout.pieces
    assert (pieces["tile"] == 20.0).all() and (pieces["kind"] == "wedge").all()
    corners = np.stack([shapely.get_coordinates(shape)[:4] for shape in layout.shapes])
    ends = np.linalg.norm(corners[:, [1, 2]] - corners[:, [0, 3]], axis=2)
    assert pieces["narrow"].to_numpy() == pytest.approx(ends.min(axis=1), abs=1e-6)
    # equal wedges close the ring: each side leans by half of 360 degrees over their number
    assert pieces["cut_angle"].to_numpy() == pytest.approx(np.full(35, 180 / 35), rel=1e-4)
    assert wedge(55, width=10, height=10, joint=2).count == 35
    whole = lay_rows(straight(218), [{"tile": 20}], 2).pieces
    assert not whole[["narrow", "cut_angle", "hollow"]].any().any()


def angle_between(a, b):
    return np.arccos(np.clip(a @ b / np.linalg.norm(a) / np.linalg.norm(b), -1, 1))


def test_rows_stand_out_of_step():
    layout = lay_rows(straight(218), [{"tile": 20, "count": 2}], 2)
    pairs = neighbours(layout)
    row = layout.pieces["row"].to_numpy()
    across = pairs[row[pairs[:, 0]] != row[pairs[:, 1]]]
    assert len(across) > 15  # in step it would be 10


def test_a_corner_is_mitred():
    guide = Guide([(0, 0), (100, 0), (100, 100)], corners=[1])
    layout = lay_rows(guide, [{"tile": 20}], 2)
    assert broken(layout) == []
    assert (layout.pieces["kind"] == "corner").sum() == 2
    diagonal = joints_of(layout)
    corner = np.flatnonzero((layout.pieces["kind"] == "corner").to_numpy())
    between = np.isin(diagonal.first, corner) & np.isin(diagonal.second, corner)
    assert diagonal.mean_gap[between] == pytest.approx([2.0], abs=0.01)
    # the mitre's diagonal is the height over the cosine of 45 degrees
    assert diagonal.length[between].sum() == pytest.approx(20 / np.cos(np.pi / 4), rel=0.01)


def test_no_row_past_the_centre_of_curvature_and_it_is_told():
    layout = lay_rows(arc(18, 180), [{"tile": 20, "count": 2}], 2)
    assert {"seam", "fan"} & {span.zone for span in layout.spans}
    assert broken(layout) == []


def test_mirrored_guides_give_mirrored_rows():
    points = np.array([(0, 40), (60, 70), (120, 45), (180, 60)], float)
    rows = [{"tile": 20, "fraction": fraction} for fraction in ("quarter", "half", "quarter")]
    one, two = (lay_rows(Guide(points * [1, side]), rows, 2) for side in (1, -1))
    assert one.areas.sum() == pytest.approx(two.areas.sum(), rel=1e-6)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"rows": []}, "at least one row"),
        ({"rows": [{"tile": 0}]}, "tile side"),
        ({"rows": [{"fraction": "half"}]}, "needs its tile"),
        ({"rows": [{"tile": 20, "shape": 1}]}, "no field 'shape'"),
        ({"rows": [{"tile": 20, "fraction": "fifth"}]}, "fraction"),
        ({"joint": 0}, "joint"),
        ({"joint": float("nan")}, "joint"),
        ({"limits": (3, 4)}, "joint, 2 mm, must lie within its limits, 3 to 4 mm"),
        ({"limits": (1, 1.5)}, "joint, 2 mm, must lie within its limits, 1 to 1.5 mm"),
        ({"face": "a pane"}, "face"),
        ({"face": shapely.box(900, 900, 950, 950)}, "No piece"),
    ],
)
def test_bad_input_is_a_sentence(change, words):
    asked = {"guide": wave(200, 20, 1), "rows": [{"tile": 20}], "joint": 2.0, "face": None, "limits": None} | change
    with pytest.raises(MosaicError, match=words):
        lay_rows(asked["guide"], asked["rows"], asked["joint"], asked["face"], limits=asked["limits"])


def test_a_row_of_one_piece_is_laid():
    assert len(lay_rows(Guide([(0, 0), (20, 0)]), {"tile": 20}, 2)) == 1
    face = shapely.box(0, 0, 200, 150)
    torn = Guide([(164.8, 104.5), (137.5, 140), (62.5, 140), (25, 75), (62.5, 10), (137.5, 10)])
    assert broken(lay_rows(torn, {"tile": 20, "fraction": "quarter", "count": 3}, 2, face)) == []


def test_points_alone_are_a_guide():
    points = [(0, 0), (100, 0), (100, 80)]
    assert lay_rows(points, {"tile": 20}, 2).shapes.tolist() == lay_rows(Guide(points), {"tile": 20}, 2).shapes.tolist()


@pytest.mark.parametrize(
    ("points", "count", "joint", "face"),
    [
        ([(0, 0), (1, 0)], 1, 2, shapely.box(0, -30, 1, 30)),  # far shorter than a piece
        ([(-50, -200), (250, -200)], 1, 2, shapely.box(0, 0, 200, 150)),  # beside the glass
        ([(0, 75), (200, 75)], 1, 2, shapely.box(0, 76, 200, 76.5)),  # a strip too thin for any piece
    ],
)
def test_no_piece_at_all_is_refused(points, count, joint, face):
    with pytest.raises(MosaicError, match=r"^No piece can be laid along this line: .*\.$"):
        lay_rows(points, {"tile": 20, "fraction": "quarter", "count": count}, joint, face)


def test_cut_pieces_bear_the_size_they_have_at_last():
    frame = Guide([(30, 30), (170, 30), (170, 120), (30, 120)], closed=True, corners=(0, 1, 2, 3))
    face = shapely.box(0, 25, 200, 150)
    layout = lay_rows(frame, {"tile": 20, "fraction": "quarter", "count": 2}, 2, face)
    cut = layout.pieces["kind"].isin(["cut", "corner"]).to_numpy()
    assert cut.sum() > 10
    box = shapely.bounds(layout.shapes[cut])  # every row of a frame runs along an axis
    seen = np.sort(np.stack([box[:, 2] - box[:, 0], box[:, 3] - box[:, 1]], axis=1), axis=1)
    told = np.sort(layout.pieces.loc[cut, ["width", "height"]].to_numpy(), axis=1)
    assert told == pytest.approx(seen, abs=1e-6)


@pytest.mark.parametrize(
    ("rows", "more"),
    [
        ({"tile": 20}, {"limits": (1,)}),
        ({"tile": 20}, {"limits": (1, 2, 3)}),
        ({"tile": 20}, {"limits": 5}),
        ({"tile": 20}, {"bought": "x"}),
        ({"tile": 20, "turned": "no"}, {}),
    ],
)
def test_odd_choices_for_rows_are_told(rows, more):
    with pytest.raises(MosaicError, match=r"\.$"):
        lay_rows(straight(100), rows, 2, **more)


def test_far_too_many_pieces_in_rows_are_refused_before_they_are_laid():
    with pytest.raises(MosaicError, match=r"^These rows would have 33,333,500 pieces, over 2,000,000"):
        lay_rows(straight(100_000), {"tile": 1, "count": 500}, 0.5)  # 500 rows of 100,000/1.5, rounded up


# --- a hand's line ----------------------------------------------------------------------------------------


def shaky(step, sigma, seed=1):
    """A wave of 30 mm every so many mm, each point off by a normal error [mm]."""
    x = np.arange(-4, 304 + step, step)
    points = np.c_[x, 100 + 30 * np.sin(x / 40)]
    return points + np.random.default_rng(seed).normal(0, sigma, points.shape)


GLASS_FACE = shapely.box(0, 0, 300, 200)
QUARTERS = {"tile": 20, "fraction": "quarter", "count": 3}


@pytest.mark.parametrize("sigma", [0.05, 0.2])
@pytest.mark.parametrize("step", [1.0, 2.0])
def test_a_jittery_line_is_smoothed_and_says_how_far(step, sigma):
    points = shaky(step, sigma)
    assert Guide(points).jitter == pytest.approx(sigma, rel=0.15)  # as it was drawn
    laid = lay_rows(points, QUARTERS, 2, GLASS_FACE)
    assert sigma < laid.smoothed <= 1.0  # a tenth of a piece
    assert survey(laid).share_within > 0.995 and not laid.gaps
    assert lay_rows(points, QUARTERS, 2, GLASS_FACE, smooth=0).smoothed == 0


@pytest.mark.parametrize("points", [shaky(2.0, 0.0), shaky(15.0, 0.3), [(0, 50), (150, 80), (300, 60)]])
def test_a_smooth_line_and_far_points_are_left_as_drawn(points):
    assert lay_rows(points, QUARTERS, 2, GLASS_FACE).smoothed == 0


def test_rubble_is_refused_with_what_to_do():
    with pytest.raises(MosaicError, match=r"too rough for these pieces.*fewer points"):
        lay_rows(shaky(1.0, 1.5), QUARTERS, 2, GLASS_FACE, smooth=0)
    with pytest.raises(MosaicError, match="smoothing"):
        lay_rows(shaky(1.0, 0.1), QUARTERS, 2, GLASS_FACE, smooth=-1)
