"""Which joints fit, balanced borders and the grid itself, against brute force and first principles."""

import math
import re
from fractions import Fraction

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from mosaiclib.errors import MosaicError
from mosaiclib.glass import Face, FourSided, Pane
from mosaiclib.layout import Tile, balanced_border, best_fit, face_of, joint_fits, lay_faces, lay_grid, survey

QUICK = settings(deadline=None, max_examples=80)
SLOW = settings(deadline=None, max_examples=25)
# tenths of a millimetre, so that brute force can count in whole numbers
tenths = lambda low, high: st.integers(low * 10, high * 10).map(lambda n: n / 10)  # noqa: E731
BAD = [None, True, "20", b"2", "", math.nan, math.inf, -1, 10**400, 1e300, [20], {}, np.array([20.0]), 2j]


def exact(length):
    """A length in tenths of a millimetre as a fraction."""
    return Fraction(round(length * 10), 10)


# --- joint_fits --------------------------------------------------------------------------------------


@given(tenths(20, 900), tenths(3, 60), tenths(0, 4), tenths(0, 6), st.sampled_from([0.0, 1.5, 4.0, "joint"]))
@QUICK
def test_joint_fits_against_brute_force(span, tile, least, more, edge):
    assume(tile <= span - (0 if edge == "joint" else 2 * edge))
    expected = []
    for count in range(1, 1000):
        spaces = count + 1 if edge == "joint" else count - 1
        room = exact(span) - count * exact(tile) - (0 if edge == "joint" else 2 * exact(edge))
        if spaces and exact(least) <= room / spaces <= exact(least) + exact(more):
            expected.append((count, float(room / spaces)))
    found = joint_fits(span, tile, least, least + more, edge)
    assert [(fit.count, pytest.approx(fit.joint, abs=1e-6)) for fit in found] == expected
    for fit in found:  # what is said adds up to the span
        assert fit.count * tile + (fit.count - 1) * fit.joint + 2 * fit.edge == pytest.approx(span, abs=1e-6)
        assert fit.edge == (fit.joint if edge == "joint" else edge)


def test_joint_fits_worked():
    # 300 = 14 x 20 + 13 j, so j = 20/13; 13 tiles leave 40/12 = 3.33, over the limit; 15 leave 0, under it
    (only,) = joint_fits(300, 20, 1, 3)
    assert (only.count, only.joint, only.edge) == (14, pytest.approx(20 / 13), 0)
    assert [fit.count for fit in joint_fits(300, 20, 0, 3.34)] == [13, 14, 15]
    assert joint_fits(300, 20, 2, 3) == []
    assert joint_fits(300, Tile(20, 4), 1, 3) == joint_fits(300, 20, 1, 3)


@pytest.mark.parametrize("least_or_most", [20 / 13, 40 / 12])
def test_a_joint_on_a_limit_fits(least_or_most):
    assert joint_fits(300, 20, least_or_most, least_or_most)


# --- best_fit ----------------------------------------------------------------------------------------


@given(
    tenths(20, 600),
    tenths(3, 60),
    tenths(0, 3),
    tenths(0, 3),
    st.floats(0, 1),
    st.sampled_from(["flush", "joint"]),
)
@QUICK
def test_best_fit_is_nearest_or_says_what_would_do(span, tile, least, more, share, rule):
    assume(tile <= span)
    most = least + more
    wanted = least + share * more
    try:
        found = best_fit(span, tile, wanted, least, most, rule)
    except MosaicError as told:
        assert joint_fits(span, tile, least, most, "joint" if rule == "joint" else 0.0) == []
        follow_the_advice(str(told), span, tile, least, most, rule)
        return
    every = joint_fits(span, tile, least, most, "joint" if rule == "joint" else 0.0)
    if every:
        assert abs(found.joint - wanted) == min(abs(fit.joint - wanted) for fit in every)
    else:  # one tile as long as the span
        assert found.count == 1 and found.edge == 0 and tile == pytest.approx(span)


