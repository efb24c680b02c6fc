"""A class planned: kits, tables, portions, what to buy, and sessions; and what cannot be, in sentences."""

__all__ = ["Course", "Prepared", "plan_class", "prepare", "with_sessions"]

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from mosaiclib.course.class_file import Class
from mosaiclib.course.groups import Group, children_in, groups_of
from mosaiclib.course.hands import least_adults
from mosaiclib.course.kits import Kit, Portion, Table, kits_of, portions_of, seated
from mosaiclib.course.sessions import Between, Session, between_of, sessions_of
from mosaiclib.course.shopping import Fee, Line, fee_of, shopping_of
from mosaiclib.errors import instance
from mosaiclib.job.sittings import local, read_zone


@dataclass(frozen=True, eq=False)
class Prepared:
    """A class without its days: groups, tables, kits, what is weighed, and what to buy."""

    klass: Class
    groups: tuple[Group, ...]
    tables: tuple[Table, ...]
    kits: tuple[Kit, ...]
    portions: tuple[Portion, ...]
    shopping: tuple[Line, ...]

    @property
    def fee(self) -> Fee:
        """What a place costs."""
        return fee_of(self.klass, self.groups, self.shopping)

    @property
    def notes(self) -> tuple[str, ...]:
        """What the teacher should know, in sentences."""
        return tuple(_notes(self))

    def group_of(self, learner: int) -> Group:
        """Return the group of a learner by number."""
        return next(group for group in self.groups if learner in group.makers)

    def kit_of(self, learner: int) -> Kit:
        """Return the kit of a learner by number."""
        return next(kit for kit in self.kits if learner in kit.makers)

    def words(self, minutes: int, clock: bool = True) -> str:
        """Tell a time [min since 1970] as the clock on the wall has it."""
        when = local(minutes, read_zone(self.klass.sessions.zone))
        return f"{when:%a} {when.day} {when:%b %Y}" + f", {when:%H:%M}" * clock


@dataclass(frozen=True, eq=False)
class Course(Prepared):
    """A class planned: what is prepared, and its sessions."""

    sessions: tuple[Session, ...]

    @cached_property
    def between(self) -> tuple[Between, ...]:
        """What the teacher does before, between and after the sessions."""
        return between_of(self.klass, self.groups, self.sessions)


def prepare(klass: Class) -> Prepared:
    """Return all of a class but its sessions.

    >>> from mosaiclib.reference import DATA
    >>> ready = prepare(Class.load(DATA / "example_class.json"))
    >>> len(ready.tables), all(line.left >= -1e-9 for line in ready.shopping)
    (3, True)
    """
    groups = groups_of(instance(klass, Class, "class"))
    tables, kits = seated(klass, groups), kits_of(groups)
    portions = portions_of(tables, groups)
    return Prepared(klass, groups, tables, kits, portions, shopping_of(klass, groups, kits, tables, portions))


def plan_class(klass: Class) -> Course:
    """Return a class planned, or refuse it with the reason and the nearest plans that work.

    Examples
    --------
    >>> from mosaiclib.reference import DATA
    >>> course = plan_class(Class.load(DATA / "example_class.json"))
    >>> len(course.sessions), [len(kit.makers) for kit in course.kits]
    (5, [9, 3])
    """
    return with_sessions(prepare(klass))


def with_sessions(ready: Prepared) -> Course:
    """Return a class that is prepared with its sessions, or refuse them."""
    parts = (ready.klass, ready.groups, ready.tables, ready.kits, ready.portions, ready.shopping)
    return Course(*parts, sessions_of(ready.klass, ready.groups))


def _notes(ready: Prepared) -> Iterator[str]:
    klass, children = ready.klass, children_in(ready.klass)
    yield from dict.fromkeys(words for group in ready.groups for words in group.worked.warnings)
    lacking = least_adults(klass.learners, children) - 1 - klass.helpers
    if lacking > 0:
        yield (
            f"{lacking} helper{'s' * (lacking > 1)} lacking: {klass.learners} {'children' if children else 'learners'} need "
            f"{least_adults(klass.learners, children)} adults where glass is cut (common practice; local rules first)."
        )
    if children:
        yield (
            f"The youngest is {klass.youngest}: an adult nips, grinds, glues and mixes, and all pieces are cut ahead; cut edges "
            "are handled with gloves."
        )
