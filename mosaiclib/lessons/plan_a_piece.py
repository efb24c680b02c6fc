"""Workbook 06: plan a whole piece, from measured glass and a box of tiles to sheets and a shopping list."""

__all__ = [
    "CONTROLS",
    "FOLDER",
    "Result",
    "Settings",
    "compute",
    "draw",
    "lesson",
    "plan_of",
    "questions",
    "report",
    "settings_of",
    "summary",
]

from dataclasses import dataclass, replace
from pathlib import Path

from mosaiclib import reference
from mosaiclib.bond import families
from mosaiclib.bond.choosing import CLARITIES, PLACES
from mosaiclib.control import Action, Control
from mosaiclib.drawing import Drawing, layout_picture
from mosaiclib.filler import KINDS
from mosaiclib.glass import CORNERS, NAMES
from mosaiclib.job import Plan, Worked, WorkedPiece, buying_list, colour_counts, command, work_out
from mosaiclib.job.parts import PanePart, VesselPart
from mosaiclib.job.shelf import Shelf
from mosaiclib.job.telling import adhesive_lines, face_lines, material_lines, note_lines, unlaid_lines
from mosaiclib.lessons.plan_questions import QUESTIONS
from mosaiclib.lessons.plan_settings import (
    EDGES,
    GLASS,
    MOST_COLOURS,
    MOST_ROWS,
    NO_BAND,
    Settings,
    left_out,
    plan_of,
    settings_of,
)
from mosaiclib.measures import UNITS
from mosaiclib.page import Row

