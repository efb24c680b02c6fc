"""What a browser test does to a workbook: open it, move a slider, and look for anything gone wrong.

`from driving import ...` in any test of this folder; each takes the `page` that the fixture gives.
"""

__all__ = [
    "SET",
    "Server",
    "begin_afresh",
    "box",
    "chromium_path",
    "expect_set",
    "move_slider",
    "no_errors",
    "open_in_lab",
    "open_workbook",
    "run_all",
    "served",
    "slider",
    "started",
    "typed",
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

SET = """() => JSON.stringify([...document.querySelectorAll('.mosaic-controls :is(input, select)')]
    .filter((one) => one.offsetParent)
    .map((one) => (one.type === 'checkbox' ? one.checked : one.value)))"""


@dataclass(frozen=True)
class Server:
    """Where the door said the workbooks are, and the folder it serves."""

    address: str
    folder: Path
    board: str = ""  # of a class, for its teacher

    @property
    def origin(self):
        """The address without its page."""
        parts = urlsplit(self.address)
        return f"{parts.scheme}://{parts.netloc}"

    @property
    def token(self):
        """The word that opens the server."""
        ((word,),) = parse_qs(urlsplit(self.address).query).values()
        return word

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


def box(page, label):
    """Return the box of a slider by its tooltip, which is the label."""
    return workbook(page).locator(f'input[type=text][title^="{label}"], .widget-text[title^="{label}"] input').first


def typed(page, label, words):
    """Type into the box of a slider, and press Enter."""
    box(page, label).fill(words)
    box(page, label).press("Enter")


def expect_set(page, wanted):
    """Wait until the open lesson's controls stand at what is wanted, as `SET` tells them."""
    page.wait_for_function(f"wanted => ({SET})() === wanted", arg=wanted, timeout=PATIENCE)


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
def started(arguments, folder, state, here=REPOSITORY, says=(ADDRESS_LINE,)):
    """Run Python with these arguments, which open the door, and give the server it speaks of in lines that begin so."""
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
            address, *board = _addresses(door, errors, says)
            yield Server(address, folder, *board)
        finally:
            door.terminate()
            _wait_until_gone(door)


def _wait_until_gone(door):
    try:
        door.wait(timeout=30)
    except subprocess.TimeoutExpired:
        door.kill()
        pytest.fail("The door did not end within 30 s of being stopped.")


def _addresses(door, errors, says):
    # A door that hangs would otherwise hang the whole run.
    alarm = threading.Timer(120, door.kill)
    alarm.start()
    found = []
    try:
        for line in door.stdout:
            found += [line.removeprefix(begin).strip() for begin in says if line.startswith(begin)]
            if len(found) == len(says):
                return found
    finally:
        alarm.cancel()
    pytest.fail("The door said no address. It said:\n" + errors.read_text(encoding="utf-8"))
