"""Plan a piece without a browser: a plan file in, tables and true-scale sheets out."""

__all__ = ["plan", "write"]

import itertools
import os
from collections.abc import Callable, Iterator
from pathlib import Path

import pandas as pd

from mosaiclib.cautions import on_paper
from mosaiclib.drawing import write_pdf, write_svg
from mosaiclib.errors import instance
from mosaiclib.files import WRITTEN, file_set, list_bytes, name_key, path_named, safe_name
from mosaiclib.filler import batches, wipe_minutes
from mosaiclib.job.lists import buying_list, cut_list, gauge_list, minded
from mosaiclib.job.overview import overview
from mosaiclib.job.plan import Plan
from mosaiclib.job.sheets import not_too_many_sheets, piece_sheets, write_batch_card
from mosaiclib.job.work import Worked, work_out
from mosaiclib.layout import Layout


def plan(file: str | os.PathLike, out: str | os.PathLike) -> list[Path]:
    """Read a plan file and write its tables and sheets into a folder, which is made if it does not exist; return the files.

    What an earlier plan wrote there is replaced; a folder that holds files of somebody else is refused.
    """
    folder = path_named(out, "folder")  # said before the long work, not after it
    read = Plan.load(file)
    not_too_many_sheets(read)
    return write(work_out(read), folder)


def write(worked: Worked, out: str | os.PathLike) -> list[Path]:
    """Write the tables and sheets of a plan worked out into a folder; return the files in the order of the plan."""
    instance(worked, Worked, "plan")
    with file_set(out) as made:
        names = [path.name for path in (*_tables(worked, made), *_sheets(worked, made))]
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
    yield worked.plan.save(folder / "plan_as_read.json")


def _joined(worked: Worked, listed: Callable[[Layout], pd.DataFrame]) -> pd.DataFrame:
    """Return one list of all pieces of glass, the name of each first."""
    table = pd.concat([listed(one.layout).assign(piece=one.name) for one in worked.pieces], ignore_index=True)
    return table[["piece", *table.columns.drop("piece")]]


def _sheets(worked: Worked, folder: Path) -> Iterator[Path]:
    """Write one PDF a face and one SVG a page of its template."""
    used: set[str] = set()
    for sheets in piece_sheets(worked):
        # the name is cut with room for what follows it, so that faces stay apart
        stem = _unused(f"{safe_name(sheets.piece, 44)}-{safe_name(sheets.face, 16)}", used)
        path = folder / f"{stem}.pdf"
        write_pdf(sheets.all, path)
        yield path
        yield from write_svg(sheets.template, folder, f"{stem}-template")


def _unused(stem: str, used: set[str]) -> str:
    """Return a file name that no other face has, as names that differ in odd signs or capitals come out alike."""
    names = (f"{stem}-{count}" if count > 1 else stem for count in itertools.count(1))
    fresh = next(name for name in names if name_key(name) not in used)
    used.add(name_key(fresh))
    return fresh
