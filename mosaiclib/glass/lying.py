"""What all glass that lies flat has alike: one face, and a paper guide behind it that is the glass itself."""

__all__ = ["Lying"]

from typing import ClassVar

import numpy as np
from shapely import Polygon

from mosaiclib.glass.face import Corner, Face, lying
from mosaiclib.glass.seam import Seam


class Lying:
    """Glass with one flat face; a kind of it tells its `whole_face`."""

    face_names: ClassVar[tuple[str, ...]] = ("pane",)
    has_inside: ClassVar[bool] = False
    top: ClassVar[str] = "top"
    hazards: ClassVar[tuple[str, ...]] = ()
    around: ClassVar[float] = 0.0
    seams: ClassVar[tuple[Seam, ...]] = ()

    @staticmethod
    def title(name: str, face: str) -> str:
        """Return the name of the piece: it has one face."""
        return name

    def corners(self, thickness: float, joint: float) -> tuple[Corner, ...]:
        """Return nothing: flat glass has no corners that tiles go round."""
        return ()

    def guide_outline(self, face: Face) -> Polygon:
        """Return the glass itself [mm]."""
        return self.whole_face(face)

    def on_guide(self, face: Face, points: np.ndarray) -> np.ndarray:
        """Return the points themselves [mm]."""
        return points

    def flap(self, face: Face, inside: bool) -> Polygon:
        """Return nothing: the guide does not close on itself."""
        return Polygon()

    def in_space(self, points: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Return points of the glass in the plane z = 0, and normals straight up [mm]."""
        return lying(points)
