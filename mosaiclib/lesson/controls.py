"""The controls of a lesson as plain records, a small class for each kind: how it is read, shown, swept and kept."""

__all__ = [
    "Action",
    "Again",
    "Choice",
    "Chosen",
    "Control",
    "Count",
    "Drag",
    "Length",
    "Listed",
    "Number",
    "Points",
    "Range",
    "Readings",
    "Shown",
    "Slider",
    "Switch",
    "Table",
    "Temperature",
    "Words",
    "Written",
    "put_into",
    "read_number",
    "read_readings",
    "values_in",
]

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import KW_ONLY, dataclass
from typing import Any, NamedTuple

from mosaiclib import units
from mosaiclib.errors import MosaicError, brief, choice, instance, number, several, whole_number
from mosaiclib.units import celsius, mm, read_points, write_points

MOST_READINGS = 1000


@dataclass(frozen=True)
class Control:
    """One thing that a learner can set: the field of the settings with this name, under this label.

    A control has no value of its own at the start; that stands in the lesson's Settings.
    """

    name: str
    label: str
    _: KW_ONLY
    help: str = ""  # one line below it
    fold: str = ""  # heading that it is folded under
    path: str = ""  # where a nested record, such as a plan, keeps it: "adhesive.bed"
    refuses: tuple[str, ...] = ()  # words of the sentences that may well refuse a value within its range
    when: Callable[[Any], bool] | None = None  # whether it is shown, by the settings; always where nothing is said
    unit = ""  # stands in the label; mm and C follow the switch of the page

    @property
    def called(self) -> str:
        """The label as a sentence says it."""
        return self.label.lower().removeprefix("your ").removeprefix("the ")

    def read(self, typed: Any, unit: str = "mm") -> Any:
        """Return the checked value of what was typed or set; lengths without a unit are in `unit`, the value in mm."""
        raise NotImplementedError

    def shown(self, value: Any, unit: str = "mm") -> str:
        """Return the value as its box shows it."""
        return str(value)

    def ends(self, value: Any) -> tuple[Any, ...]:
        """Return what a sweep sets it to, which starts from `value`."""
        return (value,)

    def taken(self, stored: Any) -> Any:
        """Return the value for what a record keeps."""
        return stored

    def stored(self, value: Any) -> Any:
        """Return what a record keeps for the value."""
        return value


