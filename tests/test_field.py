"""The field against the rows: even joints, no slivers, everything told."""

from dataclasses import replace

import numpy as np
import pytest
import shapely

from mosaiclib.errors import MosaicError
from mosaiclib.layout import (
    Guide,
    best_grids,
    broken,
    join,
    joints_by_place,
    lay_field,
    lay_rows,
    off_the_line,
)
from mosaiclib.layout.check import oversize
from mosaiclib.layout.joints import least_widths
from mosaiclib.layout.lines import ring, straight
from mosaiclib.layout.pieces import half_planes, keep_apart, merge_slivers
from mosaiclib.layout.remains import LEAST_SHARE
from mosaiclib.layout.rowspec import outlined

FACE = shapely.box(0, 0, 200, 150)
GUIDE = Guide([(-4, 48), (45, 62), (95, 98), (145, 86), (204, 52)])
QUARTERS = [{"tile": 20, "fraction": "quarter", "count": 3}]


@pytest.fixture(scope="module")
def rows():
    return lay_rows(GUIDE, QUARTERS, 2.0, FACE, limits=(1.7, 2.3))


@pytest.mark.parametrize("pattern", ["grid", "running bond"])
@pytest.mark.parametrize("angle", [0.0, 30.0])
def test_every_field_keeps_what_must_hold(rows, pattern, angle):
    field = lay_field(FACE, rows, 20, 2.0, pattern=pattern, angle=angle, search="few")
    whole = join(rows, field)
    assert broken(whole) == []
    found = joints_by_place(whole).set_index("place")
    assert found.loc["within a row", "share_within"] == 1.0
    assert found["least"].min() >= 1.7 - 0.02
    assert set(field.pieces["kind"]) <= {"whole", "cut"}


def test_rows_field_joints_and_gaps_fill_the_face(rows):
    whole = join(rows, lay_field(FACE, rows, 20, 2.0))
    covered = whole.areas.sum() + whole.filler_area
    assert covered == pytest.approx(FACE.area, rel=1e-9)
    assert whole.outline.equals(FACE)


def test_no_sliver_is_left(rows):
    field = lay_field(FACE, rows, 20, 2.0, search="none", least=3.0)
    assert least_widths(field.shapes).min() >= 3.0 - 1e-6
    assert field.areas.min() >= LEAST_SHARE * 400 - 1e-6
    assert oversize(field).max() <= 0.02


def test_the_full_search_is_no_worse_than_none(rows):
    gaps = [len(lay_field(FACE, rows, 20, 2.0, search=search).gaps) for search in ("none", "few", "full")]
    assert gaps[2] <= gaps[0]
    assert lay_field(FACE, rows, 20, 2.0, shift=best_grids(FACE, rows, 20, 2.0)).areas.sum() == pytest.approx(
        lay_field(FACE, rows, 20, 2.0, search="full").areas.sum()
    )


def test_a_field_without_bends_is_a_plain_grid():
    band = lay_rows(straight(218, x=109), [{"tile": 20}], 2.0, shapely.box(0, -51, 218, 51))
    field = lay_field(shapely.box(0, -51, 218, 51), band, 20, 2.0, shift=(0, 0))
    assert len(field) > 30
    assert joints_by_place(join(band, field))["share_within"].min() > 0.99


def test_hollow_edges_are_told_in_a_column(rows):
    field = lay_field(FACE, rows, 20, 2.0, shift=(3, 9))
    hollow = field.pieces["hollow"].to_numpy()
    lost = shapely.area(shapely.convex_hull(field.shapes)) - field.areas
    assert 0 < hollow.sum() < len(field) and lost[hollow].min() > lost[~hollow].max() / 4
    assert field.pieces.loc[hollow, "kind"].eq("cut").all()
    assert field.pieces.loc[hollow, "why"].str.contains("inward curve").all()


def test_outlined_rows_stand_on_both_sides():
    spec = outlined(QUARTERS, 20)
    assert [row.fraction for row in spec] == ["half", "quarter", "quarter", "quarter", "half"]
    band = lay_rows(GUIDE, spec, 2.0, FACE, limits=(1.7, 2.3))
    assert band.pieces["row"].nunique() == 5


def test_edges_leave_a_ring_by_half_their_sag():
    """A straight edge of 10 mm on a circle of 60 mm has a sag of 10^2/(8 x 60) = 0.21 mm; it is laid half way."""
    spec = [{"tile": 20, "fraction": "quarter"}]
    band = lay_rows(ring(55), spec, 2.0, limits=(1.7, 2.3))
    widest = band.pieces["width"].max()
    assert widest == pytest.approx(10, abs=0.4)
    assert off_the_line(band, ring(55), spec, 2.0) == pytest.approx(widest**2 / (8 * 60) / 2, rel=0.05)


