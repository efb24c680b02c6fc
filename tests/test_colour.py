"""Colours: no clash, within stock, lively, repeatable; refusals agree with trying everything out."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from clashes import clashes
from mosaiclib.colour import CannotBe, ConflictGraph, NotFound, StockShort, arrange, arrange_pieces, arrangement
from mosaiclib.colour.exchange import LEAST_ROUNDS, alternating, exchange
from mosaiclib.colour.graph import Task, targets
from mosaiclib.colour.solve import alternate, independence_number, independent_at_least
from mosaiclib.errors import MosaicError
from mosaiclib.glass import Seam
from mosaiclib.layout import lay_grid
from mosaiclib.layout.joints import neighbours
from mosaiclib.layout.layout import Layout, Tile, piece_table

SIDE, JOINT = 20.0, 2.0
PITCH = SIDE + JOINT
SEVERAL = [f"c{i}" for i in range(9)]


def rows(down, across, shift=0.0, keep=None, ring=False):
    """Squares in rows, every other row shifted; `ring` closes the strip on itself."""
    row, place = np.divmod(np.arange(down * across), across)
    left, low = place * PITCH + row % 2 * shift, row * PITCH
    kept = slice(None) if keep is None else np.flatnonzero(keep)
    shapes = shapely.box(left, low, left + SIDE, low + SIDE)[kept]
    table = piece_table(len(shapes), face="front", row=row[kept] + 1, place=place[kept] + 1, width=SIDE)
    outline = shapely.box(-PITCH, -PITCH, (across + 1) * PITCH, (down + 1) * PITCH)
    seams = [Seam.shift(across * PITCH, down * PITCH, ("front", "front"))] if ring else []
    return Layout(outline, shapes, table, JOINT, 1.0, 3.0, Tile(SIDE, 4), seams=seams)


def stocked(*counts):
    return dict(zip(SEVERAL, counts, strict=False))


def numbered(graph, counts, seed):
    """Arrange a stock of so many tiles of each colour, and return the colours by their numbers."""
    return np.array([SEVERAL.index(name) for name in arrange_pieces(graph, stocked(*counts), seed)])


def most_of_one(layout, corners=False):
    """The most pieces of a layout that can be of one colour."""
    return independence_number(ConflictGraph(len(layout), neighbours(layout, corners)))


def exact_parts(count, colours):
    return stocked(*(count // colours + (i < count % colours) for i in range(colours)))


def assert_good(coloured, stock, corners=False):
    assert len(clashes(coloured, corners)) == 0
    used = coloured.pieces["colour"].value_counts()
    assert used.sum() == len(coloured)
    assert all(used[name] <= stock[name] for name in used.index)


def can_be(count, pairs, stock):
    """Try everything out: the oracle, with no idea shared with the library."""
    near = [[a for a, b in pairs if b == v] for v in range(count)]
    left, colour = list(stock), [-1] * count

    def go(v):
        if v == count:
            return True
        for c in range(len(left)):
            if left[c] and all(colour[w] != c for w in near[v]):
                left[c] -= 1
                colour[v] = c
                if go(v + 1):
                    return True
                left[c] += 1
        return False

    return go(0)


def most_apart(count, pairs):
    """Try all sets of pieces out."""
    apart = [s for s in range(1 << count) if not any(s >> a & 1 and s >> b & 1 for a, b in pairs)]
    return max(s.bit_count() for s in apart)


@st.composite
def small_layouts(draw):
    down, across = draw(st.sampled_from([(1, 5), (1, 7), (2, 3), (2, 4), (2, 5), (3, 3)]))
    keep = draw(st.lists(st.booleans(), min_size=down * across, max_size=down * across).filter(any))
    shift = draw(st.sampled_from([0.0, 7.0, 11.0]))
    return rows(down, across, shift, keep, ring=draw(st.booleans()) and all(keep))


@st.composite
def small_stocks(draw, count):
    """Stocks at and just above the number of pieces, lopsided ones among them."""
    parts = draw(st.lists(st.integers(0, count), min_size=1, max_size=4).filter(any))
    scale = count / sum(parts)
    counts = [int(part * scale) for part in parts]
    counts[draw(st.integers(0, len(counts) - 1))] += count - sum(counts) + draw(st.integers(0, 2))
    return stocked(*counts)


class TestAgainstTryingEverythingOut:
    @settings(max_examples=150, deadline=None)
    @given(st.data())
    def test_possible_and_impossible_layouts(self, data):
        layout = data.draw(small_layouts())
        stock, corners = data.draw(small_stocks(len(layout))), data.draw(st.booleans())
        pairs = neighbours(layout, corners).tolist()
        possible = can_be(len(layout), pairs, list(stock.values()))
        try:
            assert_good(arrange(layout, stock, 1, corners), stock, corners)
            assert possible
        except CannotBe as refusal:
            assert not possible
            if refusal.most is not None:
                assert refusal.most == most_apart(len(layout), pairs)

    @settings(max_examples=200, deadline=None)
    @given(st.data())
    def test_any_pieces_that_touch_in_any_way(self, data):
        n = data.draw(st.integers(1, 9))
        every = [(a, b) for a in range(n) for b in range(a + 1, n)]
        pairs = [pair for pair in every if data.draw(st.booleans())]
        stock = np.array([c for c in data.draw(small_stocks(n)).values() if c])
        graph = ConflictGraph(n, np.array(pairs, int).reshape(-1, 2))
        assert independence_number(graph) == most_apart(n, pairs)
        assert independent_at_least(graph, np.random.default_rng(0)) <= most_apart(n, pairs)
        possible = can_be(n, pairs, stock)
        try:
            colours = numbered(graph, stock, 0)
        except CannotBe:
            assert not possible
        else:
            assert possible
            assert (np.bincount(colours, minlength=len(stock)) <= stock).all()
            assert all(colours[a] != colours[b] for a, b in pairs)

    @given(st.lists(st.integers(1, 5), min_size=1, max_size=5), st.data())
    def test_two_colours_on_several_rows(self, lengths, data):
        """Each row of odd length gives one colour one more; the possible numbers follow by trying all."""
        ends = np.cumsum(lengths)
        pairs = [(i, i + 1) for i in range(ends[-1] - 1) if i + 1 not in ends]
        n, first = int(ends[-1]), data.draw(st.integers(0, int(ends[-1])))
        graph = ConflictGraph(n, np.array(pairs, int).reshape(-1, 2))
        stock = np.array([first, n - first])
        task = Task(graph, ["a", "b"], stock, np.ones(n, int), 1, [None] * n, [""] * n)
        colours, counts = alternate(task, stock, np.random.default_rng(0))
        sums = {0}
        for length in lengths:
            sums = {s + part for s in sums for part in (length // 2, length - length // 2)}
        assert (colours is not None) == (first in sums)
        assert counts[0] in sums and abs(counts[0] - first) == min(abs(s - first) for s in sums)
        if colours is not None:
            assert np.bincount(colours, minlength=2).tolist() == [first, n - first]
            assert all(colours[a] != colours[b] for a, b in pairs)


class TestTightStock:
    """Numbers that add up to exactly the pieces."""

    @pytest.mark.parametrize(
        ("layout", "counts"),
        [
            (rows(5, 5), (13, 12)),
            (rows(5, 5), (12, 13)),
            (rows(5, 5), (13, 6, 6)),
            (rows(5, 5), (11, 10, 4)),
            (rows(6, 6), (12, 12, 12)),
            (rows(6, 6), (18, 17, 1)),
            (rows(6, 6), (17, 17, 2)),
            (rows(40, 40), (790, 790, 20)),
            (rows(40, 40), (800, 799, 1)),
            (rows(6, 6, shift=11), (12, 12, 12)),
            (rows(12, 12, shift=11), (36, 36, 36, 36)),
            (rows(2, 5, ring=True), (4, 3, 3)),
            (rows(1, 7, ring=True), (3, 3, 1)),
            (rows(1, 9), (5, 4)),
        ],
    )
    def test_is_met(self, layout, counts):
        coloured = arrange(layout, stocked(*counts))
        assert_good(coloured, stocked(*counts))
        assert coloured.pieces["colour"].value_counts().to_dict() == stocked(*counts)

    @pytest.mark.parametrize("colours", [3, 4, 5, 7])
    @pytest.mark.parametrize("corners", [False, True])
    @pytest.mark.parametrize("shift", [0.0, 11.0])
    def test_of_equal_parts_is_met(self, colours, corners, shift):
        layout = rows(12, 12, shift)
        stock = exact_parts(144, colours)
        if corners and not shift and colours == 3:
            with pytest.raises(CannotBe) as refusal:  # four pieces meet at every crossing
                arrange(layout, stock, corners=True)
            assert refusal.value.reason == "too few colours"
        else:
            assert_good(arrange(layout, stock, corners=corners), stock, corners)

    def test_one_colour_where_nothing_touches(self):
        layout = rows(3, 3, keep=[1, 0, 1, 0, 1, 0, 1, 0, 1])
        assert set(arrange(layout, {"red": 5}).pieces["colour"]) == {"red"}


class TestRefusals:
    def test_stock_short(self):
        with pytest.raises(StockShort, match="25 pieces and the stock 20 tiles: 5 short") as refusal:
            arrange(rows(5, 5), {"white": 15, "blue": 5})
        assert refusal.value.short == 5

    def test_too_many_of_one_colour(self):
        with pytest.raises(CannotBe, match="At most 13 of the 25 pieces") as refusal:
            arrange(rows(5, 5), {"white": 24, "blue": 1})
        assert (refusal.value.reason, refusal.value.most, refusal.value.missing) == ("one colour", 13, 11)

    def test_what_is_missing_is_enough_when_added(self):
        assert_good(arrange(rows(5, 5), {"white": 24, "blue": 12}), {"white": 24, "blue": 12})
        added = {"white": 24, "blue": 1, "red": 11}
        assert_good(arrange(rows(5, 5), added), added)

    @pytest.mark.parametrize("count", [3, 5, 7, 21])
    def test_two_colours_round_an_odd_ring(self, count):
        ring = rows(1, count, ring=True)
        with pytest.raises(CannotBe, match="odd number") as refusal:
            arrange(ring, {"white": count, "blue": count})
        assert refusal.value.reason == "odd cycle"
        assert_good(arrange(ring, stocked(count, count, 1)), stocked(count, count, 1))

    def test_two_colours_round_an_even_ring(self):
        assert_good(arrange(rows(1, 6, ring=True), stocked(3, 3)), stocked(3, 3))

    def test_two_colours_whose_numbers_no_choice_of_sides_gives(self):
        three_rows = [
            1,
            1,
            1,
            0,
            1,
            1,
            1,
            0,
            1,
            1,
            1,
        ]  # each gives one colour 2 and the other 1: 3 to 6, never 7
        layout = rows(1, 11, keep=three_rows)
        assert_good(arrange(layout, stocked(3, 6)), stocked(3, 6))
        pair_and_pair = rows(1, 5, keep=[1, 1, 0, 1, 1])
        assert_good(arrange(pair_and_pair, stocked(2, 2)), stocked(2, 2))
        tee = rows(2, 7, keep=[1, 1, 1, 0, 1, 1, 1, 0, 1, 0, 0, 0, 1, 0])  # two tees, 3 and 1 each: 2, 4 or 6
        with pytest.raises(CannotBe) as refusal:
            arrange(tee, stocked(5, 3))
        assert refusal.value.reason == "counts" and refusal.value.nearest in ((4, 4), (6, 2))
        for counts in ((2, 6), (4, 4), (6, 2)):
            assert_good(arrange(tee, stocked(*counts)), stocked(*counts))

    def test_a_forced_pattern_that_the_numbers_do_not_fit(self):
        layout = rows(10, 10, shift=11)  # each row of ten holds 4, 3 and 3
        with pytest.raises(CannotBe) as refusal:
            arrange(layout, stocked(34, 33, 33))
        needed = refusal.value.nearest
        assert refusal.value.reason == "counts" and sum(needed) == 100
        assert_good(arrange(layout, stocked(*needed)), stocked(*needed))
        assert_good(arrange(layout, stocked(*needed[::-1])), stocked(*needed[::-1]))

    def test_a_search_that_ends_says_that_it_proves_nothing(self, monkeypatch):
        monkeypatch.setattr(arrangement, "SEARCH_SIZE", 0)
        monkeypatch.setattr(arrangement, "exchange", lambda colours, *_: (colours, 1, 160))
        with pytest.raises(NotFound, match="There may still be a way") as refusal:
            arrange(rows(6, 6), stocked(12, 12, 12))
        facts = refusal.value
        assert (facts.pieces, facts.starts, facts.rounds, facts.work) == (36, 2, 320, 0.0)

    def test_all_are_mosaic_errors(self):
        assert all(issubclass(kind, MosaicError) for kind in (StockShort, CannotBe, NotFound))


class TestLively:
    @pytest.mark.parametrize("colours", [3, 4, 5, 6])
    @pytest.mark.parametrize("seed", [0, 1])
    def test_neither_stripes_nor_chessboard(self, colours, seed):
        """Two places along, a piece is alike in every case on a chessboard; by lot in about 1/(q - 1)."""
        coloured = arrange(rows(30, 30), stocked(*[900] * colours), seed)
        grid = coloured.pieces["colour"].to_numpy(dtype=object).reshape(30, 30)
        for table in (grid, grid.T):
            for apart in (2, 3, 4):
                assert np.mean(table[:, apart:] == table[:, :-apart]) < 0.75
        diagonal = np.mean(grid[1:, 1:] == grid[:-1, :-1])
        assert diagonal < 0.75

    @pytest.mark.parametrize("colours", [4, 5])
    def test_nothing_is_left_of_the_chessboard_it_began_with(self, colours):
        coloured = arrange(rows(60, 60), stocked(*[3600] * colours))
        light = (np.add(*np.divmod(np.arange(3600), 60)) % 2).astype(bool)
        for name, places in coloured.pieces.groupby("colour").groups.items():
            # by lot up to 0.1 off, the same after 20 rounds as after 400; 0.5 on a chessboard
            assert abs(np.mean(light[places]) - 0.5) < 0.15, name

    def test_staggered_rows_with_four_colours_leave_the_forced_pattern(self):
        coloured = arrange(rows(30, 30, shift=11), stocked(*[900] * 4))
        grid = coloured.pieces["colour"].to_numpy(dtype=object).reshape(30, 30)
        assert np.mean(grid[:, 3:] == grid[:, :-3]) < 0.75

    def test_shares_follow_the_stock(self):
        used = arrange(rows(20, 20), stocked(600, 600, 400, 400)).pieces["colour"].value_counts()
        assert used.to_dict() == stocked(120, 120, 80, 80)

    def test_one_plentiful_colour_does_not_turn_it_into_a_chessboard(self):
        used = arrange(rows(20, 20), stocked(9000, 300, 300)).pieces["colour"].value_counts()
        assert used["c0"] == 0.8 * 200

    def test_a_plentiful_colour_is_used_to_the_most_where_it_must(self):
        stock = stocked(9000, 6, 6)
        assert arrange(rows(5, 5), stock).pieces["colour"].value_counts().to_dict() == stocked(13, 6, 6)

    def test_seeds_differ_and_repeat(self):
        layout, stock = rows(8, 8), stocked(30, 30, 30, 30)
        first, again, other = (list(arrange(layout, stock, s).pieces["colour"]) for s in (1, 1, 2))
        assert first == again != other

    def test_all_arrangements_of_a_small_grid_come_up(self):
        """2 x 3 pieces have 54 arrangements in three colours (tests/published); 6 of them use only two."""
        graph = ConflictGraph(6, neighbours(rows(2, 3)))
        seen = set()
        for parts in all_parts(6, 3):
            for seed in range(80):
                try:
                    seen.add(tuple(numbered(graph, parts, seed).tolist()))
                except CannotBe:
                    break
        assert len(seen) == 54 - 6


def all_parts(total, colours):
    """Ways of writing a total as that many numbers above 0."""
    if colours == 1:
        return [(total,)]
    return [(k, *rest) for k in range(1, total) for rest in all_parts(total - k, colours - 1)]


class TestSharing:
    @given(st.lists(st.integers(1, 60), min_size=1, max_size=6), st.data())
    def test_adds_up_within_the_stock(self, stock, data):
        pieces = data.draw(st.integers(1, sum(stock)))
        room = data.draw(st.integers(1, pieces))
        found = targets(pieces, np.array(stock), room)
        assert found.sum() == pieces and (found <= stock).all() and (found >= 0).all()

    @given(st.lists(st.integers(1, 60), min_size=2, max_size=6))
    def test_is_proportional_where_no_cap_bites(self, stock):
        total = sum(stock)
        found = targets(total * 10, np.array(stock) * 10, total * 100)
        assert found.tolist() == [10 * count for count in stock]


class TestMostOfOne:
    @pytest.mark.parametrize(("down", "across"), [(1, 1), (2, 2), (3, 5), (5, 5), (6, 7)])
    def test_aligned_grid_is_half_rounded_up(self, down, across):
        assert most_of_one(rows(down, across)) == math.ceil(down * across / 2)

    @pytest.mark.parametrize(("down", "across"), [(2, 2), (3, 5), (5, 5), (6, 7)])
    def test_with_corners_every_second_row_and_place(self, down, across):
        expected = math.ceil(down / 2) * math.ceil(across / 2)
        assert most_of_one(rows(down, across), corners=True) == expected

    @pytest.mark.parametrize("count", [3, 4, 5, 8, 9])
    def test_ring_is_half_rounded_down(self, count):
        assert most_of_one(rows(1, count, ring=True)) == count // 2

    @settings(max_examples=40, deadline=None)
    @given(small_layouts(), st.booleans())
    def test_small_layouts(self, layout, corners):
        assert most_of_one(layout, corners) == most_apart(len(layout), neighbours(layout, corners).tolist())


class TestClashes:
    def test_are_the_alike_pairs(self):
        layout = rows(1, 4).coloured(["red", "red", "blue", "blue"])
        assert clashes(layout).tolist() == [[0, 1], [2, 3]]

    def test_uncoloured_pieces_are_like_nothing(self):
        assert len(clashes(rows(2, 2))) == 0

    def test_corners_count_only_when_asked(self):
        layout = rows(2, 2).coloured(["red", "blue", "blue", "red"])
        assert len(clashes(layout)) == 0
        assert clashes(layout, corners=True).tolist() == [[0, 3], [1, 2]]


class TestInput:
    @pytest.mark.parametrize(
        ("stock", "sentence"),
        [
            ({}, "empty"),
            ([("white", 3)], "for each colour's name"),
            (None, "for each colour's name"),
            (7, "for each colour's name"),
            ({"white": -1}, "at least 0"),
            ({"white": 2.5}, "whole number"),
            ({"white": math.nan}, "finite"),
            ({"white": math.inf}, "finite"),
            ({"white": "12"}, "must be a number"),
            ({"white": True}, "must be a number"),
            ({"white": None}, "must be a number"),
            ({"white": 0, "blue": 0}, "no tiles"),
            ({"": 9}, "name must be text"),
            ({"  ": 9}, "name must be text"),
            ({3: 9}, "name must be text"),
            ({None: 9}, "name must be text"),
        ],
    )
    def test_stock_that_cannot_be_read(self, stock, sentence):
        with pytest.raises(MosaicError, match=sentence) as refusal:
            arrange(rows(2, 2), stock)
        assert "\n" not in str(refusal.value)

    @pytest.mark.parametrize("seed", [-1, 0.5, math.nan, "one", None, 2**31])
    def test_seed_out_of_range(self, seed):
        with pytest.raises(MosaicError, match="seed"):
            arrange(rows(2, 2), stocked(4, 4), seed)

    def test_whole_numbers_of_other_types(self):
        assert_good(arrange(rows(2, 2), {"a": np.int64(2), "b": 2.0}), {"a": 2, "b": 2})

    def test_no_pieces(self):
        empty = rows(1, 1, keep=[False])
        assert arrange(empty, stocked(1)) is empty
        assert len(clashes(empty)) == 0

    def test_one_piece(self):
        assert list(arrange(rows(1, 1), {"red": 1}).pieces["colour"]) == ["red"]

    def test_the_layout_given_is_left_alone(self):
        layout = rows(3, 3)
        arrange(layout, stocked(9, 9, 9))
        assert set(layout.pieces["colour"]) == {""}


class TestVessel:
    def test_colours_differ_where_a_strip_closes(self):
        layout = rows(3, 7, ring=True)
        coloured = arrange(layout, exact_parts(21, 3))
        grid = coloured.pieces["colour"].to_numpy(dtype=object).reshape(3, 7)
        assert (grid[:, 0] != grid[:, -1]).all()
        assert_good(coloured, exact_parts(21, 3))


@pytest.mark.parametrize("seed", range(8))
def test_stock_to_the_last_tile_is_met_soon(seed):
    """Led in proportion alone this took 45 to 146 rounds."""
    wall = lay_grid(shapely.box(0, 0, 32 * 22 - 2, 32 * 22 - 2), 20, 2, limits=(1, 3))
    graph, counts = ConflictGraph(len(wall), neighbours(wall)), np.array([500, 500, 24])
    task = Task.of(graph, {"blue": 500, "white": 500, "amber": 24})
    found, over, rounds = exchange(alternating(graph, counts), task, counts, np.random.default_rng(seed))
    assert not over and np.bincount(found).tolist() == counts.tolist() and rounds <= 3 * LEAST_ROUNDS
