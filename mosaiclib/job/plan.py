"""The plan file: what a maker measured and chose, checked, saved and loaded without loss."""

__all__ = [
    "VERSION",
    "AdhesivePart",
    "Colour",
    "ColourPart",
    "FillerPart",
    "JointPart",
    "PanePart",
    "Plan",
    "SparePart",
    "TilePart",
    "VesselPart",
]

import json
import os
import tempfile
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, ValidationError, model_validator

from mosaiclib.errors import MosaicError, brief
from mosaiclib.glass import FourSided, Pane
from mosaiclib.layout import Tile

VERSION = 1
LARGEST_FILE = 10_000_000  # bytes; a plan is a few thousand


def _sound(words: str) -> str:
    """Refuse half of a two-part sign, which no file can hold."""
    if any("\ud800" <= sign <= "\udfff" for sign in words):
        raise ValueError("a text holds a broken sign; type it again")
    return words


def _named(words: str) -> str:
    """Refuse a name of nothing but spaces."""
    if not words.strip():
        raise ValueError("a name is empty; give it at least one letter")
    return words


Text = Annotated[str, AfterValidator(_sound)]
Length = Annotated[float, Field(gt=0, le=100_000)]
Margin = Annotated[float, Field(ge=0, le=100_000)]
Share = Annotated[float, Field(ge=0, le=1)]
Name = Annotated[Text, Field(min_length=1, max_length=80), AfterValidator(_named)]
Count = Annotated[int, Field(ge=0, le=10_000_000)]


class _Part(BaseModel):
    """Numbers must be numbers, and nothing unknown is let through in silence."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)


class PanePart(_Part):
    """A flat pane [mm]."""

    kind: Literal["pane"]
    name: Name
    width: Length
    height: Length
    margin: Margin = 0.0

    def glass(self, tile: Tile, bed: float, joint: float) -> Pane:
        """Return the measured glass."""
        return Pane(self.width, self.height, margin=self.margin)


class VesselPart(_Part):
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


class Colour(_Part):
    """A colour of tile: how many are in hand, and the price of one more."""

    name: Name
    in_hand: Count = 0
    price: Annotated[float, Field(ge=0, le=1_000_000)] = 0.0
    more: bool = True


class TilePart(_Part):
    """The tile stock [mm]; tiles are bought in packs of `pack`."""

    side: Annotated[float, Field(ge=3, le=300)]
    thickness: Annotated[float, Field(gt=0, le=50)]
    back_side: Annotated[float, Field(gt=0, le=300)] | None = None
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


class JointPart(_Part):
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


class ColourPart(_Part):
    """How colours are arranged."""

    seed: Count = 1
    corners: bool = False


class AdhesivePart(_Part):
    """The adhesive's bed [mm], the share of each back that it covers and the share that is lost."""

    bed: Annotated[float, Field(gt=0, le=20)] = 0.8
    coverage: Annotated[float, Field(gt=0, le=1)] = 1.0
    waste: Annotated[float, Field(ge=0, le=2)] = 0.15


class FillerPart(_Part):
    """Width of the sloping bead along rim, base and edges [mm], and the share of filler that is lost."""

    bead: Annotated[float, Field(ge=0, le=50)] = 0.0
    waste: Annotated[float, Field(ge=0, le=2)] = 0.15


class SparePart(_Part):
    """Chance that a tile breaks or is spoilt, and how sure one wants to be of having enough."""

    break_chance: Annotated[float, Field(ge=0, le=0.9)] = 0.03
    confidence: Annotated[float, Field(ge=0.5, le=0.9999)] = 0.95


