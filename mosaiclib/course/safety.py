"""Safety on paper: a sheet for the room, a blank form about allergies and asthma, and labels for powder that is repacked."""

__all__ = ["health_form", "powder_labels", "safety_sheet"]

from collections.abc import Iterator, Sequence

import shapely

from mosaiclib import reference
from mosaiclib.cautions import caution, on_paper
from mosaiclib.course.kits import Portion
from mosaiclib.drawing import Drawing, Polygons, Subject, Text, bound
from mosaiclib.drawing.flow import Block, boxed, flowed, headed, rules, said, stacked, words_width
from mosaiclib.drawing.palette import INK, SOFT
from mosaiclib.filler import Ingredient
from mosaiclib.job.days import OPEN

ROOM = (  # what is told under each heading: rows of the tables by group, and hazards by name
    ("Setting up", "Setting up", ("children",)),
    ("Eyes and hands", "", ("splinters", "edges", "cement", "resins")),
    ("Dust", "", ("dust", "grinding")),
    ("Air and heat", "", ("vapours", "solvents", "heat")),
    ("First aid", "First aid", ()),
    ("Waste", "", ("water",)),
)
FILLED_IN = (
    "Emergency number",
    "Poison centre",
    "Address of this room, as you would tell it",
    "Who knows first aid",
    "Where first-aid box, water for eyes and running water are",
    "Way out, and where we meet",
)
ASKED = (
    "Asthma, or trouble with breathing in dust or vapour",
    "Allergy to cement or chromate, to latex, to epoxy or adhesives, to plasters",
    "Skin that is broken, or has reacted before",
    "Contact lenses: better glasses on days with powder or adhesive",
    "Pregnant, or breast-feeding",
    "Something else that we should know before you cut, glue or fill",
)
KEPT = (
    "This form stays on paper. Nothing of it is typed into a computer. Only teacher and helpers read it; it lies in a closed "
    "envelope beside the first-aid box, and you get it back on the last day. You need not answer. If you are not sure whether "
    "you may work with dust, cement or adhesive, ask your doctor first."
)
LABEL, LETTERS = (95.0, 122.0), 2.7  # [mm] a label for powder: two across any paper


def safety_sheet(paper: str = "A4") -> list[Drawing]:
    """Return the safety sheet of the room: local rules first, numbers to fill in, setting up, eyes, dust, air, first aid, waste."""
    width = words_width(paper)
    blocks = [said(caution("precedence"), width, size=3.8, voice="heading"), *_filled_in(width)]
    for heading, group, hazards in ROOM:
        found = [*_listed(group, width), *(_hazard(name, width) for name in hazards)]
        blocks += [headed(heading, width), *found]
    return flowed(blocks, paper, title="Safety in this room", about="What to set up, to wear and to do.")


def _filled_in(width: float) -> Iterator[Block]:
    for words in FILLED_IN:
        yield stacked(said(f"{words}:", width, after=0.0), rules(width, 1))


def _listed(group: str, width: float) -> Iterator[Block]:
    """Yield the rows of a group, each with a box to tick."""
    for record in reference.groups("firstaid").get(group, ()):
        yield said(record.note, width, mark=OPEN if group == "Setting up" else "–", after=1.0)


def _hazard(name: str, width: float) -> Block:
    return said(f"{reference.value('cautions', name).group}. {caution(name)}", width, mark="–", after=1.0)


def health_form(paper: str = "A4") -> list[Drawing]:
    """Return the blank form that asks about allergies and asthma; nothing of it is stored."""
    width = words_width(paper)
    blocks = [
        said(KEPT, width),
        said("Name: ______________________________     Who to call for me: ______________________________", width),
        headed("What may matter when glass is cut, adhesive is wet or powder is stirred", width),
    ]
    for words in ASKED:
        blocks.append(stacked(said(words, width, mark=OPEN, after=0.0), rules(width, 2, left=6.0)))
    blocks += [
        said("What I carry with me, such as an inhaler, and where it is:", width, after=0.0),
        rules(width, 2),
        said("Day and signature, for a child a parent's:", width, after=0.0),
        rules(width, 1),
    ]
    return flowed(blocks, paper, title="Before you begin: allergies and asthma", about="A blank form.")


# --- labels for powder -------------------------------------------------------------------------------------


def powder_labels(portions: Sequence[Portion], paper: str = "A4") -> list[Drawing]:
    """Return a label for each portion of powder that is weighed for a table, with lines to cut along; none without powder."""
    drawn = tuple(_label(one) for one in portions if one.recipe.powder)
    if not drawn:
        return []
    subject = Subject("Labels for repacked powder", drawn, up="", names=tuple(one.title for one in drawn))
    said_ = [on_paper("powder")]
    sheets = bound([subject], paper, title=subject.heading, cautions=said_, scaled=False, mapped=False)
    return [sheet for some in sheets for sheet in some]


def _label(portion: Portion) -> Drawing:
    """Draw the label of one portion: product, amount, hazards as published for cement, blanks for the maker's own."""
    width, high = LABEL
    inside = width - 6.0
    powder: Ingredient = portion.recipe.ingredients[0]
    hazards = reference.by_name("hazards")
    who = _people(portion.learners)
    title = f"{portion.recipe.named(powder.name)}, table {portion.table}, {portion.piece}"
    words = [
        said(portion.recipe.named(powder.name), inside, size=4.2, voice="heading", after=1.0),
        said(f"Table {portion.table}, {portion.piece}, {who}: {_amount(powder, portion)}", inside, size=LETTERS, after=1.0),
        said(hazards["signal word"].note, inside, size=5.2, voice="heading", after=1.0),
        *(said(f"{row.name}: {row.note}.", inside, size=LETTERS, after=0.4) for row in hazards.values() if row.name[0] == "H"),
        said(f"Pictograms, cut from the bag or drawn after it: {hazards['pictograms'].note}", inside, size=LETTERS, after=1.0),
        said("Usual for cement powder; copy what the bag and its safety data sheet say: they come first.", inside, size=LETTERS),
        said(f"{hazards['repacked'].note} Keep closed, dry, away from children and food.", inside, size=LETTERS),
        *(_blank(line, inside) for line in ("Product as on its bag", "Maker and telephone", "Number of the lot", "Weighed on, by")),
    ]
    block = stacked(*words)
    frame = Polygons([shapely.box(0.0, 0.0, width, high)], None, SOFT, 0.2, dash=(2.0, 1.5), name="cut")
    items = (item.placed(False, 3.0, high - 2.0) for item in block.items)
    return Drawing(width, high, title, "A label with the hazards of the powder.", (frame, *items))


def _blank(words: str, width: float) -> Block:
    high = 6.5
    line = f"{words}: "
    return Block((Text(0.0, -high + 1.0, line + "_" * int((width - 1.7 * len(line)) / 1.45), LETTERS, colour=INK),), high)


def _amount(powder: Ingredient, portion: Portion) -> str:
    if portion.batches == 1:
        return f"{powder.amount:.0f} {powder.unit}"
    return f"{powder.amount:.0f} {powder.unit}, in {portion.batches} batches of {powder.amount / portion.batches:.0f} {powder.unit}"


def _people(learners: Sequence[int]) -> str:
    return f"learner{'s' * (len(learners) > 1)} {', '.join(map(str, learners))}"