def follow_the_advice(words, span, tile, least, most, rule):
    """Set the limits as the sentence says and see that the tiles then fit."""
    offers = re.findall(r"(\d+) tiles? leaves? (\d+(?:\.\d+)?) mm", words)
    assert offers or (rule == "flush" and span < 2 * tile and "no joint at all" in words)
    for count, joint in offers:
        joint = float(joint)
        assert joint < least or joint > most
        fits = joint_fits(span, tile, min(least, joint), max(most, joint), "joint" if rule == "joint" else 0.0)
        assert int(count) in [fit.count for fit in fits]
    # another edge rule would do too, as the sentence says
    assert best_fit(span, tile, least, least, most, "equal").count >= 1


def test_advice_is_rounded_so_that_it_holds():
    # 100 mm, 4 tiles of 20 leave 20/3 = 6.667 mm: "6.66" or less as the greatest joint would not let them in
    with pytest.raises(MosaicError, match=r"4 tiles leave 6\.67 mm") as told:
        best_fit(100, 20, 2, 1, 3, "flush")
    assert "5 tiles leave 0 mm" in str(told.value)
    # 101 mm, 5 tiles leave 1/4 = 0.25; 106 mm, 4 tiles of 20 leave 26/3 = 8.667, 5 leave 6/4 = 1.5
    # 102 mm, 5 tiles of 20 with limits from 0.6: 2/4 = 0.5
    with pytest.raises(MosaicError, match=r"5 tiles leave 0\.5 mm"):
        best_fit(102, 20, 1, 0.6, 3, "flush")
    # 7 tiles of 14 in 100 leave 2/6 = 0.333: as the least joint, 0.34 would still keep them out
    with pytest.raises(MosaicError, match=r"7 tiles leave 0\.33 mm"):
        best_fit(100, 14, 1, 0.5, 2, "flush")


@given(tenths(20, 600), tenths(3, 60), tenths(0, 4))
@QUICK
def test_equal_edges_keep_the_joint_and_take_the_rest(span, tile, joint):
    assume(tile <= span)
    found = best_fit(span, tile, joint, joint, joint, "equal")
    assert found.joint == joint
    assert found.count * tile + (found.count - 1) * joint + 2 * found.edge == pytest.approx(span, abs=1e-6)
    assert 0 <= found.edge < (tile + joint) / 2 + 1e-6  # else one more tile would go in


@pytest.mark.parametrize("rule", ["flush", "equal", "joint"])
def test_whole_tiles_that_fill_the_span_exactly(rule):
    # 10 x 20 + 9 x 2 = 218; with a joint at both ends 222
    span = 222 if rule == "joint" else 218
    found = best_fit(span, 20, 2, 2, 2, rule)
    assert (found.count, found.joint) == (10, pytest.approx(2))
    assert found.edge == pytest.approx(2 if rule == "joint" else 0)


# --- balanced_border ---------------------------------------------------------------------------------


@given(tenths(20, 1500), tenths(3, 60), tenths(0, 6))
@QUICK
def test_balanced_border(span, tile, joint):
    assume(tile <= span)
    found = balanced_border(span, tile, joint)
    s, t, j = exact(span), exact(tile), exact(joint)
    borders = {n: (s - n * t - (n + 1) * j) / 2 for n in range(0, 600)}  # two border pieces, n + 1 joints
    allowed = {n: border for n, border in borders.items() if t / 2 <= border < t}
    if allowed:  # the larger of the two centrings
        full, border = max(allowed.items(), key=lambda pair: pair[1])
        assert (found.full, found.border_width) == (full, pytest.approx(float(border), abs=1e-9))
        assert found.border_width >= tile / 2 - 1e-9
        pieces = found.full * tile + 2 * found.border_width
        assert pieces + (found.full + 1) * joint == pytest.approx(span, abs=1e-6)
    else:  # whole tiles only, and at each end less than half a joint is over
        assert found.border_width == 0
        over = (s - found.full * t - (found.full - 1) * j) / 2
        assert 0 <= over <= j / 2
    middle_is_a_tile = found.full % 2 == 1
    assert found.centred_on == ("tile" if middle_is_a_tile else "joint")


