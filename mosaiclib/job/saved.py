"""A file that is kept: its parts with strict types, read with a sentence where it cannot be used, written whole."""

__all__ = ["VERSION", "Count", "Length", "Margin", "Name", "Part", "Place", "Saved", "Text", "Tone"]

import json
import os
import stat
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Any, ClassVar, Literal, Self

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, ValidationError

from mosaiclib.errors import MosaicError, brief, plain
from mosaiclib.files import path_named, write_whole


def _whole_signs(words: str) -> str:
    """Refuse half of a two-part sign (a lone surrogate), which no file can hold."""
    if any("\ud800" <= sign <= "\udfff" for sign in words):
        raise ValueError("a text holds a broken sign; type it again")
    return words


def _named(words: str) -> str:
    """Refuse a name of nothing but spaces, or with the mark that some files begin with, which no sheet can draw."""
    if not words.strip("\ufeff \t\n\r"):
        raise ValueError("a name is empty; give it at least one letter")
    if "\ufeff" in words:
        raise ValueError("a name holds a sign that cannot be shown; type it again")
    return words


Text = Annotated[str, AfterValidator(_whole_signs)]
Length = Annotated[float, Field(gt=0, le=100_000)]
Margin = Annotated[float, Field(ge=0, le=100_000)]
Place = Annotated[float, Field(ge=-10_000, le=10_000)]
Name = Annotated[Text, Field(min_length=1, max_length=80), AfterValidator(_named)]
Count = Annotated[int, Field(ge=0, le=10_000_000)]
Tone = Annotated[str, Field(pattern="^#[0-9a-fA-F]{6}$")]


