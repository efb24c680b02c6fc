"""Sheets at true scale: what a PDF says when it is read back, and files that are complete or not there."""

import io
import os
import re
import xml.etree.ElementTree as ET

import numpy as np
import pdfplumber
import pypdf
import pytest
import shapely

from mosaiclib.drawing import (
    PAPERS,
    Drawing,
    Lines,
    Text,
    Window,
    face_template,
    files,
    pages,
    segments,
    template_sheets,
    to_svg,
    write_pdf,
    write_svg,
)
from mosaiclib.errors import MosaicError
from mosaiclib.layout import lay_grid

POINT = 72 / 25.4  # [points/mm]
EXACT = 0.05  # [mm] what may be off on a sheet


def grid(width, height):
    layout = lay_grid(shapely.box(0, 0, width, height), 20, 2)
    return layout.coloured([("sea green", "clear", "amber")[i % 3] for i in range(len(layout))])


def pdf_of(sheets):
    buffer = io.BytesIO()
    write_pdf(sheets, buffer)
    return buffer.getvalue()


def lines_on(page):
    """Return the level lines on a page as (x0, x1, y) [mm], y from the foot."""
    found = []
    for line in (*page.lines, *page.curves):
        points = np.array(line["pts"]) / POINT
        if len(points) == 2 and abs(points[0, 1] - points[1, 1]) < 0.001:
            y = float(page.height) / POINT - points[0, 1]
            found.append((points[:, 0].min(), points[:, 0].max(), y))
    return found


@pytest.fixture(scope="module")
def large():
    """A pane that takes several sheets, its sheets, and their PDF."""
    layout = grid(504, 394)
    sheets = template_sheets(
        layout, name="Pane", dry_lay=True, notes=["Tape the sheets together."], cautions=["Glass cuts."]
    )
    return layout, sheets, pdf_of(sheets)


@pytest.mark.parametrize("paper", list(PAPERS))
class TestPaper:
    def test_page_size_is_exact(self, paper):
        reader = pypdf.PdfReader(io.BytesIO(pdf_of(template_sheets(grid(150, 130), paper, name="front"))))
        size = [float(side) / POINT for side in reader.pages[0].mediabox[2:]]
        # ISO 216; ASME Y14.1, sizes A (8 1/2 in by 11 in) and B (11 in by 17 in)
        sizes = {"A4": (210, 297), "A3": (297, 420), "Letter": (215.9, 279.4), "Tabloid": (279.4, 431.8)}
        expected = sizes[paper]
        assert sorted(size) == pytest.approx(expected, abs=0.001)

    def test_bars_are_true(self, paper):
        with pdfplumber.open(io.BytesIO(pdf_of(template_sheets(grid(150, 130), paper, name="front")))) as book:
            lengths = [x1 - x0 for x0, x1, _ in lines_on(book.pages[0])]
        for wanted in (100.0, 4 * 25.4):
            assert any(abs(length - wanted) < EXACT for length in lengths)

    def test_bars_are_true_in_the_svg(self, paper):
        sheet = template_sheets(grid(150, 130), paper, name="front")[0]
        root = ET.fromstring(to_svg(sheet, scale="true"))
        assert (
            root.get("width") == f"{sheet.width:.7g}mm"
            and root.get("viewBox") == f"0 0 {sheet.width:.7g} {sheet.height:.7g}"
        )
        bars = [p.get("d") for p in root.iter() if p.get("class") == "bar" and p.get("d")]
        ends = [np.array(re.findall(r"[\d.]+", bar), float) for bar in bars]
        assert [end[2] - end[0] for end in ends] == pytest.approx([100.0, 101.6], abs=0.001)


