"""The picture of a standing glass against sines and cosines."""

import itertools
import math

import numpy as np
import pytest
import shapely

from mosaiclib.drawing import View, beside, layout_picture, to_png, to_svg, vessel_picture
from mosaiclib.drawing.vessel import standing
from mosaiclib.glass import FourSided, Pane, Round, Tapered
from mosaiclib.layout import Tile, lay_faces

TILE = Tile(10, 4)
JAR = Round(300, 120, 4, 6, seam=0.0)
GLASSES = {
    "pane": Pane(200, 150, margin=10),
    "box": FourSided(160, 120, 140, 5, 8, rim_margin=10),
    "jar": JAR,
    "cone": Tapered([300, 200], [0, 150], 4, 6),
    "bowl": Tapered([300, 340, 400, 430], [0, 40, 90, 130], 4, 6),
}


def laid(glass):
    return lay_faces(glass, TILE, 2, (0.5, 4))


def spread(shapes):
    x0, y0, x1, y1 = shapely.bounds(shapes).T
    return x1 - x0, y1 - y0


def small_tiles(count, width, height, x):
    """Tiles of the strip about the middles x at half its height."""
    return shapely.box(x - width / 2, 60 - height / 2, x + width / 2, 60 + height / 2)[:count]


def test_seen_level_a_tile_is_as_wide_as_its_cosine_and_stands_at_its_sine():
    """Seam at the back: x on the strip is the angle 2 pi x/300 - pi from the front, to the right."""
    R, x = 300 / math.tau, np.linspace(80, 220, 15)
    theta = math.tau * x / 300 - math.pi
    shown = standing(JAR, small_tiles(15, 9.0, 7.0, x), View(0, 0))
    wide, high = spread(shown.faces)
    middle = shapely.get_coordinates(shapely.centroid(shown.faces))
    assert wide == pytest.approx(9.0 * np.cos(theta), rel=1e-6) and high == pytest.approx(np.full(15, 7.0), rel=1e-6)
    assert middle[:, 0] == pytest.approx(R * np.sin(theta), abs=1e-6) and shown.facing.all()
    assert shown.near == pytest.approx(R * np.cos(theta), abs=1e-6)


def test_turned_to_the_right_a_tile_goes_to_the_right():
    for turned in (10.0, 45.0, 80.0):
        shown = standing(JAR, small_tiles(1, 9.0, 7.0, np.array([150.0])), View(turned, 0))
        x, _ = shapely.get_coordinates(shapely.centroid(shown.faces))[0]
        assert x == pytest.approx(300 / math.tau * math.sin(math.radians(turned)), abs=1e-6)


def test_a_tile_is_seen_by_the_cosine_between_its_normal_and_the_view():
    """Seen from b above, a tile of an upright wall at theta shows cos(theta) cos(b) of its area."""
    x = np.linspace(90, 210, 9)
    shown = standing(JAR, small_tiles(9, 9.0, 7.0, x), View(0, 35))
    theta = math.tau * x / 300 - math.pi
    assert shapely.area(shown.faces) == pytest.approx(63.0 * np.cos(theta) * math.cos(math.radians(35)), rel=1e-6)


@pytest.mark.parametrize("name", ["box", "jar"])
def test_over_a_full_turn_each_tile_of_an_upright_wall_shows_its_area_over_pi(name):
    """The mean of max(cos, 0) over a turn is 1/pi."""
    glass, total, steps = GLASSES[name], 0.0, 72
    layout = laid(glass)
    for step in range(steps):
        shown = standing(glass, layout.shapes, View(360 * step / steps, 0))
        total = total + np.where(shown.facing, shapely.area(shown.faces), 0.0)
    assert total / steps == pytest.approx(layout.areas / math.pi, rel=2e-3)


@pytest.mark.parametrize("name", ["jar", "cone"])
def test_about_half_of_a_round_vessel_is_hidden(name):
    glass = GLASSES[name]
    layout = laid(glass)
    for turned in (0.0, 17.0, 123.0):
        shown = standing(glass, layout.shapes, View(turned, 0))
        assert 0.42 < shown.facing.mean() < 0.58
    assert standing(glass, layout.shapes, View(0, 90)).facing.all() == (name == "cone")


