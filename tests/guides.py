"""Seeded guide lines for tests: gentle to savage, open and closed, with and without corners."""

import numpy as np
import shapely

from mosaiclib.layout.guide import Guide

FRACTIONS = ("whole", "half", "third", "quarter")


def seeded(seed):
    """Return guide, rows, joint, limits, face and field tile of a seed."""
    rng = np.random.default_rng(seed)
    wide, high = rng.uniform(180, 360, 2)
    face = shapely.box(0, 0, wide, high)
    wild = rng.uniform(0.05, 1.0)  # 0.05 is gentle, 1 is savage
    guide = _closed(rng, wide, high, wild) if seed % 3 == 0 else _open(rng, wide, high, wild)
    tile = float(rng.choice([15, 20, 25]))
    rows = [_row(rng, tile) for _ in range(int(rng.integers(1, 7)))]
    joint = float(rng.choice([1.5, 2.0, 2.5]))
    return guide, rows, joint, (0.85 * joint, 1.15 * joint), face, tile


def _row(rng, tile):
    fraction = str(rng.choice(FRACTIONS, p=[0.1, 0.25, 0.2, 0.45]))
    return {"tile": tile, "fraction": fraction, "turned": bool(rng.integers(2))}


def _open(rng, wide, high, wild):
    n = int(rng.integers(3, 8))
    x = np.linspace(rng.choice([-2, 30]), wide + rng.choice([2, -30]), n) + rng.uniform(-1, 1, n) * wild * wide / n / 2
    y = high / 2 + rng.uniform(-0.4, 0.4, n) * high * wild
    if seed_is_lucky(rng, wild):
        order = rng.permutation(n)  # a line that crosses itself
        x, y = x[order], y[order]
    return Guide(np.stack([x, y], axis=1), corners=_corners(rng, range(1, n - 1)))


def _closed(rng, wide, high, wild):
    n = int(rng.integers(4, 9))
    angle = np.linspace(0, 2 * np.pi, n, endpoint=False)
    radius = 0.38 * min(wide, high) * (1 + rng.uniform(-0.6, 0.25, n) * wild)
    points = np.stack([wide / 2 + radius * np.cos(angle), high / 2 + radius * np.sin(angle)], axis=1)
    return Guide(points[:: int(rng.choice([1, -1]))], closed=True, corners=_corners(rng, range(n)))


def seed_is_lucky(rng, wild):
    """Tell whether an open line crosses itself: only the wildest do, now and then."""
    return wild > 0.85 and rng.uniform() < 0.3


def _corners(rng, choices):
    choices = list(choices)
    if rng.uniform() >= 0.35 or not choices:
        return ()
    return tuple(sorted(rng.choice(choices, min(len(choices), 2), replace=False).tolist()))
