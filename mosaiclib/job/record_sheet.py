"""Sheets of words to print: the batch card of a filler, and the record of a demonstration."""

__all__ = ["CAUTION", "batch_lines", "card", "write_batch_card", "write_record_sheet"]

from collections.abc import Sequence
from pathlib import Path

from mosaiclib.drawing import Drawing, Lines, Text, pages, segments, write_pdf
from mosaiclib.drawing.palette import INK, SOFT
from mosaiclib.filler import KINDS, Recipe

CAUTION = (
    "No dry dust in the air: mixes hold silica. Wet cement burns skin and eyes: gloves, safety glasses. "
    "Nothing down the drain. Local rules and the maker's sheet stand above this card."
)
WIDE, STEP = 170.0, 8.0


def card(title: str, lines: Sequence[tuple[str, str]]) -> Drawing:
    """Draw a card of words in two columns, with a rule under each line.

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
    high = (len(lines) + 2) * STEP
    items: list = [Text(4, high - STEP, title, 5.0, voice="heading", colour=INK)]
    for place, (what, much) in enumerate(lines):
        y = high - (place + 2.2) * STEP
        items += [Text(4, y, what, 3.4, colour=INK), Text(80, y, much, 3.4, colour=INK)]
    rules = [[4, high - (place + 2.5) * STEP, WIDE - 4, high - (place + 2.5) * STEP] for place in range(len(lines))]
    about = "; ".join(f"{what}: {much}" for what, much in lines)
    return Drawing(WIDE, high, title, about, (*items, Lines(segments(rules), SOFT, 0.15)))


def batch_lines(made: Recipe, kind: str, count: int, wipe: float) -> list[tuple[str, str]]:
    """Return the lines of a batch card: for all, and for each batch.

    Parameters
    ----------
    made : Recipe
        What all of it is mixed from [g].
    kind : str
        Kind of filler.
    count : int
        Batches.
    wipe : float
        When to wipe [min].

    Returns
    -------
    list of (str, str)
        What and how much.
    """
    each = lambda grams: f"{grams / count:.0f} g each, {grams:.0f} g in all"  # noqa: E731
    lines = [
        ("Filler", kind),
        ("Grain for this joint", made.sand),
        ("Batches", f"{count} of {made.volume / count:.0f} mL"),
    ]
    if kind == KINDS[3]:
        return [
            *lines,
            ("Resin and hardener", "as its maker says, by weight"),
            ("Wipe", "before it sets, as its maker says"),
        ]
    lines.append(("Dry powder", each(made.powder)))
    if made.latex:
        lines.append(("Latex", each(made.latex)))
    return [
        *lines,
        ("Water to add", each(made.water)),
        ("Stir, let it slake, stir again", "as the bag says"),
        ("Wipe", f"after about {wipe:.0f} minutes, with little water (common practice)"),
        ("Keep moist, then dry in the air", "1 to 2 days moist with latex (ACI Committee 548, abstract read)"),
    ]


def write_batch_card(path: Path, made: Recipe, kind: str, count: int, wipe: float, paper: str = "A4") -> Path:
    """Write the batch card as a PDF.

    Parameters
    ----------
    path : Path
        The file.
    made, kind, count, wipe
        As for `batch_lines` [g, -, -, min].
    paper : {"A4", "Letter"}
        Paper size.

    Returns
    -------
    Path
        The file.
    """
    drawing = card("Batch card", batch_lines(made, kind, count, wipe))
    write_pdf(pages(drawing, paper, heading="Batch card for the filler", up="heading", notes=(CAUTION,)), path)
    return path


def write_record_sheet(path: Path, joint: float) -> Path:
    """Write the record sheet of the demonstration with two slides as a PDF.

    Parameters
    ----------
    path : Path
        The file.
    joint : float
        Joint of the slides [mm].

    Returns
    -------
    Path
        The file.
    """
    days = ("mixed and filled", "1 hour", "1 day", "3 days", "7 days", "14 days", "28 days")
    lines = [
        ("Joint, both slides", f"{joint:g} mm"),
        ("Room", "        C, humidity        %"),
        ("Powder, latex, water", ""),
    ]
    for slide in ("plain", "with latex"):
        lines += [(f"Slide {slide}: {day}", "cracks:        length let go:        mm") for day in days]
    write_pdf(
        pages(card("Two slides, two fillers", lines), heading="Record sheet", up="heading", notes=(CAUTION,)), path
    )
    return path
