"""Why no piece can be laid along a line, in a sentence that names what was given."""

__all__ = ["nothing_laid"]

from collections.abc import Sequence

import numpy as np
import shapely
from shapely import Polygon

from mosaiclib.errors import MosaicError
from mosaiclib.layout.rowspec import RowPlace
from mosaiclib.layout.spans import VANISHED, Traced
from mosaiclib.units import mm, text


def nothing_laid(
    traced: Sequence[Traced], rows: Sequence[RowPlace], joint: float, outline: Polygon | None, least: float
) -> MosaicError:
    """Return the refusal of a line on which no piece is left, `least` wide at least, with the first reason that holds [mm]."""
    on_glass = _length_on_glass(traced, outline)
    width, height = min(row.width for row in rows), max(row.spec.height for row in rows)
    if not on_glass and not _reaches_glass(traced, rows, outline):
        why = text("it is not on the glass, which spans ", *_spans(outline), ". Move the line")
    elif joint >= on_glass > 0:
        why = text("a joint of ", mm(joint), " leaves no room on a line that is ", *_long(on_glass, outline))
        why = text(why, ". Take a narrower joint, or draw a longer line")
    elif 0 < on_glass < width:
        why = text("it is ", *_long(on_glass, outline), ", shorter than a piece of ", mm(width))
        why = text(why, ". Draw a longer line, or take smaller tiles")
    elif _too_tight(traced, rows):
        why = text("it bends too tightly for rows that are ", mm(height), " high. Draw gentler bends, or fewer points")
    else:
        why = text("the edge of the glass, corners or the next row would cut every piece narrower than ", mm(least))
        why = text(why, ". Move the line, or take smaller tiles or fewer rows")
    return MosaicError("No piece can be laid along this line: ", why, ".")


def _length_on_glass(traced: Sequence[Traced], outline: Polygon | None) -> float:
    """Return how much of the drawn line lies on the glass [mm]."""
    if outline is None:
        return sum(one.part.length for one in traced)
    drawn = [one.xy[(one.s >= one.part.s0) & (one.s <= one.part.s1)] for one in traced]
    return sum(shapely.LineString(xy).intersection(outline).length for xy in drawn if len(xy) > 1)


def _reaches_glass(traced: Sequence[Traced], rows: Sequence[RowPlace], outline: Polygon) -> bool:
    """Tell whether any row beside the line comes onto the glass."""
    offsets = [offset for row in rows for offset in (row.left, row.right)]
    points = [one.xy + offset * one.normal for one in traced for offset in offsets]
    return bool(shapely.intersects_xy(outline, *np.concatenate(points).T).any())


def _too_tight(traced: Sequence[Traced], rows: Sequence[RowPlace]) -> bool:
    """Tell whether the inside edge of every row would run backwards along most of the line."""
    speeds = [1 + one.curvature * edge for one in traced for row in rows for edge in (row.left, row.right)]
    return bool(np.mean(np.concatenate(speeds) <= VANISHED) > 0.25)


def _long(length: float, outline: Polygon | None) -> tuple[object, ...]:
    return (mm(round(length, 1)), " long", " on the glass" if outline is not None else "")


def _spans(outline: Polygon) -> tuple[object, ...]:
    x0, y0, x1, y1 = outline.bounds
    return mm(x0, x1), " across and ", mm(y0, y1), " up"
