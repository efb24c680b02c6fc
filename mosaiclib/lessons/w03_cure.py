"""Lesson 03, part three: how long to wait, on a map of the practice piece."""

__all__ = ["CONTROLS", "Result", "Settings", "compute", "draw", "report", "summary"]

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import shapely

from mosaiclib import reference
from mosaiclib.adhesive import STEPS, bed_volume, families, family, hold, progress, squeeze_out, tubes, waits
from mosaiclib.adhesive.choose import BASES, CLARITIES, LAMP, Cure
from mosaiclib.adhesive.cure import LAWS, Climate, Progress, Wait, reach, set_hours
from mosaiclib.drawing import Drawing, Polygons, layout_picture
from mosaiclib.drawing.palette import CURED, UNCURED
from mosaiclib.drawing.plot import wait_bar
from mosaiclib.job import quantities
from mosaiclib.job.overview import duration, wait_rows
from mosaiclib.layout import Layout
from mosaiclib.lesson.controls import Choice, Length, Number
from mosaiclib.lessons.practice import ALLOWANCES, BED, sample_piece
from mosaiclib.lessons.w03_family import LAMP_HELP, SETS_HELP
from mosaiclib.report import Row

TITLE = "How long to wait"
GLUE, LAMPED, HAND, HOLD, TILE = "The adhesive", "Glass and lamp", "Working by hand", "What it holds", "The tile"
KEY = {"still soft": UNCURED, "cured": CURED}


