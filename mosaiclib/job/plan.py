"""The plan file: what a maker measured and chose, checked, saved and loaded without loss.

Types are strict, and nothing unknown is let through in silence.
"""

__all__ = [
    "VERSION",
    "AdhesivePart",
    "BackgroundPart",
    "BandPart",
    "Colour",
    "ColourPart",
    "DrawnPart",
    "FillerPart",
    "JointPart",
    "LinePart",
    "MotifPart",
    "PanePart",
    "PinPart",
    "Plan",
    "RowPart",
    "Saved",
    "SparePart",
    "TilePart",
    "VesselPart",
    "drawn_on",
]

import inspect
import json
import os
import stat
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Annotated, Any, ClassVar, Literal, Self

import numpy as np
from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, ValidationError, model_validator

from mosaiclib import reference
from mosaiclib.adhesive import families
from mosaiclib.adhesive.choose import CLARITIES, LAMP, PLACES
from mosaiclib.colour import BLENDS
from mosaiclib.drawing import PAPERS
from mosaiclib.drawing.palette import colour_word, known_tone
from mosaiclib.errors import MosaicError, brief, plain
from mosaiclib.files import path_named, write_whole
from mosaiclib.filler import KINDS
from mosaiclib.filler.kinds import MOST_POLYMER
from mosaiclib.glass import CORNERS, Face, FourSided, Pane
from mosaiclib.layout import EDGE_RULES, FRACTIONS, MEETINGS, MIDDLES, OUTLINED, Guide, Tile
from mosaiclib.layout.lines import READY_MADE, outline_of
from mosaiclib.layout.rowspec import CORNERS as ROUND_CORNERS
from mosaiclib.layout.svg_path import guide_of, strokes_of
from mosaiclib.units import UNITS

TOUCHED = ("nothing", "food or drink", "candle heat")
CONSUMABLES = tuple(reference.by_name("consumables"))
SHEETS = ("template", "dry lay", "inside guide")


def _whole_signs(words: str) -> str:
    """Refuse half of a two-part sign (a lone surrogate), which no file can hold."""
    if any("\ud800" <= sign <= "\udfff" for sign in words):
        raise ValueError("a text holds a broken sign; type it again")
    return words


def _named(words: str) -> str:
    """Refuse a name of nothing but spaces, or with the mark that some files begin with, which no sheet can draw."""
    if not words.strip("\ufeff \t\n\r"):
        raise ValueError("a name is empty; give it at least one letter")
    if "\ufeff" in words:
        raise ValueError("a name holds a sign that cannot be shown; type it again")
    return words


Text = Annotated[str, AfterValidator(_whole_signs)]
Length = Annotated[float, Field(gt=0, le=100_000)]
Margin = Annotated[float, Field(ge=0, le=100_000)]
Place = Annotated[float, Field(ge=-10_000, le=10_000)]
Name = Annotated[Text, Field(min_length=1, max_length=80), AfterValidator(_named)]
Count = Annotated[int, Field(ge=0, le=10_000_000)]


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


