"""Figures read from data/ into frozen records, each with its unit, condition and source."""

__all__ = ["DATA", "EVIDENCE", "Record", "by_name", "groups", "table", "value"]

import csv
import io
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

from mosaiclib.errors import MosaicError, choice, number

DATA = Path(__file__).parent.parent / "data"
EVIDENCE = ("read", "read second-hand", "from memory", "computed", "common practice", "assumed", "invented")

_NEEDED = ("name", "value", "unit", "condition", "source", "clause", "evidence")
_SOURCED = ("read", "read second-hand", "from memory")
_FIGURE = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?")


@dataclass(frozen=True)
class Record:
    """One figure with its unit, the condition it holds under, where it comes from and how we came by it (`EVIDENCE`).

    `value`, and `least` and `greatest` where the source gives a tolerance or a range, are in `unit`; a value of None stands where no
    single figure is known. `group`: what belongs together inside a subject. `price`: of a pack, in the maker's own currency.
    `more`: what columns of other names say of it.
    """

    subject: str
    name: str
    value: float | None
    unit: str
    condition: str
    source: str
    clause: str
    evidence: str
    least: float | None = None
    greatest: float | None = None
    group: str = ""
    price: float | None = None
    note: str = ""
    more: Mapping[str, str] = field(default_factory=dict, compare=False)

    @property
    def number(self) -> float:
        """The value as a number [unit]; a MosaicError with the note where there is none."""
        if self.value is None:
            raise MosaicError(f"There is no single figure for {self.name}. {self.note}".strip())
        return self.value

    @property
    def band(self) -> tuple[float, float]:
        """Least and greatest value [unit]; a MosaicError where no limits are known."""
        if self.least is None or self.greatest is None:
            raise MosaicError(f"There are no limits for {self.name}. {self.note}".strip())
        return self.least, self.greatest

    @property
    def tolerance(self) -> float:
        """Half the width of the band: what stands after the plus-or-minus sign [unit]."""
        least, greatest = self.band
        return (greatest - least) / 2

    @property
    def place(self) -> str:
        """Source and clause: where a stranger finds the figure."""
        return ", ".join(part for part in (self.source, self.clause) if part)

    @property
    def cite(self) -> str:
        """Source, clause and evidence as one phrase to print beside the figure."""
        place = self.place
        return f"{place} ({self.evidence})" if place and place != self.evidence else self.evidence


def table(subject: str, *, folder: Path | str | None = None) -> tuple[Record, ...]:
    """Return all records of a subject (what stands before the first underscore of a file's name), files in alphabetical order.

    Read once and kept; a file that was saved again is read again, so prices can be edited while a page is open. A file may be saved by a
    spreadsheet with commas or with semicolons between the cells (then a decimal comma is understood too). Columns of
    other names are kept in `more`.

    >>> len(table("spacers")) > 10
    True
    """
    return tuple(_index(subject, _folder(folder)).values())


def value(subject: str, name: str, *, folder: Path | str | None = None) -> Record:
    """Return one record of a subject by its name.

    >>> coin = value("spacers", "US nickel")
    >>> coin.number, coin.unit, coin.evidence
    (1.95, 'mm', 'read')
    """
    known = _index(subject, _folder(folder))
    return known[choice(name, f"name in the table of {subject}", known)]


def by_name(subject: str, *, folder: Path | str | None = None) -> Mapping[str, Record]:
    """Return the records of a subject by name, in the order of the files.

    >>> by_name("spacers")["US nickel"].number
    1.95
    """
    return _index(subject, _folder(folder))


def groups(subject: str, *, folder: Path | str | None = None) -> Mapping[str, tuple[Record, ...]]:
    """Return the records of a subject by group, in the order of the files.

    >>> list(groups("packs"))[:2]
    ['tube of adhesive', 'bottle of adhesive']
    """
    return _grouped(_key(subject, _folder(folder)))


def _folder(folder: Path | str | None) -> Path:
    """Return the folder of the tables, or say that it is missing."""
    found = DATA if folder is None else Path(folder)
    if not found.is_dir():
        raise MosaicError(
            f"The folder of tables, {found.name!r}, was not found; it belongs beside the mosaiclib folder."
        )
    return found


def _index(subject: str, folder: Path) -> Mapping[str, Record]:
    """Return the records of a subject by name."""
    return _joined(_key(subject, folder))


def _key(subject: str, folder: Path) -> tuple[tuple[Path, int, int], ...]:
    """Return a subject's files with their time and size, so that a saved file counts as new."""
    files = _files(folder, folder.stat().st_mtime_ns)
    paths = files[choice(subject, "subject", files)]
    stamps = [path.stat() for path in paths]
    return tuple((path, at.st_mtime_ns, at.st_size) for path, at in zip(paths, stamps, strict=True))


