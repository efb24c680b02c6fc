"""What somebody published and is more than one number: rules, what happens exactly at a limit, curves."""

import numpy as np
import pytest
import shapely

from mosaiclib import reference
from mosaiclib.adhesive import difference
from mosaiclib.colour import CannotBe, arrange
from mosaiclib.filler import meets, recipe, sand_for
from mosaiclib.layout import Guide, balanced_border
from mosaiclib.spacing import TileSizes, joint_rule_a108_02, simulate_face, spacer_candidates, uniformity_a137_1
from mosaiclib.units import INCH
from published.colourings import grid
from published.curves import clothoid
from published.filler import CLASSES, verdict
from published.light import PAIRS
from published.spacers import EURO, SELDOM, US_MINT
from published.svg_paths import POINTS


@pytest.mark.parametrize("variation", [0, 0.1, 0.5, INCH / 48])
def test_the_least_joint_governs_up_to_a_48th_of_an_inch(variation):
    # ANSI A108.02-2017 cl. 4.3.8, quoted in the TCNA Handbook 2018 p. 37: read second-hand
    assert joint_rule_a108_02(variation) == pytest.approx(INCH / 16, abs=1e-9)
    assert joint_rule_a108_02(INCH / 48 + 0.01) == pytest.approx(INCH / 16 + 0.03, abs=1e-9)


def test_no_cut_is_under_half_a_tile():
    # ANSI A108.02-2017 cl. 4.3.2, read second-hand, as a rule: every span from two tiles up, by tenths
    for span in range(400, 1400):
        found = balanced_border(span / 10, 20, 2)
        assert found.border_width == 0 or found.border_width >= 10


def test_the_two_limits_for_sheets_of_mosaic_tile():
    # ANSI A137.1 Table 6, quoted in a trade magazine, read second-hand: the range must be under 30 %, the mean joint of
    # a tile may be as much as 25 % off
    assert not uniformity_a137_1([[1.7, 2.3], [2.0, 2.0]]).passes
    assert uniformity_a137_1([[1.701, 2.299], [2.0, 2.0]]).passes
    assert uniformity_a137_1([[2.0, 2.0]], [2.5]).passes and uniformity_a137_1([[2.0, 2.0]], [1.5]).passes
    assert not uniformity_a137_1([[1.0, 3.0]], [2.0]).passes and not uniformity_a137_1([[2.0, 2.0]], [3.0]).passes
    assert "29.9990 %" in str(uniformity_a137_1([[1.70001, 2.29999]]).sentence)  # not rounded onto the limit


def test_every_coin_that_is_offered_is_checked():
    for currency, coins in (("US", US_MINT), ("euro", EURO)):
        offered = {name for one in spacer_candidates(2.0, currency=currency, pairs=False) for name in one.names}
        assert offered == set(coins) - set(SELDOM)


@pytest.mark.parametrize(("count", "printed", "d3"), [(2, 1.128, 0.853), (5, 2.326, 0.864), (10, 3.078, 0.797)])
def test_drawn_tiles_have_the_printed_range(count, printed, d3):
    # ASTM MNL 7, factors for control charts, d2: read second-hand; d3, only for the standard error: from memory
    sd, rows = 0.2, 40_000
    face = simulate_face(count, rows, "spacer stick", nominal=20, sizes=TileSizes(20, sd), joint=2, seed=7697)
    sizes = face.across.sizes
    ranges = (sizes.max(axis=1) - sizes.min(axis=1)) / sd
    assert ranges.mean() == pytest.approx(printed, abs=4 * d3 / rows**0.5 + 0.0005)
    assert abs(ranges.mean() - printed) < 0.02  # so that neighbours, 2.059 and 2.534 say, would fail


def test_three_colours_cannot_do_where_corners_count():
    # MathWorld, "King Graph": chromatic number 4; read without its figures
    tiles = grid(2, 2)
    with pytest.raises(CannotBe):
        arrange(tiles, {"a": 4, "b": 4, "c": 4}, corners=True)


@pytest.mark.parametrize("check", CLASSES, ids=lambda c: c.what)
def test_a_value_exactly_at_the_limit_of_a_class_is_in_it(check):
    # EN 12004, EN 13888, ANSI A118: "at least", "at most"; the sources stand with the records
    name, _, quantity = check.what.partition(": ")
    assert verdict(name, quantity, check.number) != "not met"


def test_grout_without_sand_takes_about_the_water_of_a_cement_paste():
    """Neville, Properties of Concrete: a cement paste of standard consistency takes 26 to 33 % of water: from memory.

    How much the bags themselves name is common practice, no source."""
    made = recipe(100.0, "ready-fortified cement grout", 2.0)
    assert 0.26 <= made.water / made.powder <= 0.33


