"""Published rules of layout: balanced cuts and the sheet that closes."""

import pytest
import shapely

from mosaiclib.layout import balanced_border, best_fit, joint_fits, lay_grid
from mosaiclib.units import INCH


@pytest.mark.parametrize("whole", [2, 3, 7])
def test_balanced_cut_of_a_sliver(whole):
    # ANSI A108.02 cl. 4.3.1 and 4.3.2, worked in a trade magazine (read second-hand; arithmetic computed):
    # a full 24 in tile at one side and a 1.5 in sliver at the other become (24 + 1.5)/2 = 12.75 in at each.
    printed = 12.75
    found = balanced_border((whole * 24 + 1.5) * INCH, 24 * INCH, 0)
    assert found.border_width / INCH == pytest.approx(printed, abs=0.005)
    assert found.full == whole - 1  # one full tile is taken out


def test_no_cut_under_half_a_tile():
    # ANSI A108.02 cl. 4.3.2, read second-hand, as a rule: every span from two tiles up, by tenths.
    for span in range(400, 1400):
        found = balanced_border(span / 10, 20, 2)
        assert found.border_width == 0 or found.border_width >= 10


def test_the_sheet_closes():
    # GB/T 7697-1996 Tables 1 and 2 (read): sheet 327 +/- 2 mm, joint 3.0 +/- 0.6 mm, tile 30 mm;
    # computed: 10 x 30 + 9 x 3 = 327
    fits = {fit.count: fit.joint for fit in joint_fits(327, 30, 2.4, 3.6)}
    assert fits == {10: pytest.approx(3.0)}
    assert best_fit(327, 30, 3.0, 2.4, 3.6, "flush").count == 10
    sheet = lay_grid(shapely.box(0, 0, 327, 327), 30, 3)
    assert len(sheet) == 100
    assert shapely.total_bounds(sheet.shapes) == pytest.approx([0, 0, 327, 327])
