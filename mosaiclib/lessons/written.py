"""What is written in a workbook besides its cells of code: title, symbols, tasks with their answers, teacher's notes."""

__all__ = ["WORKBOOKS", "Task", "Written", "written"]

import html
import json
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from mosaiclib.drawing import Drawing
from mosaiclib.errors import MosaicError
from mosaiclib.lessons import ideas
from mosaiclib.reference import DATA

WORKBOOKS = DATA.parent / "workbooks"
TASK = re.compile(
    r"^(?P<number>\d+)\. \*\*(?P<name>.+?)\*\* (?P<asked>.+?)\n"
    r"<details><summary>Answer</summary>(?P<answer>.+?)</details>",
    re.MULTILINE | re.DOTALL,
)
SYMBOL = re.compile(r"^\| (?!symbol |-)(.+?) \| (.+?) \| (.+?) \|$", re.MULTILINE)
DRAWN = re.compile(r"\b(\w+_idea)\(\)")
STRONG, EMPHASIS = re.compile(r"\*\*(.+?)\*\*"), re.compile(r"\*(.+?)\*|<em>(.+?)</em>")
LINK = re.compile(r"\[(.+?)\]\(.+?\)")


@dataclass(frozen=True)
class Task:
    """A task of a workbook, with its answer."""

    number: int
    name: str
    asked: str
    answer: str


@dataclass(frozen=True)
class Written:
    """What a workbook says: title, symbols of its formulas (symbol, meaning, unit), tasks, teacher's notes, drawings of its idea."""

    title: str
    symbols: tuple[tuple[str, ...], ...]
    tasks: tuple[Task, ...]
    notes: tuple[str, ...]
    ideas: tuple[Drawing, ...]


def written(number: str, folder: Path = WORKBOOKS) -> Written:
    """Return what is written in the workbook of a number, in plain words, emphasis as quotation marks.

    >>> written("01").tasks[0].name
    'Count the joints.'
    """
    cells = _cells(number, folder)
    read = {
        kind: "\n\n".join(words for name, words in cells if name.split("-")[0] == kind) for kind in ("tasks", "idea")
    }
    notes = dict(cells).get("teacher", "")
    tasks = [
        (int(each["number"]), *map(_plain, each.group("name", "asked", "answer")))
        for each in TASK.finditer(read["tasks"])
    ]
    return Written(
        _plain(dict(cells)["title"].partition("\n")[0].lstrip("# ")),
        tuple(tuple(map(_plain, each)) for each in SYMBOL.findall(read["idea"])),
        tuple(Task(*each) for each in tasks),
        tuple(_plain(line[2:]) for line in notes.splitlines() if line.startswith("- ")),
        tuple(getattr(ideas, name)() for name in dict.fromkeys(DRAWN.findall(read["idea"]))),
    )


def _cells(number: str, folder: Path) -> list[tuple[str, str]]:
    """Return the id and the words of each cell of a workbook."""
    found = sorted(folder.glob(f"{number}_*.ipynb"))
    if len(found) != 1:
        raise MosaicError(f"There is no workbook {number} in the folder {folder.name!r}, or several.")
    try:
        book: dict[str, Any] = json.loads(found[0].read_text(encoding="utf-8"))
        return [(cell["id"], "".join(cell["source"])) for cell in book["cells"]]
    except (OSError, ValueError, KeyError, TypeError) as wrong:
        raise MosaicError(
            f"The workbook {found[0].name!r} cannot be read; take it anew from where you had it."
        ) from wrong


def _plain(words: str) -> str:
    """Return marked words as plain ones: what a page slants stands in quotation marks, a symbol bare."""
    bare = LINK.sub(r"\1", STRONG.sub(r"\1", words.replace("`", "")))
    quoted = EMPHASIS.sub(lambda each: _quoted(each[1] or each[2]), bare)
    return " ".join(html.unescape(quoted).split())


def _quoted(words: str) -> str:
    return words if len(words) == 1 else f"“{words}”"
