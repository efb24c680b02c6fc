"""Lesson 07: the class on the page, which all its parts show: from the class file to settings, and back."""

__all__ = [
    "Result",
    "Settings",
    "class_of",
    "compute",
    "counted",
    "quick",
    "refused",
    "settings_of",
    "start",
    "with_piece",
]

from collections.abc import Sequence
from dataclasses import dataclass, make_dataclass
from typing import Any

from mosaiclib.course import Class, Course, Prepared, prepare, with_sessions
from mosaiclib.course.groups import Group
from mosaiclib.errors import MosaicError
from mosaiclib.job import Plan
from mosaiclib.lesson.controls import put_into, read_number, values_in
from mosaiclib.lessons.w07_controls import ALL
from mosaiclib.reference import DATA

# what the teacher can set, a field a control; what the page does not show is kept in the class `base`
Settings = make_dataclass(
    "Settings",
    [("base", Class), *(control.name for control in ALL)],
    frozen=True,
    namespace={"__module__": __name__},
)


def start() -> Settings:
    """Return the settings for the example class."""
    return settings_of(Class.load(DATA / "example_class.json"))


def quick() -> Settings:
    """Return the settings for a class with two small panes: quick to work out, to try every control."""
    klass = Class.load(DATA / "example_class.json")
    record, small = klass.model_dump(mode="json"), {"kind": "pane", "width": 110.0, "height": 60.0}
    plan = record["variants"][0]["plan"]
    panes = [plan | {"name": name, "glass": [small | {"name": name}]} for name in ("window panel", "garden panel")]
    record["variants"] = [{"makers": count, "plan": pane} for count, pane in zip((4, 2), panes, strict=True)]
    return settings_of(Class.made(**record))


def settings_of(klass: Class, shown: str = "") -> Settings:
    """Return the page's settings for a class; `class_of` gives it back."""
    part, names = klass.sessions, [variant.plan.name for variant in klass.variants]
    return Settings(
        base=klass,
        makers=tuple((variant.plan.name, f"{variant.makers}") for variant in klass.variants),
        hours=tuple((one.day, one.begin, one.end) for one in part.sittings),
        off=", ".join(part.holidays),
        cancelled=", ".join(part.cancelled),
        owned=_told(klass.owns),
        prices=_told(klass.prices),
        shown=shown if shown in names else names[0],
        **values_in(klass.model_dump(mode="json"), ALL),
    )


def _told(amounts: dict[str, float]) -> tuple[tuple[str, str], ...]:
    return tuple((name, f"{amount:g}") for name, amount in amounts.items())


def class_of(s: Settings) -> Class:
    """Return the checked class that the page's settings stand for."""
    record = s.base.model_dump(mode="json")
    put_into(record, ALL, s)
    plans = {variant["plan"]["name"]: variant["plan"] for variant in record["variants"]}
    record["variants"] = [{"makers": count, "plan": plans[name]} for name, count in _makers(s, plans)]
    record["sessions"] |= {
        "sittings": [dict(zip(("day", "begin", "end"), (*line, "", "")[:3], strict=True)) for line in s.hours],
        "holidays": _listed(s.off),
        "cancelled": _listed(s.cancelled),
    }
    record["owns"], record["prices"] = (
        _amounts(lines, what) for lines, what in ((s.owned, "number"), (s.prices, "price"))
    )
    return Class.made(**record)


def _makers(s: Settings, plans: dict[str, Any]) -> list[tuple[str, int]]:
    """Read the table of pieces and their makers; a piece whose line was emptied is out of the class."""
    found = []
    for name, typed in ((*line, "", "")[:2] for line in s.makers):
        if name not in plans:
            raise MosaicError(
                f"There is no piece called {name or 'nothing'} in this class; there are: {', '.join(plans)}. Add one that "
                "you have planned in workbook 06 under Add a piece."
            )
        count = read_number(typed or "0", f"number who make the {name}")
        if count != int(count) or count < 0:
            raise MosaicError(f"The number who make the {name} must be a whole number; it is {count:g}.")
        found.append((name, int(count)))
    return found


def _listed(words: str) -> list[str]:
    return [one.strip() for one in words.split(",") if one.strip()]


def _amounts(lines: Sequence[Sequence[str]], what: str) -> dict[str, float]:
    """Read lines of a thing and a number."""
    found = {}
    for name, typed in ((*line, "", "")[:2] for line in lines):
        if not name:
            raise MosaicError("Each line needs the name of a thing, as the list of what to buy has it.")
        found[name] = read_number(typed or "0", f"{what} of {name}")
    return found


def with_piece(s: Settings, plan: Plan) -> Settings:
    """Return the settings with one more piece, which one learner makes; one of the same name is put in its place."""
    klass = class_of(s)
    record = klass.model_dump(mode="json")
    makers = next((one["makers"] for one in record["variants"] if one["plan"]["name"] == plan.name), 1)
    rest = [one for one in record["variants"] if one["plan"]["name"] != plan.name]
    record["variants"] = [*rest, {"makers": max(makers, 1), "plan": plan.model_dump(mode="json")}]
    return settings_of(Class.made(**record), plan.name)


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings: all that is prepared, and the class with its sessions, or why there are none (`amiss`)."""

    settings: Settings
    ready: Prepared
    course: Course | None
    amiss: MosaicError | str = ""

    @property
    def shown(self) -> Group:
        """The group whose kit and steps are in the picture; the first where nobody makes the one that was chosen."""
        groups = self.ready.groups
        return next((one for one in groups if one.name == self.settings.shown), groups[0])


def compute(s: Settings) -> Result:
    """Plan the class; where its sessions cannot hold it, all but them.

    >>> len(compute(start()).course.sessions)
    5
    """
    ready = prepare(class_of(s))
    try:
        return Result(s, ready, with_sessions(ready))
    except MosaicError as wrong:
        return Result(s, ready, None, wrong)


def counted(result: Result) -> str:
    """Tell how many learners there are, and what a place costs."""
    klass, fee = result.ready.klass, result.ready.fee
    cost = f"a place costs {fee.each:.2f} {klass.currency}".rstrip()
    return f"{klass.learners} learners at {len(result.ready.tables)} tables; {cost}"


def refused(result: Result) -> str:
    """Say in the headline that the sessions do not hold the class; the sentence under it says why and what does."""
    return (
        "These sessions do not hold this class; the yellow sentence says why, and what does. " if result.amiss else ""
    )
