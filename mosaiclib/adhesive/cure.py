"""How a bed cures from the joints inwards, what it holds meanwhile, and how long each step of the work waits."""

__all__ = [
    "BED_OF_TABLE",
    "MOST_HOURS",
    "STEPS",
    "Hold",
    "Progress",
    "Room",
    "Wait",
    "cure_depth",
    "cured_share",
    "drying_days",
    "front_speed",
    "fronts",
    "full_hours",
    "hold",
    "hours_to_cure",
    "light_minutes",
    "pot_minutes",
    "progress",
    "reach",
    "read_pieces",
    "set_hours",
    "share_for",
    "soft_cores",
    "tile_stress",
    "vapour_pressure",
    "wait",
    "waits",
]

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely

from mosaiclib import reference
from mosaiclib.adhesive.choose import family
from mosaiclib.errors import MosaicError, choice, instance, number, several
from mosaiclib.layout.layout import read_shapes

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


BED_OF_TABLE = 0.8  # [mm] whose time to dry in the open the table gives


def light_minutes(thickness: float, passed: float, minutes: float | None = None) -> float:
    """Return how long a lamp takes through glass that absorbs: the dose is the same, so time goes with 1/passed.

    minutes x T(4 mm clear)/T(here), T = passed per millimetre to the power of the thickness

    Parameters
    ----------
    thickness : float
        Glass between lamp and bed [mm].
    passed : float
        Share of the lamp's light that one millimetre lets through, over 0 to 1.
    minutes : float, optional
        Time under 4 mm of clear glass [min]; the table's if left out.

    Returns
    -------
    float
        Time [min].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Examples
    --------
    >>> light_minutes(4, 1.0, 2.0), light_minutes(1, 0.5, 2.0)
    (2.0, 4.0)
    """
    deep = number(thickness, "glass thickness", "mm", least=0, greatest=100)
    share = number(passed, "share of light passed by a millimetre", above=0, greatest=1)
    clear = reference.value("cure", "lamp on a light-curing bed").number if minutes is None else minutes
    time = number(clear, "time under clear glass", "minutes", above=0, greatest=1e4)
    return time / max(share**deep, 1e-9)


def pot_minutes(minutes: float, temperature: float) -> float:
    """Return the pot life of a two-part adhesive at another temperature: half as long for each 10 K warmer.

    Parameters
    ----------
    minutes : float
        Pot life at 23 C [min].
    temperature : float
        Of room and resin, 5 to 40 [C].

    Returns
    -------
    float
        Pot life [min].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Notes
    -----
    A rule of thumb of chemistry, from memory; the maker's sheet stands above it.

    Examples
    --------
    >>> pot_minutes(20, 33), pot_minutes(20, 13)
    (10.0, 40.0)
    """
    base = number(minutes, "pot life", "minutes", above=0, greatest=1e4)
    warm = number(temperature, "temperature", "C", least=COLDEST, greatest=HOTTEST)
    step = reference.value("cure", "doubling of a two-part cure").number
    return base * 2 ** ((REFERENCE_TEMPERATURE - warm) / step)


def drying_days(shape, bed: float = 0.8, open_days: float | None = None) -> float:
    """Return how long a water-borne bed would take to dry between two sheets of glass, by the law of diffusion.

    open_days (d/bed)^2: a path longer by a factor takes longer by its square.

    Parameters
    ----------
    shape : Polygon
        The piece [mm].
    bed : float
        Thickness of the bed [mm].
    open_days : float, optional
        Time that the same bed takes with its face open to the air [days]; the table's if left out.

    Returns
    -------
    float
        Time [days].

    Raises
    ------
    MosaicError
        If a number is out of range or the shape is none.

    Notes
    -----
    An order of size only: what dries shrinks and pulls off before that.

    Examples
    --------
    >>> import shapely
    >>> round(drying_days(shapely.box(0, 0, 20, 20), 0.8, 1.0))  # (10/0.8)^2
    156
    """
    thick = number(bed, "bed", "mm", above=0, greatest=20)
    usual = reference.value("cure", "open drying of a water-borne bed").number if open_days is None else open_days
    if open_days is None:
        usual *= (thick / BED_OF_TABLE) ** 2  # the table's time is that of 0.8 mm
    days = number(usual, "time to dry in the open", "days", above=0, greatest=1000)
    return days * (float(reach(shape)[0]) / thick) ** 2


