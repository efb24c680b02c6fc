"""A plan worked out, told line by line: for the page and for the written overview alike; lengths stay quantities."""

__all__ = [
    "adhesive_lines",
    "caution_lines",
    "duration",
    "face_lines",
    "material_lines",
    "note_lines",
    "overview",
    "percent_within",
    "plan_waits",
    "unlaid_lines",
    "wait_rows",
    "wait_words",
    "warning_lines",
]

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

import numpy as np
import pandas as pd
import shapely

from mosaiclib.adhesive import STEPS, Climate, family, reach, waits
from mosaiclib.adhesive.choose import VERDICTS
from mosaiclib.adhesive.cure import Wait
from mosaiclib.cautions import on_paper
from mosaiclib.errors import instance
from mosaiclib.filler import Recipe, batches
from mosaiclib.glass import Face
from mosaiclib.job.work import Unlaid, Worked, WorkedPiece
from mosaiclib.layout.courses import runs_of_courses
from mosaiclib.report import Row, words_of
from mosaiclib.units import mm, text, told
from mosaiclib.words import Length, Text


def overview(worked: Worked) -> pd.DataFrame:
    """Return what a plan comes to, besides its lists: grids and joints, adhesive, filler with all its parts, remarks.

    Columns what, how_much and remark, in words, lengths in the plan's unit.

    Examples
    --------
    >>> from mosaiclib.job import Plan, work_out
    >>> from mosaiclib.reference import DATA
    >>> table = overview(work_out(Plan.load(DATA / "example_plan.json")))
    >>> table["what"].tolist()[:2]
    ['window panel', 'planter, front']
    """
    plan = instance(worked, Worked, "plan").plan
    rows = [
        *warning_lines(worked),
        *face_lines(worked),
        *unlaid_lines(worked),
        *material_lines(worked),
        *adhesive_lines(worked),
    ]
    rows += [*note_lines(worked), *caution_lines(worked)]
    lines = [(told(row.label, plan.unit), words_of(row, plan.unit), told(row.verdict, plan.unit)) for row in rows]
    return pd.DataFrame(lines, columns=["what", "how_much", "remark"])


def face_lines(worked: Worked) -> list[Row]:
    """Tell the size, grid, joint and bare margin of every face."""
    return [_face(piece, face) for piece in worked.pieces for face in piece.glass.faces]


def unlaid_lines(worked: Worked) -> list[Row]:
    """Tell what could not be laid as asked: places left open, stretches bent too tightly, joints off their limits.

    For each face with bands, with lengths along their drawn lines; and every rule that a layout breaks. None where all is as asked.
    """
    rows = [row for piece in worked.pieces for one in piece.unlaid for row in _unlaid(piece, one)]
    broken = [piece for piece in worked.pieces if piece.broken]
    return rows + [Row(f"{one.name}: rules broken", len(one.broken), "", _joined(one.broken, " ")) for one in broken]


def _joined(parts: Iterable[object], between: str) -> Text:
    """Return sentences as one, so that their lengths stay quantities."""
    return text(*[each for part in parts for each in (between, part)][1:])


def _unlaid(piece: WorkedPiece, one: Unlaid) -> Iterator[Row]:
    name, layout = _called(piece, one.face), piece.layout
    if one.gaps:
        reasons = Counter(gap.why for gap in one.gaps).most_common()
        words = [text(f"{count}: ", why) for why, count in reasons] if len(reasons) > 1 else [reasons[0][0]]
        yield Row(f"{name}: left open", len(one.gaps), f"place{'s' * (len(one.gaps) > 1)}", _joined(words, "; "))
    for line, row in sorted({(span.line, row) for row, span in one.stretches}):
        mine = [span for number, span in one.stretches if (span.line, number) == (line, row)]
        where = _joined(
            (text(f"{s.zone} from ", mm(round(s.begin), round(s.end)), " along the line") for s in mine), "; "
        )
        words = text(
            where, ": bent too tightly for wedges; take smaller pieces or a gentler line, or leave it to the hand"
        )
        length = mm(round(sum(span.end - span.begin for span in mine)))
        called = f"{line}{', ' * bool(line)}{f'row {row}' if row else 'outline row'}"
        yield Row(f"{name}: {called}", text(length, " not as asked"), "", words)
    if one.share_within < 1 - 1e-9:
        words = text("of all joint length is ", mm(layout.joint_min, layout.joint_max))
        yield Row(f"{name}: joints within limits", percent_within(one.share_within), "%", words)


def percent_within(share: float) -> float:
    """Return a share of joints, 0 to 1, in percent to a tenth; rounded down, so that it never says all where some are not."""
    return math.floor(1000 * share) / 10


