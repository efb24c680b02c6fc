"""Films that let go or crack, interface energies and mixes: values as printed, sources named."""

import math

import pytest
from scipy.integrate import quad

from mosaiclib import reference
from mosaiclib.filler import (
    chance,
    channel_energy,
    critical_thickness,
    debond_energy,
    kind_of,
    meets,
    misfit_stress,
    sand_for,
    stored_energy,
    thermal_strain,
)
from mosaiclib.filler.fracture import CHANNEL

PLAIN, LATEX = "plain cement grout", "cement grout with latex"


def test_worked_case():
    # computed: E 10 GPa, nu 0.2, 800e-6, 3 mm: 10.0 MPa; debond 14.4, channel 56.9, stored 24.0 J/m2
    stress = misfit_stress(10_000, 0.2, 800e-6)
    assert stress == pytest.approx(10.0, abs=0.05)
    assert debond_energy(stress, 10_000, 0.2, 3) == pytest.approx(14.4, abs=0.05)
    assert channel_energy(stress, 10_000, 0.2, 3) == pytest.approx(56.9, abs=0.05)
    assert stored_energy(stress, 10_000, 0.2, 3) == pytest.approx(24.0, abs=0.05)


def test_steady_debond_is_the_energy_balance():
    # first principles: what is stored less what stays after release across the front, (1 - nu)^2 sigma^2 h/(2E)
    for nu in (0.0, 0.2, 0.35):
        plain = stored_energy(7, 20_000, nu, 2)
        # the stress along the front after release is (1 - nu) sigma, in uniaxial strain energy ((1 - nu) sigma)^2/(2E)
        kept = ((1 - nu) * 7) ** 2 * 2 / (2 * 20_000) * 1000
        assert plain - kept == pytest.approx(debond_energy(7, 20_000, nu, 2), rel=1e-12)


def test_channel_factor_from_its_origin():
    # Hutchinson and Suo print 3.951 and 1.976 (read second-hand); 1.1215^2 pi and its mean over the depth
    edge = 1.1215**2 * math.pi
    assert edge == pytest.approx(3.951, abs=0.0005)
    assert pytest.approx(1.976, abs=0.0005) == CHANNEL
    assert quad(lambda a: edge * a, 0, 1)[0] == pytest.approx(CHANNEL, rel=1e-12)


@pytest.mark.parametrize(("energy", "printed", "within"), [(6, 1.25, 0.005), (18, 3.75, 0.005), (80, 16.7, 0.05)])
def test_critical_thickness(energy, printed, within):
    # computed for the worked case
    assert critical_thickness(10, 10_000, 0.2, energy) == pytest.approx(printed, abs=within)


def test_interface_energies_as_ranges():
    # Tschegg et al. 1995, abstract read: 6 to 18 J/m2 on stone, about 80 in the cement itself
    record = reference.value("mechanics", "interface energy on rough stone")
    assert record.band == (6, 18) and record.evidence == "read"
    assert reference.value("mechanics", "fracture energy of the cement itself").number == 80
    glass = reference.value("mechanics", "interface energy on smooth glass")
    assert "ASSUMPTION" in glass.note and glass.band[1] <= record.band[0]


def test_rise_with_polymer():
    # almost 40 % over plain mortar on glazed tile, abstract read; taken as no more than that
    assert kind_of(LATEX, 0.3).bond_factor == pytest.approx(1.40)


def test_mix_ranges():
    # Ohama, Handbook of Polymer-Modified Concrete and Mortars (1995), read second-hand: p/c 5 to 20 %, w/c 0.30 to 0.60
    assert reference.value("mechanics", "full dose of polymer").band == (0.05, 0.20)
    assert reference.value("filler", "water over cement").band == (0.30, 0.60)
    # textbooks from memory: 20 to 30 GPa plain, 10 to 20 with latex
    assert kind_of(PLAIN).modulus == (20_000, 30_000) and kind_of(LATEX).modulus == (10_000, 20_000)


def test_drying_governs_and_not_heat():
    # computed: (11 - 9) x 30 K = 60 millionths against 600 to 1200
    assert thermal_strain(11, 9, 30) == 60
    assert reference.value("mechanics", "drying shrinkage of mortar").band == (600, 1200)


@pytest.mark.parametrize(
    ("joint", "sand"),
    [(3.17, "unsanded"), (3.175, "sanded"), (3.18, "sanded"), (9.525, "sanded"), (9.53, "heavily sanded")],
)
def test_sanded_from_an_eighth_of_an_inch(joint, sand):
    # TCNA, FAQ "Grout", read: at exactly 1/8 in sanded, over 3/8 in more heavily
    assert sand_for(joint) == sand


ADHESION = [f"tensile adhesion, {after}" for after in ("initial", "after water", "after heat", "after freeze and thaw")]
LIMITS = [
    # EN 12004 by way of a trade association, read second-hand
    *[("C1", name, 0.5, True) for name in ADHESION],
    *[("C2", name, 1.0, True) for name in ADHESION],
    # EN 12004-1:2017, read second-hand for 2.5; 5 from memory
    ("S1", "transverse deformation", 2.5, True),
    ("S2", "transverse deformation", 5.0, True),
    # ANSI A118.4 and A118.15 by way of NTCA TileLetter Feb 2018, read second-hand
    ("ANSI A118.4", "shear on porcelain", 200, True),
    ("ANSI A118.15", "shear on porcelain", 400, True),
    # EN 13888:2009, from memory
    ("CG1", "abrasion", 2000, False),
    ("CG1", "flexural strength", 2.5, True),
    ("CG1", "compressive strength", 15, True),
    ("CG1", "shrinkage", 3, False),
    ("CG1", "water absorbed in 30 min", 5, False),
    ("CG1", "water absorbed in 240 min", 10, False),
    # options A and W, from memory
    ("CG2 W A", "abrasion", 1000, False),
    ("CG2 W A", "water absorbed in 30 min", 2, False),
    ("CG2 W A", "water absorbed in 240 min", 5, False),
]
GOOD = {
    **dict.fromkeys(ADHESION, 2.0),
    "abrasion": 100,
    "flexural strength": 40,
    "compressive strength": 50,
    "shrinkage": 1,
    "water absorbed in 30 min": 0.05,
    "water absorbed in 240 min": 0.05,
    "shear on porcelain": 600,
}


@pytest.mark.parametrize(("name", "quantity", "limit", "least"), LIMITS, ids=lambda v: str(v))
def test_classes_at_just_under_and_just_over_each_limit(name, quantity, limit, least):
    def verdict(value):
        values = GOOD | {"transverse deformation": 6 if name == "S2" else 3} | {quantity: value}
        return meets(values).set_index("class").loc[name, "verdict"]

    step = limit * 1e-3
    assert verdict(limit) == "met"
    assert verdict(limit - step) == ("not met" if least else "met")
    assert verdict(limit + step) == ("met" if least else "not met")


def test_s1_ends_where_s2_begins():
    table = meets({"transverse deformation": 5.0}).set_index("class")
    assert (table.loc["S1", "verdict"], table.loc["S2", "verdict"]) == ("not met", "met")


def test_common_practice():
    """Common practice, no source: plain filler on glass does not hold; fortified does. The model agrees on the order only."""
    plain, latex = chance(2, 4.8, PLAIN), chance(2, 4.8, LATEX)
    assert plain.debond > 0.9 and latex.debond < plain.debond
    # where it does not agree: it lets latex go too in most draws, since the energy on glass is assumed so widely
    assert latex.band[0] < 0.25 and latex.band[1] > 0.9
