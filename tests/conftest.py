"""Settings of all tests, and how they are shared out where several run at once."""

import os
import signal
from pathlib import Path

import pytest
from hypothesis import settings
from xdist.scheduler import LoadScopeScheduling

TESTS = Path(__file__).resolve().parent
BROWSER = TESTS / "browser"
TOURS = {f"tests/browser/{path.name}" for path in BROWSER.glob("test_*.py") if "toured" in path.read_text("utf-8")}

# a busy machine must not make a property fail
settings.register_profile("house", deadline=None)
settings.load_profile("house")

# What runs tests in the background may have them started with Ctrl and C ignored, which every process they start would inherit.
signal.signal(signal.SIGINT, signal.default_int_handler)


class Shares(LoadScopeScheduling):
    """What runs in one process, one after the other: one file, or all that look at the same tours of the workbooks.

    The first process takes what needs a browser as long as there is any; the others take the notebooks first, which mind its
    loop, and the browser last.
    """

    def _split_scope(self, nodeid):
        path = nodeid.partition("::")[0]
        return "tests/browser/tours" if path in TOURS else path

    def _assign_work_unit(self, node):
        def wish(scope):
            return scope.startswith("tests/browser/") != (node is self.nodes[0]), not scope.endswith(".ipynb")

        self.workqueue.move_to_end(min(self.workqueue, key=wish), last=False)
        super()._assign_work_unit(node)


def pytest_xdist_make_scheduler(config, log):
    """Share the tests out where several processes run them."""
    return Shares(config, log)


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items, config):
    """Mark what is in the browser's folder, and put it last: its event loop would be in the way of other tests.

    Where several processes share the work, `Shares` says who does what; what measures speed is left out there, as nothing else
    may run beside it.
    """
    for item in items:
        if BROWSER in item.path.parents:
            item.add_marker(pytest.mark.browser)
        if TESTS / "speed" in item.path.parents and item.get_closest_marker("slow") is None:  # long forms are asked for
            item.add_marker(pytest.mark.alone)
    browser, books, rest = [], [], []
    for item in items:
        (browser if BROWSER in item.path.parents else books if item.path.suffix == ".ipynb" else rest).append(item)
    if "PYTEST_XDIST_WORKER" not in os.environ:
        items[:] = books + rest + browser
        return
    shared = [item for item in browser + books + rest if item.get_closest_marker("alone") is None]
    config.hook.pytest_deselected(items=[item for item in items if item.get_closest_marker("alone")])
    items[:] = shared