def test_balanced_border_worked():
    # 200 mm, 20 mm tiles, 2 mm joints: 8 tiles and 9 joints take 178, 11 mm are left at each side
    assert balanced_border(200, 20, 2) == balanced_border(200, Tile(20, 4), 2)
    assert balanced_border(200, 20, 2).border_width == 11
    # 21 mm short of nothing: 218 mm is ten whole tiles
    assert (balanced_border(218, 20, 2).full, balanced_border(218, 20, 2).border_width) == (10, 0)
    # 24 mm take no whole tile between two borders: two pieces of (24 - 2)/2 = 11
    small = balanced_border(24, 20, 2)
    assert (small.full, small.border_width, small.centred_on) == (0, 11, "joint")


# --- lay_grid on rectangles --------------------------------------------------------------------------


@given(tenths(25, 200), tenths(25, 200), tenths(8, 25), tenths(0, 4), tenths(0, 4), st.booleans())
@SLOW
def test_grid_on_a_rectangle(width, height, tile, across, down, cut):
    outline = shapely.box(7, -3, 7 + width, -3 + height)
    laid = lay_grid(outline, tile, (across, down), border="cut" if cut else "clear")
    assert shapely.covers(outline.buffer(1e-6), laid.shapes).all()
    columns = laid.pieces.groupby("row").size().unique()
    rows = laid.pieces.groupby("place").size().unique()
    assert len(columns) == len(rows) == 1  # a full grid
    b = shapely.bounds(laid.shapes).reshape(rows[0], columns[0], 4)
    assert b[:, 1:, 0] - b[:, :-1, 2] == pytest.approx(np.full((rows[0], columns[0] - 1), across), abs=1e-6)
    assert b[:-1, :, 1] - b[1:, :, 3] == pytest.approx(np.full((rows[0] - 1, columns[0]), down), abs=1e-6)
    x0, y0, x1, y1 = outline.bounds
    sides = np.array([b[:, 0, 0].min() - x0, x1 - b[:, -1, 2].max(), b[-1, :, 1].min() - y0, y1 - b[0, :, 3].max()])
    assert sides[0] == pytest.approx(sides[1], abs=1e-6) and sides[2] == pytest.approx(sides[3], abs=1e-6)
    for edge, joint, pieces, size in (
        (sides[0], across, columns[0], width),
        (sides[2], down, rows[0], height),
    ):
        plan = balanced_border(size, tile, joint)
        if cut and plan.border_width:
            assert edge == pytest.approx(0, abs=1e-6) and pieces == plan.full + 2
        elif cut:
            assert -1e-6 <= edge <= joint / 2 + 1e-6 and pieces == plan.full
        else:
            assert -1e-6 <= edge < (tile + joint) / 2
    table = laid.pieces
    assert table["width"].to_numpy() == pytest.approx(b[..., 2].ravel() - b[..., 0].ravel())
    assert table["area"].sum() + laid.filler_area == pytest.approx(width * height)
    assert ((table["kind"] == "whole") == np.isclose(table["area"], tile**2, atol=1e-5)).all()
    seen = survey(laid, min(across, down), max(across, down))
    assert (seen.overlaps, seen.outside) == (0, 0) and seen.share_within == pytest.approx(1)


def test_a_survey_does_not_look_through_a_tile():
    """8 mm tiles without joints across: each third one is 8 mm off, behind the second."""
    laid = lay_grid(shapely.box(0, 0, 25, 25), 8, (0.0, 3.8))
    seen = survey(laid, 0, 3.8)
    assert seen.share_within == pytest.approx(1) and seen.joint_greatest == pytest.approx(3.8)


