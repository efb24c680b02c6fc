"""The field's final pieces on typical and on savage drawings, by measures of the tests' own."""

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
import shapely

from drawings import ANGULAR, DRAWINGS, LEVEL, LIMITS, UPRIGHT, drawing, rowed
from faults import blank, nearest, poor, twins, width
from guides import seeded
from mosaiclib.errors import MosaicError
from mosaiclib.layout import (
    Gap,
    Guide,
    Layout,
    Tile,
    best_grids,
    join,
    joints_by_place,
    lay_field,
    lay_rows,
    lined_up,
    measured,
    outlined,
    piece_table,
    survey,
)
from mosaiclib.layout.lines import ring

# thin, small and sharp pieces that one grid through the whole face left, before each region had its own
FORMER = {
    **{
        "medallion": 8,
        "ellipse": 6,
        "heart": 9,
        "leaf": 6,
        "spiral": 21,
        "frame": 0,
        "star": 20,
        "teardrop": 6,
        "wave": 6,
    },
    **{
        "arch": 4,
        "S": 9,
        "plus": 15,
        "letter": 7,
        "fish": 5,
        "wing": 21,
        "river": 4,
        "sun": 24,
        "rounded": 8,
        "bridge": 6,
    },
    "lattice": 10,
}


@pytest.fixture(scope="module")
def typical():
    found = {}
    for name in DRAWINGS:
        face, rows = rowed(name)
        found[name] = face, rows, lay_field(face, rows, 20, 2.0)
    return found


@pytest.fixture(scope="module")
def by_place(typical):
    return {name: joints_by_place(join(rows, field)) for name, (_, rows, field) in typical.items()}


def kept(face, whole, field, rows, limits, least):
    """Assert what holds of every field."""
    assert (shapely.get_num_interior_rings(field.shapes) == 0).all()
    assert min(map(width, field.shapes)) >= least - 1e-6
    assert nearest(whole.shapes) >= limits[0] - 0.02
    assert shapely.area(shapely.difference(field.shapes, face)).max() < 1e-6
    assert blank(whole, face, limits[1]) <= 1.5 * limits[1]
    called = (field.pieces["kind"] == "whole").to_numpy()
    assert shapely.area(field.shapes[called]) == pytest.approx(field.tile.side**2, abs=1e-4)


@pytest.mark.parametrize("name", DRAWINGS)
def test_every_drawing_keeps_what_must_hold(typical, name):
    face, rows, field = typical[name]
    kept(face, join(rows, field), field, rows, LIMITS, 3.0)


@pytest.mark.parametrize("pattern", ["grid", "running bond"])
@pytest.mark.parametrize("seed", range(12))
def test_savage_lines_keep_it_too(seed, pattern):
    guide, rows, joint, limits, face, tile = seeded(seed)
    try:
        band = lay_rows(guide, rows, joint, face, limits=limits)
    except MosaicError:
        pytest.skip("no row can be laid")
    field = lay_field(
        face, band, tile, joint, pattern=pattern, angle=(0, 30)[seed % 2], search=("none", "full")[seed % 2]
    )
    kept(face, join(band, field), field, band, limits, 3.0)


def test_the_search_leaves_far_fewer_poor_pieces(typical):
    """Own earlier output, as in FORMER, November 2026: 195 in all, 127 since."""
    found = {name: poor(field.shapes, 20) for name, (_, _, field) in typical.items()}
    assert sum(found.values()) <= 0.7 * sum(FORMER.values()), found
    assert sum(len(field.gaps) for _, _, field in typical.values()) <= 12


def together(by_place, names, place):
    """Return the share of joint length within limits of some drawings together."""
    found = pd.concat([by_place[name] for name in names])
    found = found[found["place"] == place]
    return np.average(found["share_within"], weights=found["length"])


@pytest.mark.parametrize(
    ("place", "least"),
    [("within a row", 0.98), ("row to row", 0.98), ("row to field", 0.93), ("within the field", 0.999)],
)
def test_joints_of_smooth_drawings_keep_their_limits(by_place, place, least):
    """Common practice, no source: what a master leaves without a second look."""
    assert together(by_place, [name for name in DRAWINGS if name not in ANGULAR], place) >= least


def test_joints_to_the_rows_keep_them_in_drawings_of_straight_sides(by_place):
    assert together(by_place, ANGULAR, "row to field") >= 0.93
    frame = by_place["frame"].set_index("place")
    assert frame.loc["row to field", "share_within"] > 0.99  # one grid through the whole face gave 0.74
    assert frame.loc["within the field", ["least", "greatest"]].between(*LIMITS).all()


