"""Every lesson swept from end to end, and every question answered right and with each slip."""

import dataclasses
import json
import re
import subprocess
import sys
import warnings
import xml.etree.ElementTree as ElementTree
from pathlib import Path
from typing import Literal

import numpy as np
import pytest
import shapely

from mosaiclib.drawing import to_svg
from mosaiclib.errors import MosaicError
from mosaiclib.layout import CORNERS
from mosaiclib.lesson import sweeping
from mosaiclib.lesson.controls import Length
from mosaiclib.lesson.page import Lesson
from mosaiclib.lessons import (
    PARTS,
    Workbook,
    asked,
    lessons,
    w00_start,
    w01_joints,
    w02_rows,
    w06_lines,
    w06_piece,
    w06_plan,
    w06_settings,
)
from mosaiclib.lessons.w06_controls import SHAPES
from mosaiclib.report import plain_report

ROOT = Path(__file__).parents[1]
FOLDER = ROOT / "mosaiclib" / "lessons"
MODULES = {PARTS[n].parts[words]: module for n in PARTS for words, module in lessons(n).items()}
LESSONS = sorted(MODULES)
MEASURED = [name for name in LESSONS if any(type(control) is Length for control in MODULES[name].CONTROLS)]
SEEDS = range(1, 51)
QUESTIONS = [pytest.param(q, id=f"{n}-{q.name.replace(' ', '-')}") for n in PARTS for q in asked(n)]


def left_out(folder, parts):
    """Return the modules of a folder that have controls or questions of their own and no place in a workbook."""
    listed = {name for book in parts.values() for name in (*book.parts.values(), book.questions)}
    marks = ("\nCONTROLS = ", "\nQUESTIONS = ")
    found = {path.stem for path in folder.glob("*.py") if any(mark in path.read_text("utf-8") for mark in marks)}
    return sorted(found - listed)


def test_no_lesson_and_no_questions_are_left_out():
    assert left_out(FOLDER, PARTS) == []


def test_a_module_that_is_left_out_is_found(tmp_path):
    (tmp_path / "w09_glaze.py").write_text("TITLE = 'Glaze'\nCONTROLS = ()\n")
    (tmp_path / "w09_questions.py").write_text('"""Asked."""\nQUESTIONS = (\n)\n')
    (tmp_path / "ideas.py").write_text("IDEAS = ()\n")
    assert left_out(tmp_path, PARTS) == ["w09_glaze", "w09_questions"]
    assert left_out(tmp_path, PARTS | {"09": Workbook({"Glaze": "w09_glaze"})}) == ["w09_questions"]
    assert left_out(tmp_path, PARTS | {"09": Workbook({"Glaze": "w09_glaze"}, "w09_questions")}) == []


@pytest.mark.parametrize("path", sorted((ROOT / "workbooks").glob("*.ipynb")), ids=lambda path: path.stem)
def test_a_workbook_shows_asks_and_sweeps_what_is_its_own(path):
    cells = json.loads(path.read_text("utf-8"))["cells"]
    code = "\n".join("".join(cell["source"]) for cell in cells if cell["cell_type"] == "code")
    number = path.stem[:2]
    assert f'show("{number}")' in code
    assert (f'questions("{number}")' in code) == bool(PARTS[number].questions)
    assert f'sweep("{number}"' in code or number == "00"
    tasks = next(("".join(cell["source"]) for cell in cells if cell["id"] == "tasks"), "")
    assert len(re.findall(r"^\d+\. ", tasks, re.MULTILINE)) == PARTS[number].tasks
    assert (f'done_tasks("{number}")' in code) == bool(PARTS[number].tasks)


def test_every_part_belongs_to_a_workbook():
    assert set(PARTS) == {path.stem[:2] for path in (ROOT / "workbooks").glob("*.ipynb")}


