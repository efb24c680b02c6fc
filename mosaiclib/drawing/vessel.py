"""A glass with its layout as it stands: a plain parallel view, turned about its upright axis and seen from a little above.

Each piece is flat: it lies in the plane that touches the glass at its middle. What faces away is left out, and what is nearer
is drawn over what is farther. Nothing asks what kind of glass it is: `Glass.in_space` says where its strip lies.
"""

__all__ = ["Standing", "View", "beside", "standing", "vessel_picture"]

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import shapely
from shapely import Polygon

from mosaiclib.drawing.canvas import Drawing, Lines, Polygons
from mosaiclib.drawing.palette import (
    EDGE,
    FILLER,
    GLASS,
    INK,
    NEUTRAL,
    PAPER,
    SCREEN,
    SCREEN_TEXT,
    SOFT,
    Look,
    look,
    mix,
)
from mosaiclib.errors import number
from mosaiclib.glass import Face, Glass
from mosaiclib.layout.layout import Layout
from mosaiclib.units import text

TILT = 20.0  # [degrees] from how far above a vessel is looked at, so that its rim is seen; assumed
POINTS = 288  # along the edges of a face: an arc is off by 0.02 % of its radius at most
NEAR = 1e-3  # [mm] a step small enough to tell which way the strip runs
SAME = 1e-6  # [mm, or share of a normal] rounding
SHADE = 0.35  # how far the sides of a piece are mixed with ink


@dataclass(frozen=True)
class View:
    """From where a glass is looked at: how far it is turned to the right about its axis, and from how far above [degrees]."""

    turned: float = 0.0
    tilt: float = TILT

    def __post_init__(self) -> None:
        number(self.turned, "turn of the vessel", "degrees", least=-720, greatest=720)
        number(self.tilt, "view from above", "degrees", least=0, greatest=90)

    @property
    def matrix(self) -> np.ndarray:
        """What takes points in space to how far right, how far up and how near they are seen, shape (3, 3)."""
        a, b = np.radians(self.turned), np.radians(self.tilt)
        level = np.array([[np.cos(a), -np.sin(a), 0.0], [np.sin(a), np.cos(a), 0.0], [0.0, 0.0, 1.0]])
        raised = np.array([[1.0, 0.0, 0.0], [0.0, np.sin(b), np.cos(b)], [0.0, -np.cos(b), np.sin(b)]])
        return raised @ level


@dataclass(frozen=True, eq=False)
class Standing:
    """Flat shapes as they are seen, shape (n,) [mm]: their outlines at the back and at the face, whether they face the viewer,
    and how near their middles are [mm]."""

    backs: np.ndarray
    faces: np.ndarray
    facing: np.ndarray
    near: np.ndarray


def standing(glass: Glass, shapes: np.ndarray, view: View, lift: tuple[float, float] = (0.0, 0.0)) -> Standing:
    """Set shapes of the strip, (n,) polygons, flat on the glass, each in the plane that touches it at its middle.

    `lift`: how far back and face stand off the glass there [mm].
    """
    points, owner = shapely.get_coordinates(shapes, return_index=True)
    middles = shapely.get_coordinates(shapely.centroid(shapes))
    spots, out = glass.in_space(middles)
    before, after = (glass.in_space(middles + np.array([side * NEAR, 0.0]))[0] for side in (-1, 1))
    ahead = after - before
    ahead /= np.linalg.norm(ahead, axis=1, keepdims=True)
    up, step = np.cross(out, ahead), points - middles[owner]
    flat = spots[owner] + step[:, :1] * ahead[owner] + step[:, 1:] * up[owner]
    seen = (flat @ view.matrix.T, out @ view.matrix.T)
    backs, faces = (
        shapely.set_coordinates(np.array(shapes, dtype=object), (seen[0] + off * seen[1][owner])[:, :2]) for off in lift
    )
    return Standing(backs, faces, seen[1][:, 2] > SAME, spots @ view.matrix[2])


