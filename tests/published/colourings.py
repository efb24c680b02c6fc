"""How many colourings there are, and how many colours are needed, over the pairs that the neighbour finder gives."""

from collections import Counter
from functools import partial
from itertools import product

import numpy as np
import shapely

from mosaiclib.colour import CannotBe, arrange
from mosaiclib.colour.fewest import fewest
from mosaiclib.glass import Seam
from mosaiclib.layout import Layout, Tile, lay_grid, neighbours, piece_table
from mosaiclib.lessons.w05_shared import laid, touching

from .records import listed

SIDE, JOINT = 20, 2
PITCH = SIDE + JOINT
OEIS = "On-Line Encyclopedia of Integer Sequences"


def grid(down: int, across: int) -> Layout:
    """Return a grid of tiles."""
    return lay_grid(shapely.box(0, 0, across * PITCH - JOINT, down * PITCH - JOINT), SIDE, JOINT)


def closed_rows(down: int, count: int) -> Layout:
    """Return rows that close round a vessel."""
    row, place = np.divmod(np.arange(down * count), count)
    shapes = shapely.box(place * PITCH, row * PITCH, place * PITCH + SIDE, row * PITCH + SIDE)
    outline = shapely.box(0, 0, count * PITCH, down * PITCH)
    table = piece_table(len(shapes), face="round")
    seam = Seam.shift(count * PITCH, down * PITCH, ("round", "round"))
    return Layout(outline, shapes, table, JOINT, 1, 3, Tile(SIDE, 4), seams=[seam])


def colourings(layout: Layout, colours: int) -> int:
    """Count piece by piece, keeping only the colours of pieces that later ones still touch."""
    pairs = neighbours(layout).tolist()
    before = [[a for a, b in pairs if b == v] for v in range(len(layout))]
    last = [max([v, *(b for a, b in pairs if a == v)]) for v in range(len(layout))]
    held, states = [], Counter({(): 1})
    for v in range(len(layout)):
        places = [held.index(w) for w in before[v]]
        kept = [i for i, w in enumerate([*held, v]) if last[w] > v]
        new = Counter()
        for (state, ways), colour in product(states.items(), range(colours)):
            if all(state[i] != colour for i in places):
                longer = (*state, colour)
                new[tuple(longer[i] for i in kept)] += ways
        held, states = [[*held, v][i] for i in kept], new
    return sum(states.values())


def _laid(pattern: str, across: int, down: int, colours: int) -> int:
    """Count the colourings of a practice piece of lesson 05."""
    return colourings(laid(pattern, across, down), colours)


def _least_colours(layout: Layout, corners: bool = False) -> int:
    """Return with how few colours the pieces can be arranged, plenty of each."""
    for count in range(1, 6):
        try:
            arrange(layout, dict.fromkeys("abcde"[:count], len(layout)), corners=corners)
        except CannotBe:
            continue
        return count
    raise AssertionError("five colours are always enough here")


