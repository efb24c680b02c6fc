"""Sentences that keep their lengths and temperatures as quantities until they are shown in the units of a page."""

__all__ = ["DEGREE_F", "FREEZING_F", "INCH", "Length", "Temperature", "Text", "celsius", "mm", "text", "told"]

from dataclasses import dataclass
from fractions import Fraction

INCH = 25.4  # [mm] exact: international yard and pound agreement, 1959
DEGREE_F, FREEZING_F = 5 / 9, 32.0  # [C] and [F], exact: by definition
SMALL = 13.0  # [mm] shorter lengths are told in thousandths of an inch: limits of a joint must not look equal


@dataclass(frozen=True)
class Length:
    """Lengths in a sentence that share one unit [mm], such as the two ends of a range.

    >>> str(Length((1.7, 2.3))), Length((300, 200), " x ").told("in")
    ('1.7 to 2.3 mm', '11 13/16 x 7 7/8 in (300 x 200 mm)')
    """

    values: tuple[float, ...]
    between: str = " to "

    def told(self, unit: str = "mm", *, both: bool = True) -> str:
        """Return the lengths in "mm" or "in"; rounded inches keep the millimetres in brackets unless `both` is off."""
        metric = self.between.join(f"{round(value, 2) + 0.0:.2f}".rstrip("0").rstrip(".") for value in self.values)
        if unit == "mm":
            return f"{metric} mm"
        inches = self.between.join(map(_inches, self.values))
        exact = all(abs(value / INCH * 32 - round(value / INCH * 32)) < 1e-6 for value in self.values)
        return f"{inches} in ({metric} mm)" if both and not exact else f"{inches} in"

    def __str__(self) -> str:
        return self.told()


@dataclass(frozen=True)
class Temperature:
    """Temperatures in a sentence [C], or by how much they differ [K]; a page in inches has them in degrees Fahrenheit.

    >>> str(Temperature((5, 40))), Temperature((5, 40)).told("in"), Temperature((10,), difference=True).told("in")
    ('5 to 40 C', '41 to 104 F', '18 F')
    """

    values: tuple[float, ...]
    difference: bool = False

    def told(self, unit: str = "mm", **_: object) -> str:
        """Return the temperatures for a page in "mm" or "in"."""
        scale, zero = (1.0, 0.0) if unit == "mm" else (DEGREE_F, 0.0 if self.difference else FREEZING_F)
        return (
            f"{' to '.join(f'{round(one / scale + zero, 1):g}' for one in self.values)} {'C' if unit == 'mm' else 'F'}"
        )

    def __str__(self) -> str:
        return self.told()


@dataclass(frozen=True)
class Text:
    """A sentence made of words and lengths; `str()` of it is in millimetres."""

    parts: tuple[object, ...]

    def told(self, unit: str = "mm", *, both: bool = True) -> str:
        """Return the sentence with its lengths in "mm" or "in"."""
        return "".join(told(part, unit, both=both) for part in self.parts)

    def __str__(self) -> str:
        return self.told()


def mm(*values: float, between: str = " to ") -> Length:
    """Return lengths [mm] to be put into a sentence.

    >>> str(text("a joint of ", mm(2), ", wide"))
    'a joint of 2 mm, wide'
    """
    return Length(values, between)


def celsius(*values: float, difference: bool = False) -> Temperature:
    """Return temperatures [C], or differences between two, to be put into a sentence.

    >>> text("at ", celsius(20)).told("in")
    'at 68 F'
    """
    return Temperature(values, difference)


def text(*parts: object) -> Text:
    """Return a sentence of words, numbers, lengths, temperatures and other sentences."""
    return Text(parts)


def told(words: object, unit: str = "mm", *, both: bool = True) -> str:
    """Return words as they are, the lengths among them in "mm" or "in", temperatures in C or F with them.

    >>> told(text("joints of ", mm(1.7, 2.3)), "in"), told("2 mm", "in")
    ('joints of 0.067 to 0.091 in (1.7 to 2.3 mm)', '2 mm')
    """
    if isinstance(words, Length | Temperature | Text):
        return words.told(unit, both=both)
    return words.told(unit) if isinstance(words, Exception) and hasattr(words, "told") else str(words)


def _inches(value: float) -> str:
    """Return a length [mm] in inches: thousandths where it is small, else the nearest 1/32."""
    parts = round(abs(value) / INCH * 32)
    if abs(value) < SMALL and abs(parts / 32 * INCH - abs(value)) > 1e-6:
        return f"{value / INCH:.3f}".rstrip("0").rstrip(".")
    whole, rest = divmod(Fraction(parts, 32), 1)
    return ("-" if value < 0 else "") + (" ".join(str(part) for part in (whole, rest) if part) or "0")
