"""Plan a piece without a browser: a plan file in, tables and true-scale sheets out."""

__all__ = ["plan", "write", "writing"]

import os
from collections.abc import Callable, Generator, Iterator
from pathlib import Path

import pandas as pd

from mosaiclib.cautions import on_paper
from mosaiclib.drawing import write_pdf, write_svg, writing_pdf
from mosaiclib.errors import MosaicError, instance
from mosaiclib.files import PACKED, WRITTEN, file_set, list_bytes, name_key, pack, path_named, safe_name, unused_name
from mosaiclib.filler import batches, wipe_minutes
from mosaiclib.job.cutting import bench_order, offcuts
from mosaiclib.job.days import calendar_bytes, days_of
from mosaiclib.job.lists import buying_list, cut_list, gauge_list, minded
from mosaiclib.job.overview import overview
from mosaiclib.job.papers import bench_card, days_card, gauge_sheet, summary_page
from mosaiclib.job.plan import Plan
from mosaiclib.job.sheets import PieceSheets, not_too_many_sheets, piece_sheets, write_batch_card
from mosaiclib.job.work import Worked, work_out
from mosaiclib.layout import Layout

Tell = Callable[[str], object]
BOOKS = ("batch_card", "summary", "bench_card", "gauge_sheet", "days")  # a piece of glass called so gets another file


def plan(file: str | os.PathLike, out: str | os.PathLike, tell: Tell = lambda words: None) -> list[Path]:
    """Read a plan file and write its tables and sheets into a folder, which is made if it does not exist; return the files.

    What an earlier plan wrote there is replaced; a folder that holds files of somebody else is refused. `tell` gets a word for
    each file and sheet as it is made.
    """
    folder = path_named(out, "folder")  # said before the long work, not after it
    read = Plan.load(file)
    not_too_many_sheets(read)
    return write(work_out(read), folder, tell)


def write(worked: Worked, out: str | os.PathLike, tell: Tell = lambda words: None) -> list[Path]:
    """Write the tables and sheets of a plan worked out into a folder; return the files in the order of the plan."""
    steps = writing(worked, out)
    try:
        while True:
            tell(next(steps))
    except StopIteration as end:
        return end.value


def writing(worked: Worked, out: str | os.PathLike) -> Generator[str, None, list[Path]]:
    """Do as `write`, giving the name of each file as it is made and the number of each sheet; all stand in the folder at the end."""
    instance(worked, Worked, "plan")
    names = []
    with file_set(out) as made:
        for path in _tables(worked, made):
            names.append(path.name)
            yield path.name
        for sheets, path in _piece_files(worked, made):
            for number in writing_pdf(sheets.all, path):
                yield f"{path.name}: sheet {number} of {len(sheets.all)}"
            pictures = write_svg(sheets.template, made, f"{path.stem}-template") if sheets.template else []
            names += [path.name, *(each.name for each in pictures)]
        pack(made)
        names.append(PACKED)
        yield PACKED
    return [Path(out) / name for name in (*names, WRITTEN)]


def _tables(worked: Worked, folder: Path) -> Iterator[Path]:
    """Write the tables."""
    step = worked.plan.cut.gauge_step
    tables = {
        "cut_list": _joined(worked, lambda layout: cut_list(layout, step)),
        "gauges": _joined(worked, lambda layout: gauge_list(layout, step)),
        "colours": minded(worked.colours, *worked.warnings),
        "buying_list": buying_list(worked),
        "overview": overview(worked),
        "bench": minded(bench_order(worked.cutting), *worked.warnings, on_paper("gauge")),
        "offcuts": offcuts(worked.cutting),
    }
    units = {"width": "width [mm]", "height": "height [mm]", "area": "area [mm2]"}
    for name in ("cut_list", "gauges"):
        tables[name] = minded(tables[name].rename(columns=units), *worked.warnings, on_paper("sheet"))
    for name, table in tables.items():
        path = folder / f"{name}.csv"
        path.write_bytes(list_bytes(table))
        yield path
    fillers = [(made, batches(made.volume)[0]) for made in worked.fillers]
    wipe = wipe_minutes(worked.plan.adhesive.temperature)
    yield write_batch_card(folder / "batch_card.pdf", fillers, wipe, worked.plan.paper, worked.glue_warning)
    yield from _papers(worked, folder)
    yield worked.plan.save(folder / "plan_as_read.json")


def _papers(worked: Worked, folder: Path) -> Iterator[Path]:
    """Write what leads from the plan to the finished piece; where the hours cannot hold it, the overview says why."""
    try:
        days = days_of(worked)
    except MosaicError:
        days = None
    books = {
        "summary": summary_page(worked, days),
        "bench_card": bench_card(worked),
        "gauge_sheet": gauge_sheet(worked),
    }
    for name, sheets in (books | ({"days": days_card(days)} if days else {})).items():
        if sheets:
            write_pdf(sheets, folder / f"{name}.pdf")
            yield folder / f"{name}.pdf"
    if days and worked.plan.days.start:
        (folder / "days.ics").write_bytes(calendar_bytes(days))
        yield folder / "days.ics"


def _joined(worked: Worked, listed: Callable[[Layout], pd.DataFrame]) -> pd.DataFrame:
    """Return one list of all pieces of glass, the name of each first."""
    table = pd.concat([listed(one.layout).assign(piece=one.name) for one in worked.pieces], ignore_index=True)
    return table[["piece", *table.columns.drop("piece")]]


def _piece_files(worked: Worked, folder: Path) -> Iterator[tuple[PieceSheets, Path]]:
    """Give the sheets of each piece of glass, and the PDF that they all go into."""
    used = {name_key(name) for name in BOOKS}
    for sheets in piece_sheets(worked):
        yield sheets, folder / f"{unused_name(safe_name(sheets.piece, 60), used)}.pdf"
