"""Twelve learners at once against one alone, and what a learner's kernel holds beside a bare one, in one run.

Learners are connections that speak the widgets' protocol from outside a browser, as twelve browsers on the computer that also
serves them would be most of what is measured. Time runs from the wish to move a slider until the new picture is there.
"""

import asyncio
import json
import random
import re
import statistics
import time
import uuid
from urllib.parse import urlsplit

import psutil
import pytest
from jupyter_client.manager import start_new_kernel
from tornado.httpclient import AsyncHTTPClient, HTTPRequest
from tornado.websocket import websocket_connect

from mosaiclib.classroom.kernels import READY
from visiting import opened

NUMBER, BOOK = "01", "01_space_the_joints.ipynb"
LEARNERS = 12
EVERY = (2.0, 4.0)  # [s] between two moves of a learner
SLOWER = 3.0  # times one alone, at most, half of all moves
WITHIN_A_SECOND = 0.95
MORE_MEMORY = 1.35  # times a bare kernel with the same imports
SAME_IMPORTS = f"{READY}\nfrom mosaiclib.lessons import asked, lessons\nlessons({NUMBER!r}), asked({NUMBER!r})"


class Learner:
    """A browser in the class: a page, the slider on it that is moved, and the picture that answers."""

    async def come_in(self, server):
        """Open the workbook as a browser does, and find slider and picture."""
        self.place, client = urlsplit(server.address).netloc, AsyncHTTPClient()
        answer = await client.fetch(server.address)
        self.sent = {"Cookie": answer.headers["Set-Cookie"].partition(";")[0], "Origin": f"http://{self.place}"}
        page = f"http://{self.place}/voila/render/{BOOK}"
        opened_page = await client.fetch(HTTPRequest(page, headers=self.sent, request_timeout=120))
        self.kernel = re.search(r'"kernelId": ?"([^"]+)"', opened_page.body.decode())[1]
        channels = f"ws://{self.place}/api/kernels/{self.kernel}/channels?session_id={uuid.uuid4().hex}"
        self.line = await websocket_connect(HTTPRequest(channels, headers=self.sent), max_message_size=10**8)
        await self._find()
        return self

    async def _find(self):
        control = uuid.uuid4().hex
        self._say(
            "comm_open", {"comm_id": control, "target_name": "jupyter.widget.control", "data": {}}, {"version": "1.0.0"}
        )
        self._say("comm_msg", {"comm_id": control, "data": {"method": "request_states"}})
        models = (await self._heard(lambda said: said["data"].get("method") == "update_states"))["data"]["states"]
        self.slider, found = next(
            (name, one) for name, one in models.items() if one["state"].get("description") == "Span [mm]"
        )
        self.picture = next(
            name for name, one in models.items() if "mosaic-picture" in one["state"].get("_dom_classes", ())
        )
        self.begun, self.step, self.moves = found["state"]["value"], found["state"]["step"], 0

    def _say(self, kind, content, more=None):
        head = {
            "msg_id": uuid.uuid4().hex,
            "msg_type": kind,
            "session": "x",
            "username": "",
            "version": "5.3",
            "date": "",
        }
        message = {"header": head, "parent_header": {}, "metadata": more or {}, "content": content}
        self.line.write_message(json.dumps(message | {"channel": "shell", "buffers": []}))

    async def _heard(self, wanted):
        """Return the next message of a widget that is wanted."""
        while True:
            said = json.loads(await asyncio.wait_for(self.line.read_message(), 60))
            if said["header"]["msg_type"] == "comm_msg" and wanted(said["content"]):
                return said["content"]

    async def move(self):
        """Move the slider to where tiles fit too, another width each time; return how long the picture took [s]."""
        self.moves += 1
        begun, value = time.perf_counter(), self.begun + self.moves % 4 * self.step
        state = {"method": "update", "state": {"value": value}, "buffer_paths": []}
        self._say("comm_msg", {"comm_id": self.slider, "data": state})
        await self._heard(lambda said: said["comm_id"] == self.picture and "value" in said["data"].get("state", ()))
        return time.perf_counter() - begun

    async def work(self, seconds):
        """Move the slider every few seconds; return how long each picture took [s]."""
        times, end = [], time.monotonic() + seconds
        await asyncio.sleep(random.uniform(0, EVERY[1]))
        while time.monotonic() < end:
            times.append(await self.move())
            await asyncio.sleep(random.uniform(*EVERY))
        return times


def held(process):
    """Return what a process holds alone [MB]."""
    return process.memory_full_info().uss / 1e6


def bare():
    """Return what a kernel with the same imports and nothing else holds [MB]."""
    manager, client = start_new_kernel()
    try:
        client.execute(SAME_IMPORTS, reply=True, timeout=120)
        return held(psutil.Process(manager.provisioner.pid))
    finally:
        client.stop_channels()
        manager.shutdown_kernel(now=True)


def kernels(learners):
    """Return the processes of the learners' kernels."""
    every = [(each, " ".join(each.info["cmdline"] or [])) for each in psutil.process_iter(["cmdline"])]
    return [next(each for each, words in every if f"kernel-{learner.kernel}" in words) for learner in learners]


async def measured(server, seconds):
    """Return the times of one learner alone and of all at once [s], how long all took to come in [s], and their memory [MB]."""
    first = await Learner().come_in(server)
    await first.move()
    alone = [await first.move() for _ in range(12)]
    begun = time.perf_counter()
    others = await asyncio.gather(*(Learner().come_in(server) for _ in range(LEARNERS - 1)))
    arrived, learners = time.perf_counter() - begun, [first, *others]
    each = await asyncio.gather(*(learner.work(seconds) for learner in learners))
    memory = [held(one) for one in kernels(learners)]
    for learner in learners:
        learner.line.close()
    await asyncio.sleep(0.5)
    return alone, [took for times in each for took in times], arrived, memory


@pytest.mark.parametrize("seconds", [20, pytest.param(120, marks=pytest.mark.slow)])
def test_twelve_learners_at_once_against_one_alone(told, tmp_path, capsys, record_property, seconds):
    AsyncHTTPClient.configure(None, max_clients=2 * LEARNERS)
    with opened(tmp_path) as server:
        alone, together, arrived, memory = asyncio.run(measured(server, seconds))
    empty = bare()
    ratio = statistics.median(together) / statistics.median(alone)
    within, more = sum(took <= 1 for took in together) / len(together), statistics.median(memory) / empty
    figures = {
        "one alone, median [ms]": 1e3 * statistics.median(alone),
        "twelve, median [ms]": 1e3 * statistics.median(together),
        "twelve, one in twenty above [ms]": 1e3 * statistics.quantiles(together, n=20)[-1],
        "moves": len(together),
        "share within a second": within,
        "eleven came in after [s]": arrived,
        "a learner [MB]": statistics.median(memory),
        "a bare kernel with the same imports [MB]": empty,
    }
    with capsys.disabled():
        for name, value in figures.items():
            record_property(name, value)
            print(f"\n  {name}: {value:.4g}", end="")
    told("twelve at once over one alone", ratio, SLOWER)
    told("memory of a learner over a bare kernel with the same imports", more, MORE_MEMORY)
    assert ratio <= SLOWER and within >= WITHIN_A_SECOND and more <= MORE_MEMORY
