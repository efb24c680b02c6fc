"""The plan file: what a maker measured and chose, checked, saved and loaded without loss.

Types are strict, and nothing unknown is let through in silence.
"""

__all__ = [
    "AdhesivePart",
    "Colour",
    "ColourPart",
    "FillerPart",
    "FlatPart",
    "HoursPart",
    "JointPart",
    "PanePart",
    "PinPart",
    "Plan",
    "RoundPart",
    "SittingPart",
    "SparePart",
    "TaperedPart",
    "TilePart",
    "VesselPart",
]

from collections.abc import Mapping, Sequence
from typing import Annotated, Any, ClassVar, Literal

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from mosaiclib import reference
from mosaiclib.adhesive import families
from mosaiclib.adhesive.choose import CLARITIES, LAMP, PLACES
from mosaiclib.drawing import PAPERS
from mosaiclib.drawing.palette import colour_word, known_tone
from mosaiclib.errors import MosaicError, brief
from mosaiclib.filler import KINDS
from mosaiclib.filler.kinds import MOST_POLYMER
from mosaiclib.glass import CORNERS, MOST_RINGS, FourSided, Pane, Round, Tapered
from mosaiclib.job.breakage import CUTS, HANDS, MOST_CHANCE, usual_chance
from mosaiclib.job.drawn import MOST_BANDS, MOST_MOTIFS, BackgroundPart, BandPart, Meeting, MotifPart
from mosaiclib.job.packs import PackPart
from mosaiclib.job.saved import Count, Length, Margin, Name, Part, Place, Saved, Text, Tone
from mosaiclib.job.shaped import FlatPart
from mosaiclib.job.sittings import WEEKDAYS, checked_sitting, day_of, read_holidays, read_moment, read_zone
from mosaiclib.job.worktime import ACTIONS
from mosaiclib.layout import EASES, EDGE_RULES, FRACTIONS, Tile
from mosaiclib.layout.layout import JointLimits
from mosaiclib.units import UNITS

TOUCHED = ("nothing", "food or drink", "candle heat")
CONSUMABLES = tuple(reference.by_name("consumables"))
SHEETS = ("template", "dry lay", "inside guide")
BASES = ("whole packs", "what is used")
MOST_PACKS = 100
MOST_COLOURS = 500  # in one list: every piece is held against each of them


def _usual(name: str, subject: str = "allowances") -> Any:
    """Return a field's default from a table, read when it is wanted, as prices are."""
    return Field(default_factory=lambda: reference.value(subject, name).number)


FORMER = {  # what older plan files call otherwise
    "two-part epoxy filler": "epoxy grout",
    "front laps": "front overlaps",
    "each laps the next": "each overlaps the next",
}


def _now_called(name: Any) -> Any:
    """Return a name of a kind as it is called now."""
    return FORMER.get(name, name) if type(name) is str else name


class PanePart(Part):
    """A flat pane [mm]."""

    covers: ClassVar = Pane
    courses: ClassVar[dict[str, str]] = {}

    kind: Literal["pane"]
    name: Name
    width: Length
    height: Length
    margin: Margin = 0.0
    bands: list[BandPart] = Field(default=[], max_length=MOST_BANDS)  # on a face the lowest first
    meet: Meeting = Field(default="over", exclude_if=lambda meet: meet == "over")
    motifs: list[MotifPart] = Field(default=[], max_length=MOST_MOTIFS, exclude_if=lambda motifs: not motifs)
    background: BackgroundPart | None = Field(default=None, exclude_if=lambda background: background is None)

    def glass(self, tile: Tile, bed: float, joint: float) -> Pane:
        """Return the measured glass."""
        return Pane(self.width, self.height, margin=self.margin)