def _most_of_one(layout: Layout) -> int:
    """Return how many pieces can be of one of four colours, tried from equal shares up, every tile being needed."""
    for many in range(len(layout) // 4, len(layout) + 1):
        rest = len(layout) - many
        others = {name: (rest + place) // 3 for place, name in enumerate("bcd")}
        try:
            arrange(layout, {"a": many} | others, corners=True)
        except CannotBe:
            return many - 1
    return len(layout)


SQUARES = listed(
    "colourings",
    OEIS,
    "A068253 (a third of the 3-colourings)",
    "read",
    "colourings",
    [
        (f"{n} x {n} tiles, a third of those in three colours", printed, lambda n=n: colourings(grid(n, n), 3) / 3)
        for n, printed in ((1, "1"), (2, "6"), (3, "82"), (4, "2604"))
    ],
)
# printed up to a change of colours; each stands for 6 where there is more than one tile
IN_THREE = listed(
    "colourings",
    OEIS,
    "A207997",
    "read",
    "colourings up to a change of colours",
    [
        (f"{n} x {k} tiles in three colours", printed, lambda n=n, k=k: colourings(grid(n, k), 3) / 6)
        for n, k, printed in (
            (2, 3, "9"),
            (2, 4, "27"),
            (2, 6, "243"),
            (3, 3, "41"),
            (3, 4, "187"),
            (3, 5, "853"),
            (4, 4, "1302"),
        )
    ],
)
IN_FOUR = listed(
    "colourings",
    OEIS,
    "A222444 (a quarter of the 4-colourings)",
    "read",
    "colourings",
    [
        (
            f"{n} x {k} tiles, a quarter of those in four colours",
            printed,
            lambda n=n, k=k: colourings(grid(n, k), 4) / 4,
        )
        for n, k, printed in (
            (1, 4, "27"),
            (2, 2, "21"),
            (2, 3, "147"),
            (2, 4, "1029"),
            (3, 3, "2403"),
            (3, 4, "39285"),
        )
    ],
)
RINGS = listed(
    "colourings",
    OEIS,
    "A106512",
    "read",
    "colourings",
    [
        (f"ring of {n} in {q} colours", printed, lambda n=n, q=q: colourings(closed_rows(1, n), q))
        for n, row in ((3, "0 6 24"), (4, "2 18 84"), (5, "0 30 240"), (6, "2 66 732"), (7, "0 126 2184"))
        for q, printed in enumerate(row.split(), 2)
    ],
)
TWO_RINGS = listed(
    "colourings",
    OEIS,
    "A277443",
    "read",
    "colourings",
    [
        (
            f"two rings of {n} above each other in {q} colours",
            printed,
            lambda n=n, q=q: colourings(closed_rows(2, n), q),
        )
        for n, row in ((3, "0 12 264"), (4, "2 114 2652"), (5, "0 180 16080"))
        for q, printed in enumerate(row.split(), 2)
    ],
)
KINGS = listed(
    "colours",
    OEIS,
    "A008794 (kings that do not attack each other)",
    "read second-hand",
    "tiles",
    [
        (
            f"{n} x {n} tiles, corners too: most of one of four colours",
            printed,
            lambda n=n: _most_of_one(grid(n, n)),
        )
        for n, printed in ((2, "1"), (4, "4"), (6, "9"), (8, "16"))
    ],
)
LEAST = listed(
    "colours",
    "Weisstein, MathWorld",
    "King Graph; Cycle Graph; Prism Graph: chromatic number",
    "from memory",
    "colours",
    [
        ("8 x 8 tiles, corners too: fewest colours", "4", partial(_least_colours, grid(8, 8), corners=True)),
        ("ring of 7: fewest colours", "3", lambda: _least_colours(closed_rows(1, 7))),
        ("ring of 8: fewest colours", "2", lambda: _least_colours(closed_rows(1, 8))),
        ("two rings of 5: fewest colours", "3", lambda: _least_colours(closed_rows(2, 5))),
    ],
)
# the practice pieces of lesson 05, through the pairs that it calls touching
LESSON_GRIDS = listed(
    "colourings",
    OEIS,
    "A222444 (a quarter of the 4-colourings), A207997 (a sixth of the 3-colourings)",
    "read",
    "colourings",
    [
        (
            f"lesson 05, {n} x {k} tiles in {q} colours, shared by {by}",
            printed,
            lambda n=n, k=k, q=q, by=by: _laid("grid", k, n, q) / by,
        )
        for n, k, q, by, printed in (
            (2, 3, 4, 4, "147"),
            (3, 4, 4, 4, "39285"),
            (3, 5, 3, 6, "853"),
            (4, 4, 3, 6, "1302"),
        )
    ],
)
LESSON_RINGS = listed(
    "colourings",
    OEIS,
    "A106512",
    "read",
    "colourings",
    [
        (f"lesson 05, ring of {n} in {q} colours", printed, partial(_laid, "ring", n, 1, q))
        for n, row in ((3, "0 6 24"), (4, "2 18 84"), (5, "0 30 240"), (6, "2 66 732"), (7, "0 126 2184"))
        for q, printed in enumerate(row.split(), 2)
    ],
)
# k (k - 1) (k - 2)^(n - 2) for n pieces in a strip of triangles
LESSON_BONDS = listed(
    "colourings",
    "R. C. Read, An introduction to chromatic polynomials, Journal of Combinatorial Theory 4 (1968) 52-71",
    "chromatic polynomial of triangles joined side by side",
    "from memory",
    "colourings",
    [
        (f"lesson 05, two rows of {n} in running bond in {q} colours", printed, partial(_laid, "running bond", n, 2, q))
        for n, row in ((2, "0 6 48 180"), (3, "0 6 192 1620"), (4, "0 6 768 14580"))
        for q, printed in enumerate(row.split(), 2)
    ],
)
LESSON_LEAST = listed(
    "colours",
    "Weisstein, MathWorld",
    "King Graph; Cycle Graph: chromatic number, by lesson 05",
    "from memory",
    "colours",
    [
        ("8 x 8 tiles, corners too", "4", lambda: fewest(touching("grid", 8, 8, corners=True)).number),
        ("ring of 7", "3", lambda: fewest(touching("ring", 7)).number),
        ("ring of 8", "2", lambda: fewest(touching("ring", 8)).number),
    ],
)
CHECKS = (
    *LESSON_GRIDS,
    *LESSON_RINGS,
    *LESSON_BONDS,
    *LESSON_LEAST,
    *SQUARES,
    *IN_THREE,
    *IN_FOUR,
    *RINGS,
    *TWO_RINGS,
    *KINGS,
    *LEAST,
)
