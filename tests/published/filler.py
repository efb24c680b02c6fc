"""Films that let go or crack, energies of interfaces, materials, sand, and classes of the standards."""

from functools import partial

from mosaiclib import reference
from mosaiclib.filler import (
    Joint,
    debond_energy,
    hardened,
    kind_of,
    meets,
    sand_for,
    shrinkage_share,
    stretch,
    thermal_strain,
)
from mosaiclib.units import INCH

from .records import listed, turning

PLAIN, LATEX = "plain cement grout", "cement grout with latex"
E, NU, SIGMA, H = 20_000.0, 0.2, 7.0, 3.0  # [MPa, 1, MPa, mm]: any film


def _factor(energy) -> float:
    """Return Z of G = Z sigma^2 h/E', E' = E/(1 - nu^2); the energies are in J/m2."""
    return energy(SIGMA, E, NU, H) / 1000 * E / (1 - NU**2) / (SIGMA**2 * H)


HANDBOOK = "Hutchinson and Suo, Mixed mode cracking in layered materials, Adv. Appl. Mech. 29 (1991) 63-191"
FILMS = (
    *listed(
        "films",
        HANDBOOK,
        "table of cracks in films, Z without elastic mismatch",
        "from memory",
        "",
        [("steady debonding", "0.5", partial(_factor, debond_energy))],
        within=1e-9,
    ),
)
ROUGH = partial(Joint, 2.0, 4.8, sides="porous")
TSCHEGG = "Tschegg et al., J. Mater. Civ. Eng. 7(4) (1995) 199-203"
BOND = (
    *listed(
        "interfaces",
        TSCHEGG,
        "abstract: cement on sandstone and limestone",
        "read",
        "J/m2",
        [
            ("energy of the interface, least", "6", lambda: ROUGH().interface[0]),
            ("energy of the interface, greatest", "18", lambda: ROUGH().interface[1]),
        ],
    ),
    *listed(
        "interfaces",
        "Mansur, do Nascimento and Mansur, Cem. Concr. Res. 39 (2009) 1199-1208",
        "abstract: mortar with EVA powder on glazed tile, almost 40 % (authors and pages from memory)",
        "read",
        "% over plain mortar",
        [("rise of bond, full dose", "40", lambda: 100 * (kind_of("cement grout with latex", 0.3).bond_factor - 1))],
    ),
)
MATERIALS = (
    *listed(
        "drying",
        "ACI 209R-92, Prediction of creep, shrinkage and temperature effects in concrete",
        "shrinkage after moist cure, t/(35 + t)",
        "from memory",
        "days",
        [("half of the shrinkage", "35", lambda: turning(lambda t: shrinkage_share(t, 38) > 0.5, 1, 365))],
    ),
    *listed(
        "hardening",
        "ACI 209R-92, Prediction of creep, shrinkage and temperature effects in concrete",
        "strength over that of 28 days, moist cure, type I: t/(4.0 + 0.85 t), table of values; the modulus goes with its root",
        "from memory",
        "",
        [
            ("strength at 7 days", "0.70", lambda: hardened(7) ** 2),
            ("strength at 90 days", "1.12", lambda: hardened(90) ** 2),
        ],
    ),
    *listed(
        "shrinkage",
        "Neville, Properties of Concrete; Mehta and Monteiro, Concrete",
        "drying shrinkage of mortar, to 50 % humidity",
        "from memory",
        "1e-6",
        [
            ("sanded, least", "600", lambda: stretch(kind_of(PLAIN, None, "sanded")).asked[0]),
            ("sanded, greatest", "1200", lambda: stretch(kind_of(PLAIN, None, "sanded")).asked[2]),
        ],
    ),
    *listed(
        "shrinkage",
        "EN 13888:2009, Grout for tiles",
        "shrinkage of CG1, at most",
        "from memory",
        "mm/m",
        [("unsanded, greatest", "3", lambda: stretch(kind_of(PLAIN)).asked[2] / 1000)],
    ),
    *listed(
        "stiffness and strength",
        "textbooks of concrete",
        "28 days: plain mortar and latex mortar",
        "from memory",
        "GPa",
        [
            ("plain, softest", "20", lambda: kind_of(PLAIN).modulus[0] / 1000),
            ("plain, stiffest", "30", lambda: kind_of(PLAIN).modulus[1] / 1000),
            ("with latex, softest", "10", lambda: kind_of(LATEX).modulus[0] / 1000),
            ("with latex, stiffest", "20", lambda: kind_of(LATEX).modulus[1] / 1000),
        ],
    ),
    *listed(
        "stiffness and strength",
        "textbooks of concrete",
        "28 days: plain mortar",
        "from memory",
        "MPa",
        [
            ("tensile, least", "2", lambda: kind_of(PLAIN).strength[0]),
            ("tensile, greatest", "4", lambda: kind_of(PLAIN).strength[1]),
        ],
    ),
    *listed(
        "stiffness and strength",
        "Ohama, Polymer-based admixtures, Cem. Concr. Compos. 20 (1998) 189-212",
        "by way of an overview: bending 8 MPa with 15 % polymer, 3 MPa without",
        "read second-hand",
        "MPa",
        [("bending with polymer", "8", lambda: 3 * kind_of(LATEX).strength[1] / kind_of(PLAIN).strength[1])],
        within=0.5,
    ),
    *listed(
        "creep",
        "ACI 209R-92, Prediction of creep, shrinkage and temperature effects in concrete",
        "ultimate creep coefficient",
        "from memory",
        "",
        [
            ("normal", "2.35", lambda: reference.value("mechanics", "ultimate creep of mortar").number),
            ("least", "1.30", lambda: reference.value("mechanics", "ultimate creep of mortar").band[0]),
            ("greatest", "4.15", lambda: reference.value("mechanics", "ultimate creep of mortar").band[1]),
        ],
    ),
    *listed(
        "warming",
        "EN 572-1, Glass in building - Basic soda-lime silicate glass products",
        "general properties",
        "from memory",
        "1e-6/K",
        [
            (
                "expansion of glass",
                "9.0",
                lambda: thermal_strain(reference.value("mechanics", "expansion of soda-lime glass").number, 0, 1),
            )
        ],
    ),
    *listed(
        "warming",
        "Neville, Properties of Concrete",
        "thermal expansion of mortar",
        "from memory",
        "1e-6/K",
        [
            ("expansion of mortar, least", "10", lambda: reference.value("mechanics", "expansion of mortar").band[0]),
            (
                "expansion of mortar, greatest",
                "12",
                lambda: reference.value("mechanics", "expansion of mortar").band[1],
            ),
        ],
    ),
)
FAQ = ("sand", "Tile Council of North America, FAQ", "Grout", "read")
SAND = (
    *listed(
        *FAQ,
        "in",
        [
            ("sanded from", "1/8", lambda: turning(lambda j: sand_for(j) == "unsanded", 1, 6) / INCH),
            ("more heavily sanded over", "3/8", lambda: turning(lambda j: sand_for(j) == "sanded", 6, 20) / INCH),
        ],
    ),
    *listed(*FAQ, "", [("a joint of exactly 1/8 in", "sanded", lambda: sand_for(INCH / 8))]),
)

