"""What every stored workbook must be: clean to read in git, safe to open, and telling even before it runs."""

import copy
import json
import re
from pathlib import Path

import pytest

from mosaiclib import pages

FOLDER = Path(__file__).resolve().parents[1] / "workbooks"
WORKBOOKS = sorted(FOLDER.glob("*.ipynb"))
LESSON = re.compile(r"(?!00_)\d\d_")
VIEW = "application/vnd.jupyter.widget-view+json"
LINES = 5  # of code in a cell, its comment not counted
BYTES = 400_000

each_workbook = pytest.mark.parametrize("path", WORKBOOKS, ids=lambda path: path.stem)


def read(path):
    """Return a workbook as it is stored."""
    return json.loads(path.read_text(encoding="utf-8"))


def tags(cell):
    """Return the tags of a cell."""
    return cell["metadata"].get("tags", [])


def code_cells(book):
    """Return (cell, its lines) for each code cell; the source may be stored as a list or as one text."""
    cells = [cell for cell in book["cells"] if cell["cell_type"] == "code"]
    return [(cell, "".join(cell["source"]).splitlines()) for cell in cells]


def outputs(book):
    """Return (cell, output) for every stored output."""
    return [(cell, output) for cell, _ in code_cells(book) for output in cell["outputs"]]


def comment_of(lines):
    """Return the lines of comment that a cell begins with."""
    first = next((i for i, line in enumerate(lines) if not line.startswith("#")), len(lines))
    return lines[:first]


def is_sentence(comment):
    """Tell whether a comment reads as a sentence: a capital or number first, a full stop or the like last."""
    text = " ".join(line.lstrip("#").strip() for line in comment)
    return bool(re.match(r"[A-Z0-9].*\s.*[.:!?]$", text))


def faults(book, name):
    """Return everything that is wrong with a workbook, each as a sentence."""
    return [
        *file_faults(book),
        *(fault for number, cell in enumerate(book["cells"]) for fault in cell_faults(cell, number)),
        *output_faults(book),
        *count_faults(book),
        *check_faults(book, name),
    ]


def file_faults(book):
    """Return what is wrong with the workbook as a whole."""
    metadata = book["metadata"]
    ids = [cell.get("id") for cell in book["cells"]]
    wrong = {
        "Widget state is stored in the file.": "widgets" in metadata,
        "The kernel is not python3.": metadata.get("kernelspec", {}).get("name") != "python3",
        "It does not say first how a notebook is started.": "notebook" not in tags(book["cells"][0]),
        "A cell has no id.": not all(ids),
        "Two cells have the same id.": len(set(ids)) < len(ids),
    }
    return [sentence for sentence, found in wrong.items() if found]


def cell_faults(cell, number):
    """Return what is wrong with one code cell as it is written."""
    if cell["cell_type"] != "code":
        return []
    lines = "".join(cell["source"]).splitlines()
    comment = comment_of(lines)
    code = [line for line in lines[len(comment) :] if line.strip()]
    wrong = {
        "shows its code": cell["metadata"].get("jupyter", {}).get("source_hidden") is not True,
        "does not begin with a comment that is a sentence": not is_sentence(comment),
        f"has more than {LINES} lines of code": len(code) > LINES,
    }
    return [f"Cell {number} {sentence}." for sentence, found in wrong.items() if found]


def output_faults(book):
    """Return what is wrong with the stored outputs."""
    found = []
    for cell, output in outputs(book):
        if output["output_type"] == "error":
            found.append(f"Cell {cell.get('id')} stores an error: {output.get('ename')}.")
        data = output.get("data", {})
        needed = {"text/plain"} if "questions" in tags(cell) else {"text/plain", "image/png"}
        missing = sorted(kind for kind in needed if not data.get(kind)) if VIEW in data else []
        if missing:
            found.append(f"Cell {cell.get('id')} shows nothing until it runs: {' and '.join(missing)} missing.")
    return found


def count_faults(book):
    """Return whether the counts show anything but one run from top to bottom."""
    counts = [cell["execution_count"] for cell, _ in code_cells(book)]
    in_order = counts == list(range(1, len(counts) + 1))
    return [] if in_order else [f"It was not stored after one run from top to bottom: the counts are {counts}."]


def check_faults(book, name):
    """Return whether a lesson lacks its last, silent, checking cell."""
    if not LESSON.match(name):
        return []
    last = book["cells"][-1]
    wrong = {
        "The last cell is not tagged check.": last["cell_type"] != "code" or "check" not in tags(last),
        "The check cell shows something.": bool(last.get("outputs")),
    }
    return [sentence for sentence, found in wrong.items() if found]


def test_there_are_workbooks():
    assert WORKBOOKS, "workbooks/ holds no notebook, so nothing was checked."


