"""A learner's browser as far as the class server can tell: requests and a connection, made by hand so that they can be wrong."""

__all__ = ["Visitor", "opened"]

import contextlib
import json
import re
import uuid
from http.client import HTTPConnection
from urllib.parse import urlsplit

import websocket

from driving import started
from mosaiclib.classroom import BOARD_LINE, CLASS_LINE
from mosaiclib.launch import WORKBOOKS


@contextlib.contextmanager
def opened(state, *more):
    """Open a class for as long as it lasts, its places in a folder of their own."""
    command = ["-m", "mosaiclib", "class", *more]
    with started(command, WORKBOOKS, state, says=(CLASS_LINE, BOARD_LINE)) as server:
        yield server


class Visitor:
    """One browser: what it was given, and what it asks for."""

    def __init__(self, server, word=None, cookie=""):
        self.place, self.cookie = urlsplit(server.address).netloc, cookie
        if word is not None:
            answer, _ = self.asked(f"/?word={word}")
            self.cookie = (answer.headers["Set-Cookie"] or "").partition(";")[0]

    def asked(self, path, method="GET", body=None, **headers):
        """Return the answer to a request exactly as it is put, and its words."""
        given = {"Cookie": self.cookie} | {name.replace("_", "-"): value for name, value in headers.items()}
        with contextlib.closing(HTTPConnection(self.place, timeout=60)) as line:
            line.request(method, path, body, {name: value for name, value in given.items() if value})
            answer = line.getresponse()
            words = answer.read().decode(errors="replace")
        return answer, words

    def status(self, path, method="GET", **more):
        """Return the number that a request is answered with."""
        return self.asked(path, method, **more)[0].status

    def kernel(self, name="00_start_here.ipynb"):
        """Open a workbook, and return the kernel of its page."""
        answer, words = self.asked(f"/voila/render/{name}")
        assert answer.status == 200, words
        return re.search(r'"kernelId": ?"([^"]+)"', words)[1]

    def connected(self, kernel, origin=True, cookie=True):
        """Return a connection to a kernel."""
        return websocket.create_connection(
            f"ws://{self.place}/api/kernels/{kernel}/channels?session_id={uuid.uuid4().hex}",
            timeout=30,
            origin=f"http://{self.place}" if origin is True else origin,
            cookie=self.cookie if cookie else None,
            suppress_origin=origin is None,
        )


def say(line, kind, content, channel="shell"):
    """Send a message to a kernel, as a page does."""
    head = {"msg_id": uuid.uuid4().hex, "msg_type": kind, "session": "x", "username": "", "version": "5.3", "date": ""}
    message = {
        "header": head,
        "parent_header": {},
        "metadata": {},
        "content": content,
        "channel": channel,
        "buffers": [],
    }
    line.send(json.dumps(message))
    return head["msg_id"]


def hear(line, to, kind):
    """Return the content of the kernel's answer of this kind, None where none comes."""
    with contextlib.suppress(websocket.WebSocketTimeoutException):
        while True:
            said = json.loads(line.recv())
            if said["parent_header"].get("msg_id") == to and said["header"]["msg_type"] == kind:
                return said["content"]
