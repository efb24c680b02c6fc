"""A line that is dragged snaps to the middle of its face and to symmetry; a key and a typed number do not."""

from pathlib import Path

import numpy as np
import pytest

from mosaiclib.layout.snapping import snapped
from mosaiclib.lesson.page import Lesson
from mosaiclib.lessons import w06_lines
from mosaiclib.lessons.w06_plan import new_plan
from mosaiclib.lessons.w06_settings import settings_of

SIZE = (200.0, 150.0)  # of the pane of a new plan [mm]


@pytest.fixture
def lesson():
    found = Lesson(w06_lines, settings_of(new_plan("lines")), Path("unused"))
    found.buttons["add"].click()
    return found


def drag(lesson, which, to, held=True):
    """Move one handle to a place, and let it go."""
    points = [list(point) for point in lesson.picture.points]
    points[which] = list(to)
    with lesson.picture.hold_trait_notifications():
        lesson.picture.moving, lesson.picture.points = held, points
    if held:
        lesson.picture.moving = False


@pytest.mark.parametrize("reach", [1.0, 3.0, 8.0])
def test_only_what_is_within_reach_snaps(reach):
    for off in np.linspace(-2 * reach, 2 * reach, 41):
        x, y = snapped((100 + off, 30.0), SIZE, reach)
        assert (x, y) == (100.0 if abs(off) <= reach else 100 + off, 30.0)


def test_the_mirror_image_of_another_point_draws_before_a_middle_line():
    # arithmetic: (60, 74) mirrored across is (140, 74), up is (60, 76)
    assert snapped((139, 75), SIZE, 3.0, [(60, 74)]).tolist() == [140.0, 74.0]
    assert snapped((61, 77), SIZE, 3.0, [(60, 74)]).tolist() == [60.0, 76.0]
    assert snapped((139, 75), SIZE, 0.0, [(60, 74)]).tolist() == [139.0, 75.0]  # nothing snaps but what is there


def test_a_ready_made_line_snaps_to_the_middle_and_the_headline_says_so(lesson):
    lesson.fields["shape"].accept("ring")
    drag(lesson, 0, (60.0, 40.0))
    assert (lesson.settings.m_x, lesson.settings.m_y) == (60.0, 40.0) and "in the middle" not in lesson.line.value
    drag(lesson, 0, (102.4, 40.0))
    assert (lesson.settings.m_x, lesson.settings.m_y) == (100.0, 40.0)
    assert "ring in the middle across;" in lesson.line.value and lesson.picture.points[0] == [100.0, 40.0]
    drag(lesson, 0, (98.0, 76.0))
    assert (lesson.settings.m_x, lesson.settings.m_y) == (100.0, 75.0)
    assert "ring in the middle across and up;" in lesson.line.value


def test_an_end_snaps_square_to_the_face(lesson):
    lesson.fields["shape"].accept("ellipse")
    x, y = lesson.picture.points[0]
    drag(lesson, 1, (x + 2.0, y + 40.0))
    assert (lesson.settings.m_turned, lesson.settings.m_width) == (90.0, 80.1)
    drag(lesson, 1, (x + 9.0, y + 40.0))
    assert lesson.settings.m_turned == round(np.degrees(np.arctan2(40, 9)))


def test_one_of_my_own_points_snaps_to_the_mirror_image_of_another(lesson):
    lesson.fields["shape"].accept("my own points")
    lesson.fields["band_points"].accept("40 33.35; 90 60; 150 40")
    drag(lesson, 2, (158.0, 35.0))
    assert lesson.settings.band_points == ((40.0, 33.35), (90.0, 60.0), (160.0, 33.35))
    assert "2 points symmetric" in lesson.line.value
    drag(lesson, 1, (101.5, 90.0))
    assert lesson.settings.band_points[1] == (100.0, 90.0) and "3 points symmetric" in lesson.line.value


def test_a_key_and_a_choice_of_0_go_where_they_say(lesson):
    lesson.fields["shape"].accept("ring")
    drag(lesson, 0, (99.0, 40.0), held=False)  # as a key does
    assert lesson.settings.m_x == 99.0
    lesson.fields["snap"].accept(0.0)
    drag(lesson, 0, (101.0, 40.0))
    assert lesson.settings.m_x == 101.0 and lesson.settings.snap == 0.0
