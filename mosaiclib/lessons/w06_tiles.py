"""Lesson 06, the tiles: their size, and the joint between them."""

__all__ = ["CONTROLS", "LIVE", "TITLE", "Settings", "compute", "draw", "follow", "keeper", "report", "start", "summary"]

from mosaiclib.job.overview import face_lines, percent_within
from mosaiclib.layout import survey
from mosaiclib.lessons.w06_controls import TILE_CONTROLS as CONTROLS
from mosaiclib.lessons.w06_follow import follow
from mosaiclib.lessons.w06_plan import Result, compute, keeper, running, start
from mosaiclib.lessons.w06_plan import view_of as draw
from mosaiclib.lessons.w06_settings import Settings
from mosaiclib.report import Row
from mosaiclib.units import mm, text
from mosaiclib.words import Text

TITLE, LIVE = "The tiles", False


def report(result: Result) -> list[Row]:
    """Tell the grid and the joint of every face, and the pieces by how they are cut."""
    kinds = result.layout.pieces["kind"].value_counts()
    counted = ", ".join(f"{count} {kind}" for kind, count in kinds.items())
    return [*face_lines(result.worked), Row("Pieces in the picture", len(result.layout), "pieces", counted)]


def summary(result: Result) -> Text:
    """Tell the joints of the piece in the picture against their limits."""
    found = survey(result.layout)
    if not found.pieces or found.joint_least is None:
        return text("No two tiles meet. ", running(result))
    widths = dict.fromkeys((round(found.joint_least, 2), round(found.joint_greatest, 2)))  # one where all are alike
    words = f": {percent_within(found.share_within):g}% of their length within ", mm(*result.settings.limits)
    return text("Joints of ", mm(*widths), *words, ". ", running(result))