class Part(BaseModel):
    """A part of a file that is kept: numbers must be numbers, and nothing unknown is let through in silence."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)


Blend = Literal[
    BLENDS
]  # how several colours share a run of pieces: by lot, evenly, or as a gradient from the first to the last
Tone = Annotated[str, Field(pattern="^#[0-9a-fA-F]{6}$")]


class RowPart(Part):
    """One row of a band: what its tiles are cut to, and the colours it may have; any if none are named.

    `blend` says how they share the row; a gradient runs along it from the first colour to the last.
    """

    fraction: Literal[FRACTIONS] = "quarter"
    turned: bool = False
    colours: list[Name] = []
    blend: Blend = Field(default="free", exclude_if=lambda blend: blend == "free")

    @model_validator(mode="after")
    def _can_blend(self) -> "RowPart":
        _check_blend(self.blend, self.colours, "a row")
        return self


def _check_blend(blend: str, colours: list[str], whose: str) -> None:
    """Refuse a blend of too few colours, and one in which a colour is named twice."""
    if blend != "free" and len({colour_word(name) for name in colours}) < len(colours):
        raise ValueError(f"{whose} that is blended names a colour twice; name each once")
    least = {"free": 0, "even": 2, "gradient": 3}[blend]
    if len(colours) < least:
        why = (
            "two can only alternate, as no two alike may touch"
            if blend == "gradient"
            else "one alone would touch itself"
        )
        raise ValueError(f"{whose} that is blended ({blend}) needs at least {least} colours: {why}")


class BackgroundPart(Part):
    """The colours of what lies behind the bands of a piece of glass, its grid or field with the outline rows.

    `blend` says how they share it; a gradient runs `way` over each face, from the first colour to the last.
    """

    colours: list[Name] = Field(min_length=1)
    blend: Blend = "free"
    way: Literal["up", "across"] = "up"

    @model_validator(mode="after")
    def _can_blend(self) -> "BackgroundPart":
        _check_blend(self.blend, self.colours, "a background")
        return self


class LinePart(Part):
    """A ready-made line by its name and measures, such as {"length": 240, "height": 40, "waves": 2} [mm, degrees].

    It is made about its middle, turned left by `turned` [degrees], and put at x, y [mm].
    """

    name: Literal[tuple(READY_MADE)]
    measures: dict[str, float]
    x: Place = 0.0
    y: Place = 0.0
    turned: Annotated[float, Field(ge=-360, le=360)] = 0.0

    @model_validator(mode="after")
    def _can_be_made(self) -> "LinePart":
        asked = inspect.signature(READY_MADE[self.name]).parameters
        measures = {name: one.default is one.empty for name, one in asked.items() if name not in PLACING}
        wrong = next((name for name in self.measures if name not in measures), None)
        wrong = wrong or next((name for name, needed in measures.items() if needed and name not in self.measures), None)
        if wrong:
            why = "is missing" if wrong in measures else "is not one of them"
            raise ValueError(f"the measures of a {self.name} are: {', '.join(measures)}; {brief(wrong)} {why}")
        _told_here(self.guide)
        return self

    def guide(self) -> Guide:
        """Return the line on its face [mm]."""
        return READY_MADE[self.name](**self.measures, x=self.x, y=self.y, turned=self.turned)


MOST_BANDS = 12  # on one face
MOST_MOTIFS = 12
MOST_ROWS = 200  # of one band
MOST_COLOURS = 500  # in one list: every piece is held against each of them
Meeting = Literal[MEETINGS]  # of bands on one face: whether the later is on top, or both stop at a shared line
PLACING = ("x", "y", "turned")
DRAWN_WITHIN = 0.05  # [mm] that the guide along a drawing's path may leave it


def _told_here(make: Callable[[], object]) -> None:
    """Put a refusal in the words of a plan's checker, which adds the full stop."""
    try:
        make()
    except MosaicError as told:
        raise ValueError(str(told).removesuffix(".")) from None


class DrawnPart(Part):
    """A line on a face: drawn points, a ready-made line, or the path of a drawing.

    Points are [across, up] from the face's lower left corner, seen from the front, or from `behind` where it was
    drawn looking through the glass [mm]; so are the places of a ready-made line and of a path, which is SVG path data
    with y upwards as `SvgDrawing.data` gives it.
    """

    what: ClassVar = "line"

    face: Name
    points: list[Annotated[list[Place], Field(min_length=2, max_length=2)]] = Field(
        default=[], max_length=60, exclude_if=lambda points: not points
    )
    line: LinePart | None = Field(default=None, exclude_if=lambda line: line is None)
    path: Annotated[Text, Field(max_length=100_000)] | None = Field(default=None, exclude_if=lambda path: path is None)

    @model_validator(mode="after")
    def _there(self) -> "DrawnPart":
        if [bool(self.points), self.line is not None, self.path is not None].count(True) != 1:
            raise ValueError(f"a {self.what} needs one of these and no other: points, a line, a path")
        if 0 < len(self.points) < self.fewest:
            raise ValueError(f"the points of a {self.what} must be at least {self.fewest}, not {len(self.points)}")
        if not self.points and (self.corners or ("closed" in self.model_fields_set and self.closed)):
            raise ValueError("closed and corners belong to points; a line or a path has its own")
        if self.path is not None:
            _told_here(self._along_path)
        if any(corner >= len(self.points) for corner in self.corners):
            raise ValueError("a corner of the drawn line is counted past its last point")
        return self

    def guide(self, face: Face) -> Guide:
        """Return the line on the strip, seen from the front [mm]."""
        drawn = self.drawn()
        points = drawn.points * [-1, 1] + np.array([face.width, 0]) if self.behind else drawn.points
        return Guide(points + np.array([face.x, face.y]), closed=drawn.closed, corners=drawn.corners)

    def drawn(self) -> Guide:
        """Return the line as drawn, from the face's lower left corner [mm]."""
        if self.line is not None:
            return self.line.guide()
        if self.path is not None:
            return self._along_path()
        return Guide(np.array(self.points, dtype=float), closed=self.closed, corners=self.corners)

    def _along_path(self) -> Guide:
        strokes = strokes_of(self.path)
        if len(strokes) != 1:
            raise MosaicError(f"The path of a {self.what} must be one line; this one has {len(strokes)}.")
        return guide_of(strokes[0], DRAWN_WITHIN)


