"""Adhesive: which family, how it looks, how far it spreads, how long it takes and what it holds."""

from mosaiclib.bond.choosing import choose
from mosaiclib.bond.covering import cleared, coverage_wanted, press, squeeze_out, tubes
from mosaiclib.bond.curing import (
    cure_depth,
    cured_share,
    hours_to_cure,
    reach,
    vapour_pressure,
    wait,
)
from mosaiclib.bond.families import families, family
from mosaiclib.bond.holding import STEPS, hold, share_for, tile_stress
from mosaiclib.bond.interfaces import reflectance
from mosaiclib.bond.optics import difference, lightness, seen
from mosaiclib.bond.other_cures import drying_days, light_minutes, pot_minutes
from mosaiclib.bond.spreading import bed_volume
from mosaiclib.bond.waiting import Room, progress, waits

__all__ = [
    "STEPS",
    "Room",
    "bed_volume",
    "choose",
    "cleared",
    "coverage_wanted",
    "cure_depth",
    "cured_share",
    "difference",
    "drying_days",
    "families",
    "family",
    "hold",
    "hours_to_cure",
    "light_minutes",
    "lightness",
    "pot_minutes",
    "press",
    "progress",
    "reach",
    "reflectance",
    "seen",
    "share_for",
    "squeeze_out",
    "tile_stress",
    "tubes",
    "vapour_pressure",
    "wait",
    "waits",
]