@pytest.mark.parametrize("name", [*UPRIGHT, *LEVEL])
def test_a_drawing_alike_on_both_sides_is_laid_alike_on_both(typical, name):
    face, rows, field = typical[name]
    level = name in LEVEL
    axis = shapely.get_coordinates(face.centroid)[0, int(level)]
    assert twins(rows.shapes, axis, level) > 0.99
    assert twins(field.shapes, axis, level) > 0.95


def test_where_no_band_decides_the_grid_is_balanced():
    face = shapely.box(0, 0, 300, 130)
    rows = lay_rows([(0, 65), (300, 65)], {"tile": 20}, 2.0, face)
    x = shapely.bounds(lay_field(face, rows, 20, 2.0).shapes)
    assert x[:, 0].min() == pytest.approx(300 - x[:, 2].max(), abs=1e-6)
    first, last = (x[x[:, 0] < 1e-6], x[x[:, 2] > 300 - 1e-6])
    assert len(first) == len(last)
    if len(first):
        assert first[:, 2].max() == pytest.approx(300 - last[:, 0].min(), abs=1e-6)


def test_of_several_turns_the_best_is_taken():
    face = shapely.box(-150, -150, 150, 150)
    square = Guide([(0, -100), (100, 0), (0, 100), (-100, 0)], closed=True, corners=range(4))
    rows = lay_rows(square, {"tile": 20}, 2.0, face, limits=LIMITS)
    assert {grid.angle for grid in best_grids(face, rows, 20, 2.0, angle=(0, 45))} in ({0}, {45})
    both = poor(lay_field(face, rows, 20, 2.0, angle=(0, 45)).shapes, 20)
    assert both <= max(poor(lay_field(face, rows, 20, 2.0, angle=a).shapes, 20) for a in (0, 45))
    with pytest.raises(MosaicError, match="turns of the grid must be from 1 to 12; there are 0"):
        lay_field(face, rows, 20, 2.0, angle=())


def stray(outline, *pieces):
    """Return rows of given pieces as if a line had left them there."""
    table = piece_table(len(pieces), band="rows", row=1, place=np.arange(len(pieces)) + 1, height=10.0, tile=20.0)
    return Layout(outline, np.array(pieces), table, 2.0, 1.7, 2.3, Tile(20, 4))


def test_no_piece_goes_round_a_stray_piece_of_a_row():
    face, piece = shapely.box(0, 0, 108, 108), shapely.box(52, 53, 56, 56)
    field = lay_field(face, stray(piece, piece), 20, 2.0, shift=(0, 0), least=2.0)
    assert (shapely.get_num_interior_rings(field.shapes) == 0).all()
    assert nearest(np.append(field.shapes, piece)) >= 1.98
    assert field.areas.sum() > 0.75 * face.area
    wider = lay_field(face, stray(piece, piece), 20, 2.0, shift=(0, 0), least=9.5)
    assert min(map(width, wider.shapes)) >= 9.5 - 1e-9


def test_pieces_keep_off_what_the_rows_do_not_say_that_they_cover():
    face, inside, outside = shapely.box(0, 0, 130, 86), shapely.box(0, 33, 20, 53), shapely.box(60, 33, 70, 43)
    rows = stray(inside, inside, outside)
    field = lay_field(face, rows, 20, 2.0)
    assert nearest(np.concatenate([field.shapes, rows.shapes])) >= 1.7 - 0.02


def test_a_region_alike_both_ways_is_laid_alike_however_long_its_wide_joints_are():
    """A plus of small tiles whose edges end, over more than a hundred tiles, in a joint with any grid that is alike too."""
    face, plus = shapely.box(-120, -120, 120, 120), shapely.box(-89, -50, 89, 50) | shapely.box(-50, -89, 50, 89)
    band = face - shapely.buffer(plus, 2.9, join_style="mitre")
    field = lay_field(face, stray(band, shapely.box(100, 100, 110, 110)), 3, 2.9, limits=(2.85, 2.95))
    assert min(twins(field.shapes, 0.0, level) for level in (False, True)) > 0.99


def test_a_blank_that_rows_leave_is_told():
    """Four tiles of a row round a hole of 7 mm: no joint, and too small for glass."""
    four = [
        shapely.box(0, 0, 30, 10),
        shapely.box(32, 0, 42, 30),
        shapely.box(12, 32, 42, 42),
        shapely.box(0, 12, 10, 42),
    ]
    four += [shapely.box(12, 12, 30, 18), shapely.box(12, 20, 18, 30)]
    rows = stray(shapely.box(0, 0, 42, 42), *four)
    rows = replace(rows, pieces=rows.pieces.assign(kind="corner"))
    face = shapely.box(-22, -22, 64, 64)
    whole = join(rows, lay_field(face, rows, 20, 2.0))
    assert blank(replace(whole, gaps=()), face, 2.3) > 1.5 * 2.3
    assert blank(whole, face, 2.3) == 0 and all(isinstance(gap, Gap) for gap in whole.gaps)