class Plan(_Part):
    """A whole plan: one or more pieces of glass covered from one stock of tiles.

    Raises
    ------
    MosaicError
        From `load` and `made`, if anything is missing, unknown or out of range.

    Examples
    --------
    >>> from mosaiclib.reference import DATA
    >>> [part.name for part in Plan.load(DATA / "example_plan.json").glass]
    ['window panel', 'planter']
    """

    version: Literal[1] = VERSION
    name: Name
    note: Annotated[Text, Field(max_length=2000)] = ""
    unit: Literal["mm", "in"] = "mm"
    currency: Annotated[Text, Field(max_length=20)] = ""
    paper: Literal["A4", "Letter"] = "A4"
    glass: list[Annotated[PanePart | VesselPart, Field(discriminator="kind")]] = Field(min_length=1, max_length=12)
    tile: TilePart
    joint: JointPart
    colour: ColourPart = ColourPart()
    adhesive: AdhesivePart = AdhesivePart()
    filler: FillerPart = FillerPart()
    spare: SparePart = SparePart()

    @model_validator(mode="after")
    def _each_once(self) -> "Plan":
        names = [part.name for part in self.glass]
        if len(set(names)) < len(names):
            raise ValueError("two pieces of glass have the same name; give each its own")
        return self

    @classmethod
    def made(cls, **parts: Any) -> "Plan":
        """Make a plan from its parts, with a sentence where one is wrong.

        Parameters
        ----------
        **parts
            Fields of a plan.

        Returns
        -------
        Plan
            The checked plan.

        Raises
        ------
        MosaicError
            If a part is missing, unknown or out of range.
        """
        try:
            return cls.model_validate(parts)
        except ValidationError as wrong:
            raise MosaicError(f"The plan cannot be used: {_first_sentence(wrong)}") from None

    @classmethod
    def load(cls, path: str | os.PathLike) -> "Plan":
        """Read a plan file; the file is never changed.

        Parameters
        ----------
        path : path
            The file.

        Returns
        -------
        Plan
            The checked plan.

        Raises
        ------
        MosaicError
            If there is no such file, or it is no plan that this version can read.
        """
        file = _path(path)
        found = _read_json(file)
        version = found.get("version") if isinstance(found, dict) else None
        if not isinstance(found, dict) or not isinstance(version, int) or isinstance(version, bool):
            raise MosaicError(f"{file.name} is not a plan of this workbook: it has no version number.")
        if version > VERSION:
            raise MosaicError(
                f"{file.name} was saved by a newer workbook (plan version {version}; this one reads "
                f"{VERSION}). "
                "Bring this workbook up to date and try again."
            )
        try:
            return cls.model_validate(found)
        except ValidationError as wrong:
            raise MosaicError(f"{file.name} cannot be used: {_first_sentence(wrong)}") from None

    def text(self) -> str:
        """Return the plan as the text of its file."""
        return json.dumps(self.model_dump(mode="json"), indent=2, ensure_ascii=False) + "\n"

    def save(self, path: str | os.PathLike) -> Path:
        """Write the plan's file whole or not at all.

        Parameters
        ----------
        path : path
            The file; replaced if it is there.

        Returns
        -------
        Path
            The file.

        Raises
        ------
        MosaicError
            If it cannot be written; what was there before stays as it was.
        """
        file = _path(path)
        content = self.text().encode("utf-8")
        draft = None
        try:
            handle, draft = tempfile.mkstemp(dir=file.parent, prefix=".plan-", suffix=".part")
            with os.fdopen(handle, "wb") as out:
                out.write(content)
            _usual_rights(draft)
            os.replace(draft, file)
            draft = None
        except OSError as wrong:
            raise MosaicError(f"The plan cannot be saved as {file.name}: {wrong.strerror or wrong}.") from None
        finally:
            if draft is not None:
                Path(draft).unlink(missing_ok=True)
        return file


def _path(path: str | os.PathLike) -> Path:
    """Return a path, or say in a sentence that it is none."""
    try:
        file = Path(path)
    except TypeError:
        file = None
    if file is None or not file.name or "\0" in str(file):
        raise MosaicError(f"{brief(path)} is not the name of a file.")
    return file


def _usual_rights(path: str) -> None:
    """Give a file the rights that a new file has here; a temporary one is closed to all others."""
    mask = os.umask(0)
    os.umask(mask)
    os.chmod(path, 0o666 & ~mask)


def _read_json(file: Path) -> Any:
    """Return what the file holds, with a sentence where it holds no JSON."""
    try:
        if file.stat().st_size > LARGEST_FILE:
            raise MosaicError(f"{file.name} is too large to be a plan.")
        return json.loads(file.read_text(encoding="utf-8-sig"))  # some editors put a mark at the beginning
    except MosaicError:
        raise
    except OSError as wrong:
        raise MosaicError(f"{file.name or file} cannot be opened: {wrong.strerror or wrong}.") from None
    except (ValueError, RecursionError):  # ValueError covers broken JSON and broken text alike
        raise MosaicError(
            f"{file.name} is not a whole plan file; it may have been cut off while it was copied. The "
            f"file was left as it is."
        ) from None


_WORDS = {
    "missing": "is missing",
    "extra_forbidden": "is not a part of a plan that this workbook knows",
    "float_type": "must be a number, not text",
    "int_type": "must be a whole number",
    "string_type": "must be text",
    "bool_type": "must be true or false",
    "finite_number": "must be a finite number",
    "union_tag_not_found": "needs a kind: pane or four-sided vessel",
}


def _first_sentence(wrong: ValidationError) -> str:
    """Turn the first of the checker's findings into a sentence."""
    found = wrong.errors(include_url=False)[0]
    kinds = ("pane", "four-sided vessel")
    place = [
        f"number {step + 1}" if isinstance(step, int) else brief(step)[1:-1].replace("_", " ") for step in found["loc"]
    ]
    where = ", ".join(step for step in place if step not in kinds)
    if found["type"] == "value_error":
        return f"{found['ctx']['error']}."
    said = _WORDS.get(found["type"], found["msg"][0].lower() + found["msg"][1:].replace("Input ", ""))
    given = found["input"]
    shown = f" (found {brief(given)})" if isinstance(given, str | int | float) else ""
    return f"'{where}' {said.removeprefix('input ')}{shown}."
