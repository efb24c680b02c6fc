"""Real tiles are not equal: how their sizes spread, and what each way of spacing makes of a row of them.

| symbol | here | meaning |
|---|---|---|
| n, i | tiles, place from 1 | tiles of a row |
| k | every | tiles from mark to mark |
| b | bias | mean size less nominal size [mm] |
| s, e | sd, eye | standard deviation of a tile, and of a joint set by eye [mm] |
| j | joint | nominal joint [mm] |
"""

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
    "simulate_face",
]

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from mosaiclib.errors import MosaicError, choice, number, whole_number
from mosaiclib.units import mm, text
from mosaiclib.words import Text

WAYS = ("by eye", "spacer stick", "marks", "both ends held")
EXACT = 1e-9  # [mm] rounding of the arithmetic, far below any calliper
MOST_DRAWN = 5_000_000  # tiles in one simulation: 40 MB an array
BELL = np.linspace(-9.0, 9.0, 721)  # standard deviations
BELOW = np.array([math.erfc(-x / math.sqrt(2)) / 2 for x in BELL])  # P(x), the normal distribution


def lengths(values: Iterable[float], name: str, fewest: int = 1, *, above: float | None = None) -> np.ndarray:
    """Return at least `fewest` readings as an array [mm], each above 0 or another limit, or 0 without one.

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


def expected_range_factor(count: int) -> float:
    """Return d2, the expected range of `count` normal readings (2 to 10,000) in standard deviations.

    d2 = integral of 1 - P(x)^n - (1 - P(x))^n over all x, P the normal distribution function; it grows with n: a
    larger sample shows a larger range of the same tiles.

    Examples
    --------
    >>> round(expected_range_factor(10), 3)
    3.078

    References
    ----------
    ASTM control-chart tables, d2 (read); the integral is computed, and the trapezium rule all but exact for so
    smooth a bell.
    """
    n = whole_number(count, "number of readings", least=2, greatest=10_000)
    return float(np.sum(1 - BELOW**n - BELOW[::-1] ** n) * (BELL[1] - BELL[0]))


@dataclass(frozen=True)
class TileSizes:
    """Sizes of the tiles of one batch, taken as normal: mean and sd, at most a sixth of it [mm].

    `count` tiles were measured, 0 where mean and sd are assumed; `least` and `greatest` are the smallest and largest
    of them [mm]. Real batches are often not normal (two in one bag), and the spread of the calliper's own readings
    is counted as the tiles'.

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
        mean = number(self.mean, "mean tile size", "mm", above=0, greatest=1000)
        sd = number(self.sd, "standard deviation of the tile size", "mm", least=0)
        if sd > mean / 6:
            raise MosaicError(
                *("A standard deviation of ", mm(sd), " on a mean of ", mm(mean), " is more than a sixth: "),
                "look for a slip in a reading.",
            )
        whole_number(self.count, "number of tiles measured")
        if self.least is not None and self.greatest is not None:
            number(self.least, "smallest tile", "mm", above=0, greatest=mean)
            number(self.greatest, "largest tile", "mm", least=mean, greatest=1000)

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
    def sentence(self) -> Text:
        """What is known of the tiles, in a sentence."""
        known = text("mean ", mm(self.mean), ", standard deviation ", mm(self.sd))
        if self.count < 2 or self.least is None:
            return text("Assumed, not measured: ", known, ".")
        ends, varied = mm(self.least, self.greatest), mm(self.variation)
        return text(f"{self.count} tiles measured: ", known, ", from ", ends, ", a variation of ", varied, ".")


@dataclass(frozen=True)
class JointKind:
    """`count` joints of a row that come about in one way: expected width and its standard deviation [mm].

    The name is "by eye", "spacer", "before a mark" or "equal share"; `free` of them vary independently (the equal
    shares of a row are all one width).
    """

    name: str
    count: int
    mean: float
    sd: float
    free: int

    def chance_under(self, limit: float) -> float:
        """Return the chance that one joint is narrower than `limit` [mm]."""
        if self.sd == 0:
            return float(self.mean < limit - EXACT)
        return math.erfc((self.mean - limit) / (self.sd * math.sqrt(2))) / 2


@dataclass(frozen=True, eq=False)
class Outlook:
    """What to expect of a row before a tile is laid.

    Nominal length `span` [mm]; joints by kind, none for one tile; mean and standard deviation of how far the far edge
    of each tile is past its nominal place, arrays (tiles,) [mm]; the least joint wanted [mm] and the chance, 0 to 1,
    that the row's narrowest is under it.
    """

    way: str
    tiles: int
    span: float
    kinds: tuple[JointKind, ...]
    drift_mean: np.ndarray
    drift_sd: np.ndarray
    limit: float
    chance_under: float


