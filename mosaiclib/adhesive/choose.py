"""Families of adhesive and a verdict with reasons on each for a piece."""

__all__ = [
    "BASES",
    "CLARITIES",
    "LAMP",
    "PLACES",
    "POSITIONS",
    "TONES",
    "VERDICTS",
    "Case",
    "Cure",
    "Family",
    "choose",
    "families",
    "family",
]

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

import pandas as pd

from mosaiclib import reference
from mosaiclib.errors import MosaicError, choice
from mosaiclib.reference import Record


class Cure(StrEnum):
    """What makes an adhesive hard."""

    MOISTURE = "air moisture"
    LIGHT = "light"
    MIXING = "mixing"
    DRYING = "drying"
    SOLVENT = "solvent leaving"
    CEMENT = "hydration"
    GRIP = "at once"


TONES = ("clear", "white", "grey")
GRADES = ("good", "care", "bad")
WORDS = {
    "tone": TONES,
    "cures by": tuple(Cure),
    "body": ("non-sag", "runny"),
    "water": GRADES,
    "sun": GRADES,
    "gap filling": ("good", "poor"),
    "beside cement filler": ("good", "care"),
}
TEXTS = ("working time", "gives off", "clean-up", "for", "against", "cautions")  # what else the table must say of each


@dataclass(frozen=True)
class Family:
    """One family of adhesive with its properties; what is said of one stands in its record's note."""

    name: str
    records: Mapping[str, Record]

    def __post_init__(self) -> None:
        for prop, known in WORDS.items():
            choice(self.word(prop), f"word for {prop!r} of {self.name} (table of adhesives)", known)
        for prop in TEXTS:
            self.word(prop)

    def word(self, prop: str) -> str:
        """Return what the table says of a property in words."""
        return self.records[choice(prop, "property", self.records)].note

    @property
    def tone(self) -> str:
        """Clear, white or grey."""
        return self.word("tone")

    @property
    def cures_by(self) -> Cure:
        """What makes it hard."""
        return Cure(self.word("cures by"))

    @property
    def working_minutes(self) -> tuple[float, float] | None:
        """Least and greatest usual working time [min]; None where it is as long as one likes."""
        record = self.records[choice("working time", "property", self.records)]
        return None if record.least is None else record.band


def families() -> tuple[str, ...]:
    """Return the generic names of all families, in the order of the table.

    >>> families()[0]
    'neutral-cure silicone'
    """
    return tuple(reference.groups("adhesives"))


def family(name: str) -> Family:
    """Return one family by its name.

    >>> str(family("UV-curing acrylate").cures_by)
    'light'
    """
    groups = reference.groups("adhesives")
    mine = groups[choice(name, "family of adhesive", groups)]
    return Family(name, {record.name.partition(": ")[2]: record for record in mine})


CLARITIES = ("opaque", "translucent", "transparent")
PLACES = ("dry shelf", "sunny window", "kitchen", "bathroom", "outdoors", "holds water", "under water")
LAMP = ("yes", "no", "not tried")
POSITIONS = ("flat", "upright", "turned while wet")
VERDICTS = ("good", "works with care", "only if you can wait months", "ruled out")
GOOD, CARE, LONG, OUT = range(4)
BASES = ("glass", "terracotta", "wood")
NOT_POROUS, NOT_SEEN = "glass all through and takes up no water", "through a base of terracotta or wood"
Reason = tuple[int, str]


