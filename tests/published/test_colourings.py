"""How many colourings there are, as published, counted over the pairs that the neighbour finder gives.

Sources
-------
- Grids: OEIS A068253, the number of 3-colourings of the n x n grid, lists one third of each: 1, 6, 82, 2604.
- Ring of N in q colours: (q-1)^N + (-1)^N (q-1), the chromatic polynomial of the cycle; 30 for N = 5, q = 3.
- Ladder 2 x n in q colours: q (q-1) (q^2 - 3q + 3)^(n-1), the chromatic polynomial of the ladder.
- Two aligned rings: OEIS A277443, (q^2-3q+3)^k + (q-1)[(3-q)^k + (1-q)^k] + q^2-3q+1.
"""

from collections import Counter
from itertools import product

import numpy as np
import pytest
import shapely

from mosaiclib.layout import lay_grid, neighbours
from mosaiclib.layout.layout import Layout, Tile, piece_table

SIDE, JOINT = 20, 2
PITCH = SIDE + JOINT


def grid(down, across):
    return lay_grid(shapely.box(0, 0, across * PITCH - JOINT, down * PITCH - JOINT), SIDE, JOINT)


def closed_rows(down, count):
    row, place = np.divmod(np.arange(down * count), count)
    shapes = shapely.box(place * PITCH, row * PITCH, place * PITCH + SIDE, row * PITCH + SIDE)
    outline = shapely.box(0, 0, count * PITCH, down * PITCH)
    table = piece_table(len(shapes), face="round")
    return Layout(outline, shapes, table, JOINT, 1, 3, Tile(SIDE, 4), around=count * PITCH)


def count_colourings(layout, colours):
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


@pytest.mark.parametrize(("n", "listed"), [(1, 1), (2, 6), (3, 82), (4, 2604)])
def test_square_grids_in_three_colours(n, listed):
    layout = grid(n, n)
    assert len(layout) == n * n
    assert count_colourings(layout, 3) == 3 * listed  # OEIS A068253: 3, 18, 246, 7812


def test_ring_of_five_in_three_colours():
    assert count_colourings(closed_rows(1, 5), 3) == 30  # chromatic polynomial of the cycle


@pytest.mark.parametrize("count", [3, 4, 6, 7])
@pytest.mark.parametrize("q", [2, 3, 4])
def test_rings(count, q):
    assert count_colourings(closed_rows(1, count), q) == (q - 1) ** count + (-1) ** count * (q - 1)


@pytest.mark.parametrize("n", [1, 2, 3, 6])
@pytest.mark.parametrize("q", [2, 3, 4])
def test_ladders(n, q):
    assert count_colourings(grid(2, n), q) == q * (q - 1) * (q**2 - 3 * q + 3) ** (n - 1)


@pytest.mark.parametrize("k", [3, 4, 5])
@pytest.mark.parametrize("q", [2, 3, 4])
def test_two_aligned_rings(k, q):
    expected = (q**2 - 3 * q + 3) ** k + (q - 1) * ((3 - q) ** k + (1 - q) ** k) + q**2 - 3 * q + 1
    assert count_colourings(closed_rows(2, k), q) == expected  # OEIS A277443
