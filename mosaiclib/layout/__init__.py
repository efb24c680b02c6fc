"""Where each piece of glass goes: pure geometry in millimetres."""

from mosaiclib.layout.facing import Facing, facing, neighbours
from mosaiclib.layout.grid import EDGE_RULES, Border, Fit, balanced_border, best_fit, joint_fits, lay_grid
from mosaiclib.layout.strip import face_of, join_faces, lay_faces
from mosaiclib.layout.surveying import Survey, joints_of, survey
from mosaiclib.layout.tesserae import COLUMNS, FRACTIONS, KINDS, Gap, Layout, Tile, piece_table

__all__ = [
    "COLUMNS",
    "EDGE_RULES",
    "FRACTIONS",
    "KINDS",
    "Border",
    "Facing",
    "Fit",
    "Gap",
    "Layout",
    "Survey",
    "Tile",
    "balanced_border",
    "best_fit",
    "face_of",
    "facing",
    "join_faces",
    "joint_fits",
    "joints_of",
    "lay_faces",
    "lay_grid",
    "neighbours",
    "piece_table",
    "survey",
]
