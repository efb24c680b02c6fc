"""The papers of a class, read back: every list adds up, sheets are whole and true, nothing of a learner is stored."""

import csv
import io
import re
import shutil
import zipfile
from collections import Counter

import icalendar
import numpy as np
import pdfplumber
import pypdf
import pytest

from mosaiclib import reference
from mosaiclib.cautions import caution
from mosaiclib.course import Class, plan_class
from mosaiclib.course.papers import papers_of, write_all
from mosaiclib.course.safety import ASKED, FILLED_IN, ROOM, health_form, safety_sheet
from mosaiclib.drawing import write_pdf
from mosaiclib.errors import MosaicError
from mosaiclib.files import PACKED
from mosaiclib.job.sittings import local, read_zone
from mosaiclib.lesson.page import Lesson
from mosaiclib.lessons import w07_print, w07_shared
from mosaiclib.lessons.handouts import LESSONS
from mosaiclib.reference import DATA

POINT = 72 / 25.4  # [points/mm]
SIZES = {"A4": (210, 297), "Letter": (8.5 * 25.4, 11 * 25.4)}  # ISO 216; ASME Y14.1, size A
MARGIN = 10.0  # [mm] the rim that printers leave blank


@pytest.fixture(scope="module")
def course():
    return plan_class(Class.load(DATA / "example_class.json"))


@pytest.fixture(scope="module")
def written(course, tmp_path_factory):
    """The folder of the demo class, what was told while it was written, and its files."""
    folder, told = tmp_path_factory.mktemp("class"), []
    files = write_all(course, folder, told.append)
    return folder, told, files


@pytest.fixture(scope="module")
def words(written):
    """The words of each page of each PDF, by its name."""
    found = {}
    for path in written[0].glob("*.pdf"):
        with pdfplumber.open(path) as book:
            found[path.stem] = [" ".join(page.extract_text().split()) for page in book.pages]
    return found


@pytest.fixture(scope="module")
def rows(written):
    """What to buy as printed: by item its six amounts (kits, tables, spares, left over, in the house, bought)."""
    with pdfplumber.open(written[0] / "what_to_buy.pdf") as book:
        lines = [line for page in book.pages for line in page.extract_text().splitlines()]
    pattern = re.compile(r"^(?P<item>.+) \[.+?\] (?P<amounts>(?:[\d.]+ ){6})")
    found = [each for line in lines if (each := pattern.match(line))]
    return {each["item"]: [float(part) for part in each["amounts"].split()] for each in found}


@pytest.fixture(scope="module")
def labels(written):
    """The words on each kit label: the sheets hold two columns, read one after the other."""
    found = []
    with pdfplumber.open(written[0] / "kit_labels.pdf") as book:
        for page in book.pages:
            for left, right in ((0, page.width / 2), (page.width / 2, page.width)):
                text = " ".join(page.crop((left, 0, right, page.height)).extract_text().split())
                found += re.findall(r"Kit of learner .+?(?=Kit of learner|Spares that|$)", text)
    return found


class TestSums:
    def test_kits_tables_spares_and_left_over_are_what_is_there_and_bought(self, course, rows):
        assert list(rows) == [line.item for line in course.shopping]
        for item, (kits, tables, spares, left, owned, bought) in rows.items():
            assert kits + tables + spares + left == pytest.approx(owned + bought, abs=0.11), item

    def test_tiles_on_all_labels_are_those_of_the_list(self, labels, rows):
        there = Counter()
        for label in labels:
            count, listed = re.search(r"Glass of (\d+) tiles: ((?:\d+ [a-z ]+(?:, )?)+)", label).groups()
            own = {name.strip(): int(number) for number, name in re.findall(r"(\d+) ([a-z ]+)", listed)}
            own = {name: number for name, number in own.items() if f"tiles, {name}" in rows}
            assert sum(own.values()) == int(count), label
            there.update(own)
        assert there == {item[7:]: amounts[0] for item, amounts in rows.items() if item.startswith("tiles, ")}

    def test_every_learner_has_one_label_and_one_place(self, course, labels):
        numbers = [re.match(r"Kit of learner (\d+)", label)[1] for label in labels]
        assert sorted(map(int, numbers)) == list(range(1, 13))
        at = {int(re.match(r"Kit of learner (\d+)", one)[1]): int(re.search(r"Table (\d+)", one)[1]) for one in labels}
        assert at == {learner: table.number for table in course.tables for learner in table.learners}

    def test_powder_on_the_labels_is_what_lies_on_tables(self, words, rows):
        grams = re.findall(r"learners? \d+(?: to \d+)?: (\d+) g", " ".join(words["powder_labels"]))
        assert len(grams) == 4
        assert sum(map(int, grams)) / 1000 == pytest.approx(rows["unsanded plain grout"][1], abs=0.0025)

    def test_what_is_packed_is_what_is_listed(self, words, rows):
        packed = " ".join(words["packing_list"])
        for item, (_, _, spares, *_) in rows.items():
            assert (f"{spares:g} spare {item}" in packed) == bool(spares), item
        glasses = 12 + int(re.search(r"(\d+) pair safety glasses for teacher", packed)[1])
        assert glasses == sum(rows["safety glasses"][:2])
        latex = sum(map(int, re.findall(r"(\d+) g latex additive", packed)))
        density = reference.value("filler", "density of latex").band[0]
        assert latex / density == pytest.approx(rows["latex additive"][1], abs=2.5)
        assert len(re.findall(r"1 x small tube neutral-cure silicone", packed)) == 3

    def test_the_list_for_a_spreadsheet_says_the_same(self, written, rows):
        lines = list(csv.DictReader(io.StringIO((written[0] / "what_to_buy.csv").read_text(encoding="utf-8-sig"))))
        assert len(lines) == len(rows) + 1
        for line in lines[:-1]:
            said = [float(line[name]) for name in ("kits", "tables", "spares", "left_over", "in_the_house", "to_buy")]
            assert said == pytest.approx(rows[line["item"]], abs=0.051), line["item"]

    def test_costs_add_up_to_what_the_fee_begins_with(self, written, words):
        with pdfplumber.open(written[0] / "what_to_buy.pdf") as book:
            text = book.pages[0].extract_text()
        costs = [float(each) for each in re.findall(r"\] .* (\d+\.\d\d)$", text, re.MULTILINE)]
        materials, room, pay, margin, share = map(
            float,
            re.search(
                r"\(([\d.]+) materials \+ ([\d.]+) room \+ ([\d.]+) pay\) x \(1 \+ (\d+)%\) / (\d+)", text
            ).groups(),
        )
        assert sum(costs) == pytest.approx(materials, abs=0.005)
        fee = float(re.search(r"([\d.]+) = \(", text)[1])
        assert fee == pytest.approx((materials + room + pay) * (1 + margin / 100) / share, abs=0.006)


