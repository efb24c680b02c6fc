"""Tasks that wait for each other, put into the hours there are: a plain forward pass, and the exact solver where hands compete.

| symbol | here | meaning |
|---|---|---|
| ES, EF | begin, end | earliest start and finish of a task, as placed [min] |
| LS, LF | latest | latest start and finish that do not move the end [min] |

All times are whole minutes.
"""

__all__ = ["ALWAYS", "Placed", "Schedule", "Task", "schedule", "slack"]

import math
from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from graphlib import CycleError, TopologicalSorter
from heapq import heapify, heappop, heappush

import numpy as np

from mosaiclib.colour.solve import solver_for
from mosaiclib.errors import MosaicError, brief, whole_number

ORDERS, SPREAD = 12, 0.3  # how many orders are tried, and how far they lie apart
HOUR, FEW = 60, 30  # [min], jobs: with more of them the solver is not asked for less than an hour
WORK = 0.2  # the solver's own units, about a second each, so that every machine stops at the same place
NEVER = 10**9
ALWAYS = ((-NEVER, NEVER),)  # the hours of a calendar without an end

Hours = Sequence[tuple[int, int]]


@dataclass(frozen=True)
class Task:
    """Something to do: its name, work [min], and how long it waits after the end of each task before it [min].

    It can be stopped after each of its equal `parts`, 1 where it is done in one go; without work it needs no hours.
    """

    name: str
    work: int
    after: Mapping[str, int] = field(default_factory=dict)
    parts: int = 1

    def __post_init__(self) -> None:
        whole_number(self.work, f"work of {self.name}")
        whole_number(self.parts, f"parts of {self.name}", least=1, greatest=100_000)
        for before, wait in self.after.items():
            whole_number(wait, f"wait of {self.name} after {before}", greatest=NEVER)

    @property
    def pieces(self) -> list[int]:
        """Its parts [min]."""
        each, more = divmod(self.work, self.parts)
        return [each + (part < more) for part in range(self.parts)] if self.work else [0]


@dataclass(frozen=True)
class Placed:
    """A part of a task in its place [min]."""

    task: str
    part: int
    begin: int
    end: int


@dataclass(frozen=True)
class Schedule:
    """Parts of tasks in the order of their begin, and a bound: no order ends earlier than that [min]."""

    placed: tuple[Placed, ...]
    bound: int = -NEVER

    @property
    def end(self) -> int:
        """When all is done [min]."""
        return max((one.end for one in self.placed), default=0)

    @property
    def proven(self) -> bool:
        """Whether no order ends earlier."""
        return self.bound >= self.end

    def begin_of(self, task: str) -> int:
        """When a task begins [min]."""
        return min(one.begin for one in self.placed if one.task == task)

    def end_of(self, task: str) -> int:
        """When a task is done [min]."""
        return max(one.end for one in self.placed if one.task == task)


def schedule(
    tasks: Sequence[Task],
    hours: Hours = ALWAYS,
    *,
    hands: int = 1,
    begin: int = 0,
    done: Mapping[str, int] | None = None,
    search: bool = True,
) -> Schedule:
    """Return the earliest end of tasks in the hours of a calendar, begin and end of each [min], not before `begin`.

    `hands`: how many tasks can be done at once; `done`: tasks that are finished, and when. The forward pass takes the task
    with the longest way to the end first, then a few orders near that. Where none of them is as early as the bound of the
    hours, the solver looks for a better one (`search`), and stops with the best so far.

    Examples
    --------
    >>> glue, fill = Task("glue", 60), Task("fill", 90, {"glue": 1440})
    >>> found = schedule([glue, fill], [(0, 120), (1440, 1560), (2880, 3000)])
    >>> [(one.task, one.begin, one.end) for one in found.placed]
    [('glue', 0, 60), ('fill', 2880, 2970)]
    """
    whole_number(hands, "number of hands", least=1, greatest=1000)
    finished = dict(done or {})
    jobs = _jobs(tasks, finished)
    _check(jobs, hours)
    open_ = sorted((max(low, begin), high) for low, high in hours if high > begin)
    free = _pass(jobs, open_, len(jobs) + 1, begin)
    if hands > len(jobs):
        return Schedule(free.placed, free.end)
    bound = _bound(jobs, open_, hands, begin, free)
    found = min(_orders(jobs, open_, hands, begin, bound), key=lambda one: one.end)
    apart = found.end - bound
    if apart > 0 and search and (apart >= HOUR or len(jobs) <= FEW):
        found, bound = _searched(jobs, open_, hands, begin, found, bound, free)
    return Schedule(found.placed, bound)