def _called(piece: WorkedPiece, face: str) -> str:
    return piece.glass.title(piece.name, face)


def _face(piece: WorkedPiece, face: Face) -> Row:
    mine = (piece.layout.pieces["face"] == face.name).to_numpy()
    name = _called(piece, face.name)
    size = text("face ", mm(face.width, face.height, between=" x "), _covered(face))
    bands = piece.layout.pieces.loc[mine, "band"].value_counts()
    if {"rows", "middle"} & set(bands.index):
        kinds = piece.layout.pieces.loc[mine & (piece.layout.pieces["band"] == "rows"), "kind"].value_counts()
        counted = ", ".join(f"{count} {kind}" for kind, count in kinds.items())
        closed = f"{bands['middle']} in the middle of motifs, " if "middle" in bands else ""
        count = f"{bands.get('rows', 0)} pieces in rows, {closed}{bands.get('field', 0)} in the field"
        return Row(name, count, "", text(size, f"; the rows: {counted}" if counted else ""))
    if face.edge is not None:
        return _coursed(piece, mine, name, face)
    if not face.rectangular:
        return _shaped(piece, mine, name, size)
    table, bounds = piece.layout.pieces[mine], shapely.bounds(piece.layout.shapes[mine])
    across, down = _joints(bounds)
    left, low = (mm(max(edge, 0)) for edge in (bounds[:, 0].min() - face.x, bounds[:, 1].min() - face.y))
    edges = text("bare margin ", left, " at the sides, ", low, " at top and foot")
    words = text(size, "; joint ", across, " across, ", down, " down; ", edges)
    return Row(name, f"{table['place'].max()} x {table['row'].max()}", "tiles", words)


def _covered(face: Face) -> str:
    """Tell how much of the rectangle round it a face is, where it is less."""
    return "" if face.rectangular else f" over all, {face.outline.area / 100:.0f} cm²"


def _coursed(piece: WorkedPiece, mine: np.ndarray, name: str, face: Face) -> Row:
    """Tell the courses of a face that goes round, from the foot up."""
    ways = sorted({round(face.edge.length * (1 - face.edge.curvature * up), 1) for up in (0.0, face.deep)})
    told: list = [
        text(
            "way round ",
            mm(*ways),
            ", ",
            mm(round(face.deep, 1)),
            " up; courses from the foot: ",
        )
    ]
    for k, run in enumerate(runs_of_courses(piece.layout.pieces[mine])):
        wedge = text(" wedges, ", mm(round(run.narrow, 1), round(run.wide, 1)), " wide") if run.kind == "wedge" else ""
        told += [", " * (k > 0), f"{run.courses} of {run.count}", wedge]
    return Row(name, int(mine.sum()), "pieces", text(*told))


def _shaped(piece: WorkedPiece, mine: np.ndarray, name: str, size: Text) -> Row:
    """Tell the grid of a face that is no rectangle, by its whole tiles."""
    kinds = piece.layout.pieces.loc[mine, "kind"]
    across, down = _joints(shapely.bounds(piece.layout.shapes[mine][(kinds == "whole").to_numpy()]))
    counted = ", ".join(f"{count} {kind}" for kind, count in kinds.value_counts().items())
    return Row(name, int(mine.sum()), "pieces", text(size, "; joint ", across, " across, ", down, f" down; {counted}"))


def _joints(bounds: np.ndarray) -> tuple[Length | str, ...]:
    """Return the joints across and down of a grid, from its tiles' bounds, shape (n, 4)."""
    return tuple(_spacing(bounds[:, low], bounds[:, high]) for low, high in ((0, 2), (1, 3)))


def _spacing(begin: np.ndarray, end: np.ndarray) -> Length | str:
    """Return the joint between the first two lines of a grid."""
    starts, ends = np.unique(begin.round(6)), np.unique(end.round(6))
    return mm(starts[1] - ends[0]) if len(starts) > 1 else "none"


def material_lines(worked: Worked) -> list[Row]:
    """Tell the adhesive [mL], the filler and all that it is mixed from [g or mL]."""
    glue, kind = worked.plan.adhesive, worked.fillers[0].kind
    bed = text(mm(glue.bed), f" bed on {glue.coverage:.0%} of the backs, {glue.waste:.0%} lost")
    return [
        Row("Adhesive", round(worked.adhesive), "mL", bed),
        Row("On the filler's bag", kind.bag, "", kind.mixed_with),
        *[row for made in worked.fillers for row in _mixed(made)],
    ]


def _mixed(made: Recipe) -> list[Row]:
    """Tell one filler, and all that it is mixed from [g or mL]."""
    parts = [Row(made.named(one.name), round(one.amount), one.unit, one.words) for one in made.ingredients]
    return [Row(made.named("Filler"), made.kind.name, "", _placing(made)), *parts]


