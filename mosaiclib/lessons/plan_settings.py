"""What the page of workbook 06 shows of a plan, and the plan that it stands for."""

__all__ = ["EDGES", "GLASS", "Settings", "plan_of", "settings_of"]

from collections.abc import Sequence
from dataclasses import dataclass

from mosaiclib.control import read_number
from mosaiclib.errors import MosaicError, choice
from mosaiclib.job import Plan
from mosaiclib.job.plan import Colour, PanePart, VesselPart

GLASS = ("a pane", "a four-sided vessel", "both")
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
    bed: float
    bead: float
    break_chance: float
    confidence: float
    view: str
    numbers: bool
    squared: str
    behind: bool


def _the(plan: Plan, kind: type):
    """Return the plan's one part of a kind, None if it has none."""
    found = [part for part in plan.glass if isinstance(part, kind)]
    if len(found) > 1:
        raise MosaicError(
            f"{plan.name} has several pieces of one kind; this page shows one pane and one vessel. "
            "Plan it with: python -m mosaiclib plan FILE --out FOLDER"
        )
    return found[0] if found else None


def settings_of(plan: Plan) -> Settings:
    """Return the page's settings for a plan.

    Parameters
    ----------
    plan : Plan
        A plan with at most one pane and one vessel.

    Returns
    -------
    Settings
        From which `plan_of` makes the same plan again.

    Raises
    ------
    MosaicError
        If the plan has more pieces than the page can show.
    """
    pane, vessel = _the(plan, PanePart), _the(plan, VesselPart)
    shown = pane or PanePart(kind="pane", name="pane", width=300.0, height=200.0)
    box = vessel or VesselPart(
        kind="four-sided vessel",
        name="vessel",
        widths=[160.0] * 3,
        depths=[120.0] * 3,
        heights=[140.0],
        wall=5.0,
        base=8.0,
    )
    words = {value: key for key, value in EDGES.items()}
    return Settings(
        base=plan,
        glass=GLASS[2] if pane and vessel else GLASS[0] if pane else GLASS[1],
        tile=plan.tile.side,
        limits=(plan.joint.least, plan.joint.greatest),
        joint=plan.joint.wanted,
        edge=words[plan.joint.edge],
        pane_width=shown.width,
        pane_height=shown.height,
        pane_margin=shown.margin,
        widths=tuple(box.widths),
        depths=tuple(box.depths),
        heights=tuple(box.heights),
        wall=box.wall,
        floor=box.base,
        rim_margin=box.rim_margin,
        base_margin=box.base_margin,
        inner_radius=box.inner_radius,
        corner=box.corner,
        thickness=plan.tile.thickness,
        back_side=plan.tile.back_side or plan.tile.side,
        pack=plan.tile.pack,
        colours=tuple((c.name, f"{c.in_hand}", f"{c.price:g}", "yes" if c.more else "no") for c in plan.tile.colours),
        seed=plan.colour.seed,
        corners=plan.colour.corners,
        bed=plan.adhesive.bed,
        bead=plan.filler.bead,
        break_chance=round(plan.spare.break_chance * 100, 6),
        confidence=round(plan.spare.confidence * 100, 6),
        view="the pane" if pane else "the vessel",
        numbers=False,
        squared="no squared paper",
        behind=False,
    )


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
    joint = kept["joint"] | {
        "wanted": min(max(s.joint, s.limits[0]), s.limits[1]),
        "least": s.limits[0],
        "greatest": s.limits[1],
        "edge": EDGES[s.edge],
    }
    back = (
        None
        if s.back_side >= s.tile or (s.base.tile.back_side is None and s.back_side == s.base.tile.side)
        else s.back_side
    )
    tile = kept["tile"] | {
        "side": s.tile,
        "thickness": s.thickness,
        "back_side": back,
        "pack": s.pack,
        "colours": [_colour(line) for line in s.colours],
    }
    return Plan.made(
        **kept
        | {
            "glass": _glass(s),
            "joint": joint,
            "tile": tile,
            "colour": {"seed": s.seed, "corners": s.corners},
            "adhesive": kept["adhesive"] | {"bed": s.bed},
            "filler": kept["filler"] | {"bead": s.bead},
            "spare": {"break_chance": s.break_chance / 100, "confidence": s.confidence / 100},
        }
    )


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
