"""Sheets for the bench: a face's template and its dry-lay sheet at true scale."""

__all__ = ["face_template", "template_sheets"]

from collections.abc import Sequence

from mosaiclib.drawing.canvas import Drawing, clean
from mosaiclib.drawing.picture import VIEWS, colour_entries, layout_picture
from mosaiclib.drawing.sheets import pages
from mosaiclib.drawing.wording import in_unit
from mosaiclib.layout.tesserae import Layout


def face_template(layout: Layout, *, name: str, view: str = "front", dry_lay: bool = False) -> Drawing:
    """Draw a face for print: outlines, numbers, pale tones and marks, so that little ink is used.

    Parameters
    ----------
    layout : Layout
        The pieces of the face.
    name : str
        Name of the face.
    view : {"front", "behind"}
        From which side.
    dry_lay : bool
        Whether the colours are listed below, for laying the pieces out dry.

    Returns
    -------
    Drawing
        The picture [mm].

    Raises
    ------
    MosaicError
        If there is no outline, or the view is unknown.

    Examples
    --------
    >>> from mosaiclib.layout import lay_grid
    >>> import shapely
    >>> face_template(lay_grid(shapely.box(0, 0, 108, 64), 20, 2), name="front").title
    'front: template'
    """
    return layout_picture(
        layout,
        view=view,
        numbers=True,
        light=True,
        hover=False,
        key=dry_lay,
        text_size=3.4,
        title=_title(name, dry_lay),
    )


def template_sheets(
    layout: Layout,
    paper: str = "A4",
    *,
    name: str,
    view: str = "front",
    dry_lay: bool = False,
    up: str = "rim",
    faces: str = "towards the glass",
    notes: Sequence[str] = (),
    unit: str = "mm",
) -> list[Drawing]:
    """Draw a face's template, or its dry-lay sheet, on sheets of paper at true scale.

    Parameters
    ----------
    layout : Layout
        The pieces of the face.
    paper : {"A4", "Letter"}
        Paper size.
    name : str
        Name of the face.
    view : {"front", "behind"}
        From which side.
    dry_lay : bool
        Whether the colours are listed in the foot of each sheet, for laying the pieces out dry.
    up, faces : str
        What is at the top of the face, and which way the printed side goes.
    notes : sequence of str
        Sentences for the foot of each sheet.
    unit : {"mm", "in"}
        Unit of the lengths that are written on the face and in the foot.

    Returns
    -------
    list of Drawing
        One a page.

    Raises
    ------
    MosaicError
        As `face_template` and `pages` do.

    Examples
    --------
    >>> from mosaiclib.layout import lay_grid
    >>> import shapely
    >>> [page.title for page in template_sheets(lay_grid(shapely.box(0, 0, 108, 64), 20, 2), name="front")]
    ['front: template, seen from the front: sheet 1 of 1']
    """
    drawing = in_unit(face_template(layout, name=name, view=view), unit)  # the key goes into the foot, on every sheet
    heading = f"{_title(name, dry_lay)}, {VIEWS[view]}"
    key = colour_entries(layout, light=True)
    return pages(drawing, paper, heading=heading, up=up, faces=faces, notes=notes, key=key)


def _title(name: str, dry_lay: bool) -> str:
    """Return the name of the face and of the sheet."""
    return f"{clean(name)}: {'dry lay' if dry_lay else 'template'}"
