"""How a bed cures from the joints inwards, what it holds meanwhile, and how long each step of the work waits.

======  ====================================================  ==============
symbol  meaning                                               unit
======  ====================================================  ==============
z       depth to which a front has come in from the joints    mm
k       depth after the first day                             mm/sqrt(day)
t       time since gluing, or since the lamp was lit          h
T, RH   temperature and relative humidity of the air          C, share
e       saturation vapour pressure over water                 kPa
======  ====================================================  ==============
"""

__all__ = [
    "STEPS",
    "Climate",
    "Hold",
    "Progress",
    "Wait",
    "cure_depth",
    "cured_share",
    "drying_rate",
    "front_speed",
    "hold",
    "hours_to_cure",
    "hydration_rate",
    "light_minutes",
    "pot_minutes",
    "progress",
    "reach",
    "read_pieces",
    "set_hours",
    "share_for",
    "tile_stress",
    "vapour_pressure",
    "waits",
]

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import shapely

from mosaiclib import reference
from mosaiclib.adhesive.choose import CLARITIES, LAMP, Cure, family
from mosaiclib.errors import MosaicError, choice, number, numbers
from mosaiclib.layout.layout import read_shapes
from mosaiclib.units import celsius, text
from mosaiclib.words import Text

DAY = 24.0  # [h]
MOST_HOURS = 24.0 * 3650
T_TABLE, RH_TABLE = 23.0, 0.5  # [C, share] that the table's figures hold for
COLDEST, HOTTEST = 5.0, 40.0  # [C] beyond these the front's law was never tried
GRAVITY = 9.81  # [m/s2]
STEPS = {  # what each wait is called, wherever it is told
    "turn": "Wait before turning",
    "fill": "Wait before filling",
    "handle": "Wait before handling",
    "wash": "Wait until cured through",
}


def vapour_pressure(T):
    """Return the saturation vapour pressure e over water [kPa] at T, 0 to 50 [C].

    e = 0.61121 exp((18.678 - T/234.5) T/(257.14 + T))

    Source: Buck, "New equations for computing vapor pressure and enhancement factor", J. Appl. Meteorol. 20 (1981), with
    the coefficients of 1996; from memory.

    >>> round(float(vapour_pressure(23)), 2)
    2.81
    """
    numbers(T, "temperature", "C", least=0, greatest=50)
    return 0.61121 * np.exp((18.678 - T / 234.5) * T / (257.14 + T))


def front_speed(temperature: float = T_TABLE, humidity: float = RH_TABLE, k: float | None = None) -> float:
    """Return how deep a moisture cure comes in on the first day [mm/sqrt(day)]: k sqrt(RH e(T)/(RH e(T) of the table)).

    `temperature` 5 to 40 [C]; `humidity` over 0 to 1; k is that of 23 C and 50 % humidity, the middle of common practice if
    left out. Depth goes with the root of the vapour's pressure; the cured rubber is taken as equally permeable at all
    temperatures.

    Source: Comyn, Int. J. Adhes. Adhes. 18 (1998): z = sqrt(2 V P p t); from memory, its constants were not found.

    >>> front_speed()
    2.5
    """
    number(temperature, "temperature", "C", least=COLDEST, greatest=HOTTEST)
    number(humidity, "humidity", above=0, greatest=1)
    usual = reference.value("cure", "front of a moisture cure").number if k is None else k
    number(usual, "depth after one day", "mm", above=0, greatest=20)
    vapour = humidity * vapour_pressure(temperature) / (RH_TABLE * vapour_pressure(T_TABLE))
    return float(usual * vapour**0.5)


def cure_depth(hours, temperature: float = T_TABLE, humidity: float = RH_TABLE, k: float | None = None):
    """Return how deep a moisture cure has come in from an open joint after `hours`, a number or an array: k sqrt(t) [mm].

    >>> cure_depth(24.0), cure_depth(96.0)
    (2.5, 5.0)
    """
    t = numbers(hours, "time", "hours", least=0, greatest=MOST_HOURS) / DAY
    return front_speed(temperature, humidity, k) * t**0.5


