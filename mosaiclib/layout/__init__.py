"""Where each piece of glass goes: pure geometry in millimetres; bad input raises MosaicError."""

from mosaiclib.layout.check import broken
from mosaiclib.layout.cutting import blanks, gauge_classes, straight_cuts
from mosaiclib.layout.field import PATTERNS, best_shift, join, lay_field
from mosaiclib.layout.grid import (
    EDGE_RULES,
    Border,
    Fit,
    balanced_border,
    best_fit,
    face_of,
    join_faces,
    joint_fits,
    lay_faces,
    lay_grid,
)
from mosaiclib.layout.guide import Guide
from mosaiclib.layout.joints import (
    PLACES,
    Facing,
    Survey,
    facing,
    joints_by_place,
    joints_of,
    neighbours,
    off_the_line,
    survey,
)
from mosaiclib.layout.layout import COLUMNS, FRACTIONS, KINDS, NIP, PARTS, Gap, JointLimits, Layout, Tile, piece_table
from mosaiclib.layout.rows import lay_rows
from mosaiclib.layout.rowspec import CORNERS, Rows
from mosaiclib.layout.spans import ZONES, Span
from mosaiclib.layout.wedges import Wedge, natural_radius, tightest_radius, uncut_radius, wedge

__all__ = [
    "COLUMNS",
    "CORNERS",
    "EDGE_RULES",
    "FRACTIONS",
    "KINDS",
    "NIP",
    "PARTS",
    "PATTERNS",
    "PLACES",
    "ZONES",
    "Border",
    "Facing",
    "Fit",
    "Gap",
    "Guide",
    "JointLimits",
    "Layout",
    "Rows",
    "Span",
    "Survey",
    "Tile",
    "Wedge",
    "balanced_border",
    "best_fit",
    "best_shift",
    "blanks",
    "broken",
    "face_of",
    "facing",
    "gauge_classes",
    "join",
    "join_faces",
    "joint_fits",
    "joints_by_place",
    "joints_of",
    "lay_faces",
    "lay_field",
    "lay_grid",
    "lay_rows",
    "natural_radius",
    "neighbours",
    "off_the_line",
    "piece_table",
    "straight_cuts",
    "survey",
    "tightest_radius",
    "uncut_radius",
    "wedge",
]
