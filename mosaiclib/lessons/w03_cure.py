"""Lesson 03, part three: how long to wait, on a map of the practice piece."""

__all__ = ["CONTROLS", "Result", "Settings", "compute", "draw", "report", "summary"]

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import shapely

from mosaiclib import reference
from mosaiclib.adhesive import bed_volume, families, family, hold, progress, squeeze_out, tubes, waits
from mosaiclib.adhesive.choose import CLARITIES, Cure
from mosaiclib.adhesive.cure import Climate, Progress, Wait, reach, set_hours
from mosaiclib.drawing import Drawing, Polygons, layout_picture
from mosaiclib.drawing.palette import CURED, UNCURED
from mosaiclib.drawing.plot import wait_bar
from mosaiclib.job.overview import duration, wait_words
from mosaiclib.layout import Layout
from mosaiclib.lesson.controls import Choice, Length, Number
from mosaiclib.lessons.practice import quantities, sample_piece
from mosaiclib.lessons.w03_family import powder
from mosaiclib.report import Row

TITLE = "How long to wait"
GLUE, HAND, HOLD, TILE = "The adhesive", "Working by hand", "What it holds", "The tile"
KEY = {"still soft": UNCURED, "cured": CURED}
DONE = {"turn": "Can turn", "fill": "Can fill", "handle": "Can handle", "wash": "Cured through"}


@dataclass(frozen=True)
class Settings:
    """What the learner can set [mm]."""

    hours: float = 24.0
    temperature: float = 23.0
    humidity: float = 50.0
    tile: float = 20.0
    family: str = "neutral-cure silicone"
    bed: float = 0.8
    clarity: str = "transparent"
    speed: float = 3.0
    tube: float = 310.0
    lost: float = 15.0
    strength: float = 0.3
    fresh: float = 200.0
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
    passed = 1.0  # under opaque glass the lamp shines from behind, through the base
    if s.clarity == "translucent":
        passed = reference.value("backings", "light of a lamp passed by a millimetre of translucent glass").number
    climate = Climate(s.temperature, s.humidity / 100, s.thickness, passed)
    slowest = layout.shapes[[int(np.argmax(reach(layout.shapes)))]]  # whose middle lies deepest
    cured = progress(s.family, layout.shapes, s.hours, climate)
    return Result(s, layout, climate, cured, waits(s.family, slowest, climate))


def draw(result: Result) -> Drawing:
    """Draw the map of the cure, soft cores marked, and the bar of waits under it."""
    cores = result.progress.cores
    soft = cores[~shapely.is_empty(cores)] if len(cores) else cores
    tones = [CURED if len(soft) or share >= 1 else UNCURED for share in result.progress.share]
    how = {"view": "behind", "numbers": True, "marks": False, "dimensions": False}
    over = [Polygons(soft, UNCURED, None, 0.0, name="core")] if len(soft) else ()
    map_ = layout_picture(result.layout, tones=tones, over=over, **how)
    words = (
        f"After {result.settings.hours:g} hours {_mean(result):.0%} of the bed is cured; soft cores are darker and "
        "shrink towards the middle of each piece. A bar below shows when each step can follow."
    )
    steps = {DONE[step]: found for step, found in result.waits.items()}
    return wait_bar(map_, steps, result.settings.hours, key=KEY, title="How far the bed has cured", description=words)


def _mean(result: Result) -> float:
    areas = result.layout.areas
    return float((result.progress.share * areas).sum() / areas.sum())


def report(result: Result) -> list[Row]:
    """Tell the cured share, the waits with their bands, what the bed holds and how much to squeeze out."""
    found = result.progress
    slowest = float(found.share.min())
    mixed = "of its time to harden" if family(result.settings.family).cures_by == Cure.MIXING else ""
    lines = [
        Row("Cured now", round(100 * _mean(result)), "%", mixed or f"the slowest piece {slowest:.0%}"),
        *[Row(DONE[step], duration(wait.usual), "", wait_words(wait)) for step, wait in result.waits.items()],
        Row("Why", "", "", _why(result)),
        _hold_row(result, slowest),
        *_hand_rows(result),
    ]
    mind = (
        "waits range over the quoted speeds; shares that a step waits for and the strength while curing are assumptions; "
        "the maker's sheet stands above"
    )
    return [*lines, Row("Note", "", "", mind)]


