"""Lesson 06: plan a whole piece, from measured glass and a box of tiles to sheets and a shopping list."""

__all__ = [
    "CONTROLS",
    "EDGES",
    "FOLDER",
    "GLASS",
    "MOST_COLOURS",
    "MOST_ROWS",
    "NO_BAND",
    "Result",
    "Settings",
    "compute",
    "draw",
    "left_out",
    "lesson",
    "plan_of",
    "questions",
    "report",
    "settings_of",
    "summary",
]

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from mosaiclib import reference
from mosaiclib.adhesive import families
from mosaiclib.adhesive.choose import CLARITIES, PLACES
from mosaiclib.drawing import SQUARED, Drawing, layout_picture
from mosaiclib.errors import MosaicError, choice
from mosaiclib.filler import KINDS
from mosaiclib.glass import CORNERS, FourSided
from mosaiclib.job import Plan, Worked, WorkedPiece, buying_list, command, work_out
from mosaiclib.job.overview import adhesive_lines, face_lines, material_lines, note_lines, unlaid_lines
from mosaiclib.job.plan import BandPart, Colour, PanePart, VesselPart
from mosaiclib.job.shelf import Shelf
from mosaiclib.layout import FRACTIONS
from mosaiclib.lesson.controls import Action, Control, read_number
from mosaiclib.lessons.w06_questions import QUESTIONS
from mosaiclib.report import Row
from mosaiclib.units import UNITS

GLASS = ("a pane", "a four-sided vessel", "both")
NO_BAND = "none"
MOST_ROWS, MOST_COLOURS = 6, 8  # lines of the page's tables
COMMAND = "Plan it with: python -m mosaiclib plan FILE --out FOLDER"
EDGES = {
    "an equal clear edge": "equal",
    "tiles flush with the edge": "flush",
    "one joint of clear edge": "joint",
    "cut border pieces": "cut",
}


@dataclass(frozen=True)
class Settings:
    """What the maker can set [mm]; what the page does not show is kept in `base`."""

    base: Plan
    glass: str
    tile: float
    limits: tuple[float, float]
    edge: str
    pane_width: float
    pane_height: float
    pane_margin: float
    widths: tuple[float, ...]
    depths: tuple[float, ...]
    heights: tuple[float, ...]
    wall: float
    floor: float
    rim_margin: float
    base_margin: float
    inner_radius: float
    corner: str
    joint: float
    thickness: float
    back_side: float
    pack: int
    colours: tuple[tuple[str, ...], ...]
    seed: int
    corners: bool
    family: str
    place: str
    touched: str
    clarity: str
    temperature: float
    humidity: float
    bed: float
    coverage: float
    glue_waste: float
    filler_kind: str
    polymer: float
    bead: float
    filler_waste: float
    break_chance: float
    confidence: float
    name: str
    paper: str
    unit: str
    currency: str
    view: str
    numbers: bool = False
    squared: str = "no squared paper"
    behind: bool = False
    band_face: str = "none"
    band_points: tuple[tuple[float, float], ...] = ((0.0, 60.0), (150.0, 120.0), (300.0, 60.0))
    band_rows: tuple[tuple[str, ...], ...] = (("quarter", ""), ("quarter", ""), ("quarter", ""))
    band_behind: bool = False


def _the(plan: Plan, kind: type):
    """Return the plan's one part of a kind, None if it has none."""
    found = [part for part in plan.glass if isinstance(part, kind)]
    if len(found) > 1:
        raise MosaicError(
            f"{plan.name} has several pieces of one kind; this page shows one pane and one vessel. {COMMAND}"
        )
    return found[0] if found else None


def settings_of(plan: Plan) -> Settings:
    """Return the page's settings for a plan.

    Parameters
    ----------
    plan : Plan
        A plan with at most one pane, one vessel and one drawn band.

    Returns
    -------
    Settings
        From which `plan_of` makes the same plan again.

    Raises
    ------
    MosaicError
        If the plan has more pieces or bands than the page can show.
    """
    pane, vessel = _the(plan, PanePart), _the(plan, VesselPart)
    _refuse_over(plan, len(plan.tile.colours), MOST_COLOURS, "colours")
    return Settings(
        base=plan,
        glass=GLASS[2] if pane and vessel else GLASS[0] if pane else GLASS[1],
        view="the pane" if pane else "the vessel",
        name=plan.name,
        paper=plan.paper,
        unit=plan.unit,
        currency=plan.currency,
        **_glass_settings(pane, vessel),
        **_band_settings(plan),
        **_stock_settings(plan),
    )


def _refuse_over(plan: Plan, count: int, most: int, what: str) -> None:
    """Refuse a plan with more lines than a table of the page has, as the rest would be lost in silence."""
    if count > most:
        raise MosaicError(f"{plan.name} has {count} {what}; this page shows at most {most}. {COMMAND}")


