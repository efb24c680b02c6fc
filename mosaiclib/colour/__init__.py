"""Arranging colours so that no two touching pieces are alike; a stock that cannot be read raises `MosaicError`."""

__all__ = [
    "BLENDS",
    "CannotBe",
    "ConflictGraph",
    "NotFound",
    "Run",
    "StockShort",
    "arrange",
    "arrange_pieces",
    "arrange_pinned",
    "as_asked",
    "mend_pinned",
    "worst_off",
]

from mosaiclib.colour.arrangement import arrange, arrange_pieces
from mosaiclib.colour.blend import BLENDS, Run, as_asked, worst_off
from mosaiclib.colour.graph import CannotBe, ConflictGraph, NotFound, StockShort
from mosaiclib.colour.pinned import arrange_pinned, mend_pinned
