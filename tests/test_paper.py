"""Pieces as makers have them, on paper: how many sheets they take, and what their PDFs say when they are read back."""

import io
import json
import re
from pathlib import Path

import numpy as np
import pdfplumber
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from mosaiclib.drawing import PAPERS, Drawing, bound, write_pdf
from mosaiclib.drawing.paper import HEAD, MARGIN, fewest
from mosaiclib.drawing.sheets import Subject
from mosaiclib.errors import MosaicError
from mosaiclib.job import Plan, command, work_out
from mosaiclib.job.plan import SHEETS
from mosaiclib.job.sheets import piece_sheets

POINT = 72 / 25.4  # [points/mm]
EXACT = 0.05  # [mm]
PLAIN = json.loads((Path(__file__).parent / "plain_plan.json").read_text(encoding="utf-8"))
PANE = {"kind": "pane", "name": "suncatcher", "width": 180, "height": 240}
TRAY = {"kind": "pane", "name": "tray", "width": 254, "height": 355.6}  # 10 in by 14 in
VASE = {
    "kind": "four-sided vessel",
    "name": "vase",
    "widths": [90] * 3,
    "depths": [90] * 3,
    "heights": [260],
    "wall": 3,
    "base": 5,
}


def planned(*glass, side=20.0, **more):
    colours = [colour | {"more": True} for colour in PLAIN["tile"]["colours"]]
    tile = PLAIN["tile"] | {"side": side, "colours": colours}
    joint = {"least": 1, "wanted": 2, "greatest": 3.2, "edge": "equal"}
    return Plan.made(**(PLAIN | {"glass": list(glass), "tile": tile, "joint": joint} | more))


def printed(plan):
    """The sheets of a plan's one piece, and its PDF read back."""
    (sheets,) = piece_sheets(work_out(plan))
    buffer = io.BytesIO()
    write_pdf(sheets.all, buffer)
    with pdfplumber.open(buffer) as book:
        pages = list(book.pages)
        assert all(page.objects for page in pages)  # read while the file is open
    return sheets, pages


CASES = {  # plan, most sheets a kind
    "pane 180 x 240": (planned(PANE, side=15.0), 1),
    "vase 90 x 90 x 260": (planned(VASE, side=10.0), 4),
    "tray 10 x 14 in": (planned(TRAY, side=19.05, paper="Letter", unit="in"), 4),
    "tray on one large sheet": (planned(TRAY, side=19.05, paper="Tabloid", unit="in"), 1),
    "small pane": (planned(PANE | {"width": 100, "height": 100}), 1),
    "example's vessel": (planned(PLAIN["glass"][1]), 3),
    "long pane": (planned(PANE | {"width": 700, "height": 150}), 3),
}


@pytest.fixture(scope="module", params=CASES, name="case")
def _case(request):
    plan, most = CASES[request.param]
    return plan, most, *printed(plan)


def ends(page):
    """Straight level lines as x0, x1, y and upright ones as y0, y1, x [mm], y from the foot."""
    level, upright = [], []
    for line in (*page.lines, *page.curves):
        points = np.array(line["pts"]) / POINT
        points[:, 1] = float(page.height) / POINT - points[:, 1]
        if len(points) == 2:
            along, at = (0, 1) if abs(np.diff(points[:, 1])[0]) < 0.001 else (1, 0)
            (level, upright)[along].append((points[:, along].min(), points[:, along].max(), points[0, at]))
    return level, upright


def boxes(page, width, height):
    """Lower left corners of all rectangles of this size [mm] on a page, whole even where the sheet shows a part."""
    found = []
    for each in (*page.rects, *page.curves):
        x0, x1, top, bottom = (each[name] / POINT for name in ("x0", "x1", "top", "bottom"))
        if abs(x1 - x0 - width) < EXACT and abs(bottom - top - height) < EXACT:
            found.append((x0, page.height / POINT - bottom))
    return sorted({(round(x, 3), round(y, 3)) for x, y in found})


def kinds(sheets):
    return [group for group in (sheets.template, sheets.dry_lay, sheets.inside) if group]