FRONTS = ("air moisture", "drying", "cement and drying")  # what comes in, or goes out, by the joints


@dataclass(frozen=True)
class Room:
    """Where and how a piece cures.

    Parameters
    ----------
    temperature : float
        5 to 40 [C].
    humidity : float
        Relative humidity, over 0 to 1.
    bed : float
        Thickness of the adhesive [mm].
    glass : float
        Glass that a lamp shines through [mm].
    passed : float
        Share of the lamp's light that one millimetre of it lets through.
    """

    temperature: float = 23.0
    humidity: float = 0.5
    bed: float = 0.8
    glass: float = 4.0
    passed: float = 1.0

    def __post_init__(self) -> None:
        number(self.temperature, "temperature", "C", least=COLDEST, greatest=HOTTEST)
        number(self.humidity, "humidity", above=0, greatest=1)
        number(self.bed, "bed", "mm", above=0, greatest=20)
        number(self.glass, "glass thickness", "mm", least=0, greatest=100)
        number(self.passed, "share of light passed by a millimetre", above=0, greatest=1)


@dataclass(frozen=True, eq=False)
class Progress:
    """How far n pieces have cured.

    Parameters
    ----------
    share : array of float, shape (n,)
        Cured share of each bed.
    cores : array of Polygon, shape (n,)
        What is still soft under each; empty where nothing is, or where no front goes in [mm].
    """

    share: np.ndarray
    cores: np.ndarray


def fronts(name: str, room: Room) -> tuple[float, float, float] | None:
    """Return how fast a family's front goes in from the joints: slow, usual and fast; None where none does.

    A moisture cure goes in with k; drying follows the same law with k = 0.8 mm/sqrt(time in which 0.8 mm dry in the open),
    whatever the thickness of the bed, and the room is not counted.

    Parameters
    ----------
    name : str
        Family of adhesive.
    room : Room
        Where it cures.

    Returns
    -------
    tuple of float or None
        Depth after one day [mm per sqrt(day)].

    Raises
    ------
    MosaicError
        If the family is unknown or a number is out of range.

    Examples
    --------
    >>> fronts("neutral-cure silicone", Room()), fronts("two-part clear epoxy", Room())
    ((2.0, 2.5, 3.0), None)
    """
    instance(room, Room, "room")
    how = family(name).cures_by
    if how not in FRONTS:
        return None
    if how == "air moisture":
        record = reference.value("cure", "front of a moisture cure")
        speeds = (record.band[0], record.number, record.band[1])
        here = front_speed(room.temperature, room.humidity, 1.0)
        return tuple(here * k for k in speeds)
    record = reference.value("cure", "open drying of a water-borne bed")
    return tuple(BED_OF_TABLE / days**0.5 for days in (record.band[1], record.number, record.band[0]))


def full_hours(name: str, room: Room) -> Wait:
    """Return how long a family that cures all through at once takes: by light, or by mixing.

    Parameters
    ----------
    name : str
        Family of adhesive.
    room : Room
        Where it cures.

    Returns
    -------
    Wait
        Times [h].

    Raises
    ------
    MosaicError
        If the family is unknown or a number is out of range.

    Examples
    --------
    >>> full_hours("two-part clear epoxy", Room(temperature=33)).usual
    12.0
    """
    if family(name).cures_by == "light":
        record = reference.value("cure", "lamp on a light-curing bed")
        least, usual, most = (
            light_minutes(room.glass, room.passed, one) / 60 for one in (record.band[0], record.number, record.band[1])
        )
        return Wait(least, usual, most)
    return _mixed("hardening of a two-part resin", room)


def set_hours(name: str, room: Room) -> Wait | None:
    """Return how long a family that is mixed stays liquid and carries nothing; None where none is mixed.

    Parameters
    ----------
    name : str
        Family of adhesive.
    room : Room
        Where it cures.

    Returns
    -------
    Wait or None
        Times over quick and slow kinds [h].

    Examples
    --------
    >>> set_hours("two-part clear epoxy", Room()).most, set_hours("acetoxy silicone", Room())
    (36.0, None)
    """
    return _mixed("setting of a clear epoxy", room) if family(name).cures_by == "mixing" else None


