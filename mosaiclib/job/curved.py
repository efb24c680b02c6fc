"""What a curved wall does to flat tiles: thicker beds, joints that open, and weight that pulls along the slope."""

__all__ = ["Curved", "bend_notes", "curved", "curved_notes", "joint_at_bend"]

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely

from mosaiclib import reference
from mosaiclib.adhesive.choose import family
from mosaiclib.adhesive.cure import hold
from mosaiclib.errors import MosaicError
from mosaiclib.glass import Face, Glass, Seam
from mosaiclib.glass.facets import largest_that_sits, normal_radius, seat
from mosaiclib.layout import FRACTIONS, NIP, PARTS, Layout
from mosaiclib.units import mm, text
from mosaiclib.words import Text

DO = {  # by what would sit, "" where nothing does
    "whole": "whole tiles would keep to it with the joint as wanted.",
    **{
        name: f"tiles cut to {parts} with the short side round the glass would keep to it."
        for name, parts in (("half", "halves"), ("third", "thirds"), ("quarter", "quarters"))
    },
    "": "no part of this tile keeps to it: take smaller or thinner tiles, or accept more.",
}
HANGS = 5.0  # [degrees] a wall that leans outwards by more lets tiles hang; assumed


@dataclass(frozen=True)
class Curved:
    """How the tiles of one face that goes round sit on it.

    Radius of the glass where it bends most, bed where it is thickest there, joint at the face [mm]; adhesive and filler beyond those
    of a flat face, without what is lost [mL].
    """

    face: str
    radius: float
    deepest: float
    face_joint: float
    adhesive: float
    filler: float


def curved(layout: Layout, face: Face, bed: float, coverage: float) -> Curved:
    """Return how the tiles of a face with an `edge` sit on it, on a bed [mm] that covers a share of their backs."""
    mine = (layout.pieces["face"] == face.name).to_numpy()
    table = layout.pieces.loc[mine, ["width", "height", "area"]].assign(up=_tightest(layout.shapes[mine], face))
    alike = table.round({"width": 3, "height": 3, "up": 1}).groupby(["width", "height", "up"], as_index=False)
    sizes = alike.agg(area=("area", "sum"), count=("area", "size"))
    w, h, area, count = (sizes[name].to_numpy(dtype=float) for name in ("width", "height", "area", "count"))
    R = normal_radius((face.edge.length * (1 - face.edge.curvature * sizes["up"].to_numpy())) / math.tau, face.lean)
    if (w >= R).any():
        wide, least = mm(round(float(w.max()), 2)), mm(round(float(R.min()), 1))
        raise MosaicError(
            "A tile ", wide, " wide is more than glass of radius ", least, " can bear; take smaller pieces."
        )
    found = seat(w, h, layout.tile.thickness, layout.joint, R, bed)
    flat = layout.joint * h * (layout.tile.thickness + bed) / 1000
    return Curved(
        face.name,
        float(R.min()),
        float(found.deepest.max()),
        float(found.face_joint.max()),
        float(((found.mean - bed) * area).sum() / 1000 * coverage),
        float(((found.joint_volume - flat) * count).sum()),
    )


def _tightest(shapes: np.ndarray, face: Face) -> np.ndarray:
    """Return how far up from the foot of a face the glass under each piece is narrowest, shape (n,) [mm]."""
    points, owner = shapely.get_coordinates(shapes, return_index=True)
    end = np.maximum if face.edge.curvature > 0 else np.minimum
    return end.reduceat(face.edge.place(points)[1], np.flatnonzero(np.diff(owner, prepend=-1)))


def curved_notes(one: Curved, face: Face, layout: Layout, glue) -> Iterator[Text]:
    """Say what flat tiles do on a face that goes round: gap, joint at the face, what would sit, and whether they slide.

    `glue` is the adhesive's part of a plan.
    """
    beds = mm(glue.bed), " under their middle and up to ", mm(round(one.deepest, 1)), " under their edges"
    opens = "; the joint opens to ", mm(round(one.face_joint, 1)), " at the face."
    yield text("flat tiles gape on the curve: the bed is ", *beds, *opens)
    yield from _too_wide(one, layout, glue.bed)
    yield from _slides(face, layout, glue)