def _glass_settings(pane: PanePart | None, vessel: VesselPart | None) -> dict:
    """Return what the page shows of the glass; something usual where the plan has none."""
    shown = pane or PanePart(kind="pane", name="pane", width=300.0, height=200.0)
    sizes = {"widths": [160.0] * 3, "depths": [120.0] * 3, "heights": [140.0], "wall": 5.0, "base": 8.0}
    box = vessel or VesselPart(kind="four-sided vessel", name="vessel", **sizes)
    return {
        "pane_width": shown.width,
        "pane_height": shown.height,
        "pane_margin": shown.margin,
        "widths": tuple(box.widths),
        "depths": tuple(box.depths),
        "heights": tuple(box.heights),
        "wall": box.wall,
        "floor": box.base,
        "rim_margin": box.rim_margin,
        "base_margin": box.base_margin,
        "inner_radius": box.inner_radius,
        "corner": box.corner,
    }


def _stock_settings(plan: Plan) -> dict:
    """Return what the page shows of tiles, joint, colours and material."""
    words = {value: key for key, value in EDGES.items()}
    more = {True: "yes", False: "no"}
    return {
        "tile": plan.tile.side,
        "limits": (plan.joint.least, plan.joint.greatest),
        "joint": plan.joint.wanted,
        "edge": words[plan.joint.edge],
        "thickness": plan.tile.thickness,
        "back_side": plan.tile.back_side or plan.tile.side,
        "pack": plan.tile.pack,
        "colours": tuple((c.name, f"{c.in_hand}", f"{c.price:g}", more[c.more]) for c in plan.tile.colours),
        "seed": plan.colour.seed,
        "corners": plan.colour.corners,
        "clarity": plan.tile.clarity,
        **_glue_settings(plan),
        "filler_kind": plan.filler.family,
        "polymer": round(plan.filler.polymer * 100, 6),
        "bead": plan.filler.bead,
        "filler_waste": round(plan.filler.waste * 100, 6),
        "break_chance": round(plan.spare.break_chance * 100, 6),
        "confidence": round(plan.spare.confidence * 100, 6),
    }


def _glue_settings(plan: Plan) -> dict:
    """Return what the page shows of the adhesive."""
    glue = plan.adhesive
    return {
        "family": glue.family,
        "place": glue.place,
        "touched": glue.touched,
        "temperature": glue.temperature,
        "humidity": round(glue.humidity * 100, 6),
        "bed": glue.bed,
        "coverage": round(glue.coverage * 100, 6),
        "glue_waste": round(glue.waste * 100, 6),
    }


def _the_band(plan: Plan) -> BandPart | None:
    """Return the plan's one band, None if it has none."""
    bands = [band for part in plan.glass for band in part.bands]
    if len(bands) > 1:
        raise MosaicError(f"{plan.name} has {len(bands)} drawn bands; this page shows one. {COMMAND}")
    return bands[0] if bands else None


def _band_settings(plan: Plan) -> dict:
    """Return what the page shows of the drawn band."""
    band = _the_band(plan)
    if band is None:
        return {"band_face": NO_BAND}
    _refuse_over(plan, len(band.rows), MOST_ROWS, "rows in its band")
    return {
        "band_face": band.face,
        "band_points": tuple((x, y) for x, y in band.points),
        "band_rows": tuple((row.fraction, ", ".join(row.colours)) for row in band.rows),
        "band_behind": band.behind,
    }


def _band(s: Settings) -> dict | None:
    """Return the drawn band as the page shows it; what it does not show is kept from the plan it came from."""
    if s.band_face == NO_BAND:
        return None
    kept = _the_band(s.base)
    turned = [row.turned for row in kept.rows] if kept else []
    rows, known = [], {line[0].strip().lower(): line[0].strip() for line in s.colours if line}
    for place, (fraction, colours) in enumerate((*line, "", "")[:2] for line in s.band_rows):
        names = [known.get(name.strip().lower(), name.strip()) for name in colours.split(",") if name.strip()]
        flat = turned[place] if place < len(turned) else False
        rows.append(
            {"fraction": choice(fraction.strip().lower(), "fraction", FRACTIONS), "turned": flat, "colours": names}
        )
    base = kept.model_dump(mode="json") if kept else {}
    points = [[float(x), float(y)] for x, y in s.band_points]
    corners = [corner for corner in base.get("corners", []) if corner < len(points)]
    return base | {"face": s.band_face, "points": points, "corners": corners, "rows": rows, "behind": s.band_behind}