@lru_cache(maxsize=8)
def _files(folder: Path, changed: int) -> Mapping[str, tuple[Path, ...]]:
    """Return the files of each subject; the folder's time is there so that a new file is seen."""
    found: dict[str, tuple[Path, ...]] = {}
    for path in sorted(folder.glob("*_*.csv")):
        subject = path.name.split("_")[0]
        found[subject] = (*found.get(subject, ()), path)
    return dict(sorted(found.items()))


@lru_cache(maxsize=64)
def _joined(files: tuple[tuple[Path, int, int], ...]) -> Mapping[str, Record]:
    """Read the files of one subject."""
    found: dict[str, Record] = {}
    for path, *_ in files:
        for record in _read(path):
            if record.name in found:
                raise MosaicError(f"Table {path.name}: the name {record.name!r} stands twice; rename or delete one.")
            found[record.name] = record
    return found


@lru_cache(maxsize=64)
def _grouped(files: tuple[tuple[Path, int, int], ...]) -> Mapping[str, tuple[Record, ...]]:
    """Return the records of one subject by group."""
    found: dict[str, list[Record]] = {}
    for record in _joined(files).values():
        found.setdefault(record.group, []).append(record)
    return {name: tuple(records) for name, records in found.items()}


def _read(path: Path) -> list[Record]:
    """Read one file into records."""
    try:
        text = path.read_bytes().decode("utf-8-sig")
        mark = ";" if text.partition("\n")[0].count(";") > text.partition("\n")[0].count(",") else ","
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True))
    except UnicodeDecodeError as problem:
        raise MosaicError(f"Table {path.name} is not UTF-8 text; save it as 'CSV UTF-8'.") from problem
    except csv.Error as problem:
        raise MosaicError(f"Table {path.name} cannot be read: {problem}. Look for a lone quotation mark.") from problem
    columns = [cell.strip().lower() for cell in rows[0]] if rows else []
    missing = [column for column in _NEEDED if column not in columns]
    if missing:
        raise MosaicError(f"Table {path.name} has no column called {', '.join(missing)}.")
    full = [(place, row) for place, row in enumerate(rows[1:], start=2) if any(cell.strip() for cell in row)]
    return [_record(path.name, place, columns, row, mark == ";") for place, row in full]


def _record(file: str, place: int, columns: list[str], row: list[str], comma: bool) -> Record:
    """Turn one row into a record."""
    where = f"Table {file}, row {place}"
    if any(cell.strip() for cell in row[len(columns) :]):
        raise MosaicError(f"{where} has more cells than the heading; put text with commas in quotation marks.")
    cells = dict(zip(columns, (cell.strip() for cell in row), strict=False))
    figures = {
        column: _figure(cells.get(column, ""), f"{where}, column {column}", comma)
        for column in ("value", "least", "greatest", "price")
    }
    texts = {column: cells.get(column, "") for column in (*_NEEDED, "group", "note") if column != "value"}
    _check(where, texts, figures)
    more = {column: text for column, text in cells.items() if column not in texts and column not in figures}
    return Record(subject=file.split("_")[0], **texts, **figures, more=more)


def _figure(text: str, where: str, comma: bool) -> float | None:
    """Return a cell as a finite number, None if it is empty."""
    if not text:
        return None
    plain = text.replace(",", ".") if comma else text
    if not _FIGURE.fullmatch(plain):
        raise MosaicError(f"{where}: {text!r} is not a number; type digits with a decimal point, such as 4.50.")
    return number(float(plain), f"figure in {where[0].lower()}{where[1:]}")


def _check(where: str, texts: Mapping[str, str], figures: Mapping[str, float | None]) -> None:
    """Raise if the row lacks its name, evidence or source, or its figures contradict each other."""
    if not texts["name"]:
        raise MosaicError(f"{where} has no name.")
    if texts["evidence"] not in EVIDENCE:
        raise MosaicError(
            f"{where}, column evidence: {texts['evidence']!r} is not known; use one of: {', '.join(EVIDENCE)}."
        )
    if texts["evidence"] in _SOURCED and not texts["source"]:
        raise MosaicError(f"{where}: what is {texts['evidence']} needs a source.")
    given = [figures[column] for column in ("least", "value", "greatest") if figures[column] is not None]
    if given != sorted(given):
        raise MosaicError(f"{where}: the figures must rise from least over value to greatest.")
    if figures["price"] is not None and (figures["price"] < 0 or not (figures["value"] or 0) > 0):
        raise MosaicError(f"{where}: a pack needs an amount above 0 and a price of at least 0.")
