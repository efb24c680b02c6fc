"""What the page of workbook 06 shows of a plan, and the plan that it stands for."""

__all__ = ["EDGES", "GLASS", "MOST_COLOURS", "MOST_ROWS", "NO_BAND", "Settings", "left_out", "plan_of", "settings_of"]

from collections.abc import Sequence
from dataclasses import dataclass

from mosaiclib.control import read_number
from mosaiclib.errors import MosaicError, choice
from mosaiclib.job import Plan
from mosaiclib.job.bands import BandPart
from mosaiclib.job.parts import Colour, PanePart, VesselPart
from mosaiclib.layout import FRACTIONS

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
