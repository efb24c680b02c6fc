"""Flat glass of any outline as a plan's file has it: a shape with its measures, and holes."""

__all__ = ["MEASURED", "FlatPart", "HolePart", "with_measures"]

from typing import Annotated, Any, ClassVar, Literal

import numpy as np
import shapely
from pydantic import Field, model_validator

from mosaiclib.errors import MosaicError
from mosaiclib.glass import HEADS, Flat, arch, circle, ellipse, pierced, polygon
from mosaiclib.glass.outlines import cornered
from mosaiclib.job.drawn import MOST_BANDS, MOST_MOTIFS, BackgroundPart, BandPart, Meeting, MotifPart
from mosaiclib.job.saved import Length, Margin, Name, Part, Place, Text
from mosaiclib.layout import Tile
from mosaiclib.layout.svg_path import outline_of_stroke, strokes_of

MEASURED = {  # what is measured of each shape
    "circle": ("diameters",),
    "ellipse": ("width", "height"),
    "arch": ("width", "height", "rise", "head"),
    "polygon": ("points", "corner_radius"),
    "own": ("path", "width"),
}
LEFT_OUT = {"arch": {"head": HEADS[0]}, "polygon": {"corner_radius": 0.0}}  # what a file need not say
EVERY = {name for measures in MEASURED.values() for name in measures}
MOST_HOLES, MOST_POINTS = 24, 60
FOLLOWED = 0.02  # [mm] within which straight strokes follow a drawing


class HolePart(Part):
    """A round hole: its middle from the lower left of the glass, seen from the front, and its diameter [mm]."""

    x: Place
    y: Place
    diameter: Length

    def outline(self) -> shapely.Polygon:
        """Return its edge [mm]."""
        round_, at = circle(self.diameter), np.array([self.x, self.y]) - self.diameter / 2
        return shapely.transform(round_, lambda xy: xy + at)


def _measure(kind: Any, **more: Any) -> Any:
    """Return the annotation of a measure that only some shapes have."""
    return Annotated[kind | None, Field(default=None, exclude_if=lambda value: value is None, **more)]


class FlatPart(Part):
    """Flat glass of any outline: a shape, its measures, and holes, within a bare strip along all edges [mm].

    A circle has `diameters`, measured once or more ways across; an arch its height in all and the `rise` of its head, round or
    pointed; a polygon its corners in `points`, from any place, and a `corner_radius`; an outline of one's own is the path of a
    drawing, SVG path data with y upwards, whose further lines are holes, as wide as `width` says.
    """

    covers: ClassVar = Flat
    courses: ClassVar[dict[str, str]] = {}

    kind: Literal["shaped pane"]
    name: Name
    shape: Literal[tuple(MEASURED)]
    diameters: _measure(list[Length], min_length=1, max_length=12)
    width: _measure(Length)
    height: _measure(Length)
    rise: _measure(Length)
    head: _measure(Literal[HEADS])
    points: _measure(
        list[Annotated[list[Place], Field(min_length=2, max_length=2)]], min_length=3, max_length=MOST_POINTS
    )
    corner_radius: _measure(Margin)
    path: _measure(Annotated[Text, Field(max_length=100_000)])
    holes: list[HolePart] = Field(default=[], max_length=MOST_HOLES, exclude_if=lambda holes: not holes)
    margin: Margin = 0.0
    bands: list[BandPart] = Field(default=[], max_length=MOST_BANDS)  # the lowest first
    meet: Meeting = Field(default="over", exclude_if=lambda meet: meet == "over")
    motifs: list[MotifPart] = Field(default=[], max_length=MOST_MOTIFS, exclude_if=lambda motifs: not motifs)
    background: BackgroundPart | None = Field(default=None, exclude_if=lambda background: background is None)

    @model_validator(mode="before")
    @classmethod
    def _whole(cls, found: Any) -> Any:
        shape = found.get("shape") if isinstance(found, dict) else None
        return LEFT_OUT[shape] | found if isinstance(shape, str) and shape in LEFT_OUT else found

    @model_validator(mode="after")
    def _can_be_made(self) -> "FlatPart":
        asked = MEASURED[self.shape]
        given = {name for name in EVERY if getattr(self, name) is not None}
        wrong = next((name for name in sorted(given) if name not in asked), None)
        missing = next((name for name in asked if name not in given), None)
        if wrong or missing:
            why = f"has no {wrong}" if wrong else f"needs its {missing}"
            raise ValueError(
                f"glass in the shape of {_called(self.shape)} {why.replace('_', ' ')}; "
                f"it has: {', '.join(asked).replace('_', ' ')}"
            )
        try:
            self._flat()
        except MosaicError as told:
            raise ValueError(str(told).removesuffix(".")) from None
        return self

    def glass(self, tile: Tile, bed: float, joint: float) -> Flat:
        """Return the measured glass."""
        return self._flat(margin=self.margin)

    def _flat(self, **more: float) -> Flat:
        holes = [hole.outline() for hole in self.holes]
        if self.shape == "circle":
            return Flat.round(self.diameters, holes, **more)
        return Flat(pierced(self._outline(), holes), **more)

    def _outline(self) -> shapely.Polygon:
        """Return its outline without the holes that are listed, its lower left at 0, 0 [mm]."""
        if self.shape == "ellipse":
            return ellipse(self.width, self.height)
        if self.shape == "arch":
            return arch(self.width, self.height, self.rise, self.head)
        if self.shape == "polygon":
            return cornered(polygon(self.points, self.corner_radius))
        return _drawn(self.path, self.width)


def with_measures(record: dict[str, Any]) -> dict[str, Any]:
    """Return the record of a piece of glass with those measures only that its shape has.

    >>> with_measures({"shape": "circle", "diameters": [300.0], "width": 200.0})
    {'shape': 'circle', 'diameters': [300.0]}
    """
    rest = EVERY - set(MEASURED[record["shape"]]) if "shape" in record else ()
    return {name: value for name, value in record.items() if name not in rest}


def _called(shape: str) -> str:
    return "an own drawing" if shape == "own" else f"a{'n' * (shape[0] in 'ae')} {shape}"


def _drawn(path: str, width: float) -> shapely.Polygon:
    """Return the outline that the lines of a path enclose, the largest with the others as holes, scaled to a width [mm]."""
    rings = sorted((outline_of_stroke(one, FOLLOWED) for one in strokes_of(path)), key=lambda ring: -ring.area)
    if not rings:
        raise MosaicError("The path of the glass holds no line.")
    x0, y0, x1, _ = rings[0].bounds
    edge, *holes = shapely.transform(rings, lambda xy: (xy - [x0, y0]) * width / (x1 - x0))
    return pierced(edge, holes)
