"""Lesson 06: what can be set of a plan, part by part; a path leads into the plan's file, its piece of glass and its line."""

__all__ = [
    "ADHESIVE_CONTROLS",
    "ALL",
    "BLENDED",
    "BUY_CONTROLS",
    "COLOUR_CONTROLS",
    "CUTTING_CONTROLS",
    "DAYS_CONTROLS",
    "EDGE",
    "FILLER_CONTROLS",
    "FIRST_MOTIF",
    "FIRST_ROUND",
    "FIRST_SHAPE",
    "FROM_DRAWING",
    "GLASS",
    "GLASS_CONTROLS",
    "LET_GO",
    "LINES",
    "LINE_CONTROLS",
    "MEASURES",
    "MOST_COLOURS",
    "MOST_ROWS",
    "NO_BRUSH",
    "NO_LINE",
    "OUTSIDE",
    "OWN",
    "PRINT_CONTROLS",
    "SIZE",
    "TILE_CONTROLS",
    "faces_of",
    "goes_round",
    "has_inside",
    "is_motif",
    "line_titles",
    "measures_of",
    "switch_of",
    "tapers",
]

import inspect
from collections.abc import Callable, Sequence
from typing import Any

from mosaiclib.adhesive import families
from mosaiclib.adhesive.choose import CLARITIES, LAMP, PLACES
from mosaiclib.drawing import PAPERS, SQUARED
from mosaiclib.filler import KINDS
from mosaiclib.glass import CORNERS, HEADS, Flat, FourSided, Pane, Round, Tapered
from mosaiclib.job.drawn import PLACING
from mosaiclib.job.plan import CONSUMABLES, SHEETS, TOUCHED
from mosaiclib.job.shaped import MEASURED
from mosaiclib.layout import CORNERS as ROUND_CORNERS
from mosaiclib.layout import EASES, FRACTIONS, MEETINGS, MIDDLES
from mosaiclib.layout.lines import READY_MADE
from mosaiclib.lesson.controls import (
    Again,
    Choice,
    Chosen,
    Count,
    Length,
    Number,
    Points,
    Range,
    Readings,
    Switch,
    Table,
    Temperature,
    Words,
)
from mosaiclib.lessons.w03_family import LAMP_HELP, SETS_HELP
from mosaiclib.lessons.w06_bench_controls import CUTTING_CONTROLS, DAYS_CONTROLS, MONEY_CONTROLS
from mosaiclib.units import UNITS

GLASS = {
    "a pane": "pane",
    "a shaped pane": "shaped pane",
    "a four-sided vessel": "four-sided vessel",
    "a round vessel": "round vessel",
    "a tapered vessel": "tapered vessel",
}
COVERS = dict(zip(GLASS, (Pane, Flat, FourSided, Round, Tapered), strict=True))
OUTLINES = {
    "a circle": "circle",
    "an ellipse": "ellipse",
    "an arch": "arch",
    "a polygon": "polygon",
    "my own drawing": "own",
}
NO_LINE = "nothing"
FIRST_SHAPE, FIRST_ROUND, FIRST_MOTIF = "bow", "straight", "heart"
OWN, FROM_DRAWING, EDGE = "my own points", "from a drawing", "along the edge"
LINES = {name.replace("_", " "): name for name in READY_MADE}
SHAPES = (OWN, EDGE, *LINES)
CLOSED = (OWN, EDGE, "ellipse", "heart", "leaf", "ring", "rounded rectangle", "star")  # what can be filled
EDGES = {
    "an equal bare margin": "equal",
    "tiles flush with the edge": "flush",
    "one joint of bare margin": "joint",
    "cut border pieces": "cut",
}
WRONG = ("cannot be used", "not on the glass")  # a line with such measures, or such a place
MOST_ROWS, MOST_COLOURS, MOST_PACKS = 40, 60, 60  # lines of the page's tables
COLOUR_HEADS = ("colour", "tone", "in hand", "price", "more?", "%")
PACK_HEADS = ("material", "pack", "holds", "price")
NO_BRUSH, LET_GO = "nothing: it only tells", "its own colour back"
BLENDED = {"as it comes": "free", "evenly mixed": "even", "a gradient, first to last": "gradient"}
BEHIND = "The background"
OUTSIDE = "is not within the joint limits"
WALLS, CORNER, HEAD, HOLES = "Walls and bare margins", "The vessel's corners", "Its head", "Its holes"
ACROSS, COURSES, TURNED = "Measured across", "Round the vessel", "Turn the vessel"
STEPS = dict(zip(("at the back", "spread about", "at the seam"), EASES, strict=True))
ROWS, FILLED, SIZE, WHERE, ROUND, POINTS = (
    "Its rows",
    "Its filling",
    "Its measures",
    "Its place",
    "Round it",
    "Its points",
)
TILE, LIFE, ROOM, SQUEEZED, LATEX = "The tile", "Where it will stand", "The workroom", "The bed", "The latex"
FORGOTTEN = ("Also to buy", "Also to buy: for mixing and cleaning")
LOOK, KINDS_OF_SHEETS = "The view", "The sheets"


