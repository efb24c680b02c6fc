"""How long the other families take: light through glass, mixing by temperature, and water that cannot leave."""

__all__ = ["BED_OF_TABLE", "drying_days", "light_minutes", "pot_minutes"]

from mosaiclib import reference
from mosaiclib.bond.curing import COLDEST, HOTTEST, REFERENCE_TEMPERATURE, reach
from mosaiclib.errors import number

BED_OF_TABLE = 0.8  # [mm] whose time to dry in the open the table gives


def light_minutes(thickness: float, passed: float, minutes: float | None = None) -> float:
    """Return how long a lamp takes through glass that absorbs: the dose is the same, so time goes with 1/passed.

    minutes x T(4 mm clear)/T(here), T = passed per millimetre to the power of the thickness

    Parameters
    ----------
    thickness : float
        Glass between lamp and bed [mm].
    passed : float
        Share of the lamp's light that one millimetre lets through, over 0 to 1.
    minutes : float, optional
        Time under 4 mm of clear glass [min]; the table's if left out.

    Returns
    -------
    float
        Time [min].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Examples
    --------
    >>> light_minutes(4, 1.0, 2.0), light_minutes(1, 0.5, 2.0)
    (2.0, 4.0)
    """
    deep = number(thickness, "glass thickness", "mm", least=0, greatest=100)
    share = number(passed, "share of light passed by a millimetre", above=0, greatest=1)
    clear = reference.value("cure", "lamp on a light-curing bed").number if minutes is None else minutes
    time = number(clear, "time under clear glass", "minutes", above=0, greatest=1e4)
    return time / max(share**deep, 1e-9)


def pot_minutes(minutes: float, temperature: float) -> float:
    """Return the pot life of a two-part adhesive at another temperature: half as long for each 10 K warmer.

    Parameters
    ----------
    minutes : float
        Pot life at 23 C [min].
    temperature : float
        Of room and resin, 5 to 40 [C].

    Returns
    -------
    float
        Pot life [min].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Notes
    -----
    A rule of thumb of chemistry, from memory; the maker's sheet stands above it.

    Examples
    --------
    >>> pot_minutes(20, 33), pot_minutes(20, 13)
    (10.0, 40.0)
    """
    base = number(minutes, "pot life", "minutes", above=0, greatest=1e4)
    warm = number(temperature, "temperature", "C", least=COLDEST, greatest=HOTTEST)
    step = reference.value("cure", "doubling of a two-part cure").number
    return base * 2 ** ((REFERENCE_TEMPERATURE - warm) / step)


def drying_days(shape, bed: float = 0.8, open_days: float | None = None) -> float:
    """Return how long a water-borne bed would take to dry between two sheets of glass, by the law of diffusion.

    open_days (d/bed)^2: a path longer by a factor takes longer by its square.

    Parameters
    ----------
    shape : Polygon
        The piece [mm].
    bed : float
        Thickness of the bed [mm].
    open_days : float, optional
        Time that the same bed takes with its face open to the air [days]; the table's if left out.

    Returns
    -------
    float
        Time [days].

    Raises
    ------
    MosaicError
        If a number is out of range or the shape is none.

    Notes
    -----
    An order of size only: what dries shrinks and pulls off before that.

    Examples
    --------
    >>> import shapely
    >>> round(drying_days(shapely.box(0, 0, 20, 20), 0.8, 1.0))  # (10/0.8)^2
    156
    """
    thick = number(bed, "bed", "mm", above=0, greatest=20)
    usual = reference.value("cure", "open drying of a water-borne bed").number if open_days is None else open_days
    if open_days is None:
        usual *= (thick / BED_OF_TABLE) ** 2  # the table's time is that of 0.8 mm
    days = number(usual, "time to dry in the open", "days", above=0, greatest=1000)
    return days * (float(reach(shape)[0]) / thick) ** 2
