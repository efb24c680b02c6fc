"""Schedules against trying every order, against hand-made calendars, and what must hold of any."""

from itertools import permutations

import numpy as np
import pytest

from mosaiclib.errors import MosaicError
from mosaiclib.job.schedule import Task, schedule, slack

DAY = 1440
EVENINGS = [(day * DAY + 1110, day * DAY + 1230) for day in range(60)]  # 18:30 to 20:30


def drawn(seed, count=6):
    """Tasks with waits after some of those before them, none longer than an evening."""
    draw = np.random.default_rng(seed)
    return [
        Task(
            f"t{at}",
            int(draw.integers(15, 100)),
            {f"t{one}": int(draw.choice([0, 0, 60, DAY])) for one in range(at) if draw.random() < 0.3},
        )
        for at in range(count)
    ]


def end_of_order(tasks, order, hours):
    """The end when tasks are taken in an order and each is put into the first hours free from then on, by minutes."""
    busy, ends = [], {}
    for at in order:
        task = tasks[at]
        if any(before not in ends for before in task.after):
            return None
        start = max([hours[0][0], *(ends[before] + wait for before, wait in task.after.items())])
        while not any(low <= start and start + task.work <= high for low, high in hours) or any(
            low < start + task.work and high > start for low, high in busy
        ):
            start += 1
        busy.append((start, start + task.work))
        ends[task.name] = start + task.work
    return max(ends.values())


def holds(found, tasks, hours, hands):
    """Assert what must hold of any schedule."""
    for task in tasks:
        mine = [one for one in found.placed if one.task == task.name]
        assert sum(one.end - one.begin for one in mine) == task.work and len(mine) == task.parts
        assert all(any(low <= one.begin and one.end <= high for low, high in hours) for one in mine)
        for before, wait in task.after.items():
            assert found.begin_of(task.name) >= found.end_of(before) + wait
    for at in sorted({one.begin for one in found.placed}):
        assert sum(one.begin <= at < one.end for one in found.placed) <= hands


@pytest.mark.parametrize("seed", range(10))
def test_one_pair_of_hands_against_every_order(seed):
    tasks, hours = drawn(seed), EVENINGS[:20]
    found = schedule(tasks, hours)
    holds(found, tasks, hours, 1)
    orders = (end_of_order(tasks, order, hours) for order in permutations(range(len(tasks))))
    assert found.proven and found.end == min(end for end in orders if end is not None)


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("hands", [2, 3])
def test_more_hands_never_take_longer(seed, hands):
    tasks = drawn(seed, 12)
    found = schedule(tasks, EVENINGS, hands=hands)
    holds(found, tasks, EVENINGS, hands)
    assert found.end <= schedule(tasks, EVENINGS, hands=hands - 1).end


def test_what_can_be_cut_is_and_what_cannot_waits():
    # two evenings of 2 h: 3 h of cutting in twelve parts go over both, 90 minutes of filling do not fit the second's rest
    cut, fill = Task("cut", 180, parts=12), Task("fill", 90, {"cut": 0})
    found = schedule([cut, fill], EVENINGS)
    assert found.end_of("cut") == EVENINGS[1][0] + 60
    assert found.begin_of("fill") == EVENINGS[2][0]


def test_what_does_not_fit_is_refused_with_the_reason():
    with pytest.raises(MosaicError, match=r"fill takes 2 h 10 min in one go .* the longest sitting has 2 h 00 min"):
        schedule([Task("fill", 130)], EVENINGS)
    with pytest.raises(MosaicError, match="no hours to work in"):
        schedule([Task("fill", 10)], [])
    with pytest.raises(MosaicError, match="do not reach to the end"):
        schedule([Task("cut", 300, parts=30)], EVENINGS[:2])


def test_what_is_done_late_moves_the_rest():
    glue, fill = Task("glue", 60), Task("fill", 90, {"glue": DAY})
    planned = schedule([glue, fill], EVENINGS)
    assert (
        planned.begin_of("fill") == EVENINGS[2][0]
    )  # a day after 19:30 is too late for 90 minutes of the next evening
    late = schedule([glue, fill], EVENINGS, done={"glue": EVENINGS[4][1]}, begin=EVENINGS[4][1])
    assert late.begin_of("fill") == EVENINGS[6][0] and late.end_of("glue") == EVENINGS[4][1]
    with pytest.raises(MosaicError, match="glue comes before it"):
        schedule([glue, fill], EVENINGS, done={"fill": EVENINGS[2][1]})


def test_slack_in_a_calendar_is_what_can_be_lost():
    tasks = [Task("a", 100), Task("b", 30), Task("c", 100, {"a": 0, "b": 0})]
    found = slack(tasks, EVENINGS)
    assert found == {"a": 20, "b": 90, "c": 0}
    # b may begin as late as its slack says, and not a minute later
    end = schedule(tasks, EVENINGS, hands=9).end
    for more, same in ((0, True), (1, False)):
        begin = EVENINGS[0][0] + found["b"] + more
        held = [tasks[0], Task("b", 30, {"wait": begin - EVENINGS[0][0]}), tasks[2], Task("wait", 0)]
        assert (schedule(held, EVENINGS, hands=9, begin=EVENINGS[0][0]).end == end) is same


def test_circles_and_strangers_are_refused():
    with pytest.raises(MosaicError, match="circle"):
        schedule([Task("a", 1, {"b": 0}), Task("b", 1, {"a": 0})])
    with pytest.raises(MosaicError, match="no task called"):
        schedule([Task("a", 1, {"x": 0})])
    with pytest.raises(MosaicError, match="same name"):
        schedule([Task("a", 1), Task("a", 2)])
    with pytest.raises(MosaicError, match="work of a"):
        Task("a", -1)
