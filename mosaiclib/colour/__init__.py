"""Arranging colours so that no two touching pieces are alike."""

__all__ = ["CannotBe", "NotFound", "StockShort", "arrange", "arrange_allowed", "clashes", "most_of_one"]

from mosaiclib.colour.arrangement import arrange, arrange_allowed, clashes, most_of_one
from mosaiclib.colour.graph import CannotBe, NotFound, StockShort
