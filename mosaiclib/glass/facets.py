"""Flat tiles on round glass: where they gape, the bed that fills it, and how their joints open.

Outside a curve a flat back touches the glass along its middle, and the gap is under its edges; inside it stands on its
edges, and the gap is under its middle. Every gap and bed is measured square to the glass, and all lengths are in mm.

| symbol | meaning |
|---|---|
| R | radius of the glass where the tile sits; on a cone the radius of its curvature, `normal_radius` |
| w, h, t | width of the tile across the axis (round the vessel), height along it, thickness |
| phi | turn of the tile from standing straight |
| b | bed where it is thinnest: under the middle of a tile outside, under the edges of one inside |
| D | distance of the tile's back from the axis: R + b outside, sqrt((R - b)^2 - (w/2)^2) inside |
| j | joint between two backs |
| theta | angle from one tile to the next |

Numbers or arrays, which are taken together as numpy takes them.
"""

__all__ = [
    "Seat",
    "across",
    "gap_under_edges",
    "gap_under_middle",
    "largest_that_sits",
    "least_radius_for_bed",
    "least_radius_for_joint",
    "mean_bed",
    "normal_radius",
    "radius_along",
    "seat",
    "widest_for_bed",
]

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from mosaiclib.errors import MosaicError, numbers
from mosaiclib.units import mm

FLAT = 1e7  # [mm] a greater radius is flat: 100 mm of it are off by 0.0001 mm
SAME = 1e-9  # [mm] rounding
NODES, WEIGHTS = np.polynomial.legendre.leggauss(20)  # exact to rounding up to a tile as wide as its glass


def _lengths(**given: object) -> tuple:
    """Return lengths as checked numbers or arrays [mm], all above 0 but beds, joints and gaps, which may be 0."""
    zero = {"bed", "joint", "face joint"}
    named = {name.replace("_", " "): value for name, value in given.items()}
    limits = {name: {"least": 0} if name in zero else {"above": 0} for name in named}
    return tuple(numbers(value, name, "mm", greatest=FLAT, **limits[name]) for name, value in named.items())


def across(width, height, turn=0.0):
    """Return how wide a tile turned by phi [degrees] is across the axis: w |cos(phi)| + h |sin(phi)| [mm].

    >>> round(float(across(20, 20, 45)), 2), round(float(across(20, 10, 90)), 2)
    (28.28, 10.0)
    """
    w, h = _lengths(width=width, height=height)
    phi = np.radians(numbers(turn, "turn", "degrees", least=-360, greatest=360))
    return w * np.abs(np.cos(phi)) + h * np.abs(np.sin(phi))


def normal_radius(radius, lean):
    """Return the radius of a cone's curvature: r/cos(lean) [mm], r its distance from the axis, lean that of its wall [degrees].

    Along the wall a cone is straight, as a cylinder is. A tile is judged where its own r is least, at its narrower end.

    >>> round(float(normal_radius(50, 60)), 6)
    100.0
    """
    (r,) = _lengths(radius=radius)
    return r / np.cos(np.radians(numbers(lean, "lean of the wall", "degrees", least=-89, greatest=89)))


def radius_along(radius, turn=0.0):
    """Return the radius of the curve that a round glass has along a line turned by phi [degrees] from level: R/cos(phi)^2 [mm].

    Euler's formula for curvatures; from 10 km on it is called flat and no more is counted.

    >>> float(radius_along(50, 0)), round(float(radius_along(50, 45)), 6), float(radius_along(50, 90))
    (50.0, 100.0, 10000000.0)
    """
    (R,) = _lengths(radius=radius)
    phi = np.radians(numbers(turn, "turn", "degrees", least=-360, greatest=360))
    return 1 / np.maximum(np.cos(phi) ** 2 / R, 1 / FLAT)


def gap_under_edges(width, radius):
    """Return the gap under the edges of a tile outside a curve, touching at its middle: sqrt(R^2 + (w/2)^2) - R [mm].

    It is measured square to the glass; square to the tile it is R - sqrt(R^2 - (w/2)^2), as `gap_under_middle` is.

    >>> round(float(gap_under_edges(20, 40)), 3)
    1.231
    """
    w, R = _lengths(width=width, radius=radius)
    return (w / 2) ** 2 / (np.hypot(R, w / 2) + R)


