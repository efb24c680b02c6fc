"""Vapour in the air, cover of the back, what a bed holds, what adhesives give off."""

from functools import partial

import shapely

from mosaiclib import reference
from mosaiclib.adhesive import Climate, coverage_wanted, family, hold, tile_stress, vapour_pressure, waits
from mosaiclib.adhesive.cure import hydration_rate

from .records import listed

PSI = 0.006894757  # [MPa] NIST Special Publication 811, Appendix B.8
VAPOUR = (
    (0, "0.61129"),
    (5, "0.8726"),
    (10, "1.2281"),
    (15, "1.7056"),
    (20, "2.3388"),
    (23, "2.8104"),
    (25, "3.169"),
    (30, "4.2455"),
    (35, "5.6267"),
    (40, "7.3814"),
)
# ours is a fit (Buck 1981), meant to hold to 0.05 %: not to the last printed digit
STEAM = tuple(
    check
    for warm, printed in VAPOUR
    for check in listed(
        "vapour",
        "CRC Handbook of Chemistry and Physics, 73rd edition (1992-93)",
        "vapor pressure of water",
        "read second-hand",
        "kPa",
        [(f"saturation pressure at {warm} degrees Celsius, to 0.05 %", printed, partial(vapour_pressure, warm), warm)],
        within=5e-4 * float(printed),
        along="warmth [degrees Celsius]",
    )
)
COVER = (
    *listed(
        "cover of the back",
        "ANSI A108.5 and the A108 series",
        "average contact area",
        "read second-hand",
        "%",
        [
            ("dry rooms", "80", lambda: 100 * coverage_wanted("opaque", "dry shelf").number),
            ("wet rooms and outdoors", "95", lambda: 100 * coverage_wanted("opaque", "outdoors").number),
        ],
    ),
    *listed(
        "cover of the back",
        "ANSI A108.14, A108.15 and A108.16",
        "mounted glass mosaic, in a trade-magazine account of 2006",
        "read second-hand",
        "%",
        [("translucent glass", "100", lambda: 100 * coverage_wanted("translucent", "dry shelf").number)],
    ),
)


def _held(full: float, coverage: float) -> float:
    """Return what a cured bed holds [psi] that holds `full` [psi] with the whole back covered."""
    return hold(4, 1.0, fresh=0, strength=full * PSI, coverage=coverage).strength / (PSI * 1e6)


HOLD = (
    *listed(
        "what a bed holds",
        "NTCA, TileLetter Tech Talk, February 2018",
        "shear of mortar under 80 % cover",
        "read second-hand",
        "psi",
        [
            ("200 psi with full cover", "160", partial(_held, 200, 0.8)),
            ("400 psi with full cover", "320", partial(_held, 400, 0.8)),
        ],
        within=1e-6,
    ),
    *listed(
        "glass",
        "EN 572-1, Glass in building - Basic soda-lime silicate glass products",
        "general properties",
        "read second-hand",
        "kg/m3",
        [("density, from the shear under a tile of 4 mm", "2500", lambda: tile_stress(4) / (9.81 * 0.004))],
        within=2.5,  # g is taken as 9.80665 or 9.81
    ),
)
FUMES = listed(
    "what adhesives give off",
    "OSHA and NIOSH, acetic acid (CAS 64-19-7), permissible and recommended limit",
    "8 h mean",
    "read",
    "ppm",
    [("acetoxy silicone", "10", lambda: reference.value("adhesives", "acetoxy silicone: gives off").number)],
)
EPOXY, CEMENT = "two-part clear epoxy", "white polymer-modified cement adhesive"
TILE = [shapely.box(0, 0, 20, 20)]


def _wait(name: str, step: str, end: str, **climate) -> float:
    """Return one end of a wait [h]."""
    return getattr(waits(name, TILE, Climate(**climate))[step], end)


SETTING = listed(
    "setting of clear epoxies",
    "Koob, 'Clear adhesives', Conservation DistList, 6 March 2002",
    "three kinds for glass, room temperature: set, and hard enough to sand",
    "read second-hand",
    "h",
    [
        ("the quickest kind sets", "4", partial(_wait, EPOXY, "turn", "least")),
        ("the slowest kind sets", "36", partial(_wait, EPOXY, "turn", "most")),
        ("sets in 18, hard", "36", partial(_wait, EPOXY, "handle", "usual", sets_in=18)),
        ("sets in 24, hard", "48", partial(_wait, EPOXY, "handle", "usual", sets_in=24)),
        ("sets in 36, hard", "60", partial(_wait, EPOXY, "handle", "least", sets_in=36)),
    ],
    within=0.5,
)
HYDRATION = (
    *listed(
        "hydration of cement",
        "EN 1992-1-1:2004, Eurocode 2, Annex B",
        "(B.10), age adjusted for temperature",
        "from memory",
        "days a day",
        [("at 20 degrees Celsius", "1.0", partial(hydration_rate, 20))],
    ),
    *listed(
        "hydration of cement",
        "EN 1992-1-1:2004, Eurocode 2",
        "3.1.2, reference age of strength",
        "from memory",
        "h",
        [("full strength, porous side", "672", partial(_wait, CEMENT, "wash", "usual", porous=True))],
    ),
    *listed(
        "hydration of cement",
        "NTCA, TileLetter, on the text of the Tile Council of North America, 2018",
        "before filling, the usual",
        "read second-hand",
        "h",
        [("porous side", "24", partial(_wait, CEMENT, "fill", "usual", porous=True))],
    ),
)
OXIME = listed(
    "what adhesives give off",
    "Commission Delegated Regulation (EU) 2020/1182, OJ L 261, 11 August 2020",
    "Annex VI to Regulation (EC) No 1272/2008, butanone oxime, carcinogenicity",
    "read second-hand",
    "",
    [("neutral-cure silicone", "1B", lambda: family("neutral-cure silicone").word("gives off").partition("(")[2][:2])],
)
CHECKS = (*SETTING, *HYDRATION, *OXIME, *STEAM, *COVER, *HOLD, *FUMES)