PRINTS = (  # what each kind of sheet is for, in the order of SHEETS
    "lies behind a pane, or shows the outside of a vessel",
    "lies on the table, to lay the pieces out first",
    "stands inside a vessel against its walls",
)


def switch_of(chosen: str) -> str:
    """Return the name of the switch of a kind of sheet, or of something that beginners forget."""
    return f"{'prints' if chosen in SHEETS else 'buys'}_{chosen.replace(' ', '_')}"


def measures_of(shape: str) -> dict[str, bool]:
    """Return the measures of a ready-made line, each with whether it must be given, or of a drawing; none for other lines."""
    if shape == FROM_DRAWING:
        return dict.fromkeys(("width", "height", "length"), False)
    asked = inspect.signature(READY_MADE[LINES[shape]]).parameters if shape in LINES else {}
    return {name: one.default is one.empty for name, one in asked.items() if name not in PLACING}


def _is_pane(s: Any) -> bool:
    return s.glass == "a pane"


def _measured(name: str) -> Callable[[Any], bool]:
    """Return what tells whether the piece is a shaped pane with this measure."""
    return lambda s: _is_shaped(s) and name in MEASURED[OUTLINES[s.flat_shape]]


def _is_shaped(s: Any) -> bool:
    return s.glass == "a shaped pane"


def _is_vessel(s: Any) -> bool:
    return s.glass == "a four-sided vessel"


def _is_round(s: Any) -> bool:
    return s.glass == "a round vessel"


def tapers(s: Any) -> bool:
    """Tell whether the piece of glass in the boxes is a tapered vessel."""
    return s.glass == "a tapered vessel"


def goes_round(s: Any) -> bool:
    """Tell whether the piece of glass in the boxes is round about an axis."""
    return _is_round(s) or tapers(s)


def has_inside(s: Any) -> bool:
    """Tell whether the piece of glass in the boxes is a vessel, which can be turned."""
    return COVERS[s.glass].has_inside


def faces_of(s: Any) -> tuple[str, ...]:
    """Return the names of the faces of the piece of glass in the boxes."""
    names = COVERS[s.glass].face_names
    return names[: max(len(s.taper_heights) - 1, 1)] if tapers(s) else names


def _has_line(s: Any) -> bool:
    return s.line != NO_LINE


def is_motif(title: str) -> bool:
    """Tell whether what the page calls so is a motif, not a band."""
    return title.startswith("motif ")


def _has_band(s: Any) -> bool:
    return _has_line(s) and not is_motif(s.line)


def _has_motif(s: Any) -> bool:
    return is_motif(s.line)


def _has_points(s: Any) -> bool:
    return s.line != NO_LINE and s.shape == OWN


def _is_placed(s: Any) -> bool:
    return s.line != NO_LINE and (s.shape in LINES or s.shape == FROM_DRAWING)


def _several(s: Any) -> bool:
    return len(s.base.glass) > 1


def _pieces(s: Any) -> list[str]:
    return [part.name for part in s.base.glass]


def line_titles(bands: Sequence, motifs: Sequence) -> list[str]:
    """Return what the page calls the bands of a piece of glass, the lowest first, and then its motifs."""
    return [
        *(f"band {place + 1}" for place in range(len(bands))),
        *(f"motif {place + 1}" for place in range(len(motifs))),
    ]


def _lines(s: Any) -> list[str]:
    part = next(part for part in s.base.glass if part.name == s.piece)
    return [NO_LINE, *line_titles(part.bands, part.motifs)]


def _shapes(s: Any) -> list[str]:
    known = [one for one in (CLOSED if is_motif(s.line) else SHAPES) if one != EDGE or not goes_round(s)]
    return [*known, *([s.shape] if s.shape == FROM_DRAWING or (s.shape not in known and s.shape == EDGE) else [])]


