"""How we know: every printed value beside ours, what nobody printed, and how far a doubtful figure moves an answer."""

__all__ = ["EXACT", "NOWHERE_PRINTED", "PAGES", "Answer", "Verdict", "answers", "rows_resting_on", "verdicts"]

import importlib
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import shapely

from mosaiclib import reference
from mosaiclib.adhesive import hours_to_cure
from mosaiclib.errors import MosaicError, choice
from mosaiclib.filler import grid_volume
from mosaiclib.job import spares
from mosaiclib.reference import DATA, Record

TESTS = DATA.parent / "tests"  # printed values stand there once, for the tests and for the page
EXACT = 1e-6  # up to it a difference is one of the arithmetic only
NOWHERE_PRINTED = ("from memory", "common practice", "assumed", "computed", "invented")
# workbooks that a table of data/ touches
PAGES = {
    "adhesives": "03, 06",
    "allowances": "03, 04, 06",
    "backings": "03, 05, 06",
    "cautions": "00 to 08",
    "classes": "03, 04",
    "colours": "05, 06",
    "consumables": "06",
    "contrast": "05",
    "course": "07",
    "coverage": "03, 06",
    "cure": "03, 06",
    "cutting": "06, 07",
    "filler": "04, 06",
    "firstaid": "07",
    "hazards": "07",
    "joints": "01, 06",
    "kinds": "04, 06",
    "mechanics": "04",
    "optics": "03, 05, 06",
    "packs": "06, 07",
    "papers": "06",
    "shop": "06",
    "spacers": "01",
    "worktime": "06, 07",
}


@dataclass(frozen=True)
class Verdict:
    """A printed value (a `Check` of tests/published) beside ours; `room` is the room of mosaiclib that computes it."""

    check: Any
    room: str
    ours: float | str

    @property
    def agrees(self) -> bool:
        """Whether ours is the printed value, within its tolerance."""
        return self.check.agrees(self.ours)

    @property
    def difference(self) -> float | None:
        """Ours less the printed value [unit of the check]; None for words."""
        words = self.check.number is None or isinstance(self.ours, str)
        return None if words else self.ours - self.check.number

    @property
    def off(self) -> float:
        """The difference in tolerances, 1 at the limit of what is allowed; far beyond it where there is nothing to divide by."""
        if not self.difference or not self.check.tolerance:
            return 0.0 if self.agrees else 99.0
        return self.difference / self.check.tolerance


@lru_cache(1)
def verdicts() -> tuple[Verdict, ...]:
    """Return every printed value beside ours, those of one subject together; takes some seconds the first time."""
    published = _published()
    subjects = list(published.ROOM_OF)
    ordered = sorted(published.CHECKS, key=lambda check: subjects.index(check.subject))
    return tuple(Verdict(check, published.ROOM_OF[check.subject], _ours(check)) for check in ordered)


def _published() -> Any:
    """Return the printed values, which stand with the tests."""
    if not (TESTS / "published").is_dir():
        raise MosaicError("The folder of printed values, tests/published, was not found beside the mosaiclib folder.")
    if str(TESTS) not in sys.path:
        sys.path.append(str(TESTS))
    return importlib.import_module("published")


def _ours(check: Any) -> float | str:
    """Return our value; a formula that breaks is one that does not agree."""
    try:
        return check.ours()
    except Exception as broken:
        return f"none: {broken}"


def rows_resting_on(evidence: str) -> list[Record]:
    """Return the rows of data/ that rest on one kind of evidence, table by table.

    >>> {row.subject for row in rows_resting_on("invented")}
    {'packs'}
    """
    choice(evidence, "evidence", reference.EVIDENCE)
    return [row for subject in PAGES for row in reference.table(subject) if row.evidence == evidence]


@dataclass(frozen=True)
class Answer:
    """An answer that rests on figures nobody printed: its unit, and each figure's least, usual and greatest with its evidence."""

    unit: str
    of: Callable[..., float]
    figures: Mapping[str, tuple[float, float, float, str]]

    @property
    def usual(self) -> float:
        """The answer with each figure at its usual value [unit]."""
        return self.of(*(usual for _, usual, _, _ in self.figures.values()))

    def swings(self) -> list[tuple[str, float, float]]:
        """Return how far each figure alone moves the answer, from its least to its greatest [unit], the widest swing first."""
        middle = [usual for _, usual, _, _ in self.figures.values()]
        bars = []
        for place, (name, (least, _, greatest, _)) in enumerate(self.figures.items()):
            ends = (self.of(*middle[:place], one, *middle[place + 1 :]) for one in (least, greatest))
            bars.append((name, *sorted(ends)))
        return sorted(bars, key=lambda bar: bar[1] - bar[2])


def _banded(subject: str, name: str) -> tuple[float, float, float, str]:
    """Return least, usual and greatest of a row of data/, and its evidence."""
    row = reference.value(subject, name)
    return row.band[0], row.number, row.band[1], row.evidence


def _half_to_double(name: str) -> tuple[float, float, float, str]:
    """Return half an allowance, itself and twice as much: no range of it was printed, so a wide one is tried."""
    row = reference.value("allowances", name)
    return row.number / 2, row.number, row.number * 2, f"{row.evidence}; half and double are ours"


def _cured(front: float, side: float, warm: float, humid: float) -> float:
    """Return how long a moisture cure takes to reach the middle of a tile [days]."""
    return hours_to_cure(shapely.box(0, 0, side, side), 1.0, warm, humid / 100, front) / 24


def _filler(joint: float, depth: float, tile: float, lost: float) -> float:
    """Return the filler for a tenth of a square metre [mL]."""
    return 100 * grid_volume(tile, tile, joint, depth) * (1 + lost)


TYPED = "yours to measure"


@lru_cache(1)
def answers() -> dict[str, Answer]:
    """Return the answers of which the page shows what moves them, by what they say."""
    cure = {
        "depth after the first day [mm]": _banded("cure", "front of a moisture cure"),
        "side of the tile [mm]": (19.5, 20.0, 20.5, TYPED),
        "warmth [degrees Celsius]": (18.0, 23.0, 26.0, TYPED),
        "humidity [%]": (35.0, 50.0, 65.0, TYPED),
    }
    joints = {
        "joint [mm]": (1.5, 2.0, 2.5, TYPED),
        "depth of the joint [mm]": (4.0, 4.8, 5.2, TYPED),
        "side of the tile [mm]": (19.5, 20.0, 20.5, TYPED),
        "share lost": _half_to_double("filler lost"),
    }
    tiles = {
        "share of cut tiles spoilt": _half_to_double("cut tiles spoilt"),
        "how sure to be of having enough": (
            0.8,
            reference.value("allowances", "sure of having enough").number,
            0.99,
            "assumed",
        ),
    }
    return {
        "days until the bed under a tile is cured": Answer("days", _cured, cure),
        "filler for a tenth of a square metre": Answer("mL", _filler, joints),
        "spare tiles beyond 200 that are cut": Answer("tiles", lambda c, s: float(spares(200, c, s)), tiles),
    }
