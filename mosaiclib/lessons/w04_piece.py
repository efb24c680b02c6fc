"""Lesson 04, part four: the practice piece with its own joints marked by how hard they pull, and what to mix for it."""

__all__ = ["CONTROLS", "Result", "Settings", "compute", "draw", "report", "summary"]

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import shapely

from mosaiclib import reference
from mosaiclib.adhesive import lightness
from mosaiclib.drawing import Drawing, Lines, Text, layout_picture, look, segments
from mosaiclib.drawing.palette import ACCENT, GLASS_COLOURS, grey
from mosaiclib.errors import MosaicError, brief, choice
from mosaiclib.files import file_set, typed_name
from mosaiclib.filler import (
    SILENT,
    Recipe,
    batches,
    grid_volume,
    meets,
    released_length,
    sample,
    usual_grid_volume,
    wipe_minutes,
)
from mosaiclib.filler.kinds import quantities_known
from mosaiclib.job.sheets import caution, mixing_lines, write_batch_card
from mosaiclib.layout import Layout, joints_of
from mosaiclib.lesson.controls import Action, Number, Switch, Table, read_number
from mosaiclib.lessons.practice import COLOURS
from mosaiclib.lessons.w04_shared import FillerSettings, controls, filler_of, joint_of, kind_in, line_of, piece_of
from mosaiclib.report import Row

TITLE = "Fill the piece"
MIX, TIME, SHADE, STANDARDS = "The batch", "The time", "The grout colour", "Test values from the bag's sheet"
TESTS = tuple((f"{test} [{unit}]", "") for test, unit in quantities_known().items())
PULLS = {
    "holds": GLASS_COLOURS["bottle green"].fill,
    "unsure": GLASS_COLOURS["amber"].fill,
    "lets go": ACCENT,
}


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
    tests: tuple[tuple[str, ...], ...] = TESTS


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

    >>> set(compute(Settings()).pulls) <= set(PULLS)
    True
    """
    layout, joint, kind = piece_of(s), joint_of(s), kind_in(s)
    lines, lengths, widths = _joints(layout)
    middle = float(np.median(sample(joint, kind, seed=s.seed).G))
    G = middle * released_length(widths, s.depth) / released_length(s.joint, s.depth)
    low, high = (end * kind.bond_factor for end in joint.interface)
    pulls = np.where(low >= G, "holds", np.where(high < G, "lets go", "unsure"))
    # the water of a bag without latex is the bag's
    more = {"solids": s.solids / 100, "water_ratio": s.water / 100} if kind.poured else {}
    made = filler_of(s, **more)
    batch = batches(made.volume, pot=s.pot, slake=s.slake, rate=s.rate, bowl=s.bowl)
    shade = s.shade - reference.value("filler", "darker when wet").number * s.wet
    return Result(s, layout, tuple(pulls.tolist()), lines, lengths, made, batch, shade)


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
    names, over, key = np.array(result.pulls), [], []
    for place, (name, tone) in enumerate(PULLS.items()):
        dash, x = () if name != "unsure" else (1.6, 1.0), 6 + 38 * place
        over.append(Lines(segments(result.lines[names == name]), tone, 0.9, dash))
        key += [Lines(segments([x, 3, x + 8, 3]), tone, 1.2, dash), Text(x + 10, 2, name, 3.2)]
    piece = layout_picture(result.layout, marks=False, dimensions=False, base=grey(result.shade), over=over)
    counted = ", ".join(f"{int((names == name).sum())} {name}" for name in PULLS)
    said = f"Joints filled with {result.settings.kind}: {counted}. Filler of lightness {result.shade:.0f}."
    moved = piece.shifted(0.0, 8.0)
    about = {"height": piece.height + 8, "title": "How hard each joint pulls", "description": said}
    return replace(moved, items=(*moved.items, *key), **about)


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
        Row("Verdict", "", "", kind_in(s).verdict),
        Row("On its bag", made.kind.bag, "", made.kind.mixed_with),
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
        Row("The standards", "", "", SILENT),
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
    return [Row("Sanded or unsanded", made.sand, "", words)] if made.sand else []


def _batches(made: Recipe, count: int, each: float) -> list[Row]:
    """Tell the batches of a powder, whose pot life is known."""
    words = f"of {each:.0f} mL, so that one pair of hands can place and wipe each in time"
    return [Row("Batches", count, "", words)] if made.powder else []


def _typed(tests: tuple[tuple[str, ...], ...]) -> dict[str, float]:
    """Return the test values that were typed, by their names."""
    known, values = quantities_known(), {}
    for test, value in ((*line, "", "")[:2] for line in tests):
        name = test.partition(" [")[0].strip()
        if value.strip() and not name:
            raise MosaicError(f"Beside {brief(value)} stands no test; type its name, for example {next(iter(known))}.")
        if value.strip():
            values[name] = read_number(value, f"value of {name}", known[choice(name, "test value", known)])
    return values


def _classes(tests: tuple[tuple[str, ...], ...]) -> tuple[Row, ...]:
    """Tell which classes the typed test values meet; those of which nothing is told are named together."""
    table = meets(_typed(tests))
    told = table[table["verdict"] != "not told"]
    rest = ", ".join(table.loc[~table.index.isin(told.index), "class"])
    rows = [Row(f"Class {line[1]}", line[2], "", line[3]) for line in told.itertuples()]
    return (*rows, Row("Not told", rest, "", "type what the sheet of your bag says")) if rest else tuple(rows)


def _shade_row(result: Result) -> Row:
    """Tell the step of lightness between filler and tiles."""
    steps = {name: result.shade - lightness(look(name).fill) for name in COLOURS}
    nearest = min(steps, key=lambda name: abs(steps[name]))
    far = max(steps, key=lambda name: abs(steps[name]))
    wet = "wet" if result.settings.wet else "dry"
    words = f"{wet}; closest in lightness to {nearest} ({steps[nearest]:+.0f}) and furthest from {far} ({steps[far]:+.0f}); plus is lighter"
    return Row("Grout colour", f"lightness {result.shade:.0f}", "", words)


def summary(result: Result) -> str:
    """Return the one line of quantities."""
    return line_of(result.settings)


CONTROLS = (
    *controls("joint", "kind", "polymer", "depth"),
    Number("shade", "Dark to light", 15, 95, 1, "L*", fold=SHADE, help="of the dry filler: 0 black, 100 white"),
    Switch("wet", "While it is wet", fold=SHADE),
    Table(
        "tests", "Test values", ("test", "value"), len(TESTS), fold=STANDARDS, help="as the sheet of your bag has them"
    ),
    Number("rate", "How fast you fill", 2, 60, 1, "mL/min", fold=MIX, help="an assumption: time yourself"),
    Number("solids", "Latex solids", 5, 100, 1, "%", fold=MIX, help="read the bottle"),
    Number("water", "Water over cement", 20, 100, 1, "%", fold=MIX, help="where latex is poured; else the bag's water"),
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
