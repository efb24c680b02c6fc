"""A drawing that a hand meant to be alike on both sides of a centre line is laid so where the maker says the line."""

import numpy as np
import pytest
import shapely

from drawings import LIMITS, drawing
from faults import twins
from mosaiclib.errors import MosaicError
from mosaiclib.layout import Guide, broken, lay, lay_field, lay_rows

NAMES = ("ellipse", "rounded", "frame", "star", "arch", "letter", "teardrop", "medallion")


def wry(name, stray=1.0):
    """Return face and rows of a drawing, its line as an unsteady hand draws it, and its centre line [mm]."""
    face, guide, rows = drawing(name)
    points = guide.points + np.random.default_rng(3).normal(0, stray, guide.points.shape)
    x = float(face.centroid.x)
    return face, Guide(points, guide.closed, guide.corners), rows, [(x, 0), (x, 50)]


@pytest.mark.parametrize("name", NAMES)
def test_a_wry_drawing_is_laid_alike_on_both_sides(name):
    face, guide, rows, line = wry(name)
    x = line[0][0]
    assert twins(lay_rows(guide, rows, 2.0, face, limits=LIMITS).shapes, x) < 0.5
    found = lay_rows(guide, rows, 2.0, face, limits=LIMITS, centre_line=line)
    assert twins(found.shapes, x) > 0.97 and broken(found) == []
    assert twins(lay_field(face, found, 20, 2.0, centre_line=line).shapes, x) > 0.93


def test_the_line_moves_by_no_more_than_half_of_what_its_sides_differ():
    face, guide, rows, line = wry("arch", 0.0)
    moved = Guide(guide.points + np.array([2.0, 0.0]), guide.closed, guide.corners)
    found = lay_rows(moved, rows, 2.0, face, limits=LIMITS, centre_line=line)
    even = lay_rows(guide, rows, 2.0, face, limits=LIMITS)
    off = shapely.hausdorff_distance(shapely.union_all(found.shapes), shapely.union_all(even.shapes))
    assert off < 1.0  # both sides differ by 4 mm across: their mean is the arch before it was moved


def test_a_drawing_that_leans_is_laid_alike_along_its_own_axis():
    face, guide, rows, _ = wry("teardrop", 0.0)
    middle = np.array([110.0, 140.0])
    turn = np.radians(20)
    spin = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    leaning = Guide((guide.points - middle) * 0.8 @ spin + middle, guide.closed, guide.corners)
    line = [middle, middle + np.array([0.0, 10.0]) @ spin]
    shapes = lay_rows(leaning, rows, 2.0, face, centre_line=line).shapes
    assert twins(shapely.transform(shapes, lambda xy: (xy - middle) @ spin.T), 0.0) > 0.97


def test_a_grid_that_no_region_decides_is_centred_on_the_line():
    face = shapely.box(0, 0, 300, 130)
    rows = lay_rows([(0, 65), (300, 65)], {"tile": 20}, 2.0, face)
    x = shapely.bounds(lay_field(face, rows, 20, 2.0, centre_line=[(140, 0), (140, 9)]).shapes)[:, [0, 2]]
    inner = (x > 20).all(axis=1) & (x < 260).all(axis=1)
    assert np.allclose(np.unique(x[inner].round(6)), np.unique((280 - x[inner]).round(6)))


def test_lines_that_do_not_cross_it_are_laid_as_they_are():
    face, guide, rows, line = wry("rounded")
    short = Guide([(8, 12), (8, 112)])
    both = [{"guide": guide, "rows": rows, "name": "ring"}, {"guide": short, "name": "side"}]
    found = lay(face, both, 20, 2.0, limits=LIMITS, centre_line=line, search="none")
    ring, side = ((found.pieces["line"] == name).to_numpy() for name in ("ring", "side"))
    assert twins(found.shapes[ring], line[0][0]) > 0.97
    assert len(found.shapes[side]) == len(lay_rows(short, {"tile": 20, "fraction": "half"}, 2.0, face, limits=LIMITS))


@pytest.mark.parametrize(
    ("line", "words"),
    [
        (
            [(135, 0), (135, 9)],
            "not alike on both sides of the centre line: near .* mm it lies .* off its mirror image",
        ),
        ([(300, 0), (300, 9)], "crosses the centre line 0 times; .* once, in its middle"),
        ([(0, 170), (9, 170)], "crosses the centre line 2 times"),
        ([(5, 5), (5, 5)], "two points of the centre line are the same"),
        ("ab", "points of the centre line must be a list of 2"),
        ([(0, 0), (1, "a")], "point of the centre line"),
    ],
)
def test_what_is_not_alike_about_the_line_is_refused(line, words):
    face, guide, rows, _ = wry("arch")
    with pytest.raises(MosaicError, match=words):
        lay_rows(guide, rows, 2.0, face, centre_line=line)


def test_corners_on_one_side_alone_are_refused():
    guide = Guide([(40, 40), (120, 38), (200, 40), (200, 160), (40, 160)], closed=True, corners=(0,))
    with pytest.raises(MosaicError, match="a corner on one side of the centre line that the other side lacks"):
        lay_rows(guide, {"tile": 20}, 2, centre_line=[(120, 0), (120, 9)])


def test_a_grid_askew_to_the_line_is_refused():
    face, guide, rows, line = wry("arch", 0.0)
    band = lay_rows(guide, rows, 2.0, face, limits=LIMITS)
    with pytest.raises(MosaicError, match=r"askew to the centre line.*turned by 0 degrees"):
        lay_field(face, band, 20, 2.0, angle=30, centre_line=line)