def test_grid_worked():
    # 300 x 200, 20 mm tiles, 2 mm joints: 13 x 22 - 2 = 284 <= 300, 9 x 22 - 2 = 196 <= 200
    laid = lay_grid(shapely.box(0, 0, 300, 200), 20, 2)
    assert len(laid) == 13 * 9
    assert shapely.total_bounds(laid.shapes) == pytest.approx([8, 2, 292, 198])
    assert laid.filler_area == pytest.approx(300 * 200 - 117 * 400)
    first, last = laid.pieces.iloc[0], laid.pieces.iloc[-1]  # rows from the top, each from the left
    assert (first["row"], first["place"], last["row"], last["place"]) == (1, 1, 9, 13)
    assert laid.shapes[0].bounds == pytest.approx((8, 178, 28, 198))
    assert "2.00 mm" in first["why"]
    assert [gap.shape.area for gap in laid.gaps] == [pytest.approx(300 * 200 - 284 * 196)]


def test_a_face_brings_its_name_and_place():
    laid = lay_grid(Face("left", 440, 6, 120, 130), Tile(20, 4), 2)
    assert set(laid.pieces["face"]) == {"left"}
    assert laid.outline.bounds == (440, 6, 560, 136)


def test_a_known_edge_is_kept():
    laid = lay_grid(shapely.box(0, 0, 222, 222), 20, 2, edge=(2, 2))
    assert shapely.total_bounds(laid.shapes) == pytest.approx([2, 2, 220, 220]) and len(laid) == 100


def test_a_joint_out_of_its_limits_is_refused():
    with pytest.raises(MosaicError, match="must lie between"):
        lay_grid(shapely.box(0, 0, 100, 100), 20, 5, limits=(1, 3))
    with pytest.raises(MosaicError, match="must lie between"):
        lay_grid(shapely.box(0, 0, 100, 100), 20, (2, 0.5), limits=(1, 3))


def test_cuts_and_a_clear_edge_exclude_each_other():
    with pytest.raises(MosaicError, match="leave out"):
        lay_grid(shapely.box(0, 0, 100, 100), 20, 2, border="cut", edge=(2, 2))


# --- lay_grid on other outlines ----------------------------------------------------------------------

L_SHAPE = shapely.Polygon([(0, 0), (150, 0), (150, 60), (70, 60), (70, 140), (0, 140)])
U_SHAPE = shapely.Polygon([(0, 0), (110, 0), (110, 90), (58, 90), (58, 30), (52, 30), (52, 90), (0, 90)])
TRIANGLE = shapely.Polygon([(0, 0), (200, 0), (60, 150)])
CIRCLE = shapely.Point(50, 50).buffer(90, quad_segs=32)
RING = CIRCLE.difference(shapely.Point(50, 50).buffer(35, quad_segs=32))
SHAPES = {"L": L_SHAPE, "U": U_SHAPE, "triangle": TRIANGLE, "circle": CIRCLE, "ring": RING}


def cells(outline, tile, joint, starts):
    """All boxes of the lattice through a known box, by a plain double loop."""
    x0, y0, x1, y1 = outline.bounds
    step = tile + joint
    xs = [starts[0] + i * step for i in range(-40, 41) if x0 - step < starts[0] + i * step < x1]
    ys = [starts[1] + i * step for i in range(-40, 41) if y0 - step < starts[1] + i * step < y1]
    return [shapely.box(x, y, x + tile, y + tile) for x in xs for y in ys]


