"""Panes and four-sided vessels: faces, strip, corners, guides for the inside, parallax and refusals."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from mosaiclib.errors import MosaicError
from mosaiclib.glass import CORNERS, FourSided, Pane, parallax

BAD = [None, True, "20", b"2", "", math.nan, math.inf, -1, 10**400, 1e300, [20], (), {}, np.array([20.0]), 2j]
QUICK = settings(deadline=None, max_examples=60)


# --- panes -------------------------------------------------------------------------------------------


def test_pane_without_margin_is_covered_whole():
    pane = Pane(300, 200)
    assert pane.strip.equals(shapely.box(0, 0, 300, 200))
    assert [(f.name, f.x, f.y, f.width, f.height) for f in pane.faces] == [("pane", 0, 0, 300, 200)]
    assert pane.corners(4, 2) == () and pane.around == 0


@given(st.floats(1, 2000), st.floats(1, 2000), st.floats(0, 0.499))
@QUICK
def test_pane_margin_is_bare_on_all_four_sides(width, height, share):
    margin = share * min(width, height)
    strip = Pane(width, height, margin=margin).strip
    assert strip.bounds == pytest.approx((margin, margin, width - margin, height - margin))
    assert Pane(width, height, margin=margin).inside_template() == (width, height)


@pytest.mark.parametrize("margin", [100, 100.5, 5000])
def test_margins_that_eat_the_pane(margin):
    with pytest.raises(MosaicError, match="leave nothing of a pane of 300 x 200 mm"):
        Pane(300, 200, margin=margin)


def test_pane_out_of_square():
    # A parallelogram leaning by 2 mm: corners (0,0) (300,0) (302,200) (2,200), diagonals by Pythagoras.
    long, short = math.hypot(302, 200), math.hypot(298, 200)
    for diagonals in ((long, short), (short, long)):
        (told,) = Pane(300, 200, diagonals=diagonals).out_of_square
        assert "leans by 2 mm" in str(told)
    assert Pane(300, 200, diagonals=(long, long)).out_of_square == ()
    assert Pane(300, 200).out_of_square == ()


@pytest.mark.parametrize("diagonals", [0, 360, "36", (360,), (360, 361, 362), (360, None), (360, 300), (math.nan, 360)])
def test_diagonals_refused(diagonals):
    with pytest.raises(MosaicError):
        Pane(300, 200, diagonals=diagonals)


@pytest.mark.parametrize("bad", [*BAD, 0])
@pytest.mark.parametrize("field", ["width", "height", "margin"])
def test_pane_refuses(field, bad):
    if field == "margin" and bad == 0:
        return
    with pytest.raises(MosaicError, match=field):
        Pane(**{"width": 300, "height": 200} | {field: bad})


# --- vessels -----------------------------------------------------------------------------------------


def vessel(**changes):
    """A planter of 160 x 120 x 140 mm, walls 5 mm, floor 8 mm."""
    return FourSided(**{"width": 160, "depth": 120, "height": 140, "wall": 5, "base": 8} | changes)


def test_strip_is_the_perimeter_unrolled():
    planter = vessel(rim_margin=10, base_margin=6)
    assert planter.around == 2 * (160 + 120)
    assert planter.strip.bounds == (0, 6, 560, 130)
    assert [face.name for face in planter.faces] == list(FourSided.face_names)
    assert [face.x for face in planter.faces] == [0, 160, 160 + 120, 160 + 120 + 160]
    assert sum(face.outline.area for face in planter.faces) == pytest.approx(planter.strip.area)


@given(st.sampled_from(CORNERS), st.floats(60, 500), st.floats(60, 500), st.floats(0.5, 10), st.floats(0, 5))
@QUICK
def test_faces_and_corner_joints_add_up_to_once_round(corner, width, depth, lap, joint):
    glass = vessel(width=width, depth=depth, corner=corner, lap=lap, corner_joint=joint)
    faces = sum(face.width for face in glass.faces)
    expected = {
        "open": 2 * (width + depth),
        # two faces run past both ends by the lap, two stop a joint short at both ends; a joint at each corner
        "front overlaps": 2 * (width + 2 * lap) + 2 * (depth - 2 * joint) + 4 * joint,
        "each overlaps the next": 2 * (width + depth) + 4 * (lap - joint) + 4 * joint,
    }[corner]
    assert glass.around == pytest.approx(expected)
    assert glass.around - faces == pytest.approx(0 if corner == "open" else 4 * joint, abs=1e-9)
    for one, two in zip(glass.faces, glass.faces[1:], strict=False):
        gap = 0 if corner == "open" else joint
        assert two.x - one.x - one.width == pytest.approx(gap, abs=1e-9)


@pytest.mark.parametrize("corner", CORNERS[1:])
def test_the_joint_at_an_overlapping_corner_is_what_was_asked(corner):
    thick, bed, joint = 4.0, 0.8, 2.0
    glass = vessel(corner=corner, lap=thick + bed, corner_joint=joint, bed=bed)
    for one in glass.corners(thick + bed, joint):
        over = one.faces.index(one.over)
        under = next(face for face in glass.faces if face.name == one.faces[1 - over])
        # along the covered face, from the edge of the glass: the covering tile's back lies at -bed, outside the glass
        size = 160 if under.name in ("front", "back") else 120
        end = under.overhang if over == 0 else under.width - under.overhang - size
        assert -end - -bed == pytest.approx(joint)


def test_open_corner_leaves_a_square_channel():
    corners = vessel().corners(4.8, 2)
    assert [corner.faces for corner in corners] == [
        ("front", "right"),
        ("right", "back"),
        ("back", "left"),
        ("left", "front"),
    ]
    assert all(corner.channel == pytest.approx(4.8 * 4.8) and corner.over == "" for corner in corners)
    assert all("neither" in str(corner.words) for corner in corners)


@pytest.mark.parametrize(
    ("corner", "over"),
    [
        ("front overlaps", ["front", "back", "back", "front"]),
        ("each overlaps the next", ["front", "right", "back", "left"]),
    ],
)
def test_which_edge_covers_which(corner, over):
    glass = vessel(corner=corner, lap=4.8, corner_joint=2)
    found = glass.corners(4.8, 2)
    assert [one.over for one in found] == over
    assert all(one.channel == 0 for one in found)
    for one in found:  # what the words say is what the faces do: the covering face runs past the glass there
        place = one.faces.index(one.over)
        face = next(face for face in glass.faces if face.name == one.over)
        size = 160 if face.name in ("front", "back") else 120
        past = face.width - size - face.overhang if place == 0 else face.overhang
        assert past == pytest.approx(4.8)
        assert f"tiles of the {one.over} cover" in str(one.words)


def test_inside_template():
    glass = vessel(inner_radius=3)
    for name in ("front", "back"):
        assert glass.inside_template(name) == (160 - 2 * 5 - 2 * 3, 140 - 8 - 3)
    for name in ("right", "left"):
        assert glass.inside_template(name) == (120 - 2 * 5 - 2 * 3, 140 - 8 - 3)
    assert glass.inside_template(glass.faces[1]) == glass.inside_template("right")


@pytest.mark.parametrize("face", ["top", "", None, 0, ["front"], "pane"])
def test_no_such_face(face):
    with pytest.raises(MosaicError, match="face"):
        vessel().inside_template(face)


def test_least_measure_counts_and_the_rest_is_reported():
    glass = FourSided.measured((161, 160, 159), (120, 120.2, 120), (140, 142), 5, 8)
    assert (glass.width, glass.depth, glass.height) == (159, 120, 140)
    width, height = map(str, glass.out_of_square)
    for words in ("161 mm at the rim", "160 mm at the middle", "159 mm at the base", "159 mm counts"):
        assert words in width
    assert "140 to 142 mm" in height
    assert FourSided.measured((160,) * 3, (120,) * 3, (140,), 5, 8).out_of_square == ()


@pytest.mark.parametrize(
    "change",
    [
        {"widths": (160, 160)},
        {"widths": ()},
        {"widths": (160, 160, math.nan)},
        {"widths": (160, "160", 160)},
        {"depths": (0, 120, 120)},
        {"heights": ()},
        {"heights": (140, -1)},
    ],
    ids=str,
)
def test_measures_refused(change):
    good = {"widths": (160,) * 3, "depths": (120,) * 3, "heights": (140,), "wall": 5, "base": 8}
    with pytest.raises(MosaicError):
        FourSided.measured(**good | change)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"wall": 60}, "fill a vessel"),
        ({"wall": 100}, "fill a vessel"),
        ({"wall": 50, "inner_radius": 10}, "fill a vessel"),
        ({"base": 140}, "floor"),
        ({"base": 130, "inner_radius": 10}, "floor"),
        ({"rim_margin": 140}, "leave nothing"),
        ({"rim_margin": 70, "base_margin": 70}, "leave nothing"),
        ({"corner": "round"}, "corner"),
        ({"corner": None}, "corner"),
        ({"corner": "front overlaps", "corner_joint": 60}, "corner joint"),
    ],
)
def test_impossible_vessels(change, words):
    with pytest.raises(MosaicError, match=words):
        vessel(**change)


ZERO = ("rim_margin", "base_margin", "inner_radius", "lap", "corner_joint")


@pytest.mark.parametrize("bad", [*BAD, 0])
@pytest.mark.parametrize("field", ["width", "depth", "height", "wall", "base", *ZERO])
def test_vessel_refuses(field, bad):
    if field in ZERO and bad == 0:
        return
    with pytest.raises(MosaicError):
        vessel(**{field: bad})


# --- looking through the glass -----------------------------------------------------------------------


def test_parallax_worked_case():
    # 8 mm wall, 30 degrees, n 1.52, by hand: sin r = 0.5/1.52, tan r = 0.3483.
    # First principles: sin r = sin 30/1.52 = 0.32895; tan r = 0.32895/sqrt(1 - 0.32895^2) = 0.34835.
    seen = parallax(8, 30)
    assert seen.tile_shift == pytest.approx(2.8, abs=0.05)
    assert seen.line_shift == pytest.approx(1.8, abs=0.05)
    sine = 0.5 / 1.52
    assert seen.tile_shift == pytest.approx(8 * sine / math.sqrt(1 - sine**2), rel=1e-12)
    assert seen.tile_shift + seen.line_shift == pytest.approx(8 / math.sqrt(3), rel=1e-12)


@given(st.floats(0, 50), st.floats(0, 85), st.floats(1, 2))
@QUICK
def test_parallax_in_general(thickness, angle, index):
    seen = parallax(thickness, angle, index)
    # without glass the line is seen straight: the shifts add up to t tan(angle)
    assert seen.tile_shift + seen.line_shift == pytest.approx(thickness * math.tan(math.radians(angle)), abs=1e-9)
    assert seen.tile_shift >= 0 and seen.line_shift >= -1e-9


@pytest.mark.parametrize("place", [0, 1, 2])
@pytest.mark.parametrize("bad", [*BAD, 90, 0.5])
def test_parallax_refuses(place, bad):
    good = [8, 30, 1.52]
    if (place, bad) in ((0, 0.5), (0, 90), (1, 0.5)):
        return
    good[place] = bad
    with pytest.raises(MosaicError):
        parallax(*good)


def test_a_pane_template_keeps_its_margin():
    assert Pane(300, 200, margin=10).strip.bounds == (10, 10, 290, 190)
