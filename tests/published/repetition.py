"""Agreement beyond chance, by which repetition is measured, and the words for it."""

import numpy as np

from mosaiclib.colour.repetition import kappa, words_for

from .records import listed, turning


def _table(yes: int, first: int, second: int, no: int) -> float:
    """Return kappa of two readers from their table: both yes, only the first, only the second, both no."""
    first_reader, second_reader = np.repeat([[1, 1, 0, 0], [1, 0, 1, 0]], [yes, first, second, no], axis=1)
    return float(kappa(first_reader, second_reader))


KAPPA = listed(
    "agreement",
    "Wikipedia, Cohen's kappa",
    "examples: grants read by two readers; same percentages but different numbers",
    "from memory",
    "",
    [
        ("20 5 10 15", "0.4", lambda: _table(20, 5, 10, 15)),
        ("45 15 25 15", "0.1304", lambda: _table(45, 15, 25, 15)),
        ("25 35 5 35", "0.2593", lambda: _table(25, 35, 5, 35)),
    ],
)
WORDS = listed(
    "agreement",
    "Landis and Koch, The measurement of observer agreement for categorical data, Biometrics 33 (1977) 159-174",
    "table of strength of agreement",
    "read second-hand",
    "",
    [
        (
            f"{words} ends at",
            printed,
            lambda words=words, low=low: turning(lambda k: words_for(k) == words, low + 0.01, 1.0),
        )
        for words, low, printed in (
            ("slight", 0.0, "0.20"),
            ("fair", 0.2, "0.40"),
            ("moderate", 0.4, "0.60"),
            ("substantial", 0.6, "0.80"),
        )
    ],
)
CHECKS = (*KAPPA, *WORDS)
