"""The thing to be covered, measured and unrolled into flat faces: a pane, flat glass of any outline, a four-sided vessel.

Bad input raises MosaicError.
"""

__all__ = [
    "CORNERS",
    "HEADS",
    "Corner",
    "Face",
    "Flat",
    "FourSided",
    "Glass",
    "Pane",
    "Parallax",
    "arch",
    "circle",
    "ellipse",
    "parallax",
    "pierced",
    "polygon",
]

from mosaiclib.glass.face import Corner, Face, Glass
from mosaiclib.glass.flat import Flat
from mosaiclib.glass.four_sided import CORNERS, FourSided
from mosaiclib.glass.outlines import HEADS, arch, circle, ellipse, pierced, polygon
from mosaiclib.glass.pane import Pane
from mosaiclib.glass.parallax import Parallax, parallax
