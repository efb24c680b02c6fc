"""Sheets of words to print: the batch card of a filler, and the record of a demonstration."""

__all__ = ["CAUTION", "batch_lines", "card", "caution", "mixing_lines", "write_batch_card", "write_record_sheet"]

import textwrap
from collections.abc import Sequence
from pathlib import Path

from mosaiclib.drawing import Drawing, Lines, Text, pages, segments, write_pdf
from mosaiclib.drawing.palette import INK, LETTER, SOFT
from mosaiclib.filler import Ingredient, Recipe

CAUTION = (
    "No dry dust in the air: mixes hold silica. Wet cement burns skin and eyes: gloves, safety glasses. "
    "Nothing down the drain. Local rules and the maker's sheet stand above this card."
)
EPOXY_CAUTION = (
    "Resin and hardener can make skin allergic for good, and hardener burns eyes: gloves, safety glasses, window open. "
    "Nothing down the drain. Local rules and the maker's sheet stand above this card."
)
WIDE, STEP, LINE, SIZE = 170.0, 8.0, 4.6, 3.4  # [mm] card, a line of it, what a further line of words adds, letters
RIM, SECOND = 4.0, 80.0  # [mm] where the two columns begin


def card(title: str, lines: Sequence[tuple[str, str]]) -> Drawing:
    """Draw a card of words in two columns, wrapped inside its width, with a rule under each line.

    Parameters
    ----------
    title : str
        Heading.
    lines : sequence of (str, str)
        What, and how much; empty for a place to write.

    Returns
    -------
    Drawing
        The card [mm].

    Examples
    --------
    >>> card("Batch", [("powder", "170 g")]).width
    170.0
    """
    wrapped = [(_wrapped(what, SECOND - RIM), _wrapped(much, WIDE - RIM - SECOND)) for what, much in lines]
    tall = [STEP + LINE * (max(len(what), len(much), 1) - 1) for what, much in wrapped]
    high = sum(tall) + 2 * STEP
    items: list = [Text(RIM, high - STEP, title, 5.0, voice="heading", colour=INK)]
    rules, top = [], high - 1.5 * STEP
    for cells, deep in zip(wrapped, tall, strict=True):
        for x, words in zip((RIM, SECOND), cells, strict=True):
            items += [Text(x, top - 0.7 * STEP - LINE * i, one, SIZE, colour=INK) for i, one in enumerate(words)]
        top -= deep
        rules.append([RIM, top, WIDE - RIM, top])
    about = "; ".join(f"{what}: {much}" for what, much in lines)
    return Drawing(WIDE, high, title, about, (*items, Lines(segments(rules), SOFT, 0.15)))


def _wrapped(words: str, room: float) -> list[str]:
    """Return words as lines that fit a room [mm]."""
    return textwrap.wrap(words, int(room / (LETTER * SIZE)))


def caution(made: Recipe) -> str:
    """Return what to beware of with a filler.

    Parameters
    ----------
    made : Recipe
        What it is mixed from.

    Returns
    -------
    str
        Sentences for the card.
    """
    return CAUTION if made.powder else EPOXY_CAUTION


def batch_lines(made: Recipe, count: int, wipe: float) -> list[tuple[str, str]]:
    """Return the lines of a batch card: for all, and for each batch.

    Parameters
    ----------
    made : Recipe
        What all of it is mixed from [g].
    count : int
        Batches.
    wipe : float
        When to wipe [min].

    Returns
    -------
    list of (str, str)
        What and how much.
    """
    head = [("Filler", made.kind)]
    if made.powder:
        head += [("Grain for this joint", made.sand), ("Batches", f"{count} of {made.volume / count:.0f} mL")]
    return [*head, *mixing_lines(made, count, wipe)]


def mixing_lines(made: Recipe, count: int, wipe: float) -> list[tuple[str, str]]:
    """Return what a filler is mixed from, and what is done with it.

    Parameters
    ----------
    made, count, wipe
        As for `batch_lines` [g, -, min].

    Returns
    -------
    list of (str, str)
        What and how much.
    """
    if not made.powder:
        return [
            *[(one.name, f"{one.amount:.0f} {one.unit} in all; no water in it") for one in made.ingredients],
            ("Its parts", "each as its maker says, by weight"),
            ("How much at once", "what can be placed in the pot life that its maker names"),
            ("Wipe", "before it sets, as its maker says"),
        ]
    keep = "1 to 2 days moist with latex (ACI Committee 548, abstract read)" if made.latex else "as the bag says"
    return [
        *[(one.name, _each(one, count)) for one in made.ingredients],
        ("Stir, let it slake, stir again", "as the bag says"),
        ("Wipe", f"after about {wipe:.0f} minutes, with little water (common practice)"),
        ("Keep moist, then dry in the air", keep),
    ]


def _each(one: Ingredient, count: int) -> str:
    """Return how much of an ingredient goes into each batch, and what to mind with water."""
    words = "" if one.packs else f", {one.words}"
    return f"{one.amount / count:.0f} {one.unit} each, {one.amount:.0f} {one.unit} in all{words}"


def write_batch_card(path: Path, made: Recipe, count: int, wipe: float, paper: str = "A4") -> Path:
    """Write the batch card as a PDF.

    Parameters
    ----------
    path : Path
        The file.
    made, count, wipe
        As for `batch_lines` [g, -, min].
    paper : {"A4", "Letter"}
        Paper size.

    Returns
    -------
    Path
        The file.
    """
    drawing = card("Batch card", batch_lines(made, count, wipe))
    write_pdf(pages(drawing, paper, heading="Batch card for the filler", up="", notes=(caution(made),)), path)
    return path


def write_record_sheet(path: Path, joint: float, paper: str = "A4") -> Path:
    """Write the record sheet of the demonstration with two slides as a PDF.

    Parameters
    ----------
    path : Path
        The file.
    joint : float
        Joint of the slides [mm].
    paper : {"A4", "Letter"}
        Paper size.

    Returns
    -------
    Path
        The file.
    """
    days = ("mixed and filled", "1 hour", "1 day", "3 days", "7 days", "14 days", "28 days")
    lines = [
        ("Joint, both slides", f"{joint:g} mm"),
        ("Room", "_______ C, humidity _______ %"),
        ("Powder, latex, water", ""),
    ]
    for slide in ("plain", "with latex"):
        lines += [(f"Slide {slide}: {day}", "cracks: _______ length let go: _______ mm") for day in days]
    drawing = card("Two slides, two fillers", lines)
    write_pdf(pages(drawing, paper, heading="Record sheet", up="", notes=(CAUTION,)), path)
    return path
