"""Files that are written whole or not at all, and never over what somebody else put there.

A folder that sets of files are written into holds a list, `written_here.txt`, of what was put there, each file with
its mark (SHA-256). Only what still has its mark is ever replaced or taken away.
"""

__all__ = [
    "PACKED",
    "WRITTEN",
    "file_set",
    "list_bytes",
    "mark_of",
    "name_key",
    "numbered",
    "pack",
    "path_named",
    "put_aside",
    "safe_name",
    "typed_name",
    "unused_name",
    "write_whole",
]

import errno
import hashlib
import itertools
import os
import re
import secrets
import shutil
import tempfile
import time
import unicodedata
import zipfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

from mosaiclib.errors import MosaicError, brief, plain

if TYPE_CHECKING:  # no list is written without pandas, but pages that write none do without
    import pandas as pd

LONGEST_NAME = 80  # letters
MOST_BYTES = 1.5  # a letter: with its ending a name then fits the 143 bytes that encrypted home folders leave
DEVICES = re.compile(r"con|prn|aux|nul|(com|lpt)[0-9]")  # names that Windows keeps for itself
FORMULA = re.compile(r"[=+@\t\r\n＝＋－＠]|-(?!\d+(\.\d+)?$)")  # also as full-width signs
WRITTEN = "written_here.txt"
PACKED = "everything.zip"
HEAD = "# Written by mosaiclib, each file with its mark (SHA-256); a file that lost its mark is never replaced."
CUT_OFF = "# Written by mosaiclib, but cut off: old and new files may be mixed. Write them again."
OURS = (".csv", ".ics", ".json", ".pdf", ".svg", ".zip")
HIDDEN = ".making-"
LEFT_BEHIND = 3600  # seconds after which what is hidden belongs to a run that was killed


def safe_name(words: str, longest: int = LONGEST_NAME) -> str:
    """Return words as a file name that every system takes: letters of every script, digits, hyphens.

    At most `longest` letters, without an ending, and one and a half times as many bytes; "sheet" where nothing is left.

    Examples
    --------
    >>> safe_name("Pflanzgefäß: vorn"), safe_name("../.."), safe_name("con")
    ('Pflanzgefäß-vorn', 'sheet', 'con-1')
    """
    kept = (sign if _in_a_word(sign) else " " for sign in unicodedata.normalize("NFC", str(words)))
    name = "-".join("".join(kept).split())[:longest]
    name = name.encode()[: int(longest * MOST_BYTES)].decode(errors="ignore").strip("-") or "sheet"
    device = DEVICES.fullmatch(unicodedata.normalize("NFKC", name).casefold())
    return f"{name}-1" if device else name


def _in_a_word(sign: str) -> bool:
    """Tell letters, digits and the marks that many scripts write their vowels with."""
    return sign.isalnum() or sign == "_" or unicodedata.category(sign).startswith("M")


def typed_name(words: str) -> str:
    """Return what was typed, with or without ".json", as a file name, or ask for letters where there are none.

    Examples
    --------
    >>> typed_name("my piece.json")
    'my-piece'
    """
    if not any(sign.isalnum() for sign in words):
        raise MosaicError("Give it a name with letters or digits.")
    return safe_name(words.strip().removesuffix(".json"))


def name_key(name: str) -> str:
    """Return what two names share that are one file on some system, as capitals do not tell files apart everywhere.

    Examples
    --------
    >>> name_key("Tray.json") == name_key("TRAY.JSON")
    True
    """
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())


def numbered(name: str) -> Iterator[str]:
    """Give a name and then the same with numbers, so short that a file's name keeps the number.

    Examples
    --------
    >>> [*itertools.islice(numbered("Tray"), 3)]
    ['Tray', 'Tray 2', 'Tray 3']
    """
    yield name
    room = len(" 9999")
    begin = name[: LONGEST_NAME - room].encode()[: int(LONGEST_NAME * MOST_BYTES) - room].decode(errors="ignore")
    yield from (f"{begin.rstrip()} {count}" for count in range(2, 10_000))


def unused_name(stem: str, used: set[str]) -> str:
    """Return a file name that none of the used ones is on any system, and count it among them.

    Examples
    --------
    >>> unused_name("Tray", {name_key("TRAY")})
    'Tray-2'
    """
    names = (f"{stem}-{count}" if count > 1 else stem for count in itertools.count(1))
    fresh = next(name for name in names if name_key(name) not in used)
    used.add(name_key(fresh))
    return fresh