def gap_under_middle(width, radius):
    """Return the gap under the middle of a tile inside a curve, standing on its edges: the sagitta R - sqrt(R^2 - (w/2)^2) [mm].

    >>> round(float(gap_under_middle(20, 40)), 3)
    1.27
    """
    w, R = _lengths(width=width, radius=radius)
    _goes_in(w, R)
    return (w / 2) ** 2 / (np.sqrt(R**2 - (w / 2) ** 2) + R)


def _goes_in(w, R) -> None:
    """Refuse a tile that does not go into the hollow of its glass [mm]."""
    if np.any(np.asarray(w) > 2 * np.asarray(R)):
        widest, least = (float(value) for value in (np.max(w), np.min(R)))
        raise MosaicError("A tile ", mm(widest), " wide does not go into a curve of radius ", mm(least), ".")


def _back(w, R, b, inside: bool):
    """Return D, the distance of a tile's back from the axis [mm]."""
    if not inside:
        return R + b
    if np.any(np.asarray(b) >= R):
        raise MosaicError("The bed must be thinner than the radius of the glass.")
    _goes_in(w, R - b)
    return np.sqrt((R - b) ** 2 - (w / 2) ** 2)


def _deepest(w, R, D, inside: bool):
    """Return the bed where it is thickest [mm]."""
    return R - D if inside else (D - R) + (w / 2) ** 2 / (np.hypot(D, w / 2) + D)


def mean_bed(width, height, radius, bed=0.0, *, turn=0.0, inside: bool = False):
    """Return the mean bed under a tile, between its back and the glass square below it.

    At x from the line of the back that is nearest to the axis, a strip dx of it has (D/2) |1 - R^2/(D^2 + x^2)| dx of bed
    below. For a tile that stands straight the mean is |D/2 - (R^2/w) atan(w/(2 D))|; without a bed about a third of the gap
    outside, two thirds of it inside.

    Parameters
    ----------
    width, height : float or array
        Size w, h of the tile's back [mm].
    radius, bed : float or array
        Radius R of the glass, and b, the thinnest bed [mm].
    turn : float or array
        Turn phi of the tile [degrees].
    inside : bool
        Whether the tile is inside the curve.

    Returns
    -------
    float or array
        Mean bed [mm]: the volume below the back over its area.

    References
    ----------
    Plane geometry; Gauss-Legendre with 20 x 20 nodes over the back, exact to rounding.

    Examples
    --------
    >>> import math
    >>> round(float(mean_bed(20, 20, 40)), 6) == round(20 - 80 * math.atan(0.25), 6)
    True
    """
    w, h, R, b = _lengths(width=width, height=height, radius=radius, bed=bed)
    phi = np.radians(numbers(turn, "turn", "degrees", least=-360, greatest=360))
    D = _back(across(w, h, turn), R, b, inside)
    w, h, R, D, phi = (np.asarray(value, dtype=float)[..., None, None] for value in (w, h, R, D, phi))
    x = w / 2 * np.cos(phi) * NODES[:, None] + h / 2 * np.sin(phi) * NODES
    below = D / 2 * np.abs((D - R) * (D + R) + x**2) / (D**2 + x**2)
    return (below * np.outer(WEIGHTS, WEIGHTS) / 4).sum(axis=(-1, -2))


@dataclass(frozen=True, eq=False)
class Seat:
    """How a flat tile sits on round glass: a number or an array of each.

    Bed where it is thickest and its mean, joint at the face (below 0 where faces inside a curve would meet) [mm]; angle from
    the tile to the next [degrees]; adhesive beyond an even bed of the thinnest, and filler in the joint beside it [mL a tile].
    """

    deepest: np.ndarray
    mean: np.ndarray
    face_joint: np.ndarray
    angle: np.ndarray
    extra: np.ndarray
    joint_volume: np.ndarray


