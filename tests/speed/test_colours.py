"""Colours: tight stock against loose stock, and one piece changed by hand against a whole new arrangement, in one run."""

import numpy as np
import pytest
import shapely

from mosaiclib.colour import ConflictGraph, arrange_pieces
from mosaiclib.job import Plan, work_out
from mosaiclib.layout import lay_grid, neighbours
from mosaiclib.reference import DATA
from ratios import best, least


def graph(pairs, count):
    return ConflictGraph(count, pairs)


def stocked(counts):
    return {f"c{i}": count for i, count in enumerate(counts)}


PARTS = {
    "three equal parts": (342, 341, 341),
    "four equal parts": (256,) * 4,
    "eight equal parts": (128,) * 8,
    "half of one": (512, 256, 256),
    "two and a few": (500, 500, 24),
}


@pytest.mark.parametrize("name", PARTS)
def test_tight_stock_against_loose(told, name):
    wall = lay_grid(shapely.box(0, 0, 32 * 22 - 2, 32 * 22 - 2), 20, 2, limits=(1, 3))
    pairs, counts = neighbours(wall), PARTS[name]

    def arranged(stock):
        return lambda: arrange_pieces(graph(pairs, len(wall)), stocked(stock), 1)

    loose = arranged([len(wall)] * len(counts))
    arranged(counts)(), loose()
    ratio = least(lambda: best(arranged(counts), 5) / best(loose, 5), 3)
    told(f"{len(wall)} pieces on exactly {name} over loose stock", ratio, 3)
    assert ratio <= 3


def wall():
    """Return a plan of one pane of about 1,000 pieces with a band."""
    found = Plan.load(DATA / "example_plan.json").model_dump(mode="json")
    pane = found["glass"][0] | {"width": 700.0, "height": 600.0}
    return Plan.made(**found | {"glass": [pane]})


def test_one_piece_by_hand_against_a_new_arrangement(told):
    worked = work_out(wall())
    assert 900 < worked.count < 1200
    layout = worked.pieces[0].layout
    field = np.flatnonzero((layout.pieces["band"] == "field").to_numpy())[100::150]
    names = [colour.name for colour in worked.plan.tile.colours]

    def by_hand():
        for k, piece in enumerate(field):
            worked.pinned("window panel", int(piece) + 1, names[k % len(names)])

    def anew():
        worked.arranged(2)

    by_hand(), anew()
    ratio = least(lambda: best(by_hand, 3) / len(field) / best(anew, 3), 0.5)
    told(f"one of {worked.count} pieces by hand over a new arrangement", ratio, 0.5)
    assert ratio <= 0.5