class TestEverySheet:
    def test_few_sheets_a_kind_and_at_most_one_for_words(self, case):
        _, most, sheets, pages = case
        assert all(len(group) <= most for group in kinds(sheets)) and len(sheets.first) <= 1
        assert len(pages) == len(sheets.all)

    def test_bars_are_true_and_head_and_foot_take_30_mm(self, case):
        _, _, sheets, pages = case
        for page in pages[len(sheets.first) :]:
            level, _ = ends(page)
            lengths = [x1 - x0 for x0, x1, _ in level]
            for bar in (100.0, 4 * 25.4):
                assert any(abs(length - bar) < EXACT for length in lengths)
            wide, high = float(page.width) / POINT, float(page.height) / POINT
            rules = sorted(y for x0, x1, y in level if abs(x1 - x0 - (wide - 20)) < EXACT)
            assert len(rules) == 2 and (rules[0] - 10) + (high - 10 - rules[1]) <= 30

    def test_sheets_are_numbered_through_and_all_words_lie_inside_the_margins(self, case):
        _, _, _, pages = case
        for number, page in enumerate(pages, 1):
            assert f"sheet {number} of {len(pages)}" in page.extract_text()
            rim = MARGIN * POINT - 0.5
            inner = page.within_bbox((rim, rim, float(page.width) - rim, float(page.height) - rim))
            assert inner.extract_text() == page.extract_text()

    def test_what_is_said_once_stands_on_the_first_sheet(self, case):
        _, _, _, pages = case
        first, *others = (page.extract_text() for page in pages)
        for words in ("sea green: ", "template: "):
            assert words in first
        assert "Where each sheet lies:" in first and not any("Where each sheet lies" in text for text in others)
        assert all("safety glasses" in text for text in (first, *others))

    def test_lengths_are_told_in_the_plans_unit(self, case):
        plan, _, _, pages = case
        for page in pages:
            words = page.extract_text().replace("Measure this bar: 100 mm", "").replace("Measure this bar: 4 in", "")
            other = r"\d (mm|cm)\b" if plan.unit == "in" else r"\d (in|ft)\b"
            assert not re.search(other, words)


def test_faces_are_drawn_at_true_scale():
    for plan, size in (
        (CASES["pane 180 x 240"][0], (180, 240)),
        (CASES["tray 10 x 14 in"][0], (254, 355.6)),
        (CASES["vase 90 x 90 x 260"][0], (260, 90)),  # it lies turned
    ):
        sheets, pages = printed(plan)
        shown = pages[len(sheets.first) :][: len(sheets.template)]
        assert shown and all(len(boxes(page, *size)) == 1 for page in shown)


def test_crosses_lie_on_the_same_points_of_the_glass():
    """Measured from the pane's corner, a cross is found again on the sheet that it is laid upon."""
    sheets, pages = printed(CASES["tray 10 x 14 in"][0])
    seen = {}
    for page in pages[: len(sheets.template)]:
        ((left, low),) = boxes(page, 254, 355.6)
        level, upright = ends(page)
        middles = [((x0 + x1) / 2, y) for x0, x1, y in level if abs(x1 - x0 - 8) < EXACT]
        crosses = [
            (x, y)
            for x, y in middles
            if any(abs(x - at) < EXACT and abs(y1 - y0 - 8) < EXACT for y0, y1, at in upright)
        ]
        for point in {(round(x - left, 1), round(y - low, 1)) for x, y in crosses}:
            seen[point] = seen.get(point, 0) + 1
    assert len(seen) >= 2 and set(seen.values()) <= {2, 4}


def test_parts_overlap_and_cover_the_pane():
    sheets, _ = printed(CASES["tray 10 x 14 in"][0])
    parts = [window.box for sheet in sheets.template for window in sheet.items if type(window).__name__ == "Window"]
    heights = [high - low for _, low, _, high in parts]
    ((wide, tall),) = {
        (round(right - left, 6), round(sum(heights) - 10 * (len(parts) - 1), 6)) for left, _, right, _ in parts
    }
    assert wide >= 254 and tall >= 355.6


def test_the_arrow_of_a_turned_face_points_where_its_rim_lies():
    """The lowest numbers of a face lie at its rim; turned to the left, that is at the left."""
    _, pages = printed(CASES["vase 90 x 90 x 260"][0])
    page = pages[0]
    words = {word["text"]: word for word in page.extract_words()}
    assert words["1"]["x0"] < words["141"]["x0"]
    (arrow,) = (np.array(each["pts"]) for each in page.curves if each["fill"] and each["top"] < 70)
    tip = arrow[arrow[:, 0].argmin()]
    # the tip at the left lies halfway up
    assert tip[1] == pytest.approx((arrow[:, 1].min() + arrow[:, 1].max()) / 2, abs=0.01)


