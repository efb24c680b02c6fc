"""Where each piece of glass goes: pure geometry in millimetres."""

from mosaiclib.layout.facing import Facing, facing, neighbours
from mosaiclib.layout.grid import EDGE_RULES, Border, Fit, balanced_border, best_fit, joint_fits, lay_grid
from mosaiclib.layout.rules import (
    LEAST_JOINT,
    Judged,
    Uniformity,
    joint_rule_a108_02,
    judge_readings,
    tile_joint_means,
    uniformity_a137_1,
)
from mosaiclib.layout.spacers import SpacerChoice, nearest_spacer, spacer_candidates
from mosaiclib.layout.spread import (
    WAYS,
    JointKind,
    Outlook,
    Simulated,
    TileSizes,
    expected_range_factor,
    outlook,
    simulate,
    simulate_face,
)
from mosaiclib.layout.strip import face_of, join_faces, lay_faces
from mosaiclib.layout.surveying import Survey, joints_of, survey
from mosaiclib.layout.tesserae import COLUMNS, FRACTIONS, KINDS, Gap, Layout, Tile, piece_table

__all__ = [
    "COLUMNS",
    "EDGE_RULES",
    "FRACTIONS",
    "KINDS",
    "LEAST_JOINT",
    "WAYS",
    "Border",
    "Facing",
    "Fit",
    "Gap",
    "JointKind",
    "Judged",
    "Layout",
    "Outlook",
    "Simulated",
    "SpacerChoice",
    "Survey",
    "Tile",
    "TileSizes",
    "Uniformity",
    "balanced_border",
    "best_fit",
    "expected_range_factor",
    "face_of",
    "facing",
    "join_faces",
    "joint_fits",
    "joint_rule_a108_02",
    "joints_of",
    "judge_readings",
    "lay_faces",
    "lay_grid",
    "nearest_spacer",
    "neighbours",
    "outlook",
    "piece_table",
    "simulate",
    "simulate_face",
    "spacer_candidates",
    "survey",
    "tile_joint_means",
    "uniformity_a137_1",
]
