"""Tasks over the days: a row for each, dark where hands work, pale while it waits, a thin line as far as the wait may reach."""

__all__ = ["Bar", "gantt"]

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from mosaiclib.drawing.canvas import Drawing
from mosaiclib.drawing.palette import BAND_WAIT, INK, SECOND, SOFT
from mosaiclib.drawing.plot import Plot

ROW, SIZE, WIDE = 4.4, 2.6, 120.0  # [mm] height of a row, letters, width of the field
LEAST = 0.8  # [mm] so wide is a stretch of work at least, since an hour is nothing on a month


class Bar(NamedTuple):
    """A row: its words, stretches of work, and waits before it as begin, usual end and latest end; times in any one unit."""

    words: str
    work: Sequence[tuple[float, float]]
    waits: Sequence[tuple[float, float, float]]
    done: bool = False


def gantt(bars: Sequence[Bar], ticks: Mapping[float, str], *, title: str, description: str, key: str = "") -> Drawing:
    """Draw rows of tasks over time, which is marked at the ticks with their words; the `key` to bars stands below.

    >>> one = gantt([Bar("glue", [(0, 1)], []), Bar("fill", [(26, 27)], [(1, 25, 41)])], {0: "Mon", 24: "Tue"}, title="", description="")
    >>> one.width > 120
    True
    """
    times = [at for bar in bars for span in (*bar.work, *bar.waits) for at in span]
    ends = (min([*times, *ticks]), max([*times, *ticks]))
    plot = Plot(ends, (len(bars), 0), (key, ""), (ticks, ()), width=WIDE, height=ROW * len(bars), size=SIZE)
    for bar in bars:
        first = bar.work[0][0] if bar.work else ends[0]
        row = plot.bar(bar.words, first, first, SOFT if bar.done else INK)
        for begin, usual, most in bar.waits:
            plot.line([begin, most], [row + 0.5] * 2, SECOND, width=0.25)
            plot.span(row, begin, usual, BAND_WAIT)
        for begin, end in bar.work:
            plot.span(row, begin, end, SOFT if bar.done else INK, least=LEAST, thick=0.66)
    return plot.drawing(title, description)
