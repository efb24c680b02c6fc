"""The cure of many pieces at many times, as a ratio in one run."""

import numpy as np
import shapely

from mosaiclib.adhesive import cured_share
from ratios import best, least


def pieces(count):
    """Return wedges, all different [mm]."""
    rng = np.random.default_rng(3)
    wide, narrow, high = rng.uniform(8, 20, count), rng.uniform(4, 8, count), rng.uniform(8, 20, count)
    zero = np.zeros(count)
    corners = np.stack([zero, zero, wide, zero, (wide + narrow) / 2, high, (wide - narrow) / 2, high], axis=1)
    return shapely.polygons(corners.reshape(count, 4, 2))


def test_cured_share_against_one_buffer_call(told):
    shapes, hours = pieces(1000), np.linspace(1, 600, 50)
    depth = 2.5 * np.sqrt(hours / 24)

    def bare():
        shapely.buffer(shapes[:, None], -depth[None, :], quad_segs=4)

    def ours():
        cured_share(shapes, hours)

    bare(), ours()
    ratio = least(lambda: best(ours, 3) / best(bare, 3), 1.5)
    told("cured share of 1,000 pieces at 50 times over one buffer call", ratio, 1.5)
    assert ratio <= 1.5
