"""What is mixed and bought for a piece: told alike by page, overview, card and list, and told where it would do harm."""

import csv
import dataclasses
import io
import itertools
import json
import math
import re

import pdfplumber
import pytest

import planner
from mosaiclib import reference
from mosaiclib.adhesive import families
from mosaiclib.adhesive.choose import PLACES
from mosaiclib.filler import KINDS, kind_of, recipe, sand_for
from mosaiclib.job import Plan, buying_list, command, work_out
from mosaiclib.job.overview import material_lines
from mosaiclib.job.plan import CONSUMABLES
from mosaiclib.lessons import w06_settings
from mosaiclib.reference import DATA
from mosaiclib.report import plain_report

PLAIN, LATEX, EPOXY = "plain cement grout", "cement grout with latex", "epoxy grout"
PLAN = json.loads((DATA / "example_plan.json").read_text(encoding="utf-8"))
BARE = [{name: part for name, part in one.items() if name != "bands"} for one in PLAN["glass"]]
SMALL = [BARE[0] | {"width": 152.0, "height": 42.0}]  # whole tiles of 20 mm: no edge is wider than a joint of 2 mm


def plan_with(glass=None, **parts):
    """The example without its drawn band, some of its parts changed."""
    changed = {name: PLAN.get(name, {}) | values for name, values in parts.items() if isinstance(values, dict)}
    whole = {name: values for name, values in parts.items() if not isinstance(values, dict)}
    return work_out(Plan.made(**(PLAN | changed | whole | {"glass": glass or BARE})))


def read_back(worked, folder):
    """The lines of the written lists by their first cell, and the words of the card."""
    command.write(worked, folder)
    lists = {}
    for name in ("overview", "buying_list"):
        text = (folder / f"{name}.csv").read_text(encoding="utf-8-sig")
        lists[name] = {line[0]: line[1:] for line in csv.reader(io.StringIO(text))}
    with pdfplumber.open(folder / "batch_card.pdf") as pdf:
        card = " ".join(" ".join(page.extract_text() for page in pdf.pages).split())
    return lists["overview"], lists["buying_list"], card


def page_of(worked):
    """The page of workbook 06 for a plan: its rows by label, and its headline."""
    rows, headlines = planner.told(worked.plan)
    return {str(row.label): row for row in rows}, headlines


# --- one recipe, to the gram ------------------------------------------------------------------------------


@pytest.mark.parametrize("joint", [2.0, 4.0])
@pytest.mark.parametrize("kind", KINDS)
def test_page_overview_card_and_list_agree_to_the_gram(kind, joint, tmp_path):
    limits = {"least": joint - 0.5, "wanted": joint, "greatest": joint + 0.5}
    filled = [SMALL[0] | {"width": 140 + 6 * joint, "height": 40 + joint}]
    worked = plan_with(glass=filled, filler={"family": kind, "solids": 0.3}, joint=limits)
    (made,) = worked.fillers
    overview, bought, card = read_back(worked, tmp_path)
    page, headline = page_of(worked)
    grams = {}
    for one in made.ingredients:
        told = {round(one.amount), page[one.name].value, int(overview[one.name][0].split()[0].replace(",", ""))}
        if one.packs:
            line = bought[one.name.lower()]
            told.add(round(float(line[0]) / one.each))
            assert one.told in headline
        assert len(told) == 1, (one.name, told)
        grams[one.name] = told.pop()
        assert f"{grams[one.name]} {one.unit} in all" in card
    if kind_of(kind).poured:
        # read from the page: what is poured and what the latex brings, over the cement in the powder
        latex = grams["Latex additive"] * (1 - 0.3)
        cement = made.powder * (0.7 if made.sand == "unsanded" else 0.4)
        said = float(re.search(r"water in all, ([\d.]+) of the cement", page["Water to add"].verdict)[1])
        assert (grams["Water to add"] + latex) / cement == pytest.approx(said, abs=1.5 / cement + 0.005)
        assert said == 0.40  # Ohama 1995, read second-hand: 0.3 to 0.6