@dataclass(frozen=True, eq=False)
class _Skin:
    """Points along the edges of a part of a face, where they are seen (n, 2), whether they face the viewer, and their heights [mm]."""

    outline: Polygon
    seen: np.ndarray
    facing: np.ndarray
    heights: np.ndarray
    bent: bool

    @classmethod
    def of(cls, glass: Glass, outline: Polygon, view: View) -> "_Skin":
        """Look at a part of the strip."""
        edge = shapely.segmentize(outline, outline.length / POINTS)
        points, middle = shapely.get_coordinates(edge), shapely.get_coordinates(shapely.point_on_surface(outline))
        spots, out = glass.in_space(points + SAME * (middle - points))  # so that no corner belongs to the next face
        facing = out @ view.matrix[2] > SAME
        return cls(edge, (spots @ view.matrix.T)[:, :2], facing, spots[:, 2], bool(np.ptp(out, axis=0).max() > SAME))

    @property
    def shape(self):
        """What of it faces the viewer [mm]: of a face that is bent, and so goes round, all but what its opening shows."""
        if self.bent:
            return self.hull.difference(_hull(self.seen[self.upper]))
        return shapely.set_coordinates(self.outline, self.seen) if self.facing.all() else Polygon()

    @property
    def hull(self):
        """All that it covers in the picture."""
        return _hull(self.seen)

    @property
    def upper(self) -> np.ndarray:
        """Which points are at its upper edge."""
        return self.heights >= self.heights.max() - NEAR

    def lines(self, which: np.ndarray) -> np.ndarray:
        """Return the edges between points that are chosen."""
        pairs = np.stack([self.seen[:-1], self.seen[1:]], axis=1)
        return shapely.linestrings(pairs[which[:-1] & which[1:]])


def _hull(points: np.ndarray):
    return shapely.convex_hull(shapely.multipoints(points))


def vessel_picture(
    layout: Layout,
    glass: Glass,
    view: View | None = None,
    *,
    bed: float = 0.0,
    looks: Mapping[str, Look] | None = None,
    base: str = FILLER,
    text_size: float | None = None,
    title: object = "",
) -> Drawing:
    """Draw a glass as it stands, with its pieces on it.

    Parameters
    ----------
    layout : Layout
        The pieces on the glass's strip.
    glass : Glass
        What they cover.
    view : View, optional
        From where it is seen; left out, from the front and a little above.
    bed : float
        Bed under the pieces [mm].
    looks : mapping of str to Look, optional
        How colours are drawn by name; others as their names are known.
    base : str
        Tone of what lies between the pieces.
    text_size : float, optional
        Text size [mm]; left out, it suits the screen.
    title : str or units.Text
        For readers that cannot see the picture.

    Returns
    -------
    Drawing
        The picture, of one size however the glass is turned.

    Examples
    --------
    >>> from mosaiclib.glass import FourSided
    >>> from mosaiclib.layout import Tile, lay_faces
    >>> box = FourSided(64, 42, 42, 4, 5)
    >>> print(vessel_picture(lay_faces(box, Tile(20, 4), 2, (1, 3)), box, View(45)).description)
    Turned to the right by 45 degrees and seen from 20 degrees above: 10 of 20 pieces face the viewer.
    """
    view = view or View()
    shown = standing(glass, layout.shapes, view, (bed, bed + layout.tile.thickness))
    wide, high, move = _frame(glass, view, bed + layout.tile.thickness)
    size = text_size or max(SCREEN_TEXT * wide / SCREEN[0], SCREEN_TEXT * high / (SCREEN[1] - 3 * SCREEN_TEXT))
    tones = _tones(layout, looks or {})
    on = layout.pieces["face"].to_numpy(dtype=object)
    items: list = []
    # seen from above, what is nearer to the eye along a line of sight is higher
    for face in sorted(glass.faces, key=lambda one: _height(glass, one)):
        mine = on == face.name if len(glass.faces) > 1 else np.ones(len(on), dtype=bool)
        items += [*_glass(glass, face, view, base, size), *_pieces(shown, tones, mine & shown.facing, size)]
    items += _opening(glass, view, size)
    placed = tuple(item.placed(False, move[0] + size, move[1] + size) for item in items)
    count = int(shown.facing.sum())
    said = f"Turned to the right by {view.turned:g} degrees and seen from {view.tilt:g} degrees above: "
    said += f"{count} of {len(layout)} pieces face the viewer."
    return Drawing(wide + 2 * size, high + 2 * size, title or "The glass as it stands", said, placed, PAPER)


