"""The questions of workbook 07."""

__all__ = ["QUESTIONS"]

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from mosaiclib import reference
from mosaiclib.course.hands import slow
from mosaiclib.job import spares
from mosaiclib.job.worktime import Effort
from mosaiclib.lesson.questions import Question, Slip

Values = Mapping[str, Any]
KIT, TABLE, TEACHER = "in every kit", "on the table, when it is wanted", "weighed by the teacher, with a mask"
WHERE = {
    "the spacers and the template": KIT,
    "the blanks, counted by colour": KIT,
    "the tube of silicone": TABLE,
    "the bottle of clear adhesive": TABLE,
    "the dry grout": TEACHER,
    "the thin-set mortar": TEACHER,
}


def _pool(rng: np.random.Generator) -> dict[str, Any]:
    return {
        "learners": int(rng.integers(6, 16)),
        "need": int(rng.integers(15, 60)),
        "percent": int(rng.integers(4, 13)),
    }


def _pooled(v: Values) -> int:
    return spares(v["learners"] * v["need"], v["percent"] / 100, 0.95)


def _hands(rng: np.random.Generator) -> dict[str, Any]:
    usual = int(rng.integers(4, 10)) * 5
    return {"least": usual - 5 * int(rng.integers(1, 3)), "usual": usual, "most": usual + 10 * int(rng.integers(2, 5))}


def _slowly(v: Values) -> float:
    return slow(Effort(v["least"], v["usual"], v["most"]))


def _tubes(rng: np.random.Generator) -> dict[str, Any]:
    seats = int(rng.choice([3, 4]))
    each = int(rng.integers(32, 41) if seats == 3 else rng.integers(47, 53))  # one heap for all would take fewer
    return {"tables": int(rng.integers(3, 6)), "seats": seats, "each": each, "tube": 90}


def _by_table(v: Values) -> int:
    return v["tables"] * math.ceil(v["seats"] * v["each"] / v["tube"])


def _evenings(rng: np.random.Generator) -> dict[str, Any]:
    return {"count": int(rng.integers(4, 8)), "long": 15 * int(rng.integers(6, 13))}


def _minutes(v: Values, *, talk: bool = True, away: bool = True) -> int:
    """Return the minutes for work in all sessions."""
    gone = sum(reference.value("course", name).number for name in ("setting up", "showing the step", "clearing up"))
    once = reference.value("course", "safety talk").number
    return int(v["count"] * (v["long"] - gone * away) - once * talk)


def _order(rng: np.random.Generator) -> dict[str, Any]:
    return {"count": int(rng.integers(4, 10)), "wait": int(rng.integers(24, 90)), "dry": int(rng.choice([2, 24]))}


def _money(rng: np.random.Generator) -> dict[str, Any]:
    learners = int(rng.integers(9, 15))
    return {
        "materials": 10 * int(rng.integers(20, 60)),
        "room": 5 * int(rng.integers(3, 10)),
        "sessions": int(rng.integers(4, 8)),
        "pay": 10 * int(rng.integers(30, 70)),
        "learners": learners,
        "shared": learners - int(rng.integers(2, 5)),
    }


def _fee(v: Values) -> float:
    return (v["materials"] + v["room"] * v["sessions"] + v["pay"]) / v["shared"]


def _thing(rng: np.random.Generator) -> dict[str, Any]:
    return {"what": str(rng.choice(list(WHERE)))}