class BandPart(DrawnPart):
    """A line on a face and the rows along it.

    Rows are listed left to right of travel, as drawn. `outline` is what the tiles of one more row on either side are cut to,
    in the background's colours, before the field begins; `corner` is how all rows go round the true corners of the line.
    """

    what: ClassVar = "band"
    fewest: ClassVar = 2

    closed: bool = False
    corners: list[Annotated[int, Field(ge=0, le=59)]] = Field(default=[], max_length=60)
    rows: list[RowPart] = Field(min_length=1)
    behind: bool = False
    outline: Literal["none", *FRACTIONS] = "none"
    corner: Literal[ROUND_CORNERS] = Field(default="mitre", exclude_if=lambda corner: corner == "mitre")

    @model_validator(mode="after")
    def _not_too_many(self) -> "BandPart":
        if len(self.rows) > MOST_ROWS:
            raise ValueError(f"a band has {len(self.rows)} rows; more than {MOST_ROWS} take too long to lay")
        return self

    @property
    def front_rows(self) -> list[RowPart]:
        """The rows left to right of travel as seen from the front; mirroring swaps the sides."""
        return self.rows[::-1] if self.behind else list(self.rows)

    @property
    def laid_rows(self) -> list[RowPart]:
        """The rows as they are laid, seen from the front, with an outline row on either side where one is asked for."""
        edge = [] if self.outline == "none" else [RowPart(fraction=self.outline)]
        return [*edge, *self.front_rows, *edge]

    def listed(self, row: int) -> int:
        """Return the number that the plan lists a row under, from its number as laid; 0 for an outline row."""
        number = row - (self.outline != "none")
        number = len(self.rows) + 1 - number if self.behind else number
        return number if 0 < number <= len(self.rows) else 0

    def called(self, row: int) -> str:
        """Return what a sentence calls a row, from its number as laid."""
        return f"row {self.listed(row)}" if self.listed(row) else "the outline row"

    def colours_of(self, band: str, row: int) -> list[str]:
        """Return the colours that a row may have, by its number as laid; none where any will do."""
        return self.laid_rows[row - 1].colours if band == "rows" else []


class MotifPart(DrawnPart):
    """A closed line on a face, filled inwards with rows of one kind until its middle closes.

    Points lie round it, smooth but for `corners`. `colours` are those of its rows and middle, any if none are named;
    `outline` is what the tiles of one more row outside it are cut to, in `outline_colours`, those of the background if none
    are named. The first `over` bands of its face lie beneath it, all where that is left out; of motifs the later is on top.
    """

    what: ClassVar = "motif"
    fewest: ClassVar = 3
    closed: ClassVar = True

    corners: list[Annotated[int, Field(ge=0, le=59)]] = Field(default=[], max_length=60)
    fraction: Literal[FRACTIONS] = "half"
    middle: Literal[tuple(MIDDLES)] = "piece"
    colours: list[Name] = []
    outline: Literal[OUTLINED] = "none"
    outline_colours: list[Name] = []
    behind: bool = False
    over: Annotated[int, Field(ge=0, le=MOST_BANDS)] | None = None

    @model_validator(mode="after")
    def _encloses(self) -> "MotifPart":
        _told_here(lambda: outline_of(self.drawn()))
        return self

    def listed(self, row: int) -> int:
        """Return the number of a row from the edge inwards, from its number as laid; 0 for the outline row."""
        return row - (self.outline != "none")

    def called(self, row: int) -> str:
        """Return what a sentence calls a row, from its number as laid; of the middle 0."""
        if not row:
            return "the middle"
        return f"row {self.listed(row)}" if self.listed(row) else "the outline row"

    def colours_of(self, band: str, row: int) -> list[str]:
        """Return the colours that a row, or the middle, may have; none where any will do."""
        return self.outline_colours if band == "rows" and not self.listed(row) else self.colours


class PanePart(Part):
    """A flat pane [mm]."""

    covers: ClassVar = Pane

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