def cured_share(shapes, hours, temperature: float = T_TABLE, humidity: float = RH_TABLE, k: float | None = None):
    """Return the share of each piece's bed that a moisture cure has reached: 1 - area(piece drawn in by z)/area(piece).

    `shapes`: a polygon or n of them, open to the air along their whole edge [mm]; `hours`: a time or m of them [h]. The
    shares have shape (n, m), with n or m left out for a single piece or time.

    >>> square = shapely.box(0, 0, 20, 20)
    >>> round(cured_share(square, 24.0), 4)  # 1 - (15/20)^2
    0.4375
    """
    pieces = read_pieces(shapes)
    z = np.atleast_1d(cure_depth(hours, temperature, humidity, k))
    cured = _cured(pieces[:, None], z)
    if np.ndim(hours) == 0:
        cured = cured[:, 0]
    if not isinstance(shapes, shapely.Geometry):
        return cured
    return cured[0] if np.ndim(hours) else float(cured[0])


def _soft(pieces, z):
    """Return what a front that came in by z [mm] has not reached of pieces."""
    return shapely.buffer(pieces, -z, quad_segs=4)


def _cured(pieces, z):
    """Return the share of pieces that a front which came in by z [mm] has reached."""
    return 1 - shapely.area(_soft(pieces, z)) / shapely.area(pieces)


def read_pieces(shapes) -> np.ndarray:
    """Return a polygon or n of them [mm] as an array, shape (n,), if each has an inside."""
    pieces = read_shapes([shapes] if isinstance(shapes, shapely.Geometry) else shapes, parts=True)
    if not len(pieces):
        raise MosaicError("There is no piece to look at.")
    if not shapely.is_valid(pieces).all():
        which = int(np.flatnonzero(~shapely.is_valid(pieces))[0]) + 1
        raise MosaicError(f"The edge of piece {which} crosses or touches itself, so it has no inside; draw it anew.")
    if not (shapely.area(pieces) > 0).all():
        raise MosaicError("A piece without area has no bed to cure.")
    return pieces


def reach(shapes) -> np.ndarray:
    """Return the radius of the largest circle in each of n pieces, to 0.01 mm: how far its middle lies from its edge [mm].

    >>> reach(shapely.box(0, 0, 20, 10)).round(2).tolist()
    [5.0]
    """
    return shapely.length(shapely.maximum_inscribed_circle(read_pieces(shapes), tolerance=0.01))


def hours_to_cure(
    shape, share: float = 1.0, temperature: float = T_TABLE, humidity: float = RH_TABLE, k: float | None = None
):
    """Return how long a moisture cure takes to reach a share of a piece's bed, or of each of n: (z/k)^2 days [h].

    z is the depth at which that share is left outside; the innermost point for all of it.

    >>> round(hours_to_cure(shapely.box(0, 0, 20, 20)) / 24, 1)  # (10/2.5)^2 days
    16.0
    """
    number(share, "share", above=0, greatest=1)
    z = _depth_for(read_pieces(shape), share)
    hours = (z / front_speed(temperature, humidity, k)) ** 2 * DAY
    return float(hours[0]) if isinstance(shape, shapely.Geometry) else hours


def _depth_for(pieces: np.ndarray, share: float) -> np.ndarray:
    """Return the depth of the front that has reached `share` of each piece, shape (n,) [mm]."""
    from scipy.optimize.elementwise import find_root  # heavy, and not wanted by every page

    middle = reach(pieces)
    if share == 1:
        return middle

    def lacking(z, which):
        return _cured(pieces[which.astype(int)], z) - share

    ends = np.zeros(len(pieces)), middle + 0.02  # the middle is known to 0.01 mm
    return find_root(lacking, ends, args=(np.arange(len(pieces)),), tolerances={"xatol": 1e-7}).x


@dataclass(frozen=True)
class Wait:
    """A time with its band over the quoted range of speeds [h].

    `floor` is what practice holds it to, at least, 0 where nothing does; `model` the usual time of the model alone, once it
    is held; `why` says what else it waits for.
    """

    least: float
    usual: float
    most: float
    floor: float = 0.0
    model: float | None = None
    why: str = ""

    @property
    def band(self) -> tuple[float, float, float]:
        """Least, usual and most [h]."""
        return self.least, self.usual, self.most

    def times(self, factor: float) -> "Wait":
        """Return so many times the wait, or a share of it."""
        return Wait(*(hours * factor for hours in self.band))

    def held(self, floor: float) -> "Wait":
        """Return the wait no shorter than a floor [h], over its whole band."""
        least, usual, most = (max(hours, floor) for hours in self.band)
        return Wait(least, usual, most, floor, self.usual, self.why)


