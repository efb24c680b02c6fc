"""Real tiles are not equal: how their sizes spread, and what each way of spacing makes of a row of them."""

__all__ = [
    "WAYS",
    "Face",
    "JointKind",
    "Outlook",
    "Simulated",
    "TileSizes",
    "expected_range_factor",
    "lengths",
    "outlook",
    "simulate",
    "simulate_face",
]

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from mosaiclib.errors import MosaicError, choice, number, whole_number


def lengths(values: Iterable[float], name: str, fewest: int = 1, *, above: float | None = None) -> np.ndarray:
    """Return readings as a checked array [mm], or say in a sentence which of them cannot be used.

    Parameters
    ----------
    values : iterable of float
        What was measured [mm].
    name : str
        What one of them is called.
    fewest : int
        How many there must be.
    above : float, optional
        A limit that is not allowed itself [mm]; without it 0 is the least.

    Returns
    -------
    ndarray of float, shape (n,)
        The readings [mm].

    Raises
    ------
    MosaicError
        If they are no list of numbers, too few or out of range.

    Examples
    --------
    >>> lengths([2, 2.1], "joint")
    array([2. , 2.1])
    """
    if isinstance(values, str | bytes) or not isinstance(values, Iterable):
        raise MosaicError(f"The readings of the {name} must be a list of numbers, not {values!r}.")
    limits = {"greatest": 1000} | ({"least": 0} if above is None else {"above": above})
    found = [number(one, f"{name}, reading {place},", "mm", **limits) for place, one in enumerate(values, 1)]
    if len(found) < fewest:
        least = f"{fewest} reading{'s' * (fewest > 1)}"
        raise MosaicError(f"At least {least} of the {name} must be given; there are {len(found)}.")
    return np.array(found)


@lru_cache(maxsize=256)
def _range_factor(count: int) -> float:
    """Integrate the expected range; the trapezium rule is all but exact for so smooth a bell."""
    x = np.linspace(-9.0, 9.0, 721)
    below = np.array([math.erfc(-one / math.sqrt(2)) / 2 for one in x])
    return float(np.sum(1 - below**count - below[::-1] ** count) * (x[1] - x[0]))


def expected_range_factor(count: int) -> float:
    """Return the expected range of normal readings, in standard deviations.

    d2 = integral of 1 - P(x)^n - (1 - P(x))^n over all x, P the normal distribution function

    Parameters
    ----------
    count : int
        How many are measured, 2 to 10,000 [1].

    Returns
    -------
    float
        Expected greatest minus least, over the standard deviation [1].

    Raises
    ------
    MosaicError
        If the count is out of range.

    Notes
    -----
    It grows with the count: a larger sample shows a larger range of the same tiles.

    Examples
    --------
    >>> round(expected_range_factor(10), 3)
    3.078

    References
    ----------
    ASTM control-chart tables, d2 (read); the integral is computed.
    """
    return _range_factor(whole_number(count, "number of readings", least=2, greatest=10_000))


@dataclass(frozen=True)
class TileSizes:
    """Sizes of the tiles of one lot, taken as normal.

    Parameters
    ----------
    mean, sd : float
        Mean side and its standard deviation, at most a sixth of the mean [mm].
    count : int
        How many tiles were measured; 0 where mean and sd are assumed [1].
    least, greatest : float, optional
        Smallest and largest of the measured tiles [mm].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Notes
    -----
    Real lots are often not normal (two batches in one bag), and the spread of the calliper's own
    readings is counted as the tiles'.

    Examples
    --------
    >>> sizes = TileSizes.measured([19.8, 20.0, 20.1, 20.3])
    >>> round(sizes.mean, 2), round(sizes.sd, 2), sizes.count, round(sizes.variation, 2)
    (20.05, 0.21, 4, 0.5)
    """

    mean: float
    sd: float
    count: int = 0
    least: float | None = None
    greatest: float | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "mean", number(self.mean, "mean tile size", "mm", above=0, greatest=1000))
        sd = number(self.sd, "standard deviation of the tile size", "mm", least=0)
        if sd > self.mean / 6:
            raise MosaicError(
                f"A standard deviation of {sd:.3g} mm on a mean of {self.mean:.4g} mm is more than a sixth: "
                "look for a slip in a reading."
            )
        object.__setattr__(self, "sd", sd)
        object.__setattr__(self, "count", whole_number(self.count, "number of tiles measured"))
        if self.least is not None and self.greatest is not None:
            least = number(self.least, "smallest tile", "mm", above=0, greatest=self.mean)
            greatest = number(self.greatest, "largest tile", "mm", least=self.mean, greatest=1000)
            object.__setattr__(self, "least", least)
            object.__setattr__(self, "greatest", greatest)

    @classmethod
    def measured(cls, readings: Iterable[float]) -> "TileSizes":
        """Return the sizes from calliper readings, two or more, one a tile [mm]; sd with n - 1."""
        found = lengths(readings, "tile size", 2, above=0)
        return cls(float(found.mean()), float(found.std(ddof=1)), len(found), float(found.min()), float(found.max()))

    @property
    def variation(self) -> float:
        """Largest minus smallest of the measured tiles [mm]; a MosaicError if none were measured."""
        if self.least is None or self.greatest is None:
            raise MosaicError("These sizes were not measured, so they have no variation; see expected_range.")
        return self.greatest - self.least

    def expected_range(self, count: int = 10) -> float:
        """Return the variation to expect among `count` tiles, d2 sd [mm]."""
        return expected_range_factor(count) * self.sd

    @property
    def sd_error(self) -> float:
        """Standard error of sd, nearly: sd/sqrt(2 (n - 1)) [mm]; 0 where it is assumed."""
        return self.sd / math.sqrt(2 * (self.count - 1)) if self.count > 1 else 0.0

    @property
    def sentence(self) -> str:
        """Say in a sentence what is known of the tiles."""
        known = f"mean {self.mean:.2f} mm, standard deviation {self.sd:.2f} mm"
        if self.count < 2 or self.least is None:
            return f"Assumed, not measured: {known}."
        return (
            f"{self.count} tiles measured: {known}, from {self.least:.2f} to {self.greatest:.2f} mm, "
            f"a variation of {self.variation:.2f} mm."
        )


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
