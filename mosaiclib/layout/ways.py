"""What to expect of a row of unequal tiles, in closed form, by the way it is spaced."""

__all__ = ["WAYS", "JointKind", "Outlook", "outlook"]

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from mosaiclib.errors import MosaicError, choice, number, whole_number
from mosaiclib.layout.sizes import TileSizes

WAYS = ("by eye", "spacer stick", "marks", "both ends held")
EXACT = 1e-9  # [mm] rounding of the arithmetic, far below any calliper


@dataclass(frozen=True)
class JointKind:
    """What to expect of the joints that come about in one way.

    Parameters
    ----------
    name : str
        "by eye", "spacer", "before a mark" or "equal share".
    count : int
        Such joints in the row [1].
    mean, sd : float
        Expected width and its standard deviation from row to row [mm].
    free : int
        How many of them vary independently; the equal shares of a row are all one width [1].
    """

    name: str
    count: int
    mean: float
    sd: float
    free: int

    def chance_under(self, limit: float) -> float:
        """Return the chance that one joint is narrower than `limit` [mm]."""
        limit = number(limit, "least joint", "mm", least=0)
        if self.sd == 0:
            return float(self.mean < limit - EXACT)
        return math.erfc((self.mean - limit) / (self.sd * math.sqrt(2))) / 2


@dataclass(frozen=True, eq=False)
class Outlook:
    """What to expect of a row, before a tile is laid.

    Parameters
    ----------
    way : str
        One of `WAYS`.
    tiles : int
        Tiles in the row [1].
    span : float
        Nominal length of the row, n nominal + (n - 1) joint [mm].
    kinds : tuple of JointKind
        Joints by how they come about; empty for one tile.
    drift_mean, drift_sd : ndarray of float, shape (tiles,)
        How far the far edge of each tile is past its nominal place: mean and standard deviation [mm].
    limit : float
        Least joint that is wanted [mm].
    chance_under : float
        Chance that the narrowest joint of the row is under the limit, 0 to 1.
    """

    way: str
    tiles: int
    span: float
    kinds: tuple[JointKind, ...]
    drift_mean: np.ndarray
    drift_sd: np.ndarray
    limit: float
    chance_under: float

    @property
    def joint_mean(self) -> float:
        """Expected width of a joint taken from the row at random [mm]."""
        return sum(kind.count * kind.mean for kind in self.kinds) / self._joints

    @property
    def joint_sd(self) -> float:
        """Standard deviation of a joint taken from such rows at random, all kinds together [mm]."""
        mean = self.joint_mean
        parts = (kind.count * (kind.sd**2 + (kind.mean - mean) ** 2) for kind in self.kinds)
        return math.sqrt(sum(parts) / self._joints)

    @property
    def _joints(self) -> int:
        if self.tiles == 1:
            raise MosaicError("A row of one tile has no joint.")
        return self.tiles - 1


@dataclass(frozen=True)
class Row:
    """Checked settings of a row; bias = mean size - nominal, eye = sd of a joint by eye [mm]."""

    way: str
    tiles: int
    nominal: float
    joint: float
    bias: float
    sd: float
    eye: float
    every: int


def checked_row(
    way: object, tiles: object, nominal: object, sizes: object, joint: object, eye_sd: object, every: object
) -> Row:
    """Check the settings of a row."""
    way = choice(way, "way of spacing", WAYS)
    tiles = whole_number(tiles, "number of tiles in the row", least=1, greatest=10_000)
    nominal = number(nominal, "nominal tile size", "mm", above=0, greatest=1000)
    joint = number(joint, "joint", "mm", above=0, greatest=100)
    if not isinstance(sizes, TileSizes):
        raise MosaicError(f"The sizes must be TileSizes(mean, sd), not {sizes!r}.")
    if abs(sizes.mean - nominal) > nominal / 4:
        raise MosaicError(
            f"The mean tile of {sizes.mean:.4g} mm is more than a quarter off the nominal {nominal:.4g} mm; "
            "check the units."
        )
    if eye_sd is not None or way == "by eye":
        eye_sd = number(eye_sd, "standard deviation of a joint set by eye", "mm", least=0, greatest=joint)
    if every is not None or way == "marks":
        every = whole_number(every, "number of tiles between marks", least=1, greatest=10_000)
    return Row(way, tiles, nominal, joint, sizes.mean - nominal, sizes.sd, eye_sd or 0.0, every or 1)


def _kinds(row: Row) -> tuple[JointKind, ...]:
    """Return what to expect of the joints of a row, by how they come about."""
    joints = row.tiles - 1
    if row.way == "by eye":
        kinds = [JointKind("by eye", joints, row.joint, row.eye, joints)]
    elif row.way == "spacer stick":
        kinds = [JointKind("spacer", joints, row.joint, 0.0, joints)]
    elif row.way == "marks":
        marks = joints // row.every  # the joint before the next mark takes what the group leaves
        mean, sd = row.joint - row.every * row.bias, row.sd * math.sqrt(row.every)
        inside = joints - marks
        kinds = [
            JointKind("spacer", inside, row.joint, 0.0, inside),
            JointKind("before a mark", marks, mean, sd, marks),
        ]
    else:
        share = row.tiles / max(joints, 1)
        mean, sd = row.joint - row.bias * share, row.sd * share / math.sqrt(row.tiles)
        kinds = [JointKind("equal share", joints, mean, sd, 1)]
    return tuple(kind for kind in kinds if kind.count)


