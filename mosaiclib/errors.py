"""The one exception of the workbook: its message is a sentence that a learner can act on."""

__all__ = ["MosaicError", "choice", "number", "whole_number"]

import math
from collections.abc import Iterable


class MosaicError(ValueError):
    """Something typed or asked for cannot be used; the message says what and how to mend it.

    Examples
    --------
    >>> raise MosaicError("The tile side must be greater than 0 mm.")
    Traceback (most recent call last):
    mosaiclib.errors.MosaicError: The tile side must be greater than 0 mm.
    """


def number(
    value: object,
    name: str,
    unit: str = "",
    *,
    least: float = -math.inf,
    greatest: float = math.inf,
    above: float | None = None,
) -> float:
    """Return `value` as a finite float inside its range, or say in a sentence why not.

    Parameters
    ----------
    value : object
        What was given; text and truth values are refused, they are never guessed at.
    name : str
        What the sentence calls it, as in "tile side".
    unit : str
        Unit of the value and of the limits, as text.
    least, greatest : float
        Limits that are allowed themselves [unit].
    above : float, optional
        A limit that is not allowed itself [unit].

    Returns
    -------
    float
        The value [unit].

    Raises
    ------
    MosaicError
        If the value is no number, not finite or out of its range.

    Examples
    --------
    >>> number(2, "joint", "mm", above=0)
    2.0
    >>> number("2", "joint", "mm")
    Traceback (most recent call last):
    mosaiclib.errors.MosaicError: The joint must be a number, not '2'.
    """
    refused = isinstance(value, bool | str | bytes) or value is None
    try:
        found = math.nan if refused else float(value)
    except (TypeError, ValueError):
        refused, found = True, math.nan
    if refused:
        raise MosaicError(f"The {name} must be a number, not {value!r}.")
    if not math.isfinite(found):
        raise MosaicError(f"The {name} must be a finite number, not {found}.")
    tail = f" {unit}" if unit else ""
    if above is not None and found <= above:
        raise MosaicError(f"The {name} must be greater than {above:g}{tail}; it is {found:g}{tail}.")
    if found < least:
        raise MosaicError(f"The {name} must be at least {least:g}{tail}; it is {found:g}{tail}.")
    if found > greatest:
        raise MosaicError(f"The {name} must be at most {greatest:g}{tail}; it is {found:g}{tail}.")
    return found


def whole_number(value: object, name: str, *, least: int = 0, greatest: int = 10**7) -> int:
    """Return `value` as an int inside its range, or say in a sentence why not.

    Parameters
    ----------
    value : object
        What was given; 3.0 is a whole number, 3.5 is not.
    name : str
        What the sentence calls it.
    least, greatest : int
        Limits that are allowed themselves.

    Returns
    -------
    int
        The value.

    Raises
    ------
    MosaicError
        If the value is not a whole number or out of its range.

    Examples
    --------
    >>> whole_number(12.0, "number of tiles", least=1)
    12
    """
    found = number(value, name, least=least, greatest=greatest)
    if found != int(found):
        raise MosaicError(f"The {name} must be a whole number; it is {found:g}.")
    return int(found)


def choice(value: object, name: str, known: Iterable[str]) -> str:
    """Return `value` if it is one of the known words, or say which there are.

    Parameters
    ----------
    value : object
        What was given.
    name : str
        What the sentence calls it.
    known : iterable of str
        The words that may be used.

    Returns
    -------
    str
        The word.

    Raises
    ------
    MosaicError
        If the word is unknown.

    Examples
    --------
    >>> choice("square", "edge rule", ["flush", "equal"])
    Traceback (most recent call last):
    mosaiclib.errors.MosaicError: The edge rule 'square' is not known; choose one of: flush, equal.
    """
    words = list(known)
    if not isinstance(value, str) or value not in words:
        raise MosaicError(f"The {name} {value!r} is not known; choose one of: {', '.join(words)}.")
    return value