@dataclass(frozen=True)
class _Row:
    """Checked settings of a row, in the module's symbols [mm]."""

    way: str
    tiles: int
    nominal: float
    joint: float
    bias: float
    sd: float
    eye: float
    every: int


def _row(way: str, tiles: int, nominal: float, sizes: TileSizes, joint: float, eye_sd, every) -> _Row:
    """Check the settings of a row; by eye needs `eye_sd`, marks need `every`."""
    choice(way, "way of spacing", WAYS)
    n = whole_number(tiles, "number of tiles in the row", least=1, greatest=10_000)
    side = number(nominal, "nominal tile size", "mm", above=0, greatest=1000)
    j = number(joint, "joint", "mm", above=0, greatest=100)
    if not isinstance(sizes, TileSizes):
        raise MosaicError(f"The sizes must be TileSizes(mean, sd), not {sizes!r}.")
    if abs(sizes.mean - side) > side / 4:
        raise MosaicError(
            *("The mean tile of ", mm(sizes.mean), " is more than a quarter off the nominal ", mm(side)),
            "; check the units.",
        )
    if eye_sd is not None or way == "by eye":
        eye_sd = number(eye_sd, "standard deviation of a joint set by eye", "mm", least=0, greatest=j)
    if every is not None or way == "marks":
        every = whole_number(every, "number of tiles between marks", least=1, greatest=10_000)
    return _Row(way, n, side, j, sizes.mean - side, sizes.sd, eye_sd or 0.0, every or 1)


def _kinds(row: _Row) -> tuple[JointKind, ...]:
    """Return what to expect of the joints of a row, by how they come about."""
    n, j, k, b, s = row.tiles, row.joint, row.every, row.bias, row.sd
    joints = n - 1
    if row.way == "by eye":
        kinds = [JointKind("by eye", joints, j, row.eye, joints)]
    elif row.way == "spacer stick":
        kinds = [JointKind("spacer", joints, j, 0.0, joints)]
    elif row.way == "marks":  # the joint before the next mark takes what the group leaves
        marks = joints // k
        kinds = [
            JointKind("spacer", joints - marks, j, 0.0, joints - marks),
            JointKind("before a mark", marks, j - k * b, s * math.sqrt(k), marks),
        ]
    else:
        share = n / max(joints, 1)
        kinds = [JointKind("equal share", joints, j - b * share, s * share / math.sqrt(n), 1)]
    return tuple(kind for kind in kinds if kind.count)


def _drift(row: _Row) -> tuple[np.ndarray, np.ndarray]:
    """Return mean and standard deviation of the drift of each tile's far edge [mm]."""
    n, b, s, i = row.tiles, row.bias, row.sd, np.arange(1, row.tiles + 1)
    if row.way == "marks":
        i = (i - 1) % row.every + 1
    if row.way == "both ends held" and n > 1:
        # tile i keeps its own and earlier errors, less i - 1 shares of the error of all
        return b * (n - i) / (n - 1) + 0.0, s * np.sqrt(i * (n - i) ** 2.0 + (n - i) * (i - 1) ** 2.0) / (n - 1)
    e = row.eye if row.way == "by eye" else 0.0
    return b * i, np.sqrt(s**2 * i + e**2 * (i - 1))


def _chance(kinds: Iterable[JointKind], limit: float) -> float:
    """Return the chance that the narrowest of all joints is under the limit."""
    kept = 0.0
    for kind in kinds:
        chance = kind.chance_under(limit)
        if chance >= 1:
            return 1.0
        kept += kind.free * math.log1p(-chance)
    return 0.0 - math.expm1(kept)  # not -0.0 where nothing can happen


