"""Workbook 08, part five: what a standard's pass says of the next joint, and what it does not."""

__all__ = ["CONTROLS", "Result", "Settings", "compute", "draw", "report", "summary"]

from dataclasses import dataclass

import numpy as np
import scipy

from mosaiclib import reference
from mosaiclib.drawing import Drawing, Plot
from mosaiclib.drawing.palette import ACCENT, BAND, SECOND, SOFT
from mosaiclib.lesson.controls import Count, Number
from mosaiclib.report import Row

TITLE = "What a pass says"
ADHESION = reference.value("classes", "C1: tensile adhesion, initial")
SHRINKAGE = reference.value("classes", "CG1: shrinkage")
LIMIT = ADHESION.least  # [N/mm2]
AXIS = (0.0, 1.6)


@dataclass(frozen=True)
class Settings:
    """What the reader can set: true mean [N/mm2] and scatter [% of it] of a batch, and specimens pulled."""

    mean: float = 0.6
    scatter: float = 25.0
    specimens: int = 10


@dataclass(frozen=True, eq=False)
class Result:
    """The chance that the mean of the specimens is at the limit or over it, and the share of single joints under it."""

    settings: Settings
    passes: float
    under: float


def compute(s: Settings) -> Result:
    """Work out both for strengths spread by the normal law: the mean of n scatters by one over the root of n.

    >>> found = compute(Settings())
    >>> found.passes > 0.95 and found.under > 0.2
    True
    """
    sd = s.mean * s.scatter / 100
    mean_of_n = scipy.stats.norm(s.mean, sd / np.sqrt(s.specimens))
    return Result(s, float(mean_of_n.sf(LIMIT)), float(scipy.stats.norm(s.mean, sd).cdf(LIMIT)))


def draw(result: Result) -> Drawing:
    """Draw the spread of single joints and of means, with the limit."""
    s, x = result.settings, np.linspace(*AXIS, 161)
    sd = s.mean * s.scatter / 100
    single, mean = scipy.stats.norm(s.mean, sd).pdf(x), scipy.stats.norm(s.mean, sd / np.sqrt(s.specimens)).pdf(x)
    top = 1.5 * max(single.max(), mean.max())
    words = ("tensile adhesion [N/mm2]", "how often")
    plot = Plot(AXIS, (0.0, top), words, ([0, 0.5, 1.0, 1.5], ()), width=104, height=62, size=4.2)
    low = x <= LIMIT
    plot.band(x[low], np.zeros(low.sum()), single[low], BAND)
    plot.line(x, single, SECOND, width=1.0)
    plot.line(x, mean, SOFT, dash=(1.5, 1.5), width=1.0)
    plot.mark(LIMIT, "limit", ACCENT)
    plot.key("single joints", SECOND)
    plot.key(f"mean of {s.specimens}", SOFT, (1.5, 1.5))
    about = f"{100 * result.under:.0f} % of single joints lie under a limit that the mean of {s.specimens} passes."
    return plot.drawing("The mean passes, single joints may not", about)


def report(result: Result) -> list[Row]:
    """Tell what passes, what lies under it, and what the pass never spoke of."""
    s = result.settings
    return [
        Row(
            "The mean passes",
            f"{100 * result.passes:.3g}",
            "%",
            f"of such tests; specimens pulled in each: {s.specimens}",
        ),
        Row("Single joints under it", f"{100 * result.under:.3g}", "%", "all of the same good batch"),
        Row("The limit", LIMIT, "N/mm2", f"{ADHESION.cite}"),
        Row("On what", "", "", f"{ADHESION.condition}; not on glass"),
        Row("A filler's class", "", "", f"{SHRINKAGE.condition}: a pass says nothing of its hold on glass"),
        Row("How to read a pass", "", "", "what was pulled, on what, how old, how many, mean or least, who tested"),
        Row("The law", "", "", "normal, all specimens counted: assumed; standards may leave single values out"),
    ]


def summary(result: Result) -> str:
    """Return the chance to pass beside the share of joints under the limit."""
    under = f"{100 * result.under:.0f} of 100 joints lie under its limit"
    return f"The test passes {100 * result.passes:.0f} times in 100, and {under}; none was on glass"


CONTROLS = (
    Number("mean", "True mean", 0.3, 1.2, 0.05, "N/mm2", help="of the whole batch, which nobody knows"),
    Number("scatter", "Scatter", 5, 50, 1, "%", help="standard deviation of single joints"),
    Count("specimens", "Specimens", 1, 30, 1, help="pulled, and their mean taken"),
)
