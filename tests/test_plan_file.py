"""The plan file: bad ones are refused in a sentence and left alone, saves are whole or not at all."""

import builtins
import json
import os
import re
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from mosaiclib.errors import MosaicError
from mosaiclib.job import Plan, command
from mosaiclib.reference import DATA

EXAMPLE = Path(__file__).parent / "plain_plan.json"
WHOLE = EXAMPLE.read_bytes()
QUICK = settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])


def parts():
    """The example plan as plain lists and dicts, to be spoilt."""
    return json.loads(WHOLE)


def small(**changes):
    """A plan of one small pane, quick to work out."""
    plan = {
        "version": 1,
        "name": "small",
        "glass": [{"kind": "pane", "name": "pane", "width": 42, "height": 20}],
        "tile": {
            "side": 20,
            "thickness": 4,
            "colours": [{"name": "green", "in_hand": 9}, {"name": "blue", "in_hand": 9}],
        },
        "joint": {"wanted": 2, "least": 1, "greatest": 3},
    }
    return plan | changes


def refused(path, content):
    """Write a file, see that it is refused in a sentence and stays as it was; return the sentence."""
    raw = content if isinstance(content, bytes) else json.dumps(content).encode()
    path.write_bytes(raw)
    before = sorted(path.parent.iterdir())
    with pytest.raises(MosaicError) as told:
        Plan.load(path)
    assert path.read_bytes() == raw and sorted(path.parent.iterdir()) == before
    words = str(told.value)
    assert words.endswith(".") and words.startswith(path.name) and len(words) < 400
    assert "Traceback" not in words and "pydantic" not in words and "\n" not in words
    return words


# --- good files --------------------------------------------------------------------------------------


def test_saves_and_loads_byte_for_byte_the_same(tmp_path):
    first, second = tmp_path / "first.json", tmp_path / "second.json"
    plan = Plan.load(EXAMPLE)
    assert plan.save(first) == first
    again = Plan.load(first)
    again.save(second)
    assert first.read_bytes() == second.read_bytes() and again == plan
    assert EXAMPLE.read_bytes() == WHOLE
    # nothing is lost on the way: every value of the example stands in the saved file
    saved = json.loads(first.read_bytes())

    def within(given_, kept):
        if isinstance(given_, dict):
            return all(within(value, kept[key]) for key, value in given_.items())
        if isinstance(given_, list):
            return len(given_) == len(kept) and all(map(within, given_, kept))
        return given_ == kept

    assert within(parts(), saved)


@given(st.text(min_size=1, max_size=80), st.text(max_size=50), st.floats(0.1, 1e5), st.floats(0, 1))
@QUICK
def test_any_text_and_number_comes_back(tmp_path, name, note, width, waste):
    try:
        plan = Plan.made(**small(name=name, note=note), adhesive={"waste": waste})
    except MosaicError as told:
        assert not name.strip() or any("\ud800" <= sign <= "\udfff" for sign in name + note), told
        return
    plan = plan.model_copy(update={"glass": [plan.glass[0].model_copy(update={"width": width})]})
    one, two = plan.save(tmp_path / "a.json"), tmp_path / "b.json"
    loaded = Plan.load(one)
    assert loaded == plan
    assert loaded.save(two).read_bytes() == one.read_bytes()


def test_whole_numbers_and_a_mark_at_the_beginning_are_read(tmp_path):
    marked = tmp_path / "marked.json"
    marked.write_bytes(b"\xef\xbb\xbf" + json.dumps(small()).encode())
    assert Plan.load(marked).glass[0].width == 42.0
    assert Plan.load(str(marked)) == Plan.load(marked)


# --- files that are no plan --------------------------------------------------------------------------


@pytest.mark.parametrize("cut", range(0, len(WHOLE) - 1, 10))
def test_cut_off_at_every_tenth_byte(tmp_path, cut):
    if not WHOLE[cut:].strip():
        return
    assert "cut off" in refused(tmp_path / "plan.json", WHOLE[:cut])


