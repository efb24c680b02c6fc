"""Lesson 06: plan a whole piece, from measured glass and a box of tiles to sheets and a shopping list."""

__all__ = [
    "CONTROLS",
    "EDGES",
    "GLASS",
    "MOST_COLOURS",
    "MOST_ROWS",
    "NO_BAND",
    "Result",
    "Settings",
    "actions",
    "compute",
    "draw",
    "left_out",
    "motifs_told",
    "plan_of",
    "report",
    "settings_of",
    "start",
    "summary",
]

import math
from collections.abc import Sequence
from dataclasses import dataclass, make_dataclass
from pathlib import Path
from typing import Any

from mosaiclib import reference
from mosaiclib.adhesive import families
from mosaiclib.adhesive.choose import CLARITIES, LAMP, PLACES
from mosaiclib.drawing import SQUARED, Drawing, layout_picture
from mosaiclib.errors import MosaicError, choice
from mosaiclib.filler import KINDS
from mosaiclib.glass import CORNERS, FourSided
from mosaiclib.job import Plan, Worked, WorkedPiece, buying_list, command, work_out
from mosaiclib.job.overview import (
    adhesive_lines,
    caution_lines,
    face_lines,
    material_lines,
    note_lines,
    unlaid_lines,
    warning_lines,
)
from mosaiclib.job.plan import CONSUMABLES, Colour, PanePart, VesselPart
from mosaiclib.job.shelf import Shelf
from mosaiclib.layout import FRACTIONS
from mosaiclib.lesson.controls import (
    Action,
    Again,
    Choice,
    Count,
    Length,
    Number,
    Points,
    Range,
    Readings,
    Switch,
    Table,
    Words,
    put_into,
    read_number,
    values_in,
)
from mosaiclib.lessons.w03_family import LAMP_HELP, SETS_HELP
from mosaiclib.report import Row
from mosaiclib.units import UNITS, mm

TITLE, LIVE = "Plan a piece", False
GLASS = ("a pane", "a four-sided vessel", "both")
VIEWS = ("the pane", "the vessel")
NO_BAND = "none"
MOST_ROWS, MOST_COLOURS = 6, 8  # lines of the page's tables
OUTSIDE = "is not within the joint limits"
COMMAND = "Plan it with: python -m mosaiclib plan FILE --out FOLDER"
EDGES = {
    "an equal bare margin": "equal",
    "tiles flush with the edge": "flush",
    "one joint of bare margin": "joint",
    "cut border pieces": "cut",
}
TOUCHED = ("nothing", "food or drink", "candle heat")
PANE, VESSEL, WALLS = "The pane", "The vessel, measured outside", "The vessel's glass and margins"
CORNER, BAND, ROUND = "The vessel's corners", "A drawn band", "Round the band"
TILES, COLOURS = "The tiles", "The colours"
GLUE, LIFE, ROOM, FILL = "The adhesive", "Where it will stand", "The workroom", "The filler"
SPARE, SHEETS, VIEW = "Cutting and spares", "Names and paper", "The view"
LATEX = "The latex"
FORGOTTEN = ("Also to buy", "Also to buy: for mixing and cleaning")


def _switch(consumable: str) -> str:
    """Return the name of the switch of something that beginners forget."""
    return f"buys_{consumable.replace(' ', '_')}"


