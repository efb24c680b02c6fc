"""Light where clear bodies meet: refractive indices, reflection at a face, and a bare pane."""

__all__ = ["reflectance", "silicone_index", "slab_transmittance", "soda_lime_index"]

from mosaiclib import reference
from mosaiclib.errors import number


def reflectance(n1: float, n2: float) -> float:
    """Return the share of light thrown back where two clear bodies meet, square on: ((n1 - n2)/(n1 + n2))^2.

    Parameters
    ----------
    n1, n2 : float
        Refractive indices [1].

    Returns
    -------
    float
        Share, 0 to 1.

    Raises
    ------
    MosaicError
        If an index is not from 1 to 5.

    References
    ----------
    Fresnel's equations at normal incidence; physics textbooks, read second-hand.

    Examples
    --------
    >>> round(reflectance(1.0, 1.52), 4)
    0.0426
    """
    first, second = (number(n, "refractive index", least=1, greatest=5) for n in (n1, n2))
    return ((first - second) / (first + second)) ** 2


def slab_transmittance(index: float) -> float:
    """Return what a clear pane in air lets through, all bounces counted: 2n/(1 + n^2).

    Parameters
    ----------
    index : float
        Refractive index n [1].

    Returns
    -------
    float
        Share, 0 to 1.

    Raises
    ------
    MosaicError
        If the index is out of range.

    Examples
    --------
    >>> round(slab_transmittance(1.52), 4)
    0.9183
    """
    n = number(index, "refractive index", least=1, greatest=5)
    return 2 * n / (1 + n**2)


def soda_lime_index(wavelength: float) -> float:
    """Return the refractive index of clear soda-lime glass: a + b L^2 + c/L^2.

    Parameters
    ----------
    wavelength : float
        Wavelength L, 0.31 to 4.6 [um].

    Returns
    -------
    float
        Index [1].

    Raises
    ------
    MosaicError
        If the wavelength is out of range.

    References
    ----------
    Rubin 1985, in the open refractive-index database (CC0), soda-lime clear; read.

    Examples
    --------
    >>> round(soda_lime_index(0.5893), 4)
    1.5233
    """
    wave = number(wavelength, "wavelength", "um", least=0.31, greatest=4.6)
    a, b, c = (
        reference.value("optics", f"soda-lime glass, {term} term").number
        for term in ("constant", "square", "inverse square")
    )
    return a + b * wave**2 + c / wave**2


def silicone_index(wavelength: float) -> float:
    """Return the refractive index of silicone rubber: n^2 = 1 + a L^2/(L^2 - b).

    Parameters
    ----------
    wavelength : float
        Wavelength L, 0.35 to 0.70 [um].

    Returns
    -------
    float
        Index [1].

    Raises
    ------
    MosaicError
        If the wavelength is out of range.

    References
    ----------
    Schneider et al., Sensors and Actuators A 151 (2009) 95-99, in the open refractive-index database; read.

    Examples
    --------
    >>> round(silicone_index(0.5893), 4)
    1.4302
    """
    square = number(wavelength, "wavelength", "um", least=0.35, greatest=0.70) ** 2
    a, b = (reference.value("optics", f"silicone, {term}").number for term in ("strength", "resonance"))
    return (1 + a * square / (square - b)) ** 0.5
