"""Where each learner's settings are kept: a folder of their own, named by a number that only their browser's cookie can claim."""

__all__ = ["TEACHER", "Places"]

import secrets
import shutil
from pathlib import Path

from mosaiclib.errors import MosaicError

TEACHER = "teacher"
MOST = 200  # learners; whoever has the word can ask for a place with each browser


class Places:
    """The folder of a class, closed to others, with one folder a learner in it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)

    @property
    def learners(self) -> list[str]:
        """The names of all learners who have a place."""
        return sorted(each.name for each in self.folder.glob("learner-*"))

    def of(self, learner: str) -> Path:
        """Return the folder of a learner, made where it is missing."""
        place = self.folder / learner
        place.mkdir(mode=0o700, exist_ok=True)
        return place

    def new(self) -> str:
        """Return the name of a learner who was not here before, with a folder made."""
        last = max((int(name.rpartition("-")[2]) for name in self.learners), default=0)
        if last >= MOST:
            raise MosaicError("This class is full. The teacher can start it again with --forget.")
        name = f"learner-{last + 1:02}"
        self.of(name)
        return name

    def secret(self) -> bytes:
        """Return what cookies are signed with, kept so that learners of the last evening find their places."""
        file = self.folder / "secret"
        if not file.exists():
            file.touch(mode=0o600)
            file.write_text(secrets.token_hex(32), encoding="ascii")
        return file.read_bytes()

    def forget(self) -> int:
        """Clear all that learners set, and the claims of their browsers to it; return how many places there were."""
        count = len(self.learners)
        shutil.rmtree(self.folder)
        self.folder.mkdir(mode=0o700)
        return count
