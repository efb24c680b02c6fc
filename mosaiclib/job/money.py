"""What a finished work costs and what to ask for it, by a rule that is shown; what has no price is said and never guessed."""

__all__ = ["Money", "money_of", "money_rows"]

from dataclasses import dataclass

from mosaiclib.errors import MosaicError
from mosaiclib.job.days import steps_of
from mosaiclib.job.lists import buying_list, needs
from mosaiclib.job.packs import chosen_packs, packs_of
from mosaiclib.job.plan import BASES, MoneyPart
from mosaiclib.job.work import Worked
from mosaiclib.job.worktime import Effort
from mosaiclib.report import Row


@dataclass(frozen=True)
class Money:
    """What a plan costs in its currency: all packs, what is used of them, the work [min], the rule, and what is not priced."""

    packs: float
    used: float
    work: Effort | None
    part: MoneyPart
    lacking: tuple[str, ...]

    @property
    def materials(self) -> float:
        """The materials that count by the rule."""
        return self.packs if self.part.basis == BASES[0] else self.used

    def price(self, minutes: float) -> float:
        """Return what to ask for so much work [min]: (materials + tools + hours x rate) x (1 + margin)."""
        return (self.materials + self.part.tools + minutes / 60 * self.part.rate) * (1 + self.part.margin)


def money_of(worked: Worked) -> Money:
    """Return what a plan costs. Tiles in hand are paid already, but count as used where their price is known.

    Of a pack that is begun, what is used counts by its share; a pack is shared by all pieces of glass of the plan.
    """
    taken, used, lacking = worked.cutting.taken(), 0.0, []
    for colour in worked.plan.tile.colours:
        if colour.name in taken.index:
            line = taken.loc[colour.name]
            used += colour.price * float(line["tiles"] + line["spoilt"])
            lacking += [f"tiles, {colour.name}"] * (not colour.price)
    for need in needs(worked):
        counts, cost = chosen_packs(need.amount, need.material, worked.plan.packs)
        held = {pack.name: pack.number for pack in packs_of(need.material, worked.plan.packs)}
        if cost is None:
            lacking.append(need.item)
        elif counts:
            used += cost * need.amount / sum(count * held[name] for name, count in counts.items())
    packs = float(buying_list(worked)["cost"].iloc[-1])
    return Money(packs, used, _work(worked), worked.plan.money, tuple(lacking))


def _work(worked: Worked) -> Effort | None:
    try:
        return sum((step.work for step in steps_of(worked)), Effort())
    except MosaicError:  # an adhesive that is ruled out has no days
        return None


def money_rows(worked: Worked) -> list[Row]:
    """Tell materials by packs and by use, hours, tools, margin, and the price by the rule with what it leaves out."""
    found, money = money_of(worked), worked.plan.currency
    part, work = found.part, found.work or Effort()
    counts = "counts below" if part.basis == BASES[0] else "does not count below"
    least, usual, most = (minutes / 60 for minutes in work.band)
    lacking = [*found.lacking, *["your hours"] * (not part.rate), *["tools"] * (not part.tools)]
    words = "(materials + tools + hours x rate) x (1 + margin)"
    rows = [
        Row("Materials, whole packs", f"{found.packs:.2f}", money, f"{counts}; what is left over is yours"),
        Row(
            "Materials, what is used",
            f"{found.used:.2f}",
            money,
            "the share of each pack, and tiles in hand at their price",
        ),
    ]
    if found.work:
        value = f"{usual * part.rate:.2f} {money}".strip() if part.rate else "not priced: type what an hour is worth"
        rows.append(
            Row("Your hours", round(usual, 1), "h", f"{least:.1f} to {most:.1f} h with the work of all tasks; {value}")
        )
    rows.append(Row("Tools", f"{part.tools:.2f}" if part.tools else "not priced", money if part.tools else "", ""))
    band = f" ({found.price(work.least):.2f} to {found.price(work.most):.2f})" if part.rate else ""
    rows.append(
        Row("Price by the rule", f"{found.price(work.usual):.2f}{band}", money, f"{words}, margin {part.margin:.0%}")
    )
    if lacking:
        rows.append(
            Row("The price leaves out", len(lacking), f"thing{'s' * (len(lacking) > 1)} not priced", "; ".join(lacking))
        )
    return rows
