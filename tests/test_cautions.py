"""What can hurt a maker is told once, in one table, and shown wherever the hand meets it."""

import json
import re
from pathlib import Path

import pdfplumber
import pytest

import planner
from mosaiclib import reference
from mosaiclib.adhesive import families, family
from mosaiclib.cautions import PAGES, PAPERS, caution, cautions_on, on_paper
from mosaiclib.filler import KINDS, recipe
from mosaiclib.job import Plan, command, work_out
from mosaiclib.job.overview import overview
from mosaiclib.job.sheets import write_batch_card
from mosaiclib.job.slides import write_record_sheet
from mosaiclib.lessons import cautions, w02_ring
from mosaiclib.reference import DATA

ROOT = Path(__file__).parents[1]
BOOKS = sorted((ROOT / "workbooks").glob("*.ipynb"))
RULES = "Local rules and the manufacturer's instructions and safety data sheet take precedence over this page."
# what each hazard must not leave out; common practice and the sources named in the table
MUST = {
    "splinters": ("safety glasses", "closed shoes", "hard container", "do not rub"),
    "edges": ("gloves", "wooden stick", "never with bare fingers", "glazier"),
    "grinding": ("wet only", "guard", "safety glasses", "mask", "earth fault", "sleeves and hair"),
    "dust": ("silica", "FFP3", "N95", "tipped, weighed", "50 µg/m³", "damages the lungs permanently"),
    "cement": ("caustic", "without hurting", "chromate", "lasting skin allergy", "take off clothes", "15 minutes"),
    "vapours": ("acetic acid", "oxime", "1B", "alkoxy", "for days", "asthma", "doctor"),
    "resins": ("lasting skin allergy", "hardener burns eyes", "nitrile gloves"),
    "lamp": ("eyes and skin", "reflection", "goggles", "everyone else"),
    "solvents": ("soap and water", "flame", "gloves", "window open"),
    "heat": ("hot water", "dishwasher", "radiator"),
    "use": ("candle", "food or drink", "manufacturer of every material", "battery light"),
    "children": ("adult", "out of reach", "pets", "allergies and asthma", "first-aid box"),
    "hanging": ("2.5 kg", "fixings", "safety glass", "glazier", "building rules"),
    "shaped": ("glazier", "hole too", "two people", "gloves", "Safety glass cannot be cut", "building rules"),
    "mirrors": ("acetoxy", "solvent", "manufacturer names mirrors", "edges and holes"),
    "electric": ("licensed electrician",),
    "water": ("alkaline", "drain", "gravel", "set and dried"),
    "rolling": ("cradle", "both hands", "wet"),
    "cut bottles": ("raw edges", "inside", "wet", "safety glasses", "bare fingers"),
    "wax": ("hot wax", "candle", "crack", "battery light"),
    "drinking": ("drinking", "manufacturer of every material"),
    "precedence": (RULES,),
}


def words_on(path):
    """Return the words of each page of a PDF."""
    with pdfplumber.open(path) as pdf:
        return [" ".join(page.extract_text().split()) for page in pdf.pages]


def test_every_hazard_is_in_the_table_and_says_what_to_do():
    assert set(MUST) == set(reference.by_name("cautions"))
    for name, parts in MUST.items():
        assert not [part for part in parts if part not in caution(name)], name


def test_every_hazard_is_told_somewhere_and_no_place_is_unknown():
    for record in reference.table("cautions"):
        pages, papers = record.more["pages"].split(), record.more["papers"].split()
        assert (pages or papers) and set(pages) <= set(PAGES) and set(papers) <= set(PAPERS)
        assert bool(record.more["on paper"]) == bool(papers), record.name
    for place in PAGES:
        assert cautions_on(place)[-1][1] == RULES
    for paper in PAPERS:
        assert on_paper(paper).endswith(RULES)


@pytest.mark.parametrize("path", BOOKS, ids=lambda path: path.stem)
def test_every_workbook_shows_its_cautions_before_it_runs(path):
    book, number = json.loads(path.read_text(encoding="utf-8")), path.name[:2]
    shown = ["".join(out["data"]["text/html"]) for cell in book["cells"] for out in cell.get("outputs", [])
             if "text/html" in out.get("data", {})]  # fmt: skip
    assert cautions(number)._repr_html_() in shown
    told = "".join("".join(cell["source"]) for cell in book["cells"])
    assert "**Cautions.**" not in told  # no second text of the same


WRONG = ("maker's sheet", "maker's own sheet", "makers' own sheets", "for good", "polished off", "fingernail", "thumb",
         "on gravel", "stand above this")  # fmt: skip


@pytest.mark.parametrize("path", [*BOOKS, ROOT / "README.md"], ids=lambda path: path.stem)
def test_no_page_contradicts_its_cautions(path):
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".ipynb":
        text = " ".join("".join(cell["source"]) for cell in json.loads(text)["cells"])
    assert not [words for words in WRONG if re.search(rf"\b{words}\b", text)]


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    plan = json.loads((DATA / "example_plan.json").read_text(encoding="utf-8"))
    worked = work_out(Plan.made(**plan))
    return worked, command.write(worked, tmp_path_factory.mktemp("plan") / "out")


def test_every_sheet_of_a_plan_carries_what_matters_there(written):
    said = {
        "summary.pdf": on_paper("plan", "powder"),
        "days.pdf": on_paper("plan", "powder"),
        "bench_card.pdf": on_paper("gauge"),
        "gauge_sheet.pdf": on_paper("gauge"),
    }
    sheets = [path for path in written[1] if path.suffix == ".pdf" and path.name != "batch_card.pdf"]
    assert len(sheets) == 2 + len(said)
    for path in sheets:
        for page in words_on(path):
            assert said.get(path.name, on_paper("sheet")) in page


def test_a_plan_ends_with_its_cautions_on_page_and_in_the_overview(written):
    worked, files = written
    table = overview(worked)
    assert table["remark"].iloc[-1] == on_paper("plan", "powder")
    assert family(worked.plan.adhesive.family).word("cautions") == table["remark"].iloc[-2]
    assert on_paper("plan", "powder") in [row.verdict for row in planner.told(worked.plan)[0]]
    stored = next(path for path in files if path.name == "overview.csv").read_text(encoding="utf-8-sig")
    assert RULES in stored.splitlines()[-1]


def test_a_plan_with_epoxy_speaks_of_resin_and_not_of_powder():
    plan = json.loads((DATA / "example_plan.json").read_text(encoding="utf-8"))
    plan["filler"]["family"] = "two-part epoxy filler"
    plan["glass"] = [part | {"bands": []} for part in plan["glass"] if part["kind"] == "pane"]
    said = overview(work_out(Plan.made(**plan)))["remark"].iloc[-1]
    assert "hardener burns eyes" in said and "silica" not in said


@pytest.mark.parametrize("kind", KINDS)
def test_a_batch_card_names_the_hazards_of_its_filler(kind, tmp_path):
    made = recipe(100, kind, 2.0)
    said = " ".join(words_on(write_batch_card(tmp_path / "card.pdf", [(made, 1)], 10.0)))
    assert on_paper("powder" if made.powder else "resin") in said


def test_record_sheet_and_gauge_carry_theirs(tmp_path):
    assert on_paper("slides") in " ".join(words_on(write_record_sheet(tmp_path / "slides.pdf")))
    w02_ring.actions(tmp_path)[0].run(w02_ring.Settings(), "ring")
    assert all(on_paper("gauge") in page for page in words_on(tmp_path / "ring-gauge.pdf"))


def test_every_family_of_adhesive_has_its_caution():
    assert all(len(family(name).word("cautions")) > 10 for name in families())