class VesselPart(Part):
    """A four-sided vessel; widths and depths at rim, middle and base, heights at any corners [mm]."""

    covers: ClassVar = FourSided
    courses: ClassVar[dict[str, str]] = {}

    kind: Literal["four-sided vessel"]
    name: Name
    widths: list[Length] = Field(min_length=3, max_length=3)
    depths: list[Length] = Field(min_length=3, max_length=3)
    heights: list[Length] = Field(min_length=1, max_length=4)
    wall: Length
    base: Length
    rim_margin: Margin = 0.0
    base_margin: Margin = 0.0
    inner_radius: Margin = 0.0
    corner: Annotated[Literal[CORNERS], BeforeValidator(_now_called)] = "open"
    bands: list[BandPart] = Field(default=[], max_length=4 * MOST_BANDS)
    meet: Meeting = Field(default="over", exclude_if=lambda meet: meet == "over")
    motifs: list[MotifPart] = Field(default=[], max_length=4 * MOST_MOTIFS, exclude_if=lambda motifs: not motifs)
    background: BackgroundPart | None = Field(default=None, exclude_if=lambda background: background is None)

    def glass(self, tile: Tile, bed: float, joint: float) -> FourSided:
        """Return the measured glass, with corners for this tile, bed and joint [mm]."""
        lap = 0.0 if self.corner == "open" else tile.thickness + bed
        return FourSided.measured(
            self.widths,
            self.depths,
            self.heights,
            self.wall,
            self.base,
            rim_margin=self.rim_margin,
            base_margin=self.base_margin,
            inner_radius=self.inner_radius,
            corner=self.corner,
            lap=lap,
            corner_joint=0.0 if self.corner == "open" else joint,
            bed=bed,
        )


class _RoundAbout(Part):
    """What the parts of round glass have in common [mm]; `fraction` is what a tile is cut to, its short side round.

    `ease` says where the steps go when tiles drop out, `seam` how far round from the back the strip begins.
    """

    name: Name
    wall: Length
    base: Length
    rim_margin: Margin = 0.0
    base_margin: Margin = 0.0
    seam: Margin = 0.0
    neck: Margin = 0.0
    fraction: Literal[FRACTIONS] = "whole"
    ease: Literal[EASES] = "back"
    bands: list[BandPart] = Field(default=[], max_length=MOST_BANDS * MOST_RINGS)
    meet: Meeting = Field(default="over", exclude_if=lambda meet: meet == "over")
    motifs: list[MotifPart] = Field(
        default=[], max_length=MOST_MOTIFS * MOST_RINGS, exclude_if=lambda motifs: not motifs
    )
    background: BackgroundPart | None = Field(default=None, exclude_if=lambda background: background is None)

    @property
    def courses(self) -> dict[str, str]:
        """How courses are laid round it, as `layout.lay_courses` takes it."""
        return {"fraction": self.fraction, "ease": self.ease}

    @property
    def _more(self) -> dict[str, float]:
        """What any round glass is told besides its sizes [mm]."""
        return {name: getattr(self, name) for name in ("rim_margin", "base_margin", "seam", "neck")}


class RoundPart(_RoundAbout):
    """A cylinder; its girths, or diameters two ways, or both, at any heights, and heights anywhere [mm]."""

    covers: ClassVar = Round

    kind: Literal["round vessel"]
    girths: list[Length] = Field(default=[], max_length=4)
    diameters: list[Length] = Field(default=[], max_length=4)
    heights: list[Length] = Field(min_length=1, max_length=4)

    def glass(self, tile: Tile, bed: float, joint: float) -> Round:
        """Return the measured glass."""
        sizes = self.girths, self.heights, self.wall, self.base
        return Round.measured(*sizes, diameters=self.diameters, **self._more)


class TaperedPart(_RoundAbout):
    """A cone, bowl or bottle: girths, or diameters, at rising heights over the foot [mm].

    `other_diameters` are those measured the other way at the same heights, where the glass is oval.
    """

    covers: ClassVar = Tapered

    kind: Literal["tapered vessel"]
    girths: list[Length] = Field(default=[], max_length=MOST_RINGS + 1)
    diameters: list[Length] = Field(default=[], max_length=MOST_RINGS + 1)
    other_diameters: list[Length] = Field(default=[], max_length=MOST_RINGS + 1)
    heights: list[Margin] = Field(min_length=2, max_length=MOST_RINGS + 1)

    @model_validator(mode="after")
    def _on_its_rings(self) -> "TaperedPart":
        rings = self.covers.face_names[: len(self.heights) - 1]
        lost = next((one.face for one in (*self.bands, *self.motifs) if one.face not in rings), None)
        if lost is not None:
            raise ValueError(f"{self.name} has no face {brief(lost)}; choose one of: {', '.join(rings)}")
        if len(self.other_diameters) not in (0, len(self.diameters)):
            raise ValueError(f"{self.name} needs as many diameters the other way as diameters, or none")
        return self

    def glass(self, tile: Tile, bed: float, joint: float) -> Tapered:
        """Return the measured glass, with a joint where two rings meet [mm]."""
        sizes = self.girths, self.heights, self.wall, self.base
        across = (
            list(zip(self.diameters, self.other_diameters, strict=True)) if self.other_diameters else self.diameters
        )
        return Tapered.measured(*sizes, diameters=across, ring_joint=joint, **self._more)