def _half_angle(w, D, j):
    """Return theta/2 [radians], from j = 2 D sin(theta/2) - w cos(theta/2)."""
    return np.arctan2(w, 2 * D) + np.arcsin(np.minimum(j / np.hypot(w, 2 * D), 1.0))


def _joint_section(w, t, j, R, D, half, inside: bool):
    """Return the section of a joint [mm2]: a wedge between the sides of two tiles, and what is below it down to the glass."""
    face = j + (-2 if inside else 2) * t * np.sin(half)
    wedge = (j + face) / 2 * t * np.cos(half)
    alpha = 2 * (half - np.arctan2(w, 2 * D))  # of the joint between the backs, seen from the axis
    corner = np.hypot(D, w / 2)
    below = np.abs((corner - R) * (corner + R) * alpha - corner**2 * (alpha - np.sin(alpha))) / 2
    return wedge + below


def seat(width, height, thickness, joint, radius, bed=0.0, *, turn=0.0, inside: bool = False) -> Seat:
    """Return how tiles of one size sit on round glass, side by side with a joint between their backs.

    Where they touch the bed is b; joint at the face = j + 2 t sin(theta/2), inside the curve j - 2 t sin(theta/2), with theta
    from j = 2 D sin(theta/2) - w cos(theta/2). Of a turned tile the joint along the curve that bends more is told.

    Parameters
    ----------
    width, height, thickness : float or array
        Size w, h, t of the tile [mm].
    joint : float or array
        Joint j between the backs [mm].
    radius, bed : float or array
        Radius R of the glass, and b, the thinnest bed [mm].
    turn : float or array
        Turn phi of the tile [degrees].
    inside : bool
        Whether the tile is inside the curve.

    Returns
    -------
    Seat
        Beds, joint at the face, angle, volumes.

    References
    ----------
    Plane geometry of a polygon about a circle; for a turned tile Euler's formula (`radius_along`).

    Examples
    --------
    >>> found = seat(20, 20, 4, 2, 40, 0.8)
    >>> [round(float(each), 2) for each in (found.deepest, found.mean, found.face_joint, found.angle)]
    [2.01, 1.17, 4.09, 30.27]
    """
    w, h, t, j, R, b = _lengths(width=width, height=height, thickness=thickness, joint=joint, radius=radius, bed=bed)
    wide = across(w, h, turn)
    D = _back(wide, R, b, inside)
    mean = mean_bed(w, h, R, b, turn=turn, inside=inside)
    face, angle, section = _widest_joint(w, h, t, j, R, b, turn, inside)
    length = np.where(np.abs(np.cos(np.radians(turn))) >= np.sqrt(0.5), h, w)
    return Seat(
        deepest=_deepest(wide, R, D, inside),
        mean=mean,
        face_joint=face,
        angle=angle,
        extra=(mean - b) * w * h / 1000,
        joint_volume=section * length / 1000,
    )


def _widest_joint(w, h, t, j, R, b, turn, inside: bool):
    """Return joint at the face [mm], angle [degrees] and section [mm2] of the joint across the curve that bends more."""
    level = np.abs(np.cos(np.radians(turn))) >= np.sqrt(0.5)
    side, bent = np.where(level, w, h), radius_along(R, np.where(level, turn, np.asarray(turn) - 90.0))
    D = _back(side, bent, b, inside)
    half = _half_angle(side, D, j)
    face = j + (-2 if inside else 2) * t * np.sin(half)
    return face, np.degrees(2 * half), _joint_section(side, t, j, bent, D, half, inside)


def least_radius_for_bed(width, bed, thickest, *, inside: bool = False):
    """Return the least radius on which a tile's bed stays within B, its thickest: (w/2)^2/(2 (B - b)) - (B + b)/2 [mm].

    Inside a curve the last term is added. Any radius will do where it is below 0.

    >>> round(float(least_radius_for_bed(20, 0.8, 2.0)), 2)
    40.27
    """
    w, b, B = _lengths(width=width, bed=bed, thickest_bed=thickest)
    if np.any(np.asarray(B) <= b):
        raise MosaicError("The thickest bed must be over the thinnest; otherwise no curve can be covered.")
    return (w / 2) ** 2 / (2 * (B - b)) + (B + b) / 2 * (1 if inside else -1)


