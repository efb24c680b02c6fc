"""What a learner set: kept after a second at rest, found again on opening; and the steps back.

Only the door (`mosaiclib.launch`) says where: a notebook that is run without it neither reads nor writes anything.
"""

__all__ = ["LEARNER", "PLACE", "History", "Kept", "Rest", "after", "open_elsewhere", "packed", "unpacked"]

import asyncio
import atexit
import json
import os
from collections.abc import Callable
from contextlib import suppress
from dataclasses import fields, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from mosaiclib.files import write_whole

PLACE = "MOSAIC_KEPT"  # the folder, as the door tells it to the workbooks it opens
LEARNER = "MOSAIC_LEARNER"  # who sees the page where a class shares this computer; nobody is named at home
MOST_STEPS = 200
REST = 1.0  # [s] without a change until it is kept


class Kept:
    """One file in which one lesson is kept, or none where nobody said where."""

    def __init__(self, path: Path | None) -> None:
        self.path = path

    @classmethod
    def of(cls, name: str) -> "Kept":
        """Return where the lesson of this name is kept."""
        folder = os.environ.get(PLACE)
        return cls(Path(folder) / f"{name}.json" if folder else None)

    def read(self) -> tuple[Any, str] | None:
        """Return what was kept and when, in words; None where there is nothing that can be read."""
        if self.path is None:
            return None
        try:
            stored = json.loads(self.path.read_text(encoding="utf-8"))
            when = datetime.fromtimestamp(self.path.stat().st_mtime)
        except (OSError, ValueError):
            return None
        return stored, f"{when:%d.%m.%Y at %H:%M}".lstrip("0")

    def write(self, stored: Any) -> str:
        """Put it in its place whole, and return a sentence where that cannot be."""
        if self.path is None:
            return ""
        try:
            self.path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            write_whole(self.path, json.dumps(stored, default=_plain).encode())
        except OSError as wrong:
            return f"What you set cannot be kept on this computer: {wrong.strerror or wrong}. Save it under a name."
        return ""


def open_elsewhere(name: str) -> Callable[[], bool]:
    """Note that this workbook is open here, and return what tells whether another page has it open too."""
    folder = os.environ.get(PLACE)
    if not folder:
        return lambda: False
    mine = Path(folder) / f"{name}.{os.getpid()}.open"
    with suppress(OSError):
        mine.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        mine.write_text(_born(os.getpid()), encoding="ascii")
        atexit.register(mine.unlink, missing_ok=True)
    return lambda: any(_lives(each) for each in mine.parent.glob(f"{name}.*.open") if each != mine)


def _born(pid: int) -> str:
    """Return when a program was started, empty where there is none of this number."""
    import psutil

    try:
        return f"{psutil.Process(pid).create_time():.2f}"
    except psutil.Error:
        return ""


def _lives(note: Path) -> bool:
    """Tell whether the program that left this note still runs; the note of one that was killed goes."""
    with suppress(OSError, ValueError):
        if note.read_text(encoding="ascii") == _born(int(note.name.split(".")[-2])):
            return True
        note.unlink()
    return False


def _plain(value: Any) -> Any:
    """Return a nested record, such as a plan, as JSON knows it."""
    return value.model_dump(mode="json")


def packed(settings: Any) -> dict[str, Any]:
    """Return settings by their names."""
    return {field.name: getattr(settings, field.name) for field in fields(settings)}


def unpacked(start: Any, stored: dict[str, Any]) -> Any:
    """Return settings for what was read; what this workbook does not know any more stays as it starts."""
    known = {field.name for field in fields(start)} & stored.keys()
    return replace(start, **{name: _like(getattr(start, name), stored[name]) for name in known})


def _like(now: Any, stored: Any) -> Any:
    """Return a stored value as the kind of thing that stands there now."""
    if hasattr(now, "model_validate"):
        return type(now).model_validate(stored)
    return tuple(_like(None, each) for each in stored) if isinstance(stored, list) else stored


def after(seconds: float, call: Callable[[], None]) -> asyncio.TimerHandle | None:
    """Call later what is given, if a page is open; return what can stop it."""
    with suppress(RuntimeError):
        return asyncio.get_running_loop().call_later(seconds, call)
    return None


class Rest:
    """Calls what it was given once nothing has happened for a second; at once where no page is open."""

    def __init__(self, call: Callable[[], None]) -> None:
        self.call, self.waiting = call, None

    def later(self) -> None:
        """Wait for a second at rest from now on."""
        if self.waiting:
            self.waiting.cancel()
        self.waiting = after(REST, self.now)
        if not self.waiting:
            self.call()

    def now(self) -> None:
        """Do what waits, as where a page is left."""
        if self.waiting:
            self.waiting.cancel()
            self.waiting = None
            self.call()


class History:
    """The states at rest, one of which is shown."""

    def __init__(self, first: Any) -> None:
        self.states, self.at = [first], 0

    def add(self, state: Any) -> bool:
        """Note a state if it is another than the one shown; those that were undone go. Return whether it is."""
        if state == self.states[self.at]:
            return False
        self.states = [*self.states[: self.at + 1], state][-MOST_STEPS:]
        self.at = len(self.states) - 1
        return True

    def step(self, by: int) -> Any:
        """Go one state back (-1) or on (1) and return it; at an end, the one shown."""
        self.at = min(max(self.at + by, 0), len(self.states) - 1)
        return self.states[self.at]

    def can(self, by: int) -> bool:
        """Tell whether there is a state that way."""
        return 0 <= self.at + by < len(self.states)
