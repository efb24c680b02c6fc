"""What a work costs: by hand from packs and prices that are typed, and nothing guessed where none is."""

import math

import pytest

from mosaiclib.errors import MosaicError
from mosaiclib.job import Plan, work_out
from mosaiclib.job.days import steps_of
from mosaiclib.job.lists import needs
from mosaiclib.job.money import money_of, money_rows


def plan_with(money=None, packs=(), **tile):
    """A pane of 25 whole tiles with nothing else to buy than adhesive and filler."""
    return Plan.made(
        name="small",
        currency="crowns",
        glass=[{"kind": "pane", "name": "pane", "width": 108.0, "height": 108.0}],
        tile={"side": 20.0, "thickness": 4.0, "pack": 10, "colours": [{"name": "clear", "price": 0.5}]} | tile,
        joint={"wanted": 2.0, "least": 1.5, "greatest": 2.5},
        consumables=[],
        spare={"break_chance": 0.0, "confidence": 0.95},
        packs=list(packs),
        money=money or {},
        colour={"corners": False},
    )


TUBE = {"material": "tube of adhesive", "name": "tube", "holds": 100.0, "price": 8.0}
GROUT = {"material": "plain grout", "name": "bag", "holds": 1.0, "price": 5.0}
LATEX = {"material": "latex additive", "name": "bottle", "holds": 250.0, "price": 6.0}
TWO = {"colours": [{"name": "clear", "price": 0.5}, {"name": "blue", "price": 0.3}]}


def test_whole_packs_and_what_is_used_by_hand():
    worked = work_out(plan_with(packs=[TUBE, GROUT, LATEX], **TWO))
    found, amount = money_of(worked), {need.material: need.amount for need in needs(worked)}
    count = worked.pieces[0].layout.pieces["colour"].value_counts()
    packs = sum(math.ceil(count[name] / 10) * 10 * price for name, price in (("clear", 0.5), ("blue", 0.3)))
    assert found.packs == pytest.approx(packs + 8.0 + 5.0 + 6.0)
    used = 0.5 * count["clear"] + 0.3 * count["blue"]  # nothing breaks
    used += 8 * amount["tube of adhesive"] / 100 + 5 * amount["plain grout"] / 1 + 6 * amount["latex additive"] / 250
    assert found.used == pytest.approx(used) and found.used < found.packs
    assert found.lacking == ()


def test_the_rule_by_hand():
    rule = {"rate": 12.0, "tools": 7.0, "margin": 0.25}
    worked = work_out(plan_with(rule, [TUBE, GROUT, LATEX], **TWO))
    found = money_of(worked)
    minutes = sum(step.work.usual for step in steps_of(worked))
    assert found.work.usual == pytest.approx(minutes)
    assert found.price(minutes) == pytest.approx((found.packs + 7 + minutes / 5) * 1.25)
    other = money_of(work_out(plan_with(rule | {"basis": "what is used"}, [TUBE, GROUT, LATEX], **TWO)))
    assert other.price(60) == pytest.approx((found.used + 7 + 12) * 1.25)


def test_what_is_not_priced_is_said_and_not_guessed():
    free = {"colours": [{"name": "clear"}, {"name": "blue"}]}
    worked = work_out(plan_with(**free))
    found = money_of(worked)
    assert found.packs == found.used == found.price(1000) == 0
    said = money_rows(worked)[-1]
    assert said.label == "The price leaves out"
    for name in ("tiles, clear", "neutral-cure silicone", "your hours", "tools"):
        assert name in said.verdict


def test_two_pieces_share_a_pack():
    alike = {"colours": [{"name": "clear", "price": 0.5}, {"name": "blue", "price": 0.5}]}
    two = plan_with(packs=[TUBE, GROUT, LATEX], **alike).model_dump(mode="json")
    two["glass"] = [two["glass"][0], two["glass"][0] | {"name": "other"}]
    one, both = money_of(work_out(plan_with(packs=[TUBE, GROUT, LATEX], **alike))), money_of(work_out(Plan.made(**two)))
    assert both.packs < 2 * one.packs and both.used == pytest.approx(2 * one.used)


@pytest.mark.parametrize("wrong", [{"rate": -1.0}, {"margin": float("nan")}, {"tools": "much"}, {"basis": "guess"}])
def test_nonsense_is_a_sentence(wrong):
    with pytest.raises(MosaicError):
        plan_with(wrong)
