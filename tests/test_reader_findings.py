"""What a fresh reader of the pages found wrong, kept from coming back."""

import json
import re

import pytest

from mosaiclib.errors import MosaicError
from mosaiclib.glass import FourSided, Pane
from mosaiclib.job import Plan, command, work_out
from mosaiclib.job.sheets import piece_sheets
from mosaiclib.layout import Tile, lay_faces
from mosaiclib.lesson.controls import read_number, read_readings
from mosaiclib.lesson.page import Lesson
from mosaiclib.lessons import w00_start, w01_joints, w06_plan
from mosaiclib.lessons.w06_plan import GLASS
from mosaiclib.reference import DATA
from mosaiclib.report import plain_report
from mosaiclib.units import mm, text, told


@pytest.mark.parametrize(
    ("typed", "unit", "wanted"),
    [
        ("7 1/8", "in", (7.125 * 25.4,)),
        ("3 1/2; 3 1/2; 3 1/2", "in", (88.9, 88.9, 88.9)),
        ("90 mm; 90 mm", "mm", (90, 90)),
        ("9 cm, 9 cm", "mm", (90, 90)),
        ("3/4 in 3/4 in", "mm", (19.05, 19.05)),
        ("3\u00bd 7", "in", (88.9, 177.8)),
        ("162 161.5 161", "mm", (162, 161.5, 161)),
    ],
)
def test_lists_keep_fractions_and_units(typed, unit, wanted):
    assert read_readings(typed, unit) == pytest.approx(wanted)


@pytest.mark.parametrize("typed", ["-3 4", "3 # 4", "2 mm 3 kg", "1/2/3"])
def test_odd_lists_are_refused(typed):
    with pytest.raises(MosaicError):
        read_readings(typed)


@pytest.mark.parametrize("rule", ["equal", "joint"])
def test_laps_that_do_not_reach_the_edge_are_refused(rule):
    vessel = FourSided(160, 120, 140, 5, 8, corner="front laps", lap=4.8, corner_joint=2)
    with pytest.raises(MosaicError, match="must reach its edge"):
        lay_faces(vessel, Tile(20, 4), 2, (1, 3), edge_rule=rule)
    laid = lay_faces(vessel, Tile(20, 4), 2, (1, 3), border="cut")
    front, right = vessel.faces[:2]
    ends = [s.bounds[2] for s, face in zip(laid.shapes, laid.pieces["face"], strict=True) if face == "front"]
    assert max(ends) == pytest.approx(front.x + front.width)
    assert right.x - max(ends) == pytest.approx(2)


def test_a_vessels_template_reaches_from_foot_to_rim():
    plan = Plan.load(DATA / "example_plan.json")
    worked = work_out(plan)
    vessel = worked.pieces[1].glass
    assert isinstance(vessel, FourSided) and vessel.rim_margin == 8
    sheet = next(s for s in piece_sheets(worked) if s.face == "front")
    words = " ".join(item.words for page in sheet.template for item in page.items if hasattr(item, "words"))
    words += " ".join(str(item) for page in sheet.template for item in page.items)
    assert "behind the glass" not in words
    assert re.search(r"\b140 mm\b", words) and not re.search(r"\b132 mm\b", words)


def test_a_refused_value_is_told_until_it_is_mended():
    page = Lesson.of(w00_start)
    page.fields["width"].box.value = "a bit"
    assert "mosaic-stale" in page.picture._dom_classes
    page.fields["tile"].accept(25.0)
    assert "a bit" in page.message.value and page.echo.value
    page.unit_switch.value = "in"
    assert page.fields["width"].box.value == "a bit"
    page.fields["width"].accept("10 in")
    assert page.message.value == "" and "mosaic-stale" not in page.picture._dom_classes


def test_a_pane_template_keeps_its_margin():
    assert Pane(300, 200, margin=10).strip.bounds == (10, 10, 290, 190)


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        (text("joints from ", mm(1.5, 2.5)), "joints from 0.059 to 0.098 in (1.5 to 2.5 mm)"),
        (text("a face of ", mm(254, 127, between=" x ")), "a face of 10 x 5 in"),
        ("'19 mm' is not", "'19 mm' is not"),  # what was typed is quoted as it was
        ("400 mm2 and 3 mm/m", "400 mm2 and 3 mm/m"),
        ("28 mL", "28 mL"),
    ],
)
def test_lengths_in_sentences_follow_the_unit_of_the_page(words, wanted):
    assert told(words, "in") == wanted and told(words) == str(words)


