"""What a person saved or put into a folder is never lost: plans, sheets, lists, and what the terminal says of them."""

import csv
import hashlib
import json
import os
import signal
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import pandas as pd
import pytest

from mosaiclib import launch
from mosaiclib.drawing.palette import colour_word
from mosaiclib.errors import MosaicError
from mosaiclib.files import list_bytes, safe_name
from mosaiclib.job import Plan, command, work_out
from mosaiclib.lesson.page import Lesson
from mosaiclib.lessons import w02_crossing, w02_motif, w02_ring, w02_rows, w04_piece, w06_piece, w06_plan, w06_print

EXAMPLE = Path(__file__).parent / "plain_plan.json"
POSIX = pytest.mark.skipif(sys.platform == "win32", reason="told otherwise there")


def small(*names, **changes):
    """A plan of small panes with these names, quick to work out."""
    pane = {"kind": "pane", "width": 42, "height": 20}
    stock = [{"name": "green", "in_hand": 99}, {"name": "blue", "in_hand": 99}]
    plan = {
        "version": 1,
        "name": "small",
        "glass": [pane | {"name": name} for name in names or ("pane",)],
        "tile": {"side": 20, "thickness": 4, "colours": stock},
        "joint": {"wanted": 2, "least": 1, "greatest": 3},
    }
    return Plan.made(**plan | changes)


@pytest.fixture(scope="module")
def worked():
    return work_out(small())


def content(folder):
    """What stands in a folder, hidden things too."""
    return {path.name: path.read_bytes() if path.is_file() else None for path in folder.iterdir()}


class Page:
    """Workbook 06 as a person uses it: the name in the box, the buttons, the sentence."""

    def __init__(self, folder):
        w06_plan.shelf_in.cache_clear()  # each is a page of its own, in a program of its own
        self.lesson = Lesson(w06_piece, w06_plan.quick(), folder / "my_plans")
        self.printing = Lesson(w06_print, w06_plan.quick(), folder / "my_plans", self.lesson)

    def press(self, button, name):
        part = self.lesson if button in self.lesson.buttons else self.printing
        part.go_on(self.lesson)
        part.box.value = name  # sheets and lists have the work's own name
        part.buttons[button].click()
        return str(part.said)

    def set(self, name="", **changes):
        base = self.lesson.settings.base
        changes |= {"base": base.model_copy(update={"name": name})} if name else {}
        self.lesson.set(replace(self.lesson.settings, **changes))


@pytest.fixture
def page(tmp_path):
    return Page(tmp_path)


@pytest.fixture
def plans(tmp_path):
    return tmp_path / "my_plans"


def name_in(file):
    return json.loads(file.read_text(encoding="utf-8"))["name"]


