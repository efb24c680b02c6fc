"""Safety on paper: a sheet for the room, a blank form about allergies and asthma, and labels for powder that is repacked."""

__all__ = ["health_form", "powder_labels", "safety_sheet"]

from collections.abc import Iterator, Sequence

from mosaiclib import reference
from mosaiclib.cautions import caution, on_paper
from mosaiclib.course.kits import Portion
from mosaiclib.course.labels import INSIDE, cut_out, people
from mosaiclib.drawing import Drawing
from mosaiclib.drawing.flow import INDENT, Block, blank, flowed, headed, rules, said, stacked, words_width
from mosaiclib.job.days import OPEN

ROOM = (  # what is told under each heading: rows of the tables by group, and hazards by name
    ("First aid", "First aid", ()),
    ("Setting up", "Setting up", ("children",)),
    ("Eyes and hands", "", ("splinters", "edges", "cement", "resins")),
    ("Dust", "", ("dust", "grinding")),
    ("Air, light and heat", "", ("vapours", "lamp", "solvents", "heat")),
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
BLANKS = ("Product as on its bag", "Manufacturer and telephone", "Number of the lot", "Weighed on, by")
CLOSE, LETTERS = 3.0, 2.7  # [mm] of the sheet for the room; on a label


def safety_sheet(paper: str = "A4") -> list[Drawing]:
    """Return the safety sheet of the room: local rules first, numbers to fill in, setting up, eyes, dust, air, first aid, waste."""
    width = words_width(paper)
    blocks = [said(caution("precedence"), width, size=3.8, voice="heading"), *_filled_in(width)]
    for heading, group, hazards in ROOM:
        blocks += [headed(heading, width), *_listed(group, width), *(_hazard(name, width) for name in hazards)]
        if "dust" in hazards:
            blocks.append(said(reference.value("hazards", "repacked").note, width, mark="–", size=CLOSE, after=0.8))
    return flowed(blocks, paper, title="Safety in this room", about="What to set up, to wear and to do.")


def _filled_in(width: float) -> Iterator[Block]:
    for words in FILLED_IN:
        yield blank(words, width)


def _listed(group: str, width: float) -> Iterator[Block]:
    """Yield the rows of a group, each with a box to tick."""
    for record in reference.groups("firstaid").get(group, ()):
        yield said(record.note, width, mark=OPEN if group == "Setting up" else "–", size=CLOSE, after=0.8)


def _hazard(name: str, width: float) -> Block:
    return said(f"{reference.value('cautions', name).group}. {caution(name)}", width, mark="–", size=CLOSE, after=0.8)


def health_form(paper: str = "A4") -> list[Drawing]:
    """Return the blank form that asks about allergies and asthma; nothing of it is stored."""
    width = words_width(paper)
    blocks = [
        said(KEPT, width),
        *(blank(words, width) for words in ("Name", "Who to call for me, and the number")),
        headed("What may matter when glass is cut, adhesive is wet or powder is stirred", width),
    ]
    for words in ASKED:
        blocks.append(stacked(said(words, width, mark=OPEN, after=0.0), rules(width, 2, left=INDENT)))
    blocks += [
        blank("What I carry with me, such as an inhaler, and where it is", width),
        blank("Day and signature, for a child a parent's", width),
    ]
    return flowed(blocks, paper, title="Before you begin: allergies and asthma", about="A blank form.")


# --- labels for powder -------------------------------------------------------------------------------------


def powder_labels(portions: Sequence[Portion], paper: str = "A4") -> list[Drawing]:
    """Return a label for each portion of powder that is weighed for a table, with lines to cut along; none without powder."""
    told = [(f"table {one.table}", _label(one)) for one in portions if one.recipe.powder]
    if not told:
        return []
    return cut_out("Labels for repacked powder", told, paper, cautions=(on_paper("powder"),))


def _label(portion: Portion) -> Block:
    """Return the label of one portion: product, amount, hazards as published for cement, blanks for its own words."""
    powder, hazards = portion.recipe.ingredients[0], reference.by_name("hazards")
    name = portion.recipe.named(powder.name)
    small = [
        *(f"{row.name}: {row.note}." for row in hazards.values() if row.name.startswith("H")),
        f"Pictograms, cut from the bag or drawn after it: {hazards['pictograms'].note}.",
        "Usual for cement powder. Copy what the bag and its safety data sheet say: they come first.",
        "Keep closed and dry, away from children and food.",
    ]
    return stacked(
        said(name, INSIDE, size=4.2, voice="heading", after=1.0),
        said(
            f"Table {portion.table}, {portion.piece}, {people(portion.learners)}: {_amount(portion)}",
            INSIDE,
            size=LETTERS,
            after=1.0,
        ),
        said(hazards["signal word"].note, INSIDE, size=5.2, voice="heading", after=1.0),
        *(said(line, INSIDE, size=LETTERS, after=0.6) for line in small),
        *(blank(line, INSIDE, LETTERS) for line in BLANKS),
    )


def _amount(portion: Portion) -> str:
    """Tell how much powder there is, and what goes into a batch where there are several."""
    powder = portion.recipe.ingredients[0]
    each = f", {portion.batches} batches of {powder.amount / portion.batches:.0f} {powder.unit}" * (portion.batches > 1)
    return f"{powder.amount:.0f} {powder.unit}{each}"