# a new kind of glass is one more part, told apart by its `kind`
GlassPart = PanePart | FlatPart | VesselPart | RoundPart | TaperedPart


class Colour(Part):
    """A colour of tile: how many are in hand, and the price of one more.

    `tone` is how the maker sees it, #rrggbb; left out, its name tells where a list knows it. `share` is the part of all
    pieces that must be of it, 0 to 1; left out, it follows the stock.
    """

    name: Name
    in_hand: Count = 0
    price: Annotated[float, Field(ge=0, le=1_000_000)] = 0.0
    more: bool = True
    tone: Tone | None = Field(default=None, exclude_if=lambda tone: tone is None)
    share: Annotated[float, Field(gt=0, le=1)] | None = Field(default=None, exclude_if=lambda share: share is None)


class TilePart(Part):
    """The tile stock [mm]; tiles are bought in packs of `pack`."""

    side: Annotated[float, Field(ge=3, le=300)]
    thickness: Annotated[float, Field(gt=0, le=50)]
    back_side: Annotated[float, Field(gt=0, le=300)] | None = None
    clarity: Literal[CLARITIES] = "transparent"
    pack: Annotated[int, Field(ge=1, le=100_000)] = 25
    colours: list[Colour] = Field(min_length=1)

    @model_validator(mode="after")
    def _each_once(self) -> "TilePart":
        if len(self.colours) > MOST_COLOURS:
            raise ValueError(
                f"there are {len(self.colours)} colours; more than {MOST_COLOURS} take too long to arrange"
            )
        words = [colour_word(colour.name) for colour in self.colours]
        twice = next((word for place, word in enumerate(words) if word in words[:place]), None)
        if twice:
            raise ValueError(f"a colour stands in the list twice, {brief(twice)}; give each its own name")
        shared = sum(colour.share or 0.0 for colour in self.colours)
        if shared > 1 + 1e-9:
            raise ValueError(f"the shares of the colours add up to {shared:.0%}; together they can be at most 100%")
        if shared and shared < 1 - 1e-9 and all(colour.share for colour in self.colours):
            raise ValueError(f"the shares of the colours add up to {shared:.0%}; leave one out, and it takes the rest")
        if self.back_side is not None and self.back_side > self.side:
            raise ValueError("the back of a tile must not be larger than its face")
        return self

    @property
    def tile(self) -> Tile:
        """The tile."""
        return Tile(self.side, self.thickness, back_side=self.back_side)


class JointPart(Part):
    """The wanted joint, its limits [mm] and what happens at the edge."""

    wanted: Margin
    least: Margin
    greatest: Margin
    edge: Literal[*EDGE_RULES, "cut"] = "equal"

    @model_validator(mode="after")
    def _in_order(self) -> "JointPart":
        if not self.least <= self.wanted <= self.greatest:
            raise ValueError("the wanted joint must lie between the least and the greatest")
        return self

    @property
    def limits(self) -> JointLimits:
        """The joint with its limits."""
        return JointLimits(self.wanted, self.least, self.greatest)


class PinPart(Part):
    """A piece whose colour was chosen by hand: the one at x, y on the strip of a piece of glass [mm], seen from the front."""

    glass: Name
    x: Place
    y: Place
    colour: Name


class ColourPart(Part):
    """How colours are arranged: the same seed and pins give the same arrangement again.

    Pins are kept in the order in which they were set; of two on one piece the later holds.
    """

    seed: Count = 1
    corners: bool = False
    pins: list[PinPart] = Field(default=[], exclude_if=lambda pins: not pins)


