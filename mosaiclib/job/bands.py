"""A drawn band of rows on a face of a planned piece, with the field behind it."""

__all__ = ["BandPart", "RowPart", "Unlaid", "allowed_colours", "lay_banded", "row_names", "unlaid"]

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Annotated, Literal

import numpy as np
import shapely
from pydantic import Field, model_validator

from mosaiclib.glass import Face
from mosaiclib.job.strict import Name, Part
from mosaiclib.layout import Gap, Guide, Layout, Rows, Span, Tile, join, joints_of, lay_field, lay_rows
from mosaiclib.layout.joints import length_within

Place = Annotated[float, Field(ge=-10_000, le=10_000)]


class RowPart(Part):
    """One row of a band: what its tiles are cut to, and the colours it may have; any if none are named."""

    fraction: Literal["whole", "half", "third", "quarter"] = "quarter"
    turned: bool = False
    colours: list[Name] = Field(default=[], max_length=40)


class BandPart(Part):
    """A drawn line on a face and the rows along it.

    Points are [across, up] from the face's lower left corner, seen from the front, or from behind where it was
    drawn looking through the glass [mm]; rows are listed left to right of travel, as drawn.
    """

    face: Name
    points: list[Annotated[list[Place], Field(min_length=2, max_length=2)]] = Field(min_length=2, max_length=60)
    closed: bool = False
    corners: list[Annotated[int, Field(ge=0, le=59)]] = Field(default=[], max_length=60)
    rows: list[RowPart] = Field(min_length=1, max_length=12)
    behind: bool = False

    @model_validator(mode="after")
    def _there(self) -> "BandPart":
        if any(corner >= len(self.points) for corner in self.corners):
            raise ValueError("a corner of the drawn line is counted past its last point")
        return self

    @property
    def front_rows(self) -> list[RowPart]:
        """The rows left to right of travel as seen from the front; mirroring swaps the sides."""
        return self.rows[::-1] if self.behind else list(self.rows)

    def listed(self, row: int) -> int:
        """Return the number that the plan lists a row under, from its number seen from the front."""
        return len(self.rows) + 1 - row if self.behind else row

    def guide(self, face: Face) -> Guide:
        """Return the line on the strip, seen from the front [mm]."""
        points = np.array(self.points, dtype=float)
        if self.behind:
            points[:, 0] = face.width - points[:, 0]
        return Guide(points + np.array([face.x, face.y]), closed=self.closed, corners=self.corners)


@dataclass(frozen=True)
class Unlaid:
    """What could not be laid as it was asked on a face with a band.

    Parameters
    ----------
    face : str
        The face.
    gaps : tuple of Gap
        Places left to the filler.
    stretches : tuple of (int, Span)
        Stretches where a row is bent too tightly for wedges, with the row's number as the plan lists it.
    share_within : float
        Share of the joints' length within the limits, 0 to 1.
    """

    face: str
    gaps: tuple[Gap, ...]
    stretches: tuple[tuple[int, Span], ...]
    share_within: float


def unlaid(layout: Layout, bands: Sequence[BandPart], faces: Sequence[Face]) -> tuple[Unlaid, ...]:
    """Return what could not be laid as asked on the faces that carry a band.

    Parameters
    ----------
    layout : Layout
        A piece of glass with its bands.
    bands : sequence of BandPart
        The bands on its faces.
    faces : sequence of Face
        All its faces [mm].

    Returns
    -------
    tuple of Unlaid
        One a band.
    """
    met, face_of_piece = joints_of(layout), layout.pieces["face"].to_numpy()
    within = length_within(met, layout.joint_min, layout.joint_max)
    # a row lies on the face that its outline comes nearest to
    places = [shapely.MultiPoint(span.ring) for span in layout.spans]
    home = [min(faces, key=lambda face: face.outline.distance(place)).name for place in places]
    found = []
    for band in bands:
        outline = next(face.outline for face in faces if face.name == band.face)
        mine = face_of_piece[met.first] == band.face
        spans = [span for span, name in zip(layout.spans, home, strict=True) if name == band.face and span.reported]
        found.append(
            Unlaid(
                band.face,
                tuple(gap for gap in layout.gaps if gap.shape.intersects(outline)),
                tuple((band.listed(span.row), span) for span in spans),
                float(within[mine].sum() / max(met.length[mine].sum(), 1e-9)) if mine.any() else 1.0,
            )
        )
    return tuple(found)


def lay_banded(face: Face, band: BandPart, tile: Tile, joint: float, limits: Sequence[float]) -> Layout:
    """Lay a band and the field behind it on a face.

    Parameters
    ----------
    face : Face
        The face [mm].
    band : BandPart
        Line and rows.
    tile : Tile
        The tile of rows and field.
    joint : float
        Joint [mm].
    limits : pair of float
        Least and greatest joint [mm].

    Returns
    -------
    Layout
        Rows first, numbered from 1 left to right of travel seen from the front, then the field.

    Raises
    ------
    MosaicError
        If the line or the rows cannot be laid.

    Examples
    --------
    >>> line = BandPart(face="pane", points=[[0.0, 50.0], [200.0, 50.0]], rows=[RowPart()])
    >>> laid = lay_banded(Face("pane", 0, 0, 200, 100), line, Tile(20, 4), 2, (1.7, 2.3))
    >>> laid.pieces["face"].unique().tolist(), int((laid.pieces["band"] == "rows").sum())
    (['pane'], 17)
    """
    specs = [Rows(tile, row.fraction, row.turned) for row in band.front_rows]
    rows = lay_rows(band.guide(face), specs, joint, face, limits=limits)
    whole = join(rows, lay_field(face, rows, tile, joint, limits=limits))
    return replace(whole, pieces=whole.pieces.assign(face=face.name))


def allowed_colours(layout: Layout, bands: Sequence[BandPart]) -> list[frozenset[str] | None]:
    """Return for each piece the colours that its row may have, None where any will do.

    Parameters
    ----------
    layout : Layout
        A piece of glass with its bands.
    bands : sequence of BandPart
        The bands on its faces.

    Returns
    -------
    list of frozenset or None
        One a piece.
    """
    chosen = {
        (band.face, number): frozenset(row.colours)
        for band in bands
        for number, row in enumerate(band.front_rows, 1)
        if row.colours
    }
    table = layout.pieces[["face", "band", "row"]]
    return [chosen.get((face, row)) if band == "rows" else None for face, band, row in table.itertuples(index=False)]


def row_names(layout: Layout, bands: Sequence[BandPart], glass: str) -> list[str]:
    """Return for each piece what a sentence calls its row, empty where it is in none.

    Parameters
    ----------
    layout : Layout
        A piece of glass with its bands.
    bands : sequence of BandPart
        The bands on its faces.
    glass : str
        The maker's name for the piece of glass.

    Returns
    -------
    list of str
        One a piece; rows are counted as the plan lists them.
    """
    found = {}
    for band in bands:
        place = glass if band.face == "pane" else f"the {band.face} of {glass}"
        for number in range(1, len(band.rows) + 1):
            found[band.face, number] = f"row {band.listed(number)} of the band on {place}"
    table = layout.pieces[["face", "band", "row"]]
    return [found.get((face, row), "") if band == "rows" else "" for face, band, row in table.itertuples(index=False)]
