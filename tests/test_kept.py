"""What is set is kept and found again; without the door nothing is read or written."""

import json
import os
from types import SimpleNamespace

import pytest

from mosaiclib.errors import MosaicError
from mosaiclib.job import Plan
from mosaiclib.job.shelf import Shelf
from mosaiclib.lesson.asking import Questions
from mosaiclib.lesson.done import NOTHING
from mosaiclib.lesson.kept import MOST_STEPS, PLACE, History, Kept, open_elsewhere, packed, unpacked
from mosaiclib.lesson.page import Lesson
from mosaiclib.lessons import PARTS, asked, done_tasks, lessons, remembered, show, w06_piece, w06_plan, w06_settings

MODULES = [module for number in PARTS for module in lessons(number).values()]


@pytest.fixture
def place(tmp_path, monkeypatch):
    monkeypatch.setenv(PLACE, str(tmp_path / "kept"))
    return tmp_path / "kept"


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__.rpartition(".")[2])
def test_settings_come_back_as_they_were(module, place, tmp_path):
    lesson = Lesson.again(module, tmp_path)
    name, field = next(
        (name, field) for name, field in lesson.fields.items() if len(field.control.ends(field.value)) > 1
    )
    field.accept(next(value for value in field.control.ends(field.value) if value != field.value))
    back = Lesson.again(module, tmp_path)
    assert back.settings == lesson.settings and getattr(back.settings, name) == field.value
    assert "is here again" in str(back.said) or lesson.said


def test_every_setting_survives_the_file(tmp_path):
    for module in MODULES:
        start = getattr(module, "start", module.Settings)()
        kept = Kept(tmp_path / "one.json")
        assert kept.write(packed(start)) == ""
        assert unpacked(start, kept.read()[0]) == start


def test_without_the_door_nothing_is_read_or_written(tmp_path, monkeypatch):
    monkeypatch.delenv(PLACE, raising=False)
    monkeypatch.chdir(tmp_path)
    lesson = show("01", tmp_path)
    lesson.fields["span"].accept(333.0)
    Questions(asked("01"), kept=Kept.of("01_questions")).go(2)
    assert list(tmp_path.iterdir()) == [] and Kept.of("w01_joints").read() is None


@pytest.mark.parametrize(
    "left",
    [
        "",
        "[]",
        "{",
        "null",
        '{"unit": "ell", "settings": {}}',
        '{"unit": "mm", "settings": {"span": "x"}}',
        '{"unit": "mm", "settings": {"limits": [[]]}}',
    ],
)
def test_what_cannot_be_read_lets_the_lesson_begin_afresh(place, tmp_path, left):
    place.mkdir()
    (place / "w01_joints.json").write_text(left)
    lesson = Lesson.again(lessons("01")["Space the joints"], tmp_path)
    assert lesson.settings == lesson.first and lesson.unit == "mm"


def test_what_was_kept_is_worked_out_once(place, tmp_path):
    module = lessons("01")["Space the joints"]
    Lesson.again(module, tmp_path).fields["span"].accept(333.0)
    worked_out = []

    def counted(settings):
        worked_out.append(settings.span)
        return module.compute(settings)

    counted.__module__ = module.compute.__module__
    back = Lesson.again(SimpleNamespace(**{**vars(module), "compute": counted}), tmp_path)
    assert worked_out == [333.0] and back.result.settings.span == 333.0


def test_what_was_kept_and_cannot_be_laid_stands_beside_a_picture(place, tmp_path):
    module = lessons("01")["Space the joints"]
    lesson = Lesson.again(module, tmp_path)
    lesson.fields["span"].accept(50.0)
    assert lesson.failed
    back = Lesson.again(module, tmp_path)
    assert back.settings == lesson.settings and str(back.failed) == str(lesson.failed) and "<svg" in back.picture.value


def test_a_folder_that_cannot_be_written_is_told(place, tmp_path):
    place.write_text("a file, not a folder")
    lesson = Lesson.again(lessons("01")["Space the joints"], tmp_path)
    lesson.fields["span"].accept(333.0)
    assert "cannot be kept on this computer" in str(lesson.said) and lesson.settings.span == 333.0


