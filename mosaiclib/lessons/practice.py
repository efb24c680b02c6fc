"""The invented practice piece of workbooks 03 and 04, a small panel with one bent row and a grid behind it."""

__all__ = ["ALLOWANCES", "BED", "COLOURS", "FILLER_LOST", "sample_piece"]

from functools import lru_cache

import numpy as np
import shapely

from mosaiclib import reference
from mosaiclib.layout import Guide, Layout, Tile, join, lay_field, lay_rows, neighbours

WIDTH, HEIGHT = 132.0, 96.0
COLOURS = ("amber", "sea green", "sky blue", "rose", "deep blue")
ALLOWANCES = {name: record.number for name, record in reference.by_name("allowances").items()}
BED = ALLOWANCES["adhesive bed"]  # [mm]
FILLER_LOST = ALLOWANCES["filler lost"]
LINE = ((-5.0, 34.0), (40.0, 52.0), (92.0, 52.0), (137.0, 34.0))


@lru_cache(32)
def sample_piece(tile: float, joint: float, thickness: float = 4.0) -> Layout:
    """Return the practice piece, coloured, on 132 x 96 mm, for a tile, a joint and a thickness of the tile [mm].

    >>> set(sample_piece(20.0, 2.0).pieces["colour"]) <= set(COLOURS)
    True
    """
    stock, face = Tile(tile, thickness), shapely.box(0, 0, WIDTH, HEIGHT)
    limits = (max(joint - 0.5, 0.0), joint + 0.5)
    rows = lay_rows(Guide(LINE), {"tile": stock, "fraction": "half"}, joint, face, limits=limits)
    field = lay_field(face, rows, stock, joint, shift=(0.0, 0.0))
    both = join(rows, field)
    return both.coloured(_apart(len(both), neighbours(both)))


def _apart(count: int, pairs: np.ndarray) -> list[str]:
    """Return colours, the first that no earlier neighbour has, begun at another one for each piece."""
    taken: list[int] = []
    beside: list[set[int]] = [set() for _ in range(count)]
    for one, two in np.sort(pairs, axis=1).tolist():
        beside[two].add(one)
    for piece in range(count):
        used = {taken[other] for other in beside[piece]}
        order = [(piece * 2 + step) % len(COLOURS) for step in range(len(COLOURS))]
        taken.append(next((colour for colour in order if colour not in used), order[0]))
    return [COLOURS[colour] for colour in taken]