def test_sanded_grout_takes_between_standard_mortar_and_paste():
    """EN 196-1: 1 part of cement, 3 of standard sand, half a part of water, 0.125 of the powder: from memory.

    Grout holds more cement and finer sand than that, and less cement than paste (26 % at least, Neville)."""
    made = recipe(100.0, "ready-fortified cement grout", 5.0)
    assert 0.5 / (1 + 3) < made.water / made.powder < 0.26


def test_too_much_water_is_among_the_causes_of_weak_filler():
    """Tile Magazine, Tile Q&A, "Common causes of grout problems": too much water or additive leaves pinholes and a weak
    structure, and sand bridges joints under 1/8 in: read."""
    for kind in ("plain cement grout", "ready-fortified cement grout", "cement grout with latex"):
        assert "too much water" in recipe(100.0, kind, 2.0).ingredients[-1].words
    assert sand_for(0.124 * INCH) == "unsanded"


def test_the_classes_of_filler_ask_for_what_the_standard_tests_and_not_for_adhesion():
    """EN 13888-2:2022, Grouts for ceramic tiles - Part 2: Test methods, scope: strengths, water, shrinkage, abrasion: read.

    Its fifth, chemical resistance, is in no class here."""
    tested = {"flexural strength", "compressive strength", "water absorbed", "shrinkage", "abrasion"}
    for name in ("CG1", "CG2 W A", "RG"):
        asked = {record.note.partition(" in ")[0].partition(",")[0] for record in reference.groups("classes")[name]}
        assert asked == tested


def test_s1_ends_where_s2_begins():
    # EN 12004-1:2017: S1 at least 2.5 and under 5 mm, S2 at least 5 mm: read second-hand for 2.5, 5 from memory
    table = meets({"transverse deformation": 5.0}).set_index("class")["verdict"]
    assert table["S1"] == "not met" and table["S2"] != "not met"


def test_exactly_three_eighths_is_not_yet_heavily_sanded():
    # Tile Council of North America, FAQ "Grout": more heavily sanded over 3/8 in: read
    assert sand_for(0.375 * INCH) == "sanded"


def test_the_difference_of_colours_is_the_same_both_ways():
    # Sharma, Wu and Dalal 2005: the formula is symmetrical
    for line in PAIRS:
        *six, printed = map(float, line.split())
        assert difference(six[3:], six[:3]) == pytest.approx(printed, abs=0.00005)


def test_cornus_spiral_turns_as_its_length():
    # Digital Library of Mathematical Functions 7.20(ii): at t the curvature is pi t; from memory
    guide, scale = clothoid(), 100.0
    assert guide.length == pytest.approx(scale * 1.2, rel=1e-5)
    s = np.linspace(0.1, 0.9, 33) * guide.length
    linear = np.pi * (s / scale) / scale
    assert guide.curvature(s) == pytest.approx(linear, abs=1e-3 * linear.max())


OVAL = Guide([(60, 0), (40, 30), (0, 42), (-40, 30), (-60, 0), (-40, -30), (0, -42), (40, -30)], closed=True)


@pytest.mark.parametrize("d", [1.0, 10.0, 25.0])
def test_outside_offset_of_a_convex_guide(d):
    """Steiner's formula: length L + 2 pi d, area A + L d + pi d^2; course notes with proof, read.

    Also in Santalo, Integral Geometry and Geometric Probability (1976), chapter 1: from memory."""
    s = np.linspace(0, OVAL.length, 20_000, endpoint=False)
    assert OVAL.curvature(s).min() > 0  # turns left all round, so that its outside lies on the right
    inner, outer = (shapely.Polygon(OVAL.at(s) + off * OVAL.normal(s)) for off in (0.0, d))
    assert outer.length == pytest.approx(inner.length + 2 * np.pi * d, rel=1e-6)
    assert outer.area == pytest.approx(inner.area + inner.length * d + np.pi * d**2, rel=1e-6)


def test_every_command_of_svg_paths_is_held():
    # W3C, SVG 2, chapter Paths: ten commands, each absolute and relative; of arcs the four of one pair of points
    held = {sign for _, data, *_ in POINTS for sign in data if sign.isalpha()}
    assert held == set("MZLHVCSQTAmzlhvcsqta")
    flags = {tuple(data.split()[-4:-2]) for _, data, *_ in POINTS if " A 5 5 0" in data and data.endswith(" 5 5")}
    assert flags == {("0", "0"), ("0", "1"), ("1", "0"), ("1", "1")}
