"""Arranging colours so that no two touching pieces are alike."""

__all__ = ["CannotBe", "NotFound", "StockShort", "arrange", "arrange_allowed", "clashes", "most_of_one"]

from mosaiclib.colour.allowing import arrange_allowed
from mosaiclib.colour.arranging import arrange, clashes, most_of_one
from mosaiclib.colour.outcomes import CannotBe, NotFound, StockShort
