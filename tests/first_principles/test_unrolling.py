"""Cylinders and cones unrolled against plane and solid geometry: angles, areas, lengths, and what great radii tend to."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from mosaiclib.errors import MosaicError
from mosaiclib.glass import Edge, Frustum, Round, Seam, Tapered, frusta_needed
from mosaiclib.layout import Tile, lay_courses, lay_faces, survey
from mosaiclib.layout.courses import joint_round, width_round

QUICK = settings(deadline=None, max_examples=80)
GIRTHS = st.floats(60, 2000)


def test_the_sector_of_a_cone_has_the_angle_of_the_pattern_drafter():
    # radius 3, height 4: slant 5, sector 360 x 3/5 = 216 degrees
    cone = Frustum(2 * math.pi * 3, 1e-9, 0, 4)
    assert cone.slant == pytest.approx(5) and math.degrees(cone.angle) == pytest.approx(216)
    # upside down it is the same sector, apex below
    assert math.degrees(Frustum(1e-9, 2 * math.pi * 3, 0, 4).angle) == pytest.approx(-216)


@given(GIRTHS, GIRTHS, st.floats(10, 800))
@QUICK
def test_unrolling_keeps_area_and_edges(foot, top, height):
    one = Frustum(foot, top, 0, height)
    r0, r1 = foot / math.tau, top / math.tau
    assert one.sector().area == pytest.approx(math.pi * (r0 + r1) * math.hypot(height, r0 - r1), rel=1e-9)
    assert one.edge.beside(one.slant).length == pytest.approx(top, rel=1e-9)
    for share in (0.0, 0.31, 1.0):  # every generator is as long as the slant
        ends = one.edge.at(share * foot, np.array([0.0, one.slant]))
        assert np.hypot(*(ends[1] - ends[0])) == pytest.approx(one.slant, rel=1e-9)


@given(GIRTHS, GIRTHS, st.floats(10, 800), st.floats(0, 1), st.floats(0, 1))
@QUICK
def test_the_paper_bends_onto_the_glass_without_stretching(foot, top, height, round_, up):
    glass = Tapered([foot, top], [0, height], 0.5, 0.5) if not _refused(foot, top, height) else None
    if glass is None:
        return
    one = glass.frusta[0]
    s, v = round_ * foot, up * one.slant
    h = 1e-3
    flat = one.edge.at(np.array([s, s + h, s]), np.array([v, v, v + h]))
    spots, normals = glass.in_space(flat)
    for k in (1, 2):
        assert np.linalg.norm(spots[k] - spots[0]) == pytest.approx(np.hypot(*(flat[k] - flat[0])), rel=1e-4)
    across = np.cross(spots[1] - spots[0], spots[2] - spots[0])
    assert normals[0] @ across / np.linalg.norm(across) == pytest.approx(1, abs=1e-3)
    assert np.hypot(*spots[0, :2]) == pytest.approx(one.girth(v) / math.tau)
    assert spots[0, 2] == pytest.approx(up * height)


def _refused(foot, top, height):
    return abs(foot - top) / math.tau > 5 * height


@given(st.floats(-0.01, 0.01), st.floats(-3, 3), st.floats(10, 500), st.floats(0, 1), st.floats(-40, 40))
@QUICK
def test_a_place_by_an_edge_is_found_again(curvature, heading, length, share, off):
    if abs(curvature * length) > 6 or curvature * off > 0.9:
        return
    edge = Edge(3, -7, heading, curvature, length)
    s, v = edge.place(edge.at(share * length, off))
    if abs(curvature * (share - 0.5) * length) < math.pi - 0.01:
        assert (float(s), float(v)) == pytest.approx((share * length, off), abs=1e-6)


def test_a_seam_turns_about_the_apex():
    cone = Frustum(300, 200, 0, 100)
    seam = Seam(cone.edge.across(0, 0, cone.slant), cone.edge.across(300, 0, cone.slant), ("a", "a"), True)
    apex = cone.edge.at(0, cone.apex)
    shape = shapely.box(*cone.edge.at(5, 20), *(cone.edge.at(5, 20) + 8))
    (there,) = seam.moved(np.array([shape]))
    for before, after in zip(shapely.get_coordinates(shape), shapely.get_coordinates(there), strict=True):
        assert np.hypot(*(before - apex)) == pytest.approx(np.hypot(*(after - apex)))
    assert seam.carried(np.array(shape.exterior.coords), 1.0) == pytest.approx(np.array(there.exterior.coords))


@pytest.mark.parametrize("n", [6, 12, 60, 600, 6000])
def test_a_prism_with_many_sides_tends_to_the_cylinder(n):
    """Flat tiles without joints about a circle: their backs are a polygon of n sides, 2 n R tan(pi/n) round."""
    R = 50.0
    around = 2 * n * R * math.tan(math.pi / n)
    assert around / n - joint_round(2 * math.pi * R, 0, n, 0) == pytest.approx(around / n - 2 * math.pi * R / n)
    assert abs(around - 2 * math.pi * R) < 2 * math.pi * R * 4 / n**2  # tan x < x + 0.4 x3 up to pi/6


def test_great_radius_tends_to_the_flat_case():
    flat = lay_courses(Round(1e5, 70, 1, 1).faces[0], 20, 2, (1, 3))
    for taper in (1.0, 1e-3, 1e-6):
        cone = lay_courses(Tapered([1e5, 1e5 - taper], [0, 70], 1, 1).faces[0], 20, 2, (1, 3))
        assert len(cone) == len(flat)
        width = shapely.area(cone.shapes)
        assert width == pytest.approx(400, abs=1e-6)
    assert joint_round(1000, 1e-9, 40, 20) == pytest.approx(5, abs=1e-9)
    assert width_round(1000, 1e-9, 40, 2) == pytest.approx(23, abs=1e-9)


@given(st.floats(240, 900), st.floats(240, 900), st.floats(40, 200))
@settings(deadline=None, max_examples=25)
def test_every_course_closes_with_a_whole_count(foot, top, height):
    try:
        glass = Tapered([foot, top], [0, height], 2, 2)
        laid = lay_faces(glass, Tile(12, 4), 2, (1, 3.2))
    except MosaicError:
        return
    face = glass.faces[0]
    for _, mine in laid.pieces.groupby("row"):
        # from middle to middle round the course it is one full turn: the same angle n times
        s, _ = face.edge.place(shapely.get_coordinates(shapely.centroid(laid.shapes[mine.index])))
        apart = np.diff(np.append(np.sort(s), s.min() + face.edge.length))
        assert apart == pytest.approx(face.edge.length / len(mine), abs=1e-6)
    seen = survey(laid)
    assert seen.overlaps == 0 and seen.outside == 0
    assert seen.joint_least >= 1 - 0.02


@given(st.floats(0.2, 0.99), st.floats(0.2, 5))
@QUICK
def test_frusta_needed_by_brute_force(share, error):
    radius = 80.0
    height = share * radius
    count = frusta_needed(radius, height, error)
    turn = math.asin(share)

    def off(n):  # the middle of each chord is where it leaves the arc most
        ends = np.linspace(0, turn, n + 1)
        middles = (ends[1:] + ends[:-1]) / 2
        x, y = radius * np.cos(ends), radius * np.sin(ends)
        chord = np.hypot((x[1:] + x[:-1]) / 2, (y[1:] + y[:-1]) / 2)
        return (radius - chord).max(), middles

    assert off(count)[0] <= error + 1e-9
    assert count == 1 or off(count - 1)[0] > error - 1e-9
