"""What a browser test does to a workbook: open it, move a slider, and look for anything gone wrong.

`from driving import ...` in any test of this folder; each takes the `page` that the fixture gives.
"""

__all__ = [
    "Server",
    "begin_afresh",
    "chromium_path",
    "move_slider",
    "no_errors",
    "open_in_lab",
    "open_workbook",
    "run_all",
    "served",
    "slider",
    "started",
    "watch",
    "workbook",
]

import contextlib
import os
import re
import shutil
import subprocess
import sys
import threading
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import parse_qs, quote, urlsplit

import pytest
from playwright.sync_api import expect

from mosaiclib.launch import ADDRESS_LINE, REPOSITORY

PATIENCE = 60_000  # ms; a kernel on a busy computer with two cores needs several seconds
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
CELLS = "#rendered_cells"  # of a page
NOTEBOOK = ".jp-NotebookPanel:not(.lm-mod-hidden) .jp-Notebook"  # in front, in JupyterLab


@dataclass(frozen=True)
class Server:
    """Where the door said the workbooks are, and the folder it serves."""

    address: str
    folder: Path

    @property
    def origin(self):
        """The address without its page."""
        parts = urlsplit(self.address)
        return f"{parts.scheme}://{parts.netloc}"

    @property
    def token(self):
        """The word that opens the server."""
        return parse_qs(urlsplit(self.address).query)["token"][0]

    def page(self, name):
        """Return the address of one workbook as a plain page."""
        return f"{self.origin}/voila/render/{quote(name)}?token={self.token}"

    def lab(self, name):
        """Return the address of one notebook in JupyterLab."""
        return f"{self.origin}/lab/tree/{quote(name)}?reset&token={self.token}"


@dataclass
class Watched:
    """What happened on a page behind the reader's back."""

    server: Server
    errors: list = field(default_factory=list)
    strangers: list = field(default_factory=list)


_WATCHED = {}


def chromium_path(playwright):
    """Return where Chromium is on this computer, or None."""
    named = os.environ.get("MOSAIC_CHROMIUM") or next(filter(None, map(shutil.which, BROWSERS)), None)
    own = playwright.chromium.executable_path
    return named or (own if Path(own).exists() else None)


def watch(page, server):
    """Note console errors and stop requests to other computers; `no_errors` reads both."""
    watched = _WATCHED[page] = Watched(server)
    page.on("console", lambda said: said.type == "error" and watched.errors.append(said.text))
    page.on("pageerror", lambda error: watched.errors.append(str(error)))
    page.on("close", lambda _: _WATCHED.pop(page, None))

    def stop(route):
        watched.strangers.append(route.request.url)
        route.abort()

    # The page's own pictures (blob:, data:) do not pass here; only real addresses do.
    page.context.route(lambda url: not url.startswith((server.origin, "data:", "blob:")), stop)


def served(page):
    """Return the folder of workbooks that the page's server shows."""
    return _WATCHED[page].server.folder


def workbook(page):
    """Return the workbook on the page, or the notebook in front in JupyterLab."""
    return page.locator(f"{CELLS}, {NOTEBOOK}")


def open_workbook(page, name):
    """Open a workbook as a page, by its file name, and wait until its lesson answers."""
    page.goto(_WATCHED[page].server.page(name))
    page.locator(CELLS).wait_for(timeout=PATIENCE)
    page.locator(f"{CELLS} :is(.jupyter-widgets, .mosaic-picture)").first.wait_for(timeout=PATIENCE)
    return workbook(page)


def begin_afresh(page):
    """Close the folds of the open part, and show it as it begins, in millimetres."""
    lesson = workbook(page).locator(".mosaic-lesson")
    opened = lesson.locator(".mosaic-fold.mod-active")  # at most one is
    if opened.count():
        opened.click()
    lesson.get_by_role("button", name="mm", exact=True).click()
    lesson.get_by_role("button", name="Start afresh").click()
    page.wait_for_timeout(800)  # until it is drawn and kept


def open_in_lab(page, name):
    """Open a notebook in JupyterLab, where it waits for its reader."""
    page.goto(_WATCHED[page].server.lab(name))
    page.locator(f"{NOTEBOOK} .jp-Cell").first.wait_for(timeout=PATIENCE)
    # Not the toolbar's circle: it says "idle" even before there is a kernel.
    expect(page.locator("#jp-main-statusbar")).to_contain_text("| Idle", timeout=PATIENCE)
    return workbook(page)


def run_all(page):
    """Choose Run, Run All Cells in JupyterLab."""
    page.locator(".lm-MenuBar-item", has_text=re.compile("^Run$")).click()
    page.locator(".lm-Menu-item", has_text=re.compile("^Run All Cells$")).click()


def slider(page, label):
    """Return the slider that carries exactly this label."""
    named = page.locator(".widget-label", has_text=re.compile(rf"^\s*{re.escape(label)}\s*$"))
    return workbook(page).locator(".widget-slider", has=named).first


def move_slider(page, label, keys="ArrowRight"):
    """Press keys on the slider with this label: "ArrowRight", "End", or a list of such names."""
    handle = slider(page, label).locator(".noUi-handle").first
    handle.scroll_into_view_if_needed()
    handle.focus()
    for key in [keys] if isinstance(keys, str) else keys:
        page.keyboard.press(key)


def no_errors(page):
    """Fail if the page shows a traceback or a pop-up, or had a console error or called another computer."""
    watched = _WATCHED[page]
    shown = page.locator('[data-mime-type="application/vnd.jupyter.stderr"]').all_text_contents()
    assert shown == []
    assert page.locator(".jp-Dialog").all_text_contents() == []
    assert page.locator(".Toastify__toast").all_text_contents() == []
    assert watched.errors == []
    assert watched.strangers == []


@contextlib.contextmanager
def started(arguments, folder, state, here=REPOSITORY):
    """Run Python with these arguments, which open the door, and give the server it speaks of."""
    state.mkdir(exist_ok=True)
    errors = state / "errors.txt"
    with (
        errors.open("w") as said,
        subprocess.Popen(
            [sys.executable, *arguments],
            cwd=here,
            env={**os.environ, "MOSAIC_STATE_FOLDER": str(state)},
            stdout=subprocess.PIPE,
            stderr=said,
            text=True,
            encoding="utf-8",
        ) as door,
    ):
        try:
            yield Server(_address(door, errors), folder)
        finally:
            door.terminate()
            _wait_until_gone(door)


def _wait_until_gone(door):
    try:
        door.wait(timeout=30)
    except subprocess.TimeoutExpired:
        door.kill()
        pytest.fail("The door did not end within 30 s of being stopped.")


def _address(door, errors):
    # A door that hangs would otherwise hang the whole run.
    alarm = threading.Timer(60, door.kill)
    alarm.start()
    try:
        for line in door.stdout:
            if line.startswith(ADDRESS_LINE):
                return line.removeprefix(ADDRESS_LINE).strip()
    finally:
        alarm.cancel()
    pytest.fail("The door said no address. It said:\n" + errors.read_text(encoding="utf-8"))