class TestSave:
    def test_again_and_again_just_saves(self, page, plans):
        for side in (15.0, 14.0, 15.0):
            page.set(tile=side)
            assert page.press("save", "tray") == "Saved as my_plans/tray.json."
        assert list(content(plans)) == ["tray.json"]
        assert page.press("load", "tray").endswith("is loaded.")
        page.set(tile=16.0)
        assert page.press("save", "tray") == "Saved as my_plans/tray.json."
        assert list(content(plans)) == ["tray.json"]

    def test_another_plan_of_that_name_is_kept(self, page, plans):
        page.set(name="Tray")
        page.press("save", "tray")
        first = (plans / "tray.json").read_bytes()
        page.set(name="Sun ring")
        said = page.press("save", "tray")
        assert said.startswith("Saved as my_plans/tray.json.") and "my_plans/tray-before.json" in said
        assert (plans / "tray-before.json").read_bytes() == first
        assert name_in(plans / "tray.json") == "Sun ring"
        assert page.press("load", "tray-before") == "Tray is loaded."

    def test_a_plan_loaded_in_between_does_not_pass_for_the_first(self, page, plans):
        page.press("save", "tray")
        first = (plans / "tray.json").read_bytes()
        page.set(tile=15.0)
        page.press("save", "copy")
        page.press("save", "tray")
        assert (plans / "tray-before.json").read_bytes() == first

    @pytest.mark.parametrize("notes", [b'{"diary": "own notes"}', b"no JSON at all", b"", b"\xff\x00"])
    def test_a_file_that_is_no_plan_is_kept(self, page, plans, notes):
        plans.mkdir()
        (plans / "diary.json").write_bytes(notes)
        assert "diary-before.json" in page.press("save", "diary")
        assert (plans / "diary-before.json").read_bytes() == notes

    def test_what_an_editor_changed_meanwhile_is_kept(self, page, plans):
        page.press("save", "shared")
        page.press("load", "shared")
        edited = (plans / "shared.json").read_bytes().replace(b'"A4"', b'"Letter"')
        (plans / "shared.json").write_bytes(edited)
        assert "shared-before.json" in page.press("save", "shared")
        assert (plans / "shared-before.json").read_bytes() == edited

    def test_two_tabs_both_keep_their_work(self, page, plans):
        other = Page(plans.parent)
        page.press("save", "two")
        other.press("load", "two")
        page.set(tile=14.0)
        other.set(tile=16.0)
        assert page.press("save", "two") == "Saved as my_plans/two.json."
        assert "two-before.json" in other.press("save", "two")
        sides = {name: json.loads(raw)["tile"]["side"] for name, raw in content(plans).items()}
        assert sides == {"two.json": 16.0, "two-before.json": 14.0}

    def test_each_old_one_gets_a_name_of_its_own(self, page, plans):
        plans.mkdir()
        for count in range(3):
            (plans / "a.json").write_text(f"notes {count}")
            page.press("save", "a")
        assert [(plans / f"a-before{tail}.json").read_text() for tail in ("", "-2", "-3")] == [
            "notes 0",
            "notes 1",
            "notes 2",
        ]

    def test_names_alike_but_for_capitals_are_one_file(self, page, plans):
        plans.mkdir()
        (plans / "Tray.json").write_text("notes")
        assert "kept as my_plans/Tray-before.json" in page.press("save", "tray")
        assert sorted(content(plans)) == ["Tray-before.json", "Tray.json"]
        assert page.press("load", "TRAY").endswith("is loaded.")

    def test_different_names_that_fall_on_one_file(self, page, plans):
        page.press("save", "my piece")
        first = (plans / "my-piece.json").read_bytes()
        page.set(tile=15.0)
        page.press("save", "my-piece")
        assert (plans / "my-piece-before.json").read_bytes() == first

    def test_long_names_that_are_cut_alike(self, page, plans):
        page.press("save", "a" * 200 + " one")
        first = next(plans.iterdir()).read_bytes()
        page.set(tile=15.0)
        page.press("save", "a" * 200 + " two")
        assert len(content(plans)) == 2 and first in content(plans).values()
        old = next(name for name, raw in content(plans).items() if raw == first)
        assert page.press("load", old).endswith("is loaded.")

    def test_names_in_every_script_stay_apart(self, page, plans):
        names = ["窗", "门", "план", "خطة", "καθρέφτης", "खिड़की", "หน้าต่าง", "Ä", "A"]
        for name in names:
            page.set(name=name)
            assert "before" not in page.press("save", name)
        assert sorted(name_in(file) for file in plans.iterdir()) == sorted(names)
        assert {file.stem for file in plans.iterdir()} == set(names)

    def test_a_folder_that_cannot_be_made_is_told(self, page, plans):
        plans.write_text("a file in the way")
        for button in ("save", "print"):
            said = page.press(button, "tray")
            assert "my_plans" in said and said.endswith("."), said
            page.lesson.say("")
        assert plans.read_text() == "a file in the way"

    @pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="needs rights that can be taken away")
    def test_a_folder_closed_to_writing_is_told(self, page, plans):
        plans.mkdir(0o500)
        assert "Permission denied" in page.press("save", "tray")

    @POSIX
    def test_a_link_stays_and_its_target_is_written(self, page, plans):
        plans.mkdir()
        (plans.parent / "elsewhere.json").write_text("notes")
        (plans / "tray.json").symlink_to(plans.parent / "elsewhere.json")
        page.press("save", "tray")
        assert (plans / "tray.json").is_symlink() and name_in(plans.parent / "elsewhere.json")
        assert (plans / "tray-before.json").read_text() == "notes"

    @POSIX
    def test_links_in_a_circle_are_told(self, tmp_path):
        (tmp_path / "a.json").symlink_to("b.json")
        (tmp_path / "b.json").symlink_to("a.json")
        with pytest.raises(MosaicError, match=r"cannot be saved as a\.json"):
            small().save(tmp_path / "a.json")
        assert (tmp_path / "a.json").is_symlink()