@dataclass(frozen=True)
class Slider(Control):
    """A control with a slider, which counts whole steps because a browser rounds decimals badly [unit]."""

    low: float
    high: float
    step: float = 1.0

    def ends(self, value: Any) -> tuple[Any, ...]:
        least, greatest = self.to_steps(self.low), self.to_steps(self.high)
        return tuple(self.from_steps(steps) for steps in (least, greatest, (least + greatest) // 2))

    def from_steps(self, steps: int) -> Any:
        """Return the value of so many steps."""
        return round(steps * self.step, 6)

    def to_steps(self, value: Any) -> Any:
        """Return the nearest whole steps; what was typed may lie between them."""
        return round(value / self.step)

    def within(self, value: float) -> Any:
        """Return the value, or say that it is out of range in the unit of the page."""
        if self.low - 1e-9 <= value <= self.high + 1e-9:
            return value
        wanted, typed = self._told(self.low, self.high), self._told(value)
        raise MosaicError(f"The {self.called} must be from ", wanted, "; ", typed, " is outside.")

    def _told(self, *values: float) -> Any:
        return mm(*values) if self.unit == "mm" else f"{' to '.join(f'{v:g}' for v in values)} {self.unit}".rstrip()

    def shown(self, value: Any, unit: str = "mm") -> str:
        return f"{value:.6g}"


@dataclass(frozen=True)
class Length(Slider):
    """A length [mm]."""

    unit = "mm"

    def read(self, typed: Any, unit: str = "mm") -> float:
        """Return the length [mm].

        >>> Length("tile", "Tile", 5, 50, 0.5).read("3/4 in")
        19.05
        """
        return self.within(units.to_mm(typed, unit, zero=self.low == 0))

    def shown(self, value: float, unit: str = "mm") -> str:
        """Return the length so that it fits its box: inches without the error, which the report tells."""
        return units.show(value, unit).partition(" (")[0]


@dataclass(frozen=True)
class Range(Length):
    """Two lengths, the smaller first [mm]; kept at two paths with a space between them."""

    def read(self, typed: Any, unit: str = "mm") -> tuple[float, float]:
        """Return two lengths [mm], typed as "1.5 to 2.5" or set as a pair."""
        parts = re.split(r"\s*(?:\bto\b|;|–)\s*", typed.strip()) if isinstance(typed, str) else several(typed, "range")
        if len(parts) != 2:
            raise MosaicError(f"{brief(typed)} is not a range; type two lengths, for example 1.5 mm to 2.5 mm.")
        low, high = sorted(super(Range, self).read(part, unit) for part in parts)
        return low, high

    def shown(self, value: Sequence[float], unit: str = "mm") -> str:
        """Return both lengths.

        >>> Range("joint", "Joint", 0, 10, 0.1).shown((1.5, 2.5))
        '1.5 mm to 2.5 mm'
        """
        return " to ".join(super(Range, self).shown(length, unit) for length in value)

    def ends(self, value: Any) -> tuple[Any, ...]:
        least, greatest, middle = super().ends(value)
        return (least, middle), (middle, greatest)

    def from_steps(self, steps: Any) -> Any:
        return tuple(map(super().from_steps, steps)) if isinstance(steps, tuple) else super().from_steps(steps)

    def to_steps(self, value: Any) -> Any:
        return tuple(map(super().to_steps, value)) if isinstance(value, tuple) else super().to_steps(value)


@dataclass(frozen=True)
class Number(Slider):
    """A number [unit]; what a record keeps of a percentage is the share."""

    unit: str = ""
    percent: bool = False

    def read(self, typed: Any, unit: str = "mm") -> float:
        return self.within(
            read_number(typed, self.called, self.unit) if isinstance(typed, str) else number(typed, self.called)
        )

    def taken(self, stored: float) -> float:
        return round(stored * 100, 6) if self.percent else stored

    def stored(self, value: float) -> float:
        return value / 100 if self.percent else value


@dataclass(frozen=True)
class Temperature(Slider):
    """A temperature [C]; on a page in inches in degrees Fahrenheit."""

    unit = "C"

    def read(self, typed: Any, unit: str = "mm") -> float:
        """Return the temperature [C].

        >>> Temperature("room", "Room", 5, 40).read("68", "in"), Temperature("room", "Room", 5, 40).read("68 F")
        (20.0, 20.0)
        """
        if not isinstance(typed, str):
            return self.within(number(typed, self.called))
        page = units.on_page(self.unit, unit)
        return self.within(round(units.convert(read_number(typed, self.called, page), page, self.unit), 6))

    def shown(self, value: float, unit: str = "mm") -> str:
        return f"{round(units.convert(value, self.unit, units.on_page(self.unit, unit)), 1):g}"

    def _told(self, *values: float) -> Any:
        return celsius(*values)


@dataclass(frozen=True)
class Count(Number):
    """A whole number [unit]."""

    def read(self, typed: Any, unit: str = "mm") -> int:
        return whole_number(super().read(typed, unit), self.called)

    def from_steps(self, steps: int) -> int:
        return int(steps * self.step)


@dataclass(frozen=True)
class Choice(Control):
    """One of several words; `options` may say which value a record keeps for each."""

    options: Sequence[str] | Mapping[str, Any]

    def read(self, typed: Any, unit: str = "mm") -> str:
        return choice(typed, self.called, self.options)

    def ends(self, value: str) -> tuple[str, ...]:
        return tuple(self.options)

    def taken(self, stored: Any) -> str:
        return next(word for word in self.options if self.stored(word) == stored)

    def stored(self, value: str) -> Any:
        return self.options[value] if isinstance(self.options, Mapping) else value


@dataclass(frozen=True)
class Chosen(Control):
    """One of several words that follow from the other settings, such as the names of what the maker has made."""

    offered: Callable[[Any], Sequence[str]]

    def read(self, typed: Any, unit: str = "mm") -> str:
        return instance(typed, str, self.called)


@dataclass(frozen=True)
class Switch(Control):
    """Yes or no."""

    def read(self, typed: Any, unit: str = "mm") -> bool:
        return instance(typed, bool, self.called)

    def ends(self, value: bool) -> tuple[bool, bool]:
        return False, True


@dataclass(frozen=True)
class Words(Control):
    """Any words, such as a name."""

    def read(self, typed: Any, unit: str = "mm") -> str:
        return instance(typed, str, self.called)


@dataclass(frozen=True)
class Readings(Control):
    """A list of lengths [mm]; where there must be `wanted` of them, one alone stands for all."""

    wanted: int | None = None
    unit = "mm"

    def read(self, typed: Any, unit: str = "mm") -> tuple[float, ...]:
        found = read_readings(typed, unit)
        if self.wanted is None or len(found) == self.wanted:
            return found
        if len(found) == 1:
            return found * self.wanted
        raise MosaicError(f"{self.label} takes {self.wanted} readings, or one where all are alike, not {len(found)}.")

    def shown(self, value: Sequence[float], unit: str = "mm") -> str:
        """Return the lengths; "3 1/2; 7 1/8" can be read in one way only."""
        bare = (units.show(one, unit).partition(" (")[0].removesuffix(f" {unit}") for one in value)
        return (" " if unit == "mm" else "; ").join(bare)

    def taken(self, stored: Sequence[Any]) -> tuple[Any, ...]:
        return tuple(stored)

    def stored(self, value: Sequence[Any]) -> list[Any]:
        return list(value)


@dataclass(frozen=True)
class Points(Control):
    """Points, each across and up from the lower left corner [mm], or what else is named for `each`."""

    each: tuple[str, ...] = ("across", "up")
    unit = "mm"

    def read(self, typed: Any, unit: str = "mm") -> tuple[tuple[float, ...], ...]:
        return read_points(typed, unit, self.each)

    def shown(self, value: Sequence[Sequence[float]], unit: str = "mm") -> str:
        return write_points(value, unit)

    def taken(self, stored: Sequence[Sequence[float]]) -> tuple[tuple[float, ...], ...]:
        return tuple(map(tuple, stored))

    def stored(self, value: Sequence[Sequence[float]]) -> list[list[float]]:
        return [list(map(float, point)) for point in value]


@dataclass(frozen=True)
class Table(Control):
    """Lines of words under heads, at most `rows` of them; under the heads in `tones` stand tones, #rrggbb."""

    heads: tuple[str, ...]
    rows: int
    tones: tuple[str, ...] = ()

    def read(self, typed: Any, unit: str = "mm") -> tuple[tuple[str, ...], ...]:
        lines = (several(line, f"lines of the {self.called}") for line in several(typed, self.called))
        return tuple(tuple(map(str, line)) for line in lines)

    def shown(self, value: Sequence[Sequence[str]], unit: str = "mm") -> str:
        return "; ".join(", ".join(line) for line in value)


@dataclass(frozen=True)
class Again(Control):
    """A button that counts how often it was pressed."""

    def read(self, typed: Any, unit: str = "mm") -> int:
        return whole_number(typed, self.called)

    def ends(self, value: int) -> tuple[int]:
        return (value + 1,)


def values_in(record: Mapping[str, Any], controls: Iterable[Control]) -> dict[str, Any]:
    """Return what the controls with a path show of a nested record, by their names."""
    found = {}
    for control in controls:
        stored = [_part(record, path)[_last(path)] for path in control.path.split()]
        if stored:
            found[control.name] = control.taken(tuple(stored) if len(stored) > 1 else stored[0])
    return found


def put_into(record: dict[str, Any], controls: Iterable[Control], settings: Any) -> None:
    """Write what the controls with a path are set to into a nested record."""
    for control in controls:
        paths, value = control.path.split(), control.stored(getattr(settings, control.name))
        for path, each in zip(paths, value if len(paths) > 1 else [value] * len(paths), strict=True):
            _part(record, path)[_last(path)] = each


def _part(record: Any, path: str) -> Any:
    """Return the part of a nested record that holds what a path names."""
    for name in path.split(".")[:-1]:
        record = record[name]
    return record


def _last(path: str) -> str:
    return path.rpartition(".")[2]


class Written(NamedTuple):
    """What an action wrote: a sentence, and files to open from the page, as paths from the workbook's folder."""

    words: object
    files: tuple[str, ...] = ()


@dataclass(frozen=True)
class Action:
    """A button that does something outside the page, such as saving.

    `run` takes the settings and the text of the box beside it, which starts with `start`; it returns what to show, a
    sentence or `Written`, or new settings and that; what takes long gives one after the other while it runs, the last of
    them what came of it. Without words before it (`box`) there is no box. One that brings settings of its own (`fresh`) can
    be pressed while something is the matter with a box. One that `accept`s a kind of file, such as ".svg", lets the learner
    choose one: `run` takes its `name` and `content` instead of the text. One that is `in_unit` takes the unit of the page too.
    """

    name: str
    label: str
    run: Callable[..., Any]
    box: str = ""
    start: str = ""
    fresh: bool = False
    accept: str = ""
    in_unit: bool = False


@dataclass(frozen=True)
class Shown:
    """One thing in a list to choose from: its words, and its picture as SVG, if it has one."""

    words: str
    picture: str
    thing: Any


@dataclass(frozen=True)
class Listed:
    """A list of things outside the page, such as plans that were kept, under a heading; one is opened by a button.

    `things` lists them for the settings when the heading is opened; `run` takes the settings and one thing, and returns new
    settings and a sentence.
    """

    heading: str
    none: str  # what is said where there are none
    things: Callable[[Any], Sequence[Shown]]
    run: Callable[[Any, Any], Any]


@dataclass(frozen=True)
class Drag:
    """Handles on a lesson's picture that the learner drags [mm].

    `points` gives the handles of a result [mm], `moved` new settings from the last result, the new handles and whether one is
    still held. Where handles may be added and taken away, `between` gives a place after each but the last, and `most` how
    many there may be.
    """

    points: Callable[[Any], Sequence[tuple[float, float]]]
    moved: Callable[[Any, Sequence[Sequence[float]], bool], Any]
    between: Callable[[Any], Sequence[tuple[float, float]]] = lambda _: ()
    most: int = 0


def read_number(text: object, name: str, unit: str = "") -> float:
    """Read a typed number [unit] with decimal point or comma, its unit typed or not; what refuses it says its name.

    >>> read_number("1,5", "spread"), read_number("2 days", "wait", "hours")
    (1.5, 48.0)
    """
    found = units.quantity(str(text))
    if found and units.two_ways(str(text)):
        raise MosaicError(
            f"{brief(str(text))} can be read in two ways for the {name}: write 1500 or 1.5, without the comma."
        )
    if found is None:
        raise MosaicError(f"{brief(str(text))} is not a number for the {name}; type for example 1.5.")
    value = units.in_unit(*found, unit)
    if value is None:
        wanted = f"is in {unit}" if unit else "is a bare number"
        raise MosaicError(f"{brief(str(text))} has the unit {brief(found[1])}; the {name} {wanted}.")
    return number(value, name)


def read_readings(text: object, unit: str = "mm") -> tuple[float, ...]:
    """Read at most 1000 lengths [mm] with spaces, semicolons or new lines between them; bare numbers are in `unit`.

    >>> read_readings("1.8, 2.1; 1,9"), read_readings("3 1/2; 7 1/8", "in")
    ((1.8, 2.1, 1.9), (88.9, 180.975))
    """
    parts: Sequence[Any] = _listed(text) if isinstance(text, str) else several(text, "readings")
    if len(parts) > MOST_READINGS:
        raise MosaicError(f"{len(parts)} readings are more than the {MOST_READINGS} that can be judged at once.")
    return tuple(units.to_mm(part, unit, zero=True) for part in parts)


_ONE = re.compile(
    r"(?:\d+\s+\d+\s*[/\u2044]\s*\d+|\d+\s*[/\u2044]\s*\d+|\d*[\u00bc-\u00be\u2150-\u215e]|\d+(?:[.,]\d+)?)"
    r"\s*(?:[^\W\d_]+|\"|''|[\u2033\u201c\u201d\u201e])?"
)


def _listed(text: str) -> list[str]:
    """Return the lengths of a typed list, each with its fraction and unit: "3 1/2 in; 7 1/8 in" are two."""
    bare = [part.strip(",") for part in re.split(r"[\s;]+", text) if part.strip(",")]
    if any(part.count(",") > 1 or ("," in part and "." in part) for part in bare):
        raise MosaicError(f"{brief(text.strip())} can be read in two ways; put spaces between the readings.")
    rest = _ONE.sub("", text)
    if rest.strip(" \t\r\n\u00a0;,"):
        raise MosaicError(
            f"{brief(text.strip())} is not a list of lengths; type for example 1.8 2.1 2, or 3 1/2 in; 7 1/8 in."
        )
    return [found.group().strip() for found in _ONE.finditer(text)]