def _orders(jobs: Sequence["_Job"], hours: Hours, hands: int, begin: int, bound: int) -> Iterator[Schedule]:
    """Yield forward passes, the longest tail first, then with tails drawn longer by up to a share, until one is at the bound."""
    draw, tails = np.random.default_rng(0), np.array(_tails(jobs), dtype=float)
    for turn in range(ORDERS):
        more = SPREAD * draw.random(len(jobs)) if turn else 0.0
        found = _pass(jobs, hours, hands, begin, (tails * (1 + more)).tolist())
        yield found
        if found.end <= bound:
            return


def _bound(jobs: Sequence["_Job"], hours: Hours, hands: int, begin: int, free: Schedule) -> int:
    """Return a time before which no order ends [min].

    For each time r the jobs that cannot begin before it, taken by falling tail as if they could be cut anywhere: after the
    work of any of them, spread over all hands, the least tail among them is still to come (Jackson's preemptive bound, in
    the hours of a calendar; Carlier, European Journal of Operational Research 11, 1982, from memory).
    """
    heads = np.array([one.begin for _, one in _by_job(jobs, free)])
    work = np.array([0 if job.end is not None else job.work for job in jobs])
    after = np.array(_tails(jobs)) - [job.work for job in jobs]
    low, high = np.array(hours).T
    room = np.concatenate([[0], np.cumsum((high - low) * hands)])
    ends, taken = np.array(hours).ravel(), np.stack([room[:-1], room[1:]], axis=1).ravel()
    best = free.end
    for r in np.unique(heads[work > 0]):
        mine = np.flatnonzero((heads >= r) & (work > 0))
        mine = mine[np.argsort(-after[mine], kind="stable")]
        done = np.interp(r, ends, taken) + np.cumsum(work[mine])
        sitting = np.clip(np.searchsorted(room, done, side="left"), 1, len(low)) - 1
        best = max(best, math.ceil((low[sitting] + (done - room[sitting]) / hands + after[mine]).max() - 1e-6))
    return best


def slack(
    tasks: Sequence[Task],
    hours: Hours = ALWAYS,
    *,
    planned: Schedule | None = None,
    done: Mapping[str, int] | None = None,
) -> dict[str, int]:
    """Return how much later each task can begin without moving the end, with hands enough [min]; 0 on the critical path.

    The same forward pass run backwards from the end, as in the critical path method; from the begins and the end of a
    schedule that is `planned`, with what is `done` in it, where hands compete.

    >>> slack([Task("a", 4), Task("b", 1), Task("c", 2, {"a": 0, "b": 0})])
    {'a': 0, 'b': 3, 'c': 0}
    """
    jobs = _jobs(tasks, done or {})
    low = 0 if tuple(hours) == ALWAYS else min(high for high, _ in hours)
    open_ = sorted((max(begin, low), end) for begin, end in hours)
    forward = planned or _pass(jobs, open_, len(jobs) + 1, low)
    after: dict[int, list[tuple[int, int]]] = {at: [] for at in range(len(jobs))}
    for at, job in enumerate(jobs):
        for before, wait in job.after:
            after[before].append((at, wait))
    turned = [
        _Job(job.task, job.part, job.work, tuple(after[at]), None if job.end is None else job.work - job.end)
        for at, job in enumerate(jobs)
    ]
    back = [(-min(high, forward.end), -begin) for begin, high in reversed(open_) if begin < forward.end]
    late = _pass(turned, back, len(jobs) + 1, -forward.end)
    first = {job.task: -one.end for job, one in _by_job(turned, late) if job.part == 0}
    return {task.name: first[task.name] - forward.begin_of(task.name) for task in tasks}


