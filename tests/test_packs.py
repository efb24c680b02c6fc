"""Packs and prices as the maker's shop has them: typed on the page, kept with the plan, and nothing invented told as a price."""

import math
from dataclasses import replace

import pytest

from mosaiclib import reference
from mosaiclib.errors import MosaicError
from mosaiclib.job import Plan, buying_list
from mosaiclib.job.packs import PackPart, bought_of, chosen_packs, packs_of
from mosaiclib.lessons import w06_buy
from mosaiclib.lessons.w06_follow import follow
from mosaiclib.lessons.w06_plan import compute, quick
from mosaiclib.lessons.w06_settings import plan_of, settings_of

TUBE = "tube of adhesive"


def tube(name, holds, price=None):
    return PackPart(material=TUBE, name=name, holds=holds, price=price)


def typed(settings, material, *lines):
    """Return the settings with other lines for one material in the table."""
    rest = tuple(line for line in settings.packs if line[0] != material)
    return replace(settings, packs=(*((material, *line) for line in lines), *rest))


def test_the_table_begins_with_the_packs_of_the_data_and_without_their_invented_prices():
    start = quick()
    shown = [line for line in start.packs if line[0] == TUBE]
    assert shown == [(TUBE, pack.name, f"{pack.number:g} mL", "") for pack in packs_of(TUBE)]
    assert all(line[3] == "" for line in start.packs)
    assert plan_of(start).packs == [] and "packs" not in plan_of(start).model_dump()


def test_a_pack_and_its_price_are_kept_with_the_plan_and_told_as_a_cost(tmp_path):
    settings = typed(quick(), TUBE, ("my tube", "0.1 L", "4,50"))
    plan = plan_of(settings)
    assert plan.packs == [tube("my tube", 100.0, 4.5)]
    again = Plan.load(plan.save(tmp_path / "plan.json"))
    assert again == plan and settings_of(again).packs[0] == (TUBE, "my tube", "100 mL", "4.5")
    table = buying_list(compute(settings).worked).set_index("item")
    line = table.loc["neutral-cure silicone"]
    count = math.ceil(line["amount"] / 100)
    assert (line["packs"], line["cost"], line["note"]) == (f"{count} x my tube", count * 4.5, "")
    before = buying_list(compute(quick()).worked).iloc[-1]
    assert table["cost"].iloc[-1] == pytest.approx(before["cost"] + count * 4.5)
    lacking = int(before["note"].split()[1]) - 1
    assert table["note"].iloc[-1] == f"without {lacking} things that are not priced"


def test_with_a_price_for_all_the_total_says_so():
    settings = quick()
    settings = replace(settings, packs=tuple((*line[:3], "2") for line in settings.packs))
    settings = replace(settings, colours=tuple((*line[:3], "0.1", *line[4:]) for line in settings.colours))
    table = buying_list(compute(settings).worked)
    assert table["item"].iloc[-1] == "all together" and table["note"].iloc[-1] == ""
    rows = {row.label: row.verdict for row in w06_buy.report(compute(settings))}
    assert rows["Cost of all together"] == "at the prices typed here"


def test_a_pack_with_a_price_goes_before_one_without():
    # arithmetic: 250 mL are 3 tubes of 100 for 4.50
    assert chosen_packs(250, TUBE, [tube("a", 100, 4.5), tube("b", 300)]) == ({"a": 3}, 13.5)
    assert chosen_packs(250, TUBE, [tube("a", 100, 4.5), tube("b", 300, 9.0)]) == ({"b": 1}, 9.0)
    # without any price the least is left over: 3 x 100 = 300 against 2 x 260 = 520
    assert chosen_packs(270, TUBE, [tube("a", 100), tube("b", 260)]) == ({"a": 3}, None)


def test_packs_of_what_is_not_used_now_come_back_with_it():
    mine = typed(quick(), TUBE, ("my tube", "100 mL", "4.5"))
    other = follow(mine, replace(mine, family="two-part clear epoxy"))
    assert not any(line[0] == TUBE for line in other.packs) and plan_of(other).packs == plan_of(mine).packs
    back = follow(other, replace(other, family="neutral-cure silicone"))
    assert back.packs == mine.packs and plan_of(back) == plan_of(mine)


def test_lines_that_are_emptied_begin_again_with_the_packs_of_the_data():
    mine = typed(quick(), TUBE, ("my tube", "100 mL", "4.5"))
    settings = settings_of(plan_of(mine))
    assert plan_of(typed(settings, TUBE)).packs == []


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ((TUBE, "", "90 mL", ""), "needs a material, a pack and how much it holds"),
        ((TUBE, "tube", "a bit", ""), "not a number for the size of the tube"),
        ((TUBE, "tube", "1 kg", ""), "unit 'kg'"),
        ((TUBE, "tube", "90 mL", "dear"), "not a number for the price of the tube"),
        ((TUBE, "tube", "90 mL", "-2"), "over 0"),
        ((TUBE, "tube", "0 mL", ""), "over 0"),
        (("glue of sorts", "tube", "90 mL", ""), "no material called 'glue of sorts'"),
    ],
)
def test_lines_that_cannot_be_used_are_refused_in_a_sentence(line, words):
    settings = quick()
    with pytest.raises(MosaicError) as wrong:
        plan_of(replace(settings, packs=(*settings.packs, line)))
    assert words in str(wrong.value)


def test_two_packs_of_one_name_are_refused():
    with pytest.raises(MosaicError, match="two packs of tube of adhesive are called 'a'"):
        plan_of(typed(quick(), TUBE, ("a", "90 mL", ""), ("a", "100 mL", "")))


@pytest.mark.parametrize("family", list(reference.by_name("shop")))
def test_each_thing_that_is_bought_has_its_unit_and_a_line(family):
    for kind in reference.by_name("kinds"):
        for material, unit in bought_of(family, kind, ["sponge"]).items():
            assert unit and all(pack.unit == unit for pack in packs_of(material)), material