def _drawn_lines(s: Any) -> list[str]:
    return [name for name, _ in s.drawing] or [s.traced]


def _measure(name: str, control: type, *more: Any, **words: Any) -> Any:
    return control(
        f"m_{name}",
        *more,
        fold=SIZE,
        when=lambda s: _is_placed(s) and name in measures_of(s.shape),
        refuses=WRONG,
        **words,
    )


MEASURES = {  # of ready-made lines, by the names that the plan's file has for them
    "width": _measure("width", Length, "Width", 5, 1500),
    "length": _measure(
        "length",
        Length,
        "Length",
        5,
        1500,
        help="as long as the girth, a line closes round a vessel",
    ),
    "height": _measure("height", Length, "Height", 2, 1500),
    "rise": _measure("rise", Length, "Rise", 1, 750),
    "radius": _measure(
        "radius",
        Length,
        "Radius",
        0,
        750,
        help="half the diameter of the dashed line; of a rounded rectangle: of its corners",
    ),
    "degrees": _measure("degrees", Number, "Angle", -350, 350, 5, "degrees"),
    "inner": _measure("inner", Length, "Inner width", 0, 1500, help="0: as it comes"),
    "turns": _measure("turns", Number, "Turns", 0.1, 20, 0.1),
    "waves": _measure("waves", Count, "Waves", 1, 20),
    "points": _measure("points", Count, "Points", 3, 24),
}


def _brushes(s: Any) -> list[str]:
    return [NO_BRUSH, LET_GO, *(line[0] for line in s.colours if line)]


VIEW = (
    Switch("lit", "Against the light", fold=LOOK, help="as before a window by day"),
    Switch("numbers", "Number the pieces", fold=LOOK),
    Choice("squared", "Squared paper", SQUARED, fold=LOOK),
    Switch("behind", "Seen from behind", fold=LOOK),
)
OFF = ("rises", "Hole", "leave nothing", "No tile fits", "No piece can be laid", "does not go into")
BENT = (  # what of its measures round glass may refuse
    *("Measure the girth", "Measure the height", "Each girth needs", "rise from the foot", "closes the taper", "fills"),
    *(
        "leave nothing",
        "Give girths or diameters",
        "the other way",
        "nearly flat",
        "cannot keep to",
        "does not go round",
        "No whole number",
    ),
    *("can bear", "must lie"),
)
TURNING = (  # how the vessel is looked at
    Number("vessel_turned", "Turned right by", -180, 180, 5, "degrees", fold=TURNED, when=has_inside),
    Number("vessel_tilt", "Seen from above by", 0, 90, 5, "degrees", fold=TURNED, when=has_inside),
)
PIECE = Chosen("piece", "Piece of glass", _pieces, when=_several, help="which one the boxes and the picture mean")


