"""Coverage rules as quoted, and common practice."""

import pytest

from mosaiclib import reference
from mosaiclib.adhesive import choose, coverage_wanted


def test_rules_as_quoted():
    # ANSI A108.5 and the A108 series, read second-hand; they leave glass tile out
    assert coverage_wanted("opaque", "dry shelf").number == 0.80
    assert coverage_wanted("opaque", "outdoors").number == 0.95
    assert "glass" in reference.value("coverage", "back covered, dry rooms").condition
    # ANSI A108.14, .15, .16 in a trade-magazine account of 2006, read second-hand
    assert coverage_wanted("translucent", "dry shelf").number == 1.0


def test_strength_goes_with_coverage():
    # NTCA, TileLetter Feb 2018, read second-hand: 200 psi x 0.80 = 160, 400 x 0.80 = 320
    from mosaiclib.adhesive import hold

    full, part = hold(4, 1.0, fresh=0, strength=1.38), hold(4, 1.0, fresh=0, strength=1.38, coverage=0.8)
    assert part.strength / full.strength == pytest.approx(160 / 200) == pytest.approx(320 / 400)


def test_about_two_thirds_of_a_joint_are_cleared():
    # common practice, no source
    record = reference.value("coverage", "depth to clear")
    assert record.number == pytest.approx(2 / 3, abs=1e-4) and record.evidence == "common practice"


def test_acetic_acid_limit():
    # OSHA PEL and NIOSH REL, 10 ppm, read; 10 x 60.05/24.45 = 24.6 mg/m3
    record = reference.value("adhesives", "acetoxy silicone: gives off")
    assert (record.number, record.unit) == (10, "ppm")
    assert record.number * 60.05 / 24.45 == pytest.approx(24.6, abs=0.05)


def test_a_dark_bed_spoils_clear_glass():
    # common practice, no source
    for clarity in ("translucent", "transparent"):
        table = choose(clarity, "dry shelf").set_index("family")
        assert table.loc["grey polymer-modified cement adhesive", "verdict"] == "ruled out"