QUESTIONS = (
    Question(
        "shared spares",
        "{learners} learners each need {need} good tiles of one colour and spoil {percent} in a hundred. How many spares does the "
        "class need together to be 95 % sure of enough?",
        _pool,
        _pooled,
        unit="tiles",
        units=("tiles", "%"),
        slips=(
            Slip(
                "each alone",
                lambda v: v["learners"] * spares(v["need"], v["percent"] / 100, 0.95),
                "that is enough for each alone; not all of them have bad luck on the same evening.",
            ),
            Slip(
                "mean only",
                lambda v: round(v["learners"] * v["need"] * v["percent"] / 100),
                "that breaks on the whole: half of all classes would run short.",
            ),
        ),
        hint="Take all their tiles as one heap. Workbook 06 asks the same of one maker.",
        because="One heap of {learners} x {need} tiles needs {answer} spares.",
    ),
    Question(
        "the slowest third",
        "A step takes the quickest hand {least} minutes, most hands {usual}, the slowest {most}. A session is fitted to the middle of "
        "the slowest third. How many minutes is that, give or take 2?",
        _hands,
        _slowly,
        unit="minutes",
        units=("minutes", "hours"),
        within=2.0,
        slips=(
            Slip("usual", lambda v: v["usual"], "half of the class would not be done by then."),
            Slip("slowest", lambda v: v["most"], "that is the very last hand; everyone else would sit idle."),
        ),
        hint="It lies between what most take and the slowest; five of six hands are quicker. The way stands under The same in symbols.",
        because="Five of six hands are done after {answer} minutes.",
    ),
    Question(
        "tubes on tables",
        "{tables} tables with {seats} learners each; a learner takes {each} mL of adhesive. A tube holds {tube} mL and stays at its "
        "table. How many tubes are bought?",
        _tubes,
        _by_table,
        unit="tubes",
        units=("tubes", "mL"),
        slips=(
            Slip(
                "one heap",
                lambda v: math.ceil(v["tables"] * v["seats"] * v["each"] / v["tube"]),
                "you shared tubes between tables: an open tube would be carried about.",
            ),
            Slip(
                "one each",
                lambda v: v["tables"] * v["seats"] * math.ceil(v["each"] / v["tube"]),
                "that is a tube for each learner; a table shares.",
            ),
        ),
        hint="Count for one table, round up, then take all tables.",
        because="Rounded up a table, times the tables: {answer} tubes.",
    ),
    Question(
        "minutes for work",
        "A class has {count} sessions of {long} minutes. In each, setting up takes 10, showing the step 10 and clearing up 15 minutes; "
        "the first has a safety talk of 20 minutes besides. How many minutes are left for work in all?",
        _evenings,
        _minutes,
        unit="minutes",
        units=("minutes", "hours"),
        slips=(
            Slip("talk", lambda v: _minutes(v, talk=False), "you left out the safety talk."),
            Slip(
                "all of it",
                lambda v: _minutes(v, talk=False, away=False),
                "you counted setting up, showing and clearing up as work.",
            ),
        ),
        hint="35 minutes of each session are no work, and 20 more of the first.",
        because="Sessions less 35 minutes each, less 20 once: {answer} minutes.",
    ),
    Question(
        "the last chance to glue",
        "A class meets once a week, {count} times. The adhesive lets the joints be filled after {wait} hours; the filler's haze is "
        "polished in the session after it, and then the pieces go home. Which session is the last in which gluing may end?",
        _order,
        lambda v: v["count"] - 2,
        slips=(
            Slip(
                "one too late",
                lambda v: v["count"] - 1,
                "then filling falls into the last session, and nobody polishes.",
            ),
            Slip("two too late", lambda v: v["count"], "then the joints would be filled after the class is over."),
        ),
        hint="Count back from the last session: polish, fill, glue.",
        because="Polish in session {count}, fill in the one before, glue by session {answer}.",
    ),
    Question(
        "the fee",
        "Materials cost {materials}, the room {room} for each of {sessions} sessions, the teacher's pay is {pay}. {learners} learners may "
        "come, and it must pay its way with {shared}. What does a place cost, without a margin?",
        _money,
        _fee,
        within=0.51,
        slips=(
            Slip(
                "all of them",
                lambda v: _fee(v) * v["shared"] / v["learners"],
                "you divided by all who may come; with fewer it would lose money.",
            ),
            Slip(
                "room once",
                lambda v: (v["materials"] + v["room"] + v["pay"]) / v["shared"],
                "the room is paid for every session.",
            ),
        ),
        hint="Add up all three, the room as often as you meet; divide by those who must carry it.",
        because="All of it shared by {shared}: {answer}.",
    ),
    Question(
        "where it lies",
        "A week before the class you lay things ready. Where does this go: {what}?",
        _thing,
        lambda v: WHERE[v["what"]],
        options=(KIT, TABLE, TEACHER),
        slips=(
            Slip(
                "elsewhere",
                lambda v: TABLE if WHERE[v["what"]] == KIT else KIT,
                "kits hold what keeps: not what cures in air, and not what raises dust.",
            ),
        ),
        hint="Does it cure in air? Does it raise dust?",
        because="It is {answer}.",
    ),
)
