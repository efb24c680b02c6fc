"""What each maker does from clean glass to the way home, and what it waits for: the slowest third and the longest waits count."""

__all__ = ["CUT", "HOME", "by_adults", "steps_in_class", "tasks_of"]

import math
from collections.abc import Sequence
from dataclasses import replace

from mosaiclib import reference
from mosaiclib.adhesive.cure import Wait
from mosaiclib.course.class_file import Class
from mosaiclib.course.groups import Group, children_in
from mosaiclib.course.hands import slow
from mosaiclib.job.days import FILL, HAZE, HOUR, LOOK, USE, Step, hardens, steps_of
from mosaiclib.job.overview import plan_waits
from mosaiclib.job.schedule import Task
from mosaiclib.job.worktime import Effort

HOME, CUT = "look over and pack", "cut the pieces"


def steps_in_class(klass: Class, group: Group) -> list[Step]:
    """Return the steps of one maker of a group; with children, gluing and filling are done for all of them by the adults."""
    found = [_of_class(step, group) for step in steps_of(group.worked) if not step.name.endswith(f": {USE}")]
    if not group.own_cutting.usual:
        found = [_uncut(step) for step in found if step.name != CUT]
    if children_in(klass):
        found = [_by_adults(step, klass) for step in found]
    return [*found, *_homeward(group, found)]


def _of_class(step: Step, group: Group) -> Step:
    """Return a step with what is left of the cutting."""
    return replace(step, work=group.own_cutting) if step.name == CUT else step


def _uncut(step: Step) -> Step:
    """Return a step where all is cut ahead: what waited for the cutting alone waits for clean glass, so that no step is torn."""
    after = {name: wait for name, wait in step.after.items() if name != CUT}
    clean = f"{step.name.partition(': ')[0]}: clean and degrease"
    return replace(step, after=after or ({} if step.name == clean else {clean: Wait(0.0, 0.0, 0.0)}))


def _by_adults(step: Step, klass: Class) -> Step:
    """Return a step that adults do for every learner of the class: all of it, shared by teacher and helpers, at a practised hand."""
    if not by_adults(step.name):
        return step
    faster = 1.0 if klass.hand == "practised" else reference.value("worktime", "practised hand").number
    times = faster * max(klass.learners / (1 + klass.helpers), 1.0)
    return replace(step, work=step.work.times(times))


def by_adults(name: str) -> bool:
    """Whether a step is an adult's in a class of children."""
    return ": glue" in name or name.endswith(f": {FILL}")


def _homeward(group: Group, steps: Sequence[Step]) -> list[Step]:
    """Return the last steps of each piece of glass: looked over and packed once it may be carried."""
    waits, hard = plan_waits(group.worked), hardens(group.worked)
    record = reference.value("course", "packing")
    work = Effort(record.band[0], record.number, record.band[1])
    found = []
    for piece in group.worked.pieces:
        mine = [step.name for step in steps if step.name.startswith(f"{piece.name}: ")]
        glue = [name for name in mine if name.startswith(f"{piece.name}: glue")][-1]
        fill = next(name for name in mine if f": {FILL}" in name)
        haze = next(name for name in mine if name.endswith(HAZE))
        after = {glue: waits["handle"], fill: hard, haze: Wait(0.0, 0.0, 0.0)}
        found.append(Step(f"{piece.name}: {HOME}", work, after, LOOK["moist"]))
    return found


def tasks_of(steps: Sequence[Step], share: float = 1.0) -> list[Task]:
    """Return steps as tasks: the work of the slowest third, the longest of each wait, since a class cannot wait for one piece [min].

    `share`: how much of the usual number of pieces of tile there is, 0 to 1.
    """
    longest = reference.value("worktime", "part of a task").number

    def task(step: Step) -> Task:
        work = math.ceil(slow(step.work) * share - 1e-9)
        waits = {before: math.ceil(HOUR * wait.most - 1e-9) for before, wait in step.after.items()}
        return Task(step.name, work, waits, 1 if step.whole else max(1, math.ceil(work / longest)))

    return [task(step) for step in steps]
