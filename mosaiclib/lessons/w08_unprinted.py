"""Workbook 08, part two: what rests on memory, custom and assumption, and what would change if it were wrong."""

__all__ = ["CONTROLS", "Result", "Settings", "compute", "draw", "report", "row_of", "summary"]

from dataclasses import dataclass

from mosaiclib.drawing import Drawing, Plot, round_steps
from mosaiclib.drawing.palette import ACCENT, GLASS_COLOURS
from mosaiclib.evidence import NOWHERE_PRINTED, PAGES, Answer, answers, rows_resting_on
from mosaiclib.lesson.controls import Choice
from mosaiclib.reference import Record
from mosaiclib.report import Row

TITLE = "What nobody printed"
ANSWERS = tuple(answers())


@dataclass(frozen=True)
class Settings:
    """What the reader can choose: an answer to doubt, and which rows of data/ are listed."""

    answer: str = ANSWERS[0]
    evidence: str = "assumed"


@dataclass(frozen=True, eq=False)
class Result:
    """The answer with how far each figure moves it, and the rows of the chosen evidence."""

    settings: Settings
    answer: Answer
    swings: list[tuple[str, float, float]]
    rows: list[Record]


def compute(s: Settings) -> Result:
    """Work out how far each doubtful figure alone moves the answer.

    >>> compute(Settings()).swings[0][0]
    'depth after the first day [mm]'
    """
    answer = answers()[s.answer]
    return Result(s, answer, answer.swings(), rows_resting_on(s.evidence))


def draw(result: Result) -> Drawing:
    """Draw a bar a figure from the answer at its least to the answer at its greatest, the widest first."""
    ends = [end for _, *two in result.swings for end in two]
    marks = round_steps(min(ends), max(ends), 5)
    across = (min(marks[0], min(ends)), max(marks[-1], max(ends)))
    words = (f"{result.answer.unit}; the line is the usual answer", "")
    plot = Plot(
        across, (len(result.swings), 0), words, (marks, ()), width=78, height=11.0 * len(result.swings), size=4.2
    )
    for name, low, high in result.swings:
        plot.bar(name.partition(" [")[0], low, high, GLASS_COLOURS["sea green"].fill)
    plot.line([result.answer.usual] * 2, [0, len(result.swings)], ACCENT, width=0.6)
    name, low, high = result.swings[0]
    return plot.drawing(
        "What moves it", f"The {name} moves it most, from {low:.3g} to {high:.3g} {result.answer.unit}."
    )


def report(result: Result) -> list[Row]:
    """Tell how far each figure moves the answer, then the rows of data/ that rest on the chosen evidence."""
    return [*_swing_rows(result.answer, result.swings), *(row_of(each) for each in result.rows)]


def _swing_rows(answer: Answer, swings: list[tuple[str, float, float]]) -> list[Row]:
    rows = []
    for name, low, high in swings:
        least, usual, greatest, evidence = answer.figures[name]
        words = f"as it goes from {least:g} to {greatest:g}; usual {usual:g} ({evidence})"
        rows.append(Row(name, f"{low:.3g} to {high:.3g}", answer.unit, words))
    return rows


def row_of(row: Record) -> Row:
    """Return a row of data/ with its band, what it rests on, and the workbooks that it touches."""
    figure = "" if row.value is None else f"{row.value:g}"
    band = "" if row.least is None or row.greatest is None else f" ({row.least:g} to {row.greatest:g})"
    said = ". ".join(
        part.rstrip(".") for part in (row.condition, row.source, row.note, f"Workbooks {PAGES[row.subject]}") if part
    )
    return Row(f"{row.subject}: {row.name}", f"{figure}{band}".strip(), row.unit, said)


def summary(result: Result) -> str:
    """Return what moves the answer most, and by how much."""
    name, low, high = result.swings[0]
    what = name.partition(" [")[0]
    return (
        f"{result.answer.usual:.3g} {result.answer.unit}, but {low:.3g} to {high:.3g} by the {what} alone; "
        f"{len(result.rows)} figures are {result.settings.evidence}"
    )


CONTROLS = (
    Choice("answer", "Answer", ANSWERS, help="each bar: one figure moves, all others stay"),
    Choice("evidence", "List what is", NOWHERE_PRINTED, help="the table under the picture"),
)
