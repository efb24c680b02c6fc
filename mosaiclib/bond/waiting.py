"""How far each family has cured under the pieces of a layout, and which step of the work waits how long."""

__all__ = ["Progress", "Room", "fronts", "full_hours", "progress", "set_hours", "soft_cores", "waits"]

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely

from mosaiclib import reference
from mosaiclib.bond.curing import COLDEST, DAY, HOTTEST, MOST_HOURS, Wait, front_speed, hours_to_cure, read_pieces
from mosaiclib.bond.families import family
from mosaiclib.bond.holding import STEPS, share_for
from mosaiclib.bond.other_cures import BED_OF_TABLE, light_minutes, pot_minutes
from mosaiclib.errors import instance, number

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
