"""Twenty typical drawings for tests, by name: face, lines and rows of quarters of a 20 mm tile."""

import itertools

import numpy as np
import shapely

from mosaiclib.layout import Guide, lay, lay_rows

LIMITS = (1.7, 2.3)


def _ellipse(a, b, x, y):
    t = np.linspace(0, 2 * np.pi, 48, endpoint=False)
    return Guide(np.stack([x + a * np.cos(t), y + b * np.sin(t)], axis=1), closed=True)


def _heart():
    t = np.linspace(0, 2 * np.pi, 60, endpoint=False)
    x, y = 16 * np.sin(t) ** 3, 13 * np.cos(t) - 5 * np.cos(2 * t) - 2 * np.cos(3 * t) - np.cos(4 * t)
    points = np.stack([130 + 5.5 * x, 138 + 5.5 * y], axis=1)[::-1]
    return Guide(points, closed=True, corners=(59, 29))


def _leaf():
    u = np.linspace(0, 1, 16)
    x, deep = 30 + 220 * u, 45 * np.sin(np.pi * u)
    under = np.stack([x, 100 - deep], axis=1)[-2:0:-1]
    return Guide(np.concatenate([np.stack([x, 100 + deep], axis=1), under]), closed=True, corners=(0, 15))


def _spiral():
    t = np.linspace(0, 4.8 * np.pi, 70)
    r = 18 + 87 * t / t[-1]
    return Guide(np.stack([130 + r * np.cos(t), 130 + r * np.sin(t)], axis=1))


def _star():
    t = np.linspace(0, 2 * np.pi, 10, endpoint=False) + np.pi / 2
    r = np.where(np.arange(10) % 2, 48, 105)
    points = np.stack([130 + r * np.cos(t), 125 + r * np.sin(t)], axis=1)
    return Guide(points, closed=True, corners=range(10))


def _teardrop():
    t = np.linspace(0, 2 * np.pi, 48, endpoint=False)
    x, y = 110 + 62 * np.sin(t) * np.sin(t / 2) ** 1.5, 140 + 100 * np.cos(t)
    return Guide(np.stack([x, y], axis=1), closed=True, corners=(0,))


def _arch():
    t = np.linspace(0, np.pi, 20)
    bow = np.stack([120 - 70 * np.cos(t), 120 - 60 * np.sin(t)], axis=1)
    return Guide([(50, 245), (50, 180), *bow.tolist(), (190, 180), (190, 245)])


def _wave():
    x = np.linspace(-5, 305, 9)
    return Guide(np.stack([x, 100 + 35 * np.sin(np.linspace(0, 4 * np.pi, 9) + 0.4)], axis=1))


def _river():
    return Guide([(-5, 60), (60, 95), (120, 80), (175, 125), (235, 175), (305, 160)])


def _s():
    t = np.linspace(-0.25 * np.pi, np.pi, 16)
    upper = np.stack([110 + 48 * np.cos(t), 188 + 48 * np.sin(t)], axis=1)
    lower = np.array([220, 280]) - upper[::-1]
    return Guide(np.concatenate([upper, lower]))


def _plus():
    points = [(95, 30), (165, 30), (165, 95), (230, 95), (230, 165), (165, 165)]
    points += [(165, 230), (95, 230), (95, 165), (30, 165), (30, 95), (95, 95)]
    return Guide(points, closed=True, corners=range(12))


def _letter():
    return Guide([(45, 20), (45, 175), (140, 70), (235, 175), (235, 20)], corners=range(1, 4))


def _fish():
    t = np.linspace(-0.5, 0.5, 25)
    return Guide(np.stack([260 - 900 * t**2, 110 - 210 * t * (1 - 5.2 * t**2)], axis=1))