@pytest.mark.parametrize(
    "raw",
    [
        b"",
        b" \n",
        b"\x00" * 100,
        WHOLE.decode().encode("utf-16"),
        WHOLE.replace(b"pale blue", "bläu".encode("latin-1")),
        b"\xff\xfe\xfd",
        b"[" * 100_000,
        b'{"a":' * 50_000,
        b"%PDF-1.7",
        b"version: 1",
        b"{'version': 1}",
        b"{version: 1}",
        WHOLE + WHOLE,
        b'{"version": 1' + b"0" * 5000 + b"}",
    ],
    ids=lambda raw: f"{raw[:12]!r} {len(raw)}",
)
def test_other_bytes(tmp_path, raw):
    assert "not a whole plan file" in refused(tmp_path / "plan.json", raw)


@pytest.mark.parametrize(
    "content", [[], [1], 1, "plan", None, True, {}, {"name": "x"}, [parts()]], ids=lambda c: str(c)[:12]
)
def test_other_json(tmp_path, content):
    assert "no version number" in refused(tmp_path / "plan.json", content)


@pytest.mark.parametrize("version", ["1", 1.0, True, None, [1], {}])
def test_versions_that_are_none(tmp_path, version):
    assert "no version number" in refused(tmp_path / "plan.json", parts() | {"version": version})


@pytest.mark.parametrize("version", [2, 99, 10**30])
def test_from_a_newer_workbook(tmp_path, version):
    # whatever else a newer plan may hold, the version is what is told
    words = refused(tmp_path / "plan.json", {"version": version, "pieces": "unknown here"})
    assert "newer workbook" in words and "this one reads 1" in words


@pytest.mark.parametrize("version", [0, -1])
def test_a_version_that_never_was(tmp_path, version):
    refused(tmp_path / "plan.json", parts() | {"version": version})


def test_a_file_too_large_says_so(tmp_path):
    assert "too large" in refused(tmp_path / "plan.json", b" " * 10_000_001)


def test_no_file_and_folders(tmp_path):
    for path in (tmp_path / "none.json", tmp_path / "no" / "none.json", tmp_path, tmp_path / "a" / ".."):
        with pytest.raises(MosaicError, match=r"cannot be opened: .*\.|There is no file called"):
            Plan.load(path)
    (tmp_path / "file").write_text("x")
    with pytest.raises(MosaicError, match="cannot be opened"):
        Plan.load(tmp_path / "file" / "plan.json")


@pytest.mark.parametrize("path", [None, 3, True, 1.5, b"\xff", [], {}, "", "a\0b"], ids=str)
def test_paths_that_are_none(path):
    plan = Plan.load(EXAMPLE)
    for call in (Plan.load, plan.save):
        with pytest.raises(MosaicError, match="not the name of a file"):
            call(path)


# --- fields ------------------------------------------------------------------------------------------


def every_place(found, at=()):
    """Yield the place of every value in a plan."""
    for key, value in found.items() if isinstance(found, dict) else enumerate(found):
        yield (*at, key)
        if isinstance(value, dict | list):
            yield from every_place(value, (*at, key))


def changed(place, value, remove=False):
    """The example plan with one value changed or left out."""
    plan = parts()
    spot = plan
    for step in place[:-1]:
        spot = spot[step]
    if remove:
        del spot[place[-1]]
    else:
        spot[place[-1]] = value
    return plan


PLACES = [place for place in every_place(parts()) if place != ("version",)]


def value_at(place):
    """The example's value at a place."""
    spot = parts()
    for step in place:
        spot = spot[step]
    return spot


NUMBERS = [place for place in PLACES if type(value_at(place)) in (int, float)]
_label = lambda place: ".".join(map(str, place)) if isinstance(place, tuple) else str(place)  # noqa: E731


