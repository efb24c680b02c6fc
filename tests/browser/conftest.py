"""The real door and one Chromium for the whole run; every test gets a fresh page."""

import os
import shutil
import time
from functools import cache

import psutil
import pytest
from playwright.sync_api import expect

from driving import PATIENCE, begin_afresh, chromium_path, open_workbook, started, watch
from mosaiclib.launch import WORKBOOKS
from mosaiclib.lessons import lessons
from tour import file_of, visit

NO_CHROMIUM = (
    "No Chromium was found on this computer, so the workbooks were not opened in a browser. "
    "Install Chromium, or set MOSAIC_CHROMIUM to where it is."
)


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


@pytest.fixture(scope="session")
def toured(chromium, server):
    """Return a function that tells what was seen of a workbook; each is visited once in a run."""

    @cache
    def seen(number):
        context = chromium.new_context()
        page = context.new_page()
        watch(page, server)
        try:
            return visit(page, number)
        finally:
            context.close()

    return seen


@pytest.fixture(scope="module")
def standing(chromium, server):
    """Return a function that gives a part of a workbook as it begins, on a page that is opened once in a module.

    What one types there is gone for the next who asks; errors on the page are not.
    """
    contexts = []

    @cache
    def opened(number, size, touch):
        width, height = size
        contexts.append(chromium.new_context(viewport={"width": width, "height": height}, has_touch=touch))
        page = contexts[-1].new_page()
        watch(page, server)
        open_workbook(page, file_of(number))
        return page

    def given(number, part="", size=(1400, 1000), touch=False):
        page = opened(number, size, touch)
        if part:
            page.locator("#sections").get_by_role("button", name=part, exact=True).click(timeout=PATIENCE)
            expect(page.locator(".mosaic-lesson h3")).to_have_text(lessons(number)[part].TITLE, timeout=PATIENCE)
        begin_afresh(page)
        return page

    yield given
    for context in contexts:
        context.close()
