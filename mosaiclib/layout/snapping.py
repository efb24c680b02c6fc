"""A dragged point snaps to the middle of its face, and to symmetry."""

__all__ = ["snapped", "snapped_angle", "symmetric"]

from collections.abc import Sequence

import numpy as np

EXACT = 1e-6  # [mm]


def _mirrored(points: np.ndarray, size: Sequence[float]) -> np.ndarray:
    """Return points, shape (n, 2), mirrored at the middle of a face of `size` across, up, and both ways, shape (3n, 2) [mm]."""
    wide, high = np.asarray(size, dtype=float)
    x, y = np.asarray(points, dtype=float).reshape(-1, 2).T
    return np.vstack([np.column_stack(each) for each in ((wide - x, y), (x, high - y), (wide - x, high - y))])


def snapped(point: Sequence[float], size: Sequence[float], reach: float, others: Sequence = ()) -> np.ndarray:
    """Return a point of a face of `size`, shape (2,), where it snaps to: the mirror image of another, or a middle line [mm].

    Only what lies within `reach` [mm] draws it, the nearest mirror image before the middle lines.

    >>> snapped((98.5, 20.0), (200, 150), 3.0).tolist(), snapped((151, 29), (200, 150), 3.0, [(50, 30)]).tolist()
    ([100.0, 20.0], [150.0, 30.0])
    """
    here, images = np.asarray(point, dtype=float), _mirrored(others, size)
    off = np.hypot(*(images - here).T)
    if len(off) and off.min() <= reach:
        return images[off.argmin()]
    middle = np.asarray(size, dtype=float) / 2
    return np.where(np.abs(here - middle) <= reach, middle, here)


def snapped_angle(degrees: float, radius: float, reach: float) -> float:
    """Return the angle at which a handle lies square to the face, where that is within `reach` of it at its radius [mm].

    >>> snapped_angle(91.5, 60.0, 3.0), snapped_angle(95.0, 60.0, 3.0)
    (90.0, 95.0)
    """
    square = 90.0 * round(degrees / 90)
    return square if radius * abs(np.radians(degrees - square)) <= reach else degrees


def symmetric(points: Sequence, size: Sequence[float]) -> np.ndarray:
    """Return which points, shape (n,), lie on a middle line of a face of `size` [mm] or mirror another point.

    >>> symmetric([(100, 10), (50, 30), (150, 30), (20, 20)], (200, 150)).tolist()
    [True, True, True, False]
    """
    here = np.asarray(points, dtype=float).reshape(-1, 2)
    on_middle = (np.abs(here - np.asarray(size) / 2) < EXACT).any(axis=1)
    images = _mirrored(here, size)
    return on_middle | (np.hypot(*(here[:, None] - images[None]).transpose(2, 0, 1)) < EXACT).any(axis=1)
