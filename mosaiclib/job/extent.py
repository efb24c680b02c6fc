"""How large a plan is: its glass as measured, and how many pieces it would take at most."""

__all__ = ["MOST_BANDED", "measure_all", "within_reach"]

import math
from collections.abc import Sequence

from mosaiclib.errors import MosaicError
from mosaiclib.glass import FourSided, Pane
from mosaiclib.job.plan import Plan
from mosaiclib.layout.tesserae import MOST_PIECES, not_too_many

MOST_BANDED = 250_000  # pieces of a plan with a band: laying it and arranging its colours takes half a minute then


def measure_all(plan: Plan) -> list[Pane | FourSided]:
    """Measure every piece of glass of a plan.

    Parameters
    ----------
    plan : Plan
        A checked plan.

    Returns
    -------
    list of glass
        In the order of the plan.

    Raises
    ------
    MosaicError
        If the glass is impossible; the sentence names the piece.
    """
    found = []
    for part in plan.glass:
        try:
            found.append(part.glass(plan.tile.tile, plan.adhesive.bed, plan.joint.wanted))
        except MosaicError as wrong:
            raise MosaicError(f"{part.name}: {wrong}") from None
    return found


def within_reach(plan: Plan, measured: Sequence[Pane | FourSided]) -> None:
    """Refuse a plan of far too many pieces, counted as plain grids, before any of them is laid.

    Parameters
    ----------
    plan : Plan
        A checked plan.
    measured : sequence of glass
        Its pieces of glass.

    Raises
    ------
    MosaicError
        If there would be over two million pieces, or over 250,000 where a band is drawn.
    """
    pitch = plan.tile.side + plan.joint.wanted
    count = sum(math.ceil(f.width / pitch) * math.ceil(f.height / pitch) for glass in measured for f in glass.faces)
    banded = any(part.bands for part in plan.glass)
    what = "This plan with its drawn band" if banded else "This plan"
    not_too_many(count, what, MOST_BANDED if banded else MOST_PIECES)