GLASS_CONTROLS = (  # the glass: its name, its kind, its measures
    PIECE,
    Choice("glass", "It is", GLASS),
    Length("pane_width", "Width", 20, 1500, path="pane.width", when=_is_pane),
    Length("pane_height", "Height", 20, 1500, path="pane.height", when=_is_pane, refuses=("No piece can be laid",)),
    Length("pane_margin", "Bare margin", 0, 100, path="pane.margin", fold=WALLS, when=_is_pane,
           refuses=("leave nothing",), help="all round"),
    Choice("flat_shape", "Its outline", OUTLINES, path="flat.shape", when=_is_shaped),
    Readings("diameters", "Diameter", path="flat.diameters", when=_measured("diameters"),
             help="measured three ways across: the least counts; one where all are alike"),
    Length("flat_width", "Width", 20, 1500, path="flat.width", when=_measured("width"), refuses=OFF),
    Length("flat_height", "Height", 20, 1500, path="flat.height", when=_measured("height"), refuses=OFF, help="in all"),
    Points("flat_points", "Corners", path="flat.points", when=_measured("points"),
           help="one after the other round the glass, across and up, a semicolon after each"),
    Length("flat_radius", "Corner radius", 0, 500, path="flat.corner_radius", when=_measured("corner_radius"),
           refuses=("make the radius smaller",), help="0: sharp"),
    Length("rise", "Its rise", 5, 750, path="flat.rise", fold=HEAD, when=_measured("rise"), refuses=OFF,
           help="from where it begins to its top; of a round head at most half the width"),
    Choice("head", "The head is", HEADS, path="flat.head", fold=HEAD, when=_measured("head"), refuses=OFF),
    Points("flat_holes", "Holes", each=("across", "up", "diameter"), fold=HOLES, when=_is_shaped,
           help="of each the middle across and up, and its diameter, a semicolon after each"),
    Length("flat_margin", "Bare margin", 0, 100, path="flat.margin", fold=WALLS, when=_is_shaped,
           refuses=("leave nothing", "No tile fits", "No piece"), help="along all edges, those of holes too"),
    Readings("widths", "Width outside", wanted=3, path="vessel.widths", when=_is_vessel,
             help="at the rim, the middle and the base: the least counts; one where all are alike"),
    Readings("depths", "Depth outside", wanted=3, path="vessel.depths", when=_is_vessel, help="in the same way"),
    Readings("heights", "Height", path="vessel.heights", when=_is_vessel, help="at one corner or more"),
    Length("wall", "Wall", 0.5, 30, 0.5, path="vessel.wall", fold=WALLS, when=_is_vessel),
    Length("floor", "Floor", 0.5, 60, 0.5, path="vessel.base", fold=WALLS, when=_is_vessel),
    Length("rim_margin", "Bare margin, rim", 0, 100, path="vessel.rim_margin", fold=WALLS, when=_is_vessel),
    Length("base_margin", "Bare margin, foot", 0, 100, path="vessel.base_margin", fold=WALLS, when=_is_vessel),
    Length("inner_radius", "Inner corner radius", 0, 30, 0.5, path="vessel.inner_radius", fold=CORNER, when=_is_vessel),
    Choice("corner", "Round the corner", CORNERS, path="vessel.corner", fold=CORNER, when=_is_vessel,
           refuses=("must reach its edge",)),
    Readings("round_girths", "Girth", path="round.girths", when=_is_round, refuses=BENT,
             help="a tape once round, at one height or more: the least counts"),
    Readings("round_heights", "Height", path="round.heights", when=_is_round, refuses=BENT, help="at one place or more"),
    Readings("round_across", "Diameter", path="round.diameters", fold=ACROSS, when=_is_round, refuses=BENT,
             help="two ways across, to see whether it is oval; alone where the girth is left empty"),
    Readings("taper_girths", "Girths", path="tapered.girths", when=tapers, refuses=BENT,
             help="a tape once round at two heights or more, the lowest first"),
    Readings("taper_heights", "At heights", path="tapered.heights", when=tapers, refuses=BENT,
             help="over the foot, one for each girth; 0 is the foot itself"),
    Readings("taper_across", "Diameters", path="tapered.diameters", fold=ACROSS, when=tapers, refuses=BENT,
             help="in place of the girths, which then are left empty"),
    Readings("taper_other", "The other way", path="tapered.other_diameters", fold=ACROSS, when=tapers, refuses=BENT,
             help="as many again at the same heights, where the glass is oval; else empty"),
    Length("round_wall", "Wall", 0.5, 30, 0.5, path="turned.wall", fold=WALLS, when=goes_round, refuses=BENT),
    Length("round_floor", "Floor", 0.5, 60, 0.5, path="turned.base", fold=WALLS, when=goes_round, refuses=BENT),
    Length("round_rim", "Bare margin, rim", 0, 100, path="turned.rim_margin", fold=WALLS, when=goes_round, refuses=BENT),
    Length("round_foot", "Bare margin, foot", 0, 100, path="turned.base_margin", fold=WALLS, when=goes_round, refuses=BENT),
    Choice("goes_round", "Tiles cut to", FRACTIONS, path="turned.fraction", fold=COURSES, when=goes_round, refuses=BENT,
           help="the short side goes round; smaller pieces gape less"),
    Choice("ease", "Steps go", STEPS, path="turned.ease", fold=COURSES, when=goes_round, refuses=BENT,
           help="where courses of a taper stand by each other with a tile more or less"),
    Length("seam", "Seam", 0, 1500, path="turned.seam", fold=COURSES, when=goes_round, refuses=("seam must lie",),
           help="where the unrolled strip begins: so far to the right of the back, along the girth"),
    Length("neck", "Neck", 0, 500, path="turned.neck", fold=COURSES, when=goes_round, refuses=("A neck",),
           help="width of the opening where it is narrower than the glass; 0 where it is not"),
    Words("glass_name", "Its name", fold=WALLS),
    *TURNING,
    *VIEW,
)  # fmt: skip


