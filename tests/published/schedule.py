"""A textbook's critical path: earliest starts, slack and the length of the project as they are printed."""

from mosaiclib.job.schedule import Task, schedule, slack

from .records import Check, listed

# activity: weeks, immediate predecessors
PROJECT = {
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
TASKS = [Task(name, weeks, dict.fromkeys(before, 0)) for name, (weeks, before) in PROJECT.items()]
EARLIEST = dict(
    zip(PROJECT, ["0", "2", "6", "16", "16", "20", "22", "29", "16", "25", "33", "33", "38", "38"], strict=True)
)
SLACK = dict.fromkeys(PROJECT, "0") | {"D": "4", "G": "4", "H": "4", "I": "2", "K": "1", "M": "4"}


def planned():
    """The project with hands enough."""
    return schedule(TASKS, hands=len(TASKS) + 1)


CHECKS: tuple[Check, ...] = listed(
    "critical path",
    "F. S. Hillier and G. J. Lieberman, Introduction to Operations Research",
    "chapter on project management with PERT/CPM: the Reliable Construction Co. project",
    "from memory",
    "weeks",
    [
        ("length of the project", "44", lambda: planned().end),
        *((f"earliest start of {one}", at, lambda one=one: planned().begin_of(one)) for one, at in EARLIEST.items()),
        *((f"slack of {one}", weeks, lambda one=one: slack(TASKS)[one]) for one, weeks in SLACK.items()),
    ],
)
