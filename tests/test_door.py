"""The door's sentences and what it passes on."""

import socket
import subprocess
import sys
import types

import pytest

from mosaiclib import door
from mosaiclib.errors import MosaicError


def test_importing_the_package_loads_no_widgets_and_no_plots():
    program = "import mosaiclib, sys; print({'ipywidgets', 'matplotlib'} & set(sys.modules))"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"


def test_a_missing_folder_is_said_in_a_sentence(tmp_path, capsys):
    assert door.main(["--workbooks", str(tmp_path / "gone")]) == 2
    assert capsys.readouterr().err.startswith("There is no folder ")


def test_a_busy_port_is_said_in_a_sentence(tmp_path, capsys):
    with socket.create_server((door.HOST, 0)) as busy:
        port = busy.getsockname()[1]
        assert door.main(["--workbooks", str(tmp_path), "--port", str(port)]) == 2
    assert f"Port {port} is already in use" in capsys.readouterr().err


@pytest.mark.parametrize("port", ["80", "0", "70000"])
def test_a_port_out_of_range_names_the_range(tmp_path, capsys, port):
    assert door.main(["--workbooks", str(tmp_path), "--port", port]) == 2
    assert "from 1024 to 65535" in capsys.readouterr().err


@pytest.fixture
def planner(monkeypatch):
    """Put a plan command in place of the real one and return its module."""
    command = types.ModuleType("mosaiclib.job.command")
    job = types.ModuleType("mosaiclib.job")
    job.command = command
    monkeypatch.setitem(sys.modules, "mosaiclib.job", job)
    monkeypatch.setitem(sys.modules, "mosaiclib.job.command", command)
    return command


def test_plan_names_each_written_file(planner, capsys, tmp_path):
    planner.plan = lambda file, out: [out / "sheets.pdf", out / "buy.csv"]
    assert door.main(["plan", "fish.json", "--out", str(tmp_path)]) == 0
    assert capsys.readouterr().out.split() == [str(tmp_path / "sheets.pdf"), str(tmp_path / "buy.csv")]


def test_plan_says_what_is_wrong_without_a_traceback(planner, capsys, tmp_path):
    def refuse(file, out):
        raise MosaicError("The pane must be wider than 0 mm.")

    planner.plan = refuse
    assert door.main(["plan", "fish.json", "--out", str(tmp_path)]) == 2
    assert capsys.readouterr().err == "The pane must be wider than 0 mm.\n"


def test_help_is_in_plain_words(capsys):
    with pytest.raises(SystemExit) as left:
        door.main(["--help"])
    assert left.value.code == 0
    assert "Open the mosaic workbooks in your browser." in capsys.readouterr().out