def _mixed(what: str, room: Room) -> Wait:
    """Return a time of the table for what is mixed, at the room's temperature."""
    record = reference.value("cure", what)
    times = (record.band[0], record.number, record.band[1])
    return Wait(*(pot_minutes(hours * 60, room.temperature) / 60 for hours in times))


def progress(name: str, shapes: np.ndarray, hours: float, room: Room) -> Progress:
    """Return how far a family has cured under pieces.

    Parameters
    ----------
    name : str
        Family of adhesive.
    shapes : array of Polygon, shape (n,)
        Pieces [mm].
    hours : float
        Time since gluing, or since the lamp was lit [h].
    room : Room
        Where it cures.

    Returns
    -------
    Progress
        Shares and soft cores.

    Raises
    ------
    MosaicError
        If the family is unknown or a number is out of range.

    Examples
    --------
    >>> tile = np.array([shapely.box(0, 0, 20, 20)])
    >>> progress("neutral-cure silicone", tile, 24.0, Room()).share.round(4).tolist()
    [0.4375]
    """
    shapes = read_pieces(shapes)
    time = number(hours, "time", "hours", least=0, greatest=MOST_HOURS)
    speeds = fronts(name, room)
    if speeds is None:
        share = min(1.0, time / full_hours(name, room).usual)
        return Progress(np.full(len(shapes), share), np.full(len(shapes), shapely.Polygon(), dtype=object))
    return soft_cores(shapes, speeds[1] * (time / DAY) ** 0.5)


def soft_cores(shapes: np.ndarray, depth: float) -> Progress:
    """Return how far pieces have cured where the front has come in by a depth.

    Parameters
    ----------
    shapes : array of Polygon, shape (n,)
        Sound pieces, as those of a layout [mm].
    depth : float
        Depth of the front [mm].

    Returns
    -------
    Progress
        Shares and soft cores.

    Examples
    --------
    >>> soft_cores(np.array([shapely.box(0, 0, 20, 20)]), 2.5).share.tolist()
    [0.4375]
    """
    cores = shapely.buffer(shapes, -depth, join_style="mitre")
    return Progress(1 - shapely.area(cores) / shapely.area(shapes), cores)


def waits(name: str, shapes: np.ndarray, room: Room) -> dict[str, Wait]:
    """Return how long each step of the work waits for the slowest of some pieces, never less than practice has it.

    Parameters
    ----------
    name : str
        Family of adhesive.
    shapes : array of Polygon, shape (n,)
        Pieces [mm].
    room : Room
        Where they cure.

    Returns
    -------
    dict of str to Wait
        Times for turn, fill, handle and wash [h].

    Raises
    ------
    MosaicError
        If the family is unknown or a number is out of range.

    Examples
    --------
    >>> found = waits("neutral-cure silicone", np.array([shapely.box(0, 0, 20, 20)]), Room())
    >>> round(found["wash"].usual / 24, 1)
    16.0
    """
    shapes, speeds = read_pieces(shapes), fronts(name, room)
    if speeds is None:
        return _held(name, _all_through(name, room))
    slow, usual, fast = speeds
    alone = _depths_alone(tuple(shapely.to_wkb(shapes)), tuple(share_for(step) for step in STEPS))
    found = [Wait(unit / fast**2, unit / usual**2, unit / slow**2) for unit in alone]
    return _held(name, dict(zip(STEPS, found, strict=True)))


def _all_through(name: str, room: Room) -> dict[str, Wait]:
    """Return the waits of what cures all through at once: a lamp's whole time; when mixed, never before it has set."""
    full, liquid = full_hours(name, room), set_hours(name, room)
    if liquid is None:
        return dict.fromkeys(STEPS, full)
    ends = [(full.least, liquid.least), (full.usual, liquid.usual), (full.most, liquid.most)]
    return {step: Wait(*(max(share_for(step) * hard, soft) for hard, soft in ends)) for step in STEPS}


