"""A work taken out of the planner and into it again: what is hostile is refused in a sentence, and nothing is changed."""

import json
from datetime import datetime

import pytest

from mosaiclib.job import Plan
from mosaiclib.job.shelf import Shelf
from mosaiclib.lesson.kept import Kept
from mosaiclib.lesson.page import Lesson
from mosaiclib.lessons import w06_piece
from mosaiclib.lessons.w06_plan import new_plan
from mosaiclib.lessons.w06_settings import settings_of


def opened(folder):
    """Return the part *The piece* with a work that is kept."""
    made = Lesson(w06_piece, settings_of(new_plan("Tray")), folder / "my_plans")
    made.kept = Kept(folder / "kept.json")
    made.fields["pane_width"].accept(250.0)
    return made


@pytest.fixture
def lesson(tmp_path):
    return opened(tmp_path)


@pytest.fixture(scope="module")
def untouched(tmp_path_factory):
    """Return a lesson and its folder for what changes neither."""
    folder = tmp_path_factory.mktemp("untouched")
    return opened(folder), folder


def choose(lesson, content, name="tray.json", action="import"):
    """Choose a file of this content, as the browser's file chooser does."""
    content = content if isinstance(content, bytes) else content.encode("utf-8", "surrogatepass")
    given = {"name": name, "type": "", "size": len(content), "last_modified": datetime(2026, 1, 1), "content": content}
    lesson.buttons[action].value = (given,)
    return str(lesson.said[0] if isinstance(lesson.said, tuple) else lesson.said)


def changed(**parts):
    return json.dumps(new_plan("Tray").model_dump(mode="json") | parts)


def pane(**parts):
    return changed(glass=[new_plan("Tray").model_dump(mode="json")["glass"][0] | parts])


HOSTILE = {
    "nothing": ("", "is not a whole plan file"),
    "torn": (changed()[:200], "is not a whole plan file"),
    "no text": (b"\xff\xfe\x00\x01", "is not a whole plan file"),
    "a drawing": ("<svg onload='alert(1)'/>", "is not a whole plan file"),
    "a list": ("[]", "has no version number"),
    "another program's": ('{"version": "1", "cells": []}', "has no version number"),
    "newer": (changed(version=9), "newer workbook"),
    "deep": ('{"version": 1, "note": ' + "[" * 200_000, "is not a whole plan file"),
    "deep and whole": ('{"version": 1, "note": ' + "[" * 50_000 + "]" * 50_000 + "}", "cannot be used|whole plan file"),
    "too large": (" " * 10_000_001, "too large to be a plan"),
    "a million keys, one twice": (
        '{"version": 1, ' + ", ".join(f'"{key}": 0' for key in range(600_000)) + ', "599999": 1}',
        "gives '599999' twice",
    ),
    "not a number": (pane(width=float("nan")), "must be a finite number"),
    "endless": (pane(width=200.0).replace("200.0", "1e999"), "'glass, number 1, width'"),
    "thousands of digits": (pane(width=200.0).replace("200.0", "9" * 4000), "'glass, number 1, width'"),
    "more digits than are read": (pane(width=200.0).replace("200.0", "9" * 5000), "is not a whole plan file"),
    "huge": (pane(width=1e9), "must be at most 100000"),
    "a wall": (pane(width=90_000.0, height=90_000.0), "pieces, over 100,000"),
    "a word for a number": (pane(width="200"), "must be a number, not text"),
    "true for a number": (pane(width=True), "'glass, number 1, width'"),
    "a list for a name": (pane(name=["x"]), "must be text"),
    "colours that are none": (changed(tile=7), "'tile'"),
    "an unknown part": (changed(run="import os"), "is not a part of a plan"),
    "a broken sign": (pane(name="\ud800"), "broken sign|whole plan file"),
    "no name": (changed(name=" "), "name"),
    "a name without letters": (changed(name="..//.."), "letters or digits"),
    "sixty-one colours": (
        changed(tile={"side": 20.0, "thickness": 4.0, "colours": [{"name": f"c{n}"} for n in range(61)]}),
        "61 colours; this page shows at most 60",
    ),
    "nothing can be laid": (pane(width=8.0), "does not go into 8 mm"),
}


@pytest.mark.parametrize("what", HOSTILE)
def test_a_hostile_plan_is_refused_in_a_sentence_and_nothing_is_changed(what, untouched):
    (lesson, folder), (content, words) = untouched, HOSTILE[what]
    before, files = lesson.settings, sorted(path for path in folder.rglob("*"))
    said = choose(lesson, content)
    assert any(each in said for each in words.split("|")), said
    assert len(said) < 400 and lesson.settings is before and lesson.result.settings is before
    assert sorted(path for path in folder.rglob("*")) == files and not lesson.history.can(1)


@pytest.mark.parametrize("name", ["../../escape", "/etc/passwd", "<img src=x onerror=alert(1)>", "CON", "a" * 80])
def test_a_name_from_elsewhere_stays_in_the_folder_and_is_shown_as_it_is(name, lesson, tmp_path):
    said = choose(lesson, changed(name=name), name="<script>alert(1)</script>.json")
    assert said.startswith(f"{name} is here from <script>") and "<script>" not in lesson.message.value
    assert "<img" not in lesson.line.value + lesson.table.value + lesson.picture.value
    kept = [path for path in tmp_path.rglob("*.json") if path.name != "kept.json"]
    assert {path.parent for path in kept} == {tmp_path / "my_plans"}
    assert sorted(Plan.load(path).name for path in kept) == sorted(["Tray", name])


def test_a_work_from_elsewhere_costs_none_that_is_kept(lesson, tmp_path):
    shelf = Shelf(tmp_path / "my_plans")
    kept = shelf.works()[0].path.read_text(encoding="utf-8")
    said = choose(lesson, changed(currency="EUR"))
    assert said == "Tray 2 is here from tray.json. Another work is called Tray. Undo brings back what was here."
    assert (tmp_path / "my_plans" / "Tray.json").read_text(encoding="utf-8") == kept
    assert sorted(work.name for work in shelf.works()) == ["Tray", "Tray 2"]
    assert choose(lesson, kept).startswith("Tray is here")  # the very one that is kept
    lesson.step(-1)
    assert lesson.result.plan.name == "Tray 2"
    (tmp_path / "my_plans" / "Bowl.json").write_text("notes")
    assert choose(lesson, changed(name="bowl")).startswith("bowl 2 is here")
    assert (tmp_path / "my_plans" / "Bowl.json").read_text() == "notes"


def test_what_is_taken_out_is_the_plan_as_it_is_set_and_comes_in_again(lesson, tmp_path):
    lesson.fields["pane_height"].accept(180.0)
    lesson.buttons["export"].click()
    words, (file,) = lesson.said
    assert "Tray is kept as my_plans/Tray.json" in words and file == "my_plans/Tray.json"
    assert '<a href="../../files/my_plans/Tray.json" download>Tray.json</a>' in lesson.message.value
    taken = (tmp_path / file).read_bytes()
    there = lesson.result.plan
    lesson.begin_afresh()
    choose(lesson, taken)
    assert lesson.result.plan == there
