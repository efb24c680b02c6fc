"""Lesson 04, part three: the demonstration, made weeks ahead, and what was seen beside what practice and model say."""

__all__ = ["CONTROLS", "QUIET", "Look", "Result", "Settings", "compute", "draw", "report", "summary"]

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import cache
from pathlib import Path

import pandas as pd
import shapely

from mosaiclib import reference
from mosaiclib.adhesive import Climate, waits
from mosaiclib.cautions import on_paper
from mosaiclib.drawing import PAPERS, Drawing
from mosaiclib.errors import MosaicError, brief, choice
from mosaiclib.files import file_set, list_bytes, typed_name
from mosaiclib.filler import kind_of, recipe, sand_for, stretch
from mosaiclib.job.overview import duration
from mosaiclib.job.sheets import mixing_lines
from mosaiclib.job.slides import (
    DAYS,
    LATEX,
    PLAIN,
    SEEN,
    TILE,
    WIDTHS,
    all_signs,
    joints,
    slides_drawing,
    write_record_sheet,
)
from mosaiclib.lesson.controls import Action, Choice, Length, Table, Words
from mosaiclib.report import Row
from mosaiclib.units import mm, text

TITLE = "The demonstration"
WRITTEN = ("%Y-%m-%d", "%d.%m.%Y", "%d %b %Y", "%d %B %Y")  # how a date may be typed
LINES = 8
AHEAD = reference.value("mechanics", "days until plain filler has let go").number
QUIET = "Nothing seen yet: type what you see, with the date."


@cache
def glued() -> float:
    """Return how long the glue of the demonstration takes until it can be filled [h]; worked out only when it is told."""
    return waits("neutral-cure silicone", [shapely.box(0, 0, TILE, TILE)], Climate())["fill"].usual


@dataclass(frozen=True)
class Settings:
    """What the teacher types: dates, the side of the pieces [mm], and lines of a date, a joint and what was seen there."""

    made: str = ""
    shown: str = ""
    tile: float = TILE
    seen: tuple[tuple[str, ...], ...] = ()
    paper: str = "A4"


@dataclass(frozen=True)
class Look:
    """What was seen of one joint, so many days after filling."""

    day: int
    joint: str
    seen: str


@dataclass(frozen=True)
class Result:
    """What comes of the settings: the dates, None where nothing is typed, and the looks in the order of their days."""

    settings: Settings
    made: date | None
    shown: date | None
    looks: tuple[Look, ...]

    @property
    def last(self) -> dict[str, str]:
        """What was seen last of each joint."""
        return {look.joint: look.seen for look in self.looks}


def compute(s: Settings) -> Result:
    """Read the dates and what was seen.

    >>> compute(Settings(made="2026-11-01", seen=(("8.11.2026", "A4", "let go"),))).looks
    (Look(day=7, joint='A4', seen='let go'),)
    """
    made, shown = _date(s.made, "day of filling"), _date(s.shown, "day of the class")
    if made and shown and shown < made:
        raise MosaicError("The day of the class is before the day of filling; change one of them.")
    looks = [_look(line, made) for line in s.seen if any(cell.strip() for cell in line)]
    return Result(s, made, shown, tuple(sorted(looks, key=lambda one: one.day)))


def _date(typed: str, what: str) -> date | None:
    """Return a date as it was typed, None where there is none."""
    words = typed.strip()
    for form in WRITTEN if words else ():
        try:
            return datetime.strptime(words, form).date()
        except ValueError:
            continue
    if words:
        raise MosaicError(f"{brief(typed)} is no date for the {what}; type for example 2026-11-26 or 26.11.2026.")
    return None


def _look(line: tuple[str, ...], made: date | None) -> Look:
    when, joint, seen = (*(cell.strip() for cell in line), "", "", "")[:3]
    on = _date(when, "look")
    if on is None or made is None:
        raise MosaicError("Type the day of filling, and a date on each line of what was seen.")
    if on < made:
        raise MosaicError(f"The look of {brief(when)} is before the day of filling; change one of the dates.")
    name = choice(joint.upper(), "joint", joints())
    return Look((on - made).days, name, choice(seen.lower(), "sign", SEEN))


def draw(result: Result) -> Drawing:
    """Draw the specimens with each joint as it was seen last."""
    return slides_drawing(result.last, result.settings.tile)


def report(result: Result) -> list[Row]:
    """Tell when to make and look, what to mix, and each look beside what practice and the model say."""
    return [
        *_looks(result),
        *_when(result),
        Row(
            "Pieces",
            12,
            "",
            text(
                "of ",
                mm(result.settings.tile),
                ": six of glass on two slides; six of unglazed pot, edges rough, on two strips of pot",
            ),
        ),
        Row("Glue", duration(glued()), "at least", "with clear neutral silicone, none of it in the joints; then fill"),
        Row("Keep moist", 1, "day", "in a closed bag with a damp cloth; then in dry air"),
        *_mixes(),
        Row(
            "To photograph",
            "",
            "",
            "clean the back; hold the slide upright against a bright window, the lens square to its back. Pot lets no light "
            "through: look at it from the front, in light from the side, with a magnifying glass",
        ),
        Row(
            "If the plain one holds",
            "",
            "",
            "say so. Plain often fails, and sometimes holds for years (practice; nobody counted). Wider joints and a dry room "
            "show it sooner; grease nothing. Two slides do not overrule practice, nor practice what you saw",
        ),
        Row("Cautions", "", "", on_paper("slides")),
    ]


