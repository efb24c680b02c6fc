"""A drawn band on a face of a plan: from the plan file to colours, lists and sheets."""

import json
import re
from dataclasses import replace

import numpy as np
import pytest

from mosaiclib.colour import CannotBe, arrange_allowed, clashes
from mosaiclib.errors import MosaicError
from mosaiclib.filler import joint_volume
from mosaiclib.glass import Face, FourSided
from mosaiclib.job import Plan, colour_counts, command, cut_list, work_out
from mosaiclib.job.bands import BandPart, RowPart, allowed_colours, lay_banded
from mosaiclib.job.sheets import inside_layout
from mosaiclib.layout import Tile, broken, neighbours
from mosaiclib.lessons import plan_a_piece as page
from mosaiclib.reference import DATA

EXAMPLE = DATA / "example_plan.json"


@pytest.fixture(scope="module")
def plan():
    return Plan.load(EXAMPLE)


@pytest.fixture(scope="module")
def worked(plan):
    return work_out(plan)


def changed(change):
    """Return the example's file with a change to its panel's band."""
    found = json.loads(EXAMPLE.read_text(encoding="utf-8"))
    found["glass"][0]["bands"][0] |= change
    return found


def test_the_example_is_what_it_says(plan, worked):
    panel = worked.pieces[0]
    assert (plan.glass[0].width, plan.glass[0].height) == (300, 200)
    rows = panel.layout.pieces[panel.layout.pieces["band"] == "rows"]
    assert rows["row"].nunique() == 3 and set(rows["fraction"]) == {"quarter"}
    assert "invented" in plan.note.lower()


def test_everything_holds_on_the_banded_panel(plan, worked):
    for part, piece in zip(plan.glass, worked.pieces, strict=True):
        assert broken(piece.layout) == []
        assert len(clashes(piece.layout)) == 0
        for colour, only in zip(piece.layout.pieces["colour"], allowed_colours(piece.layout, part.bands), strict=True):
            assert only is None or colour in only


def test_rows_and_field_touch_and_differ(worked):
    layout = worked.pieces[0].layout
    pairs = neighbours(layout)
    band = layout.pieces["band"].to_numpy()
    across = band[pairs[:, 0]] != band[pairs[:, 1]]
    assert across.sum() > 30
    colour = layout.pieces["colour"].to_numpy()
    assert (colour[pairs[:, 0]] != colour[pairs[:, 1]]).all()


def test_amounts_come_from_the_polygons(plan, worked):
    piece = worked.pieces[0]
    backs = piece.layout.areas.sum()
    assert piece.adhesive == pytest.approx(backs * plan.adhesive.bed * (1 + plan.adhesive.waste) / 1000)
    by_hand = (300 * 200 - backs) * (plan.tile.thickness + plan.adhesive.bed) / 1000
    assert piece.joints == pytest.approx(by_hand, rel=1e-6)
    assert joint_volume(piece.layout, plan.adhesive.bed) == pytest.approx(by_hand, rel=1e-6)


def test_four_quarters_are_one_tile(worked):
    counts = colour_counts(worked).set_index("colour")
    pieces = np.concatenate([p.layout.pieces["colour"].to_numpy() for p in worked.pieces])
    fractions = np.concatenate([p.layout.pieces["fraction"].to_numpy() for p in worked.pieces])
    deep = pieces == "deep blue"
    wanted = (fractions[deep] == "quarter").sum() / 4 + (fractions[deep] == "whole").sum()
    assert counts.loc["deep blue", "tiles"] == int(np.ceil(wanted))
    assert counts["placed"].sum() == worked.count


def test_numbers_on_sheets_are_those_of_the_cut_list(worked, tmp_path):
    written = command.write(worked, tmp_path)
    layout = worked.pieces[0].layout
    seen = set()
    for path in written:
        if path.name.startswith("window-panel-pane-template") and path.suffix == ".svg":
            seen |= {int(n) for n in re.findall(r'class="number"[^>]*>(\d+)<', path.read_text(encoding="utf-8"))}
    assert seen == set(cut_list(layout)["number"]) == set(range(1, len(layout) + 1))


