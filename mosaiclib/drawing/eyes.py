"""How tones look to eyes that tell fewer colours apart."""

__all__ = ["EYES", "seen_by"]

from coloraide import Color

from mosaiclib.errors import choice, number

EYES = {
    "usual eyes": "",
    "eyes weak in red": "protan",
    "eyes weak in green": "deutan",
    "eyes weak in blue": "tritan",
}


def seen_by(tone: str, eyes: str, share: float = 1.0) -> str:
    """Return a tone, #rrggbb, as eyes of `EYES` see it: 0 as usual eyes do, 1 where that sense of colour is missing.

    A matrix on red, green and blue in linear values, interpolated between tenths; what a screen cannot show is clipped.

    References
    ----------
    .. [1] G. M. Machado, M. M. Oliveira and L. A. F. Fernandes, "A physiologically-based model for simulation of color
       vision deficiency", IEEE Transactions on Visualization and Computer Graphics 15 (2009) 1291-1298; by the colour
       library, its matrices checked in tests/published. For blue its authors call it an approximation (read second-hand).

    Examples
    --------
    >>> seen_by("#808080", "eyes weak in red")
    '#808080'
    >>> seen_by("#a8493f", "eyes weak in red", 0.0)
    '#a8493f'
    """
    kind = EYES[choice(eyes, "kind of eyes", EYES)]
    number(share, "share of the sense that is missing", least=0, greatest=1)
    found = Color(tone)
    if kind:
        found = found.filter(kind, share, method="machado", space="srgb-linear", out_space="srgb")
    return found.clip("srgb").convert("srgb").to_string(hex=True)
