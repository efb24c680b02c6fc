"""Rows and field on savage lines break nothing that must hold, or are refused in a sentence."""

import pytest

from faults import faults
from guides import KINDS, savage
from mosaiclib.errors import MosaicError
from mosaiclib.layout import join, lay_field, lay_rows


def refused(kind, seed):
    """Lay a savage line and assert what must hold; tell whether it is refused."""
    made, rows, joint, limits, face, tile, pattern, angle = savage(kind, seed)
    search = "full" if seed % 7 == 3 else "none"
    try:
        band = lay_rows(made(), rows, joint, face, limits=limits)
        field = lay_field(face, band, tile, joint, pattern=pattern, angle=angle, search=search)
        whole = join(band, field)
    except MosaicError as why:
        assert len(str(why)) > 20
        return True
    assert len(whole)
    assert faults(whole, face, rows, limits, tile) == {}, f"{kind} {seed}"
    return False


@pytest.mark.parametrize("kind", KINDS)
def test_a_savage_line_of_each_kind(kind):
    assert sum(refused(kind, seed) for seed in range(3, 5)) < 2


@pytest.mark.slow
@pytest.mark.parametrize("kind", KINDS)
def test_savage_lines_by_the_dozen(kind):
    assert sum(refused(kind, seed) for seed in range(60)) <= 12
