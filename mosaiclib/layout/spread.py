"""Real tiles are not equal: rows and faces laid with drawn tiles; and the one place to import spread from."""

__all__ = [
    "WAYS",
    "Face",
    "JointKind",
    "Outlook",
    "Simulated",
    "TileSizes",
    "expected_range_factor",
    "outlook",
    "simulate",
    "simulate_face",
]

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from mosaiclib.errors import MosaicError, number, whole_number
from mosaiclib.layout.sizes import TileSizes, expected_range_factor
from mosaiclib.layout.ways import EXACT, WAYS, JointKind, Outlook, Row, checked_row, fixed, outlook

MOST_DRAWN = 5_000_000  # tiles in one simulation: 40 MB an array


@dataclass(frozen=True, eq=False)
class Simulated:
    """Rows laid with drawn tiles.

    Parameters
    ----------
    nominal, joint : float
        Nominal side and joint [mm].
    sizes : ndarray of float, shape (rows, tiles)
        Tile sides along the row [mm].
    joints : ndarray of float, shape (rows, tiles - 1)
        Joint widths; a negative one says that the tile does not fit there [mm].
    starts : ndarray of float, shape (rows, tiles)
        Near edge of each tile, from the near edge of the first [mm].
    """

    nominal: float
    joint: float
    sizes: np.ndarray
    joints: np.ndarray
    starts: np.ndarray

    @cached_property
    def drift(self) -> np.ndarray:
        """How far the far edge of each tile is past its nominal place, shape (rows, tiles) [mm]."""
        places = np.arange(self.sizes.shape[1])
        return self.starts + self.sizes - places * (self.nominal + self.joint) - self.nominal

    def share_under(self, limit: float) -> float:
        """Return the share of rows whose narrowest joint is under `limit` [mm]; 0.0 for rows of one tile."""
        limit = number(limit, "least joint", "mm", least=0)
        return float(np.mean((self.joints < limit - EXACT).any(axis=1)))


@dataclass(frozen=True, eq=False)
class Face:
    """A face laid row by row with drawn tiles, lowest row first, left to right in each.

    Parameters
    ----------
    x, y : ndarray of float, shape (rows * columns,)
        Lower left corner of each tile from that of the nominal face; y grows upwards [mm].
    width, height : ndarray of float, shape (rows * columns,)
        Sides of each tile [mm].
    across : Simulated
        The same rows, with their joints.
    """

    x: np.ndarray
    y: np.ndarray
    width: np.ndarray
    height: np.ndarray
    across: Simulated


def _gaps(row: Row, errors: np.ndarray, random: np.random.Generator) -> np.ndarray:
    """Return how far each joint is off the nominal one [mm], from the errors of the tiles."""
    rows, joints = errors.shape[0], row.tiles - 1
    if row.way == "by eye":
        return row.eye * random.standard_normal((rows, joints))
    gaps = np.zeros((rows, joints))
    if row.way == "marks" and joints >= row.every:
        groups = np.add.reduceat(errors, np.arange(0, row.tiles, row.every), axis=1)
        gaps[:, row.every - 1 :: row.every] = -groups[:, :-1]
    elif row.way == "both ends held" and joints:
        gaps[:] = -errors.sum(axis=1, keepdims=True) / joints
    return gaps


def _errors(row: Row, rows: int, random: np.random.Generator) -> np.ndarray:
    """Draw how far each tile is off the nominal size [mm]."""
    return row.bias + row.sd * random.standard_normal((rows, row.tiles))


def _laid(row: Row, errors: np.ndarray, random: np.random.Generator) -> Simulated:
    """Lay the drawn tiles; worked in errors, so that equal tiles give the joint to the last digit."""
    gaps = _gaps(row, errors, random)
    starts = np.zeros_like(errors)
    np.cumsum(errors[:, :-1] + gaps, axis=1, out=starts[:, 1:])
    starts += np.arange(row.tiles) * (row.nominal + row.joint)
    return Simulated(row.nominal, row.joint, fixed(row.nominal + errors), fixed(row.joint + gaps), fixed(starts))