class TestNames:
    @pytest.mark.parametrize(
        ("words", "name"),
        [
            ("Pflanzgefäß: vorn", "Pflanzgefäß-vorn"),
            ("A\u0308", "Ä"),
            ("../..", "sheet"),
            ("end. ", "end"),
            ("план №1", "план-1"),
            ("a/b\\c:d*e?f", "a-b-c-d-e-f"),
            ("\u202egnp.exe", "gnp-exe"),
            ("\ud800", "sheet"),
        ],
    )
    def test_letters_of_every_script_stay(self, words, name):
        assert safe_name(words) == name == safe_name(name)

    @pytest.mark.parametrize("device", ["con", "NUL", "prn", "Aux", "com1", "LPT9", "com¹", "con."])
    def test_names_of_devices_are_avoided(self, device):
        name = safe_name(device)
        # reserved names: Microsoft, Naming Files, Paths, and Namespaces (from memory)
        assert name.casefold() not in {"con", "nul", "prn", "aux", "com1", "lpt9", "com¹"}
        assert name == safe_name(name)

    def test_long_names_fit_every_system(self):
        for sign in ("a", "窗", "𠀀", "é"):  # at most 255 bytes with what is added to them
            assert len(safe_name(sign * 300).encode()) <= 120 and len(safe_name(sign * 300)) <= 80


