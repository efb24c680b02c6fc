"""A bar of waits under a picture: when each step can follow, with its band, and how late it is now."""

__all__ = ["wait_bar"]

from collections.abc import Mapping
from typing import Protocol

import shapely

from mosaiclib.drawing.canvas import Drawing, Lines, Polygons, Text, segments
from mosaiclib.drawing.palette import ACCENT, INK, PAPER, SOFT

BAND, MIDDLE = "#bcd6c8", "#2f6f55"
TICKS = ((1, "1 h"), (6, "6 h"), (24, "1 day"), (72, "3 days"), (168, "7 days"), (336, "14 days"), (720, "30 days"))


class Spread(Protocol):
    """A time with its band [h]."""

    least: float
    usual: float
    most: float


def wait_bar(
    picture: Drawing, steps: Mapping[str, Spread], now: float, *, key: Mapping[str, str], title: str, description: str
) -> Drawing:
    """Set a bar of waits under a picture; time runs with its square root, as the cure does.

    Parameters
    ----------
    picture : Drawing
        What stands above.
    steps : mapping of str to Wait
        Words and times of each step [h].
    now : float
        Time that has passed [h].
    key : mapping of str to str
        Words and tones of what the picture shows.
    title, description : str
        For readers that cannot see it.

    Returns
    -------
    Drawing
        One picture [mm].

    Examples
    --------
    >>> from mosaiclib.bond.curing import Wait
    >>> both = wait_bar(Drawing(100, 60, "a"), {"Can turn": Wait(0.5, 1, 2)}, 24, key={}, title="Waits", description="")
    >>> both.height > 60
    True
    """
    bar = _Bar(picture, steps, now)
    items = [*picture.shifted(0.0, bar.foot).items, *bar.scale(), *bar.steps_drawn(), *bar.now_drawn(), *bar.key(key)]
    return Drawing(picture.width, picture.height + bar.foot + 0.6 * bar.size, title, description, tuple(items), PAPER)


class _Bar:
    """Where the parts of the bar stand [mm]."""

    def __init__(self, picture: Drawing, steps: Mapping[str, Spread], now: float) -> None:
        self.steps, self.now, self.size = steps, now, picture.width / 45
        self.left, self.right = 9.5 * self.size, picture.width - 2 * self.size
        self.longest = max([720.0, now, *(min(one.most, 2000.0) for one in steps.values())])
        self.tall = 2.0 * self.size
        self.foot = (len(steps) + 2.6) * self.tall

    def x(self, hours: float) -> float:
        """Return where a time stands: with its square root, as the cure goes."""
        return self.left + (self.right - self.left) * min(max(hours, 0.0) / self.longest, 1.0) ** 0.5

    def scale(self) -> list:
        """Return the lines and words of the scale."""
        size, ticks = self.size, [(hours, words) for hours, words in TICKS if hours <= self.longest]
        top, low = self.foot - 1.6 * size, 2 * self.tall
        lines = segments([[self.x(h), low, self.x(h), top] for h, _ in ticks])
        words = [Text(self.x(h), low - 1.1 * size, said, 0.8 * size, "middle", colour=SOFT) for h, said in ticks]
        return [Lines(lines, "#ddd8cb", 0.06 * size), *words]

    def steps_drawn(self) -> list:
        """Return the band and the middle of each step."""
        size, items = self.size, []
        for row, (words, one) in enumerate(self.steps.items()):
            y = self.foot - (row + 1.6) * self.tall
            first, middle, last = (self.x(hours) for hours in (one.least, one.usual, one.most))
            items += [
                Text(self.left - 0.8 * size, y + 0.2 * size, words, size, "end", colour=INK),
                Polygons([shapely.box(first, y, max(last, first + 0.1), y + size)], BAND),
                Lines(segments([[middle, y - 0.1 * size, middle, y + 1.1 * size]]), MIDDLE, 0.25 * size),
            ]
        return items

    def now_drawn(self) -> list:
        """Return the mark of the time that has passed."""
        at, top = self.x(self.now), self.foot - 1.2 * self.size
        line = Lines(segments([[at, 1.9 * self.tall, at, top]]), ACCENT, 0.12 * self.size)
        words = Text(at, top + 0.15 * self.size, f"now: {self.now:g} h", 0.8 * self.size, "middle", colour=ACCENT)
        return [line, words]

    def key(self, tones: Mapping[str, str]) -> list:
        """Return the key of the picture's tones."""
        size, items = self.size, []
        for place, (words, tone) in enumerate(tones.items()):
            x, y = self.left + place * 9 * size, 0.4 * self.tall
            items.append(Polygons([shapely.box(x, y, x + size, y + size)], tone, INK, 0.03 * size))
            items.append(Text(x + 1.5 * size, y + 0.2 * size, words, 0.8 * size, colour=SOFT))
        return items