def _fixed(array: np.ndarray) -> np.ndarray:
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

    - drift of tile i: by eye i b, sqrt(i s^2 + (i - 1) e^2); spacer stick i b, s sqrt(i); marks the same
      with i counted from the last mark; both ends held b (n - i)/(n - 1),
      s sqrt(i (n - i)^2 + (n - i) (i - 1)^2)/(n - 1)
    - joints: by eye j, e; spacer j, 0; before a mark j - k b, s sqrt(k); equal share
      j - b n/(n - 1), s sqrt(n)/(n - 1)
    - chance that the narrowest is under the limit: 1 - product of (1 - P)^(number that vary freely)

    Parameters
    ----------
    way : str
        One of `WAYS`: "by eye"; "spacer stick" tile by tile; "marks", true ones, a spacer between them
        and what is left in the joint before the next; "both ends held", what is left shared equally.
    tiles : int
        Tiles in the row, 1 to 10,000.
    nominal : float
        Side the tiles are sold under [mm].
    sizes : TileSizes
        What they really are.
    joint, limit : float
        Nominal joint, and the least that is wanted [mm].
    eye_sd : float, optional
        Standard deviation of a joint set by eye; needed by that way [mm].
    every : int, optional
        Tiles from mark to mark; needed by "marks".

    Returns
    -------
    Outlook
        Joints by kind, drift by tile, chance of a narrow joint.

    Notes
    -----
    Exact for independent normal sizes and true marks and ends; approximate for real batches (not normal),
    for callipers read on a few tiles, and for eyes that notice a drift and take it back. The familiar
    s sqrt(i (n - i)/n) for held ends is exact for n equal shares (a closed ring); a row has n - 1, so its
    first far edge keeps all of its own error. A mean joint below 0 says that the tiles do not fit.

    Examples
    --------
    >>> row = outlook("both ends held", tiles=25, nominal=20, sizes=TileSizes(20, 0.2), joint=2, limit=1.5)
    >>> round(float(row.drift_sd[12]), 3), round(row.kinds[0].sd, 3)
    (0.5, 0.042)

    References
    ----------
    Error of a sum of independent errors, s sqrt(n), and of a bridge, s sqrt(i (n - i)/n) (from memory);
    the rest is computed here.
    """
    row = _row(way, tiles, nominal, sizes, joint, eye_sd, every)
    least = number(limit, "least joint", "mm", least=0)
    kinds = _kinds(row)
    span = row.tiles * row.nominal + (row.tiles - 1) * row.joint
    mean, sd = (_fixed(array) for array in _drift(row))
    return Outlook(row.way, row.tiles, span, kinds, mean, sd, least, _chance(kinds, least))


@dataclass(frozen=True, eq=False)
class Simulated:
    """Rows of drawn tiles: sizes and near edges, (rows, tiles), and joints, (rows, tiles - 1) [mm].

    Near edges are counted from that of the first tile. A negative joint says that the tile does not fit there.
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


@dataclass(frozen=True, eq=False)
class Face:
    """A face of drawn tiles: lower left corners and sides, arrays (rows * columns,) [mm], and its rows `across`.

    Lowest row first, left to right in each; corners are counted from that of the nominal face, y upwards.
    """

    x: np.ndarray
    y: np.ndarray
    width: np.ndarray
    height: np.ndarray
    across: Simulated


def _gaps(row: _Row, errors: np.ndarray, random: np.random.Generator) -> np.ndarray:
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


def _laid(row: _Row, errors: np.ndarray, random: np.random.Generator) -> Simulated:
    """Lay the drawn tiles; worked in errors, so that equal tiles give the joint to the last digit."""
    gaps = _gaps(row, errors, random)
    starts = np.zeros_like(errors)
    np.cumsum(errors[:, :-1] + gaps, axis=1, out=starts[:, 1:])
    starts += np.arange(row.tiles) * (row.nominal + row.joint)
    return Simulated(row.nominal, row.joint, _fixed(row.nominal + errors), _fixed(row.joint + gaps), _fixed(starts))


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
    """Lay a face of at most 5,000,000 drawn tiles, each row spaced by one way; settings as for `outlook` [mm].

    y of tile = row (nominal + joint) + (nominal - height)/2: rows at their true pitch, tiles centred. The same seed
    draws the same tiles, whatever the way. Width and height of a tile are drawn apart; real tiles are often long both
    ways together. Nothing is clamped: tiles that do not fit overlap in the result.

    >>> face = simulate_face(3, 2, "spacer stick", nominal=20, sizes=TileSizes(20, 0), joint=2)
    >>> face.x.tolist(), face.y.tolist()
    ([0.0, 22.0, 44.0, 0.0, 22.0, 44.0], [0.0, 0.0, 0.0, 22.0, 22.0, 22.0])
    """
    row = _row(way, columns, nominal, sizes, joint, eye_sd, every)
    rows = whole_number(rows, "number of rows", least=1)
    if rows * row.tiles > MOST_DRAWN:
        raise MosaicError(f"{rows} rows of {row.tiles} tiles are more than {MOST_DRAWN} tiles; take fewer rows.")
    random = np.random.default_rng(whole_number(seed, "seed", greatest=2**53))
    widths, off = row.bias + row.sd * random.standard_normal((2, rows, row.tiles))  # before the eye draws anything
    across, heights = _laid(row, widths, random), row.nominal + off
    y = np.arange(rows)[:, None] * (row.nominal + row.joint) + (row.nominal - heights) / 2
    return Face(*(_fixed(array.ravel()) for array in (across.starts, y, across.sizes, heights)), across)
