"""Quantities in and out: lengths, readings and points as they are typed and shown; the only place that converts units."""

__all__ = [
    "INCH",
    "IN_INCHES",
    "LONGEST",
    "UNITS",
    "celsius",
    "convert",
    "in_thirty_seconds",
    "in_unit",
    "mm",
    "number_of",
    "on_page",
    "quantity",
    "read_points",
    "same_dimension",
    "show",
    "text",
    "to_mm",
    "told",
    "two_ways",
    "write_points",
]

import math
import re
import unicodedata
from collections.abc import Iterable, Sequence
from fractions import Fraction
from numbers import Real

from mosaiclib.errors import MosaicError, brief, choice, number, several
from mosaiclib.words import DEGREE_F, FREEZING_F, INCH, celsius, mm, text, told

LONGEST = 100_000.0  # [mm] 100 m: longer than any mosaic, so a slip of the keyboard
UNITS = ("mm", "in")
THIRTY_SECONDS = 32
# every unit that a control or a question offers, by what it measures: how many of the first one there are in it
SCALES = {
    "length": {
        "mm": 1.0,
        "thousandths of a mm": 0.001,
        "cm": 10.0,
        "m": 1000.0,
        "in": INCH,
        "ft": 12 * INCH,
        "yd": 36 * INCH,
    },
    "area": {"mm2": 1.0, "cm2": 100.0, "m2": 1e6, "in2": INCH**2},
    "volume": {"mL": 1.0, "L": 1000.0, "mm3": 0.001, "cm3": 1.0},
    "mass": {"g": 1.0, "kg": 1000.0, "oz": 28.349523125},
    "time": {"hours": 1.0, "minutes": 1 / 60, "days": 24.0, "weeks": 168.0},
    "stress": {"MPa": 1.0, "N/mm2": 1.0, "psi": 0.00689475729},
    "temperature": {"C": 1.0, "F": DEGREE_F},
}
FREEZING = {"C": 0.0, "F": FREEZING_F}
IN_INCHES = {"mm": "in", "C": "F"}  # what a page in inches has instead
SPELLINGS = {
    '"': "in", "inch": "in", "inches": "in", "foot": "ft", "feet": "ft", "yard": "yd", "yards": "yd",
    "millimeter": "mm", "millimetre": "mm", "millimeters": "mm", "millimetres": "mm", "centimeter": "cm",
    "centimetre": "cm", "centimeters": "cm", "centimetres": "cm", "meter": "m", "metre": "m", "meters": "m",
    "metres": "m", "ml": "mL", "l": "L", "litre": "L", "liter": "L", "litres": "L", "liters": "L", "ounce": "oz",
    "ounces": "oz", "gram": "g", "grams": "g", "h": "hours", "hr": "hours", "hrs": "hours", "hour": "hours", "min": "minutes",
    "mins": "minutes", "minute": "minutes", "percent": "%",
    "per cent": "%", "d": "days", "day": "days", "week": "weeks", "mpa": "MPa", "n/mm2": "N/mm2",
    "c": "C", "f": "F", **dict.fromkeys(("um", "\u00b5m", "\u03bcm"), "thousandths of a mm"),
}  # fmt: skip

_MARKS = str.maketrans({"″": '"', "“": '"', "”": '"', "„": '"', "′": "'", "’": "'", "‘": "'", "\u2044": "/"})
_NUMBER = r"\d+\s+\d+/\d+|\d+/\d+|\d+(?:[.,]\d+)?|[.,]\d+"
_PART = re.compile(rf"\s*({_NUMBER})\s*([a-z]+|\"|'')?\s*")
_EXAMPLES = "Type for example 20 mm, 19,5 mm, 15 cm, 3/4 in or 1 1/2 in."


def _value(text: str) -> float:
    """Return the number written as digits, a fraction or a mixed fraction; decimal comma or point."""
    whole, _, rest = text.rpartition(" ")
    if "/" in rest:
        return float(Fraction(rest)) + (float(whole) if whole.strip() else 0.0)
    return float(text.replace(",", "."))


def _plain(text: str) -> str:
    """Return the text in small letters, with fraction signs and curly marks in plain form."""
    spelled = "".join(_spelled(sign) for sign in text)
    plain = spelled.translate(_MARKS).replace("'", " ft ").replace(" ft  ft ", '"').lower()
    return " ".join(plain.split())  # fixed spaces and tabs too, as copied from a page


def _spelled(sign: str) -> str:
    """Return a one-sign fraction such as the half as " 1/2", any other sign as it is."""
    if not unicodedata.decomposition(sign).startswith("<fraction>"):
        return sign
    return f" {unicodedata.normalize('NFKD', sign)}"


def _refuse(text: object, why: str) -> MosaicError:
    return MosaicError(f"{brief(text)} {why} {_EXAMPLES}")