def _drift(row: Row) -> tuple[np.ndarray, np.ndarray]:
    """Return mean and standard deviation of the drift of each tile's far edge [mm]."""
    n, i = row.tiles, np.arange(1, row.tiles + 1)
    if row.way == "marks":
        i = (i - 1) % row.every + 1
    if row.way == "both ends held" and n > 1:
        # tile i keeps its own and earlier errors, less i - 1 shares of the error of all
        wobble = np.sqrt(i * (n - i) ** 2.0 + (n - i) * (i - 1) ** 2.0) / (n - 1)
        return row.bias * (n - i) / (n - 1) + 0.0, row.sd * wobble
    eye = row.eye if row.way == "by eye" else 0.0
    return row.bias * i, np.sqrt(row.sd**2 * i + eye**2 * (i - 1))


def _chance(kinds: Iterable[JointKind], limit: float) -> float:
    """Return the chance that the narrowest of all joints is under the limit."""
    kept = 0.0
    for kind in kinds:
        chance = kind.chance_under(limit)
        if chance >= 1:
            return 1.0
        kept += kind.free * math.log1p(-chance)
    return 0.0 - math.expm1(kept)  # not -0.0 where nothing can happen


def fixed(array: np.ndarray) -> np.ndarray:
    """Return the array, closed to writing."""
    array.flags.writeable = False
    return array


def outlook(
    way: str,
    *,
    tiles: int,
    nominal: float,
    sizes: TileSizes,
    joint: float,
    limit: float,
    eye_sd: float | None = None,
    every: int | None = None,
) -> Outlook:
    """Foretell the joints and the line of a row from the spread of its tiles.

    With s = sd of a tile, b = mean - nominal, n tiles, k between marks, e = sd of a joint by eye:

    - drift of tile i: by eye i b, sqrt(i s^2 + (i - 1) e^2); spacer stick i b, s sqrt(i); marks the same
      with i counted from the last mark; both ends held b (n - i)/(n - 1),
      s sqrt(i (n - i)^2 + (n - i) (i - 1)^2)/(n - 1)
    - joints: by eye joint, e; spacer joint, 0; before a mark joint - k b, s sqrt(k); equal share
      joint - b n/(n - 1), s sqrt(n)/(n - 1)
    - chance that the narrowest is under the limit: 1 - product of (1 - P)^(number that vary freely)

    Parameters
    ----------
    way : str
        One of `WAYS`: "by eye"; "spacer stick" tile by tile; "marks", true ones, a spacer between them
        and what is left in the joint before the next; "both ends held", what is left shared equally.
    tiles : int
        Tiles in the row, 1 to 10,000 [1].
    nominal : float
        Side the tiles are sold under [mm].
    sizes : TileSizes
        What they really are.
    joint : float
        Nominal joint [mm].
    limit : float
        Least joint that is wanted [mm].
    eye_sd : float, optional
        Standard deviation of a joint set by eye; needed by that way [mm].
    every : int, optional
        Tiles from mark to mark; needed by "marks" [1].

    Returns
    -------
    Outlook
        Joints by kind, drift by tile, chance of a narrow joint.

    Raises
    ------
    MosaicError
        If a setting is out of range or the way lacks its own.

    Notes
    -----
    Exact for independent normal sizes and true marks and ends; approximate for real lots (not normal),
    for callipers read on a few tiles, and for eyes that notice a drift and take it back. The familiar
    s sqrt(i (n - i)/n) for held ends is exact for n equal shares (a closed ring); a row has n - 1, so its
    first far edge keeps all of its own error. A mean joint below 0 says that the tiles do not fit.

    Examples
    --------
    >>> row = outlook("spacer stick", tiles=25, nominal=20, sizes=TileSizes(20, 0.2), joint=2, limit=1.5)
    >>> float(row.drift_sd[-1])
    1.0
    >>> row = outlook("both ends held", tiles=25, nominal=20, sizes=TileSizes(20, 0.2), joint=2, limit=1.5)
    >>> round(float(row.drift_sd[12]), 3), round(row.joint_sd, 3)
    (0.5, 0.042)

    References
    ----------
    Error of a sum of independent errors, s sqrt(n), and of a bridge, s sqrt(i (n - i)/n) (from memory);
    the rest is computed here.
    """
    row = checked_row(way, tiles, nominal, sizes, joint, eye_sd, every)
    limit = number(limit, "least joint", "mm", least=0)
    kinds = _kinds(row)
    span = row.tiles * row.nominal + (row.tiles - 1) * row.joint
    drift_mean, drift_sd = (fixed(array) for array in _drift(row))
    return Outlook(row.way, row.tiles, span, kinds, drift_mean, drift_sd, limit, _chance(kinds, limit))
