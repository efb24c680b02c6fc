"""Speed as ratios in one run: an absolute time is not stable from one machine, or minute, to the next.

Each ratio sets our work beside a known piece of work on the same data. The best of several turns is
taken on both sides, since noise only ever adds, and a few measurements are allowed.
"""

import io

import numpy as np
import shapely
from matplotlib.collections import PolyCollection
from matplotlib.figure import Figure

from mosaiclib.colour import arrange
from mosaiclib.drawing import to_svg
from mosaiclib.layout import lay_grid, neighbours
from mosaiclib.lessons import w01_joints as joints
from ratios import best, least


def test_lesson_01_takes_under_half_of_a_new_matplotlib_figure(told):
    settings = joints.Settings(span=440, height=220)
    polygons = [np.asarray(s.exterior.coords) for s in joints.compute(settings).layout.shapes]
    assert len(polygons) == 200

    def lesson():
        result = joints.compute(settings)
        assert to_svg(joints.draw(result)) and joints.report(result) and joints.summary(result)

    def figure():
        drawn = Figure(figsize=(6, 4), dpi=100)
        axes = drawn.add_subplot()
        axes.add_collection(PolyCollection(polygons))
        axes.autoscale_view()
        drawn.savefig(io.BytesIO(), format="png")

    lesson(), figure()
    ratio = least(lambda: best(lesson, 15) / best(figure, 15), 0.5)
    told("lesson 01 over a matplotlib figure", ratio, 0.5)
    assert ratio < 0.5


def grid(count):
    side = int(count**0.5)
    return lay_grid(shapely.box(0, 0, side * 22 - 2, side * 22 - 2), 20, 2, limits=(1, 3))


def whole(count):
    layout = grid(count)
    stock = dict.fromkeys(("one", "two", "three", "four"), count)
    return arrange(layout, stock, seed=1), neighbours(layout)


def test_grid_neighbours_and_colours_grow_no_faster_than_n_to_the_1_2(told):
    def measure():
        small, large = best(lambda: whole(1_000), 5), best(lambda: whole(100_000), 1)
        return np.log(large / small) / np.log(100_000 / 1_000)

    power = least(measure, 1.2)
    told("growth from 1,000 to 100,000 pieces, power", power, 1.2)
    assert power <= 1.2


def test_a_wall_of_tiles_against_one_query(told):
    shapes = grid(100_000).shapes
    query = best(lambda: shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=3.0), 2)
    ratio = least(lambda: best(lambda: whole(100_000), 1) / query, 20)
    told("100,000 pieces over one dwithin query", ratio, 20)
    assert ratio <= 20
