"""The filler lessons with 2,000 draws, over their own pictures, as ratios in one run."""

from dataclasses import replace

import pytest

from mosaiclib.drawing import to_svg
from mosaiclib.lessons import w04_chance, w04_energy, w04_piece, w04_section
from ratios import least, paired


@pytest.mark.parametrize(
    "module", [w04_section, w04_energy, w04_chance, w04_piece], ids=lambda m: m.__name__.split(".")[-1]
)
def test_a_lesson_is_little_more_than_its_pictures(module, told):
    start = module.Settings()
    turns = iter(range(10**6))

    def lesson():
        result = module.compute(replace(start, low=0.5 + 0.001 * next(turns)))
        assert to_svg(module.draw(result)) and module.report(result) and module.summary(result)

    kept = module.compute(start)

    def picture():
        to_svg(module.draw(kept))

    for _ in range(7):
        lesson()
    picture()
    ratio = least(lambda: paired(lesson, picture, 60), 1.3)
    told(f"{module.__name__} over its own pictures", ratio, 1.3)
    assert ratio <= 1.3