@pytest.mark.parametrize("place", NUMBERS, ids=_label)
def test_every_number(tmp_path, place):
    path = tmp_path / "plan.json"
    for bad in ("20", "20 mm", "", None, True, [20], {}, -1, 1e30, 10**400):
        words = refused(path, changed(place, bad))
        field = next(step for step in reversed(place) if isinstance(step, str)).replace("_", " ")
        assert field in words
    for literal in (b"NaN", b"Infinity", b"-Infinity", b"1e999"):
        raw = json.dumps(changed(place, 987654.0)).encode().replace(b"987654.0", literal)
        assert literal in raw
        refused(path, raw)


@pytest.mark.parametrize("place", [p for p in PLACES if p not in NUMBERS and p[-1] != "back_side"], ids=_label)
def test_every_other_value(tmp_path, place):
    for bad in (3, None, 1.5, {"x": 1}, [[]]):
        refused(tmp_path / "plan.json", changed(place, bad))


@pytest.mark.parametrize(
    "place",
    [
        p
        for p in PLACES
        if p[-1]
        in (
            "name",
            "glass",
            "tile",
            "joint",
            "kind",
            "width",
            "height",
            "widths",
            "depths",
            "heights",
            "wall",
            "base",
            "side",
            "thickness",
            "colours",
            "wanted",
            "least",
            "greatest",
        )
    ],
    ids=_label,
)
def test_every_field_that_must_be_there(tmp_path, place):
    words = refused(tmp_path / "plan.json", changed(place, None, remove=True))
    assert "is missing" in words or "needs a kind" in words


@pytest.mark.parametrize(
    "place",
    [
        (),
        ("glass", 0),
        ("glass", 1),
        ("tile",),
        ("tile", "colours", 0),
        ("joint",),
        ("colour",),
        ("adhesive",),
        ("filler",),
        ("spare",),
    ],
    ids=_label,
)
@pytest.mark.parametrize(
    "name", ["extra", "Width", "", "a\nb", "<b>", "x" * 5000, "__class__"], ids=lambda n: repr(n[:8])
)
def test_unknown_fields(tmp_path, place, name):
    assert "not a part of a plan" in refused(tmp_path / "plan.json", changed((*place, name), 1))


@pytest.mark.parametrize(
    ("place", "value", "words"),
    [
        (("joint", "least"), 2.5, "between the least and the greatest"),
        (("joint", "greatest"), 1.0, "between the least and the greatest"),
        (("joint", "wanted"), 9.0, "between the least and the greatest"),
        (("joint", "edge"), "round", "edge"),
        (("tile", "back_side"), 21.0, "larger than its face"),
        (("tile", "back_side"), 0, "back side"),
        (("tile", "side"), 0, "side"),
        (("tile", "side"), 2.9, "side"),
        (("tile", "pack"), 0, "pack"),
        (("tile", "pack"), 2.5, "pack"),
        (("tile", "colours"), [], "colours"),
        (("tile", "colours", 1, "name"), "blue", "twice"),
        (("tile", "colours", 0, "name"), "", "name"),
        (("tile", "colours", 0, "name"), " \n", "name is empty"),
        (("tile", "colours", 0, "name"), "x" * 81, "name"),
        (("tile", "colours", 0, "name"), "\ud800", "broken sign"),
        (("name",), "\udfff", "broken sign"),
        (("note",), "x" * 2001, "note"),
        (("glass",), [], "glass"),
        (("glass", 1, "name"), "window panel", "same name"),
        (("glass", 0, "kind"), "bowl", "kind"),
        (("glass", 1, "widths"), [162.0, 161.0], "widths"),
        (("glass", 1, "heights"), [], "heights"),
        (("glass", 1, "corner"), "mitred", "corner"),
        (("paper",), "A5", "paper"),
        (("unit",), "cm", "unit"),
        (("spare", "confidence"), 1, "confidence"),
        (("adhesive", "coverage"), 0, "coverage"),
    ],
    ids=str,
)
def test_wrong_values(tmp_path, place, value, words):
    assert words in refused(tmp_path / "plan.json", changed(place, value))


