"""Flat tiles on round glass against coordinates, sums and other formulas for the same thing."""

import math

import numpy as np
import pytest
from scipy.integrate import dblquad
from scipy.optimize import brentq

from mosaiclib.errors import MosaicError
from mosaiclib.glass.facets import (
    across,
    gap_under_edges,
    gap_under_middle,
    largest_that_sits,
    least_radius_for_bed,
    least_radius_for_joint,
    mean_bed,
    normal_radius,
    radius_along,
    seat,
    widest_for_bed,
)


def placed(w, t, R, b, theta, side=1):
    """Corners (n, 2) of a tile's section outside a circle, turned by theta [radians]: back left, back right, face right, left."""
    x, y = np.array([-w, w, w, -w]) / 2, R + b + np.array([0, 0, t, t])
    c, s = math.cos(theta), math.sin(theta)
    return np.stack([c * x + s * y, c * y - s * x], axis=1)


@pytest.mark.parametrize(("w", "R"), [(20, 15), (20, 40), (6.5, 22.3), (25, 400)])
def test_gaps_are_distances_to_the_circle(w, R):
    edge = np.array([w / 2, R])  # of a back that touches outside at 0, R
    assert gap_under_edges(w, R) == pytest.approx(np.hypot(*edge) - R, rel=1e-9)
    standing = math.sqrt(R**2 - (w / 2) ** 2)  # height of a chord over the centre
    assert gap_under_middle(w, R) == pytest.approx(R - standing, rel=1e-9)
    assert gap_under_edges(w, R) < gap_under_middle(w, R) < (w / 2) ** 2 / R