def _placing(made: Recipe) -> str:
    """Tell the grain of a filler, and how many batches it makes."""
    if not made.powder:
        return f"bought by the volume of the joints, with what is lost; smallest batch {made.smallest}"
    count, each = batches(made.volume)
    grain = f"{made.sand}; " * bool(made.sand)
    said = f"{grain}{count} batch{'es' * (count > 1)} of {each:.0f} mL for one pair of hands"
    return f"{said}; smallest batch that can be mixed {made.smallest}"


def adhesive_lines(worked: Worked) -> list[Row]:
    """Tell whether the adhesive suits the piece, with reasons, and how long each step waits for it."""
    glue = worked.plan.adhesive
    verdict = Row(f"Adhesive: {glue.family}", worked.judged[0], "", worked.judged[1])
    if worked.judged[0] == VERDICTS[-1]:
        return [verdict, Row("Waits", "none", "", "no wait mends an adhesive that is ruled out; choose another")]
    return [verdict, *wait_rows(plan_waits(worked))]


def wait_rows(found: Mapping[str, Wait]) -> list[Row]:
    """Tell each wait under its one name, with its band and what decides it."""
    return [Row(STEPS[step], duration(wait.usual), "", wait_words(wait, step)) for step, wait in found.items()]


def plan_waits(worked: Worked) -> dict[str, Wait]:
    """Return how long turn, fill, handle and wash wait for the slowest piece of a plan, whose base is glass [h]."""
    glue, tile = worked.plan.adhesive, worked.plan.tile
    shapes = np.concatenate([piece.layout.shapes for piece in worked.pieces])
    # equal pieces cure alike: one of each size is enough
    box = shapely.bounds(shapes)
    sizes = np.column_stack([shapely.area(shapes), box[:, 2] - box[:, 0], box[:, 3] - box[:, 1]]).round(2)
    one_each = shapes[np.unique(sizes, axis=0, return_index=True)[1]]
    deepest = int(np.argmax(reach(one_each)))
    how = {"clarity": tile.clarity, "lamp": glue.lamp, "sets_in": glue.sets_in}
    climate = Climate(glue.temperature, glue.humidity, tile.thickness, **how)
    return waits(glue.family, one_each[deepest : deepest + 1], climate)


# after its hour a face bears little: common practice
AFTER = {"turn": "then support the face and look for tiles that have slipped"}


def wait_words(found: Wait, step: str = "") -> str:
    """Tell the band of a wait [h], what practice holds it to, what the model alone says where practice decides, and what to do.

    Examples
    --------
    >>> wait_words(Wait(0.2, 0.25, 0.4).held(1.0))
    'practice: at least 60 minutes; the model alone says 15 minutes'
    """
    words = [f"{duration(found.least)} to {duration(found.most)}"] if found.least < found.most else []
    if found.floor and found.least == found.floor:
        words.append(f"practice: at least {duration(found.floor)}")
    if found.model is not None and found.model < found.floor:
        words.append(f"the model alone says {duration(found.model)}")
    if found.why:
        words.append(found.why)
    if step in AFTER and math.isfinite(found.usual):
        words.append(AFTER[step])
    return "; ".join(words)


def duration(hours: float) -> str:
    """Write a time of 0 or more [h] for a person, in minutes, hours or days; "never" for an endless one.

    Examples
    --------
    >>> duration(0.01), duration(1.0), duration(26), duration(384), duration(math.inf)
    ('under 2 minutes', '60 minutes', '26 hours', '16 days', 'never')
    """
    if not math.isfinite(hours):
        return "never"
    if hours < 2 / 60:
        return "under 2 minutes"
    if hours < 2:
        return f"{hours * 60:.0f} minutes"
    days = hours / 24
    return f"{hours:.0f} hours" if hours < 48 else f"{round(days, 1 if days < 10 else None):g} days"


def warning_lines(worked: Worked) -> list[Row]:
    """Tell what must not be overlooked."""
    return [Row("Mind", "", "", words) for words in worked.warnings]


def note_lines(worked: Worked) -> list[Row]:
    """Tell what the maker should know."""
    return [Row("Note", "", "", note) for note in worked.notes]


def caution_lines(worked: Worked) -> list[Row]:
    """Tell what can hurt in a piece: of its adhesive, of its filler, and of any."""
    glue = worked.plan.adhesive.family
    papers = ("plan", "powder" if worked.fillers[0].powder else "resin")
    shaped = tuple(dict.fromkeys(name for piece in worked.pieces for name in piece.glass.hazards))
    told = [Row(f"Caution: {glue}", "", "", family(glue).word("cautions"))]
    return [*told, Row("Cautions", "", "", on_paper(*papers, *shaped))]
