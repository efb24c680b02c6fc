"""The folder in which a page keeps plans or drawings: saving one never costs another."""

__all__ = ["Shelf"]

import os
from pathlib import Path

from mosaiclib.errors import MosaicError, plain
from mosaiclib.files import mark_of, name_key, put_aside, typed_name
from mosaiclib.job.plan import Plan, Saved


class Shelf:
    """Plans, or drawings, in one folder, by the names that are typed for them; it is made when the first one is saved.

    A file is written over only while it is what this page itself loaded or saved last, under the name that was typed
    then, for the one of that name. Anything else that stands there is kept beside it.
    """

    def __init__(self, folder: Path, kind: type[Saved] = Plan) -> None:
        self.folder, self.kind = folder, kind
        self._open: tuple[str, ...] = ()  # what the page has loaded or saved last

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
