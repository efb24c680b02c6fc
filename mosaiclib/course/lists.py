"""The lists of a class: what to buy, what lies in each kit, who sits where, and what is done when; one row a line, for any table."""

__all__ = ["kit_list", "session_list", "shopping_list", "table_list"]

import math

import pandas as pd

from mosaiclib.course.course import Course, Prepared


def shopping_list(ready: Prepared) -> pd.DataFrame:
    """Return one line a thing: item, unit, kits, tables, spares, in_the_house, to_buy, packs, cost, left_over, note; last the sum.

    In each line kits + tables + spares + left_over = in_the_house + to_buy.
    """
    lines = [
        (
            line.item, line.unit, line.kits, round(line.tables, 3), line.spares, line.owned, line.bought, line.packs,
            math.nan if line.cost is None else line.cost, round(line.left, 3), _note(line.kept, line.cost),
        )
        for line in ready.shopping
    ]  # fmt: skip
    fee = ready.fee
    lacking = f"without {len(fee.lacking)} things that are not priced" if fee.lacking else ""
    lines.append(("all that is priced", "", *[math.nan] * 5, "", round(fee.materials, 2), math.nan, lacking))
    columns = [
        "item",
        "unit",
        "kits",
        "tables",
        "spares",
        "in_the_house",
        "to_buy",
        "packs",
        "cost",
        "left_over",
        "note",
    ]
    return pd.DataFrame(lines, columns=columns)


def _note(kept: bool, cost: float | None) -> str:
    return "; ".join(words for words, said in (("stays in the house", kept), ("not priced", cost is None)) if said)


def kit_list(ready: Prepared) -> pd.DataFrame:
    """Return one line a learner and colour: learner, table, piece, colour, tiles, and pieces of each blank in words."""
    lines = []
    for table in ready.tables:
        for learner in table.learners:
            kit = ready.kit_of(learner)
            for tile, count in kit.tiles.items():
                mine = kit.blanks[kit.blanks["colour"] == tile[0]]
                blanks = ", ".join(f"{one.pieces} {one.blank}" + " cut" * one.cut for one in mine.itertuples())
                lines.append((learner, table.number, kit.group.name, tile[0], count, blanks))
    return pd.DataFrame(lines, columns=["learner", "table", "piece", "colour", "tiles", "blanks"])


def table_list(ready: Prepared) -> pd.DataFrame:
    """Return one line a table: table, learners, adhesive and packs in words, and the filler that is weighed for it [g]."""
    lines = []
    for table in ready.tables:
        glue = ", ".join(f"{round(amount)} {name}" for name, amount in table.adhesive.items())
        packs = ", ".join(f"{count} x {name}" for each in table.packs.values() for name, count in each.items())
        mine = [one for one in ready.portions if one.table == table.number]
        filler = "; ".join(f"{one.piece}: {one.recipe.bought}, {one.recipe.water:.0f} g water" for one in mine)
        lines.append((table.number, " ".join(map(str, table.learners)), glue, packs, filler))
    return pd.DataFrame(lines, columns=["table", "learners", "adhesive", "packs", "filler"])


def session_list(course: Course) -> pd.DataFrame:
    """Return one line a session and step: session, begin, end, piece, step, slow and quick [min], and whether it ends here."""
    lines = [
        (one.number, course.words(one.begin), course.words(one.end), done.piece, done.step.rpartition(": ")[2],
         done.slow, done.quick, "yes" if done.ends else "goes on")
        for one in course.sessions
        for done in one.work
    ]  # fmt: skip
    return pd.DataFrame(lines, columns=["session", "begin", "end", "piece", "step", "slow", "quick", "ends"])