def _when(result: Result) -> Iterator[Row]:
    """Tell when it is made, and what can be seen on which day."""
    if result.shown and not result.made:
        by = result.shown - timedelta(days=AHEAD)
        yield Row("Fill them by", _told(by), "", f"{AHEAD:g} days ahead of the class; the days are a guess")
    if result.made and result.shown:
        days = (result.shown - result.made).days
        shows = [all_signs(day) for day in DAYS if day <= days]
        yield Row("To show in class", days, "days old", f"{shows[-1]}: a guess" if shows else "nothing has dried yet")
    for day in DAYS:
        on = _told(result.made + timedelta(days=day)) if result.made else ""
        yield Row(f"Look on day {day}", on, "", f"{all_signs(day)} (the day is a guess)")


def _told(day: date) -> str:
    """Write a date so that day and month cannot be mixed up."""
    return f"{day.day} {day:%b %Y}"


def _mixes() -> Iterator[Row]:
    """Tell the smallest batch of both fillers: unsanded in both joints, so that only the width differs."""
    least = reference.value("filler", "smallest batch").number
    for kind in (PLAIN, LATEX):
        made = recipe(least, kind, min(WIDTHS))
        parts = "; ".join(
            f"{what} {much.partition(' each')[0]}" for what, much in mixing_lines(made, 1, 10)[: len(made.ingredients)]
        )
        yield Row(f"Mix {kind}", round(least), "mL", f"the smallest batch, far more than the slides take: {parts}")


def _looks(result: Result) -> Iterator[Row]:
    """Tell each look beside practice and model."""
    for look in result.looks:
        yield Row(f"{look.joint} on day {look.day}", look.seen, "", beside(look))


def beside(look: Look) -> str:
    """Say what practice and the model say of a joint, beside what was seen of it.

    >>> beside(Look(14, "A4", "let go"))[:55]
    'as practice says: plain filler does not last on glass; '
    """
    one, _ = joints()[look.joint]
    says = _practice(one.sides, one.filler)
    low, middle, high = stretch(kind_of(one.filler, None, sand_for(min(WIDTHS))), one.sides).ratio
    place = "at the side" if one.sides == "glass" else "inside, in fine cracks"
    gives = f"would give {place}" if middle > 1 else "need not give"
    model = (
        f"by published figures and one assumption it is asked for {middle:.0f} times ({low:.1f} to {high:.0f}) what it can "
        f"give, so it {gives}"
    )
    if look.seen == SEEN[0]:
        return f"practice: {says}; {model}"
    return f"{_word(one.sides, one.filler, look.seen)}: {says}; {model}"


def _practice(sides: str, filler: str) -> str:
    """Say what practice expects."""
    if sides == "porous":
        return "between rough sides it holds, with fine cracks at most"
    return "plain filler does not last on glass" if filler == PLAIN else "with latex it holds on glass"


def _word(sides: str, filler: str, seen: str) -> str:
    """Say whether what was seen is what practice expects, and what to do where it is not."""
    fails = sides == "glass" and filler == PLAIN
    apart = seen in (SEEN[2], "let go")
    if seen == "holds":
        return (
            "practice expects it to fail; two slides cannot decide: look again later" if fails else "as practice says"
        )
    if apart and fails:
        return "as practice says"
    if seen == "cracks across":
        return "as practice says" if sides == "porous" else "practice names the sides first; write down both"
    return "not as practice says: too much water, dried too soon, or a greasy side? Set both side by side"


def summary(result: Result) -> str:
    """Return what the demonstration shows so far."""
    if not result.looks:
        return f"{QUIET} With latex it holds in practice, plain filler does not."
    gone = [name for name, seen in result.last.items() if seen in (SEEN[2], "let go")]
    held = [name for name, seen in result.last.items() if seen == "holds"]
    return f"Come away: {', '.join(gone) or 'none'}. Holding: {', '.join(held) or 'none'}. Two slides do not overrule practice."


CONTROLS = (
    Words(
        "made",
        "Filled on",
        help="for example 2026-11-26; four weeks before the class",
        refuses=("is no date", "Type the day"),
    ),
    Words("shown", "Shown on", help="the day of the class", refuses=("is no date",)),
    Length("tile", "Pieces", 10, 22, 0.5, help="their side, as you have them"),
    Choice("paper", "Paper", tuple(PAPERS)),
    Table(
        "seen",
        "What you saw",
        ("date", "joint", "seen"),
        LINES,
        fold="What you saw",
        help=f"a joint is {', '.join(joints())}; seen: {', '.join(SEEN[1:])}",
    ),
)


def _write(s: Settings, name: str, folder: Path) -> str:
    """Write the sheets, and what was seen as a list."""
    result, stem = compute(s), f"{typed_name(name)}-slides"
    table = pd.DataFrame(
        [(one.day, one.joint, joints()[one.joint][0].words, one.seen, beside(one)) for one in result.looks]
    )
    table.columns = ["day", "joint", "what", "seen", "beside it"][: table.shape[1]]
    with file_set(folder, alone=False) as made:
        write_record_sheet(made / f"{stem}.pdf", s.paper, s.tile)
        if result.looks:
            (made / f"{stem}.csv").write_bytes(list_bytes(table))
    listed = f" and {folder.name}/{stem}.csv are" if result.looks else " is"
    return f"{folder.name}/{stem}.pdf{listed} written."


def actions(folder: Path) -> tuple[Action, ...]:
    """Return the button that writes the sheets."""
    return (
        Action("print", "Write the sheets", lambda s, name: _write(s, name, folder), "File name", "my demonstration"),
    )