def _why(result: Result) -> str:
    """Say by which law the family cures."""
    how = family(result.settings.family).cures_by
    return {
        Cure.MOISTURE: "moisture comes in by the joints only: the depth goes with the square root of time, so the "
        "middle of the largest piece is last, and half the tile takes a quarter of the time",
        Cure.LIGHT: "it hardens where its lamp reaches, counted from when the lamp is lit; coloured glass takes part of that light, "
        "and under opaque tiles it must shine from behind",
        Cure.MIXING: "it hardens all through at once, twice as fast for each 10 degrees warmer; until it has set it is liquid, "
        "quick kinds for some hours, slow ones for a day and a half (a conservators' list, read second-hand)",
        Cure.DRYING: "its water must leave by the joints through the bed itself: this is why it fails between two "
        "sheets of glass; damp and cold, which make it slower still, are not counted",
        Cure.CEMENT: "the cement sets with its own water, but its polymer stays soft until the water has left "
        "by the joints",
    }[how]


def _hold_row(result: Result, slowest: float) -> Row:
    s, liquid = result.settings, set_hours(result.settings.family, result.climate)
    if liquid is not None and s.hours < liquid.usual:
        return Row(
            "Upright, it bears now", "nothing", "", "it does not hold yet: what is mixed is liquid until it has set"
        )
    fresh = s.fresh if family(s.family).word("body") == "non-sag" else 0.0  # what runs bears nothing
    found = hold(s.thickness, slowest, coverage=s.coverage / 100, fresh=fresh, strength=s.strength)
    # more than a hundred times would only look exact
    times = "over 100 x" if found.times > 100 else f"{found.times:.1f} x"
    slow = liquid is not None and s.hours < liquid.most
    words = f"unsure: slow kinds set only after {duration(liquid.most)}: prop the tile" if slow else found.words
    return Row("Upright, it bears now", times, "its tile", words)


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
    count, amount = squeeze_out(work[0], s.speed, dab)
    return [*rows, Row("Squeeze out", round(amount, 1), "mL", f"at once, for {count} tiles in {work[0]:g} minutes")]


def summary(result: Result) -> str:
    """Return the one line of quantities."""
    layout, s = result.layout, result.settings
    return quantities(layout, s.bed, powder(layout, s.bed), s.coverage / 100)


CONTROLS = (
    Number("hours", "Since gluing", 0, 720, 1, "h"),
    Number("temperature", "Room", 5, 40, 1, "C"),
    Number("humidity", "Humidity", 5, 100, 5, "%"),
    Length("tile", "Tile", 10, 30, 0.5),
    Choice("family", "Adhesive", families(), fold=GLUE),
    Length("bed", "Adhesive bed", 0.2, 3, 0.1, fold=GLUE),
    Choice("clarity", "Glass is", CLARITIES, fold=GLUE),
    Number("speed", "Tiles a minute", 0.5, 12, 0.5, fold=HAND),
    Number("tube", "Tube", 10, 600, 10, "mL", fold=HAND),
    Number("lost", "Waste", 0, 100, 5, "%", fold=HAND, help="in the nozzle and on the palette"),
    Number("strength", "Cured strength", 0.05, 2, 0.05, "MPa", fold=HOLD, help="an assumption"),
    Number("fresh", "Fresh strength", 0, 1000, 10, "Pa", fold=HOLD, help="an assumption"),
    Number("coverage", "Back covered", 10, 100, 5, "%", fold=HOLD),
    Length("thickness", "Tile thickness", 2, 12, 0.5, fold=TILE),
    Length("joint", "Joint", 1, 5, 0.1, fold=TILE),
)
