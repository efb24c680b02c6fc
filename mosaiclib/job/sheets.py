"""Sheets of a piece: templates, dry-lay sheets, batch card and record sheet."""

__all__ = [
    "PieceSheets",
    "batch_lines",
    "card",
    "caution",
    "mixing_lines",
    "not_too_many_sheets",
    "piece_sheets",
    "write_batch_card",
]

import textwrap
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import shapely
from shapely import Polygon

from mosaiclib.cautions import on_paper
from mosaiclib.drawing import Drawing, Lines, Text, pages, segments, template_sheets, write_pdf
from mosaiclib.drawing.palette import INK, LETTER, SOFT
from mosaiclib.errors import MosaicError
from mosaiclib.filler import Ingredient, Recipe
from mosaiclib.glass import Face
from mosaiclib.job.colours import looks_of
from mosaiclib.job.plan import Plan
from mosaiclib.job.work import Worked, WorkedPiece, measure_all
from mosaiclib.layout import Layout, face_of, piece_table

OUTSIDE = "shows the outside from rim to foot; inside the vessel goes the inside guide, which is narrower"
SQUARE_ON = "Look square on: seen at an angle, a line behind thick glass is not where it seems."
MARGINS = "The outline is the whole face of the glass: strips without pieces stay bare."
CUT_OUT = (
    "Cut out along the outline. It is narrower than the outside face because the walls take up room; a piece cut by its "
    "edge is whole on the outside."
)


@dataclass(frozen=True)
class PieceSheets:
    """The pages of one face of a piece of glass: template, dry-lay sheet and, for a vessel, the guide for its inside."""

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
    """Yield the sheets of every face of a plan, in its order."""
    for piece in worked.pieces:
        for face in piece.glass.faces:
            yield _sheets(piece, face, worked.plan, worked.warnings)


def not_too_many_sheets(plan: Plan) -> None:
    """Refuse a plan whose faces take more sheets than anyone prints, before any work is done for it."""
    for part, glass in zip(plan.glass, measure_all(plan), strict=True):
        try:
            for face in glass.faces:
                bare = WorkedPiece(part.name, glass, _bare(plan, glass.strip, face), (), 0.0, 0.0, 0.0, 0.0)
                _sheets(bare, face, plan)
        except MosaicError as wrong:
            raise MosaicError(part.name, ": ", wrong) from None


def _bare(plan: Plan, strip: Polygon, face: Face) -> Layout:
    """Return a face with one small piece of each colour, so that its sheets have the key that they will have."""
    names = [colour.name for colour in plan.tile.colours]
    middle = face.outline.centroid
    shapes = np.full(len(names), shapely.box(middle.x, middle.y, middle.x + 1, middle.y + 1), dtype=object)
    table = piece_table(len(names), face=face.name, colour=names)
    joint = plan.joint
    return Layout(strip, shapes, table, joint.wanted, joint.least, joint.greatest, plan.tile.tile)


def _sheets(piece: WorkedPiece, face: Face, plan: Plan, warnings: Sequence[str] = ()) -> PieceSheets:
    """Draw the sheets of one face; what must not be overlooked stands on each."""
    glass = piece.glass
    layout = face_of(piece.layout, glass.whole_face(face), face.name)
    title, up = glass.title(piece.name, face.name), glass.top
    name = f"{title}, outside" if glass.has_inside else title
    told = (*warnings, on_paper("sheet"))
    printed = {"unit": plan.unit, "looks": looks_of(plan)}
    front = template_sheets(
        layout,
        plan.paper,
        name=name,
        up=up,
        faces=OUTSIDE if glass.has_inside else "lies behind the glass, printed side towards the glass",
        notes=(MARGINS if glass.has_inside else SQUARE_ON, *told),
        **printed,
    )
    dry = template_sheets(
        layout,
        plan.paper,
        name=name,
        dry_lay=True,
        up=up,
        faces="lies on the table, printed side up",
        notes=told,
        **printed,
    )
    return PieceSheets(
        piece.name, face.name, tuple(front), tuple(dry), tuple(_inside(piece, face, plan.paper, told, printed))
    )


def _inside(
    piece: WorkedPiece, face: Face, paper: str, told: Sequence[str], printed: Mapping[str, Any]
) -> list[Drawing]:
    """Draw the guide that stands inside a vessel against one wall."""
    if not piece.glass.has_inside:
        return []
    # pieces are cut to the guide and keep their numbers
    guide = face_of(piece.layout, piece.glass.guide_outline(face), face.name)
    return template_sheets(
        guide,
        paper,
        name=f"{piece.glass.title(piece.name, face.name)}, inside guide",
        up=piece.glass.top,
        faces="stands inside against the wall, printed side towards the glass, upper edge level with the rim",
        notes=(CUT_OUT, *told),
        **printed,
    )