@pytest.mark.parametrize("outline", SHAPES.values(), ids=SHAPES)
@pytest.mark.parametrize(("tile", "joint"), [(20, 2), (13, 1.5), (9, 0)])
def test_clear_grid_on_any_outline(outline, tile, joint):
    laid = lay_grid(outline, tile, joint)
    assert shapely.covers(outline.buffer(1e-9), laid.shapes).all()
    assert laid.areas == pytest.approx(np.full(len(laid), tile**2))
    x, y = laid.shapes[0].bounds[:2]
    inside = [box for box in cells(outline, tile, joint, (x, y)) if outline.buffer(1e-9).covers(box)]
    assert len(laid) == len(inside)
    assert survey(laid).overlaps == 0
    assert laid.filler_area == pytest.approx(outline.area - len(laid) * tile**2)


@pytest.mark.parametrize("outline", SHAPES.values(), ids=SHAPES)
@pytest.mark.parametrize(("tile", "joint"), [(20, 2), (13, 1.5)])
def test_cut_grid_on_any_outline(outline, tile, joint):
    laid = lay_grid(outline, tile, joint, border="cut")
    assert shapely.covers(outline.buffer(1e-9), laid.shapes).all()
    assert (shapely.get_type_id(laid.shapes) == 3).all() and shapely.is_valid(laid.shapes).all()
    seen = survey(laid)
    assert (seen.overlaps, seen.outside) == (0, 0)
    # nothing but joints, splinters and strips up to a joint at the edge is left uncovered
    widened = shapely.union_all(shapely.buffer(laid.shapes, joint + 1e-6, join_style="mitre"))
    left = outline.difference(widened).buffer(-1.6)  # a splinter under 3 mm is left to the filler
    assert left.is_empty
    whole = laid.pieces["kind"] == "whole"
    assert laid.areas[whole] == pytest.approx(np.full(whole.sum(), tile**2))
    assert (laid.areas[~whole] < tile**2).all()
    # no piece is lost and none is made up: the whole ones are those of the same lattice that lie inside
    x, y = laid.shapes[whole][0].bounds[:2]
    assert whole.sum() <= sum(outline.buffer(1e-6).covers(box) for box in cells(outline, tile, joint, (x, y)))


def test_a_cell_cut_in_two_gives_two_pieces():
    # A slit 6 mm wide through the middle of a row: both halves of the cell are pieces.
    outline = shapely.box(0, 0, 108, 20).difference(shapely.box(50, 5, 58, 25))  # notch from the top
    laid = lay_grid(outline, 20, 2, border="cut")
    notch = laid.areas.sum()
    # 5 x 400 whole, less what the notch (50 to 58 wide, 5 to 20 high) takes of the third tile (44 to 64)
    assert notch == pytest.approx(5 * 400 - 8 * 15)
    through = shapely.Polygon([(0, 0), (108, 0), (108, 20), (58, 20), (58, 0.5), (50, 0.5), (50, 20), (0, 20)])
    laid = lay_grid(through, 20, 2, border="cut")
    assert laid.areas.sum() == pytest.approx(5 * 400 - 8 * 19.5)
    bay = shapely.box(0, 0, 108, 42).difference(shapely.box(50, -1, 58, 21))
    laid = lay_grid(bay, 20, 2, border="cut")  # the lower cell of the third column falls apart
    assert len(laid) == 11
    assert laid.areas.sum() == pytest.approx(10 * 400 - 8 * 20)
    assert ((laid.pieces["row"] == 2) & (laid.pieces["place"] == 3)).sum() == 2


OUTLINES = {
    "nothing": None,
    "text": "box",
    "number": 3,
    "point": shapely.Point(0, 0),
    "line": shapely.LineString([(0, 0), (100, 0)]),
    "empty": shapely.Polygon(),
    "two parts": shapely.MultiPolygon([shapely.box(0, 0, 50, 50), shapely.box(60, 0, 110, 50)]),
    "bow tie": shapely.Polygon([(0, 0), (100, 100), (100, 0), (0, 100)]),
    "endless": shapely.Polygon([(0, 0), (np.inf, 0), (0, 50)]),
    "list": np.array([1, 2]),
}