@pytest.mark.parametrize("chosen", [["dry lay"], ["template", "inside guide"], []])
def test_only_chosen_kinds_are_printed(chosen, tmp_path):
    worked = work_out(planned(VASE, side=10.0, sheets=chosen))
    names = [path.name for path in command.write(worked, tmp_path)]
    assert ("vase.pdf" in names) == bool(chosen)
    assert any("template" in name for name in names) == ("template" in chosen)
    for sheets in piece_sheets(worked):
        found = zip(SHEETS, (sheets.template, sheets.dry_lay, sheets.inside), strict=True)
        assert [kind for kind, pages in found if pages] == chosen


def test_a_file_from_before_gets_all_kinds():
    assert "sheets" not in PLAIN and Plan.made(**PLAIN).sheets == list(SHEETS)
    with pytest.raises(MosaicError, match="sheets"):
        Plan.made(**(PLAIN | {"sheets": ["poster"]}))


class TestProgress:
    def test_every_file_and_sheet_is_told_and_nothing_stands_there_before_the_end(self, tmp_path):
        told, steps = [], command.writing(work_out(planned(PANE)), tmp_path / "out")
        for words in steps:
            told.append(words)
            assert not [path for path in (tmp_path / "out").iterdir() if not path.name.startswith(".")]
        sheets = [words for words in told if words.startswith("suncatcher.pdf")]
        assert "cut_list.csv" in told and told[-1] == command.PACKED
        assert sheets == [f"suncatcher.pdf: sheet {n + 1} of {len(sheets)}" for n in range(len(sheets))] != []
        assert (tmp_path / "out" / "suncatcher.pdf").is_file()

    def test_given_up_half_way_it_leaves_nothing(self, tmp_path):
        steps = command.writing(work_out(planned(PANE)), tmp_path / "out")
        next(steps)
        steps.close()
        assert list(tmp_path.iterdir()) == []


@given(
    st.lists(st.tuples(st.floats(20, 500), st.floats(20, 500)), min_size=1, max_size=5),
    st.sampled_from(list(PAPERS)),
    st.booleans(),
)
@settings(deadline=None, max_examples=200)
def test_what_lies_on_a_sheet_lies_in_its_room_and_apart(sizes, paper, may_turn):
    turned = [(high, wide) for wide, high in sizes] if may_turn else ()
    sheets = fewest(sizes, turned, paper, lambda width: 15.0, 10.0)
    seen = [0] * len(sizes)
    for sheet in sheets:
        left, low, right, high = sheet.room
        assert sorted((sheet.width, sheet.height)) == pytest.approx(PAPERS[paper]) and low == 25 and HEAD == 15
        drawn = [shapely.box(*p.at, p.at[0] + p.size[0], p.at[1] + p.size[1]) for p in sheet.places]
        x0, y0, x1, y1 = shapely.total_bounds(drawn)
        assert x0 >= left - 1e-5 and y0 >= low - 1e-5 and x1 <= right + 1e-5 and y1 <= high + 1e-5
        assert shapely.union_all(drawn).area == pytest.approx(sum(box.area for box in drawn))
        for place in sheet.places:
            seen[place.which] += 1
    assert all(count >= 1 for count in seen)
    alone = sum(
        len(fewest([size], [size[::-1]] if may_turn else (), paper, lambda width: 15.0, 10.0)) for size in sizes
    )
    assert len(sheets) <= alone


def test_notes_that_would_cost_a_sheet_of_the_drawing_stand_apart():
    for high in range(150, 250, 4):
        notes = ["Look square on. " * 20]
        bare, told = (
            bound([Subject("x", (Drawing(180, high, ""),), notes=tuple(some))], title="x") for some in ([], notes)
        )
        assert len(bare[1]) == len(told[1]) and len(told[0]) in (0, 1)


def test_a_card_of_words_has_nothing_to_measure(tmp_path):
    command.write(work_out(planned(PANE)), tmp_path)
    with pdfplumber.open(tmp_path / "batch_card.pdf") as card:
        words = card.pages[0].extract_text()
    assert "Batch card" in words and "Measure this bar" not in words
