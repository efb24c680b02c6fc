"""Light followed bounce by bounce."""

import numpy as np
import pytest

from mosaiclib.adhesive import reflectance, seen


def test_one_tessera_over_white_by_hand():
    """T = 0.9 a millimetre, 4 mm, white 0.85, face R = (0.52/2.52)^2; bounce after bounce."""
    r, through, white = (0.52 / 2.52) ** 2, 0.9**4, 0.85
    total, inside = r, (1 - r) * through  # what comes back at once; what reaches the bed
    for _ in range(60):
        up = inside * white * through  # reaches the front face from below
        total += up * (1 - r)
        inside = up * r * through
    assert seen([0.9] * 3, 4.0, "white bed").light == pytest.approx(np.full(3, total), rel=1e-12)


def test_silicone_against_glass_throws_back_well_under_a_percent():
    # n 1.5233 of soda-lime glass, 1.4302 of silicone at 589.3 nm, computed from the published dispersion of both:
    # what is seen when glue meets glass is the loss of the air film, not a reflection of its own
    assert 100 * reflectance(1.5233, 1.4302) == pytest.approx(100 * (0.0931 / 2.9535) ** 2, rel=1e-9)
    assert 100 * reflectance(1.5233, 1.4302) < 0.2
