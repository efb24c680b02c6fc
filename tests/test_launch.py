"""The door's sentences and what it passes on."""

import os
import shutil
import socket
import subprocess
import sys
from pathlib import Path

import platformdirs
import pytest

from mosaiclib import launch
from mosaiclib.__main__ import FLOOR, run


def test_importing_the_package_loads_no_widgets_and_no_plots():
    program = "import mosaiclib, sys; print({'ipywidgets', 'matplotlib'} & set(sys.modules))"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"


@pytest.mark.parametrize("task", [[], ["plan", "data/example_plan.json", "--out", "nowhere"]])
def test_a_python_without_the_packages_says_a_sentence(task):
    # -S -I: this Python's own library and nothing that was installed beside it
    program = f"import sys; sys.path.insert(0, {str(launch.REPOSITORY)!r}); sys.argv[1:] = {task!r}\n"
    program += "from mosaiclib.__main__ import run; sys.exit(run())"
    done = subprocess.run([sys.executable, "-S", "-I", "-c", program], capture_output=True, text=True)
    assert done.returncode == 2
    assert "lacks a package" in done.stderr and "README" in done.stderr
    assert "Traceback" not in done.stderr


def test_an_old_python_is_told_what_it_takes(monkeypatch, capsys):
    monkeypatch.setattr(sys, "version_info", (3, 9, 2))
    assert run() == 2
    assert "This is Python 3.9; the workbooks need 3.11 or newer." in capsys.readouterr().err


def test_one_floor_of_python_is_said_everywhere():
    floor = ".".join(map(str, FLOOR))
    assert f'requires-python = ">={floor}"' in (launch.REPOSITORY / "pyproject.toml").read_text(encoding="utf-8")
    assert f"Python {floor} or newer" in (launch.REPOSITORY / "README.md").read_text(encoding="utf-8")


def test_the_state_folder_is_closed_to_others(tmp_path, monkeypatch):
    monkeypatch.setattr(os, "environ", {**os.environ, "MOSAIC_STATE_FOLDER": str(tmp_path / "state")})
    (tmp_path / "state" / "runtime").mkdir(parents=True, mode=0o755)  # as an earlier version made it
    monkeypatch.chdir(tmp_path)  # the server leaves the folder it was started in
    launch._keep_private_settings_out()
    for folder in (tmp_path / "state", tmp_path / "state" / "runtime", tmp_path / "state" / "config"):
        assert folder.stat().st_mode & 0o077 == 0


def test_without_a_home_the_state_goes_to_a_folder_of_its_own(tmp_path, monkeypatch):
    monkeypatch.delenv("MOSAIC_STATE_FOLDER", raising=False)
    # what some systems answer where HOME is empty
    monkeypatch.setattr(platformdirs, "user_state_path", lambda *_, **__: Path("~/.local/state/mosaiclib"))
    monkeypatch.chdir(tmp_path)
    folder = launch._state_folder()
    assert folder.is_absolute() and folder.stat().st_mode & 0o077 == 0
    assert list(tmp_path.iterdir()) == []
    shutil.rmtree(folder)


def test_a_missing_folder_is_said_in_a_sentence(tmp_path, capsys):
    assert launch.main(["--workbooks", str(tmp_path / "gone")]) == 2
    assert capsys.readouterr().err.startswith("There is no folder ")


def test_a_busy_port_is_said_in_a_sentence(tmp_path, capsys):
    with socket.create_server((launch.HOST, 0)) as busy:
        port = busy.getsockname()[1]
        assert launch.main(["--workbooks", str(tmp_path), "--port", str(port)]) == 2
    assert f"Port {port} is already in use" in capsys.readouterr().err


@pytest.mark.parametrize("port", ["80", "0", "70000"])
def test_a_port_out_of_range_names_the_range(tmp_path, capsys, port):
    assert launch.main(["--workbooks", str(tmp_path), "--port", port]) == 2
    assert "from 1024 to 65535" in capsys.readouterr().err


def test_help_is_in_plain_words(capsys):
    with pytest.raises(SystemExit) as left:
        launch.main(["--help"])
    assert left.value.code == 0
    assert "Open the mosaic workbooks in your browser." in capsys.readouterr().out


def test_a_file_in_the_place_of_a_state_folder_does_no_harm(tmp_path, monkeypatch):
    monkeypatch.setenv("MOSAIC_STATE_FOLDER", str(tmp_path))
    (tmp_path / "runtime").touch()
    folder = launch._state_folder()
    assert folder != tmp_path and (folder / "runtime").is_dir()
    shutil.rmtree(folder)