@pytest.mark.parametrize("outline", OUTLINES.values(), ids=OUTLINES)
def test_outlines_refused(outline):
    with pytest.raises(MosaicError, match="closed outline"):
        lay_grid(outline, 20, 2)


def test_no_tile_fits():
    thin = shapely.Polygon([(0, 0), (100, 0), (100, 5), (5, 5), (5, 100), (0, 100)])
    with pytest.raises(MosaicError, match="smaller tile"):
        lay_grid(thin, 20, 2)
    with pytest.raises(MosaicError, match="smaller tile"):
        lay_grid(shapely.box(0, 0, 19.9, 100), 20, 2)


def test_a_grid_too_large_for_a_computer_is_refused():
    with pytest.raises(MosaicError, match="part by part"):
        lay_grid(shapely.box(0, 0, 100_000, 100_000), 3, 1)


# --- refusals ----------------------------------------------------------------------------------------

CALLS = {
    "joint_fits": (joint_fits, [300, 20, 1, 3, 0.0]),
    "best_fit": (best_fit, [200, 20, 2, 1, 3, "equal"]),
    "balanced_border": (balanced_border, [200, 20, 2]),
    "lay_grid": (lay_grid, [shapely.box(0, 0, 100, 80), 20, 2]),
}
PLACES = [(name, i) for name, (_, given_) in CALLS.items() for i in range(len(given_))]


@pytest.mark.parametrize("bad", range(len(BAD)))
@pytest.mark.parametrize(("name", "place"), PLACES)
def test_refused_with_a_sentence(name, place, bad):
    call, good = CALLS[name]
    with pytest.raises(MosaicError) as told:
        call(*good[:place], BAD[bad], *good[place + 1 :])
    assert str(told.value).endswith(".") and len(str(told.value)) < 400


@pytest.mark.parametrize(
    "bad", [*BAD[1:], (1,), (1, 2, 3), (-3, 1), (math.nan, 2), ("1", "3")], ids=lambda b: str(b)[:12]
)
@pytest.mark.parametrize("what", ["limits", "edge", "border"])
def test_grid_options_refused(what, bad):
    with pytest.raises(MosaicError):
        lay_grid(shapely.box(0, 0, 100, 80), 20, 2, **{what: bad})


@pytest.mark.parametrize(("least", "most"), [(3, 1), (1e-3, 0), (math.nan, 3), (1, math.nan)])
def test_crossed_limits(least, most):
    for call in (lambda: joint_fits(300, 20, least, most), lambda: best_fit(300, 20, 2, least, most)):
        with pytest.raises(MosaicError):
            call()


@pytest.mark.parametrize("call", [joint_fits, best_fit])
def test_tile_larger_than_the_span(call):
    more = (1, 3) if call is joint_fits else (2, 1, 3)
    with pytest.raises(MosaicError, match=r"A tile of 20\.1 mm does not go into 20 mm"):
        call(20, 20.1, *more)


def test_edges_that_eat_the_span():
    with pytest.raises(MosaicError, match="leave nothing"):
        joint_fits(40, 20, 1, 3, edge=20)


# --- all faces of a glass ----------------------------------------------------------------------------


