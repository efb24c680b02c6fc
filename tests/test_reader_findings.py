"""What a fresh reader of the pages found wrong, kept from coming back."""

import re

import pytest

from mosaiclib.control import read_readings
from mosaiclib.errors import MosaicError
from mosaiclib.glass import FourSided, Pane
from mosaiclib.job import Plan, work_out
from mosaiclib.job.sheets import piece_sheets
from mosaiclib.layout import Tile, lay_faces
from mosaiclib.lessons import start_here
from mosaiclib.reference import DATA


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
    page = start_here.lesson()
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
