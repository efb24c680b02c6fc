"""How much filler joints, corners and edges take, and how much powder that is."""

__all__ = ["Mix", "bead_volume", "grid_volume", "joint_volume", "mix", "usual_grid_volume"]

from dataclasses import dataclass

from mosaiclib import reference
from mosaiclib.errors import instance, number
from mosaiclib.layout.tesserae import Layout

LITRE = 1e6  # [mm3]


@dataclass(frozen=True)
class Mix:
    """Powder for a volume of mixed cement filler, as least, middle and greatest of what is usual.

    Parameters
    ----------
    volume : float
        Mixed filler [mL].
    powder : tuple of float
        Dry powder, least, middle and greatest [g].
    """

    volume: float
    powder: tuple[float, float, float]


def grid_volume(width: float, height: float, joint: float, depth: float) -> float:
    """Return the filler that a straight grid takes for each square metre, exactly.

    V = t j (L + W + j)/((L + j)(W + j)).

    Parameters
    ----------
    width, height : float
        Tile sides L and W [mm].
    joint : float
        Joint j [mm].
    depth : float
        Depth of the joint t [mm].

    Returns
    -------
    float
        Volume [L/m2].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Notes
    -----
    Full depth, upright tile edges, endless grid, no waste.

    Examples
    --------
    >>> round(grid_volume(20, 20, 2, 4), 3)
    0.694
    """
    across = number(width, "tile width", "mm", above=0, greatest=1e5)
    down = number(height, "tile height", "mm", above=0, greatest=1e5)
    gap = number(joint, "joint", "mm", least=0, greatest=1e5)
    deep = number(depth, "joint depth", "mm", above=0, greatest=1e5)
    return deep * gap * (across + down + gap) / ((across + gap) * (down + gap))


def usual_grid_volume(width: float, height: float, joint: float, depth: float) -> float:
    """Return the usual estimate of the same, which is too high for small tiles.

    V = t j (L + W)/(L W): it divides by the tile's area instead of the cell's.

    Parameters
    ----------
    width, height, joint, depth : float
        As for `grid_volume` [mm].

    Returns
    -------
    float
        Volume [L/m2].

    Raises
    ------
    MosaicError
        If a number is out of range.

    Examples
    --------
    >>> round(usual_grid_volume(20, 20, 2, 4), 3)
    0.8
    """
    across = number(width, "tile width", "mm", above=0, greatest=1e5)
    down = number(height, "tile height", "mm", above=0, greatest=1e5)
    gap = number(joint, "joint", "mm", least=0, greatest=1e5)
    deep = number(depth, "joint depth", "mm", above=0, greatest=1e5)
    return deep * gap * (across + down) / (across * down)


def joint_volume(layout: Layout, bed: float = 0.0) -> float:
    """Return the filler that a layout's joints and clear edges take.

    (outline - pieces) x (tile thickness + bed), and what sloping tile edges leave at the back.

    Parameters
    ----------
    layout : Layout
        The pieces.
    bed : float
        Thickness of the adhesive, which lies under the pieces only [mm].

    Returns
    -------
    float
        Volume [mL].

    Raises
    ------
    MosaicError
        If the bed is negative.

    Examples
    --------
    >>> import shapely
    >>> from mosaiclib.layout import Tile, lay_grid
    >>> square = shapely.box(0, 0, 218, 218)
    >>> round(joint_volume(lay_grid(square, Tile(20, 4), 2)), 2)
    30.1
    >>> round(joint_volume(lay_grid(square, Tile(20, 4, back_side=19.3), 2)), 2)
    35.63
    """
    instance(layout, Layout, "layout")
    under = number(bed, "bed", "mm", least=0, greatest=50)
    whole = layout.outline.area * layout.tile.thickness - layout.glass_volume
    return (whole + layout.filler_area * under) / 1000


def bead_volume(length: float, width: float, height: float) -> float:
    """Return the filler of a sloping bead along an edge: length x width x height/2.

    Parameters
    ----------
    length, width, height : float
        Length of the edge, width on the glass and height on the tile [mm].

    Returns
    -------
    float
        Volume [mL].

    Raises
    ------
    MosaicError
        If a number is negative.

    Examples
    --------
    >>> bead_volume(1000, 4, 4)
    8.0
    """
    sizes = (number(s, "size of a bead", "mm", least=0, greatest=1e6) for s in (length, width, height))
    long, wide, high = sizes
    return long * wide * high / 2000


def mix(volume: float, waste: float = 0.0) -> Mix:
    """Return the powder for a volume of cement filler; its water is told by `recipe` alone.

    Parameters
    ----------
    volume : float
        Volume of the joints [mL].
    waste : float
        Share that stays on tools and in the bowl, 0 to 1 of the volume.

    Returns
    -------
    Mix
        With the spread that is usual; the bag's own figures stand above it.

    Raises
    ------
    MosaicError
        If a number is out of range.

    Notes
    -----
    1.6 to 1.8 kg of powder in each litre of mixed filler: trade custom, from memory.

    Examples
    --------
    >>> [round(grams) for grams in mix(100).powder]
    [160, 170, 180]
    """
    lost = number(waste, "waste", least=0, greatest=2)
    amount = number(volume, "filler volume", "mL", least=0, greatest=1e9) * (1 + lost)
    low, high = reference.value("filler", "powder in mixed filler").band
    return Mix(amount, (amount * low, amount * (low + high) / 2, amount * high))
