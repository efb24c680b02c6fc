"""What is set is what is used: nothing that a learner typed is changed in silence."""

from dataclasses import replace

import pytest

from mosaiclib.errors import MosaicError
from mosaiclib.job import Plan
from mosaiclib.lessons import w02_crossing, w02_motif, w02_ring, w02_rows, w04_energy, w06_settings
from mosaiclib.reference import DATA
from mosaiclib.report import plain_report


@pytest.fixture(scope="module")
def planned():
    return w06_settings.settings_of(Plan.load(DATA / "example_plan.json"))


@pytest.mark.parametrize("page", [w02_ring, w02_rows, w02_crossing, w02_motif])
def test_limits_that_are_widened_to_the_joint_are_told(page):
    told = " ".join(plain_report(page.report(page.compute(page.Settings(joint=3.0)))))
    assert "1.7 to 3 mm" in told and "your joint of 3 mm is outside your limits of 1.7 to 2.3 mm" in told
    usual = " ".join(plain_report(page.report(page.compute(page.Settings()))))
    assert "outside your limits" not in usual


def test_a_wanted_joint_outside_its_limits_is_refused(planned):
    with pytest.raises(MosaicError, match=r"wanted joint of 9 mm is not within the joint limits of 1\.7 to 2\.4 mm"):
        w06_settings.plan_of(replace(planned, joint=9.0))
    assert w06_settings.plan_of(replace(planned, joint=2.4)).joint.wanted == 2.4


def test_a_back_larger_than_its_tile_is_refused(planned):
    with pytest.raises(MosaicError, match="back of 25 mm is larger than the tile of 20 mm"):
        w06_settings.plan_of(replace(planned, back_side=25.0))
    assert w06_settings.plan_of(replace(planned, back_side=18.0)).tile.back_side == 18.0
    assert w06_settings.plan_of(replace(planned, back_side=20.0)).tile.back_side == 20.0
    assert w06_settings.plan_of(replace(planned, back_side=0.0)).tile.back_side is None


@pytest.mark.parametrize("page", [w04_energy])
def test_what_glass_holds_is_not_turned_round(page):
    with pytest.raises(MosaicError, match="from 7 to 6 J/m2"):
        page.compute(page.Settings(low=7.0, high=6.0))
    assert page.compute(page.Settings(low=6.0, high=6.0))
