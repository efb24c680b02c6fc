"""Motifs: rows inwards from a closed outline; what must hold is measured here from the bare shapes."""

import math

import numpy as np
import pytest
import shapely

from clashes import holds
from mosaiclib import layout
from mosaiclib.errors import MosaicError
from mosaiclib.layout import MIDDLES, broken, motif, outline_of

SHAPES = {
    "disc": layout.ring(60),
    "ellipse": layout.ellipse(200, 120),
    "leaf": layout.leaf(220, 110),
    "heart": layout.heart(180, 170),
    "star": layout.star(240, inner=110),
    "petal": layout.ellipse(140, 60, turned=30),
    "plate": layout.rounded_rectangle(180, 120, 30),
}
GLASS = 0.6  # of an outline at least, by tiles of 20 mm and joints of 2 mm: a grid of quarters has (10/12)^2 = 0.69


def sound(laid, edge):
    """Hold a motif by the bare shapes and by the library's own check; return what was measured."""
    found = holds(laid, edge)
    assert not broken(laid)
    assert (laid.pieces["why"] != "").all()
    numbered = laid.pieces[laid.pieces["band"] == "rows"].groupby("row")["place"]
    assert all(sorted(places) == list(range(1, len(places) + 1)) for _, places in numbered)
    return found


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize("fraction", ["half", "quarter"])
@pytest.mark.parametrize("middle", MIDDLES)
def test_motifs_hold_and_are_glass(name, fraction, middle):
    edge = outline_of(SHAPES[name])
    laid = motif(SHAPES[name], 20, 2, fraction=fraction, middle=middle)
    assert sound(laid, edge).glass > GLASS
    rows = laid.pieces[laid.pieces["band"] == "rows"]
    assert sorted(rows["row"].unique()) == list(range(1, rows["row"].max() + 1))


def test_a_disc_has_rings_like_those_of_the_wedges_and_one_piece_in_the_middle():
    laid = motif(layout.ring(60), 20, 2, fraction="quarter")
    table = laid.pieces
    centre = table[table["band"] == "middle"]
    assert len(centre) == 1 and laid.shapes[centre.index[0]].centroid.distance(shapely.Point(0, 0)) < 0.3
    for row, pieces in table[table["band"] == "rows"].groupby("row"):
        spots = shapely.get_coordinates(shapely.centroid(laid.shapes[pieces.index]))
        radius = np.hypot(*spots.T)
        assert np.ptp(radius) < 0.6, row  # a ring
        steps = np.diff(np.sort(np.arctan2(spots[:, 1], spots[:, 0])))
        assert np.ptp(steps) < 0.2 * steps.mean()  # even
        wide = pieces["width"].mean() + 2
        outside = radius.mean() + pieces["height"].mean() / 2
        assert len(pieces) == pytest.approx(2 * math.pi * outside / wide, abs=1.0)


def test_what_is_left_over_is_shared():
    """The middle of a disc is between a quarter and a half of the tile in radius, whatever the disc of three rows and more."""
    for radius in np.linspace(46, 96, 14):
        laid = motif(layout.ring(radius), 20, 2)
        centre = laid.shapes[(laid.pieces["band"] == "middle").to_numpy()]
        assert len(centre) == 1, radius
        assert 4.5 <= math.sqrt(centre[0].area / math.pi) <= 10.2, radius
        heights = laid.pieces.loc[(laid.pieces["band"] == "rows") & (laid.pieces["kind"] == "wedge"), "height"]
        assert heights.min() >= 0.8 * 10 - 0.2 and heights.max() <= 10.001


def blob(rng):
    """Return a seeded outline: smooth, with corners, or with a neck."""
    kind = rng.integers(3)
    if kind == 2:
        far, r, s = rng.uniform(90, 140), *rng.uniform(35, 60, 2)
        neck = shapely.LineString([(0, 0), (far, 0)]).buffer(rng.uniform(8, 25))
        discs = [shapely.Point(0, 0).buffer(r, 64), shapely.Point(far, 0).buffer(s, 64)]
        return shapely.union_all([neck, *discs]), "neck"
    n = int(rng.integers(4, 8))
    angle = np.linspace(0, 2 * np.pi, n, endpoint=False)
    radius = rng.uniform(60, 120, n)
    points = np.stack([radius * np.cos(angle), radius * np.sin(angle)], axis=1)
    corners = range(n) if kind else ()
    return outline_of(layout.Guide(points, closed=True, corners=corners)), "corners" if kind else "smooth"


def seeded(seed):
    """Return a motif laid on a seeded outline, the outline and its kind."""
    rng = np.random.default_rng([13, seed])
    edge, kind = blob(rng)
    tile, joint = float(rng.choice([12, 15, 20])), float(rng.choice([1.5, 2.0]))
    fraction, middle = str(rng.choice(["half", "quarter", "whole"])), str(rng.choice(list(MIDDLES)))
    return motif(edge, tile, joint, fraction=fraction, middle=middle), edge, kind