def test_made_refuses_in_the_same_words():
    with pytest.raises(MosaicError, match="'name' is missing"):
        Plan.made(**{k: v for k, v in small().items() if k != "name"})
    with pytest.raises(MosaicError, match="'tile, side' must be a number, not text"):
        Plan.made(**small(tile=small()["tile"] | {"side": "20"}))


# --- plans that read well and cannot be done: nothing is written ---------------------------------------


@pytest.mark.parametrize(
    ("place", "value", "words"),
    [
        (("glass", 0, "margin"), 100.0, "leave nothing"),
        (("glass", 0, "margin"), 95.0, "does not go into"),
        (("glass", 1, "rim_margin"), 140.0, "leave nothing"),
        (("glass", 1, "wall"), 80.0, "walls"),
        (("glass", 1, "base"), 140.0, "floor"),
        (("tile", "side"), 250.0, "does not go into"),
        (("tile", "colours"), [{"name": "blue", "in_hand": 0, "more": False}], "fewer|short|tiles"),
        (("tile", "colours"), [{"name": "blue", "in_hand": 500}], "one colour|colour"),
    ],
    ids=str,
)
def test_plans_that_cannot_be_done_write_nothing(tmp_path, place, value, words):
    file, out = tmp_path / "plan.json", tmp_path / "out"
    file.write_text(json.dumps(changed(place, value)))
    raw = file.read_bytes()
    with pytest.raises(MosaicError, match=words):
        command.plan(file, out)
    assert sorted(tmp_path.iterdir()) == [file] and file.read_bytes() == raw


# --- saving ------------------------------------------------------------------------------------------


def test_a_save_that_fails_leaves_what_was_there(tmp_path, monkeypatch):
    file = tmp_path / "plan.json"
    file.write_bytes(b"what was there before")
    plan = Plan.load(EXAMPLE)

    def fails(*_):
        raise OSError(28, "No space left on device")

    for module, name in ((os, "replace"), (builtins, "open")):
        with monkeypatch.context() as patched:
            patched.setattr(module, name, fails)
            with pytest.raises(MosaicError, match=r"plan\.json: No space left on device\."):
                plan.save(file)
        assert file.read_bytes() == b"what was there before"
        assert list(tmp_path.iterdir()) == [file], name


def test_a_save_that_is_stopped_leaves_nothing_behind(tmp_path, monkeypatch):
    def stopped(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "replace", stopped)
    with pytest.raises(KeyboardInterrupt):
        Plan.load(EXAMPLE).save(tmp_path / "plan.json")
    assert list(tmp_path.iterdir()) == []


def test_places_that_cannot_be_written(tmp_path):
    plan = Plan.load(EXAMPLE)
    (tmp_path / "folder").mkdir()
    (tmp_path / "folder" / "kept").write_text("x")
    for path in (tmp_path / "missing" / "plan.json", tmp_path / "folder", tmp_path / ("x" * 300)):
        with pytest.raises(MosaicError, match="cannot be saved"):
            plan.save(path)
    assert [p.name for p in tmp_path.iterdir()] == ["folder"]
    assert (tmp_path / "folder" / "kept").read_text() == "x"


@pytest.mark.skipif(sys.platform == "win32" or os.geteuid() == 0, reason="needs rights that can be taken away")
def test_a_folder_closed_to_writing(tmp_path):
    tmp_path.chmod(0o500)
    try:
        with pytest.raises(MosaicError, match="cannot be saved"):
            Plan.load(EXAMPLE).save(tmp_path / "plan.json")
    finally:
        tmp_path.chmod(0o700)


@pytest.mark.skipif(sys.platform == "win32", reason="rights of files are told otherwise there")
def test_a_saved_plan_has_the_rights_of_any_new_file(tmp_path):
    (tmp_path / "usual").write_text("x")
    saved = Plan.load(EXAMPLE).save(tmp_path / "plan.json")
    assert saved.stat().st_mode == (tmp_path / "usual").stat().st_mode


# --- names -------------------------------------------------------------------------------------------

