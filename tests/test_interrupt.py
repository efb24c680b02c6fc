"""Ctrl-C and the notebook's stop button: they end what runs, with a word, and never Python itself."""

import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from jupyter_client.manager import start_new_kernel

from mosaiclib.reference import DATA

ROOT = Path(__file__).parents[1]
EXAMPLE = DATA / "example_plan.json"
pytestmark = pytest.mark.skipif(os.name != "posix", reason="signals are sent the way of Linux and macOS")
# everything that asks a solver: a plan, both complete searches, a row's question, the cheapest packs
SOLVING = f"""
import numpy as np
from mosaiclib.colour.graph import ConflictGraph, Task
from mosaiclib.colour.solve import alternate, independence_number, search
from mosaiclib.job import Plan, buying_list, work_out
ring = ConflictGraph(5, np.array([[0, 1], [0, 4], [1, 2], [2, 3], [3, 4]]))
assert search(Task.of(ring, dict(a=2, b=2, c=1)))[0] and independence_number(ring) == 2
row = Task.of(ConflictGraph(2, np.array([[0, 1]])), dict(a=1, b=1))
assert alternate(row, row.stock, np.random.default_rng(0))[1] == (1, 1)
buying_list(work_out(Plan.load({str(EXAMPLE)!r})))
"""


def run(code, **more):
    return subprocess.Popen([sys.executable, *code], cwd=ROOT, stdout=-1, stderr=-1, text=True, **more)


def test_solvers_leave_the_interrupt_to_python():
    asked = (
        "import os, signal\ntry:\n    os.kill(os.getpid(), signal.SIGINT)\nexcept KeyboardInterrupt:\n    print('told')"
    )
    said, wrong = run(["-c", SOLVING + asked]).communicate(timeout=120)
    assert said == "told\n", wrong


def test_solvers_are_made_in_one_place():
    made = [
        p.name for p in (ROOT / "mosaiclib").rglob("*.py") for _ in re.findall(r"CpSolver\(\)", p.read_text("utf-8"))
    ]
    assert made == ["solve.py"]


def test_ctrl_c_ends_a_plan_with_a_word(tmp_path):
    """It is sent while the sheets are made: by then the plan has been worked out, solvers and all."""
    running = run(["-m", "mosaiclib", "plan", str(EXAMPLE), "--out", str(tmp_path / "out")])
    while running.poll() is None and not list(tmp_path.glob("out/.making-*")):
        time.sleep(0.01)
    running.send_signal(signal.SIGINT)
    _, wrong = running.communicate(timeout=60)
    assert running.returncode != 0 and wrong.strip()
    assert not list(tmp_path.glob("out/.making-*"))  # what was half made is taken away


def test_a_kernel_lives_on_after_its_stop_button():
    manager, client = start_new_kernel(cwd=str(ROOT), extra_arguments=["--HistoryManager.enabled=False"])
    try:
        asked = client.execute(
            SOLVING + "from mosaiclib.lessons import show\nshow(\"06\")\nprint('made')\nwhile True: pass"
        )
        while True:
            told = client.get_iopub_msg(timeout=120)
            assert told["msg_type"] != "error", told["content"]
            if "made" in told["content"].get("text", ""):
                break
        manager.interrupt_kernel()
        answers = iter(lambda: client.get_shell_msg(timeout=30), None)  # a slow start is asked after more than once
        reply = next(one for one in answers if one["parent_header"]["msg_id"] == asked)["content"]
        assert reply["status"] == "error" and reply["ename"] == "KeyboardInterrupt"
        client.execute("1 + 1", reply=True, timeout=30)
        assert manager.is_alive()
    finally:
        client.stop_channels()
        manager.shutdown_kernel(now=True)
