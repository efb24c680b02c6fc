"""Guides through points of curves whose length or place is printed."""

import numpy as np
from scipy.special import fresnel

from mosaiclib.layout import Guide

from .records import Check, listed


def _ellipse(count: int = 64) -> Guide:
    """Return a guide through points of an ellipse with semi-axes of 35 and 21 mm."""
    angle = np.linspace(0, 2 * np.pi, count, endpoint=False)
    return Guide(np.stack([35 * np.cos(angle), 21 * np.sin(angle)], axis=1), closed=True)


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
        "perimeter (ours of 64 points, so within 2e-4)",
        "17.868899204378693",
        "",
        lambda: _ellipse().length / 10,
        2e-4,
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
