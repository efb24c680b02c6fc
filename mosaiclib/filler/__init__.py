"""Filler: how much the joints take, and what it is mixed from."""

from mosaiclib.filler.amounts import Mix, bead_volume, grid_volume, joint_volume, mix, usual_grid_volume

__all__ = ["Mix", "bead_volume", "grid_volume", "joint_volume", "mix", "usual_grid_volume"]
