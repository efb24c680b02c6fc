"""Filler: how much the joints take, what it is mixed from, and why it holds on glass or does not.

What cannot be used, a number out of its range or a word that is not known, raises MosaicError.
"""

from mosaiclib.filler.fracture import (
    Chance,
    Joint,
    chance,
    chance_of,
    channel_energy,
    climate_factor,
    critical_thickness,
    critical_width,
    debond_energy,
    misfit_stress,
    released_length,
    sample,
    shrinkage_share,
    stored_energy,
    thermal_strain,
    tornado,
)
from mosaiclib.filler.kinds import KINDS, SILENT, USUAL, kind_of, meets, sand_for
from mosaiclib.filler.mix import (
    Ingredient,
    Recipe,
    batches,
    bead_volume,
    grid_volume,
    joint_volume,
    recipe,
    usual_grid_volume,
    wipe_minutes,
)

__all__ = [
    "KINDS",
    "SILENT",
    "USUAL",
    "Chance",
    "Ingredient",
    "Joint",
    "Recipe",
    "batches",
    "bead_volume",
    "chance",
    "chance_of",
    "channel_energy",
    "climate_factor",
    "critical_thickness",
    "critical_width",
    "debond_energy",
    "grid_volume",
    "joint_volume",
    "kind_of",
    "meets",
    "misfit_stress",
    "recipe",
    "released_length",
    "sample",
    "sand_for",
    "shrinkage_share",
    "stored_energy",
    "thermal_strain",
    "tornado",
    "usual_grid_volume",
    "wipe_minutes",
]
