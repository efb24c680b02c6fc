"""Real tiles are not equal: sizes and ways of spacing, published joint rules, spacers."""

from mosaiclib.spacing.rules import (
    LEAST_JOINT,
    Judged,
    SpacerChoice,
    Uniformity,
    joint_rule_a108_02,
    judge_readings,
    nearest_spacer,
    spacer_candidates,
    tile_joint_means,
    uniformity_a137_1,
)
from mosaiclib.spacing.tile_sizes import (
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

__all__ = [
    "LEAST_JOINT",
    "WAYS",
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
    "nearest_spacer",
    "outlook",
    "simulate",
    "simulate_face",
    "spacer_candidates",
    "tile_joint_means",
    "uniformity_a137_1",
]
