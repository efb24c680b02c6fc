"""Rules for joints and borders, the sheet of mosaic tile, the range of a sample."""

from functools import partial

from mosaiclib.layout import balanced_border, joint_fits
from mosaiclib.spacing import expected_range_factor, joint_rule_a108_02, uniformity_a137_1
from mosaiclib.units import INCH

from .records import Check, listed, turning

A108 = "ANSI A108.02-2017"
QUOTED = "cl. 4.3.8, quoted in the TCNA Handbook 2018 p. 37"
CUTS = "cl. 4.3.1 and 4.3.2, worked in a trade magazine"
A137 = "ANSI A137.1"
GB = "GB/T 7697-1996, Glass mosaic"


def _balanced(whole: int) -> float:
    """Return the cut tile at each side [in] where whole tiles of 24 in leave 1.5 in."""
    return balanced_border((whole * 24 + 1.5) * INCH, 24 * INCH, 0).border_width / INCH


A108_RULES = (
    *listed(
        "joints",
        A108,
        QUOTED,
        "read second-hand",
        "in",
        [
            ("least joint of tiles that vary by 1/16 in", "3/16", lambda: joint_rule_a108_02(INCH / 16) / INCH),
            ("least joint of any tile", "1/16", lambda: joint_rule_a108_02(0) / INCH),
        ],
    ),
    *listed(
        "joints",
        A108,
        QUOTED,
        "read second-hand",
        "times the variation",
        [("least joint of tiles that vary by 2 mm", "3", lambda: joint_rule_a108_02(2.0) / 2.0)],
    ),
    *listed(
        "borders",
        A108,
        CUTS,
        "read second-hand",
        "in",
        [
            (f"{n} whole tiles of 24 in and 1.5 in left over: cut tile at each side", "12.75", partial(_balanced, n))
            for n in (2, 3, 7)
        ],
    ),
)
A137_RULES = listed(
    "joints",
    A137,
    "Table 6, quoted in a trade magazine",
    "read second-hand",
    "% of the mean joint",
    [
        (
            "range along one joint, limit",
            "30",
            lambda: turning(
                lambda off: uniformity_a137_1([[2 - off / 100, 2 + off / 100], [2.0, 2.0]]).even_along, 0, 100
            ),
        ),
        *(
            (
                f"mean joint of a tile, limit {word} the mean",
                "25",
                lambda side=side: turning(
                    lambda off: uniformity_a137_1([[2.0, 2.0]], [2.0, 2 + side * off / 50]).even_between, 0, 90
                ),
            )
            for word, side in (("under", -1), ("over", 1))
        ),
    ],
    within=1e-6,  # the rule allows a rounding error
)
SHEET = (
    Check(
        "joints",
        GB,
        "Tables 1 and 2",
        "read",
        "joint of the sheet of 327 mm with tiles of 30 mm",
        "3.0",
        "mm",
        lambda: next(fit.joint for fit in joint_fits(327, 30, 2.4, 3.6)),
    ),
    Check(
        "joints",
        f"{GB}, with {A108}",
        "Tables 1 and 2; cl. 4.3.8",
        "read second-hand",
        "joint for tiles from 19.5 to 20.5 mm is the wider joint of the sheets",
        "3.0",
        "mm",
        lambda: joint_rule_a108_02(20.5 - 19.5),
    ),
)
D2 = "1.128 1.693 2.059 2.326 2.534 2.704 2.847 2.970 3.078 3.173 3.258 3.336 3.407 3.472 3.532 3.588 3.640 3.689"
D2 += " 3.735 3.778 3.819 3.858 3.895 3.931"
RANGES = listed(
    "sizes of tiles",
    "ASTM MNL 7, Manual on Presentation of Data and Control Chart Analysis",
    "table of factors for control charts, d2",
    "read second-hand",
    "standard deviations",
    [(f"mean range of {n} readings", d2, partial(expected_range_factor, n), n) for n, d2 in enumerate(D2.split(), 2)],
    along="readings",
)
CHECKS = (*A108_RULES, *A137_RULES, *SHEET, *RANGES)
