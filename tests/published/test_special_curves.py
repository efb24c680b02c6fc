"""A Guide through points of curves whose length is known."""

import numpy as np
import pytest
from scipy.special import ellipe, fresnel

from mosaiclib.layout.guide import Guide


def test_ellipse_perimeter():
    """Semi-axes 3.5 and 2.1: 4 a E(1 - b^2/a^2) = 17.868899204378693 (documentation of scipy.special.ellipe, read)."""
    printed = 17.868899204378693
    assert 4 * 3.5 * ellipe(1 - 2.1**2 / 3.5**2) == pytest.approx(printed, abs=1e-12)
    angle = np.linspace(0, 2 * np.pi, 64, endpoint=False)
    # ten times as large, so that it is millimetres of a small mosaic
    guide = Guide(np.stack([35 * np.cos(angle), 21 * np.sin(angle)], axis=1), closed=True)
    assert guide.length == pytest.approx(10 * printed, rel=1e-5)


def test_clothoid_length_and_curvature():
    """C(1) = 0.7798934, S(1) = 0.43825915 (documentation of scipy.special.fresnel, read); curvature pi s is linear."""
    sine, cosine = fresnel(1.0)
    assert (cosine, sine) == (pytest.approx(0.7798934, abs=1e-7), pytest.approx(0.43825915, abs=1e-7))
    scale = 100.0
    t = np.linspace(0, 1.2, 49)
    sine, cosine = fresnel(t)
    guide = Guide(scale * np.stack([cosine, sine], axis=1))
    assert guide.length == pytest.approx(scale * 1.2, rel=1e-5)
    s = np.linspace(0.1, 0.9, 33) * guide.length
    linear = np.pi * (s / scale) / scale  # curvature of the scaled curve, turning left
    assert guide.curvature(s) == pytest.approx(linear, abs=1e-3 * linear.max())  # of 48 spans
