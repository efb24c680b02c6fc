"""Handles in Python: what the browser sends is held in the picture, what is typed is not, and places are told."""

import pytest

from mosaiclib.lesson.page import Lesson
from mosaiclib.lessons import w02_rows

FAR = [[-4.0, 48.0], [45.0, 62.0], [-407.0, 269.0], [145.0, 86.0], [204.0, 52.0]]


@pytest.fixture
def line():
    return Lesson.of(w02_rows)


def drag_to(line, points, moving=False):
    with line.picture.hold_trait_notifications():
        line.picture.points, line.picture.moving = points, moving


@pytest.mark.parametrize("hand", [[False], [True, False], [True, True, False]])
def test_a_dragged_point_is_held_in_the_picture_and_it_is_said(line, hand):
    for moving in hand:
        drag_to(line, FAR, moving)
    picture = line.picture
    x, y = line.settings.points[2]
    assert (x, y) == tuple(picture.points[2])
    # the picture's rim lies a little elsewhere while a handle moves, because its key is left away
    assert x + picture.left == pytest.approx(0, abs=2)
    assert y + picture.low == pytest.approx(picture.height, abs=2)
    assert "Point 3 is held at the rim of the picture." in line.message.value


def test_only_the_point_that_moved_is_held(line):
    line.fields["points"].put(((-400.0, 48.0), (95.0, 98.0), (204.0, 52.0)))
    line._changed(line.fields["points"])
    drag_to(line, [[-400.0, 48.0], [95.0, 90.0], [204.0, 52.0]])
    assert line.settings.points == ((-400.0, 48.0), (95.0, 90.0), (204.0, 52.0))
    assert line.message.value == ""


def test_places_are_told_in_the_unit_of_the_page(line):
    assert line.picture.places[0] == "-4 mm across, 48 mm up"
    line.unit_switch.value = "in"
    drag_to(line, [*FAR[:2], [101.6, 76.19999999999999], *FAR[3:]])
    assert line.picture.places[2] == "4 in across, 3 in up"