def plan_of(s: Settings) -> Plan:
    """Return the plan that the page's settings stand for.

    Parameters
    ----------
    s : Settings
        What the maker set.

    Returns
    -------
    Plan
        A checked plan.

    Raises
    ------
    MosaicError
        If something typed cannot be used.
    """
    kept = s.base.model_dump(mode="json")
    return Plan.made(
        **kept
        | {
            "glass": _glass(s),
            "joint": kept["joint"] | _joint(s),
            "tile": kept["tile"] | _tile(s),
            "colour": {"seed": s.seed, "corners": s.corners},
            "name": s.name,
            "paper": s.paper,
            "unit": s.unit,
            "currency": s.currency,
            "adhesive": kept["adhesive"] | _adhesive(s),
            "filler": kept["filler"] | _filler(s),
            "spare": {"break_chance": s.break_chance / 100, "confidence": s.confidence / 100},
        }
    )


def _adhesive(s: Settings) -> dict:
    """Return the adhesive part."""
    live = {"family": s.family, "place": s.place, "touched": s.touched}
    room = {"temperature": s.temperature, "humidity": s.humidity / 100}
    return live | room | {"bed": s.bed, "coverage": s.coverage / 100, "waste": s.glue_waste / 100}


def _filler(s: Settings) -> dict:
    """Return the filler part."""
    mix = {"family": s.filler_kind, "polymer": s.polymer / 100}
    return mix | {"bead": s.bead, "waste": s.filler_waste / 100}


def _joint(s: Settings) -> dict:
    """Return the joint; the wanted one is kept within its limits."""
    least, greatest = s.limits
    return {"wanted": min(max(s.joint, least), greatest), "least": least, "greatest": greatest, "edge": EDGES[s.edge]}


def _tile(s: Settings) -> dict:
    """Return the tile; a back as large as the face, or never touched, is no back of its own."""
    untouched = s.base.tile.back_side is None and s.back_side == s.base.tile.side
    back = None if untouched or s.back_side >= s.tile else s.back_side
    colours = [_colour(line) for line in s.colours]
    return {
        "side": s.tile,
        "thickness": s.thickness,
        "back_side": back,
        "clarity": s.clarity,
        "pack": s.pack,
        "colours": colours,
    }


def left_out(s: Settings) -> str:
    """Return what of the settings cannot be part of the plan, in a sentence; empty where nothing is lost.

    Parameters
    ----------
    s : Settings
        What the maker set.

    Returns
    -------
    str
        The sentence.
    """
    bare = GLASS[1] if s.band_face == "pane" else GLASS[0]
    if s.band_face == NO_BAND or s.glass != bare:
        return ""
    return f"The drawn band is on the {s.band_face}, which is not covered now: it is left out of sheets and plan."


def _glass(s: Settings) -> list[dict]:
    """Return the pieces of glass that the page shows, in the order of the plan it came from."""
    pane, vessel = _the(s.base, PanePart), _the(s.base, VesselPart)
    flat = {
        "kind": "pane",
        "name": pane.name if pane else "pane",
        "width": s.pane_width,
        "height": s.pane_height,
        "margin": s.pane_margin,
    }
    box = {
        "kind": "four-sided vessel",
        "name": vessel.name if vessel else "vessel",
        "widths": list(s.widths),
        "depths": list(s.depths),
        "heights": list(s.heights),
        "wall": s.wall,
        "base": s.floor,
        "rim_margin": s.rim_margin,
        "base_margin": s.base_margin,
        "inner_radius": s.inner_radius,
        "corner": s.corner,
    }
    band = None if left_out(s) else _band(s)
    flat["bands"] = [band] if band and band["face"] == "pane" else []
    box["bands"] = [band] if band and band["face"] != "pane" else []
    if s.glass != GLASS[2]:
        return [flat if s.glass == GLASS[0] else box]
    vessel_first = bool(vessel) and isinstance(s.base.glass[0], VesselPart)
    return [box, flat] if vessel_first else [flat, box]


def _colour(line: Sequence[str]) -> dict:
    """Read one line of the table of colours."""
    name, in_hand, price, more = (*line, "", "", "", "")[:4]
    if not name:
        raise MosaicError("Each line of the table of colours needs the colour's name.")
    count = read_number(in_hand or "0", f"number of {name} in hand")
    if count != int(count):
        raise MosaicError(f"The number of {name} in hand must be a whole number; it is {count:g}.")
    word = choice(more.strip().lower() or "yes", f"answer whether more {name} can be bought", ("yes", "no"))
    return Colour.model_construct(
        name=name, in_hand=int(count), price=read_number(price or "0", f"price of {name}"), more=word == "yes"
    ).model_dump()


FOLDER = "my_plans"
TOUCHED = ("nothing", "food or drink", "candle heat")
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
        squared=SQUARED[s.squared],
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
    for line in worked.colours.itertuples():
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
    return str(result.worked.quantities)


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
        options=(NO_BAND, "pane", *FourSided.face_names),
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
    Control("squared", "Squared paper", "choice", "", options=tuple(SQUARED), fold=VIEW),
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
    from mosaiclib.lesson.page import Lesson

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
    from mosaiclib.lesson.questions import Questions

    return Questions(QUESTIONS)