WIDTHS = (0.8, 1.5, 2.0, 3.1, 3.175, 5.0, 9.525, 12.0, 20.0)  # [mm]; 1/8 in and 3/8 in among them


def contradictions(kind, width, made):
    """Name the rules that a recipe of 100 mL for a width breaks."""
    of, names = made.kind, [one.name.lower() for one in made.ingredients]
    waters = [name for name in names if "water" in name]
    known = {name: reference.value("filler", f"density of {name}").number for name in ("cement", "sand", "polymer")}
    polymer = of.polymer * made.cement if of.poured else 0.0
    whole = made.cement / known["cement"] + (made.powder - made.cement) / known["sand"] + polymer / known["polymer"]
    sand = sand_for(width) if of.powder == "grout" else ""
    rules = {
        "plain alone is not for glass": bool(made.warning) == (kind == PLAIN),
        "one water, in cement only": len(waters) == (1 if of.cement else 0),
        "a kit is mixed as it is": of.cement or not (made.powder or made.cement or made.latex or made.water),
        "latex only where it is poured": bool(made.latex) == of.poured == ("latex additive" in names),
        "moist cure is told of latex only": ("with latex" in made.keep_moist) == of.poured,
        "too much water is warned of": not of.cement or "too much water" in made.ingredients[-1].words,
        "sand goes by the width": made.sand == sand and (not sand or names[0].startswith(sand)),
        "masses close to the volume": not of.cement or math.isclose(whole + made.water + made.latex_water, made.volume),
        "the bag of what is sold": of.sold_as in names[0],
    }
    return [rule for rule, kept in rules.items() if not kept]


@pytest.mark.parametrize("kind", KINDS)
def test_no_recipe_contradicts_itself_in_any_joint(kind):
    found = {width: recipe(100.0, kind, width) for width in WIDTHS}
    assert not {width: wrong for width, made in found.items() if (wrong := contradictions(kind, width, made))}
    # coarser sand asks for less cement, and less water for each gram of powder
    for fine, coarse in itertools.pairwise(found.values()):
        assert coarse.cement <= fine.cement + 1e-9
        if fine.powder:
            wet = [(one.water + one.latex_water) / one.powder for one in (fine, coarse)]
            assert wet[1] <= wet[0] + 1e-9


def test_the_rules_of_recipes_can_be_broken():
    made = recipe(100.0, EPOXY, 2.0)
    wrong = dataclasses.replace(made, powder=100.0, water=30.0)
    assert {"one water, in cement only", "a kit is mixed as it is"} <= set(contradictions(EPOXY, 2.0, wrong))


@pytest.mark.parametrize("kind", KINDS)
def test_a_filler_is_judged_alike_in_every_place(kind):
    worked = plan_with(glass=SMALL, filler={"family": kind})
    for place, glue in itertools.product(PLACES, families()):
        part = worked.plan.adhesive.model_copy(update={"place": place, "family": glue})
        there = dataclasses.replace(worked, plan=worked.plan.model_copy(update={"adhesive": part}))
        assert any("NOT FOR GLASS" in words for words in there.warnings) == (kind == PLAIN)
        assert any("RULED OUT" in words for words in there.warnings) == (there.judged[0] == "ruled out")
        assert there.fillers == worked.fillers


def test_the_bag_is_named_on_page_overview_and_card(tmp_path):
    worked = plan_with(glass=SMALL, filler={"family": "ready-fortified cement grout"})
    overview, bought, card = read_back(worked, tmp_path)
    assert "ANSI A118.7" in overview["On the filler's bag"][0] and "ANSI A118.7" in card
    assert "no latex into a bag that is already modified, unless its manufacturer says so" in card
    assert "unsanded polymer-modified grout" in bought and "latex additive" not in bought


# --- sanded or not ----------------------------------------------------------------------------------------


