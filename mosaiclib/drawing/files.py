"""Write sheets to files of exact page size; a file is either complete or not there."""

__all__ = ["write_pdf", "write_svg", "writing_pdf"]

import io
import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import BinaryIO

from mosaiclib.drawing.canvas import Drawing
from mosaiclib.drawing.mpl import SETTINGS, save, to_figure
from mosaiclib.drawing.svg import to_svg
from mosaiclib.errors import MosaicError
from mosaiclib.files import safe_name, write_whole


def write_pdf(pages: Sequence[Drawing], target: str | os.PathLike | BinaryIO) -> None:
    """Write sheets into one PDF, each page exactly as large as its drawing, print scaling off in the file.

    The target is a path or a binary file; the same sheets give the same bytes.

    Examples
    --------
    >>> buffer = io.BytesIO()
    >>> write_pdf([Drawing(210, 297, "An empty sheet")], buffer)
    >>> buffer.getvalue()[:5]
    b'%PDF-'
    """
    for _ in writing_pdf(pages, target):
        pass


def writing_pdf(pages: Sequence[Drawing], target: str | os.PathLike | BinaryIO) -> Iterator[int]:
    """Do as `write_pdf`, giving the number of each page once it is drawn; the file is written after the last.

    Examples
    --------
    >>> list(writing_pdf([Drawing(210, 297, "An empty sheet")] * 2, io.BytesIO()))
    [1, 2]
    """
    if not pages:
        raise MosaicError("There are no sheets to write.")
    drawn = io.BytesIO()
    yield from _all_pages(pages, drawn)
    content = _unscaled(drawn)
    if hasattr(target, "write"):
        target.write(content)
    else:
        _replace(Path(target), content)


def write_svg(pages: Sequence[Drawing], folder: str | os.PathLike, stem: str) -> list[Path]:
    """Write each sheet as an SVG at true scale into a folder that is there, numbered behind the stem; return the files.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     [path.name for path in write_svg([Drawing(210, 297, "A sheet")], folder, "Front/left?")]
    ['Front-left-01.svg']
    """
    if not pages:
        raise MosaicError("There are no sheets to write.")
    digits = max(2, len(str(len(pages))))
    found = []
    for i, page in enumerate(pages, 1):
        path = Path(folder) / f"{safe_name(stem)}-{i:0{digits}d}.svg"
        _replace(path, to_svg(page, scale="true").encode("utf-8"))
        found.append(path)
    return found


def _all_pages(pages: Sequence[Drawing], target: BinaryIO) -> Iterator[int]:
    """Write the pages as matplotlib does, without the time of day, giving the number of each."""
    import matplotlib
    from matplotlib.backends.backend_pdf import PdfPages

    about = {"Title": pages[0].title, "Creator": None, "Producer": None, "CreationDate": None}
    with matplotlib.rc_context(SETTINGS):
        book = PdfPages(target, metadata=about)
    for number, page in enumerate(pages, 1):
        save(to_figure(page), book, format="pdf")
        yield number
    with matplotlib.rc_context(SETTINGS):
        book.close()


def _unscaled(drawn: BinaryIO) -> bytes:
    """Return the PDF with the wish not to be scaled by the print dialog."""
    from pypdf import PdfReader, PdfWriter
    from pypdf.generic import NameObject

    writer = PdfWriter(clone_from=PdfReader(drawn))
    writer.create_viewer_preferences()
    writer.viewer_preferences.print_scaling = NameObject("/None")
    buffer = io.BytesIO()
    writer.write(buffer)
    return buffer.getvalue()


def _replace(path: Path, content: bytes) -> None:
    """Put a file in its place, or say in a sentence why it cannot be written."""
    if not path.parent.is_dir():
        raise MosaicError(f"There is no folder {path.parent.name!r} to write {path.name!r} in; make it first.")
    try:
        write_whole(path, content)
    except OSError as fault:
        raise MosaicError(f"{path.name!r} could not be written: {fault.strerror or fault}.") from fault
