"""Rows are laid as by hand: whole ends, mirror twins where a drawing has an axis, joints out of step, even joints."""

import numpy as np
import pytest
import shapely

from mosaiclib.layout import Guide, broken, joints_of, lay_rows
from mosaiclib.layout.lines import leaf, ring

FACE = shapely.box(0, 0, 300, 220)
ROWS = {fraction: {"tile": 20, "fraction": fraction, "count": 3} for fraction in ("quarter", "half")}


def centred(guide):
    return Guide(np.array(guide.points) + np.array([150, 110]), closed=guide.closed, corners=guide.corners)


def ellipse(begin):
    t = begin + np.linspace(0, 2 * np.pi, 72, endpoint=False)
    return Guide(np.c_[150 + 120 * np.cos(t), 110 + 75 * np.sin(t)], closed=True)


def frame(margin):
    x, y = 300 - margin, 220 - margin
    return Guide([(margin, margin), (x, margin), (x, y), (margin, y)], closed=True, corners=(0, 1, 2, 3))


def horseshoe():
    t = np.linspace(np.pi, 2 * np.pi, 25)
    left = np.c_[np.full(8, 90.0), np.linspace(230, 98, 8)]
    return Guide(np.vstack([left, np.c_[150 + 60 * np.cos(t), 90 + 60 * np.sin(t)], left[::-1] * [-1, 1] + [300, 0]]))


def star(points):
    t = np.linspace(0, 2 * np.pi, 2 * points, endpoint=False) + np.pi / 2
    r = np.where(np.arange(2 * points) % 2, 50, 100)
    return Guide(np.c_[150 + r * np.cos(t), 110 + r * np.sin(t)], closed=True, corners=range(2 * points))


DRAWINGS = {
    "leaf": lambda: centred(leaf(220, 110)),
    "ring": lambda: centred(ring(80)),
    "ellipse": lambda: ellipse(0.0),
    "ellipse begun elsewhere": lambda: ellipse(0.7),
    "frame": lambda: frame(30),
    "odd frame": lambda: frame(47),
    "horseshoe": horseshoe,
    "star": lambda: star(5),
}


def twins(layout, axis=150):
    """Return the share of pieces that cover 98 % of another one, or of themselves, mirrored at x = axis [mm]."""
    turned = shapely.transform(layout.shapes, lambda xy: np.c_[2 * axis - xy[:, 0], xy[:, 1]])
    one, two = shapely.STRtree(layout.shapes).query(turned, predicate="intersects")
    shared = shapely.area(shapely.intersection(turned[one], layout.shapes[two]))
    alike = shared > 0.98 * np.maximum(layout.areas[one], layout.areas[two])
    return len(np.unique(one[alike])) / len(layout)


@pytest.mark.parametrize("fraction", ROWS)
@pytest.mark.parametrize("drawing", DRAWINGS)
def test_a_drawing_with_an_axis_is_laid_alike_on_both_sides(drawing, fraction):
    assert twins(lay_rows(DRAWINGS[drawing](), ROWS[fraction], 2, FACE)) == 1.0


@pytest.mark.parametrize("seed", range(12))
def test_ends_at_the_edge_are_half_a_piece_or_more(seed):
    rng = np.random.default_rng(seed)
    x = np.linspace(-30, 330, 7)
    layout = lay_rows(Guide(np.c_[x, 110 + rng.uniform(-8, 8, 7)]), ROWS["quarter"], 2, FACE)
    # half of its width; a wedge and a slanted end have a little less area
    assert (layout.areas / 100).min() > 0.45


@pytest.mark.parametrize("margin", [30, 33, 37, 41, 47, 52])
def test_what_is_left_of_a_side_stands_in_its_middle(margin):
    pieces = lay_rows(frame(margin), ROWS["quarter"], 2, FACE)
    assert twins(pieces) == 1.0
    other = lay_rows(frame(margin), ROWS["quarter"], 2, FACE).pieces
    cut = other[other["kind"] == "cut"]
    assert (cut[["width", "height"]].min(axis=1) > 4.5).all()
    assert (other["kind"] == "corner").sum() == 24  # a pair at each corner of each row, and no splinter beside it


def lined_up(layout, near=2):
    """Return the share of joints of straight rows along x that stand within `near` [mm] of one of the row before."""
    met, row = joints_of(layout), layout.pieces["row"].to_numpy()
    along = row[met.first] == row[met.second]
    place, of_row = met.middle[along, 0], row[met.first[along]]
    pairs = [(place[of_row == one], place[of_row == one + 1]) for one in range(1, row.max())]
    return np.mean(np.concatenate([np.abs(a[:, None] - b).min(axis=1) < near for a, b in pairs]))


@pytest.mark.parametrize(("fraction", "chance"), [("quarter", 4 / 12), ("half", 4 / 22)])
def test_straight_rows_stand_out_of_step(fraction, chance):
    shares = [lined_up(lay_rows([(0, 0), (long, 0)], ROWS[fraction], 2)) for long in np.linspace(180, 320, 15)]
    # of some lengths no phase leaves both ends half a piece, and the ends come first
    assert np.mean(shares) < 0.75 * chance
    assert np.median(shares) < 0.1


@pytest.mark.parametrize("seed", range(6))
def test_short_sides_between_corners_are_laid_alike_from_both(seed):
    for side in np.random.default_rng(seed).uniform(14, 75, 10):
        square = Guide([(0, 0), (side, 0), (side, side), (0, side)], closed=True, corners=(0, 1, 2, 3))
        layout = lay_rows(square, {"tile": 20, "fraction": "quarter"}, 2)
        assert twins(layout, side / 2) == 1.0 and broken(layout) == []


def test_play_is_not_spent_on_pieces_that_are_cut_anyway():
    x = np.linspace(-10, 310, 25)
    line = Guide(np.c_[x, 110 + 30 * np.sin(x / 300 * 2 * np.pi)])
    layout = lay_rows(line, ROWS["quarter"], 2, FACE)
    met, row = joints_of(layout), layout.pieces["row"].to_numpy()
    along = (row[met.first] == row[met.second]) & (met.length > 5)
    assert np.maximum(met.start_gap, met.end_gap)[along].max() < 2.3 + 1e-6
    assert np.minimum(met.start_gap, met.end_gap)[along].min() > 1.7 - 1e-6


def test_a_piece_narrowed_for_its_straight_edge_says_so():
    why = lay_rows(ring(30), {"tile": 20}, 2, limits=(1.9, 2.1)).pieces["why"]
    assert why.str.contains("so that its straight edge stays near the curve").all()
    assert not lay_rows(ring(200), {"tile": 20, "fraction": "quarter"}, 2).pieces["why"].str.contains("near the").any()
