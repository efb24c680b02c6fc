"""Cutting beside its matching alone, and days beside a plain forward pass."""

import numpy as np
import shapely

from mosaiclib.job.cutting import Cutting, bench_order, cut_up, offcuts
from mosaiclib.job.pairs import _fits, _matched, pair_cuts
from mosaiclib.job.plan import CutPart, SparePart
from mosaiclib.job.schedule import Task, _jobs, _pass, _tails, schedule
from mosaiclib.layout import Layout, Tile
from mosaiclib.layout.layout import piece_table
from ratios import best, least

BLANK = np.array([20.0, 20.0])


class Pane:
    """A piece of glass of cut pieces, each in a square of its own, in one colour."""

    name = "pane"

    def __init__(self, count, seed=0):
        draw = np.random.default_rng(seed)
        wide, left, right = draw.uniform(5, 20, (3, count))
        side = int(np.ceil(count**0.5))
        x, y = 22.0 * (np.arange(count) % side), 22.0 * (np.arange(count) // side)
        corners = [(x, y), (x + wide, y), (x + wide, y + right), (x, y + left)]
        shapes = shapely.polygons(np.stack([np.stack(corner, axis=1) for corner in corners], axis=1))
        outline = shapely.box(0, 0, 22 * side, 22 * side)
        table = piece_table(count, kind="cut", fraction="whole", tile=20.0, colour="blue", face="pane")
        self.layout = Layout(outline, shapes, table, 2.0, 1.0, 25.0, Tile(20, 4))


def whole(pane) -> Cutting:
    """All of cutting: what is measured, paired, told in order, spoilt and kept."""
    cut = cut_up([pane], CutPart(paired=True), SparePart())
    bench_order(cut), cut.taken(True), offcuts(cut)
    return cut


def test_a_thousand_cut_pieces_take_three_times_their_matching_at_most(told):
    pane = Pane(1000)
    fits = [_fits(pane.layout.shapes[part::2], BLANK, 0.5, False) for part in (0, 1)]  # 500 are matched at a time
    assert len(whole(pane).pairs) > 300
    ratio = least(lambda: best(lambda: whole(pane), 2) / best(lambda: list(map(_matched, fits)), 2), 3.0)
    told("cutting 1,000 pieces over their matching alone", ratio, 3.0)
    assert ratio <= 3.0


def test_pairing_grows_no_faster_than_the_square_of_one_colour(told):
    def taken(count):
        shapes = Pane(count).layout.shapes
        return best(lambda: pair_cuts(shapes, np.tile(BLANK, (count, 1)), np.full(count, "blue"), 0.5), 2)

    ratio = least(lambda: taken(1000) / taken(500) / 4, 1.0)
    told("pairing 1,000 over 500 pieces of one colour, over four", ratio, 1.0)
    assert ratio <= 1.0


def tasks(count, seed):
    draw = np.random.default_rng(seed)
    return [
        Task(f"t{at}", int(draw.integers(10, 110)),
             {f"t{one}": int(draw.choice([0, 60, 1440])) for one in range(max(0, at - 6), at) if draw.random() < 0.25})
        for at in range(count)
    ]  # fmt: skip


def test_sixty_tasks_on_ninety_days_take_twenty_forward_passes_and_the_solver_stops_and_says_so(told):
    hours = [(day * 1440 + 1080, day * 1440 + 1260) for day in range(90)]
    for seed in range(4):
        listed = tasks(60, seed)
        jobs = _jobs(listed, {})
        plain = best(lambda jobs=jobs: _pass(jobs, hours, 1, 0, _tails(jobs)), 5)

        def ratio(search, listed=listed, plain=plain):
            return best(lambda: schedule(listed, hours, search=search), 2) / plain

        without = least(lambda ratio=ratio: ratio(False), 20.0)
        told("60 tasks on 90 days without the solver, over a forward pass", without, 20.0)
        found = schedule(listed, hours)
        told(f"the same with it, stopped; bound {found.end - found.bound} min away", ratio(True), 2000.0)
        assert without <= 20.0 and found.bound <= found.end <= schedule(listed, hours, search=False).end