def test_all_that_is_to_be_seen_of_a_convex_wall_adds_up_to_its_shadow():
    """Level, the tiles that face the viewer lie side by side in the shadow 2 R h of a cylinder, but for what stands over."""
    layout = laid(JAR)
    shown = standing(JAR, layout.shapes, View(0, 0))
    share = shapely.area(shown.faces[shown.facing]).sum() / (2 * 300 / math.tau * 120)
    assert share == pytest.approx(layout.areas.sum() / (300 * 120), rel=0.02)


def test_a_face_of_a_box_is_seen_as_it_lies_on_the_strip():
    box = GLASSES["box"]
    layout = laid(box)
    front = layout.shapes[(layout.pieces["face"] == "front").to_numpy()]
    shown = standing(box, front, View(0, 0))
    moved = shapely.transform(front, lambda xy: xy - [80.0, 0.0])
    assert shapely.equals_exact(shown.faces, moved, 1e-6).all()
    sides = standing(box, layout.shapes, View(0, 0))
    assert set(layout.pieces["face"][sides.facing]) == {"front"}


def test_a_pane_seen_from_above_is_its_layout():
    pane = GLASSES["pane"]
    layout = laid(pane)
    shown = standing(pane, layout.shapes, View(0, 90))
    assert shapely.equals_exact(shown.faces, layout.shapes, 1e-6).all()
    turned = standing(pane, layout.shapes, View(90, 90))
    assert np.allclose(spread(turned.faces), spread(layout.shapes)[::-1])


def test_what_is_nearer_is_drawn_later():
    glass = GLASSES["cone"]
    drawn = vessel_picture(laid(glass), glass, View(10, 40))
    (solids,) = [item for item in drawn.items if getattr(item, "name", "") == "standing"]
    shown = standing(glass, laid(glass).shapes, View(10, 40))
    assert len(solids.shapes) == 2 * shown.facing.sum()  # sides and face of each
    faces = shapely.area(solids.shapes[1::2])
    order = np.argsort(shown.near[shown.facing], kind="stable")
    assert np.allclose(
        faces, shapely.area(standing(glass, laid(glass).shapes, View(10, 40), (0, 4)).faces[shown.facing][order])
    )


@pytest.mark.parametrize("name", GLASSES)
def test_every_glass_stands_in_a_picture_of_one_size_and_within_it(name):
    glass = GLASSES[name]
    layout = laid(glass)
    sizes = set()
    for turned, tilt in itertools.product((0, 30, 137), (0, 20, 90)):
        drawn = vessel_picture(layout, glass, View(turned, tilt), bed=0.8)
        sizes.add((tilt, round(drawn.width, 6), round(drawn.height, 6)))
        for item in drawn.items:
            x0, y0, x1, y1 = shapely.total_bounds(getattr(item, "shapes", getattr(item, "paths", None)))
            assert x0 >= -1e-6 and y0 >= -1e-6 and x1 <= drawn.width + 1e-6 and y1 <= drawn.height + 1e-6
    assert len(sizes) == 3
    both = beside(layout_picture(layout), drawn)
    assert "<title>" in to_svg(both) and to_png(both)[:4] == b"\x89PNG"
    assert np.allclose(both.at(shapely.get_coordinates(layout.shapes)).min(axis=0) > 0, True)


def test_a_wide_sector_is_found_where_it_lies():
    """A dish whose unrolled wall is over half a turn: points of the strip come back at their angle round the axis."""
    dish = Tapered([120, 500], [0, 20], 4, 6)
    (one,) = dish.frusta
    assert abs(math.degrees(one.angle)) > 300
    s = np.linspace(1, one.foot - 1, 40)
    spots, _ = dish.in_space(one.edge.at(s, np.full(40, 10.0)))
    turn = np.unwrap(np.arctan2(spots[:, 1], spots[:, 0]))
    assert np.diff(turn) == pytest.approx(np.full(39, math.tau * (s[1] - s[0]) / one.foot), rel=1e-6)
    assert np.hypot(*spots[:, :2].T) == pytest.approx(np.full(40, one.girth(10.0) / math.tau), rel=1e-9)