@pytest.mark.parametrize("inside", [False, True])
@pytest.mark.parametrize(
    ("w", "h", "R", "b", "turn"), [(20, 20, 40, 0, 0), (20, 10, 25, 0.8, 30), (15, 25, 60, 1.2, 90)]
)
def test_the_mean_bed_is_a_volume_over_an_area(w, h, R, b, turn, inside):
    """The volume is summed in polar strips: (rho^2 - R^2)/2 d(angle), rho the distance of the back from the axis."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    wide = abs(w * c) + abs(h * s)
    D = math.sqrt((R - b) ** 2 - (wide / 2) ** 2) if inside else R + b

    def below(v, u):
        x = u * c + v * s
        return abs(D**2 + x**2 - R**2) / 2 * D / (D**2 + x**2)

    volume = dblquad(below, -w / 2, w / 2, -h / 2, h / 2, epsabs=1e-9)[0]
    assert mean_bed(w, h, R, b, turn=turn, inside=inside) == pytest.approx(volume / (w * h), rel=1e-8)


def test_of_a_straight_tile_it_is_a_triangle_less_a_sector():
    w, R = 20.0, 33.0
    assert mean_bed(w, 7, R) * w == pytest.approx(w * R / 2 - R**2 * math.atan(w / (2 * R)), rel=1e-12)
    assert mean_bed(0.01, 7, R) / gap_under_edges(0.01, R) == pytest.approx(1 / 3, rel=1e-3)
    assert mean_bed(0.01, 7, R, inside=True) / gap_under_middle(0.01, R) == pytest.approx(2 / 3, rel=1e-3)


def test_all_adhesive_of_a_ring_is_a_polygon_less_a_disc():
    """Tiles with closed joints make a polygon about the disc: n R^2 tan(pi/n) - pi R^2."""
    n, R = 12, 40.0
    w = 2 * R * math.tan(math.pi / n)
    found = seat(w, 10, 4, 0, R)
    assert n * found.mean * w == pytest.approx(n * R**2 * math.tan(math.pi / n) - math.pi * R**2, rel=1e-9)
    assert found.angle == pytest.approx(360 / n, rel=1e-12)
    assert found.extra == pytest.approx(found.mean * w * 10 / 1000, rel=1e-12)


def test_a_ring_with_joints_fills_its_annulus():
    """Tiles, beds and joints of n tiles are all that is between the glass and the polygon of the faces."""
    n, w, t, R, b = 15, 20.0, 4.0, 48.0, 0.8
    half = math.pi / n
    j = 2 * (R + b) * math.sin(half) - w * math.cos(half)
    found = seat(w, 1.0, t, j, R, b)
    faces = np.concatenate([placed(w, t, R, b, 2 * half * k)[[3, 2]] for k in range(n)])
    x, y = faces.T
    around = abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2
    assert n * (w * t + w * found.mean + 1000 * found.joint_volume) == pytest.approx(around - math.pi * R**2, rel=1e-9)


@pytest.mark.parametrize("turn", [0, 90])
def test_the_joint_is_the_distance_between_corners(turn):
    w, h, t, j, R, b = 20.0, 12.0, 4.0, 2.0, 40.0, 0.8
    side = w if turn == 0 else h
    found = seat(w, h, t, j, R, b, turn=turn)
    one, two = placed(side, t, R, b, 0), placed(side, t, R, b, math.radians(float(found.angle)))
    assert np.hypot(*(two[0] - one[1])) == pytest.approx(j, rel=1e-6)
    assert np.hypot(*(two[3] - one[2])) == pytest.approx(float(found.face_joint), rel=1e-6)


def test_inside_a_curve_the_joint_closes():
    w, t, j, R, b = 20.0, 4.0, 2.5, 60.0, 0.8
    found = seat(w, w, t, j, R, b, inside=True)
    D = math.sqrt((R - b) ** 2 - (w / 2) ** 2)
    theta = math.radians(float(found.angle))
    one, two = placed(w, -t, D, 0, 0), placed(w, -t, D, 0, theta)
    assert np.hypot(*(two[0] - one[1])) == pytest.approx(j, rel=1e-9)
    assert np.hypot(*(two[3] - one[2])) == pytest.approx(float(found.face_joint), rel=1e-9)
    assert found.face_joint < j and found.deepest == pytest.approx(R - D)


@pytest.mark.parametrize("inside", [False, True])
def test_great_radius_is_flat(inside):
    w, h, t, j, b = 20.0, 10.0, 4.0, 2.0, 0.8
    found = seat(w, h, t, j, np.array([1e4, 1e6]), b, turn=20, inside=inside)
    for value, flat in (
        (found.deepest, b),
        (found.mean, b),
        (found.face_joint, j),
        (found.angle, 0),
        (found.extra, 0),
        (found.joint_volume, j * (t + b) * h / 1000),
    ):
        assert abs(value[1] - flat) < abs(value[0] - flat) / 50 + 1e-9 and value[1] == pytest.approx(flat, abs=2e-3)


@pytest.mark.parametrize("inside", [False, True])
def test_least_radii_are_where_the_limit_is_met(inside):
    w, t, j, b, most = 20.0, 4.0, 2.0, 0.8, 2.0
    R = float(least_radius_for_bed(w, b, most, inside=inside))
    assert seat(w, w, t, j, R, b, inside=inside).deepest == pytest.approx(most, rel=1e-9)
    assert widest_for_bed(R, b, most, inside=inside) == pytest.approx(w, rel=1e-9)
    face = 1.2 if inside else 3.0
    solved = brentq(lambda r: float(seat(w, w, t, j, r, b, inside=inside).face_joint) - face, 15, 1000)
    assert least_radius_for_joint(w, t, j, face, b, inside=inside) == pytest.approx(solved, rel=1e-9)


def test_a_turned_tile_is_as_wide_as_its_shadow():
    for turn in (0, 17, 45, 90, 133):
        c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        shadow = np.ptp([c * x + s * y for x in (-10, 10) for y in (-5, 5)])
        assert across(20, 10, turn) == pytest.approx(shadow, rel=1e-12)


def test_a_cone_bends_as_its_normal_section_does():
    """Distance to a cone, from a point of the plane that touches it, by coordinates: r/cos(lean) is the circle that fits there."""
    lean, r, x = math.radians(25), 45.0, 0.5
    normal = np.array([0, math.cos(lean), -math.sin(lean)])  # out from the wall where y = r, z = 0; it opens upwards

    def off(depth):
        px, py, pz = np.array([x, r, 0.0]) - depth * normal
        return math.hypot(px, py) - (r + pz * math.tan(lean))

    depth = brentq(off, 0, 1)
    assert x**2 / (2 * depth) == pytest.approx(float(normal_radius(r, 25)), rel=1e-3)


def test_a_line_that_winds_bends_as_a_helix():
    """Curvature of a helix of radius R and slope phi, from three points of it: cos(phi)^2/R."""
    R, phi = 50.0, math.radians(35)
    s = np.array([-1e-2, 0.0, 1e-2])
    turn, up = s * math.cos(phi) / R, s * math.sin(phi)
    a, b, c = np.stack([R * np.cos(turn), R * np.sin(turn), up], axis=1)
    bend = np.linalg.norm(a - 2 * b + c) / 1e-4
    assert 1 / bend == pytest.approx(float(radius_along(R, 35)), rel=1e-4)


def test_arrays_and_numbers_agree():
    radii = np.array([[30.0, 50.0], [80.0, 120.0]])
    many = seat(20, 10, 4, 2, radii, 0.8, turn=10)
    for at in np.ndindex(radii.shape):
        one = seat(20, 10, 4, 2, radii[at], 0.8, turn=10)
        for name in ("deepest", "mean", "face_joint", "angle", "extra", "joint_volume"):
            assert getattr(many, name)[at] == pytest.approx(float(getattr(one, name)), rel=1e-12)


def test_the_piece_to_take_is_the_largest_whose_bed_and_joint_are_within():
    sizes = {"whole": (20, 20), "half": (10, 20), "third": (20 / 3, 20), "quarter": (10, 10)}
    for R in (4.0, 9.0, 15.0, 22.0, 31.0, 45.0, 80.0):
        fits = []
        for name, (w, _) in sizes.items():
            deepest = math.hypot(R + 0.8, w / 2) - R
            theta = 2 * (math.atan(w / 2 / (R + 0.8)) + math.asin(2 / math.hypot(w, 2 * (R + 0.8))))
            if deepest <= 2.0 and 2 + 8 * math.sin(theta / 2) <= 4.0:
                fits.append(name)
        found = largest_that_sits(sizes, 4, 2, R, 0.8, thickest=2.0, joints=(1.0, 4.0))
        assert found == (fits[0] if fits else "")
    how = {"thickest": 3.0, "joints": (1.0, 4.0), "inside": True}
    assert largest_that_sits({"whole": (20, 20)}, 4, 2, 8, 0.8, **how) == ""  # it does not go in
    assert largest_that_sits({"half": (10, 20)}, 4, 2, 120, 0.8, turn=90, **how) == "half"


REFUSED = {
    "wider than the hollow": lambda: gap_under_middle(81, 40),
    "no width": lambda: gap_under_edges(0, 40),
    "no room for the bed": lambda: seat(20, 20, 4, 2, 9, 0.8, inside=True),
    "a bed over the radius": lambda: seat(20, 20, 4, 2, 40, 41, inside=True),
    "no room between beds": lambda: least_radius_for_bed(20, 2.0, 2.0),
    "beds the wrong way round": lambda: widest_for_bed(40, 2.0, 1.0),
    "a joint that may not open": lambda: least_radius_for_joint(20, 4, 2, 2),
    "no number": lambda: across(20, 20, math.nan),
}


@pytest.mark.parametrize("case", REFUSED)
def test_bad_input_is_a_sentence(case):
    with pytest.raises(MosaicError, match=r"^[A-Z].*\.$"):
        REFUSED[case]()
