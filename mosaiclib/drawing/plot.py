"""A chart as a drawing in millimetres: axes, bands, lines and dots, quick enough to follow a slider."""

__all__ = ["Plot"]

from collections.abc import Sequence

import numpy as np
import shapely

from mosaiclib.drawing.canvas import Drawing, Lines, Polygons, Text, segments
from mosaiclib.drawing.palette import INK, PAPER, SOFT
from mosaiclib.errors import number

GRID = "#e2ded3"
ABOVE, BELOW, LEFT, RIGHT = 10.0, 16.0, 18.0, 6.0


class Plot:
    """Axes on which bands, lines and dots are laid one over the other.

    Parameters
    ----------
    across, up : tuple of float
        Ends of both axes.
    words : tuple of str
        Words along both axes, units in square brackets.
    ticks : tuple of sequence of float
        Where both axes are marked.
    log : tuple of bool
        Whether an axis goes by powers.
    width, height : float
        Size of the field between the axes [mm].

    Examples
    --------
    >>> plot = Plot((0, 4), (0, 10), ("joint [mm]", "energy [J/m2]"), ([0, 2, 4], [0, 5, 10]))
    >>> plot.line([0, 4], [1, 9], "#2f6690")
    >>> len(plot.drawing("Energy", "It rises.").items) > 5
    True
    """

    def __init__(
        self,
        across: tuple[float, float],
        up: tuple[float, float],
        words: tuple[str, str],
        ticks: tuple[Sequence[float], Sequence[float]],
        *,
        log: tuple[bool, bool] = (False, False),
        width: float = 120.0,
        height: float = 78.0,
    ) -> None:
        self.ends, self.words, self.ticks, self.log = (across, up), words, ticks, log
        self.size = (number(width, "width", "mm", above=0), number(height, "height", "mm", above=0))
        self.items: list = []
        self.over: list = []
        self.keys = 0

    def place(self, values, axis: int) -> np.ndarray:
        """Return where values stand on an axis, held within its ends [mm]."""
        low, high = self.ends[axis]
        held = np.clip(np.asarray(values, dtype=float), low, high)
        if self.log[axis]:
            low, high, held = np.log(low), np.log(high), np.log(held)
        return (LEFT, BELOW)[axis] + (held - low) / (high - low) * self.size[axis]

    def band(self, x, low, high, tone: str) -> None:
        """Fill between two curves, arrays of shape (n,)."""
        across = self.place(x, 0)
        edge = np.concatenate(
            [np.stack([across, self.place(low, 1)], 1), np.stack([across, self.place(high, 1)], 1)[::-1]]
        )
        self.items.append(Polygons([shapely.Polygon(edge)], tone))

    def line(self, x, y, tone: str, *, dash: tuple[float, ...] = (), width: float = 0.7) -> None:
        """Draw a curve, arrays of shape (n,)."""
        path = shapely.linestrings(np.stack([self.place(x, 0), self.place(y, 1)], axis=1))
        self.over.append(Lines([path], tone, width, dash))

    def dots(self, x, y, tone: str, size: float = 0.7) -> None:
        """Draw small squares, arrays of shape (n,)."""
        across, up = self.place(x, 0), self.place(y, 1)
        self.over.append(
            Polygons(shapely.box(across - size / 2, up - size / 2, across + size / 2, up + size / 2), tone)
        )

    def key(self, words: str, tone: str, dash: tuple[float, ...] = ()) -> None:
        """Add a line to the key, inside the upper left corner."""
        y = BELOW + self.size[1] - 4.0 - 4.6 * self.keys
        self.over.append(Lines(segments([[LEFT + 2, y + 1, LEFT + 10, y + 1]]), tone, 1.0, dash))
        self.over.append(Text(LEFT + 12, y, words, 3.2, colour=INK))
        self.keys += 1

    def drawing(self, title: str, description: str) -> Drawing:
        """Return the chart."""
        wide, right, top = self.size[0], LEFT + self.size[0], BELOW + self.size[1]
        lines = [[x, BELOW, x, top] for x in self.place(self.ticks[0], 0)]
        lines += [[LEFT, y, right, y] for y in self.place(self.ticks[1], 1)]
        frame = Lines(segments([[LEFT, BELOW, right, BELOW], [LEFT, BELOW, LEFT, top]]), SOFT, 0.3)
        words = [
            Text(x, BELOW - 5, f"{v:g}", 3.2, "middle", colour=SOFT)
            for x, v in zip(self.place(self.ticks[0], 0), self.ticks[0], strict=True)
        ]
        words += [
            Text(LEFT - 2, y - 1.1, f"{v:g}", 3.2, "end", colour=SOFT)
            for y, v in zip(self.place(self.ticks[1], 1), self.ticks[1], strict=True)
        ]
        words.append(Text(LEFT + wide / 2, 3.5, self.words[0], 3.6, "middle", colour=INK))
        words.append(Text(LEFT - 16, top + 4, self.words[1], 3.6, colour=INK))
        items = (*self.items, Lines(segments(lines), GRID, 0.2), frame, *self.over, *words)
        return Drawing(right + RIGHT, top + ABOVE, title, description, items, PAPER)
