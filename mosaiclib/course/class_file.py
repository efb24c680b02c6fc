"""The class file: who comes when, what each makes, what the house owns; nothing personal of a learner."""

__all__ = ["AHEAD", "MOST_LEARNERS", "Class", "FeePart", "SessionsPart", "VariantPart"]

from typing import Annotated, Any, ClassVar, Literal

from pydantic import BeforeValidator, Field, model_validator

from mosaiclib.drawing import PAPERS
from mosaiclib.errors import MosaicError
from mosaiclib.job.breakage import HANDS
from mosaiclib.job.plan import HoursPart, Plan
from mosaiclib.job.saved import Name, Saved, Text
from mosaiclib.job.saved import Part as _Part
from mosaiclib.job.sittings import day_of

AHEAD = ("nothing", "blanks", "all pieces")  # what the house cuts before the class, from least to most
MOST_LEARNERS, MOST_SESSIONS, MOST_TABLES = 60, 40, 30
MOST_THINGS = 200

Amount = Annotated[float, Field(ge=0, le=1_000_000)]


def _as_now(found: Any) -> Any:
    """Return an older plan as it is written now."""
    return Plan.as_now(found) if isinstance(found, dict) else found


class VariantPart(_Part):
    """A plan of one piece, and how many learners make it; 0 keeps it for another time."""

    makers: Annotated[int, Field(ge=0, le=MOST_LEARNERS)]
    plan: Annotated[Plan, BeforeValidator(_as_now)]


class SessionsPart(HoursPart):
    """When the class meets: the first so many sittings from the first day on that are no holiday.

    A day that is `cancelled` is lost; a holiday moves what comes after it.
    """

    start: Annotated[Text, Field(min_length=10, max_length=10)]
    count: Annotated[int, Field(ge=1, le=MOST_SESSIONS)]
    cancelled: list[Annotated[Text, Field(max_length=10)]] = Field(default=[], max_length=MOST_SESSIONS)

    @model_validator(mode="after")
    def _days(self) -> "SessionsPart":
        try:
            for words in (self.start, *self.cancelled):
                day_of(words)
        except MosaicError as wrong:
            raise ValueError(str(wrong).rstrip(".")) from None
        return self


class FeePart(_Part):
    """By what rule a fee is told: rent a session, pay of teacher and of each helper an hour, how many must share it, margin.

    `shared_by` 0: all learners share it.
    """

    room: Amount = 0.0
    teacher: Amount = 0.0
    helper: Amount = 0.0
    shared_by: Annotated[int, Field(ge=0, le=MOST_LEARNERS)] = 0
    margin: Annotated[float, Field(ge=0, le=10)] = 0.0


class Class(Saved):
    """A whole class: the pieces and their makers, tables, adults, hours, the room's climate, what is there, what a fee counts.

    `owns`: things by the name of their line of the shopping list [the line's unit]; `prices`: of one unit of what has no pack
    with a price.

    Examples
    --------
    >>> from mosaiclib.reference import DATA
    >>> found = Class.load(DATA / "example_class.json")
    >>> found.learners, found.sessions.count
    (12, 5)
    """

    called: ClassVar = "class"
    kinds: ClassVar = Plan.kinds

    note: Annotated[Text, Field(max_length=2000)] = ""
    currency: Annotated[Text, Field(max_length=20)] = ""
    paper: Literal[tuple(PAPERS)] = "A4"
    variants: list[VariantPart] = Field(min_length=1, max_length=6)
    tables: Annotated[int, Field(ge=1, le=MOST_TABLES)] = 3
    helpers: Annotated[int, Field(ge=0, le=30)] = 0
    youngest: Annotated[int, Field(ge=4, le=99)] = 18
    hand: Literal[HANDS] = "beginner"
    ahead: Literal[AHEAD] = "blanks"
    sessions: SessionsPart
    temperature: Annotated[float, Field(ge=5, le=40)] = 20.0
    humidity: Annotated[float, Field(gt=0, le=1)] = 0.5
    confidence: Annotated[float, Field(ge=0.5, le=0.9999)] = 0.95
    owns: dict[Name, Amount] = Field(default={}, max_length=MOST_THINGS)
    prices: dict[Name, Amount] = Field(default={}, max_length=MOST_THINGS)
    fee: FeePart = FeePart()

    @model_validator(mode="after")
    def _can_be(self) -> "Class":
        names = [variant.plan.name for variant in self.variants]
        if len(set(names)) < len(names):
            raise ValueError("two pieces of the class have the same name; give each its own")
        if not 1 <= self.learners <= MOST_LEARNERS:
            raise ValueError(f"there must be from 1 to {MOST_LEARNERS} learners in all, not {self.learners}")
        return self

    @property
    def learners(self) -> int:
        """How many learners there are."""
        return sum(variant.makers for variant in self.variants)