class TestSet:
    def test_somebody_elses_files_are_refused_by_name(self, tmp_path, worked):
        own = ("colours.csv", "overview.csv", "cut_list.csv", "batch_card.pdf", "pane.pdf", "plan_as_read.json")
        for name in own:
            (tmp_path / name).write_text("mine")
        before = content(tmp_path)
        with pytest.raises(MosaicError) as told:
            command.write(worked, tmp_path)
        assert all(name in str(told.value) for name in own) and str(told.value).endswith(".")
        assert content(tmp_path) == before

    @pytest.mark.parametrize("text", ["mine", "", "cut_list.csv\n"])
    def test_a_list_of_somebody_else_is_refused(self, tmp_path, worked, text):
        (tmp_path / "written_here.txt").write_text(text)
        with pytest.raises(MosaicError, match=r"written_here\.txt"):
            command.write(worked, tmp_path)
        assert content(tmp_path) == {"written_here.txt": text.encode()}

    def test_the_list_marks_every_file(self, tmp_path, worked):
        written = command.write(worked, tmp_path)
        lines = (tmp_path / "written_here.txt").read_text(encoding="utf-8").splitlines()
        marks = dict(reversed(line.split("  ", 1)) for line in lines if not line.startswith("#"))
        assert marks == {
            path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in written if path.suffix != ".txt"
        }
        assert command.write(worked, tmp_path) == written

    def test_a_file_changed_since_is_not_replaced(self, tmp_path, worked):
        command.write(worked, tmp_path)
        (tmp_path / "cut_list.csv").write_text("with my ticks")
        before = content(tmp_path)
        with pytest.raises(MosaicError, match=r"cut_list\.csv"):
            command.write(worked, tmp_path)
        assert content(tmp_path) == before

    def test_an_old_sheet_changed_since_stays(self, tmp_path):
        command.write(work_out(small("left", "right")), tmp_path)
        (tmp_path / "right.pdf").write_text("drawn over")
        command.write(work_out(small("left")), tmp_path)
        assert (tmp_path / "right.pdf").read_text() == "drawn over"
        assert "right-template-01.svg" not in content(tmp_path)

    def test_an_old_list_without_marks_is_understood(self, tmp_path, worked):
        def as_once():
            names = [path.name for path in command.write(worked, tmp_path)]
            (tmp_path / "written_here.txt").write_text("\n".join(names) + "\n", encoding="utf-8")

        as_once()
        command.write(worked, tmp_path)
        as_once()
        late = time.time() + 60
        (tmp_path / "cut_list.csv").write_text("with my ticks")
        os.utime(tmp_path / "cut_list.csv", (late, late))
        with pytest.raises(MosaicError, match=r"cut_list\.csv"):
            command.write(worked, tmp_path)
        assert (tmp_path / "cut_list.csv").read_text() == "with my ticks"

    def test_a_list_cannot_reach_out_of_its_folder(self, tmp_path, worked):
        out = tmp_path / "out"
        command.write(worked, out)
        (tmp_path / "mine.csv").write_text("mine")
        (out / "notes.txt").write_text("mine")
        with (out / "written_here.txt").open("a", encoding="utf-8") as file:
            mark = hashlib.sha256(b"mine").hexdigest()
            file.write(f"{mark}  ../mine.csv\n{mark}  notes.txt\n{mark}  {tmp_path / 'mine.csv'}\n")
        command.write(worked, out)
        assert (tmp_path / "mine.csv").exists() and (out / "notes.txt").exists()

    def test_long_names_and_names_alike_but_for_capitals(self, tmp_path):
        long = "a" * 79
        plan = small(f"{long}b", f"{long}c", "Front", "front", "Summary", "b" * 80)
        written = command.write(work_out(plan), tmp_path)
        names = [path.name for path in written]
        assert len({name.casefold() for name in names}) == len(names) == len(content(tmp_path))
        assert (
            sum(name.endswith(".pdf") for name in names) == 10
        )  # six panes, the cards of bench, batch and days, the summary
        assert sum(name.endswith(".svg") for name in names) == 6
        assert command.write(work_out(plan), tmp_path) == written

    def test_an_old_sheet_alike_but_for_capitals_goes(self, tmp_path):
        command.write(work_out(small("Front")), tmp_path)
        command.write(work_out(small("front")), tmp_path)
        assert {name for name in content(tmp_path) if name.casefold() == "front.pdf"} == {"front.pdf"}

    @pytest.mark.parametrize("bad", range(1, 18, 4))
    def test_one_file_that_cannot_be_moved_leaves_all_old(self, tmp_path, worked, monkeypatch, bad):
        out = tmp_path / "out"
        command.write(work_out(small("pane", "other")), out)
        before, moved, real = content(out), [], Path.rename

        def locked(self, target):
            moved.append(target)
            if len(moved) == bad:
                raise PermissionError(13, "in use", str(self))
            return real(self, target)

        monkeypatch.setattr(Path, "rename", locked)
        with pytest.raises(MosaicError, match=r"into .*out.*: in use\."):
            command.write(worked, out)
        assert content(out) == before

    def test_a_list_that_cannot_be_finished_leaves_all_old(self, tmp_path, worked, monkeypatch):
        command.write(work_out(small("pane", "other")), tmp_path)
        before, real, lists = content(tmp_path), os.replace, []

        def full(source, target):
            lists.extend([1] * (Path(target).name == "written_here.txt"))
            if len(lists) == 2:
                lists.append(1)
                raise OSError(28, "No space left on device")
            return real(source, target)

        monkeypatch.setattr(os, "replace", full)
        with pytest.raises(MosaicError, match="No space left"):
            command.write(worked, tmp_path)
        assert content(tmp_path) == before

    @pytest.mark.parametrize("out", ["\ud800", "x" * 300, "/dev/null/x", "a\0b", None], ids=ascii)
    def test_folders_that_cannot_be(self, worked, out):
        with pytest.raises(MosaicError):
            command.write(worked, out)

    def test_stopped_between_the_moves_leaves_all_old(self, tmp_path, worked, monkeypatch):
        command.write(work_out(small("pane", "other")), tmp_path)
        before, real = content(tmp_path), Path.rename
        stop = iter([False] * 5 + [True] + [False] * 100)

        def stopped(self, target):
            done = real(self, target)
            if next(stop):
                raise KeyboardInterrupt
            return done

        monkeypatch.setattr(Path, "rename", stopped)
        with pytest.raises(KeyboardInterrupt):
            command.write(worked, tmp_path)
        assert content(tmp_path) == before

    def test_killed_between_the_moves_is_said_and_cured(self, tmp_path):
        file, out = tmp_path / "plan.json", tmp_path / "out"
        command.write(work_out(small("pane", "other")), out)
        small().save(file)
        code = (
            "import os, sys; from pathlib import Path; real, moves = Path.rename, []\n"
            "def rename(self, target):\n"
            "    moves.append(1)\n"
            "    if len(moves) > 7: os._exit(9)\n"
            "    return real(self, target)\n"
            "Path.rename = rename\n"
            "from mosaiclib.job import command; command.plan(*sys.argv[1:])"
        )
        done = subprocess.run([sys.executable, "-c", code, file, out], cwd=launch.REPOSITORY)
        assert done.returncode == 9
        assert "Write them again" in (out / "written_here.txt").read_text(encoding="utf-8")
        for hidden in out.glob(".making-*"):
            os.utime(hidden, (0, 0))
        names = {path.name for path in command.plan(file, out)}
        assert set(content(out)) == names
        assert "Write them again" not in (out / "written_here.txt").read_text(encoding="utf-8")

    def test_hidden_folders_of_a_killed_run_are_swept_after_an_hour(self, tmp_path, worked):
        for age, name in ((3700, ".making-old"), (60, ".making-new")):
            (tmp_path / name / "within").mkdir(parents=True)
            os.utime(tmp_path / name, (time.time() - age,) * 2)
        command.write(worked, tmp_path)
        assert ".making-old" not in content(tmp_path) and ".making-new" in content(tmp_path)

    def test_a_failure_takes_away_the_folders_it_made(self, tmp_path, worked, monkeypatch):
        def full(*_):
            raise OSError(28, "No space left on device")

        monkeypatch.setattr(command, "writing_pdf", full)
        with pytest.raises(MosaicError, match="No space left"):
            command.write(worked, tmp_path / "deep" / "out")
        assert content(tmp_path) == {}

    @POSIX
    def test_rights_are_those_of_any_new_file(self, tmp_path, worked):
        old = os.umask(0o077)
        try:
            written = command.write(worked, tmp_path)
        finally:
            os.umask(old)
        assert {path.stat().st_mode & 0o777 for path in written} == {0o600}

    @pytest.mark.parametrize(
        ("module", "name"),
        [
            (w02_ring, "one-gauge.pdf"),
            (w02_rows, "one-cut-list.csv"),
            (w02_crossing, "one-gauges.csv"),
            (w02_motif, "one-template.pdf"),
            (w04_piece, "one-batch.pdf"),
        ],
        ids=lambda each: getattr(each, "__name__", ""),
    )
    def test_every_page_spares_what_others_wrote(self, tmp_path, module, name):
        plans = tmp_path / "my_plans"
        page = Lesson.of(module, tmp_path)

        def press(name):
            page.box.value = name
            page.buttons["print"].click()
            return str(page.said)

        assert f"my_plans/{name}" in press("one") and f"my_plans/{name}" in press("one")
        (plans / name).write_text("mine")
        before = content(plans)
        assert name in press("one") and "mine" in (plans / name).read_text() and content(plans) == before
        assert f"my_plans/{name.replace('one', 'two')}" in press("two")
        assert set(before) < set(content(plans))  # what was written under another name stays
        (tmp_path / "closed").mkdir()
        (tmp_path / "closed" / "my_plans").write_text("in the way")
        page = Lesson.of(module, tmp_path / "closed")
        assert "could be written" in press("one")


