"""Thickness of coins used as spacers, typed as printed [mm]."""

import pytest

from mosaiclib import reference
from mosaiclib.spacing.rules import joint_rule_a108_02, least_joint, nearest_spacer

# US Mint, "Coin specifications", row "Thickness": read.
US_MINT = {
    "US cent": "1.52",
    "US nickel": "1.95",
    "US dime": "1.35",
    "US quarter": "1.75",
    "US half dollar": "2.15",
    "US dollar": "2.00",
}
# Regulation (EU) No 729/2014, Annex I: read second-hand, on pages and a table that give the same figures.
EURO = {
    "1 euro cent": "1.67",
    "2 euro cent": "1.67",
    "5 euro cent": "1.67",
    "10 euro cent": "1.93",
    "20 euro cent": "2.14",
    "50 euro cent": "2.38",
    "1 euro": "2.33",
    "2 euro": "2.20",
}


@pytest.mark.parametrize(("name", "printed"), (US_MINT | EURO).items())
def test_thickness_as_printed(name, printed):
    record = reference.value("spacers", name)
    assert record.unit == "mm"
    assert record.number == pytest.approx(float(printed), abs=0.005)
    assert record.evidence == ("read" if name in US_MINT else "read second-hand")


def test_every_coin_of_the_table_is_checked_here():
    coins = {record.name for record in reference.table("spacers") if record.group in ("US", "euro")}
    assert coins == set(US_MINT | EURO)


def test_a_cent_is_too_thin_for_the_least_joint_and_a_nickel_clears_it():
    # Computed from the two: 1/16 in (ANSI A108.02 cl. 4.3.8, read second-hand) - 1.52 = 0.07 mm.
    cent, nickel = (nearest_spacer(thick, pairs=False) for thick in (1.52, 1.95))
    assert (cent.names, nickel.names) == (("US cent",), ("US nickel",))
    assert joint_rule_a108_02(0) - cent.thickness == pytest.approx(0.07, abs=0.005)
    assert cent.thickness < least_joint() < nickel.thickness
