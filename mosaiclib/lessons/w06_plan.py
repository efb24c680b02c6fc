"""Lesson 06: the plan on the page, which all its parts show: how it begins, where it is kept, and what comes of it."""

__all__ = [
    "Result",
    "compute",
    "in_the_round",
    "keeper",
    "new_plan",
    "quick",
    "repinned",
    "running",
    "shelf_in",
    "start",
    "view_of",
]

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property, lru_cache
from pathlib import Path
from typing import Any

import pandas as pd

from mosaiclib import reference
from mosaiclib.drawing import SQUARED, Drawing, View, beside, layout_picture, to_svg, vessel_picture
from mosaiclib.drawing.palette import SCREEN, SCREEN_TEXT
from mosaiclib.drawing.paper import usual_paper
from mosaiclib.errors import MosaicError
from mosaiclib.job import Plan, Worked, WorkedPiece, buying_list, work_out
from mosaiclib.job.colours import joint_tone, looks_of
from mosaiclib.job.days import Days, days_of
from mosaiclib.job.shelf import Shelf
from mosaiclib.job.work import lay_all
from mosaiclib.layout import Layout
from mosaiclib.lessons.w06_controls import has_inside, tapers
from mosaiclib.lessons.w06_settings import USUAL, Settings, plan_of, settings_of, view_kept


def start() -> Settings:
    """Return the settings for the example plan."""
    return settings_of(Plan.load(reference.DATA / "example_plan.json"))


def new_plan(name: str, unit: str = "mm") -> Plan:
    """Return a plan of one pane of the same name, with nothing of the example in it; its paper is the usual one of "mm" or "in"."""
    colours = [{"name": name} for name in ("clear", "milk white", "sky blue", "amber")]
    glass = [USUAL["pane"].model_dump() | {"name": name}]
    tile = {"side": 20.0, "thickness": 4.0, "colours": colours}
    joint = {"wanted": 2.0, "least": 1.5, "greatest": 2.5}
    return Plan.made(name=name, unit=unit, paper=usual_paper(unit), glass=glass, tile=tile, joint=joint)


def quick() -> Settings:
    """Return the settings for a small pane with a band, and a small vessel: quick to work out, to try every control."""
    record = new_plan("quick").model_dump(mode="json")
    line = {"name": "bow", "measures": {"width": 60.0, "rise": 15.0}, "x": 45.0, "y": 45.0}
    band = {"face": "pane", "line": line, "rows": [{"fraction": "half"}]}
    pane = USUAL["pane"].model_dump(mode="json") | {"width": 90.0, "height": 90.0, "bands": [band]}
    vessel = USUAL["vessel"].model_dump(mode="json") | {"widths": [46.0] * 3, "depths": [46.0] * 3, "heights": [46.0]}
    colours = [{"name": name, "in_hand": 200} for name in ("clear", "milk white", "blue", "amber")]
    return settings_of(Plan.made(**record | {"glass": [pane, vessel], "tile": record["tile"] | {"colours": colours}}))


@lru_cache(8)
def shelf_in(folder: Path) -> Shelf:
    """Return the shelf of a folder, one for all parts of the page: it remembers which plan is open."""
    return Shelf(folder)


def keeper(folder: Path) -> Callable[["Result", "Settings | None"], str]:
    """Return what keeps a plan under its own name after a change."""

    def keep(result: Result, before: Settings | None) -> str:
        return shelf_in(folder).keep(result.plan, to_svg(view_of(result)), before.base.name if before else "")

    return keep


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings; `amiss` says why there are no colours, where there are none.

    While a handle is held there is the layout alone, of the piece in the picture.
    """

    settings: Settings
    plan: Plan
    worked: Worked | None
    layout: Layout
    amiss: MosaicError | str = ""

    @cached_property
    def bought(self) -> pd.DataFrame:
        """The list of what is bought."""
        return buying_list(self.worked)

    @property
    def piece(self) -> WorkedPiece:
        """The piece of glass in the picture, worked out."""
        return self.worked.pieces[self.at]

    @cached_property
    def days(self) -> Days | MosaicError:
        """The plan on its days, or the sentence that says why the hours cannot hold it."""
        try:
            return days_of(self.worked)
        except MosaicError as wrong:
            return wrong

    @property
    def at(self) -> int:
        """Which piece of glass is in the picture."""
        return next(at for at, part in enumerate(self.settings.base.glass) if part.name == self.settings.piece)


def compute(s: Settings) -> Result:
    """Work the plan out; where its colours cannot be arranged, all but them."""
    plan = plan_of(s)
    at = next(at for at, part in enumerate(s.base.glass) if part.name == s.piece)
    if s.moving:
        ((_, layout),) = lay_all(plan.model_copy(update={"glass": [plan.glass[at]]}))
        return Result(s, plan, None, layout)
    amiss = ""
    try:
        worked = work_out(plan)
    except MosaicError as wrong:
        worked, amiss = work_out(plan, colours=False), wrong
    return Result(s, plan, worked, worked.pieces[at].layout, amiss)


def repinned(result: Result, worked: Worked) -> Result:
    """Return the result with other pieces coloured by hand."""
    s = result.settings
    settings = settings_of(worked.plan, s.glass_name.strip(), s.line, **view_kept(s))
    return Result(settings, worked.plan, worked, worked.pieces[result.at].layout)


def view_of(result: Result, **more: Any) -> Drawing:
    """Draw the piece of glass that was chosen, in its colours."""
    s = result.settings
    how = {"view": "behind" if s.behind else "front", "numbers": s.numbers, "squared": SQUARED[s.squared], "key": True}
    lit = "behind" if s.lit else "front"
    how |= {"looks": looks_of(result.plan, lit), "base": joint_tone(result.plan, lit)}
    how["dimensions"] = not tapers(s)  # how large its unrolled paper is says nothing of the glass
    return layout_picture(result.layout, title=f"{s.glass_name}: the plan in colours", **how | more)


def in_the_round(result: Result, draw: Callable[..., Drawing] = view_of) -> Drawing:
    """Draw the piece of glass as `draw` does; beside it, if it is a vessel, as it stands, turned as the sliders say."""
    s, flat = result.settings, draw(result)
    if result.worked is None or not has_inside(s):
        return flat
    view, lit = View(s.vessel_turned, s.vessel_tilt), "behind" if s.lit else "front"
    tones = {"looks": looks_of(result.plan, lit), "base": joint_tone(result.plan, lit)}
    how = {"bed": result.plan.adhesive.bed, "title": f"{s.glass_name}: as it stands"} | tones
    stands = vessel_picture(result.layout, result.piece.glass, view, **how)
    both = beside(flat, stands)
    size = SCREEN_TEXT * max(both.width / SCREEN[0], both.height / SCREEN[1])
    return beside(draw(result, text_size=size), stands)


def running(result: Result) -> str:
    """Return what is always in sight: what must not be overlooked, pieces, what is short, what it costs."""
    worked = result.worked
    if worked is None:
        return "Counted when you let go."
    said = [*worked.warnings, f"In all {worked.count} pieces"]
    if result.amiss:
        return f"{'. '.join(said)}; the rest is counted once they have their colours."
    short = int(worked.colours["short"].sum())
    lacking = [f"{short} spare{'s' * (short > 1)} lacking"] if short else []
    total = result.bought.iloc[-1]
    cost = [f"cost {total.cost:.2f} {worked.plan.currency}".rstrip() + " of what is priced"] if total.cost else []
    tiles = f"{int(worked.colours['to_buy'].sum())} tiles to buy"
    return f"{', '.join(['. '.join(said), tiles, *lacking, *cost])}."