def light_minutes(thickness: float, passed: float, minutes: float | None = None) -> float:
    """Return how long a lamp takes through glass that absorbs [min]: the dose is the same, so time goes with 1/passed.

    minutes/passed^thickness: `minutes` under 4 mm of clear glass, the table's if left out; `thickness` of the glass between
    lamp and bed [mm]; `passed`, the share of the lamp's light that one millimetre lets through, 0.01 to 1.

    >>> light_minutes(4, 1.0, 2.0), light_minutes(1, 0.5, 2.0)
    (2.0, 4.0)
    """
    number(thickness, "glass thickness", "mm", least=0, greatest=100)
    number(passed, "share of light passed by a millimetre", least=0.01, greatest=1)
    clear = reference.value("cure", "lamp on a light-curing bed").number if minutes is None else minutes
    return number(clear, "time under clear glass", "minutes", above=0, greatest=1e4) / passed**thickness


def pot_minutes(minutes: float, temperature: float) -> float:
    """Return the time that a two-part adhesive takes at a temperature [C], from that at 23 C: half for each 10 K warmer [min].

    A rule of thumb of chemistry, from memory; the manufacturer's instructions take precedence.

    >>> pot_minutes(20, 33), pot_minutes(20, 13)
    (10.0, 40.0)
    """
    number(minutes, "pot life", "minutes", above=0, greatest=1e4)
    number(temperature, "temperature", "C", least=COLDEST, greatest=HOTTEST)
    return minutes * 2 ** ((T_TABLE - temperature) / reference.value("cure", "doubling of a two-part cure").number)


@dataclass(frozen=True)
class Climate:
    """What a bed cures in: temperature 5 to 40 [C], relative humidity over 0 to 1, and the glass [mm] that a lamp shines
    through, each millimetre of which lets `passed` of its light through; that of its clarity in the table if left out.

    `lamp` says whether that light was seen to come through, `sets_in` within how many hours what is mixed sets at 23 C as
    its pack says [h], the table's slow and quick kinds if left out; `porous`: whether one side takes up water.
    """

    temperature: float = T_TABLE
    humidity: float = RH_TABLE
    glass: float = 4.0
    passed: float | None = None
    clarity: str = "transparent"
    lamp: str = "yes"
    sets_in: float | None = None
    porous: bool = False

    def __post_init__(self) -> None:
        choice(self.clarity, "clarity of the tesserae", CLARITIES)
        front_speed(self.temperature, self.humidity), light_minutes(self.glass, self.light)
        choice(self.lamp, "whether the lamp's light comes through", LAMP)
        if self.sets_in is not None:
            number(self.sets_in, "time to set", "hours", least=0.05, greatest=72)

    @property
    def light(self) -> float:
        """Share of a lamp's light that a millimetre of the glass lets through; opaque glass is lit from behind, by the base."""
        if self.passed is not None or self.clarity != "translucent":
            return 1.0 if self.passed is None else self.passed
        return reference.value("backings", "light of a lamp passed by a millimetre of translucent glass").number

    @property
    def dark(self) -> bool:
        """Whether no lamp's light reaches the bed, as far as anybody has seen."""
        return self.lamp != "yes" or (self.porous and self.clarity == "opaque")


Three = tuple[float, float, float]
Steps = dict[str, Wait]


def _three(name: str) -> Three:
    """Return least, usual and greatest of a row of the table."""
    record = reference.value("cure", name)
    return record.band[0], record.number, record.band[1]


def _over(time: float, rate: float) -> float:
    """Return a time at a rate; at none it is never."""
    return time / rate if rate else math.inf


def _last(first: Wait, second: Wait) -> Wait:
    """Return the later of two waits."""
    return Wait(*(max(pair) for pair in zip(first.band, second.band, strict=True)))


def _moisture(climate: Climate) -> Three:
    return tuple(front_speed(climate.temperature, climate.humidity, k) for k in _three("front of a moisture cure"))


