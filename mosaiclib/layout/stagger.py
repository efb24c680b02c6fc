"""How often the joints of a row line up with those of the next, beside what chance would give."""

__all__ = ["LinedUp", "lined_up"]

from typing import NamedTuple

import numpy as np
import shapely

from mosaiclib.layout.joints import joints_of
from mosaiclib.layout.layout import Layout, read_layout, row_codes

AHEAD = 1.5  # tiles: the next joint of a row beside lies no farther along


class LinedUp(NamedTuple):
    """Joints of rows that have a next row, and the shares of them that line up, and that would by chance, 0 to 1."""

    joints: int
    share: float
    chance: float


def lined_up(layout: Layout) -> LinedUp:
    """Count the joints of each row that lie within one joint's width of a joint of the next row.

    Chance: two joint's widths of each pitch of the next row, as it is there; a joint that the next row's joints do not stand
    on both sides of, as at an end, is left out.

    >>> from mosaiclib.layout import lay_rows
    >>> from mosaiclib.layout.lines import straight
    >>> found = lined_up(lay_rows(straight(86), dict(tile=20, count=2), 2))
    >>> found.joints, round(found.chance, 2)
    (2, 0.18)
    """
    mouth, along, row, joint = _mouths(layout)
    reach = AHEAD * (layout.tile.side + layout.joint_max)
    one, two = shapely.STRtree(shapely.points(mouth)).query(shapely.points(mouth), predicate="dwithin", distance=reach)
    step = mouth[two] - mouth[one]
    across = np.abs(np.einsum("ij,ij->i", step, along[one]))
    aside = step[:, 0] * along[one, 1] - step[:, 1] * along[one, 0]
    # the next row's mouths lie opposite, a joint away; its other ends lie a row away
    kept = (row[two] == row[one] + 1) & (across <= 2 * layout.joint_max + np.abs(aside) / 2)
    one, aside = one[kept], aside[kept]
    ahead, behind = np.full(len(mouth), np.inf), np.full(len(mouth), np.inf)
    np.minimum.at(ahead, one[aside >= 0], aside[aside >= 0])
    np.minimum.at(behind, one[aside < 0], -aside[aside < 0])
    off, pitch = np.minimum(ahead, behind), ahead + behind
    faced = np.flatnonzero(np.isfinite(pitch))
    # a joint between crooked rows may see the next row from both its ends: the nearer counts
    order = faced[np.argsort(off[faced], kind="stable")]
    mine = order[np.unique(joint[order], return_index=True)[1]]
    if not len(mine):
        return LinedUp(0, 0.0, 0.0)
    chance = np.minimum(1.0, 2 * layout.joint / pitch[mine])
    return LinedUp(len(mine), float(np.mean(off[mine] <= layout.joint + 1e-9)), float(np.mean(chance)))


def _mouths(layout: Layout) -> tuple[np.ndarray, ...]:
    """Return both ends of each joint along a row, shape (2 m, 2) [mm], its direction, row and number."""
    pieces = read_layout(layout).pieces
    rows, place = (pieces["band"] == "rows").to_numpy(), pieces["place"].to_numpy()
    row, met = row_codes(pieces), joints_of(layout, layout.joint_max * 1.5 + 0.5)
    a, b = met.first, met.second
    last = np.zeros(row.max(initial=0) + 1, dtype=int)
    np.maximum.at(last, row[rows], place[rows])
    gap = np.abs(place[a] - place[b])
    within = rows[a] & rows[b] & (row[a] == row[b]) & ((gap == 1) | (gap == last[np.maximum(row[a], 0)] - 1))
    # of several stretches between two pieces the longest is the joint
    number = np.flatnonzero(within)
    number = number[np.argsort(-met.length[number], kind="stable")]
    number = number[np.unique(np.stack([a[number], b[number]], axis=1), axis=0, return_index=True)[1]]
    half = met.length[number, None] / 2 * met.along[number]
    mouth = np.concatenate([met.middle[number] - half, met.middle[number] + half])
    return mouth, np.tile(met.along[number], (2, 1)), np.tile(row[a[number]], 2), np.tile(np.arange(len(number)), 2)
