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
import stat
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import Field, ValidationError, model_validator

from mosaiclib.adhesive import families
from mosaiclib.errors import MosaicError, brief, plain
from mosaiclib.files import write_whole
from mosaiclib.filler import KINDS
from mosaiclib.glass import FourSided, Pane
from mosaiclib.job.bands import BandPart
from mosaiclib.job.strict import Count, Length, Margin, Name, Part, Text
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


VERSION = 1
LARGEST_FILE = 10_000_000  # bytes; a plan is a few thousand


class Plan(Part):
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
        for part in self.glass:
            _check_bands(part, {colour.name for colour in self.tile.colours})
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
            raise MosaicError(f"{plain(file.name)} is not a plan of this workbook: it has no version number.")
        if version > VERSION:
            raise MosaicError(
                f"{plain(file.name)} was saved by a newer workbook (plan version {version}; this one reads "
                f"{VERSION}). "
                "Bring this workbook up to date and try again."
            )
        try:
            return cls.model_validate(found)
        except ValidationError as wrong:
            raise MosaicError(f"{plain(file.name)} cannot be used: {_first_sentence(wrong)}") from None

    def text(self) -> str:
        """Return the plan as the text of its file."""
        return json.dumps(self.model_dump(mode="json"), indent=2, ensure_ascii=False) + "\n"

    def save(self, path: str | os.PathLike) -> Path:
        """Write the plan's file whole or not at all.

        Parameters
        ----------
        path : path
            The file; replaced if it is there (a page saves through `job.shelf`, which keeps what was there).

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
        try:
            write_whole(file, self.text().encode("utf-8"))
        except OSError as wrong:
            raise MosaicError(f"The plan cannot be saved as {plain(file.name)}: {wrong.strerror or wrong}.") from None
        return file


def _path(path: str | os.PathLike) -> Path:
    """Return a path, or say in a sentence that it is none."""
    try:
        file = Path(path)
        os.fsencode(file)
    except (TypeError, UnicodeEncodeError):
        file = None
    if file is None or not file.name or "\0" in str(file):
        shown = str(path) if isinstance(path, os.PathLike) else path
        raise MosaicError(f"{brief(shown)} is not the name of a file.")
    return file


def _check_bands(part: PanePart | VesselPart, colours: set[str]) -> None:
    """Refuse a band on a face that is not there, a second one on a face, and colours that are not in the list."""
    faces = ("pane",) if isinstance(part, PanePart) else FourSided.face_names
    used = [band.face for band in part.bands]
    for face in used:
        if face not in faces:
            raise ValueError(f"{part.name} has no face {brief(face)}; choose one of: {', '.join(faces)}")
        if used.count(face) > 1:
            raise ValueError(f"the {face} of {part.name} has two bands; one is all that a face can carry")
    for band in part.bands:
        for row in band.rows:
            for name in row.colours:
                if name not in colours:
                    raise ValueError(f"the row colour {brief(name)} is not in the list of colours")


def _read_json(file: Path) -> Any:
    """Return what the file holds, with a sentence where it holds no JSON."""
    name = plain(file.name)
    try:
        about = file.stat()
        if about.st_size > LARGEST_FILE:
            raise MosaicError(f"{name} is too large to be a plan.")
        if not stat.S_ISREG(about.st_mode) and not stat.S_ISDIR(about.st_mode):  # a pipe would be waited for
            raise MosaicError(f"{name} is not a plain file; give the file that workbook 06 saved.")
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
            f"{name} is not a whole plan file; it may have been cut off while it was copied. The "
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
    "extra_forbidden": "is not a part of a plan that this workbook knows",
    "float_type": "must be a number, not text",
    "int_type": "must be a whole number",
    "string_type": "must be text",
    "bool_type": "must be true or false",
    "finite_number": "must be a finite number",
    "union_tag_not_found": "needs a kind: pane or four-sided vessel",
}


_LIMITS = {
    "greater_than_equal": "at least",
    "greater_than": "over",
    "less_than_equal": "at most",
    "less_than": "under",
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
    if found["type"] == "union_tag_invalid":
        return (
            f"'{where}' has a kind that is not known, {brief(found['ctx']['tag'])}; choose one of: {', '.join(kinds)}."
        )
    if found["type"] in ("too_short", "too_long"):
        return f"'{where}' {_counted(**found['ctx'])}."
    if found["type"] in _LIMITS:
        bound = next(iter(found["ctx"].values()))
        return f"'{where}' must be {_LIMITS[found['type']]} {bound:g}, not {brief(found['input'])}."
    said = _WORDS.get(found["type"], found["msg"][0].lower() + found["msg"][1:].replace("Input ", ""))
    given = found["input"]
    shown = f" (found {brief(given)})" if isinstance(given, str | int | float) else ""
    return f"'{where}' {said.removeprefix('input ')}{shown}."


def _counted(*, actual_length: int | None = None, min_length: int = 0, max_length: int = 0, **_: Any) -> str:
    """Say that a list is too short or too long."""
    found = "more" if actual_length is None else f"{actual_length}"
    return (
        f"must list at most {max_length}, not {found}"
        if max_length
        else f"must list at least {min_length}, not {found}"
    )