class AdhesivePart(Part):
    """The adhesive's family, bed [mm], share of each back that it covers, share that is lost, and where it cures.

    `place` and `touched` say where the piece will live, `lamp` whether a curing lamp's light was seen to come through the
    glass, `sets_in` within how long what is mixed sets, as its pack says [h]; temperature [C] and humidity are those of the
    workroom.
    """

    family: Name = "neutral-cure silicone"
    place: Literal[PLACES] = "dry shelf"
    touched: Literal[TOUCHED] = "nothing"
    lamp: Literal[LAMP] = "not tried"
    sets_in: Annotated[float, Field(ge=0.05, le=72)] = _usual("setting of a clear epoxy", "cure")
    temperature: Annotated[float, Field(ge=5, le=40)] = 23.0
    humidity: Annotated[float, Field(gt=0, le=1)] = 0.5
    bed: Annotated[float, Field(gt=0, le=20)] = _usual("adhesive bed")
    coverage: Annotated[float, Field(gt=0, le=1)] = 1.0
    waste: Annotated[float, Field(ge=0, le=2)] = _usual("adhesive lost")

    @model_validator(mode="after")
    def _known(self) -> "AdhesivePart":
        if self.family not in families():
            raise ValueError(
                f"there is no adhesive called {brief(self.family)}; choose one of: {', '.join(families())}"
            )
        return self


class FillerPart(Part):
    """Kind of filler, its polymer over cement, solids of the latex, width of the sloping bead along edges [mm], share lost.

    `shade` is how it looks when dry, #rrggbb; left out, it is drawn in the usual one.
    """

    family: Annotated[Literal[KINDS], BeforeValidator(_now_called)] = "cement grout with latex"
    polymer: Annotated[float, Field(ge=0, le=MOST_POLYMER)] = _usual("full dose of polymer", "mechanics")
    solids: Annotated[float, Field(ge=0.02, le=1)] = _usual("solids of latex", "filler")
    bead: Annotated[float, Field(ge=0, le=50)] = 0.0
    waste: Annotated[float, Field(ge=0, le=2)] = _usual("filler lost")
    shade: Tone | None = Field(default=None, exclude_if=lambda shade: shade is None)


class CutPart(Part):
    """In what steps a gauge is set for wedges, what a cut takes away [mm], and who cuts.

    `paired`: two pieces are cut from one tile where they fit; `both_faces`: a piece may be turned over for that; `spoilt`: the
    maker's own chances of spoiling one cut, by kind, where they differ from the table's for such a hand.
    """

    gauge_step: Annotated[float, Field(ge=0.05, le=10)] = _usual("gauge step")
    loss: Annotated[float, Field(ge=0, le=5)] = _usual("lost at a cut", "cutting")
    paired: bool = False
    both_faces: bool = False
    hand: Literal[HANDS] = "beginner"
    spoilt: dict[Literal[CUTS], Annotated[float, Field(ge=0, le=MOST_CHANCE)]] = Field(default={})

    @property
    def chances(self) -> dict[str, float]:
        """The chance of spoiling one cut, by kind."""
        return {kind: self.spoilt.get(kind, usual_chance(kind, self.hand)) for kind in CUTS}


class SparePart(Part):
    """Chance that a tile laid as it is bought breaks or is spoilt, and how sure one wants to be of having enough."""

    break_chance: Annotated[float, Field(ge=0, le=0.9)] = _usual("whole tiles spoilt")
    confidence: Annotated[float, Field(ge=0.5, le=0.9999)] = _usual("sure of having enough")


Rate = Annotated[float, Field(gt=0, le=1440)]


def _said(read: Any) -> AfterValidator:
    """Return what checks a text by reading it; its sentence is the refusal."""

    def checked(words: str) -> str:
        try:
            read(words)
        except MosaicError as wrong:
            raise ValueError(str(wrong).rstrip(".")) from None
        return words

    return AfterValidator(checked)


class SittingPart(Part):
    """Hours in which there is work, each week: a weekday, and begin and end as the clock shows them."""

    day: Literal[WEEKDAYS]
    begin: Annotated[Text, Field(max_length=5)]
    end: Annotated[Text, Field(max_length=5)]

    @model_validator(mode="after")
    def _in_order(self) -> "SittingPart":
        try:
            checked_sitting(self.day, self.begin, self.end)
        except MosaicError as wrong:
            raise ValueError(str(wrong).rstrip(".")) from None
        return self


class DonePart(Part):
    """A task that was ticked, and when it was done: a day, with or without a time of day."""

    task: Annotated[Text, Field(max_length=200)]
    at: Annotated[Text, Field(max_length=16), _said(read_moment)]


USUAL_HOURS = [("Tuesday", "18:30", "20:30"), ("Saturday", "09:00", "12:00")]  # a page starts with them; assumed