def test_a_band_drawn_from_behind_is_the_mirrored_one():
    face, tile = Face("pane", 0, 0, 200, 100), Tile(20, 4)
    line = [[-4.0, 30.0], [60.0, 60.0], [120.0, 40.0], [204.0, 70.0]]
    rows = [RowPart(), RowPart(fraction="half"), RowPart()]
    front = lay_banded(face, BandPart(face="pane", points=line, rows=rows), tile, 2, (1.7, 2.3))
    flipped = [[200 - x, y] for x, y in line]
    behind = BandPart(face="pane", points=flipped, rows=rows[::-1], behind=True)
    back = lay_banded(face, behind, tile, 2, (1.7, 2.3))
    assert back.areas.sum() == pytest.approx(front.areas.sum(), rel=1e-9)
    assert all(a.equals_exact(b, 1e-6) for a, b in zip(front.shapes, back.shapes, strict=True))


def test_the_inside_guide_shows_the_band():
    plan = changed({})
    plan["glass"][1]["bands"] = [plan["glass"][0]["bands"][0] | {"face": "front"}]
    plan["glass"][1]["bands"][0]["points"] = [[-4.0, 40.0], [80.0, 80.0], [166.0, 50.0]]
    plan["glass"][0]["bands"] = []
    vessel = work_out(Plan.made(**plan)).pieces[1]
    assert isinstance(vessel.glass, FourSided)
    assert broken(vessel.layout) == [] and len(clashes(vessel.layout)) == 0
    guide = inside_layout(vessel.layout, vessel.glass, vessel.glass.faces[0])
    assert (guide.pieces["band"] == "rows").sum() > 30


def test_the_page_keeps_the_band_byte_for_byte(plan):
    settings = page.settings_of(plan)
    assert page.plan_of(settings).text() == plan.text() == EXAMPLE.read_text(encoding="utf-8")
    without = page.plan_of(replace(settings, band_face="none"))
    assert without.glass[0].bands == []


def test_one_colour_for_a_row_is_refused_plainly():
    rows = changed({})["glass"][0]["bands"][0]["rows"]
    rows[1]["colours"] = ["sky blue"]
    with pytest.raises(CannotBe, match=r"only be sky blue.*second colour"):
        work_out(Plan.made(**changed({"rows": rows})))


def test_arranging_with_choices_against_trying_everything_out():
    """A path of four pieces, two colours at the ends: of 3^4 colourings some do, or none."""
    path = np.array([[0, 1], [1, 2], [2, 3]])
    ends = frozenset({"a"})
    found = arrange_allowed(path, [ends, None, None, ends], {"a": 2, "b": 1, "c": 1}, np.ones(4))
    assert found[0] == found[3] == "a" and {found[1], found[2]} == {"b", "c"}
    with pytest.raises(CannotBe):
        arrange_allowed(path, [ends, None, None, ends], {"a": 2, "b": 2}, np.ones(4))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"face": "roof"}, "no face"),
        ({"face": "front"}, "no face"),
        ({"points": [[0.0, 1.0]]}, "points"),
        ({"points": [[0.0, 1.0], [1.0, 2.0, 3.0]]}, "points"),
        ({"points": [[0.0, 1.0], [0.0, 1.0]]}, "same|twice|repeat"),
        ({"points": [["0", 1.0], [5.0, 1.0]]}, "number"),
        ({"rows": []}, "rows"),
        ({"rows": [{"fraction": "fifth"}]}, "fraction"),
        ({"rows": [{"colours": ["mauve"]}]}, "mauve"),
        ({"corners": [99]}, "corner"),
        ({"width": 3}, "width"),
        ({"points": [[900.0, 900.0], [950.0, 900.0]]}, "No piece"),
    ],
)
def test_bad_bands_are_told(change, words):
    with pytest.raises(MosaicError, match=words):
        work_out(Plan.made(**changed(change)))


def test_two_bands_on_a_face_are_refused():
    plan = changed({})
    plan["glass"][0]["bands"] *= 2
    with pytest.raises(MosaicError, match=r"two bands|at most 1"):
        Plan.made(**plan)