@pytest.mark.parametrize("module", [w01_joints, w06_plan])
def test_a_page_in_inches_tells_every_length_in_inches(module):
    lesson = Lesson.of(module)
    lesson.unit_switch.value = "in"
    bare = re.compile(r"(?<![(\d.x -])\b\d+(?:\.\d+)? mm\b")
    told_words = [*lesson.text().splitlines(), *re.findall(r"<text[^>]*>([^<]*)</text>", lesson.picture.value)]
    for line in told_words:
        outside = re.sub(r"\([^()]*\)", "", line)
        assert not bare.search(outside) or "squares" in line, line


def test_answers_may_be_fractions():
    assert read_number("1 1/2", "answer") == 1.5 and read_number("3/4", "answer") == 0.75
    assert read_number("1,5", "answer") == 1.5


def test_what_is_written_tells_water_grid_notes_and_shortages(tmp_path):
    plan = json.loads((DATA / "example_plan.json").read_text(encoding="utf-8"))
    plan["tile"]["colours"][0] |= {"more": False}
    command.write(work_out(Plan.made(**plan)), tmp_path)
    said = (tmp_path / "overview.csv").read_text(encoding="utf-8-sig")
    for words in ("Water to add", "planter, left", "joint 2", "neither covers the other"):
        assert words in said, words
    assert "short" in (tmp_path / "colours.csv").read_text(encoding="utf-8-sig").splitlines()[0]
    assert "width [mm]" in (tmp_path / "cut_list.csv").read_text(encoding="utf-8-sig").splitlines()[0]


def test_old_sheets_go_and_what_others_put_there_stays(tmp_path):
    plan = json.loads((DATA / "example_plan.json").read_text(encoding="utf-8"))
    command.write(work_out(Plan.made(**plan)), tmp_path)
    (tmp_path / "mine.pdf").write_text("mine")
    assert any(path.name.startswith("planter") for path in tmp_path.iterdir())
    plan["glass"] = plan["glass"][:1]
    command.write(work_out(Plan.made(**plan)), tmp_path)
    assert not any(path.name.startswith("planter") for path in tmp_path.iterdir())
    assert (tmp_path / "mine.pdf").exists()


def test_the_vessel_alone_needs_no_change_of_the_band():
    page = Lesson.of(w06_plan)
    page.fields["glass"].accept(GLASS[1])
    assert page.said == "" and "left out" in " ".join(plain_report(w06_plan.report(page.result)))
    page.fields["glass"].accept(GLASS[2])
    assert page.result.worked.plan.glass[0].bands  # it was not lost


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"filler": {"bead": -1}}, "'filler, bead' must be at least 0, not -1"),
        ({"adhesive": {"coverage": 1.5}}, "must be at most 1, not 1.5"),
    ],
)
def test_limits_are_told_in_words(change, words):
    plan = json.loads((DATA / "example_plan.json").read_text(encoding="utf-8"))
    with pytest.raises(MosaicError, match=re.escape(words)):
        Plan.made(**plan | change)


def test_a_missing_plan_names_those_that_are_there(tmp_path):
    Plan.load(DATA / "example_plan.json").save(tmp_path / "lamp.json")
    with pytest.raises(MosaicError, match=r"no file called door\.json here\. There are: lamp\."):
        Plan.load(tmp_path / "door.json")


def test_a_spacer_outside_the_limits_is_told():
    """290 + 1.5 mm and 13 tiles leave 2.25 mm; of US coins and pairs the half dollar of 2.15 mm is nearest."""
    settings = w01_joints.Settings(limits=(2.2, 2.3), stick=4.0, span=291.5)
    rows = {row.label: row for row in w01_joints.report(w01_joints.compute(settings))}
    assert "outside your limits of 2.2 to 2.3 mm" in str(rows["Spacer"].verdict)
    usual = {row.label: row for row in w01_joints.report(w01_joints.compute(w01_joints.Settings()))}
    assert "outside" not in str(usual["Spacer"].verdict)
