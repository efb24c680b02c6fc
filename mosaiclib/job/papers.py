"""Paper for the way from plan to finished piece: bench card, gauges at true scale, days to tick, one page that sums it up."""

__all__ = ["bench_card", "days_card", "gauge_sheet", "summary_page"]

from collections.abc import Iterable, Iterator, Sequence

import numpy as np
import shapely

from mosaiclib.cautions import on_paper
from mosaiclib.drawing import Drawing, Polygons, Subject, Text, bound
from mosaiclib.drawing.palette import EDGE, INK, NEUTRAL, SOFT
from mosaiclib.job.bench import bench_rows, tile_rows
from mosaiclib.job.colours import joint_tone, looks_of
from mosaiclib.job.cutting import bench_order
from mosaiclib.job.days import OPEN, Days, day_rows, end_words
from mosaiclib.job.lists import buying_list
from mosaiclib.job.overview import adhesive_lines, face_lines, material_lines
from mosaiclib.job.sheets import card
from mosaiclib.job.work import Worked, WorkedPiece
from mosaiclib.report import Row, words_of
from mosaiclib.units import mm, text, told

TALLEST = 190.0  # [mm] a card goes on any paper
PICTURE = (170.0, 90.0)  # [mm] room for the pieces on the page that sums up
LETTERS = 3.0  # [mm]


def bench_card(worked: Worked) -> list[Drawing]:
    """Return the card of the bench: a box to tick for each group, in the order in which they are cut."""
    rows = bench_rows(worked)
    boxed = [row._replace(label=text(f"{OPEN} ", row.label)) if row.unit.startswith("piece") else row for row in rows]
    return _book(worked, "Bench card", _lines(boxed, worked.plan.unit), "gauge")


def days_card(days: Days) -> list[Drawing]:
    """Return the days as a list to tick off."""
    worked = days.worked
    lines = [("Done", end_words(days)), *_lines(day_rows(days), worked.plan.unit)]
    return _book(worked, "The days", lines, "plan", "powder" if worked.fillers[0].powder else "resin")


def _lines(rows: Iterable[Row], unit: str) -> list[tuple[str, str]]:
    """Return rows as the two columns of a card."""
    told_ = ((told(row.label, unit), words_of(row, unit), told(row.verdict, unit)) for row in rows)
    return [(label, "; ".join(filter(None, (value, verdict)))) for label, value, verdict in told_]


def _book(worked: Worked, title: str, lines: Sequence[tuple[str, str]], *cautions: str) -> list[Drawing]:
    """Return lines on as many cards as they take."""
    said = [*worked.warnings, on_paper(*cautions)]
    cards = tuple(_cards(f"{worked.plan.name}: {title.lower()}", lines))
    subject = Subject(title, cards, up="", names=(title,) * len(cards))
    return [
        sheet
        for sheets in bound([subject], worked.plan.paper, title=title, cautions=said, scaled=False)
        for sheet in sheets
    ]


def _cards(title: str, lines: Sequence[tuple[str, str]]) -> Iterator[Drawing]:
    begin = 0
    while begin < len(lines):
        end = begin + 1
        while end < len(lines) and card(title, lines[begin : end + 1]).height <= TALLEST:
            end += 1
        yield card(title, lines[begin:end])
        begin = end


def gauge_sheet(worked: Worked) -> list[Drawing]:
    """Return the gauges and stops that are set, at true scale, each in its blank; none where nothing is set."""
    order = bench_order(worked.cutting)
    order = order[order["wide"] > 0]
    drawn = tuple(_gauge(next(lines.itertuples()), worked.plan.unit) for _, lines in order.groupby("group"))
    if not drawn:
        return []
    subject = Subject("Gauges", drawn, up="", faces="lies beside the cutter", names=tuple(one.title for one in drawn))
    notes = ["Lay the first piece of each setting on its outline before you cut the rest."]
    found = bound(
        [subject], worked.plan.paper, title="Gauges", notes=notes, cautions=[*worked.warnings, on_paper("gauge")]
    )
    return [sheet for sheets in found for sheet in sheets]


