"""A whole piece of glass in one layout: its faces side by side on the unrolled strip."""

__all__ = ["face_of", "join_faces", "lay_faces"]

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import pandas as pd
import shapely
from shapely import MultiPolygon, Polygon

from mosaiclib.errors import MosaicError, choice, instance, several
from mosaiclib.glass import FourSided, Pane
from mosaiclib.layout.apart import only_areas
from mosaiclib.layout.grid import BORDERS, EDGE_RULES, best_fit, lay_grid
from mosaiclib.layout.tesserae import Gap, Layout, Tile


def lay_faces(
    glass,
    tile: Tile,
    joint: float,
    limits: Sequence[float],
    *,
    edge_rule: str = "equal",
    border: str = "clear",
    ready: Mapping[str, Layout] | None = None,
) -> Layout:
    """Lay a grid on every face of a piece of glass.

    Parameters
    ----------
    glass : glass.Pane or glass.FourSided
        The measured glass.
    tile : Tile
        The tile.
    joint : float
        Wanted joint [mm].
    limits : pair of float
        Least and greatest joint [mm].
    edge_rule : {"flush", "equal", "joint"}
        As for `best_fit`.
    border : {"clear", "cut"}
        "cut" fills each face with balanced border pieces at the wanted joint; the edge rule then rests.
    ready : mapping of str to Layout, optional
        Faces that are laid already, by name, such as one with a drawn band.

    Returns
    -------
    Layout
        All faces on the strip, numbered face by face.

    Raises
    ------
    MosaicError
        If a face takes no grid; the sentence names joints that would do.

    Examples
    --------
    >>> from mosaiclib.glass import FourSided
    >>> planter = lay_faces(FourSided(160, 120, 140, 5, 8), Tile(20, 4), 2, (1, 3))
    >>> planter.pieces.groupby("face", sort=False).size().to_dict()
    {'front': 42, 'right': 30, 'back': 42, 'left': 30}
    """
    instance(tile, Tile, "tile")
    choice(edge_rule, "edge rule", EDGE_RULES)
    choice(border, "border", BORDERS)
    limits = several(limits, "limits of the joint", 2)
    made = ready or {}
    if getattr(glass, "corner", "open") != "open" and border == "clear" and edge_rule != "flush":
        raise MosaicError(
            "Tiles that lap a corner must reach its edge: choose tiles flush with the edge, or cut border pieces."
        )
    laid = [
        made[face.name] if face.name in made else _lay_face(face, tile, joint, limits, edge_rule, border)
        for face in _checked(glass).faces
    ]
    return join_faces(glass, laid)


def _checked(glass):
    """Return the glass, or say in a sentence that it is none."""
    if not all(hasattr(glass, name) for name in ("faces", "strip", "around")):
        instance(glass, (Pane, FourSided), "glass")
    return glass


def _lay_face(face, tile: Tile, joint: float, limits: Sequence[float], edge_rule: str, border: str) -> Layout:
    """Lay one face."""
    if border == "cut":
        return lay_grid(face, tile, joint, border="cut", limits=limits)
    across = best_fit(face.width, tile, joint, *limits, edge_rule)
    down = best_fit(face.height, tile, joint, *limits, edge_rule)
    laid = lay_grid(face, tile, (across.joint, down.joint), limits=limits, edge=(across.edge, down.edge))
    return replace(laid, joint=joint)


def join_faces(glass, laid: Sequence[Layout]) -> Layout:
    """Join the layouts of a glass's faces into one on its strip.

    Parameters
    ----------
    glass : glass.Pane or glass.FourSided
        The measured glass.
    laid : sequence of Layout
        One a face, in the glass's order.

    Returns
    -------
    Layout
        With the real gaps round its corners, so that colours can differ across them.

    Examples
    --------
    >>> from mosaiclib.glass import Pane
    >>> pane = Pane(86, 42)
    >>> len(join_faces(pane, [lay_grid(pane.faces[0], 20, 2)]))
    8
    """
    laid = several(laid, "layouts of the faces", len(_checked(glass).faces))
    if not all(isinstance(one, Layout) and len(one) for one in laid):
        raise MosaicError("Every face needs a layout with at least one piece.")
    begins, _, ends, _ = np.array([shapely.total_bounds(one.shapes) for one in laid]).T
    gaps = np.append(begins[1:], begins[0] + glass.around) - ends if glass.around else np.zeros(1)
    first = laid[0]
    return Layout(
        glass.strip,
        np.concatenate([one.shapes for one in laid]),
        pd.concat([one.pieces for one in laid], ignore_index=True),
        first.joint,
        first.joint_min,
        first.joint_max,
        first.tile,
        tuple(gap for one in laid for gap in one.gaps),
        corner_gap=float(gaps.max()),
        around=glass.around,
        spans=tuple(span for one in laid for span in one.spans),
    )


def face_of(layout: Layout, outline: Polygon, name: str = "") -> Layout:
    """Return the part of a strip that belongs to one face; pieces keep their numbers.

    Parameters
    ----------
    layout : Layout
        All faces.
    outline : Polygon
        The face, or a window on it to which pieces are cut [mm].
    name : str
        Name of the face; any piece inside the outline if empty.

    Returns
    -------
    Layout
        Its table keeps the row labels of `layout`, from which pieces are numbered.

    Examples
    --------
    >>> from mosaiclib.glass import FourSided
    >>> glass = FourSided(64, 42, 42, 3, 3)
    >>> both = lay_faces(glass, Tile(20, 4), 2, (1, 3))
    >>> face_of(both, glass.faces[1].outline, "right").pieces.index.tolist()
    [6, 7, 8, 9]
    """
    instance(layout, Layout, "layout")
    instance(outline, (Polygon, MultiPolygon), "outline")
    instance(name, str, "name of the face")
    clipped = shapely.intersection(layout.shapes, outline)
    wanted = (layout.pieces["face"] == name).to_numpy() | (not name)
    kept = np.flatnonzero((shapely.area(clipped) > 1e-6) & wanted)
    cut = ((only_areas(gap.shape.intersection(outline)), gap.why) for gap in layout.gaps)
    gaps = tuple(Gap(part, why) for part, why in cut if part.area > 1e-6)
    inside = np.where(shapely.covers(outline, layout.shapes[kept]), layout.shapes[kept], clipped[kept])
    return replace(
        layout,
        outline=outline,
        shapes=inside,
        pieces=layout.pieces.iloc[kept],
        gaps=gaps,
        around=0.0,
        corner_gap=0.0,
    )