NAMES = [
    "../../escape",
    "/etc/passwd",
    "..",
    ".",
    "a/b\\c",
    "C:\\windows",
    "CON",
    "nul.txt",
    "~",
    "<script>alert(1)</script>",
    '"><svg onload=x>',
    "]]>",
    "&amp; & < >",
    "🟦 blau ß é",
    "\u202egnp.exe",
    "line\nbreak\ttab\r",
    "\x00\x01\x1b[31m",
    "\ufffe\uffff",
    "-rf",
    "=1+1",
    "{0} %s $HOME",
    "x" * 80,
]


@pytest.mark.parametrize(("name", "colour"), list(zip(NAMES[::2], NAMES[1::2], strict=True)), ids=ascii)
def test_names_stay_in_the_folder_and_are_escaped(tmp_path, name, colour):
    import xml.etree.ElementTree as ET

    file, out = tmp_path / "plan.json", tmp_path / "deep" / "out"
    plan = small(name=colour, note=name)
    plan["glass"] = [plan["glass"][0] | {"name": name}, plan["glass"][0] | {"name": colour}]
    plan["tile"]["colours"][0]["name"], plan["tile"]["colours"][1]["name"] = name, colour
    file.write_text(json.dumps(plan))
    written = command.plan(file, out)
    assert all(path.parent == out and path.is_file() for path in written)
    assert sorted(out.iterdir()) == sorted(written)
    assert sorted(tmp_path.rglob("*")) == sorted([file, tmp_path / "deep", out, *written])
    for path in written:
        assert path.name.isprintable() and not set(path.name) & set('/\\:*?"<>|\0') and len(path.name) < 120
        if path.suffix == ".svg":
            tree = ET.parse(path)  # well formed, whatever the name
            assert {tag.tag.split("}")[1] for tag in tree.iter()}.isdisjoint({"script", "b", "foreignObject"})
            assert all("onload" not in tag.attrib for tag in tree.iter())
        if path.suffix == ".pdf":
            assert len(PdfReader(path).pages) >= 1
    kept = Plan.load(out / "plan_as_read.json")
    assert kept.name == kept.glass[1].name == kept.tile.colours[1].name == colour
    assert kept.note == kept.glass[0].name == kept.tile.colours[0].name == name


def test_names_that_come_out_alike_do_not_overwrite_each_other(tmp_path):
    plan = small()
    plan["glass"] = [plan["glass"][0] | {"name": name} for name in ("a/b", "a b", "a-b")]
    plan["tile"]["colours"][0]["in_hand"] = plan["tile"]["colours"][1]["in_hand"] = 30
    file = tmp_path / "plan.json"
    file.write_text(json.dumps(plan))
    written = command.plan(file, tmp_path / "out")
    assert len(set(written)) == len(written)
    assert {"a-b.pdf", "a-b-2.pdf", "a-b-3.pdf"} <= {path.name for path in written}
    assert Path(file).exists()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"filler": {"bead": -1}}, "'filler, bead' must be at least 0, not -1"),
        ({"adhesive": {"coverage": 1.5}}, "must be at most 1, not 1.5"),
    ],
)
def test_limits_are_told_in_words(change, words):
    plan = json.loads((DATA / "example_plan.json").read_text(encoding="utf-8"))
    with pytest.raises(MosaicError, match=re.escape(words)):
        Plan.made(**plan | change)


def test_a_missing_plan_names_those_that_are_there(tmp_path):
    Plan.load(DATA / "example_plan.json").save(tmp_path / "lamp.json")
    with pytest.raises(MosaicError, match=r"no file called door\.json here\. There are: lamp\."):
        Plan.load(tmp_path / "door.json")


@pytest.mark.parametrize("name", ["\ufeff", "\ufeffblue", "sea\ufeff"])
def test_a_mark_that_cannot_be_drawn_is_no_part_of_a_name(tmp_path, name):
    """Easily pasted from the first cell of a list; the writer of PDFs once ended in a traceback over it."""
    words = refused(tmp_path / "plan.json", changed(("tile", "colours", 0, "name"), name))
    assert "a name" in words
