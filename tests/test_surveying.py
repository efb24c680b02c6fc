"""Surveys of hand-made layouts whose joints, overlaps, gaps and widths are known."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity

from mosaiclib.errors import MosaicError
from mosaiclib.layout import (
    Gap,
    Guide,
    Layout,
    Tile,
    join,
    joints_by_place,
    joints_of,
    lay_field,
    lay_grid,
    lay_rows,
    piece_table,
    survey,
)
from mosaiclib.layout.joints import least_widths
from mosaiclib.layout.lines import arc

QUICK = settings(deadline=None, max_examples=50)


def layout(shapes, outline=None, limits=(1, 3), **columns):
    """Pieces as they are, in one layout."""
    outline = outline or shapely.union_all(list(shapes)).envelope
    return Layout(outline, shapes, piece_table(len(shapes), **columns), limits[0], *limits, Tile(20, 4))


def v_joint(start, stop, length=20.0):
    """Two pieces, mirror images, whose joint opens evenly from start to stop [mm]."""
    right = shapely.Polygon([(start / 2, 0), (30, 0), (30, length), (stop / 2, length)])
    return [affinity.scale(right, -1, 1, origin=(0, 0)), right]


def test_row_with_three_known_joints():
    # joints of 1, 2 and 4 mm, each 20 mm long
    x = np.cumsum([0, 21, 22, 24])
    seen = survey(layout([shapely.box(a, 0, a + 20, 20) for a in x]))
    assert seen.pieces == 4
    assert seen.joint_length == pytest.approx(60)
    assert seen.joint_mean == pytest.approx((1 + 2 + 4) / 3)
    assert seen.joint_sd == pytest.approx(np.std([1, 2, 4]))
    assert (seen.joint_least, seen.joint_greatest) == (pytest.approx(1), pytest.approx(4))
    assert seen.share_within == pytest.approx(2 / 3)
    assert seen.coverage == pytest.approx(80 / 87)
    assert (seen.overlaps, seen.outside, seen.cut_share, seen.wedge_share) == (0, 0, 0, 0)
    assert seen.least_width == pytest.approx(20)


def test_joints_are_weighted_by_length():
    # 1 mm along 30 mm, 3 mm along 10 mm
    shapes = [shapely.box(0, 0, 20, 30), shapely.box(21, 0, 41, 30), shapely.box(44, 0, 64, 10)]
    assert survey(layout(shapes)).joint_mean == pytest.approx((1 * 30 + 3 * 10) / 40)
    assert survey(layout(shapes, limits=(1, 2))).share_within == pytest.approx(30 / 40)


@given(st.floats(0.1, 6), st.floats(0.1, 6), st.floats(0, 4), st.floats(0, 4))
@QUICK
def test_share_of_an_evenly_widening_joint(start, stop, least, more):
    # width runs evenly from start to stop, so the share is how much of [start, stop] lies in the limits
    most = least + more
    seen = survey(layout(v_joint(start, stop), limits=(0, 6)), least, most)
    low, high = sorted((start, stop))
    if high - low > 1e-3:
        expected = max(0.0, min(high, most) - max(low, least)) / (high - low)
        assert seen.share_within == pytest.approx(expected, abs=1e-5)
    assert seen.joint_mean == pytest.approx((start + stop) / 2, abs=1e-6)
    assert seen.joint_sd == pytest.approx((high - low) / math.sqrt(12), abs=1e-5)  # of an even spread
    assert (seen.joint_least, seen.joint_greatest) == (
        pytest.approx(low, abs=1e-6),
        pytest.approx(high, abs=1e-6),
    )


def test_v_joint_worked():
    # from 1 to 5 mm, limits 2 to 4: half of it
    assert survey(layout(v_joint(1, 5)), 2, 4).share_within == pytest.approx(0.5)


def test_limits_wider_than_the_layouts_own_see_wider_joints():
    # a joint of 9 mm in a layout with a greatest joint of 3, judged by 0 to 10
    far = layout([shapely.box(0, 0, 20, 20), shapely.box(29, 0, 49, 20)])
    assert survey(far).joint_mean == pytest.approx(9) and survey(far).share_within == 0  # seen, and not within
    assert survey(far, 0, 10).joint_mean == pytest.approx(9)


def test_narrow_pieces_with_wide_limits_have_no_joint_below_zero():
    # 3 mm pieces and 1 mm joints, limits 0.5 to 4
    seen = survey(layout([shapely.box(4 * i, 0, 4 * i + 3, 20) for i in range(5)], limits=(0.5, 4)))
    assert seen.joint_least == pytest.approx(1)
    assert seen.overlaps == 0


def test_overlaps_are_counted_once_each():
    shapes = [
        shapely.box(0, 0, 20, 20),
        shapely.box(19, 0, 39, 20),
        shapely.box(38, 0, 58, 20),
        shapely.box(58, 0, 78, 20),
    ]
    seen = survey(layout(shapes, limits=(0, 3)))
    assert seen.overlaps == 2  # the last two only touch
    assert seen.joint_least == pytest.approx(-1)


def test_an_overlap_inside_a_corner_and_a_piece_twice():
    one = shapely.box(0, 0, 20, 20)
    assert survey(layout([one, one])).overlaps == 1
    assert survey(layout([one, shapely.box(18, 18, 38, 38)])).overlaps == 1
    assert survey(layout([one, shapely.box(5, 5, 10, 10)])).overlaps == 1


def test_a_missing_piece_is_a_gap():
    # the middle of nine is missing: its neighbours stand 20 + 2 + 2 = 24 mm apart, so the radius is 12
    grid = lay_grid(shapely.box(0, 0, 64, 64), 20, 2, limits=(1, 3))
    assert survey(grid).gap_radius == 0
    kept = np.arange(9) != 4
    holed = replace(grid, shapes=grid.shapes[kept], pieces=grid.pieces[kept])
    assert survey(holed).gap_radius == pytest.approx(12, abs=0.05)
    told = replace(holed, gaps=(Gap(shapely.box(20, 20, 44, 44), "a screw goes here"),))
    assert survey(told).gap_radius == 0


@pytest.mark.parametrize("apart", [2.0, 5.0, 5.2, 6, 9, 15, 18.9])
def test_tiles_apart_are_seen_however_wide(apart):
    """A column of tiles of 20 mm, joint 2 mm (1.7 to 2.3): measured by the coordinates it was laid with."""
    shapes = [shapely.box(0, (20 + apart) * i, 20, (20 + apart) * i + 20) for i in range(4)]
    seen = survey(layout(shapes, limits=(1.7, 2.3)))
    assert (seen.joint_mean, seen.joint_greatest) == (pytest.approx(apart), pytest.approx(apart))
    assert seen.share_within == (1.0 if apart == 2.0 else 0.0)


def test_what_lies_behind_a_piece_or_in_a_told_gap_is_no_joint():
    behind = [shapely.box(0, 0, 20, 20), shapely.box(22, 0, 30, 20), shapely.box(32, 0, 52, 20)]
    assert survey(layout(behind, limits=(1.7, 2.3))).joint_greatest == pytest.approx(2)
    far = layout([shapely.box(0, 0, 20, 20), shapely.box(29, 0, 49, 20)], limits=(1.7, 2.3))
    told = replace(far, gaps=(Gap(shapely.box(20, 0, 29, 20), "left open"),))
    assert survey(told).joint_length == 0


def test_a_v_that_opens_for_ever_has_no_greatest_joint_of_its_own():
    seen = survey(layout(v_joint(2, 40, 60.0), limits=(1.7, 2.3)))
    assert seen.joint_greatest == pytest.approx((2 + 5.1) / 2, abs=0.01)  # as far as the search goes, 2 x 2.3 + 0.5


def test_corners_too_close_are_the_least_joint():
    shapes = [shapely.box(0, 0, 20, 20), shapely.box(20.2, 20.2, 40.2, 40.2)]
    assert survey(layout(shapes, limits=(1.7, 2.3))).joint_least == 0  # there is no joint
    shapes.append(shapely.box(0, 22, 18, 42))
    assert survey(layout(shapes, limits=(1.7, 2.3))).joint_least == pytest.approx(0.2 * math.sqrt(2))


def test_a_neck_is_a_width():
    """An hour-glass of 20 mm with a neck of 0.4 mm."""
    glass = shapely.Polygon([(0, 0), (20, 0), (10.2, 10), (20, 20), (0, 20), (9.8, 10)])
    assert survey(layout([glass])).least_width == pytest.approx(0.4, abs=0.02)


@pytest.mark.parametrize("seed", range(20))
def test_a_neck_into_anything_wider_is_seen(seed):
    """A square of 20 mm, a neck, and an end that is wider than the neck by little over a twentieth of the square."""
    neck = np.random.default_rng(seed).uniform(1, 14)
    end = neck + 1.01
    parts = ((0, 20, 20), (19, 30, neck), (26, 26 + end, end))
    piece = shapely.union_all([shapely.box(x0, -high / 2, x1, high / 2) for x0, x1, high in parts])
    assert survey(layout([piece])).least_width == pytest.approx(neck, abs=0.01)


def test_a_piece_in_a_piece_is_not_within():
    seen = survey(layout([shapely.box(0, 0, 20, 20), shapely.box(5, 5, 10, 10)]))
    assert seen.overlaps == 1 and seen.share_within == 0


def test_shares_by_place_stand_in_the_survey():
    rows = lay_rows(arc(120, 90), [{"tile": 20, "fraction": "quarter", "count": 2}], 2, shapely.box(0, 0, 240, 160))
    seen, table = survey(rows), joints_by_place(rows).set_index("place")
    assert seen.by_place == pytest.approx(table["share_within"].to_dict())
    assert set(seen.by_place) == {"within a row", "row to row"}


def test_a_gap_at_the_edge_is_as_wide_as_it_is():
    # a bare strip of 30 mm beside a row of tiles: the largest circle has a radius of 15
    shapes = [shapely.box(0, 22 * i, 20, 22 * i + 20) for i in range(4)]
    assert survey(layout(shapes, shapely.box(0, 0, 50, 86))).gap_radius == pytest.approx(15, abs=0.05)
    assert survey(layout(shapes, shapely.box(0, 0, 23, 86))).gap_radius == 0  # as wide as a joint


def test_open_places_of_the_tiniest_tiles_are_surveyed():
    """In floating point what was left of one of them had a hole outside itself, and no library would cut it further."""
    face, line = shapely.box(0, 0, 19.69, 30.76), Guide([(-0.4, 20.33), (6.42, 21.45), (13.24, 9.72), (20.09, 9.85)])
    rows = [{"tile": 2.5, "fraction": fraction, "turned": True} for fraction in ("whole", "half")]
    band = lay_rows(line, rows, 0.25, face, limits=(0.2247, 0.3436))
    field = lay_field(face, band, 2.5, 0.25, search="none", pattern="running bond", angle=45)
    seen = survey(join(band, field))
    assert seen.overlaps == 0 and seen.gap_radius == 0


@pytest.mark.parametrize(
    ("corners", "width"),
    [
        ([(0, 0), (30, 0), (30, 40)], 24),  # right-angled 30, 40, 50: height on the long side 30 x 40/50
        ([(0, 0), (20, 0), (10, 10 * math.sqrt(3))], 10 * math.sqrt(3)),  # even-sided
        ([(0, 0), (20, 0), (20, 7), (0, 7)], 7),
        ([(0, 0), (10, 0), (0, 10)], 10 / math.sqrt(2)),  # its frame of least area is the square of 10
        ([(0, 0), (20, 0), (17, 20), (3, 20)], None),
        ([(0, 0), (20, 0), (25, 12), (5, 12)], 12),  # a leaning strip
        ([(0, 0), (24, 0), (24, 24), (12, 6), (0, 24)], 24),  # a notch does not make it narrower
    ],
)
@pytest.mark.parametrize("turn", [0, 17, 45, 90])
def test_least_width(corners, width, turn):
    piece = affinity.rotate(shapely.Polygon(corners), turn)
    if width is None:  # brute force: turn it in small steps and look at its frame
        frames = [affinity.rotate(piece, t).bounds for t in np.arange(0, 180, 0.02)]
        width = min(x1 - x0 for x0, _, x1, _ in frames)
    neck = 6 if len(corners) == 5 else width  # from the bottom of the notch to the side across
    assert survey(layout([piece, shapely.box(100, 100, 200, 200)])).least_width == pytest.approx(neck, abs=0.02)
    assert least_widths(np.array([shapely.Polygon(), piece])) == pytest.approx([0, width], abs=0.01)


def test_kinds_and_outside():
    shapes = [shapely.box(22 * i, 0, 22 * i + 20, 20) for i in range(4)]
    seen = survey(layout(shapes, shapely.box(0, 0, 80, 20), kind=["whole", "cut", "wedge", "whole"]))
    assert (seen.cut_share, seen.wedge_share, seen.outside) == (0.5, 0.25, 1)  # the last reaches to 86


def test_faces_are_surveyed_apart():
    shapes = [shapely.box(0, 0, 20, 20), shapely.box(22, 0, 42, 20), shapely.box(46, 0, 66, 20)]
    two = layout(shapes, face=["one", "one", "two"])
    assert joints_of(two).length.tolist() == [20]
    assert survey(two).joint_length == pytest.approx(20)


def test_nothing_to_survey():
    empty = Layout(shapely.box(0, 0, 90, 90), [], piece_table(0), 2, 1, 3, Tile(20, 4))
    seen = survey(empty)
    assert (seen.pieces, seen.joint_length, seen.joint_mean, seen.share_within) == (0, 0, 0, 1)
    assert (seen.coverage, seen.least_width, seen.overlaps, seen.cut_share) == (0, 0, 0, 0)
    assert seen.gap_radius == pytest.approx(45, abs=0.05)  # the outline itself is the gap
    one = survey(layout([shapely.box(0, 0, 20, 20)]))
    assert (one.joint_length, one.share_within, one.coverage) == (0, 1, 1)


@pytest.mark.parametrize("bad", ["2", -1, math.nan])
def test_refused(bad):
    grid = lay_grid(shapely.box(0, 0, 64, 64), 20, 2)
    for limits in ((bad, 2), (0, bad)):
        with pytest.raises(MosaicError):
            survey(grid, *limits)
    with pytest.raises(MosaicError, match="swap"):
        survey(grid, 3, 1)