@dataclass(frozen=True)
class Case:
    """What is to be glued to what, and where it will live.

    `clarity` is how much light the tesserae pass, `position` how the face lies while it is glued; `back_seen`: through a
    clear base; porous is what takes up water, as terracotta and wood do and glass does not; `lamp`: whether the light of a curing
    lamp was seen to come through the glass; `food` (or drink) and `candle` heat are what touches the piece.
    """

    clarity: str
    place: str
    position: str = "flat"
    back_seen: bool = False
    base: str = BASES[0]
    tessera_porous: bool = False
    lamp: str = "not tried"
    food: bool = False
    candle: bool = False

    def __post_init__(self) -> None:
        choice(self.clarity, "clarity of the tesserae", CLARITIES)
        choice(self.place, "place", PLACES)
        choice(self.position, "position", POSITIONS)
        choice(self.base, "base", BASES)
        choice(self.lamp, "whether the lamp's light comes through", LAMP)
        if self.tessera_porous and self.through:
            raise MosaicError(
                f"A {self.clarity} tile lets light pass, so it is {NOT_POROUS}; choose opaque tiles or glass backs."
            )
        if self.back_seen and self.base_porous:
            raise MosaicError(f"The back is not seen {NOT_SEEN}; choose a base of glass, or a back that is not seen.")

    @property
    def base_porous(self) -> bool:
        """Whether the base takes up water."""
        return self.base != BASES[0]

    @property
    def through(self) -> bool:
        """Whether light passes the tesserae, so that what lies under them is seen."""
        return self.clarity != "opaque"

    @property
    def lit(self) -> bool:
        """Whether daylight reaches the bed, from one side or the other."""
        return self.through or not self.base_porous

    @property
    def shut(self) -> bool:
        """Whether the bed lies between two surfaces that take up no water."""
        return not (self.base_porous or self.tessera_porous)

    @property
    def wet(self) -> bool:
        """Whether water comes often."""
        return self.place in ("bathroom", "outdoors", "holds water", "under water")

    def slow(self, one: Family) -> bool:
        """Whether what a family must lose to harden has only the joints to leave by: weeks to months."""
        return one.cures_by in (Cure.DRYING, Cure.SOLVENT) and self.shut


def choose(clarity: str, place: str, **more) -> pd.DataFrame:
    """Judge every family of adhesive for a piece, a `Case` with `more` of its fields; the choice stays with the maker.

    One line a family, the best first: family, verdict of `VERDICTS`, reasons, which always tell what speaks for it and what
    against, that which decides first, and slow (True for what dries by the joints alone). Rules from common practice and from
    the table of adhesives; none replaces the manufacturer's instructions.

    >>> table = choose("transparent", "bathroom", back_seen=True)
    >>> table["family"].tolist()[0], table["verdict"].tolist()[0]
    ('neutral-cure silicone', 'good')
    >>> set(choose("opaque", "kitchen", food=True)["verdict"])
    {'ruled out'}
    """
    case = Case(clarity, place, **more)
    lines = [_line(case, family(name)) for name in families()]
    lines.sort(key=lambda line: VERDICTS.index(line[1]))  # stable: of equal ones the order of the table
    return pd.DataFrame(lines, columns=["family", "verdict", "reasons", "slow"])


def _line(case: Case, one: Family) -> tuple[str, str, str, bool]:
    """Judge one family; what holds for this piece stands before what holds always."""
    reasons = [reason for rule in RULES for reason in rule(case, one)]
    worst = max((grade for grade, _ in reasons), default=GOOD)
    against = [words for grade, words in sorted(reasons, key=lambda reason: -reason[0]) if grade > GOOD]
    pros = [words for grade, words in reasons if grade == GOOD]
    sides = [f"For: {'; '.join([*pros, one.word('for')])}.", f"Against: {'; '.join([*against, one.word('against')])}."]
    told = " ".join(sides if worst == GOOD else reversed(sides))  # what decides comes first
    return one.name, VERDICTS[worst], told, case.slow(one)


def _never(case: Case, one: Family) -> Iterator[Reason]:
    if case.food:
        yield (
            OUT,
            "food or drink must not touch glue, filler or glass of unknown make: none here is shown to be safe for that",
        )
    if case.candle:
        bears = reference.value("cure", "sudden change that glass bears")
        yield (
            OUT,
            f"candle heat cracks glass that is held fast (plain glass bears a sudden change of some {bears.number:g} degrees, "
            f"{bears.evidence}) and softens glue: no candle, not even in an inner glass: use a battery light",
        )
    if "never on glass" in one.records:
        yield OUT, one.word("never on glass")


