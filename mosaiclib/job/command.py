"""Plan a piece without a browser: a plan file in, tables and true-scale sheets out."""

__all__ = ["plan", "write"]

import os
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pandas as pd

from mosaiclib.drawing import safe_name, write_pdf, write_svg
from mosaiclib.errors import MosaicError, brief, instance
from mosaiclib.filler import batches, wipe_minutes
from mosaiclib.job.lists import buying_list, colour_counts, cut_list
from mosaiclib.job.plan import Plan
from mosaiclib.job.record_sheet import write_batch_card
from mosaiclib.job.sheets import not_too_many_sheets, piece_sheets
from mosaiclib.job.telling import overview
from mosaiclib.job.working import Worked, work_out

WRITTEN = "written_here.txt"  # names of the files that were written, so that old ones can be taken away
OURS = (".csv", ".json", ".pdf", ".svg")


def plan(file: str | os.PathLike, out: str | os.PathLike) -> list[Path]:
    """Read a plan file and write its tables and sheets into a folder.

    Parameters
    ----------
    file : path
        The plan file; it is only read.
    out : path
        The folder; made if it does not exist. Files of the same name in it are replaced.

    Returns
    -------
    list of Path
        What was written.

    Raises
    ------
    MosaicError
        If the plan cannot be used or the folder cannot be written; nothing is half-written then.
    """
    read = Plan.load(file)
    not_too_many_sheets(read)
    return write(work_out(read), out)


def write(worked: Worked, out: str | os.PathLike) -> list[Path]:
    """Write the tables and sheets of a plan worked out.

    Parameters
    ----------
    worked : Worked
        The plan worked out.
    out : path
        The folder; made if it does not exist.

    Returns
    -------
    list of Path
        What was written, in the order of the plan.

    Raises
    ------
    MosaicError
        If the folder cannot be written.
    """
    instance(worked, Worked, "plan")
    folder = _folder(out)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        # everything is made in a hidden folder first, so that a failure leaves nothing half-written behind
        with tempfile.TemporaryDirectory(dir=folder, prefix=".making-") as made:
            drafts = [*_tables(worked, Path(made)), *_sheets(worked, Path(made))]
            drafts.append(Path(made) / WRITTEN)
            drafts[-1].write_text("\n".join(path.name for path in drafts) + "\n", encoding="utf-8")
            for draft in drafts:
                if (folder / draft.name).is_dir():
                    raise MosaicError(
                        f"There is a folder called {draft.name} where a file is to be written; move it away."
                    )
            _forget(folder, {draft.name for draft in drafts})
            return [draft.replace(folder / draft.name) for draft in drafts]
    except OSError as wrong:
        raise MosaicError(f"Nothing could be written into {folder.name}: {wrong.strerror or wrong}.") from None


def _forget(folder: Path, fresh: set[str]) -> None:
    """Take away what an earlier writing left that this one does not replace: old sheets mislead at the bench."""
    try:
        earlier = (folder / WRITTEN).read_text(encoding="utf-8").split("\n")
    except (OSError, UnicodeDecodeError):
        return  # nothing was written here before, or not by this workbook
    for name in set(earlier) - fresh - {""}:
        old = folder / name
        if old.parent == folder and old.suffix in OURS and old.is_file():
            old.unlink()


def _folder(out: str | os.PathLike) -> Path:
    """Return a path, or say in a sentence that it is none."""
    try:
        folder = Path(out)
    except TypeError:
        folder = None
    if folder is None or "\0" in str(folder) or out == "":
        raise MosaicError(f"{brief(out)} is not the name of a folder.")
    return folder


def _tables(worked: Worked, folder: Path) -> Iterator[Path]:
    """Write the tables."""
    cuts = [cut_list(piece.layout).assign(piece=piece.name) for piece in worked.pieces]
    joined = pd.concat(cuts, ignore_index=True)
    tables = {
        "cut_list": joined[["piece", *joined.columns.drop("piece")]],
        "colours": colour_counts(worked),
        "buying_list": buying_list(worked),
        "overview": overview(worked),
    }
    units = {"width": "width [mm]", "height": "height [mm]", "area": "area [mm2]"}
    tables["cut_list"] = tables["cut_list"].rename(columns=units)
    for name, table in tables.items():
        path = folder / f"{name}.csv"
        # the mark at the beginning lets a spreadsheet know how letters are written
        table.to_csv(path, index=False, encoding="utf-8-sig", lineterminator="\n")
        yield path
    made = worked.filler
    count, wipe = batches(made.volume)[0], wipe_minutes(worked.plan.adhesive.temperature)
    yield write_batch_card(folder / "batch_card.pdf", made, count, wipe, worked.plan.paper)
    yield worked.plan.save(folder / "plan_as_read.json")


def _sheets(worked: Worked, folder: Path) -> Iterator[Path]:
    """Write one PDF a face and one SVG a page of its template."""
    used: set[str] = set()
    for sheets in piece_sheets(worked):
        stem = _unused(safe_name(f"{sheets.piece} {sheets.face}"), used)
        path = folder / f"{stem}.pdf"
        write_pdf(sheets.all, path)
        yield path
        yield from write_svg(sheets.template, folder, f"{stem}-template")


def _unused(stem: str, used: set[str]) -> str:
    """Return a file name that no other face has, as names that differ in odd signs only come out alike."""
    fresh, count = stem, 1
    while fresh in used:
        count += 1
        fresh = f"{stem}-{count}"
    used.add(fresh)
    return fresh
