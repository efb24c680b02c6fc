"""The words of a finished picture in another unit of length."""

__all__ = ["in_unit"]

from dataclasses import replace
from typing import Any

from mosaiclib.drawing.canvas import Drawing, Polygons, Text
from mosaiclib.errors import instance
from mosaiclib.measures import told


def in_unit(drawing: Drawing, unit: str) -> Drawing:
    """Return a picture with the lengths in its words in millimetres or inches; nothing is moved.

    Parameters
    ----------
    drawing : Drawing
        A picture whose words are in millimetres.
    unit : {"mm", "in"}
        Unit wanted.

    Returns
    -------
    Drawing
        The picture.

    Raises
    ------
    MosaicError
        If it is no picture, or the unit is unknown.

    Examples
    --------
    >>> in_unit(Drawing(40, 30, "A face", "", (Text(0, 0, "300 mm", 3),)), "in").items[0].words
    '11 13/16 in'
    """
    items = tuple(_said(item, unit) for item in instance(drawing, Drawing, "picture").items)
    return replace(drawing, items=items, description=told(drawing.description, unit))


def _said(item: Any, unit: str) -> Any:
    """Return one item of a picture with its words in another unit."""
    if isinstance(item, Text):
        return replace(item, words=told(item.words, unit, both=False))
    if isinstance(item, Polygons) and len(item.hover):
        return replace(item, hover=tuple(told(one, unit) for one in item.hover))
    return item