class TestPdf:
    def test_print_scaling_is_off(self, large):
        root = pypdf.PdfReader(io.BytesIO(large[2])).trailer["/Root"]
        assert root["/ViewerPreferences"]["/PrintScaling"] == "/None"

    def test_same_bytes_twice(self, large):
        assert pdf_of(large[1]) == large[2]

    def test_each_page_says_what_it_is(self, large):
        with pdfplumber.open(io.BytesIO(large[2])) as book:
            texts = [page.extract_text() for page in book.pages]
        for i, text in enumerate(texts, 1):
            assert "Pane: dry lay, seen from the front" in text
            assert f"sheet {i} of {len(texts)}: row " in text
            assert "top" in text and "rim" in text and "Printed side towards the glass." in text
            assert "Measure this bar: 100 mm" in text and "Measure this bar: 4 in" in text
            assert "actual size" in text and "Glass cuts." in text
            assert ("Tape the sheets together." in text and "sea green: " in text) == (i == 1)

    def test_inches_are_told_of_the_face_and_not_of_the_bars(self):
        sheets = template_sheets(grid(127, 63.5), name="a 12 mm fish", unit="in")
        with pdfplumber.open(io.BytesIO(pdf_of(sheets))) as book:
            words = book.pages[0].extract_text()
        assert "a 12 mm fish: 5 x 2 1/2 in" in words and "127 mm" not in words and "63.5 mm" not in words
        assert "Measure this bar: 100 mm" in words and "a 12 mm fish" in words

    def test_long_words_which_side_faces_the_glass_are_whole(self):
        faces = "stands inside against the wall of the vessel, printed side towards the glass, upper edge level with its rim"
        sheet = template_sheets(grid(150, 130), name="front", faces=faces)[0]
        said = [item.words for item in sheet.items if isinstance(item, Text) and item.name == "side"]
        assert " ".join(said) == f"This sheet {faces}." and len(said) == 2

    def test_every_piece_is_numbered(self, large):
        layout, sheets, _ = large
        shown = {t.words for sheet in sheets for t in words_in(sheet) if t.name == "number"}
        assert shown == {str(i + 1) for i in range(len(layout))}

    def test_every_number_can_be_read_back(self):
        layout = grid(152, 130)
        with pdfplumber.open(io.BytesIO(pdf_of(template_sheets(layout, name="front")))) as book:
            words = {word["text"] for word in book.pages[0].extract_words()}
        assert {str(i + 1) for i in range(len(layout))} <= words


def words_in(sheet):
    window = next(item for item in sheet.items if isinstance(item, Window))
    return [item for item in window.items if isinstance(item, Text)]