FORMULAS = ["=1+1", '=HYPERLINK("http://127.0.0.1","x")', "@SUM(A1)", "+2", "-2+3", "\t=1", "\r=1", "＝1+1"]


class TestLists:
    def test_no_list_holds_a_formula(self, tmp_path):
        plan = small(*FORMULAS).model_dump(mode="json")
        colours = {colour_word(name): name for name in FORMULAS}.values()  # a space more makes no other colour
        plan["tile"]["colours"] = [{"name": name, "in_hand": 9} for name in colours]
        plan["note"], plan["currency"] = FORMULAS[0], FORMULAS[1][:20]
        for path in command.write(work_out(Plan.made(**plan)), tmp_path):
            if path.suffix == ".csv":
                with path.open(encoding="utf-8-sig", newline="") as file:
                    cells = [cell for row in csv.reader(file) for cell in row if cell]
                assert not [cell for cell in cells if cell[0] in "=+@\t\r＝" or "\r" in cell], path.name
                assert not [cell for cell in cells if cell[0] == "-" and not _is_number(cell)], path.name
        for name, written in (("colours.csv", colours), ("cut_list.csv", FORMULAS)):
            said = (tmp_path / name).read_text(encoding="utf-8-sig")
            assert all(f"'{bad[0].strip() or ' '}" in said for bad in written), name

    def test_numbers_stay_numbers(self):
        table = pd.DataFrame({"x [mm]": [-1.5, 2.0], "words": ["-1+1", "plain"], "mixed": [-3, "=2"]})
        lines = list_bytes(table).decode("utf-8-sig").splitlines()
        assert lines == ["x [mm],words,mixed", "-1.5,'-1+1,-3", "2.0,plain,'=2"]

    def test_lists_are_written_in_one_place_only(self):
        package = Path(launch.__file__).parent
        users = {p.name for p in package.rglob("*.py") if "to_csv" in p.read_text(encoding="utf-8")}
        assert users == {"files.py"}


