"""True-scale sheets of a plan: templates, dry-lay sheets and the guides that stand inside the glass."""

__all__ = ["PieceSheets", "inside_layout", "not_too_many_sheets", "piece_sheets"]

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon

from mosaiclib.drawing import Drawing, template_sheets
from mosaiclib.errors import MosaicError
from mosaiclib.glass import Face, FourSided, Pane
from mosaiclib.job.extent import measure_all
from mosaiclib.job.plan import Plan
from mosaiclib.job.working import Worked, WorkedPiece
from mosaiclib.layout import Layout, face_of, piece_table

OUTSIDE = "shows the outside from rim to foot; inside the vessel goes the inside guide, which is narrower"
SQUARE_ON = "Look square on: seen at an angle, a line behind thick glass is not where it seems."
MARGINS = "The outline is the whole face of the glass: strips without pieces stay bare."
CUT_OUT = (
    "Cut out along the outline. It is narrower than the face by both walls and inner corners; "
    "pieces that it cuts off are whole outside."
)
PRINT = "Print at 100 %, never 'fit to page'; measure the bar before you cut."


@dataclass(frozen=True)
class PieceSheets:
    """The sheets of one face.

    Parameters
    ----------
    piece, face : str
        Names of the piece of glass and of its face.
    template, dry_lay, inside : tuple of Drawing
        Pages of the template, of the dry-lay sheet and, for a vessel, of the guide for the inside.
    """

    piece: str
    face: str
    template: tuple[Drawing, ...]
    dry_lay: tuple[Drawing, ...]
    inside: tuple[Drawing, ...]

    @property
    def all(self) -> tuple[Drawing, ...]:
        """All pages in order."""
        return self.template + self.dry_lay + self.inside


def piece_sheets(worked: Worked) -> Iterator[PieceSheets]:
    """Yield the sheets of every face of a plan.

    Parameters
    ----------
    worked : Worked
        A plan worked out.

    Yields
    ------
    PieceSheets
        One a face, in the order of the plan.
    """
    for piece in worked.pieces:
        for face in piece.glass.faces:
            yield _sheets(piece, face, worked.plan.paper, worked.plan.unit)


def not_too_many_sheets(plan: Plan) -> None:
    """Refuse a plan whose faces take more sheets than anyone prints, before any work is done for it.

    Parameters
    ----------
    plan : Plan
        A checked plan.

    Raises
    ------
    MosaicError
        If the sheets of a face are too many; the sentence says how many.
    """
    for part, glass in zip(plan.glass, measure_all(plan), strict=True):
        try:
            for face in glass.faces:
                bare = WorkedPiece(part.name, glass, _bare(plan, glass.strip, face), (), 0.0, 0.0, 0.0, 0.0)
                _sheets(bare, face, plan.paper, plan.unit)
        except MosaicError as wrong:
            raise MosaicError(f"{part.name}: {wrong}") from None


def _bare(plan: Plan, strip: Polygon, face: Face) -> Layout:
    """Return a face with one small piece of each colour, so that its sheets have the key that they will have."""
    names = [colour.name for colour in plan.tile.colours]
    middle = face.outline.centroid
    shapes = np.full(len(names), shapely.box(middle.x, middle.y, middle.x + 1, middle.y + 1), dtype=object)
    table = piece_table(len(names), face=face.name, colour=names)
    joint = plan.joint
    return Layout(strip, shapes, table, joint.wanted, joint.least, joint.greatest, plan.tile.tile)


def _sheets(piece: WorkedPiece, face: Face, paper: str, unit: str) -> PieceSheets:
    """Draw the sheets of one face."""
    single = isinstance(piece.glass, Pane)
    layout = face_of(piece.layout, _whole_face(piece.glass, face), face.name)
    name = piece.name if single else f"{piece.name}, {face.name}, outside"
    up = "top" if single else "rim"
    front = template_sheets(
        layout,
        paper,
        name=name,
        up=up,
        faces="lies behind the glass, printed side towards the glass" if single else OUTSIDE,
        notes=(PRINT, SQUARE_ON if single else MARGINS),
        unit=unit,
    )
    dry = template_sheets(
        layout,
        paper,
        name=name,
        dry_lay=True,
        up=up,
        faces="lies on the table, printed side up",
        notes=(PRINT,),
        unit=unit,
    )
    return PieceSheets(piece.name, face.name, tuple(front), tuple(dry), tuple(_inside(piece, face, paper, unit)))


def _whole_face(glass: Pane | FourSided, face: Face) -> Polygon:
    """Return the face with its bare margins, so that the sheet's upper edge is the rim of the glass [mm]."""
    if isinstance(glass, Pane):
        return shapely.box(0.0, 0.0, glass.width, glass.height)
    return shapely.box(face.x, 0.0, face.x + face.width, glass.height)


def _inside(piece: WorkedPiece, face: Face, paper: str, unit: str) -> list[Drawing]:
    """Draw the guide that stands inside a vessel against one wall."""
    if not isinstance(piece.glass, FourSided):
        return []
    guide = inside_layout(piece.layout, piece.glass, face)
    return template_sheets(
        guide,
        paper,
        name=f"{piece.name}, {face.name}, inside guide",
        up="rim",
        faces="stands inside against the wall, printed side towards the glass, upper edge level with the rim",
        notes=(
            PRINT,
            CUT_OUT,
        ),
        unit=unit,
    )


def inside_layout(layout: Layout, glass: FourSided, face: Face) -> Layout:
    """Return what a paper guide inside the vessel shows of a face.

    Parameters
    ----------
    layout : Layout
        All faces on the strip.
    glass : FourSided
        The vessel.
    face : Face
        The face.

    Returns
    -------
    Layout
        Pieces cut to the guide, which hangs from the rim; numbers are kept.
    """
    width, height = glass.inside_template(face)
    left = face.x + face.overhang + glass.wall + glass.inner_radius
    return face_of(layout, shapely.box(left, glass.height - height, left + width, glass.height), face.name)
