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
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache, partial
from pathlib import Path

from mosaiclib.cautions import on_paper
from mosaiclib.drawing import Drawing, Lines, Subject, Text, bound, pages, segments, template_subject, write_pdf
from mosaiclib.drawing.layout_picture import VIEWS, colour_entries
from mosaiclib.drawing.palette import INK, LETTER, SOFT
from mosaiclib.errors import MosaicError
from mosaiclib.filler import Ingredient, Recipe
from mosaiclib.job.colours import looks_of
from mosaiclib.job.plan import SHEETS, Plan
from mosaiclib.job.work import Worked, WorkedPiece, measure_all
from mosaiclib.layout import Layout, face_of, piece_table
from mosaiclib.layout.faces import moved

TEMPLATE, DRY_LAY, INSIDE = SHEETS
OUTSIDE = "shows the outside, from rim to foot"
BEHIND = "lies behind the glass, printed side towards the glass"
AGAINST = "stands inside against the wall, printed side towards the glass, upper edge level with the rim"
RINGS = "stands inside against the wall, printed side towards the glass, at the height of its ring"
INSIDE_IS_NARROWER = "It shows the outside; inside the vessel goes the inside guide, which is narrower."
SQUARE_ON = "Look square on: seen at an angle, a line behind thick glass is not where it seems."
MARGINS = "The outline is the whole face of the glass: strips without pieces stay bare."
CUT_OUT = (
    "Cut out along the outline. It is narrower than the outside face because the walls take up room; a piece cut by its "
    "edge is whole on the outside."
)


WRAP = (
    "It shows the outside and goes round it as a wrap for marking: cut it out, lay the flap under the other edge, which meets the "
    "line beside it. Inside the vessel goes the inside guide, which is smaller."
)
ROLL = (
    "Cut out along the outline with its flap, roll it with the printed side out, lay the flap under the other edge so that this "
    "meets the line beside the flap, and glue it. It is shorter than the way round outside because the wall takes up room."
)


@dataclass(frozen=True)
class PieceSheets:
    """The sheets of a piece of glass: what is said once where the others have no room for it, template, dry lay and inside guide."""

    piece: str
    first: tuple[Drawing, ...]
    template: tuple[Drawing, ...]
    dry_lay: tuple[Drawing, ...]
    inside: tuple[Drawing, ...]

    @property
    def all(self) -> tuple[Drawing, ...]:
        """All sheets in order."""
        return self.first + self.template + self.dry_lay + self.inside


def piece_sheets(worked: Worked) -> Iterator[PieceSheets]:
    """Yield the sheets that a plan asks for, one set a piece of glass that has any."""
    for piece in worked.pieces:
        sheets = _sheets(piece, worked.plan, worked.warnings)
        if sheets.all:
            yield sheets


def not_too_many_sheets(plan: Plan) -> None:
    """Refuse a plan whose faces take more sheets than anyone prints, before any work is done for it."""
    joint = plan.joint
    for part, glass in zip(plan.glass, measure_all(plan), strict=True):
        limits = joint.wanted, joint.least, joint.greatest
        bare = Layout(glass.strip, [], piece_table(0), *limits, plan.tile.tile)
        try:
            _sheets(WorkedPiece(part, glass, bare, (), 0.0, 0.0, 0.0, 0.0), plan)
        except MosaicError as wrong:
            raise MosaicError(part.name, ": ", wrong) from None


def _sheets(piece: WorkedPiece, plan: Plan, warnings: Sequence[str] = ()) -> PieceSheets:
    """Draw the sheets of one piece of glass; what must not be overlooked stands on each."""
    subjects = _subjects(piece, plan)
    if not subjects:
        return PieceSheets(piece.name, (), (), (), ())
    cautions = (*warnings, on_paper("sheet"))
    key = colour_entries(piece.layout, light=True, looks=looks_of(plan))
    first, *found = bound(list(subjects.values()), plan.paper, title=piece.name, cautions=cautions, key=key)
    by_kind = dict.fromkeys(SHEETS, ()) | dict(zip(subjects, map(tuple, found), strict=True))
    return PieceSheets(piece.name, tuple(first), *by_kind.values())


def _subjects(piece: WorkedPiece, plan: Plan) -> dict[str, Subject]:
    """Return what each kind of sheet that is asked for shows and says; template and dry lay show the same faces."""
    glass = piece.glass
    rolled = not glass.flap(glass.faces[0], True).is_empty
    hurts = (on_paper(*glass.hazards),) if glass.hazards else ()
    outside = (WRAP, MARGINS, *hurts) if rolled else (INSIDE_IS_NARROWER, MARGINS)
    said = {
        TEMPLATE: (OUTSIDE, outside) if glass.has_inside else (BEHIND, (SQUARE_ON,)),
        DRY_LAY: ("lies on the table, printed side up", ()),
    } | (
        {INSIDE: (AGAINST if len(glass.faces) == 1 or not rolled else RINGS, (ROLL if rolled else CUT_OUT,))}
        if glass.has_inside
        else {}
    )
    kinds = [kind for kind in said if kind in plan.sheets]
    drawn = cache(partial(_faces, piece, plan))  # template and dry lay are one picture where nothing is rolled
    found = {}
    for kind in kinds:
        faces, notes = said[kind]
        words = {"heading": f"{piece.name}: {kind}, {VIEWS['front']}", "name": kind, "faces": faces, "notes": notes}
        found[kind] = replace(drawn(kind == INSIDE, rolled and kind != DRY_LAY), **words)
    return found


def _faces(piece: WorkedPiece, plan: Plan, inside: bool, flaps: bool) -> Subject:
    """Return the faces of a piece, whole or as far as an inside guide shows them, still without the words of a kind of sheet.

    Pieces are cut to the guide and keep their numbers.
    """
    glass, named = piece.glass, len(piece.layout) > 0
    faces, shown, outline = glass.faces, piece.layout, glass.guide_outline if inside else glass.whole_face
    parts = [
        face_of(moved(shown, partial(glass.on_guide, face)) if inside else shown, outline(face), face.name * named)
        for face in faces
    ]
    names = [face.name for face in faces] if len(faces) > 1 else [piece.name]
    how = {
        "up": glass.top,
        "unit": plan.unit,
        "looks": looks_of(plan),
        "flaps": [glass.flap(face, inside) for face in faces * flaps],
    }
    return template_subject(parts, names, heading=piece.name, **how)


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
    """Write a card for each filler and its count of batches, one PDF on a paper of `PAPERS`: amounts [g], when to wipe [min]."""
    sheets: list[Drawing] = []
    for made, count in fillers:
        warned = [("Mind", words) for words in (glue_warning, made.warning) if words]
        drawing = card(made.named("Batch card"), [*warned, *batch_lines(made, count, wipe)])
        heading = made.named("Batch card for the filler")
        sheets += pages(drawing, paper, heading=heading, up="", cautions=(caution(made),), scaled=False)
    write_pdf(sheets, path)
    return path