def test_steps_go_back_and_on_and_a_new_one_ends_what_was_undone():
    steps = History("a")
    assert steps.add("b") and not steps.add("b") and steps.add("c")
    assert [steps.step(-1), steps.step(-1), steps.step(-1), steps.step(1)] == ["b", "a", "a", "b"]
    assert steps.add("d") and not steps.can(1) and steps.step(-1) == "b"
    assert all(steps.add(number) for number in range(500)) and len(steps.states) == MOST_STEPS and not steps.can(1)


def test_undo_on_a_lesson_brings_the_boxes_back(tmp_path):
    lesson = Lesson.of(lessons("01")["Space the joints"], tmp_path)
    first = lesson.settings
    lesson.fields["span"].accept(333.0)
    lesson.step(-1)
    assert lesson.settings == first and lesson.fields["span"].value == first.span and lesson.steps[-1].disabled
    lesson.step(1)
    assert lesson.settings.span == 333.0 and lesson.steps[1].disabled


def test_what_was_set_is_kept_though_its_picture_was_broken_off(place, tmp_path):
    """As where the page is left meanwhile: its kernel is interrupted, then ended."""
    lesson = Lesson.again(lessons("01")["Space the joints"], tmp_path)
    compute = lesson.compute

    def broken_off(_):
        raise KeyboardInterrupt

    lesson.compute = broken_off
    with pytest.raises(KeyboardInterrupt):
        lesson.fields["span"].accept(333.0)
    lesson.leave()
    lesson.compute = compute
    back = Lesson.again(lessons("01")["Space the joints"], tmp_path)
    assert back.settings.span == 333.0


def test_another_open_page_is_seen_and_a_dead_one_is_not(place):
    elsewhere = open_elsewhere("01")
    assert not elsewhere()
    mine = next(place.glob("01.*.open"))
    parent = place / f"01.{os.getppid()}.open"
    parent.write_text("0.00")  # a number that another program has by now
    assert not elsewhere() and not parent.exists()
    import psutil

    parent.write_text(f"{psutil.Process(os.getppid()).create_time():.2f}")
    assert elsewhere() and mine.exists()


def answered(page, right):
    question, values = page.question, page.values
    answer = question.answer(values)
    if question.options:
        page.answer.value = answer if right else next(one for one in question.options if one != answer)
    else:
        page.answer.value = f"{answer if right else answer * 7 + 99999:.10g}"
        page.units.value = question.unit if question.units else ""
    page.check()


def test_the_first_wrong_answer_gets_a_hint_the_second_the_way_and_the_end_a_score(place):
    page = Questions(asked("01"), kept=Kept.of("01_questions"))
    answered(page, right=False)
    way = page.question.judge(page.values, page.answer.value, page.units.value).way
    assert way not in page.verdict.value and page.question.hint in page.verdict.value
    answered(page, right=False)
    assert way.split(".")[0].split("<")[0][:20] in page.verdict.value
    for at in range(1, len(page.questions)):
        page.go(at)
        answered(page, right=True)
    count = len(page.questions)
    assert f"{count - 1} of {count} right, {count - 1} at the first try" in page.verdict.value
    first = page.questions[0].values(page.number)
    page.go(page.at + 1)
    assert page.at == 0 and page.round == 1 and page.tries == {} and page.questions[0].values(page.number) != first
    stored = json.loads((place / "01_questions.json").read_text())
    assert stored == {"number": 1, "set": 1, "at": 0, "tries": {}, "best": count - 1}
    page.go(2)
    again = Questions(asked("01"), kept=Kept.of("01_questions"))
    assert (again.at, again.round, again.number) == (2, 1, page.number)


def test_what_was_tried_answered_and_done_is_remembered(place, tmp_path):
    assert repr(remembered()) == NOTHING
    parts = show("02", tmp_path)
    parts.shown.rest.call()  # as after a second on an open page
    assert repr(remembered()) == "02: opened One ring."
    parts.switch.value = "A drawn line"
    parts.shown.fields["count"].accept(2)
    asked_of = Questions(asked("02"), kept=Kept.of("02_questions"))
    answered(asked_of, right=True)
    asked_of.go(1)
    answered(asked_of, right=False)
    for box in done_tasks("02").boxes[2:4]:
        box.value = True
    told = f"02: tried A drawn line; opened One ring; 2 of 14 tasks done; 1 of {len(asked('02'))} questions right."
    assert repr(remembered()) == told and told.split(": ")[1] in remembered()._repr_html_()
    assert done_tasks("02").done == [3, 4]
    asked_of.begin(1)  # another set begins with none right: the best one is told
    assert repr(remembered()) == told