def _drawn(rows: int, tiles: int, seed: int) -> tuple[int, np.random.Generator]:
    """Check the size of a simulation and start its random numbers."""
    rows = whole_number(rows, "number of rows", least=1)
    if rows * tiles > MOST_DRAWN:
        raise MosaicError(f"{rows} rows of {tiles} tiles are more than {MOST_DRAWN} tiles; take fewer rows.")
    return rows, np.random.default_rng(whole_number(seed, "seed", greatest=2**53))


def simulate(
    way: str,
    *,
    tiles: int,
    nominal: float,
    sizes: TileSizes,
    joint: float,
    eye_sd: float | None = None,
    every: int | None = None,
    rows: int,
    seed: int = 0,
) -> Simulated:
    """Lay rows of drawn tiles by one way of spacing.

    start of tile i + 1 = start of tile i + its size + the joint that the way gives

    Parameters
    ----------
    way, tiles, nominal, sizes, joint, eye_sd, every : see `outlook`
        As for `outlook` [mm, every and tiles 1].
    rows : int
        Rows to lay; at most 5,000,000 tiles in all [1].
    seed : int
        The same seed draws the same tiles, whatever the way [1].

    Returns
    -------
    Simulated
        Sizes, joints and places, one line a row [mm].

    Raises
    ------
    MosaicError
        If a setting is out of range or the way lacks its own.

    Notes
    -----
    Nothing is clamped: where tiles do not fit between marks or ends the joint is negative.

    Examples
    --------
    >>> rows = simulate("both ends held", tiles=5, nominal=20, sizes=TileSizes(20, 0.2), joint=2, rows=3)
    >>> rows.joints.shape, rows.drift[:, -1].round(6).tolist()
    ((3, 4), [0.0, 0.0, 0.0])
    """
    row = checked_row(way, tiles, nominal, sizes, joint, eye_sd, every)
    rows, random = _drawn(rows, row.tiles, seed)
    return _laid(row, _errors(row, rows, random), random)


def simulate_face(
    columns: int,
    rows: int,
    way: str,
    *,
    nominal: float,
    sizes: TileSizes,
    joint: float,
    eye_sd: float | None = None,
    every: int | None = None,
    seed: int = 0,
) -> Face:
    """Lay a whole face of drawn tiles, each row spaced by one way.

    y of tile = row (nominal + joint) + (nominal - height)/2: rows at their true pitch, tiles centred

    Parameters
    ----------
    columns, rows : int
        Tiles across and rows [1].
    way, nominal, sizes, joint, eye_sd, every : see `outlook`
        As for `outlook` [mm, every 1].
    seed : int
        The same seed draws the same tiles, whatever the way [1].

    Returns
    -------
    Face
        Lower left corners and sides of the tiles [mm].

    Raises
    ------
    MosaicError
        If a setting is out of range or the way lacks its own.

    Notes
    -----
    Width and height of a tile are drawn apart; real tiles are often long both ways together. Tiles that
    do not fit overlap in the result.

    Examples
    --------
    >>> face = simulate_face(3, 2, "spacer stick", nominal=20, sizes=TileSizes(20, 0), joint=2)
    >>> face.x.tolist(), face.y.tolist()
    ([0.0, 22.0, 44.0, 0.0, 22.0, 44.0], [0.0, 0.0, 0.0, 22.0, 22.0, 22.0])
    """
    row = checked_row(way, columns, nominal, sizes, joint, eye_sd, every)
    rows, random = _drawn(rows, row.tiles, seed)
    widths, off = _errors(row, rows, random), _errors(row, rows, random)  # before the eye draws anything
    across, heights = _laid(row, widths, random), row.nominal + off
    lines = np.arange(rows)[:, None] * (row.nominal + row.joint)
    y = lines + (row.nominal - heights) / 2
    flat = (fixed(array.ravel()) for array in (across.starts, y, across.sizes, heights))
    return Face(*flat, across)
