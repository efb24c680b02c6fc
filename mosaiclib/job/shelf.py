"""The folder in which a page keeps plans or drawings: saving one never costs another."""

__all__ = ["Shelf", "Work"]

import hashlib
import os
import shutil
import time
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from mosaiclib.errors import MosaicError, plain
from mosaiclib.files import mark_of, name_key, numbered, put_aside, typed_name, write_whole
from mosaiclib.job.plan import Plan
from mosaiclib.job.saved import Saved

EARLIER, PICTURES = ".earlier", ".pictures"  # folders beside the plans
MOST_EARLIER, APART = 30, 60.0  # states kept of one work, and the seconds from one to the next
MOST_WORKS = 60


class Work(NamedTuple):
    """A plan on the shelf, or an earlier state of one: what it is called, when it was kept, where, and its picture as SVG."""

    name: str
    when: str
    path: Path
    picture: str


class Shelf:
    """Plans, or drawings, in one folder, by the names that are typed for them; it is made when the first one is saved.

    A file is written over only while it is what this page itself loaded or saved last, under the name that was typed
    then, for the one of that name. Anything else that stands there is kept beside it.
    """

    def __init__(self, folder: Path, kind: type[Saved] = Plan) -> None:
        self.folder, self.kind = folder, kind
        self._open: tuple[str, ...] = ()  # what the page has loaded or saved last
        self._marks: dict[str, str] = {}  # of the files that the page itself kept
        self._renamed: set[frozenset[str]] = set()  # both names of each work that the page gave another

    def place(self, name: str, ending: str = "") -> Path:
        """Return where a typed name leads, to what is there already if it is spelled alike but for capitals."""
        wanted = typed_name(name) + ending
        try:
            there = sorted(os.listdir(self.folder))
        except OSError:
            there = []
        alike = [each for each in there if name_key(each) == name_key(wanted)]
        return self.folder / (wanted if wanted in alike or not alike else alike[0])

    def load(self, name: str) -> Saved:
        """Read one, and remember what was read."""
        file = self.place(name, ".json")
        mark = mark_of(file) if file.is_file() else ""
        found = self.kind.load(file)
        self._open = (file.name, name, found.name, mark)
        return found

    def save(self, one: Saved, name: str) -> str:
        """Write one, and tell in a sentence where it is and what was kept."""
        file = self.place(name, ".json")
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            there = mark_of(file) if file.exists() else ""
            known = not there or self._open == (file.name, name, one.name, there)
            aside = None if known else put_aside(file)
        except OSError as wrong:
            where = f"{self.folder.name}/{plain(file.name)}"
            raise MosaicError(f"The {one.called} cannot be saved as {where}: {wrong.strerror or wrong}.") from None
        one.save(file)
        self._open = (file.name, name, one.name, mark_of(file))
        said = f"Saved as {self.folder.name}/{file.name}."
        kept = (
            f" Another file was there under this name; it is kept as {self.folder.name}/{aside.name}." if aside else ""
        )
        return said + kept

    def beside(self, plan: Plan) -> Plan:
        """Return a plan from elsewhere under a name that costs no other: its own, or that with a number where another has it."""
        for name in numbered(plan.name):
            file = self.place(name, ".json")
            if not file.exists() or (name == plan.name and file.is_file() and mark_of(file) == _mark(plan)):
                return plan.model_copy(update={"name": name})
        raise MosaicError(f"Works called {plan.name} are kept already; give this one another name in its file.")

    def keep(self, plan: Plan, picture: str = "", before: str = "") -> str:
        """Write a plan under its own name after a change, with its picture as SVG; return what must be said, mostly nothing.

        What stood there before is among its earlier states; what was something else is kept beside it. Where a step back or
        on led here from another name (`before`), which is but another name of this work, its file comes along.
        """
        if frozenset((before, plan.name)) in self._renamed:
            self._move(before, plan)
        file = self.place(plan.name, ".json")
        mark = _mark(plan)
        there = mark_of(file) if file.is_file() else ""
        said = self._make_way(file, plan.name, there) if there not in ("", mark) else ""
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
        except OSError as wrong:
            raise MosaicError(f"The plan cannot be kept in {self.folder.name}: {wrong.strerror or wrong}.") from None
        if there != mark:
            plan.save(file)
        self._marks[file.name] = mark
        if picture:
            with suppress(OSError):  # a list without a picture is still a list
                (self.folder / PICTURES).mkdir(exist_ok=True)
                write_whole(self.folder / PICTURES / f"{file.stem}.svg", picture.encode("utf-8"))
        return said

    def _make_way(self, file: Path, name: str, there: str) -> str:
        """Put by what stands in a plan's place, as an earlier state of it, or beside it where it is something else."""
        work = self._work(file)
        if work is None or work.name != name:
            return f"Another file was there under this name; it is kept as {self.folder.name}/{put_aside(file).name}."
        states = self._states(file.stem)
        ours = self._marks.get(file.name) == there  # at most one a minute; what is not ours always
        if ours and states and time.time() - states[0].stat().st_mtime < APART:
            return ""
        place = self.folder / EARLIER / file.stem
        place.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(file, place / f"{datetime.now():%Y-%m-%d %H.%M.%S}.json")
        for old in self._states(file.stem)[MOST_EARLIER:]:
            old.unlink()
        return ""

    def rename(self, plan: Plan, name: str) -> Plan:
        """Return a plan under another name, its file with its earlier states and its picture taken along."""
        fresh = plan.model_copy(update={"name": name})
        if not self._move(plan.name, fresh):
            raise MosaicError(f"A work called {name} is kept already; choose another name.")
        self._renamed.add(frozenset((plan.name, name)))
        return fresh

    def _move(self, name: str, plan: Plan) -> bool:
        """Move what is kept under a name to where a plan is kept; return False, and do nothing, where another stands there."""
        old, new = self.place(name, ".json"), self.place(plan.name, ".json")
        if new.exists() and new != old:
            return False
        work = self._work(old)
        if work is not None and work.name == name:
            for folder, ending in ((EARLIER, ""), (PICTURES, ".svg")):
                with suppress(OSError):
                    (self.folder / folder / f"{old.stem}{ending}").rename(self.folder / folder / f"{new.stem}{ending}")
            plan.save(new)
            if new != old:
                old.unlink()
        return True

    def _states(self, stem: str) -> list[Path]:
        """Return the earlier states of a work, the latest first."""
        return sorted((self.folder / EARLIER / stem).glob("*.json"), reverse=True)

    def earlier(self, plan: Plan) -> list[Work]:
        """Return the earlier states of a plan, the latest first."""
        return [Work(plan.name, state.stem, state, "") for state in self._states(self.place(plan.name, ".json").stem)]

    def works(self) -> list[Work]:
        """Return the plans on the shelf, the latest first; what is no plan is passed over."""
        dated = []
        for path in self.folder.glob("*.json"):
            with suppress(OSError):
                dated.append((path.stat().st_mtime, path))
        return [work for _, path in sorted(dated, reverse=True)[:MOST_WORKS] if (work := self._work(path))]

    def _work(self, path: Path) -> Work | None:
        try:
            name = Plan.load(path).name
            when = datetime.fromtimestamp(path.stat().st_mtime)
        except (MosaicError, OSError):
            return None
        picture = ""
        with suppress(OSError, ValueError):
            picture = (self.folder / PICTURES / f"{path.stem}.svg").read_text(encoding="utf-8")
        return Work(name, f"{when:%d.%m.%Y %H:%M}".lstrip("0"), path, picture)


def _mark(plan: Plan) -> str:
    """Return the mark that a plan's file has."""
    return hashlib.sha256(plan.text().encode("utf-8")).hexdigest()
