"""Lesson 04, part four: the practice piece with its own joints marked by how hard they pull, and what to mix for it."""

__all__ = ["CONTROLS", "Result", "Settings", "compute", "draw", "report", "summary"]

from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

import numpy as np
import shapely

from mosaiclib import reference
from mosaiclib.adhesive import lightness
from mosaiclib.drawing import Drawing, Lines, Text, layout_picture, look, toned
from mosaiclib.drawing.palette import INK
from mosaiclib.files import file_set, typed_name
from mosaiclib.filler import (
    KINDS,
    SILENT,
    Joint,
    Recipe,
    batches,
    grid_volume,
    meets,
    recipe,
    released_length,
    usual_grid_volume,
    wipe_minutes,
)
from mosaiclib.filler import draw as drawn
from mosaiclib.filler.kinds import Kind, quantities_known
from mosaiclib.job.sheets import caution, mixing_lines, write_batch_card
from mosaiclib.layout import Layout, joints_of
from mosaiclib.lesson.controls import Action, Number, Switch, Table, read_number
from mosaiclib.lessons.practice import COLOURS, sample_piece
from mosaiclib.lessons.w04_shared import FillerSettings, controls, joint_of, kind_in, line_of, volume_of
from mosaiclib.report import Row

TITLE = "Fill the piece"
MIX, TIME, SHADE, NORMS = "The batch", "The time", "The shade", "Test values from the bag's sheet"
PULLS = {"holds": "#2f6f55", "unsure": "#d9a350", "lets go": "#a5492a"}


@dataclass(frozen=True)
class Settings(FillerSettings):
    """What the learner can set [mm]."""

    shade: float = 80.0
    wet: bool = False
    rate: float = 15.0
    bowl: float = 500.0
    solids: float = 47.0
    water: float = 40.0
    room: float = 23.0
    pot: float = 45.0
    slake: float = 10.0
    tests: tuple[tuple[str, ...], ...] = (("shear on porcelain", "300"), ("shrinkage", "2.5"))


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings."""

    settings: Settings
    layout: Layout
    pulls: tuple[str, ...]
    lines: np.ndarray
    lengths: np.ndarray
    recipe: Recipe
    batch: tuple[int, float]
    shade: float


def compute(s: Settings) -> Result:
    """Judge every joint of the practice piece and work out its mix.

    Parameters
    ----------
    s : Settings
        What the learner set.

    Returns
    -------
    Result
        Joints and mix.

    Raises
    ------
    MosaicError
        If the mix cannot be.

    Examples
    --------
    >>> set(compute(Settings()).pulls) <= set(PULLS)
    True
    """
    layout = sample_piece(s.tile, s.joint, max(s.depth - s.bed, 1.0))
    lines, lengths, widths = _joints(layout)
    joint, kind = joint_of(s), kind_in(s)
    alone = _alone(s.joint, s.depth, s.age, s.humidity / 100, kind, s.seed)
    needed = alone * s.depth * np.tanh(np.maximum(widths, 0.05) / s.depth)
    low, high = (end * kind.bond_factor for end in joint.interface)
    pulls = np.where(needed <= low, "holds", np.where(needed > high, "lets go", "unsure"))
    polymer = s.polymer / 100 if s.kind == KINDS[1] else None
    made = _made(layout, s.bed, s.kind, s.joint, polymer, s.solids / 100, s.water / 100)
    shade = max(s.shade - reference.value("filler", "darker when wet").number * s.wet, 0.0)
    return Result(
        s,
        layout,
        tuple(pulls.tolist()),
        lines,
        lengths,
        made,
        batches(made.volume, pot=s.pot, slake=s.slake, rate=s.rate, bowl=s.bowl),
        shade,
    )


@lru_cache(64)
def _alone(width: float, depth: float, age: float, humidity: float, kind: Kind, seed: int) -> float:
    """Return the middle needed energy of a millimetre of released length; the assumption does not change it."""
    found = drawn(Joint(width, depth, "glass", age, humidity), kind, seed=seed).needed
    return float(np.median(found)) / released_length(width, depth)


@lru_cache(64)
def _made(
    layout: Layout, bed: float, kind: str, joint: float, polymer: float | None, solids: float, water: float
) -> Recipe:
    """Return the mix of the practice piece, kept because the assumption does not change it."""
    how = {"polymer": polymer, "solids": solids, "water_ratio": water, "waste": 0.15}
    return recipe(volume_of(layout, bed), kind, joint, **how)


@lru_cache(16)
def _joints(layout: Layout) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return the joints between pieces as lines, shape (m, 4), with their lengths and widths [mm]."""
    met = joints_of(layout)
    # a joint runs along the edge of its first piece, near its middle
    edges = shapely.boundary(layout.shapes[met.first])
    at = shapely.line_locate_point(edges, shapely.points(met.middle))
    near = [np.clip(at + step, 0.0, shapely.length(edges)) for step in (-0.3, 0.3)]
    ends = [shapely.get_coordinates(shapely.line_interpolate_point(edges, one)) for one in near]
    along = ends[1] - ends[0]
    along /= np.maximum(np.hypot(along[:, 0], along[:, 1]), 1e-9)[:, None]
    half = met.length[:, None] / 2 * along
    return np.concatenate([met.middle - half, met.middle + half], axis=1), met.length, met.mean_gap


