"""One value that somebody printed, beside the one that we compute in its place."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from fractions import Fraction

EVIDENCE = ("read", "read second-hand", "from memory")


@dataclass(frozen=True)
class Check:
    """A printed value, where a stranger finds it, how we came by it, and a call that computes ours in the same unit.

    `printed` is typed as it is printed: digits, a fraction such as "3/16", or words. `tolerance` is half the last
    printed digit unless given [unit]; words and fractions must agree to rounding. Where the values of a table lie on a
    curve, `at` is where this one stands along it, and `along` what that is, with its unit.
    """

    subject: str
    source: str
    place: str
    evidence: str
    what: str
    printed: str
    unit: str
    ours: Callable[[], float | str]
    tolerance: float | None = None
    at: float | None = None
    along: str = ""

    def __post_init__(self) -> None:
        if self.evidence not in EVIDENCE or not (self.source and self.what):
            raise ValueError(f"a published check needs source, subject matter and evidence: {self}")
        if self.tolerance is None:
            object.__setattr__(self, "tolerance", half_the_last_digit(self.printed))

    @property
    def number(self) -> float | None:
        """The printed value as a number [unit]; None for words."""
        return read(self.printed)

    def agrees(self, value: float | str) -> bool:
        """Whether a value of ours [unit] is the printed one."""
        if self.number is None or isinstance(value, str):
            return value == self.printed
        return abs(value - self.number) <= self.tolerance + 1e-9 * max(1.0, abs(self.number))


def read(printed: str) -> float | None:
    """Return printed digits or a printed fraction as a number, None for words."""
    try:
        return float(Fraction(printed))
    except ValueError:
        return None


def half_the_last_digit(printed: str) -> float:
    """Return half a unit of the last printed digit; 0 for fractions and words, and for whole numbers as counts are."""
    if "." not in printed or read(printed) is None:
        return 0.0
    return 0.5 * 10.0 ** -len(printed.partition(".")[2])


def listed(
    subject: str,
    source: str,
    place: str,
    evidence: str,
    unit: str,
    rows: Iterable[tuple],
    within: float | None = None,
    along: str = "",
) -> tuple[Check, ...]:
    """Return the checks of one table: rows of (what, printed, ours), and of a curve (what, printed, ours, at)."""
    return tuple(
        Check(subject, source, place, evidence, what, printed, unit, ours, within, *at, along)
        if at
        else Check(subject, source, place, evidence, what, printed, unit, ours, within)
        for what, printed, ours, *at in rows
    )


def turning(holds: Callable[[float], bool], low: float, high: float) -> float:
    """Return where a verdict turns between low and high, at which it must differ."""
    first = holds(low)
    if holds(high) is first:
        raise ValueError("the verdict is the same at both ends")
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if holds(middle) is first else (low, middle)
    return (low + high) / 2
