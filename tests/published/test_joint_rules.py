"""Published rules for joints. None of the standards was read in full: each is read second-hand."""

import pytest

from mosaiclib import reference
from mosaiclib.spacing.rules import joint_rule_a108_02, least_joint, uniformity_a137_1
from mosaiclib.units import INCH


def test_a108_02_worked_case():
    # ANSI A108.02-2017 cl. 4.3.8, quoted in the TCNA Handbook 2018 p. 37: read second-hand.
    # Variation 1/16 in -> joint 3/16 in; fractions, so exact.
    assert joint_rule_a108_02(INCH / 16) == pytest.approx(3 / 16 * INCH, abs=1e-9)


@pytest.mark.parametrize("variation", [0, 0.1, 0.5, INCH / 48])
def test_a108_02_floor(variation):
    # Same clause, read second-hand: never under 1/16 in, which governs up to a variation of 1/48 in.
    assert joint_rule_a108_02(variation) == pytest.approx(INCH / 16, abs=1e-9)


def test_a108_02_just_over_the_floor():
    assert joint_rule_a108_02(INCH / 48 + 0.01) == pytest.approx(INCH / 16 + 0.03, abs=1e-9)


def test_a108_02_against_gb_t_7697():
    # Computed from GB/T 7697-1996 Table 1 (read): 20.5 - 19.5 = 1.0 mm asks 3.0 mm, the wider joint of
    # Table 2; a lot sorted to 0.5 mm would ask 1.5, so the floor of 1.59 mm governs.
    least, greatest = reference.value("tiles", "20 mm tile, edge").band
    assert joint_rule_a108_02(greatest - least) == reference.value("tiles", "joint, wide").number == 3.0
    assert joint_rule_a108_02(0.5) == pytest.approx(1.59, abs=0.005)
    assert joint_rule_a108_02(0.5) == least_joint() == 1.5875


def test_the_rules_are_read_from_the_table(monkeypatch, tmp_path):
    # a figure that is edited in data/ must change the rule, here 3 to 4 and 1/16 in to 2 mm
    text = (reference.DATA / "joints_ansi-a108-a137_2017.csv").read_text(encoding="utf-8")
    edited = text.replace("joint over size variation,3,", "joint over size variation,4,").replace("1.5875", "2")
    (tmp_path / "joints_edited.csv").write_text(edited, encoding="utf-8")
    monkeypatch.setattr(reference, "DATA", tmp_path)
    assert (joint_rule_a108_02(1.0), least_joint()) == (4.0, 2.0)


@pytest.mark.parametrize(("off", "passes"), [(0.299, True), (0.3, False), (0.301, False)])
def test_a137_1_range_along_one_joint(off, passes):
    # ANSI A137.1 Table 6, quoted in a trade magazine's answer: read second-hand.
    # Mean 2 mm; under 30 % of it is 0.6 mm, itself not allowed.
    verdict = uniformity_a137_1([[2 - off, 2 + off], [2.0, 2.0, 2.0]])
    assert verdict.range_share == pytest.approx(off, abs=1e-9)
    assert verdict.even_along is verdict.passes is passes
    assert ("passes" in str(verdict.sentence)) is passes


@pytest.mark.parametrize("side", [-1, 1])
@pytest.mark.parametrize(("off", "passes"), [(0.499, True), (0.5, True), (0.501, False)])
def test_a137_1_mean_joint_of_each_tile(side, off, passes):
    # Same table, read second-hand: within +/- 25 % of 2 mm, so 1.5 to 2.5 mm, both allowed.
    verdict = uniformity_a137_1([[2.0, 2.0], [2.0, 2.0]], [2.0, 2 + side * off])
    assert verdict.tile_share == pytest.approx(off / 2, abs=1e-9)
    assert verdict.even_between is verdict.passes is passes
    assert verdict.even_along


def test_a137_1_half_judged_still_fails_as_a_whole():
    assert not uniformity_a137_1([[1.0, 3.0]], [2.0]).passes
    assert not uniformity_a137_1([[2.0, 2.0]], [3.0]).passes


def test_a137_1_near_a_limit_is_not_rounded_onto_it():
    assert "29.9990 %" in str(uniformity_a137_1([[1.70001, 2.29999]]).sentence)