def draw(result: Result) -> Drawing:
    """Draw the piece in its filler's shade, each joint marked by how hard it pulls."""
    grey = _grey(result.shade)
    tones = [look(name).fill for name in result.layout.pieces["colour"]]
    picture = toned(layout_picture(result.layout, marks=False, dimensions=False), tones, grey)
    outline = next(item for item in picture.items if getattr(item, "name", "") == "outline")
    left, low = shapely.total_bounds(outline.shapes)[:2] - np.array(result.layout.outline.bounds[:2])
    names = np.array(result.pulls)
    items: list = []
    for place, (name, tone) in enumerate(PULLS.items()):
        mine = result.lines[names == name]
        if len(mine):
            ends = shapely.linestrings((mine + np.array([left, low + 8, left, low + 8])).reshape(-1, 2, 2))
            items.append(Lines(ends, tone, 0.9, () if name != "unsure" else (1.6, 1.0)))
        x = 6 + 38 * place
        items.append(
            Lines([shapely.LineString([(x, 3), (x + 8, 3)])], tone, 1.2, () if name != "unsure" else (1.6, 1.0))
        )
        items.append(Text(x + 10, 2, name, 3.2, colour=INK))
    counted = ", ".join(f"{int((names == name).sum())} {name}" for name in PULLS)
    moved = picture.shifted(0.0, 8.0)
    said = f"Joints filled with {result.settings.kind}: {counted}. Filler of lightness {result.shade:.0f}."
    return replace(
        moved,
        height=picture.height + 8,
        items=(*moved.items, *items),
        title="How hard each joint pulls",
        description=said,
    )


@lru_cache(256)
def _grey(shade: float) -> str:
    """Return a warm grey of a lightness, by halving."""
    low, high = 0, 255
    while high - low > 1:
        middle = (low + high) // 2
        if lightness(f"#{middle:02x}{middle:02x}{middle:02x}") < shade:
            low = middle
        else:
            high = middle
    return f"#{high:02x}{high:02x}{max(high - 8, 0):02x}"


def report(result: Result) -> list[Row]:
    """Tell how the joints pull, both volumes, the batch, the shade and what the standards say."""
    s, made = result.settings, result.recipe
    names = np.array(result.pulls)
    total = max(float(result.lengths.sum()), 1e-9)
    shares = [f"{result.lengths[names == name].sum() / total:.0%} {name}" for name in PULLS]
    count, each = result.batch
    exact, usual = (rule(s.tile, s.tile, s.joint, s.depth) for rule in (grid_volume, usual_grid_volume))
    told = [Row(what, much) for what, much in mixing_lines(made, count, wipe_minutes(s.room))]
    return [
        Row(
            "Joints by length",
            ", ".join(shares),
            "",
            "needed at the middle of the ranges, against what is assumed to hold",
        ),
        Row("Verdict", "", "", _verdict(s.kind)),
        *_grain(made),
        Row(
            "Filler, exact",
            round(exact, 3),
            "L/m2",
            f"the usual formula says {usual:.3f}, {usual / exact - 1:.0%} too much here",
        ),
        *_batches(made, count, each),
        *told,
        _shade_row(result),
        Row("The norms", "", "", SILENT),
        *_classes(s.tests),
        Row(
            "Cautions",
            "",
            "",
            caution(made),
        ),
    ]