class TestTiling:
    def test_a_line_across_the_sheets_can_be_measured_again(self):
        length, lap = 480.0, 10.0
        drawing = Drawing(500, 40, "A line", "", (Lines(segments([10, 20, 10 + length, 20]), "#000000", 0.3),))
        sheets = pages(drawing, heading="Line", overlap=lap)
        with pdfplumber.open(io.BytesIO(pdf_of(sheets))) as book:
            heights = [low + 20 for _, low, _, _ in windows(sheets)]
            parts = [
                x1 - x0
                for page, height in zip(book.pages, heights, strict=True)
                for x0, x1, y in lines_on(page)
                if abs(y - height) < 0.01
            ]
        parts = [part for part in parts if part > 20]  # the arms of the crosses are 8 mm
        assert len(sheets) > 1 and len(parts) == len(sheets)
        assert sum(parts) - lap * (len(sheets) - 1) == pytest.approx(length, abs=EXACT)

    @pytest.mark.parametrize("size", [(150, 130), (300, 100), (504, 394), (200, 700), (1000, 1000)])
    @pytest.mark.parametrize("paper", list(PAPERS))
    def test_parts_cover_the_drawing_and_lie_inside_the_margins(self, size, paper):
        drawing = Drawing(*size, "")
        sheets = [sheet for sheet in pages(drawing, paper, heading="x") if "true scale" in str(sheet.description)]
        boxes = windows(sheets)
        assert sum((b[2] - b[0]) * (b[3] - b[1]) for b in boxes) >= size[0] * size[1] - 1e-6
        for sheet, (x0, y0, x1, y1) in zip(sheets, boxes, strict=True):
            assert min(x0, y0, sheet.width - x1, sheet.height - y1) >= 10

    def test_crosses_lie_on_the_same_points_of_the_drawing(self):
        drawing = Drawing(504, 394, "", "", (Lines(segments([[0, 0, 504, 0], [0, 0, 0, 394]])),))
        seen = {}
        for sheet in pages(drawing, heading="x"):
            place = next(i.words for i in sheet.items if isinstance(i, Text) and i.name == "place")
            row, rows, column, _ = map(int, re.search(r"row (\d+) of (\d+), column (\d+) of (\d+)", place).groups())
            x0, y0, x1, y1 = next(i.box for i in sheet.items if isinstance(i, Window))
            at = ((column - 1) * (x1 - x0 - 10), (rows - row) * (y1 - y0 - 10))
            crosses = next(
                i for i in sheet.items if isinstance(i, Lines) and i.name == "register" and len(i.paths) % 2 == 0
            )
            for middle in shapely.get_coordinates(shapely.centroid(crosses.paths[::2])):
                point = tuple(np.round(middle - (x0, y0) + at, 3).tolist())
                seen[point] = seen.get(point, 0) + 1
        assert set(seen.values()) <= {2, 4}

    def test_way_with_fewer_sheets(self):
        assert pages(Drawing(250, 100, ""), heading="x")[0].width == 297
        assert pages(Drawing(100, 200, ""), heading="x")[0].width == 210

    def test_geometry_outside_is_left_out(self, large):
        _, sheets, _ = large
        whole = len(to_svg(face_template(grid(504, 394), name="Pane")))
        assert max(len(to_svg(sheet)) for sheet in sheets) < 0.6 * whole

    @pytest.mark.parametrize(
        ("how", "words"),
        [
            ({"paper": "A5"}, "A4, A3, Letter, Tabloid"),
            ({"overlap": 1}, "overlap"),
            ({"notes": ["A long sentence. " * 600]}, "shorten"),
        ],
    )
    def test_what_cannot_be(self, how, words):
        with pytest.raises(MosaicError, match=words):
            pages(Drawing(500, 400, ""), heading="x", **how)

    def test_far_too_many_sheets(self):
        with pytest.raises(MosaicError, match="sheets"):
            pages(Drawing(20_000, 20_000, ""), heading="x")


def windows(sheets):
    return [next(item.box for item in sheet.items if isinstance(item, Window)) for sheet in sheets]


class TestFiles:
    def test_pdf_is_written_and_replaced(self, tmp_path, large):
        path = tmp_path / "sheets.pdf"
        path.write_bytes(b"old")
        write_pdf(large[1], path)
        assert path.read_bytes() == large[2] and os.listdir(tmp_path) == ["sheets.pdf"]

    def test_missing_folder(self, tmp_path):
        with pytest.raises(MosaicError, match="no folder 'none'"):
            write_pdf([Drawing(10, 10, "")], tmp_path / "none" / "a.pdf")
        assert os.listdir(tmp_path) == []

    def test_nothing_half_written_when_writing_fails(self, tmp_path, monkeypatch):
        def full(*_):
            raise OSError(28, "No space left on device")

        path = tmp_path / "a.pdf"
        path.write_bytes(b"old")
        monkeypatch.setattr(files.os, "replace", full)
        with pytest.raises(MosaicError, match=r"'a\.pdf' could not be written: No space left"):
            write_pdf([Drawing(10, 10, "")], path)
        assert path.read_bytes() == b"old" and os.listdir(tmp_path) == ["a.pdf"]

    def test_svg_names_are_safe(self, tmp_path):
        sheets = [Drawing(210, 297, "a"), Drawing(210, 297, "b")]
        found = write_svg(sheets, tmp_path, "../Füße: <1> / rim?")
        assert [path.name for path in found] == ["Füße-1-rim-01.svg", "Füße-1-rim-02.svg"]
        assert sorted(os.listdir(tmp_path)) == ["Füße-1-rim-01.svg", "Füße-1-rim-02.svg"]
        assert ET.fromstring(found[0].read_text("utf-8")).get("width") == "210mm"

    def test_no_sheets(self, tmp_path):
        with pytest.raises(MosaicError, match="no sheets"):
            write_pdf([], io.BytesIO())
        with pytest.raises(MosaicError, match="no sheets"):
            write_svg([], tmp_path, "a")
