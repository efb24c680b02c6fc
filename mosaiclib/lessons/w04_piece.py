"""Lesson 04, part four: what to mix for the practice piece, and its filler's shade beside each glass: dry, wet, and lit."""

__all__ = ["CONTROLS", "Result", "Settings", "compute", "draw", "report", "summary"]

from dataclasses import dataclass, replace
from pathlib import Path

from mosaiclib import reference
from mosaiclib.adhesive import lightness
from mosaiclib.drawing import Drawing, layout_picture, look, panels
from mosaiclib.drawing.palette import INK, grey
from mosaiclib.errors import MosaicError, brief, choice
from mosaiclib.files import file_set, typed_name
from mosaiclib.filler import SILENT, Recipe, batches, grid_volume, meets, usual_grid_volume, wipe_minutes
from mosaiclib.filler.kinds import quantities_known
from mosaiclib.job import quantities
from mosaiclib.job.sheets import caution, mixing_lines, write_batch_card
from mosaiclib.layout import Layout
from mosaiclib.lesson.controls import Action, Number, Table, read_number
from mosaiclib.lessons.practice import COLOURS
from mosaiclib.lessons.w04_shared import FillerSettings, controls, filler_of, headline, kind_in, piece_of
from mosaiclib.report import Row

TITLE = "Mix it for a piece"
BATCH, TIME, SHADE, STANDARDS = "The batch", "The time", "The grout colour", "Test values from the bag's sheet"
USUAL = {name: record.value for name, record in reference.by_name("filler").items()}
TESTS = tuple((f"{test} [{unit}]", "") for test, unit in quantities_known().items())


@dataclass(frozen=True)
class Settings(FillerSettings):
    """What the learner can set [mm]."""

    shade: float = 80.0
    rate: float = USUAL["placing by one pair of hands"]
    bowl: float = USUAL["bowl"]
    solids: float = 100 * USUAL["solids of latex"]
    water: float = 100 * USUAL["water over cement with latex"]
    room: float = 23.0
    pot: float = USUAL["pot life of cement filler"]
    slake: float = USUAL["slake"]
    tests: tuple[tuple[str, ...], ...] = TESTS


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings; lightness of the filler dry and wet, L*."""

    settings: Settings
    layout: Layout
    recipe: Recipe
    batch: tuple[int, float]
    dry: float
    wet: float


def compute(s: Settings) -> Result:
    """Work out the mix of the practice piece, and the shade of its filler.

    >>> found = compute(Settings())
    >>> found.wet < found.dry
    True
    """
    # the water of a bag without latex is the bag's
    more = {"solids": s.solids / 100, "water_ratio": s.water / 100} if kind_in(s).poured else {}
    made = filler_of(s, **more)
    batch = batches(made.volume, pot=s.pot, slake=s.slake, rate=s.rate, bowl=s.bowl)
    darker = reference.value("filler", "darker when wet").number
    return Result(s, piece_of(s), made, batch, s.shade, max(s.shade - darker, 0.0))


def draw(result: Result) -> Drawing:
    """Draw the piece with its filler dry, wet, and before a window, where the joints turn black."""
    bases = {"dry": grey(result.dry), "wet": grey(result.wet), "before a window": INK}
    shown = [layout_picture(result.layout, marks=False, dimensions=False, base=base) for base in bases.values()]
    said = (
        f"The piece filled with {result.settings.kind}: dry, lightness {result.dry:.0f}; wet, {result.wet:.0f}; and before a "
        "window: filler lets no light through, so that its joints turn black."
    )
    return panels(shown, list(bases), size=8.5, title="The filler beside each glass", description=said)


def report(result: Result) -> list[Row]:
    """Tell what practice says of the kind, both volumes, the batch, the shade and what the standards say."""
    s, made = result.settings, result.recipe
    count, each = result.batch
    exact, usual = (rule(s.tile, s.tile, s.joint, s.depth) for rule in (grid_volume, usual_grid_volume))
    told = [Row(what, much) for what, much in mixing_lines(made, count, wipe_minutes(s.room))]
    return [
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
        *_shade_rows(result),
        Row("The piece takes", "", "", str(replace(quantities(result.layout, s.bed), fillers=(filler_of(s),)))),
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
    return [Row("Sanded or unsanded", made.sand, "", words, checked="sand")] if made.sand else []


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
    rows = [Row(f"Class {line[1]}", line[2], "", line[3], checked="classes") for line in told.itertuples()]
    return (*rows, Row("Not told", rest, "", "type what the sheet of your bag says")) if rest else tuple(rows)


def _shade_rows(result: Result) -> list[Row]:
    """Tell the step of lightness between filler and each glass, dry and wet, and what a window does."""
    rows = []
    for name in COLOURS:
        tile = lightness(look(name).fill)
        steps = f"{result.dry - tile:+.0f} dry, {result.wet - tile:+.0f} wet"
        rows.append(
            Row(
                f"Beside {name}",
                steps,
                "of 100 light",
                "plus: the filler is lighter; near 0 the joint melts into the glass",
            )
        )
    return [
        *rows,
        Row("Before a window", "black", "", "filler lets no light through: the joints are what one sees first"),
    ]


def summary(result: Result) -> str:
    """Return what practice says of the filler, and how much of it the piece takes."""
    return f"{headline(result.settings)} Mix {filler_of(result.settings).bought}."


CONTROLS = (
    *controls("joint", "kind", "polymer", "depth", leave=("sides", "base", "sand", "age", "humidity", "low", "high")),
    Number("shade", "Dark to light", 15, 95, 1, "%", fold=SHADE, help="of the dry filler: 0 black, 100 white"),
    Table(
        "tests", "Test values", ("test", "value"), len(TESTS), fold=STANDARDS, help="as the sheet of your bag has them"
    ),
    Number("rate", "How fast you fill", 2, 60, 1, "mL/min", fold=BATCH, help="an assumption: time yourself"),
    Number("solids", "Latex solids", 5, 100, 1, "%", fold=BATCH, help="read the bottle"),
    Number(
        "water", "Water over cement", 20, 100, 1, "%", fold=BATCH, help="where latex is poured; else the bag's water"
    ),
    Number("bowl", "Bowl", 50, 2000, 50, "mL", fold=BATCH),
    Number("pot", "Pot life", 15, 120, 5, "min", fold=TIME, help="read the bag"),
    Number("slake", "Slake", 0, 14, 1, "min", fold=TIME, help="rest, then stir again"),
    Number("room", "Room", 5, 40, 1, "C", fold=TIME, help="warmer sets faster: wipe earlier"),
)


def _print(s: Settings, name: str, folder: Path) -> str:
    """Write the batch card."""
    result, file = compute(s), f"{typed_name(name)}-batch.pdf"
    with file_set(folder, alone=False) as made:
        write_batch_card(made / file, [(result.recipe, result.batch[0])], wipe_minutes(s.room))
    return f"{folder.name}/{file} is written."


def actions(folder: Path) -> tuple[Action, ...]:
    """Return the button that writes the batch card."""
    return (Action("print", "Write the batch card", lambda s, name: _print(s, name, folder), "File name", "my batch"),)
