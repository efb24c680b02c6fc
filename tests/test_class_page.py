"""The page of a class: settings and file are each other's inverse, pieces come in from the planner, and nothing set is lost."""

from dataclasses import replace
from pathlib import Path

import pytest

from mosaiclib.course import Class
from mosaiclib.errors import MosaicError
from mosaiclib.job import Plan
from mosaiclib.job.shelf import Shelf
from mosaiclib.lesson.page import Lesson
from mosaiclib.lessons import lessons, w07_class, w07_shared
from mosaiclib.reference import DATA

START = w07_shared.start()
HEADLINE = 160  # letters: two lines on a page
CHANGES = {
    "as it is": {},
    "an evening lost": {"cancelled": "2027-01-26"},
    "a cold room": {"temperature": 10.0},
    "one session": {"count": 1},
    "children": {"youngest": 9, "helpers": 0},
    "one more piece": {"makers": (("window panel", "6"), ("garden panel", "3"), ("jar", "3"))},
}


def test_settings_and_class_are_each_others_inverse():
    assert w07_shared.class_of(START) == START.base == Class.load(DATA / "example_class.json")
    other = replace(
        START, makers=(("garden panel", "4"),), count=7, off="2027-02-02, 2027-02-09", owned=(("scales", "1"),)
    )
    klass = w07_shared.class_of(other)
    assert w07_shared.class_of(w07_shared.settings_of(klass)) == klass
    assert (klass.learners, klass.sessions.count, klass.owns) == (4, 7, {"scales": 1.0})


@pytest.mark.parametrize("name", CHANGES)
def test_each_part_tells_every_class_in_a_headline_of_two_lines(name):
    result = w07_shared.compute(replace(START, **CHANGES[name]))
    assert (result.course is None) == bool(result.amiss)
    for module in lessons("07").values():
        assert 0 < len(module.summary(result)) <= HEADLINE
        assert module.draw(result).width > 0
        assert module.report(result)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"makers": (("door panel", "3"),)}, "no piece called door panel"),
        ({"makers": (("window panel", "2.5"),)}, "whole number"),
        ({"hours": (("Someday", "18:30", "20:00"),)}, "Someday"),
        ({"off": "soon"}, "is not a day"),
        ({"owned": (("unicorns", "3"),)}, "nothing called 'unicorns'"),
        ({"prices": (("", "3"),)}, "needs the name of a thing"),
        ({"zone": "Mars/North"}, "no zone of clocks"),
    ],
)
def test_what_cannot_be_read_is_said(change, words):
    with pytest.raises(MosaicError) as wrong:
        w07_shared.compute(replace(START, **change))
    assert words in str(wrong.value)


def test_a_class_is_saved_and_opened(tmp_path):
    lesson = Lesson(w07_class, w07_shared.quick(), tmp_path / "my_plans")
    lesson.box.value = "spring"
    lesson.buttons["save"].click()
    assert "Saved as my_classes/spring.json" in str(lesson.said)
    lesson.set(replace(lesson.settings, tables=1))
    lesson.buttons["open"].click()
    assert lesson.settings.tables == 3 and lesson.settings.base.name == "spring"
    lesson.box.value = "autumn"
    lesson.buttons["open"].click()
    assert "no file called autumn.json" in str(lesson.said) and lesson.settings.base.name == "spring"


def test_a_kept_piece_comes_into_the_class(tmp_path):
    plan = Plan.load(Path(__file__).with_name("plain_plan.json"))
    Shelf(tmp_path / "my_plans").keep(plan)
    (listed,) = w07_class.lists(tmp_path / "my_plans")
    (shown,) = listed.things(START)
    settings, said = listed.run(START, shown.thing)
    assert plan.name in said and (plan.name, "1") in settings.makers
    assert w07_shared.class_of(settings).learners == 13
    again, _ = listed.run(settings, shown.thing)
    assert again.makers == settings.makers, "one of the same name takes its place"
    assert w07_shared.class_of(again) == w07_shared.class_of(settings)
