"""Lesson 05: the fewest colours, repetition told apart on made patterns, pins, other eyes, and the answers to its tasks."""

import json
from dataclasses import replace
from itertools import product
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from clashes import clashes
from mosaiclib.colour import ConflictGraph
from mosaiclib.colour.fewest import Reason, fewest, forced, with_few
from mosaiclib.colour.repetition import kappa, repetition
from mosaiclib.drawing.eyes import EYES, seen_by
from mosaiclib.drawing.palette import GLASS_COLOURS, grey
from mosaiclib.errors import MosaicError
from mosaiclib.lessons import w05_eyes, w05_fewest, w05_lively
from mosaiclib.lessons.w05_shared import laid, touching

ROOT = Path(__file__).parents[1]
NAMES = np.array(list("abcdefgh"))


# --- the fewest colours, against trying everything out -------------------------------------------------------


def proper(graph, colours):
    """Return every proper colouring by brute force, shape (m, n)."""
    every = np.array(list(product(range(colours), repeat=graph.count)))
    return every[[all(line[a] != line[b] for a, b in graph.pairs) for line in every]]


@st.composite
def graphs(draw):
    n = draw(st.integers(1, 6))
    pairs = [(a, b) for a in range(n) for b in range(a + 1, n) if draw(st.booleans())]
    return ConflictGraph(n, np.array(pairs, int).reshape(-1, 2))


@settings(deadline=None, max_examples=60)
@given(graphs())
def test_the_fewest_colours_and_their_reason_are_those_of_trying_everything_out(graph):
    found = fewest(graph)
    least = next(k for k in range(1, 7) if len(proper(graph, k)))
    assert found.number == least
    touch = {tuple(pair) for pair in graph.pairs.tolist()} | {tuple(pair[::-1]) for pair in graph.pairs.tolist()}
    pieces = found.pieces.tolist()
    if found.reason is Reason.ODD:
        assert len(set(pieces)) == len(pieces) and len(pieces) % 2
        assert all((a, b) in touch for a, b in zip(pieces, pieces[1:] + pieces[:1], strict=True))
    if found.reason is Reason.CLIQUE:
        assert len(pieces) == least and all((a, b) in touch for a in pieces for b in pieces if a != b)


def test_a_wheel_of_five_spokes_takes_four_though_no_four_all_touch():
    rim = [(i, (i + 1) % 5) for i in range(5)]
    wheel = ConflictGraph(6, np.array(sorted([*(tuple(sorted(pair)) for pair in rim), *((i, 5) for i in range(5))])))
    assert (fewest(wheel).number, fewest(wheel).reason) == (4, Reason.TRIED)


@pytest.mark.parametrize(
    ("pattern", "across", "down", "colours"),
    [("running bond", 3, 3, 3), ("grid", 3, 2, 2), ("ring", 6, 1, 2), ("ring", 7, 1, 3), ("grid", 3, 2, 3)],
)
def test_no_choice_is_told_where_only_the_colours_can_be_exchanged(pattern, across, down, colours):
    graph = touching(pattern, across, down)
    groups = {tuple(list(dict.fromkeys(line)).index(c) for c in line) for line in proper(graph, colours).tolist()}
    assert forced(graph, colours) == (len(groups) == 1)


@settings(deadline=None, max_examples=40)
@given(graphs(), st.integers(2, 4))
def test_what_touches_and_is_alike_is_no_more_than_what_a_blind_choice_gives(graph, colours):
    """Piece by piece the colour that fewest earlier neighbours have: at most one pair in `colours` is alike."""
    line = with_few(graph, colours)
    alike = sum(line[a] == line[b] for a, b in graph.pairs)
    assert alike <= len(graph.pairs) / colours


@pytest.mark.parametrize("pattern", ["grid", "running bond", "ring"])
@pytest.mark.parametrize("colours", [2, 3])
def test_bars_stand_where_two_alike_touch_and_nowhere_else(pattern, colours):
    found = w05_fewest.compute(w05_fewest.Settings(pattern=pattern, across=7, down=5, colours=colours))
    assert sorted(map(tuple, found.alike.tolist())) == sorted(map(tuple, np.sort(clashes(found.layout)).tolist()))
    assert (len(found.alike) > 0) == (colours < found.fewest.number)


@pytest.mark.parametrize("count", range(3, 15))
def test_a_ring_is_closed_and_has_equal_pieces(count):
    ring = laid("ring", count)
    assert len(ring) == count and np.ptp(shapely.area(ring.shapes)) < 0.02 * shapely.area(ring.shapes).mean()
    turn = [(i, (i + 1) % count) for i in range(count)]
    assert sorted(map(tuple, touching("ring", count).pairs.tolist())) == sorted({tuple(sorted(pair)) for pair in turn})


# --- repetition ---------------------------------------------------------------------------------------------


def field(down, across, rule):
    """Return middles and names of a field, coloured by a rule of row and place."""
    row, place = np.divmod(np.arange(down * across), across)
    return np.stack([place, row], axis=1).astype(float), NAMES[rule(row, place)]


