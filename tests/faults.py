"""Measures of finished layouts that share nothing with the package's own: numpy and shapely alone."""

import numpy as np
import shapely

SHARES = {
    "whole": (1, 1),
    "half": (0.5, 1),
    "third": (1 / 3, 1),
    "quarter": (0.5, 0.5),
}  # of a tile's side, short and long
SNAP = 1e-6  # [mm]


def width(shape):
    """Return the least width of a piece: turned by every edge of its hull, the lowest height [mm]."""
    x, y = np.array(shape.convex_hull.exterior.coords).T
    angles = np.arctan2(np.diff(y), np.diff(x))
    return min(np.ptp(y * np.cos(a) - x * np.sin(a)) for a in angles)


def sharpest(shape):
    """Return the sharpest corner of a piece [degrees]."""
    x, y = np.array(shapely.remove_repeated_points(shape, 1e-6).exterior.coords)[:-1].T
    z = x + 1j * y
    return np.degrees(np.abs(np.angle((np.roll(z, 1) - z) / (np.roll(z, -1) - z)))).min()


def poor(shapes, side):
    """Count the pieces thinner than a third of a tile, smaller than a fifth, or with a corner under 30 degrees."""
    return sum(width(s) < side / 3 or s.area < side**2 / 5 or sharpest(s) < 30 for s in shapes)


def blank(layout, face, least):
    """Return the radius of the largest circle over `least` between all pieces and told gaps [mm], 0 where there is none."""
    told = [gap.shape for gap in layout.gaps]
    # on a grid: without one GEOS may lose a piece one of whose edges lies all but on the edge of the face
    bare = shapely.difference(face, shapely.union_all([*layout.shapes, *told]), grid_size=SNAP)
    core = shapely.buffer(bare, -least)
    parts = [part for part in shapely.get_parts(core) if part.area > 1e-4]
    return max((least + shapely.length(shapely.maximum_inscribed_circle(part, 0.02)) for part in parts), default=0.0)


def nearest(shapes):
    """Return the least distance of two pieces [mm]."""
    one, two = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=20)
    return shapely.distance(shapes[one], shapes[two])[one < two].min()


def twins(shapes, axis, level=False):
    """Return the share of pieces that cover 98 % of another one, or of themselves, mirrored at an axis, x or where `level` y [mm]."""
    way, twice = (np.array([1, -1]), np.array([0, 2 * axis])) if level else (np.array([-1, 1]), np.array([2 * axis, 0]))
    turned = shapely.transform(shapes, lambda xy: xy * way + twice)
    one, two = shapely.STRtree(shapes).query(turned, predicate="intersects")
    shared, area = shapely.area(shapely.intersection(turned[one], shapes[two])), shapely.area(shapes)
    return len(np.unique(one[shared > 0.98 * np.maximum(area[one], area[two])])) / len(shapes)


def too_large(shape, short, long):
    """Return by how much a piece, turned freely, is larger than what it is cut from, below 0 where it fits [mm].

    Tried along its edges and every degree, then round the best few of these in finer and finer steps.
    """
    points = np.array(shape.convex_hull.exterior.coords)

    def over(angles):
        along = [np.ptp(points @ np.stack([np.cos(a), np.sin(a)]), axis=0) for a in (angles, angles + np.pi / 2)]
        return (np.sort(along, axis=0) - np.array([[short], [long]])).max(axis=0)

    angles, step = np.append(np.arctan2(*np.diff(points, axis=0).T[::-1]), np.linspace(0, np.pi / 2, 91)), np.radians(1)
    while over(angles).min() > 0 and step > 1e-8:
        best = angles[np.argsort(over(angles))[:4]]
        angles, step = (best[:, None] + step * np.linspace(-1, 1, 41)).ravel(), step / 10
    return over(angles).min()


def stated(layout, rows, side):
    """Return the least width that is stated for each piece [mm].

    Of rows 0.6 of the narrow end, 0.35 of a piece but 3 mm at least where the piece is wider, and half the narrow end up to
    2 mm of a fan, never over the height; of the field 3 mm, or 0.6 of a tile under 5 mm.
    """
    wide, high = np.array([np.multiply(SHARES[row["fraction"]], row["tile"]) for row in rows]).T
    wide, high = np.where([row.get("turned", False) for row in rows], (wide, high), (high, wide))
    narrow = np.minimum(np.maximum(0.35 * wide, 3.0), 0.8 * wide)
    pieces = layout.pieces
    which = np.where(pieces["band"] == "rows", pieces["row"] - 1, 0)
    fan = np.minimum(0.5 * narrow, 2.0)[which]
    least = np.minimum(np.where(pieces["kind"] == "fan", fan, 0.6 * narrow[which]), high[which])
    return np.where(pieces["band"] == "rows", least, min(3.0, 0.6 * side))


def faults(layout, face, rows, limits, side):
    """Return the names of what a layout of rows, as they were asked for, and a field of a side breaks [mm]."""
    shapes, pieces = layout.shapes, layout.pieces
    one, two = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=max(limits[0], 1e-6))
    one, two = one[one < two], two[one < two]
    gives = [np.multiply(SHARES[cut], tile) for cut, tile in zip(pieces["fraction"], pieces["tile"], strict=True)]
    whole = ((pieces["band"] == "field") & (pieces["kind"] == "whole")).to_numpy()
    found = {
        "not a polygon": (shapely.get_type_id(shapes) != 3) | ~shapely.is_valid(shapes),
        "with a hole": shapely.get_num_interior_rings(shapes) > 0,
        "overlap": shapely.area(shapely.intersection(shapes[one], shapes[two])) > 1e-6,
        "too near": shapely.distance(shapes[one], shapes[two]) < limits[0] - 0.02,
        "off the face": shapely.area(shapely.difference(shapes, face)) > 1e-6,
        "larger than its tile": np.array([too_large(s, *give) > 0.02 for s, give in zip(shapes, gives, strict=True)]),
        "narrower than stated": np.array([width(s) for s in shapes]) < stated(layout, rows, side) - 0.02,
        "called whole": shapely.area(shapes[whole]) < 0.999 * side**2,
        "untold blank": np.array([blank(layout, face, 1.5 * limits[1]) > 0]),
    }
    return {name: np.flatnonzero(there).tolist() for name, there in found.items() if there.any()}
