"""The demonstration: dates, what was seen beside what practice says, its sheets and its list read back."""

import csv
import io
from itertools import product

import pdfplumber
import pytest

from mosaiclib.errors import MosaicError
from mosaiclib.job.slides import DAYS, SEEN, SPECIMENS, TILE, WIDTHS, joints, write_record_sheet
from mosaiclib.lesson.page import Lesson
from mosaiclib.lessons import w04_slides as page
from mosaiclib.report import plain_report

POINT = 25.4 / 72  # [mm]


def told(**settings):
    return "\n".join(plain_report(page.report(page.compute(page.Settings(**settings)))))


@pytest.mark.parametrize("made", ["2026-10-20", "20.10.2026", "20 Oct 2026", " 20 October 2026 "])
def test_dates_are_read_as_they_are_typed(made):
    said = told(made=made, shown="2026-11-26")
    assert "To show in class: 37 days old" in said  # 11 days of October and 26 of November
    assert "Look on day 28: 17 Nov 2026" in said


def test_how_far_ahead_it_is_filled():
    assert "Fill them by: 29 Oct 2026" in told(shown="26.11.2026")  # 28 days before
    assert "nothing has dried yet" in told(made="26.11.2026", shown="26.11.2026")


@pytest.mark.parametrize(
    ("settings", "words"),
    [
        ({"made": "soon"}, "is no date for the day of filling"),
        ({"made": "31.02.2026"}, "is no date"),
        ({"made": "2026-11-26", "shown": "2026-11-25"}, "before the day of filling"),
        ({"seen": (("2026-11-26", "A4", "holds"),)}, "Type the day of filling"),
        ({"made": "2026-11-26", "seen": (("", "A4", "holds"),)}, "a date on each line"),
        ({"made": "2026-11-26", "seen": (("2026-11-25", "A4", "holds"),)}, "before the day of filling"),
        ({"made": "2026-11-26", "seen": (("2026-11-27", "E4", "holds"),)}, "joint"),
        ({"made": "2026-11-26", "seen": (("2026-11-27", "A4", "fine"),)}, "sign"),
        ({"made": "2026-11-26", "seen": (("2026-11-27",),)}, "joint"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(settings, words):
    with pytest.raises(MosaicError, match=words):
        page.compute(page.Settings(**settings))


def test_what_is_typed_stays_where_a_line_is_wrong(tmp_path):
    lesson = Lesson.of(page, tmp_path)
    lesson.heads[lesson.fields["seen"].control.fold].value = True
    lesson.fields["made"].accept("2026-11-01")
    lesson.fields["seen"].accept((("2026-11-08", "A4", "let go"), ("2026-11-08", "A9", "holds")))
    assert "joint" in str(lesson.said) and lesson.fields["seen"].cells[1].value == "A4"
    lesson.fields["seen"].accept((("2026-11-08", "A4", "let go"), ("2026-11-08", "a2", "holds")))
    assert not lesson.said and lesson.result.last == {"A4": "let go", "A2": "holds"}


@pytest.mark.parametrize(("joint", "seen", "day"), list(product(joints(), SEEN, (0, 7, 400))))
def test_nothing_seen_is_overruled_and_nothing_contradicts(joint, seen, day):
    one, _ = joints()[joint]
    said = page.beside(page.Look(day, joint, seen))
    expected = one.sides == "glass" and one.filler == page.PLAIN
    apart = seen in ("bright line", "let go")
    if seen == "holds":
        assert said.startswith("as practice says") != expected
    if apart:
        assert said.startswith("as practice says") == expected
    assert ("does not last" in said) == expected


def test_the_latest_look_counts():
    found = page.compute(
        page.Settings(made="2026-11-01", seen=(("2026-11-15", "A4", "let go"), ("2026-11-02", "A4", "holds")))
    )
    assert found.last == {"A4": "let go"} and [look.day for look in found.looks] == [1, 14]
    assert "Come away: A4" in page.summary(found)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_places_are_drawn_at_true_scale(paper, tmp_path):
    with pdfplumber.open(write_record_sheet(tmp_path / "slides.pdf", paper)) as pdf:
        first, *cards = pdf.pages
        sizes = [
            (round(one["width"] * POINT, 2), round(one["height"] * POINT, 2)) for one in first.curves + first.rects
        ]
        said = [card.extract_text() for card in cards]
    assert sizes.count((TILE, TILE)) == 3 * len(SPECIMENS)
    for width in WIDTHS:
        assert sizes.count((width, TILE)) == len(SPECIMENS)
    assert sizes.count((76.0, 26.0)) == len(SPECIMENS)
    assert len(said) == len(SPECIMENS)  # one card each, none cut in two
    assert all(f"Record {number} of {len(SPECIMENS)}" in words for number, words in enumerate(said, 1))
    for one, words in zip(SPECIMENS, said, strict=True):
        assert one.words in words and all(f"Day {day}" in words for day in DAYS)


def test_sheets_and_list_are_written_together(tmp_path):
    settings = page.Settings(made="2026-11-01", seen=(("2026-11-08", "A4", "let go"),))
    said = page.actions(tmp_path)[0].run(settings, "class of 2026")
    assert "class-of-2026-slides.pdf" in said and "class-of-2026-slides.csv" in said
    table = list(csv.DictReader(io.StringIO((tmp_path / "class-of-2026-slides.csv").read_text("utf-8-sig"))))
    assert table[0] | {"beside it": ""} == {
        "day": "7",
        "joint": "A4",
        "what": "glass slide, plain",
        "seen": "let go",
        "beside it": "",
    }
    assert page.actions(tmp_path)[0].run(page.Settings(), "empty") == f"{tmp_path.name}/empty-slides.pdf is written."