class HoursPart(Part):
    """When there is time for the work.

    `start`: the first day; `holidays`: days, or "first to last"; `zone`: where clocks change, as in "Europe/Paris"; left out,
    they do not.
    """

    start: Annotated[Text, Field(max_length=10), _said(lambda words: day_of(words) if words else None)] = ""
    sittings: list[SittingPart] = Field(
        default_factory=lambda: [SittingPart(day=day, begin=begin, end=end) for day, begin, end in USUAL_HOURS],
        max_length=50,
    )
    holidays: list[Annotated[Text, Field(max_length=40), _said(lambda words: read_holidays([words]))]] = Field(
        default=[], max_length=200
    )
    zone: Annotated[Text, Field(max_length=60), _said(read_zone)] = ""


class DaysPart(HoursPart):
    """When there is time for the work, and what is done: pairs of hands, own times of actions [min].

    What is left is planned from `start`, or from the last of what is `done` where that is later. Left out, weeks are counted instead.
    """

    hands: Annotated[int, Field(ge=1, le=12)] = 1
    rates: dict[Literal[ACTIONS], Rate] = Field(default={})
    done: list[DonePart] = Field(default=[], max_length=1000)


class MoneyPart(Part):
    """By what rule a price is told: what an hour is worth, the tools' share and the margin; 0 is not priced.

    `basis`: whether whole packs count, or what is used of them.
    """

    rate: Annotated[float, Field(ge=0, le=1_000_000)] = 0.0
    tools: Annotated[float, Field(ge=0, le=1_000_000)] = 0.0
    margin: Annotated[float, Field(ge=0, le=10)] = 0.0
    basis: Literal[BASES] = BASES[0]


class Plan(Saved):
    """A whole plan: one or more pieces of glass covered from one stock of tiles.

    Examples
    --------
    >>> from mosaiclib.reference import DATA
    >>> [part.name for part in Plan.load(DATA / "example_plan.json").glass]
    ['window panel', 'planter']
    """

    kinds: ClassVar = tuple(part.model_fields["kind"].annotation.__args__[0] for part in GlassPart.__args__)

    note: Annotated[Text, Field(max_length=2000)] = ""
    unit: Literal[UNITS] = "mm"
    currency: Annotated[Text, Field(max_length=20)] = ""
    paper: Literal[tuple(PAPERS)] = "A4"
    sheets: list[Literal[SHEETS]] = Field(default=list(SHEETS), max_length=len(SHEETS))  # those that a piece can have
    glass: list[Annotated[GlassPart, Field(discriminator="kind")]] = Field(min_length=1, max_length=12)
    tile: TilePart
    joint: JointPart
    colour: ColourPart = ColourPart()
    adhesive: AdhesivePart = AdhesivePart()
    filler: FillerPart = FillerPart()
    cut: CutPart = CutPart()
    spare: SparePart = SparePart()
    days: DaysPart = Field(default_factory=DaysPart)
    money: MoneyPart = MoneyPart()
    consumables: list[Literal[CONSUMABLES]] = Field(default=list(CONSUMABLES), max_length=len(CONSUMABLES))
    packs: list[PackPart] = Field(default=[], max_length=MOST_PACKS, exclude_if=lambda packs: not packs)

    @model_validator(mode="after")
    def _each_once(self) -> "Plan":
        names = [part.name for part in self.glass]
        if len(set(names)) < len(names):
            raise ValueError("two pieces of glass have the same name; give each its own")
        for part in self.glass:
            _check_drawn(part)
            _check_colours(self, part)
        if self.cut.both_faces and self.tile.back_side is not None and self.tile.back_side < self.tile.side:
            raise ValueError("the tile's edges slope, so a piece cannot be turned over; only one of its faces may show")
        packs = [(pack.material, pack.name) for pack in self.packs]
        twice = next((pack for place, pack in enumerate(packs) if pack in packs[:place]), None)
        if twice:
            raise ValueError(f"two packs of {twice[0]} are called {brief(twice[1])}; give each its own name")
        unknown = next((pin.glass for pin in self.colour.pins if pin.glass not in names), None)
        if unknown:
            raise ValueError(f"a piece was pinned on {brief(unknown)}, which is no piece of glass of this plan")
        return self

    @classmethod
    def as_now(cls, found: dict[str, Any]) -> dict[str, Any]:
        """Return an older file with each colour once."""
        return _each_colour_once(found)

    @property
    def named(self) -> dict[str, str]:
        """The names of the colours as the list writes them, by the word that they are compared by."""
        return {colour_word(colour.name): colour.name for colour in self.tile.colours}

    def renamed_colours(self, names: Mapping[str, str]) -> "Plan":
        """Return the plan with colours renamed, from old name to new, wherever they stand: list, rows, backgrounds, pins.

        A colour keeps its tone where the new name tells none.

        >>> from mosaiclib.reference import DATA
        >>> plan = Plan.load(DATA / "example_plan.json").renamed_colours({"blue": "sea at night"})
        >>> "sea at night" in plan.glass[0].bands[0].rows[0].colours
        True
        >>> [colour.tone for colour in plan.tile.colours if colour.name == "sea at night"]
        ['#3c78af']
        """
        unknown = next((old for old in names if colour_word(old) not in self.named), None)
        if unknown is not None:
            there = ", ".join(self.named.values())
            raise MosaicError(f"There is no colour called {brief(unknown)}; there are: {there}.")
        record = _recoloured(self.model_dump(mode="json"), {colour_word(old): new for old, new in names.items()})
        for was, colour in zip(self.tile.colours, record["tile"]["colours"], strict=True):
            if colour["name"] != was.name and not colour.get("tone") and not known_tone(colour["name"]):
                colour["tone"] = known_tone(was.name)
        return Plan.made(**record)

    def with_pins(self, pins: Sequence[PinPart]) -> "Plan":
        """Return the plan with these pins in place of its own."""
        return self.model_copy(update={"colour": self.colour.model_copy(update={"pins": list(pins)})})