@dataclass(frozen=True)
class _Job:
    """A part of a task, with the numbers of the jobs before it and the waits after them [min]; `end`: when it was done."""

    task: str
    part: int
    work: int
    after: tuple[tuple[int, int], ...]
    end: int | None = None


def _jobs(tasks: Sequence[Task], done: Mapping[str, int]) -> list[_Job]:
    """Return the parts of tasks, each after those that it waits for."""
    known = {task.name: task for task in tasks}
    if len(known) < len(tasks):
        raise MosaicError("Two tasks have the same name; give each its own.")
    unknown = next(
        (name for name in [*done, *(one for task in tasks for one in task.after)] if name not in known), None
    )
    if unknown is not None:
        raise MosaicError(f"There is no task called {brief(unknown)} in this plan.")
    try:
        order = list(TopologicalSorter({task.name: list(task.after) for task in tasks}).static_order())
    except CycleError as wrong:
        raise MosaicError(f"Tasks wait for each other in a circle: {', '.join(wrong.args[1])}.") from None
    jobs: list[_Job] = []
    last: dict[str, int] = {}
    for name in order:
        task = known[name]
        early = next((before for before in task.after if name in done and before not in done), None)
        if early is not None:
            raise MosaicError(
                f"{name} is ticked, but {early} comes before it and is not. Tick that too, or take the tick away."
            )
        before = tuple((last[one], wait) for one, wait in task.after.items())
        for part, work in enumerate(task.pieces):
            jobs.append(_Job(name, part, work, before, done.get(name)))
            before = ((len(jobs) - 1, 0),)
        last[name] = len(jobs) - 1
    return jobs


def _check(jobs: Sequence[_Job], hours: Hours) -> None:
    """Refuse what can never fit."""
    if not hours:
        raise MosaicError("There are no hours to work in: name at least one sitting that is no holiday.")
    longest = max(high - low for low, high in hours)
    for job in jobs:
        if job.work > longest and job.end is None:
            raise MosaicError(
                f"{job.task} takes {_told(job.work)} in one go and cannot be stopped half way; the longest sitting has "
                f"{_told(longest)}. Find a longer sitting for it, or a second pair of hands that halves it."
            )


def _told(minutes: int) -> str:
    return f"{minutes} minutes" if minutes < 120 else f"{minutes // 60} h {minutes % 60:02d} min"


def _tails(jobs: Sequence[_Job]) -> list[int]:
    """Return the longest way from the begin of each job to the end, with its waits [min]."""
    tail = [job.work for job in jobs]
    for at in reversed(range(len(jobs))):
        for before, wait in jobs[at].after:
            tail[before] = max(tail[before], jobs[before].work + wait + tail[at])
    return tail


def _pass(jobs: Sequence[_Job], hours: Hours, hands: int, begin: int, tails: Sequence[int] | None = None) -> Schedule:
    """Put every job into the first hours that are free after what it waits for; of several ready ones the longest tail first."""
    ends: dict[int, int] = {}
    found: list[Placed] = []
    desk = _Desk(hours, hands)
    rank = tails or [0] * len(jobs)
    left = [len(job.after) for job in jobs]
    following: list[list[int]] = [[] for _ in jobs]
    for at, job in enumerate(jobs):
        for before, _ in job.after:
            following[before].append(at)
    ready = [(-rank[at], at) for at, count in enumerate(left) if not count]
    heapify(ready)
    while ready:
        at = heappop(ready)[1]
        job = jobs[at]
        early = max([begin, *(ends[before] + wait for before, wait in job.after)])
        if job.end is not None:
            start, end = job.end - job.work, job.end
        else:
            start = desk.place(job, early) if job.work else early
            end = start + job.work
        ends[at] = end
        found.append(Placed(job.task, job.part, start, end))
        for after in following[at]:
            left[after] -= 1
            if not left[after]:
                heappush(ready, (-rank[after], after))
    return Schedule(tuple(sorted(found, key=lambda one: (one.begin, one.end, one.task, one.part))))


