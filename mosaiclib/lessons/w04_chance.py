"""Lesson 04, part three: the chance of letting go against the amount of latex, with its band and its draws."""

__all__ = ["CONTROLS", "Result", "Settings", "compute", "draw", "report", "summary"]

from dataclasses import dataclass
from pathlib import Path

from mosaiclib.drawing import Drawing, Plot, panels
from mosaiclib.drawing.palette import ACCENT, BAND, GLASS_COLOURS, INK
from mosaiclib.files import file_set, typed_name
from mosaiclib.filler import Chance, chance_of, kind_of, tornado
from mosaiclib.job.sheets import write_record_sheet
from mosaiclib.lesson.controls import Action, Number, Switch
from mosaiclib.lessons.w04_shared import (
    ASSUMED,
    LATEX,
    PLAIN,
    FillerSettings,
    controls,
    joint_of,
    kind_in,
    line_of,
    uneven,
)
from mosaiclib.report import Row

TITLE = "The chance"
RATIOS = (0.0, 0.025, 0.05, 0.075, 0.10, 0.15, 0.20, 0.30)
DRAWS, SHOWN = 2000, 500  # more dots would only hide each other
OWN = "Your own slides"
PROVEN = 0.8


@dataclass(frozen=True)
class Settings(FillerSettings):
    """What the learner can set [mm]."""

    tried: bool = False
    own_plain: float = 100.0
    own_latex: float = 0.0


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings."""

    settings: Settings
    plain: Chance
    latex: Chance
    curve: tuple[Chance, ...]


def compute(s: Settings) -> Result:
    """Draw plain filler and filler with latex over the published ranges, in pairs.

    >>> found = compute(Settings())
    >>> found.plain.debond > found.latex.debond
    True
    """
    joint = joint_of(s)
    latex, *curve = (
        chance_of(joint, kind, draws=DRAWS, seed=s.seed)
        for kind in (kind_in(s, LATEX), *(kind_of(LATEX, ratio) for ratio in RATIOS))
    )
    return Result(s, curve[0], latex, tuple(curve))


def draw(result: Result) -> Drawing:
    """Draw the chance against latex with its band, and every draw of the two fillers."""
    return panels(
        [_curve(result), _draws(result)],
        ["chance that a side lets go", "each draw: above the line it lets go"],
        columns=1,
        title="The chance of letting go",
        description=(
            f"Plain filler lets go in {result.plain.debond:.0%} of the draws, with latex in {result.latex.debond:.0%}; the "
            f"bands reach from the best to the worst that is assumed of glass. The first {SHOWN} of {DRAWS:,} draws of each are shown."
        ),
    )


def _curve(result: Result) -> Drawing:
    """Draw the chance by polymer over cement."""
    x = [100 * ratio for ratio in RATIOS]
    plot = Plot(
        (0, 30),
        (0, 100),
        ("polymer over cement [%]", "let go [%]"),
        ([0, 5, 10, 15, 20, 25, 30], [0, 25, 50, 75, 100]),
        height=52,
    )
    low, high = ([100 * one.band[end] for one in result.curve] for end in (0, 1))
    plot.band(x, low, high, BAND)
    plot.line(x, [100 * one.debond for one in result.curve], kind_of(LATEX).tone)
    mark = result.settings.polymer
    plot.line([mark, mark], [0, 100], ACCENT, dash=(1, 1), width=0.4)
    return plot.drawing("Chance by latex", "")


def _draws(result: Result) -> Drawing:
    """Draw needed against held energy, a dot a draw."""
    plot = Plot(
        (0.3, 30),
        (0.3, 100),
        ("bond holds [J/m2]", "needed [J/m2]"),
        ([0.5, 1, 2, 5, 10, 20], [0.5, 1, 2, 5, 10, 20, 50]),
        log=(True, True),
        height=52,
    )
    for name, one in ((PLAIN, result.plain), (LATEX, result.latex)):
        plot.dots(one.draws.Gamma[:SHOWN], one.draws.G[:SHOWN], kind_of(name).tone, 0.7)
        plot.key(name, kind_of(name).tone)
    plot.line([0.3, 30], [0.3, 30], INK, width=0.5)
    return plot.drawing("Draws", "")


def tornado_chart(result: Result) -> Drawing:
    """Draw how far each input alone moves the verdict, the greatest first."""
    found = tornado(joint_of(result.settings), kind_of(PLAIN))
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
    """Tell both chances with their bands, pair by pair, and what was seen on the bench."""
    plain, latex, s = result.plain, result.latex, result.settings
    both = latex.draws.lets_go
    paired = float(plain.draws.lets_go[both].mean()) if both.any() else 1.0
    rows = [
        Row("Plain filler lets go", round(100 * plain.debond), "%", _words(plain)),
        Row(f"With {s.polymer:g} % latex", round(100 * latex.debond), "%", _words(latex)),
        Row(
            "Where latex fails, plain fails",
            round(100 * paired),
            "%",
            "of the same draws: the order is sure, the number is not",
        ),
        Row("Cracks across", f"{plain.crack:.0%} and {latex.crack:.0%}", "", "plain and with latex, of all draws"),
    ]
    if 1 - latex.debond < PROVEN:
        rows.append(
            Row(
                "Not proven",
                "",
                "",
                f"in this model latex holds in only {1 - latex.debond:.0%} of the draws. Practice says that fortified filler holds; "
                "published data alone do not show it (common practice, no source)",
            )
        )
    return [*rows, *_own(result)]


def _words(one: Chance) -> str:
    low, high = one.band
    return f"{uneven(one.debond)}; {low:.0%} if glass holds the most that is assumed, {high:.0%} if the least"


def _own(result: Result) -> list[Row]:
    """Set what was seen on the learner's slides beside the model."""
    s = result.settings
    if not s.tried:
        return []
    lines = []
    for name, seen, one in (("plain", s.own_plain, result.plain), ("with latex", s.own_latex, result.latex)):
        low, high = (100 * end for end in one.band)
        verdict = (
            "within the band of the model" if low - 10 <= seen <= high + 10 else "outside the band: trust your slides"
        )
        lines.append(
            Row(f"Your slides, {name}", round(seen), "% let go", f"the model says {low:.0f} to {high:.0f} %: {verdict}")
        )
    return lines


def summary(result: Result) -> str:
    """Return the one line of quantities."""
    return line_of(result.settings, LATEX)


CONTROLS = (
    *controls("joint", "depth", "polymer", "high"),
    Switch("tried", "I have tried it", fold=OWN, help="two glass slides with a joint of each filler, after two weeks"),
    Number("own_plain", "Plain let go", 0, 100, 5, "%", fold=OWN, help="of the joint's length"),
    Number("own_latex", "With latex let go", 0, 100, 5, "%", fold=OWN),
)


def _print(s: Settings, name: str, folder: Path) -> str:
    """Write the record sheet of the demonstration."""
    file = f"{typed_name(name)}-record.pdf"
    with file_set(folder, alone=False) as made:
        write_record_sheet(made / file, s.joint)
    return f"{folder.name}/{file} is written: print it at 100 %."


CHARTS = {ASSUMED: tornado_chart}


def actions(folder: Path) -> tuple[Action, ...]:
    """Return the button that writes the record sheet."""
    return (
        Action("print", "Write the record sheet", lambda s, name: _print(s, name, folder), "File name", "my slides"),
    )
