"""Who may pass: each request to the class server is judged here, before anything else looks at it."""

__all__ = ["COOKIE", "KERNEL", "Gate", "new_word"]

import re
import secrets
from collections.abc import Mapping
from dataclasses import dataclass, field
from hmac import compare_digest

from tornado.httputil import HTTPServerRequest
from tornado.web import create_signed_value, decode_signed_value

from mosaiclib.classroom.places import TEACHER, Places

COOKIE = "mosaic_learner"
DAYS = 60  # until a browser's claim to its place ends; a course of evenings is shorter
LETTERS = "abcdefghjkmnpqrstuvwxyz23456789"  # none that is read for another
LENGTH = 8  # of 31**8 words, a thousand guesses a second for four hours find the right one once in 60,000 evenings
KERNEL = r"[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}"
DOOR = "/"

ELSEWHERE = "This was asked for from another page or under another address. Open the address that stands on the board."
STRANGER = "The class is open to those who have its word. Scan the code on the board, or type the word."
NOT_YOURS = "This page is not yours. Open your own from the address that stands on the board."


def new_word() -> str:
    """Return a word that opens a class, short enough to be typed from a board."""
    return "".join(secrets.choice(LETTERS) for _ in range(LENGTH))


@dataclass
class Gate:
    """What opens one class: the names under which its server is known, the learners' word and the teacher's longer one."""

    hosts: frozenset[str]  # address and port
    places: Places
    word: str = field(default_factory=new_word)
    teachers_word: str = field(default_factory=lambda: secrets.token_hex(16))
    run: str = field(default_factory=lambda: secrets.token_hex(8))  # an older run's cookie opens nothing

    def refusal(self, request: HTTPServerRequest, owners: Mapping[str, str]) -> str:
        """Return why a request may not pass, empty where it may; `owners` leads from a kernel to its learner."""
        ours = f"http://{request.host}"
        spoken = request.headers.get("Origin", None if "Upgrade" in request.headers else ours)
        if request.host.lower() not in self.hosts or spoken != ours:
            return ELSEWHERE
        if request.path == DOOR:
            return ""
        if request.headers.get("Sec-Fetch-Site", "none") not in ("same-origin", "none"):
            return ELSEWHERE
        learner = self.learner(request)
        kernel = re.search(KERNEL, request.path)
        if not learner:
            return STRANGER
        return NOT_YOURS if kernel and owners.get(kernel[0]) != learner else ""

    def learner(self, request: HTTPServerRequest) -> str:
        """Return who asks, empty where it is nobody who came in since this class was opened."""
        run, _, learner = self._claim(request).partition(" ")
        return learner if run == self.run else ""

    def cookie(self, request: HTTPServerRequest, word: str) -> str:
        """Return the cookie of whoever gave this word, who has the place that the browser had before; empty for a wrong word."""
        if compare_digest(word.encode(), self.teachers_word.encode()):
            learner = TEACHER
        elif compare_digest(word.encode(), self.word.encode()):
            before = self._claim(request).partition(" ")[2]
            learner = before if before in self.places.learners else self.places.new()
        else:
            return ""
        return create_signed_value(self.places.secret(), COOKIE, f"{self.run} {learner}").decode()

    def _claim(self, request: HTTPServerRequest) -> str:
        """Return what the browser's cookie says, empty where it is not signed by this class."""
        sent = request.cookies.get(COOKIE)
        said = decode_signed_value(self.places.secret(), COOKIE, sent.value, DAYS) if sent else None
        return said.decode() if said else ""
