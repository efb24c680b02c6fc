"""How much filler a piece takes and what a batch is mixed from."""

__all__ = [
    "Ingredient",
    "Mix",
    "Recipe",
    "batches",
    "bead_volume",
    "grid_volume",
    "joint_volume",
    "mix",
    "recipe",
    "usual_grid_volume",
    "wipe_minutes",
]

import math
from dataclasses import dataclass

from mosaiclib import reference
from mosaiclib.errors import MosaicError, choice, instance, number
from mosaiclib.filler.kinds import KINDS, MOST_POLYMER, USUAL_POLYMER, kind_of, sand_for
from mosaiclib.layout.layout import Layout

LITRE = 1e6  # [mm3]


@dataclass(frozen=True)
class Mix:
    """Powder for a volume of mixed cement filler, as least, middle and greatest of what is usual.

    Parameters
    ----------
    volume : float
        Mixed filler [mL].
    powder : tuple of float
        Dry powder, least, middle and greatest [g].
    """

    volume: float
    powder: tuple[float, float, float]


def grid_volume(width: float, height: float, joint: float, depth: float) -> float:
    """Return the filler that a straight grid takes for each square metre, exactly.

    V = t j (L + W + j)/((L + j)(W + j)).

    Parameters
    ----------
    width, height : float
        Tile sides L and W [mm].
    joint : float
        Joint j [mm].
    depth : float
        Depth of the joint t [mm].

    Returns
    -------
    float
        Volume [L/m2].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Notes
    -----
    Full depth, upright tile edges, endless grid, no waste.

    Examples
    --------
    >>> round(grid_volume(20, 20, 2, 4), 3)
    0.694
    """
    across = number(width, "tile width", "mm", above=0, greatest=1e5)
    down = number(height, "tile height", "mm", above=0, greatest=1e5)
    gap = number(joint, "joint", "mm", least=0, greatest=1e5)
    deep = number(depth, "joint depth", "mm", above=0, greatest=1e5)
    return deep * gap * (across + down + gap) / ((across + gap) * (down + gap))


def usual_grid_volume(width: float, height: float, joint: float, depth: float) -> float:
    """Return the usual estimate of the same, which is too high for small tiles.

    V = t j (L + W)/(L W): it divides by the tile's area instead of the cell's.

    Parameters
    ----------
    width, height, joint, depth : float
        As for `grid_volume` [mm].

    Returns
    -------
    float
        Volume [L/m2].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Examples
    --------
    >>> round(usual_grid_volume(20, 20, 2, 4), 3)
    0.8
    """
    across = number(width, "tile width", "mm", above=0, greatest=1e5)
    down = number(height, "tile height", "mm", above=0, greatest=1e5)
    gap = number(joint, "joint", "mm", least=0, greatest=1e5)
    deep = number(depth, "joint depth", "mm", above=0, greatest=1e5)
    return deep * gap * (across + down) / (across * down)


def joint_volume(layout: Layout, bed: float = 0.0) -> float:
    """Return the filler that a layout's joints and clear edges take.

    (outline - pieces) x (tile thickness + bed), and what sloping tile edges leave at the back.

    Parameters
    ----------
    layout : Layout
        The pieces.
    bed : float
        Thickness of the adhesive, which lies under the pieces only [mm].

    Returns
    -------
    float
        Volume [mL].

    Raises
    ------
    MosaicError
        If the bed is negative.

    Examples
    --------
    >>> import shapely
    >>> from mosaiclib.layout import Tile, lay_grid
    >>> square = shapely.box(0, 0, 218, 218)
    >>> round(joint_volume(lay_grid(square, Tile(20, 4), 2)), 2)
    30.1
    >>> round(joint_volume(lay_grid(square, Tile(20, 4, back_side=19.3), 2)), 2)
    35.63
    """
    instance(layout, Layout, "layout")
    under = number(bed, "bed", "mm", least=0, greatest=50)
    whole = layout.outline.area * layout.tile.thickness - layout.glass_volume
    return (whole + layout.filler_area * under) / 1000


def bead_volume(length: float, width: float, height: float) -> float:
    """Return the filler of a sloping bead along an edge: length x width x height/2.

    Parameters
    ----------
    length, width, height : float
        Length of the edge, width on the glass and height on the tile [mm].

    Returns
    -------
    float
        Volume [mL].

    Raises
    ------
    MosaicError
        If a number is negative.

    Examples
    --------
    >>> bead_volume(1000, 4, 4)
    8.0
    """
    sizes = (number(s, "size of a bead", "mm", least=0, greatest=1e6) for s in (length, width, height))
    long, wide, high = sizes
    return long * wide * high / 2000