def drying_rate(temperature: float, humidity: float) -> float:
    """Return how fast water leaves for air of a temperature [C] and humidity, 1 at 23 C and 50 %: (1 - RH) e(T), over the table's.

    First principles: what dries follows the lack of vapour in the air; none leaves at 100 %.

    >>> drying_rate(23, 0.5), drying_rate(23, 1.0)
    (1.0, 0.0)
    """
    return float((1 - humidity) * vapour_pressure(temperature) / ((1 - RH_TABLE) * vapour_pressure(T_TABLE)))


def _from_open(what: str, rate: float) -> Three:
    """The law of diffusion too, whatever the thickness of the bed: k = 0.8 mm/sqrt(days in which 0.8 mm dry in the open)."""
    bed = reference.value("cure", "bed that dries in the open").number
    return tuple(bed * (rate / days) ** 0.5 for days in reversed(_three(what)))


def _open(what: str, rate: float) -> Steps:
    """Return the waits of a bed that dries through a porous side all over."""
    days = Wait(*(_over(DAY * one, rate) for one in _three(what)))
    return {step: days.times(share_for(step)) for step in STEPS}


WATER, SOLVENT = "open drying of a water-borne bed", "open drying of a bed with solvent"


def _drying(climate: Climate) -> Three:
    return _from_open(WATER, drying_rate(climate.temperature, climate.humidity))


def _open_water(climate: Climate) -> Steps:
    return _open(WATER, drying_rate(climate.temperature, climate.humidity))


def _solvent(climate: Climate) -> Three:
    return _from_open(SOLVENT, 1.0)


def _open_solvent(climate: Climate) -> Steps:
    return _open(SOLVENT, 1.0)


def _lit(climate: Climate) -> Steps:
    """Return the waits under a lamp: never, where nobody has seen its light come through."""
    if climate.dark:
        why = "its lamp's light must come through the glass: try it, with a drop between two pieces of the same glass"
        return dict.fromkeys(STEPS, Wait(math.inf, math.inf, math.inf, why=why))
    minutes = _three("lamp on a light-curing bed")
    return dict.fromkeys(STEPS, Wait(*(light_minutes(climate.glass, climate.light, one) / 60 for one in minutes)))


def _set_lit(climate: Climate) -> Wait:
    return _lit(climate)["turn"]


def _set_resin(climate: Climate) -> Wait:
    typed = climate.sets_in
    hours = (typed, typed, typed) if typed is not None else _three("setting of a clear epoxy")
    return Wait(*hours).times(pot_minutes(1, climate.temperature))


def _mixed(climate: Climate) -> Steps:
    """Return the waits of what is mixed: it is turned when it has set, filled and handled when hard, wet when cured through."""
    soft = _set_resin(climate)
    slower = _three("a two-part resin is hard after")
    if climate.sets_in is None:  # the kinds' own band is wide enough
        slower = (slower[1],) * 3
    hard = Wait(*(one * times for one, times in zip(soft.band, slower, strict=True)))
    full = Wait(*_three("a two-part resin is cured through after")).times(DAY * pot_minutes(1, climate.temperature))
    return {"turn": soft, "fill": hard, "handle": hard, "wash": _last(hard, full)}


def hydration_rate(temperature: float) -> float:
    """Return how fast cement hardens at a temperature [C], 1 at 20 C: exp(13.65 - 4000/(273 + T)).

    Source: EN 1992-1-1:2004, Annex B, (B.10), age of concrete adjusted for temperature; from memory. Humidity plays no part
    while the bed keeps its water.

    >>> round(hydration_rate(20), 2), round(hydration_rate(5), 2)
    (1.0, 0.48)
    """
    return math.exp(13.65 - 4000 / (273 + temperature))


def _set_cement(climate: Climate) -> Wait:
    return _hydrated("setting of a cement bed", climate)


def _hydrated(what: str, climate: Climate) -> Wait:
    return Wait(*_three(what)).times(hydration_rate(T_TABLE) / hydration_rate(climate.temperature))


def _cement(climate: Climate) -> Steps:
    """Return the waits of a cement bed, slower between dense faces, which keep its polymer wet."""
    filling, full = "filling of a cement bed, dense faces", "full strength of a cement bed, dense faces"
    if climate.porous:
        filling, full = "filling of a cement bed, porous side", "full strength of a cement bed, porous side"
    rows = ("setting of a cement bed", filling, "handling of a cement bed", full)
    return {step: _hydrated(row, climate) for step, row in zip(STEPS, rows, strict=True)}


