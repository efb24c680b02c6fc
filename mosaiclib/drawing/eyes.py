"""How tones look to eyes that tell fewer colours apart."""

__all__ = ["EYES", "eye_matrix", "seen_by"]

from functools import lru_cache

import numpy as np
from coloraide import Color

from mosaiclib.errors import choice, number

EYES = {
    "usual eyes": "",
    "eyes weak in red": "protan",
    "eyes weak in green": "deutan",
    "eyes weak in blue": "tritan",
}


@lru_cache(64)
def eye_matrix(eyes: str, share: float = 1.0) -> np.ndarray:
    """Return what eyes of `EYES` make of red, green and blue in linear values, shape (3, 3); see `seen_by`.

    References
    ----------
    .. [1] G. M. Machado, M. M. Oliveira and L. A. F. Fernandes, "A physiologically-based model for simulation of color
       vision deficiency", IEEE Transactions on Visualization and Computer Graphics 15 (2009) 1291-1298; by the colour
       library, its matrices checked in tests/published. For blue it is an approximation (read second-hand).

    Examples
    --------
    >>> eye_matrix("eyes weak in red")[0].tolist()
    [0.152286, 1.052583, -0.204868]
    """
    kind = EYES[choice(eyes, "kind of eyes", EYES)]
    number(share, "share of the sense that is missing", least=0, greatest=1)
    if not kind:
        return np.eye(3)
    channels = (
        Color("srgb-linear", one).filter(kind, share, method="machado", space="srgb-linear") for one in np.eye(3)
    )
    return np.array([each.coords() for each in channels]).T


def seen_by(tone: str, eyes: str, share: float = 1.0) -> str:
    """Return a tone, #rrggbb, as eyes of `EYES` see it: 0 as usual eyes do, 1 where that sense of colour is missing.

    What a screen cannot show is clipped.

    >>> seen_by("#808080", "eyes weak in red"), seen_by("#a8493f", "eyes weak in red", 0.0)
    ('#808080', '#a8493f')
    """
    linear = eye_matrix(eyes, share) @ Color(tone).convert("srgb-linear").coords()
    return Color("srgb-linear", np.clip(linear, 0, 1).tolist()).convert("srgb").to_string(hex=True)