def test_joints_are_told_by_place(rows):
    whole = join(rows, lay_field(FACE, rows, 20, 2.0))
    found = joints_by_place(whole)
    assert found["place"].tolist() == ["within a row", "row to row", "row to field", "within the field"]
    assert found["mean"].between(1.7, 2.6).all()


def test_half_planes_lie_on_their_side():
    plane = half_planes(np.array([[1.0, 2.0]]), np.array([[0.0, 1.0]]), 50)[0]
    assert plane.contains(shapely.Point(1, 10)) and not plane.contains(shapely.Point(1, 1.9))


def test_keep_apart_leaves_out_what_is_buried():
    pair = np.array([shapely.box(0, 0, 10, 10), shapely.box(1, 1, 9, 9)])
    cut, touched = keep_apart(pair, np.array([0, 1]), 2, 1.7, np.array([3.0, 3.0]))
    assert cut[1].is_empty and touched.tolist() == [False, True]


def test_slivers_are_merged_where_one_tile_covers_both():
    row = np.array([shapely.box(0, 0, 6, 10), shapely.box(8, 0, 9, 10)])
    tile = np.array([1.0, 0.0]), np.array([10.0, 10.0])
    touched, lost = merge_slivers(row, [1], lambda i: [0], lambda j: tile, 2, lambda pieces, i: True)
    assert row[0].bounds == (0, 0, 9, 10) and row[1].is_empty
    assert touched.tolist() == [True, True] and lost == []


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"face": "glass"}, "face"),
        ({"tile": -1}, "tile side"),
        ({"joint": 0}, "joint"),
        ({"pattern": "herringbone"}, "pattern"),
        ({"angle": float("inf")}, "angle"),
        ({"search": "long"}, "search"),
        ({"least": 0}, "least width"),
        ({"tolerance": -1}, "tolerance"),
    ],
)
def test_bad_input_is_a_sentence(rows, change, words):
    asked = {"face": FACE, "tile": 20, "joint": 2.0} | change
    with pytest.raises(MosaicError, match=words):
        lay_field(asked.pop("face"), rows, asked.pop("tile"), asked.pop("joint"), **asked)


@pytest.mark.parametrize("angle", [0.0, 30.0])
def test_only_uncut_tiles_are_called_whole_and_sizes_are_those_of_the_grid(angle):
    face, cut_too = shapely.box(0, 0, 196, 92), 0
    rows = lay_rows(straight(196, x=98), [{"tile": 20}], 2.0, shapely.affinity.translate(face, 0, -46))
    rows = replace(rows, outline=shapely.affinity.translate(rows.outline, 0, 46))
    for shift in [(0, 0), (3, 9), (11, 17), (19, 4), (7, 1)]:
        field = lay_field(face, rows, 20, 2.0, angle=angle, shift=shift)
        whole = (field.pieces["kind"] == "whole").to_numpy()
        assert field.areas[whole] == pytest.approx(400, abs=1e-5)
        assert field.pieces.loc[whole, ["width", "height"]].to_numpy() == pytest.approx(20, abs=1e-6)
        cut_too += int((~whole).sum())
    assert cut_too > 10


def test_a_field_of_very_small_tiles_needs_no_word_about_its_least_width():
    face = shapely.box(0, 0, 40, 30)
    rows = lay_rows(straight(60, x=30), [{"tile": 2}], 0.3, face)
    field = lay_field(face, rows, 2, 0.3)
    assert len(field) > 50 and least_widths(field.shapes).min() >= 1.2 - 1e-6
    assert best_grids(face, rows, 2, 0.3)


@pytest.mark.parametrize(
    "change",
    [
        {"limits": (1,)},
        {"limits": ("a", "b")},
        {"limits": (5, 6)},
        {"limits": (0, 0.5)},
        {"shift": 1},
        {"shift": (1,)},
        {"shift": ("a", "b")},
        {"shift": (float("nan"), 0)},
    ],
)
def test_odd_choices_for_the_field_are_told(rows, change):
    with pytest.raises(MosaicError, match=r"\.$"):
        lay_field(FACE, rows, 20, 2.0, **change)


@pytest.mark.parametrize("act", [lay_field, best_grids])
def test_far_too_many_pieces_are_refused_before_they_are_laid(rows, act):
    with pytest.raises(MosaicError, match=r"^The field would have 25,000,000 pieces, over 2,000,000"):
        act(shapely.box(0, 0, 10_000, 10_000), rows, 1.5, 0.5)
