"""Shares of colours, blended runs and pieces changed by hand: met, or refused with a reason that brute force agrees with."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mosaiclib.colour import (
    CannotBe,
    ConflictGraph,
    NotFound,
    Run,
    arrange_pieces,
    arrange_pinned,
    mend_pinned,
    worst_off,
)
from mosaiclib.colour.graph import Task
from mosaiclib.colour.solve import independence_number, independent_at_most
from mosaiclib.errors import MosaicError
from mosaiclib.layout.joints import neighbours
from test_colour import most_apart, rows, stocked

NAMES = ["c0", "c1", "c2"]


def graph_of(layout):
    return ConflictGraph(len(layout), neighbours(layout))


def proper(graph, names):
    first, second = graph.ends
    return bool((names[first] != names[second]).all())


def any_graph(data, most):
    n = data.draw(st.integers(2, most))
    every = [(a, b) for a in range(n) for b in range(a + 1, n)]
    pairs = [pair for pair in every if data.draw(st.booleans())]
    return ConflictGraph(n, np.array(pairs, int).reshape(-1, 2))


def all_arrangements(graph, stock, allowed=None):
    """Try everything out, with no idea shared with the library."""
    for names in product(NAMES, repeat=graph.count):
        if any(names[a] == names[b] for a, b in graph.pairs.tolist()):
            continue
        if all(names.count(c) <= stock[c] for c in NAMES) and all(
            only is None or name in only for name, only in zip(names, allowed or [None] * graph.count, strict=True)
        ):
            yield names


class TestShares:
    @settings(max_examples=60, deadline=None)
    @given(st.data())
    def test_are_met_within_one_piece_or_no_arrangement_meets_them(self, data):
        graph = any_graph(data, 7)
        stock = {name: data.draw(st.integers(1, 7)) for name in NAMES}
        shares = {"c0": data.draw(st.sampled_from([0.1, 0.25, 0.5, 0.7, 1.0]))}
        if shares["c0"] < 0.5 and data.draw(st.booleans()):
            shares["c1"] = 0.5
        every = list(all_arrangements(graph, stock))

        def met(names):
            return all(abs(list(names).count(c) - share * graph.count) <= 1 + 1e-9 for c, share in shares.items())

        try:
            found = arrange_pieces(graph, stock, 3, shares=shares)
        except MosaicError as refused:
            assert not isinstance(refused, NotFound)
            assert not any(met(names) for names in every)
        else:
            assert tuple(found) in every and met(found)

    @pytest.mark.parametrize(("share", "counted"), [(0.5, 450), (0.3, 270), (0.05, 45)])
    @pytest.mark.parametrize("colours", [3, 5])
    def test_on_a_wall(self, share, counted, colours):
        graph = graph_of(rows(30, 30))
        found = arrange_pieces(graph, stocked(*[900] * colours), 1, shares={"c1": share})
        assert proper(graph, found) and abs((found == "c1").sum() - counted) <= 1

    def test_all_shares_on_staggered_rows(self):
        graph = graph_of(rows(24, 24, shift=11))
        asked = {"c0": 0.3, "c1": 0.3, "c2": 0.3, "c3": 0.1}
        found = arrange_pieces(graph, stocked(*[576] * 4), 1, shares=asked)
        assert proper(graph, found)
        assert all(abs((found == name).sum() - share * 576) <= 1 for name, share in asked.items())

    def test_more_than_can_be_is_refused_with_the_most(self):
        with pytest.raises(CannotBe, match=r"at most 13 can be.* 52%") as refusal:
            arrange_pieces(graph_of(rows(5, 5)), stocked(25, 25, 25), shares={"c0": 0.6})
        assert refusal.value.reason == "share"

    def test_too_few_tiles_for_a_share(self):
        with pytest.raises(CannotBe, match="its 4 tiles do for 4 at most"):
            arrange_pieces(graph_of(rows(5, 5)), stocked(4, 25, 25), shares={"c0": 0.4})
        with pytest.raises(CannotBe, match="no tile of it"):
            arrange_pieces(graph_of(rows(5, 5)), stocked(0, 25, 25), shares={"c0": 0.4})

    def test_shares_of_pieces_cut_from_parts_of_tiles(self):
        graph = graph_of(rows(10, 10))
        parts = np.where(np.arange(100) < 50, 0.25, 1.0)
        found = arrange_pieces(graph, stocked(70, 70, 70), 2, tiles=parts, shares={"c2": 0.5})
        assert proper(graph, found) and abs((found == "c2").sum() - 50) <= 1


def row_of(count, closed=False):
    pairs = [[i, i + 1] for i in range(count - 1)] + ([[0, count - 1]] if closed else [])
    return ConflictGraph(count, np.array(sorted(pairs)))


def run_of(count, colours, blend):
    return Run(np.arange(count), np.linspace(0, 1, count), colours, blend, "row 1")


class TestBlends:
    @pytest.mark.parametrize("seed", range(5))
    @pytest.mark.parametrize("colours", [["a", "b", "c"], ["a", "b", "c", "d", "e"]])
    def test_a_gradient_along_a_row(self, seed, colours):
        graph, run = row_of(60), run_of(60, colours, "gradient")
        found = arrange_pieces(graph, dict.fromkeys(colours, 60), seed, runs=[run])
        assert proper(graph, found) and worst_off(run, found) < 0.05
        thirds = [np.mean(part == colours[-1]) for part in np.split(found, 3)]
        assert thirds[0] <= thirds[1] < thirds[2] and thirds[2] >= 0.25
        assert np.mean(found[:20] == colours[0]) >= 0.25 > np.mean(found[40:] == colours[0])

    @pytest.mark.parametrize("shift", [0.0, 11.0])
    def test_a_gradient_up_a_face(self, shift):
        layout = rows(20, 20, shift)
        graph = graph_of(layout)
        colours = ["a", "b", "c"] if not shift else ["a", "b", "c", "d", "e", "f"]
        t = np.repeat(np.linspace(0, 1, 20), 20)
        run = Run(np.arange(400), t, colours, "gradient")
        found = arrange_pieces(graph, dict.fromkeys(colours, 400), 1, runs=[run])
        assert proper(graph, found) and worst_off(run, found) < 0.1
        assert np.mean(found[:100] == colours[-1]) < 0.1 < np.mean(found[300:] == colours[-1])

    @pytest.mark.parametrize("count", [12, 13, 40])
    @pytest.mark.parametrize("closed", [False, True])
    def test_shades_mix_evenly_in_a_row(self, count, closed):
        graph, run = row_of(count, closed), run_of(count, ["a", "b", "c"], "even")
        found = arrange_pieces(graph, {"a": 40, "b": 40, "c": 40}, 1, runs=[run])
        assert proper(graph, found) and max(np.unique(found, return_counts=True)[1]) <= count / 3 + 2

    def test_another_seed_is_another_run(self):
        run, stock = run_of(60, ["a", "b", "c"], "even"), dict.fromkeys("abc", 60)
        assert any(
            (
                arrange_pieces(row_of(60), stock, seed, runs=[run]) != arrange_pieces(row_of(60), stock, 0, runs=[run])
            ).any()
            for seed in (1, 2, 3)
        )

    def test_the_rest_goes_round_the_run(self):
        layout = rows(12, 12)
        graph, run = graph_of(layout), Run(np.arange(12), np.linspace(0, 1, 12), ["a", "b", "c"], "gradient")
        found = arrange_pieces(graph, dict.fromkeys("abcd", 144), 1, runs=[run])
        assert proper(graph, found) and set(found[:12]) <= set("abc") and "d" in found[12:]

    def test_too_few_tiles_for_a_run_prove_nothing(self):
        run = run_of(40, ["a", "b", "c"], "even")
        with pytest.raises(NotFound, match="row 1 are blended as asked"):
            arrange_pieces(row_of(40), {"a": 20, "b": 20, "c": 2}, 1, runs=[run])

    def test_the_measure_of_what_is_worst(self):
        """By hand: after two of four pieces, both in a, one is too many: a quarter of the run."""
        assert worst_off(run_of(4, ["a", "b"], "even"), ["a", "a", "b", "b"]) == 0.25


class TestByHand:
    @settings(max_examples=60, deadline=None)
    @given(st.data())
    def test_against_trying_everything_out(self, data):
        graph = any_graph(data, 6)
        stock = {name: data.draw(st.integers(1, 6)) for name in NAMES}
        if not next(all_arrangements(graph, stock), None):
            return
        pins = [
            (data.draw(st.integers(0, graph.count - 1)), data.draw(st.sampled_from(NAMES)))
            for _ in range(data.draw(st.integers(1, 2)))
        ]
        held = dict(pins)
        allowed = [frozenset({held[v]}) if v in held else None for v in range(graph.count)]
        every = set(all_arrangements(graph, stock, allowed))
        try:
            found = arrange_pinned(Task.of(graph, stock), 1, (), pins)
        except CannotBe:
            first = [frozenset({pins[0][1]}) if v == pins[0][0] else None for v in range(graph.count)]
            assert not every or not next(all_arrangements(graph, stock, first), None)
        else:
            assert tuple(found) in every

    @pytest.mark.parametrize("counts", [(400,) * 4, (100,) * 4, (134, 133, 133), (50,) * 8])
    @pytest.mark.parametrize("shift", [0.0, 11.0])
    def test_the_rest_is_mended_and_the_same_pins_give_the_same(self, counts, shift):
        graph, rng = graph_of(rows(20, 20, shift)), np.random.default_rng(4)
        stock = stocked(*counts)
        task, pins = Task.of(graph, stock), []
        try:
            names = arrange_pinned(task, 7)
        except CannotBe:
            pytest.skip("three colours on staggered rows are forced")
        for _ in range(6):
            pin = (int(rng.integers(400)), f"c{rng.integers(len(counts))}")
            try:
                names = mend_pinned(task, names, 7, (), [*pins, pin])
            except CannotBe:
                continue
            pins.append(pin)
            assert proper(graph, names) and all((names == c).sum() <= stock[c] for c in stock)
            assert all(names[piece] == colour for piece, colour in dict(pins).items())
        assert pins and (arrange_pinned(task, 7, (), pins) == names).all()

    def test_a_change_on_loose_stock_moves_little(self):
        graph = graph_of(rows(30, 30))
        task = Task.of(graph, stocked(*[900] * 4))
        before = arrange_pinned(task, 1)
        changed = [(mend_pinned(task, before, 1, (), [(v, "c2")]) != before).sum() for v in range(0, 900, 30)]
        assert np.median(changed) <= 5 and max(changed) < 100

    def test_pins_that_touch_and_are_alike_are_both_named(self):
        with pytest.raises(CannotBe, match="Piece 4 and piece 5 touch, and both were made c1 by hand") as refusal:
            arrange_pinned(Task.of(row_of(9), stocked(9, 9, 9)), 1, (), [(4, "c1"), (5, "c1")])
        assert refusal.value.reason == "pinned"

    def test_a_later_pin_holds(self):
        found = arrange_pinned(Task.of(row_of(9), stocked(9, 9, 9)), 1, (), [(4, "c1"), (4, "c2")])
        assert found[4] == "c2"

    def test_a_pin_may_open_the_way(self):
        """An odd ring in two colours cannot be; with one piece in a third by hand it can."""
        ring, only = row_of(5, closed=True), [frozenset({"c0", "c1"})] * 5
        task = Task.of(ring, stocked(5, 5, 5), only)
        with pytest.raises(CannotBe):
            arrange_pinned(task, 1)
        assert proper(ring, arrange_pinned(task, 1, (), [(2, "c2")]))

    def test_a_colour_without_a_tile(self):
        with pytest.raises(CannotBe, match="there is no tile of it"):
            arrange_pinned(Task.of(row_of(4), stocked(4, 4)), 1, (), [(1, "ruby")])


class TestProofs:
    @settings(max_examples=80, deadline=None)
    @given(st.data())
    def test_the_bound_is_never_under_the_truth(self, data):
        graph = any_graph(data, 9)
        assert independent_at_most(graph) >= most_apart(graph.count, graph.pairs.tolist())

    def test_the_bound_is_tight_on_rings_and_staggered_rows(self):
        """Each closed row of 33 holds 16 of one colour; every third piece of a staggered row, 11 of 32 (first principles)."""
        assert independent_at_most(graph_of(rows(6, 33, ring=True))) == 6 * 16
        staggered = graph_of(rows(6, 9, shift=11))
        assert independent_at_most(staggered) == independence_number(staggered) == 18

    def test_stock_short_on_odd_rings_is_proved(self):
        with pytest.raises(CannotBe, match="At most 496 of the 1023 pieces can be of one colour") as refusal:
            arrange_pieces(graph_of(rows(31, 33, ring=True)), stocked(500, 492, 31))
        assert refusal.value.missing == 1023 - 496 - 492 - 31

    def test_all_rows_that_close_odd_rings_are_told_at_once(self):
        graph, two = graph_of(rows(5, 7, ring=True)), [frozenset({"c0", "c1"}), frozenset({"c2", "c3"})]
        row = np.repeat(np.arange(5), 7)
        allowed = [two[r % 2] if r < 3 else None for r in row]
        names = [f"row {r + 1}" if r < 3 else "" for r in row]
        with pytest.raises(CannotBe) as refusal:
            arrange_pieces(graph, stocked(35, 35, 35, 35), allowed=allowed, rows=names)
        assert all(f"ow {r} (" in str(refusal.value) for r in (1, 2, 3))
        assert str(refusal.value).count("third colour") == 1

    def test_all_rows_without_a_tile_are_told_at_once(self):
        with pytest.raises(CannotBe, match="row 1: ruby; for row 2: gold"):
            arrange_pieces(
                row_of(4),
                {"c0": 9},
                allowed=[frozenset({"ruby"})] * 2 + [frozenset({"gold"})] * 2,
                rows=["row 1", "row 1", "row 2", "row 2"],
            )