def _gripped(climate: Climate) -> Steps:
    return dict.fromkeys(STEPS, Wait(*(one / 60 for one in _three("grip of what holds at once"))))


@dataclass(frozen=True)
class Law:
    """How a way of curing goes on: a front from the joints with a slow, usual and fast k [mm/sqrt(day)], or `steps` in which
    all of the bed hardens at once, which also holds on a porous side where there are both; `unset`, how long it carries
    nothing; `floor` ends the names of the waits that practice has, `dense` those between two dense faces; `why` says it in
    words."""

    why: str | Text
    front: Callable[[Climate], Three] | None = None
    steps: Callable[[Climate], Steps] | None = None
    unset: Callable[[Climate], Wait] | None = None
    floor: str = ""
    dense: str = ""

    def held_to(self, step: str, climate: Climate) -> float:
        """Return the wait before a step that practice has at least, 0 where it has none [h]."""
        known, names = reference.by_name("cure"), [f"least wait to {step}{self.floor}"]
        if self.dense and not climate.porous:
            names.insert(0, f"least wait to {step}{self.dense}")
        return next((known[name].number for name in names if name in known), 0.0)

    def by_front(self, climate: Climate) -> bool:
        """Whether it goes in from the joints."""
        return self.front is not None and not (self.steps and climate.porous)


LAWS = {
    Cure.MOISTURE: Law(
        "moisture comes in by the joints (what a porous base brings is left out): the depth goes with the square root of "
        "time, so the middle of the largest piece is last, and half the tile takes a quarter of the time; dry and cold air slows it",
        _moisture,
    ),
    Cure.DRYING: Law(
        "its water must leave: between two sheets of glass by the joints, through the bed itself, which takes weeks to "
        "months; through a porous side in a day or two; damp and cold air slows it, and air at 100 % takes up nothing",
        _drying,
        _open_water,
    ),
    Cure.SOLVENT: Law(
        "its solvent must leave: between two sheets of glass by the joints, through the bed itself, which takes weeks to "
        "months; how much warmth hastens it was not found, so it is left out",
        _solvent,
        _open_solvent,
    ),
    Cure.CEMENT: Law(
        "cement sets with its own water, slower when cold and whatever the humidity; between two sides that take up no water its polymer "
        "stays wet, so it is filled after days and has its full strength after weeks",
        steps=_cement,
        unset=_set_cement,
        dense=", cement between dense faces",
    ),
    Cure.LIGHT: Law(
        "it hardens where its lamp reaches, counted from when the lamp is lit; coloured glass takes part of that light or "
        "all of it, and under opaque tiles it must shine from behind",
        steps=_lit,
        unset=_set_lit,
        floor=", by lamp",
    ),
    Cure.MIXING: Law(
        text(
            "it hardens all through at once, twice as fast for each ",
            celsius(10, difference=True),
            " warmer; until it has set it "
            "is liquid: quick kinds for minutes, slow ones for a day and a half; hard to the hand comes later, cured through after days",
        ),
        steps=_mixed,
        unset=_set_resin,
    ),
    Cure.GRIP: Law(
        "it grips within minutes, which is no bond to glass yet; the waits are those of practice", steps=_gripped
    ),
}


def set_hours(name: str, climate: Climate) -> Wait | None:
    """Return how long a family that sets carries nothing of its own [h]; None where none sets.

    >>> set_hours("two-part clear epoxy", Climate()).most, set_hours("acetoxy silicone", Climate())
    (36.0, None)
    """
    unset = LAWS[family(name).cures_by].unset
    return unset(climate) if unset else None


@dataclass(frozen=True, eq=False)
class Progress:
    """How far n pieces have cured: the share of each bed, shape (n,), and its soft core, shape (n,) [mm], empty where there
    is none, or where no front goes in."""

    share: np.ndarray
    cores: np.ndarray


