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


# --- savage kinds --------------------------------------------------------------------------------------------


def savage(kind, seed):
    """Return what makes the guide, rows, joint, limits, face, field tile, pattern and turn of a kind and seed."""
    rng = np.random.default_rng([sorted(KINDS).index(kind), seed])
    scale = float(rng.choice([0.1, 5, 20])) if kind == "scale" else 1.0
    face = _face(rng, scale)
    size = np.array(face.bounds[2:])
    made = KINDS[kind](rng, size)
    unit = max(scale, 0.1)
    tile = float(rng.choice([10, 15, 20, 25])) * unit
    fractions = rng.choice(FRACTIONS, int(rng.integers(1, 7))).tolist()
    rows = [{"tile": tile, "fraction": one, "turned": bool(rng.integers(2))} for one in fractions]
    joint = float(rng.choice([1, 1.5, 2, 2.5, 3])) * unit
    play = rng.integers(6) > 0  # one in six has none
    limits = joint * (1 - play * rng.uniform(0, 0.5)), joint * (1 + play * rng.uniform(0, 0.6))
    return (
        made,
        rows,
        joint,
        limits,
        face,
        tile,
        str(rng.choice(["grid", "running bond"])),
        float(rng.choice([0, 30, 45])),
    )


def _face(rng, scale):
    wide, high = rng.uniform(180, 360, 2) * scale
    turn, bow = np.linspace(0, 2 * np.pi, 120, endpoint=False), np.linspace(0, np.pi, 61)
    middle = np.array([wide, high]) / 2
    faces = [
        shapely.Polygon(middle + middle * np.stack([np.cos(turn), np.sin(turn)], axis=1)),
        shapely.box(0, 0, wide, high) - shapely.box(0.6 * wide, 0.6 * high, wide + 1, high + 1),
        shapely.Polygon([(0, 0), (wide, 0), *np.c_[middle[0] * (1 + np.cos(bow)), high * (0.6 + 0.4 * np.sin(bow))]]),
    ]
    kind = int(rng.integers(6))
    return faces[kind] if kind < 3 else shapely.box(0, 0, wide, high)


def _loop(rng, size):
    n = int(rng.integers(5, 14))
    t, r = np.linspace(0, 2 * np.pi, n, endpoint=False), 0.36 * size.min() * (1 + rng.uniform(-0.5, 0.3, n))
    return lambda: Guide(size / 2 + r[:, None] * np.stack([np.cos(t), np.sin(t)], axis=1), closed=True)


def _eight(rng, size):
    t = np.linspace(0, 2 * np.pi, int(rng.integers(12, 60)), endpoint=False)
    points = size / 2 + size * rng.uniform(0.25, 0.42) * np.stack(
        [np.sin(t), rng.uniform(0.4, 1) * np.sin(2 * t)], axis=1
    )
    return lambda: Guide(points, closed=True)


def _cusp(rng, size):
    e = rng.uniform(0.5, 8) / size[0]
    points = [(0.05, 0.3), (0.3, 0.6), (0.5 - e, 0.8), (0.5, 0.8 + e / 2), (0.5 + e, 0.8), (0.7, 0.6), (0.95, 0.3)]
    return lambda: Guide(np.array(points) * size)


def _hairpin(rng, size):
    gap, (x, y) = rng.uniform(4, 60), size * [0.7, 0.5]
    bow = [(x, y - gap / 2), (x + gap / 2, y), (x, y + gap / 2)]
    return lambda: Guide([(-5, y - gap / 2), (x / 2, y - gap / 2), *bow, (x / 2, y + gap / 2), (-5, y + gap / 2)])


def _spiral(rng, size):
    turns, begin = rng.uniform(1, 4), rng.uniform(3, 0.1 * size.min())
    t = np.linspace(0, turns * 2 * np.pi, int(20 * turns))
    r = begin + (0.45 * size.min() - begin) * t / t[-1]
    return lambda: Guide(size / 2 + r[:, None] * np.stack([np.cos(t), np.sin(t)], axis=1))


def _wiggle(rng, size):
    n = int(rng.integers(20, 300))
    y = size[1] / 2 + rng.uniform(0.02, 1.5) * rng.standard_normal(n)
    return lambda: Guide(np.stack([np.linspace(-5, size[0] + 5, n), y], axis=1))


def _fitted(rng, size):
    t = np.linspace(0, 1, int(rng.integers(60, 200)))
    points = size * np.stack([0.02 + 0.96 * t, 0.5 + 0.3 * np.sin(2 * np.pi * t)], axis=1)
    points, loose = points + rng.normal(0, rng.uniform(0.2, 1.5), points.shape), float(rng.uniform(1, 3))
    return lambda: Guide.fit(points, loose)


def _few(rng, size):
    points = rng.uniform(-0.1, 1.1, (int(rng.integers(2, 4)), 2)) * size
    return lambda: Guide(points, closed=len(points) == 3)


def _edge(rng, size):
    points = np.array([(0, 0), (1, 0), (1, 1), (0, 1)]) * size
    return lambda: Guide(points[:: int(rng.choice([1, -1]))], closed=True, corners=range(4))


def _scale(rng, size):
    n = int(rng.integers(3, 7))
    points = np.stack([np.linspace(-0.02, 1.02, n), 0.5 + rng.uniform(-0.3, 0.3, n)], axis=1) * size
    return lambda: Guide(points)


def _star(rng, size):
    k = int(rng.integers(3, 8))
    t = np.linspace(0, 2 * np.pi, 2 * k, endpoint=False) + rng.uniform(0, 1)
    r = np.where(np.arange(2 * k) % 2, rng.uniform(0.12, 0.34), 0.44) * size.min()
    return lambda: Guide(
        size / 2 + r[:, None] * np.stack([np.cos(t), np.sin(t)], axis=1), closed=True, corners=range(2 * k)
    )


def _zigzag(rng, size):
    n = int(rng.integers(4, 8))
    points = np.stack([np.linspace(-5, size[0] + 5, n), rng.uniform(0.15, 0.85, n) * size[1]], axis=1)
    return lambda: Guide(points, corners=range(1, n - 1))


def _leaving(rng, size):
    y = [*rng.uniform(0.1, 0.9, 2), rng.uniform(1.05, 1.4), rng.uniform(0.2, 0.8), -rng.uniform(0.05, 0.3), 0.5]
    return lambda: Guide(np.stack([[-0.1, 0.3, 0.5, 0.7, 0.8, 1.1], y], axis=1) * size)


def _crossing(rng, size):
    points = rng.uniform(0.05, 0.95, (int(rng.integers(4, 8)), 2)) * size
    return lambda: Guide(points)


KINDS = {
    **{"loop": _loop, "eight": _eight, "cusp": _cusp, "hairpin": _hairpin, "spiral": _spiral, "wiggle": _wiggle},
    **{"fitted": _fitted, "few": _few, "edge": _edge, "scale": _scale, "star": _star, "zigzag": _zigzag},
    **{"leaving": _leaving, "crossing": _crossing},
}