class Part(BaseModel):
    """A part of a file that is kept: numbers must be numbers, and nothing unknown is let through in silence."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)


VERSION = 1
LARGEST_FILE = 10_000_000  # bytes; a plan is a few thousand


class Saved(Part):
    """A part that is a file of its own, with a name: read with a sentence where it cannot be used, written whole."""

    called: ClassVar = "plan"
    kinds: ClassVar[
        tuple[str, ...]
    ] = ()  # of parts that are told apart by their kind; a sentence does not say them as a place

    version: Literal[1] = VERSION
    name: Name

    @classmethod
    def made(cls, **parts: Any) -> Self:
        """Make it from its parts, with a sentence where one is wrong."""
        try:
            return cls.model_validate(parts)
        except ValidationError as wrong:
            raise MosaicError(
                f"The {cls.called} cannot be used: {_first_sentence(wrong, cls.called, cls.kinds)}"
            ) from None

    @classmethod
    def load(cls, path: str | os.PathLike) -> Self:
        """Read a file, which is never changed."""
        file = path_named(path, "file")
        return cls.read(_bytes_of(file, cls.called), file.name)

    @classmethod
    def read(cls, content: bytes, file: str) -> Self:
        """Return what a file of this name holds, with a sentence where that cannot be used."""
        name = plain(file)
        found = _json_of(content, name, cls.called)
        version = found.get("version") if isinstance(found, dict) else None
        if not isinstance(found, dict) or not isinstance(version, int) or isinstance(version, bool):
            raise MosaicError(f"{name} is not a {cls.called} of this workbook: it has no version number.")
        if version > VERSION:
            raise MosaicError(
                f"{name} was saved by a newer workbook ({cls.called} version {brief(version)}; this one "
                f"reads {VERSION}). Bring this workbook up to date and try again."
            )
        try:
            return cls.model_validate(cls.as_now(found))
        except ValidationError as wrong:
            raise MosaicError(f"{name} cannot be used: {_first_sentence(wrong, cls.called, cls.kinds)}") from None

    @classmethod
    def as_now(cls, found: dict[str, Any]) -> dict[str, Any]:
        """Return what an older file holds as it is written now."""
        return found

    def text(self) -> str:
        """Return the text of its file."""
        return json.dumps(self.model_dump(mode="json"), indent=2, ensure_ascii=False) + "\n"

    def save(self, path: str | os.PathLike) -> Path:
        """Write its file whole or not at all, over what is there (`job.shelf` keeps what a page would lose)."""
        file = path_named(path, "file")
        try:
            write_whole(file, self.text().encode("utf-8"))
        except OSError as wrong:
            raise MosaicError(
                f"The {self.called} cannot be saved as {plain(file.name)}: {wrong.strerror or wrong}."
            ) from None
        return file


def _bytes_of(file: Path, called: str) -> bytes:
    """Return what stands in a file, with a sentence where it cannot be opened."""
    name = plain(file.name)
    try:
        about = file.stat()
        _check_size(about.st_size, name, called)
        if not stat.S_ISREG(about.st_mode) and not stat.S_ISDIR(about.st_mode):  # a pipe would be waited for
            raise MosaicError(f"{name} is not a plain file; give the file of a {called}.")
        return file.read_bytes()
    except FileNotFoundError:
        raise MosaicError(f"There is no file called {name} here.{_beside(file)}") from None
    except OSError as wrong:
        raise MosaicError(f"{name} cannot be opened: {wrong.strerror or wrong}.") from None


def _check_size(size: int, name: str, called: str) -> None:
    if size > LARGEST_FILE:
        raise MosaicError(f"{name} is too large to be a {called}.")


def _json_of(content: bytes, name: str, called: str) -> Any:
    """Return what the file of this name holds, with a sentence where it holds no JSON."""
    _check_size(len(content), name, called)
    try:
        words = content.decode("utf-8-sig")  # some editors put a mark at the beginning
        return json.loads(words, object_pairs_hook=lambda pairs: _each_key_once(pairs, name))
    except MosaicError:
        raise
    except (ValueError, RecursionError):  # ValueError covers broken JSON and broken text alike
        raise MosaicError(
            f"{name} is not a whole {called} file; it may have been cut off while it was copied. The "
            f"file was left as it is."
        ) from None


def _each_key_once(pairs: list[tuple[str, Any]], name: str) -> dict[str, Any]:
    """Refuse a part that is given twice, of which one would be lost in silence."""
    found = dict(pairs)
    if len(found) < len(pairs):
        twice = next(key for key, times in Counter(key for key, _ in pairs).items() if times > 1)
        raise MosaicError(f"{name} cannot be used: it gives {brief(twice)} twice in one place; take one of them out.")
    return found


def _beside(file: Path) -> str:
    """Name the plans that do stand where one was looked for."""
    try:
        found = sorted(plain(path.stem) for path in file.parent.glob("*.json"))[:12]
    except OSError:
        found = []
    return f" There are: {', '.join(found)}." if found else ""


_WORDS = {
    "missing": "is missing",
    "extra_forbidden": "is not a part of a {} that this workbook knows",
    "float_type": "must be a number, not text",
    "int_type": "must be a whole number",
    "string_type": "must be text",
    "bool_type": "must be true or false",
    "finite_number": "must be a finite number",
}


_LIMITS = {
    "greater_than_equal": "at least",
    "greater_than": "over",
    "less_than_equal": "at most",
    "less_than": "under",
}


def _first_sentence(wrong: ValidationError, called: str, kinds: Sequence[str]) -> str:
    """Turn the first of the checker's findings into a sentence."""
    found = wrong.errors(include_url=False)[0]
    place = [
        f"number {step + 1}" if isinstance(step, int) else brief(step)[1:-1].replace("_", " ") for step in found["loc"]
    ]
    where = ", ".join(step for step in place if step not in kinds)
    if found["type"] == "value_error":
        return f"{found['ctx']['error']}."
    if found["type"] == "union_tag_not_found":
        return f"'{where}' needs a kind: {' or '.join(kinds)}."
    if found["type"] == "union_tag_invalid":
        return (
            f"'{where}' has a kind that is not known, {brief(found['ctx']['tag'])}; choose one of: {', '.join(kinds)}."
        )
    if found["type"] in ("too_short", "too_long"):
        return f"'{where}' {_counted(**found['ctx'])}."
    if found["type"] in _LIMITS:
        bound = next(iter(found["ctx"].values()))
        return f"'{where}' must be {_LIMITS[found['type']]} {bound:g}, not {brief(found['input'])}."
    said = _WORDS.get(found["type"], "").format(called) or (
        found["msg"][0].lower() + found["msg"][1:].replace("Input ", "")
    )
    given = found["input"]
    shown = f" (found {brief(given)})" if isinstance(given, str | int | float) else ""
    return f"'{where}' {said.removeprefix('input ')}{shown}."


def _counted(*, actual_length: int | None = None, min_length: int = 0, max_length: int = 0, **_: Any) -> str:
    """Say that a list is too short or too long."""
    found = "more" if actual_length is None else actual_length
    return f"must list at {f'most {max_length}' if max_length else f'least {min_length}'}, not {found}"
