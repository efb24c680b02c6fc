"""Temperatures: typed and told in degrees Celsius, or in degrees Fahrenheit on a page in inches."""

from pathlib import Path

from mosaiclib.lesson.controls import Temperature
from mosaiclib.lesson.page import Lesson
from mosaiclib.lessons import PARTS, lessons, w03_cure


def test_a_temperature_is_typed_and_told_in_fahrenheit_on_a_page_in_inches():
    # by definition 68 F is 20 C, 104 F is 40 C and 10 K are 18 F
    lesson = Lesson.of(w03_cure, Path("unused"))
    room = lesson.fields["temperature"]
    room.accept("20")
    assert (room.label, room.box.value, room.told) == ("Room [C]", "20", "20 C")
    lesson.unit_switch.value = "in"
    assert (room.slider.description, room.box.value, room.told) == ("Room [F]", "68", "68 F")
    room.accept("50")
    assert lesson.settings.temperature == 10.0 and room.slider.value == 10
    room.accept("30 C")
    assert lesson.settings.temperature == 30.0 and room.box.value == "86"
    room.accept("120")
    assert lesson.message.value.count("must be from 41 to 104 F; 120 F is outside") == 1
    room.accept("68")
    lesson.fields["family"].accept("two-part clear epoxy")
    assert "for each 18 F warmer" in lesson.table.value
    lesson.unit_switch.value = "mm"
    assert "for each 10 C warmer" in lesson.table.value and room.box.value == "20"


def test_every_temperature_follows_the_switch():
    found = [c for book in PARTS for part in lessons(book).values() for c in part.CONTROLS if c.unit == "C"]
    assert len(found) >= 3 and all(isinstance(control, Temperature) for control in found)