def write_whole(path: str | os.PathLike, content: bytes) -> None:
    """Put a file in its place complete, with the rights of any new file; where a link stands, its target is written.

    An OSError is left to the caller, who knows what the file is called.
    """
    target = Path(os.path.realpath(path))
    if target.is_symlink():
        raise OSError(errno.ELOOP, os.strerror(errno.ELOOP))
    draft = target.with_name(f"{HIDDEN}{secrets.token_hex(8)}.part")
    try:
        with open(draft, "xb") as file:
            file.write(content)
        os.replace(draft, target)
    finally:
        with suppress(OSError):
            draft.unlink()
        _sweep(target.parent)


def put_aside(path: Path) -> Path:
    """Copy a file beside itself under a free name that can be typed: tray.json is kept as tray-before.json."""
    taken = {name_key(name) for name in os.listdir(path.parent)}
    tails = itertools.chain(["-before"], (f"-before-{count}" for count in itertools.count(2)))
    names = (f"{safe_name(path.stem, LONGEST_NAME - len(tail))}{tail}{path.suffix}" for tail in tails)
    aside = path.with_name(next(name for name in names if name_key(name) not in taken))
    try:
        with open(path, "rb") as old, open(aside, "xb") as new:
            shutil.copyfileobj(old, new)
        shutil.copystat(path, aside)  # its date tells a person which one it is
    except BaseException:
        aside.unlink(missing_ok=True)
        raise
    return aside