# --- outline rows, joints in line, measures ------------------------------------------------------------------


def test_the_field_meets_the_outline_row():
    face, guide, rows = drawing("medallion")
    band = lay_rows(guide, outlined(rows, 20), 2.0, face, limits=LIMITS)
    whole = join(band, lay_field(face, band, 20, 2.0))
    edge = band.pieces["row"].isin([1, 5]).to_numpy()
    assert (band.pieces.loc[edge, "fraction"] == "half").all()
    field = whole.shapes[(whole.pieces["band"] == "field").to_numpy()]
    tree = shapely.STRtree(field)
    apart = [shapely.distance(band.shapes[~edge], field[tree.nearest(band.shapes[~edge])]).min()]
    apart.append(shapely.distance(band.shapes[edge], field[tree.nearest(band.shapes[edge])]).min())
    assert apart[0] > 10 and apart[1] >= 1.7 - 0.02


def lines(*rows):
    """Return a layout of straight rows of pieces that begin and end at given places."""
    shapes, number = [], []
    for i, ends in enumerate(rows):
        shapes += [shapely.box(a, -22 * i - 20, b, -22 * i) for a, b in ends]
        number += [i + 1] * len(ends)
    place = np.concatenate([np.arange(len(ends)) + 1 for ends in rows])
    table = piece_table(len(shapes), band="rows", row=number, place=place, height=20.0, tile=20.0)
    return Layout(shapely.union_all(shapes).envelope, np.array(shapes), table, 2.0, 1.7, 2.3, Tile(20, 4))


def run(count, start):
    return [(start + 22 * i, start + 22 * i + 20) for i in range(count)]


@pytest.mark.parametrize(("off", "share"), [(0, 1.0), (2.0, 1.0), (2.1, 0.0), (11, 0.0), (20, 1.0)])
def test_joints_in_line_are_counted(off, share):
    found = lined_up(lines(run(12, 0), run(14, off - 22)))
    assert found.share == share and found.chance == pytest.approx(4 / 22)
    assert found.joints == 11


def test_chance_is_what_chance_gives():
    rng = np.random.default_rng(1)
    found = [lined_up(lines(run(12, 0), run(14, rng.uniform(-22, 0)))) for _ in range(200)]
    assert np.mean([one.share for one in found]) == pytest.approx(found[0].chance, abs=0.06)


def test_a_row_alone_has_nothing_to_line_up_with():
    assert lined_up(lay_rows(ring(60), {"tile": 20}, 2)) == (0, 0.0, 0.0)


@pytest.mark.parametrize("turn", [0, 17, 90])
def test_the_table_of_measures_is_that_of_the_final_pieces(turn):
    wedge = shapely.Polygon([(0, 0), (20, 0), (17, 20), (3, 20)])
    triangle = shapely.Polygon([(0, 0), (16, 0), (0, 12)])
    shapes = np.array([shapely.affinity.rotate(one, turn, origin=(0, 0)) for one in (wedge, triangle)])
    shapes[1] = shapely.affinity.translate(shapes[1], 100, 0)
    table = piece_table(2, band="rows", kind=["wedge", "cut"], fraction=["whole", "half"], tile=20.0)
    found = measured(Layout(shapely.box(-99, -99, 199, 99), shapes, table, 2.0, 1.7, 2.3, Tile(20, 4)))
    assert found["area"].tolist() == [340, 96]
    assert found.loc[0, ["wide", "narrow"]].tolist() == [20, 14]
    assert found.loc[0, "cut_angle"] == pytest.approx(np.degrees(np.arctan(3 / 20)), abs=0.006)
    # the triangle of 12, 16 and 20 mm is 9.6 mm high over its long side
    assert found.loc[1, ["least_width", "greatest_width"]].tolist() == [9.6, 20]
    assert found["cuts"].tolist()[0] == 2 and not found["hollow"].any()
    assert found[["blank_long", "blank_short"]].values.tolist() == [[20, 20], [20, 10]]


def test_measures_of_a_layout_are_those_of_its_survey(typical):
    _, rows, field = typical["leaf"]
    whole = join(rows, field)
    found = measured(whole)
    assert found["least_width"].to_numpy() == pytest.approx([width(s) for s in whole.shapes], abs=0.006)
    assert found["least_width"].min() >= survey(whole).least_width - 0.006
    assert (found["least_width"] <= found["greatest_width"] + 1e-9).all()
