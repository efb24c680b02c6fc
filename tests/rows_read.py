"""Prints every row of data/ that no code asks for: run in a fresh process, so that nothing is remembered from before."""

import dataclasses
from pathlib import Path

from mosaiclib import cautions, reference
from mosaiclib.adhesive import families
from mosaiclib.course import Class, prepare
from mosaiclib.course.cards import packing_list
from mosaiclib.course.safety import powder_labels, safety_sheet
from mosaiclib.drawing.paper import paper_sizes
from mosaiclib.errors import MosaicError
from mosaiclib.filler import KINDS, meets, recipe, sand_for
from mosaiclib.job import Plan, buying_list, work_out
from mosaiclib.job.breakage import HANDS
from mosaiclib.lesson.controls import Choice, Switch
from mosaiclib.lessons import PARTS, asked, lessons
from mosaiclib.reference import Record

HERE = Path(__file__).parent
PACKAGE = HERE.parent / "mosaiclib"
SLOW = {
    "w02_rows",
    *PARTS["06"].parts.values(),
    "w02_crossing",
    "w02_motif",
    "w06_plan",
}  # their choices read nothing more than their defaults and the plans below


def watch(seen):
    """Have every row that is asked for a figure, or for its words, write itself down."""

    def asked(self, name):
        if name in ("value", "least", "greatest", "price", "note", "more"):
            seen.add((object.__getattribute__(self, "subject"), object.__getattribute__(self, "name")))
        return object.__getattribute__(self, name)

    Record.__getattribute__ = asked


def turn_the_pages():
    """Work out every lesson as it starts and with each choice."""
    for question in (one for number in PARTS for one in asked(number)):
        question.answer(question.values(1))
    for page in (module for number in PARTS for module in lessons(number).values()):
        start = page.start() if hasattr(page, "start") else page.Settings()
        slow = page.__name__.rpartition(".")[2] in SLOW
        choices = [c for c in page.CONTROLS if isinstance(c, Choice | Switch) and not slow]
        for changed in [{}, *({c.name: value} for c in choices for value in c.ends(getattr(start, c.name)))]:
            try:
                result = page.compute(dataclasses.replace(start, **changed))
                page.report(result), page.draw(result), page.summary(result)
            except MosaicError:
                continue


def plan_and_type():
    """Work out the plans, and type what a page lets a learner type."""
    for path in (reference.DATA / "example_plan.json", HERE / "plain_plan.json"):
        plan = Plan.load(path)
        for family in KINDS:
            filler = plan.filler.model_copy(update={"family": family})
            worked = work_out(plan.model_copy(update={"filler": filler}))
            buying_list(worked)
    for hand in HANDS:
        work_out(plan.model_copy(update={"cut": plan.cut.model_copy(update={"hand": hand})})).cutting.taken(True)
    for family in families():
        glue = plan.adhesive.model_copy(update={"family": family})
        buying_list(dataclasses.replace(worked, plan=plan.model_copy(update={"adhesive": glue})))
    for joint in (2.0, 5.0, 12.0):
        sand_for(joint), recipe(100.0, "cement grout with latex", joint)
    meets({"shear on porcelain": 300.0})


def turn_to_cautions_and_paper():
    """Read what every page and paper says of hazards, and the sizes of paper."""
    for page in cautions.PAGES:
        cautions.cautions_on(page)
    cautions.on_paper(*cautions.PAPERS)
    paper_sizes()


def print_a_class():
    """Make the sheets of the room and the labels of the example class."""
    course = prepare(Class.load(reference.DATA / "example_class.json"))
    safety_sheet(), powder_labels(course.portions), packing_list(course)


def unread():
    """Return subject and name of the rows that nothing asked for."""
    subjects = sorted({path.name.split("_")[0] for path in reference.DATA.glob("*_*.csv")})
    rows = [(row.subject, row.name) for subject in subjects for row in reference.table(subject)]
    seen = set()
    watch(seen)
    turn_the_pages()
    plan_and_type()
    turn_to_cautions_and_paper()
    print_a_class()
    # some are asked for while a module is loaded, or only where nobody typed a value: their names stand in the code
    code = "".join(path.read_text(encoding="utf-8") for path in PACKAGE.rglob("*.py"))
    return [row for row in rows if row not in seen and f'"{row[1]}"' not in code]


if __name__ == "__main__":
    for subject, name in unread():
        print(f"{subject}: {name}")