def mark_of(path: Path) -> str:
    """Return the mark of a file, by which a change is seen: its SHA-256 in letters and digits."""
    with open(path, "rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


# --- a set of files --------------------------------------------------------------------------------------


@contextmanager
def file_set(folder: str | os.PathLike, *, alone: bool = True) -> Iterator[Path]:
    """Give a hidden folder to make files in; at its end all of them stand in the folder, or none.

    The folder is made if it does not exist; what an earlier set left there goes away if `alone`, because old sheets
    mislead at the bench.
    """
    place = path_named(folder, "folder")
    made: list[Path] = []
    try:
        made = [each for each in (place, *place.parents) if not each.exists()]
        place.mkdir(parents=True, exist_ok=True)
        _sweep(place)
        with tempfile.TemporaryDirectory(dir=place, prefix=HIDDEN, ignore_cleanup_errors=True) as hidden:
            yield Path(hidden)
            _put(Path(hidden), place, alone)
            made = []
    except OSError as wrong:
        raise MosaicError(f"Nothing could be written into {_shown(place)}{_cause(wrong, place)}.") from None
    finally:
        for each in made:
            with suppress(OSError):
                each.rmdir()


def path_named(given: str | os.PathLike, what: str) -> Path:
    """Return a path to a "file" or "folder", which need not be there, or say in a sentence that it is none.

    An empty word is refused: as a path it would mean the folder one stands in.
    """
    try:
        path = Path(given)
        os.fsencode(path)
    except (TypeError, UnicodeEncodeError):
        path = None
    if path is None or given == "" or "\0" in str(path) or (what == "file" and not path.name):
        shown = str(given) if isinstance(given, os.PathLike) else given
        raise MosaicError(f"{brief(shown)} is not the name of a {what}.")
    return path


def _shown(place: Path) -> str:
    return plain("/".join((place if place.name else place.resolve()).parts[-2:]))


def _cause(wrong: OSError, place: Path) -> str:
    """Say what the system found wrong, and with which of the folder's files: it may be open in another program."""
    path = Path(os.fsdecode(wrong.filename or ""))
    named = path.parent == place and path.name and not path.name.startswith(HIDDEN)
    return f", because of {plain(path.name)}: {wrong.strerror}" if named else f": {wrong.strerror or wrong}"


def _sweep(place: Path) -> None:
    """Take away what killed runs left hidden."""
    for left in place.glob(f"{HIDDEN}*"):
        with suppress(OSError):
            if time.time() - left.stat().st_mtime > LEFT_BEHIND:
                shutil.rmtree(left) if left.is_dir() else left.unlink()


def _put(hidden: Path, place: Path, alone: bool) -> None:
    """Move what was made into its place if everything there may be replaced; say what may not."""
    fresh = {(path.name, mark_of(path)) for path in hidden.iterdir()}
    listed = _listed(place / WRITTEN)
    held = {(name, mark_of(place / name)) for name, mark in listed or () if _unchanged(place / name, mark)}
    ours, keys = {name for name, _ in held}, {name_key(name) for name, _ in fresh}
    there = [name for name in sorted(os.listdir(place)) if name_key(name) in keys]
    strange = [name for name in there if name not in ours] + [WRITTEN] * (listed is None)
    if strange:
        raise MosaicError(_refusal(place, strange))
    stays = {pair for pair in held if name_key(pair[0]) not in keys}
    marked = {
        name for name, mark in listed or () if mark
    }  # a list without marks may replace files, not take others away
    gone = sorted(name for name, _ in stays if name in marked) if alone else []
    before = (place / WRITTEN).read_bytes() if listed else b""
    try:
        _note(place, CUT_OFF, held | fresh)  # if all ends between two moves, the next run still knows what is ours
        with _swapped(hidden, place, sorted(name for name, _ in fresh), [*there, *gone]):
            _note(place, HEAD, fresh if alone else fresh | stays)
    except BaseException:
        write_whole(place / WRITTEN, before) if before else (place / WRITTEN).unlink(missing_ok=True)
        raise


def _refusal(place: Path, strange: list[str]) -> str:
    folders = [name for name in strange if (place / name).is_dir()]
    if folders:
        return f"There is a folder called {plain(folders[0])} where a file is to be written; move it away."
    names = ", ".join(plain(name) for name in strange[:12]) + (", ..." if len(strange) > 12 else "")
    return (
        f"Nothing was written into {_shown(place)}, because it holds what this workbook did not write or "
        f"somebody changed since: {names}. Move that away, or choose another name."
    )


@contextmanager
def _swapped(hidden: Path, place: Path, fresh: list[str], old: list[str]) -> Iterator[None]:
    """Move the old files out and the new ones in, name by name; go back if one cannot be moved or what follows fails."""
    aside = hidden / "old"
    aside.mkdir()
    moves = []
    for name in fresh:
        moves += [(place / each, aside / each) for each in old if name_key(each) == name_key(name)]
        moves.append((hidden / name, place / name))
    new = {name_key(name) for name in fresh}
    moves += [(place / each, aside / each) for each in old if name_key(each) not in new]
    done: list[tuple[Path, Path]] = []
    try:
        for source, target in moves:
            done.append((source, target))  # noted first: a stop may come between the move and the next line
            source.rename(target)
        yield
    except BaseException:
        for source, target in reversed(done):
            with suppress(OSError):
                os.rename(target, source)
        raise


def _note(place: Path, head: str, pairs: Iterable[tuple[str, str]]) -> None:
    lines = [head, *(f"{mark}  {name}" for name, mark in sorted(pairs))]
    write_whole(place / WRITTEN, ("\n".join(lines) + "\n").encode("utf-8"))


def _listed(path: Path) -> list[tuple[str, str]] | None:
    """Return the names and marks of a list, none if there is no list, None if it is somebody else's file.

    Lists were once without marks and named themselves.
    """
    if not os.path.lexists(path):
        return []
    try:
        lines = path.read_text(encoding="utf-8").split("\n")
    except (OSError, UnicodeDecodeError):
        return None
    if not lines[0].startswith("# Written by mosaiclib") and WRITTEN not in lines:
        return None
    parts = [line.split("  ", 1) if lines[0].startswith("#") else ("", line) for line in lines if line[:1] not in "#"]
    return [(part[1], part[0]) for part in parts if _bare(part[-1])]


def _bare(name: str) -> bool:
    """Tell whether a name in a list stays in its folder and is of a kind that is written here."""
    return Path(name).name == name and Path(name).suffix in OURS


def _unchanged(path: Path, mark: str) -> bool:
    """Tell whether a listed file is still what was written; without a mark it must not be younger than its list."""
    if path.is_symlink() or not path.is_file():
        return False
    if mark:
        return mark_of(path) == mark
    return path.stat().st_mtime <= (path.parent / WRITTEN).stat().st_mtime + 2  # sticks keep time in two seconds


def pack(folder: Path) -> None:
    """Put all that stands in a folder into one file, to take away; without times, so that the same files give the same one."""
    files = sorted(folder.iterdir())
    with zipfile.ZipFile(folder / PACKED, "w") as packed:
        for file in files:
            packed.writestr(zipfile.ZipInfo(file.name), file.read_bytes(), zipfile.ZIP_DEFLATED)


# --- lists for a spreadsheet -------------------------------------------------------------------------------


def list_bytes(table: "pd.DataFrame") -> bytes:
    """Return a table without its index as a CSV file in which a spreadsheet finds words and numbers only, no formula.

    The mark at its beginning lets a spreadsheet know how letters are written.
    """
    words = {name: column.map(_harmless) for name, column in table.items() if column.dtype.kind not in "biuf"}
    return table.assign(**words).to_csv(index=False, lineterminator="\n").encode("utf-8-sig")


def _harmless(cell: object) -> object:
    """Put an apostrophe before words that a spreadsheet would reckon out; a negative number is none of them.

    What breaks a line goes, as what follows it would begin a cell.
    """
    if not isinstance(cell, str):
        return cell
    return "'" * bool(FORMULA.match(cell)) + plain(cell, longest=None)
