"""Units of length, paper, packs."""

from mosaiclib.drawing import PAPERS
from mosaiclib.job import cheapest_packs
from mosaiclib.reference import Record
from mosaiclib.units import INCH, convert, to_mm

from .records import Check, listed

UNITS = listed(
    "units of length",
    "NIST Special Publication 811 (2008), Guide for the Use of the International System of Units",
    "Appendix B.8",
    "from memory",
    "m",
    [
        ("one inch", "0.0254", lambda: to_mm("1 in") / 1000),
        ("one foot", "0.3048", lambda: to_mm("1 ft") / 1000),
        ("one yard", "0.9144", lambda: to_mm("1 yd") / 1000),
    ],
    within=1e-12,
)
TEMPERATURES = listed(
    "units of temperature",
    "NIST Special Publication 811 (2008), Guide for the Use of the International System of Units",
    "Appendix B.9: t/C = (t/F - 32)/1.8; the freezing and the boiling point of water, and the usual reference temperature",
    "from memory",
    "F",
    [
        ("0 C", "32", lambda: convert(0, "C", "F")),
        ("100 C", "212", lambda: convert(100, "C", "F")),
        ("20 C", "68", lambda: convert(20, "C", "F")),
    ],
    within=1e-9,
)
A_SERIES = listed(
    "paper",
    "ISO 216:2007, Writing paper and certain classes of printed matter - Trimmed sizes",
    "A series",
    "read second-hand",
    "mm",
    [
        ("A4, short side", "210", lambda: PAPERS["A4"][0]),
        ("A4, long side", "297", lambda: PAPERS["A4"][1]),
        ("A3, short side", "297", lambda: PAPERS["A3"][0]),
        ("A3, long side", "420", lambda: PAPERS["A3"][1]),
    ],
)
INCH_SIZES = listed(
    "paper",
    "ASME Y14.1, Decimal inch drawing sheet size and format",
    "sizes A and B",
    "read second-hand",
    "in",
    [
        ("Letter, short side", "8.5", lambda: PAPERS["Letter"][0] / INCH),
        ("Letter, long side", "11", lambda: PAPERS["Letter"][1] / INCH),
        ("Tabloid, short side", "11", lambda: PAPERS["Tabloid"][0] / INCH),
        ("Tabloid, long side", "17", lambda: PAPERS["Tabloid"][1] / INCH),
    ],
    within=1e-9,
)


def _not_exactly(boxes: tuple[int, ...], most: int) -> str:
    """Return the numbers up to most that no boxes hold exactly, where price goes with size."""
    packs = [Record("packs", str(n), n, "piece", "", "", "", "read", price=float(n)) for n in boxes]
    held = lambda need: sum(int(name) * count for name, count in cheapest_packs(need, packs).items())  # noqa: E731
    return ", ".join(str(need) for need in range(1, most + 1) if held(need) != need)


PACKS = (
    Check(
        "packs",
        "On-Line Encyclopedia of Integer Sequences",
        "A065003",
        "read",
        "numbers that boxes of 6, 9 and 20 cannot hold exactly",
        "1, 2, 3, 4, 5, 7, 8, 10, 11, 13, 14, 16, 17, 19, 22, 23, 25, 28, 31, 34, 37, 43",
        "pieces",
        lambda: _not_exactly((6, 9, 20), 60),
    ),
)
CHECKS = (*UNITS, *TEMPERATURES, *A_SERIES, *INCH_SIZES, *PACKS)
