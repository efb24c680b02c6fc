"""How much adhesive a bed takes."""

__all__ = ["bed_volume"]

from mosaiclib.errors import number


def bed_volume(area: float, bed: float, *, coverage: float = 1.0, waste: float = 0.0) -> float:
    """Return the adhesive for a bed: area x coverage x bed thickness, and what is lost.

    Parameters
    ----------
    area : float
        Backs of all pieces [mm2].
    bed : float
        Thickness of the pressed bed [mm].
    coverage : float
        Share of the back that is covered, over 0 to 1.
    waste : float
        Share that stays in the nozzle and on the palette, 0 to 1 of what is used.

    Returns
    -------
    float
        Volume [mL].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Examples
    --------
    >>> bed_volume(40_000, 0.8, waste=0.25)
    40.0
    """
    backs = number(area, "area", "mm2", least=0, greatest=1e11)
    thick = number(bed, "bed", "mm", above=0, greatest=20)
    share = number(coverage, "coverage", above=0, greatest=1)
    lost = number(waste, "waste", least=0, greatest=2)
    return backs * share * thick * (1 + lost) / 1000
