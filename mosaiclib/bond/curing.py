"""How long adhesive takes: moisture that comes in from the joints, light, mixing, and water that cannot leave."""

__all__ = [
    "MOST_HOURS",
    "Wait",
    "cure_depth",
    "cured_share",
    "front_speed",
    "hours_to_cure",
    "reach",
    "read_pieces",
    "vapour_pressure",
    "wait",
]

from dataclasses import dataclass

import numpy as np
import shapely

from mosaiclib import reference
from mosaiclib.errors import MosaicError, number, several
from mosaiclib.layout.tesserae import read_shapes

DAY = 24.0  # [h]
MOST_HOURS = 24.0 * 3650
REFERENCE_TEMPERATURE, REFERENCE_HUMIDITY = 23.0, 0.5
COLDEST, HOTTEST = 5.0, 40.0  # [C] beyond these the front's law was never tried
HALVINGS = 40


def vapour_pressure(temperature: float) -> float:
    """Return the saturation vapour pressure over water.

    e = 0.61121 exp((18.678 - T/234.5) T/(257.14 + T)).

    Parameters
    ----------
    temperature : float
        Temperature T, 0 to 50 [C].

    Returns
    -------
    float
        Pressure [kPa].

    Raises
    ------
    MosaicError
        If the temperature is out of range.

    References
    ----------
    Buck, "New equations for computing vapor pressure and enhancement factor", J. Appl. Meteorol. 20 (1981), with
    the coefficients of 1996; from memory.

    Examples
    --------
    >>> round(vapour_pressure(23), 2)
    2.81
    """
    warm = number(temperature, "temperature", "C", least=0, greatest=50)
    return float(0.61121 * np.exp((18.678 - warm / 234.5) * warm / (257.14 + warm)))


def front_speed(temperature: float = 23.0, humidity: float = 0.5, k: float | None = None) -> float:
    """Return how fast a moisture-cured front goes in: k sqrt(p/p_ref), because depth goes with the root of vapour.

    Parameters
    ----------
    temperature : float
        Of the room, 5 to 40 [C].
    humidity : float
        Relative humidity, over 0 to 1.
    k : float, optional
        Depth after one day at 23 C and 50 % humidity [mm per sqrt(day)]; the middle of common practice if left out.

    Returns
    -------
    float
        Depth after one day [mm per sqrt(day)].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Notes
    -----
    Takes the permeability of the cured rubber as the same at all temperatures.

    References
    ----------
    Comyn, Int. J. Adhes. Adhes. 18 (1998): z = sqrt(2 V P p t); the law from memory, its constants were not found.

    Examples
    --------
    >>> front_speed()
    2.5
    """
    warm = number(temperature, "temperature", "C", least=COLDEST, greatest=HOTTEST)
    damp = number(humidity, "humidity", above=0, greatest=1)
    usual = reference.value("cure", "front of a moisture cure").number if k is None else k
    speed = number(usual, "depth after one day", "mm", above=0, greatest=20)
    now = damp * vapour_pressure(warm)
    return speed * (now / (REFERENCE_HUMIDITY * vapour_pressure(REFERENCE_TEMPERATURE))) ** 0.5


def cure_depth(hours, temperature: float = 23.0, humidity: float = 0.5, k: float | None = None):
    """Return how deep a moisture cure has come in from an open joint: k sqrt(t).

    Parameters
    ----------
    hours : float or array of float
        Time since gluing, 0 or more [h].
    temperature, humidity, k : float
        As for `front_speed` [C, share, mm per sqrt(day)].

    Returns
    -------
    float or array of float
        Depth [mm].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Examples
    --------
    >>> cure_depth(24.0), cure_depth(96.0)
    (2.5, 5.0)
    """
    speed = front_speed(temperature, humidity, k)
    if np.ndim(hours) == 0:
        return speed * (number(hours, "time", "hours", least=0, greatest=MOST_HOURS) / DAY) ** 0.5
    return speed * np.sqrt(_hours(hours) / DAY)


def _hours(hours) -> np.ndarray:
    """Return checked times [h]."""
    found = np.asarray(several(hours, "times") if not isinstance(hours, np.ndarray) else hours, dtype=float)
    if not (np.isfinite(found) & (found >= 0) & (found <= MOST_HOURS)).all():
        raise MosaicError(f"Times must be from 0 to {MOST_HOURS:g} hours.")
    return found


def cured_share(shapes, hours, temperature: float = 23.0, humidity: float = 0.5, k: float | None = None):
    """Return the share of each piece's bed that a moisture cure has reached.

    1 - area(piece drawn in by the depth)/area(piece)

    Parameters
    ----------
    shapes : Polygon or array of Polygon, shape (n,)
        Pieces, open to the air along their whole edge [mm].
    hours : float or array of float, shape (m,)
        Times since gluing [h].
    temperature, humidity, k : float
        As for `front_speed` [C, share, mm per sqrt(day)].

    Returns
    -------
    float or array of float, shape (n,), (m,) or (n, m)
        Shares, 0 to 1.

    Raises
    ------
    MosaicError
        If a shape is none, crosses itself or has no area, or a number is out of range.

    Examples
    --------
    >>> square = shapely.box(0, 0, 20, 20)
    >>> round(cured_share(square, 24.0), 4)  # 1 - (15/20)^2
    0.4375
    """
    pieces = read_pieces(shapes)
    depth = np.atleast_1d(cure_depth(hours, temperature, humidity, k))
    left = shapely.area(shapely.buffer(pieces[:, None], -depth[None, :], quad_segs=4))
    found = 1 - left / shapely.area(pieces)[:, None]
    if np.ndim(hours) == 0:
        found = found[:, 0]
    if not isinstance(shapes, shapely.Geometry):
        return found
    return found[0] if np.ndim(hours) else float(found[0])