ADHESION = [f"tensile adhesion, {after}" for after in ("initial", "after water", "after heat", "after frost")]
OPEN = "tensile adhesion, open time"
GOOD = {  # passes every class, but for what is tried
    **dict.fromkeys([*ADHESION, OPEN], 2.0),
    **dict.fromkeys(["flexural strength, frost", "compressive strength, frost"], 50),
    "abrasion": 100,
    "flexural strength": 40,
    "compressive strength": 50,
    "shrinkage": 1,
    "water absorbed in 30 min": 0.05,
    "water absorbed in 240 min": 0.05,
    "shear on porcelain": 600,
}


def verdict(name: str, quantity: str, value: float) -> str:
    """Return the verdict of a class where only one value is in question."""
    values = GOOD | {"transverse deformation": 6 if name == "S2" else 3} | {quantity: value}
    return meets(values).set_index("class").loc[name, "verdict"]


def _limit(name: str, quantity: str, printed: str) -> float:
    """Return where the verdict of a class turns."""
    near = float(printed)
    return turning(lambda value: verdict(name, quantity, value) == "not met", 0.8 * near, 1.2 * near)


def _class(source: str, place: str, evidence: str, unit: str, name: str, limits: dict[str, str]) -> tuple:
    rows = [
        (f"{name}: {quantity}", printed, partial(_limit, name, quantity, printed))
        for quantity, printed in limits.items()
    ]
    return listed("classes", source, place, evidence, unit, rows, within=1e-5 * max(map(float, limits.values())))


EN_ADHESIVE = (
    "EN 12004-1:2017, Adhesives for ceramic tiles",
    "by way of a mortar trade association",
    "read second-hand",
)
EN_FILLER = (
    "EN 13888-1:2022, Grouts for ceramic tiles, which replaces EN 13888:2009",
    "table of requirements, as in the edition of 2009",
    "from memory",
)
NTCA = ("by way of NTCA, TileLetter, February 2018", "read second-hand", "psi")
CLASSES = (
    *_class(*EN_ADHESIVE, "N/mm2", "C1", dict.fromkeys([*ADHESION, OPEN], "0.5")),
    *_class(*EN_ADHESIVE, "N/mm2", "C2", dict.fromkeys(ADHESION, "1.0") | {OPEN: "0.5"}),
    *_class(*EN_ADHESIVE, "mm", "S1", {"transverse deformation": "2.5"}),
    *_class(*EN_ADHESIVE[:2], "from memory", "mm", "S2", {"transverse deformation": "5"}),
    *_class("ANSI A118.4", *NTCA, "ANSI A118.4", {"shear on porcelain": "200"}),
    *_class("ANSI A118.15", *NTCA, "ANSI A118.15", {"shear on porcelain": "400"}),
    *_class(*EN_FILLER, "mm3", "CG1", {"abrasion": "2000"}),
    *_class(*EN_FILLER, "N/mm2", "CG1", {"flexural strength": "2.5", "compressive strength": "15"}),
    *_class(*EN_FILLER, "mm/m", "CG1", {"shrinkage": "3"}),
    *_class(*EN_FILLER, "g", "CG1", {"water absorbed in 30 min": "5", "water absorbed in 240 min": "10"}),
    *_class(*EN_FILLER, "mm3", "CG2 W A", {"abrasion": "1000"}),
    *_class(*EN_FILLER, "g", "CG2 W A", {"water absorbed in 30 min": "2", "water absorbed in 240 min": "5"}),
    *_class(*EN_FILLER, "mm3", "RG", {"abrasion": "250"}),
    *_class(*EN_FILLER, "N/mm2", "RG", {"flexural strength": "30", "compressive strength": "45"}),
    *_class(*EN_FILLER, "mm/m", "RG", {"shrinkage": "1.5"}),
    *_class(*EN_FILLER, "g", "RG", {"water absorbed in 240 min": "0.1"}),
)
CHECKS = (*FILMS, *BOND, *MATERIALS, *SAND, *CLASSES)