@pytest.mark.parametrize("edge_rule", ["flush", "equal", "joint"])
@pytest.mark.parametrize("border", ["clear", "cut"])
@pytest.mark.parametrize("corner", ["open", "front overlaps", "each overlaps the next"])
def test_faces_of_a_vessel(edge_rule, border, corner):
    # 160, 120 and 140 mm fit 20 mm tiles with joints of 0 to 4 mm under every rule
    lap = {"lap": 4.8, "corner_joint": 2.0} if corner != "open" else {}
    glass = FourSided(160, 120, 140, 5, 8, corner=corner, **lap)
    if corner != "open" and border == "clear" and edge_rule != "flush":
        # tiles that stop short of the edge cover nothing
        with pytest.raises(MosaicError, match="must reach its edge"):
            lay_faces(glass, Tile(20, 4), 2, (0, 4), edge_rule=edge_rule, border=border)
        return
    laid = lay_faces(glass, Tile(20, 4), 2, (0, 4), edge_rule=edge_rule, border=border)
    for face in glass.faces:
        mine = laid.shapes[laid.pieces["face"] == face.name]
        assert len(mine) and shapely.covers(face.outline.buffer(1e-6), mine).all()
        x0, _, x1, _ = shapely.total_bounds(mine)
        assert x0 - face.x == pytest.approx(face.x + face.width - x1, abs=1e-6)  # in the middle of its face
    assert laid.outline.equals(glass.strip) and laid.seams == glass.seams
    seen = survey(laid)
    assert (seen.overlaps, seen.outside) == (0, 0)
    if border == "clear":
        assert seen.share_within == pytest.approx(1)


def test_corner_gap_is_the_widest_way_round_a_corner():
    # 160: 7 tiles and 6 joints take 152, 4 mm clear at each end; 120: 5 tiles take 108, 6 mm. 4 + 6 = 10.
    laid = lay_faces(FourSided(160, 120, 140, 5, 8), Tile(20, 4), 2, (1, 3))
    assert laid.corner_gap == pytest.approx(10)
    assert lay_faces(Pane(300, 200), Tile(20, 4), 2, (1, 3)).corner_gap == 0


@pytest.mark.parametrize(
    "change",
    [
        {"joint": "2"},
        {"joint": 5},
        {"limits": 3},
        {"limits": (3, 1)},
        {"limits": ("1", "3")},
        {"edge_rule": "square"},
        {"border": "none"},
        {"border": None},
        {"border": True},
    ],
    ids=str,
)
def test_faces_refused(change):
    good = {"glass": Pane(300, 200), "tile": Tile(20, 4), "joint": 2, "limits": (1, 3)}
    with pytest.raises(MosaicError):
        lay_faces(**good | change)


def test_a_face_that_is_not_there_is_refused():
    planter = lay_faces(FourSided(160, 120, 140, 5, 8), Tile(20, 4), 2, (1, 3))
    with pytest.raises(MosaicError, match="face 'bottom' is not known; choose one of: back, front, left, right"):
        face_of(planter, planter.outline, "bottom")


# --- tiles -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("bad", range(len(BAD)))
@pytest.mark.parametrize("place", [0, 1, 2, 3])
def test_tiles_refused(place, bad):
    good = [20, 4, 19, "blue"]
    good[place] = BAD[bad]
    if (place, BAD[bad]) in ((2, None), (3, None)) or (place == 3 and isinstance(BAD[bad], str)):
        return
    with pytest.raises(MosaicError):
        Tile(good[0], good[1], back_side=good[2], colour=good[3])


def test_the_back_is_not_larger_than_the_face():
    with pytest.raises(MosaicError, match="at most 20"):
        Tile(20, 4, back_side=20.1)
    assert Tile(20, 4, back_side=20).slope == 0


@pytest.mark.parametrize("rule", ["equal", "joint"])
def test_laps_that_do_not_reach_the_edge_are_refused(rule):
    vessel = FourSided(160, 120, 140, 5, 8, corner="front overlaps", lap=4.8, corner_joint=2)
    with pytest.raises(MosaicError, match="must reach its edge"):
        lay_faces(vessel, Tile(20, 4), 2, (1, 3), edge_rule=rule)
    laid = lay_faces(vessel, Tile(20, 4), 2, (1, 3), border="cut")
    front, right = vessel.faces[:2]
    ends = [s.bounds[2] for s, face in zip(laid.shapes, laid.pieces["face"], strict=True) if face == "front"]
    assert max(ends) == pytest.approx(front.x + front.width)
    assert right.x - max(ends) == pytest.approx(2)
