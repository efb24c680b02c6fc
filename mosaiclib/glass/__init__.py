"""The thing to be covered, measured and unrolled into flat faces: flat glass of any outline, a four-sided vessel, round glass.

Bad input raises MosaicError.
"""

__all__ = [
    "CORNERS",
    "HEADS",
    "MOST_RINGS",
    "Corner",
    "Edge",
    "Face",
    "Flat",
    "FourSided",
    "Frustum",
    "Glass",
    "Pane",
    "Parallax",
    "Round",
    "Seam",
    "Tapered",
    "arch",
    "circle",
    "ellipse",
    "frusta_needed",
    "girth_of_oval",
    "parallax",
    "pierced",
    "polygon",
]

from mosaiclib.glass.face import Corner, Face, Glass
from mosaiclib.glass.flat import Flat
from mosaiclib.glass.four_sided import CORNERS, FourSided
from mosaiclib.glass.frustum import Frustum
from mosaiclib.glass.outlines import HEADS, arch, circle, ellipse, pierced, polygon
from mosaiclib.glass.pane import Pane
from mosaiclib.glass.parallax import Parallax, parallax
from mosaiclib.glass.round import Round
from mosaiclib.glass.seam import Edge, Seam
from mosaiclib.glass.tapered import MOST_RINGS, Tapered, frusta_needed
from mosaiclib.glass.turned import girth_of_oval