WIDE, STEP, LINE, SIZE = 170.0, 8.0, 4.6, 3.4  # [mm] card, a line of it, what a further line of words adds, letters
RIM, SECOND = 4.0, 80.0  # [mm] where the two columns begin


def card(title: str, lines: Sequence[tuple[str, str]]) -> Drawing:
    """Draw a card of words in two columns [mm], wrapped inside its width, with a rule under each line.

    A line is what, and how much; empty for a place to write.

    Examples
    --------
    >>> card("Batch", [("powder", "170 g")]).width
    170.0
    """
    wrapped = [(_wrapped(what, SECOND - RIM), _wrapped(much, WIDE - RIM - SECOND)) for what, much in lines]
    tall = [STEP + LINE * (max(len(what), len(much), 1) - 1) for what, much in wrapped]
    high = sum(tall) + 2 * STEP
    items: list = [Text(RIM, high - STEP, title, 5.0, voice="heading", colour=INK)]
    rules, top = [], high - 1.5 * STEP
    for cells, deep in zip(wrapped, tall, strict=True):
        for x, words in zip((RIM, SECOND), cells, strict=True):
            items += [Text(x, top - 0.7 * STEP - LINE * i, one, SIZE, colour=INK) for i, one in enumerate(words)]
        top -= deep
        rules.append([RIM, top, WIDE - RIM, top])
    about = "; ".join(f"{what}: {much}" for what, much in lines)
    return Drawing(WIDE, high, title, about, (*items, Lines(segments(rules), SOFT, 0.15)))


def _wrapped(words: str, room: float) -> list[str]:
    """Return words as lines that fit a room [mm]."""
    return textwrap.wrap(words, int(room / (LETTER * SIZE)))


def caution(made: Recipe) -> str:
    """Return what to beware of with a filler, in sentences for its card."""
    return on_paper("powder" if made.powder else "resin")


def batch_lines(made: Recipe, count: int, wipe: float) -> list[tuple[str, str]]:
    """Return the lines of a batch card, what and how much: for all [g], and for each batch; when to wipe [min]."""
    head = [("Filler", made.kind.name), ("On its bag", f"{made.kind.bag}. {made.kind.mixed_with}")]
    if made.sand:
        head.append(("Sanded or unsanded", made.sand))
    if made.powder:
        head.append(("Batches", f"{count} of {made.volume / count:.0f} mL"))
    return [*head, *mixing_lines(made, count, wipe)]


def mixing_lines(made: Recipe, count: int, wipe: float) -> list[tuple[str, str]]:
    """Return what a filler is mixed from [g], in all and for each batch, and what is done with it; when to wipe [min]."""
    if not made.powder:
        return [
            *[(one.name, f"{one.amount:.0f} {one.unit} in all; no water in it") for one in made.ingredients],
            ("Its parts", "each as its maker says, by weight"),
            ("Smallest batch", made.smallest),
            ("How much at once", "what can be placed in the pot life that its maker names"),
            ("Wipe", "before it sets, as its maker says"),
        ]
    return [
        *[(one.name, _each(one, count)) for one in made.ingredients],
        ("Smallest batch", made.smallest),
        ("Stir, let it slake, stir again", "as the bag says"),
        ("Wipe", f"after about {wipe:.0f} minutes, with little water (common practice)"),
        ("Keep moist, then dry in the air", made.keep_moist),
    ]


def _each(one: Ingredient, count: int) -> str:
    """Return how much of an ingredient goes into each batch, and what to mind with water."""
    return f"{one.amount / count:.0f} {one.unit} each, {one.amount:.0f} {one.unit} in all: {one.words}"


def write_batch_card(
    path: Path, fillers: Sequence[tuple[Recipe, int]], wipe: float, paper: str = "A4", glue_warning: str = ""
) -> Path:
    """Write a card for each filler and its count of batches, one PDF on "A4" or "Letter": amounts [g], when to wipe [min]."""
    sheets: list[Drawing] = []
    for made, count in fillers:
        warned = [("Mind", words) for words in (glue_warning, made.warning) if words]
        drawing = card(made.named("Batch card"), [*warned, *batch_lines(made, count, wipe)])
        heading = made.named("Batch card for the filler")
        sheets += pages(drawing, paper, heading=heading, up="", notes=(caution(made),))
    write_pdf(sheets, path)
    return path
