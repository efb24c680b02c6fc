"""How much filler a piece takes and what a batch is mixed from."""

__all__ = [
    "Ingredient",
    "Recipe",
    "batches",
    "bead_volume",
    "bought",
    "grid_volume",
    "joint_volume",
    "recipe",
    "usual_grid_volume",
    "wipe_minutes",
]

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from mosaiclib import reference
from mosaiclib.errors import MosaicError, number, numbers
from mosaiclib.filler.kinds import Kind, kind_of, sand_for
from mosaiclib.layout.layout import Layout


def grid_volume(L, W, j, t):
    """Return the filler that a straight grid takes, exactly: V = t j (L + W + j)/((L + j)(W + j)) [L/m2].

    Tile sides L and W, joint j, depth of the joint t [mm], numbers or arrays. Full depth, upright tile edges, endless grid,
    no waste.

    >>> round(grid_volume(20, 20, 2, 4), 3)
    0.694
    """
    _sizes(L, W, j, t)
    return t * j * (L + W + j) / ((L + j) * (W + j))


def usual_grid_volume(L, W, j, t):
    """Return the usual estimate of the same, which is too high for small tiles: V = t j (L + W)/(L W) [L/m2].

    It divides by the tile's area instead of the cell's.

    >>> round(usual_grid_volume(20, 20, 2, 4), 3)
    0.8
    """
    _sizes(L, W, j, t)
    return t * j * (L + W) / (L * W)


def _sizes(L, W, j, t) -> None:
    """Raise unless a grid's sizes [mm] can be."""
    numbers(j, "joint", "mm", least=0, greatest=1e5)
    for size, name in ((L, "tile width"), (W, "tile height"), (t, "joint depth")):
        numbers(size, name, "mm", above=0, greatest=1e5)


def joint_volume(layout: Layout, bed: float = 0.0) -> float:
    """Return the filler that a layout's joints and bare margins take [mL].

    (outline - pieces) x (tile thickness + bed), and what sloping tile edges leave at the back; the bed [mm] lies under the
    pieces only.

    >>> import shapely
    >>> from mosaiclib.layout import Tile, lay_grid
    >>> square = shapely.box(0, 0, 218, 218)
    >>> round(joint_volume(lay_grid(square, Tile(20, 4), 2)), 2)
    30.1
    >>> round(joint_volume(lay_grid(square, Tile(20, 4, back_side=19.3), 2)), 2)
    35.63
    """
    number(bed, "bed", "mm", least=0, greatest=50)
    whole = layout.outline.area * layout.tile.thickness - layout.glass_volume
    return (whole + layout.filler_area * bed) / 1000


def bead_volume(length: float, width: float, height: float) -> float:
    """Return the filler of a bead that slopes from a height on the tile to a width on the glass [mm]: a triangle [mL].

    >>> bead_volume(1000, 4, 4)
    8.0
    """
    for size in (length, width, height):
        number(size, "size of a bead", "mm", least=0, greatest=1e6)
    return length * width * height / 2000


TOO_WET = "too much water is the commonest cause of soft, cracking filler"


@dataclass(frozen=True)
class Ingredient:
    """One thing that is measured out for a filler, by the name that every page, list and card calls it.

    `words`: what to mind; `packs`: the group of packs it is sold in, empty for what is not bought; `each`: how much of the
    packs' unit one of its own unit is.
    """

    name: str
    amount: float
    unit: str
    words: str
    packs: str = ""
    each: float = 1.0

    @property
    def told(self) -> str:
        """Amount and name, as in "330 g sanded plain grout"."""
        return f"{self.amount:.0f} {self.unit} {self.name.lower()}"


