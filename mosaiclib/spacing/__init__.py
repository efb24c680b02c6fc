"""Real tiles are not equal: sizes and ways of spacing, published joint rules, spacers; bad input raises MosaicError."""

from mosaiclib.spacing.rules import (
    Judged,
    SpacerChoice,
    Uniformity,
    joint_rule_a108_02,
    judge_readings,
    least_joint,
    nearest_spacer,
    spacer_candidates,
    tile_joint_means,
    uniformity_a137_1,
)
from mosaiclib.spacing.tile_sizes import (
    WAYS,
    Face,
    JointKind,
    Outlook,
    Simulated,
    TileSizes,
    expected_range_factor,
    outlook,
    simulate_face,
)

__all__ = [
    "WAYS",
    "Face",
    "JointKind",
    "Judged",
    "Outlook",
    "Simulated",
    "SpacerChoice",
    "TileSizes",
    "Uniformity",
    "expected_range_factor",
    "joint_rule_a108_02",
    "judge_readings",
    "least_joint",
    "nearest_spacer",
    "outlook",
    "simulate_face",
    "spacer_candidates",
    "tile_joint_means",
    "uniformity_a137_1",
]
