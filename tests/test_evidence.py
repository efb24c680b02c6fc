"""What workbook 08 shows: the very values that the tests check, every fault in red, and answers that move as they should."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from mosaiclib.evidence import NOWHERE_PRINTED, PAGES, Verdict, answers, rows_resting_on, verdicts
from mosaiclib.lessons import PARTS, lessons, nowhere_printed, w08_guard, w08_pass, w08_printed
from mosaiclib.lessons.ideas import Checked
from mosaiclib.reference import DATA, EVIDENCE, table
from mosaiclib.report import Row, report_table
from published import CHECKS, ROOM_OF
from published.records import Check

ROOT = Path(__file__).parents[1]
# one fault a room: module, what stands there, what is put in its place
FAULTS = {
    "units": ("words.py", "INCH = 25.4", "INCH = 25.41"),
    "glass": ("glass/outlines.py", "R = (w**2 / 4 + h**2) / w", "R = (w**2 / 4 + h**2) / (0.9 * w)"),
    "layout": ("layout/wedges.py", "return (a + j) * h / (a - end)", "return a * h / (a - end)"),
    "spacing": ("spacing/rules.py", "* varied, least", "* varied / 2, least"),
    "colour": ("colour/arrangement.py", "neighbours(layout, corners)", "neighbours(layout)"),
    "adhesive": ("adhesive/cure.py", "0.61121 * np", "0.6 * np"),
    "filler": ("filler/fracture.py", "+ 0.85 * t", "+ 0.9 * t"),
    "drawing": ("drawing/palette.py", '"wcag21"', '"weber"'),
    "job": ("job/lists.py", "lb=need - 1e-9", "lb=0.9 * need"),
}
RED = "from mosaiclib.evidence import verdicts\nprint(sorted({v.room for v in verdicts() if not v.agrees}))"


def test_the_page_shows_what_the_tests_check():
    assert [each.check for each in sorted(verdicts(), key=lambda v: CHECKS.index(v.check))] == list(CHECKS)
    assert {check.subject for check in CHECKS} == set(ROOM_OF)
    assert all(each.agrees for each in verdicts())


def test_a_wrong_value_is_told_in_words_and_outside_the_band():
    wrong = Verdict(Check("joints", "a book", "p. 1", "read", "a joint", "1.95", "mm", lambda: 2.0), "spacing", 2.0)
    assert not wrong.agrees and wrong.off == pytest.approx(10) and wrong.difference == pytest.approx(0.05)
    shown = Checked([wrong])
    assert "DOES NOT AGREE" in shown._repr_html_() and repr(shown) == "joints: 0 of 1 agree"
    chosen = w08_printed.Result(w08_printed.Settings("joints"), (wrong,), (wrong,))
    assert "DOES NOT AGREE" in w08_printed.report(chosen)[0].verdict
    assert w08_printed.summary(chosen).startswith("0 of 1 agree")


def test_counts_that_differ_lie_outside_the_band_too():
    wrong = Verdict(Check("coins", "a mint", "table", "read", "kinds", "8", "coins", lambda: 7), "spacing", 7)
    assert not wrong.agrees and abs(wrong.off) > 1


def test_what_was_chosen_is_what_is_shown():
    found = w08_printed.compute(w08_printed.Settings("coins", "read"))
    assert {(each.check.subject, each.check.evidence) for each in found.chosen} == {("coins", "read")}
    none = w08_printed.compute(w08_printed.Settings("coins", "read", "W3C, CSS Color Module Level 4"))
    assert not none.chosen and "set one list back" in w08_printed.report(none)[0].verdict


def test_every_row_of_data_stands_in_one_list():
    subjects = {path.stem.partition("_")[0] for path in DATA.glob("*_*.csv")}
    assert subjects == set(PAGES)
    listed = sum(len(rows_resting_on(evidence)) for evidence in EVIDENCE)
    assert listed == sum(len(table(subject)) for subject in subjects)
    assert set(NOWHERE_PRINTED) == set(EVIDENCE) - {"read", "read second-hand"}


def test_answers_move_as_their_figures_say():
    # (10/2)^2 = 25 and (10/3)^2 = 11.1 days; 200 tiles: 5 in 100 spoilt
    days = answers()["days until the bed under a tile is cured"]
    name, low, high = days.swings()[0]
    assert name.startswith("depth") and (low, high) == (pytest.approx(100 / 9), pytest.approx(25))
    for answer in answers().values():
        widths = [high - low for _, low, high in answer.swings()]
        assert widths == sorted(widths, reverse=True)
        assert all(low <= answer.usual <= high for _, low, high in answer.swings())


def test_the_wrong_formula_passes_where_a_piece_hardly_bends():
    # arc against tangent: 2 pi^3 R/(3 N^3) to the first order, from their series
    for count in (8, 20, 60, 110):
        found = w08_guard.compute(w08_guard.Settings(count=count))
        assert found.right - found.wrong == pytest.approx(2 * 31.006 * 100 / 3 / count**3, rel=0.08)
    assert (
        w08_guard.compute(w08_guard.Settings(count=8)).guards
        and not w08_guard.compute(w08_guard.Settings(count=110)).guards
    )


def test_every_row_up_to_the_ring_told_sees_the_wrong_formula_and_beyond_it_only_by_luck():
    # the gap 2 pi^3 R/(3 N^3) is a whole tenth at N = 27.4; 15.351 and 15.325 mm (41 pieces) round apart, 13.11 and 13.09 (48) do not
    told = w08_guard.report(w08_guard.compute(w08_guard.Settings()))
    assert any("up to 27 pieces every row" in row.verdict for row in told)
    assert all(w08_guard.compute(w08_guard.Settings(count=count)).guards for count in [*range(6, 28), 41])
    assert not w08_guard.compute(w08_guard.Settings(count=48)).guards


@pytest.mark.parametrize(("scatter", "specimens"), [(25.0, 10), (40.0, 5), (15.0, 1)])
def test_passes_and_joints_under_the_limit_against_a_draw(scatter, specimens):
    import numpy as np

    found = w08_pass.compute(w08_pass.Settings(0.6, scatter, specimens))
    drawn = np.random.default_rng(8).normal(0.6, 0.6 * scatter / 100, (40_000, specimens))
    assert found.passes == pytest.approx((drawn.mean(axis=1) >= 0.5).mean(), abs=0.01)
    assert found.under == pytest.approx((drawn[:, 0] < 0.5).mean(), abs=0.01)


def test_a_figure_leads_to_its_printed_values():
    subjects, linked = set(ROOM_OF), set()
    for number in PARTS:
        for module in lessons(number).values() if number in ("01", "02", "03", "04", "05") else ():
            rows = module.report(module.compute(getattr(module, "start", module.Settings)()))
            linked |= {row.checked for row in rows if row.checked}
    assert linked <= subjects | set(NOWHERE_PRINTED) and "assumed" in linked and len(linked) > 8
    html = report_table([Row("Joint", 2.0, "mm", "good", "sizes of tiles"), Row("Tile", 20.0, "mm")])
    assert html.count("<a ") == 1 and "08_check_the_numbers.ipynb#sizes-of-tiles" in html
    assert 'id="sizes-of-tiles"' in Checked(verdicts())._repr_html_()


def test_an_assumption_leads_to_its_line():
    shown = nowhere_printed()
    assert repr(shown).count("figures") == len(NOWHERE_PRINTED)
    assumed = shown._repr_html_().partition('id="assumed"')[2].partition("</details>")[0]
    assert "bond strength on smooth glass" in assumed and "Workbooks 04" in assumed


@pytest.mark.slow
@pytest.mark.parametrize("room", FAULTS)
def test_a_fault_in_a_room_turns_a_row_of_it_red(room, tmp_path):
    for part in ("mosaiclib", "data", "tests"):
        shutil.copytree(ROOT / part, tmp_path / part, ignore=shutil.ignore_patterns("__pycache__", "browser"))
    name, right, wrong = FAULTS[room]
    file = tmp_path / "mosaiclib" / name
    said = file.read_text("utf-8")
    assert right in said
    file.write_text(said.replace(right, wrong), "utf-8")
    environment = os.environ | {"PYTHONPATH": str(tmp_path)}
    run = subprocess.run([sys.executable, "-c", RED], cwd=tmp_path, capture_output=True, text=True, env=environment)
    assert f"'{room}'" in run.stdout, run.stdout + run.stderr
