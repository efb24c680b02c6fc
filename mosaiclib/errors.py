"""The one exception of the workbook: its message is a sentence that a learner can act on."""

__all__ = ["MosaicError", "brief", "choice", "instance", "number", "numbers", "plain", "several", "whole_number"]

import math
import re
from collections.abc import Iterable, Mapping, Set
from numbers import Real
from typing import Any

from mosaiclib.words import mm, told

LONGEST_QUOTE = 80  # letters of what was typed that a sentence repeats
# signs that steer a terminal, break or turn a line, or are half of one
_STEERING = re.compile("[\x00-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff]+")


class MosaicError(ValueError):
    """Something typed or asked for cannot be used; the message says what and how to mend it.

    Examples
    --------
    >>> raise MosaicError("The tile side must be greater than 0 mm.")
    Traceback (most recent call last):
    mosaiclib.errors.MosaicError: The tile side must be greater than 0 mm.
    """

    def __init__(self, *parts: object) -> None:
        self.parts = parts
        super().__init__(self.told())

    def told(self, unit: str = "mm") -> str:
        """Return the sentence with its lengths in "mm" or "in"."""
        # names come from files that anybody may have made
        return plain("".join(told(part, unit) for part in self.parts), longest=None)


def plain(words: object, longest: int | None = LONGEST_QUOTE) -> str:
    """Return words on one line, without signs that steer a terminal, cut after `longest` letters (None: never).

    >>> plain("a\\x1b[2J pane")
    'a [2J pane'
    """
    line = _STEERING.sub(" ", str(words))
    return line if longest is None or len(line) <= longest else f"{line[: longest - 1]}…"


def brief(value: object) -> str:
    """Return how a value is quoted in a sentence, at most 80 letters of it.

    >>> brief("2 mm"), len(brief("2" * 10_000))
    ("'2 mm'", 80)
    """
    try:
        words = repr(value)
    except ValueError:  # Python does not spell out whole numbers of over 4300 digits
        words = "a number with thousands of digits"
    words = " ".join(words.split())
    return words if len(words) <= LONGEST_QUOTE else f"{words[: LONGEST_QUOTE - 1]}…"


def instance(value: object, kind: type | tuple[type, ...], name: str) -> Any:
    """Return `value` if it is of a kind, or say in a sentence what is needed.

    >>> instance("2", (list, tuple), "table")
    Traceback (most recent call last):
    mosaiclib.errors.MosaicError: The table must be a list or tuple, not '2'.
    """
    if isinstance(value, kind):
        return value
    kinds = kind if isinstance(kind, tuple) else (kind,)
    wanted = "True or False" if bool in kinds else f"a {' or '.join(k.__name__ for k in kinds)}"
    raise MosaicError(f"The {name} must be {wanted}, not {brief(value)}.")


def several(values: object, name: str, count: int | None = None) -> tuple[Any, ...]:
    """Return `values` as a tuple if they are a list of things (of `count` things), or say that they are not.

    >>> several([1, 2], "joint", 2)
    (1, 2)
    >>> several(1, "limits", 2)
    Traceback (most recent call last):
    mosaiclib.errors.MosaicError: The limits must be a list of 2, not 1.
    """
    try:
        refused = isinstance(values, str | bytes | Mapping | Set)
        found = () if refused else tuple(values)  # type: ignore[arg-type]
    except TypeError:
        refused, found = True, ()
    if refused or (count is not None and len(found) != count):
        raise MosaicError(f"The {name} must be a list{'' if count is None else f' of {count}'}, not {brief(values)}.")
    return found


def number(
    value: object,
    name: str,
    unit: str = "",
    *,
    least: float = -math.inf,
    greatest: float = math.inf,
    above: float | None = None,
) -> float:
    """Return `value` as a finite number within its limits [unit], or say in a sentence what it must be.

    >>> number(2, "joint", "mm", above=0)
    2.0
    >>> number("2", "joint", "mm")
    Traceback (most recent call last):
    mosaiclib.errors.MosaicError: The joint must be a number, not '2'.
    """
    if isinstance(value, bool) or not isinstance(value, Real):
        raise MosaicError(f"The {name} must be a number, not {brief(value)}.")
    try:
        found = float(value)
    except OverflowError:  # a whole number with over 308 digits
        found = math.inf if value > 0 else -math.inf
    if not math.isfinite(found):
        raise MosaicError(f"The {name} must be a finite number, not {found}.")
    if above is not None and found <= above:
        raise _out_of_range(name, "greater than", above, found, unit)
    if found < least:
        raise _out_of_range(name, "at least", least, found, unit)
    if found > greatest:
        raise _out_of_range(name, "at most", greatest, found, unit)
    return found


def _out_of_range(name: str, rule: str, limit: float, found: float, unit: str) -> MosaicError:
    wanted, given = (mm(value) if unit == "mm" else f"{value:g} {unit}".strip() for value in (limit, found))
    return MosaicError(f"The {name} must be {rule} ", wanted, "; it is ", given, ".")


def numbers(values, name: str, unit: str = "", **limits):
    """Return a number, or an array of numbers as one of floats, all finite and inside the limits of `number` [unit].

    >>> numbers([0, 24.0], "time", "hours", least=0).tolist()
    [0.0, 24.0]
    >>> numbers([1.0, -2.0], "time", "hours", least=0)
    Traceback (most recent call last):
    mosaiclib.errors.MosaicError: The time must be at least 0 hours; it is -2 hours.
    """
    import numpy as np  # only here: the front door must open without waiting for it

    if not isinstance(values, np.ndarray | list | tuple):
        return number(values, name, unit, **limits)
    try:
        found = np.asarray(values, dtype=float)
    except (TypeError, ValueError):
        raise MosaicError(f"The {name} must be numbers, not {brief(values)}.") from None
    for end in (found.min(), found.max()) if found.size else ():  # one that is not finite is both
        number(float(end), name, unit, **limits)
    return found


def whole_number(value: object, name: str, *, least: int = 0, greatest: int = 10**7) -> int:
    """Return `value` as a whole number within its limits, or say in a sentence what it must be.

    >>> whole_number(12.0, "number of tiles", least=1)
    12
    """
    found = number(value, name, least=least, greatest=greatest)
    if found != int(found):
        raise MosaicError(f"The {name} must be a whole number; it is {found:g}.")
    return int(found)


def choice(value: object, name: str, known: Iterable[str]) -> str:
    """Return `value` if it is one of the known words, or say which there are.

    >>> choice("square", "edge rule", ["flush", "equal"])
    Traceback (most recent call last):
    mosaiclib.errors.MosaicError: The edge rule 'square' is not known; choose one of: flush, equal.
    """
    words = list(known)
    if not isinstance(value, str) or value not in words:
        raise MosaicError(f"The {name} {brief(value)} is not known; choose one of: {', '.join(words)}.")
    return value