SIZES = [(6, 6), (6, 10), (10, 7), (12, 12)]
MADE = {
    "crossing lines": [lambda r, p: (r + p) % 2],
    "stripes": [
        lambda r, p: p % 2,  # upright, alike touching above each other
        lambda r, p: r % 2,
        lambda r, p: (r + p) % 3,
        lambda r, p: (r - p) % 3,
        lambda r, p: (r + p) % 4,
        lambda r, p: (p - r) % 5,
    ],
    "a repeat": [lambda r, p: 2 * (r % 2) + p % 2],  # blocks of four, each with four colours
}
MADE_BY_RULE = [(kind, k) for kind, rules in MADE.items() for k in range(len(rules))]


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize(("kind", "k"), MADE_BY_RULE)
def test_made_patterns_are_told_for_what_they_are(kind, k, size):
    found = repetition(*field(*size, MADE[kind][k]), 1.0)
    assert found.kind == kind and found.strongest[1] == pytest.approx(1.0)


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize(("kind", "k"), MADE_BY_RULE)
def test_the_same_tiles_shuffled_are_no_pattern(kind, k, size):
    """One shuffle in 20 is stronger than 19 others; of 20, more than 3 such come once in 60 times (binomial)."""
    middles, names = field(*size, MADE[kind][k])
    rng = np.random.default_rng(1)
    found = [repetition(middles, rng.permutation(names), 1.0).kind for _ in range(20)]
    assert found.count("lively") >= 17


@pytest.mark.parametrize(("turn", "scale"), [(0, 7.5), (90, 1.0), (180, 22.0)])
def test_where_a_field_lies_and_how_large_it_is_makes_no_difference(turn, scale):
    middles, names = field(6, 8, lambda r, p: (r + p) % 3)
    angle = np.radians(turn)
    round_ = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    moved = repetition(middles @ round_.T * scale + [300.0, -40.0], names, scale)
    assert moved.kind == "stripes" and moved.strongest[1] == pytest.approx(1.0)


def test_kappa_at_a_shift_is_what_counting_by_hand_gives():
    rng = np.random.default_rng(3)
    middles, names = field(6, 9, lambda r, p: rng.integers(0, 4, r.size))
    found, grid = repetition(middles, names, 1.0), names.reshape(6, 9)
    for across, up in [(1, 0), (2, 1), (0, 3), (3, 2)]:
        pairs = [(grid[r, c], grid[r + up, c + across]) for r in range(6 - up) for c in range(9 - across)]
        p = sum(a == b for a, b in pairs) / len(pairs)
        one, two = zip(*pairs, strict=True)
        e = sum(one.count(name) * two.count(name) for name in "abcd") / len(pairs) ** 2
        assert found.at[across, up] == pytest.approx((p - e) / (1 - e))
    assert kappa(np.zeros(5), np.zeros(5)) == 1.0


def kinds(**changes):
    """Return what is seen over twenty arrangements."""
    start = w05_lively.Settings(**changes)
    return [w05_lively.compute(replace(start, lot=lot)).repeats.kind for lot in range(1, 21)]


def test_two_colours_are_a_pattern_and_four_are_lively():
    assert set(kinds(colours=2)) == {"crossing lines"}
    assert kinds(colours=4).count("lively") >= 15
    assert set(kinds(colours=6)) == {"lively"}
    assert kinds(colours=3).count("lively") <= 2
    assert set(kinds(colours=3, pattern="running bond")) == {"crossing lines"}


# --- from the box, and by hand --------------------------------------------------------------------------------


@pytest.mark.parametrize("made", w05_lively.MADE)
@pytest.mark.parametrize("pattern", ["grid", "running bond"])
@pytest.mark.parametrize("colours", [2, 3, 4, 6])
def test_no_two_alike_touch_however_the_field_is_arranged(made, pattern, colours):
    try:
        found = w05_lively.compute(w05_lively.Settings(made=made, pattern=pattern, colours=colours))
    except MosaicError as told:
        assert pattern == "running bond" or (made == "a gradient" and colours == 2), told
        return
    assert len(clashes(found.layout)) == 0


def test_a_share_is_met_within_one_piece_and_the_box_is_kept():
    found = w05_lively.compute(w05_lively.Settings(share=40.0))
    assert abs((found.names == "deep blue").sum() - 24) <= 1
    short = w05_lively.compute(w05_lively.Settings(first=9, others=17))
    counts = dict(zip(*np.unique(short.names.astype(str), return_counts=True), strict=True))
    assert counts["deep blue"] == 9 and all(count <= 17 for name, count in counts.items() if name != "deep blue")


def test_a_piece_coloured_by_hand_stays_and_the_others_are_mended_round_it():
    before = w05_lively.compute(w05_lively.Settings(brush="rose"))
    number = int(np.flatnonzero(before.names != "rose")[20]) + 1
    after, said = w05_lively.tapped(before, number)
    assert after.names[number - 1] == "rose" and len(clashes(after.layout)) == 0 and "stays rose" in said
    assert (after.names != before.names).sum() <= 12  # of 60
    back, _ = w05_lively.tapped(w05_lively.compute(replace(after.settings, brush=w05_lively.LET_GO)), number)
    assert (back.names == before.names).all() and back.settings.pins == ()