@each_workbook
def test_stored_workbook_is_clean(path):
    assert faults(read(path), path.name) == []


@each_workbook
def test_stored_workbook_is_small(path):
    assert path.stat().st_size <= BYTES


def test_pages_know_every_workbook_as_it_is():
    known = {path.name: pages.fingerprint(read(path)) for path in WORKBOOKS}
    assert known == pages.SHIPPED, "After changing a workbook: python -m mosaiclib.pages"


@pytest.mark.parametrize("change", ["source", "order", "cell"])
def test_another_notebook_has_another_fingerprint(change):
    book = sound()
    if change == "source":
        book["cells"][1]["source"] = ["import os"]
    elif change == "order":
        book["cells"].reverse()
    else:
        book["cells"].append({"cell_type": "markdown", "id": "d", "metadata": {}, "source": ["<script></script>"]})
    assert pages.fingerprint(book) != pages.fingerprint(sound())
    for cell in (ran := sound())["cells"]:
        cell["outputs"] = []
    assert pages.fingerprint(ran) == pages.fingerprint(sound())


@each_workbook
def test_a_page_shows_purpose_lesson_and_tasks_before_what_explains_them(path):
    cells = read(path)["cells"]
    shown = [cell["id"] for cell in pages.in_reading_order(copy.deepcopy(cells))]
    assert sorted(shown) == sorted(cell["id"] for cell in cells)
    if LESSON.match(path.name):
        assert shown[:3] == ["title", "try", "lesson"]
        assert shown.index("tasks") < shown.index("idea") < shown.index("questions") < shown.index("bench")
    else:
        assert shown == [cell["id"] for cell in cells]


def sound():
    """Return a small lesson without a fault, for the tests of the checks themselves."""
    data = {VIEW: {"model_id": "x"}, "text/plain": "Joint 2 mm", "image/png": "iVBO"}
    return {
        "metadata": {"kernelspec": {"name": "python3"}},
        "cells": [
            {"cell_type": "markdown", "id": "a", "metadata": {"tags": ["notebook"]}, "source": ["Choose *Run*."]},
            code("b", "# Show the lesson.\nlesson()", 1, [{"output_type": "execute_result", "data": data}]),
            code("c", "# Check that every slider works.\nlesson().check()", 2, [], tags=["check"]),
        ],
    }


def code(name, source, count, stored, **metadata):
    """Return a collapsed code cell."""
    metadata["jupyter"] = {"source_hidden": True}
    kept = {"id": name, "source": source.splitlines(True), "execution_count": count, "outputs": stored}
    return {"cell_type": "code", "metadata": metadata, **kept}


def without(kind):
    """Return a change that takes one form away from the stored output."""
    return lambda book: book["cells"][1]["outputs"][0]["data"].pop(kind)


SPOILT = {
    "Widget state is stored": lambda book: book["metadata"].update(widgets={}),
    "The kernel is not python3": lambda book: book["metadata"]["kernelspec"].update(name="mine"),
    "how a notebook is started": lambda book: book["cells"][0]["metadata"].clear(),
    "has no id": lambda book: book["cells"][0].pop("id"),
    "the same id": lambda book: book["cells"][0].update(id="b"),
    "shows its code": lambda book: book["cells"][1]["metadata"].pop("jupyter"),
    "does not begin with a comment": lambda book: book["cells"][1].update(source="lesson()"),
    "more than 5 lines": lambda book: book["cells"][1].update(source="# Six of them.\n" + "a = 1\n" * 6),
    "stores an error": lambda book: book["cells"][2].update(outputs=[{"output_type": "error", "ename": "NameError"}]),
    "image/png missing": without("image/png"),
    "text/plain missing": without("text/plain"),
    "not stored after one run": lambda book: book["cells"][1].update(execution_count=3),
    "not tagged check": lambda book: book["cells"][2]["metadata"].pop("tags"),
    "check cell shows something": lambda book: book["cells"][2].update(
        outputs=[{"output_type": "stream", "text": "ok"}]
    ),
}


def test_a_sound_lesson_has_no_fault():
    assert faults(sound(), "01_tiny.ipynb") == []


@pytest.mark.parametrize("sentence", SPOILT)
def test_each_fault_is_found(sentence):
    book = sound()
    SPOILT[sentence](book)
    assert sentence in " ".join(faults(book, "01_tiny.ipynb"))


def test_questions_need_no_picture():
    book = sound()
    without("image/png")(book)
    book["cells"][1]["metadata"]["tags"] = ["questions"]
    assert faults(book, "01_tiny.ipynb") == []


def test_only_lessons_need_a_check_cell():
    book = sound()
    book["cells"].pop()
    assert faults(book, "00_tiny.ipynb") == []