def read_pieces(shapes) -> np.ndarray:
    """Return checked pieces: polygons with an inside.

    Parameters
    ----------
    shapes : Polygon or array of Polygon, shape (n,)
        Pieces [mm].

    Returns
    -------
    array of Polygon, shape (n,)
        The pieces.

    Raises
    ------
    MosaicError
        If there is none, or one is no polygon, crosses itself or has no area.
    """
    found = read_shapes([shapes] if isinstance(shapes, shapely.Geometry) else shapes, parts=True)
    if not len(found):
        raise MosaicError("There is no piece to look at.")
    if not shapely.is_valid(found).all():
        place = int(np.flatnonzero(~shapely.is_valid(found))[0]) + 1
        raise MosaicError(f"The edge of piece {place} crosses or touches itself, so it has no inside; draw it anew.")
    if not (shapely.area(found) > 0).all():
        raise MosaicError("A piece without area has no bed to cure.")
    return found


def reach(shapes) -> np.ndarray:
    """Return how far the innermost point of each piece lies from its edge: the radius of the largest circle in it.

    Parameters
    ----------
    shapes : Polygon or array of Polygon, shape (n,)
        Pieces [mm].

    Returns
    -------
    array of float, shape (n,)
        Radii, to 0.01 mm [mm].

    Raises
    ------
    MosaicError
        If a shape is none, crosses itself or has no area.

    Examples
    --------
    >>> reach(shapely.box(0, 0, 20, 10)).round(2).tolist()
    [5.0]
    """
    return shapely.length(shapely.maximum_inscribed_circle(read_pieces(shapes), tolerance=0.01))


def hours_to_cure(shape, share: float = 1.0, temperature: float = 23.0, humidity: float = 0.5, k: float | None = None):
    """Return how long a moisture cure takes to reach a share of a piece's bed.

    (d/k)^2 days, d the depth at which that share is left outside; the innermost point for all of it.

    Parameters
    ----------
    shape : Polygon or array of Polygon, shape (n,)
        Piece or pieces [mm].
    share : float
        Share to be cured, over 0 to 1.
    temperature, humidity, k : float
        As for `front_speed` [C, share, mm per sqrt(day)].

    Returns
    -------
    float or array of float, shape (n,)
        Time [h].

    Raises
    ------
    MosaicError
        If a shape is none, crosses itself or has no area, or a number is out of range.

    Examples
    --------
    >>> round(hours_to_cure(shapely.box(0, 0, 20, 20)) / 24, 1)  # (10/2.5)^2 days
    16.0
    """
    part = number(share, "share", above=0, greatest=1)
    speed = front_speed(temperature, humidity, k)
    found = (_depth_for(read_pieces(shape), part) / speed) ** 2 * DAY
    return float(found[0]) if isinstance(shape, shapely.Geometry) else found


def _depth_for(pieces: np.ndarray, share: float) -> np.ndarray:
    """Return the depth that leaves `share` of each piece outside, by halving, shape (n,) [mm]."""
    high = reach(pieces)
    if share == 1:
        return high
    low, area = np.zeros(len(pieces)), shapely.area(pieces)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        done = 1 - shapely.area(shapely.buffer(pieces, -middle, quad_segs=4)) / area >= share
        low, high = np.where(done, low, middle), np.where(done, middle, high)
    return (low + high) / 2


@dataclass(frozen=True)
class Wait:
    """A time with its band over the quoted range of speeds.

    Parameters
    ----------
    least, usual, most : float
        Times [h].
    floor : float
        What practice holds it to, at least [h]; 0 where nothing does.
    model : float, optional
        The usual time of the model alone [h], once it is held.
    """

    least: float
    usual: float
    most: float
    floor: float = 0.0
    model: float | None = None

    def held(self, floor: float) -> "Wait":
        """Return the wait no shorter than a floor [h], over its whole band."""
        least, usual, most = (max(one, floor) for one in (self.least, self.usual, self.most))
        return Wait(least, usual, most, floor, self.usual)


def wait(shapes, share: float = 1.0, temperature: float = 23.0, humidity: float = 0.5) -> Wait:
    """Return how long the slowest of some pieces takes, with the band over the quoted range of k.

    Parameters
    ----------
    shapes : array of Polygon, shape (n,)
        Pieces [mm].
    share : float
        Share to be cured, over 0 to 1.
    temperature, humidity : float
        Of the room [C, share].

    Returns
    -------
    Wait
        Times [h].

    Raises
    ------
    MosaicError
        As `hours_to_cure`.

    Examples
    --------
    >>> found = wait([shapely.box(0, 0, 20, 20)])
    >>> round(found.most / found.least, 2)  # (3/2)^2
    2.25
    """
    record = reference.value("cure", "front of a moisture cure")
    slow, fast = record.band
    usual = float(np.max(hours_to_cure(shapes, share, temperature, humidity)))
    return Wait(usual * (record.number / fast) ** 2, usual, usual * (record.number / slow) ** 2)