def widest_for_bed(radius, bed, thickest, *, inside: bool = False):
    """Return the widest tile whose bed stays within B, its thickest: (w/2)^2 = 2 R (B - b) + B^2 - b^2, inside - B^2 + b^2 [mm].

    >>> round(float(widest_for_bed(40.27, 0.8, 2.0)), 2)
    20.0
    """
    R, b, B = _lengths(radius=radius, bed=bed, thickest_bed=thickest)
    if np.any(np.asarray(B) <= b):
        raise MosaicError("The thickest bed must be over the thinnest; otherwise no curve can be covered.")
    return 2 * np.sqrt((B - b) * np.maximum(2 * R + (B + b) * (-1 if inside else 1), 0.0))


def least_radius_for_joint(width, thickness, joint, face_joint, bed=0.0, *, inside: bool = False):
    """Return the least radius on which the joint at the face stays within its greatest; inside a curve, above its least [mm].

    sin(theta/2) = |face joint - j|/(2 t), D = (w cos(theta/2) + j)/(2 sin(theta/2)).

    >>> round(float(least_radius_for_joint(20, 4, 2, 4.089, 0.8)), 1)
    40.0
    """
    w, t, j, b, face = _lengths(width=width, thickness=thickness, joint=joint, bed=bed, face_joint=face_joint)
    opens = (face - j) * (-1 if inside else 1)
    if np.any(np.asarray(opens) <= 0):
        which = "closes" if inside else "opens"
        raise MosaicError(f"On this side of a curve a joint {which} towards the face; let it do so.")
    sine = np.minimum(opens / (2 * t), 1.0)  # a joint cannot open by more than both sides of two tiles
    D = (w * np.sqrt(1 - sine**2) + j) / (2 * sine)
    return np.hypot(D, w / 2) + b if inside else D - b


def largest_that_sits(
    sizes: Mapping[str, tuple[float, float]],
    thickness: float,
    joint: float,
    radius: float,
    bed: float,
    *,
    thickest: float,
    joints: tuple[float, float],
    turn: float = 0.0,
    inside: bool = False,
) -> str:
    """Return the name of the largest of some pieces that sits on a glass, "" if none does.

    Its bed stays within the thickest, its joint at the face within the least and the greatest.

    Parameters
    ----------
    sizes : mapping of str to (float, float)
        Width round the vessel and height of each piece, by its name [mm].
    thickness, joint, radius, bed : float
        As `seat` has them [mm].
    thickest : float
        Greatest bed that the adhesive bears [mm].
    joints : (float, float)
        Least and greatest joint at the face [mm].
    turn : float
        Turn of the pieces [degrees].
    inside : bool
        Whether they are inside the curve.

    Returns
    -------
    str
        The name, the first of several as large.

    Examples
    --------
    >>> sizes = {"whole": (20, 20), "half": (10, 20), "third": (20 / 3, 20), "quarter": (10, 10)}
    >>> [largest_that_sits(sizes, 4, 2, R, 0.8, thickest=2, joints=(1, 4)) for R in (60, 30, 18, 5)]
    ['whole', 'half', 'third', '']
    """
    room = 2 * (radius - bed) if inside else np.inf  # a wider piece does not even go into the hollow
    going = {name: size for name, size in sizes.items() if across(*size, turn) < room}
    if not going:
        return ""
    w, h = np.array(list(going.values()), dtype=float).T
    found = seat(w, h, thickness, joint, radius, bed, turn=turn, inside=inside)
    least, greatest = joints
    fits = (found.deepest <= thickest + SAME) & (found.face_joint <= greatest + SAME)
    fits &= found.face_joint >= least - SAME
    return max(
        (name for name, one in zip(going, fits, strict=True) if one), key=lambda n: np.prod(sizes[n]), default=""
    )
