"""Guides through points of curves whose length or place is printed."""

import math

import numpy as np
from scipy.special import fresnel

from mosaiclib.layout import Guide, ellipse, leaf, outline_of, star

from .records import Check, listed


def clothoid(scale: float = 100.0) -> Guide:
    """Return a guide through points of Cornu's spiral, none of them at t = 1 [mm]."""
    sine, cosine = fresnel(np.linspace(0, 1.2, 48))
    return Guide(scale * np.stack([cosine, sine], axis=1))


CHECKS = (
    Check(
        "guides",
        "SciPy documentation, scipy.special.ellipe",
        "example: ellipse with semi-axes 3.5 and 2.1",
        "read",
        "perimeter of an ellipse, ours 20 times as large",
        "17.868899204378693",
        "",
        lambda: ellipse(140, 84).length / 20,
        1e-9,
    ),
    *listed(
        "guides",
        "Weisstein, MathWorld",
        "articles Vesica Piscis and Pentagram",
        "from memory",
        "",
        [
            (
                "area of two arcs through each other's centre, radius 1",
                "1.22837",
                lambda: outline_of(leaf(100 * math.sqrt(3), 100), 1e-4).area / 1e4,
            ),
            (
                "inner over outer radius of a pentagram",
                "0.381966",
                lambda: float(np.hypot(*star(200).points[1])) / 100,
            ),
        ],
    ),
    *listed(
        "guides",
        "SciPy documentation, scipy.special.fresnel",
        "example: C(1) and S(1)",
        "read",
        "",
        [
            (
                "Cornu's spiral at t = 1, across (ours of 48 points, so within 1e-5)",
                "0.7798934",
                lambda: float(clothoid().at(100.0)[0]) / 100,
            ),
            (
                "Cornu's spiral at t = 1, up (ours of 48 points, so within 1e-5)",
                "0.43825915",
                lambda: float(clothoid().at(100.0)[1]) / 100,
            ),
        ],
        within=1e-5,
    ),
)
