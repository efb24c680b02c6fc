"""Where each piece of glass goes: pure geometry in millimetres; bad input raises MosaicError."""

from mosaiclib.layout.bands import MEETINGS, lay
from mosaiclib.layout.cells import Grid
from mosaiclib.layout.check import broken
from mosaiclib.layout.courses import EASES, lay_courses
from mosaiclib.layout.cutting import blanks, gauge_classes, measured, straight_cuts
from mosaiclib.layout.edges import Facing, facing
from mosaiclib.layout.faces import face_of, join_faces, lay_faces
from mosaiclib.layout.field import PATTERNS, best_grids, join, lay_field
from mosaiclib.layout.grid import (
    EDGE_RULES,
    Border,
    Fit,
    balanced_border,
    best_fit,
    joint_fits,
    lay_grid,
)
from mosaiclib.layout.guide import Guide
from mosaiclib.layout.joints import (
    PLACES,
    Survey,
    joints_by_place,
    joints_of,
    neighbours,
    off_the_line,
    survey,
)
from mosaiclib.layout.layout import COLUMNS, FRACTIONS, KINDS, NIP, PARTS, Gap, JointLimits, Layout, Tile, piece_table
from mosaiclib.layout.lines import (
    arc,
    bow,
    ellipse,
    heart,
    leaf,
    outline_of,
    polyline,
    ring,
    rounded_rectangle,
    s_ribbon,
    spiral,
    star,
    straight,
    wave,
)
from mosaiclib.layout.middles import MIDDLES
from mosaiclib.layout.motif import OUTLINED, motif
from mosaiclib.layout.rows import lay_rows
from mosaiclib.layout.rowspec import CORNERS, Rows, outlined
from mosaiclib.layout.spans import ZONES, Span
from mosaiclib.layout.stagger import LinedUp, lined_up
from mosaiclib.layout.svg_drawing import SvgDrawing
from mosaiclib.layout.wedges import Wedge, natural_radius, tightest_radius, uncut_radius, wedge

__all__ = [
    "COLUMNS",
    "CORNERS",
    "EASES",
    "EDGE_RULES",
    "FRACTIONS",
    "KINDS",
    "MEETINGS",
    "MIDDLES",
    "NIP",
    "OUTLINED",
    "PARTS",
    "PATTERNS",
    "PLACES",
    "ZONES",
    "Border",
    "Facing",
    "Fit",
    "Gap",
    "Grid",
    "Guide",
    "JointLimits",
    "Layout",
    "LinedUp",
    "Rows",
    "Span",
    "Survey",
    "SvgDrawing",
    "Tile",
    "Wedge",
    "arc",
    "balanced_border",
    "best_fit",
    "best_grids",
    "blanks",
    "bow",
    "broken",
    "ellipse",
    "face_of",
    "facing",
    "gauge_classes",
    "heart",
    "join",
    "join_faces",
    "joint_fits",
    "joints_by_place",
    "joints_of",
    "lay",
    "lay_courses",
    "lay_faces",
    "lay_field",
    "lay_grid",
    "lay_rows",
    "leaf",
    "lined_up",
    "measured",
    "motif",
    "natural_radius",
    "neighbours",
    "off_the_line",
    "outline_of",
    "outlined",
    "piece_table",
    "polyline",
    "ring",
    "rounded_rectangle",
    "s_ribbon",
    "spiral",
    "star",
    "straight",
    "straight_cuts",
    "survey",
    "tightest_radius",
    "uncut_radius",
    "wave",
    "wedge",
]
