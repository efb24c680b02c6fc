"""A drawing that is kept: lines and their rows as a plan file holds them, so that a plan may take them as they stand."""

__all__ = ["Sketch"]

from typing import ClassVar, Literal

from pydantic import Field, model_validator

from mosaiclib.job.drawn import MOST_BANDS, BandPart, Meeting
from mosaiclib.job.saved import Saved
from mosaiclib.layout import MIDDLES, Guide


class Sketch(Saved):
    """Lines with their rows, lowest first, or the edge of a motif, which has a `middle`, by a name.

    >>> made = Sketch.made(name="bow", bands=[{"face": "pane", "points": [[0.0, 0.0], [40.0, 9.0]], "rows": [{}]}])
    >>> made.guides()[0].length > 40, Sketch.made(**made.model_dump()) == made
    (True, True)
    """

    called: ClassVar = "drawing"

    bands: list[BandPart] = Field(min_length=1, max_length=MOST_BANDS)
    meet: Meeting = Field(default="over", exclude_if=lambda meet: meet == "over")
    middle: Literal[tuple(MIDDLES)] | None = Field(default=None, exclude_if=lambda middle: middle is None)

    @model_validator(mode="after")
    def _can_be_drawn(self) -> "Sketch":
        if any(band.behind for band in self.bands):
            raise ValueError("a drawing is kept as it is seen from the front, so none of its bands is behind")
        if any(band.edge for band in self.bands):
            raise ValueError("a drawing knows no glass, so none of its bands can follow an edge")
        if self.middle is not None and (len(self.bands) > 1 or not self.guides()[0].closed):
            raise ValueError("a motif has one line, which closes on itself")
        return self

    def guides(self) -> list[Guide]:
        """Return the lines as they were drawn [mm]."""
        return [band.drawn() for band in self.bands]