class TestSheets:
    @pytest.mark.parametrize("paper", SIZES)
    def test_pages_are_as_large_as_their_paper_and_nothing_leaves_the_margins(self, course, paper, written):
        there = paper == course.klass.paper
        klass = course.klass.model_copy(update={"paper": paper})
        for name, sheets in papers_of(course if there else plan_class(klass)).items():
            target = written[0] / f"{name}.pdf" if there else io.BytesIO()
            if not there:
                write_pdf(sheets(), target)
            with pdfplumber.open(target) as book:
                for page in book.pages:
                    wide, high = float(page.width) / POINT, float(page.height) / POINT
                    assert sorted((wide, high)) == pytest.approx(sorted(SIZES[paper]), abs=0.01), name
                    right, low = (max(sign[edge] for sign in page.chars) / POINT for edge in ("x1", "bottom"))
                    assert right <= wide - MARGIN + 0.3 and low <= high - MARGIN + 0.6, (name, page.page_number)

    def test_templates_in_a_kit_are_true_to_scale(self, written):
        with pdfplumber.open(written[0] / "kit_window-panel.pdf") as book:
            scaled = [page for page in book.pages if "Measure this bar" in page.extract_text()]
            assert len(scaled) >= 3  # template, dry lay, gauges
            for page in scaled:
                lengths = []
                for line in (*page.lines, *page.curves):
                    ends = np.array(line["pts"]) / POINT
                    lengths += [abs(ends[1, 0] - ends[0, 0])] * (len(ends) == 2)
                for wanted in (100.0, 4 * 25.4):
                    assert any(abs(length - wanted) < 0.05 for length in lengths)

    def test_one_card_a_session_with_its_day_and_what_comes_after(self, course, words):
        cards = [page for page in words["sessions"] if page.startswith("Session ")]
        assert [page.split(",")[0] for page in cards] == [f"Session {n} of 5" for n in range(1, 6)]
        zone = read_zone(course.klass.sessions.zone)
        for session, page in zip(course.sessions, cards, strict=True):
            when = local(session.begin, zone)
            assert f"{when:%a} {when.day} {when:%b %Y}" in page and f"{when:%H:%M}" in page
            for done in session.work:
                assert done.step.rpartition(": ")[2] in page and f" {done.slow} {done.quick} " in page
            for between in course.between:
                if between.after == session.number:
                    assert between.what[:40] in page

    def test_words_are_read_in_their_order(self, written):
        """What a reader of the file without eyes is given: the order in which it was written."""
        text = pypdf.PdfReader(written[0] / "sessions.pdf").pages[2].extract_text()
        marks = [
            "Session 2 of 5",
            "18:30",
            "window panel",
            "cut the pieces",
            "garden panel",
            "glue",
            "After this",
            "What I saw",
        ]
        at = [text.index(mark) for mark in marks]
        assert at == sorted(at)

    def test_a_class_of_all_cut_pieces_gets_no_gauges_and_no_cutting(self, course):
        klass = course.klass.model_copy(update={"ahead": "all pieces"})
        with_cuts, without = (
            [one.title for one in papers_of(each)["kit_window-panel"]()] for each in (course, plan_class(klass))
        )
        assert any("Gauges" in title for title in with_cuts) and any(
            "cut in this order" in title for title in with_cuts
        )
        assert not any("Gauges" in title or "cut in this order" in title for title in without)


