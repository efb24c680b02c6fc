"""Vapour in the air, cover of the back, what a bed holds, what adhesives give off."""

from functools import partial

from mosaiclib import reference
from mosaiclib.adhesive import coverage_wanted, hold, tile_stress, vapour_pressure

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
        [(f"saturation pressure at {warm} degrees Celsius, to 0.05 %", printed, partial(vapour_pressure, warm))],
        within=5e-4 * float(printed),
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
CHECKS = (*STEAM, *COVER, *HOLD, *FUMES)
