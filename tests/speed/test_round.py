"""Tiles round a cylinder against the same tiles on a flat face."""

from mosaiclib.colour.graph import ConflictGraph
from mosaiclib.glass import Pane, Round
from mosaiclib.layout import Tile, lay_faces, neighbours, survey
from ratios import best, least

MOST = 1.3
ROUND_, UP = 200, 100  # 20,000 tiles


def work(glass):
    """Lay, find neighbours, survey and make the graph of colours."""

    def done():
        laid = lay_faces(glass, Tile(20, 4), 2, (1, 3))
        assert len(laid) == ROUND_ * UP
        survey(laid)
        assert not ConflictGraph(len(laid), neighbours(laid)).odd.any()

    return done


def test_round_a_cylinder_against_flat(told):
    high = 22 * UP - 2
    flat, round_ = work(Pane(22 * ROUND_ - 2, high)), work(Round(22 * ROUND_, high, 4, 6))
    flat(), round_()
    ratio = least(lambda: best(round_, 2) / best(flat, 2), MOST)
    told("20,000 tiles round a cylinder over the same on a flat face", ratio, MOST)
    assert ratio <= MOST