class TestSafety:
    def text(self, sheets):
        buffer = io.BytesIO()
        write_pdf(sheets, buffer)
        with pdfplumber.open(buffer) as book:
            return " ".join(" ".join(page.extract_text().split()) for page in book.pages)

    def test_local_rules_come_first_and_numbers_are_left_blank(self):
        text = self.text(safety_sheet())
        assert text.index(caution("precedence")) < text.index("Emergency number")
        assert all(f"{words}:" in text for words in FILLED_IN)
        assert not re.search(r"\b(112|911|999)\b", text)
        headings = " .+ ".join(heading for heading, *_ in ROOM)
        assert re.search(headings, text)

    def test_it_tells_the_hazards_as_every_page_does(self):
        text = self.text(safety_sheet("Letter"))
        for name in (one for _, _, hazards in ROOM for one in hazards):
            assert all(word in text for word in caution(name).split()), name

    def test_first_aid_keeps_to_its_sources(self):
        text = self.text(safety_sheet())
        # Mayo Clinic, Chemical splash in the eye: First aid (2018), steps 1 and 2, read second-hand: at least 15 minutes, lenses out
        assert "for at least 15 minutes" in text and "lenses out" in text
        # NHS Direct, Cuts and grazes, read second-hand: help where bleeding does not stop after 10 minutes of pressure
        assert "still bleeds after 10 minutes" in text
        assert reference.value("firstaid", "splash in an eye").number == 15
        assert reference.value("firstaid", "cut").number == 10

    def test_the_form_asks_and_keeps_nothing(self):
        text = self.text(health_form())
        assert all(words in text for words in ASKED) and "Nothing of it is typed into a computer" in text
        assert not re.search("allerg|asthma|health|phone|birth", str(Class.model_json_schema()).lower())

    def test_powder_bears_the_words_of_the_globally_harmonized_system(self, words):
        """United Nations, GHS, annex 3, section 1, read second-hand in the list of the European Commission."""
        (page,) = words["powder_labels"]
        for said in (
            "H315: Causes skin irritation",
            "H317: May cause an allergic skin reaction",
            "H318: Causes serious eye damage",
            "H335: May cause respiratory irritation",
        ):
            assert page.count(said) == 4
        assert page.count("DANGER") == 4 and page.count("they come first") == 4

    def test_a_kit_holds_nothing_that_cures_and_no_powder(self, labels):
        for label in labels:
            assert not re.search("silicone|grout|latex|adhesive|powder", label)


class TestFiles:
    def test_everything_is_told_and_packed(self, written):
        folder, told, files = written
        assert {path.name for path in files} == {path.name for path in folder.iterdir()}
        assert told[-1] == PACKED and "safety.pdf: sheet 1 of 2" in told
        with zipfile.ZipFile(folder / PACKED) as packed:
            assert set(packed.namelist()) == {path.name for path in files} - {PACKED, "written_here.txt"}
            for name in packed.namelist():
                assert packed.read(name) == (folder / name).read_bytes()

    def test_the_calendar_is_read_back(self, course, written):
        events = icalendar.Calendar.from_ical((written[0] / "sessions.ics").read_bytes()).walk("VEVENT")
        begins = sorted(event.decoded("dtstart").timestamp() / 60 for event in events if "session" in event["summary"])
        assert begins == [session.begin for session in course.sessions]

    def test_the_class_is_read_back(self, course, written):
        assert Class.load(written[0] / "class_as_read.json") == course.klass

    def test_a_fault_on_the_way_leaves_what_was_there(self, course, written, tmp_path):
        place = tmp_path / "class"
        shutil.copytree(written[0], place)
        before = {path.name: path.read_bytes() for path in place.iterdir()}

        def broken():
            raise MosaicError("This sheet cannot be made.")

        with pytest.raises(MosaicError, match="cannot be made"):
            write_all(course, place, more={"handout": broken})
        assert {path.name: path.read_bytes() for path in place.iterdir()} == before

    def test_only_a_class_is_written(self, tmp_path):
        with pytest.raises(MosaicError):
            write_all("a class", tmp_path / "out")
        assert not (tmp_path / "out").exists()


def test_the_page_writes_papers_and_handouts_in_one_go(tmp_path):
    lesson = Lesson(w07_print, w07_shared.quick(), tmp_path / "my_plans")
    lesson.buttons["print"].click()
    (place,) = (path for path in (tmp_path / "my_classes").iterdir() if path.is_dir())
    names = {path.name for path in place.iterdir()}
    assert {f"{number}_{kind}.pdf" for number in LESSONS for kind in ("learners", "questions", "teacher")} <= names
    assert {"safety.pdf", "sessions.pdf", "packing_list.pdf", "sessions.ics", PACKED} <= names
    assert f"{len(names)} files are in" in str(lesson.said.words)
