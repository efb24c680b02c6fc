"""The thing to be covered, measured and unrolled into flat faces: a flat pane or a four-sided vessel.

Bad input raises MosaicError.
"""

__all__ = ["CORNERS", "Corner", "Face", "FourSided", "Glass", "Pane", "Parallax", "parallax"]

from mosaiclib.glass.face import Corner, Face, Glass
from mosaiclib.glass.four_sided import CORNERS, FourSided
from mosaiclib.glass.pane import Pane
from mosaiclib.glass.parallax import Parallax, parallax
