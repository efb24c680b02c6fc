"""The real door and one Chromium for the whole run; every test gets a fresh page."""

import os
import shutil
import time
from pathlib import Path

import psutil
import pytest

from driving import chromium_path, started, watch
from mosaiclib.launch import WORKBOOKS

HERE = Path(__file__).resolve().parent
NO_CHROMIUM = (
    "No Chromium was found on this computer, so the workbooks were not opened in a browser. "
    "Install Chromium, or set MOSAIC_CHROMIUM to where it is."
)


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items):
    """Mark what is in this folder, and put it last: its event loop would be in the way of other tests."""
    ours = [item for item in items if HERE in item.path.parents]
    for item in ours:
        item.add_marker(pytest.mark.browser)
    items[:] = [item for item in items if HERE not in item.path.parents] + ours


@pytest.fixture(scope="session")
def chromium():
    """Start one Chromium, or skip where there is none (fail where it is required)."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        path = chromium_path(playwright)
        if path is None:
            refuse = pytest.fail if os.environ.get("MOSAIC_BROWSER") == "required" else pytest.skip
            refuse(NO_CHROMIUM)
        quiet = "--disable-gpu --disable-quic --no-first-run --disable-background-networking"
        options = [*quiet.split(), "--no-sandbox", "--disable-component-update", "--disable-sync"]
        browser = playwright.chromium.launch(executable_path=path, args=options)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def served_folder(tmp_path_factory):
    """Return a copy of the workbooks: a test that saves must not change the repository."""
    folder = tmp_path_factory.mktemp("served") / "workbooks"
    shutil.copytree(WORKBOOKS, folder, ignore=shutil.ignore_patterns(".ipynb_checkpoints"))
    return folder


@pytest.fixture(scope="session")
def state_folder(tmp_path_factory):
    """Return the folder for what the server remembers; open to others, as a careless system makes it."""
    folder = tmp_path_factory.mktemp("state")
    folder.chmod(0o755)
    return folder


@pytest.fixture(scope="session")
def server(served_folder, state_folder):
    """Start `python -m mosaiclib` on the copy and read its address from what it says."""
    with started(
        ["-m", "mosaiclib", "--no-browser", "--workbooks", str(served_folder)], served_folder, state_folder
    ) as it:
        yield it


@pytest.fixture(autouse=True)
def nothing_kept(state_folder):
    """Forget what an earlier test set, once its workbook has gone: it keeps what was set at its end."""
    kept, patience = state_folder / "kept", time.monotonic() + 4
    while any(psutil.pid_exists(int(note.suffixes[-2][1:])) for note in kept.glob("*/*.open")):
        if time.monotonic() > patience:
            break
        time.sleep(0.1)
    time.sleep(0.2)
    for left in kept.glob("*/*"):  # the note of one that stays open in JupyterLab too, so that none waits for it again
        left.unlink(missing_ok=True)


@pytest.fixture
def page(chromium, server):
    """Return a fresh page that knows the server, notes console errors and reaches no other computer."""
    context = chromium.new_context(viewport={"width": 1400, "height": 1000})
    page = context.new_page()
    watch(page, server)
    yield page
    context.close()


@pytest.fixture
def kernel():
    """Return a function that finds the kernel of the page that was opened last."""

    def found():
        ours = [
            each
            for each in psutil.Process().children(recursive=True)
            if "ipykernel_launcher" in " ".join(each.cmdline())
        ]
        return max(ours, key=lambda each: each.create_time())

    return found