FOLDER = "my_plans"
TOUCHED = ("nothing", "food or drink", "candle heat")
SQUARES = {"no squared paper": None, "5 mm squares": 5.0, "1/4 in squares": 6.35}
PANE, VESSEL, WALLS, CORNER = (
    "The pane",
    "The vessel, measured outside",
    "The vessel's glass and margins",
    "The vessel's corners",
)
BAND = "A drawn band"
TILES, COLOURS, GLUE, LIVE, ROOM, FILL, SPARE, SHEETS, VIEW = (
    "The tiles",
    "The colours",
    "The adhesive",
    "Where it will live",
    "The workroom",
    "The filler",
    "Spares",
    "Names and paper",
    "The view",
)


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings."""

    settings: Settings
    worked: Worked


def compute(s: Settings) -> Result:
    """Work the plan out.

    Parameters
    ----------
    s : Settings
        What the maker set.

    Returns
    -------
    Result
        The plan with its layouts, colours and quantities.

    Raises
    ------
    MosaicError
        If something cannot be used, does not fit or cannot be arranged.
    """
    return Result(s, work_out(plan_of(s)))


def _viewed(result: Result) -> WorkedPiece:
    """Return the piece of glass that the picture shows."""
    wanted = PanePart if result.settings.view == "the pane" else VesselPart
    parts = zip(result.worked.plan.glass, result.worked.pieces, strict=True)
    return next((piece for part, piece in parts if isinstance(part, wanted)), result.worked.pieces[0])


def draw(result: Result) -> Drawing:
    """Draw the piece of glass that was chosen, in its colours."""
    s, piece = result.settings, _viewed(result)
    return layout_picture(
        piece.layout,
        view="behind" if s.behind else "front",
        numbers=s.numbers,
        squared=SQUARES[s.squared],
        key=True,
        title=f"{piece.name}: the plan in colours",
    )


def report(result: Result) -> list[Row]:
    """Tell the results, rounded once."""
    worked = result.worked
    left = left_out(result.settings)
    own = [Row("Mind", "", "", left)] if left else []
    told = [
        *_colour_rows(worked),
        *material_lines(worked),
        *adhesive_lines(worked),
        *_cost_rows(worked),
        *own,
        *note_lines(worked),
    ]
    return [*face_lines(worked), *unlaid_lines(worked), *told]


def _colour_rows(worked: Worked) -> list[Row]:
    """Tell the pieces of each colour, the tiles they take and what is missing."""
    rows = []
    for line in colour_counts(worked).itertuples():
        words = f"{line.tiles} tiles, {line.spare} to spare, {line.in_hand} in hand, buy {line.to_buy}"
        lack = f"; {line.short} spare{'s' * (line.short > 1)} lacking" if line.short else ""
        rows.append(Row(line.colour, int(line.placed), "placed", words + lack))
    return rows


def _cost_rows(worked: Worked) -> list[Row]:
    """Tell what to buy and what it costs."""
    *lines, total = buying_list(worked).itertuples()
    money = worked.plan.currency
    bought = [line for line in lines if line.packs != "none"]
    rows = [Row(f"Buy: {line.item}", line.packs, "", f"{line.cost:.2f} {money}".strip()) for line in bought]
    return [
        *rows,
        Row("Cost of all that is bought", f"{total.cost:.2f}", money, "at the prices typed here and in data/"),
    ]


def summary(result: Result) -> str:
    """Return the one line of quantities."""
    worked = result.worked
    buy = int(colour_counts(worked)["to_buy"].sum())
    glass = f"{worked.count} pieces, {worked.adhesive:.0f} mL adhesive"
    return f"{glass}, {worked.filler.bought}, {buy} tiles to buy with spares"


def _length(name: str, label: str, high: float, fold: str, **more) -> Control:
    """Return a control for a length from the plan."""
    return Control(name, label, "length", 0.0, "mm", more.pop("low", 0), high, more.pop("step", 1), fold=fold, **more)


CONTROLS = (
    Control("glass", "What to cover", "choice", "", options=GLASS),
    Control("tile", "Tile", "length", 20.0, "mm", 5, 60, 0.5, help="the side it is sold under"),
    Control("limits", "Joint limits", "range", (1.5, 2.5), "mm", 0, 10, 0.1),
    Control("edge", "Edge", "choice", "", options=tuple(EDGES)),
    _length("pane_width", "Width", 1500, PANE, low=20),
    _length("pane_height", "Height", 1500, PANE, low=20),
    _length("pane_margin", "Bare margin", 100, PANE, help="all round"),
    Control(
        "widths",
        "Width x 3",
        "readings",
        (),
        "mm",
        fold=VESSEL,
        help="at the rim, the middle and the base; the least counts",
    ),
    Control("depths", "Depth x 3", "readings", (), "mm", fold=VESSEL, help="at the rim, the middle and the base"),
    Control("heights", "Height", "readings", (), "mm", fold=VESSEL, help="at one corner or more"),
    _length("wall", "Wall", 30, WALLS, low=0.5, step=0.5),
    _length("floor", "Floor", 60, WALLS, low=0.5, step=0.5),
    _length("rim_margin", "Bare at the rim", 100, WALLS),
    _length("base_margin", "Bare at the foot", 100, WALLS),
    _length("inner_radius", "Inner corner radius", 30, CORNER, step=0.5),
    Control("corner", "Round the corner", "choice", "open", options=CORNERS, fold=CORNER),
    Control(
        "band_face",
        "Face",
        "choice",
        "",
        options=(NO_BAND, "pane", *NAMES),
        fold=BAND,
        help="that carries a drawn band of rows",
    ),
    Control(
        "band_points",
        "Points",
        "points",
        (),
        "mm",
        fold=BAND,
        help="across and up from its lower left corner, a semicolon after each",
    ),
    Control(
        "band_rows",
        "Rows",
        "table",
        (),
        options=("tiles cut to", "colours"),
        rows=MOST_ROWS,
        fold=BAND,
        help="whole, half, third or quarter; at least two colours with a comma between, or none for any",
    ),
    Control("band_behind", "Drawn from behind", "switch", False, fold=BAND),
    _length("joint", "Wanted joint", 10, TILES, step=0.1),
    _length("thickness", "Thickness", 15, TILES, low=1, step=0.5),
    _length(
        "back_side",
        "Side of the back",
        60,
        TILES,
        low=3,
        step=0.5,
        help="less than the tile where its edges slope",
    ),
    Control("pack", "Tiles in a pack", "count", 25, "tiles", 1, 500, 1, fold=TILES),
    Control(
        "colours",
        "Colours",
        "table",
        (),
        options=("colour", "in hand", "price each", "more?"),
        rows=MOST_COLOURS,
        fold=COLOURS,
        help="more? yes: what is missing is bought; no: only what is in hand is used",
    ),
    Control("seed", "Another arrangement", "again", 1, fold=COLOURS),
    Control("corners", "Differ at crossings too", "switch", False, fold=COLOURS),
    Control("family", "Family", "choice", "", options=families(), fold=GLUE),
    _length("bed", "Adhesive bed", 5, GLUE, low=0.2, step=0.1),
    Control("coverage", "Of each back covered", "number", 100.0, "%", 10, 100, 5, fold=GLUE),
    Control(
        "glue_waste", "Adhesive lost", "number", 15.0, "%", 0, 100, 5, fold=GLUE, help="in the nozzle, on the palette"
    ),
    Control("place", "It will live", "choice", "", options=PLACES, fold=LIVE),
    Control("touched", "Touched by", "choice", "", options=TOUCHED, fold=LIVE),
    Control("clarity", "Tiles are", "choice", "", options=CLARITIES, fold=LIVE),
    Control("temperature", "Workroom", "number", 23.0, "C", 5, 40, 1, fold=ROOM),
    Control("humidity", "Humidity", "number", 50.0, "%", 5, 100, 5, fold=ROOM),
    Control("filler_kind", "Kind", "choice", "", options=KINDS, fold=FILL),
    Control("polymer", "Latex: polymer", "number", 10.0, "% of cement", 0, 30, 1, fold=FILL),
    _length("bead", "Bead along edges", 20, FILL, step=0.5, help="filler sloped off along rim, foot and edges"),
    Control("filler_waste", "Filler lost", "number", 15.0, "%", 0, 100, 5, fold=FILL),
    Control("break_chance", "Spoilt tiles", "number", 3.0, "%", 0, 30, 1, fold=SPARE),
    Control("confidence", "To be sure", "number", 95.0, "%", 50, 99, 1, fold=SPARE),
    Control("name", "Plan's name", "text", "", fold=SHEETS),
    Control("paper", "Paper", "choice", "", options=("A4", "Letter"), fold=SHEETS),
    Control("unit", "Lengths on paper", "choice", "", options=UNITS, fold=SHEETS),
    Control("currency", "Currency", "text", "", fold=SHEETS),
    Control("view", "Picture of", "choice", "", options=("the pane", "the vessel"), fold=VIEW),
    Control("numbers", "Number the pieces", "switch", False, fold=VIEW),
    Control("squared", "Squared paper", "choice", "", options=tuple(SQUARES), fold=VIEW),
    Control("behind", "Seen from behind", "switch", False, fold=VIEW),
)


def _load(name: str, shelf: Shelf) -> tuple[Settings, str]:
    plan = shelf.load(name)
    return settings_of(plan), f"{plan.name} is loaded."


def _print(s: Settings, name: str, shelf: Shelf) -> str:
    out = shelf.place(name)
    written = command.write(work_out(plan_of(s)), out)
    return f"{len(written)} files are in {FOLDER}/{out.name}: tables, and a PDF of sheets for each face."


def lesson(folder: Path | None = None, *, band: bool = True):
    """Return the planner as it stands in the workbook; plans are kept in `folder`; without its band it is quicker."""
    from mosaiclib.lesson import Lesson

    shelf = Shelf((folder or Path.cwd()) / FOLDER)
    start = settings_of(Plan.load(reference.DATA / "example_plan.json"))
    return Lesson(
        "Plan a piece",
        settings=start if band else replace(start, band_face=NO_BAND),
        compute=compute,
        draw=draw,
        report=report,
        summary=summary,
        controls=CONTROLS,
        live=False,
        actions=(
            Action("save", "Save the plan", lambda s, name: shelf.save(plan_of(s), name), "File name", "my piece"),
            Action("load", "Load a plan", lambda _, name: _load(name, shelf), "File name", "my piece"),
            Action("print", "Write sheets and lists", lambda s, name: _print(s, name, shelf), "File name", "my piece"),
        ),
    )


def questions():
    """Return the workbook's questions."""
    from mosaiclib.lesson import Questions

    return Questions(QUESTIONS)