def _seen(case: Case, one: Family) -> Iterator[Reason]:
    """What is seen through a tile decides: the bed, or the base behind a clear one."""
    if case.through and one.tone == "grey":
        yield OUT, "a dark bed shows through and dulls the colour"
    elif case.through and one.tone == "white" and (case.base_porous or case.clarity == "translucent"):
        yield GOOD, "a white bed is what is seen and keeps colours bright, if the whole back is covered"
    elif case.through and one.tone == "white":
        yield CARE, "the white bed is what is seen, and each place that it misses shows as a blot"
    elif case.through and case.base_porous:
        yield CARE, "through tile and clear bed the base itself is seen: paint it white first, or take a white bed"
    if case.back_seen and one.tone != "clear":
        yield OUT, f"the back is to be seen, and a {one.tone} bed hides it"
    elif case.back_seen:
        yield GOOD, "the back stays in sight"


def _cure(case: Case, one: Family) -> Iterator[Reason]:
    what = {Cure.DRYING: "water", Cure.SOLVENT: "solvent"}.get(one.cures_by)
    if case.slow(one):
        yield LONG, f"between two sheets of glass it takes weeks to months: its {what} has only the joints to leave by"
    elif what:
        yield GOOD, f"its {what} can leave through the porous side"
    elif one.cures_by == Cure.CEMENT and case.shut:
        yield CARE, "between two sheets of glass its polymer stays wet for weeks and keeps less of its bond while damp"
    elif one.cures_by == Cure.CEMENT:
        yield GOOD, "it keys into the porous side"
    elif one.cures_by == Cure.LIGHT:
        yield _lamp(case)
    if one.word("beside cement filler") == "care":
        yield CARE, "its acid eats into cement filler until it has cured through and aired"
    if one.word("gap filling") == "poor":
        yield CARE, "backs of small tiles are seldom flat, and it does not fill gaps"
    if one.cures_by == Cure.MIXING:
        yield GOOD, "it cures under the middle of a tile as soon as at its edge"


def _lamp(case: Case) -> Reason:
    """The lamp's light must come through: yellow, amber and red glass take nearly all of it (from memory)."""
    if case.clarity == "opaque" and case.base_porous:
        return OUT, "no light reaches it through an opaque tile or an opaque base"
    if case.lamp == "no":
        return OUT, "its lamp's light does not come through, so it stays liquid, and liquid it makes skin allergic"
    if case.lamp == "not tried":
        return OUT, (
            "nobody has tried whether its lamp's light comes through: yellow, amber and red glass take nearly all of it; "
            "try a drop between two pieces of the same glass first"
        )
    if case.clarity == "opaque":
        return CARE, "light reaches it only from behind, through the clear base"
    return GOOD, "its lamp's light comes through"


def _stay(case: Case, one: Family) -> Iterator[Reason]:
    water, sun = one.word("water"), one.word("sun")
    if water == "bad" and case.place != "dry shelf":
        yield OUT if case.wet else CARE, "it softens when it gets wet"
    if water == "care" and case.wet:
        yield OUT if case.place == "under water" else CARE, "water creeps in along the glass in time"
    if case.wet and case.base == "wood":
        yield (
            CARE,
            "wood swells and shrinks in the wet and works any bed loose: seal it all round, or take another base",
        )
    if case.place in ("holds water", "under water") and water == "good":
        yield CARE, "under water for good no family is sure: glue the dry side, or test a sample for weeks"
    if case.lit and sun != "good" and case.place in ("outdoors", "sunny window"):
        yield CARE, "daylight turns it yellow"
    elif case.through and sun == "bad":
        yield CARE, "it turns yellow in time, away from the sun too"
    if case.place == "outdoors" and water == sun == "good":
        yield GOOD, "it stands sun and rain"
    elif case.place == "sunny window" and sun == "good":
        yield GOOD, "it stands the sun"


def _lie(case: Case, one: Family) -> Iterator[Reason]:
    if case.position != "flat" and one.word("body") == "runny":
        yield CARE, "it runs: tiles slide unless they are held until it is hard"
    elif case.position != "flat":
        yield GOOD, "it is stiff enough to hold small tiles on an upright face"


RULES: tuple[Callable[[Case, Family], Iterator[Reason]], ...] = (_never, _seen, _cure, _stay, _lie)