@dataclass(frozen=True)
class Settings:
    """What the learner can set [mm]."""

    hours: float = 24.0
    temperature: float = 23.0
    humidity: float = 50.0
    tile: float = 20.0
    family: str = "neutral-cure silicone"
    bed: float = BED
    clarity: str = "transparent"
    base: str = BASES[0]
    lamp: str = LAMP[-1]
    sets_in: float = reference.value("cure", "setting of a clear epoxy").number
    speed: float = 3.0
    tube: float = 310.0
    lost: float = 100 * ALLOWANCES["adhesive lost"]
    strength: float = reference.value("cure", "strength of a cured bed").number
    fresh: float = reference.value("cure", "yield of a fresh bed").number
    coverage: float = 100.0
    thickness: float = 4.0
    joint: float = 2.0


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings."""

    settings: Settings
    layout: Layout
    climate: Climate
    progress: Progress
    waits: Mapping[str, Wait]


def compute(s: Settings) -> Result:
    """Work out how far the bed of the practice piece has cured and what each step waits for.

    >>> found = compute(Settings(hours=24.0))
    >>> found.waits["fill"].least < found.waits["fill"].most
    True
    """
    layout = sample_piece(s.tile, s.joint, s.thickness)
    how = {"clarity": s.clarity, "lamp": s.lamp, "sets_in": s.sets_in, "porous": s.base != BASES[0]}
    climate = Climate(s.temperature, s.humidity / 100, s.thickness, **how)
    slowest = layout.shapes[[int(np.argmax(reach(layout.shapes)))]]  # whose middle lies deepest
    cured = progress(s.family, layout.shapes, s.hours, climate)
    return Result(s, layout, climate, cured, waits(s.family, slowest, climate))


def draw(result: Result) -> Drawing:
    """Draw the map of the cure, soft cores marked, and the bar of waits under it."""
    cores = result.progress.cores
    soft = cores[~shapely.is_empty(cores)] if len(cores) else cores
    s = result.settings
    # what sets all through at once is shown cured once it is hard
    hard = set_hours(s.family, result.climate) is not None and s.hours >= result.waits["handle"].usual
    tones = [CURED if len(soft) or hard or share >= 1 else UNCURED for share in result.progress.share]
    how = {"view": "behind", "numbers": True, "marks": False, "dimensions": False}
    over = [Polygons(soft, UNCURED, None, 0.0, name="core")] if len(soft) else ()
    map_ = layout_picture(result.layout, tones=tones, over=over, **how)
    words = (
        f"After {result.settings.hours:g} hours {_mean(result):.0%} of the bed is cured; soft cores are darker and "
        "shrink towards the middle of each piece. A bar below shows when each step can follow."
    )
    steps = {STEPS[step]: found for step, found in result.waits.items() if math.isfinite(found.most)}
    return wait_bar(map_, steps, result.settings.hours, key=KEY, title="How far the bed has cured", description=words)


def _mean(result: Result) -> float:
    areas = result.layout.areas
    return float((result.progress.share * areas).sum() / areas.sum())


def report(result: Result) -> list[Row]:
    """Tell the cured share, the waits with their bands, what the bed holds and how much to squeeze out."""
    found = result.progress
    slowest = float(found.share.min())
    mixed = (
        "of its time to cure through" if family(result.settings.family).cures_by in (Cure.MIXING, Cure.CEMENT) else ""
    )
    lines = [
        Row("Cured now", round(100 * _mean(result)), "%", mixed or f"the slowest piece {slowest:.0%}"),
        *wait_rows(result.waits),
        Row("Why", "", "", LAWS[family(result.settings.family).cures_by].why),
        _hold_row(result, slowest),
        *_hand_rows(result),
    ]
    mind = (
        "waits range over the quoted speeds; shares that a step waits for and the strength while curing are assumptions; "
        "the manufacturer's instructions and safety data sheet take precedence"
    )
    s = result.settings
    takes = Row("It takes", "", "", str(quantities(result.layout, s.bed, coverage=s.coverage / 100)))
    return [*lines, takes, Row("Note", "", "", mind)]


def _hold_row(result: Result, slowest: float) -> Row:
    s, unset = result.settings, set_hours(result.settings.family, result.climate)
    if family(s.family).cures_by == Cure.GRIP:
        return Row("Upright it now holds", "not told", "", "it grips within minutes, which is no bond for glass")
    paste = family(s.family).word("body") == "non-sag"  # what runs bears nothing
    wet = unset is not None and s.hours < unset.most
    if wet and not paste:
        words = "it does not hold yet: it is liquid until it has set"
        return Row("Upright it now holds", "nothing", "", words)
    cured = 0.0 if wet else slowest
    found = hold(s.thickness, cured, coverage=s.coverage / 100, fresh=s.fresh if paste else 0.0, strength=s.strength)
    # more than a hundred times would only look exact
    times = "over 100" if found.times > 100 else f"{found.times:.1f}"
    if math.isinf(result.waits["handle"].usual):
        return Row(
            "Upright it now holds", times, "times the tile's weight", "as a fresh paste only: it does not harden so"
        )
    hard = result.waits["handle"].model  # practice holds longer, which is another matter
    soft = unset is not None and not wet and s.hours < hard
    words = f"unsure: it has set, but is hard only after {duration(hard)}: prop the tile" if soft else found.words
    return Row("Upright it now holds", times, "times the tile's weight", words, checked="what a bed holds")


def _hand_rows(result: Result) -> list[Row]:
    """Tell tubes and how much to squeeze out at once."""
    s, layout = result.settings, result.layout
    volume = bed_volume(float(layout.areas.sum()), s.bed, coverage=s.coverage / 100)
    dab = s.tile**2 * s.bed * s.coverage / 100
    rows = [
        Row("Tubes", tubes(volume, s.tube, s.lost / 100), "", f"of {s.tube:g} mL for {volume:.1f} mL on this piece")
    ]
    work = family(s.family).working_minutes
    if work is None:
        return [*rows, Row("Squeeze out", "as you like", "", "it waits for its lamp")]
    count = min(squeeze_out(work[0], s.speed, dab)[0], len(layout))
    amount = count * dab / 1000
    return [*rows, Row("Squeeze out", round(amount, 1), "mL", f"at once, for {count} tiles in {work[0]:g} minutes")]


def summary(result: Result) -> str:
    """Return how long each step waits."""
    hours = [result.waits[step].usual for step in STEPS]
    turn, fill, handle, wash = (f"after {duration(one)}" if math.isfinite(one) else "never" for one in hours)
    return f"Turn {turn}, fill {fill}, handle {handle}; cured through {wash}."


CONTROLS = (
    Number("hours", "Since gluing", 0, 720, 1, "h"),
    Number("temperature", "Room", 5, 40, 1, "C"),
    Number("humidity", "Humidity", 5, 100, 5, "%"),
    Length("tile", "Tile", 10, 30, 0.5),
    Choice("family", "Adhesive", families(), fold=GLUE),
    Length("bed", "Adhesive bed", 0.2, 3, 0.1, fold=GLUE),
    Number("sets_in", "Two parts set in", 0.1, 48, 0.1, "h", fold=GLUE, help=SETS_HELP),
    Choice("clarity", "Glass is", CLARITIES, fold=LAMPED),
    Choice("base", "Base", BASES, fold=LAMPED),
    Choice("lamp", "Lamp's light comes through", LAMP, fold=LAMPED, help=LAMP_HELP),
    Number("speed", "Tiles a minute", 0.5, 12, 0.5, fold=HAND),
    Number("tube", "Tube", 10, 600, 10, "mL", fold=HAND),
    Number("lost", "Waste", 0, 100, 5, "%", fold=HAND, help="in the nozzle and on the palette"),
    Number("strength", "Cured strength", 0.05, 2, 0.05, "MPa", fold=HOLD, help="an assumption"),
    Number("fresh", "Fresh strength", 0, 1000, 10, "Pa", fold=HOLD, help="an assumption"),
    Number("coverage", "Back covered", 10, 100, 5, "%", fold=HOLD),
    Length("thickness", "Tile thickness", 2, 12, 0.5, fold=TILE),
    Length("joint", "Joint", 1, 5, 0.1, fold=TILE),
)