def mix(volume: float, waste: float = 0.0) -> Mix:
    """Return the powder for a volume of cement filler; its water is told by `recipe` alone.

    Parameters
    ----------
    volume : float
        Volume of the joints [mL].
    waste : float
        Share that stays on tools and in the bowl, 0 to 1 of the volume.

    Returns
    -------
    Mix
        With the spread that is usual; the bag's own figures stand above it.

    Raises
    ------
    MosaicError
        If a number is out of range.

    Notes
    -----
    1.6 to 1.8 kg of powder in each litre of mixed filler: trade custom, from memory.

    Examples
    --------
    >>> [round(grams) for grams in mix(100).powder]
    [160, 170, 180]
    """
    lost = number(waste, "waste", least=0, greatest=2)
    amount = number(volume, "filler volume", "mL", least=0, greatest=1e9) * (1 + lost)
    low, high = reference.value("filler", "powder in mixed filler").band
    return Mix(amount, (amount * low, amount * (low + high) / 2, amount * high))


LEAST_WATER = 0.2


@dataclass(frozen=True)
class Ingredient:
    """One thing that is measured out for a filler.

    Parameters
    ----------
    name : str
        What it is called on every page, list and card.
    amount : float
        How much of it [unit].
    unit : str
        Such as "g".
    words : str
        What to mind.
    packs : str
        Group of packs that it is sold in; empty for what is not bought.
    each : float
        How much of the packs' unit one of its own unit is.
    """

    name: str
    amount: float
    unit: str
    words: str
    packs: str = ""
    each: float = 1.0

    @property
    def told(self) -> str:
        """Amount and name, as in "330 g filler powder"."""
        return f"{self.amount:.0f} {self.unit} {self.name.lower()}"


@dataclass(frozen=True)
class Recipe:
    """What a volume of filler is mixed from [g]; all pages, lists and cards take their amounts from here.

    Parameters
    ----------
    kind : str
        Kind of filler.
    volume : float
        Mixed filler with what is lost [mL].
    powder, cement : float
        Dry powder, and the cement in it; none in a filler whose parts are mixed as its maker says.
    spread : tuple of float
        Least and greatest powder that is usual.
    latex, latex_water : float
        Latex as it is poured, and the water in it.
    water : float
        Water to add.
    sand : str
        Which grain the joint asks for.
    """

    kind: str
    volume: float
    powder: float = 0.0
    cement: float = 0.0
    spread: tuple[float, float] = (0.0, 0.0)
    latex: float = 0.0
    latex_water: float = 0.0
    water: float = 0.0
    sand: str = ""

    @property
    def ingredients(self) -> tuple[Ingredient, ...]:
        """All that is measured out, in the order in which it is told."""
        if not self.powder:
            words = "all its parts together, each as its maker says; no water in it"
            return (Ingredient("Epoxy filler", self.volume, "mL", words, "epoxy filler"),)
        low, high = self.spread
        bag = f"{low:.0f} to {high:.0f} g: read the bag"
        found = [Ingredient("Filler powder", self.powder, "g", bag, "filler powder", 1 / 1000)]
        brought = "read the bag"
        if self.latex:
            # the lightest that is usual, so that a bottle is never too small
            each = 1 / reference.value("filler", "density of latex").band[0]
            found.append(Ingredient("Latex", self.latex, "g", "read the bottle", "liquid additive", each))
            brought = f"the latex brings another {self.latex_water:.0f} g"
        words = f"and no more, for too much makes filler soft; {brought}"
        return (*found, Ingredient("Water to add", self.water, "g", words))

    @property
    def bought(self) -> str:
        """What is bought of it, as in "330 g filler powder, 49 g latex"."""
        return ", ".join(one.told for one in self.ingredients if one.packs)