@dataclass(frozen=True)
class Recipe:
    """What a volume of filler, with what is lost [mL], is mixed from [g]; all pages, lists and cards take it from here.

    `powder` and the `cement` in it: none in a kit whose parts are mixed as its manufacturer says; `latex` as it is poured,
    `latex_water` in it, `water` to add; `asked`: polymer over cement as it was asked for, which the kind falls short of where
    weak latex is used neat; `sand`: the grain that the widest joint asks for, empty where none is chosen; `where` it goes, a
    word for cards and lists, empty where one recipe fills the whole piece.
    """

    kind: Kind
    volume: float
    powder: float = 0.0
    cement: float = 0.0
    latex: float = 0.0
    latex_water: float = 0.0
    water: float = 0.0
    asked: float = 0.0
    sand: str = ""
    where: str = ""

    def named(self, what: str) -> str:
        """Return what a line of this recipe is called, with where it goes if there is another recipe beside it."""
        return f"{what}, {self.where}" if self.where else what

    @property
    def ingredients(self) -> tuple[Ingredient, ...]:
        """All that is measured out, in the order in which it is told."""
        sold = self.kind.sold_as
        name = f"{self.sand} {sold}".strip().capitalize()
        if not self.powder:
            return (Ingredient(name, self.volume, "mL", "all its parts together; no water in it", sold),)
        made = [Ingredient(name, self.powder, "g", "the bag's own figures come first", sold, 1 / 1000)]
        if self.latex:
            # the lightest that is usual, so that a bottle is never too small
            each = 1 / reference.value("filler", "density of latex").band[0]
            made.append(Ingredient("Latex additive", self.latex, "g", self._latex_words, "latex additive", each))
        return (*made, Ingredient("Water to add", self.water, "g", f"{self._water_words}; no more: {TOO_WET}"))

    @property
    def _latex_words(self) -> str:
        """Tell how much polymer it brings, and that it is used neat where it is too weak for more."""
        brought = f"{self.kind.polymer:.0%} of the cement as polymer"
        if self.kind.polymer > self.asked - 1e-9:
            return brought
        return f"used neat, as it is weak: {brought}, not the {self.asked:.0%} asked for"

    @property
    def _water_words(self) -> str:
        """Tell the water that is in the mix."""
        if not self.latex:
            return f"{self.water / self.powder:.2f} of the powder"
        whole, ratio = round(self.water) + round(self.latex_water), (self.water + self.latex_water) / self.cement
        latex = f"the latex brings another {self.latex_water:.0f} g"
        return f"{latex}: {whole} g of water in all, {ratio:.2f} of the cement"

    @property
    def unfit(self) -> str:
        """That it is not for glass, empty where practice uses it there."""
        if self.kind.for_glass:
            return ""
        weak = " with so little latex" if self.kind.poured else ""
        return f"NOT FOR GLASS: {self.kind.name}{weak} lets go of it"

    @property
    def warning(self) -> str:
        """What must be said wherever this filler is named, with the way out; empty where practice uses it on glass."""
        return self.unfit and f"{self.unfit}; take a fortified grout or mortar"

    @property
    def smallest(self) -> str:
        """The smallest batch that can be mixed, and how many times this recipe is where it is less."""
        if not self.powder:
            return "what its manufacturer says; small kits are mixed whole"
        least = reference.value("filler", "smallest batch").number
        if self.volume >= least or not self.volume:
            return f"{least:.0f} mL"
        return f"{least:.0f} mL: take {least / self.volume:.1f} times of everything, and let the rest set for the bin"

    @property
    def bought(self) -> str:
        """What is bought of it, as in "330 g sanded plain grout, 49 g latex additive"."""
        return ", ".join(one.told for one in bought([self]))

    @property
    def keep_moist(self) -> str:
        """How long it is kept moist before it dries in the air."""
        if not self.latex:
            return "as the bag says"
        low, high = reference.value("mechanics", "moist cure of polymer-modified mortar").band
        return f"{low:g} to {high:g} days moist with latex (source: ACI Committee 548)"


def bought(fillers: Sequence[Recipe]) -> list[Ingredient]:
    """Return all that recipes take out of packs; what two of them take, as latex, is one thing to buy."""
    found: dict[str, Ingredient] = {}
    for one in (one for made in fillers for one in made.ingredients if one.packs):
        before = found.get(one.name)
        found[one.name] = replace(one, amount=one.amount + before.amount) if before else one
    return list(found.values())


DRY = {  # cement in the dry powder, and the water that it takes
    "unsanded": ("cement in unsanded grout", "water in unsanded grout"),
    "sanded": ("cement in sanded grout", "water in sanded grout"),
    "heavily sanded": ("cement in sanded grout", "water in sanded grout"),
    "": ("cement in thin-set mortar", "water in thin-set mortar"),
}


