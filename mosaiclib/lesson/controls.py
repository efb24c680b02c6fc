"""The controls of a lesson as plain records, and how what is typed into them is read."""

__all__ = ["Action", "Control", "Drag", "read", "read_number", "read_readings", "shown"]

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from mosaiclib import units
from mosaiclib.errors import MosaicError, brief, choice, instance, number, several, whole_number
from mosaiclib.units import read_points, write_points

KINDS = ("length", "range", "number", "count", "choice", "switch", "text", "readings", "points", "table", "again")
MOST_READINGS = 1000


@dataclass(frozen=True)
class Control:
    """One thing that a learner can set.

    Parameters
    ----------
    name : str
        Field of the lesson's settings that it sets.
    label : str
        Words before it, without the unit.
    kind : str
        One of length, range (two lengths), number, count, choice, switch, text, readings, table, again
        (a button that counts how often it was pressed).
    default : object
        Value at the start.
    unit : str
        Unit shown in the label; lengths follow the switch of the page.
    low, high, step : float
        Range and step of the slider; what is typed may lie between steps [unit].
    options : tuple of str
        Words to choose from, or the heads of a table's columns.
    help : str
        One line below it.
    fold : str
        Heading it is folded under; always open if empty.
    zero : bool
        Whether a length of 0 may be typed.
    rows : int
        Lines of a table.
    """

    name: str
    label: str
    kind: str
    default: Any
    unit: str = ""
    low: float = 0.0
    high: float = 0.0
    step: float = 1.0
    options: tuple[str, ...] = ()
    help: str = ""
    fold: str = ""
    zero: bool = False
    rows: int = 0

    def __post_init__(self) -> None:
        choice(self.kind, "kind of control", KINDS)

    @property
    def slides(self) -> bool:
        """Whether it has a slider."""
        return self.kind in ("length", "range", "number", "count")

    @property
    def ends(self) -> tuple[Any, ...]:
        """Least, greatest and a middle value, for sweeping."""
        if self.slides:
            steps = round(self.low / self.step), round(self.high / self.step)
            found = [self.from_steps(step) for step in (*steps, sum(steps) // 2)]
            least, greatest, middle = found
            return ((least, middle), (middle, greatest)) if self.kind == "range" else (least, greatest, middle)
        if self.kind == "choice":
            return self.options
        if self.kind == "again":
            return (self.default + 1,)
        return (False, True) if self.kind == "switch" else (self.default,)

    def from_steps(self, steps: Any) -> Any:
        """Return the value of a slider, which counts whole steps because a browser rounds decimals badly."""
        if isinstance(steps, tuple):
            return tuple(round(step * self.step, 6) for step in steps)
        return int(steps * self.step) if self.kind == "count" else round(steps * self.step, 6)

    def to_steps(self, value: Any) -> Any:
        """Return the nearest whole steps for a value."""
        return tuple(round(v / self.step) for v in value) if isinstance(value, tuple) else round(value / self.step)


@dataclass(frozen=True)
class Action:
    """A button that does something outside the page, such as saving.

    Parameters
    ----------
    name, label : str
        Its name in code and the words on it.
    run : callable
        Takes the settings and the text of the box beside it, returns a sentence to show, or a pair:
        new settings and the sentence.
    box : str
        Words before the box, no box if empty.
    default : str
        Text in the box at the start.
    """

    name: str
    label: str
    run: Callable[[Any, str], Any]
    box: str = ""
    default: str = ""


@dataclass(frozen=True)
class Drag:
    """Handles on a lesson's picture that the learner drags.

    Parameters
    ----------
    points : callable
        From the result to the handles [mm].
    moved : callable
        From the last result, the new handles and whether one is still held, to new settings.
    """

    points: Callable[[Any], Sequence[tuple[float, float]]]
    moved: Callable[[Any, Sequence[Sequence[float]], bool], Any]


def read_number(text: object, name: str) -> float:
    """Read a typed number with decimal point or comma.

    Parameters
    ----------
    text : str or float
        What was typed.
    name : str
        What the sentence calls it.

    Returns
    -------
    float
        The number.

    Raises
    ------
    MosaicError
        If it is no finite number; the sentence quotes what was typed.

    Examples
    --------
    >>> read_number("1,5", "spread")
    1.5
    """
    found = units.number_of(str(text))
    if found is None:
        raise MosaicError(f"{brief(str(text))} is not a number for the {name}; type for example 1.5.")
    return number(found, name)


def read(control: Control, typed: Any, unit: str = "mm") -> Any:
    """Turn what was typed or set into the control's value.

    Parameters
    ----------
    control : Control
        The control.
    typed : object
        Text from its box, or a value set in code.
    unit : {"mm", "in"}
        Unit of lengths typed without one.

    Returns
    -------
    object
        The checked value; lengths in [mm].

    Raises
    ------
    MosaicError
        If it cannot be read or is out of the control's range.

    Examples
    --------
    >>> read(Control("tile", "Tile", "length", 20.0, "mm", 5, 50, 0.5), "3/4 in")
    19.05
    """
    name = instance(control, Control, "control").label.lower()
    choice(unit, "unit", units.UNITS)
    if control.kind == "choice":
        return choice(typed, name, control.options)
    if control.kind == "length":
        found = units.to_mm(typed, unit, zero=control.zero or control.low == 0)
    elif control.kind == "range":
        return _read_range(control, typed, unit)
    elif control.kind in ("number", "count"):
        found = read_number(typed, name) if isinstance(typed, str) else number(typed, name)
    elif control.kind == "readings":
        return read_readings(typed, unit)
    elif control.kind == "points":
        return read_points(typed, unit)
    elif control.kind == "table":
        return tuple(
            tuple(str(cell) for cell in several(line, f"lines of the {name}")) for line in several(typed, name)
        )
    elif control.kind == "again":
        return whole_number(typed, name)
    else:
        return instance(typed, bool if control.kind == "switch" else str, name)
    _check_range(control, found, unit)
    if control.kind == "count" and found != int(found):
        raise MosaicError(f"The {name} must be a whole number; it is {found:g}.")
    return int(found) if control.kind == "count" else found


def _read_range(control: Control, typed: Any, unit: str) -> tuple[float, float]:
    """Read two lengths, typed as "1.5 to 2.5" or set as a pair; the smaller comes first."""
    parts = re.split(r"\s*(?:\bto\b|;|–)\s*", typed.strip()) if isinstance(typed, str) else several(typed, "range")
    if len(parts) != 2:
        raise MosaicError(f"{brief(typed)} is not a range; type two lengths, for example 1.5 mm to 2.5 mm.")
    low, high = sorted(units.to_mm(part, unit, zero=control.low == 0) for part in parts)
    _check_range(control, low, unit)
    _check_range(control, high, unit)
    return low, high


def _check_range(control: Control, found: float, unit: str) -> None:
    """Refuse a value out of the control's range, which is named in the unit of the page."""
    if control.low - 1e-9 <= found <= control.high + 1e-9:
        return
    if control.unit == "mm":
        low, high, value = (units.show(length, unit) for length in (control.low, control.high, found))
    else:
        tail = f" {control.unit}" if control.unit else ""
        low, high, value = f"{control.low:g}", f"{control.high:g}{tail}", f"{found:g}{tail}"
    raise MosaicError(f"The {_named(control.label)} must be from {low} to {high}; {value} is outside.")


def _named(label: str) -> str:
    """Return a label as a sentence says it."""
    return label.lower().removeprefix("your ").removeprefix("the ")


def shown(control: Control, value: Any, unit: str = "mm") -> str:
    """Write a control's value as its box shows it.

    Parameters
    ----------
    control : Control
        The control.
    value : object
        Its value; lengths in [mm].
    unit : {"mm", "in"}
        Unit for lengths.

    Returns
    -------
    str
        The text.

    Examples
    --------
    >>> shown(Control("joint", "Joint", "range", (1.5, 2.5), "mm", 0, 10, 0.1), (1.5, 2.5))
    '1.5 mm to 2.5 mm'
    """
    if control.kind == "length":
        return _short(value, unit)
    if control.kind == "range":
        return " to ".join(_short(length, unit) for length in value)
    if control.kind == "points":
        return write_points(value, unit)
    if control.kind == "readings":
        apart = " " if unit == "mm" else "; "  # "3 1/2; 7 1/8" can be read in one way only
        return apart.join(_short(reading, unit).removesuffix(f" {unit}") for reading in value)
    if control.kind == "table":
        return "; ".join(", ".join(line) for line in value)
    return f"{value:.6g}" if control.slides else str(value)


def _short(length: float, unit: str) -> str:
    """Write a length so that it fits its box: inches without the error, which the report tells."""
    return units.show(length, unit).partition(" (")[0]


def read_readings(text: object, unit: str = "mm") -> tuple[float, ...]:
    """Read a list of lengths typed with spaces, semicolons or new lines between them.

    Parameters
    ----------
    text : str or sequence of float
        Such as "1.8 2.1 1,9"; empty for none.
    unit : {"mm", "in"}
        Unit of bare numbers.

    Returns
    -------
    tuple of float
        The lengths [mm].

    Raises
    ------
    MosaicError
        If one of them is not a length of 0 or more, or there are over 1000.

    Examples
    --------
    >>> read_readings("1.8, 2.1; 1,9"), read_readings("3 1/2; 7 1/8", "in")
    ((1.8, 2.1, 1.9), (88.9, 180.975))
    """
    if not isinstance(text, str):
        parts: Sequence[Any] = several(text, "readings")
    else:
        parts = _listed(text)
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
