"""Lesson 04, part two, for those who want the mechanics: the energy that the sides would need, by width and by days."""

__all__ = ["CONTROLS", "Result", "compute", "draw", "report", "summary"]

from dataclasses import dataclass, replace

import numpy as np

from mosaiclib import reference
from mosaiclib.drawing import Drawing, Plot
from mosaiclib.drawing.palette import ACCENT, BAND, BAND_STONE, GLASS_COLOURS
from mosaiclib.filler import Chance, chance_of, order, released_length, thermal_strain, tornado
from mosaiclib.filler.kinds import Kind
from mosaiclib.lessons.w04_shared import AIR, ASSUMED, LATEX, PLAIN, controls, headline, joint_of, kind_in
from mosaiclib.lessons.w04_shared import FillerSettings as Settings
from mosaiclib.report import Row

TITLE = "The mechanics"
WIDTHS = np.geomspace(0.5, 8, 24)
DAYS = (1.0, 1.1, 1.25, 1.5, 2.0, 3.0, 5.0, 7.0, 14.0, 28.0, 90.0, 365.0)
FREE = "if nothing gave before"
HEAT = ("expansion of mortar", "expansion of soda-lime glass")


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings: both kinds, their chance at the age that is set, low, middle and high needed
    energy by width, shape (3, 24) [J/m2], and the shares of draws in which plain needs more."""

    settings: Settings
    kinds: tuple[Kind, Kind]
    found: tuple[Chance, Chance]
    needed: tuple[np.ndarray, np.ndarray]
    order: tuple[float, float]


def compute(s: Settings) -> Result:
    """Draw plain filler and the one with latex, or the chosen one, over the published ranges.

    >>> found = compute(Settings())
    >>> bool((found.needed[0][1] > found.needed[1][1]).all())
    True
    """
    joint, chosen = joint_of(s), kind_in(s)
    kinds = kind_in(s, PLAIN), chosen if chosen.cement and s.kind != PLAIN else kind_in(s, LATEX)
    found = tuple(chance_of(joint, kind) for kind in kinds)
    # G goes with the released length, so that one set of draws serves every width
    share = released_length(WIDTHS, s.depth) / released_length(s.joint, s.depth)
    needed = tuple(np.percentile(one.draws.G, [5, 50, 95])[:, None] * share for one in found)
    return Result(s, kinds, found, needed, order(joint, *kinds))


def draw(result: Result) -> Drawing:
    """Draw needed energy against joint width with what is known as bands."""
    s = result.settings
    ticks = ([0.5, 1, 2, 4, 8], [0.1, 1, 10, 100])
    words = ("joint width [mm]", f"energy needed {FREE} [J/m2]")
    plot = Plot((0.5, 8), (0.1, 100_000), words, ticks, log=(True, True), width=104, height=62, size=4.2)
    stone, ends = reference.value("mechanics", "interface energy on rough stone").band, [WIDTHS[0], WIDTHS[-1]]
    for band, tone in ((stone, BAND_STONE), ((s.low, s.high), BAND)):
        plot.band(ends, [band[0]] * 2, [band[1]] * 2, tone)
    for kind, three in zip(result.kinds, result.needed, strict=True):
        plot.line(WIDTHS, three[1], kind.tone, width=1.0)
        plot.line(WIDTHS, three[[0, 2]], kind.tone, dash=(1.5, 1.5), width=0.5)
        plot.key(kind.name, kind.tone)
    plot.key("glass holds: ASSUMED", BAND)
    plot.key("rough stone holds, measured", BAND_STONE)
    plot.line([s.joint, s.joint], [0.1, 300], ACCENT, dash=(1, 1), width=0.4)
    about = f"The wider the joint, the more its sides would need to hold, {FREE}. What glass holds is assumed."
    return plot.drawing("Energy by joint width", about)


def days_chart(result: Result) -> Drawing:
    """Draw the chance of both kinds by days: it never falls, as damage does not heal."""
    ticks = ({1: "1", 2: "2", 7: "7", 28: "28", 90: "90", 365: "365"}, [0, 50, 100])
    axes = {"log": (True, False), "width": 90, "height": 40}
    plot = Plot((1, 365), (0, 100), ("days since filling", f"a side lets go {FREE} [%]"), ticks, **axes)
    for kind in result.kinds:
        found = [chance_of(replace(joint_of(result.settings), age=day), kind, 500).debond for day in DAYS]
        plot.line(DAYS, [100 * one for one in found], kind.tone, width=1.0)
    return plot.drawing(
        "Chance by days", "The chance by days never falls, as damage does not heal; it is moist on the first day."
    )


def tornado_chart(result: Result) -> Drawing:
    """Draw how far each input alone moves the verdict, the greatest first."""
    found = tornado(joint_of(result.settings), result.kinds[0])
    ends = (min(1.0, *(low for _, low, _ in found)) / 1.2, max(1.0, *(high for *_, high in found)) * 1.2)
    marks = [mark for mark in (0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100) if ends[0] <= mark <= ends[1]]
    axes = {"log": (True, False), "width": 90, "height": 7.0 * len(found)}
    plot = Plot(ends, (len(found), 0), ("needed over held: over 1 a side lets go", ""), (marks, ()), **axes)
    for name, low, high in found:
        plot.bar(name, low, high, GLASS_COLOURS["sea green"].fill)
    plot.line([1, 1], [0, len(found)], ACCENT, width=0.4)
    words = f"What moves the verdict most is the {found[0][0]}, from {found[0][1]:.1f} to {found[0][2]:.1f} times."
    return plot.drawing("What moves the verdict", words)


def report(result: Result) -> list[Row]:
    """Tell needed and assumed energy in everyday work, the chances, and what the order rests on."""
    s = result.settings
    lines = [row for kind, found in zip(result.kinds, result.found, strict=True) for row in _kind_rows(kind, found)]
    known = {name: record.value for name, record in reference.by_name("mechanics").items()}
    # [cm] a coin is raised by the work of 1 J/m2 over a stamp
    lift = 100 * known["a stamp"] * 1e-6 / (known["a small coin"] / 1000 * 9.81)
    warmth = known["warmth of a window sill"]
    together, apart = result.order
    side = (
        "ASSUMED: on smooth glass none was found"
        if s.sides == "glass"
        else "measured on rough stone (Tschegg and others 1995)"
    )
    low, high = joint_of(s).interface
    heat = thermal_strain(*(known[name] for name in HEAT), warmth)
    return [
        Row(
            "An everyday picture",
            "1",
            "J/m2",
            f"peels, over a stamp, with the work that raises a coin of 5 g by {lift:.0f} cm; household tape takes some hundreds",
        ),
        *lines,
        Row("A side holds", f"{low:g} to {high:g}", "J/m2", f"{side}; with polymer up to 40 % more", "interfaces"),
        Row("Why so low", "", "", "Appa Rao and Raghu Prasad 2011, abstract: interface energy falls on smooth faces"),
        Row("Why perhaps higher", "", "", "the same abstract: cement that reacts with a smooth face seems to raise it"),
        Row(
            "The order is put in",
            f"{together:.0%} and {apart:.0%}".replace("%", " %"),
            "",
            f"of guesses in which {result.kinds[0].name} is worse, with the inputs of both drawn together, and apart: "
            "put in by 'softer and better bonded', not found",
        ),
        Row("Heat or drying?", round(heat), "millionths", f"{warmth:g} degrees of warmth, far less than drying asks"),
        Row(
            "Practice",
            "",
            "",
            "says that fortified filler holds on glass; where the sum says otherwise, practice comes first",
        ),
    ]


def _kind_rows(kind: Kind, found: Chance) -> list[Row]:
    """Tell the pull, the energy and the chance of one kind."""
    pull, need = (np.percentile(one, [5, 50, 95]) for one in (found.draws.sigma, found.draws.G))
    (low, high), practice = found.band, "; in practice it holds" if kind.for_glass else ""
    return [
        Row(
            kind.name,
            f"{need[1]:.0f}",
            "J/m2",
            f"needed {FREE}, {need[0]:.0f} to {need[2]:.0f} in 9 guesses of 10",
            checked="films",
        ),
        Row(
            "Its pull",
            f"{pull[1]:.0f}",
            "MPa",
            f"{FREE}; it tears at {kind.strength[0]:.1f} to {kind.strength[1]:.1f}, so something gives",
        ),
        Row(
            "A side lets go",
            f"{low:.0%} to {high:.0%}".replace("%", " %"),
            "",
            f"of 2,000 guesses, {FREE}; the ends are the best and the worst that is assumed{practice}",
        ),
    ]


def summary(result: Result) -> str:
    """Return what practice says, and what cannot be proved."""
    return headline(result.settings)


CHARTS = {ASSUMED: tornado_chart, AIR: days_chart}
CONTROLS = controls("joint", "depth", "kind", "sides", leave=("base",))