def _gauge(line, unit: str) -> Drawing:
    """Draw one setting: the outline of the piece in its blank [mm]."""
    high = line.blank_short if line.height <= line.blank_short + 0.1 else line.blank_long
    wide = line.blank_long if high == line.blank_short else line.blank_short
    ends = [(-line.wide / 2, 0), (line.wide / 2, 0), (line.narrow / 2, line.height), (-line.narrow / 2, line.height)]
    middle, foot = max(wide, 34) / 2, 4 * LETTERS
    piece = shapely.Polygon([(middle + x, foot + y) for x, y in ends])
    blank = shapely.box(middle - wide / 2, foot, middle + wide / 2, foot + high)
    size = text(mm(line.wide, line.narrow)) if line.wide != line.narrow else text(mm(line.wide))
    said = (
        f"{line.group}. {line.gauge or line.way}",
        told(size, unit, both=False),
        told(text(mm(line.height), " high"), unit, both=False),
    )
    words = [
        Text(middle, foot - (row + 1.2) * LETTERS, one, 0.8 * LETTERS, "middle", colour=INK)
        for row, one in enumerate(said)
    ]
    items = (Polygons([blank], None, SOFT, 0.15, dash=(1, 1)), Polygons([piece], None, INK, 0.2, name="gauge"), *words)
    return Drawing(
        max(wide, 34) + 4,
        foot + high + 3,
        said[0],
        "The outline of a piece in the blank that it is cut from.",
        items,
        unit=unit,
    )


def summary_page(worked: Worked, days: Days | None) -> list[Drawing]:
    """Return one page with the pieces in their colours, measures, numbers, days and money; cautions stand in its foot."""
    plan = worked.plan
    rows = [*face_lines(worked), *tile_rows(worked)[:1], *material_lines(worked)[:1], *adhesive_lines(worked)[:1]]
    lines = [(told(row.label, plan.unit), words_of(row, plan.unit)) for row in rows]
    total = buying_list(worked).iloc[-1]
    cost = f"{total['cost']:.2f} {plan.currency}".strip()
    lines.append((f"Cost of {total['item']}", "; ".join(filter(None, (cost, total["note"])))))
    lines.append(("Done", end_words(days) if days else "the hours that there are cannot hold it"))
    words = card(plan.name, [("Pieces", f"{worked.count}"), *lines])
    picture = _pictures(worked)
    whole = Drawing(
        words.width, words.height + picture.height, plan.name, "The pieces in their colours, and what they come to.",
        (*picture.shifted(0.0, words.height).items, *words.items), unit=plan.unit,
    )  # fmt: skip
    papers = ("plan", "powder" if worked.fillers[0].powder else "resin")
    subject = Subject("The plan on one page", (whole,), up="")
    said = [*worked.warnings, on_paper(*papers)]
    return [
        sheet
        for sheets in bound([subject], plan.paper, title=plan.name, cautions=said, scaled=False)
        for sheet in sheets
    ]


def _pictures(worked: Worked) -> Drawing:
    """Draw all pieces of glass side by side, as large as fits."""
    boxes = [np.array(one.layout.outline.bounds).reshape(2, 2) for one in worked.pieces]
    sizes = np.array([box[1] - box[0] for box in boxes])
    gap = 0.05 * sizes[:, 0].sum()
    scale = min(PICTURE[0] / (sizes[:, 0].sum() + gap * (len(sizes) + 1)), (PICTURE[1] - 6) / sizes[:, 1].max())
    items, across = [], gap
    for one, box, size in zip(worked.pieces, boxes, sizes, strict=True):
        items += _picture(worked, one, box[0] - [across, 0], scale)
        across += size[0] + gap
    return Drawing(PICTURE[0], sizes[:, 1].max() * scale + 8, "The pieces", "", tuple(items))


def _picture(worked: Worked, piece: WorkedPiece, corner: np.ndarray, scale: float) -> list:
    looks, names = looks_of(worked.plan), piece.layout.pieces["colour"]
    tones = [looks[name].fill if name in looks else NEUTRAL for name in names]

    def small(shapes: object) -> object:
        return shapely.transform(shapes, lambda at: (at - corner) * scale + [0, 6])

    ground = Polygons([small(piece.layout.outline)], joint_tone(worked.plan), EDGE, 0.1)
    at = small(piece.layout.outline).bounds
    return [
        ground,
        Polygons(small(piece.layout.shapes), tones, None, 0.0),
        Text(at[0], 2.5, piece.name, LETTERS, colour=INK),
    ]
