"""How long the hands take: rates an action, for a beginner and a practised hand, always with a band."""

__all__ = ["ACTIONS", "Effort", "cutting_effort", "effort", "placed_before_skin"]

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from mosaiclib import reference
from mosaiclib.adhesive.cure import COLDEST, HOTTEST, T_TABLE, front_speed
from mosaiclib.errors import choice, number
from mosaiclib.job.breakage import HANDS

ACTIONS = tuple(record.name for record in reference.table("worktime") if record.group == "action")


@dataclass(frozen=True)
class Effort:
    """Work with its band [min]."""

    least: float = 0.0
    usual: float = 0.0
    most: float = 0.0

    @property
    def band(self) -> tuple[float, float, float]:
        """Least, usual and most [min]."""
        return self.least, self.usual, self.most

    def __add__(self, other: "Effort") -> "Effort":
        return Effort(*(one + two for one, two in zip(self.band, other.band, strict=True)))

    def times(self, count: float) -> "Effort":
        """Return so many times the work."""
        return Effort(*(count * minutes for minutes in self.band))


def effort(action: str, hand: str = "beginner", rates: Mapping[str, float] | None = None) -> Effort:
    """Return what one action takes a hand [min]; `rates`: one's own times [min], which stand above the table and its band.

    >>> effort("glue").usual, effort("glue", rates={"glue": 0.5}).band
    (0.6, (0.5, 0.5, 0.5))
    """
    choice(action, "action", ACTIONS), choice(hand, "hand", HANDS)
    own = (rates or {}).get(action)
    if own is not None:
        return Effort(*(number(own, f"time to {action}", "minutes", above=0, greatest=1440),) * 3)
    record = reference.value("worktime", action)
    faster = reference.value("worktime", "practised hand").number if hand == "practised" else 1.0
    return Effort(record.band[0], record.number, record.band[1]).times(faster)


def cutting_effort(
    cuts: Mapping[str, np.ndarray],
    chances: np.ndarray,
    settings: int,
    hand: str = "beginner",
    rates: Mapping[str, float] | None = None,
) -> Effort:
    """Return what all cutting takes [min]: every gauge or stop set once, each cut, and again what is spoilt, on the mean.

    `cuts`: how many of each kind n pieces take, shape (n,); `chances`: that each piece is spoilt, shape (n,).

    >>> cutting_effort({"wedge": np.array([2, 2])}, np.array([0.0, 0.5]), 1).usual  # 4 + (2 + 4) x 0.8
    8.8
    """
    tries = 1 / (1 - chances)
    each = [effort(f"{kind} cut", hand, rates).times(float(count @ tries)) for kind, count in cuts.items()]
    return sum(each, effort("set", hand, rates).times(settings))


def placed_before_skin(each: Effort, temperature: float = T_TABLE, humidity: float = 0.5) -> tuple[int, int]:
    """Return how many pieces one hand can place before a skin forms on what was squeezed out, at the least and usually.

    `each`: the work of one piece [min]. A skin comes as a cure by moisture begins, so its time goes with the square of the
    front's speed.

    >>> placed_before_skin(Effort(0.4, 0.6, 1.0))
    (5, 16)
    """
    number(temperature, "temperature", "C", least=COLDEST, greatest=HOTTEST)
    record = reference.value("worktime", "skin")
    slower = (front_speed() / front_speed(temperature, humidity)) ** 2
    return tuple(
        max(1, int(minutes * slower / one))
        for minutes, one in ((record.band[0], each.most), (record.number, each.usual))
    )