def bend_notes(glass: Glass, layout: Layout, bed: float) -> Iterator[Text]:
    """Say where two rings meet at a bend that closes the joint between them under its least, or opens it over its greatest."""
    faces = {face.name: face for face in glass.faces}
    for seam in glass.seams:
        low, high = (faces[name] for name in seam.faces)
        if low is not high and low.edge is not None:
            back, turn = _apart(layout, seam), high.lean - low.lean
            face = joint_at_bend(back, turn, bed + layout.tile.thickness)
            if (turn > 0 and face < layout.joint_min - NIP) or (turn < 0 and face > layout.joint_max + NIP):
                yield _bent(low.name, high.name, back, face)


def joint_at_bend(joint: float, turn: float, deep: float) -> float:
    """Return the joint at a bend, `deep` [mm] over the glass: j cos(turn/2) - 2 d sin(turn/2), below 0 where tiles meet [mm].

    `turn` [degrees] is above 0 where the wall turns towards its tiles.

    >>> round(joint_at_bend(2, 20, 5), 2), round(joint_at_bend(2, -20, 5), 2)
    (0.23, 3.71)
    """
    half = math.radians(turn) / 2
    return joint * math.cos(half) - 2 * deep * math.sin(half)


def _apart(layout: Layout, seam: Seam) -> float:
    """Return how far the pieces of two rings stay apart, along the glass [mm]."""
    owner = layout.pieces["face"].to_numpy()
    sides = zip(seam.faces, (seam.one, seam.two), strict=True)
    return sum(float(shapely.distance(layout.shapes[owner == name], edge.line).min()) for name, edge in sides)


def _bent(low: str, high: str, back: float, face: float) -> Text:
    """Return what is said of a bend between two rings by the joint between them at the glass and at the face [mm]."""
    begins = f"{low} and {high} meet at a bend: the joint between them, ", mm(round(back, 1)), " at the glass, "
    if face > back:
        return text(
            *begins, "opens to ", mm(round(face, 1)), " at the face. One more girth measured there shares the bend."
        )
    ends = (
        ("closes to ", mm(round(face, 1)), " at the face")
        if face > 0
        else ("closes until the faces run into each other",)
    )
    return text(
        *begins,
        *ends,
        ". Bevel their edges, leave more bare there, or let one more girth measured there share the bend.",
    )


def _too_wide(one: Curved, layout: Layout, bed: float) -> Iterator[Text]:
    """Say what is over its limit where a bed is too thick or a joint too wide at the face, and which part of a tile would sit."""
    most, widest = reference.value("allowances", "thickest bed").number, layout.joint_max
    over = [text("a bed over ", mm(most), " is slow to cure and lets tiles tilt")] * (one.deepest > most)
    over += [text("the greatest joint is ", mm(widest), ", at the face too")] * (one.face_joint > widest + NIP)
    if not over:
        return
    sizes = {name: tuple(layout.tile.side * side for side in sorted(PARTS[name])) for name in FRACTIONS}
    limits = {"thickest": max(most, bed + 0.1), "joints": (0.0, widest)}
    sits = largest_that_sits(sizes, layout.tile.thickness, layout.joint, one.radius, bed, **limits)
    yield text(*(part for words in over for part in (words, "; ")), DO[sits])


def _slides(face: Face, layout: Layout, glue) -> Iterator[Text]:
    """Say whether fresh tiles slide down a face, by the weight along its slope over the bed, and whether they hang."""
    paste = 0.0 if family(glue.family).word("body") == "runny" else None
    held = hold(layout.tile.thickness, 0.0, coverage=glue.coverage, fresh=paste)
    pull = held.stress * math.cos(math.radians(face.lean))
    if held.strength < 2 * pull:
        slide = "they slide" if held.strength < pull else "they may slide"
        bears = f"fresh {glue.family} holds about {held.strength:.0f} Pa, an assumed figure to be tried on scrap"
        do = "Lay the vessel on its side, and glue the strip that lies on top."
        yield text(f"the weight of the tiles pulls with {pull:.0f} Pa along the slope, and {bears}: {slide}. {do}")
    if face.lean > HANGS:
        yield text(
            f"the wall leans outwards by {face.lean:.0f} degrees, so that fresh tiles hang: turn it over, onto its rim."
        )
