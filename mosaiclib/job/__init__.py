"""The whole piece: plan file, cut list, what to buy and true-scale sheets."""

from mosaiclib.job.lists import buying_list, cheapest_packs, colour_counts, cut_list, spares
from mosaiclib.job.plan import Plan
from mosaiclib.job.work import Worked, WorkedPiece, work_out

__all__ = [
    "Plan",
    "Worked",
    "WorkedPiece",
    "buying_list",
    "cheapest_packs",
    "colour_counts",
    "cut_list",
    "spares",
    "work_out",
]