@pytest.mark.parametrize("seed", range(24))
def test_seeded_motifs_hold(seed):
    laid, edge, _ = seeded(seed)
    found = sound(laid, edge)
    assert found.glass > 0.5 and found.told < 0.04


@pytest.mark.slow
def test_a_hundred_seeded_motifs(capsys):
    """All are laid; by kind of outline the share of glass and of what is left to the filler."""
    shares = {}
    for seed in range(100):
        laid, edge, kind = seeded(seed)
        found = sound(laid, edge)
        shares.setdefault(kind, []).append((found.glass, found.told))
    assert set(shares) == {"smooth", "corners", "neck"}
    with capsys.disabled():
        for kind, found in shares.items():
            (least, _), (mean, left) = np.min(found, axis=0), np.mean(found, axis=0)
            print(f"\n  {len(found)} motifs, {kind}: glass {mean:.0%} (least {least:.0%}), told as filler {left:.1%}")
            assert mean > 0.66 and left < 0.015


def test_through_a_neck_goes_one_line_of_pieces():
    """Two discs and a bar 26 mm wide: rows of 10 mm do not fit beside each other a second time, so one line closes it."""
    discs = [shapely.Point(x, 0).buffer(45, 64) for x in (0, 140)]
    neck = shapely.box(30, -19, 110, 19)
    edge = shapely.union_all([neck, *discs])
    laid = motif(edge, 20, 2)
    found = sound(laid, edge)
    inside = laid.pieces[shapely.within(laid.shapes, shapely.box(47, -19, 93, 19))]
    across = [inside[inside["band"] == band] for band in ("rows", "middle")]
    assert set(across[0]["row"]) == {1} and len(across[1]) >= 2 and found.told < 0.01
    assert across[1]["height"].min() > 12  # 38 - 2 (10 + 2) = 14 mm are left, in one line


OWN = (
    "M4 52 C14 40 22 34 34 34 C44 34 52 40 60 40 C72 40 84 26 112 14 C104 32 98 44 88 54 C98 54 108 52 118 46 "
    "C110 62 92 72 72 72 C50 74 30 66 22 56 Z"
)


@pytest.mark.parametrize("middle", MIDDLES)
def test_a_bird_of_our_own(middle):
    drawn = layout.SvgDrawing.of_text(f'<svg><path id="bird" d="{OWN}"/></svg>', length=260)
    edge = drawn.outline("bird")
    found = sound(motif(edge, 15, 2, middle=middle), edge)
    assert found.glass > 0.6 and found.told < 0.03


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize("middle", MIDDLES)
def test_the_middle_is_what_was_asked(name, middle):
    """A small grid; pieces that run together where it is round; else one piece, or a line of them where it is long."""
    laid = motif(SHAPES[name], 20, 2, fraction="quarter", middle=middle)
    table = laid.pieces[laid.pieces["band"] == ("field" if middle == "field" else "middle")]
    assert len(table)
    if middle == "field":
        assert set(laid.pieces["band"]) == {"rows", "field"}
    elif name == "disc":
        assert set(table["kind"]) - {"cut"} == ({"fan"} if middle == "fan" else set())
    else:
        assert set(table["kind"]) <= {"cut", "fan"}


@pytest.mark.parametrize("name", SHAPES)
def test_a_row_goes_round_the_outline(name):
    """The row outside a motif is the motif's first; the motif within it is laid as it is alone."""
    edge = outline_of(SHAPES[name])
    alone, laid = (motif(edge, 20, 2, fraction="quarter", outlined=word) for word in ("none", "half"))
    sound(laid, laid.outline)
    first = ((laid.pieces["band"] == "rows") & (laid.pieces["row"] == 1)).to_numpy()
    assert set(laid.pieces.loc[first, "fraction"]) == {"half"}
    away = shapely.distance(laid.shapes[first], edge)
    assert away.min() >= laid.joint_min - 0.02
    assert (away <= laid.joint_max).mean() > 0.9 and away.max() < 10  # past a sharp tip it turns
    assert shapely.equals_exact(laid.shapes[~first], alone.shapes, 1e-9).all()
    assert (
        laid.pieces.loc[~first, "row"].to_numpy() == np.where(alone.pieces["row"] > 0, alone.pieces["row"] + 1, 0)
    ).all()
    closes = shapely.union_all(shapely.buffer(laid.shapes[first], 1.5))
    assert len(shapely.get_rings(closes)) == 2  # a ring without a break


@pytest.mark.parametrize(
    ("ask", "words"),
    [
        (lambda: motif(layout.straight(50), 20, 2), "closes on itself"),
        (lambda: motif(shapely.Point(0, 0).buffer(50) - shapely.Point(0, 0).buffer(9), 20, 2), "must not have holes"),
        (lambda: motif(layout.ring(60), 20, 2, middle="hole"), "middle 'hole'"),
        (lambda: motif(layout.ring(60), 20, 2, outlined="twice"), "outline row 'twice'"),
        (lambda: motif(layout.ring(1), 20, 2), "No piece can be laid in this motif"),
    ],
)
def test_what_cannot_be_is_told(ask, words):
    with pytest.raises(MosaicError, match=words):
        ask()