def _recoloured(record: Any, names: Mapping[str, str]) -> Any:
    """Return a part of a plan's record with colours renamed: a `colour` that is a word, and all that `colours` list."""
    if isinstance(record, list):
        return [_recoloured(one, names) for one in record]
    if not isinstance(record, dict):
        return record

    def called(name: Any) -> Any:
        return names.get(colour_word(name), name) if isinstance(name, str) else _recoloured(name, names)

    found = {key: called(one) if key == "colour" else _recoloured(one, names) for key, one in record.items()}
    for listed in {"colours", "outline_colours"} & found.keys():
        found[listed] = [
            one | {"name": called(one["name"])} if isinstance(one, dict) else called(one) for one in found[listed]
        ]
    return found


def _check_colours(plan: Plan, part: GlassPart) -> None:
    """Refuse colours of rows, motifs, backgrounds and pins that are not in the list."""
    asked = [("row", name) for band in part.bands for row in band.rows for name in row.colours]
    asked += [("motif", name) for one in part.motifs for name in (*one.colours, *one.outline_colours)]
    asked += [("background", name) for name in (part.background.colours if part.background else ())]
    asked += [("pinned", pin.colour) for pin in plan.colour.pins]
    unknown = next(((whose, name) for whose, name in asked if colour_word(name) not in plan.named), None)
    if unknown:
        raise ValueError(f"the {unknown[0]} colour {brief(unknown[1])} is not in the list of colours")


def _check_drawn(part: GlassPart) -> None:
    """Refuse what is drawn on a face that is not there, and too much on one."""
    faces = part.covers.face_names
    for drawn, most in ((part.bands, MOST_BANDS), (part.motifs, MOST_MOTIFS)):
        used = [one.face for one in drawn]
        for face in used:
            if face not in faces:
                raise ValueError(f"{part.name} has no face {brief(face)}; choose one of: {', '.join(faces)}")
            if (count := used.count(face)) > most:
                raise ValueError(f"the {face} of {part.name} has {count} {drawn[0].what}s; a face can carry {most}")


def _each_colour_once(record: dict[str, Any]) -> dict[str, Any]:
    """Put colours together that older plans held apart by capital letters or spaces alone: tiles in hand are added."""
    tile = record.get("tile")
    listed = tile.get("colours") if isinstance(tile, dict) else None
    if not isinstance(listed, list) or not all(isinstance(one, dict) for one in listed):
        return record
    found: dict[Any, dict] = {}
    for place, one in enumerate(listed):
        name = one.get("name")
        key = colour_word(name) or place
        same = found.get(key, {})
        if same and same.get("name") != name and all(type(each.get("in_hand")) is int for each in (same, one)):
            found[key] = same | {"in_hand": same["in_hand"] + one["in_hand"]}
        else:
            found[key if key not in found else place] = one
    return record | {"tile": tile | {"colours": list(found.values())}}