def recipe(
    volume: float,
    kind: str,
    joint: float,
    *,
    polymer: float | None = None,
    solids: float | None = None,
    water_ratio: float | None = None,
    waste: float = 0.0,
) -> Recipe:
    """Return what a volume of filler [mL] for joints up to a width [mm] is mixed from; the water of the latex counts as water.

    latex = polymer/cement x cement/solids; water = water/cement x cement - latex (1 - solids); and all of it, without air,
    fills the volume: powder = volume/(c/3.15 + (1 - c)/2.65 + water + polymer/1.05), the last two for each gram of powder

    `polymer` over cement, 0 to 0.3, is poured where the kind takes latex; `solids` of the latex, over 0 to 1: latex too weak for
    that is used neat; `water_ratio`, water over cement, 0.2 to 1; the table's if left out; `waste`, 0 to 2, is lost. The bag's
    and the bottle's own figures stand above this: cement and water in powder are trade custom, from memory.

    >>> done = recipe(100, "cement grout with latex", 2.0, polymer=0.10, solids=0.5, water_ratio=0.40)
    >>> [round(grams) for grams in (done.powder, done.cement, done.latex, done.latex_water, done.water)]
    [147, 103, 21, 10, 31]
    """
    filler = kind_of(kind, polymer)
    lost = number(waste, "waste", least=0, greatest=2)
    amount = number(volume, "filler volume", "mL", least=0, greatest=1e9) * (1 + lost)
    grain = sand_for(joint)
    if not filler.cement:
        return Recipe(filler, amount)
    sand = grain if filler.powder == "grout" else ""
    c, w = (reference.value("filler", name).number for name in DRY[sand])
    usual = reference.value("filler", "water over cement with latex").number if filler.poured else w / c
    wet = number(usual if water_ratio is None else water_ratio, "water over cement", least=0.2, greatest=1)
    solid = number(_usual("solids of latex", solids), "solids of the latex", above=0, greatest=1)
    holds = _held(filler.polymer, solid, wet) if filler.poured else 0.0
    cement, sands, resin = (1 / reference.value("filler", one).number for one in DENSE)
    powder = amount / (c * cement + (1 - c) * sands + c * wet + c * holds * resin)
    latex = holds * c * powder / solid
    own = latex * (1 - solid)
    made = kind_of(kind, holds) if filler.poured else filler
    return Recipe(made, amount, powder, c * powder, latex, own, max(wet * c * powder - own, 0.0), filler.polymer, sand)


DENSE = ("density of cement", "density of sand", "density of polymer")


def _held(polymer: float, solid: float, wet: float) -> float:
    """Return the polymer over cement that fits the water over cement `wet`: latex brings no more water than that."""
    return polymer if solid == 1 else min(polymer, wet * solid / (1 - solid))


def _usual(name: str, typed: float | None) -> float:
    """Return what was typed, or the table's figure."""
    return reference.value("filler", name).number if typed is None else typed


def batches(
    volume: float,
    *,
    pot: float | None = None,
    slake: float | None = None,
    rate: float | None = None,
    bowl: float | None = None,
) -> tuple[int, float]:
    """Return how many batches one pair of hands can place and clean in time, and the volume of each, all equal [mL].

    each = least of the bowl [mL] and rate x (pot life - slake); pot life and slake, the rest after the first stirring [min],
    the rate at which one pair of hands places and wipes [mL/min] and the bowl are the table's if left out.

    >>> batches(900, pot=40, slake=10, rate=10, bowl=500)
    (3, 300.0)
    """
    life = number(_usual("pot life of cement filler", pot), "pot life", "minutes", above=0, greatest=1e4)
    rest = number(_usual("slake", slake), "slake", "minutes", least=0, greatest=1e4)
    speed = number(_usual("placing by one pair of hands", rate), "placing", "mL/min", above=0, greatest=1e5)
    if rest >= life:
        raise MosaicError(f"The slake of {rest:g} minutes takes all of the pot life of {life:g} minutes.")
    amount = number(volume, "filler volume", "mL", least=0, greatest=1e9)
    most = min(number(_usual("bowl", bowl), "bowl", "mL", above=0, greatest=1e6), speed * (life - rest))
    count = max(1, math.ceil(amount / most - 1e-9))
    return count, amount / count


def wipe_minutes(temperature: float = 23.0, minutes: float | None = None) -> float:
    """Return when to wipe [min] at 5 to 40 [C]: about ten minutes after placing, half as long for each 10 K warmer.

    `minutes` at 23 C, about ten if left out (common practice, no source); the shift with temperature is an assumption.

    >>> wipe_minutes(), wipe_minutes(33)
    (10.0, 5.0)
    """
    base = number(_usual("wait before wiping", minutes), "wait before wiping", "minutes", above=0, greatest=1e3)
    number(temperature, "temperature", "C", least=5, greatest=40)
    return base * 2 ** ((23.0 - temperature) / _usual("doubling of setting", None))