@pytest.mark.parametrize("left", ["", "[]", "{", "null", "7", '{"tried": 1}'])
def test_an_account_of_what_cannot_be_read_is_told_all_the_same(left, place):
    place.mkdir()
    for name in ("w01_joints", "01_questions", "01_tasks"):
        (place / f"{name}.json").write_text(left)
    assert repr(remembered()) and done_tasks("01").done == []


def test_without_the_door_nothing_is_remembered(monkeypatch, tmp_path):
    monkeypatch.delenv(PLACE, raising=False)
    monkeypatch.chdir(tmp_path)
    boxes = done_tasks("01")
    boxes.boxes[0].value = True
    assert repr(remembered()) == NOTHING and done_tasks("01").done == [] and list(tmp_path.iterdir()) == []


# --- works on the shelf -----------------------------------------------------------------------------------


def works_of(shelf):
    return [work.name for work in shelf.works()]


def test_a_work_keeps_itself_with_its_picture_and_what_it_was(tmp_path):
    shelf, plan = Shelf(tmp_path / "my_plans"), w06_plan.new_plan("Sun ring")
    assert shelf.works() == [] and shelf.earlier(plan) == []
    assert shelf.keep(plan, "<svg/>") == ""
    changed = plan.model_copy(update={"currency": "EUR"})
    assert shelf.keep(changed) == "" and shelf.keep(changed) == ""
    (work,) = shelf.works()
    assert Plan.load(work.path) == changed
    assert [Plan.load(state.path) for state in shelf.earlier(plan)] == [plan]
    other = Shelf(tmp_path / "my_plans")  # another program's page: what it finds is put by whatever the minute
    other.keep(plan)
    assert Plan.load(shelf.works()[0].path) == plan


def test_what_is_something_else_stays_beside_a_work(tmp_path):
    (tmp_path / "Tray.json").write_text("notes")
    shelf = Shelf(tmp_path)
    said = shelf.keep(w06_plan.new_plan("Tray"))
    assert "Tray-before.json" in said and (tmp_path / "Tray-before.json").read_text() == "notes"
    assert works_of(shelf) == ["Tray"]


def test_a_work_that_is_renamed_takes_its_file_along_and_never_another_s(tmp_path):
    shelf = Shelf(tmp_path)
    tray, bowl = w06_plan.new_plan("Tray"), w06_plan.new_plan("Bowl")
    shelf.keep(tray, "<svg/>")
    shelf.keep(bowl)
    with pytest.raises(MosaicError, match="A work called Bowl is kept already"):
        shelf.rename(tray, "Bowl")
    dish = shelf.rename(tray, "Dish")
    assert sorted(works_of(shelf)) == ["Bowl", "Dish"] and dish.name == "Dish"
    assert next(work.picture for work in shelf.works() if work.name == "Dish") == "<svg/>"


def test_undoing_a_renaming_leaves_one_file_and_the_steps_in_between_none(tmp_path):
    folder = tmp_path / "my_plans"
    lesson = Lesson(w06_piece, w06_settings.settings_of(w06_plan.new_plan("Tray")), folder)
    lesson.kept = Kept(tmp_path / "kept.json")
    lesson.fields["pane_width"].accept(250.0)
    lesson.box.value = "Dish"
    lesson.buttons["rename"].click()
    shelf = Shelf(folder)
    assert works_of(shelf) == ["Dish"]
    lesson.step(-1)
    assert works_of(shelf) == ["Tray"] and lesson.result.plan.name == "Tray"
    lesson.step(1)
    assert works_of(shelf) == ["Dish"]
    lesson.box.value = "Tray"
    lesson.buttons["new"].click()
    lesson.fields["pane_width"].accept(300.0)
    assert sorted(works_of(shelf)) == ["Dish", "Tray"]
    while lesson.history.can(-1):
        lesson.step(-1)
    assert sorted(works_of(shelf)) == ["Dish", "Tray"]  # two works by now, of which undoing costs none
