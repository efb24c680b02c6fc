"""A mitred pipe bend: piping-fabrication worked example, read second-hand."""

import pytest

from mosaiclib.layout.wedges import wedge


def test_pieces_of_a_90_degree_bend_in_four_cuts():
    """90 degrees, 4 cuts, radius 381, outside diameter 273: centre piece 151.6, end piece 75.8, cut-back 27.15 mm.

    A full circle of the same pieces has 16, each turning by 22.5 degrees; on the centre line the piece is
    2 R tan(theta/2), with no joint."""
    # the edge at the bend's radius, from the wedge whose wide edge lies there
    ring = wedge(381 - 10, width=152, height=10, joint=0)
    assert ring.count == 16
    assert ring.wide == pytest.approx(151.6, abs=0.05)
    assert ring.wide / 2 == pytest.approx(75.8, abs=0.05)
    # cut-back: half the taper over the pipe's half width
    assert wedge(381, width=1000, height=273 / 2, joint=0).count <= 16
    taper_of_the_half = 2 * 273 / 2 * ring.wide / 2 / 381
    assert taper_of_the_half / 2 == pytest.approx(27.15, abs=0.05)