def _held(name: str, model: dict[str, Wait]) -> dict[str, Wait]:
    """Return waits that are no shorter than practice has them; a later step is held as long as an earlier one."""
    by, known = ", by lamp" if family(name).cures_by == "light" else "", reference.by_name("cure")
    floor, found = 0.0, {}
    for step, alone in model.items():
        record = known.get(f"least wait to {step}{by}")
        floor = max(floor, record.number if record else 0.0)
        found[step] = alone.held(floor)
    return found


@lru_cache(256)
def _depths_alone(pieces: tuple[bytes, ...], shares: tuple[float, ...]) -> tuple[float, ...]:
    """Return the waits at a speed of 1 mm per sqrt(day), which are those of the depths alone: kept, as a room changes
    while pieces stay [h]."""
    shapes = shapely.from_wkb(list(pieces))
    return tuple(float(np.max(hours_to_cure(shapes, share, k=1.0))) for share in shares)


GRAVITY = 9.81  # [m/s2]
STEPS = ("turn", "fill", "handle", "wash")


def share_for(step: str) -> float:
    """Return the share of the slowest bed that should be cured before a step; an assumption that agrees with practice.

    Parameters
    ----------
    step : {"turn", "fill", "handle", "wash"}
        What is to be done.

    Returns
    -------
    float
        Share, over 0 to 1.

    Raises
    ------
    MosaicError
        If the step is unknown.

    Examples
    --------
    >>> share_for("turn"), share_for("wash")
    (0.1, 1.0)
    """
    return reference.value("cure", f"share to {choice(step, 'step', STEPS)}").number


def tile_stress(thickness: float, density: float | None = None) -> float:
    """Return the shear under a tile on an upright face: density x g x thickness, whatever its size.

    Parameters
    ----------
    thickness : float
        Of the tile [mm].
    density : float, optional
        Of the glass [kg/m3]; the table's if left out.

    Returns
    -------
    float
        Stress on a bed that covers the whole back [Pa].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Examples
    --------
    >>> round(tile_stress(4, 2500), 1)  # 2500 x 9.81 x 0.004
    98.1
    """
    thick = number(thickness, "tile thickness", "mm", above=0, greatest=100)
    usual = reference.value("cure", "density of glass").number if density is None else density
    return number(usual, "density", "kg/m3", above=0, greatest=25_000) * GRAVITY * thick / 1000


@dataclass(frozen=True)
class Hold:
    """What a bed can hold against the weight of its tile.

    Parameters
    ----------
    stress, strength : float
        Shear from the weight, and what the bed bears now [Pa].
    """

    stress: float
    strength: float

    @property
    def times(self) -> float:
        """How many times its own weight it holds."""
        return self.strength / self.stress

    @property
    def words(self) -> str:
        """The verdict in words; under twice is called unsure."""
        if self.times < 1:
            return "it slides: prop the tile, or lay the face flat"
        return "unsure: prop the tile" if self.times < 2 else "it holds its tile"


def hold(
    thickness: float,
    cured: float,
    *,
    coverage: float = 1.0,
    fresh: float | None = None,
    strength: float | None = None,
) -> Hold:
    """Return what a bed on an upright face holds: coverage x (fresh yield where uncured + strength where cured).

    Parameters
    ----------
    thickness : float
        Of the tile [mm].
    cured : float
        Share of the bed that is cured, 0 to 1.
    coverage : float
        Share of the back that has adhesive, over 0 to 1.
    fresh, strength : float, optional
        Yield of the fresh paste [Pa] and strength of the cured bed [MPa]; both are assumptions, the table's if left
        out.

    Returns
    -------
    Hold
        Stress and strength.

    Raises
    ------
    MosaicError
        If a number is out of range.

    Examples
    --------
    >>> hold(4, 0.0, fresh=200).words, hold(4, 0.1).times > 100
    ('it holds its tile', True)
    """
    done = number(cured, "cured share", least=0, greatest=1)
    share = number(coverage, "coverage", above=0, greatest=1)
    paste = reference.value("cure", "yield of a fresh bed").number if fresh is None else fresh
    solid = reference.value("cure", "strength of a cured bed").number if strength is None else strength
    soft = number(paste, "yield of the fresh bed", "Pa", least=0, greatest=1e5)
    hard = number(solid, "strength of the cured bed", "MPa", above=0, greatest=100) * 1e6
    return Hold(tile_stress(thickness), share * (soft * (1 - done) + hard * done))