class _Desk:
    """The hours of a calendar as they fill up: in each sitting what is busy, and with how many hands."""

    def __init__(self, hours: Hours, hands: int) -> None:
        self.hours, self.hands = list(hours), hands
        self.ends = [high for _, high in self.hours]
        self.busy: list[list[tuple[int, int]]] = [[] for _ in self.hours]

    def place(self, job: _Job, early: int) -> int:
        """Take the first hours from a time on in which a job can be done in one go, and return their begin [min]."""
        for at in range(bisect_right(self.ends, early), len(self.hours)):
            low, high = self.hours[at]
            busy = self.busy[at]
            for start in sorted({max(low, early), *(end for _, end in busy if end > early)}):
                if start + job.work <= high and self._free(busy, start, start + job.work):
                    if self.hands < NEVER:
                        busy.append((start, start + job.work))
                    return start
        raise MosaicError(
            f"The hours that there are do not reach to the end of the work: {job.task} finds no place. Add sittings, "
            f"or take holidays out."
        )

    def _free(self, busy: Sequence[tuple[int, int]], start: int, end: int) -> bool:
        """Whether a pair of hands is free all the time."""
        over = [one for one in busy if one[0] < end and one[1] > start]
        if len(over) < self.hands:
            return True
        return all(
            sum(one[0] <= at < one[1] for one in over) < self.hands
            for at in (start, *(a for a, _ in over if a > start))
        )


def _searched(
    jobs: Sequence[_Job], hours: Hours, hands: int, begin: int, best: Schedule, bound: int, free: Schedule
) -> tuple[Schedule, int]:
    """Return the earliest schedule that the solver finds, the best so far where it stops, and the bound that it proved."""
    from ortools.sat.python import cp_model  # heavy, and seldom wanted

    early = {(one.task, one.part): one.begin for one in free.placed}
    model, starts, spans = cp_model.CpModel(), [], []
    for job in jobs:
        low = early[job.task, job.part]
        domain = _domain(job, hours, low, best.end)
        start = model.new_int_var_from_domain(cp_model.Domain.from_intervals(domain), "")
        starts.append(start)
        if job.work and job.end is None:
            spans.append(model.new_fixed_size_interval_var(start, job.work, ""))
        for before, wait in job.after:
            if job.end is None:
                model.add(start >= starts[before] + jobs[before].work + wait)
    if hands == 1:
        model.add_no_overlap(spans)
    else:
        model.add_cumulative(spans, [1] * len(spans), hands)
    last = model.new_int_var(bound, best.end, "")
    model.add_max_equality(last, [start + job.work for start, job in zip(starts, jobs, strict=True)])
    for start, (_, one) in zip(starts, _by_job(jobs, best), strict=True):
        model.add_hint(start, one.begin)
    model.minimize(last)
    solver = solver_for(0, WORK)
    status = solver.solve(model)
    proved = max(bound, math.ceil(solver.best_objective_bound - 1e-6))
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return best, bound
    # put in the order that was found, so that nothing waits without need
    order = [-solver.value(start) for start in starts]
    return min((best, _pass(jobs, hours, hands, begin, order)), key=lambda one: one.end), proved


def _domain(job: _Job, hours: Hours, early: int, late: int) -> list[list[int]]:
    """Return where a job may begin [min]."""
    if job.end is not None:
        return [[job.end - job.work] * 2]
    if not job.work:
        return [[early, late]]
    ends = ((max(low, early), min(high, late) - job.work) for low, high in hours)
    return [[low, high] for low, high in ends if low <= high]


def _by_job(jobs: Sequence[_Job], found: Schedule) -> list[tuple[_Job, Placed]]:
    """Return each job with its place, in the order of the jobs."""
    places = {(one.task, one.part): one for one in found.placed}
    return [(job, places[job.task, job.part]) for job in jobs]
