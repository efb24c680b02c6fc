"""Workbook 08, part four: a printed value may agree with the wrong formula too, and then it guards nothing."""

__all__ = ["CONTROLS", "Result", "Settings", "compute", "draw", "report", "summary"]

from dataclasses import dataclass

import numpy as np

from mosaiclib.drawing import Drawing, Plot
from mosaiclib.drawing.palette import ACCENT, BAND, SECOND
from mosaiclib.lesson.controls import Choice, Count, Length
from mosaiclib.report import Row

TITLE = "A check that guards nothing"
PRINTED = {"ones": 1.0, "tenths": 0.1, "hundredths": 0.01}  # [mm] the last printed digit
COUNTS = np.arange(6, 121)


@dataclass(frozen=True)
class Settings:
    """What the reader can set: the ring of the printed row, its outside radius [mm], and how finely it was printed."""

    count: int = 48
    radius: float = 100.0
    printed: str = "tenths"


@dataclass(frozen=True, eq=False)
class Result:
    """The wide end of a piece of the ring by the right formula, by the wrong one, and as it was printed [mm]."""

    settings: Settings
    right: float
    wrong: float
    printed: float

    @property
    def tolerance(self) -> float:
        """Half the last printed digit [mm]."""
        return PRINTED[self.settings.printed] / 2

    @property
    def guards(self) -> bool:
        """Whether the printed value lets the right formula pass and not the wrong one."""
        return abs(self.wrong - self.printed) > self.tolerance + 1e-9


def straight(R, N):
    """Return the straight wide end of a piece of a closed ring without joints: 2 R tan(pi/N) [mm]."""
    return 2 * R * np.tan(np.pi / N)


def along_the_bend(R, N):
    """Return the wrong one, taken along the bend as if the piece were bent: 2 pi R/N [mm]."""
    return 2 * np.pi * R / N


def compute(s: Settings) -> Result:
    """Work out both, and round the right one as a table would print it.

    >>> compute(Settings(count=48)).guards, compute(Settings(count=8)).guards
    (False, True)
    """
    right, wrong, step = straight(s.radius, s.count), along_the_bend(s.radius, s.count), PRINTED[s.printed]
    return Result(s, float(right), float(wrong), round(round(right / step) * step, 6))


def draw(result: Result) -> Drawing:
    """Draw how far the wrong formula is off by count, and what a printed digit can see."""
    s = result.settings
    gap = straight(s.radius, COUNTS) - along_the_bend(s.radius, COUNTS)
    words = ("pieces in the ring", "the wrong formula is short by [mm]")
    ticks = ([6, 12, 24, 48, 96], [0.001, 0.01, 0.1, 1, 10])
    plot = Plot((6, 120), (0.0005, 300), words, ticks, log=(True, True), width=104, height=62, size=4.2)
    plot.band([6, 120], [0.0005, 0.0005], [PRINTED[s.printed]] * 2, BAND)
    plot.line(COUNTS, gap, SECOND, width=1.0)
    plot.dots([s.count], [result.right - result.wrong], ACCENT, 3.0)
    plot.key("within the last digit: seen only by luck", BAND)
    plot.key("the printed row", ACCENT)
    about = f"A row of {s.count} pieces printed to {s.printed} {'tells' if result.guards else 'does not tell'} the formulas apart."
    return plot.drawing("What a printed row can see", about)


def report(result: Result) -> list[Row]:
    """Tell both widths, the printed one, and up to which ring every row of the table guards."""
    s = result.settings
    # the printed row is off by up to half a digit itself, so that only a whole one is sure to be seen
    seen = straight(s.radius, COUNTS) - along_the_bend(s.radius, COUNTS) > PRINTED[s.printed]
    last = int(COUNTS[seen].max()) if seen.any() else None
    blind = (
        "no row here is sure to tell" if last is None else f"up to {last} pieces every row tells; beyond, only by luck"
    )
    passes = "passes too" if not result.guards else "fails, as it should"
    return [
        Row("Right: straight end", round(result.right, 4), "mm", "2 R tan(180/N): a cut piece is straight"),
        Row("Wrong: along the bend", round(result.wrong, 4), "mm", f"2 pi R/N; it {passes}"),
        Row("Printed", result.printed, "mm", f"to {s.printed} of a millimetre; half a digit is what it allows"),
        Row("Where it sees", "", "", blind),
        Row("So", "", "", "a check is chosen where formulas differ: few pieces, a tight bend, more digits"),
    ]


def summary(result: Result) -> str:
    """Return whether the printed row guards the formula."""
    if result.guards:
        return f"This row guards: with {result.settings.count} pieces the wrong formula is off by more than the table hides, and fails"
    return f"This row guards nothing: the wrong formula passes too, as {result.settings.count} pieces bend so little"


CONTROLS = (
    Length("radius", "Outside radius", 30, 300, 5, help="of the ring"),
    Count("count", "Pieces in the ring", 6, 120, 1, help="the row of the table that the check uses"),
    Choice("printed", "Printed to", tuple(PRINTED), help="how finely the table gives the width"),
)
