"""What is drawn on a piece of glass, as a plan's file has it: bands of rows along lines, motifs, and the background behind them."""

__all__ = [
    "MOST_BANDS",
    "MOST_MOTIFS",
    "PLACING",
    "BackgroundPart",
    "BandPart",
    "DrawnPart",
    "LinePart",
    "Meeting",
    "MotifPart",
    "RowPart",
    "drawn_on",
]

import inspect
from collections.abc import Callable
from dataclasses import replace
from typing import Annotated, Any, ClassVar, Literal

import numpy as np
from pydantic import Field, model_validator

from mosaiclib.colour import BLENDS
from mosaiclib.drawing.palette import colour_word
from mosaiclib.errors import MosaicError, brief
from mosaiclib.glass import Face
from mosaiclib.job.saved import Name, Part, Place, Text
from mosaiclib.layout import FRACTIONS, MEETINGS, MIDDLES, OUTLINED, Guide
from mosaiclib.layout.closing import line_on
from mosaiclib.layout.layout import JointLimits
from mosaiclib.layout.lines import READY_MADE, outline_of
from mosaiclib.layout.motif import edge_line
from mosaiclib.layout.rowspec import CORNERS as ROUND_CORNERS
from mosaiclib.layout.svg_path import guide_of, strokes_of
from mosaiclib.units import mm

Blend = Literal[
    BLENDS
]  # how several colours share a run of pieces: by lot, evenly, or as a gradient from the first to the last


Turn = Annotated[float, Field(ge=-360, le=360)]  # to the left [degrees]


class RowPart(Part):
    """One row of a band: what its tiles are cut to, and the colours it may have; any if none are named.

    `blend` says how they share the row; a gradient runs along it from the first colour to the last.
    """

    fraction: Literal[FRACTIONS] = "quarter"
    turned: bool = False
    colours: list[Name] = Field(default=[])
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
    turned: Turn = 0.0

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
    """A line on a face: drawn points, a ready-made line, the path of a drawing, or the `edge` of the face itself.

    Points are [across, up] from the face's lower left corner, or [round, up] along the glass where the face goes round it,
    seen from the front, or from `behind` where it was drawn looking through the glass [mm]; so are the places of a ready-made
    line and of a path, which is SVG path data with y upwards as `SvgDrawing.data` gives it. `turned` tells how far a path has
    been turned left since it was taken [degrees]: it lies so already.
    """

    what: ClassVar = "line"

    face: Name
    points: list[Annotated[list[Place], Field(min_length=2, max_length=2)]] = Field(
        default=[], max_length=60, exclude_if=lambda points: not points
    )
    line: LinePart | None = Field(default=None, exclude_if=lambda line: line is None)
    path: Annotated[Text, Field(max_length=100_000)] | None = Field(default=None, exclude_if=lambda path: path is None)
    edge: bool = Field(default=False, exclude_if=lambda edge: not edge)
    turned: Turn = Field(default=0.0, exclude_if=lambda turned: not turned)

    @model_validator(mode="after")
    def _there(self) -> "DrawnPart":
        if [bool(self.points), self.line is not None, self.path is not None, self.edge].count(True) != 1:
            raise ValueError(f"a {self.what} needs one of these and no other: points, a line, a path, the edge")
        if 0 < len(self.points) < self.fewest:
            raise ValueError(f"the points of a {self.what} must be at least {self.fewest}, not {len(self.points)}")
        if not self.points and (self.corners or ("closed" in self.model_fields_set and self.closed)):
            raise ValueError("closed and corners belong to points; a line, a path or an edge has its own")
        if self.path is not None:
            _told_here(self._along_path)
        elif self.turned:
            raise ValueError("turned belongs to a path; a line has its own, and points lie where they are")
        if any(corner >= len(self.points) for corner in self.corners):
            raise ValueError("a corner of the drawn line is counted past its last point")
        return self

    def guide(self, face: Face, deep: float = 0.0, limits: JointLimits | None = None) -> Guide:
        """Return the line on the strip, seen from the front; what follows an edge lies half the rows' width inside it [mm]."""
        if self.edge and face.edge is not None:
            words = f"The {face.name} goes round the glass, so it has no edge at its sides; draw a level line from seam to seam, "
            raise MosaicError(words, "0 to ", mm(round(face.edge.length, 1)), ", instead.")
        if self.edge:
            return edge_line(face.outline, deep, limits)
        drawn = self.drawn()
        points = drawn.points * [-1, 1] + np.array([face.span[0], 0]) if self.behind else drawn.points
        seen = Guide(points, closed=drawn.closed, corners=drawn.corners)
        if face.edge is not None:
            return line_on(face, seen)
        return replace(seen, points=face.on_strip(seen.points))

    def drawn(self) -> Guide:
        """Return the line as drawn, from the face's lower left corner [mm]; what follows an edge is known by its face alone."""
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
    colours: list[Name] = Field(default=[])
    outline: Literal[OUTLINED] = "none"
    outline_colours: list[Name] = Field(default=[])
    behind: bool = False
    over: Annotated[int, Field(ge=0, le=MOST_BANDS)] | None = None

    @model_validator(mode="after")
    def _encloses(self) -> "MotifPart":
        if not self.edge:
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


def drawn_on(part: Any) -> list[tuple[str, DrawnPart]]:
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