def test_sanded_or_not_follows_the_widest_strip():
    """The planter's sides leave 6.25 and 4.5 mm at each edge, (120.5 - 108)/2 and (161 - 152)/2; with the open corner of
    4.8 mm between them that is one strip of 15.55 mm. A joint of 2 mm alone is unsanded."""
    worked = plan_with(glass=BARE[1:])
    joints, strips = worked.fillers
    assert (joints.sand, strips.sand) == ("unsanded", "heavily sanded")
    assert max(strip.width for strip in worked.wide_strips) == pytest.approx(6.25 + 4.8 + 4.5)
    note = next(str(note) for note in worked.notes if "sanded grout" in str(note))
    for words in (
        "planter",
        "open corner with the margins beside it 15.55 mm",
        "joints of 2 mm for unsanded",
        "cut border",
    ):
        assert words in note, words
    narrow = plan_with(glass=SMALL)
    assert [made.sand for made in narrow.fillers] == ["unsanded"] and narrow.wide_strips == []
    assert not any("ask for" in str(note) for note in narrow.notes)


def test_strips_and_joints_are_mixed_apart_and_told_apart(tmp_path):
    """Sand does not go into a joint of 2 mm: the planter takes two powders, and all its filler is in one of them."""
    worked = plan_with(glass=BARE[1:], filler={"family": LATEX, "waste": 0.0})
    overview, bought, card = read_back(worked, tmp_path)
    page, headline = page_of(worked)
    joints, strips = worked.fillers
    assert joints.volume + strips.volume == pytest.approx(worked.pieces[0].filler)
    # by hand, both sorts of corner: 4.8 mm deep and open, 4.8 x 4.8, with margins of 6.25 + 4.5 beside it, four corners high
    glass = worked.pieces[0].glass
    corner = next(one for one in worked.pieces[0].strips if "corner" in one.name)
    assert corner.volume == pytest.approx(4 * (4.8 * 4.8 + 10.75 * 4.8) * glass.faces[0].height / 1000)
    for made in worked.fillers:
        for one in made.ingredients:
            label = f"{one.name}, {made.where}"
            assert page[label].value == round(one.amount) == int(overview[label][0].split()[0].replace(",", ""))
            assert f"{one.amount:.0f} {one.unit} in all" in card
            if one.packs == "plain grout":
                assert one.told in headline
    assert {"unsanded plain grout", "heavily sanded plain grout", "latex additive"} <= set(bought)
    latex = [
        one.amount * one.each for made in worked.fillers for one in made.ingredients if one.packs == "latex additive"
    ]
    assert headline.count("latex additive") == 1
    assert float(bought["latex additive"][0]) == pytest.approx(sum(latex), abs=0.5)
    assert "Batch card, joints" in card and "Batch card, strips" in card


# --- what does harm is told -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("parts", "words"),
    [
        ({"filler": {"family": PLAIN}}, "NOT FOR GLASS: plain cement grout"),
        ({"filler": {"family": LATEX, "polymer": 0.01}}, "NOT FOR GLASS: cement grout with latex with so little latex"),
        (
            {"adhesive": {"family": "white polyvinyl acetate", "place": "outdoors"}},
            "ADHESIVE RULED OUT: white polyvinyl",
        ),
        ({"adhesive": {"family": "two-part clear epoxy"}}, "RUNS ON UPRIGHT FACES: two-part clear epoxy"),
    ],
    ids=["plain grout", "little latex", "ruled out", "runs"],
)
def test_what_does_harm_is_said_in_headline_card_and_lists(parts, words, tmp_path):
    worked = plan_with(**parts)
    overview, bought, card = read_back(worked, tmp_path)
    page, headline = page_of(worked)
    assert all(words in line for line in headline.splitlines()) and words in card and str(page["Mind"].value) == ""
    first = (tmp_path / "overview.csv").read_text(encoding="utf-8-sig").splitlines()[1]
    assert words in first and "Mind" in overview
    assert any(line[-1].startswith(words) for line in bought.values())


