"""What a layout takes: tiles with spares, adhesive and filler."""

__all__ = ["Quantities", "quantities", "spares", "tile_parts"]

import math
from dataclasses import dataclass

import numpy as np

from mosaiclib import reference
from mosaiclib.adhesive import bed_volume
from mosaiclib.errors import number, whole_number
from mosaiclib.filler import USUAL, Recipe, bought, joint_volume, recipe
from mosaiclib.job.negative_binomial import enough
from mosaiclib.layout import Layout
from mosaiclib.layout.rowspec import PARTS


@dataclass(frozen=True)
class Quantities:
    """Pieces and the tiles that they take, adhesive [mL] and filler with what is lost, tiles to buy with spares, warnings.

    As text the one line of a page.
    """

    pieces: int
    taken: int
    adhesive: float
    fillers: tuple[Recipe, ...]
    tiles: int
    warnings: tuple[str, ...] = ()

    def __str__(self) -> str:
        glue = f"{self.adhesive:.0f}" if self.adhesive >= 20 else f"{self.adhesive:.1f}"
        filler = ", ".join(one.told for one in bought(self.fillers))
        pieces = f"{self.pieces} pieces" + f" from {self.taken} tiles" * (self.taken != self.pieces)
        line = f"{pieces}, {glue} mL adhesive, {filler}, {self.tiles} tiles to buy with spares"
        return ". ".join((*self.warnings, line))


def quantities(
    layout: Layout,
    bed: float,
    kind: str = USUAL,
    *,
    polymer: float | None = None,
    coverage: float = 1.0,
    kept: float = 0.0,
) -> Quantities:
    """Return what a layout takes on a bed [mm] that covers a share of the backs, with the usual losses and spares.

    `kind` and `polymer` are the filler's, as for `filler.recipe`; `kept` is the volume that adhesive keeps from it [mL].

    Examples
    --------
    >>> import shapely
    >>> from mosaiclib.layout import lay_grid
    >>> print(quantities(lay_grid(shapely.box(0, 0, 108, 108), 20, 2), 0.8))
    25 pieces, 9.2 mL adhesive, 14 g unsanded polymer-modified grout, 27 tiles to buy with spares
    """
    lost = {name: record.number for name, record in reference.by_name("allowances").items()}
    whole = (layout.pieces["kind"] == "whole").all() and (layout.pieces["fraction"] == "whole").all()
    need = math.ceil(tile_parts(layout).sum() - 1e-9)
    joints = max(joint_volume(layout, bed) - kept, 0.0)
    return Quantities(
        len(layout),
        need,
        coverage * bed_volume(float(layout.areas.sum()), bed, waste=lost["adhesive lost"]),
        (recipe(joints, kind, max(layout.joint, 0.1), polymer=polymer, waste=lost["filler lost"]),),
        need + spares(need, lost["whole tiles spoilt" if whole else "cut tiles spoilt"]),
    )


def tile_parts(layout: Layout) -> np.ndarray:
    """Return the share of a tile that each piece takes, shape (n,): 1, 1/2, 1/3 or 1/4, however small it is cut.

    Examples
    --------
    >>> import shapely
    >>> from mosaiclib.layout import lay_grid
    >>> tile_parts(lay_grid(shapely.box(0, 0, 42, 20), 20, 2)).tolist()
    [1.0, 1.0]
    """
    share = {fraction: math.prod(sides) for fraction, sides in PARTS.items()}
    return layout.pieces["fraction"].map(share).to_numpy(dtype=float)


def spares(need: int, break_chance: float, confidence: float = 0.95) -> int:
    """Return how many pieces to have beyond the need, because some break and spares break too.

    The breakages before the last good piece follow the negative binomial law with `need` successes;
    the least number is returned that they stay within at the given confidence.

    Parameters
    ----------
    need : int
        Good pieces needed.
    break_chance : float
        Chance that any one piece is spoilt, 0 to 0.9.
    confidence : float
        How sure to be of having enough, 0.5 to 0.9999.

    Returns
    -------
    int
        Extra pieces.

    Examples
    --------
    >>> spares(100, 0.03, 0.95), spares(0, 0.03), spares(100, 0)
    (6, 0, 0)
    """
    wanted = whole_number(need, "number of pieces")
    chance = number(break_chance, "chance of breaking", least=0, greatest=0.9)
    sure = number(confidence, "confidence", least=0.5, greatest=0.9999)
    return enough(1 - sure, wanted, chance) if wanted and chance > 0 else 0