def progress(name: str, shapes, hours: float, climate: Climate) -> Progress:
    """Return how far a family has cured under n pieces [mm] some hours after gluing, or after the lamp was lit.

    >>> progress("neutral-cure silicone", [shapely.box(0, 0, 20, 20)], 24.0, Climate()).share.round(4).tolist()
    [0.4375]
    """
    pieces, law = read_pieces(shapes), LAWS[family(name).cures_by]
    number(hours, "time", "hours", least=0, greatest=MOST_HOURS)
    if not law.by_front(climate):
        share = min(1.0, hours / law.steps(climate)["wash"].usual)
        return Progress(np.full(len(pieces), share), np.full(len(pieces), shapely.Polygon(), dtype=object))
    k = law.front(climate)[1]
    if not k:  # what cannot dry stays as it is
        return Progress(np.zeros(len(pieces)), pieces)
    return Progress(cured_share(pieces, hours, k=k), _soft(pieces, cure_depth(hours, k=k)))


def waits(name: str, shapes, climate: Climate) -> Steps:
    """Return how long each of `STEPS` waits for the slowest of n pieces [h], never less than practice has it.

    >>> found = waits("neutral-cure silicone", [shapely.box(0, 0, 20, 20)], Climate())
    >>> round(found["wash"].usual / 24, 1)
    16.0
    """
    one, pieces = family(name), read_pieces(shapes)
    law = LAWS[one.cures_by]
    model = _front_waits(pieces, law.front(climate)) if law.by_front(climate) else law.steps(climate)
    floor, held = 0.0, {}
    for step, alone in model.items():  # a later step is held as long as an earlier one
        floor = max(floor, law.held_to(step, climate))
        held[step] = alone.held(floor)
        if math.isinf(alone.usual) and not alone.why:
            held[step] = replace(held[step], why="air at 100 % humidity takes up no water")
    if one.word("beside cement filler") == "care":
        why = "only once it has cured through and aired: its acid eats into cement filler"
        held["fill"] = replace(held["wash"], why=why)
    elif one.cures_by == Cure.DRYING and one.word("water") == "bad" and math.isfinite(held["wash"].usual):
        held["fill"] = replace(held["wash"], why="only once all of it is dry: wet filler softens what is still milky")
    return held


def _front_waits(pieces: np.ndarray, speeds: Three) -> Steps:
    """Return the waits of what a front cures; they go with 1/k^2."""
    slow, usual, fast = speeds
    alone = {step: float(np.max(hours_to_cure(pieces, share_for(step), k=1.0))) for step in STEPS}
    return {step: Wait(*(_over(hours, k**2) for k in (fast, usual, slow))) for step, hours in alone.items()}


def share_for(step: str) -> float:
    """Return the share of the slowest bed that should be cured before a step; an assumption that agrees with practice.

    >>> share_for("turn"), share_for("wash")
    (0.1, 1.0)
    """
    return reference.value("cure", f"share to {choice(step, 'step', STEPS)}").number


def tile_stress(thickness: float, density: float | None = None) -> float:
    """Return the shear under a tile on an upright face, whatever its size: density x g x thickness [Pa].

    `thickness` of the tile [mm]; `density` of the glass [kg/m3], the table's if left out.

    >>> round(tile_stress(4, 2500), 1)  # 2500 x 9.81 x 0.004
    98.1
    """
    number(thickness, "tile thickness", "mm", above=0, greatest=100)
    usual = reference.value("cure", "density of glass").number if density is None else density
    return number(usual, "density", "kg/m3", above=0, greatest=25_000) * GRAVITY * thickness / 1000


@dataclass(frozen=True)
class Hold:
    """What a bed can hold against the weight of its tile: shear from the weight, and what the bed bears now [Pa]."""

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

    `thickness` of the tile [mm]; `cured` share of the bed; `coverage`, the share of the back with adhesive; `fresh` yield of
    the paste [Pa] and `strength` of the cured bed [MPa] are assumptions, the table's if left out.

    >>> hold(4, 0.0, fresh=200).words, hold(4, 0.1).times > 100
    ('it holds its tile', True)
    """
    number(cured, "cured share", least=0, greatest=1), number(coverage, "coverage", above=0, greatest=1)
    paste = reference.value("cure", "yield of a fresh bed").number if fresh is None else fresh
    solid = reference.value("cure", "strength of a cured bed").number if strength is None else strength
    number(paste, "yield of the fresh bed", "Pa", least=0, greatest=1e5)
    number(solid, "strength of the cured bed", "MPa", above=0, greatest=100)
    return Hold(tile_stress(thickness), coverage * (paste * (1 - cured) + solid * 1e6 * cured))
