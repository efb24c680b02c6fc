"""Arranging colours so that no two touching pieces are alike; a stock that cannot be read raises `MosaicError`."""

__all__ = ["CannotBe", "ConflictGraph", "NotFound", "StockShort", "arrange", "arrange_pieces"]

from mosaiclib.colour.arrangement import arrange, arrange_pieces
from mosaiclib.colour.graph import CannotBe, ConflictGraph, NotFound, StockShort