GlassPart = PanePart | VesselPart  # a new kind of glass is one more part, told apart by its `kind`


def drawn_on(part: GlassPart) -> list[tuple[str, DrawnPart]]:
    """Return what is drawn on a piece of glass, face by face the lowest first, with what the table calls it.

    "band 2" is the second band of its face as listed, "motif 1" its first motif; an only band has no name.
    """
    found = []
    for face in {one.face: None for one in (*part.bands, *part.motifs)}:
        bands, motifs = ([one for one in some if one.face == face] for some in (part.bands, part.motifs))
        alone = len(bands) == 1 and not motifs
        named = [(k, 0, k, "" if alone else f"band {k}", one) for k, one in enumerate(bands, 1)]
        over = [len(bands) if one.over is None else one.over for one in motifs]
        named += [(beneath, 1, k, f"motif {k}", motifs[k - 1]) for k, beneath in enumerate(over, 1)]
        found += [(name, one) for *_, name, one in sorted(named, key=lambda place: place[:3])]
    return found


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
    """In what steps a gauge is set for wedges [mm]."""

    gauge_step: Annotated[float, Field(ge=0.05, le=10)] = _usual("gauge step")


class SparePart(Part):
    """Chance that a tile breaks or is spoilt, and how sure one wants to be of having enough."""

    break_chance: Annotated[float, Field(ge=0, le=0.9)] = _usual("whole tiles spoilt")
    confidence: Annotated[float, Field(ge=0.5, le=0.9999)] = _usual("sure of having enough")


VERSION = 1
LARGEST_FILE = 10_000_000  # bytes; a plan is a few thousand


class Saved(Part):
    """A part that is a file of its own, with a name: read with a sentence where it cannot be used, written whole."""

    called: ClassVar = "plan"

    version: Literal[1] = VERSION
    name: Name

    @classmethod
    def made(cls, **parts: Any) -> Self:
        """Make it from its parts, with a sentence where one is wrong."""
        try:
            return cls.model_validate(parts)
        except ValidationError as wrong:
            raise MosaicError(f"The {cls.called} cannot be used: {_first_sentence(wrong, cls.called)}") from None

    @classmethod
    def load(cls, path: str | os.PathLike) -> Self:
        """Read a file, which is never changed."""
        file = path_named(path, "file")
        found = _read_json(file, cls.called)
        version = found.get("version") if isinstance(found, dict) else None
        if not isinstance(found, dict) or not isinstance(version, int) or isinstance(version, bool):
            raise MosaicError(f"{plain(file.name)} is not a {cls.called} of this workbook: it has no version number.")
        if version > VERSION:
            raise MosaicError(
                f"{plain(file.name)} was saved by a newer workbook ({cls.called} version {brief(version)}; this one "
                f"reads {VERSION}). Bring this workbook up to date and try again."
            )
        try:
            return cls.model_validate(_each_colour_once(found))
        except ValidationError as wrong:
            raise MosaicError(f"{plain(file.name)} cannot be used: {_first_sentence(wrong, cls.called)}") from None

    def text(self) -> str:
        """Return the text of its file."""
        return json.dumps(self.model_dump(mode="json"), indent=2, ensure_ascii=False) + "\n"

    def save(self, path: str | os.PathLike) -> Path:
        """Write its file whole or not at all, over what is there (`job.shelf` keeps what a page would lose)."""
        file = path_named(path, "file")
        try:
            write_whole(file, self.text().encode("utf-8"))
        except OSError as wrong:
            raise MosaicError(
                f"The {self.called} cannot be saved as {plain(file.name)}: {wrong.strerror or wrong}."
            ) from None
        return file


class Plan(Saved):
    """A whole plan: one or more pieces of glass covered from one stock of tiles.

    Examples
    --------
    >>> from mosaiclib.reference import DATA
    >>> [part.name for part in Plan.load(DATA / "example_plan.json").glass]
    ['window panel', 'planter']
    """

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
    consumables: list[Literal[CONSUMABLES]] = Field(default=list(CONSUMABLES), max_length=len(CONSUMABLES))

    @model_validator(mode="after")
    def _each_once(self) -> "Plan":
        names = [part.name for part in self.glass]
        if len(set(names)) < len(names):
            raise ValueError("two pieces of glass have the same name; give each its own")
        for part in self.glass:
            _check_drawn(part)
            _check_colours(self, part)
        unknown = next((pin.glass for pin in self.colour.pins if pin.glass not in names), None)
        if unknown:
            raise ValueError(f"a piece was pinned on {brief(unknown)}, which is no piece of glass of this plan")
        return self

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


