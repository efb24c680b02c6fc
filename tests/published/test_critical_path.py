"""A textbook's critical path: earliest and latest starts, slack and the length of the project as they are printed.

F. S. Hillier and G. J. Lieberman, Introduction to Operations Research (7th and later editions), chapter on project management with
PERT/CPM: the Reliable Construction Co. project, durations in weeks (from memory).
"""

from mosaiclib.job.schedule import Task, schedule, slack

PROJECT = {  # activity: weeks, immediate predecessors
    "A": (2, ""),
    "B": (4, "A"),
    "C": (10, "B"),
    "D": (6, "C"),
    "E": (4, "C"),
    "F": (5, "E"),
    "G": (7, "D"),
    "H": (9, "EG"),
    "I": (7, "C"),
    "J": (8, "FI"),
    "K": (4, "J"),
    "L": (5, "J"),
    "M": (2, "H"),
    "N": (6, "KL"),
}
EARLIEST = {
    "A": 0,
    "B": 2,
    "C": 6,
    "D": 16,
    "E": 16,
    "F": 20,
    "G": 22,
    "H": 29,
    "I": 16,
    "J": 25,
    "K": 33,
    "L": 33,
    "M": 38,
    "N": 38,
}
SLACK = dict.fromkeys("ABCEFJLN", 0) | {"D": 4, "G": 4, "H": 4, "I": 2, "K": 1, "M": 4}
TASKS = [Task(name, weeks, dict.fromkeys(before, 0)) for name, (weeks, before) in PROJECT.items()]


def test_times_and_length_as_printed():
    found = schedule(TASKS, hands=len(TASKS) + 1)
    assert found.end == 44
    assert {name: found.begin_of(name) for name in PROJECT} == EARLIEST


def test_slack_and_critical_path_as_printed():
    assert slack(TASKS) == SLACK
