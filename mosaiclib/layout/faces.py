"""The faces of a whole piece of glass laid and joined on one strip, and one of them seen alone."""

__all__ = ["face_of", "join_faces", "lay_faces", "moved"]

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

import numpy as np
import pandas as pd
import shapely
from shapely import MultiPolygon, Polygon

from mosaiclib.errors import MosaicError, brief, choice, instance, several
from mosaiclib.glass.seam import Edge
from mosaiclib.layout.courses import FLUSH, lay_courses
from mosaiclib.layout.field import lay_field
from mosaiclib.layout.grid import BORDERS, EDGE_RULES, best_fit, lay_grid
from mosaiclib.layout.layout import LOST, Gap, Layout, Tile, is_rectangle, only_areas, piece_table, read_layout
from mosaiclib.layout.seams import across


def lay_faces(
    glass,
    tile: Tile,
    joint: float,
    limits: Sequence[float],
    *,
    edge_rule: str = "equal",
    border: str = "clear",
    ready: Mapping[str, Layout] | None = None,
    **courses: str,
) -> Layout:
    """Lay a grid on every face of a piece of glass, as for `best_fit`; all faces on the strip, numbered face by face.

    Border "cut" fills each face with balanced border pieces at the wanted joint; the edge rule then rests. On a face that is
    no rectangle an edge rule holds across its widest part, and whole tiles go as far as they fit inside it. Faces that
    are `ready`, such as one with a drawn band, are taken as they are, by name. Refused where a face takes no grid. A face that
    closes on itself gets courses, with what else `lay_courses` is told.

    >>> from mosaiclib.glass import FourSided
    >>> planter = lay_faces(FourSided(160, 120, 140, 5, 8), Tile(20, 4), 2, (1, 3))
    >>> planter.pieces.groupby("face", sort=False).size().to_dict()
    {'front': 42, 'right': 30, 'back': 42, 'left': 30}
    """
    choice(edge_rule, "edge rule", EDGE_RULES)
    choice(border, "border", BORDERS)
    limits = several(limits, "limits of the joint", 2)
    if getattr(glass, "corner", "open") != "open" and border == "clear" and edge_rule != "flush":
        raise MosaicError(
            "Tiles that overlap a corner must reach its edge: choose tiles flush with the edge, or cut border pieces."
        )
    _read_glass(glass)
    rings = [face for face in glass.faces if face.edge is not None]
    if len(rings) > 1 and edge_rule == "equal":
        edge_rule = FLUSH
    made = instance({} if ready is None else ready, Mapping, "faces that are ready")
    laid = [
        made[face.name] if face.name in made else _lay_face(face, tile, joint, limits, edge_rule, border, courses)
        for face in glass.faces
    ]
    return join_faces(glass, laid)


def _read_glass(glass: object) -> None:
    """Refuse what has no faces on a strip."""
    if not all(hasattr(glass, name) for name in ("faces", "strip", "seams")):
        raise MosaicError(f"The glass must be a piece of glass, such as Pane(300, 200), not {brief(glass)}.")


def _lay_face(
    face, tile: Tile, joint: float, limits: Sequence[float], edge_rule: str, border: str, courses: Mapping
) -> Layout:
    """Lay one face; where its outline is no rectangle, border pieces are cut to it and share what is too small for one."""
    if getattr(face, "edge", None) is not None:
        return lay_courses(face, tile, joint, limits, edge_rule=edge_rule, border=border, **courses)
    if border == "cut" and not is_rectangle(face.outline):
        bare = Layout(Polygon(), [], piece_table(0), joint, *limits, tile)
        laid = lay_field(face, bare, tile, joint, limits=limits)
        if not len(laid):
            raise MosaicError("No tile fits inside this outline; take a smaller tile.")
        return replace(laid, pieces=laid.pieces.assign(face=face.name))
    if border == "cut":
        return lay_grid(face, tile, joint, border="cut", limits=limits)
    across = best_fit(face.width, tile, joint, *limits, edge_rule)
    down = best_fit(face.height, tile, joint, *limits, edge_rule)
    laid = lay_grid(face, tile, (across.joint, down.joint), limits=limits, edge=(across.edge, down.edge))
    return replace(laid, joint=joint)