def test_widgets_are_loaded_when_a_lesson_is_shown():
    code = (
        "import sys, mosaiclib.lessons as l, mosaiclib.lesson.controls, mosaiclib.lesson.questions\n"
        "[l.lessons(n) and l.asked(n) for n in l.PARTS]\n"
        "assert 'ipywidgets' not in sys.modules\n"
        "l.show('00')\n"
        "assert 'ipywidgets' in sys.modules"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr


def start(module):
    quick = getattr(sys.modules[module.compute.__module__], "quick", None)  # the example of a planner takes long
    made = Lesson(module, quick(), Path()) if quick else Lesson.of(module)
    return made.settings, made


@pytest.mark.parametrize("name", LESSONS)
def test_controls_start_within_what_they_reach(name):
    settings, _ = start(MODULES[name])
    fields = {field.name for field in dataclasses.fields(settings)}
    for control in MODULES[name].CONTROLS:
        assert control.name in fields, f"{control.name} sets nothing"
        assert control.read(getattr(settings, control.name)) == getattr(settings, control.name)


def test_a_refusal_that_no_control_speaks_of_is_unexpected():
    _, lesson = start(MODULES["w00_start"])
    width = lesson.fields["width"]
    width.control = dataclasses.replace(width.control, low=1.0)  # no tile fits
    unexpected = sweeping.sweep(lesson).unexpected
    assert [(move.name, move.value) for move in unexpected] == [("width", 1.0)]
    width.control = dataclasses.replace(width.control, refuses=(unexpected[0].words[:12],))
    assert sweeping.sweep(lesson).unexpected == []


@pytest.mark.parametrize("name", LESSONS)
def test_at_most_four_controls_are_open_at_once(name):
    settings, lesson = start(MODULES[name])
    shapes = SHAPES if name == "w06_lines" else [None]  # each kind of line has measures of its own
    for shape in shapes:
        lesson.set(dataclasses.replace(settings, **{"shape": shape} if shape else {}))
        shown = [field.control.fold for field in lesson.fields.values() if not field.hidden]
        for fold in set(shown):
            assert shown.count(fold) <= 4, fold or "the open ones"


@pytest.mark.parametrize("name", LESSONS)
def test_sweep_gives_a_picture_or_a_sentence(name):
    module = MODULES[name]
    settings, _ = start(module)
    drawn = 0
    for control in module.CONTROLS:
        for value in control.ends(getattr(settings, control.name)):
            try:
                result = module.compute(dataclasses.replace(settings, **{control.name: value}))
            except MosaicError as told:
                assert str(told).endswith("."), f"{control.name} = {value}: not a sentence: {told}"
                assert any(words in str(told) for words in control.refuses), f"{control.name} = {value}: {told}"
                continue
            tree = ElementTree.fromstring(to_svg(module.draw(result)))
            assert tree.find("{http://www.w3.org/2000/svg}title").text
            rows = module.report(result)
            assert rows and all(isinstance(row.label, str) and row.label for row in rows)
            assert module.summary(result)
            drawn += 1
    assert drawn > len(module.CONTROLS)


@pytest.mark.parametrize("name", MEASURED)
def test_a_bad_value_is_told_and_nothing_is_lost(name):
    _, lesson = start(MODULES[name])
    control = next(c for c in MODULES[name].CONTROLS if type(c) is Length)
    before = lesson.settings, lesson.picture.value
    lesson.fields[control.name].box.value = "a handful <b>"
    assert "a handful" in lesson.message.value and "<b>" not in lesson.message.value
    assert (lesson.settings, lesson.picture.value) == before
    lesson.fields[control.name].accept(control.high)
    assert lesson.settings != before[0]


@pytest.mark.parametrize("name", MEASURED)
def test_inches_change_what_is_shown_and_nothing_else(name):
    _, lesson = start(MODULES[name])
    before = lesson.settings
    lesson.unit_switch.value = "in"
    assert lesson.settings == before
    assert any(" in" in field.box.value for field in lesson.fields.values() if type(field.control) is Length)


def test_an_unexpected_error_is_told_and_raised_again():
    _, lesson = start(MODULES["w00_start"])

    def broken(settings):
        raise ZeroDivisionError

    lesson.compute = broken
    with pytest.raises(ZeroDivisionError):
        lesson.refresh()
    assert "Something went wrong inside the workbook" in lesson.message.value


@pytest.mark.parametrize("question", QUESTIONS)
def test_right_answers_are_right_for_every_learner(question):
    for seed in SEEDS:
        values = question.values(seed)
        right = question.answer(values)
        said = right if isinstance(right, str) else f"{right:.10f}"
        judged = question.judge(values, said, question.unit)
        assert judged.right, (seed, values, right)
        assert question.ask(values) and "{" not in question.ask(values)
        assert judged.words.startswith("Right")


@pytest.mark.parametrize("question", QUESTIONS)
def test_every_slip_is_told_apart_from_right(question):
    assert question.slips
    for slip in question.slips:
        for seed in SEEDS:
            values = question.values(seed)
            wrong = slip.value(values)
            said = wrong if isinstance(wrong, str) else f"{float(wrong):.10f}"
            judged = question.judge(values, said, question.unit)
            assert not judged.right and judged.slip == slip.name, (slip.name, seed, values, wrong)
            assert slip.told in judged.words


@pytest.mark.parametrize("question", [q for q in QUESTIONS if q.values[0].units])
def test_a_mistaken_unit_is_a_slip(question):
    for seed in SEEDS:
        values = question.values(seed)
        for unit in set(question.units) - {question.unit}:
            judged = question.judge(values, f"{question.answer(values):.10f}", unit)
            assert not judged.right and judged.slip == "unit", (seed, unit)


@pytest.mark.parametrize("question", QUESTIONS)
def test_learners_get_different_numbers(question):
    assert len({question.ask(question.values(seed)) for seed in SEEDS}) >= 5


def test_dragging_the_ready_made_ring_never_breaks():
    page = MODULES["w02_rows"]
    ring = page.compute(page.Settings(shape="ring"))
    rng = np.random.default_rng(0)
    torn = [(164.8, 104.5), *page.handles(ring)[1:]]
    for _ in range(60):
        page.compute(page.moved(ring, torn, held=True))
        torn = page.handles(ring)
        torn[rng.integers(len(torn))] = tuple(rng.uniform((0, 0), (200, 150)).round(1))


def test_a_refused_value_is_told_until_it_is_mended():
    page = Lesson.of(w00_start)
    page.fields["width"].box.value = "a bit"
    assert "mosaic-stale" in page.picture._dom_classes
    page.fields["tile"].accept(25.0)
    assert "a bit" in page.message.value and "mosaic-stale" in page.table._dom_classes
    page.unit_switch.value = "in"
    assert page.fields["width"].box.value == "a bit"
    page.fields["width"].accept("10 in")
    assert page.message.value == "" and "mosaic-stale" not in page.picture._dom_classes


@pytest.mark.parametrize("module", [w01_joints, w06_piece, w06_lines])
def test_a_page_in_inches_tells_every_length_in_inches(module):
    lesson = Lesson.of(module)
    lesson.unit_switch.value = "in"
    bare = re.compile(r"(?<![(\d.x -])\b\d+(?:\.\d+)? mm\b")
    told_words = [*lesson.text().splitlines(), *re.findall(r"<text[^>]*>([^<]*)</text>", lesson.picture.value)]
    for line in told_words:
        outside = re.sub(r"\([^()]*\)", "", line)
        assert not bare.search(outside) or "squares" in line, line


def test_a_piece_that_becomes_a_vessel_leaves_its_band_out_until_it_is_a_pane_again():
    page = Lesson.of(w06_piece)
    page.fields["glass"].accept("a four-sided vessel")
    assert page.said == "" and "left out" in " ".join(plain_report(w06_piece.report(page.result)))
    page.fields["glass"].accept("a pane")
    assert page.result.plan.glass[0].bands  # it was not lost


def test_a_spacer_outside_the_limits_is_told():
    """290 + 1.5 mm and 13 tiles leave 2.25 mm; of US coins the nickel of 1.95 mm is nearest."""
    settings = w01_joints.Settings(limits=(2.2, 2.3), stick=4.0, span=291.5)
    rows = {row.label: row for row in w01_joints.report(w01_joints.compute(settings))}
    assert "outside your limits of 2.2 to 2.3 mm" in str(rows["Spacer"].verdict)
    usual = {row.label: row for row in w01_joints.report(w01_joints.compute(w01_joints.Settings()))}
    assert "outside" not in str(usual["Spacer"].verdict)


@pytest.mark.parametrize("number", [number for number in PARTS if PARTS[number].questions])
def test_a_workbook_asks_enough_and_is_named_where_readers_look(number):
    assert len(asked(number)) >= 5
    (book,) = (ROOT / "workbooks").glob(f"{number}_*.ipynb")
    assert f"`{book.stem}`" in (ROOT / "README.md").read_text(encoding="utf-8")
    assert book.name in (ROOT / "workbooks" / "00_start_here.ipynb").read_text(encoding="utf-8")


def test_a_plan_of_another_kind_of_glass_is_not_turned_into_one_that_the_page_knows():
    plan = w06_plan.start().base

    class BowlPart(type(plan.glass[0])):
        kind: Literal["bowl"] = "bowl"

    bowl = BowlPart(**plan.glass[0].model_dump(exclude={"kind"}))
    strange = plan.model_copy(update={"glass": [bowl]})
    with (
        warnings.catch_warnings(action="ignore"),
        pytest.raises(MosaicError, match="of the kind bowl, which this page does not show"),
    ):
        w06_settings.settings_of(strange)


def rows_of(**changes):
    """Return the report of lesson 02, part two, by its labels; what is left open by itself."""
    lesson = MODULES["w02_rows"]
    result = lesson.compute(lesson.Settings(**changes))
    lines = lesson.report(result)
    return result, {row.label: row for row in lines}, [str(row.verdict) for row in lines if row.label == "Left open"]


def test_answers_to_the_tasks_of_lesson_02_are_what_it_computes():
    cells = json.loads((ROOT / "workbooks" / "02_cut_wedges_on_curves.ipynb").read_text("utf-8"))["cells"]
    tasks = next("".join(cell["source"]) for cell in cells if cell["id"] == "tasks")
    kinds = {corner: rows_of(shape="frame", corner=corner) for corner in CORNERS}
    count = {corner: found.rows.pieces["kind"].value_counts() for corner, (found, _, _) in kinds.items()}
    assert f"{count['mitre']['corner']} of {count['mitre'].sum()} pieces are cut on the bisector" in tasks
    assert f"corner of each row: {count['square']['corner']} of {count['square'].sum()}" in tasks
    fan, open_ = count["fan"], len(kinds["fan"][0].layout.gaps)
    assert (
        f"{fan['fan']} pieces turn round the outside, {fan['corner']} are still cut on the inside, and {open_}" in tasks
    )
    (bare, _, none), (_, _, half), (outlined, _, quarter) = (
        rows_of(outline=one) for one in ("none", "half", "quarter")
    )
    assert not none and not quarter and "inside radius 10 mm: a wedge would be narrower than 7 mm" in half[0]
    assert f"{len(outlined.rows)} pieces in the rows instead of {len(bare.rows)}" in tasks
    bond, _, _ = rows_of(outline="quarter", pattern="running bond")
    assert bond.rows.pieces.equals(outlined.rows.pieces), "they stay where they are when the field changes"
    (_, fine, _), (_, coarse, _) = rows_of(step=0.5), rows_of(step=1.0)
    gauges = fine["Gauges"].value, coarse["Gauges"].value
    assert "The 52 wedges are cut by {} gauges at 0.5 mm, by {} at 1 mm".format(*gauges) in tasks
    assert "for 52 wedges" in str(coarse["Gauges"].verdict) and "at most 0.5 mm" in str(coarse["Gauges"].verdict)


def test_answers_to_the_tasks_on_round_glass_are_what_it_computes():
    cells = json.loads((ROOT / "workbooks" / "02_cut_wedges_on_curves.ipynb").read_text("utf-8"))["cells"]
    tasks = next("".join(cell["source"]) for cell in cells if cell["id"] == "tasks")
    lesson = MODULES["w02_on_round"]

    def found(**changes):
        return lesson.compute(lesson.Settings(**changes))

    whole, half, thick = found(), found(fraction="half"), found(thickness=8.0)
    assert (
        f"stands {whole.gap:.2f} mm off at its edges, so the bed would be {float(whole.seat.deepest):.2f} mm" in tasks
    )
    assert f"stands {half.gap:.2f} mm off" in tasks and whole.gap / half.gap == pytest.approx(4, rel=0.05)
    near, far = found(girth=255.0), found(girth=265.0)
    assert near.seat.deepest < 2 < 4 < near.seat.face_joint and (near.best, far.best) == ("half", "whole")
    assert f"the joint opens to {float(near.seat.face_joint):.2f} mm at the face" in tasks
    assert thick.gap == whole.gap and f"the joint opens to {float(thick.seat.face_joint):.2f} mm" in tasks
    assert thick.best == "third"
    inside = found(girth=400.0, side="inside")
    assert f"by {inside.gap:.1f} mm, and the joint closes" in tasks and inside.best == "half"
    assert f"to {float(inside.seat.face_joint):.1f} mm at the face" in tasks


def test_gauges_of_lesson_02_are_counted_as_the_hand_would_sort_its_wedges():
    result, rows, _ = rows_of(shape="leaf", step=0.4, corner="fan")
    pieces = result.rows.pieces
    cut = pieces[pieces["kind"].isin(["wedge", "fan"])]
    heaps = {(round(wide / 0.4), round(narrow / 0.4)) for wide, narrow in zip(cut["width"], cut["narrow"], strict=True)}
    assert rows["Gauges"].value == len(heaps) and f"{len(cut)} wedges and fan pieces" in str(rows["Gauges"].verdict)
    assert rows_of(cut="as bought")[1]["Gauges"].value == 0


@pytest.mark.parametrize("pattern", ["grid", "running bond"])
def test_an_outline_row_of_lesson_02_has_the_field_s_colour_behind_any_pattern(pattern):
    result, _, _ = rows_of(outline="quarter", pattern=pattern, field=24.0)
    rows = result.layout.pieces[result.layout.pieces["band"] == "rows"]
    white = rows["colour"] == "milk white"
    assert set(rows.loc[white, "row"]) == {1, 5} and set(rows.loc[~white, "row"]) == {2, 3, 4}
    assert set(rows.loc[white, "tile"]) == {24.0} and len(result.spec) == 5


def bars(drawing):
    """Return left and right of every magnified bar, from the left edge of the layout [mm]."""
    (item,) = [item for item in drawing.items if getattr(item, "name", "") == "magnified"]
    return shapely.bounds(item.shapes)[:, [0, 2]] - drawing.origin[0]


def test_the_drift_is_drawn_ten_times_as_large_where_it_is_asked_for():
    settings = w01_joints.Settings(drift="10 times as large")
    found = w01_joints.compute(settings)
    ends = shapely.bounds(found.layout.shapes)[:, 2].reshape(found.down.count, -1)[::-1, -1]  # lowest row first
    should = found.across.edge + 13 * 20 + 12 * found.across.joint
    drawn = w01_joints.draw(found)
    left, right = bars(drawn).T
    assert np.allclose(np.where(left < should - 1e-9, left, right) - should, 10 * (ends - should))
    assert right.max() + drawn.origin[0] < drawn.width  # none is cut
    assert "drawn 10 times as large" in to_svg(drawn)
    plain = to_svg(w01_joints.draw(w01_joints.compute(w01_joints.Settings())))
    assert "magnified" not in plain and "10 times" not in plain


@pytest.mark.parametrize(
    ("shape", "cut"), [("straight", "cut to wedges"), ("ring", "as bought"), ("wave", "as bought")]
)
def test_the_joint_of_the_rows_that_opens_most_is_shown_magnified(shape, cut):
    settings = w02_rows.Settings(shape=shape, cut=cut, count=1, magnified=True)
    found = w02_rows.compute(settings)
    drawn, plain = (
        w02_rows.draw(found),
        w02_rows.draw(dataclasses.replace(found, settings=w02_rows.Settings(shape=shape))),
    )
    named = {item.name: item.shapes for item in drawn.items if getattr(item, "name", "") in ("ringed", "magnified")}
    times = int(re.search(r"ringed joint, (\d+) times as wide", to_svg(drawn))[1])
    corners = shapely.get_coordinates(named["magnified"]) / times
    inside, outside = (
        np.ptp(corners[np.isclose(corners[:, 1], y), 0]) for y in (corners[:, 1].min(), corners[:, 1].max())
    )
    ring = shapely.transform(named["ringed"][0], lambda xy: xy - drawn.origin)
    apart = shapely.distance(found.rows.shapes[:-1], found.rows.shapes[1:])  # one row: neighbours follow each other
    between = shapely.centroid(shapely.shortest_line(found.rows.shapes[:-1], found.rows.shapes[1:]))
    assert inside == pytest.approx(apart[shapely.contains(ring, between)], abs=0.02)
    assert outside - inside == pytest.approx(0, abs=1e-6) if shape == "straight" else outside > inside + 0.1
    held = w02_rows.draw(dataclasses.replace(found, settings=dataclasses.replace(settings, moving=True)))
    # 0.45 of 200 mm; a key more or less changes the letters a little, never by the hundredth that would change the scale
    assert [drawn.width, held.width] == pytest.approx([plain.width + 90] * 2, rel=0.01)
    assert not any(getattr(item, "name", "") == "magnified" for item in (*held.items, *plain.items))


def test_rows_along_a_line_bear_the_numbers_that_the_report_speaks_of():
    found = w02_rows.compute(w02_rows.Settings(count=3))
    said = [item.words for item in w02_rows.draw(found).items if getattr(item, "name", "") == "row"]
    assert said == ["1", "2", "3"]