TILE_CONTROLS = (  # the tiles and the joint between them
    Length("tile", "Tile", 5, 60, 0.5, path="tile.side", help="its side, as it is sold", refuses=("does not go into",)),
    Length("joint", "Wanted joint", 0, 10, 0.1, path="joint.wanted", refuses=(OUTSIDE,)),
    Range("limits", "Joint limits", 0, 10, 0.1, path="joint.least joint.greatest", refuses=(OUTSIDE,)),
    Choice("edge", "Edge rule", EDGES, path="joint.edge", refuses=("No whole number",)),
    Length("thickness", "Thickness", 1, 15, 0.5, path="tile.thickness", fold=TILE),
    Length("back_side", "Side of the back", 0, 60, 0.5, fold=TILE, refuses=("is larger than the tile",),
           help="less than the tile where its edges slope; 0 where it is as large as the face"),
    Count("pack", "Tiles in a pack", 1, 500, unit="tiles", path="tile.pack", fold=TILE),
    Choice("clarity", "Glass is", CLARITIES, path="tile.clarity", fold=TILE),
    Length("gauge_step", "Gauge step", 0.1, 2, 0.1, path="cut.gauge_step", fold="Cutting", help="wedges are grouped by it"),
    *VIEW,
)  # fmt: skip


LINE_CONTROLS = (  # drawn lines with their rows, one at a time
    PIECE,
    Chosen("line", "Band or motif", _lines, help="rows along a line, or a closed line filled with rows; the later lies on top"),
    Chosen("shape", "It is", _shapes, when=_has_line),
    Choice("meet", "Where bands meet", MEETINGS, when=lambda s: len(_lines(s)) > 2),
    Chosen("traced", "Line of the drawing", _drawn_lines, fold=SIZE,
           when=lambda s: _is_placed(s) and s.shape == FROM_DRAWING and len(s.drawing) > 1),
    *MEASURES.values(),
    Length("m_x", "Across", 0, 2000, fold=WHERE, when=_is_placed, refuses=WRONG, help="its middle, from the lower left corner"),
    Length("m_y", "Up", 0, 2000, fold=WHERE, when=_is_placed, refuses=WRONG),
    Number("m_turned", "Turned left by", -180, 180, 5, "degrees", fold=WHERE, when=_is_placed, refuses=WRONG),
    Length("snap", "Snap within", 0, 20, 0.5, fold=WHERE, when=_has_line,
           help="of the middle of its face, or of what makes it alike on both sides, while it is dragged; 0: never"),
    Points("band_points", "Points", fold=POINTS, when=_has_points,
           help="across and up from the lower left corner, a semicolon after each"),
    Switch("closed", "It closes on itself", fold=POINTS, when=lambda s: _has_points(s) and _has_band(s)),
    Table("band_rows", "Rows", ("tiles cut to", "colours", "blend"), MOST_ROWS, fold=ROWS, when=_has_band,
          help="whole, half, third or quarter; at least two colours with a comma between, or none for any; blend: free, even or "
               "gradient; empty a line to take its row out"),
    Choice("motif_fraction", "Tiles cut to", FRACTIONS, fold=FILLED, when=_has_motif),
    Choice("motif_middle", "Its middle", MIDDLES, fold=FILLED, when=_has_motif,
           help="fan: pieces that run together; piece: one piece or a line of them; field: a small grid"),
    Words("motif_colours", "Colours", fold=FILLED, when=_has_motif,
          help="at least two with a comma between, or none for any"),
    Chosen("band_face", "Face", faces_of, fold=ROUND, when=lambda s: _has_line(s) and len(faces_of(s)) > 1),
    Choice("band_outline", "Outline row", ("none", *FRACTIONS), fold=ROUND, when=_has_line,
           help="of the background's colours, on either side, before the grid begins"),
    Choice("band_corner", "Round its corners", ROUND_CORNERS, fold=ROUND, when=_has_band),
    Switch("band_behind", "Drawn from behind", fold=ROUND, when=_has_line),
    *VIEW,
)  # fmt: skip