def _wing():
    t = np.linspace(0, 1, 12)
    top = np.stack([40 + 215 * t, 70 + 110 * np.sin(np.pi * t * 0.62)], axis=1)
    spots = np.array([top[-1], (205, 95), (150, 62), (95, 45), top[0]])
    points, corners = [*top.tolist()], [0, 11]
    for a, b in itertools.pairwise(spots):
        u = np.linspace(0, 1, 7)[1:, None]
        out = np.array([-(a - b)[1], (a - b)[0]]) / np.hypot(*(a - b))
        points += (a + u * (b - a) + 14 * np.sin(np.pi * u) * out).tolist()
        corners.append(len(points) - 1)
    return Guide(points[:-1], closed=True, corners=corners[:-1])


def _sun():
    turns = np.arange(8) * np.pi / 4 + np.pi / 8
    rays = [Guide(130 + np.outer([84, 116], [np.cos(turn), np.sin(turn)])) for turn in turns]
    return [_ellipse(60, 60, 130, 130), *rays]


def _rounded():
    t = np.linspace(0, np.pi / 2, 8)
    turn = 40 * np.stack([np.cos(t), np.sin(t)], axis=1)
    corners = [(200, 140), (80, 140), (80, 80), (200, 80)]
    points = [np.array(spot) + turn @ np.linalg.matrix_power([[0, 1], [-1, 0]], k) for k, spot in enumerate(corners)]
    return Guide(np.concatenate(points), closed=True)


def _bridge():
    y = np.linspace(-5, 205, 7)
    path = Guide(np.stack([150 + 30 * np.sin(np.linspace(0, 2 * np.pi, 7)), y], axis=1))
    x = np.linspace(-5, 305, 9)
    return [path, Guide(np.stack([x, 80 + 35 * np.sin(np.linspace(0, np.pi, 9))], axis=1))]


FRAME = Guide([(30, 30), (250, 30), (250, 190), (30, 190)], closed=True, corners=range(4))
LATTICE = [Guide([(-5, y), (285, y + 210 * lean)]) for y, lean in ((5, 1), (215, -1))]
# face, lines, rows
DRAWINGS = {
    "medallion": (240, 240, [_ellipse(75, 75, 120, 120)], 3),
    "ellipse": (300, 220, [_ellipse(105, 70, 150, 110)], 3),
    "heart": (260, 260, [_heart()], 2),
    "leaf": (280, 200, [_leaf()], 2),
    "spiral": (260, 260, [_spiral()], 1),
    "frame": (280, 220, [FRAME], 2),
    "star": (260, 260, [_star()], 1),
    "teardrop": (220, 280, [_teardrop()], 2),
    "wave": (300, 200, [_wave()], 3),
    "arch": (240, 240, [_arch()], 3),
    "S": (220, 280, [_s()], 2),
    "plus": (260, 260, [_plus()], 1),
    "letter": (280, 240, [_letter()], 2),
    "fish": (300, 220, [_fish()], 1),
    "wing": (300, 220, [_wing()], 1),
    "river": (300, 220, [_river()], 4),
    "sun": (260, 260, _sun(), 1),
    "rounded": (280, 220, [_rounded()], 3),
    "bridge": (300, 200, _bridge(), 2),
    "lattice": (280, 220, LATTICE, 1),
}
ANGULAR = ("frame", "star", "plus", "letter", "lattice")  # of straight sides; all others are smooth
UPRIGHT = ("medallion", "ellipse", "heart", "frame", "star", "teardrop", "arch", "plus", "letter", "sun", "rounded")
LEVEL = ("leaf",)  # their mirror axis


def drawing(name):
    """Return face, guide and rows of a drawing of one line."""
    wide, high, (guide,), count = DRAWINGS[name]
    return shapely.box(0, 0, wide, high), guide, rows_of(count)


def rows_of(count):
    return [{"tile": 20, "fraction": "quarter", "count": count}]


def rowed(name):
    """Return face and rows of a drawing of one line or several, one on top of the other."""
    wide, high, lines, count = DRAWINGS[name]
    face = shapely.box(0, 0, wide, high)
    if len(lines) == 1 and name != "fish":
        return face, lay_rows(lines[0], rows_of(count), 2.0, face, limits=LIMITS)
    return face, lay(face, lines, 20, 2.0, limits=LIMITS, rows=rows_of(count), field=None)
