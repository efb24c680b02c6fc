"""True corners and tips: mitred, with a square piece, or as a fan; both sides share a tip, and nothing splinters."""

import numpy as np
import pytest
import shapely

from mosaiclib.errors import MosaicError
from mosaiclib.layout import CORNERS, Guide, broken, lay_rows, lined_up, survey

ROWS = {fraction: {"tile": 20, "fraction": fraction, "count": 3} for fraction in ("quarter", "half")}
TURNINGS = (20, 45, 60, 90, 100, 115, 125, 140, 149, 151, 160, 170, 176, 179.9)
FLOOR = 0.6 * 3.5  # of the narrow end of a quarter of 20 mm


def tip(turning, leg=150):
    """Two straight lines that meet at the origin, the axis of the corner along x."""
    half = np.radians((180 - turning) / 2)
    low = np.array([-leg * np.cos(half), -leg * np.sin(half)])
    return Guide([low, (0, 0), low * [1, -1]], corners=[1])


def frame():
    return Guide([(40, 40), (260, 40), (260, 180), (40, 180)], closed=True, corners=(0, 1, 2, 3))


def teardrop():
    t = np.linspace(0, 2 * np.pi, 24, endpoint=False)
    return Guide(np.c_[120 * np.cos(t), 45 * np.sin(t) * np.sin(t / 2) ** 1.6], closed=True, corners=[0])


def twins(layout):
    """Return the share of pieces that cover 98 % of another one mirrored at the x axis."""
    turned = shapely.transform(layout.shapes, lambda xy: xy * [1, -1])
    one, two = shapely.STRtree(layout.shapes).query(turned, predicate="intersects")
    shared = shapely.area(shapely.intersection(turned[one], layout.shapes[two]))
    return len(np.unique(one[shared > 0.98 * np.maximum(layout.areas[one], layout.areas[two])])) / len(layout)


def sharpest(shape):
    """Return the least angle of a piece [degrees]."""
    xy = shapely.get_coordinates(shape)[:-1]
    back, on = np.roll(xy, 1, axis=0) - xy, np.roll(xy, -1, axis=0) - xy
    cosine = (back * on).sum(axis=1) / np.hypot(*back.T) / np.hypot(*on.T)
    return np.degrees(np.arccos(np.clip(cosine, -1, 1))).min()


def width(shape):
    """Return the least width of a convex piece, square to one of its edges [mm]."""
    xy = shapely.get_coordinates(shape.convex_hull)
    edge = np.diff(xy, axis=0)
    normal = np.stack([-edge[:, 1], edge[:, 0]]) / np.hypot(*edge.T)
    return np.ptp(xy @ normal, axis=0).min()


@pytest.mark.parametrize("turning", TURNINGS)
@pytest.mark.parametrize("fraction", ROWS)
@pytest.mark.parametrize("corner", CORNERS)
def test_no_tip_of_any_turning_splinters(corner, fraction, turning):
    layout = lay_rows(tip(turning), ROWS[fraction], 2, corner=corner)
    assert broken(layout) == []
    assert min(map(width, layout.shapes)) > FLOOR
    assert min(map(sharpest, layout.shapes)) > 39
    assert twins(layout) > 0.97
    assert survey(layout).share_within > 0.96


@pytest.mark.parametrize("turning", [90, 125, 140, 160])
def test_a_corner_is_closed_alike_whichever_way_the_line_runs(turning):
    line = tip(turning)
    there, back = (
        lay_rows(Guide(points, corners=[1]), ROWS["quarter"], 2) for points in (line.points, line.points[::-1])
    )
    assert len(there) == len(back)
    assert there.areas.sum() == pytest.approx(back.areas.sum(), rel=1e-3)


def test_a_square_piece_stands_in_each_corner_and_whole_ones_beside_it():
    layout = lay_rows(frame(), ROWS["quarter"], 2, corner="square")
    pieces = layout.pieces
    corners = pieces[pieces["kind"] == "corner"]
    assert len(corners) == 12 and np.allclose(corners["area"], 100)
    assert set(corners["why"]) == {"corner: one piece, square to both sides"}
    assert set(pieces["kind"]) == {"whole", "cut", "corner"}
    beside = shapely.distance(layout.shapes[corners.index[0]], layout.shapes)
    beside = pieces[(beside < 2.5) & (pieces["kind"] != "corner")]
    assert (beside["kind"] == "whole").all() and len(beside) >= 2
    assert survey(layout).share_within > 0.99 and broken(layout) == []


