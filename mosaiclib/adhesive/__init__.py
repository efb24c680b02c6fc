"""Adhesive: which family, how it looks, how far it spreads, how long it takes and what it holds.

What cannot be used, a number out of its range or a word that is not known, raises MosaicError.
"""

from mosaiclib.adhesive.bed import bed_volume, cleared, coverage_wanted, press, squeeze_out, tubes
from mosaiclib.adhesive.choose import choose, families, family
from mosaiclib.adhesive.cure import (
    STEPS,
    Climate,
    cure_depth,
    cured_share,
    hold,
    hours_to_cure,
    light_minutes,
    pot_minutes,
    progress,
    reach,
    set_hours,
    share_for,
    tile_stress,
    vapour_pressure,
    waits,
)
from mosaiclib.adhesive.optics import difference, lightness, passed_by, reflectance, seen

__all__ = [
    "STEPS",
    "Climate",
    "bed_volume",
    "choose",
    "cleared",
    "coverage_wanted",
    "cure_depth",
    "cured_share",
    "difference",
    "families",
    "family",
    "hold",
    "hours_to_cure",
    "light_minutes",
    "lightness",
    "passed_by",
    "pot_minutes",
    "press",
    "progress",
    "reach",
    "reflectance",
    "seen",
    "set_hours",
    "share_for",
    "squeeze_out",
    "tile_stress",
    "tubes",
    "vapour_pressure",
    "waits",
]