def _grain(made: Recipe) -> list[Row]:
    """Tell the grain that the joint asks of a powder."""
    words = "by the joint's width (TCNA, read): sand scratches and does not fit narrow joints"
    return [Row("Grain", made.sand, "", words)] if made.powder else []


def _batches(made: Recipe, count: int, each: float) -> list[Row]:
    """Tell the batches of a powder, whose pot life is known."""
    words = f"of {each:.0f} mL, so that one pair of hands can place and wipe each in time"
    return [Row("Batches", count, "", words)] if made.powder else []


def _verdict(kind: str) -> str:
    """Say whether this is a mix for glass."""
    if kind == KINDS[0]:
        return "not a mix for glass: plain unfortified filler cracks and lets go of it (common practice, no source)"
    if kind == KINDS[3]:
        return "holds well as its makers say; stiff and quick to mix wrong, and no figure for glass was read"
    return "fortified: what practice uses on glass (common practice, no source); the model alone does not prove it"


@lru_cache(64)
def _classes(tests: tuple[tuple[str, ...], ...]) -> tuple[Row, ...]:
    """Tell which classes the typed test values meet; those of which nothing is told are named together."""
    values = {
        line[0].strip(): read_number(line[1], f"value of {line[0]}") for line in tests if len(line) > 1 and line[0]
    }
    table = meets(values)
    told = table[table["verdict"] != "not told"]
    rest = ", ".join(table.loc[~table.index.isin(told.index), "class"])
    rows = [Row(f"Class {line[1]}", line[2], "", line[3]) for line in told.itertuples()]
    return (*rows, Row("Not told", "", "", f"{rest}. Tests that can be typed: {'; '.join(quantities_known())}."))


@lru_cache(64)
def _lightness(colour: str) -> float:
    """Return the lightness of a glass colour of the palette."""
    return lightness(look(colour).fill)


def _shade_row(result: Result) -> Row:
    """Tell the step of lightness between filler and tiles."""
    steps = {name: result.shade - _lightness(name) for name in COLOURS}
    nearest = min(steps, key=lambda name: abs(steps[name]))
    far = max(steps, key=lambda name: abs(steps[name]))
    wet = "wet" if result.settings.wet else "dry"
    words = f"{wet}; nearest to {nearest} ({steps[nearest]:+.0f}), furthest from {far} ({steps[far]:+.0f})"
    return Row("Shade", f"lightness {result.shade:.0f}", "", words)


def summary(result: Result) -> str:
    """Return the one line of quantities."""
    return line_of(result.settings)


CONTROLS = (
    *controls("joint", "kind", "polymer", "depth"),
    Number("shade", "Lightness", 15, 95, 1, "L*", fold=SHADE, help="of the dry filler: 0 black, 100 white"),
    Switch("wet", "While it is wet", fold=SHADE),
    Table(
        "tests",
        "Test values",
        ("test", "value"),
        6,
        fold=NORMS,
        help="N/mm2, psi, mm, mm3, mm/m or g, as the table of classes has it",
    ),
    Number("rate", "You place", 2, 60, 1, "mL/min", fold=MIX, help="an assumption: time yourself"),
    Number("solids", "Latex solids", 20, 100, 1, "%", fold=MIX, help="read the bottle"),
    Number("water", "Water over cement", 20, 100, 1, "%", fold=MIX),
    Number("bowl", "Bowl", 50, 2000, 50, "mL", fold=MIX),
    Number("pot", "Pot life", 15, 120, 5, "min", fold=TIME, help="read the bag"),
    Number("slake", "Slake", 0, 14, 1, "min", fold=TIME, help="rest, then stir again"),
    Number("room", "Room", 5, 40, 1, "C", fold=TIME, help="warmer sets faster: wipe earlier"),
)


def _print(s: Settings, name: str, folder: Path) -> str:
    """Write the batch card."""
    result, file = compute(s), f"{typed_name(name)}-batch.pdf"
    with file_set(folder, alone=False) as made:
        write_batch_card(made / file, result.recipe, result.batch[0], wipe_minutes(s.room))
    return f"{folder.name}/{file} is written."


def actions(folder: Path) -> tuple[Action, ...]:
    """Return the button that writes the batch card."""
    return (Action("print", "Write the batch card", lambda s, name: _print(s, name, folder), "File name", "my batch"),)