def test_a_fan_goes_round_the_outside_and_is_mitred_inside():
    layout = lay_rows(frame(), ROWS["quarter"], 2, corner="fan")
    pieces = layout.pieces
    fan = pieces[pieces["kind"] == "fan"]
    # a quarter turn at 10 and 22 mm round the innermost row, in pieces of 10 mm and their joints
    counts = [int(np.ceil(np.pi / 2 * radius / 12)) for radius in (10, 22)]
    assert fan.groupby("row").size().tolist() == [4 * count for count in counts]
    assert np.allclose(fan.groupby("row")["cut_angle"].first(), [90 / 2 / count for count in counts], atol=0.01)
    assert (pieces["kind"] == "corner").groupby(pieces["row"]).sum().max() == 8
    assert broken(layout) == []


def test_a_row_may_have_its_own_corner():
    rows = [{"tile": 20, "fraction": "quarter", "corner": "square"}, {"tile": 20, "fraction": "quarter"}]
    why = lay_rows(frame(), rows, 2).pieces.groupby("row")["why"].apply(lambda said: said.str.contains("square").sum())
    assert why.tolist() == [4, 0]


def test_a_square_piece_larger_than_its_tile_is_mitred():
    turned = {"tile": 20, "fraction": "half", "turned": True}  # two pieces on either side of a mitre
    pieces = lay_rows(frame(), turned, 2, corner="square").pieces
    assert (pieces["why"] == "corner: cut on the bisector of the corner").sum() == 4 * 2 * 2


def test_a_point_is_shared_and_the_back_of_a_drop_is_not_cut():
    layout = lay_rows(teardrop(), ROWS["quarter"], 2)
    pieces, middle = layout.pieces, shapely.get_coordinates(shapely.centroid(layout.shapes))
    shared = pieces["why"].str.contains("both sides share").to_numpy()
    assert shared.sum() >= 2
    assert np.abs(middle[shared, 1]).max() < 0.1
    assert not pieces.loc[middle[:, 0] < 0, "kind"].isin(["corner", "cut"]).any()
    assert broken(layout) == [] and twins(layout) > 0.97


@pytest.mark.parametrize("wrong", ["round", None, 3])
def test_an_unknown_corner_is_refused(wrong):
    with pytest.raises(MosaicError, match="corner"):
        lay_rows(frame(), ROWS["quarter"], 2, corner=wrong)
    if wrong is not None:
        with pytest.raises(MosaicError, match="corner"):
            lay_rows(frame(), {"tile": 20, "corner": wrong}, 2)


# --- joints out of step ----------------------------------------------------------------------------------


def square_frame(rng):
    """Return a frame of any size about the x axis, and where its sides are to be looked at."""
    wide, high = rng.uniform(150, 320, 2)
    return Guide([(0, -high / 2), (wide, -high / 2), (wide, high / 2), (0, high / 2)], closed=True, corners=range(4))


def angle(rng):
    """Return a right angle, the x axis its own, whose ends lie free."""
    far = np.full(2, rng.uniform(90, 220))
    return Guide([far * [-1, 1], (0, 0), far * [-1, -1]], corners=[1])


@pytest.mark.parametrize("fraction", ROWS)
@pytest.mark.parametrize("corner", ["mitre", "square"])  # beside a fan the joints of all rows lie on one line
@pytest.mark.parametrize("drawn", [square_frame, angle])
def test_rows_that_begin_at_corners_are_out_of_step_and_alike_on_both_sides(drawn, corner, fraction):
    rng = np.random.default_rng(5)
    laid = [lay_rows(drawn(rng), ROWS[fraction], 2, corner=corner) for _ in range(6)]
    found = [lined_up(one) for one in laid]
    assert sum(one.share for one in found) < 0.75 * sum(one.chance for one in found)
    for one in laid:
        assert broken(one) == [] and twins(one) == 1.0
        cut = one.shapes[(one.pieces["kind"] == "cut").to_numpy()]
        # joints that close within their limits take a little off a piece as well
        assert min(width(shape) for shape in cut) > 0.47 * (20 if fraction == "half" else 10)