@pytest.mark.parametrize(
    ("changes", "words"),
    [({}, "Choose a colour"), ({"brush": "sky blue"}, "not among"), ({"brush": "rose", "made": "chessboard"}, "rule")],
)
def test_a_tap_that_can_do_nothing_says_why(changes, words):
    before = w05_lively.compute(w05_lively.Settings(**changes))
    after, said = w05_lively.tapped(before, 5)
    assert after is before and words in said


def test_pins_outside_a_smaller_field_wait_and_are_not_lost():
    found = w05_lively.compute(w05_lively.Settings(pins=((60, "rose"),), across=6, down=4))
    assert found.settings.pins and len(found.names) == 24
    w05_lively.draw(found)


def test_pins_that_touch_and_are_alike_are_told_by_their_numbers():
    with pytest.raises(MosaicError, match="Piece 1 and piece 2 touch, and both were made rose"):
        w05_lively.compute(w05_lively.Settings(pins=((1, "rose"), (2, "rose"))))


# --- other eyes -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("eyes", EYES)
def test_greys_look_alike_to_all_eyes(eyes):
    """Each line of a matrix adds up to 1, so that what is without colour stays so (within a step of #rrggbb)."""
    for tone in ("#000000", "#ffffff", "#808080", "#3b3b3b"):
        seen = seen_by(tone, eyes)
        assert max(abs(int(seen[k : k + 2], 16) - int(tone[k : k + 2], 16)) for k in (1, 3, 5)) <= 1


def test_nothing_missing_is_usual_eyes():
    for look in GLASS_COLOURS.values():
        assert {seen_by(look.fill, eyes, 0.0) for eyes in EYES} == {look.fill}


def test_red_and_green_of_one_lightness_meet_for_eyes_without_red_and_not_for_usual_ones():
    found = w05_eyes.compute(w05_eyes.Settings())
    assert w05_eyes.summary(found) == "These eyes hardly tell rose from smoke and leaf green from amber."
    usual = w05_eyes.compute(w05_eyes.Settings(eyes="usual eyes"))
    assert "all four" in w05_eyes.summary(usual)


def test_joints_stand_out_from_three_to_one_and_turn_black_before_a_lamp():
    front, behind = (w05_eyes.compute(w05_eyes.Settings(light=light)) for light in ("front", "behind"))
    assert front.filler[0] == grey(85.0) and behind.filler[0] != front.filler[0]
    dark = {row.label: row for row in w05_eyes.report(w05_eyes.compute(w05_eyes.Settings(filler=25.0)))}
    assert dark["amber and its filler"].value >= 3 and "stand out" in str(dark["amber and its filler"].verdict)


def test_a_colour_twice_is_refused():
    with pytest.raises(MosaicError, match="more than once"):
        w05_eyes.compute(w05_eyes.Settings(two="rose"))


# --- what the page says -----------------------------------------------------------------------------------------


def test_answers_to_the_tasks_are_what_the_lesson_computes():
    cells = json.loads((ROOT / "workbooks" / "05_arrange_the_colours.ipynb").read_text("utf-8"))["cells"]
    tasks = next("".join(cell["source"]) for cell in cells if cell["id"] == "tasks")
    few = lambda **changes: w05_fewest.compute(w05_fewest.Settings(**changes))  # noqa: E731
    assert [few(across=n).fewest.number for n in (7, 8, 9)] == [3, 2, 3] and len(few().alike) == 1
    assert few(pattern="grid").fewest.number == 2 and few(pattern="grid", corners=True).fewest.number == 4
    assert forced(few(pattern="running bond").graph, 3) and not forced(few(pattern="running bond").graph, 4)
    most = [few(pattern=one, across=7).most_of_one for one in ("grid", "running bond", "ring")]
    assert "{}, {} and {}: one more".format(*most) in tasks
    with pytest.raises(MosaicError, match=r"At most 30 of the 60 pieces .* leaves 15 without"):
        w05_lively.compute(w05_lively.Settings(others=5))
    assert "At most 30 of the 60 pieces" in tasks and "15 tiles" in tasks
    with pytest.raises(MosaicError, match="50%"):
        w05_lively.compute(w05_lively.Settings(share=60.0))
    assert w05_lively.compute(w05_lively.Settings(made="a gradient")).repeats.strongest[1] > 0.6
    mended = w05_eyes.Settings(one="deep blue", three="bottle green")
    assert "all four" in w05_eyes.summary(w05_eyes.compute(mended))
    rows = {row.label: str(row.verdict) for row in w05_eyes.report(w05_eyes.compute(replace(mended, filler=35.0)))}
    assert "stand out" in rows["amber and its filler"] and "quiet" in rows["deep blue and its filler"]
