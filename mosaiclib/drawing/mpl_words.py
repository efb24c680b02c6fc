"""Many words at once for matplotlib: its own artist for one word lays out lines, boxes and wrapping that no picture of ours has."""

__all__ = ["WordsArtist"]

from collections.abc import Sequence
from functools import cache, lru_cache

import numpy as np
from matplotlib.artist import Artist
from matplotlib.backend_bases import RendererBase
from matplotlib.font_manager import FontProperties

from mosaiclib.drawing.canvas import Text
from mosaiclib.drawing.palette import FACES

LARGE = 1000.0  # [points] in which widths are measured, so that no rounding is seen
ALIGNED = {"start": 0.0, "middle": 0.5, "end": 1.0}  # share of the width that lies before the anchor


@cache
def _font(voice: str, size: float) -> FontProperties:
    """Return the letters of a voice in a size [points]."""
    return FontProperties(family=FACES[voice][0], size=size)


@lru_cache(maxsize=4096)
def _width(voice: str, words: str) -> float:
    """Return how wide words are in letters of size 1; a number is as wide as its digits, which are all alike."""
    if len(words) > 1 and words.isdecimal() and words.isascii():
        return len(words) * _width(voice, "0")
    return RendererBase().get_text_width_height_descent(words, _font(voice, LARGE), False)[0] / LARGE


class WordsArtist(Artist):
    """Words of a drawing in data coordinates, as typed, with the words that are shown and `scale`, points a data unit."""

    def __init__(self, items: Sequence[Text], words: Sequence[str], scale: float) -> None:
        super().__init__()
        self.shown = [(item, said) for item, said in zip(items, words, strict=True) if said]
        self.scale = scale

    def draw(self, renderer: RendererBase) -> None:
        """Draw each where it is anchored."""
        if not self.shown:
            return
        turns = np.radians([item.turn for item, _ in self.shown])
        along = np.column_stack([np.cos(turns), np.sin(turns)])
        back = [
            ALIGNED[item.anchor] and ALIGNED[item.anchor] * item.size * _width(item.voice, said)
            for item, said in self.shown
        ]
        feet = np.array([item.foot for item, _ in self.shown])
        at = np.array([(item.x, item.y) for item, _ in self.shown])
        begin = at + feet[:, None] * np.column_stack([along[:, 1], -along[:, 0]]) - np.array(back)[:, None] * along
        gc, high = renderer.new_gc(), renderer.get_canvas_width_height()[1]
        self._set_gc_clip(gc)
        for (item, said), (x, y) in zip(self.shown, self.axes.transData.transform(begin).tolist(), strict=True):
            gc.set_foreground(item.colour)
            font = _font(item.voice, item.size * self.scale)
            renderer.draw_text(gc, x, high - y if renderer.flipy() else y, said, font, item.turn)
        gc.restore()