def to_mm(text: object, default_unit: str = "mm", *, zero: bool = False) -> float:
    """Return the length [mm] that a person typed, a bare number being in `default_unit`; 0 only where `zero` allows it.

    >>> to_mm("3/4 in"), to_mm("19,5 mm"), to_mm("15 cm"), to_mm("1½ in")
    (19.05, 19.5, 150.0, 38.1)
    >>> to_mm("a bit")
    Traceback (most recent call last):
    mosaiclib.errors.MosaicError: 'a bit' is not a length. Type for example 20 mm, 19,5 mm, 15 cm, 3/4 in or \
1 1/2 in.
    """
    choice(default_unit, "unit", UNITS)
    if isinstance(text, bool) or not isinstance(text, str | Real):
        raise _refuse(text, "is not a length.")
    try:
        found = _read(text, default_unit) if isinstance(text, str) else float(text) * SCALES["length"][default_unit]
    except OverflowError:
        found = math.inf
    if not math.isfinite(found):
        raise _refuse(text, "is not a length that can be measured.")
    if found < 0 or (found == 0 and not zero):
        raise _refuse(text, "must be 0 or more." if zero else "must be greater than 0.")
    if found > LONGEST:
        raise _refuse(text, "is over 100 m, longer than any mosaic here.")
    return found


def _read(text: str, default_unit: str) -> float:
    """Return the length that the text spells [mm]: one or more numbers, each with its unit."""
    plain = _plain(text)
    sign, plain = (-1, plain[1:]) if plain[:1] in ("-", "−") else (1, plain)
    parts, at = [], 0
    while at < len(plain):
        part = _PART.match(plain, at)
        if part is None:
            raise _refuse(text, "is not a length.")
        parts.append(part)
        at = part.end()
    if not parts or (len(parts) > 1 and not all(part[2] for part in parts)):
        raise _refuse(text, "is not a length.")
    return sign * round(sum(_one(text, part[1], part[2] or default_unit) for part in parts), 9)


def two_ways(text: str) -> bool:
    """Tell whether a number begins as 1,500 does, which is one and a half to some and fifteen hundred to others.

    >>> two_ways("1,500 mL"), two_ways("1,50"), two_ways("0,750"), two_ways("1500")
    (True, False, False, False)
    """
    return re.match(r"\s*[+-]?[1-9]\d{0,2},\d{3}(?!\d)", text) is not None


def _one(text: str, digits: str, unit: str) -> float:
    """Return one number with its unit [mm]."""
    if two_ways(digits):
        raise _refuse(text, "can be read in two ways: write 1500 or 1.5, without the comma.")
    try:
        return _value(digits) * SCALES["length"][SPELLINGS.get(unit, unit)]
    except KeyError:
        raise _refuse(text, f"has the unit {unit!r}, which is not a length.") from None
    except ZeroDivisionError:
        raise _refuse(text, "divides by zero.") from None
    except ValueError:  # Python does not read fractions of over 4300 digits
        raise _refuse(text, "is not a length that can be measured.") from None


def show(length: float, unit: str = "mm") -> str:
    """Write a length [mm] of either sign: to 0.01 mm, or as the nearest 1/32 inch with the error that this makes.

    >>> show(20), show(20, "in"), show(19.05, "in"), show(38.1, "in")
    ('20 mm', '25/32 in (-0.16 mm)', '3/4 in', '1 1/2 in')
    """
    found = number(length, "length", "mm")
    if choice(unit, "unit", UNITS) == "mm":
        return f"{round(found, 2) + 0.0:.2f}".rstrip("0").rstrip(".") + " mm"
    parts = round(abs(found) / INCH * THIRTY_SECONDS)
    whole, rest = divmod(Fraction(parts, THIRTY_SECONDS), 1)
    words = " ".join(str(part) for part in (whole, rest) if part) or "0"
    error = math.copysign(parts / THIRTY_SECONDS * INCH, found) - found
    sign = "-" if found < 0 and parts else ""
    return f"{sign}{words} in" + (f" ({error:+.2f} mm)" if abs(error) >= 0.005 else "")


def on_page(unit: str, page: str = "mm") -> str:
    """Return the unit that a page in "mm" or "in" has for what is kept in a unit.

    >>> on_page("C", "in"), on_page("C"), on_page("h", "in")
    ('F', 'C', 'h')
    """
    return IN_INCHES.get(unit, unit) if page == "in" else unit


def same_dimension(one: str, other: str) -> bool:
    """Tell whether two units measure the same thing.

    >>> same_dimension("mm3", "mL"), same_dimension("tiles", "mm")
    (True, False)
    """
    return any(one in scale and other in scale for scale in SCALES.values())


def convert(value: float, unit: str, wanted: str) -> float:
    """Return a value in another unit of the same dimension; one in any other unit stays as it is.

    >>> convert(750, "mm3", "mL"), convert(4, "days", "hours"), convert(75, "F", "C"), convert(2, "tiles", "mm")
    (0.75, 96.0, 23.88888888888889, 2)
    """
    scale = next((scale for scale in SCALES.values() if unit in scale and wanted in scale), None)
    if scale is None:
        return value
    return (value - FREEZING.get(unit, 0.0)) * scale[unit] / scale[wanted] + FREEZING.get(wanted, 0.0)


