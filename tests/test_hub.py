"""A class on JupyterHub, with three learners on this computer: each sees only their own, none can take all, who has gone is ended."""

import os
import re
import secrets
import shutil
import socket
import subprocess
import time

import psutil
import pytest
import requests

from mosaiclib.pages import FOLDER

CONFIG = FOLDER / "settings" / "hub" / "jupyterhub_config.py"
LEARNERS = ("ann", "ben", "cem")  # invented
IDLE = 120  # [s] here
PATIENCE = 240  # [s]
START = "voila/render/00_start_here.ipynb"
NEEDED = ("jupyterhub", "configurable-http-proxy")

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(
        not all(map(shutil.which, NEEDED)),
        reason="JupyterHub and its proxy are not installed here; hub.md says how to have them.",
    ),
]


def until(met):
    """Wait until something is so, and return it."""
    end = time.monotonic() + PATIENCE
    while not (found := met()):
        assert time.monotonic() < end, "This took too long."
        time.sleep(0.5)
    return found


def free_ports(count):
    listening = [socket.create_server(("127.0.0.1", 0)) for _ in range(count)]
    ports = [str(each.getsockname()[1]) for each in listening]
    for each in listening:
        each.close()
    return ports


@pytest.fixture(scope="module")
def word():
    return secrets.token_hex(8)


@pytest.fixture(scope="module")
def state(tmp_path_factory):
    return tmp_path_factory.mktemp("hub")


@pytest.fixture(scope="module")
def address(state, word):
    """Start a hub, and return where it is."""
    names = ("MOSAIC_HUB_PORT", "MOSAIC_HUB_INNER", "MOSAIC_HUB_PROXY")
    ports = dict(zip(names, free_ports(3), strict=True))
    more = {"MOSAIC_HUB": str(state), "MOSAIC_HUB_WORD": word, "MOSAIC_HUB_LEARNERS": " ".join(LEARNERS)}
    env = {**os.environ, **ports, **more, "MOSAIC_HUB_IDLE": str(IDLE)}
    there = f"http://127.0.0.1:{ports['MOSAIC_HUB_PORT']}"
    command = ["jupyterhub", "-f", str(CONFIG)]
    with (
        (state / "log").open("w") as log,
        subprocess.Popen(command, env=env, cwd=state, stdout=log, stderr=log) as hub,
    ):

        def up():
            try:
                return requests.get(f"{there}/hub/login", timeout=10).ok
            except requests.ConnectionError:
                return False

        try:
            until(up)
            yield there
        finally:
            hub.terminate()
            hub.wait(timeout=60)


def entered(address, name, word):
    """Come in as a learner does; return the browser and the page that it was led to."""
    browser = requests.Session()
    browser.get(f"{address}/hub/login", timeout=60)
    given = {"username": name, "password": word, "_xsrf": browser.cookies.get("_xsrf", path="/hub/")}
    browser.post(f"{address}/hub/login", given, timeout=60)

    def page():
        words = browser.get(f"{address}/user/{name}/{START}", timeout=PATIENCE).text
        return words if '"kernelId"' in words else ""  # until then the hub says that the server starts

    return browser, until(page)


def programs(name):
    """Return the running programs of a learner."""
    found = []
    for each in psutil.process_iter():
        try:
            if each.environ().get("MOSAIC_LEARNER") == name:
                found.append(each)
        except psutil.Error:
            continue
    return found


def held(program):
    """Return what a program holds alone [MB]."""
    return program.memory_full_info().uss / 1e6


def words_of(program):
    try:
        return " ".join(program.cmdline())
    except psutil.Error:
        return ""


def test_a_wrong_word_and_a_name_that_is_not_on_the_list_are_refused(address, word):
    for name, said in (("ann", "wrong"), ("eve", word)):
        browser = requests.Session()
        browser.get(f"{address}/hub/login", timeout=60)
        given = {"username": name, "password": said, "_xsrf": browser.cookies.get("_xsrf", path="/hub/")}
        assert browser.post(f"{address}/hub/login", given, timeout=60).status_code == 403


def test_three_learners_see_only_their_own_within_limits_and_end_when_idle(address, word, state):
    every = []
    came = {name: entered(address, name, word) for name in LEARNERS}
    browsers, kernel = {name: browser for name, (browser, _) in came.items()}, {}
    for name, (browser, page) in came.items():
        assert "/lab/tree" not in page and re.search(rf">\s*{name}</span>", page)
        kernel[name] = re.search(r'"kernelId": ?"([^"]+)"', page)[1]
        assert browser.get(f"{address}/user/{name}/lab", timeout=60).status_code == 404
    for name, browser in browsers.items():
        for other in set(LEARNERS) - {name}:
            for path in (START, "api/kernels", f"api/kernels/{kernel[other]}", "api/contents"):
                assert browser.get(f"{address}/user/{other}/{path}", timeout=60).status_code in (403, 404), (
                    name,
                    other,
                    path,
                )
        assert {each["id"] for each in browser.get(f"{address}/user/{name}/api/kernels", timeout=60).json()} == {
            kernel[name]
        }
        assert (state / "learners" / name).stat().st_mode & 0o077 == 0
        mine = programs(name)
        assert len(mine) == 2  # the server and one kernel
        assert {each.rlimit(psutil.RLIMIT_AS)[1] for each in mine} == {3 * 2**30}
        every += mine
        print(f"\n  {name}: server and page hold {sum(map(held, mine)):.0f} MB")
    hub = sum(held(each) for each in psutil.process_iter() if "jupyterhub" in words_of(each) and each not in every)
    print(f"  the hub and what ends idle ones hold {hub:.0f} MB")
    until(lambda: not any(map(programs, LEARNERS)))