def _is_number(cell):
    try:
        float(cell)
    except ValueError:
        return False
    return True


# --- the plan file and the command line ---------------------------------------------------------------


def start(*arguments, folder, stdout=subprocess.PIPE, **environment):
    """The command line in a process of its own."""
    return subprocess.Popen(
        [sys.executable, "-m", "mosaiclib", "plan", *map(str, arguments)],
        cwd=folder,
        env=os.environ | {"PYTHONPATH": str(launch.REPOSITORY)} | environment,
        stdout=stdout,
        stderr=subprocess.PIPE,
    )


def run(*arguments, **how):
    process = start(*arguments, **how)
    out, wrong = process.communicate(timeout=120)
    return process.returncode, out, wrong.decode()


def sentence(words):
    return words.endswith(".\n") and words.count("\n") == 1 and "Traceback" not in words


class TestPlanFile:
    def test_a_name_given_twice_is_refused(self, tmp_path):
        file = tmp_path / "plan.json"
        file.write_text(EXAMPLE.read_text().replace("{", '{"name": "first",', 1))
        with pytest.raises(MosaicError, match=r"plan\.json .*'name' twice"):
            Plan.load(file)

    @pytest.mark.parametrize("kind", ["\x1b]0;owned\x07\x1b[2J", "k" * 10_000])
    def test_an_unknown_kind_is_shown_short_and_plain(self, kind):
        plan = small().model_dump(mode="json")
        plan["glass"][0]["kind"] = kind
        with pytest.raises(MosaicError) as told:
            Plan.made(**plan)
        assert "\x1b" not in str(told.value) and "pane" in str(told.value) and len(str(told.value)) < 300

    def test_no_sentence_steers_a_terminal(self):
        bad = "\x1b]0;owned\x07\x1b[2J\x9b31m\u202e"
        assert str(MosaicError(f"{bad}The pane is too small.")).strip() == "]0;owned [2J 31m The pane is too small."
        plan = small(f"{bad}pane").model_dump(mode="json")
        plan["tile"]["side"] = 50
        with pytest.raises(MosaicError) as told:
            work_out(Plan.made(**plan))
        assert "pane" in str(told.value) and str(told.value).isprintable()

    @POSIX
    def test_names_of_files_are_shown_plain(self, tmp_path):
        (tmp_path / "\x1b[2Jother.json").write_text("{}")
        with pytest.raises(MosaicError) as told:
            Plan.load(tmp_path / "\x1b[31mplan.json")
        assert "plan.json" in str(told.value) and "other" in str(told.value) and str(told.value).isprintable()

    @pytest.mark.parametrize("path", ["", Path()], ids=repr)
    def test_no_file_name_is_a_sentence(self, path):
        with pytest.raises(MosaicError) as told:
            Plan.load(path)
        assert "not the name of a file" in str(told.value) and "Path" not in str(told.value)

    @pytest.mark.skipif(sys.platform == "win32", reason="has none of them")
    def test_what_is_no_plain_file_is_refused_at_once(self, tmp_path):
        os.mkfifo(tmp_path / "pipe")
        for path in (tmp_path / "pipe", Path("/dev/zero")):
            with pytest.raises(MosaicError, match="not a plain file"):
                Plan.load(path)

    def test_half_a_sign_in_a_name_is_a_sentence(self):
        with pytest.raises(MosaicError, match="not the name of a file"):
            small().save("\ud800.json")


