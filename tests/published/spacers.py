"""Thickness of coins used as spacers."""

from functools import partial

from mosaiclib import reference
from mosaiclib.spacing import spacer_candidates

from .records import listed

US_MINT = {
    "US cent": "1.52",
    "US nickel": "1.95",
    "US dime": "1.35",
    "US quarter": "1.75",
    "US half dollar": "2.15",
    "US dollar": "2.00",
}
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


SELDOM = ("US half dollar", "US dollar")  # in the table, but not offered: nobody has them in a pocket


def thickness(coin: str, currency: str) -> float:
    """Return the thickness that we take a coin to have [mm]."""
    if coin in SELDOM:
        return reference.value("spacers", coin).number
    singles = spacer_candidates(2.0, currency=currency, pairs=False)
    return next(one.thickness for one in singles if one.names == (coin,))


def _rows(coins: dict[str, str], currency: str) -> list[tuple]:
    return [(name, printed, partial(thickness, name, currency)) for name, printed in coins.items()]


CHECKS = (
    *listed("coins", "US Mint, Coin Specifications", "row Thickness", "read", "mm", _rows(US_MINT, "US")),
    # read on pages and in a table that give the same figures
    *listed("coins", "Regulation (EU) No 729/2014", "Annex I", "read second-hand", "mm", _rows(EURO, "euro")),
)
