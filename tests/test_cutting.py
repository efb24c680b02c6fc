"""Cutting a plan: the bench's order holds every piece once, pairs save what they say, and the buying follows."""

import math

import numpy as np
import pytest

from mosaiclib.errors import MosaicError
from mosaiclib.job import Plan, work_out
from mosaiclib.job.cutting import ADVICE, WAYS, bench_order, offcuts
from mosaiclib.reference import DATA


def plan_with(**cut):
    """A pane whose border pieces are cut, in two colours."""
    colours = [{"name": "clear"}, {"name": "blue"}]
    pane = {"kind": "pane", "name": "pane", "width": 172.0, "height": 172.0}
    joint = {"wanted": 2.0, "least": 1.5, "greatest": 2.5, "edge": "cut"}
    tile = {"side": 20.0, "thickness": 4.0, "colours": colours}
    return Plan.made(name="cut", glass=[pane], tile=tile, joint=joint, cut=cut)


@pytest.fixture(scope="module")
def example():
    return work_out(Plan.load(DATA / "example_plan.json"))


@pytest.fixture(scope="module")
def order(example):
    return bench_order(example.cutting)


def test_every_piece_stands_in_the_order_once(example, order):
    listed = []
    for line in order.itertuples():
        numbers = [
            (part.split(": ")[0], int(one)) for part in line.numbers.split("; ") for one in part.split(": ")[1].split()
        ]
        assert len(numbers) == line.pieces
        listed += numbers
    table = example.cutting.table
    assert sorted(listed) == sorted(zip(table["glass"], table["number"], strict=True))


def test_blanks_come_before_gauges_and_gauges_before_colours(order):
    for columns in (["blank", "blank_long", "blank_short"], ["group"], ["blank", "way"]):
        keys = list(map(tuple, order[columns].to_numpy()))
        begins = [key for key, before in zip(keys, [None, *keys], strict=False) if key != before]
        assert len(begins) == len(set(begins)), f"{columns} is set up twice"
    assert set(order["way"]) <= set(WAYS) and set(ADVICE) == set(WAYS)
    assert order["group"].nunique() < len(order) < len(order["numbers"].str.split().sum())


def test_a_gauge_is_set_as_its_pieces_are(example, order):
    step = example.plan.cut.gauge_step
    table = example.pieces[0].layout.pieces
    for line in order[order["way"] == "gauge"].itertuples():
        mine = table.iloc[[int(one) - 1 for one in line.numbers.split(": ")[1].split()]]
        assert (np.abs(mine["width"] - line.wide) <= step / 2 + 1e-9).all()
        assert (np.abs(mine["narrow"] - line.narrow) <= step / 2 + 1e-9).all()


def test_pairs_save_the_blanks_that_they_say(example):
    cut = example.cutting
    alone, both = cut.taken(False), cut.taken(True)
    table, pairs = cut.table, cut.pairs
    assert len(pairs) and len(np.unique(pairs)) == pairs.size
    assert (table["colour"].to_numpy()[pairs[:, 0]] == table["colour"].to_numpy()[pairs[:, 1]]).all()
    saved = table.iloc[pairs[:, 1]].groupby("colour")["share"].sum()
    for colour, line in both.iterrows():
        before = table.loc[table["colour"] == colour, "share"].sum()
        assert line["tiles"] == math.ceil(before - saved.get(colour, 0) - 1e-9)
        assert alone.loc[colour, "tiles"] == math.ceil(before - 1e-9)
        assert line["spoilt"] == alone.loc[colour, "spoilt"]


def with_cut(**cut):
    """The example, cut in another way."""
    plan = Plan.load(DATA / "example_plan.json").model_dump(mode="json")
    return work_out(Plan.made(**plan | {"cut": plan["cut"] | cut}))


def test_the_buying_follows_the_law_and_the_pairs(example):
    alone, both, practised = example, with_cut(paired=True), with_cut(hand="practised")
    for better in (both, practised):
        assert (better.colours["to_buy"] <= alone.colours["to_buy"]).all()
        assert better.colours["to_buy"].sum() < alone.colours["to_buy"].sum()
    taken = alone.cutting.taken()
    for line in alone.colours.itertuples():
        assert (line.tiles, line.spare) == tuple(taken.loc[line.colour, ["tiles", "spare"]])


def test_own_chances_stand_above_the_table():
    own = work_out(plan_with(spoilt={"straight": 0.0, "thin": 0.0}))
    # nothing is spoilt but what breaks as it is laid
    assert own.cutting.chances == pytest.approx(own.plan.spare.break_chance)
    for wrong in ({"straight": 1.0}, {"straight": -0.1}, {"sawn": 0.1}):
        with pytest.raises(MosaicError):
            plan_with(spoilt=wrong)


def test_offcuts_that_are_kept_can_be_held(example):
    found = offcuts(example.cutting)
    assert len(found) and (found["short"] >= 5).all() and (found["long"] >= found["short"]).all()
    assert (found["long"] <= 20).all()


def test_a_plan_with_nothing_to_cut():
    pane = {"kind": "pane", "name": "pane", "width": 64.0, "height": 64.0}
    plain = plan_with().model_dump(mode="json") | {"glass": [pane]}
    worked = work_out(Plan.made(**plain | {"joint": {"wanted": 2.0, "least": 1.5, "greatest": 2.5}}))
    assert not worked.cutting.table["cut"].any() and worked.cutting.pairs.shape == (0, 2)
    assert offcuts(worked.cutting).empty
    assert set(bench_order(worked.cutting)["way"]) == {"as it is"}


def test_sloping_edges_cannot_be_turned_over():
    plain = plan_with(both_faces=True).model_dump(mode="json")
    with pytest.raises(MosaicError, match="slope"):
        Plan.made(**plain | {"tile": plain["tile"] | {"back_side": 19.0}})