def test_a_pane_lies_flat_and_nothing_is_said_of_what_suits(tmp_path):
    pane = plan_with(glass=BARE[:1], adhesive={"family": "two-part clear epoxy"})
    assert pane.warnings == () and plan_with().warnings == ()


# --- buying -----------------------------------------------------------------------------------------------


def test_adhesive_is_bought_by_its_pack():
    """Common practice: what a shop sells a family in."""
    packs = {"silicone": "cartridge|tube", "silane": "cartridge|tube", "UV": "bottle", "epoxy": "set", "cement": "bag"}
    packs["polyvinyl"] = "bottle"
    for name in families():
        line = buying_list(plan_with(adhesive={"family": name})).set_index("item").loc[name]
        wanted = next((pack for part, pack in packs.items() if part in name), None)
        if wanted:
            assert re.search(wanted, line["packs"]), (name, line["packs"])
        assert line["unit"] == ("kg" if "cement" in name else "mL") and "not priced" in line["note"]


def test_what_has_no_price_is_not_priced_and_the_total_says_so():
    colours = [dict(colour) for colour in PLAN["tile"]["colours"]]
    for colour in colours:
        colour |= {"in_hand": 0, "more": True}
    colours[0]["price"] = 0.0
    worked = plan_with(tile={"colours": colours})
    table = buying_list(worked)
    first, total = table.iloc[0], table.iloc[-1]
    assert math.isnan(first["cost"]) and first["note"] == "not priced"
    priced = table["cost"].iloc[:-1].dropna()
    assert total["cost"] > 0 and total["cost"] == pytest.approx(priced.sum())
    assert total["note"] == f"without {len(table) - 1 - len(priced)} things that are not priced"
    assert total["item"] == "all that is priced"
    page, _ = page_of(worked)
    assert page["Cost of all that is priced"].verdict == total["note"]
    # nothing of the tables of invented prices is shown as a price
    invented = {f"{pack.price:.2f}" for pack in reference.table("packs")}
    shown = [
        str(row.verdict)
        for label, row in page.items()
        if label in buying_list(worked)["item"].to_numpy() and "tiles" not in label
    ]
    assert shown and not any(price in words for price in invented for words in shown)


def test_each_consumable_can_be_left_out_and_old_plans_buy_them_all():
    old = {name: part for name, part in PLAN.items() if name != "consumables"}
    assert Plan.made(**old).consumables == list(CONSUMABLES)
    assert {"gloves", "dust mask", "masking tape", "sponge", "paper towels", "mixing sticks"} < set(CONSUMABLES)
    without = plan_with(consumables=[name for name in CONSUMABLES if name != "sponge"])
    items = buying_list(without)["item"].tolist()
    assert "sponge" not in items and "gloves" in items
    settings = w06_settings.settings_of(without.plan)
    assert not settings.buys_sponge and settings.buys_gloves
    assert w06_settings.plan_of(settings) == without.plan


def test_a_plan_that_names_the_epoxy_as_it_was_called_is_still_read(tmp_path):
    path = tmp_path / "old.json"
    old = PLAN | {"filler": {"family": "two-part epoxy filler", "polymer": 0.1, "bead": 3.0, "waste": 0.15}}
    path.write_text(json.dumps(old), encoding="utf-8")
    assert Plan.load(path).filler.family == EPOXY
    assert material_lines(plan_with(filler={"family": EPOXY}))


def test_epoxy_grout_has_all_parts_of_its_kit_and_no_water():
    worked = plan_with(filler={"family": EPOXY})
    said = "\n".join(plain_report(material_lines(worked)))
    assert "Every part of the kit as its manufacturer says" in said and "no water in the mix" in said
    assert recipe(100, EPOXY, 2.0).volume == 100 and "epoxy grout kit" in "".join(buying_list(worked)["packs"])
