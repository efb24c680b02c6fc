"""Where each piece of glass goes: pure geometry in millimetres."""

from mosaiclib.layout.curve import Guide
from mosaiclib.layout.facing import Facing, facing, neighbours
from mosaiclib.layout.field import PATTERNS, best_shift, join, lay_field
from mosaiclib.layout.grid import EDGE_RULES, Border, Fit, balanced_border, best_fit, joint_fits, lay_grid
from mosaiclib.layout.invariants import broken, oversize, reported_share, within_outside_spans
from mosaiclib.layout.judging import PLACES, joints_by_place, off_the_line
from mosaiclib.layout.rows import lay_rows
from mosaiclib.layout.rowspec import Rows
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
from mosaiclib.layout.tracing import Span

__all__ = [
    "COLUMNS",
    "EDGE_RULES",
    "FRACTIONS",
    "KINDS",
    "LEAST_JOINT",
    "PATTERNS",
    "PLACES",
    "WAYS",
    "Border",
    "Facing",
    "Fit",
    "Gap",
    "Guide",
    "JointKind",
    "Judged",
    "Layout",
    "Outlook",
    "Rows",
    "Simulated",
    "SpacerChoice",
    "Span",
    "Survey",
    "Tile",
    "TileSizes",
    "Uniformity",
    "balanced_border",
    "best_fit",
    "best_shift",
    "broken",
    "expected_range_factor",
    "face_of",
    "facing",
    "join",
    "join_faces",
    "joint_fits",
    "joint_rule_a108_02",
    "joints_by_place",
    "joints_of",
    "judge_readings",
    "lay_faces",
    "lay_field",
    "lay_grid",
    "lay_rows",
    "nearest_spacer",
    "neighbours",
    "off_the_line",
    "outlook",
    "oversize",
    "piece_table",
    "reported_share",
    "simulate",
    "simulate_face",
    "spacer_candidates",
    "survey",
    "tile_joint_means",
    "uniformity_a137_1",
    "within_outside_spans",
]
