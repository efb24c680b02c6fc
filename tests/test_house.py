"""The house's own rules, read off the code: the order of the rooms, the size of things, what is loaded."""

import ast
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from mosaiclib.job.plan import GlassPart
from mosaiclib.lessons import PARTS

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "mosaiclib"
# the order of the rooms is the order of the maker's work; a room may use only those before it
ORDER = (
    "words",
    "errors",
    "units",
    "report",
    "reference",
    "cautions",
    "files",
    "glass",
    "layout",
    "spacing",
    "colour",
    "adhesive",
    "filler",
    "drawing",
    "job",
    "course",
    "evidence",
    "lesson",
    "lessons",
    "pages",
    "classroom",
    "launch",
    "__main__",
)
MODULES = sorted(p for p in PACKAGE.rglob("*.py") if "settings" not in p.relative_to(PACKAGE).parts)


def room(path):
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imported(tree):
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module
            if node.module == "mosaiclib":
                yield from (f"mosaiclib.{name.name}" for name in node.names)


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_imports_run_one_way(path):
    mine = room(path)
    if mine == "__init__":
        return
    for name in imported(ast.parse(path.read_text(encoding="utf-8"))):
        parts = name.split(".")
        if parts[0] != "mosaiclib" or len(parts) < 2:
            continue
        assert parts[1] in ORDER, f"{path.name} imports {name}, a room that the order does not name"
        assert ORDER.index(parts[1]) <= ORDER.index(mine), f"{mine} must not import {name}"


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_functions_stay_small(path):
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if not isinstance(node, ast.FunctionDef):
            continue
        first = node.body[0]
        spoken = isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant)
        body = node.body[1:] if spoken else node.body
        if body:
            assert node.end_lineno - body[0].lineno < 40, f"{path.name}: {node.name} is too long"


@pytest.mark.parametrize("widgets", ["ipywidgets", "anywidget"])
def test_only_the_room_of_the_lesson_uses_widgets(widgets):
    users = {room(p) for p in MODULES if widgets in set(imported(ast.parse(p.read_text(encoding="utf-8"))))}
    assert users <= {"lesson"}


KINDS_OF_GLASS = {part.__name__ for part in GlassPart.__args__} | {part.covers.__name__ for part in GlassPart.__args__}


def test_only_glass_knows_the_kinds_of_glass():
    for path in MODULES:
        if room(path) == "glass":
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "isinstance":
                asked = {each.id for each in ast.walk(node.args[1]) if isinstance(each, ast.Name)}
                assert not asked & KINDS_OF_GLASS, f"{path.name}:{node.lineno}"


def test_nobody_uses_pyplot_or_names_a_room_utils():
    for path in MODULES:
        names = set(imported(ast.parse(path.read_text(encoding="utf-8"))))
        assert not any("pyplot" in name for name in names), path.name
        assert path.stem not in {"utils", "helpers", "common", "util"}, path.name


@pytest.mark.parametrize("heavy", ["ipywidgets", "matplotlib", "pandas", "ortools", "numpy"])
def test_importing_the_package_is_light(heavy):
    code = f"import mosaiclib.launch, sys; sys.exit({heavy!r} in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], cwd=ROOT).returncode == 0


def test_geometry_needs_no_widgets_or_pictures():
    code = "import mosaiclib.job, mosaiclib.colour, sys;sys.exit(bool({'ipywidgets', 'matplotlib'} & set(sys.modules)))"
    assert subprocess.run([sys.executable, "-c", code], cwd=ROOT).returncode == 0


HEAVY = ("matplotlib", "ortools", "scipy.optimize", "scipy.stats", "scipy.interpolate", "scipy.spatial")


@pytest.mark.parametrize("number", PARTS)
def test_a_workbook_loads_what_is_heavy_only_when_it_is_used(number):
    """Each learner of a class has a program of their own: what they all load is paid for twelve times."""
    code = (
        f"import sys, mosaiclib.lessons as b; b.lessons({number!r}), b.asked({number!r}); import mosaiclib.lesson.page"
    )
    asked = f"{code}; print([name for name in {HEAVY!r} if name in sys.modules])"
    assert subprocess.run([sys.executable, "-c", asked], cwd=ROOT, capture_output=True, text=True).stdout == "[]\n"


TONE = re.compile(r"#[0-9a-fA-F]{6}")
SHEETS = (
    "pages/voila/templates/mosaic/page.css",
    "lesson/handles.js",
    "../data/kinds_common-practice_2026.csv",
)  # read by a browser or from a room below that of the drawing: they repeat the palette


def tones_in(path):
    """Return the tones in a module's words, docstrings with their examples left out."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    spoken = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    words = (node for node in ast.walk(tree) if isinstance(node, ast.Constant) and isinstance(node.value, str))
    return {tone for word in words if id(word) not in spoken for tone in TONE.findall(word.value)}


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_every_tone_comes_from_the_palette(path):
    assert path.stem == "palette" or not tones_in(path)


@pytest.mark.parametrize("name", SHEETS)
def test_sheets_repeat_the_tones_of_the_palette(name):
    found = TONE.findall((PACKAGE / name).read_text(encoding="utf-8"))
    assert found and {tone.lower() for tone in found} <= tones_in(PACKAGE / "drawing" / "palette.py")


def test_every_row_of_data_is_read_by_code():
    run = subprocess.run(
        [sys.executable, "tests/rows_read.py"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        env=os.environ | {"PYTHONPATH": str(ROOT)},
    )
    assert run.returncode == 0, run.stderr
    assert not run.stdout, f"rows that nothing reads:\n{run.stdout}"