class TestTerminal:
    def test_an_empty_out_is_refused(self, tmp_path):
        code, out, wrong = run(EXAMPLE, "--out", "", folder=tmp_path)
        assert (code, out) == (2, b"") and sentence(wrong) and "not the name of a folder" in wrong
        assert content(tmp_path) == {}

    def test_an_empty_file_is_refused(self, tmp_path):
        code, out, wrong = run("", "--out", "out", folder=tmp_path)
        assert (code, out) == (2, b"") and sentence(wrong) and "Path" not in wrong
        assert content(tmp_path) == {}

    @POSIX
    def test_a_screen_without_the_letters(self, tmp_path):
        small().save(tmp_path / "plan.json")
        code, out, wrong = run("plan.json", "--out", "Ω", folder=tmp_path, PYTHONIOENCODING="ascii")
        assert code == 0 and "pane.pdf: sheet 1 of 2" in wrong and b"\\u03a9" in out and b"written_here.txt" in out

    @pytest.mark.skipif(not Path("/dev/full").exists(), reason="only there is a device that is always full")
    def test_nowhere_to_list_what_was_written(self, tmp_path):
        small().save(tmp_path / "plan.json")
        with open("/dev/full", "wb") as full:
            code, _, wrong = run("plan.json", "--out", "out", folder=tmp_path, stdout=full)
        assert code == 0 and "All files are written, but they could not be listed here: " in wrong.splitlines()[-1]

    @POSIX
    def test_a_reader_that_went_away(self, tmp_path):
        small().save(tmp_path / "plan.json")
        read, write = os.pipe()
        os.close(read)
        code, _, wrong = run("plan.json", "--out", "out", folder=tmp_path, stdout=write)
        os.close(write)
        assert code == 0 and "Traceback" not in wrong and "Exception" not in wrong

    @POSIX
    @pytest.mark.parametrize("sent", [signal.SIGINT, signal.SIGTERM], ids=["SIGINT", "SIGTERM"])
    def test_stopped_while_it_writes_says_so_and_leaves_nothing(self, tmp_path, sent):
        file = (
            launch.REPOSITORY / "data" / "example_plan.json"
        )  # its colours need the solver, which takes Ctrl and C away
        process = start(file, "--out", "deep/out", folder=tmp_path)
        until = time.monotonic() + 60
        while not list(tmp_path.glob("deep/out/.making-*/*.pdf")) and time.monotonic() < until:
            time.sleep(0.01)
        process.send_signal(sent)
        out, wrong = process.communicate(timeout=60)
        assert (process.returncode, out, wrong.splitlines()[-1]) == (130, b"", b"Stopped; nothing was written.")
        assert content(tmp_path) == {}

    @POSIX
    def test_stopped_while_it_is_loaded(self, tmp_path):
        process = start(EXAMPLE, "--out", "out", folder=tmp_path)
        maps = Path(f"/proc/{process.pid}/maps")
        until = time.monotonic() + 60
        while "numpy" not in (maps.read_text() if maps.exists() else "numpy") and time.monotonic() < until:
            time.sleep(0.005)
        process.send_signal(signal.SIGTERM)
        out, wrong = process.communicate(timeout=60)
        assert (process.returncode, out, wrong) == (130, b"", b"Stopped; nothing was written.\n")
