"""Workbook 08, part one: every value that somebody printed, beside the one that we compute in its place."""

__all__ = ["CONTROLS", "Result", "Settings", "compute", "draw", "report", "summary"]

from dataclasses import dataclass

import numpy as np

from mosaiclib.drawing import Drawing, Plot, round_steps
from mosaiclib.drawing.palette import ACCENT, BAND, SECOND, SOFT
from mosaiclib.evidence import EXACT, Verdict, verdicts
from mosaiclib.lesson.controls import Choice, Chosen
from mosaiclib.reference import EVIDENCE
from mosaiclib.report import Row

TITLE = "What was printed"
ALL, WAYS = "all", EVIDENCE[: EVIDENCE.index("computed")]
REACH = 1.6  # of the axis, in tolerances


@dataclass(frozen=True)
class Settings:
    """What the reader can choose by: a word of each list, or all."""

    subject: str = "wedges"
    evidence: str = ALL
    source: str = ALL


@dataclass(frozen=True, eq=False)
class Result:
    """The printed values that were chosen, and all of them."""

    settings: Settings
    chosen: tuple[Verdict, ...]
    every: tuple[Verdict, ...]


def compute(s: Settings) -> Result:
    """Run every check, and choose from them.

    >>> found = compute(Settings("coins"))
    >>> len(found.chosen), all(each.agrees for each in found.every)
    (14, True)
    """
    every = verdicts()
    return Result(s, tuple(each for each in every if _fits(each, s)), every)


def _fits(each: Verdict, s: Settings, leave: str = "") -> bool:
    """Tell whether a check is one of those chosen by all lists but the one that is left out."""
    wanted = {name: getattr(s, name) for name in ("subject", "evidence", "source") if name != leave}
    return all(word in (ALL, getattr(each.check, name)) for name, word in wanted.items())


def _offered(name: str):
    """Return what a list offers: the words that go with what is chosen in the others."""
    return lambda s: [ALL, *dict.fromkeys(getattr(v.check, name) for v in verdicts() if _fits(v, s, name))]


def draw(result: Result) -> Drawing:
    """Draw how far ours is from each printed value, in what is allowed; with a curve, the printed dots on our line."""
    at = [each.check.at for each in result.chosen]
    return _curve(result) if at and None not in at and len(set(at)) == len(at) else _differences(result)


def _differences(result: Result) -> Drawing:
    """Draw a dot a check within the band of what is allowed."""
    count, off = max(len(result.chosen), 2), np.array([each.off for each in result.chosen])
    words = ("printed values, one after the other", "ours less printed; 1: the most allowed")
    ticks = ([1, count], [-1, 0, 1])
    plot = Plot((0.5, count + 0.5), (-REACH, REACH), words, ticks, width=104, height=62, size=4.2)
    plot.band([0.5, count + 0.5], [-1, -1], [1, 1], BAND)
    right = np.array([each.agrees for each in result.chosen], dtype=bool)
    places = np.arange(1, len(off) + 1)
    plot.dots(places[right], off[right], SECOND, 1.8)
    plot.dots(places[~right], np.clip(off[~right], -REACH, REACH), ACCENT, 3.0)
    return plot.drawing(_heading(result), "Each dot is a printed value; inside the band ours is the printed one.")


def _curve(result: Result) -> Drawing:
    """Draw printed values as dots on the line of ours."""
    at, printed, ours = (
        np.array([get(each) for each in result.chosen])
        for get in (lambda v: v.check.at, lambda v: v.check.number, lambda v: float(v.ours))
    )
    check, order = result.chosen[0].check, np.argsort(at)
    across, up = (at.min(), at.max()), (0.0, 1.1 * printed.max())
    steps = [step for step in round_steps(*across).tolist() if across[0] <= step <= across[1]]
    ticks = (steps, [0, round(printed.max() / 2, 2), round(printed.max(), 2)])
    plot = Plot(across, up, (check.along, f"{check.subject} [{check.unit}]"), ticks, width=104, height=62, size=4.2)
    plot.line(at[order], ours[order], SOFT)
    plot.dots(at, printed, SECOND, 1.8)
    plot.key("ours", SOFT)
    return plot.drawing(_heading(result), "Dots are printed values; the line is ours.")


def _heading(result: Result) -> str:
    return "All that was printed" if result.settings.subject == ALL else f"Printed: {result.settings.subject}"


def report(result: Result) -> list[Row]:
    """Tell each check that was chosen: what, printed and ours, whether they agree, and where a stranger finds it."""
    rows = [_row(each) for each in result.chosen]
    return rows or [Row("None", "", "", "no check has all that you chose; set one list back to all")]


def _row(each: Verdict) -> Row:
    check = each.check
    allowed = "" if check.tolerance <= EXACT else f", off by {each.difference:.2g} of at most {check.tolerance:.2g}"
    verdict = f"agrees{allowed}" if each.agrees else f"DOES NOT AGREE{allowed}"
    ours = each.ours if isinstance(each.ours, str) else f"{each.ours:.6g}"
    value = f"printed {check.printed}, ours {ours}"
    return Row(check.what, value, check.unit, f"{verdict}. {check.source}, {check.place} ({check.evidence})")


def summary(result: Result) -> str:
    """Return how many agree, of those chosen and of all."""
    agree = [sum(each.agrees for each in some) for some in (result.chosen, result.every)]
    sources = len({each.check.source for each in result.every})
    chosen = f"{agree[0]} of {len(result.chosen)} agree here"
    return f"{chosen}; of all, {agree[1]} of {len(result.every)} printed values from {sources} sources"


CONTROLS = (
    Chosen("subject", "Subject", offered=_offered("subject"), help="what the value is about"),
    Choice("evidence", "Evidence", (ALL, *WAYS), help="read by us, read where somebody quotes it, or remembered"),
    Chosen("source", "Source", offered=_offered("source"), help="where a stranger finds it"),
)