def _named(unit: str) -> str:
    """Return a unit, however it is spelled, as the scales have it; any other in small letters."""
    small = unit.strip().lower().replace("°", "").translate(str.maketrans("²³", "23"))
    small = SPELLINGS.get(small, small)
    return next((known for scale in SCALES.values() for known in scale if known.lower() == small.lower()), small)


def quantity(text: str) -> tuple[float, str] | None:
    """Return a number as people type it, and the unit after it, empty where none is; None where the text is no number.

    >>> quantity("1,5"), quantity("1 1/2 in"), quantity("24 h"), quantity("100%"), quantity("two")
    ((1.5, ''), (1.5, 'in'), (24.0, 'hours'), (100.0, '%'), None)
    """
    plain = _plain(text).replace("\u2212", "-")
    found = re.fullmatch(rf"([+-]?)\s*({_NUMBER}|\d+\.)\s*([^\d\s.,].*)?", plain)
    try:
        return found and ((-1.0 if found[1] == "-" else 1.0) * _value(found[2]), _named(found[3] or ""))
    except (ZeroDivisionError, ValueError):
        return None


def number_of(text: str) -> float | None:
    """Return a number without a unit as people type it, None where the text is none.

    >>> number_of("1,5"), number_of("1 1/2"), number_of("1\u00bd"), number_of("-2"), number_of("2 mm")
    (1.5, 1.5, 1.5, -2.0, None)
    """
    found = quantity(text)
    return found[0] if found and not found[1] else None


def in_unit(value: float, unit: str, wanted: str) -> float | None:
    """Return a value in a unit that was typed, in the one that is wanted; None where they measure different things.

    >>> in_unit(2, "days", "h"), in_unit(10, "%", "% of cement"), in_unit(2, "mm", "days")
    (48.0, 10, None)
    """
    one, other = _named(unit), _named(wanted)
    if not unit or one in (other, other.partition(" ")[0]):
        return value
    return convert(value, one, other) if same_dimension(one, other) else None


def in_thirty_seconds(length: float) -> int | None:
    """Return how many thirty-seconds of an inch a length [in] is, None where it is no whole number of them.

    >>> in_thirty_seconds(1.5), in_thirty_seconds(1.51)
    (48, None)
    """
    parts = length * THIRTY_SECONDS
    return round(parts) if abs(parts - round(parts)) < 1e-6 else None


MOST_POINTS = 60
FARTHEST = 10_000.0  # [mm]


def read_points(
    text: object, unit: str = "mm", each: Sequence[str] = ("across", "up")
) -> tuple[tuple[float, ...], ...]:
    """Return points [mm] typed as pairs, across and up, with semicolons or new lines between them, in a unit.

    `each` names the numbers of a point where there are others, as the diameter of a hole.

    >>> read_points("0 40; 60 72,5"), read_points("1 2 3", "mm", ("across", "up", "diameter"))
    (((0.0, 40.0), (60.0, 72.5)), ((1.0, 2.0, 3.0),))
    """
    if isinstance(text, str):
        pairs = [_pair(part, each) for part in re.split(r"[;\n]+", text) if part.strip()]
        factor = SCALES["length"][choice(unit, "unit", UNITS)]
    else:
        pairs, factor = several(text, "points"), 1.0
    if len(pairs) > MOST_POINTS:
        raise MosaicError(f"{len(pairs)} points are more than the {MOST_POINTS} that a line can have.")
    return tuple(_checked(pair, factor, each) for pair in pairs)


def _pair(part: str, each: Sequence[str]) -> Sequence[float]:
    """Return the numbers of one point, with decimal comma or point."""
    numbers = re.findall(r"[+-]?\d+(?:[.,]\d+)?", part.replace("−", "-"))
    rest = re.sub(r"[+-]?\d+(?:[.,]\d+)?", "", part.replace("−", "-"))
    if len(numbers) != len(each) or rest.strip(" \t()"):
        example = " ".join(("60", "72", "20")[: len(each)])
        raise MosaicError(
            f"{brief(part.strip())} is not a point; type {_all_of(each)}, for example {example}, then a semicolon."
        )
    return [float(found.replace(",", ".")) for found in numbers]


def _all_of(each: Sequence[str]) -> str:
    return f"{', '.join(each[:-1])} and {each[-1]}"


def _checked(pair: object, factor: float, each: Sequence[str]) -> tuple[float, ...]:
    if not isinstance(pair, list | tuple) or len(pair) != len(each):
        raise MosaicError(f"{brief(pair)} is not a point; a point is {_all_of(each)}.")
    return tuple(number(one, "point", "mm", least=-FARTHEST, greatest=FARTHEST) * factor for one in pair)


def write_points(points: Iterable[Sequence[float]], unit: str = "mm") -> str:
    """Return points [mm] as they are typed, in a unit.

    >>> write_points([(0, 40), (60, 72.5)])
    '0 40; 60 72.5'
    """
    return "; ".join(" ".join(f"{one / SCALES['length'][unit]:.5g}" for one in point) for point in points)
