"""The planning command beside the bare drawing of its sheets: the same drawings through the same writer, nothing else."""

import io
import json

import matplotlib
from matplotlib.backends.backend_pdf import PdfPages

from mosaiclib.drawing import to_figure
from mosaiclib.drawing.mpl import SETTINGS
from mosaiclib.job import Plan, command, work_out
from mosaiclib.job.days import days_of
from mosaiclib.job.papers import bench_card, days_card, gauge_sheet, summary_page
from mosaiclib.job.sheets import piece_sheets
from mosaiclib.reference import DATA
from ratios import best, least

EXAMPLE = DATA / "example_plan.json"


def drawn(books):
    """Write the drawings of each piece into a PDF as matplotlib does it."""
    with matplotlib.rc_context(SETTINGS):
        for pages in books:
            with PdfPages(io.BytesIO()) as book:
                for page in pages:
                    to_figure(page).savefig(book, format="pdf")


def test_the_example_is_planned_and_written_in_twice_its_bare_drawing(told, tmp_path):
    worked = work_out(Plan.load(EXAMPLE))
    days = days_of(worked)
    books = [sheets.all for sheets in piece_sheets(worked)]
    books += [summary_page(worked, days), bench_card(worked), gauge_sheet(worked), days_card(days)]
    assert sum(map(len, books)) >= 10

    def planned():
        return command.plan(EXAMPLE, tmp_path / "out")

    planned(), drawn(books)
    ratio = least(lambda: best(planned, 3) / best(lambda: drawn(books), 3), 2.0)
    told("plan FILE over the bare drawing of its sheets", ratio, 2.0)
    assert ratio <= 2.0


def test_sheets_grow_with_the_pieces_and_no_faster(told, tmp_path):
    found = json.loads(EXAMPLE.read_text(encoding="utf-8"))

    def written(side):
        pane = {"kind": "pane", "name": "wall", "width": side, "height": side}
        colours = [colour | {"more": True} for colour in found["tile"]["colours"]]
        tile = found["tile"] | {"side": 5, "colours": colours}
        joint = {"least": 0.7, "wanted": 1, "greatest": 1.6}
        worked = work_out(
            Plan.made(**(found | {"glass": [pane], "tile": tile, "joint": joint, "sheets": ["template"]}))
        )
        return best(lambda: command.write(worked, tmp_path / str(side)), 1) / worked.count

    # what one piece costs on many sheets over what it costs on a few
    ratio = least(lambda: written(480) / written(240), 1.5)
    told("cost of a piece on sheets, 480 mm over 240 mm", ratio, 1.5)
    assert ratio <= 1.5
