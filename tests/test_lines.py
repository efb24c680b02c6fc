"""Ready-made lines and outlines against formulas of their lengths and areas, and shapes built another way."""

import math

import numpy as np
import pytest
import shapely
from scipy.integrate import quad
from scipy.special import ellipe
from shapely.affinity import rotate, translate

from mosaiclib import layout
from mosaiclib.errors import MosaicError
from mosaiclib.layout import Guide, lay_rows, outline_of

MADE = {  # every line and its measures, length [mm] and area inside [mm2] by formula
    "straight": ((240,), 240, None),
    "arc": ((60, 130), math.radians(130) * 60, None),
    "bow": ((120, 20), 2 * 100 * math.asin(0.6), None),  # radius (60^2 + 20^2)/40
    "ring": ((45,), 2 * math.pi * 45, math.pi * 45**2),
    "ellipse": ((200, 80), 400 * ellipe(1 - 0.4**2), math.pi * 100 * 40),
    "spiral": ((160, 3.5), None, None),
    "s_ribbon": ((200, 90), None, None),
    "wave": ((300, 50, 3), None, None),
    "leaf": ((math.sqrt(3) * 80, 80), 4 * math.pi / 3 * 80, (4 * math.pi - 3 * math.sqrt(3)) / 6 * 80**2),
    "heart": ((100, 90), None, None),
    "star": ((100,), None, None),
    "rounded_rectangle": ((150, 90, 20), 480 - 160 + 40 * math.pi, 150 * 90 - (4 - math.pi) * 400),
    "polyline": (([(0, 0), (30, 40), (90, 40)],), 110, None),
}


def made(name, **where):
    return getattr(layout, name)(*MADE[name][0], **where)


def seen(guide, count=4000):
    """Return points along a guide, without its end if it is closed."""
    return guide.at(np.linspace(0, guide.length, count, endpoint=not guide.closed))


@pytest.mark.parametrize("name", [name for name, (_, length, _) in MADE.items() if length])
def test_lengths_are_those_of_the_formula(name):
    assert made(name).length == pytest.approx(MADE[name][1], rel=1e-6, abs=2e-4)


@pytest.mark.parametrize("name", [name for name, (_, _, area) in MADE.items() if area])
def test_areas_are_those_of_the_formula(name):
    fine = outline_of(made(name), 2e-4)
    assert fine.area == pytest.approx(MADE[name][2], rel=1e-5)
    coarse = outline_of(made(name), 0.05)
    assert shapely.distance(coarse.exterior, shapely.points(fine.exterior.coords[::7])).max() <= 0.0502
    assert len(coarse.exterior.coords) < len(fine.exterior.coords)


@pytest.mark.parametrize(("height", "a"), [(90, 50), (30, 10)])
def test_sines_against_their_integral(height, a):
    """A wave over its length, an S over half a wave as long as it is wide."""

    def length(wide, rise, share):  # of a sine over a share of its wave
        k = 2 * math.pi * share / wide
        return quad(lambda x: math.hypot(1, rise / 2 * k * math.cos(k * x)), 0, wide, limit=400, epsabs=1e-9)[0]

    assert layout.wave(300, height, 3).length == pytest.approx(length(300, height, 3), rel=1e-5)
    assert layout.s_ribbon(4 * a, height).length == pytest.approx(length(4 * a, height, 0.5), rel=1e-6)
    crests = seen(layout.wave(300, height, 3))[:, 1]
    assert crests.max() == pytest.approx(height / 2, abs=1e-3) and crests.min() == pytest.approx(-height / 2, abs=1e-3)


@pytest.mark.parametrize(("width", "turns", "inner"), [(160, 3.5, 0), (200, 6, 60), (50, 0.4, 20), (900, 40, 0)])
def test_spiral_against_the_formula_of_its_length(width, turns, inner):
    """With r = b t: b/2 (t sqrt(1 + t^2) + arsinh t), between two t."""
    b = (width - inner) / 2 / (2 * math.pi * turns)
    first, last = inner / 2 / b, width / 2 / b
    upto = [b / 2 * (t * math.hypot(1, t) + math.asinh(t)) for t in (first, last)]
    guide = layout.spiral(width, turns, inner=inner)
    assert guide.length == pytest.approx(upto[1] - upto[0], rel=1e-5)
    xy = seen(guide)
    r, angle = np.hypot(*xy.T), np.unwrap(np.arctan2(xy[:, 1], xy[:, 0]))
    far = r > width / 50
    assert r[far] == pytest.approx((inner / 2 + b * (angle - angle[-1] + 2 * math.pi * turns))[far], abs=1e-4 * width)


def over_discs(width, height):
    """Return a heart as the hulls of its tip with either of two discs."""
    r = width / (2 + math.sqrt(2))
    discs = [shapely.Point(side * (width / 2 - r), height / 2 - r).buffer(r, quad_segs=2000) for side in (1, -1)]
    tip = shapely.Point(0, -height / 2)
    return shapely.union_all([shapely.MultiPolygon([disc, tip.buffer(1e-9)]).convex_hull for disc in discs])