COLOUR_CONTROLS = (  # the box of tiles by colour, and how they are arranged
    PIECE,
    Table("colours", "Colours", COLOUR_HEADS, MOST_COLOURS, tones=("tone",),
          help="tone: tap it to choose. price: of one tile. more? yes: what is missing is bought; no: only what is in hand is "
               "used. %: so much of all pieces; empty: as it comes"),
    Chosen("brush", "A tap gives", _brushes, help="to a piece in the picture; the rest is arranged again round it"),
    Again("seed", "Another arrangement", path="colour.seed"),
    Switch("corners", "Differ at crossings too", path="colour.corners", fold=BEHIND),
    Words("back_colours", "Colours", fold=BEHIND, help="of the field; all where none are named, a comma between"),
    Choice("back_blend", "They are", BLENDED, fold=BEHIND),
    Choice("back_way", "A gradient goes", ("up", "across"), fold=BEHIND),
    *TURNING,
    *VIEW,
)  # fmt: skip


ADHESIVE_CONTROLS = (  # the adhesive, where the piece will stand, and the workroom
    Choice("family", "Adhesive", families(), path="adhesive.family"),
    Choice("place", "It will stand", PLACES, path="adhesive.place", help="or hang"),
    Choice("touched", "Exposed to", TOUCHED, path="adhesive.touched"),
    Choice("lamp", "Lamp's light comes through", LAMP, path="adhesive.lamp", help=LAMP_HELP),
    Temperature("temperature", "Workroom", 5, 40, path="adhesive.temperature", fold=ROOM),
    Number("humidity", "Humidity", 5, 100, 5, "%", percent=True, path="adhesive.humidity", fold=ROOM),
    Number("sets_in", "Two parts set in", 0.1, 48, 0.1, "h", path="adhesive.sets_in", fold=ROOM, help=SETS_HELP),
    Length("bed", "Adhesive bed", 0.2, 5, 0.1, path="adhesive.bed", fold=SQUEEZED),
    Number("coverage", "Of each back covered", 10, 100, 5, "%", percent=True, path="adhesive.coverage", fold=SQUEEZED),
    Number("glue_waste", "Adhesive wasted", 0, 100, 5, "%", percent=True, path="adhesive.waste", fold=SQUEEZED,
           help="in the nozzle, on the palette"),
)  # fmt: skip


FILLER_CONTROLS = (  # the filler and what is mixed into it
    Choice("filler_kind", "Filler", KINDS, path="filler.family"),
    Length("bead", "Bead along edges", 0, 20, 0.5, path="filler.bead",
           help="filler sloped off along rim, foot and edges"),
    Number("filler_waste", "Filler wasted", 0, 100, 5, "%", percent=True, path="filler.waste"),
    Number("polymer", "Latex additive", 0, 30, 1, "% of cement", percent=True, path="filler.polymer", fold=LATEX),
    Number("solids", "Latex: solids", 2, 100, 1, "%", percent=True, path="filler.solids", fold=LATEX,
           help="read the bottle"),
)  # fmt: skip


BUY_CONTROLS = (  # spares, and what beginners forget
    Number("break_chance", "Breakage", 0, 30, 1, "%", percent=True, path="spare.break_chance",
           help="of tiles laid as they are; what cutting spoils is set on its part"),
    Number("confidence", "How sure of enough", 50, 99, 1, "%", percent=True, path="spare.confidence"),
    Words("currency", "Currency", path="currency"),
    Table("packs", "Packs", PACK_HEADS, MOST_PACKS, fold="Packs and prices",
          help="as your shop sells them: type what a pack holds and costs, add a line for another pack. Of one material, packs "
               "with a price go before those without"),
    *MONEY_CONTROLS,
    *(Switch(switch_of(name), name.capitalize(), fold=FORGOTTEN[at // 4]) for at, name in enumerate(CONSUMABLES)),
)  # fmt: skip


PRINT_CONTROLS = (  # the paper
    Choice("paper", "Paper", tuple(PAPERS), path="paper"),
    Choice("unit", "Lengths on paper", UNITS, path="unit"),
    *(
        Switch(switch_of(name), name.capitalize(), fold=KINDS_OF_SHEETS, help=said)
        for name, said in zip(SHEETS, PRINTS, strict=True)
    ),
)


PARTS = (
    GLASS_CONTROLS,
    TILE_CONTROLS,
    LINE_CONTROLS,
    COLOUR_CONTROLS,
    ADHESIVE_CONTROLS,
    FILLER_CONTROLS,
    CUTTING_CONTROLS,
    DAYS_CONTROLS,
    BUY_CONTROLS,
    PRINT_CONTROLS,
)
ALL = tuple({control.name: control for part in PARTS for control in part}.values())  # each once
