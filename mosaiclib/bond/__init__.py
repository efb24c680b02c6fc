"""Adhesive: how much lies under the pieces."""

from mosaiclib.bond.spreading import bed_volume

__all__ = ["bed_volume"]
