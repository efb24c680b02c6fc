"""The cure of many pieces at many times, and the adhesive lessons, as ratios in one run."""

from dataclasses import replace

import numpy as np
import pytest
import shapely

from mosaiclib.adhesive import cured_share
from mosaiclib.drawing import to_svg
from mosaiclib.lessons import w03_cure, w03_family, w03_look
from ratios import best, least, paired


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


@pytest.mark.parametrize("module", [w03_family, w03_look, w03_cure], ids=lambda m: m.__name__[-12:])
def test_a_lesson_is_little_more_than_its_pictures(module, told):
    """Compute, draw, report and summary, over the drawing alone."""
    start = module.Settings()
    module.compute(start)
    seeds = iter(range(10**6))

    def turn():
        number = next(seeds) % 7
        changed = {"hours": 24.0 + number} if hasattr(start, "hours") else {"room": 30.0 + number}
        return replace(start, **changed)

    def lesson():
        result = module.compute(turn())
        assert to_svg(module.draw(result)) and module.report(result) and module.summary(result)

    # each result is drawn once, as on the page: its tones are worked out while it is drawn
    kept = iter([module.compute(turn()) for _ in range(300)])

    def picture():
        to_svg(module.draw(next(kept)))

    lesson(), picture()
    ratio = least(lambda: paired(lesson, picture, 60), 1.3)
    told(f"{module.__name__} over its own pictures", ratio, 1.3)
    assert ratio <= 1.3
