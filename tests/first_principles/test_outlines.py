"""Outlines of flat glass against arithmetic: parallels, many sides, rounded corners, ellipses."""

import math

import numpy as np
import pytest
import shapely

from mosaiclib.glass import Flat, arch, circle, ellipse, pierced, polygon
from mosaiclib.glass.outlines import STROKE

QUAD = [(0, 0), (300, 20), (260, 210), (-20, 160)]


def test_a_circle_of_many_sides_tends_to_the_circle():
    area, length = math.pi * 150**2, math.pi * 300
    found = [circle(300, n) for n in (6, 12, 24, 48, 96, 192)]
    # n/2 d^2/4 sin(2 pi/n) and n d sin(pi/n): the error goes with 1/n^2, to a quarter at twice as many sides
    off = np.array([[area - one.area, length - one.length] for one in found])
    assert (off > 0).all() and off[1:] / off[:-1] == pytest.approx(0.25, abs=0.02)
    assert circle(300).area == pytest.approx(area, rel=1e-4) and circle(300).length == pytest.approx(length, rel=1e-4)


@pytest.mark.parametrize(("wide", "high"), [(300, 300), (300, 200), (400, 120), (90, 700)])
def test_an_ellipse_is_as_long_as_ramanujan_says(wide, high):
    a, b = wide / 2, high / 2
    h = ((a - b) / (a + b)) ** 2
    # Ramanujan's second approximation (1914); its error is under 3 h^5/2^17 of the length
    length = math.pi * (a + b) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h)))
    found = ellipse(wide, high)
    assert found.length == pytest.approx(length, rel=1e-4) and found.area == pytest.approx(math.pi * a * b, rel=1e-4)
    points = shapely.get_coordinates(found)
    assert np.hypot(*((points - [a, b]) / [a, b]).T) == pytest.approx(1)


@pytest.mark.parametrize("margin", [1, 7.5, 20, 60])
def test_parallels_of_circle_and_polygon(margin):
    inner = Flat(circle(300), margin=margin).strip
    assert inner.area == pytest.approx(math.pi * (150 - margin) ** 2, rel=2e-4)
    assert inner.length == pytest.approx(2 * math.pi * (150 - margin), rel=2e-4)
    # of a convex polygon: area less length m plus m^2 times the sum of tan(a/2), a the turn at each corner
    corners = np.array(QUAD, dtype=float)
    along = np.roll(corners, -1, axis=0) - corners
    heading = np.arctan2(*along.T[::-1])
    turn = (heading - np.roll(heading, 1) + np.pi) % (2 * np.pi) - np.pi
    whole, tans = polygon(QUAD), np.tan(turn / 2).sum()
    found = Flat(whole, margin=margin).strip
    assert found.area == pytest.approx(whole.area - whole.length * margin + tans * margin**2, abs=1e-6)
    assert found.length == pytest.approx(whole.length - 2 * tans * margin, abs=1e-6)
    assert shapely.distance(
        shapely.points(shapely.get_coordinates(found)), Flat(QUAD).outline.exterior
    ) == pytest.approx(margin)


def test_a_margin_goes_round_a_hole_and_a_corner_that_points_inwards_at_the_same_distance():
    bay = [(0, 0), (300, 0), (300, 300), (150, 300), (150, 150), (0, 150)]
    glass = Flat(pierced(polygon(bay), [shapely.Point(225, 75).buffer(30, quad_segs=64)]), margin=12)
    edge = shapely.points(shapely.get_coordinates(glass.strip))
    assert shapely.distance(edge, shapely.boundary(glass.outline)) == pytest.approx(12, abs=0.005)
    # straight parallels, less the hole's, and what lies beyond the arc round the inward corner: m^2 - pi m^2/4
    hole, kept = math.pi * 42**2, (1 - math.pi / 4) * 12**2
    straight = 276 * 126 + 126 * 150
    assert glass.strip.area == pytest.approx(straight - hole + kept, rel=1e-4)


@pytest.mark.parametrize("radius", [1, 10, 40])
def test_rounded_corners_take_away_what_is_outside_their_arcs(radius):
    sharp, soft = (polygon([(0, 0), (300, 0), (300, 200), (0, 200)], r) for r in (0, radius))
    assert sharp.area - soft.area == pytest.approx((4 - math.pi) * radius**2, abs=STROKE * 2 * math.pi * radius)
    assert sharp.length - soft.length == pytest.approx((8 - 2 * math.pi) * radius, abs=0.02 * radius)
    assert shapely.covers(sharp.buffer(1e-9), soft)
    # rounding inwards adds glass: of an L with five corners out and one in, four are left over
    bay = [(0, 0), (200, 0), (200, 200), (100, 200), (100, 100), (0, 100)]
    assert polygon(bay).area - polygon(bay, radius).area == pytest.approx(
        (4 - math.pi) * radius**2, abs=STROKE * 2 * math.pi * radius
    )


@pytest.mark.parametrize(("wide", "rise"), [(200, 100), (200, 40), (200, 5), (900, 449)])
def test_a_round_head_is_one_arc(wide, rise):
    head = shapely.get_coordinates(arch(wide, 500, rise).exterior)
    head = head[head[:, 1] > 500 - rise + 1e-9]
    radius = (wide**2 / 4 + rise**2) / (2 * rise)
    assert np.hypot(*(head - [wide / 2, 500 - radius]).T) == pytest.approx(radius)
    assert head[:, 1].max() == pytest.approx(500)


@pytest.mark.parametrize(("wide", "rise"), [(200, 101), (200, 173.205), (200, 300)])
def test_a_pointed_head_is_two_arcs_that_are_upright_where_they_begin(wide, rise):
    outline = arch(wide, 500, rise, "pointed")
    head = shapely.get_coordinates(outline.exterior)
    right = head[(head[:, 1] >= 500 - rise - 1e-9) & (head[:, 0] >= wide / 2)]
    radius = (wide**2 / 4 + rise**2) / wide
    assert np.hypot(*(right - [wide - radius, 500 - rise]).T) == pytest.approx(radius)
    assert outline.bounds == pytest.approx((0, 0, wide, 500))
