"""The door's sentences and what it passes on."""

import socket
import subprocess
import sys

import pytest

from mosaiclib import door


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


def test_help_is_in_plain_words(capsys):
    with pytest.raises(SystemExit) as left:
        door.main(["--help"])
    assert left.value.code == 0
    assert "Open the mosaic workbooks in your browser." in capsys.readouterr().out
