"""Filler: how much the joints take, what it is mixed from, and why it holds on glass or does not."""

from mosaiclib.filler.amounts import Mix, bead_volume, grid_volume, joint_volume, mix, usual_grid_volume
from mosaiclib.filler.chances import Chance, Joint, chance, draw, tornado
from mosaiclib.filler.classes import SILENT, meets
from mosaiclib.filler.drying import climate_factor, shrinkage_share
from mosaiclib.filler.kinds import KINDS, kind_of, sand_for
from mosaiclib.filler.mechanics import (
    channel_energy,
    critical_thickness,
    critical_width,
    debond_energy,
    misfit_stress,
    released_length,
    stored_energy,
    thermal_strain,
)
from mosaiclib.filler.mixing import Ingredient, Recipe, batches, recipe, wipe_minutes

__all__ = [
    "KINDS",
    "SILENT",
    "Chance",
    "Ingredient",
    "Joint",
    "Mix",
    "Recipe",
    "batches",
    "bead_volume",
    "chance",
    "channel_energy",
    "climate_factor",
    "critical_thickness",
    "critical_width",
    "debond_energy",
    "draw",
    "grid_volume",
    "joint_volume",
    "kind_of",
    "meets",
    "misfit_stress",
    "mix",
    "recipe",
    "released_length",
    "sand_for",
    "shrinkage_share",
    "stored_energy",
    "thermal_strain",
    "tornado",
    "usual_grid_volume",
    "wipe_minutes",
]
