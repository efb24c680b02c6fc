"""A finished picture in other tones, and several pictures as one."""

__all__ = ["panels", "toned"]

from collections.abc import Sequence
from dataclasses import replace

from mosaiclib.drawing.canvas import Drawing, Polygons, Text
from mosaiclib.drawing.palette import INK, PAPER
from mosaiclib.errors import MosaicError, instance, several, whole_number


def toned(drawing: Drawing, tones: Sequence[str], base: str | None = None) -> Drawing:
    """Return a layout's picture with its pieces, and what lies between them, in other tones.

    Parameters
    ----------
    drawing : Drawing
        Made by `layout_picture`.
    tones : sequence of str, length n
        Tone of each piece, as #rrggbb.
    base : str, optional
        Tone of the joints; left as it is if left out.

    Returns
    -------
    Drawing
        The picture.

    Raises
    ------
    MosaicError
        If there is not one tone for each piece.

    Examples
    --------
    >>> import shapely
    >>> from mosaiclib.drawing import layout_picture
    >>> from mosaiclib.layout import lay_grid
    >>> pair = layout_picture(lay_grid(shapely.box(0, 0, 42, 20), 20, 2))
    >>> [item.fill for item in toned(pair, ["#111111", "#222222"]).items if getattr(item, "name", "") == "piece"]
    [('#111111', '#222222')]
    """
    items = []
    for item in instance(drawing, Drawing, "picture").items:
        name = getattr(item, "name", "")
        if isinstance(item, Polygons) and name == "piece":
            item = replace(item, fill=tuple(several(tones, "tones", len(item.shapes))))
        elif isinstance(item, Polygons) and name == "base" and base:
            item = replace(item, fill=base)
        items.append(item)
    return replace(drawing, items=tuple(items))


def panels(
    drawings: Sequence[Drawing], captions: Sequence[str], *, columns: int = 2, title: str, description: str
) -> Drawing:
    """Set pictures of one size side by side in rows, each under its caption.

    Parameters
    ----------
    drawings : sequence of Drawing
        The pictures.
    captions : sequence of str
        What stands over each.
    columns : int
        Pictures in a row.
    title, description : str
        For readers that cannot see it.

    Returns
    -------
    Drawing
        One picture [mm].

    Raises
    ------
    MosaicError
        If there is none, or not one caption each.

    Examples
    --------
    >>> both = panels([Drawing(40, 30, "a"), Drawing(40, 30, "b")], ["first", "second"], title="Two", description="")
    >>> both.width, len(both.items)
    (80.0, 2)
    """
    shown = several(drawings, "pictures")
    words = several(captions, "captions", len(shown))
    if not shown:
        raise MosaicError("There is no picture to show.")
    across = min(whole_number(columns, "columns", least=1, greatest=12), len(shown))
    down = -(-len(shown) // across)
    wide, high = max(one.width for one in shown), max(one.height for one in shown)
    size = wide / 22
    items: list = []
    for place, (drawing, caption) in enumerate(zip(shown, words, strict=True)):
        row, column = divmod(place, across)
        x, y = column * wide, (down - 1 - row) * (high + 1.6 * size)
        items += [*drawing.shifted(x, y).items, Text(x + 0.8 * size, y + high + 0.4 * size, caption, size, colour=INK)]
    return Drawing(across * wide, down * (high + 1.6 * size), title, description, tuple(items), PAPER)
