"""The law of what is spoilt: against the negative binomial, its definition, and a bench that is simulated cut by cut."""

import numpy as np
import pytest
from scipy.stats import nbinom

from mosaiclib.errors import MosaicError
from mosaiclib.job.breakage import CUTS, HANDS, spoilt, spoilt_chances, usual_chance


@pytest.mark.parametrize(("need", "chance"), [(1, 0.5), (40, 0.03), (300, 0.2)])
@pytest.mark.parametrize("sure", [0.5, 0.9, 0.95, 0.999])
def test_one_rate_is_the_negative_binomial(need, chance, sure):
    found = spoilt(np.ones(need), np.full(need, chance))
    assert found.within(sure) == nbinom.ppf(sure, need, 1 - chance)
    assert found.mean == pytest.approx(need * chance / (1 - chance))


def test_two_rates_by_hand():
    # one whole tile at 1/2 and one quarter at 1/4: nothing is spoilt with 1/2 x 3/4 = 0.375, one quarter more with
    # 1/2 x 3/4 x 1/4 = 0.09375; two quarters 0.0234375; together 0.4921875; three 0.005859375: 0.498; a whole comes at 4
    law = spoilt(np.array([1.0, 0.25]), np.array([0.5, 0.25])).law
    assert law[[0, 3, 6, 9]] == pytest.approx([0.375, 0.09375, 0.0234375, 0.005859375])
    assert law[12] == pytest.approx(0.375 / 2 + 0.375 * 0.25**4)
    assert law[[1, 2, 4, 5]] == pytest.approx(0)


def test_against_a_bench_that_is_simulated():
    draw = np.random.default_rng(4)
    count = 60
    cuts = {kind: draw.integers(0, 3, count) for kind in CUTS}
    p = {"straight": 0.05, "wedge": 0.1, "hollow": 0.3, "thin": 0.2}
    share = draw.choice([1.0, 1 / 2, 1 / 3, 1 / 4], count)
    law = spoilt(share, spoilt_chances(cuts, p, 0.03))
    used = np.zeros(20_000)
    for at in range(count):  # each piece is cut, cut by cut, until one comes out whole
        open_ = np.ones(len(used), bool)
        while open_.any():
            good = draw.random(open_.sum()) > 0.03
            for kind in CUTS:
                for _ in range(cuts[kind][at]):
                    good &= draw.random(len(good)) > p[kind]
            lost = np.flatnonzero(open_)[~good]
            used[lost] += share[at]
            open_[:] = False
            open_[lost] = True
    assert law.mean == pytest.approx(used.mean(), rel=0.02)
    for sure in (0.6, 0.8, 0.95):
        assert (used <= law.within(sure) + 1e-9).mean() == pytest.approx(sure, abs=0.015)


def test_the_law_is_a_law_and_sure_of_more_takes_more():
    draw = np.random.default_rng(0)
    law = spoilt(draw.choice([1.0, 0.5, 1 / 3, 0.25], 500), draw.choice([0.02, 0.1, 0.4], 500))
    assert law.law.sum() == pytest.approx(1, abs=1e-9)
    assert law.within(0.5) < law.within(0.9) < law.within(0.9999)


def test_the_practised_hand_spoils_less_of_every_kind():
    for kind in CUTS:
        assert 0 < usual_chance(kind, HANDS[1]) < usual_chance(kind, HANDS[0]) < 0.9


def test_nothing_to_cut_and_nonsense():
    assert spoilt(np.zeros(0), np.zeros(0)).within(0.95) == 0
    assert spoilt(np.ones(5), np.zeros(5)).within(0.9999) == 0
    for wrong in ({"straight": 1.0}, {"straight": -0.1}, {"straight": float("nan")}, {}):
        with pytest.raises(MosaicError):
            spoilt_chances({"straight": np.ones(3)}, wrong)
    with pytest.raises(MosaicError):
        spoilt(np.ones(2), np.array([0.1, 1.0]))
