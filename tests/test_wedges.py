"""One wedge and one ring, against geometry worked otherwise."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from mosaiclib.errors import MosaicError
from mosaiclib.layout.wedges import (
    chord_sag,
    gauge_steps,
    natural_radius,
    tightest_radius,
    uncut_gap,
    uncut_radius,
    wedge,
)

# our own notes (wedge-geometry, section 2.1, computed): centre radius, count, wide, narrow, taper; a = h = 10, j = 1
ROWS = [(20, 15, 9.605, 5.354, 4.251), (50, 32, 9.829, 7.859, 1.970), (100, 61, 9.824, 8.793, 1.031)]


@pytest.mark.parametrize(("centre", "count", "wide", "narrow", "taper"), ROWS)
def test_rows_worked_in_our_notes(centre, count, wide, narrow, taper):
    found = wedge(centre - 5, width=10, height=10, joint=1)
    assert found.count == count
    assert (found.wide, found.narrow) == (pytest.approx(wide, abs=0.001), pytest.approx(narrow, abs=0.001))
    assert found.taper == pytest.approx(2 * 10 * math.tan(math.pi / count), abs=1e-9)
    assert found.taper == pytest.approx(taper, abs=0.001)


@pytest.mark.parametrize(
    ("centre", "count", "inside", "outside"), [(20, 8, 2.242, 9.895), (50, 25, 1.359, 3.866), (100, 54, 1.064, 2.227)]
)
def test_uncut_gaps_worked_in_our_notes(centre, count, inside, outside):
    assert uncut_gap(centre - 5, width=10, count=count) == pytest.approx(inside, abs=0.001)
    assert uncut_gap(centre + 5, width=10, count=count) == pytest.approx(outside, abs=0.001)


def drawn(found, joint):
    """Return two neighbouring pieces of the ring as polygons."""
    corners = np.array(
        [
            (-found.narrow / 2, found.inside_radius),
            (found.narrow / 2, found.inside_radius),
            (found.wide / 2, found.outside_radius),
            (-found.wide / 2, found.outside_radius),
        ]
    )
    turn = math.radians(found.angle)
    rotation = np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]])
    return shapely.Polygon(corners), shapely.Polygon(corners @ rotation)


@given(st.floats(15, 300), st.floats(6, 25), st.floats(4, 25), st.floats(0.5, 3))
def test_the_drawn_joint_is_even_and_as_wide_as_wanted(radius, width, height, joint):
    try:
        found = wedge(radius, width=width, height=height, joint=joint)
    except MosaicError:
        return
    assert found.wide <= width + 1e-6
    one, two = drawn(found, joint)
    assert one.distance(two) == pytest.approx(joint, abs=1e-6)
    # the ring closes: pieces and joints fill the polygon ring (first principles)
    half = math.radians(found.angle) / 2
    filled = found.count * height * ((found.narrow + found.wide) / 2 + joint / math.cos(half))
    ring = 2 * found.count * (radius + height / 2) * height * math.tan(half)
    assert filled == pytest.approx(ring, rel=1e-9)
    if found.count > 3:
        with_one_less = 2 * (radius + height) * math.tan(math.pi / (found.count - 1)) - joint / math.cos(
            math.pi / (found.count - 1)
        )
        assert with_one_less > width


@given(st.floats(6, 25), st.floats(4, 25), st.floats(0, 3), st.floats(0.2, 0.9))
def test_tightest_radius_against_a_search(width, height, joint, share):
    narrow = width * share

    def off(radius):
        half = brentq(lambda t: 2 * (radius + height) * math.tan(t) - joint / math.cos(t) - width, 1e-9, 1.5)
        return 2 * radius * math.tan(half) - joint / math.cos(half) - narrow

    found = tightest_radius(width=width, height=height, joint=joint, narrow_min=narrow)
    assert found == pytest.approx(brentq(off, 1e-3, 1e5), rel=1e-6)


@given(st.floats(6, 25), st.floats(4, 25), st.floats(0.5, 2), st.floats(0.2, 2))
def test_uncut_radius_is_just_on_the_safe_side(width, height, low, play):
    radius = uncut_radius(width=width, height=height, joint_min=low, joint_max=low + play)
    # exactly: the inside gap is the least joint and the outside gap must not pass the greatest
    half = brentq(lambda t: 2 * radius * math.sin(t) - width * math.cos(t) - low, 1e-9, 1.5)
    outside = 2 * (radius + height) * math.sin(half) - width * math.cos(half)
    assert low + play * 0.97 <= outside <= low + play + 1e-9


def test_natural_radius_closes_its_own_ring():
    outer = natural_radius(10, 8, height=10, joint=2)
    count = 2 * math.pi * outer / 12
    assert 2 * math.pi * (outer - 10) / count == pytest.approx(8 + 2)


@given(st.lists(st.floats(0, 5), min_size=1, max_size=60), st.sampled_from([0.25, 0.5, 1.0]))
def test_gauge_steps_carry_the_rest(tapers, step):
    rounded = gauge_steps(tapers, step)
    assert np.abs(np.cumsum(rounded) - np.cumsum(tapers)).max() <= step / 2 + 1e-6
    assert rounded / step == pytest.approx(np.round(rounded / step))


def test_chord_sag_is_a_right_triangle():
    assert chord_sag(6, 5) == pytest.approx(5 - 4)  # 3, 4, 5


@pytest.mark.parametrize(
    "call",
    [
        lambda: wedge(0, width=10, height=10, joint=1),
        lambda: wedge(1, width=10, height=10, joint=5),
        lambda: wedge("40", width=10, height=10, joint=1),
        lambda: wedge(40, width=10, height=float("nan"), joint=1),
        lambda: natural_radius(10, 10, height=10, joint=1),
        lambda: uncut_radius(width=10, height=10, joint_min=2, joint_max=2),
        lambda: tightest_radius(width=10, height=10, joint=1, narrow_min=10),
        lambda: chord_sag(11, 5),
        lambda: uncut_gap(40, width=10, count=2.5),
        lambda: gauge_steps([1, None], 0.5),
        lambda: gauge_steps([1], 0),
    ],
    ids=lambda call: f"line {call.__code__.co_firstlineno}",
)
def test_bad_input_is_a_sentence(call):
    with pytest.raises(MosaicError, match=r"\.$"):
        call()


def test_what_is_nipped_off_is_told_of_the_piece_that_is_named():
    """By hand: of 10 x 10 mm, wide 9.67 and narrow 7.33 mm, (10 - 8.5)/10 of it is lost."""
    from mosaiclib.lessons import w02_ring as page

    rows = {row.label: row for row in page.report(page.compute(page.Settings()))}
    wide, narrow = rows["Wide end"].value, rows["Narrow end"].value
    assert rows["Taper"].verdict.endswith(f"{1 - (narrow + wide) / 20:.0%} of that piece nipped off")


@pytest.mark.parametrize(
    ("radius", "tile", "fraction", "off"),
    [
        # by hand: inside corners at 5, 8 and 8, 5 mm are 4.24 mm apart, outside ones 18.38 mm
        (8, 20, "quarter", {"wide": 4}),
        # by hand: 2 x 200 sin(pi/102) - 10 cos(pi/102) = 2.32 mm, 0.02 over the limit
        (190, 20, "quarter", {"wide": 102}),
        (8, 40, "whole", {"narrow": 3, "wide": 3}),  # three squares of 40 mm round 8 mm lie on one another inside
        (300, 20, "quarter", {}),
    ],
)
def test_each_joint_of_whole_pieces_is_marked_where_it_is_off_however_large_the_fault(radius, tile, fraction, off):
    from mosaiclib.lessons import w02_ring as page

    result = page.compute(page.Settings(radius=radius, tile=tile, fraction=fraction))
    marked = {item.name: item.paths for item in page.draw(result).items if item.name in ("joint narrow", "joint wide")}
    assert {name.removeprefix("joint "): len(lines) for name, lines in marked.items()} == off
    for lines in marked.values():
        assert min(line.length for line in lines) > result.piece.height / 3 - 1e-6
