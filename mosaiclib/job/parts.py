"""The parts of a plan file: glass, tiles, joint, colours, adhesive, filler and spares."""

__all__ = [
    "AdhesivePart",
    "Colour",
    "ColourPart",
    "FillerPart",
    "JointPart",
    "PanePart",
    "SparePart",
    "TilePart",
    "VesselPart",
]

from typing import Annotated, Literal

from pydantic import Field, model_validator

from mosaiclib.bond import families
from mosaiclib.errors import brief
from mosaiclib.filler import KINDS
from mosaiclib.glass import FourSided, Pane
from mosaiclib.job.bands import BandPart
from mosaiclib.job.strict import Count, Length, Margin, Name, Part
from mosaiclib.layout import Tile


class PanePart(Part):
    """A flat pane [mm]."""

    kind: Literal["pane"]
    name: Name
    width: Length
    height: Length
    margin: Margin = 0.0
    bands: list[BandPart] = Field(default=[], max_length=4)  # one a face; Plan says so in a sentence

    def glass(self, tile: Tile, bed: float, joint: float) -> Pane:
        """Return the measured glass."""
        return Pane(self.width, self.height, margin=self.margin)


class VesselPart(Part):
    """A four-sided vessel; widths and depths at rim, middle and base, heights at any corners [mm]."""

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
    corner: Literal["open", "front laps", "each laps the next"] = "open"
    bands: list[BandPart] = Field(default=[], max_length=4)

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
        )


class Colour(Part):
    """A colour of tile: how many are in hand, and the price of one more."""

    name: Name
    in_hand: Count = 0
    price: Annotated[float, Field(ge=0, le=1_000_000)] = 0.0
    more: bool = True


class TilePart(Part):
    """The tile stock [mm]; tiles are bought in packs of `pack`."""

    side: Annotated[float, Field(ge=3, le=300)]
    thickness: Annotated[float, Field(gt=0, le=50)]
    back_side: Annotated[float, Field(gt=0, le=300)] | None = None
    clarity: Literal["opaque", "translucent", "transparent"] = "transparent"
    pack: Annotated[int, Field(ge=1, le=100_000)] = 25
    colours: list[Colour] = Field(min_length=1, max_length=40)

    @model_validator(mode="after")
    def _each_once(self) -> "TilePart":
        names = [colour.name for colour in self.colours]
        if len(set(names)) < len(names):
            raise ValueError("a colour stands in the list twice; give each its own name")
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
    edge: Literal["flush", "equal", "joint", "cut"] = "equal"

    @model_validator(mode="after")
    def _in_order(self) -> "JointPart":
        if not self.least <= self.wanted <= self.greatest:
            raise ValueError("the wanted joint must lie between the least and the greatest")
        return self


class ColourPart(Part):
    """How colours are arranged."""

    seed: Count = 1
    corners: bool = False


class AdhesivePart(Part):
    """The adhesive's family, bed [mm], share of each back that it covers, share that is lost, and where it cures.

    `place` and `touched` say where the piece will live; temperature [C] and humidity are those of the workroom.
    """

    family: Name = "neutral-cure silicone"
    place: Literal["dry shelf", "kitchen", "bathroom", "outdoors", "holds water"] = "dry shelf"
    touched: Literal["nothing", "food or drink", "candle heat"] = "nothing"
    temperature: Annotated[float, Field(ge=5, le=40)] = 23.0
    humidity: Annotated[float, Field(gt=0, le=1)] = 0.5
    bed: Annotated[float, Field(gt=0, le=20)] = 0.8
    coverage: Annotated[float, Field(gt=0, le=1)] = 1.0
    waste: Annotated[float, Field(ge=0, le=2)] = 0.15

    @model_validator(mode="after")
    def _known(self) -> "AdhesivePart":
        if self.family not in families():
            raise ValueError(
                f"there is no adhesive called {brief(self.family)}; choose one of: {', '.join(families())}"
            )
        return self


class FillerPart(Part):
    """Kind of filler with its polymer over cement, width of the sloping bead along rim, base and edges [mm], share lost."""

    family: Literal[KINDS] = KINDS[1]
    polymer: Annotated[float, Field(ge=0, le=0.3)] = 0.10

    bead: Annotated[float, Field(ge=0, le=50)] = 0.0
    waste: Annotated[float, Field(ge=0, le=2)] = 0.15


class SparePart(Part):
    """Chance that a tile breaks or is spoilt, and how sure one wants to be of having enough."""

    break_chance: Annotated[float, Field(ge=0, le=0.9)] = 0.03
    confidence: Annotated[float, Field(ge=0.5, le=0.9999)] = 0.95
