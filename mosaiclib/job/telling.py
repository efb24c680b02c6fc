"""A plan worked out, told line by line: for the page and for the written overview alike."""

__all__ = ["face_lines", "material_lines", "note_lines", "overview"]

import numpy as np
import pandas as pd
import shapely

from mosaiclib.control import Row, words_of
from mosaiclib.errors import instance
from mosaiclib.glass import Face
from mosaiclib.job.working import Worked, WorkedPiece
from mosaiclib.measures import told


def overview(worked: Worked) -> pd.DataFrame:
    """Return what a plan comes to, besides its lists: grids and joints, adhesive, filler, water, remarks.

    Parameters
    ----------
    worked : Worked
        A plan worked out.

    Returns
    -------
    DataFrame
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
    rows = [*face_lines(worked), *material_lines(worked), *note_lines(worked)]
    lines = [(row.label, words_of(row, plan.unit), told(row.verdict, plan.unit)) for row in rows]
    return pd.DataFrame(lines, columns=["what", "how_much", "remark"])


def face_lines(worked: Worked) -> list[Row]:
    """Tell the size, grid, joint and clear edge of every face.

    Parameters
    ----------
    worked : Worked
        A plan worked out.

    Returns
    -------
    list of Row
        One a face, lengths [mm] in words.
    """
    return [_face(piece, face) for piece in worked.pieces for face in piece.glass.faces]


def _face(piece: WorkedPiece, face: Face) -> Row:
    mine = (piece.layout.pieces["face"] == face.name).to_numpy()
    name = piece.name if face.name == "pane" else f"{piece.name}, {face.name}"
    size = f"face {face.width:g} x {face.height:g} mm"
    rows = mine & (piece.layout.pieces["band"] == "rows").to_numpy()
    if rows.any():
        kinds = piece.layout.pieces.loc[rows, "kind"].value_counts()
        counted = ", ".join(f"{count} {kind}" for kind, count in kinds.items())
        count = f"{int(rows.sum())} pieces in rows, {int((mine & ~rows).sum())} in the field"
        return Row(name, count, "", f"{size}; the rows: {counted}")
    table, bounds = piece.layout.pieces[mine], shapely.bounds(piece.layout.shapes[mine])
    across, down = (_spacing(bounds[:, low], bounds[:, high]) for low, high in ((0, 2), (1, 3)))
    left, low = bounds[:, 0].min() - face.x, bounds[:, 1].min() - face.y
    edges = f"clear edge {max(left, 0):.2f} mm at the sides, {max(low, 0):.2f} mm at top and foot"
    words = f"{size}; joint {across} across, {down} down; {edges}"
    return Row(name, f"{table['place'].max()} x {table['row'].max()}", "tiles", words)


def _spacing(begin: np.ndarray, end: np.ndarray) -> str:
    """Return the joint between the first two lines of a grid."""
    starts, ends = np.unique(begin.round(6)), np.unique(end.round(6))
    return f"{starts[1] - ends[0]:.2f} mm" if len(starts) > 1 else "none"


def material_lines(worked: Worked) -> list[Row]:
    """Tell adhesive, filler powder and its water.

    Parameters
    ----------
    worked : Worked
        A plan worked out.

    Returns
    -------
    list of Row
        Adhesive [mL], powder and water [g].
    """
    filler, glue = worked.filler, worked.plan.adhesive
    bed = f"{glue.bed:g} mm bed on {glue.coverage:.0%} of the backs, {glue.waste:.0%} lost"
    low, middle, high = filler.powder
    dry, water, wet = filler.water
    return [
        Row("Adhesive", round(worked.adhesive), "mL", bed),
        Row("Filler powder", round(middle), "g", f"{low:.0f} to {high:.0f} g: read the bag"),
        Row("Water for it", round(water), "g", f"{dry:.0f} to {wet:.0f} g: read the bag"),
    ]


def note_lines(worked: Worked) -> list[Row]:
    """Tell what the maker should know.

    Parameters
    ----------
    worked : Worked
        A plan worked out.

    Returns
    -------
    list of Row
        One a note, lengths [mm] in words.
    """
    return [Row("Mind", "", "", note) for note in worked.notes]