def _frame(glass: Glass, view: View, out: float) -> tuple[float, float, np.ndarray]:
    """Return width and height that hold the glass however it is turned, and where its axis is to be moved to [mm]."""
    points = np.concatenate([_bare(glass, face) for face in glass.faces])
    middle = (points.min(axis=0) + points.max(axis=0)) / 2
    reach = float(np.hypot(*(points - middle)[:, :2].T).max()) + out
    low, high = points[:, 2].min() - out, points[:, 2].max() + out
    b = np.radians(view.tilt)
    foot = low * np.cos(b) - reach * np.sin(b)
    x, y, _ = view.matrix @ (middle * (1, 1, 0))
    return 2 * reach, float(high * np.cos(b) + reach * np.sin(b) - foot), np.array([reach - x, -foot - y])


def _bare(glass: Glass, face: Face) -> np.ndarray:
    """Return points along the edges of a face with its bare margins in space, shape (n, 3) [mm]."""
    outline = glass.whole_face(face)
    return glass.in_space(shapely.get_coordinates(shapely.segmentize(outline, outline.length / POINTS)))[0]


def _height(glass: Glass, face: Face) -> float:
    return float(_bare(glass, face)[:, 2].mean())


def _tones(layout: Layout, looks: Mapping[str, Look]) -> tuple[np.ndarray, np.ndarray]:
    """Return for each piece the tone of its sides and that of its face, both of shape (n,)."""
    known = cache(lambda name: (looks.get(name) or look(name)).fill)
    sides = cache(lambda tone: mix(tone, INK, SHADE))
    tones = [known(name if isinstance(name, str) else "") for name in layout.pieces["colour"].tolist()]
    return np.array([sides(tone) for tone in tones], object), np.array(tones, object)


def _pieces(shown: Standing, tones: tuple[np.ndarray, np.ndarray], mine: np.ndarray, size: float) -> list[Polygons]:
    """Return pieces as solids, the farthest first: what is seen of their sides, then their faces."""
    order = np.flatnonzero(mine)[np.argsort(shown.near[mine], kind="stable")]
    if not len(order):
        return []
    both = shapely.geometrycollections(np.stack([shown.backs[order], shown.faces[order]], axis=1))
    shapes = np.stack([shapely.convex_hull(both), shown.faces[order]], axis=1).ravel()
    fills = np.stack([one[order] for one in tones], axis=1).ravel()
    return [Polygons(shapes, tuple(fills), EDGE, 0.03 * size, name="standing")]


def _glass(glass: Glass, face: Face, view: View, base: str, size: float) -> list:
    """Return what is seen of a face: bare glass, what is to be covered, and its edges."""
    whole, covered = (_Skin.of(glass, outline, view) for outline in (glass.whole_face(face), face.outline))
    parts = ((whole.shape, GLASS, "glass"), (covered.shape, base, "base"))
    items: list = [Polygons([shape], tone, name=name) for shape, tone, name in parts if not shape.is_empty]
    lines = whole.lines(whole.facing)
    return [*items, Lines(lines, SOFT, 0.05 * size, name="edge")] if len(lines) else items


def _opening(glass: Glass, view: View, size: float) -> list:
    """Return the opening of a vessel, through which its inside is seen from above."""
    skins = [_Skin.of(glass, glass.whole_face(face), view) for face in glass.faces if glass.has_inside]
    top = max((skin.heights.max() for skin in skins), default=0.0)
    points = [skin.seen[skin.upper] for skin in skins if skin.heights.max() > top - NEAR]
    return (
        [Polygons([_hull(np.concatenate(points))], mix(NEUTRAL, INK, SHADE / 2), SOFT, 0.05 * size, name="opening")]
        if points
        else []
    )


def beside(flat: Drawing, stands: Drawing) -> Drawing:
    """Return a layout's picture with the same glass as it stands, beside or above it, whichever leaves both larger; one scale."""
    right = (flat.width + stands.width, max(flat.height, stands.height))
    above = (max(flat.width, stands.width), flat.height + stands.height)
    if max(right[0] / SCREEN[0], right[1] / SCREEN[1]) <= max(above[0] / SCREEN[0], above[1] / SCREEN[1]):
        (wide, high), at = right, (flat.width, (right[1] - stands.height) / 2)
        kept = flat.shifted(0.0, (right[1] - flat.height) / 2)
    else:
        (wide, high), at, kept = (
            above,
            ((above[0] - stands.width) / 2, flat.height),
            flat.shifted((above[0] - flat.width) / 2, 0.0),
        )
    said = text(flat.description, " ", stands.description)
    return replace(kept, width=wide, height=high, items=(*kept.items, *stands.shifted(*at).items), description=said)