# a path leads into the plan's file; its pane, vessel and band go by these names
CONTROLS = (
    Choice("glass", "What to cover", GLASS),
    Length("tile", "Tile", 5, 60, 0.5, path="tile.side", help="its side, as it is sold"),
    Range("limits", "Joint limits", 0, 10, 0.1, path="joint.least joint.greatest", refuses=(OUTSIDE,)),
    Choice("edge", "Edge rule", EDGES, path="joint.edge", refuses=("No whole number",)),
    Length("pane_width", "Width", 20, 1500, path="pane.width", fold=PANE),
    Length("pane_height", "Height", 20, 1500, path="pane.height", fold=PANE, refuses=("No piece can be laid",)),
    Length(
        "pane_margin",
        "Bare margin",
        0,
        100,
        path="pane.margin",
        fold=PANE,
        refuses=("leave nothing",),
        help="all round",
    ),
    Readings(
        "widths",
        "Width x 3",
        path="vessel.widths",
        fold=VESSEL,
        help="at the rim, the middle and the base; the least counts",
    ),
    Readings("depths", "Depth x 3", path="vessel.depths", fold=VESSEL, help="at the rim, the middle and the base"),
    Readings("heights", "Height", path="vessel.heights", fold=VESSEL, help="at one corner or more"),
    Length("wall", "Wall", 0.5, 30, 0.5, path="vessel.wall", fold=WALLS),
    Length("floor", "Floor", 0.5, 60, 0.5, path="vessel.base", fold=WALLS),
    Length("rim_margin", "Bare margin, rim", 0, 100, path="vessel.rim_margin", fold=WALLS),
    Length("base_margin", "Bare margin, foot", 0, 100, path="vessel.base_margin", fold=WALLS),
    Length("inner_radius", "Inner corner radius", 0, 30, 0.5, path="vessel.inner_radius", fold=CORNER),
    Choice("corner", "Round the corner", CORNERS, path="vessel.corner", fold=CORNER, refuses=("must reach its edge",)),
    Choice(
        "band_face",
        "Face",
        (NO_BAND, "pane", *FourSided.face_names),
        path="band.face",
        fold=BAND,
        help="that carries a drawn band of rows",
    ),
    Points(
        "band_points",
        "Points",
        path="band.points",
        fold=BAND,
        help="across and up from its lower left corner, a semicolon after each",
    ),
    Table(
        "band_rows",
        "Rows",
        ("tiles cut to", "colours"),
        MOST_ROWS,
        fold=BAND,
        help="whole, half, third or quarter; at least two colours with a comma between, or none for any",
    ),
    Switch("band_behind", "Drawn from behind", path="band.behind", fold=BAND),
    Choice(
        "band_outline",
        "Outline row",
        ("none", *FRACTIONS),
        path="band.outline",
        fold=ROUND,
        help="of the background's colours, on either side of the band, before the grid begins",
    ),
    Length("joint", "Wanted joint", 0, 10, 0.1, path="joint.wanted", fold=TILES, refuses=(OUTSIDE,)),
    Length("thickness", "Thickness", 1, 15, 0.5, path="tile.thickness", fold=TILES),
    Length(
        "back_side",
        "Side of the back",
        0,
        60,
        0.5,
        fold=TILES,
        refuses=("is larger than the tile",),
        help="less than the tile where its edges slope; 0 where it is as large as the face",
    ),
    Count("pack", "Tiles in a pack", 1, 500, unit="tiles", path="tile.pack", fold=TILES),
    Table(
        "colours",
        "Colours",
        ("colour", "in hand", "price each", "more?"),
        MOST_COLOURS,
        fold=COLOURS,
        help="more? yes: what is missing is bought; no: only what is in hand is used",
    ),
    Again("seed", "Another arrangement", path="colour.seed", fold=COLOURS),
    Switch("corners", "Differ at crossings too", path="colour.corners", fold=COLOURS),
    Choice("family", "Family", families(), path="adhesive.family", fold=GLUE),
    Length("bed", "Adhesive bed", 0.2, 5, 0.1, path="adhesive.bed", fold=GLUE),
    Number("coverage", "Of each back covered", 10, 100, 5, "%", percent=True, path="adhesive.coverage", fold=GLUE),
    Number(
        "glue_waste",
        "Adhesive wasted",
        0,
        100,
        5,
        "%",
        percent=True,
        path="adhesive.waste",
        fold=GLUE,
        help="in the nozzle, on the palette",
    ),
    Choice("place", "It will stand", PLACES, path="adhesive.place", fold=LIFE),
    Choice("touched", "Exposed to", TOUCHED, path="adhesive.touched", fold=LIFE),
    Choice("clarity", "Glass is", CLARITIES, path="tile.clarity", fold=LIFE),
    Choice("lamp", "Lamp's light comes through", LAMP, path="adhesive.lamp", fold=LIFE, help=LAMP_HELP),
    Number("temperature", "Workroom", 5, 40, 1, "C", path="adhesive.temperature", fold=ROOM),
    Number("humidity", "Humidity", 5, 100, 5, "%", percent=True, path="adhesive.humidity", fold=ROOM),
    Number("sets_in", "Two parts set in", 0.1, 48, 0.1, "h", path="adhesive.sets_in", fold=ROOM, help=SETS_HELP),
    Choice("filler_kind", "Kind", KINDS, path="filler.family", fold=FILL),
    Length(
        "bead",
        "Bead along edges",
        0,
        20,
        0.5,
        path="filler.bead",
        fold=FILL,
        help="filler sloped off along rim, foot and edges",
    ),
    Number("filler_waste", "Filler wasted", 0, 100, 5, "%", percent=True, path="filler.waste", fold=FILL),
    Number("polymer", "Latex additive", 0, 30, 1, "% of cement", percent=True, path="filler.polymer", fold=LATEX),
    Number(
        "solids",
        "Latex: solids",
        2,
        100,
        1,
        "%",
        percent=True,
        path="filler.solids",
        fold=LATEX,
        help="read the bottle",
    ),
    Length("gauge_step", "Gauge step", 0.1, 2, 0.1, path="cut.gauge_step", fold=SPARE, help="wedges are grouped by it"),
    Number("break_chance", "Breakage", 0, 30, 1, "%", percent=True, path="spare.break_chance", fold=SPARE),
    Number("confidence", "How sure of enough", 50, 99, 1, "%", percent=True, path="spare.confidence", fold=SPARE),
    *(Switch(_switch(name), name.capitalize(), fold=FORGOTTEN[at // 4]) for at, name in enumerate(CONSUMABLES)),
    Words("name", "Plan's name", path="name", fold=SHEETS),
    Choice("paper", "Paper", ("A4", "Letter"), path="paper", fold=SHEETS),
    Choice("unit", "Lengths on paper", UNITS, path="unit", fold=SHEETS),
    Words("currency", "Currency", path="currency", fold=SHEETS),
    Choice("view", "Picture of", VIEWS, fold=VIEW),
    Switch("numbers", "Number the pieces", fold=VIEW),
    Choice("squared", "Squared paper", SQUARED, fold=VIEW),
    Switch("behind", "Seen from behind", fold=VIEW),
)

# what the maker can set [mm], a field a control; what the page does not show is kept in the plan `base`
Settings = make_dataclass("Settings", [("base", Plan), *(control.name for control in CONTROLS)], frozen=True)

# what the page shows where the plan has no pane, vessel or band
USUAL = {
    "pane": PanePart(kind="pane", name="pane", width=300.0, height=200.0),
    "vessel": VesselPart(
        kind="four-sided vessel",
        name="vessel",
        widths=[160.0] * 3,
        depths=[120.0] * 3,
        heights=[140.0],
        wall=5.0,
        base=8.0,
    ),
}
USUAL_BAND = {
    "face": NO_BAND,
    "points": [[0.0, 60.0], [150.0, 120.0], [300.0, 60.0]],
    "rows": [{"fraction": "quarter", "colours": []}] * 3,
    "behind": False,
    "outline": "none",
}


def start() -> Settings:
    """Return the settings for the example plan."""
    return settings_of(Plan.load(reference.DATA / "example_plan.json"))


def _record(plan: Plan) -> dict[str, Any]:
    """Return a plan as its file has it, with its pane, vessel and band under those names; only what the page can show."""
    record = plan.model_dump(mode="json")
    shown = {usual.kind for usual in USUAL.values()}
    other = next((part.kind for part in plan.glass if part.kind not in shown), "")
    if other:
        raise MosaicError(f"{plan.name} covers glass of the kind {other}, which this page does not show. {COMMAND}")
    for name, usual in USUAL.items():
        found = [part for part in record["glass"] if part["kind"] == usual.kind]
        if len(found) > 1:
            raise MosaicError(
                f"{plan.name} has several pieces of one kind; this page shows one pane and one vessel. {COMMAND}"
            )
        record[name] = found[0] if found else usual.model_dump(mode="json")
    bands = [band for part in record["glass"] for band in part["bands"]]
    if len(bands) > 1:
        raise MosaicError(f"{plan.name} has {len(bands)} drawn bands; this page shows one. {COMMAND}")
    record["band"] = bands[0] if bands else dict(USUAL_BAND)
    return record


def settings_of(plan: Plan) -> Settings:
    """Return the page's settings for a plan of at most one pane, one vessel and one band; `plan_of` gives it back."""
    record = _record(plan)
    _refuse_over(plan, len(plan.tile.colours), MOST_COLOURS, "colours")
    _refuse_over(plan, len(record["band"]["rows"]), MOST_ROWS, "rows in its band")
    if "points" not in record["band"]:
        raise MosaicError(f"{plan.name} has a band along a ready-made line or a drawing, not points. {COMMAND}")
    kinds = [part.kind for part in plan.glass]
    covered = GLASS[2] if len(kinds) > 1 else GLASS[kinds != ["pane"]]
    more = {True: "yes", False: "no"}
    return Settings(
        base=plan,
        glass=covered,
        view=VIEWS["pane" not in kinds],
        back_side=plan.tile.back_side or 0.0,
        colours=tuple(
            (c.name, f"{c.in_hand}", f"{c.price:g}" if c.price else "", more[c.more]) for c in plan.tile.colours
        ),
        band_rows=tuple((row["fraction"], ", ".join(row["colours"])) for row in record["band"]["rows"]),
        numbers=False,
        squared=next(iter(SQUARED)),
        behind=False,
        **{_switch(name): name in plan.consumables for name in CONSUMABLES},
        **values_in(record, CONTROLS),
    )


def _refuse_over(plan: Plan, count: int, most: int, what: str) -> None:
    """Refuse a plan with more lines than a table of the page has, as the rest would be lost in silence."""
    if count > most:
        raise MosaicError(f"{plan.name} has {count} {what}; this page shows at most {most}. {COMMAND}")


def plan_of(s: Settings) -> Plan:
    """Return the checked plan that the page's settings stand for."""
    _check_sizes(s)
    record = _record(s.base)
    rows = record["band"]["rows"]
    put_into(record, CONTROLS, s)
    record["tile"] |= {"back_side": s.back_side or None, "colours": [_colour(line) for line in s.colours]}
    record["consumables"] = [name for name in CONSUMABLES if getattr(s, _switch(name))]
    pane, vessel, band = (record.pop(name) for name in ("pane", "vessel", "band"))
    corners = [corner for corner in band.get("corners", []) if corner < len(s.band_points)]
    bands = [] if s.band_face == NO_BAND or left_out(s) else [band | {"corners": corners, "rows": _rows(s, rows)}]
    pane["bands"], vessel["bands"] = (bands, []) if s.band_face == "pane" else ([], bands)
    both = [vessel, pane] if s.base.glass[0].kind == vessel["kind"] else [pane, vessel]
    record["glass"] = both if s.glass == GLASS[2] else [pane if s.glass == GLASS[0] else vessel]
    return Plan.made(**record)


def _check_sizes(s: Settings) -> None:
    """Refuse sizes that do not go together, in the words of the page."""
    if not s.limits[0] <= s.joint <= s.limits[1]:
        raise MosaicError(
            "The wanted joint of ", mm(s.joint), f" {OUTSIDE} of ", mm(*s.limits),
            f". Change the limits, or the wanted joint under {TILES!r}.",
        )  # fmt: skip
    if s.back_side > s.tile:
        raise MosaicError(
            "The back of ", mm(s.back_side), " is larger than the tile of ", mm(s.tile),
            f". Under {TILES!r} type the side of the back, or 0 where it is as large as the face.",
        )  # fmt: skip


def _rows(s: Settings, kept: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return the rows of the band; what the page does not show of them is kept from the plan they came from."""
    known = {line[0].strip().lower(): line[0].strip() for line in s.colours if line}
    rows = []
    for place, line in enumerate(s.band_rows):
        fraction, colours = (*line, "", "")[:2]
        names = [known.get(name.strip().lower(), name.strip()) for name in colours.split(",") if name.strip()]
        shown = {"fraction": choice(fraction.strip().lower(), "fraction", FRACTIONS), "colours": names}
        rows.append((kept[place] if place < len(kept) else {}) | shown)
    return rows


def _colour(line: Sequence[str]) -> dict[str, Any]:
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


def left_out(s: Settings) -> str:
    """Return what of the settings cannot be part of the plan, in a sentence; empty where nothing is lost."""
    bare = GLASS[1] if s.band_face == "pane" else GLASS[0]
    if s.band_face == NO_BAND or s.glass != bare:
        return ""
    return f"The drawn band is on the {s.band_face}, which is not covered now: it is left out of sheets and plan."


def motifs_told(s: Settings) -> list[str]:
    """Return what becomes of the motifs of the plan that was loaded, one sentence a piece of glass that carries some."""
    shown = {usual.kind: (name, covered) for (name, usual), covered in zip(USUAL.items(), GLASS[:2], strict=True)}
    told = []
    for part in s.base.glass:
        name, covered = shown[part.kind]
        count = f"{len(part.motifs)} motif{'s' * (len(part.motifs) > 1)}"
        kept = "kept as in the plan; this page does not change them."
        lost = "left out of sheets and plan, as it is not covered now."
        if part.motifs:
            told.append(f"On the {name}: {count}, {kept if s.glass in (covered, GLASS[2]) else lost}")
    return told


@dataclass(frozen=True, eq=False)
class Result:
    """What comes of the settings."""

    settings: Settings
    worked: Worked


def compute(s: Settings) -> Result:
    """Work the plan out."""
    return Result(s, work_out(plan_of(s)))


def _viewed(result: Result) -> WorkedPiece:
    """Return the piece of glass that the picture shows."""
    wanted = USUAL["pane" if result.settings.view == "the pane" else "vessel"].kind
    parts = zip(result.worked.plan.glass, result.worked.pieces, strict=True)
    return next((piece for part, piece in parts if part.kind == wanted), result.worked.pieces[0])


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
    left = [left_out(result.settings), *motifs_told(result.settings)]
    own = [Row("Note", "", "", words) for words in left if words]
    told = [
        *_colour_rows(worked),
        *material_lines(worked),
        *adhesive_lines(worked),
        *_cost_rows(worked),
        *own,
        *note_lines(worked),
        *caution_lines(worked),
    ]
    return [*warning_lines(worked), *face_lines(worked), *unlaid_lines(worked), *told]


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
    rows = [Row(f"Buy: {line.item}", line.packs, "", _cost(line.cost, line.note, money)) for line in bought]
    return [*rows, Row(f"Cost of {total.item}", f"{total.cost:.2f}", money, total.note or "at the prices typed here")]


def _cost(cost: float, note: str, money: str) -> str:
    """Tell what a line costs, where that is known, and what must be said of it."""
    return "; ".join(filter(None, ("" if math.isnan(cost) else f"{cost:.2f} {money}".strip(), note)))


def summary(result: Result) -> str:
    """Return the one line of quantities."""
    return str(result.worked.quantities)


def _load(name: str, shelf: Shelf) -> tuple[Settings, str]:
    plan = shelf.load(name)
    return settings_of(plan), f"{plan.name} is loaded."


def _print(s: Settings, name: str, shelf: Shelf) -> str:
    out = shelf.place(name)
    written = command.write(work_out(plan_of(s)), out)
    return f"{len(written)} files are in {shelf.folder.name}/{out.name}: tables, and a PDF of sheets for each face."


def actions(folder: Path) -> tuple[Action, ...]:
    """Return the buttons that save, load and write a plan, all on one shelf."""
    shelf = Shelf(folder)
    box = ("File name", "my piece")
    return (
        Action("save", "Save the plan", lambda s, name: shelf.save(plan_of(s), name), *box),
        Action("load", "Load a plan", lambda _, name: _load(name, shelf), *box),
        Action("print", "Write sheets and lists", lambda s, name: _print(s, name, shelf), *box),
    )