def join_faces(glass, laid: Sequence[Layout]) -> Layout:
    """Join the layouts of a glass's faces, one a face in its order, on its strip.

    With the real gaps round its corners, so that colours can differ across them.

    >>> from mosaiclib.glass import Pane
    >>> pane = Pane(86, 42)
    >>> len(join_faces(pane, [lay_grid(pane.faces[0], 20, 2)]))
    8
    """
    _read_glass(glass)
    laid = [read_layout(one) for one in several(laid, "layouts of the faces")]
    if not laid or not all(len(one) for one in laid):
        raise MosaicError("Every face needs a layout with at least one piece.")
    first, shapes = laid[0], {face.name: one.shapes for face, one in zip(glass.faces, laid, strict=True)}
    corners = [seam for seam in glass.seams if seam.faces[0] != seam.faces[1]]
    # where courses meet on a bend, straight tiles stand off it by more than their corners do
    more = [(first.joint_max - first.joint) * seam.smooth for seam in corners]
    ends = [_off(shapes[seam.faces[0]], seam.one) + _off(shapes[seam.faces[1]], seam.two) for seam in corners]
    gaps = [end + each for end, each in zip(ends, more, strict=True)]
    return Layout(
        glass.strip,
        np.concatenate([one.shapes for one in laid]),
        pd.concat([one.pieces for one in laid], ignore_index=True),
        first.joint,
        first.joint_min,
        first.joint_max,
        first.tile,
        tuple(gap for one in laid for gap in one.gaps),
        corner_gap=max(gaps, default=0.0),
        seams=glass.seams,
        spans=tuple(span for one in laid for span in one.spans),
    )


def _off(shapes: np.ndarray, edge: Edge) -> float:
    """Return how far pieces end from an edge of their face [mm]."""
    return float(shapely.distance(shapes, edge.line).min())


def face_of(layout: Layout, outline: Polygon, name: str = "") -> Layout:
    """Return the part of a strip that belongs to one face, or a window on it to which pieces are cut [mm].

    Any piece inside if no name is given. Pieces keep their row labels of the whole, by which they are numbered.

    >>> from mosaiclib.glass import FourSided
    >>> glass = FourSided(64, 42, 42, 3, 3)
    >>> both = lay_faces(glass, Tile(20, 4), 2, (1, 3))
    >>> face_of(both, glass.faces[1].outline, "right").pieces.index.tolist()
    [6, 7, 8, 9]
    """
    read_layout(layout)
    if not instance(outline, (Polygon, MultiPolygon), "outline of the face").is_valid:
        raise MosaicError("The outline of the face must not cross itself.")
    if instance(name, str, "name of the face"):
        choice(name, "face", sorted(set(layout.pieces["face"])))
    layout = across(layout, layout.tile.side, own_face=True).layout
    clipped = shapely.intersection(layout.shapes, outline)
    wanted = (layout.pieces["face"] == name).to_numpy() | (not name)
    kept = np.flatnonzero((shapely.area(clipped) > LOST) & wanted)
    cut = ((only_areas(gap.shape.intersection(outline)), gap.why) for gap in layout.gaps)
    gaps = tuple(Gap(part, why) for part, why in cut if part.area > LOST)
    inside = np.where(shapely.covers(outline, layout.shapes[kept]), layout.shapes[kept], clipped[kept])
    return replace(
        layout,
        outline=outline,
        shapes=inside,
        pieces=layout.pieces.iloc[kept],
        gaps=gaps,
        seams=(),
        corner_gap=0.0,
    )


def moved(layout: Layout, to: Callable[[np.ndarray], np.ndarray]) -> Layout:
    """Return a layout whose every point, shape (n, 2), is shown where `to` puts it, such as on a guide of another girth [mm].

    What goes on across the seam of a face with itself is shown on both sides.
    """
    seen = across(read_layout(layout), layout.tile.side, own_face=True).layout
    gaps = tuple(replace(gap, shape=shapely.transform(gap.shape, to)) for gap in seen.gaps)
    return replace(seen, shapes=shapely.transform(seen.shapes, to), gaps=gaps, seams=())
