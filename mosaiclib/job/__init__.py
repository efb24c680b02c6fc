"""The whole piece: plan file, cut list, what to buy and true-scale sheets; bad input raises `MosaicError`."""

from mosaiclib.job.lists import buying_list, cut_list
from mosaiclib.job.packs import cheapest_packs
from mosaiclib.job.plan import Plan
from mosaiclib.job.quantities import Quantities, quantities, spares
from mosaiclib.job.work import Worked, WorkedPiece, work_out

__all__ = [
    "Plan",
    "Quantities",
    "Worked",
    "WorkedPiece",
    "buying_list",
    "cheapest_packs",
    "cut_list",
    "quantities",
    "spares",
    "work_out",
]