@pytest.mark.parametrize(("width", "height"), [(100, 90), (100, 61), (60, 118), (20, 19)])
def test_heart_against_hulls_of_discs(width, height):
    heart, hulls = outline_of(layout.heart(width, height), 1e-3), over_discs(width, height)
    assert heart.area == pytest.approx(hulls.area, rel=2e-4)
    assert heart.symmetric_difference(hulls).area < 0.005 * heart.length
    x0, y0, x1, y1 = heart.bounds
    assert (x1 - x0, y1 - y0) == pytest.approx((width, height), abs=0.02)


def test_heart_over_a_square_has_its_area():
    """A square of side s on its tip with half a disc over each upper side: s^2 (1 + pi/4)."""
    s = 50.0
    width, height = s * (1 + math.sqrt(0.5)), s * (3 / 4 * math.sqrt(2) + 1 / 2)
    assert outline_of(layout.heart(width, height), 1e-3).area == pytest.approx(s * s * (1 + math.pi / 4), rel=1e-4)


@pytest.mark.parametrize(("points", "inner"), [(5, None), (6, None), (3, 20), (8, 45), (12, 70), (60, 99)])
def test_stars_are_even_and_their_angles_add_up(points, inner):
    star = layout.star(100, points, inner=inner)
    tips, hollows = np.array(star.corner_turnings).reshape(points, 2).T
    assert tips == pytest.approx(tips[0]) and hollows == pytest.approx(hollows[0]) and hollows[0] < 0 < tips[0]
    assert points * (tips[0] + hollows[0]) == pytest.approx(360)
    outline = outline_of(star)
    turned = rotate(outline, 360 / points, origin=(0, 0))
    assert outline.symmetric_difference(turned).area < 1e-6
    if inner is None:  # a tip of the star {n/2} has 180 - 720/n degrees
        assert 180 - tips[0] == pytest.approx(180 - 720 / points)


@pytest.mark.parametrize("name", MADE)
def test_turned_left_then_moved(name):
    plain, there = made(name), made(name, x=30, y=-12, turned=25)
    wanted = translate(rotate(shapely.LineString(seen(plain)), 25, origin=(0, 0)), 30, -12)
    assert shapely.hausdorff_distance(wanted, shapely.LineString(seen(there))) < 1e-6
    assert there.corners == plain.corners and there.closed == plain.closed


@pytest.mark.parametrize("name", [name for name in MADE if name != "spiral"])
def test_the_middle_and_the_side_of_travel(name):
    guide = made(name)
    xy = seen(guide)
    if name not in ("arc", "polyline", "star"):
        assert (xy.min(axis=0) + xy.max(axis=0)) / 2 == pytest.approx(0, abs=0.01)
    if guide.closed:
        assert guide.turning == pytest.approx(360) and shapely.LinearRing(xy).is_ccw


def test_rounded_rectangle_keeps_its_sides_and_corners():
    made, plain = outline_of(layout.rounded_rectangle(150, 90, 20), 1e-3), shapely.box(-75, -45, 75, 45)
    round_ = plain.buffer(-20, join_style="mitre").buffer(20, quad_segs=200)
    corners = shapely.points(round_.exterior.segmentize(1).coords[:])
    assert shapely.distance(made.exterior, corners).max() < 0.006
    assert shapely.distance(round_.exterior, shapely.points(made.exterior.coords[:])).max() < 0.006
    assert outline_of(layout.rounded_rectangle(150, 90)).equals(plain)
    full = layout.rounded_rectangle(100, 60, 30)
    assert full.length == pytest.approx(80 + 60 * math.pi, abs=1e-3) and not full.corners


def test_every_line_can_be_laid():
    for name in MADE:
        guide = made(name)
        laid = lay_rows(guide, [{"tile": 8, "fraction": "quarter"}], 0.8)
        assert layout.survey(laid).overlaps == 0, name


@pytest.mark.parametrize(
    ("ask", "words"),
    [
        (lambda: layout.arc(50, 0), "at least 0.1 degrees"),
        (lambda: layout.bow(100, 51), "rise of a bow"),
        (lambda: layout.ellipse(500, 1), "100 times as long as wide"),
        (lambda: layout.spiral(50, 3, inner=50), "inner width of a spiral"),
        (lambda: layout.leaf(20, 20), "longer than wide"),
        (lambda: layout.heart(100, 50), "height of a heart"),
        (lambda: layout.star(100, 4), "needs the inner width"),
        (lambda: layout.star(100, 5, inner=81), "inner width of this star"),
        (lambda: layout.rounded_rectangle(100, 50, 26), "corner radius"),
        (lambda: layout.ring(-1), "radius must be greater than 0"),
        (lambda: layout.ring(20, x=math.nan), "x must be a finite number"),
        (lambda: outline_of(layout.straight(50)), "closes on itself"),
        (lambda: outline_of(Guide([(0, 0), (50, 50), (50, 0), (0, 50)], closed=True)), "crosses or touches itself"),
        (lambda: outline_of([(0, 0), (1, 1)]), "Guide"),
    ],
)
def test_what_cannot_be_is_told(ask, words):
    with pytest.raises(MosaicError, match=words):
        ask()