def recipe(
    volume: float,
    kind: str,
    joint: float,
    *,
    polymer: float | None = None,
    solids: float | None = None,
    water_ratio: float = 0.40,
    waste: float = 0.0,
) -> Recipe:
    """Return what a volume of filler is mixed from; the water of the latex counts as water.

    latex = polymer/cement x cement/solids; water = water/cement x cement - latex (1 - solids)

    Parameters
    ----------
    volume : float
        Joints to be filled [mL].
    kind : str
        Kind of filler.
    joint : float
        Width of the joint, which decides about sand [mm].
    polymer : float, optional
        Polymer over cement, 0 to 0.3; what the powder holds already is not poured.
    solids : float, optional
        Solids of the latex, over 0 to 1; the table's if left out.
    water_ratio : float
        Water over cement, 0.2 to 1.
    waste : float
        Share that is lost, 0 to 2.

    Returns
    -------
    Recipe
        Masses [g].

    Raises
    ------
    MosaicError
        If a number is out of range, or the latex alone brings more water than the mix may have.

    Notes
    -----
    The bag's and the bottle's own figures stand above this: powder for a volume and cement in powder are trade custom,
    from memory.

    Examples
    --------
    >>> done = recipe(100, "cement grout with latex", 2.0, polymer=0.10, solids=0.5, water_ratio=0.40)
    >>> [round(one) for one in (done.powder, done.cement, done.latex, done.latex_water, done.water)]
    [170, 119, 24, 12, 36]
    """
    choice(kind, "kind of filler", KINDS)
    grain = sand_for(joint)
    made = mix(volume, waste)
    if not kind_of(kind).cement:
        return Recipe(kind, made.volume)
    low, powder, high = made.powder
    share = reference.value("filler", f"cement in {'un' if grain == 'unsanded' else ''}sanded filler powder").number
    cement = powder * share
    typed = USUAL_POLYMER[KINDS.index(kind)] if polymer is None else polymer
    ratio = number(typed, "polymer over cement", least=0, greatest=MOST_POLYMER)
    usual = reference.value("filler", "solids of latex").number if solids is None else solids
    solid = number(usual, "solids of the latex", above=0, greatest=1)
    wet = number(water_ratio, "water over cement", least=LEAST_WATER, greatest=1) * cement
    latex = ratio * cement / solid if kind == KINDS[1] else 0.0
    own = latex * (1 - solid)
    if own > wet:
        raise MosaicError(
            f"The latex alone brings {own:.0f} g of water, more than the {wet:.0f} g that this mix may have; take less "
            "latex, or one with more solids."
        )
    return Recipe(kind, made.volume, powder, cement, (low, high), latex, own, wet - own, grain)


def batches(
    volume: float,
    *,
    pot: float | None = None,
    slake: float | None = None,
    rate: float | None = None,
    bowl: float = 500.0,
) -> tuple[int, float]:
    """Return how many batches one pair of hands can place and clean in time, and how large each is.

    each = least of the bowl and rate x (pot life - slake)

    Parameters
    ----------
    volume : float
        Mixed filler [mL].
    pot, slake : float, optional
        Pot life and rest after the first stirring [min]; the table's if left out.
    rate : float, optional
        What one pair of hands places and wipes [mL/min]; the table's if left out.
    bowl : float
        Most that is mixed at once [mL].

    Returns
    -------
    count : int
        Batches.
    each : float
        Mixed filler of each, all equal [mL].

    Raises
    ------
    MosaicError
        If a number is out of range, or the slake takes all of the pot life.

    Examples
    --------
    >>> batches(900, pot=40, slake=10, rate=10, bowl=500)
    (3, 300.0)
    """
    table = lambda name, typed: reference.value("filler", name).number if typed is None else typed  # noqa: E731
    life = number(table("pot life of cement filler", pot), "pot life", "minutes", above=0, greatest=1e4)
    rest = number(table("slake", slake), "slake", "minutes", least=0, greatest=1e4)
    speed = number(table("placing by one pair of hands", rate), "placing", "mL/min", above=0, greatest=1e5)
    if rest >= life:
        raise MosaicError(f"The slake of {rest:g} minutes takes all of the pot life of {life:g} minutes.")
    amount = number(volume, "filler volume", "mL", least=0, greatest=1e9)
    most = min(number(bowl, "bowl", "mL", above=0, greatest=1e6), speed * (life - rest))
    count = max(1, math.ceil(amount / most - 1e-9))
    return count, amount / count


def wipe_minutes(temperature: float = 23.0, minutes: float | None = None) -> float:
    """Return when to wipe: about ten minutes after placing, half as long for each 10 K warmer.

    Parameters
    ----------
    temperature : float
        Of the room, 5 to 40 [C].
    minutes : float, optional
        At 23 C [min]; about ten if left out (common practice, no source).

    Returns
    -------
    float
        Time [min].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Notes
    -----
    The shift with temperature is an assumption.

    Examples
    --------
    >>> wipe_minutes(), wipe_minutes(33)
    (10.0, 5.0)
    """
    usual = reference.value("filler", "wait before wiping").number if minutes is None else minutes
    base = number(usual, "wait before wiping", "minutes", above=0, greatest=1e3)
    return base * 2 ** ((23.0 - number(temperature, "temperature", "C", least=5, greatest=40)) / 10)
