"""GB/T 7697-1996 "Glass mosaic", Tables 1 and 2, typed as printed [mm]: read (two copies agree)."""

import pytest

from mosaiclib import reference
from mosaiclib.spacing.tile_sizes import TileSizes, outlook

# Table 1: edge, its tolerance, thickness, its tolerance
TABLE_1 = [("20", "0.5", "4.0", "0.4"), ("25", "0.5", "4.2", "0.4"), ("30", "0.6", "4.3", "0.5")]


@pytest.mark.parametrize(("edge", "edge_off", "thick", "thick_off"), TABLE_1)
def test_table_1(edge, edge_off, thick, thick_off):
    side = reference.value("tiles", f"{edge} mm tile, edge")
    depth = reference.value("tiles", f"{edge} mm tile, thickness")
    assert side.number == pytest.approx(float(edge), abs=0.05)
    assert side.tolerance == pytest.approx(float(edge_off), abs=0.005)
    assert depth.number == pytest.approx(float(thick), abs=0.05)
    assert depth.tolerance == pytest.approx(float(thick_off), abs=0.005)


def test_table_2():
    sheet = reference.value("tiles", "sheet edge")
    assert (sheet.number, sheet.tolerance) == (327, 2)
    for name, joint in (("joint, narrow", 2.0), ("joint, wide", 3.0)):
        record = reference.value("tiles", name)
        assert record.number == joint
        assert record.tolerance == pytest.approx(0.6, abs=0.05)
    assert reference.value("tiles", "sheet margin").band == (1, 8)


def test_the_sheet_closes():
    # Computed from Tables 1 and 2: 10 x 30 + 9 x 3 = 327.
    tile, joint = (reference.value("tiles", name).number for name in ("30 mm tile, edge", "joint, wide"))
    row = outlook("spacer stick", tiles=10, nominal=tile, sizes=TileSizes(tile, 0), joint=joint, limit=0)
    assert row.span == 327 == reference.value("tiles", "sheet edge").number