def _read_json(file: Path, called: str) -> Any:
    """Return what the file holds, with a sentence where it holds no JSON."""
    name = plain(file.name)
    try:
        about = file.stat()
        if about.st_size > LARGEST_FILE:
            raise MosaicError(f"{name} is too large to be a {called}.")
        if not stat.S_ISREG(about.st_mode) and not stat.S_ISDIR(about.st_mode):  # a pipe would be waited for
            raise MosaicError(f"{name} is not a plain file; give the file of a {called}.")
        words = file.read_text(encoding="utf-8-sig")  # some editors put a mark at the beginning
        return json.loads(words, object_pairs_hook=lambda pairs: _each_key_once(pairs, name))
    except MosaicError:
        raise
    except FileNotFoundError:
        raise MosaicError(f"There is no file called {name} here.{_beside(file)}") from None
    except OSError as wrong:
        raise MosaicError(f"{name} cannot be opened: {wrong.strerror or wrong}.") from None
    except (ValueError, RecursionError):  # ValueError covers broken JSON and broken text alike
        raise MosaicError(
            f"{name} is not a whole {called} file; it may have been cut off while it was copied. The "
            f"file was left as it is."
        ) from None


def _each_key_once(pairs: list[tuple[str, Any]], name: str) -> dict[str, Any]:
    """Refuse a part that is given twice, of which one would be lost in silence."""
    found = dict(pairs)
    if len(found) < len(pairs):
        keys = [key for key, _ in pairs]
        twice = next(key for key in keys if keys.count(key) > 1)
        raise MosaicError(f"{name} cannot be used: it gives {brief(twice)} twice in one place; take one of them out.")
    return found


def _beside(file: Path) -> str:
    """Name the plans that do stand where one was looked for."""
    try:
        found = sorted(plain(path.stem) for path in file.parent.glob("*.json"))[:12]
    except OSError:
        found = []
    return f" There are: {', '.join(found)}." if found else ""


_WORDS = {
    "missing": "is missing",
    "extra_forbidden": "is not a part of a {} that this workbook knows",
    "float_type": "must be a number, not text",
    "int_type": "must be a whole number",
    "string_type": "must be text",
    "bool_type": "must be true or false",
    "finite_number": "must be a finite number",
}


_LIMITS = {
    "greater_than_equal": "at least",
    "greater_than": "over",
    "less_than_equal": "at most",
    "less_than": "under",
}


def _first_sentence(wrong: ValidationError, called: str) -> str:
    """Turn the first of the checker's findings into a sentence."""
    found = wrong.errors(include_url=False)[0]
    kinds = [part.model_fields["kind"].annotation.__args__[0] for part in GlassPart.__args__]
    place = [
        f"number {step + 1}" if isinstance(step, int) else brief(step)[1:-1].replace("_", " ") for step in found["loc"]
    ]
    where = ", ".join(step for step in place if step not in kinds)
    if found["type"] == "value_error":
        return f"{found['ctx']['error']}."
    if found["type"] == "union_tag_not_found":
        return f"'{where}' needs a kind: {' or '.join(kinds)}."
    if found["type"] == "union_tag_invalid":
        return (
            f"'{where}' has a kind that is not known, {brief(found['ctx']['tag'])}; choose one of: {', '.join(kinds)}."
        )
    if found["type"] in ("too_short", "too_long"):
        return f"'{where}' {_counted(**found['ctx'])}."
    if found["type"] in _LIMITS:
        bound = next(iter(found["ctx"].values()))
        return f"'{where}' must be {_LIMITS[found['type']]} {bound:g}, not {brief(found['input'])}."
    said = _WORDS.get(found["type"], "").format(called) or (
        found["msg"][0].lower() + found["msg"][1:].replace("Input ", "")
    )
    given = found["input"]
    shown = f" (found {brief(given)})" if isinstance(given, str | int | float) else ""
    return f"'{where}' {said.removeprefix('input ')}{shown}."


def _counted(*, actual_length: int | None = None, min_length: int = 0, max_length: int = 0, **_: Any) -> str:
    """Say that a list is too short or too long."""
    found = "more" if actual_length is None else actual_length
    return f"must list at {f'most {max_length}' if max_length else f'least {min_length}'}, not {found}"
